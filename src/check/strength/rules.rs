//! The two rule sets behind one face: NDS and Eurocode 5, never mixed.
//!
//! Aim: wood, fastener and board asked in the same words, whichever rule set the design names. Reason: the load path knows
//! no standard. Limits: solid timber; side grain; all fasteners lean alike.

use super::basis::{Basis, Combination, Memory};
use super::hold::Seat;
use super::path::{self, Mode};
use crate::capacity::beam::{self, Extremes};
use crate::capacity::units::{INCH, MM, PSI, num};
use crate::capacity::wind::area::AreaRule;
use crate::capacity::wood::{self, Species, StrengthClass};
use crate::capacity::{NotComputed, Source, Step, ec5, nds};
use crate::design::{Design, Moisture, RuleSet, StrengthSpec};

/// The rule set with the wood of members and battens.
#[derive(Clone, Debug)]
pub enum Wood {
    /// NDS.
    Nds {
        /// Species of the members.
        members: &'static Species,
        /// Species of the battens.
        battens: &'static Species,
        /// Moisture.
        moisture: nds::Moisture,
        /// Sustained temperature.
        temperature: nds::Temperature,
    },
    /// Eurocode 5.
    Ec5 {
        /// Strength class of the members.
        members: &'static StrengthClass,
        /// Strength class of the battens.
        battens: &'static StrengthClass,
        /// Service class.
        class: ec5::ServiceClass,
        /// Wet when built, and dries under load.
        green: bool,
        /// Holes drilled before driving.
        predrilled: bool,
    },
}

/// The board's design values.
#[derive(Clone, Debug)]
pub enum Board {
    /// NDS.
    Nds(nds::board::Board<'static>, nds::board::ReferenceDesignValues),
    /// Eurocode 5.
    Ec5(ec5::board::Board<'static>, ec5::board::CharacteristicValues),
}

/// What one fastener of a landing holds.
#[derive(Clone, Debug)]
pub enum Fit {
    /// NDS.
    Nds(nds::Strength),
    /// Eurocode 5.
    Ec5(ec5::Strength),
}

impl Wood {
    /// The wood of a design by its rule set.
    ///
    /// # Errors
    /// A species or a class that the tables lack, or wood hotter than the rules cover.
    pub fn of(
        rules: RuleSet,
        members: &str,
        battens: &str,
        (moisture, kelvin): (Moisture, Option<f64>),
        predrilled: bool,
    ) -> Result<Wood, NotComputed> {
        let temperature = kelvin.map_or(Some(nds::Temperature::Normal), nds::Temperature::of);
        if rules == RuleSet::Ec5 && kelvin.is_some_and(|k| k > EC5_HOTTEST) {
            return Err(NotComputed::NotCovered {
                what: "wood that stays above 60 C",
                why: "EN 1995-1-1 1.1.1 does not cover it",
            });
        }
        Ok(match rules {
            RuleSet::Nds => Wood::Nds {
                members: wood::species(members)?,
                battens: wood::species(battens)?,
                moisture: match moisture {
                    Moisture::Dry => nds::Moisture::Dry,
                    Moisture::WetThenDry => nds::Moisture::WetThenDry,
                    Moisture::DryThenWet => nds::Moisture::DryThenWet,
                    Moisture::Wet => nds::Moisture::Wet,
                },
                temperature: temperature.ok_or(NotComputed::NotCovered {
                    what: "wood that stays above 150 F",
                    why: "NDS-2018 2.3.3 has no temperature factor for it",
                })?,
            },
            RuleSet::Ec5 => Wood::Ec5 {
                members: wood::strength_class(members)?,
                battens: wood::strength_class(battens)?,
                class: match moisture {
                    Moisture::Dry | Moisture::WetThenDry => ec5::ServiceClass::Two,
                    Moisture::DryThenWet | Moisture::Wet => ec5::ServiceClass::Three,
                },
                green: moisture == Moisture::WetThenDry,
                predrilled,
            },
        })
    }

    /// The rule set in words.
    pub fn rules(&self) -> &'static str {
        match self {
            Wood::Nds { .. } => "NDS 2018, allowable stress design",
            Wood::Ec5 { .. } => "EN 1995-1-1 (Eurocode 5), recommended values",
        }
    }

    /// The board by the wood of the battens; or why it has no design values.
    ///
    /// # Errors
    /// The reason.
    pub fn board(&self, design: &Design, spec: &StrengthSpec) -> Result<Board, String> {
        let b = &design.lattice.batten;
        let (width, thickness) = (b.width.metres(), b.thickness.metres());
        let say = |e: NotComputed| e.to_string();
        match *self {
            Wood::Nds { battens, moisture, temperature, .. } => {
                let grade = spec.grade.as_ref().ok_or("strength.grade does not name the battens' grade")?;
                let grade = wood::grade(battens, &grade.value).map_err(say)?;
                let board = nds::board::Board { grade, width, thickness, repetitive: false, moisture, temperature };
                Ok(Board::Nds(board, board.strength().map_err(say)?))
            }
            Wood::Ec5 { battens, class, .. } => {
                let board = ec5::board::Board { class: battens, width, thickness, service: class };
                Ok(Board::Ec5(board, board.strength().map_err(say)?))
            }
        }
    }
}

impl Board {
    /// Bending stiffness, N m2.
    pub fn stiffness(&self) -> f64 {
        match self {
            Board::Nds(_, s) => s.stiffness(),
            Board::Ec5(_, s) => s.stiffness(),
        }
    }

