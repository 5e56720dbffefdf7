//! Sizes of the design that look like slips of the pen.
//!
//! A check and no fault: any of these sizes may be meant, and a plan of it can be laid. Reading the resolved design it knows what the
//! slopes really measure, and its words come wherever findings come.

use super::context::{Context, Report};
use super::finding::{Evidence, Measure, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::{Given, MemberKind, Origin, SlopeId, change};
use crate::quantity::{Length, Units};
use crate::solid::tolerance::SAME;

/// The check.
pub const CHECK: Check = Check {
    name: "likely-slip",
    title: "Does anything that is written look like a slip of the pen?",
    page: "\
What
  A written size that hardly any roof has, where the same number in another unit is an ordinary one, as battens 16 ft apart for
  16 in. A pitch of 12:4 for 4:12. A first or last place past the end of its slope.
Why
  The plan follows what is written; a slip shows late, as a roof of two courses or as a rafter that is not there.
How computed
  Each size against the least and the most that roofs have. It is told only where its number, read as inches for feet, feet
  for inches, millimetres for inches, inches for millimetres or centimetres for millimetres, is a usual size. A pitch
  written 12:n with n below 12, which is steeper than 45 deg, is asked back as n:12; one written n:12 never is. Places go against the slopes' outlines.
Limits
  Advice: what is meant may stay. Asked of spacings of courses, rafters and lookouts, of the widths, heights and stock lengths of the lattice, of
  fasteners, members' sections, panels and runs; not of outlines, openings and single members, which may have any size. What is not written is not asked.
Source
  Common practice, no source.
",
    run: Run::Always(run),
};

/// Sizes in inches: outside of `ever` one is looked at, within `usual` another reading of it makes sense. Common practice, no
/// source.
struct Sizes {
    ever: (f64, f64),
    usual: (f64, f64),
}

/// Purlins of metal roofs go to 5 ft.
const COURSES: Sizes = Sizes { ever: (3.0, 60.0), usual: (6.0, 48.0) };
/// Rafters stand 12 to 24 in apart, trusses of barns to 12 ft.
const RAFTERS: Sizes = Sizes { ever: (6.0, 144.0), usual: (8.0, 48.0) };
/// Tape, strips, vent pieces and boards, which a hand holds.
const WIDTHS: Sizes = Sizes { ever: (0.5, 14.0), usual: (0.75, 8.0) };
/// Strips, vent pieces and battens are a few millimetres to two inches thick.
const LAYERS: Sizes = Sizes { ever: (0.1, 4.0), usual: (0.2, 2.5) };
/// Boards of deck are under two inches thick, panels with insulation to 9.
const DECKS: Sizes = Sizes { ever: (0.1, 9.0), usual: (0.25, 2.0) };
/// Nails and screws for wood.
const SHANKS: Sizes = Sizes { ever: (0.05, 0.5), usual: (0.08, 0.4) };
/// The longest screws go through 12 in of insulation.
const LENGTHS: Sizes = Sizes { ever: (0.75, 16.0), usual: (1.0, 12.0) };
/// Boards and strips come 3 to 24 ft long, from rolls and joined ones longer.
const STOCK: Sizes = Sizes { ever: (24.0, 720.0), usual: (36.0, 288.0) };
/// Panels of metal.
const PANELS: Sizes = Sizes { ever: (4.0, 60.0), usual: (8.0, 48.0) };
/// A batten's run is about the spacing of rafters.
const RUNS: Sizes = Sizes { ever: (3.0, 144.0), usual: (6.0, 48.0) };
/// Across a member.
const MEMBER_WIDTHS: Sizes = Sizes { ever: (0.5, 24.0), usual: (0.75, 6.0) };
/// Down from its upper face.
const MEMBER_DEPTHS: Sizes = Sizes { ever: (1.0, 60.0), usual: (2.5, 24.0) };

const INCH: f64 = 0.0254;
const MILLIMETRE: f64 = 0.001;
/// Units that are taken for one another: that of the number that stands there, what it was meant in, in which units that is shown,
/// and the step in which people write such numbers.
const MISTAKEN: [(f64, f64, Units, f64); 5] = [
    (12.0 * INCH, INCH, Units::Inches, 0.25),
    (INCH, 12.0 * INCH, Units::Inches, 0.25),
    (INCH, MILLIMETRE, Units::Millimetres, 0.1),
    (MILLIMETRE, INCH, Units::Inches, 0.001),
    (MILLIMETRE, 10.0 * MILLIMETRE, Units::Millimetres, 0.5),
];
/// From a hundred millimetres on sizes are written in fives.
const FIVES: (f64, f64) = (100.0, 5.0);

/// What else a size may have been meant to be, as it would be written.
fn readings(metres: f64, sizes: &Sizes) -> Vec<String> {
    let of = |&(from, to, units, step): &(f64, f64, Units, f64)| {
        let number = metres / from;
        let step = if to == MILLIMETRE && number >= FIVES.0 { FIVES.1 } else { step };
        let round = (number / step - (number / step).round()).abs() < 1e-6;
        let meant = number * to;
        let usual = sizes.usual.0 * INCH - SAME <= meant && meant <= sizes.usual.1 * INCH + SAME;
        (round && usual).then(|| change::length(meant, units))
    };
    MISTAKEN.iter().filter_map(of).collect()
}

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    sizes(ctx, report);
    places(ctx, report);
    pitches(ctx, report);
}

