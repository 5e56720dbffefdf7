//! A batten as a continuous beam.
//!
//! Aim: moments, shears, deflections and above all reactions of one piece on the supports that really hold, cantilevers
//! at both ends. Reason: one missed landing shows as overload at its neighbours. Limits: one stiffness EI over the piece, no
//! shear deformation, supports that do not give; a support that holds one way only is let go or taken back in a fixed
//! count of steps.
//!
//! Signs: loads, reactions and deflections are positive outward (away from the roof). A reaction is the force of the beam
//! on its support: positive pulls the fastener out, negative bears on the strip. So the reactions sum to the loads.
//!
//! Method: displacement method. Between two supports that hold, the beam is fixed-ended and its end moments follow from
//! the rotations, which solve one tridiagonal system (sources: any text on slope deflection). The supports that hold
//! one way are found as for a contact problem: a support that would have to act the wrong way is let go, one that the beam
//! would pass through is taken back.

use super::fault::{NotComputed, finite, positive};

/// Which way a support holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Holds {
    /// A landing that is fastened and bears.
    Both,
    /// Only against being lifted: its reaction is never negative.
    Up,
    /// Only bears: its reaction is never positive.
    Down,
}

/// A support.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Support {
    /// Place along the piece from its left end, m.
    pub at: f64,
    /// Which way it holds.
    pub holds: Holds,
}

/// A load, positive outward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// Force per length over a part, N/m.
    Uniform {
        /// Start, m.
        from: f64,
        /// End, m.
        to: f64,
        /// N/m.
        force: f64,
    },
    /// Force per length over a part, straight from one end of it to the other, N/m.
    Linear {
        /// Start, m.
        from: f64,
        /// End, m.
        to: f64,
        /// At the start and at the end, N/m.
        force: (f64, f64),
    },
    /// A force, N.
    Point {
        /// Place, m.
        at: f64,
        /// N.
        force: f64,
    },
}

/// A load over a part of the piece: from, to, force per length at both.
#[derive(Debug, Clone, Copy)]
struct Spread {
    from: f64,
    to: f64,
    force: (f64, f64),
}

impl Load {
    /// As a spread load; `None` for a force at a place.
    const fn spread(&self) -> Option<Spread> {
        match *self {
            Self::Uniform { from, to, force } => Some(Spread { from, to, force: (force, force) }),
            Self::Linear { from, to, force } => Some(Spread { from, to, force }),
            Self::Point { .. } => None,
        }
    }

    /// Its sum, N.
    #[must_use]
    pub fn total(&self) -> f64 {
        match self {
            Self::Point { force, .. } => *force,
            Self::Uniform { from, to, force } => force * (to - from),
            Self::Linear { from, to, force } => f64::midpoint(force.0, force.1) * (to - from),
        }
    }
}

impl Spread {
    /// Force per length at a place of it.
    fn at(&self, x: f64) -> f64 {
        if self.to > self.from && self.force.0 != self.force.1 {
            self.force.0 + (self.force.1 - self.force.0) * (x - self.from) / (self.to - self.from)
        } else {
            self.force.0
        }
    }

    /// What of it lies between two places.
    fn between(&self, a: f64, b: f64) -> Option<Self> {
        let (from, to) = (self.from.max(a), self.to.min(b));
        (to > from).then(|| Self { from, to, force: (self.at(from), self.at(to)) })
    }

    fn load(&self) -> Load {
        let Self { from, to, force } = *self;
        if force.0 == force.1 { Load::Uniform { from, to, force: force.0 } } else { Load::Linear { from, to, force } }
    }
}

/// The piece to solve. Supports ascend along the piece and lie on it, at least 1 mm apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beam<'a> {
    /// Length, m.
    pub length: f64,
    /// Supports from left to right.
    pub supports: &'a [Support],
    /// Loads.
    pub loads: &'a [Load],
    /// Bending stiffness EI, N m2.
    pub stiffness: f64,
}

