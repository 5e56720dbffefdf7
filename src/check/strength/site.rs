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
        own(spec, frames)
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
fn own(spec: &WindSpec, frames: &[SlopeFrame]) -> Result<Vec<SlopeWind>, String> {
    let level = spec.level.as_ref().ok_or("wind.level does not say at which level the pressures are")?;
    // The combinations take wind at strength level times 0.6.
    let raise = if level.value == Level::Service { 1.0 / ASD_WIND } else { 1.0 };
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

/// The combinations of the loads that there are.
pub fn combine(basis: &mut Basis) {
    let snow_factor = if basis.standard == Standard::Asce7_22 { 0.7 } else { 1.0 };
    let (s, l, w) = (basis.snow.is_some(), basis.live.is_some(), !basis.wind.is_empty());
    let clause = format!("{} 2.4.1", name(basis.standard));
    let mut add = |name: &str, [dead, live, snow, wind]: [f64; 4], suction, lasting| {
        basis.combinations.push(Combination {
            name: name.to_owned(),
            source: clause.clone(),
            dead,
            live,
            snow: snow * snow_factor,
            wind,
            suction,
            lasting,
        });
    };
    add("D", [1.0, 0.0, 0.0, 0.0], false, Lasting::Always);
    if l {
        add("D + Lr", [1.0, 1.0, 0.0, 0.0], false, Lasting::RoofLive);
    }
    if s {
        add("D + S", [1.0, 0.0, 1.0, 0.0], false, Lasting::Snow);
    }
    if w {
        add("D + 0.6 W", [1.0, 0.0, 0.0, ASD_WIND], false, Lasting::Wind);
        if l {
            add("D + 0.75 Lr + 0.75 (0.6 W)", [1.0, 0.75, 0.0, 0.75 * ASD_WIND], false, Lasting::Wind);
        }
        if s {
            add("D + 0.75 S + 0.75 (0.6 W)", [1.0, 0.0, 0.75, 0.75 * ASD_WIND], false, Lasting::Wind);
        }
        add("0.6 D + 0.6 W", [0.6, 0.0, 0.0, ASD_WIND], true, Lasting::Wind);
    }
}

/// A standard's name.
pub fn name(standard: Standard) -> &'static str {
    standard.word()
}
