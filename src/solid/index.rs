//! A quick way to the few bodies near a place.
//!
//! Sorted intervals pick candidates; the verdict is always an exact query on the candidate's solid.

use super::{Body, Point3};

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

/// Equal bins along one coordinate, each with the bodies that reach into it.
#[derive(Clone, Debug, Default)]
struct Bins {
    low: f64,
    width: f64,
    starts: Vec<u32>,
    items: Vec<u32>,
}

impl Bins {
    fn build(spans: &[(f64, f64, u32)]) -> Bins {
        let low = spans.iter().map(|s| s.0).fold(f64::INFINITY, f64::min);
        let high = spans.iter().map(|s| s.1).fold(f64::NEG_INFINITY, f64::max);
        if spans.is_empty() || !(high - low).is_finite() {
            return Bins::default();
        }
        let total: f64 = spans.iter().map(|s| s.1 - s.0).sum();
        // As wide as a typical body, but never more bins than a few for each body.
        let width = (total / spans.len() as f64).max((high - low) / (4.0 * spans.len() as f64)).max(1e-3);
        let bin = |v: f64| ((v - low) / width).max(0.0) as usize;
        let count = bin(high) + 1;
        let mut starts = vec![0u32; count + 1];
        for (a, b, _) in spans {
            for k in bin(*a)..=bin(*b) {
                starts[k + 1] += 1;
            }
        }
        for k in 0..count {
            starts[k + 1] += starts[k];
        }
        let mut next = starts.clone();
        let mut items = vec![0u32; starts[count] as usize];
        for (a, b, item) in spans {
            for k in bin(*a)..=bin(*b) {
                items[next[k] as usize] = *item;
                next[k] += 1;
            }
        }
        Bins { low, width, starts, items }
    }

    fn near(&self, low: f64, high: f64) -> impl Iterator<Item = &[u32]> {
        let bins = self.starts.len().saturating_sub(1);
        let bin = |v: f64| if self.width > 0.0 { ((v - self.low) / self.width).max(0.0) as usize } else { 0 };
        let (first, last) = (bin(low), bin(high).min(bins.saturating_sub(1)));
        let range = if bins == 0 || high < self.low { 0..0 } else { first..(last + 1).max(first) };
        range.filter_map(move |k| {
            let (a, b) = (*self.starts.get(k)?, *self.starts.get(k + 1)?);
            self.items.get(a as usize..b as usize)
        })
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
            let i = u32::try_from(i).unwrap_or(u32::MAX);
            if b.high.y - b.low.y >= b.high.x - b.low.x {
                xs.push((b.low.x, b.high.x, i));
            } else {
                ys.push((b.low.y, b.high.y, i));
            }
        }
        BodyIndex { entries, by_x: Bins::build(&xs), by_y: Bins::build(&ys) }
    }

    /// Calls `visit` for every body whose bounds reach into the rectangle. A body may come more than once.
    pub fn near<'a>(&'a self, x: (f64, f64), y: (f64, f64), mut visit: impl FnMut(&'a Entry<T>)) {
        let mut offer = |items: &[u32]| {
            for i in items {
                if let Some(b) = self.entries.get(*i as usize)
                    && b.low.x <= x.1
                    && b.high.x >= x.0
                    && b.low.y <= y.1
                    && b.high.y >= y.0
                {
                    visit(b);
                }
            }
        };
        self.by_x.near(x.0, x.1).for_each(&mut offer);
        self.by_y.near(y.0, y.1).for_each(&mut offer);
    }
}
