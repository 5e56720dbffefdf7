//! The way of the loads: panel, batten, landing, fastener, member.
//!
//! Aim: the utilisation of every landing and every piece, each by the combination that asks most. Reason: a batten is a
//! continuous beam on what really holds it, so one missed landing shows as overload at its neighbours. Limits: where clips
//! stand on every course, all of the roofing's load comes through the clips of the piece, pressure too; where they leave out
//! courses, what pulls outward comes through them, and what presses lies evenly on every course that the panels touch;
//! without clips it lies as it hangs, along slanted edges in triangles and trapezia; what hangs past an end of a piece is a
//! force on that end; the landings of a piece do not give.
//!
//! Pieces whose supports, fasteners and loads are alike to a nanometre are solved once.

use std::collections::BTreeMap;

use super::areas;
use super::basis::{Arrangement, Basis, Combination, SnowOn};
use super::clips::{self, ClipOn, OnPieces};
use super::hold::{self, Seat};
use super::lines::{self, Even, Hold, Slices};
use super::rules::{self, Fit};
use super::supports::{self, Support};
use super::zone_wind::{CALM, SlopeWind, WindOn};
use crate::capacity::NotComputed;
use crate::capacity::beam::{self, Answer, Beam, Holds, Load, Pattern, Solver};
use crate::capacity::loads::Amounts;
use crate::capacity::{Mark, Source};
use crate::check::context::{Context, OnSlope};
use crate::lattice::Piece;
use crate::quantity::list::number;
use crate::quantity::maths::sin_cos;

/// What decides at a landing or a piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mode {
    /// The fastener comes out of the member.
    Withdrawal,
    /// Its head goes through the batten.
    PullThrough,
    /// Its steel tears.
    Tension,
    /// It bends and crushes the wood, along the slope.
    Lateral,
    /// Out and down the slope together.
    Combined,
    /// Weight that stays, along the slope.
    Sustained,
    /// The batten's bending.
    Bending,
    /// The batten's shear.
    Shear,
    /// The batten's deflection.
    Deflection,
}

impl Mode {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Mode::Withdrawal => "withdrawal",
            Mode::PullThrough => "head pull-through",
            Mode::Tension => "tension in the fastener",
            Mode::Lateral => "lateral load along the slope",
            Mode::Combined => "uplift and lateral load together",
            Mode::Sustained => "dead load along the slope, which stays",
            Mode::Bending => "bending",
            Mode::Shear => "shear",
            Mode::Deflection => "deflection",
        }
    }
}

/// A share of a capacity with what decides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Use {
    /// Demand over capacity.
    pub ratio: f64,
    /// What decides.
    pub mode: Mode,
    /// Number of the combination in [`Basis::combinations`].
    pub combination: usize,
    /// Number of the way of holding panels in [`Basis::holds`].
    pub hold: usize,
    /// Which spans carry snow and roof live load.
    pub pattern: Pattern,
    /// Force that pulls the landing out (negative: bears), newtons. For a piece the moment (N m), the shear (N) or the
    /// deflection (m).
    pub out: f64,
    /// Force down the slope, newtons; zero for a piece.
    pub down: f64,
}

/// What became of a landing or a clip.
#[derive(Clone, Debug, PartialEq)]
pub enum Landed {
    /// It carries or does not carry: see the ratio.
    Used(Use),
    /// Nothing holds there, so nothing is asked of it.
    Nothing,
    /// Its piece is a mechanism.
    Adrift,
    /// It was not computed, and why.
    NotComputed(NotComputed),
}

/// What presses on a strip, at the level of service.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bearing {
    /// Newtons.
    pub force: f64,
    /// Number of the combination.
    pub combination: usize,
    /// Which spans carry snow and roof live load.
    pub pattern: Pattern,
}

/// What became of a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct OfPiece {
    /// Landings that hold.
    pub holding: usize,
    /// Bending, shear, deflection: the worst; `None` where the board has no design values, where the piece is a mechanism, or
    /// where it would pass but part of its wind is not known.
    pub board: Option<Use>,
    /// Landing by landing, from left to right.
    pub landings: Vec<Landed>,
    /// What presses most on the strip of each landing.
    pub bearing: Vec<Bearing>,
    /// Clip by clip, from left to right; `Nothing` where nothing is known of their screws.
    pub clips: Vec<Landed>,
    /// Why not all of it is computed, such as wind on some stretch that is not known. Then combinations with wind are left
    /// out, and nothing that the others do not overload is judged.
    pub lacking: Option<NotComputed>,
    /// The longest stretch between two places that bear, and the longest past the last, metres.
    pub spans: (f64, f64),
}

