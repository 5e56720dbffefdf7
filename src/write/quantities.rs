//! Counts, lengths, areas and masses as CSV.
//!
//! Aim: a list for buying that opens in any spreadsheet. Reason: the same figure is wanted twice, once to reckon with
//! and once as people say it. Limits: SI columns to a thousandth of a millimetre, a square millimetre or a milligram;
//! a cell is empty where the figure says nothing. A cell that a spreadsheet would run as a formula starts with an
//! apostrophe. A last column holds the notes, beside the first row: scope line, fingerprint, defaults in force, cautions.

use std::io::{self, Write};

use super::text::{Noted, cell, number};
use crate::quantity::{Length, Units, show_area, show_mass, show_total_length};
use crate::scene::Scene;

const COLUMNS: [&str; 9] = ["kind", "size", "count", "length_m", "area_m2", "mass_kg", "length", "area", "mass"];

/// Writes `quantities.csv`.
///
/// # Errors
/// Those of `out`; a figure that is not finite.
pub fn write(scene: &Scene<'_>, out: &mut dyn Write) -> io::Result<()> {
    let header = &scene.header;
    let fingerprint = format!("plan fingerprint {}", header.fingerprint);
    let defaults = format!("defaults in force: {}", header.defaults_text());
    let notes = [header.scope.as_str(), fingerprint.as_str(), defaults.as_str()];
    let notes = notes.into_iter().chain(header.cautions.iter().map(String::as_str));
    let columns = COLUMNS.iter().map(|c| (*c).to_owned()).collect();
    let mut rows = Noted::new(csv::Writer::from_writer(out), columns, notes);
    for q in &scene.quantities {
        let shown = |value: Option<f64>, show: fn(f64, Units) -> String| {
            value.map(|v| show(v, scene.units)).unwrap_or_default()
        };
        rows.row(vec![
            cell(&q.kind).into_owned(),
            cell(&q.size).into_owned(),
            q.count.to_string(),
            plain(q.length)?,
            plain(q.area)?,
            plain(q.mass)?,
            shown(q.length, |m, units| show_total_length(Length::from_metres(m), units)),
            shown(q.area, show_area),
            shown(q.mass, show_mass),
        ])?;
    }
    rows.finish()
}

fn plain(value: Option<f64>) -> io::Result<String> {
    value.map_or(Ok(String::new()), |v| number(v, 6))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::write::fixture::{self, List};

    fn rows(units: Units) -> Vec<Vec<String>> {
        let source = List::default();
        let mut scene = fixture::scene(&source);
        scene.units = units;
        let mut out = Vec::new();
        write(&scene, &mut out).unwrap();
        let mut reader = csv::Reader::from_reader(out.as_slice());
        assert_eq!(reader.headers().unwrap().iter().take(9).collect::<Vec<_>>(), COLUMNS);
        reader.records().map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect()
    }

    #[test]
    fn figures_stand_in_both_units() {
        let inches = rows(Units::Inches);
        // 35.4 m / 0.3048 = 116.14 ft; 27.1235 kg / 0.45359237 = 59.797 lb; 48 m2 / 0.3048^2 = 516.67 sq ft.
        let first = ["batten", "1 in x 4 in", "6", "35.4", "", "27.123457", "116.1 ft", "", "59.8 lb"];
        assert_eq!(inches[0][..9], first);
        assert_eq!(inches[1], ["'=cmd", "'@x", "1", "", "48", "", "", "516.7 sq ft", "", ""]);
        assert_eq!(inches[2], ["tape", "2 in", "0", "", "", "", "", "", "", ""]);
        let millimetres = rows(Units::Millimetres);
        assert_eq!(millimetres[0][6..9], ["35.4 m", "", "27.1 kg"]);
        assert_eq!(millimetres[1][6..], ["", "48 m2", "", ""]);
    }

    #[test]
    fn notes_stand_beside_the_first_row() {
        let notes = "Backing was checked; wind and snow were not. | plan fingerprint k3f9-22ab | \
                     defaults in force: batten.spacing = 24 in (common) | Measure before driving. | =A mark is not a proof.";
        assert_eq!(rows(Units::Inches)[0][9], notes);
        assert_eq!(rows(Units::Inches).len(), fixture::scene(&List::default()).quantities.len());
    }

    #[test]
    fn a_figure_that_is_none_is_refused() {
        let source = List::default();
        let mut scene = fixture::scene(&source);
        scene.quantities[2].mass = Some(f64::NAN);
        let error = write(&scene, &mut Vec::new()).unwrap_err();
        assert_eq!(error.kind(), io::ErrorKind::InvalidData);
    }
}
