//! Colours: one material a layer, one a verdict, one a bin, and the ways of looking at the model.
//!
//! Aim: tell layers and verdicts apart, also with colour-blind eyes. Reason: one man in twelve does not see the usual
//! red and green (from memory). The hues are those of M. Okabe and K. Ito, "Color Universal
//! Design" (2008); the greys and the tan of the framing are ours, set by the test below. Bins run from light to dark
//! near the "viridis" colour map of S. van der Walt and N. Smith (2015). Limits: everything is opaque, because plain
//! viewers draw translucent things in the wrong order; a viewer without `KHR_materials_variants` shows the layers with
//! flagged parts picked out.

use gltf_json::extensions::mesh::Primitive as PrimitiveExtensions;
use gltf_json::material::{Material, PbrBaseColorFactor, PbrMetallicRoughness, StrengthFactor};
use serde_json::{Map, Value, json};

use crate::check::Verdict;
use crate::scene::{Layer, Look, MOST_BINS};

/// The extension that carries the ways of looking.
pub(super) const VARIANTS: &str = "KHR_materials_variants";

/// Name and sRGB colour of every material: the layers in the order of [`Layer::ALL`], the verdicts, the bins.
const PALETTE: [(&str, [u8; 3]); 17 + MOST_BINS] = [
    ("framing", [0xD9, 0xB3, 0x82]),
    ("deck", [0xC0, 0xC0, 0xC0]),
    ("membrane", [0x50, 0x50, 0x50]),
    ("straps", [0x28, 0x28, 0x28]),
    ("tape", [0x00, 0x00, 0x00]),
    ("strips", [0x00, 0x72, 0xB2]),
    ("vent pieces", [0xCC, 0x79, 0xA7]),
    ("battens", [0x56, 0xB4, 0xE9]),
    ("fasteners", [0x00, 0x9E, 0x73]),
    ("still to come", [0xFF, 0xFF, 0xFF]),
    ("flags", [0xE6, 0x9F, 0x00]),
    ("flag warn", [0xF0, 0xE4, 0x42]),
    ("flag fail", [0xD5, 0x5E, 0x00]),
    ("pass", [0x00, 0x9E, 0x73]),
    ("not checked", [0x50, 0x50, 0x50]),
    ("unconfirmed", [0x96, 0x1E, 0xF0]),
    ("neutral", [0xEE, 0xEE, 0xEE]),
    ("bin 1", [0xFF, 0xE2, 0x1B]),
    ("bin 2", [0x93, 0xD3, 0x41]),
    ("bin 3", [0x29, 0xC7, 0x6A]),
    ("bin 4", [0x1A, 0x94, 0x7C]),
    ("bin 5", [0x37, 0x65, 0x86]),
    ("bin 6", [0x4F, 0x33, 0x89]),
    ("bin 7", [0x42, 0x06, 0x56]),
];

/// Material indices behind the layers', which stand first in the order of [`Layer::ALL`].
const WARN: u32 = 11;
const FAIL: u32 = 12;
const PASS: u32 = 13;
const NOT_CHECKED: u32 = 14;
const UNCONFIRMED: u32 = 15;
const NEUTRAL: u32 = 16;
const FIRST_BIN: u32 = 17;

/// The materials in the order of their indices; those of bins only where there is a look that uses them.
pub(super) fn materials(looks: &[Look]) -> Vec<Material> {
    let material = |(name, srgb): &(&str, [u8; 3])| Material {
        name: Some((*name).to_owned()),
        pbr_metallic_roughness: PbrMetallicRoughness {
            base_color_factor: PbrBaseColorFactor(factor(*srgb)),
            metallic_factor: StrengthFactor(0.0),
            roughness_factor: StrengthFactor(0.9),
            ..PbrMetallicRoughness::default()
        },
        ..Material::default()
    };
    let bins = looks.iter().map(|l| l.bins.len().min(MOST_BINS)).max().unwrap_or(0);
    PALETTE.iter().take(FIRST_BIN as usize + bins).map(material).collect()
}

/// An opaque sRGB colour as glTF wants it: linear, to four decimals.
fn factor(srgb: [u8; 3]) -> [f32; 4] {
    let [r, g, b] = srgb.map(|byte| (linear(byte) * 1e4).round() / 1e4).map(|v| v as f32);
    [r, g, b, 1.0]
}

/// One sRGB byte made linear (IEC 61966-2-1, from memory): `((c + 0.055) / 1.055)^2.4`, for the smallest `c / 12.92`.
fn linear(byte: u8) -> f64 {
    let c = f64::from(byte) / 255.0;
    if c <= 0.04045 {
        return c / 12.92;
    }
    let x = (c + 0.055) / 1.055;
    // x^2.4 as the twelfth power of the fifth root, found by Newton's steps: unlike `powf`, the same on every machine.
    let root = (0..40).fold(1.0, |y: f64, _| y - (y - x / (y * y * y * y)) / 5.0);
    root.powi(12)
}

/// The declaration of the ways of looking, for the root of the document.
pub(super) fn variants(looks: &[Look]) -> Map<String, Value> {
    let names = ["by layer", "by verdict"].into_iter().chain(looks.iter().map(|l| l.name.as_str()));
    let names: Vec<Value> = names.map(|name| json!({ "name": name })).collect();
    Map::from_iter([(VARIANTS.to_owned(), json!({ "variants": names }))])
}

