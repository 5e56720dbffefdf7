//! Keys of `[strength]`, `[wind]`, `[snow]`: what a maker states, temperature, risk category, enclosure, sizes that a roof cannot
//! have; and hand calculations done again from what `explain` prints.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeMap;

use crate::common;
use crate::common::reference::{EC5, LBF, PSF, PSI, WEIGHTLESS as NDS, edited, near, plan};
use airlath::check::strength::path::{Landed, Mode, Use};
use airlath::check::strength::rules::Board;
use airlath::check::strength::{clip_overloaded, each_landing, explain};
use airlath::design::line_column;
use airlath::plan::Plan;

/// What became of every landing.
fn landings(text: &str) -> BTreeMap<String, Landed> {
    let plan = plan(text);
    let ctx = plan.context();
    let a = ctx.strength().unwrap();
    each_landing(&ctx, a).map(|(on, l, _, landed)| (ctx.landing_name(on, l), landed.clone())).collect()
}

fn used(text: &str, name: &str) -> Use {
    match &landings(text)[name] {
        Landed::Used(used) => *used,
        other => panic!("{name}: {other:?}"),
    }
}

fn page(text: &str, name: &str) -> String {
    explain::explain(&plan(text).context(), name).unwrap()
}

fn faults(text: &str) -> Vec<(String, usize, String)> {
    let faults = Plan::from_text("keys.toml", text).err().map_or_else(Vec::new, |f| f.faults);
    faults
        .into_iter()
        .map(|f| (f.key, line_column(text, f.span.start).0, format!("{} ({})", f.message, f.hint)))
        .collect()
}

/// EN 1995-1-1 8.3.2: the head side of other than smooth nails is f_head,k d_h^2 = 15 * 7.6^2 = 866.4 N, withdrawal
/// f_ax,k d t_pen = 6.5 * 3.8 * 57.15 = 1411.6 N; kmod 1.1 over 1.3. Without the maker's f_ax,k nothing is computed.
#[test]
fn a_makers_values_make_eurocode_five_compute() {
    let bare = landings(EC5);
    assert!(
        bare.values().all(|l| matches!(l, Landed::NotComputed(why) if why.to_string().contains("f_ax,k"))),
        "{bare:?}"
    );
    let with =
        |values: &str| format!("{EC5}[strength.maker]\nreport = \"declaration 17, table 2 (invented)\"\n{values}");
    let name = "S-B04.L02";
    let head = with("withdrawal = \"6.5 N/mm2\"\npull_through = \"15 N/mm2\"\ntension = \"6 kN\"\n");
    let u = used(&head, name);
    assert_eq!(u.mode, Mode::PullThrough);
    near("head", u.out / u.ratio, 866.4 * 1.1 / 1.3, 1e-4);
    let u = used(&with("withdrawal = \"6.5 N/mm2\"\n"), name);
    assert_eq!(u.mode, Mode::Withdrawal);
    near("withdrawal", u.out / u.ratio, 6.5 * 3.8 * 57.15 * 1.1 / 1.3, 1e-4);
    // Steel: characteristic over 1.3, without kmod.
    let u = used(&with("withdrawal = \"6.5 N/mm2\"\npull_through = \"15 N/mm2\"\ntension = \"900 N\"\n"), name);
    assert_eq!(u.mode, Mode::Tension);
    near("tension", u.out / u.ratio, 900.0 / 1.3, 1e-4);
    let page = page(&head, name);
    for line in [
        "declaration 17, table 2 (invented)",
        "f_ax,k = 6.5 N/mm2",
        "f_head,k = 15 N/mm2",
        "the maker's report that the design names (given)",
        "6000 N, over 1.3",
    ] {
        assert!(page.contains(line), "{line}: {page}");
    }
    // A screw of 5 mm, which EN 1995-1-1 8.7.2 leaves out, by the same keys: thread two thirds of its length, 58.5 mm of it in.
    let screw = edited(
        &with("withdrawal = \"11 N/mm2\"\n"),
        &[
            ("kind = \"ring-shank nail\"\ndiameter = \"3.8 mm\"", "kind = \"screw\"\ndiameter = \"5 mm\""),
            ("held = \"every course\"", "held = \"every course\"\nroot = \"3.2 mm\""),
        ],
    );
    let u = used(&screw, name);
    near("screw", u.out / u.ratio, 11.0 * 5.0 * 58.5 * 1.1 / 1.3, 1e-4);
}

/// NDS: the maker's W by the inch that holds (1.8125 in), the head's force, both with CD 1.6; the steel's tension without.
#[test]
fn a_makers_values_take_the_place_of_the_nds_equations() {
    let with = |values: &str| format!("{NDS}[strength.maker]\nreport = \"report 9, table 4 (invented)\"\n{values}");
    let name = "S-B05.L02";
    for (values, mode, pounds) in [
        ("withdrawal = \"40 lbf/in\"\npull_through = \"120 lbf\"\n", Mode::Withdrawal, 40.0 * 1.8125 * 1.6),
        ("withdrawal = \"90 lbf/in\"\npull_through = \"70 lbf\"\n", Mode::PullThrough, 70.0 * 1.6),
        ("withdrawal = \"90 lbf/in\"\npull_through = \"120 lbf\"\ntension = \"95 lbf\"\n", Mode::Tension, 95.0),
    ] {
        let u = used(&with(values), name);
        near(values, u.out / u.ratio / LBF, pounds, 1e-3);
        // The next to nothing that the battens weigh makes it "both together".
        assert!(page(&with(values), name).contains(&format!("Next mode in it: {}, ", mode.words())), "{values}");
    }
    let page = page(&with("withdrawal = \"40 lbf/in\"\n"), name);
    assert!(page.contains("W = 40 lbf/in") && page.contains("report 9, table 4 (invented)"), "{page}");
    assert!(!page.contains("1380 G^2.5"), "{page}");
}

