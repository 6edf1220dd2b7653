//! What a person sees with oil on his hands: whole screens, at several widths.

use snapbox::{assert_data_eq, str};

use crate::harness::TestShop;

/// A shop on a Wednesday at noon: a lot whose window has shut, one that soaks, one that rests, one on no rack, one held,
/// one recorded against the rules.
fn busy() -> TestShop {
    let mut shop = TestShop::open();
    for (at, line) in [
        ("2026-03-02 08:30", "can open 'house oil' --name K7 --litres 1 --maker-lot 24-118"),
        (
            "2026-03-02 08:30",
            "batch open salt --recipe 'three coats' --pieces 132 --due 2026-03-27 --for 'a shop in town'",
        ),
        ("2026-03-02 08:30", "lot start salt --pieces 36 --rack drip-1 --from 6"),
        ("2026-03-02 08:30", "lot start salt --pieces 24 --from 5"),
        ("2026-03-02 08:30", "lot start salt --pieces 20"),
        ("2026-03-02 08:30", "lot start salt --pieces 6"),
        ("2026-03-02 11:00", "done salt-2 --minutes 4"),
        ("2026-03-02 13:00", "done salt-1 --minutes 24"),
        ("2026-03-02 16:00", "done salt-2 --rack drip-2"),
        ("2026-03-02 16:20", "rags done --how 'soaked in water, lidded can, outdoors'"),
        ("2026-03-10 09:00", "lot start salt --pieces 12 --rack shelf --from 6"),
        ("2026-03-11 09:00", "done salt-2"),
        ("2026-03-11 09:00", "done salt-2 --anyway 'abraded with P400'"),
        ("2026-03-11 10:00", "lot hold salt-4 --why 'a crack in the foot'"),
        ("2026-03-11 11:50", "begin salt-5"),
    ] {
        shop.at(at).run(line).ok();
    }
    shop.at("2026-03-11 12:00");
    shop
}

/// Everything that shows the shop.
const SCREENS: [&str; 14] = [
    "due",
    "racks",
    "lot list",
    "lot show salt-1",
    "lot show salt-2",
    "batch list",
    "batch show salt",
    "can list",
    "rags",
    "ledger list",
    "ledger list --last 3",
    "due --now 'tomorrow 09:00'",
    "due --now '2026-03-02 12:00'",
    "racks --now '2026-03-20 09:00'",
];

/// Refusals with long sentences.
const REFUSED: [(&str, &str); 8] = [
    ("done salt-5", "which-can"),
    ("done salt-1 --can K7", "window-shut"),
    ("done salt-2 --can K7", "too-early"),
    ("done salt-4", "held"),
    ("lot move salt-1 --rack shelf", "too-few-slots"),
    ("ship salt-1 salt-2 --to nobody", "uncured"),
    ("undo 3", "stood-on"),
    ("batch close salt", "lots-open"),
];

#[test]
fn no_line_is_wider_than_the_terminal() {
    let mut shop = busy();
    shop.run("can open 'house oil' --name another-can-with-a-long-name").ok();
    shop.run("done salt-1").ok();
    for columns in [100, 80, 60, 40] {
        shop.columns(columns);
        for line in SCREENS {
            // The path of the database is one word, and a word is never torn.
            shop.run(line).fits().ok();
        }
        for (line, rule) in REFUSED {
            shop.run(line).fits().refused(rule);
        }
    }
}

