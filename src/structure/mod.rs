//! The framing and the slopes as solids.
//!
//! Aim: from the design, every member, strap and plate as a solid in its place, as drawn and as found.
//! Reason: members belong to the building. A rafter, a hip or a block is one solid, and every slope under which it lies
//! asks that same solid what backs its battens.
//! Limits: members are straight, or bent sideways where measurements say so; they do not twist along their length.
//! Slope coordinates: x along the eave, y up the slope, z outward, zero on the membrane's outer face. Nothing here knows
//! a strip or a batten.

mod edge_members;
mod expand;
mod face;
mod fields;
mod follow;
mod index;
mod member;
mod outline;
mod plates;
mod straps;
pub mod to_come;

pub use expand::letters;
pub use face::Face;
pub use index::SlopeIndex;
pub use member::{Component, Member, MemberId};
pub use outline::{Outline, Rectangle};
pub use straps::{Strap, StrapNail};

use crate::design::{Design, Diagnostic, SlopeId, Sure, nearest};
use crate::quantity::Length;
use crate::quantity::list::number;
use crate::solid::{BodyIndex, Plate, Pose};

/// Which state of the building: as drawn, or as found where it was measured and as drawn elsewhere.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// The design.
    Drawn,
    /// As measured.
    Found,
}

/// One roof plane with its place in the world.
#[derive(Clone, Debug)]
pub struct SlopeFrame {
    /// Short name.
    pub name: String,
    /// From slope coordinates to the world.
    pub pose: Pose,
    /// Outline, edges and openings.
    pub outline: Outline,
    /// Pitch, radians.
    pub pitch: f64,
}

/// Whether a name ends in a letter behind its number: what came later than the drawing, or frames an opening.
pub fn lettered(name: &str) -> bool {
    let number = name.trim_end_matches(|c: char| c.is_ascii_lowercase());
    number.len() < name.len() && number.ends_with(|c: char| c.is_ascii_digit())
}

/// All framing in one state.
pub struct Structure {
    /// Slopes, in the order of the design.
    pub slopes: Vec<SlopeFrame>,
    /// Members: the drawn ones in the order of names, then the added ones. The order is the same in both states.
    pub members: Vec<Member>,
    /// Straps, in the order of names.
    pub straps: Vec<Strap>,
    /// For each slope the bodies that lie under it.
    pub under: Vec<SlopeIndex>,
    /// z of the framing's upper face, metres (negative).
    pub framing_level: f64,
}

impl Structure {
    /// Builds all solids of one state.
    pub fn build(design: &Design, state: State) -> Structure {
        let slopes: Vec<SlopeFrame> = design
            .slopes
            .iter()
            .map(|s| SlopeFrame {
                name: s.name.clone(),
                pose: outline::slope_pose(s),
                outline: Outline::of(s, state),
                pitch: s.pitch.radians(),
            })
            .collect();
        let framing_level = -(design.lattice.membrane.metres() + design.lattice.deck.metres());
        let members = expand::members(design, &slopes, framing_level, state);
        let straps = straps::straps(design, &slopes, &members, state);
        let under = (0..slopes.len()).map(|i| index::under(SlopeId(i), &slopes, &members)).collect();
        Structure { slopes, members, straps, under, framing_level }
    }

    /// A member by its id.
    pub fn member(&self, id: MemberId) -> Option<&Member> {
        self.members.get(id.0 as usize)
    }

    /// The straps of a slope as bodies, by their number in [`Structure::straps`].
    pub fn strap_bodies(&self, slope: SlopeId) -> BodyIndex<u32> {
        let here = self.straps.iter().enumerate().filter(|(_, s)| s.slope == slope);
        BodyIndex::build(here.map(|(k, s)| (number(k), s.body.clone())))
    }

    /// The deck of a slope; `None` where there is none.
    pub fn deck(&self, design: &Design, slope: SlopeId) -> Option<Plate> {
        let frame = self.slopes.get(slope.0)?;
        let membrane = design.lattice.membrane.metres();
        let thickness = design.lattice.deck.metres();
        (thickness > 0.0).then(|| plates::plate(frame, -membrane - thickness, -membrane))
    }

