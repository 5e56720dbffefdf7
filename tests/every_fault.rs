//! Faults planted into the bundled designs, one by one and several at once: each is told once, in its place, in the same
//! run, and nothing else is told.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::ops::Range;

use crate::common::{EXAMPLES, STARTERS, example, starter};
use airlath::design::{Diagnostic, line_column};
use airlath::plan::Plan;
use toml::de::{DeTable, DeValue};

/// One change of a text that makes one fault.
#[derive(Clone, Debug)]
struct Plant {
    /// What is replaced.
    at: Range<usize>,
    by: String,
    /// What can no longer be judged, so that no second fault may be planted there.
    region: Range<usize>,
    /// What of the message or hint.
    says: String,
    /// The key that is changed, as it stands in the text.
    key: String,
}

/// Every fault that can be planted at one place of a text.
fn plants(text: &str) -> Vec<Plant> {
    let document = DeTable::parse(text).unwrap();
    let mut all = Vec::new();
    table(document.get_ref(), text, &mut all);
    let mut from = 0;
    for line in text.split_inclusive('\n') {
        if line.starts_with('[') {
            let name = line.trim_start_matches('[').split(']').next().unwrap();
            let end = from + line.find(']').unwrap();
            let last = name.rsplit('.').next().unwrap();
            let next = text[end..].find("\n[").map_or(text.len(), |i| end + i);
            let (says, key) = (format!("unknown key `{last}q`"), name.to_owned());
            all.push(Plant { at: end - last.len()..end, by: format!("{last}q"), region: from..next, says, key });
        }
        from += line.len();
    }
    all
}

fn table(of: &DeTable<'_>, text: &str, all: &mut Vec<Plant>) {
    for (key, value) in of.iter() {
        let (name, span) = (key.get_ref().to_string(), key.span());
        if text[span.end..].trim_start().starts_with('=') {
            let (by, says) = (format!("{name}q"), format!("unknown key `{name}q`"));
            all.push(Plant { at: span.clone(), by, region: span.start..value.span().end, says, key: name.clone() });
        }
        leaves(value, &name, text, all);
    }
}

fn leaves(value: &toml::Spanned<DeValue<'_>>, key: &str, text: &str, all: &mut Vec<Plant>) {
    match value.get_ref() {
        DeValue::Table(inner) => table(inner, text, all),
        DeValue::Array(items) => items.iter().for_each(|i| leaves(i, key, text, all)),
        scalar => {
            let at = value.span();
            let mut plant = |by: &str, says: &str| {
                let (by, says, key) = (by.to_owned(), says.to_owned(), key.to_owned());
                all.push(Plant { at: at.clone(), by, region: at.clone(), says, key });
            };
            // No key takes a date; no key that takes a text takes a flag.
            plant("2024-01-01", "");
            plant("[7, \"7\"]", "a list stands where one value belongs");
            plant("{ q = 7 }", "a table stands where one value belongs");
            if matches!(scalar, DeValue::String(_)) {
                plant("true", "");
            }
        }
    }
}

/// The text with faults planted, and where each one stands then.
fn planted(text: &str, chosen: &[&Plant]) -> (String, Vec<Range<usize>>) {
    let mut sorted: Vec<&&Plant> = chosen.iter().collect();
    sorted.sort_by_key(|p| p.at.start);
    let (mut out, mut from, mut places) = (String::new(), 0, Vec::new());
    for p in sorted {
        out.push_str(&text[from..p.at.start]);
        places.push(out.len()..out.len() + p.by.len());
        out.push_str(&p.by);
        from = p.at.end;
    }
    out.push_str(&text[from..]);
    (out, places)
}

fn told(text: &str) -> Vec<Diagnostic> {
    Plan::from_text("planted.toml", text).err().map_or_else(Vec::new, |f| f.faults)
}

fn shown(text: &str, faults: &[Diagnostic]) -> String {
    let one = |f: &Diagnostic| {
        let (line, column) = line_column(text, f.span.start);
        format!("    {line}:{column} {}: {} ({})", f.key, f.message, f.hint)
    };
    faults.iter().map(one).collect::<Vec<_>>().join("\n")
}

/// Bundled designs, by name.
fn designs() -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = EXAMPLES.iter().map(|n| ((*n).to_owned(), example(n))).collect();
    all.extend(STARTERS.iter().map(|(s, u)| (format!("{s}-{u}"), starter(s, u))));
    all
}

#[test]
fn every_fault_alone_is_told_once_and_in_its_place() {
    let (mut tried, mut likelier) = (0, 0);
    let mut wrong = Vec::new();
    for (name, text) in designs() {
        for p in &plants(&text) {
            let (faulty, places) = planted(&text, &[p]);
            let faults = told(&faulty);
            tried += 1;
            let fits = |f: &Diagnostic| {
                places[0].contains(&f.span.start) && (f.message.contains(&p.says) || f.hint.contains(&p.says))
            };
            // Where a misspelt key is more like another one, what it was meant to be is missing as well.
            let meant = format!("did you mean `{}`?", p.key.rsplit('.').next().unwrap());
            if p.says.starts_with("unknown key") && faults.iter().any(|f| fits(f) && !f.hint.starts_with(&meant)) {
                likelier += 1;
                continue;
            }
            if faults.len() != 1 || !fits(&faults[0]) {
                let (line, _) = line_column(&faulty, places[0].start);
                wrong.push(format!("{name} line {line}: {} for {}\n{}", p.by, p.key, shown(&faulty, &faults)));
            }
        }
    }
    assert!(tried > 2_000 && likelier * 100 < tried, "{tried} tried, {likelier} like another key");
    assert!(wrong.is_empty(), "{} of {tried}\n{}", wrong.len(), wrong.join("\n"));
}

