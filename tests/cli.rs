//! The program from the outside: exit codes, files, and what is left alone when something goes wrong.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Output, Stdio};

use crate::common::{self, EXAMPLES, STARTERS, airlath, edited, example, example_path, starter};
use tempfile::TempDir;

/// A folder with designs in it.
fn folder(designs: &[(&str, &str)]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in designs {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

fn run(folder: &Path, arguments: &[&str]) -> Output {
    airlath().current_dir(folder).args(arguments).output().unwrap()
}

fn code(out: &Output) -> i32 {
    out.status.code().unwrap_or_else(|| panic!("ended by a signal: {:?}", out.status))
}

fn stdout(out: &Output) -> &str {
    std::str::from_utf8(&out.stdout).unwrap()
}

fn stderr(out: &Output) -> &str {
    std::str::from_utf8(&out.stderr).unwrap()
}

/// Asserts an exit by error: code 2, nothing on stdout, an error text with a word of its own.
fn refused(out: &Output, word: &str) {
    assert_eq!(code(out), 2, "{}\n{}", stdout(out), stderr(out));
    assert_eq!(stdout(out), "");
    let text = stderr(out);
    assert!(text.contains("error"), "{text}");
    assert!(text.contains(word), "{word:?} in {text}");
    assert!(!text.contains("panicked"), "{text}");
}

/// Every file below a folder with its bytes; folders with none.
fn tree(at: &Path) -> BTreeMap<String, Option<Vec<u8>>> {
    let mut all = BTreeMap::new();
    let mut open = vec![at.to_owned()];
    while let Some(here) = open.pop() {
        for entry in std::fs::read_dir(here).unwrap() {
            let path = entry.unwrap().path();
            let name = path.strip_prefix(at).unwrap().display().to_string();
            if path.is_dir() {
                all.insert(name, None);
                open.push(path);
            } else {
                all.insert(name, Some(std::fs::read(path).unwrap()));
            }
        }
    }
    all
}

fn names(at: &Path) -> Vec<String> {
    tree(at).into_keys().collect()
}

/// A shed without any finding.
fn quiet() -> String {
    let text = edited(&starter("shed", "inches"), "stock = [\"12 ft\", \"16 ft\"]", "stock = [\"16 ft\"]");
    format!("{text}\n[limits]\nend_distance = \"1/2 in\"\n")
}

const WRITTEN: [&str; 6] = ["findings.json", "model.glb", "model.stl", "model.stl.csv", "plan.json", "quantities.csv"];

#[test]
fn exit_codes_say_findings_or_failure() {
    let folder = folder(&[("quiet.toml", &quiet()), ("faulty.toml", "format = 1\n")]);
    let at = folder.path();
    for (arguments, expected) in [
        (&["check", "quiet.toml"][..], 0),
        (&["check", "quiet.toml", "--level", "warn"], 0),
        (&["build", "quiet.toml"], 0),
        (&["check", "faulty.toml"], 2),
        (&["build", "faulty.toml"], 2),
        (&["check"], 2),
        (&["nonsense"], 2),
        (&["check", "quiet.toml", "--level", "unconfirmed"], 0),
        (&["check", "quiet.toml", "--level", "none"], 2),
        (&["--help"], 0),
        (&["--version"], 0),
        (&["explain"], 0),
        (&["explain", "clash"], 0),
    ] {
        let out = run(at, arguments);
        assert_eq!(code(&out), expected, "{arguments:?}\n{}{}", stdout(&out), stderr(&out));
    }
    for (name, fail, warn) in [("gable", 1, 1), ("shed", 1, 1), ("hip", 0, 1), ("gable-mended", 0, 1)] {
        let design = example_path(name).display().to_string();
        assert_eq!(code(&run(at, &["check", &design])), fail, "{name}");
        assert_eq!(code(&run(at, &["check", &design, "--level", "fail"])), fail, "{name}");
        assert_eq!(code(&run(at, &["check", &design, "--level", "warn"])), warn, "{name}");
        assert_eq!(code(&run(at, &["build", &design, "--level", "warn"])), warn, "{name}");
    }
}

#[test]
fn check_writes_nothing_and_build_writes_below_out() {
    let folder = folder(&[("roof.toml", &quiet())]);
    let at = folder.path();
    assert_eq!(code(&run(at, &["check", "roof.toml"])), 0);
    assert_eq!(names(at), ["roof.toml"]);
    let out = run(at, &["build", "roof.toml"]);
    assert_eq!(code(&out), 0);
    let mut expected = vec!["out".to_owned(), "out/roof".to_owned()];
    expected.extend(WRITTEN.map(|w| format!("out/roof/{w}")));
    expected.push("roof.toml".into());
    assert_eq!(names(at), expected);
    // What was written is said, and nothing else.
    let said: Vec<&str> = stdout(&out).split("\nWritten\n").nth(1).unwrap().lines().map(str::trim).collect();
    let mut said: Vec<String> = said.iter().map(|s| (*s).to_owned()).collect();
    said.sort();
    assert_eq!(said, WRITTEN.map(|w| format!("out/roof/{w}")));
}

#[test]
fn another_folder_and_single_layers_can_be_asked_for() {
    let folder = folder(&[("roof.toml", &quiet())]);
    let at = folder.path();
    assert_eq!(code(&run(at, &["build", "roof.toml", "--out", "a/b c/d", "--layers"])), 0);
    let files = names(&at.join("a/b c/d"));
    for name in WRITTEN {
        assert!(files.contains(&name.to_owned()), "{name} among {files:?}");
    }
    use airlath::scene::Layer;
    for layer in Layer::ALL {
        // A layer without parts has no file.
        let empty = matches!(layer, Layer::Deck | Layer::Straps | Layer::ToCome | Layer::Flags);
        let name = format!("layer-{}.stl", layer.name().replace(' ', "-"));
        assert_eq!(files.contains(&name), !empty, "{name} among {files:?}");
    }
    // Files of an earlier build that this one does not write do not stay beside its own.
    assert_eq!(code(&run(at, &["build", "roof.toml", "--out", "a/b c/d"])), 0);
    assert!(names(&at.join("a/b c/d")).iter().all(|n| !n.starts_with("layer-")));
    assert!(!at.join("out").exists());
}

#[cfg(unix)]
#[test]
fn written_files_may_be_read_by_whoever_the_mask_lets() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder(&[("roof.toml", &quiet())]);
    assert_eq!(code(&run(folder.path(), &["build", "roof.toml"])), 0);
    let mode = |name: &str| std::fs::metadata(folder.path().join(name)).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode("out/roof/model.glb"), mode("roof.toml"));
}

