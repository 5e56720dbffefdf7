//! What goes through the membrane beside the fasteners of the landings.

use super::records::PenetrationRecord;
use crate::check::driven::hole_unsealed::seal;
use crate::check::{Context, OnSlope};
use crate::design::StrapPlace;
use crate::parts::{Kind, PartId, Pierces};
use crate::structure::StrapNail;

/// The nails of straps, slope by slope, then what a drive log says was left in.
pub fn penetrations(ctx: &Context<'_>) -> Vec<PenetrationRecord> {
    let parts = ctx.parts();
    let mut all = Vec::new();
    for kind in Kind::ALL {
        let told: fn(&Context<'_>, &OnSlope<'_>, PartId) -> Vec<PenetrationRecord> = match kind.pierces() {
            Pierces::ByNails => nails,
            Pierces::Itself => left_in,
            // Those of landings are told there.
            Pierces::AtLandings | Pierces::Nowhere => continue,
        };
        for on in &ctx.slopes {
            all.extend(parts.ids(kind, Some(on.id)).flat_map(|id| told(ctx, on, id)));
        }
    }
    all
}

/// The nails of a strap.
fn nails(ctx: &Context<'_>, on: &OnSlope<'_>, id: PartId) -> Vec<PenetrationRecord> {
    let PartId::Strap(k) = id else { return Vec::new() };
    let Some(strap) = ctx.structure.straps.get(k as usize) else { return Vec::new() };
    let seal = match strap.place {
        StrapPlace::OnTape => "tape below",
        StrapPlace::UnderTape => "tape above",
    };
    let record = |(k, nail): (usize, &StrapNail)| PenetrationRecord {
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
    };
    strap.nails.iter().enumerate().map(record).collect()
}

/// Something left in.
fn left_in(ctx: &Context<'_>, on: &OnSlope<'_>, id: PartId) -> Vec<PenetrationRecord> {
    let PartId::LeftIn(s, i) = id else { return Vec::new() };
    let Some(left) = ctx.parts().left(s, i) else { return Vec::new() };
    let landing = left.meant_for.and_then(|(l, _)| on.lattice.landings.get(l as usize));
    vec![PenetrationRecord {
        name: left.name.clone(),
        kind: left.kind.word().to_owned(),
        slope: on.frame.name.clone(),
        strap: None,
        nail: None,
        landing: landing.map(|l| ctx.landing_name(on, l)),
        on_slope: left.at.map(|(x, y)| [x, y]),
        diameter: left.kind.is_fastener().then(|| ctx.design.fastening.diameter.metres()),
        seal: seal(ctx, on, left).0.word().to_owned(),
        row: Some(left.row),
        note: left.note.clone(),
    }]
}
