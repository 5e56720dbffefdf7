//! Changes tried on the text of a design: what really opens an empty window.
//!
//! Aim: no remedy is offered that a re-run has not shown to work. Reason: a change of one place may close another, or bring what a
//! check finds elsewhere: then its words stay, and the change is withdrawn.
//! Limits: each change alone; at most as many re-runs as [`Openings::new`] allows, after which none is offered. Those of
//! them whose windows are open are checked as a whole, as many as [`most_runs`] allows; what was not says so. A drive log is
//! left aside, before and after.

use std::collections::BTreeMap;

use super::prove::{most_runs, words as without_value};
use super::{Difference, Trial};
use crate::aim::{Conditions, Obstacle, Obstacles, Region, Site};
use crate::check::{self, Context, OnSlope, remedies};
use crate::design::SlopeId;
use crate::lattice::{Landing, On, SlopeLattice, tape_bodies};
use crate::plan::Texts;
use crate::quantity::Angle;
use crate::solid::BodyIndex;

/// Something that opens an empty window.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    /// What to do.
    pub text: String,
    /// The same as a change of the design file; `None` for a tilt, and for a change that brings a finding elsewhere.
    pub change: Option<String>,
    /// Area of the window that it opens, square metres.
    pub area: f64,
}

/// What opens the windows of one design.
pub struct Openings<'t> {
    texts: &'t Texts,
    /// Re-runs so far, by the change.
    tried: BTreeMap<String, Option<Rerun>>,
    left: usize,
    /// What checks find without any change, once it was asked.
    before: Option<Vec<check::Result>>,
    proofs_left: usize,
    /// Whether changes were left untried.
    pub cut_short: bool,
}

/// Landings planned again in all, and the most and the fewest re-runs.
const LANDINGS: usize = 400_000;
const RUNS: (usize, usize) = (400, 4);

impl<'t> Openings<'t> {
    /// What opens the windows of a design of so many landings.
    pub fn new(texts: &'t Texts, landings: usize) -> Openings<'t> {
        let left = (LANDINGS / landings.max(1)).clamp(RUNS.1, RUNS.0);
        let proofs_left = most_runs(landings);
        Openings { texts, tried: BTreeMap::new(), left, before: None, proofs_left, cut_short: false }
    }

    /// What opens the window of a fastener: the smallest tilt that does, and every change whose re-run shows it open.
    pub fn of(
        &mut self,
        ctx: &Context<'_>,
        on: &OnSlope<'_>,
        (number, fastener): (usize, usize),
        conflict: Conditions,
    ) -> Vec<Opening> {
        let mut all = Vec::new();
        let Some(landing) = on.lattice.landings.get(number) else { return all };
        if let Some(((angle, direction), region)) = ctx.site(on).and_then(|s| s.opening_tilt(number, fastener)) {
            let text = format!(
                "drive it leaning {} so that its tip goes {}, not at every tilt",
                Angle::from_radians(angle).show(),
                words(direction)
            );
            let text =
                if angle > 0.0 { text } else { "drive it without any tilt: at none of the hand's is it sure".into() };
            all.push(Opening { text, change: None, area: region.area() });
        }
        for mend in remedies(ctx, on, number, conflict) {
            let text = mend.change.text();
            if !self.tried.contains_key(&text) {
                if self.left == 0 {
                    self.cut_short = true;
                    continue;
                }
                self.left -= 1;
                let trial = Trial::of(self.texts, &mend.change).ok();
                self.tried.insert(text.clone(), trial.map(Rerun::of));
            }
            let Some(Some(again)) = self.tried.get_mut(&text) else { continue };
            let Some(area) = open(again, ctx, on, landing, fastener) else { continue };
            if again.brings_new.is_none() && self.proofs_left > 0 {
                self.proofs_left -= 1;
                let texts = self.texts;
                let now = || match ctx.driven {
                    None => check::run_for_findings(ctx),
                    Some(_) => texts.plan().map_or_else(|_| Vec::new(), |p| check::run_for_findings(&p.context())),
                };
                let before = self.before.get_or_insert_with(now);
                again.brings_new = Some(Difference::between(before, again.trial.results()).harms());
            }
            let (text, change) = match again.brings_new {
                Some(false) => (mend.text, Some(text)),
                Some(true) => {
                    (format!("{}, but alone it brings another finding elsewhere", without_value(&mend)), None)
                }
                None => (mend.text + " (what it does elsewhere was not checked)", Some(text)),
            };
            // Of sizes that do the same harm the words are said once.
            if all.iter().all(|r: &Opening| r.text != text) {
                all.push(Opening { text, change, area });
            }
        }
        all
    }
}

/// A changed plan, with what its windows are asked of.
struct Rerun {
    trial: Trial,
    slopes: Vec<Ready>,
    /// Whether its checks find something new; not known before they are run.
    brings_new: Option<bool>,
}

/// One slope of it.
struct Ready {
    keep_away: Obstacles,
    tapes: BodyIndex<u32>,
    straps: BodyIndex<u32>,
    /// Numbers of landings by their courses' names.
    by_course: BTreeMap<String, Vec<usize>>,
}

impl Rerun {
    fn of(trial: Trial) -> Rerun {
        let plan = &trial.plan;
        let slopes = plan.lattice.slopes.iter().enumerate();
        let ready = |(s, on): (usize, &SlopeLattice)| {
            let mut by_course: BTreeMap<String, Vec<usize>> = BTreeMap::new();
            for (number, landing) in on.landings.iter().enumerate() {
                if let Some(name) = course(on, landing) {
                    match by_course.get_mut(name) {
                        Some(list) => list.push(number),
                        None => drop(by_course.insert(name.to_owned(), vec![number])),
                    }
                }
            }
            Ready {
                keep_away: Obstacles::new(Obstacle::clips(&plan.design, on)),
                tapes: tape_bodies(on, &plan.lattice.levels),
                straps: plan.found.strap_bodies(SlopeId(s)),
                by_course,
            }
        };
        let slopes = slopes.map(ready).collect();
        Rerun { trial, slopes, brings_new: None }
    }
}

/// The name of a landing's course.
fn course<'l>(on: &'l SlopeLattice, landing: &Landing) -> Option<&'l str> {
    let piece = on.pieces.get(landing.piece as usize)?;
    on.courses.get(piece.course as usize).map(|c| c.name.as_str())
}

