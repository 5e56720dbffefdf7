//! `explain`.

use std::fmt::Write;
use std::path::Path;
use std::process::ExitCode;

use super::files::Sources;
use super::{Failure, print};
use crate::check::CHECKS;
use crate::check::strength;
use crate::design::nearest;
use crate::scene::CAUTIONS;
use crate::sheet::font;

/// Prints the strength of a landing, a piece or a clip as a person writes it by hand.
pub fn part(name: &str, sources: &Sources, log: Option<&Path>) -> Result<ExitCode, Failure> {
    let plan = sources.inputs(log)?.plan()?;
    let ctx = plan.context();
    let Some(mut text) = strength::explain::explain(&ctx, name) else {
        let names = strength::explain::names(&ctx);
        let hint = match nearest(name, names.iter().map(String::as_str)) {
            Some(known) => format!("did you mean `{known}`?"),
            None => format!("names stand in findings.json, such as `{}`", names.first().map_or("", String::as_str)),
        };
        return Err(Failure::Text(format!("error: no landing, no piece and no clip is named {name}\n  help: {hint}")));
    };
    text.push_str("\nCautions\n");
    for c in CAUTIONS.iter().map(|c| (*c).to_owned()).chain(strength::foothold::notice(&ctx)) {
        let _ = writeln!(text, "  {c}");
    }
    print(&text)
}

/// The word that asks for the licences.
const LICENCES: &str = "licences";
/// The page of the keys.
const KEYS: &str = "keys";

/// Whose the program is, its typeface, and what it is built on.
fn licences() -> String {
    let own = include_str!("../../LICENSE");
    let libraries = include_str!("licences.txt");
    format!(
        "Airlath\n\n{own}\n---- The typeface of sheets and pictures ----\n\n{}\n---- What it is built on ----\n\n\
         Rust's standard library: MIT OR Apache-2.0; Copyright The Rust Project Developers\n\n{libraries}",
        font::LICENCE
    )
}

/// Prints the page of a check, the keys of the design file, the licences, or the list of all.
pub fn explain(name: Option<&str>) -> Result<ExitCode, Failure> {
    let Some(name) = name else {
        let mut text = String::from("Checks; `airlath explain NAME` prints the page of one.\n\n");
        for check in CHECKS {
            let _ = writeln!(text, "  {:<22} {}", check.name, check.title);
        }
        text.push_str(
            "\n`airlath explain keys` prints every key of the design file with what it says.\n\
             `airlath explain licences` prints whose the program is, its typeface, and what it is built on.\n",
        );
        return print(&text);
    };
    if name == LICENCES {
        return print(&licences());
    }
    if name == KEYS {
        let mut text = String::new();
        for (key, said) in crate::design::listed_keys() {
            let _ = writeln!(text, "{key}\n    {said}");
        }
        return print(&text);
    }
    match CHECKS.iter().find(|c| c.name == name) {
        Some(check) => print(&format!("{}: {}\n\n{}", check.name, check.title, check.page)),
        None => {
            let hint = match nearest(name, CHECKS.iter().map(|c| c.name).chain([LICENCES, KEYS])) {
                Some(known) => format!("did you mean `{known}`?"),
                None => "`airlath explain` lists all checks".to_owned(),
            };
            Err(Failure::Text(format!("error: no check is named {name}\n  help: {hint}")))
        }
    }
}
