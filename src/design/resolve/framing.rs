//! Fields, single members and straps. Nothing here is ever assumed: what is not written is a fault.

use std::ops::Range;

use super::super::file::{
    BlockingFile, DesignFile, Located, LookoutsFile, MemberFile, NailFieldFile, RaftersFile, StrapsFile, TrimFile,
};
use super::super::model::*;
use super::super::reader::Reader;
use super::super::written::Written;
use super::kinds::Kinds;
use super::plane::lies_under;
use super::{section, slope_list, slope_named};
use crate::quantity::{Angle, Length};

/// The framing part of a design.
pub struct Framing {
    pub rafters: Vec<RafterField>,
    pub lookouts: Vec<LookoutField>,
    pub blocking: Vec<BlockRow>,
    pub trims: Vec<Trim>,
    pub members: Vec<MemberSpec>,
    pub straps: Vec<StrapField>,
}

/// All framing.
pub fn framing(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope], kinds: &Kinds) -> Framing {
    if file.rafters.is_empty() && file.member.is_empty() && !r.may_lack("member") {
        r.fault(
            0..0,
            "rafters",
            "no framing",
            "what framing is there is never assumed: write [[rafters]] with section and spacing, or [[member]]",
        );
    }
    let mut rafters = each(r, "rafters", &file.rafters, |r, k, t| rafter_field(r, k, t, MemberKind::Rafter, slopes));
    let tails = each(r, "tails", &file.tails, |r, k, t| rafter_field(r, k, t, MemberKind::Tail, slopes));
    let named = opening_names(file);
    let lookouts = each(r, "lookouts", &file.lookouts, |r, k, t| lookout_field(r, k, t, slopes));
    let blocking = each(r, "blocking", &file.blocking, |r, k, t| block_row(r, k, t, slopes));
    let trims = each(r, "trim", &file.trim, |r, k, t| trim(r, k, t, slopes, named.as_deref()));
    let members = each(r, "member", &file.member, |r, k, t| {
        let spec = member(r, k, t, slopes)?;
        under_slope(r, k, t, &spec, slopes, &[]);
        Some(spec)
    });
    let straps = each(r, "straps", &file.straps, |r, k, t| strap_field(r, k, t, slopes, kinds));
    rafters.extend(tails);
    Framing { rafters, lookouts, blocking, trims, members, straps }
}

/// Wood of members, where a table says it.
pub fn woods(r: &mut Reader<'_>, file: &DesignFile) -> Vec<MemberWood> {
    let mut all = Vec::new();
    let mut add = |list: &str, number: usize, written: &Option<Written<String>>| {
        let table = format!("{list}[{}]", number + 1);
        if let Some(wood) = r.maybe(&format!("{table}.wood"), written) {
            all.push(MemberWood { table, wood });
        }
    };
    for (list, tables) in [("rafters", &file.rafters), ("tails", &file.tails)] {
        tables.iter().enumerate().for_each(|(i, t)| add(list, i, &t.get().wood));
    }
    file.lookouts.iter().enumerate().for_each(|(i, t)| add("lookouts", i, &t.get().wood));
    file.blocking.iter().enumerate().for_each(|(i, t)| add("blocking", i, &t.get().wood));
    file.trim.iter().enumerate().for_each(|(i, t)| add("trim", i, &t.get().wood));
    let added = file.found.iter().flat_map(|f| &f.get().added);
    file.member.iter().enumerate().for_each(|(i, t)| add("member", i, &t.get().wood));
    added.enumerate().for_each(|(i, t)| add("found.added", i, &t.get().wood));
    all
}

/// The names of all openings; `None` where one has none that can be read.
pub fn opening_names(file: &DesignFile) -> Option<Vec<String>> {
    file.opening.iter().map(|o| o.get().name.as_ref()?.read().ok()).collect()
}

