//! A table of separated values as spreadsheets write it, cell by cell with its place in the text.
//!
//! Tolerated: a byte-order mark (taken off before), semicolons or tabs instead of commas, quotes, decimal commas, `sep=;`
//! on the first line, empty rows and columns, an apostrophe before a text; told: rows whose first cell begins with `#` and
//! that say more than a remark, and rows with fewer cells than the heading. Not
//! guessed: a column of an unknown name, a cell beyond the last column, `1,250` where commas also part the cells.

use std::ops::Range;

use crate::design::{Diagnostic, nearest};
use crate::quantity::{Length, QuantityError, Units};

/// The most faults of one table that are listed one by one.
const MOST_LISTED: usize = 100;
/// The longest length that a cell may state, metres: anything longer is a slip of the pen.
const LONGEST: f64 = 1000.0;

/// One column that a table may have.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its name in the first row.
    pub name: &'static str,
    /// Whether a table without it is at fault.
    pub needed: bool,
}

/// One cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cell {
    /// Its text, blanks at both ends left out.
    pub text: String,
    /// Where it stands, in bytes of the text.
    pub span: Range<usize>,
}

/// One row.
#[derive(Clone, Debug)]
pub struct Row {
    /// Its number as a spreadsheet counts it: the line on which it begins.
    pub number: usize,
    /// Its cells in the order of the known columns; empty where the table has no such column.
    pub cells: Vec<Cell>,
}

/// A table, read.
#[derive(Clone, Debug)]
pub struct Table {
    /// What parts the cells.
    pub delimiter: u8,
    /// The known columns.
    pub columns: &'static [Column],
    /// Units of bare numbers, column by column: those that the heading states in brackets, or the design's.
    pub units: Vec<Units>,
    /// The rows below the heading.
    pub rows: Vec<Row>,
    /// What must be said of rows that are left out or cut short, each with its number.
    pub told: Vec<String>,
}

impl Table {
    /// Reads a table; `None`, with faults, where not even its heading can be read.
    pub fn read(source: &str, columns: &'static [Column], units: Units, faults: &mut Vec<Diagnostic>) -> Option<Table> {
        let delimiter = delimiter(source);
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(source.as_bytes());
        let mut heading: Option<Vec<Option<usize>>> = None;
        let mut table =
            Table { delimiter, columns, units: vec![units; columns.len()], rows: Vec::new(), told: Vec::new() };
        let mut record = csv::StringRecord::new();
        let mut line = Lines { source, at: 0, line: 1 };
        loop {
            match reader.read_record(&mut record) {
                Ok(true) => {}
                Ok(false) => break,
                Err(e) => {
                    let message = format!("this is no table: {e}");
                    faults.push(fault(0..0, String::new(), message, "save it as CSV, with a heading in its first row"));
                    return None;
                }
            }
            let begin = record.position().map_or(0, |p| usize::try_from(p.byte()).unwrap_or(0));
            let begin = past_blank_lines(source, begin);
            let number = line.of(begin);
            let spans = spans(source, begin, delimiter, record.len());
            let cells: Vec<Cell> =
                record.iter().zip(spans).map(|(t, span)| Cell { text: cleaned(t).to_owned(), span }).collect();
            let first = cells.first().map_or("", |c| c.text.as_str());
            let says_separator = number == 1 && first.to_ascii_lowercase().starts_with("sep=");
            let remark = first.starts_with('#');
            if remark || says_separator || cells.iter().all(|c| c.text.is_empty()) {
                // A remark says all in its first cell; a row that says more may have been meant.
                if heading.is_some() && cells.iter().skip(1).any(|c| !c.text.is_empty()) {
                    table.told.push(format!("row {number} begins with # and is left out: {}", shortened(first)));
                }
                continue;
            }
            match &heading {
                None => heading = Some(table.heading(&cells, number, faults)?),
                Some(places) => {
                    if cells.len() < places.len() {
                        let (has, all) = (cells.len(), places.len());
                        table.told.push(format!(
                            "row {number} ends after {has} of {all} cells; the others are read as empty: was it cut off?"
                        ));
                    }
                    let row = table.row(cells, places, number, faults);
                    table.rows.push(row);
                }
            }
        }
        if heading.is_none() {
            let names: Vec<&str> = columns.iter().map(|c| c.name).collect();
            let hint = format!("the first row names the columns: {}", names.join(", "));
            faults.push(fault(0..0, String::new(), "the table has no heading".into(), &hint));
            return None;
        }
        Some(table)
    }

