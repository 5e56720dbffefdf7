//! Every source of a value from memory is known by its text, so that a misspelt confirmation is told.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::path::Path;

use airlath::capacity::FROM_MEMORY;

fn texts(folder: &Path, into: &mut Vec<(String, String)>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            texts(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") && !path.ends_with("memory.rs") {
            let text = std::fs::read_to_string(&path).unwrap();
            for part in text.split("Source::new(").skip(1) {
                let mut quoted = part.splitn(3, '"');
                if quoted.next().is_none_or(|before| !before.trim().is_empty()) {
                    continue;
                }
                let (text, rest) = (quoted.next().unwrap().to_owned(), quoted.next().unwrap());
                into.push((text, rest.chars().take_while(|c| *c != ')').collect()));
            }
        }
    }
}

#[test]
fn all_sources_from_memory_are_listed_and_no_others() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut all = Vec::new();
    texts(&src.join("capacity"), &mut all);
    texts(&src.join("check/strength"), &mut all);
    let recalled = |mark: &str| ["FromMemory", "Shaky", "mark"].iter().any(|m| mark.contains(m));
    let found: Vec<&str> = all.iter().filter(|(_, m)| recalled(m)).map(|(t, _)| t.as_str()).collect();
    assert!(found.len() > 60, "{}", found.len());
    let lacking: Vec<&&str> = found.iter().filter(|t| !FROM_MEMORY.contains(t)).collect();
    assert!(lacking.is_empty(), "{lacking:?}");
    // The figures of the wind's coefficients are chosen by edition.
    let figures = FROM_MEMORY.iter().filter(|t| t.contains("Figure") && t.starts_with("ASCE 7-") && t.contains("30."));
    let strange = FROM_MEMORY.iter().filter(|t| !found.contains(t)).collect::<Vec<_>>();
    assert_eq!(strange, figures.collect::<Vec<_>>());
}
