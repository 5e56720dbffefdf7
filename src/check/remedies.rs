//! What might open a window that is empty: changes of the design, to be tried.
//!
//! These are candidates, not mends: only a re-run with the change shows which of them help (`crate::remedy` does that).

use super::context::{Context, OnSlope};
use super::finding::Mend;
use super::mends;
use crate::aim::{Condition, Conditions};
use crate::design::{BoardsFrom, Change, JointKind, change};
use crate::lattice::{On, Side};

/// Changes worth trying for a landing whose window is empty, given what cannot be met together.
pub fn remedies(ctx: &Context<'_>, on: &OnSlope<'_>, number: usize, conflict: Conditions) -> Vec<Mend> {
    let Some(landing) = on.lattice.landings.get(number) else { return Vec::new() };
    let design = ctx.design;
    let mut all = Vec::new();
    if conflict.has(Condition::Tape) && !on.line(landing).is_some_and(|l| l.tape_laid) {
        for more in [0.0127, 0.0254, 0.0508] {
            let wide = mends::rounded_up(ctx, design.lattice.tape.width.metres() + more);
            all.push(mends::set_length(ctx, "lattice.tape.width", wide, "use wider tape"));
        }
    }
    if conflict.has(Condition::BattenEnd) {
        if !design.fastening.predrilled.value {
            all.push(mends::set_word("fastening.predrilled", "true", "drill the holes before driving"));
        }
        if landing.side != Side::Whole {
            if design.lattice.batten.joint.value != JointKind::Lap {
                let words = "lap the boards over the line, so that the joint's ends stand elsewhere";
                all.push(mends::set_word("lattice.batten.joint", "\"lap\"", words));
            }
            if design.lattice.batten.joint.value == JointKind::Butt {
                let words = "another place for the joint: over doubled members only";
                all.push(mends::set_word("lattice.batten.joint", "\"doubled\"", words));
            }
            let other = match design.lattice.batten.boards_from.value {
                BoardsFrom::Left => "\"right\"",
                BoardsFrom::Right => "\"left\"",
            };
            let words = "another place for the joint: lay the boards from the other end";
            all.push(mends::set_word("lattice.batten.boards_from", other, words));
        }
    }
    if conflict.has(Condition::Others) && design.fastening.per_landing.value > 1 {
        all.push(mends::set_word("fastening.per_landing", "1", "drive one fastener in each landing"));
    }
    if conflict.has(Condition::Backed) {
        // Where it is only the depth that lacks.
        for more in [0.00635, 0.0127] {
            let longer = mends::rounded_up(ctx, design.fastening.length.metres() + more);
            all.push(mends::set_length(ctx, "fastening.length", longer, "use longer fasteners"));
        }
        all.extend(mends::missing_put_in(ctx, on, landing));
    }
    if conflict.has(Condition::Backed) || conflict.has(Condition::MemberEdge) {
        all.extend(block(ctx, on, number));
    }
    all
}

/// A block under the landing; where a member is in the way, one beside it with a landing of its own.
fn block(ctx: &Context<'_>, on: &OnSlope<'_>, number: usize) -> Option<Mend> {
    let landing = on.lattice.landings.get(number)?;
    let piece = on.piece(landing)?;
    let group = on.lattice.fasteners_of(landing);
    let spread = group.iter().map(|f| (f.y - landing.y).abs()).fold(0.0, f64::max) * 2.0;
    if let Some((lines, _)) = mends::block_under(ctx, on, piece, (landing.x, landing.y), spread) {
        let text = format!("put a block under {}", ctx.landing_name(on, landing));
        return Some(Mend { text, change: Change::Append(lines) });
    }
    if matches!(landing.on, On::Place) {
        return None;
    }
    // Far enough from the board's end and from the landing to have a window of its own.
    let course = on.lattice.courses.get(piece.course as usize)?;
    let away = BESIDE.max(ctx.design.limits.end_distance.metres() + ctx.design.lattice.tape.width.metres());
    // Away from the nearer end of the board.
    let leftward = piece.x.1 - landing.x < landing.x - piece.x.0;
    let x = if leftward { landing.x - away } else { landing.x + away };
    let (mut lines, _) = mends::block_under(ctx, on, piece, (x, piece.y), 0.0)?;
    lines.push_str(&change::single_landing(&course.name, x, ctx.design.units));
    let text = format!("put a block beside {} and fasten the batten to it", ctx.landing_name(on, landing));
    Some(Mend { text, change: Change::Append(lines) })
}

/// How far beside a landing a block's own landing stands at least, metres: five inches.
const BESIDE: f64 = 0.127;
