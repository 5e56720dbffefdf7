//! What holds for every roof: turned (more in `moved.rs`), mirrored, in other units, with more backing; and what every part keeps to.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;

use crate::common::examples;
use crate::common::plans::{millimetres, plan};
use crate::common::said::{Said, near, said, same_places};
use crate::common::seeded::Seeded;
use airlath::check::{self, Verdict};
use airlath::lattice::{End, batten_solid};
use airlath::plan::Plan;
use airlath::quantity::Length;
use airlath::scene::{Building, Detail, Form, PartKind, PartSource};
use airlath::solid::{Body, Mesh, Plate};

// ---- (a) turned ----

/// A rafter placed in world coordinates: its x on the slope comes out of sines, so its last digits differ from turn to turn.
/// The plan is the same, and so is its fingerprint, wherever on the slope the rafter stands.
#[test]
fn the_fingerprint_forgives_the_last_digits() {
    let roof = |degrees: f64, sixteenths: f64| {
        let (sin, cos) = f64::to_radians(degrees).sin_cos();
        let x = sixteenths * 0.0015875;
        let at = |y: f64, z: f64| {
            [-cos * x - sin * y, sin * x - cos * y, z - 0.05].map(|v| format!("\"{}\"", millimetres(v))).join(", ")
        };
        let (level, rise) = (2.0 / 5f64.sqrt() * 2.4384, 1.0 / 5f64.sqrt() * 2.4384);
        said(&format!(
            r#"
format = 1
name = "One rafter in the world (invented)"
units = "inches"
[[slope]]
name = "S"
pitch = "6:12"
facing = "{degrees} deg"
size = ["12 ft", "8 ft"]
[[rafters]]
section = {{ nominal = "2x8" }}
spacing = "48 in"
[[member]]
kind = "rafter"
section = {{ nominal = "2x8" }}
from = [{}]
to = [{}]
[lattice]
batten = {{ nominal = "1x4", spacing = "16 in" }}
[fastening]
diameter = "0.148 in"
length = "3 in"
"#,
            at(0.0, 0.0),
            at(level, rise)
        ))
    };
    for sixteenths in [320.0, 321.0, 323.0, 325.0, 327.0] {
        let drawn = roof(180.0, sixteenths);
        for degrees in [37.0, 90.0, 101.5, 222.2, 359.0] {
            let turned = roof(degrees, sixteenths);
            same_places(&drawn, &turned, 2e-9, &format!("{sixteenths}/16 in, facing {degrees} deg"));
            assert_eq!(drawn.fingerprint, turned.fingerprint, "{sixteenths}/16 in, facing {degrees} deg");
        }
    }
}

// ---- (b) mirrored ----