/// What became of the piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Answer {
    /// Solved; read it from the [`Solver`].
    Held,
    /// Fewer than two supports are left that hold: the piece can turn or fall. Not solved.
    Mechanism {
        /// How many supports hold.
        holding: usize,
    },
}

/// Greatest values along a piece.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Extremes {
    /// Greatest moment that bends the piece outward between supports (tension in the outer face), N m, not below zero.
    pub moment_out: f64,
    /// Greatest moment of the other sign as a positive number, N m.
    pub moment_in: f64,
    /// Greatest shear force, N.
    pub shear: f64,
    /// Greatest deflection between two supports, either way, m.
    pub deflection: f64,
    /// Greatest deflection of a cantilever, either way, m.
    pub end_deflection: f64,
    /// The span that deflects most for its length.
    pub worst_span: Deflected,
    /// The left and the right cantilever.
    pub ends: [Deflected; 2],
}

/// A span or a cantilever with its greatest deflection.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Deflected {
    /// Greatest deflection, either way, m.
    pub most: f64,
    /// Length, m; zero where there is none.
    pub length: f64,
}

impl Deflected {
    /// The one of both that deflects more for its length.
    fn worse(self, other: Deflected) -> Deflected {
        let share = |d: &Deflected| if d.length > 0.0 { d.most / d.length } else { 0.0 };
        if share(&other) > share(&self) || self.length == 0.0 { other } else { self }
    }
}

impl Extremes {
    /// The greater moment of both signs, N m.
    #[must_use]
    pub fn moment(&self) -> f64 {
        self.moment_out.max(self.moment_in)
    }
}

/// A stretch between two break points, with the state at its left end.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: f64,
    length: f64,
    /// Moment and shear just right of `from`, load per length there and how it grows for each length.
    moment: f64,
    shear: f64,
    load: f64,
    grows: f64,
    /// Slope and deflection at `from`, times EI.
    slope: f64,
    deflection: f64,
    /// Length of the span or cantilever that it is a part of.
    whole: f64,
    part: Part,
}

/// Of what a stretch is a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    LeftEnd,
    Span,
    RightEnd,
}

impl Stretch {
    fn moment_at(&self, s: f64) -> f64 {
        self.moment + s * (self.shear + s * (self.load / 2.0 + s * self.grows / 6.0))
    }
    fn shear_at(&self, s: f64) -> f64 {
        self.shear + s * (self.load + s * self.grows / 2.0)
    }
    fn slope_at(&self, s: f64) -> f64 {
        self.slope + s * (self.moment + s * (self.shear / 2.0 + s * (self.load / 6.0 + s * self.grows / 24.0)))
    }
    fn deflection_at(&self, s: f64) -> f64 {
        let bends = self.moment / 2.0 + s * (self.shear / 6.0 + s * (self.load / 24.0 + s * self.grows / 120.0));
        self.deflection + s * (self.slope + s * bends)
    }
}

/// Supports nearer to each other than this are one support to a beam, m.
const LEAST_SPAN: f64 = 1e-3;

/// Room for solving one piece after another without asking for memory again.
#[derive(Debug, Default)]
pub struct Solver {
    active: Vec<bool>,
    /// Indices of the supports that hold.
    held: Vec<usize>,
    diagonal: Vec<f64>,
    /// Right side, then rotations times EI.
    rotations: Vec<f64>,
    /// Per span between supports that hold: fixed-end moments left and right.
    fixed: Vec<(f64, f64)>,
    reactions: Vec<f64>,
    breaks: Vec<f64>,
    stretches: Vec<Stretch>,
    stiffness: f64,
}

/// Most changes of the supports that hold before the solver gives up: one by one they end, but 18 supports 5 cm apart that hold
/// this way and that took more than 400.
const MOST_STEPS: usize = 20_000;

