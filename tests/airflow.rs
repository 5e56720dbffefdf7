//! The solver of air in channels against closed forms, a published network, and properties that must hold of any.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use crate::common::cases;
use crate::common::seeded::Seeded;
use airlath::airflow::{
    CELSIUS, Channel, Friction, Gas, Law, Link, Network, Solution, Trouble, Warming, beginnings, density, follow,
    local, solve,
};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;

fn square(r: f64) -> Law {
    Law { square: [r, r], ..Law::default() }
}

fn link(from: u32, to: u32, law: Law) -> Link {
    Link { from, to, law, drive: 0.0 }
}

/// Two ends at given pressures, the other nodes free.
fn between(nodes: usize, high: f64, low: f64, links: Vec<Link>) -> Network {
    let mut given = vec![None; nodes];
    given[0] = Some(high);
    given[nodes - 1] = Some(low);
    Network { given, inflow: Vec::new(), links }
}

fn solved(n: &Network) -> Solution {
    let s = solve(n, None).unwrap();
    assert!(s.imbalance < 1e-9, "imbalance {}", s.imbalance);
    assert!(s.residual < 1e-8, "residual {}", s.residual);
    s
}

/// m = (-A + sqrt(A^2 + 4 B p)) / 2 B.
fn closed(a: f64, b: f64, p: f64) -> f64 {
    (-a + (a * a + 4.0 * b * p).sqrt()) / (2.0 * b)
}

fn law(a: f64, b: f64) -> Law {
    Law { friction: [Friction { laminar: a, turbulent: 0.0 }, Friction::default()], square: [b, b], screen: None }
}

#[test]
fn in_series_and_side_by_side() {
    // In series the coefficients add.
    let series =
        between(4, 7.0, 0.0, vec![link(0, 1, law(3.0, 10.0)), link(1, 2, law(5.0, 20.0)), link(2, 3, law(1.0, 5.0))]);
    let s = solved(&series);
    let m = closed(9.0, 35.0, 7.0);
    for f in &s.flows {
        assert!((f / m - 1.0).abs() < 1e-9, "{f} {m}");
    }
    assert!((s.throughput / m - 1.0).abs() < 1e-9);
    // Side by side the flows add.
    let beside = between(2, 7.0, 0.0, vec![link(0, 1, law(3.0, 10.0)), link(1, 0, law(5.0, 20.0))]);
    let s = solved(&beside);
    assert!((s.flows[0] / closed(3.0, 10.0, 7.0) - 1.0).abs() < 1e-9);
    assert!((s.flows[1] / -closed(5.0, 20.0, 7.0) - 1.0).abs() < 1e-9);
}

