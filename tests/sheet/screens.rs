//! The day sheet and what needs hands as a person sees them, at four widths.

use snapbox::{assert_data_eq, str};

use crate::harness::TestShop;

/// Noon of a Wednesday: a soak that is over, one under way, a coat whose window closes today, sanding, a cure.
fn noon() -> TestShop {
    let mut shop = TestShop::open();
    for (at, line) in [
        ("2026-03-02 08:30", "can open 'house oil' --name K7 --litres 1 --maker-lot 24-118"),
        (
            "2026-03-02 08:30",
            "batch open salt --recipe 'three coats' --pieces 70 --due 2026-04-17 --for 'a shop in town'",
        ),
        ("2026-03-02 08:30", "lot start salt --pieces 12 --rack shelf --from 6"),
        ("2026-03-02 08:30", "lot start salt --pieces 24 --from 2"),
        ("2026-03-04 13:20", "done salt-1"),
        ("2026-03-04 13:30", "rags done --how 'under water, lidded can, outdoors'"),
        ("2026-03-11 07:00", "lot start salt --pieces 12 --rack drip-1 --from 6"),
        ("2026-03-11 07:00", "lot start salt --pieces 6 --rack drip-2 --from 6"),
        ("2026-03-11 11:20", "climate add 'oil room' --temp 18.5 --humidity 55"),
        ("2026-03-11 11:25", "begin salt-3"),
        ("2026-03-11 11:50", "begin salt-4"),
    ] {
        shop.at(at).run(line).ok();
    }
    shop.at("2026-03-11 12:00");
    shop
}

