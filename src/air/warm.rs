//! Where the air warms as it passes: from flows to temperatures, and the ways in which a day may begin.

use super::flow::{Bare, Net, Shared};
use super::space::Cell;
use crate::airflow::{Beginning, CELSIUS, SETTLED, SHARE, Trouble, Warming, beginnings};
use crate::design::Warmth;

/// Specific heat of air, J/(kg K), from memory.
const HEAT: f64 = 1006.0;
/// Nusselt number of developed laminar flow between plates of which one is warm and the other lets no heat through, on
/// twice the gap: 4.86 (Shah and London 1978, from memory).
const NUSSELT: f64 = 4.86;
/// Film coefficient outside in summer, W/(m2 K): 17 (ASHRAE Handbook of Fundamentals, sol-air temperature; from memory).
pub const FILM_OUTSIDE: f64 = 17.0;
/// The most sweeps of temperatures.
const MOST_SWEEPS: usize = 200;
/// How many beginnings have each bay as warm as a fixed sequence of numbers says.
const LOTS: u32 = 3;
/// On how many slopes the roofing may be warm alone.
const SLOPES: usize = 4;
/// Past so many cells a day begins cold, hot and turned round only.
const MANY: usize = 20_000;

/// A network, and what its solutions share.
pub(super) struct Warm<'n, 's> {
    pub net: &'n Net<'n>,
    pub shared: &'s mut Shared,
}

impl Warming for Warm<'_, '_> {
    type Flow = Bare;

    fn flow(&mut self, temperatures: Vec<f64>, within: f64) -> Result<Bare, Trouble> {
        self.net.solve(temperatures, within, self.shared)
    }

    fn temperatures<'f>(&self, flow: &'f Bare) -> &'f [f64] {
        &flow.temperatures
    }

    fn through<'f>(&self, flow: &'f Bare) -> &'f [f64] {
        flow.flows().1
    }

    fn warmed(&self, flow: &Bare) -> Vec<f64> {
        self.net.temperatures(flow, 1.0)
    }

    fn turned(&self, flow: &Bare) -> Vec<f64> {
        self.net.temperatures(flow, -1.0)
    }
}

impl Net<'_> {
    /// The ways in which a day may begin: everything as cold as outside, everything as warm as the roofing makes it, each
    /// bay as a lot says, and of several slopes one alone warm. `names` are those of the slopes.
    pub(super) fn beginnings(&self, names: &[&str]) -> Vec<Beginning> {
        let cells = &self.space.cells;
        let (cold, hot) = (self.weather.outside, self.weather.warmest());
        let widest = cells.iter().map(Cell::width).fold(1e-3, f64::max);
        // Slope by slope, in stretches as wide as a bay.
        let zone = |c: &Cell| {
            let bay = (c.middle().0 / widest).floor().clamp(-1e4, 1e4) as i64 + 10_000;
            u32::try_from(c.slope.0 as i64 * 20_001 + bay).unwrap_or(u32::MAX)
        };
        let zones: Vec<u32> = cells.iter().map(zone).collect();
        let mut all = beginnings(cold, hot, &zones, if cells.len() <= MANY { LOTS } else { 0 });
        if names.len() > 1 && cells.len() <= MANY {
            for (k, name) in names.iter().enumerate().take(SLOPES) {
                let t = |c: &Cell| if c.slope.0 == k { hot } else { cold };
                let temperatures = cells.iter().map(t).collect();
                all.push(Beginning { name: format!("{name} alone warm"), temperatures, share: SHARE });
            }
        }
        all
    }

    /// Temperatures at given flows, or at these turned round: what flows in, and what the roofing gives. Swept to and fro
    /// until none changes.
    fn temperatures(&self, flow: &Bare, sign: f64) -> Vec<f64> {
        let warmest = self.weather.warmest();
        let n = self.space.cells.len();
        // What flows into each cell from which.
        let mut into: Vec<Vec<(u32, f64)>> = vec![Vec::new(); n];
        let mut fresh = vec![0.0; n];
        for (p, f) in self.space.passages.iter().zip(flow.flows().0) {
            let (from, to) = if sign * f >= 0.0 { (p.from, p.to) } else { (p.to, p.from) };
            if let Some(list) = into.get_mut(to as usize) {
                list.push((from, f.abs()));
            }
        }
        for (o, f) in self.space.openings.iter().zip(flow.flows().1).filter(|(_, f)| sign * **f > 0.0) {
            if let Some(m) = fresh.get_mut(o.cell as usize) {
                *m += f.abs();
            }
        }
        let mut t = flow.temperatures.clone();
        let film = |c: &Cell, t: f64| {
            // Conductivity of air: 0.0241 W/(m K) at 0 C, 7.3e-5 more a kelvin (from memory).
            let k = 0.0241 + 7.3e-5 * (t - CELSIUS);
            let inner = NUSSELT * k / (2.0 * c.height());
            match self.weather.warmth {
                Warmth::Sun(..) => 1.0 / (1.0 / inner + 1.0 / FILM_OUTSIDE),
                _ => inner,
            }
        };
        for sweep in 0..MOST_SWEEPS {
            let mut far = 0.0_f64;
            for k in 0..n {
                let i = if sweep % 2 == 0 { k } else { n - 1 - k };
                let (Some(c), Some(list), Some(own), Some(old)) =
                    (self.space.cells.get(i), into.get(i), fresh.get(i), t.get(i).copied())
                else {
                    continue;
                };
                let give = film(c, old) * c.area();
                let mut heat = give * warmest + own * HEAT * self.weather.outside;
                let mut weight = give + own * HEAT;
                for (from, m) in list {
                    heat += m * HEAT * t.get(*from as usize).copied().unwrap_or(old);
                    weight += m * HEAT;
                }
                let new = if weight > 0.0 { heat / weight } else { old };
                far = far.max((new - old).abs());
                if let Some(slot) = t.get_mut(i) {
                    *slot = new;
                }
            }
            if far <= SETTLED * 0.01 {
                break;
            }
        }
        t
    }
}