    /// Greatest moment for the duration of a combination, newton metres.
    pub fn moment(&self, c: &Combination) -> f64 {
        match self {
            Board::Nds(_, s) => s.moment(c.nds),
            Board::Ec5(_, s) => s.moment(c.ec5),
        }
    }

    fn shear(&self, c: &Combination) -> f64 {
        match self {
            Board::Nds(_, s) => s.shear_force(c.nds),
            Board::Ec5(_, s) => s.shear_force(c.ec5),
        }
    }

    /// The hand calculation for a moment and a shear.
    ///
    /// # Errors
    /// Why there is none.
    pub fn steps(&self, moment: f64, shear: f64, c: &Combination) -> Result<Vec<Step>, NotComputed> {
        match self {
            Board::Nds(board, _) => board.steps(moment, shear, c.nds),
            Board::Ec5(board, _) => board.steps(moment, shear, c.ec5),
        }
    }

    /// Shares of bending and shear, each with its demand.
    pub fn used(&self, e: &Extremes, c: &Combination) -> [(f64, Mode, f64); 2] {
        let moment = (e.moment() / self.moment(c), Mode::Bending, e.moment());
        [moment, (e.shear / self.shear(c), Mode::Shear, e.shear)]
    }
}

/// The ends whose deflection counts: those longer than a quarter of the span that bends most. Shorter ones only turn with the
/// span beside them.
fn long_ends(e: &Extremes) -> impl Iterator<Item = beam::Deflected> {
    // A hair more, so that rounding decides nothing.
    let least = (e.worst_span.length / 4.0).max(SHORTEST) + 1e-6;
    e.ends.into_iter().filter(move |end| end.length > least)
}

/// Shares of the deflections that a limit (a part of the span) allows, each with its demand: of the span that deflects most for
/// its length, and of the ends that count, which may deflect like a span of twice their length.
pub fn deflected(e: &Extremes, part: f64) -> Vec<(f64, Mode, f64)> {
    let of = |d: beam::Deflected, times: f64| (d.most * part / (times * d.length), Mode::Deflection, d.most);
    let span = (e.worst_span.length > SHORTEST).then(|| of(e.worst_span, 1.0));
    span.into_iter().chain(long_ends(e).map(|end| of(end, 2.0))).collect()
}

impl Board {
    /// The hand calculation of [`deflected`].
    pub fn deflection_steps(&self, e: &Extremes, part: f64, origin: Source) -> Vec<Step> {
        let (modulus, inertia, source) = match self {
            Board::Nds(b, s) => (s.modulus, s.inertia, b.grade.source),
            Board::Ec5(b, s) => (s.modulus, s.inertia, b.class.source),
        };
        let (stress, length, names) = match self {
            Board::Nds(..) => (PSI, INCH, ("psi", "in", "in4")),
            Board::Ec5(..) => (1e6, MM, ("N/mm2", "mm", "mm4")),
        };
        let mut steps = vec![
            Step::input("E", "modulus of elasticity, with its moisture factor", modulus / stress, names.0, source),
            Step::input("I", "b t^3 / 12, laid flat", inertia / length.powi(4), names.2, Source::GEOMETRY),
            Step::input("n", "limit of the deflection, as a part of the span", part, "", origin),
        ];
        let span = (
            e.worst_span,
            1.0,
            ("deflection of the span that bends most for its length", "length of that span", "d n / L"),
        );
        let end =
            |d| (d, 2.0, ("deflection of an end that is longer than a quarter of that", "its length", "d n / (2 L)"));
        for (d, times, (what, whose, formula)) in [span].into_iter().chain(long_ends(e).map(end)) {
            let (most, whole) = (num(d.most / length), num(d.length / length));
            let share = part * d.most / (times * d.length);
            let numbers = format!("{most} * {} / ({times} * {whole})", num(part));
            steps.extend([
                Step::input("d", what, d.most / length, names.1, Source::STATICS),
                Step::input("L", whose, d.length / length, names.1, Source::GEOMETRY),
                Step::new("u_deflection", "deflection over the limit", formula, numbers, share),
            ]);
        }
        steps
    }
}

/// Ends shorter than this bend nowhere, metres.
const SHORTEST: f64 = 1e-3;

impl Fit {
    /// The share of a landing with so many fasteners, by the combination's duration.
    ///
    /// # Errors
    /// Why there is no value.
    pub fn used(&self, out: f64, down: f64, count: f64, c: &Combination) -> Result<(f64, Mode), NotComputed> {
        let demand = demand(out, down, count);
        let (used, stays) = match self {
            Fit::Nds(s) => {
                let always = c.nds == nds::Duration::Permanent && demand.lateral > 0.0;
                let stays = if always { demand.lateral / s.sustained_allowed()? } else { 0.0 };
                (s.utilisation(&demand, c.nds)?, stays)
            }
            Fit::Ec5(s) => (s.utilisation(&demand, c.ec5)?, 0.0),
        };
        if stays > used.ratio {
            return Ok((stays, Mode::Sustained));
        }
        let mode = match used.governing {
            nds::Governing::Withdrawal => Mode::Withdrawal,
            nds::Governing::PullThrough => Mode::PullThrough,
            nds::Governing::Tension => Mode::Tension,
            nds::Governing::Lateral(_) => Mode::Lateral,
            nds::Governing::Combined => Mode::Combined,
            nds::Governing::Sustained => Mode::Sustained,
        };
        Ok((used.ratio, mode))
    }
}

impl Fit {
    /// The share of every mode that these forces ask of a landing with so many fasteners, the greatest first: it is that of
    /// [`Fit::used`].
    pub fn modes(&self, out: f64, down: f64, count: f64, c: &Combination) -> Vec<(Mode, f64)> {
        let demand = demand(out, down, count);
        let (up, across) = (demand.uplift.max(0.0), demand.lateral);
        let (share, withdrawal, head, tension, allowed, both) = match self {
            Fit::Nds(s) => (
                c.nds.factor().value,
                s.withdrawal,
                s.pull_through,
                s.tension,
                s.lateral_allowed(c.nds),
                s.utilisation(&demand, c.nds).map(|u| u.combined),
            ),
            Fit::Ec5(s) => (
                s.share(c.ec5),
                s.withdrawal,
                s.pull_through,
                s.tension,
                s.lateral_allowed(c.ec5),
                s.utilisation(&demand, c.ec5).map(|u| u.combined),
            ),
        };
        let mut all = Vec::with_capacity(6);
        if up > 0.0 {
            all.push((Mode::Withdrawal, up / (withdrawal * share)));
            all.extend(head.map(|h| (Mode::PullThrough, up / (h * share))));
            all.extend(tension.map(|t| (Mode::Tension, up / t)));
        }
        if across > 0.0 {
            all.extend(allowed.ok().map(|z| (Mode::Lateral, across / z)));
        }
        if up > 0.0 && across > 0.0 {
            all.extend(both.ok().map(|b| (Mode::Combined, b)));
        }
        if let (Fit::Nds(s), true) = (self, c.nds == nds::Duration::Permanent && across > 0.0) {
            all.extend(s.sustained_allowed().ok().map(|z| (Mode::Sustained, across / z)));
        }
        all.sort_by(|a, b| b.1.total_cmp(&a.1));
        all
    }
}

/// What each of a landing's fasteners gets.
fn demand(out: f64, down: f64, count: f64) -> nds::Demand {
    // A fastener goes either way down the slope or up it; the sign is of no weight.
    nds::Demand { uplift: out / count, lateral: down.abs() / count }
}

impl Basis {
    /// What a fastener in this seat holds.
    ///
    /// # Errors
    /// Why there is no value.
    pub fn fit(&self, seat: &Seat) -> Result<Fit, NotComputed> {
        match self.wood_of(seat.wood) {
            Wood::Nds { .. } => self.nds_joint(seat).ok_or(MIXED)?.strength().map(Fit::Nds),
            Wood::Ec5 { .. } => self.ec5_joint(seat).ok_or(MIXED)?.strength().map(Fit::Ec5),
        }
    }

