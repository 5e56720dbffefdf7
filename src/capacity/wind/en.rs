//! EN 1991-1-4: peak velocity pressure and outer coefficients of duopitch, monopitch and hipped roofs.
//!
//! Aim: net pressure of the zones F to M. Reason: the other load standard. Limits: recommended values, flat ground (orography
//! factor 1), pitches of 5 to 60 degrees; national annexes differ and rule. Tables 7.3 and 7.5 were compared with a public
//! transcription, not with the standard itself, and count as from memory until a design confirms them. Zone N is taken as zone M, which is worse.

use serde::{Deserialize, Serialize};

use crate::capacity::fault::{NotComputed, positive, within};
use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::num;
use crate::quantity::maths::{ln, log10, pow};

/// Terrain category.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Terrain {
    /// Sea.
    Sea,
    /// Lakes, flat land without obstacles.
    I,
    /// Low vegetation, single obstacles.
    II,
    /// Villages, suburbs, woods.
    III,
    /// Towns.
    IV,
}

impl Terrain {
    /// z0 and zmin, m.
    const fn roughness(self) -> (f64, f64) {
        match self {
            Self::Sea => (0.003, 1.0),
            Self::I => (0.01, 1.0),
            Self::II => (0.05, 2.0),
            Self::III => (0.3, 5.0),
            Self::IV => (1.0, 10.0),
        }
    }
}

const TERRAIN: Source = Source::new("EN 1991-1-4 Table 4.1", Mark::FromMemory);
const VELOCITY: Source = Source::new("EN 1991-1-4 4.3 to 4.5 (recommended values)", Mark::FromMemory);

/// The site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// Basic wind velocity vb, m/s.
    pub speed: f64,
    /// Terrain.
    pub terrain: Terrain,
    /// Reference height, m (up to 200).
    pub height: f64,
}

impl Site {
    fn parts(&self) -> Result<(f64, f64, f64, f64, f64), NotComputed> {
        within("basic wind velocity, m/s", self.speed, 5.0, 100.0)?;
        positive("reference height", self.height)?;
        within("reference height, m", self.height, 0.0, 200.0)?;
        let (z0, least) = self.terrain.roughness();
        let z = self.height.max(least);
        let kr = 0.19 * pow(z0 / 0.05_f64, 0.07);
        let log = ln(z / z0);
        Ok((z0, z, kr, kr * log, 1.0 / log))
    }

    /// Peak velocity pressure qp, Pa.
    ///
    /// # Errors
    /// A velocity outside 5 to 100 m/s, a height not above zero or above 200 m.
    pub fn peak_pressure(&self) -> Result<f64, NotComputed> {
        let (_, _, _, cr, iv) = self.parts()?;
        let v = cr * self.speed;
        Ok((1.0 + 7.0 * iv) * 0.5 * 1.25 * v * v)
    }

    /// The hand calculation of qp.
    ///
    /// # Errors
    /// As [`Site::peak_pressure`].
    pub fn steps(&self) -> Result<Vec<Step>, NotComputed> {
        let (z0, z, kr, cr, iv) = self.parts()?;
        let q = self.peak_pressure()?;
        Ok(vec![
            Step::input("vb", "basic wind velocity", self.speed, "m/s", Source::GIVEN),
            Step::input("z", "reference height, not below z_min", z, "m", Source::GIVEN),
            Step::input("z0", "roughness length", z0, "m", TERRAIN),
            Step::new("kr", "terrain factor", "0.19 (z0/0.05)^0.07", format!("0.19 * ({}/0.05)^0.07", num(z0)), kr)
                .source(VELOCITY),
            Step::new("cr", "roughness factor", "kr ln(z/z0)", format!("{} * ln({}/{})", num(kr), num(z), num(z0)), cr)
                .source(VELOCITY),
            Step::new("Iv", "turbulence intensity", "1 / ln(z/z0)", format!("1 / ln({}/{})", num(z), num(z0)), iv)
                .source(VELOCITY),
            Step::new(
                "qp",
                "peak velocity pressure",
                "(1 + 7 Iv) 0.5 rho (cr vb)^2",
                format!("(1 + 7*{}) * 0.5 * 1.25 * ({}*{})^2", num(iv), num(cr), num(self.speed)),
                q,
            )
            .unit("Pa")
            .source(VELOCITY),
        ])
    }
}