impl Solver {
    /// A solver with no room taken yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Solves the piece. Fewer than two supports that hold against lifting ([`Holds::Both`] or [`Holds::Up`]) are a
    /// mechanism whatever the load. Where fewer than two supports hold both ways, a piece may also be a mechanism for
    /// this load only.
    ///
    /// # Errors
    /// Input that is no number, supports that do not ascend or lie outside the piece, loads outside the piece, or supports
    /// that did not settle.
    pub fn solve(&mut self, beam: &Beam<'_>) -> Result<Answer, NotComputed> {
        self.reactions.clear();
        self.stretches.clear();
        let scale = check(beam)?;
        self.stiffness = beam.stiffness;
        self.reactions.resize(beam.supports.len(), 0.0);
        let lifting = beam.supports.iter().filter(|s| s.holds != Holds::Down).count();
        if lifting < 2 {
            return Ok(Answer::Mechanism { holding: lifting });
        }
        let firm = beam.supports.iter().filter(|s| s.holds == Holds::Both).count() >= 2;
        self.active.clear();
        self.active.resize(beam.supports.len(), true);
        let mut fewest = usize::MAX;
        let mut patience = if firm { 3 } else { 0 };
        for _ in 0..MOST_STEPS {
            self.held.clear();
            self.held.extend((0..self.active.len()).filter(|&i| self.active[i]));
            if self.held.len() < 2 {
                self.reactions.fill(0.0);
                return Ok(Answer::Mechanism { holding: self.held.len() });
            }
            self.solve_held(beam);
            let (mut wrong, mut first, mut worst) = (0, None, (0.0, 0));
            for i in 0..beam.supports.len() {
                let by = self.wrong_by(i, beam.supports, scale);
                if by > 0.0 {
                    wrong += 1;
                    first.get_or_insert(i);
                    if by > worst.0 {
                        worst = (by, i);
                    }
                }
            }
            let Some(first) = first else {
                return Ok(Answer::Held);
            };
            // All at once while that helps; one by one, the first of them, when it does not. With two supports that hold
            // both ways this ends (least-index pivoting on a positive definite contact problem).
            if wrong < fewest {
                fewest = wrong;
                patience = if firm { 3 } else { 0 };
            } else {
                patience = usize::saturating_sub(patience, 1);
            }
            if patience > 0 {
                for i in 0..beam.supports.len() {
                    if self.wrong_by(i, beam.supports, scale) > 0.0 {
                        self.active[i] = !self.active[i];
                    }
                }
            } else {
                let i = if firm { first } else { worst.1 };
                self.active[i] = !self.active[i];
            }
        }
        self.reactions.fill(0.0);
        self.stretches.clear();
        Err(NotComputed::NotCovered {
            what: "the piece as a beam",
            why: "its one-way supports did not settle in a fixed count of steps",
        })
    }

    /// How far a one-way support is on the wrong side, in parts of the load's scale; zero or below: it is right.
    fn wrong_by(&self, i: usize, supports: &[Support], scale: f64) -> f64 {
        let Some(support) = supports.get(i) else { return 0.0 };
        let sign = match support.holds {
            Holds::Both => return 0.0,
            Holds::Up => 1.0,
            Holds::Down => -1.0,
        };
        if self.active[i] {
            -self.reactions[i] * sign / scale - 1e-10
        } else {
            // Deflection times EI between the supports that hold is at most about scale times their distance cubed.
            let p = self.held.partition_point(|&h| h < i);
            let place = |k: usize| self.held.get(k).and_then(|&h| supports.get(h)).map(|s| s.at);
            let left = if p == self.held.len() { place(p.saturating_sub(2)) } else { place(p.wrapping_sub(1)) };
            let right = if p == 0 { place(1) } else { place(p) };
            let span = right.unwrap_or(support.at) - left.unwrap_or(support.at);
            self.bent_at(support.at) * sign / (scale * span.powi(3)) - 1e-13
        }
    }

