//! The lists, and joints that are chosen or given: facts about whole runs.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests fail loudly")]

use std::collections::BTreeMap;

use crate::common::{self, airlath, edited, example};
use airlath::check;
use airlath::design::SlopeId;
use airlath::lattice::{End, On, SlopeLattice, batten_solid, boards};
use airlath::plan::Plan;
use airlath::scene::{Building, Cell, Detail, Table, lists};
use airlath::solid::Point3;
use airlath::structure::SlopeFrame;

fn few(name: &str) -> String {
    edited(&example(name), "batten = { ", "batten = { joints = \"fewest boards\", ")
}

fn plan(text: &str) -> Plan {
    Plan::from_text("design.toml", text).map_err(|f| f.render(false)).unwrap()
}

fn tables(plan: &Plan) -> Vec<Table> {
    let ctx = plan.context();
    let results = check::run(&ctx);
    let header = Building::new(&ctx, &results, Detail::Plain).scene(&results).header;
    lists(&ctx, &header)
}

fn faults(text: &str) -> String {
    match Plan::from_text("design.toml", text) {
        Ok(_) => panic!("no fault"),
        Err(f) => f.render(false),
    }
}

fn lengths(table: &Table, column: &str) -> Vec<f64> {
    let of = |c: &Cell| if let Cell::Length(l) = c { Some(*l) } else { None };
    table.column(column).filter_map(of).collect()
}

fn pieces(plan: &Plan) -> Vec<(String, (f64, f64))> {
    plan.lattice.slopes.iter().flat_map(|s| s.pieces.iter().map(|p| (p.name.clone(), p.x))).collect()
}

#[test]
fn the_cut_list_is_the_model() {
    for text in [example("shed"), few("shed"), example("hip"), example("gable")] {
        let plan = plan(&text);
        let cut = &tables(&plan)[0];
        let slopes = plan.found.slopes.iter().zip(&plan.lattice.slopes);
        let length = |(f, s): (&SlopeFrame, &SlopeLattice)| -> f64 {
            s.pieces.iter().map(|p| p.saw_lengths(&plan.design, &f.outline).middle).sum()
        };
        // What that is of the solids, piece by piece: see below.
        let model: f64 = slopes.map(length).sum();
        let listed: f64 = lengths(cut, "length").iter().sum();
        assert!((model - listed).abs() < 1e-9, "{model} {listed}");
        assert_eq!(cut.rows.len(), plan.lattice.slopes.iter().map(|s| s.pieces.len()).sum::<usize>());
        assert!(cut.rows.iter().flat_map(|r| r.iter().zip(&cut.columns)).all(|(cell, c)| cell.fits(c.kind)));
    }
}

#[test]
fn boards_are_sawn_one_piece_after_the_other() {
    for text in [few("shed"), example("hip")] {
        let plan = plan(&text);
        let kerf = plan.design.buying.kerf.value.metres();
        let cut = &tables(&plan)[0];
        let mut boards: BTreeMap<u64, Vec<(f64, f64, f64, f64)>> = BTreeMap::new();
        for row in &cut.rows {
            let [
                Cell::Length(length),
                ..,
                Cell::Count(board),
                Cell::Length(stock),
                Cell::Length(at),
                Cell::Length(takes),
                Cell::Length(rest),
                _,
                _,
            ] = &row[3..]
            else {
                panic!("{row:?}")
            };
            assert!(takes - length > -1e-8, "a slanted end takes more, never less");
            boards.entry(*board).or_default().push((*at, *takes, *stock, *rest));
        }
        assert!(boards.keys().copied().eq(1..=boards.len() as u64), "boards are numbered without a gap");
        for on_board in boards.values_mut() {
            on_board.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut at = 0.0;
            for (begins, takes, stock, rest) in on_board.iter() {
                assert!((begins - at).abs() < 1e-8, "{begins} {at}");
                at = begins + takes + kerf;
                assert!(begins + takes <= stock + 1e-8);
                assert!((rest - (stock - at).max(0.0)).abs() < 1e-8);
            }
        }
    }
}

