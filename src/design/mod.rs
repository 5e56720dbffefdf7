//! The design file, from text to a design with nothing left open.
//!
//! Aim: a builder's short text becomes a [`Design`] in which every value is there and remembers where it came from.
//! Reason: nobody downstream may ask whether something was given, and nobody on the roof may wonder who chose a number.
//! Limits: no solids here, and no files: a text comes in, a design or all its faults come out.

pub mod change;
mod diagnostic;
mod file;
mod keys;
pub mod lumber;
mod model;
mod reader;
mod resolve;
mod scalars;
mod weather;
mod written;

pub use change::Change;
pub use diagnostic::{Diagnostic, Faults, line_column};
pub use keys::listed as listed_keys;
pub use model::*;
pub use resolve::{Reading, Sure, foreign_keys, in_order, is_found_file, read, read_design, schema};

pub use resolve::slope_axes;
pub use scalars::Rating;
pub use weather::Coefficient;
pub use written::{Choice, nearest};
