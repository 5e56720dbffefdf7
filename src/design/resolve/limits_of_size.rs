//! Refusing absurd sizes before any memory is touched for them.

use std::ops::Range;

use super::super::file::{DesignFile, Located, RaftersFile};
use super::super::model::Design;
use super::super::reader::Reader;
use super::super::written::Written;
use crate::quantity::Length;

/// The most landings that a design may ask for. A roof of a million is large; this is past any roof.
const MOST_LANDINGS: f64 = 5e6;
/// The most members of one field, courses of a slope, or pieces of one kind.
const MOST_OF_A_FIELD: f64 = 1e5;
/// The most nails of one strap.
const MOST_NAILS: f64 = 1000.0;

const HINT: &str = "is this in the right unit?";

/// Notes a fault for everything that would make more parts than any roof has. `true` where there is none. Tables that are at
/// fault have no part in the design; those that are there are found by their keys.
pub fn refuse_absurd(r: &mut Reader<'_>, file: &DesignFile, d: &Design) -> bool {
    let before = r.faults.len();
    let spacing_known = !r.faults.iter().any(|f| f.key.starts_with("lattice.batten") || f.key.starts_with("rafters"));
    let mut absurd = false;
    let span = |w: Option<&Written<Length>>| w.map_or(0..0, |w| w.span.clone());
    let lattice = file.lattice.as_ref().map(Located::get);
    let batten = lattice.and_then(|l| l.batten.as_ref()).map(Located::get);
    let spacing: Range<usize> = span(batten.and_then(|b| b.spacing.as_ref()));
    let fields: Vec<(String, &RaftersFile)> = [("rafters", &file.rafters), ("tails", &file.tails)]
        .into_iter()
        .flat_map(|(name, list)| list.iter().enumerate().map(move |(i, t)| (format!("{name}[{}]", i + 1), t.get())))
        .collect();
    let of_field = |key: &str| fields.iter().find(|(k, _)| k == key).and_then(|(_, w)| w.spacing.as_ref());
    for f in &d.rafters {
        let key = &f.table.key;
        if f.spacing.value < f.section.width() {
            absurd = true;
            let at = span(of_field(key));
            r.fault(
                at,
                &format!("{key}.spacing"),
                "members of this field would overlap",
                "the spacing is not less than the members' width",
            );
        }
    }
    let mut landings = 0.0;
    for slope in &d.slopes {
        let extent = |pick: fn(&(Length, Length)) -> Length| {
            let corners = slope.found_outline.iter().flatten().chain(&slope.outline);
            corners.map(|c| pick(c).metres()).fold(0.0, f64::max)
        };
        let (width, height) = (extent(|c| c.0), extent(|c| c.1));
        let courses = height / d.lattice.batten.spacing.metres() + 2.0;
        let lines: f64 = d.rafters.iter().map(|f| width / f.spacing.metres() + 2.0).sum();
        landings += courses * lines.max(1.0);
        let mut many = |count: f64, most: f64, at: Range<usize>, key: &str, what: &str| {
            if count > most {
                absurd = true;
                r.fault(at, key, format!("about {count:.0} {what} on slope {}", slope.name), HINT);
            }
        };
        many(courses, MOST_OF_A_FIELD, spacing.clone(), "lattice.batten.spacing", "courses");
        // One fault is enough for a field that overlaps.
        for f in d.rafters.iter().filter(|f| f.spacing.value >= f.section.width()) {
            let (key, at) = (&f.table.key, span(of_field(&f.table.key)));
            many(width / f.spacing.metres(), MOST_OF_A_FIELD, at, &format!("{key}.spacing"), "members");
        }
        for f in &d.lookouts {
            let number =
                f.table.key.strip_prefix("lookouts[").and_then(|k| k.strip_suffix(']')).and_then(|k| k.parse().ok());
            let written = number.and_then(|n: usize| file.lookouts.get(n.checked_sub(1)?));
            let at = span(written.and_then(|w| w.get().spacing.as_ref()));
            let key = format!("{}.spacing", f.table.key);
            many(height / f.spacing.metres(), MOST_OF_A_FIELD, at, &key, "lookouts");
        }
        let stock = span(lattice.and_then(|l| l.strip.as_ref()).and_then(|s| s.get().stock.as_ref()));
        let strips = height / d.lattice.strip.stock.metres();
        many(strips, MOST_OF_A_FIELD, stock, "lattice.strip.stock", "strips on each line");
        let stock = span(lattice.and_then(|l| l.vent.as_ref()).and_then(|s| s.get().stock.as_ref()));
        many(width / d.lattice.vent.stock.metres(), MOST_OF_A_FIELD, stock, "lattice.vent.stock", "vent pieces");
        let least = span(batten.and_then(|b| b.least_piece.as_ref()));
        let boards = width / d.lattice.batten.least_piece.metres();
        many(boards, MOST_OF_A_FIELD, least, "lattice.batten.least_piece", "boards in each course");
        let straps = if d.straps.len() == file.straps.len() { d.straps.as_slice() } else { &[] };
        for (i, (s, written)) in straps.iter().zip(&file.straps).enumerate() {
            let nails = written.get().nails.as_ref().and_then(|n| n.get().spacing.as_ref());
            let key = format!("straps[{}].nails.spacing", i + 1);
            many(
                (s.high.metres() - s.low.metres()) / s.nails.spacing.metres(),
                MOST_NAILS,
                span(nails),
                &key,
                "nails in each strap",
            );
        }
        let rules = if d.landing_rules.len() == file.landings.len() { d.landing_rules.as_slice() } else { &[] };
        for (i, (l, written)) in rules.iter().zip(&file.landings).enumerate() {
            let (at, key) = (span(written.get().spacing.as_ref()), format!("landings[{}].spacing", i + 1));
            many(
                l.spacing.as_ref().map_or(0.0, |s| width / s.metres()),
                MOST_OF_A_FIELD,
                at,
                &key,
                "landings on one member",
            );
        }
    }
    let past = landings > MOST_LANDINGS;
    if past && !absurd && spacing_known {
        let message =
            format!("about {landings:.0} landings; the most that is taken is {:.0} million", MOST_LANDINGS / 1e6);
        r.fault(spacing, "lattice.batten.spacing", message, HINT);
    }
    // What could not be told apart is not built either.
    !past
        && !absurd
        && (before == 0 || d.straps.len() == file.straps.len() && d.landing_rules.len() == file.landings.len())
}
