//! Slopes, edges and openings.

use std::ops::Range;

use nalgebra::Vector3;

use super::super::file::{DesignFile, EdgeFile, Located, OpeningFile, RoofFile, SlopeFile};
use super::super::model::*;
use super::super::reader::Reader;
use super::super::scalars::Facing;
use super::super::written::{Choice, Raw, Scalar, Written};
use super::plane::{Rectangle, TOUCHES, inside};
use super::slope_or_only;
use crate::quantity::maths::{apart, cos, hypot, sin_cos};
use crate::quantity::{Angle, Length};

/// All slopes, with edges and openings; `false` where a slope is at fault and there are none.
pub fn slopes(r: &mut Reader<'_>, file: &DesignFile) -> (Vec<Slope>, bool) {
    r.named_by_wind = file.roof.is_some() && file.slope.is_empty() && !r.may_lack("slope");
    let made = match (&file.roof, file.slope.is_empty()) {
        (Some(roof), true) => short_form(r, roof),
        (None, false) => {
            let all: Vec<Option<Slope>> =
                r.tables("slope", &file.slope).into_iter().map(|(key, s)| written_slope(r, &key, s)).collect();
            all.into_iter().collect::<Option<Vec<_>>>()
        }
        (Some(roof), false) => {
            r.fault(roof.span(), "roof", "both a short form and single slopes", "write [roof] or [[slope]], not both");
            None
        }
        (None, true) if r.may_lack("slope") => None,
        (None, true) => {
            r.fault(
                0..0,
                "roof",
                "no slopes",
                "write [roof] with shape = \"shed\", \"gable\" or \"hip\", or [[slope]] tables",
            );
            None
        }
    };
    if file.roof.is_none() {
        names(r, file);
    }
    let made = made.filter(|slopes| large_enough(r, file, slopes));
    let (mut slopes, usable) = (made.clone().unwrap_or_default(), made.is_some());
    if usable {
        r.slope_names = slopes.iter().map(|s| s.name.clone()).collect();
    }
    hold_backs(r, file, &mut slopes);
    turn_downs(r, file, &mut slopes);
    for (i, edge) in file.edge.iter().enumerate() {
        if !r.doubles.contains(&format!("edge[{}]", i + 1)) {
            edge_settings(r, i + 1, edge, &mut slopes);
        }
    }
    coinciding(r, file, &slopes);
    air_over_edges(r, file, &mut slopes);
    let mut openings: Vec<String> = Vec::new();
    for (key, opening) in r.tables("opening", &file.opening) {
        let placed = self::opening(r, &key, opening, &slopes);
        let name = opening.get().name.as_ref().and_then(|w| w.read().ok().map(|n| (n, w.span.clone())));
        if let Some((name, span)) = name {
            if openings.contains(&name) {
                r.fault(span, &format!("{key}.name"), format!("two openings are named \"{name}\""), "names are unique");
                continue;
            }
            openings.push(name);
        }
        if let Some((slope, opening)) = placed
            && let Some(s) = slopes.get_mut(slope.0)
        {
            s.openings.push(opening);
        }
    }
    (slopes, usable)
}

/// Whether there may be slopes of other names than those that are known.
pub fn may_lack(r: &Reader<'_>) -> bool {
    r.may_lack("slope") || r.may_lack("roof.facing")
}

/// Names of written slopes: known also where something else of a slope is at fault.
fn names(r: &mut Reader<'_>, file: &DesignFile) {
    let tables = r.tables("slope", &file.slope);
    let written: Vec<Option<(String, Range<usize>)>> = tables
        .iter()
        .map(|(_, s)| s.get().name.as_ref().and_then(|w| Some((w.read().ok()?, w.span.clone()))))
        .collect();
    for (i, ((table, _), this)) in tables.iter().zip(&written).enumerate() {
        let Some((name, span)) = this else { continue };
        let key = format!("{table}.name");
        let twin = written.iter().take(i).flatten().find(|(other, _)| other.to_lowercase() == name.to_lowercase());
        if let Some((other, _)) = twin {
            let (message, hint) = if other == name {
                (format!("two slopes are named \"{name}\""), "names are unique")
            } else {
                let hint = "files are named after slopes, and some systems do not tell capitals from small letters";
                (format!("slopes \"{other}\" and \"{name}\" differ in capitals only"), hint)
            };
            r.fault(span.clone(), &key, message, hint);
        }
        if is_device(name) {
            let hint = "files are named after slopes: choose another name";
            r.fault(span.clone(), &key, format!("some systems keep the name \"{name}\" for a device"), hint);
        }
    }
    if let Some(all) = written.into_iter().map(|n| n.map(|n| n.0)).collect() {
        r.slope_names = all;
    }
}

/// Whether no file can have this name on common systems, whatever its ending.
fn is_device(name: &str) -> bool {
    let name = name.to_lowercase();
    let numbered = |stem: &str| {
        name.strip_prefix(stem)
            .is_some_and(|n| n.chars().count() == 1 && n.chars().all(|c| "0123456789¹²³".contains(c)))
    };
    ["con", "prn", "aux", "nul"].contains(&name.as_str()) || numbered("com") || numbered("lpt")
}

/// The least side of a slope's bounding rectangle: common practice, no source.
const LEAST_SIDE: Length = Length::from_inches(4.0);

