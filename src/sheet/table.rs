//! Lists on paper: columns as wide as they need, long cells on several lines, as many sheets as it takes.

use super::draw::{Anchor, Canvas, FINE, HAIR, MEDIUM, Pen, Point, Rect, Type};
use super::font::{cut, wrapped};
use super::{Set, Sheet, Subject, frame};
use crate::quantity::{Length, Units, show_area, show_mass, show_total_length};
use crate::scene::{Alike, Cell, Scene, Table, ranges};

/// A list: what every row says in every column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct List {
    /// Title.
    pub title: String,
    /// Names of the columns.
    pub columns: Vec<String>,
    /// Rows, a text for each column.
    pub rows: Vec<Vec<String>>,
    /// What must be known to read it.
    pub notes: Vec<String>,
}

const CELL: Type = Type::regular(2.2);
const HEAD: Type = Type::bold(2.2);
const TITLE: Type = Type::bold(3.0);
const LINE: f64 = 2.75;
const PAD: f64 = 1.2;
/// Most rows on paper; the file formats of the lists hold all.
const MOST_ROWS: usize = 2000;

/// Lists one below the other, over as many pages as they need.
pub struct Flow {
    area: Rect,
    /// Pages so far; the last is being filled.
    pub pages: Vec<Canvas>,
    /// Where the next thing begins on the last page.
    pub y: f64,
}

impl Flow {
    /// A flow that goes on below `y` on a page that is begun already.
    pub fn after(set: &Set<'_>, first: Canvas, y: f64) -> Flow {
        Flow { area: frame::area(set), pages: vec![first], y }
    }

    /// A flow on an empty page.
    pub fn new(set: &Set<'_>) -> Flow {
        let area = frame::area(set);
        Flow { area, pages: vec![Canvas::new()], y: area.y0 }
    }

