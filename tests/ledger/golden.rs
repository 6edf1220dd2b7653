//! Ledgers of earlier days. Each file in `tests/data/ledger` was written by the program of its time and is never written
//! again; today's program opens every one of them, finds it whole, and answers as it did then.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OptionalExtension as _};
use serde_json::Value;
use snapbox::{Data, assert_data_eq};

use tackfree::shop::fact::Fact;
use tackfree::store::stored;

use crate::harness::TestShop;

const SETUP: &str = include_str!("../data/ledger/shop.toml");

/// When the answers are asked for.
const ASKED: &str = "2026-03-23 09:00";

/// Every kind of fact, each in every form it takes.
const STORY: [(&str, &str); 47] = [
    ("2026-03-02 08:40", "can open 'house oil' --name K7 --litres 1 --maker-lot L4481"),
    ("2026-03-02 08:40", "can open 'hard wax' --name W1"),
    ("2026-03-02 08:45", "can open 'hard wax' --name W0 --litres 0.5 --at '2026-03-02 08:41'"),
    ("2026-03-02 08:50", "can empty W0"),
    (
        "2026-03-02 09:00",
        "batch open rest --recipe 'one coat' --pieces 5 --due 2026-03-27 --for 'a shop in town'",
    ),
    ("2026-03-02 09:00", "batch open salt --recipe 'two coats' --pieces 20"),
    ("2026-03-02 09:00", "batch open slip --recipe 'one coat' --pieces 3"),
    ("2026-03-02 09:01", "batch close slip"),
    ("2026-03-02 09:05", "climate add 'oil room' --temp 21.5 --humidity 52 --surface 20"),
    ("2026-03-02 09:10", "climate import 'oil room' log.csv"),
    ("2026-03-02 09:15", "lot start rest --pieces 6 --rack drip-1"),
    ("2026-03-02 09:20", "lot start salt --pieces 12"),
    ("2026-03-02 09:35", "pace time salt-1"),
    ("2026-03-02 10:00", "done rest-1 --minutes 4"),
    ("2026-03-02 10:30", "begin rest-1"),
    ("2026-03-02 10:32", "done rest-1 --can W1"),
    ("2026-03-02 10:40", "rags done --how 'spread flat outdoors'"),
    ("2026-03-02 12:00", "done salt-1 --minutes 75"),
    ("2026-03-02 13:20", "done salt-1"),
    ("2026-03-02 13:30", "done salt-1"),
    ("2026-03-02 13:35", "lot split salt-1 --pieces 5"),
    ("2026-03-02 13:36", "lot split salt-1 --pieces 1 --rack shelf"),
    ("2026-03-02 13:40", "lot hold salt-3 --why 'a crack?'"),
    ("2026-03-02 13:50", "lot release salt-3"),
    ("2026-03-02 13:55", "lot reject salt-3 --pieces 1 --why cracked"),
    ("2026-03-03 08:40", "begin salt-1 salt-2 --rack drip-1"),
    ("2026-03-03 08:55", "done salt-1 salt-2 --minutes 9"),
    ("2026-03-03 09:00", "setup load second.toml"),
    ("2026-03-03 15:00", "touch salt-1 tacky"),
    ("2026-03-04 09:00", "touch salt-1 tack-free"),
    ("2026-03-04 09:10", "done salt-1 salt-2"),
    ("2026-03-04 09:15", "done salt-2 --can K7 --anyway 'tested on a scrap'"),
    ("2026-03-04 09:30", "done salt-1"),
    ("2026-03-05 16:00", "lot move rest-1 --rack loft"),
    ("2026-03-06 09:00", "touch rest-1 tacky"),
    ("2026-03-09 09:00", "touch rest-1 print-free"),
    ("2026-03-09 09:10", "done rest-1"),
    ("2026-03-09 09:20", "ship rest-1 --pieces 4 --to 'a shop in town'"),
    ("2026-03-09 09:25", "lot move rest-1 --off"),
    ("2026-03-09 09:30", "climate add 'oil room' --temp 35"),
    ("2026-03-09 09:31", "undo --why 'the wrong room'"),
    ("2026-03-09 09:40", "lot start salt --pieces 8 --rack shelf --from 4"),
    ("2026-03-09 09:45", "plan --keep"),
    ("2026-03-09 10:00", "lot reject salt-4 --pieces 1 --why 'tool mark' --at '2026-03-09 09:50'"),
    ("2026-03-10 09:00", "plan --keep"),
    ("2026-03-10 09:10", "touch salt-2 tacky"),
    ("2026-03-10 09:11", "undo"),
];