    /// Solves with the supports in `held`: rotations, then reactions and stretches.
    fn solve_held(&mut self, beam: &Beam<'_>) {
        let Self { held, diagonal, rotations, fixed, .. } = self;
        let n = held.len();
        let place = |i: usize| beam.supports[held[i]].at;
        let loads = beam.loads;
        diagonal.clear();
        diagonal.resize(n, 0.0);
        rotations.clear();
        rotations.resize(n, 0.0);
        fixed.clear();
        // Moments of the cantilevers at the end supports.
        rotations[0] -= resultant(loads, -1.0, place(0), place(0)).1;
        rotations[n - 1] -= resultant(loads, place(n - 1), beam.length + 1.0, place(n - 1)).1;
        for i in 0..n - 1 {
            let (a, b) = (place(i), place(i + 1));
            let (at_a, at_b) = fixed_end_moments(loads, a, b);
            fixed.push((at_a, at_b));
            let k = 1.0 / (b - a);
            diagonal[i] += 4.0 * k;
            diagonal[i + 1] += 4.0 * k;
            rotations[i] += at_a;
            rotations[i + 1] -= at_b;
        }
        // Elimination; the off-diagonal of a span is 2 / its length. The diagonal dominates: no pivoting needed.
        for i in 1..n {
            let off = 2.0 / (place(i) - place(i - 1));
            let factor = off / diagonal[i - 1];
            diagonal[i] -= factor * off;
            rotations[i] -= factor * rotations[i - 1];
        }
        rotations[n - 1] /= diagonal[n - 1];
        for i in (0..n - 1).rev() {
            let off = 2.0 / (place(i + 1) - place(i));
            rotations[i] = (rotations[i] - off * rotations[i + 1]) / diagonal[i];
        }
        self.walk(beam);
    }

    /// From the rotations: the state of every stretch, and the reactions.
    fn walk(&mut self, beam: &Beam<'_>) {
        let Self { held, rotations, fixed, reactions, breaks, stretches, .. } = self;
        let n = held.len();
        let place = |i: usize| beam.supports[held[i]].at;
        reactions.fill(0.0);
        stretches.clear();
        breaks.clear();
        breaks.extend([0.0, beam.length]);
        breaks.extend(held.iter().map(|&i| beam.supports[i].at));
        for load in beam.loads {
            match *load {
                Load::Uniform { from, to, .. } | Load::Linear { from, to, .. } => breaks.extend([from, to]),
                Load::Point { at, .. } => breaks.push(at),
            }
        }
        breaks.sort_unstable_by(f64::total_cmp);
        breaks.dedup();
        // Moment and shear, slope and deflection (times EI) where the next stretch starts; the next support.
        let (mut moment, mut shear, mut slope, mut deflection) = (0.0, 0.0, 0.0, 0.0);
        let mut next = 0;
        for pair in breaks.windows(2) {
            let (from, to) = (pair[0], pair[1]);
            let on_support = next < n && from >= place(next);
            if on_support {
                let before = shear;
                if next + 1 < n {
                    let (a, b) = (place(next), place(next + 1));
                    let (ra, rb) = (rotations[next], rotations[next + 1]);
                    moment = fixed[next].0 - (4.0 * ra + 2.0 * rb) / (b - a);
                    let end = fixed[next].1 + (2.0 * ra + 4.0 * rb) / (b - a);
                    shear = (end - moment - resultant(beam.loads, a, b, b).1) / (b - a);
                } else {
                    let (force, about) = resultant(beam.loads, from, beam.length + 1.0, from);
                    moment = -about;
                    shear = -force;
                }
                reactions[held[next]] = before - shear + points_at(beam.loads, from);
                if next == 0 {
                    close_cantilever(stretches, rotations[0], from, slope, deflection);
                }
                slope = rotations[next];
                deflection = 0.0;
                next += 1;
            } else {
                shear += points_at(beam.loads, from);
            }
            let (load, grows) = spread_between(beam.loads, from, to);
            let stretch = Stretch {
                from,
                length: to - from,
                moment,
                shear,
                load,
                grows,
                slope,
                deflection,
                whole: if next < n { place(next) } else { beam.length } - if next > 0 { place(next - 1) } else { 0.0 },
                part: match next {
                    0 => Part::LeftEnd,
                    k if k == n => Part::RightEnd,
                    _ => Part::Span,
                },
            };
            moment = stretch.moment_at(stretch.length);
            shear = stretch.shear_at(stretch.length);
            slope = stretch.slope_at(stretch.length);
            deflection = stretch.deflection_at(stretch.length);
            stretches.push(stretch);
        }
        if next < n {
            // The last support stands at the very end.
            reactions[held[n - 1]] = shear + points_at(beam.loads, beam.length);
        }
    }

