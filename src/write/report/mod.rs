//! Everything on one page: `report.html`.
//!
//! Aim: one file to hand over, read on a phone in a glove, printed in the office. Reason: nothing to install, nothing to
//! fetch: styles, script and drawings are in the file, and its own policy forbids the browser to ask anyone for anything.
//! Limits: ticks are kept by the browser that made them, under the plan fingerprint, and nowhere else. Whatever a name
//! holds is shown as text.

use std::collections::BTreeMap;
use std::io::{self, Write};

use minijinja::value::Serde;
use minijinja::{Environment, Value, context};
use serde::Serialize;

use super::{broken, svg};
use crate::check::Verdict;
use crate::quantity::{Length, Units};
use crate::scene::{EvidenceRecord, FindingRecord, ReportHeader, Scene};
use crate::sheet::picture::Picture;
use crate::sheet::table::List;
use crate::sheet::{Sheet, Subject};

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = include_str!("ticks.js");

#[derive(Serialize)]
struct Shown<'a> {
    number: usize,
    verdict: &'static str,
    message: &'a str,
    parts: String,
    place: String,
    evidence: Vec<String>,
    mends: Vec<(&'a str, &'a str)>,
    advice: &'a [String],
    source: String,
    key: String,
    picture: Value,
}

#[derive(Serialize)]
struct Group<'a> {
    check: &'a str,
    title: &'a str,
    verdict: &'static str,
    findings: Vec<Shown<'a>>,
}

/// Checks that did not run for one and the same reason.
#[derive(Serialize)]
struct Unchecked<'a> {
    reason: &'a str,
    titles: Vec<&'a str>,
}

#[derive(Serialize)]
struct ShownList<'a> {
    title: &'a str,
    name: String,
    columns: &'a [String],
    rows: Vec<(String, &'a [String])>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct ShownSheet<'a> {
    title: &'a str,
    name: &'a str,
    drawing: Value,
}

/// Writes the report. `lists` get a tick box for each row; sheets that only hold lists are left out.
///
/// # Errors
/// Those of `out`; a page that cannot be made.
pub fn write(
    scene: &Scene<'_>,
    sheets: &[Sheet],
    pictures: &[Picture],
    lists: &[List],
    out: &mut dyn Write,
) -> io::Result<()> {
    let h = &scene.header;
    let drawn: BTreeMap<usize, &Picture> = pictures.iter().map(|p| (p.number, p)).collect();
    let lists: Vec<ShownList<'_>> = lists
        .iter()
        .map(|l| ShownList {
            title: &l.title,
            name: slug(&l.title),
            columns: &l.columns,
            rows: rows(l),
            notes: &l.notes,
        })
        .collect();
    let sheets: Vec<ShownSheet<'_>> = sheets
        .iter()
        .filter(|s| s.subject != Subject::List)
        .map(|s| ShownSheet { title: &s.title, name: &s.name, drawing: Value::from_safe_string(svg::inline(s, "")) })
        .collect();
    let mut environment = Environment::new();
    environment.add_template("page.html", PAGE).map_err(|e| broken(format!("the page cannot be made: {e}")))?;
    let page = environment.get_template("page.html").map_err(|e| broken(format!("the page cannot be made: {e}")))?;
    let html = page
        .render(context! {
            style => Value::from_safe_string(STYLE.to_owned()),
            script => Value::from_safe_string(SCRIPT.to_owned()),
            header => Value::from(Serde(h)),
            verdict => h.verdict.name(),
            fails => h.count(Verdict::Fail),
            warns => h.count(Verdict::Warn),
            unconfirmed => h.count(Verdict::Unconfirmed),
            unchecked => count_of(h, Verdict::NotChecked),
            not_checked => Value::from(Serde(unchecked(h))),
            checks => h.checks.iter().map(|c| vec![c.name.clone(), c.title.clone(), c.verdict.name().to_owned(), c.findings.to_string()]).collect::<Vec<_>>(),
            groups => Value::from(Serde(groups(scene, &drawn))),
            lists => Value::from(Serde(lists)),
            sheets => Value::from(Serde(sheets)),
        })
        .map_err(|e| broken(format!("the page cannot be made: {e}")))?;
    out.write_all(html.as_bytes())
}

/// How many checks ended with a verdict.
fn count_of(header: &ReportHeader, verdict: Verdict) -> usize {
    header.checks.iter().filter(|c| c.verdict == verdict).count()
}

/// What was not checked, each reason told once, in the order of the table of checks.
fn unchecked(header: &ReportHeader) -> Vec<Unchecked<'_>> {
    let mut all: Vec<Unchecked<'_>> = Vec::new();
    for check in header.checks.iter().filter(|c| c.verdict == Verdict::NotChecked) {
        let reason = check.reason.as_deref().unwrap_or("no reason was given");
        match all.iter_mut().find(|u| u.reason == reason) {
            Some(u) => u.titles.push(&check.title),
            None => all.push(Unchecked { reason, titles: vec![&check.title] }),
        }
    }
    all
}