    /// Which known column each cell of the heading names.
    fn heading(&mut self, cells: &[Cell], number: usize, faults: &mut Vec<Diagnostic>) -> Option<Vec<Option<usize>>> {
        let before = faults.len();
        let mut places = Vec::new();
        for cell in cells {
            let (name, unit) = split_unit(&cell.text);
            if name.is_empty() {
                places.push(None);
                continue;
            }
            let known = self.columns.iter().position(|c| c.name.eq_ignore_ascii_case(name));
            let key = || format!("row {number}");
            match known {
                None => {
                    let names: Vec<&str> = self.columns.iter().map(|c| c.name).collect();
                    let hint = match nearest(name, names.iter().copied()) {
                        Some(near) => format!("did you mean `{near}`? what has no column of its own goes into `note`"),
                        None => {
                            format!("columns: {}; what has no column of its own goes into `note`", names.join(", "))
                        }
                    };
                    faults.push(fault(cell.span.clone(), key(), format!("no column is named `{name}`"), &hint));
                }
                Some(k) if places.contains(&Some(k)) => {
                    let message = format!("column `{name}` stands here twice");
                    faults.push(fault(cell.span.clone(), key(), message, "keep one of them"));
                }
                Some(k) => {
                    if let Some(unit) = unit {
                        match unit.to_ascii_lowercase().as_str() {
                            "in" | "inches" => self.units[k] = Units::Inches,
                            "mm" | "millimetres" => self.units[k] = Units::Millimetres,
                            _ => faults.push(fault(
                                cell.span.clone(),
                                key(),
                                format!("bare numbers cannot be in `{unit}`"),
                                "write [in] or [mm] behind the column's name, or nothing: the design's units",
                            )),
                        }
                    }
                    places.push(Some(k));
                    continue;
                }
            }
            places.push(None);
        }
        let names: Vec<&str> = self.columns.iter().filter(|c| c.needed).map(|c| c.name).collect();
        for (k, column) in self.columns.iter().enumerate() {
            if column.needed && !places.contains(&Some(k)) {
                let at = cells.first().map_or(0, |c| c.span.start);
                let message = format!("the column `{}` is missing", column.name);
                faults.push(fault(
                    at..at,
                    format!("row {number}"),
                    message,
                    &format!("the first row names the columns: {}", names.join(", ")),
                ));
            }
        }
        (faults.len() == before).then_some(places)
    }

    fn row(&self, cells: Vec<Cell>, places: &[Option<usize>], number: usize, faults: &mut Vec<Diagnostic>) -> Row {
        let end = cells.last().map_or(0, |c| c.span.end);
        let mut row = Row { number, cells: vec![Cell { text: String::new(), span: end..end }; self.columns.len()] };
        for (i, cell) in cells.into_iter().enumerate() {
            match places.get(i) {
                Some(Some(k)) => row.cells[*k] = cell,
                _ if cell.text.is_empty() => {}
                _ => faults.push(fault(
                    cell.span,
                    format!("row {number}"),
                    format!("`{}` stands below no column's name", shortened(&cell.text)),
                    "a cell too many: is a text with commas in it not in quotes?",
                )),
            }
        }
        row
    }

