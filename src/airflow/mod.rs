//! Air in a network of channels: laws of links, a solver, and which places lie on a way at all. Pure.
//!
//! Aim: from channels with their sizes, and from what drives the air, the flow in every one of them; and, without any
//! weather, which places no air can pass.
//! Reason: bays, battens and openings make a net in which a closed place here changes the flow over there; only solving
//! them together tells by how much.
//! Limits: steady flow; the density of each link is fixed while a network is solved. SI throughout: pascals, kilograms
//! a second, metres. Nothing here knows a roof or a lattice.

mod air;
mod channel;
mod law;
mod network;
mod solve;
mod warm;
mod ways;

pub use air::{CELSIUS, density, saturation, vapour_content, viscosity};
pub use channel::{Channel, Gas, Screen, local};
pub use law::{Friction, Law, ScreenLaw};
pub use network::{Link, Network};
pub use solve::{EXACT, Plan, Solution, Trouble, solve, solve_with};
pub use warm::{Beginning, DISTINCT, Outcomes, SETTLED, SHARE, Settled, Warming, beginnings, follow};
pub use ways::on_a_way;
