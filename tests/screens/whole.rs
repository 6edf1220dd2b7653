//! The plan and a promise.

use snapbox::{assert_data_eq, str};

use super::{Both, evening};

#[test]
fn plan() {
    assert_data_eq!(
        Both::open().screens("plan --days 2"),
        str![[r#"
== 60 columns, us
Plan from Mon 14 Sep 2026, 19:20
garage: 51 °F, 63 %: within the sheets' limits; by the
  season from day 11 on
spare room: 68 °F, 50 %: within the sheets' limits

cups    24 for Marlow Café, due Mon 26 Oct
        14 ready Mon 21 Sep, 22 ready Wed 30 Sep, all Sat 3
          Oct 09:02, 23 days early; held up by drying; 4
          pieces still to start, spares included
spoons  12, due Mon 12 Oct
        all ready Sat 24 Oct 09:05, 12 days LATE; held up by
          drying; 1 piece still to start, spares included

As the rooms are taken to be, some of it is late whatever
  the plan. The last piece is ready Sat 24 Oct 09:05.

To hold it
  Wed 16 Sep 18:00  move cups-2 (8) from wire shelf to
      bookcase: it cures too slowly where it is
  Sat 19 Sep 09:00  move cups-3 (4) from wire shelf to
      bookcase: it cures too slowly where it is
  Thu 24 Sep 18:00  move spoons-1 (13) from peg board to
      bookcase: it cures too slowly where it is
  Thu 24 Sep 18:00  move spoons-2 (1) from peg board to
      bookcase: it cures too slowly where it is
  Record it: tackfree lot move cups-2 --rack 'bookcase'

What would help
  garage at 68 °F instead of 53 °F
    spoons Sat 17 Oct, 7 days sooner
  open on Sundays 18:00-21:30
    spoons Thu 22 Oct, 2 days sooner

today
  19:20-19:21  spoons-1  coat 1 of 3, tung oil (begun)  13
    on peg board
    goes on now
  19:21-19:34  cups-2  coat 2 of 2, hardwax  8 on wire shelf
    no slack
  19:34-19:54  cups-3    turn       4 pieces  no slack
  19:54-19:57  cups-3    sand P180  4 pieces  no slack
  19:57-20:09  cups-3  coat 1 of 2, hardwax  4 on wire shelf
    no slack
  20:09-20:18  spoons-2  carve      1 piece   no slack
  20:18-20:29  spoons-2  coat 1 of 3, tung oil  1 on peg
    board
    no slack
Wed 16 Sep
  18:00-18:12  cups-3  coat 2 of 2, hardwax  4 on wire shelf
    no slack
… 9 more steps: tackfree plan --days 60

Racks and hands
            14 Sep 21 Sep 28 Sep 5 Oct  12 Oct 19 Oct
hands       =.-- . -... . ..-. - .... . .... . .... #
wire shelf  -==---...................................
peg board   -#########=..............................
bookcase    ---====----=====------------------------.
A sign is 24 h: . free, - up to a third taken, = up to two
  thirds, # more, blank closed

Follow it: tackfree plan --keep

== 80 columns, metric
Plan from Mon 14 Sep 2026, 19:20
garage: 10.4 °C, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 20.0 °C, 50 %: within the sheets' limits

cups    24 for Marlow Café, due Mon 26 Oct
        14 ready Mon 21 Sep, 22 ready Wed 30 Sep, all Sat 3 Oct 09:02, 23 days
          early; held up by drying; 4 pieces still to start, spares included
spoons  12, due Mon 12 Oct
        all ready Sat 24 Oct 09:05, 12 days LATE; held up by drying; 1 piece
          still to start, spares included

As the rooms are taken to be, some of it is late whatever the plan. The last
  piece is ready Sat 24 Oct 09:05.

To hold it
  Wed 16 Sep 18:00  move cups-2 (8) from wire shelf to bookcase: it cures too
      slowly where it is
  Sat 19 Sep 09:00  move cups-3 (4) from wire shelf to bookcase: it cures too
      slowly where it is
  Thu 24 Sep 18:00  move spoons-1 (13) from peg board to bookcase: it cures too
      slowly where it is
  Thu 24 Sep 18:00  move spoons-2 (1) from peg board to bookcase: it cures too
      slowly where it is
  Record it: tackfree lot move cups-2 --rack 'bookcase'

What would help
  garage at 20 °C instead of 11 °C  spoons Sat 17 Oct, 7 days sooner
  open on Sundays 18:00-21:30       spoons Thu 22 Oct, 2 days sooner

today
  19:20-19:21  spoons-1  coat 1 of 3, tung oil (begun)  13 on peg board
    goes on now
  19:21-19:34  cups-2    coat 2 of 2, hardwax   8 on wire shelf  no slack
  19:34-19:54  cups-3    turn                   4 pieces         no slack
  19:54-19:57  cups-3    sand P180              4 pieces         no slack
  19:57-20:09  cups-3    coat 1 of 2, hardwax   4 on wire shelf  no slack
  20:09-20:18  spoons-2  carve                  1 piece          no slack
  20:18-20:29  spoons-2  coat 1 of 3, tung oil  1 on peg board   no slack
Wed 16 Sep
  18:00-18:12  cups-3    coat 2 of 2, hardwax   4 on wire shelf  no slack
… 9 more steps: tackfree plan --days 60

Racks and hands
            14 Sep 21 Sep 28 Sep 5 Oct  12 Oct 19 Oct
hands       =.-- . -... . ..-. - .... . .... . .... #
wire shelf  -==---...................................
peg board   -#########=..............................
bookcase    ---====----=====------------------------.
A sign is 24 h: . free, - up to a third taken, = up to two thirds, # more, blank
  closed

Follow it: tackfree plan --keep

== 100 columns, metric
Plan from Mon 14 Sep 2026, 19:20
garage: 10.4 °C, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 20.0 °C, 50 %: within the sheets' limits

cups    24 for Marlow Café, due Mon 26 Oct
        14 ready Mon 21 Sep, 22 ready Wed 30 Sep, all Sat 3 Oct 09:02, 23 days early; held up by
          drying; 4 pieces still to start, spares included
spoons  12, due Mon 12 Oct
        all ready Sat 24 Oct 09:05, 12 days LATE; held up by drying; 1 piece still to start, spares
          included

As the rooms are taken to be, some of it is late whatever the plan. The last piece is ready Sat 24
  Oct 09:05.

To hold it
  Wed 16 Sep 18:00  move cups-2 (8) from wire shelf to bookcase: it cures too slowly where it is
  Sat 19 Sep 09:00  move cups-3 (4) from wire shelf to bookcase: it cures too slowly where it is
  Thu 24 Sep 18:00  move spoons-1 (13) from peg board to bookcase: it cures too slowly where it is
  Thu 24 Sep 18:00  move spoons-2 (1) from peg board to bookcase: it cures too slowly where it is
  Record it: tackfree lot move cups-2 --rack 'bookcase'

What would help
  garage at 20 °C instead of 11 °C  spoons Sat 17 Oct, 7 days sooner
  open on Sundays 18:00-21:30       spoons Thu 22 Oct, 2 days sooner

today
  19:20-19:21  spoons-1  coat 1 of 3, tung oil (begun)  13 on peg board  goes on now
  19:21-19:34  cups-2    coat 2 of 2, hardwax           8 on wire shelf  no slack
  19:34-19:54  cups-3    turn                           4 pieces         no slack
  19:54-19:57  cups-3    sand P180                      4 pieces         no slack
  19:57-20:09  cups-3    coat 1 of 2, hardwax           4 on wire shelf  no slack
  20:09-20:18  spoons-2  carve                          1 piece          no slack
  20:18-20:29  spoons-2  coat 1 of 3, tung oil          1 on peg board   no slack
Wed 16 Sep
  18:00-18:12  cups-3    coat 2 of 2, hardwax           4 on wire shelf  no slack
… 9 more steps: tackfree plan --days 60

Racks and hands
            14 Sep 18 Sep 21 Sep 25 Sep 28 Sep 2 Oct 5 Oct 8 Oct 11 Oct 14 Oct 18 Oct 21 Oct
hands       = . - -  ..   - . . .  ..   . . - .  -.   . . . .  ..   . . . .  ..   . . . .  #
wire shelf  -===------......................................................................
peg board   =###################=...........................................................
bookcase    -----=======---------==========------------------------------------------------.
A sign is 12 h: . free, - up to a third taken, = up to two thirds, # more, blank closed

Follow it: tackfree plan --keep

== 140 columns, us
Plan from Mon 14 Sep 2026, 19:20
garage: 51 °F, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 68 °F, 50 %: within the sheets' limits

cups    24 for Marlow Café, due Mon 26 Oct
        14 ready Mon 21 Sep, 22 ready Wed 30 Sep, all Sat 3 Oct 09:02, 23 days early; held up by drying; 4 pieces still to start, spares
          included
spoons  12, due Mon 12 Oct
        all ready Sat 24 Oct 09:05, 12 days LATE; held up by drying; 1 piece still to start, spares included

As the rooms are taken to be, some of it is late whatever the plan. The last piece is ready Sat 24 Oct 09:05.

To hold it
  Wed 16 Sep 18:00  move cups-2 (8) from wire shelf to bookcase: it cures too slowly where it is
  Sat 19 Sep 09:00  move cups-3 (4) from wire shelf to bookcase: it cures too slowly where it is
  Thu 24 Sep 18:00  move spoons-1 (13) from peg board to bookcase: it cures too slowly where it is
  Thu 24 Sep 18:00  move spoons-2 (1) from peg board to bookcase: it cures too slowly where it is
  Record it: tackfree lot move cups-2 --rack 'bookcase'

What would help
  garage at 68 °F instead of 53 °F  spoons Sat 17 Oct, 7 days sooner
  open on Sundays 18:00-21:30       spoons Thu 22 Oct, 2 days sooner

today
  19:20-19:21  spoons-1  coat 1 of 3, tung oil (begun)  13 on peg board  goes on now
  19:21-19:34  cups-2    coat 2 of 2, hardwax           8 on wire shelf  no slack
  19:34-19:54  cups-3    turn                           4 pieces         no slack
  19:54-19:57  cups-3    sand P180                      4 pieces         no slack
  19:57-20:09  cups-3    coat 1 of 2, hardwax           4 on wire shelf  no slack
  20:09-20:18  spoons-2  carve                          1 piece          no slack
  20:18-20:29  spoons-2  coat 1 of 3, tung oil          1 on peg board   no slack
Wed 16 Sep
  18:00-18:12  cups-3    coat 2 of 2, hardwax           4 on wire shelf  no slack
… 9 more steps: tackfree plan --days 60

Racks and hands
            14 Sep 18 Sep 21 Sep 25 Sep 28 Sep 2 Oct 5 Oct 8 Oct 11 Oct 14 Oct 18 Oct 21 Oct
hands       = . - -  ..   - . . .  ..   . . - .  -.   . . . .  ..   . . . .  ..   . . . .  #
wire shelf  -===------......................................................................
peg board   =###################=...........................................................
bookcase    -----=======---------==========------------------------------------------------.
A sign is 12 h: . free, - up to a third taken, = up to two thirds, # more, blank closed

Follow it: tackfree plan --keep


"#]]
    );
}

#[test]
fn promise() {
    let line = "promise --recipe 'cup, two coats' --pieces 12 --runs 20";
    assert_data_eq!(
        Both::open().screens(line),
        str![[r#"
== 60 columns, us
12 pieces, cup, two coats, asked Mon 14 Sep 2026, 19:20
garage: 51 °F, 63 %: within the sheets' limits; by the
  season from day 11 on
spare room: 68 °F, 50 %: within the sheets' limits

Say:  Mon 12 Oct  almost sure: 19 in 20
      Thu 8 Oct   likely: 4 in 5
      Mon 5 Oct   even odds
      Sat 3 Oct   if all goes as planned
Start 14 pieces, so that enough good ones come out.
Nothing gets all orders ready before Wed 21 Oct with these
  lots.

Promises already given
batch   promised    without it  with it     late in
cups    Mon 26 Oct  Sat 3 Oct   Mon 5 Oct   0 % of cases
spoons  Mon 12 Oct  Sat 24 Oct  Sat 24 Oct  100 % of cases

Rests on 20 plans over:
  scrap: from 22 pieces judged
  pace: a tenth up or down, our guess until you have more
    history (0)
  rooms: perhaps a tenth slower than expected, our guess
    until you have more history (0)
  lost days: about 1 open day in 20, our guess until you
    have more history (9)
  cure: perhaps a tenth longer than the sheet says, our
    guess until you have more history (0)

== 80 columns, metric
12 pieces, cup, two coats, asked Mon 14 Sep 2026, 19:20
garage: 10.4 °C, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 20.0 °C, 50 %: within the sheets' limits

Say:  Mon 12 Oct  almost sure: 19 in 20
      Thu 8 Oct   likely: 4 in 5
      Mon 5 Oct   even odds
      Sat 3 Oct   if all goes as planned
Start 14 pieces, so that enough good ones come out.
Nothing gets all orders ready before Wed 21 Oct with these lots.

Promises already given
batch   promised    without it  with it     late in
cups    Mon 26 Oct  Sat 3 Oct   Mon 5 Oct   0 % of cases
spoons  Mon 12 Oct  Sat 24 Oct  Sat 24 Oct  100 % of cases

Rests on 20 plans over:
  scrap: from 22 pieces judged
  pace: a tenth up or down, our guess until you have more history (0)
  rooms: perhaps a tenth slower than expected, our guess until you have more
    history (0)
  lost days: about 1 open day in 20, our guess until you have more history (9)
  cure: perhaps a tenth longer than the sheet says, our guess until you have
    more history (0)

== 100 columns, metric
12 pieces, cup, two coats, asked Mon 14 Sep 2026, 19:20
garage: 10.4 °C, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 20.0 °C, 50 %: within the sheets' limits

Say:  Mon 12 Oct  almost sure: 19 in 20
      Thu 8 Oct   likely: 4 in 5
      Mon 5 Oct   even odds
      Sat 3 Oct   if all goes as planned
Start 14 pieces, so that enough good ones come out.
Nothing gets all orders ready before Wed 21 Oct with these lots.

Promises already given
batch   promised    without it  with it     late in
cups    Mon 26 Oct  Sat 3 Oct   Mon 5 Oct   0 % of cases
spoons  Mon 12 Oct  Sat 24 Oct  Sat 24 Oct  100 % of cases

Rests on 20 plans over:
  scrap: from 22 pieces judged
  pace: a tenth up or down, our guess until you have more history (0)
  rooms: perhaps a tenth slower than expected, our guess until you have more history (0)
  lost days: about 1 open day in 20, our guess until you have more history (9)
  cure: perhaps a tenth longer than the sheet says, our guess until you have more history (0)

== 140 columns, us
12 pieces, cup, two coats, asked Mon 14 Sep 2026, 19:20
garage: 51 °F, 63 %: within the sheets' limits; by the season from day 11 on
spare room: 68 °F, 50 %: within the sheets' limits

Say:  Mon 12 Oct  almost sure: 19 in 20
      Thu 8 Oct   likely: 4 in 5
      Mon 5 Oct   even odds
      Sat 3 Oct   if all goes as planned
Start 14 pieces, so that enough good ones come out.
Nothing gets all orders ready before Wed 21 Oct with these lots.

Promises already given
batch   promised    without it  with it     late in
cups    Mon 26 Oct  Sat 3 Oct   Mon 5 Oct   0 % of cases
spoons  Mon 12 Oct  Sat 24 Oct  Sat 24 Oct  100 % of cases

Rests on 20 plans over:
  scrap: from 22 pieces judged
  pace: a tenth up or down, our guess until you have more history (0)
  rooms: perhaps a tenth slower than expected, our guess until you have more history (0)
  lost days: about 1 open day in 20, our guess until you have more history (9)
  cure: perhaps a tenth longer than the sheet says, our guess until you have more history (0)


"#]]
    );
}

#[test]
fn a_coat_that_soaks_is_wiped_before_all_else() {
    for effort in [1, 10, 200] {
        let plan = evening("metric").json(&format!("plan --effort {effort}"));
        let first = &plan["steps"][0];
        assert_eq!((&first["lot"], &first["begun"]), (&"spoons-1".into(), &true.into()), "{first}");
    }
}