/// One slope of single members, 6000 wide, or its mirror image: every x becomes 6000 - x, what comes first comes last.
fn hand(mirrored: bool) -> String {
    let w = 6000.0;
    let x = |v: f64| if mirrored { w - v } else { v };
    let sign = if mirrored { -1.0 } else { 1.0 };
    let member = |table: &str, kind: &str, (width, depth): (f64, f64), from: (f64, f64), to: (f64, f64)| {
        format!(
            "[[{table}]]\nkind = \"{kind}\"\nslope = \"S\"\nsection = {{ width = \"{width} mm\", depth = \"{depth} mm\" \
             }}\nfrom = [\"{} mm\", \"{} mm\"]\nto = [\"{} mm\", \"{} mm\"]\n",
            x(from.0),
            from.1,
            x(to.0),
            to.1
        )
    };
    let rafters = [322.5, 600.0, 1180.0, 1800.0, 2400.0, 3030.0, 3600.0, 4200.0, 4800.0, 5400.0, 5960.0];
    let tails = [655.0, 1855.0, 4255.0];
    let number = |k: usize, n: usize| if mirrored { n + 1 - k } else { k };
    let mut text = String::from(
        r#"
format = 1
name = "One hand (invented)"
units = "millimetres"
[[slope]]
name = "S"
pitch = "20 deg"
size = ["6000 mm", "3600 mm"]
[deck]
thickness = "12 mm"
[lattice]
tape = { width = "60 mm" }
strip = { width = "45 mm", height = "10 mm" }
vent = { width = "50 mm", stock = "6000 mm" }
"#,
    );
    text += &format!(
        "batten = {{ width = \"98 mm\", thickness = \"23 mm\", spacing = \"400 mm\", stock = [\"2400 mm\", \"3600 mm\"], \
         least_piece = \"900 mm\", boards_from = \"{}\" }}\n[fastening]\ndiameter = \"3.1 mm\"\nlength = \"90 mm\"\nspread \
         = \"50 mm\"\n[limits]\nrun = \"600 mm\"\nend_run = \"150 mm\"\nend_distance = \"18 mm\"\n",
        if mirrored { "right" } else { "left" }
    );
    text +=
        &rafters.iter().map(|r| member("member", "rafter", (45.0, 195.0), (*r, 0.0), (*r, 3600.0))).collect::<String>();
    text += &tails.iter().map(|t| member("member", "tail", (38.0, 140.0), (*t, 0.0), (*t, 900.0))).collect::<String>();
    text += &format!(
        "[[straps]]\nalong = \"tail\"\nshift = \"{} mm\"\nwidth = \"30 mm\"\nthickness = \"2 mm\"\nlow = \"100 mm\"\nhigh = \
         \"880 mm\"\nseam = \"480 mm\"\ngap = \"90 mm\"\nstrip = \"raised\"\nnails = {{ diameter = \"4 mm\", length = \"40 \
         mm\", spacing = \"50 mm\", end = \"20 mm\" }}\n",
        sign * -48.0
    );
    let (from, to) = if mirrored { (w - 315.0, w - 30.0) } else { (30.0, 315.0) };
    text += &format!(
        "[[lookouts]]\nsection = {{ width = \"45 mm\", depth = \"95 mm\" }}\nspacing = \"800 mm\"\nfirst = \"449 mm\"\nfrom \
         = \"{from} mm\"\nto = \"{to} mm\"\n[[landings]]\nover = [\"lookout\"]\ninset = \"80 mm\"\n"
    );
    let hatch = |x0: f64, y0: f64, wide: f64, high: f64| {
        let left = if mirrored { w - x0 - wide } else { x0 };
        format!("name = \"hatch\"\nat = [\"{left} mm\", \"{y0} mm\"]\nsize = [\"{wide} mm\", \"{high} mm\"]\n")
    };
    text += &format!("[[opening]]\nslope = \"S\"\n{}", hatch(2480.0, 1400.0, 460.0, 700.0));
    text += &format!("[[found.opening]]\n{}", hatch(2490.0, 1390.0, 455.0, 710.0));
    text += &format!(
        "[[found.member]]\nname = \"S-R{:02}\"\noffsets = [{{ at = \"100 mm\", off = \"0 mm\" }}, {{ at = \"1800 mm\", off = \
         \"{} mm\" }}, {{ at = \"3500 mm\", off = \"{} mm\" }}]\n",
        number(9, rafters.len()),
        sign * 27.0,
        sign * -8.0
    );
    text += &format!("[[found.member]]\nname = \"S-R{:02}\"\nmissing = true\n", number(8, rafters.len()));
    text += &member("found.added", "block", (45.0, 95.0), (4222.5, 2049.0), (4740.0, 2049.0));
    text += &format!("[[landing]]\ncourse = \"S-B06\"\nx = \"{} mm\"\n", x(4500.0));
    text += &format!("[[landing]]\ncourse = \"S-B07\"\nx = \"{} mm\"\n", x(4500.0));
    // Lines are the rafters, tails within a strip's width included.
    for (course, line, across, up) in [(3, 2, 14.0, 4.0), (5, 3, 24.0, 0.0), (8, 10, -33.0, -6.0)] {
        text += &format!(
            "[[move]]\nlanding = \"S-B{course:02}.L{:02}\"\nacross = \"{} mm\"\nup = \"{up} mm\"\n",
            number(line, rafters.len()),
            sign * across
        );
    }
    text += &format!(
        "[[laid]]\nwhat = [\"tape\", \"strips\", \"fasteners\"]\nlines = [\"S-L{:02}\"]\n",
        number(9, rafters.len())
    );
    text
}

