//! The coefficients that come along.
//!
//! Aim: one place to read and replace them. Reason: each edition has its own, and each row its mark. Limits: 7-10 is the set
//! that published tables could be held against; it is superseded. Rows of 7-22 count as published where a worked example of
//! its guide bears them out, or the commentary of CIRSOC 102-2025, which adopts its figures and prints them as equations;
//! the standard itself was not at hand. What is missing is not covered.

use super::coefficient::{Row, Side, Table};
use super::{Edition, Roof};
use crate::capacity::source::Mark;

const BOTH: &[Roof] = &[Roof::Gable, Roof::Hip];
const MONO: &[Roof] = &[Roof::Monoslope];
const GABLE: &[Roof] = &[Roof::Gable];
const HIP: &[Roof] = &[Roof::Hip];
const ANY: &[Roof] = &[Roof::Gable, Roof::Hip, Roof::Monoslope];

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
    /// The same zones at the smallest slope of the group, where the coefficient goes straight over the slope.
    flattest: &'static [Line],
}

const fn group(
    edition: Edition,
    roofs: &'static [Roof],
    slope: (f64, f64),
    mark: Mark,
    lines: &'static [Line],
) -> Group {
    Group { edition, roofs, overhang: false, slope, side: Side::Suction, mark, note: "", lines, flattest: &[] }
}

const fn pressing(mut g: Group) -> Group {
    g.side = Side::Pressure;
    g
}

const fn hanging(mut g: Group) -> Group {
    g.overhang = true;
    g
}

const fn from_below(mut g: Group) -> Group {
    g.overhang = true;
    g.side = Side::Below;
    g
}

/// Straight over the slope, from these lines at its smallest.
const fn rising(mut g: Group, flattest: &'static [Line]) -> Group {
    g.flattest = flattest;
    g
}

const fn noted(mut g: Group, note: &'static str) -> Group {
    g.note = note;
    g
}

use Edition::{Asce7_10, Asce7_16, Asce7_22};
use Mark::{FromMemory, Published, Shaky, Validated};

const ONE_TEXT: &str = "points as one public transcription of the figure has them; verify against your copy";
const ADOPTED: &str = "points as the equations of CIRSOC 102-2025, Tables C 5.3-1 to C 5.3-8, which adopt this edition's figures, as two \
                       public transcriptions have them";
const ADOPTED_FIGURE: &str = "points as two public readings of CIRSOC 102-2025, Figures 5.3-5A and 5.3-5B, which adopt this edition's, have them";
const CONFIRMED: &str =
    "points as a public transcription of the figure has them, compared with a published worked example";
const SAME_BEFORE_AND_AFTER: &str = "the same in the editions before and after it";
const FORMULAS: &str = "the figure's formulas over the slope, as one public transcription has them, at the smallest area, which is the worst";
const WORSE_RATIO: &str = "of the two cases of height to width, the worse; verify against your copy";

/// Roofs up to 7 degrees (single slopes: 3) since 7-16.
const LOW_SLOPE: &[Line] = &[
    ("1'", &[(100.0, -0.9), (1000.0, -0.4)]),
    ("1", &[(10.0, -1.7), (500.0, -1.0)]),
    ("2", &[(10.0, -2.3), (500.0, -1.4)]),
    ("3", &[(10.0, -3.2), (500.0, -1.4)]),
];
/// Their overhangs.
const LOW_OVERHANG: &[Line] = &[
    ("1'", &[(10.0, -1.7), (100.0, -1.6), (500.0, -1.0)]),
    ("1", &[(10.0, -1.7), (100.0, -1.6), (500.0, -1.0)]),
    ("2", &[(10.0, -2.3), (500.0, -1.1)]),
    ("3", &[(10.0, -3.2), (500.0, -1.1)]),
];