/// Every fault of the tables in one run, each in its place.
#[test]
fn faults_of_a_makers_tables_are_told() {
    let text = format!(
        "{NDS}[strength.maker]\nwithdrawal = \"12 N/mm2\"\npull_through = \"0 lbf\"\ntension = \"much\"\n\
         [panels]\nwidth = \"16 in\"\nscrew_diameter = \"0.164 in\"\nscrew_length = \"3/4 in\"\n\
         [panels.maker]\nreport = \" \"\npull_through = \"100 lbf\"\n"
    );
    let line = |of: &str| text[..text.rfind(of).unwrap()].matches('\n').count() + 1;
    let told = faults(&text);
    let says = |key: &str, line: usize, words: &str| {
        let found = told.iter().any(|f| f.0 == key && f.1 == line && f.2.contains(words));
        assert!(found, "{key} line {line} {words}: {told:#?}");
    };
    says("strength.maker.report", line("[strength.maker]"), "missing");
    says("strength.maker.withdrawal", line("withdrawal = "), "a force for each length of thread");
    says("strength.maker.pull_through", line("pull_through = \"0 lbf\""), "more than nothing");
    says("strength.maker.tension", line("tension = "), "no strength of a fastener");
    says("panels.maker.report", line("report = \" \""), "without a report");
    says("panels.maker.pull_through", line("pull_through = \"100 lbf\""), "no head through wood");
    assert_eq!(told.len(), 6, "{told:#?}");
    let only = format!("{NDS}[strength.maker]\nreport = \"report 9\"\n");
    let told = faults(&only);
    assert!(told.len() == 1 && told[0].2.contains("without a value"), "{told:#?}");
    // By Eurocode 5 other kinds are asked.
    let ec5 = format!("{EC5}[strength.maker]\nreport = \"report 9\"\nwithdrawal = \"180 lbf/in\"\n");
    let told = faults(&ec5);
    assert!(told.len() == 1 && told[0].2.contains("by EC5 this is a strength for each area"), "{told:#?}");
}

/// The screws of clips have a maker as well: 4.8 mm is below the 6 mm of EN 1995-1-1 8.7.2.
#[test]
fn clips_have_a_maker_of_their_own() {
    let panels = "[panels]\nwidth = \"400 mm\"\nfirst_seam = \"200 mm\"\nscrew_diameter = \"4.8 mm\"\nscrew_length = \"30 mm\"\n\
                  screw_thread = \"30 mm\"\n";
    let bare = plan(&format!("{EC5}{panels}"));
    let a = bare.context();
    let why = a.strength().unwrap().basis.clip.clone().unwrap().err().unwrap();
    assert!(why.contains("root diameter"), "{why}");
    let maker = "[panels.maker]\nreport = \"declaration 18 (invented)\"\nwithdrawal = \"10 N/mm2\"\n";
    let sized = format!("{panels}screw_root = \"3.4 mm\"\n");
    let made = plan(&format!("{EC5}{sized}"));
    let ctx = made.context();
    let why = ctx.strength().unwrap().basis.clip.clone().unwrap().err().unwrap();
    assert!(why.contains("f_ax,k"), "{why}");
    let with = plan(&format!("{EC5}{sized}{maker}"));
    let ctx = with.context();
    let clips = clip_overloaded::each_computed(&ctx, ctx.strength().unwrap());
    assert!(!clips.is_empty());
    for (_, _, u) in clips.iter().filter(|c| c.2.out > 0.0) {
        // 30 mm less the base of 1/32 in are in the batten, of two screws.
        near("clip", u.out / u.ratio, 2.0 * 10.0 * 4.8 * (30.0 - 25.4 / 32.0) * 1.1 / 1.3, 1e-3);
    }
}

/// NDS Supplement Table 4B (`from memory`): No. 2, 2 in to 4 in wide, 1100 psi, flat 1.1, no size factor: 1210 psi on 0.328 in3.
#[test]
fn southern_pine_battens_are_checked() {
    let southern = edited(NDS, &[("battens = \"SPF\"", "battens = \"southern pine\"")]);
    let made = plan(&southern);
    let ctx = made.context();
    let basis = &ctx.strength().unwrap().basis;
    let Some(Board::Nds(_, values)) = &basis.board else { panic!("{:?}", basis.board_reason) };
    near("Fb'", values.bending / PSI, 1210.0, 1e-9);
    assert!(page(&southern, "S-B05.1").contains("NDS Supplement 2018 Table 4B (from memory)"));
    let wide = plan(&edited(&southern, &[("nominal = \"1x4\"", "nominal = \"1x6\"")]));
    let ctx = wide.context();
    let basis = &ctx.strength().unwrap().basis;
    assert!(
        basis.board.is_none() && basis.board_reason.as_ref().unwrap().contains("by width"),
        "{:?}",
        basis.board_reason
    );
}

/// Battens weigh what their wood weighs. NDS Supplement: 62.4 G / (1 + 0.009 G mc) (1 + mc / 100) lb/ft3 at 15 %: 28.52 for 0.42,
/// 33.61 for 0.50, 36.73 for 0.55. EN 338 (`from memory`): 420 kg/m3 for C24. A density of the design's own stays.
#[test]
fn battens_weigh_what_their_wood_weighs() {
    let free = edited(NDS, &[(", density = \"1 kg/m3\"", "")]);
    let density = |text: &str| plan(text).design.lattice.batten.density.value.kg_per_m3();
    for (wood, pounds) in [("SPF", 28.52), ("DF-L", 33.61), ("southern pine", 36.73)] {
        let text = edited(&free, &[("battens = \"SPF\"", &format!("battens = \"{wood}\""))]);
        near(wood, density(&text) / 16.018_463, pounds, 5e-4);
        let made = plan(&text);
        let ctx = made.context();
        let weight = ctx.strength().unwrap().basis.batten_weight;
        near(wood, weight, 0.75 * 3.5 * 0.0254 * 0.0254 * density(&text) * 9.806_65, 1e-9);
        let shown = format!("{pounds:.1} lb/ft3");
        assert!(page(&text, "S-B05.L02").contains(&shown), "{wood}: {shown}");
        let told = made.design.defaults.iter().find(|d| d.key == "lattice.batten.density").unwrap();
        assert!(told.why.contains("strength.battens"), "{told:?}");
    }
    near("C24", density(&edited(EC5, &[(", density = \"1 kg/m3\"", "")])), 420.0, 1e-9);
    near("own", density(NDS), 1.0, 1e-9);
}

