//! `[strength]`, `[wind]`, `[snow]`, `[live]`: judged, with nothing added that would make a roof look stronger.

use std::ops::{Range, RangeInclusive};

use super::super::file::{
    CoefficientFile, DesignFile, LiveFile, Located, SnowFile, StrengthFile, WindFile, WindZoneFile,
};
use super::super::model::*;
use super::super::reader::Reader;
use super::super::written::{Scalar, Written};
use super::built::Built;
use super::framing::each;
use super::maker::maker;
use super::slope_list;
use crate::quantity::{Force, Length, Pressure, Speed, Temperature};

/// A value that may be missing: `None` only where it is written and wrong.
pub(super) type May<T> = Option<Option<Given<T>>>;

/// Everything about loads; of the slopes it is said whether all of them are known.
pub fn loads(r: &mut Reader<'_>, file: &DesignFile, (slopes, whole): (&[Slope], bool)) -> Option<Loads> {
    let strength = part(r, &file.strength, strength);
    let wind = part(r, &file.wind, |r, f, at| wind(r, f, at, file, (slopes, whole)));
    let snow = part(r, &file.snow, snow);
    let live = part(r, &file.live, |r, f: &LiveFile, at| {
        let roof = r.need("live.roof", &f.roof, at, "roof live load for each area in plan, such as \"20 psf\"")?;
        within(r, "live.roof", &f.roof, roof, LOAD)
    });
    Some(Loads { strength: strength?, wind: wind?, snow: snow?, live: live? })
}

/// Stand-in loads with names that only the tables of standards know: those are judged later, whatever else is wrong.
pub fn with_names(r: &Reader<'_>, mut loads: Loads, file: &DesignFile) -> Loads {
    let (Some(strength), Some(written)) = (&mut loads.strength, file.strength.as_ref().map(Located::get)) else {
        return loads;
    };
    let claimed = written.confirmed.iter().flatten().map(|w| read(r, w));
    strength.confirmed = claimed.collect::<Option<Vec<_>>>().unwrap_or_default();
    strength.rules = written.rules.as_ref().and_then(|w| read(r, w));
    strength.members = written.members.as_ref().and_then(|w| read(r, w));
    strength.battens = written.battens.as_ref().and_then(|w| read(r, w));
    strength.grade = written.grade.as_ref().and_then(|w| read(r, w));
    loads
}

/// A value that can be read; what cannot is told elsewhere.
fn read<T: Scalar>(r: &Reader<'_>, w: &Written<T>) -> Option<Given<T>> {
    Some(Given { value: w.read().ok()?, origin: Origin::Written(r.line(w.span.start)) })
}

