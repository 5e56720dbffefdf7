//! The whole calculation of one landing or one piece, as a person writes it by hand.
//!
//! Aim: inputs with their origin, formulas with numbers, sources, result. Reason: an engineer checks one landing and trusts
//! the rest. Limits: it shows what was computed, through the same functions; it computes nothing of its own.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::areas;
use super::basis::{Basis, Combination, Subject};
use super::lines::{Even, Hold};
use super::path::{self, Across, Analysis, Bearing, Case, Landed, Mode, OfPiece, Use};
use super::{SUPPORTS, combination, left_out, memory, site, strip_crushed};
use crate::capacity::beam::{Pattern, Solver};
use crate::capacity::{Source, Step};
use crate::check::Verdict;
use crate::check::context::{Context, OnSlope};
use crate::design::Given;
use crate::lattice::Landing;
use crate::quantity::{Force, Length, Pressure, Units, show_line_load, show_moment, show_ratio};

/// The calculation of the landing or the piece of this name, without its cautions. `None`: no such name.
pub fn explain(ctx: &Context<'_>, name: &str) -> Option<String> {
    for on in &ctx.slopes {
        if let Some(i) = on.lattice.pieces.iter().position(|p| p.name == name) {
            return Some(with_analysis(ctx, |a| of_piece(ctx, a, on, i, None)));
        }
        if let Some(l) = on.lattice.landings.iter().find(|l| ctx.landing_name(on, l) == name) {
            return Some(with_analysis(ctx, |a| of_piece(ctx, a, on, l.piece as usize, Some((l, name)))));
        }
    }
    None
}

/// Names that can be explained, for a hint.
pub fn names(ctx: &Context<'_>) -> Vec<String> {
    let pieces = ctx.slopes.iter().flat_map(|on| on.lattice.pieces.iter().map(|p| p.name.clone()));
    let landings = ctx.slopes.iter().flat_map(|on| on.lattice.landings.iter().map(|l| ctx.landing_name(on, l)));
    pieces.chain(landings).collect()
}

fn with_analysis(ctx: &Context<'_>, tell: impl FnOnce(&Analysis) -> String) -> String {
    match ctx.strength() {
        Ok(a) => tell(a),
        Err(why) => {
            let mut text = "strength: not checked, because\n".to_owned();
            for w in why {
                let _ = writeln!(text, "  {w}");
            }
            text
        }
    }
}

/// Shows numbers of one design.
struct Show {
    units: Units,
}

impl Show {
    fn length(&self, metres: f64) -> String {
        Length::from_metres(metres).show_fine(self.units)
    }
    fn force(&self, newtons: f64) -> String {
        Force::from_newtons(newtons).show(self.units)
    }
    fn pressure(&self, pascals: f64) -> String {
        Pressure::from_pascals(pascals).show(self.units)
    }
    fn line(&self, newtons_per_metre: f64) -> String {
        show_line_load(newtons_per_metre, self.units)
    }
}

fn of_piece(
    ctx: &Context<'_>,
    a: &Analysis,
    on: &OnSlope<'_>,
    piece: usize,
    landing: Option<(&Landing, &str)>,
) -> String {
    let mut text = String::new();
    path::cases(ctx, &a.basis, on, |i, case| {
        if i == piece {
            text = written(ctx, a, on, &case, landing);
        }
    });
    text
}

