//! What hangs on a piece, as loads for each length of batten.
//!
//! Aim: from tributary stretches and wind zones, the stretches of a piece over which every load is even or, along a slanted
//! edge, a straight line. Reason: the beam's reactions rest on these and an engineer must be able to read them. Limits: a stretch
//! takes the worst of the zones that its roofing touches, at whatever height (zones along hips are asked at heights no farther apart
//! than half a metre, which misses no zone as wide as the standards make them); roofing past a piece's end hangs on that end.

use std::sync::Arc;

use super::zone_wind::SlopeWind;
use super::zones::Zones;
use crate::check::tributary::{Band, Stretch};
use crate::design::FixedAt;

/// How panels are held along the slope.
#[derive(Clone, Debug, PartialEq)]
pub enum Hold {
    /// At every course.
    EveryCourse,
    /// At one course; elsewhere they slide.
    Fixed(FixedAt),
}

impl Hold {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Hold::EveryCourse => "panels held at every course".to_owned(),
            Hold::Fixed(FixedAt::Eave) => "panels held at their lowest course".to_owned(),
            Hold::Fixed(FixedAt::Top) => "panels held at their highest course".to_owned(),
            Hold::Fixed(FixedAt::Course(name)) => format!("panels held at {name}"),
        }
    }
}

/// A stretch over which every load is even, or runs straight from one end to the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Even {
    /// Left and right end, metres; past an end of the piece it hangs on that end.
    pub x: (f64, f64),
    /// Height of the roofing that hangs on the batten, along the slope, at the left and the right end, metres.
    pub height: (f64, f64),
    /// Height of the panel whose load down the slope the batten takes, likewise.
    pub slides: (f64, f64),
    /// What of these two lies where unbalanced snow is more, beside the ridge, likewise.
    pub drifted: [(f64, f64); 2],
    /// Numbers of the zones that may decide here: see [`SlopeWind::deciding`]. None where wind is not computed.
    pub zones: Arc<[usize]>,
}

/// A value at a place, from those at the ends of a stretch.
fn between((left, right): (f64, f64), x: (f64, f64), at: f64) -> f64 {
    if left == right || x.1 <= x.0 { left } else { left + (right - left) * (at - x.0) / (x.1 - x.0) }
}

impl Even {
    /// What of it lies between two places; `None` for nothing.
    pub fn part(&self, from: f64, to: f64) -> Option<Even> {
        let x = (self.x.0.max(from), self.x.1.min(to));
        let of = |ends: (f64, f64)| (between(ends, self.x, x.0), between(ends, self.x, x.1));
        let drifted = self.drifted.map(of);
        let zones = || Arc::clone(&self.zones);
        (x.1 > x.0).then(|| Even { x, height: of(self.height), slides: of(self.slides), drifted, zones: zones() })
    }

    /// A stretch on which hangs as much as at one place of it.
    pub fn as_at(&self, at: f64, x: (f64, f64)) -> Even {
        let of = |ends: (f64, f64)| {
            let here = between(ends, self.x, at);
            (here, here)
        };
        let drifted = self.drifted.map(of);
        Even { x, height: of(self.height), slides: of(self.slides), drifted, zones: Arc::clone(&self.zones) }
    }

    /// Area of its roofing, m2.
    pub fn area(&self) -> f64 {
        f64::midpoint(self.height.0, self.height.1) * (self.x.1 - self.x.0)
    }
}

/// The same stretches, cut at both ends of a piece.
pub fn cut_at(evens: Vec<Even>, (left, right): (f64, f64)) -> Vec<Even> {
    let across = |e: &Even| [left, right].into_iter().any(|x| e.x.0 < x && x < e.x.1);
    if !evens.iter().any(across) {
        return evens;
    }
    let parts = [(f64::NEG_INFINITY, left), (left, right), (right, f64::INFINITY)];
    evens.iter().flat_map(|e| parts.into_iter().filter_map(|(a, b)| e.part(a, b))).collect()
}

/// From where to where the roofing of some stretches reaches, x; `None` for no stretch.
pub fn reach(evens: &[Even]) -> Option<(f64, f64)> {
    let all = |(a, b): (f64, f64), e: &Even| (a.min(e.x.0), b.max(e.x.1));
    let (left, right) = evens.iter().fold((f64::INFINITY, f64::NEG_INFINITY), all);
    (left < right).then_some((left, right))
}

/// The zones at one height: stretches with their zones.
type Slice = Vec<(f64, f64, usize)>;

/// Slices through the zones that were asked for last: a course asks for the same heights again and again.
#[derive(Default)]
pub struct Slices {
    kept: Vec<(u64, Slice)>,
    /// Zones that touched a stretch, and those of them that may decide.
    sets: Vec<(Vec<usize>, Arc<[usize]>)>,
    /// Heights at which zones begin and end, ascending; none before the first question.
    borders: Option<Vec<f64>>,
}

/// Zones that run aslant are asked at heights no farther apart than this, metres.
const APART: f64 = 0.5;

impl Slices {
    /// Forgets the oldest; numbers given out before are no longer good.
    fn trim(&mut self) {
        if self.kept.len() > 32 {
            self.kept.clear();
        }
    }

    fn at(&mut self, zones: &Zones, y: f64) -> usize {
        let key = y.to_bits();
        if let Some(k) = self.kept.iter().position(|(b, _)| *b == key) {
            return k;
        }
        self.kept.push((key, zones.along(y)));
        self.kept.len() - 1
    }

