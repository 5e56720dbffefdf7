//! Two sets of findings compared: cleared, made, left.
//!
//! Aim: a trouble that stays is the same trouble, whatever became of its numbers. Reason: a change renumbers landings and moves
//! courses by an inch; were each of these a new finding, no change would ever help.
//! How: findings of one check are matched by what they are about and where, then by what they are about, then by where alone.
//! What is said once for many counts by its number: more of them than before are made.
//! Limits: of a finding that is left only the verdict and the count are compared, not its measures.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use crate::check::{self, Finding, Measure, Verdict};
use crate::quantity::maths;

/// How far the place of a trouble may shift and still be the same place, metres: two inches.
const SAME_PLACE: f64 = 0.0508;

/// What became of the findings of one plan in another.
pub struct Difference<'b, 'a> {
    /// Findings that are gone.
    pub cleared: Vec<&'b Finding>,
    /// Findings that were not there before, or are worse now.
    pub made: Vec<&'a Finding>,
    /// How many are as before, or milder.
    pub left: usize,
    /// Checks that ran before and do not now.
    pub no_longer_checked: Vec<&'static str>,
}

/// A square of a slope, as wide as two places may lie apart.
type Square = (usize, i64, i64);

impl<'b, 'a> Difference<'b, 'a> {
    /// Compares what two plans of a roof found.
    pub fn between(before: &'b [check::Result], after: &'a [check::Result]) -> Difference<'b, 'a> {
        let old: Vec<&Finding> = before.iter().flat_map(|r| &r.findings).collect();
        let new: Vec<&Finding> = after.iter().flat_map(|r| &r.findings).collect();
        let mut open = Open { gone: vec![true; old.len()], found: vec![None; new.len()] };
        open.match_by(&old, &new, |f| Some((f.check, subject(f), square(f)?)));
        open.match_by(&old, &new, |f| Some((f.check, subject(f))));
        open.match_by_place(&old, &new);
        let worse = |n: usize, o: usize| match (new.get(n), old.get(o)) {
            (Some(n), Some(o)) => n.verdict > o.verdict || many(n) > many(o),
            _ => false,
        };
        let made = |n: &usize| open.found.get(*n).is_some_and(|was| was.is_none_or(|o| worse(*n, o)));
        let made: Vec<usize> = (0..new.len()).filter(made).collect();
        let ran = |r: &&check::Result| r.reason.is_none();
        let now: BTreeSet<&str> = after.iter().filter(ran).map(|r| r.check.name).collect();
        Difference {
            cleared: old.iter().zip(&open.gone).filter(|(_, gone)| **gone).map(|(f, _)| *f).collect(),
            left: new.len() - made.len(),
            made: made.into_iter().filter_map(|n| new.get(n).copied()).collect(),
            no_longer_checked: before.iter().filter(ran).map(|r| r.check.name).filter(|c| !now.contains(c)).collect(),
        }
    }

    /// Whether a finding of the plan before is gone.
    pub fn clears(&self, f: &Finding) -> bool {
        self.cleared.iter().any(|c| std::ptr::eq(*c, f))
    }

    /// Whether the plan after has any trouble that the plan before had not, or is silent where that one spoke.
    pub fn harms(&self) -> bool {
        !self.made.is_empty() || !self.no_longer_checked.is_empty()
    }

    /// How many findings of a verdict were made.
    pub fn made_of(&self, verdict: Verdict) -> usize {
        self.made.iter().filter(|f| f.verdict == verdict).map(|f| f.stands_for).sum()
    }
}

/// How many flags of a verdict there are.
pub fn flags(results: &[check::Result], verdict: Verdict) -> usize {
    results.iter().flat_map(|r| &r.findings).filter(|f| f.verdict == verdict).map(|f| f.stands_for).sum()
}

/// What is not yet matched.
struct Open {
    gone: Vec<bool>,
    /// The old finding that each new one is.
    found: Vec<Option<usize>>,
}

