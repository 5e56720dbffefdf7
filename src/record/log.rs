//! The drive log: fastener by fastener, attempt by attempt, what was done.

use std::collections::BTreeMap;

use super::driven::same_offset;
use super::table::{Column, Row, Table, fault, in_order, shortened};
use crate::design::{Design, Diagnostic, SlopeId, nearest};
use crate::lattice::Lattice;
use crate::quantity::Length;
use crate::quantity::list::number;
use crate::quantity::maths::hypot;
use crate::structure::Structure;

/// The columns of a drive log.
pub const COLUMNS: &[Column] = &[
    Column { name: "plan", needed: true },
    Column { name: "landing", needed: true },
    Column { name: "fastener", needed: true },
    Column { name: "x", needed: false },
    Column { name: "y", needed: false },
    Column { name: "attempt", needed: false },
    Column { name: "outcome", needed: true },
    Column { name: "across", needed: false },
    Column { name: "up", needed: false },
    Column { name: "seal", needed: false },
    Column { name: "confirmed", needed: false },
    Column { name: "note", needed: false },
];
const PLAN: usize = 0;
const LANDING: usize = 1;
const FASTENER: usize = 2;
const X: usize = 3;
const Y: usize = 4;
const ATTEMPT: usize = 5;
const OUTCOME: usize = 6;
const ACROSS: usize = 7;
const UP: usize = 8;
const SEAL: usize = 9;
const CONFIRMED: usize = 10;
const NOTE: usize = 11;

/// How far a stated planned place may lie from the plan's, metres: what a form rounds away.
const SAME_PLACE: f64 = 0.5e-3;

/// So many rows of another plan are named.
const FIRST: usize = 3;

/// What became of an attempt.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// Driven, and it holds.
    Held,
    /// Driven, sounded wrong, and stays where it is.
    Missed,
    /// The hole is drilled, the fastener not yet driven.
    Predrilled,
    /// Not yet driven.
    NotYet,
}

impl Outcome {
    /// The word for it in a log.
    pub fn word(self) -> &'static str {
        match self {
            Outcome::Held => "held",
            Outcome::Missed => "missed",
            Outcome::Predrilled => "pre-drilled",
            Outcome::NotYet => "not yet",
        }
    }
}

/// What a row says of the seal round a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Said {
    /// Nothing: the tape at its place decides.
    Nothing,
    /// Sealed by hand.
    Patched,
    /// Open.
    Open,
}

impl Said {
    /// The word for it in a log.
    pub fn word(self) -> &'static str {
        match self {
            Said::Nothing => "",
            Said::Patched => "patched",
            Said::Open => "open",
        }
    }
}

/// One attempt at a fastener.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Row of the table.
    pub row: usize,
    /// The slope.
    pub slope: SlopeId,
    /// Index of the landing on its slope.
    pub landing: u32,
    /// The fastener of the landing, from 0.
    pub fastener: u8,
    /// The attempt, from 1.
    pub attempt: u32,
    /// What became of it.
    pub outcome: Outcome,
    /// How far across (to the right) and up from the planned place, metres; `None` where the row does not say.
    pub offset: Option<(f64, f64)>,
    /// What is said of the seal.
    pub seal: Said,
    /// Somebody looked again and confirms the outcome.
    pub confirmed: bool,
    /// Whatever else is said.
    pub note: String,
}

/// A hole in the membrane that no attempt at a fastener made.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Row of the table.
    pub row: usize,
    /// The slope.
    pub slope: SlopeId,
    /// Its number on the slope, from 1.
    pub number: u32,
    /// x and y on the slope, metres; `None` where the row does not say.
    pub at: Option<(f64, f64)>,
    /// What is said of the seal.
    pub seal: Said,
    /// Whatever else is said.
    pub note: String,
}

/// A drive log, read against the plan that it speaks of. The order of its rows left no trace.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DriveLog {
    /// Attempts in the order of slopes, landings, fasteners and attempts.
    pub entries: Vec<Entry>,
    /// Holes in the order of slopes and numbers.
    pub holes: Vec<Hole>,
    /// Rows that say again what another one says.
    pub repeated: usize,
    /// Plans of rows that are not this one but drive alike, each with the number of its rows.
    pub other_plans: Vec<(String, usize)>,
    /// What must be said of rows that count for nothing, or not for all that was written: each row with its number.
    pub told: Vec<String>,
}

