//! Changes worth trying for a cause.
//!
//! Aim: the changes that a builder would think of first, each at the values where something changes. Reason: a step of a
//! sixteenth of an inch tries hundreds of places for a course where two differ.
//! How: a course is tried where its fasteners just clear the ends of members and straps; sizes among those that are sold; places
//! of fasteners and blocks as the checks find them, one by one and all of a cause together.
//! Limits: what is never proposed: a limit, a load, a tolerance, the site, a confirmed value or a maker's, anything found, laid or
//! driven, an opening, a wider spacing, a landing left out, the framing itself. Sizes sold are common practice, no source.

use std::collections::BTreeSet;

use super::cause::{Cause, CauseKind};
use crate::check::{Context, Finding, Mend, OnSlope, Verdict, moved};
use crate::design::{BoardsFrom, Change, FastenerKind, JointKind, LaidKind, Pattern, StartEdge, StrapSide, change};
use crate::lattice::in_pattern;
use crate::quantity::{Length, Units};
use crate::solid::tolerance::SAME;

/// A change worth trying.
#[derive(Clone, Debug)]
pub struct Proposal {
    /// The change.
    pub change: Change,
    /// What to do, in words.
    pub text: String,
    /// How far it goes, metres; only compared where all else is equal.
    pub size: f64,
}

/// Keys that may be set, each with all below it; of `straps` and `edge` only these.
const KEYS: [&str; 18] = [
    "lattice.batten.first",
    "lattice.batten.last",
    "lattice.batten.start",
    "lattice.batten.stagger",
    "lattice.batten.joint",
    "lattice.batten.joints",
    "lattice.batten.lap",
    "lattice.batten.boards_from",
    "lattice.hold_back",
    "lattice.strip.width",
    "lattice.tape.width",
    "fastening.kind",
    "fastening.diameter",
    "fastening.length",
    "fastening.pattern",
    "fastening.spread",
    "fastening.predrilled",
    "fastening.per_landing",
];
const STRAP_KEYS: [&str; 4] = ["shift", "side", "strip", "nails.stagger"];
const EDGE_KEYS: [&str; 1] = ["hold_back"];
/// Tables that may be added.
const TABLES: [&str; 4] = ["[[found.added]]", "[[move]]", "[[landing]]", "[[joints]]"];

/// The single keys and tables that a change touches.
pub fn touched(change: &Change) -> Vec<String> {
    match change {
        Change::Set { key, .. } => vec![key.clone()],
        Change::Append(lines) => lines.lines().filter(|l| l.starts_with('[')).map(str::to_owned).collect(),
        Change::All(all) => all.iter().flat_map(touched).collect(),
    }
}

/// Whether a key is one that may be changed at all.
pub fn may_change(touched: &str) -> bool {
    let below = |key: &str| touched == key || touched.strip_prefix(key).is_some_and(|r| r.starts_with('.'));
    let of = |table: &str, keys: &[&str]| {
        let rest = touched.strip_prefix(table).and_then(|r| r.split_once("].")).map(|(_, key)| key);
        rest.is_some_and(|r| keys.contains(&r))
    };
    KEYS.iter().any(|k| below(k)) || of("straps[", &STRAP_KEYS) || of("edge[", &EDGE_KEYS) || TABLES.contains(&touched)
}

/// Whether somebody asks to keep what a change touches: a key, a table or all below it.
pub fn is_kept(touched: &str, keep: &[String]) -> bool {
    let plain = touched.trim_matches(['[', ']']);
    keep.iter().any(|k| plain == k || plain.strip_prefix(k.as_str()).is_some_and(|r| r.starts_with(['.', '['])))
}

