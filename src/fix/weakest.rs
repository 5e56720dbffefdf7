//! The weakest link: which single change buys most strength, from actual re-runs.
//!
//! Aim: for each of a few changes of the design, the whole roof planned and computed again, and what became of the
//! most loaded landing. Reason: a longer nail may help less than another shank, and only a re-run knows. Limits: one change at
//! a time, of the fastening or of the courses; the changes are common sizes and no advice. It supports a licensed designer and never replaces
//! one.

use super::Trial;
use crate::check::strength::path::Landed;
use crate::check::strength::{carrying, each_landing};
use crate::check::{Context, scope_line};
use crate::design::{Change, Design, FastenerKind, Faults};
use crate::plan::Texts;
use crate::quantity::Length;

/// How a roof stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// The landing with the greatest share.
    pub landing: String,
    /// Its share.
    pub share: f64,
    /// What decides there.
    pub mode: &'static str,
    /// Landings that carry.
    pub carrying: usize,
    /// Landings that are backed.
    pub backed: usize,
    /// Landings in all.
    pub landings: usize,
}

/// One change with what it brings.
#[derive(Clone, Debug)]
pub struct Tried {
    /// In words.
    pub text: String,
    /// Key and value of the design file, one change a line.
    pub change: Vec<(String, String)>,
    /// How the roof then stands, or why that is not known.
    pub then: Result<Standing, String>,
}

/// The roof as designed, and every change tried, best first.
#[derive(Clone, Debug)]
pub struct Weakest {
    /// What of the roof as designed was checked and what not.
    pub scope: String,
    /// As designed.
    pub now: Standing,
    /// The changes.
    pub tried: Vec<Tried>,
}

/// Tries the changes.
///
/// # Errors
/// The faults of the texts, or the reasons why strength is not checked, as text.
pub fn weakest(texts: &Texts) -> Result<Weakest, String> {
    let told = |all: Vec<Faults>| all.iter().map(|f| f.render(false)).collect::<String>();
    let plan = texts.plan().map_err(told)?;
    let ctx = plan.context();
    let scope = scope_line(&ctx);
    let now = standing(&ctx).map_err(|why| format!("error: {why}\n{scope}"))?;
    let mut tried: Vec<Tried> = changes(&plan.design)
        .into_iter()
        .map(|(text, change)| {
            let sets = change.iter().map(|(key, value)| Change::Set { key: key.clone(), value: value.clone() });
            let then = Trial::of(texts, &Change::All(sets.collect())).and_then(|t| standing(&t.plan.context()));
            Tried { text, change, then }
        })
        .collect();
    let share = |t: &Tried| t.then.as_ref().map_or(f64::INFINITY, |s| s.share);
    tried.sort_by(|a, b| share(a).total_cmp(&share(b)));
    Ok(Weakest { scope, now, tried })
}

/// How a planned roof stands.
fn standing(ctx: &Context<'_>) -> Result<Standing, String> {
    let a = ctx.strength().map_err(|why| format!("strength: not checked, because {}", why.join("; ")))?;
    let mut worst: Option<Standing> = None;
    let landings = ctx.lattice.landing_count();
    let (carrying, backed) = (carrying(ctx, a), ctx.backed_count());
    for (on, landing, _, landed) in each_landing(ctx, a) {
        let Landed::Used(used) = landed else { continue };
        if worst.as_ref().is_none_or(|w| used.ratio > w.share) {
            let landing = ctx.landing_name(on, landing);
            worst = Some(Standing { landing, share: used.ratio, mode: used.mode.words(), carrying, backed, landings });
        }
    }
    worst.ok_or_else(|| "no landing holds, or none is computed: see the check landing-overloaded".to_owned())
}

/// A change: its words, and keys with values as TOML.
type Candidate = (String, Vec<(String, String)>);

/// The changes that are tried.
fn changes(design: &Design) -> Vec<Candidate> {
    let f = &design.fastening;
    let units = design.units;
    let text = |metres: f64| format!("\"{}\"", crate::design::change::length(metres, units));
    let set = |key: &str, value: String| (key.to_owned(), value);
    let mut all: Vec<Candidate> = Vec::new();
    if f.kind.value == FastenerKind::Nail {
        all.push((
            "ring-shank nails of the same size".to_owned(),
            vec![set("fastening.kind", "\"ring-shank nail\"".to_owned())],
        ));
    }
    for longer in [0.5, 1.0] {
        let length = f.length.metres() + Length::from_inches(longer).metres();
        let shown = Length::from_metres(length).show_fine(units);
        all.push((format!("the same fastener, {shown} long"), vec![set("fastening.length", text(length))]));
    }
    if !f.kind.value.is_screw() {
        // A number 10 wood screw that reaches ten diameters into the member, in quarters of an inch.
        let spec = &design.lattice;
        let layers = [&spec.batten.thickness, &spec.strip.height, &spec.tape.thickness, &spec.membrane, &spec.deck];
        let through: f64 = layers.iter().map(|l| l.metres()).sum();
        let quarter = Length::from_inches(0.25).metres();
        let length = ((through + Length::from_inches(1.9).metres()) / quarter - 1e-6).ceil() * quarter;
        all.push((
            format!("number 10 wood screws, {} long", Length::from_metres(length).show_fine(units)),
            vec![
                set("fastening.kind", "\"screw\"".to_owned()),
                set("fastening.diameter", text(Length::from_inches(0.19).metres())),
                set("fastening.length", text(length)),
            ],
        ));
    }
    if f.per_landing.value < 6 {
        let n = f.per_landing.value + 1;
        all.push((format!("{n} fasteners in every landing"), vec![set("fastening.per_landing", n.to_string())]));
    }
    let closer = design.lattice.batten.spacing.metres() * 0.75;
    all.push((
        format!("courses {} on centre", Length::from_metres(closer).show_fine(units)),
        vec![set("lattice.batten.spacing", text(closer))],
    ));
    all
}
