//! Keys of `[strength]`, `[wind]`, `[snow]`: what a maker states, temperature, risk category, enclosure, sizes that a roof cannot
//! have; and hand calculations done again from what `explain` prints.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

mod common;

use std::collections::BTreeMap;

use airlath::check::strength::path::{Landed, Mode, Use};
use airlath::check::strength::rules::Board;
use airlath::check::strength::{clip_overloaded, each_landing, explain};
use airlath::design::line_column;
use airlath::plan::Plan;

const LBF: f64 = 4.448_221_615_260_5;
const PSF: f64 = 47.880_258_98;
const PSI: f64 = 6_894.757_293_168_36;

/// The reference lattice of the hand calculations: 1x4 over strips of 3/8 in and tape, rafters 24 in and courses 16 in on centre,
/// one 10d nail a landing, next to no weight. INVENTED.
const NDS: &str = r#"
format = 1
name = "Keys of strength (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "49 1/2 in"
slope_length = "12 ft"
pitch = "6:12"
[[rafters]]
section = { nominal = "2x8" }
spacing = "24 in"
[membrane]
thickness = "1/32 in"
[lattice]
tape = { width = "2 in", thickness = "1/32 in" }
batten = { nominal = "1x4", spacing = "16 in", least_piece = "24 in", density = "1 kg/m3" }
[fastening]
diameter = "0.148 in"
length = "3 in"
per_landing = 1
[strength]
rules = "NDS"
combinations = "ASCE 7-10"
members = "SPF"
battens = "SPF"
grade = "no. 2"
moisture = "dry"
roofing = "0 psf"
held = "every course"
[wind]
level = "service"
[[wind.zone]]
name = "3"
suction = "33.6 psf"
"#;

/// Ring-shank nails by Eurocode 5, 58.5 mm of 100 in the rafter, 2 1/4 in of it ringed. INVENTED.
const EC5: &str = r#"
format = 1
name = "Ring-shank nails (invented)"
units = "millimetres"
[roof]
shape = "shed"
eave = "1480 mm"
slope_length = "3500 mm"
pitch = "30 deg"
[[rafters]]
section = { width = "80 mm", depth = "200 mm" }
spacing = "700 mm"
first = "40 mm"
[membrane]
thickness = "0.5 mm"
[lattice]
strip = { width = "50 mm", height = "10 mm" }
tape = { width = "60 mm", thickness = "1 mm" }
batten = { width = "60 mm", thickness = "30 mm", spacing = "400 mm", least_piece = "700 mm", density = "1 kg/m3" }
[fastening]
kind = "ring-shank nail"
diameter = "3.8 mm"
length = "100 mm"
head = "7.6 mm"
per_landing = 1
[strength]
rules = "EC5"
combinations = "EN 1991"
members = "C24"
battens = "C24"
moisture = "dry"
roofing = "0 kN/m2"
held = "every course"
[wind]
level = "service"
[[wind.zone]]
name = "F"
suction = "0.5 kPa"
"#;

fn plan(text: &str) -> Plan {
    Plan::from_text("keys.toml", text).unwrap_or_else(|f| panic!("{}\n{text}", f.render(false)))
}

fn edited(text: &str, changes: &[(&str, &str)]) -> String {
    changes.iter().fold(text.to_owned(), |t, (from, to)| common::edited(&t, from, to))
}

fn near(what: &str, found: f64, asked: f64, within: f64) {
    assert!((found - asked).abs() <= within * asked.abs(), "{what}: {found}, asked {asked}");
}

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
        ("height = \"14 ft 3 in\"", "height = \"6 ft\"", "wind.height", "its eave is 9 ft 0 in above the ground"),
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

/// Loads, reactions and moments are those of the case that decides: everything that `explain` prints of it adds up, and what it
/// prints of a landing is what the check has.
#[test]
fn a_page_can_be_done_again() {
    let snow = in_parts();
    let clips = "[panels]\nwidth = \"16 in\"\nscrew_diameter = \"0.164 in\"\nscrew_length = \"3/4 in\"\nscrew_thread = \"3/4 in\"\n";
    let (mut patterned, mut judged) = (0, 0);
    for (what, text) in [("snow", snow.clone()), ("wind", NDS.to_owned()), ("clips", NDS.to_owned() + clips)] {
        for name in ["S-B03.L01", "S-B03.L02", "S-B03.L03", "S-B05.L02"] {
            let (page, u) = (page(&text, name), used(&text, name));
            patterned += usize::from(page.contains("loads in parts: full on"));
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
    assert!(patterned == 4 && judged >= 16, "{patterned} {judged}");
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
            assert!(explain::names(&ctx).contains(&name));
        }
    }
}