    /// A cell of a row by the column's number.
    pub fn cell<'r>(&self, row: &'r Row, column: usize) -> &'r Cell {
        static NONE: Cell = Cell { text: String::new(), span: 0..0 };
        row.cells.get(column).unwrap_or(&NONE)
    }

    /// The name of a cell for messages, such as `row 7, outcome`.
    pub fn key(&self, row: &Row, column: usize) -> String {
        format!("row {}, {}", row.number, self.columns.get(column).map_or("", |c| c.name))
    }

    /// A fault of one cell.
    pub fn fault(&self, row: &Row, column: usize, message: impl Into<String>, hint: &str) -> Diagnostic {
        fault(self.cell(row, column).span.clone(), self.key(row, column), message.into(), hint)
    }

    /// The length in a cell, metres; `Ok(None)` where it is empty.
    pub fn length(&self, row: &Row, column: usize, faults: &mut Vec<Diagnostic>) -> Result<Option<f64>, ()> {
        let text = &self.cell(row, column).text;
        if text.is_empty() {
            return Ok(None);
        }
        let units = self.units.get(column).copied().unwrap_or(Units::Inches);
        match length(text, units, self.delimiter == b',') {
            Ok(l) => Ok(Some(l.metres())),
            Err(e) => {
                faults.push(self.fault(row, column, e.message, &e.hint));
                Err(())
            }
        }
    }

    /// A whole number in a cell; `Ok(None)` where it is empty.
    pub fn whole(&self, row: &Row, column: usize, faults: &mut Vec<Diagnostic>) -> Result<Option<u32>, ()> {
        let text = &self.cell(row, column).text;
        if text.is_empty() {
            return Ok(None);
        }
        // Some spreadsheets write whole numbers as 2.0 or 2,0.
        let plain = text.strip_suffix(".0").or(text.strip_suffix(",0")).unwrap_or(text);
        match plain.parse::<u32>() {
            Ok(n) if (1..=999).contains(&n) => Ok(Some(n)),
            _ => {
                let message = format!("`{}` is no number from 1 to 999", shortened(text));
                faults.push(self.fault(row, column, message, "count from 1"));
                Err(())
            }
        }
    }
}

/// Sorts faults by their place and cuts the list after some, with a last one that counts the others.
pub fn in_order(faults: &mut Vec<Diagnostic>) {
    faults.sort_by(|a, b| (a.span.start, &a.key, &a.message).cmp(&(b.span.start, &b.key, &b.message)));
    faults.dedup();
    if faults.len() > MOST_LISTED {
        let more = faults.len() - MOST_LISTED;
        faults.truncate(MOST_LISTED);
        let at = faults.last().map_or(0, |f| f.span.start);
        let message = format!("{more} more faults are not listed");
        faults.push(fault(at..at, String::new(), message, "mend those listed, then run again"));
    }
}

/// A fault.
pub fn fault(span: Range<usize>, key: String, message: String, hint: &str) -> Diagnostic {
    Diagnostic { message, key, span, hint: hint.to_owned() }
}

/// A length as people write it into a cell: with its unit, or a bare number in the given units. A decimal comma is a decimal
/// point; where commas also part the cells, a comma before three digits is not guessed.
///
/// # Errors
/// A text that is no length, or one longer than any roof.
pub fn length(text: &str, units: Units, commas_part_cells: bool) -> Result<Length, QuantityError> {
    let mut plain = text.trim().trim_start_matches('\'').trim_start_matches('+').replace(['\u{2212}', '\u{2013}'], "-");
    if let Some(at) = plain.find(',') {
        let digits = plain[at + 1..].chars().take_while(char::is_ascii_digit).count();
        let before = plain[..at].chars().next_back().is_some_and(|c| c.is_ascii_digit());
        if plain.matches(',').count() > 1 || plain.contains('.') || digits == 0 || !before {
            return Err(QuantityError {
                message: format!("`{}` has commas and points that make no number", shortened(text)),
                hint: "write one decimal comma or point, and none between thousands".into(),
            });
        }
        if commas_part_cells && digits == 3 {
            return Err(QuantityError {
                message: format!("is the comma in `{}` a decimal comma?", shortened(text)),
                hint: "write 1.250 or 1250".into(),
            });
        }
        plain.replace_range(at..=at, ".");
    }
    let bare = |c: char| c.is_ascii_digit() || matches!(c, ' ' | '.' | '-' | '/') || "¼½¾⅛⅜⅝⅞".contains(c);
    if plain.chars().all(bare) {
        plain.push_str(match units {
            Units::Inches => " in",
            Units::Millimetres => " mm",
        });
    }
    let length: Length = plain.parse()?;
    if length.metres().abs() > LONGEST {
        return Err(QuantityError {
            message: format!("`{}` is beyond any roof", shortened(text)),
            hint: "the longest that is taken is 1000 m".into(),
        });
    }
    Ok(length)
}