#[test]
fn every_starter_is_a_design_without_a_fault() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    for (shape, units) in STARTERS {
        let file = format!("{shape}-{units}.toml");
        let out = run(at, &["new", &file, "--shape", shape, "--units", units]);
        assert_eq!(code(&out), 0, "{}", stderr(&out));
        assert!(stdout(&out).contains(&file));
        let written = std::fs::read_to_string(at.join(&file)).unwrap();
        assert_eq!(written, starter(shape, units));
        assert!(written.contains(&format!("shape = \"{shape}\"")) && written.contains(&format!("units = \"{units}\"")));
        let out = run(at, &["build", &file]);
        assert!(code(&out) <= 1, "{file}: {}", stderr(&out));
        assert_eq!(stderr(&out), "", "{file}");
        // A starter holds down all its battens.
        assert!(!stdout(&out).contains("landing-not-backed"), "{file}: {}", stdout(&out));
    }
    assert_eq!(code(&run(at, &["new", "plain.toml"])), 0);
    assert_eq!(std::fs::read_to_string(at.join("plain.toml")).unwrap(), starter("shed", "inches"));
}

#[test]
fn new_leaves_an_existing_file_alone() {
    let folder = folder(&[("mine.toml", "# mine\n")]);
    let at = folder.path();
    refused(&run(at, &["new", "mine.toml"]), "left alone");
    assert_eq!(std::fs::read_to_string(at.join("mine.toml")).unwrap(), "# mine\n");
    refused(&run(at, &["new", "no/such/folder/x.toml"]), "cannot write");
    refused(&run(at, &["new", "."]), "");
    assert_eq!(names(at), ["mine.toml"]);
}

#[test]
fn an_unknown_check_gets_a_hint() {
    let folder = tempfile::tempdir().unwrap();
    let near = run(folder.path(), &["explain", "landing-not-baked"]);
    refused(&near, "did you mean `landing-not-backed`?");
    let far = run(folder.path(), &["explain", "zzzz"]);
    refused(&far, "`airlath explain` lists all checks");
    let list = run(folder.path(), &["explain"]);
    for check in airlath::check::CHECKS {
        assert!(stdout(&list).contains(check.name), "{}", check.name);
        let page = run(folder.path(), &["explain", check.name]);
        for heading in ["What", "Why", "How computed", "Limits", "Source"] {
            assert!(stdout(&page).lines().any(|l| l == heading), "{}: no {heading}", check.name);
        }
    }
}

/// Keys and tables of the design file are pages too; what is none gets a hint from the list that it is most like.
#[test]
fn keys_and_members_are_explained_or_hinted_at() {
    let folder = folder(&[("roof.toml", common::SHED)]);
    let at = folder.path();
    let says = |arguments: &[&str], words: &[&str]| {
        let out = run(at, arguments);
        assert_eq!(code(&out), 0, "{arguments:?}: {}", stderr(&out));
        for word in words {
            assert!(stdout(&out).contains(word), "{arguments:?}: no {word:?} in {}", stdout(&out));
        }
    };
    says(&["explain", "tails"], &["tails\n", "tails.high\n", "beside"]);
    says(&["explain", "rafters"], &["rafters.spacing\n"]);
    says(&["explain", "lattice.batten"], &["lattice.batten\n", "lattice.batten.spacing\n"]);
    says(&["explain", "rafters[1].spacing"], &["rafters.spacing\n"]);
    // A page needs no design, but one does no harm.
    says(&["explain", "lattice.batten", "roof.toml"], &["lattice.batten.spacing\n"]);
    says(&["explain", "landing-not-backed", "roof.toml"], &["How computed"]);
    // SHED has five courses, so S-R03 carries five landings, one a course.
    let member = "S-R03: rafter, 1.5 in x 7.25 in";
    let landings = "carries S-B01.L03, S-B02.L03, S-B03.L03, S-B04.L03, S-B05.L03";
    says(&["explain", "S-R03", "roof.toml"], &[member, landings, "airlath explain S-B01.L03 roof.toml"]);
    for (arguments, hint) in [
        (&["explain", "lattice.baten"][..], "did you mean `lattice.batten`?"),
        (&["explain", "raftrs"], "did you mean `rafters`?"),
        (&["explain", "S-R03"], "airlath explain S-R03 roof.toml"),
        (&["explain", "S-R33", "roof.toml"], "did you mean `S-R03`?"),
        (&["explain", "S-B01.L33", "roof.toml"], "did you mean `S-B01.L03`?"),
        (&["explain", "raftrs", "roof.toml"], "did you mean `rafters`?"),
    ] {
        refused(&run(at, arguments), hint);
    }
}

#[test]
fn a_file_where_the_folder_should_be_is_told() {
    let folder = folder(&[("roof.toml", &quiet()), ("taken", "mine")]);
    let at = folder.path();
    refused(&run(at, &["build", "roof.toml", "--out", "taken"]), "cannot make the folder taken: taken is a file");
    refused(&run(at, &["build", "roof.toml", "--out", "taken/below"]), "the folder taken/below: taken is a file");
    assert_eq!(names(at), ["roof.toml", "taken"]);
    assert_eq!(std::fs::read_to_string(at.join("taken")).unwrap(), "mine");
}

