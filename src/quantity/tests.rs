//! Tests of the whole module: tables first, then properties.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test that meets the unexpected fails by panicking"
)]

use proptest::prelude::*;

use super::{Angle, Density, Length, QuantityError, Units, running, show_area, show_mass, show_total_length};

const BOTH: [Units; 2] = [Units::Inches, Units::Millimetres];
const NM_PER_32ND: i64 = 793_750;

fn length(text: &str) -> Length {
    text.parse().unwrap_or_else(|e: QuantityError| panic!("{text:?}: {e}"))
}

fn nm(nanometres: i64) -> Length {
    Length::from_nanometres(nanometres)
}

#[test]
fn inch_and_foot_are_those_of_the_1959_agreement() {
    // International yard and pound agreement, 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg, exactly.
    assert_eq!(length("1 in"), length("25.4 mm"));
    assert_eq!(length("1 in").metres().to_bits(), 0.0254_f64.to_bits());
    assert_eq!(length("1 ft"), length("304.8 mm"));
    assert_eq!(length("1 ft").metres().to_bits(), 0.3048_f64.to_bits());
    assert_eq!(length("3 ft").metres().to_bits(), 0.9144_f64.to_bits());
    assert_eq!(show_mass(0.453_592_37 * 5.0, Units::Inches), "5 lb");
}

#[test]
fn sixty_fourths_are_whole_nanometres() {
    assert_eq!(length("1/64 in"), nm(396_875));
    assert_eq!(length("24 in").metres().to_bits(), length("609.6 mm").metres().to_bits());
    assert_eq!(length("24 in").metres().to_bits(), Length::from_inches(24.0).metres().to_bits());
}

#[test]
fn accepted_lengths() {
    let table = [
        ("11 7/8 in", 301_625_000),
        ("11-7/8 in", 301_625_000),
        ("11 7/8\"", 301_625_000),
        ("11-7/8in", 301_625_000),
        ("11 7 / 8 in", 301_625_000),
        ("11\u{2044}16 in", 17_462_500),
        ("3/8 in", 9_525_000),
        ("0/8 in", 0),
        (".5 in", 12_700_000),
        ("0.148 in", 3_759_200),
        ("007 in", 177_800_000),
        ("12'-6 1/2\"", 3_822_700_000),
        ("12' 6-1/2\"", 3_822_700_000),
        ("12' - 6 1/2\"", 3_822_700_000),
        ("12'- 6 1/2\"", 3_822_700_000),
        ("12'-6-1/2\"", 3_822_700_000),
        ("34'-0\"", 10_363_200_000),
        ("34'-0", 10_363_200_000),
        ("12'-6 1/2", 3_822_700_000),
        ("12'6\"", 3_810_000_000),
        ("12' 6.5\"", 3_822_700_000),
        ("12' 1/2\"", 3_670_300_000),
        ("5'3-1/2\"", 1_612_900_000),
        ("1-1/2in", 38_100_000),
        ("12 ft", 3_657_600_000),
        ("12.5 ft", 3_810_000_000),
        ("12 1/2 ft", 3_810_000_000),
        ("12'", 3_657_600_000),
        ("12 ft 6 1/2 in", 3_822_700_000),
        ("12 ft 6 in", 3_810_000_000),
        ("12 ft. 6 in.", 3_810_000_000),
        ("12 ft .5 in", 3_670_300_000),
        ("12 Feet 6 INCHES", 3_810_000_000),
        ("1 foot 1 inch", 330_200_000),
        ("12ft6in", 3_810_000_000),
        ("12′ 6½″", 3_822_700_000),
        ("12’ 6”", 3_810_000_000),
        ("6½ in", 165_100_000),
        ("6 ½ in", 165_100_000),
        ("6-½ in", 165_100_000),
        ("½ in", 12_700_000),
        ("¼ in", 6_350_000),
        ("¾ in", 19_050_000),
        ("⅛ in", 3_175_000),
        ("⅜ in", 9_525_000),
        ("⅝ in", 15_875_000),
        ("⅞ in", 22_225_000),
        ("302 mm", 302_000_000),
        ("302MM", 302_000_000),
        ("30.2 cm", 302_000_000),
        ("1.2 m", 1_200_000_000),
        ("  1.2 m\t", 1_200_000_000),
        ("0 mm", 0),
        ("-0 in", 0),
        ("-3/8 in", -9_525_000),
        ("- 3/8 in", -9_525_000),
        ("−3/8 in", -9_525_000),
        ("-1 1/2 in", -38_100_000),
        ("-1-1/2 in", -38_100_000),
        ("-1'-6\"", -457_200_000),
        ("-1 ft 6 in", -457_200_000),
        ("100000 m", 100_000_000_000_000),
        ("-100000 m", -100_000_000_000_000),
        // One nanometre is the last decimal; more are rounded, halves away from zero.
        ("0.000001 mm", 1),
        ("0.0000004999 mm", 0),
        ("0.0000005 mm", 1),
        ("-0.0000005 mm", -1),
        ("0.00000049999999999999999999999999 mm", 0),
        ("0.0000004999999999999999999999999999999999999999999 m", 500),
        ("0.00000000050000000000000000000000000001 m", 1),
        ("1/3 in", 8_466_667),
    ];
    for (text, expected) in table {
        assert_eq!(length(text), nm(expected), "{text}");
    }
}

