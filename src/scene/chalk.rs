//! How a line is snapped: its straight stretches, where it jogs or bends, and which landings stand beside it.
//!
//! Aim: numbers that, set out as they are printed, hit every landing. Reason: strips follow tails and then rafters, so two
//! measures at a line's ends say too little. Limits: a line is chalked between the measures as printed, not as computed, and
//! goes on straight past its ends.

use super::setting_out::LineMark;
use crate::quantity::{Length, Units};

/// A stretch of a line that is chalked in one go.
#[derive(Clone, Debug, PartialEq)]
pub struct Stretch {
    /// Its low and its high end, metres up the slope.
    pub y: [f64; 2],
    /// x of its middle at both ends, metres: over strips that touch one another, never over a gap between strips.
    pub x: [f64; 2],
    /// Width over those strips, metres.
    pub width: f64,
    /// The same, middles and width, of each group of strips that stands apart from them.
    pub apart: Vec<([f64; 2], f64)>,
    /// x of the middle of each strip at both ends, from left to right: one, or several side by side.
    pub strips: Vec<[f64; 2]>,
}

/// A landing with its own measure, for no chalk line leads to it.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnMark {
    /// Its name.
    pub name: String,
    /// Its course, by its place in [`super::SettingOut::courses`].
    pub course: String,
    /// x of its middle, metres.
    pub x: f64,
}

/// Heights, x and slopes nearer than this are one, metres.
const SAME: f64 = 1e-6;
/// Strips nearer to one another than this touch, metres: no tape shows less.
const TOUCH: f64 = 0.0254 / 16.0;

impl Stretch {
    /// x of its middle at a height, metres; past its ends it goes on straight.
    pub(super) fn at(&self, y: f64) -> f64 {
        let [y0, y1] = self.y;
        let t = if y1 - y0 > SAME { (y - y0) / (y1 - y0) } else { 0.0 };
        self.x[0] + (self.x[1] - self.x[0]) * t
    }

    /// Whether the next stretch goes on where this one points to, with the same strips.
    fn goes_on(&self, next: &Stretch) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < SAME;
        let beside = |s: &Stretch| s.strips.iter().map(|m| m[0] - s.x[0]).collect::<Vec<_>>();
        let (a, b) = (beside(self), beside(next));
        let straight = near(self.at(next.y[0]), next.x[0]) && near(self.at(next.y[1]), next.x[1]);
        straight && a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| near(*a, *b))
    }

    /// As its printed numbers have it.
    fn printed(&self, units: Units) -> Stretch {
        let show = |v: &[f64; 2]| v.map(|v| Length::from_metres(v).as_shown(units).metres());
        Stretch { y: show(&self.y), x: show(&self.x), ..self.clone() }
    }
}

/// The stretches of strips (or tapes): paths (y, x) with their widths, metres. Where a line pauses and goes on straight, as
/// beside an opening or over a strap, it is chalked through.
pub fn stretches(paths: &[(&[(f64, f64)], f64)]) -> Vec<Stretch> {
    let mut heights: Vec<f64> = paths.iter().flat_map(|(p, _)| p.iter().map(|q| q.0)).collect();
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| (*a - *b).abs() < SAME);
    let mut all: Vec<Stretch> = Vec::new();
    for (low, high) in heights.iter().zip(heights.iter().skip(1)) {
        let covers = |p: &[(f64, f64)]| {
            p.first().is_some_and(|f| f.0 < low + SAME) && p.last().is_some_and(|l| l.0 > high - SAME)
        };
        let x = |p: &[(f64, f64)]| [*low, *high].map(|y| crate::lattice::x_at(p, y));
        let mut here: Vec<Strip> = paths.iter().filter(|(p, _)| covers(p)).map(|(p, w)| (x(p), *w)).collect();
        here.sort_by(|a, b| a.0[0].total_cmp(&b.0[0]));
        let gap = |(a, w): &Strip, (b, v): &Strip| [0, 1].map(|k| b[k] - a[k] - (w + v) / 2.0);
        let mut groups: Vec<Strip> =
            here.chunk_by(|a, b| gap(a, b).iter().all(|g| *g < TOUCH)).filter_map(over_all).collect();
        // The line goes on with the group that is nearest to where it has led so far.
        let so_far = all.last().map(|last| last.at(*low));
        let off = |g: &Strip| so_far.map_or(g.0[0], |x| (g.0[0] - x).abs());
        let nearest = groups.iter().enumerate().min_by(|a, b| off(a.1).total_cmp(&off(b.1)));
        let Some((nearest, _)) = nearest else { continue };
        let (x, width) = groups.remove(nearest);
        let strips = here.iter().map(|(x, _)| *x).collect();
        let next = Stretch { y: [*low, *high], x, width, apart: groups, strips };
        match all.last_mut().filter(|last| last.goes_on(&next)) {
            Some(last) => {
                last.y[1] = next.y[1];
                last.x[1] = next.x[1];
                for (a, b) in last.strips.iter_mut().zip(&next.strips) {
                    a[1] = b[1];
                }
                for (a, b) in last.apart.iter_mut().zip(&next.apart) {
                    a.0[1] = b.0[1];
                }
            }
            None => all.push(next),
        }
    }
    all
}

