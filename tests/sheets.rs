//! Sheets: measures, scales, cuts, hidden lines and texts, as data and in the files.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use airlath::check;
use airlath::plan::Plan;
use airlath::quantity::Length;
use airlath::scene::{Building, Detail, PartKind, Scene, SettingOut, marks, setting_out};
use airlath::sheet::draw::{HAIR, Item, LEAST_TEXT, text_box};
use airlath::sheet::{self, Paper, Parts, Set, Sheet, Subject};
use airlath::solid::{Mesh, Plane, Point3, Vector3};
use airlath::write::{pdf, png, report, svg};

const EXAMPLES: [&str; 4] = [
    include_str!("../examples/gable.toml"),
    include_str!("../examples/gable-mended.toml"),
    include_str!("../examples/shed.toml"),
    include_str!("../examples/hip.toml"),
];

fn with<T>(text: &str, paper: Paper, look: impl FnOnce(&Set<'_>) -> T) -> T {
    let plan = Plan::from_text("t.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)));
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let slopes = setting_out(&ctx);
    look(&Set { scene: &scene, slopes: &slopes, lists: &[], paper })
}

fn sheets(text: &str, paper: Paper) -> Vec<Sheet> {
    with(text, paper, |set| sheet::sheets(set).unwrap())
}

/// A shed roof with a 60 ft eave and a line every `spacing`.
fn long_shed(spacing: &str, units: &str) -> String {
    format!(
        r#"
format = 1
name = "Long shed (invented)"
units = "{units}"
[roof]
shape = "shed"
eave = "60 ft"
slope_length = "20 ft"
pitch = "4:12"
[[rafters]]
section = {{ nominal = "2x8" }}
spacing = "{spacing}"
last = "59 ft 11 1/4 in"
close = true
[lattice]
batten = {{ nominal = "1x4", spacing = "15.3 in" }}
[fastening]
diameter = "0.148 in"
length = "3 in"
"#
    )
}

fn texts(sheet: &Sheet) -> Vec<&str> {
    let text = |i: &'_ Item| match i {
        Item::Text { .. } => true,
        Item::Path { .. } => false,
    };
    sheet
        .items
        .iter()
        .filter(|i| text(i))
        .map(|i| match i {
            Item::Text { text, .. } => text.as_str(),
            Item::Path { .. } => "",
        })
        .collect()
}

/// Every measure of a line on plans and rods, by the line's name.
fn measures<'s>(all: &'s [Sheet], name: &str) -> Vec<&'s str> {
    let start = format!("{name}  ");
    let of = |s: &'s Sheet| texts(s).into_iter().filter_map(|t| t.strip_prefix(&start)).collect::<Vec<_>>();
    all.iter().flat_map(of).collect()
}

/// The true places: a field's own rule, written down here once more.
#[test]
fn running_measures_stay_within_a_thirty_second_along_sixty_feet() {
    // Spacings that no sixteenth and no millimetre divides.
    for (spacing, inches, units, step) in
        [("15.83 in", 15.83, "inches", 1.0 / 32.0), ("401.37 mm", 401.37 / 25.4, "millimetres", 0.5 / 25.4)]
    {
        let all = sheets(&long_shed(spacing, units), Paper::Letter);
        with(&long_shed(spacing, units), Paper::Letter, |set| {
            let slope = &set.slopes[0];
            assert!(slope.lines.len() > 40);
            let mut seen = 0;
            for (k, l) in slope.lines.iter().enumerate().take(slope.lines.len() - 1) {
                let (first, true_at) = (slope.lines[0].x[0] / 0.0254, k as f64 * inches);
                for text in measures(&all, &l.name) {
                    let read: Length = text.parse().unwrap_or_else(|e| panic!("{text}: {e}"));
                    let off = (read.metres() / 0.0254 - first - true_at).abs();
                    assert!(off <= step + 1e-9, "{}: {text} is {off} in off", l.name);
                    seen += 1;
                }
            }
            assert!(seen > slope.lines.len(), "{seen} measures seen");
            for (k, c) in slope.courses.iter().enumerate().take(slope.courses.len() - 2) {
                let true_at = slope.courses[0].y / 0.0254 + k as f64 * 15.3;
                for text in measures(&all, &c.name) {
                    let read: Length = text.parse().unwrap();
                    assert!((read.metres() / 0.0254 - true_at).abs() <= step + 1e-9, "{}: {text}", c.name);
                }
            }
        });
    }
}