/// The commands that read, each with the file that holds its answer.
const QUESTIONS: [(&str, &str); 20] = [
    ("batch_list", "batch list --all"),
    ("batch_show_rest", "batch show rest"),
    ("batch_show_salt", "batch show salt"),
    ("can_list", "can list"),
    ("climate_show", "climate show"),
    ("cure", "cure salt-1 salt-2 salt-4"),
    ("due", "due"),
    ("ledger_list", "ledger list"),
    ("lot_list", "lot list"),
    ("lot_show_rest_1", "lot show rest-1"),
    ("lot_show_salt_2", "lot show salt-2"),
    ("lot_show_salt_4", "lot show salt-4"),
    ("pace_rest", "pace rest"),
    ("pace_salt", "pace salt"),
    ("racks", "racks"),
    ("rags", "rags"),
    ("setup_show", "setup show --json"),
    ("spares", "spares salt"),
    ("today", "today --now '2026-03-10 11:00'"),
    ("yesterday", "racks --now '2026-03-04 10:00'"),
];

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/ledger")
}

/// The story, told to the program as it is now.
fn told() -> TestShop {
    let mut shop = TestShop::with_setup(SETUP);
    let second = SETUP.replace("recoat = \"24h..7d\"", "recoat = \"20h..6d\"");
    shop.write("second.toml", &second.replace("each = \"6m10s\"", "each = \"6m\""));
    shop.write(
        "log.csv",
        "time,temperature,humidity\n2026-03-02 08:00,20.5,50\n2026-03-02 08:30,21,51\n2026-03-02 09:00,21.5,\n",
    );
    let keys =
        "09:20:00 s\n09:20:01 s\n09:26:11 s\n09:26:40 p\n09:32:50 s\n09:33:20 p\n09:33:21 q\n";
    for (at, line) in STORY {
        shop.at(at).run_with(line, keys).ok();
    }
    shop.at(ASKED);
    shop
}

/// A database as text: its tables, their rows and its two numbers.
fn dumped(connection: &Connection) -> String {
    let mut text = String::new();
    for pragma in ["application_id", "user_version"] {
        let value: i64 = connection.pragma_query_value(None, pragma, |row| row.get(0)).unwrap();
        writeln!(text, "PRAGMA {pragma} = {value};").unwrap();
    }
    let schema = "SELECT type, name, sql FROM sqlite_schema WHERE sql NOT NULL ORDER BY type = 'trigger', rowid";
    let mut schema = connection.prepare(schema).unwrap();
    let read = |row: &rusqlite::Row<'_>| Ok((row.get(0)?, row.get(1)?, row.get(2)?));
    let parts: Vec<(String, String, String)> =
        schema.query_map([], read).unwrap().map(Result::unwrap).collect();
    for (kind, name, sql) in parts {
        writeln!(text, "{sql};").unwrap();
        if kind != "table" {
            continue;
        }
        let mut rows = connection.prepare(&format!("SELECT * FROM {name}")).unwrap();
        let columns = rows.column_count();
        let mut rows = rows.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            let values: Vec<String> =
                (0..columns).map(|n| quoted(row.get_ref(n).unwrap())).collect();
            writeln!(text, "INSERT INTO {name} VALUES ({});", values.join(", ")).unwrap();
        }
    }
    text
}

fn quoted(value: ValueRef<'_>) -> String {
    match value {
        ValueRef::Null => "NULL".to_owned(),
        ValueRef::Integer(number) => number.to_string(),
        ValueRef::Real(number) => format!("{number:?}"),
        ValueRef::Text(text) => {
            format!("'{}'", std::str::from_utf8(text).unwrap().replace('\'', "''"))
        }
        ValueRef::Blob(_) => panic!("no table holds any"),
    }
}

/// A shop whose database is that ledger.
fn of_ledger(sql: &str) -> TestShop {
    let mut shop = TestShop::bare();
    fs::create_dir_all(shop.database().parent().unwrap()).unwrap();
    let connection = Connection::open(shop.database()).unwrap();
    connection.execute_batch(&format!("BEGIN; {sql} COMMIT;")).unwrap();
    shop.at(ASKED);
    shop
}

/// Every ledger there is, by its name.
fn ledgers() -> Vec<(String, String)> {
    let files = fs::read_dir(data()).unwrap().map(|file| file.unwrap().path());
    let sql = files.filter(|path| path.extension().is_some_and(|end| end == "sql"));
    let read = |path: PathBuf| {
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        (name, fs::read_to_string(path).unwrap())
    };
    let mut ledgers: Vec<_> = sql.map(read).collect();
    ledgers.sort();
    assert!(!ledgers.is_empty());
    ledgers
}

/// Writes the golden ledger of the layout that this program makes, where there is none yet: a later program couldn't.
#[test]
#[ignore = "for whoever makes a new layout"]
fn write_the_ledger_of_this_layout() {
    let shop = told();
    let connection = Connection::open(shop.database()).unwrap();
    let layout: i64 =
        connection.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    let path = data().join(format!("layout_{layout}.sql"));
    assert!(!path.exists(), "a golden ledger is written once");
    fs::write(path, dumped(&connection)).unwrap();
}

