//! A sheet as a PNG picture.
//!
//! Aim: a picture for a phone or a mail. Reason: the same lines and letters as on paper, drawn from the same data.
//! Limits: 200 dots to the inch; no text in it can be searched.

use std::io::{self, Write};

use tiny_skia::{Color, FillRule, LineCap, LineJoin, Paint, Path, PathBuilder, Pixmap, Stroke, StrokeDash, Transform};
use ttf_parser::{GlyphId, OutlineBuilder};

use super::broken;
use crate::sheet::Sheet;
use crate::sheet::draw::{Anchor, Ink, Item, Point};
use crate::sheet::font;

/// Dots in a millimetre.
const DOTS: f64 = 200.0 / 25.4;

/// Writes a sheet as a picture.
///
/// # Errors
/// Those of `out`; a sheet without a size.
pub fn write(sheet: &Sheet, out: &mut dyn Write) -> io::Result<()> {
    let dots = |v: f64| (v * DOTS).round().clamp(1.0, 20_000.0) as u32;
    let mut pixels =
        Pixmap::new(dots(sheet.size.0), dots(sheet.size.1)).ok_or_else(|| broken("a sheet has no size"))?;
    pixels.fill(Color::WHITE);
    let scale = Transform::from_scale(DOTS as f32, DOTS as f32);
    for item in &sheet.items {
        draw(&mut pixels, scale, item);
    }
    let bytes = pixels.encode_png().map_err(|e| broken(format!("the picture cannot be made: {e}")))?;
    out.write_all(&bytes)
}

fn paint(ink: Ink) -> Paint<'static> {
    let [r, g, b] = ink.rgb();
    let mut paint = Paint { anti_alias: true, ..Paint::default() };
    paint.set_color_rgba8(r, g, b, 255);
    paint
}

fn path(rings: &[Vec<Point>], closed: bool) -> Option<Path> {
    let mut builder = PathBuilder::new();
    for ring in rings {
        for (k, p) in ring.iter().enumerate() {
            let (x, y) = (p.x as f32, p.y as f32);
            if k == 0 { builder.move_to(x, y) } else { builder.line_to(x, y) }
        }
        if closed {
            builder.close();
        }
    }
    builder.finish()
}

fn draw(pixels: &mut Pixmap, scale: Transform, item: &Item) {
    match item {
        Item::Path { rings, closed, pen, fill, .. } => {
            let Some(path) = path(rings, *closed) else { return };
            if let Some(ink) = fill {
                pixels.fill_path(&path, &paint(*ink), FillRule::EvenOdd, scale, None);
            }
            if let Some(pen) = pen {
                let pattern = pen.dash.pattern();
                let dash = if pattern.is_empty() {
                    None
                } else {
                    StrokeDash::new(pattern.iter().map(|d| *d as f32).collect(), 0.0)
                };
                let stroke = Stroke {
                    width: pen.weight as f32,
                    line_cap: LineCap::Butt,
                    line_join: LineJoin::Round,
                    dash,
                    ..Stroke::default()
                };
                pixels.stroke_path(&path, &paint(pen.ink), &stroke, scale, None);
            }
        }
        Item::Text { at, text, set, anchor, angle } => {
            let Some(face) = font::face(set.weight) else { return };
            let back = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => set.width(text) / 2.0,
                Anchor::End => set.width(text),
            };
            let size = set.size / f64::from(face.units_per_em());
            let mut letters = Letters { builder: PathBuilder::new(), x: -back, size };
            for c in text.chars() {
                let (id, advance) = font::glyph(set.weight, c);
                face.outline_glyph(GlyphId(id), &mut letters);
                letters.x += advance * set.size;
            }
            if let Some(path) = letters.builder.finish() {
                let place = Transform::from_translate(at.x as f32, at.y as f32).pre_rotate(-*angle as f32);
                let place = scale.pre_concat(place);
                pixels.fill_path(&path, &paint(set.ink), FillRule::Winding, place, None);
            }
        }
    }
}

/// Outlines of letters, side by side.
struct Letters {
    builder: PathBuilder,
    x: f64,
    size: f64,
}

impl Letters {
    fn at(&self, x: f32, y: f32) -> (f32, f32) {
        ((self.x + f64::from(x) * self.size) as f32, (-f64::from(y) * self.size) as f32)
    }
}

impl OutlineBuilder for Letters {
    fn move_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.move_to(x, y);
    }

    fn line_to(&mut self, x: f32, y: f32) {
        let (x, y) = self.at(x, y);
        self.builder.line_to(x, y);
    }

    fn quad_to(&mut self, x1: f32, y1: f32, x: f32, y: f32) {
        let ((x1, y1), (x, y)) = (self.at(x1, y1), self.at(x, y));
        self.builder.quad_to(x1, y1, x, y);
    }

    fn curve_to(&mut self, x1: f32, y1: f32, x2: f32, y2: f32, x: f32, y: f32) {
        let ((x1, y1), (x2, y2), (x, y)) = (self.at(x1, y1), self.at(x2, y2), self.at(x, y));
        self.builder.cubic_to(x1, y1, x2, y2, x, y);
    }

    fn close(&mut self) {
        self.builder.close();
    }
}
