//! What stands on every sheet: its border, and below the title block with name, scale, plan fingerprint, scope line and
//! cautions.

use super::draw::{Anchor, Canvas, Dash, FINE, HEAVY, Ink, MEDIUM, Pen, Point, Rect, Type};
use super::font::{Weight, cut, wrapped};
use super::{Set, Sheet, verdict_words};

/// Paper left white all round, millimetres: what a printer cannot reach.
const MARGIN: f64 = 8.0;
/// Share of the width that the scope line and the cautions take.
const WORDS: f64 = 0.5;
const SMALL: Type = Type::regular(1.9);

/// The sentence that no sheet goes without.
pub const REPLACES_NOBODY: &str = "This sheet replaces no licensed designer.";

fn inner(set: &Set<'_>) -> Rect {
    let (w, h) = set.paper.size();
    Rect::new(MARGIN, MARGIN, w - MARGIN, h - MARGIN)
}

fn words_width(set: &Set<'_>) -> f64 {
    inner(set).width() * WORDS - 4.0
}

/// Lines of the right half of the title block, each with what it is set in.
fn words(set: &Set<'_>) -> Vec<(String, Type)> {
    let h = set.header();
    let width = words_width(set);
    let bold = Type::bold(2.1);
    let mut lines: Vec<(String, Type)> = wrapped(&format!("Checked: {}.", h.scope), bold.size, bold.weight, width)
        .into_iter()
        .map(|l| (l, bold))
        .collect();
    let cautions = format!("{REPLACES_NOBODY} {}", h.cautions.join(" "));
    lines.extend(wrapped(&cautions, SMALL.size, SMALL.weight, width).into_iter().map(|l| (l, SMALL)));
    lines
}

fn block_height(set: &Set<'_>) -> f64 {
    let text: f64 = words(set).iter().map(|(_, t)| t.size * 1.22).sum();
    (text + 2.4).max(19.0)
}

/// Where a sheet may draw.
pub fn area(set: &Set<'_>) -> Rect {
    let r = inner(set);
    Rect::new(r.x0 + 1.5, r.y0 + 1.5, r.x1 - 1.5, r.y1 - block_height(set) - 1.5)
}

/// Puts border and title block on every sheet, now that their number is known.
pub fn number(set: &Set<'_>, sheets: &mut [Sheet]) {
    let count = sheets.len();
    for (i, sheet) in sheets.iter_mut().enumerate() {
        let mut canvas = Canvas::new();
        block(set, sheet, i + 1, count, &mut canvas);
        sheet.items.extend(canvas.items);
    }
}

fn block(set: &Set<'_>, sheet: &Sheet, number: usize, count: usize, canvas: &mut Canvas) {
    let h = set.header();
    let r = inner(set);
    let top = r.y1 - block_height(set);
    canvas.rect(&r, Some(Pen::black(HEAVY)), None, "border");
    canvas.line(&[Point::new(r.x0, top), Point::new(r.x1, top)], Pen::black(MEDIUM), "border");
    let middle = r.x1 - r.width() * WORDS;
    let second = middle - r.width() * 0.2;
    for x in [second, middle] {
        canvas.line(&[Point::new(x, top), Point::new(x, r.y1)], Pen::new(FINE, Dash::Solid, Ink::Black), "border");
    }
    let width = second - r.x0 - 4.0;
    let mut y = top;
    let mut line = |canvas: &mut Canvas, x: f64, width: f64, text: &str, set: Type| {
        y += set.size * 1.32;
        canvas.text(Point::new(x, y), &cut(text, set.size, set.weight, width), set, Anchor::Start);
    };
    line(canvas, r.x0 + 2.0, width, &sheet.title, Type::bold(3.4));
    line(canvas, r.x0 + 2.0, width, &h.design, Type::regular(2.8));
    line(canvas, r.x0 + 2.0, width, &format!("Findings of the whole roof: {}", verdict_words(set)), Type::bold(2.3));
    for text in wrapped(&h.about, SMALL.size, Weight::Regular, width).iter().take(3) {
        line(canvas, r.x0 + 2.0, width, text, SMALL);
    }
    let mut y = top;
    let width = middle - second - 4.0;
    let mut line = |canvas: &mut Canvas, text: &str, set: Type| {
        y += set.size * 1.35;
        canvas.text(Point::new(second + 2.0, y), &cut(text, set.size, set.weight, width), set, Anchor::Start);
    };
    line(canvas, &format!("Sheet {number} of {count}"), Type::bold(3.0));
    line(canvas, &format!("Plan fingerprint {}", h.fingerprint), Type::bold(2.3));
    line(canvas, &scales(sheet), Type::regular(2.2));
    line(canvas, &format!("{} paper; print at full size", set.paper.name()), SMALL);
    line(canvas, &h.program, SMALL);
    let mut y = top + 0.4;
    for (text, set) in words(set) {
        y += set.size * 1.22;
        canvas.text(Point::new(middle + 2.0, y), &text, set, Anchor::Start);
    }
}

/// The scale as the title block says it.
fn scales(sheet: &Sheet) -> String {
    match sheet.views.as_slice() {
        [] => "No drawing to scale".to_owned(),
        [one] => format!("Scale {}", one.scale.as_ref().map_or("none: not to be measured", |s| s.name)),
        [one, rest @ ..] if rest.iter().all(|v| v.scale == one.scale) => {
            format!("Scale {}", one.scale.as_ref().map_or("none: not to be measured", |s| s.name))
        }
        _ => "Scales as at each drawing".to_owned(),
    }
}
