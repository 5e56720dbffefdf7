//! A slope from above: what goes where.
//!
//! Aim: the sheet that lies on the roof. Reason: every mark carries the name that it has in the model, every number is
//! measured from one edge. Limits: a slope too long for the paper at a scale that can still be read is split at match
//! lines; a text for which there is no room is left out and counted, and stands in the tables of the sheets of measures.

use std::collections::BTreeMap;

use super::draw::{Anchor, Canvas, Dash, FINE, HAIR, HEAVY, Ink, MEDIUM, Pen, Point, Rect, Type, spread, text_box};
use super::font::{Weight, wrapped};
use super::kinds::{Above, drawn};
use super::scale::{Scale, fitting, usual};
use super::{Owner, Parts, Set, Sheet, Solid, Subject, View, frame, plan_lines};
use crate::check::Verdict;
use crate::quantity::maths::{atan2, hypot, sin_cos, tan};
use crate::quantity::{Length, Units};
use crate::scene::{FindingRecord, PartKind, SettingOut, ranges};
use crate::solid::{Mesh, Point2, convex_hull, unit_normal};

/// Widths round the drawn window, millimetres: for course measures, slope length, eave length and line measures.
const LEFT: f64 = 26.0;
const RIGHT: f64 = 5.5;
const TOP: f64 = 8.0;
const BOTTOM: f64 = 31.0;
/// Width of the legend.
const LEGEND: f64 = 38.0;
/// The smallest scale at which every text still has its place: one quarter inch to the foot, or 1:50.
const COARSEST: f64 = 50.0;
/// Most sheets for one slope before a smaller scale is taken.
const MOST_WINDOWS: usize = 24;
/// Least distance of two measures side by side.
pub(super) const STEP: f64 = 2.45;

const NOTE: Type = Type::regular(2.0);
pub(super) const MARK: Type = Type::regular(2.1);

/// How the plan of a slope lies on its sheets.
struct Layout {
    scale: Scale,
    columns: usize,
    rows: usize,
    /// Where windows begin and end, metres: across and up.
    cuts: (Vec<f64>, Vec<f64>),
    /// Bounds of the slope, metres.
    low: (f64, f64),
    high: (f64, f64),
    area: Rect,
    top: f64,
    bottom: f64,
}

impl Layout {
    fn of(set: &Set<'_>, slope: &SettingOut) -> Layout {
        let area = frame::area(set);
        let (low, high) = bounds(slope);
        let size = (high.0 - low.0, high.1 - low.1);
        let (below, above) = plan_lines::room(slope, set.units());
        let (top, bottom) = (TOP + above, BOTTOM.max(below));
        let room = (area.width() - LEGEND - LEFT - RIGHT, area.height() - top - bottom);
        let whole = fitting(set.units(), size, room, 8.0);
        let lines: Vec<f64> = slope.lines.iter().map(|l| (l.x[0] + l.x[1]) / 2.0).collect();
        let courses: Vec<f64> = slope.courses.iter().map(|c| c.y).collect();
        let split = |s: Scale| {
            let (across, up) = (room.0 / s.paper(1.0), room.1 / s.paper(1.0));
            (cuts(low.0, high.0, across, &lines), cuts(low.1, high.1, up, &courses))
        };
        let windows = |s: Scale| {
            let (x, y) = split(s);
            (x.len() - 1, y.len() - 1)
        };
        let mut scale = whole;
        if whole.factor > COARSEST {
            // The smallest scale that still reads well, unless that takes too many sheets.
            let fit = |s: &&Scale| {
                let (c, r) = windows(**s);
                s.factor >= COARSEST * 0.95 && c * r <= MOST_WINDOWS
            };
            let least = usual(set.units()).iter().find(fit).copied().unwrap_or(whole);
            // Of the scales that take no more sheets the largest.
            let (c, r) = windows(least);
            let same = |s: &&Scale| {
                let (c2, r2) = windows(**s);
                s.factor >= 8.0 && c2 * r2 <= c * r
            };
            scale = usual(set.units()).iter().find(same).copied().unwrap_or(least);
        }
        let (columns, rows) = windows(scale);
        Layout { scale, columns, rows, cuts: split(scale), low, high, area, top, bottom }
    }

    /// The window (metres) of one sheet.
    fn window(&self, column: usize, row: usize) -> ((f64, f64), (f64, f64)) {
        let part = |cuts: &[f64], k: usize| {
            let at = |k: usize| cuts.get(k).copied().unwrap_or_default();
            (at(k), at(k + 1))
        };
        let (x, y) = (part(&self.cuts.0, column), part(&self.cuts.1, row));
        ((x.0, y.0), (x.1, y.1))
    }
}

