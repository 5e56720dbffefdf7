//! The linear program of all patterns, solved on its dual side: prices of pieces such that no board is worth more than it
//! costs, and the wanted pieces together are worth most. Rows (patterns) are added as they are found to be broken.

use microlp::{ComparisonOp, OptimizationDirection, Problem, Solution, SolveOutcome, Variable};

use super::price::{Prices, SCALE, best_patterns, dearest, least_cost};
use super::{Classes, Effort, Pattern, Yard};

/// Prices with what they prove, and the patterns that were found on the way.
pub struct Solved {
    /// The best prices.
    pub prices: Prices,
    /// Patterns.
    pub patterns: Vec<Pattern>,
}

/// The solution of a program that has one; `None` where the library gives up.
pub fn solution(outcome: Result<SolveOutcome, microlp::Error>) -> Option<Solution> {
    outcome.ok()?.into_solution().ok()
}

/// Prices in whole numbers, rounded down.
pub fn whole(prices: impl Iterator<Item = f64>) -> Vec<u64> {
    prices.map(|p| if p.is_finite() && p > 0.0 { (p * SCALE).floor() as u64 } else { 0 }).collect()
}

/// What the wanted pieces are worth.
fn worth_of(classes: &Classes, values: &[u64]) -> u128 {
    classes.counts.iter().zip(values).map(|(n, v)| u128::from(*n) * u128::from(*v)).sum()
}

/// Prices in proportion to length: the bound that no wood can be sawn twice.
fn by_length(yard: &Yard, classes: &Classes) -> Prices {
    let values = classes.sizes.clone();
    let worth = (0..yard.stock.len())
        .map(|s| (yard.room(s).max(1), yard.cost(s).max(1)))
        .max_by(|a, b| (u128::from(a.0) * u128::from(b.1)).cmp(&(u128::from(b.0) * u128::from(a.1))))
        .unwrap_or((1, 1));
    let bound = least_cost(worth_of(classes, &values), worth);
    Prices { values, worth, bound }
}

/// Solves the program for classes of fixed counts.
pub fn solve(yard: &Yard, classes: &Classes, effort: &Effort) -> Solved {
    let mut solved = Solved { prices: by_length(yard, classes), patterns: Vec::new() };
    if classes.sizes.len() > effort.lengths {
        // Too many lengths: shortened to a grid they become few, and what the short ones cost the true ones cost too.
        if let Some((short, of)) = shortened(classes, effort.lengths) {
            let rough = rows(yard, &short, effort);
            if let Some(rough) = rough
                && rough.prices.bound > solved.prices.bound
            {
                let values = of.iter().map(|s| rough.prices.values.get(*s).copied().unwrap_or(0)).collect();
                solved.prices = Prices { values, ..rough.prices };
            }
        }
        return solved;
    }
    if let Some(exact) = rows(yard, classes, effort) {
        if exact.prices.bound >= solved.prices.bound {
            solved.prices = exact.prices;
        }
        solved.patterns = exact.patterns;
    }
    solved
}

/// Classes shortened to at most so many, and the short class of each.
fn shortened(classes: &Classes, most: usize) -> Option<(Classes, Vec<usize>)> {
    let (long, short) = (*classes.sizes.first()?, *classes.sizes.last()?);
    let step = (long - short).div_ceil(u64::try_from(most).ok()?.max(2) - 1).max(1);
    let mut few = Classes { sizes: Vec::new(), counts: Vec::new() };
    let mut of = Vec::with_capacity(classes.sizes.len());
    for (size, count) in classes.sizes.iter().zip(&classes.counts) {
        let cell = (size - short) / step;
        let down = short + cell * step;
        if few.sizes.last() == Some(&down) {
            if let Some(n) = few.counts.last_mut() {
                *n += count;
            }
        } else {
            few.sizes.push(down);
            few.counts.push(*count);
        }
        of.push(few.sizes.len() - 1);
    }
    Some((few, of))
}

fn rows(yard: &Yard, classes: &Classes, effort: &Effort) -> Option<Solved> {
    let top = yard.stock.iter().map(|s| s.cost).max()?.max(1) as f64;
    let cost = |s: usize| yard.cost(s) as f64 / top;
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let mut vars: Vec<Variable> = Vec::new();
    let mut patterns: Vec<Pattern> = Vec::new();
    for (i, (size, count)) in classes.sizes.iter().zip(&classes.counts).enumerate() {
        let stock = yard.cheapest(*size)?;
        vars.push(problem.add_var(f64::from(*count), (0.0, cost(stock))));
        for s in 0..yard.stock.len() {
            let n = u32::try_from(yard.room(s) / (*size).max(1)).unwrap_or(u32::MAX).min(*count);
            if n > 0 {
                patterns.push(Pattern { stock: s, takes: vec![(i, n)] });
            }
        }
    }
    let row = |p: &Pattern| -> Vec<(Variable, f64)> {
        p.takes.iter().filter_map(|(i, n)| Some((*vars.get(*i)?, f64::from(*n)))).collect()
    };
    for p in &patterns {
        problem.add_constraint(row(p), ComparisonOp::Le, cost(p.stock));
    }
    let mut current = solution(problem.solve())?;
    let mut best: Option<Prices> = None;
    'rows: for _ in 0..effort.rows {
        let values = whole(vars.iter().map(|v| current.var_value(*v)));
        let found = best_patterns(
            yard,
            &classes.sizes,
            &values,
            &|i| classes.counts.get(i).copied().unwrap_or(0),
            effort.pattern_steps,
        );
        let worth = dearest(yard, &found);
        let bound = least_cost(worth_of(classes, &values), worth);
        let target = (current.objective() * top - 1e-6 * top).ceil();
        if best.as_ref().is_none_or(|b| bound > b.bound) {
            best = Some(Prices { values, worth, bound });
        }
        // The program's own value never lies below the true one: once the bound reaches it, rounded up, all is proved.
        if best.as_ref().is_some_and(|b| yard.round_up(b.bound) as f64 >= target) {
            break;
        }
        let broken: Vec<Pattern> = found
            .into_iter()
            .filter(|(p, value, _)| *value as f64 / SCALE > cost(p.stock) * (1.0 + 1e-8) + 1e-9)
            .map(|(p, _, _)| p)
            .filter(|p| !patterns.contains(p))
            .collect();
        if broken.is_empty() {
            break;
        }
        for p in broken {
            let next = solution(current.add_constraint(row(&p), ComparisonOp::Le, cost(p.stock)));
            patterns.push(p);
            // Where the library gives up, what was found so far still holds.
            let Some(next) = next else { break 'rows };
            current = next;
        }
    }
    Some(Solved { prices: best?, patterns })
}
