//! A batten that spans too far between backed landings.

use super::context::{Context, OnSlope, Report};
use super::finding::{Evidence, Help, Mend, Place, Source};
use super::probe::Outcome;
use super::{Check, Run, Verdict, embedment_short, landing_not_backed, mends};
use crate::design::Change;
use crate::lattice::{Landing, Piece};

/// The check.
pub const CHECK: Check = Check {
    name: "run-too-long",
    title: "Is every batten held often enough along its length?",
    page: "\
What
  A run, the distance between two neighbouring backed landings of one piece, that is longer than the limit; or a piece
  with fewer than two backed landings.
Why
  Roofing is fixed to the batten anywhere along it; a long run bends and pulls on its two ends.
How computed
  Along x, between the mid-points of the fastener groups of neighbouring backed landings of one piece. Landings that are
  not backed do not count; with a drive log, those that do not hold.
Limits
  Longer than `limits.run` plus `limits.tolerance`. A limit that the design does not write is a rule of thumb: past it by no
  more than `limits.hair` nothing is told either, and past that it warns; a written limit fails. No bending is computed here.
Source
  `limits.run`; by default 24 in, common practice, no source. Tolerance: see `limits.tolerance`.
",
    run: Run::Always(run),
};

fn run(ctx: &Context<'_>, report: &mut Report<'_>) {
    report.examined(&[crate::parts::Kind::Batten]);
    let limit = &ctx.design.limits.run;
    let (hair, verdict) = ctx.leeway(limit);
    let most = limit.metres() + ctx.design.limits.tolerance.metres().max(hair);
    for on in &ctx.slopes {
        for (piece, landings) in on.by_piece() {
            let backed = backed(on, landings);
            if backed.len() < 2 {
                few(ctx, on, piece, landings, &backed, report);
            }
            for pair in backed.windows(2) {
                let ((a, from), (b, to)) = (pair[0], pair[1]);
                let run = to - from;
                if run <= most + 1e-9 {
                    continue;
                }
                let (first, last) = (ctx.landing_name(on, a), ctx.landing_name(on, b));
                let message = format!(
                    "{} hangs between {first} and {last} over {}, {} is the limit",
                    piece.name,
                    ctx.show(run),
                    ctx.show(limit.metres())
                );
                let n = (run / most).ceil() as usize;
                let places: Vec<f64> = (1..n).map(|k| from + run * k as f64 / n as f64).collect();
                let helps = || {
                    let hanging = Hanging { x: (from, to), first: most, between: most, past: most };
                    held_more(ctx, on, piece, landings, &places, &hanging)
                };
                let place = place(ctx, on, piece, (from + to) / 2.0);
                let evidence = vec![Evidence::length("run", run, limit)];
                report.add(
                    verdict,
                    message,
                    vec![piece.name.clone(), first, last],
                    place,
                    evidence,
                    helps,
                    Source::of(limit),
                );
            }
        }
    }
}

/// Landings of a piece that hold, with the mid-points of their groups, from left to right.
pub fn backed<'l>(on: &OnSlope<'_>, landings: &'l [Landing]) -> Vec<(&'l Landing, f64)> {
    let mut all: Vec<(&Landing, f64)> = landings
        .iter()
        .filter(|l| on.holds(l))
        .map(|l| {
            let group = on.lattice.fasteners_of(l);
            (l, group.iter().map(|f| f.x).sum::<f64>() / group.len().max(1) as f64)
        })
        .collect();
    all.sort_by(|a, b| a.1.total_cmp(&b.1));
    all
}

/// A stretch of a piece that hangs: from a landing that holds, to the next one or to the piece's end, metres.
pub struct Hanging {
    /// Where it begins and where it ends.
    pub x: (f64, f64),
    /// How far from its begin the first landing may stand.
    pub first: f64,
    /// How far apart two landings may stand.
    pub between: f64,
    /// How far from its end the last landing may stand.
    pub past: f64,
}

