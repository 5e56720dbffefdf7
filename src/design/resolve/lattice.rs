//! The lattice, its fasteners, and the limits of the checks: here most values have defaults, each with its reason.

use std::ops::Range;

use super::super::file::{BattenFile, DesignFile, GapFile, LandingFile, LandingsFile, Located, MoveFile, SkipFile};
use super::super::lumber;
use super::super::model::*;
use super::super::reader::Reader;
use super::super::written::Written;
use super::framing::each;
use super::kinds::Kinds;
use super::{once_each, slope_list};
use crate::capacity::spacing::Asked;
use crate::quantity::{Density, Length};

const PRACTICE: &str = "common practice, no source";
/// Of a value that is at fault, in a table of which the name is still judged.
const NOTHING: &str = "nothing that could be read";

fn inches(v: f64) -> Length {
    Length::from_inches(v)
}

/// The parts of the lattice, each as far as it could be judged.
pub struct Parts {
    deck: Option<Given<Length>>,
    membrane: Option<Given<Length>>,
    tape: Option<TapeSpec>,
    strip: Option<StripSpec>,
    vent: Option<VentSpec>,
    batten: Option<BattenSpec>,
    opening: Option<OpeningSpec>,
}

impl Parts {
    /// The lattice, where no part is at fault.
    pub fn whole(self) -> Option<LatticeSpec> {
        Some(LatticeSpec {
            deck: self.deck?,
            membrane: self.membrane?,
            tape: self.tape?,
            strip: self.strip?,
            vent: self.vent?,
            batten: self.batten?,
            opening: self.opening?,
        })
    }
}

/// The lattice, with stand-ins for parts that are at fault.
pub fn lattice(r: &mut Reader<'_>, file: &DesignFile, stand_in: &LatticeSpec) -> LatticeSpec {
    let parts = judged(r, file, Some(&stand_in.batten));
    let plain = stand_in.clone();
    LatticeSpec {
        deck: parts.deck.unwrap_or(plain.deck),
        membrane: parts.membrane.unwrap_or(plain.membrane),
        tape: parts.tape.unwrap_or(plain.tape),
        strip: parts.strip.unwrap_or(plain.strip),
        vent: parts.vent.unwrap_or(plain.vent),
        batten: parts.batten.unwrap_or(plain.batten),
        opening: parts.opening.unwrap_or(plain.opening),
    }
}

/// The lattice part by part.
pub fn parts(r: &mut Reader<'_>, file: &DesignFile) -> Parts {
    judged(r, file, None)
}

fn judged(r: &mut Reader<'_>, file: &DesignFile, stand_in: Option<&BattenSpec>) -> Parts {
    let deck = match &file.deck {
        Some(d) => r.size("deck.thickness", &d.get().thickness, &d.span(), "thickness of the sheathing"),
        None => Some(Given { value: Length::ZERO, origin: Origin::Derived("no [deck] is written") }),
    };
    let no = None;
    let written = file.membrane.as_ref().map_or(&no, |m| &m.get().thickness);
    let membrane = r.size_or("membrane.thickness", written, inches(1.0 / 32.0), PRACTICE);
    let lattice = file.lattice.as_ref().map(Located::get);
    let tape = tape(r, lattice.and_then(|l| l.tape.as_ref()).map(Located::get));
    let strip = strip(r, lattice.and_then(|l| l.strip.as_ref()).map(Located::get));
    let flush = strip.as_ref().map_or(inches(0.375), |s| s.height.value);
    let vent = vent(r, lattice.and_then(|l| l.vent.as_ref()).map(Located::get), flush);
    let batten = batten(r, file, stand_in);
    let opening = opening(r, lattice.and_then(|l| l.opening.as_ref()).map(Located::get));
    Parts { deck, membrane, tape, strip, vent, batten, opening }
}

fn tape(r: &mut Reader<'_>, f: Option<&super::super::file::TapeFile>) -> Option<TapeSpec> {
    let width = r.size_or(
        "lattice.tape.width",
        f.map_or(&None, |f| &f.width),
        inches(2.0),
        "common practice, no source: 2 in leaves 1/4 in beside a member of 1 1/2 in",
    );
    let thickness =
        r.size_or("lattice.tape.thickness", f.map_or(&None, |f| &f.thickness), inches(1.0 / 32.0), PRACTICE);
    let order =
        r.or("lattice.tape.order", f.map_or(&None, |f| &f.order), TapeOrder::MembraneFirst, "membrane first", PRACTICE);
    let roll = r.size_or("lattice.tape.roll", f.map_or(&None, |f| &f.roll), inches(50.0 * 12.0), PRACTICE);
    let density = r.or(
        "lattice.tape.density",
        f.map_or(&None, |f| &f.density),
        Density::from_kg_per_m3(1400.0),
        "1400 kg/m3",
        "filled butyl, from memory",
    );
    Some(TapeSpec { width: width?, thickness: thickness?, order: order?, roll: roll?, density: density? })
}

