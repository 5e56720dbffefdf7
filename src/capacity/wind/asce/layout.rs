//! How the zones of a roof lie.
//!
//! Aim: which zone a place of a roof is in, by its distances from the edges in plan. Reason: suction at edges and corners is
//! several times that of the field. Limits: rectangular plans, one roof shape; a figure that was not seen is laid out so
//! that it holds whatever the figure draws.

use super::coefficient::degrees;
use super::{Edition, Roof};
use crate::capacity::fault::{NotComputed, positive};
use crate::capacity::source::{Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{FOOT, num};

/// Width a of edge zones: a tenth of the least width or 0.4 h, the smaller, but not below 0.04 of the least width or 3 ft. All
/// in metres.
///
/// # Errors
/// Sizes that are not above zero.
pub fn zone_width(least_width: f64, height: f64) -> Result<f64, NotComputed> {
    let w = positive("least width of the building", least_width)?;
    let h = positive("mean roof height", height)?;
    Ok((0.1 * w).min(0.4 * h).max(0.04 * w).max(3.0 * FOOT))
}

/// Source of [`zone_width`].
pub const ZONE_WIDTH: Source = Source::new("ASCE 7 Figure 30.3-2, notes (7-10: Figure 30.4-2)", Mark::Published);

/// The line of [`zone_width`].
///
/// # Errors
/// As [`zone_width`].
pub fn zone_width_step(least_width: f64, height: f64) -> Result<Step, NotComputed> {
    let a = zone_width(least_width, height)?;
    let (w, h) = (num(least_width / FOOT), num(height / FOOT));
    Ok(Step::new(
        "a",
        "width of edge zones",
        "max(min(0.1 w, 0.4 h), 0.04 w, 3)",
        format!("max(min(0.1*{w}, 0.4*{h}), 0.04*{w}, 3)"),
        a / FOOT,
    )
    .unit("ft")
    .source(ZONE_WIDTH))
}

/// Kinds of edges that zones lie along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Edge {
    /// The lowest edge.
    Eave,
    /// A sloping edge at a gable.
    Rake,
    /// The ridge of a gable or hip.
    Ridge,
    /// The high edge of a monoslope.
    HighEdge,
    /// A hip.
    Hip,
}

/// Where a zone lies: within `reach` of one of the edges `near` and, if `and_near` is not empty, within `and_reach` of
/// one of those. Metres on plan. Where several fit a place, the first of the list counts; the last has no edges and holds
/// the rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZonePlace {
    /// Name in the tables.
    pub zone: &'static str,
    /// Within `reach` of one of these; empty: everywhere.
    pub near: &'static [Edge],
    /// Reach, m.
    pub reach: f64,
    /// And within `and_reach` of one of these that is not the same edge; empty: no further condition. Eaves, rakes and high
    /// edges are those of the whole roof: a hip roof has its corners where the eaves of two slopes meet.
    pub and_near: &'static [Edge],
    /// Reach, m.
    pub and_reach: f64,
    /// How we know the layout.
    pub mark: Mark,
}