impl DriveLog {
    /// Counts a row that says again what an earlier one says.
    fn again(&mut self, row: usize, first: usize) {
        self.repeated += 1;
        self.told.push(format!("row {row} says the same as row {first} and counts once"));
    }
}

/// One row of another plan, with its place then and now.
#[derive(Clone, Debug, PartialEq)]
pub struct Moved {
    /// The row as it reads against this plan: its offset leads from the new planned place to where the fastener is.
    pub entry: Entry,
    /// Planned place in the plan of the row.
    pub old: (f64, f64),
    /// Planned place in this plan.
    pub new: (f64, f64),
}

/// One row of another plan whose landing or fastener this plan no longer has.
#[derive(Clone, Debug, PartialEq)]
pub struct Gone {
    /// Row of the table.
    pub row: usize,
    /// The slope, by the beginning of the landing's name.
    pub slope: SlopeId,
    /// The landing's name in the plan of the row.
    pub landing: String,
    /// The fastener of that landing, from 1.
    pub fastener: u32,
    /// The attempt, from 1.
    pub attempt: u32,
    /// What became of it.
    pub outcome: Outcome,
    /// Planned place in the plan of the row.
    pub old: (f64, f64),
    /// The number of the hole that it is in this plan; `None` where there is none of its own: nothing was driven, or the next
    /// attempt filled what was drilled.
    pub hole: Option<u32>,
}

/// A log of another plan, carried over to this one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Remapped {
    /// What it says of this plan: the holes of [`Remapped::gone`] are among its holes.
    pub log: DriveLog,
    /// Rows whose fastener this plan has, too.
    pub moved: Vec<Moved>,
    /// Rows whose fastener it does not have.
    pub gone: Vec<Gone>,
}

/// What a plan is known by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fingerprints {
    /// Short hash of every part.
    pub plan: String,
    /// Short hash of what a row of a log depends on: landings, fasteners, framing.
    pub driving: String,
}

impl Fingerprints {
    /// Both as a cell: with a word in front, or a spreadsheet would take `12e45678` for a number.
    pub fn cell(&self) -> String {
        format!("plan-{}-{}", self.plan, self.driving)
    }

    /// Whether a row that was written for another plan speaks of this one all the same. One that says only the plan speaks of
    /// that plan alone.
    fn drives_alike(&self, row: &RowPlan) -> bool {
        row.driving.as_ref().map_or(row.plan == self.plan, |d| *d == self.driving)
    }
}

/// The plan that a row was written for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct RowPlan {
    plan: String,
    driving: Option<String>,
}

/// Reads a drive log of this plan.
///
/// # Errors
/// Every fault of the table at once, in the order of the text; a row of a plan that drives otherwise is one.
pub fn read(
    source: &str,
    design: &Design,
    structure: &Structure,
    lattice: &Lattice,
    this: &Fingerprints,
) -> Result<DriveLog, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let log = Table::read(source, COLUMNS, design.units, &mut faults).map(|table| {
        let reading = Reading { design, lattice, names: names(structure, lattice), table: &table };
        let other_plans = reading.plans(this, &mut faults);
        let mut log = DriveLog { other_plans, told: table.told.clone(), ..DriveLog::default() };
        let mut kept = Vec::new();
        for row in &table.rows {
            // That a row is of another plan is told already: where that plan has its landing is no fault of its own.
            let landings = reading.landings(row, this);
            match reading.row(row, landings, &mut faults) {
                Some(Read::Attempt(entry, stated)) => {
                    if landings == Landings::OfThisPlan {
                        reading.same_place(row, &entry, stated, &mut faults);
                    }
                    kept.push((row, entry));
                }
                Some(Read::Hole(hole)) => log.holes.push(hole),
                Some(Read::Stray(..)) | None => {}
            }
        }
        reading.gather(kept, &mut log, &mut faults);
        log
    });
    match log {
        Some(log) if faults.is_empty() => Ok(log),
        _ => {
            in_order(&mut faults);
            Err(faults)
        }
    }
}

