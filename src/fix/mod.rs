//! Changes of a design that were tried: what each clears, what it makes, what it leaves.
//!
//! Aim: nothing is proposed that was not laid out again as a whole and checked again. Reason: a check sees one place; only the
//! whole roof shows what a change does elsewhere.
//! How: [`Trial`] alone applies a change, lays the roof and checks it; [`Difference`] alone compares two sets of findings. What
//! findings propose ([`prove`]), what opens an empty window ([`Openings`]), what strength gains ([`weakest()`]) and the way to a
//! roof without fails ([`fix()`]) are four uses of these two.
//! Limits: every use has a count of tries, and says what it did not try.

mod cause;
mod difference;
mod propose;
mod prove;
mod search;
mod trial;
mod weakest;
mod windows;

pub use cause::{Cause, CauseKind, causes, fewest};
pub use difference::Difference;
pub use prove::{most_runs, prove};
pub use search::{Fix, Flags, Left, MOST_TRIES, Partial, Step, Takes, Wishes, fix};
pub use trial::Trial;
pub use weakest::{Standing, Tried, Weakest, weakest};
pub use windows::{Opening, Openings};