/// Resolves every table of a list, so that all their faults are found; those without a fault come out.
pub fn each<'a, F, T>(
    r: &mut Reader<'_>,
    key: &str,
    tables: &'a [Located<F>],
    mut one: impl FnMut(&mut Reader<'_>, &str, &'a Located<F>) -> Option<T>,
) -> Vec<T> {
    r.tables(key, tables).into_iter().filter_map(|(k, t)| one(r, &k, t)).collect()
}

const SPACING: &str = "the on-centre spacing is never assumed: write spacing = \"24 in\" or \"600 mm\"";

fn rafter_field(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<RaftersFile>,
    kind: MemberKind,
    slopes: &[Slope],
) -> Option<RafterField> {
    let (f, at) = (located.get(), located.span());
    let k = |name: &str| format!("{key}.{name}");
    let on = slope_list(r, &k("slopes"), &f.slopes, &at, slopes);
    let section = section(r, &k("section"), &f.section, &at);
    let spacing = r.size(&k("spacing"), &f.spacing, &at, SPACING);
    let half = section.as_ref().map_or(Length::ZERO, |s| s.width() / 2.0);
    let first = r.length_or(
        &k("first"),
        &f.first,
        half,
        "half the member's width: its side is flush with the outline's left end",
    );
    let last = r.place(&k("last"), &f.last);
    let close = match &f.close {
        Some(w) => {
            if f.last.is_none() && !r.may_lack(&k("last")) {
                r.fault(
                    w.span.clone(),
                    &k("close"),
                    "`close` without `last`",
                    "write last = \"..\", where the closing member stands",
                );
            }
            r.maybe(&k("close"), &f.close)
        }
        None => r.or(&k("close"), &f.close, false, "false", "no member beyond the last whole spacing"),
    };
    let low = r.place(&k("low"), &f.low);
    let high = r.place(&k("high"), &f.high);
    let cantilever = r.place_or_zero(&k("cantilever"), &f.cantilever, "members end at their bearing line");
    let drop = r.place_or_zero(&k("drop"), &f.drop, "upper faces lie in the plane of the framing");
    if let (Some(Some(a)), Some(Some(b))) = (&low, &high)
        && b.value <= a.value
    {
        let span = f.high.as_ref().map_or(at.clone(), |w| w.span.clone());
        r.fault(span, &k("high"), "the upper end is not above the lower end", "high is larger than low");
    } else if let (Some(on), Some(Some(low)), Some(cantilever)) = (&on, &low, &cantilever)
        && low.value - cantilever.value >= slopes_reach(slopes, on, |c| c.1)
    {
        let span = f.low.as_ref().map_or(at.clone(), |w| w.span.clone());
        r.fault(span, &k("low"), NOT_UNDER, "low counts up the slope from its lowest place");
    } else if let Some(Some(high)) = &high
        && high.value <= Length::ZERO
    {
        let span = f.high.as_ref().map_or(at.clone(), |w| w.span.clone());
        r.fault(span, &k("high"), NOT_UNDER, "high counts up the slope from its lowest place");
    }
    if let (Some(on), Some(first), Some(last)) = (&on, &first, &last) {
        let widest = slopes_reach(slopes, on, |c| c.0) + half;
        first_and_last(r, &k, (&f.first, &f.last), &at, (first.value, last.as_ref().map(|l| l.value), widest));
    }
    if kind == MemberKind::Tail && f.high.is_none() {
        r.fault(
            at.start..at.start,
            &k("high"),
            "missing `high`",
            "where do the tails end, up the slope? write high = \"24 in\" or \"600 mm\"",
        );
        return None;
    }
    Some(RafterField {
        slopes: on?,
        kind,
        section: section?,
        spacing: spacing?,
        first: first?,
        last: last?,
        close: close?,
        low: low?,
        high: high?,
        cantilever: cantilever?,
        drop: drop?,
        table: Table { key: key.to_owned(), line: r.line(at.start), start: at.start },
    })
}

