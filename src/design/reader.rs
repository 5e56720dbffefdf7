//! Judging written values and gathering every fault.

use std::collections::BTreeSet;
use std::ops::Range;

use super::diagnostic::{Diagnostic, Lines};
use super::file::Located;
use super::keys::Told;
use super::model::{Corner, DefaultInForce, Given, Origin};
use super::written::{Scalar, Written};
use crate::quantity::{Length, Units};

/// Gathers faults and defaults while a file is judged.
pub struct Reader<'a> {
    lines: Lines<'a>,
    /// Faults so far.
    pub faults: Vec<Diagnostic>,
    /// Keys about which the document's shape says everything already.
    pub told: Vec<Told>,
    /// Keys of tables that only repeat an earlier one.
    pub doubles: BTreeSet<String>,
    /// Names of the slopes, where these are known although a slope is at fault.
    pub slope_names: Vec<String>,
    /// Slopes come of the short form, which names them by where they face.
    pub named_by_wind: bool,
    /// A name of a slope was not checked, since the slopes themselves are at fault.
    pub slopes_unchecked: bool,
    /// Defaults so far.
    pub defaults: Vec<DefaultInForce>,
    /// Units in which defaults are shown.
    pub units: Units,
}

/// The longest size that a design may state: a kilometre. Anything longer is a slip of the pen.
pub const LONGEST: Length = Length::from_metres(1000.0);
/// The shortest size that a design may state, where it must be more than nothing: a micrometre, within which two places
/// are the same one ([`crate::solid::tolerance::SAME`]).
pub const SHORTEST: Length = Length::from_metres(crate::solid::tolerance::SAME);

impl<'a> Reader<'a> {
    /// A reader of one file.
    pub fn new(source: &'a str) -> Reader<'a> {
        Reader {
            lines: Lines::of(source),
            faults: Vec::new(),
            told: Vec::new(),
            doubles: BTreeSet::new(),
            slope_names: Vec::new(),
            named_by_wind: false,
            slopes_unchecked: false,
            defaults: Vec::new(),
            units: Units::Inches,
        }
    }

    /// Line of a byte.
    pub fn line(&self, at: usize) -> usize {
        self.lines.line(at)
    }

    /// Notes a fault.
    pub fn fault(&mut self, span: Range<usize>, key: &str, message: impl Into<String>, hint: impl Into<String>) {
        self.faults.push(Diagnostic { message: message.into(), key: key.to_owned(), span, hint: hint.into() });
    }

    /// Whether a misspelt or misshapen key was meant to be this one: nothing is said of its lack, and of a list of tables not
    /// all may be known.
    pub fn may_lack(&self, key: &str) -> bool {
        self.told.iter().any(|t| t.key == key)
    }

    /// The tables of a list with their keys, without those that only repeat an earlier one.
    pub fn tables<'t, F>(&self, key: &str, tables: &'t [Located<F>]) -> Vec<(String, &'t Located<F>)> {
        let keyed = tables.iter().enumerate().map(|(i, t)| (format!("{key}[{}]", i + 1), t));
        keyed.filter(|(k, _)| !self.doubles.contains(k)).collect()
    }

    /// A value that may be missing.
    pub fn maybe<T: Scalar>(&mut self, key: &str, written: &Option<Written<T>>) -> Option<Given<T>> {
        let written = written.as_ref()?;
        match written.read() {
            Ok(value) => Some(Given { value, origin: Origin::Written(self.line(written.span.start)) }),
            Err(e) => {
                self.fault(written.span.clone(), key, e.message, e.hint);
                None
            }
        }
    }

    /// A value that must be there; `at` is the table that lacks it.
    pub fn need<T: Scalar>(
        &mut self,
        key: &str,
        written: &Option<Written<T>>,
        at: &Range<usize>,
        hint: &str,
    ) -> Option<Given<T>> {
        if written.is_none() {
            let last = key.rsplit('.').next().unwrap_or(key);
            let message = format!("missing {} `{last}`", T::NAME);
            self.fault(at.start..at.start, key, message, hint);
        }
        self.maybe(key, written)
    }

    /// A value with a default. `None` only where a value is written and wrong.
    pub fn or<T: Scalar>(
        &mut self,
        key: &str,
        written: &Option<Written<T>>,
        default: T,
        shown: &str,
        why: &'static str,
    ) -> Option<Given<T>> {
        if written.is_none() {
            self.defaults.push(DefaultInForce { key: key.to_owned(), value: shown.to_owned(), why });
            return Some(Given { value: default, origin: Origin::Default(why) });
        }
        self.maybe(key, written)
    }

    /// A length with a default; not below zero.
    pub fn length_or(
        &mut self,
        key: &str,
        written: &Option<Written<Length>>,
        default: Length,
        why: &'static str,
    ) -> Option<Given<Length>> {
        self.with_default(key, written, default, why, false)
    }

    /// A length with a default that must be more than nothing.
    pub fn size_or(
        &mut self,
        key: &str,
        written: &Option<Written<Length>>,
        default: Length,
        why: &'static str,
    ) -> Option<Given<Length>> {
        self.with_default(key, written, default, why, true)
    }