/// Where a length is cut so that no part is longer than `room`: evenly, but half-way between two marks, so that no mark
/// falls on a match line. The first and the last are the length's own ends; there are always two at least.
fn cuts(low: f64, high: f64, room: f64, marks: &[f64]) -> Vec<f64> {
    let mut sorted = marks.to_vec();
    sorted.sort_by(f64::total_cmp);
    let between: Vec<f64> = sorted.windows(2).filter(|w| w[1] - w[0] > 0.1).map(|w| (w[0] + w[1]) / 2.0).collect();
    let least = ((high - low) / room - 1e-9).ceil().clamp(1.0, 1e4) as usize;
    for n in least..least + 3 {
        let even = |k: usize| low + (high - low) * k as f64 / n as f64;
        let mut all = vec![low];
        for k in 1..n {
            let near = between.iter().copied().min_by(|a, b| (a - even(k)).abs().total_cmp(&(b - even(k)).abs()));
            let last = all.last().copied().unwrap_or(low);
            all.push(near.filter(|x| *x > last && *x < high).unwrap_or(even(k)));
        }
        all.push(high);
        if all.windows(2).all(|w| w[1] - w[0] <= room + 1e-9) {
            return all;
        }
    }
    (0..=least).map(|k| low + (high - low) * k as f64 / least as f64).collect()
}

/// Least and greatest x and y of the outline.
fn bounds(slope: &SettingOut) -> ((f64, f64), (f64, f64)) {
    let start = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
    let found = slope
        .edges
        .iter()
        .flat_map(|e| e.ends)
        .fold(start, |(a, b), p| ((a.0.min(p[0]), a.1.min(p[1])), (b.0.max(p[0]), b.1.max(p[1]))));
    if found.0.0 <= found.1.0 { found } else { ((0.0, 0.0), (1.0, 1.0)) }
}

/// The plan sheets of a slope.
pub fn sheets(set: &Set<'_>, slope: &SettingOut, parts: &Parts) -> Vec<Sheet> {
    let layout = Layout::of(set, slope);
    let many = layout.columns * layout.rows > 1;
    let mut all = Vec::new();
    for row in 0..layout.rows {
        for column in 0..layout.columns {
            let index = row * layout.columns + column;
            let mut canvas = Canvas::new();
            let view = draw(set, slope, parts, &layout, (column, row), &mut canvas);
            let of =
                if many { format!(", part {} of {}", index + 1, layout.columns * layout.rows) } else { String::new() };
            let part = if many { format!("-{}", index + 1) } else { String::new() };
            all.push(Sheet {
                name: format!("{}-plan{part}", slope.slope),
                title: format!("Slope {}: plan{of}", slope.slope),
                subject: Subject::Plan,
                slope: Some(slope.slope.clone()),
                size: set.paper.size(),
                views: vec![view],
                items: canvas.items,
            });
        }
    }
    all
}

fn draw(
    set: &Set<'_>,
    slope: &SettingOut,
    parts: &Parts,
    layout: &Layout,
    (column, row): (usize, usize),
    canvas: &mut Canvas,
) -> View {
    let units = set.units();
    let (low, high) = layout.window(column, row);
    let scale = layout.scale;
    let (w, h) = (scale.paper(high.0 - low.0), scale.paper(high.1 - low.1));
    let area = &layout.area;
    let room = Rect::new(area.x0 + LEFT, area.y0 + layout.top, area.x1 - LEGEND - RIGHT, area.y1 - layout.bottom);
    let left = room.x0 + (room.width() - w).max(0.0) / 2.0;
    let bottom = room.y0 + h + (room.height() - h).max(0.0) / 2.0;
    let f = 1000.0 / scale.factor;
    let rows = [[f, 0.0, 0.0, left - low.0 * f], [0.0, -f, 0.0, bottom + low.1 * f]];
    let at = |x: f64, y: f64| Point::new(f * x + rows[0][3], -f * y + rows[1][3]);
    let window = Rect::new(left, bottom - h, left + w, bottom);
    let bleed = window.inset(-1.2);

    canvas.clip = Some(bleed);
    drawn_parts(parts, &at, Some(Window { low, high }), canvas);
    outline(slope, &at, canvas);
    openings(slope, &at, canvas);
    plan_lines::chalk(slope, units, &at, canvas);
    canvas.clip = None;
    match_lines(layout, (column, row), &window, canvas);

    let notes = Rect::new(area.x1 - LEGEND + 1.0, area.y0, area.x1, area.y1);
    canvas.taken.push(notes);
    plan_lines::measures(set, slope, &at, &window, (low, high), canvas);
    course_measures(set, slope, &at, &window, (low, high), canvas);
    overall(slope, units, &at, &window, layout, (low, high), canvas);

    let inside = Rect::new(window.x0 - 1.5, window.y0 - 4.0, window.x1 + 1.6, window.y1 + 1.5);
    let unplaced = flags(set, slope, &at, (low, high), &inside, canvas);
    let openings = opening_labels(set, slope, &at, &window, canvas);
    let left_out = piece_labels(slope, units, &at, scale, (low, high), &window, canvas);
    legend(set, slope, &notes, (&unplaced, left_out, openings), canvas);
    View { name: format!("plan of slope {}", slope.slope), scale: Some(scale), rows }
}

