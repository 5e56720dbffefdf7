//! Aim windows against the solids, asked point by point and tilt by tilt.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use crate::common::{self, EXAMPLES, edited, example};
use airlath::aim::{Condition, Conditions, Lean, Obstacle, Obstacles, REACH, Region, Site};
use airlath::check::{Context, OnSlope, Outcome, probe};
use airlath::lattice::Fastener;
use airlath::plan::Plan;
use airlath::solid::{Point3, Vector3};
use airlath::structure::Component;

fn plan(text: &str) -> Plan {
    common::plans::plan(text)
}

/// Places spread over a landing's board by an irrational step, the same every time.
fn places(x: f64, y: f64, half: f64, n: u32) -> impl Iterator<Item = [f64; 2]> {
    (0..n).map(move |k| {
        let (u, v) = ((f64::from(k) * 0.618_033_988_7).fract(), (f64::from(k) * 0.754_877_666_2).fract());
        [x + (u - 0.5) * 0.09, y + (v - 0.5) * 2.2 * half]
    })
}

/// Whether a fastener driven square from a place meets every condition but those between landings, asked of the checks'
/// own query and of the bodies one by one.
fn meets(ctx: &Context<'_>, on: &OnSlope<'_>, number: usize, fastener: usize, p: [f64; 2]) -> bool {
    let landing = &on.lattice.landings[number];
    let piece = &on.lattice.pieces[landing.piece as usize];
    let limits = &ctx.design.limits;
    let radius = ctx.design.fastening.diameter.metres() / 2.0;
    let edge = limits.edge_distance.metres();
    let shank = ctx.shank(Some(piece), &Fastener { x: p[0], y: p[1] });
    let backing = probe(&ctx.structure.under[on.id.0], &shank);
    let half = ctx.design.lattice.batten.width.metres() / 2.0;
    let in_board = (p[1] - piece.y).abs() <= half - edge;
    let from_end = (p[0] - piece.x.0).min(piece.x.1 - p[0]) >= limits.end_distance.metres();
    // Tape: the nearest side or end of the one tape with most room, as its bodies stand side by side.
    let tape = on.tapes.entries.iter().map(|e| {
        let planes = e.body.planes();
        let sides = planes.iter().filter(|q| q.normal.z.abs() < 0.999);
        let axis = [Point3::new(p[0], p[1], 0.0), Point3::new(p[0], p[1], ctx.lattice.levels.tape)];
        sides
            .map(|q| {
                -axis.iter().map(|a| q.distance(a)).fold(f64::NEG_INFINITY, f64::max) / q.normal.x.hypot(q.normal.y)
            })
            .fold(f64::INFINITY, f64::min)
    });
    let taped = tape.fold(f64::NEG_INFINITY, f64::max) >= radius + limits.tape_margin.metres();
    let steel = on.straps.entries.iter().any(|e| {
        let away = |lo: f64, hi: f64, v: f64| (lo - v).max(v - hi).max(0.0);
        away(e.low.x, e.high.x, p[0]).hypot(away(e.low.y, e.high.y, p[1])) < radius
    });
    let nails = ctx.structure.straps.iter().filter(|s| s.slope == on.id).flat_map(|s| &s.nails);
    let nailed = nails.into_iter().any(|n| (n.x - p[0]).hypot(n.y - p[1]) < radius + n.radius);
    let all = on.lattice.fasteners_of(landing);
    let own = all[fastener];
    let apart = all.iter().enumerate().filter(|(k, _)| *k != fastener).all(|(_, o)| {
        let (dx, dy) = (o.x - own.x, o.y - own.y);
        let along = (p[0] - (o.x + own.x) / 2.0) * dx + (p[1] - (o.y + own.y) / 2.0) * dy;
        along / dx.hypot(dy) <= -ctx.design.aim.spacing.metres() / 2.0
    });
    let backed = backing.outcome == Outcome::Backed && backing.room >= edge;
    backed && in_board && from_end && taped && !steel && !nailed && apart
}

