//! Every mend that a finding proposes is tried: the design is changed as proposed, planned again, and the finding must
//! be gone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::{BTreeMap, BTreeSet};

use crate::common::{EXAMPLES, Run, example, run, run_good};
use airlath::check::{self, Change, Finding, Verdict};

/// The design with a change made.
fn changed(text: &str, change: &Change) -> String {
    change.applied(text).unwrap_or_else(|| panic!("{} has no place in the design", change.text()))
}

/// Whether a finding is said once for all ends of a kind.
fn grouped(f: &Finding) -> bool {
    f.evidence.iter().any(|e| e.what == "landings")
}

/// What makes two findings the same: the check with the first part, or for those that are said once a kind of joint, the
/// kind.
fn identity(f: &Finding) -> (&'static str, String) {
    let what = if grouped(f) {
        f.message.split(':').next().unwrap_or_default().to_owned()
    } else {
        f.parts.first().cloned().unwrap_or_default()
    };
    (f.check, what)
}

/// Whether a finding is gone. A piece may hang too far, a slope may have a pocket in several places: then one of them is
/// gone, and this one is.
fn gone(f: &Finding, before: &Run, after: &Run) -> bool {
    let same = |run: &Run| run.findings.iter().filter(|g| identity(g) == identity(f)).count();
    let grouped = grouped(f);
    let this = |g: &Finding| g.check == f.check && g.parts == f.parts && g.place == f.place;
    same(after) < same(before) && (grouped || !after.findings.iter().any(this))
}

/// What fails at the place that a change of one place was to mend, and did not fail before. A change of a size of all
/// fasteners or of all tape may well ask for more changes elsewhere; a move or a block must not.
fn made_worse<'a>(f: &Finding, change: &Change, before: &Run, after: &'a Run) -> Vec<&'a str> {
    if matches!(change, Change::Set { .. } | Change::All(_)) {
        return Vec::new();
    }
    let fails = |g: &Finding| g.verdict == Verdict::Fail && g.parts.first() == f.parts.first();
    let already = |g: &Finding| before.findings.iter().any(|b| fails(b) && b.check == g.check);
    after.findings.iter().filter(|g| fails(g) && !already(g)).map(|g| g.message.as_str()).collect()
}

/// Tries compare findings that were made without what would help: those are the same.
#[test]
fn findings_do_not_hang_on_what_helps() {
    let mut seen = 0;
    for name in EXAMPLES {
        let plan = airlath::plan::Plan::from_text(name, &example(name)).unwrap();
        let ctx = plan.context();
        let (all, bare) = (check::run(&ctx), check::run_for_findings(&ctx));
        let findings = |results: Vec<check::Result>| results.into_iter().flat_map(|r| r.findings).collect::<Vec<_>>();
        let (all, bare) = (findings(all), findings(bare));
        assert!(bare.iter().all(|f| f.mends.is_empty() && f.advice.is_empty()));
        seen += all.iter().filter(|f| !f.mends.is_empty() || !f.advice.is_empty()).count();
        let said = |f: &Finding| {
            let Finding { check, verdict, message, parts, stands_for, place, evidence, .. } = f;
            format!("{check} {verdict:?} {message} {parts:?} {stands_for} {place:?} {evidence:?}")
        };
        assert_eq!(all.iter().map(said).collect::<Vec<_>>(), bare.iter().map(said).collect::<Vec<_>>(), "{name}");
    }
    assert!(seen > 150, "{seen} findings with help");
}

/// A move is measured off with a tape: by hand, the first of the gable is 21 sixteenths of an inch.
#[test]
fn moves_are_told_in_fractions_of_an_inch() {
    let mut moves = BTreeSet::new();
    for name in ["gable", "hip"] {
        let findings = run_good(&example(name)).findings;
        let mends = findings.iter().flat_map(|f| &f.mends).map(|m| m.text.clone());
        moves.extend(mends.filter(|m| m.contains(" in further ")));
    }
    assert!(moves.iter().any(|m| m == "drive S-B03.L09.r 1 5/16 in further right"), "{moves:?}");
    assert!(
        moves.iter().any(|m| m.starts_with("drive SE-B07.L06 1/8 in further right and 1/8 in further ")),
        "{moves:?}"
    );
    // What follows the landing's name has no decimal point.
    assert!(moves.iter().all(|m| m.splitn(3, ' ').nth(2).is_some_and(|rest| !rest.contains('.'))), "{moves:?}");
}

