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

/// The event with that summary.
#[track_caller]
fn named<'a>(events: &'a [Value], summary: &str) -> &'a Value {
    let found = events.iter().find(|event| event["summary"] == summary);
    found.unwrap_or_else(|| panic!("{summary} is not in {events:?}"))
}

fn rings(event: &Value) -> Vec<i64> {
    let alarms = event["alarms"].as_array().unwrap().iter();
    alarms.map(|alarm| alarm["seconds"].as_i64().unwrap()).collect()
}

#[test]
fn the_calendar_has_what_due_says_and_the_windows_end_and_the_rags() {
    let shop = coated();
    let found = events(&shop);
    let due = shop.json("due");
    assert_eq!(found.len(), 3);
    let (event, item) = (named(&found, "salt-1: coat 2 of 2, house oil"), &due["items"][0]);
    assert_eq!(event["local"], item["from"]);
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
    shop.run("can open 'house oil' --name K9").ok();
    let of_two = named(&events(&shop), "salt-1: coat 2 of 2, house oil")["description"].to_string();
    assert!(of_two.ends_with("tackfree done salt-1 --can NAME\""), "{of_two}");
    assert_eq!(rings(event), [0]);
    // The window closes on Wednesday at 11:00 local. Of open time 2 h 30 m of it are left on that day, the other 1 h 53 m
    // of half a day and the step's 23 minutes are Tuesday's last: from 15:37 on, not in the night.
    let closes = named(&found, "salt-1: window closes, coat 2 of 2, house oil");
    assert_eq!(closes["start"], "2026-04-01T10:00:00Z");
    assert_eq!(rings(closes), [-(19 * 3600 + 23 * 60)]);
    assert_eq!(named(&found, "salt-1: rags")["start"], "2026-03-25T10:15:00Z");
}

#[test]
fn an_event_waits_for_the_shop_to_open_and_a_wipe_does_not() {
    let mut shop = coated();
    shop.run("rags done --how 'under water, can outside'").ok();
    shop.at("2026-03-27T18:00:00Z");
    shop.run("lot start salt --pieces 12 --rack drip-1").ok();
    shop.run("lot start salt --pieces 12 --rack drip-1 --from 2").ok();
    shop.run("begin salt-2").ok();
    let found = events(&shop);
    let start = |summary: &str| named(&found, summary)["start"].clone();
    // The coat of salt-1, ripe since Thursday, and salt-3 on Monday at 08:30 local, in summer time; the wipe of salt-2 on
    // Friday night.
    assert_eq!(start("salt-1: coat 2 of 2, house oil"), "2026-03-30T07:30:00Z");
    assert_eq!(start("salt-2: wipe coat 1 of 2, house oil"), "2026-03-27T18:10:42Z");
    assert_eq!(start("salt-3: coat 2 of 2, house oil"), "2026-03-30T07:30:00Z");
}

#[test]
fn a_window_that_lies_in_closed_hours_has_its_event_at_the_window() {
    let shop = at("2026-03-27T15:00:00Z");
    shop.run("can open 'oil & wax <fine>' --name W1").ok();
    shop.run("batch open wax --recipe waxed --pieces 9").ok();
    shop.run("lot start wax --pieces 9 --rack drip-1").ok();
    shop.run("done wax-1").ok();
    // From Friday 19:00 to Saturday 15:00; the shop opens again on Monday.
    let found = events(&shop);
    assert_eq!(
        named(&found, "wax-1: coat 2 of 2, oil & wax <fine>")["start"],
        "2026-03-27T19:00:00Z"
    );
}

#[test]
fn the_day_promised_is_a_day_in_the_calendar() {
    let shop = coated();
    shop.run("batch open mint --recipe waxed --pieces 9 --due 2026-04-20 --for 'Marlow Café'").ok();
    let found = events(&shop);
    let day = named(&found, "mint: promised for Marlow Café");
    assert_eq!((&day["start"], &day["description"]), (&"2026-04-20".into(), &"9 pieces".into()));
}

#[test]
fn what_stays_keeps_its_uid_what_moves_counts_on_what_goes_is_cancelled() {
    let mut shop = coated();
    shop.run("rags done --how 'under water, can outside'").ok();
    let coat = "salt-1: coat 2 of 2, house oil";
    let first = shop.run("calendar").ok();
    let uid = named(&events(&shop), coat)["uid"].clone();
    shop.at("2026-03-25T11:00:00Z");
    assert_eq!(shop.run("calendar").ok(), first, "nothing happened, so not an octet differs");
    let state = |shop: &TestShop| {
        let found = events(shop);
        let event = found.iter().find(|event| event["uid"] == uid).unwrap();
        (event["status"].as_str().unwrap().to_owned(), event["sequence"].as_i64().unwrap())
    };
    assert_eq!(state(&shop), ("CONFIRMED".to_owned(), 0));
    // Its rags and the coat are taken back: its successor is not coming.
    shop.run("undo --why 'wrong lot'").ok();
    shop.run("undo --why 'wrong lot'").ok();
    assert_eq!(state(&shop), ("CANCELLED".to_owned(), 1));

    // Done an hour later it comes again, an hour later, under the same UID.
    shop.run("done salt-1 --can K7").ok();
    assert_eq!(state(&shop), ("CONFIRMED".to_owned(), 2));
    assert_eq!(named(&events(&shop), coat)["start"], "2026-03-26T11:00:00Z");

    // Held, nothing of it is coming.
    shop.run("lot hold salt-1 --why dust").ok();
    assert_eq!(state(&shop), ("CANCELLED".to_owned(), 3));
}

