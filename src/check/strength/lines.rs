//! What hangs on a piece, as loads for each length of batten.
//!
//! Aim: from tributary stretches and wind zones, the stretches of a piece over which every load is even. Reason: the
//! beam's reactions rest on these and an engineer must be able to read them. Limits: a stretch takes the worst zone that
//! its roofing touches at its lower end, on the batten and at its upper end; roofing past a piece's end up to the edge
//! hangs on that end.

use super::tributary::Stretch;
use super::zones::Zones;
use crate::design::FixedAt;
use crate::lattice::{End, Piece};
use crate::structure::Outline;

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

/// A stretch over which every load is even.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Even {
    /// Left and right end, metres.
    pub x: (f64, f64),
    /// Height of the roofing that hangs on the batten, along the slope, metres.
    pub height: f64,
    /// Height of the panel whose load down the slope the batten takes, metres.
    pub slides: f64,
    /// Number of the zone with the worst suction; `usize::MAX` for none.
    pub zone: usize,
    /// Suction, pascals.
    pub suction: f64,
    /// Pressure towards the roof, pascals.
    pub pressure: f64,
}

/// Zones of one slope with their suctions and pressures, pascals.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SlopeWind {
    /// Where.
    pub zones: Zones,
    /// Name, suction, pressure of each.
    pub values: Vec<(String, f64, f64)>,
}

impl SlopeWind {
    /// The worst suction (its zone first) and the worst pressure at some heights over a stretch.
    fn worst(&self, slices: &[&[(f64, f64, usize)]], x: f64) -> (usize, f64, f64) {
        let mut worst = (usize::MAX, 0.0, 0.0);
        for slice in slices {
            let Some((.., zone)) = slice.iter().find(|s| s.0 <= x && x <= s.1) else { continue };
            let Some((_, suction, pressure)) = self.values.get(*zone) else { continue };
            if worst.0 == usize::MAX || *suction > worst.1 {
                (worst.0, worst.1) = (*zone, *suction);
            }
            worst.2 = f64::max(worst.2, *pressure);
        }
        worst
    }
}

/// The zones at one height: stretches with their zones.
type Slice = Vec<(f64, f64, usize)>;

/// Slices through the zones that were asked for last: a course asks for the same heights again and again.
#[derive(Default)]
pub struct Slices {
    kept: Vec<(u64, Slice)>,
}

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

    fn get(&self, k: usize) -> &[(f64, f64, usize)] {
        self.kept.get(k).map_or(&[], |(_, s)| s.as_slice())
    }
}

/// The even stretches of a piece.
pub fn even(
    stretches: &[Stretch],
    course: (&str, f64),
    hold: &Hold,
    wind: Option<&SlopeWind>,
    slices: &mut Slices,
    courses: &dyn Fn(&str) -> Option<f64>,
) -> Vec<Even> {
    let mut all = Vec::new();
    for s in stretches {
        let height = s.y.1 - s.y.0;
        let panel = s.panel.1 - s.panel.0;
        let slides = match hold {
            Hold::EveryCourse => height,
            Hold::Fixed(at) => {
                let here = match at {
                    FixedAt::Eave => s.lowest,
                    FixedAt::Top => s.highest,
                    // A panel that does not pass the named course is held at its own lowest.
                    FixedAt::Course(name) => match courses(name).filter(|y| s.panel.0 <= *y && *y <= s.panel.1) {
                        Some(_) => course.0 == name,
                        None => s.lowest,
                    },
                };
                if here { panel } else { 0.0 }
            }
        };
        let Some(wind) = wind else {
            all.push(Even { x: s.x, height, slides, zone: usize::MAX, suction: 0.0, pressure: 0.0 });
            continue;
        };
        slices.trim();
        // Just inside its ends: the border of a zone belongs to both.
        let inside = (s.y.1 - s.y.0).min(1e-6);
        let at = [s.y.0 + inside, course.1, s.y.1 - inside].map(|y| slices.at(&wind.zones, y));
        let here = at.map(|k| slices.get(k));
        let mut cuts = vec![s.x.0, s.x.1];
        for (a, b, _) in here.iter().flat_map(|slice| slice.iter()) {
            cuts.extend([*a, *b].into_iter().filter(|c| s.x.0 < *c && *c < s.x.1));
        }
        cuts.sort_by(f64::total_cmp);
        cuts.dedup_by(|a, b| *a - *b < 1e-6);
        for w in cuts.windows(2) {
            let (zone, suction, pressure) = wind.worst(&here, (w[0] + w[1]) / 2.0);
            all.push(Even { x: (w[0], w[1]), height, slides, zone, suction, pressure });
        }
    }
    all.dedup_by(|b, a| {
        let same = a.x.1 == b.x.0
            && a.height == b.height
            && a.slides == b.slides
            && a.zone == b.zone
            && a.suction == b.suction
            && a.pressure == b.pressure;
        if same {
            a.x.1 = b.x.1;
        }
        same
    });
    all
}

/// How far the roofing reaches past the ends of a piece, up to the edges beside it, metres.
pub fn overhangs(piece: &Piece, outline: &Outline) -> (f64, f64) {
    let here = outline.along_x(piece.y).into_iter().find(|(a, b)| a.0 <= piece.x.1 && b.0 >= piece.x.0);
    let Some((left, right)) = here else { return (0.0, 0.0) };
    let past = |end: &End, by: f64| if matches!(end, End::Edge { .. }) { by.max(0.0) } else { 0.0 };
    (past(&piece.ends.0, piece.x.0 - left.0), past(&piece.ends.1, right.0 - piece.x.1))
}
