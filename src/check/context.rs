//! What every check may look at: the design, the solids, and the answers of the shared queries.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::examined::Examined;
use super::finding::{Evidence, Finding, Help, Place, Source};
use super::probe::{Backing, Outcome, Shank, probe};
use super::strength::path::Analysis;
use super::tributary::Stretch;
use super::{Check, Verdict};
use crate::aim::{Aims, Chances, LandingChance, Obstacle, Obstacles, Site};
use crate::air::{Solved, Space};
use crate::design::{Design, Given, Origin, SlopeId};
use crate::lattice::{Clip, Fastener, Landing, Lattice, Line, Piece, SlopeLattice, strip_bodies, tape_bodies};
use crate::parts::{Kind, PartId, Parts};
use crate::quantity::Length;
use crate::quantity::list::{number, run};
use crate::record::{Driven, LeftIn, State};
use crate::solid::{BodyIndex, Point3};
use crate::structure::{MemberId, SlopeFrame, Structure};

/// Everything that checks share.
pub struct Context<'a> {
    /// The design.
    pub design: &'a Design,
    /// The structure as drawn: what the names and the intent come from.
    pub drawn: &'a Structure,
    /// The structure as found: what is really there.
    pub structure: &'a Structure,
    /// The lattice; where there is a drive log, with what is driven at its real place.
    pub lattice: &'a Lattice,
    /// The lattice as planned, whatever was driven.
    pub planned: &'a Lattice,
    /// What was driven, where there is a log of it.
    pub driven: Option<&'a Driven>,
    /// One for each slope.
    pub slopes: Vec<OnSlope<'a>>,
    aims: OnceLock<Option<Aims>>,
    misses: OnceLock<Option<Vec<Vec<LandingChance>>>>,
    chances: OnceLock<Option<Chances>>,
    strength: OnceLock<std::result::Result<Analysis, Vec<String>>>,
    /// Slope by slope, piece by piece.
    tributary: OnceLock<Vec<Vec<Vec<Stretch>>>>,
    space: OnceLock<Space>,
    flows: OnceLock<std::result::Result<Vec<Solved>, String>>,
}

/// One slope of a context.
pub struct OnSlope<'a> {
    /// Which.
    pub id: SlopeId,
    /// Its frame.
    pub frame: &'a SlopeFrame,
    /// Its lattice.
    pub lattice: &'a SlopeLattice,
    /// What became of each fastener, in the order of [`SlopeLattice::fasteners`].
    pub backing: Vec<Backing>,
    /// State of each fastener in the drive log, in the same order; empty where there is no log.
    pub states: &'a [State],
    /// What stays in the membrane beside the fasteners of the plan.
    pub left_in: &'a [LeftIn],
    /// What fasteners keep away from beside all that: clips of the roofing, and heads of what was left in.
    pub keep_away: Obstacles,
    /// Tapes as bodies.
    pub tapes: BodyIndex<u32>,
    /// Strips as bodies.
    pub strips: BodyIndex<u32>,
    /// Vent pieces as bodies.
    pub vents: BodyIndex<()>,
    /// Straps as bodies, by their number in the structure.
    pub straps: BodyIndex<u32>,
}

