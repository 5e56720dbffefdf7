//! Spacing and edge distances against splitting.
//!
//! Aim: how near an end, an edge or another fastener. Reason: the batten end over a 1 1/2 in rafter is the usual splitter.
//! Limits: the NDS itself gives no numbers for D below 1/4 in, only "prevent splitting"; these are the commentary's.

use crate::capacity::source::{Known, Mark, Source};

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