/// ASCE 7-22 7.3.3 (`from memory`): below 15 deg at least pg up to 25, 30, 35, 40 psf by risk category. 40 psf at 3:12 (14.04
/// deg), slippery, Ct 1.1: 0.7 1.1 40 (1 - 4.04 / 60) = 28.73 psf.
#[test]
fn low_slopes_have_a_least_snow_by_7_22() {
    let snow = |pitch: &str, ground: f64, risk: &str| {
        let calm = "[wind]\nlevel = \"service\"\n[[wind.zone]]\nname = \"3\"\nsuction = \"33.6 psf\"\n";
        let given = format!(
            "[snow]\nedition = \"ASCE 7-22\"\nground = \"{ground} psf\"\nexposure_factor = 1.0\nthermal_factor = 1.1\n\
             slippery = true\n{risk}"
        );
        let text = edited(
            NDS,
            &[(calm, &given), ("combinations = \"ASCE 7-10\"", "combinations = \"ASCE 7-22\""), ("6:12", pitch)],
        );
        let made = plan(&text);
        let ctx = made.context();
        let basis = &ctx.strength().unwrap().basis;
        (basis.snow.as_ref().unwrap()[0].balanced / PSF, page(&text, "S-B05.L02"))
    };
    for (risk, least) in [("I", 28.73), ("II", 30.0), ("III", 35.0), ("IV", 40.0)] {
        let (load, page) = snow("3:12", 40.0, &format!("risk_category = \"{risk}\"\n"));
        near(risk, load, least, 1e-3);
        assert!(page.contains("pm = min(pg, pm_max)"), "{page}");
    }
    let (load, page) = snow("3:12", 40.0, "");
    near("not written", load, 40.0, 1e-9);
    assert!(page.contains("the highest, as snow.risk_category is not written"), "{page}");
    near("little snow", snow("3:12", 20.0, "risk_category = \"II\"\n").0, 20.0, 1e-9);
    // From 15 deg on there is none: 4:12 is 18.43 deg.
    near("steep", snow("4:12", 40.0, "risk_category = \"IV\"\n").0, 30.8 * (1.0 - 8.4349 / 60.0), 1e-4);
}

/// NDS Tables 2.3.3 and 11.3.4: dry 0.8 above 100 F and 0.7 above 125 F. EN 1995-1-1 1.1.1 ends at 60 C.
#[test]
fn hot_wood_holds_less() {
    let at = |t: &str| edited(NDS, &[("moisture = \"dry\"", &format!("moisture = \"dry\"\ntemperature = \"{t}\""))]);
    let normal = used(NDS, "S-B05.L02").ratio;
    for (t, ct) in [("100 F", 1.0), ("101 F", 0.8), ("125 F", 0.8), ("126 F", 0.7), ("65.5 C", 0.7)] {
        near(t, normal / used(&at(t), "S-B05.L02").ratio, ct, 1e-9);
    }
    let board = |text: &str| {
        let made = plan(text);
        let ctx = made.context();
        let Some(Board::Nds(_, values)) = ctx.strength().unwrap().basis.board.clone() else { panic!("no board") };
        (values.bending, values.modulus)
    };
    near("Fb", board(&at("120 F")).0 / board(NDS).0, 0.8, 1e-9);
    near("E", board(&at("120 F")).1 / board(NDS).1, 0.9, 1e-9);
    assert!(page(NDS, "S-B05.L02").contains("default: up to 100 F (38 C) for long"));
    assert!(page(&at("120 F"), "S-B05.L02").contains("the wood stays at"));
    let told = faults(&at("160 F"));
    assert!(told.len() == 1 && told[0].0 == "strength.temperature", "{told:#?}");
    let hot = edited(EC5, &[("moisture = \"dry\"", "moisture = \"dry\"\ntemperature = \"61 C\"")]);
    let made = plan(&hot);
    let ctx = made.context();
    assert!(ctx.strength().unwrap_err()[0].contains("does not cover it"), "{:?}", ctx.strength().unwrap_err());
}

fn site(edition: &str, more: &str) -> String {
    let own = "[wind]\nlevel = \"service\"\n[[wind.zone]]\nname = \"3\"\nsuction = \"33.6 psf\"\n";
    let wind = format!(
        "[wind]\nedition = \"{edition}\"\nspeed = \"115 mph\"\nexposure = \"B\"\nshape = \"gable\"\ntopography = 1.0\n\
         elevation = \"0 ft\"\n{more}"
    );
    edited(NDS, &[(own, &wind), ("combinations = \"ASCE 7-10\"", &format!("combinations = \"{edition}\""))])
}

