//! The corners of a slope from tape measures between them.

use crate::quantity::maths::apart;
use nalgebra::{DMatrix, DVector};

/// A measured distance between two corners (from 0), metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// One corner.
    pub a: usize,
    /// The other.
    pub b: usize,
    /// The distance.
    pub distance: f64,
}

/// Corners that fit the measures best.
#[derive(Clone, Debug, PartialEq)]
pub struct Corners {
    /// x and y, metres: the first stays where it is drawn, the first edge keeps its direction.
    pub at: Vec<(f64, f64)>,
    /// The largest difference between a measure and its fit, metres: which, and how much.
    pub worst: (usize, f64),
    /// Measures more than are needed.
    pub spare: usize,
}

/// Moves drawn corners until all distances fit best (least squares); `None` where the measures do not determine them.
pub fn corners(drawn: &[(f64, f64)], measures: &[Between]) -> Option<Corners> {
    let n = drawn.len();
    // The place and the turn of the whole are kept: the first corner, and the direction to the second.
    let unknowns = (2 * n).checked_sub(3)?;
    if measures.len() < unknowns || n < 3 {
        return None;
    }
    let (first, second) = (*drawn.first()?, *drawn.get(1)?);
    let length = apart(second, first);
    if length < 1e-6 {
        return None;
    }
    let along = ((second.0 - first.0) / length, (second.1 - first.1) / length);
    let place = |v: &DVector<f64>, i: usize| match i {
        0 => first,
        1 => (first.0 + along.0 * v[0], first.1 + along.1 * v[0]),
        _ => (v[2 * i - 3], v[2 * i - 2]),
    };
    let mut v = DVector::zeros(unknowns);
    v[0] = length;
    for (i, c) in drawn.iter().enumerate().skip(2) {
        v[2 * i - 3] = c.0;
        v[2 * i - 2] = c.1;
    }
    for _ in 0..50 {
        let mut jacobian = DMatrix::zeros(measures.len(), unknowns);
        let mut miss = DVector::zeros(measures.len());
        for (r, m) in measures.iter().enumerate() {
            if m.a >= n || m.b >= n || m.a == m.b {
                return None;
            }
            let (p, q) = (place(&v, m.a), place(&v, m.b));
            let d = apart(q, p);
            if d < 1e-6 {
                return None;
            }
            let unit = ((q.0 - p.0) / d, (q.1 - p.1) / d);
            miss[r] = m.distance - d;
            for (corner, sign) in [(m.a, -1.0), (m.b, 1.0)] {
                match corner {
                    0 => {}
                    1 => jacobian[(r, 0)] += sign * (unit.0 * along.0 + unit.1 * along.1),
                    i => {
                        jacobian[(r, 2 * i - 3)] += sign * unit.0;
                        jacobian[(r, 2 * i - 2)] += sign * unit.1;
                    }
                }
            }
        }
        let svd = jacobian.svd(true, true);
        if svd.singular_values.min() < 1e-6 * svd.singular_values.max() {
            return None;
        }
        let step = svd.solve(&miss, 1e-12).ok()?;
        v += &step;
        if !v.iter().all(|c| c.is_finite()) {
            return None;
        }
        if step.norm() < 1e-10 {
            let worst = miss.iter().enumerate().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()))?;
            let at = (0..n).map(|i| place(&v, i)).collect();
            return Some(Corners { at, worst: (worst.0, *worst.1), spare: measures.len() - unknowns });
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    const DRAWN: [(f64, f64); 4] = [(0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)];

    fn measured(at: &[(f64, f64)], pairs: &[(usize, usize)]) -> Vec<Between> {
        pairs
            .iter()
            .map(|(a, b)| Between { a: *a, b: *b, distance: (at[*a].0 - at[*b].0).hypot(at[*a].1 - at[*b].1) })
            .collect()
    }

    #[test]
    fn four_sides_and_a_diagonal_give_the_corners_back() {
        let real = [(0.0, 0.0), (6.05, 0.0), (6.01, 4.02), (-0.03, 3.98)];
        for pairs in [&[(0, 1), (1, 2), (2, 3), (3, 0), (0, 2)][..], &[(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]]
        {
            let found = corners(&DRAWN, &measured(&real, pairs)).unwrap();
            for (a, b) in found.at.iter().zip(&real) {
                assert!((a.0 - b.0).hypot(a.1 - b.1) < 1e-8, "{:?}", found.at);
            }
            assert!(found.worst.1.abs() < 1e-8 && found.spare == pairs.len() - 5);
        }
    }

    #[test]
    fn too_few_measures_give_none_and_contradictions_show() {
        let sides = [(0, 1), (1, 2), (2, 3), (3, 0)];
        assert_eq!(corners(&DRAWN, &measured(&DRAWN, &sides)), None);
        // Five measures of which two are the same do not determine five unknowns.
        let twice = [(0, 1), (1, 2), (2, 3), (3, 0), (3, 0)];
        assert_eq!(corners(&DRAWN, &measured(&DRAWN, &twice)), None);
        let mut all = measured(&DRAWN, &[(0, 1), (1, 2), (2, 3), (3, 0), (0, 2), (1, 3)]);
        all[5].distance += 0.1;
        assert!(corners(&DRAWN, &all).unwrap().worst.1.abs() > 0.01);
        all[0].a = 9;
        assert_eq!(corners(&DRAWN, &all), None);
    }
}
