//! The fastener in its place: batten, gap, member.

use super::factors::{Duration, Moisture, TOE_NAIL, Temperature};
use super::formulas::{Bearing, PullThrough, QUARTER, Withdrawal};
use crate::capacity::dowel::{Dowel, GENERAL_DOWEL, Mode, Written};
use crate::capacity::fastener::{Fastener, FastenerKind};
use crate::capacity::fault::{NotComputed, finite, not_negative, positive, within};
use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{INCH, LBF, LBF_INCH, LBF_PER_INCH, PSI, num};
use crate::quantity::maths::{cos, hypot};

/// Divisor of the least yield load for load that stays (dead load down the slope through a gap). Fitted: with it the gap
/// equations reproduce all nail entries of the furring table of the building code (IBC 2018 Table 2603.13.2).
pub const SUSTAINED_DIVISOR: f64 = 3.0;

const SUSTAINED: Source = Source::new("fitted to IBC 2018 Table 2603.13.2 (furring over foam)", Mark::Computed);
const PENETRATION: Source = Source::new("NDS-2018 12.1.5, 12.1.6 and 12.3.5.3", Mark::FromMemory);
const REDUCTION: Source = Source::new("NDS-2018 Table 12.3.1B", Mark::FromMemory);
const INTERACTION: Source = Source::new("NDS-2018 12.4", Mark::FromMemory);
const FLANGE: Source = Source::new("what lies past the member or its flange holds nothing", Mark::Computed);
const TILT: Source = Source::new(
    "own rule: lengths square to the face up to 10 degrees of tilt, toe-nail factors beyond",
    Mark::Computed,
);

/// Tilt up to which a fastener counts as driven square, radians (own rule).
const SQUARE_TILT: f64 = 10.0 * std::f64::consts::PI / 180.0;
/// Tilt beyond which no rule is given, radians.
const MOST_TILT: f64 = 60.0 * std::f64::consts::PI / 180.0;

/// One fastener in its place. Metres, radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint<'a> {
    /// The fastener.
    pub fastener: &'a Fastener,
    /// Specific gravity of the batten.
    pub side_gravity: f64,
    /// Thickness of the batten, m.
    pub side_thickness: f64,
    /// Everything between batten and member that carries nothing, square to the face, m.
    pub gap: f64,
    /// Specific gravity of the member (of its flange, for an I-joist).
    pub main_gravity: f64,
    /// Length of the fastener inside the member, point included, along the fastener, m.
    pub penetration: f64,
    /// Greatest length along the fastener that may count, if the member has a flange, m.
    pub countable: Option<f64>,
    /// Angle between the fastener and the square to the face, radians.
    pub tilt: f64,
    /// Angle between the lateral load and the batten's grain, radians (for fasteners from 1/4 in on).
    pub side_angle: f64,
    /// Angle between the lateral load and the member's grain, radians.
    pub main_angle: f64,
    /// Whether the fastener goes into end grain.
    pub end_grain: bool,
    /// Moisture.
    pub moisture: Moisture,
    /// Temperature.
    pub temperature: Temperature,
}

/// Lateral strength of one fastener.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lateral {
    /// Yield loads P of the six modes in the order of [`Mode::ALL`], N.
    pub loads: [f64; 6],
    /// The mode with the least P / Rd.
    pub mode: Mode,
    /// Least yield load P over the modes, N.
    pub yield_load: f64,
    /// Reference lateral value Z = min P / Rd, N.
    pub reference: f64,
    /// Product of all factors but CD.
    pub factor: f64,
}

/// What one fastener holds, before load duration.
#[derive(Debug, Clone, PartialEq)]
pub struct Strength {
    /// Withdrawal W p with all factors but CD, N.
    pub withdrawal: f64,
    /// Head pull-through with all factors but CD, N; `None`: the head is not known, not checked.
    pub pull_through: Option<f64>,
    /// The maker's tension strength, N; `None`: not given, not checked. No CD.
    pub tension: Option<f64>,
    /// Lateral strength, or why there is none.
    pub lateral: Result<Lateral, NotComputed>,
    /// Worst mark of the values that it rests on.
    pub mark: Mark,
    /// Whether nails or screws interact.
    kind: FastenerKind,
}

