//! The fasteners of a landing in their place, as the rule set asks for them.
//!
//! Aim: from what the solids say of each fastener (how deep, in which member, of which wood), what it holds. Reason: of two nails
//! in one landing one may sit less deep, or in another member. Limits: fasteners share alike, so the one that holds least
//! judges the landing; one that the solids show in no member gets no share.

use super::basis::Basis;
use crate::check::context::{Context, OnSlope};
use crate::check::probe::{Backing, Outcome, Tip};
use crate::design::{MemberKind, Section};
use crate::lattice::Landing;
use crate::solid::{Point3, Vector3};
use crate::structure::{Component, MemberId};

/// What a fastener is driven into and through, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// The member.
    pub member: MemberId,
    /// Number of its wood: see [`Basis::wood_of`].
    pub wood: usize,
    /// Between batten and member: strip, tape, membrane, deck.
    pub gap: f64,
    /// From the member's upper face to the tip.
    pub penetration: f64,
    /// What of that may count: to the end of the member or of its top flange.
    pub countable: f64,
    /// The load down the slope runs across the member's grain.
    pub across: bool,
}

/// The seats of a landing's fasteners that are backed, one by one.
pub fn seats(ctx: &Context<'_>, basis: &Basis, on: &OnSlope<'_>, landing: &Landing) -> Vec<Seat> {
    let all = on.backing_of(landing).iter().enumerate();
    let held = all.filter(|(_, b)| b.outcome == Outcome::Backed);
    held.filter_map(|(number, backing)| seat(ctx, basis, on, landing, (number, backing))).collect()
}

fn seat(
    ctx: &Context<'_>,
    basis: &Basis,
    on: &OnSlope<'_>,
    landing: &Landing,
    (number, backing): (usize, &Backing),
) -> Option<Seat> {
    let member = backing.member?;
    let fastener = on.lattice.fasteners_of(landing).get(number)?;
    let shank = ctx.shank(on.piece(landing), fastener);
    let enter = match backing.tip {
        Tip::Inside => shank.length - backing.embedment,
        Tip::Web | Tip::Side | Tip::Underside => depth_of(ctx, on, member, &shank.head)?,
    };
    let gap = (enter - ctx.design.lattice.batten.thickness.metres()).max(0.0);
    let of = ctx.structure.member(member)?;
    Some(Seat {
        member,
        wood: basis.wood_number(of.table.as_ref().map(|t| t.key.as_str())),
        gap,
        penetration: shank.length - enter,
        countable: countable(backing, of.section),
        across: !of.kind.makes_lines() && !matches!(of.kind, MemberKind::HipRafter | MemberKind::ValleyRafter),
    })
}

fn countable(backing: &Backing, section: Section) -> f64 {
    match section {
        Section::Sawn { .. } => backing.embedment,
        Section::IJoist { flange, .. } => backing.embedment.min(flange.metres()),
    }
}

/// Depth from a head to the member's upper face.
fn depth_of(ctx: &Context<'_>, on: &OnSlope<'_>, member: MemberId, head: &Point3) -> Option<f64> {
    let index = ctx.structure.under.get(on.id.0)?;
    let down = Vector3::new(0.0, 0.0, -1.0);
    let mut least: Option<f64> = None;
    index.near((head.x, head.x), (head.y, head.y), |entry| {
        if entry.tag.0 == member
            && matches!(entry.tag.1, Component::Whole | Component::TopFlange)
            && let Some(chord) = entry.body.chord(head, &down)
        {
            least = Some(least.map_or(chord.enter, |l| l.min(chord.enter)));
        }
    });
    least
}
