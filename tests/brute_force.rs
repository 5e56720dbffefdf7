//! The quick ways against the slow ones: candidates against every solid, the clash check against every pair.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use std::collections::{BTreeMap, BTreeSet};

use crate::common::examples;
use crate::common::plans::plan;
use crate::common::seeded::Seeded;
use airlath::check::{self, Context, Outcome, Shank, probe, probe_all};
use airlath::lattice::batten_solid;
use airlath::plan::Plan;
use airlath::solid::{Body, Point3, Pose, Vector3};
use airlath::structure::to_come;

/// Every fastener of every example: the answer from candidates is the answer from all solids, bit for bit.
#[test]
fn candidates_agree_with_all_solids_for_every_fastener() {
    for name in examples::NAMES {
        let plan = plan(&examples::text(name));
        let ctx = plan.context();
        let mut asked = 0;
        for on in &ctx.slopes {
            let index = &ctx.structure.under[on.id.0];
            for landing in &on.lattice.landings {
                for (f, kept) in on.lattice.fasteners_of(landing).iter().zip(on.backing_of(landing)) {
                    let shank = ctx.shank(on.piece(landing), f);
                    let (quick, slow) = (probe(index, &shank), probe_all(index, &shank));
                    assert_eq!(quick, slow, "{name}: {}", ctx.landing_name(on, landing));
                    assert_eq!(*kept, slow, "{name}: {}", ctx.landing_name(on, landing));
                    asked += 1;
                }
            }
        }
        assert!(asked > 100, "{name}: only {asked} fasteners");
    }
}

/// Two thousand seeded shanks over the gable: half of them anywhere over the slope and a little past it, half of them
/// beside a member's side, where verdicts turn.
#[test]
fn candidates_agree_with_all_solids_for_random_shanks() {
    let plan = plan(&examples::text("gable.toml"));
    let ctx = plan.context();
    let mut seeded = Seeded(20_240_229);
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    for k in 0..2000 {
        let on = &ctx.slopes[seeded.below(ctx.slopes.len())];
        let index = &ctx.structure.under[on.id.0];
        let bounds = on.frame.outline.bounds();
        let (mut x, mut y) =
            (seeded.between(bounds.x0 - 0.1, bounds.x1 + 0.1), seeded.between(bounds.y0 - 0.1, bounds.y1 + 0.1));
        if k % 2 == 1 {
            let entry = &index.entries[seeded.below(index.entries.len())];
            x = if seeded.below(2) == 0 { entry.low.x } else { entry.high.x } + seeded.between(-0.01, 0.01);
            y = seeded.between(entry.low.y - 0.01, entry.high.y + 0.01);
        }
        let shank = Shank {
            head: Point3::new(x, y, ctx.lattice.levels.batten),
            length: seeded.between(0.03, 0.15),
            radius: seeded.between(0.001, 0.006),
            embedment: seeded.between(0.01, 0.06),
        };
        let (quick, slow) = (probe(index, &shank), probe_all(index, &shank));
        assert_eq!(quick, slow, "shank {k}: {shank:?}");
        *seen.entry(format!("{:?}", slow.outcome)).or_default() += 1;
        *seen.entry(format!("{:?}", slow.tip)).or_default() += 1;
    }
    // Each way that it can end is met, or the test would show little.
    for what in ["Backed", "Shallow", "BreaksOut", "Nothing", "Inside", "Web", "Underside"] {
        assert!(seen.get(what).is_some_and(|n| *n >= 20), "{what}: {seen:?}");
    }
}