/// Reads a drive log of another plan and carries every row over to this one, by names: what is driven stays where it is, so
/// its offset becomes the way from its new planned place. Where this plan has no such landing or fastener any more, what
/// was driven or drilled is still a hole in the membrane: it becomes a hole of this plan, at its place.
///
/// # Errors
/// Every fault at once; a row whose landing belongs to no slope is one, so is one of this very plan whose landing it does not
/// have, and so is a row that does not say where its fastener was planned.
pub fn remap(
    source: &str,
    design: &Design,
    structure: &Structure,
    lattice: &Lattice,
    this: &Fingerprints,
) -> Result<Remapped, Vec<Diagnostic>> {
    let mut faults = Vec::new();
    let done = Table::read(source, COLUMNS, design.units, &mut faults).map(|table| {
        let reading = Reading { design, lattice, names: names(structure, lattice), table: &table };
        let mut all = Remapped::default();
        all.log.told = table.told.clone();
        let (mut kept, mut strays) = (Vec::new(), Vec::new());
        for row in &table.rows {
            match reading.row(row, reading.landings(row, this), &mut faults) {
                Some(Read::Attempt(mut entry, (Some(x), Some(y)))) => {
                    let Some(new) = reading.planned(&entry) else { continue };
                    let old = (x, y);
                    entry.offset = stays(&entry, old).map(|at| (at.0 - new.0, at.1 - new.1));
                    // No length at all is no offset.
                    if entry.outcome == Outcome::Held && entry.offset.is_some_and(|o| hypot(o.0, o.1) < SAME_PLACE) {
                        entry.offset = None;
                    }
                    all.moved.push(Moved { entry: entry.clone(), old, new });
                    kept.push((row, entry));
                }
                Some(Read::Stray(entry, landing, (Some(x), Some(y)))) => strays.push((row, entry, landing, (x, y))),
                Some(Read::Attempt(..) | Read::Stray(..)) => {
                    let hint = "a form states the planned place of each fastener in the columns x and y";
                    let column = if table.cell(row, X).text.is_empty() { X } else { Y };
                    faults.push(table.fault(row, column, "where was this fastener planned?", hint));
                }
                Some(Read::Hole(hole)) => all.log.holes.push(hole),
                None => {}
            }
        }
        reading.gather(kept, &mut all.log, &mut faults);
        reading.to_holes(strays, &mut all, &mut faults);
        all
    });
    match done {
        Some(done) if faults.is_empty() => Ok(done),
        _ => {
            in_order(&mut faults);
            Err(faults)
        }
    }
}

/// Where what a row tells of is, on the slope; `None` where nobody knows, or where there is nothing.
fn stays(entry: &Entry, planned: (f64, f64)) -> Option<(f64, f64)> {
    let off = match entry.outcome {
        Outcome::NotYet => None,
        // Held where it was planned, then.
        Outcome::Held => Some(entry.offset.unwrap_or_default()),
        Outcome::Missed | Outcome::Predrilled => entry.offset,
    }?;
    Some((planned.0 + off.0, planned.1 + off.1))
}

/// Stands for a landing that a plan does not have.
const NO_LANDING: u32 = u32::MAX;

/// Landings by their names: slope and index.
fn names(structure: &Structure, lattice: &Lattice) -> BTreeMap<String, (SlopeId, u32)> {
    let mut all = BTreeMap::new();
    for (s, slope) in lattice.slopes.iter().enumerate() {
        for (i, landing) in slope.landings.iter().enumerate() {
            let at = (SlopeId(s), number(i));
            all.insert(slope.landing_name(landing, structure), at);
        }
    }
    all
}

enum Read {
    /// With the planned place that the row states.
    Attempt(Entry, (Option<f64>, Option<f64>)),
    /// The same of a landing, by its name, or of a fastener that this plan does not have; the entry's landing is none.
    Stray(Entry, String, (Option<f64>, Option<f64>)),
    Hole(Hole),
}

/// Which landings a row may speak of.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Landings {
    OfThisPlan,
    OfAnyPlan,
}

struct Reading<'a> {
    design: &'a Design,
    lattice: &'a Lattice,
    names: BTreeMap<String, (SlopeId, u32)>,
    table: &'a Table,
}

