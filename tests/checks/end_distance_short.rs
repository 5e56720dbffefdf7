//! `end-distance-short`.

use airlath::check::{Finding, Verdict::Warn};
use airlath::lattice::{On, Side, x_at};

use crate::checks::small::*;

const NAME: &str = "end-distance-short";
const AXIS: &str = "from the axis to the board's end";

fn of_kind<'s>(seen: &'s Seen, kind: &str) -> Vec<&'s Finding> {
    seen.findings.iter().filter(|f| f.message.starts_with(kind)).collect()
}

/// Boards start at 0: a rafter whose middle is at 14.9 is a tenth too near for the 15 that are asked. A sixteenth of an inch
/// to the right would do, so each landing is told with that move.
#[test]
fn a_tenth_too_near_to_a_rake() {
    let first = |mm: f64| shed(&[("first = \"20 mm\"", &format!("first = \"{mm} mm\""))], "");
    passes(&first(15.0), NAME);
    passes(&first(15.1), NAME);
    let seen = seen(&first(14.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 5));
    says(&seen.findings[0], Warn, &["S-B01.L01", "S-B01.1"], Some([14.9, 50.0, TOP]), &[(AXIS, 14.9, Some(15.0))]);
    assert!(seen.findings[0].mends[0].change.text().contains("across = \"1.5875 mm\""));
}

/// Over a rafter whose right side is at 34.9 no place keeps 30 from the board's end and 7.5 from that side.
#[test]
fn where_no_place_would_do_it_is_said_once() {
    let design = |end: f64| {
        let end = format!("end_distance = \"{end} mm\"");
        shed(&[("first = \"20 mm\"", "first = \"14.9 mm\""), ("end_distance = \"15 mm\"", &end)], "")
    };
    // Seven sixteenths of an inch further right is 26 from the end and 8.9 from the side.
    let left = |seen: &Seen| seen.findings.iter().filter(|f| f.parts[0].ends_with("L01")).count();
    assert_eq!(left(&seen(&design(25.0), NAME)), 5);
    let seen = seen(&design(30.0), NAME);
    let found = of_kind(&seen, "ends at edges and openings");
    assert_eq!((seen.findings.len(), found.len(), left(&seen)), (6, 1, 1));
    // The right ends, 20 from their rafters' middles, have room to move: they are told one by one.
    let evidence = [(AXIS, 14.9, Some(30.0)), ("landings", 5.0, None)];
    says(found[0], Warn, &["S-B01.L01"], Some([14.9, 50.0, TOP]), &evidence);
}

/// Butt joints over one rafter: pieces end at 1219 and start at 1221, and fasteners stay 7.5 inside the rafter's sides at
/// 1200 and 1240: 1219 - 1207.5 = 11.5 is what there is.
#[test]
fn over_one_member_there_is_no_more_than_the_member_gives() {
    let asked = |mm: f64| {
        let (stock, end) = ("stock = [\"1800 mm\"]", format!("end_distance = \"{mm} mm\""));
        shed(&[("stock = [\"3000 mm\"]", stock), ("end_distance = \"15 mm\"", &end)], "")
    };
    passes(&asked(11.4), NAME);
    let seen = seen(&asked(11.6), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 1));
    let f = of_kind(&seen, "butt joints over one member")[0];
    let evidence = [(AXIS, 11.5, Some(11.6)), ("landings", 10.0, None)];
    let (at, name) = (f.place.expect("a place").at[0], f.parts[0].as_str());
    let x = if name.ends_with(".l") { 1207.5 } else { 1232.5 };
    assert!((at - x * 1e-3).abs() < 1e-9, "{name} at {at}");
    says(f, Warn, &[name], Some([x, f.place.expect("a place").at[1] * 1e3, TOP]), &evidence);
}

