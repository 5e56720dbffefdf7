//! A sheet as SVG.
//!
//! Aim: a drawing that any browser shows, whose texts are found and whose lines are measured. Reason: text stays text,
//! and every shape says what it shows and which part. Limits: coordinates in millimetres to a hundredth; the typeface is
//! named, not enclosed, and each text states its width, so that another typeface keeps within it.

use std::fmt::Write as _;
use std::io::{self, Write};

use crate::sheet::Sheet;
use crate::sheet::draw::{Anchor, Ink, Item, Pen, Point, Rect};
use crate::sheet::font::Weight;

/// Typefaces in the order of preference: the one that widths are reckoned with first.
const FAMILY: &str = "DejaVu Sans Condensed, DejaVu Sans, Liberation Sans Narrow, Arial Narrow, Arial, sans-serif";

/// Writes a sheet as a file.
///
/// # Errors
/// Those of `out`.
pub fn write(sheet: &Sheet, out: &mut dyn Write) -> io::Result<()> {
    out.write_all(b"<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")?;
    out.write_all(inline(sheet, "").as_bytes())
}

/// A sheet as an element within a page. `attributes` go into its tag as they are.
pub fn inline(sheet: &Sheet, attributes: &str) -> String {
    let (w, h) = sheet.size;
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = write!(
        text,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"0 0 {} {}\" font-family=\"{FAMILY}\" role=\"img\" {attributes}>\n<title>{}</title>\n",
        number(w),
        number(h),
        number(w),
        number(h),
        escaped(&sheet.title)
    );
    for v in &sheet.views {
        let _ = write!(text, "<g data-view=\"{}\"", escaped(&v.name));
        if let Some(scale) = &v.scale {
            let _ = write!(text, " data-scale=\"{}\"", scale.factor);
        }
        for (k, row) in v.rows.iter().enumerate() {
            let _ = write!(text, " data-row{k}=\"{} {} {} {}\"", row[0], row[1], row[2], row[3]);
        }
        text.push_str("/>\n");
    }
    let _ = writeln!(text, "<rect width=\"{}\" height=\"{}\" fill=\"#ffffff\"/>", number(w), number(h));
    items(&mut text, &sheet.items);
    text.push_str("</svg>\n");
    text
}

/// A window of a drawing as an element within a page.
pub fn cutout(drawn: &[Item], window: &Rect, label: &str) -> String {
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{} {} {} {}\" font-family=\"{FAMILY}\" role=\"img\"><title>{}</title>\n",
        number(window.x0),
        number(window.y0),
        number(window.width()),
        number(window.height()),
        escaped(label)
    );
    items(&mut text, drawn);
    text.push_str("</svg>\n");
    text
}

fn items(text: &mut String, items: &[Item]) {
    for item in items {
        match item {
            Item::Path { rings, closed, pen, fill, class, part } => {
                let _ = write!(text, "<path class=\"{}\"", class.replace(' ', "-"));
                if let Some(part) = part {
                    let _ = write!(text, " data-part=\"{}\"", escaped(part));
                }
                match fill {
                    Some(ink) => {
                        let _ = write!(text, " fill=\"{}\" fill-rule=\"evenodd\"", colour(*ink));
                    }
                    None => text.push_str(" fill=\"none\""),
                }
                if let Some(pen) = pen {
                    stroke(text, pen);
                }
                text.push_str(" d=\"");
                for ring in rings {
                    for (k, p) in ring.iter().enumerate() {
                        let _ = write!(text, "{}{}", if k == 0 { "M" } else { "L" }, pair(p));
                    }
                    if *closed {
                        text.push('Z');
                    }
                }
                text.push_str("\"/>\n");
            }
            Item::Text { at, text: words, set, anchor, angle } => {
                let _ = write!(
                    text,
                    "<text x=\"{}\" y=\"{}\" font-size=\"{}\"",
                    number(at.x),
                    number(at.y),
                    number(set.size)
                );
                if set.weight == Weight::Bold {
                    text.push_str(" font-weight=\"bold\"");
                }
                match anchor {
                    Anchor::Start => {}
                    Anchor::Middle => text.push_str(" text-anchor=\"middle\""),
                    Anchor::End => text.push_str(" text-anchor=\"end\""),
                }
                let _ = write!(text, " fill=\"{}\"", colour(set.ink));
                if *angle != 0.0 {
                    let _ = write!(text, " transform=\"rotate({} {} {})\"", number(-angle), number(at.x), number(at.y));
                }
                if words.chars().count() > 1 {
                    let _ =
                        write!(text, " textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"", number(set.width(words)));
                }
                let _ = writeln!(text, " xml:space=\"preserve\">{}</text>", escaped(words));
            }
        }
    }
}

fn stroke(text: &mut String, pen: &Pen) {
    let _ = write!(
        text,
        " stroke=\"{}\" stroke-width=\"{}\" stroke-linejoin=\"round\"",
        colour(pen.ink),
        number(pen.weight)
    );
    let dash = pen.dash.pattern();
    if !dash.is_empty() {
        let parts: Vec<String> = dash.iter().map(|d| number(*d)).collect();
        let _ = write!(text, " stroke-dasharray=\"{}\"", parts.join(" "));
    }
}

fn colour(ink: Ink) -> String {
    let [r, g, b] = ink.rgb();
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// A number to a hundredth (angles and sizes as well as places), without trailing zeros.
fn number(v: f64) -> String {
    let whole = (v * 100.0).round() as i64;
    let (sign, whole) = (if whole < 0 { "-" } else { "" }, whole.abs());
    match whole % 100 {
        0 => format!("{sign}{}", whole / 100),
        r if r % 10 == 0 => format!("{sign}{}.{}", whole / 100, r / 10),
        r => format!("{sign}{}.{r:02}", whole / 100),
    }
}

fn pair(p: &Point) -> String {
    format!("{} {}", number(p.x), number(p.y))
}

/// A text for markup: what a design's names contain is shown, never obeyed. Characters that no XML may hold are replaced.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c < ' ' || matches!(c, '\u{7f}'..='\u{9f}' | '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        for (v, text) in
            [(0.0, "0"), (-0.001, "0"), (1.005, "1"), (-2.5, "-2.5"), (3.456, "3.46"), (10.0, "10"), (0.07, "0.07")]
        {
            assert_eq!(number(v), text);
        }
    }

    #[test]
    fn markup_in_names_is_shown() {
        assert_eq!(escaped("<b a='1'>&\"\u{0}\u{1F600}"), "&lt;b a=&#39;1&#39;&gt;&amp;&quot;\u{fffd}\u{1F600}");
    }
}
