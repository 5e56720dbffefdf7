//! Further kinds of scalars: compass directions, pressures, speeds, forces, bare numbers.

use schemars::{Schema, json_schema};

use super::written::{Raw, Scalar, fault, quoted};
use crate::quantity::{Angle, Force, ForcePerLength, Pressure, QuantityError, Speed, Units};

impl Scalar for Pressure {
    const NAME: &'static str = "pressure";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        quoted(raw, "a pressure", "psf")?.parse()
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a pressure or a strength, such as \"40 psf\", \"1.2 kPa\", \"15 psi\" or \"24 MPa\""})
    }
}

impl Scalar for Speed {
    const NAME: &'static str = "speed";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        quoted(raw, "a speed", "mph")?.parse()
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a speed, such as \"115 mph\" or \"50 m/s\""})
    }
}

impl Scalar for Force {
    const NAME: &'static str = "force";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        quoted(raw, "a force", "lbf")?.parse()
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a force, such as \"300 lbf\" or \"0.9 kN\""})
    }
}

/// What a maker states of a fastener: a force, a force for each length, or one for each area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rating {
    /// Of one fastener.
    Each(Force),
    /// For each length of thread.
    PerLength(ForcePerLength),
    /// A parameter of Eurocode 5, for each area.
    PerArea(Pressure),
}

impl Rating {
    /// Whether it is more than nothing.
    pub fn is_positive(self) -> bool {
        match self {
            Rating::Each(f) => f.newtons() > 0.0,
            Rating::PerLength(f) => f.newtons_per_metre() > 0.0,
            Rating::PerArea(p) => p.pascals() > 0.0,
        }
    }

    /// In the design's units.
    pub fn show(self, units: Units) -> String {
        match self {
            Rating::Each(f) => f.show(units),
            Rating::PerLength(f) => f.show(units),
            Rating::PerArea(p) => p.show_stress(units),
        }
    }
}

impl Scalar for Rating {
    const NAME: &'static str = "strength of a fastener";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        const HINT: &str = "such as \"180 lbf/in\", \"12.5 N/mm2\" or \"250 lbf\"";
        let text = quoted(raw, "a strength of a fastener", "lbf/in")?;
        if let Ok(force) = text.parse() {
            return Ok(Rating::Each(force));
        }
        if let Ok(along) = text.parse() {
            return Ok(Rating::PerLength(along));
        }
        match text.parse() {
            Ok(stress) => Ok(Rating::PerArea(stress)),
            Err(_) => fault(format!("\"{text}\" is no strength of a fastener"), HINT),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a strength of a fastener by its maker, such as \"180 lbf/in\", \"12.5 N/mm2\" or \"250 lbf\""})
    }
}

impl Scalar for f64 {
    const NAME: &'static str = "number";
    #[expect(clippy::cast_precision_loss, reason = "a factor of a standard has a few digits")]
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        match raw {
            Raw::Whole(n) => Ok(*n as f64),
            Raw::Number(n) if n.is_finite() => Ok(*n),
            _ => fault("a number belongs here", "write it without quotes and without a unit, such as 1.1"),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "number"})
    }
}

/// A direction of the compass, clockwise from north.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facing(pub Angle);

/// The eight winds from north round by east, in full and in short.
const WINDS: [(&str, &str); 8] = [
    ("north", "n"),
    ("northeast", "ne"),
    ("east", "e"),
    ("southeast", "se"),
    ("south", "s"),
    ("southwest", "sw"),
    ("west", "w"),
    ("northwest", "nw"),
];

impl Scalar for Facing {
    const NAME: &'static str = "compass direction";
    #[expect(clippy::cast_precision_loss, reason = "there are eight")]
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        let text = quoted(raw, "a compass direction", "deg")?;
        let plain: String = text.chars().filter(|c| !c.is_whitespace() && *c != '-').collect();
        let plain = plain.to_lowercase();
        if let Some(eighth) = WINDS.iter().position(|(long, short)| plain == *long || plain == *short) {
            return Ok(Facing(Angle::from_degrees(eighth as f64 * 45.0)));
        }
        const HINT: &str = "such as \"south\", \"SE\" or \"150 deg\", clockwise from north";
        // A word is meant for a wind, a number for degrees; only a number is told what is wrong with it.
        if plain.chars().next().is_none_or(char::is_alphabetic) {
            return fault(format!("\"{text}\" is no compass direction"), HINT);
        }
        match text.parse() {
            Ok(angle) => Ok(Facing(angle)),
            Err(QuantityError { message, .. }) => fault(message, HINT),
        }
    }
    fn schema() -> Schema {
        json_schema!({"type": "string", "description": "a compass direction, such as \"south\", \"SE\" or \"150 deg\" clockwise from north"})
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn degrees(text: &str) -> Option<f64> {
        Facing::read(&Raw::Text(text.into())).ok().map(|f| f.0.degrees().round())
    }

    #[test]
    fn winds_are_read_in_words_and_in_degrees() {
        let all = ["North", "NE", "east", "south-east", "S", "south west", "W", "nw"];
        for (i, text) in all.into_iter().enumerate() {
            assert_eq!(degrees(text), Some(45.0 * i as f64), "{text}");
        }
        assert_eq!((degrees("150 deg"), degrees("-30 deg")), (Some(150.0), Some(-30.0)));
        for text in ["estward", "", "N E W", "sun", "12 wind"] {
            let told = Facing::read(&Raw::Text(text.into()));
            assert!(told.as_ref().is_err_and(|e| e.hint.contains("\"SE\"")), "{text}: {told:?}");
        }
        assert!(Facing::read(&Raw::Whole(90)).is_err_and(|e| e.hint.contains("\"90 deg\"")));
    }
}
