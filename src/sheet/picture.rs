//! A small plan round one flag: what a finding looks like from above.
//!
//! The same drawing as the plan sheet, through a window of the same size for every flag, the place in a ring. Limits: at
//! most [`MOST`] of them; the plan sheets show all flags.

use super::draw::{Anchor, Canvas, Dash, Ink, Item, MEDIUM, Pen, Point, Rect, Type, text_box};
use super::plan::{Window, drawn_parts, openings, outline};
use super::{Parts, Set};
use crate::quantity::Length;
use crate::scene::SettingOut;

/// Most pictures of one plan.
pub const MOST: usize = 150;

/// Window, metres, and its scale: model millimetres in one paper millimetre.
const SIZE: (f64, f64) = (1.7, 1.1);
const FACTOR: f64 = 17.0;
/// Room for names below and on the left, millimetres.
const BELOW: f64 = 10.0;
const LEFT: f64 = 15.0;

/// One picture: the finding's number, the drawing, and its window.
pub struct Picture {
    /// Number of the finding.
    pub number: usize,
    /// The drawing.
    pub items: Vec<Item>,
    /// What of it is to be shown.
    pub window: Rect,
}

/// Pictures of the findings on one slope, as long as there are fewer than [`MOST`] in `all`.
pub fn pictures(set: &Set<'_>, slope: &SettingOut, parts: &Parts, all: &mut Vec<Picture>) {
    for f in &set.header().findings {
        let Some(place) = f.place.as_ref().filter(|p| p.slope == slope.slope) else { continue };
        if all.len() >= MOST {
            return;
        }
        all.push(picture(set, slope, parts, f.number, place.on_slope));
    }
}

fn picture(set: &Set<'_>, slope: &SettingOut, parts: &Parts, number: usize, place: [f64; 3]) -> Picture {
    let f = 1000.0 / FACTOR;
    let window = Rect::new(0.0, 0.0, SIZE.0 * f, SIZE.1 * f);
    let (low, high) =
        ((place[0] - SIZE.0 / 2.0, place[1] - SIZE.1 / 2.0), (place[0] + SIZE.0 / 2.0, place[1] + SIZE.1 / 2.0));
    let at = |x: f64, y: f64| Point::new((x - low.0) * f, window.y1 - (y - low.1) * f);
    let mut canvas = Canvas { clip: Some(window), ..Canvas::default() };
    drawn_parts(parts, &at, Some(Window { low, high }), &mut canvas);
    outline(slope, &at, &mut canvas);
    openings(slope, &at, &mut canvas);
    canvas.clip = None;
    canvas.rect(&window, Some(Pen::black(MEDIUM)), None, "border");
    let set_text = Type::regular(3.2);
    for l in &slope.lines {
        let t = ((place[1] - l.y[0]) / (l.y[1] - l.y[0]).max(1e-9)).clamp(0.0, 1.0);
        let x = l.x[0] + (l.x[1] - l.x[0]) * t;
        if x > low.0 + 0.1 && x < high.0 - 0.1 && l.y[0] < high.1 && l.y[1] > low.1 {
            let p = Point::new(at(x, low.1).x, window.y1 + 4.0);
            let text = text_box(p, &l.name, set_text, Anchor::Middle, 0.0).inset(-0.6);
            if canvas.is_free(&text, &Rect::new(-LEFT, 0.0, window.x1 + 0.4, window.y1 + BELOW)) {
                canvas.text(p, &l.name, set_text, Anchor::Middle);
            }
        }
    }
    for c in slope.courses.iter().filter(|c| c.y > low.1 + 0.03 && c.y < high.1 - 0.03) {
        if c.pieces.iter().any(|p| p.x[0] < high.0 && p.x[1] > low.0) {
            let p = Point::new(-0.8, at(low.0, c.y).y + 1.1);
            let text = text_box(p, &c.name, set_text, Anchor::End, 0.0);
            if canvas.is_free(&text, &Rect::new(-LEFT - 10.0, -1.0, window.x1, window.y1 + BELOW)) {
                canvas.text(p, &c.name, set_text, Anchor::End);
            }
        }
    }
    let middle = at(place[0], place[1]);
    canvas.circle(middle, 4.2, Some(Pen::new(1.0, Dash::Solid, Ink::White)), None, "flag-ring");
    canvas.circle(middle, 4.2, Some(Pen::new(0.7, Dash::Solid, Ink::Flag)), None, "flag-ring");
    // A measure of size: one foot, or 300 mm.
    let (long, words) = match set.units() {
        crate::quantity::Units::Inches => (0.3048, Length::from_metres(0.3048)),
        crate::quantity::Units::Millimetres => (0.3, Length::from_metres(0.3)),
    };
    let (x1, y) = (window.x1, window.y1 + 8.6);
    canvas.line(&[Point::new(x1 - long * f, y), Point::new(x1, y)], Pen::black(0.6), "scale bar");
    canvas.text(Point::new(x1, y - 0.8), &words.show(set.units()), Type::regular(3.0), Anchor::End);
    let window = Rect::new(-LEFT, -0.5, window.x1 + 0.5, window.y1 + BELOW);
    Picture { number, items: canvas.items, window }
}
