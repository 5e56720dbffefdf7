//! Wind, snow and combinations, as the design gives them.
//!
//! Aim: pressures by zone, from the designer or from a site with a named edition; snow on each slope; the combinations.
//! Reason: no edition is assumed, and what an edition lacks is told and not guessed. Limits: a hipped roof by EN 1991-1-4 needs
//! one pitch; an overhang by it that the wind does not meet is taken like the roof inside, without the pull from below.

use std::collections::BTreeSet;

use super::basis::Basis;
use super::zone_wind::{AsceLaw, Cpe, Law, SlopeWind, ZoneLoads, ZoneWind};
use super::zones::ZoneArea;
use crate::capacity::loads::{self, Combination};
use crate::capacity::units::{FOOT, num};
use crate::capacity::wind::area::{self, AreaRule, ByArea};
use crate::capacity::wind::{asce, en};
use crate::capacity::{Mark, NotComputed, Source, Step, snow as snows};
use crate::design::{
    Design, EdgeKind, Enclosure, Exposure, Given, Level, RoofShape, SlopeId, Standard, WindSide, WindSpec,
};
use crate::structure::{Outline, SlopeFrame};

/// Wind of every slope.
pub fn wind(design: &Design, frames: &[SlopeFrame], basis: &mut Basis) {
    let Some(spec) = &design.loads.wind else {
        basis.left_out.push("wind: the design has no [wind]".to_owned());
        return;
    };
    let outcome = match (&spec.edition, spec.zones.is_empty()) {
        (_, false) => own(spec, frames, basis),
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
            let area = ZoneArea::new(&frame.outline, &z.near, &z.and_near, z.width.metres());
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
        (Level::Service, _) => 1.0 / asce::ASD_FACTOR.value,
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
        Some(edition) => by_asce(spec, edition, frames, basis),
        None => by_en(spec, frames, basis),
    }
}

fn asce_edition(standard: Standard) -> Option<asce::Edition> {
    match standard {
        Standard::Asce7_10 => Some(asce::Edition::Asce7_10),
        Standard::Asce7_16 => Some(asce::Edition::Asce7_16),
        Standard::Asce7_22 => Some(asce::Edition::Asce7_22),
        Standard::En1991 => None,
    }
}

/// Notes that an edition is superseded.
fn supersede(basis: &mut Basis, standard: Standard) {
    if let Some(next) = asce_edition(standard).and_then(asce::Edition::superseded_by) {
        basis.superseded = Some(format!("{} is superseded by {}", standard.word(), next.name()));
    }
}

const LAYOUT_SEEN: Source = Source::new("ASCE 7-22 figures 30.3-2 and 30.3-5, layout of the zones", Mark::Published);
const LAYOUT: Source = Source::new("figures of the edition, layout of the zones", Mark::FromMemory);
const LAYOUT_SHAKY: Source =
    Source::new("figures of the edition, layout of the zones, the case of this roof", Mark::Shaky);

fn say(e: NotComputed) -> String {
    e.to_string()
}

