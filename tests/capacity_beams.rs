//! Battens as continuous beams against handbook cases, statics and energy.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use crate::common::cases::cases;
use airlath::capacity::NotComputed;
use airlath::capacity::beam::{Answer, Beam, Extremes, Holds, Load, Pattern, Solver, Support};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;

const BOTH: Holds = Holds::Both;

fn supports(at: &[f64]) -> Vec<Support> {
    at.iter().map(|&at| Support { at, holds: BOTH }).collect()
}

fn uniform(from: f64, to: f64, force: f64) -> Load {
    Load::Uniform { from, to, force }
}

fn linear(from: f64, to: f64, left: f64, right: f64) -> Load {
    Load::Linear { from, to, force: (left, right) }
}

fn point(at: f64, force: f64) -> Load {
    Load::Point { at, force }
}

fn solved(length: f64, supports: &[Support], loads: &[Load]) -> Solver {
    let mut solver = Solver::new();
    let beam = Beam { length, supports, loads, stiffness: 1.0 };
    assert_eq!(solver.solve(&beam).unwrap(), Answer::Held, "{beam:?}");
    solver
}

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b} within {tolerance}");
}

/// Equal spans of 1 under a uniform load of 1 (AISC Manual beam diagrams, three-moment handbook tables): greatest
/// moment, greatest deflection times EI, reactions.
#[test]
fn one_to_four_equal_spans_under_uniform_load() {
    let cases: [(usize, f64, f64, &[f64]); 4] = [
        (1, 1.0 / 8.0, 5.0 / 384.0, &[0.5, 0.5]),
        (2, 1.0 / 8.0, 0.005_416, &[3.0 / 8.0, 10.0 / 8.0, 3.0 / 8.0]),
        (3, 1.0 / 10.0, 0.006_884, &[0.4, 1.1, 1.1, 0.4]),
        (4, 3.0 / 28.0, 0.006_456, &[11.0 / 28.0, 32.0 / 28.0, 26.0 / 28.0, 32.0 / 28.0, 11.0 / 28.0]),
    ];
    for (spans, moment, deflection, reactions) in cases {
        let length = spans as f64;
        let at: Vec<f64> = (0..=spans).map(|i| i as f64).collect();
        let s = solved(length, &supports(&at), &[uniform(0.0, length, 1.0)]);
        let e = s.extremes();
        near(e.moment(), moment, 1e-12);
        // These figures were read off at nodes, not between them.
        near(e.deflection, deflection, 5e-6);
        for (got, want) in s.reactions().iter().zip(reactions) {
            near(*got, *want, 1e-12);
        }
    }
}

/// A point load of 1 in the middle of the first of equal spans: greatest moment under the load and greatest deflection times EI
/// (handbook: 1/4 and 1/48; 13/64 and 0.015; 1/5; 0.1998).
#[test]
fn one_to_four_equal_spans_under_a_point_load() {
    for (spans, moment, deflection) in
        [(1, 0.25, 1.0 / 48.0), (2, 13.0 / 64.0, 0.015_009), (3, 0.2, 0.014_626), (4, 0.199_777, 0.014_599)]
    {
        let length = f64::from(spans);
        let at: Vec<f64> = (0..=spans).map(f64::from).collect();
        let s = solved(length, &supports(&at), &[point(0.5, -1.0)]);
        near(s.extremes().moment_in, moment, 2e-5);
        near(s.extremes().deflection, deflection, 5e-6);
        near(s.moment(0.5).unwrap(), moment, 2e-5);
    }
}

