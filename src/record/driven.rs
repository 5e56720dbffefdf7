//! The lattice as it was really driven: each fastener's state and place, and what stays in the membrane beside it.

use super::log::{DriveLog, Entry, Outcome, Said};
use crate::design::SlopeId;
use crate::lattice::{Fastener, Lattice};
use crate::quantity::maths::apart;
use crate::solid::tolerance::SAME;
use crate::structure::Structure;

/// Where a fastener of the plan stands in the work.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum State {
    /// Not yet driven: it is judged where it is planned.
    #[default]
    Planned,
    /// Not yet driven, its hole is drilled.
    Predrilled,
    /// Driven, and it held.
    Held {
        /// Somebody looked again and confirms it.
        confirmed: bool,
    },
    /// It missed, and no further attempt held: here the landing lacks a fastener.
    Lacking,
}

/// What stays in the membrane beside the fasteners of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LeftInKind {
    /// A fastener that missed.
    Missed,
    /// A fastener that held, where a later one of the same name held too.
    Extra,
    /// A drilled hole that no fastener fills.
    Drilled,
    /// A hole that was found.
    Hole,
}

impl LeftInKind {
    /// What it is called.
    pub fn word(self) -> &'static str {
        match self {
            LeftInKind::Missed => "missed fastener",
            LeftInKind::Extra => "further fastener",
            LeftInKind::Drilled => "drilled hole",
            LeftInKind::Hole => "hole",
        }
    }

    /// Whether steel stands in it.
    pub fn is_fastener(self) -> bool {
        matches!(self, LeftInKind::Missed | LeftInKind::Extra)
    }
}

/// A penetration of the membrane that is no part of the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftIn {
    /// Its name: that of its fastener with `.M`, `.X` or `.D` and the attempt, or the slope's with `H` and its number.
    pub name: String,
    /// What it is.
    pub kind: LeftInKind,
    /// Its slope.
    pub slope: SlopeId,
    /// The landing (index on the slope) and the fastener (from 0) that it was meant for.
    pub meant_for: Option<(u32, u8)>,
    /// x and y on the slope, metres; `None` where nobody wrote it down.
    pub at: Option<(f64, f64)>,
    /// Where it is shown: its place, or else the planned place of its fastener.
    pub shown_at: Option<(f64, f64)>,
    /// What is said of the seal.
    pub seal: Said,
    /// Somebody looked again and confirms the outcome.
    pub confirmed: bool,
    /// Row of the log.
    pub row: usize,
    /// Whatever else the row says.
    pub note: String,
}

/// The lattice as driven.
#[derive(Clone, Debug)]
pub struct Driven {
    /// The lattice of the plan with what is driven at its real place.
    pub lattice: Lattice,
    /// State of each fastener, slope by slope, in the order of the lattice.
    pub states: Vec<Vec<State>>,
    /// What stays beside, slope by slope.
    pub left_in: Vec<Vec<LeftIn>>,
    /// The log.
    pub log: DriveLog,
}

impl Driven {
    /// Puts a log into the lattice of its plan.
    pub fn new(log: DriveLog, planned: &Lattice, structure: &Structure) -> Driven {
        let mut driven = Driven {
            lattice: planned.clone(),
            states: planned.slopes.iter().map(|s| vec![State::Planned; s.fasteners.len()]).collect(),
            left_in: vec![Vec::new(); planned.slopes.len()],
            log: DriveLog::default(),
        };
        let of_one = |a: &Entry, b: &Entry| (a.slope, a.landing, a.fastener) == (b.slope, b.landing, b.fastener);
        for attempts in log.entries.chunk_by(of_one) {
            driven.fastener(attempts, planned, structure);
        }
        for hole in &log.holes {
            let name = structure.slopes.get(hole.slope.0).map_or("", |s| s.name.as_str());
            if let Some(left) = driven.left_in.get_mut(hole.slope.0) {
                left.push(LeftIn {
                    name: format!("{name}-H{:02}", hole.number),
                    kind: LeftInKind::Hole,
                    slope: hole.slope,
                    meant_for: None,
                    at: hole.at,
                    shown_at: hole.at,
                    seal: hole.seal,
                    confirmed: false,
                    row: hole.row,
                    note: hole.note.clone(),
                });
            }
        }
        driven.log = log;
        driven
    }

