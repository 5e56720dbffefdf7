//! Running measures: rods to copy on a batten, and the same numbers as tables.
//!
//! Aim: marks that fall where the model has them. Reason: a measure taken from the neighbour's mark carries the
//! neighbour's error on; so each is taken from one edge, and rounded from its own true value. Limits: to 1/16 in or 1 mm.

use super::draw::{Anchor, Canvas, Dash, FINE, HAIR, Ink, MEDIUM, Pen, Point, Rect, Type, spread};
use super::plan_lines::middles;
use super::scale::fitting;
use super::table::{Flow, List, pages};
use super::{Set, Sheet, View, frame};
use crate::quantity::{Length, Units, running};
use crate::scene::{LineMark, MOST_WINDOWS, SettingOut, differ};

/// One mark on a rod.
struct Mark {
    name: String,
    at: f64,
    width: f64,
    bold: bool,
}

const STEP: f64 = 2.6;
const ROD: f64 = 5.5;
const TEXT: f64 = 27.0;

/// The sheets of measures of a slope.
pub fn sheets(set: &Set<'_>, slope: &SettingOut) -> Vec<Sheet> {
    let units = set.units();
    let area = frame::area(set);
    let mut canvas = Canvas::new();
    let mut views = Vec::new();
    let mut y = area.y0;
    let corners = slope.edges.iter().flat_map(|e| e.ends);
    let reach = corners.fold((0.0_f64, 0.0_f64), |(x, y), p| (x.max(p[0]), y.max(p[1])));
    let lines: Vec<Mark> = slope
        .lines
        .iter()
        .flat_map(|l| {
            let bold = l.drawn.is_some_and(|d| differ(d[0], l.x[0], units)) || !l.between.is_empty();
            let low = l.stretches.first();
            let apart = low.into_iter().flat_map(|s| s.apart.iter().map(|(x, width)| (x[0], *width)));
            std::iter::once((l.x[0], low.map_or(0.0, |s| s.width))).chain(apart).map(move |(at, width)| Mark {
                name: l.name.clone(),
                at,
                width,
                bold,
            })
        })
        .collect();
    let courses: Vec<Mark> = slope
        .courses
        .iter()
        .map(|c| Mark { name: c.name.clone(), at: c.y, width: slope.batten_width, bold: false })
        .collect();
    let title = format!("Rod along the eave: lines at their lower ends, from {}", slope.x_from);
    rods(set, &title, "rod of lines", &lines, reach.0, &area, &mut y, &mut canvas, &mut views);
    let title = format!("Story pole up the slope: courses, from {}", slope.y_from);
    rods(set, &title, "story pole", &courses, reach.1, &area, &mut y, &mut canvas, &mut views);
    let mut flow = Flow::after(set, canvas, y);
    flow.list(&line_list(set, slope));
    for list in [stretch_list(slope, units), own_list(slope, units)] {
        if !list.rows.is_empty() {
            flow.list(&list);
        }
    }
    flow.list(&course_list(set, slope));
    let title = format!("Slope {}: running measures", slope.slope);
    let mut all = pages(set, flow, &format!("{}-measures", slope.slope), &title, Some(&slope.slope));
    if let Some(first) = all.first_mut() {
        first.views = views;
    }
    all
}