#[test]
fn a_mirrored_roof_has_mirrored_findings() {
    mirrored(hand);
    mirrored(|mirrored| hand(mirrored).replace("least_piece", "joint = \"lap\", least_piece"));
}

fn mirrored(roof: impl Fn(bool) -> String) {
    let w = 6.0;
    let (left, right) = (said(&roof(false)), said(&roof(true)));
    let counts = |s: &Said| {
        let mut n: BTreeMap<(&'static str, Verdict), usize> = BTreeMap::new();
        for f in &s.findings {
            *n.entry((f.check, f.verdict)).or_default() += 1;
        }
        n
    };
    assert_eq!(counts(&left), counts(&right));
    // Not a roof that raises few questions.
    assert!(counts(&left).len() >= 7, "{:?}", counts(&left));
    let sorted = |s: &Said, mirrored: bool| {
        let mut all: Vec<(String, Vec<f64>)> = s
            .findings
            .iter()
            .map(|f| {
                let at = f.place.map_or([0.0; 3], |p| p.at);
                let x = if mirrored && f.place.is_some() { w - at[0] } else { at[0] };
                // The worst of equals is the leftmost, mirrored or not: of these checks only the numbers are compared.
                let leftmost = ["end-distance-short", "strap-nail-astray"].contains(&f.check);
                let (at, x) = if leftmost { ([0.0; 3], 0.0) } else { (at, x) };
                // Of two fasteners that meet nothing the left one is told, and how far it is from the nearest member.
                let told = f.evidence.iter().filter(|e| e.what != "from the shank's axis to the nearest member");
                let evidence = told.map(|e| e.found.value());
                (format!("{} {:?}", f.check, f.verdict), [at[1], x, at[2]].into_iter().chain(evidence).collect())
            })
            .collect();
        // Micrometres decide the order, so that the last digits do not.
        let key = |v: &[f64]| v.iter().map(|v| (v * 1e5).round() as i64).collect::<Vec<_>>();
        all.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| key(&a.1).cmp(&key(&b.1))));
        all
    };
    for (a, b) in sorted(&left, false).iter().zip(&sorted(&right, true)) {
        assert!(a.0 == b.0 && near(&a.1, &b.1, 1e-6), "left {a:?}, right, mirrored {b:?}");
    }
    // And the lattice itself: pieces and fasteners, mirrored.
    let ordered = |mut v: Vec<[f64; 3]>| {
        let key = |p: &[f64; 3]| p.map(|v| (v * 1e5).round() as i64);
        v.sort_by_key(key);
        v
    };
    let pieces = |s: &Said| s.pieces.iter().map(|p| [p.1[2], p.1[0], p.1[1]]).collect::<Vec<_>>();
    let mirrored = pieces(&right).into_iter().map(|[y, a, b]| [y, w - b, w - a]).collect();
    for (a, b) in ordered(pieces(&left)).iter().zip(&ordered(mirrored)) {
        assert!(near(a, b, 1e-6), "piece {a:?}, mirrored {b:?}");
    }
    let fasteners = |s: &Said, mirrored: bool| {
        let all = s.landings.iter().flat_map(|l| l.1.chunks(2));
        ordered(all.map(|f| [f[1], if mirrored { w - f[0] } else { f[0] }, 0.0]).collect())
    };
    let (one, other) = (fasteners(&left, false), fasteners(&right, true));
    assert_eq!(one.len(), other.len());
    for (a, b) in one.iter().zip(&other) {
        assert!(near(a, b, 1e-6), "fastener {a:?}, mirrored {b:?}");
    }
}

// ---- (c) in other units ----

/// A design's text with every length written in millimetres.
fn in_millimetres(text: &str) -> (String, usize) {
    let mut changed = 0;
    let lines = text.lines().map(|line| {
        let (code, comment) = line.split_once('#').map_or((line, ""), |(a, b)| (a, b));
        let parts = code.split('"').enumerate().map(|(i, part)| match Length::from_str(part) {
            Ok(length) if i % 2 == 1 => {
                changed += 1;
                let nanometres = (length.metres() * 1e9).round();
                assert_eq!(nanometres / 1e9, length.metres(), "{part} is no whole number of nanometres");
                millimetres(length.metres())
            }
            _ => part.to_owned(),
        });
        let code = parts.collect::<Vec<_>>().join("\"");
        format!("{code}#{comment}\n")
    });
    let all: String = lines.collect();
    (all.replace("units = \"inches\"", "units = \"millimetres\""), changed)
}

