//! Wind, snow and combinations, as the design gives them.

use super::basis::{Basis, Combination, Lasting};
use super::lines::SlopeWind;
use super::zones::ZoneArea;
use crate::design::{Design, Level, SlopeId, Standard, WindSpec};
use crate::structure::SlopeFrame;

/// Wind of every slope.
pub fn wind(design: &Design, frames: &[SlopeFrame], basis: &mut Basis) {
    let Some(spec) = &design.loads.wind else {
        basis.left_out.push("wind: the design has no [wind]".to_owned());
        return;
    };
    let relief = spec.relief.as_ref().map_or(1.0, |(share, _)| share.value);
    let outcome = if spec.zones.is_empty() {
        Err("no pressures by zone, and no edition with a site; none is assumed".to_owned())
    } else {
        own(spec, frames, basis)
    };
    match outcome {
        Ok(mut slopes) => {
            for (_, suction, pressure) in slopes.iter_mut().flat_map(|s| &mut s.values) {
                *suction *= relief;
                *pressure *= relief;
            }
            basis.wind = slopes;
        }
        Err(why) => basis.left_out.push(format!("wind: {why}")),
    }
}

/// The designer's own pressures.
fn own(spec: &WindSpec, frames: &[SlopeFrame], basis: &Basis) -> Result<Vec<SlopeWind>, String> {
    let level = spec.level.as_ref().ok_or("wind.level does not say at which level the pressures are")?;
    // The combinations of allowable stress design take wind at strength level times 0.6, those of limit states a
    // characteristic one times 1.5.
    let raise = match (level.value, basis.standard) {
        (Level::Service, Standard::En1991) => 1.0,
        (Level::Strength, Standard::En1991) => 1.0 / EN_OTHER,
        (Level::Service, _) => 1.0 / ASD_WIND,
        (Level::Strength, _) => 1.0,
    };
    let of = |(i, frame): (usize, &SlopeFrame)| {
        let here = spec.zones.iter().filter(|z| z.slopes.contains(&SlopeId(i)));
        let mut slope = SlopeWind::default();
        for z in here {
            slope.zones.areas.push(ZoneArea::new(&frame.outline, &z.near, &z.and_near, z.width.metres()));
            let pressure = z.pressure.as_ref().map_or(0.0, |p| p.value.pascals());
            slope.values.push((z.name.clone(), z.suction.value.pascals() * raise, pressure * raise));
        }
        if slope.zones.areas.iter().any(|a| a.near.is_none()) {
            Ok(slope)
        } else {
            Err(format!("no zone without `near` holds the field of slope {}", frame.name))
        }
    };
    frames.iter().enumerate().map(of).collect()
}

/// Factor of wind at strength level in allowable stress design.
const ASD_WIND: f64 = 0.6;

/// Snow on the roof.
pub fn snow(design: &Design, _frames: &[SlopeFrame], basis: &mut Basis) {
    let Some(spec) = &design.loads.snow else {
        basis.left_out.push("snow: the design has no [snow]".to_owned());
        return;
    };
    match &spec.roof {
        Some(roof) => basis.snow = Some(roof.value.pascals()),
        None => basis.left_out.push("snow: no load on the roof is given".to_owned()),
    }
}

/// The combinations of the loads that there are, each named with its clause.
pub fn combine(basis: &mut Basis) {
    basis.combinations = match basis.standard {
        Standard::En1991 => limit_states(),
        Standard::Asce7_10 | Standard::Asce7_16 | Standard::Asce7_22 => allowable(basis),
    };
    let there = |c: &Combination| {
        (c.snow == 0.0 || basis.snow.is_some())
            && (c.live == 0.0 || basis.live.is_some())
            && (c.wind == 0.0 || !basis.wind.is_empty())
    };
    let kept: Vec<Combination> = basis.combinations.iter().filter(|c| there(c)).cloned().collect();
    basis.combinations = kept;
}

fn combination(source: &str, name: &str, [dead, live, snow, wind]: [f64; 4], suction: bool, lasting: Lasting) -> Combination {
    Combination { name: name.to_owned(), source: source.to_owned(), dead, live, snow, wind, suction, lasting }
}

/// Allowable stress design, ASCE 7 2.4.1 (from memory, firm). Wind is at strength level; so is snow from 7-22 on.
fn allowable(basis: &Basis) -> Vec<Combination> {
    let s = if basis.standard == Standard::Asce7_22 { 0.7 } else { 1.0 };
    let source = format!("{} 2.4.1", basis.standard.word());
    let c = |name, factors, suction, lasting| combination(&source, name, factors, suction, lasting);
    let snow = if s == 1.0 { ["D + S", "D + 0.75 S + 0.75 (0.6 W)"] } else { ["D + 0.7 S", "D + 0.75 (0.7 S) + 0.75 (0.6 W)"] };
    vec![
        c("D", [1.0, 0.0, 0.0, 0.0], false, Lasting::Always),
        c("D + Lr", [1.0, 1.0, 0.0, 0.0], false, Lasting::RoofLive),
        c(snow[0], [1.0, 0.0, s, 0.0], false, Lasting::Snow),
        c("D + 0.6 W", [1.0, 0.0, 0.0, ASD_WIND], false, Lasting::Wind),
        c("D + 0.75 Lr + 0.75 (0.6 W)", [1.0, 0.75, 0.0, 0.75 * ASD_WIND], false, Lasting::Wind),
        c(snow[1], [1.0, 0.0, 0.75 * s, 0.75 * ASD_WIND], false, Lasting::Wind),
        c("0.6 D + 0.6 W", [0.6, 0.0, 0.0, ASD_WIND], true, Lasting::Wind),
    ]
}

/// Partial factors of EN 1990 (recommended): unfavourable and favourable dead load, other loads; snow beside wind
/// (below 1000 m) and wind beside snow; roof live load beside nothing (from memory, firm).
const EN_DEAD: f64 = 1.35;
const EN_DEAD_HELPS: f64 = 1.0;
const EN_OTHER: f64 = 1.5;
const EN_SNOW_BESIDE: f64 = 0.5;
const EN_WIND_BESIDE: f64 = 0.6;

/// Limit states, EN 1990 6.4.3.2 (6.10).
fn limit_states() -> Vec<Combination> {
    let c = |name, factors, suction, lasting| combination("EN 1990 6.4.3.2 (6.10)", name, factors, suction, lasting);
    let (g, q) = (EN_DEAD, EN_OTHER);
    vec![
        c("1.35 G", [g, 0.0, 0.0, 0.0], false, Lasting::Always),
        c("1.35 G + 1.5 Qr", [g, q, 0.0, 0.0], false, Lasting::RoofLive),
        c("1.35 G + 1.5 S", [g, 0.0, q, 0.0], false, Lasting::Snow),
        c("1.35 G + 1.5 W", [g, 0.0, 0.0, q], false, Lasting::Wind),
        c("1.35 G + 1.5 S + 0.9 W", [g, 0.0, q, q * EN_WIND_BESIDE], false, Lasting::Wind),
        c("1.35 G + 1.5 W + 0.75 S", [g, 0.0, q * EN_SNOW_BESIDE, q], false, Lasting::Wind),
        c("1.0 G + 1.5 W", [EN_DEAD_HELPS, 0.0, 0.0, q], true, Lasting::Wind),
    ]
}
