//! Designs with faults: each is told with its place and what to do, all of them at once; and no text at all, however
//! mangled, makes the program stumble.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test stops at the first surprise")]

use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::channel;
use std::time::Duration;

use crate::common::{self, EXAMPLES, STARTERS, edited, example, starter};
use airlath::design::{Faults, line_column};
use airlath::plan::Plan;

const BASE: &str = r#"format = 1
name = "Faulty (invented)"
units = "inches"
[roof]
shape = "shed"
eave = "12 ft"
slope_length = "8 ft"
pitch = "4:12"
[[rafters]]
section = { nominal = "2x8" }
spacing = "24 in"
[lattice]
batten = { nominal = "1x4", spacing = "16 in" }
[fastening]
diameter = "0.148 in"
length = "3 in"
"#;

/// The same roof as two slopes of which the upper edge of one is the upper edge of the other.
const SLOPES: &str = r#"format = 1
name = "Faulty (invented)"
units = "millimetres"
[[slope]]
name = "S"
pitch = "30 deg"
size = ["6000 mm", "2000 mm"]
[[slope]]
name = "N"
facing = "0 deg"
pitch = "30 deg"
eave_point = ["6000 mm", "3464.1 mm", "0 mm"]
size = ["6000 mm", "2000 mm"]
[[edge]]
edge = "S.3"
shared_with = "N.3"
[[rafters]]
section = { width = "45 mm", depth = "195 mm" }
spacing = "600 mm"
[lattice]
batten = { width = "98 mm", thickness = "23 mm", spacing = "400 mm" }
[fastening]
diameter = "3.1 mm"
length = "90 mm"
"#;

/// Straps over a seam at 20 in, with nails at 11, 13 and so on to 29.
const STRAPS: &str = r#"[[straps]]
along = "rafter"
width = "1 in"
thickness = "1/16 in"
low = "10 in"
high = "30 in"
seam = "20 in"
gap = "2 in"
nails = { diameter = "0.131 in", length = "1 1/2 in", spacing = "2 in", end = "1 in" }
"#;

/// A slope by its corners.
fn outlined(outline: &str) -> String {
    let size = "size = [\"6000 mm\", \"2000 mm\"]\n[[slope]]";
    let one = edited(SLOPES, size, &format!("outline = {outline}\n[[slope]]"));
    let (start, end) = (one.find("[[slope]]\nname = \"N\"").unwrap(), one.find("[[rafters]]").unwrap());
    format!("{}{}", &one[..start], &one[end..])
}

