//! Clips that stand on fastener heads.

use super::super::context::{Context, Report};
use super::super::finding::{Evidence, Source};
use super::super::mends::advice;
use super::super::{Check, Run, Verdict};
use super::{no_panels, place};
use crate::quantity::maths::hypot;
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "clip-on-head",
    title: "Does every clip of the roofing clear the heads of fasteners?",
    page: "\
What
  A clip whose base lies over the head of a batten's fastener, or of one that was left in.
Why
  The base does not lie flat, and its screw may meet steel.
How computed
  The distance from the head's middle to the base's rectangle, less the head's radius. With a drive log heads are where they
  were driven.
Limits
  A head that is sunk into the batten is in the way all the same.
Source
  The definition is the program's own.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let Some(panels) = &ctx.design.panels else { return no_panels() };
    report.examined(&[crate::parts::Kind::Clip]);
    let head = ctx.design.fastening.head.metres() / 2.0;
    let (across, up) = (panels.clip_width.metres() / 2.0, panels.clip_length.metres() / 2.0);
    for on in &ctx.slopes {
        for clip in &on.lattice.clips {
            let away = |x: f64, y: f64| {
                let (dx, dy) = ((x - clip.x).abs() - across, (y - clip.y).abs() - up);
                hypot(dx.max(0.0), dy.max(0.0)) - head
            };
            let landings = clip.piece.map_or(&[][..], |p| on.landings_of(p as usize));
            let driven = landings.iter().flat_map(|l| {
                let name = ctx.landing_name(on, l);
                on.lattice.fasteners_of(l).iter().map(move |f| (f.x, f.y, name.clone()))
            });
            let left = on.left_in.iter().filter(|l| l.kind.is_fastener());
            let left = left.filter_map(|l| l.shown_at.map(|(x, y)| (x, y, l.name.clone())));
            let nearest = driven.chain(left).map(|(x, y, name)| (away(x, y), name)).min_by(|a, b| a.0.total_cmp(&b.0));
            let Some((gap, of)) = nearest.filter(|(gap, _)| *gap < -SAME) else { continue };
            let name = on.lattice.clip_name(clip);
            let message = format!("clip {name} stands on a head of {of}, by {}", ctx.show(-gap));
            let evidence = vec![Evidence::none("overlap of base and head", -gap)];
            let source = Source::of(&panels.width);
            let help =
                || vec![advice("begin the panels at another seam, or move the clip along its seam off the head")];
            report.add(Verdict::Fail, message, vec![name, of], place(ctx, on, clip), evidence, help, source);
        }
    }
    None
}
