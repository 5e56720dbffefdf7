//! Reading what a plan is made of.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use super::Failure;
use super::plan_file::Stamp;
use crate::design::{Diagnostic, Faults};
use crate::plan::{Plan, Texts};

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
        let source = read(&self.design, "a design file")?;
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
            Some(log) => Some((log.display().to_string(), read(log, "a drive log")?)),
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
    log: Option<(String, String)>,
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

/// Reads a whole text file; `what` it is meant to be, for messages.
pub fn read(path: &Path, what: &str) -> Result<String, Failure> {
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
    match String::from_utf8(bytes) {
        Ok(text) => Ok(text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text)),
        Err(e) => {
            let at = e.utf8_error().valid_up_to();
            let fault = Diagnostic {
                message: "this byte is no UTF-8 text".into(),
                key: String::new(),
                span: at..at,
                hint: "save the file as UTF-8 (in many editors: Save as, Encoding)".into(),
            };
            let source = String::from_utf8_lossy(e.as_bytes()).into_owned();
            Err(Failure::Faults(Faults { file: shown.to_string(), source, faults: vec![fault] }.render(false)))
        }
    }
}
