//! Refusing absurd sizes: those of things that no roof has, and numbers of parts before any memory is touched for them.

use std::collections::BTreeMap;
use std::ops::Range;

use super::super::file::{DesignFile, Located, RaftersFile, SectionFile};
use super::super::model::Design;
use super::super::reader::{LONGEST, Reader};
use super::super::written::Written;
use crate::quantity::Length;

/// The most landings that a design may ask for, and the most parts of any other kind. A roof of a million landings is large;
/// this is past any roof.
const MOST_PARTS: f64 = 5e6;
/// The most members of one field, courses of a slope, or pieces of one kind.
const MOST_OF_A_FIELD: f64 = 1e5;
/// The most nails of one strap.
const MOST_NAILS: f64 = 1000.0;

const HINT: &str = "is this in the right unit?";

/// Longest fastener, widest tape, strip, vent piece, batten or strap, and furthest that tape is turned down.
const HAND: Length = Length::from_inches(24.0);
/// Widest and deepest member.
const MEMBER: Length = Length::from_inches(120.0);
/// Highest layer of the lattice, and thickest deck.
const LAYER: Length = Length::from_inches(12.0);
/// Thickest membrane, tape or steel.
const SHEET: Length = Length::from_inches(1.0);
/// Longest run of a batten between two landings, and past its last one.
const RUN: Length = Length::from_inches(240.0);

/// Notes a fault for each size that no roof has: common practice, no source.
pub fn refuse_outsized(r: &mut Reader<'_>, file: &DesignFile) {
    let mut most = |key: String, written: Option<&Option<Written<Length>>>, most: Length| {
        let Some(w) = written.and_then(Option::as_ref) else { return };
        // What is longer than anything is told already.
        if w.read().is_ok_and(|v| v > most && v <= LONGEST) {
            let shown = if most > HAND { most.show(r.units) } else { most.show_fine(r.units) };
            let hint = format!("the most that is taken is {shown}; {HINT}");
            r.fault(w.span.clone(), &key, "no roof has this size", hint);
        }
    };
    let fastening = file.fastening.as_ref().map(Located::get);
    most("fastening.length".into(), fastening.map(|f| &f.length), HAND);
    most("membrane.thickness".into(), file.membrane.as_ref().map(|m| &m.get().thickness), SHEET);
    most("deck.thickness".into(), file.deck.as_ref().map(|d| &d.get().thickness), LAYER);
    let lattice = file.lattice.as_ref().map(Located::get);
    let tape = lattice.and_then(|l| l.tape.as_ref()).map(Located::get);
    most("lattice.tape.width".into(), tape.map(|t| &t.width), HAND);
    most("lattice.tape.thickness".into(), tape.map(|t| &t.thickness), SHEET);
    let turned = lattice.and_then(|l| l.turn_down.as_ref()).map(Located::get);
    most("lattice.turn_down.eave".into(), turned.map(|t| &t.eave), HAND);
    most("lattice.turn_down.rake".into(), turned.map(|t| &t.rake), HAND);
    let strip = lattice.and_then(|l| l.strip.as_ref()).map(Located::get);
    most("lattice.strip.width".into(), strip.map(|s| &s.width), HAND);
    most("lattice.strip.wide".into(), strip.map(|s| &s.wide), HAND);
    most("lattice.strip.height".into(), strip.map(|s| &s.height), LAYER);
    let vent = lattice.and_then(|l| l.vent.as_ref()).map(Located::get);
    most("lattice.vent.width".into(), vent.map(|v| &v.width), HAND);
    most("lattice.vent.height".into(), vent.map(|v| &v.height), LAYER);
    let batten = lattice.and_then(|l| l.batten.as_ref()).map(Located::get);
    most("lattice.batten.width".into(), batten.map(|b| &b.width), HAND);
    most("lattice.batten.thickness".into(), batten.map(|b| &b.thickness), LAYER);
    let limits = file.limits.as_ref().map(Located::get);
    most("limits.run".into(), limits.map(|l| &l.run), RUN);
    most("limits.end_run".into(), limits.map(|l| &l.end_run), RUN);
    for (name, written) in [
        ("embedment", limits.map(|l| &l.embedment)),
        ("edge_distance", limits.map(|l| &l.edge_distance)),
        ("batten_edge", limits.map(|l| &l.batten_edge)),
        ("end_distance", limits.map(|l| &l.end_distance)),
        ("tape_margin", limits.map(|l| &l.tape_margin)),
        ("hair", limits.map(|l| &l.hair)),
        ("tolerance", limits.map(|l| &l.tolerance)),
        ("gap", limits.map(|l| &l.gap)),
    ] {
        most(format!("limits.{name}"), written, HAND);
    }
    for (i, straps) in file.straps.iter().map(Located::get).enumerate() {
        let key = |name: &str| format!("straps[{}].{name}", i + 1);
        most(key("width"), Some(&straps.width), HAND);
        most(key("thickness"), Some(&straps.thickness), SHEET);
        most(key("nails.length"), straps.nails.as_ref().map(|n| &n.get().length), HAND);
    }
    for (key, section) in sections(file) {
        let section = section.as_ref().map(Located::get);
        most(format!("{key}.width"), section.map(|s| &s.width), MEMBER);
        most(format!("{key}.depth"), section.map(|s| &s.depth), MEMBER);
    }
}

