//! The coefficients that come along.
//!
//! Aim: one place to read and replace them. Reason: each edition has its own, and each row its mark. Limits: 7-10 is the set
//! that published tables could be held against; it is superseded. What is missing is not covered.

use super::asce::{Edition, Roof, Row, Side, Table};
use crate::capacity::source::Mark;

const BOTH: &[Roof] = &[Roof::Gable, Roof::Hip];
const MONO: &[Roof] = &[Roof::Monoslope];
const GABLE: &[Roof] = &[Roof::Gable];

/// Zone, points.
type Line = (&'static str, &'static [(f64, f64)]);

struct Group {
    edition: Edition,
    roofs: &'static [Roof],
    overhang: bool,
    slope: (f64, f64),
    side: Side,
    mark: Mark,
    note: &'static str,
    lines: &'static [Line],
}

const fn group(
    edition: Edition,
    roofs: &'static [Roof],
    slope: (f64, f64),
    mark: Mark,
    lines: &'static [Line],
) -> Group {
    Group { edition, roofs, overhang: false, slope, side: Side::Suction, mark, note: "", lines }
}

const fn pressing(mut g: Group) -> Group {
    g.side = Side::Pressure;
    g
}

const fn hanging(mut g: Group) -> Group {
    g.overhang = true;
    g
}

const fn noted(mut g: Group, note: &'static str) -> Group {
    g.note = note;
    g
}

use Edition::{Asce7_10, Asce7_16, Asce7_22};
use Mark::{FromMemory, Shaky, Validated};

const TEN_END: &str = "only the value of the smallest area is recalled; it is used for every area";

