//! From the linear program to whole boards: its whole parts first, then a search that spends no more than a target allows.

use std::collections::BTreeMap;

use microlp::{ComparisonOp, OptimizationDirection, Problem, SolveOptions};

use super::price::{Prices, by_worth};
use super::program::{Solved, solution};
use super::{Classes, Effort, Pattern, Yard, fill};

/// Whole boards by the program's patterns: as a whole-number program over those patterns where they are few, else
/// rounded down; what is left over is filled board by board.
pub fn from_program(yard: &Yard, classes: &Classes, solved: &Solved, effort: &Effort) -> Vec<Pattern> {
    let Some(times) = whole_times(yard, classes, &solved.patterns) else {
        return fill::fill(yard, classes, &solved.prices.values, effort.pattern_steps / 40);
    };
    let mut left = classes.counts.clone();
    let mut all = Vec::new();
    for (pattern, n) in solved.patterns.iter().zip(times) {
        for _ in 0..n {
            // A pattern may hold more than is still wanted; then it gives what is.
            let takes: Vec<(usize, u32)> = pattern
                .takes
                .iter()
                .map(|(i, n)| (*i, (*n).min(left.get(*i).copied().unwrap_or(0))))
                .filter(|(_, n)| *n > 0)
                .collect();
            if takes.is_empty() {
                break;
            }
            for (i, n) in &takes {
                if let Some(l) = left.get_mut(*i) {
                    *l -= n;
                }
            }
            all.push(Pattern { stock: pattern.stock, takes });
        }
    }
    let rest = Classes { sizes: classes.sizes.clone(), counts: left };
    all.extend(fill::fill(yard, &rest, &solved.prices.values, effort.pattern_steps / 40));
    all
}

/// Branches that the whole-number program may take, and patterns up to which it is tried.
const BRANCHES: u64 = 60;
const FEW: usize = 400;

fn whole_times(yard: &Yard, classes: &Classes, patterns: &[Pattern]) -> Option<Vec<u32>> {
    let top = yard.stock.iter().map(|s| s.cost).max()?.max(1) as f64;
    let build = |whole: bool| {
        let mut problem = Problem::new(OptimizationDirection::Minimize);
        let vars: Vec<_> = patterns
            .iter()
            .map(|p| {
                let cost = yard.cost(p.stock) as f64 / top;
                let most = p.takes.iter().filter_map(|(i, n)| Some(classes.counts.get(*i)?.div_ceil(*n))).max();
                let most = most.unwrap_or(0);
                if whole {
                    problem.add_integer_var(cost, (0, i32::try_from(most).unwrap_or(i32::MAX)))
                } else {
                    problem.add_var(cost, (0.0, f64::from(most)))
                }
            })
            .collect();
        let mut rows: Vec<Vec<_>> = vec![Vec::new(); classes.counts.len()];
        for (p, var) in patterns.iter().zip(&vars) {
            for (i, n) in &p.takes {
                if let Some(row) = rows.get_mut(*i) {
                    row.push((*var, f64::from(*n)));
                }
            }
        }
        for (row, count) in rows.into_iter().zip(&classes.counts) {
            problem.add_constraint(row, ComparisonOp::Ge, f64::from(*count));
        }
        (problem, vars)
    };
    let whole = || {
        let (problem, vars) = build(true);
        let mut options = SolveOptions::default();
        options.node_limit = Some(BRANCHES);
        let found = solution(problem.solve_with(options))?;
        Some(vars.iter().map(|v| found.var_value(*v).round().clamp(0.0, 1e6) as u32).collect::<Vec<u32>>())
    };
    let down = || {
        let (problem, vars) = build(false);
        let found = solution(problem.solve())?;
        Some(vars.iter().map(|v| (found.var_value(*v) + 1e-6).floor().clamp(0.0, 1e6) as u32).collect::<Vec<u32>>())
    };
    if patterns.len() <= FEW { whole().or_else(down) } else { down() }
}

/// Patterns that are looked at for one board, and that are then tried.
const LOOKED_AT: u64 = 4_000;
const TRIED: usize = 24;
/// Pieces left up to which every board that was looked at is tried.
const FEW_PIECES: u32 = 12;
/// Pieces up to which whole plans are searched.
const SMALL: u32 = 500;

