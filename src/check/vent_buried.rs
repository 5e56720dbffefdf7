//! Vent pieces that insulation will bury.

use super::context::{Context, Report};
use super::finding::{Evidence, Measure, Mend, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::{Change, SlopeId, change};
use crate::quantity::maths::{cos, tan};
use crate::solid::Unbuilt;
use crate::solid::tolerance::DISTINCT;
use crate::structure::to_come;

/// The check.
pub const CHECK: Check = Check {
    name: "vent-buried",
    title: "Will every vent piece stay open once the wall above is insulated?",
    page: "\
What
  A vent piece that lies, wholly or in part, inside insulation which another trade will still put on a wall.
Why
  A buried vent piece lets no air through; the bays below it end in a pocket.
How computed
  How deep the vent piece's solid lies in the insulation's.
Limits
  The insulation is as thick as the edge says, at a right angle to the wall.
Source
  `edge.insulation_to_come` of the design.
",
    run: Run::Always(run),
};

/// The hold-back at which the vent pieces along an edge stay clear of insulation still to come, rounded up to what a saw
/// cuts, metres.
pub(super) fn hold_back_needed(ctx: &Context<'_>, (slope, e): (SlopeId, usize)) -> Option<f64> {
    let on = ctx.slopes.get(slope.0)?;
    let edge = on.frame.outline.edges.get(e)?;
    // The insulation is measured level, the hold-back up the slope.
    let top = ctx.lattice.levels.tape + ctx.design.lattice.vent.height.metres();
    let needed = edge.insulation_to_come.metres() / cos(on.frame.pitch) + top * tan(on.frame.pitch);
    Some(mends::rounded_up(ctx, needed))
}

/// Holds the lattice back from an edge.
pub(super) fn hold_back(ctx: &Context<'_>, (slope, e): (SlopeId, usize), back: f64) -> Mend {
    let frame = ctx.structure.slopes.get(slope.0);
    let edge_name = format!("{}.{}", frame.map_or("", |f| f.name.as_str()), e + 1);
    match frame.and_then(|f| f.outline.edges.get(e)).and_then(|e| e.table) {
        Some(k) => mends::set_length(ctx, &format!("edge[{k}].hold_back"), back, "hold the lattice back from the wall"),
        None => Mend {
            text: format!("hold the lattice back from edge {edge_name} by {}", ctx.show(back)),
            change: Change::Append(change::edge_hold_back(&edge_name, back, ctx.design.units)),
        },
    }
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::VentPiece]);
    for on in &ctx.slopes {
        let outline = &on.frame.outline;
        for e in 0..outline.edges.len() {
            let insulation = match to_come::insulation(outline, e) {
                Ok(Some(insulation)) => insulation,
                Ok(None) => continue,
                Err(Unbuilt) => {
                    let name = to_come::insulation_name(&on.frame.name, e);
                    let message = format!("{}: not known whether vent pieces lie in it", mends::unbuilt(&name));
                    let source = Source::words("insulation still to come, as the design says");
                    let help = mends::look_at_its_table(&name);
                    report.add(Verdict::Fail, message, vec![name], None, Vec::new(), || vec![help], source);
                    continue;
                }
            };
            let buried: Vec<(&crate::lattice::VentPiece, f64)> = on
                .lattice
                .vents
                .iter()
                .filter_map(|v| Some((v, v.body(&ctx.lattice.levels).depth(&insulation, DISTINCT)?)))
                .collect();
            let Some((first, depth)) = buried.first() else { continue };
            let n = buried.len();
            let edge_name = format!("{}.{}", on.frame.name, e + 1);
            let back = hold_back_needed(ctx, (on.id, e)).unwrap_or_default();
            let kept = outline.edges.get(e).map_or(0.0, |e| e.hold_back.metres());
            let message = format!(
                "{} along edge {edge_name} will lie in the insulation still to come: the lattice keeps {} from the wall, {} is needed",
                if n == 1 { format!("vent piece {}", first.name) } else { format!("{n} vent pieces") },
                ctx.show(kept),
                ctx.show(back)
            );
            let help = hold_back(ctx, (on.id, e), back);
            let at = [(first.x.0 + first.x.1) / 2.0, (first.y.0 + first.y.1) / 2.0, first.height];
            let place = Some(Place { slope: on.id, at });
            let limit = Some(Measure::Length(back));
            let evidence = vec![
                Evidence { what: "hold-back from the wall", found: Measure::Length(kept), limit },
                Evidence::none("depth inside the insulation, by the shortest way out", *depth),
            ];
            let parts = buried.iter().map(|(v, _)| v.name.clone()).collect();
            let source = Source::words("insulation still to come, as the design says");
            report.add(Verdict::Fail, message, parts, place, evidence, || vec![help.into()], source);
        }
    }
}
