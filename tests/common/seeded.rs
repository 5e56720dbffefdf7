//! Numbers of a fixed sequence: the same in each run.
#![allow(dead_code, reason = "each user asks for its own kind of number")]
#![allow(clippy::cast_precision_loss, reason = "counts are small, and a number has 53 bits")]
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a small count")]

/// A linear congruential generator (multiplier and increment of Knuth's MMIX, `from memory`).
pub struct Seeded(pub u64);

impl Seeded {
    /// The next number between 0 and 1.
    pub fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// The next number between `low` and `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }

    /// The next whole number below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        ((self.next() * n as f64) as usize).min(n - 1)
    }
}
