//! Findings.
mod verdict;
pub use verdict::Verdict;