    fn stretch_at(&self, at: f64) -> Option<(&Stretch, f64)> {
        let i = self.stretches.partition_point(|s| s.from <= at).saturating_sub(1);
        self.stretches.get(i).map(|s| (s, (at - s.from).clamp(0.0, s.length)))
    }

    /// Deflection times EI.
    fn bent_at(&self, at: f64) -> f64 {
        self.stretch_at(at).map_or(0.0, |(s, x)| s.deflection_at(x))
    }

    /// Reaction of each support of the last piece that was held, N: positive pulls on it, negative bears. Zero where a
    /// one-way support does not act.
    #[must_use]
    pub fn reactions(&self) -> &[f64] {
        &self.reactions
    }

    /// Deflection at a place, m, positive outward. `None`: nothing was solved.
    #[must_use]
    pub fn deflection(&self, at: f64) -> Option<f64> {
        self.stretch_at(at).map(|(s, x)| s.deflection_at(x) / self.stiffness)
    }

    /// Bending moment at a place, N m, positive with tension in the inner face. `None`: nothing was solved.
    #[must_use]
    pub fn moment(&self, at: f64) -> Option<f64> {
        self.stretch_at(at).map(|(s, x)| s.moment_at(x))
    }

    /// Shear force just right of a place, N. `None`: nothing was solved.
    #[must_use]
    pub fn shear(&self, at: f64) -> Option<f64> {
        self.stretch_at(at).map(|(s, x)| s.shear_at(x))
    }

    /// Greatest moments, shear and deflections of the last piece that was held, exact within rounding.
    #[must_use]
    pub fn extremes(&self) -> Extremes {
        let mut e = Extremes::default();
        for s in &self.stretches {
            let l = s.length;
            let mut moment = |x: f64| {
                let m = s.moment_at(x);
                e.moment_in = e.moment_in.max(m);
                e.moment_out = e.moment_out.max(-m);
            };
            moment(0.0);
            moment(l);
            for x in s.shear_zeros().into_iter().flatten().filter(|x| *x > 0.0 && *x < l) {
                moment(x);
            }
            e.shear = e.shear.max(s.shear.abs()).max(s.shear_at(l).abs());
            if s.grows != 0.0 {
                // Where the load changes its sign.
                let x = -s.load / s.grows;
                if x > 0.0 && x < l {
                    e.shear = e.shear.max(s.shear_at(x).abs());
                }
            }
            let most = s.most_deflection() / self.stiffness;
            let here = Deflected { most, length: s.whole };
            if s.part == Part::Span {
                e.deflection = e.deflection.max(most);
                e.worst_span = e.worst_span.worse(here);
            } else {
                let [left, right] = &mut e.ends;
                let end = if s.part == Part::LeftEnd { left } else { right };
                *end = end.worse(here);
                e.end_deflection = e.end_deflection.max(most);
            }
        }
        e
    }

    /// Work that the loads do on the way to the solved state, J: half of force times way, which equals the energy of
    /// bending because the supports do not give.
    #[must_use]
    pub fn work(&self) -> f64 {
        // Four points of Gauss are exact up to the seventh power; the squared moment has the sixth.
        const PLACES: [(f64, f64); 4] = [
            (-0.861_136_311_594_052_6, 0.347_854_845_137_453_8),
            (-0.339_981_043_584_856_26, 0.652_145_154_862_546_2),
            (0.339_981_043_584_856_26, 0.652_145_154_862_546_2),
            (0.861_136_311_594_052_6, 0.347_854_845_137_453_8),
        ];
        let mut sum = 0.0;
        for s in &self.stretches {
            for (place, weight) in PLACES {
                let m = s.moment_at(s.length * (0.5 + place / 2.0));
                sum += weight * m * m * s.length / 2.0;
            }
        }
        sum / (2.0 * self.stiffness)
    }
}

