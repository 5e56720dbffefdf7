//! Stand-ins for parts of a design that are at fault.
//!
//! Aim: names of members, lines, courses and landings can be judged although something else is wrong.
//! Reason: a builder wants to hear of all faults in one run, and most faults change no name.
//! Limits: a design with a stand-in is asked for names and then thrown away.

use serde::Deserialize;

use super::super::file::DesignFile;
use super::super::model::*;
use super::super::reader::Reader;
use super::{buying, lattice, loads, tolerance};

/// A plain roof's lattice and fasteners, everything else left out.
const TEXT: &str = r#"
[lattice]
batten = { nominal = "1x4", spacing = "16 in" }
[fastening]
diameter = "1/8 in"
length = "3 in"
[strength]
"#;

/// Parts of a plain design.
pub struct Blank {
    pub lattice: LatticeSpec,
    pub fastening: Fastening,
    pub limits: Limits,
    pub tolerance: (Option<Tolerance>, Given<crate::quantity::Angle>),
    pub aim: AimSpec,
    pub loads: Loads,
    pub buying: Buying,
}

impl Blank {
    /// The parts; always there, which a test shows.
    pub fn new() -> Option<Blank> {
        let file = DesignFile::deserialize(toml::Deserializer::parse(TEXT).ok()?).ok()?;
        let r = &mut Reader::new(TEXT);
        let lattice = lattice::parts(r, &file).whole()?;
        let fastening = lattice::fastening(r, &file, &lattice.batten)?;
        Some(Blank {
            limits: lattice::limits(r, &file, &fastening)?,
            tolerance: tolerance::tolerance(r, &file)?,
            aim: tolerance::aim(r, &file, &fastening)?,
            loads: loads::loads(r, &file, (&[], false))?,
            buying: buying::buying(r, &file, Some(&lattice.batten.stock.value))?,
            lattice,
            fastening,
        })
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn there_are_stand_ins() {
        assert!(super::Blank::new().is_some());
    }
}