/// The verdict once more without any of the program's queries: each body as half-spaces, the shank's axis cut with them.
#[test]
fn verdicts_agree_with_half_spaces() {
    for name in ["gable.toml", "shed.toml"] {
        let plan = plan(&examples::text(name));
        let ctx = plan.context();
        for on in &ctx.slopes {
            let entries = &ctx.structure.under[on.id.0].entries;
            let planes: Vec<_> = entries.iter().map(|e| e.body.planes()).collect();
            for landing in &on.lattice.landings {
                for (f, backing) in on.lattice.fasteners_of(landing).iter().zip(on.backing_of(landing)) {
                    let shank = ctx.shank(on.piece(landing), f);
                    // Length of the axis inside each body, between head and tip.
                    let inside = |i: usize, x: f64, y: f64| {
                        let (mut from, mut to) = (0.0_f64, shank.length);
                        for p in &planes[i] {
                            let gap = -p.distance(&Point3::new(x, y, shank.head.z));
                            let along = -p.normal.z;
                            if along.abs() < 1e-12 {
                                if gap < 0.0 {
                                    return 0.0;
                                }
                            } else if along > 0.0 {
                                to = to.min(gap / along);
                            } else {
                                from = from.max(gap / along);
                            }
                        }
                        (to - from).max(0.0)
                    };
                    let counts = |i: &usize| {
                        use airlath::structure::Component::{TopFlange, Whole};
                        matches!(entries[*i].tag.1, Whole | TopFlange)
                    };
                    let deepest = (0..entries.len()).filter(counts).map(|i| inside(i, f.x, f.y)).fold(0.0, f64::max);
                    let who = format!("{name}: {}", ctx.landing_name(on, landing));
                    match backing.outcome {
                        Outcome::Nothing => assert!(deepest < 1e-6, "{who}: {deepest}"),
                        Outcome::Shallow | Outcome::BreaksOut => assert!(deepest > 0.0, "{who}"),
                        // The whole shank: its axis and four lines on its surface are deep enough in one member, and
                        // the one that is named.
                        Outcome::Backed => {
                            let r = shank.radius * 0.999;
                            let member = backing.member.expect("a backed one has a member");
                            for (dx, dy) in [(0.0, 0.0), (r, 0.0), (-r, 0.0), (0.0, r), (0.0, -r)] {
                                let deep: f64 = (0..entries.len())
                                    .filter(counts)
                                    .filter(|i| entries[*i].tag.0 == member)
                                    .map(|i| inside(i, f.x + dx, f.y + dy))
                                    .fold(0.0, f64::max);
                                assert!(deep > shank.embedment - 1e-6, "{who}: {deep} beside the axis by {dx}, {dy}");
                            }
                            let axis = (0..entries.len())
                                .filter(counts)
                                .filter(|i| entries[*i].tag.0 == member)
                                .map(|i| inside(i, f.x, f.y))
                                .fold(0.0, f64::max);
                            assert!((axis - backing.embedment).abs() < 1e-9, "{who}: {axis} {}", backing.embedment);
                        }
                    }
                }
            }
        }
    }
}

/// The index gives every body whose bounds reach into a rectangle, and no other.
#[test]
fn the_index_forgets_no_body() {
    for name in ["gable.toml", "hip.toml"] {
        let plan = plan(&examples::text(name));
        let mut seeded = Seeded(7);
        for k in 0..1000 {
            let index = &plan.found.under[k % plan.found.under.len()];
            let size = [0.0, 0.003, 0.3, 3.0][seeded.below(4)];
            let (x0, y0) = (seeded.between(-1.0, 12.0), seeded.between(-1.0, 6.0));
            let (x1, y1) = (x0 + size, y0 + size);
            let all = || index.entries.iter();
            let wanted: BTreeSet<usize> = all()
                .enumerate()
                .filter(|(_, e)| e.low.x <= x1 && e.high.x >= x0 && e.low.y <= y1 && e.high.y >= y0)
                .map(|(i, _)| i)
                .collect();
            let mut given = BTreeSet::new();
            index.near((x0, x1), (y0, y1), |e| {
                given.extend(all().position(|other| std::ptr::eq(other, e)));
            });
            assert_eq!(given, wanted, "{name}: {x0} to {x1}, {y0} to {y1}");
        }
    }
}

/// What a solid is, for the table of who may overlap whom.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Is {
    Framing,
    Deck,
    Membrane,
    Strap,
    Tape,
    Strip,
    Vent,
    Batten,
    Insulation,
}

/// The table, written once more from the check's page: sheets yield to straps and lap; insulation stands on whatever is
/// there, and buried vent pieces have a check of their own.
fn allowed(a: Is, b: Is) -> bool {
    let one = |p: Is, q: Is| (a, b) == (p, q) || (a, b) == (q, p);
    one(Is::Tape, Is::Strap)
        || one(Is::Membrane, Is::Strap)
        || one(Is::Tape, Is::Tape)
        || one(Is::Membrane, Is::Membrane)
        || [Is::Insulation, Is::Vent, Is::Tape, Is::Strip, Is::Membrane, Is::Deck, Is::Framing]
            .iter()
            .any(|k| one(Is::Insulation, *k))
}