/// x of a middle at two heights, and a width, metres.
type Strip = ([f64; 2], f64);

/// Strips from left to right as one; none where there are none.
fn over_all(strips: &[Strip]) -> Option<Strip> {
    let ((left, w0), (right, w1)) = strips.first().zip(strips.last())?;
    let edges = |k: usize| (left[k] - w0 / 2.0, right[k] + w1 / 2.0);
    let middle = [0, 1].map(|k| (edges(k).0 + edges(k).1) / 2.0);
    Some((middle, edges(0).1 - edges(0).0))
}

impl LineMark {
    /// Whether its two measures at the ends say it all: one stretch, one strip, square to the eave.
    pub fn is_plain(&self, units: Units) -> bool {
        self.stretches.len() < 2 && self.stretches.iter().all(|s| s.strips.len() < 2) && !self.slants(units)
    }

    /// Whether some stretch of it leads to another measure than it began with.
    pub fn slants(&self, units: Units) -> bool {
        self.stretches.iter().any(|s| differ(s.x[0], s.x[1], units))
    }

    /// Where one stretch ends and the next begins elsewhere, at another slant, or with more or fewer strips.
    pub fn turns(&self, units: Units) -> Vec<Turn> {
        let pairs = self.stretches.iter().zip(self.stretches.iter().skip(1));
        pairs
            .map(|(low, high)| {
                let (from, to) = (low.at(high.y[0]), high.x[0]);
                let strips = (low.strips.len(), high.strips.len());
                Turn { y: high.y[0], from, to, jogs: differ(from, to, units), strips }
            })
            .collect()
    }

    /// Whether the line as printed leads past a place by no more than half of the last printed step, on either side of it.
    pub fn leads_to(&self, y: f64, x: f64, units: Units) -> bool {
        let (step, hair) = (step(units), 1e-7);
        let printed: Vec<Stretch> = self.stretches.iter().map(|s| s.printed(units)).collect();
        let away = |s: &Stretch| (s.y[0] - y).max(y - s.y[1]).max(0.0);
        let least = printed.iter().map(away).fold(f64::INFINITY, f64::min);
        // Within a step of a jog either side of it may be taken.
        let mut near = printed.iter().filter(|s| away(s) <= least.max(step) + hair);
        !printed.is_empty() && near.all(|s| (s.at(y) - x).abs() <= step / 2.0 + hair)
    }
}

/// Where a line turns aside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// The height, metres up the slope.
    pub y: f64,
    /// x of its middle below, metres.
    pub from: f64,
    /// x of its middle above, metres.
    pub to: f64,
    /// It begins anew beside where it ended; else it bends, or its strips become more or fewer.
    pub jogs: bool,
    /// Strips side by side below and above.
    pub strips: (usize, usize),
}

/// Two measures that would be marked at different places.
pub fn differ(a: f64, b: f64, units: Units) -> bool {
    Length::from_metres(a).as_shown(units) != Length::from_metres(b).as_shown(units)
}

