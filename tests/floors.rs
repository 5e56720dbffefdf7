//! The floors of the house: each module of `src` imports only from floors before it.
//!
//! Files are read as the compiler's words, not as text: comments, strings and test modules do not count, paths in macros do.
//! Every path is followed to the crate's root, whether it begins with `crate`, `self` or `super`, stands in a group, or is
//! given another name; nothing at the root but its modules may be named, so nothing comes by way of a re-export there.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use proc_macro2::{Delimiter, TokenStream, TokenTree};

/// From the top floor down; a floor may import from those before it.
const FLOORS: [&str; 21] = [
    "quantity",
    "solid",
    "cutting",
    "capacity",
    "design",
    "structure",
    "lattice",
    "record",
    "parts",
    "aim",
    "airflow",
    "air",
    "check",
    "plan",
    "fix",
    "scene",
    "sheet",
    "write",
    "cli",
    "lib",
    "main",
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

/// A file's place in the tree of modules: nothing for `lib.rs` and `main.rs`.
fn module_of(file: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        file.with_extension("").components().map(|c| c.as_os_str().to_str().unwrap().to_owned()).collect();
    if ["mod", "lib", "main"].contains(&names.last().unwrap().as_str()) {
        names.pop();
    }
    names
}

/// What a file says.
#[derive(Default)]
struct Said {
    /// Paths from the crate's root, with their lines.
    paths: Vec<(usize, Vec<String>)>,
    /// Modules that are compiled for tests alone.
    tests: BTreeSet<String>,
    /// Ways round this test.
    tricks: Vec<(usize, &'static str)>,
}

fn word(tree: Option<&TokenTree>) -> Option<String> {
    if let Some(TokenTree::Ident(i)) = tree { Some(i.to_string()) } else { None }
}

fn is_punct(tree: Option<&TokenTree>, c: char) -> bool {
    matches!(tree, Some(TokenTree::Punct(p)) if p.as_char() == c)
}

fn colons(trees: &[TokenTree], at: usize) -> bool {
    is_punct(trees.get(at), ':') && is_punct(trees.get(at + 1), ':')
}

fn group(tree: Option<&TokenTree>, of: Delimiter) -> Option<TokenStream> {
    if let Some(TokenTree::Group(g)) = tree { (g.delimiter() == of).then(|| g.stream()) } else { None }
}

/// Where a first or further word of a path leads from a module.
fn step(at: &mut Vec<String>, name: &str) {
    match name {
        "crate" => at.clear(),
        "self" => {}
        "super" => {
            at.pop();
        }
        _ => at.push(name.to_owned()),
    }
}

impl Said {
    fn of(here: &[String], text: &str) -> Said {
        let mut said = Said::default();
        said.walk(&text.parse::<TokenStream>().unwrap().into_iter().collect::<Vec<_>>(), here);
        said
    }

    fn path(&mut self, line: usize, path: Vec<String>) {
        self.paths.push((line, path));
    }

    fn walk(&mut self, trees: &[TokenTree], here: &[String]) {
        let mut i = 0;
        while let Some(tree) = trees.get(i) {
            let line = tree.span().start().line;
            let name = word(Some(tree)).unwrap_or_default();
            if is_punct(Some(tree), '#')
                && let Some(attribute) = group(trees.get(i + 1), Delimiter::Bracket)
            {
                i += 2;
                if attribute.to_string().replace(' ', "") == "cfg(test)" {
                    i = self.skip_test(trees, i);
                } else {
                    self.attribute(line, &attribute.into_iter().collect::<Vec<_>>(), here);
                }
                continue;
            }
            match name.as_str() {
                "mod" if group(trees.get(i + 2), Delimiter::Brace).is_some() => {
                    let mut inner = here.to_vec();
                    inner.extend(word(trees.get(i + 1)));
                    let body = group(trees.get(i + 2), Delimiter::Brace).unwrap();
                    self.walk(&body.into_iter().collect::<Vec<_>>(), &inner);
                    i += 3;
                }
                "extern" if word(trees.get(i + 1)).as_deref() == Some("crate") => {
                    self.tricks.push((line, "extern crate"));
                    i += 2;
                }
                "include" if is_punct(trees.get(i + 1), '!') => {
                    self.tricks.push((line, "include!"));
                    i += 2;
                }
                // `use<'a>` is a bound of types.
                "use" if !is_punct(trees.get(i + 1), '<') => {
                    let end = (i..trees.len()).find(|k| is_punct(trees.get(*k), ';')).unwrap_or(trees.len());
                    self.tree(&trees[i + 1..end], None, here);
                    i = end + 1;
                }
                "crate" | "super" | "self" if colons(trees, i + 1) => {
                    let mut at = here.to_vec();
                    step(&mut at, &name);
                    i += 1;
                    while colons(trees, i)
                        && let Some(next) = word(trees.get(i + 2))
                    {
                        step(&mut at, &next);
                        i += 3;
                    }
                    self.path(line, at);
                }
                _ => {
                    if let TokenTree::Group(g) = tree {
                        self.walk(&g.stream().into_iter().collect::<Vec<_>>(), here);
                    }
                    i += 1;
                }
            }
        }
    }

    /// Past an item that is there for tests alone; modules among them are kept by name.
    fn skip_test(&mut self, trees: &[TokenTree], from: usize) -> usize {
        let end = (from..trees.len())
            .find(|k| is_punct(trees.get(*k), ';') || group(trees.get(*k), Delimiter::Brace).is_some())
            .unwrap_or(trees.len());
        for k in from..end {
            if word(trees.get(k)).as_deref() == Some("mod") {
                self.tests.extend(word(trees.get(k + 1)));
            }
        }
        end + 1
    }

    /// An attribute: paths may stand in its strings, such as `with = "crate::..."`.
    fn attribute(&mut self, line: usize, trees: &[TokenTree], here: &[String]) {
        if word(trees.first()).as_deref() == Some("doc") {
            return;
        }
        if word(trees.first()).as_deref() == Some("path") {
            self.tricks.push((line, "#[path]"));
        }
        for tree in trees {
            match tree {
                TokenTree::Group(g) => self.attribute(line, &g.stream().into_iter().collect::<Vec<_>>(), here),
                TokenTree::Literal(l) => {
                    if let Ok(inside) = l.to_string().trim_matches('"').parse::<TokenStream>() {
                        let before = self.paths.len();
                        self.walk(&inside.into_iter().collect::<Vec<_>>(), here);
                        self.paths[before..].iter_mut().for_each(|(at, _)| *at = line);
                    }
                }
                TokenTree::Ident(_) | TokenTree::Punct(_) => {}
            }
        }
        self.walk(trees, here);
    }

    /// The tree of a `use`. What begins with another crate's name (or a child's, below the root) leads nowhere up.
    fn tree(&mut self, trees: &[TokenTree], from: Option<Vec<String>>, here: &[String]) {
        let mut at = from.clone();
        let mut i = 0;
        let mut last = 1;
        while let Some(tree) = trees.get(i) {
            last = tree.span().start().line;
            if let Some(name) = word(Some(tree)) {
                if name == "as" {
                    break;
                }
                at = match (at, name.as_str()) {
                    (Some(mut at), _) => {
                        step(&mut at, &name);
                        Some(at)
                    }
                    (None, "crate" | "self" | "super") => {
                        let mut at = here.to_vec();
                        step(&mut at, &name);
                        Some(at)
                    }
                    // At the root modules are named as they are; the program names the library.
                    (None, "airlath") => Some(Vec::new()),
                    (None, _) if here.is_empty() && FLOORS.contains(&name.as_str()) => Some(vec![name]),
                    (None, _) => return,
                };
                i += 1;
            } else if colons(trees, i) {
                if i == 0 && from.is_none() {
                    return;
                }
                i += 2;
            } else if let Some(inside) = group(Some(tree), Delimiter::Brace) {
                let inside: Vec<TokenTree> = inside.into_iter().collect();
                for one in inside.split(|t| is_punct(Some(t), ',')).filter(|one| !one.is_empty()) {
                    self.tree(one, at.clone(), here);
                }
                return;
            } else {
                // A star takes all that is there.
                i += 1;
            }
        }
        if let Some(at) = at {
            self.path(last, at);
        }
    }
}

/// What is wrong with the imports of a file.
fn wrong(file: &Path, said: &Said) -> Vec<String> {
    let module = module_of(file);
    let stem = file.file_stem().unwrap().to_str().unwrap();
    let floor = module.first().map_or(stem, String::as_str);
    let shown = file.display();
    let Some(level) = FLOORS.iter().position(|f| *f == floor) else { return vec![format!("{shown} is on no floor")] };
    let mut wrong: Vec<String> = said.tricks.iter().map(|(line, what)| format!("{shown}:{line} uses {what}")).collect();
    for (line, path) in &said.paths {
        match path.first() {
            None => wrong.push(format!("{shown}:{line} takes the whole root")),
            Some(name) if FLOORS[..level].contains(&name.as_str()) || name == floor => {}
            Some(name) => wrong.push(format!("{shown}:{line} imports {name}")),
        }
    }
    wrong
}

/// Every file of `src` but those for tests alone: its place below `src`, and what it says.
fn house() -> Vec<(PathBuf, Said)> {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    let mut house: Vec<(PathBuf, Said)> = Vec::new();
    let mut tests: BTreeSet<Vec<String>> = BTreeSet::new();
    for file in files {
        let below = file.strip_prefix(&src).unwrap().to_owned();
        let module = module_of(&below);
        let said = Said::of(&module, &fs::read_to_string(&file).unwrap());
        tests.extend(said.tests.iter().map(|t| module.iter().chain([t]).cloned().collect()));
        house.push((below, said));
    }
    house.retain(|(file, _)| {
        let module = module_of(file);
        !(1..=module.len()).any(|n| tests.contains(&module[..n]))
    });
    house
}

#[test]
fn every_floor_imports_only_from_floors_before_it() {
    let house = house();
    for floor in FLOORS {
        assert!(
            house.iter().any(|(f, _)| f.starts_with(floor) || *f == Path::new(floor).with_extension("rs")),
            "no files on floor {floor}"
        );
    }
    let wrong: Vec<String> = house.iter().flat_map(|(file, said)| wrong(file, said)).collect();
    let seen: usize = house.iter().map(|(_, said)| said.paths.len()).sum();
    assert!(seen > 1000, "only {seen} imports seen: is the search broken?");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// An import from a floor below, by every way that the language knows.
#[test]
fn an_import_from_a_later_floor_is_seen_by_whatever_way_it_comes() {
    let caught = |file: &str, text: &str| {
        let file = Path::new(file);
        wrong(file, &Said::of(&module_of(file), text))
    };
    for (file, text) in [
        ("quantity/angle.rs", "use crate::check::Finding;"),
        ("quantity/angle.rs", "use super::super::check::Finding;"),
        ("quantity/angle.rs", "use self::super::super::check;"),
        ("quantity/mod.rs", "use super::check::Finding;"),
        ("quantity/angle.rs", "use crate::{quantity::Length, check};"),
        ("quantity/angle.rs", "use crate::{quantity::{Length}, solid::{self, Body}};"),
        ("quantity/angle.rs", "use crate::check as quantity;"),
        ("quantity/angle.rs", "use crate as house; fn f() { house::check::run(); }"),
        ("quantity/angle.rs", "use crate::{self as house};"),
        ("quantity/mod.rs", "use super as house;"),
        ("quantity/mod.rs", "use super::*;"),
        ("quantity/angle.rs", "pub use crate::Finding;"),
        ("quantity/angle.rs", "fn f() -> crate::check::Finding { todo!() }"),
        ("quantity/angle.rs", "fn f() { super::super::check::run() }"),
        ("quantity/angle.rs", "fn f() { print!(\"{}\", crate::check::CHECKS.len()) }"),
        ("quantity/angle.rs", "macro_rules! m { () => { $crate::check::run() } }"),
        ("quantity/angle.rs", "mod inner { use super::super::super::check; }"),
        ("quantity/angle.rs", "#[serde(with = \"crate::check::text\")] struct S;"),
        ("quantity/angle.rs", "extern crate airlath;"),
        ("quantity/angle.rs", "#[path = \"../check/mod.rs\"] mod check;"),
        ("quantity/angle.rs", "include!(\"../check/mod.rs\");"),
        ("plan/standards.rs", "use crate::scene::Scene;"),
        ("plan.rs", "use crate::scene::Scene;"),
        ("plan.rs", "use super::cli;"),
        ("fix/prove.rs", "use crate::write::glb;"),
        ("fix/windows.rs", "use crate::scene;"),
        ("write/stl.rs", "use crate::cli;"),
        ("attic/mod.rs", ""),
    ] {
        assert!(!caught(file, text).is_empty(), "{file}: {text}");
    }
    for (file, text) in [
        ("check/clash/mod.rs", "use super::{Report, solids}; use crate::parts::{Kind, PartId}; use std::fs;"),
        ("quantity/angle.rs", "// use crate::check;\n/// [`crate::check`]\nconst S: &str = \"crate::check\";"),
        ("quantity/angle.rs", "#[cfg(test)]\nmod tests { use crate::check::Finding; }"),
        ("quantity/angle.rs", "fn f(self) -> impl Fn() + use<> { self.g(); Self::h }"),
        ("cli/mod.rs", "use crate::check::Verdict;"),
        ("main.rs", "fn main() { airlath::cli::run() }"),
    ] {
        assert_eq!(caught(file, text), [""; 0], "{file}: {text}");
    }
}

/// A writer takes a scene and gives bytes; it sees no plan. Quantities and solids are everybody's.
#[test]
fn writers_know_the_scene_and_nothing_of_the_lattice() {
    for (file, said) in house().iter().filter(|(f, _)| f.starts_with("write")) {
        for (line, path) in &said.paths {
            assert!(
                !["design", "structure", "lattice", "plan", "cli"].contains(&path[0].as_str()),
                "{}:{line} imports {}",
                file.display(),
                path[0]
            );
        }
    }
}

/// Only the command line prints, reads or writes files, starts threads, or looks at the clock.
#[test]
fn only_the_command_line_touches_the_world() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    // What the feature `cli` brings is not even there without it.
    let manifest: toml::Table = fs::read_to_string(src.join("../Cargo.toml")).unwrap().parse().unwrap();
    let brought: Vec<String> = manifest["features"]["cli"]
        .as_array()
        .unwrap()
        .iter()
        .map(|d| d.as_str().unwrap().trim_start_matches("dep:").replace('-', "_") + "::")
        .collect();
    assert!(brought.len() > 5);
    let own = ["println!", "eprintln!", "std::fs", "fs::File", "thread::", "Instant::", "SystemTime", "std::env::"];
    let mut files = Vec::new();
    sources(&src, &mut files);
    let mut seen_in_cli = 0;
    for file in files {
        let in_cli = file.starts_with(src.join("cli"));
        let text = fs::read_to_string(&file).unwrap();
        for word in own.into_iter().chain(brought.iter().map(String::as_str)) {
            if text.contains(word) {
                assert!(in_cli, "{} uses {word}", file.display());
                seen_in_cli += 1;
            }
        }
    }
    assert!(seen_in_cli > 0, "the command line reads and writes files; is the search broken?");
}

/// Turns of nalgebra's own ask the platform for sines, and clippy knows no path to them: they are made by `solid::turn`.
#[test]
fn turns_are_made_in_one_place() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    for (file, _) in house() {
        let text = fs::read_to_string(src.join(&file)).unwrap();
        for word in ["from_axis_angle", "from_scaled_axis", "from_euler_angles", "slerp"] {
            assert!(!text.contains(word), "{} uses {word}", file.display());
        }
    }
}
