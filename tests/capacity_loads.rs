//! Wind, snow, live load, combinations and battens against published tables and handbook values. Each check names its source.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use airlath::capacity::loads::{self, Amounts, Standard};
use airlath::capacity::nds::{Duration, Moisture, Temperature, board::Board, board::PERSON};
use airlath::capacity::snow::{Asce, En, Nbc, Risk};
use airlath::capacity::units::{FOOT, INCH, LBF, LBF_INCH, LBF_PER_INCH, MM, MPH, PSF, PSI};
use airlath::capacity::wind::{asce, asce::Edition, asce::Enclosure, asce::Exposure, asce::Roof, asce::Side, en};
use airlath::capacity::{Mark, NotComputed, ec5, wood};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;

fn near(a: f64, b: f64, tolerance: f64) {
    assert!((a - b).abs() <= tolerance, "{a} is not {b} within {tolerance}");
}

fn site(edition: Edition, mph: f64, exposure: Exposure, feet: f64) -> asce::Site {
    asce::Site {
        edition,
        speed: mph * MPH,
        exposure,
        height: feet * FOOT,
        topography: 1.0,
        elevation: 0.0,
        enclosure: Enclosure::Enclosed,
    }
}

fn place(edition: Edition, roof: Roof, degrees: f64, zone: &str) -> asce::Place<'_> {
    asce::Place { edition, roof, overhang: false, slope: degrees.to_radians(), zone }
}

/// Allowable stress pressure, psf.
fn asd(s: &asce::Site, roof: Roof, degrees: f64, zone: &str, square_feet: f64) -> f64 {
    let table = asce::shipped();
    let c = table.coefficient(&place(s.edition, roof, degrees, zone), Side::Suction).unwrap();
    s.net(&c, square_feet * FOOT * FOOT).unwrap() * asce::ASD_FACTOR.value / PSF
}

/// ASCE 7-10 eq. 30.3-1: 115 mph, exposure B, 30 ft: 20.144 psf.
#[test]
fn velocity_pressure() {
    let v = site(Edition::Asce7_10, 115.0, Exposure::B, 25.0).velocity().unwrap();
    near(v.pressure / PSF, 20.144, 0.01);
    near(v.kz, 0.70, 0.0);
}

/// Kz of ASCE 7-16 and 7-22 (`from memory`; the forms of 7-22 give 1.00 at 33 ft in exposure C, as they must).
#[test]
fn exposure_factors() {
    use Exposure::{B, C, D};
    let kz = |e, x, h| site(e, 115.0, x, h).velocity().unwrap().kz;
    for (h, old, new) in [
        (15.0, [0.575, 0.849, 1.030], [0.573, 0.851, 1.035]),
        (20.0, [0.624, 0.902, 1.083], [0.619, 0.903, 1.088]),
        (25.0, [0.665, 0.945, 1.126], [0.656, 0.945, 1.131]),
        (30.0, [0.701, 0.982, 1.162], [0.689, 0.980, 1.168]),
        (40.0, [0.761, 1.044, 1.222], [0.744, 1.040, 1.228]),
        (60.0, [0.854, 1.137, 1.311], [0.829, 1.129, 1.317]),
    ] {
        for (i, x) in [B, C, D].into_iter().enumerate() {
            near(kz(Edition::Asce7_16, x, h), old[i], 0.001);
            near(kz(Edition::Asce7_22, x, h), new[i], 0.001);
        }
    }
    near(kz(Edition::Asce7_22, C, 33.0), 1.0, 0.002);
    near(kz(Edition::Asce7_16, B, 10.0), 0.575, 0.001);
    near(kz(Edition::Asce7_10, B, 40.0), 0.761, 0.001);
    near(kz(Edition::Asce7_10, C, 15.0), 0.849, 0.001);
}

/// ASCE 7-16 Table 26.9-1 (`from memory`): 1000 ft 0.964, 5000 ft 0.834.
#[test]
fn ground_elevation() {
    for (feet, ke) in [(0.0, 1.0), (1000.0, 0.964), (5000.0, 0.834)] {
        let s = asce::Site { elevation: feet * FOOT, ..site(Edition::Asce7_16, 115.0, Exposure::C, 20.0) };
        near(s.velocity().unwrap().ke, ke, 0.001);
        let old = asce::Site { edition: Edition::Asce7_10, ..s };
        near(old.velocity().unwrap().ke, 1.0, 0.0);
    }
}

/// IRC 2018 Table R301.2(2), 30 ft, exposure B. Below 180 mph the printed suctions are cut to whole psf towards zero.
#[test]
fn table_of_the_residential_code() {
    for (mph, flat1, flat3, steep1) in
        [(110.0, 13.0, 33.0, 11.0), (115.0, 14.0, 36.0, 13.0), (130.0, 18.0, 46.0, 16.0), (150.0, 24.0, 61.0, 22.0)]
    {
        let s = site(Edition::Asce7_10, mph, Exposure::B, 30.0);
        // Cut, with a hair for what the table rounded before cutting.
        near((asd(&s, Roof::Gable, 5.0, "1", 10.0) + 0.05).floor(), flat1, 0.0);
        near((asd(&s, Roof::Gable, 5.0, "3", 10.0) + 0.05).floor(), flat3, 0.0);
        near((asd(&s, Roof::Gable, 20.0, "1", 10.0) + 0.05).floor(), steep1, 0.0);
    }
    let s = site(Edition::Asce7_10, 180.0, Exposure::B, 30.0);
    for (degrees, zone, area, printed) in [
        (5.0, "1", 10.0, 35.0),
        (5.0, "3", 10.0, 88.3),
        (20.0, "1", 10.0, 32.0),
        (5.0, "2", 10.0, 58.7),
        (5.0, "2", 20.0, 52.4),
        (5.0, "2", 100.0, 37.9),
        (5.0, "3", 20.0, 73.1),
        (5.0, "3", 50.0, 53.1),
    ] {
        near(asd(&s, Roof::Gable, degrees, zone, area), printed, 0.11);
    }
}

/// Permit sheet of St Lucie County, Florida (ASCE 7-10, allowable stress, 10 ft2), within 1 %; the digit that the scan garbles
/// (160 C 15 ft, zone 2) as computed, the two cells that are cut off left out.
#[test]
fn permit_sheet_of_a_county() {
    for (mph, exposure, feet, flat, mid, steep) in [
        (150.0, Exposure::B, 15.0, [24.3, 40.8, 61.4], [22.2, 38.7, 57.3], [24.3, 28.4]),
        (150.0, Exposure::C, 30.0, [34.1, 57.2, 86.0], [31.1, 54.2, 80.3], [34.1, 39.8]),
        (160.0, Exposure::C, 15.0, [33.4, 56.2, 84.5], [30.7, 53.4, 78.8], [33.7, 39.3]),
    ] {
        let s = site(Edition::Asce7_10, mph, exposure, feet);
        for (i, zone) in ["1", "2", "3"].into_iter().enumerate() {
            near(asd(&s, Roof::Gable, 3.0, zone, 10.0) / flat[i], 1.0, 0.0105);
            near(asd(&s, Roof::Gable, 20.0, zone, 10.0) / mid[i], 1.0, 0.0105);
            if let Some(printed) = steep.get(i) {
                near(asd(&s, Roof::Gable, 35.0, zone, 10.0) / printed, 1.0, 0.0105);
            }
        }
    }
}

