//! What a check says.

use super::Verdict;
use crate::design::{Change, Given, SlopeId};
use crate::quantity::Length;

/// A place on a slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// The slope.
    pub slope: SlopeId,
    /// x along the eave, y up the slope, z outward, metres.
    pub at: [f64; 3],
}

/// One number behind a verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    /// What was measured.
    pub what: &'static str,
    /// What was found.
    pub found: Measure,
    /// What is asked, if there is a limit.
    pub limit: Option<Measure>,
}

/// A number with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// Metres.
    Length(f64),
    /// A count.
    Count(usize),
    /// Newtons.
    Force(f64),
    /// A share: of a capacity, or a chance from 0 to 1.
    Share(f64),
}

impl Measure {
    /// The number.
    pub fn value(self) -> f64 {
        match self {
            Measure::Length(v) | Measure::Force(v) | Measure::Share(v) => v,
            Measure::Count(n) => n as f64,
        }
    }

    /// The unit.
    pub fn unit(self) -> &'static str {
        match self {
            Measure::Length(_) => "m",
            Measure::Count(_) => "count",
            Measure::Force(_) => "N",
            Measure::Share(_) => "share",
        }
    }
}

/// One thing that would mend a finding: in words, and as a change of the design.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// What to do.
    pub text: String,
    /// The same for the design file.
    pub change: Change,
}

/// What helps against a finding.
#[derive(Clone, Debug, PartialEq)]
pub enum Help {
    /// A change of the design, which a re-run can try.
    Mend(Mend),
    /// Words alone: work on the roof, or a choice that only a person makes. No key of a design says it.
    Advice(String),
}

impl From<Mend> for Help {
    fn from(mend: Mend) -> Help {
        Help::Mend(mend)
    }
}

/// Where a limit comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Line of the design file.
    pub line: Option<usize>,
    /// In words.
    pub text: String,
}

impl Source {
    /// The source of a value of the design.
    pub fn of<T>(given: &Given<T>) -> Source {
        Source { line: given.origin.line(), text: given.origin.words() }
    }

    /// A source that is no value of the design.
    pub fn words(text: &str) -> Source {
        Source { line: None, text: text.to_owned() }
    }
}

/// One verdict that is not a pass.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The check's name.
    pub check: &'static str,
    /// The verdict.
    pub verdict: Verdict,
    /// One sentence.
    pub message: String,
    /// The parts concerned; the first is the one to look at.
    pub parts: Vec<String>,
    /// How many findings this one stands for: 1, but where a check has more than it lists one by one.
    pub stands_for: usize,
    /// Where.
    pub place: Option<Place>,
    /// The numbers.
    pub evidence: Vec<Evidence>,
    /// Changes of the design, each of which would mend it.
    pub mends: Vec<Mend>,
    /// What else helps, in words alone; at least this where there is no mend.
    pub advice: Vec<String>,
    /// Where the limit comes from.
    pub source: Source,
}

impl Evidence {
    /// A length against a limit.
    pub fn length(what: &'static str, found: f64, limit: &Given<Length>) -> Evidence {
        Evidence { what, found: Measure::Length(found), limit: Some(Measure::Length(limit.metres())) }
    }

    /// A count against the one that is asked for.
    pub fn count(what: &'static str, found: usize, limit: usize) -> Evidence {
        Evidence { what, found: Measure::Count(found), limit: Some(Measure::Count(limit)) }
    }

    /// A length that must be nothing.
    pub fn none(what: &'static str, found: f64) -> Evidence {
        Evidence { what, found: Measure::Length(found), limit: Some(Measure::Length(0.0)) }
    }

    /// A length without a limit.
    pub fn only(what: &'static str, found: f64) -> Evidence {
        Evidence { what, found: Measure::Length(found), limit: None }
    }
}
