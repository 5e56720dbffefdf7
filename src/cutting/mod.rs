//! Cutting boards: which pieces come out of which board, and where courses are divided so that fewest are bought.
//!
//! Aim: the cheapest boards for a list of pieces, with a proved lower bound beside the answer.
//! Reason: boards are the largest bill of a lattice, and a plan that says "at most one board too many, proved" can be
//! trusted where one that says "good" cannot.
//! Limits: lengths are whole numbers of any unit and costs whole numbers, so that what fits is never a matter of
//! rounding. A saw cut lies between neighbouring pieces of a board and behind the last one unless it ends with the
//! board. No offcut of an earlier board is used. Work stops after fixed counts of steps, never by the clock: equal
//! input gives equal output.
//! Nothing here knows a lattice.
//!
//! How: the linear program of all cutting patterns (P. C. Gilmore, R. E. Gomory, "A linear programming approach to the
//! cutting-stock problem", Operations Research 9, 1961) is solved on its dual side, pattern by pattern. Its prices give
//! a lower bound that is then reckoned again in whole numbers, free of rounding, and lead a search for the plan itself.

mod fill;
mod finish;
mod joints;
mod plain;
mod price;
mod program;
#[cfg(test)]
mod published;
#[cfg(test)]
mod tests;

pub use joints::{Block, Choice, Chosen, Piece, Place, Rules, Stretch, choose};

/// A board that can be bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stock {
    /// Its length.
    pub length: u64,
    /// What one costs; more than nothing.
    pub cost: u64,
}

/// What can be bought and how it is sawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Yard {
    /// The boards, of different lengths.
    pub stock: Vec<Stock>,
    /// Width of a saw cut.
    pub kerf: u64,
}

/// One board and what is cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Board {
    /// Which stock.
    pub stock: usize,
    /// Which pieces, by their place in the list, in the order in which they are cut from its end.
    pub pieces: Vec<usize>,
}

/// A whole plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// The boards.
    pub boards: Vec<Board>,
    /// What they cost together.
    pub cost: u64,
    /// No plan for these pieces costs less than this.
    pub bound: u64,
    /// What the plain rule would cost: longest piece first, each from the first board that has room, a new one always of
    /// the longest stock.
    pub plain_cost: u64,
    /// Pieces that no board is long enough for; they are in no board.
    pub too_long: Vec<usize>,
}

/// How far to search: counts of steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Rows that may be added to the linear program.
    pub rows: usize,
    /// Steps of a search for one pattern.
    pub pattern_steps: u64,
    /// Steps of the search for a whole plan, for one target.
    pub plan_steps: u64,
    /// Most different lengths for which the linear program is solved as it is.
    pub lengths: usize,
}

impl Effort {
    /// For a list that is worth a second or two.
    pub const FULL: Effort = Effort { rows: 600, pattern_steps: 40_000, plan_steps: 20_000, lengths: 160 };
}

/// Pieces as classes: equal lengths together, longest first.
#[derive(Clone, Debug)]
pub(crate) struct Classes {
    /// Length and one saw cut.
    pub sizes: Vec<u64>,
    /// How many are wanted.
    pub counts: Vec<u32>,
}

impl Classes {
    fn of(lengths: &[u64], kerf: u64) -> Classes {
        let mut sorted: Vec<u64> = lengths.iter().map(|l| l.saturating_add(kerf)).collect();
        sorted.sort_unstable_by(|a, b| b.cmp(a));
        let mut classes = Classes { sizes: Vec::new(), counts: Vec::new() };
        for size in sorted {
            if classes.sizes.last() == Some(&size) {
                if let Some(count) = classes.counts.last_mut() {
                    *count += 1;
                }
            } else {
                classes.sizes.push(size);
                classes.counts.push(1);
            }
        }
        classes
    }
}

/// A pattern: one board, and how many of each class come out of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Pattern {
    /// Which stock.
    pub stock: usize,
    /// Class and count, in the order of classes.
    pub takes: Vec<(usize, u32)>,
}

impl Pattern {
    fn used(&self, sizes: &[u64]) -> u64 {
        self.takes.iter().map(|(i, n)| sizes.get(*i).copied().unwrap_or(0).saturating_mul(u64::from(*n))).sum()
    }
}

/// What to add to the cost of every board so that of two plans the one with fewer boards costs less, however dear its
/// boards are: for plans of at most so many boards. Of as many boards the cheaper ones still cost less.
pub fn for_each_board(stock: &[Stock], boards: usize) -> u64 {
    let grain = Yard { stock: stock.to_vec(), kerf: 0 }.grain();
    let costs = || stock.iter().map(|s| s.cost);
    let apart = costs().max().unwrap_or(0) - costs().min().unwrap_or(0);
    let all = apart.saturating_mul(u64::try_from(boards).unwrap_or(u64::MAX));
    // A multiple of the grain keeps totals as far apart as they were.
    (all / grain).saturating_add(1).saturating_mul(grain)
}

impl Yard {
    /// Room on a board, its last saw cut included.
    pub(crate) fn room(&self, stock: usize) -> u64 {
        self.stock.get(stock).map_or(0, |s| s.length.saturating_add(self.kerf))
    }

