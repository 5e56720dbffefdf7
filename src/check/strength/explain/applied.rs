//! The loads of one case as the beam gets them, and what the beam makes of them.
//!
//! Aim: loads, reactions with their sums, and the places of the greatest moment and shear. Reason: whoever solves the beam again
//! needs the loads of the case that decides, cut to its spans, and not full ones. Limits: one case; loads that overlap are
//! added up.

use std::fmt::Write;

use super::Show;
use crate::capacity::beam::{Load, Pattern, Solver};
use crate::check::context::{Context, OnSlope};
use crate::check::strength::basis::{Basis, Combination};
use crate::check::strength::path::{self, Across, Case};
use crate::quantity::show_moment;

/// One case of a piece.
pub struct Asked<'a> {
    /// What names are asked of.
    pub on: (&'a Context<'a>, &'a OnSlope<'a>),
    /// What it is computed from.
    pub basis: &'a Basis,
    /// The piece.
    pub case: &'a Case<'a>,
    /// The combination.
    pub combination: &'a Combination,
    /// Number of the way of holding panels.
    pub hold: usize,
    /// Which spans carry snow and live load.
    pub pattern: Pattern,
}

/// Two places of a beam nearer than this are one, metres.
const SAME_PLACE: f64 = 1e-9;

/// From, to (metres) and load for each length at both (N/m).
type Stretch = (f64, f64, (f64, f64));

/// Loads for each length over stretches and forces at places, from left to right, overlapping ones added up.
fn summed(loads: &[Load]) -> (Vec<Stretch>, Vec<(f64, f64)>) {
    let mut breaks = Vec::new();
    let mut points: Vec<(f64, f64)> = Vec::new();
    for load in loads {
        match *load {
            Load::Uniform { from, to, .. } | Load::Linear { from, to, .. } => breaks.extend([from, to]),
            Load::Point { at, force } => match points.iter_mut().find(|p| (p.0 - at).abs() < SAME_PLACE) {
                Some(point) => point.1 += force,
                None => points.push((at, force)),
            },
        }
    }
    breaks.sort_by(f64::total_cmp);
    breaks.dedup_by(|b, a| *b - *a < SAME_PLACE);
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut stretches: Vec<Stretch> = Vec::new();
    for (a, b) in breaks.windows(2).filter_map(|w| Some((*w.first()?, *w.last()?))) {
        let middle = f64::midpoint(a, b);
        let over = |l: &Load| match *l {
            Load::Uniform { from, to, force } if from < middle && middle < to => (force, force),
            Load::Linear { from, to, force } if from < middle && middle < to => {
                let at = |x: f64| force.0 + (force.1 - force.0) * (x - from) / (to - from);
                (at(a), at(b))
            }
            Load::Uniform { .. } | Load::Linear { .. } | Load::Point { .. } => (0.0, 0.0),
        };
        let force = loads.iter().map(over).fold((0.0, 0.0), |sum, f| (sum.0 + f.0, sum.1 + f.1));
        let even = |f: (f64, f64)| (f.0 - f.1).abs() < 1e-9;
        match stretches.last_mut() {
            Some(last) if even(last.2) && even(force) && (last.2.0 - force.0).abs() < 1e-9 => last.1 = b,
            Some(_) | None => stretches.push((a, b, force)),
        }
    }
    (stretches, points)
}

/// Places where moment or shear may be greatest: ends of stretches, forces, supports, and where the shear is zero.
fn candidates(solver: &Solver, marks: &[f64]) -> Vec<f64> {
    let mut all = marks.to_vec();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|b, a| *b - *a < SAME_PLACE);
    let shear = |x: f64| solver.shear(x).unwrap_or(0.0);
    let zeros: Vec<f64> = all
        .windows(2)
        .filter_map(|w| {
            let (mut low, mut high) = (*w.first()?, *w.last()? - SAME_PLACE);
            let positive = shear(low) > 0.0;
            if (shear(high) > 0.0) == positive {
                return None;
            }
            for _ in 0..60 {
                let middle = f64::midpoint(low, high);
                if (shear(middle) > 0.0) == positive { low = middle } else { high = middle }
            }
            Some(low)
        })
        .collect();
    // Shear jumps at forces and supports: just left of them counts as well.
    let before: Vec<f64> = all.iter().map(|x| (x - SAME_PLACE).max(0.0)).collect();
    all.extend(zeros);
    all.extend(before);
    all
}

/// Writes one way of a case; nothing where it cannot be solved.
pub fn applied(t: &mut String, asked: &Asked<'_>, (across, word): (Across, &str), show: &Show) {
    let Asked { on: (ctx, on), basis, case, combination, hold, pattern } = asked;
    let mut solver = Solver::new();
    let solved = path::asked(case, basis, combination, *hold, (across, *pattern), &mut solver);
    let Ok(Some((reactions, extremes))) = solved else { return };
    let loads = path::loads_by(case, basis, combination, *hold, across, *pattern);
    let (stretches, points) = summed(&loads);
    let x0 = case.piece.x.0;
    let at = |x: f64| show.length(x0 + x);
    let _ = writeln!(t, "  as the beam gets it, {word}, with what is cut to spans and what overlaps added up:");
    for (from, to, force) in &stretches {
        let _ = writeln!(t, "    x {} to {}: {}", at(*from), at(*to), show.lines(*force));
    }
    for (place, force) in &points {
        let _ = writeln!(t, "    at x {}: {}", at(*place), show.force(*force));
    }
    let all: f64 = stretches.iter().map(|(a, b, f)| (b - a) * f64::midpoint(f.0, f.1)).sum::<f64>()
        + points.iter().map(|p| p.1).sum::<f64>();
    let _ = writeln!(t, "  the landings' reactions to it, {word} (below zero: it bears):");
    for (support, force) in case.supports.iter().zip(&reactions) {
        let name = on.lattice.landings.get(support.landing).map_or(String::new(), |l| ctx.landing_name(on, l));
        let _ = writeln!(t, "    {name} at x {}: {}", show.length(support.x), show.force(*force));
    }
    let together: f64 = reactions.iter().sum();
    let _ = writeln!(t, "    reactions together {}, load together {}", show.force(together), show.force(all));
    let mut marks: Vec<f64> = stretches.iter().flat_map(|s| [s.0, s.1]).chain(points.iter().map(|p| p.0)).collect();
    marks.extend(case.supports.iter().map(|s| s.x - x0));
    let places = candidates(&solver, &marks);
    let most = |of: &dyn Fn(f64) -> f64| places.iter().copied().max_by(|a, b| of(*a).total_cmp(&of(*b)));
    let moment = |x: f64| solver.moment(x).unwrap_or(0.0);
    let shear = |x: f64| solver.shear(x).unwrap_or(0.0).abs();
    if let (Some(m), Some(v)) = (most(&|x| moment(x).abs()), most(&shear)) {
        let face = if moment(m) > 0.0 { "inner" } else { "outer" };
        let _ = writeln!(
            t,
            "    greatest moment {} at x {} (tension in the {face} face), greatest shear {} at x {}",
            show_moment(extremes.moment(), show.units),
            at(m),
            show.force(extremes.shear),
            at(v)
        );
    }
}
