//! Coefficients by edition, shape, slope, zone and area.
//!
//! Aim: GCp of a place, with the hand calculation of it. Reason: an engineer replaces what he knows better, so coefficients are
//! data; and a place may need two of them: between two slopes, or above and below an overhang. Limits: a place without rows
//! is not covered. The push from below of an overhang is that on the wall beside it as it is for steep roofs, without the
//! tenth less that walls below nearly level roofs may have.

use serde::{Deserialize, Serialize};

use super::{Edition, Roof};
use crate::capacity::fault::{NotComputed, positive, within};
use crate::capacity::source::{Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{FOOT, num};
use crate::capacity::wind::area::{self, Read};

/// Which way a pressure acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Away from the roof.
    Suction,
    /// Towards it.
    Pressure,
    /// Up, on the lower face of an overhang.
    Below,
}

/// One coefficient GCp: a straight line over the logarithm of the effective wind area between its points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Edition.
    pub edition: Edition,
    /// Shapes that it serves.
    pub roofs: Vec<Roof>,
    /// Whether it is for overhangs: net of both faces, or for the lower one; no inner pressure is added.
    #[serde(default)]
    pub overhang: bool,
    /// Slope, degrees: above this (0 counts as level included).
    pub above: f64,
    /// Up to and with this.
    pub up_to: f64,
    /// Zone as in the standard's figure, such as `2e`; `all` for every zone.
    pub zone: String,
    /// Way.
    pub side: Side,
    /// Area in square feet and GCp, ascending in area.
    pub points: Vec<(f64, f64)>,
    /// Such points at the slope `above`, where the coefficient goes straight over the slope from them to `points` at
    /// `up_to`; empty where `points` count for all slopes between.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub flattest: Vec<(f64, f64)>,
    /// How we know it.
    pub mark: Mark,
    /// What else must be known.
    #[serde(default)]
    pub note: String,
}

/// Coefficients: those that come along, or the user's own in their place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Table {
    /// All rows; the first that fits counts.
    pub coefficient: Vec<Row>,
}

/// Which coefficient is wanted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place<'a> {
    /// Edition.
    pub edition: Edition,
    /// Shape.
    pub roof: Roof,
    /// Whether the place is an overhang.
    pub overhang: bool,
    /// Slope, radians.
    pub slope: f64,
    /// Zone.
    pub zone: &'a str,
}

/// GCp of one place over the effective wind area.
#[derive(Debug, Clone, PartialEq)]
pub enum Coefficient {
    /// One row.
    Row(Row),
    /// Straight over the slope between two rows, each for one slope.
    Between {
        /// At its slope `up_to`.
        flat: Row,
        /// At its slope `up_to`.
        steep: Row,
        /// The slope, degrees.
        slope: f64,
    },
    /// An overhang: what pulls at its upper face and what pushes at its lower one.
    Overhang {
        /// The roof's own suction there.
        upper: Box<Coefficient>,
        /// The push from below.
        lower: Row,
    },
}

impl Table {
    fn fits(row: &Row, edition: Edition, roof: Roof, overhang: bool, degrees: f64) -> bool {
        row.edition == edition
            && row.roofs.contains(&roof)
            && row.overhang == overhang
            && (degrees > row.above || row.above <= 0.0)
            && degrees <= row.up_to
    }

    /// Zones that have a suction for a roof, in the order of the table.
    ///
    /// # Errors
    /// A slope that is no number, or no rows for this edition, shape and slope.
    pub fn zones(&self, edition: Edition, roof: Roof, overhang: bool, slope: f64) -> Result<Vec<&str>, NotComputed> {
        let degrees = degrees(slope)?;
        let mut zones: Vec<&str> = Vec::new();
        for row in &self.coefficient {
            if Self::fits(row, edition, roof, overhang, degrees)
                && row.side == Side::Suction
                && !zones.contains(&row.zone.as_str())
            {
                zones.push(&row.zone);
            }
        }
        if zones.is_empty() {
            return Err(NotComputed::NotCovered {
                what: "wind coefficients",
                why: "no rows for this edition, shape and slope: give pressures by zone, or rows of your own",
            });
        }
        Ok(zones)
    }