/// A small generator of numbers (SplitMix64 of Steele, Lea and Flood, 2014, from memory).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % n.max(1) as u64) as usize
    }
}

#[test]
fn several_faults_are_all_told_in_one_run_and_no_others() {
    let mut dice = Dice(20_241_125);
    let mut wrong = Vec::new();
    for (name, text) in designs() {
        let all = plants(&text);
        for round in 0..60 {
            let mut chosen: Vec<&Plant> = Vec::new();
            for _ in 0..2 + round % 7 {
                let p = &all[dice.below(all.len())];
                let meant = format!("did you mean `{}`?", p.key.rsplit('.').next().unwrap());
                let alone = |p: &Plant| told(&planted(&text, &[p]).0).iter().any(|f| f.hint.starts_with(&meant));
                let clear = chosen.iter().all(|q| q.region.end <= p.region.start || p.region.end <= q.region.start);
                if clear && (!p.says.starts_with("unknown key") || alone(p)) {
                    chosen.push(p);
                }
            }
            let (faulty, places) = planted(&text, &chosen);
            let faults = told(&faulty);
            let of = |at: &Range<usize>| faults.iter().filter(|f| at.contains(&f.span.start)).count();
            if faults.len() != places.len() || places.iter().any(|at| of(at) != 1) {
                let by: Vec<String> = places
                    .iter()
                    .map(|p| format!("{:?} {}", line_column(&faulty, p.start), &faulty[p.clone()]))
                    .collect();
                wrong.push(format!("{name}: planted {}\n{}", by.join("; "), shown(&faulty, &faults)));
            }
        }
    }
    assert!(wrong.is_empty(), "{}\n{}", wrong.len(), wrong.join("\n"));
}

/// Tables in which a fault changes no name.
const HARMLESS: [&str; 10] =
    ["about", "deck", "membrane", "fastening", "limits", "tolerance", "wind", "snow", "strength", "panels"];

#[test]
fn names_that_do_not_exist_come_with_the_other_faults() {
    let names = "\n[[move]]\nlanding = \"S-B01.L99\"\nup = \"1 in\"\n[[landing]]\ncourse = \"S-B99\"\nx = \"2 ft\"\n\
                 [[laid]]\nwhat = [\"tape\"]\nlines = [\"S-L99\"]\n[[joints]]\ncourse = \"S-B98\"\nlines = []\n";
    let mut tried = 0;
    let mut wrong = Vec::new();
    for (name, text) in designs() {
        let text = format!("{text}{names}");
        for p in plants(&text[..text.len() - names.len()]) {
            let before = &text[..p.at.start];
            let header = before.rfind("\n[").map_or("", |i| before[i + 1..].lines().next().unwrap());
            let header = header.trim_matches(['[', ']', ' ']);
            if !HARMLESS.iter().any(|h| header == *h || header.starts_with(&format!("{h}."))) || p.key == "spread" {
                continue;
            }
            if p.says.starts_with("unknown key") {
                continue;
            }
            tried += 1;
            let (faulty, _) = planted(&text, &[&p]);
            let faults = told(&faulty);
            let named = |n: &str| faults.iter().filter(|f| f.message.contains(&format!("is named \"{n}\""))).count();
            if faults.len() != 5 || ["S-B01.L99", "S-B99", "S-L99", "S-B98"].iter().any(|n| named(n) != 1) {
                wrong.push(format!("{name}: {} for {}\n{}", p.by, p.key, shown(&faulty, &faults)));
            }
        }
    }
    assert!(tried > 100, "{tried}");
    assert!(wrong.is_empty(), "{} of {tried}\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn a_file_with_everything_wrong_is_told_in_one_run() {
    let text = include_str!("corpus/every_fault_at_once.toml");
    let faults = told(text);
    let keys: Vec<&str> = faults.iter().map(|f| f.key.as_str()).collect();
    let expected = [
        "lattice.tape",
        "lattice.batten.stock",
        "lattice.batten.stager",
        "fastening.diameter",
        "fastening.lenght",
        "fastening.per_landing",
        "laid[1].what[2]",
        "laid[1].lines[1]",
        "move[1].up",
    ];
    assert_eq!(keys, expected, "{}", shown(text, &faults));
    // What landings there are hangs on the lattice; once that is mended, the name that belongs to none is told.
    let mended = text.replace("tape = \"2 in\"\n", "").replace("\"12 ft\", stager", "[\"12 ft\"], stagger");
    let mended = mended.replace("\"stripes\"", "\"strips\"").replace("[\"SE-L99\"]", "[\"SE-L05\"]");
    let keys: Vec<String> = told(&mended).into_iter().map(|f| f.key).collect();
    let expected = ["fastening.diameter", "fastening.lenght", "fastening.per_landing", "move[1].landing", "move[1].up"];
    assert_eq!(keys, expected, "{}", shown(&mended, &told(&mended)));
}
