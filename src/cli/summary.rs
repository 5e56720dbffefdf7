//! What the terminal shows: scope first, then findings, quantities, defaults, cautions.

use std::fmt::Write;
use std::path::PathBuf;

use comfy_table::presets::UTF8_HORIZONTAL_ONLY;
use comfy_table::{ContentArrangement, Table};

use crate::check::Verdict;
use crate::quantity::{Length, show_area, show_mass, show_total_length};
use crate::scene::{FindingRecord, Scene};

/// How many part names a grouped row lists.
const NAMES: usize = 4;

/// The summary of a scene.
pub fn text(scene: &Scene<'_>, written: &[PathBuf]) -> String {
    let h = &scene.header;
    let mut text = heading(scene);
    findings(&mut text, &h.findings);
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
    if !written.is_empty() {
        let _ = writeln!(text, "\nWritten");
        for path in written {
            let _ = writeln!(text, "  {}", path.display());
        }
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

/// An empty table.
pub fn table() -> Table {
    let mut table = Table::new();
    table.load_style(UTF8_HORIZONTAL_ONLY).set_content_arrangement(ContentArrangement::Dynamic);
    if table.width().is_none() {
        table.set_width(110);
    }
    table
}

/// A message without its names, numbers and sides: findings whose messages have the same shape say the same.
fn shape(f: &FindingRecord) -> Vec<&str> {
    let plain = |w: &&str| !w.chars().any(|c| c.is_ascii_digit()) && !matches!(*w, "left" | "right");
    f.message.split_whitespace().filter(plain).collect()
}

/// Increasing numbers as people write them: `1, 3-5`; cut after a few.
fn ranges(numbers: impl Iterator<Item = usize>) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for n in numbers {
        match runs.last_mut() {
            Some(run) if run.1 + 1 == n => run.1 = n,
            _ => runs.push((n, n)),
        }
    }
    let shown = |(a, b): &(usize, usize)| if a == b { a.to_string() } else { format!("{a}-{b}") };
    let few: Vec<String> = runs.iter().take(NAMES).map(shown).collect();
    if runs.len() > NAMES { format!("{}, ...", few.join(", ")) } else { few.join(", ") }
}

/// Findings, worst first; those of one check and verdict share a row.
pub fn findings(text: &mut String, findings: &[FindingRecord]) {
    if findings.is_empty() {
        let _ = writeln!(text, "No findings in what was checked.");
        return;
    }
    let count = |v: Verdict| findings.iter().filter(|f| f.verdict == v).count();
    let _ = writeln!(
        text,
        "Findings: {} fail, {} warn (airlath explain NAME tells more)",
        count(Verdict::Fail),
        count(Verdict::Warn)
    );
    let mut table = table();
    table.set_header(["flags", "verdict", "check", "what, and what helps"]);
    let mut groups: Vec<Vec<&FindingRecord>> = Vec::new();
    for f in findings {
        let alike = |g: &&mut Vec<&FindingRecord>| {
            g.first().is_some_and(|o| o.verdict == f.verdict && o.check == f.check && shape(o) == shape(f))
        };
        match groups.iter_mut().find(alike) {
            Some(group) => group.push(f),
            None => groups.push(vec![f]),
        }
    }
    for group in groups {
        let Some(first) = group.first() else { continue };
        let same = group.len();
        let numbers = ranges(group.iter().map(|f| f.number));
        let mut what = first.message.clone();
        if same > 1 {
            // A clash is of two parts; everything else has one to look at.
            let parts = if first.check == "clash" { 2 } else { 1 };
            let names: Vec<String> = group
                .iter()
                .skip(1)
                .take(NAMES)
                .map(|f| f.parts.iter().take(parts).cloned().collect::<Vec<_>>().join(" with "))
                .collect();
            let more = (same - 1).saturating_sub(names.len());
            let _ = write!(what, "\nlikewise {}", names.join(", "));
            if more > 0 {
                let _ = write!(what, " and {more} more");
            }
        }
        if let Some(help) = first.first_help() {
            let _ = write!(what, "\n{help}");
        }
        table.add_row([numbers, first.verdict.name().to_owned(), first.check.clone(), what]);
    }
    let _ = writeln!(text, "{table}");
}
