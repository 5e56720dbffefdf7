//! A value as it stands in the file: with its place, and not yet judged.
//!
//! serde stops at the first wrong scalar; a builder wants to hear of all of them at once. So a [`Written`] takes any
//! scalar, keeps its place, and is judged later, together with all others.

use std::borrow::Cow;
use std::marker::PhantomData;
use std::ops::Range;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{self, Deserialize, Deserializer, Visitor};
use serde_spanned::Spanned;

use crate::quantity::{Angle, Density, Length, Money, PENNIES, Percentage, QuantityError, is_in_pennies};

/// What kind of scalar stands in the file.
#[derive(Clone, Debug, PartialEq)]
pub enum Raw {
    /// A quoted text.
    Text(String),
    /// A whole number.
    Whole(i64),
    /// A number with a fraction, `nan` and `inf` among them.
    Number(f64),
    /// `true` or `false`.
    Flag(bool),
    /// A date, a list or a table where one value belongs.
    Other,
}

/// A scalar of the design file that is meant to be a `T`, with the bytes where it stands.
#[derive(Clone, Debug)]
pub struct Written<T> {
    /// What stands there.
    pub raw: Raw,
    /// Where, in bytes of the file.
    pub span: Range<usize>,
    meant: PhantomData<T>,
}

impl<T: Scalar> Written<T> {
    /// Judges the value.
    pub fn read(&self) -> Result<T, QuantityError> {
        T::read(&self.raw)
    }
}

impl<'de, T> Deserialize<'de> for Written<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let spanned = Spanned::<Raw>::deserialize(deserializer)?;
        Ok(Written { span: spanned.span(), raw: spanned.into_inner(), meant: PhantomData })
    }
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Any;
        impl<'de> Visitor<'de> for Any {
            type Value = Raw;
            fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str("a value")
            }
            fn visit_str<E: de::Error>(self, v: &str) -> Result<Raw, E> {
                Ok(Raw::Text(v.to_owned()))
            }
            fn visit_i64<E: de::Error>(self, v: i64) -> Result<Raw, E> {
                Ok(Raw::Whole(v))
            }
            fn visit_i128<E: de::Error>(self, v: i128) -> Result<Raw, E> {
                Ok(Raw::Number(v as f64))
            }
            fn visit_u64<E: de::Error>(self, v: u64) -> Result<Raw, E> {
                Ok(i64::try_from(v).map_or(Raw::Number(v as f64), Raw::Whole))
            }
            fn visit_f64<E: de::Error>(self, v: f64) -> Result<Raw, E> {
                Ok(Raw::Number(v))
            }
            fn visit_bool<E: de::Error>(self, v: bool) -> Result<Raw, E> {
                Ok(Raw::Flag(v))
            }
            fn visit_seq<A: de::SeqAccess<'de>>(self, mut seq: A) -> Result<Raw, A::Error> {
                while seq.next_element::<de::IgnoredAny>()?.is_some() {}
                Ok(Raw::Other)
            }
            fn visit_map<A: de::MapAccess<'de>>(self, mut map: A) -> Result<Raw, A::Error> {
                while map.next_entry::<de::IgnoredAny, de::IgnoredAny>()?.is_some() {}
                Ok(Raw::Other)
            }
        }
        deserializer.deserialize_any(Any)
    }
}

impl<T: Scalar> JsonSchema for Written<T> {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> Cow<'static, str> {
        T::NAME.into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        T::schema()
    }
}

/// A kind of scalar: how it is judged and how the schema describes it.
pub trait Scalar: Sized {
    /// What the kind is called in messages.
    const NAME: &'static str;
    /// Judges what stands in the file.
    fn read(raw: &Raw) -> Result<Self, QuantityError>;
    /// JSON Schema of the kind.
    fn schema() -> Schema;
}

pub(super) fn fault<T>(message: impl Into<String>, hint: impl Into<String>) -> Result<T, QuantityError> {
    Err(QuantityError { message: message.into(), hint: hint.into() })
}

/// Text for a kind that is written as a quoted text; a bare number gets a hint that shows the number with a unit.
pub(super) fn quoted<'a>(raw: &'a Raw, name: &str, unit: &str) -> Result<&'a str, QuantityError> {
    let bare = name.trim_start_matches("an ").trim_start_matches("a ");
    match raw {
        Raw::Text(text) => Ok(text),
        Raw::Whole(n) => fault(format!("{name} without a unit"), format!("write the unit, in quotes: \"{n} {unit}\"")),
        Raw::Number(n) if n.is_finite() => {
            fault(format!("{name} without a unit"), format!("write the unit, in quotes: \"{n} {unit}\""))
        }
        Raw::Number(_) => {
            fault(format!("not a number is no {bare}"), format!("write a size, in quotes: \"3/8 {unit}\""))
        }
        _ => fault(format!("this is no {bare}"), format!("write it in quotes, with its unit: \"10 {unit}\"")),
    }
}

