//! `no-air-path`. The clear width between strips is 560; over a strip 20 are open, under a batten 11.

use airlath::check::Verdict::Fail;

use crate::small::*;

const NAME: &str = "no-air-path";

/// Courses at 50 to 1500 and lines at 20 to 2420 leave four bays of 560; nothing is closed.
#[test]
fn open_as_drawn() {
    passes(&shed(&[], ""), NAME);
}

#[test]
fn closed_at_the_top() {
    let text = shed(&[], "[[edge]]\nedge = \"S.3\"\nvent = false\n");
    let seen = seen(&text, NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    let f = &seen.findings[0];
    assert!(f.message.contains("no way out at a top (S.3: no vent piece lies there)"), "{}", f.message);
    assert!(f.message.starts_with("no air passes under slope S, "), "{}", f.message);
    assert_eq!(f.parts, ["S"]);
    assert_eq!(f.mends.len(), 1);
    assert_eq!(f.mends[0].change.text(), "edge[1].vent = true");
}

/// The flutes close eave and top alike; one word opens both.
#[test]
fn flutes_across() {
    let text = shed(&[("flutes = \"up\"", "flutes = \"across\"")], "");
    let seen = seen(&text, NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    let f = &seen.findings[0];
    assert!(f.message.contains("no way in at an eave") && f.message.contains("no way out at a top"), "{}", f.message);
    assert_eq!(f.parts, ["S-V1.01", "S-V3.01"]);
    assert_eq!(f.mends[0].change.text(), "lattice.vent.flutes = \"up\"");
}

/// Under a batten 4.9 high is no way, 5.1 is: strip and tape together.
#[test]
fn just_high_enough_under_a_batten() {
    for (strip, open) in [("3.9 mm", false), ("4.1 mm", true)] {
        let text = shed(&[("height = \"10 mm\"", &format!("height = \"{strip}\""))], "");
        // The vent piece of the same height as the strip closes too where it is lower than 5; it lies on the tape.
        let text = text.replace("vent = { width", "vent = { height = \"10 mm\", width");
        assert_eq!(seen(&text, NAME).findings.is_empty(), open, "{strip}");
    }
}

/// An opening from rake to rake but for the strips' own room: what lies below it has no way to the top.
#[test]
fn an_opening_across_the_slope() {
    let opening = |x: f64, w: f64| {
        format!(
            "[[opening]]\nslope = \"S\"\nname = \"light\"\nat = [\"{x} mm\", \"700 mm\"]\nsize = [\"{w} mm\", \"300 mm\"]\n"
        )
    };
    // From 1.5 to 2438.5: 1.5 mm is left at each rake. One pocket below, one above.
    let seen = seen(&shed(&[], &opening(1.5, 2437.0)), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 2));
    assert!(
        seen.findings.iter().all(|f| f.message.starts_with("a pocket of ") && f.mends.is_empty()),
        "{:?}",
        seen.findings
    );
    // From 645 to 1795, two bays: the air goes round.
    passes(&shed(&[], &opening(645.0, 1150.0)), NAME);
}

#[test]
fn silent_where_a_landing_is_not_backed() {
    silent(&shed(&[], &format!("[found]\n{MISSING}")), NAME, "landing-not-backed");
}
