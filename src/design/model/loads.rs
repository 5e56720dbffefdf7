//! Loads and strength, as far as the design says them.
//!
//! Aim: what the load path may use, each value with its origin. Reason: a load, an edition or a species is never assumed;
//! what is not said stays `None`, and the load path names it as the reason why it did not run. Limits: no number of a
//! standard stands here.

use super::{Choice, EdgeKind, Given, RoofShape, SlopeId};
use crate::design::scalars::Rating;
use crate::quantity::{Force, Length, Pressure, Speed, Temperature};

choice!(
    /// The rule set for wood and its fasteners.
    RuleSet, "rule set", { /// The North American one: allowable stress design.
        Nds = "NDS", /// Eurocode 5.
        Ec5 = "EC5" }
);
choice!(
    /// A standard for loads, with its edition.
    Standard, "edition of a standard", { /// ASCE 7-10.
        Asce7_10 = "ASCE 7-10", /// ASCE 7-16.
        Asce7_16 = "ASCE 7-16", /// ASCE 7-22.
        Asce7_22 = "ASCE 7-22", /// EN 1991-1-4 for wind, EN 1991-1-3 for snow, EN 1990 for combinations.
        En1991 = "EN 1991" }
);
choice!(
    /// Exposure or terrain category.
    Exposure, "exposure", { /// Towns, suburbs, woods.
        B = "B", /// Open country.
        C = "C", /// Flat coast.
        D = "D", /// Sea.
        Sea = "0", /// Lakes, flat land without obstacles.
        I = "I", /// Low vegetation, single obstacles.
        II = "II", /// Villages, suburbs, woods.
        III = "III", /// Towns.
        IV = "IV" }
);
choice!(
    /// How far wind gets into the building.
    Enclosure, "enclosure", { /// Enclosed.
        Enclosed = "enclosed", /// Partially enclosed.
        Partial = "partially enclosed", /// None of the others.
        PartlyOpen = "partially open", /// Open.
        Open = "open" }
);
choice!(
    /// Risk category of a building by ASCE 7.
    RiskCategory, "risk category", { /// Low risk to people.
        I = "I", /// All others.
        II = "II", /// Many people, or a community.
        III = "III", /// Essential.
        IV = "IV" }
);
choice!(
    /// Moisture of the wood.
    Moisture, "state of moisture", { /// Dry when built and in service.
        Dry = "dry", /// Wet when built, dry in service.
        WetThenDry = "wet then dry", /// Dry when built, wet in service.
        DryThenWet = "dry then wet", /// Wet always.
        Wet = "wet" }
);
choice!(
    /// How panels are held along the slope.
    Held, "way of holding panels", { /// At every course.
        EveryCourse = "every course", /// At one course; elsewhere they slide.
        FixedLine = "fixed line" }
);
choice!(
    /// Which way wind acts.
    WindSide, "side of the wind", { /// Away from the roof.
        Suction = "suction", /// Towards it.
        Pressure = "pressure" }
);
choice!(
    /// Level of a load.
    Level, "level of a load", { /// Strength level (ultimate).
        Strength = "strength", /// Service level (allowable stress design).
        Service = "service" }
);

/// Where the fixed line of the panels is.
#[derive(Clone, Debug, PartialEq)]
pub enum FixedAt {
    /// The lowest course of every panel.
    Eave,
    /// The highest course of every panel.
    Top,
    /// The course of this name.
    Course(String),
}

/// What the design says about strength.
#[derive(Clone, Debug, Default)]
pub struct StrengthSpec {
    /// Rule set.
    pub rules: Option<Given<RuleSet>>,
    /// Load combinations.
    pub combinations: Option<Given<Standard>>,
    /// Species or class of members.
    pub members: Option<Given<String>>,
    /// Species or class of battens.
    pub battens: Option<Given<String>>,
    /// Grade of battens.
    pub grade: Option<Given<String>>,
    /// Moisture when built and in service.
    pub moisture: Option<Given<Moisture>>,
    /// The highest temperature that the wood has for long; `None` where it is not written: normal.
    pub temperature: Option<Given<Temperature>>,
    /// Weight of the roofing for each area of the slope.
    pub roofing: Option<Given<Pressure>>,
    /// How panels are held.
    pub held: Option<Given<Held>>,
    /// Where the fixed line is.
    pub fixed_at: Option<Given<FixedAt>>,
    /// Compressive strength of strips.
    pub strip: Option<Given<Pressure>>,
    /// Thread length of screws.
    pub thread: Option<Given<Length>>,
    /// Root diameter of screws.
    pub root: Option<Given<Length>>,
    /// What the maker of the fasteners states of them.
    pub maker: Option<MakerSpec>,
    /// Bending yield strength of fasteners.
    pub bending_yield: Option<Given<Pressure>>,
    /// Span over largest deflection.
    pub deflection: Option<Given<f64>>,
    /// Share from which on a warning is given.
    pub warn: Option<Given<f64>>,
    /// A person may stand on a batten, says the design.
    pub foothold: Option<Given<bool>>,
    /// Force of a person.
    pub foothold_force: Option<Given<Force>>,
    /// Sources that the designer has looked up and confirms.
    pub confirmed: Vec<Given<String>>,
}

