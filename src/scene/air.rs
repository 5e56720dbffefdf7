//! How fast the air passes: a look of the model, arrows and plates in it, and the answers as records.

use std::collections::BTreeMap;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::Serialize;

use super::{Form, Look, PartKind};
use crate::air::{Answers, Bay, Case, Flow, compare, ranges, speed, statements, turns_round};
use crate::check::Context;
use crate::design::SlopeId;
use crate::quantity::{Units, show_area};
use crate::solid::{Mesh, Point3, Pose, Vector3, turn};

/// Lower bounds of the bins, m/s, from fast to slow.
const BOUNDS: [f64; 5] = [0.2, 0.1, 0.05, 0.02, 0.01];
/// The bin of pockets: behind those of [`BOUNDS`] and of slower air.
const NO_WAY: u8 = BOUNDS.len() as u8 + 1;
/// The most arrows in a model, and the most plates: where there are more bays, every second, third ... has one.
const MOST_MARKS: usize = 200;
/// The most bays that a record lists.
const MOST_BAYS: usize = 500;
/// Length of the longest and of the shortest arrow, metres; shorter where its bay has no longer stretch.
const ARROW: (f64, f64) = (1.2, 0.3);
/// Thickness of arrows and plates, and how high they lie over the battens, metres.
const THICK: f64 = 0.01;

/// The first answer of the likely case.
fn likely<'c>(ctx: &'c Context<'_>) -> Option<&'c (Flow, Answers)> {
    ctx.flows().ok()?.iter().find(|s| s.case == Case::LIKELY)?.found.as_ref().ok()?.first()
}

/// A thin solid that shows the air; it lies over the battens and is nothing that is built.
#[derive(Clone, Debug)]
pub struct AirMark {
    /// Its name.
    pub name: String,
    /// Arrow or plate.
    pub kind: PartKind,
    /// The slope.
    pub slope: SlopeId,
    /// Its form.
    pub form: Form,
    /// Its place on the slope.
    pub pose: Pose,
    /// What it stands for, in words.
    pub size: String,
    /// Its bin in the look by air speed.
    bin: u8,
}

/// Arrows, one in each bay that air passes, the longer the more flows; and a plate over each pocket. None where no flow
/// was computed.
pub fn air_marks(ctx: &Context<'_>) -> Vec<AirMark> {
    let Some((_, answers)) = likely(ctx) else { return Vec::new() };
    let top = ctx.lattice.levels.batten + THICK;
    let most = answers.bays.iter().map(|b| b.flow.abs()).fold(0.0, f64::max);
    let slope_name = |s: SlopeId| ctx.structure.slopes.get(s.0).map_or("", |f| f.name.as_str());
    let mut marks = Vec::new();
    let mut bays: Vec<&Bay> = answers.bays.iter().filter(|b| b.flow.abs() > 1e-6 * most).collect();
    bays.sort_by(|a, b| a.slope.cmp(&b.slope).then(a.middle.0.total_cmp(&b.middle.0)));
    let every = bays.len().div_ceil(MOST_MARKS).max(1);
    let mut forms: BTreeMap<u64, Form> = BTreeMap::new();
    for (k, bay) in bays.into_iter().enumerate().step_by(every) {
        // In steps of a tenth, so that arrows share their forms.
        let tenth = (10.0 * bay.flow.abs() / most).round();
        let length = (ARROW.1 + (ARROW.0 - ARROW.1) * tenth / 10.0).min(bay.stretch);
        let form = forms.entry(length.to_bits()).or_insert_with(|| Form::Mesh(Arc::new(arrow(length)))).clone();
        let mut pose = Pose::translation(bay.middle.0, bay.middle.1, top);
        if bay.flow < 0.0 {
            pose.rotation = turn(Vector3::z_axis(), std::f64::consts::PI);
        }
        let shown = match ctx.design.units {
            Units::Millimetres => format!("{:.1} m3/h", bay.flow.abs() * 3600.0),
            Units::Inches => format!("{:.1} cfm", bay.flow.abs() * 60.0 / 0.3048_f64.powi(3)),
        };
        marks.push(AirMark {
            name: format!("{}-AR{:03}", slope_name(bay.slope), k + 1),
            kind: PartKind::AirArrow,
            slope: bay.slope,
            form,
            pose,
            size: format!("{}: {shown}, likely case", bay.name()),
            bin: bin(bay.fastest),
        });
    }
    for (k, pocket) in ctx.space().larger_pockets(ctx.design).iter().take(MOST_MARKS).enumerate() {
        for (slope, ..) in &pocket.on {
            let mut mesh = Mesh::default();
            let cells = pocket.cells.iter().filter_map(|c| ctx.space().cells.get(*c as usize));
            for cell in cells.filter(|c| c.slope == *slope) {
                // A little in from the cell's sides, so that plates of neighbours do not touch.
                let (dx, dy) = (0.002_f64.min(cell.width() / 4.0), 0.002_f64.min(cell.length() / 4.0));
                let (x, y) = ((cell.x.0 + dx, cell.x.1 - dx), (cell.y.0 + dy, cell.y.1 - dy));
                let corners = [(x.0, y.0), (x.1, y.0), (x.1, y.1), (x.0, y.1)];
                mesh.append(&slab(&corners, &[[0, 1, 2], [0, 2, 3]]));
            }
            marks.push(AirMark {
                name: format!("{}-PK{:02}", slope_name(*slope), k + 1),
                kind: PartKind::AirPocket,
                slope: *slope,
                form: Form::Mesh(Arc::new(mesh)),
                pose: Pose::translation(0.0, 0.0, top),
                size: format!("pocket of {}", show_area(pocket.area, ctx.design.units)),
                bin: NO_WAY,
            });
        }
    }
    marks
}

