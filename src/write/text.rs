//! Small text shared by the writers.
//!
//! Aim: one way to put a number or a cell into a file. Reason: the general formatter is several times too slow for a
//! million rows of numbers, and a spreadsheet runs a cell that looks like a formula. Limits: decimals are fixed-point
//! and at most 10.

use std::borrow::Cow;
use std::io::{self, Write};

/// Appends a number with at most `decimals` (0 to 10) decimals, trailing zeros left out, never `-0`.
///
/// # Errors
/// A value that is not a number, or infinite.
pub(super) fn push_decimal(out: &mut Vec<u8>, value: f64, decimals: u32) -> io::Result<()> {
    if !value.is_finite() {
        return Err(super::broken("a number of the model is not finite"));
    }
    let unit = 10u64.pow(decimals.min(10));
    let steps = (value.abs() * unit as f64).round();
    if steps >= 9.0e15 {
        // Beyond the whole numbers of an f64 nothing stands behind the point.
        return write!(out, "{value:.0}");
    }
    let steps = steps as u64;
    if value < 0.0 && steps > 0 {
        out.push(b'-');
    }
    push_whole(out, steps / unit);
    let mut rest = steps % unit;
    if rest == 0 {
        return Ok(());
    }
    let mut width = decimals.min(10) as usize;
    while rest.is_multiple_of(10) {
        rest /= 10;
        width -= 1;
    }
    let mut digits = [b'0'; 11];
    for digit in digits.iter_mut().take(width).rev() {
        *digit = b'0' + (rest % 10) as u8;
        rest /= 10;
    }
    out.push(b'.');
    out.extend(digits.iter().take(width));
    Ok(())
}

/// A number as a cell of a table: as [`push_decimal`] writes it, never with exactly three decimals.
///
/// # Errors
/// As for [`push_decimal`].
pub(super) fn number(value: f64, decimals: u32) -> io::Result<String> {
    let mut text = Vec::new();
    push_decimal(&mut text, value, decimals)?;
    Ok(not_thousands(String::from_utf8_lossy(&text).into_owned()))
}

/// A number that no spreadsheet takes for thousands: where the point parts thousands, `183.219` is read as 183219, and
/// `183.2190` is not.
pub(super) fn not_thousands(mut number: String) -> String {
    if number.rsplit_once('.').is_some_and(|(_, decimals)| decimals.len() == 3) {
        number.push('0');
    }
    number
}

/// A table whose notes are no rows of it: they stand in a last column, beside its first row; over it where it has none.
pub(super) struct Noted<'w> {
    rows: csv::Writer<&'w mut dyn Write>,
    heading: Option<Vec<String>>,
    notes: String,
}

impl<'w> Noted<'w> {
    /// A table with its heading and its notes.
    pub(super) fn new<'n>(
        rows: csv::Writer<&'w mut dyn Write>,
        mut heading: Vec<String>,
        notes: impl Iterator<Item = &'n str>,
    ) -> Noted<'w> {
        heading.push("notes".to_owned());
        let notes = notes.collect::<Vec<_>>().join(" | ");
        Noted { rows, heading: Some(heading), notes: cell(&notes).into_owned() }
    }

    /// Writes a row.
    ///
    /// # Errors
    /// Those of the file; a row of another length than the one before.
    pub(super) fn row(&mut self, mut cells: Vec<String>) -> io::Result<()> {
        if let Some(heading) = self.heading.take() {
            self.rows.write_record(&heading)?;
        }
        cells.push(std::mem::take(&mut self.notes));
        Ok(self.rows.write_record(&cells)?)
    }

    /// Ends the table.
    ///
    /// # Errors
    /// Those of the file.
    pub(super) fn finish(mut self) -> io::Result<()> {
        if let Some(mut heading) = self.heading.take() {
            if let Some(last) = heading.last_mut() {
                *last = format!("notes: {}", self.notes);
            }
            self.rows.write_record(&heading)?;
        }
        self.rows.flush()
    }
}

/// Appends a whole number.
pub(super) fn push_whole(out: &mut Vec<u8>, value: u64) {
    let mut digits = [0u8; 20];
    let mut rest = value;
    let mut used = 0;
    for digit in digits.iter_mut().rev() {
        *digit = b'0' + (rest % 10) as u8;
        rest /= 10;
        used += 1;
        if rest == 0 {
            break;
        }
    }
    out.extend(digits.iter().skip(digits.len() - used));
}