/// Where a file may not grow past half a kilobyte, the error names the file that was asked for.
#[cfg(target_os = "linux")]
#[test]
fn a_write_that_fails_names_the_file_that_was_asked_for() {
    let folder = folder(&[("roof.toml", &quiet())]);
    let script = "ulimit -f 1; exec \"$0\" build roof.toml --out o";
    let mut shell = std::process::Command::new("sh");
    let out = shell.current_dir(folder.path()).args(["-c", script, env!("CARGO_BIN_EXE_airlath")]).output().unwrap();
    refused(&out, "cannot write o/");
    assert!(!stderr(&out).contains(".airlath-") && !stderr(&out).contains("at path"), "{}", stderr(&out));
    assert_eq!(names(&folder.path().join("o")), [""; 0]);
    let new = script.replace("build roof.toml --out o", "new new.toml");
    let mut shell = std::process::Command::new("sh");
    let out = shell.current_dir(folder.path()).args(["-c", &new, env!("CARGO_BIN_EXE_airlath")]).output().unwrap();
    refused(&out, "cannot write new.toml");
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_cannot_be_written_to_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder(&[("roof.toml", &quiet())]);
    let at = folder.path();
    // Nobody, not even the root user, makes a folder or a file there.
    refused(&run(at, &["build", "roof.toml", "--out", "/proc/airlath-out"]), "cannot make the folder");
    let closed = run(at, &["build", "roof.toml", "--out", "/proc/self"]);
    refused(&closed, "cannot write to the folder");
    assert!(!stderr(&closed).contains(".airlath-"), "{}", stderr(&closed));
    // A good output, then a folder that is closed to all but those who may write everywhere.
    assert_eq!(code(&run(at, &["build", "roof.toml"])), 0);
    let out = at.join("out/roof");
    let before = tree(&out);
    std::fs::set_permissions(&out, std::fs::Permissions::from_mode(0o555)).unwrap();
    let may_write_everywhere = std::fs::write(out.join("probe"), "").is_ok();
    let second = run(at, &["build", "roof.toml"]);
    std::fs::set_permissions(&out, std::fs::Permissions::from_mode(0o755)).unwrap();
    if may_write_everywhere {
        std::fs::remove_file(out.join("probe")).unwrap();
        assert_eq!(code(&second), 0);
    } else {
        refused(&second, "cannot write");
    }
    assert_eq!(tree(&out), before);
}

#[test]
fn an_earlier_output_survives_what_goes_wrong() {
    let folder = folder(&[("roof.toml", &quiet()), ("other.toml", &starter("gable", "inches"))]);
    let at = folder.path();
    assert_eq!(code(&run(at, &["build", "roof.toml", "--out", "o"])), 0);
    let good = tree(&at.join("o"));
    // A design with a fault writes nothing.
    std::fs::write(at.join("roof.toml"), quiet().replace("24 in", "24")).unwrap();
    refused(&run(at, &["build", "roof.toml", "--out", "o"]), "no unit");
    assert_eq!(tree(&at.join("o")), good);
    // A folder in the way of any one file stops all of them, and leaves nothing half written.
    for blocked in WRITTEN {
        let path = at.join("o").join(blocked);
        std::fs::remove_file(&path).unwrap();
        std::fs::create_dir(&path).unwrap();
        std::fs::write(path.join("inside"), "mine").unwrap();
        refused(&run(at, &["build", "other.toml", "--out", "o"]), blocked);
        let mut expected = good.clone();
        expected.insert(blocked.into(), None);
        expected.insert(format!("{blocked}/inside"), Some(b"mine".to_vec()));
        assert_eq!(tree(&at.join("o")), expected, "{blocked}");
        std::fs::remove_dir_all(&path).unwrap();
        std::fs::write(&path, good[blocked].as_ref().unwrap()).unwrap();
    }
    // Without anything in the way all files are new.
    assert_eq!(code(&run(at, &["build", "other.toml", "--out", "o"])) & !1, 0);
    let new = tree(&at.join("o"));
    for name in WRITTEN {
        assert_ne!(new[name], good[name], "{name}");
    }
    assert_eq!(new.len(), WRITTEN.len());
}

/// A run that is stopped leaves files that are not in their place. The next one takes away those that nobody is writing, and
/// nothing else.
#[test]
fn what_a_stopped_run_left_is_taken_away() {
    let folder = folder(&[("roof.toml", &quiet())]);
    let out = folder.path().join("o");
    std::fs::create_dir(&out).unwrap();
    for name in [".airlath-Ab12Cd", ".airlath-Ef34Gh", ".hidden", "airlath-notes"] {
        std::fs::write(out.join(name), "").unwrap();
    }
    let held = std::fs::File::open(out.join(".airlath-Ef34Gh")).unwrap();
    held.lock().unwrap();
    assert_eq!(code(&run(folder.path(), &["build", "roof.toml", "--out", "o"])), 0);
    let left: Vec<String> = tree(&out).into_keys().filter(|n| !WRITTEN.contains(&n.as_str())).collect();
    assert_eq!(left, [".airlath-Ef34Gh", ".hidden", "airlath-notes"]);
}

/// What `plan.json` of a folder says, held against the files in it: whether every file in its list is as it says.
fn plan_file(at: &Path) -> Option<serde_json::Value> {
    let plan: serde_json::Value = serde_json::from_slice(&std::fs::read(at.join("plan.json")).ok()?).unwrap();
    for (name, entry) in plan["files"].as_object().unwrap() {
        let bytes = std::fs::read(at.join(name)).unwrap();
        assert_eq!(entry["bytes"], bytes.len(), "{name}");
        assert_eq!(entry["blake3"], blake3::hash(&bytes).to_hex().to_string(), "{name}");
    }
    Some(plan)
}

/// Two plans that write files of different names, too: layers and a list of the air.
fn two_plans() -> TempDir {
    let air = "[air]\noutside = \"0 C\"\nlattice = \"5 C\"\nfree_area = { eave = \"90 cm2/m\", top = \"90 cm2/m\" }\n";
    folder(&[("old.toml", &quiet()), ("new.toml", &(edited(&quiet(), "pitch = \"4:12\"", "pitch = \"5:12\"") + air))])
}

const OLD: [&str; 5] = ["build", "old.toml", "--out", "o", "--layers"];
const NEW: [&str; 4] = ["build", "new.toml", "--out", "o"];

