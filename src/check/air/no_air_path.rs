//! Places that no air passes on its way from eave to top.

use super::gaps::{self, Gap};
use crate::air::{Cell, Closed, End, Pocket, Space, Why};
use crate::check::context::{Context, Report};
use crate::check::finding::{Evidence, Help, Measure, Mend, Place, Source};
use crate::check::{Check, Run, Verdict, mends, vent_buried};
use crate::design::{Change, CourseGap, Edge, EdgeAir, EdgeKind, Flutes, Given, Origin, SlopeId, change};
use crate::lattice;
use crate::quantity::maths::apart;
use crate::quantity::{Length, show_area};
use crate::structure::{State, Structure};

/// The check.
pub const CHECK: Check = Check {
    name: "no-air-path",
    title: "Does every place under the roofing lie on a way of the air from eave to top?",
    page: "\
What
  Pockets: places between membrane and roofing through which no way leads from an open vent piece at an eave to one at a
  top.
Why
  Moisture that gets there stays there. On paper the gap is always open; on the roof an opening closes bays, a buried vent
  piece ends them, flutes laid the wrong way stop them.
How computed
  The space over each slope is divided into cells where the solids of strips, battens, vent pieces and openings begin and
  end. Cells are joined up the slope under the battens and through the open height between them, across over the strips
  between the battens and through flutes that run across, and over hips and unvented ridges from slope to slope. A cell
  counts when some way from an inlet to an outlet passes through it without passing any place twice: a place that hangs on
  the rest by one passage is a pocket. No weather is needed, so a finding holds in every case.
  A mend is offered only where the design, changed and laid out again, has no pocket there any more. Tried are vent pieces
  where an edge has none, with flutes up the slope, out of insulation; more room beside openings; a rake open to the air;
  one gap in any course over the pocket, over the strips beside it, or one at its lower and one at its upper end; higher
  strips where they are lower than 5 mm. The smallest comes first, sizes being lengths of wood, strip and vent piece that are
  cut away, added or laid otherwise; a rake, for which the lattice has no piece of its own, comes last. A gap is so wide
  that both boards end within `limits.end_run` of a line, or it leaves the rest of the board out. Where nothing opens the
  pocket the finding says what was tried.
  A rake is open where `air` of its `[[edge]]` says so: from an eave air may then leave there, from there it may
  go on to a top or to another rake. Its piece is not drawn; its wind and free area are those of an eave below the rake's
  middle and of a top above it.
Limits
  Gaps narrower or lower than 5 mm are not counted on (trade rules of the German roofers, ZVDH 2015, let nothing be
  pinched further). A pocket within one cell between neighbouring courses and lines is left out. Air inside strips whose
  flutes run up the slope is not counted. A hip is taken as open under its cap from slope to slope, a valley as closed by
  its metal, unless `air` of its `[[edge]]` says otherwise: look at yours. Ribs of the panels are not counted. Open says
  nothing of how much air flows. Air that comes in and goes out at one and the same rake is not counted on. What the roofing
  asks of a course with a gap is not looked at beyond the other checks. Changes are tried until 400,000 landings have been
  laid out again in all, and at least 16 times.
Source
  The definition is the program's own; 5 mm: ZVDH 2015.
",
    run: Run::Always(run),
};