/// A change, and the findings that propose it with their words for it.
type Proposal<'a> = (&'a Change, Vec<(&'a Finding, &'a str)>);

/// Checks of which some finding in the examples has advice alone: work on the roof, or a choice that only a person makes.
const ADVICE_ALONE: [&str; 13] = [
    "batten-overloaded",
    "embedment-short",
    "end-distance-short",
    "end-run-too-long",
    "landing-not-backed",
    "landing-overloaded",
    "miss-likely",
    "near-member-side",
    "roofing-unheld",
    "run-too-long",
    "strap-nail-astray",
    "strip-crushed",
    "strip-end",
];

/// Roofs that the examples do not have. Invented.
const ROOFS: [(&str, &str); 4] = [
    ("valley", include_str!("roofs/valley.toml")),
    ("lookouts and rafters", include_str!("roofs/lookouts-and-rafters.toml")),
    ("thin flanges", include_str!("roofs/thin-flanges.toml")),
    ("two skylights", include_str!("roofs/two-skylights.toml")),
];

/// Boards so close that air crosses no strip between them, and a skylight between two rafters: below and above it only a
/// gap in a course opens the bay. Invented.
const CLOSE_BOARDS: &str = r#"
format = 1
name = "Close boards (invented)"
units = "millimetres"
[roof]
shape = "shed"
eave = "2440 mm"
slope_length = "2400 mm"
pitch = "20 deg"
[[rafters]]
section = { width = "40 mm", depth = "200 mm" }
spacing = "600 mm"
first = "20 mm"
last = "2420 mm"
close = true
[[opening]]
name = "light"
at = ["641 mm", "1100 mm"]
size = ["558 mm", "200 mm"]
[lattice]
tape = { width = "60 mm" }
strip = { width = "40 mm", height = "10 mm" }
batten = { width = "100 mm", thickness = "20 mm", spacing = "104 mm", stock = ["3000 mm"], least_piece = "600 mm" }
[fastening]
diameter = "3 mm"
length = "80 mm"
spread = "50 mm"
"#;

#[test]
fn every_proposed_mend_mends() {
    let mut tried = 0;
    let mut gaps = 0;
    let mut failed = Vec::new();
    let mut advice_alone = BTreeSet::new();
    let mut all: Vec<(&str, String)> = EXAMPLES.iter().map(|name| (*name, example(name))).collect();
    all.push(("close boards", CLOSE_BOARDS.to_owned()));
    all.extend(ROOFS.iter().map(|(name, text)| (*name, (*text).to_owned())));
    for (name, text) in all {
        let before = run_good(&text);
        // One run for each change, however many findings propose it.
        let mut proposals: BTreeMap<String, Proposal<'_>> = BTreeMap::new();
        for f in &before.findings {
            // Roofs with much that no small change mends have more of these.
            if f.mends.is_empty() && !ROOFS.iter().any(|(roof, _)| *roof == name) {
                advice_alone.insert(f.check);
            }
            for m in &f.mends {
                assert!(!m.text.is_empty(), "{name}: a mend of {} is not said in words", f.message);
                proposals
                    .entry(m.change.text())
                    .or_insert_with(|| (&m.change, Vec::new()))
                    .1
                    .push((f, m.text.as_str()));
            }
        }
        for (said, (change, findings)) in proposals {
            tried += findings.len();
            gaps += usize::from(said.contains("[[gap]]"));
            match run(&changed(&text, change)) {
                Err(faults) => failed.push(format!("{name}: the change {said} makes a design with faults:\n{faults}")),
                Ok(after) => {
                    for (f, mend) in findings {
                        let worse = made_worse(f, change, &before, &after);
                        if !worse.is_empty() {
                            failed.push(format!(
                                "{name}: {}: {}\n  mend: {mend}\n  change: {said}\n  makes: {}",
                                f.check,
                                f.message,
                                worse.join("\n         ")
                            ));
                        }
                        if !gone(f, &before, &after) {
                            let left: Vec<&str> = after
                                .findings
                                .iter()
                                .filter(|g| identity(g) == identity(f))
                                .map(|g| g.message.as_str())
                                .collect();
                            failed.push(format!(
                                "{name}: {}: {}\n  mend: {mend}\n  change: {said}\n  still: {}",
                                f.check,
                                f.message,
                                left.join("\n         ")
                            ));
                        }
                    }
                }
            }
        }
    }
    assert_eq!(advice_alone.into_iter().collect::<Vec<_>>(), ADVICE_ALONE, "checks without a mend to try");
    assert!(gaps >= 2, "{gaps} gaps in courses were tried");
    assert!(tried > 0, "no finding of any example proposes a mend");
    assert!(failed.is_empty(), "{} of {tried} mends do not mend:\n\n{}", failed.len(), failed.join("\n\n"));
}

