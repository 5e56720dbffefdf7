//! What a window must meet, condition by condition.

/// One condition of a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Condition {
    /// The whole shank lies inside one member over the asked embedment.
    Backed,
    /// Distance to the member's sides and ends.
    MemberEdge,
    /// Tape all round.
    Tape,
    /// Distance to the batten's sides.
    BattenEdge,
    /// Distance to the batten's ends.
    BattenEnd,
    /// Clear of straps and their nails.
    Straps,
    /// Apart from the landing's other fasteners.
    Others,
    /// Apart from what is to be kept away from.
    KeepAway,
    /// At every tilt of the hand.
    Tilt,
}

impl Condition {
    /// All, in the order in which they are named.
    pub const ALL: [Condition; 9] = [
        Condition::Backed,
        Condition::MemberEdge,
        Condition::Tape,
        Condition::BattenEdge,
        Condition::BattenEnd,
        Condition::Straps,
        Condition::Others,
        Condition::KeepAway,
        Condition::Tilt,
    ];

    /// The condition in words, to stand in a list.
    pub fn words(self) -> &'static str {
        match self {
            Condition::Backed => "be inside one member over the asked embedment",
            Condition::MemberEdge => "keep the edge distance in the member",
            Condition::Tape => "have tape all round",
            Condition::BattenEdge => "keep the edge distance in the batten",
            Condition::BattenEnd => "keep the end distance in the batten",
            Condition::Straps => "clear straps and their nails",
            Condition::Others => "stand apart from the landing's other fasteners",
            Condition::KeepAway => "stand apart from clips and from heads that were left in",
            Condition::Tilt => "hold at every tilt of the hand",
        }
    }

    fn bit(self) -> u16 {
        1 << (self as u16)
    }
}

/// A set of conditions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conditions(u16);

impl Conditions {
    /// Every condition.
    pub const ALL: Conditions = Conditions((1 << Condition::ALL.len()) - 1);
    /// No condition.
    pub const NONE: Conditions = Conditions(0);

    /// The set with one more.
    #[must_use]
    pub fn with(self, condition: Condition) -> Conditions {
        Conditions(self.0 | condition.bit())
    }

    /// The set without one.
    #[must_use]
    pub fn without(self, condition: Condition) -> Conditions {
        Conditions(self.0 & !condition.bit())
    }

    /// Whether a condition is in the set.
    pub fn has(self, condition: Condition) -> bool {
        self.0 & condition.bit() != 0
    }

    /// The conditions of the set, in order.
    pub fn list(self) -> Vec<Condition> {
        Condition::ALL.into_iter().filter(|c| self.has(*c)).collect()
    }

    /// A smallest set within this one for which `impossible` is true, and of several the one whose conditions come first; `None` where
    /// even all together are possible. `impossible` must be true of every set that holds a set of which it is true.
    pub fn smallest(self, mut impossible: impl FnMut(Conditions) -> bool) -> Option<Conditions> {
        let mut sets: Vec<u16> = (1..=self.0).filter(|s| s & !self.0 == 0).collect();
        // Read from the first condition on, so that of two sets of one size the one with earlier conditions comes first.
        sets.sort_by_key(|s| (s.count_ones(), s.reverse_bits().wrapping_neg()));
        impossible(self).then(|| sets.into_iter().map(Conditions).find(|s| impossible(*s))).flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_smallest_set_is_found_and_the_first_of_its_size() {
        let clash = Conditions::NONE.with(Condition::BattenEnd).with(Condition::MemberEdge);
        let other = Conditions::NONE.with(Condition::Tape).with(Condition::BattenEnd);
        let holds = |s: Conditions, c: Conditions| s.0 & c.0 == c.0;
        let all = Conditions::ALL;
        assert_eq!(all.smallest(|s| holds(s, clash) || holds(s, other)), Some(clash));
        assert_eq!(all.smallest(|s| s.has(Condition::Tilt)).unwrap().list(), [Condition::Tilt]);
        assert_eq!(all.without(Condition::Tilt).smallest(|s| s.has(Condition::Tilt)), None);
        assert_eq!(all.smallest(|_| false), None);
        assert_eq!(Conditions::ALL.list(), Condition::ALL);
    }
}
