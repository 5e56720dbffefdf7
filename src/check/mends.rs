//! Mends: what would make a finding go, as words and as a change of the design file.
//!
//! Every mend here is a proposal that a re-run can try. None of them is engineering: an added block must still be held
//! in its place by whoever builds it.

use super::context::{Context, OnSlope};
use super::embedment_short;
use super::finding::{Help, Mend};
use super::probe::{Outcome, Shank, probe};
use crate::design::{Change, MemberKind, Pattern, Section, StripOverStrap, change};
use crate::lattice::{Fastener, Landing, On, Piece, in_pattern};
use crate::quantity::{Length, Units};
use crate::solid::tolerance::{DISTINCT, SAME};
use crate::solid::{Body, Point3, Vector3};
use crate::structure::{Member, State};

/// Rounds up to what a shop sells or a saw cuts: a quarter inch, or five millimetres.
pub fn rounded_up(ctx: &Context<'_>, metres: f64) -> f64 {
    let step = step(ctx);
    (metres / step - 1e-9).ceil() * step
}

/// Rounds down likewise.
pub fn rounded_down(ctx: &Context<'_>, metres: f64) -> f64 {
    let step = step(ctx);
    (metres / step + 1e-9).floor() * step
}

/// The step of sizes that a shop sells or a saw cuts.
pub fn step(ctx: &Context<'_>) -> f64 {
    match ctx.design.units {
        Units::Inches => 0.00635,
        Units::Millimetres => 0.005,
    }
}

fn mark(ctx: &Context<'_>) -> f64 {
    change::mark(ctx.design.units)
}

fn marked(ctx: &Context<'_>, metres: f64) -> f64 {
    (metres / mark(ctx)).round() * mark(ctx)
}

/// Rounds up to such a place.
pub fn marked_up(ctx: &Context<'_>, metres: f64) -> f64 {
    (metres / mark(ctx) - 1e-6).ceil() * mark(ctx)
}

/// Rounds down likewise.
pub fn marked_down(ctx: &Context<'_>, metres: f64) -> f64 {
    (metres / mark(ctx) + 1e-6).floor() * mark(ctx)
}

/// Sets a length.
pub fn set_length(ctx: &Context<'_>, key: &str, metres: f64, why: &str) -> Mend {
    let shown = change::length(metres, ctx.design.units);
    Mend {
        text: format!("{why}: {key} = \"{shown}\""),
        change: Change::Set { key: key.to_owned(), value: format!("\"{shown}\"") },
    }
}

/// Sets a word.
pub fn set_word(key: &str, value: &str, why: &str) -> Mend {
    Mend {
        text: format!("{why}: {key} = {value}"),
        change: Change::Set { key: key.to_owned(), value: value.to_owned() },
    }
}

/// Boards side by side instead of end to end, in words alone where neighbouring courses leave no room for two boards.
pub fn lapped(ctx: &Context<'_>) -> Help {
    let room = 2.0 * ctx.design.lattice.batten.width.metres() - SAME;
    let close = |on: &OnSlope<'_>| {
        let divided = |course: usize| on.lattice.pieces_of(course).len() > 1;
        let courses = &on.lattice.courses;
        (1..courses.len()).any(|k| courses[k].y - courses[k - 1].y < room && (divided(k) || divided(k - 1)))
    };
    if ctx.slopes.iter().any(close) {
        return advice("lap the boards side by side over the line, where courses leave room for two boards");
    }
    // Landings over joints get other places and names.
    if ctx.design.moves.iter().any(|m| m.landing.ends_with(".l") || m.landing.ends_with(".r")) {
        return advice("lap the boards side by side over the line, and write the moves of landings over joints anew");
    }
    let why = "lap the boards side by side over the line (they then lie in two rows: check again)";
    set_word("lattice.batten.joint", "\"lap\"", why).into()
}

