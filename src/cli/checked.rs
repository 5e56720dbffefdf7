//! From files to a checked scene, and from there to the terminal: what most verbs do alike.

use std::path::Path;
use std::process::ExitCode;

use super::arguments::Level;
use super::files::{Inputs, Sources};
use super::plan_file::Stamp;
use super::progress::Progress;
use super::{Failure, exit, print};
use crate::check::{self, Context};
use crate::fix::prove;
use crate::plan::Plan;
use crate::scene::{Building, Detail, Scene, air_marks, looks};

/// A plan, what its checks asked, and the scene of both.
pub struct Checked<'c, 'p> {
    /// The plan, with its drive log where one is named.
    pub plan: &'p Plan,
    /// What the checks asked.
    pub ctx: &'c Context<'p>,
    /// Parts, landings and records.
    pub scene: &'c Scene<'c>,
    /// What it is made of.
    pub inputs: &'c Inputs,
}

/// What a verb wants of its scene.
#[derive(Clone, Copy)]
pub struct Wanted {
    /// What the terminal says while it lasts.
    pub doing: &'static str,
    /// How finely parts are shown.
    pub detail: Detail,
    /// Whether there are further ways of looking at it and the marks of the air, which only a model shows.
    pub looks: bool,
    /// From which verdict on the exit code is 1.
    pub level: Level,
}

impl Checked<'_, '_> {
    /// What the files of the plan share.
    pub fn stamp(&self) -> Stamp {
        self.inputs.stamp(self.plan)
    }
}

impl Wanted {
    /// Plain parts, without further looks.
    pub fn plain(doing: &'static str, level: Level) -> Wanted {
        Wanted { doing, detail: Detail::Plain, looks: false, level }
    }
}

/// Reads, plans and checks a design, lends its scene to a verb, and prints what that has to say.
pub fn checked(
    sources: &Sources,
    log: Option<&Path>,
    wanted: Wanted,
    work: impl FnOnce(&Checked<'_, '_>) -> Result<String, Failure>,
) -> Result<ExitCode, Failure> {
    let progress = Progress::begin(wanted.doing);
    let inputs = sources.inputs(log)?;
    let plan = inputs.plan()?;
    let ctx = plan.context();
    let mut results = check::run(&ctx);
    prove(&sources.texts()?, &plan, &mut results);
    let mut building = Building::new(&ctx, &results, wanted.detail);
    if wanted.looks {
        building = building.with_looks(looks(&ctx)).with_air_marks(air_marks(&ctx));
    }
    let scene = building.scene(&results);
    let mut text = work(&Checked { plan: &plan, ctx: &ctx, scene: &scene, inputs: &inputs })?;
    if let Some(driven) = &plan.driven {
        text.push_str(&rows_to_look_at(&driven.log.told));
    }
    drop(progress);
    print(&text)?;
    Ok(exit(scene.header.verdict, wanted.level))
}

/// Rows of a table that count for nothing, or not for all that was written.
pub fn rows_to_look_at(told: &[String]) -> String {
    if told.is_empty() {
        return String::new();
    }
    format!("\nRows of the log to look at\n  {}\n", told.join("\n  "))
}
