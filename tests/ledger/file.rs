//! Files that are newer, somebody else's, broken, older, or where nothing can be written.

use std::fs;

use rusqlite::Connection;

use super::proof::shop;
use crate::harness::TestShop;

/// Every command is refused on that file with the code for database trouble, and leaves it as it is.
#[track_caller]
fn refused(shop: &TestShop, why: &str) {
    let before = fs::read(shop.database()).unwrap();
    for line in ["due", "can list", "undo", "ledger check", "done rest-1"] {
        let said = shop.run(line).fails(4);
        let one_line = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(one_line.contains(why), "{line}: {said}");
        assert!(said.contains("\nnext: "), "{line}: {said}");
    }
    assert!(fs::read(shop.database()).unwrap() == before, "the file was written to");
}

#[test]
fn a_newer_file_is_refused() {
    let shop = shop();
    Connection::open(shop.database()).unwrap().pragma_update(None, "user_version", 999).unwrap();
    refused(&shop, "was written by a newer tackfree: its layout is 999");
}

#[test]
fn somebody_else_s_database_is_refused() {
    let shop = TestShop::bare();
    fs::create_dir_all(shop.database().parent().unwrap()).unwrap();
    let other = Connection::open(shop.database()).unwrap();
    other.execute_batch("CREATE TABLE songs (title TEXT); PRAGMA user_version = 1;").unwrap();
    drop(other);
    refused(&shop, "is a database, but not one of tackfree's");
}

#[test]
fn a_file_that_is_no_database_is_refused() {
    let shop = TestShop::bare();
    fs::create_dir_all(shop.database().parent().unwrap()).unwrap();
    fs::write(shop.database(), "a shopping list: oil, rags, a lidded metal can\n".repeat(50))
        .unwrap();
    refused(&shop, "not one of tackfree's");
}

#[test]
fn a_broken_file_is_told_and_nothing_panics() {
    let whole = fs::read(shop().database()).unwrap();
    let page = 4096;
    assert!(whole.len() > 4 * page);
    for broken in 1..whole.len() / page {
        let shop = shop();
        let mut bytes = whole.clone();
        bytes[broken * page..(broken + 1) * page].fill(0xA5);
        fs::write(shop.database(), &bytes).unwrap();
        let check = shop.run("ledger check");
        assert_eq!(check.code, 4, "page {broken}: {check}");
        for line in ["due", "ledger list", "done rest-1"] {
            let run = shop.run(line);
            assert!(matches!(run.code, 0 | 1 | 4), "page {broken}: {run}");
        }
        fs::write(shop.database(), &whole[..broken * page]).unwrap();
        let check = shop.run("ledger check");
        assert_eq!(check.code, 4, "cut off before page {broken}: {check}");
    }
}

/// Not even the administrator can make a file there.
#[test]
#[cfg(target_os = "linux")]
fn a_folder_in_which_nothing_can_be_made_is_told() {
    let shop = TestShop::bare();
    let said = shop.run("due --db /proc/shop.tackfree").fails(4);
    assert!(said.contains("/proc/shop.tackfree") && said.contains("\nnext: "), "{said}");
    let mut shop = TestShop::bare();
    shop.write("a-file", "");
    let below = shop.folder().join("a-file").display().to_string();
    shop.set("XDG_DATA_HOME", &below);
    let said = shop.run("due").fails(4);
    let one_line = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(one_line.contains("can't be used"), "{said}");
}

#[test]
fn a_file_of_the_first_layout_is_brought_up_to_date_with_all_its_entries() {
    let shop = shop();
    let (check, due) = (shop.json("ledger check"), shop.json("due"));
    let newest = layout(&shop);
    let old = shop.folder().join("old.tackfree");
    let connection = Connection::open(&old).unwrap();
    connection.execute_batch(include_str!("../../migrations/0001_ledger.sql")).unwrap();
    let attach = format!("ATTACH '{}' AS now", shop.database().display());
    connection.execute_batch(&attach).unwrap();
    connection
        .execute_batch(
            "INSERT INTO entry SELECT * FROM now.entry; INSERT INTO about SELECT * FROM now.about;
             INSERT INTO open_now SELECT * FROM now.open_now;
             PRAGMA user_version = 1; PRAGMA application_id = 0x7461636B;",
        )
        .unwrap();
    drop(connection);
    fs::rename(old, shop.database()).unwrap();
    assert_eq!(layout(&shop), 1);
    assert_eq!(shop.json("due"), due);
    assert_eq!(layout(&shop), newest);
    assert_eq!(shop.json("ledger check"), check);
}

fn layout(shop: &TestShop) -> i64 {
    let connection = Connection::open(shop.database()).unwrap();
    connection.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap()
}

#[test]
fn an_empty_file_is_taken_for_a_new_one() {
    let shop = TestShop::bare();
    fs::create_dir_all(shop.database().parent().unwrap()).unwrap();
    fs::write(shop.database(), "").unwrap();
    assert_eq!(shop.json("due")["items"], serde_json::json!([]));
    assert_eq!(shop.json("ledger check")["entries"], 0);
}
