//! `fix`: the changes after which nothing fails, or as little as changes of the design reach.
//!
//! Aim: a numbered list that a person can follow, take or leave. Reason: what the program writes into a design must have been
//! read first. Limits: a design is written only where it is still the one that was read, is no link, and somebody says that
//! nothing is driven yet; the old one is kept beside it under the first free number.

use std::fmt::Write;
use std::fs::{self, OpenOptions};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::ValueEnum;
use clap::builder::PossibleValue;
use serde_json::{Value, json};
use tempfile::NamedTempFile;

use super::files::{self, Sources, colour};
use super::progress::Progress;
use super::{Failure, print};
use crate::fix::{Cause, CauseKind, Fix, Flags, Step, Takes, Wishes, fix as find};
use crate::quantity::{Length, Units, show_total_length};
use crate::scene::CAUTIONS;

/// What is asked of the verb beside the files.
pub struct Asked {
    /// Keys and tables that stay.
    pub keep: Vec<String>,
    /// Causes of this kind alone.
    pub only: Option<CauseKind>,
    /// The cause of this id alone.
    pub cause: Option<String>,
    /// As JSON.
    pub json: bool,
    /// Write the changes into the design.
    pub write: bool,
    /// Nothing is driven yet.
    pub nothing_driven: bool,
}

impl ValueEnum for CauseKind {
    fn value_variants<'a>() -> &'a [CauseKind] {
        &CauseKind::ALL
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(PossibleValue::new(self.word()))
    }
}

/// `airlath fix`. Exit code 1 where fails are left.
pub fn fix(sources: &Sources, log: Option<&Path>, asked: &Asked) -> Result<ExitCode, Failure> {
    if asked.write && log.is_none() && !asked.nothing_driven {
        return Err(Failure::Text(
            "error: is any batten fastened already? Changes would move fasteners that are in the roof\n  \
             help: name the drive log (--log DRIVEN), or say --nothing-driven"
                .to_owned(),
        ));
    }
    let progress = Progress::begin("trying changes");
    let inputs = sources.inputs(log)?;
    let Asked { keep, only, cause, .. } = asked;
    let wishes = Wishes { keep: keep.clone(), only: *only, cause: cause.clone(), log: inputs.log.clone() };
    let found = find(&inputs.texts, &wishes)
        .map_err(|all| Failure::Faults(all.iter().map(|f| f.render(colour())).collect()))?;
    drop(progress);
    let ids: Vec<String> = found.causes.iter().map(Cause::id).collect();
    if let Some(id) = cause.as_ref().filter(|id| !ids.contains(id)) {
        let those = if ids.is_empty() { "there is none".to_owned() } else { format!("those are {}", ids.join(", ")) };
        return Err(Failure::Text(format!("error: this roof has no cause {id}\n  help: {those}")));
    }
    let written = match asked.write && !found.steps.is_empty() {
        true => Some(write(&sources.design, &inputs.texts.source, &found.texts.source)?),
        false => None,
    };
    let text = if asked.json {
        format!("{:#}\n", as_json(&found, written.as_deref()))
    } else {
        said(&found, asked, written.as_deref())
    };
    print(&text)?;
    Ok(ExitCode::from(u8::from(found.flags.1.fails > 0)))
}

fn flags(f: Flags) -> String {
    format!("{} fail, {} warn", f.fails, f.warns)
}

/// What a change costs, where it costs anything.
fn cost((before, after): (Takes, Takes), units: Units) -> String {
    let mut all = Vec::new();
    if (before.boards, before.length) != (after.boards, after.length) {
        let length = |t: Takes| show_total_length(Length::from_metres(t.length), units);
        all.push(format!("boards {} ({}) to {} ({})", before.boards, length(before), after.boards, length(after)));
    }
    if before.fasteners != after.fasteners {
        all.push(format!("fasteners {} to {}", before.fasteners, after.fasteners));
    }
    if after.added > before.added {
        let n = after.added - before.added;
        all.push(format!("{n} new {}", if n == 1 { "block" } else { "blocks" }));
    }
    if all.is_empty() { "nothing more to buy".to_owned() } else { all.join("; ") }
}

