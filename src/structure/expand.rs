//! From fields to members: where each one stands, how its ends are cut, what it is called, and what was found of it.

use crate::design::{Design, FoundMember, MemberKind, MemberLine, MemberSpec, Origin, Section, SlopeId, Table};
use crate::solid::tolerance::SAME;
use crate::solid::{Plane, Point3, Pose, Sweep, Vector3, turn};

use super::edge_members::{edge_members, reach, world_pose};
use super::fields::{full_length, on_slope};
use super::{Member, Outline, SlopeFrame, State, follow};

/// A member before it has a name.
pub(super) struct Draft {
    pub(super) kind: MemberKind,
    pub(super) section: Section,
    pub(super) home: Option<SlopeId>,
    /// From the sweep's frame (y along, z out of the upper face) to the home frame.
    pub(super) pose: Pose,
    /// From the start of the line to its end.
    pub(super) length: f64,
    /// Planes that cut the ends at the start and at the end; where there are none the end is square.
    start_planes: Vec<Plane>,
    end_planes: Vec<Plane>,
    /// Where its name sorts: first and second coordinate.
    order: (f64, f64),
    /// The table that asks for it; none for one that follows an edge.
    table: Option<Table>,
}

/// All members of a state: drawn ones in the order of names, then those found or added.
pub fn members(design: &Design, slopes: &[SlopeFrame], framing_level: f64, state: State) -> Vec<Member> {
    let mut drafts = Vec::new();
    // Names come from the drawing: members are always expanded on the drawn outlines.
    let drawn: Vec<Outline> = design.slopes.iter().map(|s| Outline::of(s, State::Drawn)).collect();
    for (i, outline) in drawn.iter().enumerate() {
        drafts.extend(from_fields(design, SlopeId(i), outline, framing_level));
    }
    for spec in &design.members {
        drafts.extend(single(spec, &drawn, framing_level));
    }
    for m in edge_members(design, slopes, framing_level) {
        if let Some((pose, length)) = world_pose(&m.from, &m.to, 0.0) {
            let order = (drafts.len() as f64, 0.0);
            let square = Draft::square((m.kind, m.section), None, (pose, length), order, None);
            drafts.push(Draft { start_planes: m.low_planes, end_planes: m.high_planes, ..square });
        }
    }
    let mut all = named(drafts, slopes);
    let keys: Vec<(String, Option<SlopeId>, (f64, f64))> =
        all.iter().map(|(name, d)| (name.clone(), d.home, d.order)).collect();
    let drawn_count = all.len();
    for spec in &design.added {
        if let Some(draft) = single(spec, &drawn, framing_level) {
            let name = later_name(&keys, &all[drawn_count..], &draft, slopes);
            all.push((name, draft));
        }
    }
    let found_of = |name: &str| (state == State::Found).then(|| design.found_of(name)).flatten();
    let offsets: Vec<Offsets<'_>> = all
        .iter()
        .map(|(name, draft)| match found_of(name) {
            Some(f) => (f.offsets.iter().map(|(a, o)| (a.metres(), o.metres())).collect(), Some(f)),
            None => match follow::offsets(draft, &all, found_of) {
                Some((offsets, host)) => (offsets, Some(host)),
                None => (Vec::new(), None),
            },
        })
        .collect();
    all.into_iter()
        .zip(offsets)
        .enumerate()
        .filter(|(i, _)| state == State::Found || *i < drawn_count)
        .map(|(i, ((name, draft), (offsets, found)))| {
            let mut member = solid(name, draft, &offsets);
            member.added = i >= drawn_count;
            if let Some(found) = found {
                member.origin = design.found_origin(found.line);
            } else if member.added {
                member.origin = member.origin.line().map_or(member.origin.clone(), |l| design.found_origin(l));
            }
            if found.is_some_and(|f| f.missing) { member.gone() } else { member }
        })
        .collect()
}

/// How far a member is from its drawn line, place by place, and what says so: measured itself, or what it is nailed to.
type Offsets<'f> = (Vec<(f64, f64)>, Option<&'f FoundMember>);

