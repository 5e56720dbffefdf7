//! Prescriptive rules that the design says apply.

use crate::air::{Asked, Unit, compare};
use crate::check::context::{Context, Report};
use crate::check::finding::{Evidence, Measure, Source};
use crate::check::{Check, Run, Verdict};

/// The check.
pub const CHECK: Check = Check {
    name: "air-rules",
    title: "Are the ventilation rules met that the local official applies to this roof?",
    page: "\
What
  A rule of IRC R806, DIN 4108-3, BS 5250 or NBC 9.19 that `air.rules` names and the roof does not meet.
Why
  The rules were written for other build-ups: lofts, rafter spaces, ventilated layers over insulation. Here they are
  comparisons, not applicable here, unless whoever has the say applies one.
How computed
  Net free area from the maker's figures and the lengths of the vent pieces that let air through; areas from the outlines,
  in plan where the rule says so; least height of the space from the solids. No flow is in it, so a finding holds in
  every case. `airlath air` shows all four rules.
Limits
  Only what the rules ask of areas, heights and screens; sd values are not looked at.
  IRC R806.2: 1/150 of the area in plan, or 1/300 by its exception. Editions differ (`air.irc_edition`). To 2009: 50 to 80
  percent of it at the top, 3 ft or more over the eaves, or a vapour retarder (`air.vapour_retarder`: class I or II, 1 perm
  at the most, on the warm side). 2012: 40 to 50 percent at the top or, in climate zones 6 to 8 (`air.climate_zone`), a
  retarder. 2018 and later: 40 to 50 percent at the top and, in zones 6 to 8, a retarder as well. Which of these 2015 has
  could not be settled: it is judged as the later ones, and so is a design that states no edition; one that states no zone
  as one in any zone. Shares are of the area that is asked, and no more at the top than its share of what is there. That the
  upper vents lie within 3 ft of the ridge is not looked at: they lie along the tops of the slopes.
  DIN 4108-3: eaves and tops of single slopes 2 permille of the slope's area over their length, at least 200 cm2 a metre;
  ridges and hips 0.5 permille of what they serve, at least 50 cm2 a metre, both slopes' vent pieces counted together. A
  slope's area is shared among its ridge and hips by their lengths, which is the program's own reading.
  BS 5250: where `air.ceiling_on_rafters` (the default) 25 mm at eaves, 5 mm at the ridge and a clear path of 50 mm; else
  the figures for cold roofs. That each slope has the 5 mm for itself is the program's own reading: so has its space.
  NBC 9.19.1.2: 1/150 of the ceiling on the rafters or of roofs below 1 in 6, else 1/300. Clearances over insulation (63 mm
  in joist spaces) are not asked: they are of another space.
Source
  IRC R806.2: 2009 by a city's print of it, 2012 quoted in full in public, 2021 by a maker's bulletin (two conditions must be
  met). DIN 4108-3 for 5 deg and more; BS 5250; NBC 9.19.1.2 as printed in Ontario's and Quebec's codes (its 25 percent top
  and bottom from memory). All by public texts, none by the standard itself.
",
    run: Run::When(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) -> Option<String> {
    let comparisons = match compare(ctx.design, ctx.structure, ctx.space()) {
        Ok(all) => all,
        Err(reason) => return Some(reason),
    };
    if !comparisons.iter().any(|c| c.applies) {
        return Some("no rule is said to apply here (air.rules); `airlath air` compares with four".to_owned());
    }
    for c in comparisons.iter().filter(|c| c.applies) {
        for Asked { what, found, limit, unit, .. } in c.asked.iter().filter(|a| !a.met) {
            let evidence = match unit {
                Unit::Length => vec![Evidence {
                    what: "height or opening",
                    found: Measure::Length(*found),
                    limit: Some(Measure::Length(*limit)),
                }],
                Unit::AreaPerLength => vec![Evidence {
                    what: "free area for each length, as a gap of this height",
                    found: Measure::Length(*found),
                    limit: Some(Measure::Length(*limit)),
                }],
                Unit::Area | Unit::Share => Vec::new(),
            };
            let percent = if *limit > 0.0 { found / limit * 100.0 } else { 0.0 };
            let message = format!("{}: {what}: {percent:.0} percent of what is asked", c.rule.word());
            let parts = vec![c.rule.word().to_owned(), what.clone()];
            let source = Source::words(&format!("{}, written for {}", c.rule.word(), c.written_for));
            report.add(Verdict::Fail, message, parts, None, evidence, Vec::new, source);
        }
    }
    None
}
