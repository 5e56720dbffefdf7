//! `fix`: few causes, and changes that were tried. Every roof here is invented.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;

use crate::common::{EXAMPLES, SHED, airlath, example};
use airlath::check::{self, Change, Finding, Verdict};
use airlath::design::{MemberKind, MemberLine};
use airlath::fix::{self, CauseKind, Difference, Fix, Flags, Trial, Wishes, causes, fewest, prove};
use airlath::lattice::x_at;
use airlath::plan::{Plan, Texts};

const TWO_PITCH: &str = include_str!("roofs/two-pitch.toml");
const ROOFS: [(&str, &str); 5] = [
    ("two-pitch", TWO_PITCH),
    ("valley", include_str!("roofs/valley.toml")),
    ("lookouts-and-rafters", include_str!("roofs/lookouts-and-rafters.toml")),
    ("thin-flanges", include_str!("roofs/thin-flanges.toml")),
    ("two-skylights", include_str!("roofs/two-skylights.toml")),
];

fn texts(source: &str) -> Texts {
    Texts { file: "design.toml".into(), source: source.into(), found: None }
}

fn fixed(source: &str) -> Fix {
    fix::fix(&texts(source), &Wishes::default()).unwrap_or_else(|f| panic!("{}", f[0].render(false)))
}

fn plan(source: &str) -> Plan {
    Plan::from_text("design.toml", source).unwrap_or_else(|f| panic!("{}", f.render(false)))
}

fn found(source: &str) -> Vec<check::Result> {
    check::run(&plan(source).context())
}

/// Flags counted anew, finding by finding.
fn flags(results: &[check::Result]) -> Flags {
    let all = || results.iter().flat_map(|r| &r.findings);
    let of = |v: Verdict| all().filter(|f| f.verdict == v).map(|f| f.stands_for).sum();
    Flags { fails: of(Verdict::Fail), warns: of(Verdict::Warn) }
}

/// Checks that did not run, and parts without an answer.
fn not_checked(results: &[check::Result]) -> usize {
    results.iter().map(|r| usize::from(r.reason.is_some()) + r.examined.without_answer().count()).sum()
}

fn with(source: &str, from: &str, to: &str) -> String {
    assert!(source.contains(from), "{from}");
    source.replacen(from, to, 1)
}

/// All roofs, and those with a key changed at random from a fixed beginning.
fn many() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = EXAMPLES.iter().map(|n| ((*n).to_owned(), example(n))).collect();
    // One that takes a thousand samples at every try.
    all.retain(|(n, _)| n != "hip");
    all.extend(ROOFS.map(|(n, t)| (n.to_owned(), t.to_owned())));
    let mut seed = 7u64;
    let mut next = |n: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % n
    };
    for k in 0..6 {
        let first = format!("first = \"{} in\", stock", 1.75 + 0.5 * next(40) as f64);
        let mut text = with(TWO_PITCH, "first = \"1 3/4 in\", stock", &first);
        text = with(&text, "spacing = \"24 in\", first", &format!("spacing = \"{} in\", first", 14 + next(12)));
        text = with(&text, "length = \"3 in\"", &format!("length = \"{} in\"", 2.5 + 0.25 * next(5) as f64));
        all.push((format!("two-pitch {k}"), text));
    }
    all
}

/// The house of two pitches: no fail is left, with six changes at the most, and new wood only where no course and no move
/// does it: at the two trimmers beside the skylight, which have no tail.
#[test]
fn the_house_of_two_pitches_comes_to_no_fail() {
    let fix = fixed(TWO_PITCH);
    assert_eq!(fix.flags.0, Flags { fails: 53, warns: 30 });
    assert_eq!(fix.flags.1.fails, 0, "{:?}", fix.left.iter().map(|l| l.cause.id()).collect::<Vec<_>>());
    assert!(fix.steps.len() <= 6, "{}", fix.steps.len());
    let first = fix.steps.first().unwrap();
    assert!(matches!(&first.change, Change::Set { key, .. } if key == "lattice.batten.first"), "{}", first.text);
    assert_eq!(first.cause, "course-place:S-B02");
    assert_eq!(first.flags.1.fails, 7, "what the course makes, and nothing else");
    let after = plan(&fix.texts.source);
    assert_eq!(after.design.added.len(), 2);
    for block in &after.design.added {
        let MemberLine::OnSlope { from, .. } = &block.place else { panic!("a block on a slope") };
        assert!(from.1.metres() < 0.1, "at the first course: {}", from.1.metres());
    }
}