/// What decides.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Governing {
    /// Withdrawal from the member.
    Withdrawal,
    /// The head through the batten.
    PullThrough,
    /// Tension in the steel.
    Tension,
    /// Lateral yield.
    Lateral(Mode),
    /// Withdrawal (or the head) and lateral load together.
    Combined,
    /// Load that stays, down the slope, against the yield load over [`SUSTAINED_DIVISOR`].
    Sustained,
}

impl Governing {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Withdrawal => "withdrawal",
            Self::PullThrough => "head pull-through",
            Self::Tension => "tension in the steel",
            Self::Lateral(_) => "lateral yield",
            Self::Combined => "uplift and lateral load together",
            Self::Sustained => "dead load down the slope, sustained",
        }
    }
}

/// Demand on one fastener, N.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Demand {
    /// Along the fastener, positive pulls it out; below zero the batten bears and nothing is withdrawn.
    pub uplift: f64,
    /// Across the fastener (down the slope), N.
    pub lateral: f64,
}

/// Demand over capacity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Utilisation {
    /// Uplift over the least axial strength.
    pub axial: f64,
    /// Lateral demand over Z'.
    pub lateral: f64,
    /// By the interaction rule.
    pub combined: f64,
    /// The greatest of the three.
    pub ratio: f64,
    /// What decides.
    pub governing: Governing,
}

/// Interaction of withdrawal and lateral load (NDS 12.4) as a utilisation: with axial ratio `a = R sin / W'` and lateral
/// ratio `l = R cos / Z'`, nails reach 1 at `a + l = 1`. For screws the rule is Hankinson's; with `r = R / Z_a`.
#[must_use]
pub fn combined(nail: bool, uplift: f64, axial: f64, lateral: f64, allowed: f64) -> f64 {
    let uplift = uplift.max(0.0);
    if nail {
        return uplift / axial + lateral / allowed;
    }
    let r = hypot(uplift, lateral);
    if r == 0.0 { 0.0 } else { (lateral * lateral / allowed + uplift * uplift / axial) / r }
}

/// Lengths that follow from the joint.
struct Lengths {
    /// Countable penetration along the fastener, m.
    counted: f64,
    /// Length that holds against withdrawal, m.
    holds: f64,
    /// Square to the face, m.
    depth: f64,
    /// What the least penetration is asked of, m: the depth, of a lag screw without its tip.
    least: f64,
    /// Bearing length in the member, m.
    bearing: f64,
    toe: bool,
}

