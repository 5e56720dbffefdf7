//! The five verdicts, and what they rest on.

use schemars::JsonSchema;
use serde::Serialize;

/// What is said of a part. Ordered from best to worst, so that the worst of several is their maximum. A part's verdict begins
/// as [`Verdict::NotChecked`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Asked and met, on values that are confirmed.
    Pass,
    /// Asked and met, but by values from memory that nobody looked up. Never taken for a pass.
    Unconfirmed,
    /// Not asked, or asked without an answer. Never taken for a pass.
    #[default]
    NotChecked,
    /// Met, but near or past a limit that leaves room.
    Warn,
    /// Not met.
    Fail,
}

impl Verdict {
    /// The verdict in a word or two.
    pub fn name(self) -> &'static str {
        match self {
            Verdict::Pass => "pass",
            Verdict::Unconfirmed => "unconfirmed",
            Verdict::NotChecked => "not checked",
            Verdict::Warn => "warn",
            Verdict::Fail => "fail",
        }
    }
}

/// What a verdict rests on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// On geometry, on what the design states, and on values whose source was looked up or is named in `strength.confirmed`.
    #[default]
    Confirmed,
    /// Also on values from memory.
    Unconfirmed,
}
