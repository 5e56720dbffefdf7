//! Single formulas of NDS chapter 12, each with its value and its line of a hand calculation.
//!
//! Aim: withdrawal, head pull-through, dowel bearing. Reason: the fast path needs a number, the hand calculation a line; both
//! come from one struct. Limits: side grain.

use crate::capacity::fastener::FastenerKind;
use crate::capacity::source::{Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{INCH, LBF, LBF_PER_INCH, PSI, num};
use crate::quantity::maths::{cos, pow, sin};

/// Reference withdrawal W of a fastener in side grain, per length of what holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Withdrawal {
    /// Kind.
    pub kind: FastenerKind,
    /// Specific gravity G of the wood that holds.
    pub gravity: f64,
    /// Nominal diameter D, m.
    pub diameter: f64,
}

impl Withdrawal {
    /// W, N/m.
    #[must_use]
    pub fn value(&self) -> f64 {
        let (g, d) = (self.gravity, self.diameter / INCH);
        let w = match self.kind {
            FastenerKind::SmoothNail => 1380.0 * g * g * g.sqrt() * d,
            FastenerKind::StainlessNail => 465.0 * g * g.sqrt() * d,
            FastenerKind::RingShankNail => 1800.0 * g * g * d,
            FastenerKind::WoodScrew => 2850.0 * g * g * d,
            FastenerKind::LagScrew => 1800.0 * g * g.sqrt() * d.sqrt() * d.sqrt().sqrt(),
        };
        w * LBF_PER_INCH
    }

    /// Where the equation stands.
    #[must_use]
    pub const fn source(&self) -> Source {
        match self.kind {
            FastenerKind::SmoothNail => Source::new("NDS-2018 eq. 12.2-3", Mark::Published),
            FastenerKind::StainlessNail => Source::new("NDS-2018 eq. 12.2-4", Mark::FromMemory),
            FastenerKind::RingShankNail => Source::new("NDS-2018 eq. 12.2-5", Mark::FromMemory),
            FastenerKind::WoodScrew => Source::new("NDS-2018 eq. 12.2-2", Mark::Published),
            FastenerKind::LagScrew => Source::new("NDS-2018 eq. 12.2-1", Mark::Published),
        }
    }

    /// The line of the hand calculation.
    #[must_use]
    pub fn step(&self) -> Step {
        let (g, d) = (num(self.gravity), num(self.diameter / INCH));
        let (formula, numbers) = match self.kind {
            FastenerKind::SmoothNail => ("1380 G^2.5 D", format!("1380 * {g}^2.5 * {d}")),
            FastenerKind::StainlessNail => ("465 G^1.5 D", format!("465 * {g}^1.5 * {d}")),
            FastenerKind::RingShankNail => ("1800 G^2 D", format!("1800 * {g}^2 * {d}")),
            FastenerKind::WoodScrew => ("2850 G^2 D", format!("2850 * {g}^2 * {d}")),
            FastenerKind::LagScrew => ("1800 G^1.5 D^0.75", format!("1800 * {g}^1.5 * {d}^0.75")),
        };
        Step::new("W", "reference withdrawal per inch that holds", formula, numbers, self.value() / LBF_PER_INCH)
            .unit("lbf/in")
            .source(self.source())
    }
}

/// Reference head pull-through WH of the batten.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PullThrough {
    /// Specific gravity of the batten.
    pub gravity: f64,
    /// Head diameter DH, m.
    pub head: f64,
    /// Thickness of the batten under the head ts, m.
    pub thickness: f64,
}

impl PullThrough {
    /// Where the equations stand.
    pub const SOURCE: Source = Source::new("NDS-2018 eq. 12.2-6", Mark::FromMemory);

    fn thick(&self) -> bool {
        self.thickness > 2.5 * self.head
    }

    /// WH, N.
    #[must_use]
    pub fn value(&self) -> f64 {
        let (dh, ts, g) = (self.head / INCH, self.thickness / INCH, self.gravity);
        let area = std::f64::consts::PI * dh * g * g;
        LBF * if self.thick() { 1725.0 * area * dh } else { 690.0 * area * ts }
    }

    /// The line of the hand calculation.
    #[must_use]
    pub fn step(&self) -> Step {
        let (dh, ts, g) = (num(self.head / INCH), num(self.thickness / INCH), num(self.gravity));
        let (what, formula, numbers) = if self.thick() {
            ("head pull-through, ts above 2.5 DH", "1725 pi DH^2 G^2", format!("1725 * pi * {dh}^2 * {g}^2"))
        } else {
            ("head pull-through, ts at most 2.5 DH", "690 pi DH G^2 ts", format!("690 * pi * {dh} * {g}^2 * {ts}"))
        };
        Step::new("WH", what, formula, numbers, self.value() / LBF).unit("lbf").source(Self::SOURCE)
    }
}

/// Dowel bearing strength Fe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bearing {
    /// Specific gravity.
    pub gravity: f64,
    /// Nominal diameter D, m.
    pub diameter: f64,
    /// Angle between load and grain, radians; counts from D = 1/4 in.
    pub angle: f64,
}

/// A quarter of an inch, where the NDS changes from nails to bolts; a hair below, for converted millimetres.
pub(super) const QUARTER: f64 = 0.2495 * INCH;

impl Bearing {
    /// Where the equations stand.
    pub const SOURCE: Source = Source::new("NDS-2018 Table 12.3.3", Mark::Validated);

    /// Fe, Pa.
    #[must_use]
    pub fn value(&self) -> f64 {
        let g = self.gravity;
        if self.diameter < QUARTER {
            return 16600.0 * pow(g, 1.84) * PSI;
        }
        let (along, across) = self.large();
        let (s, c) = (sin(self.angle), cos(self.angle));
        along * across / (along * s * s + across * c * c) * PSI
    }

    /// Along and across the grain, psi, D from 1/4 in.
    fn large(&self) -> (f64, f64) {
        (11200.0 * self.gravity, 6100.0 * pow(self.gravity, 1.45) / (self.diameter / INCH).sqrt())
    }

    /// The line of the hand calculation.
    #[must_use]
    pub fn step(&self, symbol: &'static str, what: &'static str) -> Step {
        let g = num(self.gravity);
        let (formula, numbers) = if self.diameter < QUARTER {
            ("16600 G^1.84", format!("16600 * {g}^1.84"))
        } else {
            let (along, across) = self.large();
            let a = num(self.angle.to_degrees());
            let (along, across) = (num(along), num(across));
            (
                "Fe0 Fe90 / (Fe0 sin^2 a + Fe90 cos^2 a), Fe0 = 11200 G, Fe90 = 6100 G^1.45 / sqrt D",
                format!("{along} * {across} / ({along} * sin({a})^2 + {across} * cos({a})^2)"),
            )
        };
        Step::new(symbol, what, formula, numbers, self.value() / PSI).unit("psi").source(Self::SOURCE)
    }
}
