//! Keys about joints that are given, sawing, spares, bundles and prices.

use schemars::JsonSchema;
use serde::Deserialize;

use super::super::model::Priced;
use super::super::written::Written;
use crate::quantity::{Length, Money, Percentage};

/// The joints of one course, given.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct JointsFile {
    /// Name of the course.
    pub course: Option<Written<String>>,
    /// Names of the lines that its joints stand on, all of them; none for a course of whole boards.
    pub lines: Option<Vec<Written<String>>>,
}

/// How boards are sawn, fasteners counted and loads bundled.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct BuyingFile {
    /// Width of a saw cut.
    pub kerf: Option<Written<Length>>,
    /// Share of fasteners that miss and are driven anew, such as "3 %".
    pub miss_rate: Option<Written<Percentage>>,
    /// Boards that are carried up together.
    pub bundle: Option<Written<i64>>,
    /// Name or sign of the currency of the prices.
    pub currency: Option<Written<String>>,
}

/// What one thing costs.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[schemars(deny_unknown_fields)]
pub struct PriceFile {
    /// "board", "tape roll", "strip", "vent piece" or "fastener".
    #[schemars(required)]
    pub of: Option<Written<Priced>>,
    /// Which stock length (of a board).
    pub length: Option<Written<Length>>,
    /// The price, such as "12.40".
    #[schemars(required)]
    pub price: Option<Written<Money>>,
    /// How many one gets for it; 1 where left out.
    pub pack: Option<Written<i64>>,
}