/// A cantilever beyond a span (handbook: overhanging beam, point load at the end): reactions -P a/l and P (1 + a/l), moment P a,
/// end deflection P a^2 (l + a) / 3EI, greatest deflection in the span P a l^2 / (9 sqrt 3 EI). Both ends alike.
#[test]
fn cantilevers() {
    let (l, a, p) = (2.0, 0.7, 3.0);
    for mirrored in [false, true] {
        let place = |x: f64| if mirrored { l + a - x } else { x };
        let mut at = [place(0.0), place(l)];
        at.sort_by(f64::total_cmp);
        let s = solved(l + a, &supports(&at), &[point(place(l + a), p)]);
        let (near_load, far) = if mirrored { (0, 1) } else { (1, 0) };
        near(s.reactions()[near_load], p * (1.0 + a / l), 1e-12);
        near(s.reactions()[far], -p * a / l, 1e-12);
        let e = s.extremes();
        near(e.moment_in, p * a, 1e-12);
        near(e.moment_out, 0.0, 1e-12);
        near(e.end_deflection, p * a * a * (l + a) / 3.0, 1e-12);
        near(e.deflection, p * a * l * l / (9.0 * 3.0_f64.sqrt()), 1e-12);
        near(s.deflection(place(l + a)).unwrap(), p * a * a * (l + a) / 3.0, 1e-12);
    }
    // Uniform load on the overhang only: moment w a^2/2, end deflection w a^3 (4 l + 3 a) / 24 EI (handbook).
    let s = solved(l + a, &supports(&[0.0, l]), &[uniform(l, l + a, p)]);
    near(s.extremes().moment_in, p * a * a / 2.0, 1e-12);
    near(s.extremes().end_deflection, p * a.powi(3) * (4.0 * l + 3.0 * a) / 24.0, 1e-12);
}

/// A load that moves over one span: moment under it P x (l - x) / l, deflection under it P x^2 (l - x)^2 / (3 l EI) (handbook).
#[test]
fn a_moving_point_load() {
    let l = 1.3;
    for k in 1..40 {
        let x = l * f64::from(k) / 40.0;
        let s = solved(l, &supports(&[0.0, l]), &[point(x, -2.0)]);
        near(s.moment(x).unwrap(), 2.0 * x * (l - x) / l, 1e-12);
        near(s.extremes().moment(), 2.0 * x * (l - x) / l, 1e-12);
        near(s.deflection(x).unwrap(), -2.0 * x * x * (l - x) * (l - x) / (3.0 * l), 1e-12);
        near(s.reactions()[0], -2.0 * (l - x) / l, 1e-12);
    }
}

/// Part of a span under uniform load, from superposed thin slices of point loads.
#[test]
fn a_part_under_uniform_load_is_many_point_loads() {
    let at = supports(&[0.2, 1.0, 2.1, 3.0]);
    let whole = solved(3.3, &at, &[uniform(0.4, 2.6, 5.0)]);
    let n = 4000;
    let step = 2.2 / f64::from(n);
    let many: Vec<Load> = (0..n).map(|i| point(0.4 + step * (f64::from(i) + 0.5), 5.0 * step)).collect();
    let sliced = solved(3.3, &at, &many);
    for (a, b) in whole.reactions().iter().zip(sliced.reactions()) {
        near(*a, *b, 1e-5);
    }
    for x in [0.0, 0.7, 1.5, 2.4, 3.3] {
        near(whole.deflection(x).unwrap(), sliced.deflection(x).unwrap(), 1e-6);
    }
}

/// The neighbours of a missed landing take over: two spans become one, its reactions 1/2 each.
#[test]
fn a_missed_landing_shows_at_its_neighbours() {
    let mut at = supports(&[0.0, 1.0, 2.0]);
    at[1].holds = Holds::Down;
    let up = solved(2.0, &at, &[uniform(0.0, 2.0, 1.0)]);
    assert_eq!(up.reactions(), &[1.0, 0.0, 1.0]);
    let down = solved(2.0, &at, &[uniform(0.0, 2.0, -1.0)]);
    near(down.reactions()[1], -1.25, 1e-12);
}

