//! `strap-nail-astray`. Straps over members 40 wide, nails 3 thick at 385, 425 and so on to 505.

use airlath::check::Verdict::{Fail, Warn};

use crate::checks::small::*;

const NAME: &str = "strap-nail-astray";

/// The small roof with tails that end at a height and rafters that begin there, and tables added.
fn roof(meet: f64, more: &str) -> String {
    let tails = format!(
        "[[tails]]\nsection = {{ width = \"40 mm\", depth = \"200 mm\" }}\nspacing = \"600 mm\"\nfirst = \"20 mm\"\nlast = \
         \"2420 mm\"\nclose = true\nhigh = \"{meet} mm\"\n"
    );
    let last = "last = \"2420 mm\"\nclose = true";
    shed(&[(last, &format!("{last}\nlow = \"{meet} mm\""))], &(tails + more))
}

/// One strap along each rafter, its nails on its middle, shifted to the right; the seam at 450 has two nails on each side.
fn straps(shift: f64, high: f64) -> String {
    format!(
        "[[straps]]\nalong = \"rafter\"\nshift = \"{shift} mm\"\nwidth = \"60 mm\"\nthickness = \"1 mm\"\nlow = \"375 mm\"\nhigh = \
         \"525 mm\"\nseam = \"450 mm\"\ngap = \"10 mm\"\nnails = {{ diameter = \"3 mm\", length = \"40 mm\", spacing = \"40 mm\", end = \
         \"10 mm\" }}\n[[member]]\nkind = \"block\"\nslope = \"S\"\nsection = {{ width = \"60 mm\", depth = \"100 mm\" }}\nfrom = \
         [\"640 mm\", \"{high} mm\"]\nto = [\"1200 mm\", \"{high} mm\"]\n"
    )
}

/// The shank may come as near to the rafter's side (20 from its middle) as its radius of 1.5.
#[test]
fn a_tenth_out_of_the_rafters_side() {
    passes(&roof(450.0, &straps(18.4, 1000.0)), NAME);
    let seen = seen(&roof(450.0, &straps(18.6, 1000.0)), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    let parts = ["S-ST01", "S-ST02", "S-ST03", "S-ST04", "S-ST05"];
    let at = [20.0 + 18.6, 385.0, 2.0];
    says(&seen.findings[0], Fail, &parts, Some(at), &[("nails in no member", 20.0, Some(0.0))]);
}

/// Straps in the bays hold nothing, but for two nails of the second one in a block that spans 395 to 455 of its bay.
#[test]
fn what_holds_on_one_side_of_the_seam_alone_fails() {
    let seen = seen(&roof(450.0, &straps(100.0, 425.0)), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    assert_eq!(seen.findings[0].evidence[0].found.value(), 19.0);
    assert!(seen.findings[0].message.contains("one side of its seam"), "{}", seen.findings[0].message);
}

/// Over a deep enough rafter a nail that is too short to reach a diameter into it holds nothing: 2 of steel and tape and 13
/// of membrane and deck leave 3 of 18.
#[test]
fn a_nail_must_be_a_diameter_deep() {
    let long = |mm: f64| straps(0.0, 1000.0).replace("length = \"40 mm\"", &format!("length = \"{mm} mm\""));
    passes(&roof(450.0, &long(18.1)), NAME);
    assert_eq!(seen(&roof(450.0, &long(17.9)), NAME).verdict, Fail);
    assert_ne!(seen(&roof(450.0, &long(17.9)), NAME).verdict, Warn);
}

/// Nails at 385, 425, 465 and 505: where tail and rafter meet at 500 the last one alone is in the rafter, past 507 none is. A
/// strap along a rafter that runs through ties nothing either.
#[test]
fn a_strap_in_one_member_ties_nothing() {
    passes(&roof(500.0, &straps(0.0, 1000.0)), NAME);
    for text in [roof(507.0, &straps(0.0, 1000.0)), shed(&[], &straps(0.0, 1000.0))] {
        let seen = seen(&text, NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
        let parts = ["S-ST01", "S-ST02", "S-ST03", "S-ST04", "S-ST05"];
        let evidence = [("straps in one member alone", 5.0, Some(0.0))];
        says(&seen.findings[0], Fail, &parts, Some([20.0, 385.0, 2.0]), &evidence);
        assert!(seen.findings[0].message.contains("5 of 5 straps"), "{}", seen.findings[0].message);
    }
    // Tails beside the rafters (let in by 2, so that the last is under the roof) take every second nail: each strap is in
    // two members, whatever they are called.
    let both = straps(20.0, 1000.0).replace("end = \"10 mm\"", "end = \"10 mm\", stagger = \"10 mm\"");
    let beside = "[[tails]]\nsection = { width = \"40 mm\", depth = \"100 mm\" }\nspacing = \"600 mm\"\nfirst = \"58 mm\"\nlast = \
                  \"2460 mm\"\nhigh = \"600 mm\"\n";
    passes(&shed(&[], &(both.clone() + beside)), NAME);
    assert_eq!(seen(&shed(&[], &both), NAME).findings.len(), 2);
}

#[test]
fn silent_where_fasteners_meet_straps() {
    silent(&roof(450.0, &straps(0.0, 1000.0)), NAME, "through-strap");
}
