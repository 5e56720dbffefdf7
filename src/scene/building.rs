//! From the checked plan to the scene: every part with its form, its place and its verdict.

use std::collections::BTreeMap;
use std::io;
use std::sync::Arc;

use super::air::AirMark;
use super::flutes::fluted;
use super::records::*;
use super::{Branch, Form, Layer, Look, Part, PartKind, PartSource, Scene, Texts};
use crate::check::{self, Context, Finding, OnSlope, Outcome, Place, Verdict};
use crate::design::{Fastening, Given, Origin, Panels};
use crate::lattice::{Landing, LineMember, batten_solid, clip_mesh, fastener_mesh, fingerprint, hole_mesh, strap_mesh};
use crate::quantity::{Length, Units};
use crate::record::{LeftIn, State};
use crate::solid::{Body, Mesh, Plane, Plate, Point3, Pose, Shape, Sweep};
use crate::structure::{Member, Strap, to_come};

/// The usual cautions, shown wherever people act on an output.
pub const CAUTIONS: [&str; 3] = [
    "This plan is a layout and checking aid. It knows only the sizes and limits that the design states and the rules of thumb named beside each number. It is no structural design and no engineer has reviewed it: have a licensed design professional and the local building authority confirm whatever carries load, wind or snow before you buy or build.",
    "Falls from roofs kill. Follow the fall-protection rules of your country; nobody should stand on battens that have not been shown to carry the load, and a membrane is slippery when wet or cold.",
    "A landing that is backed in this plan is backed where the framing is as drawn or measured. Stop and measure again wherever a fastener does not bite.",
];

/// How closely parts are modelled for looking at. Checks never see the difference.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// Strips and vent pieces as boxes.
    Plain,
    /// Straight strips and vent pieces with their flutes.
    Fluted,
}

/// Sides of a fastener's round parts, as modelled and as coarse prisms.
const ROUND: usize = 6;
const COARSE: usize = 3;

/// A checked plan as a source of parts.
pub struct Building<'a> {
    ctx: &'a Context<'a>,
    detail: Detail,
    findings: Vec<&'a Finding>,
    looks: Vec<Look>,
    air_marks: Vec<AirMark>,
    verdicts: BTreeMap<&'a str, Verdict>,
    /// Distinct fastener groups by offsets in nanometres: round, and as coarse prisms.
    groups: BTreeMap<Vec<(i64, i64)>, (Form, Form)>,
    pin: Form,
    /// A clip of the roofing, where the design has panels.
    clip: Option<Form>,
    /// Form and pose of every member, in the order of members; `None` for one that is not there.
    members: Vec<Option<(Form, Pose)>>,
    /// Form and pose of every strap.
    straps: Vec<(Form, Pose)>,
}

impl<'a> Building<'a> {
    /// Gathers verdicts and shared forms.
    pub fn new(ctx: &'a Context<'a>, results: &'a [check::Result], detail: Detail) -> Building<'a> {
        let mut findings: Vec<&Finding> = results.iter().flat_map(|r| &r.findings).collect();
        // Worst first; within a verdict in the order of checks and places.
        findings.sort_by_key(|f| std::cmp::Reverse(f.verdict));
        let mut verdicts: BTreeMap<&str, Verdict> = BTreeMap::new();
        for f in &findings {
            for p in &f.parts {
                let worst = verdicts.entry(p.as_str()).or_default();
                *worst = (*worst).max(f.verdict);
            }
        }
        for (part, verdict) in results.iter().flat_map(|r| &r.left_out) {
            let worst = verdicts.entry(part.as_str()).or_default();
            *worst = (*worst).max(*verdict);
        }
        let mut groups = BTreeMap::new();
        for on in &ctx.slopes {
            for landing in &on.lattice.landings {
                for which in Which::BOTH {
                    let offsets = offsets(on, landing, which);
                    groups.entry(offsets).or_insert_with_key(|key| fastener_form(ctx, key));
                }
            }
        }
        Building {
            ctx,
            detail,
            findings,
            looks: Vec::new(),
            air_marks: Vec::new(),
            verdicts,
            groups,
            pin: Form::Mesh(Arc::new(pin())),
            clip: ctx.design.panels.as_ref().map(|p| Form::Mesh(Arc::new(clip_mesh(p)))),
            members: ctx.structure.members.iter().map(member_form).collect(),
            straps: ctx.structure.straps.iter().map(strap_form).collect(),
        }
    }

    /// Adds further ways of looking at the model.
    #[must_use]
    pub fn with_looks(mut self, looks: Vec<Look>) -> Building<'a> {
        self.looks.extend(looks);
        self
    }