/// Sizes that only another unit makes usual.
fn sizes(ctx: &Context<'_>, report: &mut Report<'_>) {
    let d = ctx.design;
    let l = &d.lattice;
    let mut one = |key: &str, size: Length, origin: &Origin, sizes: &Sizes| {
        let (least, most) = (sizes.ever.0 * INCH, sizes.ever.1 * INCH);
        let v = size.metres();
        // Nothing at all may be meant.
        if origin.line().is_none() || v == 0.0 || (least - SAME <= v && v <= most + SAME) {
            return;
        }
        let meant = readings(v, sizes);
        if meant.is_empty() {
            return;
        }
        let (word, limit) = if v > most { ("more", most) } else { ("less", least) };
        let message =
            format!("{key} is {}, {word} than roofs have; did you mean {}?", shown(v, d.units), meant.join(", or "));
        tell(report, message, Some((v, limit)), origin);
    };
    let mut given = |key: &str, size: &Given<Length>, sizes: &Sizes| one(key, size.value, &size.origin, sizes);
    given("lattice.batten.spacing", &l.batten.spacing, &COURSES);
    given("lattice.batten.width", &l.batten.width, &WIDTHS);
    given("lattice.batten.thickness", &l.batten.thickness, &LAYERS);
    given("lattice.tape.width", &l.tape.width, &WIDTHS);
    given("lattice.strip.width", &l.strip.width, &WIDTHS);
    given("lattice.strip.height", &l.strip.height, &LAYERS);
    given("lattice.strip.stock", &l.strip.stock, &STOCK);
    given("lattice.vent.width", &l.vent.width, &WIDTHS);
    given("lattice.vent.height", &l.vent.height, &LAYERS);
    given("lattice.vent.stock", &l.vent.stock, &STOCK);
    given("deck.thickness", &l.deck, &DECKS);
    given("fastening.diameter", &d.fastening.diameter, &SHANKS);
    given("fastening.length", &d.fastening.length, &LENGTHS);
    given("limits.run", &d.limits.run, &RUNS);
    if let Some(panels) = &d.panels {
        given("panels.width", &panels.width, &PANELS);
    }
    for field in &d.rafters {
        given(&format!("{}.spacing", field.table.key), &field.spacing, &RAFTERS);
    }
    for field in &d.lookouts {
        given(&format!("{}.spacing", field.table.key), &field.spacing, &RAFTERS);
    }
    for (number, stock) in l.batten.stock.value.iter().enumerate() {
        one(&format!("lattice.batten.stock[{}]", number + 1), *stock, &l.batten.stock.origin, &STOCK);
    }
    let fields = d.rafters.iter().map(|f| (&f.table, &f.section));
    let fields = fields.chain(d.lookouts.iter().map(|f| (&f.table, &f.section)));
    for (table, section) in fields.chain(d.blocking.iter().map(|f| (&f.table, &f.section))) {
        for (name, size, sizes) in
            [("width", section.width(), &MEMBER_WIDTHS), ("depth", section.depth(), &MEMBER_DEPTHS)]
        {
            one(&format!("{}.section.{name}", table.key), size, &section.origin, sizes);
        }
    }
}

