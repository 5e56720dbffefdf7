//! Moves and skips of landings, each for the place that it was written for.
//!
//! Aim: none ever reaches another landing. Reason: names count courses and lines, so another spacing gives them to other
//! places. Limits: a landing that lies no further from that place than a batten is wide counts as the same one.

use std::collections::BTreeMap;

use super::Lattice;
use crate::design::change::rough_place;
use crate::design::{Design, Diagnostic, Move, Sure, nearest};
use crate::quantity::maths::apart;
use crate::structure::Structure;

/// Where a landing lies without its move, metres.
type Place = (f64, f64);

/// Faults of moves and skips whose landing does not exist or does not lie where they were written for.
pub fn faults(design: &Design, structure: &Structure, lattice: &Lattice, sure: Sure) -> Vec<Diagnostic> {
    if design.moves.is_empty() {
        return Vec::new();
    }
    let mut places: BTreeMap<String, Place> = BTreeMap::new();
    for slope in &lattice.slopes {
        for landing in &slope.landings {
            let name = slope.landing_name(landing, structure);
            let by = design.move_of(&name).map_or((0.0, 0.0), |m| (m.across.metres(), m.up.metres()));
            places.insert(name, (landing.x - by.0, landing.y - by.1));
        }
        places.extend(slope.skipped.iter().cloned());
    }
    let reach = design.lattice.batten.width.metres();
    let units = design.units;
    let mut guesses = MOST_GUESSES;
    let judge = |m: &Move| {
        let what = if m.skip { "skip" } else { "move" };
        let meant = m.at.map(|(x, y)| (x.metres(), y.metres()));
        let slope = m.landing.split('-').next().unwrap_or_default();
        let there = || meant.and_then(|at| nearest_to(at, slope, &places)).filter(|(_, far)| *far <= reach);
        let fault = |key: &str, message: String, hint: String| {
            Some(Diagnostic { message, key: format!("{}.{key}", m.key), span: m.span.clone(), hint })
        };
        let Some(place) = places.get(&m.landing) else {
            if !sure.landings {
                return None;
            }
            let other_side = || {
                let (whole, sides) = match m.landing.strip_suffix(".l").or(m.landing.strip_suffix(".r")) {
                    Some(whole) => (whole, [String::new(), String::new()]),
                    None => (m.landing.as_str(), [format!("{}.l", m.landing), format!("{}.r", m.landing)]),
                };
                places.contains_key(whole) || sides.iter().any(|s| places.contains_key(s))
            };
            let hint = if let Some((name, _)) = there() {
                format!("{name} lies there now: its joints stand elsewhere, or courses and lines are counted otherwise")
            } else if other_side() {
                "the boards' joints stand elsewhere now (lattice.batten: joint, stock, joints): leave this out, \
                 or write it for the landing that took its place"
                    .to_owned()
            } else {
                guesses = guesses.saturating_sub(1);
                let near = (guesses > 0).then(|| nearest(&m.landing, places.keys().map(String::as_str)));
                match near.flatten() {
                    Some(known) => format!("did you mean \"{known}\"?"),
                    None => {
                        format!("{} landings, such as \"{}\"", places.len(), places.keys().next().map_or("", |n| n))
                    }
                }
            };
            return fault("landing", format!("no landing is named \"{}\"", m.landing), hint);
        };
        let lies = rough_place(*place, units);
        match meant {
            None if sure.everything => fault(
                "at",
                format!("missing `at`: the place of {}, for which this {what} is", m.landing),
                format!("write at = {lies}, where it lies now; under another layout the name may be another landing's"),
            ),
            Some(meant) if sure.everything && apart(*place, meant) > reach => {
                let now = there().map_or(String::new(), |(name, _)| format!("; {name} lies there now"));
                fault(
                    "at",
                    format!("{} does not lie where this {what} was written for", m.landing),
                    format!("it lies at {lies}{now}: write the {what} for the landing that is meant, or leave it out"),
                )
            }
            None | Some(_) => None,
        }
    };
    design.moves.iter().filter_map(judge).collect()
}

/// How many names that belong to nothing are compared with all others: past these the hint is plain.
const MOST_GUESSES: usize = 100;

/// The landing of a slope nearest to a place, and how far away it is, metres.
fn nearest_to<'p>(at: Place, slope: &str, places: &'p BTreeMap<String, Place>) -> Option<(&'p str, f64)> {
    places
        .iter()
        .filter(|(name, _)| name.split('-').next() == Some(slope))
        .map(|(name, p)| (name.as_str(), apart(*p, at)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}
