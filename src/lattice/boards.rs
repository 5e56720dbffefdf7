//! Which piece comes out of which board.
//!
//! Aim: the boards to buy for the pieces that are not laid yet, with a proved bound. Reason: lists, sheets and the report
//! must tell of the same boards. Limits: a piece with slanted ends takes as much of a board as lies between its farthest
//! corners; used
//! offcuts are gone; pieces of all slopes share boards, for all battens have one section.

use super::{End, Lattice, Levels, Piece};
use crate::cutting::{self, Effort, Stock, Yard};
use crate::design::{Design, JointChoice, Priced};
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
    /// What the boards cost.
    pub cost: BoardCost,
    /// No way to cut these pieces costs less.
    pub bound: BoardCost,
    /// What the plain rule would cost: longest piece first, into the first board that has room.
    pub plain_cost: BoardCost,
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

/// The boards that can be bought, and what each costs beyond its price or its length: where the design asks for fewest
/// boards so much that of plans of at most `most` boards those with fewer boards cost less.
pub(super) fn yard(design: &Design, most: usize) -> (Yard, u64) {
    let stock = design.lattice.batten.stock.value.iter().map(|s| {
        let length = unsigned(s.metres());
        let price = design.buying.board_price(*s).map(|p| p.price.hundredths());
        Stock { length, cost: price.unwrap_or(length).max(1) }
    });
    let mut stock: Vec<Stock> = stock.collect();
    let fewest = design.lattice.batten.joints.value == JointChoice::FewestBoards;
    let each = if fewest { cutting::for_each_board(&stock, most) } else { 0 };
    for s in &mut stock {
        s.cost = s.cost.saturating_add(each);
    }
    (Yard { stock, kerf: unsigned(design.buying.kerf.metres()) }, each)
}

/// What boards cost, and how many they are where their number comes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BoardCost {
    /// How many; nothing where only the cost counts.
    pub boards: u64,
    /// Hundredths of the currency where boards are priced, else nanometres of board.
    pub cost: u64,
}

impl BoardCost {
    /// The parts of a plan's cost, in which every board counts `each` beyond its own.
    pub(super) fn of_plan(cost: u64, yard: &Yard, each: u64) -> BoardCost {
        let least = yard.stock.iter().map(|s| s.cost).min().unwrap_or(1).max(1);
        let boards = if each == 0 { 0 } else { cost / least };
        BoardCost { boards, cost: cost - boards * each }
    }

    /// The parts of a bound: no plan has fewer boards, and none with as many costs less.
    pub(super) fn of_bound(cost: u64, yard: &Yard, each: u64) -> BoardCost {
        let most = yard.stock.iter().map(|s| s.cost).max().unwrap_or(1).max(1);
        let boards = if each == 0 { 0 } else { cost.div_ceil(most) };
        let own = boards * yard.stock.iter().map(|s| s.cost).min().map_or(0, |least| least - each);
        BoardCost { boards, cost: cost.saturating_sub(boards * each).max(own) }
    }
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

    /// Left and right end along the middle of its lower face, the one that lies on the strips, metres.
    pub fn on_strips(&self, design: &Design, outline: &Outline) -> (f64, f64) {
        let past = |end: End| reach(design, outline, self.lift, end).middle;
        (self.x.0 - past(self.ends.0), self.x.1 + past(self.ends.1))
    }

    /// Its lengths as it is sawn.
    pub fn saw_lengths(&self, design: &Design, outline: &Outline) -> SawLengths {
        let ends = [self.ends.0, self.ends.1].map(|end| reach(design, outline, self.lift, end));
        let between = self.x.1 - self.x.0;
        let with = |of: fn(&Reach) -> f64| between + ends.iter().map(of).sum::<f64>();
        let (left, right) = self.on_strips(design, outline);
        SawLengths { middle: right - left, mean: with(|r| r.mean), longest: with(|r| r.farthest) }
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
    let (yard, each) = yard(design, lengths.len());
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
        cost: BoardCost::of_plan(plan.cost, &yard, each),
        bound: BoardCost::of_bound(plan.bound, &yard, each),
        plain_cost: BoardCost::of_plan(plan.plain_cost, &yard, each),
        priced: design.buying.price(Priced::Board).is_some(),
    }
}
