//! Report records: what `findings.json` and the lists carry, one field a fact.
//!
//! These are the only types besides the design file that serde knows, so that no format freezes the model. Lengths
//! in records are metres, masses kilograms, unless the field's name says otherwise.

use schemars::JsonSchema;
use serde::Serialize;

use super::strength::{StrengthRecord, UtilisationRecord};
use crate::check::{Basis, Verdict};

/// What stands at the head of every report.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ReportHeader {
    /// The format's version.
    pub format: u32,
    /// Program and version that wrote the report.
    pub program: String,
    /// The design's name, as written.
    pub design: String,
    /// What the design says about itself; may be empty.
    pub about: String,
    /// Scope line: what was and was not checked. Always shown first.
    pub scope: String,
    /// Plan fingerprint: short hash of every part, by its name and the coordinates of its solid.
    pub fingerprint: String,
    /// Short hash of what a row of a drive log depends on: landings, fasteners, framing.
    pub driving: String,
    /// Usual cautions; shown wherever people act on the report.
    pub cautions: Vec<String>,
    /// The worst verdict.
    pub verdict: Verdict,
    /// Landings in all.
    pub landings: usize,
    /// Landings that are backed.
    pub backed: usize,
    /// Defaults in force.
    pub defaults: Vec<DefaultRecord>,
    /// Every member of the framing, with what says where it is.
    pub members: Vec<MemberRecord>,
    /// Every strip line.
    pub lines: Vec<LineRecord>,
    /// What goes through the membrane beside the fasteners of the landings: nails of straps, and by the drive log what was
    /// left in.
    pub penetrations: Vec<PenetrationRecord>,
    /// Every check with its own outcome, also the ones that found nothing and the ones that did not run.
    pub checks: Vec<CheckRecord>,
    /// What may go wrong, where the design states its tolerances.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chances: Option<super::ChancesRecord>,
    /// Sets of checks, each in the order of `checks`: a landing's `passed` is the number (from 0) of its set.
    pub passed_sets: Vec<Vec<String>>,
    /// Every finding, worst first.
    pub findings: Vec<FindingRecord>,
    /// Flows of air, where they were computed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub air: Option<super::AirRecord>,
    /// Strength, where it was checked.
    pub strength: Option<StrengthRecord>,
}

impl ReportHeader {
    /// The defaults in force, in one line.
    pub fn defaults_text(&self) -> String {
        let each = self.defaults.iter().map(|d| format!("{} = {} ({})", d.key, d.value, d.why));
        each.collect::<Vec<_>>().join("; ")
    }
}

/// A value that the design left out and that a default filled.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DefaultRecord {
    /// Key in the design file.
    pub key: String,
    /// The value used, as one would write it.
    pub value: String,
    /// Why this value.
    pub why: String,
}

/// A member of the framing.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MemberRecord {
    /// Its name.
    pub name: String,
    /// Its kind.
    pub kind: String,
    /// Its section, as people say it.
    pub section: String,
    /// `drawn`, `found` (measured), `missing` (not found), or `added` (found or put in beyond the drawing).
    pub state: String,
    /// What says so.
    pub origin: String,
}

/// A strip line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineRecord {
    /// Its name.
    pub name: String,
    /// The slope's name.
    pub slope: String,
    /// The members below it, each with the stretch (y on the slope, metres) that it lies under.
    pub members: Vec<StretchRecord>,
    /// The strips side by side, stretch by stretch, from low to high.
    pub strips: Vec<WidthRecord>,
    /// Heights (y on the slope, metres) at which it jogs or changes its width.
    pub jogs: Vec<f64>,
}

/// A member below a line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct StretchRecord {
    /// The member's name.
    pub member: String,
    /// Low end, metres.
    pub from: f64,
    /// High end, metres.
    pub to: f64,
}

/// How many strips of a line lie side by side over a stretch.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WidthRecord {
    /// Low end, metres.
    pub from: f64,
    /// High end, metres.
    pub to: f64,
    /// How many.
    pub count: usize,
    /// Width of each, metres.
    pub width: f64,
}

/// One check and its outcome.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CheckRecord {
    /// The check's name; `airlath explain NAME` prints its page.
    pub name: String,
    /// What it asks, in one line.
    pub title: String,
    /// Its worst verdict.
    pub verdict: Verdict,
    /// How many findings it made.
    pub findings: usize,
    /// Why it did not run, where it did not.
    pub reason: Option<String>,
    /// Which parts it examined; none where it is about no parts.
    pub examined: Vec<ExaminedRecord>,
}

/// Parts that a check examined: of one kind on one slope, or of the building.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ExaminedRecord {
    /// The kind, in the plural.
    pub kind: String,
    /// The slope's name; none for what belongs to no slope.
    pub slope: Option<String>,
    /// How many parts of it were examined and answered.
    pub count: usize,
    /// Parts that were not examined, as another check is about them; left out where they are more than those examined.
    pub except: Vec<String>,
    /// Parts for which the check has no answer.
    pub unanswered: Vec<String>,
    /// What the answers rest on.
    pub basis: Basis,
}

/// One verdict that is not a pass, with its evidence.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FindingRecord {
    /// Number on the pin and in tables, from 1, worst first.
    pub number: usize,
    /// The check's name.
    pub check: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// One sentence, with sizes in the design's units.
    pub message: String,
    /// Names of the parts concerned; the first is the one to look at.
    pub parts: Vec<String>,
    /// How many findings this one stands for: 1, but where a check has more than it lists one by one.
    pub stands_for: usize,
    /// Where, if it has a place.
    pub place: Option<PlaceRecord>,
    /// The numbers behind the verdict.
    pub evidence: Vec<EvidenceRecord>,
    /// Changes of the design, each of which would mend it.
    pub mends: Vec<MendRecord>,
    /// What else helps, in words alone: work on the roof, or a choice that only a person makes.
    pub advice: Vec<String>,
    /// Where the limit comes from.
    pub source: SourceRecord,
}

