//! A list as CSV, for any spreadsheet.
//!
//! Aim: a list that opens in a spreadsheet as it is meant. Reason: a length is wanted twice, once to read aloud on the
//! roof and once to reckon with; a name that looks like a formula must not run.
//! Limits: a length column becomes two, the second in inches or millimetres to a thousandth; masses are pounds or
//! kilograms, money has two decimals, other numbers keep the unit that their heading names. Text that starts with `=`, `+`, `-`, `@`, a tab or a carriage return gets an
//! apostrophe in front; numbers stay numbers, also below zero, and none has exactly three decimals. A last column holds the
//! notes, beside the first row: those of the list, scope line, plan fingerprint, cautions.

use std::io::{self, Write};

use super::broken;
use super::text::{Noted, cell, number};
use crate::quantity::{Length, Units};
use crate::scene::{Cell, Column, ColumnKind, ReportHeader, Table, WalkedTable};

/// Writes one list.
///
/// # Errors
/// Those of `out`; a number that is not finite; a cell of another kind than its column.
pub fn write(table: &Table, header: &ReportHeader, units: Units, out: &mut dyn Write) -> io::Result<()> {
    let head = (table.name, table.columns.as_slice(), table.notes.as_slice());
    write_rows(head, &mut table.rows.iter().cloned(), header, units, out)
}

/// Writes a list whose rows are walked.
///
/// # Errors
/// As for [`write()`].
pub fn write_walked(
    table: WalkedTable<'_>,
    header: &ReportHeader,
    units: Units,
    out: &mut dyn Write,
) -> io::Result<()> {
    let WalkedTable { name, columns, notes, mut rows } = table;
    write_rows((name, &columns, &notes), &mut rows, header, units, out)
}

/// Name, columns and notes; then the rows.
fn write_rows(
    (name, columns, notes): (&str, &[Column], &[String]),
    all: &mut dyn Iterator<Item = Vec<Cell>>,
    header: &ReportHeader,
    units: Units,
    out: &mut dyn Write,
) -> io::Result<()> {
    let rows = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(out);
    let mut heads = Vec::new();
    for column in columns {
        let title = cell(column.title).into_owned();
        match column.kind {
            ColumnKind::Text | ColumnKind::Count | ColumnKind::Money => heads.push(title),
            ColumnKind::Mass => heads.push(format!("{title} ({})", mass_unit(units))),
            ColumnKind::Number(unit, _) => heads.push(format!("{title} ({unit})")),
            ColumnKind::Length => {
                heads.push(title.clone());
                heads.push(format!("{title} ({})", length_unit(units)));
            }
        }
    }
    let fingerprint = format!("plan fingerprint {}", header.fingerprint);
    let of_all = [header.scope.as_str(), fingerprint.as_str()];
    let notes = notes.iter().map(String::as_str).chain(of_all).chain(header.cautions.iter().map(String::as_str));
    let width = heads.len();
    let mut rows = Noted::new(rows, heads, notes);
    for row in all {
        let mut cells = Vec::with_capacity(width + 1);
        for (column, value) in columns.iter().zip(&row) {
            if !value.fits(column.kind) {
                return Err(broken(format!("a cell of {name} is not what its column holds")));
            }
            put(value, column.kind, units, &mut cells)?;
        }
        rows.row(cells)?;
    }
    rows.finish()
}

fn put(value: &Cell, kind: ColumnKind, units: Units, cells: &mut Vec<String>) -> io::Result<()> {
    match value {
        Cell::Empty => {
            cells.push(String::new());
            if kind == ColumnKind::Length {
                cells.push(String::new());
            }
        }
        Cell::Text(text) => cells.push(cell(text).into_owned()),
        Cell::Count(n) => cells.push(n.to_string()),
        Cell::Length(m) => {
            cells.push(cell(&Length::from_metres(*m).show(units)).into_owned());
            let per_unit = match units {
                Units::Inches => 0.0254,
                Units::Millimetres => 0.001,
            };
            cells.push(number(m / per_unit, 3)?);
        }
        Cell::Mass(kg) => {
            let per_unit = match units {
                // The pound of the 1959 agreement.
                Units::Inches => 0.453_592_37,
                Units::Millimetres => 1.0,
            };
            cells.push(number(kg / per_unit, 3)?);
        }
        Cell::Number(v) => {
            let decimals = if let ColumnKind::Number(_, decimals) = kind { decimals } else { 0 };
            cells.push(number(*v, decimals)?);
        }
        Cell::Money(hundredths) => {
            let size = hundredths.unsigned_abs();
            let sign = if *hundredths < 0 { "-" } else { "" };
            cells.push(format!("{sign}{}.{:02}", size / 100, size % 100));
        }
    }
    Ok(())
}