/// Wherever a run is stopped, it leaves the old files, the new ones, or a folder that says that it is not finished; the next
/// run makes it whole and leaves nothing behind.
#[cfg(debug_assertions)]
#[test]
fn a_run_stopped_at_any_write_leaves_the_old_the_new_or_a_word() {
    let folder = two_plans();
    let at = folder.path();
    let out = at.join("o");
    assert_eq!(code(&run(at, &NEW)), 0);
    let new = tree(&out);
    std::fs::remove_dir_all(&out).unwrap();
    assert_eq!(code(&run(at, &OLD)), 0);
    let old = tree(&out);
    let visible = |all: BTreeMap<String, Option<Vec<u8>>>| -> BTreeMap<String, Option<Vec<u8>>> {
        all.into_iter().filter(|(n, _)| !n.starts_with(".airlath-") && n != "airlath-unfinished.txt").collect()
    };
    let (mut was_old, mut was_new, mut unfinished, mut mixed) = (0, 0, 0, 0);
    for step in 1.. {
        assert!(step < 5000, "the run never comes to its end");
        let stopped = airlath().current_dir(at).env("AIRLATH_STOP_AT", step.to_string()).args(NEW).output().unwrap();
        if stopped.status.code().is_some() {
            assert_eq!(code(&stopped), 0);
            break;
        }
        let now = visible(tree(&out));
        if now == old {
            was_old += 1;
        } else if now == new {
            was_new += 1;
        } else {
            unfinished += 1;
            mixed += usize::from(old.iter().any(|(n, b)| n != "plan.json" && now.get(n) == Some(b)));
            assert!(!now.contains_key("plan.json"), "stopped at {step}");
            let word = std::fs::read_to_string(out.join("airlath-unfinished.txt")).unwrap();
            assert!(word.contains("do not build from them"), "{word}");
            // A verb that only adds to such a folder vouches for its own files alone, and says so.
            if step % 3 == 0 {
                let lists = run(at, &["lists", "new.toml", "--out", "o"]);
                let text = stdout(&lists);
                assert!(text.contains("An earlier run was stopped") && text.contains("Not of this plan"), "{text}");
                assert!(text.contains("findings.json"), "{text}");
                let plan = plan_file(&out).unwrap();
                assert!(plan["files"].get("cut-list.csv").is_some() && plan["files"].get("model.glb").is_none());
                for name in ["cut-list.csv", "buying-list.csv", "order-of-work.csv"] {
                    std::fs::remove_file(out.join(name)).unwrap();
                }
                let _ = std::fs::remove_file(out.join("joints.toml"));
            }
        }
        // The next run leaves nothing behind.
        assert_eq!(code(&run(at, &OLD)), 0, "after {step}");
        assert_eq!(tree(&out), old, "after {step}");
    }
    assert_eq!(tree(&out), new);
    assert!(was_old > 10 && was_new >= 1 && unfinished > 10 && mixed > 5, "{was_old} {was_new} {unfinished} {mixed}");
}

/// A second run says that another one is writing, and changes nothing; runs at once never mix.
#[test]
fn two_runs_at_once_never_mix() {
    let folder = two_plans();
    let at = folder.path();
    let out = at.join("o");
    assert_eq!(code(&run(at, &OLD)), 0);
    let old = tree(&out);
    let lock = std::fs::File::create(out.join("airlath-unfinished.txt")).unwrap();
    lock.lock().unwrap();
    for verb in ["build", "lists", "marks", "sheets", "report"] {
        refused(&run(at, &[verb, "new.toml", "--out", "o"]), "another run of airlath writes into o now");
    }
    drop(lock);
    std::fs::remove_file(out.join("airlath-unfinished.txt")).unwrap();
    assert_eq!(tree(&out), old);
    for _ in 0..4 {
        let begin = |arguments: &[&str]| {
            let mut program = std::process::Command::new(env!("CARGO_BIN_EXE_airlath"));
            program.current_dir(at).args(arguments).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap()
        };
        let all = [begin(&OLD), begin(&NEW), begin(&OLD), begin(&NEW)];
        let mut done = 0;
        for child in all {
            let end = child.wait_with_output().unwrap();
            done += usize::from(code(&end) == 0);
            if code(&end) != 0 {
                refused(&end, "another run");
            }
        }
        assert!(done > 0);
        let files = plan_file(&out).unwrap();
        assert_eq!(files["not_of_this_plan"], serde_json::json!([]));
        let listed: Vec<&String> = files["files"].as_object().unwrap().keys().collect();
        let there: Vec<String> = names(&out).into_iter().filter(|n| n != "plan.json").collect();
        assert_eq!(listed, there.iter().collect::<Vec<_>>());
    }
}

/// Every verb that adds to a folder says which of the program's files in it are of another plan, or changed since.
#[test]
fn files_of_another_plan_are_told() {
    let folder = two_plans();
    let at = folder.path();
    let out = at.join("o");
    assert_eq!(code(&run(at, &OLD)), 0);
    let of_plan = |at: &Path| plan_file(at).unwrap()["plan"].as_str().unwrap().to_owned();
    let older = of_plan(&out);
    std::fs::write(out.join("notes.txt"), "mine").unwrap();
    // Of the same plan all stay in the list, and nothing is said.
    for verb in ["lists", "marks", "report"] {
        let said = run(at, &[verb, "old.toml", "--out", "o"]);
        assert!(code(&said) < 2 && !stdout(&said).contains("Not of this plan"), "{verb}: {}", stdout(&said));
    }
    let files = plan_file(&out).unwrap();
    for name in ["model.glb", "layer-battens.stl", "cut-list.csv", "marks.csv", "windows.json", "report.html"] {
        assert!(files["files"].get(name).is_some(), "{name}");
    }
    assert!(files["files"].get("notes.txt").is_none());
    // Of another plan each is told, with the verb that makes it anew.
    let said = run(at, &["lists", "new.toml", "--out", "o"]);
    let text = stdout(&said);
    assert!(
        text.contains(&format!("model.stl.csv, quantities.csv: of plan {older}; run `airlath build` again")),
        "{text}"
    );
    assert!(text.contains(&format!("report.html: of plan {older}; run `airlath report` again")), "{text}");
    assert!(!text.contains("notes.txt") && !text.contains("cut-list.csv:"), "{text}");
    let files = plan_file(&out).unwrap();
    assert_eq!(files["files"].as_object().unwrap().keys().filter(|n| n.ends_with(".glb")).count(), 0);
    assert!(files["not_of_this_plan"].as_array().unwrap().contains(&"model.glb".into()));
    // So is a file that somebody changed, and another text of the same plan: what it costs hangs on it.
    assert_eq!(code(&run(at, &OLD)), 0);
    std::fs::write(out.join("findings.json"), "{}").unwrap();
    let priced = format!("{}\n[buying]\nkerf = \"1/4 in\"\n", quiet());
    let said = run(at, &["lists", "old.toml", "--out", "o"]);
    assert!(stdout(&said).contains("findings.json: changed since it was written"), "{}", stdout(&said));
    std::fs::write(at.join("old.toml"), priced).unwrap();
    let said = run(at, &["report", "old.toml", "--out", "o"]);
    assert!(stdout(&said).contains("of the same plan, but of another text of the design"), "{}", stdout(&said));
    // Sheets lie in a folder of their own below: either side tells of the other.
    for verb in ["build", "sheets"] {
        assert!(code(&run(at, &[verb, "old.toml"])) < 2, "{verb}");
    }
    let said = run(at, &["build", "old.toml"]);
    assert!(!stdout(&said).contains("Not of this plan"), "{}", stdout(&said));
    std::fs::copy(at.join("new.toml"), at.join("old.toml")).unwrap();
    let said = run(at, &["build", "old.toml"]);
    assert!(stdout(&said).contains(&format!("what is in out/old/sheets: of plan {older}")), "{}", stdout(&said));
    std::fs::write(at.join("old.toml"), quiet()).unwrap();
    let said = run(at, &["sheets", "old.toml"]);
    assert!(stdout(&said).contains("what is in out/old: of plan"), "{}", stdout(&said));
}