/// Where fails are left, the reason is one that no change of the lattice takes away: members that overlap, flanges too thin for
/// any nail, and on the gable fasteners that are driven already and a rafter that is not there, inside the airtight line.
#[test]
fn where_fails_are_left_no_change_of_the_lattice_could_clear_them() {
    let left = |text: &str| -> BTreeSet<CauseKind> {
        fixed(text).left.iter().filter(|l| l.cause.flags.0 > 0).map(|l| l.cause.kind).collect()
    };
    // How the flutes of vent pieces lie is no key that may change.
    assert_eq!(left(&example("shed")), BTreeSet::from([CauseKind::Air, CauseKind::Part]));
    for name in ["cabin", "gable-mended"] {
        assert_eq!(left(&example(name)), BTreeSet::new(), "{name}");
    }
    for (name, text) in ROOFS {
        match name {
            "valley" => assert_eq!(left(text), BTreeSet::from([CauseKind::Part]), "members in one another"),
            "thin-flanges" => {
                let all = left(text);
                assert!(all.contains(&CauseKind::FastenerLength) || all.contains(&CauseKind::MemberSection), "{all:?}");
            }
            _ => assert_eq!(left(text), BTreeSet::new(), "{name}"),
        }
    }
    let gable = left(&example("gable"));
    assert!(gable.contains(&CauseKind::MemberMissing) && gable.contains(&CauseKind::FastenerLength), "{gable:?}");
}

/// Each change, applied to the text by itself, gives the flags that were promised; none makes a fail, and nothing that was
/// checked is silent after it.
#[test]
fn every_change_gives_what_was_promised() {
    let mut changes = 0;
    for (name, source) in many() {
        let fix = fixed(&source);
        let mut text = source.clone();
        let mut before = found(&text);
        assert_eq!(flags(&before), fix.flags.0, "{name}");
        let begun = not_checked(&before);
        for step in &fix.steps {
            text = step.change.applied(&text).unwrap();
            let after = found(&text);
            assert_eq!((flags(&before), flags(&after)), step.flags, "{name}: {}", step.text);
            assert!(step.flags.1.fails < step.flags.0.fails, "{name}: {}", step.text);
            let made = Difference::between(&before, &after);
            assert_eq!(made.made_of(Verdict::Fail), 0, "{name}: {}", step.text);
            let said: Vec<&str> = made.made.iter().map(|f| f.message.as_str()).collect();
            assert_eq!(said, step.made, "{name}: {}", step.text);
            assert!(not_checked(&after) <= begun, "{name}: {}", step.text);
            (before, changes) = (after, changes + 1);
        }
        assert_eq!(text, fix.texts.source, "{name}");
        assert_eq!(flags(&before), fix.flags.1, "{name}");
        let of_causes: usize = fix.causes.iter().map(|c| c.findings.len()).sum();
        assert_eq!(
            of_causes,
            found(&source).iter().map(|r| r.findings.len()).sum::<usize>(),
            "{name}: each finding once"
        );
    }
    assert!(changes >= 20, "{changes}");
}

