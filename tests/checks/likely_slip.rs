//! `likely-slip`.

use airlath::check::Verdict::Warn;
use airlath::plan::Plan;

use crate::checks::small::*;

const NAME: &str = "likely-slip";

fn message(text: &str) -> String {
    let seen = seen(text, NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 1), "{:?}", seen.findings);
    let f = &seen.findings[0];
    assert!(f.source.line.is_some() && f.mends.is_empty() && !f.advice.is_empty());
    assert!(f.source.text.contains(&format!("line {}", f.source.line.unwrap())));
    f.message.clone()
}

/// The small roof in inches with one text exchanged.
fn inches(old: &str, new: &str) -> String {
    shed(&[("units = \"millimetres\"", "units = \"inches\""), (old, new)], "")
}

const SPACING: &str = "spacing = \"400 mm\"";

/// Feet for inches, inches for millimetres: what was meant is said, and on which line it stands.
#[test]
fn a_number_in_the_wrong_unit_is_asked_back() {
    let of = |written: &str| inches(SPACING, &format!("spacing = \"{written}\""));
    assert_eq!(
        message(&of("16 ft")),
        "lattice.batten.spacing is 16 ft 0 in, more than roofs have; did you mean 16 in?"
    );
    assert!(message(&of("400 in")).ends_with("did you mean 400 mm?"), "{}", message(&of("400 in")));
    // Five feet are the most, six more than that.
    passes(&of("5 ft"), NAME);
    assert!(message(&of("6 ft")).ends_with("did you mean 6 in?"));
    // More than roofs have, but nothing else that it might be: 61.3 in.
    passes(&of("61.3 in"), NAME);
    let line = of("16 ft").lines().position(|l| l.starts_with("batten")).unwrap() + 1;
    assert_eq!(seen(&of("16 ft"), NAME).findings[0].source.line, Some(line));
}

#[test]
fn other_sizes_are_asked_back_too() {
    for (old, new, meant) in [
        ("height = \"10 mm\"", "height = \"10 in\"", "did you mean 10 mm?"),
        ("thickness = \"12 mm\"", "thickness = \"12 in\"", "did you mean 1 in, or 12 mm?"),
        ("depth = \"200 mm\"", "depth = \"95 in\"", "did you mean 95 mm?"),
        ("width = \"60 mm\"", "width = \"2 mm\"", "did you mean 2 in, or 20 mm?"),
        ("stock = [\"3000 mm\"]", "stock = [\"3000 in\"]", "did you mean 250 in, or 3000 mm?"),
        ("spacing = \"600 mm\"\nfirst", "spacing = \"24 ft\"\nfirst", "did you mean 24 in?"),
    ] {
        let said = message(&inches(old, new));
        assert!(said.ends_with(meant), "{new}: {said}");
    }
}

/// 12:4 is 71.6 deg, 4:12 is meant, and so with every rise of 12 in a run below it; 18:12 and 24:12 are steep and meant.
#[test]
fn a_pitch_turned_round_is_asked_back() {
    let of = |pitch: &str| shed(&[("pitch = \"20 deg\"", &format!("pitch = \"{pitch}\""))], "");
    assert_eq!(message(&of("12:4")), "the pitch of slope S is 12:4, 72 deg; did you mean 4:12?");
    assert_eq!(message(&of("12 : 6")), "the pitch of slope S is 12:6, 63 deg; did you mean 6:12?");
    for run in 1..12 {
        let told = Plan::from_text("test.toml", &of(&format!("12:{run}"))).is_err();
        // Steeper than 85 deg is no slope at all.
        assert!(told == (run == 1) && (told || message(&of(&format!("12:{run}"))).ends_with(&format!("{run}:12?"))));
    }
    for meant in ["18:12", "70 deg", "4:12", "24:12", "36:12", "12:12", "12:14"] {
        passes(&of(meant), NAME);
    }
}

/// The slope is 2440 wide and 1600 long.
#[test]
fn a_place_past_the_slope_is_asked_back() {
    let last = |mm: u32| shed(&[("last = \"2420 mm\"", &format!("last = \"{mm} mm\""))], "");
    passes(&last(2440), NAME);
    let said = message(&last(2441));
    assert_eq!(said, "rafters[1].last is 2441 mm, but the slope is 2440 mm wide: no rafter stands there");
    let course = |mm: u32| shed(&[("last = \"100 mm\"", &format!("last = \"{mm} mm\""))], "");
    assert!(message(&course(1601)).ends_with("the slope is 1600 mm long from eave to top: no course stands there"));
}

/// Sound roofs and odd ones: on no file of ours that makes a plan it says a word, but for one with hundreds of rafters of 10 mm.
#[test]
fn ordinary_roofs_raise_nothing() {
    let mut looked_at = 0;
    for folder in ["examples", "examples/shed-driven", "tests/roofs", "tests/corpus"] {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for file in std::fs::read_dir(folder).unwrap() {
            let path = file.unwrap().path();
            if path.extension().is_none_or(|e| e != "toml") || path.ends_with("wide.toml") {
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let Ok(plan) = Plan::from_text("test.toml", &text) else { continue };
            let result = airlath::check::run(&plan.context()).into_iter().find(|r| r.check.name == NAME).unwrap();
            let said: Vec<&str> = result.findings.iter().map(|f| f.message.as_str()).collect();
            assert!(said.is_empty(), "{}: {said:?}", path.display());
            looked_at += 1;
        }
    }
    assert!(looked_at > 20, "{looked_at}");
}