/// The most landings laid out again to try mends, and the fewest re-runs whatever the roof's size.
const MOST_AGAIN: usize = 400_000;
const LEAST_TRIED: usize = 16;

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    let space = ctx.space();
    let mut left = (MOST_AGAIN / ctx.lattice.landing_count().max(1)).max(LEAST_TRIED);
    for pocket in space.larger_pockets(ctx.design) {
        let Some(largest) = space.cells.get(pocket.largest as usize) else { continue };
        let shut = shut(space, &pocket);
        let middle = largest.middle();
        let place = Some(Place { slope: largest.slope, at: [middle.0, middle.1, ctx.lattice.levels.batten] });
        let (width, height) =
            pocket.on.iter().find(|o| o.0 == largest.slope).map_or((0.0, 0.0), |(_, x, y)| (x.1 - x.0, y.1 - y.0));
        let evidence = vec![
            Evidence {
                what: "cells without a way",
                found: Measure::Count(pocket.cells.len()),
                limit: Some(Measure::Count(0)),
            },
            Evidence::only("width along the eave", width),
            Evidence::only("length up the slope", height),
        ];
        let message = message(ctx, space, &pocket, &shut);
        let parts = parts(ctx, &pocket, &shut, largest);
        let source = Source::words("the solids of the lattice, as the program divides their space");
        report.add(
            Verdict::Fail,
            message,
            parts,
            place,
            evidence,
            || mend(ctx, &pocket, &shut, largest, &mut left),
            source,
        );
    }
}

/// Edges of the pocket's slopes that are closed at a side where the pocket has no opening.
fn shut<'s>(space: &'s Space, pocket: &Pocket) -> Vec<&'s Closed> {
    let missing = |end: End| if end == End::Low { !pocket.opens.0 } else { !pocket.opens.1 };
    let on = |slope: SlopeId| pocket.on.iter().any(|o| o.0 == slope);
    // A pocket beside cells that air passes does not want for an opening of the whole slope.
    space.closed.iter().filter(|c| !pocket.hangs_on && missing(c.end) && on(c.edge.0)).collect()
}

fn edge_name(ctx: &Context<'_>, edge: (SlopeId, usize)) -> String {
    let slope = ctx.structure.slopes.get(edge.0.0).map_or("", |s| s.name.as_str());
    format!("{slope}.{}", edge.1 + 1)
}

fn message(ctx: &Context<'_>, space: &Space, pocket: &Pocket, shut: &[&Closed]) -> String {
    let units = ctx.design.units;
    let show = |v: f64| Length::from_metres(v).show(units);
    let cells_on = |slope: SlopeId| space.cells.iter().filter(|c| c.slope == slope).count();
    let here: usize = pocket.on.iter().map(|o| cells_on(o.0)).sum();
    let names: Vec<&str> =
        pocket.on.iter().filter_map(|o| ctx.structure.slopes.get(o.0.0)).map(|s| s.name.as_str()).collect();
    let slopes =
        if names.len() == 1 { format!("slope {}", names.concat()) } else { format!("slopes {}", names.join(", ")) };
    let size = show_area(pocket.area, units);
    let mut text = if here == pocket.cells.len() {
        format!("no air passes under {slopes}, {size}")
    } else {
        let place = pocket.on.first().map_or(String::new(), |(_, x, y)| {
            format!(
                ", from {} to {} along the eave and from {} to {} up the slope",
                show(x.0),
                show(x.1),
                show(y.0),
                show(y.1)
            )
        });
        format!("a pocket of {size} on {slopes}{place}")
    };
    if pocket.hangs_on {
        text.push_str(": it hangs on the rest by one passage, so what goes in must come out the same way");
        return text;
    }
    let mut wanting = Vec::new();
    for (open, end, way) in [(pocket.opens.0, End::Low, "in at an eave"), (pocket.opens.1, End::High, "out at a top")] {
        if open {
            continue;
        }
        let why: Vec<String> = shut
            .iter()
            .filter(|c| c.end == end)
            .map(|c| {
                let edge = edge_name(ctx, c.edge);
                let reasons: Vec<String> = c
                    .why
                    .iter()
                    .map(|w| match w {
                        Why::NoVentPiece => "no vent piece lies there".to_owned(),
                        Why::FlutesAcross => "the flutes of its vent pieces run across".to_owned(),
                        Why::InsulationUnbuilt => {
                            "the solid of the insulation still to come could not be built".to_owned()
                        }
                        Why::Buried(d) => {
                            format!("its vent pieces will lie up to {} deep in insulation", ctx.show(*d))
                        }
                    })
                    .collect();
                format!("{edge}: {}", reasons.join(", and "))
            })
            .collect();
        wanting.push(if why.is_empty() {
            format!("no way {way}")
        } else {
            format!("no way {way} ({})", why.join("; "))
        });
    }
    if !wanting.is_empty() {
        text = format!("{text}: {}", wanting.join("; "));
    }
    text
}

