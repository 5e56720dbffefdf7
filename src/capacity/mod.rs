//! What wood, nails and screws hold, and what wind, snow and people ask of them: pure formulas, each with its source.
//!
//! Aim: one floor of formulas that knows no lattice and no design file, so that each can be held against a published
//! table. Reason: a formula that is mixed with geometry cannot be checked by hand. Limits: SI inside (metres, newtons,
//! pascals, radians, metres per second) as plain `f64`; allowable stress design by the NDS and limit states by Eurocode 5 are
//! two rule sets, chosen by the caller and never mixed. Nothing here replaces a licensed designer.
//!
//! Every formula is a small struct of inputs. `value()` or `strength()` gives the number and makes no text; `step()` or
//! `steps()` gives the same calculation as lines that a person would write by hand ([`Step`]: symbol, formula, numbers put
//! in, result, source, mark). Input that is negative, no number, outside a table, or a case that the standard lacks gives
//! [`NotComputed`], never a number.
//!
//! - [`wood`]: species, grades, strength classes; [`fastener`]: nails and screws with what follows from their size
//! - [`nds`]: [`nds::Joint`] (one fastener of a landing), [`nds::board`], spacing
//! - [`ec5`]: [`ec5::Joint`], [`ec5::board`], spacing, of the same shape
//! - [`dowel`]: the six yield modes through a gap, shared by both rule sets
//! - [`wind`]: velocity pressures, coefficients as data that a user may replace, zones; [`snow`]; [`loads`]: roof live
//!   load, components on a slope, combinations
//! - [`beam`]: a batten as a continuous beam on supports that hold one way or both
//!
//! ```
//! use airlath::capacity::nds::{Demand, Duration, Joint, Moisture, Temperature};
//! use airlath::capacity::{fastener::Fastener, units::{INCH, LBF}};
//! let nail = Fastener::smooth_nail(0.148, 3.0)?;
//! let joint = Joint {
//!     fastener: &nail,
//!     side_gravity: 0.42,
//!     side_thickness: 0.75 * INCH,
//!     gap: 0.4375 * INCH,
//!     main_gravity: 0.42,
//!     penetration: 1.8125 * INCH,
//!     countable: None,
//!     tilt: 0.0,
//!     side_angle: 0.0,
//!     main_angle: 0.0,
//!     end_grain: false,
//!     moisture: Moisture::Dry,
//!     temperature: Temperature::Normal,
//! };
//! let strength = joint.strength()?;
//! let (axial, _) = strength.axial(Duration::TenMinutes);
//! assert!((axial / LBF - 67.7).abs() < 0.05);
//! let demand = Demand { uplift: 30.0 * LBF, lateral: 10.0 * LBF };
//! let by_hand = joint.steps(&demand, Duration::TenMinutes)?;
//! assert!(by_hand.iter().any(|s| s.symbol == "Z'"));
//! # Ok::<(), airlath::capacity::NotComputed>(())
//! ```

pub mod beam;
pub mod dowel;
pub mod ec5;
pub mod fastener;
mod fault;
pub mod loads;
mod memory;
pub mod nds;
pub mod snow;
mod source;
pub mod spacing;
mod step;
pub mod unbalanced;
pub mod units;
pub mod wind;
pub mod wood;

pub use fault::NotComputed;
pub use memory::FROM_MEMORY;
pub use source::{Known, Mark, Source};
pub use step::{Step, count_marks};