/// Whether no slope is too small to be one; a fault for each that is.
fn large_enough(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope]) -> bool {
    let mut all = true;
    for (i, slope) in slopes.iter().enumerate() {
        let side = |pick: fn(&Corner) -> Length| {
            let (least, most) = slope
                .outline
                .iter()
                .map(pick)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v.metres()), b.max(v.metres())));
            most - least
        };
        if side(|c| c.0).min(side(|c| c.1)) >= LEAST_SIDE.metres() {
            continue;
        }
        all = false;
        let (key, span) = match (&file.roof, r.tables("slope", &file.slope).get(i)) {
            (Some(roof), _) => ("roof".to_owned(), roof.span()),
            (None, Some((key, s))) => (key.clone(), s.span()),
            (None, None) => continue,
        };
        let hint = format!("each side is at least {}; is this in the right unit?", LEAST_SIDE.show(r.units));
        r.fault(span.start..span.start, &key, format!("slope {} is too small to be a roof", slope.name), hint);
        if file.roof.is_some() {
            break;
        }
    }
    all
}

fn short_form(r: &mut Reader<'_>, located: &Located<RoofFile>) -> Option<Vec<Slope>> {
    let (roof, at) = (located.get(), located.span());
    let shape = r.need("roof.shape", &roof.shape, &at, "one of \"shed\", \"gable\", \"hip\"");
    let eave = r.size("roof.eave", &roof.eave, &at, "the length of the eave, such as \"40 ft\"");
    let pitch = r.need("roof.pitch", &roof.pitch, &at, "such as \"6:12\"").and_then(|p| {
        let span = roof.pitch.as_ref().map_or(0..0, |w| w.span.clone());
        checked_pitch(r, "roof.pitch", p.value, span).map(|value| Given { value, ..p })
    });
    let facing = r.or(
        "roof.facing",
        &roof.facing,
        Facing(Angle::from_degrees(180.0)),
        "180 deg",
        "the main slope looks south, and slopes are named after where they look",
    );
    let facing = facing.map(|g| Given { value: g.value.0, origin: g.origin });
    let height = r.place_or_zero("roof.eave_height", &roof.eave_height, "heights count from the eave");
    let ridge = match &roof.ridge_board {
        Some(_) => super::section(r, "roof.ridge_board", &roof.ridge_board, &at).map(Some),
        None => Some(None),
    };
    let hip = match &roof.hip_rafter {
        Some(_) => super::section(r, "roof.hip_rafter", &roof.hip_rafter, &at).map(Some),
        None => Some(None),
    };
    let needs = match shape.as_ref().map(|s| s.value) {
        Some(RoofShape::Shed) => {
            if let Some(w) = &roof.width {
                r.fault(
                    w.span.clone(),
                    "roof.width",
                    "a shed roof has no width here",
                    "write slope_length, up the slope",
                );
            }
            r.size("roof.slope_length", &roof.slope_length, &at, "the length up the slope, such as \"12 ft\"")
        }
        Some(_) => {
            if let Some(w) = &roof.slope_length {
                r.fault(
                    w.span.clone(),
                    "roof.slope_length",
                    "only a shed roof takes this",
                    "write width, in plan from eave to eave",
                );
            }
            r.size("roof.width", &roof.width, &at, "the width in plan from eave to eave, such as \"28 ft\"")
        }
        // Without a shape neither is asked for, but what is written is judged.
        None => {
            r.place("roof.width", &roof.width);
            r.place("roof.slope_length", &roof.slope_length);
            None
        }
    };
    if let (Some(shape), Some(facing)) = (&shape, &facing) {
        let quarters: &[f64] = match shape.value {
            RoofShape::Shed => &[0.0],
            RoofShape::Gable => &[0.0, 2.0],
            RoofShape::Hip => &[0.0, 3.0, 2.0, 1.0],
        };
        let turned = |q: &f64| Angle::from_radians(facing.radians() + q * std::f64::consts::FRAC_PI_2);
        r.slope_names = quarters.iter().map(|q| wind_name(turned(q)).to_owned()).collect();
    }
    let (shape, eave, pitch, facing, height, across) =
        (shape?.value, eave?.value, pitch?, facing?, height?, needs?.value);
    let (ridge, hip) = (ridge?, hip?);

    let corner = |x: f64, y: f64| (Length::from_metres(x), Length::from_metres(y));
    let rectangle = |w: f64, l: f64| vec![corner(0.0, 0.0), corner(w, 0.0), corner(w, l), corner(0.0, l)];
    let e = eave.metres();
    let turned = |quarter: f64| Angle::from_radians(facing.radians() + quarter * std::f64::consts::FRAC_PI_2);
    let x_axis = axes(facing.value, pitch.value).0;
    let into = Vector3::z().cross(&x_axis);
    let slope = |facing_of: Angle, origin: Vector3<f64>, outline: Vec<Corner>| Slope {
        name: wind_name(facing_of).to_owned(),
        eave_point: Given {
            value: [origin.x, origin.y, origin.z + height.metres()].map(Length::from_metres),
            origin: Origin::Derived("the short form of the roof"),
        },
        facing: Given { value: facing_of, origin: facing.origin.clone() },
        pitch: pitch.clone(),
        run_of_12: run_of_12(&roof.pitch),
        edges: edges(&outline),
        outline,
        openings: Vec::new(),
        found_outline: None,
    };
    let w = across.metres();
    let rise = w / 2.0 / cos(pitch.radians());
    let mut slopes = match shape {
        RoofShape::Shed => vec![slope(facing.value, Vector3::zeros(), rectangle(e, w))],
        RoofShape::Gable => vec![
            slope(facing.value, Vector3::zeros(), rectangle(e, rise)),
            slope(turned(2.0), x_axis * e + into * w, rectangle(e, rise)),
        ],
        RoofShape::Hip => {
            if e < w {
                let span = roof.eave.as_ref().map_or(at, |x| x.span.clone());
                r.fault(
                    span,
                    "roof.eave",
                    "the eave of a hip roof is not shorter than its width",
                    "exchange eave and width, and turn `facing` by 90 deg",
                );
                return None;
            }
            let pyramid = e - w < 2e-3;
            let long = if pyramid {
                vec![corner(0.0, 0.0), corner(e, 0.0), corner(e / 2.0, rise)]
            } else {
                vec![corner(0.0, 0.0), corner(e, 0.0), corner(e - w / 2.0, rise), corner(w / 2.0, rise)]
            };
            let short = vec![corner(0.0, 0.0), corner(w, 0.0), corner(w / 2.0, rise)];
            // Compass degrees run clockwise, so the slope at the right end looks a quarter turn back.
            vec![
                slope(facing.value, Vector3::zeros(), long.clone()),
                slope(turned(3.0), x_axis * e, short.clone()),
                slope(turned(2.0), x_axis * e + into * w, long),
                slope(turned(1.0), into * w, short),
            ]
        }
    };
    let share =
        |slopes: &mut Vec<Slope>, a: (usize, usize), b: (usize, usize), member: Option<(MemberKind, Section)>| {
            let setback = Given {
                value: member.map_or(Length::ZERO, |(_, s)| s.width() / 2.0),
                origin: Origin::Derived("half the width of the ridge board or hip rafter, if any"),
            };
            if let Some(edge) = slopes.get_mut(a.0).and_then(|s| s.edges.get_mut(a.1)) {
                edge.member = member;
            }
            for (this, other) in [(a, b), (b, a)] {
                if let Some(edge) = slopes.get_mut(this.0).and_then(|s| s.edges.get_mut(this.1)) {
                    edge.shared_with = Some((SlopeId(other.0), other.1));
                    edge.framing_setback = setback.clone();
                }
            }
        };
    let (ridge, hip) =
        (ridge.map(|s| (MemberKind::RidgeBoard, s.value)), hip.map(|s| (MemberKind::HipRafter, s.value)));
    match shape {
        RoofShape::Shed => {}
        RoofShape::Gable => share(&mut slopes, (0, 2), (1, 2), ridge),
        RoofShape::Hip => {
            let four = slopes.first().is_some_and(|s| s.outline.len() == 4);
            let left = if four { 3 } else { 2 };
            share(&mut slopes, (0, 1), (1, 2), hip);
            share(&mut slopes, (1, 1), (2, left), hip);
            share(&mut slopes, (2, 1), (3, 2), hip);
            share(&mut slopes, (3, 1), (0, left), hip);
            if four {
                share(&mut slopes, (0, 2), (2, 2), ridge);
            }
        }
    }
    Some(slopes)
}

