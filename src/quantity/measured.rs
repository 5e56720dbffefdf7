//! A number with one unit after it: what pressures, speeds and forces have in common.

use super::error::{QuantityError, quoted};
use super::number::signed_number;

/// How one kind of quantity is written.
pub(super) struct Kind {
    /// With its article, such as `a pressure`.
    pub name: &'static str,
    /// Spellings in lower case, each with what one unit is in SI.
    pub units: &'static [(&'static str, f64)],
    /// What to write instead.
    pub hint: &'static str,
    /// The largest value that makes sense, SI.
    pub largest: f64,
}

impl Kind {
    /// Reads `1.2 kPa` and the like; a negative value is no fault here.
    pub fn read(&self, text: &str) -> Result<f64, QuantityError> {
        let fault = |message: String| Err(QuantityError::new(message, self.hint));
        let text = text.trim();
        if text.is_empty() {
            return fault(format!("{} is missing between the quotes", self.name));
        }
        let Some(unit_at) = text.find(char::is_alphabetic) else {
            return fault(format!("{} has no unit: {} needs one", quoted(text), self.name));
        };
        let (number, unit) = text.split_at(unit_at);
        let plain = unit.trim().to_lowercase().replace('²', "2").replace('·', "");
        let Some((_, factor)) = self.units.iter().find(|(word, _)| *word == plain) else {
            return fault(format!("{} is no unit of {}", quoted(unit.trim()), self.name));
        };
        let value = factor * signed_number(number).map_err(|e| QuantityError::new(e.message, self.hint))?;
        if value.abs() > self.largest {
            return fault(format!("{} is beyond anything on a roof", quoted(text)));
        }
        Ok(value)
    }
}