fn part<F, T>(
    r: &mut Reader<'_>,
    table: &Option<Located<F>>,
    read: impl FnOnce(&mut Reader<'_>, &F, &Range<usize>) -> Option<T>,
) -> Option<Option<T>> {
    match table {
        Some(t) => read(r, t.get(), &t.span()).map(Some),
        None => Some(None),
    }
}

/// What a number may be, and what is said where it is not.
struct Bounds<T> {
    range: RangeInclusive<T>,
    /// The lower end itself is out.
    open: bool,
    says: &'static str,
    hint: &'static str,
}

const LOAD: Bounds<Pressure> = Bounds {
    range: Pressure::from_pascals(0.0)..=Pressure::from_pascals(50_000.0),
    open: false,
    says: "this is no load on a roof",
    hint: "a load is not below zero and not above 50 kPa (1044 psf); which way it acts follows from the key",
};
const STRENGTH: Bounds<Pressure> = Bounds {
    range: Pressure::from_pascals(0.0)..=Pressure::from_pascals(1e10),
    open: true,
    says: "this strength must be more than nothing",
    hint: "such as \"15 psi\" for a strip or \"90 ksi\" for a nail",
};
const SPEED: Bounds<Speed> = Bounds {
    range: Speed::from_metres_per_second(0.0)..=Speed::from_metres_per_second(150.0),
    open: true,
    says: "no wind on a map blows so",
    hint: "a basic wind speed is above zero and below 335 mph (150 m/s)",
};
const WINTER_WIND: Bounds<f64> = Bounds {
    range: 0.05..=1.0,
    open: false,
    says: "this is no share of a winter",
    hint: "W2 is the share of the winter in which wind is above 10 mph, such as 0.4",
};
const WARMTH: Bounds<Temperature> = Bounds {
    range: Temperature::new(200.0)..=Temperature::new(338.75),
    open: false,
    says: "no rule is known for wood that stays so hot",
    hint: "wood may stay at 150 F (65.6 C) at the most: keep it cooler",
};
const FACTOR: Bounds<f64> = Bounds {
    range: 0.0..=10.0,
    open: true,
    says: "this factor is out of reach",
    hint: "a factor is above zero and not above 10",
};
const SHARE: Bounds<f64> =
    Bounds { range: 0.0..=1.0, open: true, says: "this is no share", hint: "write a number above 0 and up to 1" };

fn within<T: PartialOrd, W>(
    r: &mut Reader<'_>,
    key: &str,
    written: &Option<Written<W>>,
    given: Given<T>,
    bounds: Bounds<T>,
) -> Option<Given<T>> {
    let v = &given.value;
    if bounds.range.contains(v) && !(bounds.open && v == bounds.range.start()) {
        return Some(given);
    }
    let span = written.as_ref().map_or(0..0, |w| w.span.clone());
    r.fault(span, key, bounds.says, bounds.hint);
    None
}

pub(super) fn may<T: Scalar>(r: &mut Reader<'_>, key: &str, written: &Option<Written<T>>) -> May<T> {
    match written {
        Some(_) => r.maybe(key, written).map(Some),
        None => Some(None),
    }
}

fn may_within<T: Scalar + PartialOrd>(
    r: &mut Reader<'_>,
    key: &str,
    written: &Option<Written<T>>,
    bounds: Bounds<T>,
) -> May<T> {
    match may(r, key, written)? {
        Some(given) => within(r, key, written, given, bounds).map(Some),
        None => Some(None),
    }
}

fn may_size(r: &mut Reader<'_>, key: &str, written: &Option<Written<Length>>) -> May<Length> {
    match written {
        Some(_) => r.size(key, written, &(0..0), "").map(Some),
        None => Some(None),
    }
}

fn strength(r: &mut Reader<'_>, f: &StrengthFile, _: &Range<usize>) -> Option<StrengthSpec> {
    let rules = may(r, "strength.rules", &f.rules);
    let combinations = may(r, "strength.combinations", &f.combinations);
    let members = may(r, "strength.members", &f.members);
    let battens = may(r, "strength.battens", &f.battens);
    let grade = may(r, "strength.grade", &f.grade);
    let moisture = may(r, "strength.moisture", &f.moisture);
    let temperature = may_within(r, "strength.temperature", &f.temperature, WARMTH);
    let roofing = may_within(r, "strength.roofing", &f.roofing, LOAD);
    let held = may(r, "strength.held", &f.held);
    let fixed_at = may(r, "strength.fixed_at", &f.fixed_at);
    let strip = may_within(r, "strength.strip", &f.strip, STRENGTH);
    let thread = may_size(r, "strength.thread", &f.thread);
    let root = may_size(r, "strength.root", &f.root);
    let maker = maker(r, "strength.maker", &f.maker, f.rules.as_ref().and_then(|w| w.read().ok()), true);
    let bending_yield = may_within(r, "strength.bending_yield", &f.bending_yield, STRENGTH);
    let deflection = may_within(
        r,
        "strength.deflection",
        &f.deflection,
        Bounds {
            range: 20.0..=2000.0,
            open: false,
            says: "no batten is judged by this",
            hint: "the span is divided by this number: 180 allows 1/180 of the span",
        },
    );
    let warn = r.or("strength.warn", &f.warn, 0.9, "0.9", "common practice, no source");
    let warn = warn.and_then(|g| within(r, "strength.warn", &f.warn, g, SHARE));
    let foothold = may(r, "strength.foothold", &f.foothold);
    let force = may_within(
        r,
        "strength.foothold_force",
        &f.foothold_force,
        Bounds {
            range: Force::from_newtons(0.0)..=Force::from_newtons(20_000.0),
            open: true,
            says: "no person weighs this",
            hint: "such as \"300 lbf\" or \"1 kN\"",
        },
    );
    let confirmed: Vec<Option<Given<String>>> = f
        .confirmed
        .iter()
        .flatten()
        .enumerate()
        .map(|(i, w)| r.maybe(&format!("strength.confirmed[{}]", i + 1), &Some(w.clone())))
        .collect();
    let fixed_at = fixed_at.map(|at| {
        at.map(|g| Given {
            value: match g.value.as_str() {
                "eave" => FixedAt::Eave,
                "top" => FixedAt::Top,
                _ => FixedAt::Course(g.value),
            },
            origin: g.origin,
        })
    });
    if let (Some(Some(Given { value: Held::EveryCourse, .. })), Some(Some(_))) = (&held, &fixed_at) {
        let span = f.fixed_at.as_ref().map_or(0..0, |w| w.span.clone());
        let hint = "leave `fixed_at` out, or write held = \"fixed line\"";
        r.fault(span, "strength.fixed_at", "panels held at every course have no fixed line", hint);
    }
    Some(StrengthSpec {
        rules: rules?,
        combinations: combinations?,
        members: members?,
        battens: battens?,
        grade: grade?,
        moisture: moisture?,
        temperature: temperature?,
        roofing: roofing?,
        held: held?,
        fixed_at: fixed_at?,
        strip: strip?,
        thread: thread?,
        root: root?,
        maker: maker?,
        bending_yield: bending_yield?,
        deflection: deflection?,
        warn: Some(warn?),
        foothold: foothold?,
        foothold_force: force?,
        confirmed: confirmed.into_iter().collect::<Option<Vec<_>>>()?,
    })
}

fn wind(
    r: &mut Reader<'_>,
    f: &WindFile,
    at: &Range<usize>,
    file: &DesignFile,
    (slopes, whole): (&[Slope], bool),
) -> Option<WindSpec> {
    let edition = may(r, "wind.edition", &f.edition);
    let speed = may_within(r, "wind.speed", &f.speed, SPEED);
    let exposure = may(r, "wind.exposure", &f.exposure);
    let height = may_size(r, "wind.height", &f.height);
    let width = may_size(r, "wind.width", &f.width);
    let topography = may_within(r, "wind.topography", &f.topography, FACTOR);
    let enclosure = may(r, "wind.enclosure", &f.enclosure);
    let elevation = may_within(
        r,
        "wind.elevation",
        &f.elevation,
        Bounds {
            range: Length::from_metres(-500.0)..=Length::from_metres(6000.0),
            open: false,
            says: "nobody builds at this height",
            hint: "the height of the ground above the sea, such as \"5000 ft\"",
        },
    );
    let shape = match (&f.shape, file.roof.as_ref().map(|t| &t.get().shape)) {
        (None, Some(of_roof)) => may(r, "roof.shape", of_roof),
        (written, _) => may(r, "wind.shape", written),
    };
    let zone_width = may_size(r, "wind.zone_width", &f.zone_width);
    let overhang = may_within(
        r,
        "wind.overhang",
        &f.overhang,
        Bounds {
            range: Length::ZERO..=Length::from_metres(10.0),
            open: false,
            says: "no roof hangs over its walls like this",
            hint: "how far eaves and rakes reach past the walls, in plan; \"0 in\" or \"0 mm\" where the roof ends at them",
        },
    );
    let said = |g: &May<Length>| g.as_ref().and_then(Option::as_ref).map(|g| g.metres());
    if let Some(roof) = whole.then(|| Built::of(slopes)).flatten() {
        let european = matches!(edition, Some(Some(Given { value: Standard::En1991, .. })));
        // One slope drawn alone may be part of a larger roof.
        let closed = file.roof.is_some() || slopes.len() > 1;
        roof.judge(r, f, [said(&height), said(&width), said(&overhang)], european, closed);
    }
    let coefficients = each(r, "wind.coefficient", &f.coefficient, coefficient);
    let level = may(r, "wind.level", &f.level);
    let relief = may_within(r, "wind.relief", &f.relief, SHARE);
    let reason = may(r, "wind.relief_reason", &f.relief_reason);
    let zones = each(r, "wind.zone", &f.zone, |r, k, t: &Located<WindZoneFile>| zone(r, k, t, slopes));
    let relief = match (relief, reason) {
        (Some(None), _) => Some(None),
        (Some(Some(share)), Some(Some(why))) if !why.value.trim().is_empty() => Some(Some((share, why.value))),
        // A wrong share without a reason: both are told.
        (_, Some(_)) => {
            let span = f.relief.as_ref().map_or(at.clone(), |w| w.span.clone());
            let misspelt = r.may_lack("wind.relief_reason");
            if !misspelt && f.relief_reason.as_ref().is_none_or(|w| w.read().is_ok_and(|why| why.trim().is_empty())) {
                let hint = "write relief_reason = \"...\": the test or the rule that allows it";
                r.fault(span, "wind.relief", "relief without a reason", hint);
            }
            None
        }
        (_, None) => None,
    };
    if !f.zone.is_empty() {
        let mixed = [("edition", f.edition.is_some()), ("speed", f.speed.is_some())];
        if let Some((name, _)) = mixed.iter().find(|(_, is)| *is) {
            let hint = "the tables of zones are your own pressures; leave out whatever would compute others";
            r.fault(at.start..at.start, &format!("wind.{name}"), "pressures by zone and a site as well", hint);
        }
    }
    Some(WindSpec {
        edition: edition?,
        speed: speed?,
        exposure: exposure?,
        height: height?,
        width: width?,
        topography: topography?,
        enclosure: enclosure?,
        elevation: elevation?,
        shape: shape?,
        zone_width: zone_width?,
        overhang: overhang?,
        coefficients,
        level: level?,
        relief: relief?,
        zones,
    })
}

fn coefficient(r: &mut Reader<'_>, k: &str, t: &Located<CoefficientFile>) -> Option<OwnCoefficient> {
    let (f, at) = (t.get(), t.span());
    let zone = r.need(&format!("{k}.zone"), &f.zone, &at, "a zone as the edition names it, such as \"3\"");
    let side = r.need(&format!("{k}.side"), &f.side, &at, "\"suction\" or \"pressure\"");
    let reason = r.need(&format!("{k}.reason"), &f.reason, &at, "where you looked it up");
    let key = format!("{k}.points");
    let (mut points, mut readable) = (Vec::new(), true);
    for pair in f.points.iter().flatten() {
        let numbers: Vec<Option<f64>> = pair.iter().map(|w| r.maybe(&key, &Some(w.clone())).map(|g| g.value)).collect();
        match numbers.as_slice() {
            [Some(area), Some(value)] if *area > 0.0 && value.abs() <= 10.0 => points.push((*area, *value)),
            [Some(_), Some(_)] | [] | [_] | [_, _, _, ..] => {
                let span = pair.first().map_or(at.clone(), |w| w.span.clone());
                r.fault(span, &key, "this is no point", "write [area, coefficient], the area above zero");
                readable = false;
            }
            _ => readable = false,
        }
    }
    let ascending = points.windows(2).all(|p| p[0].0 < p[1].0);
    let fits =
        |side: &Given<WindSide>| points.iter().all(|p| (p.1 <= 0.0) == (side.value == WindSide::Suction) || p.1 == 0.0);
    if readable && (points.is_empty() || !ascending || !side.as_ref().is_none_or(fits)) {
        let hint = "areas ascend; a coefficient of suction is below zero, one of pressure above: [[10.0, -2.6], [100.0, -2.0]]";
        r.fault(at.start..at.start, &key, "these points make no coefficient", hint);
        readable = false;
    }
    let (zone, side, reason) = (zone?, side?, reason?);
    readable.then_some(OwnCoefficient { zone: zone.value, side: side.value, points, reason: reason.value })
}

fn zone(r: &mut Reader<'_>, k: &str, t: &Located<WindZoneFile>, slopes: &[Slope]) -> Option<WindZone> {
    let (f, at) = (t.get(), t.span());
    let name = r.need(&format!("{k}.name"), &f.name, &at, "such as \"corner\"");
    let on = slope_list(r, &format!("{k}.slopes"), &f.slopes, &at, slopes);
    let near = kinds(r, &format!("{k}.near"), &f.near);
    let and_near = kinds(r, &format!("{k}.and_near"), &f.and_near);
    let hint = "suction as a number above zero, such as \"34 psf\"";
    let suction = r.need(&format!("{k}.suction"), &f.suction, &at, hint);
    let suction = suction.and_then(|g| within(r, &format!("{k}.suction"), &f.suction, g, LOAD));
    let pressure = may_within(r, &format!("{k}.pressure"), &f.pressure, LOAD);
    let written = |list: &Option<Vec<Written<EdgeKind>>>| list.as_ref().is_some_and(|l| !l.is_empty());
    if !written(&f.near) && written(&f.and_near) && !r.may_lack(&format!("{k}.near")) {
        let hint = "write `near` first; `and_near` narrows it to corners";
        r.fault(at.start..at.start, &format!("{k}.and_near"), "`and_near` without `near`", hint);
    }
    let width = if !written(&f.near) && f.width.is_none() {
        Some(Length::ZERO)
    } else {
        let hint = "how far from the edges the zone reaches, such as \"3 ft\"";
        // Without edges the width means nothing, but it is read all the same.
        let width = r.size(&format!("{k}.width"), &f.width, &at, hint).map(|g| g.value);
        if written(&f.near) { width } else { width.map(|_| Length::ZERO) }
    };
    Some(WindZone {
        name: name?.value,
        slopes: on?,
        near: near?,
        and_near: and_near?,
        width: width?,
        suction: suction?,
        pressure: pressure?,
    })
}

fn kinds(r: &mut Reader<'_>, key: &str, list: &Option<Vec<Written<EdgeKind>>>) -> Option<Vec<EdgeKind>> {
    let each = list.iter().flatten().enumerate().map(|(i, w)| {
        let key = format!("{key}[{}]", i + 1);
        r.maybe(&key, &Some(w.clone())).map(|g| g.value)
    });
    // Every fault is told, so nothing is cut short.
    let all: Vec<Option<EdgeKind>> = each.collect();
    all.into_iter().collect()
}

fn snow(r: &mut Reader<'_>, f: &SnowFile, at: &Range<usize>) -> Option<SnowSpec> {
    let roof = may_within(r, "snow.roof", &f.roof, LOAD);
    let edition = may(r, "snow.edition", &f.edition);
    let ground = may_within(r, "snow.ground", &f.ground, LOAD);
    let ce = may_within(r, "snow.exposure_factor", &f.exposure_factor, FACTOR);
    let ct = may_within(r, "snow.thermal_factor", &f.thermal_factor, FACTOR);
    let is = may_within(r, "snow.importance", &f.importance, FACTOR);
    let winter_wind = may_within(r, "snow.winter_wind", &f.winter_wind, WINTER_WIND);
    let risk = may(r, "snow.risk_category", &f.risk_category);
    let slippery = may(r, "snow.slippery", &f.slippery);
    if f.roof.is_some() && f.ground.is_some() {
        let hint = "write `roof` (your own load), or `ground` with an edition";
        r.fault(at.start..at.start, "snow.ground", "snow on the roof and on the ground as well", hint);
    }
    Some(SnowSpec {
        roof: roof?,
        edition: edition?,
        ground: ground?,
        exposure_factor: ce?,
        thermal_factor: ct?,
        importance: is?,
        winter_wind: winter_wind?,
        risk_category: risk?,
        slippery: slippery?,
    })
}
