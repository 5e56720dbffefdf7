//! Joints that are given or chosen before any course is laid.
//!
//! Aim: joints so that the fewest boards are bought, and of as many the cheapest, over all slopes at once. Reason: a joint decides two
//! pieces, their names, fasteners and findings, so it is part of the layout and not of a list; what boards can be cut
//! from what is a question of its own and asked of [`crate::cutting`].
//! Limits: joints are chosen on the drawing, as all joints are. Courses that are laid and courses whose joints the design
//! gives keep theirs; boards are counted for what is not laid yet. Where no choice keeps the rules in a stretch, the
//! plain rule divides it.

use std::collections::BTreeMap;

use super::boards::{BoardCost, nanometres, yard};
use super::courses::{Backed, Plan, Stretch, candidates, joints, plans, rule, stretches};
use super::division::{Candidate, Joint};
use super::landings::target;
use super::{End, Lattice, Line, Site, SlopeLattice};
use crate::cutting::{self, Chosen, Effort};
use crate::design::{Design, Diagnostic, JointChoice, SlopeId};
use crate::solid::tolerance::SAME;
use crate::structure::{State, Structure};

/// Joints of courses by name, stretch by stretch, where the drawing has them.
pub type Given = BTreeMap<String, Vec<Vec<Joint>>>;

/// How well joints were chosen: fewest boards first, their cost second.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JointReport {
    /// What the boards cost.
    pub cost: BoardCost,
    /// No choice that keeps the rules costs less.
    pub bound: BoardCost,
    /// What joints as far along as boards reach would cost, cut longest piece first.
    pub far_cost: BoardCost,
    /// Courses with a joint on a line that has one in a neighbouring course.
    pub not_staggered: usize,
    /// Stretches that no choice divides by the rules.
    pub not_by_rules: usize,
}

struct Waiting {
    course: String,
    stretch: usize,
    places: Vec<Candidate>,
}

/// Joints given by the design, and those chosen where it asks for a choice.
pub fn given(
    design: &Design,
    drawn: &Structure,
    found: &Structure,
    lattices: &[SlopeLattice],
) -> (Given, Option<JointReport>) {
    let mut given = Given::new();
    let choosing = design.lattice.batten.joints.value == JointChoice::FewestBoards;
    if !choosing && design.joints.is_empty() {
        return (given, None);
    }
    let mut blocks: Vec<cutting::Block> = Vec::new();
    let mut waiting: Vec<Waiting> = Vec::new();
    for (i, lattice) in lattices.iter().enumerate() {
        let site = Site { design, slope: SlopeId(i), drawn, found };
        let mut block = Vec::new();
        let mut taken: Vec<Vec<u32>> = Vec::new();
        let stagger = design.lattice.batten.stagger.value;
        for plan in all_plans(&site, lattice) {
            let here = stretches(&site, State::Drawn, &plan, plan.drawn, &lattice.lines);
            let near: Vec<u32> = taken.iter().rev().take(stagger).flatten().copied().collect();
            let pinned = design.joints.iter().find(|p| p.course == plan.name);
            let backed = Backed::of(&site, State::Drawn, plan.drawn, &lattice.lines);
            let by_rule: Vec<Vec<Joint>> = here
                .iter()
                .map(|s| match pinned {
                    Some(p) => on_lines(&site, s, &plan, &p.lines, &lattice.lines),
                    None => joints(&site, State::Drawn, s, &backed, &near),
                })
                .collect();
            taken.push(by_rule.iter().flatten().filter_map(|j| j.line).collect());
            let mut course = Vec::new();
            for (k, (stretch, joints)) in here.iter().zip(&by_rule).enumerate() {
                let places = candidates(&site, stretch, &backed, joints);
                course.push(as_task(&site, &plan, stretch, joints, &places, pinned.is_some()));
                waiting.push(Waiting { course: plan.name.clone(), stretch: k, places });
            }
            block.push(course);
            if pinned.is_some() || choosing {
                given.insert(plan.name, by_rule);
            }
        }
        blocks.push(block);
    }
    if !choosing {
        return (given, None);
    }
    let rule = design_rules(design);
    // No plan has more boards than pieces, and no division more pieces than one at every place.
    let stretches = blocks.iter().flatten().flatten();
    let most = stretches.map(|s| s.places.len().max(s.given.len()) + 1).sum();
    let (yard, each) = yard(design, most);
    let choice = cutting::choose(&yard, &blocks, &rule, &Effort::FULL);
    for (chosen, wait) in choice.joints.iter().zip(waiting) {
        let Chosen::Places(at) = chosen else { continue };
        let joints: Vec<Joint> =
            at.iter().filter_map(|k| wait.places.get(*k)).map(|c| Joint { line: Some(c.line), x: c.x }).collect();
        if let Some(slot) = given.get_mut(&wait.course).and_then(|s| s.get_mut(wait.stretch)) {
            *slot = joints;
        }
    }
    let report = JointReport {
        cost: BoardCost::of_plan(choice.cost, &yard, each),
        bound: BoardCost::of_bound(choice.bound, &yard, each),
        far_cost: BoardCost::of_plan(choice.given_cost, &yard, each),
        not_staggered: choice.not_staggered,
        not_by_rules: choice.not_by_rules,
    };
    (given, Some(report))
}

