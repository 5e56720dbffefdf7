//! Clips whose screws carry more than they can.

use super::basis::Subject;
use super::clips;
use super::path::{Analysis, Landed, Use};
use super::{Untold, combination, memory, reasons, share, source, superseded, verdict};
use crate::capacity::NotComputed;
use crate::check::context::{Context, OnSlope, Report};
use crate::check::finding::{Evidence, Measure, Place, Source};
use crate::check::{Check, Run, Verdict, mends};
use crate::lattice::Clip;
use crate::quantity::{Force, show_ratio};

/// The check.
pub const CHECK: Check = Check {
    name: "clip-overloaded",
    title: "Do the screws of every clip hold the roofing against wind?",
    page: "\
What
  A clip whose screws get more than they hold in withdrawal, or more than the stated share of it (`strength.warn`).
Why
  The roofing is held by its clips alone, and a batten is thin wood for a screw.
How computed
  A clip holds the roofing half way to the next clips on its course, across joints too, and half way to the next courses; the
  outer ones up to where the roofing ends. That is the force that loads the batten too. It is shared evenly by the clip's screws,
  against withdrawal over the threads that are in the batten: from `panels.screw_length` less the base's thickness,
  `panels.screw_thread` and the batten's thickness. Wind has the coefficient of the effective wind area of one screw: the
  clip's share of the roofing by the number of its screws. The combination that asks most decides.
  Where a seam passes a course without a clip on it (`panels.clip_pitch`), every clip of that slope holds the roofing half way to
  the next clips of its own seam, whichever courses lie between, and half way to the next seams; a clip that stands on no batten
  holds nothing, and its neighbours on the seam hold its roofing. Battens get what pulls outward at their clips only, and a batten
  without clips gets none. What presses on the roof (snow, live load, wind towards it, and weight where the wind does not lift it)
  needs no clip: the panels lie on every course, each takes its share evenly, as without clips. Load down the slope comes through
  the clips where every course holds the panels, else along the fixed line.
Limits
  Where the wind on a part of a clip's roofing is not known, it is not checked. Withdrawal only: neither the screws' shear down the slope, nor the clip, nor the seam. The panel
  itself, which spans from clip to clip, is not checked. It supports a licensed designer and never replaces one.
Source
  The rule set of `strength.rules`, the combinations of the named edition.
",
    run: Run::When(run),
};

/// Every clip that was asked, with what became of it.
pub fn each_clip<'c>(ctx: &'c Context<'_>, a: &'c Analysis) -> Vec<(&'c OnSlope<'c>, &'c Clip, &'c Landed)> {
    let mut all = Vec::new();
    for (on, pieces) in ctx.slopes.iter().zip(&a.slopes) {
        let at = clips::places(on);
        for clip in &on.lattice.clips {
            let Some(p) = clip.piece.map(|p| p as usize) else { continue };
            let k = at.get(p).map_or(0, |list| list.partition_point(|x| *x < clip.x - clips::SAME_PLACE));
            if let Some(landed) = pieces.get(p).and_then(|of| of.clips.get(k)) {
                all.push((on, clip, landed));
            }
        }
    }
    all
}

/// Every clip that was computed, with its use.
pub fn each_computed<'c>(ctx: &'c Context<'_>, a: &'c Analysis) -> Vec<(&'c OnSlope<'c>, &'c Clip, &'c Use)> {
    let used = |(on, clip, landed): (&'c OnSlope<'c>, &'c Clip, &'c Landed)| match landed {
        Landed::Used(used) => Some((on, clip, used)),
        _ => None,
    };
    each_clip(ctx, a).into_iter().filter_map(used).collect()
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    if ctx.design.panels.is_none() {
        return Some("the design states no roofing: write a [panels] table".to_owned());
    }
    let a = match ctx.strength() {
        Ok(a) => a,
        Err(why) => return Some(reasons(why)),
    };
    if let Some(Err(why)) = &a.basis.clip {
        return Some(why.clone());
    }
    let mut untold = Untold::default();
    let all = each_clip(ctx, a);
    // A clip on no batten is none of these.
    report.examined_only(all.iter().filter_map(|(on, clip, _)| on.id_of_clip(clip)));
    let unknown = |l: &Landed| match l {
        Landed::Used(_) | Landed::NotComputed(NotComputed::BelowMinimum { .. }) => false,
        Landed::Nothing | Landed::Adrift | Landed::NotComputed(_) => true,
    };
    report.unanswered(all.iter().filter(|l| unknown(l.2)).filter_map(|(on, clip, _)| on.id_of_clip(clip)));
    for (on, clip, landed) in &all {
        let name = || on.lattice.clip_name(clip);
        let piece = clip.piece.and_then(|p| on.lattice.pieces.get(p as usize));
        let lift = piece.map_or(0.0, |p| p.lift);
        let place = Some(Place { slope: on.id, at: [clip.x, clip.y, ctx.lattice.levels.batten + lift] });
        let parts = || std::iter::once(name()).chain(piece.map(|p| p.name.clone())).collect();
        let helps = || vec![mends::advice("thicker battens with longer threads, more screws, or closer clips")];
        let used = match landed {
            Landed::Used(used) => used,
            Landed::NotComputed(why @ NotComputed::BelowMinimum { what, value, least, .. }) => {
                let (found, limit) = (Measure::Length(*value), Some(Measure::Length(*least)));
                let evidence = vec![Evidence { what, found, limit }];
                let message = format!("the screws of clip {} carry nothing by the rules: {why}", name());
                let source = Source::words(a.basis.rules());
                report.add(Verdict::Fail, message, parts(), place, evidence, helps, source);
                continue;
            }
            Landed::NotComputed(why) => {
                untold.add(why, name);
                continue;
            }
            Landed::Nothing | Landed::Adrift => continue,
        };
        let verdict = verdict(used.ratio, &a.basis);
        if verdict == Verdict::Pass {
            continue;
        }
        let mut message = format!(
            "the screws of clip {} have to carry {} of what they hold: {}, {} out of the slope, {}",
            name(),
            show_ratio(used.ratio),
            used.mode.words(),
            Force::from_newtons(used.out).show(ctx.design.units),
            combination(&a.basis, used.combination)
        );
        message.push_str(&superseded(&a.basis));
        let evidence = vec![
            share(used.ratio),
            Evidence { what: "force out of the slope", found: Measure::Force(used.out), limit: None },
        ];
        report.add(verdict, message, parts(), place, evidence, helps, source(&a.basis, used.combination));
    }
    let computed = each_computed(ctx, a);
    let first = computed.first().map(|(on, clip, _)| {
        (on.lattice.clip_name(clip), Place { slope: on.id, at: [clip.x, clip.y, ctx.lattice.levels.batten] })
    });
    memory::note(a, Subject::Clip, ("clips", computed.len()), first, report);
    untold.told("clips")
}