/// A window on a slope, metres.
#[derive(Clone, Copy, Debug)]
pub struct Window {
    /// Lower left corner.
    pub low: (f64, f64),
    /// Upper right corner.
    pub high: (f64, f64),
}

impl Window {
    /// Whether a part may show in it.
    fn shows(&self, mesh: &Mesh) -> bool {
        let reach = 0.1;
        mesh.bounds().is_some_and(|(a, b)| {
            a.x < self.high.0 + reach
                && b.x > self.low.0 - reach
                && a.y < self.high.1 + reach
                && b.y > self.low.1 - reach
        })
    }
}

/// The parts that show in a window (or all), from the inside out.
pub fn drawn_parts(parts: &Parts, at: &dyn Fn(f64, f64) -> Point, window: Option<Window>, canvas: &mut Canvas) {
    let shown: Vec<&Solid> = parts.list.iter().filter(|s| window.is_none_or(|w| w.shows(&s.mesh))).collect();
    for solid in &shown {
        let Some(above) = drawn(solid.kind).above else { continue };
        let here = match solid.owner {
            Owner::Slope => true,
            Owner::Building => matches!(above, Above::Below(..)) && below(&solid.mesh),
            Owner::Neighbour => false,
        };
        if !here {
            continue;
        }
        let rings: Vec<Vec<Point>> =
            footprint(solid).iter().map(|r| r.iter().map(|p| at(p.x, p.y)).collect()).collect();
        let name = solid.name.as_str();
        match above {
            Above::Below(pen, class) => {
                let closed = rings.into_iter().map(|mut r| {
                    r.extend(r.first().copied());
                    r
                });
                canvas.lines(closed.collect(), pen, class, Some(name));
            }
            Above::Shape(pattern, class) => pattern.shape(&rings, class, name, canvas),
            Above::Dots(radius, pattern, class) => {
                for c in rings.iter().filter_map(|r| middle(r)) {
                    if canvas.clip.is_none_or(|clip| clip.holds(&Rect::about(c, 0.1, 0.1))) {
                        canvas.circle(c, radius, pattern.pen, pattern.fill, class);
                    }
                }
            }
        }
    }
    // Straps that lie on the tape show through the battens above them, as a line.
    for solid in shown.iter().filter(|s| s.owner == Owner::Slope && s.kind == PartKind::Strap) {
        let rings: Vec<Vec<Point>> =
            footprint(solid).iter().map(|r| r.iter().chain(r.first()).map(|p| at(p.x, p.y)).collect()).collect();
        canvas.lines(rings, Pen::new(HAIR, Dash::Dashed, Ink::Black), "strap below", None);
    }
}

/// Whether a part reaches under the membrane within a hand of it.
fn below(mesh: &Mesh) -> bool {
    mesh.bounds().is_some_and(|(low, high)| low.z < 0.0 && high.z > -0.35)
}

fn middle(ring: &[Point]) -> Option<Point> {
    let n = ring.len() as f64;
    (n > 0.0).then(|| {
        let sum = ring.iter().fold((0.0, 0.0), |s, p| (s.0 + p.x, s.1 + p.y));
        Point::new(sum.0 / n, sum.1 / n)
    })
}

/// The outline of a part seen along z: of its upper faces where it has level ones, else of all its corners.
fn footprint(solid: &Solid) -> Vec<Vec<Point2>> {
    let mesh = &solid.mesh;
    let Some((_, high)) = mesh.bounds() else { return Vec::new() };
    // Edges that one level upper triangle has to itself.
    let mut edges: BTreeMap<(u32, u32), u32> = BTreeMap::new();
    for t in &mesh.triangles {
        let Some(corners) = mesh.corners(*t) else { continue };
        let upper = corners.iter().all(|c| c.z > high.z - 0.004) && unit_normal(corners).z > 0.9;
        if upper {
            for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                if edges.remove(&(b, a)).is_none() {
                    edges.insert((a, b), b);
                }
            }
        }
    }
    let mut next: BTreeMap<u32, Vec<u32>> = BTreeMap::new();
    for (a, b) in edges.keys() {
        next.entry(*a).or_default().push(*b);
    }
    let mut rings = Vec::new();
    while let Some((start, _)) = next.first_key_value() {
        let start = *start;
        let mut ring = Vec::new();
        let mut here = start;
        while let Some(to) = next.get_mut(&here).and_then(Vec::pop) {
            if next.get(&here).is_some_and(Vec::is_empty) {
                next.remove(&here);
            }
            if let Some(p) = mesh.positions.get(here as usize) {
                ring.push(Point2::new(p.x, p.y));
            }
            here = to;
            if here == start {
                break;
            }
        }
        next.retain(|_, v| !v.is_empty());
        if ring.len() > 2 {
            rings.push(ring);
        }
    }
    if rings.is_empty() { vec![hull(mesh)] } else { rings }
}

