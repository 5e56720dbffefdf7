//! Gaps that the design leaves in courses.
//!
//! Aim: a course that a gap divides as an opening would: its boards end square to either side. Reason: where boards lie
//! close, air crosses a strip only where no batten lies on it. Limits: a gap keeps its place along the eave whatever is
//! found, and goes through both rows of boards that lap.

use super::{End, Lattice};
use crate::design::{Design, Diagnostic};
use crate::solid::Intervals;
use crate::solid::tolerance::SAME;
use crate::structure::Structure;

/// Left and right ends of the gaps of a course, metres.
fn of<'d>(design: &'d Design, course: &'d str) -> impl Iterator<Item = (f64, f64)> + 'd {
    design.gaps.iter().filter(move |g| g.course == course).map(|g| (g.from.metres(), g.to.metres()))
}

/// What gaps leave of a course.
pub fn without(design: &Design, course: &str, left: Intervals) -> Intervals {
    of(design, course).fold(left, |left, (from, to)| if to > from { left.without(from, to) } else { left })
}

/// The end at a place where a gap of the course begins or ends.
pub fn end_at(design: &Design, course: &str, x: f64) -> Option<End> {
    of(design, course).any(|(from, to)| (from - x).abs() < SAME || (to - x).abs() < SAME).then_some(End::Gap)
}

/// Gaps where their course has no board to leave out.
pub fn faults(design: &Design, structure: &Structure, lattice: &Lattice) -> Vec<Diagnostic> {
    let mut faults = Vec::new();
    for gap in &design.gaps {
        let on = lattice.slopes.iter().zip(&structure.slopes);
        let row = on.filter_map(|(l, s)| Some((l.courses.iter().find(|c| c.name == gap.course)?.y, &s.outline)));
        let (from, to) = (gap.from.metres(), gap.to.metres());
        let crosses = |(y, outline): (f64, &crate::structure::Outline)| {
            outline.along_x(y).iter().any(|(left, right)| left.0 < to && from < right.0)
        };
        let mut rows = row.map(crosses).peekable();
        // A course that does not exist is told elsewhere.
        if rows.peek().is_some() && !rows.any(|r| r) {
            let units = design.units;
            faults.push(Diagnostic {
                message: format!("{} has no board from {} to {}", gap.course, gap.from.show(units), gap.to.show(units)),
                key: format!("{}.from", gap.key),
                span: gap.span.clone(),
                hint: "x counts along the eave from the left".into(),
            });
        }
    }
    faults
}