/// Everything that was computed.
#[derive(Clone, Debug)]
pub struct Analysis {
    /// What it rests on.
    pub basis: Basis,
    /// Slope by slope, piece by piece.
    pub slopes: Vec<Vec<std::sync::Arc<OfPiece>>>,
}

/// One piece, ready to be solved.
pub struct Case<'a> {
    /// The piece.
    pub piece: &'a Piece,
    /// Its supports from left to right.
    pub supports: Vec<Support>,
    /// What each fastener sits in that takes a share, landing by landing; none where nothing holds.
    pub seats: Vec<Vec<Seat>>,
    /// Stretches with what hangs on them, none across an end of the piece, for each way of holding panels.
    pub evens: Vec<Vec<Even>>,
    /// Wind on its slope; `None` where wind is not computed.
    pub wind: Option<&'a SlopeWind>,
    /// Clips on it, from left to right; `None` where the roofing's load is taken as even.
    pub clips: Option<Vec<ClipOn>>,
    /// Whether clips of its slope leave out courses: then each has its own roofing.
    pub skipping: bool,
    /// Sine and cosine of the pitch.
    pub pitch: (f64, f64),
    /// Snow on its slope.
    pub snow: SnowOn,
}

impl Case<'_> {
    /// How many fasteners of a landing share its force.
    pub fn sharing(&self, landing: usize) -> f64 {
        self.seats.get(landing).map_or(1.0, |seats| sharing(seats))
    }

    /// Wind on a stretch of it, for an effective wind area in m2.
    ///
    /// # Errors
    /// Why it is not known.
    pub fn wind_on(&self, e: &Even, area: f64) -> Result<WindOn, NotComputed> {
        self.wind.map_or(Ok(CALM), |wind| wind.on(&e.zones, area))
    }

    /// Why the wind on some stretch between two places is not known.
    fn lacking(&self, (from, to): (f64, f64)) -> Option<NotComputed> {
        let evens = self.evens.first()?;
        evens.iter().filter(|e| e.x.1 > from && e.x.0 < to).find_map(|e| self.wind_on(e, 0.0).err())
    }

    /// The same of the roofing of a clip.
    pub fn lacking_at(&self, clip: &ClipOn) -> Option<NotComputed> {
        match &clip.own {
            Some(own) => own.iter().find_map(|e| self.wind_on(e, 0.0).err()),
            None => self.lacking(clip.holds),
        }
    }

    /// The same of all that loads the piece.
    pub fn lacking_anywhere(&self) -> Option<NotComputed> {
        let everywhere = (f64::NEG_INFINITY, f64::INFINITY);
        self.lacking(everywhere).or_else(|| self.clips.iter().flatten().find_map(|c| self.lacking_at(c)))
    }
}

/// Forces along a piece, newtons per metre for each pascal or each newton per metre.
#[derive(Clone, Copy)]
pub enum Across {
    /// At a right angle to the slope, outward; the wind as it is for this effective wind area, m2.
    Out(f64),
    /// Down the slope.
    Down,
}

/// The load of one stretch at its left and at its right end, newtons per metre: outward, or down the slope.
pub fn line_load(case: &Case<'_>, e: &Even, basis: &Basis, c: &Combination, across: Across) -> (f64, f64) {
    with_batten(case, e, basis, c, across, basis.batten_weight)
}

/// The same without the batten's own weight.
pub fn roofing_load(case: &Case<'_>, e: &Even, basis: &Basis, c: &Combination, across: Across) -> (f64, f64) {
    with_batten(case, e, basis, c, across, 0.0)
}

fn with_batten(case: &Case<'_>, e: &Even, basis: &Basis, c: &Combination, across: Across, batten: f64) -> (f64, f64) {
    let (sin, cos) = case.pitch;
    let f = &c.factors;
    let dead = f.dead * basis.roofing;
    let (snow, more) = case.snow.lies(c.snow);
    let plan = (f.snow * snow + f.live * basis.live.unwrap_or(0.0)) * cos;
    let drift = f.snow * more * cos;
    // For each metre of roofing along the slope, for each beside the ridge, and for itself.
    let (each, beside, own) = match across {
        Across::Out(area) => {
            let wind = match case.wind_on(e, area) {
                Ok(w) => f.wind * if c.suction { w.suction } else { -w.pressure },
                Err(_) if f.wind > 0.0 => f64::NAN,
                Err(_) => 0.0,
            };
            (wind - (dead + plan) * cos, -drift * cos, -f.dead * batten * cos)
        }
        Across::Down => ((dead + plan) * sin, drift * sin, f.dead * batten * sin),
    };
    let [of_out, of_down] = e.drifted;
    let (height, drifted) = match across {
        Across::Out(_) => (e.height, of_out),
        Across::Down => (e.slides, of_down),
    };
    (each * height.0 + beside * drifted.0 + own, each * height.1 + beside * drifted.1 + own)
}