/// Changes worth trying for a cause with fails; the same change may be proposed for several.
pub fn proposals(ctx: &Context<'_>, cause: &Cause, findings: &[&Finding]) -> Vec<Proposal> {
    let its: Vec<&Finding> = cause
        .findings
        .iter()
        .filter_map(|f| findings.get(*f).copied())
        .filter(|f| f.verdict == Verdict::Fail)
        .collect();
    let mut all = by_the_checks(ctx, cause, &its);
    match cause.kind {
        CauseKind::CoursePlace | CauseKind::LineBare | CauseKind::MemberMissing | CauseKind::Part => {
            all.extend(courses(ctx, &its));
            all.extend(pattern(ctx));
        }
        CauseKind::FastenerLength | CauseKind::MemberSection => all.extend(lengths(ctx)),
        CauseKind::TapeWidth => all.extend(tapes(ctx)),
        CauseKind::StrapPlace => all.extend(straps(ctx, &cause.subject)),
        CauseKind::FastenerPattern => {
            all.extend(pattern(ctx));
            all.extend(predrilled(ctx));
        }
        CauseKind::BoardEnds => all.extend(predrilled(ctx)),
        CauseKind::Joints | CauseKind::EdgeReach | CauseKind::BayWidth => all.extend(joints(ctx)),
        CauseKind::Strength => all.extend(stronger(ctx)),
        CauseKind::Values | CauseKind::Knowledge | CauseKind::Air => {}
    }
    all
}

/// What the findings themselves propose, one by one and of each kind all together; and moves of their landings.
fn by_the_checks(ctx: &Context<'_>, cause: &Cause, its: &[&Finding]) -> Vec<Proposal> {
    let mut all: Vec<Proposal> = Vec::new();
    let mut own: Vec<&Mend> = Vec::new();
    for mend in its.iter().flat_map(|f| &f.mends) {
        if own.iter().all(|m| m.change != mend.change) {
            own.push(mend);
        }
    }
    let one = |m: &&Mend| Proposal { change: m.change.clone(), text: m.text.clone(), size: 0.0 };
    all.extend(own.iter().take(MOST_ALONE).map(one));
    let added: Vec<&&Mend> = own.iter().filter(|m| !matches!(m.change, Change::Set { .. })).collect();
    if added.len() > 1 {
        let change = Change::All(added.iter().map(|m| m.change.clone()).collect());
        let first = added.first().map_or("", |m| m.text.as_str());
        let text = format!("{first}; same at {} of {}", more_places(added.len() - 1), cause.subject);
        all.push(Proposal { change, text, size: 0.0 });
    }
    // A block is what a check proposes first; the fasteners may also go elsewhere.
    let moves: Vec<Mend> = landings(ctx, its).take(MOST_MOVED).filter_map(|(on, l)| moved(ctx, on, l)).collect();
    if let [first, rest @ ..] = moves.as_slice() {
        let more = if rest.is_empty() { String::new() } else { format!("; same at {}", more_places(rest.len())) };
        let text = format!("{}{more}", first.text);
        all.push(Proposal { change: Change::All(moves.into_iter().map(|m| m.change).collect()), text, size: 0.0 });
    }
    all
}

/// How many changes of single places are tried alone for a cause.
const MOST_ALONE: usize = 6;
/// For how many landings of a cause a move is looked for.
const MOST_MOVED: usize = 24;

fn more_places(n: usize) -> String {
    if n == 1 { "1 more place".to_owned() } else { format!("{n} more places") }
}

/// The landings that findings are about.
fn landings<'c, 'a>(
    ctx: &'c Context<'a>,
    its: &'c [&Finding],
) -> impl Iterator<Item = (&'c OnSlope<'a>, &'c crate::lattice::Landing)> {
    let names: BTreeSet<&str> = its.iter().filter_map(|f| f.parts.first()).map(String::as_str).collect();
    let of = move |on: &'c OnSlope<'a>| on.lattice.landings.iter().map(move |l| (on, l));
    let all = ctx.slopes.iter().flat_map(of);
    all.filter(move |(on, l)| names.contains(ctx.landing_name(on, l).as_str()))
}

