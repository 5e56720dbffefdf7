//! Air that moves more slowly than the design asks for.

use crate::air::{Case, Cell, Pocket, Solved, in_all, turns_round, unsettled};
use crate::check::context::{Context, Report};
use crate::check::finding::{Evidence, Measure, Place, Source};
use crate::check::{Check, Run, Verdict};
use crate::quantity::{Length, show_area};

/// The check.
pub const CHECK: Check = Check {
    name: "still-air",
    title: "Does the air under the roofing move as fast as the design asks for?",
    page: "\
What
  Places on a way from eave to top where the air is slower than `air.still`.
Why
  Slow air takes up little moisture. How slow is too slow is yours to say; no published limit is known to the program.
How computed
  The flow is solved in a likely case, and with all uncertain losses and the wind's pressures at either end: five cases,
  three where no wind blows. A cell is still in a case when it is in any answer found there. Warned is what is still in
  the likely case, a slope at a time; the message tells how much is still in the case with the least and in the one with the
  most, and the place of the largest stretch.
  Where the air warms on its way (`roofing`, `sun` in `[air]`) flows and temperatures are found in turn, from several
  beginnings of a day: all cold, all hot, each bay as warm as a fixed lot says, one slope alone warm, and every answer
  found turned round (past 20,000 cells only cold, hot and turned round). Wind against warm air can have more than one
  answer; each is kept with the beginnings that come to it, and two whose openings pass the same to 1 percent are one.
  An answer to which small changes do not come back is none. Each answer's flows balance, and what errs in their laws is
  shown beside it by `airlath air`.
Limits
  An answer that no beginning comes to is not found; a beginning that does not settle is told. Pockets are left to
  `no-air-path`; a stretch within one cell between neighbouring courses and lines is left out. What is still in other cases only is not warned of. Where the flow turns
  round from case to case the air may stand still between them; the message says so. The speed is the mean over a cell: behind battens there are eddies. It
  is asked only where the design states the speed, the weather and the free areas.
Source
  The limit is the design's; how the cases differ: `airlath air` and the pages it names.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let Some(air) = ctx.design.air.as_ref().filter(|a| a.still.origin.line().is_some()) else {
        return Some("the design does not state below which speed air stands still (air.still)".to_owned());
    };
    let cases = match ctx.flows() {
        Ok(all) => all,
        Err(reason) => return Some(reason.to_owned()),
    };
    if let Some(c) = cases.iter().find(|c| c.found.is_err()) {
        return Some(format!("the flow in the case \"{}\" was not solved", c.case.word()));
    }
    let Some(likely) = cases.iter().find(|c| c.case == Case::LIKELY) else {
        return Some("the flow was not solved".to_owned());
    };
    let space = ctx.space();
    let cell = |c: u32| space.cells.get(c as usize);
    let on_a_way = |c: u32| space.way.get(c as usize) == Some(&true);
    let tall = ctx.design.lattice.batten.spacing.metres();
    let wide = space.cells.iter().map(Cell::width).fold(0.0, f64::max);
    let turns = turns_round(space, cases);
    for on in &ctx.slopes {
        let here = |c: u32| on_a_way(c) && cell(c).is_some_and(|k| k.slope == on.id);
        let zones_in = |case: &Solved| {
            let mut zones = space.zones(|c| here(c) && case.is_still(c));
            zones.retain(|z| !z.is_corner(tall, wide));
            zones
        };
        let area_of = |zones: &[Pocket]| zones.iter().map(|z| z.area).sum::<f64>();
        let zones = zones_in(likely);
        let Some(largest) = zones.iter().max_by(|a, b| a.area.total_cmp(&b.area)) else { continue };
        let Some((_, x, y)) = largest.on.first() else { continue };
        let all: f64 = space.cells.iter().filter(|c| c.slope == on.id).map(Cell::area).sum();
        let area = area_of(&zones);
        let (mut least, mut most) = ((area, Case::LIKELY), (area, Case::LIKELY));
        for case in cases {
            let still = area_of(&zones_in(case));
            if still < least.0 {
                least = (still, case.case);
            }
            if still > most.0 {
                most = (still, case.case);
            }
        }
        let units = ctx.design.units;
        let show = |v: f64| Length::from_metres(v).show(units);
        let open = unsettled(cases);
        let end = |(still, case): (f64, Case)| format!("{} in the case \"{}\"", show_area(still, units), case.word());
        let mut holds = match (least.0 < area, most.0 > area) {
            (false, false) => in_all(cases.len(), &open),
            (true, false) => format!("in the likely case, but {}", end(least)),
            (false, true) => format!("in the likely case, and {}", end(most)),
            (true, true) => format!("in the likely case, but {}, and {}", end(least), end(most)),
        };
        if turns {
            holds.push_str("; from case to case the flow turns round, so between them all of it may stand still");
        }
        let message = format!(
            "{} of slope {} have air slower than {} m/s {holds}; the largest stretch reaches from {} to {} along the eave \
             and from {} to {} up the slope",
            show_area(area, units),
            on.frame.name,
            air.still.value.metres_per_second(),
            show(x.0),
            show(x.1),
            show(y.0),
            show(y.1)
        );
        let at = cell(largest.largest).map_or((0.0, 0.0), Cell::middle);
        let place = Some(Place { slope: on.id, at: [at.0, at.1, ctx.lattice.levels.batten] });
        let share = |what, v: f64| Evidence { what, found: Measure::Share(v / all), limit: None };
        let evidence = vec![
            share("share of the slope, least of all cases", least.0),
            share("share of the slope, likely case", area),
            share("share of the slope, most of all cases", most.0),
        ];
        let parts = vec![on.frame.name.clone()];
        report.add(Verdict::Warn, message, parts, place, evidence, Vec::new, Source::of(&air.still));
    }
    None
}
