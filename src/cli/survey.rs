//! `survey`: the roof as found, from marks.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use super::files;
use super::output::{self, Older};
use super::{Failure, print, summary};
use crate::design::{Faults, change};
use crate::plan::Plan;
use crate::quantity::maths::hypot;
use crate::quantity::{Length, Units};
use crate::record::marks;
use crate::record::survey::{BETTER_BY, Survey, survey};
use crate::record::{BENT_CALLED_STRAIGHT, Form, STRAIGHT_CALLED_BENT, length};
use crate::scene::CAUTIONS;

/// How a found file of this program begins.
const OPENS: &str = "# Airlath found file";
/// Standard deviation of a mark where none is stated, metres: an eighth of an inch, `common practice, no source`.
const ERROR: f64 = 0.003_175;
/// How many names a list shows.
const NAMES: usize = 6;

/// Fits the marks, tells what was found, and writes the found file beside the design.
pub fn run(design: &Path, marks_file: &Path, error: Option<&str>) -> Result<ExitCode, Failure> {
    let source = files::design(design)?;
    let shown = design.display().to_string();
    let before = Plan::from_text(&shown, &source).map_err(|f| Failure::Faults(f.render(files::colour())))?;
    let units = before.design.units;
    let error = match error {
        None => ERROR,
        Some(text) => match length(text, units, false) {
            Ok(l) if l.metres() > 0.0 && l.metres() < 0.1 => l.metres(),
            Ok(_) => {
                let help = "the standard deviation of one mark, such as \"1/8 in\" or \"3 mm\"";
                return Err(Failure::Text(format!("error: `{text}` is no error of a mark\n  help: {help}")));
            }
            Err(e) => return Err(Failure::Text(format!("error: --error: {}\n  help: {}", e.message, e.hint))),
        },
    };
    let table = files::table(marks_file, "a table of marks")?;
    let (marks, told) = marks::read(&table, units).map_err(|faults| {
        let faults = Faults { file: marks_file.display().to_string(), source: table, faults };
        Failure::Faults(faults.render(files::colour()))
    })?;
    let mut found = survey(&before.design, &before.drawn, &before.lattice, &marks, error);
    found.notes.splice(0..0, told);
    let said = Said { plan: &before, units };
    let beside = beside(design);
    let text = found_file(&found, &before, marks_file, error);
    let has_found =
        !(found.members.is_empty() && found.openings.is_empty() && found.slopes.iter().all(|s| s.corners.is_none()));
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{}, plan {}: {} marks, error of a mark {}",
        before.design.name,
        before.fingerprint(),
        marks.len(),
        said.show(error)
    );
    said.roof(&mut out, &found);
    said.refused(&mut out, &found);
    said.members(&mut out, &found);
    if has_found {
        let after = Plan::with_found(&shown, &source, &beside.display().to_string(), &text)
            .map_err(|all| Failure::Faults(all.iter().map(|f| f.render(files::colour())).collect::<String>()))?;
        said.comparison(&mut out, &after);
        said.taken_along(&mut out, &after, &found);
        write(&beside, &text)?;
        let _ = writeln!(
            out,
            "\nwrote {}; the design is as it was. To use it: --found {}",
            beside.display(),
            beside.display()
        );
    } else {
        let _ = writeln!(out, "\nnothing was found that could be written");
    }
    let _ = writeln!(out, "\nCautions");
    for c in CAUTIONS {
        let _ = writeln!(out, "  {c}");
    }
    print(&out)?;
    Ok(ExitCode::from(u8::from(!found.refused.is_empty())))
}

/// `roof.toml` has `roof.found.toml` beside it.
fn beside(design: &Path) -> PathBuf {
    let stem = design.file_stem().map_or(String::from("design"), |s| s.to_string_lossy().into_owned());
    design.with_file_name(format!("{stem}.found.toml"))
}

/// Writes the found file; one of another author is left alone.
fn write(path: &Path, text: &str) -> Result<(), Failure> {
    if path.exists() && !files::read(path, "a found file")?.starts_with(OPENS) {
        return Err(Failure::Text(format!(
            "error: {} was not written by a survey and is left alone\n  help: move it away",
            path.display()
        )));
    }
    output::alone(path, Older::Replaced, |out| out.write_all(text.as_bytes()))
}

