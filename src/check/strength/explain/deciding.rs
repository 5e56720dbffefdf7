//! The combination that decides, with the loads of its stretches written out.
//!
//! Aim: every number that the beam is loaded with. Reason: an engineer solves the beam again from these. Limits: loads in parts are
//! written in full, with the spans that carry them.

use std::fmt::Write;

use super::Show;
use super::applied::{Asked, applied};
use crate::capacity::beam::Solver;
use crate::check::context::{Context, OnSlope};
use crate::check::strength::basis::{Basis, Combination};
use crate::check::strength::combination;
use crate::check::strength::lines::{Even, Hold};
use crate::check::strength::path::{self, Across, Case, Landed, OfPiece, Use};
use crate::quantity::maths::atan2;
use crate::quantity::show_ratio;

/// Name, duration, clips, stretches.
pub fn deciding(
    t: &mut String,
    on: (&Context<'_>, &OnSlope<'_>),
    basis: &Basis,
    case: &Case<'_>,
    (used, area, ways): (&Use, f64, Ways),
    c: &Combination,
    show: &Show,
) {
    let _ = writeln!(t, "\nThe combination that decides: {} ({})", c.title(), c.source);
    let _ = writeln!(t, "  shortest load in it: {}", basis.duration_words(c));
    if let Some(hold) = basis.holds.get(used.hold) {
        let note = if basis.holds.len() > 1 { "; strength.held is not said, and this way is the worse" } else { "" };
        let _ = writeln!(t, "  {}{note}", hold.words());
    }
    let european = basis.standard == crate::design::Standard::En1991;
    if let Some(parts) = path::pattern_words(used.pattern, european) {
        let source = path::in_parts(basis, c).map_or(String::new(), |s| s.to_string());
        let _ = writeln!(
            t,
            "  loads in parts: full on {parts} ({source}); how the loads come about is written in full, then what the beam gets"
        );
    }
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
                let pulls = path::both(load, |load| path::pulling(load, Across::Out(area)));
                let counts = if pulls == (0.0, 0.0) { ", which presses: not here" } else { "" };
                let (from, to) = (show.length(e.x.0), show.length(e.x.1));
                let zone = case.wind_on(e, area).ok().and_then(|w| case.wind?.values.get(w.zone?));
                let zone = zone.map_or(String::new(), |z| format!(", wind zone {}", z.name));
                let _ = writeln!(
                    t,
                    "      of it x {from} to {to}, {} of roofing along the slope{zone}: {written}{counts}",
                    show.heights(e.height)
                );
            }
        }
    }
    let both = [(Across::Out(area), "out of the slope"), (Across::Down, "down the slope")];
    let asked = Asked { on, basis, case, combination: c, hold: used.hold, pattern: used.pattern };
    for (across, word) in both.into_iter().take(if ways == Ways::Out { 1 } else { 2 }) {
        if case.skipping {
            without_clips(t, basis, case, (used.hold, across, word), c, show);
            applied(t, &asked, (across, word), show);
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
        applied(t, &asked, (across, word), show);
    }
}

/// Which ways a verdict looks.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Ways {
    /// Out of the slope: what bends a board.
    Out,
    /// Down the slope as well: what a landing gets.
    Both,
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
        if path::both(load, |load| path::touching(load, across)) == (0.0, 0.0) && load != (0.0, 0.0) {
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
    if matches!(across, Across::Down) && !everywhere && e.slides != (0.0, 0.0) {
        let _ = writeln!(t, "    (the whole panel, {}, is held here)", show.heights(e.slides));
    }
}

/// What becomes of a piece by each combination alone, in their order; its numbers of combinations are all 0.
pub fn one_by_one(case: &Case<'_>, basis: &Basis) -> Vec<OfPiece> {
    let alone = |c: &Combination| {
        let basis = Basis { combinations: vec![*c], ..basis.clone() };
        path::solve(case, &basis, &mut Solver::new())
    };
    basis.combinations.iter().map(alone).collect()
}

