//! Counts, lengths, areas and masses, kind by kind.

use std::collections::BTreeMap;

use super::QuantityRecord;
use crate::check::Context;
use crate::parts::{Amount, Kind};

#[derive(Default)]
struct Sum {
    count: usize,
    length: Option<f64>,
    area: Option<f64>,
    mass: Option<f64>,
}

impl Sum {
    fn add(&mut self, one: &Amount) {
        for _ in 0..one.count {
            self.count += 1;
            for (total, more) in
                [(&mut self.length, one.length), (&mut self.area, one.area), (&mut self.mass, one.mass)]
            {
                if let Some(more) = more {
                    *total.get_or_insert(0.0) += more;
                }
            }
        }
    }
}

/// All rows, in the order of kinds and sizes; rolls of tape come last.
pub fn quantities(ctx: &Context<'_>) -> Vec<QuantityRecord> {
    let mut rows: BTreeMap<(Kind, &str, String), Sum> = BTreeMap::new();
    let parts = ctx.parts();
    for id in parts.walk() {
        // What is in and what is still to be driven is one row.
        let kind = if id.kind() == Kind::ToDrive { Kind::Fasteners } else { id.kind() };
        for one in parts.amounts(id).into_iter().filter(|one| one.count > 0) {
            rows.entry((kind, one.what, one.size.clone())).or_default().add(&one);
        }
    }
    // A roll is bought whole, and a stretch of tape may begin on one roll and end on the next.
    let tape = &ctx.design.lattice.tape;
    let rolls: Vec<((Kind, &str, String), Sum)> = rows
        .iter()
        .filter(|((kind, ..), _)| *kind == Kind::Tape)
        .map(|((kind, _, size), sum)| {
            let count = (sum.length.unwrap_or_default() / tape.roll.metres() - 1e-9).ceil().max(0.0) as usize;
            let size = format!("{size}, {} long", tape.roll.value.show(ctx.design.units));
            ((*kind, "tape roll", size), Sum { count, ..Sum::default() })
        })
        .collect();
    rows.into_iter()
        .chain(rolls)
        .map(|((_, kind, size), s)| QuantityRecord {
            kind: kind.to_owned(),
            size,
            count: s.count,
            length: s.length,
            area: s.area,
            mass: s.mass,
        })
        .collect()
}
