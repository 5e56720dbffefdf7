//! ASCE 7 components and cladding of low-rise buildings: velocity pressure, coefficients by zone and area, zone widths.
//!
//! Aim: net pressure of a zone with every factor shown. Reason: an engineer replaces what he knows better, so coefficients are
//! data. Limits: the editions 7-10 (superseded), 7-16 and 7-22 as far as rows are shipped; a case without a row is not
//! covered. Rows that are only recalled carry that mark.

mod coefficient;
mod layout;
mod shipped;

use serde::{Deserialize, Serialize};

pub use coefficient::{Coefficient, Place, Row, Side, Table};
pub use layout::{Edge, ZONE_WIDTH, ZonePlace, layout, zone_width, zone_width_step};
pub use shipped::shipped;

use super::area::ByArea;
use crate::capacity::fault::{NotComputed, positive, within};
use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{FOOT, MPH, PSF, num};
use crate::quantity::maths::{exp, pow};

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
    /// None of the others (7-16 and later).
    PartiallyOpen,
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
const GCPI_PARTLY_OPEN: Source =
    Source::new("ASCE 7-16 26.2 with its commentary and Table 26.13-1, partially open", Mark::Published);
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
            Edition::Asce7_22 => Source::new("ASCE 7-22 eq. 26.10-1", Mark::FromMemory),
        }
    }

    fn net_equation(&self) -> Source {
        match self.edition {
            Edition::Asce7_10 => Source::new("ASCE 7-10 eq. 30.4-1 and 30.2.2", Mark::Validated),
            Edition::Asce7_16 => Source::new("ASCE 7-16 eq. 30.3-1 and 30.2.2", Mark::FromMemory),
            Edition::Asce7_22 => Source::new("ASCE 7-22 eq. 30.3-1 and 30.2.2", Mark::FromMemory),
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
            c * pow(self.height_ft() / zg, 2.0 / alpha)
        };
        let ke = if self.edition == Edition::Asce7_10 { 1.0 } else { exp(-0.000_036_2 * self.elevation / FOOT) };
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
            Enclosure::PartiallyOpen if self.edition == Edition::Asce7_10 => Err(NotComputed::NotCovered {
                what: "wind on a partially open building",
                why: "ASCE 7-10 does not know it: what is neither open nor partially enclosed is enclosed there (26.2)",
            }),
            Enclosure::PartiallyOpen => Ok(Known::new(0.18, GCPI_PARTLY_OPEN)),
            Enclosure::Open => Err(NotComputed::NotCovered {
                what: "wind on an open building",
                why: "net coefficients of free roofs are not shipped: give pressures by zone",
            }),
        }
    }

    /// Net pressure at strength level on a place over an effective wind area (m2), as a size not below zero, Pa.
    ///
    /// # Errors
    /// As [`Site::velocity`], [`Site::inner`] and [`Coefficient::at`].
    pub fn net(&self, coefficient: &Coefficient, area: f64) -> Result<f64, NotComputed> {
        let outward = self.outward(coefficient, coefficient.at(area)?)?;
        Ok(outward.max(LEAST_PRESSURE.value))
    }

    /// What a value of a coefficient makes, not yet raised to the least, Pa.
    fn outward(&self, coefficient: &Coefficient, value: f64) -> Result<f64, NotComputed> {
        let q = self.velocity()?.pressure;
        let inner = if coefficient.overhang() { 0.0 } else { self.inner()?.value };
        Ok(match coefficient.side() {
            Side::Suction => q * (inner - value),
            Side::Pressure | Side::Below => q * (value + inner),
        })
    }

    /// The same over all areas.
    ///
    /// # Errors
    /// As [`Site::net`].
    pub fn net_by_area(&self, coefficient: &Coefficient) -> Result<ByArea, NotComputed> {
        let of = |(area, value): (f64, f64)| Ok((area, self.outward(coefficient, value)?));
        let points: Result<Vec<_>, NotComputed> = coefficient.points()?.into_iter().map(of).collect();
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
    pub fn net_steps(&self, coefficient: &Coefficient, area: f64) -> Result<Vec<Step>, NotComputed> {
        let p = self.net(coefficient, area)? / PSF;
        let q = self.velocity()?.pressure / PSF;
        let c = coefficient.at(area)?;
        let mut steps = vec![Step::input("A", "effective wind area", area / (FOOT * FOOT), "ft2", Source::GEOMETRY)];
        steps.extend(coefficient.steps(area)?);
        let inner = if coefficient.overhang() {
            Known::new(0.0, Source::new("overhang: the coefficient is net of both faces", coefficient.mark()))
        } else {
            self.inner()?
        };
        steps.push(Step::input("GCpi", "inner pressure coefficient", inner.value, "", inner.source));
        let (what, formula, numbers) = match coefficient.side() {
            Side::Suction => (
                "net suction, strength level, not below the least",
                "max(qh (GCpi - GCp), 16)",
                format!("max({} * ({} - ({})), 16)", num(q), num(inner.value), num(c)),
            ),
            Side::Pressure | Side::Below => (
                "net pressure, strength level, not below the least",
                "max(qh (GCp + GCpi), 16)",
                format!("max({} * ({} + {}), 16)", num(q), num(c), num(inner.value)),
            ),
        };
        steps.push(Step::new("p", what, formula, numbers, p).unit("psf").source(self.net_equation()));
        Ok(steps)
    }
}

/// Effective wind area of a batten: span times the larger of the width that hangs on it and a third of the span, m2.
///
/// # Errors
/// Sizes that are not above zero.
pub fn effective_area(span: f64, width: f64) -> Result<f64, NotComputed> {
    let span = positive("span", span)?;
    Ok(span * positive("tributary width", width)?.max(span / 3.0))
}
