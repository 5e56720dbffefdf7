//! What the flow of air depends on, resolved.

use super::{Given, SlopeId};
use crate::design::written::Choice;
use crate::quantity::{AirSpeed, FreeArea, Irradiance, Share, Temperature, VapourRate};

/// A prescriptive rule on ventilation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AirRule {
    /// International Residential Code, section R806.
    Irc,
    /// DIN 4108-3.
    Din,
    /// BS 5250.
    Bs,
    /// National Building Code of Canada, 9.19.
    Nbc,
}

impl Choice for AirRule {
    const NAME: &'static str = "rule on ventilation";
    const WORDS: &'static [(&'static str, Self)] = &[
        ("IRC R806", AirRule::Irc),
        ("DIN 4108-3", AirRule::Din),
        ("BS 5250", AirRule::Bs),
        ("NBC 9.19", AirRule::Nbc),
    ];
}

impl AirRule {
    /// All rules.
    pub const ALL: [AirRule; 4] = [AirRule::Irc, AirRule::Din, AirRule::Bs, AirRule::Nbc];

    /// The rule's name.
    pub fn word(self) -> &'static str {
        match self {
            AirRule::Irc => "IRC R806",
            AirRule::Din => "DIN 4108-3",
            AirRule::Bs => "BS 5250",
            AirRule::Nbc => "NBC 9.19",
        }
    }
}

/// Editions of the International Residential Code, by what R806.2 asks where 1/300 of the area shall do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum IrcEdition {
    /// Up to 2009: much of it at the top, or a vapour retarder.
    To2009,
    /// 2012: one or more of two conditions.
    Of2012,
    /// 2015 and later: both conditions.
    From2015,
}

impl Choice for IrcEdition {
    const NAME: &'static str = "edition of the IRC";
    const WORDS: &'static [(&'static str, Self)] = &[
        ("2000", IrcEdition::To2009),
        ("2003", IrcEdition::To2009),
        ("2006", IrcEdition::To2009),
        ("2009", IrcEdition::To2009),
        ("2012", IrcEdition::Of2012),
        ("2015", IrcEdition::From2015),
        ("2018", IrcEdition::From2015),
        ("2021", IrcEdition::From2015),
        ("2024", IrcEdition::From2015),
    ];
}

/// What warms the air.
#[derive(Clone, Debug, PartialEq)]
pub enum Warmth {
    /// The air in the lattice has this temperature.
    Lattice(Given<Temperature>),
    /// The roofing has this temperature and warms the air as it passes.
    Roofing(Given<Temperature>),
    /// The sun warms the roofing.
    Sun(Given<Irradiance>, Given<Share>),
    /// Nothing: the air is as warm as outside.
    Nothing,
}

/// A screen.
#[derive(Clone, Debug, PartialEq)]
pub struct ScreenSpec {
    /// Threads an inch.
    pub threads: (u32, u32),
    /// Wire, metres.
    pub wire: f64,
    /// Where it is written.
    pub line: usize,
}

/// Weather and figures of the vent pieces, as far as the design states them.
#[derive(Clone, Debug, PartialEq)]
pub struct AirSpec {
    /// Outside.
    pub outside: Option<Given<Temperature>>,
    /// Relative humidity outside.
    pub humidity: Option<Given<Share>>,
    /// What warms the air.
    pub warmth: Warmth,
    /// Wind.
    pub wind: Given<AirSpeed>,
    /// Pressure coefficient at eaves.
    pub cp_eave: Given<f64>,
    /// Pressure coefficient at tops.
    pub cp_top: Given<f64>,
    /// Pressure coefficients of single edges.
    pub pressures: Vec<((SlopeId, usize), f64)>,
    /// Free area at eaves.
    pub free_eave: Option<Given<FreeArea>>,
    /// Free area at tops.
    pub free_top: Option<Given<FreeArea>>,
    /// Screen.
    pub screen: Option<ScreenSpec>,
    /// Slower is still.
    pub still: Given<AirSpeed>,
    /// Vapour from below.
    pub leak: Option<Given<VapourRate>>,
    /// Whether the insulated ceiling follows the rafters; else it lies level under a loft.
    pub ceiling_on_rafters: Given<bool>,
    /// Whether a vapour retarder of class I or II (1 perm at the most) lies on the warm side.
    pub vapour_retarder: Given<bool>,
    /// Climate zone of the IRC, 0 to 8.
    pub climate_zone: Option<Given<i64>>,
    /// Edition of the IRC.
    pub irc_edition: Given<IrcEdition>,
    /// Rules that apply.
    pub rules: Vec<AirRule>,
}
