//! Causes: the few things that are wrong behind many findings.
//!
//! Aim: a person reads five causes, not a hundred flags. Reason: one course over the seam between tails and rafters makes a flag
//! at every line, by several checks.
//! How: each finding offers candidates from its check, its parts and its evidence; the fewest that cover all findings are
//! chosen, and each finding stands under the first chosen one that it offers. A cause is named by its kind and its subject.
//! Limits: exactly the fewest where at most [`MOST_EXACT`] candidates hang together, greedily chosen beyond; ties by the order in
//! which they are offered. That a cause is the true one shows only where a tried change clears it.

use std::collections::{BTreeMap, BTreeSet};

use crate::check::{Context, Finding, OnSlope, Outcome, Verdict};
use crate::lattice::End;
use crate::solid::tolerance::SAME;

/// The most candidates of which every set is tried.
pub const MOST_EXACT: usize = 20;

/// What kind of thing is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CauseKind {
    /// A member that the drawing has and the roof has not.
    MemberMissing,
    /// A field of straps lies wrong.
    StrapPlace,
    /// A course lies where its fasteners find too little.
    CoursePlace,
    /// A line has no member where battens cross it.
    LineBare,
    /// Fasteners too long or too short.
    FastenerLength,
    /// Members too thin for the fasteners.
    MemberSection,
    /// Tape too narrow.
    TapeWidth,
    /// Fasteners of a landing too close together, or too near to an edge of the batten.
    FastenerPattern,
    /// Where and how boards are joined.
    Joints,
    /// Fasteners near the ends of boards.
    BoardEnds,
    /// Boards run on past their last landing at an edge.
    EdgeReach,
    /// Landings too far apart between two lines.
    BayWidth,
    /// Fastenings that hold less than their load.
    Strength,
    /// Values from memory that nobody looked up.
    Values,
    /// How well places of members are known.
    Knowledge,
    /// The way of the air.
    Air,
    /// One part.
    Part,
}

impl CauseKind {
    /// Every kind, in order.
    pub const ALL: [CauseKind; 17] = [
        CauseKind::MemberMissing,
        CauseKind::StrapPlace,
        CauseKind::CoursePlace,
        CauseKind::LineBare,
        CauseKind::FastenerLength,
        CauseKind::MemberSection,
        CauseKind::TapeWidth,
        CauseKind::FastenerPattern,
        CauseKind::Joints,
        CauseKind::BoardEnds,
        CauseKind::EdgeReach,
        CauseKind::BayWidth,
        CauseKind::Strength,
        CauseKind::Values,
        CauseKind::Knowledge,
        CauseKind::Air,
        CauseKind::Part,
    ];

    /// The word for it on the command line and in ids.
    pub fn word(self) -> &'static str {
        match self {
            CauseKind::MemberMissing => "member-missing",
            CauseKind::StrapPlace => "strap-place",
            CauseKind::CoursePlace => "course-place",
            CauseKind::LineBare => "line-bare",
            CauseKind::FastenerLength => "fastener-length",
            CauseKind::MemberSection => "member-section",
            CauseKind::TapeWidth => "tape-width",
            CauseKind::FastenerPattern => "fastener-pattern",
            CauseKind::Joints => "joints",
            CauseKind::BoardEnds => "board-ends",
            CauseKind::EdgeReach => "edge-reach",
            CauseKind::BayWidth => "bay-width",
            CauseKind::Strength => "strength",
            CauseKind::Values => "values",
            CauseKind::Knowledge => "knowledge",
            CauseKind::Air => "air",
            CauseKind::Part => "part",
        }
    }

    /// What is wrong, in words.
    pub fn about(self) -> &'static str {
        match self {
            CauseKind::MemberMissing => "a member that is drawn and is not there",
            CauseKind::StrapPlace => "straps that tie too little, or lie in the way of fasteners",
            CauseKind::CoursePlace => "a course whose fasteners find too little wood or tape",
            CauseKind::LineBare => "a line with nothing to fasten to where battens cross it",
            CauseKind::FastenerLength => "fasteners of the wrong length for the framing",
            CauseKind::MemberSection => "members with too little wood for the fasteners",
            CauseKind::TapeWidth => "tape too narrow for the fasteners on it",
            CauseKind::FastenerPattern => "fasteners of a landing that stand wrong",
            CauseKind::Joints => "boards joined where there is too little wood",
            CauseKind::BoardEnds => "fasteners near the ends of boards, which may split",
            CauseKind::EdgeReach => "boards that run too far past their last landing",
            CauseKind::BayWidth => "landings too far apart between two lines",
            CauseKind::Strength => "fastenings or battens that hold less than their load",
            CauseKind::Values => "values from memory that nobody looked up",
            CauseKind::Knowledge => "places of members that are not known well enough",
            CauseKind::Air => "air that does not pass as asked",
            CauseKind::Part => "a part that is out of place",
        }
    }
}

