//! Reading a design, and writing a set of files: each is whole or as it was, and none is renamed before all are written.

use std::fs;
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::Failure;
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

    /// Reads and plans them.
    pub fn plan(&self) -> Result<Plan, Failure> {
        planned(&self.texts()?)
    }

    /// The same with a drive log, where one is named.
    pub fn plan_with(&self, log: Option<&Path>) -> Result<Plan, Failure> {
        let plan = self.plan()?;
        match log {
            Some(log) => with_log(plan, log),
            None => Ok(plan),
        }
    }
}

/// Plans texts.
pub fn planned(texts: &Texts) -> Result<Plan, Failure> {
    texts.plan().map_err(|all| Failure::Text(all.iter().map(|f| f.render(colour())).collect()))
}

/// Puts a drive log into a plan.
pub fn with_log(plan: Plan, log: &Path) -> Result<Plan, Failure> {
    let source = read(log, "a drive log")?;
    plan.with_log(&log.display().to_string(), &source).map_err(|f| Failure::Text(f.render(colour())))
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
            Err(Failure::Text(Faults { file: shown.to_string(), source, faults: vec![fault] }.render(false)))
        }
    }
}

/// Writes into a temporary file. Its own writer would tell its path, which nobody knows, together with every error.
fn buffered(file: &NamedTempFile) -> BufWriter<&fs::File> {
    BufWriter::with_capacity(1 << 16, file.as_file())
}

/// Files that appear together: each is written beside its place, and all are renamed once all are whole.
pub struct FileSet {
    folder: PathBuf,
    waiting: Vec<(NamedTempFile, PathBuf)>,
}

impl FileSet {
    /// A set in a folder, which is made if need be.
    pub fn new(folder: &Path) -> Result<FileSet, Failure> {
        if let Some(file) = folder.ancestors().find(|p| p.is_file()) {
            let (folder, file) = (folder.display(), file.display());
            let why = format!("error: cannot make the folder {folder}: {file} is a file\n  help: name a folder");
            return Err(Failure::Text(why));
        }
        fs::create_dir_all(folder)
            .map_err(|e| Failure::Text(format!("error: cannot make the folder {}: {e}", folder.display())))?;
        Ok(FileSet { folder: folder.to_owned(), waiting: Vec::new() })
    }

    /// Writes one file beside its place.
    pub fn write(&mut self, name: &str, put: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
        let file = self.begin()?;
        let mut out = buffered(&file);
        put(&mut out).and_then(|()| out.flush()).map_err(|e| self.cannot(name, &e))?;
        drop(out);
        self.waiting.push((file, self.folder.join(name)));
        Ok(())
    }

    /// Writes two files that are made in one go.
    pub fn write_two(
        &mut self,
        names: [&str; 2],
        put: impl FnOnce(&mut dyn Write, &mut dyn Write) -> io::Result<()>,
    ) -> Result<(), Failure> {
        let first = self.begin()?;
        let second = self.begin()?;
        let (mut a, mut b) = (buffered(&first), buffered(&second));
        put(&mut a, &mut b).map_err(|e| self.cannot(names[0], &e))?;
        for (out, name) in [(&mut a, names[0]), (&mut b, names[1])] {
            out.flush().map_err(|e| self.cannot(name, &e))?;
        }
        drop((a, b));
        for (file, name) in [(first, names[0]), (second, names[1])] {
            self.waiting.push((file, self.folder.join(name)));
        }
        Ok(())
    }

    fn begin(&self) -> Result<NamedTempFile, Failure> {
        let mut builder = tempfile::Builder::new();
        builder.prefix(BESIDE);
        // A temporary file would otherwise be its owner's alone; the usual mask still applies.
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        builder.tempfile_in(&self.folder).map_err(|e| {
            Failure::Text(format!("error: cannot write to the folder {}: {}", self.folder.display(), e.kind()))
        })
    }

    fn cannot(&self, name: &str, e: &io::Error) -> Failure {
        Failure::Text(format!("error: cannot write {}: {e}", self.folder.join(name).display()))
    }

    /// Takes over the files of another set of the same folder.
    pub fn join(&mut self, other: FileSet) {
        self.waiting.extend(other.waiting);
    }

    /// Renames all files into place, and says which. Of the program's `own` names those not written now are removed: they
    /// would tell of another plan.
    pub fn finish(self, own: &[String]) -> Result<Vec<PathBuf>, Failure> {
        // A folder in the way of any file is found before the first is renamed.
        for (_, path) in &self.waiting {
            if path.is_dir() {
                return Err(Failure::Text(format!("error: {} is a folder", path.display())));
            }
        }
        let mut done = Vec::new();
        for (file, path) in self.waiting {
            file.persist(&path)
                .map_err(|e| Failure::Text(format!("error: cannot write {}: {}", path.display(), e.error)))?;
            done.push(path);
        }
        for name in own {
            let path = self.folder.join(name);
            if !done.contains(&path) && path.is_file() {
                fs::remove_file(&path)
                    .map_err(|e| Failure::Text(format!("error: cannot remove the older {}: {e}", path.display())))?;
            }
        }
        sweep(&self.folder);
        Ok(done)
    }
}

/// How names of files begin that are not yet in their place.
const BESIDE: &str = ".airlath-";

/// After so long nobody writes any more on a file that is not in its place, seconds: a day.
const LEFT: u64 = 86_400;

/// Removes what a run that was killed has left in a folder. What cannot be removed stays: nothing depends on it.
fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let ours = entry.file_name().to_string_lossy().starts_with(BESIDE);
        let age = entry.metadata().ok().filter(fs::Metadata::is_file).and_then(|m| m.modified().ok()?.elapsed().ok());
        if ours && age.is_some_and(|a| a.as_secs() > LEFT) {
            let _ = fs::remove_file(entry.path());
        }
    }
}
