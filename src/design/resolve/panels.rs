//! The roofing panels and their clips.

use super::super::file::DesignFile;
use super::super::model::{ClipPlaces, Panels, Slope};
use super::super::reader::Reader;
use super::maker::maker;
use super::slope_list;
use crate::quantity::Length;

const PRACTICE: &str = "common practice, no source";

/// The panels; `Some(None)` where the design has none. `lowest` is the middle of the lowest course, from the eave.
pub fn panels(r: &mut Reader<'_>, file: &DesignFile, slopes: &[Slope], lowest: Length) -> Option<Option<Panels>> {
    let Some(located) = &file.panels else { return Some(None) };
    let (f, at) = (located.get(), located.span());
    let inches = Length::from_inches;
    let on = slope_list(r, "panels.slopes", &f.slopes, &at, slopes);
    let width = r.size("panels.width", &f.width, &at, "from seam to seam, such as \"16 in\" or \"400 mm\"");
    let first = width.as_ref().map_or(Length::ZERO, |w| w.value);
    let first_seam = r.length_or("panels.first_seam", &f.first_seam, first, "a whole panel from the left");
    let places = match &f.clip_pitch {
        Some(_) => {
            let pitch = r.size("panels.clip_pitch", &f.clip_pitch, &at, "");
            let first = r.length_or("panels.first_clip", &f.first_clip, lowest, "the middle of the lowest course");
            first.zip(pitch).map(|(first, pitch)| ClipPlaces::Pitch { first, pitch })
        }
        None => {
            if let Some(w) = f.first_clip.as_ref().filter(|_| !r.may_lack("panels.clip_pitch")) {
                r.fault(
                    w.span.clone(),
                    "panels.first_clip",
                    "a first clip without a pitch",
                    "write clip_pitch too; without it a clip stands on every course",
                );
            }
            Some(ClipPlaces::EveryCourse)
        }
    };
    let clip_width = r.size_or("panels.clip_width", &f.clip_width, inches(1.0), PRACTICE);
    let clip_length = r.size_or("panels.clip_length", &f.clip_length, inches(1.5), PRACTICE);
    let clip_thickness = r.size_or("panels.clip_thickness", &f.clip_thickness, inches(1.0 / 32.0), PRACTICE);
    let screws = r.count_or("panels.screws", &f.screws, 2, 1..=4, PRACTICE);
    let screw_spread = r.length_or("panels.screw_spread", &f.screw_spread, inches(0.75), PRACTICE);
    let never = "a screw's size is never assumed: its tip must not reach the membrane";
    let screw_diameter = r.size("panels.screw_diameter", &f.screw_diameter, &at, never);
    let screw_length = r.size("panels.screw_length", &f.screw_length, &at, never);
    let screw_thread = match &f.screw_thread {
        None => Some(None),
        Some(_) => r.size("panels.screw_thread", &f.screw_thread, &at, "from the point up").map(Some),
    };
    let screw_root = match &f.screw_root {
        None => Some(None),
        Some(_) => r.size("panels.screw_root", &f.screw_root, &at, "under its thread").map(Some),
    };
    let rules = file.strength.as_ref().and_then(|t| t.get().rules.as_ref()?.read().ok());
    let maker = maker(r, "panels.maker", &f.maker, rules, false);
    let edge_reach = r.size_or("panels.edge_reach", &f.edge_reach, inches(6.0), PRACTICE);
    // A panel narrower than a hand, or clips nearer than a finger, are slips of the pen that make a model of millions.
    let pitch = match &places {
        Some(ClipPlaces::Pitch { pitch, .. }) => Some(pitch),
        _ => None,
    };
    let mut fits = true;
    for (key, value, least, written) in
        [("panels.width", width.as_ref(), 0.1, &f.width), ("panels.clip_pitch", pitch, 0.05, &f.clip_pitch)]
    {
        if value.is_some_and(|v| v.value.metres() < least) {
            let span = written.as_ref().map_or(at.clone(), |w| w.span.clone());
            let hint = format!("at least {}", Length::from_metres(least).show_fine(r.units));
            r.fault(span, key, "this is narrower than any roofing", hint);
            fits = false;
        }
    }
    if let (Some(screws), Some(spread), Some(diameter), Some(length)) =
        (&screws, &screw_spread, &screw_diameter, &clip_length)
        && screws.value > 1
        && spread.value.metres() + diameter.value.metres() > length.value.metres()
    {
        let span = f.screw_spread.as_ref().or(f.clip_length.as_ref()).map_or(at, |w| w.span.clone());
        let hint = "a smaller screw_spread, or a longer clip_length";
        r.fault(span, "panels.screw_spread", "the screws stand further apart than the clip is long", hint);
        fits = false;
    }
    let panels = Panels {
        slopes: on?,
        width: width?,
        first_seam: first_seam?,
        places: places?,
        clip_width: clip_width?,
        clip_length: clip_length?,
        clip_thickness: clip_thickness?,
        screws: screws?,
        screw_spread: screw_spread?,
        screw_diameter: screw_diameter?,
        screw_length: screw_length?,
        screw_thread: screw_thread?,
        screw_root: screw_root?,
        maker: maker?,
        edge_reach: edge_reach?,
    };
    fits.then_some(Some(panels))
}