/// The vent pieces that let nothing through, or else the slope.
fn parts(ctx: &Context<'_>, pocket: &Pocket, shut: &[&Closed], largest: &Cell) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for c in shut {
        let vents = ctx.lattice.slopes.get(c.edge.0.0).map(|l| l.vents.as_slice()).unwrap_or_default();
        names.extend(vents.iter().filter(|v| v.edge == c.edge.1).map(|v| v.name.clone()));
    }
    if names.is_empty() {
        let mut slopes: Vec<SlopeId> = vec![largest.slope];
        slopes.extend(pocket.on.iter().map(|o| o.0).filter(|s| *s != largest.slope));
        names = slopes.iter().filter_map(|s| ctx.structure.slopes.get(s.0)).map(|s| s.name.clone()).collect();
    }
    names
}

/// One change of the design, to be tried.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Step {
    FlutesUp,
    HoldBack((SlopeId, usize), f64),
    VentPiece((SlopeId, usize)),
    OpenRake((SlopeId, usize)),
    WayRound(f64),
    BesideOpenings(f64),
    HigherStrips(f64),
    Gap(Gap),
}

impl Step {
    /// What was tried, where nothing opened the pocket.
    fn word(self) -> &'static str {
        match self {
            Step::FlutesUp => "flutes up the slope",
            Step::HoldBack(..) => "vent pieces out of insulation",
            Step::VentPiece(_) => "vent pieces along edges that have none",
            Step::OpenRake(_) => "an open rake",
            Step::WayRound(_) | Step::BesideOpenings(_) => "more room beside openings",
            Step::HigherStrips(_) => "higher strips",
            Step::Gap(_) => "gaps in the courses over it",
        }
    }

    /// How large it is: the length of wood, strip or vent piece that is cut away, added or laid otherwise, metres.
    fn size(self, ctx: &Context<'_>) -> f64 {
        let along = |(slope, e): (SlopeId, usize)| {
            let ends = ctx.structure.slopes.get(slope.0).and_then(|s| s.outline.ends(e));
            ends.map_or(0.0, |(a, b)| apart(b, a))
        };
        let vents = || ctx.lattice.slopes.iter().flat_map(|s| &s.vents).map(|v| v.x.1 - v.x.0).sum::<f64>();
        let beside = || {
            let ends = ctx.lattice.slopes.iter().flat_map(|s| &s.pieces).flat_map(|p| [p.ends.0, p.ends.1]);
            ends.filter(|e| matches!(e, lattice::End::Opening)).count() as f64
        };
        let spec = &ctx.design.lattice.opening;
        match self {
            Step::FlutesUp => vents(),
            Step::HoldBack(edge, _) | Step::VentPiece(edge) | Step::OpenRake(edge) => along(edge),
            // The courses below and above each opening move.
            Step::WayRound(_) => {
                let holes = ctx.structure.slopes.iter().flat_map(|s| &s.outline.openings);
                holes.map(|(_, h)| 2.0 * (h.x1 - h.x0)).sum()
            }
            Step::BesideOpenings(v) => beside() * (v - spec.clearance.metres()),
            Step::HigherStrips(_) => {
                let strips = ctx.lattice.slopes.iter().flat_map(|s| &s.strips);
                let length =
                    |s: &lattice::StripPiece| s.path.first().zip(s.path.last()).map_or(0.0, |(a, b)| (b.0 - a.0).abs());
                strips.map(length).sum::<f64>() + vents()
            }
            Step::Gap(gap) => gap.x.1 - gap.x.0,
        }
    }
}

