//! Where a fastener that missed can still go: the nearest place on the solids that meets everything asked.

use super::super::context::{Context, OnSlope};
use super::super::moves::{STEP, TRIES};
use super::super::probe::{Outcome, probe};
use super::super::{off_tape, through_strap};
use crate::lattice::{Fastener, Landing};
use crate::record::State;
use crate::solid::tolerance::{DISTINCT, SAME};

/// A place beside the planned one, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// To the right.
    pub across: f64,
    /// Up the slope.
    pub up: f64,
}

impl Beside {
    /// In words.
    pub fn words(self, ctx: &Context<'_>) -> String {
        let said = |v: f64, plus: &str, minus: &str| {
            (v.abs() > SAME).then(|| format!("{} {}", ctx.show(v.abs()), if v > 0.0 { plus } else { minus }))
        };
        match (said(self.across, "further right", "further left"), said(self.up, "further up", "further down")) {
            (Some(a), Some(u)) => format!("{a} and {u}"),
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => "where it was planned".into(),
        }
    }
}

/// The nearest place for a fastener (from 0) of a landing that is backed with its edge distances, keeps its tape, clears
/// straps, and clears the heads of everything that stands there already or is still planned there.
pub fn remaining(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing, k: usize) -> Option<Beside> {
    let piece = on.piece(landing)?;
    let index = ctx.structure.under.get(on.id.0)?;
    let limits = &ctx.design.limits;
    let fasteners = on.lattice.fasteners_of(landing);
    let here = fasteners.get(k)?;
    let head = ctx.design.fastening.head.metres();
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
    let half = ctx.design.lattice.batten.width.metres() / 2.0 - limits.edge_distance.metres() + SAME;
    let from_end = |f: &Fastener| (f.x - piece.x.0).min(piece.x.1 - f.x);
    let to_end = limits.end_distance.metres().min(from_end(here)) - SAME;
    // Two that lack are both planned where they were: only what stands there is in the way of either.
    let others = fasteners.iter().enumerate().filter(|(i, _)| *i != k && on.state(landing, *i) != State::Lacking);
    let mut taken: Vec<(f64, f64)> = others.map(|(_, f)| (f.x, f.y)).collect();
    let near = |at: &(f64, f64)| (at.0 - here.x).hypot(at.1 - here.y) < 0.2;
    // A place that nobody wrote down may be the planned one.
    taken.extend(on.left_in.iter().filter_map(|l| l.shown_at).filter(near));
    let places = TRIES.iter().map(|(a, u)| Beside { across: f64::from(*a) * STEP, up: f64::from(*u) * STEP });
    places.into_iter().find(|to| {
        let at = Fastener { x: here.x + to.across, y: here.y + to.up };
        (at.y - piece.y).abs() <= half
            && from_end(&at) >= to_end
            && taken.iter().all(|t| (t.0 - at.x).hypot(t.1 - at.y) >= head - DISTINCT)
            && through_strap::clearance(ctx, on, &at, radius).is_none()
            && off_tape::beside(ctx, on, &at) >= limits.tape_margin.metres() - SAME
            && {
                let b = probe(index, &ctx.shank(Some(piece), &at));
                b.outcome == Outcome::Backed && b.room >= limits.edge_distance.metres() - SAME
            }
    })
}
