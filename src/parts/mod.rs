//! The one list of the kinds of parts.
//!
//! Aim: what a building is made of, kind by kind: how many there are, what each is called, what solid it is, how large it is,
//! and one walk over all of them.
//! Reason: model, lists, clash check, verdicts and fingerprint name and shape the same part in the same way because they
//! ask here; a new kind is a new variant, and the compiler then names every place that has to decide about it.
//! Limits: nothing is stored. A part is made when it is asked for, out of what structure, lattice and drive log have, and
//! lives no longer than the answer. Pins, arrows and plates of air are things to look at and no parts. Nothing here judges.

mod amounts;
mod fasteners;
mod find;
mod fingerprint;
mod framing;
mod layers;
mod plates;

pub use amounts::{Amount, fastener_mass};
pub use fasteners::{Fineness, Which};

use std::borrow::Cow;

use crate::design::{Design, SlopeId};
use crate::lattice::{Landing, Lattice, SlopeLattice};
use crate::quantity::Length;
use crate::quantity::list::number;
use crate::record::Driven;
use crate::solid::{Body, Mesh, Plate, Pose, Unbuilt};
use crate::structure::{MemberId, SlopeFrame, Structure, to_come};

/// A part: what it is, the slope that it is on, and its number there. Numbers are those of the lists that the structure, the
/// lattice and the drive log keep; of straps and members those of the building.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum PartId {
    /// A member of the framing.
    Member(MemberId),
    /// The sheathing of a slope.
    Deck(SlopeId),
    /// The membrane of a slope.
    Membrane(SlopeId),
    /// A steel strap with its nails, by its number in [`Structure::straps`].
    Strap(u32),
    /// A stretch of tape.
    Tape(SlopeId, u32),
    /// A strip.
    Strip(SlopeId, u32),
    /// A vent piece.
    VentPiece(SlopeId, u32),
    /// One board of a course.
    Batten(SlopeId, u32),
    /// The fasteners of a landing; with a drive log those that are in.
    Fasteners(SlopeId, u32),
    /// What stays in the membrane beside the plan: a fastener left in, or a hole.
    LeftIn(SlopeId, u32),
    /// The fasteners of a landing that the drive log does not have yet.
    ToDrive(SlopeId, u32),
    /// A clip of the roofing, with its screws.
    Clip(SlopeId, u32),
    /// Insulation still to come on the wall along an edge, by the edge's number.
    Insulation(SlopeId, u32),
}

/// Kinds of parts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A member of the framing.
    Member,
    /// Sheathing.
    Deck,
    /// The airtight, watertight sheet.
    Membrane,
    /// Flat steel with its nails.
    Strap,
    /// Tape.
    Tape,
    /// Strip.
    Strip,
    /// Vent piece.
    VentPiece,
    /// Batten.
    Batten,
    /// Fasteners of a landing.
    Fasteners,
    /// What was left in beside the plan.
    LeftIn,
    /// Fasteners of a landing still to be driven.
    ToDrive,
    /// Clip of the roofing.
    Clip,
    /// Insulation still to come.
    Insulation,
}

impl Kind {
    /// All kinds in the order of a walk, from the inside out.
    pub const ALL: [Kind; 13] = [
        Kind::Member,
        Kind::Deck,
        Kind::Membrane,
        Kind::Strap,
        Kind::Tape,
        Kind::Strip,
        Kind::VentPiece,
        Kind::Batten,
        Kind::Fasteners,
        Kind::LeftIn,
        Kind::ToDrive,
        Kind::Clip,
        Kind::Insulation,
    ];

    /// The kind in words, in the plural.
    pub fn plural(self) -> &'static str {
        match self {
            Kind::Member => "members",
            Kind::Deck => "decks",
            Kind::Membrane => "membranes",
            Kind::Strap => "straps",
            Kind::Tape => "tapes",
            Kind::Strip => "strips",
            Kind::VentPiece => "vent pieces",
            Kind::Batten => "battens",
            Kind::Fasteners => "landings",
            Kind::LeftIn => "left in",
            Kind::ToDrive => "landings to drive",
            Kind::Clip => "clips",
            Kind::Insulation => "insulation",
        }
    }

    /// Kinds with which a kind may be in one place, told of one kind of each pair. Whatever is not named here may not. Fasteners
    /// are judged by their axes, clips by checks of their own.
    fn yields_to(self) -> &'static [Kind] {
        match self {
            // Soft sheets yield to a strap, and lap one another.
            Kind::Tape => &[Kind::Strap, Kind::Tape],
            Kind::Membrane => &[Kind::Strap, Kind::Membrane],
            // Buried vent pieces have a check of their own; tape and strip may run on under insulation. Insulation on a wall
            // stands on whatever is there.
            Kind::Insulation => {
                &[Kind::VentPiece, Kind::Tape, Kind::Strip, Kind::Insulation, Kind::Membrane, Kind::Deck, Kind::Member]
            }
            Kind::Member
            | Kind::Deck
            | Kind::Strap
            | Kind::Strip
            | Kind::VentPiece
            | Kind::Batten
            | Kind::Fasteners
            | Kind::LeftIn
            | Kind::ToDrive
            | Kind::Clip => &[],
        }
    }

    /// Whether two kinds may be in one place.
    pub fn may_overlap(self, other: Kind) -> bool {
        self.yields_to().contains(&other) || other.yields_to().contains(&self)
    }

    /// How parts of a kind go through the membrane.
    pub fn pierces(self) -> Pierces {
        match self {
            Kind::Fasteners | Kind::ToDrive => Pierces::AtLandings,
            Kind::Strap => Pierces::ByNails,
            Kind::LeftIn => Pierces::Itself,
            Kind::Member
            | Kind::Deck
            | Kind::Membrane
            | Kind::Tape
            | Kind::Strip
            | Kind::VentPiece
            | Kind::Batten
            | Kind::Clip
            | Kind::Insulation => Pierces::Nowhere,
        }
    }
}

