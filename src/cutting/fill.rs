//! Board after board: the longest piece that is left, with the best that fits beside it.

use super::price::{best_fill, by_worth};
use super::{Classes, Pattern, Yard};

/// A plan, board by board: each takes the longest piece that is left and what is worth most beside it, from the stock
/// that is then worth most for its cost.
pub fn fill(yard: &Yard, classes: &Classes, values: &[u64], steps: u64) -> Vec<Pattern> {
    let mut left = classes.counts.clone();
    let order = by_worth(&classes.sizes, values);
    let mut all = Vec::new();
    let mut first = 0;
    loop {
        while left.get(first) == Some(&0) {
            first += 1;
        }
        let Some(size) = classes.sizes.get(first).copied() else { break };
        let Some(pattern) = best_with(yard, classes, values, &order, &left, (first, size), steps) else { break };
        // As many boards like this one as there are pieces for.
        let times = pattern.takes.iter().map(|(i, n)| left.get(*i).copied().unwrap_or(0) / n).min().unwrap_or(0).max(1);
        for (i, n) in &pattern.takes {
            if let Some(l) = left.get_mut(*i) {
                *l = l.saturating_sub(n * times);
            }
        }
        for _ in 0..times {
            all.push(pattern.clone());
        }
    }
    all
}

fn best_with(
    yard: &Yard,
    classes: &Classes,
    values: &[u64],
    order: &[usize],
    left: &[u32],
    (first, size): (usize, u64),
    steps: u64,
) -> Option<Pattern> {
    let most = |i: usize| {
        let n = left.get(i).copied().unwrap_or(0);
        if i == first { n.saturating_sub(1) } else { n }
    };
    let mut best: Option<(u64, Pattern)> = None;
    for s in (0..yard.stock.len()).filter(|s| yard.room(*s) >= size) {
        let rest = best_fill(&classes.sizes, values, order, &most, yard.room(s) - size, steps);
        let worth = rest.value.saturating_add(values.get(first).copied().unwrap_or(0));
        let mut takes = rest.takes;
        match takes.iter_mut().find(|(i, _)| *i == first) {
            Some((_, n)) => *n += 1,
            None => takes.push((first, 1)),
        }
        takes.sort_unstable();
        let better = best.as_ref().is_none_or(|(w, p)| {
            u128::from(worth) * u128::from(yard.cost(p.stock)) > u128::from(*w) * u128::from(yard.cost(s))
        });
        if better {
            best = Some((worth, Pattern { stock: s, takes }));
        }
    }
    best.map(|(_, p)| p)
}
