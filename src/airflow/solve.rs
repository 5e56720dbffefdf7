//! Newton's method on flows and pressures together.
//!
//! Each step linearises every link's law about its flow; what is left is one symmetric positive definite system for the
//! pressures, solved by faer's sparse Cholesky factorisation (Todini and Pilati 1988 do so for water networks). After the
//! first step the flows balance in every node, whatever the step's length. As every law grows with the flow, the true
//! flows are where a convex function is least, and each step goes downhill; a search along it takes care that it does not
//! overshoot. So the method cannot fail by wandering; a count of steps guards against numbers beyond arithmetic.

use faer::Side;
use faer::linalg::solvers::SolveCore;
use faer::sparse::linalg::solvers::{Llt, SymbolicLlt};
use faer::sparse::{Argsort, Pair, SparseColMat, SymbolicSparseColMat};
use faer::{Conj, MatMut};

use super::network::Network;
use crate::quantity::list::number;

/// Flows and pressures.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Flow of each link, kg/s, along its direction.
    pub flows: Vec<f64>,
    /// Pressure of each node, Pa; `None` for one that is joined with no opening.
    pub pressures: Vec<Option<f64>>,
    /// How many steps were taken.
    pub steps: usize,
    /// Largest imbalance of a node over the throughput.
    pub imbalance: f64,
    /// Largest error of a link's law over the pressures that drive the air.
    pub residual: f64,
    /// What flows through the network in all, kg/s: what enters at nodes of given pressure, and what is fed in.
    pub throughput: f64,
}

/// Why there is no solution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// A law, a pressure or a link's end is no number or points nowhere.
    Senseless,
    /// The linear system could not be factorised.
    Singular,
    /// The steps were used up.
    NotConverged,
}

impl std::fmt::Display for Trouble {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Trouble::Senseless => "a law or a pressure is no number",
            Trouble::Singular => "the linear system could not be solved",
            Trouble::NotConverged => "it did not settle",
        })
    }
}

/// The most steps; sound networks need ten or so.
const MOST_STEPS: usize = 100;
/// A solution is an answer when no law errs by more than this share of what drives the air.
pub const EXACT: f64 = 1e-11;
/// The most rounds of solving for what is left of the balance, and what may be left, as a share of the largest flow.
const MOST_ROUNDS: usize = 8;
const BALANCED: f64 = 1e-15;
/// From how many links at the most a typical flow is taken.
const SAMPLED: usize = 32;
/// A flow of less than this share of the largest one, and flows that all are less than this share of a typical one, are
/// what rounding leaves of nothing.
const NOTHING: f64 = 1e-12;
/// Good enough where rounding keeps the steps from getting further.
const ROUNDED: f64 = 1e-8;

/// What the solutions of networks of the same links between the same nodes share: which node is which unknown, where each
/// link's weight goes, and the order of elimination.
pub struct Plan {
    /// Whether each node's pressure is given.
    given: Vec<bool>,
    /// Both ends of each link.
    ends: Vec<(u32, u32)>,
    reached: Vec<bool>,
    /// Number of the unknown of each node that has one.
    unknown: Vec<Option<usize>>,
    unknowns: usize,
    pattern: Option<Pattern>,
}

impl Plan {
    /// The plan of a network.
    ///
    /// # Errors
    /// See [`Trouble`].
    pub fn of(network: &Network) -> Result<Plan, Trouble> {
        let nodes = network.given.len();
        let sound = |l: &super::Link| (l.from as usize) < nodes && (l.to as usize) < nodes && l.from != l.to;
        if !network.links.iter().all(sound) {
            return Err(Trouble::Senseless);
        }
        let reached = network.reached();
        let mut unknown = vec![None; nodes];
        let mut unknowns = 0;
        for (i, u) in unknown.iter_mut().enumerate() {
            if reached.get(i) == Some(&true) && matches!(network.given.get(i), Some(None)) {
                *u = Some(unknowns);
                unknowns += 1;
            }
        }
        let given = network.given.iter().map(Option::is_some).collect();
        let ends = network.links.iter().map(|l| (l.from, l.to)).collect();
        let mut plan = Plan { given, ends, reached, unknown, unknowns, pattern: None };
        if unknowns > 0 {
            plan.pattern = Some(plan.make_pattern()?);
        }
        Ok(plan)
    }

    /// Whether a network has the same links between the same nodes.
    fn fits(&self, network: &Network) -> bool {
        self.given.iter().copied().eq(network.given.iter().map(Option::is_some))
            && self.ends.iter().copied().eq(network.links.iter().map(|l| (l.from, l.to)))
    }

    /// Whether a link can carry a flow at all.
    fn live(&self, from: u32) -> bool {
        self.reached.get(from as usize) == Some(&true)
    }

