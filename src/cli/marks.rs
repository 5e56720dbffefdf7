//! `marks`: where one may drive, course by course.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;
use std::process::ExitCode;

use super::checked::rows_to_look_at;
use super::files::Sources;
use super::output::{Output, Written};
use super::progress::Progress;
use super::{Failure, print};
use crate::check;
use crate::fix::{Opening, Openings};
use crate::quantity::{Length, Units, show_share};
use crate::scene::{Building, ChancesRecord, Detail, MarkRecord, RemedyRecord, ReportHeader, marks as records};
use crate::write::marks as file;

/// Every file that the verb may write.
pub const OWN: [&str; 2] = ["marks.csv", "windows.json"];

/// `airlath marks`. Exit code 1 where a fastener has no sure window.
pub fn marks(sources: &Sources, log: Option<&Path>, out: Option<&Path>) -> Result<ExitCode, Failure> {
    let progress = Progress::begin("cutting windows");
    let inputs = sources.inputs(log)?;
    let plan = inputs.plan()?;
    let ctx = plan.context();
    let results = check::run(&ctx);
    let building = Building::new(&ctx, &results, Detail::Plain);
    let scene = building.scene(&results);
    let mut remedies = Openings::new(&inputs.texts, ctx.lattice.landing_count());
    let mut all: Vec<MarkRecord> = Vec::new();
    let record = |Opening { text, change, area }| RemedyRecord { text, change, area };
    for on in &ctx.slopes {
        let mut of =
            |number, k, conflict| remedies.of(&ctx, on, (number, k), conflict).into_iter().map(record).collect();
        all.extend(records(&ctx, on, &mut of));
    }
    let mut written = Written { files: Vec::new(), said: String::new() };
    if let Some(folder) = out {
        let output = Output::open(folder)?;
        let mut files = output.set();
        let (tilt, spacing) = (plan.design.tilt.value.radians(), plan.design.aim.spacing.metres());
        files.write(OWN[0], |w| file::write(&scene.header, scene.units, &all, remedies.cut_short, w))?;
        files.write(OWN[1], |w| file::json(&scene.header, tilt, spacing, &all, remedies.cut_short, w))?;
        written = output.finish(files, &OWN.map(str::to_owned), inputs.stamp(&plan))?;
    }
    drop(progress);
    let mut said = said(&scene.header, scene.units, &plan.design.tilt, &all, remedies.cut_short);
    for path in written.files {
        let _ = writeln!(said, "Written {}", path.display());
    }
    said.push_str(&written.said);
    if let Some(driven) = &plan.driven {
        said.push_str(&rows_to_look_at(&driven.log.told));
    }
    print(&said)?;
    let shut = all.iter().any(|m| !m.conflict.is_empty());
    Ok(ExitCode::from(u8::from(shut)))
}

fn said(
    header: &ReportHeader,
    units: Units,
    tilt: &crate::design::Given<crate::quantity::Angle>,
    all: &[MarkRecord],
    cut_short: bool,
) -> String {
    let mut text = String::new();
    let shut = all.iter().filter(|m| !m.conflict.is_empty()).count();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "{}", header.scope);
    let _ = writeln!(text, "{}, plan {}", header.design, header.fingerprint);
    let _ = writeln!(
        text,
        "\nWindows: {} of {} fasteners have one that is sure at every tilt up to {} ({}).",
        all.len() - shut,
        all.len(),
        tilt.value.show(),
        tilt.origin.words()
    );
    let _ = writeln!(
        text,
        "Left and right are measured from the middle of the strip, up from the batten's lower edge; all rounded inward.\n\
         L05-2 is the second fastener of landing L05; where no number stands, all of a landing's fasteners are meant."
    );
    for rows in all.chunk_by(|a, b| a.course == b.course) {
        let _ = writeln!(text, "\nCourse {}", rows.first().map_or("", |m| m.course.as_str()));
        for (names, words) in grouped(rows, units) {
            let _ = writeln!(text, "  {names}: {words}");
        }
    }
    if cut_short {
        let _ = writeln!(text, "\n{}", file::CUT_SHORT);
    }
    if let Some(chances) = &header.chances {
        lines(&mut text, chances, units);
    }
    let _ = writeln!(text, "\nCautions");
    for c in &header.cautions {
        let _ = writeln!(text, "  {c}");
    }
    text
}