/// A text for a message: one line, not too long.
pub fn shortened(text: &str) -> String {
    let mut shown: String = text.chars().take(40).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(40).is_some() {
        shown.push_str("...");
    }
    shown
}

fn cleaned(text: &str) -> &str {
    let text = text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}');
    text.strip_prefix('\'').unwrap_or(text)
}

/// `across [in]` is the column `across` with bare numbers in inches.
fn split_unit(text: &str) -> (&str, Option<&str>) {
    let Some(open) = text.find(['[', '(']) else { return (text, None) };
    let unit = text[open + 1..].trim_end_matches([']', ')']).trim();
    (text[..open].trim(), Some(unit))
}

/// What parts the cells: whatever of `;`, tab and `,` stands most often in the first line that says something.
fn delimiter(source: &str) -> u8 {
    for line in source.lines() {
        let start = line.trim_start_matches(['"', '\u{feff}', ' ']);
        if let Some(rest) = start.to_ascii_lowercase().strip_prefix("sep=") {
            match rest.bytes().next() {
                Some(d @ (b';' | b',' | b'\t')) => return d,
                _ => continue,
            }
        }
        if start.is_empty() || start.starts_with('#') || start.chars().all(|c| matches!(c, ',' | ';' | '\t' | ' ')) {
            continue;
        }
        let mut quoted = false;
        let mut counts = [(b';', 0_usize), (b'\t', 0), (b',', 0)];
        for byte in line.bytes() {
            quoted ^= byte == b'"';
            for (d, n) in &mut counts {
                *n += usize::from(!quoted && byte == *d);
            }
        }
        // The first of equals: a heading with as many semicolons as commas has commas in its texts.
        let most = counts.iter().rev().filter(|(_, n)| *n > 0).max_by_key(|(_, n)| *n);
        return most.map_or(b',', |(d, _)| *d);
    }
    b','
}

fn past_blank_lines(source: &str, mut at: usize) -> usize {
    let bytes = source.as_bytes();
    while matches!(bytes.get(at), Some(b'\n' | b'\r')) {
        at += 1;
    }
    at
}

/// Where the cells of a record stand, quotes included.
fn spans(source: &str, begin: usize, delimiter: u8, count: usize) -> Vec<Range<usize>> {
    let bytes = source.as_bytes();
    let mut all = Vec::with_capacity(count);
    let (mut start, mut at) = (begin, begin);
    while all.len() < count {
        let mut quoted = bytes.get(at) == Some(&b'"');
        if quoted {
            at += 1;
        }
        while let Some(byte) = bytes.get(at) {
            match byte {
                b'"' if quoted => {
                    if bytes.get(at + 1) == Some(&b'"') {
                        at += 1;
                    } else {
                        quoted = false;
                    }
                }
                b'\n' | b'\r' if !quoted => break,
                b if *b == delimiter && !quoted => break,
                _ => {}
            }
            at += 1;
        }
        let end = at.min(source.len());
        all.push(start.min(end)..end);
        if bytes.get(at) == Some(&delimiter) {
            at += 1;
        }
        start = at;
    }
    all
}

/// Lines of increasing places, counted once.
struct Lines<'s> {
    source: &'s str,
    at: usize,
    line: usize,
}