/// Florida RAS 128 (175 mph, exposure C, flat, ASCE 7-10): field, perimeter, corner, within 0.5 %.
#[test]
fn roofing_standard_of_florida() {
    for (feet, printed) in [(25.0, [44.8, 75.1, 113.0]), (30.0, [46.4, 77.8, 117.2])] {
        let s = site(Edition::Asce7_10, 175.0, Exposure::C, feet);
        for (zone, value) in ["1", "2", "3"].into_iter().zip(printed) {
            near(asd(&s, Roof::Gable, 2.0, zone, 10.0) / value, 1.0, 0.005);
        }
    }
}

/// ASCE 7-16 low slopes at 50 ft2 (computed between the end points, `from memory`): -1.412, -1.930, -2.459. Reference lattice, zone 3
/// of a gable at 115 mph: 33.60 psf (computed).
#[test]
fn coefficients_between_areas() {
    let table = asce::shipped();
    for (zone, value) in [("1", -1.412), ("2", -1.930), ("3", -2.459)] {
        let c = table.coefficient(&place(Edition::Asce7_16, Roof::Gable, 5.0, zone), Side::Suction).unwrap();
        near(c.at(50.0 * FOOT * FOOT).unwrap(), value, 0.001);
        assert!(c.at(0.0).is_err() && c.at(f64::NAN).is_err());
    }
    let s = site(Edition::Asce7_10, 115.0, Exposure::B, 30.0);
    near(asd(&s, Roof::Gable, 26.565, "3", 2.67), 33.60, 0.02);
}

/// ASCE 7-10 (`from memory`): zone 3 of a hip up to 25 degrees is zone 2; overhang coefficients are net of both faces.
#[test]
fn hips_and_overhangs() {
    let s = site(Edition::Asce7_10, 115.0, Exposure::B, 30.0);
    near(asd(&s, Roof::Hip, 25.0, "3", 10.0), asd(&s, Roof::Gable, 25.0, "2", 10.0), 1e-12);
    near(asd(&s, Roof::Hip, 26.0, "3", 10.0), asd(&s, Roof::Gable, 26.0, "3", 10.0), 1e-12);
    let table = asce::shipped();
    let hanging = asce::Place { overhang: true, ..place(Edition::Asce7_10, Roof::Gable, 20.0, "3") };
    let c = table.coefficient(&hanging, Side::Suction).unwrap();
    near(s.net(&c, 0.1).unwrap() / PSF, 3.7 * 20.144, 0.01);
}

/// Slopes at the borders: up to 7 and up to 27 degrees belong to the group below.
#[test]
fn slopes_at_borders() {
    let table = asce::shipped();
    let c = |degrees: f64| {
        table.coefficient(&place(Edition::Asce7_10, Roof::Gable, degrees, "3"), Side::Suction).unwrap().at(0.5).unwrap()
    };
    for (degrees, value) in [(0.0, -2.8), (7.0, -2.8), (7.01, -2.6), (27.0, -2.6), (27.01, -1.2), (45.0, -1.2)] {
        near(c(degrees), value, 1e-12);
    }
    assert!(table.coefficient(&place(Edition::Asce7_10, Roof::Gable, 45.01, "3"), Side::Suction).is_err());
}

/// The least net pressure is 16 psf at strength level (ASCE 7 30.2.2, `from memory`).
#[test]
fn least_pressure() {
    let s = site(Edition::Asce7_10, 90.0, Exposure::B, 15.0);
    let table = asce::shipped();
    let c = table.coefficient(&place(Edition::Asce7_10, Roof::Gable, 20.0, "1"), Side::Pressure).unwrap();
    near(s.net(&c, 1.0).unwrap() / PSF, 16.0, 1e-9);
}

/// Width of edge zones (ASCE 7-16 Figure 30.3-2): 28x40 h 20: 3.0; 50x100 h 25: 5.0; 120x200 h 20: 8.0 ft.
#[test]
fn zone_widths() {
    for (w, h, a) in [(28.0, 20.0, 3.0), (50.0, 25.0, 5.0), (120.0, 20.0, 8.0), (300.0, 20.0, 12.0)] {
        near(asce::zone_width(w * FOOT, h * FOOT).unwrap() / FOOT, a, 1e-12);
    }
    near(asce::effective_area(2.0 * FOOT, 16.0 * INCH).unwrap() / (FOOT * FOOT), 2.667, 0.001);
    near(asce::effective_area(6.0 * FOOT, 1.0 * FOOT).unwrap() / (FOOT * FOOT), 12.0, 1e-9);
    assert!(asce::zone_width(-1.0, 3.0).is_err());
}

#[test]
fn every_zone_of_a_layout_has_a_coefficient() {
    let table = asce::shipped();
    let mut layouts = 0;
    for edition in [Edition::Asce7_10, Edition::Asce7_16, Edition::Asce7_22] {
        for roof in [Roof::Gable, Roof::Hip, Roof::Monoslope] {
            for degrees in [0.0, 2.0, 5.0, 7.0, 9.0, 15.0, 24.0, 29.0, 40.0] {
                let slope = f64::to_radians(degrees);
                let Ok(zones) = asce::layout(edition, roof, slope, 1.0, 6.0) else {
                    continue;
                };
                layouts += 1;
                let held = table.zones(edition, roof, false, slope).unwrap();
                for z in &zones {
                    assert!(held.contains(&z.zone), "{edition:?} {roof:?} {degrees}: {}", z.zone);
                }
                let mut names: Vec<&str> = zones.iter().map(|z| z.zone).collect();
                names.sort_unstable();
                names.dedup();
                assert_eq!(names.len(), held.len(), "{edition:?} {roof:?} {degrees}");
                assert!(
                    zones.last().unwrap().near.is_empty() && zones.iter().rev().skip(1).all(|z| !z.near.is_empty())
                );
            }
        }
    }
    // All but monoslopes of 40 degrees.
    assert_eq!(layouts, 3 * (9 + 9 + 8));
}