fn written(
    ctx: &Context<'_>,
    a: &Analysis,
    on: &OnSlope<'_>,
    case: &Case<'_>,
    landing: Option<(&Landing, &str)>,
) -> String {
    let (basis, show) = (&a.basis, Show { units: ctx.design.units });
    let mut text = String::new();
    let t = &mut text;
    match landing {
        Some((l, name)) => {
            let n = l.count;
            let s = if n == 1 { "" } else { "s" };
            let _ = writeln!(
                t,
                "{name}: a landing of {} on {}, {n} fastener{s}",
                case.piece.name,
                on.lattice.on_name(l, ctx.structure)
            );
        }
        None => {
            let _ = writeln!(t, "{}: a piece, {} long", case.piece.name, show.length(case.piece.x.1 - case.piece.x.0));
        }
    }
    let _ = writeln!(t, "{SUPPORTS}");
    if let Some(why) = &basis.superseded {
        let _ = writeln!(t, "Every value below that rests on it: {why}.");
    }
    inputs(t, ctx, basis, &show);
    let at = landing.and_then(|(l, _)| {
        case.supports.iter().position(|s| on.lattice.landings.get(s.landing).is_some_and(|o| std::ptr::eq(o, l)))
    });
    let area = wind_area(case, at);
    load_steps(t, basis, on, case, (landing.map_or("", |l| l.1), &area), &show);
    hangs(t, case, area.size, &show);
    let of = path::solve(case, basis, &mut Solver::new());
    supports(t, ctx, on, case, &show);
    if of.holding < 2 {
        let _ = writeln!(
            t,
            "\nResult\n  {} is a mechanism: fewer than two landings hold it. Nothing is computed.",
            case.piece.name
        );
        return text;
    }
    match landing {
        Some((l, name)) => {
            if let Some(at) = at {
                one_landing(t, ctx, basis, case, (at, name, area.size), of.landings.get(at), &show);
                if let Some(bearing) = of.bearing.get(at) {
                    let size = (strip_crushed::strip_width(ctx, on, l), ctx.design.lattice.batten.width.metres());
                    strip(t, basis, size, bearing, &show);
                }
            }
        }
        None => one_piece(t, basis, case, (&of, area.size), &show),
    }
    not_checked(t, basis);
    text
}

fn inputs(t: &mut String, ctx: &Context<'_>, basis: &Basis, show: &Show) {
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
    if let Some(r) = &spec.roofing {
        row("weight of the roofing", show.pressure(r.value.pascals()), r.origin.words());
    }
    row("weight of a batten", show.line(basis.batten_weight), "width x thickness x density x 9.80665 m/s2".to_owned());
    row("density of the battens", format!("{} kg/m3", b.density.value.kg_per_m3()), b.density.origin.words());
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
    }
    if let Some(l) = &d.loads.live {
        row("roof live load, in plan", show.pressure(l.value.pascals()), l.origin.words());
    }
    let _ = writeln!(t, "  rules: {}; combinations: {}", basis.rules(), basis.standard.word());
}

fn steps(t: &mut String, all: &[Step]) {
    for s in all {
        let _ = writeln!(t, "  {s}");
    }
}

/// The effective wind area of what is explained.
struct WindArea {
    /// m2.
    size: f64,
    /// Of a landing: from where to where the roofing hangs on it, x in metres.
    x: Option<(f64, f64)>,
    /// Its hand calculation; none where the wind is the same for every area.
    steps: Vec<Step>,
}

/// The area of a landing (by its number on the piece), or that of the piece.
fn wind_area(case: &Case<'_>, landing: Option<usize>) -> WindArea {
    let rule = case.wind.and_then(|w| w.rule);
    let none = WindArea { size: 0.0, x: None, steps: Vec::new() };
    match (landing, rule) {
        (_, None) => none,
        (Some(i), Some(rule)) => {
            let count = case.sharing(i);
            areas::of_landings(case).get(i).copied().flatten().map_or(none, |hangs| WindArea {
                size: hangs.each,
                x: Some(hangs.x),
                steps: rule.fastener_steps(hangs.area, count),
            })
        }
        (None, Some(rule)) => areas::of_board(case, rule).map_or(none, |(span, width, size)| WindArea {
            size,
            x: None,
            steps: rule.batten_steps(span, width).unwrap_or_default(),
        }),
    }
}

