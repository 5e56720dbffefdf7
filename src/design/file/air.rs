//! `[air]`: weather, vent pieces' figures, rules that apply.

use schemars::JsonSchema;
use serde::Deserialize;

use super::{Located, Tables};
use crate::design::model::{AirRule, IrcEdition};
use crate::design::weather::Coefficient;
use crate::design::written::Written;
use crate::quantity::{AirSpeed, FreeArea, Irradiance, Length, Share, Temperature, VapourRate};

/// What the flow of air depends on. Whether air finds a way at all needs none of it.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct AirFile {
    /// Temperature outside.
    pub outside: Option<Written<Temperature>>,
    /// Relative humidity outside.
    pub humidity: Option<Written<Share>>,
    /// Temperature of the air in the lattice, where it is known; or write `roofing` or `sun`.
    pub lattice: Option<Written<Temperature>>,
    /// Temperature of the roofing, which warms the air as it passes.
    pub roofing: Option<Written<Temperature>>,
    /// Sun on the roofing, which warms it.
    pub sun: Option<Written<Irradiance>>,
    /// Share of the sun that the roofing takes up.
    pub absorption: Option<Written<Share>>,
    /// Speed of the wind at the roof.
    pub wind: Option<Written<AirSpeed>>,
    /// Pressure coefficient at eaves.
    pub cp_eave: Option<Written<Coefficient>>,
    /// Pressure coefficient at tops.
    pub cp_top: Option<Written<Coefficient>>,
    /// Pressure coefficients of single edges.
    #[serde(default)]
    pub pressure: Tables<EdgePressureFile>,
    /// Free area of the vent pieces, as their maker states it.
    pub free_area: Option<Located<FreeAreaFile>>,
    /// The screen of the vent pieces, where the free area does not count it in.
    pub screen: Option<Located<ScreenFile>>,
    /// Air slower than this stands still.
    pub still: Option<Written<AirSpeed>>,
    /// Vapour that comes through the roof from below.
    pub leak: Option<Written<VapourRate>>,
    /// Whether the insulated ceiling follows the rafters; `false` where it lies level under a loft. Rules ask for it.
    pub ceiling_on_rafters: Option<Written<bool>>,
    /// Whether a vapour retarder of class I or II (1 perm at the most) lies on the warm side. Rules ask for it.
    pub vapour_retarder: Option<Written<bool>>,
    /// Climate zone by the IRC, 0 to 8. Editions from 2012 ask for the retarder in zones 6 to 8 only.
    pub climate_zone: Option<Written<i64>>,
    /// Edition of the IRC that applies, such as "2021".
    pub irc_edition: Option<Written<IrcEdition>>,
    /// Rules that the local official applies to this roof; of all others only comparisons are shown.
    pub rules: Option<Vec<Written<AirRule>>>,
}

/// Pressure coefficient of one edge.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct EdgePressureFile {
    /// Which: slope and number, such as "S.1".
    pub edge: Option<Written<String>>,
    /// Its coefficient.
    pub cp: Option<Written<Coefficient>>,
}

/// Free area of vent pieces for each length.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct FreeAreaFile {
    /// At an eave.
    pub eave: Option<Written<FreeArea>>,
    /// At a top.
    pub top: Option<Written<FreeArea>>,
}

/// A woven screen.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct ScreenFile {
    /// Threads an inch, both ways, such as [18, 16].
    pub threads: Option<Vec<Written<i64>>>,
    /// Diameter of a wire.
    pub wire: Option<Written<Length>>,
}
