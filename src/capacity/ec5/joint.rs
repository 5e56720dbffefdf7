//! The fastener in its place: batten, gap, member.

use super::factors::{Duration, GAMMA_CONNECTION, ServiceClass, kmod};
use crate::capacity::dowel::{Dowel, Mode, Written};
use crate::capacity::fastener::{Fastener, FastenerKind};
use crate::capacity::fault::{NotComputed, finite, not_negative, positive, within};
use crate::capacity::nds::{Demand, Governing, Utilisation};
use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{MM, N_PER_MM2, num};
use crate::quantity::maths::{cos, pow, sin_cos};

const SMOOTH: Source = Source::new("EN 1995-1-1 8.3.2 (8.25), (8.26)", Mark::FromMemory);
const NAIL_LENGTHS: Source = Source::new("EN 1995-1-1 8.3.2(7)", Mark::FromMemory);
const SCREW: Source = Source::new("EN 1995-1-1+A1 8.7.2 (8.38), (8.39)", Mark::Published);
const BEARING: Source = Source::new("EN 1995-1-1 8.3.1.1 (8.15), (8.16)", Mark::FromMemory);
const BEARING_THICK: Source = Source::new("EN 1995-1-1 8.5.1.1 (8.31) to (8.33)", Mark::FromMemory);
const MOMENT: Source = Source::new("EN 1995-1-1 8.3.1.1 (8.14)", Mark::FromMemory);
const SCREW_DIAMETER: Source = Source::new("EN 1995-1-1 8.7.1(3): 1.1 times the root", Mark::FromMemory);
const YIELD: Source =
    Source::new("EN 1995-1-1 8.2.2 (8.6) covers g = 0 only; gap terms from statics; no rope effect", Mark::Computed);
const YIELD_FACTORS: Source = Source::new("EN 1995-1-1 8.2.2 (8.6)", Mark::FromMemory);
const POINT_SIDE: Source = Source::new("EN 1995-1-1 8.3.1.2", Mark::FromMemory);
const DESIGN: Source = Source::new("EN 1995-1-1 2.4.3", Mark::FromMemory);
const TOGETHER_SMOOTH: Source = Source::new("EN 1995-1-1 8.3.3 (8.27)", Mark::FromMemory);
const TOGETHER: Source = Source::new("EN 1995-1-1 8.3.3 (8.28)", Mark::FromMemory);
const GREEN: Source = Source::new("EN 1995-1-1 8.3.2(8)", Mark::FromMemory);

/// Tilt beyond which no rule is given, radians: a screw needs 30 degrees to the grain.
const MOST_TILT: f64 = 60.0 * std::f64::consts::PI / 180.0;

/// One fastener in its place. Metres, radians, kg/m3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint<'a> {
    /// The fastener.
    pub fastener: &'a Fastener,
    /// Characteristic density of the batten, kg/m3.
    pub side_density: f64,
    /// Thickness of the batten, m.
    pub side_thickness: f64,
    /// Everything between batten and member that carries nothing, square to the face, m.
    pub gap: f64,
    /// Characteristic density of the member, kg/m3.
    pub main_density: f64,
    /// Length of the fastener inside the member, point included, along the fastener, m.
    pub penetration: f64,
    /// Greatest length along the fastener that may count, if the member has a flange, m.
    pub countable: Option<f64>,
    /// Angle between the fastener and the square to the face, radians.
    pub tilt: f64,
    /// Angle between the lateral load and the batten's grain, radians (counts for screws above 6 mm).
    pub side_angle: f64,
    /// Angle between the lateral load and the member's grain, radians.
    pub main_angle: f64,
    /// Whether the holes are predrilled.
    pub predrilled: bool,
    /// Whether the wood is near fibre saturation when built and will dry under load.
    pub green: bool,
    /// Service class.
    pub class: ServiceClass,
}

/// Characteristic lateral strength.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lateral {
    /// F_v,Rk of the six modes in the order of [`Mode::ALL`], N, with the factors 1.05 and 1.15.
    pub loads: [f64; 6],
    /// The least one's mode.
    pub mode: Mode,
    /// The least of them, N.
    pub characteristic: f64,
}

