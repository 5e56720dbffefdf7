//! The roof itself beside what `[wind]` says of it.
//!
//! Aim: a height, a width or an overhang that this roof cannot have is told. Reason: each of them makes the wind weaker in
//! silence. Limits: values on the safe side pass, as a roof may be part of a larger building on falling ground; the width of a
//! roof that is no rectangle in plan is only compared with its largest slope.

use super::super::file::WindFile;
use super::super::model::Slope;
use super::super::reader::Reader;
use super::super::written::Written;
use super::slopes::axes;
use crate::quantity::{Angle, Length};

/// Sizes of the roof, metres.
pub struct Built {
    /// Of the lowest edge and of the highest one above the ground, where the lowest one is above it.
    heights: Option<(f64, f64)>,
    /// How far the highest edge is above the lowest one.
    rise: f64,
    /// The steepest pitch.
    pitch: Angle,
    /// The smaller and the larger size in plan that the building has at least.
    plan: (f64, f64),
}

/// What two sizes may differ by before they contradict each other.
const SLACK: f64 = 0.01;

/// What rounding may do to a size, metres.
const SAME: f64 = 1e-6;

/// Up to this pitch the mean roof height may be that of the eave (ASCE 7-22 26.2, mean roof height).
const FLAT: f64 = 10.0;

impl Built {
    /// The roof as drawn; `None` where there is none.
    pub fn of(slopes: &[Slope]) -> Option<Built> {
        let first = slopes.first()?;
        let corners = |s: &Slope| -> Vec<[f64; 3]> {
            let (x, y, _) = axes(s.facing.value, s.pitch.value);
            let [e, n, u] = s.eave_point.value.map(Length::metres);
            let at = |c: &(Length, Length)| {
                let v = x * c.0.metres() + y * c.1.metres();
                [e + v.x, n + v.y, u + v.z]
            };
            s.outline.iter().map(at).collect()
        };
        // Sizes in plan along the eave of a slope and across it.
        let sizes = |along: &Slope, of: &[Vec<[f64; 3]>]| {
            let x = axes(along.facing.value, along.pitch.value).0;
            let reach = |way: [f64; 2]| {
                let all = of.iter().flatten().map(|c| c[0] * way[0] + c[1] * way[1]);
                let (low, high) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
                high - low
            };
            let (a, b) = (reach([x.x, x.y]), reach([-x.y, x.x]));
            (a.min(b), a.max(b))
        };
        let all: Vec<Vec<[f64; 3]>> = slopes.iter().map(corners).collect();
        let up = all.iter().flatten().map(|c| c[2]);
        let (low, high) = up.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        let area = |of: &Vec<[f64; 3]>| {
            let next = of.iter().cycle().skip(1);
            of.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum::<f64>() / 2.0
        };
        let covered: f64 = all.iter().map(area).sum();
        let whole = sizes(first, &all);
        let plan = if (covered / (whole.0 * whole.1) - 1.0).abs() < SLACK {
            whole
        } else {
            let each = slopes.iter().zip(&all).map(|(s, of)| sizes(s, std::slice::from_ref(of)));
            each.fold((0.0, 0.0), |(a, b): (f64, f64), (small, large)| (a.max(small), b.max(large)))
        };
        let pitch = slopes.iter().map(|s| s.pitch.value).max_by(|a, b| a.radians().total_cmp(&b.radians()))?;
        Some(Built { heights: (low > SAME).then_some((low, high)), rise: high - low, pitch, plan })
    }

    /// Tells what of `[wind]` this roof cannot have: its height, its width, its overhang (metres), by EN 1991-1-4 or not. Only
    /// under a `closed` roof there has to be a building between its overhangs.
    pub fn judge(
        &self,
        r: &mut Reader<'_>,
        f: &WindFile,
        [height, width, overhang]: [Option<f64>; 3],
        european: bool,
        closed: bool,
    ) {
        let place = |w: &Option<Written<Length>>| w.as_ref().map_or(0..0, |w| w.span.clone());
        if let Some(height) = height {
            self.judge_height(r, place(&f.height), height, european);
        }
        let units = r.units;
        let show = |m: f64| Length::from_metres(m).show(units);
        let (small, large) = self.plan;
        if let Some(overhang) = overhang.filter(|o| closed && 2.0 * o >= small - SAME) {
            let says = format!(
                "overhangs of {} on both sides leave no building under a roof of {}",
                show(overhang),
                show(small)
            );
            let hint = "how far eaves and rakes reach past the walls, in plan";
            r.fault(place(&f.overhang), "wind.overhang", says, hint);
            return;
        }
        // By ASCE 7 the least size counts, by EN 1991-1-4 the larger one.
        let (size, which) = if european { (large, "its larger side") } else { (small, "its smaller side") };
        let walls = size - 2.0 * overhang.unwrap_or(small / 4.0);
        if let Some(width) = width.filter(|w| *w < walls * (1.0 - SLACK)) {
            let says = format!(
                "the building is not so narrow: {which} is {} in plan at the roof, not {}",
                show(size),
                show(width)
            );
            let hint = match overhang {
                Some(o) => format!("with overhangs of {} it is at least {} wide", show(o), show(walls)),
                None => {
                    "the least horizontal dimension of the building (ASCE 7), its larger side (EN 1991-1-4)".to_owned()
                }
            };
            r.fault(place(&f.width), "wind.width", says, hint);
        }
    }

    /// ASCE 7 counts the height to half way between eave and highest place, up to 10 deg of pitch to the eave; EN 1991-1-4 to the
    /// highest place.
    fn judge_height(&self, r: &mut Reader<'_>, at: std::ops::Range<usize>, height: f64, european: bool) {
        let units = r.units;
        let show = |m: f64| Length::from_metres(m).show(units);
        let part = match (european, self.pitch.degrees() <= FLAT) {
            (true, _) => 1.0,
            (false, true) => 0.0,
            (false, false) => 0.5,
        };
        // Where heights count from the eave, that is above the ground all the same.
        let low = self.heights.map_or(0.0, |h| h.0);
        let least = low + part * self.rise;
        if height >= least * (1.0 - SLACK) {
            return;
        }
        let says = match self.heights {
            Some((low, high)) => format!(
                "the roof is not so low: its lowest eave is {} above the ground, its highest edge {}",
                show(low),
                show(high)
            ),
            None => format!("the roof is not so low: from the eave alone it rises {}", show(self.rise)),
        };
        let counts = match (european, self.heights.is_some()) {
            (true, _) => "by EN 1991-1-4 the height counts to the highest edge",
            (false, _) if part == 0.0 => "up to 10 deg of pitch the mean roof height is that of the eave",
            (false, _) => "the mean roof height is half way from the eave to the highest edge",
        };
        let from = if self.heights.is_some() { "" } else { ", above the eave alone" };
        let hint = format!("{counts}: at least {}{from}; or put the heights of the roof right", show(least));
        r.fault(at, "wind.height", says, hint);
    }
}
