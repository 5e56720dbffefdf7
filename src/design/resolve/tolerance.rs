//! `[tolerance]` and `[aim]`. A design without them gets what windows need and no row among its defaults.

use super::super::file::{DesignFile, Located};
use super::super::model::{AimPlace, AimSpec, Fastening, Given, Origin, Tolerance, ToleranceMeaning};
use super::super::reader::Reader;
use crate::quantity::{Angle, Length};

const ASSUMED: &str = "working assumption, from memory: 1/4 in at 2 sigma";
const TILT: Angle = Angle::from_degrees(3.0);
const TILT_WHY: &str = "3 deg for a practised hand; common practice, no source";
/// More than this is no error of a hand.
const MOST_TILT: f64 = 15.0;

/// How well things are known, where the design says so, and the tilt of the hand.
pub fn tolerance(r: &mut Reader<'_>, file: &DesignFile) -> Option<(Option<Tolerance>, Given<Angle>)> {
    let Some(located) = &file.tolerance else {
        return Some((None, Given { value: TILT, origin: Origin::Default(TILT_WHY) }));
    };
    let f = located.get();
    let meaning = r.or(
        "tolerance.meaning",
        &f.meaning,
        ToleranceMeaning::Two,
        "2 sigma",
        "a stated tolerance is kept 19 times in 20; common practice, no source",
    );
    let quarter = Length::from_inches(0.25);
    let rafter = r.length_or("tolerance.rafter", &f.rafter, quarter, ASSUMED);
    let bow = r.length_or("tolerance.bow", &f.bow, quarter, ASSUMED);
    let line = r.length_or(
        "tolerance.line",
        &f.line,
        Length::from_inches(1.0 / 16.0),
        "a chalk line is true to 1/16 in to 1/8 in over 20 ft to 40 ft (from memory)",
    );
    let drive = r.length_or("tolerance.drive", &f.drive, Length::from_inches(0.125), "common practice, no source");
    let tilt = r.or("tolerance.tilt", &f.tilt, TILT, "3 deg", TILT_WHY);
    let tilt = tilt.and_then(|t| {
        if (0.0..=MOST_TILT).contains(&t.value.degrees()) {
            return Some(t);
        }
        let span = f.tilt.as_ref().map_or(0..0, |w| w.span.clone());
        r.fault(span, "tolerance.tilt", "this is no error of a hand", "write an angle from 0 deg to 15 deg");
        None
    });
    let miss = match &f.miss {
        None => {
            r.defaults.push(super::super::model::DefaultInForce {
                key: "tolerance.miss".into(),
                value: "1 %".into(),
                why: "one landing in a hundred; common practice, no source",
            });
            Some(Given { value: 0.01, origin: Origin::Default("one landing in a hundred; common practice, no source") })
        }
        Some(written) => r.maybe("tolerance.miss", &f.miss).and_then(|text| match share(&text.value) {
            Some(value) => Some(Given { value, origin: text.origin }),
            None => {
                let hint = "write a share above 0 % and below 100 %, in quotes: \"1 %\"";
                let message = format!("\"{}\" is no chance", text.value);
                r.fault(written.span.clone(), "tolerance.miss", message, hint);
                None
            }
        }),
    };
    let table = Tolerance { meaning: meaning?, rafter: rafter?, bow: bow?, line: line?, drive: drive?, miss: miss? };
    Some((Some(table), tilt?))
}

/// A share such as `1 %` or `0.5%`, above nothing and below all.
fn share(text: &str) -> Option<f64> {
    let number = text.trim().strip_suffix('%')?.trim();
    let plain = !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    let value = if plain { number.parse::<f64>().ok()? / 100.0 } else { return None };
    (value > 0.0 && value < 1.0).then_some(value)
}

/// Where fasteners are aimed.
pub fn aim(r: &mut Reader<'_>, file: &DesignFile, fastening: &Fastening) -> Option<AimSpec> {
    let d = fastening.diameter.value;
    let (spacing, why) = if fastening.predrilled.value {
        (d * 3.0, "3 diameters when pre-drilled, between rows: NDS commentary (from memory)")
    } else {
        (d * 5.0, "5 diameters, between rows: NDS commentary (from memory)")
    };
    let Some(located) = &file.aim else {
        return Some(AimSpec {
            place: Given { value: AimPlace::Rule, origin: Origin::Default("where the pattern puts them") },
            spacing: Given { value: spacing, origin: Origin::Default(why) },
        });
    };
    let f = Located::get(located);
    let place = r.or("aim.place", &f.place, AimPlace::Rule, "rule", "where the pattern puts them");
    let spacing = r.size_or("aim.spacing", &f.spacing, spacing, why);
    Some(AimSpec { place: place?, spacing: spacing? })
}

#[cfg(test)]
mod tests {
    use super::share;

    #[test]
    fn shares_are_read_as_people_write_them() {
        assert_eq!((share("1 %"), share("0.5%"), share(" 25 % ")), (Some(0.01), Some(0.005), Some(0.25)));
        for wrong in ["", "1", "%", "0 %", "100 %", "-1 %", "1e1 %", "nan %", "one %"] {
            assert_eq!(share(wrong), None, "{wrong}");
        }
    }
}
