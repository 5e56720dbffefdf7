//! How fast the air passes under each batten, as a look of the model.

use std::collections::BTreeMap;

use super::Look;
use crate::air::{Case, Weather, flows, speed};
use crate::check::Context;

/// Lower bounds of the bins, m/s, from fast to slow.
const BOUNDS: [f64; 5] = [0.2, 0.1, 0.05, 0.02, 0.01];

/// The look "by air speed": each batten in the bin of the slowest cell beneath it, in the likely case; battens over a
/// pocket stand apart, in the last bin. `None` where the design states no weather, or nothing could be solved.
///
/// Between the battens the air is slower than under them, as the space is higher; so the look compares like with like.
pub fn by_air_speed(ctx: &Context<'_>) -> Option<Look> {
    let weather = Weather::of(ctx.design).ok()?;
    let space = ctx.space();
    let all = flows(space, ctx.design, ctx.structure, &weather, Case::Likely).ok()?;
    let flow = all.first()?;
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let mut of: BTreeMap<String, u8> = BTreeMap::new();
    // Cells under battens, row by row as they lie in the space; pieces found by their height.
    let under: Vec<usize> = (0..space.cells.len())
        .filter(|i| space.cells.get(*i).is_some_and(|c| c.z.1 <= ctx.lattice.levels.strip))
        .collect();
    for on in &ctx.slopes {
        let mut pieces: Vec<_> = on.lattice.pieces.iter().collect();
        pieces.sort_by(|a, b| a.y.total_cmp(&b.y));
        for i in &under {
            let Some(cell) = space.cells.get(*i).filter(|c| c.slope == on.id) else { continue };
            let (x, y) = cell.middle();
            let bin = if space.way.get(*i) == Some(&true) { bin(speed(flow, *i)) } else { BOUNDS.len() as u8 + 1 };
            let from = pieces.partition_point(|p| p.y + half < y);
            for p in pieces.iter().skip(from).take_while(|p| p.y - half <= y).filter(|p| p.x.0 <= x && x <= p.x.1) {
                let worst = of.entry(p.name.clone()).or_default();
                *worst = (*worst).max(bin);
            }
        }
    }
    Some(Look { name: "by air speed".to_owned(), bins: legend(), of })
}

fn bin(speed: f64) -> u8 {
    let at = BOUNDS.iter().position(|b| speed >= *b).unwrap_or(BOUNDS.len());
    u8::try_from(at).unwrap_or(u8::MAX)
}

fn legend() -> Vec<String> {
    let mut all = vec![format!("{} m/s and more", BOUNDS[0])];
    all.extend(BOUNDS.windows(2).map(|w| format!("{} to {} m/s", w[1], w[0])));
    all.push(format!("below {} m/s", BOUNDS[BOUNDS.len() - 1]));
    all.push("no way for the air".to_owned());
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bins_from_fast_to_slow() {
        assert_eq!([0.3, 0.2, 0.19, 0.05, 0.011, 0.0].map(bin), [0, 0, 1, 2, 4, 5]);
        assert_eq!(legend().len(), super::super::MOST_BINS);
    }
}
