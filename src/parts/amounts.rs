//! How much a part is, for lists of quantities.

use std::f64::consts::PI;

use super::{PartId, Parts};
use crate::design::Fastening;
use crate::lattice::{head_thickness, path_length};
use crate::quantity::Length;
use crate::solid::{Body, Plate};
use crate::structure::Strap;

/// Density of the steel of fasteners and straps, kg/m3 (common handbook value for mild steel, `from memory`).
const STEEL: f64 = 7850.0;

/// So many alike things of a part.
pub struct Amount {
    /// What they are.
    pub what: &'static str,
    /// Size as people say it; empty where it has none.
    pub size: String,
    /// How many.
    pub count: usize,
    /// Length of one, metres.
    pub length: Option<f64>,
    /// Area of one, square metres.
    pub area: Option<f64>,
    /// Mass of one, kilograms.
    pub mass: Option<f64>,
}

impl Amount {
    fn one(what: &'static str, size: String) -> Amount {
        Amount { what, size, count: 1, length: None, area: None, mass: None }
    }
}

/// Mass of one fastener, kilograms: shank and head of steel.
pub fn fastener_mass(f: &Fastening) -> f64 {
    let (d, l, head) = (f.diameter.metres(), f.length.metres(), f.head.metres());
    PI / 4.0 * (d * d * l + head * head * head_thickness(f)) * STEEL
}

impl Parts<'_> {
    /// What a part is made of. What an edge cuts aslant or lengthwise is weighed as the solid that is left.
    pub fn amounts(&self, id: PartId) -> Vec<Amount> {
        match id {
            PartId::Member(m) => self.structure.member(m).map_or_else(Vec::new, |m| {
                let one = Amount::one(m.kind.word(), m.section.show(self.design.units));
                vec![Amount { length: Some(m.overall()), ..one }]
            }),
            PartId::Deck(s) => self.plate_amount("deck", self.structure.deck(self.design, s)),
            PartId::Membrane(s) => self.plate_amount("membrane", self.structure.membrane(self.design, s)),
            PartId::Strap(k) => self.strap(k).map_or_else(Vec::new, |s| self.strap_amounts(s)),
            PartId::Tape(s, i) => self.tape(s, i).map_or_else(Vec::new, |t| {
                let (spec, volume) = (&self.design.lattice.tape, volume(self.tape_bodies(s, i).unwrap_or_default()));
                let one = Amount::one("tape", format!("{} wide", self.show(t.roll_width)));
                vec![Amount {
                    length: Some(path_length(&t.path)),
                    area: Some(volume / spec.thickness.metres()),
                    mass: Some(volume * spec.density.value.kg_per_m3()),
                    ..one
                }]
            }),
            PartId::Strip(s, i) => self.strip(s, i).map_or_else(Vec::new, |p| {
                let (spec, volume) = (&self.design.lattice.strip, volume(self.strip_bodies(s, i).unwrap_or_default()));
                let size = format!("{} x {}", self.show(p.stock_width), self.show(p.top - p.bottom));
                let (length, mass) = (path_length(&p.path), volume * spec.density.value.kg_per_m3());
                vec![Amount { length: Some(length), mass: Some(mass), ..Amount::one("strip", size) }]
            }),
            PartId::VentPiece(s, i) => self.vent(s, i).map_or_else(Vec::new, |v| {
                let (length, width) = (v.x.1 - v.x.0, v.y.1 - v.y.0);
                let mass = length * width * v.height * self.design.lattice.vent.density.value.kg_per_m3();
                let one = Amount::one("vent piece", format!("{} x {}", self.show(width), self.show(v.height)));
                vec![Amount { length: Some(length), mass: Some(mass), ..one }]
            }),
            PartId::Batten(s, i) => self.piece(s, i).zip(self.frame(s)).map_or_else(Vec::new, |(p, frame)| {
                let (spec, lengths) = (&self.design.lattice.batten, p.saw_lengths(self.design, &frame.outline));
                let (thick, wide) = (spec.thickness.metres(), spec.width.metres());
                let stock = Length::from_metres(p.stock).show(self.design.units);
                let one = Amount::one("batten", format!("{} x {} from {stock}", self.show(thick), self.show(wide)));
                let mass = lengths.mean * (wide * thick) * spec.density.value.kg_per_m3();
                vec![Amount { length: Some(lengths.middle), mass: Some(mass), ..one }]
            }),
            PartId::Fasteners(..) | PartId::ToDrive(..) => {
                let f = &self.design.fastening;
                let one = Amount::one(f.kind.value.word(), self.fastener_size());
                vec![Amount { count: self.count(id), mass: Some(fastener_mass(f)), ..one }]
            }
            PartId::LeftIn(s, i) => self.left(s, i).map_or_else(Vec::new, |l| {
                let nail = l.kind.is_fastener();
                let size = if nail { self.fastener_size() } else { String::new() };
                let mass = nail.then(|| fastener_mass(&self.design.fastening));
                vec![Amount { mass, ..Amount::one(l.kind.word(), size) }]
            }),
            PartId::Clip(s, i) => {
                self.design.panels.as_ref().zip(self.clip(s, i)).map_or_else(Vec::new, |(p, clip)| {
                    let size = |a: f64, b: f64| format!("{} x {}", self.show(a), self.show(b));
                    let screw = Amount::one("clip screw", size(p.screw_diameter.metres(), p.screw_length.metres()));
                    vec![
                        Amount::one("clip", size(p.clip_width.metres(), p.clip_length.metres())),
                        Amount { count: clip.screws.len(), ..screw },
                    ]
                })
            }
            // Another trade's.
            PartId::Insulation(..) => Vec::new(),
        }
    }

    fn plate_amount(&self, what: &'static str, plate: Option<Plate>) -> Vec<Amount> {
        plate.map_or_else(Vec::new, |p| {
            let thick = p.z_top - p.z_bottom;
            let one = Amount::one(what, format!("{} thick", self.show(thick)));
            vec![Amount { area: Some(p.mesh().volume() / thick), ..one }]
        })
    }

    fn strap_amounts(&self, s: &Strap) -> Vec<Amount> {
        let size = format!("{} x {}", self.show(s.sides.1 - s.sides.0), self.show(s.thickness()));
        let (length, mass) = (s.stretch.1 - s.stretch.0, s.body.volume() * STEEL);
        let strap = Amount { length: Some(length), mass: Some(mass), ..Amount::one("strap", size) };
        let nails = s.nails.iter().map(|n| {
            let size = format!("{} x {}", self.show(2.0 * n.radius), self.show(n.length));
            Amount { mass: Some(PI * n.radius * n.radius * n.length * STEEL), ..Amount::one("strap nail", size) }
        });
        std::iter::once(strap).chain(nails).collect()
    }
}

fn volume(bodies: Vec<Body>) -> f64 {
    bodies.iter().map(Body::volume).sum()
}
