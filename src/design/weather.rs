//! How quantities of weather and vent pieces are judged and described.

use schemars::{Schema, json_schema};

use super::written::{Raw, Scalar};
use crate::quantity::{AirSpeed, FreeArea, Irradiance, QuantityError, Share, Temperature, VapourRate};

fn text<'a>(raw: &'a Raw, hint: &str) -> Result<&'a str, QuantityError> {
    let fault = |message: String| Err(QuantityError { message, hint: hint.to_owned() });
    match raw {
        Raw::Text(text) => Ok(text),
        Raw::Whole(n) => fault(format!("{n} without a unit")),
        Raw::Number(n) => fault(format!("{n} without a unit")),
        _ => fault("one value belongs here".to_owned()),
    }
}

macro_rules! scalar {
    ($type:ident, $name:literal, $hint:literal) => {
        impl Scalar for $type {
            const NAME: &'static str = $name;
            fn read(raw: &Raw) -> Result<Self, QuantityError> {
                text(raw, concat!("in quotes, with its unit: ", $hint))?.parse()
            }
            fn schema() -> Schema {
                json_schema!({"type": "string", "description": concat!("a ", $name, " with its unit, such as ", $hint)})
            }
        }
    };
}

scalar!(Temperature, "temperature", "\"0 C\" or \"32 F\"");
scalar!(AirSpeed, "speed of air", "\"2 m/s\" or \"5 mph\"");
scalar!(Irradiance, "irradiance", "\"600 W/m2\"");
scalar!(Share, "share", "\"85 %\"");
scalar!(FreeArea, "free area for each length", "\"9000 mm2/m\" or \"4.25 in2/ft\"");
scalar!(VapourRate, "vapour rate", "\"5 g/m2/day\"");

/// A plain number, for what has no unit: pressure coefficients.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficient(pub f64);

impl Scalar for Coefficient {
    const NAME: &'static str = "coefficient";
    fn read(raw: &Raw) -> Result<Self, QuantityError> {
        let value = match raw {
            Raw::Whole(n) => *n as f64,
            Raw::Number(n) => *n,
            _ => f64::NAN,
        };
        if value.abs() <= 5.0 {
            return Ok(Coefficient(value));
        }
        Err(QuantityError {
            message: "a number between -5 and 5 belongs here".into(),
            hint: "a pressure coefficient has no unit: write it without quotes, such as -0.4".into(),
        })
    }
    fn schema() -> Schema {
        json_schema!({"type": "number", "minimum": -5, "maximum": 5})
    }
}