/// The first and the last course where their fasteners just clear what they now meet or miss.
fn courses(ctx: &Context<'_>, its: &[&Finding]) -> Vec<Proposal> {
    let batten = &ctx.design.lattice.batten;
    let half = in_pattern(ctx.design, ctx.design.fastening.pattern.value).map(|(_, dy)| dy.abs()).fold(0.0, f64::max);
    let clear = [
        half + ctx.design.limits.edge_distance.metres(),
        half + ctx.design.fastening.head.metres() / 2.0,
        batten.width.metres() / 2.0,
    ];
    let most = batten.spacing.metres() / 2.0;
    let mark = change::mark(ctx.design.units);
    // How far a course goes up, in marks; and whether it is a regular one or the last.
    let mut shifts: BTreeSet<(bool, i64)> = BTreeSet::new();
    for f in its {
        let Some((on, place)) = f.place.and_then(|p| Some((ctx.slopes.get(p.slope.0)?, p))) else { continue };
        let y = place.at[1];
        let (low, high) = (0, on.lattice.courses.len().saturating_sub(1));
        let Some(n) = on.lattice.courses.iter().position(|c| (c.y - y).abs() < batten.width.metres()) else { continue };
        let is_last = n == if batten.start.value == StartEdge::Eave { high } else { low };
        for end in ends(ctx, on) {
            for c in clear {
                for (by, up) in [(end + c - y, true), (end - c - y, false)] {
                    let marks = if up { (by / mark - 1e-6).ceil() } else { (by / mark + 1e-6).floor() };
                    if (marks * mark).abs() <= most && marks != 0.0 {
                        shifts.insert((is_last, marks as i64));
                    }
                }
            }
        }
    }
    let mut shifts: Vec<(bool, i64)> = shifts.into_iter().collect();
    shifts.sort_by_key(|(last, marks)| (marks.abs(), *marks, *last));
    let propose = |(last, marks): (bool, i64)| {
        let by = marks as f64 * mark;
        let (key, now, name) = match last {
            true => ("lattice.batten.last", batten.last.metres(), "last"),
            false => ("lattice.batten.first", batten.first.metres(), "first"),
        };
        let from_eave = (batten.start.value == StartEdge::Eave) != last;
        let to = if from_eave { now + by } else { now - by };
        let shown = change::length(to, ctx.design.units);
        let text =
            format!("move the {name} course {} {}", ctx.show_marked(by.abs()), if by > 0.0 { "up" } else { "down" });
        let set = Change::Set { key: key.to_owned(), value: format!("\"{shown}\"") };
        (to > SAME).then_some(Proposal { change: set, text, size: by.abs() })
    };
    let mut all: Vec<Proposal> = shifts.into_iter().take(MOST_COURSES).filter_map(propose).collect();
    let (start, text) = match batten.start.value {
        StartEdge::Eave => ("\"top\"", "count the courses from the top"),
        StartEdge::Top => ("\"eave\"", "count the courses from the eave"),
    };
    all.push(Proposal { change: set("lattice.batten.start", start), text: text.to_owned(), size: most });
    all
}

/// How many places of a course are tried for a cause.
const MOST_COURSES: usize = 24;

/// Heights on a slope at which something ends that a fastener may be in or must miss.
fn ends(ctx: &Context<'_>, on: &OnSlope<'_>) -> Vec<f64> {
    let members = on.lattice.lines.iter().flat_map(|l| &l.found);
    let of = |m: &crate::lattice::LineMember| [m.path.first(), m.path.last()].map(|p| p.map(|p| p.0));
    let members = members.flat_map(of).flatten();
    let straps = ctx.structure.straps.iter().filter(|s| s.slope == on.id).flat_map(|s| [s.stretch.0, s.stretch.1]);
    let mut all: Vec<f64> = members.chain(straps).collect();
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| (*a - *b).abs() < SAME);
    all
}

fn set(key: &str, value: impl Into<String>) -> Change {
    Change::Set { key: key.to_owned(), value: value.into() }
}

fn length(ctx: &Context<'_>, metres: f64) -> String {
    format!("\"{}\"", change::length(metres, ctx.design.units))
}

/// Sizes in the design's units, as metres.
fn sizes(units: Units, inches: &[f64], millimetres: &[f64]) -> Vec<f64> {
    match units {
        Units::Inches => inches.iter().map(|v| Length::from_inches(*v).metres()).collect(),
        Units::Millimetres => millimetres.iter().map(|v| v / 1e3).collect(),
    }
}

