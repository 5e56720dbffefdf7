//! Roof live load, components across and along the slope, load combinations.
//!
//! Aim: from loads on the slope and on the plan to what acts on a batten. Reason: snow counts on the horizontal projection and
//! weight on the slope; each combination has its own shortest load. Limits: the combinations that matter to roofing and its
//! lattice; no seismic, rain, ice or accidental load.

use super::ec5;
use super::fault::{NotComputed, not_negative, within};
use super::nds;
use super::source::{Mark, Source};
use super::step::Step;
use super::units::{FOOT, PSF, num};

const ROOF_LIVE: Source = Source::new("ASCE 7-16 4.8.2", Mark::FromMemory);

fn live_factors(area: f64, slope: f64) -> Result<(f64, f64, f64, f64), NotComputed> {
    let a = not_negative("tributary area", area)? / (FOOT * FOOT);
    let f = 12.0 * within("slope, radians", slope, 0.0, 1.5)?.tan();
    Ok((a, f, (1.2 - 0.001 * a).clamp(0.6, 1.0), (1.2 - 0.05 * f).clamp(0.6, 1.0)))
}

/// Roof live load Lr on the horizontal projection, Pa, by tributary area (m2) and slope (radians): 20 R1 R2, 12 to 20 psf.
///
/// # Errors
/// A negative area, a slope outside 0 to 86 degrees.
pub fn roof_live(area: f64, slope: f64) -> Result<f64, NotComputed> {
    let (_, _, r1, r2) = live_factors(area, slope)?;
    Ok((20.0 * r1 * r2).clamp(12.0, 20.0) * PSF)
}

/// The hand calculation of [`roof_live`].
///
/// # Errors
/// As there.
pub fn roof_live_steps(area: f64, slope: f64) -> Result<Vec<Step>, NotComputed> {
    let (a, f, r1, r2) = live_factors(area, slope)?;
    Ok(vec![
        Step::new(
            "R1",
            "by tributary area, ft2",
            "1.2 - 0.001 At, from 0.6 to 1",
            format!("min(1, max(0.6, 1.2 - 0.001*{}))", num(a)),
            r1,
        )
        .source(ROOF_LIVE),
        Step::new(
            "R2",
            "by rise in 12",
            "1.2 - 0.05 F, from 0.6 to 1",
            format!("min(1, max(0.6, 1.2 - 0.05*{}))", num(f)),
            r2,
        )
        .source(ROOF_LIVE),
        Step::new(
            "Lr",
            "roof live load on the horizontal projection",
            "20 R1 R2, from 12 to 20",
            format!("min(20, max(12, 20 * {} * {}))", num(r1), num(r2)),
            roof_live(area, slope)? / PSF,
        )
        .unit("psf")
        .source(ROOF_LIVE),
    ])
}

/// A load for each area of the slope, in its two directions. Pa.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnSlope {
    /// Square to the slope, towards the roof.
    pub normal: f64,
    /// Down the slope.
    pub down: f64,
}

/// Weight that is given for each area of the slope (Pa), as its two components.
#[must_use]
pub fn weight_on_slope(load: f64, slope: f64) -> OnSlope {
    let (s, c) = slope.sin_cos();
    OnSlope { normal: load * c, down: load * s }
}

/// Load that is given for each horizontal area (Pa), such as snow, as its two components for each area of the slope.
#[must_use]
pub fn plan_on_slope(load: f64, slope: f64) -> OnSlope {
    let (s, c) = slope.sin_cos();
    OnSlope { normal: load * c * c, down: load * s * c }
}

/// The standard whose combinations are used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Standard {
    /// Allowable stress design, ASCE 7-10 and 7-16 2.4.1.
    AsdTo16,
    /// Allowable stress design, ASCE 7-22 2.4.1: snow at strength level times 0.7.
    Asd22,
    /// EN 1990 limit states, recommended factors; site at most 1000 m above the sea.
    En1990,
    /// EN 1990, site above 1000 m: more snow beside wind.
    En1990High,
}

/// The loads of a place, each as an amount in one direction (any unit, the same for all).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Amounts {
    /// Dead load.
    pub dead: f64,
    /// Roof live load (EN: category H).
    pub live: f64,
    /// Snow.
    pub snow: f64,
    /// Wind (strength level for ASCE 7, characteristic for EN), suction or pressure.
    pub wind: f64,
}

/// One combination: a factor for each load. Dead load with a factor below one is for cases in which it helps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combination {
    /// Name as the standard writes it.
    pub name: &'static str,
    /// Factors.
    pub factors: Amounts,
    /// Whether the wind in it is suction (dead load helps); a combination without wind is never suction.
    pub suction: bool,
    /// The shortest load, for the NDS.
    pub nds: nds::Duration,
    /// The shortest load, for Eurocode 5.
    pub ec5: ec5::Duration,
    /// Clause.
    pub source: Source,
}

impl Combination {
    /// The combined amount.
    #[must_use]
    pub fn total(&self, a: &Amounts) -> f64 {
        let f = &self.factors;
        f.dead * a.dead + f.live * a.live + f.snow * a.snow + f.wind * a.wind
    }