impl Open {
    fn pair(&mut self, o: usize, n: usize) {
        if let (Some(gone), Some(found)) = (self.gone.get_mut(o), self.found.get_mut(n)) {
            (*gone, *found) = (false, Some(o));
        }
    }

    fn old<'f>(&self, old: &[&'f Finding]) -> Vec<(usize, &'f Finding)> {
        old.iter().copied().enumerate().filter(|(o, _)| self.gone.get(*o) == Some(&true)).collect()
    }

    fn unmatched<'f>(&self, new: &[&'f Finding]) -> Vec<(usize, &'f Finding)> {
        new.iter().copied().enumerate().filter(|(n, _)| self.found.get(*n) == Some(&None)).collect()
    }

    fn match_by<'f, K: Ord>(
        &mut self,
        old: &[&'f Finding],
        new: &[&'f Finding],
        key: impl Fn(&'f Finding) -> Option<K>,
    ) {
        let mut by_key: BTreeMap<K, VecDeque<usize>> = BTreeMap::new();
        for (o, f) in self.old(old) {
            if let Some(key) = key(f) {
                by_key.entry(key).or_default().push_back(o);
            }
        }
        for (n, f) in self.unmatched(new) {
            if let Some(o) = key(f).and_then(|k| by_key.get_mut(&k)?.pop_front()) {
                self.pair(o, n);
            }
        }
    }

    /// The nearest of the same check, of those within [`SAME_PLACE`].
    fn match_by_place(&mut self, old: &[&Finding], new: &[&Finding]) {
        let mut by_square: BTreeMap<(&str, Square), Vec<usize>> = BTreeMap::new();
        for (o, f) in self.old(old) {
            if let Some(square) = square(f).filter(|_| counted(f).is_none()) {
                by_square.entry((f.check, square)).or_default().push(o);
            }
        }
        for (n, f) in self.unmatched(new) {
            let Some((slope, i, j)) = square(f).filter(|_| counted(f).is_none()) else { continue };
            let round = (-1..=1).flat_map(|a| (-1..=1).map(move |b| (slope, i + a, j + b)));
            let near = round.flat_map(|s| by_square.get(&(f.check, s)).map_or(&[][..], Vec::as_slice));
            let away = |o: usize| old.get(o).and_then(|o| apart(o, f)).filter(|d| *d <= SAME_PLACE);
            let still = near.filter(|o| self.gone.get(**o) == Some(&true)).filter_map(|o| Some((away(*o)?, *o)));
            if let Some((_, o)) = still.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1))) {
                self.pair(o, n);
            }
        }
    }
}

/// How many a finding is said for, where it is said once for all of a kind.
fn counted(f: &Finding) -> Option<usize> {
    f.evidence.iter().find_map(|e| match e.found {
        Measure::Count(n) if SAID_ONCE.contains(&e.what) => Some(n),
        _ => None,
    })
}

/// What findings count that are said once for all of a kind.
const SAID_ONCE: [&str; 4] = ["landings", "nails in no member", "straps in one member alone", "joints over one member"];

fn many(f: &Finding) -> usize {
    counted(f).unwrap_or(f.stands_for)
}

/// What a finding is about: its first part, or the kind that it is said for, without its number.
fn subject(f: &Finding) -> (&str, &str) {
    let of_kind = f.evidence.iter().find(|e| SAID_ONCE.contains(&e.what));
    match of_kind {
        Some(e) => {
            let kind = f.message.split([':', ';']).next().unwrap_or_default();
            (kind.trim_start_matches(|c: char| c.is_ascii_digit()), e.what)
        }
        None => (f.parts.first().map_or("", String::as_str), ""),
    }
}

fn square(f: &Finding) -> Option<Square> {
    let place = f.place?;
    let square = |v: f64| (v / SAME_PLACE).floor() as i64;
    Some((place.slope.0, square(place.at[0]), square(place.at[1])))
}

fn apart(a: &Finding, b: &Finding) -> Option<f64> {
    let (a, b) = (a.place?, b.place?);
    (a.slope == b.slope).then(|| maths::apart((a.at[0], a.at[1]), (b.at[0], b.at[1])))
}
