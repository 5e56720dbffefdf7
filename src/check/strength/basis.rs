//! What strength is computed from, and what is missing for it.
//!
//! Aim: from what the design says, every load, material and rule with its origin; or the reasons why strength is not
//! checked. Reason: a load, an edition or a species is never assumed. Limits: one batten and one fastener for the whole roof.

use super::clips::ClipHold;
use super::hold::Seat;
use super::lines::Hold;
use super::rules::{Board, Wood};
use super::site;
use super::zone_wind::SlopeWind;
use crate::capacity::fastener::{Fastener, FastenerInput, FastenerKind as Kind};
pub use crate::capacity::loads::{Arrangement, Combination};
use crate::capacity::{NotComputed, Step, ec5};
use crate::design::{
    Design, FastenerKind, FixedAt, Given, Held, MakerSpec, MemberWood, Rating, RuleSet, Standard, StrengthSpec,
};
use crate::quantity::Angle;
use crate::quantity::maths::cos;

/// Everything that strength is computed from. SI.
#[derive(Clone, Debug)]
pub struct Basis {
    /// The design's own words.
    pub spec: StrengthSpec,
    /// The rule set and the wood, as far as no table of the framing says otherwise.
    pub wood: Wood,
    /// Wood of the members of single tables.
    pub others: Vec<OtherWood>,
    /// The fastener.
    pub fastener: Fastener,
    /// How far fasteners lean from the square, where the design says it (`tolerance.tilt`); else they are driven square.
    pub lean: Option<Given<Angle>>,
    /// Thickness of the battens.
    pub thickness: f64,
    /// Design values of the battens, or why there are none.
    pub board: Option<Board>,
    /// Why the boards are not checked.
    pub board_reason: Option<String>,
    /// Bending stiffness of a batten; of no weight where deflections are not computed.
    pub stiffness: f64,
    /// Whose combinations.
    pub standard: Standard,
    /// The combinations.
    pub combinations: Vec<Combination>,
    /// Ways of holding panels that are computed: the worse decides.
    pub holds: Vec<Hold>,
    /// Weight of the roofing for each area of the slope, pascals.
    pub roofing: f64,
    /// Weight of a batten, newtons per metre.
    pub batten_weight: f64,
    /// Snow slope by slope, as the combinations take it; `None`: not computed.
    pub snow: Option<Vec<SnowOn>>,
    /// Roof live load in plan, pascals.
    pub live: Option<f64>,
    /// Wind, slope by slope; empty where not computed.
    pub wind: Vec<SlopeWind>,
    /// How the loads came about, for the hand calculation.
    pub steps: LoadSteps,
    /// Why wind, snow, live load are not computed.
    pub left_out: Vec<String>,
    /// Sources from memory that verdicts rest on.
    pub from_memory: Memory,
    /// What the screws of a clip hold, or why that is not known; `None` without panels.
    pub clip: Option<Result<ClipHold, String>>,
    /// Editions that are superseded.
    pub superseded: Option<String>,
}

/// Snow on one slope, in plan.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SnowOn {
    /// Balanced, pascals.
    pub balanced: f64,
    /// As the side away from the wind, where that is asked for.
    pub unbalanced: Option<Unbalanced>,
}

/// Unbalanced snow on one slope, in plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unbalanced {
    /// On all of it, pascals.
    pub even: f64,
    /// More of it beside the ridge, pascals.
    pub surcharge: f64,
    /// From this y up to the ridge, metres.
    pub above: f64,
}

impl SnowOn {
    /// The load on all of the slope and what comes on it beside the ridge, pascals.
    pub fn lies(&self, arrangement: Arrangement) -> (f64, f64) {
        match (arrangement, self.unbalanced) {
            (Arrangement::Unbalanced, Some(u)) => (u.even, u.surcharge),
            (Arrangement::Balanced, _) | (Arrangement::Unbalanced, None) => (self.balanced, 0.0),
        }
    }

    /// From which y on more lies beside the ridge in some arrangement; `None`: nowhere.
    pub fn drifts_above(&self) -> Option<f64> {
        self.unbalanced.filter(|u| u.surcharge > 0.0).map(|u| u.above)
    }
}

/// Wood of the members that one table of the framing asks for.
#[derive(Clone, Debug)]
pub struct OtherWood {
    /// The table and what it says.
    pub said: MemberWood,
    /// The same for the rule set.
    pub wood: Wood,
}

/// Lines of the hand calculation that lead to the loads.
#[derive(Clone, Debug, Default)]
pub struct LoadSteps {
    /// Velocity pressure and what leads to it; what follows for each zone is in [`Basis::wind`].
    pub wind: Vec<Step>,
    /// Snow, slope by slope.
    pub snow: Vec<Vec<Step>>,
}

