//! Clips of the roofing: which stands on which piece, what each gets, what its screws hold.
//!
//! Aim: the roofing's load comes into the batten where the clips are, and each clip's screws are asked for it. Reason: a
//! clip in the middle of a span bends the batten more than an even load, and a short screw lets go before the batten does.
//! Limits: a course is loaded by the clips that stand on it, past a joint with what lies at the piece's end; where clips at a pitch of their own leave out courses, how far
//! each one's roofing reaches is not known and nothing is computed of them. Withdrawal only: no shear of the screws, no
//! clip.

use super::areas;
use super::basis::{Basis, Combination};
use super::lines;
use super::path::{self, Across, Case, Landed, Mode, Use};
use super::rules::{Fit, Wood};
use crate::capacity::beam::Pattern;
use crate::capacity::fastener::{Fastener, FastenerInput, FastenerKind as Kind};
use crate::capacity::{NotComputed, Step, ec5, nds};
use crate::check::context::OnSlope;
use crate::design::Design;
use crate::lattice::{End, Piece};

/// A clip on a piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClipOn {
    /// Its place, x on the slope, metres.
    pub x: f64,
    /// The stretch of its course whose roofing hangs on it: half way to its neighbours, whichever piece they stand on, the
    /// outer ones up to where the roofing ends. Metres.
    pub holds: (f64, f64),
}

/// Two clips nearer than this are one force, metres.
const SAME_PLACE: f64 = 1e-6;

/// The clips of a slope by the pieces that they stand on, from left to right, each place once; `None` where there are none,
/// or where a seam passes a course without a clip on it.
pub fn on_pieces(on: &OnSlope<'_>) -> Option<Vec<Vec<ClipOn>>> {
    let lattice = on.lattice;
    let mut at: Vec<Vec<ClipOn>> = vec![Vec::new(); lattice.pieces.len()];
    for clip in &lattice.clips {
        if let Some(list) = clip.piece.and_then(|p| at.get_mut(p as usize)) {
            list.push(ClipOn { x: clip.x, holds: (clip.x, clip.x) });
        }
    }
    let mut first = 0;
    for joined in lattice.pieces.chunk_by(goes_on) {
        let here = at.get_mut(first..first + joined.len())?;
        first += joined.len();
        let (left, right) = joined.first().zip(joined.last())?;
        for list in here.iter_mut() {
            list.sort_by(|a, b| a.x.total_cmp(&b.x));
            list.dedup_by(|b, a| b.x - a.x < SAME_PLACE);
        }
        let from = lattice.seams.partition_point(|s| s.x < left.x.0);
        let over = lattice.seams.iter().skip(from).take_while(|s| s.x <= right.x.1);
        let over = over.filter(|s| s.stretches.iter().any(|r| r.0 <= left.y && left.y <= r.1));
        if over.count() > here.iter().map(Vec::len).sum() {
            return None;
        }
        let outline = &on.frame.outline;
        let ends = (left.x.0 - lines::overhangs(left, outline).0, right.x.1 + lines::overhangs(right, outline).1);
        let mut all: Vec<&mut ClipOn> = here.iter_mut().flatten().collect();
        all.sort_by(|a, b| a.x.total_cmp(&b.x));
        let stretches = shares(&all.iter().map(|c| c.x).collect::<Vec<_>>(), ends);
        for (clip, holds) in all.into_iter().zip(stretches) {
            clip.holds = holds;
        }
    }
    at.iter().any(|list| !list.is_empty()).then_some(at)
}

/// Whether the second piece goes on where the first one ends at a joint.
fn goes_on(a: &Piece, b: &Piece) -> bool {
    a.course == b.course && matches!(b.ends.0, End::Joint { .. } | End::JointOverNothing)
}

/// The stretches that hang on places from left to right, between two ends: half way from each to the next.
fn shares(at: &[f64], (left, right): (f64, f64)) -> Vec<(f64, f64)> {
    let middles = at.windows(2).filter_map(|w| Some((w.first()? + w.last()?) / 2.0));
    let borders: Vec<f64> = std::iter::once(left).chain(middles).chain([right]).collect();
    borders.windows(2).filter_map(|w| Some((*w.first()?, *w.last()?))).take(at.len()).collect()
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

/// What becomes of every clip of a piece, each with the wind of its own area; `Nothing` where nothing is known of the screws.
pub fn used(case: &Case<'_>, basis: &Basis) -> Vec<Landed> {
    let clips = case.clips.as_deref().unwrap_or_default();
    let Some(Ok(hold)) = &basis.clip else { return vec![Landed::Nothing; clips.len()] };
    let areas = areas::of_clips(case, hold.screws);
    clips.iter().zip(areas).map(|(clip, area)| of_clip(case, basis, hold, clip, area)).collect()
}

fn of_clip(case: &Case<'_>, basis: &Basis, hold: &ClipHold, clip: &ClipOn, area: f64) -> Landed {
    let lacking = case.lacking(clip.holds);
    let mut worst: Option<Use> = None;
    for (combination, c) in basis.combinations.iter().enumerate() {
        if lacking.is_some() && c.factors.wind > 0.0 {
            continue;
        }
        let out = path::clip_force(case, basis, c, 0, Across::Out(area), clip);
        match hold.fit.used(out, 0.0, hold.screws, c) {
            Ok((ratio, _)) if worst.is_none_or(|w| ratio > w.ratio) => {
                let (mode, pattern) = (Mode::Withdrawal, Pattern::All);
                worst = Some(Use { ratio, mode, combination, hold: 0, pattern, out, down: 0.0 });
            }
            Ok(_) => {}
            Err(why) => return Landed::NotComputed(why),
        }
    }
    match (worst, lacking) {
        (Some(used), None) => Landed::Used(used),
        (Some(used), Some(_)) if used.ratio > 1.0 => Landed::Used(used),
        (_, Some(why)) => Landed::NotComputed(why),
        (None, None) => Landed::Nothing,
    }
}

#[cfg(test)]
mod tests {
    use super::shares;

    #[test]
    fn clips_share_half_way() {
        assert_eq!(shares(&[1.0, 2.0, 4.0], (0.5, 4.25)), [(0.5, 1.5), (1.5, 3.0), (3.0, 4.25)]);
        assert_eq!(shares(&[1.0], (0.0, 4.0)), [(0.0, 4.0)]);
        assert_eq!(shares(&[], (0.0, 4.0)), []);
    }
}
