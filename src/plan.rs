//! The line of work in one place: from text to a plan that can be checked.

mod standards;

use std::sync::Arc;

use crate::aim;
use crate::check::Context;
use crate::design::{self, Change, Design, Diagnostic, Faults};
use crate::lattice::{self, Lattice};
use crate::parts::Parts;
use crate::record::{self, Driven, Fingerprints};
use crate::structure::{State, Structure};

/// A resolved design with its solids: everything that checks and scenes look at.
pub struct Plan {
    /// The design.
    pub design: Design,
    /// Framing as drawn.
    pub drawn: Arc<Structure>,
    /// Framing as found where it was measured, as drawn elsewhere: the same one where nothing was found.
    pub found: Arc<Structure>,
    /// The lattice.
    pub lattice: Lattice,
    /// What was really driven, where a log says so.
    pub driven: Option<Driven>,
}

/// The texts that a plan is made of, kept so that changes of the design can be tried.
#[derive(Clone, Debug)]
pub struct Texts {
    /// The design file's name, for messages.
    pub file: String,
    /// The design file.
    pub source: String,
    /// Name and text of the found file, where there is one.
    pub found: Option<(String, String)>,
}

impl Texts {
    /// Plans them.
    ///
    /// # Errors
    /// Every fault of both files, file by file.
    pub fn plan(&self) -> Result<Plan, Vec<Faults>> {
        match &self.found {
            None => Plan::from_text(&self.file, &self.source).map_err(|f| vec![f]),
            Some((name, text)) => Plan::with_found(&self.file, &self.source, name, text),
        }
    }

    /// The same with a change of the design; `None` where it cannot be made.
    pub fn changed(&self, change: &Change) -> Option<Texts> {
        Some(Texts { source: change.applied(&self.source)?, ..self.clone() })
    }
}

impl Plan {
    /// Plans a design file. `file` is its name for messages.
    ///
    /// # Errors
    /// Every fault of the file at once; also names in it that belong to no member, line, course or landing.
    pub fn from_text(file: &str, source: &str) -> Result<Plan, Faults> {
        Plan::read(file, source, None)
    }

    /// Plans a design file with the found file that a survey wrote beside it: both are read as one text, and the found file
    /// states nothing but what was found.
    ///
    /// # Errors
    /// Every fault of both files, file by file.
    pub fn with_found(file: &str, source: &str, found_file: &str, found: &str) -> Result<Plan, Vec<Faults>> {
        let foreign = design::foreign_keys(found);
        if !foreign.is_empty() {
            return Err(vec![Faults { file: found_file.to_owned(), source: found.to_owned(), faults: foreign }]);
        }
        let joined = format!("{source}\n{found}");
        let from = source.len() + 1;
        let line = design::line_column(&joined, from).0;
        Plan::read(file, &joined, Some(line)).map_err(|all| {
            let (mine, theirs): (Vec<Diagnostic>, Vec<Diagnostic>) =
                all.faults.into_iter().partition(|f| f.span.start < from);
            let moved = theirs
                .into_iter()
                .map(|f| Diagnostic { span: f.span.start - from..f.span.end.saturating_sub(from), ..f });
            let mine = Faults { file: file.to_owned(), source: source.to_owned(), faults: mine };
            let theirs = Faults { file: found_file.to_owned(), source: found.to_owned(), faults: moved.collect() };
            [mine, theirs].into_iter().filter(|f| !f.faults.is_empty()).collect()
        })
    }

    fn read(file: &str, source: &str, found_file_from: Option<usize>) -> Result<Plan, Faults> {
        let design::Reading { design, mut faults, sure } = design::read(source);
        let refused = |mut faults: Vec<Diagnostic>| {
            design::in_order(&mut faults);
            Err(Faults { file: file.to_owned(), source: source.to_owned(), faults })
        };
        let Some(mut design) = design else { return refused(faults) };
        faults.extend(standards::unknown_names(&design, source));
        standards::settle(&mut design);
        if !sure.members && !sure.courses {
            return refused(faults);
        }
        design.found_file_from = found_file_from;
        let drawn = Arc::new(Structure::build(&design, State::Drawn));
        let found =
            if design.nothing_found() { drawn.clone() } else { Arc::new(Structure::build(&design, State::Found)) };
        let lattice = aim::placed(&design, &found, lattice::lay(&design, &drawn, &found));
        faults.extend(found.unknown_names(&design, sure));
        faults.extend(lattice.unknown_names(&design, &found, sure));
        if faults.is_empty() {
            return Ok(Plan { design, drawn, found, lattice, driven: None });
        }
        refused(faults)
    }

    /// The same plan with what was really driven. `file` is the log's name for messages.
    ///
    /// # Errors
    /// Every fault of the log at once; rows of another plan are faults.
    pub fn with_log(mut self, file: &str, source: &str) -> Result<Plan, Faults> {
        let log = record::read(source, &self.design, &self.found, &self.lattice, &self.fingerprints())
            .map_err(|faults| Faults { file: file.to_owned(), source: source.to_owned(), faults })?;
        self.driven = Some(Driven::new(log, &self.lattice, &self.found));
        Ok(self)
    }

    /// The plan fingerprint: what was driven makes no other plan.
    pub fn fingerprint(&self) -> String {
        self.fingerprints().plan
    }

    /// The plan fingerprint, and that of what a drive log depends on.
    pub fn fingerprints(&self) -> Fingerprints {
        Parts { design: &self.design, structure: &self.found, lattice: &self.lattice, driven: None }.fingerprints()
    }

    /// What checks look at.
    pub fn context(&self) -> Context<'_> {
        Context::with_log(&self.design, &self.drawn, &self.found, &self.lattice, self.driven.as_ref())
    }
}
