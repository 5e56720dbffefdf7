//! Numbers and runs of lists.

use std::cmp::Ordering;

/// The number of a thing in its list. No design makes a list that is longer than these numbers reach
/// (`design/resolve/limits_of_size.rs` keeps every list far below four thousand million).
pub fn number(i: usize) -> u32 {
    debug_assert!(u32::try_from(i).is_ok(), "a list is longer than its numbers reach");
    u32::try_from(i).unwrap_or(u32::MAX)
}

/// The run of a sorted list that is neither before nor behind what is asked for.
pub fn run<T>(sorted: &[T], place: impl Fn(&T) -> Ordering) -> &[T] {
    let from = sorted.partition_point(|t| place(t) == Ordering::Less);
    let rest = sorted.get(from..).unwrap_or_default();
    rest.get(..rest.partition_point(|t| place(t) == Ordering::Equal)).unwrap_or_default()
}
