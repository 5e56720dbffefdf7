//! Changes that checks propose, tried before they are shown: what is still proposed clears its finding and brings no other.

use airlath::check::{self, Verdict};
use airlath::fix::prove;
use airlath::plan::Texts;

use crate::checks::small::*;

/// Plans a text, and what its findings propose after the trial: check, what to do, the change.
fn proposed(text: &str) -> (Vec<(&'static str, Option<String>)>, usize) {
    let texts = Texts { file: "design.toml".into(), source: text.into(), found: None };
    let plan = texts.plan().unwrap_or_else(|f| panic!("{}", f[0].render(false)));
    let mut results = check::run(&plan.context());
    let untried = prove(&texts, &plan, &mut results);
    let findings = results.iter().flat_map(|r| &r.findings);
    let of = |f: &check::Finding| {
        assert!(!f.mends.is_empty() || !f.advice.is_empty(), "nothing helps: {}", f.message);
        (f.check, f.mends.first().map(|m| m.change.text()))
    };
    (findings.map(of).collect(), untried)
}

/// Four heads in a landing 12 up the slope: `clash` proposes a spread that only pushes them into the board's edges or leaves
/// them in one another. It is not shown.
#[test]
fn a_wider_spread_that_does_not_part_four_heads_is_not_proposed() {
    let text = shed(&[("spread = \"50 mm\"", "spread = \"12 mm\"\nper_landing = 4")], "");
    let texts = Texts { file: "design.toml".into(), source: text.clone(), found: None };
    let plan = texts.plan().unwrap();
    let raw = check::run(&plan.context());
    let spread = |all: &[check::Result]| {
        let mends = all.iter().flat_map(|r| &r.findings).flat_map(|f| &f.mends);
        mends.map(|m| m.change.clone()).find(|c| c.text().starts_with("fastening.spread"))
    };
    let change = spread(&raw).expect("clash proposes a spread");
    let again = texts.changed(&change).unwrap().plan().unwrap();
    let clashes = |all: &[check::Result]| -> usize {
        all.iter().filter(|r| r.check.name == "clash").map(|r| r.findings.len()).sum()
    };
    let still = clashes(&check::run(&again.context()));
    let mut tried = raw;
    prove(&texts, &plan, &mut tried);
    assert!(still > 0, "{} parts them after all", change.text());
    assert!(spread(&tried).is_none(), "{still} clashes are left by {}", change.text());
    let advice = tried.iter().flat_map(|r| &r.findings).flat_map(|f| &f.advice);
    assert!(advice.filter(|a| a.contains("further apart; tried")).count() > 0, "the words stay");
}

/// A block under every course of the missing rafter mends: those changes stay, and whatever stays clears what it is for.
#[test]
fn what_is_still_proposed_clears_its_finding() {
    let text = shed(&[], MISSING);
    let (all, untried) = proposed(&text);
    assert_eq!(untried, 0);
    assert!(all.iter().any(|(_, change)| change.is_some()), "something mends a missing rafter");
    for (name, change) in &all {
        let Some(change) = change else { continue };
        let texts = Texts { file: "design.toml".into(), source: format!("{text}\n{change}"), found: None };
        let Ok(again) = texts.plan() else { continue };
        let after = check::run(&again.context());
        let fails = |all: &[check::Result]| -> usize {
            let of = all.iter().filter(|r| r.check.name == *name).flat_map(|r| &r.findings);
            of.filter(|f| f.verdict == Verdict::Fail).count()
        };
        let before = all.iter().filter(|(n, _)| n == name).count();
        assert!(fails(&after) < before, "{name}: {change}");
    }
}
