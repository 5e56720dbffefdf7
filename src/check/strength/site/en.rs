//! Wind by a site and EN 1991-1-4.
//!
//! Aim: the zones of every direction of the wind, one layer over the other. Reason: wind blows from every side, and a place takes
//! the worst that it lies in. Limits: a hipped roof needs one pitch; an orography factor of 1; an overhang that the wind does
//! not meet is taken like the roof inside, without the pull from below.

use std::collections::BTreeSet;

use super::{OVERHANG_UNSAID, kind_to_wind, meets_wall, need, say, unused};
use crate::capacity::units::num;
use crate::capacity::wind::area::{self, AreaRule, ByArea};
use crate::capacity::wind::en;
use crate::capacity::{Mark, Source, Step};
use crate::check::strength::basis::Basis;
use crate::check::strength::zone_wind::{Cpe, Law, SlopeWind, ZoneLoads, ZoneWind};
use crate::check::strength::zones::{self, Side, ZoneArea};
use crate::design::{EdgeKind, Exposure, OwnCoefficient, RoofShape, WindSide, WindSpec};
use crate::quantity::maths::cos;
use crate::structure::SlopeFrame;

/// What a design calls overhangs by EN 1991-1-4 that it gives a coefficient of its own.
const EN_OVERHANG: &str = "overhang";

const EN_ZONES: Source = Source::new("EN 1991-1-4 Figures 7.7 to 7.9", Mark::FromMemory);

/// Duopitch, monopitch and hipped roofs by EN 1991-1-4. Wind blows from every side, so each slope carries the zones of all directions and a
/// place takes the worst that it lies in.
pub fn wind(spec: &WindSpec, frames: &[SlopeFrame], basis: &mut Basis) -> Result<Vec<SlopeWind>, String> {
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
    let own_overhang = own(spec, EN_OVERHANG, WindSide::Suction);
    for frame in frames {
        let cos = cos(frame.pitch);
        let sides = zones::sides(frame);
        let mut slope = SlopeWind { rule: Some(AreaRule::En), ..SlopeWind::default() };
        let mut most_towards = (0.0_f64, en::tables(Mark::FromMemory));
        // Along the ridge the wind meets the gables, whose width the roof itself shows; `wind.width` may be that of the eaves.
        // Up to 15 degrees F pulls harder than G beside it, above G does: where the width is in doubt, the worse reaches farther.
        let gable = (zones::depth_of_roof(frame, frames) - 2.0 * overhang.unwrap_or(0.0)).max(0.0);
        let corner = if frame.pitch > EVEN_PITCH { e.min(gable) } else { e } / 4.0;
        for (layer, (meets, zones)) in en_zones(shape, frame, &sides, (e, corner)).into_iter().enumerate() {
            let mut add = |direction, zone: &str, area: ZoneArea, hangs: bool| {
                let c = table.coefficient(direction, frame.pitch, zone).map_err(say)?;
                let cpe = own(spec, zone, WindSide::Suction).map_or(Cpe::Table(c), |o| Cpe::Own(o.points.clone()));
                let net = if hangs { from_both_faces(q, &cpe)? } else { en_net(q, &cpe) };
                let loads = ZoneLoads { suction: ByArea::new(net, 0.0), pressure: ByArea::constant(0.0) };
                known.insert(zone.to_owned());
                let hanging = if hangs { " overhang" } else { "" };
                let name = format!("{zone}{hanging} (wind on {})", met(direction));
                let law = Law::En { q, cpe, overhang: hangs };
                slope.push(ZoneArea { layer, ..area }, ZoneWind { name, loads: Ok(loads), law });
                let own = own(spec, zone, WindSide::Pressure);
                let towards = own.map(most).or(c.pressing).unwrap_or(0.0);
                if towards > most_towards.0 {
                    most_towards = (towards, if own.is_some() { Source::GIVEN } else { en::tables(c.mark) });
                }
                Ok::<(), String>(())
            };
            let hanging: Vec<usize> = meets.into_iter().filter(|e| !meets_wall(&frame.outline, *e)).collect();
            if let Some(reach) = overhang.filter(|_| own_overhang.is_none() && !hanging.is_empty()) {
                for (direction, zone, area) in &zones {
                    let there = area.clone().also_near(&sides, &hanging, reach, cos);
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
            let area = ZoneArea { layer, ..ZoneArea::along(&sides, (&edges, reach), None, cos) };
            known.insert(EN_OVERHANG.to_owned());
            let net = own.points.iter().map(|(a, c)| (*a, -q * c)).collect();
            let towards = self::own(spec, EN_OVERHANG, WindSide::Pressure).map_or(pressing, |o| q * most(o));
            let loads = ZoneLoads { suction: ByArea::new(net, 0.0), pressure: ByArea::constant(towards) };
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

/// At this pitch zones F and G have one coefficient where wind blows along the ridge (Table 7.4b), 15 degrees.
const EVEN_PITCH: f64 = std::f64::consts::PI / 12.0;

/// The designer's own coefficient of a zone.
fn own<'s>(spec: &'s WindSpec, zone: &str, side: WindSide) -> Option<&'s OwnCoefficient> {
    spec.coefficients.iter().find(|o| o.zone == zone && o.side == side)
}

/// Its greatest value, not below zero.
fn most(own: &OwnCoefficient) -> f64 {
    own.points.iter().map(|p| p.1).fold(0.0, f64::max)
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

/// The zones of a slope, layer by layer: each direction of wind, and of one direction the faces that it meets or leaves. `e`
/// with the length of F at the gables of a duopitch roof.
fn en_zones(shape: RoofShape, frame: &SlopeFrame, all: &[Side], (e, at_gables): (f64, f64)) -> Vec<Layer> {
    use en::Direction::{Eave, Gable, High, Hip, Low, Ridge};
    let (outline, cos) = (&frame.outline, cos(frame.pitch));
    let of = |kinds: &[EdgeKind]| -> Vec<usize> {
        let fits = |e: &usize| kind_to_wind(outline, *e).is_some_and(|k| kinds.contains(&k));
        (0..outline.edges.len()).filter(fits).collect()
    };
    let (eaves, tops, rakes) = (of(&[EdgeKind::Eave]), of(&[EdgeKind::Top]), of(&[EdgeKind::Rake]));
    let sides = of(&[EdgeKind::Hip, EdgeKind::Rake]);
    let along = |near: &[usize], reach, and: Option<(&[usize], f64)>| ZoneArea::along(all, (near, reach), and, cos);
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
                    // F lies at the eaves only; G runs over the ridge from one to the other (Figure 7.8).
                    (Ridge, "F", along(&rakes, strip, Some((&eaves, at_gables)))),
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
