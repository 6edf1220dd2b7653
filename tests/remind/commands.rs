//! `calendar` and `remind install`, `remove` through the program itself.

use std::fs;
use std::os::unix::fs::PermissionsExt as _;

use serde_json::Value;

use super::calendar::{check_octets, read_by_both};
use super::shop::at;
use crate::harness::TestShop;

/// One lot coated on Wednesday, 25 March 2026, at 10:00: its second coat from Thursday 10:00 to Wednesday after 11:00.
fn coated() -> TestShop {
    let shop = at("2026-03-25T10:00:00Z");
    shop.run("can open 'house oil' --name K7").ok();
    shop.run("batch open salt --recipe 'two coats' --pieces 60").ok();
    shop.run("lot start salt --pieces 36 --rack drip-1").ok();
    shop.run("done salt-1 --can K7").ok();
    shop
}

/// The events in the file as two libraries read them.
fn events(shop: &TestShop) -> Vec<Value> {
    let text = shop.run("calendar").ok();
    check_octets(&text);
    let [one, other] = read_by_both(&text);
    assert_eq!(one, other);
    one
}

#[test]
fn the_calendar_has_what_due_says() {
    let shop = coated();
    let found = events(&shop);
    let due = shop.json("due");
    assert_eq!(found.len(), 1);
    let (event, item) = (&found[0], &due["items"][0]);
    assert_eq!(event["local"], item["from"]);
    assert_eq!(event["summary"], "salt-1: coat house oil");
    assert_eq!(event["location"], "drip-1");
    assert_eq!(
        (&event["start"], &event["end"]),
        (&"2026-03-26T10:00:00Z".into(), &"2026-03-26T10:23:00Z".into())
    );
    assert_eq!(
        event["description"],
        "36 pieces\nNo sooner than Thu 26 Mar 2026 10:00\nNo later than Wed 1 Apr 2026 11:00\n\
         By the sheet's own times: no readings of the room\nRecord it: tackfree done salt-1"
    );
    // At its beginning, and four hours before the window shuts.
    let rings: Vec<_> = event["alarms"]
        .as_array()
        .unwrap()
        .iter()
        .map(|alarm| alarm["seconds"].as_i64().unwrap())
        .collect();
    assert_eq!(rings, [0, 6 * 86400 - 4 * 3600]);
}

#[test]
fn an_event_waits_for_the_shop_to_open_and_a_wipe_does_not() {
    let mut shop = coated();
    shop.at("2026-03-27T18:00:00Z");
    shop.run("lot start salt --pieces 12 --rack drip-1").ok();
    shop.run("lot start salt --pieces 12 --rack drip-1 --from 2").ok();
    shop.run("begin salt-2").ok();
    let starts: Vec<_> =
        events(&shop).iter().map(|event| event["start"].as_str().unwrap().to_owned()).collect();
    // The ripe coat of salt-1 since Thursday; the wipe of salt-2 on Friday night; salt-3 on Monday at 08:30 local, in summer time.
    assert_eq!(starts, ["2026-03-26T10:00:00Z", "2026-03-27T18:10:42Z", "2026-03-30T07:30:00Z"]);
}

#[test]
fn what_stays_keeps_its_uid_what_moves_counts_on_what_goes_is_cancelled() {
    let mut shop = coated();
    let first = shop.run("calendar").ok();
    shop.at("2026-03-25T11:00:00Z");
    assert_eq!(shop.run("calendar").ok(), first, "nothing happened, so not an octet differs");

    // The coat is taken back: its successor is not coming, the coat itself is.
    shop.run("undo --why 'wrong lot'").ok();
    let found = events(&shop);
    let seen: Vec<_> = found
        .iter()
        .map(|e| (e["status"].as_str().unwrap(), e["sequence"].as_i64().unwrap()))
        .collect();
    assert_eq!(seen, [("CONFIRMED", 0), ("CANCELLED", 1)]);
    assert_eq!(found[1]["changed"], "2026-03-25T11:00:00Z");
    let cancelled = found[1]["uid"].clone();

    // Done an hour later it comes again, an hour later, under the same UID.
    shop.run("done salt-1 --can K7").ok();
    let found = events(&shop);
    let coat = found.iter().find(|event| event["uid"] == cancelled).unwrap();
    assert_eq!((coat["status"].as_str(), coat["sequence"].as_i64()), (Some("CONFIRMED"), Some(2)));
    assert_eq!(coat["start"], "2026-03-26T11:00:00Z");
    // The first coat was due at ten; its time is over, so that nobody needs to hear that it will not come.
    assert_eq!(found.len(), 1);

    // Held, nothing of it is coming.
    shop.run("lot hold salt-1 --why dust").ok();
    let found = events(&shop);
    assert_eq!(
        (found[0]["status"].as_str(), found[0]["sequence"].as_i64()),
        (Some("CANCELLED"), Some(3))
    );
}

