//! Checks of the roofing panels and their clips.

pub mod clip_off_batten;
pub mod clip_on_head;
pub mod clip_screw_too_long;
pub mod panel_edge_off_batten;

use super::{Context, OnSlope, Place};
use crate::lattice::Clip;

/// Why these checks do not run without panels.
fn no_panels() -> Option<String> {
    Some("the design states no roofing: write a [panels] table".to_owned())
}

/// Where a clip stands.
fn place(ctx: &Context<'_>, on: &OnSlope<'_>, clip: &Clip) -> Option<Place> {
    let lift = clip.piece.and_then(|p| on.lattice.pieces.get(p as usize)).map_or(0.0, |p| p.lift);
    Some(Place { slope: on.id, at: [clip.x, clip.y, ctx.lattice.levels.batten + lift] })
}