/// A channel of 4.8768 m under twelve battens of 88.9 mm: 9.525 mm high under them, 28.575 mm between, per metre of width,
/// at 0 C. Closed form dp = A v + B v^2 on the speed under the battens, A = 12 mu (L1 / h1^2 + L2 s / h2^2), B = rho / 2
/// times the sum of K. Worked out beforehand: 0.2174 m/s and 7.454 m3/h at 1 Pa.
#[test]
fn alternating_heights_against_the_closed_form() {
    let gas = Gas::air(CELSIUS);
    let width = 1e4;
    let (h1, h2, n) = (0.009525, 0.028575, 12);
    let (l1, l2) = (0.0889, (4.8768 - 12.0 * 0.0889) / 12.0);
    let throat = Channel { width, height: h1, length: l1 };
    let open = Channel { width, height: h2, length: l2 };
    let s: f64 = h1 / h2;
    let k = |k: f64| local(k, throat.area(), &gas);
    // Entry and two screens of K 1.2; then batten after batten: contraction, throat, expansion; exit.
    let mut links = vec![link(0, 1, Law { square: [k(0.5 + 2.4); 2], ..Law::default() })];
    for i in 0..n {
        let friction = [throat.friction(&gas), open.friction(&gas)];
        let losses = k(0.5 * (1.0 - s) + (1.0 - s).powi(2));
        links.push(link(1 + i, 2 + i, Law { friction, square: [losses; 2], screen: None }));
    }
    links.push(link(n + 1, n + 2, Law { square: [k(1.0); 2], ..Law::default() }));
    for (dp, v1, q) in [
        (1.0, 0.2174, 7.454),
        (0.4970, 0.1292, 4.431),
        (0.9765, 0.2137, 7.328),
        (2.0, 0.3492, 11.97),
        (5.0, 0.6210, 21.29),
    ] {
        let m = solved(&between(n as usize + 3, dp, 0.0, links.clone())).throughput;
        let v = m / gas.density / throat.area();
        assert!((v / v1 - 1.0).abs() < 0.005, "{dp} Pa: {v}");
        assert!((v * h1 * 3600.0 / q - 1.0).abs() < 0.005, "{dp} Pa: {}", v * h1 * 3600.0);
    }
    // A plain gap of 9.525 mm all the way, K 1.5, 0.5 Pa: 0.04499 m/s.
    let plain = Channel { length: 4.8768, ..throat };
    let law = Law { friction: [plain.friction(&gas), Friction::default()], square: [k(1.5); 2], screen: None };
    let v = solved(&between(2, 0.5, 0.0, vec![link(0, 1, law)])).throughput / gas.density / plain.area();
    assert!((v / 0.04499 - 1.0).abs() < 0.005, "{v}");
}

/// 0 C without, 5 C within, 2.181 m of height: 0.4970 Pa.
#[test]
fn stack() {
    let rho = |t: f64| airlath::airflow::density(CELSIUS + t);
    let p = (rho(0.0) - rho(5.0)) * 9.80665 * 2.181;
    assert!((p - 0.4970).abs() < 0.001, "{p}");
}

/// "Mine ventilation case calculation", blog.aannaque.org, 22 December 2019: five airways, 47 m3/s in, solved by the
/// method of Hardy Cross. Resistances 0.4, 0.6, 0.1, 0.5, 0.7 (numbered 2 to 6). As printed after the first correction,
/// airways 2, 3 and 4 carry 25.833, 21.167 and 0.337 m3/s; what further corrections still change is less than 0.1.
#[test]
fn a_published_looped_network() {
    let links = vec![
        link(0, 1, square(0.4)),
        link(0, 2, square(0.6)),
        link(1, 2, square(0.1)),
        link(1, 3, square(0.5)),
        link(2, 3, square(0.7)),
    ];
    let n = Network { given: vec![None, None, None, Some(0.0)], inflow: vec![47.0], links };
    let s = solved(&n);
    for (f, printed) in s.flows.iter().zip([25.833, 21.167, 0.337]) {
        assert!((f - printed).abs() < 0.1, "{:?}", s.flows);
    }
    assert!((s.throughput - 47.0).abs() < 1e-9);
    // Round both loops nothing is left.
    let h = |i: usize, r: f64| r * s.flows[i] * s.flows[i].abs();
    assert!((h(0, 0.4) + h(2, 0.1) - h(1, 0.6)).abs() < 1e-6);
    assert!((h(3, 0.5) - h(4, 0.7) - h(2, 0.1)).abs() < 1e-6);
}