/// Characteristic strength of one fastener.
#[derive(Debug, Clone, PartialEq)]
pub struct Strength {
    /// Withdrawal from the member, N.
    pub withdrawal: f64,
    /// Head side: pull-through, for smooth nails with the shank in the batten, N; `None`: not known, not checked.
    pub pull_through: Option<f64>,
    /// The maker's design value in tension, N; `None`: not checked.
    pub tension: Option<f64>,
    /// Lateral strength, or why there is none.
    pub lateral: Result<Lateral, NotComputed>,
    /// Service class.
    pub class: ServiceClass,
    /// Worst mark of the values that it rests on.
    pub mark: Mark,
    smooth: bool,
}

/// Uplift and lateral load together: ratios are added for smooth nails (8.27), their squares for others (8.28).
#[must_use]
pub fn combined(smooth: bool, axial: f64, lateral: f64) -> f64 {
    if smooth { axial + lateral } else { axial * axial + lateral * lateral }
}

struct Lengths {
    holds: f64,
    depth: f64,
}

impl Joint<'_> {
    fn smooth(&self) -> bool {
        !self.fastener.kind.is_threaded()
    }

    fn screw(&self) -> bool {
        matches!(self.fastener.kind, FastenerKind::WoodScrew | FastenerKind::LagScrew)
    }

    fn check(&self) -> Result<Lengths, NotComputed> {
        within("characteristic density of the batten, kg/m3", self.side_density, 200.0, 800.0)?;
        within("characteristic density of the member, kg/m3", self.main_density, 200.0, 800.0)?;
        positive("thickness of the batten", self.side_thickness)?;
        not_negative("gap", self.gap)?;
        finite("angle of load to grain", self.side_angle)?;
        finite("angle of load to grain", self.main_angle)?;
        positive("penetration", self.penetration)?;
        within("tilt of the fastener, radians", self.tilt, 0.0, MOST_TILT)?;
        let counted = match self.countable {
            Some(most) => self.penetration.min(positive("countable length of the flange", most)?),
            None => self.penetration,
        };
        let thread = self.fastener.thread.ok_or(NotComputed::NotCovered {
            what: "withdrawal",
            why: "the length of the rings or thread is not known: give it",
        })?;
        let below = self.penetration - counted;
        let holds = counted.min(thread.value - below).max(0.0);
        Ok(Lengths { holds, depth: counted * cos(self.tilt) })
    }

    fn green_factor(&self) -> f64 {
        if self.green { 2.0 / 3.0 } else { 1.0 }
    }

    /// f_ax,k in N/mm2 of nails in wood of a density, without the green factor.
    fn nail_parameter(&self, density: f64) -> Result<Known, NotComputed> {
        match self.fastener.withdrawal {
            Some(given) => Ok(Known::new(given.value / N_PER_MM2, given.source)),
            None if self.smooth() => Ok(Known::new(20e-6 * density * density, SMOOTH)),
            None => Err(NotComputed::NotCovered {
                what: "withdrawal",
                why: "Eurocode 5 has no formula for ring-shank nails: give the maker's f_ax,k (EN 14592)",
            }),
        }
    }

    /// Factor for short penetration of nails, by p / d.
    fn nail_length_factor(&self, holds: f64) -> f64 {
        let p = holds / self.fastener.diameter;
        // A hair of grace for converted lengths.
        if self.smooth() {
            if p >= 12.0 {
                1.0
            } else if p < 8.0 - 1e-6 {
                0.0
            } else {
                p / 4.0 - 2.0
            }
        } else if p >= 8.0 {
            1.0
        } else if p < 6.0 - 1e-6 {
            0.0
        } else {
            p / 2.0 - 3.0
        }
    }

    /// f_ax,k of a screw, N/mm2, and k_d; the length in mm.
    fn screw_parameter(&self, holds: f64) -> Result<(Known, f64), NotComputed> {
        let d = self.fastener.diameter / MM;
        if let Some(given) = self.fastener.withdrawal {
            return Ok((Known::new(given.value / N_PER_MM2, given.source), 1.0));
        }
        let ratio = self.fastener.root.value / self.fastener.diameter;
        if !(5.999..=12.001).contains(&d) || !(0.6..=0.75).contains(&ratio) {
            return Err(NotComputed::NotCovered {
                what: "withdrawal",
                why: "EN 1995-1-1 8.7.2 covers screws of 6 to 12 mm with a root of 0.6 to 0.75 d: give the maker's f_ax,k",
            });
        }
        let l = holds / MM;
        Ok((Known::new(0.52 * pow(d, -0.5) * pow(l, -0.1) * pow(self.main_density, 0.8), SCREW), (d / 8.0).min(1.0)))
    }

    fn withdrawal(&self, lengths: &Lengths) -> Result<(f64, Mark), NotComputed> {
        let d = self.fastener.diameter / MM;
        let l = lengths.holds / MM;
        if !self.screw() {
            let f = self.nail_parameter(self.main_density)?;
            let factor = self.nail_length_factor(lengths.holds);
            if factor <= 0.0 {
                return Err(NotComputed::BelowMinimum {
                    what: "length that holds against withdrawal, m",
                    value: lengths.holds,
                    least: self.fastener.diameter * if self.smooth() { 8.0 } else { 6.0 },
                    clause: NAIL_LENGTHS.text,
                });
            }
            return Ok((f.value * self.green_factor() * d * l * factor, f.source.mark.max(NAIL_LENGTHS.mark)));
        }
        if l < 6.0 * d - 1e-3 {
            return Err(NotComputed::BelowMinimum {
                what: "thread that holds, m",
                value: lengths.holds,
                least: 6.0 * self.fastener.diameter,
                clause: "EN 1995-1-1 8.7.2(2)",
            });
        }
        let (f, kd) = self.screw_parameter(lengths.holds)?;
        let (s, c) = sin_cos(self.tilt);
        Ok((f.value * d * l * kd / (1.2 * s * s + c * c), f.source.mark))
    }

    /// f_head,k, N/mm2.
    fn head_parameter(&self) -> Option<Known> {
        match self.fastener.pull_through {
            Some(given) => Some(Known::new(given.value / N_PER_MM2, given.source)),
            None if self.smooth() => Some(Known::new(70e-6 * self.side_density * self.side_density, SMOOTH)),
            None => None,
        }
    }

    /// Head side, N: for smooth nails the shank in the batten helps.
    fn head_side(&self) -> Option<(f64, Mark)> {
        let (head, f) = (self.fastener.head?, self.head_parameter()?);
        let dh = head.value / MM;
        let shank = if self.smooth() {
            self.nail_parameter(self.side_density).ok()?.value * self.fastener.diameter / MM * self.side_thickness / MM
        } else {
            0.0
        };
        let mark = head.source.mark.max(f.source.mark);
        Some(((shank + f.value * dh * dh) * self.green_factor(), mark))
    }

    /// Diameter that bends and bears, m.
    fn dowel_diameter(&self) -> f64 {
        if self.screw() {
            (1.1 * self.fastener.root.value).min(self.fastener.diameter)
        } else {
            self.fastener.root.value
        }
    }

    fn thick(&self) -> bool {
        self.screw() && self.dowel_diameter() > 6.0 * MM
    }

    /// f_h,k, Pa.
    fn bearing(&self, density: f64, angle: f64) -> f64 {
        let d = self.dowel_diameter() / MM;
        N_PER_MM2
            * if self.thick() {
                let (s, c) = sin_cos(angle);
                0.082 * (1.0 - 0.01 * d) * density / ((1.35 + 0.015 * d) * s * s + c * c)
            } else if self.predrilled {
                0.082 * (1.0 - 0.01 * d) * density
            } else {
                0.082 * density * pow(d, -0.3)
            }
    }

    /// M_y,Rk, N m.
    fn yield_moment(&self) -> f64 {
        0.3 * self.fastener.steel_strength.value / N_PER_MM2 * pow(self.dowel_diameter() / MM, 2.6) * MM
    }

    fn dowel(&self, lengths: &Lengths) -> Dowel {
        let d = self.dowel_diameter();
        let moment = self.yield_moment();
        Dowel {
            side: self.bearing(self.side_density, self.side_angle) * d,
            main: self.bearing(self.main_density, self.main_angle) * d,
            side_length: self.side_thickness,
            main_length: lengths.depth,
            gap: self.gap,
            side_moment: moment,
            main_moment: moment,
        }
    }

    fn lateral(&self, lengths: &Lengths) -> Result<Lateral, NotComputed> {
        let least = self.fastener.diameter * if self.smooth() { 8.0 } else { 6.0 };
        if lengths.depth < least - 1e-6 {
            return Err(NotComputed::BelowMinimum {
                what: "penetration into the member, m",
                value: lengths.depth,
                least,
                clause: POINT_SIDE.text,
            });
        }
        let dowel = self.dowel(lengths);
        let loads = Mode::ALL.map(|m| dowel.load(m) * mode_factor(m));
        let mut best = (f64::INFINITY, Mode::Im);
        for (mode, load) in Mode::ALL.into_iter().zip(loads) {
            if load < best.0 {
                best = (load, mode);
            }
        }
        Ok(Lateral { loads, mode: best.1, characteristic: best.0 })
    }

    /// Characteristic strength. Makes no text.
    ///
    /// # Errors
    /// Input that is no number, below zero or outside the rules; penetration below what counts; a parameter that only
    /// the maker can give.
    pub fn strength(&self) -> Result<Strength, NotComputed> {
        let lengths = self.check()?;
        let (withdrawal, mut mark) = self.withdrawal(&lengths)?;
        let head = self.head_side();
        if let Some((_, m)) = head {
            mark = mark.max(m);
        }
        mark = mark.max(BEARING.mark).max(self.fastener.root.source.mark);
        Ok(Strength {
            withdrawal,
            pull_through: head.map(|h| h.0),
            tension: self.fastener.tension.map(|t| t.value),
            lateral: self.lateral(&lengths),
            class: self.class,
            mark,
            smooth: self.smooth(),
        })
    }

    /// The whole hand calculation: strength, then the design demand against it.
    ///
    /// # Errors
    /// As [`Joint::strength`] and [`Strength::utilisation`].
    pub fn steps(&self, demand: &Demand, duration: Duration) -> Result<Vec<Step>, NotComputed> {
        let lengths = self.check()?;
        let strength = self.strength()?;
        let u = strength.utilisation(demand, duration)?;
        let mut steps = Vec::with_capacity(40);
        let k = kmod(duration, self.class);
        let gamma = GAMMA_CONNECTION;
        let mm = |symbol, what, v: f64, source| Step::input(symbol, what, v / MM, "mm", source);
        steps.push(mm("d", "diameter of the fastener", self.fastener.diameter, Source::GIVEN));
        steps.push(mm("t1", "thickness of the batten", self.side_thickness, Source::GIVEN));
        steps.push(mm("g", "gap: everything between batten and member", self.gap, Source::GEOMETRY));
        steps.push(mm("p_found", "length inside the member, point included", self.penetration, Source::GEOMETRY));
        if let Some(most) = self.countable {
            let what = "countable length: what lies in the member, of an I-joist in its flange";
            steps.push(mm("p_in", what, most, Source::GEOMETRY));
        }
        if let Some(thread) = self.fastener.thread.filter(|_| !self.smooth()) {
            steps.push(mm("l_thread", "length of rings or thread from the point", thread.value, thread.source));
        }
        steps.push(mm("t_pen", "length that holds against withdrawal", lengths.holds, Source::GEOMETRY));
        steps.push(Step::input(
            "rho_2",
            "characteristic density of the member",
            self.main_density,
            "kg/m3",
            Source::GIVEN,
        ));
        steps.push(Step::input(
            "rho_1",
            "characteristic density of the batten",
            self.side_density,
            "kg/m3",
            Source::GIVEN,
        ));
        steps.push(Step::input("kmod", "modification factor", k.value, "", k.source));
        steps.push(Step::input("gamma_M", "partial factor of connections", gamma.value, "", gamma.source));
        let axial = self.axial_steps(&strength, &lengths, k.value / gamma.value, &mut steps)?;
        let up = demand.uplift.max(0.0);
        steps.push(Step::new(
            "u_ax",
            "uplift over design strength",
            "F_ax,Ed / F_ax,Rd",
            format!("{} / {}", num(up), num(axial)),
            u.axial,
        ));
        if let Ok(lateral) = &strength.lateral {
            let allowed = self.lateral_steps(lateral, &lengths, k.value / gamma.value, &mut steps);
            let down = demand.lateral;
            steps.push(Step::new(
                "u_v",
                "lateral load over design strength",
                "F_v,Ed / F_v,Rd",
                format!("{} / {}", num(down), num(allowed)),
                u.lateral,
            ));
            let (formula, numbers, source) = if self.smooth() {
                ("u_ax + u_v", format!("{} + {}", num(u.axial), num(u.lateral)), TOGETHER_SMOOTH)
            } else {
                ("u_ax^2 + u_v^2", format!("{}^2 + {}^2", num(u.axial), num(u.lateral)), TOGETHER)
            };
            steps.push(Step::new("u", "both together", formula, numbers, u.combined).source(source));
        }
        Ok(steps)
    }

    fn axial_steps(
        &self,
        strength: &Strength,
        lengths: &Lengths,
        share: f64,
        steps: &mut Vec<Step>,
    ) -> Result<f64, NotComputed> {
        let (d, l) = (self.fastener.diameter / MM, lengths.holds / MM);
        let (k, gamma) = (share * GAMMA_CONNECTION.value, GAMMA_CONNECTION.value);
        let green = self.green_factor();
        let what = if self.green {
            "factor for wood that dries under load"
        } else {
            "factor for wood that is dry when driven"
        };
        steps.push(Step::input("green", what, green, "", GREEN));
        if self.screw() {
            let (f, kd) = self.screw_parameter(lengths.holds)?;
            steps.push(if f.source.mark == Mark::Given {
                Step::input("f_ax,k", "withdrawal parameter by the maker", f.value, "N/mm2", f.source)
            } else {
                Step::new(
                    "f_ax,k",
                    "withdrawal parameter",
                    "0.52 d^-0.5 l_ef^-0.1 rho_2^0.8",
                    format!("0.52 * {}^(-0.5) * {}^(-0.1) * {}^0.8", num(d), num(l), num(self.main_density)),
                    f.value,
                )
                .unit("N/mm2")
                .source(f.source)
            });
            let angle = num(90.0 - self.tilt.to_degrees());
            steps.push(
                Step::new(
                    "F_ax,Rk",
                    "withdrawal; k_d = min(d/8, 1), or 1 with the maker's parameter; a: screw to grain",
                    "f_ax,k d l_ef k_d / (1.2 cos^2 a + sin^2 a)",
                    format!(
                        "{} * {} * {} * {} / (1.2 * cos({angle})^2 + sin({angle})^2)",
                        num(f.value),
                        num(d),
                        num(l),
                        num(kd)
                    ),
                    strength.withdrawal,
                )
                .unit("N")
                .source(SCREW),
            );
        } else {
            let f = self.nail_parameter(self.main_density)?;
            steps.push(self.parameter_step(
                "f_ax,k",
                "withdrawal parameter in the member",
                "20e-6 rho_2^2",
                "0.00002",
                self.main_density,
                f,
            ));
            let factor = self.nail_length_factor(lengths.holds);
            steps.push(Step::input("k_pen", "factor for short penetration", factor, "", NAIL_LENGTHS));
            steps.push(
                Step::new(
                    "F_ax,Rk",
                    "withdrawal",
                    "f_ax,k d t_pen k_pen green",
                    format!("{} * {} * {} * {} * {}", num(f.value), num(d), num(l), num(factor), num(green)),
                    strength.withdrawal,
                )
                .unit("N")
                .source(SMOOTH),
            );
        }
        let mut all = vec![format!("{} * {} / {}", num(k), num(strength.withdrawal), num(gamma))];
        if let (Some(value), Some(head), Some(f)) = (strength.pull_through, self.fastener.head, self.head_parameter()) {
            let dh = head.value / MM;
            steps.push(Step::input("d_h", "head diameter", dh, "mm", head.source));
            steps.push(self.parameter_step(
                "f_head,k",
                "head pull-through parameter",
                "70e-6 rho_1^2",
                "0.00007",
                self.side_density,
                f,
            ));
            let (formula, numbers) = if self.smooth() {
                let side = self.nail_parameter(self.side_density)?.value;
                (
                    "(f_ax,k,1 d t1 + f_head,k d_h^2) green",
                    format!(
                        "({} * {} * {} + {} * {}^2) * {}",
                        num(side),
                        num(d),
                        num(self.side_thickness / MM),
                        num(f.value),
                        num(dh),
                        num(green)
                    ),
                )
            } else {
                ("f_head,k d_h^2 green", format!("{} * {}^2 * {}", num(f.value), num(dh), num(green)))
            };
            steps.push(Step::new("F_head,Rk", "head side", formula, numbers, value).unit("N").source(SMOOTH));
            all.push(format!("{} * {} / {}", num(k), num(value), num(gamma)));
        }
        if let Some(t) = self.fastener.tension {
            steps.push(Step::input("F_t,Rd", "tension by the maker", t.value, "N", t.source));
            all.push(num(t.value));
        }
        let mut least = strength.withdrawal.min(strength.pull_through.unwrap_or(f64::INFINITY)) * share;
        if let Some(t) = strength.tension {
            least = least.min(t);
        }
        steps.push(
            Step::new(
                "F_ax,Rd",
                "axial design strength",
                "least of kmod F_Rk / gamma_M",
                format!("min({})", all.join(", ")),
                least,
            )
            .unit("N")
            .source(DESIGN),
        );
        Ok(least)
    }

    fn parameter_step(
        &self,
        symbol: &'static str,
        what: &'static str,
        formula: &'static str,
        factor: &str,
        density: f64,
        known: Known,
    ) -> Step {
        if known.source.mark == Mark::Given {
            return Step::input(symbol, what, known.value, "N/mm2", known.source);
        }
        Step::new(symbol, what, formula, format!("{factor} * {}^2", num(density)), known.value)
            .unit("N/mm2")
            .source(known.source)
    }

    fn lateral_steps(&self, lateral: &Lateral, lengths: &Lengths, share: f64, steps: &mut Vec<Step>) -> f64 {
        let d = self.dowel_diameter() / MM;
        if self.screw() {
            steps.push(Step::input("d_ef", "diameter that bends and bears", d, "mm", SCREW_DIAMETER));
        } else if !self.smooth() {
            steps.push(Step::input("d_ef", "root diameter, which bends and bears", d, "mm", self.fastener.root.source));
        }
        for (symbol, what, density, angle) in [
            ("f_h,1", "bearing strength of the batten", self.side_density, self.side_angle),
            ("f_h,2", "bearing strength of the member", self.main_density, self.main_angle),
        ] {
            let (rho, dn, a) = (num(density), num(d), num(angle.to_degrees()));
            let (formula, numbers, source) = if self.thick() {
                (
                    "0.082 (1 - 0.01 d) rho / ((1.35 + 0.015 d) sin^2 a + cos^2 a)",
                    format!("0.082 * (1 - 0.01*{dn}) * {rho} / ((1.35 + 0.015*{dn}) * sin({a})^2 + cos({a})^2)"),
                    BEARING_THICK,
                )
            } else if self.predrilled {
                ("0.082 (1 - 0.01 d) rho", format!("0.082 * (1 - 0.01*{dn}) * {rho}"), BEARING)
            } else {
                ("0.082 rho d^-0.3", format!("0.082 * {rho} * {dn}^(-0.3)"), BEARING)
            };
            steps.push(
                Step::new(symbol, what, formula, numbers, self.bearing(density, angle) / N_PER_MM2)
                    .unit("N/mm2")
                    .source(source),
            );
        }
        let fu = self.fastener.steel_strength;
        steps.push(Step::input("f_u", "tensile strength of the steel", fu.value / N_PER_MM2, "N/mm2", fu.source));
        let moment = self.yield_moment();
        steps.push(
            Step::new(
                "M_y,Rk",
                "yield moment",
                "0.3 f_u d^2.6",
                format!("0.3 * {} * {}^2.6", num(fu.value / N_PER_MM2), num(d)),
                moment / MM,
            )
            .unit("N mm")
            .source(MOMENT),
        );
        steps.push(Step::input("t2", "penetration square to the face", lengths.depth / MM, "mm", Source::GEOMETRY));
        let dowel = self.dowel(lengths);
        for (symbol, what, q) in
            [("q_s", "bearing of the batten per mm", dowel.side), ("q_m", "bearing of the member per mm", dowel.main)]
        {
            steps.push(Step::input(symbol, what, q * MM, "N/mm", Source::STATICS));
        }
        steps.extend(dowel.steps(Written::Millimetres, YIELD));
        let list: Vec<String> =
            Mode::ALL.iter().map(|&m| format!("{} * {}", num(mode_factor(m)), num(dowel.load(m)))).collect();
        steps.push(
            Step::new(
                "F_v,Rk",
                lateral.mode.words(),
                "least of the modes, times 1.05 for one hinge and 1.15 for two",
                format!("min({})", list.join(", ")),
                lateral.characteristic,
            )
            .unit("N")
            .source(YIELD_FACTORS),
        );
        let allowed = lateral.characteristic * share;
        steps.push(
            Step::new(
                "F_v,Rd",
                "lateral design strength",
                "kmod F_v,Rk / gamma_M",
                format!(
                    "{} * {} / {}",
                    num(share * GAMMA_CONNECTION.value),
                    num(lateral.characteristic),
                    num(GAMMA_CONNECTION.value)
                ),
                allowed,
            )
            .unit("N")
            .source(DESIGN),
        );
        allowed
    }
}

