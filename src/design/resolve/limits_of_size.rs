//! Refusing absurd sizes before any memory is touched for them.

use super::super::model::Design;
use super::super::reader::Reader;
use crate::quantity::Length;

/// The most landings that a design may ask for. A roof of a million is large; this is past any roof.
pub const MOST_LANDINGS: f64 = 5e6;
/// The most members of one field, or nails of one strap.
pub const MOST_OF_A_FIELD: f64 = 1e5;

/// Notes a fault for every field that would make more parts than any roof has. `true` where there is none.
pub fn refuse_absurd(r: &mut Reader<'_>, d: &Design) -> bool {
    let before = r.faults.len();
    let mut landings = 0.0;
    for slope in &d.slopes {
        let extent = |pick: fn(&(Length, Length)) -> Length| {
            slope.found_outline.iter().flatten().chain(&slope.outline).map(|c| pick(c).metres()).fold(0.0, f64::max)
        };
        let (width, height) = (extent(|c| c.0), extent(|c| c.1));
        let courses = height / d.lattice.batten.spacing.metres() + 2.0;
        let lines: f64 = d.rafters.iter().map(|f| width / f.spacing.metres() + 2.0).sum();
        landings += courses * lines.max(1.0);
        if courses > MOST_OF_A_FIELD {
            r.fault(
                0..0,
                "lattice.batten.spacing",
                format!("{courses:.0} courses on slope {}", slope.name),
                "is the spacing in the right unit?",
            );
        }
        for f in &d.rafters {
            if width / f.spacing.metres() > MOST_OF_A_FIELD {
                r.fault(
                    0..0,
                    "rafters.spacing",
                    format!("{:.0} members in the field of line {}", width / f.spacing.metres(), f.line),
                    "is the spacing in the right unit?",
                );
            }
        }
        for f in &d.lookouts {
            if height / f.spacing.metres() > MOST_OF_A_FIELD {
                r.fault(
                    0..0,
                    "lookouts.spacing",
                    format!("{:.0} lookouts in the field of line {}", height / f.spacing.metres(), f.line),
                    "is the spacing in the right unit?",
                );
            }
        }
        let strips = height / d.lattice.strip.stock.metres() + width / d.lattice.vent.stock.metres();
        if strips > MOST_OF_A_FIELD {
            r.fault(
                0..0,
                "lattice.strip.stock",
                "strips or vent pieces in too many pieces",
                "is the stock length in the right unit?",
            );
        }
        if width / d.lattice.batten.least_piece.metres() > MOST_OF_A_FIELD {
            r.fault(
                0..0,
                "lattice.batten.least_piece",
                "a course in too many pieces",
                "is the length in the right unit?",
            );
        }
        if d.straps.iter().any(|s| (s.high - s.low).metres() / s.nails.spacing.metres() > 1000.0) {
            r.fault(
                0..0,
                "straps.nails.spacing",
                "a strap with more than a thousand nails",
                "is the spacing in the right unit?",
            );
        }
        if d.landing_rules.iter().any(|l| l.spacing.is_some_and(|s| width / s.metres() > MOST_OF_A_FIELD)) {
            r.fault(0..0, "landings.spacing", "landings too close together", "is the spacing in the right unit?");
        }
    }
    if landings > MOST_LANDINGS && r.faults.len() == before {
        r.fault(
            0..0,
            "lattice.batten.spacing",
            format!("about {landings:.0} landings"),
            "the most that is taken is 5 million; are the sizes in the right unit?",
        );
    }
    r.faults.len() == before
}
