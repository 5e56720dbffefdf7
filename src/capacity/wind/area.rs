//! What depends on the effective wind area.
//!
//! Aim: one way to read a curve over the area, for both standards. Reason: figures draw coefficients as straight lines over the
//! logarithm of the area; a pressure that follows from one is such a line too. Limits: outside its points a curve stays as
//! it is at the nearest one; a curve of one point is the same for every area.

use crate::capacity::fault::{NotComputed, positive};
use crate::capacity::source::{Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{FOOT, num};
use crate::quantity::maths::log10;

/// Between which points of a curve an area lies, and what the curve gives there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Read {
    /// The curve has one point: its value counts for every area.
    Only(f64),
    /// Outside: the value of the nearest point.
    Outside(f64),
    /// Between two points.
    Between {
        /// The point at the smaller area: area and value.
        low: (f64, f64),
        /// The point at the larger one.
        high: (f64, f64),
        /// The value between them.
        value: f64,
    },
}

impl Read {
    /// The value.
    #[must_use]
    pub const fn value(self) -> f64 {
        match self {
            Self::Only(value) | Self::Outside(value) | Self::Between { value, .. } => value,
        }
    }

    /// The line of a coefficient that was read at an area, in the unit of its curve.
    #[must_use]
    pub fn step(self, symbol: &'static str, area: f64, source: Source) -> Step {
        match self {
            Self::Only(c) => {
                let what = "outer pressure coefficient of the zone; the table has one for every area";
                Step::input(symbol, what, c, "", source)
            }
            Self::Outside(c) => {
                let what = "outer pressure coefficient of the zone; the line is level at this area";
                Step::input(symbol, what, c, "", source)
            }
            Self::Between { low, high, value } => Step::new(
                symbol,
                "outer pressure coefficient of the zone, straight over the logarithm of the area",
                "c1 + (c2 - c1) log10(A/A1) / log10(A2/A1)",
                format!(
                    "{c1} + ({} - ({c1})) * log10({}/{a1}) / log10({}/{a1})",
                    num(high.1),
                    num(area),
                    num(high.0),
                    c1 = num(low.1),
                    a1 = num(low.0)
                ),
                value,
            )
            .source(source),
        }
    }
}

/// Reads a curve: straight over the logarithm of the area between its points, constant outside. Areas ascend and are in one
/// unit; `None` for a curve without points.
#[must_use]
pub fn read(points: &[(f64, f64)], area: f64) -> Option<Read> {
    let (first, last) = (points.first()?, points.last()?);
    if points.len() == 1 {
        return Some(Read::Only(first.1));
    }
    if area <= first.0 {
        return Some(Read::Outside(first.1));
    }
    if area >= last.0 {
        return Some(Read::Outside(last.1));
    }
    let (low, high) = points.windows(2).find_map(|p| (area <= p[1].0).then_some((p[0], p[1])))?;
    let t = log10(area / low.0) / log10(high.0 / low.0);
    Some(Read::Between { low, high, value: low.1 + t * (high.1 - low.1) })
}

/// The areas of all points of some curves, ascending: between them any sum of the curves is straight.
#[must_use]
pub fn areas<'a>(curves: impl IntoIterator<Item = &'a [(f64, f64)]>) -> Vec<f64> {
    let mut all: Vec<f64> = curves.into_iter().flatten().map(|p| p.0).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
}

/// A pressure over the effective wind area.
#[derive(Debug, Clone, PartialEq)]
pub struct ByArea {
    /// Area, m2, ascending, and pressure, Pa.
    points: Vec<(f64, f64)>,
    /// The pressure is never below this, Pa.
    least: f64,
}

impl ByArea {
    /// From the points of a curve (m2 and Pa, areas ascending) and what it is never below.
    #[must_use]
    pub const fn new(points: Vec<(f64, f64)>, least: f64) -> Self {
        Self { points, least }
    }

    /// The same pressure for every area.
    #[must_use]
    pub fn constant(pressure: f64) -> Self {
        Self { points: vec![(1.0, pressure)], least: 0.0 }
    }