fn by_asce(
    spec: &WindSpec,
    edition: asce::Edition,
    frames: &[SlopeFrame],
    basis: &mut Basis,
) -> Result<Vec<SlopeWind>, String> {
    let height = need(&spec.height, "wind.height")?.metres();
    let exposure = match need(&spec.exposure, "wind.exposure")? {
        Exposure::B => asce::Exposure::B,
        Exposure::C => asce::Exposure::C,
        Exposure::D => asce::Exposure::D,
        other => return Err(format!("exposure \"{}\" is none of {}", other.word(), edition.name())),
    };
    let site = asce::Site {
        edition,
        speed: need(&spec.speed, "wind.speed")?.metres_per_second(),
        exposure,
        height,
        topography: *need(&spec.topography, "wind.topography")?,
        elevation: spec.elevation.as_ref().map_or(0.0, |e| e.metres()),
        enclosure: match need(&spec.enclosure, "wind.enclosure")? {
            Enclosure::Enclosed => asce::Enclosure::Enclosed,
            Enclosure::Partial => asce::Enclosure::PartiallyEnclosed,
            Enclosure::Open => asce::Enclosure::Open,
        },
    };
    let roof = match need(&spec.shape, "wind.shape")? {
        RoofShape::Gable => asce::Roof::Gable,
        RoofShape::Hip => asce::Roof::Hip,
        RoofShape::Shed => asce::Roof::Monoslope,
    };
    let mut lines = site.velocity_steps().map_err(say)?;
    let a = match (&spec.zone_width, &spec.width) {
        (Some(a), _) => {
            lines.push(Step::input("a", "width of edge zones", a.metres() / FOOT, "ft", Source::GIVEN));
            a.metres()
        }
        (None, Some(width)) => {
            lines.push(asce::zone_width_step(width.metres(), height).map_err(say)?);
            asce::zone_width(width.metres(), height).map_err(say)?
        }
        (None, None) => return Err("wind.width is not said".to_owned()),
    };
    let table = asce_table(spec, edition, roof);
    let mut slopes = Vec::new();
    let mut pressing_missing = None;
    let mut bare: Vec<&str> = Vec::new();
    let mut known = BTreeSet::new();
    for frame in frames {
        let layout = asce::layout(edition, roof, frame.pitch, a, height).map_err(say)?;
        let source = match layout.iter().map(|z| z.mark).max() {
            Some(Mark::Published) => LAYOUT_SEEN,
            Some(Mark::Shaky) => LAYOUT_SHAKY,
            _ => LAYOUT,
        };
        let outline = &frame.outline;
        let mut slope = SlopeWind { rule: Some(AreaRule::Asce), ..SlopeWind::default() };
        let mut add = |slope: &mut SlopeWind, z: &asce::ZonePlace, hanging: Option<f64>| {
            let place = asce::Place { edition, roof, overhang: hanging.is_some(), slope: frame.pitch, zone: z.zone };
            let suction = table.coefficient(&place, asce::Side::Suction)?;
            let inside = asce::Place { overhang: false, ..place };
            let (towards, pressure) = match table.coefficient(&inside, asce::Side::Pressure) {
                Ok(c) => {
                    let by_area = site.net_by_area(&c)?;
                    (Some(c), by_area)
                }
                Err(e) => {
                    pressing_missing = Some(e);
                    (None, ByArea::constant(0.0))
                }
            };
            let name = if hanging.is_some() { format!("{} overhang", z.zone) } else { z.zone.to_owned() };
            known.insert(name.clone());
            let loads = ZoneLoads { suction: site.net_by_area(&suction)?, pressure };
            let reach = Step::input("reach", "of the zone in plan", z.reach / FOOT, "ft", source);
            let law = Law::Asce(Box::new(AsceLaw { reach, site, suction, pressure: towards }));
            let area = asce_area(outline, roof, z, frame.pitch.cos(), hanging);
            slope.push(area, ZoneWind { name, loads: Ok(loads), law });
            Ok::<(), NotComputed>(())
        };
        if let Some(reach) = spec.overhang.as_ref().map(|o| o.metres()).filter(|o| *o > 0.0) {
            // Where an edge has no coefficients of its own overhang, nothing is known there, whatever lies beside it.
            let has = |z: &&asce::ZonePlace| {
                let place = asce::Place { edition, roof, overhang: true, slope: frame.pitch, zone: z.zone };
                z.and_near.is_empty() && table.coefficient(&place, asce::Side::Suction).is_ok()
            };
            let all = hanging_edges(outline, roof, None);
            let covered: Vec<usize> =
                layout.iter().filter(has).flat_map(|z| hanging_edges(outline, roof, Some(z.near))).collect();
            let lacks: Vec<usize> = all.into_iter().filter(|e| !covered.contains(e)).collect();
            if !lacks.is_empty() {
                let area = ZoneArea::along(outline, (&lacks, reach), None, frame.pitch.cos());
                slope.push(area, ZoneWind { name: "overhang".to_owned(), loads: Err(NO_OVERHANG), law: Law::Given });
                bare.push(&frame.name);
            }
            for z in &layout {
                // Fields have no overhang of their own; what hangs over lies along edges.
                match add(&mut slope, z, Some(reach)) {
                    Ok(()) | Err(NotComputed::NotCovered { .. }) => {}
                    Err(e) => return Err(say(e)),
                }
            }
        }
        for z in &layout {
            add(&mut slope, z, None).map_err(say)?;
        }
        slopes.push(slope);
    }
    basis.steps.wind = lines;
    unused(spec, &known, basis);
    if !bare.is_empty() {
        basis.left_out.push(format!("{NO_OVERHANG} (slopes {}); {UNTOLD}", bare.join(", ")));
    }
    if let Some(why) = pressing_missing {
        basis.left_out.push(format!("wind pressure towards the roof: {why}"));
    }
    if spec.overhang.is_none() {
        basis.left_out.push(OVERHANG_UNSAID.to_owned());
    }
    Ok(slopes)
}