/// "Hardy Cross Example", Lesson 11: Pipe Networks (lecture notes, vdoc.tips/hardy-cross-example.html): two loops with a
/// shared pipe, h = r Q |Q|, 10 in at A, 4 out at C, 4 at E, 2 at F. Printed after its third round, the last corrections
/// 0.00: AB 6.53, BE 3.85, ED 3.47 and DA 3.47 against the loop, BC 2.68, CF 1.32 and FE 3.32 against the loop. Printed
/// to a hundredth, corrections rounded as well.
#[test]
fn a_published_network_of_two_loops_that_has_settled() {
    let [a, b, c, d, e, f] = [0, 1, 2, 3, 4, 5];
    let pipes = [
        (a, b, 1.0, 6.53),
        (b, e, 2.0, 3.85),
        (d, e, 3.0, 3.47),
        (a, d, 3.0, 3.47),
        (b, c, 10.0, 2.68),
        (f, c, 5.0, 1.32),
        (e, f, 3.0, 3.32),
    ];
    let links = pipes.iter().map(|(from, to, r, _)| link(*from, *to, square(*r))).collect();
    let mut given = vec![None; 6];
    given[0] = Some(0.0);
    let s = solved(&Network { given, inflow: vec![0.0, 0.0, -4.0, 0.0, -4.0, -2.0], links });
    for (flow, (.., printed)) in s.flows.iter().zip(&pipes) {
        assert!((flow - printed).abs() < 0.01, "{:?}", s.flows);
    }
    assert!((s.throughput - 10.0).abs() < 1e-9);
}

/// A network of three loops: E. Maurer, vignette of the R package "hydraulics" (edm44.github.io/hydraulics, 5 March 2024),
/// its network with fixed friction factors. Ten pipes, 0.08 m3/s in at one corner, 0.02, 0.02 and 0.04 out at three nodes;
/// resistances in m/(m3/s)2 and flows in m3/s as printed there, to four decimals, after three rounds of corrections. The
/// same rounds done here give what is printed; after many more they agree with the solver, which is then within 0.00025 of
/// what is printed.
#[test]
fn a_published_network_of_three_loops() {
    let pipes = [
        (0, 1, 159.7828, 0.0383),
        (1, 2, 535.9666, 0.0383),
        (2, 3, 669.9582, 0.0232),
        (3, 4, 669.9582, -0.0258),
        (4, 0, 535.9666, -0.0417),
        (3, 5, 2430.5356, 0.0090),
        (5, 6, 207.7883, 0.0041),
        (6, 4, 2430.5356, -0.0159),
        (2, 7, 2430.5356, 0.0151),
        (7, 5, 207.7883, -0.0049),
    ];
    // Pipes round each loop, with the direction in which the loop takes them; flows to begin with as given there.
    let loops: [&[(usize, f64)]; 3] = [
        &[(0, 1.0), (1, 1.0), (2, 1.0), (3, 1.0), (4, 1.0)],
        &[(3, -1.0), (5, 1.0), (6, 1.0), (7, 1.0)],
        &[(2, -1.0), (8, 1.0), (9, 1.0), (5, -1.0)],
    ];
    let corrected = |rounds: usize| {
        let mut q = [0.04, 0.04, 0.02, -0.02, -0.04, 0.0, 0.0, -0.02, 0.02, 0.0];
        for _ in 0..rounds {
            // All corrections of a round from the flows before it.
            let before: [f64; 10] = q;
            for turn in loops {
                let head: f64 = turn.iter().map(|(i, way)| way * pipes[*i].2 * before[*i] * before[*i].abs()).sum();
                let slope: f64 = turn.iter().map(|(i, _)| 2.0 * pipes[*i].2 * before[*i].abs()).sum();
                turn.iter().for_each(|(i, way)| q[*i] -= way * head / slope);
            }
        }
        q
    };
    for (q, pipe) in corrected(3).iter().zip(&pipes) {
        assert!((q - pipe.3).abs() <= 0.5001e-4, "{q} {}", pipe.3);
    }
    let links = pipes.iter().map(|(a, b, k, _)| link(*a, *b, square(*k))).collect();
    let mut given = vec![None; 8];
    given[0] = Some(0.0);
    let s = solved(&Network { given, inflow: vec![0.0, 0.0, 0.0, -0.04, 0.0, 0.0, -0.02, -0.02], links });
    for ((f, q), pipe) in s.flows.iter().zip(corrected(500)).zip(&pipes) {
        assert!((f - q).abs() < 1e-9 && (f - pipe.3).abs() < 2.5e-4, "{f} {q} {}", pipe.3);
    }
    assert!((s.throughput - 0.08).abs() < 1e-9);
}

