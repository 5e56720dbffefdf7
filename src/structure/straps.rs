//! Flat steel straps with their nail fields.

use crate::design::{Design, SlopeId, StrapField, StrapPlace, StripOverStrap};
use crate::solid::{Body, Point3};

use super::{Member, SlopeFrame};

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

/// All straps. They lie by the drawing.
pub fn straps(design: &Design, slopes: &[SlopeFrame], members: &[Member]) -> Vec<Strap> {
    let mut all = Vec::new();
    for (s, frame) in slopes.iter().enumerate() {
        let slope = SlopeId(s);
        let mut here: Vec<Strap> = Vec::new();
        for field in design.straps.iter().filter(|f| f.slopes.contains(&slope)) {
            for member in members {
                if member.kind == field.along.value && member.home == Some(slope) && !member.added {
                    here.push(strap(design, field, slope, member));
                }
            }
        }
        here.sort_by(|a, b| a.sides.0.total_cmp(&b.sides.0).then(a.stretch.0.total_cmp(&b.stretch.0)));
        let digits = here.len().to_string().len().max(2);
        for (i, strap) in here.iter_mut().enumerate() {
            strap.name = format!("{}-ST{:0digits$}", frame.name, i + 1);
        }
        all.extend(here);
    }
    all
}

fn strap(design: &Design, field: &StrapField, slope: SlopeId, member: &Member) -> Strap {
    let x = member.pose.translation.vector.x + field.shift.metres();
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
    let count = ((high - low - 2.0 * end) / step + 1e-9).floor();
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
        name: String::new(),
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
