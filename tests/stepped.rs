//! Steps of an outline: edges along the eave between its lowest and its highest level. Each has a course of its own where
//! no regular one serves, and every course keeps its hold-back. All figures by hand.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeMap;

use crate::common::{Run, edited, run_good};

/// Eave with two steps at 2 ft beside a middle part that goes down to 0; top with a step on the left at 8 ft 6 in, one on
/// the right at 8 ft, and a stem between them up to 16 ft.
fn shed() -> String {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/corpus/steps_in_eave_and_top.toml");
    std::fs::read_to_string(path).unwrap()
}

/// Middle height and the outermost landings of each course, inches.
fn courses(run: &Run) -> BTreeMap<String, (f64, (f64, f64))> {
    let mut all: BTreeMap<String, (f64, (f64, f64))> = BTreeMap::new();
    for l in &run.landings {
        let inches = |v: f64| (v / 0.0254 * 1000.0).round() / 1000.0;
        let (x, y) = (inches(l.place.on_slope[0]), inches(l.place.on_slope[1]));
        let course = l.name.split('.').next().unwrap().to_owned();
        let (_, (a, b)) = all.entry(course).or_insert((y, (x, x)));
        *a = a.min(x);
        *b = b.max(x);
    }
    all
}

#[test]
fn each_step_has_a_course_where_no_regular_one_serves() {
    let all = courses(&run_good(&shed()));
    // Eave steps at 24 in: 4 in above them, from the rake to the line at or past the step's inner end. Rafters stand at
    // 0.75 in and every 16 in: the sixth at 80.75 in is past 72, the fourteenth at 208.75 in is before 216.
    assert_eq!(all["P-B02a"], (28.0, (0.75, 80.75)));
    assert_eq!(all["P-B02b"], (28.0, (208.75, 287.25)));
    // Top steps at 102 and 96 in: 6 in below them. The stem reaches from 120 to 168 in: lines at 128.75 and 160.75.
    assert_eq!(all["P-B06b"], (96.0, (0.75, 128.75)));
    assert_eq!(all["P-B06a"], (90.0, (160.75, 287.25)));
    // The regular ones are where the eave's first course and the spacing put them, and there are no others.
    let regular: Vec<f64> = (1..=12).map(|n| all[&format!("P-B{n:02}")].0).collect();
    assert_eq!(regular, (0..12).map(|k| 4.0 + 16.0 * f64::from(k)).collect::<Vec<_>>());
    assert_eq!(all["P-B13"].0, 192.0 - 6.0);
    assert_eq!(all.len(), 13 + 4);
}

#[test]
fn no_board_is_nearer_to_a_step_than_its_hold_back_and_none_lie_on_one_another() {
    let run = run_good(&shed());
    // The seventh course, at 100 in, would end a quarter inch below the step at 102 in: it keeps to the stem.
    assert_eq!(courses(&run)["P-B07"].1, (128.75, 160.75));
    assert_eq!(run.of("clash").count(), 0);
    // Without a hold-back it may lie there, and then it is the course of that step.
    let edges = "\n[[edge]]\nedge = \"P.11\"\nhold_back = \"0 in\"\n";
    let all = courses(&run_good(&(shed() + edges)));
    assert_eq!(all["P-B07"].1.0, 0.75);
    assert!(all.values().all(|(y, _)| *y != 96.0), "{all:?}");
}

/// A stem of 10 in between two steps at one level, with one line in it, at which both courses would end: one serves both.
#[test]
fn steps_beside_a_stem_of_one_line_share_a_course() {
    let stem = "[\"24 ft\",\"8 ft\"],[\"134 in\",\"8 ft\"],[\"134 in\",\"16 ft\"],[\"10 ft 4 in\",\"16 ft\"],[\"10 ft 4 \
                in\",\"8 ft\"],[\"0 ft\",\"8 ft\"]";
    let whole = shed();
    let (from, to) = (whole.find("[\"24 ft\",\"8 ft\"]").unwrap(), whole.find("]]\npitch").unwrap() + 1);
    let all = courses(&run_good(&format!("{}{stem}{}", &whole[..from], &whole[to..])));
    // The stem from 124 to 134 in has the rafter at 128.75, to which either course would go on past its step.
    let at_steps: Vec<_> = all.iter().filter(|(_, (y, _))| *y == 90.0).collect();
    assert_eq!(at_steps.len(), 1, "{at_steps:?}");
    assert_eq!(at_steps[0].1.1, (0.75, 287.25));
}

#[test]
fn courses_counted_from_the_top_put_the_first_at_top_steps() {
    let text = edited(&shed(), "first = \"4 in\"", "first = \"5 in\", start = \"top\"");
    let all = courses(&run_good(&text));
    let partial: Vec<f64> = all.iter().filter(|(n, _)| n.ends_with(['a', 'b'])).map(|(_, (y, _))| *y).collect();
    // 5 in below the top steps and 6 in above those of the eave, but where a regular course would touch: those stand at
    // 187 - 16 k, so 27 serves the eave's steps (30 asked), and 91 both lies where the right step's is asked for and, five
    // inches from the left one's 97, leaves room for it.
    assert_eq!(partial, [97.0]);
    assert_eq!(all["P-B06"].0, 91.0);
}

#[test]
fn a_step_found_higher_moves_its_own_course_alone() {
    let found = |y: &str| {
        format!(
            "\n[[found.slope]]\nname = \"P\"\noutline = [[\"0 ft\",\"2 ft\"],[\"6 ft\",\"2 ft\"],[\"6 ft\",\"0 ft\"],[\"18 ft\",\"0 ft\"],[\"18 ft\",\"2 ft\"],[\"24 ft\",\"2 ft\"],[\"24 ft\",{y}],[\"14 ft\",{y}],[\"14 ft\",\"16 ft\"],[\"10 ft\",\"16 ft\"],[\"10 ft\",\"8 ft 6 in\"],[\"0 ft\",\"8 ft 6 in\"]]\n"
        )
    };
    let drawn = courses(&run_good(&shed()));
    let moved = courses(&run_good(&(shed() + &found("\"8 ft 1 in\""))));
    for (name, (y, _)) in &moved {
        let by = if name == "P-B06a" { 1.0 } else { 0.0 };
        assert_eq!(*y, drawn[name].0 + by, "{name}");
    }
    assert_eq!(moved.len(), drawn.len());
    // Found so low that its course would lie on a regular one, at 84 in, it lies below that, board by board.
    let low = run_good(&(shed() + &found("\"7 ft 7 in\"")));
    assert_eq!(courses(&low)["P-B06a"].0, 84.0 - 3.5);
    assert_eq!(low.of("clash").count(), 0);
}