/// Rows with a key each: the row's first text, and how many before it had the same.
fn rows(list: &List) -> Vec<(String, &[String])> {
    let mut seen: BTreeMap<&str, usize> = BTreeMap::new();
    list.rows
        .iter()
        .map(|r| {
            let first = r.first().map_or("", String::as_str);
            let n = seen.entry(first).or_default();
            *n += 1;
            (format!("{}:{first}:{n}", list.title), r.as_slice())
        })
        .collect()
}

/// Findings of one check and verdict together, in the order of their numbers.
fn groups<'a>(scene: &'a Scene<'_>, drawn: &BTreeMap<usize, &Picture>) -> Vec<Group<'a>> {
    let h = &scene.header;
    let mut all: Vec<Group<'a>> = Vec::new();
    let mut seen: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for f in &h.findings {
        let first = f.parts.first().map_or("", String::as_str);
        let n = seen.entry((&f.check, first)).or_default();
        *n += 1;
        let shown = shown(f, scene.units, format!("finding:{}:{first}:{n}", f.check), drawn.get(&f.number).copied());
        let verdict = f.verdict.name();
        match all.iter_mut().find(|g| g.check == f.check && g.verdict == verdict) {
            Some(g) => g.findings.push(shown),
            None => {
                let title = h.checks.iter().find(|c| c.name == f.check).map_or("", |c| c.title.as_str());
                all.push(Group { check: &f.check, title, verdict, findings: vec![shown] });
            }
        }
    }
    all
}

fn shown<'a>(f: &'a FindingRecord, units: Units, key: String, picture: Option<&Picture>) -> Shown<'a> {
    let show = |m: f64| Length::from_metres(m).show(units);
    let label = |p: &Picture| {
        let label = format!("Flag {} from above: {}", f.number, f.message);
        Value::from_safe_string(svg::cutout(&p.items, &p.window, &label))
    };
    Shown {
        number: f.number,
        verdict: f.verdict.name(),
        message: &f.message,
        parts: f.parts.join(", "),
        place: f.place.as_ref().map_or_else(String::new, |p| {
            format!("slope {}, {} along, {} up", p.slope, show(p.on_slope[0]), show(p.on_slope[1]))
        }),
        evidence: f.evidence.iter().map(|e| evidence(e, units)).collect(),
        mends: f.mends.iter().map(|m| (m.text.as_str(), m.design_change.as_str())).collect(),
        advice: &f.advice,
        source: match f.source.line {
            Some(line) => format!("{} (line {line} of the design file)", f.source.text),
            None => f.source.text.clone(),
        },
        key,
        picture: picture.map_or(Value::from(()), label),
    }
}

/// One number against its limit.
fn evidence(e: &EvidenceRecord, units: Units) -> String {
    let show = |v: f64| match e.unit.as_str() {
        "m" => Length::from_metres(v).show_fine(units),
        "count" => format!("{v}"),
        unit => format!("{v:.3} {unit}"),
    };
    match e.limit {
        Some(limit) => format!("{}: {}, limit {}", e.what, show(e.found), show(limit)),
        None => format!("{}: {}", e.what, show(e.found)),
    }
}

/// A text as an anchor: letters, digits and hyphens.
fn slug(text: &str) -> String {
    let plain: String =
        text.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' }).collect();
    format!("list-{plain}")
}
