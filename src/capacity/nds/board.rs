//! A batten laid flat, by the NDS.
//!
//! Aim: allowable bending and shear with their factors, deflection's modulus. Reason: the handbook values hold only with
//! width, flat use and load duration put in. Limits: NDS Supplement Table 4A is for 2 in to 4 in lumber; a board of 1 in nominal has
//! design values only if it is stress-rated, which the design must say.

use super::factors::{Duration, Moisture, Temperature};
use crate::capacity::fault::{NotComputed, finite, positive};
use crate::capacity::source::{Known, Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{INCH, LBF, LBF_INCH, PSI, num};
use crate::capacity::wood::Grade;

const TABLE_4A: Source = Source::new("NDS Supplement 2018 Table 4A factors", Mark::FromMemory);
const REPETITIVE: Source = Source::new("NDS-2018 4.3.9", Mark::FromMemory);
const BENDING: Source = Source::new("NDS-2018 3.3.2 and Table 4.3.1", Mark::FromMemory);
const SHEAR: Source = Source::new("NDS-2018 3.4.2", Mark::FromMemory);

/// A batten laid flat. Metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Board<'a> {
    /// Grade with its reference values.
    pub grade: &'a Grade,
    /// Width (along the slope), m.
    pub width: f64,
    /// Thickness (square to the slope), m.
    pub thickness: f64,
    /// Whether three or more battens at most 24 in apart share the load (Cr); not for a lone person.
    pub repetitive: bool,
    /// Moisture.
    pub moisture: Moisture,
    /// Sustained temperature.
    pub temperature: Temperature,
}

/// Section values, and the reference design values of the grade with their factors but for load duration (CD).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReferenceDesignValues {
    /// Section modulus, m3.
    pub section_modulus: f64,
    /// Second moment of area, m4.
    pub inertia: f64,
    /// Area, m2.
    pub area: f64,
    /// Fb with all factors but CD, Pa.
    pub bending: f64,
    /// Fv with all factors but CD, Pa.
    pub shear: f64,
    /// Fc-perp with its factors (no CD), Pa.
    pub across: f64,
    /// E', Pa.
    pub modulus: f64,
    /// Worst mark.
    pub mark: Mark,
}

/// Green and metric sizes lie a little beside the dressed ones, inches.
const GRACE: f64 = 0.07;

/// Size factor by the next larger and flat-use factor by the next smaller nominal width (dressed widths, inches).
fn width_factors(width: f64) -> Result<(f64, f64), NotComputed> {
    const ROWS: [(f64, f64, f64); 8] = [
        (1.5, 1.5, 1.0),
        (2.5, 1.5, 1.0),
        (3.5, 1.5, 1.1),
        (4.5, 1.4, 1.1),
        (5.5, 1.3, 1.15),
        (7.25, 1.2, 1.15),
        (9.25, 1.1, 1.2),
        (11.25, 1.0, 1.2),
    ];
    let w = width / INCH;
    let size = ROWS.iter().find(|r| w <= r.0 + GRACE).map(|r| r.1);
    let flat = ROWS.iter().rev().find(|r| w >= r.0 - GRACE).map_or(1.0, |r| r.2);
    size.map(|s| (s, flat)).ok_or(NotComputed::OutOfRange {
        what: "width of the batten, m",
        value: width,
        low: 0.0,
        high: 11.25 * INCH,
    })
}

struct Factors {
    size: f64,
    flat: f64,
    repetitive: f64,
    wet_bending: f64,
}

