//! `vent-flutes-across`. There is no size in this check: a vent piece lets the air through or it does not.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "vent-flutes-across";

fn flutes(word: &str, vents: (bool, bool)) -> String {
    let edges = format!("[[edge]]\nedge = \"S.1\"\nvent = {}\n[[edge]]\nedge = \"S.3\"\nvent = {}\n", vents.0, vents.1);
    shed(&[("flutes = \"up\"", &format!("flutes = \"{word}\""))], &edges)
}

#[test]
fn across_stops_the_air() {
    passes(&flutes("up", (true, true)), NAME);
    // One finding a slope, with all its vent pieces; the place is the first one's middle.
    for (vents, parts, y) in [
        ((true, true), &["S-V1.01", "S-V3.01"][..], 20.0),
        ((true, false), &["S-V1.01"][..], 20.0),
        ((false, true), &["S-V3.01"][..], 1600.0 - 20.0 - 20.0),
    ] {
        let seen = seen(&flutes("across", vents), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
        says(
            &seen.findings[0],
            Fail,
            parts,
            Some([1220.0, y, 10.0]),
            &[("vent pieces with flutes across", parts.len() as f64, Some(0.0))],
        );
        assert_eq!(seen.findings[0].mends[0].change.text(), "lattice.vent.flutes = \"up\"");
    }
}

#[test]
fn without_vent_pieces_there_is_nothing_to_say() {
    passes(&flutes("across", (false, false)), NAME);
}

#[test]
fn silent_where_a_vent_piece_will_be_buried() {
    let wall = "[[edge]]\nedge = \"S.3\"\nkind = \"wall\"\ninsulation_to_come = \"100 mm\"\n";
    silent(&shed(&[], wall), NAME, "vent-buried");
}
