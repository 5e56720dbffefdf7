//! Where to drive: aim windows.
//!
//! Aim: for every fastener of every landing the region of the batten's face from which it passes the tape with its
//! margin, is backed, and keeps its distances; and, where there is no such place, what stands in its way.
//! Reason: the rafters are out of sight and a hand leans and wanders. One point on a sheet is no help; a stretch to
//! either side of a line is.
//! Limits: shanks are straight. A window ends half way to the neighbouring landings of its board and [`REACH`] from the
//! landing's middle. Members, tape, boards and straps are the solids that everything else asks too; a bent part is
//! several bodies, and near a bend the window is the smaller one of both stretches. Nothing here judges.
//!
//! Three windows, named apart: **square** (driven without tilt), **sure** (works at every tilt up to the stated error of
//! the hand), **reach** (works at one chosen tilt). Conditions are half-planes: for a shank of one direction the places of
//! its head from which it stays behind a face of a body form one; over a cone of directions each half-plane is moved in
//! by the most that the cone can move the shank at the depths in question.

mod chance;
mod condition;
mod mark;
mod normal;
mod obstacle;
mod place;
mod region;
mod window;

pub use chance::{Aims, Chances, LandingChance, LineChance, PieceChance, allowed_shift, sampled_chances};
pub use condition::{Condition, Conditions};
pub use mark::{MarkedRectangle, mark_step, marked_rectangle};
pub use obstacle::{Obstacle, Obstacles};
pub use place::placed;
pub use region::{HalfPlane, Region, Ring};
pub use window::{Lean, REACH, Site};
