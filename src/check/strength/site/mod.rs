//! Wind, snow and combinations, as the design gives them.
//!
//! Aim: pressures by zone, from the designer or from a site with a named edition; snow on each slope; the combinations.
//! Reason: no edition is assumed, and what an edition lacks is told and not guessed. Limits: those of the standards' own files.

mod asce;
mod combinations;
mod en;
mod snow;
mod unbalanced;

use std::collections::BTreeSet;

pub use combinations::combine;
pub use snow::snow;

use super::basis::Basis;
use super::zone_wind::{Law, SlopeWind, ZoneLoads, ZoneWind};
use super::zones::ZoneArea;
use crate::capacity::wind::area::ByArea;
use crate::capacity::wind::asce as table;
use crate::capacity::{NotComputed, Source, Step};
use crate::design::{Design, EdgeKind, Given, Level, SlopeId, Standard, WindSpec};
use crate::structure::{Outline, SlopeFrame};

/// Wind of every slope.
pub fn wind(design: &Design, frames: &[SlopeFrame], basis: &mut Basis) {
    let Some(spec) = &design.loads.wind else {
        basis.left_out.push("wind: the design has no [wind]".to_owned());
        return;
    };
    let outcome = match (&spec.edition, spec.zones.is_empty()) {
        (_, false) => own(spec, frames, basis),
        (Some(edition), true) if (edition.value == Standard::En1991) != (basis.standard == Standard::En1991) => {
            Err(at_odds(edition.value, basis.standard))
        }
        (Some(edition), true) => {
            supersede(basis, edition.value);
            site(spec, edition.value, frames, basis)
        }
        (None, true) => Err("no pressures by zone are given and no edition is named; none is assumed".to_owned()),
    };
    match outcome {
        Ok(mut slopes) => {
            if let Some((share, why)) = &spec.relief {
                for loads in slopes.iter_mut().flat_map(|s| &mut s.values).filter_map(|z| z.loads.as_mut().ok()) {
                    loads.suction = loads.suction.times(share.value);
                    loads.pressure = loads.pressure.times(share.value);
                }
                basis.left_out.push(format!("wind is taken with {} of itself, as the design asks: {why}", share.value));
                let what = "share of every wind pressure below that counts, its least value too, as the design asks";
                basis.steps.wind.push(Step::input("relief", what, share.value, "", Source::GIVEN));
            }
            for i in 0..slopes.len() {
                let alike = |a: &SlopeWind, b: &SlopeWind| a.values == b.values && a.rule == b.rule;
                let first = slopes.iter().position(|s| slopes.get(i).is_some_and(|here| alike(s, here))).unwrap_or(i);
                if let Some(slope) = slopes.get_mut(i) {
                    slope.alike = first;
                }
            }
            basis.wind = slopes;
        }
        Err(why) => basis.left_out.push(format!("wind: {why}")),
    }
}

/// The designer's own pressures.
fn own(spec: &WindSpec, frames: &[SlopeFrame], basis: &Basis) -> Result<Vec<SlopeWind>, String> {
    let level = spec.level.as_ref().ok_or("wind.level does not say at which level the pressures are")?;
    let raise = raise(level.value, basis.standard);
    let of = |(i, frame): (usize, &SlopeFrame)| {
        let here = spec.zones.iter().filter(|z| z.slopes.contains(&SlopeId(i)));
        let mut slope = SlopeWind::default();
        for z in here {
            let area = ZoneArea::new(frame, frames, &z.near, &z.and_near, z.width.metres());
            let pressure = z.pressure.as_ref().map_or(0.0, |p| p.value.pascals());
            let loads = ZoneLoads {
                suction: ByArea::constant(z.suction.value.pascals() * raise),
                pressure: ByArea::constant(pressure * raise),
            };
            slope.push(area, ZoneWind { name: z.name.clone(), loads: Ok(loads), law: Law::Given });
        }
        if slope.zones.areas.iter().any(|a| a.near.is_none()) {
            Ok(slope)
        } else {
            Err(format!("no zone without `near` holds the field of slope {}", frame.name))
        }
    };
    frames.iter().enumerate().map(of).collect()
}

/// What pressures of a level are multiplied by for the combinations: those of allowable stress design take wind at strength
/// level times 0.6, those of limit states a characteristic one times 1.5.
fn raise(level: Level, standard: Standard) -> f64 {
    match (level, standard) {
        (Level::Service, Standard::En1991)
        | (Level::Strength, Standard::Asce7_10 | Standard::Asce7_16 | Standard::Asce7_22) => 1.0,
        (Level::Strength, Standard::En1991) => 1.0 / EN_WIND,
        (Level::Service, _) => 1.0 / table::ASD_FACTOR.value,
    }
}

