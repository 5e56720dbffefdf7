//! Nails and screws: sizes, and what follows from them when the design does not say.
//!
//! Aim: from kind, diameter and length a fastener with nothing left open, each value with its source. Reason: "16d" is
//! quoted anywhere from 0.135 to 0.165 in, so diameter and length are always given and the rest is looked up. Limits: where
//! no table has the head or the thread, they stay unknown and what needs them is not covered.

use super::fault::{NotComputed, not_negative, positive};
use super::source::{Known, Mark, Source};
use super::units::{INCH, PSI};

/// What kind of fastener.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FastenerKind {
    /// Smooth nail, bright or galvanised.
    SmoothNail,
    /// Smooth nail of stainless steel.
    StainlessNail,
    /// Ring-shank nail.
    RingShankNail,
    /// Wood screw, cut or rolled thread.
    WoodScrew,
    /// Lag screw.
    LagScrew,
}

impl FastenerKind {
    /// Whether it is driven by hammer or nail gun.
    #[must_use]
    pub const fn is_nail(self) -> bool {
        matches!(self, Self::SmoothNail | Self::StainlessNail | Self::RingShankNail)
    }

    /// Whether it holds by rings or threads.
    #[must_use]
    pub const fn is_threaded(self) -> bool {
        !matches!(self, Self::SmoothNail | Self::StainlessNail)
    }

    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::SmoothNail => "smooth nail",
            Self::StainlessNail => "smooth stainless nail",
            Self::RingShankNail => "ring-shank nail",
            Self::WoodScrew => "wood screw",
            Self::LagScrew => "lag screw",
        }
    }
}

/// What a design says of a fastener; metres, pascals, newtons. `None`: looked up, or unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FastenerInput {
    /// Kind.
    pub kind: FastenerKind,
    /// Nominal diameter, m.
    pub diameter: f64,
    /// Length, m.
    pub length: f64,
    /// Head diameter, m.
    pub head: Option<f64>,
    /// Diameter at the root of rings or threads, m.
    pub root: Option<f64>,
    /// Length of rings or thread from the point, m.
    pub thread: Option<f64>,
    /// Bending yield strength Fyb of the NDS, Pa.
    pub bending_yield: Option<f64>,
    /// Tensile strength of the steel fu of Eurocode 5, Pa.
    pub steel_strength: Option<f64>,
    /// Strength in tension of one fastener by its maker (allowable for NDS, design value for Eurocode 5), N.
    pub tension: Option<f64>,
    /// Reference withdrawal W of the NDS by its maker, before load duration, N/m.
    pub reference_withdrawal: Option<f64>,
    /// Reference head pull-through of the NDS by its maker, before load duration, N.
    pub reference_pull_through: Option<f64>,
    /// Characteristic withdrawal parameter f_ax,k of Eurocode 5 by its maker, Pa.
    pub withdrawal: Option<f64>,
    /// Characteristic head pull-through parameter f_head,k of Eurocode 5 by its maker, Pa.
    pub pull_through: Option<f64>,
}

impl FastenerInput {
    /// Only kind, diameter and length (m); the rest not said.
    #[must_use]
    pub const fn new(kind: FastenerKind, diameter: f64, length: f64) -> Self {
        Self {
            kind,
            diameter,
            length,
            head: None,
            root: None,
            thread: None,
            bending_yield: None,
            steel_strength: None,
            tension: None,
            reference_withdrawal: None,
            reference_pull_through: None,
            withdrawal: None,
            pull_through: None,
        }
    }
}