/// The axes of a slope's frame in the world: x along the eave, y up the slope, z outward.
pub fn axes(facing: Angle, pitch: Angle) -> (Vector3<f64>, Vector3<f64>, Vector3<f64>) {
    let (sf, cf) = exact_sin_cos(facing);
    let outward = Vector3::new(sf, cf, 0.0);
    let (sp, cp) = sin_cos(pitch.radians());
    (Vector3::new(-cf, sf, 0.0), -outward * cp + Vector3::z() * sp, outward * sp + Vector3::z() * cp)
}

/// Sine and cosine that are exact at whole quarter turns, so that a roof that looks south has no crooked last digits.
fn exact_sin_cos(angle: Angle) -> (f64, f64) {
    let quarters = angle.radians() / std::f64::consts::FRAC_PI_2;
    if (quarters - quarters.round()).abs() < 1e-12 {
        match quarters.round().rem_euclid(4.0) as i32 {
            0 => (0.0, 1.0),
            1 => (1.0, 0.0),
            2 => (0.0, -1.0),
            _ => (-1.0, 0.0),
        }
    } else {
        sin_cos(angle.radians())
    }
}

/// Names that the short form gives to slopes.
pub const WINDS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];

fn wind_name(facing: Angle) -> &'static str {
    let eighth = (facing.degrees() / 45.0).round().rem_euclid(8.0) as usize;
    WINDS.get(eighth).copied().unwrap_or("N")
}

fn checked_pitch(r: &mut Reader<'_>, key: &str, pitch: Angle, span: Range<usize>) -> Option<Angle> {
    if pitch.degrees() > 0.2 && pitch.degrees() < 85.0 {
        return Some(pitch);
    }
    r.fault(
        span,
        key,
        format!("a pitch of {} is no roof slope", pitch.show()),
        "between 0.2 deg and 85 deg; write \"6:12\" or \"26.6 deg\"",
    );
    None
}

/// The run of a pitch that is written as a rise of 12.
fn run_of_12(pitch: &Option<Written<Angle>>) -> Option<f64> {
    let Raw::Text(text) = &pitch.as_ref()?.raw else { return None };
    let (rise, run) = text.split_once(':')?;
    if rise.trim() == "12" { run.trim().parse().ok() } else { None }
}

