//! Clips of the roofing: which stands on which piece, what each gets, what its screws hold.
//!
//! Aim: the roofing's load comes into the batten where the clips are, and each clip's screws are asked for it. Reason: a
//! clip in the middle of a span bends the batten more than an even load, and a short screw lets go before the batten does.
//! Limits: a course is loaded by the clips that stand on it; where clips at a pitch of their own leave out courses, how far
//! each one's roofing reaches is not known and nothing is computed of them. Withdrawal only: no shear of the screws, no
//! clip.

use super::basis::{Basis, Combination};
use super::path::{self, Across, Case, Mode, Use};
use super::rules::{Fit, Wood};
use crate::capacity::beam::Pattern;
use crate::capacity::fastener::{Fastener, FastenerInput, FastenerKind as Kind};
use crate::capacity::{NotComputed, Step, ec5, nds};
use crate::check::context::OnSlope;
use crate::design::Design;

/// Clips on the pieces of a slope.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OnPieces {
    /// Piece by piece: x of its clips from left to right, each place once; all empty where courses are left out.
    pub at: Vec<Vec<f64>>,
    /// A seam passes a piece without a clip on it.
    pub skips: bool,
}

/// Two clips nearer than this are one force, metres.
const SAME_PLACE: f64 = 1e-6;

/// The clips of a slope by the pieces that they stand on.
pub fn on_pieces(on: &OnSlope<'_>) -> OnPieces {
    let lattice = on.lattice;
    let mut of = OnPieces { at: vec![Vec::new(); lattice.pieces.len()], skips: false };
    for clip in &lattice.clips {
        if let Some(list) = clip.piece.and_then(|p| of.at.get_mut(p as usize)) {
            list.push(clip.x);
        }
    }
    for (piece, list) in lattice.pieces.iter().zip(&mut of.at) {
        list.sort_by(f64::total_cmp);
        list.dedup_by(|b, a| *b - *a < SAME_PLACE);
        let from = lattice.seams.partition_point(|s| s.x < piece.x.0);
        let over = lattice.seams.iter().skip(from).take_while(|s| s.x <= piece.x.1);
        let over = over.filter(|s| s.stretches.iter().any(|r| r.0 <= piece.y && piece.y <= r.1));
        of.skips |= over.count() > list.len();
    }
    if of.skips {
        of.at.iter_mut().for_each(Vec::clear);
    }
    of
}

/// The stretch of a piece whose roofing hangs on its clip `k`: half way to the neighbours.
pub fn holds(clips: &[f64], k: usize) -> (f64, f64) {
    let at = |k: usize| clips.get(k).copied();
    let middle = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| (a + b) / 2.0);
    let before = k.checked_sub(1).and_then(at);
    (middle(before, at(k)).unwrap_or(f64::NEG_INFINITY), middle(at(k), at(k + 1)).unwrap_or(f64::INFINITY))
}

/// What the screws of a clip hold.
#[derive(Clone, Debug)]
pub struct ClipHold {
    fastener: Fastener,
    /// Length under the clip's base, metres.
    penetration: f64,
    /// What of that is in the batten, metres.
    countable: f64,
    base: f64,
    /// Screws of a clip.
    pub screws: f64,
    fit: Fit,
}

impl ClipHold {
    /// From the design; `None` without panels.
    ///
    /// # Errors
    /// Why what they hold is not known.
    pub fn of(design: &Design, wood: &Wood) -> Option<Result<ClipHold, String>> {
        let p = design.panels.as_ref()?;
        let Some(thread) = &p.screw_thread else {
            return Some(
                Err("panels.screw_thread does not say how long the thread of the clips' screws is".to_owned()),
            );
        };
        let (length, base) = (p.screw_length.metres(), p.clip_thickness.metres());
        let mut input = FastenerInput::new(Kind::WoodScrew, p.screw_diameter.metres(), length);
        input.thread = Some(thread.metres());
        let made = || -> Result<ClipHold, NotComputed> {
            let mut fastener = Fastener::resolve(&input)?;
            // The head lies on the clip's steel: it goes through no wood.
            fastener.head = None;
            let penetration = length - base;
            let countable = penetration.min(design.lattice.batten.thickness.metres());
            let fit = match wood {
                Wood::Nds { .. } => {
                    nds(&fastener, wood, (penetration, countable, base)).ok_or(NO_WOOD)?.strength().map(Fit::Nds)?
                }
                Wood::Ec5 { .. } => {
                    ec5(&fastener, wood, (penetration, countable, base)).ok_or(NO_WOOD)?.strength().map(Fit::Ec5)?
                }
            };
            let screws = f64::from(u32::try_from(p.screws.value).unwrap_or(1));
            Ok(ClipHold { fastener, penetration, countable, base, screws, fit })
        };
        Some(made().map_err(|why| format!("screws of the clips: {why}")))
    }