/// Which way the wind blows, and on what.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Direction {
    /// Against an eave (Table 7.4a).
    Eave,
    /// Along the ridge (Table 7.4b).
    Ridge,
    /// Against the low eave of a monopitch roof (Table 7.3a, 0 degrees).
    Low,
    /// Against the high edge of a monopitch roof (Table 7.3a, 180 degrees).
    High,
    /// Against a gable of a monopitch roof (Table 7.3b).
    Gable,
    /// On a hipped roof, from any side (Table 7.5).
    Hip,
}

/// A coefficient pair of a zone at one pitch.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// Direction.
    pub direction: Direction,
    /// Pitch, degrees.
    pub pitch: f64,
    /// Zone, `F` to `M`; `F up` and `F low` at the gable of a monopitch roof.
    pub zone: String,
    /// cpe,10 of suction.
    pub ten: f64,
    /// cpe,1 of suction.
    pub one: f64,
    /// cpe of pressure towards the roof, if the table has one.
    #[serde(default)]
    pub pressing: Option<f64>,
    /// How we know it.
    pub mark: Mark,
}

/// Coefficients: those that come along, or the user's own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Table {
    /// All rows.
    pub coefficient: Vec<Row>,
}

/// Direction, pitch, zone, cpe,10, cpe,1, pressing, mark.
type Line = (Direction, f64, &'static str, f64, f64, Option<f64>, Mark);

use Direction::{Eave, Gable, High, Hip, Low, Ridge};
use Mark::{FromMemory, Published, Shaky};

const LINES: &[Line] = &[
    (Eave, 5.0, "F", -1.7, -2.5, Some(0.0), FromMemory),
    (Eave, 5.0, "G", -1.2, -2.0, Some(0.0), FromMemory),
    (Eave, 5.0, "H", -0.6, -1.2, Some(0.0), FromMemory),
    (Eave, 5.0, "I", -0.6, -0.6, None, FromMemory),
    (Eave, 5.0, "J", -0.6, -0.6, Some(0.2), FromMemory),
    (Eave, 15.0, "F", -0.9, -2.0, Some(0.2), Published),
    (Eave, 15.0, "G", -0.8, -1.5, Some(0.2), Published),
    (Eave, 15.0, "H", -0.3, -0.3, Some(0.2), Published),
    (Eave, 15.0, "I", -0.4, -0.4, None, Published),
    (Eave, 15.0, "J", -1.0, -1.5, None, Published),
    (Eave, 30.0, "F", -0.5, -1.5, Some(0.7), Published),
    (Eave, 30.0, "G", -0.5, -1.5, Some(0.7), Published),
    (Eave, 30.0, "H", -0.2, -0.2, Some(0.4), Published),
    (Eave, 30.0, "I", -0.4, -0.4, None, Published),
    (Eave, 30.0, "J", -0.5, -0.5, None, Published),
    (Eave, 45.0, "F", 0.0, 0.0, Some(0.7), Published),
    (Eave, 45.0, "G", 0.0, 0.0, Some(0.7), Published),
    (Eave, 45.0, "H", 0.0, 0.0, Some(0.6), Published),
    (Eave, 45.0, "I", -0.2, -0.2, None, Published),
    (Eave, 45.0, "J", -0.3, -0.3, None, Published),
    (Eave, 60.0, "F", 0.0, 0.0, Some(0.7), FromMemory),
    (Eave, 60.0, "G", 0.0, 0.0, Some(0.7), FromMemory),
    (Eave, 60.0, "H", 0.0, 0.0, Some(0.7), FromMemory),
    (Eave, 60.0, "I", -0.2, -0.2, None, FromMemory),
    (Eave, 60.0, "J", -0.3, -0.3, None, FromMemory),
    (Ridge, 5.0, "F", -1.6, -2.2, None, FromMemory),
    (Ridge, 5.0, "G", -1.3, -2.0, None, FromMemory),
    (Ridge, 5.0, "H", -0.7, -1.2, None, FromMemory),
    (Ridge, 5.0, "I", -0.6, -0.6, None, FromMemory),
    (Ridge, 15.0, "F", -1.3, -2.0, None, Published),
    (Ridge, 15.0, "G", -1.3, -2.0, None, Published),
    (Ridge, 15.0, "H", -0.6, -1.2, None, Published),
    (Ridge, 15.0, "I", -0.5, -0.5, None, Published),
    (Ridge, 30.0, "F", -1.1, -1.5, None, Published),
    (Ridge, 30.0, "G", -1.4, -2.0, None, Published),
    (Ridge, 30.0, "H", -0.8, -1.2, None, Published),
    (Ridge, 30.0, "I", -0.5, -0.5, None, Published),
    (Ridge, 45.0, "F", -1.1, -1.5, None, Published),
    (Ridge, 45.0, "G", -1.4, -2.0, None, Published),
    (Ridge, 45.0, "H", -0.9, -1.2, None, Published),
    (Ridge, 45.0, "I", -0.5, -0.5, None, Published),
    (Ridge, 60.0, "F", -1.1, -1.5, None, FromMemory),
    (Ridge, 60.0, "G", -1.2, -2.0, None, FromMemory),
    (Ridge, 60.0, "H", -0.8, -1.0, None, FromMemory),
    (Ridge, 60.0, "I", -0.5, -0.5, None, FromMemory),
    (Low, 5.0, "F", -1.7, -2.5, Some(0.0), FromMemory),
    (Low, 5.0, "G", -1.2, -2.0, Some(0.0), FromMemory),
    (Low, 5.0, "H", -0.6, -1.2, Some(0.0), FromMemory),
    (High, 5.0, "F", -2.3, -2.5, None, FromMemory),
    (High, 5.0, "G", -1.3, -2.0, None, FromMemory),
    (High, 5.0, "H", -0.8, -1.2, None, FromMemory),
    (Gable, 5.0, "F up", -2.1, -2.6, None, FromMemory),
    (Gable, 5.0, "F low", -2.1, -2.4, None, FromMemory),
    (Gable, 5.0, "G", -1.8, -2.0, None, FromMemory),
    (Gable, 5.0, "H", -0.6, -1.2, None, FromMemory),
    (Gable, 5.0, "I", -0.5, -0.5, None, FromMemory),
    (Hip, 5.0, "F", -1.7, -2.5, Some(0.0), FromMemory),
    (Hip, 5.0, "G", -1.2, -2.0, Some(0.0), FromMemory),
    (Hip, 5.0, "H", -0.6, -1.2, Some(0.0), FromMemory),
    (Hip, 5.0, "I", -0.3, -0.3, None, FromMemory),
    (Hip, 5.0, "J", -0.6, -0.6, None, FromMemory),
    (Hip, 5.0, "K", -0.6, -0.6, None, FromMemory),
    (Hip, 5.0, "L", -1.2, -2.0, None, FromMemory),
    (Hip, 5.0, "M", -0.6, -1.2, None, FromMemory),
    (Low, 15.0, "F", -0.9, -2.0, Some(0.2), FromMemory),
    (Low, 15.0, "G", -0.8, -1.5, Some(0.2), FromMemory),
    (Low, 15.0, "H", -0.3, -0.3, Some(0.2), FromMemory),
    (High, 15.0, "F", -2.5, -2.8, None, FromMemory),
    (High, 15.0, "G", -1.3, -2.0, None, FromMemory),
    (High, 15.0, "H", -0.9, -1.2, None, FromMemory),
    (Gable, 15.0, "F up", -2.4, -2.9, None, FromMemory),
    (Gable, 15.0, "F low", -1.6, -2.4, None, FromMemory),
    (Gable, 15.0, "G", -1.9, -2.5, None, FromMemory),
    (Gable, 15.0, "H", -0.8, -1.2, None, FromMemory),
    (Gable, 15.0, "I", -0.7, -1.2, None, FromMemory),
    (Hip, 15.0, "F", -0.9, -2.0, Some(0.2), FromMemory),
    (Hip, 15.0, "G", -0.8, -1.5, Some(0.2), FromMemory),
    (Hip, 15.0, "H", -0.3, -0.3, Some(0.2), FromMemory),
    (Hip, 15.0, "I", -0.5, -0.5, None, FromMemory),
    (Hip, 15.0, "J", -1.0, -1.5, None, FromMemory),
    (Hip, 15.0, "K", -1.2, -2.0, None, FromMemory),
    (Hip, 15.0, "L", -1.4, -2.0, None, FromMemory),
    (Hip, 15.0, "M", -0.6, -1.2, None, FromMemory),
    (Low, 30.0, "F", -0.5, -1.5, Some(0.7), FromMemory),
    (Low, 30.0, "G", -0.5, -1.5, Some(0.7), FromMemory),
    (Low, 30.0, "H", -0.2, -0.2, Some(0.4), FromMemory),
    (High, 30.0, "F", -1.1, -2.3, None, FromMemory),
    (High, 30.0, "G", -0.8, -1.5, None, FromMemory),
    (High, 30.0, "H", -0.8, -0.8, None, FromMemory),
    (Gable, 30.0, "F up", -2.1, -2.9, None, FromMemory),
    (Gable, 30.0, "F low", -1.3, -2.0, None, FromMemory),
    (Gable, 30.0, "G", -1.5, -2.0, None, FromMemory),
    (Gable, 30.0, "H", -1.0, -1.3, None, FromMemory),
    (Gable, 30.0, "I", -0.8, -1.2, None, FromMemory),
    (Hip, 30.0, "F", -0.5, -1.5, Some(0.5), FromMemory),
    (Hip, 30.0, "G", -0.5, -1.5, Some(0.7), FromMemory),
    (Hip, 30.0, "H", -0.2, -0.2, Some(0.4), FromMemory),
    (Hip, 30.0, "I", -0.4, -0.4, None, FromMemory),
    (Hip, 30.0, "J", -0.7, -1.2, None, FromMemory),
    (Hip, 30.0, "K", -0.5, -0.5, None, FromMemory),
    (Hip, 30.0, "L", -1.4, -2.0, None, FromMemory),
    (Hip, 30.0, "M", -0.8, -1.2, None, FromMemory),
    (Low, 45.0, "F", 0.0, 0.0, Some(0.7), FromMemory),
    (Low, 45.0, "G", 0.0, 0.0, Some(0.7), FromMemory),
    (Low, 45.0, "H", 0.0, 0.0, Some(0.6), FromMemory),
    (High, 45.0, "F", -0.6, -1.3, None, Shaky),
    (High, 45.0, "G", -0.5, -1.0, None, Shaky),
    (High, 45.0, "H", -0.8, -0.8, None, Shaky),
    (Gable, 45.0, "F up", -1.5, -2.4, None, FromMemory),
    (Gable, 45.0, "F low", -1.3, -2.0, None, FromMemory),
    (Gable, 45.0, "G", -1.4, -2.0, None, FromMemory),
    (Gable, 45.0, "H", -1.0, -1.3, None, FromMemory),
    (Gable, 45.0, "I", -0.9, -1.2, None, FromMemory),
    (Hip, 45.0, "F", 0.0, 0.0, Some(0.7), FromMemory),
    (Hip, 45.0, "G", 0.0, 0.0, Some(0.7), FromMemory),
    (Hip, 45.0, "H", 0.0, 0.0, Some(0.6), FromMemory),
    (Hip, 45.0, "I", -0.3, -0.3, None, FromMemory),
    (Hip, 45.0, "J", -0.6, -0.6, None, FromMemory),
    (Hip, 45.0, "K", -0.3, -0.3, None, FromMemory),
    (Hip, 45.0, "L", -1.3, -2.0, None, FromMemory),
    (Hip, 45.0, "M", -0.8, -1.2, None, FromMemory),
    (Low, 60.0, "F", 0.0, 0.0, Some(0.7), FromMemory),
    (Low, 60.0, "G", 0.0, 0.0, Some(0.7), FromMemory),
    (Low, 60.0, "H", 0.0, 0.0, Some(0.7), FromMemory),
    (High, 60.0, "F", -0.5, -1.0, None, Shaky),
    (High, 60.0, "G", -0.5, -1.0, None, Shaky),
    (High, 60.0, "H", -0.8, -0.8, None, Shaky),
    (Gable, 60.0, "F up", -1.2, -2.0, None, FromMemory),
    (Gable, 60.0, "F low", -1.2, -2.0, None, FromMemory),
    (Gable, 60.0, "G", -1.2, -2.0, None, FromMemory),
    (Gable, 60.0, "H", -1.0, -1.3, None, FromMemory),
    (Gable, 60.0, "I", -0.7, -1.2, None, FromMemory),
    (Hip, 60.0, "F", 0.0, 0.0, Some(0.7), FromMemory),
    (Hip, 60.0, "G", 0.0, 0.0, Some(0.7), FromMemory),
    (Hip, 60.0, "H", 0.0, 0.0, Some(0.7), FromMemory),
    (Hip, 60.0, "I", -0.3, -0.3, None, FromMemory),
    (Hip, 60.0, "J", -0.6, -0.6, None, FromMemory),
    (Hip, 60.0, "K", -0.3, -0.3, None, FromMemory),
    (Hip, 60.0, "L", -1.2, -2.0, None, FromMemory),
    (Hip, 60.0, "M", -0.4, -0.4, None, FromMemory),
];

/// The coefficients that come along (EN 1991-1-4 Tables 7.3a to 7.5).
#[must_use]
pub fn shipped() -> Table {
    let row = |&(direction, pitch, zone, ten, one, pressing, mark): &Line| Row {
        direction,
        pitch,
        zone: zone.to_string(),
        ten,
        one,
        pressing,
        mark,
    };
    Table { coefficient: LINES.iter().map(row).collect() }
}

/// A coefficient between two pitches of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficient {
    /// cpe,10.
    pub ten: f64,
    /// cpe,1.
    pub one: f64,
    /// Pressing cpe, if the table has one at both pitches.
    pub pressing: Option<f64>,
    /// Worst mark of the rows.
    pub mark: Mark,
}

