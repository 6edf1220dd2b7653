//! The evening's screens.

use snapbox::{assert_data_eq, str};

use super::{Both, LOOKS};

#[test]
fn today_and_the_name_alone() {
    let mut shops = Both::open();
    assert_data_eq!(
        shops.screens("today"),
        str![[r#"
== 60 columns, us
Mon 14 Sep 2026, 19:20       open 18:00-21:30, 2 h 10 m left
garage: 51 °F, 63 %: within the sheets' limits; by the
  season from day 11 on
spare room: 68 °F, 50 %: within the sheets' limits

NOW
! spoons-1  wipe coat 1 of 3, tung oil
  13 pieces on peg board, 4 min
    since today 19:05; should have been by today 19:14, 5 m
      15 s ago
    about 4 min of wiping; then: tackfree done spoons-1

TONIGHT
  19:21-19:34  cups-2  coat 2 of 2, hardwax  8 on wire shelf
    no slack
  19:34-19:54  cups-3    turn       4 pieces  no slack
               first: tackfree lot start cups --pieces 4
  19:54-19:57  cups-3    sand P180  4 pieces  no slack
  19:57-20:09  cups-3  coat 1 of 2, hardwax  4 on wire shelf
    no slack
  20:09-20:18  spoons-2  carve      1 piece   no slack
               first: tackfree lot start spoons --pieces 1
  20:18-20:29  spoons-2  coat 1 of 3, tung oil  1 on peg
    board
    no slack

NOT YET
  cups-1  inspect: from Sun 20 Sep 18:48, in 5 d 23 h (part
      assumed)

GET READY
  0.5 fl oz of hardwax (can H1), 0.6 fl oz of tung oil (can
    T1), 5 cloths, 3 pairs of gloves, a lidded metal can
    with water
  cut strips: 1 of P180

No plan is kept: this follows a fresh one. Keep it: tackfree
  plan --keep

== 80 columns, metric
Mon 14 Sep 2026, 19:20                       open 18:00-21:30, 2 h 10 m left
garage: 10.4 °C, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 20.0 °C, 50 %: within the sheets' limits

NOW
! spoons-1  wipe coat 1 of 3, tung oil  13 pieces on peg board, 4 min
    since today 19:05; should have been by today 19:14, 5 m 15 s ago
    about 4 min of wiping; then: tackfree done spoons-1

TONIGHT
  19:21-19:34  cups-2    coat 2 of 2, hardwax   8 on wire shelf  no slack
  19:34-19:54  cups-3    turn                   4 pieces         no slack
               first: tackfree lot start cups --pieces 4
  19:54-19:57  cups-3    sand P180              4 pieces         no slack
  19:57-20:09  cups-3    coat 1 of 2, hardwax   4 on wire shelf  no slack
  20:09-20:18  spoons-2  carve                  1 piece          no slack
               first: tackfree lot start spoons --pieces 1
  20:18-20:29  spoons-2  coat 1 of 3, tung oil  1 on peg board   no slack

NOT YET
  cups-1  inspect: from Sun 20 Sep 18:48, in 5 d 23 h (part assumed)

GET READY
  14 ml of hardwax (can H1), 18 ml of tung oil (can T1), 5 cloths, 3 pairs of
    gloves, a lidded metal can with water
  cut strips: 1 of P180

No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep

== 100 columns, metric
Mon 14 Sep 2026, 19:20                       open 18:00-21:30, 2 h 10 m left
garage: 10.4 °C, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 20.0 °C, 50 %: within the sheets' limits

NOW
! spoons-1  wipe coat 1 of 3, tung oil  13 pieces on peg board, 4 min
    since today 19:05; should have been by today 19:14, 5 m 15 s ago
    about 4 min of wiping; then: tackfree done spoons-1

TONIGHT
  19:21-19:34  cups-2    coat 2 of 2, hardwax   8 on wire shelf  no slack
  19:34-19:54  cups-3    turn                   4 pieces         no slack
               first: tackfree lot start cups --pieces 4
  19:54-19:57  cups-3    sand P180              4 pieces         no slack
  19:57-20:09  cups-3    coat 1 of 2, hardwax   4 on wire shelf  no slack
  20:09-20:18  spoons-2  carve                  1 piece          no slack
               first: tackfree lot start spoons --pieces 1
  20:18-20:29  spoons-2  coat 1 of 3, tung oil  1 on peg board   no slack

NOT YET
  cups-1  inspect: from Sun 20 Sep 18:48, in 5 d 23 h (part assumed)

GET READY
  14 ml of hardwax (can H1), 18 ml of tung oil (can T1), 5 cloths, 3 pairs of gloves, a lidded metal
    can with water
  cut strips: 1 of P180

No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep

== 140 columns, us
Mon 14 Sep 2026, 19:20                       open 18:00-21:30, 2 h 10 m left
garage: 51 °F, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 68 °F, 50 %: within the sheets' limits

NOW
! spoons-1  wipe coat 1 of 3, tung oil  13 pieces on peg board, 4 min
    since today 19:05; should have been by today 19:14, 5 m 15 s ago
    about 4 min of wiping; then: tackfree done spoons-1

TONIGHT
  19:21-19:34  cups-2    coat 2 of 2, hardwax   8 on wire shelf  no slack
  19:34-19:54  cups-3    turn                   4 pieces         no slack
               first: tackfree lot start cups --pieces 4
  19:54-19:57  cups-3    sand P180              4 pieces         no slack
  19:57-20:09  cups-3    coat 1 of 2, hardwax   4 on wire shelf  no slack
  20:09-20:18  spoons-2  carve                  1 piece          no slack
               first: tackfree lot start spoons --pieces 1
  20:18-20:29  spoons-2  coat 1 of 3, tung oil  1 on peg board   no slack

NOT YET
  cups-1  inspect: from Sun 20 Sep 18:48, in 5 d 23 h (part assumed)

GET READY
  0.5 fl oz of hardwax (can H1), 0.6 fl oz of tung oil (can T1), 5 cloths, 3 pairs of gloves, a lidded metal can with water
  cut strips: 1 of P180

No plan is kept: this follows a fresh one. Keep it: tackfree plan --keep


"#]]
    );
    for (columns, units) in LOOKS {
        let shop = shops.of(units).columns(columns);
        assert_eq!(shop.run("").ok(), shop.run("today").ok());
    }
}

#[test]
fn racks() {
    assert_data_eq!(
        Both::open().screens("racks"),
        str![[r#"
== 60 columns, us
What stands where, Mon 14 Sep 2026, 19:20

wire shelf  garage 53 °F      ####......  8 of 24   drying
  cups-2    8 pieces   ready: coat 2 of 2, hardwax
      until Sat 26 Sep 09:40, in 11 d 14 h
  free 16

peg board   garage 53 °F      #########.  13 of 16  drying
  spoons-1  13 pieces  OVERDUE: wipe coat 1 of 3, tung oil
      should have been by today 19:14, 5 m 15 s ago
  free 3

bookcase    spare room 68 °F  ###.......  14 of 60  curing
  cups-1    14 pieces  curing: inspect
      from Sun 20 Sep 18:48, in 5 d 23 h
  free 46

== 80 columns, metric
What stands where, Mon 14 Sep 2026, 19:20

wire shelf  garage 11 °C      ####......  8 of 24   drying
  cups-2    8 pieces   ready: coat 2 of 2, hardwax
      until Sat 26 Sep 09:40, in 11 d 14 h
  free 16

peg board   garage 11 °C      #########.  13 of 16  drying
  spoons-1  13 pieces  OVERDUE: wipe coat 1 of 3, tung oil
      should have been by today 19:14, 5 m 15 s ago
  free 3

bookcase    spare room 20 °C  ###.......  14 of 60  curing
  cups-1    14 pieces  curing: inspect
      from Sun 20 Sep 18:48, in 5 d 23 h
  free 46

== 100 columns, metric
What stands where, Mon 14 Sep 2026, 19:20

wire shelf  garage 11 °C      ####......  8 of 24   drying
  cups-2    8 pieces   ready: coat 2 of 2, hardwax
      until Sat 26 Sep 09:40, in 11 d 14 h
  free 16

peg board   garage 11 °C      #########.  13 of 16  drying
  spoons-1  13 pieces  OVERDUE: wipe coat 1 of 3, tung oil
      should have been by today 19:14, 5 m 15 s ago
  free 3

bookcase    spare room 20 °C  ###.......  14 of 60  curing
  cups-1    14 pieces  curing: inspect
      from Sun 20 Sep 18:48, in 5 d 23 h
  free 46

== 140 columns, us
What stands where, Mon 14 Sep 2026, 19:20

wire shelf  garage 53 °F      ####......  8 of 24   drying
  cups-2    8 pieces   ready: coat 2 of 2, hardwax
      until Sat 26 Sep 09:40, in 11 d 14 h
  free 16

peg board   garage 53 °F      #########.  13 of 16  drying
  spoons-1  13 pieces  OVERDUE: wipe coat 1 of 3, tung oil
      should have been by today 19:14, 5 m 15 s ago
  free 3

bookcase    spare room 68 °F  ###.......  14 of 60  curing
  cups-1    14 pieces  curing: inspect
      from Sun 20 Sep 18:48, in 5 d 23 h
  free 46


"#]]
    );
}

#[test]
fn cure() {
    assert_data_eq!(
        Both::open().screens("cure cups-1"),
        str![[r#"
== 60 columns, us
cups-1   14 pieces on bookcase since Mon 7 Sep, hardwax,
  last coat Sat 5 Sep 09:50
The sheet's cure time is reached Sun 20 Sep 18:48, in 5 d
  23 h at this room's 68 °F.   Now: day 8.0 of 14.
  nobody read 9 d 8 h of this: each hour is taken as the
    slowest since Tue 1 Sep; enter what you know: tackfree
    climate import, or climate add
Try it: press a thumbnail under the foot, smell it. tackfree
  touch cups-1 tacky|dry-to-touch|dry-hard

== 80 columns, metric
cups-1   14 pieces on bookcase since Mon 7 Sep, hardwax, last coat Sat 5 Sep
  09:50
The sheet's cure time is reached Sun 20 Sep 18:48, in 5 d 23 h at this room's
  20 °C.   Now: day 8.0 of 14.
  nobody read 9 d 8 h of this: each hour is taken as the slowest since Tue 1
    Sep; enter what you know: tackfree climate import, or climate add
Try it: press a thumbnail under the foot, smell it. tackfree touch cups-1
  tacky|dry-to-touch|dry-hard

== 100 columns, metric
cups-1   14 pieces on bookcase since Mon 7 Sep, hardwax, last coat Sat 5 Sep 09:50
The sheet's cure time is reached Sun 20 Sep 18:48, in 5 d 23 h at this room's 20 °C.   Now: day 8.0
  of 14.
  nobody read 9 d 8 h of this: each hour is taken as the slowest since Tue 1 Sep; enter what you
    know: tackfree climate import, or climate add
Try it: press a thumbnail under the foot, smell it. tackfree touch cups-1
  tacky|dry-to-touch|dry-hard

== 140 columns, us
cups-1   14 pieces on bookcase since Mon 7 Sep, hardwax, last coat Sat 5 Sep 09:50
The sheet's cure time is reached Sun 20 Sep 18:48, in 5 d 23 h at this room's 68 °F.   Now: day 8.0 of 14.
  nobody read 9 d 8 h of this: each hour is taken as the slowest since Tue 1 Sep; enter what you know: tackfree climate import, or climate
    add
Try it: press a thumbnail under the foot, smell it. tackfree touch cups-1 tacky|dry-to-touch|dry-hard


"#]]
    );
}

#[test]
fn ship() {
    let mut shops = Both::open();
    for shop in [&mut shops.metric, &mut shops.us] {
        shop.at("2026-09-21 18:10").run("climate add 'spare room' --temp 19C --humidity 52").ok();
        shop.at("2026-09-21 18:20").run("done cups-1").ok();
    }
    assert_data_eq!(
        shops.screens("ship cups-1 --pieces 2 --to 'Marlow Café'"),
        str![[r#"
== 60 columns, us
Shipped 2 pieces to Marlow Café. 12 of cups-1 left. 22 of
  cups to go.
Slip for the box: tackfree ship show 20
cups-1: the sheet's cure time is reached: today 08:40 (14 d
  after the last coat; maker's wax sheet, revised
  2025-06-01; in part or whole assumed: nobody read the
  room)
You: nobody read 15 d 22 h of this: each hour is taken as
  the slowest since Tue 1 Sep; enter what you know: tackfree
  climate import, or climate add

Enclose record and care text: facts for whoever receives the
  pieces.
The record states facts, never a verdict. Nut or seed origin
  comes first.
No rags, oily paper or solvent samples in the box.

Record which nuts or seeds the oil comes from: yes, no or
  unknown.
Tell the buyer before the sale. No cured film is proven to
  hold them back.
Whoever has an allergy asks a doctor, not this record.

On record: oil, maker's lot, coats, last coat, the sheet's
  cure time.
No claim about food contact is made here; maker and seller
  answer for that.
Wait out the sheet's cure time, then wash before the first
  use.

A toy or a child's piece? Stop: tests, certificate and label
  rules apply.
This record isn't a toy certificate.
Keep the finish, the can's lot and the piece's lot together
  on record.

More: tackfree caution record (or allergens, food or toys)

== 80 columns, metric
Shipped 2 pieces to Marlow Café. 12 of cups-1 left. 22 of cups to go.
Slip for the box: tackfree ship show 20
cups-1: the sheet's cure time is reached: today 08:40 (14 d after the last coat;
  maker's wax sheet, revised 2025-06-01; in part or whole assumed: nobody read
  the room)
You: nobody read 15 d 22 h of this: each hour is taken as the slowest since Tue
  1 Sep; enter what you know: tackfree climate import, or climate add

Enclose record and care text: facts for whoever receives the pieces.
The record states facts, never a verdict. Nut or seed origin comes first.
No rags, oily paper or solvent samples in the box.

Record which nuts or seeds the oil comes from: yes, no or unknown.
Tell the buyer before the sale. No cured film is proven to hold them back.
Whoever has an allergy asks a doctor, not this record.

On record: oil, maker's lot, coats, last coat, the sheet's cure time.
No claim about food contact is made here; maker and seller answer for that.
Wait out the sheet's cure time, then wash before the first use.

A toy or a child's piece? Stop: tests, certificate and label rules apply.
This record isn't a toy certificate.
Keep the finish, the can's lot and the piece's lot together on record.

More: tackfree caution record (or allergens, food or toys)

== 100 columns, metric
Shipped 2 pieces to Marlow Café. 10 of cups-1 left. 20 of cups to go.
Slip for the box: tackfree ship show 21
cups-1: the sheet's cure time is reached: today 08:40 (14 d after the last coat; maker's wax sheet,
  revised 2025-06-01; in part or whole assumed: nobody read the room)
You: nobody read 15 d 22 h of this: each hour is taken as the slowest since Tue 1 Sep; enter what
  you know: tackfree climate import, or climate add

Enclose record and care text: facts for whoever receives the pieces.
The record states facts, never a verdict. Nut or seed origin comes first.
No rags, oily paper or solvent samples in the box.

Record which nuts or seeds the oil comes from: yes, no or unknown.
Tell the buyer before the sale. No cured film is proven to hold them back.
Whoever has an allergy asks a doctor, not this record.

On record: oil, maker's lot, coats, last coat, the sheet's cure time.
No claim about food contact is made here; maker and seller answer for that.
Wait out the sheet's cure time, then wash before the first use.

A toy or a child's piece? Stop: tests, certificate and label rules apply.
This record isn't a toy certificate.
Keep the finish, the can's lot and the piece's lot together on record.

More: tackfree caution record (or allergens, food or toys)

== 140 columns, us
Shipped 2 pieces to Marlow Café. 10 of cups-1 left. 20 of cups to go.
Slip for the box: tackfree ship show 21
cups-1: the sheet's cure time is reached: today 08:40 (14 d after the last coat; maker's wax sheet, revised 2025-06-01; in part or whole
  assumed: nobody read the room)
You: nobody read 15 d 22 h of this: each hour is taken as the slowest since Tue 1 Sep; enter what you know: tackfree climate import, or
  climate add

Enclose record and care text: facts for whoever receives the pieces.
The record states facts, never a verdict. Nut or seed origin comes first.
No rags, oily paper or solvent samples in the box.

Record which nuts or seeds the oil comes from: yes, no or unknown.
Tell the buyer before the sale. No cured film is proven to hold them back.
Whoever has an allergy asks a doctor, not this record.

On record: oil, maker's lot, coats, last coat, the sheet's cure time.
No claim about food contact is made here; maker and seller answer for that.
Wait out the sheet's cure time, then wash before the first use.

A toy or a child's piece? Stop: tests, certificate and label rules apply.
This record isn't a toy certificate.
Keep the finish, the can's lot and the piece's lot together on record.

More: tackfree caution record (or allergens, food or toys)


"#]]
    );
}

#[test]
fn cans_lots_and_orders() {
    let mut shops = Both::open();
    for (columns, units, lines) in [
        (60, "us", ["can list", "lot list"]),
        (80, "metric", ["can list", "batch show cups"]),
        (140, "us", ["can list", "lot show cups-2"]),
    ] {
        let shop = shops.of(units).columns(columns);
        let said = lines.map(|line| shop.run(line).fits().ok()).join("\n");
        match columns {
            60 => assert_data_eq!(
                said,
                str![[r#"
can: H1
  finish: hardwax
  maker's lot: L2231
  held: 1 qt
  left: about 30 fl oz
  opened: Tue 1 Sep 18:00
  keeps until: Wed 1 Sep 2027 18:00
  state: open
can: T1
  finish: tung oil
  held: 8.5 fl oz
  left: about 8.4 fl oz
  opened: Tue 1 Sep 18:00
  keeps until: Wed 1 Sep 2027 18:00
  state: open

lot       pieces  rack        state    next        from
cups-1    14      bookcase    curing   inspect     Sun 20
                                                   Sep 18:48
cups-2    8       wire shelf  ready    coat 2 of   yesterday
                                       2, hardwax  14:35
spoons-1  13      peg board   OVERDUE  wipe coat   today
                                       1 of 3,     19:05
                                       tung oil

"#]]
            ),
            80 => assert_data_eq!(
                said,
                str![[r#"
can  finish    maker's lot  held    left       opened     keeps until  state
H1   hardwax   L2231        946 ml  about 900  Tue 1 Sep  Wed 1 Sep    open
                                    ml         18:00      2027 18:00
T1   tung oil               250 ml  about 250  Tue 1 Sep  Wed 1 Sep    open
                                    ml         18:00      2027 18:00

cups  open
  24 pieces for Marlow Café, due Mon 26 Oct; recipe cup, two coats
  22 started: 22 in hand, 0 rejected, 0 shipped
  2 pieces still to start; start 4 to be 95 % sure of enough, from 4 blanks

lot     pieces  rack        state   next                  from
cups-1  14      bookcase    curing  inspect               Sun 20 Sep 18:48
cups-2  8       wire shelf  ready   coat 2 of 2, hardwax  yesterday 14:35

"#]]
            ),
            _ => assert_data_eq!(
                said,
                str![[r#"
can  finish    maker's lot  held       left             opened           keeps until           state
H1   hardwax   L2231        1 qt       about 30 fl oz   Tue 1 Sep 18:00  Wed 1 Sep 2027 18:00  open
T1   tung oil               8.5 fl oz  about 8.4 fl oz  Tue 1 Sep 18:00  Wed 1 Sep 2027 18:00  open

cups-2  ready
  8 pieces on wire shelf, for Marlow Café, due Mon 26 Oct
  recipe cup, two coats, revision 1
  next: coat 2 of 2, hardwax, since yesterday 14:35, until Sat 26 Sep 09:40, in 11 d 14 h

step  name                  done              can
1     turn                  not recorded
2     sand P180             not recorded
3     coat 1 of 2, hardwax  Sat 12 Sep 09:40  H1
4     coat 2 of 2, hardwax  next
5     cure hardwax
6     inspect

entry  when              what       about
11     Sat 12 Sep 09:10  lot start  cups-2: 8 pieces, on wire shelf
12     Sat 12 Sep 09:40  done       cups-2 coat 1 of 2, hardwax, can H1
13     Sat 12 Sep 09:45  rags done  rags of 8 (cups-1), 9 (cups-1) and 12 (cups-2): soaked, lidded can, taken outside

"#]]
            ),
        }
    }
}
