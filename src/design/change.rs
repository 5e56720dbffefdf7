//! Changes of a design file: what a mend comes to, as text that the reader reads back.

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
    /// Nothing that a design file can try: it is done on the roof, and found or laid afterwards.
    OnTheRoof,
}

impl Change {
    /// The change as text.
    pub fn text(&self) -> String {
        match self {
            Change::Set { key, value } => format!("{key} = {value}"),
            Change::Append(lines) => lines.clone(),
            Change::OnTheRoof => String::new(),
        }
    }
}

/// A length as the design writes it, to the nanometre.
pub fn length(metres: f64, units: Units) -> String {
    Length::from_metres((metres * 1e9).round() / 1e9).to_text(units)
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

/// A table that gives the joints of a course.
pub fn pinned_joints(course: &str, lines: &[&str]) -> String {
    let lines: Vec<String> = lines.iter().map(|l| format!("\"{l}\"")).collect();
    format!("\n[[joints]]\ncourse = \"{course}\"\nlines = [{}]\n", lines.join(", "))
}

/// A table that moves the fasteners of a landing.
pub fn moved_landing(landing: &str, across: f64, up: f64, units: Units) -> String {
    let (across, up) = (length(across, units), length(up, units));
    format!("\n[[move]]\nlanding = \"{landing}\"\nacross = \"{across}\"\nup = \"{up}\"\n")
}

/// A table that holds the lattice back from an edge.
pub fn edge_hold_back(edge: &str, distance: f64, units: Units) -> String {
    format!("\n[[edge]]\nedge = \"{edge}\"\nhold_back = \"{}\"\n", length(distance, units))
}
