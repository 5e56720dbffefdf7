//! How much room a fastener has beside it: at ends that lean, at bends, and exactly on a side.

use airlath::check::{Backing, Outcome};
use airlath::plan::Plan;
use airlath::solid::{Point3, Vector3};

use crate::checks::small::*;
use crate::common::plans::plan;

/// What became of the fasteners of a landing.
fn backing(plan: &Plan, name: &str) -> Vec<Backing> {
    let ctx = plan.context();
    let on = &ctx.slopes[0];
    let landing = on.lattice.landings.iter().find(|l| ctx.landing_name(on, l) == name).expect("the landing");
    on.backing_of(landing).to_vec()
}

/// A shed of any pitch whose lowest landings are moved down to the rafters' lower ends, cut plumb at the eave. INVENTED.
fn eave(pitch: &str, facing: &str, down: &str) -> String {
    format!(
        "format = 1\nname = \"Near the eave (invented)\"\nunits = \"inches\"\n[roof]\nshape = \"shed\"\neave = \"8 ft 1 1/2 \
         in\"\nslope_length = \"6 ft\"\npitch = \"{pitch}\"\nfacing = \"{facing}\"\n[[rafters]]\nsection = {{ nominal = \"2x8\" \
         }}\nspacing = \"24 in\"\nfirst = \"3/4 in\"\n[lattice]\ntape = {{ width = \"2 in\" }}\nstrip = {{ height = \"3/8 in\" \
         }}\nbatten = {{ nominal = \"1x4\", spacing = \"16 in\", first = \"1 3/4 in\" }}\n[fastening]\ndiameter = \"0.148 \
         in\"\nlength = \"3 in\"\nper_landing = 1\n[limits]\ntape_margin = \"0 in\"\nrun = \"24 in\"\nend_distance = \"1/4 \
         in\"\n[[move]]\nlanding = \"S-B01.L02\"\nup = \"-1.2 in\"\n[[move]]\nlanding = \"S-B01.L03\"\nup = \"{down}\"\n"
    )
}

/// The plumb cut leans away below the eave: what counts is how far the rafter's end is at its upper face, which lies as
/// much down the slope as it is thick above the framing. By hand at 18 in 12: 1.75 - 1.2 = 0.55 in and 1.75 - 1.64 = 0.11 in
/// where the membrane's outer face begins; the rafter's upper face begins lower, and so further out.
#[test]
fn a_plumb_cut_that_leans_away_leaves_all_its_room() {
    for pitch in ["4:12", "12:12", "18:12"] {
        for facing in ["south", "217 deg"] {
            let text = eave(pitch, facing, "-1.64 in");
            let text = if facing == "south" { text } else { text.replace("S-", "SW-") };
            let name = if facing == "south" { "S-B01" } else { "SW-B01" };
            let plan = plan(&text);
            let index = &plan.found.under[0];
            for (landing, y) in [("L02", 0.55), ("L03", 0.11)] {
                let found = backing(&plan, &format!("{name}.{landing}"))[0];
                // The least y of the rafter's upper face is where its end begins.
                let member = found.member.expect("a rafter");
                let entry = index.entries.iter().find(|e| e.tag.0 == member).expect("its body");
                let corners =
                    entry.body.faces().into_iter().filter(|(p, _)| p.normal.z > 0.99).flat_map(|(_, ring)| ring);
                let end = corners.map(|p| p.y).fold(f64::INFINITY, f64::min);
                let hand = (y * 0.0254 - end).min(0.75 * 0.0254);
                assert!(
                    (found.room - hand).abs() < 1e-9,
                    "{pitch}, {facing}, {landing}: {} by hand {hand}",
                    found.room
                );
                assert_eq!(found.outcome, Outcome::Backed, "{pitch}, {facing}, {landing}");
            }
            for check in ["landing-not-backed", "run-too-long"] {
                passes(&text, check);
            }
            // 0.11 in and a little is less than two and a half diameters, 0.37 in; 0.55 in is more.
            let near = seen(&text, "near-member-side");
            assert!(near.findings.iter().all(|f| f.parts[0] == format!("{name}.L03")), "{pitch}: {:?}", near.findings);
        }
    }
    // With its side past the end at the upper face it does break out.
    let seen = seen(&eave("18:12", "south", "-1.80 in"), "landing-not-backed");
    assert!(seen.findings.iter().any(|f| f.parts[0] == "S-B01.L03"), "{:?}", seen.findings);
}