fn written_slope(r: &mut Reader<'_>, key: &str, located: &Located<SlopeFile>) -> Option<Slope> {
    let (s, at) = (located.get(), located.span());
    let name = r.need(&format!("{key}.name"), &s.name, &at, "a short name, such as \"S\"").and_then(|n| {
        let span = s.name.as_ref().map_or(0..0, |w| w.span.clone());
        let fine = (1..=8).contains(&n.value.chars().count()) && n.value.chars().all(char::is_alphanumeric);
        if !fine {
            r.fault(
                span,
                &format!("{key}.name"),
                "a slope's name opens every part's name",
                "1 to 8 letters or digits, such as \"S\" or \"SE\"",
            );
        }
        fine.then_some(n.value)
    });
    let point = match &s.eave_point {
        Some(p) => {
            let line = p.first().map_or(0, |w| r.line(w.span.start));
            r.triple(&format!("{key}.eave_point"), p, &at).map(|value| Given { value, origin: Origin::Written(line) })
        }
        None => {
            let why = "the slope stands at the world's origin";
            r.defaults.push(DefaultInForce { key: format!("{key}.eave_point"), value: "0, 0, 0".into(), why });
            Some(Given { value: [Length::ZERO; 3], origin: Origin::Default(why) })
        }
    };
    let facing = r.or(
        &format!("{key}.facing"),
        &s.facing,
        Facing(Angle::from_degrees(180.0)),
        "180 deg",
        "the slope looks south; a turn changes nothing but world coordinates",
    );
    let facing = facing.map(|g| Given { value: g.value.0, origin: g.origin });
    let pitch = r.need(&format!("{key}.pitch"), &s.pitch, &at, "such as \"6:12\"").and_then(|p| {
        let span = s.pitch.as_ref().map_or(0..0, |w| w.span.clone());
        checked_pitch(r, &format!("{key}.pitch"), p.value, span).map(|value| Given { value, ..p })
    });
    let outline = outline(r, key, &s.size, &s.outline, &at, true);
    let (name, eave_point, facing, pitch, outline) = (name?, point?, facing?, pitch?, outline?);
    Some(Slope {
        name,
        eave_point,
        facing,
        pitch,
        run_of_12: run_of_12(&s.pitch),
        edges: edges(&outline),
        outline,
        openings: Vec::new(),
        found_outline: None,
    })
}

/// An outline from a size or a list of corners. A drawn one must open at zero.
pub fn outline(
    r: &mut Reader<'_>,
    key: &str,
    size: &Option<Vec<Written<Length>>>,
    corners: &Option<Vec<Vec<Written<Length>>>>,
    at: &Range<usize>,
    drawn: bool,
) -> Option<Vec<Corner>> {
    match (size, corners) {
        (Some(size), None) => {
            let (w, l) = r.pair(&format!("{key}.size"), size, at, true)?;
            Some(vec![(Length::ZERO, Length::ZERO), (w, Length::ZERO), (w, l), (Length::ZERO, l)])
        }
        (None, Some(corners)) => {
            let key = format!("{key}.outline");
            let span = corners
                .iter()
                .flatten()
                .map(|w| w.span.clone())
                .reduce(|a, b| a.start..b.end)
                .unwrap_or(at.start..at.start);
            let points: Vec<Option<Corner>> = corners
                .iter()
                .enumerate()
                .map(|(i, c)| r.pair(&format!("{key}[{}]", i + 1), c, &span, false))
                .collect();
            let points: Vec<Corner> = points.into_iter().collect::<Option<_>>()?;
            simple_polygon(r, &key, points, span, drawn)
        }
        (Some(_), Some(_)) => {
            r.fault(at.start..at.start, key, "both `size` and `outline`", "write one of them");
            None
        }
        (None, None) if r.may_lack(&format!("{key}.size")) || r.may_lack(&format!("{key}.outline")) => None,
        (None, None) => {
            r.fault(
                at.start..at.start,
                key,
                "no outline",
                "write size = [\"40 ft\", \"16 ft\"] or outline = [[\"0 ft\", \"0 ft\"], ...]",
            );
            None
        }
    }
}

fn simple_polygon(
    r: &mut Reader<'_>,
    key: &str,
    points: Vec<Corner>,
    span: Range<usize>,
    drawn: bool,
) -> Option<Vec<Corner>> {
    let n = points.len();
    if !(3..=200).contains(&n) {
        r.fault(span, key, format!("an outline of {n} corners"), "between 3 and 200 corners");
        return None;
    }
    let p: Vec<(f64, f64)> = points.iter().map(|(x, y)| (x.metres(), y.metres())).collect();
    let at = |i: usize| p[i % n];
    for i in 0..n {
        let ((ax, ay), (bx, by)) = (at(i), at(i + 1));
        if hypot(bx - ax, by - ay) < 1e-3 {
            r.fault(
                span,
                key,
                format!("corners {} and {} are the same place", i + 1, (i + 1) % n + 1),
                "every corner once; the outline closes by itself",
            );
            return None;
        }
    }
    let turn = |a: (f64, f64), b: (f64, f64), c: (f64, f64)| (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0);
    for i in 0..n {
        for j in i + 2..n {
            if i == 0 && j == n - 1 {
                continue;
            }
            let (a, b, c, d) = (at(i), at(i + 1), at(j), at(j + 1));
            let crosses = turn(a, b, c) * turn(a, b, d) <= 0.0 && turn(c, d, a) * turn(c, d, b) <= 0.0;
            let boxes = a.0.min(b.0) <= c.0.max(d.0)
                && c.0.min(d.0) <= a.0.max(b.0)
                && a.1.min(b.1) <= c.1.max(d.1)
                && c.1.min(d.1) <= a.1.max(b.1);
            if crosses && boxes {
                r.fault(
                    span,
                    key,
                    format!("edge {} meets edge {}", i + 1, j + 1),
                    "an outline does not cross or touch itself",
                );
                return None;
            }
        }
    }
    for i in 0..n {
        // A corner without a bend (or one that folds back) is no corner; writers need real ones.
        let (a, b, c) = (at(i + n - 1), at(i), at(i + 1));
        let bend = turn(a, b, c).abs() / (apart(b, a) * apart(c, b));
        if bend < 1e-4 {
            r.fault(span, key, format!("the outline does not bend at corner {}", i + 1), "leave that corner out");
            return None;
        }
    }
    let area: f64 = (0..n).map(|i| at(i).0 * at(i + 1).1 - at(i + 1).0 * at(i).1).sum::<f64>() / 2.0;
    if area < 0.0 {
        r.fault(
            span,
            key,
            "the corners run clockwise",
            "list them counter-clockwise seen from outside: along the eave from left to right first",
        );
        return None;
    }
    let least = p.iter().fold((f64::INFINITY, f64::INFINITY), |m, q| (m.0.min(q.0), m.1.min(q.1)));
    if drawn && (least.0.abs() > 1e-9 || least.1.abs() > 1e-9) {
        let show = |v: f64| Length::from_metres(-v).show_fine(r.units);
        let hint = format!("add {} to every x and {} to every y", show(least.0), show(least.1));
        r.fault(span, key, "the outline does not start at zero", hint);
        return None;
    }
    Some(points)
}

