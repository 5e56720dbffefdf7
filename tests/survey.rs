//! The roof as found, from marks: fitted with the error that follows, refused where they do not go together.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::fmt::Write as _;

use crate::common::cases::cases;
use crate::common::{airlath, edited};
use airlath::plan::Plan;
use airlath::record::survey::{Survey, survey};
use airlath::record::{BENT_CALLED_STRAIGHT, Form, STRAIGHT_CALLED_BENT, marks};
use proptest::prelude::*;

/// Rafters at 3/4, 24 3/4, 48 3/4, 72 3/4, 96 3/4 in; the slope is 97 1/2 by 72 in.
const SHED: &str = r#"format = 1
name = "Plain shed (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "8 ft 1 1/2 in"
slope_length = "6 ft"
pitch = "4:12"
[[rafters]]
section = { nominal = "2x8" }
spacing = "24 in"
first = "3/4 in"
[[opening]]
name = "hatch"
at = ["30 in", "30 in"]
size = ["12 in", "12 in"]
[lattice]
batten = { nominal = "1x4", spacing = "16 in", stock = ["12 ft"] }
[fastening]
diameter = "0.148 in"
length = "3 in"
[limits]
end_distance = "1/2 in"
"#;
const INCH: f64 = 0.0254;
/// Error of a mark in these tests, inches.
const ERROR: f64 = 0.125;
const HEADING: &str = "kind,of,place,measure,from,note\n";

