//! A design with a change made, laid again and checked again.

use std::cell::OnceCell;

use crate::check;
use crate::design::{Change, Faults};
use crate::plan::{Plan, Texts};

/// A changed design with its plan; its findings are worked out when they are first asked for.
pub struct Trial {
    /// The changed texts.
    pub texts: Texts,
    /// Their plan, with its drive log where one goes with it.
    pub plan: Plan,
    results: OnceCell<Vec<check::Result>>,
}

impl Trial {
    /// Makes a change and lays the roof again.
    ///
    /// # Errors
    /// Why that cannot be: the change has no place in the file, or makes it faulty.
    pub fn of(texts: &Texts, change: &Change) -> Result<Trial, String> {
        let texts = texts.changed(change).ok_or("the design file has no place for it")?;
        let plan = texts.plan().map_err(|faults| first_fault(&faults))?;
        Ok(Trial { texts, plan, results: OnceCell::new() })
    }

    /// The same with a drive log (its name and its text), where there is one; `None` where a row of it no longer holds.
    pub fn with_log(self, log: &Option<(String, String)>) -> Option<Trial> {
        let plan = match log {
            Some((file, text)) => self.plan.with_log(file, text).ok()?,
            None => self.plan,
        };
        Some(Trial { texts: self.texts, plan, results: OnceCell::new() })
    }

    /// What its checks find.
    pub fn results(&self) -> &[check::Result] {
        self.results.get_or_init(|| check::run_for_findings(&self.plan.context()))
    }
}

fn first_fault(faults: &[Faults]) -> String {
    faults.iter().flat_map(|f| &f.faults).next().map_or(String::new(), |f| f.message.clone())
}
