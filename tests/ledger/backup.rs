//! Backups: of one moment, proved whole, never over anything; and back again, beside what is there.

use std::fs;

use rusqlite::Connection;

use super::proof::shop;
use crate::harness::{SORREL_LANE, TestShop};

fn file_name(shop: &TestShop, folder: &str) -> Vec<String> {
    let files = fs::read_dir(shop.folder().join(folder)).unwrap();
    let mut files: Vec<String> =
        files.map(|file| file.unwrap().file_name().into_string().unwrap()).collect();
    // Beside each backup stands its last hash.
    let noted: Vec<String> =
        files.extract_if(.., |name| name.strip_suffix(".last").is_some()).collect();
    assert!(noted.iter().all(|name| files.iter().any(|file| format!("{file}.last") == *name)));
    files.sort();
    files
}

#[test]
fn a_backup_has_everything_up_to_its_moment() {
    let mut shop = shop();
    let hash = shop.json("ledger check")["last_hash"].clone();
    let backup = shop.json("ledger backup copy.tackfree");
    assert_eq!((&backup["entries"], &backup["last_hash"]), (&7.into(), &hash));
    for line in ["due", "racks", "ledger list --last 3", "rags"] {
        assert_eq!(shop.run(line).ok(), shop.run(&format!("--db copy.tackfree {line}")).ok());
    }
    shop.at("2026-03-02 13:00").run("note shop 'swept the floor'").ok();
    assert_eq!(shop.json("--db copy.tackfree ledger check")["entries"], 7);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = fs::metadata(shop.folder().join("copy.tackfree")).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600);
    }
}

/// Its last hash stands beside it, so that one that lost its end is not taken for whole.
#[test]
fn a_backup_that_was_cut_off_is_not_restored() {
    let shop = shop();
    shop.run("ledger backup copy.tackfree").ok();
    let cut = "PRAGMA foreign_keys = off; DROP TRIGGER entry_is_never_deleted;
               DELETE FROM entry WHERE id = 7;
               UPDATE counted SET entries = entries - 1
               WHERE (kind, name) IN (SELECT kind, name FROM about WHERE entry = 7);
               DELETE FROM counted WHERE entries = 0;
               DELETE FROM about WHERE entry = 7;
               INSERT INTO open_now VALUES ('rags', '6');
               UPDATE tip SET entry = 6, hash = (SELECT hash FROM entry WHERE id = 6), open = open + 1;
               CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
               BEGIN SELECT RAISE(ABORT, 'the ledger is append-only: an entry is never deleted, undo records a further one'); END;";
    let copy = shop.folder().join("copy.tackfree");
    Connection::open(&copy).unwrap().execute_batch(cut).unwrap();
    let said = shop.run("ledger restore copy.tackfree --to again.tackfree").fails(4);
    assert!(said.contains("isn't whole"), "{said}");
    let check = shop.run("ledger check --json --db copy.tackfree");
    assert!(check.stdout.contains("cut off or changed"), "{check}");
    // All else fits: nothing but the hash beside it tells.
    fs::remove_file(copy.with_extension("tackfree.last")).unwrap();
    shop.run("ledger restore copy.tackfree --to again.tackfree").ok();
}

#[test]
fn a_backup_is_written_over_nothing() {
    let shop = shop();
    shop.write("notes.txt", "oil, rags");
    let database = shop.database().display().to_string();
    for there in ["notes.txt", &database] {
        let said = shop.run(&format!("ledger backup '{there}'")).fails(2);
        assert!(said.contains("is there already"), "{said}");
    }
    assert_eq!(shop.read("notes.txt"), "oil, rags");
    shop.run("ledger check").ok();
    let said = shop.run("ledger backup nowhere/copy.tackfree").fails(4);
    assert!(said.contains("can't be written"), "{said}");
    let said = shop.run("ledger backup").fails(2);
    assert!(said.contains("backup = \"FOLDER\" under [shop]"), "{said}");
}

#[test]
fn of_backups_in_a_folder_the_newest_are_kept_and_nothing_else_is_dropped() {
    let mut shop = shop();
    fs::create_dir(shop.folder().join("safe")).unwrap();
    shop.write("safe/shop-2020-01-01-000000.tackfree", "somebody else's");
    shop.write("safe/shop-old.tackfree", "mine");
    for day in 3..7 {
        let at = format!("2026-03-0{day} 09:00");
        shop.at(&at).run("ledger backup safe --keep 2").ok();
    }
    assert_eq!(
        file_name(&shop, "safe"),
        [
            "shop-2020-01-01-000000.tackfree",
            "shop-2026-03-05-090000.tackfree",
            "shop-2026-03-06-090000.tackfree",
            "shop-old.tackfree"
        ]
    );
}