fn strip(r: &mut Reader<'_>, f: Option<&super::super::file::StripFile>) -> Option<StripSpec> {
    let width = r.size_or(
        "lattice.strip.width",
        f.map_or(&None, |f| &f.width),
        inches(1.5),
        "as wide as a member of 1 1/2 in; common practice, no source",
    );
    let height = r.size_or("lattice.strip.height", f.map_or(&None, |f| &f.height), inches(0.375), PRACTICE);
    let wide = match f.and_then(|f| f.wide.as_ref()) {
        Some(_) => r.size("lattice.strip.wide", f.map_or(&None, |f| &f.wide), &(0..0), "").map(Some),
        None => Some(None),
    };
    let stock = r.size_or("lattice.strip.stock", f.map_or(&None, |f| &f.stock), inches(48.0), PRACTICE);
    let flutes = r.or(
        "lattice.strip.flutes",
        f.map_or(&None, |f| &f.flutes),
        Flutes::Up,
        "up",
        "air and water run up and down the slope; common practice, no source",
    );
    let gap = r.length_or(
        "lattice.strip.gap",
        f.map_or(&None, |f| &f.gap),
        Length::ZERO,
        "strips butt against the vent pieces",
    );
    let doubled = r.or(
        "lattice.strip.doubled_at_rake",
        f.map_or(&None, |f| &f.doubled_at_rake),
        false,
        "false",
        "one strip per line",
    );
    let join = r.length_or(
        "lattice.strip.join_within",
        f.map_or(&None, |f| &f.join_within),
        inches(1.5),
        "members a strip's width apart lie under one line; common practice, no source",
    );
    let density = r.or(
        "lattice.strip.density",
        f.map_or(&None, |f| &f.density),
        Density::from_kg_per_m3(250.0),
        "250 kg/m3",
        "fluted polypropylene as a body, from memory",
    );
    if let (Some(width), Some(Some(w)), Some(written)) = (&width, &wide, f.and_then(|f| f.wide.as_ref()))
        && w.value <= width.value
    {
        r.fault(written.span.clone(), "lattice.strip.wide", "the wider strip is not wider", "wide is more than width");
    }
    Some(StripSpec {
        width: width?,
        height: height?,
        wide: wide?,
        stock: stock?,
        flutes: flutes?,
        gap: gap?,
        doubled_at_rake: doubled?,
        join_within: join?,
        density: density?,
    })
}

/// `flush` is the strips' height.
fn vent(r: &mut Reader<'_>, f: Option<&super::super::file::VentFile>, flush: Length) -> Option<VentSpec> {
    let width = r.size_or("lattice.vent.width", f.map_or(&None, |f| &f.width), inches(2.0), PRACTICE);
    let height = r.size_or(
        "lattice.vent.height",
        f.map_or(&None, |f| &f.height),
        flush,
        "as high as the strips, so that the batten lies flat",
    );
    let stock = r.size_or("lattice.vent.stock", f.map_or(&None, |f| &f.stock), inches(48.0), PRACTICE);
    let flutes = r.or(
        "lattice.vent.flutes",
        f.map_or(&None, |f| &f.flutes),
        Flutes::Up,
        "up",
        "the air passes through the flutes",
    );
    let density = r.or(
        "lattice.vent.density",
        f.map_or(&None, |f| &f.density),
        Density::from_kg_per_m3(250.0),
        "250 kg/m3",
        "fluted polypropylene as a body, from memory",
    );
    Some(VentSpec { width: width?, height: height?, stock: stock?, flutes: flutes?, density: density? })
}

fn opening(r: &mut Reader<'_>, f: Option<&super::super::file::LatticeOpeningFile>) -> Option<OpeningSpec> {
    let clearance = r.length_or("lattice.opening.clearance", f.map_or(&None, |f| &f.clearance), inches(1.0), PRACTICE);
    let frame = r.or(
        "lattice.opening.frame",
        f.map_or(&None, |f| &f.frame),
        true,
        "true",
        "the roofing needs a batten below and above an opening; common practice, no source",
    );
    let way_round = r.length_or(
        "lattice.opening.way_round",
        f.map_or(&None, |f| &f.way_round),
        inches(3.0),
        "air that meets an opening must turn; common practice, no source",
    );
    Some(OpeningSpec { clearance: clearance?, frame: frame?, way_round: way_round? })
}

