//! From the checked plan to the scene: every part with its form, its place and its verdict.

use std::collections::BTreeMap;
use std::io;
use std::sync::Arc;

use super::air::AirMark;
use super::flutes::fluted;
use super::records::*;
use super::{Branch, Form, Layer, Look, Part, PartKind, PartSource, Scene, Texts};
use crate::check::{self, Asked, Context, Examined, Finding, OnSlope, Outcome, Place, Verdict, Verdicts};
use crate::design::{Flutes, Given, Origin, SlopeId};
use crate::lattice::LineMember;
use crate::parts::{Fineness, Kind, PartId, Parts, Solid};
use crate::quantity::Length;
use crate::quantity::list;
use crate::record::State;
use crate::solid::{Body, Mesh, Point3, Pose, Shape};
use crate::structure::Member;

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

/// A checked plan as a source of parts.
pub struct Building<'a> {
    ctx: &'a Context<'a>,
    parts: Parts<'a>,
    detail: Detail,
    findings: Vec<&'a Finding>,
    looks: Vec<Look>,
    air_marks: Vec<AirMark>,
    verdicts: Verdicts<'a>,
    /// Sets of checks that landings pass.
    passed_sets: BTreeMap<Vec<usize>, usize>,
    /// Distinct fastener groups by offsets in nanometres: round, and as coarse prisms.
    groups: BTreeMap<Vec<(i64, i64)>, (Form, Form)>,
    pin: Form,
    /// A clip of the roofing, where the design has panels.
    clip: Option<Form>,
    /// Form and pose of every member and strap.
    framing: BTreeMap<PartId, (Form, Pose)>,
}

