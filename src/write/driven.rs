//! A drive log as CSV: a form to fill, or a log carried over to another plan.
//!
//! Aim: a table that opens in any spreadsheet, is filled on the roof and is read back whole. Reason: names and planned places
//! that are printed need not be typed. Limits: bare numbers are in the units that the heading states, to a hundredth of a
//! millimetre or four decimals of an inch. Rows that begin with `#` are remarks, and are read as such.

use std::io::{self, Write};

use super::text::{cell, not_thousands};
use crate::quantity::Units;
use crate::scene::DriveRow;

/// Remarks under a form, cautions first.
const REMARKS: [&str; 6] = [
    "# outcome: held, missed (left in), pre-drilled, not yet (or empty), hole",
    "# across and up: how far from the planned place, to the right and up the slope; may stay empty",
    "# a further try at one fastener is a further row with the next attempt",
    "# seal: empty (the tape decides), patched, open. confirmed: yes after a second look",
    "# a hole that was found: outcome hole, landing = the slope's name, fastener = a number, across and up = x and y",
    "# rows that begin with this sign are not read",
];

/// Writes rows with their heading.
///
/// # Errors
/// Those of `out`.
pub fn write(rows: &[DriveRow], cautions: &[String], units: Units, out: &mut dyn Write) -> io::Result<()> {
    let mut csv = csv::Writer::from_writer(out);
    let unit = match units {
        Units::Inches => "in",
        Units::Millimetres => "mm",
    };
    let heading = [
        "plan".to_owned(),
        "landing".to_owned(),
        "fastener".to_owned(),
        format!("x [{unit}]"),
        format!("y [{unit}]"),
        "attempt".to_owned(),
        "outcome".to_owned(),
        format!("across [{unit}]"),
        format!("up [{unit}]"),
        "seal".to_owned(),
        "confirmed".to_owned(),
        "note".to_owned(),
    ];
    csv.write_record(&heading)?;
    let number = |v: Option<f64>| v.map_or(String::new(), |v| shown(v, units));
    for row in rows {
        csv.write_record([
            row.plan.clone(),
            cell(&row.landing).into_owned(),
            row.fastener.to_string(),
            number(row.planned.map(|p| p.0)),
            number(row.planned.map(|p| p.1)),
            row.attempt.map_or(String::new(), |a| a.to_string()),
            row.outcome.to_owned(),
            number(row.offset.map(|p| p.0)),
            number(row.offset.map(|p| p.1)),
            row.seal.to_owned(),
            if row.confirmed { "yes" } else { "" }.to_owned(),
            cell(&row.note).into_owned(),
        ])?;
    }
    let remarks = REMARKS.iter().map(|r| (*r).to_owned()).chain(cautions.iter().map(|c| format!("# {c}")));
    for remark in remarks {
        let mut record = vec![String::new(); heading.len()];
        record[0] = remark;
        csv.write_record(&record)?;
    }
    csv.flush()
}

/// A number of inches or millimetres as short as it reads back to the same hundredth of a millimetre.
fn shown(metres: f64, units: Units) -> String {
    let (value, decimals) = match units {
        Units::Inches => (metres / 0.0254, 4),
        Units::Millimetres => (metres * 1000.0, 2),
    };
    let full = format!("{value:.decimals$}");
    let short = full.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".to_owned() } else { not_thousands(short.to_owned()) }
}
