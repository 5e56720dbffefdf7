//! Chances of a miss: closed forms against sampling, limits and inverses, and what a design without tolerances gets.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use airlath::aim::{Chances, REACH, allowed_shift};

/// As far as is looked at.
const FAR: (f64, f64) = (-REACH, REACH);
use crate::common::{edited, example, run_good};
use airlath::check::Verdict;
use airlath::plan::Plan;
use airlath::scene::looks;

const TABLE: &str = "[tolerance]\nmeaning = \"1 sigma\"\nrafter = \"6 mm\"\nbow = \"0 mm\"\nline = \"2 mm\"\ndrive = \"4 mm\"\ntilt = \"2 deg\"\nmiss = \"1 %\"\n\n[fastening]";

fn with(table: &str) -> String {
    edited(&example("shed"), "[fastening]", table)
}

fn chances(text: &str) -> (Plan, Chances) {
    let plan = Plan::from_text("design.toml", text).map_err(|f| f.render(false)).unwrap();
    let chances = plan.context().chances().unwrap().clone();
    (plan, chances)
}

#[test]
fn a_fastener_in_one_rafter_misses_as_the_normal_distribution_says() {
    // One fastener a landing: errors add as squares. Rafter 45 mm wide, shank 1.55 mm: 20.95 mm to either side.
    let (plan, chances) = chances(&with(&TABLE.replace("[fastening]", "[fastening]\nper_landing = 1")));
    let above = 0.034 + 0.75e-3 + 0.031;
    let membrane = plan.design.lattice.membrane.metres();
    let depth = plan.lattice.levels.batten + membrane + plan.design.limits.embedment.metres();
    assert!((depth - above).abs() < 1e-3, "{depth}");
    let lean = 2.0_f64.to_radians().tan() * depth;
    let sigma = (6e-3_f64.powi(2) + 2e-3_f64.powi(2) + 4e-3_f64.powi(2) + lean * lean).sqrt();
    // An independent library's normal distribution.
    let normal = <statrs::distribution::Normal as Default>::default();
    let expected = 2.0 * statrs::distribution::ContinuousCDF::cdf(&normal, -20.95e-3 / sigma);
    let on = &plan.lattice.slopes[0];
    let mut compared = 0;
    for (landing, chance) in on.landings.iter().zip(&chances.landings[0]) {
        if landing.side == airlath::lattice::Side::Whole && landing.x > 0.5 && landing.x < 5.5 {
            assert!((chance.miss - expected).abs() < 1e-9, "{} against {expected}", chance.miss);
            assert!(!chance.sampled && chance.miss == chance.expected);
            compared += 1;
        }
    }
    assert!(compared > 50 && expected > 1e-4);
    let sum: f64 = chances.landings[0].iter().map(|c| c.expected).sum();
    assert!((sum - chances.expected).abs() < 1e-9);
}

#[test]
fn sampling_agrees_with_the_closed_forms_where_both_exist() {
    let text = with(TABLE);
    let (plan, closed) = chances(&text);
    let ctx = plan.context();
    let sites: Vec<_> = ctx.slopes.iter().filter_map(|on| ctx.site(on)).collect();
    let limits = &plan.design.limits;
    let most = limits.run.metres() + limits.tolerance.metres();
    let sampled = airlath::aim::sampled_chances(&sites, plan.design.tolerance.as_ref().unwrap(), most);
    assert!((sampled.expected - closed.expected).abs() < 0.2 * closed.expected);
    let n = f64::from(u32::try_from(closed.samples).unwrap());
    let band = |p: f64| 4.0 * (p * (1.0 - p) / n).sqrt() + 2.0 / n;
    let (mut compared, mut largest) = (0, 0.0_f64);
    for (c, s) in closed.landings[0].iter().zip(&sampled.landings[0]) {
        assert!(!c.sampled && s.sampled);
        assert!((c.miss - s.miss).abs() <= band(c.miss), "{} against {}", c.miss, s.miss);
        largest = largest.max(c.miss);
        compared += 1;
    }
    assert!(compared == 132 && largest > 0.005, "{compared} {largest}");
    for (c, s) in closed.pieces[0].iter().zip(&sampled.pieces[0]) {
        assert!(!c.sampled && s.sampled);
        assert!((c.long_run - s.long_run).abs() <= band(c.long_run), "{} against {}", c.long_run, s.long_run);
    }
    // One rafter's error moves all its landings together: the roof without a miss is likelier than landings one by one
    // would make it.
    let alone: f64 = closed.landings[0].iter().map(|c| 1.0 - c.miss).product();
    assert!(closed.none > alone + 0.05, "{} against {alone}", closed.none);
    assert_eq!(closed, chances(&text).1, "the same every time");
}

