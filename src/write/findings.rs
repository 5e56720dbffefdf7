//! The report as one JSON document, and the schema of it.
//!
//! Aim: what was found, with its evidence, for programs and for a reader with a text editor. Reason: every landing is
//! there with its fasteners and numbers, so that anyone can compute a verdict again from the model alone. Limits:
//! lengths in metres, masses in kilograms, angles in radians, whatever units the design shows; numbers are the
//! shortest that read back as the same `f64`. The landings are written as they are walked, one a line.

use std::io::{self, Write};

use schemars::{JsonSchema, Schema};
use serde::Serialize;

use super::broken;
use crate::check::Verdict;
use crate::scene::{
    AirRecord, ChancesRecord, CheckRecord, DefaultRecord, FindingRecord, LandingRecord, LineRecord, MemberRecord,
    PenetrationRecord, PlaceRecord, ReportHeader, Scene, StrengthRecord,
};

/// Bytes collected before each write.
const BLOCK: usize = 1 << 16;

/// Everything but the landings. The fields are those of the report's header; its two counts get names of their own,
/// because `landings` is the list.
#[derive(Serialize, JsonSchema)]
struct Head<'a> {
    /// The format's version.
    format: u32,
    /// Program and version that wrote the report.
    program: &'a str,
    /// The design's name, as written.
    design: &'a str,
    /// What the design says about itself; may be empty.
    about: &'a str,
    /// Scope line: what was and was not checked.
    scope: &'a str,
    /// Plan fingerprint: short hash of every part, by its name and the coordinates of its solid.
    fingerprint: &'a str,
    /// Short hash of what a row of a drive log depends on: landings, fasteners, framing.
    driving: &'a str,
    /// Usual cautions.
    cautions: &'a [String],
    /// The worst verdict.
    verdict: Verdict,
    /// How many landings there are.
    landing_count: usize,
    /// How many landings are backed.
    backed_count: usize,
    /// Defaults in force.
    defaults: &'a [DefaultRecord],
    /// Every member of the framing, with what says where it is.
    members: &'a [MemberRecord],
    /// Every strip line: the members below it, its width, and where it jogs.
    lines: &'a [LineRecord],
    /// What goes through the membrane beside the fasteners of the landings: nails of straps, and by the drive log what was
    /// left in.
    penetrations: &'a [PenetrationRecord],
    /// Every check with its own outcome.
    checks: &'a [CheckRecord],
    /// Sets of checks: a landing's `passed` is the number (from 0) of the set that it passes on a confirmed basis.
    passed_sets: &'a [Vec<String>],
    /// What may go wrong, where the design states its tolerances.
    #[serde(skip_serializing_if = "Option::is_none")]
    chances: Option<&'a ChancesRecord>,
    /// Flows of air, where they were computed.
    #[serde(skip_serializing_if = "Option::is_none")]
    air: Option<&'a AirRecord>,
    /// Strength, where it was checked.
    #[serde(skip_serializing_if = "Option::is_none")]
    strength: Option<&'a StrengthRecord>,
    /// Every finding, worst first. A list stands last, so that the document's end is found by its brace.
    findings: &'a [FindingRecord],
}

impl<'a> From<&'a ReportHeader> for Head<'a> {
    fn from(header: &'a ReportHeader) -> Self {
        Head {
            format: header.format,
            program: &header.program,
            design: &header.design,
            about: &header.about,
            scope: &header.scope,
            fingerprint: &header.fingerprint,
            driving: &header.driving,
            cautions: &header.cautions,
            verdict: header.verdict,
            landing_count: header.landings,
            backed_count: header.backed,
            defaults: &header.defaults,
            members: &header.members,
            lines: &header.lines,
            penetrations: &header.penetrations,
            checks: &header.checks,
            passed_sets: &header.passed_sets,
            chances: header.chances.as_ref(),
            air: header.air.as_ref(),
            strength: header.strength.as_ref(),
            findings: &header.findings,
        }
    }
}