#[test]
fn no_path_is_an_answer() {
    let n = Network {
        given: vec![None; 3],
        inflow: Vec::new(),
        links: vec![link(0, 1, law(1.0, 1.0)), link(1, 2, law(1.0, 1.0))],
    };
    let s = solved(&n);
    assert_eq!((s.flows.as_slice(), s.throughput), (&[0.0, 0.0][..], 0.0));
    assert_eq!(s.pressures, [None, None, None]);
    // One opening only: the pressure is everywhere that of the opening.
    let s = solved(&Network { given: vec![Some(3.0), None, None], ..n.clone() });
    assert_eq!(s.flows, [0.0, 0.0]);
    // Two openings, and an island beside.
    let links = vec![link(0, 1, law(1.0, 0.0)), link(2, 3, law(1.0, 0.0))];
    let s = solved(&Network { given: vec![Some(3.0), Some(1.0), None, None], inflow: Vec::new(), links });
    assert!((s.flows[0] - 2.0).abs() < 1e-12 && s.flows[1] == 0.0 && s.pressures[2].is_none());
}

#[test]
fn what_makes_no_sense_is_said() {
    let bad = |given: Vec<Option<f64>>, links: Vec<Link>| solve(&Network { given, inflow: Vec::new(), links }, None);
    assert!(bad(vec![Some(f64::NAN), Some(0.0)], vec![link(0, 1, law(1.0, 1.0))]).is_err());
    assert!(bad(vec![Some(1.0), Some(0.0)], vec![link(0, 7, law(1.0, 1.0))]).is_err());
    assert!(bad(vec![Some(1.0), Some(0.0)], vec![link(0, 1, law(f64::INFINITY, 1.0))]).is_err());
}

/// A grid of bays and rows with random laws, some links left out; openings along the bottom and the top.
fn grid(seed: u64, bays: u32, rows: u32, driven: bool) -> Network {
    let mut r = Seeded(seed);
    let n = bays * rows;
    let at = |x: u32, y: u32| y * bays + x;
    let mut links = Vec::new();
    for y in 0..rows {
        for x in 0..bays {
            for (there, to) in [(x + 1 < bays, at(x + 1, y)), (y + 1 < rows, at(x, y + 1))] {
                if there && r.next() > 0.15 {
                    let (a, c, b) = (
                        10f64.powf(1.0 + 3.0 * r.next()),
                        10f64.powf(1.0 + 3.0 * r.next()),
                        10f64.powf(2.0 + 4.0 * r.next()),
                    );
                    let law = Law {
                        friction: [Friction { laminar: a, turbulent: c }, Friction::default()],
                        square: [b, b * (0.5 + r.next())],
                        screen: None,
                    };
                    links.push(Link {
                        from: at(x, y),
                        to,
                        law,
                        drive: if driven { 0.3 * (r.next() - 0.3) } else { 0.0 },
                    });
                }
            }
        }
    }
    let mut given = vec![None; n as usize];
    for x in 0..bays {
        for (y, p) in [(0, 1.0), (rows - 1, 0.0)] {
            given.push(Some(p));
            let outside = u32::try_from(given.len() - 1).unwrap();
            links.push(link(outside, at(x, y), law(20.0, 1e4)));
        }
    }
    Network { given, inflow: Vec::new(), links }
}

/// So many cases, with failures kept beside this file and tried again first: the default looks for a `src/lib.rs` above the
/// test's file, and finds none.
fn kept(own: u32) -> ProptestConfig {
    let beside = FileFailurePersistence::WithSource("proptest-regressions");
    ProptestConfig { failure_persistence: Some(Box::new(beside)), ..cases::cases(own) }
}

/// The failures that are kept beside this file are found.
#[test]
fn kept_failures_are_read() {
    let config = kept(1);
    let read = config.failure_persistence.unwrap().load_persisted_failures2(Some(file!()));
    assert!(!read.is_empty());
}