/// How something goes through the membrane.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pierces {
    /// It does not, or is asked not to.
    Nowhere,
    /// As the fasteners of a landing.
    AtLandings,
    /// Each of its nails does.
    ByNails,
    /// It does, beside the plan.
    Itself,
}

impl PartId {
    /// What it is.
    pub fn kind(self) -> Kind {
        match self {
            PartId::Member(_) => Kind::Member,
            PartId::Deck(_) => Kind::Deck,
            PartId::Membrane(_) => Kind::Membrane,
            PartId::Strap(_) => Kind::Strap,
            PartId::Tape(..) => Kind::Tape,
            PartId::Strip(..) => Kind::Strip,
            PartId::VentPiece(..) => Kind::VentPiece,
            PartId::Batten(..) => Kind::Batten,
            PartId::Fasteners(..) => Kind::Fasteners,
            PartId::LeftIn(..) => Kind::LeftIn,
            PartId::ToDrive(..) => Kind::ToDrive,
            PartId::Clip(..) => Kind::Clip,
            PartId::Insulation(..) => Kind::Insulation,
        }
    }
}

/// The solid of a part, in the coordinates of its home: its slope, or the world for what belongs to no slope.
pub enum Solid<'a> {
    /// One convex body.
    Body(Cow<'a, Body>),
    /// Anything else: a closed mesh (several shells where the part has several solids) in a frame of its own, and the pose from
    /// there.
    Mesh(Mesh, Pose),
}

impl<'a> Solid<'a> {
    fn owned(body: Body) -> Solid<'a> {
        Solid::Body(Cow::Owned(body))
    }
}

/// Everything that parts are made of.
#[derive(Clone, Copy)]
pub struct Parts<'a> {
    /// The design.
    pub design: &'a Design,
    /// The structure, as found.
    pub structure: &'a Structure,
    /// The lattice; with a drive log as driven.
    pub lattice: &'a Lattice,
    /// What was driven, where a log says so.
    pub driven: Option<&'a Driven>,
}

impl<'a> Parts<'a> {
    /// Where parts are at home: the slopes in the order of the design, then the building.
    pub fn homes(&self) -> impl Iterator<Item = Option<SlopeId>> + use<> {
        (0..self.lattice.slopes.len()).map(|i| Some(SlopeId(i))).chain([None])
    }

