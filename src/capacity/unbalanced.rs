//! Unbalanced snow on gable and hip roofs: what wind carries over the ridge.
//!
//! Aim: the load on the side away from the wind. Reason: on narrow roofs it is about 1.4 times the balanced load and more, and
//! decides. Limits: ASCE 7 7.6.1; up to 20 ft from eave to ridge the roof is taken to have rafters from eave to ridge (or trusses that
//! carry so), whose uniform load stands for the drift; the windward side has less than the balanced load and is not computed.

use super::fault::{NotComputed, not_negative, positive, within};
use super::source::{Mark, Source};
use super::step::Step;
use super::units::{FOOT, PSF, num};
use crate::quantity::maths::{cbrt, pow, tan};

/// How high a drift is, by edition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Drift {
    /// ASCE 7-10.
    Of10,
    /// ASCE 7-16: with the root of the importance factor.
    Of16,
    /// ASCE 7-22: by the winter wind parameter W2, the share of the winter in which wind is above 10 mph.
    Of22 {
        /// W2; `None` where nobody said it.
        winter_wind: Option<f64>,
    },
}

/// One slope on the side away from the wind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leeward {
    /// Edition.
    pub drift: Drift,
    /// Ground snow load pg, Pa.
    pub ground: f64,
    /// Importance factor Is (7-22 has none).
    pub importance: f64,
    /// Balanced load ps, Pa.
    pub balanced: f64,
    /// Slope, radians.
    pub slope: f64,
    /// From its eave to the ridge in plan (W), m.
    pub depth: f64,
    /// From the other eave to the ridge in plan, over which the wind gathers snow (lu), m.
    pub fetch: f64,
}

/// The load in plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// On all of the slope, Pa.
    pub even: f64,
    /// More of it beside the ridge, Pa.
    pub surcharge: f64,
    /// How far that reaches from the ridge in plan, m.
    pub reach: f64,
}

// Seen in a public copy of a worked example of the guide to 7-10 (O'Rourke, Example 6-2) and in public transcriptions of 7.6.1.
const CLAUSE: Source = Source::new("ASCE 7 7.6.1, unbalanced snow on hip and gable roofs", Mark::Published);
const DENSITY: Source = Source::new("ASCE 7 eq. 7.7-1, density of snow", Mark::Published);
const HEIGHT_10: Source = Source::new("ASCE 7-10 Figure 7-9, height of drifts", Mark::Published);
const HEIGHT_16: Source = Source::new("ASCE 7-16 Figure 7.6-1, height of drifts", Mark::FromMemory);
const HEIGHT_22: Source = Source::new("ASCE 7-22 eq. 7.6-1, height of drifts by W2", Mark::FromMemory);

/// From eave to ridge up to this the load is uniform, m.
const NARROW: f64 = 20.0 * FOOT;

/// Whether unbalanced snow is asked for at a slope in radians: from 1/2 on 12 to 7 on 12.
///
/// # Errors
/// A slope outside 0 to 90 degrees.
pub fn asked_at(slope: f64) -> Result<bool, NotComputed> {
    let rise = tan(within("slope, radians", slope, 0.0, std::f64::consts::FRAC_PI_2)?);
    // A hair off, so that a slope of 7 on 12 is one.
    Ok((0.5 / 12.0 - 1e-9..=7.0 / 12.0 + 1e-9).contains(&rise))
}

impl Leeward {
    /// Whether unbalanced snow is asked for at this slope: from 1/2 on 12 to 7 on 12.
    ///
    /// # Errors
    /// A slope outside 0 to 90 degrees.
    pub fn asked(&self) -> Result<bool, NotComputed> {
        asked_at(self.slope)
    }

    /// Density of snow, lbf/ft3, and the height of the drift, ft.
    fn drifted(&self) -> Result<(f64, f64), NotComputed> {
        let pg = not_negative("ground snow load", self.ground)? / PSF;
        let gamma = (0.13 * pg + 14.0).min(30.0);
        let lu = positive("length of the upwind side", self.fetch)? / FOOT;
        let height = match self.drift {
            Drift::Of10 => 0.43 * cbrt(lu.max(20.0)) * pow(pg + 10.0, 0.25) - 1.5,
            Drift::Of16 => self.importance.sqrt() * (0.43 * cbrt(lu.max(20.0)) * pow(pg + 10.0, 0.25) - 1.5),
            Drift::Of22 { winter_wind: Some(w2) } => {
                let w2 = within("winter wind parameter W2", w2, 0.05, 1.0)?;
                1.5 * (pow(pg, 0.74) * pow(lu, 0.7) * pow(w2, 1.7) / gamma).sqrt()
            }
            Drift::Of22 { winter_wind: None } => {
                return Err(NotComputed::NotCovered {
                    what: "unbalanced snow",
                    why: "ASCE 7-22 takes drifts by the winter wind parameter W2: say snow.winter_wind",
                });
            }
        };
        Ok((gamma, height.max(0.0)))
    }