/// Area of the window that a re-run opens: the smallest among the landings that now stand on the same line of the same
/// course (a joint may have gone from there), or that of a landing that the change adds. `None` where one is empty.
fn open(rerun: &Rerun, ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing, fastener: usize) -> Option<f64> {
    let (plan, slope) = (&rerun.trial.plan, on.id.0);
    let (frame, again) = (plan.found.slopes.get(slope)?, plan.lattice.slopes.get(slope)?);
    let ready = rerun.slopes.get(slope)?;
    let site = Site {
        design: &plan.design,
        structure: &plan.found,
        lattice: &plan.lattice,
        frame,
        on: again,
        under: plan.found.under.get(slope)?,
        tapes: &ready.tapes,
        straps: &ready.straps,
        keep_away: &ready.keep_away,
    };
    let on = on.lattice;
    let what = on.on_name(landing, ctx.structure);
    let at = course(on, landing);
    // Places are numbered from the left, so an added one takes another's name: told apart by where they are.
    let before = |l: &Landing| {
        let same = |b: &&Landing| matches!(b.on, On::Place) && (b.x - l.x).abs() < 1e-6 && course(on, b) == at;
        on.landings.iter().any(|b| same(&b))
    };
    let added = |l: &Landing| matches!(l.on, On::Place) && !before(l);
    let numbers = at.and_then(|name| ready.by_course.get(name)).map_or(&[][..], Vec::as_slice);
    let all: Vec<(usize, &Landing)> = numbers.iter().filter_map(|n| Some((*n, again.landings.get(*n)?))).collect();
    let new: Vec<&(usize, &Landing)> = all.iter().filter(|l| added(l.1)).collect();
    let same = || all.iter().filter(|l| again.on_name(l.1, &plan.found) == what);
    let asked: Vec<usize> = if new.is_empty() {
        let near = |l: &&(usize, &Landing)| !matches!(landing.on, On::Place) || (l.1.x - landing.x).abs() < 1e-6;
        same().filter(near).map(|l| l.0).collect()
    } else {
        new.iter().map(|l| l.0).collect()
    };
    let regions: Vec<Region> = asked
        .iter()
        .map(|n| {
            site.sure(*n, fastener.min(again.landings.get(*n).map_or(0, |l| usize::from(l.count).saturating_sub(1))))
        })
        .collect();
    let open = !regions.is_empty() && regions.iter().all(|r| !r.is_empty());
    open.then(|| regions.iter().map(Region::area).fold(f64::INFINITY, f64::min))
}

/// A direction on the slope in words: 0 to the right, a quarter turn up.
fn words(direction: f64) -> &'static str {
    const WORDS: [&str; 8] = [
        "to the right",
        "up and to the right",
        "up the slope",
        "up and to the left",
        "to the left",
        "down and to the left",
        "down the slope",
        "down and to the right",
    ];
    let eighth = (direction / std::f64::consts::FRAC_PI_4).round().rem_euclid(8.0) as usize;
    WORDS.get(eighth).copied().unwrap_or("to the right")
}
