//! `explain`.

use std::fmt::Write;
use std::path::Path;
use std::process::ExitCode;

use super::files::Sources;
use super::{Failure, print};
use crate::check::strength;
use crate::check::{CHECKS, Context};
use crate::design::{listed_keys, nearest};
use crate::fix::CauseKind;
use crate::lattice::Landing;
use crate::scene::CAUTIONS;
use crate::sheet::font;
use crate::structure::MemberId;

/// Prints the strength of a landing, a piece or a clip as a person writes it by hand; of a member what it carries.
pub fn part(name: &str, sources: &Sources, log: Option<&Path>) -> Result<ExitCode, Failure> {
    if let Some(page) = page(name) {
        return print(&page);
    }
    let plan = sources.inputs(log)?.plan()?;
    let ctx = plan.context();
    if let Some(text) = member(&ctx, name, &sources.design) {
        return print(&text);
    }
    let Some(mut text) = strength::explain::explain(&ctx, name) else {
        let names = strength::explain::names(&ctx);
        let members = ctx.structure.members.iter().map(|m| m.name.as_str());
        let hint = match nearest(name, names.iter().map(String::as_str).chain(members)) {
            Some(known) if is_of_a_roof(name) => format!("did you mean `{known}`?"),
            Some(_) | None => near_page(name).unwrap_or_else(|| {
                format!("names stand in findings.json, such as `{}`", names.first().map_or("", String::as_str))
            }),
        };
        let message = format!("error: no landing, no piece, no clip and no member is named {name}");
        return Err(Failure::Text(format!("{message}\n  help: {hint}")));
    };
    text.push_str("\nCautions\n");
    for c in CAUTIONS.iter().map(|c| (*c).to_owned()).chain(strength::foothold::notice(&ctx)) {
        let _ = writeln!(text, "  {c}");
    }
    print(&text)
}

/// What a member carries; what it holds itself is never computed.
fn member(ctx: &Context<'_>, name: &str, design: &Path) -> Option<String> {
    let (id, member) = (0..).map(MemberId).zip(&ctx.structure.members).find(|(_, m)| m.name == name)?;
    let mut landings = Vec::new();
    for on in &ctx.slopes {
        let carried = |l: &&Landing| on.backing_of(l).iter().any(|b| b.member == Some(id));
        landings.extend(on.lattice.landings.iter().filter(carried).map(|l| ctx.landing_name(on, l)));
    }
    let (kind, section) = (member.kind.word(), member.section.show(ctx.design.units));
    let carries = match landings.first() {
        None => "carries no landing".to_owned(),
        Some(first) => {
            let design = design.display();
            format!("carries {}\n\nFor the fasteners in it: airlath explain {first} {design}", landings.join(", "))
        }
    };
    Some(format!("{name}: {kind}, {section}\n{carries}\nThe framing itself is not checked.\n"))
}

/// The word that asks for the licences.
const LICENCES: &str = "licences";
/// The page of the keys.
const KEYS: &str = "keys";

/// The page of the causes.
const CAUSES: &str = "causes";

/// What `airlath fix` works on, and what it never changes.
fn about_causes() -> String {
    let mut text = String::from(
        "causes: what `airlath fix` finds behind the flags\n\n\
         A cause is a kind of thing that is wrong, with one subject. The fewest causes that cover all flags are chosen; each flag\n\
         stands under one. A cause is proved where a tried change clears a flag of it and makes none.\n\nKinds (--only KIND)\n",
    );
    for kind in CauseKind::ALL {
        let _ = writeln!(text, "  {:<18} {}", kind.word(), kind.about());
    }
    text.push_str(
        "\nWhat fix may change: the first and the last course, the start, joints and stagger, hold-backs, widths of tape and strip,\n\
         the fasteners (kind, gauge, length, pattern, spread, number, holes drilled first), moves of landings, straps that are not\n\
         laid, blocks with landings on them. New wood inside the airtight line only where the design says framing.reach = \"below\".\n\
         What it never changes: limits, loads, tolerances, the site, confirmed and maker's values, what was found, laid or driven,\n\
         openings, the spacing, the framing as drawn. No change is taken that makes a fail or leaves something unchecked.\n\
         Sizes that are sold are common practice, no source. Changes are compared by fails left, new warnings, keys changed, new\n\
         holes in the membrane, new wood, length of boards, size of the change.\n",
    );
    text
}

/// Whose the program is, its typeface, and what it is built on.
fn licences() -> String {
    let own = include_str!("../../LICENSE");
    let libraries = include_str!("licences.txt");
    format!(
        "Airlath\n\n{own}\n---- The typeface of sheets and pictures ----\n\n{}\n---- What it is built on ----\n\n\
         Rust's standard library: MIT OR Apache-2.0; Copyright The Rust Project Developers\n\n{libraries}",
        font::LICENCE
    )
}

/// Prints the page of a check, the keys of the design file, the causes, the licences, or the list of all.
pub fn explain(name: Option<&str>) -> Result<ExitCode, Failure> {
    let Some(name) = name else {
        let mut text = String::from("Checks; `airlath explain NAME` prints the page of one.\n\n");
        for check in CHECKS {
            let _ = writeln!(text, "  {:<22} {}", check.name, check.title);
        }
        text.push_str(
            "\n`airlath explain keys` prints every key of the design file with what it says, `airlath explain rafters` those of \
             one table.\n\
             `airlath explain causes` prints what `airlath fix` works on, and what it never changes.\n\
             `airlath explain licences` prints whose the program is, its typeface, and what it is built on.\n",
        );
        return print(&text);
    };
    if let Some(page) = page(name) {
        return print(&page);
    }
    let hint = if is_of_a_roof(name) {
        format!("a part of a roof is explained with its design: airlath explain {name} roof.toml")
    } else {
        let lists =
            || "`airlath explain` lists all checks, `airlath explain keys` all keys of the design file".to_owned();
        near_page(name).unwrap_or_else(lists)
    };
    Err(Failure::Text(format!("error: no check and no key is named {name}\n  help: {hint}")))
}

/// The page of a check, of the causes, of the licences, or of keys with all below them: `rafters`, `rafters[1].spacing`, `keys`.
fn page(name: &str) -> Option<String> {
    match name {
        LICENCES => return Some(licences()),
        CAUSES => return Some(about_causes()),
        _ => {}
    }
    if let Some(check) = CHECKS.iter().find(|c| c.name == name) {
        return Some(format!("{}: {}\n\n{}", check.name, check.title, check.page));
    }
    let plain = name.split('[').map(|part| part.split_once(']').map_or(part, |(_, rest)| rest)).collect::<String>();
    let asked = |key: &str| {
        let below = key.strip_prefix(plain.as_str());
        name == KEYS || below.is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
    };
    let mut text = String::new();
    for (key, said) in listed_keys().into_iter().filter(|(key, _)| asked(key)) {
        let _ = writeln!(text, "{key}\n    {said}");
    }
    (!text.is_empty()).then_some(text)
}

/// A hint to the page whose name is most like this one.
fn near_page(name: &str) -> Option<String> {
    let keys = listed_keys();
    let names =
        CHECKS.iter().map(|c| c.name).chain([LICENCES, KEYS, CAUSES]).chain(keys.iter().map(|(key, _)| key.as_str()));
    nearest(name, names).map(|known| format!("did you mean `{known}`?"))
}

/// Whether a name looks like that of a part, as `S-R03`; no page has capitals.
fn is_of_a_roof(name: &str) -> bool {
    name.contains('-') && name.contains(char::is_uppercase)
}