/// What becomes of a piece part of whose wind is not known.
const UNTOLD: &str =
    "a piece that carries roofing there, its landings and the clips there are not checked against wind";
const OVERHANG_UNSAID: &str = "wind on overhangs: wind.overhang does not say how far the roof hangs over its walls";
const NO_OVERHANG: NotComputed = NotComputed::NotCovered {
    what: "wind on overhangs",
    why: "no coefficients for this edition, shape and slope: give pressures by zone, or coefficients of your own",
};
/// What a design calls overhangs by EN 1991-1-4 that it gives a coefficient of its own.
const EN_OVERHANG: &str = "overhang";

/// The coefficients that come along, behind those of the designer's own.
fn asce_table(spec: &WindSpec, edition: asce::Edition, roof: asce::Roof) -> asce::Table {
    let own = spec.coefficients.iter().map(|c| asce::Row {
        edition,
        roofs: vec![roof],
        overhang: c.zone.ends_with(" overhang"),
        above: 0.0,
        up_to: 90.0,
        zone: c.zone.trim_end_matches(" overhang").to_owned(),
        side: match c.side {
            WindSide::Suction => asce::Side::Suction,
            WindSide::Pressure => asce::Side::Pressure,
        },
        points: c.points.clone(),
        flattest: Vec::new(),
        mark: Mark::Given,
        note: c.reason.clone(),
    });
    asce::Table { coefficient: own.chain(asce::shipped().coefficient).collect() }
}

/// Tells which of the designer's own coefficients are for no zone of this roof.
fn unused(spec: &WindSpec, known: &BTreeSet<String>, basis: &mut Basis) {
    for c in spec.coefficients.iter().filter(|c| !known.contains(&c.zone)) {
        let known: Vec<&str> = known.iter().map(String::as_str).collect();
        basis.left_out.push(format!(
            "wind: the coefficient for zone \"{}\" is not used: the zones of this roof are {}",
            c.zone,
            known.join(", ")
        ));
    }
}

/// Edges of an outline that are of some kinds to the zones.
fn edges_of(outline: &Outline, roof: asce::Roof, kinds: &[asce::Edge]) -> Vec<usize> {
    (0..outline.edges.len()).filter(|e| edge(outline, *e, roof).is_some_and(|k| kinds.contains(&k))).collect()
}

/// Edges that hang over: eaves, rakes and high edges, but not where the roof meets a wall; only those of some kinds, where
/// such are named.
fn hanging_edges(outline: &Outline, roof: asce::Roof, kinds: Option<&[asce::Edge]>) -> Vec<usize> {
    let wall = |e: usize| outline.edges.get(e).is_none_or(|e| e.kind.value == EdgeKind::Wall);
    let outer = edges_of(outline, roof, &[asce::Edge::Eave, asce::Edge::Rake, asce::Edge::HighEdge]);
    let named = kinds.filter(|k| !k.is_empty()).map(|k| edges_of(outline, roof, k));
    outer.into_iter().filter(|e| !wall(*e) && named.as_ref().is_none_or(|n| n.contains(e))).collect()
}

/// A zone of the layout on an outline; of an overhang only what lies within its reach of the edges that hang over, and there
/// the zone is at least as deep.
fn asce_area(outline: &Outline, roof: asce::Roof, z: &asce::ZonePlace, cos: f64, overhang: Option<f64>) -> ZoneArea {
    let (near, and) = (edges_of(outline, roof, z.near), edges_of(outline, roof, z.and_near));
    let and = (!z.and_near.is_empty()).then_some((and.as_slice(), z.and_reach));
    let reach = z.reach.max(overhang.unwrap_or(0.0));
    let whole =
        if z.near.is_empty() { ZoneArea::default() } else { ZoneArea::along(outline, (&near, reach), and, cos) };
    match overhang {
        None => whole,
        Some(reach) => whole.also_near(outline, &hanging_edges(outline, roof, None), reach, cos),
    }
}