    /// Adds arrows and plates of the air.
    #[must_use]
    pub fn with_air_marks(mut self, marks: Vec<AirMark>) -> Building<'a> {
        self.air_marks.extend(marks);
        self
    }

    /// The scene that writers take.
    pub fn scene<'s>(&'s self, results: &[check::Result]) -> Scene<'s> {
        let ctx = self.ctx;
        let mut branches: Vec<Branch> =
            ctx.structure.slopes.iter().map(|s| Branch { name: s.name.clone(), pose: s.pose }).collect();
        branches.push(Branch { name: "building".into(), pose: Pose::identity() });
        let f = &ctx.design.fastening;
        let units = ctx.design.units;
        let spec = &ctx.design.lattice;
        let stock = |length: &Given<Length>| format!("{} pieces", length.value.show(units));
        let layer_notes = vec![
            (
                Layer::Tape,
                String::new(),
                format!("{} rolls, {}", spec.tape.roll.value.show(units), spec.tape.order.value.word()),
            ),
            (Layer::Strips, String::new(), stock(&spec.strip.stock)),
            (Layer::VentPieces, String::new(), stock(&spec.vent.stock)),
            (Layer::Fasteners, fastener_size(f, units), f.kind.value.word().to_owned()),
        ];
        Scene {
            header: self.header(results),
            units,
            branches,
            layer_notes,
            quantities: super::quantities::quantities(ctx),
            looks: self.looks.clone(),
            source: self,
        }
    }

    fn header(&self, results: &[check::Result]) -> ReportHeader {
        let ctx = self.ctx;
        ReportHeader {
            format: 1,
            program: concat!("airlath ", env!("CARGO_PKG_VERSION")).to_owned(),
            design: ctx.design.name.clone(),
            about: ctx.design.about.clone(),
            scope: check::scope_line(ctx),
            fingerprint: fingerprint(ctx.design, ctx.structure, ctx.planned),
            cautions: CAUTIONS.iter().map(|c| (*c).to_owned()).chain(check::strength::foothold::notice(ctx)).collect(),
            verdict: self.findings.iter().map(|f| f.verdict).max().unwrap_or_default(),
            landings: ctx.lattice.landing_count(),
            backed: ctx.backed_count(),
            defaults: ctx
                .design
                .defaults
                .iter()
                .map(|d| DefaultRecord { key: d.key.clone(), value: d.value.clone(), why: d.why.to_owned() })
                .collect(),
            members: ctx.structure.members.iter().map(|m| self.member_record(m)).collect(),
            lines: ctx.slopes.iter().flat_map(|on| self.line_records(on)).collect(),
            penetrations: super::penetrations::penetrations(ctx),
            checks: results
                .iter()
                .map(|r| CheckRecord {
                    name: r.check.name.to_owned(),
                    title: r.check.title.to_owned(),
                    verdict: r.verdict,
                    findings: r.findings.iter().map(|f| f.stands_for).sum(),
                    reason: r.reason.clone(),
                })
                .collect(),
            chances: super::chances::chances_record(ctx),
            findings: self.findings.iter().enumerate().map(|(i, f)| self.finding(i + 1, f)).collect(),
            air: super::air::record(ctx),
            strength: super::strength::record(ctx),
        }
    }

    fn line_records(&self, on: &OnSlope<'_>) -> Vec<LineRecord> {
        let member = |m: &LineMember| {
            let (low, high) = m.path.first().zip(m.path.last())?;
            let name = self.ctx.member_name(m.member).to_owned();
            Some(StretchRecord { member: name, from: low.0, to: high.0 })
        };
        on.lattice
            .lines
            .iter()
            .map(|l| LineRecord {
                name: l.name.clone(),
                slope: on.frame.name.clone(),
                members: l.found.iter().filter(|m| !m.missing).filter_map(member).collect(),
                strips: l
                    .widths
                    .iter()
                    .map(|w| WidthRecord { from: w.y.0, to: w.y.1, count: w.strips, width: w.width })
                    .collect(),
                jogs: l.jogs(),
            })
            .collect()
    }

    fn member_record(&self, m: &Member) -> MemberRecord {
        let state = match (m.missing, m.added, &m.origin) {
            (true, ..) => "missing",
            (_, true, _) => "added",
            (_, _, Origin::Found(_) | Origin::Surveyed(_)) => "found",
            _ => "drawn",
        };
        MemberRecord {
            name: m.name.clone(),
            kind: m.kind.word().to_owned(),
            section: m.section.show(self.ctx.design.units),
            state: state.to_owned(),
            origin: m.origin.words(),
        }
    }

    fn finding(&self, number: usize, f: &Finding) -> FindingRecord {
        FindingRecord {
            number,
            check: f.check.to_owned(),
            verdict: f.verdict,
            message: f.message.clone(),
            parts: f.parts.clone(),
            stands_for: f.stands_for,
            place: f.place.as_ref().and_then(|p| self.place(p)),
            evidence: f
                .evidence
                .iter()
                .map(|e| {
                    let (found, limit) = (e.found.value(), e.limit.map(|l| l.value()));
                    EvidenceRecord {
                        what: e.what.to_owned(),
                        found,
                        limit,
                        unit: e.found.unit().to_owned(),
                        ratio: limit.filter(|l| *l != 0.0).map(|l| found / l),
                    }
                })
                .collect(),
            mends: f
                .mends
                .iter()
                .map(|m| MendRecord { text: m.text.clone(), design_change: m.change.text() })
                .collect(),
            advice: f.advice.clone(),
            source: SourceRecord {
                line: f.source.line.and_then(|l| u32::try_from(l).ok()),
                text: f.source.text.clone(),
            },
        }
    }

    fn place(&self, place: &Place) -> Option<PlaceRecord> {
        let frame = self.ctx.structure.slopes.get(place.slope.0)?;
        let at = Point3::from(nalgebra::Vector3::from(place.at));
        let world = frame.pose * at;
        Some(PlaceRecord { slope: frame.name.clone(), on_slope: place.at, in_world: [world.x, world.y, world.z] })
    }

    fn verdict(&self, name: &str) -> Verdict {
        self.verdicts.get(name).copied().unwrap_or_default()
    }

    /// Visits one branch, layer by layer.
    fn walk_slope(&self, on: &OnSlope<'_>, texts: Texts, visit: &mut Visit<'_>) -> io::Result<()> {
        let ctx = self.ctx;
        let branch = on.id.0;
        let units = ctx.design.units;
        let show = |v: f64| Length::from_metres(v).show_fine(units);
        let text = |make: &dyn Fn() -> String| if texts == Texts::Wanted { make() } else { String::new() };
        for (i, m) in ctx.structure.members.iter().enumerate().filter(|(_, m)| m.home == Some(on.id)) {
            self.member(i, m, branch, texts, visit)?;
        }
        let name = &on.frame.name;
        if let Some(plate) = ctx.structure.deck(ctx.design, on.id) {
            self.plate(&format!("{name}-DK"), PartKind::Deck, branch, &plate, visit)?;
        }
        if let Some(plate) = ctx.structure.membrane(ctx.design, on.id) {
            self.plate(&format!("{name}-MB"), PartKind::Membrane, branch, &plate, visit)?;
        }
        for (s, (form, pose)) in ctx.structure.straps.iter().zip(&self.straps).filter(|(s, _)| s.slope == on.id) {
            let size = text(&|| {
                format!(
                    "{} x {} x {}, {} nails",
                    show(s.sides.1 - s.sides.0),
                    show(s.thickness()),
                    show(s.stretch.1 - s.stretch.0),
                    s.nails.len()
                )
            });
            self.one(&s.name, PartKind::Strap, branch, form, *pose, &size, "", visit)?;
        }
        for t in &on.lattice.tapes {
            let (sweep, pose) = t.sweep(&ctx.lattice.levels);
            let length = t.path.first().zip(t.path.last()).map_or(0.0, |(a, b)| b.0 - a.0);
            let size = text(&|| format!("{} wide, {} long", show(t.width), Length::from_metres(length).show(units)));
            self.sweep(&t.name, PartKind::Tape, branch, &sweep, &pose, &t.cuts, &size, visit)?;
        }
        for s in &on.lattice.strips {
            let (sweep, pose) = s.sweep();
            let length = s.path.first().zip(s.path.last()).map_or(0.0, |(a, b)| b.0 - a.0);
            let size = text(&|| {
                format!("{} x {} x {}", show(s.width), show(s.top - s.bottom), Length::from_metres(length).show(units))
            });
            self.sweep(&s.name, PartKind::Strip, branch, &sweep, &pose, &s.cuts, &size, visit)?;
        }
        for v in &on.lattice.vents {
            let length = Length::from_metres(v.x.1 - v.x.0);
            let size = text(&|| format!("{} x {} x {}", show(v.y.1 - v.y.0), show(v.height), length.show(units)));
            self.body(&v.name, PartKind::VentPiece, branch, &v.body(&ctx.lattice.levels), &size, "", visit)?;
        }
        let batten = &ctx.design.lattice.batten;
        for p in &on.lattice.pieces {
            let Some(body) = batten_solid(ctx.design, &on.frame.outline, &ctx.lattice.levels, p) else { continue };
            let length = Length::from_metres(p.saw_lengths(ctx.design, &on.frame.outline).middle);
            let size = text(&|| {
                let (thick, wide) = (show(batten.thickness.metres()), show(batten.width.metres()));
                format!("{thick} x {wide} x {}", length.show(units))
            });
            let stock = text(&|| Length::from_metres(p.stock).show(units));
            self.body(&p.name, PartKind::Batten, branch, &body, &size, &stock, visit)?;
        }
        self.landings(on, branch, (Which::In, PartKind::Fasteners), texts, visit)?;
        for left in on.left_in {
            self.left_in(left, branch, texts, visit)?;
        }
        self.landings(on, branch, (Which::ToDrive, PartKind::ToDrive), texts, visit)?;
        if let Some(form) = &self.clip {
            let size = text(&|| ctx.design.panels.as_ref().map_or(String::new(), |p| clip_size(p, units)));
            for clip in &on.lattice.clips {
                let lift = clip.piece.and_then(|p| on.lattice.pieces.get(p as usize)).map_or(0.0, |p| p.lift);
                let pose = Pose::translation(clip.x, clip.y, ctx.lattice.levels.batten + lift);
                self.one(&on.lattice.clip_name(clip), PartKind::Clip, branch, form, pose, &size, "", visit)?;
            }
        }
        for e in 0..on.frame.outline.edges.len() {
            if let Some(body) = to_come::insulation(&on.frame.outline, e) {
                self.body(&format!("{name}-IN{}", e + 1), PartKind::Insulation, branch, &body, "", "", visit)?;
            }
        }
        for m in self.air_marks.iter().filter(|m| m.slope == on.id) {
            self.one(&m.name, m.kind, branch, &m.form, m.pose, &m.size, "", visit)?;
        }
        let digits = self.findings.len().to_string().len().max(2);
        for (i, f) in self.findings.iter().enumerate() {
            let Some(place) = f.place.filter(|p| p.slope == on.id) else { continue };
            let pin = format!("flag {:0digits$}", i + 1);
            let pose = Pose::translation(place.at[0], place.at[1], place.at[2]);
            let part = Part {
                name: &pin,
                kind: PartKind::Pin,
                branch,
                form: &self.pin,
                coarse: None,
                pose,
                verdict: f.verdict,
                size: f.check,
                stock: &f.message,
            };
            visit(&part)?;
        }
        Ok(())
    }

    /// Visits the fasteners of each landing that are in, or that are still to be driven.
    fn landings(
        &self,
        on: &OnSlope<'_>,
        branch: usize,
        (which, kind): (Which, PartKind),
        texts: Texts,
        visit: &mut Visit<'_>,
    ) -> io::Result<()> {
        if which == Which::ToDrive && on.states.is_empty() {
            return Ok(());
        }
        let size = match texts {
            Texts::Wanted => fastener_size(&self.ctx.design.fastening, self.ctx.design.units),
            Texts::Unwanted => String::new(),
        };
        let size = size.as_str();
        for landing in &on.lattice.landings {
            let offsets = offsets(on, landing, which);
            if offsets.is_empty() {
                continue;
            }
            let Some((form, coarse)) = self.groups.get(&offsets) else { continue };
            let lift = on.piece(landing).map_or(0.0, |p| p.lift);
            let pose = Pose::translation(landing.x, landing.y, self.ctx.lattice.levels.batten + lift);
            let of = self.ctx.landing_name(on, landing);
            let verdict = self.verdict(&of);
            let name = if which == Which::In { of } else { format!("{of} to drive") };
            visit(&Part { name: &name, kind, branch, form, coarse: Some(coarse), pose, verdict, size, stock: "" })?;
        }
        Ok(())
    }

    /// Visits something left in beside the plan, where it has a place to be shown at.
    fn left_in(&self, left: &LeftIn, branch: usize, texts: Texts, visit: &mut Visit<'_>) -> io::Result<()> {
        let Some((x, y)) = left.shown_at else { return Ok(()) };
        let ctx = self.ctx;
        let on = ctx.slopes.get(left.slope.0);
        let landing = left.meant_for.and_then(|(l, _)| on?.lattice.landings.get(l as usize));
        let (kind, form, z) = if left.kind.is_fastener() {
            let lift = landing.and_then(|l| on?.piece(l)).map_or(0.0, |p| p.lift);
            (PartKind::LeftIn, fastener_form(ctx, &[(0, 0)]).0, ctx.lattice.levels.batten + lift)
        } else {
            let radius = ctx.design.fastening.diameter.metres() / 2.0;
            let (depth, height) = (ctx.design.lattice.membrane.metres(), ctx.lattice.levels.tape);
            (PartKind::Hole, Form::Mesh(Arc::new(hole_mesh(radius, depth, height, ROUND))), 0.0)
        };
        let seal = on.map_or("", |on| check::driven::hole_unsealed::seal(ctx, on, left).0.word());
        let size = match texts {
            Texts::Wanted if left.at.is_none() => {
                format!("{}, {seal}, its place unknown: shown as planned", left.kind.word())
            }
            Texts::Wanted => format!("{}, {seal}", left.kind.word()),
            Texts::Unwanted => String::new(),
        };
        let pose = Pose::translation(x, y, z);
        self.one(&left.name, kind, branch, &form, pose, &size, "", visit)
    }

    fn member(&self, index: usize, m: &Member, branch: usize, texts: Texts, visit: &mut Visit<'_>) -> io::Result<()> {
        let Some(Some((form, pose))) = self.members.get(index) else { return Ok(()) };
        let units = self.ctx.design.units;
        let size = match texts {
            Texts::Wanted => {
                format!("{}, {} over all", m.section.show(units), Length::from_metres(m.overall()).show(units))
            }
            Texts::Unwanted => String::new(),
        };
        self.one(&m.name, PartKind::Member(m.kind.word()), branch, form, *pose, &size, "", visit)
    }

    fn plate(&self, name: &str, kind: PartKind, branch: usize, plate: &Plate, visit: &mut Visit<'_>) -> io::Result<()> {
        let size =
            format!("{} thick", Length::from_metres(plate.z_top - plate.z_bottom).show_fine(self.ctx.design.units));
        self.one(name, kind, branch, &Form::Mesh(Arc::new(plate.mesh())), Pose::identity(), &size, "", visit)
    }

    #[expect(clippy::too_many_arguments, reason = "a part is just these facts")]
    fn sweep(
        &self,
        name: &str,
        kind: PartKind,
        branch: usize,
        sweep: &Sweep,
        pose: &Pose,
        planes: &[Plane],
        size: &str,
        visit: &mut Visit<'_>,
    ) -> io::Result<()> {
        match sweep.bodies(pose, planes).as_slice() {
            [(_, body)] => self.body(name, kind, branch, body, size, "", visit),
            _ => {
                let local: Vec<Plane> = planes.iter().map(|p| p.seen_from(pose)).collect();
                self.one(name, kind, branch, &Form::Mesh(Arc::new(sweep.mesh(&local))), *pose, size, "", visit)
            }
        }
    }

    #[expect(clippy::too_many_arguments, reason = "a part is just these facts")]
    fn body(
        &self,
        name: &str,
        kind: PartKind,
        branch: usize,
        body: &Body,
        size: &str,
        stock: &str,
        visit: &mut Visit<'_>,
    ) -> io::Result<()> {
        let flutes = match kind {
            PartKind::Strip => Some(self.ctx.design.lattice.strip.flutes.value),
            PartKind::VentPiece => Some(self.ctx.design.lattice.vent.flutes.value),
            _ => None,
        };
        let fluted = match (&body.shape, flutes, self.detail) {
            (Shape::Box(half), Some(flutes), Detail::Fluted) => fluted(&(half * 2.0), flutes),
            _ => None,
        };
        let form = match &body.shape {
            _ if fluted.is_some() => Form::Mesh(Arc::new(fluted.unwrap_or_default())),
            Shape::Box(half) => Form::Box(half * 2.0),
            Shape::Poly(_) => Form::Mesh(Arc::new(body.mesh())),
        };
        self.one(name, kind, branch, &form, body.pose, size, stock, visit)
    }

    #[expect(clippy::too_many_arguments, reason = "a part is just these facts")]
    fn one(
        &self,
        name: &str,
        kind: PartKind,
        branch: usize,
        form: &Form,
        pose: Pose,
        size: &str,
        stock: &str,
        visit: &mut Visit<'_>,
    ) -> io::Result<()> {
        visit(&Part { name, kind, branch, form, coarse: None, pose, verdict: self.verdict(name), size, stock })
    }
}