/// ASCE 7-16 Table 26.13-1 and its commentary to 26.2: partially open buildings have GCpi 0.18, like enclosed ones; 7-10 does not
/// know the class.
#[test]
fn partially_open_buildings_have_their_inner_pressure() {
    let with = |edition, enclosure: &str| {
        site(
            edition,
            &format!("enclosure = \"{enclosure}\"\nheight = \"20 ft\"\nwidth = \"28 ft\"\noverhang = \"0 in\"\n"),
        )
    };
    for edition in ["ASCE 7-16", "ASCE 7-22"] {
        let open = used(&with(edition, "partially open"), "S-B05.L02");
        near(edition, open.out, used(&with(edition, "enclosed"), "S-B05.L02").out, 1e-12);
        assert!(open.out < used(&with(edition, "partially enclosed"), "S-B05.L02").out * 0.95);
    }
    let made = plan(&(with("ASCE 7-10", "partially open") + "[live]\nroof = \"20 psf\"\n"));
    let ctx = made.context();
    let left_out = &ctx.strength().unwrap().basis.left_out;
    assert!(left_out.iter().any(|l| l.contains("ASCE 7-10 does not know it")), "{left_out:?}");
}

/// A gable of 28 ft by 32 ft, 9:12, eaves at 9 ft: its ridge is at 19 ft 6 in, half way up is 14 ft 3 in.
#[test]
fn sizes_that_the_roof_cannot_have_are_told() {
    let gable = |more: &str| {
        let shed = "shape = \"shed\"\neave = \"49 1/2 in\"\nslope_length = \"12 ft\"\npitch = \"6:12\"";
        let roof = "shape = \"gable\"\neave = \"32 ft\"\nwidth = \"28 ft\"\npitch = \"9:12\"\neave_height = \"9 ft\"";
        edited(
            &site("ASCE 7-22", &format!("enclosure = \"enclosed\"\n{more}")),
            &[(shed, roof), ("shape = \"gable\"\ntopography", "topography")],
        )
    };
    let good = "height = \"14 ft 3 in\"\nwidth = \"28 ft\"\noverhang = \"18 in\"\n";
    assert!(faults(&gable(good)).is_empty(), "{:?}", faults(&gable(good)));
    // Part of a larger building, on falling ground: on the safe side.
    assert!(faults(&gable("height = \"30 ft\"\nwidth = \"60 ft\"\noverhang = \"18 in\"\n")).is_empty());
    for (from, to, key, says) in [
        (
            "height = \"14 ft 3 in\"",
            "height = \"6 ft\"",
            "wind.height",
            "its lowest eave is 9 ft 0 in above the ground",
        ),
        ("height = \"14 ft 3 in\"", "height = \"14 ft\"", "wind.height", "at least 14 ft 3 in"),
        ("width = \"28 ft\"\noverhang", "width = \"20 ft\"\noverhang", "wind.width", "at least 25 ft 0 in wide"),
        ("overhang = \"18 in\"", "overhang = \"14 ft\"", "wind.overhang", "leave no building"),
    ] {
        let text = edited(&gable(good), &[(from, to)]);
        let told = faults(&text);
        assert!(told.len() == 1 && told[0].0 == key && told[0].2.contains(says), "{told:#?}");
    }
    // By EN 1991-1-4 the height is that of the ridge.
    let european = edited(
        &gable(good),
        &[
            (
                "edition = \"ASCE 7-22\"\nspeed = \"115 mph\"\nexposure = \"B\"",
                "edition = \"EN 1991\"\nspeed = \"25 m/s\"\nexposure = \"III\"",
            ),
            ("width = \"28 ft\"\noverhang", "width = \"32 ft\"\noverhang"),
        ],
    );
    let told = faults(&european);
    assert!(told.len() == 1 && told[0].2.contains("19 ft 6 in"), "{told:#?}");
    // And its larger side counts.
    let narrow = edited(
        &european,
        &[("14 ft 3 in", "19 ft 6 in"), ("width = \"32 ft\"\noverhang", "width = \"28 ft\"\noverhang")],
    );
    let told = faults(&narrow);
    assert!(
        told.len() == 1 && told[0].0 == "wind.width" && told[0].2.contains("at least 29 ft 0 in wide"),
        "{told:#?}"
    );
}

/// The same gable drawn slope by slope, looking south, 37 deg and its mirror image: rafters of 17 ft 6 in rise 10 ft 6 in over 14 ft. One
/// function judges both forms.
#[test]
fn slopes_are_compared_with_the_wind_as_well() {
    let gable = |facing: f64, low: &str, pitch: (f64, &str, &str), wind: &str| {
        let (sin, cos) = facing.to_radians().sin_cos();
        // Along the eave, then into the roof.
        let at = |along: f64, into: f64| {
            let (east, north) = (-cos * along - sin * into, sin * along - cos * into);
            format!("[\"{east:.9} ft\", \"{north:.9} ft\", \"{low}\"]")
        };
        let slope = |name: &str, at: String, facing: f64| {
            let (_, up, pitch) = pitch;
            format!(
                "[[slope]]\nname = \"{name}\"\nfacing = \"{facing} deg\"\npitch = \"{pitch}\"\neave_point = {at}\nsize = [\"32 ft\", \"{up}\"]\n"
            )
        };
        let depth = 2.0 * pitch.0;
        let slopes = slope("S", at(0.0, 0.0), facing) + &slope("N", at(32.0, depth), (facing + 180.0) % 360.0);
        let shed = "[roof]\nshape = \"shed\"\neave = \"49 1/2 in\"\nslope_length = \"12 ft\"\npitch = \"6:12\"\n";
        edited(&site("ASCE 7-22", &format!("enclosure = \"enclosed\"\n{wind}")), &[(shed, &slopes)])
    };
    let steep = (14.0, "17 ft 6 in", "9:12");
    let good = "height = \"14 ft 3 in\"\nwidth = \"28 ft\"\noverhang = \"18 in\"\n";
    for facing in [180.0, 37.0, 323.0] {
        let of = |wind: &str| faults(&gable(facing, "9 ft", steep, wind));
        assert!(of(good).is_empty(), "{facing}: {:#?}", of(good));
        for (from, to, key, says) in [
            (
                "14 ft 3 in",
                "6 ft",
                "wind.height",
                "its lowest eave is 9 ft 0 in above the ground, its highest edge 19 ft 6 in",
            ),
            ("14 ft 3 in", "14 ft", "wind.height", "at least 14 ft 3 in"),
            ("28 ft", "20 ft", "wind.width", "at least 25 ft 0 in wide"),
            ("18 in", "14 ft", "wind.overhang", "leave no building"),
        ] {
            let told = of(&common::edited(good, from, to));
            assert!(told.len() == 1 && told[0].0 == key && told[0].2.contains(says), "{facing}: {told:#?}");
        }
        // Heights that count from the eave: the roof alone is half of 10 ft 6 in.
        let told = faults(&gable(facing, "0 ft", steep, &common::edited(good, "14 ft 3 in", "5 ft")));
        assert!(
            told.len() == 1 && told[0].2.contains("from the eave alone it rises 10 ft 6 in"),
            "{facing}: {told:#?}"
        );
        assert!(faults(&gable(facing, "0 ft", steep, &common::edited(good, "14 ft 3 in", "5 ft 3 in"))).is_empty());
        // ASCE 7-22 26.2: up to 10 deg the eave's height will do. 2:12 are 9.46 deg, 14 ft in plan are 14 ft 2.312 in up the slope.
        let low = |height: &str| {
            faults(&gable(facing, "9 ft", (14.0, "170.312 in", "2:12"), &common::edited(good, "14 ft 3 in", height)))
        };
        assert!(low("9 ft").is_empty(), "{:#?}", low("9 ft"));
        let told = low("8 ft 9 in");
        assert!(told.len() == 1 && told[0].2.contains("that of the eave"), "{told:#?}");
    }
}

