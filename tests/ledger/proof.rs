//! What was written down can't be changed; and where somebody changes it all the same, it comes to light.

use rusqlite::Connection;

use crate::harness::TestShop;

/// A shop with a handful of entries: setup, can, batch, lot, a step, a coat, rags.
pub(super) fn shop() -> TestShop {
    let mut shop = TestShop::open();
    for (at, line) in [
        ("2026-03-02 09:00", "can open 'hard wax' --name W1"),
        ("2026-03-02 09:00", "batch open rest --recipe 'one coat' --pieces 12"),
        ("2026-03-02 09:00", "lot start rest --pieces 12 --rack drip-1"),
        ("2026-03-02 10:00", "done rest-1"),
        ("2026-03-02 11:00", "done rest-1"),
        ("2026-03-02 12:00", "rags done --how 'spread flat outdoors'"),
    ] {
        shop.at(at).run(line).ok();
    }
    shop
}

fn behind_its_back(shop: &TestShop, sql: &str) -> rusqlite::Result<()> {
    Connection::open(shop.database()).unwrap().execute_batch(sql)
}

/// The faults that `ledger check` finds; it ends with the code for database trouble.
#[track_caller]
fn faults(shop: &TestShop) -> Vec<String> {
    let run = shop.run("ledger check --json");
    let report: serde_json::Value = serde_json::from_str(&run.stdout).unwrap();
    assert_eq!((run.code, &report["whole"]), (4, &false.into()), "{run}");
    assert_eq!(run.error()["code"], 4, "{run}");
    let faults = report["faults"].as_array().unwrap().iter().map(|fault| fault.as_str().unwrap());
    // To change anything the triggers have to go.
    let faults = faults.filter(|fault| !fault.starts_with("the layout isn't tackfree's: trigger"));
    faults.map(str::to_owned).collect()
}

const UNLOCK: &str = "PRAGMA foreign_keys = off; DROP TRIGGER entry_is_never_changed; DROP TRIGGER entry_is_never_deleted;";

#[test]
fn entries_are_never_changed_and_never_deleted() {
    let shop = shop();
    for sql in [
        "UPDATE entry SET at = recorded WHERE id = 5",
        "UPDATE entry SET anyway = NULL",
        "DELETE FROM entry WHERE id = 7",
        "DELETE FROM entry",
    ] {
        let refused = behind_its_back(&shop, sql).unwrap_err().to_string();
        assert!(refused.contains("the ledger is append-only"), "{sql}: {refused}");
    }
    assert_eq!(shop.json("ledger check")["entries"], 7);
}

#[test]
fn a_whole_history_is_said_to_be_whole_with_its_last_hash() {
    let shop = shop();
    let check = shop.json("ledger check");
    assert_eq!((&check["whole"], &check["entries"]), (&true.into(), &7.into()));
    let hash = check["last_hash"].as_str().unwrap().to_owned();
    assert!(hash.len() == 64 && hash.chars().all(|c| c.is_ascii_hexdigit()), "{hash}");
    let text = shop.run("ledger check").ok();
    assert!(text.starts_with("The history is whole: 7 entries in ") && text.contains(&hash));
    shop.run("undo").ok();
    assert_ne!(shop.json("ledger check")["last_hash"], hash);
}

#[test]
fn a_changed_row_comes_to_light() {
    for column in [
        "at = '2026-03-02T09:59:00Z'",
        "recorded = '2026-03-02T10:01:00Z'",
        "anyway = '{\"reason\":\"so\",\"overruled\":[]}'",
    ] {
        let shop = shop();
        behind_its_back(&shop, &format!("{UNLOCK} UPDATE entry SET {column} WHERE id = 5"))
            .unwrap();
        assert!(
            faults(&shop)[0].starts_with("entry 5 was changed"),
            "{column}: {:?}",
            faults(&shop)
        );
    }
    let shop = shop();
    let fewer =
        "UPDATE entry SET fact = replace(fact, '\"pieces\":12', '\"pieces\":11') WHERE id = 4";
    behind_its_back(&shop, &format!("{UNLOCK} {fewer}")).unwrap();
    assert!(faults(&shop)[0].starts_with("entry 4 was changed"), "{:?}", faults(&shop));
}

#[test]
fn a_missing_or_a_slipped_in_row_comes_to_light() {
    let shop = shop();
    behind_its_back(
        &shop,
        &format!("{UNLOCK} DELETE FROM about WHERE entry = 5; DELETE FROM entry WHERE id = 5"),
    )
    .unwrap();
    let found = faults(&shop);
    assert_eq!(found[0], "entry 5 is missing");
    assert!(found[1].starts_with("entry 6 was changed, or the one before it was"), "{found:?}");
    // With everything behind it renumbered the gap is closed, and the hashes tell.
    let shop = self::shop();
    let closed = "DELETE FROM about; DELETE FROM entry WHERE id = 5; UPDATE entry SET id = id - 1 WHERE id > 5";
    behind_its_back(&shop, &format!("{UNLOCK} {closed}")).unwrap();
    assert!(faults(&shop).iter().any(|fault| fault.starts_with("entry 5 was changed")));
    let shop = self::shop();
    let slipped_in = "INSERT INTO entry SELECT 8, at, recorded, fact, anyway, hash, act, form FROM entry WHERE id = 6";
    behind_its_back(&shop, slipped_in).unwrap();
    assert!(faults(&shop)[0].starts_with("entry 8 was changed"), "{:?}", faults(&shop));
}

