//! The roof as measured, and what is already on it.

use std::ops::Range;

use super::super::file::{DesignFile, FoundFile, FoundMemberFile, FoundSlopeFile, LaidFile, Located, OpeningFile};
use super::super::model::*;
use super::super::reader::Reader;
use super::super::written::{Written, nearest};
use super::framing::{each, member, opening_names, under_slope};
use super::{once_each, slope_list, slope_named, slopes as geometry};

/// Layers that no course divides.
const BY_LINE_OR_SLOPE: &[LaidKind] = &[LaidKind::Tape, LaidKind::Strips, LaidKind::Straps, LaidKind::VentPieces];

/// What was found.
pub struct Found {
    pub members: Vec<FoundMember>,
    pub added: Vec<MemberSpec>,
    pub outlines: Vec<(SlopeId, Vec<Corner>)>,
    pub openings: Vec<(SlopeId, usize, Corner, Corner)>,
}

/// Everything below `[found]`, as far as it could be judged.
pub fn found(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope]) -> Found {
    let Some(located) = &file.found else {
        return Found { members: Vec::new(), added: Vec::new(), outlines: Vec::new(), openings: Vec::new() };
    };
    let f: &FoundFile = located.get();
    let mut members = each(r, "found.member", &f.member, found_member);
    let told = members.iter().map(|m| (m.name.as_str(), &m.span, format!("{}.name", m.key)));
    once_each(r, told, |name| format!("\"{name}\" is found twice"), "one entry for each member");
    members.sort_by(|a, b| a.name.cmp(&b.name));
    let added = each(r, "found.added", &f.added, |r, k, t| member(r, k, t, slopes));
    let outlines = each(r, "found.slope", &f.slope, |r, k, t| found_slope(r, k, t, slopes));
    for (i, table) in f.added.iter().enumerate() {
        let key = format!("found.added[{}]", i + 1);
        if let Some(spec) = added.iter().find(|m| m.table.key == key) {
            under_slope(r, &key, table, spec, slopes, &outlines);
        }
    }
    let named = opening_names(file);
    let openings = each(r, "found.opening", &f.opening, |r, k, t| found_opening(r, k, t, slopes, named.as_deref()));
    Found { members, added, outlines, openings }
}

fn found_member(r: &mut Reader<'_>, key: &str, located: &Located<FoundMemberFile>) -> Option<FoundMember> {
    let (f, at) = (located.get(), located.span());
    let name = r.need(&format!("{key}.name"), &f.name, &at, "the name of a member, such as \"S-R05\"");
    let missing = match &f.missing {
        Some(_) => r.maybe(&format!("{key}.missing"), &f.missing).map(|g| g.value),
        None => Some(false),
    };
    let mut offsets = Vec::new();
    for (i, o) in f.offsets.iter().flatten().enumerate() {
        let k = format!("{key}.offsets[{}]", i + 1);
        let along = r.need(&format!("{k}.at"), &o.at, &at, "where along the member");
        let off = r.need(&format!("{k}.off"), &o.off, &at, "how far to the right of the drawn line, or above it");
        offsets.extend(along.zip(off).map(|(a, b)| (a.value, b.value)));
    }
    let measured = f.offsets.as_ref().is_some_and(|o| !o.is_empty());
    offsets.sort_by(|a, b| a.0.total_cmp(&b.0));
    if offsets.windows(2).any(|w| (w[1].0 - w[0].0).metres() < 0.01) {
        r.fault(
            at.clone(),
            &format!("{key}.offsets"),
            "two measurements at one place",
            "keep measurements at least 10 mm apart along the member",
        );
    }
    if let Some((_, far)) = offsets.iter().find(|(_, off)| off.metres().abs() > 0.5) {
        let shown = far.show_fine(r.units);
        r.fault(
            at.clone(),
            &format!("{key}.offsets"),
            format!("{shown} off the drawn line"),
            "more than 0.5 m off is another member: mark this one missing and write [[found.added]]",
        );
    }
    if missing == Some(true) && measured {
        r.fault(at.clone(), key, "missing and measured at once", "write missing = true or offsets, not both");
    }
    let misspelt = r.may_lack(&format!("{key}.offsets")) || r.may_lack(&format!("{key}.missing"));
    if missing == Some(false) && !measured && !misspelt {
        r.fault(
            at.clone(),
            key,
            "nothing found of this member",
            "write offsets = [{ at = \"0 ft\", off = \"1/4 in\" }] (or \"0 m\" and \"6 mm\"), or missing = true",
        );
    }
    // The name is judged later, also where the measurements are at fault.
    let (name, missing) = (name?.value, missing.unwrap_or(false));
    let span = f.name.as_ref().map_or(at, |w| w.span.clone());
    let line = r.line(span.start);
    Some(FoundMember { name, missing, offsets, line, key: key.to_owned(), span })
}