    /// The pressure at an area in m2, Pa.
    #[must_use]
    pub fn at(&self, area: f64) -> f64 {
        read(&self.points, area).map_or(0.0, Read::value).max(self.least)
    }

    /// The pressure at areas so small that no figure goes below them, Pa.
    #[must_use]
    pub fn smallest(&self) -> f64 {
        self.at(0.0)
    }

    /// A share of it, at every area.
    #[must_use]
    pub fn times(&self, share: f64) -> Self {
        let points = self.points.iter().map(|(a, p)| (*a, p * share)).collect();
        Self { points, least: self.least * share }
    }

    /// Whether it is nowhere below another one. A `false` may be too careful where both have different least values.
    #[must_use]
    pub fn covers(&self, other: &Self) -> bool {
        // Both are straight between the points of either, so these decide.
        let areas = self.points.iter().chain(&other.points).map(|p| p.0);
        let of = |c: &Self, a| read(&c.points, a).map_or(0.0, Read::value);
        self.least >= other.least && areas.into_iter().all(|a| of(self, a) >= of(other, a))
    }
}

/// Which standard says what the area of a batten is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AreaRule {
    /// ASCE 7 26.2: span times the larger of the width that hangs on it and a third of the span.
    Asce,
    /// EN 1991-1-4 7.2.1: the area that is loaded.
    En,
}

impl AreaRule {
    /// Its source.
    #[must_use]
    pub const fn source(self) -> Source {
        match self {
            Self::Asce => Source::new("ASCE 7 26.2, effective wind area", Mark::FromMemory),
            Self::En => Source::new("EN 1991-1-4 7.2.1, loaded area", Mark::FromMemory),
        }
    }

    /// A length of the standard's own unit, m, with its name and that of the area.
    const fn unit(self) -> (f64, &'static str, &'static str) {
        match self {
            Self::Asce => (FOOT, "ft", "ft2"),
            Self::En => (1.0, "m", "m2"),
        }
    }

    /// The hand calculation of the area of one of so many fasteners, on all of which an area (m2) hangs.
    #[must_use]
    pub fn fastener_steps(self, area: f64, count: f64) -> Vec<Step> {
        let (unit, _, square) = self.unit();
        let whole = area / (unit * unit);
        vec![
            Step::input("At", "roofing that hangs here", whole, square, Source::GEOMETRY),
            Step::new("A", "area of one fastener", "At / n", format!("{} / {}", num(whole), num(count)), whole / count)
                .unit(square)
                .source(self.source()),
        ]
    }

    /// The hand calculation of [`AreaRule::of_batten`].
    ///
    /// # Errors
    /// As there.
    pub fn batten_steps(self, span: f64, width: f64) -> Result<Vec<Step>, NotComputed> {
        let area = self.of_batten(span, width)?;
        let (unit, line, square) = self.unit();
        let (l, w) = (span / unit, width / unit);
        let (formula, numbers) = match self {
            Self::Asce => ("l max(w, l/3)", format!("{} * max({}, {}/3)", num(l), num(w), num(l))),
            Self::En => ("l w", format!("{} * {}", num(l), num(w))),
        };
        Ok(vec![
            Step::input("l", "span with the least area", l, line, Source::GEOMETRY),
            Step::input("w", "mean width of roofing that hangs on it", w, line, Source::GEOMETRY),
            Step::new("A", "area of the batten", formula, numbers, area / (unit * unit))
                .unit(square)
                .source(self.source()),
        ])
    }

    /// The area of a batten, m2, from a span and the width of roofing that hangs on it, m.
    ///
    /// # Errors
    /// Sizes that are not above zero.
    pub fn of_batten(self, span: f64, width: f64) -> Result<f64, NotComputed> {
        match self {
            Self::Asce => super::asce::effective_area(span, width),
            Self::En => Ok(positive("span", span)? * positive("tributary width", width)?),
        }
    }
}