/// No verb takes anything out of an output folder: files of another plan, or of nobody, change no word of what it says.
#[test]
fn no_verb_reads_what_another_one_wrote_into_a_folder() {
    let folder = two_plans();
    let at = folder.path();
    std::fs::write(at.join("marks.csv"), "kind,of,place,measure,from,note\ncentre,S-R03,6,48,S.4,\n").unwrap();
    assert_eq!(code(&run(at, &["log", "new.toml", "--blank", "driven.csv"])), 0);
    let lines: [&[&str]; 8] = [
        &["check", "new.toml"],
        &["check", "new.toml", "--log", "driven.csv"],
        &["log", "new.toml", "driven.csv"],
        &["marks", "new.toml"],
        &["air", "new.toml"],
        &["weakest", "new.toml"],
        &["explain", "S-B02.L03", "new.toml"],
        &["survey", "new.toml", "marks.csv"],
    ];
    let said = || lines.map(|l| run(at, l)).map(|o| (code(&o), stdout(&o).to_owned(), stderr(&o).to_owned()));
    let alone = said();
    for verb in ["build", "lists", "marks", "report"] {
        assert!(code(&run(at, &[verb, "old.toml", "--out", "out/new"])) < 2, "{verb}");
    }
    // Every second one is of nobody.
    for name in names(&at.join("out/new")).iter().step_by(2) {
        std::fs::write(at.join("out/new").join(name), "nobody's").unwrap();
    }
    assert_eq!(said(), alone);
}

#[test]
fn a_plan_file_of_somebody_else_is_left_alone() {
    let folder = folder(&[("roof.toml", &quiet())]);
    let at = folder.path();
    std::fs::create_dir(at.join("o")).unwrap();
    std::fs::write(at.join("o/plan.json"), "{\"mine\": 1}").unwrap();
    refused(&run(at, &["build", "roof.toml", "--out", "o"]), "o/plan.json was not written by this program");
    assert_eq!(names(&at.join("o")), ["plan.json"]);
}

#[test]
fn files_that_are_no_design_are_told() {
    let folder = folder(&[("empty.toml", ""), ("blank.toml", "\n\n"), ("text.toml", "Dear builder,\n")]);
    let at = folder.path();
    std::fs::write(at.join("latin.toml"), b"format = 1\nname = \"caf\xe9\"\n").unwrap();
    std::fs::write(at.join("zero.toml"), b"format = 1\n\0\0").unwrap();
    std::fs::write(at.join("binary.toml"), [0xff, 0xfe, 0x00, 0x01]).unwrap();
    std::fs::write(at.join("marked.toml"), "\u{feff}zzzz = 1\n").unwrap();
    std::fs::create_dir(at.join("folder.toml")).unwrap();
    for verb in ["check", "build"] {
        refused(&run(at, &[verb, "missing.toml"]), "cannot read missing.toml");
        refused(&run(at, &[verb, "folder.toml"]), "is a folder");
        refused(&run(at, &[verb, "empty.toml"]), "empty.toml line 1, column 1");
        refused(&run(at, &[verb, "blank.toml"]), "blank.toml line 1, column 1");
        refused(&run(at, &[verb, "text.toml"]), "not TOML");
        refused(&run(at, &[verb, "zero.toml"]), "zero.toml line 2");
        refused(&run(at, &[verb, "binary.toml"]), "binary.toml line 1, column 1");
        // Nobody sees a byte order mark, and no column counts it.
        refused(&run(at, &[verb, "marked.toml"]), "marked.toml line 1, column 1, key zzzz");
        // The fault points at the byte.
        refused(&run(at, &[verb, "latin.toml"]), "latin.toml line 2, column 12");
    }
    assert!(!at.join("out").exists(), "nothing is written for a design that is none");
}

/// Every byte of a design that is no UTF-8 is told in one run, with its line and its column.
#[test]
fn every_byte_of_a_design_that_is_no_text_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("latin.toml"), b"name = \"caf\xe9\"\nabout = \"\xbd in, \xbc in\"\n").unwrap();
    let out = run(at, &["check", "latin.toml"]);
    for place in ["line 1, column 12", "line 2, column 10", "line 2, column 16", "save it as UTF-8", "3 faults"] {
        refused(&out, place);
    }
    let wide: Vec<u8> = "\u{feff}name = \"x\"\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    std::fs::write(at.join("wide.toml"), wide).unwrap();
    let out = run(at, &["check", "wide.toml"]);
    refused(&out, "UTF-16");
    refused(&out, "1 fault in");
    // A page of bytes that are none is told in few lines.
    std::fs::write(at.join("page.toml"), [0xe9_u8; 5_000]).unwrap();
    let out = run(at, &["check", "page.toml"]);
    refused(&out, "more faults are not listed");
    assert!(stderr(&out).lines().count() < 1_500, "{}", stderr(&out).lines().count());
}

