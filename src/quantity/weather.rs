//! What weather and data sheets of vent pieces say: temperatures, speeds, irradiance, shares, free areas, vapour.
//!
//! Aim: read `0 C`, `2 m/s`, `600 W/m2`, `85 %`, `9000 mm2/m` and `5 g/m2/day`, and their inch-pound sisters.
//! Reason: the air's flow needs them, and a figure without its unit is a guess. Limits: each kind has its own bounds.

use std::str::FromStr;

use super::error::{QuantityError, quoted};
use super::number::signed_number;

/// Splits a text into its number and its unit, and brings it to the base unit: `factor * number + shift`.
fn measured(
    text: &str,
    what: &str,
    hint: &str,
    units: &[(&str, f64, f64)],
    bounds: (f64, f64),
) -> Result<f64, QuantityError> {
    let text = text.trim();
    let fault = |message: String| QuantityError::new(message, hint);
    let unit_at = text.find(|c: char| c.is_alphabetic() || c == '%' || c == '°');
    let Some(unit_at) = unit_at else { return Err(fault(format!("{} has no unit of {what}", quoted(text)))) };
    let (number, unit) = text.split_at(unit_at);
    let unit = unit.replace('²', "2").replace(['°', ' '], "");
    let Some((_, factor, shift)) = units.iter().find(|(u, ..)| u.eq_ignore_ascii_case(&unit)) else {
        return Err(fault(format!("{} is not a known unit of {what}", quoted(&unit))));
    };
    let value = factor * signed_number(number.trim()).map_err(|e| fault(e.message))? + shift;
    if value < bounds.0 || value > bounds.1 {
        return Err(fault(format!("{} is beyond any {what} here", quoted(text))));
    }
    Ok(value)
}

macro_rules! weather {
    ($(#[$doc:meta])* $name:ident, $get:ident, $(#[$gdoc:meta])* $what:literal, $hint:literal, $bounds:expr, $units:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// From the base unit.
            #[must_use]
            pub const fn new(value: f64) -> Self {
                Self(value)
            }

            $(#[$gdoc])*
            #[must_use]
            pub const fn $get(self) -> f64 {
                self.0
            }
        }

        impl FromStr for $name {
            type Err = QuantityError;
            fn from_str(text: &str) -> Result<Self, QuantityError> {
                measured(text, $what, $hint, &$units, $bounds).map(Self)
            }
        }
    };
}

weather!(
    /// A temperature.
    Temperature, kelvin, /// In kelvins.
    "temperature", "write it as -5 C or 23 F", (173.15, 423.15),
    [("C", 1.0, 273.15), ("F", 5.0 / 9.0, 273.15 - 32.0 * 5.0 / 9.0), ("K", 1.0, 0.0)]
);
weather!(
    /// A speed of air.
    AirSpeed, metres_per_second, /// In metres a second.
    "speed", "write it as 2 m/s, 5 mph or 20 ft/min", (0.0, 100.0),
    [("m/s", 1.0, 0.0), ("km/h", 1.0 / 3.6, 0.0), ("mph", 0.44704, 0.0), ("ft/min", 0.00508, 0.0)]
);
weather!(
    /// What the sun brings to the roofing.
    Irradiance, watts_per_m2, /// In watts a square metre.
    "irradiance", "write it as 600 W/m2", (0.0, 1500.0),
    [("W/m2", 1.0, 0.0)]
);
weather!(
    /// A share.
    Share, fraction, /// As a fraction of one.
    "share", "write it as 85 %", (0.0, 1.0),
    [("%", 0.01, 0.0)]
);
weather!(
    /// Free area for each length of a vent piece.
    FreeArea, metres, /// In square metres a metre.
    "free area", "write it as 9000 mm2/m, 90 cm2/m or 4.25 in2/ft", (1e-6, 1.0),
    [("mm2/m", 1e-6, 0.0), ("cm2/m", 1e-4, 0.0), ("in2/ft", 0.0254 * 0.0254 / 0.3048, 0.0)]
);
weather!(
    /// Vapour that comes through a roof.
    VapourRate, kg_per_m2_s, /// In kilograms a square metre and second.
    "vapour rate", "write it as 5 g/m2/day", (0.0, 1.0),
    [("g/m2/day", 1e-3 / 86400.0, 0.0)]
);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_write() {
        let k = |t: &str| t.parse::<Temperature>().map(Temperature::kelvin);
        assert_eq!(k("0 C"), Ok(273.15));
        assert!((k("32 F").unwrap() - 273.15).abs() < 1e-9);
        assert!((k("-40 °F").unwrap() - k("-40C").unwrap()).abs() < 1e-9);
        assert!(k("5").is_err() && k("5 m").is_err() && k("900 C").is_err());
        assert!(("4.25 in2/ft".parse::<FreeArea>().unwrap().metres() - 8.996e-3).abs() < 1e-5);
        assert_eq!("85 %".parse::<Share>().map(Share::fraction), Ok(0.85));
        assert!("120 %".parse::<Share>().is_err());
        assert!((("10 mph".parse::<AirSpeed>()).unwrap().metres_per_second() - 4.4704).abs() < 1e-12);
        assert!("-1 m/s".parse::<AirSpeed>().is_err());
        assert!(("86.4 g/m2/day".parse::<VapourRate>().unwrap().kg_per_m2_s() - 1e-6).abs() < 1e-15);
        assert_eq!("600 W/m²".parse::<Irradiance>().map(Irradiance::watts_per_m2), Ok(600.0));
    }
}
