//! The examples of the repository, by name.

/// The examples, by file name.
pub const NAMES: [&str; 4] = ["gable.toml", "gable-mended.toml", "hip.toml", "shed.toml"];

/// The text of an example.
pub fn text(name: &str) -> String {
    let path = format!("{}/examples/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{path}: {e}"))
}
