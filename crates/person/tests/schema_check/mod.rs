//! A checker for the part of JSON Schema that our schema uses; an unknown keyword is an error.

use serde_json::Value;

/// Whether a value fits a schema, and if not where.
pub fn check(schema: &Value, value: &Value) -> Result<(), String> {
    at("", schema, value)
}

fn at(path: &str, schema: &Value, value: &Value) -> Result<(), String> {
    let keywords = schema.as_object().ok_or_else(|| format!("{path}: the schema is no object"))?;
    for (keyword, rule) in keywords {
        let fits = match keyword.as_str() {
            "$schema"
            | "title"
            | "description"
            | "$comment"
            | "examples"
            | "format"
            | "additionalProperties" => true,
            "type" => is_of_type(rule.as_str().unwrap_or_default(), value),
            "const" => rule == value,
            "enum" => rule.as_array().is_some_and(|list| list.contains(value)),
            "minimum" => value.as_f64().is_none_or(|v| rule.as_f64().is_some_and(|r| v >= r)),
            "maximum" => value.as_f64().is_none_or(|v| rule.as_f64().is_some_and(|r| v <= r)),
            "minLength" => {
                value.as_str().is_none_or(|v| v.chars().count() as u64 >= rule.as_u64().unwrap_or(0))
            }
            "maxLength" => {
                value.as_str().is_none_or(|v| v.chars().count() as u64 <= rule.as_u64().unwrap_or(u64::MAX))
            }
            "pattern" => value.as_str().is_none_or(|v| matches_units(rule.as_str().unwrap_or_default(), v)),
            "required" => {
                let names = rule.as_array().into_iter().flatten().filter_map(Value::as_str);
                names.into_iter().all(|name| value.get(name).is_some())
            }
            "properties" => {
                for (name, below) in value.as_object().into_iter().flatten() {
                    match rule.get(name) {
                        Some(rule) => at(&format!("{path}.{name}"), rule, below)?,
                        None => return Err(format!("{path}.{name}: not a property")),
                    }
                }
                true
            }
            "items" => {
                for (n, entry) in value.as_array().into_iter().flatten().enumerate() {
                    at(&format!("{path}[{n}]"), rule, entry)?;
                }
                true
            }
            "anyOf" => count(path, rule, value) >= 1,
            "oneOf" => count(path, rule, value) == 1,
            other => return Err(format!("{path}: keyword `{other}` is not known to this checker")),
        };
        if !fits {
            return Err(format!("{path}: `{value}` breaks `{keyword}`"));
        }
    }
    Ok(())
}

fn count(path: &str, rule: &Value, value: &Value) -> usize {
    rule.as_array().into_iter().flatten().filter(|one| at(path, one, value).is_ok()).count()
}

fn is_of_type(name: &str, value: &Value) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "integer" => value.is_i64() || value.is_u64(),
        "number" => value.is_number(),
        _ => false,
    }
}

/// Our patterns are a number before one of some units in the last parentheses.
fn matches_units(pattern: &str, text: &str) -> bool {
    let units = pattern.rsplit_once('(').and_then(|(_, rest)| rest.split_once(')')).map(|(units, _)| units);
    let text = text.trim();
    let split = text.find(|c: char| !(c.is_ascii_digit() || ".+-".contains(c))).unwrap_or(text.len());
    let (number, unit) = text.split_at(split);
    number.parse::<f64>().is_ok()
        && units.is_some_and(|units| units.split('|').any(|known| known == unit.trim()))
}