/// The full loads of a piece as a beam sees them; places count from its left end. Clips make forces at their places out of
/// all that comes from the roofing; where they leave out courses, only out of what pulls outward and, where every course
/// holds the panels, of what slides. The rest lies evenly.
pub fn loads(case: &Case<'_>, basis: &Basis, c: &Combination, hold: usize, across: Across) -> Vec<Load> {
    let (x0, length) = (case.piece.x.0, case.piece.x.1 - case.piece.x.0);
    let evens = case.evens.get(hold).map_or(&[][..], Vec::as_slice);
    if let Some(clips) = &case.clips {
        let forces = clip_forces(case, basis, c, hold, across);
        let at = |clip: &ClipOn| (clip.x - x0).clamp(0.0, length);
        let points = clips.iter().zip(forces).map(|(clip, force)| Load::Point { at: at(clip), force });
        let turn = match across {
            Across::Out(_) => -case.pitch.1,
            Across::Down => case.pitch.0,
        };
        let own = Load::Uniform { from: 0.0, to: length, force: c.factors.dead * basis.batten_weight * turn };
        let mut all: Vec<Load> = points.chain([own]).collect();
        if case.skipping && !at_clips(basis, hold, across) {
            let touching = |load| touching(load, across);
            lie(case, evens, &mut all, &|e| both(roofing_load(case, e, basis, c, across), touching));
        }
        return all;
    }
    let mut all = Vec::with_capacity(evens.len() + 2);
    // Past an end of the board there is none of it.
    lie(case, evens, &mut all, &|e| match past_end(case, e) {
        None => line_load(case, e, basis, c, across),
        Some(_) => roofing_load(case, e, basis, c, across),
    });
    all
}

/// Something done to both values of a pair.
pub fn both((left, right): (f64, f64), of: impl Fn(f64) -> f64) -> (f64, f64) {
    (of(left), of(right))
}

/// The loads on the stretches of a piece; of those past its ends a force there.
fn lie(case: &Case<'_>, evens: &[Even], into: &mut Vec<Load>, force: &dyn Fn(&Even) -> (f64, f64)) {
    let (x0, length) = (case.piece.x.0, case.piece.x.1 - case.piece.x.0);
    let mut past = [None; 2];
    for e in evens {
        let (left, right) = force(e);
        if let Some(end) = past_end(case, e) {
            if let Some(sum) = past.get_mut(usize::from(end > 0.0)) {
                *sum = Some(sum.unwrap_or(0.0) + f64::midpoint(left, right) * (e.x.1 - e.x.0));
            }
            continue;
        }
        let (from, to) = ((e.x.0 - x0).clamp(0.0, length), (e.x.1 - x0).clamp(0.0, length));
        if to > from {
            into.push(match left == right {
                true => Load::Uniform { from, to, force: left },
                false => Load::Linear { from, to, force: (left, right) },
            });
        }
    }
    let forces = past.into_iter().zip([0.0, length]).filter_map(|(force, at)| Some((force?, at)));
    into.extend(forces.map(|(force, at)| Load::Point { at, force }));
}

/// The end of a piece, from its left one, that a stretch hangs on past it; `None` for one on the piece itself.
pub fn past_end(case: &Case<'_>, e: &Even) -> Option<f64> {
    let (left, right) = case.piece.x;
    let middle = f64::midpoint(e.x.0, e.x.1);
    if middle < left {
        return Some(0.0);
    }
    (middle > right).then_some(right - left)
}

/// Where clips leave out courses: whether they alone bring all of a piece's roofing. They hold panels down the slope where
/// every course is said to hold them; a fixed line does it without them.
pub fn at_clips(basis: &Basis, hold: usize, across: Across) -> bool {
    matches!(across, Across::Down) && matches!(basis.holds.get(hold), Some(Hold::EveryCourse))
}

/// Of a load for each length what panels bring by lying on a course, whether or not a clip is there: outward nothing.
pub fn touching(load: f64, across: Across) -> f64 {
    if matches!(across, Across::Out(_)) && load > 0.0 { 0.0 } else { load }
}

/// Of the same what comes through a clip that leaves out courses: outward all that pulls.
pub fn pulling(load: f64, across: Across) -> f64 {
    if matches!(across, Across::Out(_)) && load < 0.0 { 0.0 } else { load }
}

