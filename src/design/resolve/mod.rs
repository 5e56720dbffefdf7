//! From the file as written to the design: everything judged, every fault gathered, nothing left open.

mod air;
mod buying;
mod found;
mod framing;
mod lattice;
mod limits_of_size;
mod loads;
mod panels;
mod slopes;
mod tolerance;

pub use slopes::axes as slope_axes;

use std::ops::Range;

use serde::Deserialize;
use toml::de::DeTable;

use super::diagnostic::{Diagnostic, Faults};
use super::file::{DesignFile, Located, SectionFile};
use super::keys;
use super::lumber;
use super::model::{Design, Given, Origin, Section, Slope, SlopeId};
use super::reader::Reader;
use super::written::{Written, nearest};
use crate::quantity::{Length, Units};

/// Reads and resolves a design file. `file` is its name for messages.
pub fn read_design(file: &str, source: &str) -> Result<Design, Faults> {
    let mut reader = Reader::new(source);
    let design = parse(&mut reader, source).and_then(|written| design(&mut reader, &written));
    let mut faults = std::mem::take(&mut reader.faults);
    match design {
        Some(mut design) if faults.is_empty() => {
            design.defaults = std::mem::take(&mut reader.defaults);
            design.defaults.sort_by(|a, b| a.key.cmp(&b.key));
            Ok(design)
        }
        _ => {
            if faults.is_empty() {
                faults.push(Diagnostic {
                    message: "the design could not be resolved".into(),
                    key: String::new(),
                    span: 0..0,
                    hint: "this is a defect of the program; please report it with the file".into(),
                });
            }
            faults.sort_by(|a, b| (a.span.start, &a.key, &a.message).cmp(&(b.span.start, &b.key, &b.message)));
            faults.dedup();
            Err(Faults { file: file.to_owned(), source: source.to_owned(), faults })
        }
    }
}

/// Faults of a found file: whatever it states beside what was found.
pub fn foreign_keys(found: &str) -> Vec<Diagnostic> {
    let (document, _) = DeTable::parse_recoverable(found);
    let mut faults = Vec::new();
    for (key, _) in document.get_ref().iter() {
        if key.get_ref() != "found" {
            faults.push(Diagnostic {
                message: format!("`{}` does not belong into a found file", key.get_ref()),
                key: key.get_ref().to_string(),
                span: key.span(),
                hint: "it states what was found: [[found.member]], [[found.slope]], [[found.opening]]".into(),
            });
        }
    }
    faults.sort_by_key(|f| f.span.start);
    faults
}

/// The JSON Schema of the design file.
pub fn schema() -> serde_json::Value {
    schemars::schema_for!(DesignFile).to_value()
}

fn parse(reader: &mut Reader<'_>, source: &str) -> Option<DesignFile> {
    let (document, errors) = DeTable::parse_recoverable(source);
    for e in &errors {
        let span = e.span().unwrap_or(0..0);
        let message = e.message().lines().next().unwrap_or("not readable").to_owned();
        reader.fault(
            span,
            "",
            format!("not TOML: {message}"),
            "texts and lengths stand in quotes; keys look like `spacing = \"24 in\"`",
        );
    }
    let shape = keys::check(&document, &schema());
    reader.faults.extend(shape.faults);
    if shape.structural || !errors.is_empty() {
        return None;
    }
    match DesignFile::deserialize(toml::Deserializer::parse(source).ok()?) {
        Ok(file) => Some(file),
        Err(e) => {
            reader.fault(e.span().unwrap_or(0..0), "", e.message(), "see `airlath schema` for what may stand where");
            None
        }
    }
}