/// The source of outer coefficients, with the mark of their rows.
#[must_use]
pub const fn tables(mark: Mark) -> Source {
    Source::new("EN 1991-1-4 7.2.1 and Tables 7.3 to 7.5", mark)
}

impl Coefficient {
    /// Suction coefficient for a loaded area in m2: cpe,1 up to 1 m2, cpe,10 from 10 m2, between by the logarithm.
    ///
    /// # Errors
    /// An area that is not above zero.
    pub fn suction(&self, area: f64) -> Result<f64, NotComputed> {
        let a = positive("loaded area", area)?.clamp(1.0, 10.0);
        Ok(self.one - (self.one - self.ten) * log10(a))
    }

    /// Its points over the loaded area: m2 and cpe.
    #[must_use]
    pub const fn points(&self) -> [(f64, f64); 2] {
        [(1.0, self.one), (10.0, self.ten)]
    }

    /// The line of [`Coefficient::suction`].
    ///
    /// # Errors
    /// As there.
    pub fn step(&self, area: f64) -> Result<Step, NotComputed> {
        let c = self.suction(area)?;
        Ok(Step::new(
            "cpe",
            "outer coefficient over the loaded area, between the pitches of the table",
            "cpe,1 - (cpe,1 - cpe,10) log10 A, A from 1 to 10",
            format!(
                "{} - ({} - ({})) * log10(min(max({}, 1), 10))",
                num(self.one),
                num(self.one),
                num(self.ten),
                num(area)
            ),
            c,
        )
        .source(tables(self.mark)))
    }
}

