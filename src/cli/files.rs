//! Reading what a plan is made of.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::plan_file::Stamp;
use super::{Failure, note};
use crate::design::{Diagnostic, Faults, is_found_file};
use crate::plan::{Plan, Texts};
use crate::record::in_order;

/// The largest file that is read, bytes.
const LARGEST: u64 = 4 << 20;

/// The files that a plan is made of.
#[derive(Clone, Debug, clap::Args)]
pub struct Sources {
    /// The design file (TOML)
    pub design: PathBuf,
    /// What was found on the roof: a file that `airlath survey` wrote beside the design
    #[arg(long, value_name = "FOUND")]
    pub found: Option<PathBuf>,
}

impl Sources {
    /// Reads them.
    pub fn texts(&self) -> Result<Texts, Failure> {
        let source = design(&self.design)?;
        let found = match &self.found {
            Some(path) => Some((path.display().to_string(), read(path, "a found file")?)),
            None => None,
        };
        Ok(Texts { file: self.design.display().to_string(), source, found })
    }

    /// Reads them, and a drive log where one is named.
    pub fn inputs(&self, log: Option<&Path>) -> Result<Inputs, Failure> {
        let texts = self.texts()?;
        let log = match log {
            Some(log) => Some((log.display().to_string(), table(log, "a drive log")?)),
            None => None,
        };
        Ok(Inputs { texts, log })
    }

    /// Reads and plans them.
    pub fn plan(&self) -> Result<Plan, Failure> {
        self.inputs(None)?.plan()
    }
}

/// The texts that a plan is made of, and what was driven.
pub struct Inputs {
    /// The design and the found file.
    pub texts: Texts,
    /// Name and text of the drive log.
    pub log: Option<(String, String)>,
}

impl Inputs {
    /// Plans them.
    pub fn plan(&self) -> Result<Plan, Failure> {
        let plan =
            self.texts.plan().map_err(|all| Failure::Faults(all.iter().map(|f| f.render(colour())).collect()))?;
        match &self.log {
            Some((name, text)) => plan.with_log(name, text).map_err(|f| Failure::Faults(f.render(colour()))),
            None => Ok(plan),
        }
    }

    /// What the files of their plan share.
    pub fn stamp(&self, plan: &Plan) -> Stamp {
        Stamp::of(plan, &self.texts, self.log.as_ref().map(|l| l.1.as_str()))
    }
}

/// Whether the error stream shows colours.
pub fn colour() -> bool {
    anstream::AutoStream::choice(&io::stderr()) != anstream::ColorChoice::Never
}

/// Reads a design file; a found file is none.
pub fn design(path: &Path) -> Result<String, Failure> {
    let source = read(path, "a design file")?;
    if !is_found_file(&source) {
        return Ok(source);
    }
    let found = path.display().to_string();
    let design = found.strip_suffix(".found.toml").unwrap_or("roof");
    Err(Failure::Text(format!(
        "error: {found} is a found file, no design\n  help: name the design, and this file behind it: \
         airlath check {design}.toml --found {found}"
    )))
}

/// Reads a whole text file, which is UTF-8; `what` it is meant to be, for messages.
pub fn read(path: &Path, what: &str) -> Result<String, Failure> {
    let text = String::from_utf8(bytes(path, what)?)
        .map_err(|e| Failure::Faults(no_utf8(path.display().to_string(), e.as_bytes()).render(colour())))?;
    Ok(unmarked(text))
}

/// Reads a table as spreadsheets save it: UTF-8, or what a note names.
pub fn table(path: &Path, what: &str) -> Result<String, Failure> {
    let (text, encoding) = match String::from_utf8(bytes(path, what)?) {
        Ok(text) => return Ok(unmarked(text)),
        Err(e) => match utf16(e.as_bytes()) {
            Some(text) => (text, "UTF-16"),
            None => (e.as_bytes().iter().map(|b| windows_1252(*b)).collect(), "Windows-1252"),
        },
    };
    note(&format!("{} is not UTF-8; it is read as {encoding}", path.display()));
    Ok(text)
}

/// A text without its byte-order mark.
fn unmarked(text: String) -> String {
    text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text)
}

/// What a byte is in Windows-1252: the WHATWG Encoding Standard, index windows-1252. Bytes that it leaves out of 0x80 to 0x9F
/// are control characters there.
fn windows_1252(byte: u8) -> char {
    const FROM_0X80: &str = "\u{20ac}\u{81}\u{201a}\u{192}\u{201e}\u{2026}\u{2020}\u{2021}\u{2c6}\u{2030}\u{160}\u{2039}\
        \u{152}\u{8d}\u{17d}\u{8f}\u{90}\u{2018}\u{2019}\u{201c}\u{201d}\u{2022}\u{2013}\u{2014}\u{2dc}\u{2122}\u{161}\
        \u{203a}\u{153}\u{9d}\u{17e}\u{178}";
    let special = usize::from(byte).checked_sub(0x80).and_then(|i| FROM_0X80.chars().nth(i));
    special.unwrap_or(char::from(byte))
}

/// A text in UTF-16, which its first two bytes say.
fn utf16(bytes: &[u8]) -> Option<String> {
    let (mark, text) = bytes.split_first_chunk::<2>()?;
    let unit = match mark {
        [0xff, 0xfe] => u16::from_le_bytes,
        [0xfe, 0xff] => u16::from_be_bytes,
        _ => return None,
    };
    let units: Vec<u16> = text.as_chunks::<2>().0.iter().map(|pair| unit(*pair)).collect();
    Some(String::from_utf16_lossy(&units))
}

/// Every place of a file that is no UTF-8.
fn no_utf8(file: String, bytes: &[u8]) -> Faults {
    let fault = |message: String, span| Diagnostic {
        message,
        key: String::new(),
        span,
        hint: "save it as UTF-8 (in many editors: Save as, Encoding)".into(),
    };
    if let Some(source) = utf16(bytes) {
        return Faults { file, source, faults: vec![fault("this file is UTF-16, no UTF-8 text".into(), 0..0)] };
    }
    let (mut source, mut faults) = (String::new(), Vec::new());
    for chunk in bytes.utf8_chunks() {
        source.push_str(chunk.valid());
        if let Some(byte) = chunk.invalid().first() {
            let at = source.len();
            source.push(char::REPLACEMENT_CHARACTER);
            let meant = windows_1252(*byte);
            let message = format!("this byte is no UTF-8 text; in Windows-1252 it is `{meant}`");
            faults.push(fault(message, at..source.len()));
        }
    }
    in_order(&mut faults);
    Faults { file, source, faults }
}

/// The bytes of a file that is not too large.
fn bytes(path: &Path, what: &str) -> Result<Vec<u8>, Failure> {
    let shown = path.display();
    let cannot = |e: io::Error| Failure::Text(format!("error: cannot read {shown}: {e}"));
    let size = fs::metadata(path).map_err(cannot)?;
    if size.is_dir() {
        return Err(Failure::Text(format!("error: {shown} is a folder\n  help: name {what}")));
    }
    if size.len() > LARGEST {
        return Err(Failure::Text(format!("error: {shown} has {} bytes; {what} has at most {LARGEST}", size.len())));
    }
    let mut bytes = Vec::new();
    // Not every file knows its size.
    fs::File::open(path).and_then(|f| f.take(LARGEST + 1).read_to_end(&mut bytes)).map_err(cannot)?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::Text(format!("error: {shown} is larger than {what} may be, {LARGEST} bytes")));
    }
    Ok(bytes)
}