/// Some of a spec's values may come from a stand-in where they are at fault.
fn batten(r: &mut Reader<'_>, file: &DesignFile, stand_in: Option<&BattenSpec>) -> Option<BattenSpec> {
    let lattice = file.lattice.as_ref();
    let Some(located) = lattice.and_then(|l| l.get().batten.as_ref()) else {
        let at = lattice.map_or(0..0, |l| l.span());
        r.fault(
            at.start..at.start,
            "lattice.batten",
            "missing `batten`",
            "write batten = { nominal = \"1x4\", spacing = \"16 in\" } or batten = { width = \"89 mm\", thickness = \"19 mm\", spacing = \"400 mm\" } under [lattice]",
        );
        return stand_in.cloned();
    };
    let (f, at) = (located.get(), located.span());
    let section = batten_section(r, f, &at);
    let spacing = r.size(
        "lattice.batten.spacing",
        &f.spacing,
        &at,
        "the roofing's fixing pitch, such as \"16 in\" or \"400 mm\"",
    );
    let half = section.as_ref().map_or(Length::ZERO, |(w, _)| w.value / 2.0);
    let start = r.or("lattice.batten.start", &f.start, StartEdge::Eave, "eave", PRACTICE);
    let at_eave = (half, "half a batten: its edge is flush with the eave");
    let at_top = (
        half + inches(2.0),
        "half a batten and 2 in: the course holds the top vent piece; where rafters end further down, on a steep roof or at a ridge board, write more",
    );
    let from_top = start.as_ref().is_some_and(|s| s.value == StartEdge::Top);
    let (at_start, at_end) = if from_top { (at_top, at_eave) } else { (at_eave, at_top) };
    let first = r.length_or("lattice.batten.first", &f.first, at_start.0, at_start.1);
    let last = r.length_or("lattice.batten.last", &f.last, at_end.0, at_end.1);
    let boards_from = r.or("lattice.batten.boards_from", &f.boards_from, BoardsFrom::Left, "left", PRACTICE);
    let stock = match &f.stock {
        Some(list) => {
            let span = list.first().map_or(at.clone(), |w| w.span.clone());
            let line = r.line(span.start);
            if list.is_empty() {
                r.fault(at.clone(), "lattice.batten.stock", "no stock length", "write stock = [\"12 ft\", \"16 ft\"]");
            }
            let lengths = r.lengths("lattice.batten.stock", list, true).filter(|l| !l.is_empty());
            lengths.map(|mut lengths| {
                lengths.sort_by(Length::total_cmp);
                lengths.dedup();
                Given { value: lengths, origin: Origin::Written(line) }
            })
        }
        None => {
            let length = inches(16.0 * 12.0);
            let shown = length.show(r.units);
            r.defaults.push(DefaultInForce { key: "lattice.batten.stock".into(), value: shown, why: PRACTICE });
            Some(Given { value: vec![length], origin: Origin::Default(PRACTICE) })
        }
    };
    let least = r.size_or(
        "lattice.batten.least_piece",
        &f.least_piece,
        inches(48.0),
        "a piece spans at least two bays of 24 in; common practice, no source",
    );
    let stagger = r.count_or(
        "lattice.batten.stagger",
        &f.stagger,
        1,
        0..=10,
        "neighbouring courses do not break on the same line; common practice, no source",
    );
    let joints = match &f.joints {
        None => Some(Given { value: JointChoice::Far, origin: Origin::Derived("as far along as boards reach") }),
        written => r.maybe("lattice.batten.joints", written),
    };
    let joint = r.or("lattice.batten.joint", &f.joint, JointKind::Butt, "butt", PRACTICE);
    let lap = r.size_or("lattice.batten.lap", &f.lap, inches(12.0), PRACTICE);
    let gap = r.length_or(
        "lattice.batten.joint_gap",
        &f.joint_gap,
        inches(1.0 / 16.0),
        "a saw's width, so that ends do not bind; common practice, no source",
    );
    let density = r.or(
        "lattice.batten.density",
        &f.density,
        Density::from_kg_per_m3(457.0),
        "457 kg/m3",
        "spruce-pine-fir at 15 % moisture, 28.5 lb/ft3 by the density formula of the NDS supplement (from memory)",
    );
    let longest = stock.as_ref().and_then(|s| s.value.last().copied());
    let mut divides = true;
    if let (Some(longest), Some(least)) = (longest, &least)
        && least.metres() * 2.0 > longest.metres()
    {
        let span =
            f.least_piece.as_ref().or(f.stock.as_ref().and_then(|s| s.first())).map_or(at.clone(), |w| w.span.clone());
        r.fault(
            span,
            "lattice.batten.least_piece",
            "the least piece is more than half of the longest stock",
            "then a course cannot be divided; choose longer stock or a smaller least piece",
        );
        divides = false;
    }
    // One fault is enough for a least piece that is too long for the stock.
    if let (Some(joint), Some(lap), Some(longest), Some(least)) = (&joint, &lap, longest, &least)
        && divides
        && joint.value == JointKind::Lap
        && lap.metres() + least.metres() > longest.metres()
    {
        let span = f.lap.as_ref().or(f.least_piece.as_ref()).map_or(at.clone(), |w| w.span.clone());
        let hint = "a lap and the least piece together are not longer than the longest stock";
        r.fault(span, "lattice.batten.lap", "boards that lap so far cannot divide a course", hint);
        divides = false;
    }
    if let (Some(gap), Some(least)) = (&gap, &least)
        && gap.metres() * 4.0 > least.metres()
    {
        let span = f.joint_gap.as_ref().map_or(at, |w| w.span.clone());
        r.fault(span, "lattice.batten.joint_gap", "this gap is no joint", "a joint's gap is a saw's width or two");
        divides = false;
    }
    if !divides {
        return stand_in.cloned();
    }
    let (width, thickness) = section.unzip();
    let spec = BattenSpec {
        width: width.or_else(|| stand_in.map(|s| s.width.clone()))?,
        thickness: thickness.or_else(|| stand_in.map(|s| s.thickness.clone()))?,
        spacing: spacing.or_else(|| stand_in.map(|s| s.spacing.clone()))?,
        first: first.or_else(|| stand_in.map(|s| s.first.clone()))?,
        last: last.or_else(|| stand_in.map(|s| s.last.clone()))?,
        start: start.or_else(|| stand_in.map(|s| s.start.clone()))?,
        boards_from: boards_from.or_else(|| stand_in.map(|s| s.boards_from.clone()))?,
        stock: stock.or_else(|| stand_in.map(|s| s.stock.clone()))?,
        least_piece: least.or_else(|| stand_in.map(|s| s.least_piece.clone()))?,
        stagger: stagger.or_else(|| stand_in.map(|s| s.stagger.clone()))?,
        joints: joints.or_else(|| stand_in.map(|s| s.joints.clone()))?,
        joint: joint.or_else(|| stand_in.map(|s| s.joint.clone()))?,
        lap: lap.or_else(|| stand_in.map(|s| s.lap.clone()))?,
        joint_gap: gap.or_else(|| stand_in.map(|s| s.joint_gap.clone()))?,
        density: density.or_else(|| stand_in.map(|s| s.density.clone()))?,
    };
    // What is written and what stands in for the rest may divide no course together.
    if spec.divides() { Some(spec) } else { stand_in.cloned() }
}

