//! Drawing as data: lines, shapes and texts in paper millimetres, and a canvas that knows where there is room.

use super::font::{self, Weight};
use crate::quantity::maths::sin_cos;

/// A place on paper: millimetres to the right and down from the upper left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

impl Point {
    /// A place.
    pub const fn new(x: f64, y: f64) -> Point {
        Point { x, y }
    }
}

/// An upright rectangle on paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left.
    pub x0: f64,
    /// Upper.
    pub y0: f64,
    /// Right.
    pub x1: f64,
    /// Lower.
    pub y1: f64,
}

impl Rect {
    /// A rectangle.
    pub const fn new(x0: f64, y0: f64, x1: f64, y1: f64) -> Rect {
        Rect { x0, y0, x1, y1 }
    }

    /// Round a middle.
    pub fn about(at: Point, width: f64, height: f64) -> Rect {
        Rect::new(at.x - width / 2.0, at.y - height / 2.0, at.x + width / 2.0, at.y + height / 2.0)
    }

    /// Width.
    pub fn width(&self) -> f64 {
        self.x1 - self.x0
    }

    /// Height.
    pub fn height(&self) -> f64 {
        self.y1 - self.y0
    }

    /// Drawn in on all sides.
    pub fn inset(&self, by: f64) -> Rect {
        Rect::new(self.x0 + by, self.y0 + by, self.x1 - by, self.y1 - by)
    }

    /// Whether two rectangles share an area.
    pub fn meets(&self, other: &Rect) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }

    /// Whether another lies inside.
    pub fn holds(&self, other: &Rect) -> bool {
        self.x0 <= other.x0 && self.y0 <= other.y0 && self.x1 >= other.x1 && self.y1 >= other.y1
    }

    /// The corners as a ring.
    pub fn corners_list(&self) -> Vec<Point> {
        self.corners().to_vec()
    }

    fn corners(&self) -> [Point; 4] {
        [
            Point::new(self.x0, self.y0),
            Point::new(self.x1, self.y0),
            Point::new(self.x1, self.y1),
            Point::new(self.x0, self.y1),
        ]
    }
}

/// What lines and shapes are drawn with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ink {
    /// Black.
    Black,
    /// Dark grey: framing and what lies below.
    Dark,
    /// Grey for small filled areas: strips.
    Middle,
    /// Light grey, for filled areas only.
    Light,
    /// Paper white.
    White,
    /// Red that prints dark: flags only, and never without a number or a word.
    Flag,
}

impl Ink {
    /// Red, green and blue.
    pub fn rgb(self) -> [u8; 3] {
        match self {
            Ink::Black => [0, 0, 0],
            Ink::Dark => [90, 90, 90],
            Ink::Middle => [160, 160, 160],
            Ink::Light => [214, 214, 214],
            Ink::White => [255, 255, 255],
            Ink::Flag => [176, 0, 32],
        }
    }
}

/// How a line is broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dash {
    /// Not at all.
    Solid,
    /// Dots: what lies under the membrane.
    Dotted,
    /// Dashes: what is as drawn but no longer so; hidden ends.
    Dashed,
    /// Dash and dot: middles and match lines.
    DashDot,
}

impl Dash {
    /// Lengths drawn and left out in turn, millimetres.
    pub fn pattern(self) -> &'static [f64] {
        match self {
            Dash::Solid => &[],
            Dash::Dotted => &[0.35, 0.75],
            Dash::Dashed => &[1.8, 0.9],
            Dash::DashDot => &[4.0, 0.9, 0.5, 0.9],
        }
    }
}

/// A pen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Width of the line, millimetres; never below what a site printer holds ([`HAIR`]).
    pub weight: f64,
    /// How it is broken.
    pub dash: Dash,
    /// Its ink.
    pub ink: Ink,
}

/// The thinnest line on any sheet, millimetres.
pub const HAIR: f64 = 0.18;
/// A fine line.
pub const FINE: f64 = 0.25;
/// A usual line.
pub const MEDIUM: f64 = 0.35;
/// A heavy line.
pub const HEAVY: f64 = 0.6;

impl Pen {
    /// A whole black line.
    pub const fn black(weight: f64) -> Pen {
        Pen { weight, dash: Dash::Solid, ink: Ink::Black }
    }

    /// A line of another ink and dash.
    pub const fn new(weight: f64, dash: Dash, ink: Ink) -> Pen {
        Pen { weight, dash, ink }
    }
}

/// Where a text hangs on its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// At its start.
    Start,
    /// At its middle.
    Middle,
    /// At its end.
    End,
}

/// What a text is set in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// Size, millimetres.
    pub size: f64,
    /// Weight.
    pub weight: Weight,
    /// Ink.
    pub ink: Ink,
}

