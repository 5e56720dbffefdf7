//! Details: the solids cut by a plane, to scale.
//!
//! Aim: what meets what at eave, top and rake and at one crossing, with its measures. Reason: a detail from a template
//! shows what somebody once drew; one that is cut from the solids shows this roof. Limits: what lies behind the cut is
//! not drawn. One place a slope for each detail, named at the drawing; another place may differ.

use std::collections::BTreeMap;

use super::draw::{Anchor, Canvas, Dash, FINE, HAIR, Ink, Pen, Point, Rect, Type, spread, text_box};
use super::font::cut;
use super::kinds::drawn;
use super::scale::{Scale, fitting};
use super::{Owner, Parts, Set, Sheet, Solid, Subject, View, frame, on_paper};
use crate::quantity::Length;
use crate::quantity::maths::{hypot, sin_cos};
use crate::scene::{LineMark, PartKind, SettingOut};
use crate::solid::{Mesh, Plane, Point2, Point3, Vector3};

/// Where a solid is cut: the outlines on the plane, in the coordinates that the solid has. Each ring is closed.
pub fn cut_rings(mesh: &Mesh, plane: &Plane) -> Vec<Vec<Point3>> {
    // A corner on the plane counts as a hair beyond it, so that every triangle is crossed twice or not at all.
    let off: Vec<f64> = mesh
        .positions
        .iter()
        .map(|p| {
            let d = plane.distance(p);
            if d.abs() < 1e-9 { 1e-9 } else { d }
        })
        .collect();
    let d = |i: u32| off.get(i as usize).copied().unwrap_or(1.0);
    type Crossing = (u32, u32);
    let mut next: BTreeMap<Crossing, Vec<Crossing>> = BTreeMap::new();
    for t in &mesh.triangles {
        // In the direction of the triangle, one side is left for the far half-space and another for the near one.
        let (mut from, mut to) = (None, None);
        for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
            let key = (a.min(b), a.max(b));
            if d(a) < 0.0 && d(b) > 0.0 {
                from = Some(key);
            } else if d(a) > 0.0 && d(b) < 0.0 {
                to = Some(key);
            }
        }
        if let (Some(from), Some(to)) = (from, to) {
            next.entry(from).or_default().push(to);
        }
    }
    let place = |(a, b): Crossing| -> Option<Point3> {
        let (p, q) = (mesh.positions.get(a as usize)?, mesh.positions.get(b as usize)?);
        let t = d(a) / (d(a) - d(b));
        Some(p + (q - p) * t)
    };
    let mut rings = Vec::new();
    while let Some((start, _)) = next.first_key_value() {
        let start = *start;
        let mut here = start;
        let mut ring = Vec::new();
        while let Some(to) = next.get_mut(&here).and_then(Vec::pop) {
            ring.extend(place(here));
            if next.get(&here).is_some_and(Vec::is_empty) {
                next.remove(&here);
            }
            here = to;
            if here == start {
                break;
            }
        }
        next.retain(|_, v| !v.is_empty());
        if ring.len() > 2 && here == start {
            rings.push(simple(&ring));
        }
    }
    rings
}

/// A ring without corners that lie on the way between their neighbours.
fn simple(ring: &[Point3]) -> Vec<Point3> {
    let n = ring.len();
    let keep = |i: usize| {
        let (a, b, c) = (ring[(i + n - 1) % n], ring[i], ring[(i + 1) % n]);
        let (u, v) = (b - a, c - b);
        u.norm() > 1e-9 && u.cross(&v).norm() > 1e-9 * (u.norm() + v.norm())
    };
    let kept: Vec<Point3> = (0..n).filter(|i| keep(*i)).map(|i| ring[i]).collect();
    if kept.len() > 2 { kept } else { ring.to_vec() }
}

/// One detail to draw.
struct Detail {
    title: String,
    class: &'static str,
    plane: Plane,
    /// Directions to the right and up on paper, in slope coordinates.
    right: Vector3,
    up: Vector3,
    /// What must show: middle and size, metres.
    about: Point3,
    size: (f64, f64),
    /// Measures along a line: from this point in this direction, and the marks on it.
    along: Option<Along>,
    fastener: Option<String>,
}