const GROUPS: [Group; 23] = [
    group(
        Asce7_10,
        BOTH,
        (0.0, 7.0),
        Validated,
        &[
            ("1", &[(10.0, -1.0), (100.0, -0.9)]),
            ("2", &[(10.0, -1.8), (100.0, -1.1)]),
            ("3", &[(10.0, -2.8), (100.0, -1.1)]),
        ],
    ),
    pressing(group(Asce7_10, BOTH, (0.0, 7.0), Validated, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
    group(
        Asce7_10,
        BOTH,
        (7.0, 27.0),
        Validated,
        &[
            ("1", &[(10.0, -0.9), (100.0, -0.8)]),
            ("2", &[(10.0, -1.7), (100.0, -1.2)]),
            ("3", &[(10.0, -2.6), (100.0, -2.0)]),
        ],
    ),
    pressing(group(Asce7_10, BOTH, (7.0, 27.0), Validated, &[("all", &[(10.0, 0.5), (100.0, 0.3)])])),
    group(
        Asce7_10,
        BOTH,
        (27.0, 45.0),
        Validated,
        &[
            ("1", &[(10.0, -1.0), (100.0, -0.8)]),
            ("2", &[(10.0, -1.2), (100.0, -1.0)]),
            ("3", &[(10.0, -1.2), (100.0, -1.0)]),
        ],
    ),
    pressing(group(Asce7_10, BOTH, (27.0, 45.0), Validated, &[("all", &[(10.0, 0.9), (100.0, 0.8)])])),
    hanging(group(
        Asce7_10,
        BOTH,
        (0.0, 7.0),
        FromMemory,
        &[
            ("1", &[(10.0, -1.7), (100.0, -1.6), (500.0, -1.1)]),
            ("2", &[(10.0, -1.7), (100.0, -1.6), (500.0, -1.1)]),
            ("3", &[(10.0, -2.8), (100.0, -0.8)]),
        ],
    )),
    hanging(group(
        Asce7_10,
        BOTH,
        (7.0, 27.0),
        FromMemory,
        &[("2", &[(10.0, -2.2)]), ("3", &[(10.0, -3.7), (100.0, -2.5)])],
    )),
    hanging(group(
        Asce7_10,
        BOTH,
        (27.0, 45.0),
        FromMemory,
        &[("2", &[(10.0, -2.0), (100.0, -1.8)]), ("3", &[(10.0, -2.0), (100.0, -1.8)])],
    )),
    group(
        Asce7_10,
        MONO,
        (0.0, 3.0),
        FromMemory,
        &[
            ("1", &[(10.0, -1.0), (100.0, -0.9)]),
            ("2", &[(10.0, -1.8), (100.0, -1.1)]),
            ("3", &[(10.0, -2.8), (100.0, -1.1)]),
        ],
    ),
    pressing(group(Asce7_10, MONO, (0.0, 3.0), FromMemory, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
    group(
        Asce7_10,
        MONO,
        (3.0, 10.0),
        FromMemory,
        &[
            ("1", &[(10.0, -1.1)]),
            ("2", &[(10.0, -1.3), (100.0, -1.2)]),
            ("2'", &[(10.0, -1.6), (100.0, -1.5)]),
            ("3", &[(10.0, -1.8), (100.0, -1.2)]),
            ("3'", &[(10.0, -2.6), (100.0, -1.6)]),
        ],
    ),
    group(
        Asce7_10,
        MONO,
        (10.0, 30.0),
        FromMemory,
        &[
            ("1", &[(10.0, -1.3), (100.0, -1.1)]),
            ("2", &[(10.0, -1.6), (100.0, -1.2)]),
            ("3", &[(10.0, -2.9), (100.0, -2.0)]),
        ],
    ),
    group(
        Asce7_16,
        BOTH,
        (0.0, 7.0),
        FromMemory,
        &[
            ("1'", &[(100.0, -0.9), (1000.0, -0.4)]),
            ("1", &[(10.0, -1.7), (500.0, -1.0)]),
            ("2", &[(10.0, -2.3), (500.0, -1.4)]),
            ("3", &[(10.0, -3.2), (500.0, -1.4)]),
        ],
    ),
    pressing(group(Asce7_16, BOTH, (0.0, 7.0), FromMemory, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
    noted(
        group(
            Asce7_16,
            GABLE,
            (7.0, 20.0),
            Shaky,
            &[
                ("1", &[(10.0, -2.0)]),
                ("2e", &[(10.0, -2.0)]),
                ("2n", &[(10.0, -3.0)]),
                ("2r", &[(10.0, -3.0)]),
                ("3e", &[(10.0, -3.0)]),
                ("3r", &[(10.0, -3.6)]),
            ],
        ),
        TEN_END,
    ),
    noted(
        group(
            Asce7_16,
            GABLE,
            (20.0, 27.0),
            Shaky,
            &[
                ("1", &[(10.0, -1.5)]),
                ("2e", &[(10.0, -1.5)]),
                ("2n", &[(10.0, -2.5)]),
                ("2r", &[(10.0, -2.5)]),
                ("3e", &[(10.0, -2.5)]),
                // Recalled as -3.0 to -3.6.
                ("3r", &[(10.0, -3.6)]),
            ],
        ),
        TEN_END,
    ),
    noted(
        group(
            Asce7_16,
            GABLE,
            (27.0, 45.0),
            Shaky,
            &[
                ("1", &[(10.0, -1.8)]),
                ("2e", &[(10.0, -1.8)]),
                ("2n", &[(10.0, -2.0)]),
                ("2r", &[(10.0, -1.8)]),
                ("3e", &[(10.0, -2.5)]),
                ("3r", &[(10.0, -2.0)]),
            ],
        ),
        TEN_END,
    ),
    pressing(group(Asce7_16, GABLE, (7.0, 20.0), Shaky, &[("all", &[(2.0, 0.7), (100.0, 0.3)])])),
    noted(
        group(
            Asce7_22,
            BOTH,
            (0.0, 7.0),
            Shaky,
            &[
                ("1'", &[(100.0, -0.9), (1000.0, -0.4)]),
                ("1", &[(10.0, -1.7), (500.0, -1.0)]),
                ("2", &[(10.0, -2.3), (500.0, -1.4)]),
                ("3", &[(10.0, -3.2), (500.0, -1.4)]),
            ],
        ),
        "taken over from the edition before it",
    ),
    noted(
        pressing(group(Asce7_22, BOTH, (0.0, 7.0), Shaky, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
        "taken over from the edition before it",
    ),
    noted(
        group(
            Asce7_16,
            MONO,
            (0.0, 3.0),
            FromMemory,
            &[
                ("1'", &[(100.0, -0.9), (1000.0, -0.4)]),
                ("1", &[(10.0, -1.7), (500.0, -1.0)]),
                ("2", &[(10.0, -2.3), (500.0, -1.4)]),
                ("3", &[(10.0, -3.2), (500.0, -1.4)]),
            ],
        ),
        "level and nearly level roofs of any shape",
    ),
    pressing(group(Asce7_16, MONO, (0.0, 3.0), FromMemory, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
];

/// All shipped coefficients, to be used, printed, or replaced.
#[must_use]
pub fn shipped() -> Table {
    let mut rows = Vec::new();
    for g in &GROUPS {
        for (zone, points) in g.lines {
            rows.push(Row {
                edition: g.edition,
                roofs: g.roofs.to_vec(),
                overhang: g.overhang,
                above: g.slope.0,
                up_to: g.slope.1,
                zone: (*zone).to_string(),
                side: g.side,
                points: points.to_vec(),
                mark: g.mark,
                note: g.note.to_string(),
            });
        }
    }
    Table { coefficient: rows }
}
