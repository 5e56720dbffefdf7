//! Effective wind areas: of the fasteners of a landing, of a batten, of the screws of a clip.
//!
//! Aim: the area whose coefficient counts. Reason: wind pulls hardest on small areas, so that a fastener takes more of it for
//! each area than a batten does. Limits: what hangs on a landing reaches half way to the next landings that hold; of
//! a piece's spans the one with the least area stands for the whole piece, which is never less suction.

use super::clips::{self, ClipOn};
use super::lines::{self, Even};
use super::path::Case;
use crate::capacity::wind::area::AreaRule;

/// What hangs on a landing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hangs {
    /// From here to there, x, metres.
    pub x: (f64, f64),
    /// Area of the roofing, m2.
    pub area: f64,
    /// The part of one fastener, m2.
    pub each: f64,
}

/// Area of the roofing that hangs on a piece between two places, m2.
pub fn roofing(evens: &[Even], (from, to): (f64, f64)) -> f64 {
    evens.iter().filter_map(|e| e.part(from, to)).map(|e| e.area()).sum()
}

fn evens<'c>(case: &'c Case<'_>) -> &'c [Even] {
    case.evens.first().map_or(&[], Vec::as_slice)
}

/// What hangs on each landing that holds; `None` for the others.
pub fn of_landings(case: &Case<'_>) -> Vec<Option<Hangs>> {
    let ends = lines::reach(evens(case)).unwrap_or(case.piece.x);
    let held: Vec<usize> =
        (0..case.supports.len()).filter(|i| case.supports.get(*i).is_some_and(|s| s.holds)).collect();
    let at = |k: usize| held.get(k).and_then(|i| case.supports.get(*i)).map(|s| s.x);
    let mut all = vec![None; case.supports.len()];
    for (k, i) in held.iter().enumerate() {
        let Some(here) = at(k) else { continue };
        let left = k.checked_sub(1).and_then(at).map_or(ends.0, |x| (x + here) / 2.0);
        let right = at(k + 1).map_or(ends.1, |x| (x + here) / 2.0);
        let area = roofing(evens(case), (left, right));
        if let Some(place) = all.get_mut(*i) {
            *place = Some(Hangs { x: (left, right), area, each: area / case.sharing(*i) });
        }
    }
    all
}

/// The span of a piece with the least area: its length and the width that hangs on it (metres), and the area, m2; `None`
/// where there is no span.
pub fn of_board(case: &Case<'_>, rule: AreaRule) -> Option<(f64, f64, f64)> {
    let at: Vec<f64> = case.supports.iter().filter(|s| s.holds).map(|s| s.x).collect();
    let span = |w: &[f64]| {
        let (a, b) = (*w.first()?, *w.last()?);
        let width = roofing(evens(case), (a, b)) / (b - a);
        Some((b - a, width, rule.of_batten(b - a, width).ok()?))
    };
    at.windows(2).filter_map(span).min_by(|a, b| a.2.total_cmp(&b.2))
}

/// The part of one of so many screws of each clip of a piece, m2.
pub fn of_clips(case: &Case<'_>, screws: f64) -> Vec<f64> {
    let of = |c: &ClipOn| match &c.own {
        Some(own) => own.iter().map(Even::area).sum(),
        None => clips::on_course(evens(case), c).iter().map(Even::area).sum::<f64>(),
    };
    case.clips.iter().flatten().map(|c| of(c) / screws.max(1.0)).collect()
}