impl Joint<'_> {
    fn lengths(&self) -> Result<Lengths, NotComputed> {
        let f = self.fastener;
        positive("penetration", self.penetration)?;
        within("tilt of the fastener, radians", self.tilt, 0.0, MOST_TILT)?;
        let counted = match self.countable {
            Some(most) => self.penetration.min(positive("countable length of the flange", most)?),
            None => self.penetration,
        };
        let thread = f.thread.ok_or(NotComputed::NotCovered {
            what: "withdrawal",
            why: "the length of the rings or thread is not known: give it",
        })?;
        // The thread starts at the point. Where the point passes below the flange, only the part inside the flange holds.
        let below = self.penetration - counted;
        let tip = if f.kind == FastenerKind::LagScrew { f.tip.value } else { 0.0 };
        let holds = (counted.min(thread.value - below) - (tip - below).max(0.0)).max(0.0);
        let toe = self.tilt > SQUARE_TILT;
        let depth = counted * cos(self.tilt);
        let least = depth - (tip - below).max(0.0) * cos(self.tilt);
        // The tapered point is cut off by half, unless it lies below the flange.
        let bearing = depth - (f.tip.value / 2.0 - below).max(0.0) * cos(self.tilt);
        Ok(Lengths { counted, holds, depth, least, bearing, toe })
    }

    /// Reference withdrawal, N/m: the maker's, or by the equation.
    fn withdrawal(&self) -> Known {
        let by_equation = self.withdrawal_equation();
        self.fastener.reference_withdrawal.unwrap_or_else(|| Known::new(by_equation.value(), by_equation.source()))
    }

    fn withdrawal_equation(&self) -> Withdrawal {
        Withdrawal { kind: self.fastener.kind, gravity: self.main_gravity, diameter: self.fastener.diameter }
    }

    /// Reference head pull-through, N: the maker's, or by the equation; `None` where the head is not known.
    fn pull_through(&self) -> Option<Known> {
        let by_equation = || self.head().map(|(h, _)| Known::new(h.value(), PullThrough::SOURCE));
        self.fastener.reference_pull_through.or_else(by_equation)
    }

    fn head(&self) -> Option<(PullThrough, Known)> {
        self.fastener.head.map(|head| {
            (PullThrough { gravity: self.side_gravity, head: head.value, thickness: self.side_thickness }, head)
        })
    }

    fn withdrawal_moisture(&self, toe: bool) -> Known {
        match self.fastener.kind {
            FastenerKind::WoodScrew | FastenerKind::LagScrew => self.moisture.screw_withdrawal(),
            _ if toe => Known::new(1.0, TOE_NAIL),
            FastenerKind::RingShankNail => self.moisture.ring_withdrawal(),
            FastenerKind::SmoothNail | FastenerKind::StainlessNail => self.moisture.smooth_withdrawal(),
        }
    }

    fn check(&self) -> Result<(), NotComputed> {
        within("specific gravity of the batten", self.side_gravity, 0.2, 1.0)?;
        within("specific gravity of the member", self.main_gravity, 0.2, 1.0)?;
        positive("thickness of the batten", self.side_thickness)?;
        not_negative("gap", self.gap)?;
        finite("angle of load to grain", self.side_angle)?;
        finite("angle of load to grain", self.main_angle)?;
        if self.end_grain && self.fastener.kind != FastenerKind::LagScrew {
            return Err(NotComputed::NotCovered {
                what: "withdrawal",
                why: "nails and wood screws in end grain carry none (NDS-2018 12.5.1)",
            });
        }
        Ok(())
    }

    fn dowel_diameter(&self) -> f64 {
        self.fastener.root.value
    }

    /// Rd of each mode (NDS Table 12.3.1B): KD below 1/4 in; KD Ktheta for a thread whose nominal diameter is 1/4 in or more
    /// and whose root is less (footnote 1); else by the mode.
    fn reduction(&self, mode: Mode) -> f64 {
        let root = self.dowel_diameter();
        let d = root / INCH;
        let thin = if d <= 0.17 { 2.2 } else { 10.0 * d + 0.5 };
        if self.fastener.diameter < QUARTER {
            return thin;
        }
        let theta = self.side_angle.abs().max(self.main_angle.abs()).to_degrees().min(90.0);
        let k = 1.0 + 0.25 * theta / 90.0;
        if root < QUARTER {
            return k * thin;
        }
        k * match mode {
            Mode::Im | Mode::Is => 4.0,
            Mode::Two => 3.6,
            Mode::ThreeM | Mode::ThreeS | Mode::Four => 3.2,
        }
    }

    fn bearings(&self) -> (Bearing, Bearing) {
        let f = self.fastener;
        (
            Bearing { gravity: self.side_gravity, diameter: f.diameter, angle: self.side_angle },
            Bearing { gravity: self.main_gravity, diameter: f.diameter, angle: self.main_angle },
        )
    }

    fn dowel(&self, lengths: &Lengths) -> Dowel {
        let f = self.fastener;
        let d = self.dowel_diameter();
        let moment = f.bending_yield.value * d * d * d / 6.0;
        let (side, main) = self.bearings();
        Dowel {
            side: side.value() * d,
            main: main.value() * d,
            side_length: self.side_thickness,
            main_length: lengths.bearing,
            gap: self.gap,
            side_moment: moment,
            main_moment: moment,
        }
    }

    fn least_depth(&self) -> f64 {
        self.fastener.diameter * if self.fastener.kind == FastenerKind::LagScrew { 4.0 } else { 6.0 }
    }

    fn lateral(&self, lengths: &Lengths) -> Result<Lateral, NotComputed> {
        let least = self.least_depth();
        // A micrometre of grace: a length of exactly 6 D must not fail on rounding.
        if lengths.least < least - 1e-6 || lengths.bearing <= 0.0 {
            return Err(NotComputed::BelowMinimum {
                what: "penetration into the member, m",
                value: lengths.least,
                least,
                clause: PENETRATION.text,
            });
        }
        let loads = self.dowel(lengths).loads();
        let mut best = (f64::INFINITY, Mode::Im);
        let mut yield_load = f64::INFINITY;
        for (mode, load) in Mode::ALL.into_iter().zip(loads) {
            let z = load / self.reduction(mode);
            yield_load = yield_load.min(load);
            if z < best.0 {
                best = (z, mode);
            }
        }
        let thin = self.fastener.diameter < QUARTER;
        let factor = self.moisture.lateral(thin).value
            * self.temperature.factor(self.moisture.wet_in_service()).value
            * if lengths.toe { 0.83 } else { 1.0 }
            * if self.end_grain { 0.67 } else { 1.0 };
        Ok(Lateral { loads, mode: best.1, yield_load, reference: best.0, factor })
    }

    /// What the fastener holds. Makes no text.
    ///
    /// # Errors
    /// Input that is no number, below zero or outside the rules; a thread length that is not known; end grain.
    pub fn strength(&self) -> Result<Strength, NotComputed> {
        self.check()?;
        let lengths = self.lengths()?;
        let ct = self.temperature.factor(self.moisture.wet_in_service());
        let cm = self.withdrawal_moisture(lengths.toe);
        let end = if self.end_grain { 0.75 } else { 1.0 };
        let toe = if lengths.toe { 0.67 } else { 1.0 };
        let withdrawal = self.withdrawal().value * lengths.holds * cm.value * ct.value * end * toe;
        let head = self.pull_through();
        let pull_through = head.map(|h| h.value * self.moisture.pull_through().value * ct.value);
        let f = self.fastener;
        let mut mark = self.withdrawal().source.mark.max(f.bending_yield.source.mark);
        mark = mark.max(f.root.source.mark).max(cm.source.mark);
        if f.kind == FastenerKind::LagScrew {
            mark = mark.max(f.tip.source.mark);
        }
        if let Some(head) = head {
            mark = mark.max(head.source.mark).max(self.moisture.pull_through().source.mark);
        }
        if let Some((_, head)) = self.head().filter(|_| f.reference_pull_through.is_none()) {
            mark = mark.max(head.source.mark);
        }
        if let Some(thread) = f.thread {
            mark = mark.max(thread.source.mark);
        }
        Ok(Strength {
            withdrawal,
            pull_through,
            tension: f.tension.map(|t| t.value),
            lateral: self.lateral(&lengths),
            mark,
            kind: f.kind,
        })
    }

    /// The whole hand calculation: strength, then the demand against it.
    ///
    /// # Errors
    /// As [`Joint::strength`] and [`Strength::utilisation`].
    pub fn steps(&self, demand: &Demand, duration: Duration) -> Result<Vec<Step>, NotComputed> {
        let strength = self.strength()?;
        let lengths = self.lengths()?;
        let mut steps = Vec::with_capacity(40);
        self.length_steps(&lengths, &mut steps);
        let cd = duration.factor();
        steps.push(Step::input("CD", "load duration factor", cd.value, "", cd.source));
        let axial = self.axial_steps(&strength, &lengths, cd.value, &mut steps);
        let allowed = match &strength.lateral {
            Ok(lateral) => Some(self.lateral_steps(lateral, &lengths, cd.value, &mut steps)),
            Err(_) => None,
        };
        let u = strength.utilisation(demand, duration)?;
        let (up, down) = (demand.uplift.max(0.0) / LBF, demand.lateral / LBF);
        steps.push(Step::new(
            "u_axial",
            "uplift over axial strength",
            "R_up / F_ax'",
            format!("{} / {}", num(up), num(axial)),
            u.axial,
        ));
        if let Some(z) = allowed {
            steps.push(Step::new(
                "u_lateral",
                "lateral load over lateral strength",
                "R_lat / Z'",
                format!("{} / {}", num(down), num(z)),
                u.lateral,
            ));
            if up > 0.0 || down > 0.0 {
                let (formula, numbers) = if self.fastener.kind.is_nail() {
                    ("R_lat / Z' + R_up / F_ax'", format!("{}/{} + {}/{}", num(down), num(z), num(up), num(axial)))
                } else {
                    (
                        "(R_lat^2 / Z' + R_up^2 / F_ax') / sqrt(R_lat^2 + R_up^2)",
                        format!(
                            "({d}^2/{} + {u}^2/{}) / sqrt({d}^2 + {u}^2)",
                            num(z),
                            num(axial),
                            d = num(down),
                            u = num(up)
                        ),
                    )
                };
                steps.push(Step::new("u", "both together", formula, numbers, u.combined).source(INTERACTION));
            }
        }
        Ok(steps)
    }

    fn length_steps(&self, lengths: &Lengths, steps: &mut Vec<Step>) {
        let f = self.fastener;
        let inch = |symbol, what, v: f64, source| Step::input(symbol, what, v / INCH, "in", source);
        steps.push(inch("D", "diameter of the fastener", f.diameter, Source::GIVEN));
        steps.push(inch("L", "length of the fastener", f.length, Source::GIVEN));
        steps.push(inch("ts", "thickness of the batten", self.side_thickness, Source::GIVEN));
        steps.push(inch("g", "gap: everything between batten and member", self.gap, Source::GEOMETRY));
        steps.push(inch("p_found", "length inside the member, point included", self.penetration, Source::GEOMETRY));
        if let Some(most) = self.countable {
            steps.push(
                Step::new(
                    "p",
                    "countable length: what of it lies in the member, of an I-joist in its flange",
                    "min(p_found, p_in)",
                    format!("min({}, {})", num(self.penetration / INCH), num(most / INCH)),
                    lengths.counted / INCH,
                )
                .unit("in")
                .source(FLANGE),
            );
        }
        if let Some(thread) = f.thread.filter(|_| f.kind.is_threaded()) {
            steps.push(inch("l_thread", "length of rings or thread from the point", thread.value, thread.source));
        }
        if f.kind == FastenerKind::LagScrew {
            steps.push(inch("E", "tapered tip, which holds nothing", f.tip.value, f.tip.source));
        }
        steps.push(inch("p_holds", "length that holds against withdrawal", lengths.holds, Source::GEOMETRY));
        if self.tilt > 0.0 {
            steps.push(Step::input("a", "tilt from the square", self.tilt.to_degrees(), "deg", Source::GEOMETRY));
            steps.push(
                Step::new(
                    "p_sq",
                    "penetration square to the face",
                    "p cos a",
                    format!("{} * cos({})", num(lengths.counted / INCH), num(self.tilt.to_degrees())),
                    lengths.depth / INCH,
                )
                .unit("in")
                .source(TILT),
            );
        }
    }

    /// Steps of the axial strength; answers F_ax' in lbf.
    fn axial_steps(&self, strength: &Strength, lengths: &Lengths, cd: f64, steps: &mut Vec<Step>) -> f64 {
        let f = self.fastener;
        steps.push(Step::input("G_m", "specific gravity of the member", self.main_gravity, "", Source::GIVEN));
        let w = self.withdrawal();
        steps.push(match f.reference_withdrawal {
            Some(w) => {
                let what = "reference withdrawal per inch that holds, by the maker";
                Step::input("W", what, w.value / LBF_PER_INCH, "lbf/in", w.source)
            }
            None => self.withdrawal_equation().step(),
        });
        let cm = self.withdrawal_moisture(lengths.toe);
        let ct = self.temperature.factor(self.moisture.wet_in_service());
        steps.push(Step::input("CM_w", "moisture factor, withdrawal", cm.value, "", cm.source));
        steps.push(Step::input("Ct", "temperature factor", ct.value, "", ct.source));
        let mut factors = format!("{} * {} * {}", num(cd), num(cm.value), num(ct.value));
        if lengths.toe {
            steps.push(Step::input("Ctn_w", "toe-nail factor, withdrawal", 0.67, "", TOE_NAIL));
            factors.push_str(" * 0.67");
        }
        if self.end_grain {
            factors.push_str(" * 0.75");
        }
        let withdrawn = strength.withdrawal * cd / LBF;
        steps.push(
            Step::new(
                "W' p",
                "withdrawal strength",
                "W p_holds times the factors",
                format!("{} * {} * {factors}", num(w.value / LBF_PER_INCH), num(lengths.holds / INCH)),
                withdrawn,
            )
            .unit("lbf")
            .source(w.source),
        );
        let mut all = vec![withdrawn];
        if let (Some(pull), Some(value)) = (self.pull_through(), strength.pull_through) {
            match (f.reference_pull_through, self.head()) {
                (None, Some((equation, head))) => {
                    let gravity = self.side_gravity;
                    steps.push(Step::input("G_s", "specific gravity of the batten", gravity, "", Source::GIVEN));
                    steps.push(Step::input("DH", "head diameter", head.value / INCH, "in", head.source));
                    steps.push(equation.step());
                }
                _ => {
                    let what = "head pull-through in the batten, by the maker";
                    steps.push(Step::input("WH", what, pull.value / LBF, "lbf", pull.source));
                }
            }
            let cm = self.moisture.pull_through();
            steps.push(Step::input("CM_h", "moisture factor, head pull-through", cm.value, "", cm.source));
            steps.push(
                Step::new(
                    "WH'",
                    "head pull-through strength",
                    "WH CD CM_h Ct",
                    format!("{} * {} * {} * {}", num(pull.value / LBF), num(cd), num(cm.value), num(ct.value)),
                    value * cd / LBF,
                )
                .unit("lbf")
                .source(pull.source),
            );
            all.push(value * cd / LBF);
        }
        if let Some(t) = f.tension {
            steps.push(Step::input(
                "T",
                "tension strength of the fastener by its maker",
                t.value / LBF,
                "lbf",
                t.source,
            ));
            all.push(t.value / LBF);
        }
        let least = all.iter().copied().fold(f64::INFINITY, f64::min);
        let list: Vec<String> = all.iter().map(|v| num(*v)).collect();
        steps.push(
            Step::new("F_ax'", "axial strength", "the least of these", format!("min({})", list.join(", ")), least)
                .unit("lbf"),
        );
        least
    }

    /// Steps of the lateral strength; answers Z' in lbf.
    fn lateral_steps(&self, lateral: &Lateral, lengths: &Lengths, cd: f64, steps: &mut Vec<Step>) -> f64 {
        let f = self.fastener;
        let d = self.dowel_diameter();
        if f.kind.is_threaded() {
            steps.push(Step::input("Dr", "root diameter, which bends and bears", d / INCH, "in", f.root.source));
        }
        let fyb = f.bending_yield;
        steps.push(Step::input("Fyb", "bending yield strength", fyb.value / PSI, "psi", fyb.source));
        let (side, main) = self.bearings();
        steps.push(side.step("Fe_s", "dowel bearing strength of the batten"));
        steps.push(main.step("Fe_m", "dowel bearing strength of the member"));
        let dowel = self.dowel(lengths);
        let depth = lengths.depth / INCH;
        let (formula, numbers) = if lengths.bearing == lengths.depth {
            ("p square to the face", num(lengths.bearing / INCH))
        } else {
            ("p - E/2 within the member", format!("{} - {}", num(depth), num(depth - lengths.bearing / INCH)))
        };
        steps.push(
            Step::new("l_m", "bearing length in the member", formula, numbers, lengths.bearing / INCH)
                .unit("in")
                .source(PENETRATION),
        );
        let root = f.kind.is_threaded();
        let (din, fes, fem) = (num(d / INCH), num(side.value() / PSI), num(main.value() / PSI));
        steps.push(
            Step::new(
                "q_s",
                "bearing of the batten per inch",
                if root { "Fe_s Dr" } else { "Fe_s D" },
                format!("{fes} * {din}"),
                dowel.side / LBF_PER_INCH,
            )
            .unit("lbf/in"),
        );
        steps.push(
            Step::new(
                "q_m",
                "bearing of the member per inch",
                if root { "Fe_m Dr" } else { "Fe_m D" },
                format!("{fem} * {din}"),
                dowel.main / LBF_PER_INCH,
            )
            .unit("lbf/in"),
        );
        steps.push(
            Step::new(
                "M",
                "moment of the fastener",
                if root { "Fyb Dr^3 / 6" } else { "Fyb D^3 / 6" },
                format!("{} * {din}^3 / 6", num(fyb.value / PSI)),
                dowel.side_moment / LBF_INCH,
            )
            .unit("lbf in")
            .source(Source::new("NDS-2018 12.3.1 and AWC TR12", Mark::FromMemory)),
        );
        steps.extend(dowel.steps(Written::Inches, GENERAL_DOWEL));
        let rd: Vec<(f64, f64)> =
            Mode::ALL.iter().zip(lateral.loads).map(|(&m, p)| (p / LBF, self.reduction(m))).collect();
        steps.push(Step::input(
            "Rd",
            "reduction term of the governing mode",
            self.reduction(lateral.mode),
            "",
            REDUCTION,
        ));
        let list: Vec<String> = rd.iter().map(|(p, r)| format!("{}/{}", num(*p), num(*r))).collect();
        steps.push(
            Step::new(
                "Z",
                lateral.mode.words(),
                "min of P / Rd over the modes",
                format!("min({})", list.join(", ")),
                lateral.reference / LBF,
            )
            .unit("lbf")
            .source(REDUCTION),
        );
        let z = lateral.reference * lateral.factor * cd / LBF;
        const FACTORS: Source = Source::new("NDS-2018 Table 11.3.1", Mark::FromMemory);
        let what = "moisture, temperature, toe-nail and end-grain factors, multiplied";
        steps.push(Step::input("C_lat", what, lateral.factor, "", FACTORS));
        steps.push(
            Step::new(
                "Z'",
                "lateral strength",
                "Z CD C_lat",
                format!("{} * {} * {}", num(lateral.reference / LBF), num(cd), num(lateral.factor)),
                z,
            )
            .unit("lbf")
            .source(FACTORS),
        );
        steps.push(
            Step::new(
                "Z_dead",
                "lateral strength against load that stays",
                "min P / 3 (fitted divisor)",
                format!("{} / {}", num(lateral.yield_load / LBF), num(SUSTAINED_DIVISOR)),
                lateral.yield_load / SUSTAINED_DIVISOR / LBF,
            )
            .unit("lbf")
            .source(SUSTAINED),
        );
        z
    }
}

