//! The way to a roof without fails: change after change, each tried on the whole roof before it is taken.
//!
//! Aim: the few changes after which nothing fails any more, or as little as these changes reach. Reason: each proposal alone is
//! easily shown; that they work together only the whole shows.
//! How: cause by cause, the one with most fails first, every proposal is tried; of those that leave fewer fails and make none the
//! best is taken, compared in turn by fails left, new warnings, keys changed, holes added, new wood, length of boards, size of the
//! change. Then the causes are worked out anew. In the end changes without which as few fails are left are dropped again, and the
//! rest is laid step by step from the design as it was.
//! Limits: at most [`MOST_TRIES`] tries, fewer on large roofs; a cause for which nothing helped is not tried again. Warnings alone
//! are left. What is laid, driven or found stays where it is; with a drive log only changes are taken with which every row of it
//! still holds.

use std::collections::{BTreeMap, BTreeSet};

use super::cause::{Cause, CauseKind, causes};
use super::difference::flags;
use super::propose::{Proposal, is_kept, may_change, proposals, touched};
use super::{Difference, Trial};
use crate::check::{self, Context, Finding, Verdict};
use crate::design::{Change, Design, Faults, LaidKind, MemberKind, MemberLine, MemberSpec, Reach, SlopeId};
use crate::lattice::{boards, x_at};
use crate::plan::{Plan, Texts};
use crate::quantity::Units;

/// The most tries for one design.
pub const MOST_TRIES: usize = 400;
/// Landings laid again in all.
const LANDINGS: usize = 400_000;
/// The fewest tries, however large the roof.
const FEWEST_TRIES: usize = 24;

/// What somebody wishes of the changes.
#[derive(Clone, Debug, Default)]
pub struct Wishes {
    /// Keys and tables that stay as they are, each with all below it.
    pub keep: Vec<String>,
    /// Only causes of this kind are worked on.
    pub only: Option<CauseKind>,
    /// Only the cause of this id is worked on.
    pub cause: Option<String>,
    /// A drive log: its name and text.
    pub log: Option<(String, String)>,
}

/// Fails and warnings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flags {
    /// Fails.
    pub fails: usize,
    /// Warnings.
    pub warns: usize,
}

/// What a roof takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Takes {
    /// Batten boards to buy.
    pub boards: usize,
    /// Their length, metres.
    pub length: f64,
    /// Fasteners of the battens.
    pub fasteners: usize,
    /// Members beyond the drawing.
    pub added: usize,
}

/// One change that was taken.
#[derive(Clone, Debug)]
pub struct Step {
    /// What to do, in words.
    pub text: String,
    /// The change of the design file.
    pub change: Change,
    /// The cause that it was tried for.
    pub cause: String,
    /// What is wrong there, in words.
    pub why: String,
    /// Flags before and after it, with the changes above it made.
    pub flags: (Flags, Flags),
    /// Warnings that it makes.
    pub made: Vec<String>,
    /// What the roof takes before and after it.
    pub takes: (Takes, Takes),
}

/// A change that helps a cause and was not taken.
#[derive(Clone, Debug)]
pub struct Partial {
    /// What to do, in words.
    pub text: String,
    /// Why it was not taken.
    pub why_not: String,
}

/// What is left when no change helps any more.
#[derive(Clone, Debug)]
pub struct Left {
    /// The cause.
    pub cause: Cause,
    /// The best changes that were not taken, three at the most.
    pub partial: Vec<Partial>,
    /// What its worst finding advises.
    pub advice: Option<String>,
}

/// The whole way.
pub struct Fix {
    /// Causes of what the design as it is was found to have.
    pub causes: Vec<Cause>,
    /// The changes, in the order in which they are made.
    pub steps: Vec<Step>,
    /// What is left with all of them made.
    pub left: Vec<Left>,
    /// Flags of the design as it is, and with all changes made.
    pub flags: (Flags, Flags),
    /// Units for people.
    pub units: Units,
    /// How many changes were tried.
    pub tries: usize,
    /// Whether changes were left untried.
    pub cut_short: bool,
    /// The texts with all changes made.
    pub texts: Texts,
    /// What is and is not checked of the roof with all changes made.
    pub scope: String,
}