impl Type {
    /// Regular, black.
    pub const fn regular(size: f64) -> Type {
        Type { size, weight: Weight::Regular, ink: Ink::Black }
    }

    /// Bold, black.
    pub const fn bold(size: f64) -> Type {
        Type { size, weight: Weight::Bold, ink: Ink::Black }
    }

    /// Width of a text.
    pub fn width(&self, text: &str) -> f64 {
        font::width(text, self.size, self.weight)
    }
}

/// Height of a capital as a part of the size, and how far a letter hangs below its line.
pub const CAPITAL: f64 = 0.73;
const BELOW: f64 = 0.22;

/// Least size of any text, millimetres.
pub const LEAST_TEXT: f64 = 1.9;

/// One thing on paper.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// Lines or a shape.
    Path {
        /// Rings or open lines.
        rings: Vec<Vec<Point>>,
        /// Whether each ring is closed.
        closed: bool,
        /// Its line, if drawn.
        pen: Option<Pen>,
        /// Its filling (even-odd), if filled.
        fill: Option<Ink>,
        /// What it shows, in a word: batten, strip, outline and so on; for whoever measures the drawing.
        class: &'static str,
        /// The part that it shows.
        part: Option<String>,
    },
    /// A text.
    Text {
        /// Where it hangs: on its line.
        at: Point,
        /// The text.
        text: String,
        /// What it is set in.
        set: Type,
        /// Which end hangs there.
        anchor: Anchor,
        /// Turned to the left by so many degrees; a quarter turn reads upwards.
        angle: f64,
    },
}

/// A drawing under way.
#[derive(Default)]
pub struct Canvas {
    /// What is drawn so far.
    pub items: Vec<Item>,
    /// Where there is no more room for texts.
    pub taken: Vec<Rect>,
    /// Nothing is drawn outside of it.
    pub clip: Option<Rect>,
}

impl Canvas {
    /// An empty one.
    pub fn new() -> Canvas {
        Canvas::default()
    }

    /// An open line.
    pub fn line(&mut self, points: &[Point], pen: Pen, class: &'static str) {
        self.lines(vec![points.to_vec()], pen, class, None);
    }

    /// Open lines that show one part.
    pub fn lines(&mut self, lines: Vec<Vec<Point>>, pen: Pen, class: &'static str, part: Option<&str>) {
        let rings: Vec<Vec<Point>> = match self.clip {
            None => lines,
            Some(clip) => lines.iter().flat_map(|l| clipped_line(l, &clip)).collect(),
        };
        let rings: Vec<Vec<Point>> = rings.into_iter().filter(|r| r.len() > 1).collect();
        if !rings.is_empty() {
            let part = part.map(str::to_owned);
            self.items.push(Item::Path { rings, closed: false, pen: Some(pen), fill: None, class, part });
        }
    }

    /// A closed shape.
    pub fn shape(
        &mut self,
        rings: &[Vec<Point>],
        pen: Option<Pen>,
        fill: Option<Ink>,
        class: &'static str,
        part: Option<&str>,
    ) {
        let rings: Vec<Vec<Point>> = match self.clip {
            None => rings.to_vec(),
            Some(clip) => rings.iter().map(|r| clipped_ring(r, &clip)).collect(),
        };
        let rings: Vec<Vec<Point>> = rings.into_iter().filter(|r| r.len() > 2).collect();
        if !rings.is_empty() {
            self.items.push(Item::Path { rings, closed: true, pen, fill, class, part: part.map(str::to_owned) });
        }
    }

    /// A rectangle.
    pub fn rect(&mut self, r: &Rect, pen: Option<Pen>, fill: Option<Ink>, class: &'static str) {
        self.shape(&[r.corners().to_vec()], pen, fill, class, None);
    }

    /// A circle.
    pub fn circle(&mut self, at: Point, radius: f64, pen: Option<Pen>, fill: Option<Ink>, class: &'static str) {
        let ring = (0..24)
            .map(|k| {
                let (sin, cos) = sin_cos(f64::from(k) / 24.0 * std::f64::consts::TAU);
                Point::new(at.x + radius * cos, at.y + radius * sin)
            })
            .collect();
        self.shape(&[ring], pen, fill, class, None);
    }

