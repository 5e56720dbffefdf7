//! Wind by a site and ASCE 7.
//!
//! Aim: the zones of the edition on the slopes' real outlines, with the coefficients that come along or the designer's own.
//! Reason: an overhang is pulled from above and pushed from below. Limits: an overhang without coefficients is not known, and
//! with it all that carries roofing there.

use std::collections::BTreeSet;

use super::{OVERHANG_UNSAID, kind_to_wind, meets_wall, need, say, unused};
use crate::capacity::units::FOOT;
use crate::capacity::wind::area::{AreaRule, ByArea};
use crate::capacity::wind::asce;
use crate::capacity::{Mark, NotComputed, Source, Step};
use crate::check::strength::basis::Basis;
use crate::check::strength::zone_wind::{AsceLaw, Law, SlopeWind, ZoneLoads, ZoneWind};
use crate::check::strength::zones::{self, Side, ZoneArea};
use crate::design::{EdgeKind, Enclosure, Exposure, RoofShape, WindSide, WindSpec};
use crate::quantity::maths::cos;
use crate::structure::{Outline, SlopeFrame};

const LAYOUT_SEEN: Source = Source::new("ASCE 7-22 figures 30.3-2 and 30.3-5, layout of the zones", Mark::Published);
const LAYOUT: Source = Source::new("figures of the edition, layout of the zones", Mark::FromMemory);
const LAYOUT_SHAKY: Source =
    Source::new("figures of the edition, layout of the zones, the case of this roof", Mark::Shaky);