/// The smallest change that opens the pocket, found by laying the changed design out again as often as may be.
fn mend(ctx: &Context<'_>, pocket: &Pocket, shut: &[&Closed], largest: &Cell, left: &mut usize) -> Vec<Help> {
    let mut tried: Vec<(f64, Vec<Step>)> = candidates(ctx, pocket, shut, largest)
        .into_iter()
        .map(|steps| (steps.iter().map(|s| s.size(ctx)).sum(), steps))
        .collect();
    // A rake comes last, as the lattice has no piece for it. Sizes that differ by less than a tenth of a millimetre are equal.
    let rank = |(size, steps): &(f64, Vec<Step>)| {
        (steps.iter().any(|s| matches!(s, Step::OpenRake(_))), (size * 1e4).round() as i64)
    };
    tried.sort_by_key(rank);
    let mut words: Vec<&str> = Vec::new();
    for (_, steps) in tried {
        let Some(less) = left.checked_sub(1) else { break };
        *left = less;
        if opens(ctx, &steps, pocket) {
            return vec![said(ctx, &steps).into()];
        }
        for word in steps.iter().map(|s| s.word()) {
            if !words.contains(&word) {
                words.push(word);
            }
        }
    }
    let tried = if words.is_empty() { "nothing that could be tried".to_owned() } else { words.join(", ") };
    let words =
        format!("give the air another way in or out there, or move what closes it; tried without success: {tried}");
    vec![mends::advice(words)]
}

/// What may be tried.
fn candidates(ctx: &Context<'_>, pocket: &Pocket, shut: &[&Closed], largest: &Cell) -> Vec<Vec<Step>> {
    let strips = Step::HigherStrips(mends::rounded_up(ctx, crate::air::LEAST));
    if ctx.lattice.levels.strip < crate::air::LEAST {
        // Nothing passes under any batten.
        return vec![vec![strips]];
    }
    let mut all: Vec<Vec<Step>> = Vec::new();
    if !pocket.hangs_on {
        all.extend(at_ends(ctx, shut));
    }
    if ctx.structure.slopes.iter().any(|s| !s.outline.openings.is_empty()) {
        let spec = &ctx.design.lattice.opening;
        let wider = |v: f64| mends::rounded_up(ctx, v + crate::air::LEAST);
        all.push(vec![Step::WayRound(wider(spec.way_round.metres()))]);
        all.push(vec![Step::BesideOpenings(wider(spec.clearance.metres()))]);
    }
    for (slope, ..) in &pocket.on {
        let edges = ctx.structure.slopes.get(slope.0).map(|s| s.outline.edges.as_slice()).unwrap_or_default();
        let closed =
            |e: &Edge| e.kind.value == EdgeKind::Rake && e.shared_with.is_none() && e.air.value == EdgeAir::Closed;
        let rakes = edges.iter().enumerate().filter(|(_, e)| closed(e));
        all.extend(rakes.map(|(e, _)| vec![Step::OpenRake((*slope, e))]));
    }
    let gaps = gaps::candidates(ctx, pocket, largest);
    all.extend(gaps.into_iter().map(|all| all.into_iter().map(Step::Gap).collect()));
    all
}

/// At each side that lacks an opening, the changes of one edge, the edge with the fewest faults first; then those of one edge at
/// either side together.
fn at_ends(ctx: &Context<'_>, shut: &[&Closed]) -> Vec<Vec<Step>> {
    let of_edge = |c: &&&Closed| -> Vec<Step> {
        let step = |w: &Why| match w {
            Why::NoVentPiece => Some(Step::VentPiece(c.edge)),
            Why::FlutesAcross => Some(Step::FlutesUp),
            Why::InsulationUnbuilt => None,
            Why::Buried(_) => Some(Step::HoldBack(c.edge, vent_buried::hold_back_needed(ctx, c.edge)?)),
        };
        c.why.iter().filter_map(step).collect()
    };
    let side = |end: End| -> Vec<Vec<Step>> {
        shut.iter().filter(|c| c.end == end).map(|c| of_edge(&c)).filter(|s| !s.is_empty()).collect()
    };
    let (low, high) = (side(End::Low), side(End::High));
    let mut all: Vec<Vec<Step>> = low.iter().chain(&high).cloned().collect();
    for a in &low {
        for b in &high {
            let mut both = a.clone();
            both.extend(b.iter().filter(|s| !a.contains(s)));
            all.push(both);
        }
    }
    // One alone may do where a change of all vent pieces opens both sides.
    all.extend(low.iter().chain(&high).flatten().map(|s| vec![*s]).collect::<Vec<_>>());
    let mut once: Vec<Vec<Step>> = Vec::new();
    all.into_iter().for_each(|s| {
        if !once.contains(&s) {
            once.push(s);
        }
    });
    once
}

