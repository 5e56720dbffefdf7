//! Which statements about the air hold in which of the solved cases.
//!
//! Aim: a reader sees at once what hangs on the uncertain coefficients and what does not. Reason: a range of flows alone does
//! not tell whether a conclusion stands. Limits: where a case has several answers a statement holds in it when it holds
//! in one of them; of a case that was not solved nothing is said that rests on a flow.

use super::answers::{Answers, Solved};
use super::flow::{Case, Flow};
use super::ranges::runs_down;
use super::rules::Comparison;
use super::space::{Cell, Space};
use crate::design::{AirSpec, Design};

/// A statement, and where it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct Statement {
    /// In words.
    pub what: String,
    /// The cases that it holds in.
    pub holds: Vec<Case>,
    /// The solved cases that it does not hold in.
    pub fails: Vec<Case>,
    /// The cases that did not settle, or not from every beginning.
    pub open: Vec<Case>,
    /// Whether it rests on a computed flow; without it holds in every case.
    pub of_flow: bool,
}

/// Cases in words, one after the other.
fn words(cases: &[Case]) -> String {
    cases.iter().map(|c| c.word()).collect::<Vec<_>>().join("; ")
}

/// "in all 5 cases", or which did not settle: `solved` of them did, those in `open` did not, or not from every beginning.
pub fn in_all(solved: usize, open: &[Case]) -> String {
    if open.is_empty() {
        format!("in all {solved} cases")
    } else {
        format!("in every answer found; not settled, or not from every beginning: {}", words(open))
    }
}

/// Cases that did not settle, or not from every beginning of a day.
pub fn unsettled(cases: &[Solved]) -> Vec<Case> {
    cases.iter().filter(|s| s.found.is_err() || !s.unsettled.is_empty()).map(|s| s.case).collect()
}

impl Statement {
    /// The cases in words.
    pub fn cases(&self) -> String {
        let (n, all) = (self.holds.len(), self.holds.len() + self.fails.len());
        match (self.of_flow, self.fails.is_empty()) {
            (false, _) => "in every case, as no flow is in it".to_owned(),
            (true, true) => in_all(n, &self.open),
            (true, false) => {
                let open = if self.open.is_empty() {
                    String::new()
                } else {
                    format!("; not settled, or not from every beginning: {}", words(&self.open))
                };
                if n <= self.fails.len() {
                    format!("in {n} of {all} cases ({}){open}", words(&self.holds))
                } else {
                    format!("in {n} of {all} cases, not in the others ({}){open}", words(&self.fails))
                }
            }
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
    let of = |keep: &dyn Fn(&Solved) -> bool| cases.iter().filter(|s| keep(s)).map(|s| s.case).collect::<Vec<_>>();
    let mut plain = |what: String| {
        let holds = of(&|_| true);
        all.push(Statement { what, holds, fails: Vec::new(), open: Vec::new(), of_flow: false });
    };
    let pockets = space.larger_pockets(design).len();
    if pockets > 0 {
        let how = if pockets == 1 { "1 pocket has".to_owned() } else { format!("{pockets} pockets have") };
        plain(format!("{how} no way for the air (no-air-path)"));
    }
    for c in rules.iter().filter(|c| c.applies) {
        for asked in c.asked.iter().filter(|a| !a.met) {
            plain(format!("{} is not met: {} (air-rules)", c.rule.word(), asked.what));
        }
    }
    let Some(air) = &design.air else { return all };
    let any = |f: &dyn Fn(&Flow, &Answers) -> bool, s: &Solved| s.found.iter().flatten().any(|(flow, a)| f(flow, a));
    let mut flow = |what: String, holds: &dyn Fn(&Solved) -> bool| {
        let (holds, fails) = (of(holds), of(&|s| s.found.is_ok() && !holds(s)));
        if !holds.is_empty() {
            all.push(Statement { what, holds, fails, open: unsettled(cases), of_flow: true });
        }
    };
    let on_a_way = |c: &u32| space.way.get(*c as usize) == Some(&true);
    let slow = air.still.value.metres_per_second();
    let still = |_: &Flow, a: &Answers| a.still.iter().any(on_a_way);
    flow(format!("air on its way is slower than {slow} m/s in some places (still-air)"), &|s| any(&still, s));
    let down = |f: &Flow, a: &Answers| a.volume > 0.0 && runs_down(space, f);
    flow("more air enters at the tops than at the eaves".to_owned(), &|s| any(&down, s));
    if let Some(comes) = vapour_from_below(space, air) {
        let less = |_: &Flow, a: &Answers| a.vapour.is_some_and(|v| v < comes);
        flow("the flow carries off less vapour than comes from below".to_owned(), &|s| any(&less, s));
    }
    let several = |s: &Solved| s.found.as_ref().is_ok_and(|all| all.len() > 1);
    flow("there is more than one answer, by how the day began".to_owned(), &several);
    all
}
