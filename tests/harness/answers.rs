//! Holds what a command answers in JSON against the schema that the program itself prints for it.

use std::collections::BTreeMap;
use std::process::Command;
use std::sync::{Arc, LazyLock, Mutex};

use jsonschema::Validator;
use serde_json::{Value, json};

/// The commands that answer in JSON, as `schema` lists them.
pub(crate) static COMMANDS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let list = schema("--json");
    let names = list["commands"].as_array().unwrap().iter();
    names.map(|name| name.as_str().unwrap().to_owned()).collect()
});

static VALIDATORS: Mutex<BTreeMap<String, Arc<Validator>>> = Mutex::new(BTreeMap::new());

/// What `schema` prints for a command.
pub(crate) fn schema(command: &str) -> Value {
    let mut run = Command::new(env!("CARGO_BIN_EXE_tackfree"));
    run.env_clear().args(["--db", "none", "schema"]).args(command.split(' '));
    let output = run.output().unwrap();
    assert!(output.status.success(), "schema {command}: {output:?}");
    serde_json::from_slice(&output.stdout).unwrap()
}

/// The validator of a command's answers. A field that the schema doesn't know is a fault too.
pub(crate) fn validator(command: &str) -> Arc<Validator> {
    let mut known = VALIDATORS.lock().unwrap();
    let validator = known.entry(command.to_owned()).or_insert_with(|| {
        let mut schema = schema(command);
        let definitions = schema["$defs"].as_object_mut().unwrap();
        // What stands within another object has that one's fields beside its own.
        let within = |definition: &Value| -> Vec<Value> {
            let parts = definition["anyOf"].as_array().into_iter().flatten();
            parts
                .filter(|_| definition["type"] == "object")
                .map(|part| part["$ref"].clone())
                .collect()
        };
        let parts: Vec<Value> = definitions.values().flat_map(within).collect();
        for (name, definition) in definitions {
            let apart = !parts.contains(&json!(format!("#/$defs/{name}")));
            if definition["type"] == "object" && apart {
                definition["unevaluatedProperties"] = json!(false);
            }
        }
        Arc::new(jsonschema::draft202012::new(&schema).unwrap())
    });
    Arc::clone(validator)
}

/// The command that a command line names: the longest of them that its words begin with.
pub(crate) fn command(words: &[String]) -> Option<&'static str> {
    let mut plain = Vec::new();
    let mut words = words.iter();
    while let Some(word) = words.next() {
        match word.as_str() {
            "--db" => drop(words.next()),
            option if option.starts_with('-') => {}
            word => plain.push(word),
        }
    }
    let named = |command: &&String| {
        let mut parts = command.split(' ').zip(&plain);
        plain.len() >= command.split(' ').count() && parts.all(|(part, word)| part == *word)
    };
    let longest = COMMANDS.iter().filter(named).max_by_key(|command| command.len());
    longest.map(String::as_str).or(plain.is_empty().then_some("tackfree"))
}

/// Each value in a text of JSON lines, or the one that it is.
pub(crate) fn hold(words: &[String], text: &str) {
    for value in serde_json::Deserializer::from_str(text).into_iter::<Value>() {
        let Ok(value) = value else { return };
        let command = if value["error"].is_object() { Some("error") } else { command(words) };
        let command = command.unwrap_or_else(|| panic!("no schema for {words:?}"));
        let faults: Vec<String> = validator(command)
            .iter_errors(&value)
            .map(|fault| format!("{} at {}", fault, fault.instance_path()))
            .collect();
        assert!(faults.is_empty(), "{words:?} against schema {command}: {faults:#?}\n{value:#}");
    }
}