impl Scalar for Length {
    const NAME: &'static str = "length";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        quoted(raw, "a length", "in")?.parse()
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a length with its unit, such as \"11 7/8 in\", \"12 ft 6 1/2 in\" or \"302 mm\""})
    }
}

impl Scalar for Angle {
    const NAME: &'static str = "angle";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        quoted(raw, "an angle", "deg")?.parse()
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "an angle, such as \"6:12\" or \"26.6 deg\""})
    }
}

impl Scalar for Density {
    const NAME: &'static str = "density";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        quoted(raw, "a density", "kg/m3")?.parse()
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a density, such as \"450 kg/m3\" or \"28 lb/ft3\""})
    }
}

impl Scalar for Money {
    const NAME: &'static str = "price";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        match raw {
            Raw::Text(text) => text.parse(),
            _ => fault("a price belongs here", "write it in quotes, without a currency: \"12.40\""),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a price, such as \"12.40\""})
    }
}

impl Scalar for Percentage {
    const NAME: &'static str = "percentage";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        match raw {
            Raw::Text(text) => text.parse(),
            _ => fault("a percentage belongs here", "write it in quotes: \"3 %\""),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a percentage, such as \"3 %\""})
    }
}

impl Scalar for String {
    const NAME: &'static str = "text";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        match raw {
            Raw::Text(text) => Ok(text.clone()),
            _ => fault("a text belongs here", "put it in quotes"),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "string"})
    }
}

impl Scalar for bool {
    const NAME: &'static str = "true or false";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        match raw {
            Raw::Flag(flag) => Ok(*flag),
            _ => fault("true or false belongs here", "write true or false, without quotes"),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "boolean"})
    }
}

impl Scalar for i64 {
    const NAME: &'static str = "whole number";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        match raw {
            Raw::Whole(n) => Ok(*n),
            _ => fault("a whole number belongs here", "write it without quotes and without a unit, such as 2"),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "integer"})
    }
}

/// A kind that is one of a few words.
pub trait Choice: Copy + 'static {
    /// What the kind is called in messages.
    const NAME: &'static str;
    /// The words and what they mean.
    const WORDS: &'static [(&'static str, Self)];
}

impl<T: Choice> Scalar for T {
    const NAME: &'static str = T::NAME;
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        let words = || T::WORDS.iter().map(|(w, _)| format!("\"{w}\"")).collect::<Vec<_>>().join(", ");
        let Raw::Text(text) = raw else {
            return fault(format!("this is no {}", T::NAME), format!("write one of {}", words()));
        };
        if let Some((_, value)) = T::WORDS.iter().find(|(w, _)| w.eq_ignore_ascii_case(text.trim())) {
            return Ok(*value);
        }
        let hint = match nearest(text, T::WORDS.iter().map(|(w, _)| *w)) {
            _ if is_in_pennies(text) => format!("{PENNIES}; one of {}", words()),
            Some(word) => format!("did you mean \"{word}\"? one of {}", words()),
            None => format!("write one of {}", words()),
        };
        fault(format!("\"{text}\" is no {}", T::NAME), hint)
    }
    fn schema() -> Schema {
        let words: Vec<&str> = T::WORDS.iter().map(|(w, _)| *w).collect();
        json_schema!({"type": "string", "enum": words})
    }
}

/// The word most like `text`, if any is like it at all. Capitals make no difference.
pub fn nearest<'a>(text: &str, words: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let text = text.to_lowercase();
    words
        .map(|w| (strsim::jaro_winkler(&text, &w.to_lowercase()), w))
        .filter(|(likeness, _)| *likeness > 0.7)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, w)| w)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_in_capitals_are_found_too_and_strange_ones_are_not() {
        let names = || ["S-R03", "N-R15", "skylight", "S-LK02"].into_iter();
        assert_eq!(nearest("s-r3", names()), Some("S-R03"));
        assert_eq!(nearest("S-R033", names()), Some("S-R03"));
        assert_eq!(nearest("N-R51", names()), Some("N-R15"));
        assert_eq!(nearest("SKYLIGTH", names()), Some("skylight"));
        assert_eq!(nearest("quux", names()), None);
    }
}
