//! The order of work: the steps as a careful builder takes them (`common practice, no source`).

use super::super::{Cell, ColumnKind, FindingRecord, ReportHeader, Table, runs};
use super::buying::{fasteners_to_drive, spares_by_slope};
use super::{count, text};
use crate::check::{Context, OnSlope, Verdict};
use crate::design::{EdgeKind, LaidKind, TapeOrder};
use crate::lattice::{Boards, VentPiece, is_laid, path_length};

/// When a flag must be settled at the latest.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Before {
    /// Before lines and courses are marked: it says where they go, or what must lie under them.
    Marking,
    /// Before tape is stuck.
    Tape,
    /// Before strips are laid.
    Strips,
    /// Before vent pieces are laid.
    Vents,
    /// Before the first fastener is driven.
    Battens,
}

/// By the check's name; whatever is not listed is settled before the first hole is made.
fn before(check: &str) -> Before {
    match check {
        "landing-not-backed" | "joint-not-backed" | "tip-in-web" | "tip-out-of-member" | "near-member-side"
        | "run-too-long" | "end-run-too-long" => Before::Marking,
        "off-tape" | "strip-off-tape" | "through-strap" => Before::Tape,
        "strip-end" => Before::Strips,
        "vent-buried" | "vent-flutes-across" => Before::Vents,
        _ => Before::Battens,
    }
}

/// Numbers of flags that a cell lists at most.
const LISTED: usize = 40;

/// One step.
#[derive(Default)]
struct Step<'a> {
    work: &'a str,
    /// The slope.
    place: &'a str,
    with: String,
    count: Option<usize>,
    length: Option<f64>,
    flags: String,
    /// What waits for it.
    waits: &'a str,
}

struct Steps<'a> {
    table: Table,
    findings: &'a [FindingRecord],
}

impl Steps<'_> {
    fn add(&mut self, step: Step<'_>) {
        let number = self.table.rows.len() + 1;
        self.table.push(vec![
            count(number),
            text(step.work),
            text(step.place),
            text(step.with),
            step.count.map_or(Cell::Empty, count),
            step.length.map_or(Cell::Empty, Cell::Length),
            text(step.flags),
            text(step.waits),
        ]);
    }

    /// Numbers of the flags of a slope that are settled before a step.
    fn flags(&self, slope: &str, when: &[Before]) -> String {
        let of = |f: &&FindingRecord| {
            let here = f.place.as_ref().is_none_or(|p| p.slope == slope);
            f.verdict > Verdict::Pass && here && when.contains(&before(&f.check))
        };
        in_ranges(self.findings.iter().filter(of).map(|f| f.number).collect())
    }
}

/// Flags by their numbers, those that follow one another as a range.
fn in_ranges(numbers: Vec<usize>) -> String {
    let runs = runs(numbers);
    let ranges: Vec<String> = runs
        .iter()
        .map(|run| match run {
            (a, b) if a == b => a.to_string(),
            (a, b) if a + 1 == *b => format!("{a}, {b}"),
            (a, b) => format!("{a} to {b}"),
        })
        .collect();
    let word = if matches!(runs[..], [(a, b)] if a == b) { "flag" } else { "flags" };
    if ranges.is_empty() { String::new() } else { format!("{word} {}", ranges.join(", ")) }
}

