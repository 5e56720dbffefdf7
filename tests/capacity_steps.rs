//! The hand calculation: its arithmetic, read back from its text by a small calculator, gives its results and those of the
//! fast path.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use crate::common::cases::cases;
use airlath::capacity::fastener::{Fastener, FastenerInput, FastenerKind};
use airlath::capacity::nds::{self, Demand, Moisture, Temperature};
use airlath::capacity::snow::{Asce, En, Nbc};
use airlath::capacity::unbalanced::{Drift, Leeward};
use airlath::capacity::units::{FOOT, INCH, LBF, MM, MPH, PSF};
use airlath::capacity::wind::{asce, en};
use airlath::capacity::{Mark, Step, count_marks, ec5, loads, wood};
use proptest::prelude::*;
use proptest::test_runner::FileFailurePersistence;

/// A calculator for `+ - * / ^ ( )`, `sqrt min max cos sin exp ln log10 pi`, angles in degrees.
struct Calculator<'a> {
    rest: &'a str,
}

impl Calculator<'_> {
    fn value(text: &str) -> f64 {
        let mut c = Calculator { rest: text };
        let v = c.sum();
        assert!(c.rest.trim().is_empty(), "left over: `{}` of `{text}`", c.rest);
        v
    }

    fn take(&mut self, sign: char) -> bool {
        self.rest = self.rest.trim_start();
        match self.rest.strip_prefix(sign) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn sum(&mut self) -> f64 {
        let mut v = self.product();
        loop {
            if self.take('+') {
                v += self.product();
            } else if self.take('-') {
                v -= self.product();
            } else {
                return v;
            }
        }
    }

    fn product(&mut self) -> f64 {
        let mut v = self.power();
        loop {
            if self.take('*') {
                v *= self.power();
            } else if self.take('/') {
                v /= self.power();
            } else {
                return v;
            }
        }
    }

    fn power(&mut self) -> f64 {
        if self.take('-') {
            return -self.power();
        }
        let base = self.atom();
        if self.take('^') { base.powf(self.atom()) } else { base }
    }

    fn atom(&mut self) -> f64 {
        if self.take('(') {
            let v = self.sum();
            assert!(self.take(')'), "no closing bracket before `{}`", self.rest);
            return v;
        }
        let rest = self.rest;
        let word = rest.find(|c: char| !c.is_ascii_alphanumeric() && c != '.').map_or(rest, |i| &rest[..i]);
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            self.rest = &rest[word.len()..];
            return word.parse().unwrap_or_else(|_| panic!("number `{word}`"));
        }
        self.rest = &rest[word.len()..];
        if word == "pi" {
            return std::f64::consts::PI;
        }
        assert!(self.take('('), "`{word}` of `{rest}`");
        let mut values = vec![self.sum()];
        while self.take(',') {
            values.push(self.sum());
        }
        assert!(self.take(')'), "no closing bracket before `{}`", self.rest);
        match word {
            "sqrt" => values[0].sqrt(),
            "cos" => values[0].to_radians().cos(),
            "sin" => values[0].to_radians().sin(),
            "exp" => values[0].exp(),
            "ln" => values[0].ln(),
            "log10" => values[0].log10(),
            "min" => values.into_iter().fold(f64::INFINITY, f64::min),
            "max" => values.into_iter().fold(f64::NEG_INFINITY, f64::max),
            _ => panic!("no function `{word}`"),
        }
    }
}

#[test]
fn the_calculator_calculates() {
    for (text, value) in [
        ("1380 * 0.42^2.5 * 0.148", 1380.0 * 0.42_f64.powf(2.5) * 0.148),
        ("2*(3 + 4)/7 - -1", 3.0),
        ("min(3, max(1, 2), 5) * cos(60)", 1.0),
        ("2^(-1) + sqrt(16)/8 + ln(exp(1)) + log10(10) - sin(90)", 2.0),
        ("4 - 3 - 2", -1.0),
        ("8 / 4 / 2", 1.0),
    ] {
        assert!((Calculator::value(text) - value).abs() < 1e-9, "{text}");
    }
}

/// Every computed line gives its own result; every line has a unit or none, a source and words.
fn consistent(steps: &[Step]) {
    assert!(!steps.is_empty());
    for s in steps {
        assert!(s.value.is_finite(), "{s}");
        assert!(!s.symbol.is_empty() && !s.what.is_empty() && !s.source.text.is_empty());
        if s.formula.is_empty() {
            assert!(s.numbers.is_empty(), "{s}");
            continue;
        }
        let v = Calculator::value(&s.numbers);
        assert!((v - s.value).abs() <= 2e-5 * s.value.abs().max(1e-6), "{v} is not {}: {s}", s.value);
        let text = s.to_string();
        for word in ["NaN", "inf", "safe", "approved"] {
            assert!(!text.contains(word), "{text}");
        }
    }
    assert_eq!(count_marks(steps).iter().map(|m| m.1).sum::<usize>(), steps.len());
}

