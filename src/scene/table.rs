//! Lists as plain tables, for every writer alike.
//!
//! Aim: the list on the phone and the list in the spreadsheet are one list. Reason: a writer that gets typed cells can
//! show a length as people say it, reckon with it, or do both, and never has to guess which text is a number.
//! Limits: cells know what they are, not how they look; lengths are metres, masses kilograms, money hundredths of the
//! design's currency.

/// What the cells of a column are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ColumnKind {
    /// Text.
    Text,
    /// Whole numbers.
    Count,
    /// Lengths.
    Length,
    /// Masses.
    Mass,
    /// Money.
    Money,
    /// Numbers of this unit, with this many decimals.
    Number(&'static str, u32),
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its heading, without a unit.
    pub title: &'static str,
    /// What its cells are.
    pub kind: ColumnKind,
}

/// A cell. A cell that is not empty is of its column's kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing to say.
    Empty,
    /// Text. It may hold anything that a design's names hold: a writer quotes it.
    Text(String),
    /// A whole number.
    Count(u64),
    /// Metres.
    Length(f64),
    /// Kilograms.
    Mass(f64),
    /// Hundredths of the currency.
    Money(i64),
    /// A number of its column's unit.
    Number(f64),
}

impl Cell {
    /// Whether the cell may stand in a column.
    pub fn fits(&self, kind: ColumnKind) -> bool {
        matches!(
            (self, kind),
            (Cell::Empty, _)
                | (Cell::Text(_), ColumnKind::Text)
                | (Cell::Count(_), ColumnKind::Count)
                | (Cell::Length(_), ColumnKind::Length)
                | (Cell::Mass(_), ColumnKind::Mass)
                | (Cell::Money(_), ColumnKind::Money)
                | (Cell::Number(_), ColumnKind::Number(..))
        )
    }
}

/// A list: rows of typed cells under headings.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Its name, as in file names: `cut-list`, `buying-list`, `order-of-work`.
    pub name: &'static str,
    /// Its title for people.
    pub title: &'static str,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows; each has a cell for every column.
    pub rows: Vec<Vec<Cell>>,
    /// What must be read with it: how it was reckoned, what it leaves out. Scope line, fingerprint and cautions are the
    /// scene's and are not repeated here; every writer adds them.
    pub notes: Vec<String>,
}

impl Table {
    /// An empty table.
    pub fn new(name: &'static str, title: &'static str, columns: &[(&'static str, ColumnKind)]) -> Table {
        let columns = columns.iter().map(|(title, kind)| Column { title, kind: *kind }).collect();
        Table { name, title, columns, rows: Vec::new(), notes: Vec::new() }
    }

    /// Adds a row; missing cells are empty, further ones are left out.
    pub fn push(&mut self, mut row: Vec<Cell>) {
        row.resize(self.columns.len(), Cell::Empty);
        self.rows.push(row);
    }

    /// The cells of a column, by its heading.
    pub fn column<'a>(&'a self, title: &str) -> impl Iterator<Item = &'a Cell> {
        let at = self.columns.iter().position(|c| c.title == title);
        self.rows.iter().filter_map(move |row| row.get(at?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_have_as_many_cells_as_columns() {
        let mut table = Table::new("t", "T", &[("a", ColumnKind::Text), ("b", ColumnKind::Count)]);
        table.push(vec![Cell::Text("x".into())]);
        table.push(vec![Cell::Empty, Cell::Count(2), Cell::Count(3)]);
        assert!(table.rows.iter().all(|r| r.len() == 2));
        assert_eq!(table.column("b").collect::<Vec<_>>(), [&Cell::Empty, &Cell::Count(2)]);
        assert_eq!(table.column("c").count(), 0);
        assert!(Cell::Empty.fits(ColumnKind::Mass) && !Cell::Count(1).fits(ColumnKind::Mass));
    }
}