/// A fastener's size in words.
fn fastener_size(f: &Fastening, units: Units) -> String {
    format!("{} x {}", f.diameter.value.show_fine(units), f.length.value.show_fine(units))
}

/// A clip's size in words.
fn clip_size(panels: &Panels, units: Units) -> String {
    let show = |l: &Given<Length>| l.value.show_fine(units);
    format!(
        "{} x {}, {} screws {} x {}",
        show(&panels.clip_width),
        show(&panels.clip_length),
        panels.screws.value,
        show(&panels.screw_diameter),
        show(&panels.screw_length)
    )
}

/// A strap's form and pose in its slope.
fn strap_form(s: &Strap) -> (Form, Pose) {
    let (mesh, pose) = strap_mesh(s);
    (Form::Mesh(Arc::new(mesh)), pose)
}

/// A member's form and pose in its home frame; `None` for one that is not there.
fn member_form(m: &Member) -> Option<(Form, Pose)> {
    match m.bodies.as_slice() {
        _ if m.missing => None,
        [] => None,
        [(_, Body { pose, shape: Shape::Box(half) })] => Some((Form::Box(half * 2.0), *pose)),
        _ => {
            let (mesh, pose) = m.mesh();
            Some((Form::Mesh(Arc::new(mesh)), pose))
        }
    }
}