#[test]
fn a_long_slope_is_split_at_match_lines_between_marks_and_every_line_is_on_some_part() {
    let text = long_shed("24 in", "inches");
    let all = sheets(&text, Paper::Letter);
    let plans: Vec<&Sheet> = all.iter().filter(|s| s.subject == Subject::Plan).collect();
    assert!(plans.len() > 1, "{}", plans.len());
    with(&text, Paper::Letter, |set| {
        for l in &set.slopes[0].lines {
            let on = plans.iter().filter(|p| texts(p).iter().any(|t| t.starts_with(&format!("{}  ", l.name)))).count();
            assert_eq!(on, 1, "{}", l.name);
        }
    });
    for p in &plans {
        assert!(texts(p).iter().any(|t| t.contains("match line")), "{}", p.name);
        let scale = p.views[0].scale.unwrap();
        assert!(scale.factor <= 50.0, "{}", scale.name);
    }
    // On larger paper one sheet is enough, or the scale is larger.
    let larger = sheets(&text, Paper::A3);
    assert!(larger.iter().filter(|s| s.subject == Subject::Plan).count() < plans.len());
}

#[test]
fn everything_stays_on_the_paper_and_holds_on_a_site_printer() {
    for text in EXAMPLES {
        for paper in [Paper::Letter, Paper::A4, Paper::Tabloid, Paper::A3] {
            for sheet in sheets(text, paper) {
                let (w, h) = sheet.size;
                assert_eq!((w, h), paper.size());
                for item in &sheet.items {
                    match item {
                        Item::Path { rings, pen, .. } => {
                            assert!(pen.is_none_or(|p| p.weight >= HAIR), "{}: {pen:?}", sheet.name);
                            for p in rings.iter().flatten() {
                                let inside = (0.0..=w).contains(&p.x) && (0.0..=h).contains(&p.y);
                                assert!(inside, "{}: {p:?}", sheet.name);
                            }
                        }
                        Item::Text { at, text, set, anchor, angle } => {
                            assert!(set.size >= LEAST_TEXT, "{}: {text}", sheet.name);
                            let r = text_box(*at, text, *set, *anchor, *angle);
                            let inside = r.x0 >= 4.0 && r.y0 >= 4.0 && r.x1 <= w - 4.0 && r.y1 <= h - 4.0;
                            assert!(inside, "{} {paper:?}: {text} at {r:?}", sheet.name);
                        }
                    }
                }
            }
        }
    }
}

/// Texts on plans, marks and lists: none may lie on another. (Turned texts of details are compared by their boxes.)
#[test]
fn no_text_lies_on_another() {
    for text in EXAMPLES {
        for paper in [Paper::Letter, Paper::A4, Paper::A3] {
            for sheet in sheets(text, paper) {
                let boxes: Vec<_> = sheet
                    .items
                    .iter()
                    .filter_map(|i| match i {
                        Item::Text { at, text, set, anchor, angle } if *angle == 0.0 || *angle == 90.0 => {
                            Some((text_box(*at, text, *set, *anchor, *angle).inset(0.25), text))
                        }
                        _ => None,
                    })
                    .collect();
                for (k, (a, t)) in boxes.iter().enumerate() {
                    for (b, u) in boxes.iter().skip(k + 1) {
                        assert!(!a.meets(b), "{} {paper:?}: \"{t}\" and \"{u}\"", sheet.name);
                    }
                }
            }
        }
    }
}

#[test]
fn every_sheet_says_what_was_checked_and_that_it_replaces_nobody() {
    for text in EXAMPLES {
        let all = sheets(text, Paper::Letter);
        let count = all.len();
        for (k, sheet) in all.iter().enumerate() {
            let words = texts(sheet).join(" ");
            for must in [
                "Checked: backing:",
                "strength:",
                "air:",
                "replaces no licensed designer",
                "Falls from roofs kill",
                "Plan fingerprint",
            ] {
                assert!(words.contains(must), "{}: {must}", sheet.name);
            }
            assert!(words.contains(&format!("Sheet {} of {count}", k + 1)), "{}", sheet.name);
        }
    }
}

#[test]
fn every_piece_and_line_has_its_name_on_paper_and_every_flag_its_number() {
    for text in EXAMPLES {
        with(text, Paper::Letter, |set| {
            let all = sheet::sheets(set).unwrap();
            for slope in set.slopes {
                let of: Vec<&Sheet> = all.iter().filter(|s| s.slope.as_deref() == Some(&slope.slope)).collect();
                let words: String = of.iter().flat_map(|s| texts(s)).collect::<Vec<_>>().join(" ");
                for p in slope.courses.iter().flat_map(|c| &c.pieces) {
                    assert!(words.contains(&p.name), "{}", p.name);
                }
                for l in &slope.lines {
                    assert!(words.contains(&l.name), "{}", l.name);
                }
            }
            let listed = sheet::table::findings(set.scene);
            let numbers: usize = listed
                .rows
                .iter()
                .flat_map(|r| r[0].split(", "))
                .map(|n| match n.split_once('-') {
                    Some((a, b)) => b.parse::<usize>().unwrap() - a.parse::<usize>().unwrap() + 1,
                    None => 1,
                })
                .sum();
            assert_eq!(numbers, set.scene.header.findings.len());
        });
    }
}