/// What an edge is to the zones; valleys are none.
fn edge(outline: &Outline, number: usize, roof: asce::Roof) -> Option<asce::Edge> {
    let high = if roof == asce::Roof::Monoslope { asce::Edge::HighEdge } else { asce::Edge::Ridge };
    match outline.edges.get(number)?.kind.value {
        EdgeKind::Eave => Some(asce::Edge::Eave),
        EdgeKind::Top => Some(high),
        EdgeKind::Rake => Some(asce::Edge::Rake),
        EdgeKind::Hip => Some(asce::Edge::Hip),
        EdgeKind::Valley => None,
        EdgeKind::Wall => {
            let (a, b) = outline.ends(number)?;
            Some(if (a.1 - b.1).abs() < 1e-6 { high } else { asce::Edge::Rake })
        }
    }
}

const EN_ZONES: Source = Source::new("EN 1991-1-4 Figures 7.7 to 7.9", Mark::FromMemory);

/// Duopitch, monopitch and hipped roofs by EN 1991-1-4. Wind blows from every side, so each slope carries the zones of all directions and a
/// place takes the worst that it lies in.
fn by_en(spec: &WindSpec, frames: &[SlopeFrame], basis: &mut Basis) -> Result<Vec<SlopeWind>, String> {
    let terrain = match need(&spec.exposure, "wind.exposure")? {
        Exposure::Sea => en::Terrain::Sea,
        Exposure::I => en::Terrain::I,
        Exposure::II => en::Terrain::II,
        Exposure::III => en::Terrain::III,
        Exposure::IV => en::Terrain::IV,
        other => return Err(format!("\"{}\" is no terrain category of EN 1991-1-4", other.word())),
    };
    let shape = *need(&spec.shape, "wind.shape")?;
    // The pitch of the face that the wind meets governs the whole roof.
    let uneven = frames.windows(2).any(|f| (f[0].pitch - f[1].pitch).abs() > 0.02);
    if shape == RoofShape::Hip && uneven {
        return Err("EN 1991-1-4 is here for hipped roofs of one pitch only: give pressures by zone".to_owned());
    }
    if (need(&spec.topography, "wind.topography")? - 1.0).abs() > 1e-9 {
        return Err("EN 1991-1-4 is here for an orography factor of 1 only: give pressures by zone".to_owned());
    }
    let height = need(&spec.height, "wind.height")?.metres();
    let site = en::Site { speed: need(&spec.speed, "wind.speed")?.metres_per_second(), terrain, height };
    let q = site.peak_pressure().map_err(say)?;
    let width = need(&spec.width, "wind.width")?.metres();
    let e = en::zone_measure(width, height).map_err(say)?;
    basis.steps.wind = site.steps().map_err(say)?;
    basis.steps.wind.push(
        Step::new("e", "measure of the zones", "min(b, 2 h)", format!("min({}, 2 * {})", num(width), num(height)), e)
            .unit("m")
            .source(EN_ZONES),
    );
    let table = en::shipped();
    let mut slopes = Vec::new();
    let mut known = BTreeSet::new();
    let overhang = spec.overhang.as_ref().map(|o| o.metres()).filter(|o| *o > 0.0);
    let own = |zone: &str, side| spec.coefficients.iter().find(|o| o.zone == zone && o.side == side);
    let own_overhang = own(EN_OVERHANG, WindSide::Suction);
    for frame in frames {
        let cos = frame.pitch.cos();
        let mut slope = SlopeWind { rule: Some(AreaRule::En), ..SlopeWind::default() };
        let mut most_towards = (0.0_f64, Source::new("EN 1991-1-4 7.2.1 and Tables 7.3 to 7.5", Mark::FromMemory));
        for (layer, (meets, zones)) in en_zones(shape, &frame.outline, e, cos).into_iter().enumerate() {
            let mut add = |direction, zone: &str, area: ZoneArea, hangs: bool| {
                let c = table.coefficient(direction, frame.pitch, zone).map_err(say)?;
                let cpe = own(zone, WindSide::Suction).map_or(Cpe::Table(c), |o| Cpe::Own(o.points.clone()));
                let net = if hangs { from_both_faces(q, &cpe)? } else { en_net(q, &cpe) };
                let loads = ZoneLoads { suction: ByArea::new(net, 0.0), pressure: ByArea::constant(0.0) };
                known.insert(zone.to_owned());
                let hanging = if hangs { " overhang" } else { "" };
                let name = format!("{zone}{hanging} (wind on {})", met(direction));
                let law = Law::En { q, cpe, overhang: hangs };
                slope.push(ZoneArea { layer, ..area }, ZoneWind { name, loads: Ok(loads), law });
                let most = |o: &crate::design::OwnCoefficient| o.points.iter().map(|p| p.1).fold(0.0, f64::max);
                let own = own(zone, WindSide::Pressure);
                let towards = own.map(most).or(c.pressing).unwrap_or(0.0);
                if towards > most_towards.0 {
                    let table = Source::new("EN 1991-1-4 7.2.1 and Tables 7.3 to 7.5", c.mark);
                    most_towards = (towards, if own.is_some() { Source::GIVEN } else { table });
                }
                Ok::<(), String>(())
            };
            let wall = |e: &usize| frame.outline.edges.get(*e).is_none_or(|e| e.kind.value == EdgeKind::Wall);
            let hanging: Vec<usize> = meets.into_iter().filter(|e| !wall(e)).collect();
            if let Some(reach) = overhang.filter(|_| own_overhang.is_none() && !hanging.is_empty()) {
                for (direction, zone, area) in &zones {
                    let there = area.clone().also_near(&frame.outline, &hanging, reach, cos);
                    add(*direction, zone, there, true)?;
                }
            }
            for (direction, zone, area) in zones {
                add(direction, zone, area, false)?;
            }
        }
        let (cpe, cpi) = (most_towards.0, en::INNER.1);
        let pressing = (q * (cpe - cpi.value)).max(0.0);
        slope.towards = vec![
            Step::input("cpe_max", "greatest outer coefficient of pressure on the slope", cpe, "", most_towards.1),
            Step::input("cpi_min", "inner pressure coefficient", cpi.value, "", cpi.source),
            Step::new(
                "w_in",
                "net pressure towards the roof, characteristic, on all of the slope",
                "max(qp (cpe_max - cpi_min), 0)",
                format!("max({} * ({} - ({})), 0)", num(q), num(cpe), num(cpi.value)),
                pressing,
            )
            .unit("Pa")
            .source(cpi.source),
        ];
        for loads in slope.values.iter_mut().filter_map(|z| z.loads.as_mut().ok()) {
            loads.pressure = ByArea::constant(pressing);
        }
        if let Some((reach, own)) = overhang.zip(own_overhang) {
            let edges = frame.outline.edges_of(&[EdgeKind::Eave, EdgeKind::Rake]);
            let high = if shape == RoofShape::Shed { frame.outline.edges_of(&[EdgeKind::Top]) } else { Vec::new() };
            let edges: Vec<usize> = edges.into_iter().chain(high).collect();
            let layer = slope.zones.areas.iter().map(|a| a.layer).max().map_or(0, |l| l + 1);
            let area = ZoneArea { layer, ..ZoneArea::along(&frame.outline, (&edges, reach), None, cos) };
            known.insert(EN_OVERHANG.to_owned());
            let net = own.points.iter().map(|(a, c)| (*a, -q * c)).collect();
            let loads = ZoneLoads { suction: ByArea::new(net, 0.0), pressure: ByArea::constant(pressing) };
            let law = Law::EnOverhang { q, net: own.points.clone() };
            slope.push(area, ZoneWind { name: EN_OVERHANG.to_owned(), loads: Ok(loads), law });
        }
        slopes.push(slope);
    }
    unused(spec, &known, basis);
    if spec.overhang.is_none() {
        basis.left_out.push(OVERHANG_UNSAID.to_owned());
    }
    Ok(slopes)
}

