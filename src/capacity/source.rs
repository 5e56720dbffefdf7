//! Where a formula or a value comes from, and how far it can be trusted.
//!
//! Aim: every number of this floor carries its source. Reason: an engineer checks one landing by hand and trusts the
//! rest only if each line can be looked up. Limits: a mark says how we know a value, not whether the value fits a roof.

use serde::{Deserialize, Serialize};

/// How we know a value. Ordered from best to worst, so that the worst of several is their maximum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mark {
    /// Written by the designer, or by a maker whom the designer quotes.
    Given,
    /// Follows from geometry, statics or the values before it.
    Computed,
    /// Seen in a public text, or computed by an equation that was seen there.
    Published,
    /// Recalled, and it reproduces tables that were published.
    Validated,
    /// Recalled, and thought to be right.
    FromMemory,
    /// Recalled with doubt.
    Shaky,
}

impl Mark {
    /// In words for print.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::Computed => "computed",
            Self::Published => "published",
            Self::Validated => "from memory, reproduces published tables",
            Self::FromMemory => "from memory",
            Self::Shaky => "from memory, in doubt",
        }
    }

    /// Whether nothing but memory stands behind it: a verdict that rests on it is unconfirmed and no pass.
    #[must_use]
    pub const fn is_from_memory(self) -> bool {
        matches!(self, Self::FromMemory | Self::Shaky)
    }
}

/// A standard or handbook with its clause, and the mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
pub struct Source {
    /// Standard, edition and clause, or how the value was made.
    pub text: &'static str,
    /// How we know it.
    pub mark: Mark,
}

impl Source {
    /// A source with its mark.
    #[must_use]
    pub const fn new(text: &'static str, mark: Mark) -> Self {
        Self { text, mark }
    }
    /// The designer's own value.
    pub const GIVEN: Self = Self::new("the design", Mark::Given);
    /// A value of the fasteners' maker, by the report that the design names.
    pub const MAKER: Self = Self::new("the maker's report that the design names", Mark::Given);
    /// Plain geometry.
    pub const GEOMETRY: Self = Self::new("geometry", Mark::Computed);
    /// Plain statics.
    pub const STATICS: Self = Self::new("statics", Mark::Computed);
}

impl std::fmt::Display for Source {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} ({})", self.text, self.mark.words())
    }
}

/// A value with its source.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Known {
    /// The value, in the SI unit that its field names.
    pub value: f64,
    /// Where it comes from.
    pub source: Source,
}

impl Known {
    /// A value with its source.
    #[must_use]
    pub const fn new(value: f64, source: Source) -> Self {
        Self { value, source }
    }
    /// A value of the designer's own.
    #[must_use]
    pub const fn given(value: f64) -> Self {
        Self { value, source: Source::GIVEN }
    }
}
