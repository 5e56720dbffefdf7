//! A clip: what hangs on it, what its screws hold.
//!
//! Aim: the force on a clip retraced, stretch by stretch and combination by combination. Reason: a short screw in a thin batten
//! often lets go first. Limits: withdrawal and the steel's tension, as the check; one screw stands for all.

use std::fmt::Write;

use super::deciding::line_written;
use super::loads::{self, AreaOf, WindArea};
use super::{Show, inputs, not_checked, result, steps};
use crate::check::context::{Context, OnSlope};
use crate::check::strength::basis::{Basis, Subject};
use crate::check::strength::clips::{self, ClipHold, ClipOn, SAME_PLACE};
use crate::check::strength::lines::Even;
use crate::check::strength::path::{self, Across, Analysis, Case, Landed};
use crate::check::strength::{SUPPORTS, areas, combination};
use crate::lattice::Clip;
use crate::quantity::show_ratio;

/// The calculation of a clip.
pub fn of_clip(ctx: &Context<'_>, a: &Analysis, on: &OnSlope<'_>, clip: &Clip, name: &str) -> String {
    let (basis, show) = (&a.basis, Show { units: ctx.design.units });
    let mut text = String::new();
    let Some(piece) = clip.piece.map(|p| p as usize) else {
        return format!("{name}: a clip over no batten: its screws hold nothing. See clip-off-batten.\n");
    };
    path::cases(ctx, basis, on, |i, case| {
        if i == piece {
            let at = case.clips.iter().flatten().position(|c| (c.x - clip.x).abs() < SAME_PLACE);
            if let Some(k) = at {
                written(&mut text, ctx, on, (basis, &case), (k, name), &show);
            }
        }
    });
    text
}