fn batten_section(
    r: &mut Reader<'_>,
    f: &BattenFile,
    at: &std::ops::Range<usize>,
) -> Option<(Given<Length>, Given<Length>)> {
    if f.nominal.is_none() {
        // A misspelt `nominal` says both.
        let said = r.may_lack("lattice.batten.nominal");
        let mut size = |key: &str, written: &Option<Written<Length>>, hint: &str| {
            (written.is_some() || !said).then(|| r.size(key, written, at, hint)).flatten()
        };
        let width = size("lattice.batten.width", &f.width, "width up the slope, or nominal = \"1x4\"");
        let thickness = size("lattice.batten.thickness", &f.thickness, "thickness, or nominal = \"1x4\"");
        return Some((width?, thickness?));
    }
    for (name, written) in [("width", &f.width), ("thickness", &f.thickness)] {
        if let Some(w) = written {
            r.fault(
                w.span.clone(),
                &format!("lattice.batten.{name}"),
                "a nominal size already says this",
                "write the nominal size or the sizes, not both",
            );
        }
    }
    let nominal = r.maybe("lattice.batten.nominal", &f.nominal)?;
    let Some((thickness, width)) = lumber::dressed(&nominal.value) else {
        let span = f.nominal.as_ref().map_or(at.clone(), |w| w.span.clone());
        r.fault(
            span,
            "lattice.batten.nominal",
            format!("\"{}\" is no nominal size that is known", nominal.value),
            "such as \"1x4\"; or write width and thickness",
        );
        return None;
    };
    let of = |value| Given { value, origin: Origin::Derived("dressed dry size of PS 20 (from memory)") };
    Some((of(width), of(thickness)))
}