fn design(r: &mut Reader<'_>, file: &DesignFile) -> Option<Design> {
    let units = r.need("units", &file.units, &(0..0), "write units = \"inches\" or units = \"millimetres\"");
    r.units = units.as_ref().map_or(Units::Inches, |u| u.value);
    if let Some(format) = r.need("format", &file.format, &(0..0), "write format = 1")
        && format.value != 1
    {
        let span = file.format.as_ref().map_or(0..0, |w| w.span.clone());
        r.fault(span, "format", format!("format {} is not known", format.value), "this program reads format = 1");
    }
    let name = r.need("name", &file.name, &(0..0), "give the roof a name");
    let about = match &file.about {
        Some(_) => r.maybe("about", &file.about).map(|g| g.value),
        None => Some(String::new()),
    };

    let slopes = slopes::slopes(r, file);
    // Where slopes are wrong everything else is judged all the same, but no name of a slope or opening.
    let usable = slopes.is_some();
    let slopes = slopes.unwrap_or_default();
    let framing = framing::framing(r, file, &slopes);
    let lattice = lattice::lattice(r, file);
    let fastening = lattice::fastening(r, file);
    let limits = match &fastening {
        Some(f) => lattice::limits(r, file, f),
        None => None,
    };
    let tolerance = tolerance::tolerance(r, file);
    let aim = match &fastening {
        Some(f) => tolerance::aim(r, file, f),
        None => None,
    };
    let rules = lattice::landing_rules(r, file, &slopes);
    let panels = panels::panels(r, file, &slopes, lattice.as_ref().map(|l| l.batten.first.value));
    let found = found::found(r, file, &slopes);
    let laid = found::laid(r, file, &slopes);
    let loads = loads::loads(r, file, &slopes);
    let air = air::air(r, file, &slopes);
    let joints = buying::joints(r, file);
    let stock = lattice.as_ref().map_or(&[][..], |l| l.batten.stock.value.as_slice());
    let buying = buying::buying(r, file, stock);

    if !usable {
        return None;
    }
    let mut slopes = slopes;
    let (framing, lattice, fastening, limits, rules, laid) = (framing?, lattice?, fastening?, limits?, rules?, laid?);
    let (found, (tolerance, tilt), aim, loads, air) = (found?, tolerance?, aim?, loads?, air?);
    let (joints, buying) = (joints?, buying?);
    if !found::apply_outlines(r, file, &mut slopes, &found) {
        return None;
    }
    let design = Design {
        name: name?.value,
        about: about?,
        units: units?.value,
        slopes,
        rafters: framing.rafters,
        lookouts: framing.lookouts,
        blocking: framing.blocking,
        trims: framing.trims,
        members: framing.members,
        straps: framing.straps,
        lattice,
        fastening,
        limits,
        tolerance,
        tilt,
        aim,
        air,
        landing_rules: rules.rules,
        landings: rules.singles,
        moves: rules.moves,
        panels: panels?,
        found_file_from: None,
        found_members: found.members,
        added: found.added,
        laid,
        loads,
        joints,
        buying,
        defaults: Vec::new(),
    };
    limits_of_size::refuse_absurd(r, file, &design).then_some(design)
}