/// What the roofing gives to each clip of a piece, newtons: that of its own roofing, or of the stretch that hangs on it. Past a
/// joint of the piece the load is taken as it is there.
pub fn clip_forces(case: &Case<'_>, basis: &Basis, c: &Combination, hold: usize, across: Across) -> Vec<f64> {
    case.clips.iter().flatten().map(|clip| clip_force(case, basis, c, hold, across, clip)).collect()
}

/// The same for one clip.
pub fn clip_force(case: &Case<'_>, basis: &Basis, c: &Combination, hold: usize, across: Across, clip: &ClipOn) -> f64 {
    let sum = |e: &Even, of: &dyn Fn(f64) -> f64| {
        let (left, right) = both(roofing_load(case, e, basis, c, across), of);
        f64::midpoint(left, right) * (e.x.1 - e.x.0)
    };
    if let Some(own) = &clip.own {
        if matches!(across, Across::Down) && !at_clips(basis, hold, across) {
            return 0.0;
        }
        return own.iter().map(|e| sum(e, &|load| pulling(load, across))).sum();
    }
    let evens = case.evens.get(hold).map_or(&[][..], Vec::as_slice);
    // What does not hang on it is left out, known or not.
    clips::on_course(evens, clip).iter().map(|e| sum(e, &|load| load)).sum()
}

/// Loads in parts by ASCE 7: roof live load (none on the other spans) and balanced snow (half of it there).
const PARTS_ASCE: Source = Source::new("ASCE 7-16 4.3.3 and 7.5.1 (loads in parts)", Mark::FromMemory);
/// Loads in parts by EN 1990: imposed load is free; snow on the spans of one slope is not.
const PARTS_EN: Source = Source::new("EN 1990 1.5.3.8 (a free action, taken in parts)", Mark::FromMemory);

/// Whether snow and roof live load of a combination are taken in parts, and by which source.
pub fn in_parts(basis: &Basis, c: &Combination) -> Option<Source> {
    let live = c.factors.live > 0.0 && basis.live.is_some_and(|l| l > 0.0);
    let european = basis.standard == crate::design::Standard::En1991;
    let balanced = c.factors.snow > 0.0 && c.snow == Arrangement::Balanced;
    let snow = !european && balanced && basis.snow.is_some();
    (live || snow).then_some(if european { PARTS_EN } else { PARTS_ASCE })
}

/// The patterns of a combination on a piece.
pub fn patterns(case: &Case<'_>, basis: &Basis, c: &Combination) -> Vec<Pattern> {
    match in_parts(basis, c) {
        Some(_) => Pattern::of(spans_between(case).len()).collect(),
        None => vec![Pattern::All],
    }
}

/// Spans for loads in parts: between landings that hold, whichever way the load runs.
fn spans_between(case: &Case<'_>) -> Vec<beam::Support> {
    let (x0, length) = (case.piece.x.0, case.piece.x.1 - case.piece.x.0);
    let held = case.supports.iter().filter(|s| s.holds);
    let mut all: Vec<beam::Support> =
        held.map(|s| beam::Support { at: (s.x - x0).clamp(0.0, length), holds: Holds::Both }).collect();
    all.dedup_by(|b, a| b.at - a.at < APART);
    all
}

/// The loads with snow and roof live load only on the spans of a pattern: of live load nothing elsewhere, of snow half.
pub fn loads_by(
    case: &Case<'_>,
    basis: &Basis,
    c: &Combination,
    hold: usize,
    across: Across,
    pattern: Pattern,
) -> Vec<Load> {
    if pattern == Pattern::All || in_parts(basis, c).is_none() {
        return loads(case, basis, c, hold, across);
    }
    let (f, length) = (c.factors, case.piece.x.1 - case.piece.x.0);
    let only = |factors: Amounts| loads(case, basis, &Combination { factors, ..*c }, hold, across);
    let cut = |loads: &[Load], into: &mut Vec<Load>| pattern.cut(&spans_between(case), length, loads, into);
    let mut all = only(Amounts { live: 0.0, snow: 0.0, ..f });
    if f.live > 0.0 {
        cut(&only(Amounts { live: f.live, ..Amounts::default() }), &mut all);
    }
    if f.snow > 0.0 {
        let european = basis.standard == crate::design::Standard::En1991;
        let share = if european { 1.0 } else { 0.5 };
        let part = only(Amounts { snow: f.snow * share, ..Amounts::default() });
        if !european {
            cut(&part, &mut all);
        }
        all.extend(part);
    }
    all
}

