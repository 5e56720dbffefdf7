//! What was asked, what it holds, and the verdict.
//!
//! Aim: fastener, strip and board by hand, each with its share. Reason: the verdict must follow from the lines before it. Limits: one
//! fastener of a landing, the one that holds least.

use std::fmt::Write;

use super::deciding::{all_combinations, deciding};
use super::{Show, steps};
use crate::capacity::Source;
use crate::capacity::beam::Solver;
use crate::check::Verdict;
use crate::check::context::Context;
use crate::check::strength::basis::{Basis, Combination, Subject};
use crate::check::strength::path::{self, Across, Bearing, Case, Landed, Mode, OfPiece};
use crate::check::strength::{memory, strip_crushed};
use crate::quantity::{Pressure, show_moment, show_ratio};

/// A landing.
pub fn one_landing(
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
        "  reaction of {name}: {} out of the slope{}, {} down it{}; for each of its {count} fasteners {} and {}",
        show.force(used.out),
        if used.out < 0.0 { " (below zero: it bears)" } else { "" },
        show.force(used.down),
        if used.down < 0.0 { " (below zero: up the slope, which asks as much)" } else { "" },
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
pub fn strip(t: &mut String, basis: &Basis, (width, across): (f64, f64), bearing: &Bearing, show: &Show) {
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
            "; {} of the sources are from memory and not confirmed in strength.confirmed, so it is unconfirmed and no pass",
            sources.len()
        )
    };
    format!("Verdict: {}{memory}.", verdict.name())
}

/// A piece.
pub fn one_piece(t: &mut String, basis: &Basis, case: &Case<'_>, (of, area): (&OfPiece, f64), show: &Show) {
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