#[test]
fn negative_zero_is_read_as_zero() {
    assert!(length("-0 in").metres().is_sign_positive());
}

#[test]
fn refused_lengths_say_why_and_what_instead() {
    let table = [
        ("", "empty", "3/8 in"),
        (" \t", "empty", "10 mm"),
        ("12", "no unit", "3/8 in"),
        ("11 7/8", "no unit", "10 mm"),
        ("12'6", "no unit", "3/8 in"),
        ("12 ft 6 1/2", "no unit", "3/8 in"),
        ("12 yd", "not a known unit", "ft"),
        ("10d", "not a known unit", "no diameter"),
        ("12 km", "not a known unit", "mm"),
        ("12 inn", "not a known unit", "in"),
        ("1/0 in", "divides by zero", "3/8 in"),
        ("1 0/0 in", "divides by zero", "3/8 in"),
        ("117/8 in", "top-heavy", "blank missing"),
        ("8/8 in", "top-heavy", "blank missing"),
        ("1 9/8 in", "top-heavy", "blank missing"),
        ("1/2/3 in", "do not fit", "11 7/8 in"),
        ("1.5/2 in", "cannot be read", "whole numbers"),
        ("1/2.5 in", "cannot be read", "whole numbers"),
        ("3/ in", "cannot be read", "whole numbers"),
        ("/8 in", "number is missing", "3/8 in"),
        ("1.5 1/2 in", "decimal and a fraction", "1 1/2 in"),
        ("1.5½ in", "decimal and a fraction", "1 1/2 in"),
        ("1 2 in", "do not fit", "11 7/8 in"),
        ("1 2 3/8 in", "do not fit", "11 7/8 in"),
        ("1.2.3 in", "do not fit", "11 7/8 in"),
        ("5. in", "digit after it", "5.0"),
        (". in", "digit after it", "0.5"),
        ("12 ft.6 in", "between a word and a digit", "12 ft 0.6 in"),
        ("1,5 mm", "comma", "1.5 mm"),
        ("1,500 mm", "comma", "1500 mm"),
        ("12 ft, 6 in", "comma", "point"),
        ("1e3 mm", "power of ten", "1500 mm"),
        ("1E3 mm", "power of ten", "1500 mm"),
        ("NaN in", "not a number", "3/8 in"),
        ("inf m", "not a number", "10 mm"),
        ("-infinity mm", "not a number", "10 mm"),
        ("in", "number is missing", "3/8 in"),
        ("mm 10", "number is missing", "10 mm"),
        ("-", "number is missing", "3/8 in"),
        ("--3 in", "minus sign", "in front"),
        ("+3 in", "no place", "3/8 in"),
        ("3 in -", "minus sign", "in front"),
        ("12' -6\"", "minus sign", "in front"),
        ("12'--6\"", "minus sign", "in front"),
        ("11 - 7/8 in", "do not fit", "11 7/8 in"),
        ("11 -7/8 in", "do not fit", "11 7/8 in"),
        ("11- 7/8 in", "do not fit", "11 7/8 in"),
        ("11 -½ in", "do not fit", "11 7/8 in"),
        ("12-6 in", "do not fit", "11 7/8 in"),
        ("12''", "number is missing", "3/8 in"),
        ("1 m 20 cm", "two metric", "1.2 m"),
        ("1 ft 20 mm", "mixes metric", "one system"),
        ("1 m 6 in", "mixes metric", "one system"),
        ("6 in 1 ft", "feet and then inches", "12 ft 6 1/2 in"),
        ("6 in 6 in", "feet and then inches", "12 ft 6 1/2 in"),
        ("6 ft 6 ft", "feet and then inches", "12 ft 6 1/2 in"),
        ("6 ft 6 in 6 in", "left over", "once"),
        ("1.5 ft 6 in", "part of a foot", "whole number"),
        ("1 1/2' 6\"", "part of a foot", "whole number"),
        ("1 ft 12 in", "twelve inches", "below 12"),
        ("100000.000000001 m", "too large", "100 km"),
        ("4000000 in", "too large", "100 km"),
        ("328084 ft 11 in", "too large", "100 km"),
        ("99999999999999999999999999999999999999999999 mm", "too large", "100 km"),
        ("1/99999999999999999999999999999999999999999999 in", "too large", "100 km"),
        ("१२ in", "no place", "3/8 in"),
        ("3 \u{0} in", "no place", "3/8 in"),
        ("$3 in", "no place", "3/8 in"),
    ];
    for (text, message, hint) in table {
        match text.parse::<Length>() {
            Ok(read) => panic!("{text:?} was read as {read:?}"),
            Err(e) => {
                assert!(e.message.contains(message), "{text:?}: message {:?}", e.message);
                assert!(e.hint.contains(hint), "{text:?}: hint {:?}", e.hint);
                assert_eq!(e.to_string(), format!("{} ({})", e.message, e.hint));
            }
        }
    }
}