/// ASCE 7 7.6.1 makes unbalanced snow of the ground's: with a load on the roof alone it is not computed, and every output says so, where it
/// is asked for: slopes of 1/2 on 12 to 7 on 12 that meet at a ridge.
#[test]
fn without_snow_on_the_ground_unbalanced_snow_is_told() {
    const SAYS: &str = "unbalanced snow: not computed, snow.roof is given, snow.ground is not";
    let gable = |facing: &str, pitch: &str, snow: &str| {
        let calm = "[wind]\nlevel = \"service\"\n[[wind.zone]]\nname = \"3\"\nsuction = \"33.6 psf\"\n";
        let shed = "shape = \"shed\"\neave = \"49 1/2 in\"\nslope_length = \"12 ft\"\npitch = \"6:12\"";
        let roof = format!(
            "shape = \"gable\"\neave = \"97 1/2 in\"\nwidth = \"20 ft\"\npitch = \"{pitch}\"\nfacing = \"{facing}\""
        );
        edited(NDS, &[(calm, snow), (shed, &roof)])
    };
    let own = "[snow]\nroof = \"40 psf\"\n";
    for (facing, name) in [("180 deg", "S-B05.L02"), ("37 deg", "NE-B05.L02"), ("323 deg", "NW-B05.L02")] {
        let text = gable(facing, "6:12", own);
        let made = plan(&text);
        let ctx = made.context();
        assert!(ctx.strength().unwrap().basis.left_out.iter().any(|l| l.starts_with(SAYS)));
        let summary = airlath::check::strength::scope(&ctx);
        assert!(summary.contains("unbalanced snow") && summary.contains("not checked"), "{summary}");
        assert!(page(&text, name).contains(SAYS));
        let run = common::run_good(&text);
        let check = run.header.checks.iter().find(|c| c.name == "strength").unwrap();
        assert!(check.reason.as_ref().unwrap().contains(SAYS), "{:?}", check.reason);
        assert!(run.header.strength.as_ref().unwrap().not_checked.iter().any(|l| l.starts_with(SAYS)));
        // Nothing asks for it.
        let steep = plan(&gable(facing, "8:12", own));
        assert!(!airlath::check::strength::scope(&steep.context()).contains("unbalanced"));
        // With the ground's snow it is computed: Is pg on all of the side away from the wind (W is 10 ft).
        let ground = "[snow]\nedition = \"ASCE 7-10\"\nground = \"40 psf\"\nexposure_factor = 1.0\nthermal_factor = 1.1\nimportance = 1.0\nslippery = true\n";
        let made = plan(&gable(facing, "6:12", ground));
        let ctx = made.context();
        let basis = &ctx.strength().unwrap().basis;
        assert!(basis.left_out.iter().all(|l| !l.contains("unbalanced")), "{:?}", basis.left_out);
        near("leeward", basis.snow.as_ref().unwrap()[0].unbalanced.unwrap().even / PSF, 40.0, 1e-9);
    }
    let shed = plan(&in_parts());
    assert!(shed.context().strength().unwrap().basis.left_out.iter().all(|l| !l.contains("unbalanced")));
}

