//! Joints that are given; sawing, spares, bundles and prices.

use super::{Choice, DefaultInForce, Given};
use crate::quantity::{Length, Money, Percentage};

choice!(
    /// What a price is for.
    Priced, "thing with a price", { /// A board of one stock length.
        Board = "board", /// A roll of tape.
        TapeRoll = "tape roll", /// A strip of stock length.
        Strip = "strip", /// A vent piece of stock length.
        VentPiece = "vent piece", /// A fastener.
        Fastener = "fastener" }
);

/// The joints of one course, given.
#[derive(Clone, Debug)]
pub struct PinnedJoints {
    /// The course.
    pub course: String,
    /// The lines of its joints.
    pub lines: Vec<(String, std::ops::Range<usize>)>,
    /// Its table, such as `joints[1]`.
    pub key: String,
    /// Place in the file, for a course that does not exist.
    pub span: std::ops::Range<usize>,
}

/// A price.
#[derive(Clone, Debug)]
pub struct Price {
    /// What for.
    pub of: Priced,
    /// Of a board: its stock length.
    pub length: Option<Length>,
    /// For a pack.
    pub price: Money,
    /// How many are in a pack.
    pub pack: u64,
}

/// How boards are sawn, fasteners counted and loads bundled, and what things cost.
#[derive(Clone, Debug)]
pub struct Buying {
    /// Width of a saw cut.
    pub kerf: Given<Length>,
    /// Share of fasteners that miss.
    pub miss_rate: Given<Percentage>,
    /// Boards that are carried up together.
    pub bundle: Given<usize>,
    /// The currency; empty where the design names none.
    pub currency: String,
    /// Prices; either for every stock length of the boards or for none.
    pub prices: Vec<Price>,
    /// Defaults of these keys, for the lists; they stand among the defaults in force too.
    pub defaults: Vec<DefaultInForce>,
}

impl Buying {
    /// The price of a thing that has one length only.
    pub fn price(&self, of: Priced) -> Option<&Price> {
        self.prices.iter().find(|p| p.of == of)
    }

    /// The price of a board.
    pub fn board_price(&self, length: Length) -> Option<&Price> {
        let alike = |l: Length| (l.metres() - length.metres()).abs() < 1e-6;
        self.prices.iter().find(|p| p.of == Priced::Board && p.length.is_some_and(alike))
    }
}
