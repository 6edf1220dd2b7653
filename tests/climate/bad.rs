//! Lines that can't be read, files that can't be read, and files that are known already.

use std::fmt::Write as _;

use crate::climate::stored;
use crate::harness::TestShop;

fn shop() -> TestShop {
    let mut shop = TestShop::open();
    shop.at("2026-03-05 08:30");
    shop
}

#[test]
fn a_line_that_cannot_be_read_is_named_and_nothing_is_stored_unless_it_is_skipped() {
    let mut shop = shop();
    shop.write(
        "log.csv",
        "Logger 7\r\n\r\ntime;temp;rh\r\n2026-03-04 09:40;14,2;55\r\n2026-03-04 09:50;warm;55\r\n\r\n2026-03-04 10:00;14,4;140\r\n2026-03-04 10:10;;55\r\nsometime;14,5;55\r\n2026-02-30 10:30;14,5;55\r\n2026-03-06 10:40;14,5;55\r\n2026-03-04 10:50;88;55\r\n2026-03-04 11:00;14,5;55;9;9\r\n2026-03-04 11:10;14,6;55\r\n",
    );
    let said = shop.columns(80).run("climate import 'oil room' log.csv").fits().fails(3);
    snapbox::assert_data_eq!(
        said,
        snapbox::str![[r#"
line 5: "warm" isn't a temperature
line 7: relative humidity of 140 isn't possible: expected 0 to 100 %
line 8: no temperature
line 9: "sometime" isn't a date and time
line 10: there's no such date: "2026-02-30"
line 11: 2026-03-06 10:40:00 lies ahead: nothing is read before it happens
line 12: temperature of 88 isn't possible: expected -40 to 60 °C (-40 to 140 °F)
line 13: 5 fields where the headings are 3; a decimal comma needs quotes or
  another delimiter
error: log.csv: 8 lines can't be read, 2 can: nothing is stored
next: fix these, or leave them out with: tackfree climate import "oil room"
  log.csv --skip-bad

"#]]
    );
    assert_eq!(stored(&shop), []);
    assert_eq!(shop.json("ledger list")["entries"].as_array().unwrap().len(), 1);
    let answer = shop.json("climate import 'oil room' log.csv --skip-bad");
    assert_eq!((&answer["new"], &answer["bad_lines"]), (&2.into(), &8.into()));
    assert_eq!(answer["bad"][1]["line"], 7);
    assert_eq!(stored(&shop).len(), 2);
}

#[test]
fn of_many_bad_lines_twenty_are_named_and_the_rest_counted() {
    let shop = shop();
    let mut file = "time,temp,rh\n2026-03-04 09:40,14.2,55\n".to_owned();
    for _ in 0..25 {
        writeln!(file, "2026-03-04 09:50,,55").unwrap();
    }
    let run = shop.run_with("climate import 'oil room' -", &file);
    let faults = run.error()["faults"].as_array().unwrap().len();
    let said = run.fails(3);
    assert_eq!(faults, 20);
    assert!(said.contains("line 22: no temperature\nand 5 lines more"), "{said}");
    assert!(said.contains("standard input: 25 lines can't be read, 1 can"), "{said}");
}

#[test]
fn a_file_that_says_nothing_is_refused_as_a_whole() {
    let shop = shop();
    let cases = [
        ("", "it is empty"),
        ("\u{feff}\r\n \r\n", "it is empty"),
        ("2026-03-04 09:40,14.2,55\n", "none of the first 40 lines names its columns"),
        ("time,pressure\n2026-03-04 09:40,1013\n", "none of the first 40 lines names its columns"),
        (
            "time,temp\n03/04/2026 09:40,14.2\n03/05/2026 09:40,14.2\n",
            "\"03/04/2026\" may be day before month or month before day",
        ),
        (
            "time,temp\n13/02/2026 09:40,14.2\n02/13/2026 09:40,14.2\n",
            "line 2 has the day before the month, line 3 the month before the day",
        ),
    ];
    for (file, why) in cases {
        let said = shop.run_with("climate import 'oil room' -", file).fails(3);
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(said.contains(why), "{file:?}: {said}");
    }
    let missing = shop.run("climate import 'oil room' nowhere.csv").fails(3);
    assert!(missing.starts_with("error: nowhere.csv can't be read: "), "{missing}");
    shop.run_with("climate import 'oil rom' -", "").refused("unknown-name");
    shop.run("climate import 'oil room' - --offset noon").fails(2);
    assert_eq!(stored(&shop), []);
}

#[test]
fn the_same_file_twice_adds_nothing() {
    let shop = shop();
    let file = "time,temp,rh\n2026-03-04 09:40,14.2,55\n2026-03-04 09:50,14.3,55\n";
    shop.run_with("climate import 'oil room' -", file).ok();
    let before = shop.json("ledger list");
    let said = shop.run_with("climate import 'oil room' -", file).ok();
    assert!(
        said.starts_with(
            "standard input adds nothing: oil room has a reading of every moment in it (2 readings)"
        ),
        "{said}"
    );
    assert_eq!(shop.json("ledger list"), before);
    // A longer file of the same logger brings only what is new, and changes nothing that was read.
    let longer = "time,temp,rh\n2026-03-04 09:50,19.9,55\n2026-03-04 10:00,14.4,55\n";
    let answer = shop.run_with("climate import 'oil room' - --json", longer).json();
    assert_eq!((&answer["readings"], &answer["new"]), (&2.into(), &1.into()));
    let temps: Vec<f64> = stored(&shop).iter().map(|(_, temp, _)| *temp).collect();
    assert_eq!(temps, [14.2, 14.3, 14.4]);
    // Another room's log is another log.
    assert_eq!(shop.json("ledger check")["whole"], true);
}