#[test]
fn a_place_is_in_the_square_window_when_and_only_when_the_checks_have_nothing_to_say() {
    let (mut inside, mut outside) = (0, 0);
    for name in EXAMPLES {
        let plan = plan(&example(name));
        let ctx = plan.context();
        let half = plan.design.lattice.batten.width.metres() / 2.0;
        for on in &ctx.slopes {
            let site = ctx.site(on).unwrap();
            for (i, landing) in on.lattice.landings.iter().enumerate() {
                let piece = &on.lattice.pieces[landing.piece as usize];
                // Slanted ends: the check measures along the board's middle, the window at every height.
                let slanted = |e: airlath::lattice::End| matches!(e, airlath::lattice::End::Edge { slanted: true, .. });
                let near_end = (landing.x - piece.x.0).min(piece.x.1 - landing.x) < 0.3;
                if near_end && (slanted(piece.ends.0) || slanted(piece.ends.1)) {
                    continue;
                }
                for k in 0..usize::from(landing.count) {
                    let window = site.square(i, k);
                    for p in places(landing.x, piece.y, half, 24) {
                        if window.to_border(p) < 5e-5 {
                            continue;
                        }
                        let found = window.contains(p);
                        inside += u32::from(found);
                        outside += u32::from(!found);
                        let said = ctx.landing_name(on, landing);
                        assert_eq!(found, meets(&ctx, on, i, k, p), "{name}: {said} fastener {} at {p:?}", k + 1);
                    }
                }
            }
        }
    }
    assert!(inside > 2_000 && outside > 2_000, "{inside} inside, {outside} outside");
}

/// Whether the whole shank, with the edge distance all round, is inside one member over the asked embedment, and inside
/// tape with its margin, by points on circles round the axis.
fn holds(site: &Site<'_>, landing: usize, p: [f64; 2], lean: Lean) -> bool {
    let landing = &site.on.landings[landing];
    let piece = &site.on.pieces[landing.piece as usize];
    let top = site.lattice.levels.batten + piece.lift;
    let head = Point3::new(p[0], p[1], top);
    let axis = Vector3::new(lean.at[0], lean.at[1], -1.0).normalize();
    let side = axis.cross(&Vector3::y()).normalize();
    let up = axis.cross(&side);
    let d = &site.design;
    let round = |s: f64, r: f64| {
        (0..8).map(move |k| {
            let a = std::f64::consts::TAU * f64::from(k) / 8.0;
            head + axis * s + (side * a.cos() + up * a.sin()) * r
        })
    };
    let in_one = |planes: &[Vec<airlath::solid::Plane>], q: Point3| {
        planes.iter().any(|b| b.iter().all(|plane| plane.distance(&q) <= 2e-6))
    };
    let radius = d.fastening.diameter.metres() / 2.0;
    let members = site.structure.members.iter().enumerate().any(|(m, _)| {
        let bodies: Vec<_> = site
            .under
            .entries
            .iter()
            .filter(|e| e.tag.0.0 as usize == m && matches!(e.tag.1, Component::Whole | Component::TopFlange))
            .collect();
        let enter =
            bodies.iter().filter_map(|e| e.body.chord(&head, &axis)).map(|c| c.enter).fold(f64::INFINITY, f64::min);
        if !enter.is_finite() {
            return false;
        }
        let asked = d.limits.embedment.metres();
        if enter + asked > d.fastening.length.metres() + 1e-6 {
            return false;
        }
        let planes: Vec<Vec<_>> = bodies.iter().map(|e| e.body.planes()).collect();
        // Circles lean with the axis: begin and end where the whole circle is past the face.
        let edge = d.limits.edge_distance.metres();
        let past = edge * lean.at[0].hypot(lean.at[1]) + 1e-6;
        (0..=6).all(|k| {
            let s = enter + past + (asked - 2.0 * past) * f64::from(k) / 6.0;
            round(s, edge).all(|q| in_one(&planes, q))
        })
    });
    let bodies: Vec<Vec<_>> = site.tapes.entries.iter().map(|e| e.body.planes()).collect();
    let drop = (top - site.lattice.levels.tape / 2.0) / -axis.z;
    let margin = radius + d.limits.tape_margin.metres();
    let flat = |q: Point3| Point3::new(q.x, q.y, site.lattice.levels.tape / 2.0);
    members && round(drop, margin).all(|q| in_one(&bodies, flat(q)))
}

fn inside(region: &Region, n: u32) -> Vec<[f64; 2]> {
    let Some((low, high)) = region.bounds() else { return Vec::new() };
    (0..8 * n)
        .map(|k| {
            let (u, v) = ((f64::from(k) * 0.618_033_988_7).fract(), (f64::from(k) * 0.754_877_666_2).fract());
            [low[0] + (high[0] - low[0]) * u, low[1] + (high[1] - low[1]) * v]
        })
        .filter(|p| region.contains(*p))
        .take(n as usize)
        .collect()
}

