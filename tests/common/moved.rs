//! The text of a design, moved: the same roof turned, shifted, seen in a mirror, or at another pitch.

use std::str::FromStr;

use airlath::design::{Design, RafterField};
use airlath::plan::Plan;
use airlath::quantity::Length;
use toml::{Table, Value};

use super::plans::{millimetres, placed, plan};

/// A design's text, and new names of its slopes beside the old ones.
pub struct Moved {
    pub text: String,
    /// Where a place in the world comes to be.
    pub place: Box<dyn Fn([f64; 3]) -> [f64; 3]>,
    names: Vec<(String, String)>,
}

impl Moved {
    /// Whether any slope has another name.
    pub fn renames(&self) -> bool {
        self.names.iter().any(|(old, new)| old != new)
    }

    /// Any name that opens with a slope's, as the drawn roof has it.
    pub fn as_drawn(&self, name: &str) -> String {
        under(name, |slope| {
            self.names.iter().find(|(_, new)| new == slope).map_or_else(|| slope.to_owned(), |(old, _)| old.clone())
        })
    }
}

/// A name with another slope in front: "S", "S.3", "S-B02.L04".
fn under(name: &str, other: impl Fn(&str) -> String) -> String {
    let end = name.find(['-', '.']).unwrap_or(name.len());
    format!("{}{}", other(&name[..end]), &name[end..])
}

fn text(v: impl Into<String>) -> Value {
    Value::String(v.into())
}

fn metres(v: &Value) -> f64 {
    Length::from_str(v.as_str().expect("a text")).expect("a length").metres()
}

/// Changes a length, or each of a list, where the key is there.
fn lengths(t: &mut Table, key: &str, change: impl Fn(usize, f64) -> f64) {
    match t.get_mut(key) {
        Some(Value::Array(all)) => {
            for (i, v) in all.iter_mut().enumerate() {
                *v = text(millimetres(change(i, metres(v))));
            }
        }
        Some(v) => *v = text(millimetres(change(0, metres(v)))),
        None => {}
    }
}

/// The tables of a list; none where there is no such list.
fn tables<'a>(doc: &'a mut Table, key: &str) -> impl Iterator<Item = &'a mut Table> {
    doc.get_mut(key).and_then(Value::as_array_mut).into_iter().flatten().map(|v| v.as_table_mut().expect("a table"))
}

fn found<'a>(doc: &'a mut Table, key: &str) -> impl Iterator<Item = &'a mut Table> {
    doc.get_mut("found").and_then(Value::as_table_mut).into_iter().flat_map(move |t| tables(t, key))
}

/// Members and those found later.
fn members(doc: &mut Table, change: &mut dyn FnMut(&mut Table)) {
    tables(doc, "member").for_each(&mut *change);
    found(doc, "added").for_each(change);
}

/// Applies new names of slopes wherever the design names them.
fn rename(doc: &mut Table, names: &[(String, String)]) {
    const NAMED: [&str; 9] =
        ["slope", "slopes", "edge", "shared_with", "course", "courses", "lines", "landing", "fixed_at"];
    fn walk(key: &str, v: &mut Value, new: &dyn Fn(&str) -> String) {
        match v {
            Value::Table(t) => t.iter_mut().for_each(|(key, v)| walk(key, v, new)),
            Value::Array(all) => all.iter_mut().for_each(|v| walk(key, v, new)),
            Value::String(s) if NAMED.contains(&key) => *s = under(s, new),
            _ => {}
        }
    }
    let new = |slope: &str| {
        names.iter().find(|(old, _)| old == slope).map_or_else(|| slope.to_owned(), |(_, new)| new.clone())
    };
    doc.iter_mut().for_each(|(key, v)| walk(key, v, &new));
    for key in ["member", "slope"] {
        for t in found(doc, key) {
            if let Some(v) = t.get_mut("name") {
                *v = text(under(v.as_str().expect("a name"), new));
            }
        }
    }
}

/// Slopes of the short form are named after where they look.
fn named_anew(doc: &mut Table, design: &Design, facing: impl Fn(f64) -> f64) -> Vec<(String, String)> {
    const WINDS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
    if !doc.contains_key("roof") {
        return Vec::new();
    }
    let wind = |degrees: f64| WINDS[(degrees / 45.0).round().rem_euclid(8.0) as usize].to_owned();
    let names = design.slopes.iter().map(|s| (s.name.clone(), wind(facing(s.facing.degrees())))).collect::<Vec<_>>();
    rename(doc, &names);
    names
}

