//! The combinations of the loads that there are.
//!
//! Aim: those of the chosen standard that can decide. Reason: one that is nowhere more than another of its kind only tires the
//! reader. Limits: those of `capacity::loads`.

use super::supersede;
use crate::capacity::loads::{self, Arrangement, Combination};
use crate::check::strength::basis::Basis;
use crate::design::{Design, Standard};

/// The combinations of the loads that there are, each named with its clause.
pub fn combine(design: &Design, basis: &mut Basis) {
    supersede(basis, basis.standard);
    let low = design.loads.wind.as_ref().and_then(|w| w.elevation.as_ref()).is_some_and(|e| e.metres() <= 1000.0);
    let standard = match basis.standard {
        Standard::Asce7_10 | Standard::Asce7_16 => loads::Standard::AsdTo16,
        Standard::Asce7_22 => loads::Standard::Asd22,
        Standard::En1991 if low => loads::Standard::En1990,
        Standard::En1991 => loads::Standard::En1990High,
    };
    let (snow, live, wind) = (basis.snow.is_some(), basis.live.is_some(), !basis.wind.is_empty());
    let there = |c: &Combination| {
        let f = &c.factors;
        let asks = [(f.snow, snow), (f.live, live), (f.wind, wind)];
        asks.iter().all(|(f, _)| *f == 0.0) || asks.iter().any(|(f, is)| *f > 0.0 && *is)
    };
    // Of the loads that there are, nowhere less than another one of its kind has: it could never decide.
    let have = |c: &Combination| {
        let f = &c.factors;
        let only = |f: f64, is: bool| if is { f } else { 0.0 };
        [only(f.live, live), only(f.snow, snow), only(f.wind, wind)]
    };
    let covers = |a: &Combination, b: &Combination| {
        let alike = a.suction == b.suction
            && a.snow == b.snow
            && a.factors.dead == b.factors.dead
            && a.nds == b.nds
            && a.ec5 == b.ec5;
        let (of_a, of_b) = (have(a), have(b));
        alike && of_a != of_b && of_a.iter().zip(of_b).all(|(a, b)| *a >= b)
    };
    let unbalanced = basis.snow.iter().flatten().any(|s| s.unbalanced.is_some());
    let arranged = |c: Combination| {
        let also = unbalanced && c.factors.snow > 0.0;
        [c].into_iter().chain(also.then_some(Combination { snow: Arrangement::Unbalanced, ..c }))
    };
    let all: Vec<Combination> = loads::combinations(standard).into_iter().filter(there).flat_map(arranged).collect();
    basis.combinations = all.iter().filter(|c| !all.iter().any(|o| covers(o, c))).copied().collect();
    if basis.standard == Standard::En1991 && !low {
        basis.left_out.push(
            "wind.elevation does not say that the site is at most 1000 m above the sea: combinations are those for higher sites"
                .to_owned(),
        );
    }
}