/// A pattern in words; `None` for full loads.
pub fn pattern_words(pattern: Pattern, european: bool) -> Option<String> {
    let spans = match pattern {
        Pattern::All => return None,
        Pattern::Even => "every other span, from the left end's overhang on".to_owned(),
        Pattern::Odd => "every other span, from the first span between landings on".to_owned(),
        Pattern::Beside(k) => {
            format!("the two spans beside landing {} of those that hold, and every other span away from them", k + 1)
        }
    };
    let rest = if european { "roof live load only there" } else { "no roof live load and half of the snow elsewhere" };
    Some(format!("{spans}; {rest}"))
}

/// The supports as a beam sees them. Landings at one place are one support.
fn beam_supports(case: &Case<'_>, across: Across) -> Vec<(usize, beam::Support)> {
    let (x0, length) = (case.piece.x.0, case.piece.x.1 - case.piece.x.0);
    let of = |(i, s): (usize, &Support)| {
        let holds = match (s.holds, s.bears, across) {
            (true, true, _) | (true, _, Across::Down) => Holds::Both,
            (true, false, Across::Out(_)) => Holds::Up,
            (false, true, Across::Out(_)) => Holds::Down,
            (false, ..) => return None,
        };
        Some((i, beam::Support { at: (s.x - x0).clamp(0.0, length), holds }))
    };
    let mut all: Vec<(usize, beam::Support)> = case.supports.iter().enumerate().filter_map(of).collect();
    // A beam needs them apart; of two at one place the one that holds more stays.
    all.dedup_by(|b, a| {
        let same = b.1.at - a.1.at < APART;
        if same && a.1.holds != Holds::Both {
            a.1.holds = if a.1.holds == b.1.holds { a.1.holds } else { Holds::Both };
        }
        same
    });
    all
}

/// Supports nearer than this are one, metres: what the beam asks for, with room.
const APART: f64 = 2e-3;

/// The reactions of a piece's landings to one combination, newtons (outward and pulling, or down the slope), and what the
/// board gets. `Ok(None)` for a mechanism.
///
/// # Errors
/// Why the beam could not be solved.
pub fn asked(
    case: &Case<'_>,
    basis: &Basis,
    c: &Combination,
    hold: usize,
    (across, pattern): (Across, Pattern),
    solver: &mut Solver,
) -> Result<Option<(Vec<f64>, beam::Extremes)>, NotComputed> {
    let length = case.piece.x.1 - case.piece.x.0;
    let supports = beam_supports(case, across);
    let list: Vec<beam::Support> = supports.iter().map(|s| s.1).collect();
    let loads = loads_by(case, basis, c, hold, across, pattern);
    let beam = Beam { length, supports: &list, loads: &loads, stiffness: basis.stiffness };
    match solver.solve(&beam)? {
        Answer::Mechanism { .. } => Ok(None),
        Answer::Held => {
            let mut reactions = vec![0.0; case.supports.len()];
            for ((i, _), r) in supports.iter().zip(solver.reactions()) {
                if let Some(place) = reactions.get_mut(*i) {
                    *place = *r;
                }
            }
            Ok(Some((reactions, solver.extremes())))
        }
    }
}

/// Solves a piece for every combination and every way of holding panels.
pub fn solve(case: &Case<'_>, basis: &Basis, solver: &mut Solver) -> OfPiece {
    let holding = case.supports.iter().filter(|s| s.holds).count();
    let mut of = OfPiece {
        holding,
        board: None,
        landings: case.supports.iter().map(|s| if s.holds { Landed::Adrift } else { Landed::Nothing }).collect(),
        bearing: vec![Bearing::default(); case.supports.len()],
        clips: clips::used(case, basis),
        lacking: None,
        spans: spans(case),
    };
    if holding < 2 {
        return of;
    }
    of.lacking = case.lacking_anywhere();
    if let Err(why) = all_combinations(case, basis, solver, &mut of) {
        for l in of.landings.iter_mut().filter(|l| **l != Landed::Nothing) {
            *l = Landed::NotComputed(why.clone());
        }
        of.board = None;
        of.lacking = Some(why);
    }
    if let Some(why) = &of.lacking {
        let fails = |used: &Use| used.ratio > 1.0;
        for l in &mut of.landings {
            let stays = match l {
                Landed::Used(used) => fails(used),
                Landed::Nothing | Landed::NotComputed(_) => true,
                Landed::Adrift => false,
            };
            if !stays {
                *l = Landed::NotComputed(why.clone());
            }
        }
        of.board = of.board.filter(fails);
    }
    of
}

/// Landings of a piece, and maybe its board, that see the same wind: one solve serves them all.
struct Together {
    /// An effective wind area of theirs, m2.
    area: f64,
    landings: Vec<usize>,
    board: bool,
}