/// A rod in as many rows as its marks need.
#[expect(clippy::too_many_arguments, reason = "a rod is just these facts")]
fn rods(
    set: &Set<'_>,
    title: &str,
    name: &str,
    marks: &[Mark],
    length: f64,
    area: &Rect,
    y: &mut f64,
    canvas: &mut Canvas,
    views: &mut Vec<View>,
) {
    let units = set.units();
    let width = area.width() - 8.0;
    let rows = ((marks.len() as f64 * STEP / width).ceil().max(1.0)) as usize;
    // What does not fit below on this sheet stands in the table alone.
    let room = ((area.y1 - *y) / (TEXT + ROD + 6.0)).floor() as usize;
    if marks.is_empty() || rows > room {
        return;
    }
    *y += 3.6;
    let set_title = Type::bold(2.8);
    canvas.text(Point::new(area.x0 + 0.5, *y), title, set_title, Anchor::Start);
    let part = length / rows as f64;
    let scale = fitting(units, (part, 0.0), (width, 1.0), 4.0);
    let words = format!("scale {}", scale.words());
    let after = area.x0 + 4.0 + set_title.width(title);
    canvas.text(Point::new(after, *y), &words, Type::regular(2.2), Anchor::Start);
    let f = 1000.0 / scale.factor;
    for row in 0..rows {
        let (from, to) = (part * row as f64, part * (row + 1) as f64);
        let left = area.x0 + 4.0;
        let (top, bottom) = (*y + TEXT + 2.0, *y + TEXT + 2.0 + ROD);
        let x_at = |v: f64| left + (v - from) * f;
        let here: Vec<&Mark> = marks.iter().filter(|m| m.at >= from - 1e-9 && (m.at < to || row + 1 == rows)).collect();
        canvas.clip = Some(Rect::new(x_at(from), top - 0.1, x_at(to), bottom + 0.1));
        for m in &here {
            let r = Rect::new(x_at(m.at - m.width / 2.0), top, x_at(m.at + m.width / 2.0), bottom);
            canvas.rect(&r, Some(Pen::black(FINE)), Some(Ink::Light), "rod band");
        }
        canvas.clip = None;
        let rod = Rect::new(x_at(from), top, x_at(to), bottom);
        canvas.rect(&rod, Some(Pen::black(MEDIUM)), None, "rod");
        let wanted: Vec<f64> = here.iter().map(|m| x_at(m.at)).collect();
        let measures = running(&here.iter().map(|m| Length::from_metres(m.at)).collect::<Vec<_>>(), units);
        let places = spread(&wanted, STEP, area.x0 + 2.0, area.x1 - 2.0);
        for (((m, x), place), measure) in here.iter().zip(&wanted).zip(places).zip(measures) {
            let tick = [Point::new(*x, bottom + 1.0), Point::new(*x, top - 0.8)];
            canvas.lines(vec![tick.to_vec()], Pen::black(MEDIUM), "measure", Some(&m.name));
            canvas.line(&[Point::new(*x, top - 0.8), Point::new(place, top - 2.6)], Pen::black(HAIR), "leader");
            let text = format!("{}  {measure}", m.name);
            let set = if m.bold { Type::bold(2.2) } else { Type::regular(2.2) };
            canvas.upright(Point::new(place + 0.8, top - 3.0), &text, set, Anchor::Start);
        }
        if row + 1 < rows {
            let x = x_at(to);
            let pen = Pen::new(FINE, Dash::DashDot, Ink::Black);
            canvas.line(&[Point::new(x, top - 1.5), Point::new(x, bottom + 1.5)], pen, "match line");
        }
        // The zero of the rod may lie left of this row.
        views.push(View {
            name: format!("{name} of slope, row {}", row + 1),
            scale: Some(scale),
            rows: [[f, 0.0, 0.0, left - from * f], [0.0, 0.0, 0.0, top]],
        });
        *y = bottom + 1.5;
    }
    *y += 2.5;
}

/// A window in words, such as `-3/8 in to +1/2 in`.
fn window_text(window: &[[f64; 2]], units: Units) -> String {
    let show = |v: f64| {
        let text = Length::from_metres(v.abs()).show(units);
        if v.abs() < 1e-9 { "0".to_owned() } else { format!("{}{text}", if v < 0.0 { "-" } else { "+" }) }
    };
    let one = |[a, b]: [f64; 2]| format!("{} to {}", show(a), show(b));
    match window {
        [only] => one(*only),
        several => {
            several.iter().enumerate().map(|(k, w)| format!("{}: {}", k + 1, one(*w))).collect::<Vec<_>>().join("; ")
        }
    }
}

/// Every line, found beside drawn, with its aim window.
pub fn line_list(set: &Set<'_>, slope: &SettingOut) -> List {
    let units = set.units();
    let show = |v: f64| Length::from_metres(v).show(units);
    let rows = slope
        .lines
        .iter()
        .map(|l| {
            let drawn = match l.drawn {
                Some(d) if differ(d[0], l.x[0], units) || differ(d[1], l.x[1], units) => {
                    format!("{} / {}", show(d[0]), show(d[1]))
                }
                Some(_) if l.between.is_empty() => "as drawn".to_owned(),
                Some(_) => "its ends as drawn".to_owned(),
                None => "not in the drawing".to_owned(),
            };
            let window = match (&l.window, slope.windows_left_out) {
                (Some(w), _) => window_text(w, units),
                (None, true) => "left out".to_owned(),
                (None, false) => "none that serves all courses".to_owned(),
            };
            vec![
                l.name.clone(),
                show(l.x[0]),
                show(l.x[1]),
                how_it_runs(l, units),
                drawn,
                l.between
                    .iter()
                    .map(|[y, x, d]| format!("at {}: {} (drawn {})", show(*y), show(*x), show(*d)))
                    .collect::<Vec<_>>()
                    .join("; "),
                window,
                if l.laid { "laid".to_owned() } else { String::new() },
            ]
        })
        .collect();
    let mut notes = vec![format!(
        "From {}, to the middle of the strip. A drawn measure is given where the line was found elsewhere (lower / upper end).",
        slope.x_from
    )];
    notes.push(if slope.windows_left_out {
        format!(
            "Aim windows are left out: the slope has more than {MOST_WINDOWS} landings; airlath marks prints them course by course."
        )
    } else {
        "Aim window: how far left (-) and right (+) of the middle of the strip you may drive at every course of the line, fastener by fastener: what the sure windows of airlath marks share. How far up the board, and wider windows at single courses: see airlath marks.".to_owned()
    });
    List {
        title: format!("Slope {}: lines", slope.slope),
        columns: [
            "line",
            "lower end",
            "upper end",
            "how it runs",
            "drawn",
            "found elsewhere between",
            "aim window",
            "state",
        ]
        .map(str::to_owned)
        .to_vec(),
        rows,
        notes,
    }
}

