//! Writing a set of files into a folder: each is whole or as it was, and none is renamed before all are written.
//!
//! Aim: a run that is stopped at any moment leaves the old files, the new ones, or a folder that says that it is not
//! finished; and two runs never mix. Reason: half of an old plan beside half of a new one looks like a plan. How:
//! `airlath-unfinished.txt` is locked for as long as a run writes, and says so to whoever looks; `plan.json`, which lists
//! the files of one plan, is removed before the first is renamed and written after the last. Limits: what a power cut does
//! to a disk is the disk's business; where a file system knows no locks, nothing keeps two runs apart, which is said.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, BufWriter, ErrorKind, Write};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;

use super::Failure;
use super::plan_file::{Entry, Found, PLAN_FILE, PlanFile, Stamp};

/// How names of files begin that are not yet in their place.
const BESIDE: &str = ".airlath-";
/// The lock, and the word to whoever looks into the folder.
const UNFINISHED: &str = "airlath-unfinished.txt";
/// What it says.
const UNFINISHED_SAYS: &str = "Airlath writes into this folder, or was stopped while it did.\n\
    As long as plan.json is missing, files in it may be of two plans: do not build from them, run airlath again.\n";

/// A place where a run may be stopped by a test: `AIRLATH_STOP_AT=7` ends the process at the seventh. Only in builds with
/// debug assertions.
fn step() {
    #[cfg(debug_assertions)]
    {
        use std::sync::atomic::{AtomicUsize, Ordering};
        static STEPS: AtomicUsize = AtomicUsize::new(0);
        let at = STEPS.fetch_add(1, Ordering::SeqCst) + 1;
        if std::env::var("AIRLATH_STOP_AT").is_ok_and(|n| n.parse() == Ok(at)) {
            std::process::abort();
        }
    }
}

/// A folder that files are written into, locked against other runs until it is dropped.
pub struct Output {
    folder: PathBuf,
    lock: Lock,
    older: Option<PlanFile>,
}

/// What was written.
pub struct Written {
    /// The files.
    pub files: Vec<PathBuf>,
    /// What else must be said of the folder, in lines; empty where there is nothing.
    pub said: String,
}

impl Output {
    /// Opens a folder, which is made if need be, and takes away what a stopped run has left in it.
    pub fn open(folder: &Path) -> Result<Output, Failure> {
        if let Some(file) = folder.ancestors().find(|p| p.is_file()) {
            let (folder, file) = (folder.display(), file.display());
            let why = format!("error: cannot make the folder {folder}: {file} is a file\n  help: name a folder");
            return Err(Failure::Text(why));
        }
        fs::create_dir_all(folder)
            .map_err(|e| Failure::Text(format!("error: cannot make the folder {}: {e}", folder.display())))?;
        let lock = Lock::take(folder)?;
        let shown = folder.join(PLAN_FILE).display().to_string();
        let older = match PlanFile::of(folder) {
            Ok(Found::Nothing) => None,
            Ok(Found::Ours(file)) => Some(file),
            Ok(Found::Foreign) => {
                return Err(Failure::Text(format!(
                    "error: {shown} was not written by this program and is left alone\n  help: move it away, or name another folder"
                )));
            }
            Err(_) if folder.join(PLAN_FILE).is_dir() => {
                return Err(Failure::Text(format!("error: {shown} is a folder")));
            }
            Err(e) => return Err(Failure::Text(format!("error: cannot read {shown}: {e}"))),
        };
        sweep(folder);
        Ok(Output { folder: folder.to_owned(), lock, older })
    }

    /// An empty set of files for it.
    pub fn set(&self) -> FileSet {
        FileSet { folder: self.folder.clone(), waiting: Vec::new() }
    }

    /// Renames all files of a set into place. Of the program's `own` names those not written now are removed: they would
    /// tell of another plan.
    pub fn finish(mut self, files: FileSet, own: &[String], stamp: Stamp) -> Result<Written, Failure> {
        // A folder in the way of any file is found before the first is renamed.
        for (_, name, _) in &files.waiting {
            let path = self.folder.join(name);
            if path.is_dir() {
                return Err(Failure::Text(format!("error: {} is a folder", path.display())));
            }
        }
        let written: BTreeMap<String, Entry> = files.waiting.iter().map(|(_, n, e)| (n.clone(), e.clone())).collect();
        let gone: BTreeSet<String> = own.iter().filter(|n| !written.contains_key(*n)).cloned().collect();
        let (next, mut said) = PlanFile::next(&self.folder, stamp, written, &gone, self.older.as_ref());
        let mut list = self.set();
        list.write(PLAN_FILE, |w| {
            serde_json::to_writer_pretty(&mut *w, &next)?;
            writeln!(w)
        })?;
        if self.lock.was_unfinished {
            said.push_str(
                "\nAn earlier run was stopped in this folder; what it left half done is replaced or told above.\n",
            );
        }
        if self.lock.is_none {
            said.push_str("\nThis file system knows no locks: let only one run write into this folder at a time.\n");
        }

        self.lock.stays = true;
        self.remove(PLAN_FILE)?;
        let mut done = Vec::new();
        for (file, name, _) in files.waiting {
            done.push(self.place(file, &name)?);
        }
        for name in &gone {
            self.remove(name)?;
        }
        for (file, name, _) in list.waiting {
            done.push(self.place(file, &name)?);
        }
        self.lock.stays = false;
        Ok(Written { files: done, said })
    }

