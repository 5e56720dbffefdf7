//! The lines on a plan: their measures below and above, where they jog, bend and slant.
//!
//! Aim: a line snapped between the numbers on the sheet lies where the model has it. Limits: every jog is written out on a
//! plan, bends only among the first [`MOST_TURNS`] turns of a line; the measures have all.

use super::Set;
use super::draw::{Anchor, Canvas, Dash, FINE, HAIR, HEAVY, Ink, Pen, Point, Rect, Type, spread};
use super::plan::{Bounds, MARK, STEP};
use crate::quantity::{Length, Units};
use crate::scene::{LineMark, SettingOut, Stretch, differ};

/// Among so many turns of a line a plan writes out bends too, not jogs alone.
const MOST_TURNS: usize = 3;
/// How a slanted stretch is drawn.
pub const SLANT: Pen = Pen::new(FINE, Dash::DashDot, Ink::Black);
/// What lies between the drawing and the texts of the measures, millimetres, and past their lower ends.
const BESIDE: [f64; 2] = [8.0, 4.0];

/// A text beside the end of a line; `bold` where the line was found elsewhere than drawn.
struct Note {
    text: String,
    bold: bool,
}

/// What is written at the lower (0) or the upper (1) end of a line.
fn notes(line: &LineMark, end: usize, units: Units) -> Vec<Note> {
    let show = |v: f64| Length::from_metres(v).show(units);
    let turns = line.turns(units);
    if end == 1 && turns.is_empty() && !line.slants(units) {
        return Vec::new();
    }
    let x = line.x[end];
    let drawn = line.drawn.map(|d| d[end]).filter(|d| differ(*d, x, units));
    let mut how = String::new();
    let at_end = if end == 0 { line.stretches.first() } else { line.stretches.last() };
    if end == 1 && at_end.is_some_and(|s| differ(s.x[0], s.x[1], units)) {
        how.push_str(", slants");
    }
    if line.laid {
        how.push_str(", laid");
    }
    let mut all = vec![Note { text: format!("{}  {}{how}", line.name, show(x)), bold: drawn.is_some() }];
    let mut more = |text: String, bold: bool| all.push(Note { text: format!("   {text}"), bold });
    if let Some(d) = drawn {
        more(format!("drawn {}", show(d)), false);
    } else if line.drawn.is_none() {
        more("not in the drawing".to_owned(), false);
    }
    // One strip a text: together they are too long for the room beside a drawing.
    let beside = at_end.map_or(Vec::new(), |s| middles(s, end, units));
    for (k, middle) in beside.iter().enumerate() {
        more(if k == 0 { format!("{} strips: {middle}", beside.len()) } else { format!("and {middle}") }, false);
    }
    if end == 0 {
        let (shown, more_turns): (Vec<_>, Vec<_>) =
            turns.iter().enumerate().partition(|(k, turn)| turn.jogs || *k < MOST_TURNS);
        for (_, turn) in shown {
            let (at, to) = (show(turn.y), show(turn.to));
            match (turn.jogs, turn.strips) {
                (true, _) => more(format!("at {at} jogs to {to}"), false),
                (false, (a, b)) if a != b => more(format!("at {at}: {b} strips"), false),
                (false, _) => more(format!("at {at} bends at {to}"), !line.between.is_empty()),
            }
        }
        if !more_turns.is_empty() {
            more(format!("bends at {} more: see measures", more_turns.len()), false);
        }
    }
    all
}

/// The middles of strips side by side at an end of a stretch; nothing for a single strip.
pub fn middles(stretch: &Stretch, end: usize, units: Units) -> Vec<String> {
    let all = stretch.strips.iter().filter_map(|s| s.get(end)).map(|x| Length::from_metres(*x).show(units));
    if stretch.strips.len() > 1 { all.collect() } else { Vec::new() }
}

/// Room that the measures take below and above the drawing, millimetres.
pub fn room(slope: &SettingOut, units: Units) -> (f64, f64) {
    let width = |end: usize, beside: f64| {
        let texts = slope.lines.iter().flat_map(|l| notes(l, end, units));
        texts.map(|n| set_in(&n).width(&n.text) + beside).fold(0.0, f64::max)
    };
    (width(0, BESIDE[0]), width(1, BESIDE[1]))
}

fn set_in(note: &Note) -> Type {
    if note.bold { Type::bold(MARK.size) } else { MARK }
}

/// Every line from one edge: below where it begins, above where it turns aside or slants.
pub fn measures(
    set: &Set<'_>,
    slope: &SettingOut,
    at: &dyn Fn(f64, f64) -> Point,
    window: &Rect,
    (low, high): Bounds,
    canvas: &mut Canvas,
) {
    for end in [0_usize, 1] {
        let shows = |l: &&LineMark| {
            let inside = l.x[end] >= low.0 - 1e-9 && l.x[end] <= high.0 + 1e-9;
            inside && l.y[0] < high.1 && l.y[1] > low.1
        };
        let marks: Vec<(f64, Note)> = slope
            .lines
            .iter()
            .filter(shows)
            .flat_map(|l| notes(l, end, set.units()).into_iter().map(|n| (at(l.x[end], low.1).x, n)))
            .collect();
        if marks.is_empty() {
            continue;
        }
        let (edge, sign) = if end == 0 { (window.y1 + 2.5, 1.0) } else { (window.y0 - 2.5, -1.0) };
        let pen = Pen::black(FINE);
        canvas.line(&[Point::new(window.x0, edge), Point::new(window.x1, edge)], pen, "dimension");
        let wanted: Vec<f64> = marks.iter().map(|m| m.0).collect();
        let places = spread(&wanted, STEP, window.x0 - 14.0, window.x1 + 2.0);
        for ((x, note), to) in marks.iter().zip(places) {
            canvas.line(&[Point::new(*x, edge - 0.9), Point::new(*x, edge + 0.9)], pen, "dimension-tick");
            let (bend, foot) = (edge + sign * 1.2, edge + sign * 3.2);
            let leader = [Point::new(*x, edge), Point::new(*x, bend), Point::new(to, foot)];
            canvas.line(&leader, Pen::black(HAIR), "leader");
            let anchor = if end == 0 { Anchor::End } else { Anchor::Start };
            canvas.upright(Point::new(to + 0.75, foot + sign * 0.5), &note.text, set_in(note), anchor);
        }
    }
}

/// A step from one place to another, with a foot before it and one behind it.
pub fn jog(from: Point, to: Point) -> [Point; 4] {
    [Point::new(from.x, from.y + 1.6), from, to, Point::new(to.x, to.y - 1.6)]
}

/// Jogs, and stretches that slant, over the drawing.
pub fn chalk(slope: &SettingOut, units: Units, at: &dyn Fn(f64, f64) -> Point, canvas: &mut Canvas) {
    for line in &slope.lines {
        for s in line.stretches.iter().filter(|s| differ(s.x[0], s.x[1], units)) {
            let ends = vec![at(s.x[0], s.y[0]), at(s.x[1], s.y[1])];
            canvas.lines(vec![ends], SLANT, "slant", Some(&line.name));
        }
        for turn in line.turns(units).iter().filter(|t| t.jogs) {
            let step = jog(at(turn.from, turn.y), at(turn.to, turn.y));
            canvas.lines(vec![step.to_vec()], Pen::black(HEAVY), "jog", Some(&line.name));
        }
    }
}
