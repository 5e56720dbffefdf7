//! Fuzz targets in this process. None of them may panic or go past the limit of memory, whatever comes in.

use std::fs;
use std::path::Path;

use airlath::design::read_design;
use airlath::quantity::{Angle, Density, Length};
use airlath_fuzz::{Change, DRIVEN, LIMIT, MEMORY, changed, cut_up, mutated, pipeline, plan_with, survey_marks};
use bolero::check;

/// Keeps an input for the case that the process dies of it.
fn last(target: &str, input: &str) {
    fs::write(Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("last-{target}")), input)
        .expect("a place for the input");
}

#[test]
fn quantities() {
    check!().with_type::<String>().with_iterations(20_000).for_each(|text| {
        let _ = text.parse::<Length>();
        let _ = text.parse::<Angle>();
        let _ = text.parse::<Density>();
    });
}

#[test]
fn reader() {
    check!().with_iterations(2_000).for_each(|bytes| {
        let text = String::from_utf8_lossy(bytes);
        if let Err(faults) = read_design("fuzz.toml", &text) {
            assert!(!faults.faults.is_empty());
            let _ = faults.render(false);
        }
    });
}

#[test]
fn whole_pipeline() {
    check!().with_type::<(u8, u8, Vec<Change>)>().with_iterations(1_000).for_each(|(seed, output, changes)| {
        let text = mutated(usize::from(*seed), &changes[..changes.len() % 4]);
        last("whole_pipeline", &format!("# output {output}\n{text}"));
        pipeline(&text, *output);
    });
}

#[test]
fn marks() {
    check!().with_type::<Vec<Change>>().with_iterations(1_500).for_each(|changes| {
        let table = cut_up(&DRIVEN.marks, &changes[..changes.len().min(8)]);
        last("marks", &table);
        survey_marks(&table);
    });
}

#[test]
fn found_files_and_logs() {
    let all = check!().with_type::<[Vec<Change>; 3]>().with_iterations(600);
    all.for_each(|[design, found, log]| {
        let design = changed(&DRIVEN.design, &design[..design.len() % 2]);
        let found = cut_up(&DRIVEN.found, &found[..found.len() % 3]);
        let log = cut_up(&DRIVEN.log, &log[..log.len() % 5]);
        last("found_files_and_logs", &[design.as_str(), &found, &log].join("\n#####\n"));
        plan_with(&design, &found, &log);
    });
}

/// The limit is in force.
#[test]
fn memory_has_a_limit() {
    assert_eq!(MEMORY.limit(), LIMIT);
    assert!(Vec::<u8>::new().try_reserve_exact(LIMIT).is_err());
    assert!(Vec::<u8>::new().try_reserve_exact(LIMIT / 16).is_ok());
}