#[test]
fn a_crooked_rafter_shows_found_beside_drawn() {
    let text = long_shed("24 in", "inches")
        + r#"
[[found.member]]
name = "S-R05"
offsets = [{ at = "0 in", off = "1/2 in" }, { at = "20 ft", off = "1/2 in" }]
[[found.member]]
name = "S-R07"
offsets = [{ at = "0 in", off = "0 in" }, { at = "10 ft", off = "3/4 in" }, { at = "20 ft", off = "0 in" }]
"#;
    let all = sheets(&text, Paper::Letter);
    let words: Vec<&str> = all.iter().flat_map(texts).map(str::trim).collect();
    // Rafter 5 stands at 4 x 24 in, from the middle of the first one at 3/4 in; found half an inch to the right.
    assert!(measures(&all, "S-L05").contains(&"8 ft 1 1/4 in"), "{:?}", measures(&all, "S-L05"));
    assert!(words.contains(&"drawn 8 ft 3/4 in"));
    assert!(words.contains(&"at 10 ft 0 in bends at 12 ft 1 1/2 in"));
    assert!(measures(&all, "S-L07").iter().any(|m| m.ends_with(", slants")), "{:?}", measures(&all, "S-L07"));
    let marks = all.iter().filter(|s| s.subject == Subject::Measures).flat_map(texts).collect::<Vec<_>>().join(" ");
    assert!(marks.contains("at 10 ft 0 in: 12 ft 1 1/2 in (drawn 12 ft 3/4 in)"), "{marks}");
}

/// Tails from the eave to 36 in beside rafters from 16 in up: the line stands over the tail, over both, over the rafter.
#[test]
fn a_line_that_jogs_says_where_and_to_what_on_the_plan_and_in_the_measures() {
    let all = sheets(EXAMPLES[1], Paper::Letter);
    let plan = all.iter().find(|s| s.name == "S-plan").unwrap();
    let words: Vec<&str> = texts(plan).into_iter().map(str::trim).collect();
    // Rafter 1 stands at 13 1/4 in, its tail beside it at 15 1/4 in: 2 in to its right, as both strips are, 1 1/2 in wide. Half an
    // inch of nothing is between them: the line goes on with the tail's strip. From 36 in up the rafter is alone.
    for wanted in ["S-L02  1 ft 3 1/4 in", "at 3 ft 0 in jogs to 1 ft 1 1/4 in", "S-L02  1 ft 1 1/4 in"] {
        assert!(words.contains(&wanted), "{wanted} is not in {words:?}");
    }
    assert!(
        words.contains(&"at 1 ft 4 in: 2 strips") && !words.iter().any(|w| w.contains("jogs to 1 ft 2")),
        "{words:?}"
    );
    assert!(words.iter().any(|w| w.starts_with("2 strips: ")) && words.contains(&"line jogs here"));
    // A line that slants is told from one that jogs by a word and by how it is drawn.
    let drawn = |name: &str| {
        let of = |i: &&Item| matches!(i, Item::Path { class, part: Some(n), .. } if *class == name && n == "S-L02");
        plan.items.iter().filter(of).count()
    };
    assert_eq!((drawn("jog"), drawn("slant")), (1, 0));
    assert!(!measures(&all, "S-L02").iter().any(|m| m.contains("slants")));
    let rows = with(EXAMPLES[1], Paper::Letter, |set| sheet::measures::line_list(set, &set.slopes[0]).rows);
    assert_eq!(rows[1][3], "jogs, strips side by side: see below", "{:?}", rows[1]);
}

/// What a reader of the sheets of measures has for one line: stretches of y and x.
type Chalked = Vec<([f64; 2], [f64; 2])>;

/// The lines of a slope as its sheets print them, read cell by cell from their texts.
fn chalked(all: &[Sheet], slope: &SettingOut) -> Vec<Chalked> {
    let of = |s: &&Sheet| s.subject == Subject::Measures && s.slope.as_deref() == Some(&slope.slope);
    let words: Vec<&str> = all.iter().filter(of).flat_map(texts).collect();
    let read = |at: usize| words.get(at).and_then(|t| t.parse::<Length>().ok()).map(Length::metres);
    let lines = slope.lines.iter().map(|line| {
        let mut found = Chalked::new();
        let mut ends = Chalked::new();
        for (k, _) in words.iter().enumerate().filter(|(_, w)| **w == line.name) {
            match (read(k + 1), read(k + 2), read(k + 3), read(k + 4)) {
                (Some(a), Some(b), Some(c), Some(d)) => found.push(([a, b], [c, d])),
                // A line that runs straight has its two ends alone.
                (Some(a), Some(b), ..) => ends.push((line.y, [a, b])),
                _ => {}
            }
        }
        if found.is_empty() { ends } else { found }
    });
    lines.collect()
}

