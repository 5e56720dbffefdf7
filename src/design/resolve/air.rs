//! `[air]`.

use super::super::file::{AirFile, DesignFile, Located};
use super::super::model::*;
use super::super::reader::Reader;
use super::super::weather::Coefficient;
use super::super::written::Written;
use super::slopes::edge_named;
use crate::quantity::{AirSpeed, FreeArea, Length};

const MEMORY: &str = "an eave-to-top difference of 0.45, in the middle of 0.2 to 0.7 for low roofs; from memory";

/// What the flow of air depends on; `Some(None)` where the design says nothing of it. `None` where something is wrong.
/// `vent` is the height of the vent pieces, where that is known.
pub fn air(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope], vent: Option<Length>) -> Option<Option<AirSpec>> {
    let Some(located) = &file.air else { return Some(None) };
    let f = located.get();
    let before = r.faults.len();
    let outside = r.maybe("air.outside", &f.outside);
    let humidity = r.maybe("air.humidity", &f.humidity);
    let warmth = warmth(r, f, located);
    let wind =
        r.or("air.wind", &f.wind, AirSpeed::new(0.0), "0 m/s", "calm, where buoyancy alone must do; the program's own");
    let cp = |r: &mut Reader<'_>, key: &str, written: &Option<Written<Coefficient>>, default: f64| {
        let given = r.or(key, written, Coefficient(default), &format!("{default}"), MEMORY)?;
        Some(Given { value: given.value.0, origin: given.origin })
    };
    let cp_eave = cp(r, "air.cp_eave", &f.cp_eave, 0.0);
    let cp_top = cp(r, "air.cp_top", &f.cp_top, -0.45);
    let mut pressures = Vec::new();
    for (i, p) in f.pressure.iter().enumerate() {
        let (key, at, p) = (format!("air.pressure[{}]", i + 1), p.span(), p.get());
        let hint = "such as edge = \"S.1\"";
        r.need(&format!("{key}.edge"), &p.edge, &at, hint);
        let cp = r.need(&format!("{key}.cp"), &p.cp, &at, "such as cp = 0.4");
        let edge = p.edge.as_ref().filter(|_| !slopes.is_empty());
        let edge = edge.and_then(|e| edge_named(r, &format!("{key}.edge"), e, slopes));
        if let (Some(edge), Some(cp)) = (edge, cp) {
            pressures.push((edge, cp.value.0));
        }
    }
    let free = f.free_area.as_ref().map(Located::get);
    let free_eave = r.maybe("air.free_area.eave", free.map_or(&None, |f| &f.eave));
    let free_top = r.maybe("air.free_area.top", free.map_or(&None, |f| &f.top));
    for (key, written) in
        [("air.free_area.eave", free.map_or(&None, |f| &f.eave)), ("air.free_area.top", free.map_or(&None, |f| &f.top))]
    {
        no_more_than_gross(r, key, written.as_ref(), vent);
    }
    let screen = screen(r, f);
    let still = r.or(
        "air.still",
        &f.still,
        AirSpeed::new(0.01),
        "0.01 m/s",
        "ten millimetres a second; the program's own, no source",
    );
    let leak = r.maybe("air.leak", &f.leak);
    let on_rafters = r.or(
        "air.ceiling_on_rafters",
        &f.ceiling_on_rafters,
        true,
        "true",
        "the lattice lies over framing that is closed below; rules then ask for more",
    );
    let retarder = r.or("air.vapour_retarder", &f.vapour_retarder, false, "false", "not said; rules then ask for more");
    let climate_zone = r.maybe("air.climate_zone", &f.climate_zone);
    let stated = f.climate_zone.as_ref().zip(climate_zone.as_ref());
    if let Some((w, zone)) = stated.filter(|(_, z)| !(0..=8).contains(&z.value)) {
        let message = format!("there is no climate zone {}", zone.value);
        r.fault(w.span.clone(), "air.climate_zone", message, "write a whole number from 0 to 8, without its letter");
    }
    let why = "not said: where 1/300 of the area asks for two things at once; editions to 2009 may ask for more in zones 0 to 5";
    let irc_edition = r.or("air.irc_edition", &f.irc_edition, IrcEdition::From2015, "2015 or later", why);
    let mut rules = Vec::new();
    for (i, w) in f.rules.iter().flatten().enumerate() {
        rules.extend(r.maybe(&format!("air.rules[{}]", i + 1), &Some(w.clone())).map(|g| g.value));
    }
    if r.faults.len() > before {
        return None;
    }
    Some(Some(AirSpec {
        outside,
        humidity,
        warmth,
        wind: wind?,
        cp_eave: cp_eave?,
        cp_top: cp_top?,
        pressures,
        free_eave,
        free_top,
        screen,
        still: still?,
        leak,
        ceiling_on_rafters: on_rafters?,
        vapour_retarder: retarder?,
        climate_zone,
        irc_edition: irc_edition?,
        rules,
    }))
}

