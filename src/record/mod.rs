//! Records made on the roof: what was really driven, and what was measured.
//!
//! Aim: a table that somebody filled in on a tablet, or on paper and then in a spreadsheet, becomes facts about the plan, or
//! all its faults at once, each with its row, its column and what to do.
//! Reason: the drawing is perfect and the roof is not. A record that drops a row without a word is worse than none.
//! Limits: tables of separated values (CSV) as spreadsheets write them. Nothing here judges, and nothing opens a file.

mod corners;
mod driven;
mod fit;
mod log;
pub mod marks;
pub mod survey;
mod table;

pub use driven::{Driven, LeftIn, LeftInKind, State};
pub use fit::{BENT_CALLED_STRAIGHT, Fit, Form, Point, STRAIGHT_CALLED_BENT, fit};
pub use log::{COLUMNS, DriveLog, Entry, Fingerprints, Gone, Hole, Moved, Outcome, Remapped, Said, read, remap};
pub use table::{in_order, length};