/// Edges with the kinds that their directions suggest, and each kind's defaults.
fn edges(outline: &[Corner]) -> Vec<Edge> {
    let n = outline.len();
    (0..n)
        .filter_map(|i| {
            let (a, b) = (outline.get(i)?, outline.get((i + 1) % n)?);
            let (dx, dy) = ((b.0 - a.0).metres(), (b.1 - a.1).metres());
            let len = hypot(dx, dy);
            let (nx, ny) = (dy / len, -dx / len);
            let kind = if nx.abs() < 0.02 {
                if ny < 0.0 { EdgeKind::Eave } else { EdgeKind::Top }
            } else if ny.abs() < 0.02 {
                EdgeKind::Rake
            } else if ny > 0.0 {
                EdgeKind::Hip
            } else {
                EdgeKind::Valley
            };
            Some(Edge {
                kind: Given { value: kind, origin: Origin::Derived("guessed from the edge's direction") },
                cut: follows_kind(default_cut(kind)),
                hold_back: follows_kind(Length::ZERO),
                turn_down: follows_kind(Length::ZERO),
                vent: follows_kind(matches!(kind, EdgeKind::Eave | EdgeKind::Top)),
                air: follows_kind(default_air(kind)),
                insulation_to_come: Given { value: Length::ZERO, origin: Origin::Default("none is written") },
                framing_setback: Given { value: Length::ZERO, origin: Origin::Default("framing runs to the edge") },
                shared_with: None,
                member: None,
                table: None,
            })
        })
        .collect()
}

/// A value that the edge's kind decides.
fn follows_kind<T>(value: T) -> Given<T> {
    Given { value, origin: Origin::Derived("the edge's kind") }
}

/// Over hips and ridges the space goes on under the cap; the metal of a valley lies on the membrane and closes it.
fn default_air(kind: EdgeKind) -> EdgeAir {
    match kind {
        EdgeKind::Hip | EdgeKind::Top => EdgeAir::Open,
        EdgeKind::Eave | EdgeKind::Rake | EdgeKind::Valley | EdgeKind::Wall => EdgeAir::Closed,
    }
}

fn default_cut(kind: EdgeKind) -> EndCut {
    match kind {
        EdgeKind::Rake => EndCut::Square,
        EdgeKind::Eave | EdgeKind::Top | EdgeKind::Hip | EdgeKind::Valley | EdgeKind::Wall => EndCut::Plumb,
    }
}

/// Why the lattice keeps from each kind of edge as it does by default.
const HOLD_BACK_WHY: &str = "common practice, no source";

fn default_hold_back(kind: EdgeKind) -> Length {
    Length::from_inches(match kind {
        EdgeKind::Eave | EdgeKind::Rake => 0.0,
        EdgeKind::Top | EdgeKind::Hip => 1.0,
        EdgeKind::Valley => 3.0,
        EdgeKind::Wall => 0.5,
    })
}

/// Applies `lattice.hold_back`, kind by kind, to the edges that are there.
fn hold_backs(r: &mut Reader<'_>, file: &DesignFile, slopes: &mut [Slope]) {
    let written = file.lattice.as_ref().and_then(|l| l.get().hold_back.as_ref());
    let none = None;
    let field = |kind: EdgeKind| {
        written.map_or(&none, |w| {
            let w = w.get();
            match kind {
                EdgeKind::Eave => &w.eave,
                EdgeKind::Top => &w.top,
                EdgeKind::Rake => &w.rake,
                EdgeKind::Hip => &w.hip,
                EdgeKind::Valley => &w.valley,
                EdgeKind::Wall => &w.wall,
            }
        })
    };
    // The kinds as the design will have them, edge settings included, so that no default is listed that is not in force.
    let mut kinds: Vec<EdgeKind> = slopes.iter().flat_map(|s| s.edges.iter().map(|e| e.kind.value)).collect();
    kinds.extend(file.edge.iter().filter_map(|e| e.get().kind.as_ref()?.read().ok()));
    // What is written is judged, whether such an edge is there or not.
    kinds.extend(EdgeKind::WORDS.iter().map(|(_, kind)| *kind).filter(|kind| field(*kind).is_some()));
    kinds.sort();
    kinds.dedup();
    let mut values = Vec::new();
    for kind in kinds {
        let key = format!("lattice.hold_back.{}", kind.word());
        let given = r.length_or(&key, field(kind), default_hold_back(kind), HOLD_BACK_WHY);
        values.extend(given.map(|g| (kind, g)));
    }
    let of = |kind: EdgeKind| values.iter().find(|(k, _)| *k == kind).map(|(_, v)| v.clone());
    for slope in slopes.iter_mut() {
        let name = slope.name.clone();
        for (j, edge) in slope.edges.iter_mut().enumerate() {
            let overridden = file.edge.iter().find_map(|e| {
                let e = e.get();
                let same = e.edge.as_ref()?.read().ok()? == format!("{name}.{}", j + 1);
                let kind = e.kind.as_ref()?;
                same.then(|| Some((kind.read().ok()?, r.line(kind.span.start)))).flatten()
            });
            if let Some((kind, line)) = overridden {
                let rises = slope
                    .outline
                    .get(j)
                    .zip(slope.outline.get((j + 1) % slope.outline.len()))
                    .is_some_and(|(a, b)| b.0 < a.0);
                edge.kind = Given { value: kind, origin: Origin::Written(line) };
                edge.cut = follows_kind(default_cut(kind));
                edge.air = follows_kind(default_air(kind));
                edge.vent = follows_kind(match kind {
                    EdgeKind::Eave | EdgeKind::Top => true,
                    EdgeKind::Wall => rises,
                    EdgeKind::Rake | EdgeKind::Hip | EdgeKind::Valley => false,
                });
            }
            if let Some(value) = of(edge.kind.value) {
                edge.hold_back = value;
            }
        }
    }
}