/// How far past the outline framing may reach.
const OUTSIDE: Length = Length::from_metres(2.0);

const NOT_UNDER: &str = "nothing of this lies under the slope";

/// Greatest x or y of any of some slopes; endless where the slopes themselves are wrong.
fn slopes_reach(slopes: &[Slope], on: &[SlopeId], pick: fn(&Corner) -> Length) -> Length {
    if slopes.is_empty() {
        return Length::from_metres(f64::INFINITY);
    }
    on.iter().filter_map(|id| slopes.get(id.0)).flat_map(|s| &s.outline).map(pick).fold(Length::ZERO, Length::max)
}

/// Faults of the first and the last place of a field, of which none lies beyond `furthest`.
fn first_and_last(
    r: &mut Reader<'_>,
    k: &impl Fn(&str) -> String,
    written: (&Option<Written<Length>>, &Option<Written<Length>>),
    at: &Range<usize>,
    (first, last, furthest): (Length, Option<Length>, Length),
) {
    let span = |w: &Option<Written<Length>>| w.as_ref().map_or(at.start..at.start, |w| w.span.clone());
    if let Some(last) = last.filter(|last| *last < first) {
        let show = |v: Length| v.show_fine(r.units);
        let message = format!("`last` ({}) lies before `first` ({})", show(last), show(first));
        r.fault(
            span(written.1),
            &k("last"),
            message,
            "`last` is not less than `first`; leave it out to go on to the end",
        );
    } else if first > furthest {
        let hint = format!("the last place where one would lie under the slope is {}", furthest.show_fine(r.units));
        r.fault(span(written.0), &k("first"), NOT_UNDER, hint);
    }
}

const LEFT_OF: &str = "the right end is not to the right of the left end";

fn lookout_field(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<LookoutsFile>,
    slopes: &[Slope],
) -> Option<LookoutField> {
    let (f, at) = (located.get(), located.span());
    let k = |name: &str| format!("{key}.{name}");
    let on = slope_list(r, &k("slopes"), &f.slopes, &at, slopes);
    let section = section(r, &k("section"), &f.section, &at);
    let spacing = r.size(&k("spacing"), &f.spacing, &at, SPACING);
    let first = r.need(&k("first"), &f.first, &at, "y of the first lookout's centre line");
    let last = r.place(&k("last"), &f.last);
    let from = r.need(&k("from"), &f.from, &at, "x of the lookouts' left ends");
    let to = r.need(&k("to"), &f.to, &at, "x of the lookouts' right ends");
    let drop = r.place_or_zero(&k("drop"), &f.drop, "upper faces lie in the plane of the framing");
    if let (Some(from), Some(to)) = (&from, &to) {
        let span = || f.to.as_ref().map_or(at.clone(), |w| w.span.clone());
        let widest = on.as_ref().map_or(Length::from_metres(f64::INFINITY), |on| slopes_reach(slopes, on, |c| c.0));
        if to.value <= from.value {
            r.fault(span(), &k("to"), LEFT_OF, "to is larger than from");
        } else if from.value < -OUTSIDE
            || to.value > widest + OUTSIDE
            || to.value <= Length::ZERO
            || from.value >= widest
        {
            let hint = "from and to count along the eave from the left";
            r.fault(span(), &k("to"), "these lookouts do not lie under the slope", hint);
        }
    }
    if let (Some(on), Some(first), Some(last)) = (&on, &first, &last) {
        let tallest = slopes_reach(slopes, on, |c| c.1);
        first_and_last(r, &k, (&f.first, &f.last), &at, (first.value, last.as_ref().map(|l| l.value), tallest));
    }
    let (from, to) = (from?, to?);
    Some(LookoutField {
        slopes: on?,
        section: section?,
        spacing: spacing?,
        first: first?,
        last: last?,
        from,
        to,
        drop: drop?,
        table: Table { key: key.to_owned(), line: r.line(at.start), start: at.start },
    })
}