/// No edition that lacks a case gives a number: beyond 45 degrees, monoslopes beyond 30 degrees, open buildings.
#[test]
fn what_is_not_covered_is_said() {
    let table = asce::shipped();
    for (edition, roof, degrees) in [
        (Edition::Asce7_22, Roof::Gable, 46.0),
        (Edition::Asce7_16, Roof::Hip, 46.0),
        (Edition::Asce7_22, Roof::Monoslope, 31.0),
        (Edition::Asce7_10, Roof::Monoslope, 31.0),
    ] {
        assert!(matches!(
            table.zones(edition, roof, false, f64::to_radians(degrees)),
            Err(NotComputed::NotCovered { .. })
        ));
        assert!(asce::layout(edition, roof, f64::to_radians(degrees), 1.0, 6.0).is_err());
    }
    let s = asce::Site { enclosure: Enclosure::Open, ..site(Edition::Asce7_10, 115.0, Exposure::B, 30.0) };
    assert!(matches!(s.inner(), Err(NotComputed::NotCovered { .. })));
    let good = site(Edition::Asce7_10, 115.0, Exposure::B, 30.0);
    for bad in [
        asce::Site { speed: -1.0, ..good },
        asce::Site { speed: f64::NAN, ..good },
        asce::Site { speed: 0.0, ..good },
        asce::Site { height: 61.0 * FOOT, ..good },
        asce::Site { height: 0.0, ..good },
        asce::Site { topography: f64::INFINITY, ..good },
        asce::Site { elevation: f64::NAN, ..good },
    ] {
        assert!(bad.velocity().is_err() && bad.velocity_steps().is_err(), "{bad:?}");
    }
}

/// What the marks say: only the 7-10 gable and hip set is held against published tables; only of 7-22 were figures seen.
#[test]
fn marks_of_coefficients() {
    let table = asce::shipped();
    for row in &table.coefficient {
        let validated = row.edition == Edition::Asce7_10 && !row.overhang && !row.roofs.contains(&Roof::Monoslope);
        assert_eq!(row.mark == Mark::Validated, validated, "{row:?}");
        assert!(row.mark != Mark::Published || row.edition == Edition::Asce7_22, "{row:?}");
        assert_eq!(row.mark.is_from_memory(), !validated && row.mark != Mark::Published);
        assert!(!row.points.is_empty());
        // No size grows with area.
        let smaller = |p: &[(f64, f64)]| p.windows(2).all(|p| p[0].1.abs() >= p[1].1.abs());
        assert!(smaller(&row.points) && smaller(&row.flattest), "{row:?}");
    }
    assert_eq!(Edition::Asce7_10.superseded_by(), Some(Edition::Asce7_16));
    assert_eq!(Edition::Asce7_22.superseded_by(), None);
}

/// A user's table takes the place of ours: written as TOML, read back the same; a row of his own is used.
#[test]
fn a_table_of_the_users_own() {
    let ours = asce::shipped();
    let text = toml::to_string(&ours).unwrap();
    assert_eq!(toml::from_str::<asce::Table>(&text).unwrap(), ours);
    let own = "[[coefficient]]\nedition = \"ASCE 7-22\"\nroofs = [\"gable\"]\nabove = 7\nup_to = 20\nzone = \"2e\"\n\
               side = \"suction\"\npoints = [[10, -2.4], [100, -1.4]]\nmark = \"given\"\n";
    let table: asce::Table = toml::from_str(own).unwrap();
    let at = place(Edition::Asce7_22, Roof::Gable, 15.0, "2e");
    let c = table.coefficient(&at, Side::Suction).unwrap();
    near(c.at(10.0_f64.sqrt() * 10.0 * FOOT * FOOT).unwrap(), -1.9, 1e-9);
    assert_eq!(c.mark(), Mark::Given);
    assert!(toml::from_str::<asce::Table>(&own.replace("zone", "zoen")).is_err());
    for broken in ["[[100, -2.4], [10, -1.4]]", "[]", "[[0, -2.4]]", "[[10, nan]]"] {
        let table: asce::Table = toml::from_str(&own.replace("[[10, -2.4], [100, -1.4]]", broken)).unwrap();
        let c = table.coefficient(&at, Side::Suction).unwrap();
        assert!(c.at(1.0).is_err() && c.points().is_err() && c.steps(1.0).is_err(), "{broken}");
    }
    let text = toml::to_string(&en::shipped()).unwrap();
    assert_eq!(toml::from_str::<en::Table>(&text).unwrap(), en::shipped());
}

/// EN 1991-1-4 4.3 to 4.5: terrain II, 25 m/s, 7 m: 832.2 Pa; terrain III: 579.4 Pa (computed). 25.6 m/s at 10 m in terrain II has
/// cr 1.007 (textbooks print 1.0).
#[test]
fn en_peak_pressure() {
    let q = |terrain, height| en::Site { speed: 25.0, terrain, height }.peak_pressure().unwrap();
    near(q(en::Terrain::II, 7.0), 832.2, 0.1);
    near(q(en::Terrain::III, 7.0), 579.4, 0.1);
    near(q(en::Terrain::II, 1.0), q(en::Terrain::II, 2.0), 1e-9);
    assert!(q(en::Terrain::Sea, 7.0) > q(en::Terrain::I, 7.0) && q(en::Terrain::I, 7.0) > q(en::Terrain::II, 7.0));
    assert!(en::Site { speed: -25.0, terrain: en::Terrain::II, height: 7.0 }.peak_pressure().is_err());
    assert!(en::Site { speed: 25.0, terrain: en::Terrain::II, height: 201.0 }.peak_pressure().is_err());
}

/// EN 1991-1-4 7.2.1: 2 m2 between -2.0 and -0.9: -1.669. Tables 7.4: printed pitches, linear between.
#[test]
fn en_coefficients() {
    let t = en::shipped();
    let f = t.coefficient(en::Direction::Eave, 15.0_f64.to_radians(), "F").unwrap();
    near(f.suction(2.0).unwrap(), -1.669, 0.001);
    near(f.suction(0.3).unwrap(), -2.0, 0.0);
    near(f.suction(30.0).unwrap(), -0.9, 1e-12);
    assert_eq!(f.mark, Mark::Published);
    let g = t.coefficient(en::Direction::Eave, 22.5_f64.to_radians(), "G").unwrap();
    near(g.ten, -0.65, 1e-9);
    near(g.pressing.unwrap(), 0.45, 1e-9);
    for (pitch, values) in
        [(15.0, [-2.0, -2.0, -1.2, -0.5]), (30.0, [-1.5, -2.0, -1.2, -0.5]), (45.0, [-1.5, -2.0, -1.2, -0.5])]
    {
        for (zone, value) in ["F", "G", "H", "I"].into_iter().zip(values) {
            let c = t.coefficient(en::Direction::Ridge, f64::to_radians(pitch), zone).unwrap();
            near(c.suction(1.0).unwrap(), value, 1e-9);
        }
    }
    assert!(t.coefficient(en::Direction::Eave, 3.0_f64.to_radians(), "F").is_err());
    assert!(t.coefficient(en::Direction::Eave, 70.0_f64.to_radians(), "F").is_err());
    assert!(t.coefficient(en::Direction::Ridge, 20.0_f64.to_radians(), "J").is_err());
    assert!(f.suction(-1.0).is_err());
    near(en::zone_measure(20.0, 7.0).unwrap(), 14.0, 0.0);
    near(en::zone_measure(10.0, 7.0).unwrap(), 10.0, 0.0);
}

