//! `through-strap`. Straps 30 wide over the second course, where fasteners stand at 425 and 475.

use airlath::check::Verdict::Fail;

use crate::checks::small::*;

const NAME: &str = "through-strap";
const DEPTH: &str = "depth of the overlap";

/// One strap along each rafter, its middle shifted to the right. With nails near the fasteners: the first at 385, the second
/// at 425, and so on. Else they stand at 385 and 545 alone, 10 to the left of the strap's middle.
fn straps(shift: f64, near: bool) -> String {
    let (high, seam, gap) = if near { (525.0, 450.0, 10.0) } else { (555.0, 465.0, 100.0) };
    let (spacing, stagger) = if near { (40.0, 0.0) } else { (80.0, 10.0) };
    format!(
        "[[straps]]\nalong = \"rafter\"\nshift = \"{shift} mm\"\nwidth = \"30 mm\"\nthickness = \"1 mm\"\nlow = \"375 \
         mm\"\nhigh = \"{high} mm\"\nseam = \"{seam} mm\"\ngap = \"{gap} mm\"\nnails = {{ diameter = \"3 mm\", length = \"30 \
         mm\", spacing = \"{spacing} mm\", end = \"10 mm\", stagger = \"{stagger} mm\" }}\n"
    )
}

/// The steel's left side is at shift - 15. From 16.5 on it is a radius away from the axis.
#[test]
fn the_steel_by_a_tenth() {
    passes(&shed(&[], &straps(16.6, false)), NAME);
    passes(&shed(&[], &straps(16.5, false)), NAME);
    // Shifted by 16.4 they overlap by 1.5 - 1.4 = 0.1. In its middle the axis is 15 inside: 16.5.
    for (shift, depth) in [(16.4, 0.1), (0.0, 16.5)] {
        let seen = seen(&shed(&[], &straps(shift, false)), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 5));
        for (i, f) in seen.findings.iter().enumerate() {
            let (landing, strap) = (landing(2, i + 1), format!("S-ST{:02}", i + 1));
            says(f, Fail, &[&landing, &strap], Some([RAFTERS[i], 450.0, TOP]), &[(DEPTH, depth, Some(0.0))]);
            assert!(f.message.contains("fastener 1") && f.message.contains("the steel of"), "{}", f.message);
        }
    }
}

/// The second nail stands at y = 425, as the lower fastener does; their radii together are 3.
#[test]
fn a_nail_by_a_tenth() {
    let nail = seen(&shed(&[], &straps(2.9, true)), NAME);
    says(&nail.findings[0], Fail, &["S-B02.L01", "S-ST01"], Some([20.0, 450.0, TOP]), &[(DEPTH, 0.1, Some(0.0))]);
    assert!(nail.findings[0].message.contains("nail 2 of strap S-ST01"), "{}", nail.findings[0].message);
    // A tenth further off it meets the steel alone: 1.5 + 15 - 3.1.
    let steel = seen(&shed(&[], &straps(3.1, true)), NAME);
    says(&steel.findings[0], Fail, &["S-B02.L01", "S-ST01"], Some([20.0, 450.0, TOP]), &[(DEPTH, 13.4, Some(0.0))]);
    assert!(steel.findings[0].message.contains("the steel of"), "{}", steel.findings[0].message);
}

#[test]
fn silent_where_a_fastener_misses_its_tape_beside_a_strap() {
    let text = shed(&[], &(straps(16.6, false) + &moved("S-B02.L03", -40.0, 0.0)));
    silent(&text, NAME, "off-tape");
}

/// Shifted by 20 the steel is clear of every fastener. Nails 10 to the left of the straps' middles are in the rafters still;
/// those on the middles would stand in none, and nothing is proposed that a re-run would praise for it.
#[test]
fn no_shift_is_proposed_after_which_nails_hold_nothing() {
    let mends = |near: bool| -> Vec<String> {
        let seen = seen(&shed(&[], &straps(0.0, near)), NAME);
        seen.findings[0].mends.iter().map(|m| m.change.text()).collect()
    };
    assert_eq!(mends(false), ["straps[1].shift = \"20 mm\""]);
    assert!(mends(true).is_empty());
}