    /// The membrane of a slope, its openings cut.
    pub fn membrane(&self, design: &Design, slope: SlopeId) -> Option<Plate> {
        let frame = self.slopes.get(slope.0)?;
        Some(plates::plate(frame, -design.lattice.membrane.metres(), 0.0))
    }

    /// Rows of blocking that make no block.
    fn rows_without_blocks(&self, design: &Design) -> impl Iterator<Item = Diagnostic> {
        let idle = design.blocking.iter().map(|row| &row.table);
        let idle = idle.filter(|t| !self.members.iter().any(|m| m.table.as_ref() == Some(t)));
        idle.map(|t| Diagnostic {
            message: "no block comes of this: no bay between two members lies there whole".into(),
            key: t.key.clone(),
            span: t.start..t.start,
            hint: "blocks fill bays between neighbouring members that run up the slope: look at `at`, `from` and `to`"
                .into(),
        })
    }

    /// Members whose solids could not be built.
    fn unbuilt(&self) -> impl Iterator<Item = Diagnostic> {
        self.members.iter().filter(|m| m.unbuilt).map(|m| Diagnostic {
            message: format!("the solid of {} could not be built", m.name),
            key: m.table.as_ref().map_or_else(String::new, |t| t.key.clone()),
            span: m.table.as_ref().map_or(0..0, |t| t.start..t.start),
            hint: "look at its measures, and at `framing_setback` and `cut` of the edges that it meets".into(),
        })
    }

    /// Members of which the cuts of the edges leave nothing, told once a table.
    fn cut_away(&self) -> impl Iterator<Item = Diagnostic> {
        let mut by_table: Vec<(&Member, usize)> = Vec::new();
        for m in self.members.iter().filter(|m| !m.missing && !m.unbuilt && m.bodies.is_empty()) {
            match by_table.iter_mut().find(|(first, _)| m.table.is_some() && first.table == m.table) {
                Some((_, others)) => *others += 1,
                None => by_table.push((m, 0)),
            }
        }
        by_table.into_iter().map(|(m, others)| {
            let more = match others {
                0 => String::new(),
                n => format!(" and {n} more of its kind"),
            };
            Diagnostic {
                message: format!("nothing is left of {}{more}: the cuts of the edges meet", m.name),
                key: m.table.as_ref().map_or_else(String::new, |t| t.key.clone()),
                span: m.table.as_ref().map_or(0..0, |t| t.start..t.start),
                hint: "look at `framing_setback` and `cut` of the edges that it meets; a level cut at a low pitch reaches far".into(),
            }
        })
    }

    /// Faults of the design that only show once members have names: measurements of members that do not exist, or beyond
    /// their ends. Only names that are sure are judged.
    pub fn unknown_names(&self, design: &Design, sure: Sure) -> Vec<Diagnostic> {
        let known = |name: &str| if lettered(name) { sure.added } else { sure.members };
        let names = || self.members.iter().map(|m| m.name.as_str());
        let whole = sure.everything;
        let beyond = design.found_members.iter().filter(|_| sure.added).filter_map(|f| {
            let member = self.members.iter().find(|m| m.name == f.name)?;
            let off = f.offsets.iter().find(|(at, _)| at.metres() < -1e-3 || at.metres() > member.length + 1e-3)?;
            let long = Length::from_metres(member.length).show_fine(design.units);
            Some(Diagnostic {
                message: format!("{} is not on {}", off.0.show_fine(design.units), f.name),
                key: format!("{}.offsets", f.key),
                span: f.span.clone(),
                hint: format!("`at` counts from the member's lower (or left) end; it is {long} long"),
            })
        });
        design
            .found_members
            .iter()
            .filter(|f| known(&f.name) && !names().any(|n| n == f.name))
            .map(|f| Diagnostic {
                message: format!("no member is named \"{}\"", f.name),
                key: format!("{}.name", f.key),
                span: f.span.clone(),
                hint: match nearest(&f.name, names()) {
                    Some(known) => format!("did you mean \"{known}\"?"),
                    None => "member names stand in the model and in findings.json, such as \"S-R05\"".into(),
                },
            })
            .chain(beyond)
            .chain(self.rows_without_blocks(design).filter(|_| sure.members))
            .chain(self.cut_away().filter(|_| whole))
            .chain(self.unbuilt().filter(|_| whole))
            .collect()
    }
}