/// The guide to the wind provisions of ASCE 7-22, worked examples 6.1, 6.2 and 6.5, as a public comparison quotes them: gable of
/// 7 to 20 degrees, ratios of its net suctions at 10 and 208 ft2 (64.1, 84.7, 111.1 and 24.7, 34.7, 58.2 psf); hip of 7 to 20
/// degrees -1.41, -1.97, -2.13 (all of one area, which the zones must share); monoslope of 10 to 30 degrees at 20 and 566 ft2.
#[test]
fn worked_examples_of_the_newest_edition() {
    let table = asce::shipped();
    let c = |roof, degrees: f64, zone: &str, area: f64| {
        let c = table.coefficient(&place(Edition::Asce7_22, roof, degrees, zone), Side::Suction).unwrap();
        assert_eq!(c.mark(), Mark::Published);
        c.at(area * FOOT * FOOT).unwrap()
    };
    let q = 64.1 / (2.0 + 0.18);
    for (zone, ten, large) in [("1", 64.1, 24.7), ("2", 84.7, 34.7), ("3", 111.1, 58.2)] {
        near(q * (0.18 - c(Roof::Gable, 15.0, zone, 10.0)), ten, 0.2);
        near(q * (0.18 - c(Roof::Gable, 15.0, zone, 208.0)), large, 0.2);
    }
    let area = 10.0 * 20.0_f64.powf((1.8 - 1.41) / (1.8 - 0.8));
    for (zone, value) in [("1", -1.41), ("2", -1.97), ("3", -2.13)] {
        near(c(Roof::Hip, 15.0, zone, area), value, 0.006);
    }
    for (zone, panel, joist) in [("1", -1.24, -1.10), ("2", -1.48, -1.20), ("3", -2.63, -2.00)] {
        near(c(Roof::Monoslope, 15.0, zone, 20.0), panel, 0.006);
        near(c(Roof::Monoslope, 15.0, zone, 566.0), joist, 1e-9);
    }
    let q = 76.1 / (1.7 + 0.18);
    for (zone, ten, large) in [("1", 76.1, 51.4), ("1'", 43.7, 34.0), ("2", 100.4, 68.9), ("3", 136.9, 73.3)] {
        near(q * (0.18 - c(Roof::Gable, 3.0, zone, 10.0)), ten, 0.2);
        near(q * (0.18 - c(Roof::Gable, 3.0, zone, 300.0)), large, 0.3);
    }
}

/// CIRSOC 102-2025, Tables C 5.3-1 to C 5.3-8 (as two public transcriptions have them), which prints the figures of ASCE 7-22 as
/// equations in square metres: c0 + k log10(A) between two areas. Ten square feet stand for its square metre.
#[test]
fn equations_of_a_standard_that_adopts_the_newest_edition() {
    let table = asce::shipped();
    let c = |roof, degrees: f64, overhang: bool, zone: &str, side, area: f64| {
        let at = asce::Place { overhang, ..place(Edition::Asce7_22, roof, degrees, zone) };
        let c = table.coefficient(&at, side).unwrap();
        assert_eq!(c.mark(), Mark::Published, "{roof:?} {degrees} {zone}");
        c.at(area * 10.0 * FOOT * FOOT).unwrap()
    };
    let (gable, hip) = (Roof::Gable, Roof::Hip);
    for (roof, degrees, overhang, zone, c0, k, from, to) in [
        (gable, 5.0, false, "1'", -1.4, 0.5, 10.0, 100.0),
        (gable, 5.0, false, "1", -1.7, 0.4120, 1.0, 50.0),
        (hip, 5.0, false, "2", -2.3, 0.5297, 1.0, 50.0),
        (gable, 5.0, false, "3", -3.2, 1.0595, 1.0, 50.0),
        (gable, 5.0, true, "1", -1.7, 0.1, 1.0, 10.0),
        (gable, 5.0, true, "1'", -2.4584, 0.8584, 10.0, 50.0),
        (gable, 5.0, true, "2", -2.3, 0.7063, 1.0, 50.0),
        (gable, 5.0, true, "3", -3.2, 1.2360, 1.0, 50.0),
        (gable, 15.0, false, "2", -2.7, 1.3067, 1.0, 20.0),
        (gable, 15.0, false, "3", -3.6, 1.8, 1.0, 10.0),
        (gable, 25.0, false, "1", -1.5, 0.5380, 1.0, 20.0),
        (gable, 25.0, false, "2", -2.5, 1.3, 1.0, 10.0),
        (gable, 25.0, false, "3", -3.0, 1.6, 1.0, 10.0),
        (gable, 40.0, false, "1", -1.8, 1.0, 1.0, 10.0),
        (gable, 40.0, false, "2", -2.0, 0.7686, 1.0, 20.0),
        (gable, 40.0, false, "3", -2.5, 1.1529, 1.0, 20.0),
        (hip, 15.0, false, "2", -2.4, 0.8455, 1.0, 20.0),
        (hip, 15.0, false, "3", -2.6, 0.9223, 1.0, 20.0),
        (hip, 25.0, false, "1", -1.4, 0.4612, 1.0, 20.0),
        (hip, 25.0, false, "2", -2.0, 0.7686, 1.0, 20.0),
        (hip, 25.0, false, "3", -2.0, 0.7686, 1.0, 20.0),
        (hip, 45.0, false, "1", -1.5, 0.6149, 1.0, 20.0),
        (hip, 45.0, false, "2", -1.8, 0.7686, 1.0, 20.0),
        (hip, 45.0, false, "3", -2.4, 1.0761, 1.0, 20.0),
    ] {
        for t in [0.0, 0.3, 0.7, 1.0] {
            let area = from * f64::powf(to / from, t);
            near(c(roof, degrees, overhang, zone, Side::Suction, area), c0 + k * area.log10(), 0.005);
        }
        // Level outside, but where another straight begins.
        if zone != "1'" && !(overhang && zone == "1") {
            near(c(roof, degrees, overhang, zone, Side::Suction, from / 2.0), c0 + k * f64::log10(from), 0.005);
            near(c(roof, degrees, overhang, zone, Side::Suction, to * 2.0), c0 + k * f64::log10(to), 0.005);
        }
    }
    for (roof, degrees, c0, k, to) in [
        (gable, 5.0, 0.3, -0.1, 10.0),
        (gable, 15.0, 0.6, -0.2306, 20.0),
        (gable, 25.0, 0.6, -0.2306, 20.0),
        (gable, 40.0, 0.9, -0.3074, 20.0),
        (hip, 15.0, 0.7, -0.4, 10.0),
        (hip, 25.0, 0.7, -0.4, 10.0),
        (hip, 45.0, 0.7, -0.4, 10.0),
    ] {
        for area in [1.0, 3.0, to] {
            near(c(roof, degrees, false, "1", Side::Pressure, area), c0 + k * f64::log10(area), 0.005);
        }
    }
    // Where zone 1 of 7 to 20 degrees begins to fall, the guide's examples (the test before) say 10 ft2, this standard 20.
    for (roof, c0, k, to) in [(gable, -2.3839, 1.2754, 30.0), (hip, -2.1010, 1.0, 20.0)] {
        let later = |area: f64| c0 + k * f64::log10(area);
        near(c(roof, 15.0, false, "1", Side::Suction, 1.0), later(2.0), 0.005);
        near(c(roof, 15.0, false, "1", Side::Suction, to), later(to), 0.005);
        assert!(c(roof, 15.0, false, "1", Side::Suction, 2.0) > later(2.0) + 0.2);
    }
    // Walls, zones 4 and 5: 1.0 - 0.1766 log10(A) up to 50 m2. By 30.7 an overhang has that from below and the roof's above.
    for (degrees, zone, above) in [(15.0, "3", -3.6), (25.0, "2", -2.5), (40.0, "1", -1.8)] {
        near(c(gable, degrees, true, zone, Side::Suction, 1.0), above - 1.0, 1e-9);
        let far = c(gable, degrees, false, zone, Side::Suction, 5.0) - (1.0 - 0.1766 * 5.0_f64.log10());
        near(c(gable, degrees, true, zone, Side::Suction, 5.0), far, 0.005);
    }
    // No inner pressure there (30.7 as CIRSOC 102-2025 5.7 has it, where nothing is closed in between the faces).
    let s = site(Edition::Asce7_22, 115.0, Exposure::B, 30.0);
    let at = asce::Place { overhang: true, ..place(Edition::Asce7_22, gable, 15.0, "3") };
    let net = table.coefficient(&at, Side::Suction).unwrap();
    near(s.net(&net, FOOT * FOOT).unwrap(), 4.6 * s.velocity().unwrap().pressure, 1e-9);
    // Up to 7 degrees the figure has overhangs of its own, which are no sums.
    near(c(gable, 5.0, true, "3", Side::Suction, 1.0), -3.2, 1e-9);
}

