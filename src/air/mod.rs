//! The space that air has over a slope: cells, the passages between them, and the openings to the outside.
//!
//! Aim: from the solids of the lattice as they are, the network that air sees between membrane and roofing.
//! Reason: what the drawing means is one thing; where strips and battens really end, what a skylight closes and which
//! vent pieces are buried is another.
//! Limits: the space lies between the membrane and the battens' upper face, where the panels lie flat; ribs of panels
//! are not counted on. Air inside the flutes of strips that run up the slope is not counted. Cells are rectangles: where
//! an edge runs aslant they step along it. Nothing here judges.

mod answers;
mod edges;
mod flow;
mod holds;
mod pockets;
mod ranges;
mod rules;
mod space;
mod warm;
mod what_if;

pub use answers::{Answers, Bay, Solved, answers, solved, speed};
pub use edges::{Closed, Why};
pub use flow::{Case, Factors, Flow, Gusts, Losses, Weather, flows, screen};
pub use holds::{Statement, in_all, statements, unsettled, vapour_from_below};
pub use pockets::Pocket;
pub use ranges::{Figure, Range, extremes, ranges, turns_round};
pub use rules::{Asked, Comparison, Unit, compare};
pub use space::{Cell, End, Layers, Opening, Passage, Side, Space, Way};
pub use what_if::{WhatIf, two_layers_over_one, what_if};

/// Narrower or lower than this a gap is not counted as a way for air, metres: 5 mm, below which the rules of the German
/// roofers' trade (ZVDH 2015) let no ventilated space be pinched.
pub const LEAST: f64 = 0.005;
