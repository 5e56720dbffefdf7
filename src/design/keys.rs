//! Unknown keys and misplaced tables, all at once.
//!
//! The file's own types are the list of known keys: their JSON Schema is walked beside the parsed document. So a key can
//! never be known to the reader and unknown here, or the other way round. What stands in the wrong shape is told and then
//! put right in the document, as well as that can be guessed, so that everything behind it is judged in the same run.

use std::collections::BTreeSet;

use serde_json::Value;
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use super::diagnostic::Diagnostic;
use super::written::nearest;

/// Faults of the document's shape, and which keys they speak for.
#[derive(Default)]
pub struct ShapeFaults {
    /// What was found.
    pub faults: Vec<Diagnostic>,
    /// Keys about which everything is said already: what a misspelt key was meant to be, and what stood in a wrong shape.
    pub told: Vec<Told>,
}

/// A key about which everything is said already.
pub struct Told {
    /// The key, such as `rafters[1].spacing`.
    pub key: String,
    /// Nothing below it can be judged either.
    whole: bool,
    /// The key itself stands in the file as well, and is judged for itself.
    there: bool,
}

impl Told {
    /// Whether a fault at `key` says what is said already.
    pub fn covers(&self, key: &str) -> bool {
        let rest = if self.there { None } else { key.strip_prefix(self.key.as_str()) };
        rest.is_some_and(|rest| rest.is_empty() || self.whole && (rest.starts_with('.') || rest.starts_with('[')))
    }
}

/// Walks document and schema together, and puts right what has the wrong shape.
pub fn check(document: &mut Spanned<DeTable<'_>>, schema: &Value) -> ShapeFaults {
    let mut found = ShapeFaults::default();
    table(document.get_mut(), schema, schema, "", &mut found);
    found
}

/// Tables that draw something: one that stands twice draws two things in one place, which is a clash to be told.
const DRAW: [&str; 9] = ["slope", "opening", "rafters", "tails", "lookouts", "blocking", "trim", "member", "straps"];

/// Keys of tables that stand in the file a second time, word for word, such as `move[3]`: a change that was made twice. They
/// say nothing new, so they are passed over.
pub fn doubles(document: &DeTable<'_>, path: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for (key, value) in document.iter() {
        let name = key.get_ref().as_ref();
        let path = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
        match value.get_ref() {
            DeValue::Table(inner) => found.extend(doubles(inner, &path)),
            DeValue::Array(items)
                if !DRAW.contains(&path.as_str()) && items.iter().all(|i| matches!(i.get_ref(), DeValue::Table(_))) =>
            {
                let mut seen = BTreeSet::new();
                let again = items.iter().enumerate().filter(|(_, item)| !seen.insert(plain(item.get_ref())));
                found.extend(again.map(|(i, _)| format!("{path}[{}]", i + 1)));
            }
            DeValue::Array(_)
            | DeValue::String(_)
            | DeValue::Integer(_)
            | DeValue::Float(_)
            | DeValue::Boolean(_)
            | DeValue::Datetime(_) => {}
        }
    }
    found
}

/// A value as text that is the same for the same value, wherever it stands and in whatever order its keys do.
fn plain(value: &DeValue<'_>) -> String {
    match value {
        DeValue::Table(inner) => {
            let mut keys: Vec<String> =
                inner.iter().map(|(k, v)| format!("{:?}={}", k.get_ref(), plain(v.get_ref()))).collect();
            keys.sort();
            format!("{{{}}}", keys.join(","))
        }
        DeValue::Array(items) => {
            format!("[{}]", items.iter().map(|i| plain(i.get_ref())).collect::<Vec<_>>().join(","))
        }
        DeValue::String(text) => format!("{text:?}"),
        DeValue::Integer(n) => n.to_string(),
        DeValue::Float(n) => n.to_string(),
        DeValue::Boolean(flag) => flag.to_string(),
        DeValue::Datetime(when) => when.to_string(),
    }
}

/// Every key of the design file, in the order of the schema: its path, such as `air.free_area.eave`, and what is said of it.
pub fn listed() -> Vec<(String, String)> {
    let root = super::schema();
    let mut all = Vec::new();
    list(root, root, "", &mut all);
    all
}

