//! Every cell and every link of the air's network as lists, walked and never collected.
//!
//! Aim: anyone can lay the computed flows beside another program's. Reason: bays and quarters show a roof, not a network.
//! Limits: SI throughout, whatever units the design shows; cells are numbered slope by slope from the eave up, from left to
//! right, as long as nothing changes in the design. A case with fewer answers than another leaves its columns empty.

use std::rc::Rc;

use super::{Cell as Value, ColumnKind};
use crate::air::{Case, End, Flow, Space, Way, extremes};
use crate::check::Context;
use crate::design::SlopeId;
use crate::quantity::list;

/// A list whose rows are walked.
pub struct WalkedTable<'c> {
    /// Its name, as in file names.
    pub name: &'static str,
    /// Headings and kinds.
    pub columns: Vec<super::Column>,
    /// What must be read with it.
    pub notes: Vec<String>,
    /// Its rows in order.
    pub rows: Box<dyn Iterator<Item = Vec<Value>> + 'c>,
}

const METRES: ColumnKind = ColumnKind::Number("m", 4);
const FLOW: ColumnKind = ColumnKind::Number("g/s", 9);
const SPEED: ColumnKind = ColumnKind::Number("m/s", 6);
const PRESSURE: ColumnKind = ColumnKind::Number("Pa", 6);
const TEMPERATURE: ColumnKind = ColumnKind::Number("deg C", 3);

/// The answer with the least flow of all, one of the likely case, and the one with the most flow.
type Three<'c> = [Option<&'c Flow>; 3];

/// The answers of the likely case, beside the first one the ends; empty where no flow was computed.
fn answers<'c>(ctx: &'c Context<'_>) -> Vec<Three<'c>> {
    let cases = ctx.flows().unwrap_or_default();
    let Some([(_, least), (_, most)]) = extremes(cases) else { return Vec::new() };
    let likely = cases.iter().filter(|s| s.case == Case::LIKELY).flat_map(|s| s.found.iter().flatten());
    let mut all: Vec<Three<'c>> = likely.map(|(f, _)| [None, Some(f), None]).collect();
    if all.is_empty() {
        all.push([None; 3]);
    }
    if let Some(first) = all.first_mut() {
        (first[0], first[2]) = (Some(least), Some(most));
    }
    all
}

/// Cells, then links, where flows were computed.
pub fn air_tables<'c>(ctx: &'c Context<'_>) -> Vec<WalkedTable<'c>> {
    if answers(ctx).is_empty() {
        return Vec::new();
    }
    vec![cells(ctx), links(ctx)]
}

fn columns(all: &[(&'static str, ColumnKind)]) -> Vec<super::Column> {
    all.iter().map(|(title, kind)| super::Column { title, kind: *kind }).collect()
}

fn notes(ctx: &Context<'_>) -> Vec<String> {
    let cases = extremes(ctx.flows().unwrap_or_default());
    let ends = cases.map_or(String::new(), |[(low, _), (high, _)]| {
        format!(" Here these are the cases \"{}\" and \"{}\".", low.word(), high.word())
    });
    vec![
        format!(
            "The likely case, and of all solved cases the flows that carry the least and the most through the whole roof: a single \
             place may have more in the first than in the second.{ends} Where the likely case has more than one answer, by how a \
             day began, each has its own rows, numbered in the column `answer`."
        ),
        "Pressures are against the air outside at the same height. Flows are along from-to, below zero where the air runs \
         the other way; speeds are means over the area of the link, of an opening its free area."
            .to_owned(),
    ]
}

/// Names of cells: the slope's with `A` and a number.
struct Names<'c> {
    slopes: Vec<&'c str>,
    /// Number of the first cell of each slope.
    first: Vec<usize>,
    digits: usize,
}

impl<'c> Names<'c> {
    fn of(ctx: &'c Context<'_>) -> Names<'c> {
        let cells = &ctx.space().cells;
        let slopes: Vec<&str> = ctx.structure.slopes.iter().map(|s| s.name.as_str()).collect();
        let first = (0..slopes.len()).map(|s| cells.partition_point(|c| c.slope < SlopeId(s))).collect();
        Names { slopes, first, digits: cells.len().to_string().len() }
    }

    fn cell(&self, space: &Space, cell: u32) -> String {
        let slope = space.cells.get(cell as usize).map_or(0, |c| c.slope.0);
        let number = (cell as usize + 1).saturating_sub(self.first.get(slope).copied().unwrap_or(0));
        format!("{}-A{number:0w$}", self.slope(slope), w = self.digits)
    }

    fn slope(&self, slope: usize) -> &'c str {
        self.slopes.get(slope).copied().unwrap_or("")
    }
}

fn text(t: impl Into<String>) -> Value {
    Value::Text(t.into())
}

fn number(v: Option<f64>) -> Value {
    v.map_or(Value::Empty, Value::Number)
}