/// Tables as older spreadsheets save them: Windows-1252 and UTF-16, read and said so. 0x96 is a dash and 0xBD a half in
/// Windows-1252 (WHATWG Encoding Standard, index windows-1252).
#[test]
fn tables_in_other_encodings_are_read_and_it_is_said() {
    let rows = |half: &str| {
        format!("kind,of,place,measure,from,note\ncentre,S-R03,6,49{half},S.4,Kn\u{fc}ppel \u{2013} \u{152}\n")
    };
    let folder = folder(&[("shed.toml", common::SHED), ("utf8.csv", &rows("\u{bd}"))]);
    let at = folder.path();
    let latin: Vec<u8> = rows("\u{bd}")
        .chars()
        .map(|c| match c {
            '\u{2013}' => 0x96,
            '\u{152}' => 0x8c,
            c => u8::try_from(u32::from(c)).unwrap(),
        })
        .collect();
    std::fs::write(at.join("latin.csv"), latin).unwrap();
    let wide = format!("\u{feff}{}", rows("\u{bd}"));
    std::fs::write(at.join("le.csv"), wide.encode_utf16().flat_map(u16::to_le_bytes).collect::<Vec<u8>>()).unwrap();
    std::fs::write(at.join("be.csv"), wide.encode_utf16().flat_map(u16::to_be_bytes).collect::<Vec<u8>>()).unwrap();
    let survey = |table: &str| {
        let out = run(at, &["survey", "shed.toml", table]);
        assert_eq!(code(&out), 0, "{table}: {}{}", stdout(&out), stderr(&out));
        (stdout(&out).to_owned(), stderr(&out).to_owned())
    };
    let (plain, said) = survey("utf8.csv");
    assert!(plain.contains("S-R03") && said.is_empty(), "{plain}{said}");
    for (table, encoding) in [("latin.csv", "Windows-1252"), ("le.csv", "UTF-16"), ("be.csv", "UTF-16")] {
        let (text, said) = survey(table);
        assert_eq!(text, plain, "{table}");
        assert!(said.contains(&format!("note: {table} is not UTF-8; it is read as {encoding}")), "{said}");
    }
    // A drive log too, by every verb that takes one.
    assert_eq!(code(&run(at, &["log", "shed.toml", "--blank", "form.csv"])), 0);
    let form = std::fs::read(at.join("form.csv")).unwrap();
    std::fs::write(at.join("form.csv"), [b"# bei \xfcber 5 mm\n".as_slice(), &form].concat()).unwrap();
    for arguments in [&["log", "shed.toml", "form.csv"][..], &["check", "shed.toml", "--log", "form.csv"]] {
        let out = run(at, arguments);
        assert_eq!(code(&out), 0, "{}{}", stdout(&out), stderr(&out));
        assert!(stderr(&out).contains("form.csv is not UTF-8; it is read as Windows-1252"), "{}", stderr(&out));
    }
}

/// A found file is no design: it is said what it is and how it is used.
#[test]
fn a_found_file_given_as_the_design_is_told() {
    let found = "# Airlath found file\n[[found.member]]\nname = \"S-R03\"\nmissing = true\n";
    let folder = folder(&[("roof.found.toml", found), ("mine.toml", found), ("m.csv", "kind,of\n")]);
    let at = folder.path();
    let out = run(at, &["check", "roof.found.toml"]);
    refused(&out, "roof.found.toml is a found file, no design");
    refused(&out, "airlath check roof.toml --found roof.found.toml");
    assert!(!stderr(&out).contains("missing"), "{}", stderr(&out));
    refused(&run(at, &["lists", "mine.toml"]), "airlath check roof.toml --found mine.toml");
    refused(&run(at, &["survey", "roof.found.toml", "m.csv"]), "is a found file, no design");
}

#[test]
fn a_byte_order_mark_and_line_ends_of_another_system_change_nothing() {
    let text = example("shed");
    let marked = format!("\u{feff}{text}");
    let carriage = text.replace('\n', "\r\n");
    let folder = folder(&[("roof.toml", &text), ("marked.toml", &marked), ("carriage.toml", &carriage)]);
    let at = folder.path();
    for name in ["roof", "marked", "carriage"] {
        assert_eq!(code(&run(at, &["build", &format!("{name}.toml"), "--out", name])), 1, "{name}");
    }
    assert_eq!(tree(&at.join("marked")), tree(&at.join("roof")));
    assert_eq!(tree(&at.join("carriage")), tree(&at.join("roof")));
}

#[test]
fn a_file_past_any_design_is_refused_at_once() {
    let folder = folder(&[("big.toml", &"# filler\n".repeat(600_000))]);
    refused(&run(folder.path(), &["check", "big.toml"]), "at most");
}

#[test]
fn a_closed_pipe_is_success() {
    let folder = folder(&[("roof.toml", &example("gable"))]);
    for arguments in [
        &["check", "roof.toml"][..],
        &["build", "roof.toml"],
        &["marks", "roof.toml"],
        &["explain"],
        &["schema"],
        &["manual"],
        &["completions", "bash"],
        &["new", "new.toml"],
        &["--help"],
    ] {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let child = std::process::Command::new(env!("CARGO_BIN_EXE_airlath"))
            .current_dir(folder.path())
            .args(arguments)
            .stdout(Stdio::from(writer))
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let out = child.wait_with_output().unwrap();
        assert_eq!((code(&out), stderr(&out)), (0, ""), "{arguments:?}");
    }
    // What was asked for is done all the same.
    assert!(folder.path().join("out/roof/model.glb").exists());
    assert!(folder.path().join("new.toml").exists());
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    for name in EXAMPLES {
        let (a, b) = (folder(&[("roof.toml", &example(name))]), folder(&[("roof.toml", &example(name))]));
        let (first, second) =
            (run(a.path(), &["build", "--layers", "roof.toml"]), run(b.path(), &["build", "--layers", "roof.toml"]));
        assert_eq!(stdout(&first), stdout(&second), "{name}");
        assert_eq!(tree(a.path()), tree(b.path()), "{name}");
        // Over an earlier output, too.
        let before = tree(a.path());
        run(a.path(), &["build", "--layers", "roof.toml"]);
        assert_eq!(tree(a.path()), before, "{name}");
    }
}

#[test]
fn completions_and_manual_print_something() {
    let folder = tempfile::tempdir().unwrap();
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let out = run(folder.path(), &["completions", shell]);
        assert_eq!(code(&out), 0);
        for verb in ["build", "check", "explain", "schema"] {
            assert!(stdout(&out).contains(verb), "{shell}: {verb}");
        }
    }
    let manual = run(folder.path(), &["manual"]);
    assert_eq!(code(&manual), 0);
    assert!(stdout(&manual).contains(".TH airlath") && stdout(&manual).contains("build"), "{}", stdout(&manual));
}

