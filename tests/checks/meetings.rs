//! `clash` where members lie in one another in ways that a query may take for apart: the same faces, one inside the other,
//! ends that meet in a valley. Each roof is also turned, by next to nothing as well, and shifted by 880 m each
//! way: the longest length that a design takes is 1000 m.

use std::collections::BTreeMap;

use airlath::check::Verdict::Fail;

use crate::checks::small::{seen, shed};
use crate::common::plans::plan;

const NAME: &str = "clash";

/// Turns about the vertical in degrees, and shifts in metres.
const PLACES: [(f64, f64); 5] = [(0.0, 0.0), (1e-7, 0.0), (37.0, 0.0), (0.0, 880.0), (-101.5, -880.0)];

/// A place of the world in a design file: turned, then shifted.
fn at([x, y, z]: [f64; 3], (turn, shift): (f64, f64)) -> String {
    let (sin, cos) = turn.to_radians().sin_cos();
    [shift + x * cos - y * sin, shift + x * sin + y * cos, z].map(|v| format!("\"{:.9} mm\"", v * 1e3)).join(", ")
}

/// One slope of 2440 by 1830 with members by some tables, and whatever else. INVENTED.
fn roof(place: (f64, f64), pitch: f64, more: &str) -> String {
    let facing = (180.0 - place.0).rem_euclid(360.0);
    format!(
        "format = 1\nname = \"Two fields (invented)\"\nunits = \"millimetres\"\n[[slope]]\nname = \"S\"\nfacing = \"{facing:.9} \
         deg\"\npitch = \"{pitch} deg\"\neave_point = [{}]\nsize = [\"2440 mm\", \"1830 mm\"]\n[lattice]\nbatten = {{ width = \
         \"89 mm\", thickness = \"19 mm\", spacing = \"400 mm\" }}\n[fastening]\ndiameter = \"3.3 mm\"\nlength = \"75 \
         mm\"\n{more}",
        at([0.0, 0.0, 2.4], place)
    )
}

/// Pairs of parts that the check names, and how deep they overlap by their evidence, metres.
fn overlaps(text: &str) -> BTreeMap<[String; 2], f64> {
    let named = |f: &airlath::check::Finding| {
        assert_eq!(f.verdict, Fail);
        let [a, b] = f.parts.as_slice() else { panic!("{:?}", f.parts) };
        let overlap = f.evidence.iter().find(|e| e.what == "overlap").expect("an overlap").found.value();
        ([a.clone(), b.clone()], overlap)
    };
    seen(text, NAME).findings.iter().map(named).collect()
}

fn field(table: &str, depth: f64, more: &str) -> String {
    format!("[[{table}]]\nsection = {{ width = \"38 mm\", depth = \"{depth} mm\" }}\nspacing = \"600 mm\"\n{more}")
}

/// Tails or a second field of rafters in the places of the rafters: as deep, deeper, shallower, longer, wholly inside. The
/// shortest way out is to the side, by their width.
#[test]
fn a_second_field_in_the_place_of_the_first_is_told_at_every_member() {
    let rafters = field("rafters", 184.0, "low = \"508 mm\"\ncantilever = \"305 mm\"\n");
    let fields = [
        ("tails in rafters", rafters.clone() + &field("tails", 184.0, "high = \"914 mm\"\n")),
        ("deeper tails", rafters.clone() + &field("tails", 235.0, "high = \"914 mm\"\n")),
        ("shallower tails", rafters + &field("tails", 140.0, "high = \"914 mm\"\n")),
        ("equal fields", field("rafters", 184.0, "") + &field("rafters", 184.0, "")),
        (
            "one inside",
            field("rafters", 184.0, "") + &field("rafters", 140.0, "low = \"300 mm\"\nhigh = \"1200 mm\"\n"),
        ),
    ];
    for (what, fields) in &fields {
        for pitch in [18.4, 45.0] {
            for place in PLACES {
                let text = roof(place, pitch, fields);
                let found = overlaps(&text);
                let members = plan(&text).found.members.len();
                assert!(members >= 8);
                assert_eq!(found.len(), members / 2, "{what}, {pitch} deg, {place:?}: {found:?}");
                assert!(found.values().all(|d| (d - 0.038).abs() < 1e-6), "{what}, {pitch} deg, {place:?}: {found:?}");
            }
        }
    }
}

