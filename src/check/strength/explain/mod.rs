//! The whole calculation of one landing, one piece or one clip, as a person writes it by hand.
//!
//! Aim: inputs with their origin, formulas with numbers, sources, result. Reason: an engineer checks one landing and trusts
//! the rest. Limits: it shows what was computed, through the same functions; it computes nothing of its own.

mod applied;
mod clip;
mod deciding;
mod inputs;
mod loads;
mod result;

use std::fmt::Write;

use super::basis::Basis;
use super::path::{self, Analysis, Case, Landed};
use super::{SUPPORTS, left_out, strip_crushed};
use crate::capacity::Step;
use crate::capacity::beam::Solver;
use crate::check::context::{Context, OnSlope};
use crate::lattice::Landing;
use crate::quantity::{Force, Length, Pressure, Units, show_line_load};

/// The calculation of the landing, the piece or the clip of this name, without its cautions. `None`: no such name.
pub fn explain(ctx: &Context<'_>, name: &str) -> Option<String> {
    for on in &ctx.slopes {
        if let Some(i) = on.lattice.pieces.iter().position(|p| p.name == name) {
            return Some(with_analysis(ctx, |a| of_piece(ctx, a, on, i, None)));
        }
        if let Some(l) = on.lattice.landings.iter().find(|l| ctx.landing_name(on, l) == name) {
            return Some(with_analysis(ctx, |a| of_piece(ctx, a, on, l.piece as usize, Some((l, name)))));
        }
        if let Some(c) = on.lattice.clips.iter().find(|c| on.lattice.clip_name(c) == name) {
            return Some(with_analysis(ctx, |a| clip::of_clip(ctx, a, on, c, name)));
        }
    }
    None
}

/// Names that can be explained, for a hint.
pub fn names(ctx: &Context<'_>) -> Vec<String> {
    let pieces = ctx.slopes.iter().flat_map(|on| on.lattice.pieces.iter().map(|p| p.name.clone()));
    let landings = ctx.slopes.iter().flat_map(|on| on.lattice.landings.iter().map(|l| ctx.landing_name(on, l)));
    let clips = ctx.slopes.iter().flat_map(|on| on.lattice.clips.iter().map(|c| on.lattice.clip_name(c)));
    pieces.chain(landings).chain(clips).collect()
}

fn with_analysis(ctx: &Context<'_>, tell: impl FnOnce(&Analysis) -> String) -> String {
    match ctx.strength() {
        Ok(a) => tell(a),
        Err(why) => {
            let mut text = "strength: not checked, because\n".to_owned();
            for w in why {
                let _ = writeln!(text, "  {w}");
            }
            text
        }
    }
}

/// Shows numbers of one design.
struct Show {
    units: Units,
}

impl Show {
    fn length(&self, metres: f64) -> String {
        Length::from_metres(metres).show_fine(self.units)
    }
    fn force(&self, newtons: f64) -> String {
        Force::from_newtons(newtons).show(self.units)
    }
    fn pressure(&self, pascals: f64) -> String {
        Pressure::from_pascals(pascals).show(self.units)
    }
    /// Heights at the left and the right end of a stretch.
    fn heights(&self, (left, right): (f64, f64)) -> String {
        match (self.length(left), self.length(right)) {
            (a, b) if a == b => a,
            (a, b) => format!("{a} (left) to {b} (right)"),
        }
    }
    /// Loads for each length at the left and the right end of a stretch.
    fn lines(&self, (left, right): (f64, f64)) -> String {
        match (self.line(left), self.line(right)) {
            (a, b) if a == b => a,
            (a, b) => format!("{a} (left) to {b} (right)"),
        }
    }
    fn line(&self, newtons_per_metre: f64) -> String {
        show_line_load(newtons_per_metre, self.units)
    }
}