#[test]
fn from_a_sure_window_every_tilt_of_the_hand_holds_and_from_reach_its_own() {
    let (mut tried, mut reached) = (0, 0);
    for name in ["gable-mended", "hip", "gable"] {
        let plan = plan(&example(name));
        let ctx = plan.context();
        for on in &ctx.slopes {
            let site = ctx.site(on).unwrap();
            for i in (0..on.lattice.landings.len()).step_by(7) {
                let (sure, square) = (site.sure(i, 0), site.square(i, 0));
                for p in inside(&sure, 3) {
                    assert!(square.contains(p), "a sure place outside square");
                    for (share, turn) in
                        [(1.0, 0.0), (1.0, 0.13), (1.0, 0.37), (1.0, 0.5), (1.0, 0.81), (0.6, 0.25), (0.0, 0.0)]
                    {
                        let angle = plan.design.tilt.value.radians() * share;
                        let lean = Lean::one(angle, std::f64::consts::TAU * turn);
                        assert!(
                            holds(&site, i, p, lean),
                            "{name} {} {p:?} {share} {turn}",
                            ctx.landing_name(on, &on.lattice.landings[i])
                        );
                        tried += 1;
                    }
                }
                let reach = site.reach(i, 0);
                let all = reach.iter().fold(Region::default(), |all, (_, r)| all.joined(r));
                for p in inside(&square, 3) {
                    assert!(all.contains(p) || all.to_border(p) < 1e-7, "a square place outside reach");
                }
                for ((angle, turn), region) in reach.iter().step_by(5) {
                    for p in inside(region, 1) {
                        assert!(holds(&site, i, p, Lean::one(*angle, *turn)), "{name} {i} {p:?} {angle} {turn}");
                        reached += 1;
                    }
                }
            }
        }
    }
    assert!(tried > 1_000 && reached > 500, "{tried} {reached}");
}

#[test]
fn what_is_kept_away_from_and_each_condition_by_itself_close_a_window() {
    let plan = plan(&example("shed"));
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let number = on.lattice.landings.iter().position(|l| l.side == airlath::lattice::Side::Whole && l.x > 1.0).unwrap();
    let own = on.lattice.fasteners_of(&on.lattice.landings[number])[0];
    let mut site = ctx.site(on).unwrap();
    assert!(site.sure(number, 0).contains([own.x, own.y]));
    assert_eq!(site.conflict(number, 0), None);
    let round = |radius| Obstacles::new(vec![Obstacle { x: (own.x, own.x), y: (own.y, own.y), radius }]);
    let circle = round(0.004);
    site.keep_away = &circle;
    let pierced = site.sure(number, 0);
    assert!(!pierced.contains([own.x, own.y]) && !pierced.is_empty());
    let wall = round(2.0 * REACH);
    site.keep_away = &wall;
    assert_eq!(site.conflict(number, 0).unwrap().list(), [Condition::KeepAway]);
    // With every condition dropped the whole board round the landing is left.
    let free = site.window(number, 0, Conditions::NONE, Lean::SQUARE);
    let width = plan.design.lattice.batten.width.metres();
    let (low, high) = free.bounds().unwrap();
    assert!((high[1] - low[1] - width).abs() < 1e-9 && high[0] - low[0] <= 2.0 * REACH + 1e-9);
}

#[test]
fn an_empty_window_names_what_cannot_be_met_together() {
    // Over one member of 45 mm a butt joint leaves 22 mm to each board: no place is 31 mm from its end.
    let text = edited(&example("shed"), "end_distance = \"20 mm\"", "");
    let plan = plan(&edited(&text, "joint = \"lap\", lap = \"300 mm\"", "joint = \"butt\""));
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let site = ctx.site(on).unwrap();
    let joint = on.lattice.landings.iter().position(|l| l.side == airlath::lattice::Side::Left).unwrap();
    let conflict = site.conflict(joint, 0).unwrap();
    assert_eq!(conflict.list(), [Condition::Backed, Condition::BattenEnd]);
    // Each half of it can be met.
    for c in conflict.list() {
        assert!(!site.window(joint, 0, conflict.without(c), site.hand()).is_empty());
    }
    // Where nothing lies below, being backed alone cannot be met.
    let text =
        edited(&example("shed"), "[fastening]", "[[landing]]\ncourse = \"SW-B03\"\nx = \"930 mm\"\n\n[fastening]");
    let plan = self::plan(&text);
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let own = on.lattice.landings.iter().position(|l| matches!(l.on, airlath::lattice::On::Place)).unwrap();
    assert_eq!(ctx.site(on).unwrap().conflict(own, 0).unwrap().list(), [Condition::Backed]);
}

