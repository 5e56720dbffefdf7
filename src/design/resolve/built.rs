//! The roof of `[roof]` beside what `[wind]` says of it.
//!
//! Aim: a height, a width or an overhang that this roof cannot have is told. Reason: each of them makes the wind weaker in
//! silence. Limits: the short form only, where ground and plan are known; values on the safe side pass, as a roof may be part
//! of a larger building on falling ground.

use super::super::file::{DesignFile, Located, WindFile};
use super::super::model::RoofShape;
use super::super::reader::Reader;
use crate::quantity::Length;
use crate::quantity::maths::{cos, tan};

/// Sizes of the roof, metres.
pub struct Built {
    /// Of the eave and of the highest edge above the ground, where that is written.
    heights: Option<(f64, f64)>,
    /// The smaller one in plan.
    plan: f64,
}

/// What two sizes may differ by before they contradict each other.
const SLACK: f64 = 0.01;

impl Built {
    /// The roof; `None` where it is not of the short form, or at fault.
    pub fn of(file: &DesignFile) -> Option<Built> {
        let roof = file.roof.as_ref().map(Located::get)?;
        let length = |w: &Option<super::super::written::Written<Length>>| Some(w.as_ref()?.read().ok()?.metres());
        let pitch = roof.pitch.as_ref()?.read().ok()?.radians();
        let (eave, low) = (length(&roof.eave)?, length(&roof.eave_height));
        let across = match roof.shape.as_ref()?.read().ok()? {
            RoofShape::Shed => length(&roof.slope_length)? * cos(pitch),
            RoofShape::Gable | RoofShape::Hip => length(&roof.width)?,
        };
        let run = match roof.shape.as_ref()?.read().ok()? {
            RoofShape::Shed => across,
            RoofShape::Gable | RoofShape::Hip => across / 2.0,
        };
        let heights = low.map(|low| (low, low + run * tan(pitch)));
        Some(Built { heights, plan: eave.min(across) })
    }

    /// Tells what of `[wind]` this roof cannot have: its height, its width, its overhang (metres), by EN 1991-1-4 or not.
    pub fn judge(&self, r: &mut Reader<'_>, f: &WindFile, [height, width, overhang]: [Option<f64>; 3], european: bool) {
        let units = r.units;
        let show = |m: f64| Length::from_metres(m).show(units);
        let place = |w: &Option<super::super::written::Written<Length>>| w.as_ref().map_or(0..0, |w| w.span.clone());
        if let (Some(height), Some((low, high))) = (height, self.heights) {
            let (least, word) = if european { (high, "its highest edge") } else { (low, "its eave") };
            if height < least * (1.0 - SLACK) {
                let says = format!("the roof is not so low: {word} is {} above the ground", show(least));
                let hint = match european {
                    true => format!(
                        "by EN 1991-1-4 the height counts to the highest edge, {}; or put roof.eave_height right",
                        show(high)
                    ),
                    false => format!(
                        "the mean roof height is half way up, {} here (the eave's up to 10 deg of pitch); or put roof.eave_height right",
                        show(f64::midpoint(low, high))
                    ),
                };
                r.fault(place(&f.height), "wind.height", says, hint);
            }
        }
        let small = self.plan;
        if let Some(overhang) = overhang.filter(|o| 2.0 * o >= small) {
            let says = format!(
                "overhangs of {} on both sides leave no building under a roof of {}",
                show(overhang),
                show(small)
            );
            let hint = "how far eaves and rakes reach past the walls, in plan";
            r.fault(place(&f.overhang), "wind.overhang", says, hint);
            return;
        }
        let walls = small - 2.0 * overhang.unwrap_or(small / 4.0);
        if let Some(width) = width.filter(|w| *w < walls * (1.0 - SLACK)) {
            let says = format!("the building is not so narrow: its roof is {} in plan", show(small));
            let hint = match overhang {
                Some(o) => format!("with overhangs of {} it is at least {} wide", show(o), show(walls)),
                None => {
                    "the least horizontal dimension of the building (ASCE 7), its larger side (EN 1991-1-4)".to_owned()
                }
            };
            r.fault(place(&f.width), "wind.width", format!("{says}, not {}", show(width)), hint);
        }
    }
}
