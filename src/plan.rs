//! The line of work in one place: from text to a plan that can be checked.

use std::sync::Arc;

use crate::aim;
use crate::check::Context;
use crate::design::{self, Design, Diagnostic, Faults};
use crate::lattice::{self, Lattice};
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
}

impl Plan {
    /// Plans a design file. `file` is its name for messages.
    ///
    /// # Errors
    /// Every fault of the file at once; also names in it that belong to no member, line, course or landing.
    pub fn from_text(file: &str, source: &str) -> Result<Plan, Faults> {
        let design = design::read_design(file, source)?;
        let drawn = Arc::new(Structure::build(&design, State::Drawn));
        let found =
            if design.nothing_found() { drawn.clone() } else { Arc::new(Structure::build(&design, State::Found)) };
        let lattice = aim::placed(&design, &found, lattice::lay(&design, &drawn, &found));
        let mut faults: Vec<Diagnostic> = found.unknown_names(&design);
        faults.extend(lattice.unknown_names(&design, &found));
        if faults.is_empty() {
            return Ok(Plan { design, drawn, found, lattice });
        }
        faults.sort_by_key(|f| f.span.start);
        Err(Faults { file: file.to_owned(), source: source.to_owned(), faults })
    }

    /// What checks look at.
    pub fn context(&self) -> Context<'_> {
        Context::new(&self.design, &self.drawn, &self.found, &self.lattice)
    }
}
