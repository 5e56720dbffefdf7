//! What a maker states of fasteners.
//!
//! Aim: values with the report that says so, each of the kind that the rule set takes. Reason: Eurocode 5 has no withdrawal of
//! ring-shank nails and of thin screws, and a value without its report cannot be looked up. Limits: for the wood of this
//! design, as the report has it: nothing is turned from one density into another.

use super::super::file::{Located, MakerFile};
use super::super::model::*;
use super::super::reader::Reader;
use super::super::scalars::Rating;
use super::super::written::Written;
use super::loads::{May, may};

/// What a maker states of fasteners, each value of the kind that the rule set takes; `in_wood`: their heads lie on wood.
pub(super) fn maker(
    r: &mut Reader<'_>,
    key: &str,
    table: &Option<Located<MakerFile>>,
    rules: Option<RuleSet>,
    in_wood: bool,
) -> Option<Option<MakerSpec>> {
    let Some(t) = table else { return Some(None) };
    let (f, at) = (t.get(), t.span());
    let hint = "the maker's report with its number and table, such as report = \"declaration 17, table 2\"";
    let report = r.need(&format!("{key}.report"), &f.report, &at, hint);
    let report = report.filter(|g| {
        let is = !g.value.trim().is_empty();
        if !is {
            let span = f.report.as_ref().map_or(at.clone(), |w| w.span.clone());
            r.fault(span, &format!("{key}.report"), "values without a report", hint);
        }
        is
    });
    let mut one = |name: &str, written: &Option<Written<Rating>>, kind: RatingKind| -> May<Rating> {
        let key = format!("{key}.{name}");
        let Some(given) = may(r, &key, written)? else { return Some(None) };
        let span = written.as_ref().map_or(0..0, |w| w.span.clone());
        if !given.value.is_positive() {
            r.fault(span, &key, "this strength must be more than nothing", kind.hint());
            return None;
        }
        if !kind.holds(given.value) {
            let rules = rules.map_or("the rule set", RuleSet::word);
            r.fault(span, &key, format!("by {rules} this is {}", kind.words()), kind.hint());
            return None;
        }
        Some(Some(given))
    };
    let (withdrawal, head) = match rules {
        Some(RuleSet::Nds) => (RatingKind::PerLength, RatingKind::Each),
        Some(RuleSet::Ec5) => (RatingKind::PerArea, RatingKind::PerArea),
        None => (RatingKind::Any, RatingKind::Any),
    };
    let withdrawal = one("withdrawal", &f.withdrawal, withdrawal);
    let pull_through = one("pull_through", &f.pull_through, head);
    let tension = one("tension", &f.tension, RatingKind::Each);
    if let (Some(w), Some(Some(_)), false) = (&f.pull_through, &pull_through, in_wood) {
        let hint = "leave it out: the head lies on steel and goes through no wood";
        r.fault(w.span.clone(), &format!("{key}.pull_through"), "these fasteners pull no head through wood", hint);
        return None;
    }
    if f.withdrawal.is_none() && f.pull_through.is_none() && f.tension.is_none() {
        let names = ["withdrawal", "pull_through", "tension"];
        if !names.iter().any(|n| r.may_lack(&format!("{key}.{n}"))) {
            let hint = "write withdrawal, pull_through or tension, or leave the table out";
            r.fault(at.start..at.start, key, "a maker's report without a value", hint);
            return None;
        }
    }
    Some(Some(MakerSpec { report: report?, withdrawal: withdrawal?, pull_through: pull_through?, tension: tension? }))
}

/// Of which kind a maker's value has to be.
#[derive(Clone, Copy)]
enum RatingKind {
    Each,
    PerLength,
    PerArea,
    Any,
}

impl RatingKind {
    fn holds(self, rating: Rating) -> bool {
        match self {
            RatingKind::Each => matches!(rating, Rating::Each(_)),
            RatingKind::PerLength => matches!(rating, Rating::PerLength(_)),
            RatingKind::PerArea => matches!(rating, Rating::PerArea(_)),
            RatingKind::Any => true,
        }
    }
    fn words(self) -> &'static str {
        match self {
            RatingKind::Each => "a force",
            RatingKind::PerLength => "a force for each length of thread",
            RatingKind::PerArea => "a strength for each area",
            RatingKind::Any => "a strength",
        }
    }
    fn hint(self) -> &'static str {
        match self {
            RatingKind::Each => "of one fastener, such as \"250 lbf\" or \"1.2 kN\"",
            RatingKind::PerLength => "such as \"180 lbf/in\" or \"31.5 N/mm\"",
            RatingKind::PerArea => "such as \"12.5 N/mm2\"",
            RatingKind::Any => "such as \"180 lbf/in\", \"12.5 N/mm2\" or \"250 lbf\"",
        }
    }
}