/// Lengths of fasteners that are sold, and thinner and thicker ones.
fn lengths(ctx: &Context<'_>) -> Vec<Proposal> {
    let f = &ctx.design.fastening;
    let inches = [1.25, 1.5, 1.75, 2.0, 2.25, 2.375, 2.5, 2.75, 3.0, 3.25, 3.5, 3.75, 4.0, 4.5, 5.0, 5.5, 6.0];
    let metric =
        [30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0, 100.0, 110.0, 120.0, 140.0, 160.0];
    let now = f.length.metres();
    let mut all: Vec<f64> = sizes(ctx.design.units, &inches, &metric);
    all.retain(|l| (l - now).abs() > SAME && (l - now).abs() < FURTHEST);
    all.sort_by(|a, b| (a - now).abs().total_cmp(&(b - now).abs()));
    let propose = |l: &f64| Proposal {
        change: set("fastening.length", length(ctx, *l)),
        text: format!("use {} fasteners, {} long", if *l > now { "longer" } else { "shorter" }, ctx.show_marked(*l)),
        size: (l - now).abs(),
    };
    let lengths = all.iter().map(propose);
    let gauges = sizes(ctx.design.units, &[0.113, 0.12, 0.131, 0.148, 0.162], &[2.8, 3.1, 3.4, 3.8, 4.2]);
    let thinner = gauges.into_iter().filter(|d| *d < f.diameter.metres() - SAME && !f.kind.value.is_screw()).rev();
    let gauges = thinner.take(2).map(|d| Proposal {
        change: set("fastening.diameter", length(ctx, d)),
        text: format!("use thinner nails, {}", ctx.show(d)),
        size: f.diameter.metres() - d,
    });
    lengths.chain(gauges).collect()
}

/// How much longer or shorter a fastener is tried, metres: two inches.
const FURTHEST: f64 = 0.0508;

/// Tape and strips among the widths that are sold.
fn tapes(ctx: &Context<'_>) -> Vec<Proposal> {
    let now = ctx.design.lattice.tape.width.metres();
    let wider = sizes(ctx.design.units, &[2.0, 2.5, 3.0, 4.0, 6.0], &[50.0, 60.0, 75.0, 100.0, 150.0]);
    let wider = wider.into_iter().filter(|w| *w > now + SAME);
    let propose = |w: f64| Proposal {
        change: set("lattice.tape.width", length(ctx, w)),
        text: format!("use tape {} wide", ctx.show_marked(w)),
        size: w - now,
    };
    wider.map(propose).collect()
}

/// The fasteners of a landing otherwise, or further apart.
fn pattern(ctx: &Context<'_>) -> Vec<Proposal> {
    let f = &ctx.design.fastening;
    let mut all = Vec::new();
    for (other, words) in [
        (Pattern::Up, "drive the fasteners of a landing one above the other"),
        (Pattern::Across, "drive the fasteners of a landing side by side"),
        (Pattern::Diagonal, "drive the fasteners of a landing on the slant"),
    ] {
        if other != f.pattern.value && f.per_landing.value > 1 {
            let value = format!("\"{}\"", other.word());
            all.push(Proposal { change: set("fastening.pattern", value), text: words.to_owned(), size: 0.0 });
        }
    }
    let now = f.spread.metres();
    let wide = ctx.design.lattice.batten.width.metres() - 2.0 * ctx.design.limits.batten_edge.metres();
    for spread in sizes(ctx.design.units, &[1.0, 1.5, 2.0, 2.5], &[25.0, 40.0, 50.0, 65.0]) {
        if (spread - now).abs() > SAME && spread <= wide + SAME && f.per_landing.value > 1 {
            let text = format!("drive the fasteners of a landing {} apart", ctx.show_marked(spread));
            let change = set("fastening.spread", length(ctx, spread));
            all.push(Proposal { change, text, size: (spread - now).abs() });
        }
    }
    all
}

fn predrilled(ctx: &Context<'_>) -> Vec<Proposal> {
    let text = "drill the holes before driving".to_owned();
    let drilled = Proposal { change: set("fastening.predrilled", "true"), text, size: 0.0 };
    if ctx.design.fastening.predrilled.value { Vec::new() } else { vec![drilled] }
}

