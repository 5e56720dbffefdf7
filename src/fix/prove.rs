//! Proposed changes of a design, tried before they are shown.
//!
//! Aim: no change is proposed that a re-run has shown not to clear its finding, or to make a fail. Reason: checks propose
//! from what they see at one place; only the whole plan, made again, shows what a change does elsewhere. A change that clears
//! fails may make warnings: it says how many.
//! Limits: each change alone; at most [`MOST_RUNS`] re-runs, fewer on large roofs, none where a drive log goes with the plan
//! (another plan has no log). Changes that were not tried stay as they were proposed, and say so.

use std::collections::{BTreeMap, BTreeSet};

use super::difference::flags;
use super::{Difference, Trial};
use crate::check::{self, Change, Mend, Verdict};
use crate::plan::{Plan, Texts};

/// The most re-runs of one design.
pub const MOST_RUNS: usize = 24;
/// Landings planned again in all.
const LANDINGS: usize = 24_000;

/// How many plans of so many landings may be made again and checked.
pub fn most_runs(landings: usize) -> usize {
    (LANDINGS / landings.max(1)).min(MOST_RUNS)
}

/// Tries the changes that findings propose, each with the whole plan made again; withdraws those that do not clear their
/// finding, make a fail, or make a warning and clear no fail; and keeps their words. Hands back how many were not tried.
pub fn prove(texts: &Texts, plan: &Plan, results: &mut [check::Result]) -> usize {
    let mut changes: BTreeMap<String, Vec<(usize, usize, usize)>> = BTreeMap::new();
    let mut order: Vec<(String, Change)> = Vec::new();
    for (r, result) in results.iter().enumerate() {
        for (f, finding) in result.findings.iter().enumerate() {
            for (m, mend) in finding.mends.iter().enumerate() {
                let text = mend.change.text();
                if !changes.contains_key(&text) {
                    order.push((text.clone(), mend.change.clone()));
                }
                changes.entry(text).or_default().push((r, f, m));
            }
        }
    }
    let most = if plan.driven.is_some() { 0 } else { most_runs(plan.lattice.landing_count()) };
    let tried = order.len().min(most);
    let mut withdrawn: Vec<(usize, usize, usize)> = Vec::new();
    let mut warning: BTreeMap<&str, usize> = BTreeMap::new();
    let fails = flags(results, Verdict::Fail);
    for (text, change) in order.iter().take(tried) {
        let places = changes.get(text).map_or(&[][..], Vec::as_slice);
        let Ok(again) = Trial::of(texts, change) else {
            withdrawn.extend(places);
            continue;
        };
        let difference = Difference::between(results, again.results());
        let fewer_fails = flags(again.results(), Verdict::Fail) < fails;
        let harms = difference.made_of(Verdict::Fail) > 0
            || !difference.no_longer_checked.is_empty()
            || (difference.harms() && !fewer_fails);
        let holds = |(r, f, _): &&(usize, usize, usize)| {
            let finding = results.get(*r).and_then(|r| r.findings.get(*f));
            !harms && finding.is_some_and(|f| difference.clears(f))
        };
        withdrawn.extend(places.iter().filter(|p| !holds(p)));
        warning.insert(text, difference.made.len());
    }
    withdrawn.sort_unstable();
    for (r, f, m) in withdrawn.into_iter().rev() {
        let Some(finding) = results.get_mut(r).and_then(|r| r.findings.get_mut(f)) else { continue };
        if m < finding.mends.len() {
            let mend = finding.mends.remove(m);
            let tried = "tried, that change alone did not clear this or made other trouble";
            finding.advice.insert(0, format!("{}; {tried}", words(&mend)));
        }
    }
    for mend in results.iter_mut().flat_map(|r| &mut r.findings).flat_map(|f| &mut f.mends) {
        match warning.get(mend.change.text().as_str()) {
            None | Some(0) => {}
            Some(1) => mend.text.push_str(" (makes 1 warning)"),
            Some(n) => mend.text.push_str(&format!(" (makes {n} warnings)")),
        }
    }
    // Beginning with the first one that no run was left for: what was not tried says so.
    let untried: BTreeSet<&String> = order.iter().skip(tried).map(|(text, _)| text).collect();
    for mend in results.iter_mut().flat_map(|r| &mut r.findings).flat_map(|f| &mut f.mends) {
        if !untried.is_empty() && untried.contains(&mend.change.text()) {
            mend.text.push_str(UNTRIED);
        }
    }
    untried.len()
}

/// What stands beside a change for which no re-run was left.
const UNTRIED: &str = " (not tried)";

/// What stays of a change that was withdrawn: what to do, without a value that was shown not to do it.
pub fn words(mend: &Mend) -> &str {
    match &mend.change {
        Change::Set { key, .. } => mend.text.split(&format!(": {key}")).next().unwrap_or_default(),
        Change::Append(_) | Change::All(_) => mend.text.as_str(),
    }
}