#[test]
fn a_change_lands_in_the_table_that_its_key_counts_to() {
    let text = "[[edge]]\nedge = \"S.1\"\n[[edge]]\nedge = \"S.3\" # top\n[lattice]\nbatten = { nominal = \"1x4\" }\n";
    let set = |key: &str, value: &str| changed(text, &Change::Set { key: key.into(), value: value.into() });
    let out = set("edge[2].hold_back", "\"4 in\"");
    assert!(out.contains("edge = \"S.3\" # top\nhold_back = \"4 in\"\n"), "{out}");
    let read = |text: String| text.parse::<toml::Table>().unwrap();
    let batten = read(set("lattice.batten.joint", "\"lap\""))["lattice"]["batten"].clone();
    assert_eq!((batten["nominal"].as_str(), batten["joint"].as_str()), (Some("1x4"), Some("lap")));
    assert_eq!(read(set("limits.run", "\"2 ft\""))["limits"]["run"].as_str(), Some("2 ft"));
}

/// The designs that findings are looked at in: the examples, and the odd ones of the corpus that are no faults.
fn designs() -> Vec<(String, String)> {
    let corpus = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/corpus")).unwrap();
    let mut all: Vec<(String, String)> = corpus
        .map(|e| e.unwrap().path())
        .map(|p| (p.display().to_string(), std::fs::read_to_string(&p).unwrap()))
        .collect();
    all.sort();
    all.extend(EXAMPLES.iter().map(|name| ((*name).to_owned(), example(name))));
    all
}

#[test]
fn every_finding_has_a_place_a_limit_and_says_what_would_mend_it() {
    let mut seen = std::collections::BTreeSet::new();
    for (name, text) in designs() {
        let Ok(run) = run(&text) else { continue };
        for f in &run.findings {
            // The row that counts what is not listed has nothing of its own.
            if f.parts.is_empty() && f.message.contains("more of the same kind") {
                continue;
            }
            seen.insert(f.check);
            let told = format!("{name}: {}: {}", f.check, f.message);
            assert!(f.evidence.iter().any(|e| e.limit.is_some()), "no limit: {told}");
            let words = || f.mends.iter().map(|m| &m.text).chain(&f.advice);
            assert!(words().next().is_some() && words().all(|w| !w.is_empty()), "nothing helps: {told}");
            assert!(f.mends.iter().all(|m| !m.change.text().is_empty()), "a mend without a change: {told}");
            // A slip stands in the file: its key is told.
            let of_file = f.check == "likely-slip";
            assert!(of_file || f.place.is_some() && !f.parts.is_empty(), "no place or no part: {told}");
        }
    }
    assert!(seen.len() >= 15, "only findings of {seen:?} were looked at");
}