fn written(
    t: &mut String,
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    (basis, case): (&Basis, &Case<'_>),
    (k, name): (usize, &str),
    show: &Show,
) {
    let Some(clip) = case.clips.as_ref().and_then(|all| all.get(k)) else { return };
    let _ = writeln!(t, "{name}: a clip on {} at x {}", case.piece.name, show.length(clip.x));
    let _ = writeln!(t, "{SUPPORTS}");
    if let Some(why) = &basis.superseded {
        let _ = writeln!(t, "Every value below that rests on it: {why}.");
    }
    let hold = match &basis.clip {
        Some(Ok(hold)) => hold,
        Some(Err(why)) => {
            let _ = writeln!(t, "\nResult\n  the clip was not checked: {why}");
            return;
        }
        None => return,
    };
    let area = areas::of_clips(case, hold.screws).get(k).copied().unwrap_or(0.0);
    let landed = clips::used(case, basis).into_iter().nth(k);
    if let Some(Landed::Used(used)) = &landed {
        let shares = each(basis, case, (clip, area), hold);
        let second = shares.iter().filter(|s| s.0 != used.combination).max_by(|a, b| a.2.total_cmp(&b.2));
        let percent = (1.0 - used.ratio) * 100.0;
        let margin = match percent >= 0.0 {
            true => format!("{percent:.0} % to spare"),
            false => format!("{:.0} % too much", -percent),
        };
        let _ = writeln!(
            t,
            "Governs: {}, {} of what its screws hold ({margin}), by {}.",
            used.mode.words(),
            show_ratio(used.ratio),
            combination(basis, used.combination)
        );
        if let Some((number, _, ratio)) = second {
            let _ = writeln!(t, "Next combination: {}, {}.", combination(basis, *number), show_ratio(*ratio));
        }
    }
    inputs::inputs(t, ctx, basis, show);
    screws(t, ctx, show);
    let rule = case.wind.and_then(|w| w.rule);
    let lines = rule.map_or_else(Vec::new, |r| r.fastener_steps(area * hold.screws, hold.screws));
    loads::load_steps(t, basis, on, case, (name, &WindArea { size: area, of: AreaOf::Screw, steps: lines }), show);
    let hangs = stretches(case, clip);
    let ends = hangs.first().zip(hangs.last()).map_or((clip.x, clip.x), |(first, last)| (first.x.0, last.x.1));
    let _ = writeln!(
        t,
        "\nWhat hangs on {name}: the roofing from x {} to {}{}",
        show.length(ends.0),
        show.length(ends.1),
        if clip.own.is_some() { ", half way to the next clips of its seam" } else { " of its course" }
    );
    match landed {
        Some(Landed::Used(used)) => {
            let _ = writeln!(t, "\nWhat each combination asks of it");
            for (number, out, ratio) in each(basis, case, (clip, area), hold) {
                let (title, out) = (combination(basis, number), show.force(out));
                let _ = writeln!(t, "  {title:<28} out {out:>12}   {}", show_ratio(ratio));
            }
            let Some(c) = basis.combinations.get(used.combination) else { return };
            let _ = writeln!(t, "\nThe combination that decides: {} ({})", c.title(), c.source);
            let _ = writeln!(t, "  shortest load in it: {}", basis.duration_words(c));
            for e in &stretches(case, clip) {
                let line = line_written(case, (e, false), basis, c, Across::Out(area), show);
                let load = path::roofing_load(case, e, basis, c, Across::Out(area));
                let counts =
                    clip.own.is_none() || path::both(load, |load| path::pulling(load, Across::Out(area))) != (0.0, 0.0);
                let _ = writeln!(
                    t,
                    "  x {} to {}, {} of roofing along the slope: {line}{}",
                    show.length(e.x.0),
                    show.length(e.x.1),
                    show.heights(e.height),
                    if counts { "" } else { ", which presses: not here" }
                );
            }
            let _ = writeln!(
                t,
                "  together {} out of the slope; for each of {} screws {}",
                show.force(used.out),
                hold.screws,
                show.force(used.out / hold.screws)
            );
            let _ = writeln!(t, "\nOne screw");
            match hold.by_hand(&basis.wood, used.out, c) {
                Ok(lines) => steps(t, &lines),
                Err(why) => {
                    let _ = writeln!(t, "  {why}");
                }
            }
            let verdict = result::judged(used.ratio, basis, Subject::Clip);
            let (ratio, mode) = (show_ratio(used.ratio), used.mode.words());
            let _ = writeln!(t, "\nResult\n  {ratio} of what the screws hold: {mode}. {verdict}");
        }
        Some(Landed::NotComputed(why)) => {
            let _ = writeln!(t, "\nResult\n  {name} was not computed, or carries nothing by the rules: {why}");
        }
        Some(Landed::Nothing | Landed::Adrift) | None => {
            let _ = writeln!(t, "\nResult\n  no combination pulls at {name}.");
        }
    }
    not_checked(t, basis);
}

/// Number, force out of the slope (newtons) and share of every combination that is computed.
fn each(basis: &Basis, case: &Case<'_>, (clip, area): (&ClipOn, f64), hold: &ClipHold) -> Vec<(usize, f64, f64)> {
    let lacking = case.lacking_at(clip).is_some();
    let all = basis.combinations.iter().enumerate().filter(|(_, c)| !(lacking && c.factors.wind > 0.0));
    let share = |(number, c)| {
        let out = path::clip_force(case, basis, c, 0, Across::Out(area), clip);
        Some((number, out, hold.used(out, c).ok()?.0))
    };
    all.filter_map(share).collect()
}

/// The stretches of roofing of a clip, each cut to what hangs on it, x in metres.
fn stretches(case: &Case<'_>, clip: &ClipOn) -> Vec<Even> {
    match &clip.own {
        Some(own) => own.clone(),
        None => clips::on_course(case.evens.first().map_or(&[][..], Vec::as_slice), clip),
    }
}

/// The screws as the design has them.
fn screws(t: &mut String, ctx: &Context<'_>, show: &Show) {
    let Some(p) = &ctx.design.panels else { return };
    let size = format!("{} x {}", show.length(p.screw_diameter.metres()), show.length(p.screw_length.metres()));
    let _ = writeln!(t, "  clip: {} screws of {size}, {}", p.screws.value, p.screw_diameter.origin.words());
    if let Some(thread) = &p.screw_thread {
        let _ =
            writeln!(t, "  their thread from the point: {}, {}", show.length(thread.metres()), thread.origin.words());
    }
    let base = &p.clip_thickness;
    let _ = writeln!(t, "  the clip's base: {} thick, {}", show.length(base.metres()), base.origin.words());
}