fn count(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

fn counts(cause: &Cause) -> String {
    let (fails, others) = cause.flags;
    let mut all = Vec::new();
    if fails > 0 {
        all.push(count(fails, "fail", "fails"));
    }
    if others > 0 {
        all.push(count(others, "other flag", "other flags"));
    }
    all.join(", ")
}

fn said(found: &Fix, asked: &Asked, written: Option<&Path>) -> String {
    let mut text = String::new();
    let (before, after) = found.flags;
    // Writing to a string cannot fail.
    let _ = writeln!(text, "With the changes below, {}", found.scope);
    let _ = writeln!(
        text,
        "As designed: {}. With {}: {}.",
        flags(before),
        count(found.steps.len(), "change", "changes"),
        flags(after)
    );
    let _ = writeln!(text, "{} tried on the whole roof.", count(found.tries, "change was", "changes were"));
    if found.cut_short {
        text.push_str("Not all changes worth trying were tried: the limit of tries is reached.\n");
    }
    let _ = writeln!(text, "\nCauses");
    if found.causes.is_empty() {
        text.push_str("  none in what was checked\n");
    }
    for cause in &found.causes {
        let proved = if cause.proved { "" } else { " (not proved)" };
        let _ = writeln!(
            text,
            "  {}: {}{proved}\n      id {}; worst: {}",
            cause.wrong(),
            counts(cause),
            cause.id(),
            cause.worst
        );
    }
    let _ = writeln!(text, "\nChanges, in this order");
    if found.steps.is_empty() {
        text.push_str(if before.fails == 0 { "  none: nothing fails\n" } else { "  none that was tried helps\n" });
    }
    for (n, step) in found.steps.iter().enumerate() {
        let _ = writeln!(text, "  {}. {}", n + 1, step.text);
        for line in step.change.text().lines().filter(|l| !l.is_empty()) {
            let _ = writeln!(text, "         {line}");
        }
        let _ = writeln!(text, "     why: {}", step.why);
        let _ = writeln!(text, "     flags: {}, then {}", flags(step.flags.0), flags(step.flags.1));
        for made in &step.made {
            let _ = writeln!(text, "     makes: {made}");
        }
        let _ = writeln!(text, "     cost: {}", cost(step.takes, found.units));
    }
    let _ = writeln!(text, "\nLeft");
    if found.left.is_empty() {
        text.push_str("  nothing in what was checked\n");
    }
    for left in &found.left {
        let _ = writeln!(text, "  {}: {}\n      {}", left.cause.wrong(), counts(&left.cause), left.cause.worst);
        if left.cause.flags.0 > 0 && left.partial.is_empty() {
            text.push_str("      no change that was tried helps\n");
        }
        for partial in &left.partial {
            let _ = writeln!(text, "      not taken: {}: {}", partial.text, partial.why_not);
        }
        if let Some(advice) = &left.advice {
            let _ = writeln!(text, "      advice: {advice}");
        }
    }
    let _ = writeln!(text, "\nCautions\n  {CHANGED}");
    for c in CAUTIONS {
        let _ = writeln!(text, "  {c}");
    }
    match written {
        Some(copy) => {
            let _ = writeln!(text, "\nThe changes are written into the design; the old one is {}", copy.display());
        }
        None if asked.write => text.push_str("\nNothing is written: there is no change.\n"),
        None if !found.steps.is_empty() => {
            text.push_str("\nNothing is written: --write puts the changes into the design.\n")
        }
        None => {}
    }
    text
}

/// What whoever takes a change must know.
const CHANGED: &str = "A change clears flags of this program and nothing else. Read each before you take it: new wood must be held by \
    whoever builds it, and straps and fastenings of an engineered roof are changed only with the engineer who designed them.";

fn as_json(found: &Fix, written: Option<&Path>) -> Value {
    let flags = |f: Flags| json!({ "fail": f.fails, "warn": f.warns });
    let takes = |t: Takes| json!({ "boards": t.boards, "length": t.length, "fasteners": t.fasteners, "added_members": t.added });
    let cause = |c: &Cause| {
        json!({
            "id": c.id(), "kind": c.kind.word(), "subject": c.subject, "wrong": c.wrong(), "fail": c.flags.0,
            "other": c.flags.1, "worst": c.worst, "proved": c.proved,
        })
    };
    let step = |s: &Step| {
        json!({
            "text": s.text, "change": s.change.text(), "cause": s.cause, "why": s.why, "before": flags(s.flags.0),
            "after": flags(s.flags.1), "makes": s.made, "takes_before": takes(s.takes.0), "takes_after": takes(s.takes.1),
        })
    };
    let left = |l: &crate::fix::Left| {
        let partial = l.partial.iter().map(|p| json!({ "text": p.text, "why_not": p.why_not }));
        json!({ "cause": cause(&l.cause), "not_taken": partial.collect::<Vec<_>>(), "advice": l.advice })
    };
    let cautions: Vec<&str> = std::iter::once(CHANGED).chain(CAUTIONS).collect();
    json!({
        "scope": found.scope,
        "before": flags(found.flags.0),
        "after": flags(found.flags.1),
        "tries": found.tries,
        "cut_short": found.cut_short,
        "causes": found.causes.iter().map(cause).collect::<Vec<_>>(),
        "changes": found.steps.iter().map(step).collect::<Vec<_>>(),
        "left": found.left.iter().map(left).collect::<Vec<_>>(),
        "old_design": written.map(|p| p.display().to_string()),
        "cautions": cautions,
    })
}

/// Puts a changed text in the place of a design: beside it first, then renamed; the old one stays under the first free number,
/// which is handed back.
fn write(path: &Path, read: &str, changed: &str) -> Result<PathBuf, Failure> {
    let shown = path.display();
    let cannot = |e: std::io::Error| Failure::Text(format!("error: cannot write {shown}: {e}"));
    if fs::symlink_metadata(path).map_err(cannot)?.is_symlink() {
        let why = format!("error: {shown} is a link, and is left alone\n  help: name the file that it leads to");
        return Err(Failure::Text(why));
    }
    let bytes = fs::read(path).map_err(cannot)?;
    if files::design(path)? != read {
        let why =
            format!("error: {shown} was changed since it was read, and is left alone\n  help: run `airlath fix` again");
        return Err(Failure::Text(why));
    }
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut new = NamedTempFile::new_in(folder).map_err(cannot)?;
    if bytes.starts_with(MARK) {
        new.write_all(MARK).map_err(cannot)?;
    }
    new.write_all(changed.as_bytes()).map_err(cannot)?;
    new.as_file().set_permissions(fs::metadata(path).map_err(cannot)?.permissions()).map_err(cannot)?;
    new.as_file().sync_all().map_err(cannot)?;
    let copy = copy(path, &bytes).map_err(cannot)?;
    new.persist(path).map_err(|e| cannot(e.error))?;
    Ok(copy)
}

/// The byte-order mark that some editors put before a text.
const MARK: &[u8] = b"\xef\xbb\xbf";

/// Keeps a text beside its file: `roof.toml.1`, or the first number that is free.
fn copy(path: &Path, bytes: &[u8]) -> std::io::Result<PathBuf> {
    let mut number = 1u32;
    loop {
        let mut name = path.as_os_str().to_owned();
        name.push(format!(".{number}"));
        match OpenOptions::new().write(true).create_new(true).open(&name) {
            Ok(mut file) => {
                file.write_all(bytes)?;
                file.sync_all()?;
                return Ok(PathBuf::from(name));
            }
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists && number < 10_000 => number += 1,
            Err(e) => return Err(e),
        }
    }
}