#[test]
fn what_is_done_before_its_time_is_done_and_not_cancelled() {
    let mut shop = coated();
    shop.run("rags done --how 'under water, can outside'").ok();
    shop.run("plan --started --keep --effort 200").ok();
    events(&shop);
    shop.at("2026-03-26T10:00:00Z");
    shop.run("done salt-1 --can K7").ok();
    let found = events(&shop);
    let closes = named(&found, "Done: salt-1: window closes, coat 2 of 2, house oil");
    assert_eq!((&closes["status"], rings(closes)), (&"CONFIRMED".into(), vec![]));
    assert!(found.iter().all(|event| event["status"] == "CONFIRMED"), "{found:?}");
}

#[test]
fn the_calendar_follows_the_kept_plan_to_the_minute() {
    let shop = coated();
    shop.run("lot start salt --pieces 24 --rack drip-1").ok();
    shop.run("rags done --how 'under water, can outside'").ok();
    let plan = shop.json("plan --keep --effort 500");
    let steps = plan["steps"].as_array().unwrap();
    // A coat and an inspection of salt-1, two coats and an inspection of salt-2, and a lot for what may fail.
    assert!(steps.len() > 5, "{plan}");
    let found = events(&shop);
    // Besides the end of salt-1's window.
    assert_eq!(found.len(), steps.len() + 1);
    for step in steps {
        let (lot, name) = (step["lot"].as_str().unwrap(), step["name"].as_str().unwrap());
        let title = match step["coat"].as_u64() {
            Some(coat) => format!("{lot}: coat {coat} of {}", step["of"]),
            None => format!("{lot}: {name}"),
        };
        let times = |event: &&Value| {
            let summary = event["summary"].as_str().unwrap();
            summary.starts_with(&title) && event["local"] == step["start"]
        };
        let event = found
            .iter()
            .find(times)
            .unwrap_or_else(|| panic!("{title} at {}: {found:?}", step["start"]));
        let moment =
            |time: &Value| time.as_str().unwrap().parse::<tackfree::time::Instant>().unwrap();
        assert_eq!(moment(&event["end"]), moment(&step["end"]), "{title}");
    }
    // The same again; then held, and all that is planned of it is cancelled.
    assert_eq!(events(&shop), found);
    shop.run("lot hold salt-2 --why dust").ok();
    let of_held = |event: &&Value| event["summary"].as_str().unwrap().starts_with("salt-2");
    let cancelled =
        events(&shop).iter().filter(of_held).all(|event| event["status"] == "CANCELLED");
    assert!(cancelled);
}

/// In whatever order a reader sorts a lot's events, it is the recipe's: none begins before the one before it is over and the
/// rests between them are.
#[test]
fn no_readers_order_of_a_lots_events_contradicts_its_recipe() {
    let mut shop = coated();
    for _ in 0..2 {
        shop.run("lot start salt --pieces 12 --rack drip-1").ok();
    }
    shop.run("rags done --how 'under water, can outside'").ok();
    shop.run("plan --started --keep --effort 300").ok();
    let steps = ["coat 2 of 2, house oil", "coat 2 of 2, house oil", "inspect"];
    // Shortest times between the steps by the sheet.
    let rests = [24, 21 * 24];
    for day in ["25", "26", "27", "28", "30"] {
        for hour in ["09:00", "13:20", "17:29", "22:00"] {
            if (day, hour) < ("25", "13:20") {
                continue;
            }
            shop.at(&format!("2026-03-{day}T{hour}:00Z"));
            let found = events(&shop);
            for lot in 1..=3 {
                let begins = format!("salt-{lot}: ");
                let of_lot: Vec<&Value> = found
                    .iter()
                    .filter(|event| event["status"] == "CONFIRMED")
                    .filter(|event| {
                        let named = event["summary"].as_str().unwrap().strip_prefix(&begins);
                        named.is_some_and(|name| steps.contains(&name))
                    })
                    .collect();
                let left = &steps[steps.len() - of_lot.len()..];
                let rests = &rests[steps.len() - of_lot.len()..];
                let moment = |event: &Value, end: &str| {
                    event[end].as_str().unwrap().parse::<tackfree::time::Instant>().unwrap()
                };
                for (event, name) in of_lot.iter().zip(left) {
                    assert_eq!(event["summary"], format!("{begins}{name}"), "{day} {hour}");
                }
                for (pair, rest) in of_lot.windows(2).zip(rests) {
                    let earliest = tackfree::time::Span::hours(*rest).after(moment(pair[0], "end"));
                    assert!(moment(pair[1], "start") >= earliest, "{day} {hour}: {pair:?}");
                }
            }
            if (day, hour) == ("27", "13:20") {
                shop.run("done salt-2").ok();
            }
        }
    }
}