#[test]
fn what_needs_hands() {
    let shop = busy();
    assert_data_eq!(
        shop.run("due").ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-1  rub down with P400  36 pieces on drip-1, 9 min
      since Tue 3 Mar 13:00; should have been by Mon 9 Mar 13:00, 47 h ago

READY
  salt-3  turn  20 pieces, 124 min
      since Mon 2 Mar 08:30

NOT YET
  salt-5  wipe coat 1 of 3, house oil  12 pieces on shelf, 4 min
      from today 12:02, in 2 m, until today 12:09
  salt-2  coat 3 of 3, house oil !     24 pieces on drip-2, 19 min
      from tomorrow 09:00, in 21 h, until Wed 18 Mar 09:00 (the sheet's time, assumed)

HELD
  salt-4: a crack in the foot (6 pieces, since today 10:00)

RAGS
  Smoke, heat or a sharp smell: leave it, get out, call the fire service. Else do it now: under
  water, metal can, lid. A heap has smoked after two hours.
  Oily rags lying: salt-2, 3 h.
  Once they are dealt with: tackfree rags done --how "…"

! something was recorded against the rules: see tackfree lot show LOT

"#]]
    );
}

#[test]
fn what_needs_hands_on_80_60_and_40_columns() {
    let mut shop = busy();
    assert_data_eq!(
        shop.columns(80).run("due").ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-1  rub down with P400  36 pieces on drip-1, 9 min
      since Tue 3 Mar 13:00; should have been by Mon 9 Mar 13:00, 47 h ago

READY
  salt-3  turn  20 pieces, 124 min
      since Mon 2 Mar 08:30

NOT YET
  salt-5  wipe coat 1 of 3, house oil  12 pieces on shelf, 4 min
      from today 12:02, in 2 m, until today 12:09
  salt-2  coat 3 of 3, house oil !     24 pieces on drip-2, 19 min
      from tomorrow 09:00, in 21 h, until Wed 18 Mar 09:00 (the sheet's time,
      assumed)

HELD
  salt-4: a crack in the foot (6 pieces, since today 10:00)

RAGS
  Smoke, heat or a sharp smell: leave it, get out, call the fire service. Else
  do it now: under water, metal can, lid. A heap has smoked after two hours.
  Oily rags lying: salt-2, 3 h.
  Once they are dealt with: tackfree rags done --how "…"

! something was recorded against the rules: see tackfree lot show LOT

"#]]
    );
    assert_data_eq!(
        shop.columns(60).run("due").ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-1  rub down with P400  36 pieces on drip-1, 9 min
      since Tue 3 Mar 13:00; should have been by Mon 9 Mar
      13:00, 47 h ago

READY
  salt-3  turn  20 pieces, 124 min
      since Mon 2 Mar 08:30

NOT YET
  salt-5  wipe coat 1 of 3, house oil
    12 pieces on shelf, 4 min
      from today 12:02, in 2 m, until today 12:09
  salt-2  coat 3 of 3, house oil !
    24 pieces on drip-2, 19 min
      from tomorrow 09:00, in 21 h, until Wed 18 Mar 09:00
      (the sheet's time, assumed)

HELD
  salt-4: a crack in the foot (6 pieces, since today 10:00)

RAGS
  Smoke, heat or a sharp smell: leave it, get out, call the
  fire service. Else do it now: under water, metal can, lid.
  A heap has smoked after two hours.
  Oily rags lying: salt-2, 3 h.
  Once they are dealt with: tackfree rags done --how "…"

! something was recorded against the rules: see tackfree lot
show LOT

"#]]
    );
    assert_data_eq!(
        shop.columns(40).run("due").ok(),
        str![[r#"
What needs hands, Wed 11 Mar 2026, 12:00

OVERDUE
! salt-1  rub down with P400
  36 pieces on drip-1, 9 min
      since Tue 3 Mar 13:00; should have
      been by Mon 9 Mar 13:00, 47 h ago

READY
  salt-3  turn  20 pieces, 124 min
      since Mon 2 Mar 08:30

NOT YET
  salt-5  wipe coat 1 of 3, house oil
    12 pieces on shelf, 4 min
      from today 12:02, in 2 m, until
      today 12:09
  salt-2  coat 3 of 3, house oil !
    24 pieces on drip-2, 19 min
      from tomorrow 09:00, in 21 h,
      until Wed 18 Mar 09:00 (the
      sheet's time, assumed)

HELD
  salt-4: a crack in the foot (6 pieces,
      since today 10:00)

RAGS
  Smoke, heat or a sharp smell: leave
  it, get out, call the fire service.
  Else do it now: under water, metal
  can, lid. A heap has smoked after two
  hours.
  Oily rags lying: salt-2, 3 h.
  Once they are dealt with: tackfree
  rags done --how "…"

! something was recorded against the
rules: see tackfree lot show LOT

"#]]
    );
}

#[test]
fn what_stands_where() {
    let shop = busy();
    assert_data_eq!(
        shop.run("racks").ok(),
        str![[r#"
What stands where, Wed 11 Mar 2026, 12:00

drip-1  oil room  ##########  36 of 36  drying
  salt-1  36 pieces    OVERDUE: rub down with P400
      should have been by Mon 9 Mar 13:00, 47 h ago
  free 0

drip-2  oil room  ##########  24 of 24  drying
  salt-2  24 pieces !  resting: coat 3 of 3, house oil
      from tomorrow 09:00, in 21 h, until Wed 18 Mar 09:00
  free 0

loft    oil room  ..........  0 of 240  curing
  free 240

shelf   oil room  ##########  12 of 12  drying and curing
  salt-5  12 pieces    soaking: wipe coat 1 of 3, house oil
      until today 12:09, in 9 m 42 s
  free 0

on no rack
  salt-3  20 pieces    ready: turn
  salt-4  6 pieces     held: turn

"#]]
    );
}

#[test]
fn what_stands_where_on_80_60_and_40_columns() {
    let mut shop = busy();
    assert_data_eq!(
        shop.columns(80).run("racks").ok(),
        str![[r#"
What stands where, Wed 11 Mar 2026, 12:00

drip-1  oil room  ##########  36 of 36  drying
  salt-1  36 pieces    OVERDUE: rub down with P400
      should have been by Mon 9 Mar 13:00, 47 h ago
  free 0

drip-2  oil room  ##########  24 of 24  drying
  salt-2  24 pieces !  resting: coat 3 of 3, house oil
      from tomorrow 09:00, in 21 h, until Wed 18 Mar 09:00
  free 0

loft    oil room  ..........  0 of 240  curing
  free 240

shelf   oil room  ##########  12 of 12  drying and curing
  salt-5  12 pieces    soaking: wipe coat 1 of 3, house oil
      until today 12:09, in 9 m 42 s
  free 0

on no rack
  salt-3  20 pieces    ready: turn
  salt-4  6 pieces     held: turn

"#]]
    );
    assert_data_eq!(
        shop.columns(60).run("racks").ok(),
        str![[r#"
What stands where, Wed 11 Mar 2026, 12:00

drip-1  oil room  ##########  36 of 36  drying
  salt-1  36 pieces    OVERDUE: rub down with P400
      should have been by Mon 9 Mar 13:00, 47 h ago
  free 0

drip-2  oil room  ##########  24 of 24  drying
  salt-2  24 pieces !  resting: coat 3 of 3, house oil
      from tomorrow 09:00, in 21 h, until Wed 18 Mar 09:00
  free 0

loft    oil room  ..........  0 of 240  curing
  free 240

shelf   oil room  ##########  12 of 12  drying and curing
  salt-5  12 pieces    soaking: wipe coat 1 of 3, house oil
      until today 12:09, in 9 m 42 s
  free 0

on no rack
  salt-3  20 pieces    ready: turn
  salt-4  6 pieces     held: turn

"#]]
    );
    assert_data_eq!(
        shop.columns(40).run("racks").ok(),
        str![[r#"
What stands where, Wed 11 Mar 2026,
12:00

drip-1  oil room  ##########  36 of 36
  drying
  salt-1  36 pieces
    OVERDUE: rub down with P400
      should have been by Mon 9 Mar
        13:00, 47 h ago
  free 0

drip-2  oil room  ##########  24 of 24
  drying
  salt-2  24 pieces !
    resting: coat 3 of 3, house oil
      from tomorrow 09:00, in 21 h,
        until Wed 18 Mar 09:00
  free 0

loft  oil room  ..........  0 of 240
  curing
  free 240

shelf  oil room  ##########  12 of 12
  drying and curing
  salt-5  12 pieces
    soaking: wipe coat 1 of 3, house oil
      until today 12:09, in 9 m 42 s
  free 0

on no rack
  salt-3  20 pieces  ready: turn
  salt-4  6 pieces   held: turn

"#]]
    );
}

#[test]
#[expect(clippy::too_many_lines, reason = "most of them are what is shown")]
fn a_lot_and_its_batch() {
    let mut shop = busy();
    assert_data_eq!(
        shop.run("lot show salt-2").ok(),
        str![[r#"
salt-2  resting
  24 pieces on drip-2, for a shop in town, due Fri 27 Mar
  recipe three coats, revision 1
  next: coat 3 of 3, house oil, from tomorrow 09:00, in 21 h, until Wed 18 Mar 09:00 (the sheet's
  time, assumed)
  ! step 8 against the rules (window closed): abraded with P400

step  name                    done             can
1     turn                    not recorded
2     sand P180               not recorded
3     sand P240               not recorded
4     sand P320               not recorded
5     raise the grain         Mon 2 Mar 11:00
6     coat 1 of 3, house oil  Mon 2 Mar 16:00  K7
7     rub down with P400      today 09:00
8     coat 2 of 3, house oil  today 09:00      K7
9     coat 3 of 3, house oil  next
10    cure house oil
11    inspect
12    pack

entry  when             what       about
5      Mon 2 Mar 08:30  lot start  salt-2: 24 pieces
8      Mon 2 Mar 11:00  done       salt-2 raise the grain, 4 min
10     Mon 2 Mar 16:00  done       salt-2 coat 1 of 3, house oil, on drip-2, can K7
11     Mon 2 Mar 16:20  rags done  rags of 9 (salt-1) and 10 (salt-2): soaked in water, lidded can,
                                   outdoors
13     today 09:00      done       salt-2 rub down with P400
14     today 09:00      done       salt-2 coat 2 of 3, house oil, can K7; anyway: abraded with P400

"#]]
    );
    assert_data_eq!(
        shop.run("batch show salt").ok(),
        str![[r#"
salt  open
  132 pieces for a shop in town, due Fri 27 Mar; recipe three coats
  98 started: 98 in hand, 0 rejected, 0 shipped
  34 pieces still to start; start 47 to be 95 % sure of enough, from 47 blanks

lot       pieces  rack    state    next                         from
salt-1    36      drip-1  OVERDUE  rub down with P400           Tue 3 Mar 13:00
salt-2 !  24      drip-2  resting  coat 3 of 3, house oil       tomorrow 09:00
salt-3    20              ready    turn                         Mon 2 Mar 08:30
salt-4    6               held     turn                         Mon 2 Mar 08:30
salt-5    12      shelf   soaking  wipe coat 1 of 3, house oil  today 12:02

"#]]
    );
    assert_data_eq!(
        shop.columns(60).run("lot show salt-2").ok(),
        str![[r#"
salt-2  resting
  24 pieces on drip-2, for a shop in town, due Fri 27 Mar
  recipe three coats, revision 1
  next: coat 3 of 3, house oil, from tomorrow 09:00, in
  21 h, until Wed 18 Mar 09:00 (the sheet's time, assumed)
  ! step 8 against the rules (window closed): abraded with
    P400

step  name                    done             can
1     turn                    not recorded
2     sand P180               not recorded
3     sand P240               not recorded
4     sand P320               not recorded
5     raise the grain         Mon 2 Mar 11:00
6     coat 1 of 3, house oil  Mon 2 Mar 16:00  K7
7     rub down with P400      today 09:00
8     coat 2 of 3, house oil  today 09:00      K7
9     coat 3 of 3, house oil  next
10    cure house oil
11    inspect
12    pack

entry: 5
  when: Mon 2 Mar 08:30
  what: lot start
  about: salt-2: 24 pieces
entry: 8
  when: Mon 2 Mar 11:00
  what: done
  about: salt-2 raise the grain, 4 min
entry: 10
  when: Mon 2 Mar 16:00
  what: done
  about: salt-2 coat 1 of 3, house oil, on drip-2, can K7
entry: 11
  when: Mon 2 Mar 16:20
  what: rags done
  about: rags of 9 (salt-1) and 10 (salt-2): soaked in
    water, lidded can, outdoors
entry: 13
  when: today 09:00
  what: done
  about: salt-2 rub down with P400
entry: 14
  when: today 09:00
  what: done
  about: salt-2 coat 2 of 3, house oil, can K7; anyway:
    abraded with P400

"#]]
    );
    assert_data_eq!(
        shop.columns(40).run("batch show salt").ok(),
        str![[r#"
salt  open
  132 pieces for a shop in town, due Fri
    27 Mar; recipe three coats
  98 started: 98 in hand, 0 rejected, 0
  shipped
  34 pieces still to start; start 47 to
    be 95 % sure of enough, from 47
    blanks

lot: salt-1
  pieces: 36
  rack: drip-1
  state: OVERDUE
  next: rub down with P400
  from: Tue 3 Mar 13:00
lot: salt-2 !
  pieces: 24
  rack: drip-2
  state: resting
  next: coat 3 of 3, house oil
  from: tomorrow 09:00
lot: salt-3
  pieces: 20
  state: ready
  next: turn
  from: Mon 2 Mar 08:30
lot: salt-4
  pieces: 6
  state: held
  next: turn
  from: Mon 2 Mar 08:30
lot: salt-5
  pieces: 12
  rack: shelf
  state: soaking
  next: wipe coat 1 of 3, house oil
  from: today 12:02

"#]]
    );
}

#[test]
fn receipts_say_what_comes_next() {
    let mut shop = busy();
    assert_data_eq!(
        shop.run("done salt-5").ok(),
        str![[r#"
done: salt-5 coat 1 of 3, house oil, can K7, today 12:00
next: salt-5 rub down with P400, from tomorrow 12:00, in 24 h, until Wed 18 Mar 12:00 (the sheet's
  time, assumed)

house oil: rags can catch fire by themselves (maker's technical sheet, revised 2025-04-01)
NOW: put oily rags, towels and dust under water in a metal can with a lid.
Or lay each one flat outdoors, one layer, clear of buildings. Never a pile.
They can set themselves on fire within hours. Your fire service decides.
Then: tackfree rags done --how "…"
More: tackfree caution rags

"#]]
    );
    assert_data_eq!(
        shop.at("2026-03-12 12:00").run("done salt-2 salt-5").ok(),
        str![[r#"
done: salt-2 coat 3 of 3, house oil, can K7, today 12:00
done: salt-5 rub down with P400, today 12:00
next: salt-2 inspect, from Thu 2 Apr 13:00, in 21 d (the sheet's time, assumed)
next: salt-5 coat 2 of 3, house oil, ready now, until Wed 18 Mar 12:00, in 6 d

house oil: rags can catch fire by themselves (maker's technical sheet, revised 2025-04-01)
NOW: put oily rags, towels and dust under water in a metal can with a lid.
Or lay each one flat outdoors, one layer, clear of buildings. Never a pile.
They can set themselves on fire within hours. Your fire service decides.
Then: tackfree rags done --how "…"
More: tackfree caution rags

"#]]
    );
    assert_data_eq!(
        shop.run("lot split salt-2 --pieces 4").ok(),
        str![[r#"
lot split: 4 pieces of salt-2 go on as salt-6, today 12:00
next: salt-2 inspect, from Thu 2 Apr 13:00, in 21 d (the sheet's time, assumed)
next: salt-6 inspect, from Thu 2 Apr 13:00, in 21 d (the sheet's time, assumed)

"#]]
    );
    assert_data_eq!(
        shop.run("lot reject salt-3 --pieces 1 --why cracked").ok(),
        str![[r#"
lot reject: salt-3: 1 piece at turn, cracked, today 12:00
next: salt-3 turn, since Mon 2 Mar 08:30

"#]]
    );
    assert_data_eq!(
        shop.run("rags done --how 'spread flat outdoors, one layer'").ok(),
        str![[r#"
rags done: rags of 14 (salt-2), 17 (salt-5) and 18 (salt-2): spread flat outdoors, one layer, today
  12:00
next: salt-2 inspect, from Thu 2 Apr 13:00, in 21 d (the sheet's time, assumed)
next: salt-5 coat 2 of 3, house oil, ready now, until Wed 18 Mar 12:00, in 6 d

"#]]
    );
    assert_data_eq!(
        shop.run("undo --why 'not yet'").ok(),
        str![[r#"
undo: rags done rags of 14 (salt-2), 17 (salt-5) and 18 (salt-2): spread flat outdoors, one layer,
  entry 22: not yet, today 12:00
next: salt-2 inspect, from Thu 2 Apr 13:00, in 21 d (the sheet's time, assumed)
next: salt-5 coat 2 of 3, house oil, ready now, until Wed 18 Mar 12:00, in 6 d

"#]]
    );
}

#[test]
fn refusals_say_what_would_be_right_and_when() {
    let shop = busy();
    let too_early = shop.run("done salt-2").refused("too-early");
    assert_data_eq!(
        too_early,
        str![[r#"
error: salt-2: too early to coat 3 of 3, house oil: the sheet's shortest time after the coat is not
  over for another 21 h, no readings of the room: the sheet's own interval assumed
next: coat 3 of 3, house oil from tomorrow 09:00 on

"#]]
    );
    let shut = shop.run("done salt-1").ok();
    assert_data_eq!(
        shut,
        str![[r#"
done: salt-1 rub down with P400, today 12:00
next: salt-1 coat 2 of 3, house oil, since today 12:00; should have been by Mon 9 Mar 13:00, 47 h
  ago

"#]]
    );
    assert_data_eq!(
        shop.run("done salt-1").refused("window-shut"),
        str![[r#"
error: salt-1: too late to coat 2 of 3, house oil: the sheet's recoat window closed Mon 9 Mar 13:00,
  47 h before
next: abrade the film with P400 so that the next coat holds, then record it with --anyway "abraded
  with P400"

"#]]
    );
    assert_data_eq!(
        shop.run("done salt-4").refused("held"),
        str![[r#"
error: salt-4 is held since today 10:00: a crack in the foot
next: let it go on with: tackfree lot release salt-4

"#]]
    );
    assert_data_eq!(
        shop.run("ship salt-2 --to nobody").refused("uncured"),
        str![[r#"
error: salt-2 is not cured: its last coat is still to come
next: see what is next: tackfree lot show salt-2

"#]]
    );
    assert_data_eq!(
        shop.run("lot move salt-2 --rack shelf").refused("too-few-slots"),
        str![[r#"
error: shelf has too few slots: 24 wanted, 0 of 12 free
next: take --rack loft, or split the lot

"#]]
    );
    assert_data_eq!(
        shop.run("done salt-3 --step 3").refused("wrong-step"),
        str![[r#"
error: salt-3: step 3 (sand P240) is not the next one
next: next is step 1 (turn): leave --step out, or skip to it with --anyway "why"

"#]]
    );
    assert_data_eq!(
        shop.run("undo 4").refused("stood-on"),
        str![[r#"
error: entry 4 can't be taken back alone: 9 (done salt-1 coat 1 of 3, house oil, can K7, 24 min), 11
  (rags done rags of 9 (salt-1) and 10 (salt-2): soaked in water, lidded can, outdoors) and 17 (done
  salt-1 rub down with P400) stand on it
next: take those back first, the latest first

"#]]
    );
    assert_data_eq!(
        shop.run("done salt-3 --at '11:59' --can K7").refused("no-coat"),
        str![[r#"
error: salt-3: a can was named, but turn isn't a coat
next: leave --can out

"#]]
    );
}
