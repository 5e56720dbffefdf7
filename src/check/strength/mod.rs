//! Will it hold: loads, the way they take, and whether each landing, piece and strip carries its share.
//!
//! Aim: the utilisation of every landing and every piece, with everything that an engineer needs to compute one of them by
//! hand. Reason: a batten that is backed everywhere may still be pulled off by wind. Limits: it supports a licensed
//! designer and never replaces one; what is not computed is listed by the check `strength`.
//!
//! `basis` says what is computed from what, `check::tributary` and `zones` what hangs where, `zone_wind` and `areas` what the wind does
//! there, `lines` brings all together, `supports` and `hold` ask the solids, `path` solves; the other files are checks.

pub mod areas;
pub mod basis;
pub mod clips;
pub mod explain;
mod hold;
pub mod lines;
pub mod memory;
pub mod path;
pub mod rules;
mod site;
mod supports;
mod untold;
pub mod zone_wind;
pub mod zones;

pub mod batten_adrift;
pub mod batten_overloaded;
pub mod clip_overloaded;
pub mod foothold;
pub mod landing_overloaded;
pub mod left_out;
pub mod strip_crushed;

use crate::capacity::NotComputed;
use crate::check::context::{Context, OnSlope};
use crate::check::{Evidence, Measure, Source, Verdict};
use crate::lattice::Landing;
use basis::{Basis, Combination};
use path::{Analysis, Landed, OfPiece};
use untold::Untold;

/// Said with every result.
pub const SUPPORTS: &str = "This computation supports a licensed designer and never replaces one.";

/// Computes strength, or says why not: each reason a sentence without an end.
///
/// # Errors
/// The reasons.
pub fn analyse(ctx: &Context<'_>) -> Result<Analysis, Vec<String>> {
    Basis::of(ctx.design, &ctx.structure.slopes).map(|basis| path::analyse(ctx, basis))
}

/// The reasons in one sentence, for a check that did not run.
fn reasons(all: &[String]) -> String {
    all.join("; ")
}

/// Strength in the scope line.
pub fn scope(ctx: &Context<'_>) -> String {
    let Ok(a) = ctx.strength() else { return "not checked".to_owned() };
    let all = ctx.lattice.landing_count();
    let carry = carrying(ctx, a);
    let mut text = format!("{carry} of {all} landings carry");
    let untold = each_landing(ctx, a).filter(|l| is_untold(l.3)).count();
    if untold > 0 {
        text.push_str(&format!(", {untold} are not checked"));
    }
    let unconfirmed = a.basis.unconfirmed_of(basis::Subject::Landing).len();
    if unconfirmed > 0 {
        text.push_str(&format!(", unconfirmed: {unconfirmed} sources are from memory"));
    }
    let left: Vec<&str> = basis::Basis::PARTS_LEFT_OUT
        .into_iter()
        .filter(|w| a.basis.left_out.iter().any(|l| l.strip_prefix(w).is_some_and(|rest| rest.starts_with(':'))))
        .collect();
    if !left.is_empty() {
        text.push_str(&format!(" ({} not checked)", left.join(", ")));
    }
    if let Some(why) = &a.basis.superseded {
        text.push_str(&format!(" ({why})"));
    }
    text
}

/// Whether nothing is known of a landing: one that carries nothing by the rules is known.
fn is_untold(landed: &Landed) -> bool {
    matches!(landed, Landed::NotComputed(why) if !matches!(why, NotComputed::BelowMinimum { .. }))
}

/// How many landings carry their share.
pub fn carrying(ctx: &Context<'_>, a: &Analysis) -> usize {
    each_landing(ctx, a).filter(|l| matches!(l.3, Landed::Used(u) if u.ratio <= 1.0)).count()
}

/// What became of the landings of a slope, in the order of the lattice.
pub fn in_order<'a>(on: &OnSlope<'_>, a: &'a Analysis, slope: usize) -> Vec<Option<&'a Landed>> {
    let mut all = vec![None; on.lattice.landings.len()];
    let mut first = 0;
    for ((_, landings), of) in on.by_piece().zip(a.slopes.get(slope).into_iter().flatten()) {
        for (k, landed) in from_left(on, landings).into_iter().zip(&of.landings) {
            if let Some(place) = all.get_mut(first + k) {
                *place = Some(landed);
            }
        }
        first += landings.len();
    }
    all
}

/// The numbers of a piece's landings from left to right, which is how outcomes stand.
fn from_left(on: &OnSlope<'_>, landings: &[Landing]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..landings.len()).collect();
    let middle = |k: &usize| landings.get(*k).map_or(0.0, |l| on.middle(l));
    order.sort_by(|a, b| middle(a).total_cmp(&middle(b)));
    order
}

/// Every landing with what became of it: slope, its number there, its piece, the outcome.
pub fn each_landing<'c>(
    ctx: &'c Context<'_>,
    a: &'c Analysis,
) -> impl Iterator<Item = (&'c OnSlope<'c>, &'c Landing, &'c OfPiece, &'c Landed)> {
    ctx.slopes.iter().zip(&a.slopes).flat_map(|(on, pieces)| {
        on.by_piece().zip(pieces).flat_map(move |((_, landings), of)| {
            let order = from_left(on, landings).into_iter().filter_map(|k| landings.get(k));
            order.zip(&of.landings).map(move |(l, landed)| (on, l, &**of, landed))
        })
    })
}

/// The verdict of a share.
fn verdict(ratio: f64, basis: &Basis) -> Verdict {
    let warn = basis.spec.warn.as_ref().map_or(1.0, |w| w.value);
    // A share that is not a number is no pass.
    if ratio <= warn {
        Verdict::Pass
    } else if ratio <= 1.0 {
        Verdict::Warn
    } else {
        Verdict::Fail
    }
}

/// The source of a verdict: the rule set, the combination, and what is superseded.
fn source(basis: &Basis, combination: usize) -> Source {
    let c = basis.combinations.get(combination);
    Source::words(&format!("{}; {}{}", basis.rules(), c.map_or("", |c| c.source.text), superseded(basis)))
}

/// What is superseded, to be put behind a verdict; empty where nothing is.
fn superseded(basis: &Basis) -> String {
    basis.superseded.as_ref().map_or(String::new(), |why| format!("; {why}"))
}

/// The share of what something holds, against all of it.
fn share(ratio: f64) -> Evidence {
    Evidence { what: "share of the capacity", found: Measure::Share(ratio), limit: Some(Measure::Share(1.0)) }
}

/// The name of a combination, with the way of its wind.
pub fn combination(basis: &Basis, number: usize) -> String {
    basis.combinations.get(number).map_or(String::new(), Combination::title)
}