fn load_steps(
    t: &mut String,
    basis: &Basis,
    on: &OnSlope<'_>,
    case: &Case<'_>,
    (name, area): (&str, &WindArea),
    show: &Show,
) {
    if !basis.steps.wind.is_empty() {
        let _ = writeln!(t, "\nWind");
        steps(t, &basis.steps.wind);
    }
    if !area.steps.is_empty() {
        let _ = match area.x {
            Some((a, b)) => writeln!(
                t,
                "  effective wind area: the roofing from x {} to {} hangs on {name}, half way to the next landings that hold",
                show.length(a),
                show.length(b)
            ),
            None => writeln!(
                t,
                "  effective wind area: that of the span with the least serves the whole piece, which is never less suction"
            ),
        };
        steps(t, &area.steps);
    }
    let touched: BTreeSet<usize> =
        case.evens.first().into_iter().flatten().flat_map(|e| e.zones.iter().copied()).collect();
    for zone in case.wind.iter().flat_map(|w| touched.iter().filter_map(|z| w.values.get(*z))) {
        let lines = zone.law.steps(area.size);
        if let Err(why) = &zone.loads {
            let _ = writeln!(t, "  zone {}\n  not known: {why}", zone.name);
        } else if !lines.is_empty() {
            let _ = writeln!(t, "  zone {}", zone.name);
        }
        steps(t, &lines);
    }
    if let Some(lines) = case.wind.map(|w| &w.towards).filter(|l| !l.is_empty()) {
        let _ = writeln!(t, "  towards the roof");
        steps(t, lines);
    }
    if let Some(lines) = basis.steps.snow.get(on.id.0).filter(|l| !l.is_empty()) {
        let _ = writeln!(t, "\nSnow");
        steps(t, lines);
    }
}

fn hangs(t: &mut String, case: &Case<'_>, area: f64, show: &Show) {
    let _ =
        writeln!(t, "\nWhat hangs on {} (x along the eave; courses share the roofing half and half)", case.piece.name);
    let _ = writeln!(
        t,
        "  the course lies {} up the slope of {:.2} deg; a stretch has the wind of the worst zone that its roofing touches",
        show.length(case.piece.y),
        case.pitch.0.atan2(case.pitch.1).to_degrees()
    );
    for e in case.evens.first().into_iter().flatten() {
        let _ = write!(
            t,
            "  x {} to {}: {} of roofing along the slope",
            show.length(e.x.0),
            show.length(e.x.1),
            show.length(e.height)
        );
        let name = |zone: Option<usize>| Some(&case.wind?.values.get(zone?)?.name);
        match case.wind_on(e, area) {
            Ok(w) => {
                if let Some(zone) = name(w.zone) {
                    let (suction, pressure) = (show.pressure(w.suction), show.pressure(w.pressure));
                    let _ = write!(t, "; wind zone {zone}, W = {suction} suction, {pressure} pressure");
                }
            }
            Err(why) => {
                let _ = write!(t, "; {why}");
            }
        }
        let _ = writeln!(t);
    }
    for (what, past) in [("left", case.overhangs.0), ("right", case.overhangs.1)] {
        if past > 1e-4 {
            let _ =
                writeln!(t, "  the roofing reaches {} past its {what} end; that hangs on the end", show.length(past));
        }
    }
}

fn supports(t: &mut String, ctx: &Context<'_>, on: &OnSlope<'_>, case: &Case<'_>, show: &Show) {
    let _ = writeln!(t, "\nSupports of {} as a continuous beam", case.piece.name);
    for s in &case.supports {
        let name = on.lattice.landings.get(s.landing).map_or(String::new(), |l| ctx.landing_name(on, l));
        let does = match (s.holds, s.bears) {
            (true, true) => "holds and bears",
            (true, false) => "holds, and bears on nothing",
            (false, true) => "bears only: its fasteners are not backed",
            (false, false) => "neither holds nor bears",
        };
        let _ = writeln!(t, "  {name:<16} x {:<14} {does}", show.length(s.x));
    }
}