/// A network whose losses go with the square of the flow alone.
fn one_power(mut n: Network) -> Network {
    n.links.iter_mut().for_each(|l| l.law.friction = [Friction::default(); 2]);
    n
}

/// Networks in which one refinement left an imbalance of up to 6e-9 of the flow: one more link of small resistance between
/// nodes whose other links lose much.
#[test]
fn networks_of_very_unlike_links_balance() {
    let mut worst = 0.0_f64;
    for seed in [269_469, 458_395, 797_674] {
        for driven in [false, true] {
            let closed = grid(seed, 5, 8, driven);
            for closed in [closed.clone(), one_power(closed)] {
                for (from, to) in (0..40).map(|k| (k, (k * 7 + 3) % 40)).filter(|(a, b)| a != b) {
                    let mut open = closed.clone();
                    open.links.push(link(from, to, square(1.0)));
                    let (a, b) = (solve(&closed, None).unwrap(), solve(&open, None).unwrap());
                    worst = worst.max(a.imbalance).max(b.imbalance);
                    if !driven {
                        assert!(b.throughput >= a.throughput * (0.75 - 1e-9));
                    }
                }
            }
        }
    }
    assert!(worst < 1e-9, "{worst}");
}

proptest! {
    #![proptest_config(kept(60))]

    /// Opening one more link between two fixed pressures never lowers what flows through, where all losses go with one
    /// power n of the flow (Calvert and Keady, Journal of the Australian Mathematical Society B 35, 1993, 1); where powers
    /// are mixed it may, but never by more than a quarter.
    ///
    /// Why: let C(Q) be the least sum of the links' integrals of loss over flow, among all flows that carry Q from one
    /// pressure to the other. A further link can only lower C at each Q, as it may stay empty. With one power C is
    /// proportional to Q^(n+1) and the pressure is P = dC/dQ, proportional to C at Q = 1: a lower C, the same P, a higher
    /// Q; so too where a link loses more in one direction. With powers between 1 and 2 each link has 2 c <= q dp <= 3 c,
    /// so 2 C <= P Q <= 3 C, and D = P Q - C, the greatest of P Q - C(Q) over all Q, lies between P Q / 2 and 2 P Q / 3. D
    /// cannot fall when C does, thus P Q after >= 3/2 D after >= 3/2 D before >= 3/4 P Q before.
    #[test]
    fn opening_a_link_never_lowers_the_flow(seed in 0u64..1_000_000, from in 0u32..40, to in 0u32..40, r in 1.0f64..1e5) {
        prop_assume!(from != to);
        for (closed, law, lowered) in [
            (one_power(grid(seed, 5, 8, false)), square(r), 1e-9),
            (grid(seed, 5, 8, false), law(r, r), 0.25),
        ] {
            let mut open = closed.clone();
            open.links.push(link(from, to, law));
            let (before, after) = (solved(&closed).throughput, solved(&open).throughput);
            prop_assert!(after >= before * (1.0 - lowered), "{before} {after}");
        }
    }

    /// A network and its mirror image flow alike; so does one whose links are drawn the other way round.
    #[test]
    fn mirrored_networks_flow_alike(seed in 0u64..1_000_000) {
        let n = grid(seed, 4, 6, true);
        let turned = Network {
            links: n.links.iter().map(|l| Link {
                from: l.to, to: l.from, drive: -l.drive, law: Law { square: [l.law.square[1], l.law.square[0]], ..l.law },
            }).collect(),
            ..n.clone()
        };
        let (a, b) = (solved(&n), solved(&turned));
        for (f, g) in a.flows.iter().zip(&b.flows) {
            prop_assert!((f + g).abs() <= 1e-8 * a.throughput.max(1e-6), "{f} {g}");
        }
    }

    /// A solution from any start is the same: the laws grow, so there is one.
    #[test]
    fn the_start_does_not_matter(seed in 0u64..1_000_000, far in -5.0f64..5.0) {
        let n = grid(seed, 4, 6, true);
        let a = solved(&n);
        let b = solve(&n, Some(&vec![far; n.links.len()])).unwrap();
        for (f, g) in a.flows.iter().zip(&b.flows) {
            prop_assert!((f - g).abs() <= 1e-8 * a.throughput.max(1e-6), "{f} {g}");
        }
    }
}