/// A kind with its subject: what a cause is named by.
pub type CauseName = (CauseKind, String);

/// One cause with its findings.
#[derive(Clone, Debug)]
pub struct Cause {
    /// What kind of thing is wrong.
    pub kind: CauseKind,
    /// What it is wrong with: a part, line, course, field, edge or key.
    pub subject: String,
    /// The findings that stand under it, by their place in the list of all, worst first among equals in list order.
    pub findings: Vec<usize>,
    /// Its fails and its other flags.
    pub flags: (usize, usize),
    /// What its worst finding says.
    pub worst: String,
    /// Whether a tried change clears a finding of it and makes none.
    pub proved: bool,
}

impl Cause {
    /// Its id: kind and subject, whatever the order.
    pub fn id(&self) -> String {
        format!("{}:{}", self.kind.word(), self.subject)
    }

    /// What is wrong, in words.
    pub fn wrong(&self) -> String {
        format!("{}: {}", self.subject, self.kind.about())
    }
}

/// The causes of all findings: the fewest that cover them, most fails first.
pub fn causes(ctx: &Context<'_>, findings: &[&Finding]) -> Vec<Cause> {
    let mut names: Vec<CauseName> = Vec::new();
    let mut numbers: BTreeMap<CauseName, usize> = BTreeMap::new();
    let offers: Vec<Vec<usize>> = findings
        .iter()
        .map(|f| {
            let mut number = |name: CauseName| {
                *numbers.entry(name.clone()).or_insert_with(|| {
                    names.push(name);
                    names.len() - 1
                })
            };
            offers(ctx, f).into_iter().map(&mut number).collect()
        })
        .collect();
    let chosen = fewest(&offers);
    let mut all: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (f, offers) in offers.iter().enumerate() {
        if let Some(cause) = offers.iter().find(|c| chosen.contains(c)) {
            all.entry(*cause).or_default().push(f);
        }
    }
    let mut causes: Vec<Cause> = all
        .into_iter()
        .filter_map(|(n, mut its)| {
            let (kind, subject) = names.get(n)?.clone();
            let verdict = |f: &usize| findings.get(*f).map_or(Verdict::Pass, |f| f.verdict);
            its.sort_by_key(|f| (std::cmp::Reverse(verdict(f)), *f));
            let count = |fail: bool| {
                let those = its.iter().filter(|f| (verdict(f) == Verdict::Fail) == fail);
                those.filter_map(|f| findings.get(*f)).map(|f| f.stands_for).sum()
            };
            let worst = its.first().and_then(|f| findings.get(*f)).map(|f| f.message.clone()).unwrap_or_default();
            Some(Cause { kind, subject, flags: (count(true), count(false)), findings: its, worst, proved: false })
        })
        .collect();
    causes.sort_by(|a, b| b.flags.cmp(&a.flags).then_with(|| (a.kind, &a.subject).cmp(&(b.kind, &b.subject))));
    causes
}