/// The last printed step of a measure on a sheet, metres.
fn step(units: Units) -> f64 {
    match units {
        Units::Inches => 0.0254 / 16.0,
        Units::Millimetres => 0.001,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    type Paths = [(&'static [(f64, f64)], f64)];

    const STRIP: f64 = 0.038;
    /// A tail beside its rafter, a bend, a gap at an opening, and two strips side by side above it.
    const PATHS: &Paths = &[
        (&[(0.05, 1.0), (0.9, 1.0)], STRIP),
        (&[(0.9, 0.95), (2.0, 0.95), (3.0, 0.97)], STRIP),
        (&[(3.5, 0.98), (4.0, 0.99)], STRIP),
        (&[(4.0, 0.97), (5.0, 0.97)], STRIP),
        (&[(4.0, 1.008), (5.0, 1.008)], STRIP),
    ];

    fn line() -> LineMark {
        let stretches = stretches(PATHS);
        let (y, x) = ([0.05, 5.0], [1.0, 0.989]);
        LineMark { name: "S-L01".into(), y, x, drawn: None, between: Vec::new(), laid: false, window: None, stretches }
    }

    #[test]
    fn a_line_is_cut_where_it_jogs_bends_or_gets_more_strips() {
        let all = stretches(PATHS);
        let ends: Vec<[f64; 2]> = all.iter().map(|s| s.y).collect();
        // Past the gap from 3.0 to 3.5 the line goes on as it ran.
        assert_eq!(ends, [[0.05, 0.9], [0.9, 2.0], [2.0, 4.0], [4.0, 5.0]]);
        assert!((all[3].x[0] - 0.989).abs() < 1e-12);
        assert_eq!(all[3].strips, [[0.97, 0.97], [1.008, 1.008]]);
        assert!((all[3].width - 2.0 * STRIP).abs() < 1e-12 && all.iter().all(|s| s.apart.is_empty()));
        let turns = line().turns(Units::Millimetres);
        let seen: Vec<(f64, bool, (usize, usize))> = turns.iter().map(|t| (t.y, t.jogs, t.strips)).collect();
        assert_eq!(seen, [(0.9, true, (1, 1)), (2.0, false, (1, 1)), (4.0, true, (1, 2))]);
        assert!(!line().is_plain(Units::Millimetres) && line().slants(Units::Millimetres));
    }

    #[test]
    fn strips_apart_are_never_marked_between() {
        // A trimmer beside a rafter, 38 mm of nothing between them, and a tail that touches the rafter below.
        let (rafter, tail, trimmer) =
            ([(1.0, 2.0), (5.0, 2.0)], [(0.0, 2.038), (2.0, 2.038)], [(1.0, 1.924), (5.0, 1.924)]);
        let all = stretches(&[(&rafter, STRIP), (&tail, STRIP), (&trimmer, STRIP)]);
        let seen: Vec<([f64; 2], f64)> = all.iter().map(|s| (s.y, s.x[0])).collect();
        assert_eq!(seen, [([0.0, 1.0], 2.038), ([1.0, 2.0], 2.019), ([2.0, 5.0], 2.0)]);
        assert_eq!(all.iter().map(|s| s.apart.len()).collect::<Vec<_>>(), [0, 1, 1]);
        assert_eq!(all[2].apart[0].0, [1.924, 1.924]);
        // Without the tail the line begins with what is furthest left.
        let all = stretches(&[(&rafter, STRIP), (&trimmer, STRIP)]);
        assert_eq!((all.len(), all[0].x, all[0].apart[0].0), (1, [1.924; 2], [2.0; 2]));
    }

    #[test]
    fn a_landing_half_a_step_from_the_line_as_printed_is_on_it_and_one_further_off_is_not() {
        let on = |y: f64, x: f64| line().leads_to(y, x, Units::Millimetres);
        assert!(on(0.5, 1.000_5) && !on(0.5, 1.000_51));
        assert!(on(2.5, 0.96) && !on(2.5, 0.961));
        // In the gap, past the ends, and just at the jog, where either side might be taken.
        assert!(on(3.2, 0.974) && on(0.0, 1.0) && !on(0.9, 1.0) && !on(0.900_4, 0.95) && on(0.902, 0.95));
    }
}
