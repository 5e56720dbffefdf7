//! The lists: cut list, buying list, order of work.
//!
//! Aim: what the builder takes to the yard and up the ladder, in the model's own names. Reason: a list that is typed off a
//! drawing is wrong by the second change. Limits: plain tables; what is laid already is neither cut nor bought again.
//! The roofing itself is not planned: of its panels only the clips and their screws are bought, where the design has them.

mod buying;
mod cut;
mod order;

use super::{Cell, ReportHeader, Table};
use crate::check::Context;
use crate::lattice::{BoardCost, Boards, JointReport, boards};
use crate::quantity::{Length, show_total_length};

/// The three lists of a checked plan.
pub fn lists(ctx: &Context<'_>, header: &ReportHeader) -> Vec<Table> {
    let boards = boards(ctx.design, ctx.structure, ctx.lattice);
    vec![cut::table(ctx, &boards), buying::table(ctx, &boards), order::table(ctx, header, &boards)]
}

fn text(t: impl Into<String>) -> Cell {
    Cell::Text(t.into())
}

fn count(n: usize) -> Cell {
    Cell::Count(n as u64)
}

/// What boards cost, as people say it; their number too where it comes first.
fn cost(ctx: &Context<'_>, cost: BoardCost, priced: bool) -> String {
    let BoardCost { boards, cost } = cost;
    let own = if priced {
        let currency = ctx.design.buying.currency.trim();
        let amount = format!("{}.{:02}", cost / 100, cost % 100);
        if currency.is_empty() { amount } else { format!("{amount} {currency}") }
    } else {
        show_total_length(Length::from_metres(cost as f64 * 1e-9), ctx.design.units)
    };
    if boards == 0 { own } else { format!("{boards} boards, {own}") }
}

/// How good the boards are, and what proves it.
fn proof(ctx: &Context<'_>, boards: &Boards) -> Vec<String> {
    let n = boards.boards.len();
    if n == 0 {
        return vec!["Every piece is laid or too long for any stock: there is no board to cut.".to_owned()];
    }
    let own = |c: BoardCost| cost(ctx, BoardCost { boards: 0, ..c }, boards.priced);
    let (all, bound, plain) = (boards.cost, boards.bound, cost(ctx, boards.plain_cost, boards.priced));
    let gap = (all.cost.saturating_sub(bound.cost)) as f64 / bound.cost.max(1) as f64 * 100.0;
    let proved = if all <= bound {
        "the least possible (proved)".to_owned()
    } else if all.boards > bound.boards {
        format!("no way to cut these pieces takes fewer than {} boards (proved)", bound.boards)
    } else {
        let few = if all.boards > 0 {
            "fewer boards cannot do it (proved), and as many take"
        } else {
            "no way to cut these pieces takes"
        };
        let less = if all.boards > 0 { "no less than" } else { "less than" };
        format!("{few} {less} {} (proved), so at most {gap:.1} % could be saved", own(bound))
    };
    let mut notes =
        vec![format!("{n} boards, {} in all: {proved}. Cut longest piece first they would be {plain}.", own(all))];
    if let Some(report) = &ctx.lattice.joints {
        notes.push(chosen(ctx, boards, report));
    }
    notes
}

fn chosen(ctx: &Context<'_>, boards: &Boards, report: &JointReport) -> String {
    let show = |v| cost(ctx, v, boards.priced);
    let rest = if report.not_staggered + report.not_by_rules == 0 {
        String::new()
    } else {
        format!(
            " {} courses have a joint on a line that has one in a neighbouring course; {} stretches have no division that keeps the least piece and the lines.",
            report.not_staggered, report.not_by_rules
        )
    };
    let (cost, bound) = (report.cost, report.bound);
    let what = if boards.priced { "price" } else { "length" };
    // Fewest is one claim, least of as many another: each is made only where its own bound is met.
    let proof = if cost <= bound {
        format!("no other joints that keep the rules take fewer boards, or as many at less {what} (proved)")
    } else if cost.boards <= bound.boards {
        format!(
            "no other joints that keep the rules take fewer boards (proved); their {what} may not be the least, but it cannot be under {} (proved)",
            show(BoardCost { boards: 0, ..bound })
        )
    } else {
        format!("no joints that keep the rules take fewer than {} boards (proved)", bound.boards)
    };
    format!(
        "Joints were chosen for few boards on the drawing: {} there; {proof}. Joints as far along as boards reach would take {}.{rest}",
        show(cost),
        show(report.far_cost)
    )
}
