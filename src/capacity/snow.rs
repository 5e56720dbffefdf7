//! Snow on a slope: balanced load by four standards.
//!
//! Aim: load on the horizontal projection. Reason: snow pulls the lattice down the slope. Limits: balanced load only; drift,
//! sliding and unbalanced snow, eave ice and snow guards are not computed here and must be listed as not checked.

use super::fault::{NotComputed, not_negative, within};
use super::source::{Known, Mark, Source};
use super::step::Step;
use super::units::{PSF, num};

/// ASCE 7-16 and 7-22.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Asce {
    /// 7-22: ground snow at strength level, no importance factor, 0.7 in allowable stress combinations.
    pub edition_22: bool,
    /// Ground snow load pg, Pa.
    pub ground: f64,
    /// Exposure factor Ce.
    pub exposure: f64,
    /// Thermal factor Ct; 1.1 for a cold ventilated roof.
    pub thermal: f64,
    /// Importance factor Is (7-16; must be 1 for 7-22).
    pub importance: f64,
    /// Slippery and unobstructed.
    pub slippery: bool,
    /// Slope, radians.
    pub slope: f64,
}

/// Risk category of a building by ASCE 7.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Risk {
    /// Low risk to people.
    I,
    /// All others.
    II,
    /// Many people, or a community.
    III,
    /// Essential.
    IV,
}

impl Risk {
    /// Upper limit of the least load of low slopes by ASCE 7-22, Pa.
    #[must_use]
    pub const fn most_least_load(self) -> Known {
        let psf = match self {
            Self::I => 25.0,
            Self::II => 30.0,
            Self::III => 35.0,
            Self::IV => 40.0,
        };
        Known::new(psf * PSF, LEAST_22)
    }
}

const LEAST_22: Source = Source::new("ASCE 7-22 7.3.3 and Table 7.3-4", Mark::FromMemory);
const LEAST: Source = Source::new("ASCE 7-16 7.3.4 (7-10: 7.3.4)", Mark::FromMemory);
const ASCE: Source = Source::new("ASCE 7 eq. 7.3-1 and 7.4-1", Mark::FromMemory);
const ASCE_CS: Source = Source::new("ASCE 7 Figure 7.4-1 (7-10: 7-2)", Mark::FromMemory);

impl Asce {
    /// Slope factor Cs.
    ///
    /// # Errors
    /// A slope outside 0 to 90 degrees, Ct outside 0.8 to 1.5.
    pub fn slope_factor(&self) -> Result<f64, NotComputed> {
        let t = degrees(self.slope)?;
        within("thermal factor", self.thermal, 0.8, 1.5)?;
        let (start, run) = self.line();
        Ok((1.0 - (t - start) / run).clamp(0.0, 1.0))
    }

    /// From where Cs falls, and over how many degrees, to none at 70.
    fn line(&self) -> (f64, f64) {
        let start = match (self.thermal, self.slippery) {
            (c, true) if c < 1.1 => 5.0,
            (c, false) if c < 1.1 => 30.0,
            (c, true) if c < 1.2 => 10.0,
            (c, false) if c < 1.2 => 37.5,
            (_, true) => 15.0,
            (_, false) => 45.0,
        };
        (start, 70.0 - start)
    }

    fn check(&self) -> Result<f64, NotComputed> {
        not_negative("ground snow load", self.ground)?;
        within("ground snow load, Pa", self.ground, 0.0, 1000.0 * PSF)?;
        within("exposure factor", self.exposure, 0.5, 1.5)?;
        within("importance factor", self.importance, 0.5, 1.5)?;
        if self.edition_22 && self.importance != 1.0 {
            return Err(NotComputed::NotCovered {
                what: "importance factor",
                why: "ASCE 7-22 has none: its ground snow maps go by risk category",
            });
        }
        self.slope_factor()
    }

