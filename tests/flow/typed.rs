//! What is typed wrong, and with which code the program ends.

use crate::harness::{SORREL_LANE, TestShop};

fn shop() -> TestShop {
    let shop = TestShop::open();
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 20").ok();
    shop.run("lot start salt --pieces 20 --rack drip-1 --from 6").ok();
    shop
}

#[test]
fn a_mistyped_name_gets_a_suggestion() {
    let shop = shop();
    for (line, meant) in [
        ("batch open sugar --recipe 'tree coats' --pieces 5", "three coats"),
        ("can open 'hose oil' --name K8", "house oil"),
        ("can empty k7", "K7"),
        ("batch show slat", "salt"),
        ("batch close sallt", "salt"),
        ("lot start sal --pieces 3", "salt"),
        ("lot list slat", "salt"),
        ("lot show slat-1", "salt-1"),
        ("lot move salt-1 --rack drop-2", "drip-2"),
        ("lot hold salt-11 --why so", "salt-1"),
        ("lot split salt-2 --pieces 3", "salt-1"),
        ("done salt-1 --can K8", "K7"),
        ("done salt-1 --rack DRIP-2", "drip-2"),
        ("done --rack dirp-1", "drip-1"),
        ("touch salt-2 tacky", "salt-1"),
        ("ship salt-7 --to nobody", "salt-1"),
    ] {
        let refused = shop.run(line).refused("unknown-name");
        assert!(refused.contains(&format!("did you mean {meant:?}?")), "{line}: {refused}");
    }
    let nothing_near = shop.run("batch show cellar").refused("unknown-name");
    assert!(nothing_near.contains("name salt"), "{nothing_near}");
}

/// The same code as text and as JSON, where nothing is said on standard output.
#[test]
fn each_kind_of_trouble_has_its_exit_code() {
    let shop = shop();
    let code = |line: &str| shop.run(&format!("{line} --json")).error()["code"].clone();
    shop.run("due").ok();
    for line in ["ship salt-1 --to nobody", "batch close salt", "lot release salt-1"] {
        assert_eq!(code(line), 1, "{line}");
        shop.run(line).fails(1);
    }
    for line in [
        "don salt-1",
        "done",
        "done salt-0",
        "done salt",
        "lot start salt --pieces 0",
        "lot start salt --pieces -3",
        "lot start salt --pieces 3 --from 40",
        "touch salt-1 sticky",
        "batch open 'two words' --recipe 'three coats' --pieces 5",
        "batch open sugar --recipe 'three coats' --pieces 5 --due someday",
        "can open 'house oil' --name K8 --litres much",
        "can open 'house oil' --name K8 --litres NaN",
        "due --now whenever",
        "done salt-1 --at '25:00'",
        "rags done --how ' '",
        "undo 999",
        "lot show salt-9",
        "setup new shop.toml",
    ] {
        assert_eq!(code(line), 2, "{line}");
        shop.run(line).fails(2);
    }
    shop.write("broken.toml", "[shop]\nname = 3\n");
    for line in ["setup check broken.toml", "setup load broken.toml", "setup check not-there.toml"]
    {
        assert_eq!(code(line), 3, "{line}");
        shop.run(line).fails(3);
    }
    shop.write("text.db", "this is no database, only a text that is long enough to be read as one");
    for line in ["due --db text.db", "due --db .", "done salt-1 --db no-folder/shop.db"] {
        assert_eq!(code(line), 4, "{line}");
        shop.run(line).fails(4);
    }
}

#[test]
fn a_time_that_comes_twice_or_never_names_the_offsets_that_would_settle_it() {
    let mut shop = shop();
    shop.at("2026-03-29 12:00");
    let never = shop.run("done salt-1 --at '01:30'").fails(2);
    assert!(never.contains("01:30"), "{never}");
    shop.at("2026-10-25 12:00");
    let twice = shop.run("done salt-1 --at '01:30'").fails(2);
    assert!(twice.contains("+00:00") && twice.contains("+01:00"), "{twice}");
    shop.run("done salt-1 --at '2026-10-25 01:30+01:00' --anyway 'an old can'").ok();
    let shown = shop.json("lot show salt-1");
    assert_eq!(shown["steps"][5]["done"], "2026-10-25T01:30:00+01:00");
}

#[test]
fn no_number_is_too_large_to_answer() {
    let shop = shop();
    for line in [
        "done salt-1 --minutes 4294967295",
        "lot list --now 9999-12-31",
        "due --now '9999-12-31 23:59'",
        "racks --now '0001-01-01 00:00'",
        "lot show salt-4294967295",
        "lot show salt-99999999999999999999",
        "lot split salt-1 --pieces 4294967295",
        "lot reject salt-1 --pieces 4294967295 --why so",
        "undo 9223372036854775807",
        "undo -- -1",
        "ledger list --last 18446744073709551615",
        "done salt-1 --step 4294967295 --anyway so",
        "begin salt-1 --step 0",
        "batch open b --recipe 'three coats' --pieces 100000",
        "lot start salt --pieces 100000 --rack loft",
        "done salt-1 --at '0001-01-01 00:00'",
        "done salt-1 --at '999999h ago'",
    ] {
        // The harness fails on a panic; any answer is right here.
        let run = shop.run(line);
        assert!((0..=2).contains(&run.code), "{run}");
    }
    assert_eq!(shop.json("ledger check")["whole"], true);
}

#[test]
fn json_and_text_may_be_asked_for_before_or_after_the_command() {
    let shop = shop();
    let after = shop.run("due --json").ok();
    assert_eq!(shop.run("--json due").ok(), after);
    shop.run("--db other.tackfree setup load shop.toml").ok();
    let elsewhere = shop.run("--db other.tackfree due --json").json();
    assert_eq!(elsewhere["items"], serde_json::json!([]));
    assert!(shop.folder().join("other.tackfree").exists());
}

/// A setup's faults are told all at once, each with its place; and as data.
#[test]
fn a_faulty_setup_is_not_stored() {
    let shop = shop();
    let faulty =
        SORREL_LANE.replace("slots = 24\n", "slots = -4\n").replace("hands = 1", "hands = 0");
    shop.write("faulty.toml", &faulty);
    let said = shop.run("setup load faulty.toml").fails(3);
    assert!(said.contains("faulty.toml has 2 faults: nothing is stored"), "{said}");
    let error = shop.run("setup load faulty.toml --json").error();
    assert_eq!(error["faults"].as_array().unwrap().len(), 2, "{error}");
    assert_eq!(error["faults"][0]["line"], 6, "{error}");
    assert_eq!(shop.json("racks")["racks"][1]["slots"], 24);
}