#[test]
fn chosen_joints_stand_on_lines_staggered_and_leave_no_scraps() {
    for name in ["shed", "hip"] {
        let plan = plan(&few(name));
        let spec = &plan.design.lattice.batten;
        let report = plan.lattice.joints.as_ref().expect("joints were chosen");
        assert_eq!((report.not_staggered, report.not_by_rules), (0, 0));
        assert!(report.bound <= report.cost && report.cost < report.far_cost, "{report:?}");
        // The words claim no more than the bound proves: the number of boards, and their length only where it is met.
        let notes = tables(&plan).swap_remove(0).notes;
        let note = notes.iter().find(|n| n.starts_with("Joints were chosen")).unwrap();
        let (number, length) = (report.cost.boards == report.bound.boards, report.cost <= report.bound);
        assert_eq!(note.contains("take fewer boards"), number, "{name}: {note}");
        assert_eq!(note.contains("or as many at less length (proved)"), length, "{name}: {note}");
        assert_eq!(note.contains("may not be the least"), number && !length, "{name}: {note}");
        // Boards as the model cuts them: no more than by the plain rule, and on the drawing as many as the choice says.
        let count = |plan: &Plan| boards(&plan.design, &plan.found, &plan.lattice).boards.len() as u64;
        assert_eq!(count(&plan), report.cost.boards);
        assert!(count(&plan) <= count(&self::plan(&example(name))), "{name}");
        for slope in &plan.lattice.slopes {
            let mut below: Vec<u32> = Vec::new();
            for c in 0..slope.courses.len() {
                let of: Vec<_> = slope.pieces.iter().filter(|p| p.course as usize == c).collect();
                let mut here = Vec::new();
                for p in &of {
                    assert_ne!(p.ends.1, End::JointOverNothing);
                    if let End::Joint { line } = p.ends.1 {
                        here.push(line);
                    }
                    let length = p.x.1 - p.x.0;
                    assert!(length <= spec.stock.value.last().unwrap().metres() + 1e-9);
                    assert!(length <= p.stock + 1e-9);
                    assert!(of.len() == 1 || length >= spec.least_piece.metres() - 1e-9, "{} {length}", p.name);
                }
                assert!(here.iter().all(|l| !below.contains(l)), "course {c} of {name}");
                below = here;
            }
        }
    }
}

#[test]
fn pinned_joints_are_the_chosen_ones() {
    let chosen = plan(&few("shed"));
    let pins = chosen.lattice.pinned_joints();
    assert!(pins.contains("[[joints]]"));
    for text in [few("shed"), example("shed")] {
        let pinned = plan(&format!("{text}{pins}"));
        assert_eq!(pieces(&pinned), pieces(&chosen));
        assert_eq!(pinned.lattice.pinned_joints(), pins);
    }
    assert_ne!(pieces(&plan(&example("shed"))), pieces(&chosen), "the plain rule chooses others");
}

/// The example's nails are in on two lines of S. What stands on a lookout stands on no line: its nails are still to buy.
#[test]
fn only_nails_on_laid_lines_are_driven() {
    let plan = plan(&example("gable"));
    let mut driven = 0;
    let mut on_members = 0;
    for (k, slope) in plan.lattice.slopes.iter().enumerate() {
        for landing in &slope.landings {
            let line = match landing.on {
                On::Line(l) => slope.lines[l as usize].name.as_str(),
                On::Member(_) | On::Place => "none",
            };
            on_members += usize::from(line == "none");
            let laid = ["S-L04", "S-L07"].contains(&line);
            driven += usize::from(laid);
            assert_eq!(slope.is_driven(&plan.design, SlopeId(k), landing), laid, "{line}");
        }
    }
    assert!(driven > 15 && on_members > 5, "{driven} {on_members}");
}

#[test]
fn what_is_laid_is_neither_moved_nor_cut_nor_bought() {
    let chosen = plan(&few("shed"));
    let laid = "\n[[laid]]\nwhat = [\"battens\", \"fasteners\"]\ncourses = [\"SW-B01\", \"SW-B02\"]\n";
    let alone = faults(&format!("{}{laid}", few("shed")));
    assert!(alone.contains("SW-B01 is laid, but nothing says where its joints are"), "{alone}");
    let pins: String = chosen.lattice.pinned_joints().split("\n\n").take(2).map(|t| format!("{t}\n")).collect();
    assert_eq!(pins.matches("[[joints]]").count(), 2);
    let later = plan(&format!("{}\n{pins}{laid}", few("shed")));
    let of = |plan: &Plan, course: &str| -> Vec<(String, (f64, f64))> {
        pieces(plan).into_iter().filter(|(n, _)| n.starts_with(course)).collect()
    };
    for course in ["SW-B01", "SW-B02"] {
        assert_eq!(of(&later, course), of(&chosen, course));
    }
    let lists = tables(&later);
    for (row, remark) in lists[0].rows.iter().zip(lists[0].column("remark")) {
        let laid = matches!(&row[1], Cell::Text(c) if c == "SW-B01" || c == "SW-B02");
        assert_eq!(*remark == Cell::Text("laid".into()), laid);
    }
    let bought = |plan: &Plan| -> f64 {
        let list = &tables(plan)[1];
        let rows = list.rows.iter().filter(|r| r[0] == Cell::Text("batten board".into()));
        rows.map(|r| if let (Cell::Length(l), Cell::Count(n)) = (&r[2], &r[6]) { l * *n as f64 } else { 0.0 }).sum()
    };
    assert!(bought(&later) < bought(&chosen));
}