#[test]
fn the_inverse_of_a_line_stands_at_its_limit() {
    let table = edited(&edited(TABLE, "\"6 mm\"", "\"3 mm\""), "\"4 mm\"", "\"3 mm\"");
    let (plan, chances) = chances(&with(&table));
    let rafter = 20.95e-3;
    let depth = plan.lattice.levels.batten + plan.design.lattice.membrane.metres() + 0.031;
    let own = 3e-3_f64.hypot(2.0_f64.to_radians().tan() * depth);
    let (low, high) =
        allowed_shift(&[(-rafter, rafter), (-rafter, rafter)], 3e-3_f64.hypot(2e-3), own, 0.01, FAR).unwrap();
    // A member that reaches further to the right of a fastener may be found further to the left: 2.3263 deviations from a side
    // leave 1 % outside it (Abramowitz and Stegun, table 26.5, from memory).
    let (left, right) = allowed_shift(&[(-0.014, 0.030)], 3e-3, 4e-3, 0.01, FAR).unwrap();
    let tail = 2.326_35 * 5e-3;
    assert!((left - (tail - 0.030)).abs() < 1e-6 && (right - (0.014 - tail)).abs() < 1e-6, "{left} {right}");
    let middle = chances.lines[0][5];
    let (left, right) = middle.shift.unwrap();
    assert!((left - low).abs() < 1e-5 && (right - high).abs() < 1e-5, "{left} {right} {low} {high}");
    // A rafter found that far off: its landings are at the limit, a little further past it.
    for (more, past) in [(-2e-4, false), (2e-4, true)] {
        let off = (right + more) * 1e3;
        let found = format!(
            "[[found.member]]\nname = \"SW-R06\"\noffsets = [{{ at = \"0 mm\", off = \"{off:.4} mm\" }}, {{ at = \"4180 mm\", off = \"{off:.4} mm\" }}]\n"
        );
        let laid = "[[laid]]\nwhat = [\"tape\", \"strips\", \"fasteners\"]\n";
        let (_, after) = self::chances(&format!("{}\n{found}\n{laid}", with(&table)));
        assert_eq!(after.lines[0][5].worst > 0.01, past, "{} at {off} mm", after.lines[0][5].worst);
    }
}

#[test]
fn landings_that_may_well_miss_are_flagged_just_past_the_limit_and_not_before() {
    let worst = chances(&with(TABLE)).1.landings[0].iter().map(|c| c.miss).fold(0.0, f64::max);
    let limit = |share: f64| with(&TABLE.replace("1 %", &format!("{:.6} %", share * 100.0)));
    let just_past = run_good(&limit(worst - 1e-6));
    let flags: Vec<_> = just_past.of("miss-likely").collect();
    assert!(!flags.is_empty() && flags.iter().all(|f| f.verdict == Verdict::Warn));
    assert_eq!(run_good(&limit(worst + 1e-6)).of("miss-likely").count(), 0);
    // Without the table: nothing found, and said why.
    let silent = run_good(&example("shed"));
    assert_eq!(silent.of("miss-likely").count(), 0);
    let row = silent.header.checks.iter().find(|c| c.name == "miss-likely").unwrap();
    assert_eq!((row.verdict, row.reason.as_deref()), (Verdict::NotChecked, Some("the design states no [tolerance]")));
    assert!(silent.header.chances.is_none());
}

#[test]
fn what_the_plan_itself_misses_is_counted_as_a_miss_and_told_apart() {
    let landing = format!("[[landing]]\ncourse = \"SW-B03\"\nx = \"930 mm\"\n\n{TABLE}");
    let (_, with_one) = chances(&with(&landing));
    let (_, without) = chances(&with(TABLE));
    assert_eq!((without.planned, with_one.planned), (0, 2));
    assert!((with_one.expected - without.expected - 2.0).abs() < 1e-6);
    assert!(with_one.landings[0].iter().filter(|c| c.miss == 1.0).count() == 1);
}

#[test]
fn the_look_by_chance_puts_every_batten_and_landing_into_a_bin() {
    let plan = Plan::from_text("design.toml", &with(TABLE)).map_err(|f| f.render(false)).unwrap();
    let ctx = plan.context();
    let all = looks(&ctx);
    let look = all.iter().find(|l| l.name == "by chance of a miss").unwrap();
    assert!(look.bins.len() <= airlath::scene::MOST_BINS);
    assert_eq!(look.of.len(), plan.lattice.landing_count() + plan.lattice.slopes[0].pieces.len());
    assert!(look.of.values().all(|b| usize::from(*b) < look.bins.len()));
    assert!(look.of.values().any(|b| *b > 0), "all alike");
    let plain = Plan::from_text("design.toml", &example("shed")).map_err(|f| f.render(false)).unwrap();
    assert!(looks(&plain.context()).iter().all(|l| l.name != "by chance of a miss"));
}

#[test]
fn tolerances_that_are_none_are_faults() {
    for (from, to, says) in [
        ("\"1 sigma\"", "\"4 sigma\"", "meaning of a tolerance"),
        ("miss = \"1 %\"", "miss = \"0 %\"", "no chance"),
        ("miss = \"1 %\"", "miss = \"1\"", "no chance"),
        ("\"2 deg\"", "\"16 deg\"", "no error of a hand"),
        ("\"2 deg\"", "\"-1 deg\"", "no error of a hand"),
        ("\"6 mm\"", "\"-6 mm\"", "below zero"),
    ] {
        let fault = Plan::from_text("design.toml", &with(&edited(TABLE, from, to))).err().unwrap().render(false);
        assert!(fault.contains(says), "{to}: {fault}");
    }
}

/// The chances of landings alone, for which most draws are passed over, are those of all chances.
#[test]
fn landings_alone_have_the_chances_that_all_have() {
    let (mut by_sample, mut closed) = (0, 0);
    for text in [example("hip"), with(TABLE)] {
        let plan = Plan::from_text("design.toml", &text).map_err(|f| f.render(false)).unwrap();
        let ctx = plan.context();
        assert_eq!(ctx.misses().unwrap(), ctx.chances().unwrap().landings);
        for chance in ctx.misses().unwrap().iter().flatten() {
            by_sample += usize::from(chance.sampled && chance.miss > 0.0);
            closed += usize::from(!chance.sampled);
        }
    }
    assert!(by_sample > 0 && closed > 100, "{by_sample} {closed}");
}