fn value(steps: &[Step], symbol: &str) -> f64 {
    steps.iter().find(|s| s.symbol == symbol).unwrap_or_else(|| panic!("no {symbol}")).value
}

fn fasteners() -> Vec<Fastener> {
    let of = |kind, d: f64, l: f64| FastenerInput::new(kind, d * INCH, l * INCH);
    [
        of(FastenerKind::SmoothNail, 0.131, 2.5),
        of(FastenerKind::StainlessNail, 0.148, 3.0),
        of(FastenerKind::RingShankNail, 0.148, 3.0),
        of(FastenerKind::WoodScrew, 0.190, 3.0),
        FastenerInput { tension: Some(400.0), ..of(FastenerKind::WoodScrew, 0.216, 3.5) },
        of(FastenerKind::LagScrew, 0.25, 4.0),
        FastenerInput { head: Some(0.5 * INCH), ..of(FastenerKind::LagScrew, 0.375, 5.0) },
    ]
    .into_iter()
    .map(|i| Fastener::resolve(&i).unwrap())
    .collect()
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: Some(Box::new(FileFailurePersistence::WithSource("proptest-regressions"))),
        ..cases(300)
    })]

    #[test]
    fn nds_joint_by_hand(
        which in 0..7_usize, gs in 0.33..0.6_f64, gm in 0.33..0.6_f64, ts in 0.5..1.6_f64, gap in 0.0..1.0_f64,
        p in 0.7..2.2_f64, flange in proptest::option::of(1.0..1.6_f64), tilt in prop_oneof![Just(0.0), 0.0..0.7_f64],
        wet in 0..4_usize, warm in 0..3_usize, up in -100.0..400.0_f64, down in 0.0..300.0_f64, duration in 0..5_usize,
        angle in 0.0..1.57_f64,
    ) {
        let f = &fasteners()[which];
        let joint = nds::Joint {
            fastener: f,
            side_gravity: gs,
            side_thickness: ts * INCH,
            gap: gap * INCH,
            main_gravity: gm,
            penetration: p * INCH,
            countable: flange.map(|v| v * INCH),
            tilt,
            side_angle: angle,
            main_angle: 1.57 - angle,
            end_grain: false,
            moisture: [Moisture::Dry, Moisture::WetThenDry, Moisture::DryThenWet, Moisture::Wet][wet],
            temperature: [Temperature::Normal, Temperature::Warm, Temperature::Hot][warm],
        };
        use nds::Duration::{Permanent, SevenDays, TenMinutes, TenYears, TwoMonths};
        let duration = [Permanent, TenYears, TwoMonths, SevenDays, TenMinutes][duration];
        let demand = Demand { uplift: up, lateral: down };
        let strength = joint.strength().unwrap();
        match strength.utilisation(&demand, duration) {
            Err(_) => prop_assert!(joint.steps(&demand, duration).is_err()),
            Ok(u) => {
                let steps = joint.steps(&demand, duration).unwrap();
                consistent(&steps);
                prop_assert!((value(&steps, "F_ax'") * LBF / strength.axial(duration).0 - 1.0).abs() < 1e-9);
                if down > 0.0 {
                    let z = strength.lateral_allowed(duration).unwrap();
                    prop_assert!((value(&steps, "Z'") * LBF / z - 1.0).abs() < 1e-9);
                    prop_assert!((value(&steps, "u") - u.combined).abs() < 1e-12);
                    prop_assert!((value(&steps, "Z_dead") * LBF / strength.sustained_allowed().unwrap() - 1.0).abs() < 1e-9);
                }
                let worst = steps.iter().map(|s| s.source.mark).max().unwrap();
                prop_assert!(worst <= strength.mark.max(Mark::FromMemory), "{worst:?} {:?}", strength.mark);
            }
        }
    }

    #[test]
    fn ec5_joint_by_hand(
        which in 0..4_usize, r1 in 290.0..420.0_f64, r2 in 290.0..420.0_f64, t1 in 18.0..45.0_f64, gap in 0.0..30.0_f64,
        p in 35.0..60.0_f64, green: bool, predrilled: bool, tilt in prop_oneof![Just(0.0), 0.0..0.5_f64],
        up in -100.0..400.0_f64, down in 0.0..300.0_f64, class in 0..3_usize, angle in 0.0..1.57_f64,
    ) {
        let new = |kind, d: f64, l: f64| FastenerInput { head: Some(2.2 * d * MM), ..FastenerInput::new(kind, d * MM, l * MM) };
        let input = [
            new(FastenerKind::SmoothNail, 3.1, 90.0),
            FastenerInput { withdrawal: Some(8e6), pull_through: Some(14e6), thread: Some(50.0 * MM), ..new(FastenerKind::RingShankNail, 3.1, 90.0) },
            FastenerInput { root: Some(4.2 * MM), thread: Some(60.0 * MM), pull_through: Some(12e6), ..new(FastenerKind::WoodScrew, 6.0, 100.0) },
            FastenerInput { root: Some(5.8 * MM), thread: Some(70.0 * MM), tension: Some(3000.0), ..new(FastenerKind::WoodScrew, 8.0, 120.0) },
        ][which];
        let f = Fastener::resolve(&input).unwrap();
        let joint = ec5::Joint {
            fastener: &f,
            side_density: r1,
            side_thickness: t1 * MM,
            gap: gap * MM,
            main_density: r2,
            penetration: p * MM,
            countable: None,
            tilt,
            side_angle: angle,
            main_angle: 1.57 - angle,
            predrilled,
            green,
            class: [ec5::ServiceClass::One, ec5::ServiceClass::Two, ec5::ServiceClass::Three][class],
        };
        let demand = Demand { uplift: up, lateral: down };
        let duration = ec5::Duration::Instantaneous;
        let Ok(strength) = joint.strength() else {
            prop_assert!(joint.steps(&demand, duration).is_err());
            return Ok(());
        };
        let Ok(u) = strength.utilisation(&demand, duration) else {
            prop_assert!(joint.steps(&demand, duration).is_err());
            return Ok(());
        };
        let steps = joint.steps(&demand, duration).unwrap();
        consistent(&steps);
        prop_assert!((value(&steps, "F_ax,Rd") / strength.axial(duration).unwrap().0 - 1.0).abs() < 1e-9);
        if let Ok(v) = strength.lateral_allowed(duration) {
            prop_assert!((value(&steps, "F_v,Rd") / v - 1.0).abs() < 1e-9);
            prop_assert!((value(&steps, "u") - u.combined).abs() < 1e-12);
        }
        let worst = steps.iter().map(|s| s.source.mark).max().unwrap();
        prop_assert!(worst <= strength.mark.max(Mark::FromMemory), "{worst:?} {:?}", strength.mark);
    }
}

