//! What the fuzz targets in `tests/` drive: the reader, and the whole pipeline from text to bytes.
//!
//! `cargo test --manifest-path fuzz/Cargo.toml` runs each target for a bounded number of random inputs. Longer, on one
//! target: `BOLERO_RANDOM_ITERATIONS=1000000 cargo test --manifest-path fuzz/Cargo.toml pipeline`.

use std::io;

use airlath::check;
use airlath::plan::Plan;
use airlath::scene::{Building, Detail};
use airlath::write::{findings, glb, quantities, stl};

/// Designs that mutations start from.
pub const SEEDS: [&str; 6] = [
    include_str!("../../src/cli/starters/shed-inches.toml"),
    include_str!("../../src/cli/starters/gable-millimetres.toml"),
    include_str!("../../src/cli/starters/hip-inches.toml"),
    include_str!("../../examples/shed.toml"),
    include_str!("../../examples/gable.toml"),
    include_str!("../../examples/hip.toml"),
];

/// Texts that a mutation puts in the place of a value.
pub const VALUES: [&str; 24] = [
    "\"0 in\"",
    "\"-3 in\"",
    "\"1/64 in\"",
    "\"999 m\"",
    "\"1e9 mm\"",
    "\"6:12\"",
    "\"84 deg\"",
    "\"0.3 deg\"",
    "nan",
    "inf",
    "-1",
    "0",
    "3",
    "true",
    "\"\"",
    "\"\u{1F3E0}\"",
    "[]",
    "{}",
    "\"lap\"",
    "\"doubled\"",
    "\"top\"",
    "\"wall\"",
    "\"across\"",
    "\"S-R02\"",
];

/// Reads a text and, where it is a design, plans, checks and writes it into nothing. What it must not do is panic.
pub fn pipeline(text: &str) {
    let plan = match Plan::from_text("fuzz.toml", text) {
        Ok(plan) => plan,
        Err(faults) => {
            assert!(!faults.faults.is_empty(), "a refused design says why");
            assert!(faults.render(false).contains("fuzz.toml"));
            return;
        }
    };
    if plan.lattice.landing_count() > 20_000 {
        return;
    }
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Fluted);
    let scene = building.scene(&results);
    // The writers refuse only scenes that contradict themselves, and none that a design makes may.
    for write in [glb::write, findings::write, quantities::write] {
        write(&scene, &mut io::sink()).unwrap_or_else(|e| panic!("a writer refused a planned design: {e}"));
    }
    stl::write(&scene, None, &mut io::sink(), &mut io::sink())
        .unwrap_or_else(|e| panic!("the STL writer refused a planned design: {e}"));
}

/// A seed with some of its lines changed as the numbers say: dropped, doubled, swapped, their value replaced.
pub fn mutated(seed: usize, changes: &[(u8, u16, u8)]) -> String {
    let mut lines: Vec<String> = SEEDS[seed % SEEDS.len()].lines().map(str::to_owned).collect();
    for (what, line, value) in changes {
        if lines.is_empty() {
            break;
        }
        let i = usize::from(*line) % lines.len();
        match what % 6 {
            0 => drop(lines.remove(i)),
            1 => lines.insert(i, lines[i].clone()),
            2 => {
                let j = (i + usize::from(*value)) % lines.len();
                lines.swap(i, j);
            }
            3 => {
                if let Some((key, _)) = lines[i].split_once('=') {
                    lines[i] = format!("{key}= {}", VALUES[usize::from(*value) % VALUES.len()]);
                }
            }
            4 => {
                // One digit becomes another.
                let digit = char::from(b'0' + value % 10);
                if let Some(at) = lines[i].find(|c: char| c.is_ascii_digit()) {
                    lines[i].replace_range(at..=at, digit.encode_utf8(&mut [0; 4]));
                }
            }
            _ => {
                let at = usize::from(*value) % (lines[i].len() + 1);
                if lines[i].is_char_boundary(at) {
                    lines[i].truncate(at);
                }
            }
        }
    }
    lines.join("\n")
}
