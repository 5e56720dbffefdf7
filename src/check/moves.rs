//! A small move of a landing that mends it, found by trying on the solids.

use std::sync::LazyLock;

use super::context::{Context, OnSlope};
use super::finding::Mend;
use super::probe::{Outcome, probe};
use super::{off_tape, through_strap};
use crate::design::{Change, LaidKind, change};
use crate::lattice::{Fastener, Landing};
use crate::solid::tolerance::SAME;

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

/// The smallest move of a landing after which it is backed with its edge distances, keeps its tape and clears straps.
/// Only for fasteners that are not yet driven and that the design does not already move.
pub fn moved(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Mend> {
    let name = ctx.landing_name(on, landing);
    let piece = on.piece(landing)?;
    let course = on.lattice.courses.get(piece.course as usize)?;
    let line = on.line(landing).map(|l| l.name.as_str());
    let driven = ctx.design.laid.iter().any(|l| {
        l.what.contains(&LaidKind::Fasteners)
            && l.slopes.contains(&on.id)
            && l.lines.as_ref().is_none_or(|ls| ls.iter().any(|(n, _)| Some(n.as_str()) == line))
            && l.courses.as_ref().is_none_or(|cs| cs.iter().any(|(n, _)| *n == course.name))
    });
    if driven || ctx.design.moves.iter().any(|m| m.landing == name) {
        return None;
    }
    let index = ctx.structure.under.get(on.id.0)?;
    let limits = &ctx.design.limits;
    let half = ctx.design.lattice.batten.width.metres() / 2.0 - limits.edge_distance.metres() + SAME;
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
    let fasteners = on.lattice.fasteners_of(landing);
    // No nearer to the board's end than is asked, or than they are.
    let from_end = |f: &Fastener| (f.x - piece.x.0).min(piece.x.1 - f.x);
    let now = fasteners.iter().map(from_end).fold(f64::INFINITY, f64::min);
    let to_end = limits.end_distance.metres().min(now) - SAME;
    // The cheap questions first: most tries leave the batten, the tape or hit the strap.
    let fits = |across: f64, up: f64| {
        let moved = || fasteners.iter().map(|f| Fastener { x: f.x + across, y: f.y + up });
        moved().all(|at| (at.y - piece.y).abs() <= half && from_end(&at) >= to_end)
            && moved().all(|at| through_strap::clearance(ctx, on, &at, radius).is_none())
            && moved().all(|at| off_tape::beside(ctx, on, &at) >= limits.tape_margin.metres() - SAME)
            && moved().all(|at| {
                let b = probe(index, &ctx.shank(Some(piece), &at));
                b.outcome == Outcome::Backed && b.room >= limits.edge_distance.metres() - SAME
            })
    };
    let steps = |(a, u): &(i32, i32)| (f64::from(*a) * STEP, f64::from(*u) * STEP);
    let (across, up) = TRIES.iter().map(steps).find(|(a, u)| fits(*a, *u))?;
    let lines = change::moved_landing(&name, across, up, ctx.design.units);
    let said = |v: f64, plus: &str, minus: &str| {
        if v.abs() < SAME {
            String::new()
        } else {
            format!(" {} {}", ctx.show(v.abs()), if v > 0.0 { plus } else { minus })
        }
    };
    Some(Mend {
        text: format!(
            "drive {name}{}{}{}",
            said(across, "further right", "further left"),
            if across.abs() > SAME && up.abs() > SAME { " and" } else { "" },
            said(up, "further up", "further down")
        ),
        change: Change::Append(lines),
    })
}
