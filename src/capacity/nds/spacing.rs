//! Spacing and edge distances against splitting.
//!
//! Aim: how near an end, an edge or another fastener. Reason: the batten end over a 1 1/2 in rafter is the usual splitter.
//! Limits: the NDS itself gives no numbers for D below 1/4 in, only "prevent splitting"; these are the commentary's.

use super::formulas::QUARTER;
use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::spacing::Apart;

/// Table C12.1.5.6 of the commentary (wood side members).
pub const SPACING: Source = Source::new("NDS-2018 commentary Table C12.1.5.6", Mark::FromMemory);

/// Least distances, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spacing {
    /// From the fastener to the edge.
    pub edge: Known,
    /// To the end towards which the load pulls along the grain.
    pub loaded_end: Known,
    /// To any other end.
    pub end: Known,
    /// Between fasteners in a row along the grain.
    pub along: Known,
    /// Between fasteners in a row across the grain.
    pub across: Known,
    /// Between rows in line.
    pub rows: Known,
    /// Between staggered rows.
    pub staggered: Known,
}

/// Least distances for a nail or screw of this diameter (m), prebored or not.
#[must_use]
pub fn spacing(diameter: f64, prebored: bool) -> Spacing {
    let of = |no: f64, yes: f64| Known::new(diameter * if prebored { yes } else { no }, SPACING);
    Spacing {
        edge: of(2.5, 2.5),
        loaded_end: of(15.0, 10.0),
        end: of(10.0, 5.0),
        along: of(15.0, 10.0),
        across: of(10.0, 5.0),
        rows: of(5.0, 3.0),
        staggered: of(2.5, 2.5),
    }
}

/// Tables for fasteners of 1/4 in and more, as a public reading of the standard quotes them.
pub const THICK: Source = Source::new("NDS-2018 Tables 12.5.1B and 12.5.1D", Mark::Published);

/// Whether the tables are for a fastener of this diameter (m), not the commentary.
#[must_use]
pub fn is_thick(diameter: f64) -> bool {
    diameter >= QUARTER
}

/// How far apart two fasteners of this diameter (m) have to stand under load down the slope, in wood whose grain runs up the slope
/// or across it, prebored or not; `thickness` of the batten, m. A row runs the way of the load. From 1/4 in on the full
/// value counts (geometry factor 1).
#[must_use]
pub fn apart(diameter: f64, grain_up: bool, prebored: bool, thickness: f64) -> Apart {
    if is_thick(diameter) {
        let of = |k: f64| Known::new(diameter * k, THICK);
        // Rows across the grain by l / D, here that of the batten: (5 l + 10 D) / 8 between 2 and 6.
        let slender = (5.0 * thickness / diameter + 10.0) / 8.0;
        return Apart { up: of(4.0), across: of(if grain_up { 1.5 } else { slender.clamp(2.5, 5.0) }) };
    }
    let least = spacing(diameter, prebored);
    Apart { up: if grain_up { least.along } else { least.across }, across: least.rows }
}