/// No change touches what must stay: every table of the file that is not named here is the same value for value.
#[test]
fn what_must_stay_stays() {
    for (name, source) in many() {
        let fix = fixed(&source);
        let table = |text: &str| text.parse::<toml::Table>().unwrap();
        let (mut before, mut after) = (table(&source), table(&fix.texts.source));
        for text in [&mut before, &mut after] {
            for key in ["move", "landing", "joints", "straps", "fastening"] {
                text.remove(key);
            }
            for edge in text.get_mut("edge").and_then(toml::Value::as_array_mut).into_iter().flatten() {
                edge.as_table_mut().unwrap().remove("hold_back");
            }
            if let Some(found) = text.get_mut("found").and_then(toml::Value::as_table_mut) {
                found.remove("added");
                if found.is_empty() {
                    text.remove("found");
                }
            }
            let lattice = text.get_mut("lattice").and_then(toml::Value::as_table_mut).unwrap();
            lattice.remove("hold_back");
            let batten = lattice.get_mut("batten").and_then(toml::Value::as_table_mut).unwrap();
            for key in ["first", "last", "start", "stagger", "joint", "joints", "lap", "boards_from"] {
                batten.remove(key);
            }
            for (of, key) in [("tape", "width"), ("strip", "width")] {
                lattice.get_mut(of).and_then(toml::Value::as_table_mut).and_then(|t| t.remove(key));
            }
        }
        assert_eq!(before, after, "{name}");
    }
}

/// New wood inside the airtight line only where the design says that it can still be put in. On the gable the bays of the
/// missing rafter want it.
#[test]
fn new_wood_goes_inside_only_where_it_can_be_reached() {
    let inside = |source: &str| {
        let after = plan(&fixed(source).texts.source);
        let before = plan(source);
        let rafter = |m: &&airlath::lattice::LineMember| m.kind == MemberKind::Rafter;
        let is_inside = |m: &&airlath::design::MemberSpec| {
            let MemberLine::OnSlope { slope, from, to, .. } = &m.place else { panic!("on a slope") };
            let on = &before.lattice.slopes[slope.0];
            let y = from.1.metres();
            let xs: Vec<f64> = (on.lines.iter().flat_map(|l| &l.found).filter(rafter))
                .filter(|m| m.covers(y))
                .map(|m| x_at(&m.path, y))
                .collect();
            xs.iter().any(|x| *x <= from.0.metres()) && xs.iter().any(|x| *x >= to.0.metres())
        };
        let new = &after.design.added[before.design.added.len()..];
        (new.iter().filter(is_inside).count(), new.len())
    };
    let gable = example("gable");
    let (above, all) = inside(&gable);
    assert_eq!(above, 0, "{all} blocks in all");
    let (below, _) = inside(&format!("{gable}\n[framing]\nreach = \"below\"\n"));
    assert!(below > 0);
}

/// The chosen causes are as few as any set of candidates that covers all findings, pairs that only help together included.
#[test]
fn the_chosen_causes_are_the_fewest() {
    let mut seed = 11u32;
    let mut next = |n: u32| {
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (seed >> 16) % n
    };
    let mut pairs = 0;
    for _ in 0..400 {
        let candidates = 1 + next(12);
        let findings = 1 + next(14);
        let offers: Vec<Vec<usize>> = (0..findings)
            .map(|_| (0..1 + next(4)).map(|_| next(candidates) as usize).collect::<BTreeSet<_>>().into_iter().collect())
            .collect();
        let chosen = fewest(&offers);
        assert!(offers.iter().all(|o| o.iter().any(|c| chosen.contains(c))), "{offers:?} {chosen:?}");
        let covers = |s: u32| offers.iter().all(|o| o.iter().any(|c| s >> c & 1 == 1));
        let least = (0..1u32 << candidates).filter(|s| covers(*s)).map(u32::count_ones).min().unwrap();
        assert_eq!(chosen.len(), least as usize, "{offers:?} {chosen:?}");
        pairs += usize::from(least == 2);
    }
    assert!(pairs > 20, "{pairs}");
    // Past twenty that hang together: a cover still, if not the least.
    let ring: Vec<Vec<usize>> = (0..30).map(|k| vec![k, (k + 1) % 30]).collect();
    let chosen = fewest(&ring);
    assert!(ring.iter().all(|o| o.iter().any(|c| chosen.contains(c))) && chosen.len() <= 20, "{chosen:?}");
}