fn found_slope(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<FoundSlopeFile>,
    slopes: &[Slope],
) -> Option<(SlopeId, Vec<Corner>)> {
    let (f, at) = (located.get(), located.span());
    if f.name.is_none() {
        r.fault(at.start..at.start, &format!("{key}.name"), "which slope?", "write name = \"S\"");
    }
    let id = slope_named(r, &format!("{key}.name"), &f.name, slopes);
    let outline = geometry::outline(r, key, &f.size, &f.outline, &at, false);
    let (id, outline) = (id?, outline?);
    let drawn = slopes.get(id.0).map_or(outline.len(), |s| s.outline.len());
    if outline.len() != drawn {
        r.fault(
            at,
            &format!("{key}.outline"),
            format!("{} corners found, {drawn} drawn", outline.len()),
            "measure the same corners, in the same order",
        );
        return None;
    }
    Some((id, outline))
}

fn found_opening(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<OpeningFile>,
    slopes: &[Slope],
    named: Option<&[String]>,
) -> Option<(SlopeId, usize, Corner, Corner)> {
    let (f, at) = (located.get(), located.span());
    let name = r.need(&format!("{key}.name"), &f.name, &at, "the name of an opening");
    let place = geometry::corner_and_size(r, key, f, &at);
    let name = name?.value;
    let id = slopes
        .iter()
        .enumerate()
        .find_map(|(i, s)| Some((SlopeId(i), s.openings.iter().position(|o| o.name == name)?)));
    let Some((slope, opening)) = id else {
        // An opening that is itself at fault is told there; a misspelt table may be the one that is meant.
        let named = named.filter(|n| !n.contains(&name) && !r.may_lack("opening"))?;
        let span = f.name.as_ref().map_or(at, |w| w.span.clone());
        let all = if named.is_empty() { "none".to_owned() } else { named.join(", ") };
        let hint = nearest(&name, named.iter().map(String::as_str))
            .map_or(format!("openings: {all}"), |n| format!("did you mean \"{n}\"?"));
        r.fault(span, &format!("{key}.name"), format!("no opening is named \"{name}\""), hint);
        return None;
    };
    let (corner, size) = place?;
    Some((slope, opening, corner, size))
}

/// Puts measured outlines and openings beside the drawn ones. Faults where they do not fit one another.
pub fn apply_outlines(r: &mut Reader<'_>, file: &DesignFile, slopes: &mut [Slope], found: &Found) {
    for (slope, outline) in &found.outlines {
        if let Some(s) = slopes.get_mut(slope.0) {
            s.found_outline = Some(outline.clone());
        }
    }
    for (slope, opening, at, size) in &found.openings {
        if let Some(o) = slopes.get_mut(slope.0).and_then(|s| s.openings.get_mut(*opening)) {
            o.found = Some((*at, *size));
        }
    }
    let Some(written) = file.found.as_ref().filter(|_| !found.outlines.is_empty() || !found.openings.is_empty()) else {
        return;
    };
    for slope in slopes.iter() {
        for (i, o) in slope.openings.iter().enumerate() {
            let place = o.found.unwrap_or((o.at, o.size));
            let before = slope.openings.get(..i).unwrap_or_default();
            let (key, span) = measured(written, o, slope);
            geometry::within(r, &key, o, place, slope, before, &(span.start..span.start));
        }
    }
}

