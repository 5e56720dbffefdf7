//! The plain rule, and small changes that never cost more.

use super::{Classes, Pattern, Yard};

/// Longest piece first, each from the first board that has room; a new board is of the longest stock.
pub fn longest_first(yard: &Yard, classes: &Classes) -> Vec<Pattern> {
    let Some(longest) = (0..yard.stock.len()).max_by_key(|s| (yard.room(*s), std::cmp::Reverse(yard.cost(*s)))) else {
        return Vec::new();
    };
    let room = yard.room(longest);
    let pieces: usize = classes.counts.iter().map(|n| usize::try_from(*n).unwrap_or(0)).sum();
    let mut left = Room::new(pieces, room);
    let mut boards: Vec<Pattern> = Vec::new();
    for (class, (size, count)) in classes.sizes.iter().zip(&classes.counts).enumerate() {
        for _ in 0..*count {
            let Some(at) = left.first_with(*size) else { break };
            left.take(at, *size);
            if at >= boards.len() {
                boards.push(Pattern { stock: longest, takes: Vec::new() });
            }
            if let Some(pattern) = boards.get_mut(at) {
                match pattern.takes.last_mut() {
                    Some((c, n)) if *c == class => *n += 1,
                    _ => pattern.takes.push((class, 1)),
                }
            }
        }
    }
    boards
}

/// Room left on boards, as a tree of the most room in each half, so that the first board with room is found at once.
struct Room {
    leaves: usize,
    most: Vec<u64>,
}

impl Room {
    fn new(boards: usize, room: u64) -> Room {
        let leaves = boards.next_power_of_two();
        Room { leaves, most: vec![room; 2 * leaves] }
    }

    fn at(&self, node: usize) -> u64 {
        self.most.get(node).copied().unwrap_or(0)
    }

    fn first_with(&self, size: u64) -> Option<usize> {
        if self.at(1) < size {
            return None;
        }
        let mut node = 1;
        while node < self.leaves {
            node = if self.at(2 * node) >= size { 2 * node } else { 2 * node + 1 };
        }
        Some(node - self.leaves)
    }

    fn take(&mut self, board: usize, size: u64) {
        let mut node = board + self.leaves;
        if let Some(m) = self.most.get_mut(node) {
            *m = m.saturating_sub(size);
        }
        while node > 1 {
            node /= 2;
            let most = self.at(2 * node).max(self.at(2 * node + 1));
            if let Some(m) = self.most.get_mut(node) {
                *m = most;
            }
        }
    }
}

/// Cuts what is on each board from the cheapest stock that is long enough.
pub fn cheaper_boards(yard: &Yard, classes: &Classes, patterns: &mut [Pattern]) {
    for p in patterns {
        if let Some(stock) = yard.cheapest(p.used(&classes.sizes))
            && yard.cost(stock) < yard.cost(p.stock)
        {
            p.stock = stock;
        }
    }
}

/// Takes one board for two where that costs no more: of equal cost, fewer boards.
pub fn fewer_boards(yard: &Yard, classes: &Classes, patterns: &mut Vec<Pattern>) {
    // Boards with most in them first, so that the order does not depend on how they were found.
    patterns.sort_by(|a, b| {
        b.used(&classes.sizes)
            .cmp(&a.used(&classes.sizes))
            .then_with(|| a.takes.cmp(&b.takes))
            .then(a.stock.cmp(&b.stock))
    });
    let room = (0..yard.stock.len()).map(|s| yard.room(s)).max().unwrap_or(0);
    let mut i = 0;
    while i < patterns.len() {
        // The emptiest board stands last: where it does not fit beside this one, none does.
        let least = patterns.last().map_or(0, |p| p.used(&classes.sizes));
        if patterns[i].used(&classes.sizes).saturating_add(least) > room {
            i += 1;
            continue;
        }
        let mut k = i + 1;
        while k < patterns.len() {
            let used = patterns[i].used(&classes.sizes).saturating_add(patterns[k].used(&classes.sizes));
            let paid = yard.cost(patterns[i].stock).saturating_add(yard.cost(patterns[k].stock));
            match yard.cheapest(used) {
                Some(stock) if yard.cost(stock) <= paid => {
                    let other = patterns.remove(k);
                    let one = &mut patterns[i];
                    one.stock = stock;
                    for (class, n) in other.takes {
                        match one.takes.iter_mut().find(|(c, _)| *c == class) {
                            Some((_, m)) => *m += n,
                            None => one.takes.push((class, n)),
                        }
                    }
                    one.takes.sort_unstable();
                }
                _ => k += 1,
            }
        }
        i += 1;
    }
}
