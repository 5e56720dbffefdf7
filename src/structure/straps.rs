//! Flat steel straps with their nail fields.

use crate::design::{Design, LaidKind, MemberKind, SlopeId, StrapField, StrapPlace, StrapSide, StripOverStrap};
use crate::solid::{Body, Point3};

use super::{Member, SlopeFrame, State};

/// One nail of a strap: a sealed penetration of the membrane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrapNail {
    /// x on the slope, metres.
    pub x: f64,
    /// y on the slope, metres.
    pub y: f64,
    /// z of its upper end (the strap's upper face), metres.
    pub z: f64,
    /// Shank radius, metres.
    pub radius: f64,
    /// Length, metres.
    pub length: f64,
}

/// One strap.
#[derive(Clone, Debug)]
pub struct Strap {
    /// Its name.
    pub name: String,
    /// Its field in the design.
    pub field: usize,
    /// Its slope.
    pub slope: SlopeId,
    /// The steel, in slope coordinates.
    pub body: Body,
    /// Its nails.
    pub nails: Vec<StrapNail>,
    /// Lower and upper end, metres.
    pub stretch: (f64, f64),
    /// Left and right side, metres.
    pub sides: (f64, f64),
    /// Upper face, metres.
    pub top: f64,
    /// What the strip does.
    pub strip: StripOverStrap,
    /// Under the tape, or on it.
    pub place: StrapPlace,
}

/// All straps of a state. Names come from the drawing; a strap that is not yet on the roof follows its member as found,
/// and is left out where the member is not there.
pub fn straps(design: &Design, slopes: &[SlopeFrame], members: &[Member], state: State) -> Vec<Strap> {
    let mut all = Vec::new();
    for (s, frame) in slopes.iter().enumerate() {
        let slope = SlopeId(s);
        let laid = design.laid.iter().any(|l| l.what.contains(&LaidKind::Straps) && l.slopes.contains(&slope));
        let by_drawing = laid || state == State::Drawn;
        let fields = design.straps.iter().enumerate().filter(|(_, f)| f.slopes.contains(&slope));
        let mut here: Vec<(f64, usize, &StrapField, &Member)> = fields
            .flat_map(|(n, field)| {
                let along = move |m: &&Member| m.kind == field.along.value && m.home == Some(slope) && !m.added;
                members.iter().filter(along).map(move |m| {
                    let shift = field.shift.metres() * toward(field, m, members);
                    (drawn_middle(m) + shift, n, field, m)
                })
            })
            .collect();
        here.sort_by(|a, b| {
            let side = |s: &(f64, usize, &StrapField, &Member)| s.0 - s.2.width.metres() / 2.0;
            side(a).total_cmp(&side(b)).then(a.2.low.metres().total_cmp(&b.2.low.metres()))
        });
        let digits = here.len().to_string().len().max(2);
        for (i, (x, n, field, member)) in here.into_iter().enumerate() {
            let name = format!("{}-ST{:0digits$}", frame.name, i + 1);
            let moved = if by_drawing { 0.0 } else { found_beside(member, field) };
            if by_drawing || !member.missing {
                all.push(strap(design, field, (n, slope), name, x + moved));
            }
        }
    }
    all
}

/// Which way a strap's shift counts: 1 to the right, -1 to the left, where the nearest rafter of the slope lies.
fn toward(field: &StrapField, member: &Member, members: &[Member]) -> f64 {
    let away = |m: &Member| drawn_middle(m) - drawn_middle(member);
    let rafters = members.iter().filter(|m| m.kind == MemberKind::Rafter && m.home == member.home && !m.added);
    let nearest = rafters.map(away).min_by(|a, b| a.abs().total_cmp(&b.abs()));
    match field.side.value {
        StrapSide::Rafter if nearest.is_some_and(|away| away < 0.0) => -1.0,
        StrapSide::Rafter | StrapSide::Right => 1.0,
    }
}

/// x of a member's middle as drawn.
fn drawn_middle(member: &Member) -> f64 {
    member.pose.translation.vector.x
}

/// How far to the right of the drawing a member was found under the middle of a strap. A strap is straight: it follows
/// the member there.
fn found_beside(member: &Member, field: &StrapField) -> f64 {
    let middle = (field.low.metres() + field.high.metres()) / 2.0;
    member.side_at(middle - member.pose.translation.vector.y)
}

fn strap(design: &Design, field: &StrapField, (number, slope): (usize, SlopeId), name: String, x: f64) -> Strap {
    let half = field.width.metres() / 2.0;
    let bottom = match field.place.value {
        StrapPlace::OnTape => design.lattice.tape.thickness.metres(),
        StrapPlace::UnderTape => 0.0,
    };
    let top = bottom + field.thickness.metres();
    let (low, high) = (field.low.metres(), field.high.metres());
    let body = Body::between(Point3::new(x - half, low, bottom), Point3::new(x + half, high, top));
    let (seam, gap) = (field.seam.metres(), field.gap.metres() / 2.0);
    let (step, end) = (field.nails.spacing.metres(), field.nails.end.metres());
    let mut nails = Vec::new();
    let count = field.nails.steps(field.low.value, field.high.value);
    let mut k = 0.0;
    while k <= count {
        let y = low + end + k * step;
        if (y - seam).abs() >= gap {
            let side = if (k as i64) % 2 == 0 { -1.0 } else { 1.0 };
            nails.push(StrapNail {
                x: x + side * field.nails.stagger.metres(),
                y,
                z: top,
                radius: field.nails.diameter.metres() / 2.0,
                length: field.nails.length.metres(),
            });
        }
        k += 1.0;
    }
    Strap {
        name,
        field: number,
        slope,
        body,
        nails,
        stretch: (low, high),
        sides: (x - half, x + half),
        top,
        strip: field.strip.value,
        place: field.place.value,
    }
}

impl Strap {
    /// Thickness of the steel, metres.
    pub fn thickness(&self) -> f64 {
        let (low, high) = self.body.bounds();
        high.z - low.z
    }
}