/// A strip that only bears lets go where the piece lifts off by itself, and takes part where it does not.
#[test]
fn supports_that_only_bear_act_only_where_pressed() {
    let at =
        [Support { at: 0.0, holds: BOTH }, Support { at: 1.0, holds: BOTH }, Support { at: 2.0, holds: Holds::Down }];
    // Pressed in the first span, the beam rises past the second support and leaves the third.
    let s = solved(2.0, &at, &[point(0.5, -1.0)]);
    assert_eq!(s.reactions()[2], 0.0);
    assert!(s.deflection(2.0).unwrap() > 0.0);
    near(s.reactions()[0], -0.5, 1e-12);
    // Pressed in the second span it bears.
    let s = solved(2.0, &at, &[point(1.5, -1.0)]);
    assert!(s.reactions()[2] < 0.0);
    near(s.deflection(2.0).unwrap(), 0.0, 1e-12);
}

#[test]
fn fewer_than_two_holds_are_a_mechanism() {
    let mut solver = Solver::new();
    for (holds, count) in [(&[][..], 0), (&[BOTH][..], 1), (&[BOTH, Holds::Down, Holds::Down][..], 1)] {
        let at: Vec<Support> = holds.iter().enumerate().map(|(i, &holds)| Support { at: i as f64, holds }).collect();
        let beam = Beam { length: 3.0, supports: &at, loads: &[uniform(0.0, 3.0, -1.0)], stiffness: 1.0 };
        assert_eq!(solver.solve(&beam).unwrap(), Answer::Mechanism { holding: count });
        assert_eq!(solver.extremes(), Extremes::default());
        assert_eq!(solver.deflection(1.0), None);
    }
    // Two that only hold against lifting: held while lifted, a mechanism when pressed.
    let at = [Support { at: 0.0, holds: Holds::Up }, Support { at: 1.0, holds: Holds::Up }];
    for (force, held) in [(1.0, true), (-1.0, false)] {
        let beam = Beam { length: 1.0, supports: &at, loads: &[uniform(0.0, 1.0, force)], stiffness: 1.0 };
        assert_eq!(matches!(solver.solve(&beam).unwrap(), Answer::Held), held);
    }
}

#[test]
fn bad_input_is_named() {
    let mut solver = Solver::new();
    let two = supports(&[0.0, 1.0]);
    let good = Beam { length: 1.0, supports: &two, loads: &[], stiffness: 1.0 };
    assert_eq!(solver.solve(&good).unwrap(), Answer::Held);
    assert!(matches!(solver.solve(&Beam { length: -1.0, ..good }), Err(NotComputed::NotPositive { .. })));
    assert!(matches!(solver.solve(&Beam { length: f64::NAN, ..good }), Err(NotComputed::NotANumber { .. })));
    assert!(matches!(solver.solve(&Beam { stiffness: 0.0, ..good }), Err(NotComputed::NotPositive { .. })));
    for loads in [
        [point(1.1, 1.0)],
        [point(f64::NAN, 1.0)],
        [point(0.5, f64::INFINITY)],
        [uniform(0.6, 0.4, 1.0)],
        [uniform(0.6, 1.4, 1.0)],
    ] {
        assert!(solver.solve(&Beam { loads: &loads, ..good }).is_err(), "{loads:?}");
        assert_eq!(solver.deflection(0.5), None, "nothing of an earlier piece is left");
    }
    for at in [&[0.5, 0.2][..], &[0.5, 0.5], &[0.5, 1.2], &[f64::NAN, 0.5]] {
        assert!(solver.solve(&Beam { supports: &supports(at), ..good }).is_err(), "{at:?}");
    }
}

