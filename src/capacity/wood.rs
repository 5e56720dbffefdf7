//! Species, grades and strength classes.
//!
//! Aim: the values that the rules of NDS and Eurocode 5 start from. Reason: a name in a design file must become numbers
//! with a source. Limits: the species and grades listed here; another wood is given by its own numbers.

use super::fault::NotComputed;
use super::source::{Mark, Source};
use super::units::{INCH, PSI};

const NDS_GRAVITY: Source = Source::new("NDS-2018 Table 12.3.3A", Mark::FromMemory);
const NDS_GRAVITY_SEEN: Source = Source::new("NDS-2018 Table 12.3.3A", Mark::Published);
const NDS_GRADE: Source = Source::new("NDS Supplement 2018 Table 4A", Mark::FromMemory);
const NDS_GRADE_SP: Source = Source::new("NDS Supplement 2018 Table 4B", Mark::FromMemory);
const EN_338: Source = Source::new("EN 338:2016 Table 1", Mark::FromMemory);
const EN_338_SHAKY: Source = Source::new("EN 338:2016 Table 1", Mark::Shaky);

/// A species group of the NDS with its specific gravity (oven-dry weight and volume).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// Name as written in a design.
    pub name: &'static str,
    /// Short name.
    pub short: &'static str,
    /// Specific gravity G.
    pub gravity: f64,
    /// Where G comes from.
    pub source: Source,
}

const fn species_row(name: &'static str, short: &'static str, gravity: f64, source: Source) -> Species {
    Species { name, short, gravity, source }
}

impl Species {
    /// Density at 15 % moisture, kg/m3: NDS Supplement, `62.4 G / (1 + 0.009 G mc) (1 + mc / 100)` lb/ft3 (`from memory`).
    #[must_use]
    pub fn density(&self) -> f64 {
        const MOISTURE: f64 = 15.0;
        let pounds = 62.4 * self.gravity / (1.0 + 0.009 * self.gravity * MOISTURE) * (1.0 + MOISTURE / 100.0);
        pounds * 0.453_592_37 / (0.3048 * 0.3048 * 0.3048)
    }
}

/// All species groups.
pub const SPECIES: [Species; 13] = [
    species_row("southern pine", "SP", 0.55, NDS_GRAVITY_SEEN),
    species_row("douglas fir-larch", "DF-L", 0.50, NDS_GRAVITY_SEEN),
    species_row("douglas fir-larch north", "DF-L north", 0.49, NDS_GRAVITY),
    species_row("douglas fir south", "DF south", 0.46, NDS_GRAVITY),
    species_row("hem-fir north", "HF north", 0.46, NDS_GRAVITY),
    species_row("hem-fir", "HF", 0.43, NDS_GRAVITY),
    species_row("spruce-pine-fir", "SPF", 0.42, NDS_GRAVITY_SEEN),
    species_row("redwood close grain", "redwood close", 0.44, NDS_GRAVITY),
    species_row("redwood open grain", "redwood open", 0.37, NDS_GRAVITY),
    species_row("spruce-pine-fir south", "SPF south", 0.36, NDS_GRAVITY),
    species_row("western cedars", "WC", 0.36, NDS_GRAVITY),
    species_row("western woods", "WW", 0.36, NDS_GRAVITY),
    species_row("western red cedar", "WRC", 0.36, NDS_GRAVITY),
];

fn plain(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// The species of that name or short name; case, blanks and hyphens do not count.
///
/// # Errors
/// [`NotComputed::Unknown`] with the known names.
pub fn species(name: &str) -> Result<&'static Species, NotComputed> {
    let wanted = plain(name);
    SPECIES.iter().find(|s| plain(s.name) == wanted || plain(s.short) == wanted).ok_or_else(|| NotComputed::Unknown {
        what: "species",
        name: name.to_string(),
        known: SPECIES.iter().map(|s| s.name).collect(),
    })
}

/// Reference design values of a visual grade (NDS Supplement Table 4A, 2 in to 4 in thick; for boards of 1 in nominal
/// only if they are stress-rated). Pascals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grade {
    /// Short name of the species.
    pub species: &'static str,
    /// Grade.
    pub grade: &'static str,
    /// Bending Fb, Pa.
    pub bending: f64,
    /// Shear Fv, Pa.
    pub shear: f64,
    /// Compression across the grain Fc-perp, Pa.
    pub across: f64,
    /// Modulus of elasticity E, Pa.
    pub modulus: f64,
    /// Whether the size factor of Table 4A applies (it is 1 for Standard).
    pub sized: bool,
    /// Dressed width of the widest board that the values are for, m; `None`: all widths, by the size factor.
    pub widest: Option<f64>,
    /// Where the values come from.
    pub source: Source,
}

