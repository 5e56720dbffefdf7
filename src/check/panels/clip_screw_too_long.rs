//! Screws of clips that reach tape or membrane.

use super::super::context::{Context, OnSlope, Report, room_in};
use super::super::finding::{Evidence, Help, Measure, Source};
use super::super::{Check, Run, Verdict, mends};
use super::{no_panels, place};
use crate::lattice::Clip;
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "clip-screw-too-long",
    title: "Do the screws of the roofing's clips end above tape and membrane?",
    page: "\
What
  A clip's screw whose tip would reach tape or membrane; and one that ends in a strip or a vent piece instead of in the batten
  or in the air gap.
Why
  A tip that reaches the membrane is a new leak, driven by the last trade, under the finished roof.
How computed
  The tip's level follows from the batten's upper face, the base's thickness and the screw's length. Over tape (the screw's
  radius included) it must stay above the tape's upper face, elsewhere above the membrane. Touching is reaching: it fails. A
  tip inside a strip or a vent piece warns.
Limits
  Battens are as thick as stated. A screw driven aslant, or a panel pressed into the batten, is not seen.
Source
  The definition is the program's own.
",
    run: Run::When(run),
};

/// What a tip ends in, if not in the batten or the gap.
enum Reached {
    Tape,
    Membrane,
    Strip,
    VentPiece,
}

/// The lowest tip of a clip's screws above what it must not reach (metres), and what that is.
fn reached(ctx: &Context<'_>, on: &OnSlope<'_>, clip: &Clip, tip: f64, radius: f64) -> (f64, Option<Reached>) {
    let levels = &ctx.lattice.levels;
    let over_tape = clip.screws.iter().any(|s| room_in(&on.tapes, *s, radius) > -radius + SAME);
    let ground = if over_tape { levels.tape } else { 0.0 };
    let above = tip - ground;
    if above <= SAME {
        return (above, Some(if over_tape { Reached::Tape } else { Reached::Membrane }));
    }
    let inside = |index: &crate::solid::BodyIndex<u32>| {
        clip.screws.iter().any(|(x, y)| {
            let mut hit = false;
            index.near((x - radius, x + radius), (y - radius, y + radius), |e| {
                let over =
                    e.low.x < x + radius && e.high.x > x - radius && e.low.y < y + radius && e.high.y > y - radius;
                hit |= over && e.high.z > tip + SAME;
            });
            hit
        })
    };
    let in_vent = || {
        clip.screws.iter().any(|(x, y)| {
            on.lattice.vents.iter().any(|v| {
                let over = v.x.0 < x + radius && v.x.1 > x - radius && v.y.0 < y + radius && v.y.1 > y - radius;
                over && levels.tape + v.height > tip + SAME
            })
        })
    };
    if inside(&on.strips) {
        (above, Some(Reached::Strip))
    } else if in_vent() {
        (above, Some(Reached::VentPiece))
    } else {
        (above, None)
    }
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let Some(panels) = &ctx.design.panels else { return no_panels() };
    report.examined(&[crate::parts::Kind::Clip]);
    let radius = panels.screw_diameter.metres() / 2.0;
    for on in &ctx.slopes {
        for clip in &on.lattice.clips {
            // One that stands on no batten is told by `clip-off-batten`.
            let Some(piece) = clip.piece.and_then(|p| on.lattice.pieces.get(p as usize)) else { continue };
            let head = ctx.lattice.levels.batten + piece.lift + panels.clip_thickness.metres();
            let tip = head - panels.screw_length.metres();
            let (above, Some(what)) = reached(ctx, on, clip, tip, radius) else { continue };
            let name = on.lattice.clip_name(clip);
            let (verdict, message) = match what {
                Reached::Tape => (
                    Verdict::Fail,
                    format!("a screw of clip {name} would reach {} into the tape", ctx.show((-above).max(0.0))),
                ),
                Reached::Membrane => (
                    Verdict::Fail,
                    format!("a screw of clip {name} would reach {} into the membrane", ctx.show((-above).max(0.0))),
                ),
                Reached::Strip => (Verdict::Warn, format!("a screw of clip {name} ends in a strip")),
                Reached::VentPiece => (Verdict::Warn, format!("a screw of clip {name} ends in a vent piece")),
            };
            let evidence = vec![Evidence {
                what: "tip above tape or membrane",
                found: Measure::Length(above),
                limit: Some(Measure::Length(0.0)),
            }];
            let parts = vec![name, piece.name.clone()];
            let shorter = || shorter(ctx, head);
            let source = Source::of(&panels.screw_length);
            report.add(verdict, message, parts, place(ctx, on, clip), evidence, shorter, source);
        }
    }
    None
}

/// The longest screw, as shops sell them, that ends in the batten or just below it wherever it is driven.
fn shorter(ctx: &Context<'_>, head: f64) -> Vec<Help> {
    let longest = mends::rounded_down(ctx, head - ctx.lattice.levels.strip);
    if longest <= 0.0 {
        return vec![mends::advice("thicker battens, or clips that need no screw so long")];
    }
    vec![mends::set_length(ctx, "panels.screw_length", longest, "use shorter screws").into()]
}
