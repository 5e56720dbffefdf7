//! Clips of the roofing: which stands on which piece, what each gets, what its screws hold.
//!
//! Aim: the roofing's load comes into the batten where the clips are, and each clip's screws are asked for it. Reason: a
//! clip in the middle of a span bends the batten more than an even load, and a short screw lets go before the batten does.
//! Limits: where every seam has a clip on every course that it passes, a course is loaded by the clips that stand on it, past a
//! joint with what lies at the piece's end. Where clips leave out courses, each has the roofing half way to the next clips of
//! its seam and half way to the next seams; clips without a board and seams without clips hold nothing, so their neighbours
//! have their roofing. Withdrawal only: no shear of the screws, no clip.

use super::areas;
use super::basis::{self, Basis, Combination};
use super::lines::{self, Even, Hold, Slices};
use super::path::{self, Across, Case, Landed, Mode, Use};
use super::rules::{Fit, Wood};
use super::zone_wind::SlopeWind;
use crate::capacity::beam::Pattern;
use crate::capacity::fastener::{Fastener, FastenerInput, FastenerKind as Kind};
use crate::capacity::{NotComputed, Step, ec5, nds};
use crate::check::context::OnSlope;
use crate::check::tributary::{self, Band, Stretch};
use crate::design::{Design, StrengthSpec};
use crate::lattice::{End, Piece, panel_stretches};
use crate::structure::Outline;

/// A clip on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct ClipOn {
    /// Its place, x on the slope, metres.
    pub x: f64,
    /// The stretch of x whose roofing hangs on it: half way to its neighbours, whichever piece they stand on, the outer ones
    /// up to where the roofing ends. Metres; without end where the piece itself is an outer one.
    pub holds: (f64, f64),
    /// Its roofing, where clips leave out courses; `None`: what hangs on its course over that stretch.
    pub own: Option<Vec<Even>>,
}

/// The wind on a slope, and from which y on unbalanced snow is more: see [`lines::even`].
type Loads<'w> = (Option<&'w SlopeWind>, Option<f64>);

/// Two clips nearer than this are one force, metres.
pub const SAME_PLACE: f64 = 1e-6;

/// The places of clips on each piece, x from left to right, each once, metres.
pub fn places(on: &OnSlope<'_>) -> Vec<Vec<f64>> {
    let mut at: Vec<Vec<f64>> = vec![Vec::new(); on.lattice.pieces.len()];
    for clip in &on.lattice.clips {
        if let Some(list) = clip.piece.and_then(|p| at.get_mut(p as usize)) {
            list.push(clip.x);
        }
    }
    for list in &mut at {
        list.sort_by(f64::total_cmp);
        list.dedup_by(|b, a| *b - *a < SAME_PLACE);
    }
    at
}

/// The clips of a slope by the pieces that they stand on, from left to right, each place once.
#[derive(Clone, Debug, PartialEq)]
pub struct OnPieces {
    /// Whether a seam passes a course without a clip on it.
    pub skipping: bool,
    /// Piece by piece.
    pub pieces: Vec<Vec<ClipOn>>,
}

impl OnPieces {
    /// Of a slope; `None` where no clip stands on a piece.
    pub fn of(on: &OnSlope<'_>, loads: Loads<'_>, slices: &mut Slices) -> Option<OnPieces> {
        if !on.lattice.clips.iter().any(|c| c.piece.is_some()) {
            return None;
        }
        let every = on_every_course(on);
        let skipping = every.is_none();
        Some(OnPieces { skipping, pieces: every.unwrap_or_else(|| by_seams(on, loads, slices)) })
    }
}

/// The clips where a course is loaded by those that stand on it; `None` where a seam passes a course without a clip on it.
fn on_every_course(on: &OnSlope<'_>) -> Option<Vec<Vec<ClipOn>>> {
    let lattice = on.lattice;
    let of = |x: f64| ClipOn { x, holds: (x, x), own: None };
    let mut at: Vec<Vec<ClipOn>> = places(on).into_iter().map(|list| list.into_iter().map(of).collect()).collect();
    let reach = tributary::shares(lattice, &on.frame.outline);
    let mut first = 0;
    for joined in lattice.pieces.chunk_by(goes_on) {
        let range = first..first + joined.len();
        let here = at.get_mut(range.clone())?;
        first = range.end;
        let (left, right) = joined.first().zip(joined.last())?;
        let (from, to) = reach.get(range).and_then(|r| r.first().zip(r.last()))?;
        let ends = (from.0, to.1);
        let from = lattice.seams.partition_point(|s| s.x < left.x.0);
        let over = lattice.seams.iter().skip(from).take_while(|s| s.x <= right.x.1);
        let over = over.filter(|s| s.stretches.iter().any(|r| r.0 <= left.y && left.y <= r.1));
        if over.count() > here.iter().map(Vec::len).sum() {
            return None;
        }
        let mut all: Vec<&mut ClipOn> = here.iter_mut().flatten().collect();
        all.sort_by(|a, b| a.x.total_cmp(&b.x));
        let stretches = shares(&all.iter().map(|c| c.x).collect::<Vec<_>>(), ends);
        for (clip, holds) in all.into_iter().zip(stretches) {
            clip.holds = holds;
        }
        // What stands on the outer pieces has all that hangs on their ends.
        if let Some(clip) = here.first_mut().and_then(|list| list.first_mut()) {
            clip.holds.0 = f64::NEG_INFINITY;
        }
        if let Some(clip) = here.last_mut().and_then(|list| list.last_mut()) {
            clip.holds.1 = f64::INFINITY;
        }
    }
    Some(at)
}

