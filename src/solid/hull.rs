//! Convex rings in a plane: hulls, and what a line leaves of them.

/// The convex hull of places in a plane, counter-clockwise. A corner whose turn (twice the area of the triangle with its
/// neighbours, square metres) is no more than `straight` is left out.
pub fn convex_hull(mut points: Vec<[f64; 2]>, straight: f64) -> Vec<[f64; 2]> {
    points.sort_by(|p, q| p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])));
    let half = |points: &mut dyn Iterator<Item = &[f64; 2]>| {
        let mut chain: Vec<[f64; 2]> = Vec::new();
        for p in points {
            while let [.., a, b] = chain.as_slice() {
                if (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > straight {
                    break;
                }
                chain.pop();
            }
            chain.push(*p);
        }
        chain.pop();
        chain
    };
    let mut ring = half(&mut points.iter());
    ring.extend(half(&mut points.iter().rev()));
    ring
}

/// A convex ring without what lies at a positive distance, counter-clockwise as it was.
pub fn clipped_ring(ring: &[(f64, f64)], distance: impl Fn(&(f64, f64)) -> f64) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    for (p, q) in ring.iter().zip(ring.iter().cycle().skip(1)) {
        let (from, to) = (distance(p), distance(q));
        if from <= 0.0 {
            out.push(*p);
        }
        if from * to < 0.0 {
            let t = from / (from - to);
            out.push((p.0 + (q.0 - p.0) * t, p.1 + (q.1 - p.1) * t));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::convex_hull;

    #[test]
    fn corners_in_order_and_nothing_inside_or_on_a_side() {
        let points = vec![[1.0, 1.0], [0.0, 0.0], [2.0, 0.0], [1.0, 0.0], [2.0, 2.0], [0.0, 2.0], [0.5, 1.5]];
        assert_eq!(convex_hull(points, 0.0), [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]]);
    }
}
