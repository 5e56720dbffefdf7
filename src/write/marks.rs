//! Windows as CSV and as JSON.
//!
//! Aim: where one may drive, for a spreadsheet and for a program that checks it. Reason: a mark that nobody can measure
//! again is a claim. Limits: places are slope coordinates in metres; a last column of the CSV holds the notes.

use std::io::{self, Write};

use schemars::JsonSchema;
use serde::Serialize;

use super::text::{Noted, cell, number};
use crate::quantity::{Length, Units};
use crate::scene::{MarkRecord, ReportHeader};

const COLUMNS: [&str; 14] = [
    "course",
    "landing",
    "fastener",
    "on",
    "from_m (+ right)",
    "to_m (+ right)",
    "low_m (+ up)",
    "high_m (+ up)",
    "from",
    "to",
    "low",
    "high",
    "cannot be met together",
    "remedies",
];

/// A place beside the middle of a strip in words; plus is to the right, as in [`crate::scene::Marked::across`].
pub fn side(across: f64, units: Units) -> String {
    let shown = Length::from_metres(across.abs()).show(units);
    match across {
        v if v < 0.0 => format!("{shown} left"),
        v if v > 0.0 => format!("{shown} right"),
        _ => "the middle".to_owned(),
    }
}

/// Writes `marks.csv`: from where to where beside the middle of the strip, low and high from the batten's lower edge, in
/// metres and as the terminal says it; empty where there is no window. `cut_short`: not every remedy was tried, which a note says.
///
/// # Errors
/// Those of `out`; a figure that is not finite.
pub fn write(
    header: &ReportHeader,
    units: Units,
    marks: &[MarkRecord],
    cut_short: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let fingerprint = format!("plan fingerprint {}", header.fingerprint);
    let notes = [header.scope.as_str(), fingerprint.as_str()].into_iter().chain(cut_short.then_some(CUT_SHORT));
    let notes = notes.chain(header.cautions.iter().map(String::as_str));
    let columns = COLUMNS.iter().map(|c| (*c).to_owned()).collect();
    let mut rows = Noted::new(csv::Writer::from_writer(out), columns, notes);
    for m in marks {
        let figures = m.mark.map(|k| [k.across[0], k.across[1], k.up[0], k.up[1]]);
        let mut row = vec![
            cell(&m.course).into_owned(),
            cell(&m.landing).into_owned(),
            m.fastener.to_string(),
            cell(&m.on).into_owned(),
        ];
        for i in 0..4 {
            row.push(plain(figures.map(|f| f[i]))?);
        }
        let show = |v: f64| Length::from_metres(v).show(units);
        row.extend(m.mark.map_or_else(Default::default, |k| {
            [side(k.across[0], units), side(k.across[1], units), show(k.up[0]), show(k.up[1])]
        }));
        row.push(cell(&m.conflict.join(" + ")).into_owned());
        row.push(cell(&m.remedies.iter().map(|r| r.text.as_str()).collect::<Vec<_>>().join("; ")).into_owned());
        rows.row(row)?;
    }
    rows.finish()
}

fn plain(value: Option<f64>) -> io::Result<String> {
    value.map_or(Ok(String::new()), |v| number(v, 7))
}

/// What is said where remedies were left untried.
pub const CUT_SHORT: &str =
    "Not every remedy was tried: the roof is large. Ask for a part of it in a design of its own.";

/// What `windows.json` holds.
#[derive(Serialize, JsonSchema)]
struct Windows<'a> {
    format: u32,
    program: &'a str,
    design: &'a str,
    scope: &'a str,
    fingerprint: &'a str,
    cautions: &'a [String],
    /// The stated error of the hand, radians.
    tilt: f64,
    /// Least distance between two fasteners of a landing, metres.
    spacing: f64,
    /// Whether remedies were left untried: an empty window may then have more than are listed.
    remedies_cut_short: bool,
    windows: &'a [MarkRecord],
}

/// Writes `windows.json`: every window as polygons.
///
/// # Errors
/// Those of `out`.
pub fn json(
    header: &ReportHeader,
    tilt: f64,
    spacing: f64,
    marks: &[MarkRecord],
    cut_short: bool,
    out: &mut dyn Write,
) -> io::Result<()> {
    let all = Windows {
        format: 1,
        program: &header.program,
        design: &header.design,
        scope: &header.scope,
        fingerprint: &header.fingerprint,
        cautions: &header.cautions,
        tilt,
        spacing,
        remedies_cut_short: cut_short,
        windows: marks,
    };
    serde_json::to_writer(&mut *out, &all)?;
    out.write_all(b"\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scene::Marked;
    use crate::write::fixture::{self, List};

    #[test]
    fn a_row_says_where_one_may_drive_and_the_first_has_the_notes() {
        let source = List::default();
        let header = fixture::scene(&source).header;
        let open = MarkRecord {
            slope: "S".into(),
            course: "S-B01".into(),
            landing: "S-B01.L02".into(),
            fastener: 1,
            on: "S-L02".into(),
            centre: 0.6,
            edge: 0.0,
            planned: [0.6, 0.02],
            mark: Some(Marked { across: [-0.0047625, 0.00635], up: [0.0127, 0.0254] }),
            conflict: Vec::new(),
            square: Vec::new(),
            sure: Vec::new(),
            remedies: Vec::new(),
        };
        let shut = MarkRecord { mark: None, conflict: vec!["a".into(), "b".into()], ..open.clone() };
        let mut out = Vec::new();
        write(&header, Units::Inches, &[open.clone(), shut.clone()], false, &mut out).unwrap();
        let mut reader = csv::Reader::from_reader(out.as_slice());
        let rows: Vec<Vec<String>> = reader.records().map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect();
        assert_eq!(
            rows[0][4..12],
            ["-0.0047625", "0.00635", "0.0127", "0.0254", "3/16 in left", "1/4 in right", "1/2 in", "1 in"]
        );
        assert_eq!(rows[1][8..13], ["", "", "", "", "a + b"]);
        assert_eq!((rows.len(), rows[1][14].as_str()), (2, ""));
        for wanted in header.cautions.iter().chain([&header.scope, &header.fingerprint]) {
            assert!(rows[0][14].contains(wanted.as_str()), "{wanted}");
        }
        // Where remedies were left untried, both files say so.
        let mut cut = Vec::new();
        write(&header, Units::Inches, &[open, shut], true, &mut cut).unwrap();
        assert!(!String::from_utf8(out).unwrap().contains("Not every remedy"));
        assert!(String::from_utf8(cut).unwrap().contains(CUT_SHORT));
        for said in [true, false] {
            let mut out = Vec::new();
            json(&header, 0.0, 0.0, &[], said, &mut out).unwrap();
            let value: serde_json::Value = serde_json::from_slice(&out).unwrap();
            assert_eq!(value["remedies_cut_short"], said);
        }
    }
}
