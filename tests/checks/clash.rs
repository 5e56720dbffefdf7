//! `clash`. Overlaps of more than ten micrometres.

use airlath::check::Verdict::Fail;

use crate::small::*;

const NAME: &str = "clash";

/// A block at y = 1000 from `x` to the left side (1200) of the third rafter. The second one's right side is at 640.
fn block_from(mm: f64) -> String {
    let block = format!(
        "[[member]]\nkind = \"block\"\nslope = \"S\"\nsection = {{ width = \"40 mm\", depth = \"100 mm\" }}\nfrom = [\"{mm} \
         mm\", \"1000 mm\"]\nto = [\"1200 mm\", \"1000 mm\"]\n"
    );
    shed(&[], &block)
}

#[test]
fn a_block_that_touches_is_no_clash() {
    passes(&block_from(640.1), NAME);
    passes(&block_from(640.0), NAME);
    passes(&block_from(639.995), NAME);
    for overlap in [0.015, 0.1] {
        let seen = seen(&block_from(640.0 - overlap), NAME);
        assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1), "{overlap}");
        // The middle of what both fill: block and rafter start 13 below the membrane, the block is 100 deep.
        let at = [640.0 - overlap / 2.0, 1000.0, -63.0];
        says(&seen.findings[0], Fail, &["S-R02", "S-BK01"], Some(at), &[("overlap", overlap, Some(0.01))]);
    }
}

/// Heads are 6 across, twice the shank.
#[test]
fn heads_of_two_fasteners_by_a_tenth() {
    let spread = |mm: f64| shed(&[("spread = \"50 mm\"", &format!("spread = \"{mm} mm\""))], "");
    passes(&spread(6.0), NAME);
    passes(&spread(6.1), NAME);
    let seen = seen(&spread(5.9), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 25));
    let at = [20.0, 50.0, TOP];
    let evidence = [("between two axes", 5.9, Some(6.0))];
    says(&seen.findings[0], Fail, &["S-B01.L01", "S-B01.L01"], Some(at), &evidence);
}

/// The upper fastener stands 25 above the batten's middle, whose edge is 50 from it: up by 50 - 25 - 1.5 = 23.5 at most.
#[test]
fn a_fastener_out_of_its_batten_by_a_tenth() {
    passes(&shed(&[], &moved("S-B02.L03", 0.0, 23.4)), NAME);
    let seen = seen(&shed(&[], &moved("S-B02.L03", 0.0, 23.6)), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Fail, 1));
    let at = [1220.0, 473.6, TOP];
    says(&seen.findings[0], Fail, &["S-B02.L03", "S-B02.1"], Some(at), &[("outside the batten", 0.1, Some(0.01))]);
}

#[test]
fn silent_where_nothing_is_in_one_place_but_much_is_missing() {
    silent(&shed(&[], MISSING), NAME, "landing-not-backed");
    silent(&shed(&[], &moved("S-B02.L03", 40.0, 0.0)), NAME, "off-tape");
}
