//! From names to parts.

use std::collections::{BTreeMap, BTreeSet};

use super::{Kind, PartId, Parts};

impl Parts<'_> {
    /// The part of a name; `None` where no part has it.
    pub fn find(&self, name: &str) -> Option<PartId> {
        self.find_all(&BTreeSet::from([name])).remove(name)
    }

    /// The parts of many names, in one walk. Names that belong to no part (lines, slopes) are left out. A landing's name is
    /// that of its fasteners, whichever of them are in.
    pub fn find_all<'n>(&self, names: &BTreeSet<&'n str>) -> BTreeMap<&'n str, PartId> {
        // Landings have no stored names, and making one costs; so only those are made whose course some name begins with.
        let courses: BTreeSet<&str> =
            names.iter().filter_map(|n| n.split_once('.')).map(|(course, _)| course).collect();
        let mut found = BTreeMap::new();
        for id in self.homes().flat_map(|home| Kind::ALL.into_iter().flat_map(move |k| self.candidates(k, home))) {
            let asked = match id {
                PartId::Fasteners(s, i) | PartId::ToDrive(s, i) => {
                    let course = self.slope(s).zip(self.landing(s, i)).and_then(|(on, landing)| {
                        let piece = on.pieces.get(landing.piece as usize)?;
                        on.courses.get(piece.course as usize)
                    });
                    course.is_some_and(|c| courses.contains(c.name.as_str()))
                }
                PartId::Member(_)
                | PartId::Deck(_)
                | PartId::Membrane(_)
                | PartId::Strap(_)
                | PartId::Tape(..)
                | PartId::Strip(..)
                | PartId::VentPiece(..)
                | PartId::Batten(..)
                | PartId::LeftIn(..)
                | PartId::Clip(..)
                | PartId::Insulation(..) => true,
            };
            if asked
                && let Some(name) = self.name(id)
                && let Some(asked) = names.get(name.as_ref())
            {
                found.entry(*asked).or_insert(id);
            }
        }
        found
    }

    /// Parts of a kind that a name may mean. A landing is one also where none of its fasteners is in yet, and a member where
    /// it is missing.
    fn candidates(&self, kind: Kind, home: Option<crate::design::SlopeId>) -> Box<dyn Iterator<Item = PartId> + '_> {
        match (kind, home) {
            (Kind::Fasteners, Some(s)) => {
                let count = self.slope(s).map_or(0, |on| on.landings.len());
                super::numbered(count, move |i| PartId::Fasteners(s, i))
            }
            (Kind::Member, None) => {
                super::numbered(self.structure.members.len(), |i| PartId::Member(crate::structure::MemberId(i)))
            }
            (Kind::Member, Some(_)) => Box::new(std::iter::empty()),
            (
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
                | Kind::Insulation,
                _,
            ) => self.ids(kind, home),
        }
    }
}
