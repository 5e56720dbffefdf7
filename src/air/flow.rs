//! How much air flows: the network of a space, its weather, and the solutions.
//!
//! Pressures are taken against the air outside at the same height, so that an opening has the pressure of the wind alone
//! and every link is driven by the buoyancy of its own air. Where the air warms as it passes, temperatures and flows are
//! found in turn, from several beginnings: with wind against buoyancy there may be more answers than one.

use super::space::{Cell, End, Opening, Passage, Side, Space, Way};
use super::warm::{FILM_OUTSIDE, Warm};
use crate::airflow::{
    Channel, EXACT, Friction, Gas, Law, Link, Network, Outcomes, Plan, Screen, Settled, Solution, Trouble, density,
    follow, local, solve_with,
};
use crate::design::{AirSpec, Design, ScreenSpec, Warmth};
use crate::quantity::list::number;
use crate::structure::{Outline, Structure};

/// Standard gravity, m/s2.
const GRAVITY: f64 = 9.80665;
/// Local loss of one turn by a right angle, mitred: 1.1 (from memory).
const TURN: f64 = 1.1;
/// Entry from the open and exit to it, sharp.
const ENTRY: f64 = 0.5;
const EXIT: f64 = 1.0;
/// Factors on what is known only roughly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Factors {
    /// On friction.
    pub friction: f64,
    /// On local losses.
    pub local: f64,
    /// On what a screen takes.
    pub screen: f64,
    /// On the pressures that the wind brings.
    pub wind: f64,
}

/// How the uncertain losses are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Losses {
    /// All at their upper ends.
    More,
    /// As they are known.
    Likely,
    /// All at their lower ends.
    Less,
}

/// How strong the wind is against what the design states.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gusts {
    /// Half of its pressures.
    Weak,
    /// As stated.
    Stated,
    /// Half as much again.
    Strong,
}

/// One of the cases that are solved. Which of them gives the least and which the greatest value of a figure is not said
/// beforehand: wind may help the buoyancy or push against it, so [`super::ranges`] asks the solved flows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Case {
    /// Losses.
    pub losses: Losses,
    /// Wind.
    pub wind: Gusts,
}

impl Case {
    /// Everything as it is known and stated.
    pub const LIKELY: Case = Case { losses: Losses::Likely, wind: Gusts::Stated };
    /// Where no wind blows: the likely case, and losses at either end.
    const CALM: [Case; 3] = [
        Case::LIKELY,
        Case { losses: Losses::More, wind: Gusts::Stated },
        Case { losses: Losses::Less, wind: Gusts::Stated },
    ];
    /// In wind: the likely case, and each end of the losses with each end of the wind.
    const WINDY: [Case; 5] = [
        Case::LIKELY,
        Case { losses: Losses::More, wind: Gusts::Weak },
        Case { losses: Losses::More, wind: Gusts::Strong },
        Case { losses: Losses::Less, wind: Gusts::Weak },
        Case { losses: Losses::Less, wind: Gusts::Strong },
    ];

    /// The cases to solve in a weather, the likely one first.
    pub fn all(weather: &Weather) -> &'static [Case] {
        if weather.wind > 0.0 { &Case::WINDY } else { &Case::CALM }
    }

    /// Its factors. Sharp against rounded battens differ by 40 percent (Gullbrekken et al. 2017), sharp contractions by 15
    /// percent (correlations compared); friction in ducts with saw-cut sides by some ten percent (from memory). For screens
    /// one correlation gives 1.7 to 2.6 times what the other gives (see [`crate::airflow::ScreenLaw`]). Wind: the program's
    /// own, no source.
    pub fn factors(self) -> Factors {
        let (friction, local, screen) = match self.losses {
            Losses::More => (1.2, 1.6, 2.6),
            Losses::Likely => (1.0, 1.0, 1.0),
            Losses::Less => (0.95, 0.6, 0.6),
        };
        let wind = match self.wind {
            Gusts::Weak => 0.5,
            Gusts::Stated => 1.0,
            Gusts::Strong => 1.5,
        };
        Factors { friction, local, screen, wind }
    }

    /// The case in words.
    pub fn word(self) -> &'static str {
        match (self.losses, self.wind) {
            (Losses::Likely, Gusts::Stated) => "likely",
            (Losses::Likely, Gusts::Weak) => "weak wind",
            (Losses::Likely, Gusts::Strong) => "strong wind",
            (Losses::More, Gusts::Stated) => "more losses",
            (Losses::More, Gusts::Weak) => "more losses, weak wind",
            (Losses::More, Gusts::Strong) => "more losses, strong wind",
            (Losses::Less, Gusts::Stated) => "less losses",
            (Losses::Less, Gusts::Weak) => "less losses, weak wind",
            (Losses::Less, Gusts::Strong) => "less losses, strong wind",
        }
    }
}