    /// The row of a place. In ASCE 7-10, zone 3 of a hip roof up to 25 degrees is treated as zone 2.
    fn row(&self, place: &Place<'_>, side: Side, degrees: f64) -> Result<&Row, NotComputed> {
        let soft_hip = place.edition == Edition::Asce7_10
            && place.roof == Roof::Hip
            && !place.overhang
            && degrees > 7.0
            && degrees <= 25.0
            && place.zone == "3";
        let zone = if soft_hip { "2" } else { place.zone };
        let fits = |row: &&Row| row.side == side && Self::fits(row, place.edition, place.roof, place.overhang, degrees);
        self.coefficient
            .iter()
            .filter(fits)
            .find(|r| r.zone == zone)
            .or_else(|| self.coefficient.iter().filter(fits).find(|r| r.zone == "all"))
            .ok_or(NotComputed::NotCovered {
                what: "wind coefficient",
                why: "no row for this edition, shape, slope and zone: give the pressure, or a row of your own",
            })
    }

    /// The coefficient of a place. An overhang without a row of its own has the suction of the roof there and the push from
    /// below, where the edition has a row for that.
    ///
    /// # Errors
    /// A slope that is no number, or no such row.
    pub fn coefficient(&self, place: &Place<'_>, side: Side) -> Result<Coefficient, NotComputed> {
        let slope = degrees(place.slope)?;
        match self.row(place, side, slope) {
            Ok(row) => Ok(row.at_slope(slope)),
            Err(none) if place.overhang && side == Side::Suction => {
                let Ok(lower) = self.row(place, Side::Below, slope) else { return Err(none) };
                let upper = self.coefficient(&Place { overhang: false, ..*place }, side)?;
                Ok(Coefficient::Overhang { upper: Box::new(upper), lower: lower.clone() })
            }
            Err(none) => Err(none),
        }
    }
}

impl Row {
    /// Where an effective wind area in m2 lies on the row's line (whose areas are in square feet), with its GCp.
    fn read(&self, area: f64) -> Result<Read, NotComputed> {
        let a = positive("effective wind area", area)? / (FOOT * FOOT);
        let wrong = NotComputed::NotCovered {
            what: "wind coefficient",
            why: "a row needs points of ascending area above zero, with usable numbers",
        };
        if self.points.iter().any(|p| !(p.0 > 0.0 && p.0.is_finite() && p.1.is_finite()))
            || self.points.windows(2).any(|p| p[0].0 >= p[1].0)
        {
            return Err(wrong);
        }
        area::read(&self.points, a).ok_or(wrong)
    }

    fn step(&self, symbol: &'static str, area: f64) -> Result<Step, NotComputed> {
        Ok(self.read(area)?.step(symbol, area / (FOOT * FOOT), self.source()))
    }

    /// What the row says at a slope in degrees that it fits.
    fn at_slope(&self, slope: f64) -> Coefficient {
        if self.flattest.is_empty() {
            return Coefficient::Row(self.clone());
        }
        let one = |points: &Vec<(f64, f64)>, up_to| Row {
            points: points.clone(),
            flattest: Vec::new(),
            up_to,
            ..self.clone()
        };
        let (flat, steep) = (one(&self.flattest, self.above), one(&self.points, self.up_to));
        Coefficient::Between { flat, steep, slope }
    }

    /// Edition and mark of the row.
    #[must_use]
    pub const fn source(&self) -> Source {
        let text = match (self.edition, self.overhang, matches!(self.mark, Mark::Given)) {
            (.., true) => "the design's own table of coefficients",
            (Edition::Asce7_10, ..) => "ASCE 7-10 Figures 30.4-2 and 30.4-5",
            (Edition::Asce7_16, ..) => "ASCE 7-16 Figures 30.3-2 and 30.3-5",
            (Edition::Asce7_22, false, _) => "ASCE 7-22 Figures 30.3-2 and 30.3-5",
            (Edition::Asce7_22, true, _) => "ASCE 7-22 30.7 and Figures 30.3-1 and 30.3-2",
        };
        Source::new(text, self.mark)
    }
}

impl Coefficient {
    /// The rows that it is put together from, each with its share.
    fn parts(&self) -> Vec<(&Row, f64)> {
        match self {
            Self::Row(row) => vec![(row, 1.0)],
            Self::Between { flat, steep, slope } => {
                let t = (slope - flat.up_to) / (steep.up_to - flat.up_to);
                vec![(flat, 1.0 - t), (steep, t)]
            }
            Self::Overhang { upper, lower } => {
                let mut all = upper.parts();
                all.push((lower, -1.0));
                all
            }
        }
    }