#[test]
fn inches_and_millimetres_give_the_same_plan_bit_for_bit() {
    assert!(in_millimetres("spacing = \"24 in\"\n").0.contains("\"609.600000 mm\""));
    for name in ["gable.toml", "gable-mended.toml", "hip.toml"] {
        let text = examples::text(name);
        let (other, changed) = in_millimetres(&text);
        assert!(changed > 15 && !other.contains(" in\"") && !other.contains("units = \"inches\""), "{other}");
        let (inches, metric) = (said(&text), said(&other));
        same_places(&inches, &metric, 0.0, name);
        assert_eq!(inches.fingerprint, metric.fingerprint, "{name}");
    }
}

// ---- (d) more backing ----

/// Which landings are backed, by name, and the longest stretch of each piece without a backed landing, its end runs
/// included: a new landing makes two runs of one, or a run and an end run of an end run.
fn held(plan: &Plan) -> (BTreeSet<String>, BTreeMap<String, f64>) {
    let context = plan.context();
    let (mut backed, mut runs) = (BTreeSet::new(), BTreeMap::new());
    for on in &context.slopes {
        for (piece, landings) in on.by_piece() {
            let mut places = Vec::new();
            for l in landings.iter().filter(|l| on.is_backed(l)) {
                backed.insert(context.landing_name(on, l));
                let group = on.lattice.fasteners_of(l);
                places.push(group.iter().map(|f| f.x).sum::<f64>() / group.len() as f64);
            }
            places.extend([piece.x.0, piece.x.1]);
            places.sort_by(f64::total_cmp);
            let longest = places.windows(2).map(|w| w[1] - w[0]).fold(0.0, f64::max);
            runs.insert(piece.name.clone(), longest);
        }
    }
    (backed, runs)
}

#[test]
fn more_backing_never_hurts() {
    let text = examples::text("gable.toml");
    let before_plan = plan(&text);
    let before = held(&before_plan);
    let context = before_plan.context();
    let all: Vec<(usize, f64, f64, bool)> = context
        .slopes
        .iter()
        .flat_map(|on| on.lattice.landings.iter().map(|l| (on.id.0, l.x, l.y, on.is_backed(l))))
        .collect();
    let hanging: Vec<_> = all.iter().filter(|l| !l.3).collect();
    assert!(hanging.len() > 20);
    let mut seeded = Seeded(4711);
    let mut helped = 0;
    for k in 0..100 {
        // Every other one under a landing that hangs; some beside its middle, some too thin, some too short.
        let (slope, x, y, _) =
            if k % 2 == 0 { *hanging[seeded.below(hanging.len())] } else { all[seeded.below(all.len())] };
        let (left, right) = (x - seeded.between(0.02, 0.3), x + seeded.between(0.02, 0.3));
        let y = y + seeded.between(-0.03, 0.03);
        let (width, depth) = (seeded.between(0.03, 0.12), seeded.between(0.02, 0.2));
        let block = format!(
            "\n[[found.added]]\nkind = \"block\"\nslope = \"{}\"\nsection = {{ width = \"{}\", depth = \"{}\" }}\nfrom = \
             [\"{}\", \"{}\"]\nto = [\"{}\", \"{}\"]\n",
            context.slopes[slope].frame.name,
            millimetres(width),
            millimetres(depth),
            millimetres(left),
            millimetres(y),
            millimetres(right),
            millimetres(y),
        );
        let after = held(&plan(&format!("{text}{block}")));
        let lost: Vec<_> = before.0.difference(&after.0).collect();
        assert!(lost.is_empty(), "{lost:?} lost their backing by {block}");
        helped += usize::from(after.0.len() > before.0.len());
        assert_eq!(before.1.len(), after.1.len(), "pieces by {block}");
        for (piece, run) in &before.1 {
            assert!(after.1[piece] <= run + 1e-9, "{piece} runs {} instead of {run} by {block}", after.1[piece]);
        }
    }
    assert!(helped >= 10, "only {helped} blocks of 100 helped");
}