    /// The attempts at one fastener, in their order.
    fn fastener(&mut self, attempts: &[Entry], planned: &Lattice, structure: &Structure) {
        let Some(first) = attempts.first() else { return };
        let Some(slope) = planned.slopes.get(first.slope.0) else { return };
        let Some(landing) = slope.landings.get(first.landing as usize) else { return };
        let index = landing.first as usize + usize::from(first.fastener);
        let Some(at) = slope.fasteners.get(index).copied() else { return };
        let held = attempts.iter().rposition(|e| e.outcome == Outcome::Held);
        let any = |o: Outcome| attempts.iter().any(|e| e.outcome == o);
        let state = match held.and_then(|h| attempts.get(h)) {
            Some(entry) => State::Held { confirmed: entry.confirmed },
            None if any(Outcome::Missed) => State::Lacking,
            None if any(Outcome::Predrilled) => State::Predrilled,
            None => State::Planned,
        };
        if let Some(s) = self.states.get_mut(first.slope.0).and_then(|s| s.get_mut(index)) {
            *s = state;
        }
        let mut place = |to: (f64, f64)| {
            if let Some(f) = self.lattice.slopes.get_mut(first.slope.0).and_then(|s| s.fasteners.get_mut(index)) {
                *f = Fastener { x: at.x + to.0, y: at.y + to.1 };
            }
        };
        if let Some(offset) = held.and_then(|h| attempts.get(h)).and_then(|e| e.offset) {
            place(offset);
        }
        let base = format!("{}-{}", slope.landing_name(landing, structure), first.fastener + 1);
        for (k, entry) in attempts.iter().enumerate() {
            let (kind, letter) = match entry.outcome {
                Outcome::Missed => (LeftInKind::Missed, 'M'),
                Outcome::Held if Some(k) != held => (LeftInKind::Extra, 'X'),
                // A drilled hole is used up by the next attempt at the same place.
                Outcome::Predrilled => match attempts.get(k + 1) {
                    Some(next) if next.outcome != Outcome::NotYet && !same_offset(entry.offset, next.offset) => {
                        (LeftInKind::Drilled, 'D')
                    }
                    _ => continue,
                },
                Outcome::Held | Outcome::NotYet => continue,
            };
            let real = entry.offset.map(|o| (at.x + o.0, at.y + o.1));
            // What held without a stated place went where it was planned.
            let real = real.or((kind == LeftInKind::Extra).then_some((at.x, at.y)));
            if let Some(left) = self.left_in.get_mut(first.slope.0) {
                left.push(LeftIn {
                    name: format!("{base}.{letter}{}", entry.attempt),
                    kind,
                    slope: entry.slope,
                    meant_for: Some((entry.landing, entry.fastener)),
                    at: real,
                    shown_at: real.or(Some((at.x, at.y))),
                    seal: entry.seal,
                    confirmed: entry.confirmed,
                    row: entry.row,
                    note: entry.note.clone(),
                });
            }
        }
    }

    /// How many fasteners have a state that passes a test.
    pub fn count(&self, of: impl Fn(State) -> bool) -> usize {
        self.states.iter().flatten().filter(|s| of(**s)).count()
    }
}

/// Whether two offsets are one place, as far as is known.
pub(super) fn same_offset(a: Option<(f64, f64)>, b: Option<(f64, f64)>) -> bool {
    match (a, b) {
        (None, None) => true,
        (Some(a), Some(b)) => apart(a, b) < SAME,
        _ => false,
    }
}
