//! The usual scales, and which of them fits.

use crate::quantity::Units;

/// Scales that a builder's rule has: name, and model millimetres in one paper millimetre, from large to small.
const INCHES: [(&str, f64); 13] = [
    ("full size", 1.0),
    ("6 in = 1 ft", 2.0),
    ("3 in = 1 ft", 4.0),
    ("1 1/2 in = 1 ft", 8.0),
    ("1 in = 1 ft", 12.0),
    ("3/4 in = 1 ft", 16.0),
    ("1/2 in = 1 ft", 24.0),
    ("3/8 in = 1 ft", 32.0),
    ("1/4 in = 1 ft", 48.0),
    ("3/16 in = 1 ft", 64.0),
    ("1/8 in = 1 ft", 96.0),
    ("3/32 in = 1 ft", 128.0),
    ("1/16 in = 1 ft", 192.0),
];
const MILLIMETRES: [(&str, f64); 10] = [
    ("1:1", 1.0),
    ("1:2", 2.0),
    ("1:5", 5.0),
    ("1:10", 10.0),
    ("1:20", 20.0),
    ("1:25", 25.0),
    ("1:50", 50.0),
    ("1:75", 75.0),
    ("1:100", 100.0),
    ("1:200", 200.0),
];

/// A scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// As people say it.
    pub name: &'static str,
    /// Model millimetres in one paper millimetre.
    pub factor: f64,
}

impl Scale {
    /// Paper millimetres of a model length in metres.
    pub fn paper(self, metres: f64) -> f64 {
        metres * 1000.0 / self.factor
    }

    /// The name and, where the name does not say it, the ratio.
    pub fn words(self) -> String {
        if self.name.starts_with("1:") { self.name.to_owned() } else { format!("{} (1:{})", self.name, self.factor) }
    }
}

/// The usual scales of a system of units, from large to small.
pub fn usual(units: Units) -> Vec<Scale> {
    let all: &[(&'static str, f64)] = match units {
        Units::Inches => &INCHES,
        Units::Millimetres => &MILLIMETRES,
    };
    all.iter().map(|(name, factor)| Scale { name, factor: *factor }).collect()
}

/// The largest usual scale, no larger than `largest` to one, at which a model size (metres) fits into a paper size
/// (millimetres); the smallest of all where none does.
pub fn fitting(units: Units, size: (f64, f64), room: (f64, f64), largest: f64) -> Scale {
    let all = usual(units);
    let fits = |s: &&Scale| s.factor >= largest && s.paper(size.0) <= room.0 + 1e-9 && s.paper(size.1) <= room.1 + 1e-9;
    let last = all.last().copied().unwrap_or(Scale { name: "1:200", factor: 200.0 });
    all.iter().find(fits).copied().unwrap_or(last)
}
