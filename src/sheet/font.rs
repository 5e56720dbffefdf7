//! The one typeface of all sheets, and how wide its texts are.
//!
//! DejaVu Sans Condensed (its licence: `src/sheet/dejavu-license.txt`) has primes, fractions and most scripts. Widths are
//! sums of advances, without kerning, so that every writer sets a text exactly as wide as the drawing thinks.

use std::sync::LazyLock;

use ttf_parser::Face;

/// Regular or bold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Regular.
    Regular,
    /// Bold.
    Bold,
}

/// The licence text of the typeface, for whoever passes on a file that holds it.
pub const LICENCE: &str = include_str!("dejavu-license.txt");

static REGULAR: LazyLock<Option<Face<'static>>> = LazyLock::new(|| Face::parse(data(Weight::Regular), 0).ok());
static BOLD: LazyLock<Option<Face<'static>>> = LazyLock::new(|| Face::parse(data(Weight::Bold), 0).ok());

/// The font file.
pub fn data(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => dejavu::sans_condensed::regular(),
        Weight::Bold => dejavu::sans_condensed::bold(),
    }
}

/// The parsed font.
pub fn face(weight: Weight) -> Option<&'static Face<'static>> {
    match weight {
        Weight::Regular => REGULAR.as_ref(),
        Weight::Bold => BOLD.as_ref(),
    }
}

/// A character's glyph (0 where the font has none: an empty box), and its advance as a part of the size.
pub fn glyph(weight: Weight, c: char) -> (u16, f64) {
    let Some(face) = face(weight) else { return (0, 0.5) };
    let id = face.glyph_index(c).unwrap_or_default();
    let advance = face.glyph_hor_advance(id).unwrap_or_default();
    (id.0, f64::from(advance) / f64::from(face.units_per_em()))
}

/// Width of a text, in the unit of `size`.
pub fn width(text: &str, size: f64, weight: Weight) -> f64 {
    text.chars().map(|c| glyph(weight, c).1).sum::<f64>() * size
}

/// Text broken into lines no wider than `limit`; a word that is wider than that is broken where it must be.
pub fn wrapped(text: &str, size: f64, weight: Weight, limit: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, size, weight) <= limit {
            line = longer;
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        for c in word.chars() {
            line.push(c);
            if width(&line, size, weight) > limit && line.chars().count() > 1 {
                line.pop();
                lines.push(std::mem::take(&mut line));
                line.push(c);
            }
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// A text cut to a width, its end replaced by an ellipsis.
pub fn cut(text: &str, size: f64, weight: Weight, limit: f64) -> String {
    if width(text, size, weight) <= limit {
        return text.to_owned();
    }
    let mut short = String::new();
    for c in text.chars() {
        short.push(c);
        if width(&short, size, weight) + width("…", size, weight) > limit {
            short.pop();
            break;
        }
    }
    short.push('…');
    short
}