    fn canvas(&mut self) -> &mut Canvas {
        if self.pages.is_empty() {
            self.pages.push(Canvas::new());
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    fn turn(&mut self) {
        self.pages.push(Canvas::new());
        self.y = self.area.y0;
    }

    /// Adds a list.
    pub fn list(&mut self, list: &List) {
        let widths = widths(list, self.area.width());
        let table_width: f64 = widths.iter().sum();
        if self.y > self.area.y1 - 22.0 {
            self.turn();
        }
        self.title(&list.title);
        for note in &list.notes {
            let (at, width) = (Point::new(self.area.x0 + 0.5, self.y), self.area.width().min(230.0));
            self.y = self.canvas().paragraph(at, note, Type::regular(2.0), width);
        }
        self.y += 0.8;
        self.row(&list.columns, &widths, HEAD);
        for (k, row) in list.rows.iter().enumerate() {
            if k == MOST_ROWS {
                let text = format!("{} more rows stand in the lists as files.", list.rows.len() - MOST_ROWS);
                let at = Point::new(self.area.x0 + 0.5, self.y + LINE);
                self.canvas().text(at, &text, CELL, Anchor::Start);
                break;
            }
            let lines = cells(row, &widths, CELL).iter().map(Vec::len).max().unwrap_or(1).max(1);
            if self.y + lines as f64 * LINE + 1.0 > self.area.y1 {
                self.turn();
                self.title(&format!("{} (continued)", list.title));
                self.row(&list.columns, &widths, HEAD);
            }
            self.row(row, &widths, CELL);
        }
        let (x, y) = (self.area.x0, self.y);
        self.canvas().line(&[Point::new(x, y), Point::new(x + table_width, y)], Pen::black(MEDIUM), "table");
        self.y += 5.0;
    }

    fn title(&mut self, title: &str) {
        self.y += TITLE.size * 1.25;
        let at = Point::new(self.area.x0 + 0.5, self.y);
        let title = cut(title, TITLE.size, TITLE.weight, self.area.width());
        self.canvas().text(at, &title, TITLE, Anchor::Start);
        self.y += 1.0;
    }

    fn row(&mut self, row: &[String], widths: &[f64], set: Type) {
        let cells = cells(row, widths, set);
        let lines = cells.iter().map(Vec::len).max().unwrap_or(1).max(1);
        let (x0, y) = (self.area.x0, self.y);
        let width: f64 = widths.iter().sum();
        let weight = if set == HEAD { MEDIUM } else { HAIR };
        let canvas = self.canvas();
        canvas.line(&[Point::new(x0, y), Point::new(x0 + width, y)], Pen::black(weight), "table");
        let mut x = x0;
        for (cell, w) in cells.iter().zip(widths) {
            for (k, line) in cell.iter().enumerate() {
                let at = Point::new(x + PAD / 2.0, y + (k as f64 + 0.8) * LINE);
                canvas.text(at, line, set, Anchor::Start);
            }
            x += w;
        }
        self.y += lines as f64 * LINE + 0.5;
        if set == HEAD {
            let y = self.y;
            self.canvas().line(&[Point::new(x0, y), Point::new(x0 + width, y)], Pen::black(FINE), "table");
        }
    }
}

fn cells(row: &[String], widths: &[f64], set: Type) -> Vec<Vec<String>> {
    row.iter().zip(widths).map(|(c, w)| wrapped(c, set.size, set.weight, w - PAD)).collect()
}

/// Each column as wide as its widest cell; the widest give way until all fit.
fn widths(list: &List, room: f64) -> Vec<f64> {
    let shown = list.rows.iter().take(MOST_ROWS);
    let mut widths: Vec<f64> = list.columns.iter().map(|c| HEAD.width(c) + PAD + 1.0).collect();
    for row in shown {
        for (w, c) in widths.iter_mut().zip(row) {
            *w = w.max(CELL.width(c) + PAD + 1.0);
        }
    }
    // Lower a common ceiling until the columns fit below it.
    let mut ceiling = widths.iter().copied().fold(0.0, f64::max);
    let sum = |ceiling: f64| widths.iter().map(|w| w.min(ceiling)).sum::<f64>();
    let least = room / (widths.len().max(1) as f64);
    while sum(ceiling) > room && ceiling > least {
        ceiling -= 0.5;
    }
    widths.iter().map(|w| w.min(ceiling.max(least))).collect()
}

/// The sheets of the lists that the scene holds.
pub fn sheets(set: &Set<'_>) -> Vec<Sheet> {
    let mut all = Vec::new();
    let found = findings(set.scene);
    let title = found.title.clone();
    for (name, title, lists) in
        [("findings", title.as_str(), vec![found]), ("lists", "Lists", lists(set.scene, set.lists))]
    {
        let mut flow = Flow::new(set);
        for list in &lists {
            flow.list(list);
        }
        all.extend(pages(set, flow, name, title, None));
    }
    all
}

/// The pages of a flow as sheets.
pub fn pages(set: &Set<'_>, flow: Flow, name: &str, title: &str, slope: Option<&str>) -> Vec<Sheet> {
    let many = flow.pages.len() > 1;
    let count = flow.pages.len();
    let subject = if slope.is_some() { Subject::Measures } else { Subject::List };
    flow.pages
        .into_iter()
        .enumerate()
        .map(|(k, canvas)| Sheet {
            name: if many { format!("{name}-{}", k + 1) } else { name.to_owned() },
            title: if many { format!("{title}, part {} of {count}", k + 1) } else { title.to_owned() },
            subject,
            slope: slope.map(str::to_owned),
            size: set.paper.size(),
            views: Vec::new(),
            items: canvas.items,
        })
        .collect()
}

/// Findings as a list; those of one check that say the same but for names and numbers share a row.
pub fn findings(scene: &Scene<'_>) -> List {
    let h = &scene.header;
    let rows = Alike::groups(&h.findings)
        .iter()
        .map(|g| {
            vec![
                ranges(g.numbers(), usize::MAX),
                g.first.verdict.name().to_owned(),
                g.first.check.clone(),
                g.first.message.clone(),
                g.likewise(12),
                g.first.first_help().unwrap_or_default(),
            ]
        })
        .collect();
    let mut notes = vec![format!("Checked: {}.", h.scope)];
    let not: Vec<String> = h
        .checks
        .iter()
        .filter_map(|c| c.reason.as_ref().map(|r| format!("{} not checked, because {r}", c.name)))
        .collect();
    if !not.is_empty() {
        notes.push(format!("{}.", not.join("; ")));
    }
    List {
        title: "Findings".into(),
        columns: ["flags", "verdict", "check", "what", "likewise at", "what helps"].map(str::to_owned).to_vec(),
        rows,
        notes,
    }
}

/// All lists: the given ones, then the quantities.
pub fn lists(scene: &Scene<'_>, tables: &[Table]) -> Vec<List> {
    tables.iter().map(|t| shown(t, scene.units)).chain(std::iter::once(quantities(scene))).collect()
}

/// A list with its cells as people say them.
fn shown(table: &Table, units: Units) -> List {
    let cell = |c: &Cell| match c {
        Cell::Empty => String::new(),
        Cell::Text(t) => t.clone(),
        Cell::Count(n) => n.to_string(),
        Cell::Length(m) => Length::from_metres(*m).show(units),
        Cell::Mass(kg) => show_mass(*kg, units),
        Cell::Number(v) => v.to_string(),
        Cell::Money(hundredths) => {
            let size = hundredths.unsigned_abs();
            format!("{}{}.{:02}", if *hundredths < 0 { "-" } else { "" }, size / 100, size % 100)
        }
    };
    List {
        title: table.title.to_owned(),
        columns: table.columns.iter().map(|c| c.title.to_owned()).collect(),
        rows: table.rows.iter().map(|r| r.iter().map(cell).collect()).collect(),
        notes: table.notes.clone(),
    }
}

fn quantities(scene: &Scene<'_>) -> List {
    let units = scene.units;
    let rows = scene
        .quantities
        .iter()
        .map(|q| {
            vec![
                q.kind.clone(),
                q.size.clone(),
                q.count.to_string(),
                q.length.map(|l| show_total_length(Length::from_metres(l), units)).unwrap_or_default(),
                q.area.map(|a| show_area(a, units)).unwrap_or_default(),
                q.mass.map(|m| show_mass(m, units)).unwrap_or_default(),
            ]
        })
        .collect();
    List {
        title: "Quantities".into(),
        columns: ["what", "size", "count", "length", "area", "mass"].map(str::to_owned).to_vec(),
        rows,
        notes: vec!["Net, as laid: nothing is added for waste or spares.".into()],
    }
}
