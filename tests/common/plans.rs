//! From a design's text to its plan, loudly.
#![allow(dead_code, reason = "each test file uses its own part of this module")]

use airlath::plan::Plan;

/// The plan of a design; its faults end the test.
pub fn plan(text: &str) -> Plan {
    Plan::from_text("test.toml", &placed(text)).unwrap_or_else(|f| panic!("{}", f.render(false)))
}

/// A design whose moves that state no place have the one that the fault about it asks for.
pub fn placed(text: &str) -> String {
    let faults = match Plan::from_text("test.toml", text) {
        Err(refused) if text.contains("[[move]]") => refused.faults,
        Ok(_) | Err(_) => return text.to_owned(),
    };
    let asked = faults.iter().rev().filter(|f| f.message.starts_with("missing `at`"));
    asked.fold(text.to_owned(), |mut text, f| {
        let line = f.hint.strip_prefix("write ").and_then(|h| h.split(", where").next()).expect("a line to write");
        let end = text[f.span.start..].find('\n').expect("an end of the line") + f.span.start;
        text.insert_str(end, &format!("\n{line}"));
        text
    })
}

/// Metres as a text that reads back to the nanometre.
pub fn millimetres(metres: f64) -> String {
    format!("{:.6} mm", metres * 1e3)
}