struct Solid {
    is: Is,
    name: String,
    /// In the frame of its own slope, or of the world.
    body: Body,
    frame: usize,
}

/// Every solid of every part, slope by slope, then the building's.
fn solids(ctx: &Context<'_>) -> (Vec<Solid>, Vec<Pose>) {
    let mut frames: Vec<Pose> = ctx.slopes.iter().map(|s| s.frame.pose).collect();
    frames.push(Pose::identity());
    let mut all = Vec::new();
    let world = ctx.slopes.len();
    for m in &ctx.structure.members {
        let frame = m.home.map_or(world, |s| s.0);
        all.extend(m.bodies.iter().map(|(_, b)| Solid {
            is: Is::Framing,
            name: m.name.clone(),
            body: b.clone(),
            frame,
        }));
    }
    for s in &ctx.structure.straps {
        all.push(Solid { is: Is::Strap, name: s.name.clone(), body: s.body.clone(), frame: s.slope.0 });
    }
    for on in &ctx.slopes {
        let (frame, slope, levels) = (on.id.0, &on.frame.name, &ctx.lattice.levels);
        let mut put = |is: Is, name: String, bodies: Vec<Body>| {
            all.extend(bodies.into_iter().map(|body| Solid { is, name: name.clone(), body, frame }));
        };
        let plate = |p: Option<airlath::solid::Plate>| p.map_or_else(Vec::new, |p| p.bodies().expect("built"));
        put(Is::Deck, format!("{slope}-DK"), plate(ctx.structure.deck(ctx.design, on.id)));
        put(Is::Membrane, format!("{slope}-MB"), plate(ctx.structure.membrane(ctx.design, on.id)));
        for t in &on.lattice.tapes {
            let (sweep, pose) = t.sweep(levels);
            put(
                Is::Tape,
                t.name.clone(),
                sweep.bodies(&pose, &t.cuts).expect("built").into_iter().map(|(_, b)| b).collect(),
            );
        }
        for s in &on.lattice.strips {
            let (sweep, pose) = s.sweep();
            put(
                Is::Strip,
                s.name.clone(),
                sweep.bodies(&pose, &s.cuts).expect("built").into_iter().map(|(_, b)| b).collect(),
            );
        }
        for v in &on.lattice.vents {
            put(Is::Vent, v.name.clone(), vec![v.body(levels)]);
        }
        for p in &on.lattice.pieces {
            let body = batten_solid(ctx.design, &on.frame.outline, levels, p);
            put(Is::Batten, p.name.clone(), vec![body.expect("built")]);
        }
        for e in 0..on.frame.outline.edges.len() {
            let body = to_come::insulation(&on.frame.outline, e).expect("built");
            put(Is::Insulation, format!("{slope}-IN{}", e + 1), body.into_iter().collect());
        }
    }
    (all, frames)
}

/// Ten micrometres, as the check's page says.
const MOST: f64 = 1e-5;

/// All pairs of parts that overlap though they may not, with the depth of each overlap; and how many pairs were measured.
fn overlaps(plan: &Plan) -> (Vec<(BTreeSet<String>, f64)>, usize) {
    let ctx = plan.context();
    let (solids, frames) = solids(&ctx);
    let (mut found, mut measured) = (BTreeMap::new(), 0);
    for here in 0..frames.len() {
        for there in here..frames.len() {
            let relative = frames[here].inverse() * frames[there];
            let place = |frame: usize| {
                solids
                    .iter()
                    .filter(move |s| s.frame == frame)
                    .map(|s| {
                        let body = if frame == here { s.body.clone() } else { s.body.moved(&relative) };
                        let bounds = body.bounds();
                        (s, body, bounds)
                    })
                    .collect::<Vec<_>>()
            };
            let (left, right) = (place(here), place(there));
            for (i, (a, body, (low, high))) in left.iter().enumerate() {
                for (b, other, (other_low, other_high)) in right.iter().skip(if here == there { i + 1 } else { 0 }) {
                    if (here == there && a.name == b.name) || allowed(a.is, b.is) {
                        continue;
                    }
                    if (0..3).any(|k| low[k].max(other_low[k]) >= high[k].min(other_high[k])) {
                        continue;
                    }
                    measured += 1;
                    if let Some(depth) = body.depth(other, MOST) {
                        let names = BTreeSet::from([a.name.clone(), b.name.clone()]);
                        let deepest: &mut f64 = found.entry(names).or_default();
                        *deepest = deepest.max(depth);
                    }
                }
            }
        }
    }
    (found.into_iter().collect(), measured)
}