/// Running measures from an edge in a detail.
struct Along {
    zero: Point3,
    direction: Vector3,
    zero_name: String,
}

/// The sheet of details of a slope.
pub fn sheet(set: &Set<'_>, slope: &SettingOut, parts: &Parts) -> Sheet {
    let area = frame::area(set);
    let mut canvas = Canvas::new();
    let mut views = Vec::new();
    let (w, h) = (area.width() / 2.0, area.height() / 2.0);
    let details =
        [end_detail(slope, true), end_detail(slope, false), rake_detail(slope), crossing_detail(set, slope, parts)];
    for (k, detail) in details.into_iter().enumerate() {
        let (column, row) = ((k % 2) as f64, (k / 2) as f64);
        let cell =
            Rect::new(area.x0 + column * w, area.y0 + row * h, area.x0 + (column + 1.0) * w, area.y0 + (row + 1.0) * h);
        canvas.rect(&cell, Some(Pen::black(HAIR)), None, "border");
        match detail {
            Ok(detail) => views.push(draw(set, slope, parts, &detail, &cell, &mut canvas)),
            Err(why) => {
                canvas.paragraph(Point::new(cell.x0 + 2.0, cell.y0 + 2.0), &why, Type::regular(2.4), w - 4.0);
            }
        }
    }
    Sheet {
        name: format!("{}-details", slope.slope),
        title: format!("Slope {}: details", slope.slope),
        subject: Subject::Details,
        slope: Some(slope.slope.clone()),
        size: set.paper.size(),
        views,
        items: canvas.items,
    }
}

/// The edge that the line x = const meets at its low or high end: its kind, number and y.
fn edge_at(slope: &SettingOut, x: f64, low: bool) -> Option<(&'static str, usize, f64)> {
    let mut hits: Vec<(f64, &'static str, usize)> = slope
        .edges
        .iter()
        .filter_map(|e| {
            let [a, b] = e.ends;
            ((a[0] > x) != (b[0] > x)).then(|| (a[1] + (x - a[0]) / (b[0] - a[0]) * (b[1] - a[1]), e.kind, e.number))
        })
        .collect();
    hits.sort_by(|a, b| a.0.total_cmp(&b.0));
    let hit = if low { hits.first() } else { hits.last() };
    hit.map(|(y, kind, number)| (*kind, *number, *y))
}

/// The line to cut along: one that meets an eave (or a top, a wall) if there is one, near to the middle of the slope.
fn line_for(slope: &SettingOut, low: bool) -> Option<&LineMark> {
    let span = slope.edges.iter().flat_map(|e| e.ends).map(|p| p[0]);
    let (a, b) = span.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(x), b.max(x)));
    let middle = (a + b) / 2.0;
    let rank = |l: &&LineMark| {
        let kind = edge_at(slope, l.x[usize::from(!low)], low).map_or("", |e| e.0);
        let level = if low { kind == "eave" } else { matches!(kind, "top" | "wall") };
        (!level, l.window.is_none())
    };
    slope.lines.iter().filter(|l| l.y[1] > l.y[0]).min_by(|p, q| {
        let off = |l: &LineMark| (l.x[0] - middle).abs();
        rank(p).cmp(&rank(q)).then(off(p).total_cmp(&off(q)))
    })
}