/// Patterns: whole, every other span, both spans beside each support; no span twice, point loads on supports always.
#[test]
fn patterns_cut_loads_by_span() {
    let at = supports(&[0.5, 1.5, 2.5]);
    let patterns: Vec<Pattern> = Pattern::of(3).collect();
    assert_eq!(patterns.len(), 6);
    let loaded = |p: Pattern| (0..4).map(|s| p.loads_span(s)).collect::<Vec<_>>();
    assert_eq!(loaded(Pattern::Beside(1)), [false, true, true, false]);
    assert_eq!(loaded(Pattern::Beside(0)), [true, true, false, true]);
    assert_eq!(loaded(Pattern::Odd), [false, true, false, true]);
    let mut into = Vec::new();
    Pattern::Beside(1).cut(&at, 3.0, &[uniform(0.0, 3.0, 2.0), point(0.5, 1.0), point(0.2, 1.0)], &mut into);
    assert_eq!(into, [uniform(0.5, 2.5, 2.0), point(0.5, 1.0)]);
    into.clear();
    Pattern::All.cut(&at, 3.0, &[uniform(0.1, 3.0, 2.0)], &mut into);
    assert_eq!(into, [uniform(0.1, 3.0, 2.0)]);
    // Two spans: the greatest support moment under pattern is that of both spans (w l^2/8), the greatest span moment that
    // of one span only (49/512 w l^2), as handbooks tabulate.
    let at = supports(&[0.0, 1.0, 2.0]);
    let (mut moment_in, mut moment_out) = (0.0_f64, 0.0_f64);
    for p in Pattern::of(3) {
        into.clear();
        p.cut(&at, 2.0, &[uniform(0.0, 2.0, -1.0)], &mut into);
        let e = solved(2.0, &at, &into).extremes();
        moment_in = moment_in.max(e.moment_in);
        moment_out = moment_out.max(e.moment_out);
    }
    near(moment_out, 0.125, 1e-12);
    near(moment_in, 49.0 / 512.0, 1e-12);
}

/// A random piece: supports at least 5 cm apart, the first and last hold both ways.
fn piece() -> impl Strategy<Value = (f64, Vec<Support>, Vec<Load>)> {
    let spans = prop::collection::vec((0.05..1.5_f64, 0..3_u8), 1..20);
    let load = (0.0..1.0_f64, 0.0..1.0_f64, -50.0..50.0_f64, 0..3_u8);
    (spans, 0.0..0.6_f64, 0.0..0.6_f64, prop::collection::vec(load, 1..6)).prop_map(|(spans, left, right, loads)| {
        let mut x = left;
        let mut at = vec![Support { at: x, holds: BOTH }];
        for (span, holds) in &spans {
            x += span;
            at.push(Support { at: x, holds: [BOTH, Holds::Down, Holds::Up][usize::from(*holds)] });
        }
        at.last_mut().unwrap().holds = BOTH;
        let length = x + right;
        let loads = loads
            .into_iter()
            .map(|(a, b, force, kind)| {
                let (a, b) = (a.min(b) * length, a.max(b) * length);
                match kind {
                    0 => point(a, force),
                    1 => uniform(a, b, force),
                    _ => linear(a, b, force, 10.0 - 0.7 * force),
                }
            })
            .collect();
        (length, at, loads)
    })
}

fn force_and_moment(loads: &[Load]) -> (f64, f64, f64) {
    let (mut sum, mut moment, mut size) = (0.0, 0.0, 0.0);
    for load in loads {
        let (f, x) = match *load {
            Load::Point { at, force } => (force, at),
            Load::Uniform { from, to, force } => (force * (to - from), 0.5 * (from + to)),
            // A rectangle and a triangle.
            Load::Linear { from, to, force: (left, right) } => {
                let (even, rising) = (left * (to - from), (right - left) * (to - from) / 2.0);
                sum += rising;
                moment += rising * (from + 2.0 * (to - from) / 3.0);
                size += rising.abs();
                (even, 0.5 * (from + to))
            }
        };
        sum += f;
        moment += f * x;
        size += f.abs();
    }
    (sum, moment, size)
}