impl<'a> Context<'a> {
    /// Asks the shared queries once.
    pub fn new(
        design: &'a Design,
        drawn: &'a Structure,
        structure: &'a Structure,
        lattice: &'a Lattice,
    ) -> Context<'a> {
        Context::with_log(design, drawn, structure, lattice, None)
    }

    /// The same with what was really driven.
    pub fn with_log(
        design: &'a Design,
        drawn: &'a Structure,
        structure: &'a Structure,
        planned: &'a Lattice,
        driven: Option<&'a Driven>,
    ) -> Context<'a> {
        let lattice = driven.map_or(planned, |d| &d.lattice);
        let slopes = structure
            .slopes
            .iter()
            .zip(&lattice.slopes)
            .enumerate()
            .map(|(i, (frame, on))| {
                let id = SlopeId(i);
                let levels = &lattice.levels;
                let tapes = tape_bodies(on, levels);
                let strips = strip_bodies(on);
                let straps = structure.strap_bodies(id);
                let vents = BodyIndex::build(on.vents.iter().map(|v| ((), v.body(levels))));
                let states = driven.and_then(|d| d.states.get(i)).map_or(&[][..], Vec::as_slice);
                let left_in = driven.and_then(|d| d.left_in.get(i)).map_or(&[][..], Vec::as_slice);
                let mut keep_away = Obstacle::clips(design, on);
                let heads = left_in.iter().filter_map(|l| l.shown_at);
                keep_away.extend(heads.map(|(x, y)| Obstacle::head(design, (x, y))));
                let backing = Vec::new();
                let mut slope = OnSlope {
                    id,
                    frame,
                    lattice: on,
                    backing,
                    states,
                    left_in,
                    keep_away: Obstacles::new(keep_away),
                    tapes,
                    strips,
                    vents,
                    straps,
                };
                if let Some(index) = structure.under.get(i) {
                    slope.backing.reserve_exact(on.fasteners.len());
                    for landing in &on.landings {
                        let piece = on.pieces.get(landing.piece as usize);
                        let fasteners = on.fasteners_of(landing).iter();
                        slope.backing.extend(fasteners.map(|f| probe(index, &shank(design, lattice, piece, f))));
                    }
                }
                slope
            })
            .collect();
        Context {
            design,
            drawn,
            structure,
            lattice,
            planned,
            driven,
            slopes,
            aims: OnceLock::new(),
            misses: OnceLock::new(),
            chances: OnceLock::new(),
            strength: OnceLock::new(),
            tributary: OnceLock::new(),
            space: OnceLock::new(),
            flows: OnceLock::new(),
        }
    }

    /// The chances of a miss and of all that follows from them, worked out when first asked for; `None` where the design
    /// states no tolerances.
    pub fn chances(&self) -> Option<&Chances> {
        let work_out = || {
            let limits = &self.design.limits;
            let most_run = limits.run.metres() + limits.tolerance.metres();
            Some(self.aims()?.chances(&self.sites(), self.design.tolerance.as_ref()?, most_run))
        };
        self.chances.get_or_init(work_out).as_ref()
    }

    /// The chances of landings alone, slope by slope, which are known much sooner.
    pub fn misses(&self) -> Option<&[Vec<LandingChance>]> {
        self.misses.get_or_init(|| Some(self.aims()?.landings(&self.sites()))).as_deref()
    }

    fn aims(&self) -> Option<&Aims> {
        let work_out = || Some(Aims::of(&self.sites(), self.design.tolerance.as_ref()?));
        self.aims.get_or_init(work_out).as_ref()
    }

    fn sites(&self) -> Vec<Site<'_>> {
        self.slopes.iter().filter_map(|on| self.site(on)).collect()
    }

    /// Strength, computed when first asked for; or the reasons why it is not checked.
    pub fn strength(&self) -> std::result::Result<&Analysis, &[String]> {
        self.strength.get_or_init(|| super::strength::analyse(self)).as_ref().map_err(Vec::as_slice)
    }

    /// What part of the roofing each piece of a slope carries, stretch by stretch; worked out when first asked for.
    pub fn tributary(&self, on: &OnSlope<'_>) -> &[Vec<Stretch>] {
        let of = |on: &OnSlope<'_>| super::tributary::stretches(on.lattice, &on.frame.outline);
        let all = self.tributary.get_or_init(|| self.slopes.iter().map(of).collect());
        all.get(on.id.0).map_or(&[], Vec::as_slice)
    }

    /// The parts of the building as it is checked.
    pub fn parts(&self) -> Parts<'a> {
        Parts { design: self.design, structure: self.structure, lattice: self.lattice, driven: self.driven }
    }

    /// A fastener as a query.
    pub fn shank(&self, piece: Option<&Piece>, fastener: &Fastener) -> Shank {
        shank(self.design, self.lattice, piece, fastener)
    }

    /// What the windows of a slope are asked of.
    pub fn site<'s>(&'s self, on: &'s OnSlope<'a>) -> Option<Site<'s>> {
        Some(Site {
            design: self.design,
            structure: self.structure,
            lattice: self.lattice,
            frame: on.frame,
            on: on.lattice,
            under: self.structure.under.get(on.id.0)?,
            tapes: &on.tapes,
            straps: &on.straps,
            keep_away: &on.keep_away,
        })
    }

    /// The space that air has between membrane and roofing; divided when it is first asked for.
    pub fn space(&self) -> &Space {
        self.space.get_or_init(|| Space::of(self.design, self.structure, self.lattice))
    }

    /// Flows of air in the low, the likely and the high case, solved when first asked for; or why they are not.
    ///
    /// # Errors
    /// What the design does not state.
    pub fn flows(&self) -> std::result::Result<&[Solved], &str> {
        let solve = || crate::air::solved(self.space(), self.design, self.structure, self.lattice);
        self.flows.get_or_init(solve).as_deref().map_err(String::as_str)
    }

    /// How far past a limit of length a place may be before it is told, and the verdict there: a rule of thumb that the
    /// design does not write is passed by more than a hair, and only warns.
    pub fn leeway(&self, limit: &Given<Length>) -> (f64, Verdict) {
        match limit.origin {
            Origin::Default(_) => (self.design.limits.hair.metres(), Verdict::Warn),
            Origin::Written(_) | Origin::Found(_) | Origin::Surveyed(_) | Origin::Derived(_) => (0.0, Verdict::Fail),
        }
    }

    /// A length in the design's units.
    pub fn show(&self, metres: f64) -> String {
        Length::from_metres(metres).show_fine(self.design.units)
    }

    /// The same of what somebody measures off: as a tape shows it where it is on a mark of the tape.
    pub fn show_marked(&self, metres: f64) -> String {
        Length::from_metres(metres).show_marked(self.design.units)
    }

    /// A member's name.
    pub fn member_name(&self, id: MemberId) -> &str {
        self.structure.member(id).map_or("", |m| m.name.as_str())
    }

    /// The name of a landing.
    pub fn landing_name(&self, on: &OnSlope<'_>, landing: &Landing) -> String {
        on.lattice.landing_name(landing, self.structure)
    }

    /// Where a landing is, on the batten's upper face.
    pub fn landing_place(&self, on: &OnSlope<'_>, landing: &Landing) -> Place {
        let lift = on.lattice.pieces.get(landing.piece as usize).map_or(0.0, |p| p.lift);
        Place { slope: on.id, at: [landing.x, landing.y, self.lattice.levels.batten + lift] }
    }

    /// How many landings hold.
    pub fn holding_count(&self) -> usize {
        self.slopes.iter().map(|s| s.lattice.landings.iter().filter(|l| s.holds(l)).count()).sum()
    }

    /// How many landings are backed.
    pub fn backed_count(&self) -> usize {
        self.slopes.iter().map(|s| s.lattice.landings.iter().filter(|l| s.is_backed(l)).count()).sum()
    }
}