/// Over two rafters side by side (middles 1220 and 1260) the joint is at 1240, the left piece ends at 1239, and its
/// fastener may stand 7.5 inside the left side at 1200: 1239 - 1207.5 = 31.5.
#[test]
fn over_a_doubled_member_there_is_more() {
    let asked = |mm: f64| {
        let (stock, end) = ("stock = [\"1800 mm\"]", format!("end_distance = \"{mm} mm\""));
        let second = "[[member]]\nkind = \"rafter\"\nslope = \"S\"\nsection = { width = \"40 mm\", depth = \"200 mm\" }\n\
                      from = [\"1260 mm\", \"0 mm\"]\nto = [\"1260 mm\", \"1600 mm\"]\n";
        shed(&[("stock = [\"3000 mm\"]", stock), ("end_distance = \"15 mm\"", &end)], second)
    };
    let kind = "butt joints over a doubled member";
    assert!(of_kind(&seen(&asked(31.4), NAME), kind).is_empty());
    let seen = seen(&asked(31.6), NAME);
    let found = of_kind(&seen, kind);
    assert_eq!(found.len(), 1);
    let (e, n) = (&found[0].evidence[0], &found[0].evidence[1]);
    assert!((e.found.value() - 0.0315).abs() < 1e-9 && n.found.value() == 10.0, "{:?}", found[0].evidence);
}

/// A lap of 38 reaches 19 to each side of the rafter's middle.
#[test]
fn laps_reach_half_their_length() {
    let asked = |mm: f64| {
        let (stock, end) = ("stock = [\"1800 mm\"]", format!("end_distance = \"{mm} mm\""));
        let lap = ("joint = \"butt\"", "joint = \"lap\"");
        shed(&[("stock = [\"3000 mm\"]", stock), ("end_distance = \"15 mm\"", &end), lap], "")
    };
    passes(&asked(18.9), NAME);
    // By a tenth: a sixteenth of an inch along would do. By eleven: the rafter's side, 7.5 kept, is 12.5 away.
    assert_eq!(seen(&asked(19.1), NAME).findings.len(), 10);
    let seen = seen(&asked(32.0), NAME);
    let found = of_kind(&seen, "laps");
    assert_eq!((seen.verdict, found.len()), (Warn, 1));
    assert_eq!(found.len(), 1);
    let (e, n) = (&found[0].evidence[0], &found[0].evidence[1]);
    assert!((e.found.value() - 0.019).abs() < 1e-9 && n.found.value() == 10.0, "{:?}", found[0].evidence);
}

#[test]
fn silent_where_a_fastener_is_near_its_members_side() {
    silent(&shed(&[], &moved("S-B03.L02", 12.6, 0.0)), NAME, "near-member-side");
}

/// Boards cut along a hip, wherever the courses begin: no fastener stands beside its board, none nearer to the cut than its
/// own diameter, and the distance that is told is the one to the cut.
#[test]
fn fasteners_stand_in_boards_with_slanted_ends() {
    let hip = std::fs::read_to_string("examples/hip.toml").expect("the example");
    for first in ["4 in", "5.3 in", "6.1 in", "7.2 in", "9 in", "10.7 in"] {
        assert_eq!(hip.matches("first = \"8 in\"").count(), 1);
        let text = hip.replace("first = \"8 in\"", &format!("first = \"{first}\""));
        passes(&text, "clash");
        let plan = crate::common::plans::plan(&text);
        let mut slanted = 0;
        for (slope, frame) in plan.lattice.slopes.iter().zip(&plan.found.slopes) {
            for landing in &slope.landings {
                let piece = &slope.pieces[landing.piece as usize];
                // It moved along the board no further than its edge distance to the member's side allows.
                let On::Line(line) = landing.on else { panic!("{first}: {}", piece.name) };
                let member = &slope.lines[line as usize].found[0];
                let aside = (landing.x - x_at(&member.path, piece.y)).abs();
                let most = member.width / 2.0 - plan.design.limits.edge_distance.metres();
                assert!(landing.side != Side::Whole || aside <= most + 1e-6, "{first}: {} by {aside}", piece.name);
                for f in slope.fasteners_of(landing) {
                    let (left, right) = piece.wood_at(&plan.design, &frame.outline, f.y);
                    slanted += usize::from((left, right) != piece.x);
                    let least = plan.design.fastening.diameter.metres();
                    assert!((f.x - left).min(right - f.x) >= least - 1e-9, "{first}: {}", piece.name);
                }
            }
        }
        assert!(slanted > 100);
    }
}

/// Side by side at a joint one of two stands beside its board: that is a clash, and no distance below nothing is told.
#[test]
fn a_fastener_beside_its_board_has_no_end_distance() {
    let across = [
        ("stock = [\"3000 mm\"]", "stock = [\"1800 mm\"]"),
        ("spread = \"50 mm\"", "spread = \"50 mm\"\npattern = \"across\""),
    ];
    let seen = seen(&shed(&across, ""), NAME);
    assert!(seen.findings.iter().flat_map(|f| &f.evidence).all(|e| e.found.value() >= 0.0));
}
