//! `strip-off-tape`. Tape 60 wide on the second line (620), laid by the drawing; strips follow what was found.

use airlath::check::Verdict::{Fail, Warn};

use crate::checks::small::*;

const NAME: &str = "strip-off-tape";

/// The second rafter stands off the drawing; of the layers only those named are on the roof.
fn second_rafter_off(mm: f64, laid: &str) -> String {
    let found = format!("[[found.member]]\nname = \"S-R02\"\noffsets = [{{ at = \"0 mm\", off = \"{mm} mm\" }}]\n");
    shed(&[], &format!("{found}[[laid]]\nwhat = [{laid}]\nlines = [\"S-L02\"]\n"))
}

/// The tape's side is 30 from its middle, the strip's 20 from its own, asked 1 inside it: from 11 off on the strip's right
/// side lies beside the tape, from 30 on its middle too.
#[test]
fn a_strip_beside_its_tape() {
    passes(&second_rafter_off(10.9, "\"tape\""), NAME);
    for (off, verdict, at) in [(11.1, Warn, 650.1), (29.9, Warn, 668.9), (30.1, Fail, 650.1)] {
        let seen = seen(&second_rafter_off(off, "\"tape\""), NAME);
        // The line is cut from stock of 2000, so one strip, asked first 1 above its lower end at 40.
        assert_eq!((seen.verdict, seen.findings.len()), (verdict, 1));
        let evidence = [("tapes and straps right under it", 0.0, Some(1.0))];
        says(&seen.findings[0], verdict, &["S-L02.s01"], Some([at, 41.0, 11.0]), &evidence);
    }
}

#[test]
fn silent_where_both_follow_or_both_were_laid() {
    silent(&second_rafter_off(40.0, "\"fasteners\""), NAME, "landing-not-backed");
    silent(&second_rafter_off(40.0, "\"tape\", \"strips\", \"fasteners\""), NAME, "landing-not-backed");
}
