//! What may go wrong: the chance of a miss, from how well things are known.
//!
//! Errors lie across the members: for a landing on a line along the eave, for one of its own up the slope. A member's
//! place and its bow are common to the whole member, the sighted line to every landing on it; drive and tilt are each
//! fastener's own. All are independent and normal about the plan. A miss is a shank that is not backed. Closed forms: a
//! fastener in one member; a landing of several (one integral over the common error); a piece whose landings share no
//! member and no line (from landing to landing). Seeded sampling: everything else, and what the whole roof does.
//! Limits: lean acts where the asked embedment ends; an error along a member is not counted; a member moves only across
//! the direction in which it runs.

use std::collections::BTreeMap;

use super::normal::{Draws, all_between};
use super::window::{REACH, Site};
use crate::design::Tolerance;
use crate::lattice::{Landing, On};
use crate::quantity::maths::{hypot, tan};
use crate::solid::tolerance::SAME;
use crate::structure::MemberId;

/// The chances of a whole roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Chances {
    /// Slope by slope, landing by landing.
    pub landings: Vec<Vec<LandingChance>>,
    /// Slope by slope, piece by piece.
    pub pieces: Vec<Vec<PieceChance>>,
    /// Slope by slope, line by line.
    pub lines: Vec<Vec<LineChance>>,
    /// Expected number of fasteners that miss.
    pub expected: f64,
    /// Fasteners that the plan itself puts where nothing backs them.
    pub planned: usize,
    /// The share of sampled roofs in which no fastener misses but those of the plan.
    pub none: f64,
    /// In 19 of 20 sampled roofs no more fasteners miss than this.
    pub most: usize,
    /// How many roofs were sampled.
    pub samples: usize,
}

/// The chance of one landing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LandingChance {
    /// Chance that at least one of its fasteners misses.
    pub miss: f64,
    /// Expected number of its fasteners that miss.
    pub expected: f64,
    /// From sampling rather than from a closed form.
    pub sampled: bool,
}

/// The chance of one piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PieceChance {
    /// Chance that a run between good landings exceeds its limit, or that fewer than two landings are good.
    pub long_run: f64,
    /// From sampling rather than from a closed form.
    pub sampled: bool,
}

/// What a line's landings have in common.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineChance {
    /// Largest chance of a miss among its landings.
    pub worst: f64,
    /// How far the line's member may be found off before the chance of a miss at any of its landings passes the limit:
    /// to the left (not above zero where the plan has room) and to the right, metres. `None` where it passes it anyway,
    /// or where several members lie below.
    pub shift: Option<(f64, f64)>,
}

/// Deviations of the errors at one landing, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Errors {
    rafter: f64,
    bow: f64,
    line: f64,
    own: f64,
}

impl Errors {
    fn common(&self) -> f64 {
        hypot(hypot(self.rafter, self.bow), self.line)
    }
}

/// One landing as sampling sees it.
struct Aimed {
    errors: Errors,
    /// What shares the sighted line's error.
    line: LineKey,
    /// For each fastener the stretches over which a member backs it.
    fasteners: Vec<Vec<(MemberId, (f64, f64))>>,
    /// Chance of a hit of all fasteners, and expected misses among them, where closed forms have them.
    hit: Option<f64>,
    expected: Option<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum LineKey {
    Line(u32),
    Member(MemberId),
    Alone(u32),
}

impl Aimed {
    /// The one member that backs its fasteners, with a stretch for each; `None` where there are several, or none.
    fn one(&self) -> Option<(MemberId, Vec<(f64, f64)>)> {
        let mut all = Vec::new();
        let mut member = None;
        for stretches in &self.fasteners {
            let [(m, stretch)] = stretches.as_slice() else { return None };
            if member.is_some_and(|k| k != *m) {
                return None;
            }
            member = Some(*m);
            all.push(*stretch);
        }
        Some((member?, all))
    }

    /// Chance of a hit of all fasteners, where a closed form has it.
    fn all_hit(&self) -> Option<f64> {
        if self.fasteners.iter().any(Vec::is_empty) {
            return Some(0.0);
        }
        let (_, stretches) = self.one()?;
        Some(all_between(&stretches, self.errors.common(), self.errors.own).clamp(0.0, 1.0))
    }