// ---- (e) solids ----

/// Closed shells of a mesh: triangles that share corners, by index.
fn shells(mesh: &Mesh) -> Vec<Mesh> {
    let mut parent: Vec<usize> = (0..mesh.positions.len()).collect();
    fn root(parent: &mut [usize], mut i: usize) -> usize {
        while parent[i] != i {
            parent[i] = parent[parent[i]];
            i = parent[i];
        }
        i
    }
    for t in &mesh.triangles {
        for k in 1..3 {
            let (a, b) = (root(&mut parent, t[0] as usize), root(&mut parent, t[k] as usize));
            parent[a] = b;
        }
    }
    let mut by_root: BTreeMap<usize, Mesh> = BTreeMap::new();
    for t in &mesh.triangles {
        let r = root(&mut parent, t[0] as usize);
        by_root
            .entry(r)
            .or_insert_with(|| Mesh { positions: mesh.positions.clone(), triangles: Vec::new() })
            .triangles
            .push(*t);
    }
    by_root.into_values().collect()
}

#[test]
fn every_part_is_closed_and_faces_outward() {
    for name in examples::NAMES {
        let plan = plan(&examples::text(name));
        let context = plan.context();
        let results = check::run(&context);
        for detail in [Detail::Plain, Detail::Fluted] {
            let building = Building::new(&context, &results, detail);
            let mut judged: BTreeMap<*const Mesh, ()> = BTreeMap::new();
            let (mut parts, mut names) = (0, BTreeSet::new());
            building
                .walk_parts(airlath::scene::Texts::Wanted, &mut |p| {
                    parts += 1;
                    assert!(names.insert((p.branch, p.name.to_owned())), "{name}: {} twice", p.name);
                    match p.form {
                        Form::Box(size) => assert!(size.iter().all(|v| *v > 1e-6), "{name}: {} {size}", p.name),
                        Form::Mesh(mesh) => {
                            if judged.insert(std::sync::Arc::as_ptr(mesh), ()).is_some() {
                                return Ok(());
                            }
                            assert!(mesh.is_closed(), "{name}: {} is open", p.name);
                            for shell in shells(mesh) {
                                assert!(
                                    shell.is_closed() && shell.volume() > 0.0,
                                    "{name}: {} {}",
                                    p.name,
                                    shell.volume()
                                );
                            }
                        }
                    }
                    Ok(())
                })
                .unwrap();
            assert_eq!(parts, building.part_count(), "{name}");
        }
    }
}