impl Lines<'_> {
    fn of(&mut self, place: usize) -> usize {
        let bytes = self.source.as_bytes();
        while self.at < place.min(bytes.len()) {
            self.line += usize::from(bytes[self.at] == b'\n');
            self.at += 1;
        }
        self.line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COLUMNS: &[Column] = &[
        Column { name: "a", needed: true },
        Column { name: "b", needed: false },
        Column { name: "note", needed: false },
    ];

    fn read(text: &str) -> Result<Table, Vec<String>> {
        let mut faults = Vec::new();
        let table = Table::read(text, COLUMNS, Units::Inches, &mut faults);
        if faults.is_empty() { Ok(table.unwrap()) } else { Err(faults.into_iter().map(|f| f.message).collect()) }
    }

    fn texts(table: &Table) -> Vec<Vec<&str>> {
        table.rows.iter().map(|r| r.cells.iter().map(|c| c.text.as_str()).collect()).collect()
    }

    #[test]
    fn spreadsheets_habits_are_tolerated() {
        for text in [
            "a,b,note\n1,2,x\n",
            "a;b;note\r\n1;2;x\r\n",
            "a\tb\tnote\n1\t2\tx",
            "\"a\",\"b\",\"note\"\n\"1\",\"2\",\"x\"\n",
            "sep=;\na;b;note\n1;2;x\n",
            "# a remark; with semicolons;;;\nA, B ,Note\n\n 1 , 2 , x ,,\n,,,\n",
            "\"# a remark, quoted by a spreadsheet\",,\na,b,note\n1,2,x\n",
            "a,note,b,\n'1,x,2,\n",
        ] {
            let table = read(text).unwrap();
            assert_eq!(texts(&table), [["1", "2", "x"]], "{text}");
        }
    }

    #[test]
    fn cells_know_their_row_and_place() {
        let text = "# remark\na,b,note\n\n1,\"two\nlines\",\"x \"\"y\"\"\"\n3,4,\n";
        let table = read(text).unwrap();
        assert_eq!(table.rows.iter().map(|r| r.number).collect::<Vec<_>>(), [4, 6]);
        let at = |r: usize, c: usize| &text[table.rows[r].cells[c].span.clone()];
        assert_eq!([at(0, 0), at(0, 1), at(0, 2)], ["1", "\"two\nlines\"", "\"x \"\"y\"\"\""]);
        assert_eq!([at(1, 0), at(1, 1)], ["3", "4"]);
    }

    #[test]
    fn rows_left_out_or_cut_short_are_told() {
        let told = |text: &str| read(text).unwrap().told;
        let rows = "a,b,note\n# a remark,,\n\"# too\"\n\"#1\",2,x\n# 3,4,\n5,6\n7\n8,9,\n,,\n";
        assert_eq!(
            told(rows),
            [
                "row 4 begins with # and is left out: #1",
                "row 5 begins with # and is left out: # 3",
                "row 6 ends after 2 of 3 cells; the others are read as empty: was it cut off?",
                "row 7 ends after 1 of 3 cells; the others are read as empty: was it cut off?",
            ]
        );
        assert_eq!(told("# by hand, on Monday\na,b,note\n1,2,3,,\n"), [""; 0]);
    }

    #[test]
    fn nothing_is_dropped_without_a_word() {
        assert_eq!(read("a,c\n1,2\n").unwrap_err(), ["no column is named `c`"]);
        assert_eq!(read("a,a\n1,2\n").unwrap_err(), ["column `a` stands here twice"]);
        assert_eq!(read("b\n1\n").unwrap_err(), ["the column `a` is missing"]);
        assert_eq!(read("a\n1,2\n").unwrap_err(), ["`2` stands below no column's name"]);
        assert_eq!(read("").unwrap_err(), ["the table has no heading"]);
        assert_eq!(read("a [furlong]\n1\n").unwrap_err(), ["bare numbers cannot be in `furlong`"]);
    }

    #[test]
    fn lengths_are_read_as_people_write_them() {
        let inches = |text: &str| length(text, Units::Inches, true).map(|l| (l.metres() / 0.0254 * 1e6).round() / 1e6);
        for (text, value) in [
            ("3/8", 0.375),
            ("-3/8", -0.375),
            ("+3/8", 0.375),
            ("12 1/2", 12.5),
            ("0.25", 0.25),
            ("0,25", 0.25),
            ("\u{2212}0,5", -0.5),
            ("1 ft 2 in", 14.0),
            ("25.4 mm", 1.0),
            ("25,4 mm", 1.0),
            ("5½", 5.5),
            ("'-1", -1.0),
        ] {
            assert_eq!(inches(text), Ok(value), "{text}");
        }
        assert_eq!(length("9,5", Units::Millimetres, false).unwrap().metres(), 0.0095);
        assert_eq!(length("1,250", Units::Millimetres, false).unwrap().metres(), 0.00125);
        for wrong in ["1,250", "1,2,3", "1.2,3", ",5", "x", "1e3", "2 km", "9999999", "--1", "1/0"] {
            assert!(inches(wrong).is_err(), "{wrong}");
        }
    }
}