    fn with_default(
        &mut self,
        key: &str,
        written: &Option<Written<Length>>,
        default: Length,
        why: &'static str,
        open: bool,
    ) -> Option<Given<Length>> {
        let shown = default.show_fine(self.units);
        let given = self.or(key, written, default, &shown, why)?;
        self.in_range(key, written, given, Length::ZERO, open)
    }

    /// A size that must be there and be more than nothing.
    pub fn size(
        &mut self,
        key: &str,
        written: &Option<Written<Length>>,
        at: &Range<usize>,
        hint: &str,
    ) -> Option<Given<Length>> {
        let given = self.need(key, written, at, hint)?;
        self.in_range(key, written, given, Length::ZERO, true)
    }

    /// A place along something: not longer than [`LONGEST`] either way.
    pub fn place(&mut self, key: &str, written: &Option<Written<Length>>) -> Option<Option<Given<Length>>> {
        if written.is_none() {
            return Some(None);
        }
        let given = self.maybe(key, written)?;
        self.in_range(key, written, given, -LONGEST, false).map(Some)
    }

    /// A place along something; nothing where it is left out.
    pub fn place_or_zero(
        &mut self,
        key: &str,
        written: &Option<Written<Length>>,
        why: &'static str,
    ) -> Option<Given<Length>> {
        let shown = Length::ZERO.show_fine(self.units);
        let given = self.or(key, written, Length::ZERO, &shown, why)?;
        self.in_range(key, written, given, -LONGEST, false)
    }

    fn in_range(
        &mut self,
        key: &str,
        written: &Option<Written<Length>>,
        given: Given<Length>,
        low: Length,
        open: bool,
    ) -> Option<Given<Length>> {
        let span = written.as_ref().map_or(0..0, |w| w.span.clone());
        let v = given.value.metres();
        if !v.is_finite() || given.value > LONGEST {
            self.fault(span, key, "this length is beyond any roof", "the longest that is taken is 1000 m");
            None
        } else if v < low.metres() || (open && v <= low.metres()) {
            let what = if open { "this size must be more than nothing" } else { "this length is too far below zero" };
            self.fault(span, key, what, "write a positive length, such as \"3/8 in\" or \"10 mm\"");
            None
        } else if open && given.value < SHORTEST {
            self.fault(span, key, "this size is too small to build", "the least that is taken is 0.001 mm");
            None
        } else {
            Some(given)
        }
    }

    /// Two lengths: x and y, or width and height.
    pub fn pair(
        &mut self,
        key: &str,
        written: &[Written<Length>],
        span: &Range<usize>,
        positive: bool,
    ) -> Option<Corner> {
        let values = self.lengths(key, written, positive);
        match values?.as_slice() {
            [a, b] => Some((*a, *b)),
            other => {
                let n = other.len();
                self.fault(
                    list_span(written, span),
                    key,
                    format!("two lengths belong here, not {n}"),
                    "write [\"x\", \"y\"], along the eave first",
                );
                None
            }
        }
    }

    /// Three lengths: east, north, up.
    pub fn triple(&mut self, key: &str, written: &[Written<Length>], span: &Range<usize>) -> Option<[Length; 3]> {
        let values = self.lengths(key, written, false);
        match values?.as_slice() {
            [a, b, c] => Some([*a, *b, *c]),
            other => {
                let n = other.len();
                self.fault(
                    list_span(written, span),
                    key,
                    format!("three lengths belong here, not {n}"),
                    "write [\"east\", \"north\", \"up\"]",
                );
                None
            }
        }
    }

    /// A list of lengths, each within reach.
    pub fn lengths(&mut self, key: &str, written: &[Written<Length>], positive: bool) -> Option<Vec<Length>> {
        let mut values = Vec::new();
        for (i, w) in written.iter().enumerate() {
            let key = format!("{key}[{}]", i + 1);
            let w = Some(w.clone());
            let low = if positive { Length::ZERO } else { -LONGEST };
            values.push(self.maybe(&key, &w).and_then(|g| self.in_range(&key, &w, g, low, positive)).map(|g| g.value));
        }
        values.into_iter().collect()
    }

    /// A whole number between two bounds.
    pub fn count_or(
        &mut self,
        key: &str,
        written: &Option<Written<i64>>,
        default: i64,
        range: std::ops::RangeInclusive<i64>,
        why: &'static str,
    ) -> Option<Given<usize>> {
        let given = self.or(key, written, default, &default.to_string(), why)?;
        if range.contains(&given.value) {
            return Some(Given { value: usize::try_from(given.value).unwrap_or(0), origin: given.origin });
        }
        let span = written.as_ref().map_or(0..0, |w| w.span.clone());
        let hint = format!("between {} and {}", range.start(), range.end());
        self.fault(span, key, format!("{} is not possible here", given.value), hint);
        None
    }
}

fn list_span(written: &[Written<Length>], fallback: &Range<usize>) -> Range<usize> {
    match (written.first(), written.last()) {
        (Some(a), Some(b)) => a.span.start..b.span.end,
        _ => fallback.start..fallback.start,
    }
}

impl<T> Located<T> {
    /// The table.
    pub fn get(&self) -> &T {
        self.0.get_ref()
    }

    /// Its place.
    pub fn span(&self) -> Range<usize> {
        self.0.span()
    }
}
