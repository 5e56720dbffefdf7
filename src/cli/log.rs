//! `log`: what was really driven.

use std::fmt::Write as _;
use std::path::Path;
use std::process::ExitCode;

use super::arguments::Level;
use super::checked::{Wanted, checked, rows_to_look_at};
use super::files;
use super::output::{self, Older};
use super::{Failure, print, summary};
use crate::check::{self, Context};
use crate::design::Faults;
use crate::plan::Plan;
use crate::quantity::Length;
use crate::quantity::maths::apart;
use crate::record::{self, Outcome, Remapped, State};
use crate::scene::{CAUTIONS, FindingRecord, blank_rows, remapped_rows};
use crate::write::driven;

/// Reads a drive log and tells what it leaves to do.
pub fn log(sources: &files::Sources, driven: &Path, level: Level) -> Result<ExitCode, Failure> {
    checked(sources, Some(driven), Wanted::plain("reading the log and checking", level), |c| {
        let mut text = summary::heading(c.scene);
        courses(&mut text, c.ctx);
        left_to_do(&mut text, c.ctx, c.scene);
        left_in(&mut text, c.scene);
        summary::findings(&mut text, &c.scene.header);
        summary::not_checked_and_cautions(&mut text, c.scene);
        Ok(text)
    })
}

/// Writes a form with every fastener of the plan.
pub fn blank(sources: &files::Sources, form: &Path) -> Result<ExitCode, Failure> {
    let plan = sources.plan()?;
    let rows = blank_rows(&plan.found, &plan.lattice, &plan.fingerprints());
    write_rows(form, &rows, &plan)?;
    print(&format!(
        "wrote {}: {} rows of plan {}; fill it in, then: airlath log {} {}\n",
        form.display(),
        rows.len(),
        plan.fingerprint(),
        sources.design.display(),
        form.display()
    ))
}

/// Lists each row of a log of another plan with its old and its new place, and writes them as a log of this plan.
pub fn remap(sources: &files::Sources, driven: &Path) -> Result<ExitCode, Failure> {
    let plan = sources.plan()?;
    let source = files::table(driven, "a drive log")?;
    let Remapped { log, moved, gone } =
        record::remap(&source, &plan.design, &plan.found, &plan.lattice, &plan.fingerprints()).map_err(|faults| {
            let faults = Faults { file: driven.display().to_string(), source, faults };
            Failure::Faults(faults.render(files::colour()))
        })?;
    let this = plan.fingerprints();
    let fingerprint = &this.plan;
    let rows = remapped_rows(&plan.found, &plan.lattice, &this, &moved, &log.holes);
    let name = driven.file_stem().map_or(String::from("driven"), |s| s.to_string_lossy().into_owned());
    let beside = driven.with_file_name(format!("{name}.remapped.csv"));
    write_rows(&beside, &rows, &plan)?;
    let show = |p: (f64, f64)| {
        let one = |v: f64| Length::from_metres(v).show_fine(plan.design.units);
        format!("{}, {}", one(p.0), one(p.1))
    };
    let mut text = format!("{}, plan {fingerprint}: planned places, old and new\n", plan.design.name);
    let mut table = summary::table();
    table.set_header([
        "row",
        "landing",
        "fastener",
        "attempt",
        "outcome",
        "old x, y",
        "new x, y",
        "where it is from there",
    ]);
    let mut shifted = 0;
    for (m, row) in moved.iter().zip(&rows) {
        shifted += usize::from(apart(m.old, m.new) > 0.5e-3);
        table.add_row([
            m.entry.row.to_string(),
            row.landing.clone(),
            row.fastener.to_string(),
            m.entry.attempt.to_string(),
            m.entry.outcome.word().to_owned(),
            show(m.old),
            show(m.new),
            match (m.entry.outcome, m.entry.offset) {
                (Outcome::NotYet, _) => "to be driven at the new place".to_owned(),
                (Outcome::Held, None) => "at the new place".to_owned(),
                (_, None) => "not known".to_owned(),
                (_, Some(o)) => show(o),
            },
        ]);
    }
    for g in &gone {
        table.add_row([
            g.row.to_string(),
            g.landing.clone(),
            g.fastener.to_string(),
            g.attempt.to_string(),
            g.outcome.word().to_owned(),
            show(g.old),
            "no longer planned".to_owned(),
            match (g.hole, g.outcome) {
                (Some(n), _) => format!("now hole {n}, below"),
                (None, Outcome::NotYet) => "nothing was driven".to_owned(),
                (None, _) => "filled by the next attempt".to_owned(),
            },
        ]);
    }
    for h in &log.holes {
        table.add_row([
            h.row.to_string(),
            format!("hole {}", h.number),
            String::new(),
            String::new(),
            "hole".to_owned(),
            h.at.map_or("not known".to_owned(), show),
            "stays".to_owned(),
            String::new(),
        ]);
    }
    let _ = writeln!(text, "{table}");
    let _ = writeln!(
        text,
        "{} rows, {shifted} of them planned elsewhere now, {} no longer planned ({} of them driven or drilled: holes now); \
         {} written to {}",
        moved.len() + log.holes.len() + gone.iter().filter(|g| g.hole.is_none()).count(),
        gone.len(),
        gone.iter().filter(|g| g.hole.is_some()).count(),
        rows.len(),
        beside.display()
    );
    text.push_str(&rows_to_look_at(&log.told));
    print(&text)
}