/// A fastener with all that is known of it; metres, pascals, newtons.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fastener {
    /// Kind.
    pub kind: FastenerKind,
    /// Nominal diameter D, m.
    pub diameter: f64,
    /// Length L, m.
    pub length: f64,
    /// Head diameter DH, m, if known.
    pub head: Option<Known>,
    /// Root diameter, m: what bends. Equals `diameter` for smooth nails.
    pub root: Known,
    /// Length of rings or thread from the point, m, if known; the whole length for smooth nails.
    pub thread: Option<Known>,
    /// Length of the tapered point E, m.
    pub tip: Known,
    /// Bending yield strength Fyb, Pa.
    pub bending_yield: Known,
    /// Tensile strength of the steel fu, Pa (Eurocode 5).
    pub steel_strength: Known,
    /// Strength in tension by the maker, N, if known.
    pub tension: Option<Known>,
    /// Reference withdrawal W by the maker, N/m, if known (NDS).
    pub reference_withdrawal: Option<Known>,
    /// Reference head pull-through by the maker, N, if known (NDS).
    pub reference_pull_through: Option<Known>,
    /// f_ax,k by the maker, Pa, if known (Eurocode 5).
    pub withdrawal: Option<Known>,
    /// f_head,k by the maker, Pa, if known (Eurocode 5).
    pub pull_through: Option<Known>,
}

/// Common, box and sinker nails of ASTM F1667 and NDS Appendix L: name, kind, length, shank, head, inches.
pub const NAILS: [(&str, &str, f64, f64, f64); 18] = [
    ("6d", "common", 2.0, 0.113, 0.266),
    ("8d", "common", 2.5, 0.131, 0.281),
    ("10d", "common", 3.0, 0.148, 0.312),
    ("12d", "common", 3.25, 0.148, 0.312),
    ("16d", "common", 3.5, 0.162, 0.344),
    ("20d", "common", 4.0, 0.192, 0.406),
    ("6d", "box", 2.0, 0.099, 0.266),
    ("8d", "box", 2.5, 0.113, 0.297),
    ("10d", "box", 3.0, 0.128, 0.312),
    ("12d", "box", 3.25, 0.128, 0.312),
    ("16d", "box", 3.5, 0.135, 0.344),
    ("20d", "box", 4.0, 0.148, 0.375),
    ("6d", "sinker", 1.875, 0.092, 0.234),
    ("8d", "sinker", 2.375, 0.113, 0.266),
    ("10d", "sinker", 2.875, 0.120, 0.281),
    ("12d", "sinker", 3.125, 0.135, 0.312),
    ("16d", "sinker", 3.25, 0.148, 0.344),
    ("20d", "sinker", 3.75, 0.177, 0.375),
];

/// Post-frame ring-shank nails: shank, root, head, inches (AWC design aid on post-frame nails).
pub const RING_SHANKS: [(f64, f64, f64); 5] = [
    (0.135, 0.128, 0.3125),
    (0.148, 0.140, 0.3125),
    (0.177, 0.169, 0.375),
    (0.200, 0.193, 0.46875),
    (0.207, 0.199, 0.46875),
];

/// Wood screws: number, diameter, root, head, inches (NDS Appendix L; the heads in doubt).
pub const WOOD_SCREWS: [(u8, f64, f64, f64); 6] = [
    (6, 0.138, 0.113, 0.262),
    (8, 0.164, 0.131, 0.312),
    (9, 0.177, 0.142, 0.337),
    (10, 0.190, 0.152, 0.363),
    (12, 0.216, 0.171, 0.414),
    (14, 0.242, 0.196, 0.480),
];

/// Lag screws: diameter, root, tapered tip, Fyb in ksi, inches (NDS Appendix L and Table I1).
const LAG_SCREWS: [(f64, f64, f64, f64); 3] =
    [(0.25, 0.173, 0.15625, 70.0), (0.3125, 0.227, 0.1875, 60.0), (0.375, 0.265, 0.21875, 45.0)];

const APPENDIX_L: Source = Source::new("ASTM F1667 and NDS-2018 Appendix L", Mark::FromMemory);
const POST_FRAME: Source = Source::new("AWC design aid on post-frame ring-shank nails", Mark::Published);
const SCREW_TABLE: Source = Source::new("NDS-2018 Appendix L Table L3", Mark::FromMemory);
const SCREW_HEADS: Source = Source::new("NDS-2018 Appendix L Table L3", Mark::Shaky);
const LAG_TABLE: Source = Source::new("NDS-2018 Appendix L Table L2", Mark::FromMemory);
const LAG_ROOT: Source = Source::new("ASME B18.2.1, hex lag screws", Mark::Published);
const YIELD_BANDS: Source = Source::new("NDS-2018 Table I1", Mark::FromMemory);
const TIP: Source = Source::new("NDS-2018 12.3.5.3", Mark::FromMemory);
const THREAD_TWO_THIRDS: Source = Source::new("NDS-2018 Appendix L: thread two thirds of the length", Mark::FromMemory);
const THREAD_LAG: Source =
    Source::new("NDS-2018 Appendix L Table L2: half of the length and 1/2 in, at most 6 in", Mark::Published);