    /// Flat-roof load pf, Pa.
    ///
    /// # Errors
    /// Input that is no number, below zero or out of reason.
    pub fn flat(&self) -> Result<f64, NotComputed> {
        self.check()?;
        Ok(0.7 * self.exposure * self.thermal * self.importance * self.ground)
    }

    /// Sloped-roof load ps on the horizontal projection, Pa.
    ///
    /// # Errors
    /// As [`Asce::flat`].
    pub fn sloped(&self) -> Result<f64, NotComputed> {
        Ok(self.flat()? * self.slope_factor()?)
    }

    /// Minimum load of low slopes (below 15 degrees), Pa, a case of its own; `None` for steeper ones. 7-16: Is pg up to 20 psf,
    /// else 20 Is psf. 7-22: pg up to the limit of the risk category; without one the highest limit counts.
    ///
    /// # Errors
    /// As [`Asce::flat`].
    pub fn minimum(&self, risk: Option<Risk>) -> Result<Option<f64>, NotComputed> {
        self.check()?;
        if degrees(self.slope)? >= 15.0 {
            return Ok(None);
        }
        let limit = self.least_limit(risk).value;
        Ok(Some(self.importance * self.ground.min(limit)))
    }

    fn least_limit(&self, risk: Option<Risk>) -> Known {
        if self.edition_22 { risk.unwrap_or(Risk::IV).most_least_load() } else { Known::new(20.0 * PSF, LEAST) }
    }

    /// The hand calculation of the minimum load and of the load that counts; empty for steeper slopes.
    ///
    /// # Errors
    /// As [`Asce::flat`].
    pub fn minimum_steps(&self, risk: Option<Risk>) -> Result<Vec<Step>, NotComputed> {
        let Some(least) = self.minimum(risk)? else { return Ok(Vec::new()) };
        let limit = self.least_limit(risk);
        let what = match (self.edition_22, risk) {
            (true, Some(_)) => "limit of the least load on slopes below 15 deg, by the risk category",
            (true, None) => {
                "limit of the least load on slopes below 15 deg: the highest, as snow.risk_category is not written"
            }
            (false, _) => "limit of the least load on slopes below 15 deg",
        };
        let (pg, most) = (num(self.ground / PSF), num(limit.value / PSF));
        let (formula, numbers) = if self.edition_22 {
            ("min(pg, pm_max)", format!("min({pg}, {most})"))
        } else {
            ("Is min(pg, pm_max)", format!("{} * min({pg}, {most})", num(self.importance)))
        };
        let sloped = self.sloped()?;
        Ok(vec![
            Step::input("pm_max", what, limit.value / PSF, "psf", limit.source),
            Step::new("pm", "least load of low slopes", formula, numbers, least / PSF).unit("psf").source(limit.source),
            Step::new(
                "p",
                "snow that counts, on the horizontal projection",
                "max(ps, pm)",
                format!("max({}, {})", num(sloped / PSF), num(least / PSF)),
                sloped.max(least) / PSF,
            )
            .unit("psf")
            .source(limit.source),
        ])
    }

