//! Loads and strength as they are written: `[strength]`, `[wind]`, `[snow]`, `[live]`. All of it may be left out.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Located, Tables};
use crate::design::model::*;
use crate::design::scalars::Rating;
use crate::design::written::Written;
use crate::quantity::{Force, Length, Pressure, Speed, Temperature};

/// What is needed to compute strength, beside the loads. Nothing here is assumed that would make a roof look stronger:
/// what is missing is told as the reason why strength is not checked.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct StrengthFile {
    /// Rule set: "NDS" or "EC5". They are never mixed.
    pub rules: Option<Written<RuleSet>>,
    /// Whose load combinations; where left out, those of the edition that `[wind]` or `[snow]` names.
    pub combinations: Option<Written<Standard>>,
    /// Species of the members (NDS: "spruce-pine-fir") or their strength class (EC5: "C24").
    pub members: Option<Written<String>>,
    /// Species or strength class of the battens.
    pub battens: Option<Written<String>>,
    /// Grade of the battens (NDS: "no. 2"). Ungraded boards have no design values.
    pub grade: Option<Written<String>>,
    /// Moisture of the wood, when built and in service: "dry", "wet then dry", "dry then wet" or "wet". Under a ventilated
    /// metal roof wood is dry in service (at most 19 %) only where neither rain nor melt water reaches it.
    pub moisture: Option<Written<Moisture>>,
    /// The highest temperature that the wood has for long, such as "120 F". Wood that the sun heats for some hours of a day
    /// counts as normal; give this where wood stays hot, as beside a flue or a dryer.
    pub temperature: Option<Written<Temperature>>,
    /// Weight of the roofing for each area of the slope.
    pub roofing: Option<Written<Pressure>>,
    /// How panels are held along the slope: "every course" or "fixed line" (sliding clips elsewhere). Where left out,
    /// both are computed and the worse decides.
    pub held: Option<Written<Held>>,
    /// Where the fixed line is: "eave", "top" or the name of a course.
    pub fixed_at: Option<Written<String>>,
    /// Compressive strength of the strips, allowed for loads that come and go, without partial factors.
    pub strip: Option<Written<Pressure>>,
    /// Length of a screw's thread from its tip.
    pub thread: Option<Written<Length>>,
    /// Diameter of a screw under its thread.
    pub root: Option<Written<Length>>,
    /// What the maker of the fasteners states of them.
    pub maker: Option<Located<MakerFile>>,
    /// Bending yield strength of the fasteners.
    pub bending_yield: Option<Written<Pressure>>,
    /// Largest deflection of a batten: its span divided by this number.
    pub deflection: Option<Written<f64>>,
    /// Share of a capacity from which on a warning is given.
    pub warn: Option<Written<f64>>,
    /// Claims that a person may stand on a single batten. Then the check fails where a batten does not carry that.
    pub foothold: Option<Written<bool>>,
    /// The force of a person on a single batten.
    pub foothold_force: Option<Written<Force>>,
    /// Sources that the designer has looked up and confirms, as `airlath explain` prints them beside a value that is
    /// from memory. What rests on an unconfirmed one is unconfirmed and never a pass.
    pub confirmed: Option<Vec<Written<String>>>,
}

/// Strength of fasteners by their maker: for the NDS allowable values before load duration, for Eurocode 5 characteristic ones.
/// They take the place of the standard's own.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct MakerFile {
    /// The maker's report or declaration, with its number and table: where somebody else can look the values up.
    #[schemars(required)]
    pub report: Option<Written<String>>,
    /// Withdrawal from the wood that the fasteners go into in this design: "180 lbf/in" of thread (NDS), f_ax,k as "12.5 N/mm2"
    /// (EC5).
    pub withdrawal: Option<Written<Rating>>,
    /// Pull-through of the head in the battens of this design, at their thickness: "250 lbf" (NDS), f_head,k as "16 N/mm2"
    /// (EC5).
    pub pull_through: Option<Written<Rating>>,
    /// Tension in the steel of one fastener: "600 lbf", allowable (NDS) or characteristic (EC5).
    pub tension: Option<Written<Rating>>,
}

