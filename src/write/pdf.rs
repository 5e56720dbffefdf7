//! All sheets as one PDF.
//!
//! Aim: one file to print, mail and search. Reason: its typeface is enclosed (the glyphs used), so it looks the same
//! everywhere, and its text can be found and copied. Limits: no dates, so that the same sheets give the same bytes; a
//! character that the typeface lacks shows as a box.

use std::io::{self, Write};
use std::ops::Range;

use krilla::Document;
use krilla::color::rgb;
use krilla::geom::{Path, PathBuilder, Point as At, Transform};
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::page::PageSettings;
use krilla::paint::{Fill, FillRule, LineCap, LineJoin, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::text::{Font, GlyphId, KrillaGlyph};

use super::broken;
use crate::quantity::maths::sin_cos;
use crate::scene::Scene;
use crate::sheet::Sheet;
use crate::sheet::draw::{Anchor, Ink, Item, Pen, Point};
use crate::sheet::font::{self, Weight};

/// Points of a PDF in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// Writes all sheets.
///
/// # Errors
/// Those of `out`; a sheet without a size.
pub fn write(scene: &Scene<'_>, sheets: &[Sheet], out: &mut dyn Write) -> io::Result<()> {
    let load = |w: Weight| Font::new(font::data(w).into(), 0).ok_or_else(|| broken("the typeface cannot be read"));
    let fonts = Fonts { regular: load(Weight::Regular)?, bold: load(Weight::Bold)? };
    let mut document = Document::new();
    let h = &scene.header;
    document.set_metadata(
        Metadata::new()
            .title(format!("{}: setting-out sheets", h.design))
            .description(format!("Plan fingerprint {}. {}", h.fingerprint, h.scope))
            .creator(h.program.clone())
            .language("en".to_owned()),
    );
    for sheet in sheets {
        let (w, hgt) = sheet.size;
        let settings = PageSettings::from_wh((w * POINTS) as f32, (hgt * POINTS) as f32)
            .ok_or_else(|| broken(format!("sheet {} has no size", sheet.name)))?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        let scale = POINTS as f32;
        surface.push_transform(&Transform::from_row(scale, 0.0, 0.0, scale, 0.0, 0.0));
        for item in &sheet.items {
            draw(&mut surface, &fonts, item);
        }
        surface.pop();
        surface.finish();
        page.finish();
    }
    let bytes = document.finish().map_err(|e| broken(format!("the PDF cannot be made: {e:?}")))?;
    out.write_all(&bytes)
}

struct Fonts {
    regular: Font,
    bold: Font,
}

fn fill(ink: Ink) -> Fill {
    let [r, g, b] = ink.rgb();
    Fill { paint: rgb::Color::new(r, g, b).into(), opacity: NormalizedF32::ONE, rule: FillRule::EvenOdd }
}

fn stroke(pen: &Pen) -> Stroke {
    let [r, g, b] = pen.ink.rgb();
    let pattern = pen.dash.pattern();
    Stroke {
        paint: rgb::Color::new(r, g, b).into(),
        width: pen.weight as f32,
        miter_limit: 4.0,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Round,
        opacity: NormalizedF32::ONE,
        dash: (!pattern.is_empty())
            .then(|| StrokeDash { array: pattern.iter().map(|d| *d as f32).collect(), offset: 0.0 }),
    }
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

fn draw(surface: &mut Surface<'_>, fonts: &Fonts, item: &Item) {
    match item {
        Item::Path { rings, closed, pen, fill: ink, .. } => {
            if let Some(path) = path(rings, *closed) {
                surface.set_fill(ink.map(fill));
                surface.set_stroke(pen.as_ref().map(stroke));
                if ink.is_some() || pen.is_some() {
                    surface.draw_path(&path);
                }
            }
        }
        Item::Text { at, text, set, anchor, angle } => {
            let width = set.width(text);
            let back = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => width / 2.0,
                Anchor::End => width,
            };
            let (sin, cos) = sin_cos((-angle).to_radians());
            let turn = [cos, sin, -sin, cos, at.x, at.y].map(|v| v as f32);
            surface.push_transform(&Transform::from_row(turn[0], turn[1], turn[2], turn[3], turn[4], turn[5]));
            surface.set_fill(Some(fill(set.ink)));
            surface.set_stroke(None);
            let font = match set.weight {
                Weight::Regular => fonts.regular.clone(),
                Weight::Bold => fonts.bold.clone(),
            };
            let glyphs: Vec<KrillaGlyph> = text
                .char_indices()
                .map(|(i, c)| {
                    let (id, advance) = font::glyph(set.weight, c);
                    let range: Range<usize> = i..i + c.len_utf8();
                    KrillaGlyph::new(GlyphId::new(u32::from(id)), advance as f32, 0.0, 0.0, 0.0, range, None)
                })
                .collect();
            surface.draw_glyphs(At::from_xy(-back as f32, 0.0), &glyphs, font, text, set.size as f32, false);
            surface.pop();
        }
    }
}