    /// Parallel lines over a shape: `angle` in degrees against the horizontal, `spacing` in millimetres.
    pub fn hatch(&mut self, rings: &[Vec<Point>], angle: f64, spacing: f64, pen: Pen, class: &'static str) {
        let (sin, cos) = sin_cos(angle.to_radians());
        // In a frame turned by the angle, hatching is level lines.
        let turned: Vec<Vec<Point>> = rings
            .iter()
            .map(|r| r.iter().map(|p| Point::new(p.x * cos + p.y * sin, p.y * cos - p.x * sin)).collect())
            .collect();
        let (low, high) =
            turned.iter().flatten().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.y), b.max(p.y)));
        if high <= low || (high - low) / spacing > 4000.0 {
            return;
        }
        let mut lines = Vec::new();
        // Counted from nought, so that the pattern goes on from shape to shape.
        let mut k = (low / spacing).floor();
        while k * spacing <= high {
            let level = (k + 0.5) * spacing;
            let mut hits: Vec<f64> = Vec::new();
            for r in &turned {
                for (a, b) in r.iter().zip(r.iter().cycle().skip(1)) {
                    if (a.y > level) != (b.y > level) {
                        hits.push(a.x + (level - a.y) / (b.y - a.y) * (b.x - a.x));
                    }
                }
            }
            hits.sort_by(f64::total_cmp);
            for pair in hits.chunks_exact(2) {
                let back = |x: f64| Point::new(x * cos - level * sin, x * sin + level * cos);
                lines.push(vec![back(pair[0]), back(pair[1])]);
            }
            k += 1.0;
        }
        self.lines(lines, pen, class, None);
    }

    /// A text, wherever it falls.
    pub fn text(&mut self, at: Point, text: &str, set: Type, anchor: Anchor) {
        self.turned(at, text, set, anchor, 0.0);
    }

    /// A text that reads upwards: `at` is on its line, which runs up the paper.
    pub fn upright(&mut self, at: Point, text: &str, set: Type, anchor: Anchor) {
        self.turned(at, text, set, anchor, 90.0);
    }

    /// A text turned to the left by so many degrees.
    pub fn turned(&mut self, at: Point, text: &str, set: Type, anchor: Anchor, angle: f64) {
        if !text.is_empty() {
            self.taken.push(text_box(at, text, set, anchor, angle));
            self.items.push(Item::Text { at, text: text.to_owned(), set, anchor, angle });
        }
    }

    /// Lines of text below one another; hands back the y below them.
    pub fn paragraph(&mut self, at: Point, text: &str, set: Type, width: f64) -> f64 {
        let mut y = at.y;
        for line in font::wrapped(text, set.size, set.weight, width) {
            y += set.size * 1.22;
            self.text(Point::new(at.x, y - set.size * BELOW), &line, set, Anchor::Start);
        }
        y
    }

    /// Whether a rectangle is still free and within bounds.
    pub fn is_free(&self, r: &Rect, within: &Rect) -> bool {
        within.holds(r) && !self.taken.iter().any(|t| t.meets(r))
    }

    /// A text on a white ground at the first of some middles where there is room; `false` where there is none.
    pub fn label(&mut self, middles: impl Iterator<Item = Point>, text: &str, set: Type, within: &Rect) -> bool {
        let (w, h) = (set.width(text) + 0.6, set.size * CAPITAL + 0.5);
        for m in middles {
            let r = Rect::about(m, w, h);
            if self.is_free(&r, within) {
                self.rect(&r, None, Some(Ink::White), "ground");
                let base = Point::new(m.x, m.y + set.size * CAPITAL / 2.0);
                self.text(base, text, set, Anchor::Middle);
                self.taken.push(r);
                return true;
            }
        }
        false
    }

    /// A flag: its numbers in a lozenge beside the place, tied to it by a line. A failing one is filled. Tries places
    /// nearer first; `false` where there is no room.
    pub fn flag(&mut self, place: Point, numbers: &str, fails: bool, within: &Rect) -> bool {
        let set = Type { size: 2.0, weight: Weight::Bold, ink: if fails { Ink::White } else { Ink::Flag } };
        let (w, h) = (set.width(numbers) + 1.6, 2.7);
        let clip = self.clip.take();
        let mut found = None;
        'search: for ring in 0..14 {
            let far = 2.4 + f64::from(ring) * 1.5;
            for k in 0..16 {
                // Upwards to the right first.
                let (sin, cos) = sin_cos((f64::from(k * 7 % 16) / 16.0 + 0.125) * std::f64::consts::TAU);
                let m = Point::new(place.x + cos * (far + w / 2.0 - 1.2), place.y - sin * far);
                let r = Rect::about(m, w, h);
                if self.is_free(&r.inset(-0.25), within) {
                    found = Some((m, r));
                    break 'search;
                }
            }
        }
        if let Some((m, r)) = found {
            let pen = Pen::new(FINE, Dash::Solid, Ink::Flag);
            self.line(&[place, m], pen, "flag-line");
            self.circle(place, 0.55, None, Some(Ink::Flag), "flag-place");
            let c = 0.9;
            let lozenge = vec![
                Point::new(r.x0 + c, r.y0),
                Point::new(r.x1 - c, r.y0),
                Point::new(r.x1, m.y),
                Point::new(r.x1 - c, r.y1),
                Point::new(r.x0 + c, r.y1),
                Point::new(r.x0, m.y),
            ];
            let fill = if fails { Ink::Flag } else { Ink::White };
            self.shape(&[lozenge], Some(Pen::new(MEDIUM, Dash::Solid, Ink::Flag)), Some(fill), "flag", None);
            self.text(Point::new(m.x, m.y + set.size * CAPITAL / 2.0), numbers, set, Anchor::Middle);
            self.taken.push(r.inset(-0.25));
        }
        self.clip = clip;
        found.is_some()
    }
}