/// The load of a stretch of roofing with its numbers, and that of the batten if it is asked for.
fn line_written(
    case: &Case<'_>,
    (e, batten): (&Even, bool),
    basis: &Basis,
    c: &Combination,
    across: Across,
    show: &Show,
) -> String {
    let (sin, cos) = case.pitch;
    let mut text = String::new();
    let height = match across {
        Across::Out(_) => e.height,
        Across::Down => e.slides,
    };
    let h = show.length(height);
    if let Across::Out(area) = across
        && c.factors.wind > 0.0
        && let Ok(w) = case.wind_on(e, area)
    {
        let (sign, p) = if c.suction { ("", w.suction) } else { ("-", w.pressure) };
        let _ = write!(text, "{sign}{} W {h} x {} ", c.factors.wind, show.pressure(p));
    }
    let (sign, turn, word) = turned(case, across);
    let degrees = sin.atan2(cos).to_degrees();
    let dead = show.pressure(basis.roofing);
    let _ = match batten {
        true => write!(text, "{sign}[{} D ({dead} x {h} + {} batten)", c.factors.dead, show.line(basis.batten_weight)),
        false => write!(text, "{sign}[{} D {dead} x {h}", c.factors.dead),
    };
    for (factor, load, name) in
        [(c.factors.snow, basis.snow.as_ref().map(|_| case.snow), "S"), (c.factors.live, basis.live, "Lr")]
    {
        if let Some(load) = load.filter(|_| factor > 0.0) {
            let _ = write!(text, " + {factor} {name} {} cos x {h}", show.pressure(load));
        }
    }
    let _ = write!(text, "] {word}({degrees:.2} deg = {turn:.4})");
    let load = if batten { path::line_load } else { path::roofing_load };
    format!("{text} = {}", show.line(load(case, e, basis, c, across)))
}

/// Sign, size and name of the part of a weight that acts across the slope or down it.
fn turned(case: &Case<'_>, across: Across) -> (&'static str, f64, &'static str) {
    match across {
        Across::Out(_) => ("- ", case.pitch.1, "cos"),
        Across::Down => ("", case.pitch.0, "sin"),
    }
}

fn one_landing(
    t: &mut String,
    ctx: &Context<'_>,
    basis: &Basis,
    case: &Case<'_>,
    (at, name, area): (usize, &str, f64),
    landed: Option<&Landed>,
    show: &Show,
) {
    let used = match landed {
        Some(Landed::Used(used)) => used,
        Some(Landed::NotComputed(why)) => {
            let _ = writeln!(t, "\nResult\n  {name} was not computed, or carries nothing by the rules: {why}");
            return;
        }
        _ => {
            let _ = writeln!(
                t,
                "\nResult\n  nothing holds at {name}: its neighbours carry its share. See landing-not-backed."
            );
            return;
        }
    };
    all_combinations(t, basis, case, (at, area), show);
    let Some(c) = basis.combinations.get(used.combination) else { return };
    deciding(t, basis, case, (used, area), c, show);
    let count = case.sharing(at);
    let _ = writeln!(
        t,
        "  reaction of {name}: {} out of the slope{}, {} down it; for each of its {count} fasteners {} and {}",
        show.force(used.out),
        if used.out < 0.0 { " (below zero: it bears)" } else { "" },
        show.force(used.down),
        show.force(used.out / count),
        show.force(used.down / count)
    );
    let seats = case.seats.get(at).map_or(&[][..], Vec::as_slice);
    if let Some(seat) = path::worst_seat(seats, (used.out, used.down), c, basis) {
        let worst = if seats.iter().any(|s| s != seat) { ", which holds least" } else { "" };
        let _ = writeln!(
            t,
            "\nThe fastener in {}{worst}: {} past its upper face, {} of that counts; gap between batten and member {}",
            ctx.member_name(seat.member),
            show.length(seat.penetration),
            show.length(seat.countable),
            show.length(seat.gap)
        );
        let (lean, along, _) = basis.leaning(seat);
        if lean > 0.0 {
            let _ = writeln!(
                t,
                "  leaning {:.2} deg it passes what lies above the member on a slant: L - (L - {}) / cos(lean) = {} in the member",
                lean.to_degrees(),
                show.length(seat.penetration),
                show.length(along)
            );
        }
        if let Some(wood) = basis.wood_said(seat.wood) {
            let _ = writeln!(t, "  the member's wood: {}, {}", wood.value, wood.origin.words());
        }
        match basis.by_hand(seat, used.out, used.down, count, c) {
            Ok(lines) => steps(t, &lines),
            Err(why) => {
                let _ = writeln!(t, "  {why}");
            }
        }
    }
    let _ = writeln!(
        t,
        "\nResult\n  {} of what the fasteners hold: {}. {}",
        show_ratio(used.ratio),
        used.mode.words(),
        judged(used.ratio, basis, Subject::Landing)
    );
    if basis.spec.strip.is_none() {
        let _ = writeln!(t, "  Condition: {}.", strip_crushed::NOT_SAID);
    }
}