    /// The hand calculation for one screw.
    ///
    /// # Errors
    /// Why there is none.
    pub fn by_hand(&self, wood: &Wood, out: f64, c: &Combination) -> Result<Vec<Step>, NotComputed> {
        let demand = nds::Demand { uplift: out / self.screws, lateral: 0.0 };
        let lengths = (self.penetration, self.countable, self.base);
        match wood {
            Wood::Nds { .. } => nds(&self.fastener, wood, lengths).ok_or(NO_WOOD)?.steps(&demand, c.nds),
            Wood::Ec5 { .. } => ec5(&self.fastener, wood, lengths).ok_or(NO_WOOD)?.steps(&demand, c.ec5),
        }
    }
}

/// A joint asked of the other rule set.
const NO_WOOD: NotComputed = NotComputed::NotCovered { what: "the screws", why: "rule sets are never mixed" };

fn nds<'a>(
    fastener: &'a Fastener,
    wood: &Wood,
    (penetration, countable, base): (f64, f64, f64),
) -> Option<nds::Joint<'a>> {
    let Wood::Nds { battens, moisture, .. } = wood else { return None };
    Some(nds::Joint {
        fastener,
        side_gravity: battens.gravity,
        side_thickness: base,
        gap: 0.0,
        main_gravity: battens.gravity,
        penetration,
        countable: Some(countable),
        tilt: 0.0,
        side_angle: 0.0,
        main_angle: 0.0,
        end_grain: false,
        moisture: *moisture,
        temperature: nds::Temperature::Normal,
    })
}

fn ec5<'a>(
    fastener: &'a Fastener,
    wood: &Wood,
    (penetration, countable, base): (f64, f64, f64),
) -> Option<ec5::Joint<'a>> {
    let Wood::Ec5 { battens, class, green, predrilled, .. } = wood else { return None };
    Some(ec5::Joint {
        fastener,
        side_density: battens.density,
        side_thickness: base,
        gap: 0.0,
        main_density: battens.density,
        penetration,
        countable: Some(countable),
        tilt: 0.0,
        side_angle: 0.0,
        main_angle: 0.0,
        predrilled: *predrilled,
        green: *green,
        class: *class,
    })
}

/// The worst share of every clip of a piece; `None` where nothing is known of the screws.
pub fn used(case: &Case<'_>, basis: &Basis) -> Vec<Option<Use>> {
    let mut all: Vec<Option<Use>> = vec![None; case.clips.len()];
    let Some(Ok(hold)) = &basis.clip else { return all };
    for (combination, c) in basis.combinations.iter().enumerate() {
        let forces = path::clip_forces(case, basis, c, 0, Across::Out);
        for (worst, out) in all.iter_mut().zip(forces) {
            let Ok((ratio, _)) = hold.fit.used(out, 0.0, hold.screws, c) else { continue };
            if worst.is_none_or(|w| ratio > w.ratio) {
                let (mode, pattern) = (Mode::Withdrawal, Pattern::All);
                *worst = Some(Use { ratio, mode, combination, hold: 0, pattern, out, down: 0.0 });
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::holds;

    #[test]
    fn clips_share_half_way() {
        let at = [1.0, 2.0, 4.0];
        assert_eq!(holds(&at, 0), (f64::NEG_INFINITY, 1.5));
        assert_eq!(holds(&at, 1), (1.5, 3.0));
        assert_eq!(holds(&at, 2), (3.0, f64::INFINITY));
    }
}