/// The convex hull of a mesh's corners seen along z, counter-clockwise.
fn hull(mesh: &Mesh) -> Vec<Point2> {
    let corners = mesh.positions.iter().map(|p| [p.x, p.y]).collect();
    convex_hull(corners, 1e-12).into_iter().map(Point2::from).collect()
}

/// The outline, each edge in its own way; their names stand in the overall dimensions.
pub fn outline(slope: &SettingOut, at: &dyn Fn(f64, f64) -> Point, canvas: &mut Canvas) {
    for e in &slope.edges {
        let [a, b] = e.ends;
        canvas.lines(vec![vec![at(a[0], a[1]), at(b[0], b[1])]], Pen::black(HEAVY), "outline", Some(e.kind));
    }
}

/// Openings with their diagonals.
pub fn openings(slope: &SettingOut, at: &dyn Fn(f64, f64) -> Point, canvas: &mut Canvas) {
    for o in &slope.openings {
        let c = |x: f64, y: f64| at(x, y);
        let ring = vec![c(o.low[0], o.low[1]), c(o.high[0], o.low[1]), c(o.high[0], o.high[1]), c(o.low[0], o.high[1])];
        canvas.shape(&[ring], Some(Pen::black(HEAVY)), Some(Ink::White), "opening", Some(&o.name));
        let diagonals = vec![
            vec![c(o.low[0], o.low[1]), c(o.high[0], o.high[1])],
            vec![c(o.low[0], o.high[1]), c(o.high[0], o.low[1])],
        ];
        canvas.lines(diagonals, Pen::black(HAIR), "opening cross", None);
    }
}

fn match_lines(layout: &Layout, (column, row): (usize, usize), window: &Rect, canvas: &mut Canvas) {
    let pen = Pen::new(HEAVY, Dash::DashDot, Ink::Black);
    let other = |c: usize, r: usize| format!("match line: continued on part {}", r * layout.columns + c + 1);
    let set = Type::bold(2.0);
    for (there, x, c) in
        [(column > 0, window.x0, column.wrapping_sub(1)), (column + 1 < layout.columns, window.x1, column + 1)]
    {
        if there {
            canvas.line(&[Point::new(x, window.y0 - 2.0), Point::new(x, window.y1 + 2.0)], pen, "match line");
            let x = if x == window.x0 { x + 2.6 } else { x - 1.2 };
            let (at, text) = (Point::new(x, window.y1 - 12.0), other(c, row));
            let ground = text_box(at, &text, set, Anchor::Start, 90.0).inset(-0.4);
            canvas.rect(&ground, None, Some(Ink::White), "ground");
            canvas.taken.push(ground);
            canvas.upright(at, &text, set, Anchor::Start);
        }
    }
    for (there, y, r) in [(row > 0, window.y1, row.wrapping_sub(1)), (row + 1 < layout.rows, window.y0, row + 1)] {
        if there {
            canvas.line(&[Point::new(window.x0 - 2.0, y), Point::new(window.x1 + 2.0, y)], pen, "match line");
            let y = if y == window.y1 { y - 1.0 } else { y + 2.4 };
            let (at, text) = (Point::new(window.x0 + 12.0, y), other(column, r));
            let ground = text_box(at, &text, set, Anchor::Start, 0.0).inset(-0.4);
            canvas.rect(&ground, None, Some(Ink::White), "ground");
            canvas.taken.push(ground);
            canvas.text(at, &text, set, Anchor::Start);
        }
    }
}

pub(super) type Bounds = ((f64, f64), (f64, f64));