/// The fewest candidates of which each finding offers at least one; findings that offer none are left out. Candidates that
/// hang together by no finding are chosen apart from one another.
pub fn fewest(offers: &[Vec<usize>]) -> BTreeSet<usize> {
    let mut sets: BTreeSet<BTreeSet<usize>> =
        offers.iter().filter(|o| !o.is_empty()).map(|o| o.iter().copied().collect()).collect();
    // What one finding alone asks for covers every finding that offers more than that.
    let all: Vec<BTreeSet<usize>> = sets.iter().cloned().collect();
    sets.retain(|s| !all.iter().any(|other| other != s && other.is_subset(s)));
    let mut chosen = BTreeSet::new();
    while let Some(first) = sets.pop_first() {
        let mut group = vec![first.clone()];
        let mut candidates = first;
        loop {
            let joined: Vec<BTreeSet<usize>> = sets.iter().filter(|s| !s.is_disjoint(&candidates)).cloned().collect();
            if joined.is_empty() {
                break;
            }
            for set in joined {
                candidates.extend(&set);
                sets.remove(&set);
                group.push(set);
            }
        }
        chosen.extend(fewest_of(&candidates.into_iter().collect::<Vec<_>>(), &group));
    }
    chosen
}

fn fewest_of(candidates: &[usize], sets: &[BTreeSet<usize>]) -> Vec<usize> {
    if candidates.len() <= MOST_EXACT {
        let bit = |c: &usize| candidates.iter().position(|x| x == c).map_or(0u32, |i| 1 << i);
        let masks: Vec<u32> = sets.iter().map(|s| s.iter().map(bit).fold(0, |a, b| a | b)).collect();
        let covers = |chosen: u32| masks.iter().all(|m| m & chosen != 0);
        // Of as many the one whose candidates were offered first.
        let best = (1u32..1 << candidates.len())
            .filter(|s| covers(*s))
            .min_by_key(|s| (s.count_ones(), std::cmp::Reverse(s.reverse_bits())));
        let of =
            |s: u32| candidates.iter().enumerate().filter(move |(i, _)| s >> i & 1 == 1).map(|(_, c)| *c).collect();
        return best.map_or_else(Vec::new, of);
    }
    let mut open: Vec<&BTreeSet<usize>> = sets.iter().collect();
    let mut chosen = Vec::new();
    while !open.is_empty() {
        let gain = |c: &usize| open.iter().filter(|s| s.contains(c)).count();
        let Some(best) = candidates.iter().copied().max_by_key(|c| (gain(c), std::cmp::Reverse(*c))) else { break };
        open.retain(|s| !s.contains(&best));
        chosen.push(best);
    }
    chosen
}

/// A part's name taken to pieces.
struct Named<'n> {
    /// The course of a landing or a piece.
    course: Option<&'n str>,
    /// The line or the member of a landing.
    on: Option<String>,
}

fn named(name: &str) -> Named<'_> {
    let Some((course, rest)) = name.split_once('.') else { return Named { course: None, on: None } };
    let slope = course.split('-').next().unwrap_or_default();
    let on = rest.split('.').next().unwrap_or_default();
    let line = on.starts_with('L').then(|| format!("{slope}-{on}"));
    Named { course: Some(course), on: line }
}