/// An arrow up the slope, its middle at the origin.
fn arrow(length: f64) -> Mesh {
    let (half, wide, head) = (0.012, 0.04, (length / 2.0).min(0.12));
    let (low, high) = (-length / 2.0, length / 2.0);
    let neck = high - head;
    let corners = [(-half, low), (half, low), (half, neck), (wide, neck), (0.0, high), (-wide, neck), (-half, neck)];
    slab(&corners, &[[0, 1, 2], [0, 2, 6], [2, 3, 4], [2, 4, 6], [6, 4, 5]])
}

/// A flat solid over a polygon, counter-clockwise, with its triangles.
fn slab(corners: &[(f64, f64)], triangles: &[[u32; 3]]) -> Mesh {
    let n = u32::try_from(corners.len()).unwrap_or(0);
    let at = |z: f64| corners.iter().map(move |(x, y)| Point3::new(*x, *y, z));
    let positions = at(0.0).chain(at(THICK)).collect();
    let mut all = Vec::new();
    for [a, b, c] in triangles {
        all.push([*a, *c, *b]);
        all.push([a + n, b + n, c + n]);
    }
    for a in 0..n {
        let b = (a + 1) % n;
        all.push([a, b, b + n]);
        all.push([a, b + n, a + n]);
    }
    Mesh { positions, triangles: all }
}

/// The look "by air speed": each batten in the bin of the slowest cell beneath it, in the likely case; battens over a
/// pocket stand apart, in the last bin, and so do the plates. `None` where the design states no weather, or nothing could
/// be solved.
///
/// Between the battens the air is slower than under them, as the space is higher; so the look compares like with like.
pub fn by_air_speed(ctx: &Context<'_>) -> Option<Look> {
    let (flow, _) = likely(ctx)?;
    let space = ctx.space();
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let mut of: BTreeMap<String, u8> = air_marks(ctx).into_iter().map(|m| (m.name, m.bin)).collect();
    // Cells under battens, row by row as they lie in the space; pieces found by their height.
    let under: Vec<usize> = (0..space.cells.len())
        .filter(|i| space.cells.get(*i).is_some_and(|c| c.z.1 <= ctx.lattice.levels.strip))
        .collect();
    for on in &ctx.slopes {
        let mut pieces: Vec<_> = on.lattice.pieces.iter().collect();
        pieces.sort_by(|a, b| a.y.total_cmp(&b.y));
        for i in &under {
            let Some(cell) = space.cells.get(*i).filter(|c| c.slope == on.id) else { continue };
            let (x, y) = cell.middle();
            let bin = if space.way.get(*i) == Some(&true) { bin(speed(flow, *i)) } else { NO_WAY };
            let from = pieces.partition_point(|p| p.y + half < y);
            for p in pieces.iter().skip(from).take_while(|p| p.y - half <= y).filter(|p| p.x.0 <= x && x <= p.x.1) {
                let worst = of.entry(p.name.clone()).or_default();
                *worst = (*worst).max(bin);
            }
        }
    }
    Some(Look { name: "by air speed".to_owned(), bins: legend(), of })
}

