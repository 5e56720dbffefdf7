//! Fuzz targets. None of them may panic, whatever comes in.

use airlath::design::read_design;
use airlath::quantity::{Angle, Density, Length};
use airlath_fuzz::{mutated, pipeline};
use bolero::check;

#[test]
fn quantities() {
    check!().with_type::<String>().with_iterations(20_000).for_each(|text| {
        let _ = text.parse::<Length>();
        let _ = text.parse::<Angle>();
        let _ = text.parse::<Density>();
    });
}

#[test]
fn reader() {
    check!().with_iterations(2_000).for_each(|bytes| {
        let text = String::from_utf8_lossy(bytes);
        if let Err(faults) = read_design("fuzz.toml", &text) {
            assert!(!faults.faults.is_empty());
            let _ = faults.render(false);
        }
    });
}

#[test]
fn whole_pipeline() {
    check!().with_type::<(u8, Vec<(u8, u16, u8)>)>().with_iterations(600).for_each(|(seed, changes)| {
        let changes = &changes[..changes.len().min(4)];
        pipeline(&mutated(usize::from(*seed), changes));
    });
}
