//! Fasteners of one landing close together.

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Help, Measure, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::capacity::spacing::{Apart, Asked};
use crate::design::{Design, FastenerKind, MemberKind, RuleSet};
use crate::lattice::Landing;
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "fastener-spacing-short",
    title: "Are the fasteners of a landing far enough apart and from the batten's sides?",
    page: "\
What
  Two fasteners of one landing nearer to each other than the least spacing, in the batten or in a member that both are in. Said
  once for battens and once for members, with the number of landings and the worst of them. Likewise fasteners nearer to a
  side of their batten than `limits.batten_edge`.
Why
  Two nails close together split the wood between them, and split wood holds neither. The load runs down the slope, to the
  batten's side.
How computed
  Between the axes of every two fasteners of a landing, up the slope (the way of the load) and across it. They are far enough
  apart where one of both distances is. The grain of battens runs across the slope, that of rafters up it, that of members along
  the eave across it; hips and valleys count as rafters, which asks for more. To the batten's sides from the axis, up and down
  the slope.
Limits
  Landings beside each other are not compared. Splits that are there already are not known.
Source
  With strength.rules = \"EC5\" EN 1995-1-1 Table 8.2, of screws Table 8.6 as well (from memory). Else below 1/4 in the NDS
  commentary (from memory), which advises: a warning; from 1/4 in on NDS-2018 Tables 12.5.1B and 12.5.1D. To sides
  `limits.batten_edge`; by default `limits.edge_distance`, of lag screws 4 diameters: NDS-2018 Table 12.5.1C, EN 1995-1-1
  Table 8.4 (from memory), a rule.
",
    run: Run::Always(run),
};

/// What is asked of two fasteners of a design.
pub(super) fn asked(design: &Design) -> Asked {
    let f = &design.fastening;
    let rules = design.loads.strength.as_ref().and_then(|s| s.rules.as_ref());
    Asked {
        eurocode: rules.is_some_and(|r| r.value == RuleSet::Ec5),
        diameter: f.diameter.metres(),
        thickness: design.lattice.batten.thickness.metres(),
        predrilled: f.predrilled.value,
        screws: f.kind.value.is_screw(),
    }
}

/// The worst of some landings.
struct Worst {
    landings: usize,
    name: String,
    place: Place,
    /// Up the slope and across it, metres.
    apart: (f64, f64),
    /// The larger part of what is asked that is there.
    share: f64,
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Fasteners]);
    near_sides(ctx, report);
    // Battens, members whose grain runs up the slope, members whose grain runs across it.
    let wanted = asked(ctx.design);
    let asked = [wanted.apart(false), wanted.apart(true), wanted.apart(false)];
    let verdict = if wanted.is_rule() { Verdict::Fail } else { Verdict::Warn };
    let words = ["battens", "members", "members along the eave"];
    let mut worst: [Option<Worst>; 3] = [None, None, None];
    for on in &ctx.slopes {
        for landing in &on.lattice.landings {
            for ((asked, worst), apart) in asked.iter().zip(&mut worst).zip(closest(ctx, on, landing, &asked)) {
                let Some((up, across)) = apart else { continue };
                let share = asked.share(up, across);
                if share >= 1.0 {
                    continue;
                }
                report.also(verdict, ctx.landing_name(on, landing));
                let landings = worst.as_ref().map_or(0, |w| w.landings) + 1;
                match worst {
                    // The first of equals, whatever rounding says.
                    Some(before) if before.share <= share + 1e-9 => before.landings = landings,
                    _ => {
                        let (name, place) = (ctx.landing_name(on, landing), ctx.landing_place(on, landing));
                        *worst = Some(Worst { landings, name, place, apart: (up, across), share });
                    }
                }
            }
        }
    }
    for ((asked, word), worst) in asked.into_iter().zip(words).zip(worst) {
        let Some(worst) = worst else { continue };
        let (up, across) = worst.apart;
        let message = format!(
            "{} in {word} with fasteners too close together; the worst, {}, has two {} apart up the slope and {} across it, {} \
             up the slope or {} across it is asked",
            count(worst.landings),
            worst.name,
            ctx.show(up),
            ctx.show(across),
            ctx.show(asked.up.value),
            ctx.show(asked.across.value)
        );
        let length = |what, found: f64, limit: f64| Evidence {
            what,
            found: Measure::Length(found),
            limit: Some(Measure::Length(limit)),
        };
        let evidence = vec![
            length("apart up the slope", up, asked.up.value),
            length("apart across the slope", across, asked.across.value),
            Evidence { what: "landings", found: Measure::Count(worst.landings), limit: None },
        ];
        let source = Source::words(&asked.up.source.to_string());
        let helps = || helps(ctx, (up, across));
        report.add(verdict, message, vec![worst.name.clone()], Some(worst.place), evidence, helps, source);
    }
}

