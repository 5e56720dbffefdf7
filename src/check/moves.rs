//! A small move of a landing that mends it, found by trying on the solids.

use std::sync::LazyLock;

use super::context::{Context, OnSlope};
use super::finding::Mend;
use super::probe::{Outcome, Tip, probe};
use super::{end_distance_short::to_end, off_tape, through_strap};
use crate::design::{Change, change};
use crate::lattice::{Fastener, Landing, Piece};
use crate::record::State;
use crate::solid::Entry;
use crate::solid::tolerance::SAME;
use crate::structure::SlopeIndex;

/// One step of a try, metres: a sixteenth of an inch.
const STEP: f64 = 0.001_587_5;
/// Furthest try in steps: two inches either way across, and up or down.
const FURTHEST: i32 = 32;

/// Moves in steps (across, up), the smallest first. Up and down only every second step: a batten is narrow.
static TRIES: LazyLock<Vec<(i32, i32)>> = LazyLock::new(|| {
    let mut all: Vec<(i32, i32)> =
        (-FURTHEST..=FURTHEST).flat_map(|a| (-FURTHEST / 2..=FURTHEST / 2).map(move |u| (a, u * 2))).collect();
    all.sort_by_key(|(a, u)| (a * a + u * u, *a, *u));
    all
});

/// The smallest move of a landing after which it is backed with its edge distances, its tips no worse than now, keeps its
/// tape and clears straps.
/// Only for fasteners that are not yet driven and that the design does not already move.
pub fn moved(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Mend> {
    let moving = Moving::of(ctx, on, landing)?;
    // No nearer to the board's end than is asked, or than they are.
    let to_end = ctx.design.limits.end_distance.metres().min(moving.distance_to_end(0.0, 0.0)) - SAME;
    let steps = |(a, u): &(i32, i32)| (f64::from(*a) * STEP, f64::from(*u) * STEP);
    let (across, up) = TRIES.iter().map(steps).find(|(a, u)| moving.fits(*a, *u, to_end))?;
    Some(moving.mend(across, up))
}

/// The smallest move away from the board's end after which the end distance is kept and nothing else is lost; under the
/// same conditions.
pub fn moved_from_end(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Mend> {
    let moving = Moving::of(ctx, on, landing)?;
    let to_end = ctx.design.limits.end_distance.metres() - SAME;
    let (left, right) = moving.piece.x;
    let inward = if landing.x - left < right - landing.x { STEP } else { -STEP };
    let across = (1..=FURTHEST).map(|k| f64::from(k) * inward).find(|a| moving.fits(*a, 0.0, to_end))?;
    Some(moving.mend(across, 0.0))
}

/// Whether a landing's fasteners are in already, or their holes drilled: by the design, or by the drive log.
pub fn is_driven(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> bool {
    on.lattice.is_driven(ctx.design, on.id, landing)
        || (0..usize::from(landing.count)).any(|k| on.state(landing, k) != State::Planned)
}

/// A landing whose fasteners may still go elsewhere.
struct Moving<'m> {
    ctx: &'m Context<'m>,
    on: &'m OnSlope<'m>,
    index: &'m SlopeIndex,
    piece: &'m Piece,
    fasteners: &'m [Fastener],
    /// Where their tips are now.
    tips: Vec<Tip>,
    /// Straps that one of them may come to.
    straps: Vec<&'m Entry<u32>>,
    name: String,
    /// Where the landing lies.
    at: (f64, f64),
}

impl<'m> Moving<'m> {
    fn of(ctx: &'m Context<'_>, on: &'m OnSlope<'_>, landing: &Landing) -> Option<Moving<'m>> {
        let name = ctx.landing_name(on, landing);
        let piece = on.piece(landing)?;
        if is_driven(ctx, on, landing) || ctx.design.move_of(&name).is_some() {
            return None;
        }
        let index = ctx.structure.under.get(on.id.0)?;
        let fasteners = on.lattice.fasteners_of(landing);
        let radius = ctx.design.fastening.diameter.metres() / 2.0;
        let straps = through_strap::within_reach(on, fasteners, f64::from(FURTHEST) * STEP + radius);
        let tips = on.backing_of(landing).iter().map(|b| b.tip).collect();
        Some(Moving { ctx, on, index, piece, fasteners, tips, straps, name, at: (landing.x, landing.y) })
    }

    /// The fasteners after a move.
    fn moved(&self, across: f64, up: f64) -> impl Iterator<Item = Fastener> {
        self.fasteners.iter().map(move |f| Fastener { x: f.x + across, y: f.y + up })
    }

    /// Least distance from an axis to an end of the board after a move.
    fn distance_to_end(&self, across: f64, up: f64) -> f64 {
        let all = self.moved(across, up).map(|f| to_end(self.ctx, self.on, self.piece, &[f]));
        all.fold(f64::INFINITY, f64::min)
    }

    /// Whether a move will do. The cheap questions first: most tries leave the batten, the tape or hit a strap.
    fn fits(&self, across: f64, up: f64, to_end: f64) -> bool {
        let (ctx, limits) = (self.ctx, &self.ctx.design.limits);
        let half = ctx.design.lattice.batten.width.metres() / 2.0 - limits.batten_edge.metres() + SAME;
        let radius = ctx.design.fastening.diameter.metres() / 2.0;
        let moved = || self.moved(across, up);
        moved().all(|at| (at.y - self.piece.y).abs() <= half)
            && self.distance_to_end(across, up) >= to_end
            && !moved().any(|at| self.straps.iter().any(|s| through_strap::hits(ctx, s, &at, radius)))
            && moved().all(|at| off_tape::beside(ctx, self.on, &at) >= limits.tape_margin.metres() - SAME)
            && moved().all(|at| {
                let b = probe(self.index, &ctx.shank(Some(self.piece), &at));
                // A tip may stay where one is already, but for one that comes out of a side.
                let tip = b.tip == Tip::Inside || (b.tip != Tip::Side && self.tips.contains(&b.tip));
                tip && b.outcome == Outcome::Backed && b.room >= limits.edge_distance.metres() - SAME
            })
    }

    fn mend(&self, across: f64, up: f64) -> Mend {
        let lines = change::moved_landing(&self.name, self.at, (across, up), self.ctx.design.units);
        let said = |v: f64, plus: &str, minus: &str| {
            if v.abs() < SAME {
                String::new()
            } else {
                format!(" {} {}", self.ctx.show_marked(v.abs()), if v > 0.0 { plus } else { minus })
            }
        };
        let text = format!(
            "drive {}{}{}{}",
            self.name,
            said(across, "further right", "further left"),
            if across.abs() > SAME && up.abs() > SAME { " and" } else { "" },
            said(up, "further up", "further down")
        );
        Mend { text, change: Change::Append(lines) }
    }
}
