//! Corrugation as a level of detail: a strip or vent piece with its flutes as real holes.
//!
//! Aim: a close look at which way air and water run. Reason: a plain box says nothing of it. Limits: for looking only;
//! every query asks the plain box. Flutes are square, as many as fit, with walls of one sixth of the height.

use crate::design::Flutes;
use crate::solid::{Mesh, Point3, Vector3};

/// Most flutes of one part: a part with more is shown as a plain box.
const MOST: usize = 400;

/// A box of the given full sizes (x across the slope, y up it, z out of it), centred on the origin, with flutes.
/// `None` where it has no room for any, or for too many.
pub fn fluted(size: &Vector3, flutes: Flutes) -> Option<Mesh> {
    // The section that the flutes pass through: its width, and the length that they run.
    let (across, along) = match flutes {
        Flutes::Up => (size.x, size.y),
        Flutes::Across => (size.y, size.x),
    };
    let height = size.z;
    let wall = height / 6.0;
    let pitch = height - wall;
    let count = ((across - wall) / pitch).floor();
    if count < 1.0 || count > MOST as f64 {
        return None;
    }
    let pitch = (across - wall) / count;
    // Lines across the section: its sides, and both sides of every flute. The section is a grid on these lines with the
    // flutes' cells left out; a free triangulation of so many holes in a row would leave gaps in its seams.
    let mut xs = vec![-across / 2.0];
    for k in 0..count as usize {
        let x = -across / 2.0 + wall + k as f64 * pitch;
        xs.extend([x, x + pitch - wall]);
    }
    xs.push(across / 2.0);
    let zs = [-height / 2.0, wall - height / 2.0, height / 2.0 - wall, height / 2.0];
    let ends = [-along / 2.0, along / 2.0];
    let place = |x: f64, y: f64, z: f64| match flutes {
        Flutes::Up => Point3::new(x, y, z),
        Flutes::Across => Point3::new(-y, x, z),
    };
    let mut mesh = Mesh::default();
    for y in ends {
        for z in zs {
            mesh.positions.extend(xs.iter().map(|x| place(*x, y, z)));
        }
    }
    let n = xs.len();
    let at = |end: usize, row: usize, column: usize| ((end * 4 + row) * n + column) as u32;
    let filled = |row: i64, column: i64| {
        let inside = (0..3).contains(&row) && (0..n as i64 - 1).contains(&column);
        inside && (row != 1 || column % 2 == 0)
    };
    let mut quad = |a: u32, b: u32, c: u32, d: u32| mesh.triangles.extend([[a, b, c], [a, c, d]]);
    for row in 0..3 {
        for column in 0..n - 1 {
            let (r, c) = (row as i64, column as i64);
            if !filled(r, c) {
                continue;
            }
            let corner = |end: usize, up: usize, right: usize| at(end, row + up, column + right);
            quad(corner(0, 0, 0), corner(0, 0, 1), corner(0, 1, 1), corner(0, 1, 0));
            quad(corner(1, 0, 0), corner(1, 1, 0), corner(1, 1, 1), corner(1, 0, 1));
            // A wall stands wherever the neighbouring cell is empty.
            if !filled(r - 1, c) {
                quad(corner(0, 0, 0), corner(1, 0, 0), corner(1, 0, 1), corner(0, 0, 1));
            }
            if !filled(r + 1, c) {
                quad(corner(0, 1, 0), corner(0, 1, 1), corner(1, 1, 1), corner(1, 1, 0));
            }
            if !filled(r, c - 1) {
                quad(corner(0, 0, 0), corner(0, 1, 0), corner(1, 1, 0), corner(1, 0, 0));
            }
            if !filled(r, c + 1) {
                quad(corner(0, 0, 1), corner(1, 0, 1), corner(1, 1, 1), corner(0, 1, 1));
            }
        }
    }
    Some(mesh)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fluted_boxes_are_closed_face_outward_and_have_the_volume_of_their_walls() {
        let size = Vector3::new(0.042, 1.2, 0.012);
        for flutes in [Flutes::Up, Flutes::Across] {
            let mesh = fluted(&size, flutes).expect("room for flutes");
            assert!(mesh.is_closed());
            let across = if flutes == Flutes::Up { size.x } else { size.y };
            let along = if flutes == Flutes::Up { size.y } else { size.x };
            let wall = 0.002;
            let count = ((across - wall) / 0.010).floor();
            let hole = (across - wall) / count - wall;
            let expected = along * (across * 0.012 - count * hole * 0.008);
            assert!((mesh.volume() - expected).abs() < 1e-12, "{} {expected}", mesh.volume());
            let (low, high) = mesh.bounds().expect("bounds");
            assert!((high - low - size).norm() < 1e-12);
        }
        assert_eq!(fluted(&Vector3::new(0.005, 1.0, 0.012), Flutes::Up), None);
    }
}