/// Forty-five pairs of members of the world that meet, twelve metres from one another: valley rafters that meet at their
/// upper ends as in a mirror, level members that cross, and valley rafters of any two directions.
fn meeting(place: (f64, f64), mirrored: bool) -> String {
    let mut text = String::new();
    for k in 0..45 {
        let (n, middle) = (f64::from(k / 3), [12.0 * f64::from(k % 7) + 20.0, 12.0 * f64::from(k / 7) + 20.0]);
        let rise = 0.55 + 0.06 * n;
        let (from_one, from_two): ([f64; 3], [f64; 3]) = match k % 3 {
            0 => ([-1.8, -1.8 - 0.1 * n, -rise], [1.8, -1.8 - 0.1 * n, -rise]),
            1 => ([-1.5, 0.0, 0.0], [0.0, -1.5, 0.0]),
            _ => {
                let (a, b) = (0.6 * n, 0.6 * n + 0.3 + 0.15 * n);
                ([1.8 * a.cos(), 1.8 * a.sin(), -rise], [1.9 * b.cos(), 1.9 * b.sin(), -rise])
            }
        };
        for from in [from_one, from_two] {
            let to = if k % 3 == 1 { [-from[0], -from[1], 0.0] } else { [0.0; 3] };
            let [from, to] = [from, to].map(|[x, y, z]| {
                let x = if mirrored { -x } else { x };
                at([middle[0] + x, middle[1] + y, 3.0 + z], place)
            });
            text += &format!(
                "[[member]]\nkind = \"valley rafter\"\nsection = {{ width = \"38 mm\", depth = \"235 mm\" }}\nfrom = [{from}]\nto \
                 = [{to}]\n"
            );
        }
    }
    roof(place, 18.4, &(field("rafters", 184.0, "") + &text))
}

/// Every meeting is told, wherever the roof stands. Those that cross level are parted up or down, by their depth.
#[test]
fn every_meeting_of_two_members_is_told() {
    let drawn = overlaps(&meeting((0.0, 0.0), false));
    let valleys: Vec<f64> = drawn.iter().filter(|(names, _)| names[0].starts_with("VR")).map(|(_, d)| *d).collect();
    assert_eq!(valleys.len(), 45, "{drawn:?}");
    assert_eq!(drawn.len(), 45, "{drawn:?}");
    assert_eq!(valleys.iter().filter(|d| (*d - 0.235).abs() < 1e-9).count(), 15, "{drawn:?}");
    for place in PLACES {
        for mirrored in [false, true] {
            let found = overlaps(&meeting(place, mirrored));
            assert_eq!(found.len(), drawn.len(), "{place:?}, mirrored {mirrored}");
            for (names, depth) in &drawn {
                let there = found.get(names).unwrap_or_else(|| panic!("{place:?}, mirrored {mirrored}: {names:?}"));
                assert!(
                    (there - depth).abs() < 1e-6,
                    "{place:?}, mirrored {mirrored}: {names:?} {there}, drawn {depth}"
                );
            }
        }
    }
}

/// A crooked rafter is several bodies: a block that reaches 10 into it is told once, by at least so much.
#[test]
fn a_part_of_several_bodies_overlaps_by_at_least_the_deepest() {
    let found = "[[found.member]]\nname = \"S-R02\"\noffsets = [{ at = \"0 mm\", off = \"0 mm\" }, { at = \"1000 mm\", off = \"6 \
                 mm\" }, { at = \"1600 mm\", off = \"0 mm\" }]\n";
    let block = "[[member]]\nkind = \"block\"\nslope = \"S\"\nsection = { width = \"40 mm\", depth = \"100 mm\" }\nfrom = [\"636 \
                 mm\", \"1000 mm\"]\nto = [\"1200 mm\", \"1000 mm\"]\n";
    let seen = seen(&shed(&[], &(found.to_owned() + block)), NAME);
    let [finding] = seen.findings.as_slice() else { panic!("{:?}", seen.findings) };
    assert_eq!(finding.parts, ["S-R02", "S-BK01"]);
    assert!(finding.message.contains("overlap by at least 10"), "{}", finding.message);
}

/// A tape whose path holds no number has no solid: it is named, and its fasteners count as off the tape.
#[test]
fn a_part_whose_solid_could_not_be_built_is_named() {
    let mut plan = plan(&shed(&[], ""));
    plan.lattice.slopes[0].tapes[1].path[0].1 = f64::NAN;
    let results = airlath::check::run(&plan.context());
    let clash = results.iter().find(|r| r.check.name == NAME).expect("the check");
    let name = plan.lattice.slopes[0].tapes[1].name.clone();
    assert!(
        clash.findings.iter().any(|f| f.parts == [name.clone()] && f.message.contains("could not be built")),
        "{:?}",
        clash.findings
    );
}