/// A lag screw of 1/4 in by 4 in: NDS-2018 Table 12.2A prints 173 lbf/in for G = 0.42; it holds over its thread, 4/2 + 1/2 in, less its tip
/// of 5/32 in (Table L2): 2.34375 in. Down the slope by hand from the general dowel equations: Fe 3468 psi across the batten's
/// grain and 4704 psi along the rafter's (Table 12.3.3, by D), 0.173 in bend and bear, gap 7/16 in: mode IIIs, 149.73 lbf over
/// KD Ktheta = 2.23 1.25 (Table 12.3.1B, footnote 1). A head of 1 in: 690 pi 0.42^2 0.75 = 286.8 lbf (12.2-6).
#[test]
fn lag_screws_are_a_kind_of_fastening() {
    let nail = "diameter = \"0.148 in\"\nlength = \"3 in\"";
    let lag = |more: &str| {
        edited(NDS, &[(nail, &format!("kind = \"lag screw\"\ndiameter = \"1/4 in\"\nlength = \"4 in\"{more}"))])
    };
    let name = "S-B05.L02";
    let u = used(&lag(""), name);
    near("withdrawal", u.out / u.ratio / LBF, 1800.0 * 0.42_f64.powf(1.5) * 0.25_f64.powf(0.75) * 2.34375 * 1.6, 2e-3);
    near("of the table", u.out / u.ratio / LBF, 173.0 * 2.34375 * 1.6, 4e-3);
    let calm = "[wind]\nlevel = \"service\"\n[[wind.zone]]\nname = \"3\"\nsuction = \"33.6 psf\"\n";
    let snow = edited(&lag(""), &[(calm, "[snow]\nroof = \"30 psf\"\n")]);
    let u = used(&snow, name);
    assert_eq!(u.mode, Mode::Lateral);
    near("lateral", u.down / u.ratio / LBF, 149.7327 / (2.23 * 1.25) * 1.15, 1e-3);
    let round = used(&lag("\nhead = \"1 in\""), name);
    near("head", round.out / round.ratio / LBF, 690.0 * std::f64::consts::PI * 0.42 * 0.42 * 0.75 * 1.6, 2e-3);
    // What the sizes of a hexagon head do not say is told.
    let made = plan(&lag(""));
    let ctx = made.context();
    let left_out = &ctx.strength().unwrap().basis.left_out;
    assert!(
        left_out.iter().any(|l| l.starts_with("head pull-through: NDS-2018 12.2.5 is for round heads")),
        "{left_out:?}"
    );
    assert!(airlath::check::strength::scope(&ctx).contains("head pull-through"));
    let page = page(&lag(""), name);
    for line in
        ["lag screw, 0.25 in x 4 in", "E = 0.15625 in", "Dr = 0.173 in", "ASME B18.2.1", "head pull-through: NDS"]
    {
        assert!(page.contains(line), "{line}: {page}");
    }
    let made = plan(&lag("\nhead = \"1 in\""));
    assert!(!airlath::check::strength::scope(&made.context()).contains("head pull-through"));
    // Holes are drilled; distances are those of the tables from 1/4 in on.
    let d = &made.design;
    assert!(d.fastening.predrilled.value);
    for (what, limit, times) in [
        ("side", &d.limits.edge_distance, 1.5),
        ("batten", &d.limits.batten_edge, 4.0),
        ("end", &d.limits.end_distance, 4.0),
    ] {
        near(what, limit.metres() / 0.0254, times / 4.0, 1e-9);
    }
    let told = faults(&edited(&lag("\npredrilled = false"), &[("1/4 in", "0.19 in")]));
    let keys: Vec<&str> = told.iter().map(|f| f.0.as_str()).collect();
    assert_eq!(keys, ["fastening.diameter", "fastening.predrilled"], "{told:#?}");
    // It is what is listed and bought, with its head 0.7 of the shank thick in the model (ASME B18.2.1: 11/64 in).
    let run = common::run_good(&lag(""));
    assert!(run.quantities.iter().any(|q| q.kind == "lag screw"), "{:?}", run.quantities);
    let mesh = airlath::lattice::fastener_mesh(&made.design.fastening, &[(0.0, 0.0)], 6);
    let top = mesh.positions.iter().map(|p| p.z).fold(0.0, f64::max);
    near("head", top / 0.0254, 11.0 / 64.0, 0.02);
}

/// EN 1995-1-1 8.7.2 for a lag screw of 8 mm by 125 mm, root 5.6 mm: 75.2 mm of thread in C24 hold 0.52 8^-0.5 75.2^-0.1 350^0.8 = 12.945
/// N/mm2, 7787.5 N, times 1.1 over 1.3. f_head,k is the maker's; without it the head is told.
#[test]
fn lag_screws_have_an_answer_by_eurocode_five() {
    let nail = "kind = \"ring-shank nail\"\ndiameter = \"3.8 mm\"\nlength = \"100 mm\"\nhead = \"7.6 mm\"";
    let text = edited(
        EC5,
        &[
            (nail, "kind = \"lag screw\"\ndiameter = \"8 mm\"\nlength = \"125 mm\""),
            ("held = \"every course\"", "held = \"every course\"\nroot = \"5.6 mm\""),
        ],
    );
    let u = used(&text, "S-B04.L02");
    near("withdrawal", u.out / u.ratio, 12.944_67 * 8.0 * 75.2 * 1.1 / 1.3, 1e-4);
    let made = plan(&text);
    let ctx = made.context();
    let left_out = &ctx.strength().unwrap().basis.left_out;
    assert!(left_out.iter().any(|l| l.starts_with("head pull-through: ")), "{left_out:?}");
    for (what, limit, times) in [
        ("side", &made.design.limits.edge_distance, 4.0),
        ("batten", &made.design.limits.batten_edge, 4.0),
        ("end", &made.design.limits.end_distance, 10.0),
    ] {
        near(what, limit.metres() * 1000.0, times * 8.0, 1e-9);
    }
}

/// A number with its unit at the end of a text, in inches, pounds and pounds an inch.
fn number(text: &str) -> f64 {
    text.split_whitespace().next().and_then(|n| n.parse().ok()).unwrap_or_else(|| panic!("no number: {text}"))
}

/// What a page prints of one way of the deciding case.
#[derive(Default, Debug)]
struct Printed {
    even: Vec<(f64, f64, f64)>,
    points: Vec<(f64, f64)>,
    reactions: Vec<(String, f64, f64)>,
    together: (f64, f64),
    moment: (f64, f64),
    shear: (f64, f64),
}