/// The whole building moved in the world: slopes by what they face and their lower left corners, members by their ends.
fn in_world(
    drawn: &str,
    facing: impl Fn(f64) -> f64,
    place: impl Fn([f64; 3]) -> [f64; 3],
    corner: impl Fn(&airlath::design::Slope) -> [f64; 3],
) -> (Table, Plan, Vec<(String, String)>) {
    let plan = plan(drawn);
    let mut doc: Table = placed(drawn).parse().expect("a design");
    let degrees = |v: f64| text(format!("{} deg", facing(v).rem_euclid(360.0)));
    let point = |p: [f64; 3]| Value::Array(place(p).map(|v| text(millimetres(v))).to_vec());
    if let Some(roof) = doc.get_mut("roof").and_then(Value::as_table_mut) {
        let main = &plan.design.slopes[0];
        roof.insert("facing".into(), degrees(main.facing.degrees()));
        let up = place([0.0; 3])[2];
        let height = roof.get("eave_height").map_or(0.0, metres);
        roof.insert("eave_height".into(), text(millimetres(height + up)));
    }
    for (t, slope) in tables(&mut doc, "slope").zip(&plan.design.slopes) {
        t.insert("facing".into(), degrees(slope.facing.degrees()));
        t.insert("eave_point".into(), point(corner(slope)));
    }
    members(&mut doc, &mut |t| {
        if !t.contains_key("slope") {
            for key in ["from", "to"] {
                let all: Vec<f64> = t[key].as_array().expect("a place").iter().map(metres).collect();
                t.insert(key.into(), point([all[0], all[1], all[2]]));
            }
        }
    });
    let names = named_anew(&mut doc, &plan.design, facing);
    (doc, plan, names)
}

fn eave_point(slope: &airlath::design::Slope) -> [f64; 3] {
    slope.eave_point.value.map(Length::metres)
}

/// Turned clockwise about the world's origin. The short form takes other names where it looks to another wind.
pub fn turned(drawn: &str, degrees: f64) -> Moved {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let place = move |[e, n, u]: [f64; 3]| [e * cos + n * sin, n * cos - e * sin, u];
    let (doc, _, names) = in_world(drawn, |f| f + degrees, place, eave_point);
    Moved { text: doc.to_string(), place: Box::new(place), names }
}

/// Shifted in the world; of the short form, whose corner is the world's origin, the height alone.
pub fn shifted(drawn: &str, by: [f64; 3]) -> Moved {
    let by = if drawn.contains("[roof]") { [0.0, 0.0, by[2]] } else { by };
    let place = move |p: [f64; 3]| [0, 1, 2].map(|k| p[k] + by[k]);
    let (doc, _, names) = in_world(drawn, |f| f, place, eave_point);
    Moved { text: doc.to_string(), place: Box::new(place), names }
}

/// Another pitch of all slopes; lengths along the slopes stay, so what meets in the world may no longer meet.
pub fn pitched(drawn: &str, pitch: &str) -> String {
    let mut doc: Table = placed(drawn).parse().expect("a design");
    let roof = doc.get_mut("roof").and_then(Value::as_table_mut).map(|t| t.insert("pitch".into(), text(pitch)));
    if roof.is_none() {
        tables(&mut doc, "slope").for_each(|t| drop(t.insert("pitch".into(), text(pitch))));
    }
    doc.to_string()
}

fn width(slope: &airlath::design::Slope) -> f64 {
    slope.outline.iter().map(|c| c.0.metres()).fold(0.0, f64::max)
}

