//! ASCE 7 components and cladding of low-rise buildings: velocity pressure, coefficients by zone and area, zone widths.
//!
//! Aim: net pressure of a zone with every factor shown. Reason: an engineer replaces what he knows better, so coefficients are
//! data. Limits: the editions 7-10 (superseded), 7-16 and 7-22 as far as rows are shipped; a case without a row is not
//! covered. Rows that are only recalled carry that mark.

use serde::{Deserialize, Serialize};

use crate::capacity::fault::{NotComputed, positive, within};
use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{FOOT, MPH, PSF, num};

use super::area::{self, ByArea, Read};
pub use super::shipped::shipped;

/// Edition of ASCE 7.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Edition {
    /// ASCE 7-10.
    #[serde(rename = "ASCE 7-10")]
    Asce7_10,
    /// ASCE 7-16.
    #[serde(rename = "ASCE 7-16")]
    Asce7_16,
    /// ASCE 7-22.
    #[serde(rename = "ASCE 7-22")]
    Asce7_22,
}

impl Edition {
    /// Name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Asce7_10 => "ASCE 7-10",
            Self::Asce7_16 => "ASCE 7-16",
            Self::Asce7_22 => "ASCE 7-22",
        }
    }

    /// The edition that took its place, if any.
    #[must_use]
    pub const fn superseded_by(self) -> Option<Self> {
        match self {
            Self::Asce7_10 => Some(Self::Asce7_16),
            Self::Asce7_16 => Some(Self::Asce7_22),
            Self::Asce7_22 => None,
        }
    }
}

/// Exposure category.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Exposure {
    /// Towns, suburbs, woods.
    B,
    /// Open country.
    C,
    /// Flat, unobstructed, water.
    D,
}

/// How far wind gets in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Enclosure {
    /// Enclosed.
    Enclosed,
    /// Partially enclosed.
    PartiallyEnclosed,
    /// Open.
    Open,
}

/// Shape of the roof.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Roof {
    /// Two slopes and two gables.
    Gable,
    /// Slopes on all sides.
    Hip,
    /// One slope.
    Monoslope,
}

/// Which way the pressure acts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// Away from the roof.
    Suction,
    /// Towards it.
    Pressure,
}

/// One coefficient GCp: a straight line over the logarithm of the effective wind area between its points.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Edition.
    pub edition: Edition,
    /// Shapes that it serves.
    pub roofs: Vec<Roof>,
    /// Whether it is for overhangs (net of both faces; no inner pressure is added).
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

impl Row {
    /// Where an effective wind area in m2 lies on the row's line (whose areas are in square feet), with its GCp.
    ///
    /// # Errors
    /// An area that is not above zero, a row without points, or with points that do not ascend.
    pub fn read(&self, area: f64) -> Result<Read, NotComputed> {
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

    /// GCp at an effective wind area in m2.
    ///
    /// # Errors
    /// As [`Row::read`].
    pub fn coefficient(&self, area: f64) -> Result<f64, NotComputed> {
        Ok(self.read(area)?.value())
    }

    /// The line of [`Row::coefficient`].
    ///
    /// # Errors
    /// As there.
    pub fn step(&self, area: f64) -> Result<Step, NotComputed> {
        Ok(self.read(area)?.step("GCp", area / (FOOT * FOOT), self.source()))
    }
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
    ///
    /// # Errors
    /// A slope that is no number, or no such row.
    pub fn row(&self, place: &Place<'_>, side: Side) -> Result<&Row, NotComputed> {
        let degrees = degrees(place.slope)?;
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
}

fn degrees(slope: f64) -> Result<f64, NotComputed> {
    // A hair off, so that a slope of 7 degrees written in radians is 7 degrees.
    Ok((within("slope, radians", slope, 0.0, std::f64::consts::FRAC_PI_2)?.to_degrees() * 1e9).round() / 1e9)
}

/// The site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Edition.
    pub edition: Edition,
    /// Basic wind speed at strength level, m/s.
    pub speed: f64,
    /// Exposure.
    pub exposure: Exposure,
    /// Mean roof height, m.
    pub height: f64,
    /// Topographic factor Kzt (1 on level ground); given, not computed.
    pub topography: f64,
    /// Ground above the sea, m; counts from ASCE 7-16 on.
    pub elevation: f64,
    /// Enclosure.
    pub enclosure: Enclosure,
}

/// Velocity pressure and its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Velocity {
    /// Kz.
    pub kz: f64,
    /// Ke.
    pub ke: f64,
    /// Kd.
    pub kd: f64,
    /// Velocity pressure with Kd, Pa (7-22 puts Kd into the pressure; the product is the same).
    pub pressure: f64,
}

