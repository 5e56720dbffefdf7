//! The examples of the repository, and a small seeded generator.

/// The examples, by file name.
pub const NAMES: [&str; 4] = ["gable.toml", "gable-mended.toml", "hip.toml", "shed.toml"];

/// The text of an example.
pub fn text(name: &str) -> String {
    let path = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"))
}

/// A linear congruential generator (multiplier and increment of Knuth's MMIX, `from memory`): the same numbers each run.
pub struct Seeded(pub u64);

impl Seeded {
    /// The next number between `low` and `high`.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + (high - low) * ((self.0 >> 11) as f64 / (1u64 << 53) as f64)
    }

    /// The next whole number below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        (self.between(0.0, n as f64) as usize).min(n - 1)
    }
}
