//! Strips that do not lie on tape.

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Place, Source};
use super::{Check, Run, Verdict, mends};
use crate::design::StrapPlace;
use crate::lattice::x_at;
use crate::solid::tolerance::{DISTINCT, SAME};
use crate::solid::{Entry, Point3, Pose, Vector3};

/// The check.
pub const CHECK: Check = Check {
    name: "strip-off-tape",
    title: "Does every strip lie on tape?",
    page: "\
What
  A strip whose middle has neither tape nor a strap right under it, near its ends or half way along: that fails. A strip of
  which only a side lies beside its tape: that warns. Tape and strip were laid at different times, by different
  measurements.
Why
  The tape holds the strip until the battens do, and seals round what is driven through both.
How computed
  A line from above the strip straight into the slope: where it leaves the strip's underside it must enter a tape within a
  micrometre. A strip notched or raised over a strap must touch the strap, or the tape over it: to a micrometre.
Limits
  Three places along each strip, at its middle and its sides.
Source
  The definition is the program's own.
",
    run: Run::Always(run),
};

/// How far from its ends a strip is asked, metres.
const INSIDE: f64 = 1e-3;

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Strip]);
    let down = Vector3::new(0.0, 0.0, -1.0);
    for on in &ctx.slopes {
        for (k, strip) in (0..).zip(&on.lattice.strips) {
            let Some((low, high)) = strip.path.first().zip(strip.path.last()) else { continue };
            let places = [low.0 + INSIDE, (low.0 + high.0) / 2.0, high.0 - INSIDE];
            let lies = |across: f64, y: f64| {
                let x = x_at(&strip.path, y) + across;
                let above = Point3::new(x, y, strip.top + 0.1);
                let underside = 0.1 + strip.top - strip.bottom;
                let mut touches = false;
                on.tapes.near((x - SAME, x + SAME), (y - SAME, y + SAME), |entry| {
                    let chord = entry.body.chord(&above, &down);
                    touches |= chord.is_some_and(|c| (c.enter - underside).abs() <= SAME);
                });
                touches
            };
            let side = strip.width / 2.0 - INSIDE;
            let bare = if strip.bottom > ctx.lattice.levels.tape + SAME {
                // Notched or raised over a strap, which need not lie under its middle: they must touch.
                (!lies_over_strap(ctx, on, k)).then_some((0.0, places[1]))
            } else {
                // What an edge cuts off is not there to be asked.
                let is_there = |across: f64, y: f64| {
                    let at = Point3::new(x_at(&strip.path, y) + across, y, strip.bottom);
                    strip.cuts.iter().all(|plane| plane.distance(&at) <= -SAME)
                };
                let asked = [0.0, -side, side].into_iter().flat_map(|across| places.map(|y| (across, y)));
                asked.into_iter().find(|(across, y)| is_there(*across, *y) && !lies(*across, *y))
            };
            if let Some((across, y)) = bare {
                let (verdict, what) = match across {
                    0.0 => (Verdict::Fail, "does not lie on tape"),
                    a if a < 0.0 => (Verdict::Warn, "lies beside its tape with its left side"),
                    _ => (Verdict::Warn, "lies beside its tape with its right side"),
                };
                let message = format!("{} {what}", strip.name);
                let place = Some(Place { slope: on.id, at: [x_at(&strip.path, y) + across, y, strip.top] });
                let evidence = vec![Evidence::count("tapes and straps right under it", 0, 1)];
                let help = mends::advice(format!("stick tape under {}, or lay it on its tape", strip.name));
                let source = Source::words("a strip lies on its tape, or on a strap on the tape");
                report.add(verdict, message, vec![strip.name.clone()], place, evidence, || vec![help], source);
            }
        }
    }
}

/// Whether a strip lies on a strap, or on the tape that yields to a strap below it: let down by as much and a hair more, it
/// is a hair deep in the strap.
fn lies_over_strap(ctx: &Context<'_>, on: &OnSlope<'_>, strip: u32) -> bool {
    let tape = ctx.lattice.levels.tape;
    on.strips.entries.iter().filter(|e| e.tag == strip).any(|Entry { body, low, high, .. }| {
        let mut lies = false;
        on.straps.near((low.x, high.x), (low.y, high.y), |entry| {
            let place = ctx.structure.straps.get(entry.tag as usize).map(|s| s.place);
            let between = if place == Some(StrapPlace::UnderTape) { tape } else { 0.0 };
            let let_down = body.moved(&Pose::translation(0.0, 0.0, -between - DISTINCT));
            lies |= let_down.depth(&entry.body, 0.0).is_some_and(|d| (d - DISTINCT).abs() <= SAME);
        });
        lies
    })
}