#[test]
#[expect(clippy::too_many_lines, reason = "most of them are what is shown")]
fn what_is_late_stands_first_on_the_day_sheet() {
    let mut shop = noon();
    assert_data_eq!(
        shop.columns(80).run("today").fits().ok(),
        str![[r#"
Wed 11 Mar 2026, 12:00          open 08:30-12:30, 13:15-17:30, 4 h 45 m left
oil room: 18.5 °C, 55 %: within the sheets' limits; at night, when nobody reads
  it, taken as 10.5 °C

NOW
! salt-3  wipe coat 1 of 3, house oil  12 pieces on drip-1, 4 min
    since today 11:36; should have been by today 11:44, 15 m 18 s ago
    about 4 min of wiping; then: tackfree done salt-3

NEXT
  salt-4  wipe coat 1 of 3, house oil  6 pieces on drip-2, 2 min
    from today 12:01, in 1 m, until today 12:09

TODAY
  12:01-12:04  salt-1  rub down with P400      12 on shelf  start by 13:17
  12:04-12:19  salt-1  coat 2 of 3, house oil  12 on shelf  start by 13:20
  12:19-13:20  salt-2  sand P180               24 pieces    may wait
  13:23-13:35  salt-2  sand P240               24 pieces    may wait
  13:35-13:45  salt-2  sand P320               24 pieces    may wait
  13:45-13:49  salt-2  raise the grain         24 pieces    may wait
  15:11-16:01  salt-5  turn                    8 pieces     may wait
               first: tackfree lot start salt --pieces 8
  16:01-16:07  salt-5  sand P180               8 pieces     may wait
  16:07-16:11  salt-5  sand P240               8 pieces     may wait
  16:11-16:15  salt-5  sand P320               8 pieces     may wait
  16:15-16:17  salt-5  raise the grain         8 pieces     may wait
  16:17-17:13  salt-6  turn                    9 pieces     may wait
               first: tackfree lot start salt --pieces 9
  17:13-17:19  salt-6  sand P180               9 pieces     may wait
  17:19-17:24  salt-6  sand P240               9 pieces     may wait
  17:24-17:28  salt-6  sand P320               9 pieces     may wait
  17:28-17:30  salt-6  raise the grain         9 pieces     may wait

GET READY
  33 ml of house oil (can K7), 4 cloths, 2 pairs of gloves, a lidded metal can
    with water
  cut strips: 6 of P180, 5 of P240, 4 of P320, 1 of P400

No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep

"#]]
    );
    assert_data_eq!(
        shop.columns(60).run("today").fits().ok(),
        str![[r#"
Wed 11 Mar 2026, 12:00
  open 08:30-12:30, 13:15-17:30, 4 h 45 m left
oil room: 18.5 °C, 55 %: within the sheets' limits; at
  night, when nobody reads it, taken as 10.5 °C

NOW
! salt-3  wipe coat 1 of 3, house oil
  12 pieces on drip-1, 4 min
    since today 11:36; should have been by today 11:44, 15 m
      18 s ago
    about 4 min of wiping; then: tackfree done salt-3

NEXT
  salt-4  wipe coat 1 of 3, house oil
    6 pieces on drip-2, 2 min
    from today 12:01, in 1 m, until today 12:09

TODAY
  12:01-12:04  salt-1  rub down with P400  12 on shelf
    start by 13:17
  12:04-12:19  salt-1  coat 2 of 3, house oil  12 on shelf
    start by 13:20
  12:19-13:20  salt-2  sand P180        24 pieces  may wait
  13:23-13:35  salt-2  sand P240        24 pieces  may wait
  13:35-13:45  salt-2  sand P320        24 pieces  may wait
  13:45-13:49  salt-2  raise the grain  24 pieces  may wait
  15:11-16:01  salt-5  turn             8 pieces   may wait
               first: tackfree lot start salt --pieces 8
  16:01-16:07  salt-5  sand P180        8 pieces   may wait
  16:07-16:11  salt-5  sand P240        8 pieces   may wait
  16:11-16:15  salt-5  sand P320        8 pieces   may wait
  16:15-16:17  salt-5  raise the grain  8 pieces   may wait
  16:17-17:13  salt-6  turn             9 pieces   may wait
               first: tackfree lot start salt --pieces 9
  17:13-17:19  salt-6  sand P180        9 pieces   may wait
  17:19-17:24  salt-6  sand P240        9 pieces   may wait
  17:24-17:28  salt-6  sand P320        9 pieces   may wait
  17:28-17:30  salt-6  raise the grain  9 pieces   may wait

GET READY
  33 ml of house oil (can K7), 4 cloths, 2 pairs of gloves,
    a lidded metal can with water
  cut strips: 6 of P180, 5 of P240, 4 of P320, 1 of P400

No plan is kept: this follows a fresh one. Keep it: tackfree
  plan --keep

"#]]
    );
    assert_data_eq!(
        shop.columns(100).run("today").fits().ok(),
        str![[r#"
Wed 11 Mar 2026, 12:00          open 08:30-12:30, 13:15-17:30, 4 h 45 m left
oil room: 18.5 °C, 55 %: within the sheets' limits; at night, when nobody reads it, taken as 10.5 °C

NOW
! salt-3  wipe coat 1 of 3, house oil  12 pieces on drip-1, 4 min
    since today 11:36; should have been by today 11:44, 15 m 18 s ago
    about 4 min of wiping; then: tackfree done salt-3

NEXT
  salt-4  wipe coat 1 of 3, house oil  6 pieces on drip-2, 2 min
    from today 12:01, in 1 m, until today 12:09

TODAY
  12:01-12:04  salt-1  rub down with P400      12 on shelf  start by 13:17
  12:04-12:19  salt-1  coat 2 of 3, house oil  12 on shelf  start by 13:20
  12:19-13:20  salt-2  sand P180               24 pieces    may wait
  13:23-13:35  salt-2  sand P240               24 pieces    may wait
  13:35-13:45  salt-2  sand P320               24 pieces    may wait
  13:45-13:49  salt-2  raise the grain         24 pieces    may wait
  15:11-16:01  salt-5  turn                    8 pieces     may wait
               first: tackfree lot start salt --pieces 8
  16:01-16:07  salt-5  sand P180               8 pieces     may wait
  16:07-16:11  salt-5  sand P240               8 pieces     may wait
  16:11-16:15  salt-5  sand P320               8 pieces     may wait
  16:15-16:17  salt-5  raise the grain         8 pieces     may wait
  16:17-17:13  salt-6  turn                    9 pieces     may wait
               first: tackfree lot start salt --pieces 9
  17:13-17:19  salt-6  sand P180               9 pieces     may wait
  17:19-17:24  salt-6  sand P240               9 pieces     may wait
  17:24-17:28  salt-6  sand P320               9 pieces     may wait
  17:28-17:30  salt-6  raise the grain         9 pieces     may wait

GET READY
  33 ml of house oil (can K7), 4 cloths, 2 pairs of gloves, a lidded metal can with water
  cut strips: 6 of P180, 5 of P240, 4 of P320, 1 of P400

No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep

"#]]
    );
    assert_data_eq!(
        shop.columns(140).run("today").fits().ok(),
        str![[r#"
Wed 11 Mar 2026, 12:00          open 08:30-12:30, 13:15-17:30, 4 h 45 m left
oil room: 18.5 °C, 55 %: within the sheets' limits; at night, when nobody reads it, taken as 10.5 °C

NOW
! salt-3  wipe coat 1 of 3, house oil  12 pieces on drip-1, 4 min
    since today 11:36; should have been by today 11:44, 15 m 18 s ago
    about 4 min of wiping; then: tackfree done salt-3

NEXT
  salt-4  wipe coat 1 of 3, house oil  6 pieces on drip-2, 2 min
    from today 12:01, in 1 m, until today 12:09

TODAY
  12:01-12:04  salt-1  rub down with P400      12 on shelf  start by 13:17
  12:04-12:19  salt-1  coat 2 of 3, house oil  12 on shelf  start by 13:20
  12:19-13:20  salt-2  sand P180               24 pieces    may wait
  13:23-13:35  salt-2  sand P240               24 pieces    may wait
  13:35-13:45  salt-2  sand P320               24 pieces    may wait
  13:45-13:49  salt-2  raise the grain         24 pieces    may wait
  15:11-16:01  salt-5  turn                    8 pieces     may wait
               first: tackfree lot start salt --pieces 8
  16:01-16:07  salt-5  sand P180               8 pieces     may wait
  16:07-16:11  salt-5  sand P240               8 pieces     may wait
  16:11-16:15  salt-5  sand P320               8 pieces     may wait
  16:15-16:17  salt-5  raise the grain         8 pieces     may wait
  16:17-17:13  salt-6  turn                    9 pieces     may wait
               first: tackfree lot start salt --pieces 9
  17:13-17:19  salt-6  sand P180               9 pieces     may wait
  17:19-17:24  salt-6  sand P240               9 pieces     may wait
  17:24-17:28  salt-6  sand P320               9 pieces     may wait
  17:28-17:30  salt-6  raise the grain         9 pieces     may wait

GET READY
  33 ml of house oil (can K7), 4 cloths, 2 pairs of gloves, a lidded metal can with water
  cut strips: 6 of P180, 5 of P240, 4 of P320, 1 of P400

No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep

"#]]
    );
    let first = shop.json("today")["first"][0].clone();
    assert_eq!((&first["lot"], &first["action"]), (&"salt-3".into(), &"wipe".into()));
}

#[test]
fn what_needs_hands_says_the_same() {
    let mut shop = noon();
    assert_data_eq!(
        shop.columns(80).run("due").fits().ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-3  wipe coat 1 of 3, house oil  12 pieces on drip-1, 4 min
      since today 11:36; should have been by today 11:44, 15 m 18 s ago

CLOSING
! salt-1  rub down with P400  12 pieces on shelf, 3 min
      since Thu 5 Mar 22:07, until today 13:20, in 1 h 20 m

READY
  salt-2  sand P180  24 pieces, 16 min
      since Mon 2 Mar 08:30

NOT YET
  salt-4  wipe coat 1 of 3, house oil  6 pieces on drip-2, 2 min
      from today 12:01, in 1 m, until today 12:09

"#]]
    );
    assert_data_eq!(
        shop.columns(60).run("due").fits().ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-3  wipe coat 1 of 3, house oil
  12 pieces on drip-1, 4 min
      since today 11:36; should have been by today 11:44,
      15 m 18 s ago

CLOSING
! salt-1  rub down with P400  12 pieces on shelf, 3 min
      since Thu 5 Mar 22:07, until today 13:20, in 1 h 20 m

READY
  salt-2  sand P180  24 pieces, 16 min
      since Mon 2 Mar 08:30

NOT YET
  salt-4  wipe coat 1 of 3, house oil
    6 pieces on drip-2, 2 min
      from today 12:01, in 1 m, until today 12:09

"#]]
    );
    assert_data_eq!(
        shop.columns(100).run("due").fits().ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-3  wipe coat 1 of 3, house oil  12 pieces on drip-1, 4 min
      since today 11:36; should have been by today 11:44, 15 m 18 s ago

CLOSING
! salt-1  rub down with P400  12 pieces on shelf, 3 min
      since Thu 5 Mar 22:07, until today 13:20, in 1 h 20 m

READY
  salt-2  sand P180  24 pieces, 16 min
      since Mon 2 Mar 08:30

NOT YET
  salt-4  wipe coat 1 of 3, house oil  6 pieces on drip-2, 2 min
      from today 12:01, in 1 m, until today 12:09

"#]]
    );
    assert_data_eq!(
        shop.columns(140).run("due").fits().ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-3  wipe coat 1 of 3, house oil  12 pieces on drip-1, 4 min
      since today 11:36; should have been by today 11:44, 15 m 18 s ago

CLOSING
! salt-1  rub down with P400  12 pieces on shelf, 3 min
      since Thu 5 Mar 22:07, until today 13:20, in 1 h 20 m

READY
  salt-2  sand P180  24 pieces, 16 min
      since Mon 2 Mar 08:30

NOT YET
  salt-4  wipe coat 1 of 3, house oil  6 pieces on drip-2, 2 min
      from today 12:01, in 1 m, until today 12:09

"#]]
    );
}

#[test]
fn a_day_to_come_is_clipped_to_itself() {
    let mut shop = noon();
    assert_data_eq!(
        shop.columns(80).run("today --now 2026-03-12").fits().ok(),
        str![[r#"
Thu 12 Mar 2026                                open 08:30-12:30, 13:15-17:30
oil room: 18.5 °C, 55 %: within the sheets' limits; at night, when nobody reads
  it, taken as 10.5 °C

THAT DAY
  08:30-08:50  salt-2  coat 1 of 3, house oil  24 on drip-1  start by 17:10
  08:50-09:04  salt-5  coat 1 of 3, house oil  8 on drip-2   start by 17:16
  09:04-09:18  salt-6  coat 1 of 3, house oil  9 on drip-2   start by 17:16

NOT YET
  salt-1  rub down with P400: planned for today 12:01, until today 13:20, in 1 h
      20 m

GET READY
  52 ml of house oil (can K7), 5 cloths, 2 pairs of gloves, a lidded metal can
    with water

No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep

"#]]
    );
}

#[test]
fn an_abrading_stands_in_the_day_with_its_grit_and_how_the_coat_is_recorded() {
    let mut shop = TestShop::open();
    shop.run("can open 'house oil' --name K7 --litres 1").ok();
    shop.run("batch open salt --recipe 'three coats' --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --rack drip-1 --from 8").ok();
    shop.at("2026-03-03 09:00").run("done salt-1").ok();
    shop.run("rags done --how 'under water, lidded can'").ok();
    shop.at("2026-03-11 09:00");
    let today = shop.json("today");
    let film = &today["abrading"][0];
    assert_eq!((&film["lot"], &film["grit"]), (&"salt-1".into(), &"P400".into()), "{today:#}");
    assert!(today["kit"]["strips"].to_string().contains("P400"), "{}", today["kit"]);
    let said = shop.run("today").ok();
    assert!(said.contains("abrade the film with P400"), "{said}");
    let command = "tackfree begin salt-1 --anyway \"abraded with P400\"";
    assert!(said.contains(command), "{said}");
    shop.run(command.trim_start_matches("tackfree ")).ok();
}

#[test]
fn what_nothing_but_the_plan_puts_off_is_said_with_the_plans_time() {
    let mut shop = TestShop::open();
    shop.at("2026-03-02 17:00");
    shop.run("batch open salt --recipe 'three coats' --pieces 72").ok();
    shop.run("lot start salt --pieces 36").ok();
    shop.run("lot start salt --pieces 36").ok();
    let said = shop.columns(80).run("today").fits().ok();
    assert!(said.contains("NOT YET\n  salt-2  turn: planned for Fri 6 Mar 10:12\n"), "{said}");
}