/// Half of force times way, straight from the deflections.
fn work_by_deflections(s: &Solver, loads: &[Load]) -> f64 {
    let mut sum = 0.0;
    for load in loads {
        sum += match *load {
            Load::Point { at, force } => force * s.deflection(at).unwrap(),
            Load::Uniform { from, to, force } => {
                let n = 2000;
                let h = (to - from) / f64::from(n);
                let way: f64 = (0..n).map(|i| s.deflection(from + h * (f64::from(i) + 0.5)).unwrap()).sum();
                force * way * h
            }
            Load::Linear { from, to, force: (left, right) } => {
                let n = 2000;
                let h = (to - from) / f64::from(n);
                let at = |i: i32| (f64::from(i) + 0.5) / f64::from(n);
                let of = |i| (left + (right - left) * at(i)) * s.deflection(from + (to - from) * at(i)).unwrap();
                (0..n).map(of).sum::<f64>() * h
            }
        };
    }
    sum / 2.0
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("proptest-regressions"))),
        ..cases(400)
    })]

    /// Force and moment balance, and every support acts the way it can: nothing pulls on a bearing, nothing presses on a
    /// fastener that only pulls, no piece passes through a support.
    #[test]
    fn reactions_balance_and_supports_act_one_way((length, at, loads) in piece()) {
        let s = solved(length, &at, &loads);
        let (sum, moment, size) = force_and_moment(&loads);
        let r = s.reactions();
        let total: f64 = r.iter().sum();
        let about: f64 = r.iter().zip(&at).map(|(r, s)| r * s.at).sum();
        prop_assert!((total - sum).abs() <= 1e-9 * size.max(1.0), "{total} {sum}");
        prop_assert!((about - moment).abs() <= 1e-8 * size.max(1.0) * length);
        let scale = size.max(1e-9) * length.powi(3);
        for (r, support) in r.iter().zip(&at) {
            let way = s.deflection(support.at).unwrap();
            let sign = match support.holds {
                Holds::Both => {
                    prop_assert!(way.abs() <= 1e-9 * scale);
                    continue;
                }
                Holds::Up => 1.0,
                Holds::Down => -1.0,
            };
            prop_assert!(r * sign >= -1e-9 * size.max(1e-9), "{r} {support:?}");
            prop_assert!(way * sign <= 1e-9 * scale, "{way} {support:?}");
            prop_assert!(*r == 0.0 || way.abs() <= 1e-9 * scale);
        }
    }

    /// The energy of bending is the work of the loads.
    #[test]
    fn work_is_energy((length, at, loads) in piece()) {
        let s = solved(length, &at, &loads);
        let (energy, work) = (s.work(), work_by_deflections(&s, &loads));
        let (_, _, size) = force_and_moment(&loads);
        prop_assert!((energy - work).abs() <= 1e-4 * work.abs() + 1e-9 * size * size * length.powi(3), "{energy} {work}");
    }

    /// Twice the load, twice everything, also where supports hold one way.
    #[test]
    fn doubling_the_load_doubles_the_answer((length, at, loads) in piece()) {
        let doubled: Vec<Load> = loads.iter().map(|l| match *l {
            Load::Point { at, force } => point(at, 2.0 * force),
            Load::Uniform { from, to, force } => uniform(from, to, 2.0 * force),
            Load::Linear { from, to, force: (left, right) } => linear(from, to, 2.0 * left, 2.0 * right),
        }).collect();
        let (one, two) = (solved(length, &at, &loads), solved(length, &at, &doubled));
        let (_, _, size) = force_and_moment(&loads);
        for (a, b) in one.reactions().iter().zip(two.reactions()) {
            prop_assert!((2.0 * a - b).abs() <= 1e-9 * size.max(1e-9));
        }
        let (a, b) = (one.extremes(), two.extremes());
        prop_assert!((2.0 * a.moment() - b.moment()).abs() <= 1e-9 * size * length);
        prop_assert!((2.0 * a.deflection - b.deflection).abs() <= 1e-9 * size * length.powi(3));
    }

    /// A mirror image mirrors.
    #[test]
    fn a_mirror_image_mirrors((length, at, loads) in piece()) {
        let mut turned: Vec<Support> = at.iter().map(|s| Support { at: (length - s.at).clamp(0.0, length), ..*s }).collect();
        turned.reverse();
        let back = |x: f64| (length - x).clamp(0.0, length);
        let turned_loads: Vec<Load> = loads.iter().map(|l| match *l {
            Load::Point { at, force } => point(back(at), force),
            Load::Uniform { from, to, force } => uniform(back(to), back(from), force),
            Load::Linear { from, to, force: (left, right) } => linear(back(to), back(from), right, left),
        }).collect();
        let (one, two) = (solved(length, &at, &loads), solved(length, &turned, &turned_loads));
        let (_, _, size) = force_and_moment(&loads);
        for (a, b) in one.reactions().iter().zip(two.reactions().iter().rev()) {
            prop_assert!((a - b).abs() <= 1e-6 * size.max(1e-9), "{a} {b}");
        }
        prop_assert!((one.work() - two.work()).abs() <= 1e-7 * one.work().max(1e-12));
    }

    /// For one load case a piece with one support less, while it stays stable, is never stiffer.
    #[test]
    fn taking_a_support_away_never_lowers_the_work((length, at, loads) in piece(), which in 0..20_usize) {
        // Of two supports neither can go: a third stands in the middle.
        let mut at = at;
        if at.len() == 2 {
            at.insert(1, Support { at: (at[0].at + at[1].at) / 2.0, holds: Holds::Both });
        }
        let inner = 1 + which % (at.len() - 2);
        let mut fewer = at.clone();
        fewer.remove(inner);
        let (with, without) = (solved(length, &at, &loads).work(), solved(length, &fewer, &loads).work());
        prop_assert!(without >= with * (1.0 - 1e-9) - 1e-15, "{with} {without}");
    }
}