fn schema(of: &str) -> serde_json::Value {
    let out = airlath().args(["schema", "--of", of]).output().unwrap();
    serde_json::from_slice(&out.stdout).unwrap()
}

fn assert_valid(validator: &jsonschema::Validator, value: &serde_json::Value, what: &str) {
    let errors: Vec<String> =
        validator.iter_errors(value).map(|e| format!("{}: {e}", e.instance_path())).take(5).collect();
    assert!(errors.is_empty(), "{what}: {errors:#?}");
}

#[test]
fn examples_and_starters_follow_the_schema_of_designs() {
    let default = airlath().arg("schema").output().unwrap().stdout;
    assert_eq!(serde_json::from_slice::<serde_json::Value>(&default).unwrap(), schema("design"));
    let validator = jsonschema::validator_for(&schema("design")).unwrap();
    let json = |text: &str| serde_json::to_value(text.parse::<toml::Table>().unwrap()).unwrap();
    for name in EXAMPLES {
        assert_valid(&validator, &json(&example(name)), name);
    }
    for (shape, units) in STARTERS {
        assert_valid(&validator, &json(&starter(shape, units)), &format!("{shape}-{units}"));
    }
    // The schema refuses what the reader refuses.
    let shed = example("shed");
    for (from, to) in [
        ("eave = \"6000 mm\"", "eave = 6000"),
        ("shape = \"shed\"", "shape = \"tent\""),
        ("[fastening]", "[fastenings]"),
        ("hold_back = \"15 mm\"", "holdback = \"15 mm\""),
        ("close = true", "close = \"true\""),
    ] {
        let wrong = edited(&shed, from, to);
        assert!(!validator.is_valid(&json(&wrong)), "{to} follows the schema");
        assert!(common::run(&wrong).is_err(), "{to} is read");
    }
}