/// Applies `lattice.turn_down` to the edges of its two kinds.
fn turn_downs(r: &mut Reader<'_>, file: &DesignFile, slopes: &mut [Slope]) {
    let Some(written) = file.lattice.as_ref().and_then(|l| l.get().turn_down.as_ref()).map(Located::get) else {
        return;
    };
    for (kind, written) in [(EdgeKind::Eave, &written.eave), (EdgeKind::Rake, &written.rake)] {
        let key = format!("lattice.turn_down.{}", kind.word());
        let given = r.length_or(&key, written, Length::ZERO, "tape is cut at the edge");
        let Some(given) = given else { continue };
        let mut none = true;
        for edge in slopes.iter_mut().flat_map(|s| &mut s.edges).filter(|e| e.kind.value == kind) {
            edge.turn_down = given.clone();
            none = false;
        }
        if let (true, Some(written)) = (none && given.metres() > 0.0 && !slopes.is_empty(), written) {
            let message = format!("no edge of this roof is of the kind {}, so no tape is turned down", kind.word());
            r.fault(written.span.clone(), &key, message, "leave it out, or give the edge that is meant this kind");
        }
    }
}

/// `S.3` as slope and edge number from 0.
pub(super) fn edge_named(
    r: &mut Reader<'_>,
    key: &str,
    written: &Written<String>,
    slopes: &[Slope],
) -> Option<(SlopeId, usize)> {
    let text = match String::read(&written.raw) {
        Ok(text) => text,
        Err(e) => {
            r.fault(written.span.clone(), key, e.message, e.hint);
            return None;
        }
    };
    if slopes.is_empty() {
        // Edges are not known, but slopes may be.
        let slope = text.rsplit_once('.').map_or(text.as_str(), |(name, _)| name);
        if r.slope_names.is_empty() || may_lack(r) {
            r.slopes_unchecked = true;
        } else if !r.slope_names.iter().any(|n| n == slope) {
            let hint = format!("write a slope and a number, such as \"S.3\"; slopes: {}", r.slope_names.join(", "));
            r.fault(written.span.clone(), key, format!("no edge is \"{text}\""), hint);
        }
        return None;
    }
    let parsed = text.rsplit_once('.').and_then(|(name, number)| {
        let slope = slopes.iter().position(|s| s.name == name)?;
        let number = number.parse::<usize>().ok()?.checked_sub(1)?;
        (number < slopes.get(slope)?.edges.len()).then_some((SlopeId(slope), number))
    });
    if parsed.is_none() && !may_lack(r) {
        let known: Vec<String> =
            slopes.iter().map(|s| format!("{}.1 to {}.{}", s.name, s.name, s.edges.len())).collect();
        r.fault(written.span.clone(), key, format!("no edge is \"{text}\""), format!("edges: {}", known.join(", ")));
    }
    parsed
}