/// Whether the design with these changes, laid out again, has no pocket where this one lies.
fn opens(ctx: &Context<'_>, steps: &[Step], pocket: &Pocket) -> bool {
    let mut design = ctx.design.clone();
    for step in steps {
        match *step {
            Step::FlutesUp => design.lattice.vent.flutes.value = Flutes::Up,
            Step::WayRound(v) => design.lattice.opening.way_round.value = Length::from_metres(v),
            Step::BesideOpenings(v) => design.lattice.opening.clearance.value = Length::from_metres(v),
            Step::Gap(gap) => {
                let end = |v: f64| Given { value: Length::from_metres(v), origin: Origin::Derived("to be tried") };
                let (from, to) = (end(gap.x.0), end(gap.x.1));
                let course = course_name(ctx, &gap).to_owned();
                design.gaps.push(CourseGap { course, from, to, key: String::new(), span: 0..0 });
            }
            Step::HoldBack((slope, e), v) => {
                if let Some(edge) = design.slopes.get_mut(slope.0).and_then(|s| s.edges.get_mut(e)) {
                    edge.hold_back.value = Length::from_metres(v);
                }
            }
            Step::OpenRake((slope, e)) => {
                if let Some(edge) = design.slopes.get_mut(slope.0).and_then(|s| s.edges.get_mut(e)) {
                    edge.air.value = EdgeAir::Open;
                }
            }
            Step::HigherStrips(v) => {
                design.lattice.strip.height.value = Length::from_metres(v);
                let vent = &mut design.lattice.vent.height.value;
                *vent = Length::from_metres(vent.metres().max(v));
            }
            Step::VentPiece((slope, e)) => {
                if let Some(edge) = design.slopes.get_mut(slope.0).and_then(|s| s.edges.get_mut(e)) {
                    edge.vent.value = true;
                }
            }
        }
    }
    let drawn = Structure::build(&design, State::Drawn);
    let found = Structure::build(&design, State::Found);
    let lattice = lattice::lay(&design, &drawn, &found);
    let space = Space::of(&design, &found, &lattice);
    let area = |s: &Space| s.cells.iter().zip(&s.way).filter(|(_, w)| !**w).map(|(c, _)| c.area()).sum::<f64>();
    let here =
        |p: &Pocket| p.cells.iter().filter_map(|c| space.cells.get(*c as usize)).any(|c| lies_in(ctx, pocket, c));
    space.with_a_way() > 0 && area(&space) < area(ctx.space()) && !space.larger_pockets(&design).iter().any(here)
}

/// Whether the middle of a cell of a changed roof lies in a pocket. Cells lie slope by slope in bands up the slope.
fn lies_in(ctx: &Context<'_>, pocket: &Pocket, cell: &Cell) -> bool {
    let (x, y) = cell.middle();
    let of = |c: &u32| ctx.space().cells.get(*c as usize);
    let below = |c: &u32| of(c).is_some_and(|c| (c.slope, c.y.1) < (cell.slope, y));
    let first = pocket.cells.partition_point(below);
    let band = pocket.cells.iter().skip(first).map_while(|c| of(c).filter(|c| c.slope == cell.slope && c.y.0 < y));
    band.into_iter().any(|c| c.x.0 < x && x < c.x.1)
}