/// What the flow needs and the design states.
#[derive(Clone, Debug, PartialEq)]
pub struct Weather {
    /// Outside, kelvins.
    pub outside: f64,
    /// What warms the air.
    pub warmth: Warmth,
    /// Dynamic pressure of the wind, Pa.
    pub wind: f64,
    /// Free area at eaves and tops, m2 a metre.
    pub free: (f64, f64),
    /// Screen.
    pub screen: Option<Screen>,
}

impl Weather {
    /// What the design states, or what is wanting, as words.
    ///
    /// # Errors
    /// What the design does not say.
    pub fn of(design: &Design) -> Result<Weather, String> {
        let Some(air) = &design.air else {
            return Err("the design says nothing of the weather and the vent pieces' free area; write [air]".into());
        };
        let mut wanting = Vec::new();
        if air.outside.is_none() {
            wanting.push("air.outside");
        }
        if air.free_eave.is_none() {
            wanting.push("air.free_area.eave");
        }
        if air.free_top.is_none() {
            wanting.push("air.free_area.top");
        }
        let (Some(outside), Some(eave), Some(top)) = (&air.outside, &air.free_eave, &air.free_top) else {
            return Err(format!("the design does not state {}; a free area is the maker's figure", wanting.join(", ")));
        };
        let outside = outside.value.kelvin();
        let wind = 0.5 * density(outside) * air.wind.value.metres_per_second().powi(2);
        Ok(Weather {
            outside,
            warmth: air.warmth.clone(),
            wind,
            free: (eave.value.metres(), top.value.metres()),
            screen: air.screen.as_ref().map(screen),
        })
    }

    /// The temperature that the roofing would bring the air to.
    pub fn warmest(&self) -> f64 {
        match &self.warmth {
            Warmth::Lattice(t) | Warmth::Roofing(t) => t.value.kelvin(),
            // Sol-air temperature.
            Warmth::Sun(sun, share) => self.outside + share.value.fraction() * sun.value.watts_per_m2() / FILM_OUTSIDE,
            Warmth::Nothing => self.outside,
        }
    }
}

/// A screen in SI.
pub fn screen(spec: &ScreenSpec) -> Screen {
    let per_metre = |n: u32| f64::from(n) / 0.0254;
    Screen { threads: [per_metre(spec.threads.0), per_metre(spec.threads.1)], wire: spec.wire }
}

/// One answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Flow {
    /// Flow of each passage, kg/s, from its first to its second cell.
    pub passages: Vec<f64>,
    /// Flow of each opening, kg/s, inward.
    pub openings: Vec<f64>,
    /// Temperature of each cell, kelvins.
    pub temperatures: Vec<f64>,
    /// Pressure of each cell against the air outside at its height, Pa; `None` where no opening is reached.
    pub pressures: Vec<Option<f64>>,
    /// Free area of each opening, m2.
    pub free: Vec<f64>,
    /// Volume that flows through at the outside temperature, m3/s.
    pub volume: f64,
    /// Velocity of the air in each cell, x and y on its slope, m/s.
    pub velocities: Vec<(f64, f64)>,
    /// Steps of the last solution, its imbalance over the throughput and its residual over the drive.
    pub steps: usize,
    /// See [`crate::airflow::Solution::imbalance`].
    pub imbalance: f64,
    /// See [`crate::airflow::Solution::residual`].
    pub residual: f64,
    /// Friction's share of all losses.
    pub friction_share: f64,
}

impl Flow {
    /// Mean speed in a passage of a space, m/s.
    pub fn speed_in(&self, space: &Space, passage: usize) -> Option<f64> {
        let (p, f) = (space.passages.get(passage)?, self.passages.get(passage)?);
        let t = |c: u32| self.temperatures.get(c as usize).copied();
        Some(f.abs() / (density((t(p.from)? + t(p.to)?) / 2.0) * p.width * p.height))
    }

    /// Mean speed in the free area of an opening of a space, m/s.
    pub fn speed_through(&self, space: &Space, opening: usize) -> Option<f64> {
        let (o, f) = (space.openings.get(opening)?, self.openings.get(opening)?);
        let free = self.free.get(opening).copied().filter(|a| *a > 0.0)?;
        Some(f.abs() / (density(*self.temperatures.get(o.cell as usize)?) * free))
    }
}

