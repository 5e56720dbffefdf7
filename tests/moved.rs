//! A roof that is turned or shifted has the same faults, one seen in a mirror the same overlaps; another pitch leaves a plan that
//! holds together.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use crate::common::plans;
use std::collections::BTreeMap;
use std::path::Path;

use crate::common::moved::{Moved, mirrored, pitched, shifted, turned};
use crate::common::said::{Said, near, said, same};
use airlath::check;
use airlath::plan::Plan;
use airlath::scene::QuantityRecord;

/// A shed that faults are put on. INVENTED.
const SHED: &str = r#"
format = 1
name = "Shed of five rafters (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "9 ft"
slope_length = "7 ft"
pitch = "5:12"
[lattice]
tape = { width = "2 1/2 in" }
strip = { height = "3/8 in" }
batten = { nominal = "1x4", spacing = "18 in" }
[fastening]
diameter = "0.131 in"
length = "3 in"
"#;

/// What overlaps on that shed at any pose, and how often.
const OVERLAPS: [(&str, &str, usize); 4] = [
    (
        "tails half an inch beside the rafters' middles, and as deep",
        "[[rafters]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\nlow = \"24 in\"\ncantilever = \"10 in\"\n\
         [[tails]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\nfirst = \"1 1/4 in\"\nhigh = \"40 in\"\n",
        5,
    ),
    (
        "tails deeper than the rafters that they lie in",
        "[[rafters]]\nsection = { nominal = \"2x6\" }\nspacing = \"24 in\"\nlow = \"24 in\"\ncantilever = \"10 in\"\n\
         [[tails]]\nsection = { nominal = \"2x10\" }\nspacing = \"24 in\"\nhigh = \"40 in\"\n",
        5,
    ),
    (
        "two fields alike",
        "[[rafters]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\n\
         [[rafters]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\n",
        5,
    ),
    (
        "a second field a hair beside the first: faces that nearly lie in one plane",
        "[[rafters]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\n\
         [[rafters]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\nfirst = \"0.7501 in\"\n",
        5,
    ),
];

/// Loads on the zones of a hip roof, and on a gable whose ridge zone is wide; air that the wind blows down; strips and tape at a
/// slanted edge, doubled at a rake, with fasteners beside the strip. INVENTED.
fn roofs() -> Vec<(&'static str, String)> {
    let rafters = "[[rafters]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\n";
    let strength = "[strength]\nrules = \"NDS\"\nmembers = \"DF-L\"\nbattens = \"hem-fir\"\ngrade = \"no. 2\"\nmoisture = \
                    \"dry\"\nroofing = \"2 psf\"\nheld = \"every course\"\nstrip = \"60 psi\"\n";
    let wind = "speed = \"120 mph\"\nexposure = \"C\"\nheight = \"13 ft\"\ntopography = 1.0\nelevation = \"0 ft\"\nenclosure \
                = \"enclosed\"\nwidth = \"10 ft\"\noverhang = \"0 in\"\n";
    let hip = SHED.replace(
        "shape = \"shed\"\neave = \"9 ft\"\nslope_length = \"7 ft\"",
        "shape = \"hip\"\neave = \"15 ft\"\nwidth = \"10 ft\"",
    );
    let loaded = |edition: &str| {
        format!("{hip}{rafters}{strength}combinations = \"{edition}\"\n[wind]\nedition = \"{edition}\"\n{wind}")
    };
    let gable = SHED
        .replace(
            "shape = \"shed\"\neave = \"9 ft\"\nslope_length = \"7 ft\"",
            "shape = \"gable\"\neave = \"15 ft\"\nwidth = \"13 ft\"",
        )
        .replace("5:12", "45 deg");
    let slanted = SHED.replace(
        "[roof]\nshape = \"shed\"\neave = \"9 ft\"\nslope_length = \"7 ft\"\npitch = \"5:12\"\n",
        "[[slope]]\nname = \"A\"\npitch = \"5:12\"\nfacing = \"NE\"\neave_point = [\"10 ft\", \"3 ft\", \"9 ft\"]\noutline = \
         [[\"0 in\", \"0 in\"], [\"150 in\", \"0 in\"], [\"101 in\", \"90 in\"], [\"0 in\", \"90 in\"]]\n",
    );
    vec![
        ("hip, ASCE 7-10", loaded("ASCE 7-10")),
        ("hip, ASCE 7-16", loaded("ASCE 7-16")),
        ("hip, ASCE 7-22", loaded("ASCE 7-22")),
        (
            "ridge zone",
            format!(
                "{gable}{rafters}[strength]\nrules = \"EC5\"\ncombinations = \"EN 1991\"\nmembers = \"C24\"\nbattens = \
                 \"C24\"\nmoisture = \"dry\"\nroofing = \"0.1 kN/m2\"\nstrip = \"0.4 N/mm2\"\nheld = \"fixed line\"\nfixed_at = \
                 \"eave\"\n[wind]\nedition = \"EN 1991\"\nspeed = \"27 m/s\"\nexposure = \"III\"\nheight = \"5 m\"\ntopography = \
                 1.0\nelevation = \"200 m\"\nwidth = \"4.6 m\"\noverhang = \"0 mm\"\n"
            ),
        ),
        (
            "blown down",
            format!(
                "{gable}{rafters}[air]\noutside = \"2 C\"\nwind = \"4 m/s\"\ncp_eave = -0.3\ncp_top = 0.35\nfree_area = {{ eave = \
                 \"9000 mm2/m\", top = \"9000 mm2/m\" }}\n"
            ),
        ),
        (
            "slanted edge",
            format!("{}{rafters}", slanted.replace("strip = { ", "strip = { doubled_at_rake = true, "))
                + "low = \"10 in\"\n[[tails]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\nfirst = \"2 1/4 in\"\nhigh = \
                   \"20 in\"\n",
        ),
        (
            "fasteners beside the strip, ends on a side",
            format!("{SHED}{}", rafters.replace("2x8", "4x8")).replace(
                "length = \"3 in\"",
                "length = \"3 in\"\npattern = \"across\"\nspread = \"3 in\"\nper_landing = 3",
            ),
        ),
    ]
}

