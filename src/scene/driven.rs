//! The drive log as rows: forms to fill, and logs of another plan carried over.

use crate::lattice::{Lattice, SlopeLattice};
use crate::record::{Fingerprints, Hole, Moved, Outcome, Said};
use crate::structure::Structure;

/// One row of a drive log to be written.
#[derive(Clone, Debug, PartialEq)]
pub struct DriveRow {
    /// The plan's fingerprints as a cell.
    pub plan: String,
    /// The landing; of a hole the slope.
    pub landing: String,
    /// The fastener of the landing, or the hole of the slope, from 1.
    pub fastener: u32,
    /// Planned place on the slope, metres; none for a hole.
    pub planned: Option<(f64, f64)>,
    /// The attempt, from 1; none for a hole.
    pub attempt: Option<u32>,
    /// The outcome; empty to be filled.
    pub outcome: &'static str,
    /// Across and up from the planned place, or a hole's place, metres; none where nobody knows.
    pub offset: Option<(f64, f64)>,
    /// What is said of the seal.
    pub seal: &'static str,
    /// Confirmed.
    pub confirmed: bool,
    /// Whatever else is said.
    pub note: String,
}

/// Every fastener of a plan as a row to fill, course by course, from left to right.
pub fn blank_rows(structure: &Structure, lattice: &Lattice, this: &Fingerprints) -> Vec<DriveRow> {
    let mut rows = Vec::new();
    for slope in &lattice.slopes {
        for landing in &slope.landings {
            let name = slope.landing_name(landing, structure);
            for (k, f) in (1..).zip(slope.fasteners_of(landing)) {
                rows.push(DriveRow {
                    plan: this.cell(),
                    landing: name.clone(),
                    fastener: k,
                    planned: Some((f.x, f.y)),
                    attempt: Some(1),
                    outcome: "",
                    offset: None,
                    seal: "",
                    confirmed: false,
                    note: String::new(),
                });
            }
        }
    }
    rows
}

/// The rows of a log of another plan as rows of this one.
pub fn remapped_rows(
    structure: &Structure,
    lattice: &Lattice,
    this: &Fingerprints,
    moved: &[Moved],
    holes: &[Hole],
) -> Vec<DriveRow> {
    let landing = |m: &Moved| -> Option<(&SlopeLattice, &crate::lattice::Landing)> {
        let slope = lattice.slopes.get(m.entry.slope.0)?;
        Some((slope, slope.landings.get(m.entry.landing as usize)?))
    };
    let attempts = moved.iter().map(|m| DriveRow {
        plan: this.cell(),
        landing: landing(m).map_or(String::new(), |(s, l)| s.landing_name(l, structure)),
        fastener: u32::from(m.entry.fastener) + 1,
        planned: Some(m.new),
        attempt: Some(m.entry.attempt),
        outcome: if m.entry.outcome == Outcome::NotYet { "" } else { m.entry.outcome.word() },
        offset: m.entry.offset,
        seal: m.entry.seal.word(),
        confirmed: m.entry.confirmed,
        note: m.entry.note.clone(),
    });
    let holes = holes.iter().map(|h| DriveRow {
        plan: this.cell(),
        landing: structure.slopes.get(h.slope.0).map_or(String::new(), |s| s.name.clone()),
        fastener: h.number,
        planned: None,
        attempt: None,
        outcome: "hole",
        offset: h.at,
        seal: if h.seal == Said::Nothing { "" } else { h.seal.word() },
        confirmed: false,
        note: h.note.clone(),
    });
    attempts.chain(holes).collect()
}