/// Whoever marks by the printed numbers alone hits every landing of every example by half of the last printed step: along
/// its line, or by a measure of its own.
#[test]
fn every_landing_lies_on_a_printed_line_or_has_a_printed_measure() {
    let (mut by_line, mut by_own) = (0, 0);
    for text in EXAMPLES {
        let all = sheets(text, Paper::Letter);
        let plan = Plan::from_text("t.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        let half = match plan.design.units {
            airlath::quantity::Units::Inches => 0.0254 / 32.0,
            airlath::quantity::Units::Millimetres => 0.0005,
        } + 1e-6;
        with(text, Paper::Letter, |set| {
            for (slope, on) in set.slopes.iter().zip(&plan.lattice.slopes) {
                let lines = chalked(&all, slope);
                let of = |s: &&Sheet| s.subject == Subject::Measures && s.slope.as_deref() == Some(&slope.slope);
                let words = all.iter().filter(of).flat_map(texts).collect::<Vec<_>>().join(" ");
                for landing in &on.landings {
                    let name = on.landing_name(landing, &plan.found);
                    let own = words.split_once(&format!("{name} at ")).map(|(_, rest)| {
                        let length: String = rest.split_inclusive(" in").take(1).collect();
                        let length = if length.contains("mm") {
                            format!("{}mm", rest.split("mm").next().unwrap())
                        } else {
                            length
                        };
                        length.parse::<Length>().unwrap_or_else(|e| panic!("{name}: {length}: {e}")).metres()
                    });
                    if let Some(own) = own {
                        assert!((own - landing.x).abs() <= half, "{name}: {own} {}", landing.x);
                        by_own += 1;
                        continue;
                    }
                    let airlath::lattice::On::Line(line) = landing.on else { panic!("{name} has no measure") };
                    let stretches = &lines[line as usize];
                    let past = |y: &[f64; 2]| (y[0] - landing.y).max(landing.y - y[1]).max(0.0);
                    let nearest = stretches.iter().min_by(|a, b| past(&a.0).total_cmp(&past(&b.0)));
                    let Some((y, x)) = nearest else { panic!("{name}: its line is on no sheet of measures") };
                    let at = x[0] + (x[1] - x[0]) * (landing.y - y[0]) / (y[1] - y[0]);
                    assert!((at - landing.x).abs() <= half, "{name}: {at} {}", landing.x);
                    by_line += 1;
                }
            }
        });
    }
    assert!(by_line > 500 && by_own > 100, "{by_line} {by_own}");
}

/// A rafter at 144 3/4 in, its tail at 146 1/4 in and the trimmer of a skylight at 149 1/4 in share a line: no rod, plan or table
/// marks the middle of the gap before the trimmer. The same on the skylight's right: 190 3/4 in, then 192 3/4 in and 194 1/4 in.
#[test]
fn members_apart_on_one_line_have_marks_of_their_own() {
    let text = r#"format = 1
name = "Skylight barn (invented)"
units = "inches"
[roof]
shape = "gable"
eave = "34 ft"
width = "26 ft"
pitch = "7:12"
[[rafters]]
section = { nominal = "2x10" }
spacing = "24 in"
[[tails]]
section = { nominal = "2x6" }
spacing = "24 in"
first = "2 1/4 in"
high = "5 ft"
[[opening]]
slope = "S"
name = "skylight"
at = ["150 in", "6 ft"]
size = ["40 in", "46 in"]
[[trim]]
opening = "skylight"
section = { nominal = "2x10" }
[lattice]
strip = { width = "1 1/2 in" }
batten = { nominal = "1x4", spacing = "16 in" }
[fastening]
diameter = "0.131 in"
length = "3 1/4 in"
"#;
    let all = sheets(text, Paper::Letter);
    let rod: Vec<&Sheet> = all.iter().filter(|s| s.name.starts_with("S-measures")).collect();
    for (line, left, right, above) in [
        ("S-L07", "12 ft 1 1/2 in", "12 ft 5 1/4 in", "12 ft 3/4 in"),
        ("S-L09", "15 ft 10 3/4 in", "16 ft 1 1/2 in", "15 ft 10 3/4 in"),
    ] {
        let texts = |of: &[&Sheet]| -> Vec<String> {
            let start = format!("{line}  ");
            of.iter().flat_map(|s| texts(s)).filter_map(|t| t.strip_prefix(&start)).map(str::to_owned).collect()
        };
        assert_eq!(texts(&rod), [left, right]);
        // What is drawn stands where the text says.
        let view = rod[0].views.iter().find(|v| v.name.starts_with("rod of lines")).unwrap();
        let ticks: Vec<f64> = rod[0]
            .items
            .iter()
            .filter_map(|i| match i {
                Item::Path { rings, class: "measure", part: Some(n), .. } if n == line => Some(rings[0][0].x),
                _ => None,
            })
            .map(|x| (x - view.rows[0][3]) / view.rows[0][0])
            .collect();
        assert_eq!(ticks.len(), 2, "{line}");
        for (tick, words) in ticks.iter().zip([left, right]) {
            assert!((tick - words.parse::<Length>().unwrap().metres()).abs() < 1e-6, "{line}: {tick} {words}");
        }
        let everywhere: Vec<&Sheet> = all.iter().collect();
        assert!(
            texts(&everywhere).iter().all(|t| [left, right, above].contains(&t.as_str())),
            "{:?}",
            texts(&everywhere)
        );
    }
    // No stretch of any line of any design has its middle further from a strip's than half of the widest strip.
    let mut apart = 0;
    for text in EXAMPLES.iter().copied().chain([text]) {
        let strip = Plan::from_text("t.toml", text).unwrap().design.lattice.strip;
        let half = strip.wide.as_ref().map_or(0.0, |w| w.metres()).max(strip.width.metres()) / 2.0;
        with(text, Paper::Letter, |set| {
            for s in set.slopes.iter().flat_map(|s| &s.lines).flat_map(|l| &l.stretches) {
                let on_strip = |k: usize| s.strips.iter().any(|m| (m[k] - s.x[k]).abs() <= half + 0.001);
                assert!([0, 1].into_iter().all(on_strip), "{s:?}");
                apart += s.apart.len();
            }
        });
    }
    assert!(apart > 0);
}