/// The network of a space in a weather: one law for each passage and opening, and what is needed to drive it.
pub(super) struct Net<'a> {
    pub(super) space: &'a Space,
    pub(super) weather: &'a Weather,
    /// World height of each cell's middle.
    heights: Vec<f64>,
    /// Outside nodes: edge, pressure, height.
    outside: Vec<(End, f64)>,
    /// Outside node of each opening.
    node_of: Vec<u32>,
    /// World height of each opening's edge.
    opening_heights: Vec<f64>,
    factors: Factors,
    /// Laws of the passages, then of the openings, in air of the outside's temperature.
    laws: Vec<Law>,
    gas: Gas,
    vent_width: f64,
    vent_height: f64,
}

/// A solution of a network with the temperatures of the cells that it was solved at, kelvins.
pub(super) struct Bare {
    pub(super) temperatures: Vec<f64>,
    pub(super) solution: Solution,
    /// How many of its flows are those of passages; the others are those of openings.
    passages: usize,
}

impl Bare {
    /// Flows of passages and of openings, kg/s.
    pub(super) fn flows(&self) -> (&[f64], &[f64]) {
        self.solution.flows.split_at(self.passages.min(self.solution.flows.len()))
    }
}

/// What the solutions for one space share: the plan of its network, and the flows of the last solution, from which the next
/// begins.
#[derive(Default)]
pub(super) struct Shared {
    plan: Option<Plan>,
    near: Option<Vec<f64>>,
}

/// Every answer found, with the beginnings that come to it; where nothing warms the air on its way there is one, and no
/// beginning.
///
/// # Errors
/// See [`Trouble`].
pub fn flows(
    space: &Space,
    design: &Design,
    structure: &Structure,
    weather: &Weather,
    case: Case,
) -> Result<Outcomes<Flow>, Trouble> {
    flows_with(space, design, structure, weather, case, &mut Shared::default())
}

/// The same, with what other cases of the same space have left. Solutions do not depend on where they begin: every law
/// grows, so a network has one.
pub(super) fn flows_with(
    space: &Space,
    design: &Design,
    structure: &Structure,
    weather: &Weather,
    case: Case,
    shared: &mut Shared,
) -> Result<Outcomes<Flow>, Trouble> {
    let Some(air) = &design.air else { return Ok(Outcomes { answers: Vec::new(), unsettled: Vec::new() }) };
    let net = Net::of(space, design, air, structure, weather, case);
    if matches!(weather.warmth, Warmth::Lattice(_) | Warmth::Nothing) {
        let flow = net.finished(net.solve(vec![weather.warmest(); space.cells.len()], EXACT, shared)?);
        return Ok(Outcomes { answers: vec![Settled { flow, begun: Vec::new() }], unsettled: Vec::new() });
    }
    let names: Vec<&str> = structure.slopes.iter().map(|s| s.name.as_str()).collect();
    let beginnings = net.beginnings(&names);
    let Outcomes { answers, unsettled } = follow(&mut Warm { net: &net, shared }, beginnings)?;
    let finished = |s: Settled<Bare>| Settled { flow: net.finished(s.flow), begun: s.begun };
    Ok(Outcomes { answers: answers.into_iter().map(finished).collect(), unsettled })
}