fn end_detail(slope: &SettingOut, low: bool) -> Result<Detail, String> {
    let what = if low { "Eave" } else { "Top" };
    let line = line_for(slope, low).ok_or_else(|| format!("{what}: no line runs up this slope."))?;
    // Beside the middle, where two members under one line meet.
    let x = line.x[usize::from(!low)] + 0.005;
    let (kind, number, y) = edge_at(slope, x, low).ok_or_else(|| format!("{what}: no edge at {}.", line.name))?;
    let (sin, cos) = sin_cos(slope.pitch);
    let inward = if low { 1.0 } else { -1.0 };
    Ok(Detail {
        title: format!("{} (edge {number}, {kind}) at {}, cut along the line", what, line.name),
        class: if low { "section eave" } else { "section top" },
        plane: Plane::through(Point3::new(x, 0.0, 0.0), Vector3::x()),
        right: Vector3::new(0.0, cos, -sin),
        up: Vector3::new(0.0, sin, cos),
        about: Point3::new(x, y + inward * 0.17, -0.06),
        size: (0.62, 0.36),
        along: Some(Along {
            zero: Point3::new(x, y, 0.0),
            direction: Vector3::new(0.0, inward, 0.0),
            zero_name: format!("edge {number}"),
        }),
        fastener: None,
    })
}

fn rake_detail(slope: &SettingOut) -> Result<Detail, String> {
    let rakes: Vec<_> = slope.edges.iter().filter(|e| e.kind == "rake").collect();
    // The left one first: all lines are measured from there.
    let rake = rakes
        .iter()
        .min_by(|a, b| a.ends[0][0].total_cmp(&b.ends[0][0]))
        .ok_or_else(|| "Rake: this slope has none.".to_owned())?;
    let (low, high) = (rake.ends[0][1].min(rake.ends[1][1]), rake.ends[0][1].max(rake.ends[1][1]));
    let middle = (low + high) / 2.0;
    let course = slope
        .courses
        .iter()
        .filter(|c| c.y > low && c.y < high && !c.pieces.is_empty())
        .min_by(|a, b| (a.y - middle).abs().total_cmp(&(b.y - middle).abs()))
        .ok_or_else(|| "Rake: no course reaches it.".to_owned())?;
    let [a, b] = rake.ends;
    let x = a[0] + (course.y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
    let left = a[1] > b[1];
    let inward = if left { 1.0 } else { -1.0 };
    Ok(Detail {
        title: format!("Rake (edge {}) at {}, looking up the slope", rake.number, course.name),
        class: "section rake",
        // A hair off the course's middle, where fasteners of one row stand.
        plane: Plane::through(Point3::new(0.0, course.y + 0.003, 0.0), Vector3::y()),
        right: Vector3::x(),
        up: Vector3::z(),
        about: Point3::new(x + inward * 0.25, course.y, -0.08),
        size: (0.66, 0.34),
        along: Some(Along {
            zero: Point3::new(x, course.y, 0.0),
            direction: Vector3::new(inward, 0.0, 0.0),
            zero_name: format!("edge {}", rake.number),
        }),
        fastener: None,
    })
}

/// A backed crossing near to the middle of the slope, of those without a warning where there is one.
fn crossing_detail(set: &Set<'_>, slope: &SettingOut, parts: &Parts) -> Result<Detail, String> {
    let corners = slope.edges.iter().flat_map(|e| e.ends);
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for p in corners {
        for i in 0..2 {
            low[i] = low[i].min(p[i]);
            high[i] = high[i].max(p[i]);
        }
    }
    let middle = [(low[0] + high[0]) / 2.0, (low[1] + high[1]) / 2.0];
    let mut best: Option<((bool, f64), String, Point3)> = None;
    let walk = set.scene.source.walk_landings(&mut |l| {
        if l.slope == slope.slope
            && l.backed
            && l.verdict < crate::check::Verdict::Fail
            && slope.lines.iter().any(|x| x.name == l.on)
        {
            let warned = l.verdict > crate::check::Verdict::Unconfirmed;
            let off = hypot(l.place.on_slope[0] - middle[0], l.place.on_slope[1] - middle[1]);
            if let Some(f) = l.fasteners.first()
                && best.as_ref().is_none_or(|(o, ..)| (warned, off) < *o)
            {
                let head = parts.pose.inverse() * Point3::new(f.head[0], f.head[1], f.head[2]);
                best = Some(((warned, off), f.name.clone(), head));
            }
        }
        Ok(())
    });
    let none = || "Crossing: no crossing of this slope is backed and without a failure.".to_owned();
    walk.map_err(|e| format!("Crossing: {e}"))?;
    let (_, name, head) = best.ok_or_else(none)?;
    Ok(Detail {
        title: format!("Crossing with fastener {name}, looking up the slope"),
        class: "section crossing",
        plane: Plane::through(head, Vector3::y()),
        right: Vector3::x(),
        up: Vector3::z(),
        about: head + Vector3::new(0.0, 0.0, -0.035),
        size: (0.115, 0.125),
        along: None,
        fastener: Some(name),
    })
}

/// A part that is cut, with its outlines on paper.
struct Cut<'p> {
    solid: &'p Solid,
    rings: Vec<Vec<Point>>,
    places: Vec<Vec<Point3>>,
}

