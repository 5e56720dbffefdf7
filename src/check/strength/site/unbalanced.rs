//! Unbalanced snow on the slopes of gables and hips.
//!
//! Aim: for each slope the most that wind can leave on it. Reason: a batten lies on one slope, so the slope as the side away from the
//! wind is what may decide; as the windward side it has less than the balanced load. Limits: where the slope meets others at its
//! top; the ridge is taken to run along that.

use super::say;
use crate::capacity::unbalanced::{Drift, Leeward, asked_at};
use crate::capacity::{Mark, Source, Step};
use crate::check::strength::basis::{Basis, SnowOn, Unbalanced};
use crate::check::strength::zones;
use crate::design::{SnowSpec, Standard};
use crate::quantity::maths::{atan2, cos};
use crate::structure::SlopeFrame;

const EN: Source = Source::new("EN 1991-1-3 5.3.3, drifted arrangements", Mark::FromMemory);

/// Farther apart than this two slopes do not meet, metres.
const APART: f64 = 0.5;

/// Snow on every slope from its balanced load, with the lines that lead to it.
pub fn lying(
    spec: &SnowSpec,
    edition: Standard,
    frames: &[SlopeFrame],
    balanced: &[f64],
    basis: &mut Basis,
) -> Vec<SnowOn> {
    let mut told = None;
    let mut all = Vec::with_capacity(frames.len());
    for (i, (frame, load)) in frames.iter().zip(balanced).enumerate() {
        let mut on = SnowOn { balanced: *load, unbalanced: None };
        if meets_others_at_its_top(frame, frames) {
            let steps = match leeward(spec, edition, frame, frames, *load) {
                // Less on this side, or as much as the balanced load.
                None => vec![half(*load)],
                Some(side) => match side.load().and_then(|l| Ok((l, side.steps()?))) {
                    Ok((found, steps)) => {
                        on.unbalanced = found.map(|l| Unbalanced {
                            even: l.even,
                            surcharge: l.surcharge,
                            above: frame.outline.bounds().y1 - l.reach / cos(frame.pitch),
                        });
                        steps
                    }
                    Err(why) => {
                        told = Some(say(why));
                        Vec::new()
                    }
                },
            };
            if let Some(lines) = basis.steps.snow.get_mut(i) {
                lines.extend(steps);
            }
        }
        all.push(on);
    }
    basis.left_out.extend(told);
    all
}

/// Whether ASCE 7 asks for unbalanced snow on some slope.
pub fn is_asked(frames: &[SlopeFrame]) -> bool {
    frames.iter().any(|f| meets_others_at_its_top(f, frames) && asked_at(f.pitch).unwrap_or(true))
}

/// Whether another slope, that looks another way, has a corner at the highest line of a slope: a ridge, or the end of one.
fn meets_others_at_its_top(frame: &SlopeFrame, frames: &[SlopeFrame]) -> bool {
    let top = frame.outline.bounds().y1;
    let world = |f: &SlopeFrame, c: (f64, f64)| f.pose * crate::solid::Point3::new(c.0, c.1, 0.0);
    let highest: Vec<_> =
        frame.outline.corners.iter().filter(|c| c.1 > top - APART).map(|c| world(frame, *c)).collect();
    let up = |f: &SlopeFrame| {
        let v = f.pose * crate::solid::Vector3::y();
        atan2(v.x, v.y)
    };
    let turned = |o: &SlopeFrame| cos(up(o) - up(frame)) < 0.9;
    let meets =
        |o: &SlopeFrame| o.outline.corners.iter().any(|c| highest.iter().any(|p| (world(o, *c) - p).norm() < APART));
    frames.iter().any(|o| !std::ptr::eq(o, frame) && turned(o) && meets(o))
}

/// A slope as the side away from the wind; `None` by EN 1991-1-3.
fn leeward(
    spec: &SnowSpec,
    edition: Standard,
    frame: &SlopeFrame,
    frames: &[SlopeFrame],
    balanced: f64,
) -> Option<Leeward> {
    let drift = match edition {
        Standard::Asce7_10 => Drift::Of10,
        Standard::Asce7_16 => Drift::Of16,
        Standard::Asce7_22 => Drift::Of22 { winter_wind: spec.winter_wind.as_ref().map(|w| w.value) },
        Standard::En1991 => return None,
    };
    let bounds = frame.outline.bounds();
    let depth = (bounds.y1 - bounds.y0) * cos(frame.pitch);
    Some(Leeward {
        drift,
        ground: spec.ground.as_ref()?.value.pascals(),
        importance: spec.importance.as_ref().map_or(1.0, |i| i.value),
        balanced,
        slope: frame.pitch,
        depth,
        fetch: (zones::depth_of_roof(frame, frames) - depth).max(depth),
    })
}

/// The drifted arrangement by EN 1991-1-3: half of the load on one of the sides.
fn half(balanced: f64) -> Step {
    Step::new(
        "s_half",
        "snow on this slope where the other side keeps all of its own: less than above, so that never decides",
        "0.5 s",
        format!("0.5 * {}", crate::capacity::units::num(balanced / 1000.0)),
        0.5 * balanced / 1000.0,
    )
    .unit("kPa")
    .source(EN)
}
