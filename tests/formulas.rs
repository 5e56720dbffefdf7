//! Formulas and solvers by themselves: air, wood, fasteners, beams, loads. They know no roof.
//!
//! Few programs with many files each: every program is linked against the whole library, which took most of the time of a
//! build. A new file of tests goes into one of the three, `formulas`, `planned`, `program`; `tests/words.rs` finds one that
//! was forgotten.

mod airflow;
mod airflow_measured;
mod capacity_beams;
mod capacity_fasteners;
mod capacity_loads;
mod capacity_memory;
mod capacity_steps;
mod common;