/// Where pieces lap, the second row lies a board higher or lower: its own height is printed.
#[test]
fn lapped_pieces_have_a_height_of_their_own() {
    // Boards of 98 mm, the first row's middle at 49 mm: the second row's is at 147 mm.
    let rows = with(EXAMPLES[2], Paper::Letter, |set| sheet::measures::course_list(set, &set.slopes[0]).rows);
    assert_eq!(rows[0][4], "0 mm to 4373 mm; 4073 mm to 6000 mm, its middle at 147 mm", "{:?}", rows[0]);
    let plain = with(EXAMPLES[1], Paper::Letter, |set| sheet::measures::course_list(set, &set.slopes[0]).rows);
    assert!(plain.iter().all(|r| !r[4].contains("middle")), "{plain:?}");
}

/// Every jog of every line of every example stands on a plan, with its height and the measure above it.
#[test]
fn every_jog_is_written_out_on_a_plan() {
    let mut jogs = 0;
    for text in EXAMPLES {
        let all = sheets(text, Paper::Letter);
        with(text, Paper::Letter, |set| {
            let units = set.scene.units;
            for slope in set.slopes {
                let plans =
                    all.iter().filter(|s| s.subject == Subject::Plan && s.slope.as_deref() == Some(&slope.slope));
                let words: Vec<&str> = plans.flat_map(texts).map(str::trim).collect();
                for turn in slope.lines.iter().flat_map(|l| l.turns(units)).filter(|t| t.jogs) {
                    let show = |v: f64| Length::from_metres(v).show(units);
                    let wanted = format!("at {} jogs to {}", show(turn.y), show(turn.to));
                    assert!(words.contains(&wanted.as_str()), "{wanted}");
                    jogs += 1;
                }
            }
        });
    }
    assert!(jogs > 50, "{jogs}");
}

/// A dimension line over a part of a long slope carries the numbers of its own ends: as long as it is drawn.
#[test]
fn dimension_lines_of_parts_are_as_long_as_they_say() {
    let mut seen = 0;
    for text in [long_shed("24 in", "inches"), EXAMPLES[3].to_owned()] {
        for plan in sheets(&text, Paper::Letter).iter().filter(|s| s.subject == Subject::Plan) {
            let scale = plan.views[0].scale.unwrap();
            for words in texts(plan) {
                let Some((part, _)) = words.split_once(" along the eave") else { continue };
                let length = match part.split_once(" of ") {
                    Some((part, _)) => {
                        let (a, b) = part.split_once(" to ").unwrap();
                        b.parse::<Length>().unwrap().metres() - a.parse::<Length>().unwrap().metres()
                    }
                    None => part.parse::<Length>().unwrap().metres(),
                };
                let drawn = plan.items.iter().any(|i| match i {
                    Item::Path { rings, class: "dimension", .. } => rings.iter().any(|r| {
                        r.len() == 2
                            && (scale.paper(length) - (r[1].x - r[0].x).abs()).abs() < scale.paper(0.0254 / 16.0)
                    }),
                    _ => false,
                });
                assert!(drawn, "{}: no line is as long as \"{words}\"", plan.name);
                seen += 1;
            }
        }
    }
    assert!(seen >= 6, "{seen}");
}