/// The clips, each with the roofing half way to the next ones of its seam and to the next seams.
fn by_seams(on: &OnSlope<'_>, loads: Loads<'_>, slices: &mut Slices) -> Vec<Vec<ClipOn>> {
    let lattice = on.lattice;
    let outline = &on.frame.outline;
    let mut at: Vec<Vec<ClipOn>> = vec![Vec::new(); lattice.pieces.len()];
    let held: Vec<(f64, Vec<(f64, u32)>)> = lattice
        .clips
        .chunk_by(|a, b| a.seam == b.seam)
        .filter_map(|seam| {
            let mut places: Vec<(f64, u32)> = seam.iter().filter_map(|c| Some((c.y, c.piece?))).collect();
            places.sort_by(|a, b| a.0.total_cmp(&b.0));
            Some((seam.first()?.x, places)).filter(|s| !s.1.is_empty())
        })
        .collect();
    let bounds = outline.bounds();
    let stretches = shares(&held.iter().map(|s| s.0).collect::<Vec<_>>(), (bounds.x0, bounds.x1));
    for ((x, places), holds) in held.iter().zip(stretches) {
        let heights: Vec<f64> = places.iter().map(|p| p.0).collect();
        for ((y, piece), here) in places.iter().zip(roofing_of(outline, holds, &heights)) {
            let own = lines::even(&here, ("", *y), &Hold::EveryCourse, loads, slices, &|_| None);
            let Some(list) = at.get_mut(*piece as usize) else { continue };
            match list.iter_mut().find(|c| (c.x - x).abs() < SAME_PLACE) {
                // Two clips of a seam on one board: one force.
                Some(clip) => clip.own.get_or_insert_default().extend(own),
                None => list.push(ClipOn { x: *x, holds, own: Some(own) }),
            }
        }
    }
    for list in &mut at {
        list.sort_by(|a, b| a.x.total_cmp(&b.x));
    }
    at
}

/// The roofing that hangs on each of the clips of one seam, from low to high: of every panel over the stretch of x, what is
/// nearer to the clip than to the next ones of its seam; a panel past all of them hangs on the nearest.
fn roofing_of(outline: &Outline, (left, right): (f64, f64), heights: &[f64]) -> Vec<Vec<Stretch>> {
    let borders: Vec<f64> = heights.windows(2).filter_map(|w| Some((w.first()? + w.last()?) / 2.0)).collect();
    // Between two of these places the ends of every part are straight, so that its middle stands for it.
    let mut cuts = vec![left, right];
    cuts.extend(outline.corners.iter().map(|c| c.0));
    cuts.extend(outline.openings.iter().flat_map(|(_, o)| [o.x0, o.x1]));
    cuts.extend(borders.iter().flat_map(|y| outline.along_x(*y)).flat_map(|(a, b)| [a.0, b.0]));
    cuts.retain(|x| left <= *x && *x <= right);
    cuts.sort_by(f64::total_cmp);
    cuts.dedup_by(|b, a| *b - *a < SAME_PLACE);
    let mut all = vec![Vec::new(); heights.len()];
    for (a, b) in cuts.windows(2).filter_map(|w| Some((*w.first()?, *w.last()?))) {
        for panel in panel_stretches(outline, (a + b) / 2.0) {
            let own = |y: &f64| panel.0 <= *y && *y <= panel.1;
            let (from, to) = match (heights.iter().position(own), heights.iter().rposition(own)) {
                (Some(from), Some(to)) => (from, to),
                _ => {
                    let next = heights.partition_point(|y| *y < panel.0);
                    let off = |k: usize| heights.get(k).map_or(f64::INFINITY, |y| (panel.0 - y).max(y - panel.1));
                    let nearest = match next.checked_sub(1) {
                        Some(below) if off(below) <= off(next) => below,
                        _ => next,
                    };
                    (nearest, nearest)
                }
            };
            for (k, list) in all.iter_mut().enumerate().take(to + 1).skip(from) {
                let low = if k == from { panel.0 } else { borders.get(k - 1).copied().unwrap_or(panel.0) };
                let high = if k == to { panel.1 } else { borders.get(k).copied().unwrap_or(panel.1) };
                let (y, panel) = (Band::level((low, high)), Band::level(panel));
                list.push(Stretch { x: (a, b), y, panel, lowest: k == from, highest: k == to, beside: false });
            }
        }
    }
    all
}

