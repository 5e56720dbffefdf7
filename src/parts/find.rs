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
            let asked = if let PartId::Fasteners(s, i) | PartId::ToDrive(s, i) = id {
                let course = self.slope(s).zip(self.landing(s, i)).and_then(|(on, landing)| {
                    let piece = on.pieces.get(landing.piece as usize)?;
                    on.courses.get(piece.course as usize)
                });
                course.is_some_and(|c| courses.contains(c.name.as_str()))
            } else {
                true
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
        if kind == Kind::Member {
            let every = if home.is_none() { self.structure.members.len() } else { 0 };
            super::numbered(every, |i| PartId::Member(crate::structure::MemberId(i)))
        } else if let (Kind::Fasteners, Some(s)) = (kind, home) {
            Box::new(self.landings(s))
        } else {
            self.ids(kind, home)
        }
    }
}