#[test]
fn the_file_is_written_whole_and_said_in_json() {
    let shop = coated();
    let said = shop.run("calendar --out shop.ics").ok();
    assert_eq!(said, "shop.ics: 3 events\n");
    let written = fs::read_to_string(shop.folder().join("shop.ics")).unwrap();
    assert_eq!(written, shop.run("calendar").ok());
    let json = shop.json("calendar");
    assert_eq!(json["events"][1]["start"], "2026-03-26T10:00:00+00:00");
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
    let (_, printed, _) = run_with(&shop, &tools, "remind install --print");
    assert!(!folder.exists());
    let (code, said, err) = run_with(&shop, &tools, "remind install");
    assert_eq!((code, err.as_str()), (0, ""));
    let mut units: Vec<_> =
        fs::read_dir(&folder).unwrap().map(|unit| unit.unwrap().path()).collect();
    units.sort();
    let name = units[0].file_stem().unwrap().to_str().unwrap().to_owned();
    assert!(name.starts_with("tackfree-remind-"), "one for each database: {name}");
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
            &format!("--user enable --now {name}.timer"),
            "--user daemon-reload",
            &format!("--user enable --now {name}.timer"),
            &format!("--user disable --now {name}.timer"),
            "--user daemon-reload",
            &format!("--user reset-failed {name}.service"),
        ]
    );
}

#[test]
fn where_the_system_can_not_be_told_nothing_is_installed_and_cron_is_given_its_line() {
    let mut shop = at("2026-03-25T10:00:00Z");
    let tools = systemctl(&shop, true);
    let (code, said, err) = run_with(&shop, &tools, "remind install");
    assert_eq!((code, said.as_str()), (4, ""), "success is said after it only");
    let words: Vec<&str> = err.split_whitespace().collect();
    let err = words.join(" ");
    assert!(err.contains("nothing was installed: ") && err.contains("No medium found"), "{err}");
    let line = format!(
        "* * * * * DBUS_SESSION_BUS_ADDRESS='unix:path={}' '{}' '--db' '{}' 'remind' 'send'",
        shop.folder().join("no-bus").display(),
        env!("CARGO_BIN_EXE_tackfree"),
        shop.database().display()
    );
    assert!(err.contains(&line), "{err}");
    assert!(!shop.folder().join("home/config/systemd/user").read_dir().unwrap().any(|_| true));
    // Nobody misses what was never there.
    shop.at("2026-03-26T10:00:00Z");
    shop.run("due").ok();
}

#[test]
fn reminders_that_no_longer_run_are_said_by_due_and_today() {
    let mut shop = at("2026-03-24T14:00:00Z");
    let tools = systemctl(&shop, false);
    run_with(&shop, &tools, "remind install");
    shop.at("2026-03-24T14:02:00Z").run("remind send").ok();
    shop.at("2026-03-24T14:06:00Z").run("due").ok();
    shop.at("2026-03-26T10:00:00Z");
    for command in ["due", "today"] {
        let run = shop.run(command);
        assert_eq!(run.code, 0);
        let said = "no reminder has run since Tue 24 Mar 14:02: tackfree remind install\n";
        assert!(run.stderr.ends_with(said), "{run}");
    }
    shop.run("remind send").ok();
    shop.run("due").ok();
    run_with(&shop, &tools, "remind remove");
    shop.at("2026-03-28T10:00:00Z").run("due").ok();
}

#[test]
fn what_an_install_would_do_makes_no_database() {
    let shop = TestShop::bare();
    shop.run("--db elsewhere.tackfree remind install --print").ok();
    assert!(!shop.folder().join("elsewhere.tackfree").exists());
}

#[test]
fn the_timer_writes_the_calendar_anew_where_what_is_coming_changes() {
    let mut shop = coated();
    let tools = systemctl(&shop, false);
    let (_, printed, _) = run_with(&shop, &tools, "remind install --print --calendar shop.ics");
    let file = shop.folder().join("shop.ics");
    assert!(printed.contains(&format!("\"--calendar\" \"{}\"", file.display())), "{printed}");
    shop.run("remind send --calendar shop.ics").ok();
    let first = shop.read("shop.ics");
    assert!(first.contains("salt-1: coat 2 of 2\\, house oil"), "{first}");
    let written = fs::metadata(&file).unwrap().modified().unwrap();
    shop.at("2026-03-25T10:01:00Z").run("remind send --calendar shop.ics").ok();
    assert_eq!(fs::metadata(&file).unwrap().modified().unwrap(), written, "nothing has changed");
    shop.run("lot hold salt-1 --why dust").ok();
    shop.run("remind send --calendar shop.ics").ok();
    assert!(shop.read("shop.ics").contains("STATUS:CANCELLED"));
}
