//! What strength is computed from, and what is missing for it.
//!
//! Aim: from what the design says, every load, material and rule with its origin; or the reasons why strength is not
//! checked. Reason: a load, an edition or a species is never assumed. Limits: one batten, one fastener, one species of
//! members for the whole roof.

use super::hold::Seat;
use super::lines::{Hold, SlopeWind};
use super::path::Mode;
use super::site;
use crate::capacity::beam::Extremes;
use crate::capacity::fastener::{Fastener, FastenerInput, FastenerKind as Kind};
use crate::capacity::{NotComputed, Step, nds, wood};
use crate::design::{Design, FastenerKind, FixedAt, Held, Moisture, RuleSet, Standard, StrengthSpec};

/// A load combination.
#[derive(Clone, Debug, PartialEq)]
pub struct Combination {
    /// Such as `0.6 D + 0.6 W (suction)`.
    pub name: String,
    /// Standard and clause.
    pub source: String,
    /// Factor of dead load.
    pub dead: f64,
    /// Factor of roof live load.
    pub live: f64,
    /// Factor of snow.
    pub snow: f64,
    /// Factor of wind.
    pub wind: f64,
    /// Wind is suction (else it presses).
    pub suction: bool,
    /// The shortest load in it.
    pub lasting: Lasting,
}

/// How long the shortest load of a combination lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lasting {
    /// Dead load.
    Always,
    /// Snow.
    Snow,
    /// Roof live load.
    RoofLive,
    /// Wind.
    Wind,
}

impl Lasting {
    /// The class of the NDS.
    pub fn nds(self) -> nds::Duration {
        match self {
            Lasting::Always => nds::Duration::Permanent,
            Lasting::Snow => nds::Duration::TwoMonths,
            Lasting::RoofLive => nds::Duration::SevenDays,
            Lasting::Wind => nds::Duration::TenMinutes,
        }
    }
}

/// The rule set with the wood of members and battens.
#[derive(Clone, Debug)]
pub enum Wood {
    /// NDS.
    Nds {
        /// Species of the members.
        members: &'static wood::Species,
        /// Species of the battens.
        battens: &'static wood::Species,
        /// Moisture.
        moisture: nds::Moisture,
    },
}

/// The board's design values.
#[derive(Clone, Debug)]
pub enum Board {
    /// NDS.
    Nds {
        /// The board with its grade.
        board: nds::board::Board<'static>,
        /// With all factors but that of load duration.
        strength: nds::board::BoardStrength,
        /// Span over the largest deflection, where the design says it.
        deflection: Option<f64>,
    },
}

impl Board {
    /// Greatest moment for the duration of a combination, newton metres.
    pub fn moment(&self, c: &Combination) -> f64 {
        let Board::Nds { strength, .. } = self;
        strength.moment(c.lasting.nds())
    }

    /// The hand calculation for a moment and a shear.
    ///
    /// # Errors
    /// Why there is none.
    pub fn steps(&self, moment: f64, shear: f64, c: &Combination) -> Result<Vec<Step>, NotComputed> {
        let Board::Nds { board, .. } = self;
        board.steps(moment, shear, c.lasting.nds())
    }

    /// Shares of bending, shear and deflection, each with its demand.
    pub fn used(&self, e: &Extremes, spans: (f64, f64), c: &Combination) -> Vec<(f64, Mode, f64)> {
        let Board::Nds { strength, deflection, .. } = self;
        let duration = c.lasting.nds();
        let mut all = vec![
            (e.moment() / strength.moment(duration), Mode::Bending, e.moment()),
            (e.shear / strength.shear_force(duration), Mode::Shear, e.shear),
        ];
        if let Some(n) = deflection {
            if spans.0 > 0.0 {
                all.push((e.deflection * n / spans.0, Mode::Deflection, e.deflection));
            }
            if spans.1 > 1e-3 {
                all.push((e.end_deflection * n / (2.0 * spans.1), Mode::Deflection, e.end_deflection));
            }
        }
        all
    }
}

/// What one fastener of a landing holds.
#[derive(Clone, Debug)]
pub enum Fit {
    /// NDS.
    Nds(nds::Strength),
}

impl Fit {
    /// The share of a landing with so many fasteners, by the combination's duration.
    ///
    /// # Errors
    /// Why there is no value.
    pub fn used(&self, out: f64, down: f64, count: f64, c: &Combination) -> Result<(f64, Mode), NotComputed> {
        let Fit::Nds(strength) = self;
        let demand = nds::Demand { uplift: out / count, lateral: down.max(0.0) / count };
        let used = strength.utilisation(&demand, c.lasting.nds())?;
        let mode = match used.governing {
            nds::Governing::Withdrawal => Mode::Withdrawal,
            nds::Governing::PullThrough => Mode::PullThrough,
            nds::Governing::Tension => Mode::Tension,
            nds::Governing::Lateral(_) => Mode::Lateral,
            nds::Governing::Combined => Mode::Combined,
            nds::Governing::Sustained => Mode::Sustained,
        };
        if c.lasting == Lasting::Always && demand.lateral > 0.0 {
            let stays = demand.lateral / strength.sustained_allowed()?;
            if stays > used.ratio {
                return Ok((stays, Mode::Sustained));
            }
        }
        Ok((used.ratio, mode))
    }
}

