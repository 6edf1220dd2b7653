//! Ledgers of earlier days. Each `layout_N.sql` in `tests/data/ledger` was written by the program of its time and is never
//! written again; today's program opens every one of them, finds it whole, and answers as it did then. The answers are
//! compared in JSON: a sentence may be put better, what it says of the shop may not change.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::fs;
#[cfg(target_os = "linux")]
use std::os::unix::process::ExitStatusExt as _;
use std::path::{Path, PathBuf};

use rusqlite::types::ValueRef;
use rusqlite::{Connection, OptionalExtension as _};
use serde_json::Value;
use snapbox::{Data, assert_data_eq};

use tackfree::shop::fact::Fact;
use tackfree::store::stored;

use crate::harness::{TestShop, folder};

const SETUP: &str = include_str!("../data/ledger/shop.toml");

/// When the answers are asked for.
const ASKED: &str = "2026-03-23 09:00";

/// What layout 3 knew: every kind of fact it had, each in every form it took.
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

/// What an order goes through since.
const LATER: [(&str, &str); 40] = [
    (
        "2026-03-10 10:00",
        "batch open cup --recipe 'one coat' --pieces 10 --due 2026-04-24 --wanted 2026-04-17 --for 'the café'",
    ),
    ("2026-03-10 10:01", "batch change cup --pieces 12 --for 'the inn'"),
    ("2026-03-10 10:02", "batch change cup --due 2026-04-29"),
    ("2026-03-10 10:03", "batch open mug --recipe 'one coat' --pieces 4"),
    ("2026-03-10 10:04", "note shop 'the heater was serviced'"),
    ("2026-03-10 10:05", "note cup 'from the pale board'"),
    ("2026-03-10 10:06", "note W1 'stir it well'"),
    ("2026-03-10 10:10", "lot start cup --pieces 14"),
    ("2026-03-10 10:20", "done cup-1 --minutes 8"),
    ("2026-03-10 10:30", "begin cup-1 --rack drip-1"),
    ("2026-03-10 10:35", "done cup-1 --can W1 --pieces 9"),
    ("2026-03-10 10:50", "done cup-2 --can W1"),
    ("2026-03-10 10:55", "note cup-2 'the dark ones'"),
    ("2026-03-10 11:00", "rags done --how 'soaked in water'"),
    ("2026-03-11 09:00", "climate add 'oil room' --lowest 16 --highest 22"),
    (
        "2026-03-11 09:05",
        "lot start mug --pieces 4 --from 2 --rack drip-1 --did '1=2026-03-10 16:00'",
    ),
    ("2026-03-11 09:20", "done mug-1 --can W1"),
    ("2026-03-11 09:30", "batch cancel mug --why 'not wanted any more'"),
    ("2026-03-11 09:31", "lot give mug-1 --to cup"),
    (
        "2026-03-11 09:40",
        "lot start cup --pieces 2 --from 4 --rack drip-1 --did '2=2026-03-10 16:00 W1'",
    ),
    ("2026-03-21 09:00", "done cup-1 --pieces 6 --minutes 3"),
    ("2026-03-21 09:05", "done cup-5"),
    ("2026-03-21 09:10", "lot join cup-1 cup-5"),
    ("2026-03-21 09:11", "lot hold cup-3 --why 'one is scratched'"),
    ("2026-03-21 09:12", "lot rework cup-1 --pieces 2 --from-step 1 --why streaks"),
    ("2026-03-21 09:13", "lot rework cup-2 --from-step 2 --why 'a dry patch'"),
    ("2026-03-21 09:14", "lot reject cup-1 --pieces 1 --why cracked --step 1"),
    ("2026-03-21 09:15", "lot split cup-3 --pieces 1"),
    ("2026-03-21 09:20", "ship cup-1 --pieces 4 --to 'the inn'"),
    ("2026-03-21 09:21", "ship cup-1 --to 'the inn'"),
    ("2026-03-21 09:30", "ship cancel 83 --why 'the courier refused it'"),
    ("2026-03-22 09:00", "ship return 82 cup-1 --pieces 1 --why sticky"),
    ("2026-03-22 09:10", "undo 85"),
    ("2026-03-22 09:11", "undo 86"),
    ("2026-03-22 09:20", "done cup-6"),
    ("2026-03-22 09:25", "note 82 'the box was wet'"),
    ("2026-03-22 09:30", "plan --keep"),
    ("2026-03-22 09:40", "stock count P240 40"),
    ("2026-03-22 09:41", "stock add cloths 100"),
    ("2026-03-22 09:42", "stock moisture 'spoon rest' 11.5 --room 'oil room'"),
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
    ("setup_show", "setup show"),
    ("spares", "spares salt"),
    ("today", "today --now '2026-03-10 11:00'"),
    ("yesterday", "racks --now '2026-03-04 10:00'"),
];

