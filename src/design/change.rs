//! Changes of a design file: what a mend comes to, as text that the reader reads back.

use toml_edit::{ArrayOfTables, DocumentMut, Item, TableLike, Value};

use super::model::{MemberKind, Section};
use crate::quantity::{Length, Units};

/// A change of the design file.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// Sets one key; a key such as `edge[2].hold_back` counts tables from 1.
    Set {
        /// The key.
        key: String,
        /// The value as TOML.
        value: String,
    },
    /// Adds lines at the end of the file.
    Append(String),
    /// Several changes that only together do it.
    All(Vec<Change>),
}

impl Change {
    /// The change as text.
    pub fn text(&self) -> String {
        match self {
            Change::Set { key, value } => format!("{key} = {value}"),
            Change::Append(lines) => lines.clone(),
            Change::All(changes) => changes.iter().map(Change::text).collect::<Vec<_>>().join("\n"),
        }
    }
}

impl Change {
    /// The text of a design file with the change made. `None` where the text is no TOML or the change has no place in it.
    pub fn applied(&self, text: &str) -> Option<String> {
        match self {
            Change::Append(lines) => Some(format!("{text}{lines}")),
            // Single keys first: what is added at the end then still stands there.
            Change::All(changes) => {
                let (set, append): (Vec<&Change>, Vec<&Change>) =
                    changes.iter().partition(|c| !matches!(c, Change::Append(_)));
                set.into_iter().chain(append).try_fold(text.to_owned(), |text, c| c.applied(&text))
            }
            Change::Set { key, value } => {
                let mut document: DocumentMut = text.parse().ok()?;
                set(document.as_table_mut(), key, value.parse().ok()?)?;
                Some(document.to_string())
            }
        }
    }
}

/// Sets a key such as `edge[2].hold_back`; tables that are not there are made.
fn set(table: &mut dyn TableLike, key: &str, value: Value) -> Option<()> {
    let Some((head, rest)) = key.split_once('.') else {
        table.insert(key, Item::Value(value));
        return Some(());
    };
    match head.split_once('[') {
        Some((name, number)) => {
            let number: usize = number.trim_end_matches(']').parse().ok()?;
            let item = table.entry(name).or_insert_with(|| Item::ArrayOfTables(ArrayOfTables::new()));
            set(item.as_array_of_tables_mut()?.get_mut(number.checked_sub(1)?)?, rest, value)
        }
        None => {
            let item = table.entry(head).or_insert_with(|| Item::Table(toml_edit::Table::new()));
            set(item.as_table_like_mut()?, rest, value)
        }
    }
}

/// A length as the design writes it, to the nanometre.
pub fn length(metres: f64, units: Units) -> String {
    Length::from_metres((metres * 1e9).round() / 1e9).to_text(units)
}

/// The step of places that a builder can mark, metres: a sixteenth of an inch, or a millimetre.
pub fn mark(units: Units) -> f64 {
    match units {
        Units::Inches => Length::from_inches(1.0 / 16.0).metres(),
        Units::Millimetres => 1e-3,
    }
}

/// A place on a slope as the design writes it where it only has to be recognised: to 1/16 in or to the millimetre.
pub fn rough_place(at: (f64, f64), units: Units) -> String {
    let step = mark(units);
    let [x, y] = [at.0, at.1].map(|v| length((v / step).round() * step, units));
    format!("[\"{x}\", \"{y}\"]")
}

/// A section as an inline table.
pub fn section(section: &Section, units: Units) -> String {
    match section {
        Section::Sawn { width, depth } => {
            format!("{{ width = \"{}\", depth = \"{}\" }}", width.to_text(units), depth.to_text(units))
        }
        Section::IJoist { width, depth, flange, web } => format!(
            "{{ width = \"{}\", depth = \"{}\", flange = \"{}\", web = \"{}\" }}",
            width.to_text(units),
            depth.to_text(units),
            flange.to_text(units),
            web.to_text(units)
        ),
    }
}

