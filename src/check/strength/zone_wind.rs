//! Wind on the zones of a slope.
//!
//! Aim: what the wind does on a zone over the effective wind area, and the hand calculation of it. Reason: a fastener takes the
//! coefficient of the area that hangs on it, a batten that of its own; and a zone without coefficients must never look like
//! one without wind. Limits: where several zones touch a stretch, the one with the most suction at the area counts, and the
//! most pressure of any.

use crate::capacity::units::num;
use crate::capacity::wind::area::{self, AreaRule, ByArea};
use crate::capacity::wind::{asce, en};
use crate::capacity::{Mark, NotComputed, Source, Step};

use super::zones::Zones;

/// Suction and pressure towards the roof, each over the effective wind area.
#[derive(Clone, Debug, PartialEq)]
pub struct ZoneLoads {
    /// Away from the roof.
    pub suction: ByArea,
    /// Towards it.
    pub pressure: ByArea,
}

/// One zone.
#[derive(Clone, Debug, PartialEq)]
pub struct ZoneWind {
    /// Its name.
    pub name: String,
    /// What the wind does there; or why that is not known.
    pub loads: Result<ZoneLoads, NotComputed>,
    /// How that came about.
    pub law: Law,
}

/// Outer coefficient of a zone by EN 1991-1-4.
#[derive(Clone, Debug, PartialEq)]
pub enum Cpe {
    /// From the tables that come along.
    Table(en::Coefficient),
    /// The designer's own: area in m2 and cpe, areas ascending.
    Own(Vec<(f64, f64)>),
}

impl Cpe {
    /// Its points: area in m2 and cpe.
    pub fn points(&self) -> Vec<(f64, f64)> {
        match self {
            Cpe::Table(c) => c.points().to_vec(),
            Cpe::Own(points) => points.clone(),
        }
    }

    fn step(&self, area: f64) -> Option<Step> {
        match self {
            Cpe::Table(c) => c.step(area.max(SMALLEST)).ok(),
            Cpe::Own(points) => area::read(points, area).map(|r| r.step("cpe", area, Source::GIVEN)),
        }
    }
}

/// How the pressures of a zone come about by ASCE 7.
#[derive(Clone, Debug, PartialEq)]
pub struct AsceLaw {
    /// How far the zone reaches from its edges; none of a field.
    pub reach: Option<Step>,
    /// The site.
    pub site: asce::Site,
    /// The coefficient of suction.
    pub suction: asce::Coefficient,
    /// That of pressure, where there is one.
    pub pressure: Option<asce::Coefficient>,
}

/// How the pressures of a zone come about.
#[derive(Clone, Debug, PartialEq)]
pub enum Law {
    /// The designer's own pressures: nothing to show.
    Given,
    /// ASCE 7.
    Asce(Box<AsceLaw>),
    /// EN 1991-1-4.
    En {
        /// Peak velocity pressure, Pa.
        q: f64,
        /// Outer coefficient.
        cpe: Cpe,
        /// Whether it is an overhang that the wind meets: pushed from below, and nothing from within.
        overhang: bool,
    },
    /// An overhang by EN 1991-1-4, with the designer's own coefficient, net of its two faces.
    EnOverhang {
        /// Peak velocity pressure, Pa.
        q: f64,
        /// Area in m2 and coefficient, areas ascending.
        net: Vec<(f64, f64)>,
    },
}

/// An area below those of every figure, m2: what a place without an area of its own is shown with.
const SMALLEST: f64 = 1e-3;
const EN_NET: Source = Source::new("EN 1991-1-4 5.2 and 7.2.9(6) note 2", Mark::FromMemory);

