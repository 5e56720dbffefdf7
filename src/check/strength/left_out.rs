//! What strength leaves out, said always.

use super::reasons;
use crate::check::context::{Context, Report};
use crate::check::{Check, Run};

/// The check.
pub const CHECK: Check = Check {
    name: "strength",
    title: "What of wind, snow and weight was not checked?",
    page: "\
What
  Everything about strength that was not computed, and why: the loads that the design does not give, and what is never
  computed.
Why
  Silence must not look like approval.
How computed
  Listed. What is left out while the rest is computed (wind, wind on overhangs, wind pressure towards the roof, snow, unbalanced
  snow, roof live load, head pull-through) stands in the first line of the summary as well.
Limits
  Never computed: snow drift against walls and higher roofs, and sliding snow; ice at eaves; snow guards; battens bent down the slope, about
  their stiff axis; the clips' steel and seams, shear of their screws, and the roofing itself; steel straps; splitting of battens and members; shear along the batten between panels; earthquake;
  the framing below. It supports a licensed designer and never replaces one.
Source
  None.
",
    run: Run::When(run),
};

/// What is never computed.
pub const NEVER: &str = "never computed: snow drift against walls and higher roofs, sliding snow, ice at eaves, snow guards, battens bent \
                         down the slope about their stiff axis, the clips themselves and the shear of their screws, roofing, \
                         splitting, earthquake, the framing below";

fn run(ctx: &Context<'_>, _: &mut Report<'_>) -> Option<String> {
    let mut all = match ctx.strength() {
        Ok(a) => a.basis.left_out.clone(),
        Err(why) => why.to_vec(),
    };
    if let Ok(a) = ctx.strength()
        && a.basis.holds.len() > 1
    {
        all.push(
            "how panels are held along the slope (strength.held, strength.fixed_at) is not said: every way was computed and \
             the worse decides; please say it"
                .to_owned(),
        );
    }
    all.push(NEVER.to_owned());
    all.push("a licensed designer must confirm what carries wind or snow".to_owned());
    Some(reasons(&all))
}
