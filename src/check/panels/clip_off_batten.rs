//! Clips that find no batten.

use super::super::context::{Context, Report};
use super::super::finding::{Evidence, Source};
use super::super::mends::advice;
use super::super::{Check, Run, Verdict};
use super::{no_panels, place};
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "clip-off-batten",
    title: "Does every clip of the roofing stand on a batten?",
    page: "\
What
  A clip whose middle has no batten under it (beside an opening, at a rake, at the top, between two courses), or whose base
  reaches past the batten's edge or end.
Why
  A clip holds the roofing only through the batten under it.
How computed
  Clips stand at each seam, on every course or at `panels.clip_pitch`, from edge to edge of the slope, openings left out. The
  base's rectangle is compared with the board under its middle.
Limits
  Clips stand centred on the seam. A board cut aslant is taken by its middle.
Source
  The definition is the program's own.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let Some(panels) = &ctx.design.panels else { return no_panels() };
    report.examined(&[crate::parts::Kind::Clip]);
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let (across, up) = (panels.clip_width.metres() / 2.0, panels.clip_length.metres() / 2.0);
    for on in &ctx.slopes {
        for clip in &on.lattice.clips {
            let name = on.lattice.clip_name(clip);
            let source = || Source::of(&panels.width);
            let Some(piece) = clip.piece.and_then(|p| on.lattice.pieces.get(p as usize)) else {
                let message = format!("clip {name} at {} up its seam has no batten under it", ctx.show_marked(clip.y));
                let evidence = vec![Evidence::count("battens under it", 0, 1)];
                let help = || vec![advice("move the clip to a batten, or lay a batten under it")];
                report.add(Verdict::Fail, message, vec![name], place(ctx, on, clip), evidence, help, source());
                continue;
            };
            let past_edge = (clip.y - piece.y).abs() + up - half;
            let past_end = (piece.x.0 - (clip.x - across)).max(clip.x + across - piece.x.1);
            let past = past_edge.max(past_end);
            if past <= SAME {
                continue;
            }
            let over = if past_end > past_edge { "end" } else { "edge" };
            let message =
                format!("clip {name} reaches {} past the {over} of its batten {}", ctx.show(past), piece.name);
            let evidence = vec![Evidence::none("past the batten", past)];
            let help = || vec![advice("move the clip along its seam to the batten's middle")];
            let parts = vec![name, piece.name.clone()];
            report.add(Verdict::Fail, message, parts, place(ctx, on, clip), evidence, help, source());
        }
    }
    None
}