/// What is looked at and what is asked are the same solid: equal volumes of mesh and bodies.
#[test]
fn meshes_have_the_volume_of_the_bodies_that_answer() {
    let total = |bodies: &[Body]| bodies.iter().map(Body::volume).sum::<f64>();
    let mut differ = Vec::new();
    for name in examples::NAMES {
        let plan = plan(&examples::text(name));
        let context = plan.context();
        let results = check::run(&context);
        // Every part as the scene shows it, but for fasteners and pins, which have no body.
        let mut shown: BTreeMap<String, f64> = BTreeMap::new();
        Building::new(&context, &results, Detail::Plain)
            .walk_parts(airlath::scene::Texts::Wanted, &mut |p| {
                if !matches!(p.kind, PartKind::Fasteners | PartKind::Pin) {
                    let volume = match p.form {
                        Form::Box(size) => size.x * size.y * size.z,
                        Form::Mesh(mesh) => mesh.volume(),
                    };
                    shown.insert(p.name.to_owned(), volume);
                }
                Ok(())
            })
            .unwrap();
        let mut compare = |part: &str, bodies: &[Body], more: f64| {
            let mesh = shown.remove(part).unwrap_or_else(|| panic!("{name}: {part} is not shown"));
            let asked = total(bodies) + more;
            if (mesh / asked - 1.0).abs() > 1e-9 {
                differ.push(format!("{name}: {part} has {mesh} as a mesh, {asked} as bodies"));
            }
        };
        for m in context.structure.members.iter().filter(|m| !m.missing) {
            compare(&m.name, &m.bodies.iter().map(|(_, b)| b.clone()).collect::<Vec<_>>(), 0.0);
        }
        for s in &context.structure.straps {
            // Steel and nails, shell by shell; a nail is a prism inside its cylinder, from the steel's lower face down.
            let mesh = airlath::lattice::strap_mesh(s).0;
            let (mut nails, mut steel): (Vec<f64>, f64) = (shells(&mesh).iter().map(Mesh::volume).collect(), 0.0);
            if let Some(k) = nails.iter().position(|v| (v / s.body.volume() - 1.0).abs() < 1e-9) {
                steel = nails.remove(k);
            }
            assert!(steel > 0.0 && nails.len() == s.nails.len(), "{name}: {} {nails:?}", s.name);
            for (v, n) in nails.iter().zip(&s.nails) {
                let cylinder = std::f64::consts::PI * n.radius * n.radius * (n.length - s.thickness());
                assert!(*v < cylinder && *v > 0.4 * cylinder, "{name}: a nail of {} has {v}, not {cylinder}", s.name);
            }
            compare(&s.name, std::slice::from_ref(&s.body), nails.iter().sum());
        }
        for on in &context.slopes {
            let (slope, outline, levels) = (&on.frame.name, &on.frame.outline, &context.lattice.levels);
            let mut plate = |part: &str, p: Option<Plate>| {
                if let Some(p) = p {
                    compare(&format!("{slope}-{part}"), &p.bodies().expect("built"), 0.0);
                }
            };
            plate("DK", context.structure.deck(context.design, on.id));
            plate("MB", context.structure.membrane(context.design, on.id));
            for t in &on.lattice.tapes {
                let (sweep, pose) = t.sweep(levels);
                let bodies: Vec<Body> =
                    sweep.bodies(&pose, &t.cuts).expect("built").into_iter().map(|(_, b)| b).collect();
                compare(&t.name, &bodies, 0.0);
            }
            for s in &on.lattice.strips {
                let (sweep, pose) = s.sweep();
                compare(
                    &s.name,
                    &sweep.bodies(&pose, &s.cuts).expect("built").into_iter().map(|(_, b)| b).collect::<Vec<_>>(),
                    0.0,
                );
            }
            for v in &on.lattice.vents {
                compare(&v.name, &[v.body(levels)], 0.0);
            }
            for p in &on.lattice.pieces {
                compare(&p.name, &[batten_solid(context.design, outline, levels, p).expect("a board")], 0.0);
            }
            for e in 0..outline.edges.len() {
                if let Some(body) = airlath::structure::to_come::insulation(outline, e).expect("built") {
                    compare(&format!("{slope}-IN{}", e + 1), &[body], 0.0);
                }
            }
        }
        assert!(shown.is_empty(), "{name}: {:?} answer no query", shown.keys());
    }
    assert!(differ.is_empty(), "{}", differ.join("\n"));
}

// ---- (f) once each, and whole ----

#[test]
fn each_name_is_given_once() {
    for name in examples::NAMES {
        let plan = plan(&examples::text(name));
        let context = plan.context();
        let mut names: Vec<String> = context.structure.members.iter().map(|m| m.name.clone()).collect();
        names.extend(context.structure.straps.iter().map(|s| s.name.clone()));
        for on in &context.slopes {
            let l = on.lattice;
            names.extend(l.lines.iter().map(|x| x.name.clone()));
            names.extend(l.tapes.iter().map(|x| x.name.clone()));
            names.extend(l.strips.iter().map(|x| x.name.clone()));
            names.extend(l.vents.iter().map(|x| x.name.clone()));
            names.extend(l.courses.iter().map(|x| x.name.clone()));
            names.extend(l.pieces.iter().map(|x| x.name.clone()));
            names.extend(l.landings.iter().map(|x| context.landing_name(on, x)));
            // Each landing has fasteners of its own, and none is left over.
            let next = l.landings.iter().fold(0, |next, x| {
                assert_eq!(x.first as usize, next, "{name}: {}", context.landing_name(on, x));
                next + usize::from(x.count)
            });
            assert_eq!(next, l.fasteners.len(), "{name}");
        }
        let mut seen = BTreeSet::new();
        for n in names {
            assert!(!n.is_empty() && seen.insert(n.clone()), "{name}: \"{n}\" twice");
        }
    }
}