/// What presses on the strip under a landing.
fn strip(t: &mut String, basis: &Basis, (width, across): (f64, f64), bearing: &Bearing, show: &Show) {
    let Some(stands) = &basis.spec.strip else { return };
    let Some(c) = basis.combinations.get(bearing.combination).map(Combination::at_service) else { return };
    let _ = writeln!(t, "\nThe strip under it, by {} ({})", c.title(), c.source);
    let european = basis.standard == crate::design::Standard::En1991;
    if let Some(parts) = path::pattern_words(bearing.pattern, european) {
        let _ = writeln!(t, "  loads in parts: full on {parts}");
    }
    let pressure = bearing.force / (width * across);
    let stress = |pascals: f64| Pressure::from_pascals(pascals).show_stress(show.units);
    let share = pressure / stands.value.pascals();
    let _ = writeln!(
        t,
        "  {} on {} x {} = {}; of {} that it stands: {}. {}",
        show.force(bearing.force),
        show.length(width),
        show.length(across),
        stress(pressure),
        stress(stands.value.pascals()),
        show_ratio(share),
        judged(share, basis, Subject::Strip)
    );
}

fn judged(ratio: f64, basis: &Basis, subject: Subject) -> String {
    let verdict = memory::verdict(ratio, basis, subject);
    let sources = basis.unconfirmed_of(subject);
    let memory = if sources.is_empty() || verdict == Verdict::Fail {
        String::new()
    } else {
        format!(
            "; {} of the sources are from memory and not confirmed in strength.confirmed, so it is a warning at best",
            sources.len()
        )
    };
    format!("Verdict: {}{memory}.", verdict.name())
}

