//! From the file as written to the design: everything judged, every fault gathered, nothing left open.

mod air;
mod built;
mod buying;
mod found;
mod framing;
mod kinds;
mod lattice;
mod limits_of_size;
mod loads;
mod maker;
mod panels;
mod plane;
mod slopes;
mod stand_ins;
mod sure;
mod tolerance;

pub use slopes::axes as slope_axes;
pub use sure::Sure;

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::LazyLock;

use serde::Deserialize;
use toml::de::DeTable;

use super::diagnostic::{Diagnostic, Faults};
use super::file::{DesignFile, Located, SectionFile};
use super::keys;
use super::lumber;
use super::model::{Design, Given, Origin, Reach, Section, Slope, SlopeId, StartEdge};
use super::reader::Reader;
use super::written::{Written, nearest};
use crate::quantity::{Length, Units};

/// Reads and resolves a design file. `file` is its name for messages.
///
/// # Errors
/// Every fault that shows before members, lines and courses have names.
pub fn read_design(file: &str, source: &str) -> Result<Design, Faults> {
    let reading = read(source);
    match reading.design {
        Some(design) if reading.faults.is_empty() => Ok(design),
        _ => Err(Faults { file: file.to_owned(), source: source.to_owned(), faults: reading.faults }),
    }
}

/// A design file as far as it could be read.
pub struct Reading {
    /// The design. Where there are faults it has stand-ins for what is wrong, and serves for nothing but the names of its
    /// parts; `None` where not even that can be had.
    pub design: Option<Design>,
    /// All faults, in the order of the file. Where there are none, there is a design.
    pub faults: Vec<Diagnostic>,
    /// Which names the faults leave as they are.
    pub sure: Sure,
}

/// Reads a design file, as far as it goes.
pub fn read(source: &str) -> Reading {
    let mut reader = Reader::new(source);
    let (written, mut faults) = parse(&mut reader, source);
    let mut design = written.and_then(|written| design(&mut reader, &written));
    let of_shape = faults.len();
    let told = std::mem::take(&mut reader.told);
    faults.append(&mut reader.faults);
    if reader.slopes_unchecked {
        let decides = |f: &&mut Diagnostic| decides_slopes(&f.key, &f.hint);
        faults.iter_mut().filter(decides).for_each(|f| f.hint.push_str("; names of slopes were not checked"));
    }
    let sure = Sure::of(faults.iter().map(|f| f.key.as_str()).chain(told.iter().map(|t| t.key.as_str())));
    let mut at = 0;
    faults.retain(|f| {
        at += 1;
        at <= of_shape || !told.iter().any(|t| t.covers(&f.key))
    });
    if design.is_none() && faults.is_empty() {
        faults.push(Diagnostic {
            message: "the design could not be resolved".into(),
            key: String::new(),
            span: 0..0,
            hint: "this is a defect of the program; please report it with the file".into(),
        });
    }
    if let Some(design) = &mut design {
        design.defaults = std::mem::take(&mut reader.defaults);
        design.defaults.sort_by(|a, b| a.key.cmp(&b.key));
    }
    in_order(&mut faults);
    Reading { design, faults, sure }
}

/// Whether a fault may leave open which slopes there are.
fn decides_slopes(key: &str, hint: &str) -> bool {
    matches!(key, "roof" | "roof.shape" | "roof.facing")
        || key.starts_with("slope") && (key.ends_with(']') || key.ends_with(".name") || hint.contains("`name`"))
        || ["roof", "slope", "shape", "facing"].iter().any(|meant| hint.starts_with(&format!("did you mean `{meant}`")))
}

/// Puts faults into the order of the file, each once.
pub fn in_order(faults: &mut Vec<Diagnostic>) {
    faults.sort_by(|a, b| (a.span.start, &a.key, &a.message).cmp(&(b.span.start, &b.key, &b.message)));
    faults.dedup();
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

/// Whether a text states nothing but what was found.
pub fn is_found_file(text: &str) -> bool {
    !DeTable::parse_recoverable(text).0.get_ref().is_empty() && foreign_keys(text).is_empty()
}

/// The JSON Schema of the design file; made once, because every design that is read is held against it.
pub fn schema() -> &'static serde_json::Value {
    static SCHEMA: LazyLock<serde_json::Value> = LazyLock::new(|| schemars::schema_for!(DesignFile).to_value());
    &SCHEMA
}

