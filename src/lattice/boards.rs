//! Which piece comes out of which board.
//!
//! Aim: the boards to buy for the pieces that are not laid yet, with a proved bound. Reason: lists, sheets and the report
//! must tell of the same boards. Limits: a piece with slanted ends takes as much of a board as lies between its farthest
//! corners; used
//! offcuts are gone; pieces of all slopes share boards, for all battens have one section.

use super::{End, Lattice, Levels, Piece};
use crate::cutting::{self, Effort, Stock, Yard};
use crate::design::{Design, Priced};
use crate::solid::tolerance::SAME;
use crate::structure::{Outline, Structure};

/// A piece: slope and place in [`super::SlopeLattice::pieces`].
pub type PieceAt = (usize, usize);

/// A piece on a board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sawn {
    /// Which.
    pub piece: PieceAt,
    /// Where on the board it begins, metres.
    pub at: f64,
    /// How much of the board it takes, metres: its length, slanted ends included.
    pub length: f64,
}

/// One board.
#[derive(Clone, Debug, PartialEq)]
pub struct CutBoard {
    /// Its stock length, metres.
    pub stock: f64,
    /// What is cut from it, from one end to the other.
    pub pieces: Vec<Sawn>,
    /// What is left over, metres.
    pub offcut: f64,
}

/// All boards.
#[derive(Clone, Debug, PartialEq)]
pub struct Boards {
    /// The boards in the order in which courses need them, from the eave up.
    pub boards: Vec<CutBoard>,
    /// Pieces that are longer than the longest stock.
    pub too_long: Vec<PieceAt>,
    /// What the boards cost: hundredths of the currency where boards are priced, else nanometres of board.
    pub cost: u64,
    /// No way to cut these pieces costs less.
    pub bound: u64,
    /// What the plain rule would cost: longest piece first, into the first board that has room.
    pub plain_cost: u64,
    /// Boards are priced.
    pub priced: bool,
}

/// Whole nanometres.
pub(super) fn nanometres(metres: f64) -> i64 {
    (metres * 1e9).round() as i64
}

fn unsigned(metres: f64) -> u64 {
    u64::try_from(nanometres(metres)).unwrap_or(0)
}

/// The boards that can be bought.
pub(super) fn yard(design: &Design) -> Yard {
    let stock = design.lattice.batten.stock.value.iter().map(|s| {
        let length = unsigned(s.metres());
        let price = design.buying.board_price(*s).map(|p| p.price.hundredths());
        Stock { length, cost: price.unwrap_or(length).max(1) }
    });
    Yard { stock: stock.collect(), kerf: unsigned(design.buying.kerf.metres()) }
}

/// How far an end of a piece reaches past the end of its middle line on the membrane, metres. An end cut along a hip is
/// aslant across the board and, cut plumb, aslant through it too.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Reach {
    /// Along the middle of the lower face, the one that lies on the strips.
    pub middle: f64,
    /// Along the middle of the board.
    pub mean: f64,
    /// At the farthest corner.
    pub farthest: f64,
}

/// How far an end reaches; `lift` is the piece's.
pub(super) fn reach(design: &Design, outline: &Outline, lift: f64, end: End) -> Reach {
    let Some(plane) = end.cut(outline) else { return Reach::default() };
    let levels = Levels::of(design);
    let half = design.lattice.batten.width.metres() / 2.0;
    let (n, across) = (plane.normal, plane.normal.x.abs().max(0.05));
    let at = |z: f64| -n.z * (z + lift) / across;
    let farthest = at(levels.strip).max(at(levels.batten)) + half * n.y.abs() / across;
    Reach { middle: at(levels.strip), mean: at((levels.strip + levels.batten) / 2.0), farthest }
}

/// The lengths of a piece as it is sawn, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SawLengths {
    /// Along the middle of its lower face, the one that lies on the strips.
    pub middle: f64,
    /// Its volume over its section.
    pub mean: f64,
    /// From its farthest corner to its farthest corner: what it takes of a board.
    pub longest: f64,
}

impl Piece {
    /// Left and right end of its wood at a height up the slope, metres: where an end is slanted, of its upper and its lower
    /// face the shorter one.
    pub fn wood_at(&self, design: &Design, outline: &Outline, y: f64) -> (f64, f64) {
        let levels = Levels::of(design);
        let end = |end: End, x: f64| {
            let Some(plane) = end.cut(outline).filter(|p| p.normal.x.abs() >= SAME) else { return x };
            let n = plane.normal;
            let at = |z: f64| (plane.offset - n.y * y - n.z * (z + self.lift)) / n.x;
            let (low, high) = (at(levels.strip), at(levels.batten));
            if n.x > 0.0 { low.min(high) } else { low.max(high) }
        };
        (end(self.ends.0, self.x.0), end(self.ends.1, self.x.1))
    }

    /// Its lengths as it is sawn.
    pub fn saw_lengths(&self, design: &Design, outline: &Outline) -> SawLengths {
        let ends = [self.ends.0, self.ends.1].map(|end| reach(design, outline, self.lift, end));
        let between = self.x.1 - self.x.0;
        let with = |of: fn(&Reach) -> f64| between + ends.iter().map(of).sum::<f64>();
        SawLengths { middle: with(|r| r.middle), mean: with(|r| r.mean), longest: with(|r| r.farthest) }
    }
}

/// The boards for all pieces that are not laid.
pub fn boards(design: &Design, structure: &Structure, lattice: &Lattice) -> Boards {
    let mut at: Vec<PieceAt> = Vec::new();
    let mut lengths: Vec<u64> = Vec::new();
    for (s, slope) in lattice.slopes.iter().enumerate() {
        let Some(outline) = structure.slopes.get(s).map(|f| &f.outline) else { continue };
        for (p, piece) in slope.pieces.iter().enumerate().filter(|(_, p)| !p.laid) {
            at.push((s, p));
            lengths.push(unsigned(piece.saw_lengths(design, outline).longest));
        }
    }
    let yard = yard(design);
    let plan = cutting::cut(&yard, &lengths, &Effort::FULL);
    let metres = |nm: u64| nm as f64 * 1e-9;
    let boards = plan.boards.iter().map(|b| {
        let stock = yard.stock.get(b.stock).map_or(0, |s| s.length);
        let mut used = 0;
        let mut pieces = Vec::new();
        for i in &b.pieces {
            let (Some(piece), Some(length)) = (at.get(*i), lengths.get(*i)) else { continue };
            pieces.push(Sawn { piece: *piece, at: metres(used), length: metres(*length) });
            used += length + yard.kerf;
        }
        CutBoard { stock: metres(stock), pieces, offcut: metres(stock.saturating_sub(used)) }
    });
    Boards {
        boards: boards.collect(),
        too_long: plan.too_long.iter().filter_map(|i| at.get(*i).copied()).collect(),
        cost: plan.cost,
        bound: plan.bound,
        plain_cost: plan.plain_cost,
        priced: design.buying.price(Priced::Board).is_some(),
    }
}
