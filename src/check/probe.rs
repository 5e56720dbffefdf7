//! What a single fastener meets: the exact query on the solids below it.
//!
//! Backed means that the whole shank, its radius included, lies inside one member over the required embedment, measured
//! from that member's upper face. Of an I-joist only the top flange counts.

use crate::solid::tolerance::SAME;
use crate::solid::{Body, Chord, Entry, Plane, Point3, Vector3, room_about};
use crate::structure::{Component, Face, MemberId, SlopeIndex};

/// A fastener as a query: it points straight into the slope.
#[derive(Clone, Copy, Debug)]
pub struct Shank {
    /// Underside of the head, slope coordinates.
    pub head: Point3,
    /// Length under the head.
    pub length: f64,
    /// Radius.
    pub radius: f64,
    /// Embedment that is asked for.
    pub embedment: f64,
}

/// What became of a fastener.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// Backed.
    Backed,
    /// In a member all round, but not deep enough.
    Shallow,
    /// Its axis meets a member, but the shank breaks out of its side (or its end) within the asked embedment.
    BreaksOut,
    /// It meets nothing that counts.
    Nothing,
}

/// Where the tip ends up, if not inside what it was driven into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tip {
    /// Inside.
    Inside,
    /// Through the flange, into the web.
    Web,
    /// Out of the side.
    Side,
    /// Out of the underside (of a flange too).
    Underside,
}

/// The answer for one fastener.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Backing {
    /// What became of it.
    pub outcome: Outcome,
    /// Where its tip is.
    pub tip: Tip,
    /// The member that backs it, or that it meets best.
    pub member: Option<MemberId>,
    /// Length of shank inside that member (of an I-joist: inside the top flange), metres.
    pub embedment: f64,
    /// From the axis to the member's nearest side or end over the asked embedment, square to the axis, metres.
    pub room: f64,
}

const NOTHING: Backing =
    Backing { outcome: Outcome::Nothing, tip: Tip::Inside, member: None, embedment: 0.0, room: f64::NEG_INFINITY };

/// Asks the solids near a fastener.
pub fn probe(index: &SlopeIndex, shank: &Shank) -> Backing {
    let (x, y, r) = (shank.head.x, shank.head.y, shank.radius);
    let mut best = NOTHING;
    index.near((x - r, x + r), (y - r, y + r), |entry| consider(index, entry, shank, &mut best));
    best
}

/// The same by asking every body there is: what the quick way is measured against.
pub fn probe_all(index: &SlopeIndex, shank: &Shank) -> Backing {
    let mut best = NOTHING;
    for entry in &index.entries {
        consider(index, entry, shank, &mut best);
    }
    best
}

const DOWN: Vector3 = Vector3::new(0.0, 0.0, -1.0);

fn consider(index: &SlopeIndex, entry: &Entry<(MemberId, Component)>, shank: &Shank, best: &mut Backing) {
    let (member, component) = entry.tag;
    if !matches!(component, Component::Whole | Component::TopFlange) {
        return;
    }
    let Some(chord) = inside(&entry.body, shank) else { return };
    // The shank enters through the member's upper face somewhere below the head, and reaches at least a hair into it.
    let (enter, leave) = (chord.enter, chord.leave.min(shank.length));
    if enter < -SAME || leave - enter < SAME {
        return;
    }
    let embedment = leave - enter;
    let asked = enter + shank.embedment.min(embedment);
    let room = room(index, entry, shank, enter, asked);
    let outcome = if room < shank.radius - SAME {
        Outcome::BreaksOut
    } else if embedment < shank.embedment - SAME {
        Outcome::Shallow
    } else {
        Outcome::Backed
    };
    let tip = if shank.length <= chord.leave + SAME {
        Tip::Inside
    } else if component == Component::TopFlange && in_web(index, member, shank) {
        Tip::Web
    } else if leaves_by_side(&entry.body, shank, chord.leave) {
        Tip::Side
    } else {
        Tip::Underside
    };
    let found = Backing { outcome, tip, member: Some(member), embedment, room };
    // The member in which the fastener has most room; a backed one before one that is not; of equals the first.
    let rank = |b: &Backing| match b.outcome {
        Outcome::Backed => 3,
        Outcome::Shallow => 2,
        Outcome::BreaksOut => 1,
        Outcome::Nothing => 0,
    };
    let better = rank(&found) > rank(best)
        || (rank(&found) == rank(best)
            && (found.room > best.room + SAME
                || ((found.room - best.room).abs() <= SAME && found.member < best.member)));
    if better {
        *best = found;
    }
}

/// The stretch of a shank's axis inside a body. An axis that lies in a side or an end itself, to a micrometre, is inside or
/// outside by rounding alone: it is taken to be inside, where nothing is left beside it.
fn inside(body: &Body, shank: &Shank) -> Option<Chord> {
    let chord = body.chord(&shank.head, &DOWN).filter(|c| c.leave - c.enter >= SAME);
    if chord.is_some() {
        return chord;
    }
    let tip = shank.head + DOWN * shank.length;
    let mut inward = Vector3::zeros();
    body.each_plane(|p| {
        if p.distance(&shank.head).abs() <= SAME && p.distance(&tip).abs() <= SAME {
            inward -= p.normal * (2.0 * SAME);
        }
    });
    let asked = inward != Vector3::zeros();
    asked.then(|| body.chord(&(shank.head + inward), &DOWN)).flatten().filter(|c| c.leave - c.enter >= SAME)
}