#[test]
fn loads_by_hand() {
    use asce::{Edition, Exposure, Side};
    let table = asce::shipped();
    for edition in [Edition::Asce7_10, Edition::Asce7_16, Edition::Asce7_22] {
        for (exposure, height) in [(Exposure::B, 8.0), (Exposure::B, 15.0), (Exposure::C, 6.0), (Exposure::D, 18.0)] {
            let site = asce::Site {
                edition,
                speed: 115.0 * MPH,
                exposure,
                height,
                topography: 1.2,
                elevation: 500.0,
                enclosure: asce::Enclosure::PartiallyEnclosed,
            };
            let steps = site.velocity_steps().unwrap();
            consistent(&steps);
            assert!((value(&steps, "qh") * PSF / site.velocity().unwrap().pressure - 1.0).abs() < 1e-12);
            for row in table.coefficient.iter().filter(|r| r.edition == edition) {
                // A row of the push from below shows in the zone of the field.
                let (zone, side) = match row.side {
                    Side::Below => ("1", Side::Suction),
                    side => (row.zone.as_str(), side),
                };
                let slope = f64::midpoint(row.above, row.up_to).to_radians();
                let place = asce::Place { edition, roof: row.roofs[0], overhang: row.overhang, slope, zone };
                let c = table.coefficient(&place, side).unwrap();
                let area = 25.0 * FOOT * FOOT;
                let steps = site.net_steps(&c, area).unwrap();
                consistent(&steps);
                let net = site.net(&c, area).unwrap();
                assert!(net >= 16.0 * PSF - 1e-9 && (value(&steps, "p") * PSF / net - 1.0).abs() < 1e-12);
                assert!((value(&steps, "GCp") - c.at(area).unwrap()).abs() < 1e-12);
                let marks = c.steps(area).unwrap().iter().map(|s| s.source.mark).max();
                assert_eq!(marks, Some(c.mark()));
                assert!(side == Side::Pressure || value(&steps, "GCp") < 0.0);
            }
        }
    }
    consistent(&[asce::zone_width_step(20.0, 8.0).unwrap()]);
    let site = en::Site { speed: 24.0, terrain: en::Terrain::III, height: 9.0 };
    let steps = site.steps().unwrap();
    consistent(&steps);
    assert!((value(&steps, "qp") / site.peak_pressure().unwrap() - 1.0).abs() < 1e-12);
    let c = en::shipped().coefficient(en::Direction::Eave, 0.4, "F").unwrap();
    consistent(&[c.step(3.0).unwrap(), c.step(0.2).unwrap(), c.step(50.0).unwrap()]);
    for slope in [0.0, 0.3, 0.6, 1.0, 1.3] {
        for slippery in [false, true] {
            let asce = Asce {
                edition_22: false,
                ground: 1500.0,
                exposure: 0.9,
                thermal: 1.1,
                importance: 1.1,
                slippery,
                slope,
            };
            let nbc = Nbc {
                ground: 1800.0,
                rain: 400.0,
                importance: 1.15,
                basic: 0.8,
                wind: 0.75,
                accumulation: 1.0,
                slippery,
                slope,
            };
            let en = En { ground: 900.0, exposure: 1.0, thermal: 1.0, held: slippery, slope };
            for drift in [Drift::Of10, Drift::Of16, Drift::Of22 { winter_wind: Some(0.45) }] {
                for depth in [6.0, 9.0] {
                    let (ground, fetch) = (1500.0, 9.0);
                    let side = Leeward { drift, ground, importance: 1.1, balanced: 900.0, slope, depth, fetch };
                    let steps = side.steps().unwrap();
                    let Some(load) = side.load().unwrap() else {
                        assert!(steps.is_empty());
                        continue;
                    };
                    consistent(&steps);
                    assert!((value(&steps, "p_lee") - load.even / PSF).abs() < 1e-9);
                    if load.surcharge > 0.0 {
                        assert!((value(&steps, "p_drift") - load.surcharge / PSF).abs() < 1e-9);
                        assert!((value(&steps, "b_drift") - load.reach / FOOT).abs() < 1e-9);
                    }
                }
            }
            for (steps, symbol, load) in [
                (asce.steps().unwrap(), "ps", asce.sloped().unwrap() / PSF),
                (nbc.steps().unwrap(), "S", nbc.load().unwrap() / 1000.0),
                (en.steps().unwrap(), "s", en.load().unwrap() / 1000.0),
            ] {
                consistent(&steps);
                assert!((value(&steps, symbol) - load).abs() < 1e-12);
            }
        }
        consistent(&loads::roof_live_steps(25.0, slope).unwrap());
    }
    let amounts = loads::Amounts { dead: 5.0, live: 20.0, snow: 31.0, wind: -28.5 };
    for c in loads::combinations(loads::Standard::Asd22) {
        consistent(&[c.step("q", "across the slope", &amounts, "psf")]);
    }
}