fn plan(text: &str) -> Plan {
    Plan::from_text("design.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)))
}

fn surveyed(plan: &Plan, rows: &str) -> Survey {
    let (marks, _) = marks::read(&format!("{HEADING}{rows}"), plan.design.units).unwrap();
    survey(&plan.design, &plan.drawn, &plan.lattice, &marks, ERROR * INCH)
}

/// A seeded source of normal numbers: splitmix64 and the transform of Box and Muller.
struct Normal(u64);

impl Normal {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (((z ^ (z >> 31)) >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    fn next(&mut self) -> f64 {
        (-2.0 * self.uniform().ln()).sqrt() * (std::f64::consts::TAU * self.uniform()).cos()
    }
}

/// The counts between which a binomial number lies in 99.9 of 100 cases, by summing its probabilities.
fn band(n: usize, p: f64) -> (usize, usize) {
    let ln: Vec<f64> = std::iter::once(0.0)
        .chain((1..=n).scan(0.0, |sum, k| {
            *sum += (k as f64).ln();
            Some(*sum)
        }))
        .collect();
    let chance = |k: usize| (ln[n] - ln[k] - ln[n - k] + k as f64 * p.ln() + (n - k) as f64 * (1.0 - p).ln()).exp();
    let (mut sum, mut low, mut high) = (0.0, 0, n);
    for k in 0..=n {
        let next = sum + chance(k);
        if next <= 0.0005 {
            low = k + 1;
        }
        if sum < 0.9995 && next >= 0.9995 {
            high = k;
        }
        sum = next;
    }
    (low, high)
}

/// The known band of a fair coin: of 100 throws 34 to 66 heads in 99.9 of 100 cases (tables of the binomial distribution, from
/// memory).
#[test]
fn the_band_is_that_of_the_tables() {
    assert_eq!(band(100, 0.5), (34, 66));
    let (low, high) = band(1000, 0.95);
    assert!((926..930).contains(&low) && (970..974).contains(&high), "{low} {high}");
}

const PLACES: [f64; 5] = [6.0, 20.0, 36.0, 50.0, 66.0];

/// A thousand surveys of S-R03, whose centre is off the drawn line by `truth` (inches at a place in inches).
fn thousand(truth: &dyn Fn(f64) -> f64) -> Vec<Survey> {
    let plan = plan(SHED);
    let mut noise = Normal(20_240_901);
    (0..1000)
        .map(|_| {
            let mut rows = String::new();
            for (k, y) in PLACES.iter().enumerate() {
                let centre = 48.75 + truth(*y) + ERROR * noise.next();
                // Centres and sides in turn, from the left rake, or from the right one.
                match k % 3 {
                    0 => writeln!(rows, "centre,S-R03,{y},{centre:.5},S.4,").unwrap(),
                    1 => writeln!(rows, "left edge,S-R03,{y},{:.5},S.4,", centre - 0.75).unwrap(),
                    _ => writeln!(rows, "right edge,S-R03,{y},{:.5},S.2,", 97.5 - centre - 0.75).unwrap(),
                }
            }
            surveyed(&plan, &rows)
        })
        .collect()
}

#[test]
fn straight_members_are_covered_as_often_as_stated() {
    let truth = |y: f64| 0.4 - 0.006 * y;
    let all = thousand(&truth);
    assert!(all.iter().all(|s| s.refused.is_empty() && s.members.len() == 1));
    let fits: Vec<_> = all.iter().map(|s| &s.members[0].fit).collect();
    // Called bent: one error rate.
    let bent = fits.iter().filter(|f| f.form == Form::Bent).count();
    let (low, high) = band(1000, STRAIGHT_CALLED_BENT);
    assert!((low..=high).contains(&bent), "{bent} of 1000 straight ones are called bent, {low} to {high} expected");
    let straight: Vec<_> = fits.iter().filter(|f| f.form == Form::Straight).collect();
    let (low, high) = band(straight.len(), 0.95);
    for y in [0.0, 36.0, 70.0] {
        let inside = |f: &&&&airlath::record::Fit| (f.at(y * INCH) - truth(y) * INCH).abs() <= f.error(y * INCH);
        let covered = straight.iter().filter(inside).count();
        assert!(
            (low..=high).contains(&covered),
            "at {y} in: {covered} of {}, {low} to {high} expected",
            straight.len()
        );
    }
}

#[test]
fn a_bow_that_would_be_seen_is_missed_as_seldom_as_stated() {
    let seen = thousand(&|_| 0.0)[0].members[0].fit.seen_bow.unwrap() / INCH;
    // Over the marks' span a parabola whose middle lies by that bow off the line through its ends.
    let bowed = move |y: f64| seen * (1.0 - ((y - 36.0) / 30.0).powi(2));
    let all = thousand(&bowed);
    let missed = all.iter().filter(|s| s.members[0].fit.form == Form::Straight).count();
    let (low, high) = band(1000, BENT_CALLED_STRAIGHT);
    assert!((low..=high).contains(&missed), "{missed} of 1000 bent ones are called straight, {low} to {high} expected");
}

#[test]
fn marks_that_do_not_go_together_are_refused_with_their_rows() {
    let plan = plan(SHED);
    let found = surveyed(
        &plan,
        "centre,S-R09,10,25,S.4,\n\
         centre,S-R02,30,25,S.4,\n\
         centre,S-R02,30,26,S.4,\n\
         centre,S-R03,40,72,S.4,\n\
         centre,S-R04,20,72.75,S.9,\n\
         left edge,S-R04,20,72,S.4,\n\
         right edge,S-R04,60,24,S.2,\n\
         centre,S-R04,40,72.75,S.1,\n\
         centre,S-R04,80,72.75,S.4,\n\
         wood,S-R04,30,76,S.4,\n\
         side,S.7,,90,,\n",
    );
    let told: Vec<(usize, &str)> = found.refused.iter().map(|r| (r.row, r.why.as_str())).collect();
    let rows: Vec<usize> = told.iter().map(|t| t.0).collect();
    assert_eq!(rows, [2, 3, 4, 5, 6, 9, 10, 11, 12]);
    for (row, says) in [
        (2, "no member or line is named S-R09"),
        (3, "contradicts row 4: their centres are 1 in apart"),
        (4, "contradicts row 3"),
        (5, "S-R04 explains it better, by more than 1 in"),
        (6, "no edge or control line is named S.9"),
        (9, "S.1 runs along the eave; measure from a rake"),
        (10, "S-R04 does not reach so far"),
        (11, "the other marks have S-R04 3.25 in from here, and it is 1.5 in wide"),
        (12, "no edge is named S.7"),
    ] {
        let why = told.iter().find(|t| t.0 == row).unwrap().1;
        assert!(why.contains(says), "row {row}: {why}");
    }
    assert_eq!(found.members.len(), 1);
    let member = &found.members[0];
    assert_eq!((member.name.as_str(), member.marks, member.fit.form), ("S-R04", 2, Form::Straight));
    assert!(member.offsets.iter().all(|o| o.1.abs() < 1e-6), "{:?}", member.offsets);
    assert!(found.notes.iter().any(|n| n.starts_with("S-R02 is not fitted")));
}

/// Two marks six inches apart say little of the ridge, and one place nothing of which way a rafter turns: both are said, and
/// what was marked near both ends is not.
#[test]
fn marks_near_one_another_ask_for_one_more() {
    let plan = plan(SHED);
    let found = surveyed(
        &plan,
        "centre,S-R02,10,24.75,S.4,\ncentre,S-R02,16,24.85,S.4,\ncentre,S-R03,60,49,S.4,\n\
         centre,S-R04,10,72.75,S.4,\ncentre,S-R04,62,72.85,S.4,\n",
    );
    assert!(found.refused.is_empty(), "{:?}", found.refused);
    // Error of a mean value at the upper end: 1.96 s sqrt(1/2 + (72 - 13)^2 / 18), with s = 1/8 in.
    let error = 1.959_964 * ERROR * f64::sqrt(0.5 + 59.0 * 59.0 / 18.0);
    let notes = &found.notes;
    assert_eq!(notes.len(), 2, "{notes:?}");
    assert!(notes[0].starts_with("S-R02: its marks lie within 6 in of one another, so at its upper end"), "{notes:?}");
    assert!(notes[0].contains(&format!("known to {error:.2}")), "{notes:?} {error}");
    assert!(notes[1].starts_with("S-R03: marks at one place only") && notes[1].ends_with("near its lower end"));
}

/// A tail that nobody marked goes along with its rafter, and the survey says so.
#[test]
fn tails_taken_along_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let tails =
        "[[tails]]\nsection = { nominal = \"2x6\" }\nspacing = \"24 in\"\nfirst = \"2 1/4 in\"\nhigh = \"40 in\"\n";
    let shed = SHED.replace("[[opening]]", &format!("low = \"20 in\"\n{tails}[[opening]]"));
    std::fs::write(folder.path().join("shed.toml"), shed).unwrap();
    let rows = "centre,S-R03,26,49.25,S.4,\ncentre,S-R03,66,49.25,S.4,\n";
    std::fs::write(folder.path().join("marks.csv"), format!("{HEADING}{rows}")).unwrap();
    let out = airlath().current_dir(folder.path()).args(["survey", "shed.toml", "marks.csv"]).output().unwrap();
    let said = String::from_utf8(out.stdout).unwrap();
    assert!(said.contains("mark those that stayed: S-TL03\n"), "{said}");
}

#[test]
fn members_of_a_doubled_set_are_offered() {
    let doubled = format!(
        "{SHED}[[member]]\nkind = \"rafter\"\nslope = \"S\"\nsection = {{ nominal = \"2x8\" }}\nfrom = [\"50.25 in\", \"0 in\"]\nto = [\"50.25 in\", \"72 in\"]\n"
    );
    let plan = plan(&doubled);
    let found = surveyed(&plan, "centre,S-R03,20,50.25,S.4,\n");
    assert!(found.refused.is_empty(), "{:?}", found.refused);
    assert_eq!(found.notes.len(), 2);
    assert!(found.notes[0].contains("S-R04 stands side by side with S-R03"), "{}", found.notes[0]);
    // A line's name means whichever of its members lies nearest.
    let found = surveyed(&plan, "centre,S-L03,20,50.3,S.4,\n");
    assert_eq!(found.members[0].name, "S-R04");
}

#[test]
fn control_lines_and_knocks_are_marks_too() {
    let plan = plan(SHED);
    let found = surveyed(
        &plan,
        "control line,C1,,40,S.4,\n\
         centre,S-R03,20,8.75,C1,\n\
         no wood,S-R02,30,23.8,S.4,\n\
         wood,S-R02,30,24.2,S.4,\n\
         wood,S-R02,30,25.2,S.4,\n\
         no wood,S-R02,30,25.6,S.4,\n\
         wood,S-R05,30,96.5,S.4,\n",
    );
    assert!(found.refused.is_empty(), "{:?}", found.refused);
    let of = |name: &str| found.members.iter().find(|m| m.name == name).unwrap();
    assert!(of("S-R03").offsets[0].1.abs() < 1e-6);
    // Sides between 23.8 and 24.2, and between 25.2 and 25.6 in: the middle is at 24.7 in.
    assert!((of("S-R02").offsets[0].1 + 0.05 * INCH).abs() < 1e-5, "{:?}", of("S-R02").offsets);
    assert_eq!(of("S-R02").marks, 4);
    assert!(found.notes.iter().any(|n| n.starts_with("S-R05 is not fitted")));
}

#[test]
fn the_roof_itself_comes_first_and_moves_what_is_measured_from_it() {
    let plan = plan(SHED);
    // The left rake leans: at the top it lies an inch further right than drawn.
    let at = [(0.0, 0.0), (97.5, 0.0), (97.5, 72.0), (1.0, 72.0)];
    let between = |a: usize, b: usize| f64::hypot(at[a].0 - at[b].0, at[a].1 - at[b].1);
    let mut rows = String::new();
    for (a, b, what) in [(0, 1, "side,S.1"), (1, 2, "rake,S.2"), (2, 3, "ridge,S.3"), (3, 0, "side,S.4")] {
        writeln!(rows, "{what},,{:.4},,", between(a, b)).unwrap();
    }
    writeln!(rows, "diagonal,S.1-3,,{:.4},,\ndiagonal,S.2-4,,{:.4},,", between(0, 2), between(1, 3)).unwrap();
    rows.push_str(
        "centre,S-R03,36,48.25,S.4,\nopening corner,hatch.1,30,29.5,S.4,\nopening corner,hatch.3,42,42,S.4,\n",
    );
    let found = surveyed(&plan, &rows);
    assert!(found.refused.is_empty(), "{:?}", found.refused);
    let slope = &found.slopes[0];
    assert!(
        slope.said[0].starts_with("out of square: the diagonals differ from the drawing's by 0.8"),
        "{:?}",
        slope.said
    );
    let corners = slope.corners.as_ref().unwrap();
    assert!((corners[3].0 - INCH).abs() < 1e-5 && (corners[3].1 - 72.0 * INCH).abs() < 1e-5, "{corners:?}");
    // Half way up the rake lies half an inch in: 48 1/4 in from it is where the rafter is drawn.
    assert!(found.members[0].offsets[0].1.abs() < 1e-5);
    let hatch = &found.openings[0];
    assert!((hatch.at.0 / INCH - 29.5 - 30.0 / 72.0).abs() < 1e-3 && (hatch.size.1 / INCH - 12.0).abs() < 1e-6);
    // Diagonals that no such roof can have.
    let wrong = surveyed(&plan, &rows.replace(&format!("diagonal,S.1-3,,{:.4}", between(0, 2)), "diagonal,S.1-3,,115"));
    assert!(wrong.slopes[0].corners.is_none() && wrong.refused.len() >= 6, "{:?}", wrong.slopes[0].said);
}

#[test]
fn what_is_found_goes_beside_the_design_and_is_taken_from_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: &str| folder.path().join(name);
    let run = |arguments: &[&str]| airlath().current_dir(folder.path()).args(arguments).output().unwrap();
    let text = |out: &[u8]| String::from_utf8(out.to_vec()).unwrap();
    std::fs::write(path("shed.toml"), SHED).unwrap();
    let rows = "centre;S-R03;6;49,75;S.4;\ncentre;S-R03;66;49,75;S.4;\n";
    let marks = format!("\u{feff}{}{rows}", HEADING.replace(',', ";"));
    std::fs::write(path("marks.csv"), marks.replace('\n', "\r\n")).unwrap();
    let out = run(&["survey", "shed.toml", "marks.csv", "--error", "1/16 in"]);
    let said = text(&out.stdout);
    assert_eq!(out.status.code(), Some(0), "{said}{}", text(&out.stderr));
    let first = said.find("The roof itself").unwrap();
    assert!(first < said.find("Members as found").unwrap() && said.contains("whether it is square is not known"));
    assert!(said.contains("S-R03") && said.contains("+1 in") && said.contains("no engineer has reviewed it"), "{said}");
    assert!(said.contains("landings move, the furthest by 1 in; what is laid stays"), "{said}");
    assert_eq!(std::fs::read_to_string(path("shed.toml")).unwrap(), SHED);
    let found = std::fs::read_to_string(path("shed.found.toml")).unwrap();
    assert!(found.starts_with("# Airlath found file") && found.contains("name = \"S-R03\""), "{found}");
    // Taken up where it is named, and only there.
    let plan = Plan::with_found("shed.toml", SHED, "shed.found.toml", &found).unwrap();
    let x = |p: &Plan| p.lattice.slopes[0].fasteners[4].x;
    assert!((x(&plan) - x(&self::plan(SHED)) - INCH).abs() < 1e-5);
    let member = plan.found.members.iter().find(|m| m.name == "S-R03").unwrap();
    let line = found.lines().position(|l| l == "name = \"S-R03\"").unwrap() + 1;
    assert_eq!(member.origin.words(), format!("found, found file line {line}"));
    let fingerprints: Vec<String> =
        [&["check", "shed.toml"][..], &["check", "shed.toml", "--found", "shed.found.toml"]]
            .iter()
            .map(|a| text(&run(a).stdout).lines().nth(1).unwrap().to_owned())
            .collect();
    assert_ne!(fingerprints[0], fingerprints[1]);
    // What is laid stays.
    let laid = format!("{SHED}[[laid]]\nwhat = [\"fasteners\"]\n");
    let plan = Plan::with_found("shed.toml", &laid, "shed.found.toml", &found).unwrap();
    assert!((x(&plan) - x(&self::plan(SHED))).abs() < 1e-9);
    // Again: written anew. A file of somebody else is left alone. A refused mark: exit code 1.
    std::fs::write(path("more.csv"), format!("{HEADING}centre,S-R04,6,72.75,S.4,\ncentre,S-R77,6,72.75,S.4,\n"))
        .unwrap();
    let out = run(&["survey", "shed.toml", "more.csv"]);
    assert_eq!(out.status.code(), Some(1));
    let again = std::fs::read_to_string(path("shed.found.toml")).unwrap();
    assert!(!again.contains("\"S-R03\"") && again.contains("# not used, row 3"), "{again}");
    assert!(again.contains("no member or line is named S-R77; did you mean S-R0"), "{again}");
    std::fs::write(path("shed.found.toml"), "# mine\n").unwrap();
    let out = run(&["survey", "shed.toml", "more.csv"]);
    assert!(out.status.code() == Some(2) && text(&out.stderr).contains("left alone"));
    assert_eq!(std::fs::read_to_string(path("shed.found.toml")).unwrap(), "# mine\n");
    // Faults of a table: nothing is written.
    std::fs::write(path("bad.csv"), format!("{HEADING}middle,S-R04,6,72.75,S.4,\ncentre,S-R04,,x,,\n")).unwrap();
    let out = run(&["survey", "shed.toml", "bad.csv"]);
    let told = text(&out.stderr);
    assert_eq!(out.status.code(), Some(2));
    for says in
        ["row 2, kind", "row 3, place", "row 3, measure", "row 3, from", "4 faults in bad.csv; nothing was written"]
    {
        assert!(told.contains(says), "{says}: {told}");
    }
}

#[test]
fn faults_of_the_found_file_are_told_in_its_own_lines() {
    let faults = |found: &str| match Plan::with_found("d.toml", SHED, "d.found.toml", found) {
        Ok(_) => panic!("no fault"),
        Err(all) => all.iter().map(|f| f.render(false)).collect::<String>(),
    };
    assert!(faults("# x\n\n[limits]\nrun = \"9 ft\"\n").contains("at d.found.toml line 3, column 2, key limits"));
    let unknown = faults("# x\n[[found.member]]\nname = \"S-R99\"\nmissing = true\n");
    assert!(
        unknown.contains("no member is named \"S-R99\"") && unknown.contains("at d.found.toml line 3"),
        "{unknown}"
    );
    let both = Plan::with_found(
        "d.toml",
        &edited(SHED, "units = \"inches\"", "units = \"ells\""),
        "f.toml",
        "[[found.member]]\n",
    );
    let files: Vec<String> = both.err().unwrap().iter().map(|f| f.file.clone()).collect();
    assert_eq!(files, ["d.toml", "f.toml"]);
}

/// A good table, cut up.
fn mutated() -> impl Strategy<Value = String> {
    let bits = prop::sample::select(vec![
        ",",
        ";",
        "\t",
        "\"",
        "\n",
        "#",
        "centre",
        "wood",
        "no wood",
        "S-R03",
        "S-L02",
        "S.4",
        "S.1",
        "-1",
        "99999999",
        "1/0",
        "é",
        "0,5",
        "diagonal",
        "S.1-3",
        "opening corner",
        "hatch.1",
        "control line",
        "C1",
        "\0",
        "NaN",
        "0",
        "48.75",
    ]);
    (prop::collection::vec((any::<prop::sample::Index>(), 0..6_usize, bits), 1..6)).prop_map(|edits| {
        let mut text = format!(
            "{HEADING}control line,C1,,40,S.4,\ncentre,S-R03,6,48.8,S.4,\nleft edge,S-R03,36,8.1,C1,\nwood,S-R02,30,24.2,S.4,\n\
             no wood,S-R02,30,25.8,S.4,\nside,S.1,,97.5,,\ndiagonal,S.1-3,,121.2,,\nopening corner,hatch.1,30,30,S.4,\n"
        );
        for (at, cut, bit) in edits {
            let places: Vec<usize> = text.char_indices().map(|(i, _)| i).collect();
            let from = places[at.index(places.len())];
            let to = text[from..].char_indices().nth(cut).map_or(text.len(), |(i, _)| from + i);
            text.replace_range(from..to, bit);
        }
        text
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..cases(3000) })]

    /// Thousands of damaged tables: marks used or refused by name, or named faults, and never a panic.
    #[test]
    fn damaged_tables_give_named_faults(text in mutated()) {
        static PLAN: std::sync::LazyLock<Plan> = std::sync::LazyLock::new(|| plan(SHED));
        match marks::read(&text, PLAN.design.units) {
            Ok((marks, _)) => {
                let found = survey(&PLAN.design, &PLAN.drawn, &PLAN.lattice, &marks, ERROR * INCH);
                prop_assert!(found.refused.iter().all(|r| !r.why.is_empty() && marks.iter().any(|m| m.row == r.row)));
                prop_assert!(found.members.iter().flat_map(|m| &m.offsets).all(|o| o.0.is_finite() && o.1.is_finite()));
            }
            Err(faults) => prop_assert!(faults.iter().all(|f| !f.message.is_empty() && !f.hint.is_empty()) && !faults.is_empty()),
        }
    }
}