impl Strength {
    /// Least axial strength for a load of this duration, N, and what decides.
    #[must_use]
    pub fn axial(&self, duration: Duration) -> (f64, Governing) {
        let cd = duration.factor().value;
        let mut least = (self.withdrawal * cd, Governing::Withdrawal);
        if let Some(h) = self.pull_through.filter(|h| h * cd < least.0) {
            least = (h * cd, Governing::PullThrough);
        }
        if let Some(t) = self.tension.filter(|t| *t < least.0) {
            least = (t, Governing::Tension);
        }
        least
    }

    /// Lateral strength Z' for a load of this duration, N.
    ///
    /// # Errors
    /// Why there is no lateral value.
    pub fn lateral_allowed(&self, duration: Duration) -> Result<f64, NotComputed> {
        self.lateral.as_ref().map(|l| l.reference * l.factor * duration.factor().value).map_err(Clone::clone)
    }

    /// Lateral strength against load that stays, N: least yield load over [`SUSTAINED_DIVISOR`], no CD.
    ///
    /// # Errors
    /// Why there is no lateral value.
    pub fn sustained_allowed(&self) -> Result<f64, NotComputed> {
        self.lateral.as_ref().map(|l| l.yield_load / SUSTAINED_DIVISOR).map_err(Clone::clone)
    }

