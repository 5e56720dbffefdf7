//! The roof as found, from marks: first the roof itself, then each member, straight or bent, with its error.

use std::collections::BTreeMap;

use super::corners::{Between, corners};
use super::fit::{Fit, Form, ONE_PLACE, Point, fit};
use super::marks::{Kind, Mark};
use crate::design::{Design, SlopeId, nearest};
use crate::lattice::{Lattice, x_at};
use crate::quantity::Length;
use crate::quantity::maths::{apart, hypot};
use crate::solid::{Point3, Vector3};
use crate::structure::{Member, Outline, State, Structure};

/// A mark is refused when another member lies nearer to it than its own by more than this, metres: one inch, `common practice,
/// no source`.
pub const BETTER_BY: f64 = 0.0254;
/// Two marks contradict each other beyond so many standard deviations of their difference: by chance in one of 16,000 pairs.
pub const CONTRADICTS: f64 = 4.0;
/// Marks nearer than this along a member speak of the same place, metres.
const SAME_STRETCH: f64 = 0.05;
/// Members with a gap below this between them stand side by side, metres.
const SIDE_BY_SIDE: f64 = 0.006;
/// Further off its drawn line a member is another one, metres: as for what the design file states.
const FURTHEST: f64 = 0.5;

/// A mark that is not used, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct Refused {
    /// Row of the table.
    pub row: usize,
    /// The mark in words.
    pub mark: String,
    /// Why.
    pub why: String,
}

/// One measure of the roof itself.
#[derive(Clone, Debug, PartialEq)]
pub struct RoofMeasure {
    /// Row of the table.
    pub row: usize,
    /// What, in words.
    pub what: String,
    /// As drawn, metres.
    pub drawn: f64,
    /// As measured, metres.
    pub measured: f64,
}

/// What was measured of one slope.
#[derive(Clone, Debug, PartialEq)]
pub struct SlopeFound {
    /// The slope.
    pub slope: SlopeId,
    /// Its measures.
    pub measures: Vec<RoofMeasure>,
    /// Its corners, where the measures determine them.
    pub corners: Option<Vec<(f64, f64)>>,
    /// In words, how far it is out of square, and what is missing.
    pub said: Vec<String>,
}

/// An opening as found.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningFound {
    /// Its name.
    pub name: String,
    /// Lower left corner, metres.
    pub at: (f64, f64),
    /// Width and height, metres.
    pub size: (f64, f64),
    /// Lower left corner, width and height as drawn, metres.
    pub drawn: ((f64, f64), (f64, f64)),
    /// How far its corners are from a rectangle, metres.
    pub out_of_square: f64,
}

/// A member as found.
#[derive(Clone, Debug, PartialEq)]
pub struct MemberFound {
    /// Its name.
    pub name: String,
    /// Length of its drawn line, metres.
    pub length: f64,
    /// Marks used.
    pub marks: usize,
    /// The line through them.
    pub fit: Fit,
    /// Places along it and offsets there, metres: what the found file says.
    pub offsets: Vec<(f64, f64)>,
}

/// What marks come to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Survey {
    /// Slopes.
    pub slopes: Vec<SlopeFound>,
    /// Openings.
    pub openings: Vec<OpeningFound>,
    /// Members in the order of the structure.
    pub members: Vec<MemberFound>,
    /// Marks that are not used.
    pub refused: Vec<Refused>,
    /// What else is to be said.
    pub notes: Vec<String>,
}

/// Works out what marks come to. `error` is the standard deviation of a mark, metres.
pub fn survey(design: &Design, drawn: &Structure, lattice: &Lattice, marks: &[Mark], error: f64) -> Survey {
    let outlines = drawn.slopes.iter().zip(&design.slopes).map(|(f, s)| {
        // What the design's own [found] says of the outline holds until it is measured again.
        if s.found_outline.is_some() { Outline::of(s, State::Found) } else { f.outline.clone() }
    });
    let mut work = Work {
        design,
        drawn,
        lattice,
        error,
        outlines: outlines.collect(),
        controls: BTreeMap::new(),
        survey: Survey::default(),
    };
    work.roof(marks);
    work.controls(marks);
    work.openings(marks);
    work.members(marks);
    work.survey.refused.sort_by_key(|r| r.row);
    work.survey
}

