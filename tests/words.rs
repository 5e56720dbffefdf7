//! Words: three that no output may hold, as they would promise what no layout check can; and what README and pages name exists.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeMap;
use std::path::Path;

use crate::common::{EXAMPLES, STARTERS, airlath, example_path};

const FORBIDDEN: [&str; 4] = ["safe", "ok", "okay", "approved"];
const VERBS: [&str; 16] = [
    "build",
    "check",
    "log",
    "survey",
    "marks",
    "air",
    "lists",
    "sheets",
    "report",
    "new",
    "explain",
    "fix",
    "weakest",
    "schema",
    "completions",
    "manual",
];

/// Forbidden words in a text, each with what stands round it.
fn forbidden(text: &str) -> Vec<String> {
    let mut hits = Vec::new();
    for line in text.lines() {
        for word in line.split(|c: char| !c.is_alphanumeric() && c != '_') {
            if FORBIDDEN.iter().any(|f| f.eq_ignore_ascii_case(word)) {
                hits.push(format!("{word:?} in {line:?}"));
            }
        }
    }
    hits
}

/// Output by where it came from.
#[derive(Default)]
struct Outputs(BTreeMap<String, String>);

impl Outputs {
    fn put(&mut self, from: String, text: &str) {
        assert!(!text.trim().is_empty(), "{from}: nothing was put out");
        assert!(self.0.insert(from.clone(), text.to_owned()).is_none(), "{from} twice");
    }

    /// Runs the program in a folder and keeps what it prints. Relative paths only: a temporary folder's name is random.
    fn run(&mut self, folder: &Path, arguments: &[&str]) {
        let out = airlath().current_dir(folder).args(arguments).output().unwrap();
        assert!(out.status.code().is_some_and(|c| c <= 2), "{arguments:?}: {:?}", out.status);
        let text = format!("{}{}", String::from_utf8(out.stdout).unwrap(), String::from_utf8(out.stderr).unwrap());
        self.put(arguments.join(" "), &text);
    }

    /// All texts of a JSON value, keys too.
    fn json(&mut self, from: String, bytes: &[u8]) {
        let value: serde_json::Value = serde_json::from_slice(bytes).unwrap();
        let mut texts = String::new();
        gather(&value, &mut texts);
        self.put(from, &texts);
    }

    fn folder(&mut self, folder: &Path, name: &str) {
        let mut entries: Vec<_> = std::fs::read_dir(folder.join(name)).unwrap().map(|e| e.unwrap()).collect();
        entries.sort_by_key(std::fs::DirEntry::file_name);
        let mut kinds: Vec<String> = Vec::new();
        for entry in entries {
            let file = entry.file_name().into_string().unwrap();
            let bytes = std::fs::read(entry.path()).unwrap();
            let from = format!("{name}/{file}");
            kinds.push(file.rsplit('.').next().unwrap().to_owned());
            match kinds.last().unwrap().as_str() {
                "json" => self.json(from, &bytes),
                "csv" => self.put(from, std::str::from_utf8(&bytes).unwrap()),
                "glb" => {
                    // Header of 12 bytes, then the JSON chunk: its length, its type, its text.
                    let length = u32::from_le_bytes(bytes[12..16].try_into().unwrap()) as usize;
                    assert_eq!(&bytes[16..20], b"JSON");
                    self.json(from, &bytes[20..20 + length]);
                }
                // The first 80 bytes of a binary STL are free text.
                "stl" => self.put(from, &String::from_utf8_lossy(&bytes[..80])),
                other => panic!("{from}: {other} is looked at by nobody"),
            }
        }
        for kind in ["json", "csv", "glb", "stl"] {
            assert!(kinds.iter().any(|k| k == kind), "{name}: no {kind} file");
        }
    }

    fn check(&self) {
        let hits: Vec<String> = self
            .0
            .iter()
            .flat_map(|(from, text)| forbidden(text).into_iter().map(move |h| format!("{from}: {h}")))
            .collect();
        assert!(hits.is_empty(), "{}", hits.join("\n"));
    }
}

fn gather(value: &serde_json::Value, texts: &mut String) {
    match value {
        serde_json::Value::String(s) => {
            texts.push_str(s);
            texts.push('\n');
        }
        serde_json::Value::Array(all) => all.iter().for_each(|v| gather(v, texts)),
        serde_json::Value::Object(all) => {
            for (key, v) in all {
                texts.push_str(key);
                texts.push('\n');
                gather(v, texts);
            }
        }
        _ => {}
    }
}

