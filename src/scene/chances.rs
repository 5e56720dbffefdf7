//! Chances as records, and the look of the model by chance.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::Look;
use crate::check::Context;

/// What may go wrong, where the design states its tolerances.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChancesRecord {
    /// Expected number of fasteners that miss.
    pub expected: f64,
    /// Of those, fasteners that the plan itself puts where nothing backs them.
    pub planned: usize,
    /// Share of sampled roofs in which no fastener misses but those of the plan.
    pub none: f64,
    /// In 19 of 20 sampled roofs no more fasteners miss than this.
    pub most: usize,
    /// How many roofs were sampled, from one fixed seed.
    pub samples: usize,
    /// The chance of a miss in one landing from which on it is flagged.
    pub limit: f64,
    /// Line by line.
    pub lines: Vec<LineChanceRecord>,
    /// Piece by piece.
    pub pieces: Vec<ChanceRecord>,
    /// Landing by landing.
    pub landings: Vec<ChanceRecord>,
}

/// The chance of a landing or piece.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ChanceRecord {
    /// Its name.
    pub name: String,
    /// Of a landing: that at least one of its fasteners misses. Of a piece: that a run between good landings exceeds its
    /// limit, or that fewer than two landings are good.
    pub chance: f64,
    /// From sampling rather than from a closed form.
    pub sampled: bool,
}

/// What the landings of a line have in common.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineChanceRecord {
    /// The line's name.
    pub name: String,
    /// The largest chance of a miss among its landings.
    pub worst: f64,
    /// How far to the left and right the member below may be found off before the chance of a miss at any landing passes
    /// the limit, metres, negative to the left; `None` where it passes it anyway or several members lie below.
    pub shift: Option<[f64; 2]>,
}

/// The chances of a plan; `None` where the design states no tolerances.
pub fn chances_record(ctx: &Context<'_>) -> Option<ChancesRecord> {
    let (chances, tolerance) = (ctx.chances()?, ctx.design.tolerance.as_ref()?);
    let mut record = ChancesRecord {
        expected: chances.expected,
        planned: chances.planned,
        none: chances.none,
        most: chances.most,
        samples: chances.samples,
        limit: tolerance.miss.value,
        lines: Vec::new(),
        pieces: Vec::new(),
        landings: Vec::new(),
    };
    let slopes = ctx.slopes.iter().zip(&chances.lines).zip(&chances.pieces).zip(&chances.landings);
    for (((on, lines), pieces), landings) in slopes {
        record.lines.extend(on.lattice.lines.iter().zip(lines).map(|(line, c)| LineChanceRecord {
            name: line.name.clone(),
            worst: c.worst,
            shift: c.shift.map(|s| [s.0, s.1]),
        }));
        record.pieces.extend(on.lattice.pieces.iter().zip(pieces).map(|(piece, c)| ChanceRecord {
            name: piece.name.clone(),
            chance: c.long_run,
            sampled: c.sampled,
        }));
        record.landings.extend(on.lattice.landings.iter().zip(landings).map(|(landing, c)| ChanceRecord {
            name: ctx.landing_name(on, landing),
            chance: c.miss,
            sampled: c.sampled,
        }));
    }
    Some(record)
}

/// Upper ends of the bins of the look, and what they say; the last bin takes the rest.
const BINS: [(f64, &str); 6] = [
    (1e-4, "miss below 0.01 %"),
    (1e-3, "miss 0.01 % to 0.1 %"),
    (1e-2, "miss 0.1 % to 1 %"),
    (5e-2, "miss 1 % to 5 %"),
    (2e-1, "miss 5 % to 20 %"),
    (f64::INFINITY, "miss above 20 %"),
];

/// The model by chance: fasteners by the chance of a miss at their landing, battens by the worst of their landings.
pub fn chance_look(ctx: &Context<'_>) -> Option<Look> {
    let chances = ctx.chances()?;
    let mut of: BTreeMap<String, u8> = BTreeMap::new();
    for (on, landings) in ctx.slopes.iter().zip(&chances.landings) {
        for (landing, chance) in on.lattice.landings.iter().zip(landings) {
            let bin = BINS.iter().position(|(end, _)| chance.miss < *end).unwrap_or(BINS.len() - 1);
            let bin = u8::try_from(bin).unwrap_or(u8::MAX);
            let piece = on.piece(landing).map(|p| p.name.clone());
            for name in piece.into_iter().chain([ctx.landing_name(on, landing)]) {
                let worst = of.entry(name).or_default();
                *worst = (*worst).max(bin);
            }
        }
    }
    Some(Look { name: "by chance of a miss".into(), bins: BINS.iter().map(|(_, t)| (*t).to_owned()).collect(), of })
}
