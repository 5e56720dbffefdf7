//! Unknown keys and misplaced tables, all at once.
//!
//! The file's own types are the list of known keys: their JSON Schema is walked beside the parsed document. So a key can
//! never be known to the reader and unknown here, or the other way round.

use std::ops::Range;

use serde_json::Value;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::diagnostic::Diagnostic;
use super::written::nearest;

/// Faults of the document's shape. `structural` is set when a table or list stands where the reader would stumble.
pub struct ShapeFaults {
    /// What was found.
    pub faults: Vec<Diagnostic>,
    /// Whether reading on makes no sense.
    pub structural: bool,
}

/// Walks document and schema together.
pub fn check(document: &Spanned<DeTable<'_>>, schema: &Value) -> ShapeFaults {
    let mut found = ShapeFaults { faults: Vec::new(), structural: false };
    table(document.get_ref(), schema, schema, "", &mut found);
    found
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

fn table(table: &DeTable<'_>, schema: &Value, root: &Value, path: &str, found: &mut ShapeFaults) {
    let Some(properties) = schema.get("properties").and_then(Value::as_object) else { return };
    for (key, value) in table.iter() {
        let name = key.get_ref().as_ref();
        let here = if path.is_empty() { name.to_owned() } else { format!("{path}.{name}") };
        match properties.get(name) {
            Some(inner) => walk(value.get_ref(), value.span(), resolved(inner, root), root, &here, found),
            None => {
                let hint = match nearest(name, properties.keys().map(String::as_str)) {
                    Some(known) => format!("did you mean `{known}`?"),
                    None => {
                        let known: Vec<&str> = properties.keys().map(String::as_str).collect();
                        format!("known here: {}", known.join(", "))
                    }
                };
                found.faults.push(Diagnostic {
                    message: format!("unknown key `{name}`"),
                    key: here,
                    span: key.span(),
                    hint,
                });
            }
        }
    }
}

fn walk(value: &DeValue<'_>, span: Range<usize>, schema: &Value, root: &Value, path: &str, found: &mut ShapeFaults) {
    let mut wrong = |message: &str, hint: String| {
        found.structural = true;
        found.faults.push(Diagnostic { message: message.to_owned(), key: path.to_owned(), span: span.clone(), hint });
    };
    let last = path.rsplit('.').next().unwrap_or(path);
    match value {
        DeValue::Table(inner) => {
            if expects(schema, "object") {
                table(inner, schema, root, path, found);
            } else if expects(schema, "array") {
                wrong(
                    "one table stands here, but there may be several",
                    format!("write [[{path}]] with double brackets"),
                );
            } else {
                wrong("a table stands where one value belongs", format!("write `{last} = ...`"));
            }
        }
        DeValue::Array(items) => {
            if expects(schema, "array") {
                let Some(inner) = schema.get("items") else { return };
                for (i, item) in items.iter().enumerate() {
                    walk(
                        item.get_ref(),
                        item.span(),
                        resolved(inner, root),
                        root,
                        &format!("{path}[{}]", i + 1),
                        found,
                    );
                }
            } else if expects(schema, "object") {
                wrong("a list stands where one table belongs", format!("write [{path}] with single brackets, once"));
            } else {
                wrong("a list stands where one value belongs", format!("write one value: `{last} = ...`"));
            }
        }
        _ => {
            if expects(schema, "array") {
                wrong("one value stands where a list belongs", format!("write it in brackets: `{last} = [...]`"));
            } else if expects(schema, "object") {
                let keys: Vec<&str> = schema
                    .get("properties")
                    .and_then(Value::as_object)
                    .map(|p| p.keys().map(String::as_str).collect())
                    .unwrap_or_default();
                wrong(
                    "one value stands where a table belongs",
                    format!("write `{last} = {{ ... }}` with any of: {}", keys.join(", ")),
                );
            }
        }
    }
}