impl Reading<'_> {
    /// The plan that a row speaks of.
    fn plan(&self, row: &Row) -> RowPlan {
        let text = self.table.cell(row, PLAN).text.to_ascii_lowercase();
        let text = text.strip_prefix("plan").unwrap_or(&text).trim_start_matches(['-', ' ']);
        match text.split_once('-') {
            Some((plan, driving)) => RowPlan { plan: plan.to_owned(), driving: Some(driving.to_owned()) },
            None => RowPlan { plan: text.to_owned(), driving: None },
        }
    }

    /// Which landings a row may speak of.
    fn landings(&self, row: &Row, this: &Fingerprints) -> Landings {
        if this.drives_alike(&self.plan(row)) { Landings::OfThisPlan } else { Landings::OfAnyPlan }
    }

    /// Rows of plans that drive otherwise, told once for each such plan. Hands back those of other plans that drive alike.
    fn plans(&self, this: &Fingerprints, faults: &mut Vec<Diagnostic>) -> Vec<(String, usize)> {
        let mut others: BTreeMap<RowPlan, Vec<&Row>> = BTreeMap::new();
        for row in &self.table.rows {
            let plan = self.plan(row);
            if plan.plan != this.plan || !this.drives_alike(&plan) {
                others.entry(plan).or_default().push(row);
            }
        }
        let mut alike = Vec::new();
        for (plan, rows) in others {
            let (Some(first), count) = (rows.first(), rows.len()) else { continue };
            if this.drives_alike(&plan) {
                alike.push((plan.plan, count));
                continue;
            }
            let of = match plan.plan.as_str() {
                "" => "no stated plan".to_owned(),
                name => format!("plan {}", shortened(name)),
            };
            let numbers: Vec<String> = rows.iter().take(FIRST).map(|r| r.number.to_string()).collect();
            let s = if count == 1 { "" } else { "s" };
            let mut listed = numbers.join(", ");
            if count > FIRST {
                listed = format!("{listed} and {} more", count - FIRST);
            }
            let message = format!(
                "{count} row{s} {} of {of} (row{s} {listed}); this is plan {}, whose landings, fasteners or framing are others",
                if count == 1 { "is" } else { "are" },
                this.plan
            );
            let hint = "`airlath log DESIGN DRIVEN.csv --remap` (with the same --found, if any) lists every row's old and new \
                        place and writes a new log beside this one, which stays as it is";
            faults.push(self.table.fault(first, PLAN, message, hint));
        }
        alike
    }

    fn row(&self, row: &Row, landings: Landings, faults: &mut Vec<Diagnostic>) -> Option<Read> {
        let table = self.table;
        let before = faults.len();
        let text = |column: usize| table.cell(row, column).text.as_str();
        let seal = match text(SEAL).to_ascii_lowercase().as_str() {
            "" => Some(Said::Nothing),
            "patched" | "sealed" => Some(Said::Patched),
            "open" | "unsealed" => Some(Said::Open),
            _ => {
                let message = format!("`{}` says nothing about a seal", shortened(text(SEAL)));
                faults.push(table.fault(row, SEAL, message, "leave it empty, or write patched or open"));
                None
            }
        };
        let confirmed = match text(CONFIRMED).to_ascii_lowercase().as_str() {
            "" | "no" | "n" | "false" | "0" => Some(false),
            "yes" | "y" | "true" | "1" | "x" => Some(true),
            _ => {
                let message = format!("`{}` is neither yes nor no", shortened(text(CONFIRMED)));
                faults.push(table.fault(row, CONFIRMED, message, "leave it empty, or write yes"));
                None
            }
        };
        let lengths = [ACROSS, UP, X, Y].map(|c| table.length(row, c, faults));
        let fastener = table.whole(row, FASTENER, faults);
        let attempt = table.whole(row, ATTEMPT, faults);
        let place = match (lengths[0], lengths[1]) {
            (Ok(Some(across)), Ok(Some(up))) => Some((across, up)),
            // Off to one side alone.
            (Ok(Some(across)), Ok(None)) => Some((across, 0.0)),
            (Ok(None), Ok(Some(up))) => Some((0.0, up)),
            _ => None,
        };
        let outcome = match text(OUTCOME).to_ascii_lowercase().replace(['-', '_'], " ").trim() {
            "held" => Some(Outcome::Held),
            "missed" | "missed and left in" => Some(Outcome::Missed),
            "pre drilled" | "predrilled" => Some(Outcome::Predrilled),
            "not yet" | "" => Some(Outcome::NotYet),
            "hole" => {
                let hole = self.hole(row, fastener, place, lengths, seal, faults);
                return if faults.len() == before { hole.map(Read::Hole) } else { None };
            }
            _ => {
                let words = ["held", "missed", "pre-drilled", "not yet", "hole"];
                let hint = match nearest(text(OUTCOME), words.into_iter()) {
                    Some(near) => format!("did you mean `{near}`? one of {}", words.join(", ")),
                    None => format!("one of {}", words.join(", ")),
                };
                let message = format!("`{}` is no outcome", shortened(text(OUTCOME)));
                faults.push(table.fault(row, OUTCOME, message, &hint));
                None
            }
        };
        let known = self.names.get(text(LANDING)).copied();
        // A landing of another plan tells its slope by the beginning of its name.
        let elsewhere = if landings == Landings::OfAnyPlan { self.slope_of(text(LANDING)) } else { None };
        let at = match (known, elsewhere) {
            (None, Some(slope)) => Some((slope, NO_LANDING)),
            (Some(at), _) => Some(at),
            (None, None) => {
                self.no_landing(row, faults);
                None
            }
        };
        let fastener = match fastener {
            Ok(Some(n)) => Some(n),
            Ok(None) => {
                let hint = "the fasteners of a landing are counted from 1";
                faults.push(table.fault(row, FASTENER, "which fastener of the landing?", hint));
                None
            }
            Err(()) => None,
        };
        let mut stray = known.is_none();
        if let (Some((slope, landing)), Some(n)) = (known, fastener) {
            let count = self.lattice.slopes.get(slope.0).and_then(|s| s.landings.get(landing as usize));
            let count = count.map_or(0, |l| u32::from(l.count));
            stray = n > count;
            if stray && elsewhere.is_none() {
                let message = format!("{} has no fastener {n}", text(LANDING));
                faults.push(table.fault(row, FASTENER, message, &format!("it has {count}")));
            }
        }
        if outcome == Some(Outcome::NotYet) {
            let said =
                [(ACROSS, place.is_some()), (SEAL, seal != Some(Said::Nothing)), (CONFIRMED, confirmed == Some(true))];
            if let Some((column, _)) = said.into_iter().find(|(_, s)| *s) {
                let message = "not yet driven, and yet this is said of it";
                faults.push(table.fault(row, column, message, "write the outcome: held, missed or pre-drilled"));
            }
        }
        let ((slope, landing), fastener, outcome, seal, confirmed) = (at?, fastener?, outcome?, seal?, confirmed?);
        if faults.len() != before {
            return None;
        }
        let entry = Entry {
            row: row.number,
            slope,
            landing,
            fastener: u8::try_from(fastener - 1).ok()?,
            attempt: attempt.ok()?.unwrap_or(1),
            outcome,
            offset: place,
            seal,
            confirmed,
            note: text(NOTE).to_owned(),
        };
        let stated = (lengths[2].ok()?, lengths[3].ok()?);
        if stray {
            return Some(Read::Stray(Entry { landing: NO_LANDING, ..entry }, text(LANDING).to_owned(), stated));
        }
        Some(Read::Attempt(entry, stated))
    }

    /// The slope that a landing's name begins with.
    fn slope_of(&self, landing: &str) -> Option<SlopeId> {
        let begins = |name: &str| landing.strip_prefix(name).is_some_and(|rest| rest.starts_with('-'));
        let of = self.design.slopes.iter().enumerate().filter(|(_, s)| begins(&s.name));
        of.max_by_key(|(_, s)| s.name.len()).map(|(i, _)| SlopeId(i))
    }

    fn no_landing(&self, row: &Row, faults: &mut Vec<Diagnostic>) {
        let name = self.table.cell(row, LANDING).text.as_str();
        let hint = match nearest(name, self.names.keys().map(String::as_str)) {
            Some(near) if !name.is_empty() => {
                format!(
                    "did you mean {near}? a hole that belongs to no landing of this plan is a row with outcome hole"
                )
            }
            _ => "such as S-B03.L05; a hole that belongs to no landing of this plan is a row with outcome hole".into(),
        };
        let message = if name.is_empty() {
            "which landing?".to_owned()
        } else {
            format!("no landing is named {}", shortened(name))
        };
        faults.push(self.table.fault(row, LANDING, message, &hint));
    }

    fn hole(
        &self,
        row: &Row,
        number: Result<Option<u32>, ()>,
        at: Option<(f64, f64)>,
        lengths: [Result<Option<f64>, ()>; 4],
        seal: Option<Said>,
        faults: &mut Vec<Diagnostic>,
    ) -> Option<Hole> {
        let table = self.table;
        let name = table.cell(row, LANDING).text.as_str();
        let slope = self.design.slopes.iter().position(|s| s.name == name).map(SlopeId);
        if slope.is_none() {
            let names: Vec<&str> = self.design.slopes.iter().map(|s| s.name.as_str()).collect();
            let hint = format!("of a hole the column landing names the slope: {}", names.join(", "));
            faults.push(table.fault(row, LANDING, format!("no slope is named {}", shortened(name)), &hint));
        }
        if let Ok(None) = number {
            faults.push(table.fault(row, FASTENER, "which hole?", "number the holes of a slope from 1"));
        }
        let one_of_two = matches!((lengths[0], lengths[1]), (Ok(Some(_)), Ok(None)) | (Ok(None), Ok(Some(_))));
        if one_of_two {
            let hint = "of a hole, across is x and up is y on the slope; leave both empty where they are not known";
            faults.push(table.fault(row, ACROSS, "half a place", hint));
        }
        if lengths[2..].iter().any(|l| matches!(l, Ok(Some(_)))) {
            let hint = "of a hole, across is x and up is y on the slope";
            faults.push(table.fault(row, X, "a hole was never planned", hint));
        }
        Some(Hole {
            row: row.number,
            slope: slope?,
            number: number.ok()??,
            at,
            seal: seal?,
            note: table.cell(row, NOTE).text.clone(),
        })
    }

    /// The planned place of the fastener that an entry is about.
    fn planned(&self, entry: &Entry) -> Option<(f64, f64)> {
        let slope = self.lattice.slopes.get(entry.slope.0)?;
        let landing = slope.landings.get(entry.landing as usize)?;
        slope.fasteners_of(landing).get(usize::from(entry.fastener)).map(|f| (f.x, f.y))
    }

    /// A planned place that somebody wrote over would be dropped without a word.
    fn same_place(&self, row: &Row, entry: &Entry, stated: (Option<f64>, Option<f64>), faults: &mut Vec<Diagnostic>) {
        let Some(planned) = self.planned(entry) else { return };
        for (column, stated, planned) in [(X, stated.0, planned.0), (Y, stated.1, planned.1)] {
            if let Some(stated) = stated
                && (stated - planned).abs() > SAME_PLACE
            {
                let shown = Length::from_metres(planned).show_fine(self.design.units);
                let message = format!("this fastener is planned at {shown}");
                let hint = "leave the planned place as it is; what differs from it goes into across and up";
                faults.push(self.table.fault(row, column, message, hint));
            }
        }
    }

    /// Sorts the rows by their keys, and finds those that contradict one another.
    fn gather(&self, mut kept: Vec<(&Row, Entry)>, log: &mut DriveLog, faults: &mut Vec<Diagnostic>) {
        let key = |e: &Entry| (e.slope, e.landing, e.fastener, e.attempt);
        let alike = |a: &Entry, b: &Entry| Entry { row: 0, ..a.clone() } == Entry { row: 0, ..b.clone() };
        kept.sort_by(|a, b| key(&a.1).cmp(&key(&b.1)).then(a.0.number.cmp(&b.0.number)));
        for (row, entry) in kept {
            if let Some(last) = log.entries.last()
                && key(last) == key(&entry)
            {
                if alike(last, &entry) {
                    let first = last.row;
                    log.again(entry.row, first);
                } else {
                    let message = format!("row {} says something else of the same attempt", last.row);
                    faults.push(self.table.fault(row, OUTCOME, message, "a further attempt gets the next number"));
                }
                continue;
            }
            let first = log
                .entries
                .last()
                .is_none_or(|l| key(l).0 != entry.slope || (l.landing, l.fastener) != (entry.landing, entry.fastener));
            let due = if first { 1 } else { log.entries.last().map_or(1, |l| l.attempt + 1) };
            if entry.attempt != due {
                let message = format!("attempt {} without attempt {due}", entry.attempt);
                faults.push(self.table.fault(row, ATTEMPT, message, "count the attempts at one fastener from 1"));
            }
            log.entries.push(entry);
        }
        let of = |h: &Hole| (h.slope, h.number);
        log.holes.sort_by_key(|h| (of(h), h.row));
        let mut holes: Vec<Hole> = Vec::new();
        for hole in std::mem::take(&mut log.holes) {
            match holes.last() {
                Some(last)
                    if of(last) == of(&hole)
                        && (Hole { row: 0, ..last.clone() }) == (Hole { row: 0, ..hole.clone() }) =>
                {
                    log.again(hole.row, last.row);
                }
                Some(last) if of(last) == of(&hole) => {
                    let row = self.table.rows.iter().find(|r| r.number == hole.row);
                    let span = row.map_or(0..0, |r| self.table.cell(r, FASTENER).span.clone());
                    let message = format!("row {} says something else of the same hole", last.row);
                    faults.push(fault(span, format!("row {}, fastener", hole.row), message, "number holes from 1"));
                }
                _ => holes.push(hole),
            }
        }
        log.holes = holes;
    }

    /// What this plan has no fastener for becomes holes of it, numbered on from those that are there.
    fn to_holes(
        &self,
        mut strays: Vec<(&Row, Entry, String, (f64, f64))>,
        all: &mut Remapped,
        faults: &mut Vec<Diagnostic>,
    ) {
        strays.sort_by(|a, b| {
            let key =
                |s: &(&Row, Entry, String, (f64, f64))| (s.1.slope, s.2.clone(), s.1.fastener, s.1.attempt, s.1.row);
            key(a).cmp(&key(b))
        });
        let mut each: Vec<(&Row, Entry, String, (f64, f64))> = Vec::new();
        let of_one = |a: &(&Row, Entry, String, (f64, f64)), b: &(&Row, Entry, String, (f64, f64))| {
            a.2 == b.2 && (a.1.slope, a.1.fastener) == (b.1.slope, b.1.fastener)
        };
        for stray in strays {
            match each.last().filter(|l| of_one(l, &stray) && l.1.attempt == stray.1.attempt) {
                Some((_, before, _, place)) => {
                    if (Entry { row: 0, ..before.clone() }, *place) == (Entry { row: 0, ..stray.1.clone() }, stray.3) {
                        let first = before.row;
                        all.log.again(stray.1.row, first);
                    } else {
                        let message = format!("row {} says something else of the same attempt", before.row);
                        let hint = "a further attempt gets the next number";
                        faults.push(self.table.fault(stray.0, OUTCOME, message, hint));
                    }
                }
                None => each.push(stray),
            }
        }
        let mut rest = each.into_iter().peekable();
        while let Some(stray) = rest.next() {
            // A drilled hole is used up by the next attempt at the same place.
            let filled = rest.peek().is_some_and(|next| {
                of_one(&stray, next)
                    && stray.1.outcome == Outcome::Predrilled
                    && next.1.outcome != Outcome::NotYet
                    && same_offset(stray.1.offset, next.1.offset)
            });
            let (_, entry, landing, old) = stray;
            let fastener = u32::from(entry.fastener) + 1;
            let hole = (entry.outcome != Outcome::NotYet && !filled).then(|| {
                let of_slope = all.log.holes.iter().filter(|h| h.slope == entry.slope);
                of_slope.map(|h| h.number).max().unwrap_or(0).saturating_add(1)
            });
            if let Some(number) = hole {
                let was = format!(
                    "{}{}: {landing}-{fastener}, attempt {}, of an earlier plan",
                    entry.outcome.word(),
                    if entry.confirmed { " (confirmed)" } else { "" },
                    entry.attempt
                );
                let note = if entry.note.is_empty() { was } else { format!("{}; {was}", entry.note) };
                let at = stays(&entry, old);
                all.log.holes.push(Hole { row: entry.row, slope: entry.slope, number, at, seal: entry.seal, note });
            }
            all.gone.push(Gone {
                row: entry.row,
                slope: entry.slope,
                landing,
                fastener,
                attempt: entry.attempt,
                outcome: entry.outcome,
                old,
                hole,
            });
        }
        all.log.holes.sort_by_key(|h| (h.slope, h.number));
    }
}
