//! Which kinds of members a design puts on which slopes.
//!
//! Aim: a table that asks for something along or over members of which there are none is told, since it makes nothing.
//! Limits: what a table says is taken at its word, and where it is at fault it may say anything: then nothing is told.

use super::super::file::{DesignFile, Located, MemberFile};
use super::super::model::{MemberKind, Slope, SlopeId};
use super::super::reader::Reader;
use super::super::written::{Choice, Written};

/// Where members of a kind may be.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Where {
    /// On this slope.
    On(SlopeId),
    /// On every slope, or nobody can tell.
    Anywhere,
    /// In the world, so that any slope may see it.
    InWorld,
}

/// The kinds of members that the tables of a design put on its slopes.
pub struct Kinds {
    drawn: Vec<(MemberKind, Where)>,
    added: Vec<(MemberKind, Where)>,
}

impl Kinds {
    /// What the tables say.
    pub fn of(r: &Reader<'_>, file: &DesignFile, slopes: &[Slope]) -> Kinds {
        let mut drawn = Vec::new();
        let lists = |key: &str, tables: Vec<&Option<Vec<Written<String>>>>| {
            let mut all: Vec<Where> = tables.into_iter().flat_map(|names| named(names, slopes)).collect();
            if r.may_lack(key) || slopes.is_empty() {
                all.push(Where::Anywhere);
            }
            all
        };
        let rafters = lists("rafters", file.rafters.iter().map(|t| &t.get().slopes).collect());
        let tails = lists("tails", file.tails.iter().map(|t| &t.get().slopes).collect());
        let lookouts = lists("lookouts", file.lookouts.iter().map(|t| &t.get().slopes).collect());
        let blocking = lists("blocking", file.blocking.iter().map(|t| &t.get().slopes).collect());
        let fields = [
            (MemberKind::Rafter, rafters),
            (MemberKind::Tail, tails),
            (MemberKind::Lookout, lookouts),
            (MemberKind::Block, blocking),
        ];
        for (kind, places) in fields {
            drawn.extend(places.into_iter().map(|place| (kind, place)));
        }
        // An opening that nobody knows may be on any slope.
        let hole = |name: &Option<Written<String>>| {
            let name = name.as_ref().and_then(|n| n.read().ok());
            let slope = slopes.iter().position(|s| s.openings.iter().any(|o| Some(&o.name) == name.as_ref()));
            slope.map_or(Where::Anywhere, |s| Where::On(SlopeId(s)))
        };
        let mut trims: Vec<Where> = file.trim.iter().map(|t| hole(&t.get().opening)).collect();
        if r.may_lack("trim") || slopes.is_empty() {
            trims.push(Where::Anywhere);
        }
        for place in trims {
            drawn.extend([(MemberKind::Trimmer, place), (MemberKind::Header, place)]);
        }
        if let Some(roof) = file.roof.as_ref().map(Located::get) {
            let edges = [
                (MemberKind::RidgeBoard, roof.ridge_board.is_some(), "roof.ridge_board"),
                (MemberKind::HipRafter, roof.hip_rafter.is_some(), "roof.hip_rafter"),
            ];
            drawn.extend(edges.iter().filter(|e| e.1 || r.may_lack(e.2)).map(|e| (e.0, Where::InWorld)));
        }
        drawn.extend(singles(r, "member", &file.member, slopes));
        let found = file.found.as_ref().map(Located::get);
        let added = found.map(|f| singles(r, "found.added", &f.added, slopes)).unwrap_or_default();
        Kinds { drawn, added }
    }

    /// Whether a slope among these may have members of a kind that are drawn on it.
    pub fn drawn_on(&self, kind: MemberKind, on: &[SlopeId]) -> bool {
        any(&self.drawn, kind, |place| match place {
            Where::On(slope) => on.contains(&slope),
            Where::Anywhere => true,
            Where::InWorld => false,
        })
    }

    /// Whether a slope among these may see members of a kind, drawn or found.
    pub fn seen_by(&self, kind: MemberKind, on: &[SlopeId]) -> bool {
        let sees = |place| if let Where::On(slope) = place { on.contains(&slope) } else { true };
        any(&self.drawn, kind, sees) || any(&self.added, kind, sees)
    }
}

fn any(of: &[(MemberKind, Where)], kind: MemberKind, fits: impl Fn(Where) -> bool) -> bool {
    of.iter().any(|(k, place)| *k == kind && fits(*place))
}

/// The slopes that a table names.
fn named(names: &Option<Vec<Written<String>>>, slopes: &[Slope]) -> Vec<Where> {
    let Some(names) = names else { return vec![Where::Anywhere] };
    names.iter().map(|n| slope_of(n, slopes)).collect()
}

fn slope_of(name: &Written<String>, slopes: &[Slope]) -> Where {
    let known = name.read().ok().and_then(|name| slopes.iter().position(|s| s.name == name));
    known.map_or(Where::Anywhere, |s| Where::On(SlopeId(s)))
}

/// What single members say of themselves.
fn singles(r: &Reader<'_>, key: &str, tables: &[Located<MemberFile>], slopes: &[Slope]) -> Vec<(MemberKind, Where)> {
    let every = |place: Where| MemberKind::WORDS.iter().map(move |(_, kind)| (*kind, place));
    let mut all = Vec::new();
    for table in tables.iter().map(Located::get) {
        let corners = [&table.from, &table.to].into_iter().flatten();
        let place = match &table.slope {
            Some(name) => slope_of(name, slopes),
            None if corners.clone().count() == 2 && corners.clone().all(|c| c.len() == 3) => Where::InWorld,
            None => Where::Anywhere,
        };
        match table.kind.as_ref().and_then(|k| k.read().ok()) {
            Some(kind) => all.push((kind, place)),
            None => all.extend(every(place)),
        }
    }
    if r.may_lack(key) {
        all.extend(every(Where::Anywhere));
    }
    all
}
