//! What goes through the membrane beside the fasteners of the landings.

use super::records::PenetrationRecord;
use crate::check::Context;
use crate::check::driven::hole_unsealed::seal;
use crate::design::StrapPlace;

/// The nails of straps, slope by slope, then what a drive log says was left in.
pub fn penetrations(ctx: &Context<'_>) -> Vec<PenetrationRecord> {
    let mut all = Vec::new();
    for on in &ctx.slopes {
        for strap in ctx.structure.straps.iter().filter(|s| s.slope == on.id) {
            let seal = match strap.place {
                StrapPlace::OnTape => "tape below",
                StrapPlace::UnderTape => "tape above",
            };
            all.extend(strap.nails.iter().enumerate().map(|(k, nail)| PenetrationRecord {
                name: format!("nail {} of {}", k + 1, strap.name),
                kind: "strap nail".to_owned(),
                slope: on.frame.name.clone(),
                strap: Some(strap.name.clone()),
                nail: Some(k + 1),
                landing: None,
                on_slope: Some([nail.x, nail.y]),
                diameter: Some(2.0 * nail.radius),
                seal: seal.to_owned(),
                row: None,
                note: String::new(),
            }));
        }
    }
    for on in &ctx.slopes {
        for left in on.left_in {
            let landing = left.meant_for.and_then(|(l, _)| on.lattice.landings.get(l as usize));
            let fastener = left.kind.is_fastener().then(|| ctx.design.fastening.diameter.metres());
            all.push(PenetrationRecord {
                name: left.name.clone(),
                kind: left.kind.word().to_owned(),
                slope: on.frame.name.clone(),
                strap: None,
                nail: None,
                landing: landing.map(|l| ctx.landing_name(on, l)),
                on_slope: left.at.map(|(x, y)| [x, y]),
                diameter: fastener,
                seal: seal(ctx, on, left).0.word().to_owned(),
                row: Some(left.row),
                note: left.note.clone(),
            });
        }
    }
    all
}
