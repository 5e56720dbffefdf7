//! Clips of the roofing panels: where each stands, and on which board.
//!
//! The strength checks take their point forces from [`Clip`]; whether a clip finds its board is told here as a fact and judged
//! elsewhere.

use super::{End, Piece, Site, SlopeLattice};
use crate::design::{ClipPlaces, Design, Panels};
use crate::quantity::list::number;
use crate::solid::{Body, Intervals, Mesh, Point3};
use crate::structure::{Outline, State};

/// A seam between two panels.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// Its name.
    pub name: String,
    /// x on the slope, metres.
    pub x: f64,
    /// Stretches (y, metres) over which panels lie: from edge to edge, openings left out.
    pub stretches: Vec<(f64, f64)>,
}

/// One clip on a seam.
#[derive(Clone, Debug, PartialEq)]
pub struct Clip {
    /// Its seam.
    pub seam: u32,
    /// Its number on the seam, from 1 at the eave.
    pub number: u32,
    /// Its middle: x on the slope, metres.
    pub x: f64,
    /// Its middle: y on the slope, metres.
    pub y: f64,
    /// The board under its middle; `None` where there is none.
    pub piece: Option<u32>,
    /// Axes of its screws, x and y on the slope, metres.
    pub screws: Vec<(f64, f64)>,
}

impl SlopeLattice {
    /// The name of a clip.
    pub fn clip_name(&self, clip: &Clip) -> String {
        let seam = self.seams.get(clip.seam as usize).map_or("", |s| s.name.as_str());
        format!("{seam}.{:02}", clip.number)
    }
}

/// Seams and clips of a slope, from the roof as found.
pub(super) fn lay(site: &Site<'_>, lattice: &mut SlopeLattice) {
    let Some(panels) = site.design.panels.as_ref().filter(|p| p.slopes.contains(&site.slope)) else { return };
    let Some(outline) = site.outline(State::Found) else { return };
    let bounds = outline.bounds();
    let width = panels.width.metres();
    let first = panels.first_seam.metres();
    // The leftmost seam that lies over the slope; one that coincides with a rake is the panel's edge there.
    let mut k = ((bounds.x0 - first) / width + 1e-6).floor() + 1.0;
    let mut xs = Vec::new();
    while first + k * width < bounds.x1 - 1e-6 {
        xs.push(first + k * width);
        k += 1.0;
    }
    let digits = xs.len().to_string().len().max(2);
    for (i, x) in xs.into_iter().enumerate() {
        let name = format!("{}-C{:0digits$}", site.prefix(), i + 1);
        let seam = Seam { name, x, stretches: stretches(outline, x) };
        clips(site.design, panels, number(i), &seam, lattice);
        lattice.seams.push(seam);
    }
}

/// Where panels lie along a line up the slope: from edge to edge, openings left out.
pub fn stretches(outline: &Outline, x: f64) -> Vec<(f64, f64)> {
    let parts = outline.along_y(x).into_iter().map(|(low, high)| (low.0, high.0)).collect();
    let mut left = Intervals::union(parts);
    for (_, hole) in &outline.openings {
        if hole.x0 < x && x < hole.x1 {
            left = left.without(hole.y0, hole.y1);
        }
    }
    left.as_slice().to_vec()
}

fn clips(design: &Design, panels: &Panels, number: u32, seam: &Seam, lattice: &mut SlopeLattice) {
    let half = design.lattice.batten.width.metres() / 2.0;
    let on_a_stretch = |y: f64| seam.stretches.iter().any(|s| s.0 <= y && y <= s.1);
    // Boards are listed course by course.
    let of_course = |c: usize| lattice.pieces.iter().enumerate().filter(move |(_, p)| p.course as usize == c);
    let mut places: Vec<(f64, Option<u32>)> = Vec::new();
    match &panels.places {
        ClipPlaces::EveryCourse => {
            for (c, course) in lattice.courses.iter().enumerate() {
                let under = of_course(c).find(|(_, p)| p.x.0 <= seam.x && seam.x <= p.x.1);
                // A short course beside an opening asks for no clips where it is not.
                let short = of_course(c).any(|(_, p)| p.ends.0 == End::Free || p.ends.1 == End::Free);
                let y = under.map_or(course.y, |(_, p)| p.y);
                if on_a_stretch(y) && (under.is_some() || !short) {
                    places.push((y, under.and_then(|(i, _)| u32::try_from(i).ok())));
                }
            }
            places.sort_by(|a, b| a.0.total_cmp(&b.0));
        }
        ClipPlaces::Pitch { first, pitch } => {
            let top = seam.stretches.last().map_or(0.0, |s| s.1);
            let count = ((top - first.metres()) / pitch.metres() + 1e-9).floor();
            let mut k = 0.0;
            while k <= count {
                let y = first.metres() + k * pitch.metres();
                if on_a_stretch(y) {
                    places.push((y, under(&lattice.pieces, seam.x, y, half)));
                }
                k += 1.0;
            }
        }
    }
    let n = panels.screws.value;
    for (k, (y, piece)) in (1..).zip(places) {
        let screws = (0..n)
            .map(|i| {
                let t = if n > 1 { i as f64 / (n - 1) as f64 - 0.5 } else { 0.0 };
                (seam.x, y + t * panels.screw_spread.metres())
            })
            .collect();
        lattice.clips.push(Clip { seam: number, number: k, x: seam.x, y, piece, screws });
    }
}

/// The board under a place, the one whose middle is nearest.
fn under(pieces: &[Piece], x: f64, y: f64, half: f64) -> Option<u32> {
    let over = |p: &Piece| p.x.0 <= x && x <= p.x.1 && (y - p.y).abs() <= half;
    let nearest = pieces.iter().enumerate().filter(|(_, p)| over(p));
    let nearest = nearest.min_by(|a, b| (a.1.y - y).abs().total_cmp(&(b.1.y - y).abs()));
    nearest.and_then(|(i, _)| u32::try_from(i).ok())
}

/// A clip as a mesh: its base, and each screw's head and shank. The origin is its middle on the batten's upper face, z out of
/// the slope.
pub fn clip_mesh(panels: &Panels) -> Mesh {
    let (across, up) = (panels.clip_width.metres() / 2.0, panels.clip_length.metres() / 2.0);
    let thick = panels.clip_thickness.metres();
    let body = Body::between(Point3::new(-across, -up, 0.0), Point3::new(across, up, thick));
    let mut mesh = body.mesh();
    for p in &mut mesh.positions {
        p.z += thick / 2.0;
    }
    let n = panels.screws.value;
    let r = panels.screw_diameter.metres() / 2.0;
    for i in 0..n {
        let t = if n > 1 { i as f64 / (n - 1) as f64 - 0.5 } else { 0.0 };
        let at = (0.0, t * panels.screw_spread.metres());
        // Cut off at the base's faces, so that screw and base touch and do not overlap.
        let tip = thick - panels.screw_length.metres();
        if tip < 0.0 {
            mesh.append(&super::solids::turned(&[(r, tip), (r, 0.0)], at, SIDES));
        }
        mesh.append(&super::solids::turned(&[(2.0 * r, thick), (2.0 * r, thick + r)], at, SIDES));
    }
    mesh
}

/// Sides of a screw's polygon.
const SIDES: usize = 6;