impl Stretch {
    /// Greatest deflection times EI, either way.
    fn most_deflection(&self) -> f64 {
        let l = self.length;
        let mut most = self.deflection.abs().max(self.deflection_at(l).abs());
        // Between zeros of the moment the slope only rises or only falls, so it has at most one zero there.
        let mut ends = [0.0, l, l, l, l];
        let mut n = 1;
        for root in self.moment_zeros().into_iter().flatten() {
            if root > ends[n - 1] && root < l {
                ends[n] = root;
                n += 1;
            }
        }
        ends[n] = l;
        for pair in ends[..=n].windows(2) {
            // At its greatest the deflection is flat: an error of 1e-8 of the place is none of the deflection.
            if let Some(x) = zero((pair[0], pair[1]), |x| self.slope_at(x), |x| self.moment_at(x), 1e-8 * l) {
                most = most.max(self.deflection_at(x).abs());
            }
        }
        most
    }

    /// Zeros of the moment within the stretch, ascending.
    fn moment_zeros(&self) -> [Option<f64>; 3] {
        if self.grows == 0.0 {
            let [one, two] = zeros(self.load / 2.0, self.shear, self.moment);
            return [one, two, None];
        }
        // Between zeros of the shear the moment only rises or only falls.
        let l = self.length;
        let [one, two] = self.shear_zeros().map(|x| x.unwrap_or(0.0).clamp(0.0, l));
        let (one, two) = (one.min(two), one.max(two));
        [(0.0, one), (one, two), (two, l)]
            .map(|part| zero(part, |x| self.moment_at(x), |x| self.shear_at(x), 1e-12 * l))
    }

    /// Zeros of the shear force on the line of the stretch, ascending.
    fn shear_zeros(&self) -> [Option<f64>; 2] {
        zeros(self.grows / 2.0, self.load, self.shear)
    }
}

/// Zeros of `a x^2 + b x + c`, ascending.
fn zeros(a: f64, b: f64, c: f64) -> [Option<f64>; 2] {
    if a == 0.0 {
        return [(b != 0.0).then(|| -c / b), None];
    }
    let inside = b * b - 4.0 * a * c;
    if inside < 0.0 {
        return [None, None];
    }
    let q = -0.5 * (b + inside.sqrt().copysign(b));
    let (one, two) = (q / a, if q == 0.0 { 0.0 } else { c / q });
    [Some(one.min(two)), Some(one.max(two))]
}

/// Where a function that only rises or only falls between two places is zero, if it is: Newton's steps, halving where they
/// leave the interval.
fn zero((mut a, mut b): (f64, f64), f: impl Fn(f64) -> f64, rise: impl Fn(f64) -> f64, within: f64) -> Option<f64> {
    let at_a = f(a);
    if at_a * f(b) >= 0.0 {
        return None;
    }
    let mut x = 0.5 * (a + b);
    for _ in 0..60 {
        let here = f(x);
        if here * at_a > 0.0 {
            a = x;
        } else {
            b = x;
        }
        let step = x - here / rise(x);
        let next = if step > a && step < b { step } else { 0.5 * (a + b) };
        let moved = (next - x).abs();
        x = next;
        if moved <= within {
            break;
        }
    }
    Some(x)
}

/// The left cantilever was walked with slope and deflection zero at its free end; `slope` and `deflection` are what came
/// out at the support at `at`, where the true ones are `rotation` and none.
fn close_cantilever(stretches: &mut [Stretch], rotation: f64, at: f64, slope: f64, deflection: f64) {
    let turn = rotation - slope;
    let lift = -deflection - turn * at;
    for s in stretches {
        s.deflection += lift + turn * s.from;
        s.slope += turn;
    }
}

