//! A quick way to the few bodies near a place.
//!
//! Sorted intervals pick candidates; the verdict is always an exact query on the candidate's solid.

use super::{Body, Point3};
use crate::quantity::list::number;

/// A body with what it belongs to and its bounds.
#[derive(Clone, Debug)]
pub struct Entry<T> {
    /// What it belongs to.
    pub tag: T,
    /// The body.
    pub body: Body,
    /// Its least corner.
    pub low: Point3,
    /// Its greatest corner.
    pub high: Point3,
}

/// Bodies that can be found by place (x and y).
#[derive(Clone, Debug)]
pub struct BodyIndex<T> {
    /// The bodies, in the order in which they were given.
    pub entries: Vec<Entry<T>>,
    /// Bodies longer in y, binned by x; and the others, binned by y.
    by_x: Bins,
    by_y: Bins,
}

/// Equal bins along one coordinate, each with the bodies that reach into it, sorted along the other coordinate.
#[derive(Clone, Debug, Default)]
struct Bins {
    low: f64,
    width: f64,
    starts: Vec<u32>,
    /// Lower end along the other coordinate, and number of the body.
    items: Vec<(f64, u32)>,
    /// For each bin the longest reach of its bodies along the other coordinate.
    reach: Vec<f64>,
}

/// Ends of a body along the coordinate of the bins and along the other one, and its number.
type Span = ((f64, f64), (f64, f64), u32);

impl Bins {
    fn build(spans: &[Span]) -> Bins {
        let low = spans.iter().map(|s| s.0.0).fold(f64::INFINITY, f64::min);
        let high = spans.iter().map(|s| s.0.1).fold(f64::NEG_INFINITY, f64::max);
        if spans.is_empty() || !(high - low).is_finite() {
            return Bins::default();
        }
        let total: f64 = spans.iter().map(|s| s.0.1 - s.0.0).sum();
        // As wide as a typical body, but never more bins than a few for each body.
        let width = (total / spans.len() as f64).max((high - low) / (4.0 * spans.len() as f64)).max(1e-3);
        let bin = |v: f64| ((v - low) / width).max(0.0) as usize;
        let count = bin(high) + 1;
        let mut starts = vec![0u32; count + 1];
        for (a, ..) in spans {
            for k in bin(a.0)..=bin(a.1) {
                starts[k + 1] += 1;
            }
        }
        for k in 0..count {
            starts[k + 1] += starts[k];
        }
        let mut next = starts.clone();
        let mut items = vec![(0.0, 0u32); starts[count] as usize];
        let mut reach = vec![0.0_f64; count];
        for (a, other, item) in spans {
            for k in bin(a.0)..=bin(a.1) {
                items[next[k] as usize] = (other.0, *item);
                next[k] += 1;
                reach[k] = reach[k].max(other.1 - other.0);
            }
        }
        for k in 0..count {
            items[starts[k] as usize..starts[k + 1] as usize].sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
        }
        Bins { low, width, starts, items, reach }
    }

    /// Calls `offer` with the bodies that may reach into a stretch of both coordinates.
    fn near(&self, along: (f64, f64), other: (f64, f64), mut offer: impl FnMut(u32)) {
        let bins = self.reach.len();
        if bins == 0 || along.1 < self.low {
            return;
        }
        let bin = |v: f64| ((v - self.low) / self.width).max(0.0) as usize;
        for k in bin(along.0)..=bin(along.1).min(bins - 1) {
            let (Some(a), Some(b), Some(reach)) = (self.starts.get(k), self.starts.get(k + 1), self.reach.get(k))
            else {
                return;
            };
            let here = self.items.get(*a as usize..*b as usize).unwrap_or_default();
            let from = here.partition_point(|i| i.0 < other.0 - reach);
            for (low, item) in here.get(from..).unwrap_or_default() {
                if *low > other.1 {
                    break;
                }
                offer(*item);
            }
        }
    }
}

impl<T> BodyIndex<T> {
    /// Sorts bodies into the index.
    pub fn build(bodies: impl IntoIterator<Item = (T, Body)>) -> BodyIndex<T> {
        let entries: Vec<Entry<T>> = bodies
            .into_iter()
            .map(|(tag, body)| {
                let (low, high) = body.bounds();
                Entry { tag, body, low, high }
            })
            .collect();
        let (mut xs, mut ys) = (Vec::new(), Vec::new());
        for (i, b) in entries.iter().enumerate() {
            let i = number(i);
            if b.high.y - b.low.y >= b.high.x - b.low.x {
                xs.push(((b.low.x, b.high.x), (b.low.y, b.high.y), i));
            } else {
                ys.push(((b.low.y, b.high.y), (b.low.x, b.high.x), i));
            }
        }
        BodyIndex { entries, by_x: Bins::build(&xs), by_y: Bins::build(&ys) }
    }

    /// Calls `visit` for every body whose bounds reach into the rectangle. A body may come more than once.
    pub fn near<'a>(&'a self, x: (f64, f64), y: (f64, f64), mut visit: impl FnMut(&'a Entry<T>)) {
        let mut offer = |i: u32| {
            if let Some(b) = self.entries.get(i as usize)
                && b.low.x <= x.1
                && b.high.x >= x.0
                && b.low.y <= y.1
                && b.high.y >= y.0
            {
                visit(b);
            }
        };
        self.by_x.near(x, y, &mut offer);
        self.by_y.near(y, x, &mut offer);
    }
}