fn block_row(r: &mut Reader<'_>, key: &str, located: &Located<BlockingFile>, slopes: &[Slope]) -> Option<BlockRow> {
    let (f, at) = (located.get(), located.span());
    let k = |name: &str| format!("{key}.{name}");
    let on = slope_list(r, &k("slopes"), &f.slopes, &at, slopes);
    let section = section(r, &k("section"), &f.section, &at);
    let rows = match &f.at {
        Some(rows) => {
            let line = rows.first().map_or(0, |w| r.line(w.span.start));
            r.lengths(&k("at"), rows, false).map(|value| Given { value, origin: Origin::Written(line) })
        }
        None => {
            r.fault(at.start..at.start, &k("at"), "missing `at`", "y of each row: at = [\"4 ft\", \"8 ft\"]");
            None
        }
    };
    if f.at.as_ref().is_some_and(Vec::is_empty) {
        r.fault(at.start..at.start, &k("at"), "no row of blocks", "y of each row: at = [\"4 ft\", \"8 ft\"]");
    }
    let from = r.place(&k("from"), &f.from);
    let to = r.place(&k("to"), &f.to);
    let drop = r.place_or_zero(&k("drop"), &f.drop, "upper faces lie in the plane of the framing");
    if let (Some(on), Some(rows), Some(written)) = (&on, &rows, &f.at) {
        let tallest = slopes_reach(slopes, on, |c| c.1);
        for (i, (y, w)) in rows.value.iter().zip(written).enumerate() {
            if *y <= Length::ZERO || *y >= tallest {
                let hint = format!("rows lie between 0 and {}, up the slope", tallest.show_fine(r.units));
                r.fault(w.span.clone(), &format!("{}[{}]", k("at"), i + 1), "this row does not lie on the slope", hint);
            }
        }
    }
    let widest = on.as_ref().map_or(Length::from_metres(f64::INFINITY), |on| slopes_reach(slopes, on, |c| c.0));
    let given = |w: &Option<Option<Given<Length>>>| w.as_ref().and_then(|g| g.as_ref()).map(|g| g.value);
    let (left, right) = (given(&from), given(&to));
    let (of_from, of_to) = [&f.from, &f.to].map(|w| w.as_ref().map_or(at.start..at.start, |w| w.span.clone())).into();
    if left.zip(right).is_some_and(|(left, right)| right <= left) {
        r.fault(of_to, &k("to"), LEFT_OF, "to is larger than from");
    } else if left.is_some_and(|left| left >= widest) {
        r.fault(of_from, &k("from"), NOT_UNDER, "from counts along the eave from the left");
    } else if right.is_some_and(|right| right <= Length::ZERO) {
        r.fault(of_to, &k("to"), NOT_UNDER, "to counts along the eave from the left");
    }
    Some(BlockRow {
        slopes: on?,
        section: section?,
        at: rows?,
        from: from?,
        to: to?,
        drop: drop?,
        table: Table { key: key.to_owned(), line: r.line(at.start), start: at.start },
    })
}

fn trim(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<TrimFile>,
    slopes: &[Slope],
    named: Option<&[String]>,
) -> Option<Trim> {
    let (f, at) = (located.get(), located.span());
    let k = |name: &str| format!("{key}.{name}");
    let name = r.need(&k("opening"), &f.opening, &at, "the name of the opening");
    let section = section(r, &k("section"), &f.section, &at);
    let trimmers = r.count_or(&k("trimmers"), &f.trimmers, 1, 1..=2, "one at each side");
    let headers = r.count_or(&k("headers"), &f.headers, 1, 1..=2, "one above and one below");
    let clearance = r.place_or_zero(&k("clearance"), &f.clearance, "the framing stands right at the opening");
    let name = name?.value;
    let found = slopes
        .iter()
        .enumerate()
        .find_map(|(i, s)| Some((SlopeId(i), s.openings.iter().position(|o| o.name == name)?)));
    // An opening that is itself at fault is told there.
    if let Some(named) = named
        && found.is_none()
        && !r.may_lack("opening")
        && !named.contains(&name)
    {
        let span = f.opening.as_ref().map_or(at.clone(), |w| w.span.clone());
        r.fault(
            span,
            &k("opening"),
            format!("no opening is named \"{name}\""),
            format!("openings: {}", if named.is_empty() { "none".to_owned() } else { named.join(", ") }),
        );
    }
    Some(Trim {
        opening: found?,
        section: section?,
        trimmers: trimmers?,
        headers: headers?,
        clearance: clearance?,
        table: Table { key: key.to_owned(), line: r.line(at.start), start: at.start },
    })
}