/// The level of the designer's own pressures, and what W of the combinations is by it.
pub fn level_words(level: Level, basis: &Basis) -> String {
    let word = match level {
        Level::Service => "service",
        Level::Strength => "strength",
    };
    let is = match (level, basis.standard) {
        (Level::Strength, Standard::En1991) => "W is this over 1.5",
        (Level::Service, Standard::Asce7_10 | Standard::Asce7_16 | Standard::Asce7_22) => "W is this over 0.6",
        _ => "W is this",
    };
    format!("{word}: {is}")
}

/// Partial factor of wind in EN 1990 (recommended).
const EN_WIND: f64 = 1.5;

/// A value that the site needs.
fn need<'a, T>(given: &'a Option<Given<T>>, key: &str) -> Result<&'a T, String> {
    given.as_ref().map(|g| &g.value).ok_or_else(|| format!("{key} is not said"))
}

/// Pressures from a site.
fn site(
    spec: &WindSpec,
    edition: Standard,
    frames: &[SlopeFrame],
    basis: &mut Basis,
) -> Result<Vec<SlopeWind>, String> {
    let missing: Vec<String> = [
        ("wind.speed", spec.speed.is_none()),
        ("wind.exposure", spec.exposure.is_none()),
        ("wind.height", spec.height.is_none()),
        ("wind.shape", spec.shape.is_none()),
        ("wind.width", spec.width.is_none() && spec.zone_width.is_none()),
        ("wind.enclosure", spec.enclosure.is_none() && edition != Standard::En1991),
        ("wind.topography", spec.topography.is_none()),
        ("wind.elevation", spec.elevation.is_none() && matches!(edition, Standard::Asce7_16 | Standard::Asce7_22)),
    ]
    .into_iter()
    .filter(|(_, is)| *is)
    .map(|(key, _)| key.to_owned())
    .collect();
    if !missing.is_empty() {
        return Err(format!("{} by a site needs {}", edition.word(), missing.join(", ")));
    }
    match asce_edition(edition) {
        Some(edition) => asce::wind(spec, edition, frames, basis),
        None => en::wind(spec, frames, basis),
    }
}

fn asce_edition(standard: Standard) -> Option<table::Edition> {
    match standard {
        Standard::Asce7_10 => Some(table::Edition::Asce7_10),
        Standard::Asce7_16 => Some(table::Edition::Asce7_16),
        Standard::Asce7_22 => Some(table::Edition::Asce7_22),
        Standard::En1991 => None,
    }
}

/// Loads of one standard and combinations of another: the factors count on the level of their own loads.
fn at_odds(edition: Standard, combinations: Standard) -> String {
    format!(
        "{} and combinations of {} do not go together: its loads are not at the level that the others count on",
        edition.word(),
        combinations.word()
    )
}

/// Whether the roof meets a wall at an edge, so that nothing hangs over there.
fn meets_wall(outline: &Outline, edge: usize) -> bool {
    outline.edges.get(edge).is_none_or(|e| e.kind.value == EdgeKind::Wall)
}

/// What an edge is to the wind: where the roof meets a wall it is a top, an eave or a rake by the way it runs.
fn kind_to_wind(outline: &Outline, edge: usize) -> Option<EdgeKind> {
    let kind = outline.edges.get(edge)?.kind.value;
    if kind != EdgeKind::Wall {
        return Some(kind);
    }
    let ((_, a), (_, b)) = outline.ends(edge)?;
    let bounds = outline.bounds();
    Some(match (a - b).abs() < 1e-6 {
        false => EdgeKind::Rake,
        true if a > f64::midpoint(bounds.y0, bounds.y1) => EdgeKind::Top,
        true => EdgeKind::Eave,
    })
}

/// Notes that an edition is superseded.
fn supersede(basis: &mut Basis, standard: Standard) {
    if let Some(next) = asce_edition(standard).and_then(table::Edition::superseded_by) {
        basis.superseded = Some(format!("{} is superseded by {}", standard.word(), next.name()));
    }
}

fn say(e: NotComputed) -> String {
    e.to_string()
}

const OVERHANG_UNSAID: &str = "wind on overhangs: wind.overhang does not say how far the roof hangs over its walls";
/// Tells which of the designer's own coefficients are for no zone of this roof.
fn unused(spec: &WindSpec, known: &BTreeSet<String>, basis: &mut Basis) {
    for c in spec.coefficients.iter().filter(|c| !known.contains(&c.zone)) {
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        basis.left_out.push(format!(
            "wind.coefficient: that for zone \"{}\" is not used: the zones of this roof are {}",
            c.zone,
            known.join(", ")
        ));
    }
}