/// Every slope.
pub fn wind(
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
            Enclosure::PartlyOpen => asce::Enclosure::PartiallyOpen,
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
    let mut bare: Vec<String> = Vec::new();
    let mut known = BTreeSet::new();
    for frame in frames {
        let layout = asce::layout(edition, roof, frame.pitch, a, height).map_err(say)?;
        let source = match layout.iter().map(|z| z.mark).max() {
            Some(Mark::Published) => LAYOUT_SEEN,
            Some(Mark::Shaky) => LAYOUT_SHAKY,
            _ => LAYOUT,
        };
        let outline = &frame.outline;
        let edges = Edges::of(frame, frames, roof);
        let mut slope = SlopeWind { rule: Some(AreaRule::Asce), ..SlopeWind::default() };
        let mut add = |slope: &mut SlopeWind, z: &asce::ZonePlace, hanging: Option<f64>| {
            let place = asce::Place { edition, roof, overhang: hanging.is_some(), slope: frame.pitch, zone: z.zone };
            let suction = table.coefficient(&place, asce::Side::Suction)?;
            // Overhangs are pressed like the roof inside, but by the designer's own coefficients.
            let inside = asce::Place { overhang: false, ..place };
            let pressing = table.coefficient(&place, asce::Side::Pressure);
            let (towards, pressure) = match pressing.or_else(|_| table.coefficient(&inside, asce::Side::Pressure)) {
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
            let reach = match hanging {
                Some(reach) => Some(Step::input("reach", "of the overhang in plan", reach / FOOT, "ft", Source::GIVEN)),
                None if z.near.is_empty() => None,
                None => Some(Step::input("reach", "of the zone in plan", z.reach / FOOT, "ft", source)),
            };
            let law = Law::Asce(Box::new(AsceLaw { reach, site, suction, pressure: towards }));
            let area = asce_area(&edges, z, cos(frame.pitch), hanging);
            slope.push(area, ZoneWind { name, loads: Ok(loads), law });
            Ok::<(), NotComputed>(())
        };
        if let Some(reach) = spec.overhang.as_ref().map(|o| o.metres()).filter(|o| *o > 0.0) {
            for z in &layout {
                match add(&mut slope, z, Some(reach)) {
                    Ok(()) => {}
                    // Where a zone has no coefficient for its overhang nothing is known, whatever lies beside it.
                    Err(NotComputed::NotCovered { .. }) => {
                        let area = asce_area(&edges, z, cos(frame.pitch), Some(reach));
                        let name = format!("{} overhang", z.zone);
                        slope.push(area, ZoneWind { name, loads: Err(NO_OVERHANG), law: Law::Given });
                    }
                    Err(e) => return Err(say(e)),
                }
            }
        }
        for z in &layout {
            add(&mut slope, z, None).map_err(say)?;
        }
        for zone in unknown(&slope, outline) {
            bare.push(format!("{} of slope {}", zone, frame.name));
        }
        slopes.push(slope);
    }
    basis.steps.wind = lines;
    unused(spec, &known, basis);
    if !bare.is_empty() {
        basis.left_out.push(format!("{NO_OVERHANG} ({}); {UNTOLD}", bare.join(", ")));
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
const NO_OVERHANG: NotComputed = NotComputed::NotCovered {
    what: "wind on overhangs",
    why: "no coefficients for this edition, shape and slope: give pressures by zone, or coefficients of your own",
};

/// Zones of which nothing is known and that hold a place of the slope.
fn unknown(slope: &SlopeWind, outline: &Outline) -> Vec<String> {
    if slope.values.iter().all(|z| z.loads.is_ok()) {
        return Vec::new();
    }
    let bounds = outline.bounds();
    let mut heights = slope.zones.borders();
    heights.extend([bounds.y0, bounds.y1]);
    heights.retain(|y| bounds.y0 <= *y && *y <= bounds.y1);
    heights.sort_by(f64::total_cmp);
    let mut found = BTreeSet::new();
    for w in heights.windows(2) {
        let y = f64::midpoint(w[0], w[1]);
        let roof = outline.along_x(y);
        for (a, b, zone) in slope.zones.along(y) {
            let holds = roof.iter().any(|(left, right)| a.max(left.0) + SLIVER < b.min(right.0));
            let lacks = slope.values.get(zone).is_some_and(|z| z.loads.is_err());
            if w[1] - w[0] > SLIVER && holds && lacks {
                found.insert(zone);
            }
        }
    }
    found.into_iter().filter_map(|z| Some(slope.values.get(z)?.name.clone())).collect()
}

/// Narrower than this a place is none, metres.
const SLIVER: f64 = 1e-6;

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

/// The edges that the zones of a slope lie along: its own, and the outer ones of the building's other slopes.
struct Edges {
    sides: Vec<Side>,
    /// What each of them is.
    kinds: Vec<Option<asce::Edge>>,
    /// Whether the roof hangs over at each of them, not where it meets a wall.
    hangs: Vec<bool>,
}

impl Edges {
    fn of(frame: &SlopeFrame, frames: &[SlopeFrame], roof: asce::Roof) -> Edges {
        let mut all = Edges { sides: Vec::new(), kinds: Vec::new(), hangs: Vec::new() };
        let mut add = |side: Side, outline: &Outline, e: usize, kind: Option<asce::Edge>| {
            all.sides.push(side);
            all.kinds.push(kind);
            all.hangs.push(kind.is_some_and(outer) && !meets_wall(outline, e));
        };
        for (e, side) in zones::sides(frame).into_iter().enumerate() {
            add(side, &frame.outline, e, edge(&frame.outline, e, roof));
        }
        for other in frames.iter().filter(|o| !std::ptr::eq(*o, frame)) {
            for e in 0..other.outline.edges.len() {
                let kind = edge(&other.outline, e, roof).filter(|k| outer(*k));
                if let (Some(_), Some(side)) = (kind, zones::side_of_another(frame, other, e)) {
                    add(side, &other.outline, e, kind);
                }
            }
        }
        all
    }

    /// Those of some kinds.
    fn of_kinds(&self, kinds: &[asce::Edge]) -> Vec<usize> {
        (0..self.kinds.len())
            .filter(|e| self.kinds.get(*e).is_some_and(|k| k.is_some_and(|k| kinds.contains(&k))))
            .collect()
    }

    /// Those that hang over.
    fn hanging(&self) -> Vec<usize> {
        (0..self.hangs.len()).filter(|e| self.hangs.get(*e).is_some_and(|h| *h)).collect()
    }
}

/// Whether an edge is one of the building, and not between two slopes.
fn outer(kind: asce::Edge) -> bool {
    matches!(kind, asce::Edge::Eave | asce::Edge::Rake | asce::Edge::HighEdge)
}

/// A zone of the layout on a slope; of an overhang only what lies within its reach of the edges that hang over, and there
/// the zone is at least as deep.
fn asce_area(edges: &Edges, z: &asce::ZonePlace, cos: f64, overhang: Option<f64>) -> ZoneArea {
    let (near, and) = (edges.of_kinds(z.near), edges.of_kinds(z.and_near));
    let deep = |reach: f64| reach.max(overhang.unwrap_or(0.0));
    let and = (!z.and_near.is_empty()).then_some((and.as_slice(), deep(z.and_reach)));
    let reach = deep(z.reach);
    let whole =
        if z.near.is_empty() { ZoneArea::default() } else { ZoneArea::along(&edges.sides, (&near, reach), and, cos) };
    match overhang {
        None => whole,
        Some(reach) => whole.also_near(&edges.sides, &edges.hanging(), reach, cos),
    }
}

/// What an edge is to the zones; valleys are none.
fn edge(outline: &Outline, number: usize, roof: asce::Roof) -> Option<asce::Edge> {
    let high = if roof == asce::Roof::Monoslope { asce::Edge::HighEdge } else { asce::Edge::Ridge };
    match kind_to_wind(outline, number)? {
        EdgeKind::Eave => Some(asce::Edge::Eave),
        EdgeKind::Top => Some(high),
        EdgeKind::Rake => Some(asce::Edge::Rake),
        EdgeKind::Hip => Some(asce::Edge::Hip),
        EdgeKind::Valley | EdgeKind::Wall => None,
    }
}