/// The pairs of solids that the clash check names, fasteners apart.
fn named_by_the_check(plan: &Plan) -> Vec<(BTreeSet<String>, f64)> {
    let results = check::run(&plan.context());
    let clash = results.iter().find(|r| r.check.name == "clash").expect("the clash check");
    let of_solids = clash.findings.iter().filter(|f| f.evidence.iter().any(|e| e.what == "overlap"));
    of_solids.map(|f| (f.parts.iter().cloned().collect(), f.evidence[0].found.value())).collect()
}

fn sorted(mut pairs: Vec<(BTreeSet<String>, f64)>) -> Vec<(BTreeSet<String>, f64)> {
    pairs.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    pairs
}

fn same(slow: Vec<(BTreeSet<String>, f64)>, quick: Vec<(BTreeSet<String>, f64)>, name: &str) {
    let names = |pairs: &[(BTreeSet<String>, f64)]| pairs.iter().map(|p| p.0.clone()).collect::<Vec<_>>();
    let (slow, quick) = (sorted(slow), sorted(quick));
    assert_eq!(names(&slow), names(&quick), "{name}");
    for (s, q) in slow.iter().zip(&quick) {
        assert!((s.1 - q.1).abs() < 1e-9, "{name}: {:?} overlap by {} or by {}", s.0, s.1, q.1);
    }
}

/// Nothing overlaps anything on the hip roof, slopes and building together.
#[test]
fn no_forbidden_pair_overlaps_on_the_hip() {
    let plan = plan(&examples::text("hip.toml"));
    let (found, measured) = overlaps(&plan);
    assert!(found.is_empty(), "{found:?}");
    assert!(measured > 1000, "only {measured} pairs were near each other");
    assert!(named_by_the_check(&plan).is_empty());
}

/// On the gable, slow and quick find the same pairs with the same depths; likewise on the others.
#[test]
fn every_pair_on_the_other_examples() {
    for name in ["gable.toml", "gable-mended.toml", "shed.toml"] {
        let plan = plan(&examples::text(name));
        same(overlaps(&plan).0, named_by_the_check(&plan), name);
    }
}

/// A turn that takes one unit vector to another.
fn facing(from: &Vector3, to: &Vector3) -> nalgebra::UnitQuaternion<f64> {
    nalgebra::UnitQuaternion::rotation_between(from, to).unwrap_or_else(|| {
        let across = from.cross(&Vector3::new(from.y, from.z, -from.x));
        nalgebra::UnitQuaternion::from_axis_angle(&nalgebra::Unit::new_normalize(across), std::f64::consts::PI)
    })
}

