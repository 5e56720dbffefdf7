//! The one error of this module.
//!
//! Aim: say what is wrong with a written quantity and what to write instead.
//! Reason: the reader is a builder with a text editor. Limits: it knows no line
//! and no column; whoever reads the file adds those.

use std::fmt;

/// Why a text is no length, angle or density, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuantityError {
    /// What is wrong, in one line.
    pub message: String,
    /// What to write instead.
    pub hint: String,
}

impl QuantityError {
    /// Builds an error from its two lines.
    pub(super) fn new(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { message: message.into(), hint: hint.into() }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} ({})", self.message, self.hint)
    }
}

impl std::error::Error for QuantityError {}

/// Quotes what the user wrote: one line, at most forty characters.
pub(super) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    let mut shown: String = text.chars().take(LONGEST).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(LONGEST).is_some() {
        shown.push_str("...");
    }
    format!("`{shown}`")
}
