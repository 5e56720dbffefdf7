//! From a design's text to its plan, loudly.

use airlath::plan::Plan;

/// The plan of a design; its faults end the test.
pub fn plan(text: &str) -> Plan {
    Plan::from_text("test.toml", text).unwrap_or_else(|f| panic!("{}", f.render(false)))
}