const KD: Source = Source::new("ASCE 7 Table 26.6-1", Mark::FromMemory);
const GCPI: Source = Source::new("ASCE 7 Table 26.13-1 (7-10: 26.11-1)", Mark::FromMemory);
const MINIMUM: Source = Source::new("ASCE 7 30.2.2: 16 psf at strength level", Mark::FromMemory);
/// Least net pressure at strength level, Pa.
pub const LEAST_PRESSURE: Known = Known::new(16.0 * PSF, MINIMUM);
/// Factor of wind in allowable stress design.
pub const ASD_FACTOR: Known = Known::new(0.6, Source::new("ASCE 7 2.4.1", Mark::FromMemory));

impl Site {
    fn profile(&self) -> (f64, f64, f64) {
        // Coefficient, alpha, zg in feet.
        match (self.edition, self.exposure) {
            (Edition::Asce7_22, Exposure::B) => (2.41, 7.5, 3280.0),
            (Edition::Asce7_22, Exposure::C) => (2.41, 9.8, 2460.0),
            (Edition::Asce7_22, Exposure::D) => (2.41, 11.5, 1935.0),
            (_, Exposure::B) => (2.01, 7.0, 1200.0),
            (_, Exposure::C) => (2.01, 9.5, 900.0),
            (_, Exposure::D) => (2.01, 11.5, 700.0),
        }
    }

    /// Height that Kz is taken at, feet.
    fn height_ft(&self) -> f64 {
        let least = if self.edition == Edition::Asce7_10 && self.exposure == Exposure::B { 30.0 } else { 15.0 };
        (self.height / FOOT).max(least)
    }

    fn profile_source(&self) -> Source {
        match self.edition {
            Edition::Asce7_10 => Source::new("ASCE 7-10 Table 30.3-1", Mark::Validated),
            Edition::Asce7_16 => Source::new("ASCE 7-16 Table 26.10-1", Mark::FromMemory),
            Edition::Asce7_22 => Source::new("ASCE 7-22 Table 26.10-1", Mark::FromMemory),
        }
    }

    fn equation(&self) -> Source {
        match self.edition {
            Edition::Asce7_10 => Source::new("ASCE 7-10 eq. 30.3-1", Mark::Validated),
            Edition::Asce7_16 => Source::new("ASCE 7-16 eq. 26.10-1", Mark::FromMemory),
            Edition::Asce7_22 => Source::new("ASCE 7-22 eq. 26.10-1 and 30.3-1", Mark::FromMemory),
        }
    }

    /// Velocity pressure.
    ///
    /// # Errors
    /// A speed that is not between 20 and 350 mph, a height not above zero or above 60 ft, a factor out of reason.
    pub fn velocity(&self) -> Result<Velocity, NotComputed> {
        let v = within("wind speed, m/s", self.speed, 20.0 * MPH, 350.0 * MPH)? / MPH;
        positive("mean roof height", self.height)?;
        within("mean roof height, m", self.height, 0.0, 60.0 * FOOT + 1e-9)?;
        within("topographic factor", self.topography, 0.5, 5.0)?;
        within("ground elevation, m", self.elevation, -500.0, 9000.0)?;
        let (c, alpha, zg) = self.profile();
        let kz = if self.edition == Edition::Asce7_10 && self.exposure == Exposure::B && self.height_ft() <= 30.0 {
            0.70
        } else {
            c * (self.height_ft() / zg).powf(2.0 / alpha)
        };
        let ke = if self.edition == Edition::Asce7_10 { 1.0 } else { (-0.000_036_2 * self.elevation / FOOT).exp() };
        let kd = 0.85;
        Ok(Velocity { kz, ke, kd, pressure: 0.00256 * kz * self.topography * ke * kd * v * v * PSF })
    }

    /// Inner pressure coefficient GCpi, both ways.
    ///
    /// # Errors
    /// Open buildings need net coefficients that are not here.
    pub fn inner(&self) -> Result<Known, NotComputed> {
        match self.enclosure {
            Enclosure::Enclosed => Ok(Known::new(0.18, GCPI)),
            Enclosure::PartiallyEnclosed => Ok(Known::new(0.55, GCPI)),
            Enclosure::Open => Err(NotComputed::NotCovered {
                what: "wind on an open building",
                why: "net coefficients of free roofs are not shipped: give pressures by zone",
            }),
        }
    }