/// The order of work.
pub fn table(ctx: &Context<'_>, header: &ReportHeader, boards: &Boards) -> Table {
    let columns = [
        ("step", ColumnKind::Count),
        ("work", ColumnKind::Text),
        ("where", ColumnKind::Text),
        ("with", ColumnKind::Text),
        ("count", ColumnKind::Count),
        ("length", ColumnKind::Length),
        ("settle before", ColumnKind::Text),
        ("what waits for it", ColumnKind::Text),
    ];
    let mut steps = Steps { table: Table::new("order-of-work", "Order of work", &columns), findings: &header.findings };
    let slopes: Vec<&OnSlope<'_>> = ctx.slopes.iter().collect();
    for on in &slopes {
        let area = ctx.structure.membrane(ctx.design, on.id).map_or(0.0, |p| {
            let thick = p.z_top - p.z_bottom;
            if thick > 0.0 { p.mesh().volume() / thick } else { 0.0 }
        });
        let area = crate::quantity::show_area(area, ctx.design.units);
        let name = on.frame.name.as_str();
        steps.add(Step {
            work: "clean and dry the membrane; look it over for holes and open laps",
            place: name,
            with: format!("{area} of membrane"),
            waits: "tape sticks to nothing that is wet or dusty",
            ..Step::default()
        });
        steps.add(Step {
            work: "patch every hole and lap; leave driven fasteners where they are",
            place: name,
            with: "patches of the membrane's maker".into(),
            waits: "everything: under the lattice nothing can be patched",
            ..Step::default()
        });
        let lines = on.lattice.lines.len();
        steps.add(Step {
            work: "mark lines from the slope's left end and courses from its lowest edge, each at its running measure",
            place: name,
            with: format!("{lines} lines, {} courses", on.lattice.courses.len()),
            count: Some(lines + on.lattice.courses.len()),
            flags: steps.flags(name, &[Before::Marking]),
            waits: "tape and battens",
            ..Step::default()
        });
    }
    let strip_first = ctx.design.lattice.tape.order.value == TapeOrder::StripFirst;
    for (on, spare) in slopes.iter().zip(spares_by_slope(ctx)) {
        let name = on.frame.name.as_str();
        let tape: Vec<f64> = on
            .lattice
            .tapes
            .iter()
            .filter(|t| !t.line.and_then(|l| on.lattice.lines.get(l as usize)).is_some_and(|l| l.tape_laid))
            .map(|t| path_length(&t.path))
            .collect();
        let strips: Vec<f64> = on
            .lattice
            .strips
            .iter()
            .filter(|s| !s.line.and_then(|l| on.lattice.lines.get(l as usize)).is_some_and(|l| l.strips_laid))
            .map(|s| path_length(&s.path))
            .collect();
        let (work, wait) = if strip_first {
            (
                "stick tape under the strips and lay both, from the top down to where the eave vent piece will end",
                "battens",
            )
        } else {
            ("stick tape over every line, its backing left on until the strip is laid", "strips and vent pieces")
        };
        if !tape.is_empty() {
            steps.add(Step {
                work,
                place: name,
                with: "tape".into(),
                count: Some(tape.len()),
                length: Some(tape.iter().sum()),
                flags: steps.flags(name, &[Before::Tape]),
                waits: wait,
            });
            if on.frame.outline.edges.iter().any(|e| e.turn_down.metres() > 0.0) {
                steps.add(Step {
                    work: "turn the tape down over the edges as far as the design says",
                    place: name,
                    with: "tape".into(),
                    waits: wait,
                    ..Step::default()
                });
            }
        }
        let (top, eave) = vents(ctx, on);
        let length = |v: &[&VentPiece]| v.iter().map(|v| v.x.1 - v.x.0).sum();
        if !top.is_empty() {
            let flags = steps.flags(name, &[Before::Vents]);
            steps.add(Step {
                work: "lay the top vent pieces",
                place: name,
                with: "vent pieces".into(),
                count: Some(top.len()),
                length: Some(length(&top)),
                flags,
                waits: "the upper ends of the strips",
            });
        }
        if !strips.is_empty() {
            let flags = steps.flags(name, &[Before::Strips]);
            steps.add(Step {
                work: "press strips on the tape, from the top down; leave the eave vent pieces' place free",
                place: name,
                with: "strips".into(),
                count: Some(strips.len()),
                length: Some(strips.iter().sum()),
                flags,
                waits: "battens",
            });
        }
        let over = courses_over(on, &eave);
        let (late, early): (Vec<&VentPiece>, Vec<&VentPiece>) = eave.iter().partition(|_| over.is_empty());
        if !early.is_empty() {
            steps.add(Step {
                work: "sweep and blow out the bays, then lay the eave vent pieces, just before the battens over them",
                place: name,
                with: "vent pieces".into(),
                count: Some(early.len()),
                length: Some(length(&early)),
                flags: steps.flags(name, &[Before::Vents]),
                waits: &list(&over),
            });
        }
        battens(ctx, &mut steps, on, spare);
        if !late.is_empty() {
            steps.add(Step {
                work: "sweep and blow out the bays, then lay the eave vent pieces: no batten lies over them",
                place: name,
                with: "vent pieces".into(),
                count: Some(late.len()),
                length: Some(length(&late)),
                flags: steps.flags(name, &[Before::Vents]),
                waits: "the roofing",
            });
        }
    }
    for on in &slopes {
        let name = on.frame.name.as_str();
        let courses = on.lattice.courses.len();
        let with = match on.lattice.clips.len() {
            0 => format!("{courses} courses to fix to; the roofing is not part of this plan"),
            clips => {
                let screws = clips * ctx.design.panels.as_ref().map_or(0, |p| p.screws.value);
                format!("{clips} clips with {screws} screws, on {courses} courses")
            }
        };
        steps.add(Step {
            work: "fix the roofing, with its own fixings, to battens only",
            place: name,
            with,
            count: Some(on.lattice.courses.len()),
            ..Step::default()
        });
    }
    let mut table = steps.table;
    table.notes.push(format!(
        "Settle every flag named in a row before that row is begun. The order is common practice, no source. {} boards in all; see the cut list and the buying list.",
        boards.boards.len()
    ));
    table.notes.push("If a fastener does not bite, stop, leave it in, and measure the member again.".into());
    table
}