/// Every combination at one landing, each by the arrangement of its loads that asks most.
pub fn all_combinations(t: &mut String, basis: &Basis, case: &Case<'_>, (at, alone): (usize, &[OfPiece]), show: &Show) {
    let _ = writeln!(t, "\nWhat each combination asks of this landing, by the arrangement of its loads that asks most");
    let european = basis.standard == crate::design::Standard::En1991;
    for (j, (c, of)) in basis.combinations.iter().zip(alone).enumerate() {
        let title = combination(basis, j);
        if c.factors.wind > 0.0 && case.lacking_anywhere().is_some() {
            let _ = writeln!(t, "  {title:<28} not computed: the wind is not known everywhere");
            continue;
        }
        match of.landings.get(at) {
            Some(Landed::Used(used)) => {
                let hold = basis.holds.get(used.hold).filter(|_| basis.holds.len() > 1);
                let hold = hold.map_or(String::new(), |h| format!("; {}", h.words()));
                let parts = path::pattern_words(used.pattern, european).map_or("", |_| "; loads in parts");
                let _ = writeln!(
                    t,
                    "  {title:<28} out {:>12}   down {:>12}   {} {}{parts}{hold}",
                    show.force(used.out),
                    show.force(used.down),
                    show_ratio(used.ratio),
                    used.mode.words()
                );
            }
            Some(Landed::NotComputed(why)) => {
                let _ = writeln!(t, "  {title:<28} not computed: {why}");
            }
            Some(Landed::Nothing | Landed::Adrift) | None => {}
        }
    }
}

/// The load of a stretch of roofing with its numbers, and that of the batten if it is asked for; at both ends where it runs from
/// one to the other.
pub fn line_written(
    case: &Case<'_>,
    (e, batten): (&Even, bool),
    basis: &Basis,
    c: &Combination,
    across: Across,
    show: &Show,
) -> String {
    let [of_out, of_down] = e.drifted;
    let (height, drifted) = match across {
        Across::Out(_) => (e.height, of_out),
        Across::Down => (e.slides, of_down),
    };
    let batten = batten && path::past_end(case, e).is_none();
    let load = if batten { path::line_load } else { path::roofing_load };
    let loads = load(case, e, basis, c, across);
    let one = |heights: (f64, f64), load: f64| {
        format!("{} = {}", numbers(case, (e, batten, heights), basis, c, across, show), show.line(load))
    };
    let (left, right) = ((height.0, drifted.0), (height.1, drifted.1));
    match show.line(loads.0) == show.line(loads.1) {
        true => one(left, loads.0),
        false => format!("at the left {}; at the right {}; straight between", one(left, loads.0), one(right, loads.1)),
    }
}

/// The numbers of the load where so much roofing hangs, and so much of it beside the ridge.
fn numbers(
    case: &Case<'_>,
    (e, batten, (height, drifted)): (&Even, bool, (f64, f64)),
    basis: &Basis,
    c: &Combination,
    across: Across,
    show: &Show,
) -> String {
    let (sin, cos) = case.pitch;
    let mut text = String::new();
    let h = show.length(height);
    if let Across::Out(area) = across
        && c.factors.wind > 0.0
        && let Ok(w) = case.wind_on(e, area)
    {
        let (sign, p) = if c.suction { ("", w.suction) } else { ("-", w.pressure) };
        let _ = write!(text, "{sign}{} W {h} x {} ", c.factors.wind, show.pressure(p));
    }
    let (sign, turn, word) = turned(case, across);
    let (snow, more) = case.snow.lies(c.snow);
    let degrees = atan2(sin, cos).to_degrees();
    let dead = show.pressure(basis.roofing);
    let _ = match batten {
        true => write!(text, "{sign}[{} D ({dead} x {h} + {} batten)", c.factors.dead, show.line(basis.batten_weight)),
        false => write!(text, "{sign}[{} D {dead} x {h}", c.factors.dead),
    };
    for (factor, load, name) in
        [(c.factors.snow, basis.snow.as_ref().map(|_| snow), "S"), (c.factors.live, basis.live, "Lr")]
    {
        if let Some(load) = load.filter(|_| factor > 0.0) {
            let _ = write!(text, " + {factor} {name} {} cos x {h}", show.pressure(load));
        }
    }
    if c.factors.snow * more * drifted > 0.0 {
        let _ = write!(text, " + {} p_drift {} cos x {}", c.factors.snow, show.pressure(more), show.length(drifted));
    }
    let _ = write!(text, "] {word}({degrees:.2} deg = {turn:.4})");
    text
}

/// Sign, size and name of the part of a weight that acts across the slope or down it.
fn turned(case: &Case<'_>, across: Across) -> (&'static str, f64, &'static str) {
    match across {
        Across::Out(_) => ("- ", case.pitch.1, "cos"),
        Across::Down => ("", case.pitch.0, "sin"),
    }
}