fn edge_settings(r: &mut Reader<'_>, table: usize, located: &Located<EdgeFile>, slopes: &mut [Slope]) {
    let (e, at, key) = (located.get(), located.span(), format!("edge[{table}]"));
    let id = match &e.edge {
        Some(which) => edge_named(r, &format!("{key}.edge"), which, slopes),
        None => {
            let hint = "write edge = \"S.3\": slope and number";
            r.fault(at.start..at.start, &format!("{key}.edge"), "which edge?", hint);
            None
        }
    };
    // `kind` was applied together with the hold-backs; here it is only judged.
    let _ = r.maybe(&format!("{key}.kind"), &e.kind);
    let cut = r.maybe(&format!("{key}.cut"), &e.cut);
    let hold_back = r.place(&format!("{key}.hold_back"), &e.hold_back).flatten();
    let vent = r.maybe(&format!("{key}.vent"), &e.vent);
    let air = r.maybe(&format!("{key}.air"), &e.air);
    let insulation = r.place(&format!("{key}.insulation_to_come"), &e.insulation_to_come).flatten();
    let setback = r.place(&format!("{key}.framing_setback"), &e.framing_setback).flatten();
    for (name, value, written) in [
        ("hold_back", &hold_back, &e.hold_back),
        ("insulation_to_come", &insulation, &e.insulation_to_come),
        ("framing_setback", &setback, &e.framing_setback),
    ] {
        if value.as_ref().is_some_and(|v| v.value < Length::ZERO) {
            let span = written.as_ref().map_or(0..0, |w| w.span.clone());
            r.fault(span, &format!("{key}.{name}"), "a distance is not negative", "write a positive length");
        }
    }
    let shared = match &e.shared_with {
        Some(w) => edge_named(r, &format!("{key}.shared_with"), w, slopes),
        None => None,
    };
    let Some((slope, number)) = id else { return };
    if shared.is_some_and(|(other, _)| other == slope) {
        r.fault(
            at,
            &format!("{key}.shared_with"),
            "an edge is shared with another slope",
            "name an edge of another slope",
        );
        return;
    }
    let mut apply = |to: (SlopeId, usize), other: Option<(SlopeId, usize)>| {
        let Some(edge) = slopes.get_mut(to.0.0).and_then(|s| s.edges.get_mut(to.1)) else { return };
        if let Some(c) = &cut {
            edge.cut = c.clone();
        }
        if let Some(h) = &hold_back {
            edge.hold_back = h.clone();
        }
        if let Some(v) = &vent {
            edge.vent = v.clone();
        }
        if let Some(a) = &air {
            edge.air = a.clone();
        }
        if let Some(i) = &insulation {
            edge.insulation_to_come = i.clone();
        }
        if let Some(s) = &setback {
            edge.framing_setback = s.clone();
        }
        if other.is_some() {
            edge.shared_with = other;
        }
    };
    apply((slope, number), shared);
    if let Some(edge) = slopes.get_mut(slope.0).and_then(|s| s.edges.get_mut(number)) {
        if edge.table.is_some() {
            let which = e.edge.as_ref().map_or(at, |w| w.span.clone());
            r.fault(which, &format!("{key}.edge"), "this edge has a table already", "put all its settings into one");
        }
        edge.table = Some(table);
    }
    if let Some(other) = shared
        && let Some(edge) = slopes.get_mut(other.0.0).and_then(|s| s.edges.get_mut(other.1))
    {
        edge.shared_with = Some((slope, number));
    }
}

/// World places of an edge's two ends.
fn edge_ends(slope: &Slope, number: usize) -> Option<(Vector3<f64>, Vector3<f64>)> {
    let (x, y, _) = axes(slope.facing.value, slope.pitch.value);
    let [e, n, u] = slope.eave_point.value.map(Length::metres);
    let place = |c: &Corner| Vector3::new(e, n, u) + x * c.0.metres() + y * c.1.metres();
    let a = slope.outline.get(number)?;
    let b = slope.outline.get((number + 1) % slope.outline.len())?;
    Some((place(a), place(b)))
}

/// What is said of the air over one of two edges that coincide holds for both. Lists what follows from the edge's kind.
fn air_over_edges(r: &mut Reader<'_>, file: &DesignFile, slopes: &mut [Slope]) {
    let passable = |e: &Edge| matches!(e.kind.value, EdgeKind::Hip | EdgeKind::Top | EdgeKind::Valley);
    let mut by_kind: Vec<EdgeKind> = Vec::new();
    for i in 0..slopes.len() {
        for j in 0..slopes.get(i).map_or(0, |s| s.edges.len()) {
            let Some(edge) = slopes.get(i).and_then(|s| s.edges.get(j)).cloned() else { continue };
            let other = edge.shared_with.and_then(|(s, e)| slopes.get(s.0)?.edges.get(e)).cloned();
            let vented = edge.vent.value || other.as_ref().is_some_and(|o| o.vent.value);
            if edge.air.origin.line().is_none() {
                let told = other.as_ref().is_none_or(|o| o.air.origin.line().is_some());
                if !told && !vented && passable(&edge) {
                    by_kind.push(edge.kind.value);
                }
                continue;
            }
            let written = edge.table.and_then(|t| file.edge.get(t.checked_sub(1)?)?.get().air.as_ref());
            let key = format!("edge[{}].air", edge.table.unwrap_or(0));
            let span = written.map_or(0..0, |w| w.span.clone());
            if edge.kind.value == EdgeKind::Rake && edge.shared_with.is_none() {
                continue;
            }
            let Some(other) = other.filter(|_| passable(&edge)) else {
                // A misspelt key may say what the edge is.
                if !r.may_lack(&format!("edge[{}].shared_with", edge.table.unwrap_or(0))) {
                    let hint =
                        "of rakes, and of hips, valleys and tops that two slopes share; `shared_with` says which";
                    r.fault(span, &key, "no air passes from this edge to another slope", hint);
                }
                continue;
            };
            if vented {
                let hint = "write vent = false for both slopes, or leave `air` out";
                r.fault(span, &key, "vent pieces along this edge let the air out", hint);
                continue;
            }
            if other.air.origin.line().is_some() {
                if other.air.value != edge.air.value {
                    let hint = "one edge, one answer: it holds for both slopes";
                    r.fault(span, &key, "the other slope's edge says otherwise", hint);
                }
                continue;
            }
            if let Some(o) = edge.shared_with.and_then(|(s, e)| slopes.get_mut(s.0)?.edges.get_mut(e)) {
                o.air = edge.air.clone();
            }
        }
    }
    by_kind.sort();
    by_kind.dedup();
    for kind in by_kind {
        let (value, why) = match default_air(kind) {
            EdgeAir::Open => ("open", "under its cap; look at yours"),
            EdgeAir::Closed => ("closed", "its metal lies on the membrane; look at yours"),
        };
        r.defaults.push(DefaultInForce {
            key: "edge.air".into(),
            value: format!("{value} over a {}", kind.word()),
            why,
        });
    }
}

