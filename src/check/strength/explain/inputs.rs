//! What the calculation starts from, each value with its origin.
//!
//! Aim: every value of the design that a line below uses. Reason: an engineer sees at once what is given, derived or assumed.
//! Limits: the lines of the steps name the values of the standards.

use std::fmt::Write;

use super::Show;
use crate::check::context::Context;
use crate::check::strength::basis::{Basis, tension_divisor};
use crate::check::strength::site;
use crate::design::{Given, RuleSet};

/// What is said where no temperature is written.
const NORMAL: &str = "default: up to 100 F (38 C) for long; wood that the sun heats for some hours of a day counts as that, \
                      NDS-2018 commentary C2.3.3 (from memory); strength.temperature says otherwise";

/// The same by Eurocode 5.
const NORMAL_EC5: &str =
    "default: Eurocode 5 has no factor for it and covers wood up to 60 C (EN 1995-1-1 1.1.1, from memory)";

/// The table of inputs.
pub fn inputs(t: &mut String, ctx: &Context<'_>, basis: &Basis, show: &Show) {
    let d = ctx.design;
    let _ = writeln!(t, "\nInputs");
    let mut row = |what: &str, value: String, origin: String| {
        let _ = writeln!(t, "  {what:<34} {value:<26} {origin}");
    };
    let words = |g: &Given<String>| (g.value.clone(), g.origin.words());
    let b = &d.lattice.batten;
    row(
        "batten, width x thickness",
        format!("{} x {}", show.length(b.width.metres()), show.length(b.thickness.metres())),
        b.width.origin.words(),
    );
    row("batten, spacing of courses", show.length(b.spacing.metres()), b.spacing.origin.words());
    row(
        "fastener",
        format!(
            "{}, {} x {}",
            d.fastening.kind.value.word(),
            show.length(d.fastening.diameter.metres()),
            show.length(d.fastening.length.metres())
        ),
        d.fastening.diameter.origin.words(),
    );
    if let Some(head) = &basis.fastener.head {
        let said = d.fastening.head.origin.line().map(|_| d.fastening.head.origin.words());
        row("head of the fastener", show.length(head.value), said.unwrap_or_else(|| head.source.to_string()));
    }
    if let Some(lean) = &basis.lean {
        row("lean of the fasteners", lean.value.show(), lean.origin.words());
    }
    row("strip, height", show.length(d.lattice.strip.height.metres()), d.lattice.strip.height.origin.words());
    row("tape, thickness", show.length(d.lattice.tape.thickness.metres()), d.lattice.tape.thickness.origin.words());
    row("membrane, thickness", show.length(d.lattice.membrane.metres()), d.lattice.membrane.origin.words());
    row("deck, thickness", show.length(d.lattice.deck.metres()), d.lattice.deck.origin.words());
    let spec = &basis.spec;
    for (what, given) in [
        ("members, species or class", &spec.members),
        ("battens, species or class", &spec.battens),
        ("battens, grade", &spec.grade),
    ] {
        if let Some(g) = given {
            let (value, origin) = words(g);
            row(what, value, origin);
        }
    }
    if let Some(m) = &spec.moisture {
        row("moisture of the wood", m.value.word().to_owned(), m.origin.words());
    }
    match &spec.temperature {
        Some(t) => row("the wood stays at", t.value.show(show.units), t.origin.words()),
        None => {
            let why = if spec.rules.as_ref().is_some_and(|r| r.value == RuleSet::Ec5) { NORMAL_EC5 } else { NORMAL };
            row("the wood stays at", "no more than normal".to_owned(), why.to_owned());
        }
    }
    for (whose, maker) in [("fastener", &spec.maker), ("clip screw", &d.panels.as_ref().and_then(|p| p.maker.clone()))]
    {
        let Some(maker) = maker else { continue };
        row(&format!("{whose}, maker's report"), maker.report.value.clone(), maker.report.origin.words());
        let values = [
            ("withdrawal", &maker.withdrawal),
            ("head pull-through", &maker.pull_through),
            ("tension", &maker.tension),
        ];
        for (what, value) in values.into_iter().filter_map(|(what, v)| Some((what, v.as_ref()?))) {
            let over = tension_divisor(spec);
            let part = if what == "tension" && over > 1.0 { format!(", over {over}") } else { String::new() };
            let shown = format!("{}{part}", value.value.show(show.units));
            row(
                &format!("{whose}, {what} by the maker"),
                shown,
                format!("{}, {}", maker.report.value, value.origin.words()),
            );
        }
    }
    if let Some(r) = &spec.roofing {
        row("weight of the roofing", show.pressure(r.value.pascals()), r.origin.words());
    }
    row("weight of a batten", show.line(basis.batten_weight), "width x thickness x density x 9.80665 m/s2".to_owned());
    row("density of the battens", b.density.value.show(show.units), b.density.origin.words());
    if let Some(part) = &spec.deflection {
        row("limit of the deflection", format!("1/{} of the span", part.value), part.origin.words());
    }
    if let Some(strip) = &spec.strip {
        row("strength of the strips", strip.value.show_stress(show.units), strip.origin.words());
    }
    if let Some(s) = &d.loads.snow
        && let Some(roof) = &s.roof
    {
        row("snow on the roof, in plan", show.pressure(roof.value.pascals()), roof.origin.words());
    }
    if let Some(w) = &d.loads.wind {
        let mut rows: Vec<(&str, String, String)> = Vec::new();
        if let Some(g) = &w.speed {
            rows.push(("basic wind speed", g.value.show(show.units), g.origin.words()));
        }
        if let Some(g) = &w.exposure {
            rows.push(("exposure", g.value.word().to_owned(), g.origin.words()));
        }
        if let Some(g) = &w.height {
            rows.push(("mean roof height", g.value.show(show.units), g.origin.words()));
        }
        if let Some(g) = &w.width {
            rows.push(("width of the building", g.value.show(show.units), g.origin.words()));
        }
        if let Some(g) = &w.overhang {
            rows.push(("overhang of the roof, in plan", g.value.show(show.units), g.origin.words()));
        }
        if let Some(g) = &w.topography {
            rows.push(("topographic factor", g.value.to_string(), g.origin.words()));
        }
        if let Some(g) = &w.enclosure {
            rows.push(("enclosure", g.value.word().to_owned(), g.origin.words()));
        }
        if let Some(g) = &w.elevation {
            rows.push(("ground above the sea", g.value.show(show.units), g.origin.words()));
        }
        for z in &w.zones {
            let pressure =
                z.pressure.as_ref().map_or(String::new(), |p| format!(", {}", show.pressure(p.value.pascals())));
            let reach =
                if z.near.is_empty() { String::new() } else { format!(", {} wide", show.length(z.width.metres())) };
            rows.push((
                "own wind zone: suction, pressure",
                format!("{}: {}{pressure}{reach}", z.name, show.pressure(z.suction.value.pascals())),
                z.suction.origin.words(),
            ));
        }
        if let Some(level) = w.level.as_ref().filter(|_| !w.zones.is_empty()) {
            rows.push(("level of these pressures", site::level_words(level.value, basis), level.origin.words()));
        }
        for (what, value, origin) in rows {
            row(what, value, origin);
        }
    }
    if let Some(s) = &d.loads.snow
        && let Some(ground) = &s.ground
    {
        row("snow on the ground", show.pressure(ground.value.pascals()), ground.origin.words());
        if let Some(w2) = &s.winter_wind {
            row("winter wind parameter W2", w2.value.to_string(), w2.origin.words());
        }
    }
    if let Some(l) = &d.loads.live {
        row("roof live load, in plan", show.pressure(l.value.pascals()), l.origin.words());
    }
    let _ = writeln!(t, "  rules: {}; combinations: {}", basis.rules(), basis.standard.word());
}