    /// GCp at an effective wind area in m2.
    ///
    /// # Errors
    /// An area that is not above zero, a row without points, or with points that do not ascend.
    pub fn at(&self, area: f64) -> Result<f64, NotComputed> {
        self.parts().into_iter().try_fold(0.0, |sum, (row, share)| Ok(sum + share * row.read(area)?.value()))
    }

    /// Its points, area in m2 and GCp: it is straight over the logarithm of the area between them, and level outside.
    ///
    /// # Errors
    /// As [`Coefficient::at`].
    pub fn points(&self) -> Result<Vec<(f64, f64)>, NotComputed> {
        let areas = area::areas(self.parts().into_iter().map(|(row, _)| row.points.as_slice()));
        if areas.is_empty() {
            // Told as what it is.
            self.at(FOOT * FOOT)?;
        }
        areas.into_iter().map(|feet| feet * FOOT * FOOT).map(|a| Ok((a, self.at(a)?))).collect()
    }

    /// Whether it is of an overhang.
    #[must_use]
    pub fn overhang(&self) -> bool {
        self.parts().iter().any(|(row, _)| row.overhang)
    }

    /// Which way the pressure acts.
    #[must_use]
    pub fn side(&self) -> Side {
        match self {
            Self::Row(row) | Self::Between { flat: row, .. } => row.side,
            Self::Overhang { upper, .. } => upper.side(),
        }
    }

    /// How we know it: the worst of its rows.
    #[must_use]
    pub fn mark(&self) -> Mark {
        self.parts().iter().map(|(row, _)| row.mark).max().unwrap_or(Mark::Shaky)
    }

    /// The hand calculation at an effective wind area in m2; the last line is GCp.
    ///
    /// # Errors
    /// As [`Coefficient::at`].
    pub fn steps(&self, area: f64) -> Result<Vec<Step>, NotComputed> {
        self.steps_of("GCp", area)
    }

    fn steps_of(&self, symbol: &'static str, area: f64) -> Result<Vec<Step>, NotComputed> {
        let value = self.at(area)?;
        match self {
            Self::Row(row) => Ok(vec![row.step(symbol, area)?]),
            Self::Between { flat, steep, slope } => {
                let (c1, c2) = (flat.step("c1", area)?, steep.step("c2", area)?);
                let (t1, t2) = (num(flat.up_to), num(steep.up_to));
                let numbers = format!(
                    "{c1} + ({} - ({c1})) * ({} - {t1}) / ({t2} - {t1})",
                    num(c2.value),
                    num(*slope),
                    c1 = num(c1.value)
                );
                let source = steep.source();
                Ok(vec![
                    Step::input("t1", "slope that c1 is for", flat.up_to, "deg", source),
                    c1,
                    Step::input("t2", "slope that c2 is for", steep.up_to, "deg", source),
                    c2,
                    Step::input("theta", "slope of the roof", *slope, "deg", Source::GEOMETRY),
                    Step::new(
                        symbol,
                        "outer pressure coefficient of the zone, straight over the slope",
                        "c1 + (c2 - c1) (theta - t1) / (t2 - t1)",
                        numbers,
                        value,
                    )
                    .source(source),
                ])
            }
            Self::Overhang { upper, lower } => {
                let mut steps = upper.steps_of("GCp_up", area)?;
                let pull = upper.at(area)?;
                let push = Step {
                    what: "push from below, as on the wall beside the overhang",
                    ..lower.step("GCp_low", area)?
                };
                let numbers = format!("{} - {}", num(pull), num(push.value));
                steps.push(push);
                steps.push(
                    Step::new(
                        symbol,
                        "net coefficient of both faces of the overhang",
                        "GCp_up - GCp_low",
                        numbers,
                        value,
                    )
                    .source(lower.source()),
                );
                Ok(steps)
            }
        }
    }
}

/// A slope in radians as degrees, a hair off, so that a slope of 7 degrees written in radians is 7 degrees.
pub(super) fn degrees(slope: f64) -> Result<f64, NotComputed> {
    Ok((within("slope, radians", slope, 0.0, std::f64::consts::FRAC_PI_2)?.to_degrees() * 1e9).round() / 1e9)
}