    /// Net pressure at strength level on a place over an effective wind area (m2), as a size not below zero, Pa.
    ///
    /// # Errors
    /// As [`Site::velocity`], [`Site::inner`] and [`Row::coefficient`].
    pub fn net(&self, row: &Row, area: f64) -> Result<f64, NotComputed> {
        let outward = self.outward(row, row.coefficient(area)?)?;
        Ok(outward.max(LEAST_PRESSURE.value))
    }

    /// What a coefficient of a row makes, not yet raised to the least, Pa.
    fn outward(&self, row: &Row, coefficient: f64) -> Result<f64, NotComputed> {
        let q = self.velocity()?.pressure;
        let inner = if row.overhang { 0.0 } else { self.inner()?.value };
        Ok(match row.side {
            Side::Suction => q * (inner - coefficient),
            Side::Pressure => q * (coefficient + inner),
        })
    }

    /// The same over all areas.
    ///
    /// # Errors
    /// As [`Site::net`].
    pub fn net_by_area(&self, row: &Row) -> Result<ByArea, NotComputed> {
        // Asked once at some area, so that a row without usable points is told.
        row.read(FOOT * FOOT)?;
        let of = |&(feet, c): &(f64, f64)| Ok((feet * FOOT * FOOT, self.outward(row, c)?));
        let points: Result<Vec<_>, NotComputed> = row.points.iter().map(of).collect();
        Ok(ByArea::new(points?, LEAST_PRESSURE.value))
    }

    /// The hand calculation of the velocity pressure.
    ///
    /// # Errors
    /// As [`Site::velocity`].
    pub fn velocity_steps(&self) -> Result<Vec<Step>, NotComputed> {
        let v = self.velocity()?;
        let (c, alpha, zg) = self.profile();
        let speed = self.speed / MPH;
        let mut steps = vec![
            Step::input("V", "basic wind speed, strength level", speed, "mph", Source::GIVEN),
            Step::input("h", "mean roof height", self.height / FOOT, "ft", Source::GIVEN),
        ];
        steps.push(if v.kz == 0.70 {
            Step::input("Kz", "exposure factor, exposure B up to 30 ft", v.kz, "", self.profile_source())
        } else {
            Step::new(
                "Kz",
                "exposure factor",
                "c (z/zg)^(2/alpha), z not below 15 ft (30 ft in exposure B of 7-10)",
                format!("{} * ({}/{})^(2/{})", num(c), num(self.height_ft()), num(zg), num(alpha)),
                v.kz,
            )
            .source(self.profile_source())
        });
        steps.push(Step::input("Kzt", "topographic factor", self.topography, "", Source::GIVEN));
        steps.push(if self.edition == Edition::Asce7_10 {
            Step::input("Ke", "ground elevation factor: this edition has none", 1.0, "", self.equation())
        } else {
            Step::new(
                "Ke",
                "ground elevation factor",
                "exp(-0.0000362 z_ground)",
                format!("exp(-0.0000362 * {})", num(self.elevation / FOOT)),
                v.ke,
            )
            .source(Source::new("ASCE 7 Table 26.9-1", Mark::FromMemory))
        });
        steps.push(Step::input("Kd", "directionality factor", v.kd, "", KD));
        steps.push(
            Step::new(
                "qh",
                "velocity pressure, Kd put in here",
                "0.00256 Kz Kzt Ke Kd V^2",
                format!(
                    "0.00256 * {} * {} * {} * {} * {}^2",
                    num(v.kz),
                    num(self.topography),
                    num(v.ke),
                    num(v.kd),
                    num(speed)
                ),
                v.pressure / PSF,
            )
            .unit("psf")
            .source(self.equation()),
        );
        Ok(steps)
    }