fn list(schema: &Value, root: &Value, path: &str, into: &mut Vec<(String, String)>) {
    let Some(properties) = schema.get("properties").and_then(Value::as_object) else { return };
    for (name, key) in properties {
        let here = if path.is_empty() { name.clone() } else { format!("{path}.{name}") };
        let value = resolved(key, root);
        let inner = value.get("items").map_or(value, |i| resolved(i, root));
        let said = key.get("description").or_else(|| value.get("description")).and_then(Value::as_str).unwrap_or("");
        let words: Vec<String> = inner
            .get("enum")
            .and_then(Value::as_array)
            .into_iter()
            .flatten()
            .filter(|v| !v.is_null())
            .map(Value::to_string)
            .collect();
        let words = if words.is_empty() { String::new() } else { format!(" One of {}.", words.join(", ")) };
        into.push((here.clone(), format!("{said}{words}")));
        list(inner, root, &here, into);
    }
}

fn resolved<'s>(schema: &'s Value, root: &'s Value) -> &'s Value {
    if let Some(name) = schema.get("$ref").and_then(Value::as_str).and_then(|r| r.strip_prefix("#/$defs/")) {
        return root.get("$defs").and_then(|d| d.get(name)).map_or(schema, |s| resolved(s, root));
    }
    // An optional value is "this or null".
    if let Some(first) = schema.get("anyOf").and_then(Value::as_array).and_then(|a| a.first()) {
        return resolved(first, root);
    }
    schema
}

fn expects(schema: &Value, kind: &str) -> bool {
    match schema.get("type") {
        Some(Value::String(t)) => t == kind,
        Some(Value::Array(ts)) => ts.iter().any(|t| t == kind),
        _ => false,
    }
}

/// Keys that people look for where they are not: a key that only this kind of table has, the key that is written, the one
/// that it stands for, and what to write instead.
const ELSEWHERE: [(&str, &str, Option<&str>, &str); 8] = [
    (
        "shape",
        "overhang",
        None,
        "`eave`, `width` and `slope_length` reach to the roof's outer edges, overhangs included. Rafters that end at the \
         wall have `low`, measured up from the eave; the overhang itself is [[tails]] at an eave and [[lookouts]] at a rake",
    ),
    ("shape", "rise", Some("pitch"), "write the pitch as rise to run: pitch = \"6:12\""),
    (
        "shape",
        "span",
        Some("width"),
        "write `width`, in plan from eave to eave, overhangs included; of a shed `slope_length`",
    ),
    ("shape", "length", Some("eave"), "write `eave`, the length along the eave, rake overhangs included"),
    (
        "shape",
        "ridge",
        None,
        "where the ridge lies follows from `width` and `pitch`; a board along it is `ridge_board`",
    ),
    ("shape", "gable", Some("shape"), "write shape = \"gable\""),
    (
        "shape",
        "spacing",
        None,
        "the spacing of rafters is `spacing` in [[rafters]], that of battens in `lattice.batten`",
    ),
    (
        "nominal",
        "size",
        Some("nominal"),
        "write `nominal`, such as nominal = \"2x8\", or each side by itself, as `width`",
    ),
];

fn table(table: &mut DeTable<'_>, schema: &Value, root: &Value, path: &str, found: &mut ShapeFaults) {
    let Some(properties) = schema.get("properties").and_then(Value::as_object) else { return };
    let there: Vec<String> = table.keys().map(|k| k.get_ref().to_string()).collect();
    let below = |name: &str| if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
    for (key, value) in table.iter_mut() {
        let name = key.get_ref().as_ref();
        let here = below(name);
        if let Some(inner) = properties.get(name) {
            walk(value, resolved(inner, root), root, &here, found);
            continue;
        }
        let elsewhere = ELSEWHERE.iter().find(|(of, key, ..)| *key == name && properties.contains_key(*of));
        let meant = match elsewhere {
            Some((.., meant, _)) => *meant,
            None => nearest(name, properties.keys().map(String::as_str)),
        };
        if let Some(known) = meant {
            let there = there.iter().any(|k| k == known);
            found.told.push(Told { key: below(known), whole: true, there });
        }
        let hint = match (elsewhere, meant) {
            (Some((.., hint)), _) => (*hint).to_owned(),
            (None, Some(known)) => format!("did you mean `{known}`?"),
            (None, None) => {
                let known: Vec<&str> = properties.keys().map(String::as_str).collect();
                format!("known here: {}", known.join(", "))
            }
        };
        let message = format!("unknown key `{name}`");
        found.faults.push(Diagnostic { message, key: here, span: key.span(), hint });
    }
}