fn said(ctx: &Context<'_>, steps: &[Step]) -> Mend {
    let mut all: Vec<Mend> = steps
        .iter()
        .map(|s| match *s {
            Step::FlutesUp => {
                mends::set_word("lattice.vent.flutes", "\"up\"", "turn the flutes of the vent pieces up the slope")
            }
            Step::WayRound(v) => mends::set_length(
                ctx,
                "lattice.opening.way_round",
                v,
                "keep the framing courses further from the openings",
            ),
            Step::BesideOpenings(v) => {
                mends::set_length(ctx, "lattice.opening.clearance", v, "end the courses further beside the openings")
            }
            Step::Gap(gap) => gap_left(ctx, &gap),
            Step::HoldBack(edge, v) => vent_buried::hold_back(ctx, edge, v),
            Step::VentPiece(edge) => vent_piece(ctx, edge),
            Step::OpenRake(edge) => open_rake(ctx, edge),
            Step::HigherStrips(v) => higher_strips(ctx, v),
        })
        .collect();
    if all.len() == 1 {
        return all.swap_remove(0);
    }
    let text = all.iter().map(|m| m.text.as_str()).collect::<Vec<_>>().join("; and ");
    Mend { text, change: Change::All(all.into_iter().map(|m| m.change).collect()) }
}

fn course_name<'c>(ctx: &'c Context<'_>, gap: &Gap) -> &'c str {
    let course = ctx.lattice.slopes.get(gap.slope.0).and_then(|s| s.courses.get(gap.course as usize));
    course.map_or("", |c| c.name.as_str())
}

fn gap_left(ctx: &Context<'_>, gap: &Gap) -> Mend {
    let over = ctx.lattice.slopes.get(gap.slope.0).map(|s| gaps::lines_below(s, gap)).unwrap_or_default();
    let (name, units) = (course_name(ctx, gap), ctx.design.units);
    let text = format!(
        "leave a gap in course {name} from {} to {} along the eave, where the air then passes over {}",
        ctx.show(gap.x.0),
        ctx.show(gap.x.1),
        over.join(", ")
    );
    Mend { text, change: Change::Append(change::course_gap(name, gap.x.0, gap.x.1, units)) }
}

fn higher_strips(ctx: &Context<'_>, height: f64) -> Mend {
    let strips = mends::set_length(ctx, "lattice.strip.height", height, "lay higher strips");
    if ctx.design.lattice.vent.height.metres() >= height {
        return strips;
    }
    let vents = mends::set_length(ctx, "lattice.vent.height", height, "and vent pieces as high");
    Mend { text: format!("{}; {}", strips.text, vents.text), change: Change::All(vec![strips.change, vents.change]) }
}

fn open_rake(ctx: &Context<'_>, edge: (SlopeId, usize)) -> Mend {
    let text = format!("leave rake {} open to the air, through a screened piece", edge_name(ctx, edge));
    word_on_edge(ctx, edge, ("air", "\"open\""), text)
}

fn vent_piece(ctx: &Context<'_>, edge: (SlopeId, usize)) -> Mend {
    let text = format!("put vent pieces along edge {}", edge_name(ctx, edge));
    word_on_edge(ctx, edge, ("vent", "true"), text)
}

/// Sets a word in the table of an edge, or in a new one where it has none.
fn word_on_edge(ctx: &Context<'_>, edge: (SlopeId, usize), (key, value): (&str, &str), text: String) -> Mend {
    let table = ctx.design.slopes.get(edge.0.0).and_then(|s| s.edges.get(edge.1)).and_then(|e| e.table);
    match table {
        Some(k) => mends::set_word(&format!("edge[{k}].{key}"), value, &text),
        None => Mend { text, change: Change::Append(change::edge_with(&edge_name(ctx, edge), key, value)) },
    }
}
