//! What a piece is worth: prices in whole numbers, the most that a board can be worth, and the bound that follows.

use super::{Pattern, Yard};

/// Prices are whole numbers about this large, so that rounding them down loses nothing that matters.
pub const SCALE: f64 = 1e9;

/// A price for each class, and what it proves.
#[derive(Clone, Debug)]
pub struct Prices {
    /// Price of each class.
    pub values: Vec<u64>,
    /// No board of stock `worth.1` is worth more than `worth.0`; no other stock is worth more for its cost.
    pub worth: (u64, u64),
    /// No plan for the wanted pieces costs less.
    pub bound: u64,
}

/// The most that pieces on one board are worth.
pub struct Best {
    /// The pieces.
    pub takes: Vec<(usize, u32)>,
    /// What they are worth.
    pub value: u64,
    /// Nothing that fits is worth more: `value` itself, unless the steps ran out.
    pub most: u64,
}

/// Classes in the order in which a search takes them: most worth for their size first, worthless ones left out.
pub fn by_worth(sizes: &[u64], values: &[u64]) -> Vec<usize> {
    let pair = |i: usize| (values.get(i).copied().unwrap_or(0), sizes.get(i).copied().unwrap_or(1).max(1));
    let mut order: Vec<usize> = (0..sizes.len()).filter(|i| pair(*i).0 > 0).collect();
    order.sort_by(|a, b| {
        let ((va, sa), (vb, sb)) = (pair(*a), pair(*b));
        (u128::from(vb) * u128::from(sa)).cmp(&(u128::from(va) * u128::from(sb))).then(a.cmp(b))
    });
    order
}

/// One level of a knapsack search.
struct Item {
    class: usize,
    size: u64,
    value: u64,
    most: u32,
}

struct Search {
    items: Vec<Item>,
    /// Smallest size from here on.
    least: Vec<u64>,
    taken: Vec<u32>,
    best: Vec<u32>,
    best_value: u64,
    steps: u64,
    ran_out: bool,
}

impl Search {
    fn above(&self, at: usize, left: u64) -> u64 {
        self.items.get(at).map_or(0, |i| {
            let bound = u128::from(left) * u128::from(i.value) / u128::from(i.size.max(1));
            u64::try_from(bound).unwrap_or(u64::MAX)
        })
    }

    fn go(&mut self, at: usize, left: u64, value: u64) {
        if value > self.best_value {
            self.best_value = value;
            self.best.clone_from(&self.taken);
        }
        let mut at = at;
        // Levels that take nothing need no call of their own.
        while at < self.items.len() {
            if self.least.get(at).is_none_or(|l| *l > left)
                || value.saturating_add(self.above(at, left)) <= self.best_value
            {
                return;
            }
            if self.steps == 0 {
                self.ran_out = true;
                return;
            }
            self.steps -= 1;
            let Some(item) = self.items.get(at) else { return };
            let (size, worth) = (item.size, item.value);
            let most = u32::try_from(left / size.max(1)).unwrap_or(u32::MAX).min(item.most);
            for n in (1..=most).rev() {
                self.taken[at] = n;
                self.go(at + 1, left - size * u64::from(n), value + worth * u64::from(n));
            }
            self.taken[at] = 0;
            at += 1;
        }
    }
}

/// The most that fits on a board with so much room: branch and bound, longest worth for size first.
/// `order` is [`by_worth`]; `most` says how many of each class may be taken.
pub fn best_fill(
    sizes: &[u64],
    values: &[u64],
    order: &[usize],
    most: &dyn Fn(usize) -> u32,
    room: u64,
    steps: u64,
) -> Best {
    let items: Vec<Item> = order
        .iter()
        .filter_map(|i| {
            let item = Item { class: *i, size: *sizes.get(*i)?, value: *values.get(*i)?, most: most(*i) };
            (item.most > 0 && item.size <= room && item.size > 0).then_some(item)
        })
        .collect();
    let mut least: Vec<u64> = items.iter().map(|i| i.size).collect();
    for i in (1..least.len()).rev() {
        least[i - 1] = least[i - 1].min(least[i]);
    }
    let n = items.len();
    let mut search = Search { items, least, taken: vec![0; n], best: vec![0; n], best_value: 0, steps, ran_out: false };
    let root = search.above(0, room);
    search.go(0, room, 0);
    let mut takes: Vec<(usize, u32)> =
        search.items.iter().zip(&search.best).filter(|(_, n)| **n > 0).map(|(i, n)| (i.class, *n)).collect();
    takes.sort_unstable();
    let most = if search.ran_out { root.max(search.best_value) } else { search.best_value };
    Best { takes, value: search.best_value, most }
}

/// The best pattern of every stock at these prices.
pub fn best_patterns(
    yard: &Yard,
    sizes: &[u64],
    values: &[u64],
    most: &dyn Fn(usize) -> u32,
    steps: u64,
) -> Vec<(Pattern, u64, u64)> {
    let order = by_worth(sizes, values);
    (0..yard.stock.len())
        .map(|s| {
            let best = best_fill(sizes, values, &order, most, yard.room(s), steps);
            (Pattern { stock: s, takes: best.takes }, best.value, best.most)
        })
        .collect()
}

/// The most worth for its cost: of all stocks the largest `most / cost`.
pub fn dearest(yard: &Yard, best: &[(Pattern, u64, u64)]) -> (u64, u64) {
    let pair = |(p, _, most): &(Pattern, u64, u64)| ((*most).max(1), yard.cost(p.stock).max(1));
    best.iter()
        .map(pair)
        .max_by(|a, b| (u128::from(a.0) * u128::from(b.1)).cmp(&(u128::from(b.0) * u128::from(a.1))))
        .unwrap_or((1, 1))
}

/// What goods of this worth cost at the least, when no board is worth more than `worth.0` for each `worth.1` it costs.
pub fn least_cost(worth_of_all: u128, worth: (u64, u64)) -> u64 {
    let cost = (worth_of_all.saturating_mul(u128::from(worth.1))).div_ceil(u128::from(worth.0.max(1)));
    u64::try_from(cost).unwrap_or(u64::MAX)
}