/// Hips of 27 to 45 degrees. ASCE 7-22: straight over the slope between two figures (C30.3 as CIRSOC 102-2025 C 5.3.2 has it). ASCE 7-16:
/// formulas of the slope (a public transcription of Figures 30.3-2H and 30.3-2I, in doubt).
#[test]
fn steep_hips_go_by_the_slope() {
    let table = asce::shipped();
    let c = |edition, degrees: f64, overhang: bool, zone: &str, area: f64| {
        let at = asce::Place { overhang, ..place(edition, Roof::Hip, degrees, zone) };
        let c = table.coefficient(&at, Side::Suction).unwrap();
        let steps = c.steps(area * FOOT * FOOT).unwrap();
        near(steps.last().unwrap().value, c.at(area * FOOT * FOOT).unwrap(), 0.0);
        c.at(area * FOOT * FOOT).unwrap()
    };
    for (zone, at_27, at_45) in
        [("1", [-1.4, -0.8], [-1.5, -0.7]), ("2", [-2.0, -1.0], [-1.8, -0.8]), ("3", [-2.0, -1.0], [-2.4, -1.0])]
    {
        for (degrees, t) in [(27.0, 0.0), (31.5, 0.25), (36.0, 0.5), (45.0, 1.0)] {
            for (i, area) in [5.0, 300.0].into_iter().enumerate() {
                near(c(Edition::Asce7_22, degrees, false, zone, area), at_27[i] + t * (at_45[i] - at_27[i]), 1e-9);
            }
        }
    }
    for degrees in [27.5, 30.0, 37.0, 45.0] {
        for (zone, inside, overhang) in [
            ("1", -0.6175 - 0.02 * degrees, -1.4175 - 0.02 * degrees),
            ("2e", 0.2 - 0.067 * degrees, -0.6 - 0.067 * degrees),
            ("2r", 1.0 - 0.082 * degrees, 0.2 - 0.082 * degrees),
            ("3", 1.25 - 0.108 * degrees, 0.45 - 0.108 * degrees),
        ] {
            near(c(Edition::Asce7_16, degrees, false, zone, 10.0), inside, 1e-9);
            near(c(Edition::Asce7_16, degrees, true, zone, 10.0), overhang, 1e-9);
        }
    }
}

/// EN 1991-1-4 Tables 7.3a, 7.3b and 7.5, cpe,10 and cpe,1 (a public transcription; J and K of 7.5 `from memory`).
#[test]
fn en_monopitch_and_hipped_roofs() {
    use en::Direction::{Gable, High, Hip, Low};
    let t = en::shipped();
    for (direction, pitch, zone, ten, one) in [
        (Low, 15.0, "F", -0.9, -2.0),
        (High, 15.0, "F", -2.5, -2.8),
        (High, 30.0, "G", -0.8, -1.5),
        (Gable, 15.0, "F up", -2.4, -2.9),
        (Gable, 30.0, "F low", -1.3, -2.0),
        (Gable, 45.0, "I", -0.9, -1.2),
        (Hip, 15.0, "K", -1.2, -2.0),
        (Hip, 30.0, "L", -1.4, -2.0),
        (Hip, 37.5, "M", -0.8, -1.2),
    ] {
        let c = t.coefficient(direction, f64::to_radians(pitch), zone).unwrap();
        near(c.ten, ten, 1e-9);
        near(c.one, one, 1e-9);
    }
    // A small area never has less suction than a large one.
    assert!(t.coefficient.iter().all(|r| r.one <= r.ten));
    assert!(t.coefficient(Hip, 0.5, "N").is_err());
}

fn snow(degrees: f64, thermal: f64, slippery: bool) -> Asce {
    Asce {
        edition_22: false,
        ground: 40.0 * PSF,
        exposure: 1.0,
        thermal,
        importance: 1.0,
        slippery,
        slope: degrees.to_radians(),
    }
}

/// ASCE 7-16 Figure 7.4-1 (`from memory`): slope factors at common pitches.
#[test]
fn snow_slope_factors() {
    for (rise, values) in [
        (4.0_f64, [(0.793, 1.0), (0.859, 1.0), (0.937, 1.0)]),
        (8.0, [(0.559, 0.908), (0.605, 1.0), (0.660, 1.0)]),
        (10.0, [(0.464, 0.755), (0.503, 0.929), (0.549, 1.0)]),
        (12.0, [(0.385, 0.625), (0.417, 0.769), (0.455, 1.0)]),
    ] {
        let degrees = (rise / 12.0).atan().to_degrees();
        for (ct, (slip, other)) in [1.0, 1.1, 1.2].into_iter().zip(values) {
            near(snow(degrees, ct, true).slope_factor().unwrap(), slip, 0.001);
            near(snow(degrees, ct, false).slope_factor().unwrap(), other, 0.001);
        }
    }
    near(snow(70.0, 1.1, false).slope_factor().unwrap(), 0.0, 1e-12);
    near(snow(80.0, 1.1, true).slope_factor().unwrap(), 0.0, 0.0);
}