/// The file as written, with the faults of its shape; what has the wrong shape is put right as well as it can be.
fn parse(reader: &mut Reader<'_>, source: &str) -> (Option<DesignFile>, Vec<Diagnostic>) {
    let (mut document, errors) = DeTable::parse_recoverable(source);
    for e in &errors {
        let span = e.span().unwrap_or(0..0);
        let message = e.message().lines().next().unwrap_or("not readable").to_owned();
        let line = source.lines().nth(reader.line(span.start).saturating_sub(1)).unwrap_or_default();
        let hint = if line.contains('\'') && line.contains("\"\"") {
            "an inch mark ends a text in quotes: write \"12 ft 6 in\", or \"12'-6\" without it"
        } else {
            "texts and lengths stand in quotes; keys look like `spacing = \"24 in\"` or `spacing = \"600 mm\"`"
        };
        reader.fault(span, "", format!("not TOML: {message}"), hint);
    }
    let shape = keys::check(&mut document, schema());
    reader.told = shape.told;
    reader.doubles = keys::doubles(document.get_ref(), "");
    if !errors.is_empty() {
        return (None, shape.faults);
    }
    match DesignFile::deserialize(toml::Deserializer::from(document)) {
        Ok(file) => (Some(file), shape.faults),
        Err(e) => {
            reader.fault(e.span().unwrap_or(0..0), "", e.message(), "see `airlath schema` for what may stand where");
            (None, shape.faults)
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

    let (mut slopes, usable) = slopes::slopes(r, file);
    let blank = stand_ins::Blank::new()?;
    let kinds = kinds::Kinds::of(r, file, &slopes);
    let framing = framing::framing(r, file, &slopes, &kinds);
    let closed = "the deck is closed before the lattice is planned; common practice, no source";
    let reach = file.framing.as_ref().and_then(|f| f.get().reach.clone());
    let reach = r.or("framing.reach", &reach, Reach::Above, "above", closed);
    let lattice = lattice::lattice(r, file, &blank.lattice);
    let fastening = lattice::fastening(r, file, &lattice.batten);
    let fastening = fastening.unwrap_or(blank.fastening);
    let limits = lattice::limits(r, file, &fastening);
    let tolerance = tolerance::tolerance(r, file);
    let aim = tolerance::aim(r, file, &fastening);
    let rules = lattice::landing_rules(r, file, &slopes, &kinds);
    let gaps = lattice::gaps(r, file);
    let lowest = match lattice.batten.start.value {
        StartEdge::Eave => lattice.batten.first.value,
        StartEdge::Top => lattice.batten.last.value,
    };
    let panels = panels::panels(r, file, &slopes, lowest);
    let found = found::found(r, file, &slopes);
    let laid = found::laid(r, file, &slopes);
    let loads = loads::loads(r, file, (&slopes, usable));
    let woods = framing::woods(r, file);
    let of_vents = |key: &str| ["lattice", "lattice.strip.height", "lattice.vent.height"].contains(&key);
    let vents_known = !r.faults.iter().any(|f| of_vents(&f.key)) && !r.told.iter().any(|t| of_vents(&t.key));
    let air = air::air(r, file, &slopes, vents_known.then_some(lattice.vent.height.value));
    let joints = buying::joints(r, file);
    let of_boards = |key: &str| key == "lattice.batten" || key.starts_with("lattice.batten.stock") || key == "lattice";
    let boards_known = !r.faults.iter().any(|f| of_boards(&f.key)) && !r.told.iter().any(|t| of_boards(&t.key));
    let buying = buying::buying(r, file, boards_known.then_some(lattice.batten.stock.value.as_slice()));
    found::apply_outlines(r, file, &mut slopes, &found);
    limits_of_size::refuse_outsized(r, file);

    // From here on a part that is at fault has a stand-in, so that names can be asked for; nothing else comes of it.
    if !usable || slopes.is_empty() {
        return None;
    }
    let (tolerance, tilt) = tolerance.unwrap_or(blank.tolerance);
    let design = Design {
        name: name.map_or_else(String::new, |n| n.value),
        about: about.unwrap_or_default(),
        units: r.units,
        slopes,
        rafters: framing.rafters,
        lookouts: framing.lookouts,
        blocking: framing.blocking,
        trims: framing.trims,
        members: framing.members,
        reach: reach.unwrap_or(Given { value: Reach::Above, origin: Origin::Default(closed) }),
        straps: framing.straps,
        lattice,
        fastening,
        limits: limits.unwrap_or(blank.limits),
        tolerance,
        tilt,
        aim: aim.unwrap_or(blank.aim),
        air: air.unwrap_or(None),
        landing_rules: rules.rules,
        landings: rules.singles,
        gaps,
        moves: rules.moves,
        panels: panels.unwrap_or(None),
        found_file_from: None,
        found_members: found.members,
        added: found.added,
        laid,
        loads: loads.unwrap_or_else(|| loads::with_names(r, blank.loads, file)),
        woods,
        joints,
        buying: buying.unwrap_or(blank.buying),
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
        Some(_) => r.maybe(&format!("{key}.flat"), &s.flat).map(|g| g.value),
        None => Some(false),
    };
    let turned = |w: Length, d: Length| if flat == Some(true) { (d, w) } else { (w, d) };
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
        flat?;
        let (width, depth) = turned(thickness, width);
        return given(Section::Sawn { width, depth });
    }
    let hint = "write width and depth, or nominal = \"2x10\"";
    // A misspelt `nominal` says both.
    let said = r.may_lack(&format!("{key}.nominal"));
    let mut size = |name: &str, written: &Option<Written<Length>>| {
        let asked = written.is_some() || !said;
        asked.then(|| r.size(&format!("{key}.{name}"), written, &span, hint)).flatten()
    };
    let (width, depth) = (size("width", &s.width), size("depth", &s.depth));
    if s.flange.is_none() && s.web.is_none() {
        flat?;
        let (width, depth) = turned(width?.value, depth?.value);
        return given(Section::Sawn { width, depth });
    }
    let hint = "an I-joist needs width, depth, flange and web";
    let flange = r.size(&format!("{key}.flange"), &s.flange, &span, hint);
    let web = r.size(&format!("{key}.web"), &s.web, &span, hint);
    if flat == Some(true) {
        r.fault(span.clone(), &format!("{key}.flat"), "an I-joist is not laid flat", "leave `flat` out");
    }
    let (width, depth, flange, web) = (width?.value, depth?.value, flange?.value, web?.value);
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
    at: &Range<usize>,
    slopes: &[Slope],
) -> Option<Vec<SlopeId>> {
    let Some(names) = written else { return Some((0..slopes.len()).map(SlopeId).collect()) };
    if names.is_empty() {
        r.fault(
            at.start..at.start,
            key,
            "no slope is named",
            "name at least one, or leave `slopes` out for all of them",
        );
        return None;
    }
    let mut ids = Vec::new();
    for (i, name) in names.iter().enumerate() {
        ids.push(slope_named(r, &format!("{key}[{}]", i + 1), &Some(name.clone()), slopes));
    }
    ids.into_iter().collect()
}

/// A fault for each of the names that an earlier table of the same kind has already; `told` has names with their places and
/// keys.
fn once_each<'t>(
    r: &mut Reader<'_>,
    told: impl Iterator<Item = (&'t str, &'t Range<usize>, String)>,
    message: impl Fn(&str) -> String,
    hint: &str,
) {
    let mut names = BTreeSet::new();
    for (name, span, key) in told {
        if !names.insert(name) {
            r.fault(span.clone(), &key, message(name), hint);
        }
    }
}