/// How a line runs, in a few words.
fn how_it_runs(line: &LineMark, units: Units) -> String {
    let turns = line.turns(units);
    let several = line.stretches.iter().any(|s| s.strips.len() > 1);
    let bends = turns.iter().any(|t| !t.jogs && t.strips.0 == t.strips.1);
    let words = [
        (turns.iter().any(|t| t.jogs), "jogs"),
        (bends, "bends"),
        (line.slants(units), "slants"),
        (several, "strips side by side"),
    ];
    let words: Vec<&str> = words.into_iter().filter_map(|(holds, word)| holds.then_some(word)).collect();
    if words.is_empty() { "straight".to_owned() } else { format!("{}: see below", words.join(", ")) }
}

/// Lines that two measures do not describe, stretch by stretch.
fn stretch_list(slope: &SettingOut, units: Units) -> List {
    let show = |v: f64| Length::from_metres(v).show(units);
    let rows = slope
        .lines
        .iter()
        .filter(|l| !l.is_plain(units))
        .flat_map(|l| {
            l.stretches.iter().map(|s| {
                let strips = match (middles(s, 0, units), middles(s, 1, units)) {
                    (low, _) if low.is_empty() => "1 strip".to_owned(),
                    (low, high) if low != high => {
                        format!("{} strips: {}; above {}", low.len(), low.join(", "), high.join(", "))
                    }
                    (low, _) => format!("{} strips: {}", low.len(), low.join(", ")),
                };
                vec![l.name.clone(), show(s.y[0]), show(s.y[1]), show(s.x[0]), show(s.x[1]), strips]
            })
        })
        .collect();
    List {
        title: format!("Slope {}: lines that jog, bend, slant or have strips side by side", slope.slope),
        columns: ["line", "from", "to", "middle at from", "middle at to", "strips and their middles"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        notes: vec![format!(
            "Snap each stretch between its own two measures; past the ends of a line go on straight. Heights from {}; middles from {}, over strips that touch; strips that stand apart have their own middles in the last column.",
            slope.y_from, slope.x_from
        )],
    }
}

/// Landings that no line leads to, course by course.
fn own_list(slope: &SettingOut, units: Units) -> List {
    let mut rows: Vec<Vec<String>> = Vec::new();
    for own in &slope.own {
        let text = format!("{} at {}", own.name, Length::from_metres(own.x).show(units));
        match rows.last_mut().map(Vec::as_mut_slice) {
            Some([course, all]) if *course == own.course => {
                all.push_str("; ");
                all.push_str(&text);
            }
            _ => rows.push(vec![own.course.clone(), text]),
        }
    }
    List {
        title: format!("Slope {}: landings off the lines", slope.slope),
        columns: ["course", "landings and their own measures"].map(str::to_owned).to_vec(),
        rows,
        notes: vec![format!("No chalk line leads to these. Mark the middle of each from {}.", slope.x_from)],
    }
}

/// Every course with its pieces and joints.
pub fn course_list(set: &Set<'_>, slope: &SettingOut) -> List {
    let units = set.units();
    let show = |v: f64| Length::from_metres(v).show(units);
    let rows = slope
        .courses
        .iter()
        .map(|c| {
            let pieces: Vec<String> =
                c.pieces.iter().map(|p| format!("{} {}", p.name, show(p.x[1] - p.x[0]))).collect();
            // A lapped piece lies beside the course's own mark.
            let ends: Vec<String> = c
                .pieces
                .iter()
                .map(|p| {
                    let own =
                        if differ(p.y, c.y, units) { format!(", its middle at {}", show(p.y)) } else { String::new() };
                    format!("{} to {}{own}", show(p.x[0]), show(p.x[1]))
                })
                .collect();
            vec![c.name.clone(), show(c.y), show(c.y - slope.batten_width / 2.0), pieces.join("; "), ends.join("; ")]
        })
        .collect();
    List {
        title: format!("Slope {}: courses", slope.slope),
        columns: ["course", "middle", "lower edge", "pieces and their lengths", "from where to where"]
            .map(str::to_owned)
            .to_vec(),
        rows,
        notes: vec![format!(
            "Courses from {}; ends of pieces from {}, along the middle of the face that lies on the strips. An end cut aslant and plumb is longer above: leave it long and mark it on the roof.",
            slope.y_from, slope.x_from
        )],
    }
}
