//! The fasteners of a landing in their place, as the rule set asks for them.
//!
//! Aim: from what the solids say of a fastener (how deep, in which member), what it holds. Reason: one shallow nail is
//! judged by the same rules as the best one. Limits: the landing's worst fastener stands for all; they share alike.

use crate::check::context::{Context, OnSlope};
use crate::check::probe::{Backing, Tip};
use crate::design::{MemberKind, Section};
use crate::lattice::Landing;
use crate::solid::{Point3, Vector3};
use crate::structure::{Component, MemberId};

/// What a fastener is driven into and through, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    /// The member.
    pub member: MemberId,
    /// Between batten and member: strip, tape, membrane, deck.
    pub gap: f64,
    /// From the member's upper face to the tip.
    pub penetration: f64,
    /// What of that may count: to the end of the member or of its top flange.
    pub countable: f64,
    /// The load down the slope runs across the member's grain.
    pub across: bool,
}

/// The seat of a landing's worst fastener; `None` where none is in a member.
pub fn seat(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Seat> {
    let (number, worst) = on.worst(landing)?;
    let member = worst.member?;
    let fastener = on.lattice.fasteners_of(landing).get(number)?;
    let shank = ctx.shank(on.piece(landing), fastener);
    let enter = match worst.tip {
        Tip::Inside => shank.length - worst.embedment,
        Tip::Web | Tip::Side | Tip::Underside => depth_of(ctx, on, member, &shank.head)?,
    };
    let gap = (enter - ctx.design.lattice.batten.thickness.metres()).max(0.0);
    let of = ctx.structure.member(member)?;
    Some(Seat {
        member,
        gap,
        penetration: shank.length - enter,
        countable: countable(&worst, of.section),
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