fn shank(design: &Design, lattice: &Lattice, piece: Option<&Piece>, fastener: &Fastener) -> Shank {
    let lift = piece.map_or(0.0, |p| p.lift);
    Shank {
        head: Point3::new(fastener.x, fastener.y, lattice.levels.batten + lift),
        length: design.fastening.length.metres(),
        radius: design.fastening.diameter.metres() / 2.0,
        embedment: design.limits.embedment.metres(),
    }
}

impl OnSlope<'_> {
    /// What became of a landing's fasteners.
    pub fn backing_of(&self, landing: &Landing) -> &[Backing] {
        let first = landing.first as usize;
        self.backing.get(first..first + usize::from(landing.count)).unwrap_or_default()
    }

    /// A landing is backed when every one of its fasteners is.
    pub fn is_backed(&self, landing: &Landing) -> bool {
        let all = self.backing_of(landing);
        !all.is_empty() && all.iter().all(|b| b.outcome == Outcome::Backed)
    }

    /// State of a landing's fastener (from 0) in the drive log; as planned where there is none.
    pub fn state(&self, landing: &Landing, k: usize) -> State {
        self.states.get(landing.first as usize + k).copied().unwrap_or_default()
    }

    /// Whether a landing holds its piece. Without a drive log: whether it is backed as planned. With one: whether every
    /// fastener of it is there and backed where it really is, or is not yet driven and backed where it is planned; one
    /// that missed and was not driven again does not hold, and one that held where the solids show no wood holds only
    /// where a row confirms it.
    pub fn holds(&self, landing: &Landing) -> bool {
        let all = self.backing_of(landing);
        !all.is_empty() && all.iter().enumerate().all(|(k, b)| self.fastener_holds(landing, k, b))
    }

    /// The same for one fastener (from 0).
    pub fn fastener_holds(&self, landing: &Landing, k: usize, backing: &Backing) -> bool {
        match self.state(landing, k) {
            State::Planned | State::Predrilled => backing.outcome == Outcome::Backed,
            State::Held { confirmed } => {
                backing.outcome == Outcome::Backed || (confirmed && backing.outcome == Outcome::Nothing)
            }
            State::Lacking => false,
        }
    }

    /// The landing's worst fastener: its number and what became of it. One that held by a row that confirms it, whatever
    /// the solids show, is not looked at.
    pub fn worst(&self, landing: &Landing) -> Option<(usize, Backing)> {
        let rank = |b: &Backing| match b.outcome {
            Outcome::Nothing => 0,
            Outcome::BreaksOut => 1,
            Outcome::Shallow => 2,
            Outcome::Backed => 3,
        };
        // Of shallow ones the shallower, else the one with less room.
        let measure = |b: &Backing| if b.outcome == Outcome::Shallow { b.embedment } else { b.room };
        self.backing_of(landing)
            .iter()
            .copied()
            .enumerate()
            .filter(|(k, b)| {
                !(b.outcome == Outcome::Nothing && self.state(landing, *k) == State::Held { confirmed: true })
            })
            .min_by(|(_, a), (_, b)| rank(a).cmp(&rank(b)).then(measure(a).total_cmp(&measure(b))))
    }

    /// x of the middle of a landing's fasteners; of a landing without any, its own.
    pub fn middle(&self, landing: &Landing) -> f64 {
        let all = self.lattice.fasteners_of(landing);
        if all.is_empty() { landing.x } else { all.iter().map(|f| f.x).sum::<f64>() / all.len() as f64 }
    }

    /// The piece of a landing.
    pub fn piece(&self, landing: &Landing) -> Option<&Piece> {
        self.lattice.pieces.get(landing.piece as usize)
    }

    /// The line of a landing, where it is a crossing.
    pub fn line(&self, landing: &Landing) -> Option<&Line> {
        match landing.on {
            crate::lattice::On::Line(l) => self.lattice.lines.get(l as usize),
            crate::lattice::On::Member(_) | crate::lattice::On::Place => None,
        }
    }

    /// A landing as a part: its fasteners.
    pub fn id_of(&self, landing: &Landing) -> Option<PartId> {
        let first = self.lattice.landings.partition_point(|l| l.piece < landing.piece);
        let here = self.landings_of(landing.piece as usize).iter().position(|l| std::ptr::eq(l, landing))?;
        Some(PartId::Fasteners(self.id, number(first + here)))
    }

    /// A clip as a part.
    pub fn id_of_clip(&self, clip: &Clip) -> Option<PartId> {
        // Clips stand seam by seam, from the eave up.
        let at = self.lattice.clips.binary_search_by_key(&(clip.seam, clip.number), |c| (c.seam, c.number)).ok()?;
        Some(PartId::Clip(self.id, number(at)))
    }

    /// The landings that pass a test, as parts.
    pub fn landing_ids(&self, test: impl Fn(&Landing) -> bool) -> impl Iterator<Item = PartId> {
        let these = self.lattice.landings.iter().enumerate().filter(move |(_, l)| test(l));
        these.map(|(i, _)| PartId::Fasteners(self.id, number(i)))
    }

    /// Landings of a piece (by its index), from left to right.
    pub fn landings_of(&self, piece: usize) -> &[Landing] {
        run(&self.lattice.landings, |l| (l.piece as usize).cmp(&piece))
    }

    /// Landings piece by piece.
    pub fn by_piece(&self) -> impl Iterator<Item = (&Piece, &[Landing])> {
        self.lattice.pieces.iter().enumerate().map(move |(i, piece)| (piece, self.landings_of(i)))
    }
}