    /// The load, where it is asked for.
    ///
    /// # Errors
    /// Input that is no number or out of reason; by ASCE 7-22 from 20 ft on without W2.
    pub fn load(&self) -> Result<Option<Load>, NotComputed> {
        if !self.asked()? {
            return Ok(None);
        }
        not_negative("ground snow load", self.ground)?;
        if positive("from eave to ridge", self.depth)? <= NARROW + 1e-9 {
            // 7-22 has the importance in the ground snow load.
            let importance = match self.drift {
                Drift::Of22 { .. } => 1.0,
                Drift::Of10 | Drift::Of16 => self.importance,
            };
            return Ok(Some(Load { even: importance * self.ground, surcharge: 0.0, reach: 0.0 }));
        }
        let (gamma, height) = self.drifted()?;
        // Run for a rise of one.
        let root = (1.0 / tan(self.slope)).sqrt();
        Ok(Some(Load {
            even: not_negative("balanced snow load", self.balanced)?,
            surcharge: height * gamma / root * PSF,
            reach: (8.0 / 3.0 * height * root * FOOT).min(self.depth),
        }))
    }

    /// The hand calculation; nothing where it is not asked for.
    ///
    /// # Errors
    /// As [`Leeward::load`].
    pub fn steps(&self) -> Result<Vec<Step>, NotComputed> {
        let Some(load) = self.load()? else { return Ok(Vec::new()) };
        let (pg, depth) = (num(self.ground / PSF), self.depth / FOOT);
        let mut steps = vec![Step::input("W", "from eave to ridge in plan", depth, "ft", Source::GEOMETRY)];
        if load.reach == 0.0 && load.surcharge == 0.0 && self.depth <= NARROW + 1e-9 {
            let (formula, numbers) = match self.drift {
                Drift::Of22 { .. } => ("pg", pg),
                Drift::Of10 | Drift::Of16 => ("Is pg", format!("{} * {pg}", num(self.importance))),
            };
            let what = "unbalanced snow away from the wind, on all of the slope: rafters over up to 20 ft; none on the other side";
            steps.push(Step::new("p_lee", what, formula, numbers, load.even / PSF).unit("psf").source(CLAUSE));
            return Ok(steps);
        }
        let (gamma, height) = self.drifted()?;
        let (lu, run) = (num(self.fetch / FOOT), 1.0 / tan(self.slope));
        let classic = format!("0.43 * max({lu}, 20)^(1/3) * ({pg} + 10)^0.25 - 1.5");
        let (formula, numbers, source) = match self.drift {
            Drift::Of10 => ("0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5", format!("max({classic}, 0)"), HEIGHT_10),
            Drift::Of16 => (
                "sqrt(Is) (0.43 lu^(1/3) (pg + 10)^(1/4) - 1.5)",
                format!("max(sqrt({}) * ({classic}), 0)", num(self.importance)),
                HEIGHT_16,
            ),
            Drift::Of22 { winter_wind } => (
                "1.5 sqrt(pg^0.74 lu^0.7 W2^1.7 / gamma)",
                format!("1.5 * sqrt({pg}^0.74 * {lu}^0.7 * {}^1.7 / {})", num(winter_wind.unwrap_or(0.0)), num(gamma)),
                HEIGHT_22,
            ),
        };
        let s = num(run);
        steps.extend([
            Step::input("lu", "from the other eave to the ridge in plan", self.fetch / FOOT, "ft", Source::GEOMETRY),
            Step::new("gamma", "density of snow", "0.13 pg + 14, up to 30", format!("min(0.13 * {pg} + 14, 30)"), gamma)
                .unit("lbf/ft3")
                .source(DENSITY),
            Step::new("hd", "height of the drift", formula, numbers, height).unit("ft").source(source),
            Step::input("S", "run for a rise of one", run, "", Source::GEOMETRY),
            Step::input(
                "p_lee",
                "unbalanced snow away from the wind, on all of the slope: the balanced load; 0.3 of it on the other side",
                load.even / PSF,
                "psf",
                CLAUSE,
            ),
            Step::new(
                "p_drift",
                "more beside the ridge",
                "hd gamma / sqrt(S)",
                format!("{} * {} / sqrt({s})", num(height), num(gamma)),
                load.surcharge / PSF,
            )
            .unit("psf")
            .source(CLAUSE),
            Step::new(
                "b_drift",
                "how far that reaches from the ridge in plan",
                "8/3 hd sqrt(S), up to W",
                format!("min(8/3 * {} * sqrt({s}), {})", num(height), num(depth)),
                load.reach / FOOT,
            )
            .unit("ft")
            .source(CLAUSE),
        ]);
        Ok(steps)
    }
}