impl Table {
    /// The coefficient of a zone, linear between the pitches of the table.
    ///
    /// # Errors
    /// A pitch (radians) outside the table, or a zone that it lacks.
    pub fn coefficient(&self, direction: Direction, pitch: f64, zone: &str) -> Result<Coefficient, NotComputed> {
        let degrees = within("pitch, radians", pitch, 0.0, std::f64::consts::FRAC_PI_2)?.to_degrees();
        let degrees = (degrees * 1e9).round() / 1e9;
        let rows = || self.coefficient.iter().filter(|r| r.direction == direction && r.zone == zone);
        let below = rows().filter(|r| r.pitch <= degrees).max_by(|a, b| a.pitch.total_cmp(&b.pitch));
        let above = rows().filter(|r| r.pitch >= degrees).min_by(|a, b| a.pitch.total_cmp(&b.pitch));
        let (Some(b), Some(a)) = (below, above) else {
            return Err(NotComputed::NotCovered {
                what: "wind coefficient",
                why: "no row for this zone at or around this pitch: give the pressure, or rows of your own",
            });
        };
        let t = if a.pitch > b.pitch { (degrees - b.pitch) / (a.pitch - b.pitch) } else { 0.0 };
        let mix = |x: f64, y: f64| x + t * (y - x);
        Ok(Coefficient {
            ten: mix(b.ten, a.ten),
            one: mix(b.one, a.one),
            pressing: b.pressing.zip(a.pressing).map(|(x, y)| mix(x, y)),
            mark: b.mark.max(a.mark),
        })
    }
}