/// The room that a text takes: of one that is turned, the upright rectangle round it.
pub fn text_box(at: Point, text: &str, set: Type, anchor: Anchor, angle: f64) -> Rect {
    let w = set.width(text);
    let before = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => w / 2.0,
        Anchor::End => w,
    };
    let (up, down) = (set.size * CAPITAL, set.size * BELOW);
    let (sin, cos) = sin_cos(angle.to_radians());
    let corners = [(-before, -up), (w - before, -up), (w - before, down), (-before, down)];
    // y runs down, so a turn to the left lowers y as x grows.
    let turned = corners.map(|(x, y)| Point::new(at.x + x * cos + y * sin, at.y - x * sin + y * cos));
    let start = Rect::new(f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
    turned.iter().fold(start, |r, p| Rect::new(r.x0.min(p.x), r.y0.min(p.y), r.x1.max(p.x), r.y1.max(p.y)))
}

/// A ring cut to a rectangle (side after side).
fn clipped_ring(ring: &[Point], clip: &Rect) -> Vec<Point> {
    let sides: [(usize, f64, f64); 4] = [(0, clip.x0, 1.0), (0, clip.x1, -1.0), (1, clip.y0, 1.0), (1, clip.y1, -1.0)];
    let mut ring = ring.to_vec();
    for (axis, at, sign) in sides {
        let off = |p: &Point| sign * (if axis == 0 { p.x } else { p.y } - at);
        let mut kept = Vec::with_capacity(ring.len() + 2);
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (da, db) = (off(a), off(b));
            if da >= 0.0 {
                kept.push(*a);
            }
            if (da >= 0.0) != (db >= 0.0) {
                let t = da / (da - db);
                kept.push(Point::new(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t));
            }
        }
        ring = kept;
    }
    ring
}

/// The stretches of an open line inside a rectangle.
fn clipped_line(line: &[Point], clip: &Rect) -> Vec<Vec<Point>> {
    let mut parts: Vec<Vec<Point>> = Vec::new();
    for w in line.windows(2) {
        let (a, b) = (w[0], w[1]);
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        for (d, from, to) in [(b.x - a.x, clip.x0 - a.x, clip.x1 - a.x), (b.y - a.y, clip.y0 - a.y, clip.y1 - a.y)] {
            if d.abs() < 1e-12 {
                if from > 0.0 || to < 0.0 {
                    leave = -1.0;
                }
            } else {
                let (t0, t1) = if d > 0.0 { (from / d, to / d) } else { (to / d, from / d) };
                enter = enter.max(t0);
                leave = leave.min(t1);
            }
        }
        if enter > leave {
            continue;
        }
        let at = |t: f64| Point::new(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t);
        let (p, q) = (at(enter), at(leave));
        match parts.last_mut() {
            Some(last) if enter == 0.0 && last.last() == Some(&p) => last.push(q),
            _ => parts.push(vec![p, q]),
        }
    }
    parts
}

/// Places near to wanted ones, no two nearer than `gap`, in the same order, together as near as may be, and from `low`
/// to `high` as far as there is room.
pub fn spread(wanted: &[f64], gap: f64, low: f64, high: f64) -> Vec<f64> {
    // Blocks of places that touch: each block sits where the mean of its members wants it.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for w in wanted {
        let mut block = (w.max(low).min(high), 1_usize);
        while let Some((at, n)) = blocks.last().copied() {
            let half = |n: usize| gap * (n as f64 - 1.0) / 2.0;
            if at + half(n) + gap <= block.0 - half(block.1) + 1e-9 {
                break;
            }
            blocks.pop();
            // Middles, each as its members want it when pressed together.
            let whole = n + block.1;
            let (a, b) = (at + half(whole) - half(n), block.0 - half(whole) + half(block.1));
            block = ((a * n as f64 + b * block.1 as f64) / whole as f64, whole);
            let (least, most) = (low + half(whole), high - half(whole));
            block.0 = if least <= most { block.0.clamp(least, most) } else { least };
        }
        blocks.push(block);
    }
    blocks.iter().flat_map(|(at, n)| (0..*n).map(move |k| at + gap * (k as f64 - (*n as f64 - 1.0) / 2.0))).collect()
}