impl<'a> Net<'a> {
    fn of(
        space: &'a Space,
        design: &Design,
        air: &AirSpec,
        structure: &Structure,
        weather: &'a Weather,
        case: Case,
    ) -> Net<'a> {
        let height = |slope: usize, y: f64, z: f64| {
            structure.slopes.get(slope).map_or(0.0, |s| (s.pose * crate::solid::Point3::new(0.0, y, z)).z)
        };
        let heights = space.cells.iter().map(|c| height(c.slope.0, c.middle().1, (c.z.0 + c.z.1) / 2.0)).collect();
        let factors = case.factors();
        let mut edges: Vec<_> = space.openings.iter().map(|o| (o.edge, o.end)).collect();
        edges.sort_unstable();
        edges.dedup();
        let cp = |edge: (crate::design::SlopeId, usize), end: End| {
            let own = air.pressures.iter().find(|p| p.0 == edge).map(|p| p.1);
            own.unwrap_or(if end == End::Low { air.cp_eave.value } else { air.cp_top.value })
        };
        let pressure = |edge, end| weather.wind * factors.wind * cp(edge, end);
        let outside = edges.iter().map(|(e, end)| (*end, pressure(*e, *end))).collect();
        let at = |o: &Opening| edges.binary_search(&(o.edge, o.end)).unwrap_or(0);
        let node_of = space.openings.iter().map(|o| u32::try_from(at(o)).unwrap_or(0)).collect();
        let level = |o: &Opening| {
            if o.rake.is_some() {
                return space.cells.get(o.cell as usize).map_or(0.0, |c| height(c.slope.0, c.middle().1, 0.0));
            }
            let outline: Option<&Outline> = structure.slopes.get(o.edge.0.0).map(|s| &s.outline);
            let y = outline.and_then(|l| l.ends(o.edge.1)).map_or(0.0, |(a, b)| (a.1 + b.1) / 2.0);
            height(o.edge.0.0, y, 0.0)
        };
        let mut net = Net {
            space,
            weather,
            heights,
            outside,
            node_of,
            opening_heights: space.openings.iter().map(level).collect(),
            factors,
            vent_width: design.lattice.vent.width.metres(),
            vent_height: design.lattice.vent.height.metres(),
            laws: Vec::new(),
            gas: Gas::air(weather.outside),
        };
        let passages = space.passages.iter().map(|p| net.passage(p, &net.gas));
        net.laws = passages.chain(space.openings.iter().map(|o| net.opening(o, &net.gas))).collect();
        net
    }

    fn cell(&self, c: u32) -> Option<&Cell> {
        self.space.cells.get(c as usize)
    }

    /// The law of a passage: friction over half of either cell, contraction and expansion where they meet, turns.
    fn passage(&self, p: &Passage, gas: &Gas) -> Law {
        let (Some(a), Some(b)) = (self.cell(p.from), self.cell(p.to)) else { return Law::default() };
        let along = |c: &Cell| match p.way {
            Way::Up | Way::OverEdge => Channel { width: c.width(), height: c.height(), length: c.length() / 2.0 },
            _ => Channel { width: c.length(), height: c.height(), length: c.width() / 2.0 },
        };
        let (before, after) = (along(a), along(b));
        let neck = p.width * p.height;
        let narrowed = |from: f64, to: f64| {
            let (s, t) = ((neck / from).min(1.0), (neck / to).min(1.0));
            0.5 * (1.0 - s) + (1.0 - t) * (1.0 - t)
        };
        let turns = match p.way {
            Way::Up => 0.0,
            // Where it does not rise straight it turns out of its way and back into it.
            _ => 2.0 * TURN,
        };
        let k = |from: &Channel, to: &Channel| local(narrowed(from.area(), to.area()) + turns, neck, gas);
        let square = [k(&before, &after), k(&after, &before)];
        let friction = match p.way {
            Way::Up | Way::Beside | Way::OverEdge => [before.friction(gas), after.friction(gas)],
            Way::OverStrip(wide) => {
                let both = Channel { length: before.length + after.length, ..before };
                [both.friction(gas), Channel { width: p.width, height: p.height, length: wide }.friction(gas)]
            }
            Way::ThroughStrip(wide) => {
                let both = Channel { length: before.length + after.length, ..before };
                let flute = Channel { width: p.height, height: p.height, length: wide };
                [both.friction(gas), flute.many(gas, p.width / p.height)]
            }
        };
        let f = &self.factors;
        Law { friction, square, screen: None }.scaled(f.friction, f.local, f.screen)
    }

    fn free(&self, o: &Opening) -> f64 {
        (if o.end == End::Low { self.weather.free.0 } else { self.weather.free.1 }) * o.length
    }

    /// The law of an opening: half a cell, square flutes as high as the vent piece, their free area, the screen.
    fn opening(&self, o: &Opening, gas: &Gas) -> Law {
        let Some(cell) = self.cell(o.cell) else { return Law::default() };
        let free = self.free(o);
        let (across, along) =
            if o.rake.is_some() { (cell.length(), cell.width()) } else { (cell.width(), cell.length()) };
        let half = Channel { width: across, height: cell.height(), length: along / 2.0 };
        let h = self.vent_height;
        let flute = Channel { width: h, height: h, length: self.vent_width };
        let friction: [Friction; 2] = [half.friction(gas), flute.many(gas, free / (h * h))];
        let square = [local(ENTRY + EXIT, free, gas); 2];
        let screen = self.weather.screen.map(|s| s.law(o.length * h, gas));
        let f = &self.factors;
        Law { friction, square, screen }.scaled(f.friction, f.local, f.screen)
    }

    /// The network at temperatures of the cells.
    fn network(&self, temperatures: &[f64]) -> Network {
        let t = |c: u32| temperatures.get(c as usize).copied().unwrap_or(self.weather.outside);
        let z = |c: u32| self.heights.get(c as usize).copied().unwrap_or(0.0);
        let cold = density(self.weather.outside);
        let cells = number(self.space.cells.len());
        let mut links = Vec::with_capacity(self.space.passages.len() + self.space.openings.len());
        let mut laws = self.laws.iter();
        let mut law = |gas: &Gas| laws.next().map(|l| l.in_gas(&self.gas, gas)).unwrap_or_default();
        for p in &self.space.passages {
            let gas = Gas::air((t(p.from) + t(p.to)) / 2.0);
            let drive = (cold - gas.density) * GRAVITY * (z(p.to) - z(p.from));
            links.push(Link { from: p.from, to: p.to, law: law(&gas), drive });
        }
        for (o, (node, height)) in self.space.openings.iter().zip(self.node_of.iter().zip(&self.opening_heights)) {
            let gas = Gas::air(t(o.cell));
            let drive = (cold - gas.density) * GRAVITY * (z(o.cell) - height);
            links.push(Link { from: cells + node, to: o.cell, law: law(&gas), drive });
        }
        let mut given = vec![None; self.space.cells.len()];
        given.extend(self.outside.iter().map(|(_, p)| Some(*p)));
        Network { given, inflow: Vec::new(), links }
    }

    /// Flows at temperatures of the cells, as exact as `solve_with` says.
    pub(super) fn solve(&self, temperatures: Vec<f64>, within: f64, shared: &mut Shared) -> Result<Bare, Trouble> {
        let network = self.network(&temperatures);
        let plan = match &mut shared.plan {
            Some(plan) => plan,
            none => none.insert(Plan::of(&network)?),
        };
        let solution = solve_with(plan, &network, shared.near.as_deref(), within)?;
        shared.near = Some(solution.flows.clone());
        Ok(Bare { temperatures, solution, passages: self.space.passages.len() })
    }

    /// A solution with what is told of it.
    fn finished(&self, bare: Bare) -> Flow {
        let network = self.network(&bare.temperatures);
        let lost = |(l, f): (&Link, &f64)| (l.law.loss(*f).0 * f, l.law.friction_share(*f));
        let (mut all, mut friction) = (0.0, 0.0);
        for (loss, share) in network.links.iter().zip(&bare.solution.flows).map(lost) {
            all += loss;
            friction += loss * share;
        }
        let (passages, openings) = bare.flows();
        let entering = openings.iter().fold(0.0, |all, f| all + f.max(0.0));
        Flow {
            velocities: self.velocities(passages, openings, &bare.temperatures),
            passages: passages.to_vec(),
            openings: openings.to_vec(),
            pressures: bare.solution.pressures.iter().take(self.space.cells.len()).copied().collect(),
            free: self.space.openings.iter().map(|o| self.free(o)).collect(),
            volume: entering / density(self.weather.outside),
            steps: bare.solution.steps,
            imbalance: bare.solution.imbalance,
            residual: bare.solution.residual,
            friction_share: if all > 0.0 { friction / all } else { 0.0 },
            temperatures: bare.temperatures,
        }
    }

    /// Mean velocities over the sections of the cells.
    fn velocities(&self, passages: &[f64], openings: &[f64], temperatures: &[f64]) -> Vec<(f64, f64)> {
        // Sums of what crosses the cell up the slope and along the eave; each crosses twice, in and out.
        let mut sums = vec![(0.0, 0.0); self.space.cells.len()];
        let mut add = |c: u32, x: f64, y: f64| {
            if let Some(s) = sums.get_mut(c as usize) {
                s.0 += x;
                s.1 += y;
            }
        };
        for (p, f) in self.space.passages.iter().zip(passages) {
            let (x, y) = match p.way {
                Way::Up => (0.0, *f),
                // Over a hip or a ridge air leaves one slope upward and enters the other downward.
                Way::OverEdge => {
                    add(p.from, 0.0, *f);
                    add(p.to, 0.0, -*f);
                    continue;
                }
                Way::Beside | Way::OverStrip(_) | Way::ThroughStrip(_) => (*f, 0.0),
            };
            add(p.from, x, y);
            add(p.to, x, y);
        }
        for (o, f) in self.space.openings.iter().zip(openings) {
            match (o.rake, o.end) {
                (Some(Side::Left), _) => add(o.cell, *f, 0.0),
                (Some(Side::Right), _) => add(o.cell, -*f, 0.0),
                (None, End::Low) => add(o.cell, 0.0, *f),
                (None, End::High) => add(o.cell, 0.0, -*f),
            }
        }
        self.space
            .cells
            .iter()
            .zip(sums)
            .zip(temperatures)
            .map(|((c, (x, y)), t)| {
                let half = 2.0 * density(*t) * c.height();
                (x / (half * c.length()), y / (half * c.width()))
            })
            .collect()
    }
}