const THREAD_RING: Source = Source::new(
    "AWC design aid on post-frame ring-shank nails: at least 2 1/4 in on 3 in to 4 in nails",
    Mark::Published,
);
const ROOT_RING: Source =
    Source::new("0.008 in below the shank, as in the AWC table of post-frame nails", Mark::FromMemory);
const STEEL_EN: Source = Source::new("EN 1995-1-1 8.3.1.1 and EN 14592: wire of at least 600 N/mm2", Mark::FromMemory);

/// Two diameters from tables and texts are the same one within this, m.
const SAME_SIZE: f64 = 0.0006 * INCH;

fn same(a: f64, inches: f64) -> bool {
    (a - inches * INCH).abs() <= SAME_SIZE
}

/// Fyb in ksi by diameter in inches (NDS Table I1).
fn yield_band(diameter: f64) -> f64 {
    // Table limits are printed to 0.001 in; half of that keeps converted millimetres in their band.
    let d = diameter / INCH - 0.0005;
    match d {
        d if d <= 0.142 => 100.0,
        d if d <= 0.177 => 90.0,
        d if d <= 0.236 => 80.0,
        d if d <= 0.273 => 70.0,
        d if d <= 0.344 => 60.0,
        _ => 45.0,
    }
}

impl Fastener {
    /// Fills in what the design does not say.
    ///
    /// # Errors
    /// A length that is not above zero, a root above the shank, a diameter outside the tables of its kind (wood screws
    /// and lag screws need one of the table, or their root given).
    pub fn resolve(input: &FastenerInput) -> Result<Self, NotComputed> {
        let d = positive("diameter of the fastener", input.diameter)?;
        let length = positive("length of the fastener", input.length)?;
        if !(0.06 * INCH..=0.375 * INCH + SAME_SIZE).contains(&d) {
            return Err(NotComputed::OutOfRange {
                what: "diameter of the fastener, m",
                value: d,
                low: 0.06 * INCH,
                high: 0.375 * INCH,
            });
        }
        let given = |what: &'static str, v: Option<f64>| match v {
            None => Ok(None),
            Some(v) => positive(what, v).map(|v| Some(Known::given(v))),
        };
        let by_maker = |what: &'static str, v: Option<f64>| match v {
            None => Ok(None),
            Some(v) => positive(what, v).map(|v| Some(Known::new(v, Source::MAKER))),
        };
        let root = match given("root diameter", input.root)? {
            Some(root) => root,
            None => default_root(input.kind, d)?,
        };
        if root.value > d {
            return Err(NotComputed::OutOfRange { what: "root diameter, m", value: root.value, low: 0.0, high: d });
        }
        let thread = match given("thread length", input.thread)? {
            Some(t) => Some(Known::new(t.value.min(length), t.source)),
            None => default_thread(input.kind, length),
        };
        let bending_yield = match given("bending yield strength", input.bending_yield)? {
            Some(f) => f,
            None => default_yield(input.kind, d),
        };
        let tip = match input.kind {
            FastenerKind::LagScrew => LAG_SCREWS
                .iter()
                .find(|r| same(d, r.0))
                .map_or(Known::new(d, LAG_TABLE), |r| Known::new(r.2 * INCH, LAG_TABLE)),
            _ => Known::new(2.0 * d, TIP),
        };
        if let Some(t) = input.tension {
            not_negative("tension strength of the fastener", t)?;
        }
        Ok(Self {
            kind: input.kind,
            diameter: d,
            length,
            head: given("head diameter", input.head)?.or_else(|| default_head(input.kind, d)),
            root,
            thread,
            tip,
            bending_yield,
            steel_strength: given("steel strength", input.steel_strength)?.unwrap_or(Known::new(600e6, STEEL_EN)),
            tension: by_maker("tension strength of the fastener", input.tension)?,
            reference_withdrawal: by_maker("withdrawal of the fastener", input.reference_withdrawal)?,
            reference_pull_through: by_maker("head pull-through of the fastener", input.reference_pull_through)?,
            withdrawal: by_maker("withdrawal parameter", input.withdrawal)?,
            pull_through: by_maker("head pull-through parameter", input.pull_through)?,
        })
    }

    /// A common nail by diameter and length in inches, smooth.
    ///
    /// # Errors
    /// As [`Fastener::resolve`].
    pub fn smooth_nail(diameter_in: f64, length_in: f64) -> Result<Self, NotComputed> {
        Self::resolve(&FastenerInput::new(FastenerKind::SmoothNail, diameter_in * INCH, length_in * INCH))
    }
}