/// That the solid of a part could not be built, in words.
pub fn unbuilt(name: &str) -> String {
    format!("the solid of {name} could not be built")
}

/// What to do about such a part.
pub fn look_at_its_table(name: &str) -> Help {
    advice(format!("look at the measures of {name}, and at the cuts of the edges that it meets"))
}

/// Work on the roof, or a choice that only a person makes: no key of the design tries it.
pub fn advice(text: impl Into<String>) -> Help {
    Help::Advice(text.into())
}

/// A fastener of another length.
pub fn fastener_length(ctx: &Context<'_>, metres: f64, costs_others: bool) -> Mend {
    let kind = if metres > ctx.design.fastening.length.metres() { "longer" } else { "shorter" };
    let note = if costs_others { " (elsewhere fasteners then end in a wrong place: check again)" } else { "" };
    set_length(ctx, "fastening.length", metres, &format!("use a {kind} fastener{note}"))
}

/// Fasteners one above the other instead of side by side, where every one of the landing's is then backed with its edge
/// distance. None where they already are, or where a landing has a place of its own in the design.
pub fn one_above_the_other(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Mend> {
    let index = ctx.structure.under.get(on.id.0)?;
    if ctx.design.fastening.pattern.value == Pattern::Up || !matches!(landing.on, On::Line(_)) {
        return None;
    }
    let held = |(dx, dy): (f64, f64)| {
        let at = Fastener { x: landing.x + dx, y: landing.y + dy };
        let backing = probe(index, &ctx.shank(on.piece(landing), &at));
        backing.outcome == Outcome::Backed && backing.room >= ctx.design.limits.edge_distance.metres() - SAME
    };
    let why = "drive them one above the other";
    in_pattern(ctx.design, Pattern::Up).all(held).then(|| set_word("fastening.pattern", "\"up\"", why))
}

/// The least longer fastener with which every one of a landing's is backed; none within [`FURTHER`].
pub fn longer_fastener(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Mend> {
    let index = ctx.structure.under.get(on.id.0)?;
    let now = ctx.design.fastening.length.metres();
    let backed = |length: f64| {
        let shank = |f| Shank { length, ..ctx.shank(on.piece(landing), f) };
        on.lattice.fasteners_of(landing).iter().all(|f| probe(index, &shank(f)).outcome == Outcome::Backed)
    };
    let mut lengths =
        (1..).map(|k| rounded_up(ctx, now + f64::from(k) * step(ctx))).take_while(|l| *l <= now + FURTHER);
    let longer = lengths.find(|l| backed(*l))?;
    Some(fastener_length(ctx, longer, !embedment_short::no_tip_comes_out(ctx, longer - now)))
}

/// How much longer a fastener is proposed at the most, metres: three inches.
const FURTHER: f64 = 0.0762;

/// A member whose wood is at least so deep below its upper face: of an I-joist its flange. None where no table of the
/// design asks for the member, or where it is as deep already.
pub fn deeper_member(ctx: &Context<'_>, member: &Member, metres: f64) -> Option<Mend> {
    let table = member.table.as_ref()?;
    let asked = Length::from_metres(rounded_up(ctx, metres));
    let units = ctx.design.units;
    let (section, what) = match member.section {
        Section::Sawn { width, depth } if depth < asked => (Section::Sawn { width, depth: asked }, "depth"),
        Section::IJoist { width, depth, flange, web } if flange < asked && asked * 2.0 < depth => {
            (Section::IJoist { width, depth, flange: asked, web }, "flange")
        }
        _ => return None,
    };
    Some(Mend {
        text: format!("make the {what} of members such as {} at least {}", member.name, asked.show_fine(units)),
        change: Change::Set { key: format!("{}.section", table.key), value: change::section(&section, units) },
    })
}

/// Notches strips over straps, where a single field of straps raises them.
pub fn notched(ctx: &Context<'_>, on: &OnSlope<'_>) -> Option<Mend> {
    let raised = |s: &&crate::structure::Strap| s.slope == on.id && s.strip == StripOverStrap::Raised;
    let mut fields: Vec<usize> = ctx.structure.straps.iter().filter(raised).map(|s| s.field).collect();
    fields.dedup();
    let [field] = fields.as_slice() else { return None };
    Some(set_word(&format!("straps[{}].strip", field + 1), "\"notched\"", "notch the strips over the straps"))
}

/// A member that the drawing has and that was not found, put in as drawn.
fn as_drawn(ctx: &Context<'_>, member: &Member) -> Option<Mend> {
    let slope = ctx.design.slopes.get(member.home?.0)?;
    let at = member.pose.translation.vector;
    let along = member.pose.rotation * crate::solid::Vector3::y() * member.length;
    let drop = ctx.structure.framing_level - at.z;
    let ends = [(at.x, at.y), (at.x + along.x, at.y + along.y)];
    let units = ctx.design.units;
    let lines = change::added_member(member.kind, &slope.name, &member.section, ends, drop, units);
    Some(Mend {
        text: format!("put a {} in where the drawing has {}", member.kind.word(), member.name),
        change: Change::Append(lines),
    })
}

/// The member that the drawing has under a landing on a line and that was not found, put in as drawn.
pub fn missing_put_in(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Mend> {
    let line = on.line(landing)?;
    let missing = line.members(State::Drawn).iter().find_map(|m| {
        let member = ctx.drawn.member(m.member)?;
        let gone = ctx.structure.member(m.member).is_some_and(|f| f.missing);
        (gone && m.covers(landing.y)).then_some(member)
    })?;
    as_drawn(ctx, missing)
}

/// Free stretch at a height round a place: from the nearest member's side on the left to that on the right, or to the
/// outline, over a band as wide as a block. Asked of the solids, a hair below the framing's plane. `None` where something
/// is in the way at the place itself.
fn bay(ctx: &Context<'_>, on: &OnSlope<'_>, x: f64, y: f64, half: f64) -> Option<(f64, f64)> {
    let index = ctx.structure.under.get(on.id.0)?;
    let (mut left, mut right) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut blocked = false;
    for at in [y - half + SAME, y, y + half - SAME] {
        let (l, r) =
            on.frame.outline.along_x(at).into_iter().map(|(l, r)| (l.0, r.0)).find(|(l, r)| *l < x && x < *r)?;
        // A block is short: no further than this are neighbours looked for.
        let (l, r) = (l.max(x - LONGEST_BLOCK), r.min(x + LONGEST_BLOCK));
        (left, right) = (left.max(l), right.min(r));
        // From a place left of all that may be near, since a line finds only what lies ahead.
        let start = Point3::new(l - 1.0, at, ctx.structure.framing_level - HAIR);
        index.near((l, r), (at - SAME, at + SAME), |entry| {
            if let Some(c) = entry.body.chord(&start, &Vector3::x()) {
                let (from, to) = (start.x + c.enter, start.x + c.leave);
                if to <= x {
                    left = left.max(to);
                } else if from >= x {
                    right = right.min(from);
                } else {
                    blocked = true;
                }
            }
        });
    }
    (!blocked && right - left > 0.03).then_some((left, right))
}

/// Whether nothing is in the place of a block down to its depth: a hip or valley rafter lies lower than the others.
fn is_free(ctx: &Context<'_>, on: &OnSlope<'_>, x: (f64, f64), y: (f64, f64), depth: f64) -> bool {
    let Some(index) = ctx.structure.under.get(on.id.0) else { return false };
    let top = ctx.structure.framing_level;
    let block = Body::between(Point3::new(x.0, y.0, top - depth), Point3::new(x.1, y.1, top));
    let mut free = true;
    index.near(x, y, |entry| free = free && entry.body.depth(&block, DISTINCT).is_none());
    free
}

/// Longest reach of a block to either side of what it should hold, metres.
const LONGEST_BLOCK: f64 = 3.0;

/// How far below the framing's plane neighbours are looked for, metres.
const HAIR: f64 = 1e-3;

/// A block across the bay under a place of a course, wide enough for the landing's fasteners as they stand.
/// `spread_up`: how far the fasteners stand apart up the slope. None where the fasteners would be too short for any block.
pub fn block_under(
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    piece: &Piece,
    (x, y): (f64, f64),
    spread_up: f64,
) -> Option<(String, (f64, f64))> {
    let design = ctx.design;
    let edge = design.limits.edge_distance.metres();
    let width = rounded_up(ctx, (spread_up + 2.0 * edge + 0.006).max(0.0381));
    // Deep enough that the tip stays inside.
    let above = ctx.lattice.levels.batten + piece.lift - ctx.structure.framing_level;
    if design.fastening.length.metres() - above < design.limits.embedment.metres() - SAME {
        return None;
    }
    let depth = rounded_up(ctx, (design.fastening.length.metres() - above + 0.0127).max(0.0889));
    // To marks inside the bay, so that the block fits.
    let (left, right) = bay(ctx, on, x, y, width / 2.0)?;
    let (left, right) = (marked_up(ctx, left), marked_down(ctx, right));
    if right <= left || !is_free(ctx, on, (left, right), (y - width / 2.0, y + width / 2.0), depth) {
        return None;
    }
    let slope = design.slopes.get(on.id.0)?;
    let section = Section::Sawn { width: Length::from_metres(width), depth: Length::from_metres(depth) };
    let ends = [(left, y), (right, y)];
    let lines = change::added_member(MemberKind::Block, &slope.name, &section, ends, 0.0, design.units);
    Some((lines, (left, right)))
}

/// A block with a landing of its own at each of several places of a piece, or as near to it as the block lets its fasteners
/// stand; and these places.
pub fn blocks_with_landings(
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    piece: &Piece,
    places: &[f64],
) -> Option<(Mend, Vec<f64>)> {
    let course = on.lattice.courses.get(piece.course as usize)?;
    // Along a block fasteners stand side by side.
    let beside = in_pattern(ctx.design, Pattern::Across).map(|(dx, _)| dx.abs()).fold(0.0, f64::max);
    let keep = beside + ctx.design.limits.edge_distance.metres();
    let mut lines = String::new();
    let mut done: Vec<(f64, f64)> = Vec::new();
    let mut stands = Vec::new();
    for x in places {
        let there = done.iter().find(|(a, b)| a < x && x < b).copied();
        let (from, to) = match there {
            Some(stretch) => stretch,
            None => {
                let (block, stretch) = block_under(ctx, on, piece, (*x, piece.y), 0.0)?;
                lines.push_str(&block);
                done.push(stretch);
                stretch
            }
        };
        let (low, high) = (marked_up(ctx, from + keep), marked_down(ctx, to - keep));
        if low > high {
            return None;
        }
        let at = marked(ctx, *x).max(low).min(high);
        // Where boards lap it would be a landing of the other one too.
        let other = |p: &Piece| p.course == piece.course && p.name != piece.name && p.x.0 <= at && at <= p.x.1;
        if on.lattice.pieces.iter().any(other) {
            return None;
        }
        if !stands.contains(&at) {
            lines.push_str(&change::single_landing(&course.name, at, ctx.design.units));
            stands.push(at);
        }
    }
    let n = stands.len();
    let text = format!(
        "put {} under course {} and fasten the batten to {}",
        if done.len() == 1 { "a block".to_owned() } else { format!("{} blocks", done.len()) },
        course.name,
        match (done.len(), n) {
            (1, 1) => "it".to_owned(),
            (1, _) => format!("it in {n} places"),
            _ => format!("them in {n} places"),
        },
    );
    Some((Mend { text, change: Change::Append(lines) }, stands))
}