#[test]
fn the_search_finds_what_it_looks_for() {
    for text in ["this is safe.", "OK", "(approved)", "all okay!", "Safe-looking"] {
        assert_eq!(forbidden(text).len(), 1, "{text}");
    }
    for text in ["unsafe", "book", "token", "disapproved", "safety", "approval", "o k"] {
        assert_eq!(forbidden(text), Vec::<String>::new(), "{text}");
    }
    let mut texts = String::new();
    gather(&serde_json::json!({"a": ["x\nok", {"approved": 1}]}), &mut texts);
    assert_eq!(forbidden(&texts).len(), 2);
}

#[test]
fn no_example_says_them() {
    let folder = tempfile::tempdir().unwrap();
    let mut outputs = Outputs::default();
    for name in EXAMPLES {
        let design = format!("{name}.toml");
        std::fs::copy(example_path(name), folder.path().join(&design)).unwrap();
        outputs.run(folder.path(), &["build", "--layers", &design]);
        outputs.run(folder.path(), &["check", &design]);
        outputs.run(folder.path(), &["marks", &design]);
        outputs.folder(folder.path(), &format!("out/{name}"));
        outputs.run(folder.path(), &["lists", &design, "--out", "lists"]);
        for list in ["cut-list.csv", "buying-list.csv", "order-of-work.csv"] {
            let text = std::fs::read_to_string(folder.path().join("lists").join(list)).unwrap();
            outputs.put(format!("{name}: {list}"), &text);
        }
    }
    assert!(outputs.0.len() > 4 * 14);
    outputs.check();
}

#[test]
fn no_sheet_and_no_report_says_them() {
    let folder = tempfile::tempdir().unwrap();
    let mut outputs = Outputs::default();
    for name in EXAMPLES {
        let design = format!("{name}.toml");
        std::fs::copy(example_path(name), folder.path().join(&design)).unwrap();
        outputs.run(folder.path(), &["sheets", &design, "--out", name]);
        outputs.run(folder.path(), &["report", &design, "--out", name]);
        let mut texts = 0;
        for entry in std::fs::read_dir(folder.path().join(name)).unwrap() {
            let path = entry.unwrap().path();
            // The PDF and the pictures show the same texts.
            if path.extension().is_some_and(|e| e == "svg" || e == "html") {
                outputs.put(
                    path.file_name().unwrap().to_string_lossy().into_owned() + name,
                    &std::fs::read_to_string(&path).unwrap(),
                );
                texts += 1;
            }
        }
        assert!(texts > 5, "{name}: {texts}");
    }
    outputs.check();
}

#[test]
fn no_starter_says_them() {
    let folder = tempfile::tempdir().unwrap();
    let mut outputs = Outputs::default();
    for (shape, units) in STARTERS {
        let (name, design) = (format!("{shape}-{units}"), format!("{shape}-{units}.toml"));
        outputs.run(folder.path(), &["new", &design, "--shape", shape, "--units", units]);
        outputs.run(folder.path(), &["new", &design]);
        outputs.put(format!("text of {design}"), &std::fs::read_to_string(folder.path().join(&design)).unwrap());
        outputs.run(folder.path(), &["build", &design]);
        outputs.folder(folder.path(), &format!("out/{name}"));
    }
    outputs.check();
}

#[test]
fn no_page_help_schema_or_manual_says_them() {
    let folder = tempfile::tempdir().unwrap();
    let mut outputs = Outputs::default();
    for arguments in [&["help"][..], &["-h"], &["--help"], &["--version"], &["explain"], &["manual"], &[]] {
        outputs.run(folder.path(), arguments);
    }
    for verb in VERBS {
        for help in [[verb, "-h"], [verb, "--help"], ["help", verb]] {
            outputs.run(folder.path(), &help);
        }
    }
    for check in airlath::check::CHECKS {
        outputs.run(folder.path(), &["explain", check.name]);
    }
    for of in ["design", "findings"] {
        outputs.run(folder.path(), &["schema", "--of", of]);
        let schema = airlath().args(["schema", "--of", of]).output().unwrap().stdout;
        outputs.json(format!("texts of the schema of {of}"), &schema);
    }
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        outputs.run(folder.path(), &["completions", shell]);
    }
    outputs.check();
}

