//! The pressure that a link takes at a flow.

use super::channel::Gas;
use crate::quantity::maths::log10;

/// Friction of one straight stretch: laminar and turbulent loss with a smooth change between.
///
/// The two are joined as Churchill and Usagi (AIChE Journal 18, 1972, 1121) join limits: the eighth root of the sum of
/// their eighth powers. In either limit this is the limit itself; where both are equal it is 9 percent more.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Friction {
    /// Pa s/kg.
    pub laminar: f64,
    /// Pa (s/kg)^1.75.
    pub turbulent: f64,
}

impl Friction {
    /// Loss and its derivative at a flow that is not below zero.
    fn at(&self, m: f64) -> (f64, f64) {
        if self.laminar <= 0.0 {
            return (0.0, 0.0);
        }
        let ratio = self.turbulent / self.laminar;
        // (ratio m^0.75)^8
        let r2 = ratio * ratio;
        let m2 = m * m;
        let r = (r2 * r2) * (r2 * r2) * (m2 * m2 * m2);
        // Far below the change the root is its series, to 14 digits.
        let root = if r < 1e-4 { 1.0 + r * (0.125 - r * 0.0546875) } else { (1.0 + r).sqrt().sqrt().sqrt() };
        let bend = if r.is_finite() { r / (1.0 + r) } else { 1.0 };
        let loss = self.laminar * m * root;
        (loss, self.laminar * root * (1.0 + 0.75 * bend))
    }
}

/// A screen across a link: Brundrett (Journal of Fluids Engineering 115, 1993, 239; constants from memory), on the speed
/// before the screen, with the Reynolds number of a wire in the openings. Bailey et al. (2003; constants from memory), with the
/// Reynolds number of a wire in the speed before the screen, find 1.7 to 2.6 times as much at the speeds of a roof.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScreenLaw {
    /// Pa (s/kg)^2: half the density on the face's area, times (1 - a^2) / a^2.
    pub scale: f64,
    /// Reynolds number for a flow of one kg/s.
    pub reynolds: f64,
}

impl ScreenLaw {
    /// Loss and its derivative at a flow that is not below zero.
    fn at(&self, m: f64) -> (f64, f64) {
        let re = self.reynolds * m;
        if re <= 0.0 {
            // Limit of the first term alone.
            return (0.0, self.scale * 7.0 / self.reynolds.max(f64::MIN_POSITIVE));
        }
        let ln10 = std::f64::consts::LN_10;
        let log = log10(re + 1.25);
        let factor = 7.0 / re + 0.9 / log + 0.05 * log10(re);
        let slope = -7.0 / (re * re) - 0.9 / (log * log * ln10 * (re + 1.25)) + 0.05 / (re * ln10);
        (self.scale * factor * m * m, self.scale * (slope * self.reynolds * m * m + 2.0 * factor * m))
    }
}

/// The law of a link: friction of up to two stretches, local losses by the direction of the flow, a screen.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Law {
    /// Stretches.
    pub friction: [Friction; 2],
    /// Local losses, Pa (s/kg)^2, with the link's direction and against it.
    pub square: [f64; 2],
    /// A screen.
    pub screen: Option<ScreenLaw>,
}

impl Law {
    /// Loss (Pa) and its derivative (Pa s/kg) at a flow (kg/s, either sign). The loss has the flow's sign and grows with
    /// it.
    pub fn loss(&self, flow: f64) -> (f64, f64) {
        let m = flow.abs();
        let square = self.square[usize::from(flow < 0.0)];
        let (mut loss, mut slope) = (square * m * m, 2.0 * square * m);
        let parts = self.friction.iter().map(|f| f.at(m)).chain(self.screen.iter().map(|s| s.at(m)));
        for (l, s) in parts {
            loss += l;
            slope += s;
        }
        (loss.copysign(flow), slope)
    }

    /// The share of the loss at a flow that friction of the stretches takes, 0 to 1.
    pub fn friction_share(&self, flow: f64) -> f64 {
        let friction: f64 = self.friction.iter().map(|f| f.at(flow.abs()).0).sum();
        let all = self.loss(flow).0.abs();
        if all > 0.0 { friction / all } else { 0.0 }
    }