    fn unknown(&self, node: u32) -> Option<usize> {
        self.unknown.get(node as usize).copied().flatten()
    }

    /// Places of the matrix' lower half in the order in which [`System::step`] fills them.
    fn make_pattern(&self) -> Result<Pattern, Trouble> {
        let mut places = Vec::new();
        for (from, to) in self.ends.iter().filter(|(from, _)| self.live(*from)) {
            let (a, b) = (self.unknown(*from), self.unknown(*to));
            places.extend([a, b].into_iter().flatten().map(|i| Pair { row: i, col: i }));
            if let (Some(a), Some(b)) = (a, b) {
                places.push(Pair { row: a.max(b), col: a.min(b) });
            }
        }
        let (symbolic, order) = SymbolicSparseColMat::try_new_from_indices(self.unknowns, self.unknowns, &places)
            .map_err(|_| Trouble::Singular)?;
        let plan = SymbolicLlt::try_new(symbolic.as_ref(), Side::Lower).map_err(|_| Trouble::Singular)?;
        Ok(Pattern { symbolic, order, plan })
    }
}

/// Solves a network, from flows near the solution where they are known. A network without openings, or one that nothing
/// drives, has the answer that nothing flows.
///
/// # Errors
/// See [`Trouble`].
pub fn solve(network: &Network, near: Option<&[f64]>) -> Result<Solution, Trouble> {
    solve_with(&Plan::of(network)?, network, near, EXACT)
}

/// The same by the plan of an earlier network of the same links between the same nodes, until no law errs by more than a
/// share of what drives the air: [`EXACT`] for an answer, more on the way to one.
///
/// # Errors
/// See [`Trouble`]; a plan of another network is senseless.
pub fn solve_with(plan: &Plan, network: &Network, near: Option<&[f64]>, within: f64) -> Result<Solution, Trouble> {
    let system = System::of(plan, network)?;
    let links = &network.links;
    let drive = system.drive;
    if plan.unknowns == 0 && !links.iter().any(|l| system.live(l)) || drive <= 0.0 && network.inflow.is_empty() {
        return Ok(system.still());
    }
    let typical = system.typical();
    let least = typical * 1e-7;
    let mut flows = match near {
        Some(n) if n.len() == links.len() && n.iter().all(|f| f.is_finite()) => n.to_vec(),
        _ => vec![0.0; links.len()],
    };
    let losses_at = |flows: &[f64]| -> Vec<(f64, f64)> {
        links.iter().zip(flows).map(|(l, f)| if system.live(l) { l.law.loss(*f) } else { (0.0, 0.0) }).collect()
    };
    // To begin with every link is taken as linear, with the resistance it has at the typical flow.
    let mut losses = match near {
        Some(_) => losses_at(&flows),
        None => links.iter().map(|l| (0.0, l.law.loss(typical).0 / typical)).collect(),
    };
    let mut residual = f64::INFINITY;
    for step in 1..=MOST_STEPS {
        let mut weights = Vec::with_capacity(links.len());
        let mut targets = Vec::with_capacity(links.len());
        for (l, (f, (loss, slope))) in links.iter().zip(flows.iter().zip(&losses)) {
            if !system.live(l) {
                weights.push(0.0);
                targets.push(0.0);
                continue;
            }
            // Where next to nothing flows a law may be as flat as zero.
            let steep = if f.abs() < least { slope.max(l.law.loss(least).1) } else { *slope }.max(f64::MIN_POSITIVE);
            weights.push(1.0 / steep);
            targets.push(*f + (l.drive - loss) / steep);
        }
        let (pressures, next) = system.step(&weights, &targets)?;
        if next.iter().any(|f| !f.is_finite()) {
            return Err(Trouble::Singular);
        }
        let push: Vec<f64> =
            links.iter().map(|l| system.at(&pressures, l.from) - system.at(&pressures, l.to) + l.drive).collect();
        let mut onward = losses_at(&next);
        // Along a direction whose flows balance, the derivative of the convex function needs no pressures but the given
        // ones; those of this step do. The first step may begin where the flows do not balance.
        let length = if step == 1 {
            1.0
        } else {
            let slope = |losses: &[(f64, f64)]| -> f64 {
                let along = flows.iter().zip(&next).zip(losses.iter().zip(&push));
                along.map(|((f, n), (loss, push))| (loss.0 - push) * (n - f)).sum()
            };
            let between = |t: f64| {
                let there: Vec<f64> = flows.iter().zip(&next).map(|(f, n)| f + t * (n - f)).collect();
                slope(&losses_at(&there))
            };
            search(slope(&losses), slope(&onward), between)
        };
        if length < 1.0 {
            flows.iter_mut().zip(&next).for_each(|(f, n)| *f += length * (n - *f));
            onward = losses_at(&flows);
        } else {
            flows = next;
        }
        losses = onward;
        // The largest error of a law, over the largest loss of a link or what drives the air.
        let (error, scale) = losses
            .iter()
            .zip(&push)
            .zip(links)
            .filter(|(_, l)| system.live(l))
            .fold((0.0_f64, drive), |(error, scale), ((loss, push), _)| {
                (error.max((push - loss.0).abs()), scale.max(loss.0.abs()))
            });
        let before = residual;
        residual = if scale > 0.0 { error / scale } else { error };
        if residual <= within || (residual <= ROUNDED && residual >= before) {
            let most = through(&flows);
            let nothing = if most < NOTHING * typical { f64::INFINITY } else { NOTHING * most };
            flows.iter_mut().filter(|f| f.abs() < nothing).for_each(|f| *f = 0.0);
            return Ok(system.solution(flows, &pressures, step, residual));
        }
    }
    Err(Trouble::NotConverged)
}