/// Appends a text as a JSON string.
///
/// # Errors
/// None in practice: a vector takes every byte.
pub(super) fn push_json(out: &mut Vec<u8>, text: &str) -> io::Result<()> {
    Ok(serde_json::to_writer(out, text)?)
}

/// A text as a cell that no spreadsheet takes for a formula: one that starts with `=`, `+`, `-`, `@`, a tab or a
/// carriage return gets an apostrophe in front. Not for numbers.
pub(super) fn cell(text: &str) -> Cow<'_, str> {
    match text.as_bytes().first() {
        Some(b'=' | b'+' | b'-' | b'@' | b'\t' | b'\r') => Cow::Owned(format!("'{text}")),
        _ => Cow::Borrowed(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn decimal(value: f64, decimals: u32) -> String {
        let mut out = Vec::new();
        push_decimal(&mut out, value, decimals).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn decimals_are_short_and_right() {
        let table = [
            (0.0, 6, "0"),
            (-0.0, 6, "0"),
            (-0.000_000_4, 6, "0"),
            (0.000_000_6, 6, "0.000001"),
            (-1.5, 6, "-1.5"),
            (12.0, 6, "12"),
            (100.010, 6, "100.01"),
            (0.999_999_9, 6, "1"),
            (1.0 / 3.0, 10, "0.3333333333"),
            (-123_456.789_012_3, 6, "-123456.789012"),
            (1e18, 6, "1000000000000000000"),
            (7.6, 0, "8"),
        ];
        for (value, decimals, text) in table {
            assert_eq!(decimal(value, decimals), text);
        }
        assert!(push_decimal(&mut Vec::new(), f64::NAN, 6).is_err());
        assert!(push_decimal(&mut Vec::new(), f64::INFINITY, 6).is_err());
    }

    #[test]
    fn no_number_of_a_table_has_three_decimals() {
        // What LibreOffice Calc 7.4 reads under de-DE: 183.219 as 183219, 183.2190 as text, 183.22 as text.
        let table = [
            (183.219, 3, "183.2190"),
            (-0.454, 3, "-0.4540"),
            (183.2199, 3, "183.22"),
            (12.0, 3, "12"),
            (1.2344, 4, "1.2344"),
            (1.234, 6, "1.2340"),
        ];
        for (value, decimals, text) in table {
            assert_eq!(number(value, decimals).unwrap(), text);
        }
    }

    #[test]
    fn notes_stand_beside_the_first_row_or_over_a_table_without_rows() {
        let written = |rows: &[&str]| {
            let mut out: Vec<u8> = Vec::new();
            let sink: &mut dyn Write = &mut out;
            let notes = ["=one", "two"].into_iter();
            let mut table = Noted::new(csv::Writer::from_writer(sink), vec!["a".into()], notes);
            for row in rows {
                table.row(vec![(*row).to_owned()]).unwrap();
            }
            table.finish().unwrap();
            String::from_utf8(out).unwrap()
        };
        assert_eq!(written(&["1", "2"]), "a,notes\n1,'=one | two\n2,\n");
        assert_eq!(written(&[]), "a,notes: '=one | two\n");
    }

    proptest::proptest! {
        #[test]
        fn decimals_read_back(value in -1e8f64..1e8) {
            let back: f64 = decimal(value, 6).parse().unwrap();
            // Half a step, and what an f64 of that size can tell apart.
            proptest::prop_assert!((back - value).abs() <= 0.5e-6 + value.abs() * 4.0 * f64::EPSILON);
        }

        #[test]
        fn whole_numbers_are_those_of_the_standard_library(value: u64) {
            let mut out = Vec::new();
            push_whole(&mut out, value);
            proptest::prop_assert_eq!(String::from_utf8(out).unwrap(), value.to_string());
        }
    }

    #[test]
    fn cells_that_look_like_formulas_are_disarmed() {
        for risky in ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx"] {
            assert_eq!(cell(risky), format!("'{risky}"));
        }
        for plain in ["S-B12.3", "", "1 in", "a=b"] {
            assert_eq!(cell(plain), plain);
        }
    }
}