/// A single member, on a slope or in the world.
pub fn member(r: &mut Reader<'_>, key: &str, located: &Located<MemberFile>, slopes: &[Slope]) -> Option<MemberSpec> {
    let (f, at) = (located.get(), located.span());
    let k = |name: &str| format!("{key}.{name}");
    let kind = r.need(&k("kind"), &f.kind, &at, "such as \"block\" or \"ledger\"");
    let section = section(r, &k("section"), &f.section, &at);
    let roll = match &f.roll {
        Some(_) => r.maybe(&k("roll"), &f.roll).map(|g| g.value),
        None => Some(Angle::from_radians(0.0)),
    };
    let drop = r.place_or_zero(&k("drop"), &f.drop, "upper faces lie in the plane of the framing");
    let mut missing = |name: &str| {
        r.fault(
            at.start..at.start,
            &k(name),
            format!("missing `{name}`"),
            "from and to are the ends of the upper face's centre line",
        );
    };
    if f.from.is_none() {
        missing("from");
    }
    if f.to.is_none() {
        missing("to");
    }
    // A misspelt `slope` still says that the member lies on one.
    let misspelt = f.slope.is_none() && r.may_lack(&k("slope"));
    let slope = match &f.slope {
        None => misspelt.then_some(None),
        written => Some(slope_named(r, &k("slope"), written, slopes)),
    };
    let two = |w: &Option<Vec<Written<Length>>>| w.as_ref().is_some_and(|w| w.len() == 2);
    let only = slopes.len() <= 1 && r.slope_names.len() <= 1 && (two(&f.from) || two(&f.to));
    let line = if slope.is_some() || only {
        let from = f.from.as_ref().and_then(|w| r.pair(&k("from"), w, &at, false));
        let to = f.to.as_ref().and_then(|w| r.pair(&k("to"), w, &at, false));
        let far = from.zip(to).and_then(|(f, t)| apart(r, &k("to"), &at, [f.0 - t.0, f.1 - t.1, Length::ZERO]));
        far.and_then(|()| {
            let slope = slope.unwrap_or(Some(SlopeId(0)))?;
            Some(MemberLine::OnSlope { slope, from: from?, to: to?, drop: drop?.value, roll: roll? })
        })
    } else {
        let from = f.from.as_ref().and_then(|w| r.triple(&k("from"), w, &at));
        let to = f.to.as_ref().and_then(|w| r.triple(&k("to"), w, &at));
        let far = from.zip(to).and_then(|(f, t)| apart(r, &k("to"), &at, [f[0] - t[0], f[1] - t[1], f[2] - t[2]]));
        far.and_then(|()| Some(MemberLine::InWorld { from: from?, to: to?, roll: roll? }))
    };
    Some(MemberSpec {
        kind: kind?.value,
        section: section?.value,
        place: line?,
        table: Table { key: key.to_owned(), line: r.line(at.start), start: at.start },
    })
}