/// The free area of a vent piece is no more than its face: its height for each length.
fn no_more_than_gross(r: &mut Reader<'_>, key: &str, written: Option<&Written<FreeArea>>, vent: Option<Length>) {
    let (Some(w), Some(vent)) = (written, vent) else { return };
    let Some(free) = r.maybe(key, &Some(w.clone())) else { return };
    if free.value.metres() > vent.metres() * (1.0 + 1e-6) {
        let message = format!(
            "more free area than the vent piece has face: {:.0} mm2/m, and it is {} high",
            free.value.metres() * 1e6,
            vent.show(r.units)
        );
        let hint = format!(
            "a vent piece so high has at most {:.0} mm2/m; see `lattice.vent.height`, which is the strips' unless it is written",
            vent.metres() * 1e6
        );
        r.fault(w.span.clone(), key, message, hint);
    }
}

fn warmth(r: &mut Reader<'_>, f: &AirFile, at: &Located<AirFile>) -> Warmth {
    let lattice = r.maybe("air.lattice", &f.lattice);
    let roofing = r.maybe("air.roofing", &f.roofing);
    let sun = r.maybe("air.sun", &f.sun);
    if [f.lattice.is_some(), f.roofing.is_some(), f.sun.is_some()].iter().filter(|s| **s).count() > 1 {
        let hint = "write one of `lattice`, `roofing` and `sun`";
        r.fault(at.span().start..at.span().start, "air", "more than one thing warms the air", hint);
    }
    if let Some(w) = f.absorption.as_ref().filter(|_| f.sun.is_none() && !r.may_lack("air.sun")) {
        r.fault(w.span.clone(), "air.absorption", "no sun to take up", "write `sun` too, or leave `absorption` out");
    }
    match (lattice, roofing, sun) {
        (Some(t), ..) => Warmth::Lattice(t),
        (_, Some(t), _) => Warmth::Roofing(t),
        (_, _, Some(sun)) => {
            let share = crate::quantity::Share::new(0.7);
            let why = "painted metal of a middle colour; common practice, no source";
            match r.or("air.absorption", &f.absorption, share, "70 %", why) {
                Some(absorption) => Warmth::Sun(sun, absorption),
                None => Warmth::Nothing,
            }
        }
        _ => Warmth::Nothing,
    }
}

fn screen(r: &mut Reader<'_>, f: &AirFile) -> Option<ScreenSpec> {
    let located = f.screen.as_ref()?;
    let (s, at) = (located.get(), located.span());
    let wire = r.size("air.screen.wire", &s.wire, &at, "diameter of a wire, such as \"0.011 in\" or \"0.28 mm\"");
    let mut threads = Vec::new();
    for (i, w) in s.threads.iter().flatten().enumerate() {
        threads.extend(r.maybe(&format!("air.screen.threads[{}]", i + 1), &Some(w.clone())).map(|g| g.value));
    }
    let &[a, b] = threads.as_slice() else {
        let hint = "threads an inch, both ways: threads = [18, 16]";
        r.fault(at.start..at.start, "air.screen.threads", "two whole numbers belong here", hint);
        return None;
    };
    let wire = wire?.metres();
    let closed = |n: i64| n as f64 / 0.0254 * wire >= 1.0;
    let (Ok(a), Ok(b), false) = (u32::try_from(a), u32::try_from(b), a < 1 || b < 1 || closed(a) || closed(b)) else {
        let hint = "as many threads of this wire do not fit in an inch, or there are none";
        r.fault(at.start..at.start, "air.screen", "this is no screen", hint);
        return None;
    };
    Some(ScreenSpec { threads: (a, b), wire, line: r.line(at.start) })
}