impl Hanging {
    /// Whether landings at these places hold it.
    fn is_held_by(&self, places: &[f64]) -> bool {
        let (from, to) = self.x;
        let mut away: Vec<f64> = places.iter().map(|x| (x - from).abs()).collect();
        away.sort_by(f64::total_cmp);
        let (Some(first), Some(last)) = (away.first(), away.last()) else { return false };
        *first <= self.first + 1e-9
            && away.windows(2).all(|w| w[1] - w[0] <= self.between + 1e-9)
            && (to - from).abs() - last <= self.past + 1e-9
    }
}

/// What holds a piece that hangs: blocks, or else the landings there made good.
pub fn held_more(
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    piece: &Piece,
    landings: &[Landing],
    places: &[f64],
    hanging: &Hanging,
) -> Vec<Help> {
    if let Some((mend, stands)) = mends::blocks_with_landings(ctx, on, piece, places)
        && hanging.is_held_by(&stands)
    {
        return vec![mend.into()];
    }
    let ((from, to), last) = (hanging.x, hanging.past);
    let idle: Vec<&Landing> =
        landings.iter().filter(|l| !on.holds(l) && l.x > from.min(to) && l.x < from.max(to)).collect();
    let words = || mends::advice(format!("bring a member under {} there, and fasten the batten to it", piece.name));
    let outermost = idle.iter().map(|l| (to - l.x).abs()).fold(f64::INFINITY, f64::min);
    let help = made_good(ctx, on, &idle).map(|help| match help {
        Help::Mend(mend) if outermost > last + 1e-9 => mends::advice(format!("{}, and block beyond them", mend.text)),
        help => help,
    });
    vec![help.unwrap_or_else(words)]
}

/// Landings that hold nothing, made good by what their own findings say: a mend where each of them has one and no two of
/// these are at odds. None where there are no such landings.
fn made_good(ctx: &Context<'_>, on: &OnSlope<'_>, idle: &[&Landing]) -> Option<Help> {
    if idle.is_empty() {
        return None;
    }
    let names: Vec<String> = idle.iter().take(NAMES).map(|l| ctx.landing_name(on, l)).collect();
    let more = if idle.len() > NAMES { format!(" and {} more", idle.len() - NAMES) } else { String::new() };
    let text = format!("make good the landings there, each by its own mend: {}{more}", names.join(", "));
    let own = |all, landing: &&Landing| with(all, own_mend(ctx, on, landing)?.change);
    // Mends are tried on the solids: none is where the first of them is lacking, or where there are too many.
    let few = idle.len() <= MOST_MADE_GOOD;
    let changes = few.then(|| idle.iter().try_fold(Vec::new(), own)).flatten();
    Some(match changes {
        Some(changes) => Mend { text, change: Change::All(changes) }.into(),
        None => mends::advice(text),
    })
}

/// The first mend of a landing that is not backed, or not deep enough.
fn own_mend(ctx: &Context<'_>, on: &OnSlope<'_>, landing: &Landing) -> Option<Mend> {
    let (_, worst) = on.worst(landing)?;
    let helps = match worst.outcome {
        Outcome::Shallow => {
            let member = worst.member.and_then(|m| ctx.structure.member(m))?;
            embedment_short::mends(ctx, on, landing, member, worst.embedment)
        }
        Outcome::Nothing | Outcome::BreaksOut => landing_not_backed::mend(ctx, on, landing),
        Outcome::Backed => return None,
    };
    helps.into_iter().find_map(|help| match help {
        Help::Mend(mend) => Some(mend),
        Help::Advice(_) => None,
    })
}

/// The changes with one more; one that is there already counts once. None where it sets a key otherwise than another does.
fn with(mut all: Vec<Change>, one: Change) -> Option<Vec<Change>> {
    let key = |c: &Change| match c {
        Change::Set { key, .. } => Some(key.clone()),
        Change::Append(_) | Change::All(_) => None,
    };
    if all.contains(&one) {
        return Some(all);
    }
    if key(&one).is_some_and(|k| all.iter().any(|c| key(c).as_ref() == Some(&k))) {
        return None;
    }
    all.push(one);
    Some(all)
}