/// What vanishes when a planted fault is undone stands under one cause, and nothing else does.
#[test]
fn what_a_planted_fault_makes_is_its_cause() {
    let missing = "[[found.member]]\nname = \"S-R03\"\nmissing = true\n";
    let straight = with(TWO_PITCH, "first = \"1 3/4 in\", stock", "first = \"2 1/2 in\", stock");
    for (name, good, bad, id) in [
        ("a missing rafter", SHED.to_owned(), format!("{SHED}\n{missing}"), "member-missing:S-R03"),
        ("a course over the seam", straight, TWO_PITCH.to_owned(), "course-place:S-B02"),
        (
            "short nails",
            SHED.to_owned(),
            with(SHED, "length = \"3 in\"", "length = \"2 1/4 in\""),
            "fastener-length:fastening.length",
        ),
    ] {
        let (good, bad_plan) = (found(&good), plan(&bad));
        let ctx = bad_plan.context();
        let results = check::run(&ctx);
        let findings: Vec<&Finding> = results.iter().flat_map(|r| &r.findings).collect();
        let all = causes(&ctx, &findings);
        let gone = Difference::between(&results, &good);
        let fail = |f: &&&Finding| f.verdict == Verdict::Fail;
        let vanished: BTreeSet<&str> = gone.cleared.iter().filter(fail).map(|f| f.message.as_str()).collect();
        let cause = all.iter().find(|c| c.id() == id);
        let cause = cause.unwrap_or_else(|| panic!("{name}: {:?}", all.iter().map(fix::Cause::id).collect::<Vec<_>>()));
        let its = cause.findings.iter().map(|f| findings[*f]).filter(|f| f.verdict == Verdict::Fail);
        assert_eq!(its.map(|f| f.message.as_str()).collect::<BTreeSet<_>>(), vanished, "{name}");
        assert!(!vanished.is_empty(), "{name}");
    }
}

/// Longer nails clear all fails of rafters 1 1/2 in deep, and come out of their undersides, which warns: 2 3/4 in less 1 3/16 in
/// of batten, strip, tape and membrane are 1 9/16 in. They are still proposed, with the warnings that they make.
#[test]
fn a_longer_fastener_is_proposed_although_it_makes_warnings() {
    let thin = with(SHED, "{ nominal = \"2x8\" }", "{ width = \"1 1/2 in\", depth = \"1 1/2 in\" }");
    let short = with(&thin, "length = \"3 in\"", "length = \"2 1/4 in\"");
    let texts = texts(&short);
    let plan = texts.plan().unwrap();
    let mut results = check::run(&plan.context());
    let fails = flags(&results).fails;
    prove(&texts, &plan, &mut results);
    let mends: Vec<_> = results.iter().flat_map(|r| &r.findings).flat_map(|f| &f.mends).collect();
    let longer = mends.iter().find(|m| m.change.text().starts_with("fastening.length"));
    let longer = longer.unwrap_or_else(|| panic!("{:?}", mends.iter().map(|m| &m.text).collect::<Vec<_>>()));
    assert!(longer.text.contains("(makes 25 warnings)"), "{}", longer.text);
    let again = Trial::of(&texts, &longer.change).unwrap();
    assert!(fails > 20 && flags(again.results()).fails == 0, "{fails}");
    assert!(flags(again.results()).warns > 0);
}

/// A trouble that is only renumbered or shifted by an inch is no new one; one that is worse, and one of a kind of which there are
/// more, is.
#[test]
fn the_same_trouble_stays_the_same() {
    let before = found(TWO_PITCH);
    let itself = Difference::between(&before, &before);
    assert!(itself.made.is_empty() && itself.cleared.is_empty() && !itself.harms());
    let nudged = found(&with(TWO_PITCH, "first = \"1 3/4 in\", stock", "first = \"1 1/4 in\", stock"));
    let by_half_an_inch = Difference::between(&before, &nudged);
    assert_eq!(by_half_an_inch.made_of(Verdict::Fail), 0);
    // Straps moved off their tails: more of them tie nothing.
    let astray = found(&with(TWO_PITCH, "shift = \"-3/4 in\"", "shift = \"0 in\""));
    let of_straps = |f: &&&Finding| f.check == "strap-nail-astray";
    let worse = Difference::between(&before, &astray);
    assert!(worse.made.iter().filter(of_straps).count() >= 2, "{:?}", worse.made.len());
    // A check that is no longer asked is no help.
    let silent = with(&example("cabin"), "[strength]", "[strength]\n# none\n");
    let asked = found(&silent);
    let mut unasked = found(&silent);
    for r in unasked.iter_mut().filter(|r| r.check.name == "landing-overloaded") {
        r.findings.clear();
        r.reason = Some("not asked".into());
    }
    assert_eq!(Difference::between(&asked, &unasked).no_longer_checked, ["landing-overloaded"]);
}