/// Flows of air in a likely case, and with losses and wind to either end.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AirRecord {
    /// Cells of the space under the roofing.
    pub cells: usize,
    /// Of those, cells with a way from eave to top.
    pub with_a_way: usize,
    /// Case by case, the likely one first; a case that was not solved is in `not_solved`.
    pub cases: Vec<AirCaseRecord>,
    /// Cases that were not solved.
    pub not_solved: Vec<String>,
    /// From where to where each figure reaches over all cases.
    pub ranges: Vec<RangeRecord>,
    /// Whether air runs up in one answer and down in another: between them it may stand still, though no case says so.
    pub turns_round: bool,
    /// Statements, and the cases that they hold in.
    pub holds: Vec<HoldsRecord>,
}

/// A statement about the air, and the cases that it holds in.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct HoldsRecord {
    /// In words.
    pub what: String,
    /// The cases that it holds in.
    pub cases: Vec<String>,
    /// The cases that it does not hold in.
    pub not_in: Vec<String>,
    /// The cases that did not settle, or not from every beginning of a day.
    pub not_settled: Vec<String>,
    /// Whether it rests on a computed flow; without it holds in every case.
    pub of_flow: bool,
}

/// From where to where a figure reaches: volumes in m3/s, speeds in m/s, areas in m2, vapour in kg/s, temperatures in kelvins.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RangeRecord {
    /// Which figure.
    pub figure: String,
    /// The least value of all answers.
    pub low: f64,
    /// The case that gave it.
    pub low_case: String,
    /// The values of the likely case, one for each of its answers.
    pub likely: Vec<f64>,
    /// The greatest value of all answers.
    pub high: f64,
    /// The case that gave it.
    pub high_case: String,
}

/// One case: how the uncertain coefficients are taken.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AirCaseRecord {
    /// Such as `likely`, or `more losses, weak wind`.
    pub case: String,
    /// Every answer found; more than one where it depends on how the day began. Answers count as two where what passes
    /// the openings differs by more than 1 percent.
    pub answers: Vec<AirAnswerRecord>,
    /// Beginnings of a day that came to nothing settled.
    pub unsettled: Vec<String>,
}

/// One answer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct AirAnswerRecord {
    /// Beginnings of a day that come to it; none where nothing warms the air on its way.
    pub begun: Vec<String>,
    /// Volume that flows through at the outside temperature, m3/s.
    pub volume: f64,
    /// Air changes an hour.
    pub changes: f64,
    /// Highest mean speed in a cell, m/s.
    pub fastest: f64,
    /// Area where the air is slower than `air.still`, pockets included, m2.
    pub still_area: f64,
    /// Vapour that the flow can carry off, kg/s, where the humidity is stated.
    pub vapour: Option<f64>,
    /// Mean temperature of the air that leaves, kelvins, where any does.
    pub leaving: Option<f64>,
    /// Speeds in the passages between cells.
    pub speeds: SpeedsRecord,
    /// Bays from the least to the most flow, at most 500 of them.
    pub bays: Vec<BayRecord>,
    /// Steps of the solver.
    pub steps: usize,
    /// Largest imbalance of a cell over the throughput.
    pub imbalance: f64,
    /// Largest error of a passage's law over what drives the air.
    pub residual: f64,
}

/// Speeds in all passages, m/s: the least, quarters and the most.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SpeedsRecord {
    /// How many passages.
    pub passages: usize,
    /// Least, lower quarter, middle, upper quarter, most; empty without passages.
    pub quarters: Vec<f64>,
}