/// The fasteners of the battens.
pub fn fastening(r: &mut Reader<'_>, file: &DesignFile, batten: &BattenSpec) -> Option<Fastening> {
    let Some(located) = &file.fastening else {
        r.fault(0..0, "fastening", "missing [fastening]", "a fastener's diameter and length are never assumed: write [fastening] with diameter = \"0.148 in\" and length = \"3 in\", or diameter = \"3.8 mm\" and length = \"75 mm\"");
        return None;
    };
    let (f, at) = (located.get(), located.span());
    let kind = r.or("fastening.kind", &f.kind, FastenerKind::Nail, "nail", "a smooth nail, the one that holds least");
    let diameter = r.size(
        "fastening.diameter",
        &f.diameter,
        &at,
        "a fastener's diameter is never assumed: the penny size says too little",
    );
    let length = r.size("fastening.length", &f.length, &at, "a fastener's length is never assumed");
    let d = diameter.as_ref().map_or(Length::ZERO, |g| g.value);
    let lag = kind.as_ref().is_some_and(|k| k.value == FastenerKind::LagScrew);
    // Without a diameter the head's default means nothing.
    let head = if diameter.is_some() || f.head.is_some() {
        let why = if lag {
            "twice the shank: hexagon heads are 1.7 to 2 times as wide across corners (ASME B18.2.1)"
        } else {
            "twice the shank: common nails of ASTM F1667 have 2.1 to 2.4 times (from memory)"
        };
        r.size_or("fastening.head", &f.head, d * 2.0, why)
    } else {
        None
    };
    let per_landing = r.count_or("fastening.per_landing", &f.per_landing, 2, 1..=6, PRACTICE);
    let pattern = r.or(
        "fastening.pattern",
        &f.pattern,
        Pattern::Up,
        "up",
        "one above the other keeps both over the member; common practice, no source",
    );
    let predrilled = if lag {
        r.or("fastening.predrilled", &f.predrilled, true, "true", LEAD_HOLES)
    } else {
        r.or("fastening.predrilled", &f.predrilled, false, "false", "driven without a lead hole")
    };
    if lag && predrilled.as_ref().is_some_and(|p| !p.value) {
        let span = f.predrilled.as_ref().map_or(at.clone(), |w| w.span.clone());
        let says = "lag screws go into drilled holes: as wide as the shank, then narrower for the thread";
        r.fault(span, "fastening.predrilled", says, "leave it out or write true (NDS-2018 12.1.4, EN 1995-1-1 10.4.5)");
    }
    if lag && diameter.as_ref().is_some_and(|d| d.value < LEAST_LAG) {
        let span = f.diameter.as_ref().map_or(at.clone(), |w| w.span.clone());
        let hint = "lag screws begin at 1/4 in (6 mm); for thinner ones write kind = \"screw\"";
        r.fault(span, "fastening.diameter", "no lag screw is so thin", hint);
    }
    let rules = file.strength.as_ref().and_then(|s| s.get().rules.as_ref()?.read().ok());
    let asked = Asked {
        eurocode: rules == Some(RuleSet::Ec5),
        diameter: d.metres(),
        thickness: batten.thickness.metres(),
        predrilled: predrilled.as_ref().is_some_and(|p| p.value),
        screws: kind.as_ref().is_some_and(|k| k.value.is_screw()),
    };
    let limits = file.limits.as_ref().map(Located::get);
    let written = |w: Option<&Option<Written<Length>>>| w?.as_ref()?.read().ok();
    let edge = match (written(limits.map(|l| &l.batten_edge)), lag) {
        (Some(edge), _) => edge,
        (None, true) => d * of_lag_screws(asked.eurocode)[1].0,
        (None, false) => written(limits.map(|l| &l.edge_distance)).unwrap_or(d * PRACTICE_EDGE.0),
    };
    let room = batten.width.value - edge * 2.0;
    let gaps = per_landing.as_ref().map_or(1, |n| n.value).saturating_sub(1);
    let pattern_is = pattern.as_ref().map_or(Pattern::Up, |p| p.value);
    let (spread, why) = usual_spread(&asked, pattern_is, gaps as f64, batten.width.value, room);
    let spread = r.size_or("fastening.spread", &f.spread, spread, why);
    let thick = diameter.as_ref().is_some_and(|d| d.value > inches(1.0));
    if thick {
        let span = f.diameter.as_ref().map_or(at.clone(), |w| w.span.clone());
        r.fault(span, "fastening.diameter", "a fastener an inch thick or more", "nails and screws are below 3/8 in");
    }
    // One fault is enough for a shank that is too thick.
    if !thick
        && let (Some(diameter), Some(head)) = (&diameter, &head)
        && head.value <= diameter.value
    {
        let span = f.head.as_ref().map_or(at, |w| w.span.clone());
        r.fault(span, "fastening.head", "the head is not wider than the shank", "head is a diameter");
    }
    Some(Fastening {
        kind: kind?,
        diameter: diameter?,
        length: length?,
        head: head?,
        per_landing: per_landing?,
        pattern: pattern?,
        spread: spread?,
        predrilled: predrilled?,
    })
}