    /// The hand calculation of ps.
    ///
    /// # Errors
    /// As [`Asce::flat`].
    pub fn steps(&self) -> Result<Vec<Step>, NotComputed> {
        let (pf, cs, ps) = (self.flat()?, self.slope_factor()?, self.sloped()?);
        let (start, run) = self.line();
        let t = num(degrees(self.slope)?);
        // 7-22 has the importance in the ground snow load.
        let (ce, ct, pg) = (num(self.exposure), num(self.thermal), num(self.ground / PSF));
        let (formula, numbers) = if self.edition_22 {
            ("0.7 Ce Ct pg", format!("0.7 * {ce} * {ct} * {pg}"))
        } else {
            ("0.7 Ce Ct Is pg", format!("0.7 * {ce} * {ct} * {} * {pg}", num(self.importance)))
        };
        let flat = Step::new("pf", "flat-roof snow load", formula, numbers, pf / PSF).unit("psf").source(ASCE);
        let importance = Step::input("Is", "importance factor", self.importance, "", Source::GIVEN);
        let mut steps = vec![
            Step::input("pg", "ground snow load", self.ground / PSF, "psf", Source::GIVEN),
            Step::input("Ce", "exposure factor", self.exposure, "", Source::GIVEN),
            Step::input("Ct", "thermal factor", self.thermal, "", Source::GIVEN),
        ];
        if !self.edition_22 {
            steps.push(importance);
        }
        steps.extend([
            flat,
            Step::new(
                "Cs",
                if self.slippery { "slope factor, slippery and unobstructed" } else { "slope factor, other surfaces" },
                "1 - (slope - start) / run, from 0 to 1",
                format!("min(1, max(0, 1 - ({t} - {}) / {}))", num(start), num(run)),
                cs,
            )
            .source(ASCE_CS),
            Step::new(
                "ps",
                "snow on the horizontal projection",
                "Cs pf",
                format!("{} * {}", num(cs), num(pf / PSF)),
                ps / PSF,
            )
            .unit("psf")
            .source(ASCE),
        ]);
        Ok(steps)
    }
}

/// National Building Code of Canada: `S = Is (Ss Cb Cw Cs Ca + Sr)`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nbc {
    /// Ground snow Ss (1 in 50 years), Pa.
    pub ground: f64,
    /// Rain Sr, Pa.
    pub rain: f64,
    /// Importance factor Is of the limit state.
    pub importance: f64,
    /// Basic roof factor Cb (0.8 for small roofs).
    pub basic: f64,
    /// Wind exposure factor Cw.
    pub wind: f64,
    /// Accumulation factor Ca.
    pub accumulation: f64,
    /// Slippery and unobstructed.
    pub slippery: bool,
    /// Slope, radians.
    pub slope: f64,
}

const NBC_CS: Source = Source::new("NBC 2015 4.1.6.2 (slope factor)", Mark::Published);
const NBC: Source = Source::new("NBC 2015 4.1.6.2", Mark::FromMemory);

impl Nbc {
    /// Slope factor Cs.
    ///
    /// # Errors
    /// A slope outside 0 to 90 degrees.
    pub fn slope_factor(&self) -> Result<f64, NotComputed> {
        let t = degrees(self.slope)?;
        Ok(if self.slippery { (60.0 - t) / 45.0 } else { (70.0 - t) / 40.0 }.clamp(0.0, 1.0))
    }

    /// Specified snow load on the horizontal projection, Pa.
    ///
    /// # Errors
    /// Input that is no number, below zero or out of reason. Rain is at most the snow part.
    pub fn load(&self) -> Result<f64, NotComputed> {
        let snow = self.snow_part()?;
        let rain = not_negative("rain load", self.rain)?;
        Ok(self.importance * (snow + rain.min(snow)))
    }

    fn snow_part(&self) -> Result<f64, NotComputed> {
        within("ground snow load, Pa", not_negative("ground snow load", self.ground)?, 0.0, 50e3)?;
        within("importance factor", self.importance, 0.5, 1.5)?;
        within("basic roof snow factor", self.basic, 0.5, 1.0)?;
        within("wind exposure factor", self.wind, 0.4, 1.0)?;
        within("accumulation factor", self.accumulation, 1.0, 10.0)?;
        Ok(self.ground * self.basic * self.wind * self.slope_factor()? * self.accumulation)
    }