struct Work<'a> {
    design: &'a Design,
    drawn: &'a Structure,
    lattice: &'a Lattice,
    error: f64,
    outlines: Vec<Outline>,
    /// Slope and x of each control line.
    controls: BTreeMap<String, (SlopeId, f64)>,
    survey: Survey,
}

/// A mark of a member in the member's own terms.
#[derive(Clone, Copy)]
struct Placed<'m> {
    mark: &'m Mark,
    along: f64,
    /// Of the place that was marked, not yet of the centre.
    off: f64,
}

impl Work<'_> {
    fn show(&self, metres: f64) -> String {
        Length::from_metres(metres).show_fine(self.design.units)
    }

    fn refuse(&mut self, mark: &Mark, why: impl Into<String>) {
        let words = format!("{} of {}, {} from {}", mark.kind.word(), mark.of, self.show(mark.measure), mark.from);
        let words = words.strip_suffix(" from ").map_or(words.clone(), str::to_owned);
        self.survey.refused.push(Refused { row: mark.row, mark: words, why: why.into() });
    }

    /// An edge by its name, such as `S.4`.
    fn edge(&self, name: &str) -> Option<(SlopeId, usize)> {
        let (slope, number) = name.rsplit_once('.')?;
        let id = self.design.slopes.iter().position(|s| s.name == slope)?;
        let edge = number.parse::<usize>().ok()?.checked_sub(1)?;
        (edge < self.design.slopes.get(id)?.outline.len()).then_some((SlopeId(id), edge))
    }

    fn no_edge(&self, name: &str) -> String {
        let edges: Vec<String> = self
            .design
            .slopes
            .iter()
            .flat_map(|s| (1..=s.outline.len()).map(move |n| format!("{}.{n}", s.name)))
            .chain(self.controls.keys().cloned())
            .collect();
        match nearest(name, edges.iter().map(String::as_str)) {
            Some(near) => format!("no edge or control line is named {name}; did you mean {near}?"),
            None => format!(
                "no edge or control line is named {name}; edges are named like {}",
                edges.first().map_or("S.1", |e| e)
            ),
        }
    }

    /// Sides and diagonals.
    fn roof(&mut self, marks: &[Mark]) {
        let mut of: BTreeMap<SlopeId, Vec<(Between, &Mark)>> = BTreeMap::new();
        for mark in marks {
            let pair = match mark.kind {
                Kind::Side => self.edge(&mark.of).map(|(s, e)| {
                    let n = self.design.slopes.get(s.0).map_or(1, |s| s.outline.len());
                    (s, e, (e + 1) % n)
                }),
                Kind::Diagonal => mark.of.rsplit_once('-').and_then(|(first, second)| {
                    let (slope, a) = self.edge(first)?;
                    let b = second.trim().parse::<usize>().ok()?.checked_sub(1)?;
                    let n = self.design.slopes.get(slope.0)?.outline.len();
                    (b < n && a != b).then_some((slope, a, b))
                }),
                _ => continue,
            };
            let Some((slope, a, b)) = pair else {
                let why = if mark.kind == Kind::Side {
                    format!("no edge is named {}; edge 1 of slope S is S.1", mark.of)
                } else {
                    format!("{} names no two corners; those of slope S are named like S.1-3", mark.of)
                };
                self.refuse(mark, why);
                continue;
            };
            let measures = of.entry(slope).or_default();
            let same = measures
                .iter()
                .find(|(m, _)| (m.a, m.b) == (a, b) || (m.a, m.b) == (b, a))
                .map(|(m, o)| (m.distance, o.row));
            if let Some((other, row)) = same {
                // Measured twice: either they agree and both count, or neither does.
                if (other - mark.measure).abs() > CONTRADICTS * self.error * 2f64.sqrt() {
                    let apart = self.show((other - mark.measure).abs());
                    measures.retain(|(_, o)| o.row != row);
                    let first = marks.iter().find(|m| m.row == row);
                    if let Some(first) = first {
                        self.refuse(first, format!("row {} says {apart} otherwise", mark.row));
                    }
                    self.refuse(mark, format!("row {row} says {apart} otherwise"));
                    continue;
                }
            }
            measures.push((Between { a, b, distance: mark.measure }, mark));
        }
        for (slope, measures) in of {
            let found = self.slope(slope, &measures);
            self.survey.slopes.push(found);
        }
    }

    fn slope(&mut self, slope: SlopeId, measures: &[(Between, &Mark)]) -> SlopeFound {
        let mut found = SlopeFound { slope, measures: Vec::new(), corners: None, said: Vec::new() };
        let Some(outline) = self.drawn.slopes.get(slope.0).map(|s| s.outline.corners.clone()) else { return found };
        let distance = |a: usize, b: usize| match (outline.get(a), outline.get(b)) {
            (Some(p), Some(q)) => apart(*p, *q),
            _ => 0.0,
        };
        for (m, mark) in measures {
            found.measures.push(RoofMeasure {
                row: mark.row,
                what: format!("{} {}", mark.kind.word(), mark.of),
                drawn: distance(m.a, m.b),
                measured: m.distance,
            });
        }
        // Of a quadrilateral the two diagonals, less what the drawing has them apart, say it in one number.
        let diagonal = |a: usize, b: usize| {
            let m = measures.iter().find(|(m, _)| (m.a, m.b) == (a, b) || (m.a, m.b) == (b, a))?;
            Some(m.0.distance)
        };
        if outline.len() == 4
            && let (Some(one), Some(two)) = (diagonal(0, 2), diagonal(1, 3))
        {
            let apart = (one - two) - (distance(0, 2) - distance(1, 3));
            let said = if apart.abs() > CONTRADICTS * self.error * 2f64.sqrt() {
                format!("out of square: the diagonals differ from the drawing's by {}", self.show(apart.abs()))
            } else {
                format!("square as drawn, as far as the marks tell: the diagonals differ by {}", self.show(apart.abs()))
            };
            found.said.push(said);
        }
        let between: Vec<Between> = measures.iter().map(|(m, _)| *m).collect();
        match corners(&outline, &between) {
            None => found.said.push(format!(
                "{} measures do not determine its {} corners: measure all sides and enough diagonals",
                measures.len(),
                outline.len()
            )),
            Some(c) if c.worst.1.abs() > CONTRADICTS * self.error => {
                let row = measures.get(c.worst.0).map_or(0, |(_, m)| m.row);
                found.said.push(format!(
                    "its measures contradict each other: row {row} is {} off what the others say; measure again",
                    self.show(c.worst.1.abs())
                ));
                for (_, mark) in measures {
                    self.refuse(mark, "the measures of this slope contradict each other");
                }
            }
            Some(c) => {
                let moved = c.at.iter().zip(&outline).map(|(a, b)| apart(*a, *b)).fold(0.0, f64::max);
                found.said.push(format!(
                    "its corners follow from {} measures, {} more than are needed; the furthest moved {}",
                    measures.len(),
                    c.spare,
                    self.show(moved)
                ));
                if let Some(o) = self.outlines.get_mut(slope.0) {
                    o.corners.clone_from(&c.at);
                }
                found.corners = Some(c.at);
            }
        }
        found
    }

    fn controls(&mut self, marks: &[Mark]) {
        for mark in marks.iter().filter(|m| m.kind == Kind::ControlLine) {
            let Some((slope, edge)) = self.edge(&mark.from) else {
                let why = self.no_edge(&mark.from);
                self.refuse(mark, why);
                continue;
            };
            if self.edge(&mark.of).is_some() || self.controls.contains_key(&mark.of) {
                self.refuse(mark, format!("{} has a meaning already", mark.of));
                continue;
            }
            // At the edge's lower end: a control line is straight up the slope.
            let y = self.outlines.get(slope.0).and_then(|o| o.ends(edge)).map_or(0.0, |(a, b)| a.1.min(b.1));
            match self.beside(slope, edge, y, mark.measure) {
                Some(x) => {
                    self.controls.insert(mark.of.clone(), (slope, x));
                }
                None => {
                    self.refuse(mark, format!("{} runs along the eave: nothing is measured across from it", mark.from))
                }
            }
        }
    }

    /// x at a height, so far inward from an edge that runs up the slope.
    fn beside(&self, slope: SlopeId, edge: usize, y: f64, measure: f64) -> Option<f64> {
        let outline = self.outlines.get(slope.0)?;
        let ((ax, ay), (bx, by)) = outline.ends(edge)?;
        let (nx, _) = outline.outward(edge)?;
        if nx.abs() < 0.2 {
            return None;
        }
        let x = ax + (bx - ax) * (y - ay) / (by - ay);
        Some(x - measure * nx.signum())
    }

    /// y at a place along the eave, so far inward from an edge that runs along it.
    fn above(&self, slope: SlopeId, edge: usize, x: f64, measure: f64) -> Option<f64> {
        let outline = self.outlines.get(slope.0)?;
        let ((ax, ay), (bx, by)) = outline.ends(edge)?;
        let (_, ny) = outline.outward(edge)?;
        if ny.abs() < 0.2 {
            return None;
        }
        let y = ay + (by - ay) * (x - ax) / (bx - ax);
        Some(y - measure * ny.signum())
    }

    /// The place of a mark on a slope; `upright` where it is measured across.
    fn place(&self, slope: SlopeId, upright: bool, mark: &Mark) -> Result<(f64, f64), String> {
        if let Some((on, x)) = self.controls.get(&mark.from) {
            return if *on != slope {
                Err(format!("{} lies on another slope", mark.from))
            } else if upright {
                Ok((x + mark.measure, mark.place))
            } else {
                Err("a control line runs up the slope; measure this member from an eave or top edge".into())
            };
        }
        let Some((on, edge)) = self.edge(&mark.from) else { return Err(self.no_edge(&mark.from)) };
        if on != slope {
            return Err(format!("{} is an edge of another slope", mark.from));
        }
        if upright {
            let x = self.beside(slope, edge, mark.place, mark.measure);
            x.map(|x| (x, mark.place)).ok_or_else(|| format!("{} runs along the eave; measure from a rake", mark.from))
        } else {
            let y = self.above(slope, edge, mark.place, mark.measure);
            y.map(|y| (mark.place, y))
                .ok_or_else(|| format!("{} runs up the slope; measure from an eave or top", mark.from))
        }
    }

    fn openings(&mut self, marks: &[Mark]) {
        let mut of: BTreeMap<(usize, usize), Quad> = BTreeMap::new();
        for mark in marks.iter().filter(|m| m.kind == Kind::OpeningCorner) {
            let named = mark.of.rsplit_once('.').and_then(|(name, corner)| {
                let corner = corner.parse::<usize>().ok()?.checked_sub(1).filter(|c| *c < 4)?;
                let slopes = self.design.slopes.iter().enumerate();
                slopes
                    .flat_map(|(s, slope)| slope.openings.iter().enumerate().map(move |(o, op)| (s, o, op)))
                    .find(|(_, _, o)| o.name == name)
                    .map(|(s, o, _)| (s, o, corner))
            });
            let Some((s, o, corner)) = named else {
                self.refuse(
                    mark,
                    "no corner of an opening has this name; 1 is the lower left one, then counter-clockwise",
                );
                continue;
            };
            match self.place(SlopeId(s), true, mark) {
                Ok(at) => {
                    if let Some(list) = of.entry((s, o)).or_default().get_mut(corner) {
                        list.push(at);
                    }
                }
                Err(why) => self.refuse(mark, why),
            }
        }
        for ((s, o), at) in of {
            let Some(opening) = self.design.slopes.get(s).and_then(|s| s.openings.get(o)) else { continue };
            let mean = |corners: [usize; 2], of: &dyn Fn(&(f64, f64)) -> f64| {
                let all: Vec<f64> = corners.iter().filter_map(|c| at.get(*c)).flatten().map(of).collect();
                let spread = all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |m, v| (m.0.min(*v), m.1.max(*v)));
                (!all.is_empty()).then(|| (all.iter().sum::<f64>() / all.len() as f64, spread.1 - spread.0))
            };
            let sides =
                [mean([0, 3], &|p| p.0), mean([1, 2], &|p| p.0), mean([0, 1], &|p| p.1), mean([2, 3], &|p| p.1)];
            let [Some(left), Some(right), Some(low), Some(high)] = sides else {
                let said = format!("opening {}: mark at least two opposite corners", opening.name);
                self.survey.notes.push(said);
                continue;
            };
            let metres = |c: crate::design::Corner| (c.0.metres(), c.1.metres());
            let found = OpeningFound {
                name: opening.name.clone(),
                at: (left.0, low.0),
                size: (right.0 - left.0, high.0 - low.0),
                drawn: (metres(opening.at), metres(opening.size)),
                out_of_square: left.1.max(right.1).max(low.1).max(high.1),
            };
            if found.size.0 < 0.01 || found.size.1 < 0.01 {
                self.survey.notes.push(format!("opening {}: its corners make no rectangle", opening.name));
            } else {
                self.survey.openings.push(found);
            }
        }
    }

    /// The member of a mark: itself, or that of a line which lies nearest.
    fn member_of(&self, mark: &Mark) -> Result<usize, String> {
        if let Some(i) = self.drawn.members.iter().position(|m| m.name == mark.of) {
            return Ok(i);
        }
        for (s, slope) in self.lattice.slopes.iter().enumerate() {
            let Some(line) = slope.lines.iter().find(|l| l.name == mark.of) else { continue };
            let (x, _) = self.place(SlopeId(s), true, mark)?;
            let here = line.drawn.iter().filter(|m| m.covers(mark.place));
            let off = |m: &&crate::lattice::LineMember| (x_at(&m.path, mark.place) - x).abs();
            let nearest = here.min_by(|a, b| off(a).total_cmp(&off(b)));
            return nearest
                .map(|m| m.member.0 as usize)
                .ok_or_else(|| format!("no member of {} lies at {} up the slope", line.name, self.show(mark.place)));
        }
        let members = self.drawn.members.iter().map(|m| m.name.as_str());
        let lines = self.lattice.slopes.iter().flat_map(|s| s.lines.iter().map(|l| l.name.as_str()));
        Err(match nearest(&mark.of, members.chain(lines)) {
            Some(near) => format!("no member or line is named {}; did you mean {near}?", mark.of),
            None => format!("no member or line is named {}", mark.of),
        })
    }

    fn members(&mut self, marks: &[Mark]) {
        let mut of: BTreeMap<usize, Vec<Placed<'_>>> = BTreeMap::new();
        for mark in marks.iter().filter(|m| m.kind.of_member()) {
            match self.placed(mark) {
                Ok((member, placed)) => of.entry(member).or_default().push(placed),
                Err(why) => self.refuse(mark, why),
            }
        }
        for (i, placed) in of {
            let Some(member) = self.drawn.members.get(i) else { continue };
            self.member(member, placed);
        }
    }

    fn placed<'m>(&mut self, mark: &'m Mark) -> Result<(usize, Placed<'m>), String> {
        let i = self.member_of(mark)?;
        let Some(member) = self.drawn.members.get(i) else { return Err("no such member".into()) };
        let Some(slope) = member.home else {
            return Err(format!("{} is placed in the world; only members that lie on a slope are fitted", member.name));
        };
        let at = self.place(slope, upright(member), mark)?;
        let (along, off) = along_off(member, at);
        if !(-1e-3..=member.length + 1e-3).contains(&along) {
            return Err(format!("{} does not reach so far; it is {} long", member.name, self.show(member.length)));
        }
        let off = centre_off(member, mark.kind, off);
        // Another member that lies nearer.
        let better = self
            .drawn
            .members
            .iter()
            .enumerate()
            .filter(|(k, m)| *k != i && m.home == member.home && upright(m) == upright(member))
            .filter_map(|(_, m)| {
                let (along, raw) = along_off(m, at);
                let theirs = centre_off(m, mark.kind, raw);
                ((0.0..=m.length).contains(&along) && off.abs() - theirs.abs() > BETTER_BY).then_some((theirs.abs(), m))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0));
        // A knock without wood is nearer to no member.
        if let Some((_, other)) = better.filter(|_| mark.kind != Kind::NoWood) {
            let apart = (along_off(member, at).1 - along_off(other, at).1).abs();
            let beside =
                apart - (member.section.width().metres() + other.section.width().metres()) / 2.0 < SIDE_BY_SIDE;
            if beside {
                let note = format!(
                    "row {}: {} stands side by side with {} and lies nearer to this mark; if it is meant, write its name",
                    mark.row, other.name, member.name
                );
                self.survey.notes.push(note);
            } else {
                return Err(format!(
                    "{} explains it better, by more than {}: it is {} off {}",
                    other.name,
                    self.show(BETTER_BY),
                    self.show(off.abs()),
                    member.name
                ));
            }
        }
        if off.abs() > FURTHEST {
            return Err(format!(
                "more than {} off the drawn line of {} is another member",
                self.show(FURTHEST),
                member.name
            ));
        }
        Ok((i, Placed { mark, along, off }))
    }

    fn member(&mut self, member: &Member, placed: Vec<Placed<'_>>) {
        let sharp = |p: &&Placed<'_>| !matches!(p.mark.kind, Kind::Wood | Kind::NoWood);
        let mut refused: BTreeMap<usize, String> = BTreeMap::new();
        // Marks of one place that do not go together.
        let sharps: Vec<&Placed<'_>> = placed.iter().filter(sharp).collect();
        for (n, a) in sharps.iter().enumerate() {
            for b in sharps.iter().skip(n + 1) {
                if (a.along - b.along).abs() < SAME_STRETCH
                    && (a.off - b.off).abs() > CONTRADICTS * self.error * 2f64.sqrt()
                {
                    let apart = self.show((a.off - b.off).abs());
                    for (one, other) in [(a, b), (b, a)] {
                        let why = format!("contradicts row {}: their centres are {apart} apart", other.mark.row);
                        refused.entry(one.mark.row).or_insert(why);
                    }
                }
            }
        }
        let mut points: Vec<Point> = sharps
            .iter()
            .filter(|p| !refused.contains_key(&p.mark.row))
            .map(|p| Point { along: p.along, off: p.off, error: self.error })
            .collect();
        let mut used = points.len();
        points.extend(self.knocked(member, &placed, &mut refused, &mut used));
        let Some(fit) = fit(&points) else {
            self.told(&placed, &refused);
            let hint = "mark its centre or an edge, or knock on until wood and no wood stand side by side";
            self.survey.notes.push(format!("{} is not fitted: {hint}", member.name));
            return;
        };
        // Knocks that the fitted member cannot be true to.
        let half = member.section.width().metres() / 2.0;
        for p in placed.iter().filter(|p| !sharp(p)) {
            if refused.contains_key(&p.mark.row) {
                continue;
            }
            let from = (p.off - fit.at(p.along)).abs();
            let slack = CONTRADICTS * hypot(self.error, fit.error(p.along) / 2.0);
            let wrong = match p.mark.kind {
                Kind::Wood => from > half + slack,
                _ => from < half - slack,
            };
            if wrong {
                let why = format!(
                    "the other marks have {} {} from here, and it is {} wide",
                    member.name,
                    self.show(from),
                    self.show(2.0 * half)
                );
                refused.insert(p.mark.row, why);
            }
        }
        self.told(&placed, &refused);
        let offsets = offsets(member, &fit);
        if offsets.iter().any(|(_, off)| off.abs() > FURTHEST) {
            let note = format!(
                "{} would lie more than {} off its drawn line: mark it at more places",
                member.name,
                self.show(FURTHEST)
            );
            self.survey.notes.push(note);
            return;
        }
        self.survey.notes.extend(self.unsure(member, &fit));
        self.survey.members.push(MemberFound {
            name: member.name.clone(),
            length: member.length,
            marks: used,
            fit,
            offsets,
        });
    }

    /// What is said where marks leave an end of a member so open that a fastener at its middle may miss it: marks near one
    /// another swing the line through them, and the ends swing most.
    fn unsure(&self, member: &Member, fit: &Fit) -> Option<String> {
        let ends = if upright(member) { ["lower", "upper"] } else { ["left", "right"] };
        if fit.form == Form::Moved {
            let far = if fit.span.0 + fit.span.1 > member.length { ends[0] } else { ends[1] };
            let said = "marks at one place only, so it is moved whole; mark it once more near its";
            return Some(format!("{}: {said} {far} end", member.name));
        }
        let (low, high) = (fit.error(0.0), fit.error(member.length));
        let (error, end) = if low > high { (low, ends[0]) } else { (high, ends[1]) };
        let miss = member.section.width().metres() / 2.0 - self.design.fastening.diameter.metres() / 2.0;
        (error > miss).then(|| {
            format!(
                "{}: its marks lie within {} of one another, so at its {end} end its middle is known to {} only; mark it \
                 once more near that end",
                member.name,
                self.show(fit.span.1 - fit.span.0),
                self.show(error)
            )
        })
    }

    /// Edges from knocks: wood and no wood side by side at one place.
    fn knocked(
        &self,
        member: &Member,
        placed: &[Placed<'_>],
        refused: &mut BTreeMap<usize, String>,
        used: &mut usize,
    ) -> Vec<Point> {
        let mut knocks: Vec<&Placed<'_>> =
            placed.iter().filter(|p| matches!(p.mark.kind, Kind::Wood | Kind::NoWood)).collect();
        knocks.sort_by(|a, b| a.along.total_cmp(&b.along).then(a.off.total_cmp(&b.off)));
        let width = member.section.width().metres();
        let mut points = Vec::new();
        for row in knocks.chunk_by(|a, b| (b.along - a.along).abs() <= ONE_PLACE) {
            let mut row = row.to_vec();
            row.sort_by(|a, b| a.off.total_cmp(&b.off));
            let wood: Vec<f64> = row.iter().filter(|p| p.mark.kind == Kind::Wood).map(|p| p.off).collect();
            if let (Some(first), Some(last)) = (wood.first(), wood.last())
                && last - first > width + CONTRADICTS * self.error * 2f64.sqrt()
            {
                let apart = self.show(last - first);
                for p in row.iter().filter(|p| p.mark.kind == Kind::Wood) {
                    let why =
                        format!("wood is heard over {apart} here, and {} is {} wide", member.name, self.show(width));
                    refused.insert(p.mark.row, why);
                }
                continue;
            }
            for pair in row.windows(2) {
                let [a, b] = pair else { continue };
                // The edge lies anywhere between the two.
                let edge = match (a.mark.kind, b.mark.kind) {
                    (Kind::NoWood, Kind::Wood) => (a.off + b.off) / 2.0 + width / 2.0,
                    (Kind::Wood, Kind::NoWood) => (a.off + b.off) / 2.0 - width / 2.0,
                    _ => continue,
                };
                let error = hypot(self.error, (b.off - a.off) / 12f64.sqrt());
                points.push(Point { along: a.along, off: edge, error });
                *used += 2;
            }
        }
        points
    }

    fn told(&mut self, placed: &[Placed<'_>], refused: &BTreeMap<usize, String>) {
        for p in placed {
            if let Some(why) = refused.get(&p.mark.row) {
                self.refuse(p.mark, why.clone());
            }
        }
    }
}

/// Places marked of each of four corners.
type Quad = [Vec<(f64, f64)>; 4];

/// Whether a member runs up the slope rather than along the eave.
fn upright(member: &Member) -> bool {
    let along = member.pose.rotation * Vector3::y();
    along.y.abs() >= along.x.abs()
}

/// Where a place on the slope lies along a member's drawn line, and how far to the right of it (or above it), metres.
fn along_off(member: &Member, at: (f64, f64)) -> (f64, f64) {
    let local = member.pose.inverse() * Point3::new(at.0, at.1, member.pose.translation.vector.z);
    let side = member.pose.rotation * Vector3::x();
    let sign = if side.x > 1e-9 || (side.x.abs() <= 1e-9 && side.y > 0.0) { 1.0 } else { -1.0 };
    (local.y, local.x * sign)
}

/// The centre that a mark of an edge comes to.
fn centre_off(member: &Member, kind: Kind, off: f64) -> f64 {
    let half = member.section.width().metres() / 2.0;
    match kind {
        Kind::LeftEdge => off + half,
        Kind::RightEdge => off - half,
        _ => off,
    }
}

/// What the found file says of a member: to a hundredth of a millimetre.
fn offsets(member: &Member, fit: &Fit) -> Vec<(f64, f64)> {
    let round = |v: f64| (v * 1e5).round() / 1e5;
    let (low, high) = (fit.span.0.clamp(0.0, member.length), fit.span.1.clamp(0.0, member.length));
    let places: Vec<f64> = match fit.form {
        Form::Moved => vec![(low + high) / 2.0],
        Form::Straight => vec![0.0, member.length],
        Form::Bent => (0..=8).map(|k| low + (high - low) * f64::from(k) / 8.0).collect(),
    };
    places.into_iter().map(|s| (round(s), round(fit.at(s)))).collect()
}