/// A size that has no room in its opening stands beside the drawing, whole.
#[test]
fn sizes_of_openings_are_never_cut_short() {
    for (size, shown) in
        [("[\"44 in\", \"47 in\"]", "3 ft 8 in x 3 ft 11 in"), ("[\"9 in\", \"14 in\"]", "9 in x 1 ft 2 in")]
    {
        // The size as found is the one on paper.
        let text = EXAMPLES[0].replace("size = [\"44 in\", \"47 in\"]", &format!("size = {size}"));
        assert!(text.contains(size));
        let all = sheets(&text, Paper::Letter);
        let plans = all.iter().filter(|s| s.subject == Subject::Plan && s.slope.as_deref() == Some("S"));
        let words = plans.flat_map(texts).collect::<Vec<_>>().join(" ");
        assert!(words.contains(shown), "{shown} is not in {words}");
        assert!(!words.contains('\u{2026}'), "{words}");
    }
}

/// In the crossing's detail both sides of the shank carry a number: a rafter of 1 1/2 in, the fastener in its middle.
#[test]
fn every_dimension_line_of_a_crossing_has_its_number() {
    let all = sheets(EXAMPLES[3], Paper::Letter);
    let details: Vec<&Sheet> = all.iter().filter(|s| s.name.ends_with("-details")).collect();
    assert_eq!(details.len(), 4);
    for d in details {
        let numbers = texts(d).iter().filter(|t| **t == "3/4 in").count();
        assert_eq!(numbers, 2, "{}: {:?}", d.name, texts(d));
    }
}

