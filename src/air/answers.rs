//! What a flow comes to: air changes, bays, still places, moisture.

use super::flow::{Case, Flow, Shared, Weather, flows_with};
use super::space::{Cell, Space};
use crate::airflow::{Settled, Trouble, vapour_content};
use crate::design::{AirSpec, Design, SlopeId};
use crate::lattice::Lattice;
use crate::quantity::maths::hypot;
use crate::structure::Structure;

/// Humidity at which air leaves that has taken up what it can: 95 percent; the program's own.
const LEAVING: f64 = 0.95;

/// A bay: what lies between two neighbouring lines of a slope, or between a line and an edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Bay {
    /// The slope.
    pub slope: SlopeId,
    /// Names of the lines to the left and to the right; none at an edge.
    pub lines: (Option<String>, Option<String>),
    /// Mean flow up the slope, m3/s; below zero where it runs down.
    pub flow: f64,
    /// Highest speed under or between its battens, m/s.
    pub fastest: f64,
    /// The middle of its longest unbroken stretch up the slope that has a way for the air, or else of its longest: it lies in a
    /// cell; x along the eave, y up the slope, metres.
    pub middle: (f64, f64),
    /// Length of that stretch, metres.
    pub stretch: f64,
}

impl Bay {
    /// The bay in words.
    pub fn name(&self) -> String {
        match &self.lines {
            (Some(a), Some(b)) => format!("{a} to {b}"),
            (None, Some(b)) => format!("left of {b}"),
            (Some(a), None) => format!("right of {a}"),
            (None, None) => "between the edges".to_owned(),
        }
    }
}

/// What one flow comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// m3/s.
    pub volume: f64,
    /// Air changes an hour of the whole space.
    pub changes: f64,
    /// Highest speed in any cell, m/s.
    pub fastest: f64,
    /// Bays from the least to the most flow.
    pub bays: Vec<Bay>,
    /// Cells slower than the design's limit.
    pub still: Vec<u32>,
    /// Vapour that the flow can carry off, kg/s; `None` where the design states no humidity.
    pub vapour: Option<f64>,
    /// Mean temperature of the air that leaves, kelvins; `None` where none does.
    pub leaving: Option<f64>,
    /// The beginnings of a day that come to this flow; none where nothing warms the air on its way.
    pub begun: Vec<String>,
}

/// The answers of one case: each flow found with what it comes to, or why there is none.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// Which case.
    pub case: Case,
    /// What was found.
    pub found: Result<Vec<(Flow, Answers)>, Trouble>,
    /// The beginnings of a day that came to nothing settled.
    pub unsettled: Vec<String>,
}

impl Solved {
    /// Whether a cell is slower than the design's limit in any answer of this case.
    pub fn is_still(&self, cell: u32) -> bool {
        self.found.iter().flatten().any(|(_, a)| a.still.binary_search(&cell).is_ok())
    }
}

/// All cases, the likely one first.
///
/// # Errors
/// What the design does not state.
pub fn solved(space: &Space, design: &Design, structure: &Structure, lattice: &Lattice) -> Result<Vec<Solved>, String> {
    let weather = Weather::of(design)?;
    let Some(air) = &design.air else { return Ok(Vec::new()) };
    let with = |s: Settled<Flow>| {
        let a = Answers { begun: s.begun, ..answers(space, lattice, air, &weather, &s.flow) };
        (s.flow, a)
    };
    let mut shared = Shared::default();
    let one = |case| {
        let (found, unsettled) = match flows_with(space, design, structure, &weather, case, &mut shared) {
            Ok(all) => (Ok(all.answers.into_iter().map(with).collect()), all.unsettled),
            Err(trouble) => (Err(trouble), Vec::new()),
        };
        Solved { case, found, unsettled }
    };
    Ok(Case::all(&weather).iter().copied().map(one).collect())
}

/// Speed of the air in a cell, m/s.
pub fn speed(flow: &Flow, cell: usize) -> f64 {
    flow.velocities.get(cell).map_or(0.0, |v| hypot(v.0, v.1))
}