/// The last strap of a slope, whose tail stands left of its rafter, lies over both with `side = "rafter"`.
#[test]
fn a_strap_lies_toward_its_rafter() {
    let shifted = with(TWO_PITCH, "shift = \"-3/4 in\"", "shift = \"3/4 in\"\nside = \"rafter\"");
    let (right, rafter) = (plan(TWO_PITCH), plan(&shifted));
    let middles =
        |p: &Plan| p.found.straps.iter().map(|s| (s.sides.0 + s.sides.1) / 2.0 / 0.0254).collect::<Vec<f64>>();
    let (right, rafter) = (middles(&right), middles(&rafter));
    let moved: Vec<(f64, f64)> = right.iter().copied().zip(rafter).filter(|(a, b)| (a - b).abs() > 1e-6).collect();
    // By hand: the last tails stand at 470 3/4 in and 471 3/4 in, their rafters right of them.
    let expected = [(470.0, 471.5), (471.0, 472.5)];
    assert_eq!(moved.len(), 2, "{moved:?}");
    for ((a, b), (x, y)) in moved.iter().zip(expected) {
        assert!((a - x).abs() < 1e-6 && (b - y).abs() < 1e-6, "{moved:?}");
    }
}

/// What is kept is kept, and of one kind alone only that kind is worked on.
#[test]
fn wishes_are_followed() {
    let keep = Wishes { keep: vec!["lattice.batten.first".into(), "found".into()], ..Wishes::default() };
    let fix = fix::fix(&texts(TWO_PITCH), &keep).unwrap();
    assert!(fix.texts.source.contains("first = \"1 3/4 in\", stock"));
    assert!(!fix.texts.source.contains("found.added"));
    let only = Wishes { only: Some(CauseKind::StrapPlace), ..Wishes::default() };
    let fix = fix::fix(&texts(TWO_PITCH), &only).unwrap();
    assert!(!fix.steps.is_empty() && fix.steps.iter().all(|s| s.cause.starts_with("strap-place:")));
    let one = Wishes { cause: Some("course-place:S-B01".into()), ..Wishes::default() };
    let fix = fix::fix(&texts(TWO_PITCH), &one).unwrap();
    assert!(!fix.steps.is_empty() && fix.steps.iter().all(|s| s.cause == "course-place:S-B01"));
}

/// A cause that the roof has not is told, with those that it has, and nothing is written.
#[test]
fn a_cause_that_is_not_there_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("roof.toml");
    std::fs::write(&path, TWO_PITCH).unwrap();
    let asked = ["fix", "roof.toml", "--cause", "course-place:S-B99", "--write", "--nothing-driven"];
    let out = airlath().current_dir(folder.path()).args(asked).output().unwrap();
    let said = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(2), "{said}");
    assert!(said.contains("no cause course-place:S-B99") && said.contains("course-place:S-B02"), "{said}");
    assert_eq!(std::fs::read_to_string(&path).unwrap(), TWO_PITCH);
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

/// What is on the roof stays: with the fasteners of two lines in, no course moves and no nail changes.
#[test]
fn what_is_laid_stays() {
    let laid = format!("{TWO_PITCH}\n[[laid]]\nwhat = [\"fasteners\", \"straps\"]\nlines = [\"S-L05\"]\n");
    let laid = laid.replace("[\"fasteners\", \"straps\"]\nlines = [\"S-L05\"]", "[\"fasteners\"]\nlines = [\"S-L05\"]");
    let fix = fixed(&format!("{laid}\n[[laid]]\nwhat = [\"straps\"]\n"));
    for step in &fix.steps {
        let text = step.change.text();
        let moves = ["lattice.batten", "fastening.", "straps["].iter().any(|k| text.contains(k));
        assert!(!moves, "{text}");
    }
    assert!(fix.left.iter().any(|l| l.partial.iter().any(|p| p.why_not.contains("already on the roof"))));
}