/// All of a piece, for a combination without wind.
fn in_one(case: &Case<'_>) -> Vec<Together> {
    vec![Together { area: 0.0, landings: (0..case.supports.len()).collect(), board: true }]
}

/// The landings and the board of a piece by the wind that their areas bring. Landings that do not hold go with any.
fn by_wind(case: &Case<'_>) -> Vec<Together> {
    let Some(rule) = case.wind.and_then(|w| w.rule) else { return in_one(case) };
    let seen = |area: f64| -> Vec<(f64, f64)> {
        let of = |e: &Even| case.wind_on(e, area).map_or((f64::NAN, f64::NAN), |w| (w.suction, w.pressure));
        let own = case.clips.iter().flatten().filter_map(|clip| clip.own.as_ref());
        case.evens.first().into_iter().chain(own).flatten().map(of).collect()
    };
    let mut all: Vec<(Vec<(f64, f64)>, Together)> = Vec::new();
    let mut place = |area: f64| {
        let here = seen(area);
        all.iter().position(|(known, _)| *known == here).unwrap_or_else(|| {
            all.push((here, Together { area, landings: Vec::new(), board: false }));
            all.len() - 1
        })
    };
    let hang = areas::of_landings(case);
    let at: Vec<usize> = hang.iter().map(|h| h.map_or(0, |h| place(h.each))).collect();
    let board = areas::of_board(case, rule).map_or(0, |(.., area)| place(area));
    for (landing, at) in at.into_iter().enumerate() {
        if let Some((_, together)) = all.get_mut(at) {
            together.landings.push(landing);
        }
    }
    if let Some((_, together)) = all.get_mut(board) {
        together.board = true;
    }
    all.into_iter().map(|t| t.1).collect()
}

fn all_combinations(case: &Case<'_>, basis: &Basis, solver: &mut Solver, of: &mut OfPiece) -> Result<(), NotComputed> {
    // Alike seats hold alike.
    let fit = |seats: &Vec<Seat>| {
        let mut different: Vec<&Seat> = Vec::with_capacity(seats.len());
        for seat in seats {
            if !different.contains(&seat) {
                different.push(seat);
            }
        }
        different.into_iter().map(|s| basis.fit(s)).collect()
    };
    let fits: Vec<Fits> = case.seats.iter().map(fit).collect();
    let (windy, calm) = (by_wind(case), in_one(case));
    for (j, c) in basis.combinations.iter().enumerate() {
        let blows = c.factors.wind > 0.0;
        if blows && of.lacking.is_some() {
            continue;
        }
        for pattern in patterns(case, basis, c) {
            let mut down = Vec::with_capacity(basis.holds.len());
            for k in 0..basis.holds.len() {
                let answer = asked(case, basis, c, k, (Across::Down, pattern), solver)?;
                let (forces, _) = answer.ok_or(BEARS_TOO_LITTLE)?;
                down.push(forces);
            }
            for together in if blows { &windy } else { &calm } {
                // Out of the slope it does not matter where the panels are held.
                let way = (Across::Out(together.area), pattern);
                let (out, extremes) = asked(case, basis, c, 0, way, solver)?.ok_or(BEARS_TOO_LITTLE)?;
                let serving = match c.service {
                    Some(_) if basis.asks_service() => {
                        Some(asked(case, basis, &c.at_service(), 0, way, solver)?.ok_or(BEARS_TOO_LITTLE)?)
                    }
                    _ => None,
                };
                let (presses, bent) = serving.as_ref().map_or((&out, &extremes), |s| (&s.0, &s.1));
                if together.board {
                    judge_board(basis, (j, pattern), c, (&extremes, bent), of);
                }
                for (k, down) in down.iter().enumerate() {
                    judge(case, &fits, (j, k, pattern), c, (&out, down), &together.landings, of);
                }
                judge_strips((j, pattern), presses, &together.landings, of);
            }
        }
    }
    Ok(())
}

/// The strips by what presses on them at the level of service.
fn judge_strips((combination, pattern): (usize, Pattern), out: &[f64], landings: &[usize], of: &mut OfPiece) {
    for i in landings {
        let (Some(worst), Some(out)) = (of.bearing.get_mut(*i), out.get(*i)) else { continue };
        if -out > worst.force {
            *worst = Bearing { force: -out, combination, pattern };
        }
    }
}