fn draw(set: &Set<'_>, slope: &SettingOut, parts: &Parts, detail: &Detail, cell: &Rect, canvas: &mut Canvas) -> View {
    let units = set.units();
    let names = 37.0;
    let heading = Type::bold(2.5);
    let title = cut(&detail.title, heading.size, heading.weight, cell.width() - 4.0);
    canvas.text(Point::new(cell.x0 + 2.0, cell.y0 + 4.0), &title, heading, Anchor::Start);
    let measures = if detail.along.is_some() { 26.0 } else { 0.0 };
    let left = if detail.fastener.is_some() { 30.0 } else { 2.0 };
    let frame = Rect::new(cell.x0 + left, cell.y0 + 8.0 + measures, cell.x1 - names, cell.y1 - 2.0);
    let scale = fitting(units, detail.size, (frame.width(), frame.height()), 1.0);
    let words = format!("scale {}", scale.words());
    canvas.text(Point::new(cell.x0 + 2.0, cell.y0 + 7.0), &words, Type::regular(2.1), Anchor::Start);
    let f = 1000.0 / scale.factor;
    let middle = Point::new((frame.x0 + frame.x1) / 2.0, (frame.y0 + frame.y1) / 2.0);
    let row = |v: &Vector3, sign: f64, m: f64| {
        let shift = m - sign * f * v.dot(&detail.about.coords);
        [sign * f * v.x, sign * f * v.y, sign * f * v.z, shift]
    };
    let rows = [row(&detail.right, 1.0, middle.x), row(&detail.up, -1.0, middle.y)];
    let at = |p: &Point3| on_paper(&rows, [p.x, p.y, p.z]);
    let cuts: Vec<Cut<'_>> = parts
        .list
        .iter()
        .filter_map(|solid| {
            let places = cut_rings(&solid.mesh, &detail.plane);
            let rings: Vec<Vec<Point>> = places.iter().map(|r| r.iter().map(&at).collect()).collect();
            let seen = rings.iter().flatten().fold(None::<Rect>, |r, p| {
                let here = Rect::new(p.x, p.y, p.x, p.y);
                Some(r.map_or(here, |r| Rect::new(r.x0.min(p.x), r.y0.min(p.y), r.x1.max(p.x), r.y1.max(p.y))))
            })?;
            seen.meets(&frame).then_some(Cut { solid, rings, places })
        })
        .collect();
    canvas.clip = Some(frame);
    for c in &cuts {
        if let Some(pattern) = drawn(c.solid.kind).cut {
            pattern.shape(&c.rings, detail.class, &c.solid.name, canvas);
        }
    }
    canvas.clip = None;
    canvas.rect(&frame, Some(Pen::new(HAIR, Dash::Dashed, Ink::Dark)), None, "border");
    label_parts(&cuts, &frame, cell, canvas);
    if let Some(along) = &detail.along {
        measures_along(set, along, &cuts, scale, &at, &frame, canvas);
    }
    if let Some(name) = &detail.fastener {
        measures_down(set, name, detail.about, &cuts, &at, &frame, canvas);
    }
    View { name: format!("{} of slope {}", detail.class, slope.slope), scale: Some(scale), rows }
}