struct Search<'a> {
    yard: &'a Yard,
    classes: &'a Classes,
    values: &'a [u64],
    /// Most worth for its size first; what is worth nothing last.
    order: &'a [usize],
    worth: (u64, u64),
    left: Vec<u32>,
    plan: Vec<Pattern>,
    steps: u64,
    /// Nothing was left out so far.
    complete: bool,
    /// What was left where all was tried in vain, and with how much to waste.
    dead: BTreeMap<Vec<u32>, u128>,
}

/// What a search came to.
pub struct Searched {
    /// A plan that costs less than the one found before.
    pub better: Option<Vec<Pattern>>,
    /// No plan costs less than this.
    pub floor: u64,
}

/// A plan that costs less than `found`, if the steps find one, and what they prove on the way: a search that left nothing
/// out and found nothing raises the floor.
pub fn search(yard: &Yard, classes: &Classes, prices: &Prices, floor: u64, found: u64, effort: &Effort) -> Searched {
    let mut floor = floor;
    if classes.counts.iter().sum::<u32>() > SMALL {
        return Searched { better: None, floor };
    }
    let grain = yard.round_up(1);
    let span = u128::from(found.saturating_sub(grain).saturating_sub(floor));
    // The last one is the next better plan that there can be.
    let low = floor;
    let mut targets: Vec<u64> =
        (0..=4).map(|k| low.saturating_add(u64::try_from(span * k / 4).unwrap_or(u64::MAX))).collect();
    targets.dedup();
    // By the program's prices, and by length alone: where boards must come out full, prices tell pieces apart by little.
    let by_length = yard
        .stock
        .iter()
        .enumerate()
        .map(|(s, stock)| (yard.room(s), stock.cost.max(1)))
        .max_by(|a, b| (u128::from(a.0) * u128::from(b.1)).cmp(&(u128::from(b.0) * u128::from(a.1))));
    let rules = [Some((&prices.values, prices.worth)), by_length.map(|worth| (&classes.sizes, worth))];
    for target in targets.into_iter().filter(|t| *t < found) {
        for (values, worth) in rules.iter().flatten() {
            let mut order = by_worth(&classes.sizes, values);
            order.extend((0..classes.sizes.len()).filter(|i| values.get(*i).copied().unwrap_or(0) == 0));
            let all: u128 = classes.counts.iter().zip(*values).map(|(n, v)| u128::from(*n) * u128::from(*v)).sum();
            // What may be wasted, in worth times cost: no board's waste is negative, so none may waste more than all may.
            let budget = (u128::from(target) * u128::from(worth.0)).checked_sub(all * u128::from(worth.1));
            let mut complete = true;
            if let Some(budget) = budget {
                let mut search = Search {
                    yard,
                    classes,
                    values,
                    order: &order,
                    worth: *worth,
                    left: classes.counts.clone(),
                    plan: Vec::new(),
                    steps: effort.plan_steps,
                    complete: true,
                    dead: BTreeMap::new(),
                };
                if search.go(0, budget) {
                    return Searched { better: Some(search.plan), floor };
                }
                complete = search.complete;
            }
            if complete {
                // The next total that there can be; a target between two totals says no more than the lower one.
                floor = floor.max(yard.round_up(target.saturating_add(1)));
                break;
            }
        }
    }
    Searched { better: None, floor }
}

