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
use crate::quantity::maths::{sin_cos, tan};

const ROOF_LIVE: Source = Source::new("ASCE 7-16 4.8.2", Mark::FromMemory);

fn live_factors(area: f64, slope: f64) -> Result<(f64, f64, f64, f64), NotComputed> {
    let a = not_negative("tributary area", area)? / (FOOT * FOOT);
    let f = 12.0 * tan(within("slope, radians", slope, 0.0, 1.5)?);
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
    let (s, c) = sin_cos(slope);
    OnSlope { normal: load * c, down: load * s }
}

/// Load that is given for each horizontal area (Pa), such as snow, as its two components for each area of the slope.
#[must_use]
pub fn plan_on_slope(load: f64, slope: f64) -> OnSlope {
    let (s, c) = sin_cos(slope);
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

/// How snow lies on a roof.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Arrangement {
    /// Even on both sides of the ridge.
    #[default]
    Balanced,
    /// As wind leaves it on the side that it does not meet; where that is not asked for, balanced.
    Unbalanced,
}

/// One combination: a factor for each load. Dead load with a factor below one is for cases in which it helps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Combination {
    /// Name as the standard writes it.
    pub name: &'static str,
    /// Factors.
    pub factors: Amounts,
    /// How the snow in it lies.
    pub snow: Arrangement,
    /// Whether the wind in it is suction; a combination without wind is never suction.
    pub suction: bool,
    /// The same at the level of service, where limit states have one: name and factors. Combinations of allowable stress
    /// design are at that level themselves.
    pub service: Option<(&'static str, Amounts)>,
    /// The shortest load, for the NDS.
    pub nds: nds::Duration,
    /// The shortest load, for Eurocode 5.
    pub ec5: ec5::Duration,
    /// Clause.
    pub source: Source,
}

impl Combination {
    /// Its name with the way of the wind and how snow lies, where that is not balanced.
    #[must_use]
    pub fn title(&self) -> String {
        let wind = match (self.factors.wind > 0.0, self.suction) {
            (false, _) => None,
            (true, true) => Some("W suction"),
            (true, false) => Some("W pressure"),
        };
        let snow = (self.factors.snow > 0.0 && self.snow == Arrangement::Unbalanced).then_some("S unbalanced");
        let all: Vec<&str> = snow.into_iter().chain(wind).collect();
        if all.is_empty() { self.name.to_owned() } else { format!("{} ({})", self.name, all.join(", ")) }
    }