const fn grade_row(species: &'static str, grade: &'static str, psi: [f64; 4], sized: bool) -> Grade {
    let [fb, fv, fc, e] = psi;
    Grade {
        species,
        grade,
        bending: fb * PSI,
        shear: fv * PSI,
        across: fc * PSI,
        modulus: e * PSI,
        sized,
        widest: None,
        source: NDS_GRADE,
    }
}

/// Southern pine has values for each width (Table 4B); these are for 2 in to 4 in nominal.
const fn southern_row(grade: &'static str, psi: [f64; 4]) -> Grade {
    Grade { widest: Some(3.5 * INCH), source: NDS_GRADE_SP, ..grade_row("SP", grade, psi, false) }
}

/// All grades.
pub const GRADES: [Grade; 11] = [
    grade_row("SPF", "No.1", [875.0, 135.0, 425.0, 1.4e6], true),
    grade_row("SPF", "No.2", [875.0, 135.0, 425.0, 1.4e6], true),
    grade_row("SPF", "Standard", [550.0, 135.0, 425.0, 1.2e6], false),
    grade_row("HF", "No.2", [850.0, 150.0, 405.0, 1.3e6], true),
    grade_row("DF-L", "No.2", [900.0, 180.0, 625.0, 1.6e6], true),
    southern_row("No.1", [1500.0, 175.0, 565.0, 1.6e6]),
    southern_row("No.2", [1100.0, 175.0, 565.0, 1.4e6]),
    southern_row("No.3", [650.0, 175.0, 565.0, 1.3e6]),
    southern_row("Stud", [650.0, 175.0, 565.0, 1.3e6]),
    southern_row("Construction", [875.0, 175.0, 565.0, 1.4e6]),
    southern_row("Standard", [475.0, 175.0, 565.0, 1.2e6]),
];

/// The grade of a species.
///
/// # Errors
/// [`NotComputed::Unknown`] with the known grades of that species, or that there are none.
pub fn grade(of: &Species, name: &str) -> Result<&'static Grade, NotComputed> {
    let wanted = plain(name);
    GRADES.iter().find(|g| g.species == of.short && plain(g.grade) == wanted).ok_or_else(|| NotComputed::Unknown {
        what: "grade",
        name: format!("{} {name}", of.short),
        known: GRADES.iter().filter(|g| g.species == of.short).map(|g| g.grade).collect(),
    })
}

/// A strength class of EN 338. Pascals, kg/m3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StrengthClass {
    /// Name.
    pub name: &'static str,
    /// Characteristic bending strength, Pa.
    pub bending: f64,
    /// Characteristic shear strength, Pa.
    pub shear: f64,
    /// Characteristic compression across the grain, Pa.
    pub across: f64,
    /// Mean modulus of elasticity along the grain, Pa.
    pub modulus: f64,
    /// Characteristic density, kg/m3.
    pub density: f64,
    /// Where the values come from.
    pub source: Source,
}

const fn class_row(name: &'static str, n_mm2: [f64; 4], density: f64, source: Source) -> StrengthClass {
    let [fm, fv, fc, e] = n_mm2;
    StrengthClass { name, bending: fm * 1e6, shear: fv * 1e6, across: fc * 1e6, modulus: e * 1e6, density, source }
}

impl StrengthClass {
    /// Mean density, kg/m3: 1.2 times the characteristic one, as in EN 338 (`from memory`).
    #[must_use]
    pub fn mean_density(&self) -> f64 {
        1.2 * self.density
    }
}

/// All strength classes.
pub const CLASSES: [StrengthClass; 8] = [
    class_row("C14", [14.0, 3.0, 2.0, 7000.0], 290.0, EN_338),
    class_row("C16", [16.0, 3.2, 2.2, 8000.0], 310.0, EN_338),
    class_row("C18", [18.0, 3.4, 2.2, 9000.0], 320.0, EN_338),
    class_row("C20", [20.0, 3.6, 2.3, 9500.0], 330.0, EN_338),
    class_row("C22", [22.0, 3.8, 2.4, 10000.0], 340.0, EN_338),
    class_row("C24", [24.0, 4.0, 2.5, 11000.0], 350.0, EN_338),
    class_row("C27", [27.0, 4.0, 2.5, 11500.0], 360.0, EN_338_SHAKY),
    class_row("C30", [30.0, 4.0, 2.7, 12000.0], 380.0, EN_338),
];

/// The strength class of that name.
///
/// # Errors
/// [`NotComputed::Unknown`] with the known classes.
pub fn strength_class(name: &str) -> Result<&'static StrengthClass, NotComputed> {
    let wanted = plain(name);
    CLASSES.iter().find(|c| plain(c.name) == wanted).ok_or_else(|| NotComputed::Unknown {
        what: "strength class",
        name: name.to_string(),
        known: CLASSES.iter().map(|c| c.name).collect(),
    })
}