/// pf = 0.7 Ce Ct Is pg: 40 psf on a cold ventilated roof: 30.8 psf; minimum 20 Is below 15 degrees (`from memory`).
#[test]
fn snow_loads() {
    let s = snow(33.690, 1.1, true);
    near(s.flat().unwrap() / PSF, 30.8, 1e-9);
    near(s.sloped().unwrap() / PSF, 30.8 * 0.6052, 0.01);
    assert_eq!(s.minimum(None).unwrap(), None);
    near(snow(10.0, 1.1, true).minimum(None).unwrap().unwrap() / PSF, 20.0, 1e-9);
    near(Asce { ground: 12.0 * PSF, ..snow(10.0, 1.1, true) }.minimum(None).unwrap().unwrap() / PSF, 12.0, 1e-9);
    let new = Asce { edition_22: true, ..snow(30.0, 1.1, false) };
    near(new.sloped().unwrap() / PSF, 30.8, 1e-9);
    assert!(Asce { importance: 1.1, ..new }.flat().is_err());
    // 7-22 (`from memory`): pg up to 25, 30, 35, 40 psf by risk category; the highest where none is given.
    for (risk, limit) in [(Some(Risk::I), 25.0), (Some(Risk::II), 30.0), (Some(Risk::III), 35.0), (None, 40.0)] {
        near(Asce { slope: 0.1, ..new }.minimum(risk).unwrap().unwrap() / PSF, limit, 1e-9);
        near(Asce { slope: 0.1, ground: 18.0 * PSF, ..new }.minimum(risk).unwrap().unwrap() / PSF, 18.0, 1e-9);
    }
    for bad in [
        Asce { ground: -1.0, ..s },
        Asce { ground: f64::NAN, ..s },
        Asce { thermal: 3.0, ..s },
        Asce { exposure: 0.0, ..s },
        Asce { slope: 2.0, ..s },
        Asce { slope: -0.1, ..s },
    ] {
        assert!(bad.sloped().is_err() && bad.steps().is_err(), "{bad:?}");
    }
}

/// NBC 2015 4.1.6.2: 12:12 other surfaces 0.625; and EN 1991-1-3 Table 5.2 (`from memory`).
#[test]
fn snow_of_other_codes() {
    let n = Nbc {
        ground: 2000.0,
        rain: 400.0,
        importance: 1.0,
        basic: 0.8,
        wind: 1.0,
        accumulation: 1.0,
        slippery: false,
        slope: 45.0_f64.to_radians(),
    };
    near(n.slope_factor().unwrap(), 0.625, 1e-12);
    near(n.load().unwrap(), 2000.0 * 0.8 * 0.625 + 400.0, 1e-9);
    near(Nbc { slippery: true, ..n }.slope_factor().unwrap(), 15.0 / 45.0, 1e-12);
    near(Nbc { slope: 0.1, ..n }.slope_factor().unwrap(), 1.0, 0.0);
    assert!(Nbc { ground: -1.0, ..n }.load().is_err() && Nbc { basic: 0.0, ..n }.load().is_err());
    let e = En { ground: 1000.0, exposure: 1.0, thermal: 1.0, held: false, slope: 0.0 };
    for (degrees, mu) in [(0.0, 0.8), (30.0, 0.8), (45.0, 0.4), (60.0, 0.0), (75.0, 0.0)] {
        near(En { slope: f64::to_radians(degrees), ..e }.load().unwrap(), 1000.0 * mu, 1e-9);
        near(En { slope: f64::to_radians(degrees), held: true, ..e }.load().unwrap(), 800.0, 1e-9);
    }
    assert!(En { ground: f64::NAN, ..e }.load().is_err());
}

/// ASCE 7-16 4.8.2 (`from memory`): 100 ft2 at 6:12 18.0 psf; 300 ft2 at 8:12 14.4 psf; never below 12.
#[test]
fn roof_live_load() {
    let lr = |ft2: f64, rise: f64| loads::roof_live(ft2 * FOOT * FOOT, (rise / 12.0).atan()).unwrap() / PSF;
    near(lr(100.0, 6.0), 18.0, 1e-9);
    near(lr(300.0, 8.0), 14.4, 0.01);
    near(lr(100.0, 2.0), 20.0, 1e-9);
    near(lr(700.0, 12.0), 12.0, 1e-9);
    assert!(loads::roof_live(-1.0, 0.3).is_err() && loads::roof_live(1.0, f64::NAN).is_err());
}

/// Reference lattice: 5 psf on the slope and 30 psf on plan at 6:12: down 14.236, across 28.472 psf (computed).
#[test]
fn components_on_a_slope() {
    let slope = 0.5_f64.atan();
    let (d, s) = (loads::weight_on_slope(5.0, slope), loads::plan_on_slope(30.0, slope));
    near(d.down + s.down, 14.236, 0.001);
    near(d.normal + s.normal, 28.472, 0.001);
    // Both together are the whole vertical load.
    near(d.normal.hypot(d.down), 5.0, 1e-12);
    near(s.normal.hypot(s.down), 30.0 * slope.cos(), 1e-12);
}

/// ASCE 7 2.4.1 and EN 1990 6.10 (`from memory`): names, factors, shortest load; the names say their own factors.
#[test]
fn load_combinations() {
    for standard in [Standard::AsdTo16, Standard::Asd22, Standard::En1990, Standard::En1990High] {
        let all = loads::combinations(standard);
        for c in &all {
            let f = c.factors;
            // Wind comes both ways, but against less than all of the dead load it only pulls.
            let ways: Vec<bool> = all.iter().filter(|o| o.name == c.name).map(|o| o.suction).collect();
            let both: &[bool] = if f.wind == 0.0 {
                &[false]
            } else if f.dead < 1.0 {
                &[true]
            } else {
                &[false, true]
            };
            assert_eq!(ways, both, "{}", c.name);
            assert!(f.live == 0.0 || f.snow == 0.0, "{}", c.name);
            let shortest = if f.wind > 0.0 {
                Duration::TenMinutes
            } else if f.live > 0.0 {
                Duration::SevenDays
            } else if f.snow > 0.0 {
                Duration::TwoMonths
            } else {
                Duration::Permanent
            };
            assert_eq!(c.nds, shortest, "{}", c.name);
            assert_eq!(c.name.contains('W'), f.wind > 0.0);
            assert_eq!(c.name.contains('S'), f.snow > 0.0);
            let named = factors_of(c.name);
            for (letter, factor) in [('D', f.dead), ('L', f.live), ('S', f.snow), ('W', f.wind)] {
                near(named(letter), factor, 1e-12);
            }
            // The level of service: EN 1990 6.14b, the accompanying load with the same psi_0 and no partial factors.
            let serving = c.at_service();
            let european = matches!(standard, Standard::En1990 | Standard::En1990High);
            let named = factors_of(serving.name);
            let s = serving.factors;
            for (letter, factor, whole) in [('L', s.live, f.live), ('S', s.snow, f.snow), ('W', s.wind, f.wind)] {
                near(named(letter), factor, 1e-12);
                near(factor, if european { whole / 1.5 } else { whole }, 1e-12);
            }
            near(s.dead, if european { 1.0 } else { f.dead }, 1e-12);
            assert_eq!((serving.suction, serving.at_service()), (c.suction, serving));
        }
        assert!(all.iter().any(|c| c.suction));
    }
    let c = loads::combinations(Standard::AsdTo16).pop().unwrap();
    near(c.total(&Amounts { dead: 5.0, live: 0.0, snow: 0.0, wind: -33.0 }), 3.0 - 19.8, 1e-12);
}