/// Plan, measures and cut list give a piece one length: its solid's, as `tests/lists.rs` measures it.
#[test]
fn a_piece_has_one_length_wherever_it_stands() {
    let mut slanted = 0;
    for text in EXAMPLES {
        let plan = Plan::from_text("t.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)));
        let all = sheets(text, Paper::Letter);
        with(text, Paper::Letter, |set| {
            for ((slope, on), frame) in set.slopes.iter().zip(&plan.lattice.slopes).zip(&plan.found.slopes) {
                let listed: String =
                    sheet::measures::course_list(set, slope).rows.iter().map(|r| format!("{};", r[3])).collect();
                for piece in &on.pieces {
                    let length = piece.saw_lengths(&plan.design, &frame.outline).middle;
                    let length = Length::from_metres(length).show(plan.design.units);
                    assert!(listed.contains(&format!("{} {length};", piece.name)), "{} {length}", piece.name);
                    for shown in measures(&all, &piece.name) {
                        assert_eq!(shown, length, "{}", piece.name);
                    }
                    let on_membrane = Length::from_metres(piece.x.1 - piece.x.0).show(plan.design.units);
                    slanted += usize::from(length != on_membrane);
                }
            }
        });
    }
    // Where ends are cut along a hip the membrane has another length than the strips.
    assert!(slanted > 20, "{slanted}");
}

// --- cuts ----------------------------------------------------------------------------------------------------------

fn area(ring: &[Point3], normal: &Vector3) -> f64 {
    let o = ring[0];
    ring.windows(2).map(|w| (w[0] - o).cross(&(w[1] - o)).dot(normal)).sum::<f64>() / 2.0
}

/// Cavalieri: the areas of many parallel cuts, summed up, are the volume of the solid.
#[test]
fn areas_of_cuts_sum_to_the_volume() {
    for text in EXAMPLES {
        with(text, Paper::Letter, |set| {
            let parts = Parts::of(set.scene, &set.slopes[0].slope).unwrap();
            let mut looked_at = 0;
            for solid in parts.list.iter().filter(|s| !matches!(s.kind, PartKind::Fasteners)) {
                if looked_at % 7 == 0 {
                    let (low, high) = solid.mesh.bounds().unwrap();
                    let n = 400;
                    let step = (high.y - low.y) / f64::from(n);
                    let sum: f64 = (0..n)
                        .map(|k| {
                            let y = low.y + (f64::from(k) + 0.5) * step;
                            let plane = Plane::through(Point3::new(0.0, y, 0.0), Vector3::y());
                            let rings = sheet::section::cut_rings(&solid.mesh, &plane);
                            rings.iter().map(|r| area(r, &Vector3::y())).sum::<f64>().abs() * step
                        })
                        .sum();
                    let volume = solid.mesh.volume();
                    assert!((sum - volume).abs() < 0.01 * volume, "{}: {sum} {volume}", solid.name);
                }
                looked_at += 1;
            }
            assert!(looked_at > 50);
        });
    }
}

/// The embedment that a cut shows is the one that the checks found by asking the solids.
#[test]
fn embedment_in_the_cut_is_that_of_the_landing() {
    for text in [EXAMPLES[1], EXAMPLES[2], EXAMPLES[3]] {
        with(text, Paper::Letter, |set| {
            let slope = &set.slopes[0];
            let parts = Parts::of(set.scene, &slope.slope).unwrap();
            let mut compared = 0;
            set.scene
                .source
                .walk_landings(&mut |l| {
                    if l.slope != slope.slope
                        || !l.backed
                        || !slope.lines.iter().any(|x| x.name == l.on)
                        || compared > 40
                    {
                        return Ok(());
                    }
                    for f in &l.fasteners {
                        let head = parts.pose.inverse() * Point3::from(f.head);
                        let plane = Plane::through(head, Vector3::y());
                        let near: Vec<_> = parts
                            .list
                            .iter()
                            .filter(|s| !matches!(s.kind, PartKind::Fasteners) || s.name == l.name)
                            .map(|s| (s, sheet::section::cut_rings(&s.mesh, &plane)))
                            .collect();
                        let cuts = near.iter().map(|(s, r)| (*s, r.as_slice()));
                        let Some(m) = sheet::section::crossing_measures(head.x, cuts) else {
                            panic!("{}: the cut shows no fastener in a member", f.name)
                        };
                        assert!(
                            (m.member - m.tip - f.embedment).abs() < 1e-5,
                            "{}: {} {}",
                            f.name,
                            m.member - m.tip,
                            f.embedment
                        );
                        assert!((m.head - head.z).abs() < 1e-9);
                        compared += 1;
                    }
                    Ok(())
                })
                .unwrap();
            assert!(compared > 20, "{compared}");
        });
    }
}

// --- hidden lines --------------------------------------------------------------------------------------------------

/// Whether any triangle lies before a point, by asking every one of them.
fn hidden(meshes: &[&Mesh], p: &Point3, towards: &Vector3) -> bool {
    meshes.iter().any(|m| {
        m.triangles.iter().any(|t| {
            let [a, b, c] = m.corners(*t).unwrap();
            // Moeller and Trumbore's test of a ray with a triangle (Journal of Graphics Tools 2, 1997).
            let (e1, e2) = (b - a, c - a);
            let h = towards.cross(&e2);
            let det = e1.dot(&h);
            if det.abs() < 1e-14 {
                return false;
            }
            let s = p - a;
            let u = s.dot(&h) / det;
            let q = s.cross(&e1);
            let v = towards.dot(&q) / det;
            u >= 0.0 && v >= 0.0 && u + v <= 1.0 && e2.dot(&q) / det > 1e-4
        })
    })
}

#[test]
fn a_line_is_drawn_where_nothing_lies_before_it_and_nowhere_else() {
    for text in [EXAMPLES[0], EXAMPLES[3]] {
        with(text, Paper::Letter, |set| {
            let slope = &set.slopes[0];
            let parts = Parts::of(set.scene, &slope.slope).unwrap();
            let eye = sheet::isometric::Eye::isometric(slope.pitch);
            let seen = sheet::isometric::visible(&parts, &eye);
            let meshes: Vec<&Mesh> = seen.iter().map(|(s, _)| &s.mesh).collect();
            let (mut drawn, mut left_out) = (0, 0);
            for (solid, lines) in seen.iter().step_by(5) {
                for [a, b] in lines.iter().filter(|[a, b]| (b - a).norm() > 0.02) {
                    let m = a + (b - a) * 0.5;
                    // A hair towards the eye and beside, so that the line's own faces do not count.
                    assert!(
                        !hidden(&meshes, &(m + eye.towards * 1e-4), &eye.towards),
                        "{} at {m} is drawn",
                        solid.name
                    );
                    drawn += 1;
                }
                // Corners that no drawn line comes near (a millimetre: nothing on paper) must be hidden, or lie behind their
                // own solid.
                for p in &solid.mesh.positions {
                    let touched = lines.iter().any(|[a, b]| (a - p).norm() < 1e-3 || (b - p).norm() < 1e-3);
                    if !touched {
                        assert!(
                            hidden(&meshes, &(p + eye.towards * 1e-6), &eye.towards)
                                || lines.iter().any(|[a, b]| {
                                    // On paper a line of its own lies there.
                                    let flat = |p: &Point3| (p.coords.dot(&eye.right), p.coords.dot(&eye.up));
                                    let (a, b, p) = (flat(a), flat(b), flat(p));
                                    let (d, t) = ((b.0 - a.0, b.1 - a.1), (p.0 - a.0, p.1 - a.1));
                                    let along = (t.0 * d.0 + t.1 * d.1) / (d.0 * d.0 + d.1 * d.1).max(1e-18);
                                    let near = (t.0 - d.0 * along.clamp(0.0, 1.0), t.1 - d.1 * along.clamp(0.0, 1.0));
                                    near.0.hypot(near.1) < 1e-3
                                }),
                            "{} at {p} is left out",
                            solid.name
                        );
                        left_out += 1;
                    }
                }
            }
            assert!(drawn > 100 && left_out > 100, "{drawn} {left_out}");
        });
    }
}

// --- files ---------------------------------------------------------------------------------------------------------

fn written(text: &str) -> (Vec<u8>, Vec<u8>, Vec<u8>, String) {
    with(text, Paper::Letter, |set| {
        let all = sheet::sheets(set).unwrap();
        let mut one = Vec::new();
        all.iter().for_each(|s| svg::write(s, &mut one).unwrap());
        let mut two = Vec::new();
        pdf::write(set.scene, &all, &mut two).unwrap();
        let mut three = Vec::new();
        png::write(all.iter().find(|s| s.subject == Subject::Isometric).unwrap(), &mut three).unwrap();
        let mut page = Vec::new();
        let pictures = sheet::pictures(set).unwrap();
        report::write(set.scene, &all, &pictures, &sheet::table::lists(set.scene, set.lists), &mut page).unwrap();
        (one, two, three, String::from_utf8(page).unwrap())
    })
}

#[test]
fn the_same_design_gives_the_same_bytes() {
    let (a, b) = (written(EXAMPLES[2]), written(EXAMPLES[2]));
    assert!(a == b);
    assert!(a.1.starts_with(b"%PDF-") && a.2.starts_with(b"\x89PNG"));
    let pdf = String::from_utf8_lossy(&a.1);
    assert!(!pdf.contains("CreationDate") && !pdf.contains("ModDate"));
}

#[test]
fn whatever_a_name_holds_is_shown_as_text() {
    let nasty = r#"<script>window.ran=1</script>\"'&{{7*7}}"#;
    let text = EXAMPLES[0].replace("Fernhill cottage (invented)", nasty).replace("\"skylight\"", "\"<b>&sky\"");
    let (svgs, .., page) = written(&text);
    let svgs = String::from_utf8(svgs).unwrap();
    for out in [&svgs, &page] {
        assert!(!out.contains("<script>window.ran"));
        assert!(!out.contains("<b>&sky"));
        assert!(out.contains("&lt;script&gt;window.ran=1&lt;") && out.contains("{{7*7}}"));
        assert!(out.contains("&lt;b&gt;&amp;sky"));
    }
    assert_eq!(page.matches("<script>").count(), 1);
}

#[test]
fn the_report_asks_for_nothing_and_has_all_findings_with_their_limits() {
    let (.., page) = written(EXAMPLES[0]);
    for outside in ["http://", "https://", "src=", "@import", "url("] {
        let rest = page.replace("http://www.w3.org/2000/svg", "");
        assert!(!rest.contains(outside), "{outside}");
    }
    with(EXAMPLES[0], Paper::Letter, |set: &Set<'_>| {
        let scene: &Scene<'_> = set.scene;
        for f in &scene.header.findings {
            assert!(page.contains(&format!("flag {} settled", f.number)));
        }
        assert!(page.contains(&scene.header.fingerprint));
        let at = |heading: &str| page.find(&format!("<h2 id=\"{heading}\">")).unwrap();
        assert!(at("summary") < at("limits") && at("limits") < at("findings"));
    });
}

