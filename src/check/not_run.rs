//! What is not checked yet, said aloud.

use super::{Check, Run};

/// Air.
pub const AIR: Check = Check {
    name: "air",
    title: "Does air find its way from eave to top?",
    page: "\
What
  Nothing yet: the way of the air through the lattice is not checked.
Why
  An opening or a vent piece in the wrong place can close whole bays.
How computed
  Not computed. Single facts are: `vent-buried`, `vent-flutes-across`, `strip-end`.
Limits
  No free area, no flow, no rule of a building code is looked at.
Source
  None.
",
    run: Run::NotChecked("no air path is computed yet"),
};