/// The same about what came later.
const LATER_QUESTIONS: [(&str, &str); 10] = [
    ("air", "air cup-6"),
    ("batch_show_cup", "batch show cup"),
    ("batch_show_mug", "batch show mug"),
    ("grit", "grit --check 'two coats'"),
    ("kit", "kit cup-2 cup-6"),
    ("lot_show_cup_1", "lot show cup-1"),
    ("lot_show_cup_4", "lot show cup-4"),
    ("ship_list", "ship list"),
    ("ship_show", "ship show 82"),
    ("spares_cup", "spares cup"),
];

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/ledger")
}

/// Both stories, told to the program as it is now.
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
    for (at, line) in STORY.into_iter().chain(LATER) {
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
        let later = if name == "layout_3" { &LATER_QUESTIONS[..0] } else { &LATER_QUESTIONS };
        for (file, question) in QUESTIONS.iter().chain(later) {
            let answer = serde_json::to_string_pretty(&shop.json(question)).unwrap();
            let path = data().join(&name).join(format!("{file}.txt"));
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
        let kept = match name.as_str() {
            "layout_3" => ("2026-03-10T09:00:00+00:00", "2026-04-01T10:57:00+01:00", 13),
            _ => ("2026-03-22T09:30:00+00:00", "2026-04-28T11:33:00+01:00", 17),
        };
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

/// A program that is killed before any of its calls that change the disk leaves a file that opens and is whole: it was
/// migrated to the end or, as its layout then says, not at all.
#[test]
#[cfg(target_os = "linux")]
fn a_killed_migration_is_whole_or_never_was() {
    let tools = folder();
    let library = super::power::shim(tools.path());
    let (_, sql) = ledgers().remove(0);
    let whole = of_ledger(&sql);
    whole.run("due").ok();
    let migrated = dumped(&Connection::open(whole.database()).unwrap());
    let mut untouched = 0;
    for call in 1.. {
        let shop = of_ledger(&sql);
        let before = dumped(&Connection::open(shop.database()).unwrap());
        let mut command = shop.command("due");
        command.env("LD_PRELOAD", &library).env("WATCHED", shop.database().parent().unwrap());
        let output = command.env("DIES_BEFORE", call.to_string()).output().unwrap();
        // Reading it plays back the journal that the killed program left.
        let after = dumped(&Connection::open(shop.database()).unwrap());
        if output.status.success() {
            assert_eq!(after, migrated);
            break;
        }
        assert_eq!(output.status.signal(), Some(9), "{output:?}");
        assert!(after == before || after == migrated, "killed before call {call}: {after}");
        untouched += usize::from(after == before);
        assert_eq!(shop.json("ledger check")["whole"], true, "killed before call {call}");
        assert_eq!(dumped(&Connection::open(shop.database()).unwrap()), migrated, "after {call}");
    }
    assert!(untouched > 20, "killed only {untouched} times before it was over");
}

/// What the program as it is now would write is what the stories were told with: no kind of fact is missing in them.
#[test]
fn the_stories_have_every_kind_of_fact_in_them() {
    let list = told().json("ledger list");
    let entries = list["entries"].as_array().unwrap();
    let kinds: BTreeSet<&str> =
        entries.iter().map(|entry| entry["what"].as_str().unwrap()).collect();
    assert_eq!(kinds, Fact::WORDS.iter().copied().collect());
}
