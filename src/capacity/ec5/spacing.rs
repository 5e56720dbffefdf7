//! Spacing, edge and end distances of Eurocode 5, and when holes must be predrilled.

use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::spacing::Apart;
use crate::capacity::units::MM;
use crate::quantity::maths::{cos, sin};

/// Table 8.2, no predrilling, characteristic density up to 420 kg/m3.
pub const NAILS: Source = Source::new("EN 1995-1-1 Table 8.2, rho_k up to 420 kg/m3, not predrilled", Mark::FromMemory);
/// The same with predrilled holes.
pub const PREDRILLED: Source = Source::new("EN 1995-1-1 Table 8.2, predrilled", Mark::FromMemory);
/// Table 8.6 for screws loaded along their axis.
pub const SCREWS: Source = Source::new("EN 1995-1-1+A1 Table 8.6", Mark::FromMemory);
/// (8.18).
pub const PREDRILL: Source = Source::new("EN 1995-1-1 8.3.1.2(6) (8.18)", Mark::FromMemory);

/// Least distances, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spacing {
    /// a1, along the grain.
    pub along: Known,
    /// a2, across the grain.
    pub across: Known,
    /// a3,t, loaded end.
    pub loaded_end: Known,
    /// a3,c, unloaded end.
    pub end: Known,
    /// a4,t, loaded edge.
    pub loaded_edge: Known,
    /// a4,c, unloaded edge.
    pub edge: Known,
}

/// Nails and thin screws under lateral load at this angle (radians) to the grain; diameter in m.
#[must_use]
pub fn nails(diameter: f64, angle: f64) -> Spacing {
    let thin = diameter < 5.0 * MM;
    let (s, c) = (sin(angle).abs(), cos(angle).abs());
    let of = |k: f64| Known::new(k * diameter, NAILS);
    Spacing {
        along: of(5.0 + if thin { 5.0 } else { 7.0 } * c),
        across: of(5.0),
        loaded_end: of(10.0 + 5.0 * c),
        end: of(10.0),
        loaded_edge: of(5.0 + if thin { 2.0 } else { 5.0 } * s),
        edge: of(5.0),
    }
}

/// Screws loaded along their axis in wood at least 12 d thick; diameter in m. No difference of loaded and unloaded.
#[must_use]
pub fn screws(diameter: f64) -> Spacing {
    let of = |k: f64| Known::new(k * diameter, SCREWS);
    Spacing {
        along: of(7.0),
        across: of(5.0),
        loaded_end: of(10.0),
        end: of(10.0),
        loaded_edge: of(4.0),
        edge: of(4.0),
    }
}

/// Least thickness of wood of this characteristic density (kg/m3) for a nail that is not predrilled, m.
#[must_use]
pub fn least_thickness(diameter: f64, density: f64) -> Known {
    let d = diameter / MM;
    Known::new((7.0 * d).max((13.0 * d - 30.0) * density / 400.0) * MM, PREDRILL)
}

/// How far apart two fasteners of this diameter (m) have to stand under load down the slope, in wood whose grain runs up the slope
/// or across it, predrilled or not; of screws Table 8.6 counts as well.
#[must_use]
pub fn apart(diameter: f64, grain_up: bool, predrilled: bool, screws: bool) -> Apart {
    let angle = if grain_up { 0.0 } else { std::f64::consts::FRAC_PI_2 };
    // a1 along the grain, a2 across it.
    let (mut along, mut beside) = if predrilled {
        let of = |k: f64| Known::new(k * diameter, PREDRILLED);
        (of(4.0 + cos(angle).abs()), of(3.0 + sin(angle).abs()))
    } else {
        let least = nails(diameter, angle);
        (least.along, least.across)
    };
    if screws {
        let axial = self::screws(diameter);
        let larger = |a: Known, b: Known| if b.value > a.value { b } else { a };
        (along, beside) = (larger(along, axial.along), larger(beside, axial.across));
    }
    if grain_up { Apart { up: along, across: beside } } else { Apart { up: beside, across: along } }
}