    /// Every part: home by home and there kind by kind, in the order of [`Kind::ALL`].
    pub fn walk(&self) -> impl Iterator<Item = PartId> + use<'a> {
        let all = *self;
        all.homes().flat_map(move |home| Kind::ALL.into_iter().flat_map(move |kind| all.ids(kind, home)))
    }

    /// The parts of a kind at one home, in their order.
    pub fn ids(&self, kind: Kind, home: Option<SlopeId>) -> Box<dyn Iterator<Item = PartId> + 'a> {
        let Some(slope) = home else { return self.of_building(kind) };
        let Some(on) = self.lattice.slopes.get(slope.0) else { return Box::new(std::iter::empty()) };
        let all = *self;
        match kind {
            Kind::Member => self.members(home),
            Kind::Strap => self.straps(slope),
            Kind::Deck => {
                let there = self.design.lattice.deck.value > Length::ZERO;
                Box::new(there.then_some(PartId::Deck(slope)).into_iter())
            }
            Kind::Membrane => Box::new(std::iter::once(PartId::Membrane(slope))),
            Kind::Tape => numbered(on.tapes.len(), move |i| PartId::Tape(slope, i)),
            Kind::Strip => numbered(on.strips.len(), move |i| PartId::Strip(slope, i)),
            Kind::VentPiece => numbered(on.vents.len(), move |i| PartId::VentPiece(slope, i)),
            Kind::Batten => numbered(on.pieces.len(), move |i| PartId::Batten(slope, i)),
            Kind::Fasteners => Box::new(
                numbered(on.landings.len(), move |i| PartId::Fasteners(slope, i)).filter(move |id| all.has_any(*id)),
            ),
            Kind::ToDrive if self.driven.is_none() => Box::new(std::iter::empty()),
            Kind::ToDrive => Box::new(
                numbered(on.landings.len(), move |i| PartId::ToDrive(slope, i)).filter(move |id| all.has_any(*id)),
            ),
            Kind::LeftIn => numbered(self.left_in(slope).len(), move |i| PartId::LeftIn(slope, i)),
            Kind::Clip => numbered(on.clips.len(), move |i| PartId::Clip(slope, i)),
            Kind::Insulation => self.insulations(slope),
        }
    }

    /// The landings of a slope, whichever of their fasteners are in.
    pub fn landings(&self, slope: SlopeId) -> impl Iterator<Item = PartId> + use<> {
        let count = self.slope(slope).map_or(0, |on| on.landings.len());
        (0..number(count)).map(move |i| PartId::Fasteners(slope, i))
    }

    /// What belongs to no slope.
    fn of_building(&self, kind: Kind) -> Box<dyn Iterator<Item = PartId> + 'a> {
        match kind {
            Kind::Member => self.members(None),
            Kind::Deck
            | Kind::Membrane
            | Kind::Strap
            | Kind::Tape
            | Kind::Strip
            | Kind::VentPiece
            | Kind::Batten
            | Kind::Fasteners
            | Kind::LeftIn
            | Kind::ToDrive
            | Kind::Clip
            | Kind::Insulation => Box::new(std::iter::empty()),
        }
    }

    /// The slope that a part is at home on; `None` for what belongs to the building.
    pub fn home(&self, id: PartId) -> Option<SlopeId> {
        match id {
            PartId::Member(m) => self.structure.member(m)?.home,
            PartId::Strap(k) => self.structure.straps.get(k as usize).map(|s| s.slope),
            PartId::Deck(s)
            | PartId::Membrane(s)
            | PartId::Tape(s, _)
            | PartId::Strip(s, _)
            | PartId::VentPiece(s, _)
            | PartId::Batten(s, _)
            | PartId::Fasteners(s, _)
            | PartId::LeftIn(s, _)
            | PartId::ToDrive(s, _)
            | PartId::Clip(s, _)
            | PartId::Insulation(s, _) => Some(s),
        }
    }

    /// A part's name; `None` where there is no such part.
    pub fn name(&self, id: PartId) -> Option<Cow<'a, str>> {
        let of_slope = |s: SlopeId, rest: &str| Some(Cow::Owned(format!("{}-{rest}", self.frame(s)?.name)));
        match id {
            PartId::Member(m) => self.structure.member(m).map(|m| m.name.as_str().into()),
            PartId::Deck(s) => of_slope(s, "DK"),
            PartId::Membrane(s) => of_slope(s, "MB"),
            PartId::Strap(k) => self.strap(k).map(|s| s.name.as_str().into()),
            PartId::Tape(s, i) => self.tape(s, i).map(|t| t.name.as_str().into()),
            PartId::Strip(s, i) => self.strip(s, i).map(|t| t.name.as_str().into()),
            PartId::VentPiece(s, i) => self.vent(s, i).map(|v| v.name.as_str().into()),
            PartId::Batten(s, i) => self.piece(s, i).map(|p| p.name.as_str().into()),
            PartId::Fasteners(s, i) => self.landing_name(s, i).map(Cow::Owned),
            PartId::ToDrive(s, i) => Some(Cow::Owned(format!("{} to drive", self.landing_name(s, i)?))),
            PartId::LeftIn(s, i) => self.left(s, i).map(|l| l.name.as_str().into()),
            PartId::Clip(s, i) => {
                let on = self.slope(s)?;
                on.clips.get(i as usize).map(|c| on.clip_name(c).into())
            }
            PartId::Insulation(s, edge) => {
                self.frame(s).map(|f| to_come::insulation_name(&f.name, edge as usize).into())
            }
        }
    }

    /// The convex bodies of a part, of which it is asked what is in its place. Fasteners and clips have none: fasteners are
    /// asked by their axes, clips by their bases.
    ///
    /// # Errors
    /// Where a body could not be built.
    pub fn bodies(&self, id: PartId) -> Result<Vec<Cow<'a, Body>>, Unbuilt> {
        let plate = |p: Option<Plate>| p.map_or_else(|| Ok(Vec::new()), |p| p.bodies());
        Ok(match id {
            PartId::Member(m) => self.member_bodies(m),
            PartId::Strap(k) => self.strap(k).map(|s| Cow::Borrowed(&s.body)).into_iter().collect(),
            PartId::Deck(s) => owned(plate(self.structure.deck(self.design, s))?),
            PartId::Membrane(s) => owned(plate(self.structure.membrane(self.design, s))?),
            PartId::Tape(s, i) => owned(self.tape_bodies(s, i)?),
            PartId::Strip(s, i) => owned(self.strip_bodies(s, i)?),
            PartId::VentPiece(s, i) => owned(self.vent_body(s, i)),
            PartId::Batten(s, i) => owned(self.batten_body(s, i)?),
            PartId::Insulation(s, edge) => owned(self.insulation_body(s, edge)?),
            PartId::Fasteners(..) | PartId::ToDrive(..) | PartId::LeftIn(..) | PartId::Clip(..) => Vec::new(),
        })
    }

    /// The solid of a part, to be looked at and measured; `None` where nothing of it is left, nobody knows where it is, or it
    /// could not be built, which the clash check tells.
    pub fn solid(&self, id: PartId, fineness: Fineness) -> Option<Solid<'a>> {
        match id {
            PartId::Member(m) => self.member_solid(m),
            PartId::Strap(k) => self.strap_solid(k),
            PartId::Deck(s) => plates::solid(&self.structure.deck(self.design, s)?),
            PartId::Membrane(s) => plates::solid(&self.structure.membrane(self.design, s)?),
            PartId::Tape(s, i) => self.tape_solid(s, i),
            PartId::Strip(s, i) => self.strip_solid(s, i),
            PartId::VentPiece(s, i) => self.vent_body(s, i).map(Solid::owned),
            PartId::Batten(s, i) => self.batten_body(s, i).ok().flatten().map(Solid::owned),
            PartId::Fasteners(..) | PartId::ToDrive(..) => self.group_solid(id, fineness),
            PartId::LeftIn(s, i) => self.left_in_solid(s, i, fineness),
            PartId::Clip(s, i) => self.clip_solid(s, i),
            PartId::Insulation(s, edge) => self.insulation_body(s, edge).ok().flatten().map(Solid::owned),
        }
    }

    /// A part's size as people say it, in the design's units; empty where it has none.
    pub fn size(&self, id: PartId) -> String {
        match id {
            PartId::Member(m) => self.member_size(m),
            PartId::Strap(k) => self.strap_size(k),
            PartId::Deck(s) => self.plate_size(self.structure.deck(self.design, s)),
            PartId::Membrane(s) => self.plate_size(self.structure.membrane(self.design, s)),
            PartId::Tape(s, i) => self.tape_size(s, i),
            PartId::Strip(s, i) => self.strip_size(s, i),
            PartId::VentPiece(s, i) => self.vent_size(s, i),
            PartId::Batten(s, i) => self.batten_size(s, i),
            PartId::Fasteners(..) | PartId::ToDrive(..) => self.fastener_size(),
            PartId::LeftIn(s, i) => self.left(s, i).map_or(String::new(), |l| l.kind.word().to_owned()),
            PartId::Clip(..) => self.clip_size(),
            PartId::Insulation(..) => String::new(),
        }
    }

    /// What a part is cut from or bought as, where that differs from part to part; else empty.
    pub fn stock(&self, id: PartId) -> String {
        let piece = if let PartId::Batten(s, i) = id { self.piece(s, i) } else { None };
        piece.map_or(String::new(), |p| Length::from_metres(p.stock).show(self.design.units))
    }

    /// Whether there is a solid of a part to look at, told without making it.
    pub fn stands(&self, id: PartId) -> bool {
        if let PartId::LeftIn(s, i) = id { self.left(s, i).is_some_and(|l| l.shown_at.is_some()) } else { true }
    }

    fn frame(&self, s: SlopeId) -> Option<&'a SlopeFrame> {
        self.structure.slopes.get(s.0)
    }

    fn slope(&self, s: SlopeId) -> Option<&'a SlopeLattice> {
        self.lattice.slopes.get(s.0)
    }

    fn landing(&self, s: SlopeId, i: u32) -> Option<&'a Landing> {
        self.slope(s)?.landings.get(i as usize)
    }

    fn landing_name(&self, s: SlopeId, i: u32) -> Option<String> {
        Some(self.slope(s)?.landing_name(self.landing(s, i)?, self.structure))
    }

    fn show(&self, metres: f64) -> String {
        Length::from_metres(metres).show_fine(self.design.units)
    }
}

fn numbered<'a>(count: usize, id: impl Fn(u32) -> PartId + 'a) -> Box<dyn Iterator<Item = PartId> + 'a> {
    Box::new((0..number(count)).map(id))
}

fn owned<'a>(bodies: impl IntoIterator<Item = Body>) -> Vec<Cow<'a, Body>> {
    bodies.into_iter().map(Cow::Owned).collect()
}