/// The report of one build: what was checked, what was found, and every landing. Lengths are metres, angles radians.
#[derive(JsonSchema)]
#[schemars(title = "Airlath findings")]
#[expect(dead_code, reason = "describes the document for the schema; the landings are written as they are walked")]
struct Document<'a> {
    #[schemars(flatten)]
    head: Head<'a>,
    /// Every landing, backed or not, course by course, from left to right.
    landings: Vec<LandingRecord>,
}

/// Writes `findings.json`.
///
/// # Errors
/// Those of `out` and of the walk; a number that is not finite, which JSON cannot say.
pub fn write(scene: &Scene<'_>, out: &mut dyn Write) -> io::Result<()> {
    if let Some(finding) = scene.header.findings.iter().find(|f| !finding_is_finite(f)) {
        return Err(broken(format!("a number of finding {} is not finite", finding.number)));
    }
    let mut block = serde_json::to_vec_pretty(&Head::from(&scene.header))?;
    // The object is closed after the landings.
    while block.last().is_some_and(|b| matches!(b, b'}' | b'\n')) {
        block.pop();
    }
    block.extend(b",\n  \"landings\": [");
    let mut first = true;
    scene.source.walk_landings(&mut |landing| {
        if !landing_is_finite(landing) {
            return Err(broken(format!("a number of {} is not finite", landing.name)));
        }
        block.extend(if first { "\n    " } else { ",\n    " }.as_bytes());
        first = false;
        serde_json::to_writer(&mut block, landing)?;
        if block.len() >= BLOCK {
            out.write_all(&block)?;
            block.clear();
        }
        Ok(())
    })?;
    block.extend(if first { "]\n}\n" } else { "\n  ]\n}\n" }.as_bytes());
    out.write_all(&block)
}

fn place_is_finite(place: &PlaceRecord) -> bool {
    place.on_slope.iter().chain(&place.in_world).all(|v| v.is_finite())
}

fn finding_is_finite(finding: &FindingRecord) -> bool {
    let numbers = finding.evidence.iter().flat_map(|e| [Some(e.found), e.limit, e.ratio]);
    finding.place.as_ref().is_none_or(place_is_finite) && numbers.flatten().all(f64::is_finite)
}

fn landing_is_finite(landing: &LandingRecord) -> bool {
    place_is_finite(&landing.place)
        && landing.strength.as_ref().is_none_or(|s| [s.utilisation, s.out, s.down].iter().all(|v| v.is_finite()))
        && landing.fasteners.iter().all(|f| {
            let ends = f.head.iter().chain(&f.tip).all(|v| v.is_finite());
            ends && [f.diameter, f.embedment, f.room.unwrap_or_default()].iter().all(|v| v.is_finite())
        })
}