/// Fasteners of a landing by its name.
fn fasteners(plan: &Plan, name: &str) -> Vec<Fastener> {
    let on = &plan.lattice.slopes[0];
    let landing = on.landings.iter().find(|l| on.landing_name(l, &plan.found) == name).unwrap();
    on.fasteners_of(landing).to_vec()
}

#[test]
fn fasteners_move_into_their_windows_only_where_asked_and_only_where_they_may() {
    // A rafter found 15 mm off, to which the plan has fasteners go; a pattern that splits the board; one landing that the
    // design moves, and one line that is driven already.
    let base = edited(&example("shed"), "spread = \"50 mm\"", "spread = \"40 mm\"\npattern = \"across\"");
    let more = "\n[[move]]\nlanding = \"SW-B03.L04\"\nacross = \"6 mm\"\n[[laid]]\nwhat = [\"fasteners\"]\nlines = [\"SW-L05\"]\n";
    let rule = plan(&format!("{base}{more}"));
    let aimed = plan(&format!("{base}{more}\n[aim]\nplace = \"window\"\n"));
    for kept in ["SW-B03.L04", "SW-B03.L05"] {
        assert_eq!(fasteners(&rule, kept), fasteners(&aimed, kept), "{kept} moved");
    }
    let [a, b] = fasteners(&rule, "SW-B03.L06")[..] else { panic!("two fasteners") };
    assert!(a.y == b.y && b.x - a.x < 15.0 * 0.0031, "the rule's pattern stands in one grain line");
    let ctx = aimed.context();
    let (on, site) = (&ctx.slopes[0], ctx.site(&ctx.slopes[0]).unwrap());
    let mut moved = 0;
    for (i, landing) in on.lattice.landings.iter().enumerate() {
        let name = ctx.landing_name(on, landing);
        if name == "SW-B03.L04" || name.contains(".L05") {
            continue;
        }
        let all = on.lattice.fasteners_of(landing);
        for (k, f) in all.iter().enumerate() {
            assert!(site.sure(i, k).contains([f.x, f.y]), "{name} fastener {} stands outside its window", k + 1);
            moved += 1;
        }
        let across = (all[0].y - all[1].y).abs();
        assert!(across >= 5.0 * 0.0031 - 1e-9, "{name} splits the board");
    }
    assert!(moved > 200);
    // The plan as planned before where nothing asks for windows.
    let plain = plan(&example("shed"));
    let said = plan(&format!("{}\n[aim]\nplace = \"rule\"\n", example("shed")));
    assert_eq!(plain.lattice.slopes[0].fasteners, said.lattice.slopes[0].fasteners);
}

/// A shed in inches with panels whose seams lie over the rafters at 24 3/4 and 72 3/4 in: a clip, 1 by 1 1/2 in, between the
/// two nails of each crossing there, 7/8 in above and below it, heads of 0.296 in.
const CLIPS: &str = r#"format = 1
name = "Plain shed (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "8 ft 1 1/2 in"
slope_length = "6 ft"
pitch = "4:12"
[[rafters]]
section = { nominal = "2x8" }
spacing = "24 in"
first = "3/4 in"
[lattice]
batten = { nominal = "1x4", spacing = "16 in", last = "6 1/4 in", stock = ["12 ft"] }
[fastening]
diameter = "0.148 in"
length = "3 in"
spread = "1 3/4 in"
[limits]
end_distance = "1/2 in"
[panels]
width = "16 in"
first_seam = "8 3/4 in"
screw_diameter = "0.164 in"
screw_length = "3/4 in"
"#;
const INCH: f64 = 0.0254;

/// The sure window of a fastener of a landing, with the landing's middle and the fastener's place.
fn sure_of(plan: &Plan, name: &str, k: usize) -> (Region, [f64; 2], [f64; 2]) {
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let number = on.lattice.landings.iter().position(|l| ctx.landing_name(on, l) == name).unwrap();
    let landing = &on.lattice.landings[number];
    let own = on.lattice.fasteners_of(landing)[k];
    (ctx.site(on).unwrap().sure(number, k), [landing.x, landing.y], [own.x, own.y])
}

