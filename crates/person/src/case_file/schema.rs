//! The format as JSON Schema, made from the table of keys.

use serde_json::{Map, Value, json};

use super::check::NOT_ASSESSED;
use super::format::{FORMAT, VERSION, format};
use super::shape::{Bounds, Key, Kind, Shape, Unit};

/// The schema of case files as JSON Schema (draft 2020-12). It describes the TOML file as the
/// same tree in JSON, with TOML dates as text. What depends on two keys at once (a date before
/// another, a leg length that fits the stature) is checked by [`super::read`] only.
#[must_use]
pub fn schema() -> String {
    let mut top = Map::new();
    top.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    top.insert("title".into(), json!(format!("{FORMAT} version {VERSION}")));
    top.insert(
        "description".into(),
        json!("One person's findings, home and wishes. The file is TOML; this describes the same tree, with dates as text. A finding that is left out was not assessed."),
    );
    top.extend(object(format(), &[]));
    let mut text = serde_json::to_string_pretty(&Value::Object(top)).unwrap_or_default();
    text.push('\n');
    text
}

fn object(keys: &[Key], before: &[(&str, Value)]) -> Map<String, Value> {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for (name, schema) in before {
        properties.insert((*name).to_owned(), schema.clone());
        required.push(json!(name));
    }
    for key in keys {
        properties.insert(key.name.to_owned(), described(&key.shape, key.about));
        if key.essential {
            required.push(json!(key.name));
        }
    }
    let mut made = Map::new();
    made.insert("type".into(), json!("object"));
    made.insert("properties".into(), Value::Object(properties));
    if !required.is_empty() {
        made.insert("required".into(), Value::Array(required));
    }
    made.insert("additionalProperties".into(), json!(false));
    made
}

fn described(shape: &Shape, about: &str) -> Value {
    let mut made = Map::new();
    made.insert("description".into(), json!(about));
    if let Value::Object(rest) = of(shape) {
        made.extend(rest);
    }
    Value::Object(made)
}

fn of(shape: &Shape) -> Value {
    match shape {
        Shape::Text(longest) => json!({ "type": "string", "minLength": 1, "maxLength": longest }),
        Shape::Flag => json!({ "type": "boolean" }),
        Shape::Date => json!({ "type": "string", "format": "date" }),
        Shape::Bearing => {
            let words = movement::Bearing::ALL.map(movement::Bearing::plain_words);
            let degrees = movement::Bearing::ALL.map(movement::Bearing::degrees);
            json!({ "anyOf": [
                { "enum": words },
                { "enum": degrees },
                { "type": "string", "pattern": "^(0|45|90|135|180|225|270|315) ?(deg|°)$" }
            ] })
        }
        Shape::Number(Unit::Whole, bounds) => {
            json!({ "type": "integer", "minimum": bounds.least as i64, "maximum": bounds.most as i64 })
        }
        Shape::Number(Unit::Decimal, bounds) => {
            json!({ "type": "number", "minimum": bounds.least, "maximum": bounds.most })
        }
        Shape::Number(unit, bounds) => quantity(*unit, bounds),
        Shape::Word(words) => json!({ "enum": words }),
        Shape::Finding(inner) => finding(inner),
        Shape::List(inner) => json!({ "type": "array", "items": of(inner) }),
        Shape::Table(keys) => Value::Object(object(keys, &[])),
        Shape::Kinds(tag, kinds) => {
            let kinds: Vec<Value> = kinds.iter().map(|kind| of_kind(tag, kind)).collect();
            json!({ "oneOf": kinds })
        }
    }
}

fn of_kind(tag: &str, kind: &Kind) -> Value {
    let word = json!({ "const": kind.name, "description": kind.about });
    Value::Object(object(&kind.keys, &[(tag, word)]))
}

fn finding(inner: &Shape) -> Value {
    let not_assessed = json!({ "const": NOT_ASSESSED });
    let plain = of(inner);
    if matches!(inner, Shape::Table(_)) {
        return json!({ "anyOf": [plain, not_assessed] });
    }
    let dated = json!({
        "type": "object",
        "properties": {
            "value": { "anyOf": [plain, not_assessed] },
            "on": { "type": "string", "format": "date", "description": "day it was found; the visit when left out" }
        },
        "required": ["value"],
        "additionalProperties": false
    });
    json!({ "anyOf": [plain, dated, not_assessed] })
}

/// A number with its unit in one text. JSON Schema cannot compare it, so the bounds are words.
fn quantity(unit: Unit, bounds: &Bounds) -> Value {
    let symbols = unit.symbols().join("|");
    json!({
        "type": "string",
        "pattern": format!("^\\s*[+-]?([0-9]+\\.?[0-9]*|\\.[0-9]+)\\s*({symbols})\\s*$"),
        "$comment": format!("from {} to {}", bounds.least_text, bounds.most_text),
        "examples": [bounds.most_text]
    })
}