/// `--write` keeps comments and format, keeps the old text under the first free number, and writes nothing without being told
/// that nothing is driven, through a link, or over a file of another hand.
#[test]
fn the_program_writes_the_changes_into_the_design() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let run = |arguments: &[&str]| airlath().current_dir(folder.path()).args(arguments).output().unwrap();
    std::fs::write(at("roof.toml"), TWO_PITCH).unwrap();
    std::fs::write(at("roof.toml.1"), "mine").unwrap();
    let asked = run(&["fix", "roof.toml", "--write"]);
    assert_eq!(asked.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&asked.stderr).contains("--nothing-driven"));
    assert_eq!(std::fs::read_to_string(at("roof.toml")).unwrap(), TWO_PITCH);

    let out = run(&["fix", "roof.toml", "--write", "--nothing-driven"]);
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert_eq!(out.status.code(), Some(0), "{said}");
    assert!(said.contains("53 fail, 30 warn. With 5 changes: 0 fail") && said.contains("roof.toml.2"), "{said}");
    assert!(said.contains("Cautions") && said.contains("licensed"), "{said}");
    let written = std::fs::read_to_string(at("roof.toml")).unwrap();
    assert_eq!(std::fs::read_to_string(at("roof.toml.2")).unwrap(), TWO_PITCH);
    assert_eq!(std::fs::read_to_string(at("roof.toml.1")).unwrap(), "mine");
    assert_eq!(written, fixed(TWO_PITCH).texts.source);
    let comment = |text: &str| text.lines().filter(|l| l.starts_with('#')).map(str::to_owned).collect::<Vec<_>>();
    assert_eq!(comment(&written), comment(TWO_PITCH));
    assert_eq!(run(&["check", "roof.toml"]).status.code(), Some(0));

    let again = run(&["fix", "roof.toml", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&again.stdout).unwrap();
    assert_eq!((json["before"]["fail"].as_u64(), json["changes"].as_array().unwrap().len()), (Some(0), 0));
    assert!(!json["cautions"].as_array().unwrap().is_empty());
    let left: u64 = json["left"].as_array().unwrap().iter().map(|l| l["cause"]["other"].as_u64().unwrap()).sum();
    assert_eq!(Some(left), json["after"]["warn"].as_u64());
    #[cfg(unix)]
    {
        std::fs::write(at("real.toml"), TWO_PITCH).unwrap();
        std::os::unix::fs::symlink("real.toml", at("link.toml")).unwrap();
        let link = run(&["fix", "link.toml", "--write", "--nothing-driven"]);
        assert_eq!(link.status.code(), Some(2));
        assert!(String::from_utf8_lossy(&link.stderr).contains("is a link"));
        assert_eq!(std::fs::read_to_string(at("real.toml")).unwrap(), TWO_PITCH);
    }
}

/// Where a log goes with the roof, its fasteners are of the size that they are of: nails too short stay too short, and the log
/// still holds.
#[test]
fn with_a_log_no_size_of_a_fastener_changes() {
    let short = with(SHED, "length = \"3 in\"", "length = \"2 1/4 in\"");
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("roof.toml"), &short).unwrap();
    let form = airlath().current_dir(folder.path()).args(["log", "roof.toml", "form.csv", "--blank"]).output().unwrap();
    assert_eq!(form.status.code(), Some(0), "{}", String::from_utf8_lossy(&form.stderr));
    let log = std::fs::read_to_string(folder.path().join("form.csv")).unwrap();
    let wishes = Wishes { log: Some(("form.csv".into(), log.clone())), ..Wishes::default() };
    let with_log = fix::fix(&texts(&short), &wishes).unwrap_or_else(|f| panic!("{}", f[0].render(false)));
    assert!(with_log.flags.1.fails > 0 && !with_log.texts.source.contains("length = \"2 3/4 in\""));
    assert!(plan(&with_log.texts.source).with_log("form.csv", &log).is_ok());
    assert_eq!(fixed(&short).flags.1.fails, 0);
}
