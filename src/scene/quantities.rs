//! Counts, lengths, areas and masses, kind by kind.

use std::collections::BTreeMap;

use super::QuantityRecord;
use crate::check::Context;
use crate::design::Fastening;
use crate::quantity::Length;
use crate::quantity::maths::apart;
use crate::solid::BodyIndex;

/// Density of the steel of fasteners and straps, kg/m3 (common handbook value for mild steel, `from memory`).
const STEEL: f64 = 7850.0;

#[derive(Default)]
struct Sum {
    count: usize,
    length: Option<f64>,
    area: Option<f64>,
    mass: Option<f64>,
}

impl Sum {
    fn add(&mut self, length: Option<f64>, area: Option<f64>, mass: Option<f64>) {
        self.count += 1;
        for (total, more) in [(&mut self.length, length), (&mut self.area, area), (&mut self.mass, mass)] {
            if let Some(more) = more {
                *total.get_or_insert(0.0) += more;
            }
        }
    }
}

/// Mass of one fastener, kilograms: shank and head of steel.
pub(super) fn fastener_mass(f: &Fastening) -> f64 {
    let (d, l, head) = (f.diameter.metres(), f.length.metres(), f.head.metres());
    std::f64::consts::PI / 4.0 * (d * d * l + head * head * d / 2.0) * STEEL
}

/// All rows, in the order of layers and sizes.
pub fn quantities(ctx: &Context<'_>) -> Vec<QuantityRecord> {
    let units = ctx.design.units;
    let show = |v: f64| Length::from_metres(v).show_fine(units);
    let mut rows: BTreeMap<(u8, String, String), Sum> = BTreeMap::new();
    let mut add = |order: u8, kind: &str, size: String, length: Option<f64>, area: Option<f64>, mass: Option<f64>| {
        rows.entry((order, kind.to_owned(), size)).or_default().add(length, area, mass);
    };
    for m in ctx.structure.members.iter().filter(|m| !m.missing) {
        add(0, m.kind.word(), m.section.show(units), Some(m.overall()), None, None);
    }
    for s in &ctx.structure.straps {
        let volume = s.body.volume();
        let size = format!("{} x {}", show(s.sides.1 - s.sides.0), show(s.thickness()));
        add(3, "strap", size, Some(s.stretch.1 - s.stretch.0), None, Some(volume * STEEL));
        for n in &s.nails {
            let size = format!("{} x {}", show(2.0 * n.radius), show(n.length));
            add(3, "strap nail", size, None, None, Some(std::f64::consts::PI * n.radius * n.radius * n.length * STEEL));
        }
    }
    let spec = &ctx.design.lattice;
    for on in &ctx.slopes {
        for (order, kind, plate) in [
            (1, "deck", ctx.structure.deck(ctx.design, on.id)),
            (2, "membrane", ctx.structure.membrane(ctx.design, on.id)),
        ] {
            if let Some(plate) = plate {
                let thickness = plate.z_top - plate.z_bottom;
                add(
                    order,
                    kind,
                    format!("{} thick", show(thickness)),
                    None,
                    Some(plate.mesh().volume() / thickness),
                    None,
                );
            }
        }
        // What an edge cuts aslant or lengthwise is weighed as the solid that is left.
        let tape = volumes(&on.tapes, on.lattice.tapes.len());
        for (t, volume) in on.lattice.tapes.iter().zip(tape) {
            let size = format!("{} wide", show(t.roll_width));
            let (length, area) = (path_length(&t.path), volume / spec.tape.thickness.metres());
            add(4, "tape", size, Some(length), Some(area), Some(volume * spec.tape.density.value.kg_per_m3()));
        }
        let strips = volumes(&on.strips, on.lattice.strips.len());
        for (s, volume) in on.lattice.strips.iter().zip(strips) {
            let size = format!("{} x {}", show(s.stock_width), show(s.top - s.bottom));
            let mass = volume * spec.strip.density.value.kg_per_m3();
            add(5, "strip", size, Some(path_length(&s.path)), None, Some(mass));
        }
        for v in &on.lattice.vents {
            let (length, width) = (v.x.1 - v.x.0, v.y.1 - v.y.0);
            let mass = length * width * v.height * spec.vent.density.value.kg_per_m3();
            add(6, "vent piece", format!("{} x {}", show(width), show(v.height)), Some(length), None, Some(mass));
        }
        for p in &on.lattice.pieces {
            let lengths = p.saw_lengths(ctx.design, &on.frame.outline);
            let length = lengths.middle;
            let section = spec.batten.width.metres() * spec.batten.thickness.metres();
            let mass = lengths.mean * section * spec.batten.density.value.kg_per_m3();
            let size = format!(
                "{} x {} from {}",
                show(spec.batten.thickness.metres()),
                show(spec.batten.width.metres()),
                Length::from_metres(p.stock).show(units)
            );
            add(7, "batten", size, Some(length), None, Some(mass));
        }
        let f = &ctx.design.fastening;
        let one = fastener_mass(f);
        let size = format!("{} x {}", f.diameter.value.show_fine(units), f.length.value.show_fine(units));
        for _ in &on.lattice.fasteners {
            add(8, f.kind.value.word(), size.clone(), None, None, Some(one));
        }
        if let Some(panels) = &ctx.design.panels {
            let (across, up) = (show(panels.clip_width.metres()), show(panels.clip_length.metres()));
            let screw = format!("{} x {}", show(panels.screw_diameter.metres()), show(panels.screw_length.metres()));
            for clip in &on.lattice.clips {
                add(10, "clip", format!("{across} x {up}"), None, None, None);
                for _ in &clip.screws {
                    add(11, "clip screw", screw.clone(), None, None, None);
                }
            }
        }
        for left in on.left_in {
            let mass = left.kind.is_fastener().then_some(one);
            add(9, left.kind.word(), if mass.is_some() { size.clone() } else { String::new() }, None, None, mass);
        }
    }
    // A roll is bought whole, and a stretch of tape may begin on one roll and end on the next.
    let rolls: Vec<((u8, String, String), Sum)> = rows
        .iter()
        .filter(|((_, kind, _), _)| kind == "tape")
        .map(|((order, _, size), sum)| {
            let roll = spec.tape.roll.metres();
            let count = (sum.length.unwrap_or_default() / roll - 1e-9).ceil().max(0.0) as usize;
            let size = format!("{size}, {} long", spec.tape.roll.value.show(units));
            ((*order, "tape roll".to_owned(), size), Sum { count, ..Sum::default() })
        })
        .collect();
    rows.into_iter()
        .chain(rolls)
        .map(|((_, kind, size), s)| QuantityRecord {
            kind,
            size,
            count: s.count,
            length: s.length,
            area: s.area,
            mass: s.mass,
        })
        .collect()
}

/// Volumes of parts by their numbers, cubic metres.
fn volumes(bodies: &BodyIndex<u32>, count: usize) -> Vec<f64> {
    let mut all = vec![0.0; count];
    for entry in &bodies.entries {
        if let Some(sum) = all.get_mut(entry.tag as usize) {
            *sum += entry.body.volume();
        }
    }
    all
}

/// Length of a bent line, metres.
pub(super) fn path_length(path: &[(f64, f64)]) -> f64 {
    path.windows(2).map(|w| apart(w[1], w[0])).sum()
}
