//! What really holds a piece, and what it lies on.
//!
//! Aim: for every piece, the places that pull it down against wind and those that bear it under snow. Reason: a landing
//! that holds nothing carries nothing, and its neighbours take its share. Limits: a landing holds where all its fasteners
//! are backed; a strip bears where a deck or the upper face of a member lies under it.

use crate::check::context::OnSlope;
use crate::lattice::Landing;
use crate::solid::{Point3, Vector3};
use crate::structure::{Component, Structure};

/// A landing as a support of its piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Support {
    /// Index of the landing on its slope.
    pub landing: usize,
    /// x of its fasteners' middle, metres.
    pub x: f64,
    /// It holds against being lifted and against sliding down.
    pub holds: bool,
    /// The strip there lies on deck or member, so that it bears.
    pub bears: bool,
}

/// Whether a landing holds. The one place that decides it.
pub fn holds(on: &OnSlope<'_>, landing: &Landing) -> bool {
    on.holds(landing)
}

/// How far below its level a member's upper face may lie and still bear the strip, metres.
const CLOSE: f64 = 1e-4;

/// Whether the strip at a landing lies on something that bears.
fn bears(on: &OnSlope<'_>, structure: &Structure, deck: bool, landing: &Landing) -> bool {
    if deck {
        return true;
    }
    let Some(index) = structure.under.get(on.id.0) else { return false };
    let (x, y) = (landing.x, landing.y);
    let down = Vector3::new(0.0, 0.0, -1.0);
    let start = Point3::new(x, y, 1.0);
    let mut found = false;
    index.near((x, x), (y, y), |entry| {
        if !found && matches!(entry.tag.1, Component::Whole | Component::TopFlange) {
            let face = entry.body.chord(&start, &down).map(|c| start.z - c.enter);
            found = face.is_some_and(|z| (z - structure.framing_level).abs() < CLOSE);
        }
    });
    found
}

/// The supports of a piece, from left to right. `first` is the index of its first landing.
pub fn supports(
    on: &OnSlope<'_>,
    structure: &Structure,
    deck: bool,
    first: usize,
    landings: &[Landing],
) -> Vec<Support> {
    let mut all: Vec<Support> = landings
        .iter()
        .enumerate()
        .map(|(k, l)| {
            let n = on.lattice.fasteners_of(l);
            let x = if n.is_empty() { l.x } else { n.iter().map(|f| f.x).sum::<f64>() / n.len() as f64 };
            let holds = holds(on, l);
            // A backed landing is in a member; only one that is not asks the solids again.
            Support { landing: first + k, x, holds, bears: bears(on, structure, deck, l) }
        })
        .collect();
    all.sort_by(|a, b| a.x.total_cmp(&b.x));
    all
}