#[test]
fn long_texts_are_cut_in_messages() {
    let text = "7".repeat(5000);
    let message = text.parse::<Length>().unwrap_err().message;
    assert!(message.contains("777..."), "{message}");
    assert!(message.len() < 120, "{message}");
    let message = "3\nin\nx".parse::<Length>().unwrap_err().message;
    assert!(!message.contains('\n'), "{message}");
}

#[test]
fn shown_lengths() {
    let table = [
        ("12 ft 6 1/2 in", "12 ft 6 1/2 in", "3823 mm"),
        ("3/8 in", "3/8 in", "10 mm"),
        ("0 in", "0 in", "0 mm"),
        ("-14 in", "-1 ft 2 in", "-356 mm"),
        ("11 7/8 in", "11 7/8 in", "302 mm"),
        // Half a sixteenth and more is carried, up to the foot.
        ("11.96875 in", "1 ft 0 in", "304 mm"),
        ("11.96874 in", "11 15/16 in", "304 mm"),
        ("23.99 in", "2 ft 0 in", "609 mm"),
        ("12 ft 1/2 in", "12 ft 1/2 in", "3670 mm"),
        ("1/32 in", "1/16 in", "1 mm"),
        ("-1/32 in", "-1/16 in", "-1 mm"),
        ("0.031 in", "0 in", "1 mm"),
        ("-0.031 in", "0 in", "-1 mm"),
        ("-0.4 mm", "0 in", "0 mm"),
        ("0.5 mm", "0 in", "1 mm"),
        ("-0.5 mm", "0 in", "-1 mm"),
        ("100000 m", "328083 ft 11 7/8 in", "100000000 mm"),
    ];
    for (text, inches, millimetres) in table {
        assert_eq!(length(text).show(Units::Inches), inches, "{text}");
        assert_eq!(length(text).show(Units::Millimetres), millimetres, "{text}");
    }
}