type Visit<'v> = dyn FnMut(&Part<'_>) -> io::Result<()> + 'v;

/// Which fasteners of a landing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Which {
    /// Those that are in; without a drive log all.
    In,
    /// Those that are still to be driven.
    ToDrive,
}

impl Which {
    const BOTH: [Which; 2] = [Which::In, Which::ToDrive];
}

fn offsets(on: &OnSlope<'_>, landing: &Landing, which: Which) -> Vec<(i64, i64)> {
    let nano = |v: f64| (v * 1e9).round() as i64;
    let wanted = |k: usize| {
        let is_in = on.states.is_empty() || matches!(on.state(landing, k), State::Held { .. });
        is_in == (which == Which::In)
    };
    let all = on.lattice.fasteners_of(landing).iter().enumerate().filter(|(k, _)| wanted(*k));
    all.map(|(_, f)| (nano(f.x - landing.x), nano(f.y - landing.y))).collect()
}

/// A fastener's state in the drive log, in words.
fn state_word(state: State) -> &'static str {
    match state {
        State::Planned => "not yet driven",
        State::Predrilled => "pre-drilled",
        State::Held { confirmed: false } => "held",
        State::Held { confirmed: true } => "held, confirmed",
        State::Lacking => "missed, not driven again",
    }
}

