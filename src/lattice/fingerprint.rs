//! The plan fingerprint.

use super::Lattice;
use crate::design::Design;
use crate::structure::Structure;

/// Plan fingerprint: eight hexadecimal digits of a hash over names and slope coordinates. `structure` is as found, the
/// lattice as planned: what was driven makes no other plan.
pub fn fingerprint(design: &Design, structure: &Structure, lattice: &Lattice) -> String {
    let mut hash = blake3::Hasher::new();
    let mut bytes: Vec<u8> = Vec::new();
    let mut put = |name: &str, values: &[f64]| {
        bytes.extend_from_slice(name.as_bytes());
        for v in values {
            // Rounded to a tenth of a micrometre, so that a last digit is no other plan. The shift keeps millimetres and
            // sixty-fourths of an inch, on which plans stand, away from where rounding turns.
            bytes.extend_from_slice(&((v * 1e7 + 0.23).round() as i64).to_le_bytes());
        }
        bytes.push(0);
        // In gulps: hashing a few bytes at a time is slow, keeping them all is large.
        if bytes.len() > 1 << 14 {
            hash.update(&bytes);
            bytes.clear();
        }
    };
    let f = &design.fastening;
    put(f.kind.value.word(), &[f.diameter.metres(), f.length.metres(), f.head.metres()]);
    for m in structure.members.iter().filter(|m| !m.missing) {
        let (low, high) = m.bounds();
        put(&m.name, &[low.x, low.y, low.z, high.x, high.y, high.z]);
    }
    for s in &structure.straps {
        put(&s.name, &[s.sides.0, s.sides.1, s.stretch.0, s.stretch.1, s.top, s.nails.len() as f64]);
    }
    for (frame, on) in structure.slopes.iter().zip(&lattice.slopes) {
        put(&frame.name, &[]);
        for l in &on.lines {
            put(&l.name, &l.stretches.iter().flat_map(|s| [s.0, s.1]).collect::<Vec<_>>());
        }
        for t in &on.tapes {
            put(&t.name, &t.path.iter().flat_map(|p| [p.0, p.1, t.width]).collect::<Vec<_>>());
        }
        for s in &on.strips {
            put(&s.name, &s.path.iter().flat_map(|p| [p.0, p.1, s.width, s.bottom, s.top]).collect::<Vec<_>>());
        }
        for v in &on.vents {
            put(&v.name, &[v.x.0, v.x.1, v.y.0, v.y.1, v.height]);
        }
        for p in &on.pieces {
            put(&p.name, &[p.x.0, p.x.1, p.y, p.lift, lattice.levels.batten]);
        }
        for l in &on.landings {
            let values: Vec<f64> = on.fasteners_of(l).iter().flat_map(|f| [f.x, f.y]).collect();
            put(&on.landing_name(l, structure), &values);
        }
    }
    hash.update(&bytes);
    hash.finalize().to_hex().chars().take(8).collect()
}