/// Every course from the eave line.
fn course_measures(
    set: &Set<'_>,
    slope: &SettingOut,
    at: &dyn Fn(f64, f64) -> Point,
    window: &Rect,
    (low, high): Bounds,
    canvas: &mut Canvas,
) {
    let units = set.units();
    // Upwards on paper is downwards in y: from the top course on.
    let marks: Vec<(f64, String)> = slope
        .courses
        .iter()
        .rev()
        .filter(|c| c.y >= low.1 - 1e-9 && c.y <= high.1 + 1e-9)
        .filter(|c| c.pieces.iter().any(|p| p.x[0] < high.0 && p.x[1] > low.0))
        .map(|c| (at(low.0, c.y).y, format!("{}  {}", c.name, Length::from_metres(c.y).show(units))))
        .collect();
    let edge = window.x0 - 2.5;
    let pen = Pen::black(FINE);
    canvas.line(&[Point::new(edge, window.y0), Point::new(edge, window.y1)], pen, "dimension");
    let wanted: Vec<f64> = marks.iter().map(|m| m.0).collect();
    for ((y, text), to) in marks.iter().zip(spread(&wanted, STEP, window.y0 - 1.0, window.y1 + 1.0)) {
        canvas.line(&[Point::new(edge - 0.9, *y), Point::new(edge + 0.9, *y)], pen, "dimension-tick");
        canvas.line(&[Point::new(edge, *y), Point::new(edge - 3.0, to)], Pen::black(HAIR), "leader");
        canvas.text(Point::new(edge - 3.4, to + 0.75), text, MARK, Anchor::End);
    }
}

/// The whole length and height, and the edges' names.
fn overall(
    slope: &SettingOut,
    units: Units,
    at: &dyn Fn(f64, f64) -> Point,
    window: &Rect,
    layout: &Layout,
    (low, high): Bounds,
    canvas: &mut Canvas,
) {
    let show = |v: f64| Length::from_metres(v).show(units);
    let pen = Pen::black(FINE);
    // A dimension line over a part of the slope says which part.
    let words = |part: (f64, f64), all: (f64, f64), cuts: usize, along: &str| {
        let whole = show(all.1 - all.0);
        match cuts {
            1 => format!("{whole} {along}, over all"),
            _ => format!("{} to {} of {whole} {along}", show(part.0 - all.0), show(part.1 - all.0)),
        }
    };
    let x = window.x1 + 2.2;
    let (y0, y1) = (window.y1, window.y0);
    canvas.line(&[Point::new(x, y0), Point::new(x, y1)], pen, "dimension");
    for y in [y0, y1] {
        canvas.line(&[Point::new(x - 1.0, y), Point::new(x + 1.0, y)], pen, "dimension-tick");
    }
    let text = words((low.1, high.1), (layout.low.1, layout.high.1), layout.rows, "up the slope");
    canvas.upright(Point::new(x + 2.6, (y0 + y1) / 2.0), &text, MARK, Anchor::Middle);
    let y = layout.area.y0 + 4.2;
    let (x0, x1) = (window.x0, window.x1);
    canvas.line(&[Point::new(x0, y), Point::new(x1, y)], pen, "dimension");
    for x in [x0, x1] {
        canvas.line(&[Point::new(x, y - 1.0), Point::new(x, y + 1.0)], pen, "dimension-tick");
    }
    let text = words((low.0, high.0), (layout.low.0, layout.high.0), layout.columns, "along the eave");
    canvas.text(Point::new((x0 + x1) / 2.0, y - 0.8), &text, MARK, Anchor::Middle);
    // Edges aslant carry their own length.
    for e in &slope.edges {
        let [a, b] = e.ends;
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let text = format!("edge {}, {}: {}", e.number, e.kind, show(hypot(dx, dy)));
        let (p, q) = (at(a[0], a[1]), at(b[0], b[1]));
        let middle = Point::new((p.x + q.x) / 2.0, (p.y + q.y) / 2.0);
        if !window.inset(-0.5).holds(&Rect::about(middle, 0.1, 0.1)) {
            continue;
        }
        // Outside of the outline: corners run counter-clockwise, so outside is to the right of the way.
        let long = hypot(dx, dy).max(1e-9);
        let (nx, ny) = (dy / long, -dx / long);
        let angle = {
            let a = atan2(dy, dx).to_degrees();
            if a > 90.5 {
                a - 180.0
            } else if a < -89.5 {
                a + 180.0
            } else {
                a
            }
        };
        let aslant = dx.abs() > 1e-6 && dy.abs() > 1e-6;
        if aslant {
            let off = 2.2;
            let (sin, cos) = sin_cos(angle.to_radians());
            // The text's line lies half a capital below its middle.
            let base = Point::new(middle.x + nx * off + sin * 0.8, middle.y - ny * off + cos * 0.8);
            canvas.turned(base, &text, NOTE, Anchor::Middle, angle);
        }
    }
}