/// Finds the changes.
///
/// # Errors
/// Every fault of the texts and of the log, file by file.
pub fn fix(texts: &Texts, wishes: &Wishes) -> Result<Fix, Vec<Faults>> {
    let first = Laid::of(texts.clone(), &wishes.log)?;
    let landings = first.plan.lattice.landing_count();
    let most = (LANDINGS / landings.max(1)).clamp(FEWEST_TRIES, MOST_TRIES);
    let mut search = Search { wishes, left: most, tries: 0, cut_short: false, hopeless: BTreeMap::new() };
    let mut begun = first.causes();
    let mut taken: Vec<(Proposal, Cause)> = Vec::new();
    let mut last: Option<Laid> = None;
    while let Some((proposal, cause, trial)) = search.next(last.as_ref().unwrap_or(&first)) {
        last = Some(Laid::of(trial.texts, &wishes.log)?);
        taken.push((proposal, cause));
    }
    search.drop_needless(texts, &mut taken);
    let (steps, last) = steps(&first, &wishes.log, &taken)?;
    let last = last.as_ref().unwrap_or(&first);
    for cause in &mut begun {
        cause.proved = taken.iter().any(|(_, c)| c.proved && (c.kind, &c.subject) == (cause.kind, &cause.subject));
    }
    let findings = last.findings();
    let left = last.causes().into_iter().map(|cause| {
        let partial = search.hopeless.get(&cause.id()).cloned().unwrap_or_default();
        let worst = cause.findings.first().and_then(|f| findings.get(*f));
        let advice = worst.and_then(|f| f.advice.first()).cloned();
        Left { cause, partial, advice }
    });
    Ok(Fix {
        causes: begun,
        steps,
        left: left.collect(),
        flags: (first.flags(), last.flags()),
        units: last.plan.design.units,
        tries: search.tries,
        cut_short: search.cut_short,
        scope: check::scope_line(&last.plan.context()),
        texts: last.texts.clone(),
    })
}

/// The changes laid one after the other from the design as it was, and the last of these; the first change that makes a fail,
/// seen from there, ends them.
fn steps(
    first: &Laid,
    log: &Option<(String, String)>,
    taken: &[(Proposal, Cause)],
) -> Result<(Vec<Step>, Option<Laid>), Vec<Faults>> {
    let mut last: Option<Laid> = None;
    let mut steps = Vec::new();
    for (proposal, cause) in taken {
        let now = last.as_ref().unwrap_or(first);
        let Some(changed) = now.texts.changed(&proposal.change) else { break };
        let next = Laid::of(changed, log)?;
        if Difference::between(&first.results, &next.results).made_of(Verdict::Fail) > 0 {
            break;
        }
        let difference = Difference::between(&now.results, &next.results);
        steps.push(Step {
            text: proposal.text.clone(),
            change: proposal.change.clone(),
            cause: cause.id(),
            why: cause.wrong(),
            flags: (now.flags(), next.flags()),
            made: difference.made.iter().map(|f| f.message.clone()).collect(),
            takes: (takes(&now.plan), takes(&next.plan)),
        });
        last = Some(next);
    }
    Ok((steps, last))
}

/// A design laid and checked, with what would help.
struct Laid {
    texts: Texts,
    plan: Plan,
    results: Vec<check::Result>,
}

impl Laid {
    fn of(texts: Texts, log: &Option<(String, String)>) -> Result<Laid, Vec<Faults>> {
        let plan = with_log(texts.plan()?, log).map_err(|f| vec![f])?;
        let results = check::run(&plan.context());
        Ok(Laid { texts, plan, results })
    }

    fn findings(&self) -> Vec<&Finding> {
        self.results.iter().flat_map(|r| &r.findings).collect()
    }

    fn causes(&self) -> Vec<Cause> {
        causes(&self.plan.context(), &self.findings())
    }

    fn flags(&self) -> Flags {
        Flags { fails: flags(&self.results, Verdict::Fail), warns: flags(&self.results, Verdict::Warn) }
    }
}

fn with_log(plan: Plan, log: &Option<(String, String)>) -> Result<Plan, Faults> {
    match log {
        Some((file, text)) => plan.with_log(file, text),
        None => Ok(plan),
    }
}

/// What a plan takes.
fn takes(plan: &Plan) -> Takes {
    let boards = boards(&plan.design, &plan.found, &plan.lattice).boards;
    Takes {
        boards: boards.len(),
        length: boards.iter().map(|b| b.stock).sum(),
        fasteners: holes(plan),
        added: plan.design.added.len(),
    }
}

fn holes(plan: &Plan) -> usize {
    plan.lattice.slopes.iter().map(|s| s.fasteners.len()).sum()
}

/// How good a try is, the less the better: fails left, new warnings, keys changed, holes added, new wood.
type Score = (usize, usize, usize, usize, usize);

