//! What is not checked yet, said aloud.

use super::{Check, Run};

/// Strength.
pub const STRENGTH: Check = Check {
    name: "strength",
    title: "Do fasteners and battens carry wind, snow and their own weight?",
    page: "\
What
  Nothing yet: the strength of fasteners, battens and strips is not checked.
Why
  A batten that is backed everywhere may still be pulled off by wind. A backed landing is no statement about load.
How computed
  Not computed.
Limits
  Have a licensed designer confirm everything that carries wind or snow.
Source
  None.
",
    run: Run::NotChecked("no loads are computed yet; a licensed designer must confirm what carries wind or snow"),
};