/// What a maker states of fasteners; each value is of the kind that the rule set asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct MakerSpec {
    /// The report that says so.
    pub report: Given<String>,
    /// Withdrawal: for each length (NDS), for each area (EC5).
    pub withdrawal: Option<Given<Rating>>,
    /// Head pull-through: of one fastener (NDS), for each area (EC5).
    pub pull_through: Option<Given<Rating>>,
    /// Tension in the steel of one fastener.
    pub tension: Option<Given<Rating>>,
}

/// Wood of the members that one table of the framing asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct MemberWood {
    /// Key of the table, such as `lookouts[2]`.
    pub table: String,
    /// Species or strength class.
    pub wood: Given<String>,
}

/// What the design says about wind.
#[derive(Clone, Debug, Default)]
pub struct WindSpec {
    /// Edition.
    pub edition: Option<Given<Standard>>,
    /// Basic speed.
    pub speed: Option<Given<Speed>>,
    /// Exposure.
    pub exposure: Option<Given<Exposure>>,
    /// Mean roof height.
    pub height: Option<Given<Length>>,
    /// Least horizontal dimension, or width across the wind.
    pub width: Option<Given<Length>>,
    /// Topographic factor.
    pub topography: Option<Given<f64>>,
    /// Enclosure.
    pub enclosure: Option<Given<Enclosure>>,
    /// Height of the ground above the sea.
    pub elevation: Option<Given<Length>>,
    /// Shape of the roof: as written here, or that of `[roof]`.
    pub shape: Option<Given<RoofShape>>,
    /// Width of zones.
    pub zone_width: Option<Given<Length>>,
    /// How far the roof hangs over its walls, in plan.
    pub overhang: Option<Given<Length>>,
    /// Coefficients of the designer's own.
    pub coefficients: Vec<OwnCoefficient>,
    /// Level of the designer's pressures.
    pub level: Option<Given<Level>>,
    /// Relief and its reason.
    pub relief: Option<(Given<f64>, String)>,
    /// The designer's zones.
    pub zones: Vec<WindZone>,
}

/// A wind coefficient of the designer's own.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnCoefficient {
    /// Zone.
    pub zone: String,
    /// Which way.
    pub side: WindSide,
    /// Area in the edition's unit and coefficient, areas ascending.
    pub points: Vec<(f64, f64)>,
    /// Where it was looked up.
    pub reason: String,
}

/// A zone with the designer's pressures.
#[derive(Clone, Debug)]
pub struct WindZone {
    /// Name.
    pub name: String,
    /// Slopes.
    pub slopes: Vec<SlopeId>,
    /// Within `width` of an edge of one of these kinds; empty: everywhere.
    pub near: Vec<EdgeKind>,
    /// And within `width` of an edge of one of these; empty: no further condition.
    pub and_near: Vec<EdgeKind>,
    /// Reach from the edges on the slope.
    pub width: Length,
    /// Suction, above zero.
    pub suction: Given<Pressure>,
    /// Pressure towards the roof.
    pub pressure: Option<Given<Pressure>>,
}

/// What the design says about snow.
#[derive(Clone, Debug, Default)]
pub struct SnowSpec {
    /// The designer's roof snow load in plan.
    pub roof: Option<Given<Pressure>>,
    /// Edition.
    pub edition: Option<Given<Standard>>,
    /// Ground snow load.
    pub ground: Option<Given<Pressure>>,
    /// Ce.
    pub exposure_factor: Option<Given<f64>>,
    /// Ct.
    pub thermal_factor: Option<Given<f64>>,
    /// Is.
    pub importance: Option<Given<f64>>,
    /// W2 (ASCE 7-22).
    pub winter_wind: Option<Given<f64>>,
    /// Risk category of the building.
    pub risk_category: Option<Given<RiskCategory>>,
    /// Slippery and unobstructed.
    pub slippery: Option<Given<bool>>,
}

/// Everything that the design says about loads; each part `None` where its table is missing.
#[derive(Clone, Debug, Default)]
pub struct Loads {
    /// `[strength]`.
    pub strength: Option<StrengthSpec>,
    /// `[wind]`.
    pub wind: Option<WindSpec>,
    /// `[snow]`.
    pub snow: Option<SnowSpec>,
    /// Roof live load in plan, of `[live]`.
    pub live: Option<Given<Pressure>>,
}
