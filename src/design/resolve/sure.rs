//! Which names stand although something is at fault.
//!
//! Aim: a name that belongs to nothing is told together with all other faults, and never because of one of them.
//! Reason: names follow from the drawing. A fault in a nail's length changes none; one in the rafters' spacing changes all.
//! Limits: whole tables count, where telling their keys apart would bring little.

/// Which names are as they would be without the faults.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sure {
    /// Members as drawn.
    pub members: bool,
    /// Members found beyond the drawing: names with a letter.
    pub added: bool,
    /// Lines as drawn.
    pub lines: bool,
    /// Courses as drawn.
    pub courses: bool,
    /// Courses that frame an opening, or that only a longer roof has: names with a letter.
    pub framing_courses: bool,
    /// Landings.
    pub landings: bool,
    /// There is no fault at all.
    pub everything: bool,
}

const SLOPES: &[&str] = &["roof", "slope", "edge", "opening"];
const FRAMING: &[&str] = &["rafters", "tails", "lookouts", "blocking", "trim", "member"];
const ADDED: &[&str] = &["found.added", "found.slope", "found.opening"];
const COURSES: &[&str] = &[
    "lattice.hold_back",
    "lattice.opening",
    "lattice.batten.nominal",
    "lattice.batten.width",
    "lattice.batten.spacing",
    "lattice.batten.first",
    "lattice.batten.last",
    "lattice.batten.start",
    "lattice.batten.joint",
    "lattice.batten.lap",
];
const LINES: &[&str] = &["lattice.strip"];
/// What a landing hangs on besides.
const LANDINGS: &[&str] = &["lattice", "fastening.spread", "landings", "landing", "gap", "joints", "found", "laid"];

impl Sure {
    /// What the keys of all faults leave as it is; the key of a file as a whole is empty.
    pub fn of<'a>(faults: impl Iterator<Item = &'a str>) -> Sure {
        let keys: Vec<String> = faults.map(plain).collect();
        let clear = |lists: &[&[&str]]| {
            // What a member is made of changes no name.
            let touches = |key: &String, of: &&str| {
                !key.ends_with(".wood") && (key.is_empty() || within(key, of) || within(of, key))
            };
            !keys.iter().any(|k| lists.iter().any(|l| l.iter().any(|of| touches(k, of))))
        };
        let members = clear(&[SLOPES, FRAMING]);
        let added = members && clear(&[ADDED]);
        let courses = clear(&[SLOPES, COURSES]);
        let lines = members && clear(&[LINES]);
        Sure {
            members,
            added,
            lines,
            courses,
            framing_courses: courses && lines && added,
            landings: added && lines && courses && clear(&[LANDINGS]),
            everything: keys.is_empty(),
        }
    }
}

/// A key without the numbers of tables.
fn plain(key: &str) -> String {
    let mut out = String::with_capacity(key.len());
    let mut inside = false;
    for c in key.chars() {
        match c {
            '[' => inside = true,
            ']' => inside = false,
            c if !inside => out.push(c),
            _ => {}
        }
    }
    out
}

/// Whether a key is another one or stands below it.
fn within(key: &str, of: &str) -> bool {
    key.strip_prefix(of).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_fault_touches_only_the_names_that_hang_on_it() {
        let of = |key: &str| Sure::of([key].into_iter());
        let loads = of("wind.speed");
        assert!(loads.members && loads.added && loads.courses && loads.framing_courses && loads.landings);
        let spacing = of("rafters[1].spacing");
        assert!(!spacing.members && !spacing.lines && !spacing.landings && spacing.courses && !spacing.framing_courses);
        let batten = of("lattice.batten.spacing");
        assert!(batten.members && batten.lines && !batten.courses && !batten.landings);
        let table = of("lattice.batten");
        assert!(table.members && !table.courses);
        let added = of("found.added[2].kind");
        assert!(added.members && !added.added && added.lines && added.courses && !added.framing_courses);
        let wood = of("lookouts[1].wood");
        assert!(wood.members && wood.lines && wood.landings && !wood.everything);
        assert!(!of("").members && !of("").courses && !of("latticework").everything && of("latticework").landings);
    }
}
