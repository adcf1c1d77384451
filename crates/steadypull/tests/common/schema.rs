//! As much of JSON Schema draft-07 as the committed schemas use.

use std::path::Path;

use serde_json::Value;

/// The committed schema called `name`.
pub fn committed(name: &str) -> Value {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../schemas");
    let path = folder.join(format!("{name}.schema.json"));
    let text = std::fs::read_to_string(path).expect("a committed schema");
    serde_json::from_str(&text).expect("a schema is JSON")
}

/// Everything in `value` that the schema called `name` does not allow.
pub fn faults(name: &str, value: &Value) -> Vec<String> {
    let root = committed(name);
    let mut faults = Vec::new();
    look(&root, &root, value, name, &mut faults);
    faults
}

fn look(root: &Value, schema: &Value, value: &Value, at: &str, faults: &mut Vec<String>) {
    const KNOWN: [&str; 19] = [
        "$ref",
        "$schema",
        "title",
        "description",
        "type",
        "format",
        "properties",
        "required",
        "additionalProperties",
        "items",
        "minItems",
        "maxItems",
        "enum",
        "const",
        "allOf",
        "anyOf",
        "oneOf",
        "minimum",
        "definitions",
    ];
    for key in schema.as_object().into_iter().flat_map(|map| map.keys()) {
        assert!(
            KNOWN.contains(&key.as_str()),
            "the check knows no `{key}`: teach it"
        );
    }
    if let Some(name) = schema["$ref"].as_str() {
        let name = name.trim_start_matches("#/definitions/");
        return look(root, &root["definitions"][name], value, at, faults);
    }
    for part in schema["allOf"].as_array().into_iter().flatten() {
        look(root, part, value, at, faults);
    }
    for key in ["anyOf", "oneOf"] {
        if let Some(parts) = schema[key].as_array() {
            let fits = |part: &&Value| {
                let mut inner = Vec::new();
                look(root, part, value, at, &mut inner);
                inner.is_empty()
            };
            if parts.iter().filter(fits).count() == 0 {
                faults.push(format!("{at}: fits none of {key}"));
            }
        }
    }
    if !is_of_type(&schema["type"], value) {
        faults.push(format!("{at}: {value} is not {}", schema["type"]));
    }
    let allowed = schema["enum"].as_array();
    if allowed.is_some_and(|all| !all.contains(value)) {
        faults.push(format!("{at}: {value} is not in the list"));
    }
    if schema.get("const").is_some_and(|one| one != value) {
        faults.push(format!("{at}: {value} is not {}", schema["const"]));
    }
    members(root, schema, value, at, faults);
}

fn members(root: &Value, schema: &Value, value: &Value, at: &str, faults: &mut Vec<String>) {
    if let Value::Object(fields) = value {
        for name in schema["required"]
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(Value::as_str)
        {
            if !fields.contains_key(name) {
                faults.push(format!("{at}: `{name}` is missing"));
            }
        }
        for (name, field) in fields {
            match schema["properties"].get(name) {
                Some(of) => look(root, of, field, &format!("{at}.{name}"), faults),
                None if schema["additionalProperties"] == false => {
                    faults.push(format!("{at}: `{name}` is not in the contract"));
                }
                None => {}
            }
        }
    }
    if let Value::Array(items) = value {
        let bound = |name: &str| schema[name].as_u64();
        let count = items.len() as u64;
        let short = bound("minItems").is_some_and(|least| count < least);
        if short || bound("maxItems").is_some_and(|most| count > most) {
            faults.push(format!(
                "{at}: {count} entries are not as many as there should be"
            ));
        }
    }
    if let (Value::Array(items), Some(of)) = (value, schema.get("items")) {
        for (number, item) in items.iter().enumerate() {
            look(root, of, item, &format!("{at}.{number}"), faults);
        }
    }
}

fn is_of_type(types: &Value, value: &Value) -> bool {
    let fits = |name: &Value| match name.as_str() {
        Some("null") => value.is_null(),
        Some("boolean") => value.is_boolean(),
        Some("string") => value.is_string(),
        Some("array") => value.is_array(),
        Some("object") => value.is_object(),
        Some("integer") => value.is_u64() || value.is_i64(),
        Some("number") => value.is_number(),
        _ => false,
    };
    match types {
        Value::Null => true,
        Value::Array(many) => many.iter().any(fits),
        one => fits(one),
    }
}

#[test]
fn the_check_itself_sees_faults() {
    let object = serde_json::json!({
        "contract_version": "1",
        "errors": [{ "message": 3 }],
        "surprise": true,
    });
    let faults = faults("errors", &object).join("\n");
    for fault in [
        "contract_version: \"1\" is not",
        "`more` is missing",
        "`surprise` is not in",
    ] {
        assert!(faults.contains(fault), "{faults}");
    }
}