    /// The hand calculation of a net pressure, after those of [`Site::velocity_steps`].
    ///
    /// # Errors
    /// As [`Site::net`].
    pub fn net_steps(&self, row: &Row, area: f64) -> Result<Vec<Step>, NotComputed> {
        let p = self.net(row, area)? / PSF;
        let q = self.velocity()?.pressure / PSF;
        let c = row.coefficient(area)?;
        let mut steps = vec![
            Step::input("A", "effective wind area", area / (FOOT * FOOT), "ft2", Source::GEOMETRY),
            row.step(area)?,
        ];
        let inner = if row.overhang {
            Known::new(0.0, Source::new("overhang: the coefficient is net of both faces", row.mark))
        } else {
            self.inner()?
        };
        steps.push(Step::input("GCpi", "inner pressure coefficient", inner.value, "", inner.source));
        let (what, formula, numbers) = match row.side {
            Side::Suction => (
                "net suction, strength level, not below the least",
                "max(qh (GCpi - GCp), 16)",
                format!("max({} * ({} - ({})), 16)", num(q), num(inner.value), num(c)),
            ),
            Side::Pressure => (
                "net pressure, strength level, not below the least",
                "max(qh (GCp + GCpi), 16)",
                format!("max({} * ({} + {}), 16)", num(q), num(c), num(inner.value)),
            ),
        };
        steps.push(Step::new("p", what, formula, numbers, p).unit("psf").source(self.equation()));
        Ok(steps)
    }
}

impl Row {
    /// Edition and mark of the row.
    #[must_use]
    pub const fn source(&self) -> Source {
        let text = match (self.edition, matches!(self.mark, Mark::Given)) {
            (_, true) => "the design's own table of coefficients",
            (Edition::Asce7_10, _) => "ASCE 7-10 Figures 30.4-2 and 30.4-5",
            (Edition::Asce7_16, _) => "ASCE 7-16 Figures 30.3-2 and 30.3-5",
            (Edition::Asce7_22, _) => "ASCE 7-22 Figures 30.3-2 and 30.3-5",
        };
        Source::new(text, self.mark)
    }
}

/// Width a of edge zones: a tenth of the least width or 0.4 h, the smaller, but not below 0.04 of the least width or 3 ft. All
/// in metres.
///
/// # Errors
/// Sizes that are not above zero.
pub fn zone_width(least_width: f64, height: f64) -> Result<f64, NotComputed> {
    let w = positive("least width of the building", least_width)?;
    let h = positive("mean roof height", height)?;
    Ok((0.1 * w).min(0.4 * h).max(0.04 * w).max(3.0 * FOOT))
}

/// Source of [`zone_width`].
pub const ZONE_WIDTH: Source = Source::new("ASCE 7-16 Figure 30.3-2, notes", Mark::Published);

/// The line of [`zone_width`].
///
/// # Errors
/// As [`zone_width`].
pub fn zone_width_step(least_width: f64, height: f64) -> Result<Step, NotComputed> {
    let a = zone_width(least_width, height)?;
    let (w, h) = (num(least_width / FOOT), num(height / FOOT));
    Ok(Step::new(
        "a",
        "width of edge zones",
        "max(min(0.1 w, 0.4 h), 0.04 w, 3)",
        format!("max(min(0.1*{w}, 0.4*{h}), 0.04*{w}, 3)"),
        a / FOOT,
    )
    .unit("ft")
    .source(ZONE_WIDTH))
}

/// Effective wind area of a batten: span times the larger of the width that hangs on it and a third of the span, m2.
///
/// # Errors
/// Sizes that are not above zero.
pub fn effective_area(span: f64, width: f64) -> Result<f64, NotComputed> {
    let span = positive("span", span)?;
    Ok(span * positive("tributary width", width)?.max(span / 3.0))
}

/// Kinds of edges that zones lie along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// The lowest edge.
    Eave,
    /// A sloping edge at a gable.
    Rake,
    /// The ridge of a gable or hip.
    Ridge,
    /// The high edge of a monoslope.
    HighEdge,
    /// A hip.
    Hip,
}

/// Where a zone lies: within `reach` of one of the edges `near` and, if `and_near` is not empty, within `and_reach` of
/// one of those. Metres on plan. Where several fit a place, the first of the list counts; the last has no edges and holds
/// the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZonePlace {
    /// Name in the tables.
    pub zone: &'static str,
    /// Within `reach` of one of these; empty: everywhere.
    pub near: &'static [Edge],
    /// Reach, m.
    pub reach: f64,
    /// And within `and_reach` of one of these that is not the same edge; empty: no further condition.
    pub and_near: &'static [Edge],
    /// Reach, m.
    pub and_reach: f64,
    /// How we know the layout.
    pub mark: Mark,
}