#[test]
fn setting_out_covers_the_slopes_of_the_design() {
    with(EXAMPLES[3], Paper::Letter, |set| {
        let names: Vec<&str> = set.slopes.iter().map(|s: &SettingOut| s.slope.as_str()).collect();
        let branches: Vec<&str> = set.scene.branches.iter().map(|b| b.name.as_str()).take(names.len()).collect();
        assert_eq!(names, branches);
        for s in set.slopes {
            assert!(s.y_from.starts_with("the eave line"), "{}", s.y_from);
            assert!(s.lines.iter().all(|l| l.between.is_empty() && l.drawn.is_some()));
        }
    });
}

/// The window of a line on paper is what the windows that `airlath marks` prints share, taken here from its records.
#[test]
fn windows_on_paper_are_those_of_marks() {
    let plan = Plan::from_text("t.toml", EXAMPLES[2]).unwrap_or_else(|f| panic!("{}", f.render(false)));
    let ctx = plan.context();
    let mut compared = 0;
    for (paper, on) in setting_out(&ctx).iter().zip(&ctx.slopes) {
        let records = marks(&ctx, on, |_, _, _| Vec::new());
        for line in &paper.lines {
            let of_line: Vec<_> = records.iter().filter(|r| r.on == line.name).collect();
            // Left and right count from what is measured and chalked, not from the tape, which the rake cuts to another middle.
            for r in &of_line {
                assert!((r.centre - line.x[0]).abs() < 1e-9, "{} {} {:?}", r.landing, r.centre, line.x);
            }
            let Some(window) = &line.window else { continue };
            for (k, [left, right]) in window.iter().enumerate() {
                let across: Vec<[f64; 2]> =
                    of_line.iter().filter(|r| r.fastener == k + 1).map(|r| r.mark.unwrap().across).collect();
                let a = across.iter().map(|w| w[0]).fold(f64::NEG_INFINITY, f64::max);
                let b = across.iter().map(|w| w[1]).fold(f64::INFINITY, f64::min);
                assert!((a - left).abs() < 1e-12 && (b - right).abs() < 1e-12 && a <= b, "{}: {a} {b}", line.name);
                compared += 1;
            }
        }
    }
    assert!(compared >= 5, "{compared} windows");
}
