//! Windows as records: what `airlath marks` prints and writes.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use crate::aim::{MarkedRectangle, Region, mark_step, marked_rectangle};
use crate::check::{Context, OnSlope};
use crate::lattice::{Landing, On, x_at};

/// The window of one fastener.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MarkRecord {
    /// The slope's name.
    pub slope: String,
    /// The course's name.
    pub course: String,
    /// The landing's name.
    pub landing: String,
    /// Number of the fastener within the landing, from 1.
    pub fastener: usize,
    /// The line, or what else the landing is on.
    pub on: String,
    /// x of the line's centre at this height, on the slope, metres: the middle of its strip, as it is chalked.
    pub centre: f64,
    /// y of the batten's lower edge, on the slope, metres.
    pub edge: f64,
    /// Where the plan puts the fastener: x and y on the slope, metres.
    pub planned: [f64; 2],
    /// How far one may drive at every tilt of the hand, marks rounded inward; `None` where no mark falls into the window.
    pub mark: Option<Marked>,
    /// What cannot be met together, where there is no sure window; empty where there is one.
    pub conflict: Vec<String>,
    /// The window driven without tilt: shapes, each an outer ring and its holes of x and y on the slope, metres.
    pub square: Vec<Vec<Vec<[f64; 2]>>>,
    /// The window that works at every tilt of the hand.
    pub sure: Vec<Vec<Vec<[f64; 2]>>>,
    /// What would open an empty window, each shown open by a re-run or at its tilt; what brings a finding elsewhere is words alone.
    pub remedies: Vec<RemedyRecord>,
}

/// A rectangle of marks, metres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Marked {
    /// From the line's centre to the left and right limit; negative to the left.
    pub across: [f64; 2],
    /// From the batten's lower edge to the low and high limit.
    pub up: [f64; 2],
}

/// Something that opens an empty window.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RemedyRecord {
    /// What to do.
    pub text: String,
    /// The same as a change of the design file; `None` for a tilt, and for a change that brings a finding elsewhere.
    pub change: Option<String>,
    /// Area of the window that it opens, square metres.
    pub area: f64,
}

/// The windows of a slope, course by course and from left to right. `remedies` is asked for those that are empty:
/// landing, fastener.
pub fn marks(
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    mut remedies: impl FnMut(usize, usize, crate::aim::Conditions) -> Vec<RemedyRecord>,
) -> Vec<MarkRecord> {
    let Some(site) = ctx.site(on) else { return Vec::new() };
    let step = mark_step(ctx.design.units);
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let shapes = |region: &Region| region.shapes().to_vec();
    let middles = Middles::of(on);
    let mut all = Vec::new();
    for (number, landing) in on.lattice.landings.iter().enumerate() {
        let Some(piece) = on.piece(landing) else { continue };
        let course = on.lattice.courses.get(piece.course as usize).map_or("", |c| c.name.as_str());
        let (centre, edge) = (middles.centre(landing), piece.y - half);
        for (k, f) in on.lattice.fasteners_of(landing).iter().enumerate() {
            let (square, sure) = (site.square(number, k), site.sure(number, k));
            let conflict = if sure.is_empty() { site.conflict(number, k) } else { None };
            all.push(MarkRecord {
                slope: on.frame.name.clone(),
                course: course.to_owned(),
                landing: ctx.landing_name(on, landing),
                fastener: k + 1,
                on: on.lattice.on_name(landing, ctx.structure).to_owned(),
                centre,
                edge,
                planned: [f.x, f.y],
                mark: marked(&sure, [f.x, f.y], [centre, edge], step),
                conflict: conflict.into_iter().flat_map(|c| c.list()).map(|c| c.words().to_owned()).collect(),
                square: shapes(&square),
                sure: shapes(&sure),
                remedies: conflict.map(|c| remedies(number, k, c)).unwrap_or_default(),
            });
        }
    }
    all
}

