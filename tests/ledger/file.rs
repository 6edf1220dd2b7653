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
    assert!(one_line.contains("can't be opened"), "{said}");
}

#[test]
fn an_empty_file_is_no_shop_and_stays_empty() {
    let shop = TestShop::bare();
    fs::create_dir_all(shop.database().parent().unwrap()).unwrap();
    for bytes in ["", "\n"] {
        fs::write(shop.database(), bytes).unwrap();
        refused(&shop, "is empty");
    }
}

#[test]
fn a_mistyped_path_makes_no_shop() {
    let mut shop = TestShop::open();
    let lines = ["due", "ledger check", "batch list", "done rest-1", "undo", "remind send"];
    for line in lines {
        let said = shop.run(&format!("--db typo.tackfree {line}")).fails(4);
        assert!(said.contains("there's no database typo.tackfree"), "{line}: {said}");
    }
    shop.set("TACKFREE_DB", "typo.tackfree");
    for line in lines {
        shop.run(line).fails(4);
    }
    assert!(!shop.folder().join("typo.tackfree").exists());
    for name in [":memory:", "file:x?mode=memory"] {
        let said = shop.run(&format!("--db '{name}' setup load shop.toml")).fails(2);
        assert!(said.contains("isn't the name of a file"), "{said}");
    }
    let said = shop.run("setup load shop.toml").ok();
    assert!(said.contains("\nnew database: typo.tackfree\n"), "{said}");
    assert!(!shop.run("setup load shop.toml").ok().contains("new database"));
}

#[test]
fn before_the_first_setup_nothing_is_wrong_and_nothing_is_made() {
    let shop = TestShop::bare();
    assert_eq!(shop.json("due")["items"], serde_json::json!([]));
    shop.run("batch open rest --recipe 'one coat' --pieces 1").refused("no-setup");
    // Else it would say that it was recorded, and keep it nowhere.
    shop.run("note shop 'the oil is here'").refused("no-setup");
    // What isn't there is not whole.
    let said = shop.run("ledger check").fails(4);
    assert!(said.contains("there's no database"), "{said}");
    assert!(!shop.database().parent().unwrap().exists());
}

#[test]
#[cfg(unix)]
fn nobody_else_reads_the_database_or_looks_into_its_folder() {
    use std::os::unix::fs::PermissionsExt as _;
    let shop = TestShop::open();
    let mode = |path: &std::path::Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&shop.database()), 0o600);
    assert_eq!(mode(shop.database().parent().unwrap()), 0o700);
}

#[test]
#[cfg(unix)]
fn an_error_names_its_cause() {
    let shop = TestShop::open();
    fs::create_dir(shop.folder().join("folder")).unwrap();
    for (db, why) in [
        ("nowhere/x.tackfree", "the folder of nowhere/x.tackfree can't be used: No such file"),
        ("folder", "folder can't be opened: it is a folder"),
        ("/dev/null", "/dev/null can't be opened: it isn't a file"),
        ("/proc/1/mem", "/proc/1/mem can't be opened"),
    ] {
        let said = shop.run(&format!("--db {db} due")).fails(4);
        assert!(said.contains(why), "{said}");
        assert!(!said.contains("recorded") && !said.contains("disk"), "{said}");
    }
}

#[test]
fn a_layout_number_that_rotted_is_told_without_the_text_of_a_migration() {
    let shop = shop();
    let database = Connection::open(shop.database()).unwrap();
    for layout in [1, 2] {
        database.pragma_update(None, "user_version", layout).unwrap();
        let said = shop.run("due").fails(4);
        assert!(said.contains("is damaged") && !said.contains("CREATE"), "{said}");
    }
}