/// How many landings are made good at once; for more there are words alone.
const MOST_MADE_GOOD: usize = 16;

/// How many landings a mend names.
const NAMES: usize = 4;

/// The place of a finding about a piece.
pub fn place(ctx: &Context<'_>, on: &OnSlope<'_>, piece: &Piece, x: f64) -> Option<Place> {
    Some(Place { slope: on.id, at: [x, piece.y, ctx.lattice.levels.batten + piece.lift] })
}

fn few(
    ctx: &Context<'_>,
    on: &OnSlope<'_>,
    piece: &Piece,
    landings: &[Landing],
    backed: &[(&Landing, f64)],
    report: &mut Report<'_>,
) {
    let length = piece.x.1 - piece.x.0;
    let held = match backed {
        [] => "has no backed landing".to_owned(),
        [(l, _), ..] => format!("is held by {} alone", ctx.landing_name(on, l)),
    };
    let message = format!("{}, {} long, {held}", piece.name, ctx.show(length));
    let evidence = vec![super::Evidence {
        what: "backed landings",
        found: super::Measure::Count(backed.len()),
        limit: Some(super::Measure::Count(2)),
    }];
    let place = place(ctx, on, piece, (piece.x.0 + piece.x.1) / 2.0);
    let source = Source::words("a board on fewer than two supports is a mechanism (statics)");
    let limits = &ctx.design.limits;
    let end_run = limits.end_run.metres();
    // A board that short splits before it holds on two.
    let long_enough = length >= 6.0 * limits.end_distance.metres();
    let held_at = backed.first().map(|(_, x)| *x);
    let all = new_places(piece.x, held_at, end_run, limits.run.metres());
    let slack = limits.tolerance.metres();
    let (past, between) = (end_run + slack, limits.run.metres() + slack);
    let hanging = Hanging { x: piece.x, first: past, between, past };
    let held_by = |stands: &[f64]| {
        let at: Vec<f64> = stands.iter().copied().chain(held_at).collect();
        at.len() >= 2 && hanging.is_held_by(&at)
    };
    let helps = || {
        let idle: Vec<&Landing> = landings.iter().filter(|l| !on.holds(l)).collect();
        let words = || mends::advice(format!("bring members under {}, or join it to its neighbour", piece.name));
        let blocks = long_enough
            .then(|| mends::blocks_with_landings(ctx, on, piece, &all))
            .flatten()
            .filter(|(_, stands)| held_by(stands))
            .map(|(mend, _)| Help::from(mend));
        vec![blocks.or_else(|| made_good(ctx, on, &idle)).unwrap_or_else(words)]
    };
    report.add(Verdict::Fail, message, vec![piece.name.clone()], place, evidence, helps, source);
}

/// Where a piece wants landings beside one that it may have: one near each end, and no two further apart than a run.
fn new_places((x0, x1): (f64, f64), held: Option<f64>, end_run: f64, run: f64) -> Vec<f64> {
    let inward = (0.75 * end_run).min((x1 - x0) / 3.0);
    let mut wanted: Vec<f64> = [x0 + inward, x1 - inward]
        .into_iter()
        .zip([x0, x1])
        .filter(|(_, end)| held.is_none_or(|h| (h - end).abs() > end_run))
        .map(|(at, _)| at)
        .collect();
    // A board that hangs by its middle wants both; one that is held near an end still wants a second place.
    if wanted.is_empty() {
        let further = if held.is_some_and(|h| h - x0 > x1 - h) { x0 + inward } else { x1 - inward };
        wanted.push(further);
    }
    let mut at: Vec<f64> = wanted.iter().copied().chain(held).collect();
    at.sort_by(f64::total_cmp);
    let between = at.windows(2).flat_map(|w| {
        let n = ((w[1] - w[0]) / run - 1e-9).ceil().max(1.0);
        let (from, step) = (w[0], (w[1] - w[0]) / n);
        (1..n as usize).map(move |k| from + step * k as f64)
    });
    let mut all: Vec<f64> = wanted.iter().copied().chain(between).collect();
    all.sort_by(f64::total_cmp);
    all
}
