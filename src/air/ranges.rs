//! From where to where each figure reaches over the cases that were solved.
//!
//! Aim: the least and the greatest value of a figure, and the case that gave each. Reason: more wind may mean more air or less,
//! and what carries the most air need not warm it the most; so the ends are looked for, figure by figure, among solved flows.
//! Limits: the cases are corners; where the flow turns round between two of them it may be less than in any ([`turns_round`]).

use super::answers::{Answers, Solved};
use super::flow::{Case, Flow};
use super::space::{Cell, End, Space};

/// A figure that every answer has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    /// What flows through, m3/s.
    Volume,
    /// Air changes an hour.
    Changes,
    /// Highest speed in a cell, m/s.
    Fastest,
    /// Area slower than the design's limit, m2.
    Still,
    /// Vapour that can be carried off, kg/s.
    Vapour,
    /// Temperature of the air that leaves, kelvins.
    Leaving,
}

impl Figure {
    /// All of them.
    pub const ALL: [Figure; 6] =
        [Figure::Volume, Figure::Changes, Figure::Fastest, Figure::Still, Figure::Vapour, Figure::Leaving];

    /// The figure in words.
    pub fn word(self) -> &'static str {
        match self {
            Figure::Volume => "flow",
            Figure::Changes => "air changes an hour",
            Figure::Fastest => "highest speed",
            Figure::Still => "still area",
            Figure::Vapour => "vapour carried off",
            Figure::Leaving => "leaves at",
        }
    }

    /// Its value in an answer, where it has one.
    pub fn of(self, space: &Space, a: &Answers) -> Option<f64> {
        match self {
            Figure::Volume => Some(a.volume),
            Figure::Changes => Some(a.changes),
            Figure::Fastest => Some(a.fastest),
            Figure::Still => {
                Some(a.still.iter().filter_map(|c| space.cells.get(*c as usize)).map(Cell::area).sum::<f64>())
            }
            Figure::Vapour => a.vapour,
            Figure::Leaving => a.leaving,
        }
    }
}

/// From where to where a figure reaches.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// Which figure.
    pub figure: Figure,
    /// The least value, and the case that gave it.
    pub low: (f64, Case),
    /// The values of the likely case, one for each of its answers; none where it was not solved.
    pub likely: Vec<f64>,
    /// The greatest value, and its case.
    pub high: (f64, Case),
}

/// Every answer of every case.
fn answers(cases: &[Solved]) -> impl Iterator<Item = (Case, &(Flow, Answers))> {
    cases.iter().flat_map(|s| s.found.iter().flatten().map(|a| (s.case, a)))
}

/// The first of the least and the first of the greatest of some values.
fn ends<T: Copy>(all: &[(f64, T)]) -> Option<((f64, T), (f64, T))> {
    let first = *all.first()?;
    Some(all.iter().fold((first, first), |(low, high), v| {
        (if v.0 < low.0 { *v } else { low }, if v.0 > high.0 { *v } else { high })
    }))
}

/// The ranges of all figures that were found.
pub fn ranges(space: &Space, cases: &[Solved]) -> Vec<Range> {
    let of = |figure: Figure| {
        let all: Vec<(f64, Case)> =
            answers(cases).filter_map(|(case, (_, a))| Some((figure.of(space, a)?, case))).collect();
        let (low, high) = ends(&all)?;
        let likely = all.iter().filter(|v| v.1 == Case::LIKELY).map(|v| v.0).collect();
        Some(Range { figure, low, likely, high })
    };
    Figure::ALL.into_iter().filter_map(of).collect()
}

/// The answers with the least and with the most flow of all, each with its case.
pub fn extremes(cases: &[Solved]) -> Option<[(Case, &Flow); 2]> {
    let all: Vec<(f64, (Case, &Flow))> = answers(cases).map(|(case, (f, a))| (a.volume, (case, f))).collect();
    ends(&all).map(|(low, high)| [low.1, high.1])
}

/// Whether more air enters at the tops than at the eaves.
pub(super) fn runs_down(space: &Space, flow: &Flow) -> bool {
    let inward = |end: End| -> f64 {
        let through = space.openings.iter().zip(&flow.openings).filter(|(o, _)| o.end == end);
        through.map(|(_, q)| q.max(0.0)).sum()
    };
    inward(End::High) > inward(End::Low)
}

/// Whether air runs up in one answer and down in another: somewhere between them it may stand still.
pub fn turns_round(space: &Space, cases: &[Solved]) -> bool {
    let mut all = answers(cases).filter(|(_, (_, a))| a.volume > 0.0).map(|(_, (f, _))| runs_down(space, f));
    all.next().is_some_and(|first| all.any(|down| down != first))
}