/// Key and place of the table that measures an opening; else that of the slope's outline, else that of all that was found.
fn measured(found: &Located<FoundFile>, opening: &Opening, slope: &Slope) -> (String, Range<usize>) {
    let says = |name: &Option<Written<String>>, this: &str| {
        name.as_ref().and_then(|n| n.read().ok()).is_some_and(|name| name == this)
    };
    let f = found.get();
    let of_opening = f.opening.iter().position(|t| says(&t.get().name, &opening.name));
    let of_slope = f.slope.iter().position(|t| says(&t.get().name, &slope.name));
    match (of_opening.and_then(|i| Some((i, f.opening.get(i)?))), of_slope.and_then(|i| Some((i, f.slope.get(i)?)))) {
        (Some((i, table)), _) => (format!("found.opening[{}]", i + 1), table.span()),
        (None, Some((i, table))) => (format!("found.slope[{}]", i + 1), table.span()),
        (None, None) => ("found".to_owned(), found.span()),
    }
}

/// What is laid already, as far as it could be judged.
pub fn laid(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope]) -> Vec<Laid> {
    each(r, "laid", &file.laid, |r, key, located: &Located<LaidFile>| {
        let (f, at) = (located.get(), located.span());
        let what = match &f.what {
            Some(list) => {
                let kinds = list
                    .iter()
                    .enumerate()
                    .map(|(i, w)| r.maybe(&format!("{key}.what[{}]", i + 1), &Some(w.clone())).map(|g| g.value));
                // Every fault is told, so nothing is cut short.
                kinds.collect::<Vec<Option<LaidKind>>>().into_iter().collect::<Option<Vec<_>>>()
            }
            None => {
                r.fault(
                    at.start..at.start,
                    &format!("{key}.what"),
                    "missing `what`",
                    "any of \"tape\", \"strips\", \"straps\", \"battens\", \"fasteners\", \"vent pieces\"",
                );
                None
            }
        };
        let on = slope_list(r, &format!("{key}.slopes"), &f.slopes, &at, slopes);
        let mut names = |name: &str, list: &Option<Vec<Written<String>>>| {
            let one = |(i, w): (usize, &Written<String>)| {
                r.maybe(&format!("{key}.{name}[{}]", i + 1), &Some(w.clone())).map(|g| (g.value, w.span.clone()))
            };
            list.as_ref().map(|list| list.iter().enumerate().filter_map(one).collect::<Vec<_>>())
        };
        let lines = names("lines", &f.lines);
        let courses = names("courses", &f.courses);
        let kinds = what.unwrap_or_default();
        let all_of = |of: &[LaidKind]| !kinds.is_empty() && kinds.iter().all(|k| of.contains(k));
        if let (Some(list), true) = (&f.lines, all_of(&[LaidKind::Battens, LaidKind::VentPieces, LaidKind::Straps])) {
            let span = list.first().map_or(at.clone(), |w| w.span.clone());
            r.fault(
                span,
                &format!("{key}.lines"),
                "battens are laid by course, straps and vent pieces by slope, not by line",
                "write courses = [..] or slopes = [..], or leave `lines` out",
            );
        }
        if let (Some(list), true) = (&f.courses, all_of(BY_LINE_OR_SLOPE)) {
            let span = list.first().map_or(at.clone(), |w| w.span.clone());
            r.fault(
                span,
                &format!("{key}.courses"),
                "tape and strips are laid by line, straps and vent pieces by slope, not by course",
                "write lines = [..] or slopes = [..], or leave `courses` out",
            );
        }
        // Names are judged later, also where something else is at fault.
        Some(Laid { what: kinds, slopes: on.unwrap_or_default(), lines, courses, key: key.to_owned() })
    })
}
