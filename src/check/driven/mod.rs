//! Checks that need a drive log: what it says against the solids, and what it leaves to do.

pub mod contradiction;
pub mod hole_unsealed;
pub mod left_to_drive;
pub mod missed_not_replaced;
pub mod remaining;

/// Why these checks do not run without a log.
fn no_log() -> Option<String> {
    Some("no drive log is given: `airlath log` reads one, `--log FILE` builds from it".to_owned())
}

/// A drive log's row as the source of a finding.
fn row(number: usize) -> super::Source {
    super::Source::words(&format!("drive log, row {number}"))
}