/// Builds the member, bent by what was measured.
fn solid(name: String, draft: Draft, offsets: &[(f64, f64)]) -> Member {
    let past = reach(&draft.section);
    let start = if draft.start_planes.is_empty() { 0.0 } else { -past };
    let end = if draft.end_planes.is_empty() { draft.length } else { draft.length + past };
    // Measured to the right or upward; the side axis of a member along the eave points down the slope.
    let sign = draft.side_sign();
    let mut stations = vec![(start, offsets.first().map_or(0.0, |o| o.1 * sign))];
    for (at, off) in offsets.iter().filter(|o| o.0 > start + SAME && o.0 < end - SAME) {
        stations.push((*at, off * sign));
    }
    stations.push((end, offsets.last().map_or(0.0, |o| o.1 * sign)));
    let planes: Vec<Plane> = draft.start_planes.into_iter().chain(draft.end_planes).collect();
    let sweep = Sweep { profile: Member::profile(&draft.section), stations };
    let mut member = Member::new(name, draft.kind, draft.section, draft.home, sweep, draft.pose, planes, draft.length);
    member.origin = match &draft.table {
        Some(table) => Origin::Written(table.line),
        None => Origin::Derived("follows an edge that two slopes share"),
    };
    member.table = draft.table;
    member
}

impl Draft {
    /// One with square ends. `line` is its pose and its length.
    fn square(
        what: (MemberKind, Section),
        home: Option<SlopeId>,
        line: (Pose, f64),
        order: (f64, f64),
        table: Option<Table>,
    ) -> Draft {
        let ((kind, section), (pose, length)) = (what, line);
        Draft { kind, section, home, pose, length, start_planes: Vec::new(), end_planes: Vec::new(), order, table }
    }

    /// Whether the side axis points right and up (1) or left and down (-1).
    fn side_sign(&self) -> f64 {
        let side = self.pose.rotation * Vector3::x();
        if side.x > 1e-9 || (side.x.abs() <= 1e-9 && side.y > 0.0) { 1.0 } else { -1.0 }
    }
}

fn pose_on_slope(from: (f64, f64), to: (f64, f64), z: f64, roll: f64) -> Option<(Pose, f64)> {
    let d = Vector3::new(to.0 - from.0, to.1 - from.1, 0.0);
    let along = d.try_normalize(1e-9)?;
    let at = Point3::new(from.0, from.1, z);
    let pose = if along == Vector3::y() {
        Pose::translation(at.x, at.y, at.z)
    } else {
        Sweep::pose(&at, &along, &Vector3::z())?
    };
    let rolled = turn(Vector3::y_axis(), roll);
    Some((if roll == 0.0 { pose } else { pose * rolled }, d.norm()))
}

/// A single member. Along the eave it always runs from left to right, up the slope from low to high.
fn single(spec: &MemberSpec, outlines: &[Outline], framing_level: f64) -> Option<Draft> {
    match &spec.place {
        MemberLine::OnSlope { slope, from, to, drop, roll } => {
            let outline = outlines.get(slope.0)?;
            let (a, b) = ((from.0.metres(), from.1.metres()), (to.0.metres(), to.1.metres()));
            let across = (b.0 - a.0).abs() > (b.1 - a.1).abs();
            let turn = if across { b.0 < a.0 } else { b.1 < a.1 };
            let (a, b) = if turn { (b, a) } else { (a, b) };
            let line = pose_on_slope(a, b, framing_level - drop.metres(), roll.radians())?;
            let order = if across { (a.1, a.0) } else { (a.0, a.1) };
            // What runs up the slope and reaches the outline is cut there, like the members of a field.
            let mut draft =
                Draft::square((spec.kind, spec.section), Some(*slope), line, order, Some(spec.table.clone()));
            if !across && spec.kind.makes_lines() {
                let middle = (a.1 + b.1) / 2.0;
                let whole = full_length(spec.kind, spec.section, (a.0 + b.0) / 2.0, outline, &spec.table);
                if let Some(u) = whole.into_iter().find(|u| u.low.0 <= middle && middle <= u.high.0) {
                    if a.1 <= u.low.0 + REACHES {
                        draft.start_planes = u.low.1;
                    }
                    if b.1 >= u.high.0 - REACHES {
                        draft.end_planes = u.high.1;
                    }
                }
            }
            Some(draft)
        }
        MemberLine::InWorld { from, to, roll } => {
            let place = |p: &[crate::quantity::Length; 3]| Point3::new(p[0].metres(), p[1].metres(), p[2].metres());
            let line = world_pose(&place(from), &place(to), roll.radians())?;
            // World members are named in the order of the file, so that turning the building renames nothing.
            let order = (spec.table.line as f64, 0.0);
            Some(Draft::square((spec.kind, spec.section), None, line, order, Some(spec.table.clone())))
        }
    }
}

