//! `no-air-path`. The clear width between strips is 560; over a strip 20 are open, under a batten 11.

use airlath::check::Finding;
use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "no-air-path";

/// No change of the design is proposed, only words.
fn words_alone(f: &Finding) -> bool {
    f.mends.is_empty() && !f.advice.is_empty()
}

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
    let text = shed(&[], &opening(1.5, 2437.0));
    let found = seen(&text, NAME).findings;
    assert_eq!(found.len(), 2);
    assert!(found.iter().all(|f| f.message.starts_with("a pocket of ")), "{found:?}");
    // Neither gaps nor room beside the opening let the air past; a rake does, for the one pocket out, for the other one in.
    for f in &found {
        assert_eq!(f.mends[0].change.text().trim(), "[[edge]]\nedge = \"S.2\"\nair = \"open\"");
        assert!(f.mends[0].text.contains("screened piece"), "{}", f.mends[0].text);
    }
    passes(&format!("{text}{}", found[0].mends[0].change.text()), NAME);
    // One that says itself that it is closed is opened where it says so.
    let shut = format!("{text}[[edge]]\nedge = \"S.2\"\nair = \"closed\"\n");
    assert_eq!(seen(&shut, NAME).findings[0].mends[0].change.text(), "edge[1].air = \"open\"");
    // From 645 to 1795, two bays: the air goes round.
    passes(&shed(&[], &opening(645.0, 1150.0)), NAME);
}

/// The strips are lower than what air is counted on: nothing passes under any batten, and only higher strips help.
#[test]
fn strips_too_low() {
    let text = shed(&[("height = \"10 mm\"", "height = \"3 mm\"")], "");
    let found = seen(&text, NAME).findings;
    assert!(!found.is_empty());
    let change = &found[0].mends[0].change;
    assert_eq!(change.text(), "lattice.strip.height = \"5 mm\"\nlattice.vent.height = \"5 mm\"");
    passes(&change.applied(&text).unwrap(), NAME);
}

/// Neither eave nor top has vent pieces: a rake is shorter than both together, but air does not come in and go out at one and
/// the same rake. Where one rake is open already the other one does, as it is shorter than the eave.
#[test]
fn rakes_instead_of_vent_pieces() {
    let none = "[[edge]]\nedge = \"S.1\"\nvent = false\n[[edge]]\nedge = \"S.3\"\nvent = false\n";
    let found = seen(&shed(&[], none), NAME).findings;
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].mends[0].change.text(), "edge[1].vent = true\nedge[2].vent = true");
    let left = format!("{none}[[edge]]\nedge = \"S.4\"\nair = \"open\"\n");
    let found = seen(&shed(&[], &left), NAME).findings;
    assert_eq!(found.len(), 1);
    let change = found[0].mends[0].change.text();
    assert_eq!(change.trim(), "[[edge]]\nedge = \"S.2\"\nair = \"open\"");
    passes(&shed(&[], &format!("{left}{change}")), NAME);
}

