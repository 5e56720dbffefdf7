//! How each kind of part is drawn: seen from above, cut, in a picture.

use super::draw::{Canvas, Dash, FINE, HAIR, Ink, MEDIUM, Pen, Point};
use crate::scene::PartKind;

/// How parts of a kind are drawn; not at all where nothing is said.
pub(super) struct Drawn {
    /// From above.
    pub(super) above: Option<Above>,
    /// Cut by a section.
    pub(super) cut: Option<Pattern>,
    /// In a picture of the slope: its edges, and their class.
    pub(super) seen: Option<(Pen, &'static str)>,
    /// The word under which a section along the slope says where it begins and ends.
    pub(super) measured: Option<&'static str>,
    /// Whether it is drawn also where it belongs to another slope and shows in a section through an edge.
    pub(super) of_neighbours: bool,
}

/// How a part looks from above, and the class of its lines.
pub(super) enum Above {
    /// The outline of what lies below.
    Below(Pen, &'static str),
    /// Its own outline, filled.
    Shape(Pattern, &'static str),
    /// A dot or a ring of a radius in millimetres in the middle of each of its outlines.
    Dots(f64, Pattern, &'static str),
}

/// An outline's line, its filling, and hatchings: angle in degrees, spacing in millimetres, pen.
pub(super) struct Pattern {
    pub(super) pen: Option<Pen>,
    pub(super) fill: Option<Ink>,
    pub(super) hatchings: &'static [(f64, f64, Pen)],
}

impl Pattern {
    /// Draws outlines in it.
    pub(super) fn shape(&self, rings: &[Vec<Point>], class: &'static str, part: &str, canvas: &mut Canvas) {
        canvas.shape(rings, self.pen, self.fill, class, Some(part));
        for (angle, spacing, pen) in self.hatchings {
            canvas.hatch(rings, *angle, *spacing, *pen, "hatch");
        }
    }
}

const THIN: Pen = Pen::black(HAIR);
const GREY: Pen = Pen::new(HAIR, Dash::Solid, Ink::Dark);

const fn plain(pen: Option<Pen>, fill: Option<Ink>) -> Pattern {
    Pattern { pen, fill, hatchings: &[] }
}

const fn hatched(pen: Pen, hatchings: &'static [(f64, f64, Pen)]) -> Pattern {
    Pattern { pen: Some(pen), fill: Some(Ink::White), hatchings }
}

/// How a kind is drawn.
pub(super) fn drawn(kind: PartKind) -> Drawn {
    let nothing = Drawn { above: None, cut: None, seen: None, measured: None, of_neighbours: true };
    let dark = Some(plain(Some(THIN), Some(Ink::Dark)));
    // In or planned: a dot. Still to drive by the log: a ring. Left in, or a hole: a larger ring.
    let left = Some(Above::Dots(0.7, plain(Some(Pen::black(FINE)), None), "left in"));
    match kind {
        PartKind::Member(_) => Drawn {
            above: Some(Above::Below(Pen::new(MEDIUM, Dash::Dotted, Ink::Dark), "framing")),
            cut: Some(hatched(Pen::black(MEDIUM), &[(45.0, 2.2, GREY)])),
            seen: Some((THIN, "seen framing")),
            ..nothing
        },
        PartKind::Deck => Drawn {
            cut: Some(hatched(THIN, &[(20.0, 0.9, THIN)])),
            seen: Some((Pen::black(MEDIUM), "seen plate")),
            ..nothing
        },
        PartKind::Membrane => Drawn {
            cut: Some(plain(Some(THIN), Some(Ink::Black))),
            seen: Some((Pen::black(MEDIUM), "seen plate")),
            ..nothing
        },
        PartKind::Strap => Drawn {
            above: Some(Above::Shape(plain(Some(THIN), Some(Ink::Dark)), "strap")),
            cut: dark,
            seen: Some((THIN, "seen strap")),
            of_neighbours: false,
            ..nothing
        },
        PartKind::Tape => Drawn {
            above: Some(Above::Shape(hatched(THIN, &[]), "tape")),
            cut: Some(plain(Some(THIN), Some(Ink::Black))),
            seen: Some((GREY, "seen tape")),
            of_neighbours: false,
            ..nothing
        },
        PartKind::Strip => Drawn {
            above: Some(Above::Shape(plain(None, Some(Ink::Middle)), "strip")),
            cut: Some(plain(Some(Pen::black(FINE)), Some(Ink::Light))),
            seen: Some((GREY, "seen strip")),
            measured: Some("strip"),
            ..nothing
        },
        PartKind::VentPiece => Drawn {
            above: Some(Above::Shape(hatched(THIN, &[(45.0, 0.9, THIN), (-45.0, 0.9, THIN)]), "vent piece")),
            cut: Some(hatched(Pen::black(FINE), &[(45.0, 0.8, THIN), (-45.0, 0.8, THIN)])),
            seen: Some((THIN, "seen vent piece")),
            measured: Some("vent"),
            ..nothing
        },
        PartKind::Batten => Drawn {
            above: Some(Above::Shape(hatched(Pen::black(MEDIUM), &[]), "batten")),
            cut: Some(hatched(Pen::black(MEDIUM), &[(-45.0, 1.1, THIN)])),
            seen: Some((Pen::black(FINE), "seen batten")),
            measured: Some("batten"),
            ..nothing
        },
        PartKind::Fasteners => Drawn {
            above: Some(Above::Dots(0.26, plain(None, Some(Ink::Black)), "fastener")),
            cut: dark,
            of_neighbours: false,
            ..nothing
        },
        PartKind::ToDrive => {
            Drawn { above: Some(Above::Dots(0.3, hatched(THIN, &[]), "fastener to drive")), cut: dark, ..nothing }
        }
        PartKind::LeftIn => Drawn { above: left, cut: dark, ..nothing },
        PartKind::Hole => Drawn { above: left, ..nothing },
        PartKind::Clip => Drawn {
            above: Some(Above::Shape(plain(Some(THIN), None), "clip")),
            cut: dark,
            seen: Some((THIN, "seen clip")),
            ..nothing
        },
        PartKind::Insulation => Drawn {
            cut: Some(plain(Some(Pen::new(FINE, Dash::Dashed, Ink::Black)), None)),
            seen: Some((Pen::new(FINE, Dash::Dashed, Ink::Black), "seen insulation")),
            ..nothing
        },
        PartKind::AirArrow | PartKind::AirPocket | PartKind::Pin => nothing,
    }
}
