//! Which parts a check examined.

use std::collections::BTreeSet;

use super::Basis;
use crate::parts::{Kind, PartId};

/// Which parts a check examined: whole kinds, with exceptions, or single parts. Nothing is examined before a check says so.
#[derive(Clone, Debug, Default)]
pub struct Examined {
    kinds: BTreeSet<Kind>,
    single: BTreeSet<PartId>,
    elsewhere: BTreeSet<PartId>,
    unanswered: BTreeSet<PartId>,
    unconfirmed: BTreeSet<Kind>,
}

/// What a check says of a part before its findings are looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// Nothing: it is none of its parts.
    No,
    /// It asked and has no answer.
    Unanswered,
    /// It asked; where no finding names the part, it passed.
    Yes(Basis),
}

impl Examined {
    /// Adds all parts of these kinds.
    pub(super) fn kinds(&mut self, kinds: &[Kind]) {
        self.kinds.extend(kinds);
    }

    /// Adds single parts.
    pub(super) fn single(&mut self, parts: impl IntoIterator<Item = PartId>) {
        self.single.extend(parts);
    }

    /// Takes out parts that are another check's.
    pub(super) fn elsewhere(&mut self, parts: impl IntoIterator<Item = PartId>) {
        self.elsewhere.extend(parts);
    }

    /// Marks parts for which there was no answer.
    pub(super) fn unanswered(&mut self, parts: impl IntoIterator<Item = PartId>) {
        self.unanswered.extend(parts);
    }

    /// Marks a kind whose answers rest on values from memory.
    pub(super) fn unconfirmed(&mut self, kind: Kind) {
        self.unconfirmed.insert(kind);
    }

    /// Whether the check examined a part.
    pub fn asked(&self, id: PartId) -> Asked {
        if self.unanswered.contains(&id) {
            return Asked::Unanswered;
        }
        let kind = id.kind();
        if (!self.kinds.contains(&kind) || self.elsewhere.contains(&id)) && !self.single.contains(&id) {
            return Asked::No;
        }
        Asked::Yes(if self.unconfirmed.contains(&kind) { Basis::Unconfirmed } else { Basis::Confirmed })
    }

    /// Whether it examined any part of a kind.
    pub fn asks(&self, kind: Kind) -> bool {
        let any = |set: &BTreeSet<PartId>| set.iter().any(|id| id.kind() == kind);
        self.kinds.contains(&kind) || any(&self.single) || any(&self.unanswered)
    }

    /// Parts of these kinds that were not examined, as another check is about them.
    pub fn exceptions(&self) -> impl Iterator<Item = PartId> + '_ {
        self.elsewhere.iter().copied()
    }

    /// Parts for which there was no answer.
    pub fn without_answer(&self) -> impl Iterator<Item = PartId> + '_ {
        self.unanswered.iter().copied()
    }

    /// What the answers about a kind rest on.
    pub fn basis(&self, kind: Kind) -> Basis {
        if self.unconfirmed.contains(&kind) { Basis::Unconfirmed } else { Basis::Confirmed }
    }

    /// Whether it examined nothing.
    pub fn is_empty(&self) -> bool {
        self.kinds.is_empty() && self.single.is_empty()
    }
}
