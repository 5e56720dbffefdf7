//! Marks made on the roof, as a table.

use super::table::{Column, Row, Table, in_order, shortened};
use crate::design::{Diagnostic, nearest};
use crate::quantity::Units;

/// The columns of a table of marks.
pub const COLUMNS: &[Column] = &[
    Column { name: "kind", needed: true },
    Column { name: "of", needed: true },
    Column { name: "place", needed: false },
    Column { name: "measure", needed: true },
    Column { name: "from", needed: false },
    Column { name: "note", needed: false },
];
const KIND: usize = 0;
const OF: usize = 1;
const PLACE: usize = 2;
const MEASURE: usize = 3;
const FROM: usize = 4;
const NOTE: usize = 5;

/// What a mark says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The middle of a member.
    Centre,
    /// Its left (or lower) side.
    LeftEdge,
    /// Its right (or upper) side.
    RightEdge,
    /// A knock that sounds of wood.
    Wood,
    /// One that does not.
    NoWood,
    /// A line snapped up the slope, to measure from.
    ControlLine,
    /// The length of an edge of the slope.
    Side,
    /// The distance of two corners of the slope.
    Diagonal,
    /// A corner of an opening.
    OpeningCorner,
}

/// Words for kinds; the first of each is the usual one.
const WORDS: [(&str, Kind); 18] = [
    ("centre", Kind::Centre),
    ("center", Kind::Centre),
    ("left edge", Kind::LeftEdge),
    ("left", Kind::LeftEdge),
    ("lower edge", Kind::LeftEdge),
    ("right edge", Kind::RightEdge),
    ("right", Kind::RightEdge),
    ("upper edge", Kind::RightEdge),
    ("wood", Kind::Wood),
    ("no wood", Kind::NoWood),
    ("control line", Kind::ControlLine),
    ("side", Kind::Side),
    ("eave", Kind::Side),
    ("ridge", Kind::Side),
    ("top", Kind::Side),
    ("rake", Kind::Side),
    ("diagonal", Kind::Diagonal),
    ("opening corner", Kind::OpeningCorner),
];

impl Kind {
    /// The usual word.
    pub fn word(self) -> &'static str {
        WORDS.iter().find(|(_, k)| *k == self).map_or("", |(w, _)| w)
    }

    /// Whether it is a mark of a member.
    pub fn of_member(self) -> bool {
        matches!(self, Kind::Centre | Kind::LeftEdge | Kind::RightEdge | Kind::Wood | Kind::NoWood)
    }
}

/// One mark, its names not yet looked up.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Row of the table.
    pub row: usize,
    /// What it says.
    pub kind: Kind,
    /// Of what: a member or a line (`S-R05`), an edge (`S.2`), two corners (`S.1-3`), a corner of an opening (`skylight.1`),
    /// or the name of a control line.
    pub of: String,
    /// How far up the slope (of a member along the eave: along it), metres; zero where no place belongs.
    pub place: f64,
    /// The measure, metres.
    pub measure: f64,
    /// The edge or control line that it counts from; may be empty where none belongs.
    pub from: String,
    /// Whatever else is said.
    pub note: String,
}

/// Marks, and what must be said of rows that are left out or cut short.
pub type Marks = (Vec<Mark>, Vec<String>);

/// Reads a table of marks.
///
/// # Errors
/// Every fault at once: what cannot be read. Names are looked up later, and a mark that does not fit is refused there.
pub fn read(source: &str, units: Units) -> Result<Marks, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let marks = Table::read(source, COLUMNS, units, &mut faults).map(|table| {
        let marks: Vec<Mark> = table.rows.iter().filter_map(|row| mark(&table, row, &mut faults)).collect();
        (marks, table.told)
    });
    match marks {
        Some(marks) if faults.is_empty() => Ok(marks),
        _ => {
            in_order(&mut faults);
            Err(faults)
        }
    }
}

fn mark(table: &Table, row: &Row, faults: &mut Vec<Diagnostic>) -> Option<Mark> {
    let text = |column: usize| table.cell(row, column).text.as_str();
    let said = text(KIND).to_ascii_lowercase().replace(['-', '_'], " ");
    let kind = WORDS.iter().find(|(w, _)| *w == said).map(|(_, k)| *k);
    if kind.is_none() {
        let hint = match nearest(&said, WORDS.iter().map(|(w, _)| *w)) {
            Some(near) if !said.is_empty() => format!("did you mean `{near}`?"),
            _ => "one of centre, left edge, right edge, wood, no wood, control line, side, diagonal, opening corner"
                .into(),
        };
        faults.push(table.fault(row, KIND, format!("`{}` is no kind of mark", shortened(text(KIND))), &hint));
    }
    let place = table.length(row, PLACE, faults);
    let measure = table.length(row, MEASURE, faults);
    let mut needs = |column: usize, there: bool, hint: &str| {
        if !there && text(column).is_empty() {
            let name = COLUMNS.get(column).map_or("", |c| c.name);
            faults.push(table.fault(row, column, format!("`{name}` is empty"), hint));
        }
    };
    needs(OF, false, "the member or line, the edge, the two corners, or the control line's name");
    needs(MEASURE, measure != Ok(None), "the measure, such as 24 1/4 in");
    if let Some(kind) = kind {
        let placed = kind.of_member() || kind == Kind::OpeningCorner;
        if placed {
            needs(PLACE, place != Ok(None), "how far up the slope; of a member along the eave, how far along it");
        }
        if placed || kind == Kind::ControlLine {
            needs(FROM, false, "the edge that the measure counts from, such as S.4, or a control line");
        }
        let spare = match kind {
            Kind::Side | Kind::Diagonal => [(PLACE, !text(PLACE).is_empty()), (FROM, !text(FROM).is_empty())],
            Kind::ControlLine => [(PLACE, !text(PLACE).is_empty()), (PLACE, false)],
            _ => [(PLACE, false), (PLACE, false)],
        };
        for (column, there) in spare {
            if there {
                let message = format!("a {} has no `{}`", kind.word(), COLUMNS.get(column).map_or("", |c| c.name));
                faults.push(table.fault(row, column, message, "leave it empty"));
            }
        }
        if matches!(kind, Kind::Side | Kind::Diagonal) && matches!(measure, Ok(Some(m)) if m <= 0.0) {
            faults.push(table.fault(row, MEASURE, "no length at all", "the distance between the two corners"));
        }
    }
    Some(Mark {
        row: row.number,
        kind: kind?,
        of: text(OF).to_owned(),
        place: place.ok()?.unwrap_or_default(),
        measure: measure.ok()??,
        from: text(FROM).to_owned(),
        note: text(NOTE).to_owned(),
    })
}
