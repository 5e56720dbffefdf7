//! Reading a design, and writing a set of files: each is whole or as it was, and none is renamed before all are written.

use std::fs;
use std::io::{self, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::Failure;
use crate::design::{Diagnostic, Faults};
use crate::plan::Plan;

/// The largest design file that is read, bytes.
const LARGEST: u64 = 4 << 20;

/// Reads and plans a design file.
pub fn plan(path: &Path) -> Result<Plan, Failure> {
    let source = read(path)?;
    let colour = anstream::AutoStream::choice(&io::stderr()) != anstream::ColorChoice::Never;
    Plan::from_text(&path.display().to_string(), &source).map_err(|f| Failure::Text(f.render(colour)))
}

/// The text of a design file.
pub fn read(path: &Path) -> Result<String, Failure> {
    let shown = path.display();
    let cannot = |e: io::Error| Failure::Text(format!("error: cannot read {shown}: {e}"));
    let size = fs::metadata(path).map_err(cannot)?;
    if size.is_dir() {
        return Err(Failure::Text(format!(
            "error: {shown} is a folder\n  help: name a design file, such as roof.toml"
        )));
    }
    if size.len() > LARGEST {
        return Err(Failure::Text(format!(
            "error: {shown} has {} bytes; a design file has at most {LARGEST}",
            size.len()
        )));
    }
    let mut bytes = Vec::new();
    // Not every file knows its size.
    fs::File::open(path).and_then(|f| f.take(LARGEST + 1).read_to_end(&mut bytes)).map_err(cannot)?;
    if bytes.len() as u64 > LARGEST {
        return Err(Failure::Text(format!("error: {shown} is larger than a design file may be, {LARGEST} bytes")));
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

/// Files that appear together: each is written beside its place, and all are renamed once all are whole.
pub struct FileSet {
    folder: PathBuf,
    waiting: Vec<(NamedTempFile, PathBuf)>,
}

impl FileSet {
    /// A set in a folder, which is made if need be.
    pub fn new(folder: &Path) -> Result<FileSet, Failure> {
        fs::create_dir_all(folder)
            .map_err(|e| Failure::Text(format!("error: cannot make the folder {}: {e}", folder.display())))?;
        Ok(FileSet { folder: folder.to_owned(), waiting: Vec::new() })
    }

    /// Writes one file beside its place.
    pub fn write(&mut self, name: &str, put: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
        let file = self.begin()?;
        let mut out = BufWriter::with_capacity(1 << 16, file);
        put(&mut out).map_err(|e| self.cannot(name, &e))?;
        let file = out.into_inner().map_err(|e| self.cannot(name, e.error()))?;
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
        let (mut a, mut b) = (BufWriter::with_capacity(1 << 16, first), BufWriter::with_capacity(1 << 16, second));
        put(&mut a, &mut b).map_err(|e| self.cannot(names[0], &e))?;
        for (out, name) in [(a, names[0]), (b, names[1])] {
            let file = out.into_inner().map_err(|e| self.cannot(name, e.error()))?;
            self.waiting.push((file, self.folder.join(name)));
        }
        Ok(())
    }

    fn begin(&self) -> Result<NamedTempFile, Failure> {
        let mut builder = tempfile::Builder::new();
        builder.prefix(".airlath-");
        // A temporary file would otherwise be its owner's alone; the usual mask still applies.
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        builder
            .tempfile_in(&self.folder)
            .map_err(|e| Failure::Text(format!("error: cannot write to the folder {}: {e}", self.folder.display())))
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
        Ok(done)
    }
}