/// A member that ends so near to the outline reaches it, metres.
const REACHES: f64 = 1e-3;

/// What the fields put on a slope.
fn from_fields(design: &Design, slope: SlopeId, outline: &Outline, framing_level: f64) -> Vec<Draft> {
    let (uprights, across) = on_slope(design, slope, outline);
    let home = Some(slope);
    let up = uprights.into_iter().filter_map(|u| {
        let line = pose_on_slope((u.x, u.low.0), (u.x, u.high.0), framing_level - u.drop, 0.0)?;
        let square = Draft::square((u.kind, u.section), home, line, (u.x, u.low.0), Some(u.table));
        Some(Draft { start_planes: u.low.1, end_planes: u.high.1, ..square })
    });
    let along = across.into_iter().filter_map(|a| {
        let line = pose_on_slope((a.x.0, a.y), (a.x.1, a.y), framing_level - a.drop, 0.0)?;
        Some(Draft::square((a.kind, a.section), home, line, (a.y, a.x.0), Some(a.table)))
    });
    up.chain(along).collect()
}

/// Names in reading order: by kind and place on a slope, padded once for all.
fn named(mut drafts: Vec<Draft>, slopes: &[SlopeFrame]) -> Vec<(String, Draft)> {
    let group = |d: &Draft| (d.home.map_or(usize::MAX, |s| s.0), d.kind);
    drafts.sort_by(|a, b| {
        group(a).cmp(&group(b)).then(a.order.0.total_cmp(&b.order.0)).then(a.order.1.total_cmp(&b.order.1))
    });
    let mut counts = std::collections::BTreeMap::new();
    for d in &drafts {
        *counts.entry(group(d)).or_insert(0usize) += 1;
    }
    let mut seen = std::collections::BTreeMap::new();
    drafts
        .into_iter()
        .map(|d| {
            let key = group(&d);
            let number = seen.entry(key).or_insert(0usize);
            *number += 1;
            let digits = counts.get(&key).map_or(2, |n| n.to_string().len().max(2));
            (format!("{}{}{:0digits$}", prefix(d.home, slopes), d.kind.letters(), number), d)
        })
        .collect()
}

fn prefix(home: Option<SlopeId>, slopes: &[SlopeFrame]) -> String {
    home.and_then(|s| slopes.get(s.0)).map_or_else(String::new, |s| format!("{}-", s.name))
}

/// The name of a member found or added later: its lower neighbour's, with a letter; before the first: number 0.
fn later_name(
    drawn: &[(String, Option<SlopeId>, (f64, f64))],
    later: &[(String, Draft)],
    draft: &Draft,
    slopes: &[SlopeFrame],
) -> String {
    let opening = format!("{}{}", prefix(draft.home, slopes), draft.kind.letters());
    let is_kind = |name: &str| {
        name.strip_prefix(opening.as_str()).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
    };
    let lower = drawn
        .iter()
        .filter(|(name, home, order)| {
            let (dx, dy) = (order.0 - draft.order.0, order.1 - draft.order.1);
            *home == draft.home && is_kind(name) && (dx < -SAME || (dx <= SAME && dy <= SAME))
        })
        .max_by(|a, b| a.2.0.total_cmp(&b.2.0).then(a.2.1.total_cmp(&b.2.1)))
        .map_or_else(|| format!("{opening}00"), |(name, ..)| name.clone());
    let taken = |name: &str| later.iter().any(|(n, _)| n == name);
    (1usize..)
        .map(|k| format!("{lower}{}", letters(k)))
        .find(|name| !taken(name))
        .unwrap_or_else(|| format!("{lower}z"))
}

/// 1 is a, 26 is z, 27 is aa.
pub fn letters(mut k: usize) -> String {
    let mut text = Vec::new();
    while k > 0 {
        k -= 1;
        text.push(char::from(b'a' + u8::try_from(k % 26).unwrap_or(0)));
        k /= 26;
    }
    text.iter().rev().collect()
}