/// Factors of (8.6) on the modes with one and two hinges.
const fn mode_factor(mode: Mode) -> f64 {
    match mode {
        Mode::ThreeM | Mode::ThreeS => 1.05,
        Mode::Four => 1.15,
        Mode::Im | Mode::Is | Mode::Two => 1.0,
    }
}

impl Strength {
    /// kmod over gamma_M.
    #[must_use]
    pub fn share(&self, duration: Duration) -> f64 {
        kmod(duration, self.class).value / GAMMA_CONNECTION.value
    }

    /// Least axial design strength for a load of this duration, N, and what decides.
    ///
    /// # Errors
    /// Smooth nails carry no permanent or long-term axial load (8.3.2(1)).
    pub fn axial(&self, duration: Duration) -> Result<(f64, Governing), NotComputed> {
        if self.smooth && duration <= Duration::Long {
            return Err(NotComputed::NotCovered {
                what: "withdrawal",
                why: "smooth nails carry no permanent or long-term axial load (EN 1995-1-1 8.3.2(1))",
            });
        }
        let share = self.share(duration);
        let mut least = (self.withdrawal * share, Governing::Withdrawal);
        if let Some(h) = self.pull_through.filter(|h| h * share < least.0) {
            least = (h * share, Governing::PullThrough);
        }
        if let Some(t) = self.tension.filter(|t| *t < least.0) {
            least = (t, Governing::Tension);
        }
        Ok(least)
    }