/// One line of a remark: nothing in it may end the remark.
fn remark(text: &str) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    format!("# {plain}\n")
}

fn found_file(found: &Survey, plan: &Plan, marks_file: &Path, error: f64) -> String {
    let units = plan.design.units;
    let show = |v: f64| Length::from_metres(v).show_fine(units);
    let mut text = format!("{OPENS}\n");
    let marks = marks_file.file_name().map_or(String::new(), |n| n.to_string_lossy().into_owned());
    text.push_str(&remark(&format!(
        "from the marks in {marks}, error of a mark {}, plan {}",
        show(error),
        plan.fingerprint()
    )));
    text.push_str("# `--found` reads it together with the design. A survey of the same design writes it anew.\n");
    for r in &found.refused {
        text.push_str(&remark(&format!("not used, row {}: {}: {}", r.row, r.mark, r.why)));
    }
    for s in &found.slopes {
        let name = plan.design.slopes.get(s.slope.0).map_or("", |s| s.name.as_str());
        if let Some(corners) = &s.corners {
            text.push_str(&change::found_slope(name, corners, units));
        }
    }
    for o in &found.openings {
        text.push_str(&change::found_opening(&o.name, o.at, o.size, units));
    }
    for m in &found.members {
        text.push_str(&change::found_member(&m.name, &m.offsets, units));
    }
    text
}

struct Said<'a> {
    plan: &'a Plan,
    units: Units,
}