#[test]
fn a_row_that_can_t_be_read_comes_to_light() {
    let shop = shop();
    behind_its_back(
        &shop,
        &format!("{UNLOCK} UPDATE entry SET fact = '{{\"fact\":\"melted\"}}' WHERE id = 5"),
    )
    .unwrap();
    let found = faults(&shop);
    assert!(
        found.iter().any(|fault| fault.contains("entry 5") && fault.contains("melted")),
        "{found:?}"
    );
    let unreadable = shop.run("due").fails(4);
    assert!(
        unreadable.contains("entry 5") && unreadable.contains("tackfree ledger check"),
        "{unreadable}"
    );
}

#[test]
fn whoever_reads_a_lot_tells_that_an_entry_about_it_is_missing() {
    for missing in ["nth = 1", "nth = (SELECT max(nth) FROM about WHERE kind = 'lot')", "nth = 2"] {
        let shop = shop();
        shop.run("lot show rest-1").ok();
        let sql = format!("DELETE FROM about WHERE kind = 'lot' AND name = 'rest-1' AND {missing}");
        behind_its_back(&shop, &sql).unwrap();
        let said = shop.run("lot show rest-1").fails(4);
        assert!(said.contains("is damaged"), "{missing}: {said}");
    }
}

#[test]
fn a_wrong_index_comes_to_light() {
    for (sql, index) in [
        ("DELETE FROM about WHERE kind = 'lot'", "what entries are about"),
        ("INSERT INTO about VALUES ('lot', 'rest-2', 5, 1)", "what entries are about"),
        ("DELETE FROM open_now WHERE kind = 'batch'", "what is open"),
        ("INSERT INTO open_now VALUES ('can', 'K9')", "what is open"),
        ("UPDATE about SET nth = 2 WHERE kind = 'can'", "what entries are about"),
        ("UPDATE counted SET entries = 9 WHERE kind = 'lot'", "what entries are about"),
        ("UPDATE counted SET name = name || '0' WHERE kind = 'lot'", "what entries are about"),
        ("UPDATE counted SET kind = 'loft' WHERE kind = 'lot'", "what entries are about"),
    ] {
        let shop = shop();
        behind_its_back(&shop, sql).unwrap();
        assert_eq!(faults(&shop), [format!("the index of {index} is not what the entries say")]);
    }
}

/// Nothing that tells of a change may be taken out of the layout, or be put in to make one.
#[test]
fn a_changed_layout_comes_to_light() {
    for (sql, what) in [
        ("DROP TRIGGER entry_is_never_changed", "trigger entry_is_never_changed"),
        (
            "DROP INDEX about_by_entry; CREATE INDEX about_by_entry ON about (entry, name, kind)",
            "index about_by_entry",
        ),
        (
            "CREATE TRIGGER more AFTER INSERT ON entry BEGIN DELETE FROM open_now; END",
            "trigger more",
        ),
        ("CREATE TABLE songs (title TEXT)", "table songs"),
    ] {
        let shop = shop();
        behind_its_back(&shop, sql).unwrap();
        let said = shop.run("ledger check").stdout;
        assert!(
            said.contains(&format!("the layout isn't tackfree's: {what} was changed")),
            "{said}"
        );
    }
}

#[test]
fn an_entry_is_not_replaced_either() {
    let shop = shop();
    let replace = "REPLACE INTO entry SELECT id, recorded, recorded, fact, anyway, hash, act, form FROM entry WHERE id = 5";
    let refused = behind_its_back(&shop, replace).unwrap_err().to_string();
    assert!(refused.contains("the ledger is append-only"), "{refused}");
}

/// Readings slipped in under an entry that brought none would end a cure early.
#[test]
fn readings_belong_to_the_entry_that_brought_them() {
    for (entry, told) in [("5", "readings stand under entry 5"), ("9999", "under entry 9999")] {
        let shop = shop();
        shop.run("climate add 'oil room' --temp 12").ok();
        let slipped = format!(
            "PRAGMA foreign_keys = off;
             INSERT INTO reading VALUES ('oil room', 1772500000, 23, 50, NULL, NULL, NULL, {entry})"
        );
        behind_its_back(&shop, &slipped).unwrap();
        let found = faults(&shop);
        assert!(found.iter().any(|fault| fault.contains(told)), "{found:?}");
        let said = shop.run("cure rest-1").fails(4);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("a reading of oil room isn't as it was taken in"), "{said}");
    }
}

/// A tail cut off with its index rows leaves a ledger that is whole in itself: the hash noted down elsewhere tells.
#[test]
fn a_tail_that_was_cut_off_comes_to_light_by_the_last_hash() {
    let shop = shop();
    let earlier = shop.json("ledger check")["last_hash"].as_str().unwrap().to_owned();
    shop.run("note shop 'swept the floor'").ok();
    let last = shop.json("ledger check")["last_hash"].as_str().unwrap().to_owned();
    shop.run(&format!("ledger check --last {last}")).ok();
    shop.run(&format!("ledger check --last {}", &earlier[..8])).ok();
    let cut = "PRAGMA foreign_keys = off; DROP TRIGGER entry_is_never_deleted;
         DELETE FROM counted WHERE kind = 'shop'; DELETE FROM about WHERE entry = 8; DELETE FROM entry WHERE id = 8;
         UPDATE tip SET entry = 7, hash = (SELECT hash FROM entry WHERE id = 7);
         CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
         BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never deleted, undo records a further one'); END;";
    behind_its_back(&shop, cut).unwrap();
    let said = shop.run(&format!("ledger check --last {last}")).stdout;
    assert!(said.contains("no entry has the hash"), "{said}");
    // The one beside the database tells without being asked.
    let said = shop.run("ledger check").stdout;
    assert!(said.contains("no entry has the hash"), "{said}");
    std::fs::remove_file(shop.database().with_extension("tackfree.last")).unwrap();
    shop.run("ledger check").ok();
    shop.run("ledger check --last 12").fails(2);
}