    /// The hand calculation of one fastener in this seat.
    ///
    /// # Errors
    /// Why there is none.
    pub fn by_hand(
        &self,
        seat: &Seat,
        out: f64,
        down: f64,
        count: f64,
        c: &Combination,
    ) -> Result<Vec<Step>, NotComputed> {
        let demand = demand(out, down, count);
        match self.wood_of(seat.wood) {
            Wood::Nds { .. } => self.nds_joint(seat).ok_or(MIXED)?.steps(&demand, c.nds),
            Wood::Ec5 { .. } => self.ec5_joint(seat).ok_or(MIXED)?.steps(&demand, c.ec5),
        }
    }

    /// Sources from memory that verdicts rest on, each once, in the order of the calculation. `seats` has one of each wood
    /// that backs a fastener.
    pub fn sources_from_memory(&self, seats: &[Seat]) -> Memory {
        let recalled = |sources: &mut dyn Iterator<Item = Source>| {
            let mut all: Vec<String> = Vec::new();
            for source in sources {
                if source.mark.is_from_memory() && !all.iter().any(|a| a == source.text) {
                    all.push(source.text.to_owned());
                }
            }
            all
        };
        let of_steps = |steps: Vec<Step>| steps.into_iter().map(|s| s.source).collect::<Vec<Source>>();
        let any = self.combinations.first();
        let woods = |wood: &Wood| match wood {
            Wood::Nds { members, battens, .. } => (members.source, battens.source),
            Wood::Ec5 { members, battens, .. } => (members.source, battens.source),
        };
        let battens = woods(&self.wood).1;
        let mut loads = of_steps(self.steps.wind.clone());
        // Every line of a zone has the same sources at every area.
        loads.extend(self.wind.iter().flat_map(|s| &s.values).flat_map(|z| of_steps(z.law.steps(0.0))));
        loads.extend(self.wind.iter().flat_map(|s| s.towards.iter().map(|l| l.source)));
        loads.extend(self.wind.iter().filter_map(|s| s.rule).map(AreaRule::source));
        loads.extend(self.steps.snow.iter().flatten().map(|s| s.source));
        loads.extend(self.combinations.iter().map(|c| c.source));
        loads.extend(self.combinations.iter().filter_map(|c| path::in_parts(self, c)));
        // A newton both ways, so that every line is written.
        let mut landing = Vec::new();
        for seat in seats {
            let lines = any.and_then(|c| self.by_hand(seat, 1.0, 1.0, 1.0, c).ok());
            landing.extend(of_steps(lines.unwrap_or_default()));
            landing.push(woods(self.wood_of(seat.wood)).0);
        }
        landing.push(battens);
        let board = self.board.as_ref().zip(any).and_then(|(b, c)| b.steps(1.0, 1.0, c).ok()).unwrap_or_default();
        let clip = match (&self.clip, any) {
            (Some(Ok(hold)), Some(c)) => hold.by_hand(&self.wood, 1.0, c).unwrap_or_default(),
            _ => Vec::new(),
        };
        let serving = self.combinations.iter().filter(|c| c.service.is_some() && self.asks_service());
        Memory {
            service: recalled(&mut serving.map(|c| c.at_service().source)),
            loads: recalled(&mut loads.into_iter()),
            landing: recalled(&mut landing.into_iter()),
            board: recalled(&mut of_steps(board).into_iter().chain([battens])),
            clip: recalled(&mut of_steps(clip).into_iter().chain([battens])),
        }
    }