#[test]
fn a_damaged_ledger_is_not_backed_up() {
    let shop = shop();
    let database = Connection::open(shop.database()).unwrap();
    database.execute_batch("CREATE TABLE songs (title TEXT)").unwrap();
    let said = shop.run("ledger backup copy.tackfree").fails(4);
    assert!(said.contains("isn't whole") && said.contains("ledger restore"), "{said}");
    assert!(!shop.folder().join("copy.tackfree").exists());
    shop.run("due --db copy.tackfree").fails(4);
}

#[test]
fn a_backup_comes_back_beside_what_is_there_and_says_what_it_lacks() {
    let mut shop = shop();
    shop.run("ledger backup copy.tackfree").ok();
    shop.at("2026-03-02 13:00").run("note shop 'swept the floor'").ok();
    let before = fs::read(shop.database()).unwrap();
    let restored = shop.json("ledger restore copy.tackfree");
    assert_eq!(restored["left"]["newer"], 1);
    assert!(restored["left"]["listed"][0]["about"].as_str().unwrap().contains("swept the floor"));
    let file = restored["restored"].as_str().unwrap().to_owned();
    assert!(file.ends_with("/shop-restored-2026-03-02-130000.tackfree"), "{file}");
    assert_eq!(shop.json(&format!("--db '{file}' ledger check"))["entries"], 7);
    assert!(fs::read(shop.database()).unwrap() == before);
    // Never over anything, and never beside the journal of a crash.
    shop.run(&format!("ledger restore copy.tackfree --to '{file}'")).fails(2);
    shop.write("new.tackfree-journal", "left by a crash");
    let said = shop.run("ledger restore copy.tackfree --to new.tackfree").fails(2);
    assert!(said.contains("new.tackfree-journal is there"), "{said}");
    shop.write("songs", "not a database");
    shop.run("ledger restore songs --to other.tackfree").fails(4);
    assert!(!shop.folder().join("other.tackfree").exists());
    // Where the shop's own file is lost, it comes back to its place.
    fs::remove_dir_all(shop.database().parent().unwrap()).unwrap();
    assert_eq!(shop.json("ledger restore copy.tackfree")["in_place"], true);
    shop.run("done rest-1 --anyway 'it was done'").ok();
    shop.run("ledger check").ok();
}

#[test]
fn what_is_left_and_can_t_be_read_is_said_so() {
    let shop = shop();
    shop.run("ledger backup copy.tackfree").ok();
    fs::write(shop.database(), "a shopping list").unwrap();
    let said = shop.run("ledger restore copy.tackfree").ok();
    assert!(said.contains("is left as it is") && said.contains("isn't a database"), "{said}");
}

/// The setup of the shop with a folder for backups.
fn with_folder(folder: &str) -> TestShop {
    TestShop::with_setup(&SORREL_LANE.replacen(
        "[shop]\n",
        &format!("[shop]\nbackup = \"{folder}\"\n"),
        1,
    ))
}

#[test]
fn the_timer_checks_and_backs_up_once_a_day_and_the_day_sheet_says_so() {
    let mut shop = with_folder("~/safe");
    assert!(shop.run("today").ok().contains("no backup yet"));
    let home = shop.folder().join("home");
    fs::create_dir(home.join("safe")).unwrap();
    for (at, there) in [
        ("2026-03-02 18:00", 1),
        ("2026-03-02 18:01", 1),
        ("2026-03-03 17:59", 1),
        ("2026-03-03 18:00", 2),
    ] {
        shop.at(at).run("remind send").ok();
        assert_eq!(file_name(&shop, "home/safe").len(), there, "{at}");
    }
    let today = shop.at("2026-03-12 18:00").run("today").ok();
    assert!(today.contains("last backup 9 days ago"), "{today}");
    assert!(today.contains("history checked Tue 3 Mar 18:00, whole"), "{today}");
    // A drive that isn't there is told, once a minute to nobody.
    fs::remove_dir_all(home.join("safe")).unwrap();
    let run = shop.run("remind send");
    assert!(run.stderr.contains("no backup was made"), "{run}");
    assert!(!shop.run("remind send").stderr.contains("no backup was made"));
    let today = shop.run("today").ok();
    assert!(today.contains("! No backup was made"), "{today}");
}

#[test]
fn what_the_daily_check_finds_stands_on_the_day_sheet() {
    let mut shop = TestShop::open();
    shop.run("note shop 'swept the floor'").ok();
    for turn in 0..5 {
        shop.run(&format!("note shop 'swept the floor again {turn}'")).ok();
    }
    let database = Connection::open(shop.database()).unwrap();
    database
        .execute_batch("DROP TRIGGER entry_is_never_changed; UPDATE entry SET at = '2026-03-01T00:00:00Z' WHERE id = 2")
        .unwrap();
    drop(database);
    let run = shop.run("remind send");
    assert!(run.stderr.contains("the history isn't whole"), "{run}");
    let today = shop.at("2026-03-02 10:00").run("today").ok();
    assert!(today.contains("! The history isn't whole: 2 faults found"), "{today}");
}
