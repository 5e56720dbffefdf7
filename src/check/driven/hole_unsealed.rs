//! Holes that stay in the membrane and are not sealed.

use super::super::context::{Context, OnSlope, Report};
use super::super::finding::{Evidence, Place};
use super::super::mends::advice;
use super::super::off_tape::beside;
use super::super::{Check, Run, Verdict};
use super::{no_log, row};
use crate::lattice::Fastener;
use crate::record::{LeftIn, LeftInKind, Said};
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "hole-unsealed",
    title: "Is every hole that stays in the membrane sealed?",
    page: "\
What
  A fastener that missed and was left in, a further fastener, a drilled hole without a fastener, or a hole that was found,
  which is not sealed, or of which nobody knows whether it is.
Why
  A fastener that missed stays where it is, because pulled out it leaves an open hole. It is sealed only where it went
  through tape.
How computed
  From the row of the drive log. Said to be patched: sealed. Said to be open: fails. Else a fastener is sealed where its
  shank passes tape with the margin all round, as for `off-tape`; with less it warns, with none it fails. A hole without a
  fastener in it is not sealed by tape alone: it warns until the log says patched or open. Without its place the seal is not
  known: that warns and is never taken as sealed.
Limits
  A patch is believed. Places are as good as they were measured.
Source
  `limits.tape_margin`; by default 1/4 in, common practice, no source.
",
    run: Run::When(run),
};

/// What is known of a seal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Seal {
    /// Sealed by the tape or by hand.
    Sealed,
    /// Some tape, but less than the margin.
    Scant,
    /// Open.
    Unsealed,
    /// Nobody knows.
    Unknown,
}

impl Seal {
    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Seal::Sealed => "sealed",
            Seal::Scant => "scantly sealed",
            Seal::Unsealed => "unsealed",
            Seal::Unknown => "seal unknown",
        }
    }
}

/// What is known of the seal of something left in, and the tape beside it (metres) where that was asked.
pub fn seal(ctx: &Context<'_>, on: &OnSlope<'_>, left: &LeftIn) -> (Seal, Option<f64>) {
    match (left.seal, left.at) {
        (Said::Patched, _) => (Seal::Sealed, None),
        (Said::Open, _) => (Seal::Unsealed, None),
        (Said::Nothing, None) => (Seal::Unknown, None),
        (Said::Nothing, Some(_)) if !left.kind.is_fastener() => (Seal::Unknown, None),
        (Said::Nothing, Some((x, y))) => {
            let tape = beside(ctx, on, &Fastener { x, y });
            let seal = if tape >= ctx.design.limits.tape_margin.metres() - SAME {
                Seal::Sealed
            } else if tape >= -SAME {
                Seal::Scant
            } else {
                Seal::Unsealed
            };
            (seal, tape.is_finite().then_some(tape))
        }
    }
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    if ctx.driven.is_none() {
        return no_log();
    }
    report.examined(&[crate::parts::Kind::LeftIn]);
    let limit = &ctx.design.limits.tape_margin;
    for on in &ctx.slopes {
        for left in on.left_in {
            let (seal, tape) = seal(ctx, on, left);
            let (name, what) = (&left.name, left.kind.word());
            let (verdict, message) = match seal {
                Seal::Sealed => continue,
                Seal::Scant => (
                    Verdict::Warn,
                    format!(
                        "{what} {name} has {} of tape beside it, {} is asked",
                        ctx.show(tape.unwrap_or_default().max(0.0)),
                        ctx.show(limit.metres())
                    ),
                ),
                Seal::Unsealed if left.seal == Said::Open => {
                    (Verdict::Fail, format!("{what} {name} is open by the log: patch it"))
                }
                Seal::Unsealed => (Verdict::Fail, format!("{what} {name} is not sealed by the tape: patch it")),
                Seal::Unknown if left.at.is_none() => {
                    (Verdict::Warn, format!("the seal of {what} {name} is unknown: the log does not say where it is"))
                }
                Seal::Unknown => (
                    Verdict::Warn,
                    format!("the seal of {what} {name} is unknown: the log says neither patched nor open"),
                ),
            };
            let help = match seal {
                Seal::Unknown if left.at.is_none() => {
                    "find it, patch it where tape does not seal it, and write its place or patched into the log"
                }
                _ => "patch the membrane round it, and write patched into the log",
            };
            // Of what has no place the slope's lower left corner is shown.
            let (x, y) = left.shown_at.unwrap_or_default();
            let place = Some(Place { slope: on.id, at: [x, y, ctx.lattice.levels.tape] });
            let evidence =
                vec![tape.map_or(Evidence::count("seals known", 0, 1), |t| {
                    Evidence::length("tape beside the shank", t, limit)
                })];
            let mut parts = vec![name.clone()];
            let landing = left.meant_for.and_then(|(l, _)| on.lattice.landings.get(l as usize));
            parts.extend(landing.map(|l| ctx.landing_name(on, l)));
            // What has no solid is no part of the model.
            if left.kind == LeftInKind::Hole && left.at.is_none() {
                parts = vec![format!("{}-MB", on.frame.name)];
            }
            report.add(verdict, message, parts, place, evidence, || vec![advice(help)], row(left.row));
        }
    }
    None
}