/// Fasteners near a side of their batten.
fn near_sides(ctx: &Context<'_>, report: &mut Report<'_>) {
    let (limit, half) = (&ctx.design.limits.batten_edge, ctx.design.lattice.batten.width.metres() / 2.0);
    let lag = ctx.design.fastening.kind.value == FastenerKind::LagScrew;
    // A rule of a standard, or of thumb.
    let (hair, verdict) = if lag { (0.0, Verdict::Fail) } else { (ctx.leeway(limit).0, Verdict::Warn) };
    let mut worst: Option<(f64, String, Place)> = None;
    let mut landings = 0;
    for on in &ctx.slopes {
        for landing in &on.lattice.landings {
            let Some(piece) = on.piece(landing) else { continue };
            let to_side = |f: &crate::lattice::Fastener| half - (f.y - piece.y).abs();
            let least = on.lattice.fasteners_of(landing).iter().map(to_side).fold(f64::INFINITY, f64::min);
            if least >= limit.metres() - hair - SAME {
                continue;
            }
            landings += 1;
            let name = ctx.landing_name(on, landing);
            report.also(verdict, name.clone());
            if worst.as_ref().is_none_or(|w| least < w.0 - 1e-9) {
                worst = Some((least, name, ctx.landing_place(on, landing)));
            }
        }
    }
    let Some((least, name, place)) = worst else { return };
    let message = format!(
        "{} with fasteners too near to a side of their batten; the worst, {name}, has one {} from it, {} is asked",
        count(landings),
        ctx.show(least),
        ctx.show(limit.metres())
    );
    let evidence = vec![
        Evidence::length("from the axis to the batten's side", least, limit),
        Evidence { what: "landings", found: Measure::Count(landings), limit: None },
    ];
    let helps = || vec![mends::advice("wider battens, or thinner fasteners")];
    report.add(verdict, message, vec![name], Some(place), evidence, helps, Source::of(limit));
}

fn count(landings: usize) -> String {
    if landings == 1 { "1 landing".to_owned() } else { format!("{landings} landings") }
}

/// Of the pairs of a landing the one with the least share of what is asked, up the slope and across it: in its batten, in a member
/// whose grain runs up the slope, in one whose grain runs across it.
fn closest(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing, asked: &[Apart; 3]) -> [Option<(f64, f64)>; 3] {
    let mut closest = [None; 3];
    let (fasteners, backing) = (on.lattice.fasteners_of(landing), on.backing_of(landing));
    for (k, a) in fasteners.iter().enumerate() {
        for (l, b) in fasteners.iter().enumerate().skip(k + 1) {
            let apart = ((a.y - b.y).abs(), (a.x - b.x).abs());
            let member = |k: usize| backing.get(k).and_then(|b| b.member);
            let of = member(k).filter(|m| member(l) == Some(*m)).and_then(|m| ctx.structure.member(m));
            let grain_up =
                of.map(|m| m.kind.makes_lines() || matches!(m.kind, MemberKind::HipRafter | MemberKind::ValleyRafter));
            let counts = [true, grain_up == Some(true), grain_up == Some(false)];
            for ((place, asked), counts) in closest.iter_mut().zip(asked).zip(counts) {
                let share = |(up, across): (f64, f64)| asked.share(up, across);
                if counts && place.is_none_or(|before| share(apart) < share(before)) {
                    *place = Some(apart);
                }
            }
        }
    }
    closest
}

/// Holes drilled first, where that is enough.
fn helps(ctx: &Context<'_>, (up, across): (f64, f64)) -> Vec<Help> {
    let drilled = Asked { predrilled: true, ..asked(ctx.design) };
    let enough = [false, true].iter().all(|grain_up| drilled.apart(*grain_up).share(up, across) >= 1.0 - SAME);
    if !ctx.design.fastening.predrilled.value && enough {
        return vec![mends::set_word("fastening.predrilled", "true", "drill the holes before driving").into()];
    }
    vec![mends::advice(
        "wider battens with the fasteners further apart, thinner fasteners, or one fastener where it holds",
    )]
}
