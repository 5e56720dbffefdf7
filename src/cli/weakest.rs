//! `weakest`.

use std::fmt::Write;
use std::process::ExitCode;

use super::files::Sources;
use super::{Failure, print};
use crate::check::strength::SUPPORTS;
use crate::fix::{Standing, weakest as find};
use crate::quantity::show_ratio;
use crate::scene::CAUTIONS;

/// Prints how the roof stands, and what single changes make of it.
pub fn weakest(sources: &Sources) -> Result<ExitCode, Failure> {
    let found = find(&sources.texts()?).map_err(Failure::Text)?;
    let mut text = String::new();
    let now = &found.now;
    let _ = writeln!(text, "{}", found.scope);
    let _ = writeln!(
        text,
        "As designed: {} of {} landings carry; the most loaded is {} with {} of what it holds ({})",
        now.carrying,
        now.landings,
        now.landing,
        show_ratio(now.share),
        now.mode
    );
    let _ = writeln!(
        text,
        "\nOne change at a time, planned and computed again, best first (batten and strip checks are not in these numbers)"
    );
    for t in &found.tried {
        match &t.then {
            Ok(then) => {
                let _ = writeln!(text, "  {}: {}", t.text, told(now, then));
            }
            Err(why) => {
                let _ = writeln!(text, "  {}: not known, because {why}", t.text);
            }
        }
        for (key, value) in &t.change {
            let _ = writeln!(text, "      {key} = {value}");
        }
    }
    let _ = writeln!(text, "\nCautions\n  {SUPPORTS}");
    for c in CAUTIONS {
        let _ = writeln!(text, "  {c}");
    }
    print(&text)
}

fn told(now: &Standing, then: &Standing) -> String {
    let mut text = format!(
        "{} at {} ({}); {} of {} landings carry",
        show_ratio(then.share),
        then.landing,
        then.mode,
        then.carrying,
        then.landings
    );
    if then.landings - then.backed > now.landings - now.backed {
        let _ = write!(text, "; but {} landings are no longer backed", then.landings - then.backed);
    }
    text
}