    /// Demand of one fastener over its strength. With no lateral demand a missing lateral value does not matter.
    ///
    /// # Errors
    /// A demand that is no number, a lateral demand below zero, or lateral demand where there is no lateral value; axial
    /// demand where no length holds.
    pub fn utilisation(&self, demand: &Demand, duration: Duration) -> Result<Utilisation, NotComputed> {
        let up = finite("uplift", demand.uplift)?.max(0.0);
        let down = not_negative("lateral load", demand.lateral)?;
        let (axial, axial_governs) = self.axial(duration);
        if up > 0.0 && axial <= 0.0 {
            return Err(NotComputed::BelowMinimum {
                what: "length that holds against withdrawal, m",
                value: 0.0,
                least: 0.0,
                clause: PENETRATION.text,
            });
        }
        let ratio_up = if up > 0.0 { up / axial } else { 0.0 };
        let (lateral, both, mode) = if down > 0.0 {
            let allowed = self.lateral_allowed(duration)?;
            let both = if up > 0.0 { combined(self.kind.is_nail(), up, axial, down, allowed) } else { down / allowed };
            (down / allowed, both, self.lateral.as_ref().map_or(Mode::Im, |l| l.mode))
        } else {
            (0.0, ratio_up, Mode::Im)
        };
        let (ratio, governing) = if up > 0.0 && down > 0.0 && both >= ratio_up.max(lateral) {
            (both, Governing::Combined)
        } else if lateral > ratio_up {
            (lateral, Governing::Lateral(mode))
        } else {
            (ratio_up, axial_governs)
        };
        Ok(Utilisation { axial: ratio_up, lateral, combined: both, ratio, governing })
    }
}
