//! What rests on values from memory is unconfirmed, which is no pass.
//!
//! Aim: no part passes on a value that nobody looked up. Reason: a recalled coefficient may be wrong. It is no warning either:
//! those are for what is near or past a limit, and would drown among the parts of a whole roof. Limits: said once for all
//! parts of a check; the share of each part, with its verdict, is in the report.

use super::basis::{Basis, Subject};
use super::path::Analysis;
use crate::check::context::Report;
use crate::check::finding::{Evidence, Measure, Place, Source};
use crate::check::{Basis as Stands, Verdict, mends};
use crate::parts::Kind;

/// A share's verdict; where it rests on a value that is not confirmed, no pass.
pub fn verdict(ratio: f64, basis: &Basis, subject: Subject) -> Verdict {
    super::verdict(ratio, basis).max(match rests_on(basis, subject) {
        Stands::Confirmed => Verdict::Pass,
        Stands::Unconfirmed => Verdict::Unconfirmed,
    })
}

/// What the shares of a kind rest on.
pub fn rests_on(basis: &Basis, subject: Subject) -> Stands {
    if basis.unconfirmed_of(subject).is_empty() { Stands::Confirmed } else { Stands::Unconfirmed }
}

/// The kind of parts that a subject is about; the strip under a landing is judged at the landing.
fn kind(subject: Subject) -> Kind {
    match subject {
        Subject::Landing | Subject::Strip => Kind::Fasteners,
        Subject::Board => Kind::Batten,
        Subject::Clip => Kind::Clip,
    }
}

/// How many sources one message lists.
const LISTED: usize = 12;

/// Says once for all parts of a check that they are unconfirmed. `first` is the name and the place of one of them: the finding's pin.
pub fn note(
    a: &Analysis,
    subject: Subject,
    (what, count): (&str, usize),
    first: Option<(String, Place)>,
    report: &mut Report<'_>,
) {
    let sources = a.basis.unconfirmed_of(subject);
    if !sources.is_empty() {
        report.unconfirmed(kind(subject));
    }
    let Some((name, place)) = first.filter(|_| !sources.is_empty()) else { return };
    let shown: Vec<&str> = sources.iter().take(LISTED).map(String::as_str).collect();
    let more = sources.len().saturating_sub(LISTED);
    let more = if more > 0 { format!(" and {more} more") } else { String::new() };
    let message = format!(
        "all {count} {what} rest on values from memory ({} sources), so what holds is unconfirmed and none of them \
         passes: look the sources up and name them in strength.confirmed: {}{more}",
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
    report.add(Verdict::Unconfirmed, message, vec![name], Some(place), evidence, helps, source);
}