/// What a verdict is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Subject {
    /// The fasteners of a landing.
    Landing,
    /// A batten.
    Board,
    /// A strip.
    Strip,
    /// A clip.
    Clip,
}

/// Sources from memory, each list in the order of the calculation.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Memory {
    /// Of the loads: everything rests on them.
    pub loads: Vec<String>,
    /// Of the fasteners.
    pub landing: Vec<String>,
    /// Of the battens.
    pub board: Vec<String>,
    /// Of the clips' screws.
    pub clip: Vec<String>,
    /// Of the level of service: strips, and boards whose deflection is limited.
    pub service: Vec<String>,
}

/// Gravity, m/s2 (standard, 1901).
const GRAVITY: f64 = 9.806_65;

impl Basis {
    /// What may be left out while the rest is computed: the openings of such sentences of [`Basis::left_out`], up to their colon.
    pub const PARTS_LEFT_OUT: [&'static str; 7] = [
        "wind",
        "wind on overhangs",
        "wind pressure towards the roof",
        "snow",
        "unbalanced snow",
        "roof live load",
        "head pull-through",
    ];

    /// From the design; every reason why it cannot be.
    ///
    /// # Errors
    /// The reasons, each a sentence without an end.
    pub fn of(design: &Design, frames: &[crate::structure::SlopeFrame]) -> Result<Basis, Vec<String>> {
        let Some(spec) = &design.loads.strength else {
            return Err(vec!["the design has no [strength]".to_owned()]);
        };
        let mut missing = Vec::new();
        let mut need = |is: bool, why: &str| {
            if !is {
                missing.push(why.to_owned());
            }
        };
        need(spec.rules.is_some(), "strength.rules does not name a rule set");
        need(spec.members.is_some(), "strength.members does not name the members' species or class");
        need(spec.battens.is_some(), "strength.battens does not name the battens' species or class");
        need(spec.moisture.is_some(), "strength.moisture does not say whether the wood gets wet");
        need(spec.roofing.is_some(), "strength.roofing does not say what the roofing weighs");
        let standard = standard(design);
        need(
            standard.is_some(),
            "no edition of a standard is named (strength.combinations, wind.edition or snow.edition), and none is assumed",
        );
        let (Some(rules), Some(members), Some(battens), Some(moisture), Some(roofing), Some(standard)) =
            (&spec.rules, &spec.members, &spec.battens, &spec.moisture, &spec.roofing, standard)
        else {
            return Err(missing);
        };
        let say = |e: NotComputed| vec![e.to_string()];
        let fastener = fastener(design, spec).map_err(say)?;
        let state = (moisture.value, spec.temperature.as_ref().map(|t| t.value.kelvin()));
        let wood = Wood::of(rules.value, members, battens, state, design.fastening.predrilled.value).map_err(say)?;
        let other = |said: &MemberWood| {
            let predrilled = design.fastening.predrilled.value;
            let wood = Wood::of(rules.value, &said.wood.value, battens, state, predrilled).map_err(say)?;
            Ok(OtherWood { said: said.clone(), wood })
        };
        let others = design.woods.iter().map(other).collect::<Result<Vec<_>, Vec<String>>>()?;
        if (rules.value == RuleSet::Ec5) != (standard == Standard::En1991) {
            return Err(vec![format!(
                "{} and combinations of {} do not go together",
                rules.value.word(),
                standard.word()
            )]);
        }
        let (board, board_reason) = match wood.board(design, spec) {
            Ok(board) => (Some(board), None),
            Err(why) => (None, Some(why)),
        };
        let clip = ClipHold::of(design, &wood, spec);
        let stiffness = board.as_ref().map_or(1.0, Board::stiffness);
        let b = &design.lattice.batten;
        let batten_weight = b.width.metres() * b.thickness.metres() * b.density.value.kg_per_m3() * GRAVITY;
        let mut basis = Basis {
            spec: spec.clone(),
            wood,
            others,
            fastener,
            lean: design.tilt.origin.line().map(|_| design.tilt.clone()),
            thickness: b.thickness.metres(),
            board,
            board_reason,
            stiffness,
            standard,
            combinations: Vec::new(),
            holds: holds(spec),
            roofing: roofing.value.pascals(),
            batten_weight,
            snow: None,
            live: design.loads.live.as_ref().map(|l| l.value.pascals()),
            wind: Vec::new(),
            steps: LoadSteps::default(),
            left_out: Vec::new(),
            from_memory: Memory::default(),
            clip,
            superseded: None,
        };
        if basis.live.is_none() {
            basis.left_out.push("roof live load: the design has no [live]".to_owned());
        }
        basis.left_out.extend(basis.head_not_known());
        site::wind(design, frames, &mut basis);
        site::snow(design, frames, &mut basis);
        if basis.wind.is_empty() && basis.snow.is_none() && basis.live.is_none() {
            return Err(basis.left_out);
        }
        site::combine(design, &mut basis);
        Ok(basis)
    }

