//! The schemas of what is answered in JSON: every answer of the whole suite is held against them by the harness; here is
//! that they bite, and that none changes so that a program which reads the answers breaks.

use std::path::Path;

use serde_json::{Map, Value, json};

use crate::harness::TestShop;
use crate::harness::answers::{COMMANDS, schema, validator};

/// A schema as it is stored: a line a type.
fn stored(schema: &Value) -> String {
    let types = schema["$defs"].as_object().unwrap().iter();
    let types = types.map(|(name, of)| format!("{}: {of}", json!(name)));
    let lines: Vec<String> = types.chain([format!("\"anyOf\": {}", schema["anyOf"])]).collect();
    format!("{{\n{}\n}}\n", lines.join(",\n"))
}

/// What a reader relies on: all but the words.
fn shape(schema: Value) -> Value {
    match schema {
        Value::Object(fields) => {
            let words = |name: &str, value: &Value| name == "description" && value.is_string();
            let kept = fields.into_iter().filter(|(name, value)| !words(name, value));
            Value::Object(kept.map(|(name, value)| (name, shape(value))).collect())
        }
        Value::Array(parts) => Value::Array(parts.into_iter().map(shape).collect()),
        other => other,
    }
}

/// Where a reader of the answers as they were stored could stumble over those of now. A further field or a further word of
/// a list is none.
fn breaks(was: &Value, is: &Value, at: &str, found: &mut Vec<String>) {
    match (was, is) {
        (Value::Object(was), Value::Object(is)) => {
            for (name, was) in was {
                match is.get(name) {
                    Some(is) => breaks(was, is, &format!("{at}/{name}"), found),
                    None => found.push(format!("{at}/{name} is gone")),
                }
            }
        }
        (Value::Array(was), Value::Array(is)) => {
            let gone = was.iter().filter(|was| !is.contains(was));
            found.extend(gone.map(|was| format!("{at} no longer has {was}")));
        }
        _ if was == is => {}
        _ => found.push(format!("{at} was {was} and is {is}")),
    }
}

#[test]
fn none_breaks_a_program_that_reads_the_answers() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/snapshots/schema");
    let mut found = Vec::new();
    for command in COMMANDS.iter() {
        let file = folder.join(format!("{}.json", command.replace(' ', "-")));
        let now = stored(&shape(schema(command)));
        let was = std::fs::read_to_string(&file).unwrap_or_default();
        let read = |text: &str| serde_json::from_str::<Value>(text).unwrap_or(Value::Null);
        if !was.is_empty() {
            breaks(&read(&was), &read(&now), command, &mut found);
        }
        if found.is_empty() && now != was {
            assert_eq!(
                std::env::var_os("SNAPSHOTS"),
                Some("overwrite".into()),
                "{command} answers more than {} says; with SNAPSHOTS=overwrite it is stored",
                file.display()
            );
            std::fs::write(&file, now).unwrap();
        }
    }
    assert!(found.is_empty(), "a program that reads this would break: {found:#?}");
    let files = std::fs::read_dir(folder).unwrap().count();
    assert_eq!(files, COMMANDS.len(), "a command's schema is gone");
}

#[test]
fn a_field_that_goes_or_changes_is_noticed() {
    let field =
        |kind: &str| json!({ "properties": { "lot": { "type": kind } }, "required": ["lot"] });
    let (was, mut more) = (field("string"), field("string"));
    more["properties"]["rack"] = json!({ "type": "string" });
    let found = |is: &Value| {
        let mut found = Vec::new();
        breaks(&was, is, "due", &mut found);
        found
    };
    assert!(found(&more).is_empty(), "a further field breaks nothing");
    assert_eq!(
        found(&field("integer")),
        ["due/properties/lot/type was \"string\" and is \"integer\""]
    );
    let none = json!({ "properties": Map::new(), "required": [] });
    assert_eq!(found(&none), ["due/properties/lot is gone", "due/required no longer has \"lot\""]);
}

#[test]
fn they_bite() {
    let shop = TestShop::open();
    let due = shop.json("due");
    let due_is = validator("due");
    assert!(due_is.is_valid(&due));
    for (field, other) in [("now", json!(3)), ("items", json!("none")), ("further", json!(true))] {
        let mut bent = due.clone();
        bent[field] = other;
        assert!(!due_is.is_valid(&bent), "{field}");
        let mut short = due.clone();
        if short.as_object_mut().unwrap().remove(field).is_some() {
            assert!(!due_is.is_valid(&short), "without {field}");
        }
    }
}

#[test]
fn every_command_that_answers_in_json_has_one() {
    let shop = TestShop::bare();
    snapbox::assert_data_eq!(
        shop.run("schema").fits().ok(),
        snapbox::str![[r#"
The JSON Schema of what these answer with --json: tackfree schema COMMAND

  tackfree, air, batch cancel, batch change, batch close, batch list, batch open, batch show, begin,
  calendar, can empty, can list, can open, card, caution, climate add, climate import, climate show,
  cure, done, due, grit, kit, ledger backup, ledger check, ledger export, ledger import, ledger
  list, ledger restore, lot give, lot hold, lot join, lot list, lot move, lot reject, lot release,
  lot rework, lot show, lot split, lot start, note, pace, pace time, plan, promise, quote, racks,
  rags, rags done, remind clear, remind install, remind later, remind remove, remind send, remind
  test, remind watch, scan, schema, setup check, setup kinds, setup load, setup new, setup shell,
  setup show, ship, ship cancel, ship list, ship return, ship show, spares, stock, stock add, stock
  count, stock moisture, today, touch, trace, undo, wall, error

"#]]
    );
    let help = include_str!("snapshots/help.txt");
    // These write no answer: a story, and a file to begin with.
    let others = ["demo", "setup example"];
    let pages =
        help.lines().filter_map(|line| line.strip_prefix("$ tackfree ")?.strip_suffix(" --help"));
    for page in pages {
        let group = COMMANDS.iter().any(|command| command.starts_with(&format!("{page} ")));
        let named = COMMANDS.iter().any(|command| command == page);
        assert!(group || named || others.contains(&page), "tackfree schema {page}");
    }
    shop.run("schema lot shwo").fails(2);
}