/// Everything that strength is computed from. SI.
#[derive(Clone, Debug)]
pub struct Basis {
    /// The design's own words.
    pub spec: StrengthSpec,
    /// The rule set and the wood.
    pub wood: Wood,
    /// The fastener.
    pub fastener: Fastener,
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
    /// Snow in plan, pascals, as the combinations take it; `None`: not computed.
    pub snow: Option<f64>,
    /// Roof live load in plan, pascals.
    pub live: Option<f64>,
    /// Wind, slope by slope; empty where not computed.
    pub wind: Vec<SlopeWind>,
    /// How the loads came about, for the hand calculation.
    pub steps: LoadSteps,
    /// Why wind, snow, live load are not computed.
    pub left_out: Vec<String>,
    /// Sources from memory that verdicts rest on, in the order of the calculation.
    pub from_memory: Vec<String>,
    /// Editions that are superseded.
    pub superseded: Option<&'static str>,
}

/// Lines of the hand calculation that lead to the loads.
#[derive(Clone, Debug, Default)]
pub struct LoadSteps {
    /// Velocity pressure and what leads to it.
    pub wind: Vec<Step>,
    /// Zone by zone: slope, zone, lines.
    pub zones: Vec<(usize, String, Vec<Step>)>,
    /// Snow.
    pub snow: Vec<Step>,
}

/// Gravity, m/s2 (standard, 1901).
const GRAVITY: f64 = 9.806_65;

impl Basis {
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
        let (wood, board, board_reason) = match rules.value {
            RuleSet::Nds => {
                let battens = wood::species(battens).map_err(say)?;
                let moisture = nds_moisture(moisture.value);
                let (board, reason) = match &spec.grade {
                    None => (None, Some("strength.grade does not name the battens' grade".to_owned())),
                    Some(grade) => match nds_board(design, spec, battens, grade, moisture) {
                        Ok(board) => (Some(board), None),
                        Err(e) => (None, Some(e.to_string())),
                    },
                };
                (Wood::Nds { members: wood::species(members).map_err(say)?, battens, moisture }, board, reason)
            }
            RuleSet::Ec5 => return Err(vec!["rules for Eurocode 5 are not there yet".to_owned()]),
        };
        let stiffness = match &board {
            Some(Board::Nds { strength, .. }) => strength.stiffness(),
            None => 1.0,
        };
        let b = &design.lattice.batten;
        let batten_weight = b.width.metres() * b.thickness.metres() * b.density.value.kg_per_m3() * GRAVITY;
        let mut basis = Basis {
            spec: spec.clone(),
            wood,
            fastener,
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
            from_memory: Vec::new(),
            superseded: None,
        };
        if basis.live.is_none() {
            basis.left_out.push("roof live load: the design has no [live]".to_owned());
        }
        site::wind(design, frames, &mut basis);
        site::snow(design, frames, &mut basis);
        if basis.wind.is_empty() && basis.snow.is_none() && basis.live.is_none() {
            return Err(basis.left_out);
        }
        site::combine(&mut basis);
        Ok(basis)
    }

    /// What a fastener in this seat holds.
    pub fn fit(&self, seat: &Seat) -> Result<Fit, NotComputed> {
        self.joint(seat).strength().map(Fit::Nds)
    }

    /// The NDS joint of a seat.
    pub fn joint(&self, seat: &Seat) -> nds::Joint<'_> {
        let Wood::Nds { members, battens, moisture } = &self.wood;
        let quarter = std::f64::consts::FRAC_PI_2;
        nds::Joint {
            fastener: &self.fastener,
            side_gravity: battens.gravity,
            side_thickness: self.thickness,
            gap: seat.gap,
            main_gravity: members.gravity,
            penetration: seat.penetration,
            countable: Some(seat.countable),
            tilt: 0.0,
            side_angle: quarter,
            main_angle: if seat.across { quarter } else { 0.0 },
            end_grain: false,
            moisture: *moisture,
            temperature: nds::Temperature::Normal,
        }
    }

    /// The rule set in words.
    pub fn rules(&self) -> &'static str {
        match self.wood {
            Wood::Nds { .. } => "NDS 2018, allowable stress design",
        }
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
        let confirmed = |text: &str| self.spec.confirmed.iter().any(|c| c.value.trim() == text);
        self.from_memory.iter().filter(|s| !confirmed(s)).cloned().collect()
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

fn nds_moisture(m: Moisture) -> nds::Moisture {
    match m {
        Moisture::Dry => nds::Moisture::Dry,
        Moisture::WetThenDry => nds::Moisture::WetThenDry,
        Moisture::DryThenWet => nds::Moisture::DryThenWet,
        Moisture::Wet => nds::Moisture::Wet,
    }
}

fn nds_board(
    design: &Design,
    spec: &StrengthSpec,
    species: &wood::Species,
    grade: &str,
    moisture: nds::Moisture,
) -> Result<Board, NotComputed> {
    let grade = wood::grade(species, grade)?;
    let b = &design.lattice.batten;
    let board = nds::board::Board {
        grade,
        width: b.width.metres(),
        thickness: b.thickness.metres(),
        repetitive: false,
        moisture,
    };
    let deflection = spec.deflection.as_ref().map(|d| d.value);
    Ok(Board::Nds { board, strength: board.strength()?, deflection })
}

fn fastener(design: &Design, spec: &StrengthSpec) -> Result<Fastener, NotComputed> {
    let kind = match design.fastening.kind.value {
        FastenerKind::Nail => Kind::SmoothNail,
        FastenerKind::RingShankNail => Kind::RingShankNail,
        FastenerKind::Screw => Kind::WoodScrew,
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
    Fastener::resolve(&input)
}