/// The largest of some flows.
fn through(flows: &[f64]) -> f64 {
    flows.iter().map(|f| f.abs()).fold(0.0, f64::max)
}

/// How far to go along a step: all the way, unless the convex function rises again steeply before its end. Its slope at
/// the step's begin and end, and between.
fn search(begin: f64, end: f64, between: impl Fn(f64) -> f64) -> f64 {
    if begin >= 0.0 || end <= -0.5 * begin {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..40 {
        let t = 0.5 * (low + high);
        let slope = between(t);
        if slope.abs() <= -0.3 * begin {
            return t;
        }
        if slope > 0.0 {
            high = t;
        } else {
            low = t;
        }
    }
    0.5 * (low + high)
}

/// The linear system of a network by its plan.
struct System<'n> {
    network: &'n Network,
    plan: &'n Plan,
    /// Largest difference of given pressures, and all drives: the scale of errors.
    drive: f64,
}

/// The pattern of the lower half of the matrix with its factorisation's plan.
struct Pattern {
    symbolic: SymbolicSparseColMat<usize>,
    order: Argsort<usize>,
    plan: SymbolicLlt<usize>,
}

impl<'n> System<'n> {
    fn of(plan: &'n Plan, network: &'n Network) -> Result<System<'n>, Trouble> {
        let nodes = network.given.len();
        let sound = |l: &super::Link| l.drive.is_finite() && l.law.loss(1.0).0.is_finite();
        let inflow = &network.inflow;
        if !plan.fits(network)
            || !network.links.iter().all(sound)
            || !network.given.iter().flatten().all(|p| p.is_finite())
            || inflow.len() > nodes
            || !inflow.iter().all(|f| f.is_finite())
        {
            return Err(Trouble::Senseless);
        }
        let given = network.given.iter().flatten();
        let (low, high) = given.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(*p), b.max(*p)));
        let pushed = network.links.iter().map(|l| l.drive.abs()).fold(0.0, f64::max);
        Ok(System { network, plan, drive: (high - low).max(0.0).max(pushed) })
    }

    /// Whether a link can carry a flow at all.
    fn live(&self, link: &super::Link) -> bool {
        self.plan.live(link.from)
    }

    fn unknown(&self, node: u32) -> Option<usize> {
        self.plan.unknown(node)
    }

    fn given(&self, node: u32) -> f64 {
        self.network.given.get(node as usize).copied().flatten().unwrap_or(0.0)
    }

    fn at(&self, pressures: &[f64], node: u32) -> f64 {
        self.unknown(node).and_then(|u| pressures.get(u).copied()).unwrap_or_else(|| self.given(node))
    }

    /// Pressures and flows, these `target + weight (p_from - p_to)`, that balance in every node.
    fn step(&self, weights: &[f64], targets: &[f64]) -> Result<(Vec<f64>, Vec<f64>), Trouble> {
        let along = |flows: &mut [f64], pressures: &[f64], given: f64| {
            for ((f, w), l) in flows.iter_mut().zip(weights).zip(&self.network.links) {
                let at = |n: u32| match self.unknown(n) {
                    Some(u) => pressures.get(u).copied().unwrap_or(0.0),
                    None => given * self.given(n),
                };
                *f += w * (at(l.from) - at(l.to));
            }
        };
        let mut flows = targets.to_vec();
        along(&mut flows, &vec![0.0; self.plan.unknowns], 1.0);
        let Some(pattern) = &self.plan.pattern else { return Ok((Vec::new(), flows)) };
        let mut values = Vec::new();
        for (l, w) in self.network.links.iter().zip(weights).filter(|(l, _)| self.live(l)) {
            let (a, b) = (self.unknown(l.from), self.unknown(l.to));
            values.extend([a, b].into_iter().flatten().map(|_| *w));
            if a.is_some() && b.is_some() {
                values.push(-w);
            }
        }
        let matrix = SparseColMat::new_from_argsort(pattern.symbolic.clone(), &pattern.order, &values)
            .map_err(|_| Trouble::Singular)?;
        let factors = Llt::try_new_with_symbolic(pattern.plan.clone(), matrix.as_ref(), Side::Lower)
            .map_err(|_| Trouble::Singular)?;
        let mut pressures = vec![0.0; self.plan.unknowns];
        // Once for the answer, and again for what rounding leaves of the balance: where links of very unlike weights meet, once
        // more is not always enough.
        let mut left = f64::INFINITY;
        for round in 0..MOST_ROUNDS {
            let mut right = self.balance(&flows);
            let now = right.iter().map(|r| r.abs()).fold(0.0, f64::max);
            if round >= 2 && (now <= BALANCED * through(&flows) || now > 0.5 * left) {
                break;
            }
            left = now;
            let n = right.len();
            factors.solve_in_place_with_conj(Conj::No, MatMut::from_column_major_slice_mut(&mut right, n, 1));
            along(&mut flows, &right, 0.0);
            pressures.iter_mut().zip(&right).for_each(|(p, r)| *p += r);
        }
        Ok((pressures, flows))
    }

    /// What flows into each node of unknown pressure more than out of it.
    fn balance(&self, flows: &[f64]) -> Vec<f64> {
        let mut net = vec![0.0; self.plan.unknowns];
        let mut add = |node: u32, flow: f64| {
            if let Some(n) = self.unknown(node).and_then(|u| net.get_mut(u)) {
                *n += flow;
            }
        };
        for (l, f) in self.network.links.iter().zip(flows).filter(|(l, _)| self.live(l)) {
            add(l.from, -f);
            add(l.to, *f);
        }
        for (node, f) in self.network.inflow.iter().enumerate() {
            add(number(node), *f);
        }
        net
    }

    /// A flow that half the drive would push through a typical link: the middle one by size of links evenly taken.
    fn typical(&self) -> f64 {
        let links = &self.network.links;
        let taken = links.iter().step_by(links.len().div_ceil(SAMPLED).max(1));
        let mut all: Vec<f64> = taken.filter(|l| self.live(l)).map(|l| flow_at(&l.law, 0.5 * self.drive)).collect();
        all.retain(|f| f.is_finite() && *f > 0.0);
        all.sort_by(f64::total_cmp);
        let fed = self.network.inflow.iter().map(|f| f.abs()).fold(0.0, f64::max);
        all.get(all.len() / 2).copied().unwrap_or(1.0).max(fed * 0.1).max(1e-30)
    }

    fn still(&self) -> Solution {
        let network = self.network;
        let level = network.given.iter().flatten().copied().next().unwrap_or(0.0);
        let pressures = self.plan.reached.iter().map(|r| r.then_some(level)).collect();
        let flows = vec![0.0; network.links.len()];
        Solution { flows, pressures, steps: 0, imbalance: 0.0, residual: 0.0, throughput: 0.0 }
    }

    fn solution(&self, flows: Vec<f64>, pressures: &[f64], steps: usize, residual: f64) -> Solution {
        let nodes = self.plan.unknown.len();
        let mut net = self.network.inflow.clone();
        net.resize(nodes, 0.0);
        for (l, f) in self.network.links.iter().zip(&flows) {
            if let Some(n) = net.get_mut(l.from as usize) {
                *n -= f;
            }
            if let Some(n) = net.get_mut(l.to as usize) {
                *n += f;
            }
        }
        let fed: f64 = self.network.inflow.iter().filter(|f| **f > 0.0).sum();
        let entering = |(g, n): (&Option<f64>, &f64)| if g.is_some() { (-n).max(0.0) } else { 0.0 };
        let throughput = fed + self.network.given.iter().zip(&net).map(entering).sum::<f64>();
        let worst = |(u, n): (&Option<usize>, &f64)| if u.is_some() { n.abs() } else { 0.0 };
        let imbalance = self.plan.unknown.iter().zip(&net).map(worst).fold(0.0, f64::max);
        let shown = (0..nodes)
            .map(|i| {
                let node = u32::try_from(i).ok()?;
                (self.plan.reached.get(i) == Some(&true)).then(|| self.at(pressures, node))
            })
            .collect();
        Solution {
            flows,
            pressures: shown,
            steps,
            imbalance: if throughput > 0.0 { imbalance / throughput } else { imbalance },
            residual,
            throughput,
        }
    }
}

/// The flow at which a law takes a pressure, to a factor of two: enough to begin with.
fn flow_at(law: &super::Law, pressure: f64) -> f64 {
    let mut m = 1e-9;
    for _ in 0..100 {
        if law.loss(m).0 >= pressure {
            break;
        }
        m *= 2.0;
    }
    m
}