/// Reads `0.75 (0.6 W)` and `1.35 G` as factors: a reader of its own for the test.
fn factors_of(name: &str) -> impl Fn(char) -> f64 {
    let name = name.split(" (static").next().unwrap().replace("Q_H", "L").replace("Lr", "L").replace('G', "D");
    move |letter| {
        name.split(" + ")
            .filter(|t| t.contains(letter))
            .map(|t| t.split([' ', '(', ')']).filter_map(|n| n.parse::<f64>().ok()).product::<f64>())
            .sum()
    }
}

fn spf_board(inches_wide: f64, inches_thick: f64) -> Board<'static> {
    Board {
        grade: wood::grade(wood::species("SPF").unwrap(), "No.2").unwrap(),
        width: inches_wide * INCH,
        thickness: inches_thick * INCH,
        repetitive: false,
        moisture: Moisture::Dry,
        temperature: Temperature::Normal,
    }
}

/// Sections of boards laid flat (geometry): section modulus and second moment of area.
#[test]
fn sections_laid_flat() {
    for (b, t, s, i) in [
        (3.5, 0.75, 0.328_125, 0.123_047),
        (3.5, 1.5, 1.3125, 0.984_375),
        (2.5, 0.75, 0.234_375, 0.087_891),
        (5.5, 0.75, 0.515_625, 0.193_359),
        (1.5, 1.5, 0.5625, 0.421_875),
    ] {
        let x = spf_board(b, t).strength().unwrap();
        near(x.section_modulus / INCH.powi(3), s, 1e-6);
        near(x.inertia / INCH.powi(4), i, 1e-6);
    }
}

/// NDS Supplement Table 4A (`from memory`): SPF No.2 1x4 flat: 1443.75 psi, moments 473.7, 592.2, 758.0 lbf in; with Cr 544.8.
#[test]
fn nds_bending() {
    let x = spf_board(3.5, 0.75).strength().unwrap();
    near(x.bending / PSI, 1443.75, 1e-6);
    for (d, m) in [(Duration::TenYears, 473.7), (Duration::SevenDays, 592.2), (Duration::TenMinutes, 758.0)] {
        near(x.moment(d) / LBF_INCH, m, 0.1);
    }
    let shared = Board { repetitive: true, ..spf_board(3.5, 0.75) }.strength().unwrap();
    near(shared.moment(Duration::TenYears) / LBF_INCH, 544.8, 0.1);
    let standard =
        Board { grade: wood::grade(wood::species("SPF").unwrap(), "Standard").unwrap(), ..spf_board(3.5, 0.75) };
    near(standard.strength().unwrap().bending / PSI, 550.0 * 1.1, 1e-6);
    // Between nominal widths the smaller factors count; beyond the table nothing does.
    near(spf_board(3.0, 0.75).strength().unwrap().bending / PSI, 875.0 * 1.5, 1e-6);
    near(spf_board(5.0, 0.75).strength().unwrap().bending / PSI, 875.0 * 1.3 * 1.1, 1e-6);
    assert!(spf_board(12.0, 0.75).strength().is_err());
    assert!(spf_board(-3.5, 0.75).strength().is_err() && spf_board(3.5, f64::NAN).strength().is_err());
    let wet = Board { moisture: Moisture::Wet, ..spf_board(3.5, 0.75) }.strength().unwrap();
    near(wet.bending / PSI, 1443.75 * 0.85, 1e-6);
    near(wet.modulus / PSI, 1.26e6, 1.0);
    // NDS Table 2.3.3 (`from memory`): 0.8 and 0.7 dry, 0.7 and 0.5 wet; E 0.9.
    for (temperature, dry, soaked) in [(Temperature::Warm, 0.8, 0.7), (Temperature::Hot, 0.7, 0.5)] {
        let hot = Board { temperature, ..spf_board(3.5, 0.75) };
        near(hot.strength().unwrap().bending / x.bending, dry, 1e-9);
        near(hot.strength().unwrap().shear / x.shear, dry, 1e-9);
        near(hot.strength().unwrap().modulus / x.modulus, 0.9, 1e-9);
        let both = Board { moisture: Moisture::Wet, ..hot }.strength().unwrap();
        near(both.bending / wet.bending, soaked, 1e-9);
    }
}

/// NDS Supplement Table 4B, 2 in to 4 in wide (Fb `from memory`; Fv 175 and Fc-perp 565 psi in the addendum of March 2012, E in a
/// public reading of the 2018 supplement). No size factor; boards wider than 4 in nominal have other values.
#[test]
fn southern_pine_has_grades() {
    let species = wood::species("southern pine").unwrap();
    for (name, bending, modulus) in
        [("no. 1", 1500.0, 1.6e6), ("No.2", 1100.0, 1.4e6), ("no. 3", 650.0, 1.3e6), ("Standard", 475.0, 1.2e6)]
    {
        let grade = wood::grade(species, name).unwrap();
        let board = Board { grade, ..spf_board(3.5, 0.75) };
        near(board.strength().unwrap().bending / PSI, bending * 1.1, 1e-6);
        near(Board { width: 2.5 * INCH, ..board }.strength().unwrap().bending / PSI, bending, 1e-6);
        near(board.strength().unwrap().modulus / PSI, modulus, 1.0);
        near(board.strength().unwrap().shear / PSI, 175.0, 1e-9);
        near(board.strength().unwrap().across / PSI, 565.0, 1e-9);
        assert!(Board { width: 5.5 * INCH, ..board }.strength().is_err());
    }
}