    /// The line of the hand calculation for one direction.
    #[must_use]
    pub fn step(&self, symbol: &'static str, what: &'static str, a: &Amounts, unit: &'static str) -> Step {
        let f = &self.factors;
        let mut numbers = Vec::new();
        for (factor, amount) in [(f.dead, a.dead), (f.live, a.live), (f.snow, a.snow), (f.wind, a.wind)] {
            if factor != 0.0 {
                numbers.push(format!("{}*({})", num(factor), num(amount)));
            }
        }
        Step::new(symbol, what, self.name, numbers.join(" + "), self.total(a)).unit(unit).source(self.source)
    }
}

/// All combinations of a standard, in its order.
#[must_use]
pub fn combinations(standard: Standard) -> Vec<Combination> {
    use ec5::Duration as E;
    use nds::Duration as N;
    const TO_16: Source = Source::new("ASCE 7-16 2.4.1", Mark::FromMemory);
    const OF_22: Source = Source::new("ASCE 7-22 2.4.1", Mark::FromMemory);
    const EN: Source = Source::new("EN 1990 6.4.3.2 (6.10) and Tables A1.1, A1.2", Mark::FromMemory);
    let of = |name, [dead, live, snow, wind]: [f64; 4], suction, nds, ec5, source| Combination {
        name,
        factors: Amounts { dead, live, snow, wind },
        suction,
        nds,
        ec5,
        source,
    };
    match standard {
        Standard::AsdTo16 => vec![
            of("D", [1.0, 0.0, 0.0, 0.0], false, N::Permanent, E::Permanent, TO_16),
            of("D + Lr", [1.0, 1.0, 0.0, 0.0], false, N::SevenDays, E::Short, TO_16),
            of("D + S", [1.0, 0.0, 1.0, 0.0], false, N::TwoMonths, E::Short, TO_16),
            of("D + 0.6 W", [1.0, 0.0, 0.0, 0.6], false, N::TenMinutes, E::Instantaneous, TO_16),
            of("D + 0.75 Lr + 0.75 (0.6 W)", [1.0, 0.75, 0.0, 0.45], false, N::TenMinutes, E::Instantaneous, TO_16),
            of("D + 0.75 S + 0.75 (0.6 W)", [1.0, 0.0, 0.75, 0.45], false, N::TenMinutes, E::Instantaneous, TO_16),
            of("0.6 D + 0.6 W", [0.6, 0.0, 0.0, 0.6], true, N::TenMinutes, E::Instantaneous, TO_16),
        ],
        Standard::Asd22 => vec![
            of("D", [1.0, 0.0, 0.0, 0.0], false, N::Permanent, E::Permanent, OF_22),
            of("D + Lr", [1.0, 1.0, 0.0, 0.0], false, N::SevenDays, E::Short, OF_22),
            of("D + 0.7 S", [1.0, 0.0, 0.7, 0.0], false, N::TwoMonths, E::Short, OF_22),
            of("D + 0.6 W", [1.0, 0.0, 0.0, 0.6], false, N::TenMinutes, E::Instantaneous, OF_22),
            of("D + 0.75 Lr + 0.75 (0.6 W)", [1.0, 0.75, 0.0, 0.45], false, N::TenMinutes, E::Instantaneous, OF_22),
            of(
                "D + 0.75 (0.7 S) + 0.75 (0.6 W)",
                [1.0, 0.0, 0.525, 0.45],
                false,
                N::TenMinutes,
                E::Instantaneous,
                OF_22,
            ),
            of("0.6 D + 0.6 W", [0.6, 0.0, 0.0, 0.6], true, N::TenMinutes, E::Instantaneous, OF_22),
        ],
        Standard::En1990 => vec![
            of("1.35 G", [1.35, 0.0, 0.0, 0.0], false, N::Permanent, E::Permanent, EN),
            of("1.35 G + 1.5 Q_H", [1.35, 1.5, 0.0, 0.0], false, N::SevenDays, E::Short, EN),
            of("1.35 G + 1.5 S", [1.35, 0.0, 1.5, 0.0], false, N::TwoMonths, E::Short, EN),
            of("1.35 G + 1.5 S + 0.9 W", [1.35, 0.0, 1.5, 0.9], false, N::TenMinutes, E::Instantaneous, EN),
            of("1.35 G + 1.5 W + 0.75 S", [1.35, 0.0, 0.75, 1.5], false, N::TenMinutes, E::Instantaneous, EN),
            of("0.9 G + 1.5 W (static equilibrium)", [0.9, 0.0, 0.0, 1.5], true, N::TenMinutes, E::Instantaneous, EN),
        ],
        Standard::En1990High => vec![
            of("1.35 G", [1.35, 0.0, 0.0, 0.0], false, N::Permanent, E::Permanent, EN),
            of("1.35 G + 1.5 Q_H", [1.35, 1.5, 0.0, 0.0], false, N::SevenDays, E::Short, EN),
            // Snow that lies for long at height is of medium duration (recommended; national annexes differ).
            of("1.35 G + 1.5 S", [1.35, 0.0, 1.5, 0.0], false, N::TwoMonths, E::Medium, EN),
            of("1.35 G + 1.5 S + 0.9 W", [1.35, 0.0, 1.5, 0.9], false, N::TenMinutes, E::Instantaneous, EN),
            of("1.35 G + 1.5 W + 1.05 S", [1.35, 0.0, 1.05, 1.5], false, N::TenMinutes, E::Instantaneous, EN),
            of("0.9 G + 1.5 W (static equilibrium)", [0.9, 0.0, 0.0, 1.5], true, N::TenMinutes, E::Instantaneous, EN),
        ],
    }
}
