//! Lateral yield of a dowel-type fastener across a gap: six modes.
//!
//! Aim: one evaluation for a nail or screw that passes a batten, a gap that carries nothing, and a member. Reason: strip,
//! tape, membrane (and a deck that is not counted) part the two woods, which costs a third of the strength or more.
//! Limits: single shear, solid woods, bearing lengths measured square to the wood's face; no friction and no rope effect.
//! The equations at g = 0 are those of the standards; the gap terms are statics (moment balance at the yield points)
//! as the general dowel equations of AWC TR12 give them.

use super::source::{Mark, Source};
use super::step::Step;
use super::units::{INCH, MM};
use super::units::{LBF, LBF_INCH, LBF_PER_INCH, num};

/// The six yield modes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mode {
    /// Bearing in the member.
    Im,
    /// Bearing in the batten.
    Is,
    /// The fastener turns in both woods.
    Two,
    /// One hinge, in the batten; the fastener turns in the member.
    ThreeM,
    /// One hinge, in the member; the fastener turns in the batten.
    ThreeS,
    /// A hinge in each wood.
    Four,
}

impl Mode {
    /// In the order of the arrays of this module.
    pub const ALL: [Self; 6] = [Self::Im, Self::Is, Self::Two, Self::ThreeM, Self::ThreeS, Self::Four];

    /// Symbol of the NDS.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Im => "Im",
            Self::Is => "Is",
            Self::Two => "II",
            Self::ThreeM => "IIIm",
            Self::ThreeS => "IIIs",
            Self::Four => "IV",
        }
    }

    /// Letter of the matching equation of EN 1995-1-1 (8.6).
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::Is => "a",
            Self::Im => "b",
            Self::Two => "c",
            Self::ThreeS => "d",
            Self::ThreeM => "e",
            Self::Four => "f",
        }
    }

    /// What gives way, in words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Im => "the member's wood is crushed",
            Self::Is => "the batten's wood is crushed",
            Self::Two => "the fastener turns in both woods",
            Self::ThreeM => "the fastener bends in the batten and turns in the member",
            Self::ThreeS => "the fastener bends in the member and turns in the batten",
            Self::Four => "the fastener bends in both woods",
        }
    }
}

/// Inputs of the general dowel equations, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dowel {
    /// Bearing strength of the batten times the diameter, q_s, N/m.
    pub side: f64,
    /// Bearing strength of the member times the diameter, q_m, N/m.
    pub main: f64,
    /// Bearing length in the batten l_s, m.
    pub side_length: f64,
    /// Bearing length in the member l_m, m.
    pub main_length: f64,
    /// Gap g between the woods, m.
    pub gap: f64,
    /// Plastic moment of the fastener in the batten M_s, N m.
    pub side_moment: f64,
    /// Plastic moment in the member M_m, N m.
    pub main_moment: f64,
}

/// Which units a hand calculation is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Written {
    /// lbf and inches.
    Inches,
    /// N and mm.
    Millimetres,
}

/// AWC TR12 with its mark: the coefficients were recalled; at g = 0 they equal NDS 12.3-1 to 12.3-6 and they reproduce the
/// furring table of the building code with a fitted divisor.
pub const GENERAL_DOWEL: Source = Source::new("AWC TR12 general dowel equations with gap", Mark::Validated);

impl Dowel {
    /// A, B, C of `A P^2 + B P + C = 0` for mode II to IV.
    fn quadratic(&self, mode: Mode) -> (f64, f64, f64) {
        let (qs, qm, ls, lm, g) = (self.side, self.main, self.side_length, self.main_length, self.gap);
        let (turn_s, turn_m) = (qs * ls * ls / 4.0, qm * lm * lm / 4.0);
        match mode {
            Mode::ThreeM => (0.5 / qs + 0.25 / qm, g + lm / 2.0, -self.side_moment - turn_m),
            Mode::ThreeS => (0.25 / qs + 0.5 / qm, ls / 2.0 + g, -turn_s - self.main_moment),
            Mode::Four => (0.5 / qs + 0.5 / qm, g, -self.side_moment - self.main_moment),
            Mode::Im | Mode::Is | Mode::Two => (0.25 / qs + 0.25 / qm, ls / 2.0 + g + lm / 2.0, -turn_s - turn_m),
        }
    }