/// Names of what is cut, in a column at the right.
fn label_parts(cuts: &[Cut<'_>], frame: &Rect, cell: &Rect, canvas: &mut Canvas) {
    let set = Type::regular(2.0);
    let column = frame.x1 + 4.0;
    let mut wanted: Vec<(Point, String)> = cuts
        .iter()
        .filter_map(|c| {
            // The middle of the largest ring that shows.
            let seen = c.rings.iter().filter_map(|r| shown_middle(r, frame)).max_by(|a, b| a.1.total_cmp(&b.1))?;
            Some((seen.0, format!("{} {}", c.solid.name, c.solid.kind.name())))
        })
        .collect();
    wanted.sort_by(|a, b| a.0.y.total_cmp(&b.0.y).then(a.0.x.total_cmp(&b.0.x)));
    let most = ((frame.height() + 8.0) / 2.7) as usize;
    let ys: Vec<f64> = wanted.iter().take(most).map(|w| w.0.y).collect();
    for ((p, text), y) in wanted.iter().zip(spread(&ys, 2.7, frame.y0 - 6.0, frame.y1 - 1.0)) {
        let text = cut(text, set.size, set.weight, cell.x1 - column - 1.0);
        canvas.line(&[*p, Point::new(column - 1.2, y), Point::new(column - 0.4, y)], Pen::black(HAIR), "leader");
        canvas.circle(*p, 0.3, None, Some(Ink::Black), "leader");
        canvas.text(Point::new(column, y + 0.7), &text, set, Anchor::Start);
    }
}

/// The middle of what a frame shows of a ring, and how much that is.
fn shown_middle(ring: &[Point], frame: &Rect) -> Option<(Point, f64)> {
    let mut canvas = Canvas { clip: Some(frame.inset(0.2)), ..Canvas::default() };
    canvas.shape(&[ring.to_vec()], None, Some(Ink::Black), "probe", None);
    let Some(super::draw::Item::Path { rings, .. }) = canvas.items.first() else { return None };
    let r = rings.first()?;
    let (mut area, mut x, mut y) = (0.0, 0.0, 0.0);
    for (a, b) in r.iter().zip(r.iter().cycle().skip(1)) {
        let cross = a.x * b.y - b.x * a.y;
        area += cross;
        x += (a.x + b.x) * cross;
        y += (a.y + b.y) * cross;
    }
    (area.abs() > 1e-6).then(|| (Point::new(x / (3.0 * area), y / (3.0 * area)), area.abs()))
}

/// From an edge along the slope: where vent piece, strip and battens begin and end.
fn measures_along(
    set: &Set<'_>,
    along: &Along,
    cuts: &[Cut<'_>],
    scale: Scale,
    at: &dyn Fn(&Point3) -> Point,
    frame: &Rect,
    canvas: &mut Canvas,
) {
    let units = set.units();
    let mut marks: Vec<(f64, String)> = vec![(0.0, along.zero_name.clone())];
    let mut top = f64::NEG_INFINITY;
    for c in cuts.iter().filter(|c| c.solid.owner == Owner::Slope) {
        let Some(word) = drawn(c.solid.kind).measured else { continue };
        for r in &c.places {
            let s = |p: &Point3| (p - along.zero).dot(&along.direction);
            let (a, b) = r.iter().map(s).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
            top = top.max(r.iter().map(|p| p.z).fold(f64::NEG_INFINITY, f64::max));
            marks.push((a, word.to_owned()));
            marks.push((b, word.to_owned()));
        }
    }
    if !top.is_finite() {
        return;
    }
    // The line of measures lies a hand above the battens.
    let lift = top + 2.5 * scale.factor / 1000.0;
    let place = |s: f64| at(&(along.zero + along.direction * s + Vector3::new(0.0, 0.0, lift)));
    marks.retain(|(s, _)| {
        let p = place(*s);
        p.x > frame.x0 + 0.5 && p.x < frame.x1 - 0.5 && p.y > frame.y0 - 3.0
    });
    marks.sort_by(|a, b| place(a.0).x.total_cmp(&place(b.0).x));
    // One mark for parts that begin at one place.
    let mut merged: Vec<(f64, String)> = Vec::new();
    for (s, word) in marks {
        match merged.last_mut() {
            Some((t, w)) if (*t - s).abs() < 0.0005 && t.abs() < 1e-9 => w.clone_from(&along.zero_name),
            Some((t, w)) if (*t - s).abs() < 0.0005 => {
                if !w.contains(&word) {
                    w.push_str(" + ");
                    w.push_str(&word);
                }
            }
            _ => merged.push((s, word)),
        }
    }
    let (Some(first), Some(last)) = (merged.first(), merged.last()) else { return };
    let pen = Pen::black(FINE);
    canvas.line(&[place(first.0), place(last.0)], pen, "dimension");
    // No text stands in the line of measures, which may lead out of the frame.
    let foot = merged.iter().map(|(s, _)| place(*s).y - 3.0).fold(frame.y0 - 0.5, f64::min);
    let wanted: Vec<f64> = merged.iter().map(|(s, _)| place(*s).x).collect();
    let set_text = Type::regular(2.0);
    for ((s, word), x) in merged.iter().zip(spread(&wanted, 2.5, frame.x0, frame.x1 + 20.0)) {
        let p = place(*s);
        canvas.circle(p, 0.35, None, Some(Ink::Black), "dimension-tick");
        canvas.line(&[p, Point::new(p.x, foot + 2.0), Point::new(x, foot)], Pen::black(HAIR), "leader");
        let text =
            if s.abs() < 1e-9 { word.clone() } else { format!("{} {word}", Length::from_metres(*s).show(units)) };
        canvas.turned(Point::new(x + 0.5, foot - 0.4), &text, set_text, Anchor::Start, 60.0);
    }
}

/// At a crossing: levels of the layers, the fastener's length and its embedment, measured in the cut.
fn measures_down(
    set: &Set<'_>,
    name: &str,
    about: Point3,
    cuts: &[Cut<'_>],
    at: &dyn Fn(&Point3) -> Point,
    frame: &Rect,
    canvas: &mut Canvas,
) {
    let units = set.units();
    let fine = |v: f64| Length::from_metres(v).show_marked(units);
    let Some(m) = crossing_measures(about.x, cuts.iter().map(|c| (c.solid, c.places.as_slice()))) else { return };
    let x = frame.x0 - 3.0;
    let pen = Pen::black(FINE);
    let levels = [m.head, m.member, m.tip];
    let spans = [
        (m.head, m.tip, format!("{} {name}", fine(m.head - m.tip)), 23.0),
        (m.member, m.tip, format!("embedment {}", fine(m.member - m.tip)), 14.5),
        (m.head, m.member, format!("{} above framing", fine(m.head - m.member)), 6.0),
    ];
    let y = |z: f64| at(&Point3::new(about.x, about.y, z)).y;
    for z in levels {
        let far = at(&Point3::new(about.x, about.y, z)).x;
        canvas.line(
            &[Point::new(x - 22.0, y(z)), Point::new(far, y(z))],
            Pen::new(HAIR, Dash::Dashed, Ink::Black),
            "leader",
        );
    }
    for (upper, lower, text, off) in spans {
        let column = x - off + 3.0;
        canvas.line(&[Point::new(column, y(upper)), Point::new(column, y(lower))], pen, "dimension");
        for z in [upper, lower] {
            canvas.line(
                &[Point::new(column - 0.8, y(z) + 0.8), Point::new(column + 0.8, y(z) - 0.8)],
                pen,
                "dimension-tick",
            );
        }
        let (base, small) = (Point::new(column - 0.9, (y(upper) + y(lower)) / 2.0), Type::regular(2.0));
        let ground = text_box(base, &text, small, Anchor::Middle, 90.0);
        canvas.rect(&ground, None, Some(Ink::White), "ground");
        canvas.upright(base, &text, small, Anchor::Middle);
    }
    // Room at both sides of the shank inside what backs it: below the tip, or as low as the numbers still stand inside.
    let small = Type::regular(2.0);
    let yy = (y(m.tip) + 4.0).min(frame.y1 - 1.6);
    let px = |v: f64| at(&Point3::new(v, about.y, m.tip)).x;
    for (a, b, outwards) in [(m.sides.0, about.x, -1.0), (about.x, m.sides.1, 1.0)] {
        canvas.line(&[Point::new(px(a), yy), Point::new(px(b), yy)], pen, "dimension");
        for v in [a, b] {
            canvas.line(&[Point::new(px(v) - 0.8, yy + 0.8), Point::new(px(v) + 0.8, yy - 0.8)], pen, "dimension-tick");
        }
        // Above its line, and beside it where that is too short.
        let text = fine(b - a);
        let (width, room) = (small.width(&text), (px(b) - px(a)).abs());
        let (x, lift) = if width + 2.0 < room {
            ((px(a) + px(b)) / 2.0, 1.0)
        } else {
            (px(if outwards > 0.0 { b } else { a }) + outwards * (width / 2.0 + 1.6), -0.7)
        };
        let base = Point::new(x, yy - lift);
        canvas.rect(&text_box(base, &text, small, Anchor::Middle, 0.0).inset(-0.3), None, Some(Ink::White), "ground");
        canvas.text(base, &text, small, Anchor::Middle);
    }
}

/// What a cut through a fastener's axis shows.
pub struct CrossingMeasures {
    /// Level of the underside of the head, metres above the membrane.
    pub head: f64,
    /// Level of the tip.
    pub tip: f64,
    /// Level of the upper face of the member that the tip is in.
    pub member: f64,
    /// Left and right side of that member at the tip.
    pub sides: (f64, f64),
}

/// Measures a cut at y = const through a fastener at `x`: from the outlines alone.
pub fn crossing_measures<'c>(
    x: f64,
    cuts: impl Iterator<Item = (&'c Solid, &'c [Vec<Point3>])>,
) -> Option<CrossingMeasures> {
    let mut fastener: Option<Vec<Point3>> = None;
    let mut members: Vec<Vec<Point2>> = Vec::new();
    for (solid, places) in cuts {
        for r in places {
            if let PartKind::Member(_) = solid.kind {
                members.push(r.iter().map(|p| Point2::new(p.x, p.z)).collect());
            } else if solid.kind == PartKind::Fasteners && r.iter().any(|p| p.x < x) && r.iter().any(|p| p.x > x) {
                fastener = Some(r.clone());
            }
        }
    }
    let fastener = fastener?;
    let tip = fastener.iter().map(|p| p.z).fold(f64::INFINITY, f64::min);
    // The head is where the outline is widest; its underside is the lowest place that is so wide.
    let wide = fastener.iter().map(|p| (p.x - x).abs()).fold(0.0, f64::max);
    let head = fastener.iter().filter(|p| (p.x - x).abs() > 0.9 * wide).map(|p| p.z).fold(f64::INFINITY, f64::min);
    // The member whose outline the axis enters last above the tip, and its sides there.
    let crossings = |ring: &Vec<Point2>, swap: bool, at: f64| {
        let mut hits: Vec<f64> = Vec::new();
        for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
            let (a, b) = if swap { ((a.y, a.x), (b.y, b.x)) } else { ((a.x, a.y), (b.x, b.y)) };
            if (a.0 > at) != (b.0 > at) {
                hits.push(a.1 + (at - a.0) / (b.0 - a.0) * (b.1 - a.1));
            }
        }
        hits.sort_by(f64::total_cmp);
        hits
    };
    members.iter().find_map(|ring| {
        let up = crossings(ring, false, x);
        let span = up.chunks_exact(2).find(|p| p[0] < tip + 1e-6 && p[1] > tip)?;
        let across = crossings(ring, true, tip + 1e-6);
        let side = across.chunks_exact(2).find(|p| p[0] < x && p[1] > x)?;
        Some(CrossingMeasures { head, tip, member: span[1], sides: (side[0], side[1]) })
    })
}