/// The mirror image of a design: on each slope x becomes the outline's width less x, in the world
/// east becomes west.
pub fn mirrored(drawn: &str) -> Moved {
    // Of the short form the image of the main eave's right end comes to stand at the origin.
    let main = |p: &Plan| {
        let s = &p.design.slopes[0];
        width(s) * s.facing.radians().cos()
    };
    let shift = if drawn.contains("[roof]") { -main(&plan(drawn)) } else { 0.0 };
    let right = |s: &airlath::design::Slope| {
        let ([e, n, u], (sin, cos)) = (eave_point(s), s.facing.radians().sin_cos());
        [e - cos * width(s), n + sin * width(s), u]
    };
    let place = move |[e, n, u]: [f64; 3]| [shift - e, n, u];
    let (mut doc, original, names) = in_world(drawn, |f| -f, place, right);
    let slopes = &original.design.slopes;
    let new_name = |slope: &str| names.iter().find(|(o, _)| o == slope).map_or(slope, |(_, n)| n).to_owned();
    // The width of the slope that a table names, or of the only one.
    let wide = |t: &Table, key: &str| {
        let named = t.get(key).and_then(Value::as_str).map(|n| n.split(['-', '.']).next().unwrap_or(n));
        let at = named.and_then(|n| slopes.iter().position(|s| new_name(&s.name) == n));
        (width(&slopes[at.unwrap_or(0)]), at.unwrap_or(0))
    };
    let mirrored_outline = |t: &mut Table, w: f64| {
        if let Some(corners) = t.get("outline").and_then(Value::as_array).cloned() {
            let n = corners.len();
            let corner = |j: usize| {
                let c = corners[(n + 1 - j) % n].as_array().expect("a corner");
                Value::Array(vec![text(millimetres(w - metres(&c[0]))), c[1].clone()])
            };
            t.insert("outline".into(), Value::Array((0..n).map(corner).collect()));
        }
    };
    for (t, s) in tables(&mut doc, "slope").zip(slopes) {
        mirrored_outline(t, width(s));
    }
    for t in found(&mut doc, "slope") {
        let (w, _) = wide(t, "name");
        if let Some(size) = t.remove("size") {
            let [x, y] = [0, 1].map(|i| metres(&size[i]));
            let corner = |(x, y): (f64, f64)| Value::Array(vec![text(millimetres(x)), text(millimetres(y))]);
            t.insert("outline".into(), Value::Array([(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)].map(corner).to_vec()));
        }
        mirrored_outline(t, w);
    }
    // Edges keep the eave's number.
    let edge = |name: &str| {
        let (slope, number) = name.split_once('.').expect("an edge");
        let n = slopes.iter().find(|s| new_name(&s.name) == slope).expect("a slope").outline.len();
        let k: usize = number.parse().expect("a number");
        format!("{slope}.{}", (n - (k - 1)) % n + 1)
    };
    let mut edges = |t: &mut Table| {
        for key in ["edge", "shared_with"] {
            if let Some(v) = t.get_mut(key) {
                *v = text(edge(v.as_str().expect("an edge")));
            }
        }
    };
    tables(&mut doc, "edge").for_each(&mut edges);
    doc.get_mut("air")
        .and_then(Value::as_table_mut)
        .into_iter()
        .for_each(|t| tables(t, "pressure").for_each(&mut edges));
    let openings = |t: &mut Table| {
        let size = metres(&t["size"][0]);
        let hole = t.get("name").and_then(Value::as_str).map(str::to_owned);
        let (mut w, _) = wide(t, "slope");
        // As found, one is known by its name.
        if let Some(s) = slopes.iter().find(|s| s.openings.iter().any(|o| Some(&o.name) == hole.as_ref())) {
            w = width(s);
        }
        lengths(t, "at", |i, v| if i == 0 { w - v - size } else { v });
    };
    tables(&mut doc, "opening").for_each(openings);
    found(&mut doc, "opening").for_each(openings);
    members(&mut doc, &mut |t| {
        if t.contains_key("slope") {
            let (w, _) = wide(t, "slope");
            for key in ["from", "to"] {
                lengths(t, key, |i, v| if i == 0 { w - v } else { v });
            }
        }
        if let Some(roll) = t.get("roll").and_then(Value::as_str).map(str::to_owned) {
            let back = roll.strip_prefix('-').map_or_else(|| format!("-{roll}"), str::to_owned);
            t.insert("roll".into(), text(back));
        }
    });
    fields(&mut doc, &original.design, &new_name);
    for t in tables(&mut doc, "straps") {
        lengths(t, "shift", |_, v| -v);
    }
    if let Some(batten) = doc.get_mut("lattice").and_then(|l| l.get_mut("batten")).and_then(Value::as_table_mut) {
        let right = original.design.lattice.batten.boards_from.value == airlath::design::BoardsFrom::Left;
        batten.insert("boards_from".into(), text(if right { "right" } else { "left" }));
    }
    if let (Some(t), Some(panels)) = (doc.get_mut("panels").and_then(Value::as_table_mut), &original.design.panels) {
        let w = width(&slopes[0]);
        let seams = ((w - panels.first_seam.metres()) / panels.width.metres() + 1e-9).floor();
        let last = panels.first_seam.metres() + seams * panels.width.metres();
        t.insert("first_seam".into(), text(millimetres(w - last)));
    }
    for t in tables(&mut doc, "landing") {
        let (w, _) = wide(t, "course");
        lengths(t, "x", |_, x| w - x);
    }
    for t in tables(&mut doc, "gap") {
        let (w, _) = wide(t, "course");
        let ends = [w - metres(&t["to"]), w - metres(&t["from"])].map(|v| text(millimetres(v)));
        for (key, v) in ["from", "to"].into_iter().zip(ends) {
            t.insert(key.into(), v);
        }
    }
    by_name(&mut doc, &original, &wide);
    Moved { text: doc.to_string(), place: Box::new(place), names }
}