    /// The hand calculation.
    ///
    /// # Errors
    /// As [`Nbc::load`].
    pub fn steps(&self) -> Result<Vec<Step>, NotComputed> {
        let (cs, load) = (self.slope_factor()?, self.load()?);
        let t = num(degrees(self.slope)?);
        let (formula, numbers) = if self.slippery {
            ("(60 - slope)/45, from 0 to 1", format!("min(1, max(0, (60 - {t})/45))"))
        } else {
            ("(70 - slope)/40, from 0 to 1", format!("min(1, max(0, (70 - {t})/40))"))
        };
        let snow = num(self.snow_part()? / 1000.0);
        Ok(vec![
            Step::new("Cs", "slope factor", formula, numbers, cs).source(NBC_CS),
            Step::new(
                "S_part",
                "snow part",
                "Ss Cb Cw Cs Ca",
                format!(
                    "{} * {} * {} * {} * {}",
                    num(self.ground / 1000.0),
                    num(self.basic),
                    num(self.wind),
                    num(cs),
                    num(self.accumulation)
                ),
                self.snow_part()? / 1000.0,
            )
            .unit("kPa")
            .source(NBC),
            Step::new(
                "S",
                "specified snow load on the horizontal projection",
                "Is (S_part + min(Sr, S_part))",
                format!("{} * ({snow} + min({}, {snow}))", num(self.importance), num(self.rain / 1000.0)),
                load / 1000.0,
            )
            .unit("kPa")
            .source(NBC),
        ])
    }
}

/// EN 1991-1-3: `s = mu1 Ce Ct sk`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct En {
    /// Characteristic ground snow sk, Pa.
    pub ground: f64,
    /// Exposure factor Ce.
    pub exposure: f64,
    /// Thermal factor Ct.
    pub thermal: f64,
    /// Whether snow guards, parapets or the like keep snow from sliding off.
    pub held: bool,
    /// Slope, radians.
    pub slope: f64,
}

const EN: Source = Source::new("EN 1991-1-3 5.2 and Table 5.2", Mark::FromMemory);

impl En {
    /// Shape factor mu1: 0.8 up to 30 degrees, then falling to none at 60; 0.8 where snow is kept from sliding.
    ///
    /// # Errors
    /// A slope outside 0 to 90 degrees.
    pub fn shape_factor(&self) -> Result<f64, NotComputed> {
        let t = degrees(self.slope)?;
        Ok(if self.held { 0.8 } else { (0.8 * (60.0 - t) / 30.0).clamp(0.0, 0.8) })
    }

    /// Characteristic snow load on the horizontal projection, Pa.
    ///
    /// # Errors
    /// Input that is no number, below zero or out of reason.
    pub fn load(&self) -> Result<f64, NotComputed> {
        within("ground snow load, Pa", not_negative("ground snow load", self.ground)?, 0.0, 50e3)?;
        within("exposure factor", self.exposure, 0.5, 1.5)?;
        within("thermal factor", self.thermal, 0.3, 1.5)?;
        Ok(self.shape_factor()? * self.exposure * self.thermal * self.ground)
    }

    /// The hand calculation.
    ///
    /// # Errors
    /// As [`En::load`].
    pub fn steps(&self) -> Result<Vec<Step>, NotComputed> {
        let (mu, s) = (self.shape_factor()?, self.load()?);
        let shape = if self.held {
            Step::input("mu1", "shape factor: snow is kept from sliding", mu, "", EN)
        } else {
            Step::new(
                "mu1",
                "shape factor",
                "0.8 (60 - slope)/30, from 0 to 0.8",
                format!("min(0.8, max(0, 0.8 * (60 - {})/30))", num(degrees(self.slope)?)),
                mu,
            )
            .source(EN)
        };
        Ok(vec![
            shape,
            Step::new(
                "s",
                "snow on the horizontal projection",
                "mu1 Ce Ct sk",
                format!("{} * {} * {} * {}", num(mu), num(self.exposure), num(self.thermal), num(self.ground / 1000.0)),
                s / 1000.0,
            )
            .unit("kPa")
            .source(EN),
        ])
    }
}

fn degrees(slope: f64) -> Result<f64, NotComputed> {
    Ok(within("slope, radians", slope, 0.0, std::f64::consts::FRAC_PI_2)?.to_degrees())
}