/// The board by what it gets, and by how it bends at the level of service.
fn judge_board(
    basis: &Basis,
    (combination, pattern): (usize, Pattern),
    c: &Combination,
    (extremes, bent): (&beam::Extremes, &beam::Extremes),
    of: &mut OfPiece,
) {
    let Some(board) = &basis.board else { return };
    let limit = basis.spec.deflection.as_ref().map(|d| d.value);
    let deflected = limit.map(|part| rules::deflected(bent, part)).unwrap_or_default();
    for (ratio, mode, value) in board.used(extremes, c).into_iter().chain(deflected) {
        if of.board.is_none_or(|b| ratio > b.ratio) {
            of.board = Some(Use { ratio, mode, combination, hold: 0, pattern, out: value, down: 0.0 });
        }
    }
}

/// Why a piece that two landings hold is a mechanism all the same.
const BEARS_TOO_LITTLE: NotComputed = NotComputed::NotCovered {
    what: "the piece",
    why: "pressed down it bears on too little: its strips lie neither on deck nor on a member's upper face",
};

/// What the different seats of a landing hold.
type Fits = Vec<Result<Fit, NotComputed>>;

/// Why a landing that holds is not computed.
const NO_SEAT: NotComputed = NotComputed::NotCovered {
    what: "the fasteners",
    why: "a row of the drive log confirms that they hold, but the solids show no member that they are in",
};

/// The share of the fastener that holds least: all get the same force.
fn worst(
    fits: &[Result<Fit, NotComputed>],
    out: f64,
    down: f64,
    count: f64,
    c: &Combination,
) -> Result<(f64, Mode), NotComputed> {
    let mut worst = Err(NO_SEAT);
    for fit in fits {
        let here = fit.as_ref().map_err(Clone::clone)?.used(out, down, count, c)?;
        if worst.as_ref().map_or(true, |w: &(f64, Mode)| here.0 > w.0) {
            worst = Ok(here);
        }
    }
    worst
}

fn sharing(seats: &[Seat]) -> f64 {
    f64::from(number(seats.len()).max(1))
}

/// Of a landing's fasteners the one that these forces ask most of.
pub fn worst_seat<'s>(seats: &'s [Seat], (out, down): (f64, f64), c: &Combination, basis: &Basis) -> Option<&'s Seat> {
    let ratio =
        |s: &Seat| basis.fit(s).and_then(|f| f.used(out, down, sharing(seats), c)).map_or(f64::INFINITY, |u| u.0);
    // The first of equals.
    seats.iter().rev().max_by(|a, b| ratio(a).total_cmp(&ratio(b)))
}

fn judge(
    case: &Case<'_>,
    fits: &[Fits],
    (combination, hold, pattern): (usize, usize, Pattern),
    c: &Combination,
    (out, down): (&[f64], &[f64]),
    landings: &[usize],
    of: &mut OfPiece,
) {
    for i in landings.iter().copied() {
        let Some(landed) = of.landings.get_mut(i) else { continue };
        let (out, down) = (out.get(i).copied().unwrap_or(0.0), down.get(i).copied().unwrap_or(0.0));
        if *landed == Landed::Nothing {
            continue;
        }
        match worst(fits.get(i).map_or(&[], Vec::as_slice), out, down, case.sharing(i), c) {
            Ok((ratio, mode)) => {
                let here = Use { ratio, mode, combination, hold, pattern, out, down };
                match landed {
                    Landed::Used(before) if before.ratio >= ratio => {}
                    Landed::NotComputed(_) => {}
                    _ => *landed = Landed::Used(here),
                }
            }
            Err(why) => *landed = Landed::NotComputed(why),
        }
    }
}

/// The longest stretch between two supports, and the longest past the outer ones, metres.
fn spans(case: &Case<'_>) -> (f64, f64) {
    let at: Vec<f64> = case.supports.iter().filter(|s| s.holds).map(|s| s.x).collect();
    let between = at.windows(2).map(|w| w[1] - w[0]).fold(0.0, f64::max);
    let (Some(first), Some(last)) = (at.first(), at.last()) else { return (0.0, 0.0) };
    (between, (first - case.piece.x.0).max(case.piece.x.1 - last))
}

