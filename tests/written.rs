//! Files that the program writes: never over what isn't of their own kind, and whole or not at all.

use std::fs;
use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, symlink};
use std::path::Path;

use crate::harness::TestShop;

/// What lies in a folder besides the tests' own.
fn names(folder: &Path) -> Vec<String> {
    let names = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name());
    let mut names: Vec<String> = names.map(|name| name.into_string().unwrap()).collect();
    names.sort();
    names
}

fn mode(path: &Path) -> u32 {
    fs::metadata(path).unwrap().permissions().mode() & 0o777
}

#[test]
fn a_calendar_never_replaces_the_database_by_any_name() {
    let shop = TestShop::open();
    let database = shop.database();
    let before = fs::read(&database).unwrap();
    symlink(&database, shop.folder().join("link.ics")).unwrap();
    fs::hard_link(&database, shop.folder().join("hard.ics")).unwrap();
    let journal = format!("{}-journal", database.display());
    let folder = database.parent().unwrap().display();
    for out in [
        &database.display().to_string(),
        "link.ics",
        "hard.ics",
        &journal,
        &format!("{folder}/../tackfree/shop.tackfree"),
    ] {
        let said = shop.run(&format!("calendar --out '{out}'")).fails(2);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains("is the shop's database, or belongs to it"), "{out}: {said}");
    }
    assert!(fs::read(&database).unwrap() == before);
    assert!(!Path::new(&journal).exists());
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn a_calendar_replaces_calendars_and_empty_files_alone() {
    let shop = TestShop::open();
    shop.write("precious.toml", "[shop]\n");
    fs::create_dir(shop.folder().join("folder")).unwrap();
    for (out, why) in [
        ("precious.toml", "is there already and holds something else"),
        ("folder", "isn't a file"),
        ("/dev/null", "isn't a file"),
    ] {
        let said = shop.run(&format!("calendar --out {out}")).fails(2);
        assert!(said.split_whitespace().collect::<Vec<_>>().join(" ").contains(why), "{said}");
    }
    assert_eq!(shop.read("precious.toml"), "[shop]\n");
    shop.write("empty.ics", "");
    for _ in 0..2 {
        shop.run("calendar --out empty.ics").ok();
        assert!(shop.read("empty.ics").starts_with("BEGIN:VCALENDAR"));
    }
    assert_eq!(names(shop.folder()), ["empty.ics", "folder", "home", "precious.toml", "shop.toml"]);
}

#[test]
fn a_link_is_written_through_and_a_file_s_rights_stay() {
    let shop = TestShop::open();
    fs::create_dir(shop.folder().join("synced")).unwrap();
    symlink("synced/shop.ics", shop.folder().join("shop.ics")).unwrap();
    shop.run("calendar --out shop.ics").ok();
    let target = shop.folder().join("synced/shop.ics");
    assert_eq!(mode(&target), 0o600, "nobody else reads a customer's name");
    fs::set_permissions(&target, fs::Permissions::from_mode(0o644)).unwrap();
    let number = fs::metadata(&target).unwrap().ino();
    shop.run("calendar --out shop.ics").ok();
    assert!(fs::symlink_metadata(shop.folder().join("shop.ics")).unwrap().is_symlink());
    assert_eq!(mode(&target), 0o644);
    assert_ne!(
        fs::metadata(&target).unwrap().ino(),
        number,
        "written beside, then put in its place"
    );
    symlink("round.ics", shop.folder().join("round.ics")).unwrap();
    let said = shop.run("calendar --out round.ics").fails(4);
    assert!(said.contains("can't be written"), "{said}");
}

#[test]
fn what_cannot_be_written_leaves_nothing_behind() {
    let shop = TestShop::open();
    let out = "/dev/full/x.ics";
    assert!(shop.run(&format!("calendar --out {out}")).fails(4).contains("can't be written"));
    let said = shop.run("setup new nowhere/shop.toml").fails(4);
    assert!(said.contains("can't be written"), "{said}");
    assert!(shop.run("setup new shop.toml").fails(2).contains("is there already"));
    assert_eq!(names(shop.folder()), ["home", "shop.toml"]);
}

#[test]
fn a_demo_replaces_no_setup_file() {
    let shop = TestShop::bare();
    fs::create_dir(shop.folder().join("kept")).unwrap();
    shop.write("kept/demo.toml", "mine");
    let said = shop.run("demo --keep kept").fails(2);
    assert!(said.contains("is there already"), "{said}");
    assert_eq!(shop.read("kept/demo.toml"), "mine");
}
