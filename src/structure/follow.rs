//! Eave tails that go where the member is that they are nailed to.
//!
//! Aim: a rafter found to the side takes its tail along. Reason: a tail is cut and nailed on the roof, against the rafter as
//! it is, so a plan that leaves it where it was drawn puts it into the rafter or beside it.
//! Limits: a tail follows the member that it touches side by side along the slope, the one with the longest lap; it stays
//! straight, against the rafter's ends of the lap or where the rafter bows towards it most. A tail that was measured itself,
//! or whose rafter is missing, follows nothing.

use super::expand::Draft;
use crate::design::{FoundMember, MemberKind};

/// Sides no further apart than this touch, metres: common practice, no source.
const TOUCHES: f64 = 2e-3;
/// The least lap that holds a tail, metres: common practice, no source.
const LEAST_LAP: f64 = 0.1;

/// Where a member runs on its slope: x of its middle, half its width, y from its start to its end. Metres.
#[derive(Clone, Copy)]
struct Run {
    x: f64,
    half: f64,
    y: (f64, f64),
}

impl Run {
    /// Of a member that runs straight up the slope.
    fn of(draft: &Draft) -> Option<Run> {
        let at = draft.pose.translation.vector;
        let half = draft.section.width().metres() / 2.0;
        (draft.pose.rotation == nalgebra::UnitQuaternion::identity()).then_some(Run {
            x: at.x,
            half,
            y: (at.y, at.y + draft.length),
        })
    }
}

/// What was found of the member that a tail is nailed to, as offsets of the tail: along it from its start, to the right,
/// metres. `None` for what follows nothing.
pub fn offsets<'f>(
    tail: &Draft,
    others: &[(String, Draft)],
    found_of: impl Fn(&str) -> Option<&'f FoundMember>,
) -> Option<(Vec<(f64, f64)>, &'f FoundMember)> {
    if tail.kind != MemberKind::Tail {
        return None;
    }
    let run = Run::of(tail)?;
    let lap = |host: &Run| {
        let apart = (run.x - host.x).abs() - run.half - host.half;
        let lap = (run.y.0.max(host.y.0), run.y.1.min(host.y.1));
        (apart.abs() <= TOUCHES && lap.1 - lap.0 >= LEAST_LAP).then_some(lap)
    };
    let hosts =
        others.iter().filter(|(_, d)| d.home == tail.home && d.kind != MemberKind::Tail && d.kind.makes_lines());
    let (name, host, lap) = hosts
        .filter_map(|(name, d)| {
            let host = Run::of(d)?;
            Some((name, host, lap(&host)?))
        })
        .min_by(|a, b| (b.2.1 - b.2.0).total_cmp(&(a.2.1 - a.2.0)))?;
    let found = found_of(name).filter(|f| !f.missing)?;
    let places: Vec<(f64, f64)> =
        found.offsets.iter().map(|(at, off)| (host.y.0 + at.metres(), off.metres())).collect();
    let off = |y: f64| {
        let after = places.partition_point(|p| p.0 < y);
        match (after.checked_sub(1).and_then(|i| places.get(i)), places.get(after)) {
            (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (y - a.0) / (b.0 - a.0),
            (Some(only), None) | (None, Some(only)) => only.1,
            (None, None) => 0.0,
        }
    };
    let (low, high) = (off(lap.0), off(lap.1));
    let line = |y: f64| low + (high - low) * (y - lap.0) / (lap.1 - lap.0);
    // Away from the rafter by as much as it bows into the lap.
    let away = (run.x - host.x).signum();
    let bows = places.iter().filter(|p| lap.0 < p.0 && p.0 < lap.1).map(|p| (p.1 - line(p.0)) * away);
    let clear = bows.fold(0.0, f64::max) * away;
    Some((vec![(0.0, line(run.y.0) + clear), (tail.length, line(run.y.1) + clear)], found))
}
