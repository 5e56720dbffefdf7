//! What the terminal shows: scope first, then findings, quantities, defaults, cautions.

use std::fmt::Write;

use comfy_table::presets::UTF8_HORIZONTAL_ONLY;
use comfy_table::{ContentArrangement, Table};

use super::output::Written;
use crate::check::Verdict;
use crate::quantity::{Length, show_area, show_mass, show_total_length};
use crate::scene::{Alike, ReportHeader, Scene, ranges};

/// A terminal of fewer columns shows no table.
const NARROW: usize = 40;
/// The width of a terminal that does not say its own.
pub const UNKNOWN_WIDTH: u16 = 110;
/// How many part names a grouped row lists.
const NAMES: usize = 4;

/// The summary of a scene.
pub fn text(scene: &Scene<'_>, written: Option<&Written>) -> String {
    let h = &scene.header;
    let mut text = heading(scene);
    findings(&mut text, h);
    if let Some(chances) = &h.chances {
        super::marks::chances(&mut text, chances);
    }
    let _ = writeln!(text, "\nQuantities");
    let mut table = table();
    table.set_header(["what", "size", "count", "length", "area", "mass"]);
    for q in &scene.quantities {
        let or_blank = |v: Option<String>| v.unwrap_or_default();
        table.add_row([
            q.kind.clone(),
            q.size.clone(),
            q.count.to_string(),
            or_blank(q.length.map(|l| show_total_length(Length::from_metres(l), scene.units))),
            or_blank(q.area.map(|a| show_area(a, scene.units))),
            or_blank(q.mass.map(|m| show_mass(m, scene.units))),
        ]);
    }
    let _ = writeln!(text, "{table}");
    let _ = writeln!(text, "\nDefaults in force (write the key to change it)");
    for d in &h.defaults {
        let _ = writeln!(text, "  {} = {}   ({})", d.key, d.value, d.why);
    }
    not_checked_and_cautions(&mut text, scene);
    if let Some(written) = written {
        let _ = writeln!(text, "\nWritten");
        for path in &written.files {
            let _ = writeln!(text, "  {}", path.display());
        }
        text.push_str(&written.said);
    }
    text
}

/// What was and was not checked, of which plan.
pub fn heading(scene: &Scene<'_>) -> String {
    let h = &scene.header;
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{}", h.scope);
    let _ = writeln!(text, "{}, plan {}", h.design, h.fingerprint);
    let _ = writeln!(text);
    text
}

/// What was not checked, and the cautions.
pub fn not_checked_and_cautions(text: &mut String, scene: &Scene<'_>) {
    let h = &scene.header;
    let _ = writeln!(text, "\nNot checked");
    for c in h.checks.iter() {
        let Some(reason) = &c.reason else { continue };
        let _ = writeln!(text, "  {}: {reason}", c.name);
    }
    let _ = writeln!(text, "\nCautions");
    for c in &h.cautions {
        let _ = writeln!(text, "  {c}");
    }
}

/// Whether the terminal, or whoever speaks for it, says that it has fewer columns than any table needs; some say none.
pub fn is_narrow() -> bool {
    let of_terminal = Table::new().width().map(usize::from);
    let stated = std::env::var("COLUMNS").ok().and_then(|c| c.trim().parse().ok());
    of_terminal.into_iter().chain(stated).any(|columns: usize| columns < NARROW)
}

/// An empty table.
pub fn table() -> Table {
    let mut table = Table::new();
    table.load_style(UTF8_HORIZONTAL_ONLY).set_content_arrangement(ContentArrangement::Dynamic);
    if table.width().is_none() || is_narrow() {
        table.set_width(UNKNOWN_WIDTH);
    }
    table
}

/// Findings, worst first; those of one check and verdict share a row.
pub fn findings(text: &mut String, header: &ReportHeader) {
    if header.findings.is_empty() {
        let _ = writeln!(text, "No findings in what was checked.");
        return;
    }
    let _ = writeln!(
        text,
        "Findings: {} fail, {} warn, {} unconfirmed (airlath explain NAME tells more)",
        header.count(Verdict::Fail),
        header.count(Verdict::Warn),
        header.count(Verdict::Unconfirmed)
    );
    let mut table = table();
    table.set_header(["flags", "verdict", "check", "what, and what helps"]);
    for group in Alike::groups(&header.findings) {
        let first = group.first;
        let mut what = first.message.clone();
        let likewise = group.likewise(NAMES);
        if !likewise.is_empty() {
            let _ = write!(what, "\nlikewise {likewise}");
        }
        if let Some(help) = first.first_help() {
            let _ = write!(what, "\n{help}");
        }
        table.add_row([ranges(group.numbers(), NAMES), first.verdict.name().to_owned(), first.check.clone(), what]);
    }
    let _ = writeln!(text, "{table}");
}
