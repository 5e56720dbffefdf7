//! Ends of boards, and what is said once for all ends of a kind: where no place for a nail would do, a hundred flags say
//! no more than one.

use std::collections::BTreeMap;

use super::context::{Context, OnSlope};
use super::finding::Place;
use crate::design::JointKind;
use crate::lattice::{End, Landing, Piece, Side};

/// Kinds of ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum EndKind {
    /// A butt joint over one member.
    OneMember,
    /// A butt joint over two members side by side.
    Doubled,
    /// A lap.
    Lap,
    /// At an edge, beside an opening or at a gap.
    Outer,
}

impl EndKind {
    /// The kind of the end that a landing is nearest to.
    pub fn of(ctx: &Context<'_>, on: &OnSlope<'_>, piece: &Piece, landing: &Landing) -> EndKind {
        let end = if landing.x - piece.x.0 < piece.x.1 - landing.x { piece.ends.0 } else { piece.ends.1 };
        match (landing.side, end) {
            (Side::Whole, _) | (_, End::Edge { .. } | End::Opening | End::Gap | End::Free | End::JointOverNothing) => {
                EndKind::Outer
            }
            _ if ctx.design.lattice.batten.joint.value == JointKind::Lap => EndKind::Lap,
            _ if on.line(landing).is_some_and(|l| l.is_doubled(piece.y)) => EndKind::Doubled,
            _ => EndKind::OneMember,
        }
    }

    /// All of the kind, in words.
    pub fn words(self) -> &'static str {
        match self {
            EndKind::OneMember => "butt joints over one member",
            EndKind::Doubled => "butt joints over a doubled member",
            EndKind::Lap => "laps",
            EndKind::Outer => "ends at edges and openings",
        }
    }
}

/// Landings gathered by kind of end: how many, and the worst of them.
#[derive(Default)]
pub struct Gathered(pub BTreeMap<EndKind, Worst>);

/// The worst landing of a kind.
pub struct Worst {
    /// How many landings there are.
    pub places: usize,
    /// The least distance, metres.
    pub least: f64,
    /// The worst one's name.
    pub name: String,
    /// Where it is.
    pub at: Place,
}

impl Gathered {
    /// Adds a landing with its distance.
    pub fn add(&mut self, ctx: &Context<'_>, on: &OnSlope<'_>, piece: &Piece, landing: &Landing, distance: f64) {
        let kind = EndKind::of(ctx, on, piece, landing);
        let worst = self.0.entry(kind).or_insert_with(|| Worst {
            places: 0,
            least: f64::INFINITY,
            name: String::new(),
            at: ctx.landing_place(on, landing),
        });
        worst.places += 1;
        if distance < worst.least {
            worst.least = distance;
            worst.name = ctx.landing_name(on, landing);
            worst.at = ctx.landing_place(on, landing);
        }
    }
}

impl Worst {
    /// `50 landings`, or `1 landing`.
    pub fn count(&self) -> String {
        format!("{} landing{}", self.places, if self.places == 1 { "" } else { "s" })
    }
}