/// Fields count from the left: each slope gets its own, counted from where it ended.
fn fields(doc: &mut Table, design: &Design, new_name: &dyn Fn(&str) -> String) {
    let drawn = |key: &str, doc: &Table| {
        let (list, n) = key.trim_end_matches(']').split_once('[').expect("a list");
        let n: usize = n.parse().expect("a number");
        (list.to_owned(), doc[list][n - 1].as_table().expect("a table").clone())
    };
    let mut all: Vec<(String, Table)> = Vec::new();
    let mut add = |(list, mut t): (String, Table), slope: usize, values: &[(&str, f64)]| {
        t.insert("slopes".into(), Value::Array(vec![text(new_name(&design.slopes[slope].name))]));
        for (key, v) in values {
            t.insert((*key).into(), text(millimetres(*v)));
        }
        all.push((list, t));
    };
    for f in &design.rafters {
        for s in &f.slopes {
            let w = width(&design.slopes[s.0]);
            let (mut list, mut t) = drawn(&f.table.key, doc);
            t.remove("close");
            let (regular, closing) = stations(f, w);
            if let (Some(a), Some(b)) = (regular.first(), regular.last()) {
                add((list.clone(), t.clone()), s.0, &[("first", w - b), ("last", w - a)]);
            }
            if let Some(x) = closing {
                add((std::mem::take(&mut list), t), s.0, &[("first", w - x), ("last", w - x)]);
            }
        }
    }
    for f in &design.lookouts {
        for s in &f.slopes {
            let w = width(&design.slopes[s.0]);
            add(drawn(&f.table.key, doc), s.0, &[("from", w - f.to.metres()), ("to", w - f.from.metres())]);
        }
    }
    for f in &design.blocking {
        for s in &f.slopes {
            let w = width(&design.slopes[s.0]);
            let (list, mut t) = drawn(&f.table.key, doc);
            t.remove("from");
            t.remove("to");
            let ends = [("from", &f.to), ("to", &f.from)];
            let ends: Vec<_> = ends.iter().filter_map(|(k, v)| Some((*k, w - v.as_ref()?.metres()))).collect();
            add((list, t), s.0, &ends);
        }
    }
    for list in ["rafters", "tails", "lookouts", "blocking"] {
        let new = all.iter().filter(|(l, _)| l == list).map(|(_, t)| Value::Table(t.clone())).collect();
        if doc.contains_key(list) {
            doc.insert(list.into(), Value::Array(new));
        }
    }
}

/// Centre lines of a field as far as the outline, and the one that closes it.
fn stations(f: &RafterField, width: f64) -> (Vec<f64>, Option<f64>) {
    let half = f.section.width().metres() / 2.0;
    let limit = f.last.as_ref().map_or(width, |l| l.metres());
    let at = |k: usize| f.first.metres() + k as f64 * f.spacing.metres();
    let regular: Vec<f64> = (0..).map(at).take_while(|x| *x <= limit + 1e-6).filter(|x| *x <= width + half).collect();
    let close = f.close.value && regular.last().is_none_or(|x| limit - x > 0.01);
    (regular, close.then_some(limit))
}

