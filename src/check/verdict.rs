//! The four verdicts.

use schemars::JsonSchema;
use serde::Serialize;

/// What a check says of a part. Ordered from best to worst, so that the worst of several is their maximum.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Asked and met.
    #[default]
    Pass,
    /// Not asked, for a stated reason. Never taken for a pass.
    NotChecked,
    /// Met, but by a rule of thumb's measure doubtful.
    Warn,
    /// Not met.
    Fail,
}

impl Verdict {
    /// The verdict in a word or two.
    pub fn name(self) -> &'static str {
        match self {
            Verdict::Pass => "pass",
            Verdict::NotChecked => "not checked",
            Verdict::Warn => "warn",
            Verdict::Fail => "fail",
        }
    }
}