/// Stretches of a course as they must be by the outline, worked out here: between the outline's sides drawn in by their
/// hold-backs, less openings and what they keep clear.
fn stretches_by_hand(
    corners: &[(f64, f64)],
    hold_back: f64,
    openings: &[[f64; 4]],
    y: f64,
    half: f64,
) -> Vec<(f64, f64)> {
    let side = |right: bool| {
        let (a, b) = if right { (corners[1], corners[2]) } else { (corners[0], corners[corners.len() - 1]) };
        let lean = (b.0 - a.0) / (b.1 - a.1);
        let across = (1.0 + lean * lean).sqrt();
        a.0 + lean * (y - a.1) + if right { -hold_back * across } else { hold_back * across }
    };
    let mut all = vec![(side(false), side(true))];
    for [x0, y0, x1, y1] in openings {
        if y + half > *y0 && y - half < *y1 {
            all =
                all.into_iter().flat_map(|(a, b)| [(a, b.min(*x0)), (a.max(*x1), b)]).filter(|(a, b)| b > a).collect();
        }
    }
    all
}

#[test]
fn pieces_and_joints_add_up_to_their_stretch() {
    for name in examples::NAMES {
        let plan = plan(&examples::text(name));
        let batten = &plan.design.lattice.batten;
        let half = batten.width.metres() / 2.0;
        let lap = matches!(batten.joint.value, airlath::design::JointKind::Lap);
        // What a joint adds between two pieces.
        let joint = if lap { -batten.lap.metres() } else { batten.joint_gap.metres() };
        let clear = plan.design.lattice.opening.clearance.metres();
        let (mut joints, mut courses) = (0, 0);
        for (slope, on) in plan.found.slopes.iter().zip(&plan.lattice.slopes) {
            let outline = &slope.outline;
            let hip = outline.edges.iter().find(|e| e.kind.value == airlath::design::EdgeKind::Hip);
            let hold_back = hip.map_or(0.0, |e| e.hold_back.metres());
            let openings: Vec<[f64; 4]> = outline
                .openings
                .iter()
                .map(|(_, r)| [r.x0 - clear, r.y0 - clear, r.x1 + clear, r.y1 + clear])
                .collect();
            for (c, course) in on.courses.iter().enumerate() {
                let pieces: Vec<_> = on.pieces.iter().filter(|p| p.course as usize == c).collect();
                // Groups of pieces that meet at joints.
                let mut found: Vec<(f64, f64)> = Vec::new();
                let mut sum = 0.0;
                for (k, p) in pieces.iter().enumerate() {
                    assert!(p.x.1 > p.x.0 && p.x.1 - p.x.0 <= p.stock + 1e-9, "{name}: {}", p.name);
                    let joined = matches!(p.ends.0, End::Joint { .. } | End::JointOverNothing);
                    if joined {
                        assert_eq!(pieces[k - 1].ends.1, p.ends.0, "{name}: {}", p.name);
                        joints += 1;
                        sum += joint + p.x.1 - p.x.0;
                        let last = found.last_mut().expect("a piece before");
                        last.1 = p.x.1;
                        assert!((last.1 - last.0 - sum).abs() < 1e-9, "{name}: {} {} {sum}", p.name, last.1 - last.0);
                    } else {
                        found.push(p.x);
                        sum = p.x.1 - p.x.0;
                    }
                }
                // Short framing courses beside openings reach from line to line; the others over the whole roof.
                if pieces.iter().any(|p| p.ends.0 == End::Free || p.ends.1 == End::Free) {
                    continue;
                }
                let hand = stretches_by_hand(&outline.corners, hold_back, &openings, course.y, half);
                if pieces.is_empty() {
                    // Left out, where the outline comes to a point.
                    assert!(hand.iter().all(|(a, b)| b - a < 10.0 * half), "{name}: {} is missing", course.name);
                    continue;
                }
                courses += 1;
                assert_eq!(found.len(), hand.len(), "{name}: {}: {found:?}, by hand {hand:?}", course.name);
                for (f, h) in found.iter().zip(&hand) {
                    assert!(near(&[f.0, f.1], &[h.0, h.1], 1e-8), "{name}: {}: {f:?}, by hand {h:?}", course.name);
                }
            }
        }
        assert!(courses >= 8 && joints >= 8, "{name}: {courses} courses, {joints} joints");
    }
}