#[test]
fn finely_shown_lengths() {
    let table = [
        ("1 13/16 in", "1.813 in", "46 mm"),
        ("1/4 in", "0.25 in", "6.4 mm"),
        ("9.5 mm", "0.374 in", "9.5 mm"),
        ("46 mm", "1.811 in", "46 mm"),
        ("0.148 in", "0.148 in", "3.8 mm"),
        ("120 in", "120 in", "3048 mm"),
        ("-1/4 in", "-0.25 in", "-6.4 mm"),
        ("-0.0004 in", "0 in", "0 mm"),
        ("0.0005 in", "0.001 in", "0 mm"),
        ("0.05 mm", "0.002 in", "0.1 mm"),
    ];
    for (text, inches, millimetres) in table {
        assert_eq!(length(text).show_fine(Units::Inches), inches, "{text}");
        assert_eq!(length(text).show_fine(Units::Millimetres), millimetres, "{text}");
    }
}

#[test]
fn design_file_texts() {
    let table = [
        ("24 in", "24 in", "609.6 mm"),
        ("11 7/8 in", "11 7/8 in", "301.625 mm"),
        ("1/64 in", "1/64 in", "0.396875 mm"),
        ("0 in", "0 in", "0 mm"),
        ("-1 1/2 in", "-1 1/2 in", "-38.1 mm"),
        ("302 mm", "11.88976378 in", "302 mm"),
        ("0.148 in", "0.148 in", "3.7592 mm"),
        ("-0.000001 mm", "-0.00000004 in", "-0.000001 mm"),
    ];
    for (text, inches, millimetres) in table {
        assert_eq!(length(text).to_text(Units::Inches), inches, "{text}");
        assert_eq!(length(text).to_text(Units::Millimetres), millimetres, "{text}");
    }
}

#[test]
fn what_is_no_number_is_shown_as_such_and_not_read_back() {
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        for units in BOTH {
            let value = Length::from_metres(value);
            for text in [value.show(units), value.show_fine(units), value.to_text(units)] {
                assert_eq!(text, "no usable number");
                assert!(text.parse::<Length>().is_err());
            }
        }
    }
    assert_eq!(show_area(f64::NAN, Units::Millimetres), "no usable number m2");
}

#[test]
fn arithmetic() {
    let (two, three) = (Length::from_metres(2.0), Length::from_metres(3.0));
    assert_eq!(two + three, Length::from_metres(5.0));
    assert_eq!(two - three, -Length::from_metres(1.0));
    assert_eq!((two - three).abs(), Length::from_metres(1.0));
    assert_eq!(two * 1.5, three);
    assert_eq!(three / 1.5, two);
    assert!((three / two - 1.5).abs() < 1e-15);
    assert_eq!(two.min(three), two);
    assert_eq!(two.max(three), three);
    assert_eq!(two.total_cmp(&three), std::cmp::Ordering::Less);
    assert_eq!(Length::default(), Length::ZERO);
    assert!(two < three);
}

#[test]
fn from_inches_keeps_what_is_between_nanometres() {
    let third = Length::from_millimetres(1e-6 / 3.0);
    assert!((third.metres() - 1e-9 / 3.0).abs() < 1e-24);
    let quarter = Length::from_millimetres(1_000.000_000_25);
    assert!((quarter.metres() - 1.000_000_000_25).abs() < 1e-15);
    let quarter = Length::from_inches(1000.0 + 0.25 / 25_400_000.0);
    assert!((quarter.metres() - 25.400_000_000_25).abs() < 1e-14);
}