    /// Lateral design strength for a load of this duration, N.
    ///
    /// # Errors
    /// Why there is no lateral value.
    pub fn lateral_allowed(&self, duration: Duration) -> Result<f64, NotComputed> {
        self.lateral.as_ref().map(|l| l.characteristic * self.share(duration)).map_err(Clone::clone)
    }

    /// Design demand of one fastener over its design strength.
    ///
    /// # Errors
    /// A demand that is no number, a lateral demand below zero, lateral demand where there is no lateral value, or uplift
    /// that smooth nails may not carry.
    pub fn utilisation(&self, demand: &Demand, duration: Duration) -> Result<Utilisation, NotComputed> {
        let up = finite("uplift", demand.uplift)?.max(0.0);
        let down = not_negative("lateral load", demand.lateral)?;
        let (axial, governs) = if up > 0.0 {
            let (strength, governs) = self.axial(duration)?;
            (up / strength, governs)
        } else {
            (0.0, Governing::Withdrawal)
        };
        let (lateral, mode) = if down > 0.0 {
            (down / self.lateral_allowed(duration)?, self.lateral.as_ref().map_or(Mode::Im, |l| l.mode))
        } else {
            (0.0, Mode::Im)
        };
        let both = combined(self.smooth, axial, lateral);
        let single = axial.max(lateral);
        let (ratio, governing) = if up > 0.0 && down > 0.0 && both > single {
            (both, Governing::Combined)
        } else if lateral > axial {
            (lateral, Governing::Lateral(mode))
        } else {
            (axial, governs)
        };
        Ok(Utilisation { axial, lateral, combined: both, ratio, governing })
    }
}
