//! From a channel's sizes to the law of a link.

use super::law::{Friction, ScreenLaw};

/// Air in a channel: density (kg/m3) and dynamic viscosity (Pa s).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gas {
    /// kg/m3.
    pub density: f64,
    /// Pa s.
    pub viscosity: f64,
}

impl Gas {
    /// Air of a temperature, kelvins.
    pub fn air(kelvin: f64) -> Gas {
        Gas { density: super::density(kelvin), viscosity: super::viscosity(kelvin) }
    }
}

/// A straight rectangular duct: width, height and length, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Channel {
    /// One side.
    pub width: f64,
    /// The other side.
    pub height: f64,
    /// Along the flow.
    pub length: f64,
}

impl Channel {
    /// Cross-section, m2.
    pub fn area(&self) -> f64 {
        self.width * self.height
    }

    /// Hydraulic diameter: four times the area over the perimeter.
    pub fn hydraulic_diameter(&self) -> f64 {
        2.0 * self.area() / (self.width + self.height)
    }

    /// f Re (Darcy) of developed laminar flow, by the polynomial of Shah and London (1978) in the ratio of the sides: 96
    /// between wide plates, 56.9 in a square duct.
    pub fn f_re(&self) -> f64 {
        let (low, high) = (self.width.min(self.height), self.width.max(self.height));
        let a = if high > 0.0 { low / high } else { 0.0 };
        let sum = -1.3553 + a * (1.9467 + a * (-1.7012 + a * (0.9564 + a * -0.2537)));
        96.0 * (1.0 + a * sum)
    }

    /// Friction of the duct: laminar by f Re, turbulent by Blasius (0.316 Re^-0.25 on the hydraulic diameter, smooth
    /// walls).
    pub fn friction(&self, gas: &Gas) -> Friction {
        self.many(gas, 1.0)
    }

    /// Friction of several equal ducts side by side that share a flow; `count` need not be whole.
    pub fn many(&self, gas: &Gas, count: f64) -> Friction {
        let d = self.hydraulic_diameter();
        let area = self.area() * count;
        // Speed for one kg/s.
        let v = 1.0 / (gas.density * area);
        let laminar = 0.5 * self.f_re() * gas.viscosity * self.length * v / (d * d);
        let re = gas.density * v * d / gas.viscosity;
        let turbulent = 0.316 / re.sqrt().sqrt() * self.length / d * 0.5 * gas.density * v * v;
        Friction { laminar, turbulent }
    }
}

/// Pa (s/kg)^2 of a local loss `k` on the speed in a cross-section.
pub fn local(k: f64, area: f64, gas: &Gas) -> f64 {
    0.5 * k / (gas.density * area * area)
}

/// A woven screen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Screen {
    /// Threads a metre, both ways.
    pub threads: [f64; 2],
    /// Diameter of a wire, metres.
    pub wire: f64,
}

impl Screen {
    /// Open share of the face: (1 - n1 d)(1 - n2 d).
    pub fn open(&self) -> f64 {
        self.threads.iter().map(|n| 1.0 - n * self.wire).product()
    }

    /// The smaller clear distance between wires, metres.
    pub fn aperture(&self) -> f64 {
        self.threads.iter().map(|n| 1.0 / n - self.wire).fold(f64::INFINITY, f64::min)
    }

    /// The law of the screen over a face, m2.
    pub fn law(&self, face: f64, gas: &Gas) -> ScreenLaw {
        let a = self.open();
        ScreenLaw { scale: local((1.0 - a * a) / (a * a), face, gas), reynolds: self.wire / (a * face * gas.viscosity) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_and_square_ducts() {
        let duct = |height: f64| Channel { width: 1.0, height, length: 1.0 }.f_re();
        assert!((duct(1e-9) - 96.0).abs() < 1e-6);
        for (a, f) in [(1.0 / 60.0, 93.9), (0.1, 84.7), (1.0, 56.9)] {
            assert!((duct(a) - f).abs() < 0.05, "{a}: {}", duct(a));
        }
    }

    /// Plane Poiseuille flow: 12 mu L v / h^2.
    #[test]
    fn poiseuille() {
        let gas = Gas::air(273.15);
        let c = Channel { width: 1e5, height: 0.01, length: 2.0 };
        let v = 0.02;
        let expected = 12.0 * gas.viscosity * 2.0 * v / 1e-4;
        let law = super::super::Law { friction: [c.friction(&gas), Friction::default()], ..Default::default() };
        let found = law.loss(gas.density * v * c.area()).0;
        assert!((found / expected - 1.0).abs() < 1e-6, "{found} {expected}");
    }

    /// Blasius far above the change: 0.316 Re^-0.25.
    #[test]
    fn blasius() {
        let gas = Gas::air(293.15);
        let c = Channel { width: 0.1, height: 0.1, length: 3.0 };
        let re = 50_000.0;
        let v = re * gas.viscosity / (gas.density * 0.1);
        let expected = 0.316 * f64::powf(re, -0.25) * 30.0 * 0.5 * gas.density * v * v;
        let law = super::super::Law { friction: [c.friction(&gas), Friction::default()], ..Default::default() };
        let found = law.loss(gas.density * v * c.area()).0;
        assert!((found / expected - 1.0).abs() < 1e-6, "{found} {expected}");
    }

    /// 18 x 16 threads an inch, 0.011 in wire: open share 0.661, aperture 1.13 mm.
    #[test]
    fn an_insect_mesh() {
        let s = Screen { threads: [18.0 / 0.0254, 16.0 / 0.0254], wire: 0.011 * 0.0254 };
        assert!((s.open() - 0.661).abs() < 1e-3);
        assert!((s.aperture() - 1.13e-3).abs() < 5e-6);
    }
}
