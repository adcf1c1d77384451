//! The committed schemas are those of the types, and every number says its unit.

use std::collections::BTreeSet;
use std::path::PathBuf;

use serde_json::Value;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../schemas")
}

#[test]
fn committed_schemas_are_in_step() {
    let bless = std::env::var_os("BLESS").is_some();
    let mut expected = BTreeSet::new();
    for (name, text) in steadypull_contract::schemas() {
        let path = folder().join(&name);
        if bless {
            std::fs::write(&path, &text).expect("the schemas folder can be written");
        }
        let committed = std::fs::read_to_string(&path).unwrap_or_default();
        assert!(
            committed == text,
            "{name} is out of step with the types: run with BLESS=1 to renew it"
        );
        expected.insert(name);
    }
    let found: BTreeSet<String> = std::fs::read_dir(folder())
        .expect("the schemas folder is there")
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .filter(|name| name.ends_with(".schema.json"))
        .collect();
    assert_eq!(found, expected, "a schema nobody generates, or one missing");
}

/// Endings that say a unit.
const UNITS: [&str; 16] = [
    "_n", "_m", "_mm", "_kg", "_j", "_s", "_m_s", "_m_s2", "_m2", "_deg", "_a", "_v", "_c", "_w",
    "_pa", "_hz",
];

/// Numbers without a unit: ratios, probabilities, counts.
const UNITLESS: [&str; 49] = [
    "course_parts",
    "pulls",
    "pulls_without_cell",
    "margin",
    "strikes",
    "yield_probability",
    "share",
    "advantage",
    "layer",
    "layer_planned",
    "first_layer",
    "last_layer",
    "wraps_left",
    "least_wraps",
    "rests",
    "contract_version",
    "seed",
    "crew",
    "bystanders",
    "number",
    "samples",
    "runs",
    "failed_runs",
    "line",
    "column",
    "end_column",
    "factor",
    "quantile",
    "design_quantile",
    "design_over_weight",
    "times_injury",
    "parting_probability",
    "shift_probability",
    "shift_probability_error",
    "shift_probability_after_digging",
    "more",
    "ideal_advantage",
    "real_advantage",
    "efficiency",
    "haul_per_metre",
    "residual",
    "travel_per_metre",
    "turns_needed",
    "points",
    "rows",
    "rows_found",
    "ok",
    "refused",
    "failed",
];

/// Probabilities whose name is the event itself.
const CHANCES: [&str; 5] = ["shifts", "passes_wll", "parts", "lets_go", "past_limit"];

/// Numbers of a study by chance: shares, counts, and values in the unit that the name
/// of their result, or the field `unit` beside them, gives.
const OF_CHANCE: [&str; 22] = [
    "estimate",
    "low",
    "high",
    "hits",
    "draws",
    "level",
    "value",
    "median",
    "draws_for_drivers",
    "let_go_runs",
    "failed",
    "confidence",
    "error_asked",
    "error_of_probabilities",
    "error_of_quantiles",
    "alone",
    "alone_low",
    "alone_high",
    "total",
    "total_low",
    "total_high",
    "open_share",
];

/// Counts of a let-go that is followed finer.
const OF_CONVERGENCE: [&str; 2] = ["of_cases", "steps"];

/// Numbers of a design: counts, shares and places along the line.
const OF_DESIGN: [&str; 15] = [
    "chance",
    "check_draws",
    "check_segments",
    "chosen",
    "compared_draws",
    "dampers",
    "held_high",
    "held_low",
    "met_high",
    "met_low",
    "places",
    "search_draws",
    "segments",
    "strength_step",
    "stretch_at_break",
];

/// Counts and shares of a replay.
const OF_REPLAY: [&str; 3] = ["case", "flight", "place"];

/// Numbers of the tests area: counts, shares, probabilities, and values in the unit that the
/// name of the field around them, or the field `unit` beside them, gives.
const OF_TESTS: [&str; 46] = [
    "chi_square",
    "degrees_of_freedom",
    "p",
    "frame",
    "adjusted_p",
    "bootstrap_high",
    "bootstrap_low",
    "cover",
    "deviation",
    "difference",
    "least_p",
    "marks",
    "mean",
    "mean_high",
    "mean_low",
    "measured",
    "permutation_p",
    "predicted",
    "pulls",
    "resolution",
    "uncertainties",
    "values",
    "condition",
    "correlation",
    "correlation_p",
    "curve_stretch",
    "energy_return",
    "noise_memory",
    "readings",
    "runs_p",
    "share_read",
    "standard_uncertainty",
    "stiffness_ratio",
    "strain_seen",
    "bytes",
    "which",
    "count",
    "greatest",
    "least",
    "missing",
    "block",
    "comparisons",
    "power",
    "pulls_each",
    "samples_after",
    "samples_before",
];