/// Vent pieces that are not laid: those of the upper edges, and those of eaves, by what the edge is.
fn vents<'a>(ctx: &Context<'_>, on: &OnSlope<'a>) -> (Vec<&'a VentPiece>, Vec<&'a VentPiece>) {
    if is_laid(ctx.design, on.id, LaidKind::VentPieces, None, None) {
        return (Vec::new(), Vec::new());
    }
    let edges = &on.frame.outline.edges;
    on.lattice.vents.iter().partition(|v| edges.get(v.edge).is_none_or(|e| e.kind.value != EdgeKind::Eave))
}

/// Names of the courses that lie over vent pieces.
fn courses_over<'a>(on: &OnSlope<'a>, vents: &[&VentPiece]) -> Vec<&'a str> {
    let mut names: Vec<&str> = Vec::new();
    for piece in &on.lattice.pieces {
        let over = |v: &&&VentPiece| {
            v.x.0 < piece.x.1 && v.x.1 > piece.x.0 && v.y.0 < piece.y && piece.y < v.y.1 + (v.y.1 - v.y.0)
        };
        let name = on.lattice.courses.get(piece.course as usize).map_or("", |c| c.name.as_str());
        if vents.iter().find(over).is_some() && names.last() != Some(&name) {
            names.push(name);
        }
    }
    names
}

fn list(names: &[&str]) -> String {
    let mut shown: Vec<&str> = names.iter().take(LISTED).copied().collect();
    if names.len() > LISTED {
        shown.push("and others");
    }
    shown.join(", ")
}

fn battens(ctx: &Context<'_>, steps: &mut Steps<'_>, on: &OnSlope<'_>, spare: u64) {
    let name = on.frame.name.as_str();
    let length = |p: &crate::lattice::Piece| p.saw_lengths(ctx.design, &on.frame.outline).middle;
    let left: Vec<f64> = on.lattice.pieces.iter().filter(|p| !p.laid).map(length).collect();
    let drive = fasteners_to_drive(ctx, on);
    if left.is_empty() && drive == 0 {
        return;
    }
    let flags = steps.flags(name, &[Before::Battens]);
    let work = if left.is_empty() {
        "drive the fasteners of the battens that lie there, on the marks"
    } else {
        "lay battens course by course from the eave up, by the cut list; drive fasteners on the marks"
    };
    steps.add(Step {
        work,
        place: name,
        with: match left.len() {
            0 => format!("{drive} fasteners and {spare} spares"),
            n => format!("{n} pieces, {drive} fasteners and {spare} spares"),
        },
        count: (!left.is_empty()).then_some(left.len()),
        length: (!left.is_empty()).then(|| left.iter().sum()),
        flags,
        waits: "the roofing",
    });
}

#[cfg(test)]
mod tests {
    use super::in_ranges;

    #[test]
    fn flags_that_follow_one_another_are_a_range() {
        assert_eq!(in_ranges(vec![]), "");
        assert_eq!(in_ranges(vec![4]), "flag 4");
        assert_eq!(in_ranges(vec![9, 3, 1, 2, 7, 8, 12, 3]), "flags 1 to 3, 7 to 9, 12");
        assert_eq!(in_ranges(vec![5, 6]), "flags 5, 6");
    }
}