/// Reference lattice (computed): 24 in, 3.1636 lbf/in: 694.2 psi, 0.0793 in; a person of 300 lbf at 16 in: 3657 psi against 1805.
#[test]
fn battens_of_the_reference_lattice() {
    use airlath::capacity::beam::{Answer, Beam, Holds, Load, Solver, Support};
    let x = spf_board(3.5, 0.75).strength().unwrap();
    let solve = |spans: u32, inches: f64, load: &dyn Fn(f64) -> Load| {
        let span = inches * INCH;
        let supports: Vec<Support> =
            (0..=spans).map(|i| Support { at: f64::from(i) * span, holds: Holds::Both }).collect();
        let mut solver = Solver::new();
        let length = f64::from(spans) * span;
        let loads = [load(length)];
        let beam = Beam { length, supports: &supports, loads: &loads, stiffness: x.stiffness() };
        assert_eq!(solver.solve(&beam).unwrap(), Answer::Held);
        solver.extremes()
    };
    let even = |length: f64| Load::Uniform { from: 0.0, to: length, force: -3.1636 * LBF_PER_INCH };
    for (inches, moment, stress, simple, double) in [
        (16.0, 101.2, 308.5, 0.0157, 0.0065),
        (19.2, 145.8, 444.3, 0.0325, 0.0135),
        (24.0, 227.8, 694.2, 0.0793, 0.0329),
    ] {
        let e = solve(1, inches, &even);
        near(e.moment() / LBF_INCH / moment, 1.0, 0.003);
        near(e.moment() / x.section_modulus / PSI / stress, 1.0, 0.003);
        near(e.deflection / INCH, simple, 0.0001);
        // These were read off at nodes, not between them.
        near(solve(2, inches, &even).deflection / INCH, double, 0.00015);
    }
    for (inches, simple, double, most_simple, most_double) in
        [(16.0, 3657.0, 2971.0, 148.0, 182.0), (24.0, 5486.0, 4457.0, 98.7, 121.5)]
    {
        let person = move |_: f64| Load::Point { at: inches / 2.0 * INCH, force: -PERSON.value };
        let allowed = x.bending * Duration::SevenDays.factor().value;
        for (spans, stress, most) in [(1, simple, most_simple), (2, double, most_double)] {
            let got = solve(spans, inches, &person).moment() / x.section_modulus;
            near(got / PSI / stress, 1.0, 0.003);
            assert!(got > allowed, "a lone 1x4 is no foothold");
            near(300.0 * allowed / got, most, 0.01 * most);
        }
    }
    near(PERSON.value / LBF, 300.0, 1e-9);
}

/// EN 1995-1-1 (`from memory`): C24 25x50 flat, kmod 0.9: 21.6 N/mm2, 112.5 N m; 25 mm reaches the greatest size factor.
#[test]
fn ec5_bending() {
    let class = wood::strength_class("C24").unwrap();
    let board = |b: f64, t: f64| {
        ec5::board::Board { class, width: b * MM, thickness: t * MM, service: ec5::ServiceClass::Two }
            .strength()
            .unwrap()
    };
    let x = board(50.0, 25.0);
    near(x.section_modulus, 5208e-9, 1e-9);
    near(x.inertia, 65104e-12, 1e-12);
    near(x.moment(ec5::Duration::Short), 112.5, 0.05);
    near(x.moment(ec5::Duration::Short) / x.section_modulus / 1e6, 21.6, 1e-9);
    // 0.9 kN in the middle of 600 mm: 25.9 N/mm2; design load 750 N.
    near(900.0 * 0.6 / 4.0 / x.section_modulus / 1e6, 25.9, 0.05);
    near(4.0 * x.moment(ec5::Duration::Short) / 0.6, 750.0, 0.5);
    near(board(50.0, 150.0).bending / 1e6, 24.0, 1e-9);
    near(x.shear_force(ec5::Duration::Short), 4.0e6 * 0.9 / 1.3 * 0.67 * 50e-3 * 25e-3 / 1.5, 1e-6);
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("proptest-regressions"))),
        ..ProptestConfig::default()
    })]

    /// Between the break points of any row the coefficient lies between theirs and is even in the logarithm.
    #[test]
    fn coefficients_are_straight_over_the_logarithm(a in -1.0..3.5_f64, b in -1.0..3.5_f64, row in 0..200_usize) {
        let table = asce::shipped();
        let row = &table.coefficient[row % table.coefficient.len()];
        let one = asce::Coefficient::Row(row.clone());
        let c = |x: f64| one.at(10.0_f64.powf(x) * FOOT * FOOT).unwrap();
        let (low, high) = row.points.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| (l.min(p.1), h.max(p.1)));
        prop_assert!(c(a) >= low - 1e-12 && c(a) <= high + 1e-12);
        let within = |x: f64| row.points.windows(2).position(|p| 10.0_f64.powf(x) >= p[0].0 && 10.0_f64.powf(x) <= p[1].0);
        if within(a).is_some() && within(a) == within(b) {
            prop_assert!((c((a + b) / 2.0) - (c(a) + c(b)) / 2.0).abs() < 1e-9);
        }
    }

    /// Twice the speed, four times the velocity pressure; higher is never less.
    #[test]
    fn velocity_pressure_grows(mph in 40.0..170.0_f64, feet in 5.0..59.0_f64) {
        for edition in [Edition::Asce7_10, Edition::Asce7_16, Edition::Asce7_22] {
            let q = |v, h| site(edition, v, Exposure::C, h).velocity().unwrap().pressure;
            prop_assert!((q(2.0 * mph, feet) / q(mph, feet) - 4.0).abs() < 1e-9);
            prop_assert!(q(mph, feet + 1.0) >= q(mph, feet));
        }
    }
}

/// Unbalanced snow on a wide gable, Example 6-2 of the guide to the snow loads of ASCE 7-10 (O'Rourke; a public copy of the page): pg 30 psf, 1/2
/// on 12, 130 ft from eave to ridge, ps 25 psf: hd 3.97 ft, gamma 17.9 lbf/ft3, a surcharge of 14.5 psf; it reaches 8/3 hd sqrt(24).
#[test]
fn unbalanced_snow_is_that_of_the_guide() {
    use airlath::capacity::unbalanced::{Drift, Leeward};
    let side = Leeward {
        drift: Drift::Of10,
        ground: 30.0 * PSF,
        importance: 1.0,
        balanced: 25.0 * PSF,
        slope: (0.5_f64 / 12.0).atan(),
        depth: 130.0 * FOOT,
        fetch: 130.0 * FOOT,
    };
    let load = side.load().unwrap().unwrap();
    near(load.even / PSF, 25.0, 1e-9);
    near(load.surcharge / PSF, 14.5, 0.05);
    // The guide prints 3.97 for 3.978.
    near(load.reach / FOOT, 8.0 / 3.0 * 3.978 * 24.0_f64.sqrt(), 0.01);
    let steps = side.steps().unwrap();
    let of = |symbol: &str| steps.iter().find(|s| s.symbol == symbol).unwrap().value;
    near(of("hd"), 3.97, 0.01);
    near(of("gamma"), 17.9, 0.005);
    // 7-16 takes the root of the importance, 7-22 the winter wind, and nothing is assumed of that.
    let important = Leeward { drift: Drift::Of16, importance: 1.2, ..side };
    near(important.load().unwrap().unwrap().surcharge / load.surcharge, 1.2_f64.sqrt(), 1e-9);
    assert!(Leeward { drift: Drift::Of22 { winter_wind: None }, ..side }.load().is_err());
    for (drift, ground) in
        [(Drift::Of22 { winter_wind: Some(f64::NAN) }, side.ground), (Drift::Of10, f64::NAN), (Drift::Of10, -1.0)]
    {
        assert!(Leeward { drift, ground, ..side }.load().is_err(), "{drift:?} {ground}");
    }
    // Twenty feet and no more have all of the ground's snow.
    let narrow = Leeward { depth: 20.0 * FOOT, ..side };
    near(narrow.load().unwrap().unwrap().even / PSF, 30.0, 1e-9);
}