/// Zone measure e: the crosswind width or twice the height, the smaller; all metres. Zone F is e/4 along the edge by e/10
/// deep, G e/10 deep.
///
/// # Errors
/// Sizes that are not above zero.
pub fn zone_measure(crosswind_width: f64, height: f64) -> Result<f64, NotComputed> {
    Ok(positive("crosswind width", crosswind_width)?.min(2.0 * positive("height", height)?))
}

/// Inner coefficients where the openings are not known (7.2.9): the more onerous of both.
pub const INNER: (Known, Known) = {
    const SOURCE: Source = Source::new("EN 1991-1-4 7.2.9(6) note 2", Mark::FromMemory);
    (Known::new(0.2, SOURCE), Known::new(-0.3, SOURCE))
};

/// The push on the lower face of an overhang that the wind meets: that on the wall beside it (zone D of Table 7.1, which is
/// largest on high and square buildings and is taken so for all).
pub const FROM_BELOW: Coefficient = Coefficient { ten: 0.8, one: 1.0, pressing: None, mark: Mark::FromMemory };

/// The line of [`FROM_BELOW`] for a loaded area in m2.
///
/// # Errors
/// An area that is not above zero.
pub fn from_below_step(area: f64) -> Result<Step, NotComputed> {
    let line = FROM_BELOW.step(area)?;
    let what = "push from below, as on the wall beside the overhang";
    Ok(Step {
        symbol: "cpe_low",
        what,
        source: Source::new("EN 1991-1-4 7.2.1(3) and Table 7.1, zone D", Mark::FromMemory),
        ..line
    })
}
