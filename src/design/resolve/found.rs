//! The roof as measured, and what is already on it.

use super::super::file::{DesignFile, FoundFile, FoundMemberFile, FoundSlopeFile, LaidFile, Located, OpeningFile};
use super::super::model::*;
use super::super::reader::Reader;
use super::super::written::{Written, nearest};
use super::framing::{each, member};
use super::{slope_list, slope_named, slopes as geometry};
use crate::quantity::Length;

/// Layers that no course divides.
const BY_LINE_OR_SLOPE: &[LaidKind] = &[LaidKind::Tape, LaidKind::Strips, LaidKind::Straps, LaidKind::VentPieces];

/// What was found.
pub struct Found {
    pub members: Vec<FoundMember>,
    pub added: Vec<MemberSpec>,
    pub outlines: Vec<(SlopeId, Vec<Corner>)>,
    pub openings: Vec<(SlopeId, usize, Corner, Corner)>,
}

/// Everything below `[found]`.
pub fn found(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope]) -> Option<Found> {
    let Some(located) = &file.found else {
        return Some(Found { members: Vec::new(), added: Vec::new(), outlines: Vec::new(), openings: Vec::new() });
    };
    let f: &FoundFile = located.get();
    let members = each(r, "found.member", &f.member, found_member);
    if let Some(members) = &members {
        for (i, m) in members.iter().enumerate() {
            if members.iter().take(i).any(|o| o.name == m.name) {
                r.fault(
                    m.span.clone(),
                    &format!("{}.name", m.key),
                    format!("\"{}\" is found twice", m.name),
                    "one entry for each member",
                );
            }
        }
    }
    let added = each(r, "found.added", &f.added, |r, k, t| member(r, k, t, slopes));
    let outlines = each(r, "found.slope", &f.slope, |r, k, t| found_slope(r, k, t, slopes));
    let openings = each(r, "found.opening", &f.opening, |r, k, t| found_opening(r, k, t, slopes));
    Some(Found { members: members?, added: added?, outlines: outlines?, openings: openings? })
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
        offsets.push(along.zip(off).map(|(a, b)| (a.value, b.value)));
    }
    let mut offsets: Vec<(Length, Length)> = offsets.into_iter().collect::<Option<_>>()?;
    offsets.sort_by(|a, b| a.0.total_cmp(&b.0));
    if offsets.windows(2).any(|w| (w[1].0 - w[0].0).metres() < 0.01) {
        r.fault(
            at.clone(),
            &format!("{key}.offsets"),
            "two measurements at one place",
            "keep measurements at least 10 mm apart along the member",
        );
        return None;
    }
    if let Some((_, far)) = offsets.iter().find(|(_, off)| off.metres().abs() > 0.5) {
        let shown = far.show_fine(r.units);
        r.fault(
            at.clone(),
            &format!("{key}.offsets"),
            format!("{shown} off the drawn line"),
            "more than 0.5 m off is another member: mark this one missing and write [[found.added]]",
        );
        return None;
    }
    let (name, missing) = (name?.value, missing?);
    if missing && !offsets.is_empty() {
        r.fault(at.clone(), key, "missing and measured at once", "write missing = true or offsets, not both");
        return None;
    }
    if !missing && offsets.is_empty() {
        r.fault(
            at.clone(),
            key,
            "nothing found of this member",
            "write offsets = [{ at = \"0 ft\", off = \"1/4 in\" }] or missing = true",
        );
        return None;
    }
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
        return None;
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
        if slopes.is_empty() {
            return None;
        }
        let span = f.name.as_ref().map_or(at, |w| w.span.clone());
        let names: Vec<&str> = slopes.iter().flat_map(|s| s.openings.iter().map(|o| o.name.as_str())).collect();
        let hint = nearest(&name, names.iter().copied())
            .map_or(format!("openings: {}", names.join(", ")), |n| format!("did you mean \"{n}\"?"));
        r.fault(span, &format!("{key}.name"), format!("no opening is named \"{name}\""), hint);
        return None;
    };
    let (corner, size) = place?;
    Some((slope, opening, corner, size))
}

/// Puts measured outlines and openings beside the drawn ones. `false`, with faults, where they do not fit one another.
pub fn apply_outlines(r: &mut Reader<'_>, file: &DesignFile, slopes: &mut [Slope], found: &Found) -> bool {
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
    if found.outlines.is_empty() && found.openings.is_empty() {
        return true;
    }
    let span = file.found.as_ref().map_or(0..0, |f| f.span());
    let mut fits = true;
    for slope in slopes.iter() {
        for o in &slope.openings {
            let (at, size) = o.found.unwrap_or((o.at, o.size));
            fits &= geometry::within(r, "found", o, at, size, slope, &(span.start..span.start));
        }
    }
    fits
}

/// What is laid already.
pub fn laid(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope]) -> Option<Vec<Laid>> {
    each(r, "laid", &file.laid, |r, key, located: &Located<LaidFile>| {
        let (f, at) = (located.get(), located.span());
        let what = match &f.what {
            Some(list) => {
                let kinds: Vec<Option<LaidKind>> = list
                    .iter()
                    .enumerate()
                    .map(|(i, w)| r.maybe(&format!("{key}.what[{}]", i + 1), &Some(w.clone())).map(|g| g.value))
                    .collect();
                kinds.into_iter().collect::<Option<Vec<_>>>()
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
        let on = slope_list(r, &format!("{key}.slopes"), &f.slopes, slopes);
        let mut names = |name: &str, list: &Option<Vec<Written<String>>>| match list {
            None => Some(None),
            Some(list) => {
                let all: Vec<_> = list
                    .iter()
                    .enumerate()
                    .map(|(i, w)| {
                        r.maybe(&format!("{key}.{name}[{}]", i + 1), &Some(w.clone()))
                            .map(|g| (g.value, w.span.clone()))
                    })
                    .collect();
                all.into_iter().collect::<Option<Vec<_>>>().map(Some)
            }
        };
        let lines = names("lines", &f.lines);
        let courses = names("courses", &f.courses);
        let kinds = what.clone().unwrap_or_default();
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
        Some(Laid { what: what?, slopes: on?, lines: lines?, courses: courses?, key: key.to_owned() })
    })
}
