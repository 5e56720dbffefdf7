//! Files: one writer a format, each a plain function from a [`Scene`] to bytes.
//!
//! Aim: models that any free viewer opens, and lists that a program or a spreadsheet reads, all telling one story.
//! Reason: a writer that sees only the scene cannot disagree with another one about a name, a size or a verdict; one
//! that opens no file can be tested without a disk and measured without one.
//! Limits: a writer holds no list of parts (the binary glTF holds its own bytes, because their lengths stand in front
//! of them). The same scene gives the same bytes. A number that is no number, or an index that points nowhere, is an
//! error of kind `InvalidData`, never a file that looks whole.
//!
//! | module | file |
//! |---|---|
//! | [`glb`] | binary glTF 2.0: the named tree, or instances for a very large roof |
//! | [`stl`] | binary STL in millimetres, whole or one layer, with an index of its parts |
//! | [`findings`] | the report as JSON, and its schema |
//! | [`marks`] | windows as CSV and as JSON |
//! | [`quantities`] | counts, lengths, areas and masses as CSV |
//! | [`report`] | everything on one page, for a phone and for paper |
//! | [`svg`], [`pdf`], [`png`](mod@png) | sheets: one drawing, all in one file, one picture |
//! | [`table`] | a list (cut list, buying list, order of work) as CSV |

pub mod driven;
pub mod findings;
pub mod glb;
pub mod marks;
pub mod pdf;
pub mod png;
pub mod quantities;
pub mod report;
pub mod stl;
pub mod svg;
pub mod table;

mod form;
mod text;

#[cfg(test)]
mod fixture;

use std::io;

use crate::scene::{Part, Scene};
use crate::solid::Pose;

/// The error for a scene that contradicts itself.
fn broken(message: impl Into<String>) -> io::Error {
    io::Error::new(io::ErrorKind::InvalidData, message.into())
}

/// The pose of a part's branch.
///
/// # Errors
/// A part of a branch that the scene does not have.
fn branch_pose<'a>(scene: &'a Scene<'_>, part: &Part<'_>) -> io::Result<&'a Pose> {
    let branch = scene.branches.get(part.branch);
    branch.map(|b| &b.pose).ok_or_else(|| broken(format!("part {} is in no branch of the scene", part.name)))
}

/// Whether every number of a pose is a number.
fn is_finite(pose: &Pose) -> bool {
    pose.translation.vector.iter().chain(pose.rotation.coords.iter()).all(|v| v.is_finite())
}