fn of_piece(
    ctx: &Context<'_>,
    a: &Analysis,
    on: &OnSlope<'_>,
    piece: usize,
    landing: Option<(&Landing, &str)>,
) -> String {
    let mut text = String::new();
    path::cases(ctx, &a.basis, on, |i, case| {
        if i == piece {
            text = written(ctx, a, on, &case, landing);
        }
    });
    text
}

fn written(
    ctx: &Context<'_>,
    a: &Analysis,
    on: &OnSlope<'_>,
    case: &Case<'_>,
    landing: Option<(&Landing, &str)>,
) -> String {
    let (basis, show) = (&a.basis, Show { units: ctx.design.units });
    let mut text = String::new();
    let t = &mut text;
    match landing {
        Some((l, name)) => {
            let n = l.count;
            let s = if n == 1 { "" } else { "s" };
            let _ = writeln!(
                t,
                "{name}: a landing of {} on {}, {n} fastener{s}",
                case.piece.name,
                on.lattice.on_name(l, ctx.structure)
            );
        }
        None => {
            let _ = writeln!(t, "{}: a piece, {} long", case.piece.name, show.length(case.piece.x.1 - case.piece.x.0));
        }
    }
    let _ = writeln!(t, "{SUPPORTS}");
    if let Some(why) = &basis.superseded {
        let _ = writeln!(t, "Every value below that rests on it: {why}.");
    }
    let at = landing.and_then(|(l, _)| {
        case.supports.iter().position(|s| on.lattice.landings.get(s.landing).is_some_and(|o| std::ptr::eq(o, l)))
    });
    let area = loads::wind_area(case, at);
    let of = path::solve(case, basis, &mut Solver::new());
    let alone = if of.holding < 2 { Vec::new() } else { deciding::one_by_one(case, basis) };
    match (at.map(|at| (at, of.landings.get(at))), &of.board) {
        (Some((at, Some(Landed::Used(used)))), _) => {
            result::Summary::of_landing(basis, case, (at, used), &alone).write(t, basis, "its fasteners hold");
        }
        (None, Some(used)) => {
            result::Summary::of_board(basis, case, (area.size, used), &alone).write(t, basis, "the board carries");
        }
        (Some(_), _) | (None, None) => {}
    }
    inputs::inputs(t, ctx, basis, &show);
    loads::load_steps(t, basis, on, case, (landing.map_or("", |l| l.1), &area), &show);
    loads::hangs(t, case, area.size, &show);
    loads::supports(t, ctx, on, case, &show);
    if of.holding < 2 {
        let _ = writeln!(
            t,
            "\nResult\n  {} is a mechanism: fewer than two landings hold it. Nothing is computed.",
            case.piece.name
        );
        return text;
    }
    match landing {
        Some((l, name)) => {
            if let Some(at) = at {
                let landed = (of.landings.get(at), alone.as_slice());
                result::one_landing(t, (ctx, on), basis, case, (at, name, area.size), landed, &show);
                if let Some(bearing) = of.bearing.get(at) {
                    let size = (strip_crushed::strip_width(ctx, on, l), ctx.design.lattice.batten.width.metres());
                    result::strip(t, basis, size, bearing, &show);
                }
            }
        }
        None => result::one_piece(t, (ctx, on), basis, case, (&of, area.size), &show),
    }
    not_checked(t, basis);
    text
}

fn steps(t: &mut String, all: &[Step]) {
    for s in all {
        let _ = writeln!(t, "  {s}");
    }
}

fn not_checked(t: &mut String, basis: &Basis) {
    let _ = writeln!(t, "\nNot checked");
    for why in &basis.left_out {
        let _ = writeln!(t, "  {why}");
    }
    if let Some(why) = &basis.board_reason {
        let _ = writeln!(t, "  battens: {why}");
    }
    if basis.spec.strip.is_none() {
        let _ = writeln!(t, "  strips: {}", strip_crushed::NOT_SAID);
    }
    let _ = writeln!(t, "  {}", left_out::NEVER);
}
