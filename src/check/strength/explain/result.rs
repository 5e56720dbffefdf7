//! What was asked, what it holds, and the verdict.
//!
//! Aim: fastener, strip and board by hand, each with its share. Reason: the verdict must follow from the lines before it. Limits: one
//! fastener of a landing, the one that holds least.

use std::fmt::Write;

use super::deciding::{Ways, all_combinations, deciding};
use super::{Show, steps};
use crate::capacity::Source;
use crate::capacity::beam::Solver;
use crate::check::Verdict;
use crate::check::context::{Context, OnSlope};
use crate::check::strength::basis::{Basis, Combination, Subject};
use crate::check::strength::path::{self, Across, Bearing, Case, Landed, Mode, OfPiece, Use};
use crate::check::strength::{combination, memory, rules, strip_crushed};
use crate::quantity::{Pressure, show_moment, show_ratio};

/// What governs, by how much, and what comes next: in the mode, and among the combinations.
pub struct Summary {
    /// The worst of all.
    pub used: Use,
    /// Every mode by the deciding combination, the governing one first.
    pub modes: Vec<(Mode, f64)>,
    /// The worst of every other combination, with its number.
    pub second: Option<(usize, Use)>,
}

impl Summary {
    /// Of a landing, from each combination alone.
    pub fn of_landing(basis: &Basis, case: &Case<'_>, (at, used): (usize, &Use), alone: &[OfPiece]) -> Summary {
        let of = |of: &OfPiece| match of.landings.get(at) {
            Some(Landed::Used(used)) => Some(*used),
            Some(Landed::Nothing | Landed::Adrift | Landed::NotComputed(_)) | None => None,
        };
        let modes = || {
            let c = basis.combinations.get(used.combination)?;
            let seat = path::worst_seat(case.seats.get(at)?, (used.out, used.down), c, basis)?;
            Some(basis.fit(seat).ok()?.modes(used.out, used.down, case.sharing(at), c))
        };
        let modes = modes().unwrap_or_default();
        Summary { used: *used, modes, second: second(used, alone.iter().map(of)) }
    }

    /// Of a board, from each combination alone.
    pub fn of_board(basis: &Basis, case: &Case<'_>, (area, used): (f64, &Use), alone: &[OfPiece]) -> Summary {
        let modes = || {
            let c = basis.combinations.get(used.combination)?;
            let mut solver = Solver::new();
            let way = (Across::Out(area), used.pattern);
            let mut of = |c: &Combination| Some(path::asked(case, basis, c, 0, way, &mut solver).ok()??.1);
            let (e, bent) = (of(c)?, of(&c.at_service())?);
            let mut all: Vec<(Mode, f64)> =
                basis.board.as_ref()?.used(&e, c).into_iter().map(|(ratio, mode, _)| (mode, ratio)).collect();
            if let Some(part) = &basis.spec.deflection {
                let share = rules::deflected(&bent, part.value).into_iter().map(|(ratio, mode, _)| (mode, ratio));
                all.extend(share.max_by(|a, b| a.1.total_cmp(&b.1)));
            }
            all.sort_by(|a, b| b.1.total_cmp(&a.1));
            Some(all)
        };
        let modes = modes().unwrap_or_default();
        Summary { used: *used, modes, second: second(used, alone.iter().map(|of| of.board)) }
    }

    /// In words.
    pub fn write(&self, t: &mut String, basis: &Basis, holds: &str) {
        let used = &self.used;
        let percent = (1.0 - used.ratio) * 100.0;
        let margin = match percent >= 0.0 {
            true => format!("{percent:.0} % to spare"),
            false => format!("{:.0} % too much", -percent),
        };
        let _ = writeln!(
            t,
            "Governs: {}, {} of what {holds} ({margin}), by {}.",
            used.mode.words(),
            show_ratio(used.ratio),
            combination(basis, used.combination)
        );
        if let Some((mode, ratio)) = self.modes.iter().find(|(m, _)| *m != used.mode) {
            let _ = writeln!(t, "Next mode in it: {}, {}.", mode.words(), show_ratio(*ratio));
        }
        if let Some((number, next)) = &self.second {
            let (title, ratio) = (combination(basis, *number), show_ratio(next.ratio));
            let _ = writeln!(t, "Next combination: {title}, {ratio}, {}.", next.mode.words());
        }
    }
}

/// The worst of the combinations beside the deciding one.
fn second(used: &Use, alone: impl Iterator<Item = Option<Use>>) -> Option<(usize, Use)> {
    let others = alone.enumerate().filter(|(j, _)| *j != used.combination);
    let known = others.filter_map(|(j, of)| Some((j, of?)));
    known.max_by(|a, b| a.1.ratio.total_cmp(&b.1.ratio))
}

/// A landing.
pub fn one_landing(
    t: &mut String,
    on: (&Context<'_>, &OnSlope<'_>),
    basis: &Basis,
    case: &Case<'_>,
    (at, name, area): (usize, &str, f64),
    (landed, alone): (Option<&Landed>, &[OfPiece]),
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
    all_combinations(t, basis, case, (at, alone), show);
    let Some(c) = basis.combinations.get(used.combination) else { return };
    deciding(t, on, basis, case, (used, area, Ways::Both), c, show);
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
            on.0.member_name(seat.member),
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

pub fn judged(ratio: f64, basis: &Basis, subject: Subject) -> String {
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
pub fn one_piece(
    t: &mut String,
    on: (&Context<'_>, &OnSlope<'_>),
    basis: &Basis,
    case: &Case<'_>,
    (of, area): (&OfPiece, f64),
    show: &Show,
) {
    let Some(used) = &of.board else {
        let lacking = of.lacking.as_ref().map(ToString::to_string);
        let why = basis.board_reason.clone().or(lacking).unwrap_or_else(|| "it could not be solved".to_owned());
        let _ = writeln!(t, "\nResult\n  the board was not checked: {why}");
        return;
    };
    let Some(c) = basis.combinations.get(used.combination) else { return };
    let serving = c.at_service();
    let bends = used.mode == Mode::Deflection;
    deciding(t, on, basis, case, (used, area, Ways::Out), if bends { &serving } else { c }, show);
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