/// Which span and which end deflect most for their lengths, against the line of deflection asked at many places.
#[test]
fn the_span_and_the_end_that_deflect_most_for_their_lengths() {
    let at = [0.3, 1.0, 2.6, 3.2];
    let supports: Vec<Support> = at.iter().map(|x| Support { at: *x, holds: Holds::Both }).collect();
    for (length, heavy) in [(3.25, 0.1), (3.9, 0.1), (3.25, 1.8), (3.9, 3.0)] {
        let loads = [
            Load::Uniform { from: 0.0, to: length, force: 120.0 },
            Load::Point { at: heavy, force: 300.0 },
            Load::Point { at: 0.05, force: 40.0 },
        ];
        let mut solver = Solver::new();
        let beam = Beam { length, supports: &supports, loads: &loads, stiffness: 1000.0 };
        assert_eq!(solver.solve(&beam).unwrap(), Answer::Held);
        let e = solver.extremes();
        let most = |from: f64, to: f64| {
            let steps = 20_000;
            let of = |k: i32| solver.deflection(from + (to - from) * f64::from(k) / f64::from(steps)).unwrap().abs();
            (0..=steps).map(of).fold(0.0, f64::max)
        };
        let worst = |all: &[(f64, f64)]| {
            let of = |(from, to): &(f64, f64)| (most(*from, *to), to - from);
            all.iter().map(of).max_by(|a, b| (a.0 / a.1).total_cmp(&(b.0 / b.1))).unwrap()
        };
        let span = worst(&[(0.3, 1.0), (1.0, 2.6), (2.6, 3.2)]);
        let [left, right] = [worst(&[(0.0, 0.3)]), worst(&[(3.2, length)])];
        for (found, asked) in [(e.worst_span, span), (e.ends[0], left), (e.ends[1], right)] {
            assert!((found.most / asked.0 - 1.0).abs() < 1e-6, "{found:?} {asked:?}");
            assert!((found.length - asked.1).abs() < 1e-9, "{found:?} {asked:?}");
        }
    }
}