/// Wind: the designer's own pressures by zone, or a site and the edition of a standard.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WindFile {
    /// Edition whose coefficients are used. None is assumed.
    pub edition: Option<Written<Standard>>,
    /// Basic wind speed, as the edition's maps give it.
    pub speed: Option<Written<Speed>>,
    /// Exposure "B", "C", "D" (ASCE 7) or terrain category "0", "I", "II", "III", "IV" (EN 1991-1-4).
    pub exposure: Option<Written<Exposure>>,
    /// Mean roof height above the ground.
    pub height: Option<Written<Length>>,
    /// Least horizontal dimension of the building (ASCE 7); width across the wind of the larger side (EN 1991-1-4).
    pub width: Option<Written<Length>>,
    /// Topographic factor: Kzt (ASCE 7), co (EN 1991-1-4).
    pub topography: Option<Written<f64>>,
    /// "enclosed", "partially enclosed", "partially open" (ASCE 7-16 and later: neither of the others) or "open".
    pub enclosure: Option<Written<Enclosure>>,
    /// Height of the ground above the sea (ASCE 7-16 and later).
    pub elevation: Option<Written<Length>>,
    /// Shape of the roof, where the design does not say it: "gable", "hip" or "shed".
    pub shape: Option<Written<RoofShape>>,
    /// Width of the zones along edges, where it is not to follow from the edition.
    pub zone_width: Option<Written<Length>>,
    /// How far the roof hangs over its walls at eaves, rakes and high edges, in plan; zero where it ends at them. What carries
    /// roofing over an overhang without coefficients is not checked.
    pub overhang: Option<Written<Length>>,
    /// Level of the pressures in the tables of zones: "strength" or "service".
    pub level: Option<Written<Level>>,
    /// Relief for air that gets behind the roofing: the pressures are multiplied by this. Needs a reason.
    pub relief: Option<Written<f64>>,
    /// Why there is relief: the test or the rule.
    pub relief_reason: Option<Written<String>>,
    /// The designer's own pressures, zone by zone. The first zone that holds a place counts; one without `near` holds
    /// every place.
    #[serde(default)]
    pub zone: Tables<WindZoneFile>,
    /// Coefficients of your own in place of those that come along.
    #[serde(default)]
    pub coefficient: Tables<CoefficientFile>,
}

/// A wind coefficient of the designer's own.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct CoefficientFile {
    /// Zone, as the edition names it, such as "3" or "F"; of an overhang by ASCE 7 with that word behind it, such as
    /// "3 overhang", by EN 1991-1-4 "overhang" alone: net of both faces.
    #[schemars(required)]
    pub zone: Option<Written<String>>,
    /// "suction" or "pressure".
    #[schemars(required)]
    pub side: Option<Written<WindSide>>,
    /// Points: area (square feet for ASCE 7, square metres for EN 1991-1-4) and coefficient as the edition prints it
    /// (below zero for suction), areas ascending: [[10.0, -2.6], [100.0, -2.0]].
    #[schemars(required)]
    pub points: Option<Vec<Vec<Written<f64>>>>,
    /// Where you looked it up.
    #[schemars(required)]
    pub reason: Option<Written<String>>,
}

/// A zone with its pressures.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct WindZoneFile {
    /// Name.
    #[schemars(required)]
    pub name: Option<Written<String>>,
    /// Slopes; all where left out.
    pub slopes: Option<Vec<Written<String>>>,
    /// Kinds of edges: the zone is what lies within `width` of one of them.
    pub near: Option<Vec<Written<EdgeKind>>>,
    /// Further kinds: the zone is only what also lies within `width` of one of these (a corner).
    pub and_near: Option<Vec<Written<EdgeKind>>>,
    /// How far from the edges the zone reaches, on the slope.
    pub width: Option<Written<Length>>,
    /// Suction, a number above zero: away from the roof.
    #[schemars(required)]
    pub suction: Option<Written<Pressure>>,
    /// Pressure towards the roof.
    pub pressure: Option<Written<Pressure>>,
}

/// Snow.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct SnowFile {
    /// The designer's own snow load on this roof, for each area in plan.
    pub roof: Option<Written<Pressure>>,
    /// Edition by which the roof's load follows from the ground's. None is assumed.
    pub edition: Option<Written<Standard>>,
    /// Snow load on the ground, as the edition's maps give it.
    pub ground: Option<Written<Pressure>>,
    /// Exposure factor Ce.
    pub exposure_factor: Option<Written<f64>>,
    /// Thermal factor Ct.
    pub thermal_factor: Option<Written<f64>>,
    /// Importance factor Is (ASCE 7-16 and earlier).
    pub importance: Option<Written<f64>>,
    /// Winter wind parameter W2 (ASCE 7-22), the share of the winter in which wind is above 10 mph, as the edition's maps give
    /// it: drifts on gables and hips of more than 20 ft from eave to ridge follow from it.
    pub winter_wind: Option<Written<f64>>,
    /// Risk category of the building, "I" to "IV": what the least snow of slopes below 15 deg goes by (ASCE 7-22).
    pub risk_category: Option<Written<RiskCategory>>,
    /// Whether the roofing is slippery and nothing keeps snow from sliding off.
    pub slippery: Option<Written<bool>>,
}

/// Roof live load.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct LiveFile {
    /// Roof live load for each area in plan.
    #[schemars(required)]
    pub roof: Option<Written<Pressure>>,
}