/// The roofing of a course that hangs on a clip, from what hangs on its piece: past a joint of the piece it is as at that end.
pub fn on_course(evens: &[Even], clip: &ClipOn) -> Vec<Even> {
    let (from, to) = clip.holds;
    let mut here: Vec<Even> = evens.iter().filter_map(|e| e.part(from, to)).collect();
    let Some((left, right)) = lines::reach(evens) else { return here };
    if from.is_finite() && from < left {
        let ends = evens.iter().filter(|e| e.x.0 == left);
        here.extend(ends.map(|e| e.as_at(left, (from, left.min(to)))));
    }
    if to.is_finite() && to > right {
        let ends = evens.iter().filter(|e| e.x.1 == right);
        here.extend(ends.map(|e| e.as_at(right, (right.max(from), to))));
    }
    here
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
    pub fn of(design: &Design, wood: &Wood, spec: &StrengthSpec) -> Option<Result<ClipHold, String>> {
        let p = design.panels.as_ref()?;
        let Some(thread) = &p.screw_thread else {
            return Some(
                Err("panels.screw_thread does not say how long the thread of the clips' screws is".to_owned()),
            );
        };
        let (length, base) = (p.screw_length.metres(), p.clip_thickness.metres());
        let mut input = FastenerInput::new(Kind::WoodScrew, p.screw_diameter.metres(), length);
        input.thread = Some(thread.metres());
        input.root = p.screw_root.as_ref().map(|g| g.metres());
        if let Some(maker) = &p.maker {
            basis::by_maker(maker, spec, &mut input);
        }
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

    /// The share of a clip's screws that a force out of the slope asks, newtons, and what decides.
    ///
    /// # Errors
    /// Why there is no value.
    pub fn used(&self, out: f64, c: &Combination) -> Result<(f64, Mode), NotComputed> {
        self.fit.used(out, 0.0, self.screws, c)
    }

    /// The hand calculation for one screw.
    ///
    /// # Errors
    /// Why there is none.
    pub fn by_hand(&self, wood: &Wood, out: f64, c: &Combination) -> Result<Vec<Step>, NotComputed> {
        let demand = nds::Demand { uplift: out / self.screws, lateral: 0.0 };
        let lengths = (self.penetration, self.countable, self.base);
        let steps = match wood {
            Wood::Nds { .. } => nds(&self.fastener, wood, lengths).ok_or(NO_WOOD)?.steps(&demand, c.nds)?,
            Wood::Ec5 { .. } => ec5(&self.fastener, wood, lengths).ok_or(NO_WOOD)?.steps(&demand, c.ec5)?,
        };
        Ok(steps.into_iter().filter_map(in_batten).collect())
    }
}

/// A line of the calculation in the words of a clip: its base lies where else the batten lies, the batten where the member is.
fn in_batten(mut step: Step) -> Option<Step> {
    step.what = match step.symbol {
        "ts" | "t1" => "thickness of the clip's base",
        "p_found" => "length under the clip's base, point included",
        "p" | "p_in" => "countable length: what of it lies in the batten",
        "G_m" => "specific gravity of the batten, which holds",
        "rho_2" => "characteristic density of the batten, which holds",
        // The base lies on the batten, and its steel has no density here.
        "g" | "rho_1" => return None,
        _ => step.what,
    };
    Some(step)
}

/// A joint asked of the other rule set.
const NO_WOOD: NotComputed = NotComputed::NotCovered { what: "the screws", why: "rule sets are never mixed" };

fn nds<'a>(
    fastener: &'a Fastener,
    wood: &Wood,
    (penetration, countable, base): (f64, f64, f64),
) -> Option<nds::Joint<'a>> {
    let Wood::Nds { battens, moisture, temperature, .. } = wood else { return None };
    Some(nds::Joint {
        fastener,
        side_gravity: battens.gravity,
        side_thickness: base,
        gap: 0.0,
        main_gravity: battens.gravity,
        penetration,
        countable: (countable < penetration).then_some(countable),
        tilt: 0.0,
        side_angle: 0.0,
        main_angle: 0.0,
        end_grain: false,
        moisture: *moisture,
        temperature: *temperature,
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
        countable: (countable < penetration).then_some(countable),
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
    let lacking = case.lacking_at(clip);
    let mut worst: Option<Use> = None;
    for (combination, c) in basis.combinations.iter().enumerate() {
        if lacking.is_some() && c.factors.wind > 0.0 {
            continue;
        }
        let out = path::clip_force(case, basis, c, 0, Across::Out(area), clip);
        match hold.used(out, c) {
            Ok((ratio, mode)) if worst.is_none_or(|w| ratio > w.ratio) => {
                let pattern = Pattern::All;
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