/// Faults for shared edges that do not coincide within a millimetre.
fn coinciding(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope]) {
    for (i, slope) in slopes.iter().enumerate() {
        for (j, edge) in slope.edges.iter().enumerate() {
            let Some((other, k)) = edge.shared_with else { continue };
            if other.0 < i {
                continue;
            }
            let Some(neighbour) = slopes.get(other.0) else { continue };
            let (Some((a, b)), Some((c, d))) = (edge_ends(slope, j), edge_ends(neighbour, k)) else { continue };
            // Both outlines run counter-clockwise, so a shared edge is run in opposite directions.
            let (start, end) = (d - a, c - b);
            let gap = start.norm().max(end.norm());
            if gap <= 1e-3 {
                continue;
            }
            let (mine, theirs) = (format!("{}.{}", slope.name, j + 1), format!("{}.{}", neighbour.name, k + 1));
            let span = file
                .edge
                .iter()
                .find_map(|e| {
                    let w = e.get().shared_with.as_ref()?;
                    let text = String::read(&w.raw).ok()?;
                    (text == mine || text == theirs).then(|| w.span.clone())
                })
                .unwrap_or(0..0);
            let show = |v: f64| Length::from_metres(v).show_fine(r.units);
            let middle = (start + end) / 2.0;
            let stretch = ((d - c).norm() - (b - a).norm()).abs();
            let mut hint = format!(
                "move slope {} by {} east, {} north, {} up to bring the edges' middles together",
                neighbour.name,
                show(-middle.x),
                show(-middle.y),
                show(-middle.z)
            );
            if stretch > 1e-3 {
                hint.push_str(&format!("; one edge is also {} longer than the other", show(stretch)));
            }
            r.fault(span, "edge.shared_with", format!("edges {mine} and {theirs} are up to {} apart", show(gap)), hint);
        }
    }
}

/// An opening and its slope.
fn opening(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<OpeningFile>,
    slopes: &[Slope],
) -> Option<(SlopeId, Opening)> {
    let (o, at) = (located.get(), located.span());
    let slope = slope_or_only(r, &format!("{key}.slope"), &o.slope, &at, slopes);
    let name = r.need(&format!("{key}.name"), &o.name, &at, "a name, such as \"skylight\"");
    let place = corner_and_size(r, key, o, &at);
    let (slope, (corner, size)) = (slope?, place?);
    // One without a name is judged for its place all the same.
    let unnamed = name.is_none();
    let name = name.map_or_else(String::new, |n| n.value);
    let opening = Opening { name, at: corner, size, found: None };
    let on = slopes.get(slope.0)?;
    (within(r, key, &opening, (corner, size), on, &on.openings, &at) && !unnamed).then_some((slope, opening))
}

/// The corner and size of an opening.
pub fn corner_and_size(r: &mut Reader<'_>, key: &str, o: &OpeningFile, at: &Range<usize>) -> Option<(Corner, Corner)> {
    let mut pair = |name: &str, written: &Option<Vec<Written<Length>>>, positive| match written {
        Some(w) => r.pair(&format!("{key}.{name}"), w, at, positive),
        None => {
            r.fault(
                at.start..at.start,
                &format!("{key}.{name}"),
                format!("missing `{name}`"),
                "write at = [\"x\", \"y\"] and size = [\"width\", \"height\"]",
            );
            None
        }
    };
    let corner = pair("at", &o.at, false);
    let size = pair("size", &o.size, true);
    Some((corner?, size?))
}

/// Whether an opening lies inside its slope and apart from others; a fault where it does not.
pub fn within(
    r: &mut Reader<'_>,
    key: &str,
    opening: &Opening,
    (at, size): (Corner, Corner),
    slope: &Slope,
    others: &[Opening],
    span: &Range<usize>,
) -> bool {
    let hole = Rectangle::of(at, size);
    let near = hole.grown(TOUCHES);
    let outline: Vec<(f64, f64)> =
        slope.found_outline.as_ref().unwrap_or(&slope.outline).iter().map(|(x, y)| (x.metres(), y.metres())).collect();
    let touches = near.holds_an_edge_of(&outline);
    // What remains of it where it is past touching.
    let core = hole.grown(-TOUCHES.min(hole.least() / 4.0));
    let pierced = core.holds_an_edge_of(&outline);
    if pierced || !inside(&outline, hole.middle()) {
        let message = format!("opening \"{}\" does not lie inside slope {}", opening.name, slope.name);
        r.fault(span.clone(), key, message, "check `at` (its lower left corner) and `size`");
        return false;
    }
    if touches {
        let message = format!("opening \"{}\" touches an edge of slope {}", opening.name, slope.name);
        let hint = "leave roof on every side of an opening; what is cut out of an edge is drawn in the slope's outline";
        r.fault(span.clone(), key, message, hint);
        return false;
    }
    let near_to = |o: &&Opening| {
        let (at, size) = o.found.unwrap_or((o.at, o.size));
        o.name != opening.name && near.overlaps(Rectangle::of(at, size))
    };
    if let Some(other) = others.iter().find(near_to) {
        let (at, size) = other.found.unwrap_or((other.at, other.size));
        let (what, hint) = if core.overlaps(Rectangle::of(at, size)) {
            ("overlap", "move one of them")
        } else {
            ("touch", "draw them as one opening, or leave membrane between them")
        };
        let message = format!("openings \"{}\" and \"{}\" {what}", opening.name, other.name);
        r.fault(span.clone(), key, message, hint);
        return false;
    }
    true
}