impl Said<'_> {
    fn show(&self, metres: f64) -> String {
        Length::from_metres(metres).show_fine(self.units)
    }

    fn change(&self, metres: f64) -> String {
        format!("{}{}", if metres >= 0.0 { "+" } else { "" }, self.show(metres))
    }

    /// The roof itself comes first: a roof that is out of square moves everything that is measured from its edges.
    fn roof(&self, out: &mut String, found: &Survey) {
        let _ = writeln!(out, "\nThe roof itself");
        if found.slopes.is_empty() && found.openings.is_empty() {
            let _ = writeln!(out, "  not measured: whether it is square is not known");
            return;
        }
        let mut table = summary::table();
        table.set_header(["row", "what", "drawn", "measured", "difference"]);
        for slope in &found.slopes {
            for m in &slope.measures {
                // Whole sides as a tape shows them.
                let side = |v: f64| Length::from_metres(v).show(self.units);
                let row = [m.row.to_string(), m.what.clone(), side(m.drawn), side(m.measured)];
                table.add_row(row.into_iter().chain([self.change(m.measured - m.drawn)]));
            }
        }
        if found.slopes.iter().any(|s| !s.measures.is_empty()) {
            let _ = writeln!(out, "{table}");
        }
        for slope in &found.slopes {
            let name = self.plan.design.slopes.get(slope.slope.0).map_or("", |s| s.name.as_str());
            for said in &slope.said {
                let _ = writeln!(out, "  slope {name}: {said}");
            }
        }
        for o in &found.openings {
            let ((x, y), (w, h)) = o.drawn;
            let _ = writeln!(
                out,
                "  opening {}: {} across and {} up from where it is drawn, {} wider, {} higher, {} out of square",
                o.name,
                self.change(o.at.0 - x),
                self.change(o.at.1 - y),
                self.change(o.size.0 - w),
                self.change(o.size.1 - h),
                self.show(o.out_of_square)
            );
        }
    }

    fn refused(&self, out: &mut String, found: &Survey) {
        if !found.refused.is_empty() {
            let _ = writeln!(out, "\nMarks that are not used");
            for r in &found.refused {
                let _ = writeln!(out, "  row {}: {}: {}", r.row, r.mark, r.why);
            }
        }
        if !found.notes.is_empty() {
            let _ = writeln!(out, "\nTo be looked at");
            for note in &found.notes {
                let _ = writeln!(out, "  {note}");
            }
        }
    }

    fn members(&self, out: &mut String, found: &Survey) {
        if found.members.is_empty() {
            return;
        }
        let mut table = summary::table();
        table.set_header([
            "member",
            "marks",
            "form",
            "off the drawing",
            "error (95 of 100)",
            "bow",
            "bow that would be seen",
        ]);
        for m in &found.members {
            let far = m.offsets.iter().map(|(s, _)| *s);
            let error = far.map(|s| m.fit.error(s)).fold(0.0, f64::max);
            let range = m.offsets.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |r, o| (r.0.min(o.1), r.1.max(o.1)));
            let off = if range.1 - range.0 < 5e-5 {
                self.change(range.0)
            } else {
                format!("{} to {}", self.change(range.0), self.change(range.1))
            };
            let form = match m.fit.form {
                Form::Moved => "moved (marks at one place)",
                Form::Straight => "straight",
                Form::Bent => "bent",
            };
            table.add_row([
                m.name.clone(),
                m.marks.to_string(),
                form.to_owned(),
                off,
                self.show(error),
                m.fit.bow.map_or("not tested".to_owned(), |b| self.change(b)),
                m.fit.seen_bow.map_or(String::new(), |b| self.show(b)),
            ]);
        }
        let _ = writeln!(out, "\nMembers as found\n{table}");
        let _ = writeln!(
            out,
            "  a straight member is called bent in {} of 100 surveys; one bowed by the last column is called straight in {} of 100",
            STRAIGHT_CALLED_BENT * 100.0,
            BENT_CALLED_STRAIGHT * 100.0
        );
        let _ = writeln!(
            out,
            "  a mark is refused when another member explains it better by more than {}",
            self.show(BETTER_BY)
        );
    }

    /// Members that nobody marked and that go along with what they are nailed to.
    fn taken_along(&self, out: &mut String, after: &Plan, found: &Survey) {
        let marked = |name: &str| found.members.iter().any(|m| m.name == name);
        let both = after.found.members.iter().zip(&self.plan.found.members);
        let along: Vec<&String> = both
            .filter(|(n, b)| n.sweep.stations != b.sweep.stations && !marked(&n.name))
            .map(|(n, _)| &n.name)
            .collect();
        list(out, "not marked, taken along by the rafters that they are nailed to; mark those that stayed", &along);
    }

    /// What changed against the plan before: which landings moved, and which are backed now.
    fn comparison(&self, out: &mut String, after: &Plan) {
        let (before, now) = (landings(self.plan), landings(after));
        let _ = writeln!(out, "\nAgainst the plan before");
        let _ = writeln!(out, "  plan {} becomes plan {}", self.plan.fingerprint(), after.fingerprint());
        let backed = |all: &BTreeMap<String, At>| all.values().filter(|l| l.backed).count();
        let _ = writeln!(
            out,
            "  landings {}, now {}; backed {}, now {}",
            before.len(),
            now.len(),
            backed(&before),
            backed(&now)
        );
        let both = || now.iter().filter_map(|(name, n)| Some((name, before.get(name)?, n)));
        let moved: Vec<f64> = both().map(|(_, b, n)| hypot(b.x - n.x, b.y - n.y)).filter(|d| *d > 5e-5).collect();
        let furthest = moved.iter().copied().fold(0.0, f64::max);
        let _ = writeln!(
            out,
            "  {} landings move, the furthest by {}; what is laid stays",
            moved.len(),
            self.show(furthest)
        );
        let mut list = |said: &str, names: Vec<&String>| list(out, said, &names);
        list("no longer backed", both().filter(|(_, b, n)| b.backed && !n.backed).map(|(name, ..)| name).collect());
        list("backed now", both().filter(|(_, b, n)| !b.backed && n.backed).map(|(name, ..)| name).collect());
        list("new", now.keys().filter(|n| !before.contains_key(*n)).collect());
        list("gone", before.keys().filter(|n| !now.contains_key(*n)).collect());
    }
}

/// Names after what is said of them, the first few; nothing where there are none.
fn list(out: &mut String, said: &str, names: &[&String]) {
    if names.is_empty() {
        return;
    }
    let few: Vec<&str> = names.iter().take(NAMES).map(|n| n.as_str()).collect();
    let more = names.len() - few.len();
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let _ = writeln!(out, "  {said}: {}{more}", few.join(", "));
}

/// Where a landing is, and whether it is backed.
struct At {
    x: f64,
    y: f64,
    backed: bool,
}

fn landings(plan: &Plan) -> BTreeMap<String, At> {
    let ctx = plan.context();
    let mut all = BTreeMap::new();
    for on in &ctx.slopes {
        for l in &on.lattice.landings {
            all.insert(ctx.landing_name(on, l), At { x: l.x, y: l.y, backed: on.is_backed(l) });
        }
    }
    all
}