/// All sections of members with their keys.
fn sections(file: &DesignFile) -> Vec<(String, &Option<Located<SectionFile>>)> {
    let mut all = Vec::new();
    if let Some(roof) = file.roof.as_ref().map(Located::get) {
        all.push(("roof.ridge_board".to_owned(), &roof.ridge_board));
        all.push(("roof.hip_rafter".to_owned(), &roof.hip_rafter));
    }
    let mut tables = |name: &str, sections: Vec<_>| {
        let keys = (1..).map(|n| format!("{name}[{n}].section"));
        all.extend(keys.zip(sections));
    };
    tables("rafters", file.rafters.iter().map(|t| &t.get().section).collect());
    tables("tails", file.tails.iter().map(|t| &t.get().section).collect());
    tables("lookouts", file.lookouts.iter().map(|t| &t.get().section).collect());
    tables("blocking", file.blocking.iter().map(|t| &t.get().section).collect());
    tables("trim", file.trim.iter().map(|t| &t.get().section).collect());
    tables("member", file.member.iter().map(|t| &t.get().section).collect());
    if let Some(found) = file.found.as_ref().map(Located::get) {
        tables("found.added", found.added.iter().map(|t| &t.get().section).collect());
    }
    all
}

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
    let (strap_tables, rule_tables) = (r.tables("straps", &file.straps), r.tables("landings", &file.landings));
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
    let batten_spec = &d.lattice.batten;
    let battens_meet = spacing_known && batten_spec.spacing.value < batten_spec.width.value;
    if battens_meet {
        absurd = true;
        let message = "courses would lie in one another";
        let hint = "the spacing, from middle to middle, is not less than the battens' width: has it the right unit?";
        r.fault(spacing.clone(), "lattice.batten.spacing", message, hint);
    }
    let mut landings = 0.0;
    // Few on each line may be many on the roof: how many of each kind, and what makes most of them.
    let mut on_roof: BTreeMap<&str, (f64, f64, Range<usize>, String)> = BTreeMap::new();
    let mut add = |what, count, at: Range<usize>, key: &str| {
        let of_kind = on_roof.entry(what).or_default();
        of_kind.0 += count;
        if count > of_kind.1 {
            (of_kind.1, of_kind.2, of_kind.3) = (count, at, key.to_owned());
        }
    };
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
        if !battens_meet {
            many(courses, MOST_OF_A_FIELD, spacing.clone(), "lattice.batten.spacing", "courses");
        }
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
        many(strips, MOST_OF_A_FIELD, stock.clone(), "lattice.strip.stock", "strips on each line");
        add("strips", lines.max(1.0) * strips, stock, "lattice.strip.stock");
        let stock = span(lattice.and_then(|l| l.vent.as_ref()).and_then(|s| s.get().stock.as_ref()));
        many(width / d.lattice.vent.stock.metres(), MOST_OF_A_FIELD, stock, "lattice.vent.stock", "vent pieces");
        let least = span(batten.and_then(|b| b.least_piece.as_ref()));
        // A joint may come as near to the last one as a quarter of the least piece.
        let boards = width / (d.lattice.batten.least_piece.metres() / 4.0);
        many(boards, MOST_OF_A_FIELD, least, "lattice.batten.least_piece", "boards in each course");
        // Where no joint may stand on a member, two boards bring a course on by all that they do not lap.
        let stock = span(batten.and_then(|b| b.stock.as_ref().and_then(|s| s.first())));
        let boards = 2.0 * courses * width / d.lattice.batten.brings_on();
        add("boards", boards, stock, "lattice.batten.stock");
        let straps = if d.straps.len() == strap_tables.len() { d.straps.as_slice() } else { &[] };
        for (s, (table, written)) in straps.iter().zip(&strap_tables) {
            let nails = written.get().nails.as_ref().and_then(|n| n.get().spacing.as_ref());
            let key = format!("{table}.nails.spacing");
            let each = (s.high.metres() - s.low.metres()) / s.nails.spacing.metres();
            many(each, MOST_NAILS, span(nails), &key, "nails in each strap");
            add("nails of straps", lines.max(1.0) * each, span(nails), &key);
        }
        let rules = if d.landing_rules.len() == rule_tables.len() { d.landing_rules.as_slice() } else { &[] };
        for (l, (table, written)) in rules.iter().zip(&rule_tables) {
            let (at, key) = (span(written.get().spacing.as_ref()), format!("{table}.spacing"));
            let each = l.spacing.as_ref().map_or(0.0, |s| width / s.metres());
            many(each, MOST_OF_A_FIELD, at.clone(), &key, "landings on one member");
            add("landings on members", courses * each, at, &key);
        }
    }
    let past = landings > MOST_PARTS;
    // One fault is enough for a roof of too many landings.
    let mut too_many = false;
    for (what, (count, _, at, key)) in on_roof {
        if count > MOST_PARTS && !absurd && !past {
            too_many = true;
            r.fault(at, &key, format!("about {count:.0} {what} on the roof"), HINT);
        }
    }
    if past && !absurd && spacing_known {
        let message =
            format!("about {landings:.0} landings; the most that is taken is {:.0} million", MOST_PARTS / 1e6);
        r.fault(spacing, "lattice.batten.spacing", message, HINT);
    }
    // What could not be told apart is not built either.
    !past
        && !absurd
        && !too_many
        && (before == 0 || d.straps.len() == strap_tables.len() && d.landing_rules.len() == rule_tables.len())
}