/// Where boards are joined, and from where they are laid.
fn joints(ctx: &Context<'_>) -> Vec<Proposal> {
    let batten = &ctx.design.lattice.batten;
    let mut all = Vec::new();
    let mut add = |key: &str, value: String, text: &str| {
        all.push(Proposal { change: set(key, value), text: text.to_owned(), size: 0.0 });
    };
    match batten.boards_from.value {
        BoardsFrom::Left => add("lattice.batten.boards_from", "\"right\"".into(), "lay the boards from the right"),
        BoardsFrom::Right => add("lattice.batten.boards_from", "\"left\"".into(), "lay the boards from the left"),
    }
    for (kind, text) in [
        (JointKind::Butt, "join the boards end to end over single members"),
        (JointKind::Doubled, "join the boards over doubled members only"),
        (JointKind::Lap, "lap the boards side by side"),
    ] {
        if kind != batten.joint.value {
            add("lattice.batten.joint", format!("\"{}\"", kind.word()), text);
        }
    }
    for stagger in 0..4usize {
        if stagger != batten.stagger.value {
            let text = format!("keep joints of {stagger} courses below off the same line");
            add("lattice.batten.stagger", stagger.to_string(), &text);
        }
    }
    all
}

/// Straps over both members that they tie, with their nails in both.
fn straps(ctx: &Context<'_>, subject: &str) -> Vec<Proposal> {
    let number =
        subject.strip_prefix("straps[").and_then(|r| r.strip_suffix(']')).and_then(|n| n.parse::<usize>().ok());
    let Some((n, field)) = number.and_then(|n| Some((n, ctx.design.straps.get(n.checked_sub(1)?)?))) else {
        return Vec::new();
    };
    let laid = ctx.design.laid.iter();
    if laid.filter(|l| l.what.contains(&LaidKind::Straps)).any(|l| l.slopes.iter().any(|s| field.slopes.contains(s))) {
        return Vec::new();
    }
    let key = |name: &str| format!("straps[{n}].{name}");
    let member = ctx.structure.members.iter().find(|m| m.kind == field.along.value);
    let seam = member.map_or(0.0, |m| m.section.width().metres() / 2.0);
    let mark = change::mark(ctx.design.units);
    let widest = field.width.metres() / 2.0 - field.nails.diameter.metres();
    let now = field.nails.stagger.metres();
    let wider = (1..).map(|k| ((now / mark).floor() + f64::from(k)) * mark).take_while(|s| *s <= widest + SAME);
    let staggers: Vec<Option<f64>> = std::iter::once(None).chain(wider.take(4).map(Some)).collect();
    let shift = field.shift.metres().abs();
    let mut places: Vec<Option<f64>> = vec![None, Some(shift), Some(seam)];
    places.dedup();
    let mut all = Vec::new();
    for place in &places {
        for stagger in &staggers {
            let mut changes = Vec::new();
            let mut words = Vec::new();
            if let Some(to) = place {
                if field.side.value != StrapSide::Rafter {
                    changes.push(set(&key("side"), "\"rafter\""));
                }
                if (field.shift.metres() - to).abs() > SAME {
                    changes.push(set(&key("shift"), length(ctx, *to)));
                }
                words.push(format!(
                    "shift each strap {} toward its rafter, whichever side that is on",
                    ctx.show_marked(*to)
                ));
            }
            if let Some(to) = stagger {
                changes.push(set(&key("nails.stagger"), length(ctx, *to)));
                words.push(format!("stagger its nails {}", ctx.show_marked(*to)));
            }
            let size = place.map_or(0.0, |p| (p - shift).abs()) + stagger.map_or(0.0, |s| s - now);
            if !changes.is_empty() {
                all.push(Proposal { change: Change::All(changes), text: words.join(", and "), size });
            }
        }
    }
    all
}

/// Fasteners that hold more.
fn stronger(ctx: &Context<'_>) -> Vec<Proposal> {
    let mut all = Vec::new();
    if ctx.design.fastening.kind.value == FastenerKind::Nail {
        let text = "use ring-shank nails of the same size".to_owned();
        all.push(Proposal { change: set("fastening.kind", "\"ring-shank nail\""), text, size: 0.0 });
    }
    let n = ctx.design.fastening.per_landing.value;
    if n < MOST_A_LANDING {
        let text = format!("drive {} fasteners in every landing", n + 1);
        all.push(Proposal { change: set("fastening.per_landing", (n + 1).to_string()), text, size: 0.0 });
    }
    all.extend(lengths(ctx));
    all
}

/// The most fasteners of a landing that are proposed: more split the batten.
const MOST_A_LANDING: usize = 3;
