//! The normal distribution, and seeded draws from it. Pure.

use crate::quantity::maths::{cos, erfc, exp, hypot, ln, sin};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// Chance that a standard normal value is below `x`: `erfc(-x / sqrt 2) / 2`.
pub fn below(x: f64) -> f64 {
    erfc(-x / std::f64::consts::SQRT_2) / 2.0
}

/// Chance that a normal value about zero with deviation `sigma` lies between `low` and `high`.
pub fn between(low: f64, high: f64, sigma: f64) -> f64 {
    if high <= low {
        return 0.0;
    }
    if sigma <= 0.0 {
        return if low <= 0.0 && 0.0 <= high { 1.0 } else { 0.0 };
    }
    // On one side of the middle the difference of two small tails keeps its digits.
    let (low, high) = if low > 0.0 { (-high, -low) } else { (low, high) };
    below(high / sigma) - below(low / sigma)
}

/// Chance that all of several fasteners hit, each within its stretch (low, high): an error common to all with deviation
/// `common`, and one of its own for each with deviation `own`. For one fastener the errors add as squares; else by the
/// trapezoid rule over the common error, which for smooth integrands of this kind converges faster than any power of its
/// step.
pub fn all_between(stretches: &[(f64, f64)], common: f64, own: f64) -> f64 {
    if let [(low, high)] = stretches {
        return between(*low, *high, hypot(common, own));
    }
    if own <= 0.0 {
        let low = stretches.iter().map(|s| s.0).fold(f64::NEG_INFINITY, f64::max);
        let high = stretches.iter().map(|s| s.1).fold(f64::INFINITY, f64::min);
        return between(low, high, common);
    }
    let at = |c: f64| stretches.iter().map(|s| between(s.0 - c, s.1 - c, own)).product::<f64>();
    if common <= 0.0 {
        return at(0.0);
    }
    let steps = (2.0 * FAR * common / (common.min(own) / FINE)).ceil().min(MOST_STEPS);
    let step = 2.0 * FAR * common / steps;
    let density = |c: f64| exp(-(c / common).powi(2) / 2.0) / (common * (std::f64::consts::TAU).sqrt());
    (0..=steps as u32)
        .map(|k| {
            let c = f64::from(k) * step - FAR * common;
            step * density(c) * at(c)
        })
        .sum()
}

/// How many deviations the integral reaches to either side: what lies beyond is below 1e-15.
const FAR: f64 = 8.0;
/// Steps to the smaller deviation.
const FINE: f64 = 2.0;
const MOST_STEPS: f64 = 20_000.0;

/// Normal draws from a fixed seed: the same on every system and in every run.
pub struct Draws {
    source: ChaCha8Rng,
    /// Number of the next value; two make a pair.
    next: u64,
    /// How many pairs the source has given, and the values of the last one.
    pairs: u64,
    values: [f64; 2],
}

impl Draws {
    /// Begins anew from a seed.
    pub fn from(seed: u64) -> Draws {
        Draws { source: ChaCha8Rng::seed_from_u64(seed), next: 0, pairs: 0, values: [0.0; 2] }
    }

    /// A standard normal value, by the method of Box and Muller.
    pub fn normal(&mut self) -> f64 {
        let (pair, second) = (self.next / 2, self.next % 2 == 1);
        self.next += 1;
        if self.pairs <= pair {
            for _ in self.pairs * 2..pair * 2 {
                self.source.next_u64();
            }
            // Whole numbers of 2^-53 above zero.
            let mut unit = || ((self.source.next_u64() >> 11) + 1) as f64 / (1u64 << 53) as f64;
            let (radius, angle) = ((-2.0 * ln(unit())).sqrt(), std::f64::consts::TAU * unit());
            self.values = [radius * cos(angle), radius * sin(angle)];
            self.pairs = pair + 1;
        }
        self.values[usize::from(second)]
    }

    /// The next value if it is asked for; else it is passed over, and zero stands for it.
    pub fn normal_if(&mut self, asked: bool) -> f64 {
        if asked {
            return self.normal();
        }
        self.skip(1);
        0.0
    }

    /// Passes over so many values that nobody asks for, which costs a tenth of making them.
    pub fn skip(&mut self, values: usize) {
        self.next += values as u64;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal};

