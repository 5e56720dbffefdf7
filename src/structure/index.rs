//! What lies under a slope.

use crate::design::SlopeId;
use crate::quantity::list::number;
use crate::solid::BodyIndex;

use super::{Component, Member, MemberId, SlopeFrame};

/// Bodies of members in the coordinates of the slope that sees them.
pub type SlopeIndex = BodyIndex<(MemberId, Component)>;

/// How far below the membrane a body still matters to a slope, metres: longer than any fastener.
const DEPTH: f64 = 0.5;

/// Gathers what lies under a slope: what is placed on it, and whatever of the building reaches under it.
pub fn under(slope: SlopeId, slopes: &[SlopeFrame], members: &[Member]) -> SlopeIndex {
    let Some(frame) = slopes.get(slope.0) else { return SlopeIndex::build([]) };
    let back = frame.pose.inverse();
    let bounds = frame.outline.bounds();
    let mut bodies = Vec::new();
    for (i, member) in members.iter().enumerate() {
        let id = MemberId(number(i));
        let relative = match member.home {
            Some(home) if home == slope => None,
            Some(home) => match slopes.get(home.0) {
                Some(h) => Some(back * h.pose),
                None => continue,
            },
            None => Some(back),
        };
        for (component, body) in &member.bodies {
            let body = relative.map_or_else(|| body.clone(), |r| body.moved(&r));
            let (low, high) = body.bounds();
            let over = low.x < bounds.x1 && high.x > bounds.x0 && low.y < bounds.y1 && high.y > bounds.y0;
            if relative.is_none() || (over && high.z > -DEPTH && low.z < 0.0) {
                bodies.push(((id, *component), body));
            }
        }
    }
    SlopeIndex::build(bodies)
}