fn deciding(t: &mut String, basis: &Basis, case: &Case<'_>, (used, area): (&Use, f64), c: &Combination, show: &Show) {
    let _ = writeln!(t, "\nThe combination that decides: {} ({})", c.title(), c.source);
    let _ = writeln!(t, "  shortest load in it: {}", basis.duration_words(c));
    if let Some(hold) = basis.holds.get(used.hold) {
        let note = if basis.holds.len() > 1 { "; strength.held is not said, and this way is the worse" } else { "" };
        let _ = writeln!(t, "  {}{note}", hold.words());
    }
    let european = basis.standard == crate::design::Standard::En1991;
    if let Some(parts) = path::pattern_words(used.pattern, european) {
        let source = path::in_parts(basis, c).map_or(String::new(), |s| s.to_string());
        let _ = writeln!(t, "  loads in parts: full on {parts} ({source}); below they are written in full");
    }
    let ways = [(Across::Out(area), "out of the slope"), (Across::Down, "down the slope")];
    if let Some(clips) = &case.clips {
        let comes = match (case.skipping, clips.is_empty()) {
            (true, true) => "clips leave out courses, and none stands on this piece: nothing pulls it outward",
            (true, false) => {
                "clips leave out courses: what pulls outward comes in at the clips, each half way to the next ones of its seam and \
                 to the next seams; what presses lies on every course:"
            }
            (false, _) => {
                "the roofing's part of it comes in at the clips, each half way to its neighbours on the course:"
            }
        };
        let _ = writeln!(t, "  {comes}");
        let out = path::clip_forces(case, basis, c, 0, Across::Out(area));
        let down = path::clip_forces(case, basis, c, used.hold, Across::Down);
        for ((clip, out), down) in clips.iter().zip(out).zip(down) {
            let _ = writeln!(
                t,
                "    clip at x {}: {} out, {} down",
                show.length(clip.x),
                show.force(out),
                show.force(down)
            );
            for e in clip.own.iter().flatten() {
                let written = line_written(case, (e, false), basis, c, Across::Out(area), show);
                let load = path::roofing_load(case, e, basis, c, Across::Out(area));
                let counts =
                    if path::pulling(load, Across::Out(area)) == 0.0 { ", which presses: not here" } else { "" };
                let (from, to) = (show.length(e.x.0), show.length(e.x.1));
                let _ = writeln!(
                    t,
                    "      of it x {from} to {to}, {} of roofing along the slope: {written}{counts}",
                    show.length(e.height)
                );
            }
        }
    }
    for (across, word) in ways {
        if case.skipping {
            without_clips(t, basis, case, (used.hold, across, word), c, show);
            continue;
        }
        for e in case.evens.get(used.hold).into_iter().flatten() {
            let _ = writeln!(
                t,
                "  x {} to {}, {word}: {}",
                show.length(e.x.0),
                show.length(e.x.1),
                line_written(case, (e, true), basis, c, across, show)
            );
            held_here(t, basis, (used.hold, across), e, show);
        }
    }
}

/// What lies on the board itself where clips leave out courses.
fn without_clips(
    t: &mut String,
    basis: &Basis,
    case: &Case<'_>,
    (hold, across, word): (usize, Across, &str),
    c: &Combination,
    show: &Show,
) {
    let (sign, turn, name) = turned(case, across);
    let own = show.line(c.factors.dead * basis.batten_weight * turn);
    let weight = show.line(basis.batten_weight);
    let _ = writeln!(t, "  the board itself, {word}: {sign}{} D {weight} {name} = {sign}{own}", c.factors.dead);
    if path::at_clips(basis, hold, across) {
        let _ = writeln!(t, "  the roofing, {word}: all of it at the clips");
        return;
    }
    for e in case.evens.get(hold).into_iter().flatten() {
        let (from, to) = (show.length(e.x.0), show.length(e.x.1));
        let load = path::roofing_load(case, e, basis, c, across);
        if path::touching(load, across) == 0.0 && load != 0.0 {
            let _ = writeln!(t, "  x {from} to {to}, {word}: the roofing pulls there; all of it at the clips");
            continue;
        }
        let written = line_written(case, (e, false), basis, c, across, show);
        let _ = writeln!(t, "  x {from} to {to}, {word}: {written}");
        held_here(t, basis, (hold, across), e, show);
    }
}

/// That a whole panel is held on a stretch, where panels are held at one course.
fn held_here(t: &mut String, basis: &Basis, (hold, across): (usize, Across), e: &Even, show: &Show) {
    let everywhere = matches!(basis.holds.get(hold), Some(Hold::EveryCourse) | None);
    if matches!(across, Across::Down) && !everywhere && e.slides > 0.0 {
        let _ = writeln!(t, "    (the whole panel, {}, is held here)", show.length(e.slides));
    }
}