/// Sum of the loads strictly between `a` and `b`, and of their moments `force * (about - place)`.
fn resultant(loads: &[Load], a: f64, b: f64, about: f64) -> (f64, f64) {
    let (mut sum, mut moment) = (0.0, 0.0);
    for load in loads {
        match *load {
            Load::Point { at, force } if at > a && at < b => {
                sum += force;
                moment += force * (about - at);
            }
            Load::Point { .. } => {}
            Load::Uniform { .. } | Load::Linear { .. } => {
                let Some(part) = load.spread().and_then(|s| s.between(a, b)) else { continue };
                let length = part.to - part.from;
                let f = f64::midpoint(part.force.0, part.force.1) * length;
                sum += f;
                // A triangle's force lies a sixth of its length off the middle.
                moment +=
                    f * (about - 0.5 * (part.from + part.to)) - (part.force.1 - part.force.0) * length * length / 12.0;
            }
        }
    }
    (sum, moment)
}

/// End moments of a span that is fixed at both ends, tension in the inner face positive.
fn fixed_end_moments(loads: &[Load], a: f64, b: f64) -> (f64, f64) {
    let l = b - a;
    let (mut at_a, mut at_b) = (0.0, 0.0);
    for load in loads {
        match *load {
            Load::Point { at, force } if at > a && at < b => {
                let (u, v) = ((at - a) / l, (b - at) / l);
                at_a += force * l * u * v * v;
                at_b += force * l * u * u * v;
            }
            Load::Point { .. } => {}
            Load::Uniform { .. } | Load::Linear { .. } => {
                let Some(part) = load.spread().and_then(|s| s.between(a, b)) else { continue };
                let (u, v) = ((part.from - a) / l, (part.to - a) / l);
                // Integrals of u (1 - u)^2 and u^2 (1 - u), for a force that is even and for one that is u.
                let whole = |x: f64| {
                    let x2 = x * x;
                    let even = (x2 * (0.5 - x * (2.0 / 3.0 - x / 4.0)), x2 * x * (1.0 / 3.0 - x / 4.0));
                    let rising = (x2 * x * (1.0 / 3.0 - x * (0.5 - x / 5.0)), x2 * x2 * (0.25 - x / 5.0));
                    (even, rising)
                };
                let ((even_v, rising_v), (even_u, rising_u)) = (whole(v), whole(u));
                let rise = if part.force.0 == part.force.1 { 0.0 } else { (part.force.1 - part.force.0) / (v - u) };
                let start = part.force.0 - rise * u;
                at_a += l * l * (start * (even_v.0 - even_u.0) + rise * (rising_v.0 - rising_u.0));
                at_b += l * l * (start * (even_v.1 - even_u.1) + rise * (rising_v.1 - rising_u.1));
            }
        }
    }
    (at_a, at_b)
}

/// Sum of the point loads exactly at a place.
fn points_at(loads: &[Load], place: f64) -> f64 {
    loads
        .iter()
        .map(|l| {
            if let Load::Point { at, force } = *l
                && at == place
            {
                force
            } else {
                0.0
            }
        })
        .sum()
}

/// Sum of the spread loads over a stretch within which none starts or ends: force per length at its left end, and how that
/// grows for each length.
fn spread_between(loads: &[Load], a: f64, b: f64) -> (f64, f64) {
    let middle = 0.5 * (a + b);
    let over = loads.iter().filter_map(Load::spread).filter(|s| s.from <= middle && middle <= s.to);
    over.fold((0.0, 0.0), |(load, grows), s| {
        let rise = if s.force.0 == s.force.1 { 0.0 } else { (s.force.1 - s.force.0) / (s.to - s.from) };
        (load + s.at(a), grows + rise)
    })
}