/// Least distance, square to the axis, from the axis to the member's sides and ends between two depths, metres: so thick a
/// rod with flat ends stays inside. Faces that two bodies of the member share are none of its sides.
fn room(index: &SlopeIndex, entry: &Entry<(MemberId, Component)>, shank: &Shank, enter: f64, asked: f64) -> f64 {
    let depths = [shank.head + DOWN * enter, shank.head + DOWN * asked];
    // Of one convex body the lines in which its faces' planes cut a level are no nearer than its faces.
    let (mut alone, mut end) = (f64::INFINITY, f64::INFINITY);
    entry.body.each_plane(|plane| {
        let across = (plane.normal.x * plane.normal.x + plane.normal.y * plane.normal.y).sqrt();
        let here = -depths.iter().map(|p| plane.distance(p)).fold(f64::NEG_INFINITY, f64::max);
        if here < alone * across
            && let Some(face) = Face::of(&entry.body, &plane)
        {
            alone = here / across;
            end = if face == Face::Square { alone } else { end };
        }
    });
    // The next stretch of a bent member lies past a square end.
    if end > alone {
        return alone;
    }
    let (x, y, low, high) = (shank.head.x, shank.head.y, depths[1].z, depths[0].z);
    let mut reach = alone;
    loop {
        let mut bodies = vec![&entry.body];
        // And a hair further, so that a body that begins exactly there is among them.
        let near = reach + SAME;
        index.near((x - near, x + near), (y - near, y + near), |other| {
            let level = other.low.z < high - SAME && other.high.z > low + SAME;
            if other.tag == entry.tag && level && !bodies.iter().any(|b| std::ptr::eq(*b, &other.body)) {
                bodies.push(&other.body);
            }
        });
        if bodies.len() == 1 {
            return alone;
        }
        // Within the reach all is known; what is further off may still be hidden by a body out of reach, or be beyond one.
        let found = room_about((x, y), (low, high), &bodies, |body, face| Face::of(body, face).is_some());
        if found <= reach + SAME || !found.is_finite() {
            return found;
        }
        reach = found;
    }
}

/// Whether the shank reaches the member's web.
fn in_web(index: &SlopeIndex, member: MemberId, shank: &Shank) -> bool {
    let (x, y, r) = (shank.head.x, shank.head.y, shank.radius);
    let mut found = false;
    index.near((x - r, x + r), (y - r, y + r), |other| {
        if other.tag == (member, Component::Web) {
            // The web is met by the shank, not only by its axis: ask at the axis and at both flanks across the web.
            let side = other.body.pose * Vector3::x();
            for s in [0.0, r, -r] {
                let chord = other.body.chord(&(shank.head + side * s), &DOWN);
                found |= chord.is_some_and(|c| c.leave - c.enter > SAME && c.enter < shank.length - SAME);
            }
        }
    });
    found
}

/// Whether the axis leaves a body through a side or an end and not through the underside.
fn leaves_by_side(body: &Body, shank: &Shank, leave: f64) -> bool {
    let p = shank.head + DOWN * leave;
    body.planes()
        .iter()
        .min_by(|a, b| {
            let off = |plane: &Plane| {
                if plane.normal.dot(&DOWN) > 1e-9 { plane.distance(&p).abs() } else { f64::INFINITY }
            };
            off(a).total_cmp(&off(b))
        })
        .is_some_and(|plane| Face::of(body, plane).is_some())
}

/// How far below the tip of a fastener a member is still named, metres.
const BELOW_TIP: f64 = 0.1;

/// The nearest member to an axis that meets none, and how far the axis runs from it, metres.
pub fn nearest(index: &SlopeIndex, shank: &Shank, within: f64) -> Option<(MemberId, f64)> {
    let (x, y) = (shank.head.x, shank.head.y);
    let mut best: Option<(MemberId, f64)> = None;
    index.near((x - within, x + within), (y - within, y + within), |entry| {
        let (member, component) = entry.tag;
        if !matches!(component, Component::Whole | Component::TopFlange)
            || entry.high.z < shank.head.z - shank.length - BELOW_TIP
        {
            return;
        }
        // How far the axis must move sideways to meet the body: signed distance to its side planes at its upper end.
        let p = Point3::new(x, y, entry.high.z);
        let off = entry
            .body
            .planes()
            .iter()
            .filter(|plane| Face::of(&entry.body, plane).is_some())
            .map(|plane| plane.distance(&p))
            .fold(f64::NEG_INFINITY, f64::max);
        if off < within && best.is_none_or(|(m, d)| off < d - SAME || (off < d + SAME && member < m)) {
            best = Some((member, off));
        }
    });
    best
}