impl<'a> Building<'a> {
    /// Gathers verdicts and shared forms.
    pub fn new(ctx: &'a Context<'a>, results: &'a [check::Result], detail: Detail) -> Building<'a> {
        let mut findings: Vec<&Finding> = results.iter().flat_map(|r| &r.findings).collect();
        // Worst first; within a verdict in the order of checks and places.
        findings.sort_by_key(|f| std::cmp::Reverse(f.verdict));
        let parts = ctx.parts();
        let verdicts = Verdicts::new(&parts, results);
        let mesh = |mesh: Mesh| Form::Mesh(Arc::new(mesh));
        let mut groups = BTreeMap::new();
        let mut framing = BTreeMap::new();
        for home in parts.homes() {
            for kind in [Kind::Fasteners, Kind::ToDrive] {
                for id in parts.ids(kind, home) {
                    groups.entry(parts.offsets(id)).or_insert_with_key(|key| {
                        let [round, coarse] =
                            [Fineness::Round, Fineness::Coarse].map(|f| mesh(parts.group_mesh(key, f)));
                        (round, coarse)
                    });
                }
            }
            for kind in [Kind::Member, Kind::Strap] {
                let each = parts.ids(kind, home).filter_map(|id| Some((id, parts.solid(id, Fineness::Round)?)));
                framing.extend(each.map(|(id, solid)| (id, form(solid, None))));
            }
        }
        let mut passed_sets = BTreeMap::new();
        for home in parts.homes() {
            for id in home.into_iter().flat_map(|s| parts.landings(s)) {
                let next = passed_sets.len();
                passed_sets.entry(verdicts.judged(id).passed).or_insert(next);
            }
        }
        Building {
            ctx,
            parts,
            passed_sets,
            detail,
            findings,
            looks: Vec::new(),
            air_marks: Vec::new(),
            verdicts,
            groups,
            pin: mesh(pin()),
            clip: parts.clip_form().map(mesh),
            framing,
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
            (Layer::Fasteners, self.parts.fastener_size(), f.kind.value.word().to_owned()),
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
        let planned = Parts { lattice: ctx.planned, driven: None, ..self.parts }.fingerprints();
        ReportHeader {
            format: 1,
            program: concat!("airlath ", env!("CARGO_PKG_VERSION")).to_owned(),
            design: ctx.design.name.clone(),
            about: ctx.design.about.clone(),
            scope: check::scope_line(ctx),
            fingerprint: planned.plan,
            driving: planned.driving,
            cautions: CAUTIONS.iter().map(|c| (*c).to_owned()).chain(check::strength::foothold::notice(ctx)).collect(),
            verdict: overall(results),
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
                    examined: self.examined(&r.examined),
                })
                .collect(),
            passed_sets: self.passed_sets(results),
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

    /// What a check examined, kind by kind and home by home.
    fn examined(&self, of: &Examined) -> Vec<ExaminedRecord> {
        let mut all: BTreeMap<(Kind, Option<SlopeId>), ExaminedRecord> = BTreeMap::new();
        if of.is_empty() {
            return Vec::new();
        }
        for kind in Kind::ALL {
            for home in self.parts.homes().filter(|_| of.asks(kind)) {
                let asked = |id: &PartId| matches!(of.asked(*id), Asked::Yes(_));
                let count = self.parts.ids(kind, home).filter(asked).count();
                let of_kind = |id: &PartId| id.kind() == kind && self.parts.home(*id) == home;
                let named = |id| self.parts.name(id).map(std::borrow::Cow::into_owned);
                let unanswered: Vec<String> = of.without_answer().filter(of_kind).filter_map(named).collect();
                let except: Vec<PartId> = of.exceptions().filter(of_kind).collect();
                if count == 0 && unanswered.is_empty() {
                    continue;
                }
                let except = if except.len() > count { Vec::new() } else { except };
                let slope = home.and_then(|s| self.ctx.structure.slopes.get(s.0)).map(|f| f.name.clone());
                let record = ExaminedRecord {
                    kind: kind.plural().to_owned(),
                    slope,
                    count,
                    except: except.into_iter().filter_map(named).collect(),
                    unanswered,
                    basis: of.basis(kind),
                };
                all.insert((kind, home), record);
            }
        }
        all.into_values().collect()
    }

    /// The sets of checks that landings pass, by the number of each.
    fn passed_sets(&self, results: &[check::Result]) -> Vec<Vec<String>> {
        let mut sets: Vec<(usize, Vec<String>)> = Vec::new();
        for (set, number) in &self.passed_sets {
            let names = set.iter().filter_map(|n| results.get(*n)).map(|r| r.check.name.to_owned());
            sets.push((*number, names.collect()));
        }
        sets.sort();
        sets.into_iter().map(|(_, names)| names).collect()
    }

    /// A part's form and, for formats that repeat every triangle of a very large roof, a coarser one; and its pose. Forms that
    /// many parts share are made once.
    fn form(&self, id: PartId) -> Option<(Form, Option<&Form>, Pose)> {
        let spec = &self.ctx.design.lattice;
        if let Some((form, pose)) = self.framing.get(&id) {
            Some((form.clone(), None, *pose))
        } else if let PartId::Fasteners(..) | PartId::ToDrive(..) = id {
            let (form, coarse) = self.groups.get(&self.parts.offsets(id))?;
            Some((form.clone(), Some(coarse), self.parts.group_pose(id)?))
        } else if let PartId::Clip(s, i) = id {
            Some((self.clip.clone()?, None, self.parts.clip_pose(s, i)?))
        } else {
            let fluted = [(Kind::Strip, spec.strip.flutes.value), (Kind::VentPiece, spec.vent.flutes.value)];
            self.made(id, fluted.into_iter().find(|(kind, _)| *kind == id.kind()).map(|(_, flutes)| flutes))
        }
    }

    /// The form of a part that shares it with no other.
    fn made(&self, id: PartId, flutes: Option<Flutes>) -> Option<(Form, Option<&Form>, Pose)> {
        let flutes = match self.detail {
            Detail::Fluted => flutes,
            Detail::Plain => None,
        };
        let (form, pose) = form(self.parts.solid(id, Fineness::Round)?, flutes);
        Some((form, None, pose))
    }

    /// A part's size in words: of what was left in also what is known of its seal.
    fn size(&self, id: PartId) -> String {
        let size = self.parts.size(id);
        let PartId::LeftIn(s, i) = id else { return size };
        let Some((left, on)) = self.parts.left(s, i).zip(self.ctx.slopes.get(s.0)) else { return size };
        let seal = check::driven::hole_unsealed::seal(self.ctx, on, left).0.word();
        let shown = if left.at.is_none() { ", its place unknown: shown as planned" } else { "" };
        format!("{size}, {seal}{shown}")
    }

    /// Visits the parts of one home, kind by kind.
    fn walk_home(&self, home: Option<SlopeId>, texts: Texts, visit: &mut Visit<'_>) -> io::Result<()> {
        let branch = home.map_or(self.ctx.slopes.len(), |s| s.0);
        for kind in Kind::ALL {
            // Of these, of which there are most, all have one size.
            let alike = matches!(kind, Kind::Fasteners | Kind::ToDrive | Kind::Clip) && texts == Texts::Wanted;
            let shared = self.parts.ids(kind, home).next().filter(|_| alike).map(|id| self.size(id));
            for id in self.parts.ids(kind, home) {
                let Some((form, coarse, pose)) = self.form(id) else { continue };
                let (Some(name), Some(kind)) = (self.parts.name(id), PartKind::of(&self.parts, id)) else { continue };
                let text = |make: &dyn Fn(PartId) -> String| match texts {
                    Texts::Wanted => make(id),
                    Texts::Unwanted => String::new(),
                };
                let own = if shared.is_none() { text(&|id| self.size(id)) } else { String::new() };
                let (size, stock) = (shared.as_ref().unwrap_or(&own), text(&|id| self.parts.stock(id)));
                let verdict = self.verdicts.of(id);
                visit(&Part { name: &name, kind, branch, form: &form, coarse, pose, verdict, size, stock: &stock })?;
            }
        }
        Ok(())
    }

    /// Visits what is to be looked at on a slope and is no part: arrows and plates of the air, pins over findings.
    fn walk_marks(&self, on: &OnSlope<'_>, visit: &mut Visit<'_>) -> io::Result<()> {
        let branch = on.id.0;
        for m in self.air_marks.iter().filter(|m| m.slope == on.id) {
            visit(&Part {
                name: &m.name,
                kind: m.kind,
                branch,
                form: &m.form,
                coarse: None,
                pose: m.pose,
                verdict: self.verdicts.of_other(&m.name),
                size: &m.size,
                stock: "",
            })?;
        }
        let digits = self.findings.len().to_string().len().max(2);
        for (i, f) in self.findings.iter().enumerate() {
            let Some(place) = f.place.filter(|p| p.slope == on.id) else { continue };
            visit(&Part {
                name: &format!("flag {:0digits$}", i + 1),
                kind: PartKind::Pin,
                branch,
                form: &self.pin,
                coarse: None,
                pose: Pose::translation(place.at[0], place.at[1], place.at[2]),
                verdict: f.verdict,
                size: f.check,
                stock: &f.message,
            })?;
        }
        Ok(())
    }
}

/// The verdict of the whole: the worst finding; without any, a pass where some check passed.
fn overall(results: &[check::Result]) -> Verdict {
    let worst = results.iter().flat_map(|r| &r.findings).map(|f| f.verdict).max();
    let passed = results.iter().any(|r| r.verdict == Verdict::Pass);
    worst.unwrap_or(if passed { Verdict::Pass } else { Verdict::NotChecked })
}

/// A solid as a form with its pose; a box with flutes where it shall have them.
fn form(solid: Solid<'_>, flutes: Option<Flutes>) -> (Form, Pose) {
    match solid {
        Solid::Mesh(mesh, pose) => (Form::Mesh(Arc::new(mesh)), pose),
        Solid::Body(body) => (body_form(&body, flutes), body.pose),
    }
}

fn body_form(body: &Body, flutes: Option<Flutes>) -> Form {
    match &body.shape {
        Shape::Box(half) => {
            let full = half * 2.0;
            flutes.and_then(|f| fluted(&full, f)).map_or(Form::Box(full), |mesh| Form::Mesh(Arc::new(mesh)))
        }
        Shape::Poly(_) => Form::Mesh(Arc::new(body.mesh())),
    }
}

type Visit<'v> = dyn FnMut(&Part<'_>) -> io::Result<()> + 'v;

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
        let placed = self.findings.iter().filter(|f| f.place.is_some()).count();
        self.parts.walk().filter(|id| self.parts.stands(*id)).count() + self.air_marks.len() + placed
    }

    fn walk_parts(&self, texts: Texts, visit: &mut dyn FnMut(&Part<'_>) -> io::Result<()>) -> io::Result<()> {
        for home in self.parts.homes() {
            self.walk_home(home, texts, visit)?;
            if let Some(on) = home.and_then(|s| self.ctx.slopes.get(s.0)) {
                self.walk_marks(on, visit)?;
            }
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
                let judged = self.verdicts.judged(PartId::Fasteners(on.id, list::number(at)));
                let record = LandingRecord {
                    slope: on.frame.name.clone(),
                    piece: piece.map_or(String::new(), |p| p.name.clone()),
                    on: on.lattice.on_name(landing, ctx.structure).to_owned(),
                    backed: on.is_backed(landing),
                    holds: ctx.driven.is_some().then(|| on.holds(landing)),
                    verdict: judged.verdict,
                    basis: judged.basis,
                    passed: self.passed_sets.get(&judged.passed).copied().unwrap_or_default(),
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
