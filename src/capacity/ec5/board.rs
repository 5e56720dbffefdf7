//! A batten laid flat, by Eurocode 5.
//!
//! Aim: design values in bending and shear, stiffness for deflection. Reason: the thin batten gains by the size factor.
//! Limits: solid timber of a strength class; instant deflection (no creep).

use super::factors::{Duration, GAMMA_TIMBER, ServiceClass, kmod};
use crate::capacity::fault::{NotComputed, finite, positive};
use crate::capacity::source::{Mark, Source};
use crate::capacity::step::Step;
use crate::capacity::units::{MM, N_PER_MM2, num};
use crate::capacity::wood::StrengthClass;
use crate::quantity::maths::pow;

const SIZE: Source = Source::new("EN 1995-1-1 3.2(3) (3.1)", Mark::FromMemory);
const BENDING: Source = Source::new("EN 1995-1-1 6.1.6 and 2.4.1", Mark::FromMemory);
const SHEAR: Source = Source::new("EN 1995-1-1 6.1.7, kcr 0.67", Mark::FromMemory);
/// Share of the width that counts in shear.
const CRACKS: f64 = 0.67;

/// A batten laid flat. Metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Board<'a> {
    /// Strength class.
    pub class: &'a StrengthClass,
    /// Width (along the slope), m.
    pub width: f64,
    /// Thickness (square to the slope), m.
    pub thickness: f64,
    /// Service class.
    pub service: ServiceClass,
}

/// Section values, and the characteristic values of the strength class with the size factor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CharacteristicValues {
    /// Section modulus, m3.
    pub section_modulus: f64,
    /// Second moment of area, m4.
    pub inertia: f64,
    /// Area, m2.
    pub area: f64,
    /// k_h fm,k, Pa.
    pub bending: f64,
    /// fv,k, Pa.
    pub shear: f64,
    /// Mean modulus of elasticity, Pa.
    pub modulus: f64,
    /// Service class.
    pub service: ServiceClass,
    /// Worst mark.
    pub mark: Mark,
}

impl Board<'_> {
    fn size_factor(&self) -> f64 {
        let h = self.thickness / MM;
        if h >= 150.0 { 1.0 } else { pow(150.0 / h, 0.2).min(1.3) }
    }

    /// Section values and strengths. Makes no text.
    ///
    /// # Errors
    /// Sizes that are not above zero.
    pub fn strength(&self) -> Result<CharacteristicValues, NotComputed> {
        let b = positive("width of the batten", self.width)?;
        let t = positive("thickness of the batten", self.thickness)?;
        Ok(CharacteristicValues {
            section_modulus: b * t * t / 6.0,
            inertia: b * t * t * t / 12.0,
            area: b * t,
            bending: self.class.bending * self.size_factor(),
            shear: self.class.shear,
            modulus: self.class.modulus,
            service: self.service,
            mark: self.class.source.mark.max(SIZE.mark),
        })
    }

    /// The hand calculation for the greatest design moment (N m) and shear (N) under a load of this duration.
    ///
    /// # Errors
    /// As [`Board::strength`], and demands that are no numbers.
    pub fn steps(&self, moment: f64, shear: f64, duration: Duration) -> Result<Vec<Step>, NotComputed> {
        let s = self.strength()?;
        let (moment, shear) = (finite("moment", moment)?.abs(), finite("shear", shear)?.abs());
        let k = kmod(duration, self.service);
        let (b, t) = (num(self.width / MM), num(self.thickness / MM));
        let w = s.section_modulus / (MM * MM * MM);
        let allowed = s.moment_stress(duration) / N_PER_MM2;
        let kh = self.size_factor();
        let fm = self.class.bending / N_PER_MM2;
        let fv = self.class.shear / N_PER_MM2;
        let stress = moment / s.section_modulus / N_PER_MM2;
        let tau = 1.5 * shear / (CRACKS * s.area) / N_PER_MM2;
        let allowed_v = fv * k.value / GAMMA_TIMBER.value;
        let (kn, gn) = (num(k.value), num(GAMMA_TIMBER.value));
        let mut steps = vec![
            Step::new("W", "section modulus, laid flat", "b t^2 / 6", format!("{b} * {t}^2 / 6"), w)
                .unit("mm3")
                .source(Source::GEOMETRY),
            Step::input("f_m,k", "characteristic bending strength", fm, "N/mm2", self.class.source),
            Step::new(
                "k_h",
                "size factor",
                "min((150/h)^0.2, 1.3), at least 1",
                format!("max(1, min((150/{t})^0.2, 1.3))"),
                kh,
            )
            .source(SIZE),
            Step::input("kmod", "modification factor", k.value, "", k.source),
            Step::input("gamma_M", "partial factor of solid timber", GAMMA_TIMBER.value, "", GAMMA_TIMBER.source),
            Step::new(
                "f_m,d",
                "design bending strength",
                "kmod k_h f_m,k / gamma_M",
                format!("{kn} * {} * {} / {gn}", num(kh), num(fm)),
                allowed,
            )
            .unit("N/mm2")
            .source(BENDING),
            Step::input("M_d", "greatest design moment", moment, "N m", Source::STATICS),
            Step::new(
                "sigma_m,d",
                "bending stress",
                "1000 M_d / W",
                format!("1000 * {} / {}", num(moment), num(w)),
                stress,
            )
            .unit("N/mm2")
            .source(BENDING),
            Step::new(
                "u_bending",
                "bending over strength",
                "sigma_m,d / f_m,d",
                format!("{} / {}", num(stress), num(allowed)),
                stress / allowed,
            ),
        ];
        steps.push(
            Step::new(
                "tau_d",
                "shear stress",
                "3 V / (2 kcr b t)",
                format!("3 * {} / (2 * 0.67 * {b} * {t})", num(shear)),
                tau,
            )
            .unit("N/mm2")
            .source(SHEAR),
        );
        steps.push(
            Step::new(
                "f_v,d",
                "design shear strength",
                "kmod f_v,k / gamma_M",
                format!("{kn} * {} / {gn}", num(fv)),
                allowed_v,
            )
            .unit("N/mm2")
            .source(SHEAR),
        );
        steps.push(Step::new(
            "u_shear",
            "shear over strength",
            "tau_d / f_v,d",
            format!("{} / {}", num(tau), num(allowed_v)),
            tau / allowed_v,
        ));
        Ok(steps)
    }
}

impl CharacteristicValues {
    fn moment_stress(&self, duration: Duration) -> f64 {
        self.bending * kmod(duration, self.service).value / GAMMA_TIMBER.value
    }

    /// Design moment for a load of this duration, N m.
    #[must_use]
    pub fn moment(&self, duration: Duration) -> f64 {
        self.moment_stress(duration) * self.section_modulus
    }

    /// Design shear force for a load of this duration, N.
    #[must_use]
    pub fn shear_force(&self, duration: Duration) -> f64 {
        self.shear * kmod(duration, self.service).value / GAMMA_TIMBER.value * CRACKS * self.area / 1.5
    }

    /// Bending stiffness E I with the mean modulus, N m2.
    #[must_use]
    pub fn stiffness(&self) -> f64 {
        self.modulus * self.inertia
    }
}
