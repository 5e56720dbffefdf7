//! Air that warms as it passes: flows and temperatures in turn, from several beginnings.
//!
//! Warm air drives itself, so temperatures depend on the flows and the flows on them; with wind against buoyancy more than
//! one pair fits. Which one a day comes to depends on how it began, so several beginnings are followed, and answers that
//! differ are told apart. An answer that is found is one to which small changes come back.

use super::solve::{EXACT, Trouble};

/// The most turns of flows and temperatures, those taken back among them.
const MOST_TURNS: usize = 200;
/// Temperatures are settled when none changes by more, kelvins.
pub const SETTLED: f64 = 1e-4;
/// Two answers are two when what passes the openings differs by more than this share, summed over all of them.
pub const DISTINCT: f64 = 0.01;
/// A beginning that has come so near to an answer already found, in what passes the openings and in every temperature
/// (kelvins), is taken to settle there: answers draw in what is near.
const NEAR: (f64, f64) = (0.5 * DISTINCT, 0.5);
/// How exact flows are on the way to an answer: that share of what drives the air for each kelvin of the way, between these.
const ROUGH: f64 = 1e-3;
const ROUGHEST: f64 = 1e-2;
const FINEST: f64 = 1e-8;

/// What one turn goes of its way to begin with: half; a fifth from the ends of what is possible, so that no answer on the way
/// is stepped over; at the least.
pub const SHARE: f64 = 0.5;
const CAREFUL: f64 = 0.2;
const LEAST_SHARE: f64 = 1.0 / 512.0;
/// Where a turn moves the place that it leads to by less than this share of its own length, the next one may be longer, up to
/// the whole way.
const STEADY: f64 = 0.25;
/// How much longer a turn may be than the last one, where that was steady and where it was not.
const LONGER: (f64, f64) = (1.5, 1.2);
/// Where the way is no longer than this, kelvins, half of it is gone in one turn whatever the beginning.
const CLOSE: f64 = 2.0;

/// A network whose links are driven by temperatures that its flows bring about.
pub trait Warming {
    /// Flows at some temperatures.
    type Flow;
    /// The flows at given temperatures, kelvins, as exact as [`super::solve_with`] says.
    ///
    /// # Errors
    /// See [`Trouble`].
    fn flow(&mut self, temperatures: Vec<f64>, within: f64) -> Result<Self::Flow, Trouble>;
    /// The temperatures that flows were solved at.
    fn temperatures<'f>(&self, flow: &'f Self::Flow) -> &'f [f64];
    /// What passes each opening, inward, kg/s.
    fn through<'f>(&self, flow: &'f Self::Flow) -> &'f [f64];
    /// The temperatures that flows bring about.
    fn warmed(&self, flow: &Self::Flow) -> Vec<f64>;
    /// The temperatures that the same flows the other way round would bring about.
    fn turned(&self, flow: &Self::Flow) -> Vec<f64>;
}

/// How a day began.
#[derive(Clone, Debug, PartialEq)]
pub struct Beginning {
    /// In words.
    pub name: String,
    /// Temperatures, kelvins.
    pub temperatures: Vec<f64>,
    /// The most of the way to the temperatures that the flows bring about, that one turn goes.
    pub share: f64,
}

/// An answer, and the beginnings that come to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled<F> {
    /// Its flows.
    pub flow: F,
    /// Names of the beginnings.
    pub begun: Vec<String>,
}

/// What came of all beginnings.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcomes<F> {
    /// Answers that differ, in the order in which they were found.
    pub answers: Vec<Settled<F>>,
    /// Names of the beginnings that did not settle.
    pub unsettled: Vec<String>,
}

/// The beginnings that are alike for all networks: everything cold, everything hot, and zones as warm as a fixed sequence
/// of numbers says, `drawn` times; where nothing is drawn, cold and hot are followed in long turns too. `zones` numbers the zone
/// of each node.
pub fn beginnings(cold: f64, hot: f64, zones: &[u32], drawn: u32) -> Vec<Beginning> {
    let share = if drawn > 0 { CAREFUL } else { SHARE };
    let all = |name: &str, t: f64| Beginning { name: name.to_owned(), temperatures: vec![t; zones.len()], share };
    let lot = |k: u32| {
        let at = |z: &u32| cold + lot_share(u64::from(k) << 32 | u64::from(*z)) * (hot - cold);
        Beginning { name: format!("lot {k}"), temperatures: zones.iter().map(at).collect(), share: SHARE }
    };
    [all("cold", cold), all("hot", hot)].into_iter().chain((1..=drawn).map(lot)).collect()
}

/// A number from 0 to 1 that follows from another one: the mixing of splitmix64 (Steele, Lea, Flood 2014).
fn lot_share(of: u64) -> f64 {
    let mut z = of.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

/// All answers that the beginnings come to, and those that the answers found, turned round, come to.
///
/// # Errors
/// See [`Trouble`]; [`Trouble::NotConverged`] where no beginning settles.
pub fn follow<W: Warming>(warming: &mut W, beginnings: Vec<Beginning>) -> Result<Outcomes<W::Flow>, Trouble> {
    let mut all = Outcomes { answers: Vec::new(), unsettled: Vec::new() };
    for begin in beginnings {
        one(warming, begin, &mut all)?;
    }
    let turned: Vec<Beginning> = all
        .answers
        .iter()
        .map(|a| {
            let name = format!("turned round from {}", a.begun.first().map_or("", String::as_str));
            Beginning { name, temperatures: warming.turned(&a.flow), share: SHARE }
        })
        .collect();
    for begin in turned {
        one(warming, begin, &mut all)?;
    }
    if all.answers.is_empty() { Err(Trouble::NotConverged) } else { Ok(all) }
}

/// Less than this is no flow, kg/s, only rounding.
const NO_AIR: f64 = 1e-12;

/// What passes the openings in one answer more than in another, as a share.
fn apart(a: &[f64], b: &[f64]) -> f64 {
    let scale = a.iter().map(|q| q.abs()).sum::<f64>().max(NO_AIR);
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).sum::<f64>() / scale
}