fn all_plans(site: &Site<'_>, lattice: &SlopeLattice) -> Vec<Plan> {
    match (site.outline(State::Drawn), site.outline(State::Found)) {
        (Some(drawn), Some(found)) => plans(site, drawn, found, &lattice.lines),
        _ => Vec::new(),
    }
}

fn design_rules(design: &Design) -> cutting::Rules {
    let rule = rule(design);
    cutting::Rules {
        least: u64::try_from(nanometres(rule.least)).unwrap_or(0),
        overlap: nanometres(rule.overlap),
        stagger: design.lattice.batten.stagger.value,
    }
}

/// A stretch as the pure solver sees it: slanted ends take as much as their farthest corner.
fn as_task(
    site: &Site<'_>,
    plan: &Plan,
    stretch: &Stretch,
    joints: &[Joint],
    places: &[Candidate],
    pinned: bool,
) -> cutting::Stretch {
    let reach = |end| {
        let more = site.outline(State::Drawn).map_or(0.0, |o| super::boards::reach(site.design, o, 0.0, end).farthest);
        u64::try_from(nanometres(more)).unwrap_or(0)
    };
    let place = |c: &Candidate| cutting::Place { line: c.line, at: nanometres(c.x) };
    cutting::Stretch {
        from: nanometres(stretch.x.0),
        to: nanometres(stretch.x.1),
        reach: (reach(stretch.ends.0), reach(stretch.ends.1)),
        places: places.iter().map(place).collect(),
        given: joints.iter().map(|j| (j.line, nanometres(j.x))).collect(),
        fixed: pinned,
        laid: plan.is_laid(site),
    }
}

/// The joints that a design gives a stretch.
fn on_lines(
    site: &Site<'_>,
    stretch: &Stretch,
    plan: &Plan,
    names: &[(String, std::ops::Range<usize>)],
    lines: &[Line],
) -> Vec<Joint> {
    let Some(outline) = site.outline(State::Drawn) else { return Vec::new() };
    let mut all: Vec<Joint> = lines
        .iter()
        .enumerate()
        .filter(|(_, l)| names.iter().any(|(n, _)| *n == l.name) && l.runs_at(plan.drawn))
        .filter_map(|(i, l)| {
            let x = target(l.members(State::Drawn), plan.drawn, outline)?.joint_x;
            Some(Joint { line: u32::try_from(i).ok(), x })
        })
        .filter(|j| stretch.x.0 < j.x && j.x < stretch.x.1)
        .collect();
    all.sort_by(|a, b| a.x.total_cmp(&b.x));
    all
}

/// The lines of a course's joints from left to right; `None` where one stands over nothing.
pub fn joint_lines(lattice: &SlopeLattice, course: usize) -> Option<Vec<&str>> {
    let mut lines = Vec::new();
    for piece in lattice.pieces_of(course) {
        match piece.ends.1 {
            End::Joint { line } => lines.push(lattice.lines.get(line as usize)?.name.as_str()),
            End::JointOverNothing => return None,
            _ => {}
        }
    }
    Some(lines)
}

/// Joints that are given and cannot stand, and courses that are laid while their joints are still free.
pub fn faults(design: &Design, lattice: &Lattice) -> Vec<Diagnostic> {
    let mut faults = Vec::new();
    let choosing = design.lattice.batten.joints.value == JointChoice::FewestBoards;
    for slope in &lattice.slopes {
        for (c, course) in slope.courses.iter().enumerate() {
            let pinned = design.joints.iter().find(|p| p.course == course.name);
            if let Some(pinned) = pinned {
                let mut wanted: Vec<&str> = pinned.lines.iter().map(|(n, _)| n.as_str()).collect();
                let mut there = joint_lines(slope, c).unwrap_or_default();
                wanted.sort_unstable();
                there.sort_unstable();
                let longest = design.lattice.batten.stock.value.last().map_or(0.0, |l| l.metres());
                let long = slope.pieces_of(c).iter().map(|p| p.x.1 - p.x.0).fold(0.0, f64::max);
                if wanted != there || long > longest + SAME {
                    faults.push(Diagnostic {
                        message: format!("{} cannot be divided on the lines given", course.name),
                        key: format!("{}.lines", pinned.key),
                        span: pinned.span.clone(),
                        hint: "every line must cross the course, and no piece may be longer than the longest stock"
                            .into(),
                    });
                }
            } else if choosing && slope.pieces_of(c).iter().any(|p| p.laid) && slope.pieces_of(c).len() > 1 {
                let line = design.lattice.batten.joints.origin.line().unwrap_or(0);
                let named = design.laid.iter().flat_map(|l| l.courses.iter().flatten());
                let span = named.filter(|(n, _)| *n == course.name).map(|(_, s)| s.clone()).next();
                faults.push(Diagnostic {
                    message: format!("{} is laid, but nothing says where its joints are", course.name),
                    key: "lattice.batten.joints".into(),
                    span: span.unwrap_or(0..0),
                    hint: format!(
                        "line {line} lets joints be chosen anew: give those of a laid course as [[joints]]; `airlath lists` wrote them to joints.toml"
                    ),
                });
            }
        }
    }
    faults
}