/// The JSON Schema (2020-12) of the document that [`write()`] writes.
pub fn schema() -> serde_json::Value {
    Schema::into(schemars::schema_for!(Document<'_>))
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::*;
    use crate::write::fixture::{self, List};

    fn text(landings: Vec<LandingRecord>) -> String {
        let source = List { parts: Vec::new(), landings };
        let mut out = Vec::new();
        write(&fixture::scene(&source), &mut out).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn the_document_follows_its_own_schema() {
        let schema = schema();
        let validator = jsonschema::draft202012::new(&schema).unwrap();
        let document: Value = serde_json::from_str(&text(fixture::landings())).unwrap();
        let errors: Vec<String> = validator.iter_errors(&document).map(|e| e.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");

        // And the schema is not one that takes everything.
        for key in document.as_object().unwrap().keys() {
            let mut less = document.clone();
            less.as_object_mut().unwrap().remove(key);
            assert!(!validator.is_valid(&less), "{key} may be missing");
        }
        for (at, wrong) in [
            ("/verdict", json!("fine")),
            ("/landings/1/fasteners/0/embedment", json!("deep")),
            ("/landings/0/place/in_world", json!([1.0, 2.0])),
            ("/findings/0/parts", json!("S-B1-L2")),
            ("/landing_count", json!(-1)),
        ] {
            let mut other = document.clone();
            *other.pointer_mut(at).unwrap() = wrong;
            assert!(!validator.is_valid(&other), "{at}");
        }
    }

    #[test]
    fn every_property_is_described() {
        let schema = schema();
        assert!(jsonschema::meta::is_valid(&schema));
        let mut properties = 0;
        let mut look = |object: &Value| {
            for (name, property) in object["properties"].as_object().into_iter().flatten() {
                assert!(property["description"].is_string(), "{name}");
                properties += 1;
            }
        };
        look(&schema);
        schema["$defs"].as_object().unwrap().values().for_each(&mut look);
        assert!(properties > 50, "{properties}");
    }

    #[test]
    fn every_field_of_the_header_is_there() {
        let source = List::default();
        let header = serde_json::to_value(fixture::scene(&source).header).unwrap();
        let document: Value = serde_json::from_str(&text(Vec::new())).unwrap();
        for (key, value) in header.as_object().unwrap() {
            let key = match key.as_str() {
                "landings" => "landing_count",
                "backed" => "backed_count",
                other => other,
            };
            assert_eq!(&document[key], value, "{key}");
        }
        assert_eq!(document["landings"], json!([]));
    }

    #[test]
    fn landings_stand_one_a_line_and_read_back() {
        let text = text(fixture::landings());
        let lines: Vec<&str> = text.lines().filter(|l| l.starts_with("    {\"name\"")).collect();
        assert_eq!(lines.len(), 2);
        assert!(text.starts_with("{\n  \"format\": 1,") && text.ends_with("}\n  ]\n}\n"));
        let document: Value = serde_json::from_str(&text).unwrap();
        assert_eq!(document["landings"], serde_json::to_value(fixture::landings()).unwrap());
        assert_eq!(document["landings"][0]["fasteners"][0]["tip"][2].as_f64(), Some(1.0 / 3.0));
    }

    #[test]
    fn a_number_that_is_none_is_refused() {
        let landing_with = |change: &dyn Fn(&mut LandingRecord)| {
            let mut landings = fixture::landings();
            change(&mut landings[1]);
            let source = List { parts: Vec::new(), landings };
            write(&fixture::scene(&source), &mut Vec::new()).map_err(|e| e.to_string())
        };
        let says = Err("a number of S-B1-L2 is not finite".to_owned());
        assert_eq!(landing_with(&|_| ()), Ok(()));
        assert_eq!(landing_with(&|l| l.place.on_slope[0] = f64::NAN), says);
        assert_eq!(landing_with(&|l| l.fasteners[0].tip[2] = f64::INFINITY), says);
        assert_eq!(landing_with(&|l| l.fasteners[1].embedment = f64::NAN), says);
        assert_eq!(landing_with(&|l| l.fasteners[1].room = Some(f64::NAN)), says);

        let source = List::default();
        for change in [
            |f: &mut FindingRecord| f.evidence[0].ratio = Some(f64::INFINITY),
            |f: &mut FindingRecord| f.place.as_mut().unwrap().in_world[0] = f64::NAN,
        ] {
            let mut scene = fixture::scene(&source);
            change(&mut scene.header.findings[0]);
            let error = write(&scene, &mut Vec::new()).unwrap_err();
            assert_eq!(error.to_string(), "a number of finding 1 is not finite");
        }
    }

    #[test]
    fn a_long_list_goes_out_in_blocks() {
        let many: Vec<LandingRecord> = (0..500).flat_map(|_| fixture::landings()).collect();
        let document: Value = serde_json::from_str(&text(many)).unwrap();
        assert_eq!(document["landings"].as_array().unwrap().len(), 1000);
    }
}
