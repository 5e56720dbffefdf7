//! Snow on every slope.
//!
//! Aim: the designer's own load on the roof, or that of a site with a named edition, balanced and unbalanced. Reason: no edition is
//! assumed. Limits: of the designer's own load no unbalanced snow is made, which is told; drifts against walls and higher roofs and sliding snow are never computed
//! and always told.

use super::{at_odds, need, say, supersede, unbalanced};
use crate::capacity::snow as snows;
use crate::check::strength::basis::{Basis, SnowOn};
use crate::design::{Design, RiskCategory, Standard};
use crate::structure::SlopeFrame;

const OWN: &str = "unbalanced snow: not computed, snow.roof is given, snow.ground is not: ASCE 7 7.6.1 makes it of the ground's snow; \
                   with snow.ground and snow.edition in place of snow.roof it is computed";

/// Snow on every slope.
pub fn snow(design: &Design, frames: &[SlopeFrame], basis: &mut Basis) {
    let Some(spec) = &design.loads.snow else {
        basis.left_out.push("snow: the design has no [snow]".to_owned());
        return;
    };
    if let Some(roof) = &spec.roof {
        basis.snow = Some(vec![SnowOn { balanced: roof.value.pascals(), unbalanced: None }; frames.len()]);
        // By EN 1991-1-3 5.3.3 no slope ever has more than all of it.
        if basis.standard != Standard::En1991 && unbalanced::is_asked(frames) {
            basis.left_out.push(OWN.to_owned());
        }
        return;
    }
    let outcome = (|| {
        let edition = *need(&spec.edition, "snow.edition (none is assumed) or snow.roof")?;
        if level(edition) != level(basis.standard) {
            return Err(at_odds(edition, basis.standard));
        }
        let ground = need(&spec.ground, "snow.ground")?.pascals();
        let exposure = *need(&spec.exposure_factor, "snow.exposure_factor")?;
        let thermal = *need(&spec.thermal_factor, "snow.thermal_factor")?;
        let slippery = *need(&spec.slippery, "snow.slippery")?;
        let risk = spec.risk_category.as_ref().map(|g| match g.value {
            RiskCategory::I => snows::Risk::I,
            RiskCategory::II => snows::Risk::II,
            RiskCategory::III => snows::Risk::III,
            RiskCategory::IV => snows::Risk::IV,
        });
        let edition_22 = edition == Standard::Asce7_22;
        let importance = match (edition, &spec.importance) {
            (_, Some(i)) => i.value,
            (Standard::Asce7_22 | Standard::En1991, None) => 1.0,
            (_, None) => return Err("snow.importance is not said".to_owned()),
        };
        frames
            .iter()
            .map(|f| {
                let slope = f.pitch;
                if edition == Standard::En1991 {
                    let s = snows::En { ground, exposure, thermal, held: !slippery, slope };
                    return Ok((s.load().map_err(say)?, s.steps().map_err(say)?));
                }
                let s = snows::Asce { edition_22, ground, exposure, thermal, importance, slippery, slope };
                let least = s.minimum(risk).map_err(say)?.unwrap_or(0.0);
                let mut steps = s.steps().map_err(say)?;
                steps.extend(s.minimum_steps(risk).map_err(say)?);
                Ok((s.sloped().map_err(say)?.max(least), steps))
            })
            .collect::<Result<Vec<_>, String>>()
            .map(|all| (edition, all))
    })();
    match outcome {
        Ok((edition, all)) => {
            supersede(basis, edition);
            let (loads, steps): (Vec<f64>, Vec<_>) = all.into_iter().unzip();
            basis.steps.snow = steps;
            basis.snow = Some(unbalanced::lying(spec, edition, frames, &loads, basis));
        }
        Err(why) => basis.left_out.push(format!("snow: {why}")),
    }
}

/// Standards of one number have their snow at one level: that of service, of strength, characteristic.
const fn level(standard: Standard) -> u8 {
    match standard {
        Standard::Asce7_10 | Standard::Asce7_16 => 0,
        Standard::Asce7_22 => 1,
        Standard::En1991 => 2,
    }
}