/// How many parts a walk makes of fasteners.
fn fastener_parts(on: &OnSlope<'_>) -> usize {
    if on.states.is_empty() {
        return on.lattice.landings.len();
    }
    let groups = |l: &Landing| Which::BOTH.into_iter().filter(|w| !offsets(on, l, *w).is_empty()).count();
    let shown = on.left_in.iter().filter(|l| l.shown_at.is_some()).count();
    on.lattice.landings.iter().map(groups).sum::<usize>() + shown
}

/// A group of fasteners at offsets in nanometres: round, and as coarse prisms.
fn fastener_form(ctx: &Context<'_>, offsets: &[(i64, i64)]) -> (Form, Form) {
    let at: Vec<(f64, f64)> = offsets.iter().map(|(x, y)| (*x as f64 * 1e-9, *y as f64 * 1e-9)).collect();
    let form = |sides| Form::Mesh(Arc::new(fastener_mesh(&ctx.design.fastening, &at, sides)));
    (form(ROUND), form(COARSE))
}

/// A pin: a slender double pyramid that stands on its tip, half a metre high, z out of the slope.
fn pin() -> Mesh {
    let (r, shoulder, top) = (0.06, 0.4, 0.5);
    let positions = vec![
        Point3::origin(),
        Point3::new(r, 0.0, shoulder),
        Point3::new(0.0, r, shoulder),
        Point3::new(-r, 0.0, shoulder),
        Point3::new(0.0, -r, shoulder),
        Point3::new(0.0, 0.0, top),
    ];
    let mut triangles = Vec::new();
    for i in 0..4 {
        let (a, b) = (1 + i, 1 + (i + 1) % 4);
        triangles.push([0, b, a]);
        triangles.push([5, a, b]);
    }
    Mesh { positions, triangles }
}