impl ReportHeader {
    /// How many findings have a verdict, also those that are not listed one by one.
    pub fn count(&self, verdict: Verdict) -> usize {
        self.findings.iter().filter(|f| f.verdict == verdict).map(|f| f.stands_for).sum()
    }
}

impl FindingRecord {
    /// The first that helps: a mend, or else advice, in words.
    pub fn first_help(&self) -> Option<String> {
        let mend = self.mends.first().map(|m| format!("mend: {}", m.text));
        mend.or_else(|| self.advice.first().map(|words| format!("advice: {words}")))
    }
}

/// A place on a slope and in the world.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlaceRecord {
    /// The slope's name.
    pub slope: String,
    /// x along the eave, y up the slope, z outward from the membrane; metres.
    pub on_slope: [f64; 3],
    /// World coordinates, z up; metres.
    pub in_world: [f64; 3],
}

/// One number of evidence: what was found against what is asked.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EvidenceRecord {
    /// What was measured.
    pub what: String,
    /// What was found (the demand's side of the comparison).
    pub found: f64,
    /// What is asked for, if there is a limit.
    pub limit: Option<f64>,
    /// The unit of both: `m` or `count`.
    pub unit: String,
    /// found / limit, where both are there and the limit is not zero.
    pub ratio: Option<f64>,
}

/// One thing that would mend a finding.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MendRecord {
    /// What to do, in a sentence.
    pub text: String,
    /// The same as a change of the design file: lines to add at its end, or `key = value` (tables counted from 1).
    pub design_change: String,
}

/// Where a limit comes from.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SourceRecord {
    /// Line of the design file, if the design states it.
    pub line: Option<u32>,
    /// The origin in words: a standard, `common practice, no source`, or the design.
    pub text: String,
}

/// One landing with its fasteners: enough to recompute it from the model alone.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct LandingRecord {
    /// The landing's name.
    pub name: String,
    /// The slope's name.
    pub slope: String,
    /// The piece that is fastened.
    pub piece: String,
    /// The line that it crosses, where it is a crossing; the member of a landing of its own.
    pub on: String,
    /// Whether every one of its fasteners is backed.
    pub backed: bool,
    /// With a drive log: whether it holds by what was really driven, what is not yet driven taken as planned.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub holds: Option<bool>,
    /// Its verdict: `not_checked` until a check examines it; `unconfirmed` where it meets everything, but by values from
    /// memory that the design does not confirm.
    pub verdict: Verdict,
    /// What the verdict rests on.
    pub basis: Basis,
    /// Which checks it passes on a confirmed basis: the number (from 0) of their set in `passed_sets`.
    pub passed: usize,
    /// Where its middle is, on the batten's upper face.
    pub place: PlaceRecord,
    /// Its fasteners.
    pub fasteners: Vec<FastenerRecord>,
    /// What its fasteners carry of what they hold, where strength was checked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strength: Option<UtilisationRecord>,
}

/// One fastener of a landing.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct FastenerRecord {
    /// The fastener's name.
    pub name: String,
    /// Underside of the head, world metres.
    pub head: [f64; 3],
    /// Tip, world metres.
    pub tip: [f64; 3],
    /// Shank diameter, metres.
    pub diameter: f64,
    /// Whether it is backed.
    pub backed: bool,
    /// With a drive log: where it stands in the work.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub state: Option<String>,
    /// The member that backs it or that it meets best; none where it meets nothing.
    pub member: Option<String>,
    /// How far the shank is in that member (of an I-joist: in its top flange), metres.
    pub embedment: f64,
    /// From the shank's axis to the member's nearest side, metres; negative where the axis runs outside.
    pub room: Option<f64>,
}

/// A row of the quantities.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct QuantityRecord {
    /// What.
    pub kind: String,
    /// Size or stock that the row is about.
    pub size: String,
    /// How many.
    pub count: usize,
    /// Total length, metres, where a length says something.
    pub length: Option<f64>,
    /// Total area, square metres, where an area says something.
    pub area: Option<f64>,
    /// Total mass, kilograms, where a density is known.
    pub mass: Option<f64>,
}

/// Something that goes through the membrane beside the fasteners of the landings.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PenetrationRecord {
    /// Its name; of what the drive log tells, as in the model.
    pub name: String,
    /// What it is: `strap nail`, or by the drive log `missed fastener`, `further fastener`, `drilled hole` or `hole`.
    pub kind: String,
    /// The slope's name.
    pub slope: String,
    /// The strap of a strap's nail.
    pub strap: Option<String>,
    /// The number of a strap's nail, from 1 at the strap's lower end.
    pub nail: Option<usize>,
    /// The landing that it was meant for.
    pub landing: Option<String>,
    /// x and y on the slope, metres; none where the log does not say.
    pub on_slope: Option<[f64; 2]>,
    /// Diameter of the shank, metres; none of a hole.
    pub diameter: Option<f64>,
    /// Of a strap's nail what the design has seal it: `tape below` the strap or `tape above` it; whether tape lies there is
    /// not looked at. By the drive log: `sealed`, `scantly sealed`, `unsealed` or `seal unknown`.
    pub seal: String,
    /// Row of the drive log, where it is from there.
    pub row: Option<usize>,
    /// What else the row says.
    pub note: String,
}