/// One expected fault: its key, the text that opens its line, a word of its message or hint.
type Expected = (&'static str, &'static str, &'static str);

struct Case {
    name: &'static str,
    text: String,
    faults: Vec<Expected>,
}

fn change(name: &'static str, from: &str, to: &str, fault: Expected) -> Case {
    Case { name, text: edited(BASE, from, to), faults: vec![fault] }
}

fn append(name: &'static str, more: &str, fault: Expected) -> Case {
    Case { name, text: format!("{BASE}{more}"), faults: vec![fault] }
}

impl Case {
    /// With one more fault.
    fn and(mut self, fault: Expected) -> Case {
        self.faults.push(fault);
        self
    }
}

/// The straps with a change.
fn strap(name: &'static str, from: &str, to: &str, fault: Expected) -> Case {
    append(name, &edited(STRAPS, from, to), fault)
}

/// The base roof with an opening of 2 ft by 2 ft.
fn opened(x: &str, y: &str) -> String {
    format!("{BASE}[[opening]]\nname = \"a\"\nat = [\"{x}\", \"{y}\"]\nsize = [\"2 ft\", \"2 ft\"]\n")
}

fn hole(name: &'static str, x: &str, y: &str, fault: Expected) -> Case {
    whole(name, opened(x, y), vec![fault])
}

/// One opening at 4 ft, 2 ft and a second one.
fn holes(name: &'static str, x: &str, y: &str, fault: Expected) -> Case {
    let second = opened(x, y).replace(BASE, "").replace("[[opening]]\nname = \"a\"", "[[opening]] # b\nname = \"b\"");
    whole(name, opened("4 ft", "2 ft") + &second, vec![fault])
}

fn found_hole(name: &str, x: &str, y: &str) -> String {
    format!("[[found.opening]]\nname = \"{name}\"\nat = [\"{x}\", \"{y}\"]\nsize = [\"2 ft\", \"2 ft\"]\n")
}

/// The base roof with lookouts at its left rake, changed.
fn lookout(name: &'static str, from: &str, to: &str, fault: Expected) -> Case {
    let table = "[[lookouts]]\nsection = { nominal = \"2x4\" }\nspacing = \"32 in\"\nfirst = \"16 in\"\nfrom = \"0 in\"\nto = \"12 in\"\n";
    append(name, &edited(table, from, to), fault)
}

/// The base roof with blocking.
fn block(name: &'static str, keys: &str, fault: Expected) -> Case {
    append(name, &format!("[[blocking]]\nsection = {{ nominal = \"2x6\" }}\n{keys}\n"), fault)
}

fn whole(name: &'static str, text: impl Into<String>, faults: Vec<Expected>) -> Case {
    Case { name, text: text.into(), faults }
}

#[rustfmt::skip]
fn cases() -> Vec<Case> {
    let start = ""; // the first line
    vec![
        // Values.
        change("a bare number", "\"24 in\"", "24", ("rafters[1].spacing", "spacing = 24", "write the unit, in quotes: \"24 in\"")),
        change("a bare fraction", "\"0.148 in\"", "0.148", ("fastening.diameter", "diameter", "\"0.148 in\"")),
        change("a number without a unit", "\"24 in\"", "\"24\"", ("rafters[1].spacing", "spacing", "no unit")),
        change("another unit", "\"24 in\"", "\"24 yd\"", ("rafters[1].spacing", "spacing", "yd")),
        change("not a number", "\"24 in\"", "nan", ("rafters[1].spacing", "spacing", "not a number")),
        change("infinite", "\"24 in\"", "inf", ("rafters[1].spacing", "spacing", "not a number")),
        change("infinite in words", "\"24 in\"", "\"inf in\"", ("rafters[1].spacing", "spacing", "inf")),
        change("a power of ten", "\"24 in\"", "\"2e1 in\"", ("rafters[1].spacing", "spacing", "power of ten")),
        change("a kilometre", "\"12 ft\"", "\"1001 m\"", ("roof.eave", "eave", "beyond any roof")),
        change("past all reading", "\"12 ft\"", "\"99999999999999999999999999 ft\"", ("roof.eave", "eave", "large")),
        change("negative", "\"24 in\"", "\"-24 in\"", ("rafters[1].spacing", "spacing", "more than nothing")),
        change("nothing", "\"24 in\"", "\"0 in\"", ("rafters[1].spacing", "spacing", "more than nothing")),
        change("a zero course spacing", "\"16 in\"", "\"0 in\"", ("lattice.batten.spacing", "batten", "more than nothing")),
        change("an empty text", "\"24 in\"", "\"\"", ("rafters[1].spacing", "spacing", "empty")),
        change("mixed units", "\"24 in\"", "\"2 ft 10 mm\"", ("rafters[1].spacing", "spacing", "mixes")),
        change("a flag for a length", "\"24 in\"", "true", ("rafters[1].spacing", "spacing", "length")),
        change("a date for a length", "\"24 in\"", "2024-01-01", ("rafters[1].spacing", "spacing", "length")),
        change("a wrong word", "\"shed\"", "\"shad\"", ("roof.shape", "shape", "did you mean \"shed\"")),
        change("a word from nowhere", "\"inches\"", "\"qqq\"", ("units", "units", "\"millimetres\"")),
        change("too steep", "\"4:12\"", "\"88 deg\"", ("roof.pitch", "pitch", "no roof slope")),
        change("flat", "\"4:12\"", "\"0 deg\"", ("roof.pitch", "pitch", "no roof slope")),
        change("a pitch without a unit", "\"4:12\"", "30", ("roof.pitch", "pitch", "\"30 deg\"")),
        change("an unknown nominal size", "\"2x8\"", "\"3x9\"", ("rafters[1].section.nominal", "section", "no nominal size")),
        change("nominal and sizes at once", "\"2x8\" }", "\"2x8\", width = \"2 in\" }", ("rafters[1].section.width", "section", "not both")),
        change("no I-joist", "{ nominal = \"2x8\" }", "{ width = \"2 in\", depth = \"9 in\", flange = \"5 in\", web = \"3/8 in\" }", ("rafters[1].section", "section", "no I-joist")),
        change("another format", "format = 1", "format = 2", ("format", "format", "not known")),
        change("a flag in quotes", "spacing = \"24 in\"", "spacing = \"24 in\"\nlast = \"10 ft\"\nclose = \"yes\"", ("rafters[1].close", "close", "true or false")),
        append("a thick fastener", "head = \"0.1 in\"\n", ("fastening.head", "head", "not wider")),
        append("a count out of range", "per_landing = 9\n", ("fastening.per_landing", "per_landing", "between 1 and 6")),
        change("pennies for a length", "\"3 in\"", "\"10d\"", ("fastening.length", "length", "write diameter and length")),
        append("pennies for a kind", "kind = \"16d common\"\n", ("fastening.kind", "kind", "write diameter and length")),
        change("an inch mark in quotes", "eave = \"12 ft\"", "eave = \"12'-0\"\"", ("", "eave", "12 ft 6 in")),
        // What is never assumed.
        change("no section", "section = { nominal = \"2x8\" }\n", "", ("rafters[1].section", "[[rafters]]", "never assumed")),
        change("an empty section", "{ nominal = \"2x8\" }", "{ width = \"2 in\" }", ("rafters[1].section.depth", "section", "missing")),
        change("no spacing", "spacing = \"24 in\"\n", "", ("rafters[1].spacing", "[[rafters]]", "never assumed")),
        change("no diameter", "diameter = \"0.148 in\"\n", "", ("fastening.diameter", "[fastening]", "never assumed")),
        change("no length", "length = \"3 in\"\n", "", ("fastening.length", "[fastening]", "never assumed")),
        change("no fastening", "[fastening]\ndiameter = \"0.148 in\"\nlength = \"3 in\"\n", "", ("fastening", start, "[fastening]")),
        change("no rafters", "[[rafters]]\nsection = { nominal = \"2x8\" }\nspacing = \"24 in\"\n", "", ("rafters", start, "never assumed")),
        change("no batten", "batten = { nominal = \"1x4\", spacing = \"16 in\" }\n", "", ("lattice.batten", "[lattice]", "missing")),
        change("no course spacing", ", spacing = \"16 in\" }", " }", ("lattice.batten.spacing", "batten", "fixing pitch")),
        change("no name", "name = \"Faulty (invented)\"\n", "", ("name", start, "missing")),
        change("no units", "units = \"inches\"\n", "", ("units", start, "missing")),
        change("no pitch", "pitch = \"4:12\"\n", "", ("roof.pitch", "[roof]", "missing")),
        change("no shape", "shape = \"shed\"\n", "", ("roof.shape", "[roof]", "missing")),
        // Keys and tables.
        change("an unknown key", "spacing = \"24 in\"", "spacing = \"24 in\"\nlats = \"9 ft\"", ("rafters[1].lats", "lats", "did you mean `last`?")),
        append("an unknown table", "[latice]\n", ("latice", "[latice]", "did you mean `lattice`?")),
        append("a key from nowhere", "zzzz = 1\n", ("fastening.zzzz", "zzzz", "known here")),
        change("one table of several", "[[rafters]]", "[rafters]", ("rafters", "[rafters]", "double brackets")),
        change("several of one table", "[fastening]", "[[fastening]]", ("fastening", "[[fastening]]", "single brackets")),
        change("a value for a table", "[lattice]\nbatten = { nominal = \"1x4\", spacing = \"16 in\" }", "[lattice]\nbatten = \"1x4\"", ("lattice.batten", "batten", "table belongs")),
        change("a table for a value", "\"24 in\"", "{ inches = 24 }", ("rafters[1].spacing", "spacing", "one value belongs")),
        change("a list for a value", "\"24 in\"", "[\"24 in\"]", ("rafters[1].spacing", "spacing", "one value belongs")),
        change("a value for a list", "spacing = \"16 in\" }", "spacing = \"16 in\", stock = \"12 ft\" }", ("lattice.batten.stock", "batten", "in brackets")),
        change("close without last", "spacing = \"24 in\"", "spacing = \"24 in\"\nclose = true", ("rafters[1].close", "close", "last")),
        // One slip of the pen is one fault, also where something needed is misspelt.
        change("a needed key misspelt", "spacing = \"24 in\"", "spacnig = \"24 in\"", ("rafters[1].spacnig", "spacnig", "did you mean `spacing`?")),
        change("a needed size misspelt", "nominal = \"2x8\"", "nomnal = \"2x8\"", ("rafters[1].section.nomnal", "section", "did you mean `nominal`?")),
        change("a batten's size misspelt", "nominal = \"1x4\"", "nomnal = \"1x4\"", ("lattice.batten.nomnal", "batten", "did you mean `nominal`?")),
        change("a needed table misspelt", "[fastening]", "[fastning]", ("fastning", "[fastning]", "did you mean `fastening`?")),
        change("the roof misspelt", "[roof]", "[rof]", ("rof", "[rof]", "did you mean `roof`?")),
        whole("a slope's size misspelt", edited(SLOPES, "size = [\"6000 mm\", \"2000 mm\"]\n[[slope]]", "sise = [\"6000 mm\", \"2000 mm\"]\n[[slope]]"), vec![("slope[1].sise", "sise", "did you mean `size`?")]),
        whole("one of two slopes misspelt", edited(SLOPES, "[[slope]]\nname = \"N\"", "[[slop]]\nname = \"N\""), vec![("slop", "[[slop]]", "did you mean `slope`?")]),
        change("close beside a misspelt last", "spacing = \"24 in\"", "spacing = \"24 in\"\nlats = \"9 ft\"\nclose = true", ("rafters[1].lats", "lats", "did you mean `last`?")),
        append("measurements misspelt", "[[found.member]]\nname = \"S-R01\"\nofsets = []\n", ("found.member[1].ofsets", "ofsets", "did you mean `offsets`?")),
        change("a compass word from nowhere", "pitch = \"4:12\"", "pitch = \"4:12\"\nfacing = \"sunrise\"", ("roof.facing", "facing", "\"SE\"")),
        // Several in one table, and wrong shapes beside wrong values.
        whole("everything in one table", edited(BASE, "diameter = \"0.148 in\"\nlength = \"3 in\"\n", "diameter = 3\nlength = \"-3 in\"\nhead = true\nper_landing = 9\npattern = \"sideways\"\n"),
            vec![("fastening.diameter", "diameter", "without a unit"), ("fastening.length", "length", "more than nothing"), ("fastening.head", "head", "length"), ("fastening.per_landing", "per_landing", "between 1 and 6"), ("fastening.pattern", "pattern", "pattern")]),
        whole("a wrong shape hides nothing", edited(&edited(&edited(BASE, "[[rafters]]", "[rafters]"), "\"24 in\"", "24"), "\"3 in\"", "[3]"),
            vec![("rafters", "[rafters]", "double brackets"), ("rafters[1].spacing", "spacing", "without a unit"), ("fastening.length", "length", "one value belongs")]),
        whole("a slope at fault hides no edge and no opening", edited(&edited(SLOPES, "pitch = \"30 deg\"\nsize", "pitch = 30\nsize"), "shared_with = \"N.3\"", "shared_with = \"W.3\"\nhold_back = 3\n[[opening]]\nslope = \"E\"\nname = \"o\"\nat = [\"1 m\"]\nsize = [\"1 m\", \"1 m\"]"),
            vec![("slope[1].pitch", "pitch = 30\n", "\"30 deg\""), ("edge[1].shared_with", "shared_with", "no edge"), ("edge[1].hold_back", "hold_back", "without a unit"), ("opening[1].slope", "slope = \"E\"", "no slope"), ("opening[1].at", "at = ", "two lengths")]),
        whole("a name from nowhere beside a bad nail", format!("{}[[laid]]\nwhat = [\"tape\"]\nlines = [\"S-L99\"]\n[[found.member]]\nname = \"S-R99\"\noffsets = [{{ at = 3, off = \"1 in\" }}]\n", edited(BASE, "\"3 in\"", "3")),
            vec![("fastening.length", "length", "without a unit"), ("laid[1].lines[1]", "lines", "no line is named"), ("found.member[1].name", "name = \"S-R99\"", "no member is named"), ("found.member[1].offsets[1].at", "offsets", "without a unit")]),
        whole("no name is judged where rafters are at fault", format!("{}[[laid]]\nwhat = [\"tape\", \"battens\"]\nlines = [\"S-L99\"]\ncourses = [\"S-B99\"]\n", edited(BASE, "\"24 in\"", "24")),
            vec![("rafters[1].spacing", "spacing", "without a unit"), ("laid[1].courses[1]", "courses", "no course is named")]),
        whole("a source from nowhere beside another fault", format!("{BASE}[strength]\nconfirmed = [\"hearsay\"]\nwarn = 3.0\n"),
            vec![("strength.confirmed[1]", "confirmed", "no source"), ("strength.warn", "warn", "no share")]),
        // The roof.
        change("an overhang of the roof", "pitch", "overhang = \"16 in\"\npitch", ("roof.overhang", "overhang", "`low`")),
        change("a rise for a pitch", "pitch = \"4:12\"", "rise = \"4 in\"", ("roof.rise", "rise", "pitch = \"6:12\"")),
        change("a span of the roof", "pitch", "span = \"16 ft\"\npitch", ("roof.span", "span", "`width`")),
        change("a length of the roof", "eave = \"12 ft\"", "length = \"12 ft\"", ("roof.length", "length = \"12 ft\"", "`eave`")),
        change("a ridge of the roof", "pitch", "ridge = \"16 ft\"\npitch", ("roof.ridge", "ridge", "where the ridge lies")),
        change("a gable of the roof", "pitch", "gable = true\npitch", ("roof.gable", "gable", "shape = \"gable\"")),
        change("a spacing of the roof", "pitch", "spacing = \"25 in\"\npitch", ("roof.spacing", "spacing = \"25 in\"", "[[rafters]]")),
        change("a size of a section", "nominal = \"2x8\"", "size = \"2x8\"", ("rafters[1].section.size", "section", "`nominal`")),
        whole("a shape at fault hides no slope from nowhere", format!("{}{}", edited(BASE, "\"shed\"", "\"shad\""), edited(STRAPS, "along", "slopes = [\"X\"]\nalong")),
            vec![("roof.shape", "shape", "did you mean \"shed\""), ("straps[1].slopes[1]", "slopes", "no slope is named \"X\"")]),
        whole("names that a shape at fault leaves open", format!("{}{}", edited(BASE, "\"shed\"", "\"shad\""), edited(STRAPS, "along", "slopes = [\"N\"]\nalong")),
            vec![("roof.shape", "shape", "names of slopes were not checked")]),
        whole("names that a misspelt facing leaves open", format!("{}{}", edited(BASE, "pitch", "facng = \"N\"\npitch"), edited(STRAPS, "along", "slopes = [\"N\"]\nalong")),
            vec![("roof.facng", "facng", "names of slopes were not checked")]),
        append("both forms of a roof", "[[slope]]\nname = \"S\"\n", ("roof", "[roof]", "not both")),
        whole("no roof", edited(BASE, "[roof]\nshape = \"shed\"\neave = \"12 ft\"\nslope_length = \"8 ft\"\npitch = \"4:12\"\n", ""), vec![("roof", start, "[[slope]]")]),
        change("a gable without a width", "\"shed\"\neave = \"12 ft\"\nslope_length = \"8 ft\"", "\"gable\"\neave = \"12 ft\"", ("roof.width", "[roof]", "eave to eave")),
        change("a hip too short", "\"shed\"\neave = \"12 ft\"\nslope_length = \"8 ft\"", "\"hip\"\neave = \"12 ft\"\nwidth = \"13 ft\"", ("roof.eave", "eave", "not shorter")),
        whole("clockwise", outlined("[[\"0 mm\", \"0 mm\"], [\"0 mm\", \"2 m\"], [\"6 m\", \"2 m\"], [\"6 m\", \"0 mm\"]]"), vec![("slope[1].outline", "outline", "clockwise")]),
        whole("crossing itself", outlined("[[\"0 mm\", \"0 mm\"], [\"6 m\", \"2 m\"], [\"6 m\", \"0 mm\"], [\"0 mm\", \"2 m\"]]"), vec![("slope[1].outline", "outline", "meets edge")]),
        whole("two corners only", outlined("[[\"0 mm\", \"0 mm\"], [\"6 m\", \"0 mm\"]]"), vec![("slope[1].outline", "outline", "2 corners")]),
        whole("a corner twice", outlined("[[\"0 mm\", \"0 mm\"], [\"6 m\", \"0 mm\"], [\"6 m\", \"0 mm\"], [\"0 mm\", \"2 m\"]]"), vec![("slope[1].outline", "outline", "same place")]),
        whole("not from zero", outlined("[[\"1 m\", \"0 mm\"], [\"6 m\", \"0 mm\"], [\"6 m\", \"2 m\"]]"), vec![("slope[1].outline", "outline", "add -1000 mm to every x")]),
        whole("a corner of one length", outlined("[[\"0 mm\"], [\"6 m\", \"0 mm\"], [\"6 m\", \"2 m\"]]"), vec![("slope[1].outline[1]", "outline", "two lengths")]),
        whole("edges 5 mm apart", edited(SLOPES, "\"3464.1 mm\"", "\"3469.1 mm\""), vec![("edge.shared_with", "shared_with", "5 mm apart")]),
        whole("an edge with itself", edited(SLOPES, "shared_with = \"N.3\"", "shared_with = \"S.1\""), vec![("edge[1].shared_with", "[[edge]]", "another slope")]),
        whole("an unknown edge", edited(SLOPES, "edge = \"S.3\"", "edge = \"S.7\""), vec![("edge[1].edge", "edge = \"S.7\"", "S.1 to S.4")]),
        whole("two slopes of one name", edited(&edited(SLOPES, "name = \"N\"", "name = \"S\""), "[[edge]]\nedge = \"S.3\"\nshared_with = \"N.3\"\n", ""), vec![("slope[2].name", "name = \"S\"\nfacing", "unique")]),
        whole("a slope's name with a dot", edited(&edited(SLOPES, "name = \"N\"", "name = \"N.1\""), "[[edge]]\nedge = \"S.3\"\nshared_with = \"N.3\"\n", ""), vec![("slope[2].name", "name = \"N.1\"", "letters or digits")]),
        append("an opening outside", "[[opening]]\nname = \"hatch\"\nat = [\"11 ft\", \"2 ft\"]\nsize = [\"2 ft\", \"2 ft\"]\n", ("opening[1]", "[[opening]]", "does not lie inside")),
        append("an opening without size", "[[opening]]\nname = \"hatch\"\nat = [\"1 ft\", \"2 ft\"]\n", ("opening[1].size", "[[opening]]", "missing")),
        append("two openings of one name", "[[opening]]\nname = \"a\"\nat = [\"1 ft\", \"1 ft\"]\nsize = [\"1 ft\", \"1 ft\"]\n[[opening]]\nname = \"a\" # again\nat = [\"4 ft\", \"1 ft\"]\nsize = [\"1 ft\", \"1 ft\"]\n", ("opening[2].name", "name = \"a\" # again", "unique")),
        append("two openings in one place", "[[opening]]\nname = \"a\"\nat = [\"1 ft\", \"1 ft\"]\nsize = [\"1 ft\", \"1 ft\"]\n[[opening]] # b\nname = \"b\"\nat = [\"18 in\", \"1 ft\"]\nsize = [\"1 ft\", \"1 ft\"]\n", ("opening[2]", "[[opening]] # b", "overlap")),
        // Of the roof 12 ft by 8 ft. Nearer than a millimetre is touching.
        hole("an opening at the eave", "4 ft", "0 ft", ("opening[1]", "[[opening]]", "touches an edge of slope S")),
        hole("an opening at the left rake", "0 ft", "2 ft", ("opening[1]", "[[opening]]", "drawn in the slope's outline")),
        hole("an opening at the right rake", "10 ft", "2 ft", ("opening[1]", "[[opening]]", "touches an edge of slope S")),
        hole("an opening at the top", "4 ft", "6 ft", ("opening[1]", "[[opening]]", "touches an edge of slope S")),
        hole("an opening by a hair inside", "0.9 mm", "2 ft", ("opening[1]", "[[opening]]", "touches an edge of slope S")),
        hole("an opening by a hair outside", "-2 mm", "2 ft", ("opening[1]", "[[opening]]", "does not lie inside slope S")),
        holes("two openings side by side", "6 ft", "2 ft", ("opening[2]", "[[opening]] # b", "as one opening")),
        holes("two openings side by side from the right", "2 ft", "2 ft", ("opening[2]", "[[opening]] # b", "touch")),
        holes("two openings one above the other", "4 ft", "4 ft", ("opening[2]", "[[opening]] # b", "touch")),
        holes("two openings by a hair apart", "6 ft 0.02 in", "2 ft", ("opening[2]", "[[opening]] # b", "touch")),
        holes("two openings corner to corner", "6 ft", "4 ft", ("opening[2]", "[[opening]] # b", "touch")),
        whole("an opening found at the eave", opened("4 ft", "2 ft") + &found_hole("a", "4 ft", "0 ft"), vec![("found.opening[1]", "[[found.opening]]", "touches an edge of slope S")]),
        whole("an opening found beside another one", opened("4 ft", "2 ft") + &opened("1 ft", "2 ft").replace(BASE, "").replace("\"a\"", "\"b\"") + &found_hole("b", "2 ft", "2 ft"), vec![("found.opening[1]", "[[found.opening]]", "touch")]),
        append("a trim round nothing", "[[trim]]\nopening = \"hatch\"\nsection = { nominal = \"2x8\" }\n", ("trim[1].opening", "opening", "no opening is named")),
        append("a member of no length", "[[member]]\nkind = \"block\"\nsection = { nominal = \"2x4\" }\nfrom = [\"1 ft\", \"1 ft\"]\nto = [\"1 ft\", \"1 ft\"]\n", ("member[1].to", "[[member]]", "shorter than 10 mm")),
        // Straps that tie nothing.
        strap("a seam below the strap", "seam = \"20 in\"", "seam = \"10 in\"", ("straps[1].seam", "seam", "between the strap's ends")),
        strap("a seam above the strap", "seam = \"20 in\"", "seam = \"50 in\"", ("straps[1].seam", "seam", "between the strap's ends")),
        strap("a gap longer than the strap", "gap = \"2 in\"", "gap = \"60 in\"", ("straps[1].gap", "gap", "no nail is left on either side of the seam")),
        strap("no nail below the seam", "seam = \"20 in\"", "seam = \"11 1/2 in\"", ("straps[1].gap", "gap", "no nail is left below the seam")),
        strap("no nail above the seam", "seam = \"20 in\"", "seam = \"28 1/2 in\"", ("straps[1].gap", "gap", "stand at 11 in and 29 in")),
        strap("straps along nothing", "\"rafter\"", "\"fly rafter\"", ("straps[1].along", "along", "no fly rafter is drawn")),
        // Tables that make nothing.
        append("landings over nothing there", "[[landings]]\nover = [\"lookout\"]\n", ("landings[1].over[1]", "over", "no lookout is there")),
        append("landings over no kind", "[[landings]]\nover = []\n", ("landings[1].over", "[[landings]]", "over nothing")),
        whole("landings where another slope has lookouts", format!("{SLOPES}[[lookouts]]\nslopes = [\"N\"]\nsection = {{ nominal = \"2x4\" }}\nspacing = \"800 mm\"\nfirst = \"400 mm\"\nfrom = \"0 mm\"\nto = \"300 mm\"\n[[landings]]\nslopes = [\"S\"]\nover = [\"lookout\"]\n"),
            vec![("landings[1].over[1]", "over", "no lookout is there")]),
        change("rafters on no slope", "spacing = \"24 in\"", "spacing = \"24 in\"\nslopes = []", ("rafters[1].slopes", "[[rafters]]", "no slope is named")),
        append("straps on no slope", &STRAPS.replace("along", "slopes = []\nalong"), ("straps[1].slopes", "[[straps]]", "no slope is named")),
        append("laid on no slope", "[[laid]]\nwhat = [\"tape\"]\nslopes = []\n", ("laid[1].slopes", "[[laid]]", "no slope is named")),
        change("rafters that end before they begin", "spacing = \"24 in\"", "spacing = \"24 in\"\nfirst = \"5 ft\"\nlast = \"4 ft\"", ("rafters[1].last", "last", "lies before `first`")),
        change("rafters beyond the roof", "spacing = \"24 in\"", "spacing = \"24 in\"\nfirst = \"12 ft 1 in\"", ("rafters[1].first", "first", "nothing of this lies under the slope")),
        change("rafters above the roof", "spacing = \"24 in\"", "spacing = \"24 in\"\nlow = \"8 ft\"", ("rafters[1].low", "low", "nothing of this lies under the slope")),
        append("tails below the roof", "[[tails]]\nsection = { nominal = \"2x6\" }\nspacing = \"24 in\"\nhigh = \"0 in\"\n", ("tails[1].high", "high", "nothing of this lies under the slope")),
        append("tails that end before they begin", "[[tails]]\nsection = { nominal = \"2x6\" }\nspacing = \"24 in\"\nhigh = \"2 ft\"\nlast = \"0 in\"\n", ("tails[1].last", "last", "lies before `first`")),
        lookout("lookouts that end before they begin", "first = \"16 in\"", "first = \"4 ft\"\nlast = \"3 ft\"", ("lookouts[1].last", "last", "lies before `first`")),
        lookout("lookouts above the roof", "first = \"16 in\"", "first = \"97 in\"", ("lookouts[1].first", "first", "would lie under the slope")),
        lookout("lookouts beside the roof", "from = \"0 in\"\nto = \"12 in\"", "from = \"12 ft\"\nto = \"13 ft\"", ("lookouts[1].to", "to", "do not lie under the slope")),
        block("a row of blocks above the roof", "at = [\"4 ft\", \"100 ft\"]", ("blocking[1].at[2]", "at", "between 0 and")),
        block("no row of blocks", "at = []", ("blocking[1].at", "[[blocking]]", "no row")),
        block("blocks from right to left", "at = [\"4 ft\"]\nfrom = \"5 ft\"\nto = \"3 ft\"", ("blocking[1].to", "to", "not to the right of")),
        block("blocks beside the roof", "at = [\"4 ft\"]\nfrom = \"12 ft\"", ("blocking[1].from", "from", "nothing of this lies under the slope")),
        block("blocks left of the roof", "at = [\"4 ft\"]\nto = \"0 ft\"", ("blocking[1].to", "to", "nothing of this lies under the slope")),
        block("blocks in no whole bay", "at = [\"4 ft\"]\nfrom = \"5 ft\"\nto = \"6 ft\"", ("blocking[1]", "[[blocking]]", "no block comes of this")),
        change("courses that lie in one another", "spacing = \"16 in\"", "spacing = \"3 in\"", ("lattice.batten.spacing", "batten = {", "courses would lie in one another")),
        append("edges that leave nothing of the rafters", "[[edge]]\nedge = \"S.1\"\nframing_setback = \"5 ft\"\n[[edge]]\nedge = \"S.3\"\nframing_setback = \"5 ft\"\n", ("rafters[1]", "[[rafters]]", "nothing is left of S-R01 and 5 more of its kind")),
        append("a member beside its slope", "[[member]]\nkind = \"block\"\nsection = { nominal = \"2x4\" }\nfrom = [\"13 ft\", \"1 ft\"]\nto = [\"15 ft\", \"1 ft\"]\n", ("member[1]", "[[member]]", "under no part of slope S")),
        append("a member found beside its slope", "[found]\n[[found.added]]\nkind = \"block\"\nsection = { nominal = \"2x4\" }\nfrom = [\"1 ft\", \"9 ft\"]\nto = [\"3 ft\", \"9 ft\"]\n", ("found.added[1]", "[[found.added]]", "under no part of slope S")),
        // Names.
        change("an unknown slope", "spacing = \"24 in\"", "spacing = \"24 in\"\nslopes = [\"S\", \"E\"]", ("rafters[1].slopes[2]", "slopes", "no slope is named \"E\"")),
        append("an unknown member", "[found]\n[[found.member]]\nname = \"S-R99\"\nmissing = true\n", ("found.member[1].name", "name = \"S-R99\"", "no member is named")),
        append("an unknown landing", "[[move]]\nlanding = \"S-B01.L99\"\nup = \"1 in\"\n", ("move[1].landing", "landing", "no landing is named")),
        append("a move without its place", "[[move]]\nlanding = \"S-B02.L02\"\nup = \"1/4 in\"\n", ("move[1].at", "landing = \"S-B02.L02\"", "missing `at`: the place of S-B02.L02")),
        append("a move for another place", "[[move]]\nlanding = \"S-B02.L02\"\nat = [\"2 ft\", \"40 in\"]\nup = \"1/4 in\"\n", ("move[1].at", "landing = \"S-B02.L02\"", "does not lie where this move was written for")),
        append("a landing moved in two ways", "[[move]]\nlanding = \"S-B02.L02\"\nat = [\"24 3/4 in\", \"18 in\"]\nup = \"1/4 in\"\n[[move]]\nlanding = \"S-B02.L02\" # again\nat = [\"24 3/4 in\", \"18 in\"]\nup = \"1/8 in\"\n", ("move[2].landing", "landing = \"S-B02.L02\" # again", "is moved or skipped twice")),
        whole(
            "tape turned down over rakes that are none",
            edited(BASE, "[lattice]", "[lattice]\nturn_down = { rake = \"1 in\" }")
                + "[[edge]]\nedge = \"S.2\"\nkind = \"wall\"\n[[edge]]\nedge = \"S.4\"\nkind = \"wall\"\n",
            vec![("lattice.turn_down.rake", "turn_down", "no edge of this roof is of the kind rake")],
        ),
        append("an unknown landing skipped", "[[skip]]\nlanding = \"S-B01.L99\"\n", ("skip[1].landing", "landing", "no landing is named")),
        append("a skip without its place", "[[skip]]\nlanding = \"S-B02.L02\"\n", ("skip[1].at", "landing = \"S-B02.L02\"", "for which this skip is")),
        append("a skip for another place", "[[skip]]\nlanding = \"S-B02.L02\"\nat = [\"2 ft\", \"40 in\"]\n", ("skip[1].at", "landing = \"S-B02.L02\"", "does not lie where this skip was written for")),
        append("a landing skipped and moved", "[[move]]\nlanding = \"S-B02.L02\"\nat = [\"24 3/4 in\", \"17 3/4 in\"]\nup = \"1/4 in\"\n[[skip]]\nlanding = \"S-B02.L02\" # again\nat = [\"24 3/4 in\", \"17 3/4 in\"]\n", ("skip[1].landing", "landing = \"S-B02.L02\" # again", "twice")),
        append("a pattern from nowhere", "[[landing]]\ncourse = \"S-B02\"\nx = \"3 ft\"\npattern = \"along\"\n", ("landing[1].pattern", "pattern", "\"across\"")),
        append("an unknown course", "[[landing]]\ncourse = \"S-B99\"\nx = \"2 ft\"\n", ("landing[1].course", "course", "no course is named")),
        append("an unknown line", "[[laid]]\nwhat = [\"tape\"]\nlines = [\"S-L01\", \"S-L99\"]\n", ("laid[1].lines[2]", "lines", "no line is named")),
        append("an unknown course laid", "[[laid]]\nwhat = [\"battens\"]\ncourses = [\"S-B99\"]\n", ("laid[1].courses[1]", "courses", "no course is named")),
        append("an unknown opening found", "[[found.opening]]\nname = \"hatch\"\nat = [\"1 ft\", \"1 ft\"]\nsize = [\"1 ft\", \"1 ft\"]\n", ("found.opening[1].name", "name = \"hatch\"", "no opening is named")),
        append("an unknown slope found", "[[found.slope]]\nname = \"E\"\nsize = [\"12 ft\", \"8 ft\"]\n", ("found.slope[1].name", "name = \"E\"", "no slope is named")),
        append("nothing laid", "[[laid]]\nlines = [\"S-L01\"]\n", ("laid[1].what", "[[laid]]", "missing")),
        append("an unknown thing laid", "[[laid]]\nwhat = [\"tapes\"]\n", ("laid[1].what[1]", "what", "did you mean \"tape\"?")),
        append("found twice", "[[found.member]]\nname = \"S-R01\"\nmissing = true\n[[found.member]]\nname = \"S-R01\" # again\noffsets = [{ at = \"1 ft\", off = \"1/4 in\" }]\n", ("found.member[2].name", "name = \"S-R01\" # again", "twice")),
        append("missing and measured", "[[found.member]]\nname = \"S-R01\"\nmissing = true\noffsets = [{ at = \"0 in\", off = \"1 in\" }]\n", ("found.member[1]", "[[found.member]]", "not both")),
        append("found far away", "[[found.member]]\nname = \"S-R01\"\noffsets = [{ at = \"0 in\", off = \"2 ft\" }]\n", ("found.member[1].offsets", "[[found.member]]", "another member")),
        // Not TOML.
        whole("not TOML", "Dear builder,\n", vec![("", "Dear", "not TOML")]),
        change("a quote short", "\"24 in\"", "\"24 in", ("", "spacing = \"24 in\n", "not TOML")),
        change("a key twice", "spacing = \"24 in\"", "spacing = \"24 in\"\nspacing = \"16 in\" # twice", ("", "spacing = \"16 in\" # twice", "not TOML")),
        // Absurd sizes.
        change("rafters by the thousandth", "\"24 in\"", "\"0.001 in\"", ("rafters[1].spacing", "spacing", "overlap")),
        change("courses by the thousandth", "\"16 in\"", "\"0.001 in\"", ("lattice.batten.spacing", "batten", "right unit")),
        whole("more landings than any roof", edited(&edited(&edited(&edited(BASE, "\"12 ft\"", "\"900 m\""), "\"8 ft\"", "\"900 m\""), "\"24 in\"", "\"2 in\""), "\"16 in\"", "\"4 in\""), vec![("lattice.batten.spacing", "batten", "5 million")]),
        change("a nail for a tree", "length = \"3 in\"", "length = \"25 in\"", ("fastening.length", "length", "the most that is taken is 24 in")),
        append("a nail for a tree in a strap", &edited(STRAPS, "\"1 1/2 in\"", "\"1.5 m\""), ("straps[1].nails.length", "nails", "the most that is taken is 24 in")),
        append("a strap for a bridge", &edited(STRAPS, "width = \"1 in\"", "width = \"1 m\""), ("straps[1].width", "width", "right unit")),
        append("a slab of a strap", &edited(STRAPS, "\"1/16 in\"", "\"2 in\""), ("straps[1].thickness", "thickness", "right unit")),
        append("a slab of a membrane", "[membrane]\nthickness = \"26 mm\"\n", ("membrane.thickness", "thickness", "the most that is taken is 1 in")),
        append("a slab of a deck", "[deck]\nthickness = \"18 in\"\n", ("deck.thickness", "thickness", "the most that is taken is 12 in")),
        change("a sheet of tape", "[lattice]\n", "[lattice]\ntape = { width = \"2 ft 1 in\" }\n", ("lattice.tape.width", "tape", "the most that is taken is 24 in")),
        change("a slab of tape", "[lattice]\n", "[lattice]\ntape = { thickness = \"1 1/8 in\" }\n", ("lattice.tape.thickness", "tape", "the most that is taken is 1 in")),
        change("a sheet of strip", "[lattice]\n", "[lattice]\nstrip = { width = \"1 m\" }\n", ("lattice.strip.width", "strip", "the most that is taken is 24 in")),
        change("a sheet of wide strip", "[lattice]\n", "[lattice]\nstrip = { wide = \"1 m\" }\n", ("lattice.strip.wide", "strip", "the most that is taken is 24 in")),
        change("a wall of strips", "[lattice]\n", "[lattice]\nstrip = { height = \"375 mm\" }\n", ("lattice.strip.height", "strip", "the most that is taken is 12 in")),
        change("a sheet of vent", "[lattice]\n", "[lattice]\nvent = { width = \"1 m\" }\n", ("lattice.vent.width", "vent", "the most that is taken is 24 in")),
        change("a beam of a batten", "nominal = \"1x4\", spacing", "width = \"89 mm\", thickness = \"19 in\", spacing", ("lattice.batten.thickness", "batten", "the most that is taken is 12 in")),
        change("a sheet of batten", "nominal = \"1x4\", spacing", "width = \"89 in\", thickness = \"19 mm\", spacing", ("lattice.batten.width", "batten", "the most that is taken is 24 in")),
        change("a rafter for a dam", "section = { nominal = \"2x8\" }", "section = { width = \"45 mm\", depth = \"195 in\" }", ("rafters[1].section.depth", "section", "the most that is taken is 10 ft")),
        append("a block for a dam", "[found]\n[[found.added]]\nkind = \"block\"\nsection = { width = \"4 m\", depth = \"95 mm\" }\nfrom = [\"1 ft\", \"4 ft\"]\nto = [\"3 ft\", \"4 ft\"]\n", ("found.added[1].section.width", "section", "the most that is taken is 10 ft")),
        append("an embedment of a pile", "[limits]\nembedment = \"25 in\"\n", ("limits.embedment", "embedment", "the most that is taken is 24 in")),
        append("a run of a bridge", "[limits]\nrun = \"24 ft\"\nend_run = \"21 ft\"\n", ("limits.run", "run", "the most that is taken is 20 ft")).and(("limits.end_run", "end_run", "the most that is taken is 20 ft")),
        // Several at once.
        whole("several at once", edited(&edited(&edited(&edited(BASE, "\"24 in\"", "24"), "\"shed\"", "\"shad\""), "\"3 in\"", "\"3 inn\""), "nominal = \"1x4\"", "nominal = \"1x4\", wide = 3"),
            vec![("roof.shape", "shape", "did you mean"), ("rafters[1].spacing", "spacing", "without a unit"), ("lattice.batten.wide", "batten", "unknown key"), ("fastening.length", "length", "inn")]),
        whole("empty", "", vec![("format", start, "missing"), ("name", start, "missing"), ("units", start, "missing"), ("roof", start, "no slopes"), ("rafters", start, "no framing"), ("lattice.batten", start, "missing"), ("fastening", start, "missing")]),
    ]
}

fn faults(text: &str) -> Faults {
    match Plan::from_text("faulty.toml", text) {
        Err(faults) => faults,
        Ok(_) => panic!("planned without a fault:\n{text}"),
    }
}

#[test]
fn the_base_designs_are_without_a_fault() {
    let longer = "[[found.slope]]\nname = \"S\"\nsize = [\"12 ft\", \"10 ft\"]\n[[found.added]]\nkind = \"block\"\nsection = { nominal = \
                  \"2x4\" }\nfrom = [\"1 ft\", \"9 ft\"]\nto = [\"3 ft\", \"9 ft\"]\n[[landings]]\nover = [\"block\"]\n";
    for text in [
        BASE,
        SLOPES,
        &format!("{BASE}{longer}"),
        &format!("{BASE}{STRAPS}"),
        &(opened("2 ft", "2 ft") + &opened("6 ft", "1.1 mm").replace(BASE, "").replace("\"a\"", "\"b\"")),
        &outlined("[[\"0 mm\", \"0 mm\"], [\"6 m\", \"0 mm\"], [\"6 m\", \"2 m\"], [\"0 mm\", \"2 m\"]]"),
    ] {
        common::run_good(text);
    }
}

#[test]
fn every_fault_is_told_with_its_place() {
    let cases = cases();
    assert!(cases.len() >= 40);
    let mut wrong = Vec::new();
    for case in cases {
        let told = match Plan::from_text("faulty.toml", &case.text) {
            Err(faults) => faults,
            Ok(_) => {
                wrong.push(format!("{}: planned without a fault", case.name));
                continue;
            }
        };
        let line_of = |opening: &str| {
            let at = if opening.is_empty() { 0 } else { case.text.rfind(&format!("\n{opening}")).map_or(0, |i| i + 1) };
            case.text[..at].matches('\n').count() + 1
        };
        let mut left: Vec<_> = told.faults.iter().map(|f| (f, line_column(&case.text, f.span.start).0)).collect();
        for (key, opening, word) in &case.faults {
            let line = line_of(opening);
            let here = left
                .iter()
                .position(|(f, l)| f.key == *key && *l == line && (f.message.contains(word) || f.hint.contains(word)));
            match here {
                Some(i) => drop(left.remove(i)),
                None => wrong.push(format!("{}: no fault of {key:?} in line {line} that says {word:?}", case.name)),
            }
        }
        for (f, line) in left {
            wrong.push(format!("{}: also told: {:?} line {line}: {} ({})", case.name, f.key, f.message, f.hint));
        }
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn the_text_of_a_fault_has_file_line_column_key_and_help() {
    let mut wrong = Vec::new();
    for case in cases() {
        let told = faults(&case.text);
        let text = told.render(false);
        assert!(!told.faults.is_empty());
        for f in &told.faults {
            let (line, column) = line_column(&case.text, f.span.start);
            let key = if f.key.is_empty() { String::new() } else { format!(", key {}", f.key) };
            let place = format!("at faulty.toml line {line}, column {column}{key}\n");
            if !text.contains(&place) {
                wrong.push(format!("{}: no {place:?} in\n{text}", case.name));
            }
            if f.hint.trim().is_empty() || !text.contains(f.hint.lines().next().unwrap_or_default()) {
                wrong.push(format!("{}: no help with {:?}: {}", case.name, f.key, f.message));
            }
        }
        let n = told.faults.len();
        assert!(
            text.ends_with(&format!(
                "{n} fault{} in faulty.toml; nothing was written\n",
                if n == 1 { "" } else { "s" }
            ))
        );
        assert_eq!(text.matches("error:").count(), n, "{text}");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn edges_that_miss_each_other_say_what_would_close_the_gap() {
    let told = faults(&edited(SLOPES, "\"3464.1 mm\"", "\"3469.1 mm\""));
    let fault = &told.faults[0];
    assert!(fault.message.contains("S.3 and N.3") && fault.message.contains("5 mm apart"), "{}", fault.message);
    // The second slope stands 5 mm too far north.
    assert!(fault.hint.contains("move slope N by 0 mm east, -5 mm north, 0 mm up"), "{}", fault.hint);
    let told = faults(&edited(
        SLOPES,
        "size = [\"6000 mm\", \"2000 mm\"]\n[[edge]]",
        "size = [\"6010 mm\", \"2000 mm\"]\n[[edge]]",
    ));
    assert!(told.faults[0].hint.contains("10 mm longer"), "{}", told.faults[0].hint);
}

/// What a move says is tied to a place: under another layout its landing's name is another's, and the move is refused.
#[test]
fn a_move_reaches_no_landing_but_the_one_it_was_written_for() {
    let moved = |layout: &str, landing: &str| {
        let text = BASE.replace("spacing = \"16 in\"", layout);
        format!("{text}[[move]]\nlanding = \"{landing}\"\nat = [\"24 3/4 in\", \"49 3/4 in\"]\nup = \"1/4 in\"\n")
    };
    let plan = Plan::from_text("design.toml", &moved("spacing = \"16 in\"", "S-B04.L02")).expect("its own place");
    let on = &plan.lattice.slopes[0];
    let place = |plan: &Plan| {
        let l = plan.lattice.slopes[0].landings.iter().find(|l| on.landing_name(l, &plan.found) == "S-B04.L02");
        l.map(|l| l.y).expect("the landing")
    };
    let unmoved = Plan::from_text("design.toml", BASE).expect("the base");
    assert!((place(&plan) - place(&unmoved) - 0.00635).abs() < 1e-9, "a quarter inch up");
    // A first course 3/4 in further up keeps the place as good as it is; 24 in courses do not.
    assert!(Plan::from_text("d", &moved("spacing = \"16 in\", first = \"2 1/2 in\"", "S-B04.L02")).is_ok());
    let refused = faults(&moved("spacing = \"24 in\"", "S-B04.L02"));
    assert_eq!(refused.faults.len(), 1);
    assert!(refused.faults[0].message.contains("does not lie where this move was written for"), "{refused:?}");
    assert!(refused.faults[0].hint.contains("S-B03.L02 lies there now"), "{}", refused.faults[0].hint);
    let gone = faults(&moved("spacing = \"16 in\"", "S-B04.L02.r"));
    assert!(gone.faults[0].hint.contains("S-B04.L02 lies there now"), "{}", gone.faults[0].hint);
}

/// A table that stands twice word for word says nothing new, whatever its keys' order; the findings are the same.
#[test]
fn what_stands_twice_word_for_word_counts_once() {
    let once = "[[move]]\nlanding = \"S-B02.L02\"\nat = [\"24 3/4 in\", \"17 3/4 in\"]\nup = \"1/4 in\"\n\
                [[landing]]\ncourse = \"S-B03\"\nx = \"30 in\"\n[[edge]]\nedge = \"S.2\"\nhold_back = \"1 in\"\n\
                [[found.added]]\nkind = \"block\"\nslope = \"S\"\nsection = { nominal = \"2x4\" }\n\
                from = [\"26 in\", \"33 in\"]\nto = [\"46 in\", \"33 in\"]\n\
                [[gap]]\ncourse = \"S-B05\"\nfrom = \"30 in\"\nto = \"31 in\"\n";
    let again = once.replace(
        "landing = \"S-B02.L02\"\nat = [\"24 3/4 in\", \"17 3/4 in\"]\nup = \"1/4 in\"",
        "up = \"1/4 in\"\nat = [\"24 3/4 in\", \"17 3/4 in\"]\nlanding = \"S-B02.L02\"",
    );
    assert_ne!(once, again);
    let one = common::run_good(&format!("{BASE}{once}"));
    let two = common::run_good(&format!("{BASE}{once}{again}"));
    let parts = |run: &common::Run| run.parts.iter().map(|p| (p.name.clone(), p.corners.clone())).collect::<Vec<_>>();
    assert_eq!(parts(&one), parts(&two));
    let messages = |run: &common::Run| run.findings.iter().map(|f| f.message.clone()).collect::<Vec<_>>();
    assert_eq!(messages(&one), messages(&two));
}

/// Names of slopes name files: no two that differ in capitals only, and none that a system keeps for a device.
#[test]
fn slopes_have_names_that_files_can_have() {
    for (old, new, message) in [
        ("name = \"N\"", "name = \"s\"", "differ in capitals only"),
        ("name = \"N\"", "name = \"Nul\"", "for a device"),
        ("name = \"N\"", "name = \"COM1\"", "for a device"),
        ("name = \"N\"", "name = \"lpt9\"", "for a device"),
    ] {
        let text = SLOPES
            .replace(old, new)
            .replace("shared_with = \"N.3\"", &format!("shared_with = \"{}.3\"", &new[8..new.len() - 1]));
        let faults = faults(&text);
        assert_eq!(faults.faults.len(), 1, "{new}: {faults:?}");
        assert!(faults.faults[0].message.contains(message), "{new}: {}", faults.faults[0].message);
        assert_eq!(faults.faults[0].key, "slope[2].name");
    }
    for fine in ["comb", "com10", "nulls"] {
        let text =
            SLOPES.replace("name = \"N\"", &format!("name = \"{fine}\"")).replace("\"N.3\"", &format!("\"{fine}.3\""));
        assert!(Plan::from_text("d", &text).is_ok(), "{fine}");
    }
}

/// A fault elsewhere must not let a size through that would make more boards than memory holds.
#[test]
fn sizes_are_bounded_whatever_else_is_wrong() {
    let lap = |least: &str| {
        let batten = format!(
            "batten = {{ nominal = \"1x4\", spacing = \"16 in\", stock = [\"4 ft\"], joint = \"lap\", lap = \"1219.19 mm\", least_piece = {least} }}"
        );
        BASE.replace("batten = { nominal = \"1x4\", spacing = \"16 in\" }", &batten)
    };
    for least in ["\"1e-308 mm\"", "\"0 mm\"", "\"1 me\"", "7", "\"0.001 mm\"", "\"0.009 mm\"", "\"0.011 mm\""] {
        assert!(!faults(&lap(least)).faults.is_empty(), "{least}");
    }
    for eave in ["0.00015 mm", "0.0001 mm", "1 mm", "3 in"] {
        let text = BASE.replace("eave = \"12 ft\"", &format!("eave = \"{eave}\""));
        let told = faults(&text);
        assert_eq!(told.faults.len(), 1, "{eave}: {told:?}");
        assert!(told.faults[0].key.starts_with("roof"), "{eave}");
    }
}

/// Sizes of which each line, course or strap bears as many as come of them, and the roof does not.
#[test]
fn sizes_that_only_the_whole_roof_makes_too_many_are_refused() {
    let wide = BASE.replace("12 ft", "300 m").replace("8 ft", "60 m").replace("24 in", "300 mm");
    let batten = "batten = { nominal = \"1x4\", spacing = \"16 in\"";
    let straps =
        STRAPS.replace("\"10 in\"", "\"1 m\"").replace("\"30 in\"", "\"51 m\"").replace("\"20 in\"", "\"26 m\"");
    let cases = [
        ("lattice.strip.stock", edited(&wide, "[lattice]\n", "[lattice]\nstrip = { stock = \"10 mm\" }\n")),
        (
            "lattice.batten.stock",
            edited(
                &wide,
                batten,
                &format!(
                    "{batten}, stock = [\"4 ft\"], joint = \"lap\", lap = \"1205 mm\", least_piece = \"14 mm\", joint_gap = \"1 mm\""
                ),
            ),
        ),
        (
            "straps[1].nails.spacing",
            format!("{wide}{}", straps.replace("spacing = \"2 in\"", "spacing = \"70 mm\"").repeat(9)),
        ),
        ("landings[1].spacing", format!("{wide}[[landings]]\nover = [\"block\"]\nspacing = \"5 mm\"\n")),
    ];
    for (key, text) in cases {
        let told = faults(&text);
        let many = told.faults.iter().find(|f| f.key == key).unwrap_or_else(|| panic!("{key}: {told:?}"));
        assert!(many.message.starts_with("about ") && many.message.ends_with("on the roof"), "{}", many.message);
    }
}

#[test]
fn absurd_texts_are_refused() {
    let deep = |n: usize| format!("{BASE}x = {}{}\n", "[".repeat(n), "]".repeat(n));
    let tables = |n: usize| format!("{BASE}x = {}1{}\n", "{ a = ".repeat(n), " }".repeat(n));
    let dotted = |n: usize| format!("{BASE}x{} = 1\n", ".x".repeat(n));
    let many = |n: usize| {
        let one =
            |i: usize| format!("[[opening]]\nname = \"a\"\nat = [\"1 ft\", \"1 ft\"]\nsize = [\"1 ft\", \"{i} mm\"]\n");
        format!("{BASE}{}", (1..=n).map(one).collect::<String>())
    };
    let texts = [
        ("lists in lists", deep(100_000)),
        ("tables in tables", tables(50_000)),
        ("a key of many dots", dotted(50_000)),
        ("many openings in one place", many(2_000)),
        ("one long line", format!("{BASE}x = \"{}\"\n", "é".repeat(500_000))),
        ("many unknown keys", format!("{BASE}{}", (0..2_000).map(|i| format!("k{i} = 1\n")).collect::<String>())),
        (
            "a kilometre of thousandths",
            BASE.replace("12 ft", "1000 m").replace("8 ft", "1000 m").replace("24 in", "0.001 mm"),
        ),
        ("a strip of dust", edited(BASE, "[lattice]\n", "[lattice]\nstrip = { stock = \"0.001 mm\" }\n")),
        ("landings of dust", format!("{BASE}[[landings]]\nover = [\"block\"]\nspacing = \"0.00001 mm\"\n")),
    ];
    for (name, text) in texts {
        let (told, rendered) = ended(move || {
            let told = faults(&text);
            let rendered = told.render(false);
            (told, rendered)
        })
        .unwrap_or_else(|| panic!("{name}: does not end"));
        assert!(!told.faults.is_empty() && !rendered.is_empty(), "{name}");
    }
}

/// Runs a piece of work in a thread of its own; `None` where it seems never to end. The patience is a watch-dog and no measure
/// of speed: it is hundreds of times what any work here takes on a machine of its own, and nothing that a program counts
/// tells a run that never ends.
fn ended<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Option<T> {
    const PATIENCE: Duration = Duration::from_secs(1200);
    let (told, hears) = channel();
    std::thread::spawn(move || {
        // Nobody listens any more once patience has run out.
        let _ = told.send(work());
    });
    hears.recv_timeout(PATIENCE).ok()
}

#[test]
fn a_dense_roof_on_which_no_move_helps_is_checked_to_the_end() {
    // Some 4000 landings, none of which any move would bring clear of its rafter's sides.
    let text = edited(&edited(BASE, "\"24 in\"", "\"4 in\""), "\"16 in\"", "\"4 in\"");
    let text = edited(&edited(&text, "\"0.148 in\"", "\"0.31 in\""), "\"3 in\"", "\"5 in\"");
    let text = format!("{text}[limits]\nhair = \"0 mm\"\n");
    let run = common::run_good(&text.replace("\"8 ft\"", "\"2 ft\""));
    assert!(
        run.of("near-member-side").all(|f| f.mends.is_empty() && !f.advice.is_empty())
            && run.of("near-member-side").count() > 50
    );
    let text = text.replace("\"8 ft\"", "\"18 ft\"").replace("\"12 ft\"", "\"24 ft\"");
    let run = ended(move || common::run_good(&text));
    assert!(run.expect("it does not end").header.landings > 3_500);
}

/// A small generator of numbers (SplitMix64 of Steele, Lea and Flood, 2014, from memory): the same mutants on every run.
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: usize) -> usize {
        (self.next() % n.max(1) as u64) as usize
    }

    fn of<'a, T>(&mut self, all: &'a [T]) -> &'a T {
        &all[self.below(all.len())]
    }
}

const ODD: [&str; 12] = ["é", "🏠", "\u{202e}", "\u{0}", "\u{feff}", "″", "½", "\\", "\"", "'''", "\r", "\u{7f}"];
const VALUES: [&str; 16] = [
    "\"0 in\"",
    "\"-3 in\"",
    "\"1000 m\"",
    "\"0.01 mm\"",
    "nan",
    "-inf",
    "[]",
    "{}",
    "true",
    "9223372036854775807",
    "\"\"",
    "\"1 in\"",
    "\"40 ft\"",
    "\"89 deg\"",
    "[\"1 ft\", \"1 ft\"]",
    "\"S\"",
];

fn mutate(text: &str, dice: &mut Dice, others: &[String]) -> String {
    let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let n = lines.len();
    let digit = |text: &str, dice: &mut Dice, put: fn(char, char) -> String| {
        let digits: Vec<usize> = text.char_indices().filter(|(_, c)| c.is_ascii_digit()).map(|(i, _)| i).collect();
        if digits.is_empty() {
            return text.to_owned();
        }
        let at = *dice.of(&digits);
        let other = char::from(b'0' + dice.below(10) as u8);
        format!("{}{}{}", &text[..at], put(char::from(text.as_bytes()[at]), other), &text[at + 1..])
    };
    let boundary = |text: &str, dice: &mut Dice| {
        let mut at = dice.below(text.len() + 1);
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    match dice.below(13) {
        0 => drop(lines.remove(dice.below(n))),
        1 => {
            let i = dice.below(n);
            lines.insert(i, lines[i].clone());
        }
        2 => lines.swap(dice.below(n), dice.below(n)),
        3 | 4 => return digit(text, dice, |_, other| other.to_string()),
        5 => return digit(text, dice, |_, _| String::new()),
        6 => return digit(text, dice, |this, other| format!("{this}{other}")),
        7 => {
            let marks: Vec<usize> =
                text.char_indices().filter(|(_, c)| "\"[]{}=,".contains(*c)).map(|(i, _)| i).collect();
            if !marks.is_empty() {
                let at = *dice.of(&marks);
                return format!("{}{}", &text[..at], &text[at + 1..]);
            }
        }
        8 => {
            let at = boundary(text, dice);
            return format!("{}{}{}", &text[..at], dice.of(&ODD), &text[at..]);
        }
        9 => {
            let at = boundary(text, dice);
            return text[..at].to_owned();
        }
        10 => {
            let (a, b) = (boundary(text, dice), boundary(text, dice));
            let (a, b) = (a.min(b), a.max(b).min(a.min(b) + 40));
            let b = (b..=text.len()).find(|i| text.is_char_boundary(*i)).unwrap();
            return format!("{}{}", &text[..a], &text[b..]);
        }
        11 => {
            let other: Vec<&str> = dice.of(others).split('\n').collect();
            let line = (*dice.of(&other)).to_owned();
            lines.insert(dice.below(n), line);
        }
        _ => {
            let keyed: Vec<usize> = (0..n).filter(|i| lines[*i].contains(" = ")).collect();
            if !keyed.is_empty() {
                let i = *dice.of(&keyed);
                let key = lines[i].split(" = ").next().unwrap_or_default().to_owned();
                lines[i] = format!("{key} = {}", dice.of(&VALUES));
            }
        }
    }
    lines.join("\n")
}

/// What became of a mutant.
enum Fate {
    Planned,
    Refused(Faults),
}

fn fate(text: &str) -> Fate {
    match Plan::from_text("mutant.toml", text) {
        Err(faults) => Fate::Refused(faults),
        Ok(_) => {
            let run = common::run_good(text);
            assert_eq!(run.parts.len(), run.part_count, "a walk visits what it promises");
            assert!(run.parts.iter().all(|p| p.volume > 0.0), "a part has no volume");
            let mut names = BTreeSet::new();
            for p in &run.parts {
                assert!(names.insert(p.name.as_str()), "{} stands twice", p.name);
            }
            Fate::Planned
        }
    }
}

#[test]
fn no_mutant_of_any_design_makes_the_program_stumble() {
    const MUTANTS: usize = 1_500;
    let starters: Vec<String> = STARTERS.iter().map(|(s, u)| starter(s, u)).collect();
    let examples: Vec<String> = EXAMPLES.iter().map(|e| example(e)).collect();
    let all: Vec<String> = starters.iter().chain(&examples).cloned().collect();
    let mut dice = Dice(20_240_229);
    let (mut planned, mut refused) = (0, 0);
    let mut stumbled = Vec::new();
    for k in 0..MUTANTS {
        // Mostly small ones, for speed.
        let mut text = if k % 6 == 0 { dice.of(&examples) } else { dice.of(&starters) }.clone();
        for _ in 0..1 + dice.below(3) {
            text = mutate(&text, &mut dice, &all);
        }
        // In a thread of its own, so that one that never ends is noticed.
        let mutant = text.clone();
        match ended(move || catch_unwind(AssertUnwindSafe(|| fate(&mutant)))) {
            Some(Ok(Fate::Planned)) => planned += 1,
            Some(Ok(Fate::Refused(faults))) => {
                refused += 1;
                let silent = faults.faults.is_empty() || faults.faults.iter().any(|f| f.message.trim().is_empty());
                let rendered = catch_unwind(AssertUnwindSafe(|| faults.render(false)));
                if silent || rendered.is_err() {
                    stumbled
                        .push(format!("mutant {k} is refused without a word, or its faults cannot be shown:\n{text}"));
                }
            }
            Some(Err(panic)) => {
                let said =
                    panic.downcast_ref::<String>().cloned().or(panic.downcast_ref::<&str>().map(|s| (*s).to_owned()));
                stumbled.push(format!("mutant {k} panics: {}\n{text}", said.unwrap_or_default()));
            }
            None => stumbled.push(format!("mutant {k} does not end:\n{text}")),
        }
        if stumbled.len() >= 5 {
            break;
        }
    }
    assert!(stumbled.is_empty(), "{}", stumbled.join("\n==========\n"));
    assert!(planned > MUTANTS / 10 && refused > MUTANTS / 10, "{planned} planned, {refused} refused");
}
