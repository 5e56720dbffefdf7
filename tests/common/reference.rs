//! The reference designs of the strength tests, each once, and what reads them.
#![allow(dead_code, reason = "each test file uses its own part of this module")]

use airlath::plan::Plan;

pub const LBF: f64 = 4.448_221_615_260_5;
pub const PSF: f64 = 47.880_258_98;
pub const PSI: f64 = 6_894.757_293_168_36;

/// 1x4 of spruce-pine-fir over strips of 3/8 in and tape, rafters 24 in and courses 16 in on centre, 6:12, one 10d nail a landing,
/// pieces over two spans. INVENTED. Battens are given next to no weight, so that the hand calculation stands alone.
macro_rules! reference {
    ($strength:literal) => {
        concat!(
            r#"
format = 1
name = "Reference lattice (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "49 1/2 in"
slope_length = "12 ft"
pitch = "6:12"
[[rafters]]
section = { nominal = "2x8" }
spacing = "24 in"
[membrane]
thickness = "1/32 in"
[lattice]
tape = { width = "2 in", thickness = "1/32 in" }
batten = { nominal = "1x4", spacing = "16 in", least_piece = "24 in", density = "1 kg/m3" }
[fastening]
diameter = "0.148 in"
length = "3 in"
per_landing = 1
[strength]
rules = "NDS"
combinations = "ASCE 7-10"
members = "SPF"
battens = "SPF"
grade = "no. 2"
moisture = "dry"
"#,
            $strength,
            r#"[wind]
level = "service"
[[wind.zone]]
name = "3"
suction = "33.6 psf"
"#
        )
    };
}

/// With roofing of 5 psf, and strips that state their strength.
pub const REFERENCE: &str = reference!("roofing = \"5 psf\"\nheld = \"every course\"\nstrip = \"40 psi\"\n");

/// With next to no weight.
pub const WEIGHTLESS: &str = reference!("roofing = \"0 psf\"\nheld = \"every course\"\n");

/// Ring-shank nails by Eurocode 5, 58.5 mm of 100 in the rafter, 2 1/4 in of it ringed. INVENTED.
pub const EC5: &str = r#"
format = 1
name = "Ring-shank nails (invented)"
units = "millimetres"
[roof]
shape = "shed"
eave = "1480 mm"
slope_length = "3500 mm"
pitch = "30 deg"
[[rafters]]
section = { width = "80 mm", depth = "200 mm" }
spacing = "700 mm"
first = "40 mm"
[membrane]
thickness = "0.5 mm"
[lattice]
strip = { width = "50 mm", height = "10 mm" }
tape = { width = "60 mm", thickness = "1 mm" }
batten = { width = "60 mm", thickness = "30 mm", spacing = "400 mm", least_piece = "700 mm", density = "1 kg/m3" }
[fastening]
kind = "ring-shank nail"
diameter = "3.8 mm"
length = "100 mm"
head = "7.6 mm"
per_landing = 1
[strength]
rules = "EC5"
combinations = "EN 1991"
members = "C24"
battens = "C24"
moisture = "dry"
roofing = "0 kN/m2"
held = "every course"
[wind]
level = "service"
[[wind.zone]]
name = "F"
suction = "0.5 kPa"
"#;

/// The plan of a design without a fault.
pub fn plan(text: &str) -> Plan {
    Plan::from_text("strength.toml", text).unwrap_or_else(|f| panic!("{}\n{text}", f.render(false)))
}

/// Replaces texts, each of which must be there exactly once.
pub fn edited(text: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(text.to_owned(), |t, (from, to)| super::edited(&t, from, to))
}

pub fn near(what: &str, found: f64, asked: f64, within: f64) {
    assert!((found - asked).abs() <= within * asked.abs(), "{what}: {found}, asked {asked}");
}
