//! One fastener of a landing by the NDS (allowable stress design).
//!
//! Aim: what one fastener holds against uplift and down the slope, through the gap that strip, tape and membrane make.
//! Reason: one missed rafter is judged by the same rules as the best landing. Limits: side grain; withdrawal, head
//! pull-through and lateral yield; splitting only by the spacing rules in [`spacing`]; steel tension only if the maker's value
//! is given. Never mixed with Eurocode 5.

pub mod board;
mod factors;
mod formulas;
mod joint;
pub mod spacing;

pub use factors::{Duration, Moisture, Temperature};
pub use formulas::{Bearing, PullThrough, Withdrawal};
pub use joint::{Demand, Governing, Joint, Lateral, SUSTAINED_DIVISOR, Strength, Utilisation, combined};