impl PartSource for Building<'_> {
    fn part_count(&self) -> usize {
        let ctx = self.ctx;
        let members = ctx.structure.members.iter().filter(|m| !m.missing && !m.bodies.is_empty()).count();
        let on: usize = ctx
            .slopes
            .iter()
            .map(|on| {
                let l = on.lattice;
                let plates = 1 + usize::from(ctx.design.lattice.deck.value > Length::ZERO);
                let to_come =
                    on.frame.outline.edges.iter().filter(|e| e.insulation_to_come.value > Length::ZERO).count();
                plates
                    + to_come
                    + l.tapes.len()
                    + l.strips.len()
                    + l.vents.len()
                    + l.pieces.len()
                    + fastener_parts(on)
                    + l.clips.len()
            })
            .sum();
        members
            + ctx.structure.straps.len()
            + on
            + self.air_marks.len()
            + self.findings.iter().filter(|f| f.place.is_some()).count()
    }

    fn walk_parts(&self, texts: Texts, visit: &mut dyn FnMut(&Part<'_>) -> io::Result<()>) -> io::Result<()> {
        for on in &self.ctx.slopes {
            self.walk_slope(on, texts, visit)?;
        }
        let building = self.ctx.slopes.len();
        for (i, m) in self.ctx.structure.members.iter().enumerate().filter(|(_, m)| m.home.is_none()) {
            self.member(i, m, building, texts, visit)?;
        }
        Ok(())
    }

    fn walk_landings(&self, visit: &mut dyn FnMut(&LandingRecord) -> io::Result<()>) -> io::Result<()> {
        let ctx = self.ctx;
        let design = ctx.design;
        let strength = ctx.strength().ok();
        for (number, on) in ctx.slopes.iter().enumerate() {
            let landed = strength.map(|a| check::strength::in_order(on, a, number));
            for (at, landing) in on.lattice.landings.iter().enumerate() {
                let name = ctx.landing_name(on, landing);
                let Some(place) = self.place(&ctx.landing_place(on, landing)) else { continue };
                let piece = on.piece(landing);
                let landed = landed.as_ref().and_then(|l| l.get(at).copied().flatten());
                let fasteners = on
                    .lattice
                    .fasteners_of(landing)
                    .iter()
                    .zip(on.backing_of(landing))
                    .enumerate()
                    .map(|(k, (f, b))| {
                        let shank = ctx.shank(piece, f);
                        let head = on.frame.pose * shank.head;
                        let tip = on.frame.pose * (shank.head - nalgebra::Vector3::z() * shank.length);
                        FastenerRecord {
                            name: format!("{name}-{}", k + 1),
                            head: [head.x, head.y, head.z],
                            tip: [tip.x, tip.y, tip.z],
                            diameter: design.fastening.diameter.metres(),
                            backed: b.outcome == Outcome::Backed,
                            state: ctx.driven.is_some().then(|| state_word(on.state(landing, k)).to_owned()),
                            member: b.member.map(|m| ctx.member_name(m).to_owned()),
                            embedment: b.embedment,
                            room: b.room.is_finite().then_some(b.room),
                        }
                    })
                    .collect();
                let record = LandingRecord {
                    slope: on.frame.name.clone(),
                    piece: piece.map_or(String::new(), |p| p.name.clone()),
                    on: on.lattice.on_name(landing, ctx.structure).to_owned(),
                    backed: on.is_backed(landing),
                    holds: ctx.driven.is_some().then(|| on.holds(landing)),
                    verdict: self.verdict(&name),
                    place,
                    fasteners,
                    strength: strength.zip(landed).and_then(|(a, l)| super::strength::of_landing(a, l)),
                    name,
                };
                visit(&record)?;
            }
        }
        Ok(())
    }
}