#[test]
fn reports_follow_the_schema_of_findings() {
    let validator = jsonschema::validator_for(&schema("findings")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    for name in EXAMPLES {
        let design = example_path(name).display().to_string();
        run(folder.path(), &["build", &design]);
        let report = std::fs::read(folder.path().join(format!("out/{name}/findings.json"))).unwrap();
        let mut report: serde_json::Value = serde_json::from_slice(&report).unwrap();
        assert_valid(&validator, &report, name);
        let count = report["landings"].as_array().unwrap().len();
        assert_eq!(report["landing_count"], count, "{name}");
        assert!(count > 100, "{name}");
        report.as_object_mut().unwrap().remove("scope");
        assert!(!validator.is_valid(&report), "a report without a scope line follows the schema");
    }
}

/// Lists of the air are there where the weather is stated, and do not stay behind where it is no more.
#[test]
fn lists_of_the_air_come_and_go_with_the_weather() {
    let air = "[air]\noutside = \"0 C\"\nlattice = \"5 C\"\nfree_area = { eave = \"90 cm2/m\", top = \"90 cm2/m\" }\n";
    let folder = folder(&[("quiet.toml", &quiet()), ("windy.toml", &(quiet() + air))]);
    let at = folder.path();
    let there = |name: &str| at.join("out").join(name).exists();
    assert_eq!(code(&run(at, &["build", "windy.toml", "--out", "out"])), 0);
    assert!(there("air-cells.csv") && there("air-links.csv") && there("findings.json"));
    let out = run(at, &["air", "windy.toml"]);
    assert!(stdout(&out).contains("What holds in which case"), "{}", stdout(&out));
    assert!(stdout(&out).contains("times what the better one of them carries alone"), "{}", stdout(&out));
    assert_eq!(code(&run(at, &["build", "quiet.toml", "--out", "out"])), 0);
    assert!(!there("air-cells.csv") && !there("air-links.csv") && there("findings.json"));
}

/// Runs a line of shell on a real terminal of so many columns, and gives what reached it.
#[cfg(target_os = "linux")]
fn on_a_terminal(at: &Path, columns: usize, arguments: &str) -> String {
    let line = format!("stty cols {columns} rows 40; exec {} {arguments}", env!("CARGO_BIN_EXE_airlath"));
    let mut script = std::process::Command::new("script");
    script.current_dir(at).env("TERM", "xterm").env("SHELL", "/bin/sh").env_remove("NO_COLOR").env_remove("COLUMNS");
    let out = script.args(["-qec", &line, "/dev/null"]).stdin(Stdio::null()).output().unwrap();
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(text.len() > 30, "{text}");
    text
}

/// Names, notes and file names that give orders to a terminal: colours, a new title, a cleared screen, writing backwards.
#[cfg(target_os = "linux")]
#[test]
fn no_text_gives_orders_to_a_terminal() {
    let orders = "\\u001b]0;owned\\u0007 \\u001b[2J \\u009b31m \\u202egnp.\\u0008\\u007f";
    let named = |text: String| {
        let name = text.lines().find(|l| l.starts_with("name = ")).unwrap().to_owned();
        text.replacen(&name, &format!("name = \"{orders}\""), 1)
    };
    let raw = "\u{1b}[2J\u{9b}31m\u{202e}";
    let odd = format!("{raw}.toml");
    let faulty = format!("format = 1\nname = \"{orders}\"\n\"{orders}\" = 1\n# {raw}\n");
    let folder = folder(&[("roof.toml", &named(example("gable"))), (&odd, &named(quiet())), ("faulty.toml", &faulty)]);
    let at = folder.path();
    let quoted = format!("'{odd}'");
    for arguments in [
        "check roof.toml".to_owned(),
        "build roof.toml".into(),
        "lists roof.toml".into(),
        "marks roof.toml".into(),
        "air roof.toml".into(),
        "log roof.toml --blank form.csv".into(),
        "log roof.toml form.csv".into(),
        "check faulty.toml".into(),
        format!("check {quoted}"),
        format!("build {quoted}"),
        format!("check missing-{quoted}"),
        format!("check roof.toml {quoted}"),
        format!("log roof.toml {quoted}"),
        format!("explain {quoted}"),
        format!("explain {quoted} roof.toml"),
        format!("new {quoted}"),
        format!("survey roof.toml roof.toml --error {quoted}"),
    ] {
        let text = on_a_terminal(at, 100, &arguments);
        // What is left of escapes is the program's own colours and its own sign of life, in ASCII.
        let mut rest = text.as_str();
        while let Some(esc) = rest.find('\u{1b}') {
            rest = &rest[esc + 1..];
            let order: String = rest.chars().take_while(|c| !c.is_ascii_alphabetic()).collect();
            let last = rest.chars().nth(order.chars().count());
            let own = order.starts_with('[') && matches!(last, Some('m')) && !order.contains("31m");
            let of_life = rest.starts_with("[2K") || rest.starts_with("[1A") || rest.starts_with("[?25");
            assert!(own || of_life, "{arguments}: {rest:?}");
        }
        for c in ['\u{9b}', '\u{202e}', '\u{7}', '\u{8}', '\u{7f}'] {
            assert!(!text.contains(c), "{arguments}: {c:?} in {text:?}");
        }
        assert!(!text.contains("\u{1b}[2J"), "{arguments}");
    }
}

/// Some terminals say that they have no columns.
#[cfg(target_os = "linux")]
#[test]
fn a_terminal_without_columns_shows_whole_words() {
    let folder = folder(&[("roof.toml", &example("gable"))]);
    for columns in [0, 1, 20] {
        for (arguments, words) in
            [("check roof.toml", "what, and what helps"), ("--help", "Check a design and write the")]
        {
            let text = on_a_terminal(folder.path(), columns, arguments);
            assert!(text.contains(words), "{columns} columns, {arguments}: {text}");
        }
    }
    let help = airlath().env("COLUMNS", "0").arg("--help").output().unwrap();
    assert!(stdout(&help).contains("Check a design and write"), "{}", stdout(&help));
}

/// Rows of a log that count for nothing, or not for all that was written, are each told, by every verb that reads it.
#[test]
fn rows_of_a_log_that_count_for_nothing_are_told() {
    let folder = folder(&[("roof.toml", &quiet())]);
    let at = folder.path();
    assert_eq!(code(&run(at, &["log", "roof.toml", "--blank", "form.csv"])), 0);
    let form = std::fs::read_to_string(at.join("form.csv")).unwrap();
    let clean = run(at, &["log", "roof.toml", "form.csv"]);
    assert!(!stdout(&clean).contains("to look at"), "{}", stdout(&clean));
    let mut rows: Vec<String> = form.lines().map(str::to_owned).collect();
    let heading = rows.iter().position(|r| r.starts_with("plan,")).unwrap();
    rows.push(rows[heading + 1].clone());
    rows.push(format!("\"#{}", rows[heading + 2].replacen(',', "\",", 1)));
    let cut: Vec<&str> = rows[heading + 3].split(',').take(4).collect();
    rows[heading + 3] = cut.join(",");
    std::fs::write(at.join("form.csv"), rows.join("\r\n")).unwrap();
    for verb in ["log", "check", "build", "lists", "marks", "report"] {
        let log = if verb == "log" {
            vec![verb, "roof.toml", "form.csv"]
        } else {
            vec![verb, "roof.toml", "--log", "form.csv"]
        };
        let out = run(at, &log);
        let text = stdout(&out);
        let n = rows.len();
        assert!(text.contains("Rows of the log to look at"), "{verb}: {text}{}", stderr(&out));
        assert!(
            text.contains(&format!("row {} says the same as row {} and counts once", n - 1, heading + 2)),
            "{text}"
        );
        assert!(text.contains(&format!("row {n} begins with # and is left out")), "{text}");
        assert!(text.contains(&format!("row {} ends after 4 of", heading + 4)), "{text}");
    }
}

/// Whoever gets the program can read whose the typeface and the libraries in it are; the list is that of Cargo.lock.
#[cfg(target_os = "linux")]
#[test]
fn licences_are_printed_for_everything_that_is_linked() {
    let folder = tempfile::tempdir().unwrap();
    let out = run(folder.path(), &["explain", "licences"]);
    assert_eq!(code(&out), 0);
    let text = stdout(&out);
    for words in
        ["MIT License", "Bitstream Vera", "Apache License", "Permission is hereby granted", "UNICODE LICENSE V3"]
    {
        assert!(text.contains(words), "{words}");
    }
    let mut cargo = std::process::Command::new(std::env::var("CARGO").unwrap_or_else(|_| "cargo".into()));
    cargo.current_dir(env!("CARGO_MANIFEST_DIR")).args(["metadata", "--locked", "--offline", "--format-version", "1"]);
    let metadata = cargo.args(["--filter-platform", "x86_64-unknown-linux-gnu"]).output().unwrap();
    assert!(metadata.status.success(), "{}", String::from_utf8_lossy(&metadata.stderr));
    let data: serde_json::Value = serde_json::from_slice(&metadata.stdout).unwrap();
    let nodes: BTreeMap<&str, &serde_json::Value> =
        data["resolve"]["nodes"].as_array().unwrap().iter().map(|n| (n["id"].as_str().unwrap(), n)).collect();
    let root = data["resolve"]["root"].as_str().unwrap();
    let (mut linked, mut open) = (std::collections::BTreeSet::new(), vec![root]);
    while let Some(id) = open.pop() {
        if linked.insert(id) {
            let of_program =
                |d: &&serde_json::Value| d["dep_kinds"].as_array().unwrap().iter().any(|k| k["kind"].is_null());
            let deps = nodes[id]["deps"].as_array().unwrap().iter().filter(of_program);
            open.extend(deps.map(|d| d["pkg"].as_str().unwrap()));
        }
    }
    linked.remove(root);
    let packages = data["packages"].as_array().unwrap().iter().filter(|p| linked.contains(p["id"].as_str().unwrap()));
    let word = |v: &serde_json::Value| v.as_str().unwrap().to_owned();
    let mut expected: Vec<String> =
        packages.map(|p| format!("{} {}: {};", word(&p["name"]), word(&p["version"]), word(&p["license"]))).collect();
    let rows: Vec<&str> = text.lines().filter(|l| l.contains("; taken under ")).collect();
    let mut listed: Vec<String> =
        rows.iter().map(|l| l.split_inclusive("; ").next().unwrap().trim_end().to_owned()).collect();
    expected.sort();
    listed.sort();
    assert!(expected.len() > 150, "{} libraries", expected.len());
    assert_eq!(listed, expected, "run python3 .ci/licences.py");
}