/// Designs of a folder that can be planned.
fn bundled(folder: &str) -> Vec<(String, String)> {
    let files = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).unwrap();
    let mut all: Vec<(String, String)> = files
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p| (p.display().to_string(), std::fs::read_to_string(&p).unwrap()))
        .filter(|(_, text)| Plan::from_text("test.toml", &plans::placed(text)).is_ok())
        .collect();
    all.sort();
    all
}

fn all() -> Vec<(String, String)> {
    let mut all = [bundled("examples"), bundled("tests/roofs"), bundled("tests/corpus")].concat();
    assert!(all.len() > 25, "{} designs", all.len());
    all.extend(roofs().into_iter().map(|(name, text)| (name.to_owned(), text)));
    all.extend(OVERLAPS.iter().map(|(name, fault, _)| ((*name).to_owned(), format!("{SHED}{fault}"))));
    all
}

/// With the names that the drawn roof's parts have.
fn named_as_drawn(mut s: Said, moved: &Moved) -> Said {
    s.landings.iter_mut().for_each(|l| l.0 = moved.as_drawn(&l.0));
    s.pieces.iter_mut().for_each(|p| p.0 = moved.as_drawn(&p.0));
    s.findings.iter_mut().flat_map(|f| &mut f.parts).for_each(|p| *p = moved.as_drawn(p));
    s
}

/// Fasteners and pieces lie where the drawn roof's lie, to a hundredth of a micrometre and a world of a kilometre.
fn moves(name: &str, text: &str) {
    let drawn = said(text);
    // The second turn leaves most short forms their names, and with them their hashes.
    for (how, moved) in [
        ("turned", turned(text, 37.0)),
        ("turned a little", turned(text, 3.7)),
        ("shifted", shifted(text, [800.0, -600.0, 0.0])),
    ] {
        let what = format!("{name}, {how}");
        let there = said(&moved.text);
        assert_eq!(drawn.world.len(), there.world.len(), "{what}");
        for (p, q) in drawn.world.iter().zip(&there.world) {
            assert!(near(&(moved.place)(*p), q, 1e-7), "{what}: {p:?} became {q:?}");
        }
        let hashes = (there.fingerprint.clone(), there.driving.clone());
        same(&drawn, &named_as_drawn(there, &moved), 1e-7, &what);
        if !moved.renames() {
            assert_eq!((&drawn.fingerprint, &drawn.driving), (&hashes.0, &hashes.1), "{what}: hashes");
        }
    }
}

