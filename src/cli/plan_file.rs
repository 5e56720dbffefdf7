//! `plan.json`: which files of a folder are of one plan.
//!
//! Aim: that nobody builds from a cut list of one plan and a sheet of another. Reason: files are written one after another
//! and by several verbs, so a folder must say itself which of them belong together. Limits: it knows the program's own
//! files by their names; notes that somebody keeps beside them are no business of it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::{build, lists, marks, sheets};
use crate::plan::{Plan, Texts};

/// The file's name.
pub const PLAN_FILE: &str = "plan.json";

/// What files must share to be of one plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stamp {
    /// The program and its version.
    program: String,
    /// The design's name.
    design: String,
    /// The plan fingerprint.
    plan: String,
    /// Hash of the design, the found file and the drive log: what is computed beside the plan hangs on them too.
    inputs: String,
}

impl Stamp {
    /// The stamp of a plan that was made of these texts.
    pub fn of(plan: &Plan, texts: &Texts, log: Option<&str>) -> Stamp {
        let mut hash = blake3::Hasher::new();
        for text in [Some(texts.source.as_str()), texts.found.as_ref().map(|f| f.1.as_str()), log] {
            // Line ends of another system make no other text. The byte between texts occurs in none of them.
            hash.update(text.unwrap_or_default().replace("\r\n", "\n").as_bytes()).update(&[0xff]);
        }
        Stamp {
            program: concat!("airlath ", env!("CARGO_PKG_VERSION")).to_owned(),
            design: plan.design.name.clone(),
            plan: plan.fingerprint(),
            inputs: hash.finalize().to_hex().to_string(),
        }
    }

    /// What an older stamp says, beside this one.
    fn against(&self, older: &Stamp) -> String {
        if self.plan != older.plan {
            format!("of plan {}", older.plan)
        } else if self.inputs != older.inputs {
            "of the same plan, but of another text of the design, the found file or the log".to_owned()
        } else {
            format!("written by {}", older.program)
        }
    }
}

/// One file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Its size, bytes.
    pub bytes: u64,
    /// Its BLAKE3 hash, 64 hexadecimal digits.
    pub blake3: String,
}

impl Entry {
    /// A file as it stands on the disk.
    fn of(path: &Path) -> io::Result<Entry> {
        let mut hash = blake3::Hasher::new();
        let bytes = io::copy(&mut fs::File::open(path)?, &mut hash)?;
        Ok(Entry { bytes, blake3: hash.finalize().to_hex().to_string() })
    }
}

/// The content of `plan.json`.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanFile {
    /// What all files in the list share.
    #[serde(flatten)]
    pub stamp: Stamp,
    /// The files of this plan, by name.
    pub files: BTreeMap<String, Entry>,
    /// Files of the program in the same folder that are not of this plan, or of which nobody knows it.
    pub not_of_this_plan: BTreeSet<String>,
}

/// What `plan.json` of a folder is.
pub enum Found {
    /// There is none.
    Nothing,
    /// One of ours.
    Ours(PlanFile),
    /// A file of that name which this program did not write.
    Foreign,
}

impl PlanFile {
    /// Reads that of a folder.
    pub fn of(folder: &Path) -> io::Result<Found> {
        match fs::read(folder.join(PLAN_FILE)) {
            Ok(text) => Ok(serde_json::from_slice(&text).map_or(Found::Foreign, Found::Ours)),
            Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(Found::Nothing),
            Err(e) => Err(e),
        }
    }

    /// The next one of a folder: `written` is new in it, `gone` is taken away, `older` stood there before. What else
    /// stands there stays in the list as far as it is of the same plan and as it was written. The text says what is not.
    pub fn next(
        folder: &Path,
        stamp: Stamp,
        written: BTreeMap<String, Entry>,
        gone: &BTreeSet<String>,
        older: Option<&PlanFile>,
    ) -> (PlanFile, String) {
        let mut next = PlanFile { stamp, files: written, not_of_this_plan: BTreeSet::new() };
        let mut reasons: BTreeMap<(&str, String), Vec<String>> = BTreeMap::new();
        for (name, verb) in program_files(folder) {
            if next.files.contains_key(&name) || gone.contains(&name) {
                continue;
            }
            let listed = older.and_then(|o| Some((o, o.files.get(&name)?)));
            let reason = match (listed, Entry::of(&folder.join(&name))) {
                (Some((_, was)), Ok(is)) if *was != is => "changed since it was written".to_owned(),
                (Some((o, _)), Ok(is)) if o.stamp == next.stamp => {
                    next.files.insert(name, is);
                    continue;
                }
                (Some((o, _)), Ok(_)) => next.stamp.against(&o.stamp),
                (_, Err(e)) => format!("cannot be read ({e})"),
                (None, Ok(_)) => "of which plan is not known".to_owned(),
            };
            reasons.entry((verb, reason)).or_default().push(name.clone());
            next.not_of_this_plan.insert(name);
        }
        let mut text = String::new();
        for ((verb, reason), names) in reasons {
            text.push_str(&format!("  {}: {reason}; run `airlath {verb}` again\n", names.join(", ")));
        }
        if let Some(line) = next.beside(folder) {
            text.push_str(&line);
        }
        if !text.is_empty() {
            text.insert_str(0, &format!("\nNot of this plan, in {}: do not build from it\n", folder.display()));
        }
        (next, text)
    }

    /// Sheets have a folder of their own below the others: whether that one, or the one above it, is of another plan.
    fn beside(&self, folder: &Path) -> Option<String> {
        let sheets = folder.join(SHEETS);
        let other = match (sheets.is_dir(), folder.file_name()) {
            (true, _) => sheets,
            (false, Some(name)) if name == SHEETS => folder.parent()?.to_owned(),
            (false, _) => return None,
        };
        let reason = match PlanFile::of(&other) {
            Ok(Found::Ours(file)) if file.stamp == self.stamp => return None,
            Ok(Found::Ours(file)) => self.stamp.against(&file.stamp),
            _ if program_files(&other).is_empty() => return None,
            _ => format!("of which plan is not known, as {PLAN_FILE} is missing there"),
        };
        Some(format!("  what is in {}: {reason}\n", other.display()))
    }
}

/// The folder of sheets below that of the other files.
pub const SHEETS: &str = "sheets";

/// Files in a folder that this program writes, by name, each with the verb that writes it.
fn program_files(folder: &Path) -> BTreeMap<String, &'static str> {
    let Ok(entries) = fs::read_dir(folder) else { return BTreeMap::new() };
    let names = entries.flatten().filter(|e| e.path().is_file()).filter_map(|e| e.file_name().into_string().ok());
    names.filter_map(|n| written_by(&n).map(|verb| (n, verb))).collect()
}

/// The verb that writes a file of this name.
fn written_by(name: &str) -> Option<&'static str> {
    let is = |own: &[&str]| own.contains(&name);
    if build::own_files().iter().any(|n| n == name) {
        Some("build")
    } else if is(&lists::OWN) {
        Some("lists")
    } else if is(&marks::OWN) {
        Some("marks")
    } else if is(&[sheets::REPORT]) {
        Some("report")
    } else {
        sheets::is_sheet(name).then_some("sheets")
    }
}