    fn place(&self, file: NamedTempFile, name: &str) -> Result<PathBuf, Failure> {
        step();
        let path = self.folder.join(name);
        match file.persist(&path) {
            Ok(_) => Ok(path),
            Err(e) => Err(self.stuck("write", &path, &e.error)),
        }
    }

    fn remove(&self, name: &str) -> Result<(), Failure> {
        step();
        let path = self.folder.join(name);
        match fs::remove_file(&path) {
            Err(e) if e.kind() != ErrorKind::NotFound => Err(self.stuck("remove the older", &path, &e)),
            _ => Ok(()),
        }
    }

    fn stuck(&self, what: &str, path: &Path, e: &io::Error) -> Failure {
        let (path, folder) = (path.display(), self.folder.display());
        Failure::Text(format!(
            "error: cannot {what} {path}: {e}\n  help: files in {folder} may be of two plans now; mend this and run it again"
        ))
    }
}

/// A lock on a folder.
struct Lock {
    file: File,
    path: PathBuf,
    /// Whether the word stays there although the lock goes, as the folder is not finished.
    stays: bool,
    /// Whether an earlier run was stopped before it was finished.
    was_unfinished: bool,
    /// Whether the file system knows no locks.
    is_none: bool,
}

impl Lock {
    fn take(folder: &Path) -> Result<Lock, Failure> {
        let path = folder.join(UNFINISHED);
        let cannot = |e: io::Error| {
            Failure::Text(format!("error: cannot write to the folder {}: {}", folder.display(), e.kind()))
        };
        loop {
            step();
            let file = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&path);
            let mut file = file.map_err(cannot)?;
            let is_none = match file.try_lock() {
                Ok(()) => false,
                Err(TryLockError::WouldBlock) => {
                    return Err(Failure::Text(format!(
                        "error: another run of airlath writes into {} now\n  help: wait until it is done, or name another folder",
                        folder.display()
                    )));
                }
                Err(TryLockError::Error(e)) if e.kind() == ErrorKind::Unsupported => true,
                Err(TryLockError::Error(e)) => return Err(cannot(e)),
            };
            // Between opening and locking, a run that was done may have removed the file: its lock would keep out nobody.
            if !is_there(&file, &path) {
                continue;
            }
            let was_there = file.metadata().map_err(cannot)?.len() > 0;
            let was_unfinished = was_there && !folder.join(PLAN_FILE).exists();
            step();
            file.write_all(UNFINISHED_SAYS.as_bytes()).map_err(cannot)?;
            return Ok(Lock { file, path, stays: was_unfinished, was_unfinished, is_none });
        }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        step();
        // What cannot be removed goes at the next run.
        if !self.stays {
            let _ = fs::remove_file(&self.path);
        }
        step();
        let _ = self.file.unlock();
    }
}

/// Whether an open file still is the one of that path.
#[cfg(unix)]
fn is_there(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let id = |m: fs::Metadata| (m.dev(), m.ino());
    matches!((file.metadata().map(id), fs::metadata(path).map(id)), (Ok(a), Ok(b)) if a == b)
}

/// Whether an open file still is the one of that path: elsewhere an open file keeps its name.
#[cfg(not(unix))]
fn is_there(_: &File, path: &Path) -> bool {
    path.exists()
}

/// Files that are written, but not yet in their place.
pub struct FileSet {
    folder: PathBuf,
    waiting: Vec<(NamedTempFile, String, Entry)>,
}

impl FileSet {
    /// Writes one file beside its place.
    pub fn write(&mut self, name: &str, put: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
        let file = beside(&self.folder)?;
        let mut out = Counted::new(&file);
        let entry = put(&mut out).and_then(|()| out.whole()).map_err(|e| cannot(&self.folder.join(name), &e))?;
        self.waiting.push((file, name.to_owned(), entry));
        Ok(())
    }

