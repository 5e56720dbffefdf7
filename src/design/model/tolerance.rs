//! How well things are known, and where fasteners are aimed.

use super::{Choice, Given};
use crate::quantity::Length;

choice!(
    /// What a stated tolerance means.
    ToleranceMeaning, "meaning of a tolerance", { /// One standard deviation.
        One = "1 sigma", /// Two: 19 times in 20 it is less.
        Two = "2 sigma", /// Three: 369 times in 370 it is less.
        Three = "3 sigma" }
);
choice!(
    /// Where fasteners are aimed.
    AimPlace, "way to aim", { /// Where the pattern puts them.
        Rule = "rule", /// Inside their sure windows.
        Window = "window" }
);

impl ToleranceMeaning {
    /// How many standard deviations a stated size is.
    pub fn sigmas(self) -> f64 {
        match self {
            ToleranceMeaning::One => 1.0,
            ToleranceMeaning::Two => 2.0,
            ToleranceMeaning::Three => 3.0,
        }
    }
}

/// How well things are known. The tilt stands beside it, in [`super::Design::tilt`], because windows need it always.
#[derive(Clone, Debug)]
pub struct Tolerance {
    /// What the sizes mean.
    pub meaning: Given<ToleranceMeaning>,
    /// Place of a member across its line.
    pub rafter: Given<Length>,
    /// Bow of a member at its middle.
    pub bow: Given<Length>,
    /// Place of the sighted line.
    pub line: Given<Length>,
    /// Place of a fastener beside its mark.
    pub drive: Given<Length>,
    /// The chance of a miss from which on a landing is flagged.
    pub miss: Given<f64>,
}

/// Where fasteners are aimed.
#[derive(Clone, Debug)]
pub struct AimSpec {
    /// By the pattern or into the windows.
    pub place: Given<AimPlace>,
    /// Least distance between two fasteners of a landing.
    pub spacing: Given<Length>,
}