/// Net suction of a place inside, characteristic: area in m2 and Pa.
fn en_net(q: f64, cpe: &Cpe) -> Vec<(f64, f64)> {
    cpe.points().into_iter().map(|(a, c)| (a, q * (en::INNER.0.value - c))).collect()
}

/// Net suction of both faces of an overhang that the wind meets, likewise.
fn from_both_faces(q: f64, cpe: &Cpe) -> Result<Vec<(f64, f64)>, String> {
    let (upper, lower) = (cpe.points(), en::FROM_BELOW.points());
    let at = |points: &[(f64, f64)], a| area::read(points, a).map(area::Read::value);
    let both = |a: f64| Some((a, q * (at(&lower, a)? - at(&upper, a)?)));
    let all: Option<Vec<_>> = area::areas([upper.as_slice(), lower.as_slice()]).into_iter().map(both).collect();
    all.ok_or_else(|| "a coefficient of the design has no points".to_owned())
}

/// What the wind meets, in words.
fn met(direction: en::Direction) -> &'static str {
    match direction {
        en::Direction::Eave => "an eave",
        en::Direction::Ridge | en::Direction::Gable => "a gable",
        en::Direction::Low => "the low eave",
        en::Direction::High => "the high edge",
        en::Direction::Hip => "any side",
    }
}