struct Search<'w> {
    wishes: &'w Wishes,
    left: usize,
    tries: usize,
    cut_short: bool,
    /// Causes for which nothing helped, with what came nearest.
    hopeless: BTreeMap<String, Vec<Partial>>,
}

impl Search<'_> {
    /// The best change for the worst cause for which there is one.
    fn next(&mut self, now: &Laid) -> Option<(Proposal, Cause, Trial)> {
        let ctx = now.plan.context();
        let findings = now.findings();
        let Wishes { only, cause, .. } = self.wishes;
        let named = |c: &Cause| only.is_none_or(|k| k == c.kind) && cause.as_ref().is_none_or(|id| *id == c.id());
        let wanted = |c: &Cause| c.flags.0 > 0 && named(c);
        let causes: Vec<Cause> = now.causes().into_iter().filter(wanted).collect();
        for mut cause in causes {
            if self.hopeless.contains_key(&cause.id()) {
                continue;
            }
            let mut near: Vec<(usize, Partial)> = Vec::new();
            let mut good: Vec<(Score, f64, Proposal, Trial)> = Vec::new();
            for proposal in self.worth_trying(&ctx, now, &cause, &findings) {
                if self.left == 0 {
                    self.cut_short = true;
                    break;
                }
                (self.left, self.tries) = (self.left - 1, self.tries + 1);
                let Some(trial) =
                    Trial::of(&now.texts, &proposal.change).ok().and_then(|t| t.with_log(&self.wishes.log))
                else {
                    continue;
                };
                match judged(now, &trial, &proposal.change) {
                    Ok(score) => {
                        // Only the best so far are kept: a plan is large.
                        if good.first().is_none_or(|(best, ..)| score <= *best) {
                            good.retain(|(s, ..)| *s <= score);
                            if good.len() < MOST_ALIKE {
                                good.push((score, takes(&trial.plan).length, proposal, trial));
                            }
                        }
                    }
                    Err(Some((fails, why_not))) => near.push((fails, Partial { text: proposal.text, why_not })),
                    Err(None) => {}
                }
            }
            let key = |g: &(Score, f64, Proposal, Trial)| (g.0, g.1, g.2.size);
            let best = good.into_iter().min_by(|a, b| {
                let (a, b) = (key(a), key(b));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2))
            });
            if let Some((.., proposal, trial)) = best {
                let difference = Difference::between(&now.results, trial.results());
                let its = cause.findings.iter().filter_map(|f| findings.get(*f));
                cause.proved = difference.made.is_empty() && its.into_iter().any(|f| difference.clears(f));
                return Some((proposal, cause, trial));
            }
            near.sort_by_key(|(fails, _)| *fails);
            self.hopeless.insert(cause.id(), near.into_iter().map(|(_, p)| p).take(3).collect());
        }
        None
    }

    /// The proposals for a cause that may be made at all, each once.
    fn worth_trying(&self, ctx: &Context<'_>, now: &Laid, cause: &Cause, findings: &[&Finding]) -> Vec<Proposal> {
        let frozen = frozen(&now.plan);
        let may =
            |t: &String| may_change(t) && !is_kept(t, &self.wishes.keep) && !frozen.iter().any(|f| t.starts_with(f));
        let mut seen = BTreeSet::new();
        let mut all = proposals(ctx, cause, findings);
        all.retain(|p| touched(&p.change).iter().all(may) && seen.insert(p.change.text()));
        all
    }

    /// Drops changes without which no more fails are left and no more warnings.
    fn drop_needless(&mut self, texts: &Texts, taken: &mut Vec<(Proposal, Cause)>) {
        let log = &self.wishes.log;
        let laid = |taken: &[(Proposal, Cause)]| {
            let all = taken.split_last().and_then(|((last, _), before)| {
                let before = before.iter().try_fold(texts.clone(), |t, (p, _)| t.changed(&p.change))?;
                Trial::of(&before, &last.change).ok()?.with_log(log)
            })?;
            Some((flags(all.results(), Verdict::Fail), flags(all.results(), Verdict::Warn)))
        };
        let Some(all) = (taken.len() > 1).then(|| laid(taken)).flatten() else { return };
        let mut i = 0;
        while i < taken.len() && taken.len() > 1 {
            let mut fewer = taken.clone();
            fewer.remove(i);
            self.tries += 1;
            if laid(&fewer).is_some_and(|now| now <= all) {
                *taken = fewer;
            } else {
                i += 1;
            }
        }
    }
}

/// How many tries that are alike in all that is counted are compared by their boards.
const MOST_ALIKE: usize = 8;