    /// Writes two files that are made in one go.
    pub fn write_two(
        &mut self,
        names: [&str; 2],
        put: impl FnOnce(&mut dyn Write, &mut dyn Write) -> io::Result<()>,
    ) -> Result<(), Failure> {
        let (first, second) = (beside(&self.folder)?, beside(&self.folder)?);
        let (mut a, mut b) = (Counted::new(&first), Counted::new(&second));
        put(&mut a, &mut b).map_err(|e| cannot(&self.folder.join(names[0]), &e))?;
        let entries = [
            a.whole().map_err(|e| cannot(&self.folder.join(names[0]), &e))?,
            b.whole().map_err(|e| cannot(&self.folder.join(names[1]), &e))?,
        ];
        for ((file, name), entry) in [first, second].into_iter().zip(names).zip(entries) {
            self.waiting.push((file, name.to_owned(), entry));
        }
        Ok(())
    }

    /// Takes over the files of another set of the same folder.
    pub fn join(&mut self, other: FileSet) {
        self.waiting.extend(other.waiting);
    }
}

/// Whether a file that is written alone may take the place of an older one.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Older {
    /// It is replaced.
    Replaced,
    /// It is left alone, and nothing is written.
    Kept,
}

/// Writes one file wherever somebody wants it: it is whole, or as it was.
pub fn alone(path: &Path, older: Older, put: impl FnOnce(&mut dyn Write) -> io::Result<()>) -> Result<(), Failure> {
    let folder = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if path.is_dir() {
        return Err(Failure::Text(format!("error: {} is a folder", path.display())));
    }
    sweep(folder);
    let file = temporary(folder).map_err(|e| cannot(path, &e))?;
    let mut out = Counted::new(&file);
    put(&mut out).and_then(|()| out.whole()).map_err(|e| cannot(path, &e))?;
    step();
    let placed = match older {
        Older::Replaced => file.persist(path),
        Older::Kept => file.persist_noclobber(path),
    };
    placed.map(drop).map_err(|e| match e.error.kind() {
        ErrorKind::AlreadyExists => Failure::Text(format!(
            "error: {} exists and is left alone\n  help: choose another name, or move it away",
            path.display()
        )),
        _ => cannot(path, &e.error),
    })
}

fn cannot(path: &Path, e: &io::Error) -> Failure {
    Failure::Text(format!("error: cannot write {}: {e}", path.display()))
}

/// A temporary file in a folder, or why none can be made.
fn beside(folder: &Path) -> Result<NamedTempFile, Failure> {
    temporary(folder)
        .map_err(|e| Failure::Text(format!("error: cannot write to the folder {}: {}", folder.display(), e.kind())))
}

/// A temporary file in a folder, locked for as long as it is open.
fn temporary(folder: &Path) -> io::Result<NamedTempFile> {
    step();
    let mut builder = tempfile::Builder::new();
    builder.prefix(BESIDE);
    // A temporary file would otherwise be its owner's alone; the usual mask still applies.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    // Its error would tell a path which nobody knows.
    let file = builder.tempfile_in(folder).map_err(|e| io::Error::from(e.kind()))?;
    // Without locks nothing is swept, so nothing is lost.
    let _ = file.as_file().try_lock();
    Ok(file)
}

/// Writes into a temporary file, and reckons its hash. (The temporary file's own writer would tell its path, which nobody
/// knows, together with every error.)
struct Counted<'f> {
    out: BufWriter<Hashed<'f>>,
}

/// What goes to the disk, with its hash.
struct Hashed<'f> {
    file: &'f File,
    hash: blake3::Hasher,
    bytes: u64,
}

impl Write for Hashed<'_> {
    fn write(&mut self, data: &[u8]) -> io::Result<usize> {
        step();
        let n = self.file.write(data)?;
        self.hash.update(data.get(..n).unwrap_or_default());
        self.bytes += n as u64;
        Ok(n)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl<'f> Counted<'f> {
    fn new(file: &'f NamedTempFile) -> Self {
        let hashed = Hashed { file: file.as_file(), hash: blake3::Hasher::new(), bytes: 0 };
        Counted { out: BufWriter::with_capacity(1 << 16, hashed) }
    }

    /// Writes what is left, and says what the file is now.
    fn whole(mut self) -> io::Result<Entry> {
        self.out.flush()?;
        let hashed = self.out.get_ref();
        Ok(Entry { bytes: hashed.bytes, blake3: hashed.hash.finalize().to_hex().to_string() })
    }
}

impl Write for Counted<'_> {
    fn write(&mut self, data: &[u8]) -> io::Result<usize> {
        self.out.write(data)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

/// Removes what a stopped run has left in a folder: temporary files that nobody holds a lock on. What cannot be removed
/// stays: nothing depends on it.
fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let ours = entry.file_name().to_string_lossy().starts_with(BESIDE);
        if ours
            && File::open(entry.path()).is_ok_and(|f| f.metadata().is_ok_and(|m| m.is_file()) && f.try_lock().is_ok())
        {
            let _ = fs::remove_file(entry.path());
        }
    }
}