/// Zones of one direction of the wind that share a slope out among them: the edges of the slope that this wind meets, then
/// direction, zone, where.
type Layer = (Vec<usize>, Vec<(en::Direction, &'static str, ZoneArea)>);

/// The zones of a slope, layer by layer: each direction of wind, and of one direction the faces that it meets or leaves.
fn en_zones(shape: RoofShape, outline: &Outline, e: f64, cos: f64) -> Vec<Layer> {
    use en::Direction::{Eave, Gable, High, Hip, Low, Ridge};
    let eaves = outline.edges_of(&[EdgeKind::Eave]);
    let tops = outline.edges_of(&[EdgeKind::Top, EdgeKind::Wall]);
    let rakes = outline.edges_of(&[EdgeKind::Rake]);
    let sides = outline.edges_of(&[EdgeKind::Hip, EdgeKind::Rake]);
    let flat: Vec<usize> = eaves.iter().chain(&tops).copied().collect();
    let along = |near: &[usize], reach, and: Option<(&[usize], f64)>| ZoneArea::along(outline, (near, reach), and, cos);
    let (strip, corner) = (e / 10.0, e / 4.0);
    let none = Vec::new;
    match shape {
        RoofShape::Gable => vec![
            (
                eaves.clone(),
                vec![
                    (Eave, "F", along(&eaves, strip, Some((&rakes, corner)))),
                    (Eave, "G", along(&eaves, strip, None)),
                    (Eave, "H", ZoneArea::default()),
                ],
            ),
            (none(), vec![(Eave, "J", along(&tops, strip, None)), (Eave, "I", ZoneArea::default())]),
            (
                rakes.clone(),
                vec![
                    (Ridge, "F", along(&rakes, strip, Some((&flat, corner)))),
                    (Ridge, "G", along(&rakes, strip, None)),
                    (Ridge, "H", along(&rakes, e / 2.0, None)),
                    (Ridge, "I", ZoneArea::default()),
                ],
            ),
        ],
        RoofShape::Shed => vec![
            (
                eaves.clone(),
                vec![
                    (Low, "F", along(&eaves, strip, Some((&rakes, corner)))),
                    (Low, "G", along(&eaves, strip, None)),
                    (Low, "H", ZoneArea::default()),
                ],
            ),
            (
                tops.clone(),
                vec![
                    (High, "F", along(&tops, strip, Some((&rakes, corner)))),
                    (High, "G", along(&tops, strip, None)),
                    (High, "H", ZoneArea::default()),
                ],
            ),
            (
                rakes.clone(),
                vec![
                    (Gable, "F up", along(&rakes, strip, Some((&tops, corner)))),
                    (Gable, "F low", along(&rakes, strip, Some((&eaves, corner)))),
                    (Gable, "G", along(&rakes, strip, None)),
                    (Gable, "H", along(&rakes, e / 2.0, None)),
                    (Gable, "I", ZoneArea::default()),
                ],
            ),
        ],
        // Corners and strips along hips are measured at a right angle to the hip, which is farther than along the eave;
        // M is all that is not L, so that N, which has less suction, is not needed. Where J and K meet, both count.
        RoofShape::Hip => vec![
            (
                eaves.iter().chain(&rakes).copied().collect(),
                vec![
                    (Hip, "F", along(&eaves, strip, Some((&sides, corner)))),
                    (Hip, "G", along(&eaves, strip, None)),
                    (Hip, "H", ZoneArea::default()),
                ],
            ),
            (none(), vec![(Hip, "J", along(&sides, strip, None)), (Hip, "I", ZoneArea::default())]),
            (none(), vec![(Hip, "K", along(&tops, strip, None))]),
            (none(), vec![(Hip, "L", along(&sides, strip, None)), (Hip, "M", ZoneArea::default())]),
        ],
    }
}

/// Snow on every slope.
pub fn snow(design: &Design, frames: &[SlopeFrame], basis: &mut Basis) {
    let Some(spec) = &design.loads.snow else {
        basis.left_out.push("snow: the design has no [snow]".to_owned());
        return;
    };
    if let Some(roof) = &spec.roof {
        basis.snow = Some(vec![roof.value.pascals(); frames.len()]);
        return;
    }
    let outcome = (|| {
        let edition = *need(&spec.edition, "snow.edition (none is assumed) or snow.roof")?;
        let ground = need(&spec.ground, "snow.ground")?.pascals();
        let exposure = *need(&spec.exposure_factor, "snow.exposure_factor")?;
        let thermal = *need(&spec.thermal_factor, "snow.thermal_factor")?;
        let slippery = *need(&spec.slippery, "snow.slippery")?;
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
                let least = s.minimum().map_err(say)?.unwrap_or(0.0);
                Ok((s.sloped().map_err(say)?.max(least), s.steps().map_err(say)?))
            })
            .collect::<Result<Vec<_>, String>>()
            .map(|all| (edition, all))
    })();
    match outcome {
        Ok((edition, all)) => {
            supersede(basis, edition);
            let (loads, steps) = all.into_iter().unzip();
            basis.snow = Some(loads);
            basis.steps.snow = steps;
        }
        Err(why) => basis.left_out.push(format!("snow: {why}")),
    }
}