fn length_unit(units: Units) -> &'static str {
    match units {
        Units::Inches => "in",
        Units::Millimetres => "mm",
    }
}

fn mass_unit(units: Units) -> &'static str {
    match units {
        Units::Inches => "lb",
        Units::Millimetres => "kg",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::write::fixture::{self, List};

    fn table() -> Table {
        let mut table = Table::new(
            "t",
            "T",
            &[
                ("part", ColumnKind::Text),
                ("count", ColumnKind::Count),
                ("length", ColumnKind::Length),
                ("mass", ColumnKind::Mass),
                ("price", ColumnKind::Money),
            ],
        );
        let risky = ["=1+1", "+1", "-1", "@x", "\tx", "\rx", "a,\"b\"\nc"];
        for text in risky {
            table.push(vec![Cell::Text(text.into())]);
        }
        table.push(vec![
            Cell::Empty,
            Cell::Count(3),
            Cell::Length(-0.3048),
            Cell::Mass(0.453_592_37),
            Cell::Money(-1205),
        ]);
        table.notes.push("=note".into());
        table
    }

    fn written(units: Units) -> Vec<Vec<String>> {
        let source = List::default();
        let scene = fixture::scene(&source);
        let mut out = Vec::new();
        write(&table(), &scene.header, units, &mut out).unwrap();
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(out.as_slice());
        reader.records().map(|r| r.unwrap().iter().map(str::to_owned).collect()).collect()
    }

    #[test]
    fn text_never_runs_and_numbers_stay_numbers() {
        let rows = written(Units::Inches);
        assert_eq!(rows[0], ["part", "count", "length", "length (in)", "mass (lb)", "price", "notes"]);
        let texts: Vec<&str> = rows[1..8].iter().map(|r| r[0].as_str()).collect();
        assert_eq!(texts, ["'=1+1", "'+1", "'-1", "'@x", "'\tx", "'\rx", "a,\"b\"\nc"]);
        assert_eq!(rows[8], ["", "3", "'-1 ft 0 in", "-12", "1", "-12.05", ""]);
        assert_eq!(written(Units::Millimetres)[8], ["", "3", "'-305 mm", "-304.8", "0.4540", "-12.05", ""]);
    }

    #[test]
    fn notes_scope_line_fingerprint_and_cautions_stand_beside_the_first_row() {
        let source = List::default();
        let header = fixture::scene(&source).header;
        let rows = written(Units::Inches);
        assert!(rows[1][6].starts_with("'=note | "), "{}", rows[1][6]);
        for wanted in header.cautions.iter().chain([&header.scope, &header.fingerprint]) {
            assert!(rows[1][6].contains(wanted.as_str()), "{wanted}");
        }
        // The table has its own rows and no others.
        assert_eq!(rows.len(), 1 + table().rows.len());
        assert!(rows.iter().all(|r| r.len() == 7) && rows[2..].iter().all(|r| r[6].is_empty()));
    }

    #[test]
    fn a_cell_of_another_kind_is_refused() {
        let source = List::default();
        let header = fixture::scene(&source).header;
        let mut wrong = table();
        wrong.rows.push(vec![Cell::Count(1)]);
        assert_eq!(
            write(&wrong, &header, Units::Inches, &mut Vec::new()).unwrap_err().kind(),
            io::ErrorKind::InvalidData
        );
    }
}
