//! `explain`.

use std::fmt::Write;
use std::process::ExitCode;

use super::{Failure, print};
use crate::check::{CHECKS, Run};
use crate::design::nearest;

/// Prints the page of a check, or the list of all.
pub fn explain(name: Option<&str>) -> Result<ExitCode, Failure> {
    let Some(name) = name else {
        let mut text = String::from("Checks; `airlath explain NAME` prints the page of one.\n\n");
        for check in CHECKS {
            let note = if matches!(check.run, Run::NotChecked(_)) { " (not checked yet)" } else { "" };
            let _ = writeln!(text, "  {:<22} {}{note}", check.name, check.title);
        }
        return print(&text);
    };
    match CHECKS.iter().find(|c| c.name == name) {
        Some(check) => print(&format!("{}: {}\n\n{}", check.name, check.title, check.page)),
        None => {
            let hint = match nearest(name, CHECKS.iter().map(|c| c.name)) {
                Some(known) => format!("did you mean `{known}`?"),
                None => "`airlath explain` lists all checks".to_owned(),
            };
            Err(Failure::Text(format!("error: no check is named {name}\n  help: {hint}")))
        }
    }
}