#[test]
fn angles() {
    let table = [
        ("6:12", 26.565_051_177_077_99, "26.6 deg", "6:12"),
        (" 6 : 12 ", 26.565_051_177_077_99, "26.6 deg", "6:12"),
        ("1:2", 26.565_051_177_077_99, "26.6 deg", "6:12"),
        ("6 1/2:12", 28.442_928_624_363_09, "28.4 deg", "6.5:12"),
        ("12:12", 45.0, "45 deg", "12:12"),
        ("0:12", 0.0, "0 deg", "0:12"),
        ("-6:12", -26.565_051_177_077_99, "-26.6 deg", "-6:12"),
        ("26.6 deg", 26.6, "26.6 deg", "6:12"),
        ("26.6°", 26.6, "26.6 deg", "6:12"),
        ("30 Degrees", 30.0, "30 deg", "30 deg"),
        ("90 deg", 90.0, "90 deg", "90 deg"),
        ("180 deg", 180.0, "180 deg", "180 deg"),
        ("87 deg", 87.0, "87 deg", "87 deg"),
        ("-0.01 deg", -0.01, "0 deg", "0:12"),
        ("0.3 rad", 17.188_733_853_924_695, "17.2 deg", "17.2 deg"),
    ];
    for (text, degrees, shown, pitch) in table {
        let angle: Angle = text.parse().unwrap_or_else(|e| panic!("{text:?}: {e}"));
        assert!((angle.degrees() - degrees).abs() < 1e-12, "{text}: {}", angle.degrees());
        assert_eq!(angle.show(), shown, "{text}");
        assert_eq!(angle.show_pitch(), pitch, "{text}");
    }
    assert!((Angle::from_radians(0.3).radians() - 0.3).abs() < 1e-16);
    // Just inside and just outside a hundredth of a half rise.
    let rise = |r: f64| Angle::from_radians((r / 12.0).atan()).show_pitch();
    assert_eq!(rise(4.0099), "4:12");
    assert_eq!(rise(4.0101), "18.5 deg");
}

#[test]
fn refused_angles() {
    let table = [
        ("", "empty"),
        ("26.6", "what kind of angle"),
        ("6/12", "what kind of angle"),
        ("6:0", "not above zero"),
        ("6:-12", "not above zero"),
        ("6:", "number is missing"),
        (":12", "number is missing"),
        ("6:12:3", "no place"),
        ("6:12 deg", "one number"),
        ("deg", "number is missing"),
        ("20 grad", "not a known unit"),
        ("20,5 deg", "comma"),
        ("360.1 deg", "full turn"),
        ("7 rad", "full turn"),
        ("nan deg", "not a known unit"),
    ];
    for (text, message) in table {
        match text.parse::<Angle>() {
            Ok(read) => panic!("{text:?} was read as {read:?}"),
            Err(e) => {
                assert!(e.message.contains(message), "{text:?}: {:?}", e.message);
                assert!(e.hint.contains("6:12"), "{text:?}: {:?}", e.hint);
            }
        }
    }
}

#[test]
fn densities() {
    let read = |text: &str| text.parse::<Density>().map(Density::kg_per_m3);
    assert_eq!(read("450 kg/m3"), Ok(450.0));
    assert_eq!(read(" 450 KG/M³ "), Ok(450.0));
    // 1 lb/ft3 = 16.018 46 kg/m3 (NIST SP 811, appendix B; from memory).
    let wood = read("28.5 lb/ft3").unwrap();
    assert!((wood - 28.5 * 16.018_46).abs() < 1e-4, "{wood}");
    assert_eq!(Density::from_kg_per_m3(450.0).kg_per_m3().to_bits(), 450.0_f64.to_bits());
    let refused = [
        ("", "empty"),
        ("450", "no unit"),
        ("450 kg", "not a known unit"),
        ("450 kg/m2", "not a known unit"),
        ("kg/m3", "number is missing"),
        ("0 kg/m3", "not above zero"),
        ("-450 kg/m3", "not above zero"),
        ("450000 kg/m3", "above that of any metal"),
        ("4 5 kg/m3", "one number"),
        ("0,45 kg/m3", "comma"),
    ];
    for (text, message) in refused {
        let e = text.parse::<Density>().expect_err(text);
        assert!(e.message.contains(message), "{text:?}: {:?}", e.message);
        assert!(e.hint.contains("450 kg/m3"), "{text:?}: {:?}", e.hint);
    }
}