impl Board<'_> {
    fn factors(&self) -> Result<Factors, NotComputed> {
        let width = positive("width of the batten", self.width)?;
        positive("thickness of the batten", self.thickness)?;
        let (size, flat) = width_factors(width)?;
        if self.grade.widest.is_some_and(|most| width > most + GRACE * INCH) {
            return Err(NotComputed::NotCovered {
                what: "design values of the batten",
                why: "those of this species go by width, and only those of boards up to 4 in nominal are known here",
            });
        }
        let size = if self.grade.sized { size } else { 1.0 };
        let wet = self.moisture.wet_in_service() && self.grade.bending * size > 1150.0 * PSI;
        Ok(Factors {
            size,
            flat,
            repetitive: if self.repetitive { 1.15 } else { 1.0 },
            wet_bending: if wet { 0.85 } else { 1.0 },
        })
    }

    /// Section values and allowable stresses. Makes no text.
    ///
    /// # Errors
    /// Sizes that are not above zero or wider than the table.
    pub fn strength(&self) -> Result<ReferenceDesignValues, NotComputed> {
        let f = self.factors()?;
        let (b, t) = (self.width, self.thickness);
        let wet = self.moisture.wet_in_service();
        let ct = self.temperature.strength(wet).value;
        Ok(ReferenceDesignValues {
            section_modulus: b * t * t / 6.0,
            inertia: b * t * t * t / 12.0,
            area: b * t,
            bending: self.grade.bending * f.size * f.flat * f.repetitive * f.wet_bending * ct,
            shear: self.grade.shear * if wet { 0.97 } else { 1.0 } * ct,
            across: self.grade.across * if wet { 0.67 } else { 1.0 } * ct,
            modulus: self.grade.modulus * if wet { 0.9 } else { 1.0 } * self.temperature.stiffness().value,
            mark: self.grade.source.mark.max(TABLE_4A.mark),
        })
    }

    /// The hand calculation for the greatest moment (N m) and shear (N) under a load of this duration.
    ///
    /// # Errors
    /// As [`Board::strength`], and demands that are no numbers.
    pub fn steps(&self, moment: f64, shear: f64, duration: Duration) -> Result<Vec<Step>, NotComputed> {
        let f = self.factors()?;
        let s = self.strength()?;
        let (moment, shear) = (finite("moment", moment)?.abs(), finite("shear", shear)?.abs());
        let cd = duration.factor();
        let ct = self.temperature.strength(self.moisture.wet_in_service());
        let (b, t) = (num(self.width / INCH), num(self.thickness / INCH));
        let in3 = INCH * INCH * INCH;
        let mut steps = vec![
            Step::new(
                "S",
                "section modulus, laid flat",
                "b t^2 / 6",
                format!("{b} * {t}^2 / 6"),
                s.section_modulus / in3,
            )
            .unit("in3")
            .source(Source::GEOMETRY),
            Step::input("Fb", "reference bending value", self.grade.bending / PSI, "psi", self.grade.source),
            Step::input("CF", "size factor", f.size, "", TABLE_4A),
            Step::input("Cfu", "flat use factor", f.flat, "", TABLE_4A),
            Step::input("Cr", "repetitive member factor", f.repetitive, "", REPETITIVE),
            Step::input("CM", "moisture factor, bending", f.wet_bending, "", TABLE_4A),
            Step::input("Ct", "temperature factor", ct.value, "", ct.source),
            Step::input("CD", "load duration factor", cd.value, "", cd.source),
        ];
        let allowed = s.bending * cd.value;
        steps.push(
            Step::new(
                "Fb'",
                "allowable bending stress",
                "Fb CD CM Ct CF Cfu Cr",
                format!(
                    "{} * {} * {} * {} * {} * {} * {}",
                    num(self.grade.bending / PSI),
                    num(cd.value),
                    num(f.wet_bending),
                    num(ct.value),
                    num(f.size),
                    num(f.flat),
                    num(f.repetitive)
                ),
                allowed / PSI,
            )
            .unit("psi")
            .source(BENDING),
        );
        let stress = moment / s.section_modulus;
        steps.push(Step::input("M", "greatest moment", moment / LBF_INCH, "lbf in", Source::STATICS));
        steps.push(
            Step::new(
                "fb",
                "bending stress",
                "M / S",
                format!("{} / {}", num(moment / LBF_INCH), num(s.section_modulus / in3)),
                stress / PSI,
            )
            .unit("psi")
            .source(BENDING),
        );
        steps.push(Step::new(
            "u_bending",
            "bending over allowable",
            "fb / Fb'",
            format!("{} / {}", num(stress / PSI), num(allowed / PSI)),
            stress / allowed,
        ));
        let fv = 1.5 * shear / s.area;
        let allowed_v = s.shear * cd.value;
        steps.push(
            Step::new(
                "fv",
                "shear stress",
                "3 V / (2 b t)",
                format!("3 * {} / (2 * {b} * {t})", num(shear / LBF)),
                fv / PSI,
            )
            .unit("psi")
            .source(SHEAR),
        );
        steps.push(
            Step::new(
                "Fv'",
                "allowable shear stress",
                "Fv CD, Fv with CM and Ct",
                format!("{} * {}", num(s.shear / PSI), num(cd.value)),
                allowed_v / PSI,
            )
            .unit("psi")
            .source(SHEAR),
        );
        steps.push(Step::new(
            "u_shear",
            "shear over allowable",
            "fv / Fv'",
            format!("{} / {}", num(fv / PSI), num(allowed_v / PSI)),
            fv / allowed_v,
        ));
        Ok(steps)
    }
}

impl ReferenceDesignValues {
    /// Greatest moment for a load of this duration, N m.
    #[must_use]
    pub fn moment(&self, duration: Duration) -> f64 {
        self.bending * duration.factor().value * self.section_modulus
    }

    /// Greatest shear for a load of this duration, N.
    #[must_use]
    pub fn shear_force(&self, duration: Duration) -> f64 {
        self.shear * duration.factor().value * self.area / 1.5
    }

    /// Bending stiffness E' I, N m2.
    #[must_use]
    pub fn stiffness(&self) -> f64 {
        self.modulus * self.inertia
    }
}

/// The load of one person with tools on a roof (ASCE 7 Table 4.3-1, maintenance workers).
pub const PERSON: Known = Known::new(300.0 * LBF, Source::new("ASCE 7-16 Table 4.3-1: 300 lbf", Mark::FromMemory));
