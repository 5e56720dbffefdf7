//! `gap-under-batten`. Limit 1.5.

use airlath::check::Verdict::Warn;

use crate::checks::small::*;

const NAME: &str = "gap-under-batten";

/// The last member is a fly rafter with a strap; the strip over it is raised by the strap's thickness, and with it the whole
/// board. The strap's steel (from 2 to 32 right of the middle) clears the fasteners, and so
/// do its nails at 385 and 505.
fn raised_by(mm: f64, strip: &str) -> String {
    let more = format!(
        "[[member]]\nkind = \"fly rafter\"\nslope = \"S\"\nsection = {{ width = \"40 mm\", depth = \"200 mm\" }}\nfrom = \
         [\"2420 mm\", \"0 mm\"]\nto = [\"2420 mm\", \"1600 mm\"]\n[[straps]]\nalong = \"fly rafter\"\nshift = \"17 \
         mm\"\nwidth = \"30 mm\"\nthickness = \"{mm} mm\"\nlow = \"375 mm\"\nhigh = \"525 mm\"\nseam = \"450 mm\"\ngap = \
         \"100 mm\"\nstrip = \"{strip}\"\nnails = {{ diameter = \"3 mm\", length = \"30 mm\", spacing = \"40 mm\", end = \
         \"10 mm\" }}\n"
    );
    shed(&[("last = \"2420 mm\"\nclose = true", "last = \"1820 mm\"\nclose = true")], &more)
}

#[test]
fn a_board_raised_by_a_tenth_too_much() {
    passes(&raised_by(1.4, "raised"), NAME);
    passes(&raised_by(1.5, "raised"), NAME);
    let seen = seen(&raised_by(1.6, "raised"), NAME);
    // The four landings beside the raised one hang by the strap's thickness; the board is that much higher.
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 4));
    for (i, f) in seen.findings.iter().enumerate() {
        let at = [RAFTERS[i], 450.0, TOP + 1.6];
        says(f, Warn, &[&landing(2, i + 1), "S-B02.1"], Some(at), &[("gap", 1.6, Some(1.5))]);
    }
    let mends: Vec<String> = seen.findings[0].mends.iter().map(|m| m.change.text()).collect();
    assert_eq!(mends, ["straps[1].strip = \"notched\""]);
    passes(&raised_by(1.6, "notched"), NAME);
}

/// The eave's vent piece ends at 40, 10 below the landing at 50 and so out of the patch of 6.35 that is asked; with a gap of
/// 16.35 the strip starts at the patch's upper end.
#[test]
fn between_vent_piece_and_strip_a_batten_lies_on_nothing() {
    let gap = |mm: f64| shed(&[("gap = \"0 mm\"", &format!("gap = \"{mm} mm\""))], "");
    passes(&gap(16.3), NAME);
    let seen = seen(&gap(16.4), NAME);
    assert_eq!((seen.verdict, seen.findings.len()), (Warn, 5));
    for (i, f) in seen.findings.iter().enumerate() {
        says(
            f,
            Warn,
            &[&landing(1, i + 1), "S-B01.1"],
            Some([RAFTERS[i], 50.0, TOP]),
            &[("strips and vent pieces below", 0.0, Some(1.0))],
        );
    }
}

#[test]
fn silent_where_a_fastener_meets_a_notched_strap() {
    let text = raised_by(1.6, "notched").replace("shift = \"17 mm\"", "shift = \"0 mm\"");
    silent(&text, NAME, "through-strap");
}

/// Vent pieces of 610 meet at 610, 10 left of the second rafter's middle; moved there, the landing stands over their seam.
#[test]
fn silent_over_a_seam_between_vent_pieces() {
    let text = shed(&[("stock = \"2440 mm\", flutes", "stock = \"610 mm\", flutes")], &moved("S-B01.L02", -10.0, 0.0));
    passes(&text, NAME);
}

/// Rafters 90 wide, strips 40 wide, two fasteners 64 apart side by side: each stands 32 - 20 = 12 beside the strip, and out of
/// the patch of 6.35; 50 apart they stand 5 beside it, within the patch.
#[test]
fn a_fastener_beside_its_strip_is_asked_for_itself() {
    let across = |spread: f64| {
        let changes = [
            ("section = { width = \"40 mm\"", "section = { width = \"90 mm\""),
            ("tape = { width = \"60 mm\"", "tape = { width = \"90 mm\""),
            ("spread = \"50 mm\"", &format!("pattern = \"across\"\nspread = \"{spread} mm\"")),
            ("first = \"20 mm\"", "first = \"45 mm\""),
            ("last = \"2420 mm\"", "last = \"2395 mm\""),
        ];
        shed(&changes, "")
    };
    passes(&across(50.0), NAME);
    let seen = seen(&across(64.0), NAME);
    // On the lowest course vent pieces lie under both; on the four others of five rafters nothing does.
    assert_eq!(seen.verdict, Warn);
    assert!(seen.findings.iter().any(|f| f.parts[0] == "S-B02.L03" && f.message.contains("fastener 1 of")));
}