/// How far apart the first and the last fastener of a landing stand where it is not written, and why. `gaps` are between
/// neighbours, `room` is what the edge distances leave of the batten's width.
///
/// One above the other they stand in one grain line of the rafter, and there the least spacing is longest.
fn usual_spread(asked: &Asked, pattern: Pattern, gaps: f64, width: Length, room: Length) -> (Length, &'static str) {
    let least = |grain_up: bool| {
        let apart = asked.apart(grain_up);
        match pattern {
            Pattern::Up => apart.up.value,
            // Half as far across as up.
            Pattern::Diagonal => apart.up.value.min(2.0 * apart.across.value),
            Pattern::Across => 0.0,
        }
    };
    let least = gaps * least(false).max(least(true));
    // The same whatever the units of the file: they change no plan.
    let mark = inches(1.0 / 16.0).metres();
    let (up, down) = ((least / mark - 1e-6).ceil() * mark, (room.metres() / mark + 1e-6).floor() * mark);
    let half = width.metres() / 2.0;
    match pattern {
        Pattern::Across => (inches(0.75), "both over a member of 1 1/2 in; common practice, no source"),
        _ if least <= half => (width / 2.0, "half the batten's width; common practice, no source"),
        _ if up <= down => (Length::from_metres(up), "the least spacing that fastener-spacing-short asks"),
        _ => (
            Length::from_metres(down.max(half)),
            "as far as the edge distance in the batten lets them; fastener-spacing-short asks for more",
        ),
    }
}

const PRACTICE_EDGE: (f64, &str) = (2.5, "2.5 diameters; common practice, no source");
/// Thinner than this no screw is a lag screw: 6 mm, with a little for rounding.
const LEAST_LAG: Length = Length::from_metres(0.005_99);
const LEAD_HOLES: &str = "lag screws go into lead holes: NDS-2018 12.1.4, EN 1995-1-1 10.4.5 (from memory)";

