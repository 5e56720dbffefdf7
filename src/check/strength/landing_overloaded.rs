//! Fasteners that carry more than they can.

use std::cell::LazyCell;

use super::basis::Subject;
use super::path::{self, Analysis, Landed};
use super::{Untold, combination, each_landing, memory, reasons, share, source, superseded, verdict};
use crate::capacity::NotComputed;
use crate::capacity::fastener::FastenerKind as Kind;
use crate::check::context::{Context, OnSlope, Report};
use crate::check::finding::{Evidence, Measure, Source};
use crate::check::{Check, Run, Verdict, mends};
use crate::design::FastenerKind;
use crate::lattice::Landing;
use crate::quantity::{Force, show_ratio};

/// The check.
pub const CHECK: Check = Check {
    name: "landing-overloaded",
    title: "Do the fasteners of every landing carry wind, snow and weight?",
    page: "\
What
  A landing whose fasteners get more than they hold, or more than the stated share of it (`strength.warn`).
Why
  Wind pulls the roofing off; snow and weight pull the lattice down the slope across a soft gap.
How computed
  Roofing hangs on the courses half and half; each piece is a continuous beam, from joint to joint with its ends, on the
  landings that really hold (and, where it is pressed down, on every strip that lies on deck or member). Its reactions are
  what the fasteners get, shared alike; the one that holds least, with its own depth in its own member of its own wood, judges
  the landing. They are set against withdrawal with the depth that the solids give, the head in
  the batten, lateral yield through the gap that strip, tape, membrane and deck make, and both together; weight that stays
  down the slope against the yield load over 3. Roof live load is taken in parts too (on some spans and not on others),
  snow by ASCE 7 also (half of it on the others), from memory of ASCE 7-16 4.3.3 and 7.5.1; EN 1991-1-3 asks for no snow in
  parts along one slope (from memory). In combinations with all of the
  weight wind comes both ways: it may pull out while weight and snow pull down the slope. The combination that asks most decides. `airlath explain LANDING DESIGN` writes it
  all down for one landing.
Limits
  Wind has the coefficient of the effective wind area of one fastener: what hangs on the landing half way to the next landings
  that hold, shared out among its fasteners. Where the wind on a part of a piece is not known, its landings are not checked,
  save that one which other loads overload fails. Where clips are laid out on every course, all of the roofing's load
  comes through them, pressure too; where they leave out courses, what pulls comes through them and what presses is even (see
  `clip-overloaded`; the effective wind area stays that of the landing's own course); without clips it is even. A landing one
  of whose fasteners does not hold holds nothing.
  All fasteners lean as `tolerance.tilt` says, where it is written. Landings do not give; splitting is not computed. It supports a licensed designer and never replaces one.
Source
  The rule set of `strength.rules`, the combinations of the named edition; each line of `airlath explain LANDING DESIGN`
  names its clause and says whether it is from memory.
",
    run: Run::When(run),
};

/// What is said where no single change of the fastener's kind is enough.
const ASK: &str =
    "a longer or another fastener, more of them, or closer courses: `airlath weakest` tries them; ask your designer";

/// The least depth of a landing's fasteners in a member, metres.
fn landing_depth(on: &OnSlope<'_>, landing: &Landing) -> f64 {
    on.backing_of(landing).iter().map(|b| b.embedment).fold(f64::INFINITY, f64::min)
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let a = match ctx.strength() {
        Ok(a) => a,
        Err(why) => return Some(reasons(why)),
    };
    report.examined(&[crate::parts::Kind::Fasteners]);
    // A landing that holds nothing, or on a piece that too few hold, has no share.
    let unknown = |l: &Landed| match l {
        Landed::Used(_) | Landed::NotComputed(NotComputed::BelowMinimum { .. }) => false,
        Landed::Nothing | Landed::Adrift | Landed::NotComputed(_) => true,
    };
    report.unanswered(each_landing(ctx, a).filter(|l| unknown(l.3)).filter_map(|(on, landing, ..)| on.id_of(landing)));
    let ring = LazyCell::new(|| with_ring_shank(ctx, a));
    let mut untold = Untold::default();
    for (at, (on, landing, of, landed)) in each_landing(ctx, a).enumerate() {
        let used = match landed {
            Landed::Used(used) => used,
            Landed::Nothing | Landed::Adrift => continue,
            Landed::NotComputed(why @ NotComputed::BelowMinimum { .. }) => {
                let name = ctx.landing_name(on, landing);
                let piece = on.piece(landing).map_or(String::new(), |p| p.name.clone());
                let message = format!("{name} carries nothing by the rules: {why}");
                let place = Some(ctx.landing_place(on, landing));
                let found = landing_depth(on, landing);
                let limit = vec![Evidence::length("length inside the member", found, &ctx.design.limits.embedment)];
                let helps = || vec![mends::advice(ASK)];
                report.add(
                    Verdict::Fail,
                    message,
                    vec![name, piece],
                    place,
                    limit,
                    helps,
                    Source::words(a.basis.rules()),
                );
                continue;
            }
            Landed::NotComputed(why) => {
                untold.add(why, || ctx.landing_name(on, landing));
                continue;
            }
        };
        let verdict = verdict(used.ratio, &a.basis);
        if verdict == Verdict::Pass {
            continue;
        }
        let name = ctx.landing_name(on, landing);
        let piece = on.piece(landing).map_or("", |p| p.name.as_str());
        let units = ctx.design.units;
        let force = |v: f64| Force::from_newtons(v).show(units);
        let asks = asked(used.out, used.down, &force);
        let mut message = format!(
            "{name} has to carry {} of what it holds: {}, {asks}, {}",
            show_ratio(used.ratio),
            used.mode.words(),
            combination(&a.basis, used.combination)
        );
        if a.basis.holds.len() > 1
            && used.down != 0.0
            && let Some(hold) = a.basis.holds.get(used.hold)
        {
            message.push_str(&format!(", {} (strength.held is not said)", hold.words()));
        }
        message.push_str(&superseded(&a.basis));
        let evidence = vec![
            share(used.ratio),
            Evidence { what: "force out of the slope", found: Measure::Force(used.out), limit: None },
            Evidence { what: "force down the slope", found: Measure::Force(used.down), limit: None },
            Evidence { what: "landings of the piece that hold", found: Measure::Count(of.holding), limit: None },
        ];
        let helps = || {
            let better = ring
                .as_ref()
                .is_some_and(|all| all.get(at).is_some_and(|r| super::verdict(*r, &a.basis) == Verdict::Pass));
            let set =
                || mends::set_word("fastening.kind", "\"ring-shank nail\"", "take ring-shank nails of the same size");
            if better { vec![set().into()] } else { vec![mends::advice(ASK)] }
        };
        let place = Some(ctx.landing_place(on, landing));
        let parts = vec![name, piece.to_owned()];
        report.add(verdict, message, parts, place, evidence, helps, source(&a.basis, used.combination));
    }
    let computed = || each_landing(ctx, a).filter(|l| matches!(l.3, Landed::Used(_)));
    let first = computed().next().map(|(on, l, ..)| (ctx.landing_name(on, l), ctx.landing_place(on, l)));
    memory::note(a, Subject::Landing, ("landings", computed().count()), first, report);
    untold.told("landings")
}

/// The forces that a landing has to hold, in words. A load along the slope asks as much of it up as down; what presses it on asks
/// nothing.
pub fn asked(out: f64, down: f64, force: &dyn Fn(f64) -> String) -> String {
    let along =
        if down < 0.0 { format!("{} up the slope", force(-down)) } else { format!("{} down the slope", force(down)) };
    match (out > 0.0, down != 0.0) {
        (true, true) => format!("{} out and {along}", force(out)),
        (true, false) => format!("{} out of the slope", force(out)),
        (false, _) => along,
    }
}

/// The shares with ring-shank nails of the same size, landing by landing, where smooth ones are planned.
fn with_ring_shank(ctx: &Context<'_>, a: &Analysis) -> Option<Vec<f64>> {
    // What a maker states of these nails holds for no others.
    let stated = a.basis.spec.maker.as_ref().is_some_and(|m| m.withdrawal.is_some());
    if stated || ctx.design.fastening.kind.value != FastenerKind::Nail {
        return None;
    }
    let mut basis = a.basis.clone();
    basis.fastener = basis.with_kind(ctx.design, Kind::RingShankNail).ok()?;
    let other = path::analyse(ctx, basis);
    let share = |landed: &Landed| match landed {
        Landed::Used(used) => used.ratio,
        _ => f64::INFINITY,
    };
    Some(each_landing(ctx, &other).map(|l| share(l.3)).collect())
}