/// A cross-section: nominal, or width and depth, or an I-joist's four sizes.
fn section(
    r: &mut Reader<'_>,
    key: &str,
    written: &Option<Located<SectionFile>>,
    at: &Range<usize>,
) -> Option<Given<Section>> {
    let Some(located) = written else {
        r.fault(
            at.start..at.start,
            key,
            "missing `section`",
            "a section is never assumed: write section = { nominal = \"2x10\" } or section = { width = \"..\", depth = \"..\" }",
        );
        return None;
    };
    let (s, span) = (located.get(), located.span());
    let line = r.line(span.start);
    let given = |value| Some(Given { value, origin: Origin::Written(line) });
    let flat = match &s.flat {
        Some(_) => r.maybe(&format!("{key}.flat"), &s.flat)?.value,
        None => false,
    };
    let turned = |w: Length, d: Length| if flat { (d, w) } else { (w, d) };
    if s.nominal.is_some() {
        for (name, other) in [("width", &s.width), ("depth", &s.depth), ("flange", &s.flange), ("web", &s.web)] {
            if let Some(w) = other {
                r.fault(
                    w.span.clone(),
                    &format!("{key}.{name}"),
                    "a nominal size already says this",
                    "write the nominal size or the sizes, not both",
                );
            }
        }
        let nominal = r.maybe(&format!("{key}.nominal"), &s.nominal)?;
        let Some((thickness, width)) = lumber::dressed(&nominal.value) else {
            let at = s.nominal.as_ref().map_or(span, |w| w.span.clone());
            r.fault(
                at,
                &format!("{key}.nominal"),
                format!("\"{}\" is no nominal size that is known", nominal.value),
                "known: 1, 5/4, 2, 4, 6 by 2 to 12, such as \"2x10\"; or write width and depth",
            );
            return None;
        };
        let (width, depth) = turned(thickness, width);
        return given(Section::Sawn { width, depth });
    }
    let hint = "write width and depth, or nominal = \"2x10\"";
    let width = r.size(&format!("{key}.width"), &s.width, &span, hint);
    let depth = r.size(&format!("{key}.depth"), &s.depth, &span, hint);
    if s.flange.is_none() && s.web.is_none() {
        let (width, depth) = turned(width?.value, depth?.value);
        return given(Section::Sawn { width, depth });
    }
    let hint = "an I-joist needs width, depth, flange and web";
    let flange = r.size(&format!("{key}.flange"), &s.flange, &span, hint);
    let web = r.size(&format!("{key}.web"), &s.web, &span, hint);
    let (width, depth, flange, web) = (width?.value, depth?.value, flange?.value, web?.value);
    if flat {
        r.fault(span, key, "an I-joist is not laid flat", "leave `flat` out");
        return None;
    }
    if flange.metres() * 2.0 >= depth.metres() || web >= width {
        r.fault(
            span,
            key,
            "these sizes make no I-joist",
            "two flanges are thinner than the depth, the web is thinner than the flange is wide",
        );
        return None;
    }
    given(Section::IJoist { width, depth, flange, web })
}

/// Slopes by name; all where none is named.
fn slope_list(
    r: &mut Reader<'_>,
    key: &str,
    written: &Option<Vec<Written<String>>>,
    slopes: &[Slope],
) -> Option<Vec<SlopeId>> {
    let Some(names) = written else { return Some((0..slopes.len()).map(SlopeId).collect()) };
    let mut ids = Vec::new();
    for (i, name) in names.iter().enumerate() {
        ids.push(slope_named(r, &format!("{key}[{}]", i + 1), &Some(name.clone()), slopes));
    }
    ids.into_iter().collect()
}

/// One slope by name.
fn slope_named(r: &mut Reader<'_>, key: &str, written: &Option<Written<String>>, slopes: &[Slope]) -> Option<SlopeId> {
    let name = r.maybe(key, written)?;
    if slopes.is_empty() {
        return Some(SlopeId(0));
    }
    let span = written.as_ref().map_or(0..0, |w| w.span.clone());
    let id = slopes.iter().position(|s| s.name == name.value).map(SlopeId);
    if id.is_none() {
        let names: Vec<&str> = slopes.iter().map(|s| s.name.as_str()).collect();
        let hint = match nearest(&name.value, names.iter().copied()) {
            Some(known) => format!("did you mean \"{known}\"? slopes: {}", names.join(", ")),
            None => format!("slopes: {}", names.join(", ")),
        };
        r.fault(span, key, format!("no slope is named \"{}\"", name.value), hint);
    }
    id
}

/// One slope by name, or the only one.
fn slope_or_only(
    r: &mut Reader<'_>,
    key: &str,
    written: &Option<Written<String>>,
    at: &Range<usize>,
    slopes: &[Slope],
) -> Option<SlopeId> {
    if written.is_some() {
        return slope_named(r, key, written, slopes);
    }
    if slopes.len() <= 1 {
        return Some(SlopeId(0));
    }
    let names: Vec<&str> = slopes.iter().map(|s| s.name.as_str()).collect();
    r.fault(at.start..at.start, key, "which slope?", format!("write slope = one of {}", names.join(", ")));
    None
}