/// How the zones of a roof lie. `a` from [`zone_width`], `height` the mean roof height, m.
///
/// # Errors
/// No layout for this edition, shape and slope.
pub fn layout(edition: Edition, roof: Roof, slope: f64, a: f64, height: f64) -> Result<Vec<ZonePlace>, NotComputed> {
    use Edge::{Eave, HighEdge, Hip, Rake, Ridge};
    let degrees = degrees(slope)?;
    let a = positive("zone width", a)?;
    let h = positive("mean roof height", height)?;
    let place =
        |zone, near, reach, and_near, and_reach, mark| ZonePlace { zone, near, reach, and_near, and_reach, mark };
    const OUTER: &[Edge] = &[Eave, Rake, HighEdge];
    const ALL: &[Edge] = &[Eave, Rake, Ridge, Hip, HighEdge];
    const NONE: &[Edge] = &[];
    let m = Mark::FromMemory;
    let s = Mark::Shaky;
    let low = if roof == Roof::Monoslope { 3.0 } else { 7.0 };
    match edition {
        Edition::Asce7_10 if degrees <= low => Ok(vec![
            place("3", OUTER, a, OUTER, a, m),
            place("2", OUTER, a, NONE, 0.0, m),
            place("1", NONE, 0.0, NONE, 0.0, m),
        ]),
        Edition::Asce7_10 if degrees <= 45.0 && roof != Roof::Monoslope => Ok(vec![
            // Corners of eaves, and ends of ridges at gables.
            place("3", &[Eave, Ridge], a, &[Eave, Rake], a, m),
            place("2", ALL, a, NONE, 0.0, m),
            place("1", NONE, 0.0, NONE, 0.0, m),
        ]),
        _ if roof == Roof::Monoslope && degrees > 3.0 && degrees <= 10.0 => Ok(vec![
            place("3'", &[HighEdge], 2.0 * a, &[Rake], 2.0 * a, s),
            place("3", &[Eave], 2.0 * a, &[Rake], 2.0 * a, s),
            place("2'", &[HighEdge], 2.0 * a, NONE, 0.0, s),
            place("2", &[Eave, Rake], a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        _ if roof == Roof::Monoslope && degrees > 3.0 && degrees <= 30.0 => Ok(vec![
            place("3", &[HighEdge], 2.0 * a, &[Rake], 2.0 * a, s),
            place("2", OUTER, a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        // The corner of zone 3 is L-shaped; taken here as the whole square, which is larger.
        Edition::Asce7_16 | Edition::Asce7_22 if degrees <= low => Ok(vec![
            place("3", OUTER, 0.6 * h, OUTER, 0.6 * h, m),
            place("2", OUTER, 0.6 * h, NONE, 0.0, m),
            place("1", OUTER, 1.2 * h, NONE, 0.0, m),
            place("1'", NONE, 0.0, NONE, 0.0, m),
        ]),
        Edition::Asce7_16 if roof == Roof::Gable && degrees <= 45.0 => Ok(vec![
            place("3r", &[Ridge], a, &[Rake], a, s),
            place("3e", &[Eave], a, &[Rake], a, s),
            place("2r", &[Ridge], a, NONE, 0.0, s),
            place("2n", &[Rake], a, NONE, 0.0, s),
            place("2e", &[Eave], a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        // The corner of an eave is a square; what is near eave and hip is larger.
        Edition::Asce7_16 if roof == Roof::Hip && degrees <= 45.0 => Ok(vec![
            place("3", &[Eave], a, &[Hip, Rake], a, s),
            place("2e", &[Eave, Rake], a, NONE, 0.0, s),
            place("2r", &[Ridge, Hip], a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        // All edges are zone 2 and all their corners zone 3, which holds whatever the figure draws.
        Edition::Asce7_22 if roof == Roof::Gable && degrees <= 45.0 => Ok(vec![
            place("3", &[Eave, Ridge], a, &[Rake], a, s),
            place("2", &[Eave, Rake, Ridge], a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        Edition::Asce7_22 if roof == Roof::Hip && degrees <= 45.0 => Ok(vec![
            place("3", &[Eave, Rake], a, NONE, 0.0, s),
            place("2", &[Ridge, Hip], a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        _ => Err(NotComputed::NotCovered {
            what: "wind zones",
            why: "no layout for this edition, shape and slope: give pressures by zone",
        }),
    }
}