/// A bridge whose ways begin with one power and end with the other: opening its middle lowers what flows through. Closed,
/// either way carries 2 m + 4 m^2 = 1, together (sqrt 5 - 1) / 2. Open wide, both middle nodes are at 1/2 and 1/4 + 1 / (2
/// sqrt 2) flows. So what holds for one power does not for two.
#[test]
fn a_bridge_of_two_powers_carries_less_when_opened() {
    let ways =
        vec![link(0, 1, square(4.0)), link(0, 2, law(2.0, 0.0)), link(1, 3, law(2.0, 0.0)), link(2, 3, square(4.0))];
    let closed = between(4, 1.0, 0.0, ways);
    let mut open = closed.clone();
    open.links.push(link(1, 2, law(1e-6, 0.0)));
    let (closed, open) = (solved(&closed).throughput, solved(&open).throughput);
    assert!((closed - (5.0_f64.sqrt() - 1.0) / 2.0).abs() < 1e-9, "{closed}");
    assert!((open - (0.25 + 0.5 * std::f64::consts::FRAC_1_SQRT_2)).abs() < 1e-5, "{open}");
}

/// Ten random networks with their flows, for a numerical library of others (`.ci/check-airflow.py`).
#[test]
fn networks_for_another_library() {
    let mut all = Vec::new();
    for seed in 0..10 {
        let n = grid(7 + seed, 4, 5, seed % 2 == 1);
        let s = solved(&n);
        let links: Vec<_> = n
            .links
            .iter()
            .zip(&s.flows)
            .map(|(l, f)| {
                let k = l.law.friction[0];
                serde_json::json!({
                    "from": l.from, "to": l.to, "drive": l.drive, "laminar": k.laminar, "turbulent": k.turbulent,
                    "forward": l.law.square[0], "backward": l.law.square[1], "flow": f,
                })
            })
            .collect();
        all.push(serde_json::json!({ "given": n.given, "pressures": s.pressures, "links": links }));
    }
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join("airflow-networks.json");
    std::fs::write(path, serde_json::to_string_pretty(&all).unwrap()).unwrap();
    assert_eq!(all.len(), 10);
}

/// A room with a low and a high opening alike, heated by a fixed power, while wind presses on the high one. Buoyancy drives
/// the air up, the wind down: Li and Delsante, Natural ventilation induced by combined wind and thermal forces, Building and
/// Environment 36 (2001), 59 to 71 (the case; its equations from memory, derived anew below).
struct Room {
    /// Pa more on the high opening.
    wind: f64,
}

impl Room {
    const OUTSIDE: f64 = 283.15;
    const POWER: f64 = 500.0;
    const HEAT: f64 = 1006.0;
    const HEIGHT: f64 = 3.0;
    const GRAVITY: f64 = 9.80665;
    /// Pa (s/kg)^2 of each opening.
    const LOSS: f64 = 40.0;