    /// Abramowitz and Stegun, table 26.1 (from memory), and an independent statistics library.
    #[test]
    fn the_distribution_agrees_with_published_values_and_an_independent_library() {
        for (x, p) in [(0.0, 0.5), (1.0, 0.841_344_746_1), (1.96, 0.975_002_104_9), (3.0, 0.998_650_102_0)] {
            assert!((below(x) - p).abs() < 1e-10, "{x}: {}", below(x));
        }
        let normal = Normal::new(0.0, 1.0).unwrap();
        for k in -80..=80 {
            let x = f64::from(k) / 10.0;
            assert!((below(x) - normal.cdf(x)).abs() < 1e-9, "{x}");
        }
    }

    /// Chances of a miss for a member 1 1/2 in wide (inches; column: deviation, row: asked distance and shift), as
    /// tabulated from P = 1 - [Phi((h - mu)/s) - Phi((-h - mu)/s)], h = b/2 - e. The first row is that of 6, 4, 3 and
    /// 2 deviations in any table of the normal distribution.
    #[test]
    fn chances_of_a_miss_agree_with_tabulated_ones() {
        let table = [
            (0.0, 0.0, [(0.125, 1.97e-9), (0.1875, 6.33e-5), (0.25, 0.002_699_8), (0.375, 0.0455)]),
            (0.33, 0.0, [(0.125, 7.79e-4), (0.1875, 0.02509), (0.25, 0.09296), (0.5, 0.4009)]),
            (0.0, 0.25, [(0.125, 3.17e-5), (0.1875, 0.00383), (0.25, 0.02278), (0.3125, 0.05549)]),
        ];
        for (e, mu, row) in table {
            let h = 0.75 - e;
            for (sigma, miss) in row {
                let found = 1.0 - between(-h - mu, h - mu, sigma);
                assert!((found - miss).abs() < 6e-3 * miss, "e {e} mu {mu} sigma {sigma}: {found} against {miss}");
            }
        }
        assert!((1.0 - between(-0.75, 0.75, 0.25) - 0.002_699_796).abs() < 1e-8);
    }

    #[test]
    fn the_integral_over_the_common_error_agrees_with_closed_forms() {
        // One fastener: errors add as squares. Engineering handbook sum: 1/8, 1/8, 1/16, 1/8 gives 0.22535.
        let (common, own) = ((0.125_f64 * 0.125 * 2.0).sqrt(), (0.0625_f64 * 0.0625 + 0.125 * 0.125).sqrt());
        assert!((common.hypot(own) - 0.225_35).abs() < 1e-5);
        for (low, high) in [(-0.75, 0.75), (-0.1, 0.4), (0.2, 0.9)] {
            let closed = between(low, high, common.hypot(own));
            assert_eq!(all_between(&[(low, high)], common, own), closed);
            // Beside one that hits whatever happens, the integral says the same.
            let integral = all_between(&[(low, high), (-90.0, 90.0)], common, own);
            assert!((integral - closed).abs() < 1e-12);
        }
        // No common error: the product. No own error: the narrowest stretch.
        let pair = [(-0.3, 0.3), (-0.2, 0.4)];
        let product = between(-0.3, 0.3, 0.2) * between(-0.2, 0.4, 0.2);
        assert!((all_between(&pair, 0.0, 0.2) - product).abs() < 1e-12);
        assert!((all_between(&pair, 1e-9, 0.2) - product).abs() < 1e-9);
        assert!((all_between(&pair, 0.2, 0.0) - between(-0.2, 0.3, 0.2)).abs() < 1e-12);
        assert!((all_between(&pair, 0.2, 1e-3) - between(-0.2, 0.3, 0.2)).abs() < 2e-3);
        // Two that share their error miss together more often than two that do not.
        assert!(
            all_between(&pair, 0.2, 0.2) > between(-0.3, 0.3, 0.08_f64.sqrt()) * between(-0.2, 0.4, 0.08_f64.sqrt())
        );
    }

    #[test]
    fn draws_are_normal_and_the_same_every_time() {
        let (mut a, mut b) = (Draws::from(7), Draws::from(7));
        let n = 40_000;
        let (mut sum, mut squares, mut inside) = (0.0, 0.0, 0.0);
        for _ in 0..n {
            let x = a.normal();
            assert_eq!(x, b.normal());
            sum += x;
            squares += x * x;
            inside += f64::from(u8::from(x.abs() < 1.0));
        }
        // What follows is the same, whatever is passed over.
        for skipped in [1, 2, 5, 0, 8, 3] {
            b.skip(skipped);
            for _ in 0..skipped {
                a.normal();
            }
            assert_eq!((a.normal(), a.normal()), (b.normal(), b.normal()));
        }
        let n = f64::from(n);
        assert!((sum / n).abs() < 0.02 && (squares / n - 1.0).abs() < 0.03 && (inside / n - 0.6827).abs() < 0.01);
    }
}
