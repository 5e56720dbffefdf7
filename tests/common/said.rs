//! What a plan says, to be compared with what another one says.
#![allow(dead_code, reason = "each test file uses its own part of this module")]

use airlath::check::{self, Finding};
use airlath::scene::{Building, Detail, PartSource, QuantityRecord};

use super::plans::plan;

/// Everything that a plan says in slope coordinates.
#[derive(Clone)]
pub struct Said {
    /// Names of landings with the places of their fasteners.
    pub landings: Vec<(String, Vec<f64>)>,
    /// Names of pieces with their ends and heights.
    pub pieces: Vec<(String, [f64; 3])>,
    pub findings: Vec<Finding>,
    /// Verdicts of parts that no finding names, with what was not checked and why, and the scope.
    pub rest: Vec<String>,
    pub quantities: Vec<QuantityRecord>,
    /// Figures of the air: what and in which cases, least, likely and greatest.
    pub air: Vec<(String, Vec<f64>)>,
    pub fingerprint: String,
    pub driving: String,
    /// World places of the landings.
    pub world: Vec<[f64; 3]>,
}

pub fn said(text: &str) -> Said {
    let plan = plan(text);
    let context = plan.context();
    let results = check::run(&context);
    let building = Building::new(&context, &results, Detail::Plain);
    let scene = building.scene(&results);
    let mut world = Vec::new();
    building
        .walk_landings(&mut |l| {
            world.push(l.place.in_world);
            Ok(())
        })
        .unwrap();
    let (mut landings, mut pieces) = (Vec::new(), Vec::new());
    for on in &context.slopes {
        for l in &on.lattice.landings {
            let places = on.lattice.fasteners_of(l).iter().flat_map(|f| [f.x, f.y]).collect();
            landings.push((context.landing_name(on, l), places));
        }
        pieces.extend(on.lattice.pieces.iter().map(|p| (p.name.clone(), [p.x.0, p.x.1, p.y])));
    }
    let mut rest = vec![scene.header.scope.clone()];
    for r in &results {
        rest.push(format!("{} {:?} {:?}, {} left out", r.check.name, r.verdict, r.reason, r.left_out.len()));
    }
    let (fingerprint, driving) = (scene.header.fingerprint.clone(), scene.header.driving.clone());
    let quantities = scene.quantities.clone();
    let ranges = scene.header.air.iter().flat_map(|a| a.ranges.clone());
    let figure = |(low, likely, high): (f64, Vec<f64>, f64)| [vec![low], likely, vec![high]].concat();
    let air =
        ranges.map(|r| (format!("{} {} {}", r.figure, r.low_case, r.high_case), figure((r.low, r.likely, r.high))));
    let air = air.collect();
    let findings = results.into_iter().flat_map(|r| r.findings).collect();
    Said { landings, pieces, findings, rest, quantities, air, fingerprint, driving, world }
}

pub fn near(a: &[f64], b: &[f64], within: f64) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() <= within)
}

/// What a finding measured: counts, lengths and shares.
fn measured(f: &Finding) -> Vec<f64> {
    f.evidence.iter().flat_map(|e| [e.found.value(), e.limit.map_or(0.0, |l| l.value())]).collect()
}

/// Two plans say the same, of every place and of the whole roof.
pub fn same(a: &Said, b: &Said, within: f64, what: &str) {
    same_places(a, b, within, what);
    same_in_all(a, b, within, what);
}

/// Two plans say the same of every place: names and verdicts letter for letter, numbers within a tolerance, metres.
pub fn same_places(a: &Said, b: &Said, within: f64, what: &str) {
    assert_eq!(a.landings.len(), b.landings.len(), "{what}");
    for (p, q) in a.landings.iter().zip(&b.landings) {
        assert_eq!(p.0, q.0, "{what}");
        assert!(near(&p.1, &q.1, within), "{what}: {p:?} and {q:?}");
    }
    assert_eq!(a.pieces.len(), b.pieces.len(), "{what}");
    for (p, q) in a.pieces.iter().zip(&b.pieces) {
        assert!(p.0 == q.0 && near(&p.1, &q.1, within), "{what}: {p:?} and {q:?}");
    }
    let short = |f: &Finding| (f.check, f.verdict, f.parts.clone(), f.stands_for);
    let (of_a, of_b): (Vec<_>, Vec<_>) =
        (a.findings.iter().map(short).collect(), b.findings.iter().map(short).collect());
    assert_eq!(of_a, of_b, "{what}");
    for (p, q) in a.findings.iter().zip(&b.findings) {
        let numbers = |f: &Finding| {
            let mut all = f.place.map_or_else(Vec::new, |p| p.at.to_vec());
            all.extend(measured(f));
            all
        };
        assert!(near(&numbers(p), &numbers(q), within), "{what}: {p:?} and {q:?}");
    }
}

/// Two plans say the same of the whole roof: what was checked, figures of the air, counts, lengths, areas, masses.
fn same_in_all(a: &Said, b: &Said, within: f64, what: &str) {
    assert_eq!(a.rest, b.rest, "{what}");
    assert_eq!(a.air.len(), b.air.len(), "{what}");
    for (p, q) in a.air.iter().zip(&b.air) {
        // Solved to six digits and more.
        let size = 1.0 + p.1.iter().copied().fold(0.0, f64::max);
        assert!(p.0 == q.0 && near(&p.1, &q.1, 1e-5 * size), "{what}: {p:?} and {q:?}");
    }
    let rows = |s: &Said| s.quantities.iter().map(|q| (q.kind.clone(), q.size.clone(), q.count)).collect::<Vec<_>>();
    assert_eq!(rows(a), rows(b), "{what}");
    for (p, q) in a.quantities.iter().zip(&b.quantities) {
        let numbers = |q: &QuantityRecord| [q.length, q.area, q.mass].map(|v| v.unwrap_or(0.0));
        // Sums of many parts.
        let size = 1.0 + numbers(p).into_iter().fold(0.0, f64::max);
        assert!(near(&numbers(p), &numbers(q), within * size), "{what}: {p:?} and {q:?}");
    }
}
