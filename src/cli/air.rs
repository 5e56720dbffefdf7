//! `air`: open or not, rules beside the roof, flows with their ranges, and what if.

use std::fmt::Write;
use std::process::ExitCode;

use super::files::Sources;
use super::progress::Progress;
use super::{Failure, print};
use crate::air::{self, Answers, Asked, Case, Figure, Flow, Unit, Weather};
use crate::airflow::CELSIUS;
use crate::check::{self, Context};
use crate::design::AirSpec;
use crate::quantity::list;
use crate::quantity::{Length, Units, show_area};
use crate::scene::CAUTIONS;

/// How many bays a list shows at either end.
const BAYS: usize = 3;

/// `airlath air`.
pub fn air(sources: &Sources) -> Result<ExitCode, Failure> {
    let progress = Progress::begin("following the air");
    let plan = sources.plan()?;
    let ctx = plan.context();
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{}", check::scope_line(&ctx));
    let _ = writeln!(text, "{}", ctx.design.name);
    pockets(&mut text, &ctx);
    rules(&mut text, &ctx);
    match (Weather::of(ctx.design), &ctx.design.air) {
        (Ok(weather), Some(air)) => flow(&mut text, &ctx, air, &weather),
        (Err(reason), _) => {
            let _ = writeln!(text, "\nFlow\n  not checked, because {reason}");
        }
        (Ok(_), None) => {}
    }
    holds(&mut text, &ctx);
    let _ = writeln!(text, "\nCautions");
    for c in CAUTIONS {
        let _ = writeln!(text, "  {c}");
    }
    let _ = writeln!(
        text,
        "  Flows are of still, steady days and of coefficients that scatter by tens of percent; wind never is steady. Have \
         whoever answers for the building's moisture look at them."
    );
    drop(progress);
    print(&text)
}

fn pockets(text: &mut String, ctx: &Context<'_>) {
    let space = ctx.space();
    let dead: f64 = space.cells.iter().zip(&space.way).filter(|(_, w)| !**w).map(|(c, _)| c.area()).sum();
    let _ = if space.with_a_way() == space.cells.len() {
        writeln!(text, "\nOpen or not\n  every cell has a way from eave to top")
    } else {
        let shown = show_area(dead, ctx.design.units);
        writeln!(text, "\nOpen or not\n  {shown} have no way from eave to top; `airlath check` tells where and why")
    };
}

/// A number of a rule with its unit.
fn number(v: f64, unit: Unit, units: Units) -> String {
    match (unit, units) {
        (Unit::Length, _) => Length::from_metres(v).show_fine(units),
        (Unit::Area, Units::Inches) => format!("{:.0} in2", v / (0.0254 * 0.0254)),
        (Unit::Area, Units::Millimetres) => format!("{:.0} cm2", v * 1e4),
        (Unit::AreaPerLength, Units::Inches) => format!("{:.2} in2/ft", v / (0.0254 * 0.0254 / 0.3048)),
        (Unit::AreaPerLength, Units::Millimetres) => format!("{:.0} cm2/m", v * 1e4),
        (Unit::Share, _) => format!("{:.0} %", v * 100.0),
    }
}

fn rules(text: &mut String, ctx: &Context<'_>) {
    let _ = writeln!(text, "\nRules of building codes");
    match air::compare(ctx.design, ctx.structure, ctx.space()) {
        Err(reason) => {
            let _ = writeln!(text, "  not compared, because {reason}");
        }
        Ok(all) => {
            for c in all {
                let stands = if c.applies { "applies, as the design says" } else { "not applicable here" };
                let _ = writeln!(text, "  {} ({stands}); written for {}", c.rule.word(), c.written_for);
                for Asked { what, found, limit, unit, met } in &c.asked {
                    let (found, limit) =
                        (number(*found, *unit, ctx.design.units), number(*limit, *unit, ctx.design.units));
                    let how = if *met { "meets it" } else { "falls short" };
                    let _ = writeln!(text, "    {what}: {found}, asked {limit}: {how}");
                }
            }
        }
    }
}

/// The answers of one case: each flow found with what it comes to.
type Found<'a> = &'a [(Flow, Answers)];