fn default_root(kind: FastenerKind, d: f64) -> Result<Known, NotComputed> {
    match kind {
        FastenerKind::SmoothNail | FastenerKind::StainlessNail => Ok(Known::new(d, Source::GEOMETRY)),
        FastenerKind::RingShankNail => Ok(RING_SHANKS
            .iter()
            .find(|r| same(d, r.0))
            .map_or(Known::new(d - 0.008 * INCH, ROOT_RING), |r| Known::new(r.1 * INCH, POST_FRAME))),
        FastenerKind::WoodScrew => {
            WOOD_SCREWS.iter().find(|r| same(d, r.1)).map(|r| Known::new(r.2 * INCH, SCREW_TABLE)).ok_or(
                NotComputed::NotCovered {
                    what: "root diameter of the screw",
                    why: "no wood screw of this diameter in the table: give the root diameter",
                },
            )
        }
        FastenerKind::LagScrew => {
            LAG_SCREWS.iter().find(|r| same(d, r.0)).map(|r| Known::new(r.1 * INCH, LAG_ROOT)).ok_or(
                NotComputed::NotCovered {
                    what: "root diameter of the lag screw",
                    why: "only 1/4, 5/16 and 3/8 in are in the table: give the root diameter",
                },
            )
        }
    }
}

fn default_thread(kind: FastenerKind, length: f64) -> Option<Known> {
    match kind {
        FastenerKind::SmoothNail | FastenerKind::StainlessNail => Some(Known::new(length, Source::GEOMETRY)),
        FastenerKind::RingShankNail => (3.0 * INCH - SAME_SIZE..=4.0 * INCH + SAME_SIZE)
            .contains(&length)
            .then(|| Known::new(2.25 * INCH, THREAD_RING)),
        FastenerKind::WoodScrew => Some(Known::new(length * 2.0 / 3.0, THREAD_TWO_THIRDS)),
        FastenerKind::LagScrew => Some(Known::new((length / 2.0 + 0.5 * INCH).min(6.0 * INCH).min(length), THREAD_LAG)),
    }
}

fn default_head(kind: FastenerKind, d: f64) -> Option<Known> {
    match kind {
        FastenerKind::SmoothNail | FastenerKind::StainlessNail => NAILS
            .iter()
            .filter(|r| same(d, r.3))
            .map(|r| r.4)
            .min_by(f64::total_cmp)
            .map(|h| Known::new(h * INCH, APPENDIX_L)),
        FastenerKind::RingShankNail => {
            RING_SHANKS.iter().find(|r| same(d, r.0)).map(|r| Known::new(r.2 * INCH, POST_FRAME))
        }
        FastenerKind::WoodScrew => {
            WOOD_SCREWS.iter().find(|r| same(d, r.1)).map(|r| Known::new(r.3 * INCH, SCREW_HEADS))
        }
        FastenerKind::LagScrew => None,
    }
}

fn default_yield(kind: FastenerKind, d: f64) -> Known {
    let ksi = match kind {
        FastenerKind::LagScrew => LAG_SCREWS.iter().find(|r| same(d, r.0)).map_or(45.0, |r| r.3),
        _ => yield_band(d),
    };
    Known::new(ksi * 1000.0 * PSI, YIELD_BANDS)
}
