//! Which statements about the air hold in the low, in the likely and in the high case.
//!
//! Aim: a reader sees at once what hangs on the uncertain coefficients and what does not. Reason: a range of flows alone does
//! not tell whether a conclusion stands. Limits: where a case has several answers a statement holds in it when it holds
//! in one of them; a case that was not solved holds nothing that rests on a flow.

use super::answers::{Answers, Solved};
use super::flow::Flow;
use super::rules::Comparison;
use super::space::{Cell, End, Space};
use crate::design::{AirSpec, Design};

/// A statement, and where it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Statement {
    /// In words.
    pub what: String,
    /// Low, likely and high.
    pub holds: [bool; 3],
    /// Whether it rests on a computed flow; without it holds in all three.
    pub of_flow: bool,
}

impl Statement {
    /// The cases in words.
    pub fn cases(&self) -> &'static str {
        match (self.of_flow, self.holds) {
            (false, _) => "in all three cases, as no flow is in it",
            (true, [true, true, true]) => "in all three cases",
            (true, [true, true, false]) => "in the low and the likely case, not in the high one",
            (true, [false, true, true]) => "in the likely and the high case, not in the low one",
            (true, [true, false, true]) => "in the low and the high case, not in the likely one",
            (true, [true, false, false]) => "in the low case only",
            (true, [false, true, false]) => "in the likely case only",
            (true, [false, false, true]) => "in the high case only",
            (true, [false, false, false]) => "in no case",
        }
    }
}

/// Vapour that comes from below over a whole space, kg/s, where the design states it.
pub fn vapour_from_below(space: &Space, air: &AirSpec) -> Option<f64> {
    let area: f64 = space.cells.iter().map(Cell::area).sum();
    Some(air.leak.as_ref()?.value.kg_per_m2_s() * area)
}

/// Everything that holds in one case or more.
pub fn statements(space: &Space, design: &Design, rules: &[Comparison], cases: &[Solved]) -> Vec<Statement> {
    let mut all = Vec::new();
    let mut plain = |what: String| all.push(Statement { what, holds: [true; 3], of_flow: false });
    let pockets = space.larger_pockets(design).len();
    if pockets > 0 {
        plain(format!("{pockets} pockets have no way for the air (no-air-path)"));
    }
    for c in rules.iter().filter(|c| c.applies) {
        for asked in c.asked.iter().filter(|a| !a.met) {
            plain(format!("{} is not met: {} (air-rules)", c.rule.word(), asked.what));
        }
    }
    let Some(air) = &design.air else { return all };
    let any = |f: &dyn Fn(&Flow, &Answers) -> bool| {
        let mut holds = [false; 3];
        for (h, case) in holds.iter_mut().zip(cases) {
            *h = case.found.iter().flatten().any(|(flow, a)| f(flow, a));
        }
        holds
    };
    let mut flow = |what: String, holds: [bool; 3]| {
        if holds.contains(&true) {
            all.push(Statement { what, holds, of_flow: true });
        }
    };
    let on_a_way = |c: &u32| space.way.get(*c as usize) == Some(&true);
    let slow = air.still.value.metres_per_second();
    let still = any(&|_, a| a.still.iter().any(on_a_way));
    flow(format!("air on its way is slower than {slow} m/s in some places (still-air)"), still);
    let inward = |f: &Flow, end: End| -> f64 {
        let through = space.openings.iter().zip(&f.openings).filter(|(o, _)| o.end == end);
        through.map(|(_, q)| q.max(0.0)).sum()
    };
    let down = any(&|f, _| inward(f, End::High) > inward(f, End::Low));
    flow("more air enters at the tops than at the eaves".to_owned(), down);
    if let Some(comes) = vapour_from_below(space, air) {
        let less = any(&|_, a| a.vapour.is_some_and(|v| v < comes));
        flow("the flow carries off less vapour than comes from below".to_owned(), less);
    }
    let mut several = [false; 3];
    for (h, case) in several.iter_mut().zip(cases) {
        *h = case.found.as_ref().is_ok_and(|all| all.len() > 1);
    }
    flow("there is more than one answer, by how the day began".to_owned(), several);
    all
}