    /// Yield load of one mode, N.
    #[must_use]
    pub fn load(&self, mode: Mode) -> f64 {
        match mode {
            Mode::Im => self.main * self.main_length,
            Mode::Is => self.side * self.side_length,
            _ => {
                // The root written so that nothing cancels when the gap is wide.
                let (a, b, c) = self.quadratic(mode);
                -2.0 * c / (b + (b * b - 4.0 * a * c).sqrt())
            }
        }
    }

    /// Yield loads of all modes in the order of [`Mode::ALL`], N.
    #[must_use]
    pub fn loads(&self) -> [f64; 6] {
        Mode::ALL.map(|mode| self.load(mode))
    }

    /// The hand calculation of all six modes.
    #[must_use]
    pub fn steps(&self, written: Written, source: Source) -> Vec<Step> {
        let (length, force, per_length, moment) = match written {
            Written::Inches => (INCH, LBF, LBF_PER_INCH, LBF_INCH),
            Written::Millimetres => (MM, 1.0, 1.0 / MM, MM),
        };
        let unit = match written {
            Written::Inches => "lbf",
            Written::Millimetres => "N",
        };
        let (qs, qm) = (num(self.side / per_length), num(self.main / per_length));
        let (ls, lm, g) = (num(self.side_length / length), num(self.main_length / length), num(self.gap / length));
        let (ms, mm) = (num(self.side_moment / moment), num(self.main_moment / moment));
        Mode::ALL
            .iter()
            .map(|&mode| {
                let (what, formula, numbers) = match mode {
                    Mode::Im => ("yield load, mode Im", "q_m l_m", format!("{qm} * {lm}")),
                    Mode::Is => ("yield load, mode Is", "q_s l_s", format!("{qs} * {ls}")),
                    _ => {
                        let (what, a, b, c) = match mode {
                            Mode::ThreeM => (
                                "yield load, mode IIIm: A = 1/(2 q_s) + 1/(4 q_m), B = g + l_m/2, C = M_s + q_m l_m^2/4",
                                format!("(1/(2*{qs}) + 1/(4*{qm}))"),
                                format!("({g} + {lm}/2)"),
                                format!("({ms} + {qm}*{lm}^2/4)"),
                            ),
                            Mode::ThreeS => (
                                "yield load, mode IIIs: A = 1/(4 q_s) + 1/(2 q_m), B = l_s/2 + g, C = q_s l_s^2/4 + M_m",
                                format!("(1/(4*{qs}) + 1/(2*{qm}))"),
                                format!("({ls}/2 + {g})"),
                                format!("({qs}*{ls}^2/4 + {mm})"),
                            ),
                            Mode::Four => (
                                "yield load, mode IV: A = 1/(2 q_s) + 1/(2 q_m), B = g, C = M_s + M_m",
                                format!("(1/(2*{qs}) + 1/(2*{qm}))"),
                                format!("({g})"),
                                format!("({ms} + {mm})"),
                            ),
                            _ => (
                                "yield load, mode II: A = 1/(4 q_s) + 1/(4 q_m), B = l_s/2 + g + l_m/2, C = (q_s l_s^2 + q_m l_m^2)/4",
                                format!("(1/(4*{qs}) + 1/(4*{qm}))"),
                                format!("({ls}/2 + {g} + {lm}/2)"),
                                format!("(({qs}*{ls}^2 + {qm}*{lm}^2)/4)"),
                            ),
                        };
                        (what, "2 C / (B + sqrt(B^2 + 4 A C))", format!("2*{c}/({b} + sqrt({b}^2 + 4*{a}*{c}))"))
                    }
                };
                let symbol = match mode {
                    Mode::Im => "P_Im",
                    Mode::Is => "P_Is",
                    Mode::Two => "P_II",
                    Mode::ThreeM => "P_IIIm",
                    Mode::ThreeS => "P_IIIs",
                    Mode::Four => "P_IV",
                };
                Step::new(symbol, what, formula, numbers, self.load(mode) / force).unit(unit).source(source)
            })
            .collect()
    }
}
