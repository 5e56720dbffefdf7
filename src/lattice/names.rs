//! Names that come from the drawing once and stay, whatever is found.
//!
//! Each part as it will lie takes the name of the drawn part that it shares most of its length with; one more than drawn
//! takes its lower neighbour's name with a letter.

use crate::solid::tolerance::SAME;
use crate::structure::letters;

/// Where a part lies: a stretch along its line or course, and how far across.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Low and high end, metres.
    pub along: (f64, f64),
    /// Place across, metres.
    pub across: f64,
}

/// Names of the parts as they will lie, in their order. `name` gives the name of a number; drawn parts count from 1.
pub fn carried(drawn: &[Span], now: &[Span], name: impl Fn(usize) -> String) -> Vec<String> {
    if drawn == now {
        return (1..=now.len()).map(name).collect();
    }
    // Pairs that share some length, the best first; each part and each name is given once.
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for (k, d) in drawn.iter().enumerate() {
        for (i, n) in now.iter().enumerate() {
            let shared = n.along.1.min(d.along.1) - n.along.0.max(d.along.0);
            if shared > SAME {
                pairs.push((shared - (n.across - d.across).abs(), k, i));
            }
        }
    }
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
    let mut numbers: Vec<Option<usize>> = vec![None; now.len()];
    let mut given = vec![false; drawn.len()];
    for (_, k, i) in pairs {
        if let (Some(slot @ None), Some(taken @ false)) = (numbers.get_mut(i), given.get_mut(k)) {
            *slot = Some(k + 1);
            *taken = true;
        }
    }
    let mut lower = 0;
    let mut more = std::collections::BTreeMap::new();
    numbers
        .into_iter()
        .map(|number| match number {
            Some(n) => {
                lower = n;
                name(n)
            }
            None => {
                let count = more.entry(lower).or_insert(0);
                *count += 1;
                format!("{}{}", name(lower), letters(*count))
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spans(ends: &[(f64, f64)]) -> Vec<Span> {
        ends.iter().map(|e| Span { along: *e, across: 0.0 }).collect()
    }

    fn names(drawn: &[(f64, f64)], now: &[(f64, f64)]) -> Vec<String> {
        carried(&spans(drawn), &spans(now), |n| format!("{n}"))
    }

    #[test]
    fn what_did_not_move_keeps_its_name() {
        let drawn = [(0.0, 4.0), (4.0, 8.0), (8.0, 10.0)];
        assert_eq!(names(&drawn, &drawn), ["1", "2", "3"]);
        // One in the middle is gone: nothing after it is renamed.
        assert_eq!(names(&drawn, &[(0.0, 4.0), (8.0, 10.0)]), ["1", "3"]);
        // One is divided in two, one more comes at the end.
        assert_eq!(
            names(&drawn, &[(0.0, 1.0), (1.0, 4.0), (4.0, 8.0), (8.0, 10.0), (10.0, 11.0)]),
            ["0a", "1", "2", "3", "3a"]
        );
        assert_eq!(names(&drawn, &[(0.5, 4.5), (4.5, 8.5), (8.5, 10.5)]), ["1", "2", "3"]);
        assert_eq!(names(&[], &[(0.0, 1.0), (1.0, 2.0)]), ["0a", "0b"]);
    }

    #[test]
    fn of_parts_side_by_side_the_nearer_keeps_the_name() {
        let side = |x: f64| Span { along: (0.0, 4.0), across: x };
        let names = |now: &[f64]| {
            let now: Vec<Span> = now.iter().map(|x| side(*x)).collect();
            carried(&[side(0.0), side(0.04)], &now, |n| format!("{n}"))
        };
        assert_eq!(names(&[0.01, 0.05]), ["1", "2"]);
        assert_eq!(names(&[0.05]), ["2"]);
        assert_eq!(names(&[-0.01]), ["1"]);
    }
}