/// What lag screws keep from the sides of members and battens and from the ends of battens, in diameters, each with its reason.
fn of_lag_screws(european: bool) -> [(f64, &'static str); 3] {
    if european {
        [
            (4.0, "4 diameters: EN 1995-1-1 Table 8.6, a2,CG (from memory)"),
            (4.0, "4 diameters: EN 1995-1-1 Table 8.4, a4,t (from memory)"),
            (10.0, "10 diameters: EN 1995-1-1 Table 8.6, a1,CG (from memory)"),
        ]
    } else {
        [
            (1.5, "1.5 diameters, load along the grain: NDS-2018 Table 12.5.1C (from memory)"),
            (4.0, "4 diameters, load across the grain: NDS-2018 Table 12.5.1C (from memory)"),
            (4.0, "4 diameters, load across the grain: NDS-2018 Table 12.5.1A (from memory)"),
        ]
    }
}

/// The limits, some of which follow from the fastener.
pub fn limits(r: &mut Reader<'_>, file: &DesignFile, fastening: &Fastening) -> Option<Limits> {
    let f = file.limits.as_ref().map(Located::get);
    let d = fastening.diameter.value;
    let embedment = r.size_or(
        "limits.embedment",
        f.map_or(&None, |f| &f.embedment),
        d * 10.0,
        "10 diameters: with less, NDS 12.1 reduces lateral values (from memory)",
    );
    let rules = file.strength.as_ref().and_then(|s| s.get().rules.as_ref()).and_then(|w| w.read().ok());
    let lag = (fastening.kind.value == FastenerKind::LagScrew).then(|| of_lag_screws(rules == Some(RuleSet::Ec5)));
    let (edge, end) = match (lag, fastening.predrilled.value) {
        (Some([edge, _, end]), _) => (edge, end),
        (None, true) => (PRACTICE_EDGE, (5.0, "5 diameters when pre-drilled: NDS commentary (from memory)")),
        (None, false) => (PRACTICE_EDGE, (10.0, "10 diameters when not pre-drilled: NDS commentary (from memory)")),
    };
    let edge = r.size_or("limits.edge_distance", f.map_or(&None, |f| &f.edge_distance), d * edge.0, edge.1);
    let batten_edge = match (lag, f.map_or(&None, |f| &f.batten_edge)) {
        (None, None) => edge.clone(),
        (lag, written) => {
            let (times, why) = lag.map_or(PRACTICE_EDGE, |[_, batten, _]| batten);
            r.size_or("limits.batten_edge", written, d * times, why)
        }
    };
    let end = r.size_or("limits.end_distance", f.map_or(&None, |f| &f.end_distance), d * end.0, end.1);
    let tape = r.length_or("limits.tape_margin", f.map_or(&None, |f| &f.tape_margin), inches(0.25), PRACTICE);
    let run = r.size_or("limits.run", f.map_or(&None, |f| &f.run), inches(24.0), PRACTICE);
    let end_run = r.size_or("limits.end_run", f.map_or(&None, |f| &f.end_run), inches(6.0), PRACTICE);
    let tolerance = r.length_or("limits.tolerance", f.map_or(&None, |f| &f.tolerance), inches(0.25), "rough framing is true to about 1/4 in in 10 ft (Handbook of Construction Tolerances, as quoted in trade texts)");
    let hair = r.length_or(
        "limits.hair",
        f.map_or(&None, |f| &f.hair),
        inches(1.0 / 32.0),
        "half the finest mark of most tapes; common practice, no source",
    );
    let gap = r.length_or("limits.gap", f.map_or(&None, |f| &f.gap), inches(1.0 / 16.0), PRACTICE);
    Some(Limits {
        embedment: embedment?,
        edge_distance: edge?,
        batten_edge: batten_edge?,
        end_distance: end?,
        tape_margin: tape?,
        run: run?,
        end_run: end_run?,
        hair: hair?,
        tolerance: tolerance?,
        gap: gap?,
    })
}

/// Landing rules, single landings and moves.
pub struct Rules {
    pub rules: Vec<LandingRule>,
    pub singles: Vec<SingleLanding>,
    pub moves: Vec<Move>,
}

/// All landing rules.
pub fn landing_rules(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope], members: &Kinds) -> Rules {
    let rules = each(r, "landings", &file.landings, |r, k, t: &Located<LandingsFile>| {
        let (f, at) = (t.get(), t.span());
        let on = slope_list(r, &format!("{k}.slopes"), &f.slopes, &at, slopes);
        let over = match &f.over {
            Some(list) => {
                let kinds: Vec<Option<MemberKind>> = list
                    .iter()
                    .enumerate()
                    .map(|(i, w)| r.maybe(&format!("{k}.over[{}]", i + 1), &Some(w.clone())).map(|g| g.value))
                    .collect();
                for (i, kind) in kinds.iter().enumerate().filter(|(_, k)| k.is_some_and(MemberKind::makes_lines)) {
                    let what = kind.map_or("", MemberKind::word);
                    let span = list.get(i).map_or(at.clone(), |w| w.span.clone());
                    let hint = "landings of their own lie over lookouts, blocks, headers, ledgers and the like";
                    r.fault(
                        span,
                        &format!("{k}.over[{}]", i + 1),
                        format!("a {what} makes a line, with a landing at every crossing"),
                        hint,
                    );
                }
                for (i, kind) in kinds.iter().enumerate() {
                    if let (Some(on), Some(kind)) = (&on, kind)
                        && !kind.makes_lines()
                        && !members.seen_by(*kind, on)
                    {
                        let span = list.get(i).map_or(at.clone(), |w| w.span.clone());
                        let message =
                            format!("no {} is there on these slopes, so that there is no landing", kind.word());
                        let hint = "name kinds of members that the design has there, or leave this one out";
                        r.fault(span, &format!("{k}.over[{}]", i + 1), message, hint);
                    }
                }
                if list.is_empty() {
                    let hint = "kinds of members: over = [\"lookout\", \"block\"]";
                    r.fault(at.start..at.start, &format!("{k}.over"), "landings over nothing", hint);
                }
                let line = list.first().map_or(0, |w| r.line(w.span.start));
                let value = kinds.into_iter().collect::<Option<Vec<_>>>();
                value.map(|value| Given { value, origin: Origin::Written(line) })
            }
            None => {
                r.fault(
                    at.start..at.start,
                    &format!("{k}.over"),
                    "missing `over`",
                    "kinds of members: over = [\"lookout\", \"block\"]",
                );
                None
            }
        };
        let inset = r.length_or(&format!("{k}.inset"), &f.inset, inches(2.0), PRACTICE);
        let spacing = match &f.spacing {
            Some(_) => r.size(&format!("{k}.spacing"), &f.spacing, &at, "").map(Some),
            None => Some(None),
        };
        Some(LandingRule { slopes: on?, over: over?, inset: inset?, spacing: spacing? })
    });
    let singles = each(r, "landing", &file.landing, |r, k, t: &Located<LandingFile>| {
        let (f, at) = (t.get(), t.span());
        let course = r.need(&format!("{k}.course"), &f.course, &at, "the name of a course, such as \"S-B03\"");
        let x = r.need(&format!("{k}.x"), &f.x, &at, "x of the landing's middle");
        let span = f.course.as_ref().map_or(at, |w| w.span.clone());
        let x = x.unwrap_or(Given { value: Length::ZERO, origin: Origin::Derived(NOTHING) });
        let pattern = r.maybe(&format!("{k}.pattern"), &f.pattern).map_or(Pattern::Across, |p| p.value);
        Some(SingleLanding { course: course?.value, x, pattern, key: k.to_owned(), span })
    });
    let nothing = Given { value: Length::ZERO, origin: Origin::Derived(NOTHING) };
    let mut moves = each(r, "move", &file.moves, |r, k, t: &Located<MoveFile>| {
        let f = t.get();
        let across = r.place_or_zero(&format!("{k}.across"), &f.across, "not moved across");
        let up = r.place_or_zero(&format!("{k}.up"), &f.up, "not moved up");
        let by = (across.unwrap_or(nothing.clone()), up.unwrap_or(nothing.clone()));
        of_landing(r, k, &t.span(), (&f.landing, &f.at), by, false)
    });
    moves.extend(each(r, "skip", &file.skip, |r, k, t: &Located<SkipFile>| {
        let (f, by) = (t.get(), (nothing.clone(), nothing.clone()));
        of_landing(r, k, &t.span(), (&f.landing, &f.at), by, true)
    }));
    let told = moves.iter().map(|m| (m.landing.as_str(), &m.span, format!("{}.landing", m.key)));
    once_each(r, told, |landing| format!("\"{landing}\" is moved or skipped twice"), "one table for each landing");
    moves.sort_by(|a, b| a.landing.cmp(&b.landing));
    Rules { rules, singles, moves }
}