/// What names members, lines and landings: names count from the left, so each is looked up where the mirror image has it.
fn by_name(doc: &mut Table, original: &Plan, wide: &dyn Fn(&Table, &str) -> (f64, usize)) {
    let held: Vec<(&str, Option<Value>)> =
        ["move", "laid", "joints"].into_iter().map(|key| (key, doc.remove(key))).collect();
    let found_table = |doc: &mut Table, v: Option<Value>| match doc.get_mut("found").and_then(Value::as_table_mut) {
        Some(t) => match v {
            Some(v) => t.insert("member".into(), v),
            None => t.remove("member"),
        },
        None => None,
    };
    if let Some(mut v) = found_table(doc, None) {
        let image = plan(&doc.to_string());
        let middle = |p: &Plan, k: usize| {
            let m = &p.drawn.members[k];
            let at = m.pose * airlath::solid::Point3::new(0.0, m.length / 2.0, 0.0);
            (m.kind, m.home, [at.x, at.y, at.z])
        };
        for t in v.as_array_mut().expect("a list").iter_mut().map(|v| v.as_table_mut().expect("a table")) {
            let (w, slope) = wide(t, "name");
            let name = t["name"].as_str().expect("a name").to_owned();
            let drawn = under(&name, |_| original.design.slopes[slope].name.clone());
            let all = &original.drawn.members;
            // One that is only found keeps its number of none.
            let Some(k) = all.iter().position(|m| m.name == drawn) else { continue };
            let (kind, home, [x, y, z]) = middle(original, k);
            let home = home.expect("a member of a slope");
            let near = |i: &usize| {
                let (kind_of, home_of, at) = middle(&image, *i);
                let away = [w - x - at[0], y - at[1], z - at[2]];
                kind_of == kind && home_of == Some(home) && away.iter().all(|v| v.abs() < 1e-6)
            };
            let twin = (0..image.drawn.members.len()).find(near).unwrap_or_else(|| panic!("no image of {name}"));
            t.insert("name".into(), text(image.drawn.members[twin].name.clone()));
            let across = all[k].kind.makes_lines();
            let length = all[k].length;
            for o in t.get_mut("offsets").and_then(Value::as_array_mut).into_iter().flatten() {
                let o = o.as_table_mut().expect("an offset");
                // Up the slope they count to the right, along the eave from the left end.
                let (key, sign, from) = if across { ("off", -1.0, 0.0) } else { ("at", -1.0, length) };
                lengths(o, key, |_, v| from + sign * v);
            }
            if !across {
                t.get_mut("offsets").and_then(Value::as_array_mut).into_iter().for_each(|o| o.reverse());
            }
        }
        found_table(doc, Some(v));
    }
    let image = plan(&doc.to_string());
    let line = |name: &str, slope: usize| {
        let names = |p: &Plan| p.lattice.slopes[slope].lines.iter().map(|l| l.name.clone()).collect::<Vec<_>>();
        let (old, new) = (names(original), names(&image));
        assert_eq!(old.len(), new.len());
        let drawn = under(name, |_| original.design.slopes[slope].name.clone());
        let k = old.iter().position(|n| *n == drawn).unwrap_or_else(|| panic!("no line {drawn}"));
        new[new.len() - 1 - k].clone()
    };
    for (key, v) in held {
        let Some(mut v) = v else { continue };
        let rows = v.as_array_mut().expect("a list");
        if key == "move" {
            let image = plan(&doc.to_string());
            let context = image.context();
            let moves = rows.iter_mut().map(|v| v.as_table_mut().expect("a table"));
            for t in moves {
                let (w, slope) = wide(t, "landing");
                lengths(t, "across", |_, v| -v);
                lengths(t, "at", |i, v| if i == 0 { w - v } else { v });
                let at = [0, 1].map(|i| metres(&t["at"][i]));
                let on = &context.slopes[slope];
                let near = on.lattice.landings.iter().min_by(|a, b| {
                    let away = |l: &airlath::lattice::Landing| (l.x - at[0]).hypot(l.y - at[1]);
                    away(a).total_cmp(&away(b))
                });
                let name = context.landing_name(on, near.expect("a landing"));
                t.insert("landing".into(), text(name));
            }
        } else {
            for t in rows.iter_mut().map(|v| v.as_table_mut().expect("a table")) {
                for v in t.get_mut("lines").and_then(Value::as_array_mut).into_iter().flatten() {
                    let only = Table::from_iter([("line".to_owned(), v.clone())]);
                    *v = text(line(v.as_str().expect("a line"), wide(&only, "line").1));
                }
            }
        }
        doc.insert(key.into(), v);
    }
}