fn furthest(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max)
}

/// Follows one beginning until it settles, comes to an answer that is known, or has had its turns. Each turn goes a share of
/// the way to the temperatures that the flows bring about, a longer one where these hardly change with it. A turn after which the way would lead back went past a place
/// where it ends: it is taken back, and the next one is half as long. Far from its end a turn is the shorter the less air
/// passes, as a day's changes are: where the flow turns round, little air takes long to change anything.
fn one<W: Warming>(warming: &mut W, begin: Beginning, all: &mut Outcomes<W::Flow>) -> Result<(), Trouble> {
    let name = begin.name.clone();
    match on_its_way(warming, begin, all) {
        // A flow on the way that was not found says nothing of other beginnings.
        Err(Trouble::NotConverged) => {
            all.unsettled.push(name);
            Ok(())
        }
        other => other,
    }
}

fn on_its_way<W: Warming>(warming: &mut W, begin: Beginning, all: &mut Outcomes<W::Flow>) -> Result<(), Trouble> {
    let mut flow = warming.flow(begin.temperatures, ROUGHEST)?;
    let mut way = way(warming, &flow);
    let mut exact = false;
    let mut share = begin.share;
    let mut most_air = 0.0_f64;
    for _ in 0..MOST_TURNS {
        let near = |a: &Settled<W::Flow>| {
            apart(warming.through(&a.flow), warming.through(&flow)) <= NEAR.0
                && furthest(warming.temperatures(&a.flow), warming.temperatures(&flow)) <= NEAR.1
        };
        if let Some(known) = all.answers.iter().position(near).and_then(|k| all.answers.get_mut(k)) {
            known.begun.push(begin.name);
            return Ok(());
        }
        let far = way.iter().map(|w| w.abs()).fold(0.0, f64::max);
        if far <= SETTLED && !exact {
            flow = warming.flow(warming.temperatures(&flow).to_vec(), EXACT)?;
            way = self::way(warming, &flow);
            exact = true;
            continue;
        }
        if far <= SETTLED {
            let same = |a: &Settled<W::Flow>| apart(warming.through(&a.flow), warming.through(&flow)) <= DISTINCT;
            match all.answers.iter().position(same).and_then(|k| all.answers.get_mut(k)) {
                Some(known) => known.begun.push(begin.name),
                None => all.answers.push(Settled { flow, begun: vec![begin.name] }),
            }
            return Ok(());
        }
        let air: f64 = warming.through(&flow).iter().map(|q| q.abs()).sum();
        most_air = most_air.max(air);
        let now = if far > CLOSE && most_air > 0.0 { share * air / most_air } else { share };
        let next = warming.temperatures(&flow).iter().zip(&way).map(|(t, w)| t + now * w).collect();
        let trial = warming.flow(next, (ROUGH * far).clamp(FINEST, ROUGHEST))?;
        let onward = self::way(warming, &trial);
        let square = |v: &mut dyn Iterator<Item = f64>| v.map(|v| v * v).sum::<f64>();
        let moved = square(&mut way.iter().zip(&onward).map(|(a, b)| b - (1.0 - now) * a));
        let steady = moved <= STEADY * STEADY * now * now * square(&mut way.iter().copied());
        let back = way.iter().zip(&onward).map(|(a, b)| a * b).sum::<f64>() < 0.0;
        if back && !steady && share > LEAST_SHARE {
            share /= 2.0;
            continue;
        }
        (flow, way, exact) = (trial, onward, false);
        // Near its end the way is short and may be gone faster.
        let careful = far > CLOSE && begin.share < SHARE;
        share = match (steady, careful) {
            (true, false) => (LONGER.0 * share).min(1.0),
            (true, true) => (LONGER.0 * share).min(SHARE),
            (false, false) => (LONGER.1 * share).min(SHARE),
            (false, true) => (LONGER.1 * share).min(begin.share),
        };
    }
    all.unsettled.push(begin.name);
    Ok(())
}

/// From the temperatures of flows to those that they bring about, kelvins.
fn way<W: Warming>(warming: &W, flow: &W::Flow) -> Vec<f64> {
    warming.warmed(flow).iter().zip(warming.temperatures(flow)).map(|(next, here)| next - here).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lots_are_the_same_each_time_and_differ_from_zone_to_zone() {
        let all = beginnings(270.0, 300.0, &[0, 0, 1, 2], 2);
        assert_eq!(all.iter().map(|b| b.name.as_str()).collect::<Vec<_>>(), ["cold", "hot", "lot 1", "lot 2"]);
        assert_eq!(all, beginnings(270.0, 300.0, &[0, 0, 1, 2], 2));
        for lot in &all[2..] {
            let t = &lot.temperatures;
            assert!(t[0] == t[1] && t[1] != t[2] && t[2] != t[3], "{t:?}");
            assert!(t.iter().all(|t| (270.0..300.0).contains(t)), "{t:?}");
        }
        assert_ne!(all[2].temperatures, all[3].temperatures);
    }
}