#[test]
fn prices_decide_and_add_up() {
    let priced = |short: &str| {
        format!(
            "{}\n[buying]\ncurrency = \"EUR\"\nbundle = 4\n\
             [[price]]\nof = \"board\"\nlength = \"3600 mm\"\nprice = \"{short}\"\n\
             [[price]]\nof = \"board\"\nlength = \"4800 mm\"\nprice = \"10.00\"\n\
             [[price]]\nof = \"fastener\"\nprice = \"7.50\"\npack = 100\n",
            example("shed")
        )
    };
    let count = |plan: &Plan, length: f64| {
        let list = &tables(plan)[1];
        // What is not bought is not on the list.
        let row = list.rows.iter().find(|r| matches!(&r[2], Cell::Length(l) if (l - length).abs() < 1e-9));
        row.map_or(0, |row| if let Cell::Count(n) = row[6] { n } else { panic!("{row:?}") })
    };
    let (cheap, dear) = (plan(&priced("1.00")), plan(&priced("99.00")));
    assert_eq!(count(&dear, 3.6), 0);
    // Longer pieces need the dear boards; all others come out of the cheap ones.
    assert!(count(&cheap, 3.6) > 0);
    let list = &tables(&cheap)[1];
    let money = |c: &Cell| if let Cell::Money(m) = c { *m } else { 0 };
    let all: Vec<i64> = list.column("price of all").map(money).collect();
    let (total, rows) = all.split_last().unwrap();
    assert_eq!(*total, rows.iter().sum::<i64>());
    let boards = count(&cheap, 3.6) as i64 * 100 + count(&cheap, 4.8) as i64 * 1000;
    let Some(Cell::Count(nails)) = list.column("buy").nth(list.rows.len() - 2) else { panic!("no nails") };
    assert_eq!(*total, boards + nails.div_ceil(100) as i64 * 750);
    assert!(list.notes.iter().any(|n| n.contains("no price for: tape roll, strip, vent piece")), "{:?}", list.notes);
    // Where the design asks for fewest boards their number comes first, whatever they cost.
    let fewest = plan(&edited(&priced("1.00"), "batten = { ", "batten = { joints = \"fewest boards\", "));
    let all = |plan: &Plan| count(plan, 3.6) + count(plan, 4.8);
    assert!(all(&fewest) < all(&cheap), "{} {}", all(&fewest), all(&cheap));
    let half = priced("1.00").replace("[[price]]\nof = \"board\"\nlength = \"4800 mm\"\nprice = \"10.00\"\n", "");
    assert!(faults(&half).contains("no price for boards of 4800 mm"));
}

#[test]
fn joints_that_cannot_stand_are_faults() {
    let with = |tables: &str| faults(&format!("{}\n{tables}", example("shed")));
    let unknown = with("[[joints]]\ncourse = \"SW-B99\"\nlines = [\"SW-L77\"]\n");
    assert!(unknown.contains("no course is named \"SW-B99\"") && unknown.contains("no line is named \"SW-L77\""));
    // A course of 6 m is longer than a board of 4.8 m.
    assert!(
        with("[[joints]]\ncourse = \"SW-B03\"\nlines = []\n").contains("SW-B03 cannot be divided on the lines given")
    );
    let twice = "[[joints]]\ncourse = \"SW-B03\"\nlines = [\"SW-L05\"]\n";
    let other = twice.replace("SW-L05", "SW-L04");
    assert!(with(&format!("{twice}{other}")).contains("given twice"));
    assert!(with("[buying]\nmiss_rate = \"0.03\"\n").contains("percentage"));
    assert!(with("[[price]]\nof = \"strip\"\nprice = \"1,20\"\n").contains("is no price"));
}

