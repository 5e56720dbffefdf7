//! Forms as triangles, and what was already worked out for a mesh.
//!
//! Aim: a box and a mesh go the same way into a file. Reason: most parts are boxes, and a box stored as a mesh a
//! million times over is memory for nothing. Limits: a mesh is known by its address, so only while its `Arc` lives.

use std::collections::HashMap;
use std::sync::{Arc, Weak};

use crate::solid::{Mesh, Point3, Vector3};

/// The triangles of a box with the corners of [`box_corners`], counter-clockwise from outside, two a face.
pub(super) const BOX_TRIANGLES: [[u32; 3]; 12] = [
    [0, 4, 6],
    [0, 6, 2],
    [1, 3, 7],
    [1, 7, 5],
    [0, 1, 5],
    [0, 5, 4],
    [2, 6, 7],
    [2, 7, 3],
    [0, 2, 3],
    [0, 3, 1],
    [4, 5, 7],
    [4, 7, 6],
];

/// The corners of a box centred on the origin: bits 0, 1 and 2 of the index say the side in x, y and z. Metres.
pub(super) fn box_corners(size: &Vector3) -> [Point3; 8] {
    let half = size / 2.0;
    std::array::from_fn(|i| {
        let side = |bit: usize, h: f64| if i >> bit & 1 == 1 { h } else { -h };
        Point3::new(side(0, half.x), side(1, half.y), side(2, half.z))
    })
}

/// A box as a mesh.
pub(super) fn box_mesh(size: &Vector3) -> Mesh {
    Mesh { positions: box_corners(size).to_vec(), triangles: BOX_TRIANGLES.to_vec() }
}

/// How many meshes are remembered at most; past it the memory starts afresh. Only speed depends on it.
const REMEMBERED: usize = 1 << 16;

/// Something worked out once for every mesh, found again by the mesh's address. The weak reference keeps the address
/// from being given to another mesh, without keeping the mesh's lists.
pub(super) struct ByMesh<T> {
    known: HashMap<*const Mesh, (Weak<Mesh>, T)>,
}

impl<T: Copy> ByMesh<T> {
    /// Nothing known yet.
    pub(super) fn new() -> Self {
        ByMesh { known: HashMap::new() }
    }

    /// What is known of a mesh, worked out on first sight.
    ///
    /// # Errors
    /// Those of `work_out`.
    pub(super) fn get<E>(&mut self, mesh: &Arc<Mesh>, work_out: impl FnOnce() -> Result<T, E>) -> Result<T, E> {
        if let Some((_, value)) = self.known.get(&Arc::as_ptr(mesh)) {
            return Ok(*value);
        }
        let value = work_out()?;
        if self.known.len() >= REMEMBERED {
            self.known.clear();
        }
        self.known.insert(Arc::as_ptr(mesh), (Arc::downgrade(mesh), value));
        Ok(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_is_closed_and_faces_out() {
        let mesh = box_mesh(&Vector3::new(2.0, 3.0, 5.0));
        assert!(mesh.is_closed());
        assert!((mesh.volume() - 30.0).abs() < 1e-12);
        assert!((mesh.area() - 62.0).abs() < 1e-12);
        assert_eq!(mesh.bounds().unwrap().1, Point3::new(1.0, 1.5, 2.5));
    }

    #[test]
    fn a_mesh_is_worked_out_once_while_it_lives() {
        let mut by_mesh = ByMesh::new();
        let mut calls = 0;
        let one = Arc::new(Mesh::default());
        for _ in 0..3 {
            let value: Result<i32, ()> = by_mesh.get(&one, || {
                calls += 1;
                Ok(7)
            });
            assert_eq!(value, Ok(7));
        }
        assert_eq!(calls, 1);
        let refused: Result<i32, &str> = by_mesh.get(&Arc::new(Mesh::default()), || Err("no"));
        assert_eq!(refused, Err("no"));
        for i in 0..100 {
            // Every mesh is dropped at once; none may be taken for the one before it.
            let value: Result<i32, ()> = by_mesh.get(&Arc::new(Mesh::default()), || Ok(i));
            assert_eq!(value, Ok(i));
        }
    }
}