    /// Expected misses among its fasteners, where a closed form has them.
    fn expected_misses(&self) -> Option<f64> {
        let mut sum = 0.0;
        for stretches in &self.fasteners {
            sum += match stretches.as_slice() {
                [] => 1.0,
                [(_, s)] => 1.0 - all_between(&[*s], self.errors.common(), self.errors.own).min(1.0),
                _ => return None,
            };
        }
        Some(sum)
    }
    /// Its chances, where closed forms have both.
    fn closed(&self) -> Option<LandingChance> {
        Some(LandingChance { miss: 1.0 - self.hit?, expected: self.expected?, sampled: false })
    }
}

/// Sampled fasteners in all: so that a large roof takes seconds, not minutes.
const DRAWS: usize = 5_000_000;
/// Most and fewest roofs that are sampled.
const ROOFS: (usize, usize) = (1_000, 100);
/// The seed: any number does, as long as it stays.
const SEED: u64 = 20_251_125;

/// What all landings aim at, with the errors that act on it and what closed forms say: what chances are worked out from.
pub struct Aims(Vec<Vec<Aimed>>);

impl Aims {
    /// The aims of all slopes.
    pub fn of(sites: &[Site<'_>], tolerance: &Tolerance) -> Aims {
        let on_slope =
            |site: &Site<'_>| (0..).zip(&site.on.landings).map(|(i, l)| aimed(site, tolerance, i, l)).collect();
        Aims(sites.iter().map(on_slope).collect())
    }

    /// The chances of landings alone, slope by slope: only those without a closed form are sampled. They are those of
    /// [`Aims::chances`].
    pub fn landings(&self, sites: &[Site<'_>]) -> Vec<Vec<LandingChance>> {
        let open = self.0.iter().flatten().any(|a| a.closed().is_none());
        let sampled = open.then(|| sample(sites, &self.0, None));
        let of = |i: usize| sampled.as_ref().and_then(|s| s.slopes.get(i)).map_or(&[][..], |s| &s.landings);
        self.0.iter().enumerate().map(|(i, aimed)| landings(aimed, of(i))).collect()
    }

    /// All chances. Runs of pieces are too long where they exceed `most_run`, metres.
    pub fn chances(&self, sites: &[Site<'_>], tolerance: &Tolerance, most_run: f64) -> Chances {
        let sampled = sample(sites, &self.0, Some(most_run));
        let mut all =
            Chances { none: sampled.none, most: sampled.most, samples: sampled.samples, ..Chances::default() };
        for ((site, aimed), sampled) in sites.iter().zip(&self.0).zip(&sampled.slopes) {
            let landings = landings(aimed, &sampled.landings);
            all.expected += landings.iter().map(|l| l.expected).sum::<f64>();
            all.planned += aimed.iter().flat_map(|a| &a.fasteners).filter(|f| !planned_hit(f)).count();
            all.pieces.push(
                pieces(site)
                    .map(|range| {
                        let closed = long_run(site, range.clone(), aimed, most_run);
                        closed.map(|long_run| PieceChance { long_run, sampled: false })
                    })
                    .zip(&sampled.pieces)
                    .map(|(closed, s)| closed.unwrap_or(PieceChance { long_run: *s, sampled: true }))
                    .collect(),
            );
            all.lines.push(lines(site, aimed, &landings, tolerance));
            all.landings.push(landings);
        }
        all
    }
}

/// The chances of a slope's landings: by closed forms, or as sampled.
fn landings(aimed: &[Aimed], sampled: &[(f64, f64)]) -> Vec<LandingChance> {
    let of_sample = |i: usize| sampled.get(i).copied().unwrap_or_default();
    let by_sample = |(miss, expected)| LandingChance { miss, expected, sampled: true };
    aimed.iter().enumerate().map(|(i, a)| a.closed().unwrap_or_else(|| by_sample(of_sample(i)))).collect()
}

/// The same by sampling alone: what the closed forms are measured against. Says nothing of lines.
pub fn sampled_chances(sites: &[Site<'_>], tolerance: &Tolerance, most_run: f64) -> Chances {
    let Aims(aimed) = Aims::of(sites, tolerance);
    let sampled = sample(sites, &aimed, Some(most_run));
    let landing = |s: &(f64, f64)| LandingChance { miss: s.0, expected: s.1, sampled: true };
    let piece = |s: &f64| PieceChance { long_run: *s, sampled: true };
    Chances {
        expected: sampled.slopes.iter().flat_map(|s| &s.landings).map(|l| l.1).sum(),
        planned: aimed.iter().flatten().flat_map(|a| &a.fasteners).filter(|f| !planned_hit(f)).count(),
        landings: sampled.slopes.iter().map(|s| s.landings.iter().map(landing).collect()).collect(),
        pieces: sampled.slopes.iter().map(|s| s.pieces.iter().map(piece).collect()).collect(),
        lines: vec![Vec::new(); sites.len()],
        none: sampled.none,
        most: sampled.most,
        samples: sampled.samples,
    }
}

fn planned_hit(stretches: &[(MemberId, (f64, f64))]) -> bool {
    stretches.iter().any(|(_, s)| s.0 <= 0.0 && 0.0 <= s.1)
}

/// A landing with the errors that act on it and the stretches over which its fasteners are backed.
fn aimed(site: &Site<'_>, tolerance: &Tolerance, number: u32, landing: &Landing) -> Aimed {
    let sigma = |given: f64| given / tolerance.meaning.value.sigmas();
    // Members on a line run up the slope, and errors go across; those of a landing's own run along the eave.
    let up = matches!(landing.on, On::Member(_));
    let direction = if up { [0.0, 1.0] } else { [1.0, 0.0] };
    let fasteners: Vec<_> =
        site.on.fasteners_of(landing).iter().map(|f| site.backed_along(landing, [f.x, f.y], direction)).collect();
    let lift = site.on.pieces.get(landing.piece as usize).map_or(0.0, |p| p.lift);
    let top = site.lattice.levels.batten + lift;
    let depth = top - site.structure.framing_level + site.design.limits.embedment.metres();
    let lean = sigma(tan(site.design.tilt.value.radians())) * depth;
    let bow = fasteners.iter().flatten().next().map_or(0.0, |(m, _)| bow_shape(site, *m, landing));
    let errors = Errors {
        rafter: sigma(tolerance.rafter.metres()),
        bow: sigma(tolerance.bow.metres()) * bow,
        line: sigma(tolerance.line.metres()),
        own: hypot(sigma(tolerance.drive.metres()), lean),
    };
    let line = match landing.on {
        On::Line(l) => LineKey::Line(l),
        On::Member(m) => LineKey::Member(m),
        On::Place => LineKey::Alone(number),
    };
    let aimed = Aimed { errors, line, fasteners, hit: None, expected: None };
    Aimed { hit: aimed.all_hit(), expected: aimed.expected_misses(), ..aimed }
}

/// A bow is a parabola: all of it at the middle of the member, nothing at its ends.
fn bow_shape(site: &Site<'_>, member: MemberId, landing: &Landing) -> f64 {
    let Some(member) = site.structure.member(member) else { return 0.0 };
    let (low, high) = member.bounds();
    let along = if high.y - low.y > high.x - low.x { (landing.y, low.y, high.y) } else { (landing.x, low.x, high.x) };
    let t = if along.2 > along.1 { ((along.0 - along.1) / (along.2 - along.1)).clamp(0.0, 1.0) } else { 0.5 };
    4.0 * t * (1.0 - t)
}

/// Landings of each piece: a stretch of the slope's landings.
fn pieces<'s>(site: &'s Site<'_>) -> impl Iterator<Item = std::ops::Range<usize>> + 's {
    let mut start = 0;
    (0..site.on.pieces.len()).map(move |i| {
        let rest = site.on.landings.get(start..).unwrap_or_default();
        let n = rest.iter().take_while(|l| l.piece as usize == i).count();
        start += n;
        start - n..start
    })
}

/// The middle of a landing's fasteners, from which runs are measured.
fn middle(site: &Site<'_>, landing: &Landing) -> f64 {
    let group = site.on.fasteners_of(landing);
    group.iter().map(|f| f.x).sum::<f64>() / group.len().max(1) as f64
}

/// Chance of a run that is too long, from landing to landing; `None` where landings share a member or a line.
fn long_run(site: &Site<'_>, range: std::ops::Range<usize>, aimed: &[Aimed], most: f64) -> Option<f64> {
    let here = aimed.get(range.clone())?;
    let mut members: Vec<MemberId> = Vec::new();
    let mut lines: Vec<LineKey> = Vec::new();
    let mut places: Vec<(f64, f64)> = Vec::new();
    for (a, landing) in here.iter().zip(site.on.landings.get(range)?) {
        let hit = a.hit?;
        if hit > 0.0 {
            let member = a.one()?.0;
            if members.contains(&member) || lines.contains(&a.line) {
                return None;
            }
            members.push(member);
            lines.push(a.line);
        }
        places.push((middle(site, landing), hit));
    }
    places.sort_by(|p, q| p.0.total_cmp(&q.0));
    // held[i][k]: chance that landing i is good, every run up to it short enough, and k (1, or 2 and more) were good.
    let mut held: Vec<[f64; 2]> = Vec::new();
    let mut sum = 0.0;
    for (i, (x, hit)) in places.iter().enumerate() {
        let mut now = [0.0, 0.0];
        let mut missed = 1.0;
        for j in (0..i).rev() {
            if x - places[j].0 <= most + 1e-9 {
                now[1] += hit * missed * (held[j][0] + held[j][1]);
            }
            missed *= 1.0 - places[j].1;
        }
        now[0] = hit * missed;
        held.push(now);
        let after: f64 = places[i + 1..].iter().map(|p| 1.0 - p.1).product();
        sum += now[1] * after;
    }
    Some((1.0 - sum).clamp(0.0, 1.0))
}

fn lines(site: &Site<'_>, aimed: &[Aimed], chances: &[LandingChance], tolerance: &Tolerance) -> Vec<LineChance> {
    let limit = tolerance.miss.value;
    let mut of_line: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for (i, landing) in site.on.landings.iter().enumerate() {
        if let On::Line(l) = landing.on {
            of_line.entry(l).or_default().push(i);
        }
    }
    (0..)
        .zip(&site.on.lines)
        .map(|(l, _)| {
            let here = of_line.get(&l).map(Vec::as_slice).unwrap_or_default();
            let worst = here.iter().filter_map(|i| chances.get(*i)).map(|c| c.miss).fold(0.0, f64::max);
            let mut shift = (!here.is_empty()).then_some((-REACH, REACH));
            for a in here.iter().filter_map(|i| aimed.get(*i)) {
                shift = shift.and_then(|s| allowed(a, limit, s));
            }
            LineChance { worst, shift: shift.filter(|s| s.0 <= 0.0 && s.1 >= 0.0) }
        })
        .collect()
}

fn allowed(aimed: &Aimed, limit: f64, within: (f64, f64)) -> Option<(f64, f64)> {
    let (_, stretches) = aimed.one()?;
    allowed_shift(&stretches, aimed.errors.common(), aimed.errors.own, limit, within)
}

/// How far off a member may be found, to the left (negative) and to the right, before the chance that one of a landing's
/// fasteners misses passes `limit`: `stretches` are those over which each fastener is backed as planned, `common` and
/// `own` the deviations of the common and of each fastener's own error. Looked for between the two shifts `within`,
/// which lie to either side of zero: most landings of a line allow what its others do, and one look tells. `None` where
/// the limit is passed anyway. Metres.
pub fn allowed_shift(
    stretches: &[(f64, f64)],
    common: f64,
    own: f64,
    limit: f64,
    within: (f64, f64),
) -> Option<(f64, f64)> {
    let miss = |shift: f64| {
        let moved: Vec<(f64, f64)> = stretches.iter().map(|s| (s.0 + shift, s.1 + shift)).collect();
        1.0 - all_between(&moved, common, own)
    };
    if miss(0.0) > limit {
        return None;
    }
    let edge = |farthest: f64| {
        let (mut inside, mut outside) = (0.0, farthest);
        if miss(outside) <= limit {
            return outside;
        }
        while (outside - inside).abs() > SAME * 1e-3 {
            let half = (inside + outside) / 2.0;
            if miss(half) <= limit { inside = half } else { outside = half }
        }
        inside
    };
    Some((edge(within.0), edge(within.1)))
}

/// Shares of sampled roofs.
struct Sampled {
    slopes: Vec<SampledSlope>,
    none: f64,
    most: usize,
    samples: usize,
}

struct SampledSlope {
    /// Chance of a miss and expected misses of each landing.
    landings: Vec<(f64, f64)>,
    /// Chance of a long run of each piece.
    pieces: Vec<f64>,
}

/// What a slope's landings draw in each sampled roof.
struct Drawing {
    /// For each landing the number of its sighted line among those of the slope, and whether it is the first one on it.
    lines: Vec<(usize, bool)>,
    /// For each landing whether it is asked for; for each line whether one of its landings is.
    landings: Vec<bool>,
    asked: Vec<bool>,
}

impl Drawing {
    /// All landings, or only those without a closed form.
    fn of(aimed: &[Aimed], all: bool) -> Drawing {
        let mut numbers: BTreeMap<LineKey, usize> = BTreeMap::new();
        let (mut lines, mut landings, mut asked) = (Vec::new(), Vec::new(), Vec::new());
        for a in aimed {
            let (number, wanted) = (*numbers.entry(a.line).or_insert(asked.len()), all || a.closed().is_none());
            let first = number == asked.len();
            if first {
                asked.push(false);
            }
            asked[number] |= wanted;
            lines.push((number, first));
            landings.push(wanted);
        }
        Drawing { lines, landings, asked }
    }
}

/// Sampled roofs. Every fastener, line and member has its place in the order of draws, so what is not asked for is passed
/// over. Without a longest run, landings that have no closed form are asked for and nothing else.
fn sample(sites: &[Site<'_>], aimed: &[Vec<Aimed>], most_run: Option<f64>) -> Sampled {
    let fasteners: usize = aimed.iter().flatten().map(|a| a.fasteners.len()).sum();
    let samples = (DRAWS / fasteners.max(1)).clamp(ROOFS.1, ROOFS.0);
    let mut draws = Draws::from(SEED);
    let mut slopes: Vec<SampledSlope> = sites
        .iter()
        .map(|s| SampledSlope { landings: vec![(0.0, 0.0); s.on.landings.len()], pieces: vec![0.0; s.on.pieces.len()] })
        .collect();
    let middles: Vec<Vec<f64>> = sites.iter().map(|s| s.on.landings.iter().map(|l| middle(s, l)).collect()).collect();
    let ranges: Vec<Vec<std::ops::Range<usize>>> = match most_run {
        Some(_) => sites.iter().map(|s| pieces(s).collect()).collect(),
        None => vec![Vec::new(); sites.len()],
    };
    let drawings: Vec<Drawing> = aimed.iter().map(|a| Drawing::of(a, most_run.is_some())).collect();
    // Whether a landing that is asked for may be backed by a member.
    let mut members = vec![false; sites.first().map_or(0, |s| s.structure.members.len())];
    for (a, wanted) in aimed.iter().flatten().zip(drawings.iter().flat_map(|d| &d.landings)) {
        for (member, _) in a.fasteners.iter().flatten() {
            if let Some(asked) = members.get_mut(member.0 as usize) {
                *asked |= wanted;
            }
        }
    }
    let planned = aimed.iter().flatten().flat_map(|a| &a.fasteners).filter(|f| !planned_hit(f)).count();
    let mut misses_of_roof: Vec<usize> = Vec::with_capacity(samples);
    let share = 1.0 / samples as f64;
    let mut good: Vec<f64> = Vec::new();
    let mut hits: Vec<bool> = Vec::new();
    let mut lines: Vec<f64> = Vec::new();
    for _ in 0..samples {
        // One error a member and one a bow, whichever slope asks.
        let of_member: Vec<(f64, f64)> =
            members.iter().map(|asked| (draws.normal_if(*asked), draws.normal_if(*asked))).collect();
        let mut misses = 0;
        let each = aimed.iter().zip(&drawings).zip(&mut slopes).zip(&middles).zip(&ranges);
        for ((((aimed, drawing), slope), middles), ranges) in each {
            lines.clear();
            hits.clear();
            for (((a, (line, first)), wanted), chance) in
                aimed.iter().zip(&drawing.lines).zip(&drawing.landings).zip(&mut slope.landings)
            {
                if *first {
                    lines.push(draws.normal_if(drawing.asked[*line]));
                }
                if !wanted {
                    draws.skip(a.fasteners.len());
                    hits.push(false);
                    continue;
                }
                let line = lines[*line] * a.errors.line;
                let missed = a
                    .fasteners
                    .iter()
                    .filter(|stretches| {
                        let off = line + draws.normal() * a.errors.own;
                        !stretches.iter().any(|(m, (low, high))| {
                            let (place, bow) = of_member.get(m.0 as usize).copied().unwrap_or_default();
                            let at = off - place * a.errors.rafter - bow * a.errors.bow;
                            *low <= at && at <= *high
                        })
                    })
                    .count();
                misses += missed;
                hits.push(missed == 0);
                chance.0 += f64::from(u8::from(missed > 0)) * share;
                chance.1 += missed as f64 * share;
            }
            for (range, long_run) in ranges.iter().zip(&mut slope.pieces) {
                good.clear();
                good.extend(range.clone().filter(|i| hits[*i]).map(|i| middles[i]));
                good.sort_by(f64::total_cmp);
                let most_run = most_run.unwrap_or(f64::INFINITY);
                let long = good.len() < 2 || good.windows(2).any(|w| w[1] - w[0] > most_run + 1e-9);
                *long_run += f64::from(u8::from(long)) * share;
            }
        }
        misses_of_roof.push(misses);
    }
    misses_of_roof.sort_unstable();
    let none = misses_of_roof.iter().filter(|m| **m <= planned).count() as f64 * share;
    let most = misses_of_roof.get((samples * 19 / 20).min(samples.saturating_sub(1))).copied().unwrap_or(0);
    Sampled { slopes, none, most, samples }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aim::normal::between;

    const FAR: (f64, f64) = (-REACH, REACH);

    /// The inverse against the closed form it inverts: one fastener, equal stretches.
    #[test]
    fn the_shift_at_the_limit_has_the_chance_of_the_limit() {
        let (low, high) = allowed_shift(&[(-0.75, 0.75)], 0.05, 0.05, 0.01, FAR).unwrap();
        assert!(low <= -REACH + 1e-9 && high >= REACH - 1e-9, "a wide member takes all that is looked at");
        let stretch = (-0.019, 0.019);
        let (low, high) = allowed_shift(&[stretch], 0.003, 0.004, 0.01, FAR).unwrap();
        assert!((low + high).abs() < 1e-9);
        let miss = 1.0 - between(stretch.0 + high, stretch.1 + high, 0.005);
        assert!((miss - 0.01).abs() < 1e-6, "{miss}");
        // A one-sided tail: 2.3263 deviations from the side (Abramowitz and Stegun, table 26.5, from memory).
        assert!((0.019 - high - 2.326_35 * 0.005).abs() < 1e-6, "{high}");
        // Looked for in less, it stays within that; where less holds it, nothing changes.
        assert_eq!(
            allowed_shift(&[stretch], 0.003, 0.004, 0.01, (low / 2.0, high / 2.0)),
            Some((low / 2.0, high / 2.0))
        );
        let nearer = allowed_shift(&[stretch], 0.003, 0.004, 0.01, (low * 1.5, high * 1.5)).unwrap();
        assert!((nearer.0 - low).abs() < 2e-9 && (nearer.1 - high).abs() < 2e-9);
        assert_eq!(allowed_shift(&[(0.01, 0.019)], 0.003, 0.004, 0.01, FAR), None);
    }
}