    /// The steady flows by hand, kg/s, up above zero. With dT = E / (c m) and a density that goes with 1 / T the balance
    /// 2 K m^2 = g h rho dT / (T + dT) - W is, upward, 2 K c T m^3 + 2 K E m^2 + W c T m + (W - g h rho) E = 0: it grows with
    /// m, so it has one root. Downward W and the last term change their signs: two roots or none, of which the greater one
    /// stands and the lesser one does not, as less flow there makes the room warmer and the flow less again.
    fn by_hand(&self) -> Vec<f64> {
        let push = Self::GRAVITY * Self::HEIGHT * density(Self::OUTSIDE);
        let (k, e, ct, w) = (2.0 * Self::LOSS, Self::POWER, Self::HEAT * Self::OUTSIDE, self.wind);
        let up = |m: f64| k * ct * m.powi(3) + k * e * m * m + w * ct * m + (w - push) * e;
        let down = |m: f64| k * ct * m.powi(3) + k * e * m * m - w * ct * m + (push - w) * e;
        let root = |f: &dyn Fn(f64) -> f64, (mut a, mut b): (f64, f64)| {
            assert!(f(a) < 0.0 && f(b) > 0.0);
            for _ in 0..200 {
                let m = (a + b) / 2.0;
                if f(m) < 0.0 { a = m } else { b = m }
            }
            (a + b) / 2.0
        };
        let mut all = vec![root(&up, (0.0, 10.0))];
        // The least of the downward cubic, where its derivative is none.
        let least = (-k * e + (k * e * k * e + 3.0 * k * ct * w * ct).sqrt()) / (3.0 * k * ct);
        if down(least) < 0.0 {
            all.push(-root(&down, (least, 10.0)));
        }
        all
    }
}

impl Warming for Room {
    /// Temperature, and what passes the low and the high opening, inward.
    type Flow = (Vec<f64>, Vec<f64>);

    fn flow(&mut self, temperatures: Vec<f64>, _: f64) -> Result<Self::Flow, Trouble> {
        let drive = (density(Self::OUTSIDE) - density(temperatures[0])) * Self::GRAVITY * -Self::HEIGHT;
        let law = Law { square: [Self::LOSS; 2], ..Law::default() };
        // The room's pressure is that at the low opening's height.
        let links = vec![Link { from: 1, to: 0, law, drive: 0.0 }, Link { from: 2, to: 0, law, drive }];
        let network = Network { given: vec![None, Some(0.0), Some(self.wind)], inflow: Vec::new(), links };
        Ok((temperatures, solve(&network, None)?.flows))
    }
    fn temperatures<'f>(&self, flow: &'f Self::Flow) -> &'f [f64] {
        &flow.0
    }
    fn through<'f>(&self, flow: &'f Self::Flow) -> &'f [f64] {
        &flow.1
    }
    fn warmed(&self, flow: &Self::Flow) -> Vec<f64> {
        vec![Self::OUTSIDE + Self::POWER / (Self::HEAT * flow.1[0].abs().max(1e-6))]
    }
    fn turned(&self, flow: &Self::Flow) -> Vec<f64> {
        self.warmed(flow)
    }
}

#[test]
fn both_answers_of_wind_against_buoyancy_are_found() {
    let mut counts = Vec::new();
    for wind in [0.0, 0.2, 0.4, 0.8, 1.6, 3.2] {
        let mut room = Room { wind };
        let by_hand = room.by_hand();
        let begin = beginnings(Room::OUTSIDE, Room::OUTSIDE + 60.0, &[0], 3);
        let found = follow(&mut room, begin).unwrap();
        assert!(found.unsettled.is_empty(), "{wind}: {:?}", found.unsettled);
        let flows: Vec<f64> = found.answers.iter().map(|a| a.flow.1[0]).collect();
        assert_eq!(flows.len(), by_hand.len(), "{wind} Pa: {flows:?}, by hand {by_hand:?}");
        for q in &by_hand {
            assert!(flows.iter().any(|f| (f / q - 1.0).abs() < 1e-5), "{wind} Pa: {flows:?}, by hand {by_hand:?}");
        }
        // A cold day begins with the wind, a hot one with the warm air.
        for a in &found.answers {
            let down = a.flow.1[0] < 0.0;
            assert!(!a.begun.iter().any(|b| b == if down { "hot" } else { "cold" }) || by_hand.len() == 1);
        }
        let begun: usize = found.answers.iter().map(|a| a.begun.len()).sum();
        assert_eq!(begun, 2 + 3 + found.answers.len());
        counts.push(by_hand.len());
    }
    assert_eq!(counts.first(), Some(&1));
    assert_eq!(counts.last(), Some(&2));
}