#[test]
fn a_clip_over_a_landing_pierces_its_windows() {
    let bare = plan(CLIPS.split("[panels]").next().unwrap());
    let clipped = plan(CLIPS);
    let tilt = plan_tilt(&clipped);
    // Half the base, half a head, and what the hand's tilt moves the shank within 3/4 in of batten.
    let off = (0.75 + 0.148 + 0.75 * tilt) * INCH;
    for k in 0..2 {
        let (open, middle, own) = sure_of(&bare, "S-B02.L02", k);
        let (pierced, _, _) = sure_of(&clipped, "S-B02.L02", k);
        let up = (own[1] - middle[1]).signum();
        let at = |y: f64| [middle[0], middle[1] + up * y];
        assert!(open.contains(at(off - 1e-4)) && !pierced.contains(at(off - 1e-4)));
        assert!(open.contains(at(off + 1e-4)) && pierced.contains(at(off + 1e-4)));
        assert!(!pierced.is_empty() && pierced.area() < 0.9 * open.area());
        for p in inside(&pierced, 40) {
            assert!(open.contains(p), "a clip opens nothing");
            assert!((p[1] - middle[1]).abs() > off - 1e-6 || (p[0] - middle[0]).abs() > (0.5 + 0.148) * INCH);
        }
    }
    // Beside the seams nothing changes.
    let areas = [&bare, &clipped].map(|p| sure_of(p, "S-B02.L03", 0).0.area());
    assert!((areas[0] - areas[1]).abs() < 1e-9);
}

/// The tangent of the hand's tilt.
fn plan_tilt(plan: &Plan) -> f64 {
    plan.design.tilt.value.radians().tan()
}

#[test]
fn heads_that_were_left_in_pierce_windows_and_clips_and_heads_together_close_one() {
    let bare = CLIPS.split("[panels]").next().unwrap();
    let log = |rows: &str| format!("plan,landing,fastener,attempt,outcome,across,up\n{rows}");
    let with = |text: &str, rows: &str| {
        let plan = plan(text);
        let p = plan.fingerprints().cell();
        let rows: String = rows.lines().map(|r| format!("{p},{r}\n")).collect();
        plan.with_log("driven.csv", &log(&rows)).unwrap_or_else(|f| panic!("{}", f.render(false)))
    };
    let missed = with(bare, "S-B02.L02,1,1,missed,0,0\nS-B02.L02,2,1,held,,");
    let before = sure_of(&plan(bare), "S-B02.L02", 0);
    let after = sure_of(&missed, "S-B02.L02", 0);
    let off = (0.296 + 0.75 * plan_tilt(&missed)) * INCH;
    let up = |d: f64| [before.2[0], before.2[1] + d];
    assert!(before.0.contains(up(off - 1e-4)) && !after.0.contains(up(off - 1e-4)));
    assert!(before.0.contains(up(off + 1e-4)) && after.0.contains(up(off + 1e-4)));
    assert_eq!(sure_of(&plan(bare), "S-B03.L02", 0).0, sure_of(&missed, "S-B03.L02", 0).0);
    // A clip leaves a band along the batten's edge; heads in it, side by side, take that too.
    let long = edited(CLIPS, "first_seam", "clip_length = \"2 in\"\nfirst_seam");
    let (open, middle, _) = sure_of(&plan(&long), "S-B02.L02", 1);
    assert!(!open.is_empty());
    let rows = "S-B02.L02,2,1,missed,-0.3,0.375\nS-B02.L02,2,2,missed,0,0.375\nS-B02.L02,2,3,missed,0.3,0.375\n";
    let full = with(&long, rows);
    let ctx = full.context();
    let on = &ctx.slopes[0];
    let number = on.lattice.landings.iter().position(|l| ctx.landing_name(on, l) == "S-B02.L02").unwrap();
    assert!((on.lattice.landings[number].x - middle[0]).abs() < 1e-12);
    let site = ctx.site(on).unwrap();
    assert!(site.sure(number, 1).is_empty());
    assert!(site.conflict(number, 1).unwrap().has(Condition::KeepAway));
    assert_eq!(airlath::check::driven::remaining::remaining(&ctx, on, number, 1), None);
}