/// A table that adds a member beyond the drawing.
pub fn added_member(
    kind: MemberKind,
    slope: &str,
    section: &Section,
    [from, to]: [(f64, f64); 2],
    drop: f64,
    units: Units,
) -> String {
    let l = |v: f64| length(v, units);
    let section = self::section(section, units);
    let mut lines = format!(
        "\n[[found.added]]\nkind = \"{}\"\nslope = \"{slope}\"\nsection = {section}\nfrom = [\"{}\", \"{}\"]\nto = [\"{}\", \"{}\"]\n",
        kind.word(),
        l(from.0),
        l(from.1),
        l(to.0),
        l(to.1),
    );
    if drop.abs() > 1e-9 {
        lines.push_str(&format!("drop = \"{}\"\n", l(drop)));
    }
    lines
}

/// A table that adds a single landing.
pub fn single_landing(course: &str, x: f64, units: Units) -> String {
    format!("\n[[landing]]\ncourse = \"{course}\"\nx = \"{}\"\n", length(x, units))
}

/// A table that leaves a gap in a course.
pub fn course_gap(course: &str, from: f64, to: f64, units: Units) -> String {
    let (from, to) = (length(from, units), length(to, units));
    format!("\n[[gap]]\ncourse = \"{course}\"\nfrom = \"{from}\"\nto = \"{to}\"\n")
}

/// A table that gives the joints of a course.
pub fn pinned_joints(course: &str, lines: &[&str]) -> String {
    let lines: Vec<String> = lines.iter().map(|l| format!("\"{l}\"")).collect();
    format!("\n[[joints]]\ncourse = \"{course}\"\nlines = [{}]\n", lines.join(", "))
}

/// A table that moves the fasteners of a landing which lies at `at`; metres.
pub fn moved_landing(landing: &str, at: (f64, f64), (across, up): (f64, f64), units: Units) -> String {
    let (at, across, up) = (rough_place(at, units), length(across, units), length(up, units));
    format!("\n[[move]]\nlanding = \"{landing}\"\nat = {at}\nacross = \"{across}\"\nup = \"{up}\"\n")
}

/// A table that holds the lattice back from an edge.
pub fn edge_hold_back(edge: &str, distance: f64, units: Units) -> String {
    edge_with(edge, "hold_back", &format!("\"{}\"", length(distance, units)))
}

/// A table that states what was found of a member: places along it with offsets, metres.
pub fn found_member(name: &str, offsets: &[(f64, f64)], units: Units) -> String {
    let one =
        |(at, off): &(f64, f64)| format!("{{ at = \"{}\", off = \"{}\" }}", length(*at, units), length(*off, units));
    let list: Vec<String> = offsets.iter().map(one).collect();
    format!("\n[[found.member]]\nname = \"{name}\"\noffsets = [{}]\n", list.join(", "))
}

/// A table that states the corners of a slope as found, metres.
pub fn found_slope(name: &str, corners: &[(f64, f64)], units: Units) -> String {
    let one = |(x, y): &(f64, f64)| format!("[\"{}\", \"{}\"]", length(*x, units), length(*y, units));
    let list: Vec<String> = corners.iter().map(one).collect();
    format!("\n[[found.slope]]\nname = \"{name}\"\noutline = [{}]\n", list.join(", "))
}

/// A table that states an opening as found: lower left corner, width and height, metres.
pub fn found_opening(name: &str, at: (f64, f64), size: (f64, f64), units: Units) -> String {
    let pair = |(a, b): (f64, f64)| format!("[\"{}\", \"{}\"]", length(a, units), length(b, units));
    format!("\n[[found.opening]]\nname = \"{name}\"\nat = {}\nsize = {}\n", pair(at), pair(size))
}

/// A table of an edge with one key; the value as it is written.
pub fn edge_with(edge: &str, key: &str, value: &str) -> String {
    format!("\n[[edge]]\nedge = \"{edge}\"\n{key} = {value}\n")
}
