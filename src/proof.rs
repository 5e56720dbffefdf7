//! Proposed changes of a design, tried before they are shown.
//!
//! Aim: no change is proposed that a re-run has shown not to clear its finding, or to bring a new one. Reason: checks propose
//! from what they see at one place; only the whole plan, made again, shows what a change does elsewhere.
//! Limits: each change alone; at most [`MOST_RUNS`] re-runs, fewer on large roofs, none where a drive log goes with the plan
//! (another plan has no log). Changes that were not tried stay as they were proposed, and say so.

use std::collections::{BTreeMap, BTreeSet};

use crate::check::{self, Change, Finding, Mend, Verdict};
use crate::plan::{Plan, Texts};

/// The most re-runs of one design.
pub const MOST_RUNS: usize = 24;
/// Landings planned again in all.
const LANDINGS: usize = 24_000;

/// What a plan's checks found, as far as two plans are compared.
struct Seen<'r> {
    findings: Vec<&'r Finding>,
    /// How bad each check, of each first part, and of each place (whole millimetres); and how often.
    by_part: BTreeMap<(&'static str, &'r str, Verdict), usize>,
    by_place: BTreeMap<(&'static str, [i64; 3], Verdict), usize>,
    not_run: Vec<&'static str>,
}

impl<'r> Seen<'r> {
    fn of(results: &'r [check::Result]) -> Seen<'r> {
        let findings: Vec<&Finding> = results.iter().flat_map(|r| &r.findings).collect();
        let (mut by_part, mut by_place) = (BTreeMap::new(), BTreeMap::new());
        for f in findings.iter().copied() {
            *by_part.entry((f.check, about(f), f.verdict)).or_default() += many(f);
            if let Some(place) = place(f) {
                *by_place.entry((f.check, place, f.verdict)).or_default() += 1;
            }
        }
        let not_run = results.iter().filter(|r| r.reason.is_some()).map(|r| r.check.name).collect();
        Seen { findings, by_part, by_place, not_run }
    }

    /// Findings about the same part that are as bad or worse.
    fn as_bad(&self, check: &'static str, about: &str, verdict: Verdict) -> usize {
        let all = self.by_part.iter().filter(|((c, a, v), _)| *c == check && *a == about && *v >= verdict);
        all.map(|(_, n)| n).sum()
    }

    /// Whether this plan has a finding that the one before had not, neither of that part nor at that place.
    fn brings_new(&self, before: &Seen<'_>) -> bool {
        self.not_run.iter().any(|c| !before.not_run.contains(c))
            || self.findings.iter().any(|f| {
                let same_place = |v: Verdict| {
                    grouped(f).is_none() && place(f).is_some_and(|p| before.by_place.contains_key(&(f.check, p, v)))
                };
                let known = same_place(f.verdict) || (f.verdict == Verdict::Warn && same_place(Verdict::Fail));
                !known && self.as_bad(f.check, about(f), f.verdict) > before.as_bad(f.check, about(f), f.verdict)
            })
    }

    /// Whether a finding of the plan before is gone: there are fewer of its kind, and not this one.
    fn cleared(&self, before: &Seen<'_>, f: &Finding) -> bool {
        let this = |g: &&Finding| g.check == f.check && g.parts == f.parts && g.place == f.place;
        self.as_bad(f.check, about(f), Verdict::Warn) < before.as_bad(f.check, about(f), Verdict::Warn)
            && (grouped(f).is_some() || !self.findings.iter().any(this))
    }
}

/// How many landings a finding is said for, where it is said once for all of a kind.
fn grouped(f: &Finding) -> Option<usize> {
    f.evidence.iter().find(|e| e.what == "landings").map(|e| e.found.value() as usize)
}

fn many(f: &Finding) -> usize {
    grouped(f).unwrap_or(f.stands_for)
}

/// What a finding is about: its first part, or the kind that it is said for.
fn about(f: &Finding) -> &str {
    match grouped(f) {
        Some(_) => f.message.split(':').next().unwrap_or_default(),
        None => f.parts.first().map_or("", String::as_str),
    }
}

fn place(f: &Finding) -> Option<[i64; 3]> {
    let place = f.place?;
    let millimetres = |v: f64| (v * 1e3).round() as i64;
    Some([i64::try_from(place.slope.0).ok()?, millimetres(place.at[0]), millimetres(place.at[1])])
}

/// How many plans of so many landings may be made again and checked.
pub fn most_runs(landings: usize) -> usize {
    (LANDINGS / landings.max(1)).min(MOST_RUNS)
}

/// Whether checks of a plan found something that those of the plan before had not.
pub fn brings_new(before: &[check::Result], after: &[check::Result]) -> bool {
    Seen::of(after).brings_new(&Seen::of(before))
}

/// Tries the changes that findings propose, each with the whole plan made again; withdraws those that do not clear their
/// finding or bring a new one, and keeps their words. Hands back how many changes were not tried.
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
    {
        let before = Seen::of(results);
        for (text, change) in order.iter().take(tried) {
            let places = changes.get(text).map_or(&[][..], Vec::as_slice);
            let Some(again) = texts.changed(change).and_then(|t| t.plan().ok()) else {
                withdrawn.extend(places);
                continue;
            };
            let found = check::run_for_findings(&again.context());
            let after = Seen::of(&found);
            let new = after.brings_new(&before);
            let holds = |(r, f, _): &&(usize, usize, usize)| {
                let finding = results.get(*r).and_then(|r| r.findings.get(*f));
                !new && finding.is_some_and(|f| after.cleared(&before, f))
            };
            withdrawn.extend(places.iter().filter(|p| !holds(p)));
        }
    }
    withdrawn.sort_unstable();
    for (r, f, m) in withdrawn.into_iter().rev() {
        let Some(finding) = results.get_mut(r).and_then(|r| r.findings.get_mut(f)) else { continue };
        if m < finding.mends.len() {
            let mend = finding.mends.remove(m);
            let tried = "tried, that change alone did not clear this or brought another finding";
            finding.advice.insert(0, format!("{}; {tried}", words(&mend)));
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
