//! The program itself with random arguments and files, within a limit on memory: it ends with 0, 1 or 2, says why where it is
//! 2 and has then changed nothing, and leaves no folder half written.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use std::sync::LazyLock;

use airlath_fuzz::{Change, DRIVEN, changed, cut_up, mutated};
use bolero::check;
use tempfile::TempDir;

/// Lines that make sense; their files are changed.
const LINES: [&str; 16] = [
    "check roof.toml",
    "check roof.toml --found roof.found.toml --log driven.csv --level warn",
    "build roof.toml --out o",
    "build roof.toml --out o --layers --detail fluted --level unconfirmed",
    "build roof.toml --out o --instanced --found roof.found.toml --log driven.csv",
    "lists roof.toml --out o",
    "sheets roof.toml --out o --paper a3",
    "report roof.toml --out o",
    "marks roof.toml --out o",
    "air roof.toml",
    "weakest roof.toml",
    "explain S-B02.L03 roof.toml",
    "survey roof.toml marks.csv",
    "log roof.toml driven.csv",
    "log roof.toml driven.csv --remap",
    "log roof.toml form.csv --blank",
];

/// Words that are put in the place of one, or between two.
const WORDS: [&str; 50] = [
    "build",
    "check",
    "log",
    "sheets",
    "lists",
    "report",
    "survey",
    "marks",
    "air",
    "new",
    "explain",
    "weakest",
    "schema",
    "completions",
    "manual",
    "help",
    "--log",
    "--found",
    "--out",
    "--level",
    "--paper",
    "--detail",
    "--layers",
    "--instanced",
    "--blank",
    "--remap",
    "--error",
    "--of",
    "--shape",
    "--help",
    "roof.toml",
    "driven.csv",
    "marks.csv",
    "roof.found.toml",
    "o",
    "o/plan.json",
    "o/below",
    ".",
    "",
    "-",
    "--",
    "/dev/null",
    "/dev/zero",
    "missing.toml",
    "landing-not-backed",
    "S-B01.P01",
    "a4",
    "1e-6 mm",
    "-1 in",
    "\u{202e}\u{1b}[2J",
];

/// Runs the program below a folder. The limit on its time, in seconds of the processor, is a watch-dog for runs that never
/// end and no measure of speed: it lies far beyond what any of these takes.
fn run(folder: &Path, arguments: &[&str]) -> Output {
    let mut shell = Command::new("sh");
    shell.current_dir(folder).args(["-c", "ulimit -t 300; exec \"$0\" \"$@\"", env!("CARGO_BIN_EXE_airlath-fuzz")]);
    shell.args(arguments).output().expect("the program starts")
}

/// Every file below a folder.
fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in fs::read_dir(here).expect("a folder").flatten() {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).expect("a path below").display().to_string();
                all.insert(name, fs::read(path).expect("a file"));
            }
        }
    }
    all
}

/// What an earlier run has left: files of another plan.
static EARLIER: LazyLock<TempDir> = LazyLock::new(|| {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("roof.toml"), &DRIVEN.design).expect("a file");
    for verb in ["build", "lists", "marks"] {
        assert!(matches!(run(folder.path(), &[verb, "roof.toml", "--out", "o"]).status.code(), Some(0 | 1)));
    }
    folder
});

/// A folder is of one plan, or says that it is not: every file in the list of its `plan.json` is as the list says, and nothing
/// is there that is not in its place.
fn whole(files: &BTreeMap<String, Vec<u8>>, after: &str) {
    for name in files.keys() {
        assert!(!name.contains(".airlath-") && !name.ends_with("airlath-unfinished.txt"), "{name} after {after}");
    }
    for (name, text) in files.iter().filter(|f| f.0 == "plan.json" || f.0.ends_with("/plan.json")) {
        let plan: serde_json::Value = serde_json::from_slice(text).expect("JSON");
        for (file, entry) in plan["files"].as_object().expect("a list of files") {
            let bytes = &files[&format!("{}{file}", name.trim_end_matches("plan.json"))];
            assert_eq!(entry["blake3"], blake3::hash(bytes).to_hex().as_str(), "{file} after {after}");
        }
    }
}

type Input = (u8, bool, Vec<(u8, u8, u8)>, Option<(u8, Vec<Change>)>, Vec<Change>, Vec<Change>);

#[test]
fn command_line() {
    let all = check!().with_type::<Input>().with_iterations(300);
    all.for_each(|(line, earlier, edits, design, log, marks)| {
        let mut words: Vec<&str> = LINES[usize::from(*line) % LINES.len()].split(' ').collect();
        for (how, at, word) in edits.iter().take(4).filter(|e| e.0 > 100) {
            let (at, word) = (usize::from(*at) % words.len(), WORDS[usize::from(*word) % WORDS.len()]);
            if how % 2 == 0 { words.insert(at, word) } else { words[at] = word }
        }
        let design = match design {
            Some((seed, changes)) => mutated(usize::from(*seed), &changes[..changes.len() % 3]),
            None => changed(&DRIVEN.design, &marks[..marks.len() % 2]),
        };
        let folder = tempfile::tempdir().expect("a folder");
        let log = cut_up(&DRIVEN.log, &log[..log.len() % 4]);
        let marks = cut_up(&DRIVEN.marks, &marks[..marks.len() % 4]);
        for (name, text) in
            [("roof.toml", &design), ("driven.csv", &log), ("marks.csv", &marks), ("roof.found.toml", &DRIVEN.found)]
        {
            fs::write(folder.path().join(name), text).expect("a file");
        }
        if *earlier {
            fs::create_dir(folder.path().join("o")).expect("a folder");
            for (name, bytes) in tree(&EARLIER.path().join("o")) {
                fs::write(folder.path().join("o").join(name), bytes).expect("a file");
            }
        }
        let before = tree(folder.path());
        let out = run(folder.path(), &words);
        let (said, errors) = (String::from_utf8_lossy(&out.stdout), String::from_utf8_lossy(&out.stderr));
        let told = format!("{words:?} with\n{design}\n{log}\n{marks}\n{:?}\n{said}{errors}", out.status);
        assert!(matches!(out.status.code(), Some(0..=2)) && !errors.contains("panicked"), "{told}");
        let after = tree(folder.path());
        whole(&after, &told);
        if out.status.code() == Some(2) {
            assert!(errors.contains("error") && said.is_empty(), "{told}");
            assert!(before == after, "it failed, and changed files: {told}");
        }
    });
}

/// The limit is in force in the program, too: a run that needs more ends by a signal, which passes for nothing.
#[test]
fn memory_has_a_limit_in_the_program() {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("roof.toml"), &DRIVEN.design).expect("a file");
    let check = |bytes: usize| {
        let mut program = Command::new(env!("CARGO_BIN_EXE_airlath-fuzz"));
        program.current_dir(folder.path()).args(["check", "roof.toml"]).env("AIRLATH_FUZZ_BYTES", bytes.to_string());
        program.output().expect("the program starts")
    };
    assert!(matches!(check(airlath_fuzz::LIMIT).status.code(), Some(0 | 1)));
    let small = check(100_000);
    assert_eq!(small.status.code(), None);
    assert!(String::from_utf8_lossy(&small.stderr).contains("memory allocation of"));
}