impl Law {
    /// The hand calculation at an effective wind area in m2.
    pub fn steps(&self, area: f64) -> Vec<Step> {
        let area = area.max(SMALLEST);
        match self {
            Law::Given => Vec::new(),
            Law::Asce(law) => {
                let mut all: Vec<Step> = law.reach.iter().cloned().collect();
                all.extend(law.site.net_steps(&law.suction, area).unwrap_or_default());
                // The area stands there already.
                let towards = law.pressure.as_ref().and_then(|c| law.site.net_steps(c, area).ok()).unwrap_or_default();
                all.extend(towards.into_iter().skip(1));
                all
            }
            Law::En { q, cpe, overhang: true } => {
                let Some((step, low)) = cpe.step(area).zip(en::from_below_step(area).ok()) else { return Vec::new() };
                let net = Step::new(
                    "w",
                    "net suction of both faces, characteristic",
                    "max(qp (cpe_low - cpe), 0)",
                    format!("max({} * ({} - ({})), 0)", num(*q), num(low.value), num(step.value)),
                    (q * (low.value - step.value)).max(0.0),
                );
                let a = Step::input("A", "loaded area", area, "m2", Source::GEOMETRY);
                let source = low.source;
                vec![a, step, low, net.unit("Pa").source(source)]
            }
            Law::En { q, cpe, overhang: false } => {
                let Some(step) = cpe.step(area) else { return Vec::new() };
                let (cpi, c) = (en::INNER.0.value, step.value);
                let net = Step::new(
                    "w",
                    "net suction, characteristic",
                    "max(qp (cpi - cpe), 0)",
                    format!("max({} * ({} - ({})), 0)", num(*q), num(cpi), num(c)),
                    (q * (cpi - c)).max(0.0),
                );
                let a = Step::input("A", "loaded area", area, "m2", Source::GEOMETRY);
                let inner = Step::input("cpi", "inner pressure coefficient", cpi, "", en::INNER.0.source);
                vec![a, step, inner, net.unit("Pa").source(EN_NET)]
            }
            Law::EnOverhang { q, net } => {
                let Some(step) = area::read(net, area).map(|r| r.step("cp,net", area, Source::GIVEN)) else {
                    return Vec::new();
                };
                let c = step.value;
                let w = Step::new(
                    "w",
                    "net suction, characteristic",
                    "max(-qp cp,net, 0)",
                    format!("max(-{} * ({}), 0)", num(*q), num(c)),
                    (-q * c).max(0.0),
                );
                let a = Step::input("A", "loaded area", area, "m2", Source::GEOMETRY);
                vec![a, step, w.unit("Pa").source(Source::GIVEN)]
            }
        }
    }
}

/// Wind on a stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindOn {
    /// Number of the zone with the most suction; none where no wind is computed.
    pub zone: Option<usize>,
    /// Suction, pascals.
    pub suction: f64,
    /// Pressure towards the roof, pascals.
    pub pressure: f64,
}

/// No wind.
pub const CALM: WindOn = WindOn { zone: None, suction: 0.0, pressure: 0.0 };

const NO_ZONE: NotComputed = NotComputed::NotCovered { what: "wind", why: "no zone holds this place" };

/// Zones of one slope with what the wind does on each.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SlopeWind {
    /// Where.
    pub zones: Zones,
    /// What, zone by zone.
    pub values: Vec<ZoneWind>,
    /// What an effective wind area is; none where every pressure is the same for all areas.
    pub rule: Option<AreaRule>,
    /// Number of the first slope whose zones have the same values.
    pub alike: usize,
    /// How the pressure towards the roof came about, where all zones of the slope have the same.
    pub towards: Vec<Step>,
}

impl SlopeWind {
    /// Adds a zone behind those before it.
    pub fn push(&mut self, area: super::zones::ZoneArea, zone: ZoneWind) {
        self.zones.areas.push(area);
        self.values.push(zone);
    }

    /// Of zones that touch a stretch those that may decide there, in the order of their numbers: the first one of which
    /// nothing is known, alone; else all but those that another one covers at every area.
    pub fn deciding(&self, touch: &[usize]) -> Vec<usize> {
        let mut left: Vec<(usize, &ZoneLoads)> = Vec::with_capacity(touch.len());
        for i in touch {
            match self.values.get(*i).map(|z| &z.loads) {
                Some(Ok(loads)) => left.push((*i, loads)),
                Some(Err(_)) => return vec![*i],
                None => {}
            }
        }
        left.sort_by_key(|z| z.0);
        left.dedup_by_key(|z| z.0);
        let mut kept: Vec<(usize, &ZoneLoads)> = Vec::with_capacity(left.len());
        for (i, here) in left {
            let covers = |a: &ZoneLoads, b: &ZoneLoads| a.suction.covers(&b.suction) && a.pressure.covers(&b.pressure);
            if !kept.iter().any(|(_, k)| covers(k, here)) {
                kept.retain(|(_, k)| !covers(here, k));
                kept.push((i, here));
            }
        }
        kept.into_iter().map(|z| z.0).collect()
    }

    /// Wind on a stretch that some zones touch, for an effective wind area in m2.
    ///
    /// # Errors
    /// Why it is not known.
    pub fn on(&self, zones: &[usize], area: f64) -> Result<WindOn, NotComputed> {
        let mut worst: Option<WindOn> = None;
        for i in zones {
            let Some(zone) = self.values.get(*i) else { continue };
            let loads = zone.loads.as_ref().map_err(Clone::clone)?;
            let (suction, pressure) = (loads.suction.at(area), loads.pressure.at(area));
            let before = worst.unwrap_or(WindOn { zone: None, suction: f64::NEG_INFINITY, pressure });
            let zone = if suction > before.suction { Some(*i) } else { before.zone };
            let (suction, pressure) = (suction.max(before.suction), pressure.max(before.pressure));
            worst = Some(WindOn { zone, suction, pressure });
        }
        worst.ok_or(NO_ZONE)
    }
}
