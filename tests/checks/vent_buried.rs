//! `vent-buried`. The top edge (1600) stands against a wall on which 100 of insulation will come, measured level.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "vent-buried";

fn against_wall(hold_back: f64, more: &str) -> String {
    let edge = format!(
        "[[edge]]\nedge = \"S.3\"\nkind = \"wall\"\nhold_back = \"{hold_back} mm\"\ninsulation_to_come = \"100 mm\"\n"
    );
    shed(&[], &(edge + more))
}

/// On the slope 100 level are 100 / cos 20 = 106.418 along y, at the membrane. The face is plumb, so at the vent piece's
/// lower face, 1 higher, it lies 1 x tan 20 = 0.364 further up: 106.054 from the edge.
#[test]
fn a_tenth_inside_the_insulation() {
    let pitch = 20f64.to_radians();
    let needed = 100.0 / pitch.cos() - pitch.tan();
    assert!((needed - 106.054).abs() < 1e-3);
    passes(&against_wall(106.1, ""), NAME);
    for hold_back in [106.0, 100.0] {
        let seen = seen(&against_wall(hold_back, ""), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1), "{hold_back}");
        // The shortest way out is level, at a right angle to the face.
        let depth = (needed - hold_back) * pitch.cos();
        let what = "depth inside the insulation, by the shortest way out";
        let at = [1220.0, 1600.0 - hold_back - 20.0, 10.0];
        // Clear of its upper face too, 10 + 1 higher, and rounded up to five: 110.
        let evidence = [("hold-back from the wall", hold_back, Some(115.0)), (what, depth, Some(0.0))];
        says(&seen.findings[0], Fail, &["S-V3.01"], Some(at), &evidence);
    }
}

/// The mend is tried: the same design with the hold-back that the finding proposes.
#[test]
fn its_mend_mends() {
    let seen = seen(&against_wall(15.0, ""), NAME);
    let change = seen.findings[0].mends[0].change.text();
    let value = change.strip_prefix("edge[1].hold_back = \"").and_then(|v| v.strip_suffix(" mm\"")).expect("a change");
    passes(&against_wall(value.parse().expect("millimetres"), ""), NAME);
}

/// At a wall below the slope the face leans over the vent piece: its upper face, 11 high, must keep 99.85 / cos 20 + 11 tan 20
/// = 110.26 away. What the finding proposes is tried there too.
#[test]
fn its_mend_mends_at_a_lower_wall() {
    let against = |hold_back: f64| {
        let edge = format!(
            "[[edge]]\nedge = \"S.1\"\nkind = \"wall\"\nvent = true\nhold_back = \"{hold_back} mm\"\ninsulation_to_come = \
             \"99.85 mm\"\n"
        );
        shed(&[], &edge)
    };
    passes(&against(110.3), NAME);
    let seen = seen(&against(110.2), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    let change = seen.findings[0].mends[0].change.text();
    let value = change.strip_prefix("edge[1].hold_back = \"").and_then(|v| v.strip_suffix(" mm\"")).expect("a change");
    passes(&against(value.parse().expect("millimetres")), NAME);
}

#[test]
fn silent_where_flutes_run_across() {
    let text = against_wall(120.0, "").replace("flutes = \"up\"", "flutes = \"across\"");
    silent(&text, NAME, "vent-flutes-across");
}