/// A bay between neighbouring lines.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BayRecord {
    /// The slope.
    pub slope: String,
    /// The bay in words.
    pub name: String,
    /// Mean flow up the slope, m3/s; below zero where it runs down.
    pub flow: f64,
    /// Highest speed, m/s.
    pub fastest: f64,
}

/// The flows of a plan; `None` where the design does not state what they need.
pub fn record(ctx: &Context<'_>) -> Option<AirRecord> {
    let solved = ctx.flows().ok()?;
    let space = ctx.space();
    let one = |(f, a): &(Flow, Answers)| AirAnswerRecord {
        begun: a.begun.clone(),
        volume: a.volume,
        changes: a.changes,
        fastest: a.fastest,
        still_area: a.still.iter().filter_map(|c| space.cells.get(*c as usize)).map(crate::air::Cell::area).sum(),
        vapour: a.vapour,
        leaving: a.leaving,
        speeds: speeds(ctx, f),
        bays: a.bays.iter().take(MOST_BAYS).map(|b| bay(ctx, b)).collect(),
        steps: f.steps,
        imbalance: f.imbalance,
        residual: f.residual,
    };
    let cases = solved.iter().filter_map(|s| {
        let answers = s.found.as_ref().ok()?.iter().map(one).collect();
        Some(AirCaseRecord { case: s.case.word().to_owned(), answers, unsettled: s.unsettled.clone() })
    });
    let rules = compare(ctx.design, ctx.structure, space).unwrap_or_default();
    let holds = statements(space, ctx.design, &rules, solved).into_iter().map(|s| {
        let words = |cases: &[Case]| cases.iter().map(|c| c.word().to_owned()).collect();
        HoldsRecord {
            cases: words(&s.holds),
            not_in: words(&s.fails),
            not_settled: words(&s.open),
            what: s.what,
            of_flow: s.of_flow,
        }
    });
    let range = |r: crate::air::Range| RangeRecord {
        figure: r.figure.word().to_owned(),
        low: r.low.0,
        low_case: r.low.1.word().to_owned(),
        likely: r.likely,
        high: r.high.0,
        high_case: r.high.1.word().to_owned(),
    };
    Some(AirRecord {
        cells: space.cells.len(),
        with_a_way: space.with_a_way(),
        cases: cases.collect(),
        not_solved: solved.iter().filter(|s| s.found.is_err()).map(|s| s.case.word().to_owned()).collect(),
        ranges: ranges(space, solved).into_iter().map(range).collect(),
        turns_round: turns_round(space, solved),
        holds: holds.collect(),
    })
}

fn bay(ctx: &Context<'_>, b: &Bay) -> BayRecord {
    let slope = ctx.structure.slopes.get(b.slope.0).map_or(String::new(), |s| s.name.clone());
    BayRecord { slope, name: b.name(), flow: b.flow, fastest: b.fastest }
}

fn speeds(ctx: &Context<'_>, flow: &Flow) -> SpeedsRecord {
    let space = ctx.space();
    let mut all: Vec<f64> = (0..space.passages.len()).filter_map(|i| flow.speed_in(space, i)).collect();
    all.sort_by(f64::total_cmp);
    let quarters = (0..=4).filter_map(|q| all.get(all.len().saturating_sub(1) * q / 4).copied()).collect();
    SpeedsRecord { passages: all.len(), quarters }
}

fn bin(speed: f64) -> u8 {
    let at = BOUNDS.iter().position(|b| speed >= *b).unwrap_or(BOUNDS.len());
    u8::try_from(at).unwrap_or(u8::MAX)
}

fn legend() -> Vec<String> {
    let mut all = vec![format!("{} m/s and more", BOUNDS[0])];
    all.extend(BOUNDS.windows(2).map(|w| format!("{} to {} m/s", w[1], w[0])));
    all.push(format!("below {} m/s", BOUNDS[BOUNDS.len() - 1]));
    all.push("no way for the air".to_owned());
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bins_from_fast_to_slow() {
        assert_eq!([0.3, 0.2, 0.19, 0.05, 0.011, 0.0].map(bin), [0, 0, 1, 2, 4, 5]);
        assert_eq!(legend().len(), super::super::MOST_BINS);
    }
}