/// Least distance, square to it, from an axis straight into the slope to the sides of the bodies that it passes, metres;
/// negative where it passes none of them within `reach`. The body with most room counts.
pub fn room_in(index: &BodyIndex<u32>, at: (f64, f64), reach: f64) -> f64 {
    let mut best = f64::NEG_INFINITY;
    index.near((at.0 - reach, at.0 + reach), (at.1 - reach, at.1 + reach), |entry| {
        let mut room = f64::INFINITY;
        entry.body.each_plane(|p| {
            // Upper and lower face lie level in the slope; every other face is a side or an end, however it leans.
            if p.normal.z.abs() > 1.0 - 1e-9 {
                return;
            }
            let (low, high) = (Point3::new(at.0, at.1, entry.low.z), Point3::new(at.0, at.1, entry.high.z));
            let across = (p.normal.x * p.normal.x + p.normal.y * p.normal.y).sqrt();
            let here = -p.distance(&low).max(p.distance(&high)) / across;
            if here < room && !inner_face(index, entry, &p) {
                room = here;
            }
        });
        best = best.max(room);
    });
    best
}

/// Whether a face is shared with the next stretch of the same bent part.
fn inner_face(index: &BodyIndex<u32>, entry: &crate::solid::Entry<u32>, plane: &crate::solid::Plane) -> bool {
    let (low, high) = (entry.low.y, entry.high.y);
    let at = plane.offset;
    if plane.normal.y.abs() < 0.99 {
        return false;
    }
    let y = if plane.normal.y > 0.0 { high } else { low };
    if (y - at * plane.normal.y.signum()).abs() > 1e-6 {
        return false;
    }
    let mut found = false;
    index.near((entry.low.x, entry.high.x), (y - 1e-6, y + 1e-6), |other| {
        found |= other.tag == entry.tag
            && !std::ptr::eq(other, entry)
            && ((other.low.y - y).abs() < 1e-6 || (other.high.y - y).abs() < 1e-6);
    });
    found
}