fn write_rows(path: &Path, rows: &[crate::scene::DriveRow], plan: &Plan) -> Result<(), Failure> {
    let cautions: Vec<String> = CAUTIONS.iter().map(|c| (*c).to_owned()).collect();
    output::alone(path, Older::Kept, |out| driven::write(rows, &cautions, plan.design.units, out))
}

/// Course by course how far the work is.
fn courses(text: &mut String, ctx: &Context<'_>) {
    let mut table = summary::table();
    table.set_header(["course", "fasteners", "held", "missed", "to drive", "landings", "do not hold"]);
    for on in &ctx.slopes {
        for (c, course) in on.lattice.courses.iter().enumerate() {
            let landings = on.lattice.landings.iter().filter(|l| on.piece(l).is_some_and(|p| p.course as usize == c));
            let (mut all, mut held, mut lacking, mut to_drive, mut places, mut bad) = (0, 0, 0, 0, 0, 0);
            for landing in landings {
                places += 1;
                bad += usize::from(!on.holds(landing));
                for k in 0..usize::from(landing.count) {
                    all += 1;
                    match on.state(landing, k) {
                        State::Held { .. } => held += 1,
                        State::Lacking => lacking += 1,
                        State::Planned | State::Predrilled => to_drive += 1,
                    }
                }
            }
            table.add_row(
                [course.name.clone()]
                    .into_iter()
                    .chain([all, held, lacking, to_drive, places, bad].map(|n: usize| n.to_string())),
            );
        }
    }
    let _ = writeln!(text, "Course by course\n{table}");
}

/// Checks whose flags say why a landing does not hold.
const OF_HOLDING: [&str; 4] = ["landing-not-backed", "joint-not-backed", "embedment-short", "log-contradicts"];

/// What is left to do, course by course: what missed, with the place that is left for it, and landings that do not hold
/// where their fasteners are or are planned, with what their flags say helps.
fn left_to_do(text: &mut String, ctx: &Context<'_>, scene: &crate::scene::Scene<'_>) {
    let _ = writeln!(text, "\nLeft to do");
    let mut nothing = true;
    for on in &ctx.slopes {
        for (c, course) in on.lattice.courses.iter().enumerate() {
            let (mut again, mut drilled, mut fresh) = (Vec::new(), 0_usize, 0_usize);
            let mut loose: Vec<String> = Vec::new();
            for (number, landing) in on.lattice.landings.iter().enumerate() {
                if on.piece(landing).is_none_or(|p| p.course as usize != c) {
                    continue;
                }
                let lacks = |k: usize| on.state(landing, k) == State::Lacking;
                if on
                    .backing_of(landing)
                    .iter()
                    .enumerate()
                    .any(|(k, b)| !lacks(k) && !on.fastener_holds(landing, k, b))
                {
                    loose.push(ctx.landing_name(on, landing));
                }
                for k in 0..usize::from(landing.count) {
                    match on.state(landing, k) {
                        State::Lacking => {
                            let place = check::driven::remaining::remaining(ctx, on, number, k);
                            let how = place.map_or("no place is left on this landing".to_owned(), |p| p.words(ctx));
                            again.push(format!("{}-{}: {how}", ctx.landing_name(on, landing), k + 1));
                        }
                        State::Predrilled => drilled += 1,
                        State::Planned => fresh += 1,
                        State::Held { .. } => {}
                    }
                }
            }
            if again.is_empty() && loose.is_empty() && drilled + fresh == 0 {
                continue;
            }
            nothing = false;
            let mut parts = Vec::new();
            if fresh > 0 {
                parts.push(format!("drive {fresh}"));
            }
            if drilled > 0 {
                parts.push(format!("drive {drilled} into their drilled holes"));
            }
            if !again.is_empty() {
                parts.push(format!("drive again {}", again.len()));
            }
            match loose.len() {
                0 => {}
                1 => parts.push("1 landing does not hold".to_owned()),
                n => parts.push(format!("{n} landings do not hold")),
            }
            let why = loose.iter().flat_map(|name| {
                let of = |f: &&FindingRecord| f.parts.first() == Some(name) && OF_HOLDING.contains(&f.check.as_str());
                let flags = scene.header.findings.iter().filter(of);
                flags.map(move |f| format!("{name} (flag {}): {}", f.number, f.first_help().unwrap_or_default()))
            });
            let _ = writeln!(text, "  {}: {}", course.name, parts.join(", "));
            for line in again.into_iter().chain(why) {
                let _ = writeln!(text, "    {line}");
            }
        }
    }
    if nothing {
        let _ = writeln!(text, "  nothing: every fastener of the plan is driven");
    }
}

/// What stays in the membrane beside the plan.
fn left_in(text: &mut String, scene: &crate::scene::Scene<'_>) {
    let logged = scene.header.penetrations.iter().filter_map(|p| Some((p, p.row?)));
    if logged.clone().next().is_none() {
        let _ = writeln!(text);
        return;
    }
    let mut table = summary::table();
    table.set_header(["stays in the membrane", "what", "x, y", "seal", "row", "note"]);
    for (p, row) in logged {
        let show = |v: f64| Length::from_metres(v).show(scene.units);
        table.add_row([
            p.name.clone(),
            p.kind.clone(),
            p.on_slope.map_or("not known".to_owned(), |[x, y]| format!("{}, {}", show(x), show(y))),
            p.seal.clone(),
            row.to_string(),
            p.note.clone(),
        ]);
    }
    let _ = writeln!(text, "\n{table}\n");
}
