//! Airlath plans the ventilated batten lattice over a membrane roof.
//!
//! Aim: from one design file, the whole lattice as solids, every batten that nothing backs, and files that any free
//! viewer opens.
//! Reason: once the membrane is on, nobody can see the rafters; a fastener in the wrong place is a hole that stays.
//! Limits: backing, fit and the ways of the air are checked here, strength and flows where the design gives loads and
//! weather. Nothing here replaces a licensed designer.
//!
//! The stages in order, each knowing only those before it:
//!
//! 1. [`design::read_design`]: the text of a design file becomes a [`design::Design`], or all its faults
//! 2. [`structure::Structure`]: the framing as solids, as drawn and as found
//! 3. [`lattice::Lattice`]: tape, strips, vent pieces, battens, fasteners
//! 4. [`parts::Parts`]: what all this is made of, kind by kind: names, solids, sizes
//! 5. [`check::run`]: verdicts with their evidence
//! 6. [`scene::Scene`]: parts, landings and lists, free of any format
//! 7. [`sheet`]: a scene drawn on paper, still free of any format
//! 8. [`mod@write`]: one writer a format
//!
//! [`capacity`] has the formulas of the standards, [`check::strength`] the way of the loads, [`mod@fix`] the changes that were tried.
//! [`plan::Plan`] walks the first three. A running example:
//!
//! ```
//! let text = r#"
//! format = 1
//! name = "Invented shed"
//! units = "inches"
//! [roof]
//! shape = "shed"
//! eave = "12 ft"
//! slope_length = "8 ft"
//! pitch = "4:12"
//! [[rafters]]
//! section = { nominal = "2x8" }
//! spacing = "24 in"
//! last = "11 ft 11 1/4 in"
//! close = true
//! [lattice]
//! batten = { nominal = "1x4", spacing = "16 in" }
//! [fastening]
//! diameter = "0.148 in"
//! length = "3 in"
//! "#;
//! let plan = airlath::plan::Plan::from_text("shed.toml", text).map_err(|f| f.render(false))?;
//! let context = plan.context();
//! assert_eq!(context.backed_count(), plan.lattice.landing_count());
//! # Ok::<(), String>(())
//! ```

#![cfg_attr(not(test), warn(clippy::disallowed_methods))]

pub mod aim;
pub mod air;
pub mod airflow;
pub mod capacity;
#[cfg(test)]
#[path = "../tests/common/cases.rs"]
mod cases;
pub mod check;
#[cfg(feature = "cli")]
pub mod cli;
pub mod cutting;
pub mod design;
pub mod fix;
pub mod lattice;
pub mod parts;
pub mod plan;
pub mod quantity;
pub mod record;
pub mod scene;
pub mod sheet;
pub mod solid;
pub mod structure;
pub mod write;