/// Findings with a place on this slope, those at one place together: place, numbers, whether any fails.
pub fn flagged(findings: &[FindingRecord], slope: &str) -> Vec<([f64; 3], Vec<usize>, bool)> {
    let mut places: Vec<([f64; 3], Vec<usize>, bool)> = Vec::new();
    for f in findings {
        let Some(p) = f.place.as_ref().filter(|p| p.slope == slope) else { continue };
        let fails = f.verdict == Verdict::Fail;
        let near = |q: &[f64; 3]| hypot(q[0] - p.on_slope[0], q[1] - p.on_slope[1]) < 0.06;
        match places.iter_mut().find(|(q, ..)| near(q)) {
            Some((_, numbers, any)) => {
                numbers.push(f.number);
                *any |= fails;
            }
            None => places.push((p.on_slope, vec![f.number], fails)),
        }
    }
    places
}

/// Numbers as a flag shows them.
pub fn flag_text(numbers: &[usize]) -> String {
    match numbers {
        [] => String::new(),
        [a, rest @ ..] if rest.len() > 3 => format!("{a} +{}", rest.len()),
        all => all.iter().map(usize::to_string).collect::<Vec<_>>().join(" "),
    }
}

/// Draws the flags; hands back the numbers for which there was no room.
fn flags(
    set: &Set<'_>,
    slope: &SettingOut,
    at: &dyn Fn(f64, f64) -> Point,
    (low, high): Bounds,
    within: &Rect,
    canvas: &mut Canvas,
) -> Vec<usize> {
    let mut unplaced = Vec::new();
    for (place, numbers, fails) in flagged(&set.header().findings, &slope.slope) {
        let inside =
            place[0] >= low.0 - 0.1 && place[0] <= high.0 + 0.1 && place[1] >= low.1 - 0.1 && place[1] <= high.1 + 0.1;
        if inside && !canvas.flag(at(place[0], place[1]), &flag_text(&numbers), fails, within) {
            unplaced.extend(numbers);
        }
    }
    unplaced
}

/// Openings with their sizes and places; hands back what found no room, for the legend: a size is never cut short.
fn opening_labels(
    set: &Set<'_>,
    slope: &SettingOut,
    at: &dyn Fn(f64, f64) -> Point,
    window: &Rect,
    canvas: &mut Canvas,
) -> Vec<String> {
    let units = set.units();
    let show = |v: f64| Length::from_metres(v).show(units);
    let mut left_out = Vec::new();
    for o in &slope.openings {
        let (p, q) = (at(o.low[0], o.high[1]), at(o.high[0], o.low[1]));
        // What the window shows of it.
        let r = Rect::new(p.x.max(window.x0), p.y.max(window.y0), q.x.min(window.x1), q.y.min(window.y1));
        if r.width() <= 0.0 || r.height() <= 0.0 {
            continue;
        }
        let size = format!("{} x {}", show(o.high[0] - o.low[0]), show(o.high[1] - o.low[1]));
        let (left, low) = (format!("left {}", show(o.low[0])), format!("low {}", show(o.low[1])));
        let name = Type::bold(2.2);
        let mut lines: Vec<(String, Type)> =
            wrapped(&o.name, name.size, name.weight, r.width() - 1.2).into_iter().map(|l| (l, name)).collect();
        for text in [&size, &left, &low] {
            lines.extend(wrapped(text, NOTE.size, NOTE.weight, r.width() - 1.2).into_iter().map(|l| (l, NOTE)));
        }
        let fits = |(text, set): &(String, Type)| set.width(text) <= r.width() - 0.6;
        let mut whole = lines.len() as f64 * 2.7 <= r.height() && lines.iter().all(fits);
        if whole {
            let (x, top) = ((r.x0 + r.x1) / 2.0, (r.y0 + r.y1) / 2.0 - (lines.len() - 1) as f64 * 1.35);
            for (k, (text, set)) in lines.iter().enumerate() {
                let place = Point::new(x, top + k as f64 * 2.7);
                whole &= canvas.label(std::iter::once(place), text, *set, window);
            }
        }
        if !whole {
            left_out.push(format!("Opening {}: {size}, {left}, {low}.", o.name));
        }
    }
    left_out
}