/// Places of fields past the end of every slope that they are on.
fn places(ctx: &Context<'_>, report: &mut Report<'_>) {
    let d = ctx.design;
    let everywhere: Vec<SlopeId> = (0..d.slopes.len()).map(SlopeId).collect();
    let end = |slopes: &[SlopeId], up: bool| {
        let corners = slopes.iter().filter_map(|s| d.slopes.get(s.0));
        let corners = corners.flat_map(|s| s.outline.iter().chain(s.found_outline.iter().flatten()));
        corners.map(|c| if up { c.1.metres() } else { c.0.metres() }).fold(0.0, f64::max)
    };
    let mut one = |key: String, place: &Given<Length>, slopes: &[SlopeId], up: bool, what: &str| {
        let end = end(slopes, up);
        if place.origin.line().is_none() || place.metres() <= end + SAME {
            return;
        }
        let side = if up { "long from eave to top" } else { "wide" };
        let (written, slope) = (shown(place.metres(), d.units), shown(end, d.units));
        let message = format!("{key} is {written}, but the slope is {slope} {side}: no {what} stands there");
        tell(report, message, Some((place.metres(), end)), &place.origin);
    };
    for f in &d.rafters {
        let what = if f.kind == MemberKind::Tail { "tail" } else { "rafter" };
        let key = |name: &str| format!("{}.{name}", f.table.key);
        one(key("first"), &f.first, &f.slopes, false, what);
        if let Some(last) = &f.last {
            one(key("last"), last, &f.slopes, false, what);
        }
        if let Some(low) = &f.low {
            one(key("low"), low, &f.slopes, true, what);
        }
    }
    for f in &d.lookouts {
        one(format!("{}.first", f.table.key), &f.first, &f.slopes, true, "lookout");
        if let Some(last) = &f.last {
            one(format!("{}.last", f.table.key), last, &f.slopes, true, "lookout");
        }
    }
    let batten = &d.lattice.batten;
    one("lattice.batten.first".to_owned(), &batten.first, &everywhere, true, "course");
    one("lattice.batten.last".to_owned(), &batten.last, &everywhere, true, "course");
}

/// Pitches turned round.
fn pitches(ctx: &Context<'_>, report: &mut Report<'_>) {
    let mut lines = Vec::new();
    for slope in &ctx.design.slopes {
        let (pitch, line) = (&slope.pitch, slope.pitch.origin.line());
        let Some(run) = slope.run_of_12.filter(|run| *run < 12.0 && !lines.contains(&line)) else { continue };
        lines.push(line);
        let degrees = pitch.degrees();
        let message =
            format!("the pitch of slope {} is 12:{run}, {degrees:.0} deg; did you mean {run}:12?", slope.name);
        tell(report, message, None, &pitch.origin);
    }
}

/// A size as people say it: long ones in feet and inches.
fn shown(metres: f64, units: Units) -> String {
    let size = Length::from_metres(metres);
    if metres < 24.0 * INCH { change::length(metres, units) } else { size.show(units) }
}

/// Adds a finding; `sizes` are what is written and what it goes against, metres.
fn tell(report: &mut Report<'_>, message: String, sizes: Option<(f64, f64)>, origin: &Origin) {
    let length = |(found, limit)| Evidence {
        what: "as written",
        found: Measure::Length(found),
        limit: Some(Measure::Length(limit)),
    };
    let evidence = sizes.map(length).into_iter().collect();
    let source = Source { line: origin.line(), text: origin.words() };
    let helps = || vec![mends::advice("write what is meant; if it is meant as it stands, let it stand")];
    report.add(Verdict::Warn, message, Vec::new(), None, evidence, helps, source);
}
