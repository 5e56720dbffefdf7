//! Prints beams with their answers as JSON, one a line, for a check by a library of others (`.ci/check-beams.py`).
//!
//! Aim: the numbers of `capacity::beam` outside the program. Reason: an independent library must come to the same.
//! Limits: invented pieces from a fixed sequence of numbers.
#![allow(clippy::print_stdout, reason = "its output is its purpose")]

#[path = "../tests/common/seeded.rs"]
mod seeded;

use airlath::capacity::NotComputed;
use airlath::capacity::beam::{Answer, Beam, Holds, Load, Solver, Support};
use seeded::Seeded;

fn main() -> Result<(), NotComputed> {
    let mut sequence = Seeded(7);
    let mut solver = Solver::new();
    for number in 0..200 {
        // The first half has only supports that hold both ways.
        let one_way = number >= 100;
        let mut at = 0.4 * sequence.next();
        let mut supports = vec![Support { at, holds: Holds::Both }];
        for _ in 0..1 + sequence.below(12) {
            at += 0.2 + sequence.next();
            let holds = [Holds::Both, Holds::Down, Holds::Up][if one_way { sequence.below(3) } else { 0 }];
            supports.push(Support { at, holds });
        }
        if let Some(last) = supports.last_mut() {
            last.holds = Holds::Both;
        }
        let length = at + 0.4 * sequence.next();
        let mut loads = Vec::new();
        for _ in 0..1 + sequence.below(4) {
            let (a, b) = (length * sequence.next(), length * sequence.next());
            let force = 1000.0 * (sequence.next() - 0.5);
            loads.push(Load::Uniform { from: a.min(b), to: a.max(b), force });
            let (a, b) = (length * sequence.next(), length * sequence.next());
            let ends = (1000.0 * (sequence.next() - 0.5), 1000.0 * (sequence.next() - 0.5));
            loads.push(Load::Linear { from: a.min(b), to: a.max(b), force: ends });
            loads.push(Load::Point { at: length * sequence.next(), force: force / 2.0 });
        }
        let stiffness = 200.0 + 800.0 * sequence.next();
        let beam = Beam { length, supports: &supports, loads: &loads, stiffness };
        if solver.solve(&beam)? == Answer::Held {
            println!("{}", line(&beam, &solver));
        }
    }
    Ok(())
}

fn line(beam: &Beam<'_>, solver: &Solver) -> serde_json::Value {
    let supports: Vec<_> =
        beam.supports.iter().map(|s| serde_json::json!({"at": s.at, "holds": format!("{:?}", s.holds)})).collect();
    let loads: Vec<_> = beam
        .loads
        .iter()
        .map(|l| match *l {
            Load::Uniform { from, to, force } => {
                serde_json::json!({"from": from, "to": to, "left": force, "right": force})
            }
            Load::Linear { from, to, force: (left, right) } => {
                serde_json::json!({"from": from, "to": to, "left": left, "right": right})
            }
            Load::Point { at, force } => serde_json::json!({"at": at, "force": force}),
        })
        .collect();
    let places: Vec<f64> = (0..=20).map(|i| beam.length * f64::from(i) / 20.0).collect();
    let extremes = solver.extremes();
    serde_json::json!({
        "length": beam.length,
        "stiffness": beam.stiffness,
        "supports": supports,
        "loads": loads,
        "reactions": solver.reactions(),
        "at_supports": beam.supports.iter().map(|s| solver.deflection(s.at)).collect::<Vec<_>>(),
        "places": places,
        "deflections": places.iter().map(|x| solver.deflection(*x)).collect::<Vec<_>>(),
        "moments": places.iter().map(|x| solver.moment(*x)).collect::<Vec<_>>(),
        "moment_in": extremes.moment_in,
        "moment_out": extremes.moment_out,
        "deflection": extremes.deflection.max(extremes.end_deflection),
    })
}