    fn nds_joint(&self, seat: &Seat) -> Option<nds::Joint<'_>> {
        let Wood::Nds { members, battens, moisture, temperature } = self.wood_of(seat.wood) else { return None };
        let quarter = std::f64::consts::FRAC_PI_2;
        let (tilt, penetration, countable) = self.leaning(seat);
        Some(nds::Joint {
            fastener: &self.fastener,
            side_gravity: battens.gravity,
            side_thickness: self.thickness,
            gap: seat.gap,
            main_gravity: members.gravity,
            penetration,
            countable: shortened(countable, penetration),
            tilt,
            side_angle: quarter,
            main_angle: if seat.across { quarter } else { 0.0 },
            end_grain: false,
            moisture: *moisture,
            temperature: *temperature,
        })
    }

    fn ec5_joint(&self, seat: &Seat) -> Option<ec5::Joint<'_>> {
        let Wood::Ec5 { members, battens, class, green, predrilled } = self.wood_of(seat.wood) else { return None };
        let quarter = std::f64::consts::FRAC_PI_2;
        let (tilt, penetration, countable) = self.leaning(seat);
        Some(ec5::Joint {
            fastener: &self.fastener,
            side_density: battens.density,
            side_thickness: self.thickness,
            gap: seat.gap,
            main_density: members.density,
            penetration,
            countable: shortened(countable, penetration),
            tilt,
            side_angle: quarter,
            main_angle: if seat.across { quarter } else { 0.0 },
            predrilled: *predrilled,
            green: *green,
            class: *class,
        })
    }
}

/// The hottest that EN 1995-1-1 covers, kelvin (1.1.1: 60 C).
const EC5_HOTTEST: f64 = 333.15;

/// What of a penetration may count, where that is less than all of it, metres.
fn shortened(countable: f64, penetration: f64) -> Option<f64> {
    (countable < penetration - SHORTER).then_some(countable)
}

/// Two lengths nearer than this are one, metres.
const SHORTER: f64 = 1e-9;

/// A joint asked of the other rule set.
const MIXED: NotComputed = NotComputed::NotCovered { what: "the fastener", why: "rule sets are never mixed" };
