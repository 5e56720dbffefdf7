//! What a part looks like in the model: its layer, and its kind as formats say it. What parts there are is told by
//! [`crate::parts`].

use crate::parts::{PartId, Parts};

/// A layer of the building, from the inside out; flags last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layer {
    /// Rafters and everything else that carries.
    Framing,
    /// Sheathing.
    Deck,
    /// The airtight, watertight sheet.
    Membrane,
    /// Flat steel with its nails.
    Straps,
    /// Butyl tape.
    Tape,
    /// Vent strips.
    Strips,
    /// Screened vent pieces.
    VentPieces,
    /// Battens.
    Battens,
    /// Fasteners.
    Fasteners,
    /// What is still to be added: by other trades, or by the drive log's next day.
    ToCome,
    /// Pins over flagged places, arrows and plates of the air: nothing that is built.
    Flags,
}

impl Layer {
    /// All layers in order.
    pub const ALL: [Layer; 11] = [
        Layer::Framing,
        Layer::Deck,
        Layer::Membrane,
        Layer::Straps,
        Layer::Tape,
        Layer::Strips,
        Layer::VentPieces,
        Layer::Battens,
        Layer::Fasteners,
        Layer::ToCome,
        Layer::Flags,
    ];

    /// The layer's name in trees and file names.
    pub fn name(self) -> &'static str {
        match self {
            Layer::Framing => "framing",
            Layer::Deck => "deck",
            Layer::Membrane => "membrane",
            Layer::Straps => "straps",
            Layer::Tape => "tape",
            Layer::Strips => "strips",
            Layer::VentPieces => "vent pieces",
            Layer::Battens => "battens",
            Layer::Fasteners => "fasteners",
            Layer::ToCome => "still to come",
            Layer::Flags => "flags",
        }
    }
}

/// What a part is. Some formats need meaning and not just triangles.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartKind {
    /// A member of the framing, with the trade's name of its kind (`rafter`, `lookout`, ...).
    Member(&'static str),
    /// A flat steel strap with its nails.
    Strap,
    /// Sheathing of one slope.
    Deck,
    /// Membrane of one slope.
    Membrane,
    /// A stretch of tape.
    Tape,
    /// A strip.
    Strip,
    /// A vent piece.
    VentPiece,
    /// One board of a course.
    Batten,
    /// The fasteners of one landing; with a drive log those that are in.
    Fasteners,
    /// A fastener left in beside the plan: it missed, or a further one was driven.
    LeftIn,
    /// A hole in the membrane without a fastener.
    Hole,
    /// The fasteners of one landing that the drive log does not have yet.
    ToDrive,
    /// A clip of the roofing's panels, with its screws.
    Clip,
    /// Insulation that another trade will still put on.
    Insulation,
    /// An arrow along the flow of the air in a bay.
    AirArrow,
    /// A plate over a pocket that no air passes.
    AirPocket,
    /// A pin over a flagged place.
    Pin,
}

impl PartKind {
    /// The kind's name.
    pub fn name(self) -> &'static str {
        self.row().0
    }

    /// The layer that parts of this kind stand in.
    pub fn layer(self) -> Layer {
        self.row().1
    }

    fn row(self) -> (&'static str, Layer) {
        match self {
            PartKind::Member(name) => (name, Layer::Framing),
            PartKind::Strap => ("strap", Layer::Straps),
            PartKind::Deck => ("deck", Layer::Deck),
            PartKind::Membrane => ("membrane", Layer::Membrane),
            PartKind::Tape => ("tape", Layer::Tape),
            PartKind::Strip => ("strip", Layer::Strips),
            PartKind::VentPiece => ("vent piece", Layer::VentPieces),
            PartKind::Batten => ("batten", Layer::Battens),
            PartKind::Fasteners => ("fasteners", Layer::Fasteners),
            PartKind::LeftIn => ("fastener left in", Layer::Fasteners),
            PartKind::Hole => ("hole", Layer::Fasteners),
            PartKind::ToDrive => ("fasteners to drive", Layer::ToCome),
            PartKind::Clip => ("clip", Layer::ToCome),
            PartKind::Insulation => ("insulation", Layer::ToCome),
            PartKind::AirArrow => ("air arrow", Layer::Flags),
            PartKind::AirPocket => ("air pocket", Layer::Flags),
            PartKind::Pin => ("pin", Layer::Flags),
        }
    }

    /// What a part of the building is in the model; `None` where there is no such part.
    pub fn of(parts: &Parts<'_>, id: PartId) -> Option<PartKind> {
        Some(match id {
            PartId::Member(m) => PartKind::Member(parts.structure.member(m)?.kind.word()),
            PartId::Strap(_) => PartKind::Strap,
            PartId::Deck(_) => PartKind::Deck,
            PartId::Membrane(_) => PartKind::Membrane,
            PartId::Tape(..) => PartKind::Tape,
            PartId::Strip(..) => PartKind::Strip,
            PartId::VentPiece(..) => PartKind::VentPiece,
            PartId::Batten(..) => PartKind::Batten,
            PartId::Fasteners(..) => PartKind::Fasteners,
            PartId::LeftIn(s, i) if parts.left(s, i)?.kind.is_fastener() => PartKind::LeftIn,
            PartId::LeftIn(..) => PartKind::Hole,
            PartId::ToDrive(..) => PartKind::ToDrive,
            PartId::Clip(..) => PartKind::Clip,
            PartId::Insulation(..) => PartKind::Insulation,
        })
    }
}