/// Boards 100 wide every 104: 4 are open between them, too little to count on, so no air crosses a strip but in the wider
/// room below the last course. A skylight fills the bay between the second and the third rafter. What lies below
/// has no way out, what lies above hangs on the room below the last course by one passage.
#[test]
fn a_closed_bay_between_close_boards() {
    let close = [("spacing = \"400 mm\"", "spacing = \"104 mm\"")];
    let light = "[[opening]]\nslope = \"S\"\nname = \"light\"\nat = [\"641 mm\", \"700 mm\"]\nsize = [\"558 mm\", \"200 mm\"]\n";
    passes(&shed(&close, ""), NAME);
    let text = shed(&close, light);
    let found = seen(&text, NAME).findings;
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found[0].message.contains("no way out at a top"), "{}", found[0].message);
    assert!(found[1].message.contains("hangs on the rest by one passage"), "{}", found[1].message);
    // Courses at 50, 154, 258, ... The skylight keeps 25.4 clear, so it cuts those that reach into 674.6 to 925.4: from
    // the seventh, 624 to 724, to the ninth, 832 to 932. Next to it are the sixth and the tenth. A gap reaches from 150
    // past the middle of the rafter before the strip to as far before the one behind it.
    let gap = |course: &str, from: &str, to: &str| {
        format!("\n[[gap]]\ncourse = \"{course}\"\nfrom = \"{from} mm\"\nto = \"{to} mm\"\n")
    };
    let texts: Vec<String> = found.iter().map(|f| f.mends[0].change.text()).collect();
    assert_eq!(texts, [gap("S-B06", "170", "1070"), gap("S-B10", "170", "1070")]);
    assert!(found[0].mends[0].text.contains("passes over S-L02"), "{}", found[0].mends[0].text);
    // Each opens its own pocket, both together the bay.
    for (k, one) in texts.iter().enumerate() {
        let left = seen(&format!("{text}{one}"), NAME).findings;
        assert!(left.len() == 1 && left[0].message == found[1 - k].message, "{left:?}");
    }
    passes(&format!("{text}{}{}", texts[0], texts[1]), NAME);
    // A course that is on the roof is not cut again.
    let laid = format!("{text}[[laid]]\nwhat = [\"tape\", \"strips\", \"battens\"]\n");
    assert!(seen(&laid, NAME).findings.iter().all(words_alone));
}

#[test]
fn silent_where_a_landing_is_not_backed() {
    silent(&shed(&[], &format!("[found]\n{MISSING}")), NAME, "landing-not-backed");
}

/// A slope with two tops, both closed: 3000 at 2000 up the slope, and 1000 at 2400. Either opens all of it; what is proposed is
/// the shorter one, whichever the outline names first.
#[test]
fn of_two_changes_the_smaller_one_is_proposed() {
    let outlines = [
        (
            "S.5",
            "[[\"0 mm\", \"0 mm\"], [\"4000 mm\", \"0 mm\"], [\"4000 mm\", \"2000 mm\"], [\"1000 mm\", \"2000 mm\"], \
           [\"1000 mm\", \"2400 mm\"], [\"0 mm\", \"2400 mm\"]]",
        ),
        (
            "S.3",
            "[[\"0 mm\", \"0 mm\"], [\"4000 mm\", \"0 mm\"], [\"4000 mm\", \"2400 mm\"], [\"3000 mm\", \"2400 mm\"], \
           [\"3000 mm\", \"2000 mm\"], [\"0 mm\", \"2000 mm\"]]",
        ),
    ];
    for (shorter, outline) in outlines {
        let text = format!(
            "format = 1\nname = \"Two tops (invented)\"\nunits = \"millimetres\"\n[[slope]]\nname = \"S\"\npitch = \"20 deg\"\n\
             outline = {outline}\n[[edge]]\nedge = \"S.3\"\nvent = false\n[[edge]]\nedge = \"S.5\"\nvent = false\n\
             [[rafters]]\nsection = {{ width = \"40 mm\", depth = \"200 mm\" }}\nspacing = \"500 mm\"\nfirst = \"20 mm\"\n\
             [lattice]\nstrip = {{ width = \"40 mm\", height = \"10 mm\" }}\n\
             batten = {{ width = \"100 mm\", thickness = \"20 mm\", spacing = \"400 mm\" }}\n\
             [fastening]\ndiameter = \"3 mm\"\nlength = \"80 mm\"\n"
        );
        let found = seen(&text, NAME).findings;
        assert_eq!(found.len(), 1, "{found:?}");
        let edge = if shorter == "S.3" { "edge[1].vent = true" } else { "edge[2].vent = true" };
        assert_eq!(found[0].mends[0].change.text(), edge, "{shorter}");
        // The longer one would have done too.
        let other = if shorter == "S.3" { "S.5" } else { "S.3" };
        passes(&text.replace(&format!("edge = \"{other}\"\nvent = false"), &format!("edge = \"{other}\"")), NAME);
    }
}
