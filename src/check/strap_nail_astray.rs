//! Nails of straps that meet no wood, and straps that tie nothing.

use std::collections::BTreeSet;

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Place, Source};
use super::probe::{Outcome, Shank, probe};
use super::{Check, Run, Verdict, mends};
use crate::solid::Point3;
use crate::structure::{MemberId, Strap, StrapNail};

/// The check.
pub const CHECK: Check = Check {
    name: "strap-nail-astray",
    title: "Do the nails of straps meet members, and does each strap tie one to another?",
    page: "\
What
  Nails of straps that meet no member, are less than a diameter deep in it, or break out of its side; straps whose nails
  are all in one and the same member. Each said once for each field of straps on a slope.
Why
  Every nail of a strap is a hole in the membrane; one without wood holds nothing. A strap of which no nail holds on one
  side of its seam ties nothing, and neither does one that is nailed to the overhang alone or to the main framing alone.
How computed
  Each nail's shank is cut with the solids below the slope, as the battens' fasteners are: of an I-joist the top flange
  counts, a deck does not. A failing finding where a strap has nails on one side of its seam and none of them holds, and
  where all nails of a strap that hold are in the same member; else a warning.
Limits
  Two members count as two, whatever they are and wherever they begin: that one is the overhang is not looked at.
  How much a strap carries is not computed: its maker or a licensed designer says how many nails it wants.
Source
  The definition is the program's own.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Strap]);
    for n in 0..ctx.design.straps.len() {
        for on in &ctx.slopes {
            let here = ctx.structure.straps.iter().filter(|s| s.field == n && s.slope == on.id);
            let straps: Vec<(&Strap, Vec<Option<MemberId>>)> =
                here.map(|s| (s, s.nails.iter().map(|nail| held_by(ctx, on, nail)).collect())).collect();
            astray(ctx, on, (n, &straps), report);
            untied(ctx, on, (n, &straps), report);
        }
    }
}

/// Straps, each with the member that each of its nails is in.
type Nailed<'a> = [(&'a Strap, Vec<Option<MemberId>>)];

/// Whether a strap has nails on a side of its seam of which none holds.
fn loose(ctx: &Context<'_>, strap: &Strap, held: &[Option<MemberId>]) -> bool {
    let Some(seam) = ctx.design.straps.get(strap.field).map(|f| f.seam.metres()) else { return false };
    let beside = |upper: bool| {
        let mut nails = strap.nails.iter().zip(held).filter(move |(nail, _)| (nail.y > seam) == upper).peekable();
        nails.peek().is_some() && nails.all(|(_, member)| member.is_none())
    };
    beside(false) || beside(true)
}

/// Nails that are in no member.
fn astray(ctx: &Context<'_>, on: &OnSlope<'_>, (n, straps): (usize, &Nailed<'_>), report: &mut Report<'_>) {
    let pairs =
        straps.iter().flat_map(|(s, held)| s.nails.iter().zip(held).map(move |(nail, member)| (*s, nail, member)));
    let nails = pairs.clone().count();
    let idle: Vec<(&Strap, &StrapNail)> =
        pairs.filter(|(_, _, member)| member.is_none()).map(|(s, nail, _)| (s, nail)).collect();
    let (Some((_, first)), Some(field)) = (idle.first(), ctx.design.straps.get(n)) else { return };
    let loose = straps.iter().any(|(s, held)| loose(ctx, s, held));
    let what = if loose { "so that a strap holds on one side of its seam alone" } else { "which hold nothing" };
    let message = format!(
        "straps[{}] on slope {}: {} of {nails} nails are in no member, {what}",
        n + 1,
        on.frame.name,
        idle.len()
    );
    let mut parts: Vec<String> = idle.iter().map(|(s, _)| s.name.clone()).collect();
    parts.dedup();
    let place = Some(Place { slope: on.id, at: [first.x, first.y, first.z] });
    let evidence = vec![Evidence::count("nails in no member", idle.len(), 0)];
    let help =
        mends::advice("leave out the nails that meet no wood, or shift the straps or their nails over the members");
    let verdict = if loose { Verdict::Fail } else { Verdict::Warn };
    report.add(verdict, message, parts, place, evidence, || vec![help], Source::of(&field.shift));
}

/// Straps whose nails are all in one member. Those that hold on one side alone are told with their nails.
fn untied(ctx: &Context<'_>, on: &OnSlope<'_>, (n, straps): (usize, &Nailed<'_>), report: &mut Report<'_>) {
    let one = |(s, held): &&(&Strap, Vec<Option<MemberId>>)| {
        held.iter().any(Option::is_some) && !ties(held) && !loose(ctx, s, held)
    };
    let single: Vec<&Strap> = straps.iter().filter(one).map(|(s, _)| *s).collect();
    let (Some(first), Some(field)) = (single.first(), ctx.design.straps.get(n)) else { return };
    let Some(nail) = first.nails.first() else { return };
    let message = format!(
        "straps[{}] on slope {}: {} of {} straps hold in one member alone and tie nothing to it",
        n + 1,
        on.frame.name,
        single.len(),
        straps.len()
    );
    let parts = single.iter().map(|s| s.name.clone()).collect();
    let place = Some(Place { slope: on.id, at: [nail.x, nail.y, nail.z] });
    let evidence = vec![Evidence::count("straps in one member alone", single.len(), 0)];
    let help = mends::advice(
        "lay each strap over both members that it is to tie: shift it, stagger its nails, or move its ends and its seam",
    );
    report.add(Verdict::Fail, message, parts, place, evidence, || vec![help], Source::of(&field.shift));
}

/// Whether nails that are in these members tie one to another.
pub(super) fn ties(held: &[Option<MemberId>]) -> bool {
    held.iter().flatten().collect::<BTreeSet<_>>().len() > 1
}

/// The member that a strap's nail is in.
pub(super) fn held_by(ctx: &Context<'_>, on: &OnSlope<'_>, nail: &StrapNail) -> Option<MemberId> {
    let index = ctx.structure.under.get(on.id.0)?;
    let head = Point3::new(nail.x, nail.y, nail.z);
    let shank = Shank { head, length: nail.length, radius: nail.radius, embedment: 2.0 * nail.radius };
    let backing = probe(index, &shank);
    backing.member.filter(|_| backing.outcome == Outcome::Backed)
}
