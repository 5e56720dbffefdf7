//! Further kinds of scalars: pressures, speeds, forces, bare numbers.

use schemars::{Schema, json_schema};

use super::written::{Raw, Scalar, fault, quoted};
use crate::quantity::{Force, Pressure, QuantityError, Speed};

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