    pub(crate) fn cost(&self, stock: usize) -> u64 {
        self.stock.get(stock).map_or(0, |s| s.cost)
    }

    /// The cheapest board with so much room; of equal cost the shortest.
    pub(crate) fn cheapest(&self, size: u64) -> Option<usize> {
        (0..self.stock.len())
            .filter(|s| self.room(*s) >= size)
            .min_by_key(|s| (self.cost(*s), self.stock.get(*s).map_or(0, |x| x.length)))
    }

    /// What every total is a multiple of.
    fn grain(&self) -> u64 {
        fn gcd(a: u64, b: u64) -> u64 {
            if b == 0 { a } else { gcd(b, a % b) }
        }
        self.stock.iter().map(|s| s.cost).fold(0, gcd).max(1)
    }

    /// The least total that is not below a bound.
    pub(crate) fn round_up(&self, bound: u64) -> u64 {
        bound.div_ceil(self.grain()).saturating_mul(self.grain())
    }

    pub(crate) fn total(&self, patterns: &[Pattern]) -> u64 {
        patterns.iter().map(|p| self.cost(p.stock)).sum()
    }
}

/// The cheapest boards for these lengths that the effort finds, and a proved bound.
pub fn cut(yard: &Yard, lengths: &[u64], effort: &Effort) -> Plan {
    let longest = yard.stock.iter().map(|s| s.length).max().unwrap_or(0);
    let too_long: Vec<usize> = (0..lengths.len()).filter(|i| lengths[*i] > longest).collect();
    let fit: Vec<u64> = lengths.iter().copied().filter(|l| *l <= longest).collect();
    let classes = Classes::of(&fit, yard.kerf);
    let plain = plain::longest_first(yard, &classes);
    let plain_cost = yard.total(&plain);
    let (patterns, bound) = best_patterns(yard, &classes, plain, effort);
    let boards = hand_out(yard, lengths, longest, &patterns);
    Plan { cost: yard.total(&patterns), boards, bound, plain_cost, too_long }
}

/// The best patterns that the effort finds, starting from a plan, and the bound.
pub(crate) fn best_patterns(
    yard: &Yard,
    classes: &Classes,
    plain: Vec<Pattern>,
    effort: &Effort,
) -> (Vec<Pattern>, u64) {
    let mut best = plain;
    plain::cheaper_boards(yard, classes, &mut best);
    if classes.sizes.is_empty() {
        return (best, 0);
    }
    let mut keep = |candidate: Vec<Pattern>| {
        let mut candidate = candidate;
        plain::cheaper_boards(yard, classes, &mut candidate);
        if yard.total(&candidate) < yard.total(&best) {
            best = candidate;
        }
    };
    let solved = program::solve(yard, classes, effort);
    for values in [&classes.sizes, &solved.prices.values] {
        keep(fill::fill(yard, classes, values, effort.pattern_steps / 40));
    }
    let mut floor = yard.round_up(solved.prices.bound);
    keep(finish::from_program(yard, classes, &solved, effort));
    // Each better plan is the mark for the next search, until none is found.
    loop {
        let found = yard.total(&best);
        if found <= floor {
            break;
        }
        let searched = finish::search(yard, classes, &solved.prices, floor, found, effort);
        floor = searched.floor;
        let Some(better) = searched.better else { break };
        best = better;
        plain::cheaper_boards(yard, classes, &mut best);
    }
    plain::fewer_boards(yard, classes, &mut best);
    (best, floor)
}

/// Gives the pieces of each length to the boards, in the order of the list, and puts the boards in the order in which
/// their first pieces stand in the list.
fn hand_out(yard: &Yard, lengths: &[u64], longest: u64, patterns: &[Pattern]) -> Vec<Board> {
    let fit: Vec<u64> = lengths.iter().copied().filter(|l| *l <= longest).collect();
    let classes = Classes::of(&fit, yard.kerf);
    let mut waiting: Vec<std::collections::VecDeque<usize>> = vec![Default::default(); classes.sizes.len()];
    for (i, length) in lengths.iter().enumerate() {
        let size = length.saturating_add(yard.kerf);
        if let Ok(class) = classes.sizes.binary_search_by(|s| size.cmp(s))
            && let Some(queue) = waiting.get_mut(class)
        {
            queue.push_back(i);
        }
    }
    let mut sorted: Vec<&Pattern> = patterns.iter().collect();
    sorted.sort_by(|a, b| a.takes.cmp(&b.takes).then(a.stock.cmp(&b.stock)));
    let mut boards: Vec<Board> = sorted
        .into_iter()
        .map(|p| {
            let mut pieces = Vec::new();
            for (class, n) in &p.takes {
                for _ in 0..*n {
                    pieces.extend(waiting.get_mut(*class).and_then(std::collections::VecDeque::pop_front));
                }
            }
            Board { stock: p.stock, pieces }
        })
        .collect();
    boards.sort_by_key(|b| b.pieces.iter().copied().min());
    boards
}