/// What may be behind a finding, the likeliest first.
fn offers(ctx: &Context<'_>, f: &Finding) -> Vec<CauseName> {
    use CauseKind as K;
    let first = f.parts.first().map_or("", String::as_str);
    let Named { course, on } = named(first);
    let key = |kind: K, key: &str| (kind, key.to_owned());
    let course = course.map(|c| (K::CoursePlace, c.to_owned()));
    let line = on.map(|l| (K::LineBare, l));
    let part = (!first.is_empty()).then(|| (K::Part, first.to_owned()));
    let measured = f.evidence.iter().any(|e| e.what == "tape beside the shank");
    let single = !f.evidence.iter().any(|e| e.what == "landings");
    let mut all: Vec<CauseName> = Vec::new();
    match f.check {
        "landing-not-backed" | "joint-not-backed" | "gap-under-batten" => {
            all.extend(missing(ctx, f));
            all.extend(course.into_iter().chain(line).chain(part));
        }
        "off-tape" => {
            all.extend(missing(ctx, f));
            all.extend(measured.then(|| key(K::TapeWidth, "lattice.tape.width")));
            all.extend(course.into_iter().chain(line).chain(part));
        }
        "near-member-side" if single => all.extend(course.into_iter().chain(line).chain(part)),
        "embedment-short" | "tip-in-web" | "tip-out-of-member" => {
            all.push(key(K::FastenerLength, "fastening.length"));
            all.extend(f.parts.iter().rev().find_map(|p| table(ctx, p)).map(|t| (K::MemberSection, t)));
            all.extend(course.into_iter().chain(part));
        }
        "run-too-long" => {
            all.extend(missing(ctx, f));
            let between = f.parts.get(1).zip(f.parts.get(2));
            let lines = between.and_then(|(a, b)| Some(format!("{} and {}", named(a).on?, named(b).on?)));
            all.extend(lines.map(|l| (K::BayWidth, l)));
            all.extend(idle(ctx, f));
            all.extend(course.into_iter().chain(part));
        }
        "end-run-too-long" => {
            all.extend(missing(ctx, f));
            all.extend(end(ctx, f));
            all.extend(course.into_iter().chain(part));
        }
        "joint-not-doubled" | "near-member-side" => all.push(key(K::Joints, "lattice.batten.joint")),
        "end-distance-short" if single => all.extend(part.into_iter().chain(course)),
        "end-distance-short" => all.push(key(K::BoardEnds, "fastening.predrilled")),
        "fastener-spacing-short" => all.push(key(K::FastenerPattern, "fastening.spread")),
        "through-strap" => {
            let strap = f.parts.iter().find_map(|p| strap_field(ctx, p));
            all.extend(part.into_iter().chain(strap).chain(course));
        }
        "strap-nail-astray" => {
            let field = f.message.split(" on slope").next().unwrap_or_default();
            all.push(key(K::StrapPlace, field));
        }
        "miss-likely" | "no-aim-window" => all.push(key(K::Knowledge, "tolerance")),
        "landing-overloaded" | "batten-overloaded" | "clip-overloaded" | "batten-adrift" | "strip-crushed"
        | "foothold" | "strength" => match f.verdict {
            Verdict::Unconfirmed => all.push(key(K::Values, "strength.confirmed")),
            _ => all.push(key(K::Strength, "fastening")),
        },
        "no-air-path" | "air-rules" | "still-air" => {
            let slope = first.split(['-', '.']).next().unwrap_or_default();
            all.push(key(K::Air, if slope.is_empty() { "air" } else { slope }));
        }
        // Either of two parts in one place is the one to move.
        "clash" => all.extend(f.parts.iter().map(|p| (K::Part, p.clone()))),
        _ => all.extend(part),
    }
    if all.is_empty() {
        all.push(key(K::Part, f.check));
    }
    all
}

/// The slope of a finding, as far as it has one.
fn slope<'s, 'a>(ctx: &'s Context<'a>, f: &Finding) -> Option<&'s OnSlope<'a>> {
    ctx.slopes.get(f.place?.slope.0)
}