/// Triangles by the handbook (the AISC manual's beam diagrams, cases 2 and 20; Roark's table of fixed ends): a span with a load from
/// none to w has W/3 and 2 W/3, a greatest moment of 0.1283 W L at 0.5774 L and deflects 0.01304 W L^3 / EI at 0.5193 L (W = w L / 2); a
/// cantilever whose load falls to none at its tip w L^2 / 6 and w L^4 / 30 EI; a middle span between two without load, by three
/// moments: 4 Ma + Mb = 7 w L^2 / 60 and Ma + 4 Mb = 8 w L^2 / 60 towards the heavy side.
#[test]
fn triangles_come_to_the_handbook() {
    let (w, l) = (120.0, 2.5);
    let load = w * l / 2.0;
    let near = |what: &str, found: f64, asked: f64, within: f64| {
        assert!((found - asked).abs() <= within * asked.abs(), "{what}: {found}, asked {asked}");
    };
    for mirrored in [false, true] {
        let loads = if mirrored { [linear(0.0, l, w, 0.0)] } else { [linear(0.0, l, 0.0, w)] };
        let s = solved(l, &supports(&[0.0, l]), &loads);
        let e = s.extremes();
        let [light, heavy] = if mirrored { [1, 0] } else { [0, 1] };
        near("light", s.reactions()[light], load / 3.0, 1e-12);
        near("heavy", s.reactions()[heavy], 2.0 * load / 3.0, 1e-12);
        near("moment", e.moment_out, 2.0 * load * l / (9.0 * 3.0_f64.sqrt()), 1e-12);
        near("shear", e.shear, 2.0 * load / 3.0, 1e-12);
        let place = 0.5193 * l;
        near("deflection", e.deflection, 0.013_04 * load * l.powi(3) / 1.0, 5e-4);
        near("its place", s.deflection(if mirrored { l - place } else { place }).unwrap(), e.deflection, 1e-6);
    }
    // A span and a cantilever on its right, with a load that falls to none at the tip.
    let s = solved(2.0 * l, &supports(&[0.0, l]), &[linear(l, 2.0 * l, w, 0.0)]);
    near("root", s.extremes().moment_in, w * l * l / 6.0, 1e-12);
    let tip = w * l.powi(4) / (30.0 * 1.0) + w * l * l / 6.0 * l / (3.0 * 1.0) * l;
    near("tip", s.extremes().end_deflection, tip, 1e-9);
    let s = solved(3.0 * l, &supports(&[0.0, l, 2.0 * l, 3.0 * l]), &[linear(l, 2.0 * l, 0.0, w)]);
    let (p, q) = (7.0 * w * l * l / 60.0, 8.0 * w * l * l / 60.0);
    let (ma, mb) = ((4.0 * p - q) / 15.0, (4.0 * q - p) / 15.0);
    near("left outer", s.reactions()[0], -ma / l, 1e-9);
    near("right outer", s.reactions()[3], -mb / l, 1e-9);
    near("at the second", s.moment(l).unwrap().abs(), ma, 1e-9);
}

/// A linear load that is cut into spans stays what it is: every pattern and its other half make all of it, and one in two
/// parts is the whole.
#[test]
fn a_linear_load_is_cut_where_spans_end() {
    let at = supports(&[0.2, 1.0, 1.9, 2.6]);
    let loads = [linear(0.1, 2.7, -80.0, 200.0), linear(0.5, 0.8, 50.0, 0.0)];
    let whole = solved(2.8, &at, &loads);
    let (mut even, mut odd) = (Vec::new(), Vec::new());
    Pattern::Even.cut(&at, 2.8, &loads, &mut even);
    Pattern::Odd.cut(&at, 2.8, &loads, &mut odd);
    let (one, two) = (solved(2.8, &at, &even), solved(2.8, &at, &odd));
    for (k, r) in whole.reactions().iter().enumerate() {
        let sum = one.reactions()[k] + two.reactions()[k];
        assert!((r - sum).abs() < 1e-9 * 300.0, "{r} {sum}");
    }
    assert!(one.reactions().iter().zip(whole.reactions()).any(|(a, b)| (a - b).abs() > 1.0));
}
