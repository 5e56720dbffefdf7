//! One fastener of a landing, and a batten, by Eurocode 5 (limit states).
//!
//! Aim: what one fastener holds against uplift and down the slope, through the gap that strip, tape and membrane make.
//! Reason: the other rule set of the two, chosen in the design. Limits: EN 1995-1-1 with A1:2008; side grain. Its equations
//! (8.6) cover woods that touch (g = 0); the gap terms are statics, the same moment balance at the yield points with the gap
//! between them, and no rope effect is counted. Most of it is recalled and marked so. Never mixed with the NDS.

pub mod board;
mod factors;
mod joint;
pub mod spacing;

pub use super::nds::{Demand, Governing, Utilisation};
pub use factors::{Duration, GAMMA_CONNECTION, GAMMA_TIMBER, ServiceClass, kmod};
pub use joint::{Joint, Lateral, Strength, combined};