/// Endings and beginnings of ratios.
fn is_share(name: &str) -> bool {
    name.ends_with("_share") || name.starts_with("share_of_")
}

#[test]
fn every_number_says_its_unit() {
    let mut seen = 0;
    let mut bare = std::collections::BTreeSet::new();
    for (file, text) in steadypull_contract::schemas() {
        let schema: Value = serde_json::from_str(&text).expect("a schema is JSON");
        walk(&schema, &mut |name, field| {
            if !is_number(field) {
                return;
            }
            seen += 1;
            let unit = UNITS.iter().any(|unit| name.ends_with(unit));
            let none = UNITLESS.contains(&name) || CHANCES.contains(&name) || is_share(name);
            let none = none || OF_CHANCE.contains(&name) || OF_DESIGN.contains(&name);
            let none = none || OF_CONVERGENCE.contains(&name) || OF_REPLAY.contains(&name);
            let of_tests = file.starts_with("tests-") || file.contains("test-day");
            let none = none || of_tests && OF_TESTS.contains(&name);
            if !(unit || none) {
                bare.insert(format!("{file}: {name}"));
            }
        });
    }
    assert!(seen > 100, "only {seen} numbers found: the walk is broken");
    assert!(
        bare.is_empty(),
        "numbers that do not say their unit: {bare:?}"
    );
}

#[test]
fn every_field_is_described_and_required() {
    for (file, text) in steadypull_contract::schemas() {
        let schema: Value = serde_json::from_str(&text).expect("a schema is JSON");
        walk(&schema, &mut |name, field| {
            let described = field.get("description").is_some();
            assert!(described, "{file}: `{name}` has no description");
        });
        objects(&schema, &mut |object| {
            let fields = object["properties"].as_object().expect("properties");
            let required = object["required"].as_array().expect("required");
            // What is asked may leave out line files that the plan does not name.
            let may_lack = file.ends_with("-request.schema.json") && fields.contains_key("lines");
            assert_eq!(
                fields.len(),
                required.len() + usize::from(may_lack),
                "{file}: a field may be left out"
            );
            assert_eq!(object["additionalProperties"], Value::Bool(false), "{file}");
        });
    }
}

#[test]
fn the_answer_has_every_area() {
    let (_, text) = steadypull_contract::schemas().remove(0);
    let schema: Value = serde_json::from_str(&text).expect("a schema is JSON");
    let fields: Vec<&String> = schema["properties"]
        .as_object()
        .expect("fields")
        .keys()
        .collect();
    assert_eq!(
        fields,
        [
            "contract_version",
            "plan",
            "verdict",
            "situation",
            "options",
            "load_path",
            "rig",
            "pull",
            "let_go",
            "standoff",
            "lowering",
            "findings",
            "cautions"
        ]
    );
}

/// Whether a field is a number, a list of numbers, or one of those or null.
fn is_number(field: &Value) -> bool {
    let types = match &field["type"] {
        Value::String(one) => vec![one.as_str()],
        Value::Array(many) => many.iter().filter_map(Value::as_str).collect(),
        _ => vec![],
    };
    types.iter().any(|t| matches!(*t, "number" | "integer"))
        || (types.contains(&"array") && is_number(&field["items"]))
}

/// Calls `look` with every named field of every object in a schema.
fn walk(schema: &Value, look: &mut dyn FnMut(&str, &Value)) {
    objects(schema, &mut |object| {
        for (name, field) in object["properties"].as_object().expect("properties") {
            look(name, field);
        }
    });
}

/// Calls `look` with every object type in a schema.
fn objects(schema: &Value, look: &mut dyn FnMut(&Value)) {
    let definitions = schema["definitions"].as_object();
    let all = definitions.into_iter().flat_map(|map| map.values());
    all.chain([schema])
        .filter(|object| object.get("properties").is_some())
        .for_each(look);
}
