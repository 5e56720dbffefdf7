//! The floors of the house: each folder of `src` imports only from floors above it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use std::fs;
use std::path::{Path, PathBuf};

/// From the top floor down; a floor may import from those before it.
const FLOORS: [&str; 16] = [
    "quantity",
    "solid",
    "cutting",
    "design",
    "structure",
    "lattice",
    "record",
    "parts",
    "aim",
    "capacity",
    "airflow",
    "air",
    "check",
    "scene",
    "sheet",
    "write",
];

fn sources(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
}

/// Floors that a file imports from: every `crate::name` in its code, tests left out.
fn imports(text: &str) -> Vec<(usize, String)> {
    let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
    let mut found = Vec::new();
    for (n, line) in code.lines().enumerate() {
        let line = line.split("//").next().unwrap();
        for (at, _) in line.match_indices("crate::") {
            let name: String = line[at + 7..].chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            found.push((n + 1, name));
        }
    }
    found
}

#[test]
fn every_floor_imports_only_from_floors_above_it() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut looked_at = 0;
    let mut wrong = Vec::new();
    for (level, floor) in FLOORS.iter().enumerate() {
        let mut files = Vec::new();
        sources(&src.join(floor), &mut files);
        assert!(!files.is_empty(), "no files on floor {floor}");
        for file in files {
            // Fixtures are test code in files of their own.
            if file.ends_with("fixture.rs") || file.ends_with("tests.rs") {
                continue;
            }
            for (line, name) in imports(&fs::read_to_string(&file).unwrap()) {
                looked_at += 1;
                let above = FLOORS[..level].contains(&name.as_str()) || name == *floor;
                if !above {
                    wrong.push(format!("{}:{line} imports {name}", file.display()));
                }
            }
        }
    }
    assert!(looked_at > 100, "only {looked_at} imports seen: is the search broken?");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// A writer takes a scene and gives bytes; it sees no plan. Quantities and solids are everybody's.
#[test]
fn writers_know_the_scene_and_nothing_of_the_lattice() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/write");
    let mut files = Vec::new();
    sources(&src, &mut files);
    for file in files {
        for (line, name) in imports(&fs::read_to_string(&file).unwrap()) {
            assert!(
                !["design", "structure", "lattice", "plan", "cli"].contains(&name.as_str()),
                "{}:{line} imports {name}",
                file.display()
            );
        }
    }
}

/// Only the command line prints, reads or writes files, or looks at the clock.
#[test]
fn only_the_command_line_touches_the_world() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    let mut seen_in_cli = 0;
    for file in files {
        let in_cli = file.starts_with(src.join("cli"));
        let text = fs::read_to_string(&file).unwrap();
        for word in ["println!", "eprintln!", "std::fs", "fs::File", "Instant::", "SystemTime", "std::env::"] {
            if text.contains(word) {
                assert!(in_cli, "{} uses {word}", file.display());
                seen_in_cli += 1;
            }
        }
    }
    assert!(seen_in_cli > 0, "the command line reads and writes files; is the search broken?");
}