#[test]
fn totals_masses_and_areas() {
    let total = length("123 ft 5 in");
    assert_eq!(show_total_length(total, Units::Inches), "123.4 ft");
    assert_eq!(show_total_length(total, Units::Millimetres), "37.6 m");
    assert_eq!(show_total_length(length("12 ft"), Units::Inches), "12 ft");
    assert_eq!(show_mass(0.004, Units::Millimetres), "0 kg");
    assert_eq!(show_mass(-0.004, Units::Millimetres), "0 kg");
    assert_eq!(show_mass(5.678, Units::Millimetres), "5.68 kg");
    assert_eq!(show_mass(56.78, Units::Millimetres), "56.8 kg");
    assert_eq!(show_mass(567.8, Units::Millimetres), "568 kg");
    assert_eq!(show_mass(100.0, Units::Millimetres), "100 kg");
    assert_eq!(show_mass(10.0, Units::Inches), "22 lb");
    assert_eq!(show_area(11.46, Units::Millimetres), "11.5 m2");
    // 1 ft2 = 0.092 903 04 m2 (NIST SP 811, appendix B; from memory).
    assert_eq!(show_area(9.290_304, Units::Inches), "100 sq ft");
}

#[test]
fn running_measures_do_not_add_up_rounding() {
    // Invented: lines every 16.02 in. Marks chained from rounded steps would stand at
    // 16 in each; after 40 steps they would be 0.8 in short.
    let step = length("16.02 in");
    let marks: Vec<Length> = (0..=40_i32).map(|n| step * f64::from(n)).collect();
    let shown = running(&marks, Units::Inches);
    assert_eq!(shown.first().map(String::as_str), Some("0 in"));
    assert_eq!(shown.get(1).map(String::as_str), Some("1 ft 4 in"));
    assert_eq!(shown.last().map(String::as_str), Some("53 ft 4 13/16 in"));
    assert_eq!(running(&[], Units::Inches), Vec::<String>::new());
}

/// Text made of the characters lengths are made of, so that most of it is nearly right.
fn nearly_a_length() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        "[0-9]{1,3}",
        "[0-9]{1,40}",
        Just("-".to_owned()),
        Just("/".to_owned()),
        Just(".".to_owned()),
        Just(",".to_owned()),
        Just(":".to_owned()),
        Just(" ".to_owned()),
        Just("'".to_owned()),
        Just("\"".to_owned()),
        Just("′".to_owned()),
        Just("″".to_owned()),
        Just("½".to_owned()),
        Just("⅞".to_owned()),
        Just("°".to_owned()),
        Just("in".to_owned()),
        Just("ft".to_owned()),
        Just("mm".to_owned()),
        Just("m".to_owned()),
        Just("deg".to_owned()),
        Just("kg/m³".to_owned()),
        Just("İ".to_owned()),
    ];
    prop::collection::vec(piece, 0..10).prop_map(|pieces| pieces.concat())
}

fn check_any_text(text: &str) -> Result<(), TestCaseError> {
    let complete = |e: &QuantityError| !e.message.is_empty() && !e.hint.is_empty();
    match text.parse::<Length>() {
        Ok(read) => {
            prop_assert!(read.metres().abs() <= 100_000.0);
            prop_assert_eq!(read.to_text(Units::Inches).parse::<Length>(), Ok(read));
        }
        Err(e) => prop_assert!(complete(&e)),
    }
    match text.parse::<Angle>() {
        Ok(read) => prop_assert!(read.radians().abs() <= std::f64::consts::TAU),
        Err(e) => prop_assert!(complete(&e)),
    }
    match text.parse::<Density>() {
        Ok(read) => prop_assert!(read.kg_per_m3() > 0.0 && read.kg_per_m3() < 23_001.0),
        Err(e) => prop_assert!(complete(&e)),
    }
    Ok(())
}