/// What a table says of the landing that it names.
fn of_landing(
    r: &mut Reader<'_>,
    k: &str,
    table: &Range<usize>,
    (landing, at): (&Option<Written<String>>, &Option<Vec<Written<Length>>>),
    (across, up): (Given<Length>, Given<Length>),
    skip: bool,
) -> Option<Move> {
    let name = r.need(&format!("{k}.landing"), landing, table, "the name of a landing, such as \"S-B03.L05\"");
    let span = landing.as_ref().map_or(table.clone(), |w| w.span.clone());
    // One at fault is told already.
    let at = match at {
        Some(at) => Some(r.pair(&format!("{k}.at"), at, table, false)?),
        None => None,
    };
    Some(Move { landing: name?.value, at, across, up, skip, key: k.to_owned(), span })
}

/// Gaps left in courses, as far as they could be judged.
pub fn gaps(r: &mut Reader<'_>, file: &DesignFile) -> Vec<CourseGap> {
    each(r, "gap", &file.gap, |r, k, t: &Located<GapFile>| {
        let (f, at) = (t.get(), t.span());
        let course = r.need(&format!("{k}.course"), &f.course, &at, "the name of a course, such as \"S-B03\"");
        let mut end = |name: &str, written: &Option<Written<Length>>| {
            let key = format!("{k}.{name}");
            if written.is_some() { r.place(&key, written)? } else { r.need(&key, written, &at, "x along the eave") }
        };
        let (from, to) = (end("from", &f.from), end("to", &f.to));
        if let (Some(from), Some(to)) = (&from, &to)
            && to.value <= from.value
        {
            let span = f.to.as_ref().map_or(at.clone(), |w| w.span.clone());
            r.fault(span, &format!("{k}.to"), "this gap ends before it begins", "`to` is further right than `from`");
        }
        let span = f.course.as_ref().map_or(at, |w| w.span.clone());
        // An end that is at fault has no place: then the gap takes nothing away.
        let nothing = Given { value: Length::ZERO, origin: Origin::Derived(NOTHING) };
        let (from, to) = from.zip(to).unwrap_or((nothing.clone(), nothing));
        Some(CourseGap { course: course?.value, from, to, key: k.to_owned(), span })
    })
}