/// Refuses what cannot be solved; answers the sum of the loads' sizes, or a least number.
fn check(beam: &Beam<'_>) -> Result<f64, NotComputed> {
    positive("length of the piece", beam.length)?;
    positive("bending stiffness of the piece", beam.stiffness)?;
    let mut last = f64::NEG_INFINITY;
    for support in beam.supports {
        on_piece("place of a support, m", support.at, beam.length)?;
        if support.at - last < LEAST_SPAN {
            return Err(NotComputed::OutOfRange {
                what: "distance between supports, m",
                value: support.at - last,
                low: LEAST_SPAN,
                high: beam.length,
            });
        }
        last = support.at;
    }
    let mut sum = 0.0;
    for load in beam.loads {
        match *load {
            Load::Point { at, force } => {
                on_piece("place of a load, m", at, beam.length)?;
                sum += finite("load", force)?.abs();
            }
            Load::Uniform { from, to, .. } | Load::Linear { from, to, .. } => {
                on_piece("start of a load, m", from, beam.length)?;
                on_piece("end of a load, m", to, beam.length)?;
                if to < from {
                    return Err(NotComputed::Negative { what: "length of a load, m", value: to - from });
                }
                let (left, right) = load.spread().map_or((0.0, 0.0), |s| s.force);
                let size = f64::midpoint(finite("load", left)?.abs(), finite("load", right)?.abs());
                sum += size * (to - from);
            }
        }
    }
    Ok(finite("load", sum)?.max(1e-9))
}

fn on_piece(what: &'static str, at: f64, length: f64) -> Result<f64, NotComputed> {
    super::fault::within(what, at, 0.0, length)
}

/// Which spans carry the load that may come and go. Span 0 is the left cantilever, span `k` lies between supports `k - 1`
/// and `k`, the last is the right cantilever. ASCE 7-16 4.3.3 (partial loading) and EN 1990 ask for such patterns.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Pattern {
    /// All spans.
    #[default]
    All,
    /// Every other span, from the left cantilever on.
    Even,
    /// The others.
    Odd,
    /// The two spans beside this support, and every other span away from them.
    Beside(usize),
}

impl Pattern {
    /// All patterns of a piece with so many supports.
    pub fn of(supports: usize) -> impl Iterator<Item = Self> {
        [Self::All, Self::Even, Self::Odd].into_iter().chain((0..supports).map(Self::Beside))
    }

    /// Whether a span is loaded.
    #[must_use]
    pub const fn loads_span(self, span: usize) -> bool {
        match self {
            Self::All => true,
            Self::Even => span.is_multiple_of(2),
            Self::Odd => !span.is_multiple_of(2),
            Self::Beside(support) => {
                if span <= support {
                    (support - span).is_multiple_of(2)
                } else {
                    (span - support - 1).is_multiple_of(2)
                }
            }
        }
    }

    /// Adds the parts of `loads` that lie on loaded spans to `into`. A point load on a support is always kept.
    pub fn cut(self, supports: &[Support], length: f64, loads: &[Load], into: &mut Vec<Load>) {
        let ends = |span: usize| {
            let from = if span == 0 { 0.0 } else { supports.get(span - 1).map_or(length, |s| s.at) };
            (from, supports.get(span).map_or(length, |s| s.at))
        };
        for load in loads {
            match *load {
                Load::Uniform { .. } | Load::Linear { .. } => {
                    let Some(whole) = load.spread() else { continue };
                    let mut push = |from, to| into.extend(whole.between(from, to).map(|part| part.load()));
                    // Neighbouring loaded spans become one load.
                    let mut open: Option<(f64, f64)> = None;
                    for span in (0..=supports.len()).filter(|&s| self.loads_span(s)) {
                        let (a, b) = ends(span);
                        let (a, b) = (a.max(whole.from), b.min(whole.to));
                        if b <= a {
                            continue;
                        }
                        open = match open {
                            Some((start, end)) if end == a => Some((start, b)),
                            Some((start, end)) => {
                                push(start, end);
                                Some((a, b))
                            }
                            None => Some((a, b)),
                        };
                    }
                    if let Some((from, to)) = open {
                        push(from, to);
                    }
                }
                Load::Point { at, .. } => {
                    let span = supports.partition_point(|s| s.at < at);
                    if supports.get(span).is_some_and(|s| s.at == at) || self.loads_span(span) {
                        into.push(*load);
                    }
                }
            }
        }
    }
}