/// At the least flow, in the likely case and at the most flow.
fn three(flows: &Three<'_>, of: impl Fn(&Flow) -> Option<f64>) -> impl Iterator<Item = Value> {
    flows.map(|f| number(f.and_then(&of))).into_iter()
}

fn cells<'c>(ctx: &'c Context<'_>) -> WalkedTable<'c> {
    let space = ctx.space();
    let names = Rc::new(Names::of(ctx));
    let row = move |k: usize, flows: &Three<'_>, i: usize, c: &crate::air::Cell| {
        let id = list::number(i);
        let way = if space.way.get(i) == Some(&true) { "yes" } else { "no" };
        let mut row = vec![text(names.cell(space, id)), text(names.slope(c.slope.0)), Value::Count(k as u64 + 1)];
        row.extend([c.x.0, c.x.1, c.y.0, c.y.1, c.height()].map(|v| number(Some(v))));
        row.push(text(way));
        row.extend(three(flows, |f| f.pressures.get(i).copied().flatten()));
        row.extend(three(flows, |f| f.temperatures.get(i).map(|t| t - crate::airflow::CELSIUS)));
        row.extend(three(flows, |f| Some(crate::air::speed(f, i))));
        row
    };
    let rows = answers(ctx).into_iter().enumerate().flat_map(move |(k, flows)| {
        let row = row.clone();
        space.cells.iter().enumerate().map(move |(i, c)| row(k, &flows, i, c))
    });
    WalkedTable {
        name: "air-cells",
        columns: columns(&[
            ("cell", ColumnKind::Text),
            ("slope", ColumnKind::Text),
            ("answer", ColumnKind::Count),
            ("left", METRES),
            ("right", METRES),
            ("lower end", METRES),
            ("upper end", METRES),
            ("height of space", METRES),
            ("on a way", ColumnKind::Text),
            ("pressure at least flow", PRESSURE),
            ("pressure in likely case", PRESSURE),
            ("pressure at most flow", PRESSURE),
            ("temperature at least flow", TEMPERATURE),
            ("temperature in likely case", TEMPERATURE),
            ("temperature at most flow", TEMPERATURE),
            ("speed at least flow", SPEED),
            ("speed in likely case", SPEED),
            ("speed at most flow", SPEED),
        ]),
        notes: notes(ctx),
        rows: Box::new(rows),
    }
}

fn kind(way: Way) -> &'static str {
    match way {
        Way::Up => "up the slope",
        Way::Beside => "beside",
        Way::OverStrip(_) => "over a strip",
        Way::ThroughStrip(_) => "through a strip",
        Way::OverEdge => "over an edge",
    }
}

fn links<'c>(ctx: &'c Context<'_>) -> WalkedTable<'c> {
    let space = ctx.space();
    let names = Rc::new(Names::of(ctx));
    let rows = answers(ctx).into_iter().enumerate().flat_map(move |(k, flows)| {
        let (inside, outside) = (Rc::clone(&names), Rc::clone(&names));
        let passages = space.passages.iter().enumerate().map(move |(i, p)| {
            let ends = [p.from, p.to].map(|c| text(inside.cell(space, c)));
            let mut row = vec![text(kind(p.way)), Value::Count(k as u64 + 1)];
            row.extend(ends);
            row.push(number(Some(p.width * p.height)));
            row.extend(three(&flows, |f| f.passages.get(i).map(|q| q * 1e3)));
            row.extend(three(&flows, |f| f.speed_in(space, i)));
            row
        });
        let openings = space.openings.iter().enumerate().map(move |(i, o)| {
            let end = match (o.rake, o.end) {
                (Some(_), _) => "opening at a rake",
                (None, End::Low) => "opening at an eave",
                (None, End::High) => "opening at a top",
            };
            let mut row = vec![text(end), Value::Count(k as u64 + 1)];
            row.push(text(format!("outside {}.{}", outside.slope(o.edge.0.0), o.edge.1 + 1)));
            row.push(text(outside.cell(space, o.cell)));
            row.push(number(flows.iter().flatten().find_map(|f| f.free.get(i).copied())));
            row.extend(three(&flows, |f| f.openings.get(i).map(|q| q * 1e3)));
            row.extend(three(&flows, |f| f.speed_through(space, i)));
            row
        });
        passages.chain(openings)
    });
    WalkedTable {
        name: "air-links",
        columns: columns(&[
            ("kind", ColumnKind::Text),
            ("answer", ColumnKind::Count),
            ("from", ColumnKind::Text),
            ("to", ColumnKind::Text),
            ("area", ColumnKind::Number("m2", 8)),
            ("flow at least flow", FLOW),
            ("flow in likely case", FLOW),
            ("flow at most flow", FLOW),
            ("speed at least flow", SPEED),
            ("speed in likely case", SPEED),
            ("speed at most flow", SPEED),
        ]),
        notes: notes(ctx),
        rows: Box::new(rows),
    }
}