/// Roofing hangs somewhere, and nowhere twice: what hangs on the pieces of a slope is the slope without its openings, by the
/// corners' cross products.
#[test]
fn all_of_the_roofing_hangs_once() {
    let mut texts: Vec<(String, String)> =
        examples::NAMES.iter().map(|n| ((*n).to_owned(), examples::text(n))).collect();
    for entry in std::fs::read_dir(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/roofs")).unwrap() {
        let path = entry.unwrap().path();
        texts.push((path.display().to_string(), std::fs::read_to_string(&path).unwrap()));
    }
    assert!(texts.len() >= 9, "{} roofs", texts.len());
    for (name, text) in texts {
        let plan = plan(&text);
        let ctx = plan.context();
        for on in &ctx.slopes {
            let outline = &on.frame.outline;
            let next = outline.corners.iter().cycle().skip(1);
            let twice: f64 = outline.corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - a.1 * b.0).sum();
            let open: f64 = outline.openings.iter().map(|(_, o)| (o.x1 - o.x0) * (o.y1 - o.y0)).sum();
            let mut hangs = 0.0;
            for s in ctx.tributary(on).iter().flatten() {
                let (left, right) = s.y.heights();
                hangs += (s.x.1 - s.x.0) * (left + right) / 2.0;
            }
            let whole = twice / 2.0 - open;
            assert!((hangs - whole).abs() < 1e-6 * whole, "{name}: on {} hangs {hangs} of {whole}", on.frame.name);
        }
    }
}

/// The hold-back is measured in the plane of the slope, however the end is cut: along its middle, on the membrane's plane, a
/// piece's solid is as long as the plan says.
#[test]
fn a_slanted_piece_is_as_long_as_it_is_said_to_be() {
    let plan = plan(&examples::text("hip.toml"));
    let mut looked = 0;
    for (slope, on) in plan.found.slopes.iter().zip(&plan.lattice.slopes) {
        for piece in &on.pieces {
            let held = |end: End| match end {
                End::Edge { edge, slanted: true } => slope.outline.edges[edge].hold_back.metres() > 0.01,
                _ => false,
            };
            if !held(piece.ends.0) && !held(piece.ends.1) {
                continue;
            }
            let body = batten_solid(&plan.design, &slope.outline, &plan.lattice.levels, piece).unwrap();
            let corners: Vec<_> = body.mesh().positions.iter().map(|p| body.pose * p).collect();
            let pick = |least: fn(f64, f64) -> f64, from: f64| corners.iter().map(|p| p.z).fold(from, least);
            let (low, high) = (pick(f64::min, f64::INFINITY), pick(f64::max, f64::NEG_INFINITY));
            // The ends along the middle of a face: halfway between those of its two long sides.
            let ends = |z: f64| {
                let side = |above: bool| {
                    let here = corners.iter().filter(|p| (p.z - z).abs() < 1e-9 && (p.y > piece.y) == above);
                    here.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| (a.min(p.x), b.max(p.x)))
                };
                let ((a, b), (c, d)) = (side(false), side(true));
                ((a + c) / 2.0, (b + d) / 2.0)
            };
            let (below, above) = (ends(low), ends(high));
            let level = |b: f64, a: f64| b + (b - a) * low / (high - low);
            let on_membrane = [level(below.0, above.0), level(below.1, above.1)];
            assert!(
                near(&on_membrane, &[piece.x.0, piece.x.1], 1e-7),
                "{}: {on_membrane:?}, {:?}",
                piece.name,
                piece.x
            );
            looked += 1;
        }
    }
    assert!(looked >= 8, "{looked} pieces");
}