    /// Slices at the heights that tell which zones touch the roofing of a course between two heights: at both, on the
    /// course, and in every band of the zones' own borders between. The border of a zone belongs to both sides.
    fn through(&mut self, zones: &Zones, (low, high): (f64, f64), course: f64) -> Vec<usize> {
        let inside = (high - low).min(1e-6);
        let mut at = vec![low + inside, course, high - inside];
        let mut below = low;
        let borders = self.borders.get_or_insert_with(|| zones.borders());
        let from = borders.partition_point(|y| *y <= low);
        for above in borders.iter().copied().skip(from).take_while(|y| *y < high).chain([high]) {
            let bands = ((above - below) / APART).ceil().max(1.0);
            if bands > 1.0 || above < high || below > low {
                at.extend((0..bands as u32).map(|k| below + (above - below) * (f64::from(k) + 0.5) / bands));
            }
            below = above;
        }
        at.into_iter().map(|y| self.at(zones, y)).collect()
    }

    fn get(&self, k: usize) -> &[(f64, f64, usize)] {
        self.kept.get(k).map_or(&[], |(_, s)| s.as_slice())
    }

    /// The zones that may decide at a place, through some slices. `touch` is room to work in.
    fn deciding(&mut self, wind: &SlopeWind, slices: &[usize], x: f64, touch: &mut Vec<usize>) -> Arc<[usize]> {
        touch.clear();
        for k in slices {
            touch.extend(self.get(*k).iter().filter(|s| s.0 <= x && x <= s.1).map(|s| s.2));
        }
        if let Some((_, known)) = self.sets.iter().find(|(t, _)| t == touch) {
            return Arc::clone(known);
        }
        let set: Arc<[usize]> = wind.deciding(touch).into();
        // One copy of each list, so that lists that are alike are the same.
        let set = self.sets.iter().find(|(_, known)| *known == set).map_or(set, |(_, known)| Arc::clone(known));
        self.sets.push((touch.clone(), Arc::clone(&set)));
        set
    }
}

/// What of a band lies above a height, at both ends.
fn over(band: &Band, above: f64) -> (f64, f64) {
    let of = |(low, high): (f64, f64)| (high - low.max(above)).max(0.0);
    (of(band.left), of(band.right))
}

/// Where the ends of a band pass a height, as parts of the way from left to right.
fn passes(band: &Band, y: f64) -> impl Iterator<Item = f64> {
    let ends = [(band.left.0, band.right.0), (band.left.1, band.right.1)];
    ends.into_iter().filter(|(a, b)| a != b).map(move |(a, b)| (y - a) / (b - a)).filter(|t| *t > 0.0 && *t < 1.0)
}

/// The even stretches of a piece. Where more snow lies beside the ridge, `above` is the height from which on.
pub fn even(
    stretches: &[Stretch],
    course: (&str, f64),
    hold: &Hold,
    (wind, above): (Option<&SlopeWind>, Option<f64>),
    slices: &mut Slices,
    courses: &dyn Fn(&str) -> Option<f64>,
) -> Vec<Even> {
    let mut all = Vec::new();
    let mut touch = Vec::new();
    for s in stretches {
        let slides = match hold {
            Hold::EveryCourse => s.y,
            Hold::Fixed(at) => {
                let panel = s.panel.at(0.5);
                let here = match at {
                    FixedAt::Eave => s.lowest,
                    FixedAt::Top => s.highest,
                    // A panel that does not pass the named course is held at its own lowest.
                    FixedAt::Course(name) => match courses(name).filter(|y| panel.0 <= *y && *y <= panel.1) {
                        Some(_) => course.0 == name,
                        None => s.lowest,
                    },
                };
                if here { s.panel } else { Band::level((course.1, course.1)) }
            }
        };
        let mut cuts = vec![s.x.0, s.x.1];
        if let Some(above) = above {
            let parts = passes(&s.y, above).chain(passes(&slides, above));
            cuts.extend(parts.map(|t| s.x.0 + t * (s.x.1 - s.x.0)));
        }
        let at = wind.map(|wind| {
            slices.trim();
            slices.through(&wind.zones, s.y.bounds(), course.1)
        });
        for (a, b, _) in at.iter().flatten().flat_map(|k| slices.get(*k)) {
            cuts.extend([*a, *b].into_iter().filter(|c| s.x.0 < *c && *c < s.x.1));
        }
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| *a - *b < 1e-6);
        for w in cuts.windows(2) {
            let zones = match (wind, &at) {
                (Some(wind), Some(at)) => slices.deciding(wind, at, (w[0] + w[1]) / 2.0, &mut touch),
                _ => Arc::default(),
            };
            let (from, to) = ((w[0] - s.x.0) / (s.x.1 - s.x.0), (w[1] - s.x.0) / (s.x.1 - s.x.0));
            let part = |band: &Band| Band { left: band.at(from), right: band.at(to) };
            let (y, slides) = (part(&s.y), part(&slides));
            let drifted = [&y, &slides].map(|band| above.map_or((0.0, 0.0), |above| over(band, above)));
            all.push(Even { x: (w[0], w[1]), height: y.heights(), slides: slides.heights(), drifted, zones });
        }
    }
    all.dedup_by(|b, a| {
        let level = |e: &Even| [e.height, e.slides, e.drifted[0], e.drifted[1]].iter().all(|(l, r)| l == r);
        let alike = a.height == b.height && a.slides == b.slides && a.drifted == b.drifted && a.zones == b.zones;
        let same = a.x.1 == b.x.0 && level(a) && alike;
        if same {
            a.x.1 = b.x.1;
        }
        same
    });
    all
}