fn walk(value: &mut Spanned<DeValue<'_>>, schema: &Value, root: &Value, path: &str, found: &mut ShapeFaults) {
    let span = value.span();
    let last = path.rsplit('.').next().unwrap_or(path);
    let mut wrong = |message: &str, hint: String, whole: bool| {
        found.told.push(Told { key: path.to_owned(), whole, there: false });
        found.faults.push(Diagnostic { message: message.to_owned(), key: path.to_owned(), span: span.clone(), hint });
    };
    let (list, object) = (expects(schema, "array"), expects(schema, "object"));
    match value.get_mut() {
        DeValue::Table(inner) if object => table(inner, schema, root, path, found),
        DeValue::Array(items) if list => {
            let Some(inner) = schema.get("items") else { return };
            for (i, item) in items.iter_mut().enumerate() {
                walk(item, resolved(inner, root), root, &format!("{path}[{}]", i + 1), found);
            }
        }
        DeValue::Table(_) if list => {
            let hint = format!("write [[{path}]] with double brackets");
            wrong("one table stands here, but there may be several", hint, false);
            in_a_list(value);
            walk(value, schema, root, path, found);
        }
        DeValue::Table(_) => wrong("a table stands where one value belongs", format!("write `{last} = ...`"), true),
        DeValue::Array(items) if object => {
            let first = std::mem::replace(items, DeArray::new())
                .into_iter()
                .next()
                .filter(|i| matches!(i.get_ref(), DeValue::Table(_)));
            let hint = format!("write [{path}] with single brackets, once");
            wrong("a list stands where one table belongs", hint, first.is_none());
            match first {
                Some(only) => {
                    *value = only;
                    walk(value, schema, root, path, found);
                }
                None => *value.get_mut() = DeValue::Table(DeTable::new()),
            }
        }
        DeValue::Array(_) => {
            wrong("a list stands where one value belongs", format!("write one value: `{last} = ...`"), true);
        }
        _ if list => {
            let of_tables = schema.get("items").is_some_and(|i| expects(resolved(i, root), "object"));
            wrong("one value stands where a list belongs", format!("write it in brackets: `{last} = [...]`"), true);
            if of_tables {
                *value.get_mut() = DeValue::Array(DeArray::new());
            } else {
                in_a_list(value);
                lists_within(value, schema, root);
            }
        }
        _ if object => {
            let keys: Vec<&str> = schema
                .get("properties")
                .and_then(Value::as_object)
                .map(|p| p.keys().map(String::as_str).collect())
                .unwrap_or_default();
            let hint = format!("write `{last} = {{ ... }}` with any of: {}", keys.join(", "));
            wrong("one value stands where a table belongs", hint, true);
            *value.get_mut() = DeValue::Table(DeTable::new());
        }
        _ => {}
    }
}

/// Makes a list of a value.
fn in_a_list(value: &mut Spanned<DeValue<'_>>) {
    let one = Spanned::new(value.span(), std::mem::replace(value.get_mut(), DeValue::Boolean(false)));
    let mut list = DeArray::new();
    list.push(one);
    *value.get_mut() = DeValue::Array(list);
}

/// Makes lists of what a list holds, where its items are lists themselves.
fn lists_within(value: &mut Spanned<DeValue<'_>>, schema: &Value, root: &Value) {
    if let (DeValue::Array(items), Some(inner)) = (value.get_mut(), schema.get("items").map(|i| resolved(i, root)))
        && expects(inner, "array")
    {
        for item in items.iter_mut() {
            in_a_list(item);
            lists_within(item, inner, root);
        }
    }
}