#[test]
fn no_fault_says_them() {
    let folder = tempfile::tempdir().unwrap();
    let mut outputs = Outputs::default();
    let faulty = "format = 2\nunits = \"yards\"\nnme = 3\n[roof]\nshape = \"tent\"\neave = 12\npitch = \"99 deg\"\n\
                  [[rafters]]\nsection = {}\n[lattice]\nbatten = 1\n[[slope]]\n[[laid]]\n";
    std::fs::write(folder.path().join("faulty.toml"), faulty).unwrap();
    std::fs::write(folder.path().join("broken.toml"), "name = \n[[[").unwrap();
    std::fs::write(folder.path().join("empty.toml"), "").unwrap();
    std::fs::write(folder.path().join("latin.toml"), b"name = \"caf\xe9\"\n").unwrap();
    for design in ["faulty.toml", "broken.toml", "empty.toml", "latin.toml", "nowhere.toml", "."] {
        outputs.run(folder.path(), &["check", design]);
    }
    for wrong in
        [&["explain", "landing"][..], &["explain", "zzz"], &["build"], &["chek", "x"], &["check", "--level", "x", "y"]]
    {
        outputs.run(folder.path(), wrong);
    }
    outputs.check();
}

/// What a key is without its brackets, numbers and value: `edge[1].hold_back` is `edge.hold_back`.
fn bare(token: &str) -> String {
    let key = token.split(" = ").next().unwrap_or(token).trim_matches(['[', ']']);
    key.chars().filter(|c| !c.is_ascii_digit() && !"[]".contains(*c)).collect()
}

/// What stands between grave accents in a text.
fn quoted(text: &str) -> Vec<&str> {
    text.lines().flat_map(|l| l.split('`').skip(1).step_by(2)).collect()
}

/// README, the notes for contributors and the pages name no key and no check that there is not, and every command; the
/// README's table of `[air]` has every key of that table and no other; `explain keys` prints every key.
#[test]
fn what_is_written_of_keys_checks_and_commands_is_true() {
    let listed = airlath::design::listed_keys();
    assert!(listed.iter().all(|(_, said)| !said.contains("null")), "a key cannot be null");
    let keys: Vec<String> = listed.into_iter().map(|k| k.0).collect();
    assert!(keys.len() > 200 && keys.iter().any(|k| k == "air.free_area.eave"), "{}", keys.len());
    let schema = airlath::design::schema();
    let tops: Vec<&String> = schema["properties"].as_object().unwrap().keys().collect();
    assert!(tops.iter().all(|t| keys.contains(t)));
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| std::fs::read_to_string(root.join(name)).unwrap();
    let readme = read("README.md");
    let mut texts = vec![("README.md", readme.clone()), ("DEVELOPERS.md", read("DEVELOPERS.md"))];
    texts.extend(airlath::check::CHECKS.iter().map(|c| (c.name, c.page.to_owned())));
    // Files that are named as keys would be, and an outcome of a drive log.
    let others = ["joints.toml", "roof.found.toml", "pre-drilled"];
    let (mut seen_keys, mut seen_checks) = (0, 0);
    for (from, text) in &texts {
        for token in quoted(text).into_iter().filter(|t| !others.contains(t)) {
            let key = bare(token);
            let is_key = key.chars().all(|c| c.is_ascii_lowercase() || "._".contains(c));
            if is_key && key.contains('.') && tops.iter().any(|t| key.split('.').next() == Some(t.as_str())) {
                assert!(keys.contains(&key), "{from}: there is no key {token}");
                seen_keys += 1;
            }
            let is_name = token.contains('-') && token.chars().all(|c| c.is_ascii_lowercase() || c == '-');
            if is_name && !token.starts_with('-') && !token.ends_with('-') {
                assert!(airlath::check::CHECKS.iter().any(|c| c.name == token), "{from}: there is no check {token}");
                seen_checks += 1;
            }
        }
    }
    assert!(seen_keys > 20 && seen_checks > 5, "{seen_keys} {seen_checks}");
    for verb in VERBS {
        assert!(readme.contains(&format!("airlath {verb}")), "README.md: no {verb}");
    }
    let table = readme.split("| in `[air]` |").nth(1).unwrap().split("\n\n").next().unwrap();
    let mut written: Vec<String> = table
        .lines()
        .filter_map(|l| l.strip_prefix("| ")?.split('|').next())
        .flat_map(|cell| {
            quoted(cell).into_iter().map(|t| bare(t).trim_start_matches("air.").to_owned()).collect::<Vec<_>>()
        })
        .collect();
    let mut there: Vec<String> =
        keys.iter().filter_map(|k| k.strip_prefix("air.")).filter(|k| !k.contains('.')).map(str::to_owned).collect();
    written.sort();
    there.sort();
    assert_eq!(written, there);
    let printed = String::from_utf8(airlath().args(["explain", "keys"]).output().unwrap().stdout).unwrap();
    let lines: Vec<&str> = printed.lines().collect();
    for key in &keys {
        let at = lines.iter().position(|l| l == key).unwrap_or_else(|| panic!("no {key}"));
        assert!(lines[at + 1].trim().len() > 3, "{key} says nothing");
    }
}