/// The combinations of the loads that there are, each named with its clause.
pub fn combine(design: &Design, basis: &mut Basis) {
    supersede(basis, basis.standard);
    let low = design.loads.wind.as_ref().and_then(|w| w.elevation.as_ref()).is_some_and(|e| e.metres() <= 1000.0);
    let standard = match basis.standard {
        Standard::Asce7_10 | Standard::Asce7_16 => loads::Standard::AsdTo16,
        Standard::Asce7_22 => loads::Standard::Asd22,
        Standard::En1991 if low => loads::Standard::En1990,
        Standard::En1991 => loads::Standard::En1990High,
    };
    let (snow, live, wind) = (basis.snow.is_some(), basis.live.is_some(), !basis.wind.is_empty());
    let there = |c: &Combination| {
        let f = &c.factors;
        let asks = [(f.snow, snow), (f.live, live), (f.wind, wind)];
        asks.iter().all(|(f, _)| *f == 0.0) || asks.iter().any(|(f, is)| *f > 0.0 && *is)
    };
    // Of the loads that there are, nowhere less than another one of its kind has: it could never decide.
    let have = |c: &Combination| {
        let f = &c.factors;
        let only = |f: f64, is: bool| if is { f } else { 0.0 };
        [only(f.live, live), only(f.snow, snow), only(f.wind, wind)]
    };
    let covers = |a: &Combination, b: &Combination| {
        let alike = a.suction == b.suction && a.factors.dead == b.factors.dead && a.nds == b.nds && a.ec5 == b.ec5;
        let (of_a, of_b) = (have(a), have(b));
        alike && of_a != of_b && of_a.iter().zip(of_b).all(|(a, b)| *a >= b)
    };
    let all: Vec<Combination> = loads::combinations(standard).into_iter().filter(there).collect();
    basis.combinations = all.iter().filter(|c| !all.iter().any(|o| covers(o, c))).copied().collect();
    if basis.standard == Standard::En1991 && !low {
        basis.left_out.push(
            "wind.elevation does not say that the site is at most 1000 m above the sea: combinations are those for higher sites"
                .to_owned(),
        );
    }
}