/// Any length within the readable range, short ones as often as long ones.
fn any_nanometres() -> impl Strategy<Value = i64> {
    const LONGEST: i64 = 100_000_000_000_000;
    prop_oneof![
        -LONGEST..=LONGEST,
        -20_000_000_000_i64..20_000_000_000,
        -1_000_i64..1_000,
        (-10_000_i64..10_000).prop_map(|n| n * 396_875),
    ]
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in any::<String>()) {
        check_any_text(&text)?;
    }

    #[test]
    fn any_nearly_right_text_is_read_or_refused(text in nearly_a_length()) {
        check_any_text(&text)?;
    }

    #[test]
    fn design_file_text_is_the_identity(n in any_nanometres()) {
        for units in BOTH {
            let text = nm(n).to_text(units);
            let back = length(&text);
            prop_assert_eq!(back.metres().to_bits(), nm(n).metres().to_bits(), "{}", text);
        }
    }

    #[test]
    fn shown_text_is_half_a_step_away_at_most(n in any_nanometres().prop_filter("rounds beyond 100 km", |n| n.abs() < 99_999_000_000_000)) {
        let steps = [
            (nm(n).show(Units::Inches), NM_PER_32ND),
            (nm(n).show(Units::Millimetres), 500_000),
            (nm(n).show_fine(Units::Inches), 12_700),
            (nm(n).show_fine(Units::Millimetres), 50_000),
        ];
        for (text, most) in steps {
            let back = length(&text).nanometres().unwrap();
            prop_assert!((back - i128::from(n)).abs() <= i128::from(most), "{}", text);
        }
    }

    #[test]
    fn a_minus_sign_changes_nothing_else(n in any_nanometres()) {
        for units in BOTH {
            for (plus, minus) in [
                (nm(n.abs()).show(units), nm(-n.abs()).show(units)),
                (nm(n.abs()).show_fine(units), nm(-n.abs()).show_fine(units)),
                (nm(n.abs()).to_text(units), nm(-n.abs()).to_text(units)),
            ] {
                let zero = plus.starts_with("0 ");
                prop_assert_eq!(minus, if zero { plus } else { format!("-{plus}") });
            }
        }
    }

    #[test]
    fn feet_and_inches_are_exact_however_written(
        feet in 0_i64..300, inches in 0_i64..12, power in 1_u32..=6, top in 0_i64..64, negative: bool,
    ) {
        let bottom = 1_i64 << power;
        let top = top % bottom;
        let size = feet * 304_800_000 + inches * 25_400_000 + top * 25_400_000 / bottom;
        let expected = nm(if negative { -size } else { size });
        let sign = if negative { "-" } else { "" };
        for text in [
            format!("{sign}{feet}'-{inches} {top}/{bottom}\""),
            format!("{sign}{feet}' {inches}-{top}/{bottom}\""),
            format!("{sign}{feet}′{inches} {top}⁄{bottom}″"),
            format!("{sign}{feet} ft {inches} {top}/{bottom} in"),
            format!("{sign}{feet} FEET {inches}-{top}/{bottom} Inches"),
            format!("{sign}{} {top}/{bottom} in", feet * 12 + inches),
        ] {
            prop_assert_eq!(length(&text), expected, "{}", text);
        }
    }

    #[test]
    fn decimals_are_exact(whole in 0_i64..100_000, millionths in 0_i64..1_000_000) {
        let expected = nm(whole * 1_000_000 + millionths);
        let text = format!("{whole}.{millionths:06} mm");
        prop_assert_eq!(length(&text), expected);
    }

    #[test]
    fn constants_in_code_equal_texts(thousandths in -1_000_000_i32..1_000_000) {
        let value = f64::from(thousandths) / 1000.0;
        prop_assert_eq!(Length::from_inches(value), length(&format!("{value} in")));
        prop_assert_eq!(Length::from_millimetres(value), length(&format!("{value} mm")));
    }

    #[test]
    fn half_pitches_are_shown_and_read_back(halves in -48_i32..=48) {
        let pitch = Angle::from_radians((f64::from(halves) / 24.0).atan());
        let text = pitch.show_pitch();
        prop_assert!(text.ends_with(":12"), "{}", text);
        let back: Angle = text.parse().unwrap();
        prop_assert!((back.radians() - pitch.radians()).abs() < 1e-15);
    }
}
