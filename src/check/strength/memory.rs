//! Values from memory hold verdicts at a warning.
//!
//! Aim: no part passes on a value that nobody looked up. Reason: a recalled coefficient may be wrong. Limits: said once for
//! all parts of a check; the share of each part, with its verdict, is in the report.

use super::basis::{Basis, Subject};
use super::path::Analysis;
use crate::check::context::Report;
use crate::check::finding::{Evidence, Measure, Place, Source};
use crate::check::{Verdict, mends};

/// A share's verdict, at best a warning where it rests on an unconfirmed value.
pub fn verdict(ratio: f64, basis: &Basis, subject: Subject) -> Verdict {
    let verdict = super::verdict(ratio, basis);
    if basis.unconfirmed_of(subject).is_empty() { verdict } else { verdict.max(Verdict::Warn) }
}

/// How many sources one message lists.
const LISTED: usize = 12;

/// One warning for all parts of a check. `first` is the name and the place of one of them: the finding's pin.
pub fn note(
    a: &Analysis,
    subject: Subject,
    (what, count): (&str, usize),
    first: Option<(String, Place)>,
    report: &mut Report<'_>,
) {
    let sources = a.basis.unconfirmed_of(subject);
    let Some((name, place)) = first.filter(|_| !sources.is_empty()) else { return };
    let shown: Vec<&str> = sources.iter().take(LISTED).map(String::as_str).collect();
    let more = sources.len().saturating_sub(LISTED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let message = format!(
        "all {count} {what} rest on values from memory ({} sources), so none of them gets more than a warning: look the \
         sources up and name them in strength.confirmed: {}{more}",
        sources.len(),
        shown.join("; ")
    );
    let evidence = vec![Evidence {
        what: "sources not confirmed",
        found: Measure::Count(sources.len()),
        limit: Some(Measure::Count(0)),
    }];
    let helps = || vec![mends::advice("look the sources up, and name them in strength.confirmed")];
    let source = Source::words("the marks of the values; see `airlath explain LANDING DESIGN`");
    report.add(Verdict::Warn, message, vec![name], Some(place), evidence, helps, source);
}