fn printed(page: &str, way: &str) -> Printed {
    let mut of = Printed::default();
    let from = page.find(&format!("as the beam gets it, {way}")).unwrap_or_else(|| panic!("{way}: {page}"));
    for line in page[from..].lines().skip(1) {
        let Some(line) = line.strip_prefix("    ") else {
            if line.contains("reactions to it") { continue } else { break }
        };
        let tail = |key: &str| number(line.split(key).nth(1).unwrap_or_else(|| panic!("{key}: {line}")));
        if line.starts_with("x ") {
            of.even.push((tail("x "), tail("to "), tail(": ")));
        } else if line.starts_with("at x ") {
            of.points.push((tail("at x "), tail(": ")));
        } else if line.starts_with("reactions together") {
            of.together = (tail("reactions together "), tail("load together "));
        } else if line.starts_with("greatest moment") {
            of.moment = (tail("greatest moment "), tail(" at x "));
            of.shear = (tail("greatest shear "), number(line.rsplit(" at x ").next().unwrap()));
        } else {
            let name = line.split(' ').next().unwrap().to_owned();
            of.reactions.push((name, tail("at x "), tail(": ")));
        }
    }
    of
}

impl Printed {
    /// Moment at a place by statics from all that lies on one side of it, lbf in, and by how much the last printed digit of loads
    /// (0.001 lbf/in) and reactions (0.1 lbf) may move it.
    fn moment_at(&self, x: f64, left: bool) -> (f64, f64) {
        let side = |at: f64| if left { x - at } else { at - x };
        let even = |(a, b, q): &(f64, f64, f64)| {
            let (near, far) = if left { (x - b.min(x), x - a.min(x)) } else { (a.max(x) - x, b.max(x) - x) };
            (q * (far * far - near * near) / 2.0, 0.0005 * (far * far - near * near) / 2.0)
        };
        let forces = self.points.iter().map(|p| (p.0, p.1)).chain(self.reactions.iter().map(|r| (r.1, -r.2)));
        let point = |(at, force): (f64, f64)| (force * side(at).max(0.0), 0.05 * side(at).max(0.0));
        let all = self.even.iter().map(even).chain(forces.map(point));
        all.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    }

    /// What a page prints holds together: sums, the moment the same from both sides, the greatest one where it is said to be.
    fn judge(&self, what: &str) -> bool {
        let load: f64 =
            self.even.iter().map(|(a, b, q)| (b - a) * q).sum::<f64>() + self.points.iter().map(|p| p.1).sum::<f64>();
        let held: f64 = self.reactions.iter().map(|r| r.2).sum();
        let size = self.reactions.iter().map(|r| r.2.abs()).sum::<f64>().max(1.0);
        // Boards that weigh nearly nothing print nothing to judge by down the slope.
        if self.reactions.iter().all(|r| r.2 == 0.0) && self.together == (0.0, 0.0) {
            return false;
        }
        for (name, a, b) in
            [("load", load, self.together.1), ("reactions", held, self.together.0), ("both", load, held)]
        {
            assert!((a - b).abs() < 0.01 * size, "{what}: {name}: {a} and {b}: {self:#?}");
        }
        let end = self.even.iter().map(|e| e.1).chain(self.points.iter().map(|p| p.0)).fold(0.0, f64::max);
        let start = self.even.iter().map(|e| e.0).fold(f64::INFINITY, f64::min);
        let mut most = (0.0, 0.0);
        for k in 0..=4000 {
            let x = start + (end - start) * f64::from(k) / 4000.0;
            let (left, right) = (self.moment_at(x, true), self.moment_at(x, false));
            assert!((left.0 - right.0).abs() <= left.1 + right.1 + 0.01, "{what}: at {x}: {left:?} and {right:?}");
            let nearer = if left.1 < right.1 { left } else { right };
            if nearer.0.abs() > most.0 {
                most = (nearer.0.abs(), nearer.1);
            }
        }
        assert!((most.0 - self.moment.0).abs() < most.1 + 0.2, "{what}: greatest moment {most:?}: {self:#?}");
        let (left, right) = (self.moment_at(self.moment.1, true), self.moment_at(self.moment.1, false));
        let there = if left.1 < right.1 { left } else { right };
        assert!(
            (there.0.abs() - self.moment.0).abs() < there.1 + 0.2,
            "{what}: moment at its place {there:?}: {self:#?}"
        );
        assert!(most.0 > 4.0 * most.1, "{what}: the digits are too few to judge by: {most:?}");
        true
    }
}

/// Battens over five spans with snow and roof live load in parts.
fn in_parts() -> String {
    let calm = "[wind]\nlevel = \"service\"\n[[wind.zone]]\nname = \"3\"\nsuction = \"33.6 psf\"\n";
    edited(
        NDS,
        &[
            (calm, "[snow]\nroof = \"30 psf\"\n[live]\nroof = \"20 psf\"\n"),
            ("eave = \"49 1/2 in\"", "eave = \"121 1/2 in\""),
            ("roofing = \"0 psf\"", "roofing = \"3 psf\""),
            (", density = \"1 kg/m3\"", ""),
        ],
    )
}

/// The most that a landing of [`in_parts`] gets down the slope, lbf: of the 32 ways to lay all or half of the snow on each of five equal spans
/// (ASCE 7 7.5.1), by the three-moment equation; ends of 3/4 in have the load of their span. 3 psf of roofing, 28.52 lb/ft3 of
/// batten, 30 psf of snow in plan, courses 16 in apart, 6 on 12.
fn worst_in_parts(support: usize) -> f64 {
    let pitch = 0.5_f64.atan();
    let (inch, span, end) = (1.0 / 144.0, 24.0, 0.75);
    let dead = (3.0 * 16.0 * inch + 28.52 * 0.75 * 3.5 / 1728.0) * pitch.sin();
    let snow = 30.0 * pitch.cos() * 16.0 * inch * pitch.sin();
    let of = |way: usize| {
        let w = |k: usize| dead + snow * if way >> k & 1 == 1 { 1.0 } else { 0.5 };
        let mut m = [0.0; 6];
        (m[0], m[5]) = (-w(0) * end * end / 2.0, -w(4) * end * end / 2.0);
        for _ in 0..200 {
            for k in 1..5 {
                m[k] = (-(w(k - 1) + w(k)) * span * span / 4.0 - m[k - 1] - m[k + 1]) / 4.0;
            }
        }
        // From the span on either side, or from the end that hangs over.
        let from = |k: usize, other: usize| w(k) * span / 2.0 + (m[other] - m[support]) / span;
        let left = if support == 0 { w(0) * end } else { from(support - 1, support - 1) };
        let right = if support == 5 { w(4) * end } else { from(support, support + 1) };
        left + right
    };
    (0..32).map(of).fold(0.0, f64::max)
}

