//! The verdict of every part: the one value that all outputs read.
//!
//! Aim: a part passes where checks examined it and none found anything, and those checks can be named. Reason: silence must
//! never look like approval. Limits: kept by id, and only for parts that findings name; all others follow from what the
//! checks say that they examined.

use std::collections::{BTreeMap, BTreeSet};

use super::examined::Asked;
use super::{Basis, Result, Verdict};
use crate::parts::{Kind, PartId, Parts};

/// Verdicts beside the parts.
pub struct Verdicts<'a> {
    results: &'a [Result],
    /// For each kind the numbers of the checks that examined any part of it.
    by_kind: BTreeMap<Kind, Vec<usize>>,
    found: BTreeMap<PartId, Found>,
    others: BTreeMap<&'a str, Found>,
}

/// What findings say of a part: the worst verdict, and the numbers of the checks that have some.
#[derive(Clone, Debug, Default)]
struct Found {
    worst: Option<Verdict>,
    by: BTreeSet<usize>,
}

/// What is said of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Judged {
    /// The verdict.
    pub verdict: Verdict,
    /// What it rests on.
    pub basis: Basis,
    /// Numbers (from 0) of the checks that examined the part and found nothing: in the order of [`super::CHECKS`].
    pub passed: Vec<usize>,
}

impl<'a> Verdicts<'a> {
    /// Puts findings beside the parts that they name.
    pub fn new(parts: &Parts<'_>, results: &'a [Result]) -> Verdicts<'a> {
        let mut by_name: BTreeMap<&str, Found> = BTreeMap::new();
        for (number, result) in results.iter().enumerate() {
            let listed = result.findings.iter().flat_map(|f| f.parts.iter().map(|p| (p, f.verdict)));
            let left_out = result.left_out.iter().map(|(p, v)| (p, *v));
            for (name, verdict) in listed.chain(left_out) {
                let found = by_name.entry(name).or_default();
                found.worst = found.worst.max(Some(verdict));
                found.by.insert(number);
            }
        }
        let names: BTreeSet<&str> = by_name.keys().copied().collect();
        let ids = parts.find_all(&names);
        let mut found = BTreeMap::new();
        let mut others = BTreeMap::new();
        for (name, here) in by_name {
            match ids.get(name) {
                Some(id) => {
                    found.insert(landing_of(*id), here);
                }
                None => {
                    others.insert(name, here);
                }
            }
        }
        let of = |kind: Kind| {
            let asks = results.iter().enumerate().filter(|(_, r)| r.examined.asks(kind));
            (kind, asks.map(|(number, _)| number).collect())
        };
        Verdicts { results, by_kind: Kind::ALL.into_iter().map(of).collect(), found, others }
    }

    /// The checks that examined any part of a part's kind, with their numbers.
    fn asking(&self, id: PartId) -> impl Iterator<Item = (usize, &'a Result)> {
        let numbers = self.by_kind.get(&id.kind()).map_or(&[][..], Vec::as_slice);
        numbers.iter().filter_map(|n| Some((*n, self.results.get(*n)?)))
    }

    /// The verdict of a part. What a finding says counts before all; then that some check asked and has no answer; then the
    /// checks that examined it.
    pub fn of(&self, id: PartId) -> Verdict {
        let id = landing_of(id);
        let found = self.found.get(&id).and_then(|f| f.worst);
        if let Some(bad @ (Verdict::Warn | Verdict::Fail)) = found {
            return bad;
        }
        let mut verdict = None;
        for (_, result) in self.asking(id) {
            let one = match result.examined.asked(id) {
                Asked::No => continue,
                Asked::Unanswered => return Verdict::NotChecked,
                Asked::Yes(Basis::Confirmed) => Verdict::Pass,
                Asked::Yes(Basis::Unconfirmed) => Verdict::Unconfirmed,
            };
            verdict = verdict.max(Some(one));
        }
        verdict.max(found).unwrap_or(Verdict::NotChecked)
    }

    /// The verdict of a part, what it rests on, and which checks it passed.
    pub fn judged(&self, id: PartId) -> Judged {
        let verdict = self.of(id);
        let id = landing_of(id);
        let mut judged = Judged { verdict, basis: Basis::Confirmed, passed: Vec::new() };
        let by = self.found.get(&id).map(|f| &f.by);
        for (number, result) in self.asking(id) {
            if let Asked::Yes(basis) = result.examined.asked(id) {
                judged.basis = judged.basis.max(basis);
                if basis == Basis::Confirmed && by.is_none_or(|by| !by.contains(&number)) {
                    judged.passed.push(number);
                }
            }
        }
        judged
    }

    /// The verdict of something that findings name and that is no part: a line, a slope, a pocket of air.
    pub fn of_other(&self, name: &str) -> Verdict {
        self.others.get(name).and_then(|f| f.worst).unwrap_or_default()
    }

    /// Names in findings that belong to no part.
    pub fn others(&self) -> impl Iterator<Item = &'a str> + '_ {
        self.others.keys().copied()
    }
}

/// Fasteners still to be driven have the verdict of their landing.
fn landing_of(id: PartId) -> PartId {
    if let PartId::ToDrive(s, i) = id { PartId::Fasteners(s, i) } else { id }
}