/// Findings of one check, kept from growing without bound.
pub struct Report<'c> {
    check: &'c Check,
    /// Whether what would help is worked out.
    helps: bool,
    examined: Examined,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Parts that no listed finding names, with their worst verdicts.
    left_out: BTreeMap<String, Verdict>,
    /// How many are only counted, by verdict.
    counted: BTreeMap<Verdict, usize>,
}

/// The most findings that one check lists; further ones are counted.
const MOST_LISTED: usize = 5_000;

impl<'c> Report<'c> {
    /// An empty report; `helps`: with what would help.
    pub fn new(check: &'c Check, helps: bool) -> Report<'c> {
        Report {
            check,
            helps,
            examined: Examined::default(),
            findings: Vec::new(),
            left_out: BTreeMap::new(),
            counted: BTreeMap::new(),
        }
    }

    /// Says that all parts of these kinds are examined.
    pub fn examined(&mut self, kinds: &[Kind]) {
        self.examined.kinds(kinds);
    }

    /// Says that these parts are examined.
    pub fn examined_only(&mut self, parts: impl IntoIterator<Item = PartId>) {
        self.examined.single(parts);
    }

    /// Says that another check is about these parts of a kind that is examined.
    pub fn elsewhere(&mut self, parts: impl IntoIterator<Item = PartId>) {
        self.examined.elsewhere(parts);
    }

    /// Says that there is no answer for these parts.
    pub fn unanswered(&mut self, parts: impl IntoIterator<Item = PartId>) {
        self.examined.unanswered(parts);
    }

    /// Says that the answers about a kind rest on values from memory.
    pub fn unconfirmed(&mut self, kind: Kind) {
        self.examined.unconfirmed(kind);
    }

    /// Gives a verdict to a part for which another part's finding stands too.
    pub fn also(&mut self, verdict: Verdict, part: String) {
        self.left_out.entry(part).and_modify(|worst| *worst = verdict.max(*worst)).or_insert(verdict);
    }

    /// Adds a finding.
    #[expect(clippy::too_many_arguments, reason = "a finding is just these facts")]
    pub fn add(
        &mut self,
        verdict: Verdict,
        message: String,
        parts: Vec<String>,
        place: Option<Place>,
        evidence: Vec<Evidence>,
        helps: impl FnOnce() -> Vec<Help>,
        source: Source,
    ) {
        if self.findings.len() >= MOST_LISTED {
            *self.counted.entry(verdict).or_default() += 1;
            for part in parts {
                self.also(verdict, part);
            }
            return;
        }
        let mut finding = Finding {
            check: self.check.name,
            verdict,
            message,
            parts,
            stands_for: 1,
            place,
            evidence,
            mends: Vec::new(),
            advice: Vec::new(),
            source,
        };
        // Mends are tried on the solids, so none is worked out for what is only counted or only compared.
        for help in if self.helps { helps() } else { Vec::new() } {
            match help {
                Help::Mend(mend) => finding.mends.push(mend),
                Help::Advice(words) => finding.advice.push(words),
            }
        }
        self.findings.push(finding);
    }

    /// The findings, one for each verdict that counts what was left out; the verdicts of the parts left out; and which parts
    /// were examined.
    pub fn finish(mut self) -> (Vec<Finding>, BTreeMap<String, Verdict>, Examined) {
        for (verdict, count) in self.counted.into_iter().rev() {
            self.findings.push(Finding {
                check: self.check.name,
                verdict,
                message: format!(
                    "{count} more of the same kind are not listed one by one; their parts have their verdicts"
                ),
                parts: Vec::new(),
                stands_for: count,
                place: None,
                evidence: Vec::new(),
                mends: Vec::new(),
                advice: Vec::new(),
                source: Source::words("the list is cut at 5000"),
            });
        }
        (self.findings, self.left_out, self.examined)
    }
}