/// A fault where a single member lies under no part of its slope, as drawn or as one of these outlines has it.
pub fn under_slope(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<MemberFile>,
    spec: &MemberSpec,
    slopes: &[Slope],
    found: &[(SlopeId, Vec<Corner>)],
) {
    let MemberLine::OnSlope { slope, from, to, roll, .. } = &spec.place else { return };
    let Some(drawn) = slopes.get(slope.0) else { return };
    let (w, d) = (spec.section.width().metres(), spec.section.depth().metres());
    let half = if roll.radians() == 0.0 { w } else { w.max(d) } / 2.0;
    let ends = [from, to].map(|c| (c.0.metres(), c.1.metres()));
    let measured = found.iter().filter(|f| f.0 == *slope).map(|f| &f.1);
    let under = measured.chain([&drawn.outline]).any(|outline| {
        let outline: Vec<(f64, f64)> = outline.iter().map(|c| (c.0.metres(), c.1.metres())).collect();
        lies_under(ends, half, &outline)
    });
    if !under {
        let at = located.span().start;
        let message = format!("this member lies under no part of slope {}", drawn.name);
        let hint = "from and to count along the eave and up the slope from its lower left; a member elsewhere has no `slope` \
                    and three lengths each";
        r.fault(at..at, key, message, hint);
    }
}

fn apart(r: &mut Reader<'_>, key: &str, at: &Range<usize>, d: [Length; 3]) -> Option<()> {
    let length = d.iter().map(|v| v.metres() * v.metres()).sum::<f64>().sqrt();
    if length < 0.01 {
        r.fault(at.start..at.start, key, "a member shorter than 10 mm", "from and to are its two ends");
        return None;
    }
    Some(())
}

/// A fault where the gap of a strap leaves no nail on a side of its seam. `at` has its lower end, its upper end, its seam and
/// its gap.
fn nails_beside(
    r: &mut Reader<'_>,
    key: &str,
    span: Range<usize>,
    at: (&Given<Length>, &Given<Length>, &Given<Length>, &Given<Length>),
    nails: &NailField,
) {
    let (low, high, seam, gap) = at;
    let (first, last) = nails.first_and_last(low.value, high.value);
    let half = gap.value / 2.0;
    let (from, to) = (seam.value - half, seam.value + half);
    let side = match (seam.value - first >= half, last - seam.value >= half) {
        (true, true) => return,
        (false, true) => "below",
        (true, false) => "above",
        (false, false) => "on either side of",
    };
    let show = |v: Length| v.show_fine(r.units);
    let hint = format!(
        "the gap reaches from {} to {}, the strap's outermost nails stand at {} and {}: shorten the gap or lengthen the strap",
        show(from),
        show(to),
        show(first),
        show(last)
    );
    r.fault(span, key, format!("no nail is left {side} the seam, so that the strap ties nothing"), hint);
}