/// A mirror image has its landings where the drawn roof's are mirrored, buys the same, and has each check's faults as often:
/// names count from the left, so none are compared.
fn mirrors(name: &str, text: &str) {
    let (drawn, moved) = (said(text), mirrored(text));
    let there = said(&moved.text);
    // In slope coordinates: a short form puts the mirrored building elsewhere in the world.
    let wide: BTreeMap<String, f64> = plans::plan(text)
        .design
        .slopes
        .iter()
        .map(|s| (s.name.clone(), s.outline.iter().map(|c| c.0.metres()).fold(0.0, f64::max)))
        .collect();
    let slope = |name: &str| name.split('-').next().unwrap_or_default().to_owned();
    let places = |landings: &[(String, Vec<f64>)], seen: &dyn Fn(&str, f64) -> f64| -> Vec<(String, [f64; 2])> {
        let of = |(name, at): &(String, Vec<f64>)| -> Vec<(String, [f64; 2])> {
            at.chunks(2).map(|p| (slope(name), [seen(&slope(name), p[0]), p[1]])).collect()
        };
        landings.iter().flat_map(of).collect()
    };
    let image = places(&drawn.landings, &|slope, x| wide[slope] - x);
    let found = places(&named_as_drawn(there.clone(), &moved).landings, &|_, x| x);
    let lost = |of: &[(String, [f64; 2])], among: &[(String, [f64; 2])]| -> Vec<(String, [f64; 2])> {
        of.iter().filter(|p| !among.iter().any(|q| p.0 == q.0 && near(&p.1, &q.1, 1e-6))).cloned().collect()
    };
    assert_eq!((lost(&image, &found), lost(&found, &image)), (Vec::new(), Vec::new()), "{name}: fasteners");
    let told = |s: &Said| {
        let mut all: BTreeMap<(&str, String), usize> = BTreeMap::new();
        for f in &s.findings {
            *all.entry((f.check, format!("{:?}", f.verdict))).or_default() += f.stands_for;
        }
        all
    };
    assert_eq!(told(&drawn), told(&there), "{name}: findings");
    assert_eq!(drawn.rest, there.rest, "{name}");
    let bought = |s: &Said| {
        let row = |q: &QuantityRecord| {
            let numbers = [Some(q.count as f64), q.length, q.area, q.mass];
            (format!("{} {}", q.kind, q.size), numbers.map(|v| v.unwrap_or(0.0)))
        };
        s.quantities.iter().map(row).collect::<BTreeMap<_, _>>()
    };
    let (a, b) = (bought(&drawn), bought(&there));
    assert_eq!(a.keys().collect::<Vec<_>>(), b.keys().collect::<Vec<_>>(), "{name}");
    for (what, numbers) in &a {
        let size = 1.0 + numbers[1..].iter().copied().fold(0.0, f64::max);
        assert!(near(numbers, &b[what], 1e-6 * size), "{name}, {what}: {numbers:?} against {:?}", b[what]);
    }
}

/// At how many other pitches there is a plan, of which everything can be told; at the others there are faults.
fn leans(text: &str) -> usize {
    let mut planned = 0;
    for pitch in ["1:12", "37 deg", "64 deg"] {
        let text = pitched(text, pitch);
        if Plan::from_text("test.toml", &plans::placed(&text)).is_ok() {
            assert!(said(&text).rest.len() > check::CHECKS.len());
            planned += 1;
        }
    }
    planned
}

/// Asks every design, and names all that differ.
fn every(ask: fn(&str, &str)) {
    let differ = |(name, text): &(String, String)| {
        let told = std::panic::catch_unwind(|| ask(name, text)).err()?;
        Some(told.downcast_ref::<String>().cloned().unwrap_or_else(|| name.clone()))
    };
    let differing: Vec<String> = all().iter().filter_map(differ).collect();
    assert!(differing.is_empty(), "{}", differing.join("\n\n"));
}

#[test]
fn a_turn_and_a_shift_change_nothing_but_world_coordinates() {
    every(moves);
}

#[test]
fn a_mirror_image_has_the_same_faults_as_often() {
    every(mirrors);
}

#[test]
fn another_pitch_is_planned_or_refused() {
    let planned: usize = all().iter().map(|(_, text)| leans(text)).sum();
    assert!(planned > 60, "{planned} planned");
}

#[test]
fn what_overlaps_is_told_at_any_pose() {
    for (what, fault, times) in OVERLAPS {
        let drawn = format!("{SHED}{fault}");
        let mut poses = vec![drawn.clone(), turned(&drawn, 37.0).text, mirrored(&drawn).text];
        poses.extend(["1:12", "37 deg", "64 deg"].map(|pitch| pitched(&drawn, pitch)));
        for pose in poses {
            let told = said(&pose).findings.iter().filter(|f| f.check == "clash").count();
            assert_eq!(told, times, "{what}: {pose}");
        }
    }
}