    /// The rule set in words.
    pub fn rules(&self) -> &'static str {
        self.wood.rules()
    }

    /// Why it is not known whether heads pull through the battens, where it is not.
    fn head_not_known(&self) -> Option<String> {
        let f = &self.fastener;
        let why = match self.wood {
            Wood::Nds { .. } if f.head.is_some() || f.reference_pull_through.is_some() => return None,
            Wood::Nds { .. } if f.kind == Kind::LagScrew => {
                "NDS-2018 12.2.5 is for round heads: write the diameter of a round one as fastening.head"
            }
            Wood::Nds { .. } => "no table has the head of these fasteners: write fastening.head",
            Wood::Ec5 { .. } if f.head.is_none() => "no table has the head of these fasteners: write fastening.head",
            Wood::Ec5 { .. } if f.pull_through.is_some() || !f.kind.is_threaded() => return None,
            Wood::Ec5 { .. } => "EN 1995-1-1 leaves f_head,k of rings and threads to the maker",
        };
        Some(format!("head pull-through: {why}, or strength.maker.pull_through"))
    }

    /// How long the shortest load of a combination lasts, in the words of the rule set.
    pub fn duration_words(&self, c: &Combination) -> &'static str {
        match self.wood {
            Wood::Nds { .. } => c.nds.words(),
            Wood::Ec5 { .. } => c.ec5.words(),
        }
    }

    /// The number of the wood of a member, by the table that asks for it; 0 for that of all members.
    pub fn wood_number(&self, table: Option<&str>) -> usize {
        table.and_then(|t| self.others.iter().position(|o| o.said.table == t)).map_or(0, |k| k + 1)
    }

    /// The wood of that number.
    pub fn wood_of(&self, number: usize) -> &Wood {
        number.checked_sub(1).and_then(|k| self.others.get(k)).map_or(&self.wood, |o| &o.wood)
    }

    /// The wood of that number as the design says it.
    pub fn wood_said(&self, number: usize) -> Option<&Given<String>> {
        let other = number.checked_sub(1).and_then(|k| self.others.get(k));
        other.map(|o| &o.said.wood).or(self.spec.members.as_ref())
    }

    /// Lean of the fasteners, radians; then, along a fastener that leans so, the length past the upper face of the member of its
    /// seat, and what of that may count, metres.
    pub fn leaning(&self, seat: &Seat) -> (f64, f64, f64) {
        let lean = self.lean.as_ref().map_or(0.0, |l| l.value.radians());
        let length = self.fastener.length;
        // What lies above the member is passed on a slant.
        let penetration = length - (length - seat.penetration) / cos(lean);
        (lean, penetration, seat.countable.min(penetration))
    }

    /// The fastener of the design, but of another kind.
    ///
    /// # Errors
    /// Why there is none.
    pub fn with_kind(&self, design: &Design, kind: Kind) -> Result<Fastener, NotComputed> {
        of_kind(design, &self.spec, kind)
    }

    /// Sources that verdicts rest on, that are from memory and that the design does not confirm.
    pub fn unconfirmed(&self) -> Vec<String> {
        let m = &self.from_memory;
        self.not_confirmed(&[&m.loads, &m.landing, &m.board, &m.clip, &m.service])
    }

    /// Those that the verdicts of one subject rest on.
    pub fn unconfirmed_of(&self, subject: Subject) -> Vec<String> {
        let m = &self.from_memory;
        match subject {
            Subject::Landing => self.not_confirmed(&[&m.loads, &m.landing]),
            Subject::Board if self.spec.deflection.is_some() => self.not_confirmed(&[&m.loads, &m.board, &m.service]),
            Subject::Board => self.not_confirmed(&[&m.loads, &m.board]),
            Subject::Strip => self.not_confirmed(&[&m.loads, &m.service]),
            Subject::Clip => self.not_confirmed(&[&m.loads, &m.clip]),
        }
    }

    fn not_confirmed(&self, lists: &[&Vec<String>]) -> Vec<String> {
        let confirmed = |text: &str| self.spec.confirmed.iter().any(|c| c.value.trim() == text);
        let mut all: Vec<String> = Vec::new();
        for text in lists.iter().flat_map(|l| l.iter()) {
            if !confirmed(text) && !all.contains(text) {
                all.push(text.clone());
            }
        }
        all
    }

    /// Whether something is judged at the level of service: deflections that are limited, strips whose strength is said.
    pub fn asks_service(&self) -> bool {
        self.spec.deflection.is_some() || self.spec.strip.is_some()
    }

    /// Whether a course is named as the panels' fixed line.
    pub fn names_a_course(&self) -> bool {
        self.holds.iter().any(|h| matches!(h, Hold::Fixed(FixedAt::Course(_))))
    }
}

