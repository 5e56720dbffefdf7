//! How the loads came about, and what they lie on.
//!
//! Aim: wind and snow step by step, what hangs on the piece, what holds it. Reason: reactions follow from these alone. Limits:
//! one effective wind area, that of what is explained.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::{Show, steps};
use crate::capacity::Step;
use crate::check::context::{Context, OnSlope};
use crate::check::strength::areas;
use crate::check::strength::basis::Basis;
use crate::check::strength::lines;
use crate::check::strength::path::Case;
use crate::quantity::maths::atan2;

/// Whose effective wind area.
pub enum AreaOf {
    /// A landing's: from where to where the roofing hangs on it, x in metres.
    Landing((f64, f64)),
    /// A piece's.
    Piece,
    /// A clip's screw.
    Screw,
}

/// The effective wind area of what is explained.
pub struct WindArea {
    /// m2.
    pub size: f64,
    /// Whose it is.
    pub of: AreaOf,
    /// Its hand calculation; none where the wind is the same for every area.
    pub steps: Vec<Step>,
}

/// The area of a landing (by its number on the piece), or that of the piece.
pub fn wind_area(case: &Case<'_>, landing: Option<usize>) -> WindArea {
    let rule = case.wind.and_then(|w| w.rule);
    let none = WindArea { size: 0.0, of: AreaOf::Piece, steps: Vec::new() };
    match (landing, rule) {
        (_, None) => none,
        (Some(i), Some(rule)) => {
            let count = case.sharing(i);
            areas::of_landings(case).get(i).copied().flatten().map_or(none, |hangs| WindArea {
                size: hangs.each,
                of: AreaOf::Landing(hangs.x),
                steps: rule.fastener_steps(hangs.area, count),
            })
        }
        (None, Some(rule)) => areas::of_board(case, rule).map_or(none, |(span, width, size)| WindArea {
            size,
            of: AreaOf::Piece,
            steps: rule.batten_steps(span, width).unwrap_or_default(),
        }),
    }
}

/// Wind and snow.
pub fn load_steps(
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
        let _ = match area.of {
            AreaOf::Landing((a, b)) => writeln!(
                t,
                "  effective wind area: the roofing from x {} to {} hangs on {name}, half way to the next landings that hold",
                show.length(a),
                show.length(b)
            ),
            AreaOf::Screw => writeln!(t, "  effective wind area: what hangs on {name}, by the number of its screws"),
            AreaOf::Piece => writeln!(
                t,
                "  effective wind area: that of the span with the least serves the whole piece, which is never less suction"
            ),
        };
        steps(t, &area.steps);
    }
    let own = case.clips.iter().flatten().filter_map(|clip| clip.own.as_ref());
    let stretches = case.evens.first().into_iter().chain(own).flatten();
    let touched: BTreeSet<usize> = stretches.flat_map(|e| e.zones.iter().copied()).collect();
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

/// Stretches of roofing with their wind.
pub fn hangs(t: &mut String, case: &Case<'_>, area: f64, show: &Show) {
    let _ =
        writeln!(t, "\nWhat hangs on {} (x along the eave; courses share the roofing half and half)", case.piece.name);
    let _ = writeln!(
        t,
        "  the course lies {} up the slope of {:.2} deg; a stretch has the wind of the worst zone that its roofing touches",
        show.length(case.piece.y),
        atan2(case.pitch.0, case.pitch.1).to_degrees()
    );
    for e in case.evens.first().into_iter().flatten() {
        let _ = write!(
            t,
            "  x {} to {}: {} of roofing along the slope",
            show.length(e.x.0),
            show.length(e.x.1),
            show.heights(e.height)
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
    let (left, right) = lines::reach(case.evens.first().map_or(&[], Vec::as_slice)).unwrap_or(case.piece.x);
    for (what, past) in [("left", case.piece.x.0 - left), ("right", right - case.piece.x.1)] {
        if past > 1e-4 {
            let _ =
                writeln!(t, "  the roofing reaches {} past its {what} end; that hangs on the end", show.length(past));
        }
    }
}

/// What holds and what bears.
pub fn supports(t: &mut String, ctx: &Context<'_>, on: &OnSlope<'_>, case: &Case<'_>, show: &Show) {
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