fn strap_field(
    r: &mut Reader<'_>,
    key: &str,
    located: &Located<StrapsFile>,
    slopes: &[Slope],
    kinds: &Kinds,
) -> Option<StrapField> {
    let (f, at) = (located.get(), located.span());
    let k = |name: &str| format!("{key}.{name}");
    let on = slope_list(r, &k("slopes"), &f.slopes, &at, slopes);
    let along = r.need(&k("along"), &f.along, &at, "the kind of member that straps run along, such as \"tail\"");
    let shift = r.place_or_zero(&k("shift"), &f.shift, "straps lie along the middle of their members");
    let side = r.or(
        &k("side"),
        &f.side,
        StrapSide::Right,
        "right",
        "all straps lie on the same side; common practice, no source",
    );
    let width = r.size(&k("width"), &f.width, &at, "width of the steel");
    let thickness = r.size(&k("thickness"), &f.thickness, &at, "thickness of the steel");
    let low = r.need(&k("low"), &f.low, &at, "y of the strap's lower end");
    let high = r.need(&k("high"), &f.high, &at, "y of the strap's upper end");
    let seam = r.need(&k("seam"), &f.seam, &at, "y of the seam that the strap bridges");
    let gap = r.size(&k("gap"), &f.gap, &at, "length of the stretch without nails over the seam");
    let place = r.or(
        &k("place"),
        &f.place,
        StrapPlace::OnTape,
        "on tape",
        "common practice, no source: the tape below seals round the strap's nails",
    );
    let strip = r.or(
        &k("strip"),
        &f.strip,
        StripOverStrap::Notched,
        "notched",
        "common practice, no source: the batten then lies flat",
    );
    let nails = nail_field(r, &k("nails"), &f.nails, &at);
    if let (Some(low), Some(high)) = (&low, &high) {
        let span = f.high.as_ref().map_or(at.clone(), |w| w.span.clone());
        let tallest = on.as_ref().map_or(Length::from_metres(f64::INFINITY), |on| slopes_reach(slopes, on, |c| c.1));
        if high.value <= low.value {
            r.fault(span, &k("high"), "the upper end is not above the lower end", "high is larger than low");
        } else if low.value < -OUTSIDE || high.value > tallest + OUTSIDE {
            r.fault(span, &k("high"), "the strap does not lie on the slope", "low and high are heights up the slope");
        } else if nails.as_ref().is_some_and(|n| n.end.metres() * 2.0 > high.metres() - low.metres()) {
            let hint = "twice `end` is less than the strap's length";
            r.fault(at.clone(), &k("nails.end"), "a strap without nails", hint);
        } else if let Some(seam) = &seam {
            let span = |w: &Option<Written<Length>>| w.as_ref().map_or(at.clone(), |w| w.span.clone());
            if seam.value <= low.value || seam.value >= high.value {
                let message = "the seam does not lie between the strap's ends, so that the strap does not cross it";
                r.fault(span(&f.seam), &k("seam"), message, "low is below the seam and high above it");
            } else if let (Some(gap), Some(nails)) = (&gap, &nails) {
                nails_beside(r, &k("gap"), span(&f.gap), (low, high, seam, gap), nails);
            }
        }
    }
    if let (Some(on), Some(along), Some(written)) = (&on, &along, &f.along)
        && !on.is_empty()
        && !kinds.drawn_on(along.value, on)
    {
        let message = format!("no {} is drawn on these slopes, so that there is no strap", along.value.word());
        let hint =
            "straps run along members of a field or along single members of their slope: name a kind that is there";
        r.fault(written.span.clone(), &k("along"), message, hint);
    }
    let (low, high, nails) = (low?, high?, nails?);
    Some(StrapField {
        slopes: on?,
        along: along?,
        shift: shift?,
        side: side?,
        width: width?,
        thickness: thickness?,
        low,
        high,
        seam: seam?,
        gap: gap?,
        place: place?,
        strip: strip?,
        nails,
    })
}

fn nail_field(
    r: &mut Reader<'_>,
    key: &str,
    written: &Option<Located<NailFieldFile>>,
    at: &Range<usize>,
) -> Option<NailField> {
    let Some(located) = written else {
        r.fault(
            at.start..at.start,
            key,
            "missing `nails`",
            "write nails = { diameter = \"..\", length = \"..\", spacing = \"..\", end = \"..\" }",
        );
        return None;
    };
    let (n, at) = (located.get(), located.span());
    let k = |name: &str| format!("{key}.{name}");
    let diameter = r.size(&k("diameter"), &n.diameter, &at, "a nail's diameter is never assumed");
    let length = r.size(&k("length"), &n.length, &at, "a nail's length is never assumed");
    let spacing = r.size(&k("spacing"), &n.spacing, &at, "spacing along the strap");
    let end = r.size(&k("end"), &n.end, &at, "distance of the first nail from the strap's end");
    let stagger = r.place_or_zero(&k("stagger"), &n.stagger, "nails in one row");
    Some(NailField { diameter: diameter?, length: length?, spacing: spacing?, end: end?, stagger: stagger? })
}