/// The standard whose combinations are used.
fn standard(design: &Design) -> Option<Standard> {
    let loads = &design.loads;
    let of = |g: &Option<crate::design::Given<Standard>>| g.as_ref().map(|g| g.value);
    loads
        .strength
        .as_ref()
        .and_then(|s| of(&s.combinations))
        .or_else(|| loads.wind.as_ref().and_then(|w| of(&w.edition)))
        .or_else(|| loads.snow.as_ref().and_then(|s| of(&s.edition)))
}

fn holds(spec: &StrengthSpec) -> Vec<Hold> {
    let fixed = spec.fixed_at.as_ref().map(|g| g.value.clone());
    match (spec.held.as_ref().map(|h| h.value), fixed) {
        (Some(Held::EveryCourse), _) => vec![Hold::EveryCourse],
        (_, Some(at)) => vec![Hold::Fixed(at)],
        (Some(Held::FixedLine), None) => vec![Hold::Fixed(FixedAt::Eave), Hold::Fixed(FixedAt::Top)],
        (None, None) => vec![Hold::EveryCourse, Hold::Fixed(FixedAt::Eave), Hold::Fixed(FixedAt::Top)],
    }
}

fn fastener(design: &Design, spec: &StrengthSpec) -> Result<Fastener, NotComputed> {
    let kind = match design.fastening.kind.value {
        FastenerKind::Nail => Kind::SmoothNail,
        FastenerKind::RingShankNail => Kind::RingShankNail,
        FastenerKind::Screw => Kind::WoodScrew,
        FastenerKind::LagScrew => Kind::LagScrew,
    };
    of_kind(design, spec, kind)
}

fn of_kind(design: &Design, spec: &StrengthSpec, kind: Kind) -> Result<Fastener, NotComputed> {
    let f = &design.fastening;
    let said = |g: &crate::design::Given<crate::quantity::Length>| g.origin.line().map(|_| g.metres());
    let mut input = FastenerInput::new(kind, f.diameter.metres(), f.length.metres());
    input.head = said(&f.head);
    input.thread = spec.thread.as_ref().map(|g| g.metres());
    input.root = spec.root.as_ref().map(|g| g.metres());
    input.bending_yield = spec.bending_yield.as_ref().map(|g| g.value.pascals());
    if let Some(maker) = &spec.maker {
        by_maker(maker, spec, &mut input);
    }
    Fastener::resolve(&input)
}

/// Puts in what a maker states, by the rule set: the design's reader lets only values of its kinds pass.
pub fn by_maker(maker: &MakerSpec, spec: &StrengthSpec, input: &mut FastenerInput) {
    let value = |g: &Option<Given<Rating>>| g.as_ref().map(|g| g.value);
    match value(&maker.withdrawal) {
        Some(Rating::PerLength(w)) => input.reference_withdrawal = Some(w.newtons_per_metre()),
        Some(Rating::PerArea(f)) => input.withdrawal = Some(f.pascals()),
        Some(Rating::Each(_)) | None => {}
    }
    match value(&maker.pull_through) {
        Some(Rating::Each(w)) => input.reference_pull_through = Some(w.newtons()),
        Some(Rating::PerArea(f)) => input.pull_through = Some(f.pascals()),
        Some(Rating::PerLength(_)) | None => {}
    }
    if let Some(Rating::Each(t)) = value(&maker.tension) {
        input.tension = Some(t.newtons() / tension_divisor(spec));
    }
}

/// What a maker's tension is divided by: NDS has allowable values. Eurocode 5 has characteristic ones; here steel takes the 1.3
/// of connections without kmod, more than the 1.25 of EN 1993-1-8.
pub fn tension_divisor(spec: &StrengthSpec) -> f64 {
    match spec.rules.as_ref().map(|r| r.value) {
        Some(RuleSet::Ec5) => ec5::GAMMA_CONNECTION.value,
        Some(RuleSet::Nds) | None => 1.0,
    }
}
