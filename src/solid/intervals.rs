//! Sets of closed intervals on a line: what is left of a course between edges and openings.

/// Disjoint closed intervals in increasing order, metres.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Intervals(Vec<(f64, f64)>);

impl Intervals {
    /// One interval; empty where `high <= low`.
    pub fn one(low: f64, high: f64) -> Intervals {
        Intervals(if high > low { vec![(low, high)] } else { Vec::new() })
    }

    /// The intervals in order.
    pub fn as_slice(&self) -> &[(f64, f64)] {
        &self.0
    }

    /// From intervals in any order; those that meet are joined.
    pub fn union(mut parts: Vec<(f64, f64)>) -> Intervals {
        parts.retain(|(a, b)| b > a);
        parts.sort_by(|p, q| p.0.total_cmp(&q.0));
        let mut joined: Vec<(f64, f64)> = Vec::new();
        for (a, b) in parts {
            match joined.last_mut() {
                Some(last) if a <= last.1 => last.1 = last.1.max(b),
                _ => joined.push((a, b)),
            }
        }
        Intervals(joined)
    }

    /// What lies in both sets.
    pub fn intersection(&self, other: &Intervals) -> Intervals {
        let mut parts = Vec::new();
        for (a, b) in &self.0 {
            for (c, d) in &other.0 {
                if a.max(*c) < b.min(*d) {
                    parts.push((a.max(*c), b.min(*d)));
                }
            }
        }
        Intervals(parts)
    }

    /// What is left without the open interval from `low` to `high`.
    pub fn without(&self, low: f64, high: f64) -> Intervals {
        let mut parts = Vec::new();
        for (a, b) in &self.0 {
            if *b <= low || *a >= high {
                parts.push((*a, *b));
            } else {
                if *a < low {
                    parts.push((*a, low));
                }
                if *b > high {
                    parts.push((high, *b));
                }
            }
        }
        Intervals(parts)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cutting_and_joining() {
        let all = Intervals::one(0.0, 10.0);
        let cut = all.without(2.0, 3.0).without(9.0, 12.0);
        assert_eq!(cut.as_slice(), &[(0.0, 2.0), (3.0, 9.0)]);
        assert_eq!(Intervals::union(vec![(3.0, 9.0), (0.0, 2.0), (2.0, 3.0)]).as_slice(), &[(0.0, 9.0)]);
        assert_eq!(cut.intersection(&Intervals::one(1.0, 4.0)).as_slice(), &[(1.0, 2.0), (3.0, 4.0)]);
    }
}