/// What a flow comes to.
pub fn answers(space: &Space, lattice: &Lattice, air: &AirSpec, weather: &Weather, flow: &Flow) -> Answers {
    let volume_of_space: f64 = space.cells.iter().map(Cell::volume).sum();
    let slow = air.still.value.metres_per_second();
    let still =
        (0..space.cells.len()).filter(|i| speed(flow, *i) < slow).filter_map(|i| u32::try_from(i).ok()).collect();
    let fastest = (0..space.cells.len()).map(|i| speed(flow, i)).fold(0.0, f64::max);
    // What leaves, with its heat over that of the first air that does: where all has one temperature the mean is just that.
    let temperature = |cell: u32| flow.temperatures.get(cell as usize).copied().unwrap_or(weather.outside);
    let through = space.openings.iter().zip(&flow.openings).filter(|(_, f)| **f < 0.0);
    let leaves: Vec<(f64, f64)> = through.map(|(o, f)| (-f, temperature(o.cell))).collect();
    let out: f64 = leaves.iter().map(|l| l.0).sum();
    let over = |t0: f64| leaves.iter().map(|(f, t)| f * (t - t0)).sum::<f64>() / out;
    let leaving = leaves.first().map(|first| first.1 + over(first.1));
    let vapour = air.humidity.as_ref().map(|h| {
        let Some(leaving) = leaving else { return 0.0 };
        let gain = vapour_content(leaving, LEAVING) - vapour_content(weather.outside, h.value.fraction());
        (out * gain).max(0.0)
    });
    Answers {
        volume: flow.volume,
        changes: if volume_of_space > 0.0 { 3600.0 * flow.volume / volume_of_space } else { 0.0 },
        fastest,
        bays: bays(space, lattice, flow),
        still,
        vapour,
        leaving,
        begun: Vec::new(),
    }
}

/// What is summed over the cells of a bay.
#[derive(Clone, Default)]
struct Sum {
    /// Flow up the slope times length, m4/s, and length.
    flow: f64,
    length: f64,
    fastest: f64,
    stretches: Vec<Stretch>,
}

/// Cells one above the other, all with a way for the air or all without: what they share along the eave, and from where to
/// where they reach up the slope.
#[derive(Clone, Copy)]
struct Stretch {
    way: bool,
    x: (f64, f64),
    y: (f64, f64),
}

impl Stretch {
    fn length(&self) -> f64 {
        self.y.1 - self.y.0
    }
}

/// The least width that the cells of a stretch share, metres: room for an arrow.
const ROOM: f64 = 0.1;

impl Sum {
    /// Puts a cell on top of the longest stretch that it carries on, or begins one.
    fn put(&mut self, c: &Cell, way: bool) {
        let shared = |s: &Stretch| (s.x.0.max(c.x.0), s.x.1.min(c.x.1));
        let goes_on = |s: &&mut Stretch| {
            let x = shared(s);
            s.way == way && (c.y.0 - s.y.1).abs() <= 2e-3 && x.1 - x.0 >= ROOM.min(c.width())
        };
        let on = self.stretches.iter_mut().filter(goes_on);
        match on.max_by(|a, b| a.length().total_cmp(&b.length())) {
            Some(s) => *s = Stretch { way, x: shared(s), y: (s.y.0, c.y.1) },
            None => self.stretches.push(Stretch { way, x: c.x, y: c.y }),
        }
    }

    /// The longest stretch that has a way for the air, or else the longest.
    fn longest(&self) -> Option<&Stretch> {
        self.stretches.iter().max_by(|a, b| a.way.cmp(&b.way).then(a.length().total_cmp(&b.length())))
    }
}

fn bays(space: &Space, lattice: &Lattice, flow: &Flow) -> Vec<Bay> {
    let mut all = Vec::new();
    let mut cells = space.cells.iter().enumerate().peekable();
    for (s, on) in lattice.slopes.iter().enumerate() {
        let slope = SlopeId(s);
        let mut sums = vec![Sum::default(); on.lines.len() + 1];
        let bay_of = |x: f64, y: f64| on.lines.partition_point(|l| l.found_x(y).unwrap_or(0.0) < x);
        // Cells come slope by slope.
        while let Some((i, c)) = cells.next_if(|(_, c)| c.slope == slope) {
            let (x, y) = c.middle();
            if let Some(sum) = sums.get_mut(bay_of(x, y)) {
                let up = flow.velocities.get(i).map_or(0.0, |v| v.1) * c.width() * c.height();
                sum.flow += up * c.length();
                sum.length += c.length();
                sum.fastest = sum.fastest.max(speed(flow, i));
                sum.put(c, space.way.get(i) == Some(&true));
            }
        }
        let name = |k: usize| on.lines.get(k).map(|l| l.name.clone());
        for (k, sum) in sums.into_iter().enumerate().filter(|(_, s)| s.length > 0.0) {
            let Some(Stretch { x, y, .. }) = sum.longest().copied() else { continue };
            all.push(Bay {
                slope,
                lines: (k.checked_sub(1).and_then(name), name(k)),
                flow: sum.flow / sum.length,
                fastest: sum.fastest,
                middle: ((x.0 + x.1) / 2.0, (y.0 + y.1) / 2.0),
                stretch: y.1 - y.0,
            });
        }
    }
    all.sort_by(|a, b| a.flow.abs().total_cmp(&b.flow.abs()));
    all
}