fn marked(sure: &Region, planned: [f64; 2], origin: [f64; 2], step: f64) -> Option<Marked> {
    let metres = |r: MarkedRectangle| {
        let of = |(a, b): (i64, i64)| [a as f64 * step, b as f64 * step];
        Marked { across: of(r.across), up: of(r.up) }
    };
    marked_rectangle(sure, planned, origin, step).map(metres)
}

/// For each line of a slope and each fastener of its landings, by number: how far left and right of the line's centre one
/// may drive at every course, each at the height that [`marks`] gives for it. `None` for a line where a fastener has no
/// mark, where no such place serves all courses, or which has no landing.
pub(super) fn across_by_line(ctx: &Context<'_>, on: &OnSlope<'_>) -> Vec<Option<Vec<[f64; 2]>>> {
    let mut lines: Vec<Option<Vec<[f64; 2]>>> = vec![Some(Vec::new()); on.lattice.lines.len()];
    let Some(site) = ctx.site(on) else { return vec![None; lines.len()] };
    let step = mark_step(ctx.design.units);
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let middles = Middles::of(on);
    for (number, landing) in on.lattice.landings.iter().enumerate() {
        let On::Line(line) = landing.on else { continue };
        let (Some(slot), Some(piece)) = (lines.get_mut(line as usize), on.piece(landing)) else { continue };
        let origin = [middles.centre(landing), piece.y - half];
        for (k, f) in on.lattice.fasteners_of(landing).iter().enumerate() {
            let Some(so_far) = slot.as_mut() else { break };
            let mark = marked(&site.sure(number, k), [f.x, f.y], origin, step).map(|m| m.across);
            let here = match (mark, so_far.get(k)) {
                (Some([a, b]), Some([c, d])) => Some([a.max(*c), b.min(*d)]),
                (mark, _) => mark,
            };
            match here.filter(|[a, b]| a <= b) {
                None => *slot = None,
                Some(both) => match so_far.get_mut(k) {
                    Some(place) => *place = both,
                    None => so_far.push(both),
                },
            }
        }
    }
    lines.into_iter().map(|l| l.filter(|l| !l.is_empty())).collect()
}

/// The middles of strips by their lines; of tapes where a line has no strips. The same that a line's measures name.
struct Middles<'a>(BTreeMap<u32, Vec<&'a [(f64, f64)]>>);

impl<'a> Middles<'a> {
    fn of(on: &OnSlope<'a>) -> Middles<'a> {
        let mut all: BTreeMap<u32, Vec<&[(f64, f64)]>> = BTreeMap::new();
        for strip in &on.lattice.strips {
            if let Some(line) = strip.line {
                all.entry(line).or_default().push(&strip.path);
            }
        }
        let bare: Vec<(u32, &[(f64, f64)])> = on
            .lattice
            .tapes
            .iter()
            .filter_map(|t| t.line.filter(|l| !all.contains_key(l)).map(|l| (l, t.path.as_slice())))
            .collect();
        for (line, path) in bare {
            all.entry(line).or_default().push(path);
        }
        Middles(all)
    }

    /// The middle of the strip that a landing is on. Past a strip's ends, as over a vent piece, it counts on from its end.
    fn centre(&self, landing: &Landing) -> f64 {
        let On::Line(line) = landing.on else { return landing.x };
        let past = |p: &[(f64, f64)]| {
            let ends = p.first().zip(p.last());
            ends.map_or(f64::INFINITY, |(a, b)| (a.0 - landing.y).max(landing.y - b.0).max(0.0))
        };
        let beside = |p: &[(f64, f64)]| (x_at(p, landing.y) - landing.x).abs();
        let paths = self.0.get(&line).into_iter().flatten();
        let nearest = paths.min_by(|a, b| past(a).total_cmp(&past(b)).then(beside(a).total_cmp(&beside(b))));
        nearest.map_or(landing.x, |p| x_at(p, landing.y))
    }
}