    /// The same in another gas: laminar friction goes with viscosity over density, turbulent friction with the fourth root of
    /// viscosity over density, local losses with one over density.
    pub fn in_gas(&self, now: &Gas, then: &Gas) -> Law {
        let (thin, thick) = (now.density / then.density, then.viscosity / now.viscosity);
        let (laminar, turbulent) = (thick * thin, thick.sqrt().sqrt() * thin);
        let f = |f: Friction| Friction { laminar: f.laminar * laminar, turbulent: f.turbulent * turbulent };
        Law {
            friction: self.friction.map(f),
            square: self.square.map(|s| s * thin),
            screen: self.screen.map(|s| ScreenLaw { scale: s.scale * thin, reynolds: s.reynolds / thick }),
        }
    }

    /// The same with friction, local losses and the screen's multiplied.
    pub fn scaled(&self, friction: f64, local: f64, screen: f64) -> Law {
        let f = |f: Friction| Friction { laminar: f.laminar * friction, turbulent: f.turbulent * friction };
        Law {
            friction: self.friction.map(f),
            square: self.square.map(|s| s * local),
            screen: self.screen.map(|s| ScreenLaw { scale: s.scale * screen, ..s }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The derivative against a difference, and growth, at flows of every size and both directions.
        #[test]
        fn losses_grow_and_their_slopes_are_right(
            exponent in -7.0f64..0.0, backward in proptest::bool::ANY,
            laminar in 0.0f64..1e4, turbulent in 0.0f64..1e4, square in 0.0f64..1e6, scale in 0.0f64..1e5, re in 1.0f64..1e5,
        ) {
            let law = Law {
                friction: [Friction { laminar, turbulent }, Friction { laminar: 3.0, turbulent: 1.0 }],
                square: [square, 2.0 * square],
                screen: Some(ScreenLaw { scale, reynolds: re }),
            };
            let m = 10f64.powf(exponent) * if backward { -1.0 } else { 1.0 };
            let h = m.abs() * 1e-5;
            let ((low, _), (high, _), (at, slope)) = (law.loss(m - h), law.loss(m + h), law.loss(m));
            prop_assert!(high > low && slope > 0.0 && at * m > 0.0);
            prop_assert!((slope - (high - low) / (2.0 * h)).abs() <= 1e-5 * slope, "{slope} {}", (high - low) / (2.0 * h));
        }
    }

    /// What a channel with a screen loses in another gas is what its law there says.
    #[test]
    fn a_law_in_another_gas_is_the_law_made_of_it() {
        use super::super::channel::{Channel, Screen, local};
        let channel = Channel { width: 0.57, height: 0.01, length: 0.4 };
        let screen = Screen { threads: [700.0, 630.0], wire: 2.8e-4 };
        let of = |gas: &Gas| Law {
            friction: [channel.friction(gas), channel.many(gas, 7.5)],
            square: [local(1.5, 0.004, gas), local(0.7, 0.004, gas)],
            screen: Some(screen.law(0.006, gas)),
        };
        let (cold, hot) = (Gas::air(263.0), Gas::air(333.0));
        let turned = of(&cold).in_gas(&cold, &hot);
        for m in [1e-5, 1e-4, 1e-3, 1e-2, -1e-3] {
            let ((a, da), (b, db)) = (turned.loss(m), of(&hot).loss(m));
            assert!((a / b - 1.0).abs() < 1e-12 && (da / db - 1.0).abs() < 1e-12, "{m}: {a} {b}");
            assert!((a / of(&cold).loss(m).0 - 1.0).abs() > 0.05);
        }
    }

    /// K of an 18 x 16 screen of 0.011 in wire at 0.3 m/s, as worked out beforehand: 2.1.
    #[test]
    fn a_screen_at_an_insect_meshs_speed() {
        let (a, d, v) = (0.661_f64, 0.011 * 0.0254, 0.3);
        let (rho, mu) = (super::super::density(273.15), super::super::viscosity(273.15));
        // One square metre of face, so that the flow is rho v.
        let law = ScreenLaw { scale: 0.5 / rho * (1.0 - a * a) / (a * a), reynolds: d / (a * mu) };
        let k = law.at(rho * v).0 / (0.5 * rho * v * v);
        assert!((k - 2.1).abs() < 0.05, "{k}");
    }
}