#[test]
fn the_program_writes_lists_that_a_spreadsheet_takes() {
    let folder = tempfile::tempdir().unwrap();
    let design = folder.path().join("d.toml");
    // Names that a spreadsheet would run, and a currency that it would too.
    let text = edited(&example("shed"), "Garden workshop (invented)", "=HYPERLINK(\\\"x\\\")");
    std::fs::write(
        &design,
        format!("{text}\n[buying]\ncurrency = \"=1+1\"\n[[price]]\nof = \"strip\"\nprice = \"1.20\"\n"),
    )
    .unwrap();
    let mut before = Vec::new();
    for _ in 0..2 {
        let out = folder.path().join("out");
        airlath().arg("lists").arg(&design).arg("--out").arg(&out).assert().code(1);
        let mut all = Vec::new();
        for name in ["cut-list.csv", "buying-list.csv", "order-of-work.csv"] {
            let bytes = std::fs::read(out.join(name)).unwrap();
            let mut reader = csv::Reader::from_reader(bytes.as_slice());
            let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            assert!(rows.len() > 5);
            for cell in rows.iter().flatten() {
                let risky = cell.starts_with(['=', '+', '@', '\t', '\r'])
                    || (cell.starts_with('-') && cell.parse::<f64>().is_err());
                assert!(!risky, "{name}: {cell:?}");
            }
            let notes = rows[0].iter().next_back().unwrap();
            for wanted in ["backing: 132 of 132 landings", "plan fingerprint ", "no engineer has reviewed it"] {
                assert!(notes.contains(wanted), "{name} lacks {wanted}");
            }
            // A sum over a column takes rows of the table and nothing else; no number reads as thousands.
            assert!(rows[1..].iter().all(|r| r.iter().next_back() == Some("")));
            let thousands = |cell: &str| {
                cell.parse::<f64>().is_ok() && cell.rsplit_once('.').is_some_and(|(_, after)| after.len() == 3)
            };
            assert!(!rows.iter().flatten().any(thousands), "{name}");
            all.push(bytes);
        }
        all.push(std::fs::read(out.join("joints.toml")).unwrap());
        assert!(before.is_empty() || before == all, "the same input gives the same bytes");
        before = all;
    }
}

