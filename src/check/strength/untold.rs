//! What was not computed, reason by reason.
//!
//! Aim: one sentence for all parts of a kind that have no verdict. Reason: a part without a verdict must not look like one that
//! holds. Limits: the first part of each reason is named; the others are counted.

use std::collections::BTreeMap;

use crate::capacity::NotComputed;

/// Parts without a verdict.
#[derive(Default)]
pub struct Untold {
    by_reason: BTreeMap<String, (usize, String)>,
}

impl Untold {
    /// Counts a part; `name` is asked for the first one of its reason.
    pub fn add(&mut self, why: &NotComputed, name: impl FnOnce() -> String) {
        self.by_reason.entry(why.to_string()).and_modify(|n| n.0 += 1).or_insert_with(|| (1, name()));
    }

    /// The sentence without an end; `None` where all was computed. `what` is the kind in the plural.
    pub fn told(&self, what: &str) -> Option<String> {
        let one = |(why, (n, first)): (&String, &(usize, String))| format!("{n} {what} (the first is {first}): {why}");
        (!self.by_reason.is_empty()).then(|| self.by_reason.iter().map(one).collect::<Vec<_>>().join("; "))
    }
}