fn flow(text: &mut String, ctx: &Context<'_>, spec: &AirSpec, weather: &Weather) {
    let space = ctx.space();
    let mut cases: Vec<(Case, Found<'_>)> = Vec::new();
    let _ = writeln!(text, "\nFlow");
    let solved = ctx.flows().unwrap_or_default();
    for one in solved {
        if !one.unsettled.is_empty() {
            let how = one.unsettled.join(", ");
            let _ = writeln!(text, "  {}: nothing settled from these beginnings of a day: {how}", one.case.word());
        }
        match &one.found {
            Ok(all) => cases.push((one.case, all)),
            Err(trouble) => {
                let _ = writeln!(text, "  {}: no solution ({trouble})", one.case.word());
            }
        }
    }
    reaches(text, ctx, solved);
    let area: f64 = space.cells.iter().map(air::Cell::area).sum();
    for (case, found) in &cases {
        if found.len() > 1 {
            let _ = writeln!(
                text,
                "  {}: {} answers, by how the day began (two where more than 1 % of the flow differs)",
                case.word(),
                found.len()
            );
        }
        for (f, a) in *found {
            let word = case.word();
            let Some(leaving) = a.leaving else {
                let _ = writeln!(text, "  {word}: nothing flows");
                continue;
            };
            let _ = writeln!(
                text,
                "  {word}: {}, {:.0} air changes an hour, up to {:.2} m/s, leaves at {:.1} C",
                volume(a.volume, ctx.design.units),
                a.changes,
                a.fastest,
                leaving - CELSIUS
            );
            if let Some(vapour) = a.vapour {
                let day = vapour * 86400.0;
                let _ = write!(
                    text,
                    "          can carry off {day:.1} kg of vapour a day, {:.0} g/m2",
                    day * 1e3 / area.max(1e-9)
                );
                let _ = match air::vapour_from_below(space, spec) {
                    Some(comes) => {
                        let comes = comes * 86400.0;
                        let how = if day >= comes { "enough for" } else { "less than" };
                        writeln!(text, ": {how} the {comes:.1} kg that the design says come from below")
                    }
                    None => writeln!(text),
                };
            }
            if !a.begun.is_empty() {
                let _ = writeln!(text, "          where the day begins: {}", a.begun.join(", "));
            }
            let _ = writeln!(
                text,
                "          last solved in {}, imbalance {:.0e} of the flow, residual {:.0e} of the drive, friction {:.0} % of the loss",
                if f.steps == 1 { "1 step".to_owned() } else { format!("{} steps", f.steps) },
                f.imbalance,
                f.residual,
                f.friction_share * 100.0
            );
        }
    }
    in_all_cases(text, ctx, spec, solved);
    if let Some((_, a)) =
        cases.iter().find(|c| c.0 == Case::LIKELY).and_then(|c| c.1.first()).filter(|a| a.1.volume > 0.0)
    {
        bays(text, ctx, a);
    }
    let _ = writeln!(text, "\nWhat if (likely case)");
    let all = air::what_if(ctx.design, weather);
    for w in &all {
        let (n, m) = w.cells;
        let flow = match w.flow {
            Ok((low, high)) if high - low > 0.01 * high => {
                let (low, high) = (volume(low, ctx.design.units), volume(high, ctx.design.units));
                format!("{low} to {high}, the least and the most of several answers")
            }
            Ok((_, v)) => volume(v, ctx.design.units),
            Err(trouble) => format!("no solution ({trouble})"),
        };
        let _ = writeln!(text, "  {}: {flow}; {n} of {m} cells have a way", w.what);
    }
    let _ = match air::two_layers_over_one(&all) {
        Some(times) if times.is_infinite() => {
            writeln!(text, "  neither layer alone carries any air here: the two-layer lattice is needed")
        }
        Some(times) if times >= 1.1 => {
            writeln!(text, "  the two layers carry {times:.1} times what the better one of them carries alone")
        }
        Some(_) => writeln!(text, "  one layer alone carries as much here: for the air the second one is not needed"),
        None => writeln!(text, "  what the second layer is for cannot be told, as nothing flows or was solved"),
    };
}

fn volume(v: f64, units: Units) -> String {
    match units {
        Units::Millimetres => format!("{:.1} m3/h", v * 3600.0),
        Units::Inches => format!("{:.1} cfm", v * 60.0 / 0.3048_f64.powi(3)),
    }
}

/// From where to where each figure reaches, and which case gave the ends.
fn reaches(text: &mut String, ctx: &Context<'_>, solved: &[air::Solved]) {
    let units = ctx.design.units;
    for r in air::ranges(ctx.space(), solved) {
        let show = |v: f64| match r.figure {
            Figure::Volume => volume(v, units),
            Figure::Changes => format!("{v:.0}"),
            Figure::Fastest => format!("{v:.2} m/s"),
            Figure::Still => show_area(v, units),
            Figure::Vapour => format!("{:.1} kg a day", v * 86400.0),
            Figure::Leaving => format!("{:.1} C", v - CELSIUS),
        };
        let likely = if r.likely.is_empty() {
            "likely not solved".to_owned()
        } else {
            format!("likely {}", r.likely.iter().map(|v| show(*v)).collect::<Vec<_>>().join(" or "))
        };
        let end = |(v, case): (f64, Case)| format!("{} ({})", show(v), case.word());
        let (low, high) = (end(r.low), end(r.high));
        let _ = writeln!(text, "  {}: low {low}, {likely}, high {high}", r.figure.word());
    }
    if air::turns_round(ctx.space(), solved) {
        let _ = writeln!(
            text,
            "  air runs up in one case and down in another: between them it may stand still, so the low flow is no bound"
        );
    }
}

/// What holds whichever way the coefficients lie.
fn in_all_cases(text: &mut String, ctx: &Context<'_>, spec: &AirSpec, solved: &[air::Solved]) {
    let space = ctx.space();
    let slow = spec.still.value.metres_per_second();
    let all: Vec<&(Flow, Answers)> = solved.iter().flat_map(|s| s.found.iter().flatten()).collect();
    if all.is_empty() {
        return;
    }
    let share = |still: &dyn Fn(u32) -> bool| -> f64 {
        let n = list::number(space.cells.len());
        (0..n).filter(|c| still(*c)).filter_map(|c| space.cells.get(c as usize)).map(air::Cell::area).sum()
    };
    let is_still = |a: &Answers, c: u32| a.still.binary_search(&c).is_ok();
    let always = share(&|c| all.iter().all(|(_, a)| is_still(a, c)));
    let ever = share(&|c| all.iter().any(|(_, a)| is_still(a, c)));
    let _ = writeln!(
        text,
        "  slower than {slow} m/s: {} {}, {} in one or more",
        show_area(always, ctx.design.units),
        air::in_all(solved.len(), &air::unsettled(solved)),
        show_area(ever, ctx.design.units)
    );
    if spec.leak.is_some() && spec.humidity.is_none() {
        let _ = writeln!(
            text,
            "  whether the flow carries the stated vapour off is not checked, because air.humidity is not stated"
        );
    }
}

/// What holds in which case, so that nobody takes for certain what hangs on the coefficients.
fn holds(text: &mut String, ctx: &Context<'_>) {
    let rules = air::compare(ctx.design, ctx.structure, ctx.space()).unwrap_or_default();
    let all = air::statements(ctx.space(), ctx.design, &rules, ctx.flows().unwrap_or_default());
    let _ = writeln!(text, "\nWhat holds in which case");
    if all.is_empty() {
        let _ = writeln!(text, "  nothing was found that would have to be told");
    }
    for s in all {
        let _ = writeln!(text, "  {}: {}", s.what, s.cases());
    }
}

fn bays(text: &mut String, ctx: &Context<'_>, a: &Answers) {
    let _ = writeln!(text, "\nBays by their flow (likely case)");
    let mut put = |b: &air::Bay| {
        let slope = ctx.structure.slopes.get(b.slope.0).map_or("", |s| s.name.as_str());
        let down = if b.flow < 0.0 { ", downward" } else { "" };
        let shown = volume(b.flow.abs(), ctx.design.units);
        let _ = writeln!(text, "  {slope}, {}: {shown}{down}, up to {:.2} m/s", b.name(), b.fastest);
    };
    if a.bays.len() <= 2 * BAYS {
        a.bays.iter().for_each(put);
        return;
    }
    a.bays.iter().take(BAYS).for_each(&mut put);
    a.bays.iter().skip(a.bays.len() - BAYS).for_each(&mut put);
    let _ = writeln!(text, "  (the {BAYS} least and the {BAYS} most of {})", a.bays.len());
}
