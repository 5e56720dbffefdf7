//! A sign of life for anything over half a second, on a terminal only.

use std::io::IsTerminal;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use indicatif::ProgressBar;

/// How long the program may be silent.
const PATIENCE: Duration = Duration::from_millis(500);

/// Shows a moving sign until it is dropped, once half a second has passed.
pub struct Progress(Option<(Sender<()>, JoinHandle<()>)>);

impl Progress {
    /// Begins to wait.
    pub fn begin(what: &'static str) -> Progress {
        if !std::io::stderr().is_terminal() {
            return Progress(None);
        }
        let (done, waits): (Sender<()>, Receiver<()>) = channel();
        let thread = std::thread::spawn(move || {
            if waits.recv_timeout(PATIENCE) == Err(RecvTimeoutError::Timeout) {
                let bar = ProgressBar::new_spinner().with_message(what);
                bar.enable_steady_tick(Duration::from_millis(120));
                // Until the work is done and the other end is dropped.
                let _ = waits.recv();
                bar.finish_and_clear();
            }
        });
        Progress(Some((done, thread)))
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some((done, thread)) = self.0.take() {
            drop(done);
            // A sign that failed to show is no reason to fail.
            let _ = thread.join();
        }
    }
}
