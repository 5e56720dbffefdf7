//! One line of a calculation as a person writes it by hand.
//!
//! Aim: symbol, formula, numbers put in, result, source. Reason: an engineer checks one landing by hand. Limits: values in
//! the units of the standard itself; steps are written only when asked for, the fast path makes none.

use serde::Serialize;

use super::source::{Mark, Source};
use super::units::num;

/// One line of a calculation. `numbers` is the formula with the numbers put in: plain arithmetic in ASCII (`+ - * / ^`,
/// `sqrt`, `min`, `max`, `cos`, `sin`, `exp`, `ln`, `log10`, angles in degrees) that gives `value`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// The standard's symbol.
    pub symbol: &'static str,
    /// What it is, in words.
    pub what: &'static str,
    /// The formula in symbols; empty for a value that is only looked up or given.
    pub formula: &'static str,
    /// The formula with the numbers put in; empty likewise.
    pub numbers: String,
    /// The result, in `unit`.
    pub value: f64,
    /// Unit of the result, empty for a plain number.
    pub unit: &'static str,
    /// Standard and clause, with its mark.
    pub source: Source,
}

impl Step {
    /// A computed line.
    #[must_use]
    pub fn new(symbol: &'static str, what: &'static str, formula: &'static str, numbers: String, value: f64) -> Self {
        Self { symbol, what, formula, numbers, value, unit: "", source: Source::STATICS }
    }

    /// A value that is looked up or given, not computed.
    #[must_use]
    pub fn input(symbol: &'static str, what: &'static str, value: f64, unit: &'static str, source: Source) -> Self {
        Self { symbol, what, formula: "", numbers: String::new(), value, unit, source }
    }

    /// With the unit of its result.
    #[must_use]
    pub fn unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }

    /// With its source.
    #[must_use]
    pub fn source(mut self, source: Source) -> Self {
        self.source = source;
        self
    }

    /// The result with its unit, five significant digits.
    #[must_use]
    pub fn result(&self) -> String {
        let rounded: f64 = format!("{:.4e}", self.value).parse().unwrap_or(self.value);
        if self.unit.is_empty() { num(rounded) } else { format!("{} {}", num(rounded), self.unit) }
    }
}

impl std::fmt::Display for Step {
    /// `W = 1380 G^2.5 D = 1380 * 0.42^2.5 * 0.148 = 23.349 lbf/in`, then what it is and the source.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} = ", self.symbol)?;
        if !self.formula.is_empty() {
            write!(f, "{} = {} = ", self.formula, self.numbers)?;
        }
        write!(f, "{}  [{}; {}]", self.result(), self.what, self.source)
    }
}

/// How many of the steps rest on each mark, from the best to the worst mark, marks that do not occur left out.
#[must_use]
pub fn count_marks(steps: &[Step]) -> Vec<(Mark, usize)> {
    [Mark::Given, Mark::Computed, Mark::Published, Mark::Validated, Mark::FromMemory, Mark::Shaky]
        .into_iter()
        .map(|mark| (mark, steps.iter().filter(|s| s.source.mark == mark).count()))
        .filter(|(_, n)| *n > 0)
        .collect()
}