/// The legend of a look, in one line.
pub(super) fn legend(look: &Look) -> String {
    let bins =
        PALETTE.iter().skip(FIRST_BIN as usize).zip(&look.bins).map(|((name, _), text)| format!("{name}: {text}"));
    bins.collect::<Vec<_>>().join("; ")
}

/// What a part is made of in a look.
fn by_look(bin: Option<u8>) -> u32 {
    bin.map(u32::from).filter(|b| *b < MOST_BINS as u32).map_or(NEUTRAL, |b| FIRST_BIN + b)
}

/// Material of a part by its layer.
fn by_layer(layer: Layer) -> u32 {
    // An index below 11: the position in `Layer::ALL`, which is the order of the enum.
    layer as u32
}

/// Material of a part by its verdict. What lies under the lattice stays pale as long as nothing is wrong with it.
fn by_verdict(layer: Layer, verdict: Verdict) -> u32 {
    match (verdict, layer) {
        (Verdict::Fail, _) => FAIL,
        (Verdict::Warn, _) => WARN,
        (Verdict::NotChecked, _) => NOT_CHECKED,
        (Verdict::Unconfirmed, _) => UNCONFIRMED,
        (Verdict::Pass, Layer::Framing | Layer::Deck | Layer::Membrane) => NEUTRAL,
        (Verdict::Pass, _) => PASS,
    }
}

/// Material that a plain viewer shows: the layer's for what passes, and a colour of its own for all else, so that nothing looks
/// as if it passed. What is only there to be looked at (arrows, plates of air) is not checked and keeps its layer's.
pub(super) fn plain(layer: Layer, verdict: Verdict) -> u32 {
    match (verdict, layer) {
        (Verdict::Pass, _) | (Verdict::NotChecked, Layer::Flags) => by_layer(layer),
        (Verdict::Unconfirmed | Verdict::NotChecked | Verdict::Warn | Verdict::Fail, _) => by_verdict(layer, verdict),
    }
}

/// The ways of looking at one primitive; `bins` holds its bin in every further look.
pub(super) fn mappings(layer: Layer, verdict: Verdict, bins: &[Option<u8>]) -> PrimitiveExtensions {
    let materials = [by_layer(layer), by_verdict(layer, verdict)].into_iter().chain(bins.iter().map(|b| by_look(*b)));
    let list: Vec<Value> =
        materials.enumerate().map(|(at, material)| json!({ "material": material, "variants": [at] })).collect();
    PrimitiveExtensions { others: Map::from_iter([(VARIANTS.to_owned(), json!({ "mappings": list }))]) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn linear_is_the_published_curve() {
        for byte in 0..=255u8 {
            let c = f64::from(byte) / 255.0;
            let expected = if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) };
            assert!((linear(byte) - expected).abs() < 1e-12, "{byte}");
        }
    }

    #[test]
    fn every_layer_has_the_material_of_its_name() {
        for layer in Layer::ALL {
            assert_eq!(PALETTE[by_layer(layer) as usize].0, layer.name());
        }
        let name = |index: u32| PALETTE[index as usize].0;
        assert_eq!(
            [WARN, FAIL, PASS, NOT_CHECKED, UNCONFIRMED, NEUTRAL].map(name),
            ["flag warn", "flag fail", "pass", "not checked", "unconfirmed", "neutral"]
        );
    }

    /// What the three kinds of dichromats see, on linear colours: G. Machado, M. Oliveira, L. Fernandes, "A
    /// Physiologically-based Model for Simulation of Color Vision Deficiency" (2009), severity 1, from memory.
    const EYES: [[[f64; 3]; 3]; 4] = [
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
    ];

    /// CIELAB of a linear sRGB colour (CIE 1976, white D65, from memory).
    fn lab(c: [f64; 3]) -> [f64; 3] {
        let f = |row: [f64; 3], white: f64| {
            let t = (0..3).map(|k| row[k] * c[k].clamp(0.0, 1.0)).sum::<f64>() / white;
            if t > 0.008856 { t.cbrt() } else { 7.787 * t + 16.0 / 116.0 }
        };
        let x = f([0.4124, 0.3576, 0.1805], 0.9505);
        let y = f([0.2126, 0.7152, 0.0722], 1.0);
        let z = f([0.0193, 0.1192, 0.9505], 1.089);
        [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
    }

    #[test]
    fn colours_that_show_together_differ_for_all_eyes() {
        let plain: Vec<usize> = (0..13).chain([UNCONFIRMED as usize]).collect();
        let verdicts = [WARN, FAIL, PASS, NOT_CHECKED, UNCONFIRMED, NEUTRAL].map(|i| i as usize).to_vec();
        let mut bins: Vec<usize> = (FIRST_BIN as usize..PALETTE.len()).collect();
        bins.push(NEUTRAL as usize);
        for together in [plain, verdicts, bins] {
            for eye in EYES {
                let seen = |i: usize| {
                    let c = PALETTE[i].1.map(linear);
                    lab(eye.map(|row| (0..3).map(|k| row[k] * c[k]).sum()))
                };
                for (n, a) in together.iter().enumerate() {
                    for b in &together[..n] {
                        let (p, q) = (seen(*a), seen(*b));
                        let apart = (0..3).map(|k| (p[k] - q[k]).powi(2)).sum::<f64>().sqrt();
                        // About 2.3 is just noticeable side by side (from memory).
                        assert!(apart > 15.0, "{} and {}: {apart:.1}", PALETTE[*a].0, PALETTE[*b].0);
                    }
                }
            }
        }
    }
}