#[test]
fn a_ledger_of_any_day_answers_as_it_did() {
    for (name, sql) in ledgers() {
        let shop = of_ledger(&sql);
        let check = shop.json("ledger check");
        assert_eq!(
            (&check["whole"], &check["faults"]),
            (&true.into(), &serde_json::json!([])),
            "{name}"
        );
        for (file, question) in QUESTIONS {
            let answer = shop.run(question).ok();
            let path = data().join("answers").join(format!("{file}.txt"));
            assert_data_eq!(answer, Data::read_from(&path, None).raw());
        }
        // What is shown of the setup reads back as the same, whether its file was kept or is written anew.
        shop.write("shown.toml", &shop.run("setup show").ok());
        assert_eq!(shop.json("setup check shown.toml")["changes"], serde_json::json!([]), "{name}");
        // What is planned now is the engine's matter; what was kept then is the ledger's.
        let drift = &shop.json("plan --effort 1")["drift"];
        let batches = drift["batches"].as_array().unwrap();
        let salt = batches.iter().find(|batch| batch["what"] == "salt").unwrap();
        let was = (&drift["kept_at"], &salt["was"], drift["steps"].as_array().unwrap().len());
        let kept = ("2026-03-10T09:00:00+00:00", "2026-04-01T10:57:00+01:00", 13);
        assert_eq!(was, (&kept.0.into(), &kept.1.into(), kept.2), "{name}");
    }
}

/// Every stored fact of every ledger reads, and is written back to the last byte: whatever a noun is called today.
#[test]
fn what_was_stored_is_written_back_byte_for_byte() {
    for (name, sql) in ledgers() {
        let shop = of_ledger(&sql);
        let connection = Connection::open(shop.database()).unwrap();
        let plan = |digest: &str| {
            let find = "SELECT plan FROM plan WHERE digest = ?1";
            connection
                .query_row(find, [digest], |row| row.get(0))
                .optional()
                .map_err(|e| e.to_string())
        };
        let mut rows = connection.prepare("SELECT fact FROM entry ORDER BY id").unwrap();
        let rows = rows.query_map([], |row| row.get::<_, String>(0)).unwrap().map(Result::unwrap);
        for (id, row) in (1..).zip(rows) {
            let fact =
                stored::read(1, &row, plan).unwrap_or_else(|error| panic!("{name} {id}: {error}"));
            let written = stored::write(&fact).unwrap();
            // A plan stood in its entry up to layout 4, and is told by its digest since.
            let inline = |text: &str| serde_json::from_str::<Value>(text).unwrap()["plan"].clone();
            if matches!(fact, Fact::PlanKept(_)) && !inline(&row).is_null() {
                let beside: Value = serde_json::from_str(written.beside().unwrap()).unwrap();
                assert_eq!(beside, inline(&row), "{name} {id}");
            } else {
                assert_eq!(written.fact, row, "{name} {id}");
            }
        }
    }
}

/// The same for what no golden ledger holds: kinds and fields that came later.
#[test]
fn kinds_that_came_later_are_written_back_byte_for_byte() {
    let plan = r#"{"now":"2026-03-09T09:45:00Z","batches":[],"steps":[],"stays":[],"missed":[],"waits":[],"ready_at":"2026-03-09T09:45:00Z","bound":{"ready_at":"2026-03-09T09:45:00Z","gap_percent":null,"lateness":0,"by":{"path":"salt-1"}},"lateness":0,"idle":0,"held":[],"evaluations":1,"seed":1}"#;
    for line in fs::read_to_string(data().join("golden.jsonl")).unwrap().lines() {
        let fact = stored::read(1, line, |_| Ok(Some(plan.to_owned()))).unwrap();
        let written = stored::write(&fact).unwrap();
        assert_eq!(written.fact, line);
        assert!(written.beside().is_none_or(|beside| beside == plan), "{written:?}");
    }
}

/// A migration that fails at its last line leaves the file as if it had never begun.
#[test]
fn a_migration_is_whole_or_never_was() {
    let (_, sql) = ledgers().remove(0);
    let shop = of_ledger(&sql);
    let connection = Connection::open(shop.database()).unwrap();
    connection.execute_batch("CREATE TABLE reading_gone (room TEXT)").unwrap();
    let before = dumped(&connection);
    shop.run("due").fails(4);
    assert_eq!(dumped(&connection), before);
    connection.execute_batch("DROP TABLE reading_gone").unwrap();
    assert_eq!(shop.json("ledger check")["whole"], true);
}

/// What the program as it is now would write is what the story was told with: no kind of fact is missing in it.
#[test]
fn the_story_has_every_kind_of_fact_in_it() {
    let shop = told();
    let list = shop.json("ledger list");
    let mut kinds: Vec<&str> = list["entries"]
        .as_array()
        .unwrap()
        .iter()
        .map(|entry| entry["what"].as_str().unwrap())
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    assert_eq!(kinds.len(), 20, "{kinds:?}");
}