#[test]
fn battens_by_hand() {
    for (grade, moisture) in [("No.2", Moisture::Dry), ("Standard", Moisture::Wet), ("No.2", Moisture::Wet)] {
        let board = nds::board::Board {
            grade: wood::grade(wood::species("SPF").unwrap(), grade).unwrap(),
            width: 3.5 * INCH,
            thickness: 0.75 * INCH,
            repetitive: true,
            moisture,
            temperature: nds::Temperature::Warm,
        };
        let s = board.strength().unwrap();
        let steps = board.steps(40.0, 300.0, nds::Duration::TwoMonths).unwrap();
        consistent(&steps);
        assert!((value(&steps, "u_bending") - 40.0 / s.moment(nds::Duration::TwoMonths)).abs() < 1e-12);
        assert!((value(&steps, "u_shear") - 300.0 / s.shear_force(nds::Duration::TwoMonths)).abs() < 1e-12);
        assert!(board.steps(f64::NAN, 1.0, nds::Duration::TwoMonths).is_err());
    }
    let class = wood::strength_class("C24").unwrap();
    let board = ec5::board::Board { class, width: 50.0 * MM, thickness: 30.0 * MM, service: ec5::ServiceClass::Three };
    let s = board.strength().unwrap();
    let steps = board.steps(90.0, 500.0, ec5::Duration::Short).unwrap();
    consistent(&steps);
    assert!((value(&steps, "u_bending") - 90.0 / s.moment(ec5::Duration::Short)).abs() < 1e-12);
    assert!((value(&steps, "u_shear") - 500.0 / s.shear_force(ec5::Duration::Short)).abs() < 1e-12);
}

/// One line as a person reads it; the record goes into reports.
#[test]
fn a_line_of_text_and_a_record() {
    let w = nds::Withdrawal { kind: FastenerKind::SmoothNail, gravity: 0.42, diameter: 0.148 * INCH };
    assert_eq!(
        w.step().to_string(),
        "W = 1380 G^2.5 D = 1380 * 0.42^2.5 * 0.148 = 23.349 lbf/in  \
         [reference withdrawal per inch that holds; NDS-2018 eq. 12.2-3 (published)]"
    );
    let json = serde_json::to_value(w.step()).unwrap();
    assert_eq!(json["source"]["mark"], "published");
    assert_eq!(json["numbers"], "1380 * 0.42^2.5 * 0.148");
    assert_eq!(json["unit"], "lbf/in");
}