/// Members that are drawn and missing within a finding's reach: under its landing, or along the stretch of its board that hangs.
fn missing(ctx: &Context<'_>, f: &Finding) -> Vec<CauseName> {
    let (Some(on), Some(place)) = (slope(ctx, f), f.place) else { return Vec::new() };
    if !ctx.structure.members.iter().any(|m| m.missing) {
        return Vec::new();
    }
    let x_of = |name: &String| on.lattice.landings.iter().find(|l| ctx.landing_name(on, l) == *name).map(|l| l.x);
    let held: Vec<f64> = f.parts.iter().skip(1).filter_map(x_of).collect();
    let low = held.iter().copied().fold(place.at[0], f64::min);
    let high = held.iter().copied().fold(place.at[0], f64::max);
    let y = place.at[1];
    let gone = |m: &&crate::lattice::LineMember| m.missing && m.covers(y);
    let near = |m: &&crate::lattice::LineMember| {
        let x = crate::lattice::x_at(&m.path, y);
        low - m.width - NEAR <= x && x <= high + m.width + NEAR
    };
    let members = on.lattice.lines.iter().flat_map(|l| &l.found).filter(gone).filter(near);
    members.map(|m| (CauseKind::MemberMissing, ctx.member_name(m.member).to_owned())).collect()
}

/// How far beside a member a fastener that was meant for it may stand, metres: two inches.
const NEAR: f64 = 0.0508;

/// What keeps a piece's landings from holding: the length of the fasteners, where they are not deep enough; and their lines.
fn idle(ctx: &Context<'_>, f: &Finding) -> Vec<CauseName> {
    let Some(on) = slope(ctx, f) else { return Vec::new() };
    let of = |p: &crate::lattice::Piece| f.parts.first() == Some(&p.name);
    let Some(n) = on.lattice.pieces.iter().position(of) else { return Vec::new() };
    let idle = || on.landings_of(n).iter().filter(|l| !on.holds(l));
    let shallow = idle().filter_map(|l| on.worst(l)).any(|(_, worst)| worst.outcome == Outcome::Shallow);
    let length = shallow.then(|| (CauseKind::FastenerLength, "fastening.length".to_owned()));
    let lines: BTreeSet<&str> = idle().filter_map(|l| on.line(l)).map(|l| l.name.as_str()).collect();
    length.into_iter().chain(lines.into_iter().map(|l| (CauseKind::LineBare, l.to_owned()))).collect()
}

/// What the end of a board that runs too far lies at.
fn end(ctx: &Context<'_>, f: &Finding) -> Option<CauseName> {
    let on = slope(ctx, f)?;
    let piece = on.lattice.pieces.iter().find(|p| f.parts.first() == Some(&p.name))?;
    let x = f.place?.at[0];
    let right = (piece.x.1 - x).abs() < (x - piece.x.0).abs();
    match if right { piece.ends.1 } else { piece.ends.0 } {
        End::Edge { edge, .. } => Some((CauseKind::EdgeReach, format!("edge {}.{}", on.frame.name, edge + 1))),
        End::Joint { .. } | End::JointOverNothing => Some((CauseKind::Joints, "lattice.batten.joint".to_owned())),
        End::Opening => {
            let openings = ctx.design.slopes.get(on.id.0)?.openings.iter();
            let away = |o: &&crate::design::Opening| {
                let (from, size) = o.found.unwrap_or((o.at, o.size));
                ((from.0 + size.0 / 2.0).metres() - x).abs().max(SAME)
            };
            let nearest = openings.min_by(|a, b| away(a).total_cmp(&away(b)))?;
            Some((CauseKind::EdgeReach, format!("opening {}", nearest.name)))
        }
        End::Gap | End::Free => None,
    }
}

/// The table of a member, by its name.
fn table(ctx: &Context<'_>, name: &str) -> Option<String> {
    let member = ctx.structure.members.iter().find(|m| m.name == name)?;
    Some(member.table.as_ref().map_or_else(|| name.to_owned(), |t| t.key.clone()))
}

/// The field of a strap, by its name.
fn strap_field(ctx: &Context<'_>, name: &str) -> Option<CauseName> {
    let strap = ctx.structure.straps.iter().find(|s| s.name == name)?;
    Some((CauseKind::StrapPlace, format!("straps[{}]", strap.field + 1)))
}