/// One slope by name.
fn slope_named(r: &mut Reader<'_>, key: &str, written: &Option<Written<String>>, slopes: &[Slope]) -> Option<SlopeId> {
    let name = r.maybe(key, written)?;
    let mut names: Vec<String> = match slopes {
        [] => r.slope_names.clone(),
        slopes => slopes.iter().map(|s| s.name.clone()).collect(),
    };
    let id = names.iter().position(|n| *n == name.value).map(SlopeId);
    if id.is_some() {
        return id;
    }
    // The roof is at fault, or a misspelt table may be the slope that is meant.
    if names.is_empty() || slopes::may_lack(r) {
        if !r.named_by_wind || slopes::WINDS.contains(&name.value.as_str()) {
            r.slopes_unchecked = true;
            return names.is_empty().then_some(SlopeId(0));
        }
        names = slopes::WINDS.map(str::to_owned).to_vec();
    }
    let span = written.as_ref().map_or(0..0, |w| w.span.clone());
    let hint = match nearest(&name.value, names.iter().map(String::as_str)) {
        Some(known) => format!("did you mean \"{known}\"? slopes: {}", names.join(", ")),
        None => format!("slopes: {}", names.join(", ")),
    };
    r.fault(span, key, format!("no slope is named \"{}\"", name.value), hint);
    None
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
    if slopes.len() <= 1 && r.slope_names.len() <= 1 {
        return Some(SlopeId(0));
    }
    let names = r.slope_names.clone();
    r.fault(at.start..at.start, key, "which slope?", format!("write slope = one of {}", names.join(", ")));
    None
}