/// How thick a rod with flat ends stays inside a member about an axis straight into the slope: rays square to the axis,
/// through one body of it after the other, at so many depths and in so many directions. An upper bound, and at most the
/// `1 - cos` of half a step above the truth.
fn by_rays(plan: &Plan, slope: usize, backing: &Backing, head: Point3, enter: f64, asked: f64) -> f64 {
    let member = backing.member.expect("a member");
    let bodies: Vec<_> =
        plan.found.under[slope].entries.iter().filter(|e| e.tag.0 == member).map(|e| &e.body).collect();
    let mut least = f64::INFINITY;
    for k in 0..=8 {
        // A hair inside both ends, where rays would run in a face.
        let depth = enter + 1e-7 + (asked - enter - 2e-7) * f64::from(k) / 8.0;
        let from = head - Vector3::z() * depth;
        for turn in 0..720 {
            let a = f64::from(turn).to_radians() / 2.0;
            let way = Vector3::new(a.cos(), a.sin(), 0.0);
            let mut reached = 0.0;
            // Bodies that meet share a face: from one into the next.
            let far = from - way * 10.0;
            while let Some(leave) = bodies
                .iter()
                .filter_map(|b| b.chord(&far, &way))
                .map(|c| (c.enter - 10.0, c.leave - 10.0))
                .filter(|(enter, leave)| *enter <= reached + 1e-7 && *leave > reached + 1e-7)
                .map(|(_, leave)| leave)
                .next()
            {
                reached = leave;
            }
            least = least.min(reached);
        }
    }
    least
}

/// Rafters with kinks of every sharpness, under one landing after the other, and an opening's slanted framing: the room is
/// what rays find.
#[test]
fn room_is_what_rays_find_beside_bends_and_leaning_ends() {
    let kink = |member: &str, off: [f64; 2]| {
        format!(
            "[[found.member]]\nname = \"{member}\"\noffsets = [{{ at = \"840 mm\", off = \"{} mm\" }}, {{ at = \"860 mm\", off = \
             \"{} mm\" }}]\n",
            off[0], off[1]
        )
    };
    let crooked = kink("S-R02", [16.0, -14.0]) + &kink("S-R03", [31.0, 7.0]) + &kink("S-R04", [2.0, 0.0]);
    let joist = (
        "section = { width = \"40 mm\", depth = \"200 mm\" }",
        "section = { width = \"60 mm\", depth = \"200 mm\", flange \
                 = \"38 mm\", web = \"10 mm\" }",
    );
    let hip = std::fs::read_to_string(format!("{}/examples/hip.toml", env!("CARGO_MANIFEST_DIR"))).expect("an example");
    let mut asked = 0;
    for text in [shed(&[], &crooked), shed(&[joist], &crooked), eave("18:12", "south", "-1.64 in"), hip] {
        let plan = plan(&text);
        let ctx = plan.context();
        for (s, on) in ctx.slopes.iter().enumerate() {
            for landing in &on.lattice.landings {
                for (f, b) in on.lattice.fasteners_of(landing).iter().zip(on.backing_of(landing)) {
                    let here = b.member.and_then(|m| plan.found.member(m)).is_some_and(|m| m.home.is_some());
                    if !here || asked > 700 {
                        continue;
                    }
                    let shank = ctx.shank(on.piece(landing), f);
                    let enter = shank.head.z - ctx.structure.framing_level;
                    let rays = by_rays(&plan, s, b, shank.head, enter, enter + shank.embedment.min(b.embedment));
                    let name = ctx.landing_name(on, landing);
                    assert!(b.room <= rays + 1e-6 && b.room >= rays * (1.0 - 1e-4) - 1e-6, "{name}: {} {rays}", b.room);
                    asked += 1;
                }
            }
        }
    }
    assert!(asked > 300, "{asked}");
}

/// A bend is no end: beside a kink that leaves the wood whole nothing is near.
#[test]
fn a_bend_is_no_end() {
    let kink = "[[found.member]]\nname = \"S-R03\"\noffsets = [{ at = \"800 mm\", off = \"1 mm\" }, { at = \"824 mm\", off = \"0 \
                mm\" }, { at = \"876 mm\", off = \"0 mm\" }]\n";
    passes(&shed(&[], kink), "near-member-side");
}

/// Side by side, 40 apart, both axes run in the sides of rafters that are 40 wide: half of each shank is in the wood at every
/// landing, whichever way rounding takes the axis. Too short ones end above at every landing.
#[test]
fn an_axis_in_a_side_is_told_one_way() {
    for first in ["20 mm", "20.1 mm", "33.3 mm"] {
        for facing in ["", "facing = \"37 deg\"\n"] {
            let across = ("spread = \"50 mm\"", "spread = \"40 mm\"\npattern = \"across\"");
            let place = ("first = \"20 mm\"", &*format!("first = \"{first}\""));
            let turned = ("pitch = \"20 deg\"\n", &*format!("pitch = \"20 deg\"\n{facing}"));
            for (length, words) in [("80 mm", "breaks out of"), ("40 mm", "ends above")] {
                let length = ("length = \"80 mm\"", &*format!("length = \"{length}\""));
                let seen = seen(&shed(&[across, place, turned, length], ""), "landing-not-backed");
                assert_eq!(seen.findings.len(), 25);
                for f in &seen.findings {
                    assert!(f.message.contains(words), "{first}, {facing}: {}", f.message);
                }
            }
        }
    }
}