#[test]
fn eave_vent_pieces_come_last_before_the_course_over_them() {
    let plan = plan(&example("shed"));
    let order = &tables(&plan)[2];
    let step = |text: &str| {
        let at = order.column("work").position(|c| matches!(c, Cell::Text(t) if t.contains(text)));
        at.unwrap_or_else(|| panic!("no step {text}"))
    };
    assert!(step("patch every hole") < step("mark lines"));
    assert!(step("press strips") < step("lay the eave vent pieces"));
    assert_eq!(step("lay the eave vent pieces") + 1, step("lay battens"));
    assert!(step("lay battens") < step("fix the roofing"));
    assert_eq!(order.rows[step("lay the eave vent pieces")][7], Cell::Text("SW-B01".into()));
    // Flags of runs say where battens need something under them: too late once these are on.
    let settle = |at: usize| match &order.rows[at][6] {
        Cell::Text(t) => t.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(settle(step("fix the roofing")), "");
    // The flags of the top vent pieces are settled before they are laid.
    assert_eq!(order.rows[step("top vent")][6], Cell::Text("flags 1, 2".into()));
}

/// Whether tape or strips come first: tape that runs past the eave is turned down right after the step that sticks it; where none
/// does there is no such step.
#[test]
fn tape_that_runs_past_an_edge_is_told_to_be_turned_down() {
    let positions =
        |all: &[String], word: &str| -> Vec<usize> { (0..all.len()).filter(|i| all[*i].contains(word)).collect() };
    let works = |lattice: &str| -> Vec<String> {
        let plan = plan(&edited(common::SHED, "[lattice]\n", &format!("[lattice]\n{lattice}")));
        let order = &tables(&plan)[2];
        let text = |c: &Cell| if let Cell::Text(t) = c { t.clone() } else { panic!("{c:?}") };
        order.column("work").map(text).collect()
    };
    for first in ["membrane", "strip"] {
        let order = format!("tape = {{ order = \"{first} first\" }}\n");
        let all = works(&format!("{order}turn_down = {{ eave = \"2 in\" }}\n"));
        let steps = |word: &str| positions(&all, word);
        let (stuck, turned) = (steps("stick tape"), steps("turn the tape down"));
        assert_eq!((stuck.len(), turned), (1, vec![stuck[0] + 1]), "{all:?}");
        assert!(positions(&works(&order), "turn the tape down").is_empty());
    }
}

/// Every flag is settled before some step, and one of a span, a cantilever or a landing before anything is laid there.
#[test]
fn flags_of_runs_are_settled_before_battens_go_on() {
    let wide = edited(&example("gable"), "run = \"24 in\"", "run = \"20 in\"");
    let plan = plan(&edited(&wide, "end_run = \"6 in\"", "end_run = \"2 in\""));
    let ctx = plan.context();
    let results = check::run(&ctx);
    let header = Building::new(&ctx, &results, Detail::Plain).scene(&results).header;
    let order = &lists(&ctx, &header)[2];
    let numbers = |check: &str| {
        let of = header.findings.iter().filter(|f| f.check == check);
        of.map(|f| f.number).collect::<Vec<_>>()
    };
    let settled = |work: &str| -> Vec<usize> {
        let rows = order.rows.iter().filter(|r| matches!(&r[1], Cell::Text(t) if t.contains(work)));
        let texts = rows.filter_map(|r| if let Cell::Text(t) = &r[6] { Some(t.clone()) } else { None });
        let mut all = Vec::new();
        for text in texts {
            for part in
                text.trim_start_matches("flags ").trim_start_matches("flag ").split(", ").filter(|p| !p.is_empty())
            {
                let ends: Vec<usize> = part.split(" to ").map(|n| n.parse().unwrap()).collect();
                all.extend(ends[0]..=*ends.last().unwrap());
            }
        }
        all
    };
    let (mark, roofing) = (settled("mark lines"), settled("fix the roofing"));
    let mut seen = 0;
    for check in ["run-too-long", "end-run-too-long"] {
        for n in numbers(check) {
            assert!(mark.contains(&n) && !roofing.contains(&n), "{check}: flag {n}");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn clips_and_their_screws_are_counted_by_the_roofing_step_and_bought() {
    let panels = "\n[panels]\nwidth = \"16 in\"\nscrew_diameter = \"0.164 in\"\nscrew_length = \"3/4 in\"\n";
    let plan = plan(&format!("{}{panels}[[price]]\nof = \"fastener\"\nprice = \"7.50\"\n", example("shed")));
    let lists = tables(&plan);
    let clips = plan.lattice.slopes[0].clips.len();
    let screws = clips * plan.design.panels.as_ref().unwrap().screws.value;
    assert!(clips > 10);
    let said = format!("{clips} clips with {screws} screws");
    let found = lists[2].column("with").any(|c| matches!(c, Cell::Text(t) if t.starts_with(&said)));
    assert!(found, "{said}");
    let ctx = plan.context();
    let results = check::run(&ctx);
    let quantities = Building::new(&ctx, &results, Detail::Plain).scene(&results).quantities;
    for (item, number) in [("clip", clips), ("clip screw", screws)] {
        let row = lists[1].rows.iter().find(|r| r[0] == Cell::Text(item.into())).unwrap_or_else(|| panic!("no {item}"));
        let quantity = quantities.iter().find(|q| q.kind == item).unwrap();
        let size = Cell::Text(quantity.size.clone());
        assert_eq!((&row[1], &row[4], quantity.count), (&size, &Cell::Count(number as u64), number));
        // Neither mass nor price is in the design, and the sums say so.
        assert!(row[7..].iter().all(|c| *c == Cell::Empty), "{row:?}");
    }
    for note in ["no price for", "total mass"] {
        let note = lists[1].notes.iter().find(|n| n.contains(note)).unwrap();
        assert!(note.contains("clip, clip screw"), "{note}");
    }
}

/// One number of the roof: the steps of the order share out the fasteners and spares that the buying list has.
#[test]
fn the_order_of_work_has_the_spares_of_the_buying_list() {
    let mut several = 0;
    for name in common::EXAMPLES {
        let plan = plan(&example(name));
        let lists = tables(&plan);
        let item = Cell::Text(plan.design.fastening.kind.value.word().into());
        let row = lists[1].rows.iter().find(|r| r[0] == item).unwrap();
        let steps = lists[2].column("with").filter_map(|c| {
            let Cell::Text(t) = c else { return None };
            let (fasteners, spares) = t.strip_suffix(" spares")?.split_once(" fasteners and ")?;
            let fasteners: u64 = fasteners.rsplit(' ').next()?.parse().ok()?;
            Some((fasteners, spares.parse::<u64>().ok()?))
        });
        let all: Vec<(u64, u64)> = steps.collect();
        let sum = all.iter().fold((0, 0), |a, b| (a.0 + b.0, a.1 + b.1));
        assert_eq!((&Cell::Count(sum.0), &Cell::Count(sum.1)), (&row[4], &row[5]), "{name}: {all:?}");
        several += usize::from(all.len() > 1);
        // Each slope gets its share, to the nearest one.
        for (fasteners, spares) in all {
            let share = sum.1 as f64 * fasteners as f64 / sum.0 as f64;
            assert!((spares as f64 - share).abs() < 1.0, "{name}: {spares} {share}");
        }
    }
    assert!(several > 1);
}

#[test]
fn defaults_of_buying_stand_among_the_defaults_in_force() {
    let plan = plan(&example("shed"));
    for key in ["buying.kerf", "buying.miss_rate", "buying.bundle"] {
        assert!(plan.design.defaults.iter().any(|d| d.key == key), "{key}");
    }
}

#[test]
fn a_design_that_asks_for_nothing_has_no_choice() {
    for name in common::EXAMPLES {
        assert!(plan(&example(name)).lattice.joints.is_none());
    }
}

/// What lists say of a piece, slanted or not, is what its solid measures: along the middle of its lower face, and from its
/// farthest corner to its farthest corner.
#[test]
fn the_lengths_of_pieces_are_those_of_their_solids() {
    let mut slanted = 0;
    for name in common::EXAMPLES {
        let plan = plan(&example(name));
        for (frame, on) in plan.found.slopes.iter().zip(&plan.lattice.slopes) {
            for piece in &on.pieces {
                let solid = batten_solid(&plan.design, &frame.outline, &plan.lattice.levels, piece).unwrap();
                let corners: Vec<Point3> = solid.mesh().positions.iter().map(|p| solid.pose * p).collect();
                let span = |of: &dyn Fn(&&Point3) -> bool| {
                    let xs = || corners.iter().filter(of).map(|p| p.x);
                    xs().fold(f64::NEG_INFINITY, f64::max) - xs().fold(f64::INFINITY, f64::min)
                };
                let low = corners.iter().map(|p| p.z).fold(f64::INFINITY, f64::min);
                // The ends of a face are straight: its middle is as long as its two sides are on average.
                let side = |below: bool| span(&|p| p.z < low + 1e-7 && (p.y < piece.y) == below);
                let middle = (side(true) + side(false)) / 2.0;
                let lengths = piece.saw_lengths(&plan.design, &frame.outline);
                assert!((lengths.middle - middle).abs() < 1e-7, "{}: {lengths:?} {middle}", piece.name);
                let longest = span(&|_| true);
                assert!((lengths.longest - longest).abs() < 1e-7, "{}: {lengths:?} {longest}", piece.name);
                let section = plan.design.lattice.batten.width.metres() * plan.design.lattice.batten.thickness.metres();
                let mean = solid.volume() / section;
                assert!((lengths.mean - mean).abs() < 1e-7, "{}: {lengths:?} {mean}", piece.name);
                slanted += usize::from(lengths.longest > lengths.middle + 0.01);
            }
        }
    }
    assert!(slanted > 20, "{slanted}");
}

/// Boards of a hip are longer than their middles: a course is divided by what they take of a board.
#[test]
fn no_piece_is_longer_than_the_longest_board_that_can_be_bought() {
    let designs = [example("hip"), common::starter("hip", "millimetres"), common::starter("hip", "inches")];
    let stocks = [None, Some("[\"3000 mm\"]"), Some("[\"3600 mm\"]"), Some("[\"4200 mm\"]"), Some("[\"5400 mm\"]")];
    let mut slanted = 0;
    for (text, stock) in designs.iter().flat_map(|d| stocks.iter().map(move |s| (d, s))) {
        let text = match stock {
            Some(lengths) => {
                edited(text, "batten = { ", &format!("batten = {{ least_piece = \"1000 mm\", stock = {lengths}, "))
            }
            None => text.clone(),
        };
        let Ok(plan) = Plan::from_text("design.toml", &text) else { continue };
        let longest = plan.design.lattice.batten.stock.value.last().unwrap().metres();
        for (frame, slope) in plan.found.slopes.iter().zip(&plan.lattice.slopes) {
            for piece in &slope.pieces {
                let lengths = piece.saw_lengths(&plan.design, &frame.outline);
                assert!(lengths.longest <= longest + 1e-6, "{} takes {} of {longest}", piece.name, lengths.longest);
                slanted += usize::from(lengths.longest > lengths.middle + 0.01);
            }
        }
    }
    assert!(slanted > 100, "{slanted}");
}