/// Rows of a course that say the same, in the order of the first of them: landings by their short names (with the number
/// of the fastener where the landing's fasteners differ), and words.
fn grouped(rows: &[MarkRecord], units: Units) -> Vec<(String, String)> {
    let said: Vec<String> = rows.iter().map(|m| words(m, units)).collect();
    let mut groups: Vec<(Vec<String>, &str)> = Vec::new();
    let mut group_of: BTreeMap<&str, usize> = BTreeMap::new();
    let mut at = 0;
    while let Some(first) = rows.get(at) {
        let end = at + rows.iter().skip(at).take_while(|m| m.landing == first.landing).count();
        let short = first.landing.strip_prefix(first.course.as_str()).unwrap_or(&first.landing).trim_start_matches('.');
        let own = said.get(at..end).unwrap_or_default();
        let alike = own.iter().all(|w| own.first() == Some(w));
        for (k, words) in own.iter().enumerate().take(if alike { 1 } else { own.len() }) {
            let name = if alike { short.to_owned() } else { format!("{short}-{}", k + 1) };
            let group = *group_of.entry(words).or_insert(groups.len());
            match groups.get_mut(group) {
                Some(group) => group.0.push(name),
                None => groups.push((vec![name], words)),
            }
        }
        at = end;
    }
    groups.into_iter().map(|(names, words)| (names.join(" "), words.to_owned())).collect()
}

fn words(m: &MarkRecord, units: Units) -> String {
    let show = |v: f64| Length::from_metres(v.abs()).show(units);
    let side = |v: f64| file::side(v, units);
    match (&m.mark, m.conflict.is_empty()) {
        (Some(k), _) => {
            let across = if k.across[0] == k.across[1] {
                format!("at {} only", side(k.across[0]))
            } else {
                format!("from {} to {}", side(k.across[0]), side(k.across[1]))
            };
            format!("{across}, {} to {} up", show(k.up[0]), show(k.up[1]))
        }
        (None, true) => "a window too small for a mark".to_owned(),
        (None, false) => {
            let mut words = format!("NO PLACE TO DRIVE. No spot meets all of these: {}", m.conflict.join("; "));
            for r in &m.remedies {
                let _ = write!(words, "\n      this opens it: {}", r.text);
            }
            if m.remedies.is_empty() {
                words.push_str("\n      no tilt or change we tried works here");
            }
            words
        }
    }
}

/// What may go wrong on the whole roof.
pub fn chances(text: &mut String, chances: &ChancesRecord) {
    let _ = writeln!(
        text,
        "\nWhat may go wrong: {:.1} fasteners are expected to miss ({} of them by the plan itself). In {} simulated \
         roofs: {} misses or fewer in 95 %; none but the plan's own in {}.",
        chances.expected,
        chances.planned,
        chances.samples,
        chances.most,
        show_share(chances.none)
    );
    let worst = chances.pieces.iter().max_by(|a, b| a.chance.total_cmp(&b.chance));
    if let Some(worst) = worst.filter(|w| w.chance > 0.0) {
        let _ = writeln!(
            text,
            "The piece most at risk is {}: with a chance of {} a run between good landings is too long.",
            worst.name,
            show_share(worst.chance)
        );
    }
}

fn lines(text: &mut String, chances: &ChancesRecord, units: Units) {
    let _ = writeln!(
        text,
        "\nHow far off a member may be found before a miss is likelier than {}",
        show_share(chances.limit)
    );
    for line in &chances.lines {
        let words = match line.shift {
            Some([left, right]) => {
                let show = |v: f64| Length::from_metres(v.abs()).show_fine(units);
                format!("{} to the left, {} to the right", show(left), show(right))
            }
            None if line.worst > chances.limit => format!("nowhere: {} as drawn already", show_share(line.worst)),
            None => format!("not worked out: several members lie below; {} as drawn", show_share(line.worst)),
        };
        let _ = writeln!(text, "  {}: {words}", line.name);
    }
}
