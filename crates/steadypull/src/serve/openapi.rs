//! The OpenAPI document: the list of routes, with the contract's schemas in it.

use std::sync::OnceLock;

use axum::http::StatusCode;
use axum::response::Response;
use serde_json::{Map, Value, json};

use super::reply::bytes_of;
use super::routes::{Content, Route, routes};

/// The document.
pub async fn document() -> Response {
    static TEXT: OnceLock<String> = OnceLock::new();
    let text = TEXT.get_or_init(openapi);
    bytes_of(StatusCode::OK, "application/json", text.as_str())
}

/// The document as text.
pub fn openapi() -> String {
    let schemas = Schemas::new();
    let mut paths = Map::new();
    for route in routes() {
        let path = paths.entry(route.path).or_insert_with(|| json!({}));
        path[route.method] = operation(&route, &schemas);
    }
    let document = json!({
        "openapi": "3.1.0",
        "info": {
            "title": "Steadypull",
            "version": env!("CARGO_PKG_VERSION"),
            "description": "Recovery plans in, answers out. Estimates from stated models and inputs; they certify nothing.",
        },
        // That of the schemas in schemas/, which stand here as they are.
        "jsonSchemaDialect": "http://json-schema.org/draft-07/schema#",
        "servers": [{ "url": "/" }],
        "paths": paths,
        "components": { "schemas": schemas.components },
    });
    format!("{document:#}\n")
}

fn operation(route: &Route, schemas: &Schemas) -> Value {
    let mut operation = json!({ "summary": route.what });
    let names = route.path.split(['{', '}']).skip(1).step_by(2);
    let parameters: Vec<Value> = names.map(parameter).collect();
    if !parameters.is_empty() {
        operation["parameters"] = parameters.into();
    }
    if let Some(takes) = route.takes {
        operation["requestBody"] = json!({ "required": true, "content": schemas.content(takes) });
    }
    let mut responses = Map::new();
    for (status, what, content) in &route.gives {
        let response = json!({ "description": what, "content": schemas.content(*content) });
        responses.insert(status.to_string(), response);
    }
    let refused = json!({
        "description": "Refused: what is wrong, and what to do",
        "content": schemas.content(Content::Json("errors")),
    });
    responses.insert("default".into(), refused);
    operation["responses"] = responses.into();
    operation
}

/// A name in an address.
fn parameter(name: &str) -> Value {
    json!({
        "name": name,
        "in": "path",
        "required": true,
        "schema": { "type": "string" },
    })
}

/// Every schema by its type's name, and the type of each file.
struct Schemas {
    components: Map<String, Value>,
    types: Map<String, Value>,
}

impl Schemas {
    /// Those that the routes name, and what they are made of.
    fn new() -> Self {
        let mut named = Vec::from(["errors"]);
        for route in routes() {
            let contents = route.gives.iter().map(|(_, _, content)| *content);
            named.extend(
                contents
                    .chain(route.takes)
                    .filter_map(|content| match content {
                        Content::Json(name) => Some(name),
                        Content::Bytes(_) => None,
                    }),
            );
        }
        let mut all = Self {
            components: Map::new(),
            types: Map::new(),
        };
        for (file, text) in steadypull_contract::schemas() {
            let name = file.trim_end_matches(".schema.json");
            if named.contains(&name) {
                all.add(name, &text);
            }
        }
        all
    }

    fn add(&mut self, name: &str, text: &str) {
        // Its own references are to the document as a whole from now on.
        let text = text.replace("\"#/definitions/", "\"#/components/schemas/");
        let Ok(Value::Object(mut schema)) = serde_json::from_str(&text) else {
            return;
        };
        schema.shift_remove("$schema");
        if let Some(Value::Object(parts)) = schema.shift_remove("definitions") {
            for (part, schema) in parts {
                self.components.entry(part).or_insert(schema);
            }
        }
        if let Some(Value::String(title)) = schema.shift_remove("title") {
            self.types.insert(name.into(), title.clone().into());
            self.components.insert(title, schema.into());
        }
    }

    fn content(&self, content: Content) -> Value {
        match content {
            Content::Json(name) => {
                let title = self.types.get(name).and_then(Value::as_str);
                let title = title.unwrap_or(name);
                let reference = format!("#/components/schemas/{title}");
                json!({ "application/json": { "schema": { "$ref": reference } } })
            }
            Content::Bytes(kinds) => kinds
                .iter()
                .map(|kind| (String::from(*kind), json!({})))
                .collect::<Map<_, _>>()
                .into(),
        }
    }
}