    /// The same at the level of service: what deflections and strips are asked for.
    #[must_use]
    pub fn at_service(&self) -> Combination {
        match self.service {
            Some((name, factors)) => Combination { name, factors, service: None, source: EN_SERVICE, ..*self },
            None => *self,
        }
    }

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

const TO_16: Source = Source::new("ASCE 7-10 and 7-16 2.4.1", Mark::FromMemory);
const OF_22: Source = Source::new("ASCE 7-22 2.4.1", Mark::FromMemory);
const EN: Source = Source::new("EN 1990 6.4.3.2 (6.10) and Tables A1.1, A1.2", Mark::FromMemory);
const EN_SERVICE: Source = Source::new("EN 1990 6.5.3 (6.14)", Mark::FromMemory);

/// Name; factors of dead, live, snow, wind; durations.
type Line = (&'static str, [f64; 4], nds::Duration, ec5::Duration);

/// All combinations of a standard, in its order. Where dead load does not only help, wind comes both ways: suction unloads the
/// battens across the slope, but what pulls down the slope stays, and a fastener takes both together.
#[must_use]
pub fn combinations(standard: Standard) -> Vec<Combination> {
    use ec5::Duration as E;
    use nds::Duration as N;
    let amounts = |[dead, live, snow, wind]: [f64; 4]| Amounts { dead, live, snow, wind };
    let of = |source: Source, (name, factors, nds, ec5): Line, service: Option<(&'static str, [f64; 4])>| {
        let factors = amounts(factors);
        let service = service.map(|(name, f)| (name, amounts(f)));
        let pressed =
            Combination { name, factors, snow: Arrangement::Balanced, suction: false, service, nds, ec5, source };
        // Dead load below its own size is for what only pulls.
        let ways: &[bool] = match (factors.wind > 0.0, factors.dead < 1.0) {
            (false, _) => &[false],
            (true, false) => &[false, true],
            (true, true) => &[true],
        };
        ways.iter().map(|suction| Combination { suction: *suction, ..pressed }).collect::<Vec<_>>()
    };
    let asd = |source, (alone, snow): (&'static str, f64), (beside, part): (&'static str, f64)| {
        let lines: [Line; 7] = [
            ("D", [1.0, 0.0, 0.0, 0.0], N::Permanent, E::Permanent),
            ("D + Lr", [1.0, 1.0, 0.0, 0.0], N::SevenDays, E::Short),
            (alone, [1.0, 0.0, snow, 0.0], N::TwoMonths, E::Short),
            ("D + 0.6 W", [1.0, 0.0, 0.0, 0.6], N::TenMinutes, E::Instantaneous),
            ("D + 0.75 Lr + 0.75 (0.6 W)", [1.0, 0.75, 0.0, 0.45], N::TenMinutes, E::Instantaneous),
            (beside, [1.0, 0.0, part, 0.45], N::TenMinutes, E::Instantaneous),
            ("0.6 D + 0.6 W", [0.6, 0.0, 0.0, 0.6], N::TenMinutes, E::Instantaneous),
        ];
        lines.into_iter().flat_map(|line| of(source, line, None)).collect()
    };
    let en = |lines: Vec<(Line, &'static str, [f64; 4])>| {
        lines.into_iter().flat_map(|(line, name, service)| of(EN, line, Some((name, service)))).collect()
    };
    match standard {
        Standard::AsdTo16 => asd(TO_16, ("D + S", 1.0), ("D + 0.75 S + 0.75 (0.6 W)", 0.75)),
        Standard::Asd22 => asd(OF_22, ("D + 0.7 S", 0.7), ("D + 0.75 (0.7 S) + 0.75 (0.6 W)", 0.525)),
        Standard::En1990 | Standard::En1990High => {
            let high = standard == Standard::En1990High;
            // Snow that lies for long at height is of medium duration (recommended; national annexes differ).
            let snow = if high { E::Medium } else { E::Short };
            let beside = if high {
                ("1.35 G + 1.5 W + 1.05 S", 1.05, "G + W + 0.7 S", 0.7)
            } else {
                ("1.35 G + 1.5 W + 0.75 S", 0.75, "G + W + 0.5 S", 0.5)
            };
            en(vec![
                (("1.35 G", [1.35, 0.0, 0.0, 0.0], N::Permanent, E::Permanent), "G", [1.0, 0.0, 0.0, 0.0]),
                (("1.35 G + 1.5 Q_H", [1.35, 1.5, 0.0, 0.0], N::SevenDays, E::Short), "G + Q_H", [1.0, 1.0, 0.0, 0.0]),
                (("1.35 G + 1.5 S", [1.35, 0.0, 1.5, 0.0], N::TwoMonths, snow), "G + S", [1.0, 0.0, 1.0, 0.0]),
                (
                    ("1.35 G + 1.5 S + 0.9 W", [1.35, 0.0, 1.5, 0.9], N::TenMinutes, E::Instantaneous),
                    "G + S + 0.6 W",
                    [1.0, 0.0, 1.0, 0.6],
                ),
                (
                    (beside.0, [1.35, 0.0, beside.1, 1.5], N::TenMinutes, E::Instantaneous),
                    beside.2,
                    [1.0, 0.0, beside.3, 1.0],
                ),
                (
                    ("0.9 G + 1.5 W (static equilibrium)", [0.9, 0.0, 0.0, 1.5], N::TenMinutes, E::Instantaneous),
                    "G + W",
                    [1.0, 0.0, 0.0, 1.0],
                ),
            ])
        }
    }
}