#[test]
fn the_calendar_follows_the_kept_plan_to_the_minute() {
    let shop = coated();
    shop.run("lot start salt --pieces 24 --rack drip-1").ok();
    shop.run("rags done --how 'under water, can outside'").ok();
    let plan = shop.json("plan --started --keep --effort 500");
    let steps = plan["steps"].as_array().unwrap();
    assert_eq!(
        steps.len(),
        5,
        "a coat and an inspection of salt-1, two coats and an inspection of salt-2: {plan}"
    );
    let found = events(&shop);
    assert_eq!(found.len(), steps.len());
    for step in steps {
        let title =
            format!("{}: {}", step["lot"].as_str().unwrap(), step["name"].as_str().unwrap());
        let times =
            |event: &&Value| event["summary"] == title.as_str() && event["local"] == step["start"];
        let event = found
            .iter()
            .find(times)
            .unwrap_or_else(|| panic!("{title} at {}: {found:?}", step["start"]));
        let moment =
            |time: &Value| time.as_str().unwrap().parse::<tackfree::time::Instant>().unwrap();
        let shortest = tackfree::time::Span::minutes(15).after(moment(&step["start"]));
        assert_eq!(moment(&event["end"]), moment(&step["end"]).max(shortest), "{title}");
    }
    // The same again; then held, and all that is planned of it is cancelled.
    assert_eq!(events(&shop), found);
    shop.run("lot hold salt-2 --why dust").ok();
    let of_held = |event: &&Value| event["summary"].as_str().unwrap().starts_with("salt-2");
    let cancelled =
        events(&shop).iter().filter(of_held).all(|event| event["status"] == "CANCELLED");
    assert!(cancelled);
}

#[test]
fn the_file_is_written_whole_and_said_in_json() {
    let shop = coated();
    let said = shop.run("calendar --out shop.ics").ok();
    assert_eq!(said, "shop.ics: 1 event\n");
    let written = fs::read_to_string(shop.folder().join("shop.ics")).unwrap();
    assert_eq!(written, shop.run("calendar").ok());
    let json = shop.json("calendar");
    assert_eq!(json["events"][0]["start"], "2026-03-26T10:00:00+00:00");
    let said = shop.run("calendar --out no/such/folder/shop.ics").fails(4);
    assert!(said.contains("no/such/folder/shop.ics"), "{said}");
}

/// A stand-in for systemctl that writes down how it was called, or fails as where no user manager runs.
fn systemctl(shop: &TestShop, fails: bool) -> std::path::PathBuf {
    let tools = shop.folder().join("tools");
    fs::create_dir_all(&tools).unwrap();
    let script = if fails {
        "#!/bin/sh\necho 'Failed to connect to bus: No medium found' >&2\nexit 1\n"
    } else {
        "#!/bin/sh\necho \"$@\" >> \"$HOME/told\"\n"
    };
    fs::write(tools.join("systemctl"), script).unwrap();
    fs::set_permissions(tools.join("systemctl"), fs::Permissions::from_mode(0o755)).unwrap();
    tools
}

fn run_with(shop: &TestShop, tools: &std::path::Path, line: &str) -> (i32, String, String) {
    let path = format!("{}:/usr/bin:/bin", tools.display());
    let output = shop.command(line).env("PATH", path).output().unwrap();
    let text = |octets| String::from_utf8(octets).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

#[test]
fn install_says_what_it_wrote_twice_changes_nothing_and_remove_undoes_it() {
    let shop = at("2026-03-25T10:00:00Z");
    let tools = systemctl(&shop, false);
    let folder = shop.folder().join("home/config/systemd/user");
    let units = ["tackfree-remind.service", "tackfree-remind.timer"].map(|unit| folder.join(unit));

    let (_, printed, _) = run_with(&shop, &tools, "remind install --print");
    assert!(!folder.exists());
    let (code, said, err) = run_with(&shop, &tools, "remind install");
    assert_eq!((code, err.as_str()), (0, ""));
    for unit in &units {
        assert!(said.contains(&format!("wrote {}", unit.display())), "{said}");
        assert!(printed.contains(&fs::read_to_string(unit).unwrap()), "{printed}");
    }
    assert!(said.contains("tackfree remind remove"), "{said}");
    let service = fs::read_to_string(&units[0]).unwrap();
    let line = format!(
        "ExecStart=\"{}\" \"--db\" \"{}\" \"remind\" \"send\"\n",
        env!("CARGO_BIN_EXE_tackfree"),
        shop.database().display()
    );
    assert!(
        service.contains(&line) && service.contains("Environment=TZ=Europe/Dublin\n"),
        "{service}"
    );
    let timer = fs::read_to_string(&units[1]).unwrap();
    assert!(
        timer.contains("OnCalendar=*-*-* *:*:00\n") && timer.contains("Persistent=true\n"),
        "{timer}"
    );

    let (code, said, _) = run_with(&shop, &tools, "remind install");
    assert!(code == 0 && said.contains("Nothing changed."), "{said}");
    let (code, said, _) = run_with(&shop, &tools, "remind remove");
    assert!(code == 0 && said.contains("took away"), "{said}");
    assert!(units.iter().all(|unit| !unit.exists()));
    let (code, said, _) = run_with(&shop, &tools, "remind remove");
    assert!(code == 0 && said.contains("Nothing changed."), "{said}");
    assert_eq!(
        fs::read_to_string(shop.folder().join("home/told")).unwrap().lines().collect::<Vec<_>>(),
        [
            "--user daemon-reload",
            "--user enable --now tackfree-remind.timer",
            "--user daemon-reload",
            "--user enable --now tackfree-remind.timer",
            "--user disable --now tackfree-remind.timer",
            "--user daemon-reload",
        ]
    );
}

#[test]
fn a_system_that_can_not_be_told_is_said_with_the_command_to_run_by_hand() {
    let shop = at("2026-03-25T10:00:00Z");
    let tools = systemctl(&shop, true);
    let (code, said, err) = run_with(&shop, &tools, "remind install");
    assert_eq!(code, 4);
    assert!(said.contains("wrote "), "{said}");
    assert!(err.contains("No medium found") && err.contains("next: "), "{err}");
}