/// A body of each kind, face to face with one of every kind: apart, touching, in one another by little and by more, each
/// also moved by a micrometre and turned by a hair; and one in the middle of the other. The verdict is the same.
#[test]
fn every_two_kinds_face_to_face_and_one_inside_the_other() {
    let plans = examples::NAMES.map(|name| plan(&examples::text(name)));
    let all: Vec<Solid> = plans.iter().flat_map(|plan| solids(&plan.context()).0).collect();
    // Of each kind a box where there is one, and one that is none: bent, cut plumb or a prism.
    let mut kinds: Vec<(Is, &Body, bool)> = Vec::new();
    for is in
        [Is::Framing, Is::Deck, Is::Membrane, Is::Strap, Is::Tape, Is::Strip, Is::Vent, Is::Batten, Is::Insulation]
    {
        for boxes in [true, false] {
            let like = |s: &&Solid| s.is == is && boxes == matches!(s.body.shape, airlath::solid::Shape::Box(_));
            kinds.extend(all.iter().find(like).map(|s| (is, &s.body, boxes)));
        }
    }
    let count = |of: bool| kinds.iter().filter(|k| k.2 == of).count();
    assert!(count(true) >= 5 && count(false) >= 6, "{:?}", kinds.iter().map(|k| (k.0, k.2)).collect::<Vec<_>>());
    let hair = 1e-7_f64.to_radians();
    let mut asked = 0;
    for (n, (a, one, _)) in kinds.iter().enumerate() {
        for (b, other, _) in &kinds[n..] {
            let middle = |body: &Body| {
                let form = body.form();
                let sum: Vector3 = form.vertices().iter().map(|v| (body.pose * v).coords).sum();
                Point3::from(sum / form.vertices().len() as f64)
            };
            let inside = other.moved(&Pose::from_parts((middle(one) - middle(other)).into(), Default::default()));
            let mut placed = vec![(inside, None)];
            for (face, ring) in one.faces() {
                for (met, there) in other.faces() {
                    let turn = facing(&met.normal, &-face.normal);
                    let centre = |ring: &[Point3]| ring.iter().map(|p| p.coords).sum::<Vector3>() / ring.len() as f64;
                    for depth in [-1e-3, 0.0, 3e-6, 2e-5, 1e-4] {
                        let to = centre(&ring) - turn * centre(&there) - face.normal * depth;
                        placed.push((other.moved(&Pose::from_parts(to.into(), turn)), Some(depth)));
                    }
                }
            }
            for (body, depth) in placed {
                for k in 0..7_usize {
                    let way = [Vector3::zeros(), Vector3::x(), Vector3::y(), Vector3::z()][k.div_ceil(2)];
                    let way = if k % 2 == 0 { way } else { -way };
                    let at = middle(&body);
                    let about = Pose::from_parts(at.coords.into(), Default::default());
                    let nudge = Pose::new(way * 1e-6, way * hair);
                    let body = body.moved(&(about * nudge * about.inverse()));
                    let found = one.depth(&body, MOST);
                    let said = format!("{a:?} and {b:?} by {depth:?}, {way}: {found:?}");
                    match depth {
                        None => assert!(found.is_some(), "{said}"),
                        Some(d) if d < MOST => assert!(found.is_none(), "{said}"),
                        Some(d) => assert!(found.is_some_and(|f| f <= d + 1.1e-6 && f >= 1.8e-5), "{said}"),
                    }
                    asked += 1;
                }
            }
        }
    }
    assert!(asked > 50_000, "{asked}");
}

/// Straps under the tape are in one place with it, and may be; slow and quick agree that nothing else is.
#[test]
fn sheets_yield_to_straps() {
    let text = examples::text("gable.toml").replace("place = \"on tape\"", "place = \"under tape\"");
    let plan = plan(&text);
    let ctx = plan.context();
    let (all, _) = solids(&ctx);
    let meet = |is: Is| all.iter().filter(move |s| s.is == is);
    let yielding = meet(Is::Strap)
        .flat_map(|s| meet(Is::Tape).filter(move |t| t.frame == s.frame).map(move |t| (s, t)))
        .filter(|(s, t)| s.body.depth(&t.body, MOST).is_some())
        .count();
    assert!(yielding >= 28, "only {yielding} tapes lie over straps");
    same(overlaps(&plan).0, named_by_the_check(&plan), "under tape");
}

/// With planted members both find them, on one slope, across slopes and in the building.
#[test]
fn planted_overlaps_are_found_by_both() {
    let member = |kind: &str, slope: &str, from: &str, to: &str| {
        format!(
            "[[member]]\nkind = \"{kind}\"\n{slope}section = {{ nominal = \"2x6\" }}\nfrom = [{from}]\nto = [{to}]\n"
        )
    };
    let text = examples::text("hip.toml")
        + &member("block", "slope = \"SE\"\n", "\"9 ft\", \"4 ft\"", "\"12 ft\", \"4 ft\"")
        + &member("ledger", "", "\"0 ft\", \"0 ft\", \"10 ft\"", "\"24 ft\", \"12 ft\", \"15 ft\"");
    let plan = plan(&text);
    let (slow, quick) = (overlaps(&plan).0, named_by_the_check(&plan));
    assert!(slow.iter().any(|(names, _)| names.contains("SE-BK01")), "{slow:?}");
    assert!(slow.iter().any(|(names, _)| names.contains("LD01")), "{slow:?}");
    same(slow, quick, "planted");
}