/// The cases of one slope, piece by piece, handed to `each`.
pub fn cases(ctx: &Context<'_>, basis: &Basis, on: &OnSlope<'_>, mut each: impl FnMut(usize, Case<'_>)) {
    let lattice = on.lattice;
    let stretches = ctx.tributary(on);
    let wind = basis.wind.get(on.id.0);
    let deck = ctx.design.lattice.deck.metres() > 0.0;
    let snow = basis.snow.as_ref().and_then(|s| s.get(on.id.0)).copied().unwrap_or_default();
    let loads = (wind, snow.drifts_above());
    let mut slices = Slices::default();
    let mut of_clips = OnPieces::of(on, loads, &mut slices);
    let skipping = of_clips.as_ref().is_some_and(|c| c.skipping);
    let heights: BTreeMap<&str, f64> = match basis.names_a_course() {
        true => lattice.courses.iter().map(|c| (c.name.as_str(), c.y)).collect(),
        false => BTreeMap::new(),
    };
    let height = |name: &str| heights.get(name).copied();
    let mut first = 0;
    for (i, (piece, landings)) in on.by_piece().enumerate() {
        let supports = supports::supports(on, ctx.structure, deck, first, landings);
        first += landings.len();
        let of = |s: &Support| lattice.landings.get(s.landing);
        let seated = |s: &Support| of(s).filter(|_| s.holds).map_or_else(Vec::new, |l| hold::seats(ctx, basis, on, l));
        let seats = supports.iter().map(seated).collect();
        let course = lattice.courses.get(piece.course as usize).map_or(("", piece.y), |c| (c.name.as_str(), c.y));
        let here = stretches.get(i).map_or(&[][..], Vec::as_slice);
        let even = |h| lines::cut_at(lines::even(here, course, h, loads, &mut slices, &height), piece.x);
        let evens = basis.holds.iter().map(even).collect();
        let pitch = sin_cos(on.frame.pitch);
        let clips = of_clips.as_mut().and_then(|all| all.pieces.get_mut(i)).map(std::mem::take);
        each(i, Case { piece, supports, seats, evens, wind, clips, skipping, pitch, snow });
    }
}

/// Whole numbers of nanometres (or of micropascals): what makes two pieces alike.
fn key(case: &Case<'_>) -> Vec<i64> {
    #[expect(clippy::cast_possible_truncation, reason = "a size in nanometres is far below the limit")]
    let whole = |v: f64| (v * 1e9).round() as i64;
    let x0 = case.piece.x.0;
    let mut key = Vec::with_capacity(8 + case.supports.len() * 8 + case.evens.iter().map(Vec::len).sum::<usize>() * 12);
    let (even, more) = case.snow.lies(Arrangement::Unbalanced);
    key.extend([case.piece.x.1 - x0, case.pitch.0, case.snow.balanced, even, more].map(whole));
    let number = |n: usize| i64::from(number(n));
    for (s, seats) in case.supports.iter().zip(&case.seats) {
        key.extend([whole(s.x - x0), i64::from(s.holds), i64::from(s.bears), number(seats.len())]);
        for s in seats {
            key.extend([whole(s.gap), whole(s.penetration), whole(s.countable), i64::from(s.across), number(s.wood)]);
        }
    }
    key.push(case.clips.as_ref().map_or(-1, |c| number(c.len())));
    key.push(case.wind.map_or(-1, |w| number(w.alike)));
    key.extend(case.clips.iter().flatten().flat_map(|c| [c.x, c.holds.0, c.holds.1]).map(|x| whole(x - x0)));
    key.push(i64::from(case.skipping));
    for clip in case.clips.iter().flatten() {
        key.push(clip.own.as_ref().map_or(-1, |own| number(own.len())));
    }
    let own = case.clips.iter().flatten().filter_map(|c| c.own.as_ref());
    for e in case.evens.iter().chain(own).flatten() {
        key.extend([e.x.0 - x0, e.x.1 - x0].map(whole));
        let [of_out, of_down] = e.drifted;
        key.extend([e.height, e.slides, of_out, of_down].into_iter().flat_map(|(l, r)| [l, r]).map(whole));
        key.push(number(e.zones.len()));
        key.extend(e.zones.iter().map(|z| number(*z)));
    }
    key
}

/// Solves every piece of the roof.
pub fn analyse(ctx: &Context<'_>, mut basis: Basis) -> Analysis {
    let mut solver = Solver::new();
    // Every fastener in one wood rests on the same sources, so the first one that holds tells them all.
    let mut samples: BTreeMap<usize, Seat> = BTreeMap::new();
    let mut known: BTreeMap<Vec<i64>, std::sync::Arc<OfPiece>> = BTreeMap::new();
    let mut slopes = Vec::with_capacity(ctx.slopes.len());
    for on in &ctx.slopes {
        let mut pieces = Vec::with_capacity(on.lattice.pieces.len());
        cases(ctx, &basis, on, |_, case| {
            for seat in case.seats.iter().flatten() {
                samples.entry(seat.wood).or_insert(*seat);
            }
            let of = known.entry(key(&case)).or_insert_with(|| std::sync::Arc::new(solve(&case, &basis, &mut solver)));
            pieces.push(std::sync::Arc::clone(of));
        });
        slopes.push(pieces);
    }
    basis.from_memory = basis.sources_from_memory(&samples.into_values().collect::<Vec<_>>());
    Analysis { basis, slopes }
}