/// Names and lengths of the pieces; hands back how many found no room.
fn piece_labels(
    slope: &SettingOut,
    units: Units,
    at: &dyn Fn(f64, f64) -> Point,
    scale: Scale,
    (low, high): Bounds,
    window: &Rect,
    canvas: &mut Canvas,
) -> usize {
    let half = scale.paper(slope.batten_width) / 2.0;
    let set = Type::regular(1.95);
    let mut left_out = 0;
    for course in &slope.courses {
        for p in &course.pieces {
            let (x0, x1) = (p.x[0].max(low.0), p.x[1].min(high.0));
            if x1 - x0 < 0.02 || p.y < low.1 || p.y > high.1 {
                continue;
            }
            let length = Length::from_metres(p.x[1] - p.x[0]).show(units);
            let (a, b) = (at(x0, p.y), at(x1, p.y));
            let mut done = false;
            for text in [format!("{}  {length}", p.name), p.name.clone()] {
                let w = set.width(&text) + 0.6;
                let over = [-(half + 1.25), half + 1.25];
                let slack = ((b.x - a.x - w) / 2.0).max(0.0);
                let middles = over.into_iter().flat_map(|dy| {
                    (0..17).map(move |k| {
                        let t = f64::from((k + 1) / 2) / 8.0 * if k % 2 == 0 { 1.0 } else { -1.0 };
                        Point::new((a.x + b.x) / 2.0 + t * slack, a.y + dy)
                    })
                });
                // A text wider than its piece would be taken for its neighbour's.
                if w <= b.x - a.x + 1.0 && canvas.label(middles, &text, set, &window.inset(-1.0)) {
                    done = true;
                    break;
                }
            }
            left_out += usize::from(!done);
        }
    }
    left_out
}

/// The legend, and what found no room on the drawing: flags, how many names of pieces, openings.
fn legend(
    set: &Set<'_>,
    slope: &SettingOut,
    r: &Rect,
    (unplaced, left_out, openings): (&[usize], usize, Vec<String>),
    canvas: &mut Canvas,
) {
    let units = set.units();
    canvas.taken.clear();
    canvas.line(&[Point::new(r.x0 - 1.0, r.y0), Point::new(r.x0 - 1.0, r.y1)], Pen::black(FINE), "border");
    let mut y = r.y0 + 2.6;
    canvas.text(Point::new(r.x0 + 0.5, y), "Legend", Type::bold(2.6), Anchor::Start);
    y += 1.4;
    let mut entry = |canvas: &mut Canvas, text: &str, draw: &dyn Fn(&mut Canvas, &Rect)| {
        let sample = Rect::new(r.x0 + 0.5, y + 0.5, r.x0 + 9.5, y + 2.6);
        draw(canvas, &sample);
        canvas.text(Point::new(r.x0 + 11.0, y + 2.2), text, NOTE, Anchor::Start);
        y += 3.15;
    };
    let ring = |s: &Rect| vec![s.corners_list()];
    let level = |s: &Rect| [Point::new(s.x0, (s.y0 + s.y1) / 2.0), Point::new(s.x1, (s.y0 + s.y1) / 2.0)];
    entry(canvas, "edge of the slope", &|c, s| c.line(&level(s), Pen::black(HEAVY), "legend"));
    entry(canvas, "framing below", &|c, s| c.line(&level(s), Pen::new(MEDIUM, Dash::Dotted, Ink::Dark), "legend"));
    entry(canvas, "tape", &|c, s| c.rect(s, Some(Pen::black(HAIR)), None, "legend"));
    entry(canvas, "strip (on the tape)", &|c, s| c.rect(s, None, Some(Ink::Middle), "legend"));
    entry(canvas, "vent piece", &|c, s| {
        c.rect(s, Some(Pen::black(HAIR)), None, "legend");
        c.hatch(&ring(s), 45.0, 0.9, Pen::black(HAIR), "legend");
        c.hatch(&ring(s), -45.0, 0.9, Pen::black(HAIR), "legend");
    });
    entry(canvas, "battens, joint, fasteners", &|c, s| {
        let half = (s.x0 + s.x1) / 2.0;
        c.rect(&Rect::new(s.x0, s.y0, half, s.y1), Some(Pen::black(MEDIUM)), None, "legend");
        c.rect(&Rect::new(half, s.y0, s.x1, s.y1), Some(Pen::black(MEDIUM)), None, "legend");
        for x in [half - 0.8, half + 0.8] {
            c.circle(Point::new(x, (s.y0 + s.y1) / 2.0), 0.26, None, Some(Ink::Black), "legend");
        }
    });
    entry(canvas, "strap", &|c, s| c.rect(s, Some(Pen::black(HAIR)), Some(Ink::Dark), "legend"));
    entry(canvas, "opening", &|c, s| {
        c.rect(s, Some(Pen::black(HEAVY)), None, "legend");
        c.line(&[Point::new(s.x0, s.y0), Point::new(s.x1, s.y1)], Pen::black(HAIR), "legend");
        c.line(&[Point::new(s.x0, s.y1), Point::new(s.x1, s.y0)], Pen::black(HAIR), "legend");
    });
    if slope.lines.iter().any(|l| l.turns(units).iter().any(|t| t.jogs)) {
        entry(canvas, "line jogs here", &|c, s| {
            let m = Point::new((s.x0 + s.x1) / 2.0, (s.y0 + s.y1) / 2.0);
            c.line(&plan_lines::jog(m, Point::new(m.x + 1.5, m.y)), Pen::black(HEAVY), "legend");
        });
    }
    if slope.lines.iter().any(|l| l.slants(units)) {
        entry(canvas, "line slants", &|c, s| {
            c.line(&[Point::new(s.x0, s.y1), Point::new(s.x1, s.y0)], plan_lines::SLANT, "legend");
        });
    }
    entry(canvas, "flag: fails", &|c, s| flag_sample(c, s, true));
    entry(canvas, "flag: warns, unconfirmed", &|c, s| flag_sample(c, s, false));
    y += 1.0;
    let width = r.width() - 1.0;
    let step = match units {
        Units::Inches => "1/16 in",
        Units::Millimetres => "1 mm",
    };
    let mut notes = vec![
        format!("Pitch {}.", pitch(slope, units)),
        format!("Lines are measured from {}, to the middle of the strip.", slope.x_from),
        format!("Courses are measured from {}, to the middle of the batten.", slope.y_from),
        format!(
            "Each measure is rounded to {step} from its own true value: measure each from the edge, never from its neighbour."
        ),
        "Bold: found elsewhere than drawn; mark the found place.".to_owned(),
    ];
    if left_out > 0 {
        let pieces = if left_out == 1 { "1 piece has".to_owned() } else { format!("{left_out} pieces have") };
        notes.push(format!("{pieces} no room for a name here: see the sheet of measures."));
    }
    notes.extend(openings);
    for n in notes {
        y = canvas.paragraph(Point::new(r.x0 + 0.5, y), &n, NOTE, width) + 0.7;
    }
    // Flags of this slope by check.
    let mut by_check: Vec<(&str, Verdict, Vec<usize>)> = Vec::new();
    for f in set.header().findings.iter().filter(|f| f.place.as_ref().is_some_and(|p| p.slope == slope.slope)) {
        match by_check.iter_mut().find(|(c, v, _)| *c == f.check && *v == f.verdict) {
            Some((.., n)) => n.push(f.number),
            None => by_check.push((&f.check, f.verdict, vec![f.number])),
        }
    }
    y += 2.6;
    let title = if by_check.is_empty() { "No flags on this slope" } else { "Flags on this slope" };
    canvas.text(Point::new(r.x0 + 0.5, y), title, Type::bold(2.4), Anchor::Start);
    y += 0.6;
    let mut entries: Vec<(String, String)> =
        by_check.into_iter().map(|(c, v, n)| (format!("{}: {c}", v.name()), ranges(n, usize::MAX))).collect();
    if !unplaced.is_empty() {
        entries.push(("no room on the drawing".to_owned(), ranges(unplaced.to_vec(), usize::MAX)));
    }
    for (what, numbers) in entries {
        let lines = wrapped(&numbers, NOTE.size, Weight::Regular, width).len() as f64;
        if y + (lines + 1.0) * 2.5 > r.y1 {
            canvas.paragraph(Point::new(r.x0 + 0.5, y), "more: see the list of findings", NOTE, width);
            break;
        }
        y = canvas.paragraph(Point::new(r.x0 + 0.5, y), &what, Type::bold(2.0), width);
        y = canvas.paragraph(Point::new(r.x0 + 0.5, y), &numbers, NOTE, width) + 0.5;
    }
}