/// Every combination at one landing.
fn all_combinations(t: &mut String, basis: &Basis, case: &Case<'_>, (at, area): (usize, f64), show: &Show) {
    let _ = writeln!(t, "\nReactions of this landing, combination by combination (continuous beam, full loads)");
    let mut solver = Solver::new();
    for (j, c) in basis.combinations.iter().enumerate() {
        if c.factors.wind > 0.0 && case.lacking_anywhere().is_some() {
            let _ = writeln!(t, "  {:<28} not computed: the wind is not known everywhere", combination(basis, j));
            continue;
        }
        let way = (Across::Out(area), Pattern::All);
        let Ok(Some((out, _))) = path::asked(case, basis, c, 0, way, &mut solver) else { continue };
        for (k, hold) in basis.holds.iter().enumerate() {
            let Ok(Some((down, _))) = path::asked(case, basis, c, k, (Across::Down, Pattern::All), &mut solver) else {
                continue;
            };
            let of = |v: &[f64]| v.get(at).copied().unwrap_or(0.0);
            let note = if basis.holds.len() > 1 { format!("  ({})", hold.words()) } else { String::new() };
            let _ = writeln!(
                t,
                "  {:<28} out {:>12}   down {:>12}{note}",
                combination(basis, j),
                show.force(of(&out)),
                show.force(of(&down))
            );
        }
        if path::in_parts(basis, c).is_some() {
            let _ = writeln!(t, "  {:<28} in parts, too: see the one that decides", "");
        }
    }
}

fn one_piece(t: &mut String, basis: &Basis, case: &Case<'_>, (of, area): (&OfPiece, f64), show: &Show) {
    let Some(used) = &of.board else {
        let lacking = of.lacking.as_ref().map(ToString::to_string);
        let why = basis.board_reason.clone().or(lacking).unwrap_or_else(|| "it could not be solved".to_owned());
        let _ = writeln!(t, "\nResult\n  the board was not checked: {why}");
        return;
    };
    let Some(c) = basis.combinations.get(used.combination) else { return };
    let serving = c.at_service();
    let bends = used.mode == Mode::Deflection;
    deciding(t, basis, case, (used, area), if bends { &serving } else { c }, show);
    let mut solver = Solver::new();
    let way = (Across::Out(area), used.pattern);
    let mut of = |c: &Combination| path::asked(case, basis, c, used.hold, way, &mut solver).ok().flatten().map(|e| e.1);
    let (Some(e), Some(bent)) = (of(c), of(&serving)) else { return };
    let _ = writeln!(
        t,
        "  greatest moment {}, shear {}, deflection {} between landings and {} at an end",
        show_moment(e.moment(), show.units),
        show.force(e.shear),
        show.length(bent.deflection),
        show.length(bent.end_deflection)
    );
    if c.service.is_some() {
        let _ =
            writeln!(t, "  moment and shear by {}; deflections by {} ({})", c.title(), serving.title(), serving.source);
    }
    let _ = writeln!(t, "\nThe board");
    let Some(board) = &basis.board else { return };
    match board.steps(e.moment(), e.shear, c) {
        Ok(lines) => steps(t, &lines),
        Err(why) => {
            let _ = writeln!(t, "  {why}");
        }
    }
    if let Some(part) = &basis.spec.deflection {
        steps(t, &board.deflection_steps(&bent, part.value, Source::GIVEN));
    }
    let _ = writeln!(
        t,
        "\nResult\n  {} of what the board carries: {}. {}",
        show_ratio(used.ratio),
        used.mode.words(),
        judged(used.ratio, basis, Subject::Board)
    );
}

fn not_checked(t: &mut String, basis: &Basis) {
    let _ = writeln!(t, "\nNot checked");
    for why in &basis.left_out {
        let _ = writeln!(t, "  {why}");
    }
    if let Some(why) = &basis.board_reason {
        let _ = writeln!(t, "  battens: {why}");
    }
    if basis.spec.strip.is_none() {
        let _ = writeln!(t, "  strips: {}", strip_crushed::NOT_SAID);
    }
    let _ = writeln!(t, "  {}", left_out::NEVER);
}
