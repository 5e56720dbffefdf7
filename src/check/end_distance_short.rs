//! Fasteners near the end of a board.

use std::collections::BTreeMap;

use super::context::{Context, Report};
use super::finding::{Evidence, Measure, Mend, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::{JointKind, Origin};
use crate::lattice::{End, Side};
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "end-distance-short",
    title: "Are fasteners far enough from the ends of boards?",
    page: "\
What
  Fasteners nearer to a board's end than the end distance. Said once for each kind of end, with the number of places and
  the worst of them: over a single member there is often no place for a nail that would do.
Why
  Near its end a board splits.
How computed
  Along x, from each fastener's axis to the nearer end of its piece.
Limits
  A batten's end beside an opening or at a rake counts like one at a joint.
Source
  `limits.end_distance`; by default 10 diameters, or 5 when pre-drilled: NDS commentary (from memory).
",
    run: Run::Always(run),
};

/// Kinds of ends that are said once each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    OneMember,
    Doubled,
    Lap,
    OuterEnd,
}

impl Kind {
    /// What helps where no place for a nail would do.
    fn what_helps(self) -> &'static str {
        match self {
            Kind::OneMember => "; what helps: holes drilled first, a doubled member under the joint, or a lap",
            Kind::Doubled => "; what helps: holes drilled first, or a lap",
            Kind::Lap | Kind::OuterEnd => "",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Kind::OneMember => "butt joints over one member",
            Kind::Doubled => "butt joints over a doubled member",
            Kind::Lap => "laps",
            Kind::OuterEnd => "ends at edges and openings",
        }
    }
}

struct Worst {
    places: usize,
    least: f64,
    name: String,
    at: Place,
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let limit = &ctx.design.limits.end_distance;
    let mut kinds: BTreeMap<Kind, Worst> = BTreeMap::new();
    for on in &ctx.slopes {
        for (piece, landings) in on.by_piece() {
            for landing in landings {
                let distance = on
                    .lattice
                    .fasteners_of(landing)
                    .iter()
                    .map(|f| (f.x - piece.x.0).min(piece.x.1 - f.x))
                    .fold(f64::INFINITY, f64::min);
                if distance >= limit.metres() - SAME {
                    continue;
                }
                let end = if landing.x - piece.x.0 < piece.x.1 - landing.x { piece.ends.0 } else { piece.ends.1 };
                let kind = match (landing.side, end) {
                    (Side::Whole, _) | (_, End::Edge { .. } | End::Opening | End::Free | End::JointOverNothing) => {
                        Kind::OuterEnd
                    }
                    _ if ctx.design.lattice.batten.joint.value == JointKind::Lap => Kind::Lap,
                    _ => {
                        let doubled = on.line(landing).is_some_and(|l| {
                            l.members(crate::structure::State::Found).iter().filter(|m| m.covers(piece.y)).count() > 1
                        });
                        if doubled { Kind::Doubled } else { Kind::OneMember }
                    }
                };
                let worst = kinds.entry(kind).or_insert_with(|| Worst {
                    places: 0,
                    least: f64::INFINITY,
                    name: String::new(),
                    at: ctx.landing_place(on, landing),
                });
                worst.places += 1;
                if distance < worst.least {
                    worst.least = distance;
                    worst.name = ctx.landing_name(on, landing);
                    worst.at = ctx.landing_place(on, landing);
                }
            }
        }
    }
    for (kind, worst) in kinds {
        let message = format!(
            "{}: {} landing{} nearer to a board's end than {}; the worst, {}, is {} from it{}",
            kind.words(),
            worst.places,
            if worst.places == 1 { "" } else { "s" },
            ctx.show(limit.metres()),
            worst.name,
            ctx.show(worst.least),
            kind.what_helps()
        );
        let evidence = vec![
            Evidence::length("from the axis to the board's end", worst.least, limit),
            Evidence { what: "landings", found: Measure::Count(worst.places), limit: None },
        ];
        let helps = mend(ctx, kind, worst.least);
        report.add(Verdict::Warn, message, vec![worst.name], Some(worst.at), evidence, || helps, Source::of(limit));
    }
}

/// What helps a whole kind of joints, where it does.
fn mend(ctx: &Context<'_>, kind: Kind, least: f64) -> Vec<Mend> {
    let batten = &ctx.design.lattice.batten;
    let limit = ctx.design.limits.end_distance.metres();
    let mut helps = Vec::new();
    // Pre-drilled, the default distance is halved; a distance that the design states stays.
    let by_default = matches!(ctx.design.limits.end_distance.origin, Origin::Default(_));
    let predrilled = 5.0 * ctx.design.fastening.diameter.metres();
    if by_default && !ctx.design.fastening.predrilled.value && least >= predrilled - SAME {
        helps.push(mends::set_word("fastening.predrilled", "true", "drill the holes before driving"));
    }
    if matches!(kind, Kind::OneMember | Kind::Doubled) && batten.lap.metres() / 2.0 >= limit {
        helps.push(mends::set_word(
            "lattice.batten.joint",
            "\"lap\"",
            "lap the boards side by side over the line (they then lie in two rows: check again)",
        ));
    }
    if kind == Kind::Lap {
        helps.push(mends::set_length(
            ctx,
            "lattice.batten.lap",
            mends::rounded_up(ctx, 2.0 * limit),
            "lap them further",
        ));
    }
    helps
}