/// Loads, reactions and moments are those of the case that decides: everything that `explain` prints of it adds up, and what it
/// prints of a landing is what the check has.
#[test]
fn a_page_can_be_done_again() {
    let snow = in_parts();
    let clips = "[panels]\nwidth = \"16 in\"\nscrew_diameter = \"0.164 in\"\nscrew_length = \"3/4 in\"\nscrew_thread = \"3/4 in\"\n";
    let mut judged = 0;
    for (what, text) in [("snow", snow.clone()), ("wind", NDS.to_owned()), ("clips", NDS.to_owned() + clips)] {
        for name in ["S-B03.L01", "S-B03.L02", "S-B03.L03", "S-B05.L02"] {
            let (page, u) = (page(&text, name), used(&text, name));
            // ASCE 7 7.5.1: snow in parts is asked of beams over three supports and more, and takes more than snow all over wherever a span
            // relieves the support; wind is never in parts.
            assert_eq!(page.contains("loads in parts: full on"), what == "snow", "{what} {name}: {page}");
            if what == "snow" {
                let k = name.trim_start_matches(|c: char| c != 'L')[1..].parse::<usize>().unwrap() - 1;
                near(name, u.down / LBF, worst_in_parts(k), 2e-3);
            }
            for (way, force) in [("out of the slope", u.out), ("down the slope", u.down)] {
                let of = printed(&page, way);
                judged += usize::from(of.judge(&format!("{what} {name} {way}")));
                let own = of.reactions.iter().find(|r| r.0 == name).unwrap_or_else(|| panic!("{name}: {page}"));
                assert!((own.2 - force / LBF).abs() < 0.06, "{name} {way}: {own:?} and {}", force / LBF);
            }
            // The governing mode comes first, with its share and what is left.
            let governs = page.lines().position(|l| l.starts_with("Governs: ")).unwrap();
            let inputs = page.lines().position(|l| l == "Inputs").unwrap();
            assert!(
                governs < inputs && page.contains(&format!("Governs: {}, {:.2} of", u.mode.words(), u.ratio)),
                "{page}"
            );
            let left = ((1.0 - u.ratio) * 100.0).round();
            let margin = if left >= 0.0 { format!("{left:.0} % to spare") } else { format!("{:.0} % too much", -left) };
            assert!(page.contains(&margin), "{margin}: {page}");
            // Where the landing only bears and slides there is one mode.
            assert!(
                page.contains("Next combination: ") && page.contains("Next mode in it: ") == (u.out > 0.0),
                "{page}"
            );
            assert!(!page.contains("flange"), "sawn wood has none: {page}");
        }
        let board = page(&text, "S-B03.1");
        assert!(printed(&board, "out of the slope").judge(&format!("{what} board")));
        assert!(board.contains("Governs: ") && !board.contains("flange"), "{board}");
    }
    assert!(judged >= 16, "{judged}");
    // Turned round, what lies beside the first landing lies beside the last.
    let ends = |name: &str| printed(&page(&snow, name), "out of the slope").reactions.len();
    assert_eq!(ends("S-B03.L01"), ends("S-B03.L06"));
}

/// A clip's force is that of its stretches, and its screws' share is the check's.
#[test]
fn a_clip_is_explained() {
    let clips = "[panels]\nwidth = \"16 in\"\nscrew_diameter = \"0.164 in\"\nscrew_length = \"3/4 in\"\nscrew_thread = \"3/4 in\"\n";
    for more in ["", "clip_pitch = \"24 in\"\n"] {
        let text = NDS.to_owned() + clips + more;
        let made = plan(&text);
        let ctx = made.context();
        let computed = clip_overloaded::each_computed(&ctx, ctx.strength().unwrap());
        assert!(computed.len() > 5);
        for (on, clip, u) in computed {
            let name = on.lattice.clip_name(clip);
            let page = explain::explain(&ctx, &name).unwrap();
            let from = page.find("The combination that decides").unwrap_or_else(|| panic!("{page}"));
            let line = |l: &str| {
                let (place, rest) = l.trim().strip_prefix("x ")?.split_once(',')?;
                let (a, b) = place.split_once(" to ")?;
                (!rest.contains("not here"))
                    .then(|| (number(b) - number(a)) * number(rest.rsplit("= ").next().unwrap()))
            };
            let sum: f64 = page[from..].lines().filter_map(line).sum();
            assert!((sum - u.out / LBF).abs() < 0.05 + 0.01 * sum.abs(), "{name}: {sum} and {}: {page}", u.out / LBF);
            assert!(page.contains(&format!("{:.2} of what the screws hold: {}", u.ratio, u.mode.words())), "{page}");
            assert!(page.contains("Governs: ") && page.contains("One screw"), "{page}");
            // Its base is no batten, and the batten is its member.
            assert!(
                page.contains("[thickness of the clip's base;") && page.contains("gravity of the batten, which holds")
            );
            assert!(!page.contains("[thickness of the batten;") && !page.contains("gravity of the member"), "{page}");
            assert!(explain::names(&ctx).contains(&name));
        }
    }
}