/// Single slopes of 3 to 10 degrees, in every edition.
const MONO_TO_10: &[Line] = &[
    ("1", &[(10.0, -1.1)]),
    ("2", &[(10.0, -1.3), (100.0, -1.2)]),
    ("2'", &[(10.0, -1.6), (100.0, -1.5)]),
    ("3", &[(10.0, -1.8), (100.0, -1.2)]),
    ("3'", &[(10.0, -2.6), (100.0, -1.6)]),
];
/// Of 10 to 30 degrees.
const MONO_TO_30: &[Line] = &[
    ("1", &[(10.0, -1.3), (100.0, -1.1)]),
    ("2", &[(10.0, -1.6), (100.0, -1.2)]),
    ("3", &[(10.0, -2.9), (100.0, -2.0)]),
];
/// Hips of 20 to 27 degrees in 7-22, from whose last the figure for 45 degrees is reached.
const HIP_TO_27: &[Line] = &[
    ("1", &[(10.0, -1.4), (200.0, -0.8)]),
    ("2", &[(10.0, -2.0), (200.0, -1.0)]),
    ("3", &[(10.0, -2.0), (200.0, -1.0)]),
];

const GROUPS: &[Group] = &[
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
    group(Asce7_10, MONO, (3.0, 10.0), FromMemory, MONO_TO_10),
    group(Asce7_10, MONO, (10.0, 30.0), FromMemory, MONO_TO_30),
    group(Asce7_16, BOTH, (0.0, 7.0), FromMemory, LOW_SLOPE),
    pressing(group(Asce7_16, BOTH, (0.0, 7.0), FromMemory, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
    noted(
        group(
            Asce7_16,
            GABLE,
            (7.0, 20.0),
            FromMemory,
            &[
                ("1", &[(20.0, -2.0), (100.0, -0.5)]),
                ("2e", &[(20.0, -2.0), (100.0, -0.5)]),
                ("2n", &[(10.0, -3.0), (250.0, -1.0)]),
                ("2r", &[(10.0, -3.0), (250.0, -1.0)]),
                ("3e", &[(10.0, -3.0), (250.0, -1.0)]),
                ("3r", &[(10.0, -3.6), (100.0, -1.8)]),
            ],
        ),
        ONE_TEXT,
    ),
    noted(
        group(
            Asce7_16,
            GABLE,
            (20.0, 27.0),
            FromMemory,
            &[
                ("1", &[(20.0, -1.5), (300.0, -0.8)]),
                ("2e", &[(20.0, -1.5), (300.0, -0.8)]),
                ("2n", &[(10.0, -2.5), (150.0, -1.2)]),
                ("2r", &[(10.0, -2.5), (150.0, -1.2)]),
                ("3e", &[(10.0, -2.5), (150.0, -1.2)]),
                ("3r", &[(4.0, -3.6), (50.0, -1.8)]),
            ],
        ),
        ONE_TEXT,
    ),
    noted(
        group(
            Asce7_16,
            GABLE,
            (27.0, 45.0),
            FromMemory,
            &[
                ("1", &[(10.0, -1.8), (100.0, -0.8)]),
                ("2e", &[(10.0, -1.8), (100.0, -0.8)]),
                ("2n", &[(10.0, -2.0), (200.0, -1.0)]),
                ("2r", &[(10.0, -1.8), (100.0, -0.8)]),
                ("3e", &[(2.0, -3.2), (300.0, -1.0)]),
                ("3r", &[(10.0, -2.0), (200.0, -1.0)]),
            ],
        ),
        ONE_TEXT,
    ),
    noted(pressing(group(Asce7_16, GABLE, (7.0, 27.0), FromMemory, &[("all", &[(2.0, 0.7), (100.0, 0.3)])])), ONE_TEXT),
    noted(
        pressing(group(Asce7_16, GABLE, (27.0, 45.0), FromMemory, &[("all", &[(10.0, 0.9), (100.0, 0.5)])])),
        ONE_TEXT,
    ),
    noted(
        hanging(group(
            Asce7_16,
            GABLE,
            (7.0, 20.0),
            FromMemory,
            &[
                ("2e", &[(20.0, -2.5), (100.0, -1.5)]),
                ("2n", &[(10.0, -3.5), (250.0, -2.0)]),
                ("3e", &[(10.0, -4.1), (250.0, -1.5)]),
                ("3r", &[(10.0, -4.7), (100.0, -2.3)]),
            ],
        )),
        ONE_TEXT,
    ),
    noted(
        hanging(group(
            Asce7_16,
            GABLE,
            (20.0, 27.0),
            FromMemory,
            &[
                ("2e", &[(20.0, -2.0), (350.0, -1.8)]),
                ("2n", &[(10.0, -3.0), (150.0, -2.2)]),
                ("3e", &[(10.0, -3.6), (150.0, -1.7)]),
                ("3r", &[(4.0, -4.7), (50.0, -2.4)]),
            ],
        )),
        ONE_TEXT,
    ),
    noted(
        hanging(group(
            Asce7_16,
            GABLE,
            (27.0, 45.0),
            FromMemory,
            &[
                ("2e", &[(10.0, -2.6), (100.0, -1.6)]),
                ("2n", &[(10.0, -2.8), (200.0, -1.8)]),
                ("3e", &[(2.0, -4.0), (300.0, -1.8)]),
                ("3r", &[(10.0, -2.8), (200.0, -1.8)]),
            ],
        )),
        ONE_TEXT,
    ),
    noted(
        group(
            Asce7_16,
            HIP,
            (7.0, 20.0),
            FromMemory,
            &[
                ("1", &[(20.0, -1.8), (100.0, -1.0)]),
                ("2e", &[(10.0, -2.6), (200.0, -1.4)]),
                ("2r", &[(10.0, -2.4), (200.0, -1.3)]),
                ("3", &[(10.0, -2.6), (200.0, -1.4)]),
            ],
        ),
        WORSE_RATIO,
    ),
    noted(
        group(
            Asce7_16,
            HIP,
            (20.0, 27.0),
            FromMemory,
            &[
                ("1", &[(10.0, -1.4), (100.0, -0.8)]),
                ("2e", &[(10.0, -2.0), (200.0, -1.0)]),
                ("2r", &[(10.0, -2.0), (200.0, -1.0)]),
                ("3", &[(10.0, -2.0), (200.0, -1.0)]),
            ],
        ),
        ONE_TEXT,
    ),
    // -0.6175 - 0.02 t, 0.2 - 0.067 t, 1.0 - 0.082 t and 1.25 - 0.108 t, t the slope in degrees.
    noted(
        rising(
            group(
                Asce7_16,
                HIP,
                (27.0, 45.0),
                Shaky,
                &[
                    ("1", &[(10.0, -1.5175)]),
                    ("2e", &[(10.0, -2.815)]),
                    ("2r", &[(10.0, -2.69)]),
                    ("3", &[(10.0, -3.61)]),
                ],
            ),
            &[
                ("1", &[(10.0, -1.1575)]),
                ("2e", &[(10.0, -1.609)]),
                ("2r", &[(10.0, -1.214)]),
                ("3", &[(10.0, -1.666)]),
            ],
        ),
        FORMULAS,
    ),
    // -1.4175 - 0.02 t, -0.6 - 0.067 t, 0.2 - 0.082 t and 0.45 - 0.108 t.
    noted(
        rising(
            hanging(group(
                Asce7_16,
                HIP,
                (27.0, 45.0),
                Shaky,
                &[
                    ("1", &[(10.0, -2.3175)]),
                    ("2e", &[(10.0, -3.615)]),
                    ("2r", &[(10.0, -3.49)]),
                    ("3", &[(10.0, -4.41)]),
                ],
            )),
            &[
                ("1", &[(10.0, -1.9575)]),
                ("2e", &[(10.0, -2.409)]),
                ("2r", &[(10.0, -2.014)]),
                ("3", &[(10.0, -2.466)]),
            ],
        ),
        FORMULAS,
    ),
    noted(pressing(group(Asce7_16, HIP, (7.0, 27.0), FromMemory, &[("all", &[(10.0, 0.7), (100.0, 0.3)])])), ONE_TEXT),
    noted(pressing(group(Asce7_16, HIP, (27.0, 45.0), FromMemory, &[("all", &[(3.0, 0.9), (100.0, 0.3)])])), ONE_TEXT),
    noted(
        hanging(group(
            Asce7_16,
            HIP,
            (7.0, 20.0),
            FromMemory,
            &[("2e", &[(10.0, -3.1), (200.0, -2.4)]), ("3", &[(10.0, -3.7), (200.0, -1.9)])],
        )),
        WORSE_RATIO,
    ),
    noted(
        hanging(group(
            Asce7_16,
            HIP,
            (20.0, 27.0),
            FromMemory,
            &[("2e", &[(7.0, -2.5), (200.0, -2.0)]), ("3", &[(7.0, -3.1), (200.0, -1.5)])],
        )),
        ONE_TEXT,
    ),
    noted(hanging(group(Asce7_16, BOTH, (0.0, 7.0), FromMemory, LOW_OVERHANG)), ONE_TEXT),
    noted(group(Asce7_22, BOTH, (0.0, 7.0), Published, LOW_SLOPE), CONFIRMED),
    noted(group(Asce7_22, MONO, (0.0, 3.0), Published, LOW_SLOPE), CONFIRMED),
    noted(pressing(group(Asce7_22, ANY, (0.0, 3.0), Published, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])), CONFIRMED),
    noted(pressing(group(Asce7_22, BOTH, (3.0, 7.0), Published, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])), CONFIRMED),
    noted(hanging(group(Asce7_22, BOTH, (0.0, 7.0), Published, LOW_OVERHANG)), ADOPTED),
    noted(hanging(group(Asce7_22, MONO, (0.0, 3.0), Published, LOW_OVERHANG)), ADOPTED),
    noted(
        group(
            Asce7_22,
            GABLE,
            (7.0, 20.0),
            Published,
            &[
                ("1", &[(10.0, -2.0), (300.0, -0.5)]),
                ("2", &[(10.0, -2.7), (200.0, -1.0)]),
                ("3", &[(10.0, -3.6), (100.0, -1.8)]),
            ],
        ),
        CONFIRMED,
    ),
    noted(
        group(
            Asce7_22,
            GABLE,
            (20.0, 27.0),
            Published,
            &[
                ("1", &[(10.0, -1.5), (200.0, -0.8)]),
                ("2", &[(10.0, -2.5), (100.0, -1.2)]),
                ("3", &[(10.0, -3.0), (100.0, -1.4)]),
            ],
        ),
        ADOPTED,
    ),
    noted(
        group(
            Asce7_22,
            GABLE,
            (27.0, 45.0),
            Published,
            &[
                ("1", &[(10.0, -1.8), (100.0, -0.8)]),
                ("2", &[(10.0, -2.0), (200.0, -1.0)]),
                ("3", &[(10.0, -2.5), (200.0, -1.0)]),
            ],
        ),
        ADOPTED,
    ),
    noted(pressing(group(Asce7_22, GABLE, (7.0, 27.0), Published, &[("all", &[(10.0, 0.6), (200.0, 0.3)])])), ADOPTED),
    noted(pressing(group(Asce7_22, GABLE, (27.0, 45.0), Published, &[("all", &[(10.0, 0.9), (200.0, 0.5)])])), ADOPTED),
    noted(
        group(
            Asce7_22,
            HIP,
            (7.0, 20.0),
            Published,
            &[
                ("1", &[(10.0, -1.8), (200.0, -0.8)]),
                ("2", &[(10.0, -2.4), (200.0, -1.3)]),
                ("3", &[(10.0, -2.6), (200.0, -1.4)]),
            ],
        ),
        CONFIRMED,
    ),
    noted(group(Asce7_22, HIP, (20.0, 27.0), Published, HIP_TO_27), ADOPTED),
    noted(
        rising(
            group(
                Asce7_22,
                HIP,
                (27.0, 45.0),
                Published,
                &[
                    ("1", &[(10.0, -1.5), (200.0, -0.7)]),
                    ("2", &[(10.0, -1.8), (200.0, -0.8)]),
                    ("3", &[(10.0, -2.4), (200.0, -1.0)]),
                ],
            ),
            HIP_TO_27,
        ),
        ADOPTED,
    ),
    noted(pressing(group(Asce7_22, HIP, (7.0, 45.0), Published, &[("all", &[(10.0, 0.7), (100.0, 0.3)])])), ADOPTED),
    noted(
        from_below(group(Asce7_22, BOTH, (7.0, 45.0), Published, &[("all", &[(10.0, 1.0), (500.0, 0.7)])])),
        "the positive coefficient of walls, Figure 30.3-1; the notes of the figures for gables send overhangs to 30.7, which adds it",
    ),
    noted(
        from_below(group(Asce7_22, MONO, (3.0, 30.0), FromMemory, &[("all", &[(10.0, 1.0), (500.0, 0.7)])])),
        "30.7 taken for single slopes, too, whose figures were not seen to send overhangs there",
    ),
    noted(group(Asce7_22, MONO, (3.0, 10.0), Published, MONO_TO_10), ADOPTED_FIGURE),
    noted(group(Asce7_22, MONO, (10.0, 30.0), Published, MONO_TO_30), CONFIRMED),
    noted(
        pressing(group(Asce7_22, MONO, (3.0, 10.0), Published, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
        ADOPTED_FIGURE,
    ),
    noted(
        pressing(group(Asce7_22, MONO, (10.0, 30.0), Published, &[("all", &[(10.0, 0.4), (100.0, 0.3)])])),
        ADOPTED_FIGURE,
    ),
    noted(group(Asce7_16, MONO, (3.0, 10.0), FromMemory, MONO_TO_10), SAME_BEFORE_AND_AFTER),
    noted(group(Asce7_16, MONO, (10.0, 30.0), FromMemory, MONO_TO_30), SAME_BEFORE_AND_AFTER),
    noted(
        pressing(group(Asce7_16, MONO, (3.0, 10.0), FromMemory, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
        "as in the newest edition",
    ),
    noted(
        pressing(group(Asce7_16, MONO, (10.0, 30.0), FromMemory, &[("all", &[(10.0, 0.4), (100.0, 0.3)])])),
        "as in the newest edition",
    ),
    noted(
        pressing(group(Asce7_10, MONO, (3.0, 10.0), FromMemory, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
        "as in the newest edition",
    ),
    noted(
        pressing(group(Asce7_10, MONO, (10.0, 30.0), FromMemory, &[("all", &[(10.0, 0.4), (100.0, 0.3)])])),
        "as in the newest edition",
    ),
    noted(group(Asce7_16, MONO, (0.0, 3.0), FromMemory, LOW_SLOPE), "level and nearly level roofs of any shape"),
    pressing(group(Asce7_16, MONO, (0.0, 3.0), FromMemory, &[("all", &[(10.0, 0.3), (100.0, 0.2)])])),
];

/// All shipped coefficients, to be used, printed, or replaced.
#[must_use]
pub fn shipped() -> Table {
    let mut rows = Vec::new();
    for g in GROUPS {
        for (zone, points) in g.lines {
            let flattest = g.flattest.iter().find(|(name, _)| name == zone).map_or(&[][..], |line| line.1);
            rows.push(Row {
                edition: g.edition,
                roofs: g.roofs.to_vec(),
                overhang: g.overhang,
                above: g.slope.0,
                up_to: g.slope.1,
                zone: (*zone).to_string(),
                side: g.side,
                points: points.to_vec(),
                flattest: flattest.to_vec(),
                mark: g.mark,
                note: g.note.to_string(),
            });
        }
    }
    Table { coefficient: rows }
}
