//! Where a fastener that missed can still go: the nearest place in the window that is left for it.

use super::super::context::{Context, OnSlope};
use super::super::fastener_spacing_short::asked;
use crate::aim::{Condition, Conditions, Lean, Obstacle, Obstacles, Region, Site, mark_step};
use crate::lattice::Piece;
use crate::record::State;
use crate::solid::tolerance::SAME;

/// A place beside the planned one, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    /// To the right.
    pub across: f64,
    /// Up the slope.
    pub up: f64,
    /// It works only driven without tilt: no place is left that is sure at every tilt of the hand.
    pub square: bool,
}

impl Beside {
    /// In words.
    pub fn words(self, ctx: &Context<'_>) -> String {
        let said = |v: f64, plus: &str, minus: &str| {
            (v.abs() > SAME).then(|| format!("{} {}", ctx.show_marked(v.abs()), if v > 0.0 { plus } else { minus }))
        };
        let place =
            match (said(self.across, "further right", "further left"), said(self.up, "further up", "further down")) {
                (Some(a), Some(u)) => format!("{a} and {u}"),
                (Some(one), None) | (None, Some(one)) => one,
                (None, None) => "where it was planned".into(),
            };
        if self.square {
            format!("{place}, without any tilt: no place that is left is sure at the hand's")
        } else {
            place
        }
    }
}

/// The nearest place for a fastener (from 0) of a landing (its number on the slope): in its sure window, clear of everything that stands there
/// already or is still planned there, of the places told for those of the landing before it that lack too, and of what
/// [`OnSlope::keep_away`] holds. Where no sure place is left, one that works without tilt; `None` where there is none
/// either. It keeps the spacing that `fastener-spacing-short` asks where a sure place does.
pub fn remaining(ctx: &Context<'_>, on: &OnSlope<'_>, number: usize, k: usize) -> Option<Beside> {
    beside(ctx, on, (number, k), true).filter(|to| !to.square).or_else(|| beside(ctx, on, (number, k), false))
}

fn beside(ctx: &Context<'_>, on: &OnSlope<'_>, (number, k): (usize, usize), spaced: bool) -> Option<Beside> {
    let landing = on.lattice.landings.get(number)?;
    let piece = on.piece(landing)?;
    let other = |at| other(ctx, at, spaced);
    let fasteners = on.lattice.fasteners_of(landing);
    // Two that lack are both planned where they were: only what stands there is in the way of either.
    let stands = fasteners.iter().enumerate().filter(|(i, _)| on.state(landing, *i) != State::Lacking);
    let mut taken: Vec<Obstacle> = on.keep_away.near(landing).copied().collect();
    taken.extend(stands.map(|(_, f)| other([f.x, f.y])));
    let mut found = None;
    for i in (0..=k).filter(|i| on.state(landing, *i) == State::Lacking) {
        let here = fasteners.get(i).map(|f| [f.x, f.y])?;
        let keep_away = Obstacles::new(taken.clone());
        let site = Site { keep_away: &keep_away, ..ctx.site(on)? };
        found = nearest(ctx, &site, (number, i), piece, here);
        if let Some(to) = found {
            taken.push(other([here[0] + to.across, here[1] + to.up]));
        }
    }
    found
}

/// Another fastener of the landing: no nearer than two of them are asked to be, and no nearer than their heads are wide;
/// with the spacing up the grain of a rafter where that is kept too.
fn other(ctx: &Context<'_>, [x, y]: [f64; 2], spaced: bool) -> Obstacle {
    let radius = ctx.design.aim.spacing.metres().max(ctx.design.fastening.head.metres());
    let up = if spaced { (asked(ctx.design).apart(true).up.value - radius).max(0.0) } else { 0.0 };
    Obstacle { x: (x, x), y: (y - up, y + up), radius }
}

fn nearest(
    ctx: &Context<'_>,
    site: &Site<'_>,
    (number, k): (usize, usize),
    piece: &Piece,
    here: [f64; 2],
) -> Option<Beside> {
    // The others of the landing are obstacles where they really stand, not a half of the landing each.
    let all = Conditions::ALL.without(Condition::Others);
    let from_end = (here[0] - piece.x.0).min(piece.x.1 - here[0]);
    let asked = ctx.design.limits.end_distance.metres();
    // No nearer to the board's end than is asked, or than it was planned.
    let (left, right) = (piece.x.0 + from_end - SAME, piece.x.1 - from_end + SAME);
    let (low, high) = (piece.y - 1.0, piece.y + 1.0);
    let as_planned = (from_end < asked && left < right)
        .then(|| Region::union_of(vec![vec![[left, low], [right, low], [right, high], [left, high]]]));
    let window = |lean: Lean| {
        let sure = site.window(number, k, all, lean);
        match &as_planned {
            Some(ends) if sure.is_empty() => {
                site.window(number, k, all.without(Condition::BattenEnd), lean).shared(ends)
            }
            _ => sure,
        }
    };
    let step = mark_step(ctx.design.units);
    let place = |lean: Lean| measurable(&window(lean), here, step);
    let sure = place(site.hand()).map(|p| (p, false));
    let (to, square) = sure.or_else(|| place(Lean::SQUARE).map(|p| (p, true)))?;
    Some(Beside { across: to[0] - here[0], up: to[1] - here[1], square })
}

/// How many steps round the nearest place of a window a place is looked for that is whole steps from the planned one.
const ROUND: i64 = 8;

/// The place of a window nearest to another, at whole steps from it where the window has such a place near by.
fn measurable(window: &Region, here: [f64; 2], step: f64) -> Option<[f64; 2]> {
    if window.is_empty() {
        return None;
    }
    let exact = window.nearest(here)?;
    let at = |k: i64, i: usize| here[i] + k as f64 * step;
    let near = [0, 1].map(|i| ((exact[i] - here[i]) / step).round() as i64);
    let all =
        (near[0] - ROUND..=near[0] + ROUND).flat_map(|a| (near[1] - ROUND..=near[1] + ROUND).map(move |u| (a, u)));
    let inside = all.filter(|(a, u)| window.contains([at(*a, 0), at(*u, 1)]));
    let best = inside.min_by_key(|(a, u)| (a * a + u * u, *a, *u));
    Some(best.map_or(exact, |(a, u)| [at(a, 0), at(u, 1)]))
}