impl Search<'_> {
    fn go(&mut self, first: usize, budget: u128) -> bool {
        let mut first = first;
        while self.left.get(first) == Some(&0) {
            first += 1;
        }
        if first >= self.left.len() {
            return true;
        }
        if self.dead.get(&self.left).is_some_and(|tried| budget <= *tried) {
            return false;
        }
        let before = std::mem::replace(&mut self.complete, true);
        for (waste, pattern) in self.boards(first, budget) {
            if self.steps == 0 {
                self.complete = false;
                return false;
            }
            self.steps -= 1;
            for (i, n) in &pattern.takes {
                self.left[*i] -= n;
            }
            self.plan.push(pattern);
            if self.go(first, budget - waste) {
                return true;
            }
            if let Some(p) = self.plan.pop() {
                for (i, n) in &p.takes {
                    self.left[*i] += n;
                }
            }
        }
        if self.complete {
            self.dead.insert(self.left.clone(), budget);
        }
        self.complete &= before;
        false
    }

    /// Boards that hold the longest piece that is left, least waste first. A board with room for one more piece is left
    /// out, and one whose pieces come out of a cheaper one: what they do another does as well.
    fn boards(&mut self, first: usize, budget: u128) -> Vec<(u128, Pattern)> {
        let size = self.classes.sizes.get(first).copied().unwrap_or(0);
        let value = self.values.get(first).copied().unwrap_or(0);
        let mut all: Vec<(u128, Pattern)> = Vec::new();
        for s in (0..self.yard.stock.len()).filter(|s| self.yard.room(*s) >= size) {
            let full = u128::from(self.yard.cost(s)) * u128::from(self.worth.0);
            // Worth that the board must hold.
            let least = full.saturating_sub(budget).div_ceil(u128::from(self.worth.1.max(1)));
            let mut looked = LOOKED_AT.min(self.steps.max(1) * 40);
            let mut takes = Vec::new();
            let mut found: Vec<Filling> = Vec::new();
            self.left[first] -= 1;
            self.fillings(0, self.yard.room(s) - size, value, least, &mut takes, &mut found, &mut looked);
            found.retain(|f| self.is_full(f));
            self.left[first] += 1;
            self.complete &= looked > 0;
            for Filling { value, room, mut takes } in found {
                if self.yard.cheapest(self.yard.room(s) - room) != Some(s) {
                    continue;
                }
                match takes.iter_mut().find(|(i, _)| *i == first) {
                    Some((_, n)) => *n += 1,
                    None => takes.push((first, 1)),
                }
                takes.sort_unstable();
                let waste = full.saturating_sub(u128::from(value) * u128::from(self.worth.1));
                all.push((waste, Pattern { stock: s, takes }));
            }
        }
        all.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.takes.cmp(&b.1.takes)).then(a.1.stock.cmp(&b.1.stock)));
        all.dedup();
        if self.left.iter().sum::<u32>() > FEW_PIECES {
            self.complete &= all.len() <= TRIED;
            all.truncate(TRIED);
        }
        all
    }

    /// Whether no piece that is left fits beside these.
    fn is_full(&self, filling: &Filling) -> bool {
        let taken = |i: usize| filling.takes.iter().find(|(c, _)| *c == i).map_or(0, |(_, n)| *n);
        let fits = |(i, left): (usize, &u32)| *left > taken(i) && self.classes.sizes.get(i) <= Some(&filling.room);
        !self.left.iter().enumerate().any(fits)
    }

    #[allow(clippy::too_many_arguments, reason = "a recursion that carries its state")]
    fn fillings(
        &self,
        at: usize,
        room: u64,
        value: u64,
        least: u128,
        takes: &mut Vec<(usize, u32)>,
        found: &mut Vec<Filling>,
        looked: &mut u64,
    ) {
        if u128::from(value) >= least {
            found.push(Filling { value, room, takes: takes.clone() });
        }
        for k in at..self.order.len() {
            let i = self.order[k];
            let (size, worth) = (self.classes.sizes[i], self.values[i]);
            let reach = u128::from(value) + u128::from(room) * u128::from(worth) / u128::from(size.max(1));
            // Later ones are worth less for their size.
            if reach < least || *looked == 0 {
                return;
            }
            *looked -= 1;
            let most = self.left[i].min(u32::try_from(room / size.max(1)).unwrap_or(u32::MAX));
            for n in (1..=most).rev() {
                takes.push((i, n));
                self.fillings(
                    k + 1,
                    room - size * u64::from(n),
                    value + worth * u64::from(n),
                    least,
                    takes,
                    found,
                    looked,
                );
                takes.pop();
            }
        }
    }
}

/// What lies beside the longest piece of a board.
struct Filling {
    /// Worth of all, the longest with it.
    value: u64,
    /// Room that is left.
    room: u64,
    /// Class and count.
    takes: Vec<(usize, u32)>,
}