fn flag_sample(canvas: &mut Canvas, s: &Rect, fails: bool) {
    let set = Type { size: 2.0, weight: Weight::Bold, ink: if fails { Ink::White } else { Ink::Flag } };
    let r = Rect::new(s.x0 + 1.5, s.y0 - 0.2, s.x1 - 1.5, s.y1 + 0.2);
    let fill = if fails { Ink::Flag } else { Ink::White };
    let my = (r.y0 + r.y1) / 2.0;
    let ring = vec![
        Point::new(r.x0 + 0.9, r.y0),
        Point::new(r.x1 - 0.9, r.y0),
        Point::new(r.x1, my),
        Point::new(r.x1 - 0.9, r.y1),
        Point::new(r.x0 + 0.9, r.y1),
        Point::new(r.x0, my),
    ];
    canvas.shape(&[ring], Some(Pen::new(MEDIUM, Dash::Solid, Ink::Flag)), Some(fill), "legend", None);
    canvas.text(Point::new((r.x0 + r.x1) / 2.0, my + 0.73), "7", set, Anchor::Middle);
}

/// The pitch as the design's people say it.
pub fn pitch(slope: &SettingOut, units: Units) -> String {
    let degrees = format!("{:.1} deg", slope.pitch.to_degrees());
    match units {
        Units::Inches => {
            let rise = tan(slope.pitch) * 12.0;
            let whole = (rise * 100.0).round() / 100.0;
            format!("{whole}:12 ({degrees})")
        }
        Units::Millimetres => degrees,
    }
}
