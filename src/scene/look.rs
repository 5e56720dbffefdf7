//! Further ways of looking at the model, beside those by layer and by verdict.

use std::collections::BTreeMap;

use crate::check::Context;

/// The most bins of a look.
pub const MOST_BINS: usize = 7;

/// A way of looking at the model: parts in bins from good to bad. A part in no bin stays pale.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Look {
    /// Its name, such as `by load`.
    pub name: String,
    /// What each bin means, from good to bad; at most [`MOST_BINS`].
    pub bins: Vec<String>,
    /// The bin of a part, by its name.
    pub of: BTreeMap<String, u8>,
}

/// Every further look that the design gives something to show for.
pub fn looks(ctx: &Context<'_>) -> Vec<Look> {
    let air = super::air::by_air_speed(ctx);
    [super::chances::chance_look(ctx), super::strength::load_look(ctx), air].into_iter().flatten().collect()
}