/// How the zones of a roof lie. `a` from [`zone_width`], `height` the mean roof height, m.
///
/// # Errors
/// No layout for this edition, shape and slope.
pub fn layout(edition: Edition, roof: Roof, slope: f64, a: f64, height: f64) -> Result<Vec<ZonePlace>, NotComputed> {
    use Edge::{Eave, HighEdge, Hip, Rake, Ridge};
    let degrees = degrees(slope)?;
    let a = positive("zone width", a)?;
    let h = positive("mean roof height", height)?;
    let place =
        |zone, near, reach, and_near, and_reach, mark| ZonePlace { zone, near, reach, and_near, and_reach, mark };
    const OUTER: &[Edge] = &[Eave, Rake, HighEdge];
    const ALL: &[Edge] = &[Eave, Rake, Ridge, Hip, HighEdge];
    const NONE: &[Edge] = &[];
    let m = Mark::FromMemory;
    let s = Mark::Shaky;
    // The figures of the newest edition were seen as an adopting standard draws them; those of single slopes are older.
    let seen = if edition == Edition::Asce7_22 { Mark::Published } else { m };
    let low = if roof == Roof::Monoslope { 3.0 } else { 7.0 };
    match edition {
        Edition::Asce7_10 if degrees <= low => Ok(vec![
            place("3", OUTER, a, OUTER, a, m),
            place("2", OUTER, a, NONE, 0.0, m),
            place("1", NONE, 0.0, NONE, 0.0, m),
        ]),
        Edition::Asce7_10 if degrees <= 45.0 && roof != Roof::Monoslope => Ok(vec![
            // Corners of eaves, and ends of ridges at gables.
            place("3", &[Eave, Ridge], a, &[Eave, Rake], a, m),
            place("2", ALL, a, NONE, 0.0, m),
            place("1", NONE, 0.0, NONE, 0.0, m),
        ]),
        _ if roof == Roof::Monoslope && degrees > 3.0 && degrees <= 10.0 => Ok(vec![
            place("3'", &[HighEdge], 2.0 * a, &[Rake], 4.0 * a, seen),
            place("3", &[Eave], 2.0 * a, &[Rake], 2.0 * a, seen),
            place("2'", &[HighEdge, Rake], 2.0 * a, NONE, 0.0, seen),
            place("2", &[Eave], a, NONE, 0.0, seen),
            place("1", NONE, 0.0, NONE, 0.0, seen),
        ]),
        _ if roof == Roof::Monoslope && degrees > 3.0 && degrees <= 30.0 => Ok(vec![
            place("3", &[HighEdge], 2.0 * a, &[Rake], 4.0 * a, seen),
            place("2", &[HighEdge], 2.0 * a, NONE, 0.0, seen),
            place("2", &[Eave, Rake], a, NONE, 0.0, seen),
            place("1", NONE, 0.0, NONE, 0.0, seen),
        ]),
        // Zone 3 is an L at each corner: along either edge as far as 0.6 h from the other.
        Edition::Asce7_16 | Edition::Asce7_22 if degrees <= low => Ok(vec![
            place("3", OUTER, 0.2 * h, OUTER, 0.6 * h, seen),
            place("2", OUTER, 0.6 * h, NONE, 0.0, seen),
            place("1", OUTER, 1.2 * h, NONE, 0.0, seen),
            place("1'", NONE, 0.0, NONE, 0.0, seen),
        ]),
        Edition::Asce7_16 if roof == Roof::Gable && degrees <= 45.0 => Ok(vec![
            place("3r", &[Ridge], a, &[Rake], a, s),
            place("3e", &[Eave], a, &[Rake], a, s),
            place("2r", &[Ridge], a, NONE, 0.0, s),
            place("2n", &[Rake], a, NONE, 0.0, s),
            place("2e", &[Eave], a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        // The corner of an eave is a square; what is near eave and hip is larger.
        Edition::Asce7_16 if roof == Roof::Hip && degrees <= 45.0 => Ok(vec![
            place("3", &[Eave], a, &[Hip, Rake], a, s),
            place("2e", &[Eave, Rake], a, NONE, 0.0, s),
            place("2r", &[Ridge, Hip], a, NONE, 0.0, s),
            place("1", NONE, 0.0, NONE, 0.0, s),
        ]),
        // Up to 27 degrees the worst is at the ends of the ridge, above at the corners of the eaves; eaves are no zone.
        Edition::Asce7_22 if roof == Roof::Gable && degrees <= 27.0 => Ok(vec![
            place("3", &[Ridge], a, &[Rake], a, seen),
            place("2", &[Ridge, Rake], a, NONE, 0.0, seen),
            place("1", NONE, 0.0, NONE, 0.0, seen),
        ]),
        Edition::Asce7_22 if roof == Roof::Gable && degrees <= 45.0 => Ok(vec![
            place("3", &[Eave], a, &[Rake], a, seen),
            place("2", &[Rake], a, NONE, 0.0, seen),
            place("1", NONE, 0.0, NONE, 0.0, seen),
        ]),
        Edition::Asce7_22 if roof == Roof::Hip && degrees <= 45.0 => Ok(vec![
            place("3", &[Eave, Rake], a, NONE, 0.0, seen),
            place("2", &[Ridge, Hip], a, NONE, 0.0, seen),
            place("1", NONE, 0.0, NONE, 0.0, seen),
        ]),
        _ => Err(NotComputed::NotCovered {
            what: "wind zones",
            why: "no layout for this edition, shape and slope: give pressures by zone",
        }),
    }
}