/// How good a try is; or why it may not be taken, with its fails where it helps at all.
fn judged(now: &Laid, trial: &Trial, change: &Change) -> Result<Score, Option<(usize, String)>> {
    let (before, after) = (&now.results, trial.results());
    let (had, fails) = (flags(before, Verdict::Fail), flags(after, Verdict::Fail));
    if fails >= had {
        return Err(None);
    }
    let difference = Difference::between(before, after);
    let refused = |why: String| Err(Some((fails, format!("fails {had} to {fails}, but {why}"))));
    let made = difference.made_of(Verdict::Fail);
    if made > 0 {
        return refused(format!("it makes {made} new {}", if made == 1 { "fail" } else { "fails" }));
    }
    if let Some(check) = difference.no_longer_checked.first() {
        return refused(format!("{check} is then not checked"));
    }
    let unanswered = |r: &[check::Result]| r.iter().map(|r| r.examined.without_answer().count()).sum::<usize>();
    if unanswered(after) > unanswered(before) {
        return refused("more parts are then not checked".to_owned());
    }
    let new_wood = trial.plan.design.added.get(now.plan.design.added.len()..).unwrap_or_default();
    if now.plan.design.reach.value == Reach::Above && new_wood.iter().any(|m| is_inside(&now.plan, m)) {
        return refused(
            "it puts new wood inside the airtight line: write framing.reach = \"below\" if that can still be done"
                .to_owned(),
        );
    }
    if !stays(&now.plan, &trial.plan) {
        return refused("it moves what is already on the roof".to_owned());
    }
    let holes = holes(&trial.plan).saturating_sub(holes(&now.plan));
    Ok((fails, difference.made.len(), touched(change).len(), holes, new_wood.len()))
}

/// Whether a new member lies inside the airtight line: between two rafters or trimmers. Only blocks are ever outside.
fn is_inside(plan: &Plan, member: &MemberSpec) -> bool {
    let MemberLine::OnSlope { slope: SlopeId(slope), from, to, .. } = &member.place else { return true };
    let Some(on) = plan.lattice.slopes.get(*slope) else { return true };
    let y = (from.1 + to.1).metres() / 2.0;
    let (left, right) = (from.0.metres().min(to.0.metres()), from.0.metres().max(to.0.metres()));
    let framing = |m: &&crate::lattice::LineMember| matches!(m.kind, MemberKind::Rafter | MemberKind::Trimmer);
    let xs =
        || on.lines.iter().flat_map(|l| &l.found).filter(framing).filter(|m| m.covers(y)).map(|m| x_at(&m.path, y));
    member.kind != MemberKind::Block || (xs().any(|x| x <= left) && xs().any(|x| x >= right))
}

/// Keys of sizes that cannot change, as some of it is already on the roof.
fn frozen(plan: &Plan) -> Vec<&'static str> {
    let is_laid = |kind: LaidKind| plan.design.laid.iter().any(|l| l.what.contains(&kind));
    let driven = plan.driven.is_some();
    let all = [
        (is_laid(LaidKind::Fasteners) || driven, "fastening."),
        (is_laid(LaidKind::Tape) || driven, "lattice.tape."),
        (is_laid(LaidKind::Strips) || driven, "lattice.strip."),
        (is_laid(LaidKind::Straps) || driven, "straps["),
    ];
    all.into_iter().filter(|(laid, _)| *laid).map(|(_, key)| key).collect()
}

/// Whether everything that is laid or driven lies after a change where it lay before.
fn stays(before: &Plan, after: &Plan) -> bool {
    let (before, after) = (on_the_roof(&before.design, before), on_the_roof(&after.design, after));
    before.is_subset(&after)
}

/// What is laid: slope and whole micrometres of two corners, a fastener or a piece.
fn on_the_roof(design: &Design, plan: &Plan) -> BTreeSet<(usize, [i64; 3])> {
    let micro = |v: f64| (v * 1e6).round() as i64;
    let mut all = BTreeSet::new();
    if design.laid.is_empty() {
        return all;
    }
    for (s, on) in plan.lattice.slopes.iter().enumerate() {
        all.extend(on.pieces.iter().filter(|p| p.laid).map(|p| (s, [micro(p.x.0), micro(p.x.1), micro(p.y)])));
        let driven = on.landings.iter().filter(|l| on.is_driven(design, SlopeId(s), l));
        all.extend(driven.flat_map(|l| on.fasteners_of(l)).map(|f| (s, [micro(f.x), micro(f.y), i64::MAX])));
    }
    all
}