/// README shows tails, and the plan of what it shows has them beside its rafters.
#[test]
fn readme_shows_tails_beside_rafters() {
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let blocks: Vec<&str> = readme.split("```toml\n").skip(1).map(|b| b.split("```").next().unwrap()).collect();
    let tails = blocks.iter().find(|b| b.contains("[[tails]]")).expect("a block with tails");
    let plan = airlath::plan::Plan::from_text("readme.toml", &format!("{}\n{tails}", blocks[0])).expect("no fault");
    let of = |kind| plan.drawn.members.iter().filter(move |m| m.kind == kind);
    use airlath::design::MemberKind::{Rafter, Tail};
    let x = |m: &airlath::structure::Member| m.pose.translation.vector.x;
    assert!(of(Tail).count() > 5);
    for tail in of(Tail) {
        let beside = of(Rafter).any(|r| {
            let apart = (x(tail) - x(r)).abs();
            (apart - (tail.section.width().metres() + r.section.width().metres()) / 2.0).abs() < 2e-3
        });
        assert!(beside, "{} stands beside no rafter", tail.name);
    }
}

/// What README prints of the design file is one: its shed by itself, each further table at the end of that shed.
#[test]
fn the_tables_in_readme_are_a_design() {
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let blocks: Vec<&str> = readme.split("```toml\n").skip(1).map(|b| b.split("```").next().unwrap()).collect();
    assert!(blocks.len() >= 5, "{}", blocks.len());
    assert!(readme.contains(&format!("{} lines:", blocks[0].lines().count())));
    for (k, block) in blocks.iter().enumerate() {
        let text = if k == 0 { (*block).to_owned() } else { format!("{}\n{block}", blocks[0]) };
        let plan =
            airlath::plan::Plan::from_text("readme.toml", &text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        assert!(plan.lattice.slopes.iter().all(|s| s.courses.len() > 5));
    }
}

/// Every file of tests is in one of the three programs: a file that none names would be neither built nor run.
#[test]
fn every_file_of_tests_is_in_one_program() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let read = |path: &str| std::fs::read_to_string(root.join(path)).unwrap();
    let modules = |path: &str| -> Vec<String> {
        read(path).lines().filter_map(|l| Some(l.strip_prefix("mod ")?.strip_suffix(';')?.to_owned())).collect()
    };
    let manifest: toml::Table = read("Cargo.toml").parse().unwrap();
    let named = manifest["test"].as_array().unwrap().iter().map(|t| t["name"].as_str().unwrap().to_owned());
    let mut programs: Vec<String> = named.collect();
    let mut within: Vec<String> = programs.iter().flat_map(|p| modules(&format!("tests/{p}.rs"))).collect();
    within.retain(|m| m != "common");
    programs.append(&mut within);
    programs.extend(modules("tests/checks/mod.rs").into_iter().map(|m| format!("checks/{m}")));
    let mut there: Vec<String> = ["", "checks/"]
        .iter()
        .flat_map(|folder| {
            let entries = std::fs::read_dir(root.join("tests").join(folder)).unwrap();
            entries.map(move |e| format!("{folder}{}", e.unwrap().file_name().to_str().unwrap()))
        })
        .filter_map(|name| if name == "checks" { Some(name) } else { Some(name.strip_suffix(".rs")?.to_owned()) })
        .filter(|name| name != "checks/mod")
        .collect();
    programs.sort();
    there.sort();
    assert_eq!(programs, there);
}
