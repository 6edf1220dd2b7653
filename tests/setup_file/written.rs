//! A setup written as a file reads back as the same setup.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use tackfree::shop::setup::recipe::GRADES;
use tackfree::shop::setup::remind::{KINDS, Remind, Told};
use tackfree::shop::setup::{
    AirLimit, Finish, Heated, Piece, Purpose, Rack, Recipe, Rest, Room, Setup, Sheet, Size, Step,
    StepWork, Workshop, read, starting_file, to_toml,
};
use tackfree::time::{ClosedDays, Keeps, OpenHours, Span, SpanRange, Stretch};
use tackfree::units::{
    Celsius, Coverage, GramsPerLitre, Humidity, MilligramsPerCubicMetre, Money, Q10,
    SquareCentimetres, System,
};

use crate::harness::{SORREL_LANE, TestShop};

#[test]
fn the_starting_file_comes_back() {
    let setup = read(starting_file()).unwrap();
    let text = to_toml(&setup);
    assert_eq!(read(&text).unwrap(), setup, "{text}");
}

fn words() -> impl Strategy<Value = String> {
    "[a-zA-Zéü\"'\\\\#=\\[{.☂0-9-]( ?[a-zA-Zéü\"'\\\\#=\\]}.☂0-9-]){0,20}"
}

fn names(most: usize) -> impl Strategy<Value = BTreeSet<String>> {
    prop::collection::btree_set(words(), 1..=most)
}

fn span(low: i64, high: i64) -> impl Strategy<Value = Span> {
    (low..=high).prop_map(Span::seconds)
}

fn range() -> impl Strategy<Value = SpanRange> {
    (0..100_000_i64, 1..300_000_000_i64).prop_map(|(min, more)| {
        let max = (min + more).min(3650 * 24 * 3600);
        SpanRange::new(Span::seconds(min), Span::seconds(max)).unwrap()
    })
}

fn hours() -> impl Strategy<Value = OpenHours> {
    let stretch = (0..700_u16, 1..700_u16);
    let day = prop::option::of(stretch).prop_map(|ends| {
        let ends = ends.map(|(from, length)| Stretch::new(from, from + length).unwrap());
        ends.into_iter().collect::<Vec<_>>()
    });
    let date = (2020..2040_i32, 1..=366_u32)
        .prop_filter_map("a date", |(year, day)| chrono::NaiveDate::from_yo_opt(year, day));
    let closed = (date, 0..20_u64)
        .prop_map(|(first, more)| ClosedDays::new(first, first + chrono::Days::new(more)).unwrap());
    (prop::array::uniform7(day), prop::collection::vec(closed, 0..4)).prop_map(
        |(mut week, closed)| {
            week[2] = vec![Stretch::new(0, 10).unwrap(), Stretch::new(10, 1440).unwrap()];
            OpenHours::new(week, closed).unwrap()
        },
    )
}

fn cost() -> impl Strategy<Value = Option<Money>> {
    prop::option::of(number(0.0, 1e9).prop_map(|cost| Money::new(cost).unwrap()))
}

fn shop() -> impl Strategy<Value = Workshop> {
    let costs = (cost(), cost());
    let said = (any::<bool>(), prop::option::of(words()), any::<bool>(), costs);
    (words(), 0..chrono_tz::TZ_VARIANTS.len(), 1..=1000_u32, hours(), said).prop_map(
        |(name, zone, hands, hours, (us, maker, at_home, costs))| Workshop {
            name,
            zone: chrono_tz::TZ_VARIANTS[zone],
            hands,
            hours,
            units: if us { System::Us } else { System::Metric },
            address: maker.clone(),
            maker,
            country: at_home.then(|| "IE".to_owned()),
            backup: at_home.then(|| "~/safe".to_owned()),
            hour_rate: costs.0,
            strip_cost: costs.1,
        },
    )
}

fn room(name: String) -> impl Strategy<Value = Room> {
    let heated = [None, Some(Heated::ByDay), Some(Heated::Always), Some(Heated::No)];
    (prop::sample::select(heated.to_vec()), prop::option::of(number(-40.0, 60.0))).prop_map(
        move |(heated, temp)| Room {
            name: name.clone(),
            heated,
            unread_temp: temp.map(|temp| Celsius::new(temp).unwrap()),
        },
    )
}

fn number(low: f64, high: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        low..=high,
        (0.0..=1.0)
            .prop_map(move |part: f64| { (low + part * (high - low)).round().clamp(low, high) })
    ]
}

fn finish(name: String) -> impl Strategy<Value = Finish> {
    let sheet = prop::option::of((words(), any::<bool>()).prop_map(|(title, dated)| Sheet {
        title,
        revised: dated.then(|| "2025-04".parse().unwrap()),
    }));
    let keeps = prop_oneof![
        (1..1200_u32).prop_map(Keeps::Months),
        span(1, 90_000_000).prop_map(Keeps::For)
    ];
    let times = (range(), range(), span(1, 300_000_000), prop::option::of(keeps));
    let air = || {
        let of = |(limit, basis)| AirLimit {
            mg_m3: MilligramsPerCubicMetre::new(limit).unwrap(),
            basis,
        };
        (number(0.001, 1e6), words()).prop_map(of)
    };
    let numbers = (
        prop::option::of(number(20.0, 60.0)),
        prop::option::of(number(-40.0, 20.0)),
        prop::option::of(number(0.0, 100.0)),
        prop::option::of(number(1.0, 10.0)),
        prop::option::of(number(0.1, 1000.0)),
        prop::option::of(number(0.1, 1000.0)),
        prop::option::of(number(0.0, 2000.0)),
    );
    let rest = (
        prop::option::of(air()),
        prop::option::of(air()),
        prop::option::of(names(3)),
        any::<Option<bool>>(),
        cost(),
    );
    (sheet, times, numbers, rest).prop_map(move |(sheet, times, numbers, rest)| {
        let (air_limit, lower_flammable, contains, self_heating, litre_cost) = rest;
        Finish {
            name: name.clone(),
            // What a class would supply is held in `classes`.
            kind: None,
            sheet,
            soak: times.0,
            recoat: times.1,
            cure: times.2,
            sheet_temp: numbers.0.map(|value| Celsius::new(value).unwrap()),
            min_temp: numbers.1.map(|value| Celsius::new(value).unwrap()),
            max_humidity: numbers.2.map(|value| Humidity::new(value).unwrap()),
            q10: numbers.3.map(|value| Q10::new(value).unwrap()),
            coverage: numbers.4.map(|value| Coverage::new(value).unwrap()),
            coverage_bare: numbers.5.map(|value| Coverage::new(value).unwrap()),
            voc: numbers.6.map(|value| GramsPerLitre::new(value).unwrap()),
            air_limit,
            lower_flammable,
            use_within: times.3,
            contains: contains.map(|names| names.into_iter().collect()),
            self_heating,
            litre_cost,
            from_class: BTreeMap::new(),
        }
    })
}

fn piece(name: String) -> impl Strategy<Value = Piece> {
    let point = (number(-10_000.0, 10_000.0), number(0.0, 10_000.0));
    let outline = prop::collection::vec(point, 1..8).prop_map(|points| {
        let mut outline = vec![[0.0, 0.0]];
        outline.extend(points.into_iter().map(|(height, diameter)| [height, diameter]));
        outline.push([1.5, 0.0]);
        outline
    });
    let possible = |outline: &Vec<[f64; 2]>| tackfree::craft::cover::area(outline).is_ok();
    let outline =
        outline.prop_filter("an outline crosses itself nowhere", possible).prop_map(Size::Profile);
    let area = number(0.01, 1e6).prop_map(|area| Size::Area(SquareCentimetres::new(area).unwrap()));
    let size = prop::option::of(prop_oneof![outline, area]);
    (prop::option::of(words()), 1..=1000_u32, size, cost()).prop_map(
        move |(wood, pieces_per_blank, size, blank_cost)| Piece {
            name: name.clone(),
            wood,
            pieces_per_blank,
            size,
            blank_cost,
        },
    )
}

fn labour(finishes: Vec<String>) -> impl Strategy<Value = Step> {
    let each = || span(1, 24 * 3600);
    let strip = || prop::option::of(1..=10_000_u32);
    let grit = || prop::sample::select(GRADES.to_vec()).prop_map(str::to_owned);
    let dry = prop_oneof![
        (words(), each()).prop_map(|(name, each)| StepWork::Work { name, each }),
        (words(), each()).prop_map(|(with, each)| StepWork::Raise { with, each }),
        (grit(), each(), strip()).prop_map(|(grit, each, strip)| StepWork::Sand {
            grit,
            each,
            strip
        }),
        (grit(), each(), strip()).prop_map(|(grit, each, strip)| StepWork::Rub {
            grit,
            each,
            strip
        }),
    ];
    let rest = prop::option::of(prop_oneof![
        span(0, 300_000_000).prop_map(Rest::AtLeast),
        range().prop_map(Rest::Between)
    ]);
    let coat = (prop::sample::select(finishes), each(), span(0, 24 * 3600)).prop_map(
        |(finish, each, wipe)| Step { work: StepWork::Coat { finish, each, wipe }, rest: None },
    );
    prop_oneof![(dry, rest).prop_map(|(work, rest)| Step { work, rest }), coat]
}

fn recipe(
    name: String,
    pieces: Vec<String>,
    finishes: Vec<String>,
) -> impl Strategy<Value = Recipe> {
    let steps = prop::collection::vec(labour(finishes), 1..9);
    (prop::sample::select(pieces), steps).prop_map(move |(piece, mut steps)| {
        let last = steps.iter().rev().find_map(|step| match &step.work {
            StepWork::Coat { finish, .. } => Some(finish.clone()),
            _ => None,
        });
        steps.extend(last.map(|finish| Step { work: StepWork::Cure { finish }, rest: None }));
        Recipe { name: name.clone(), piece, steps }
    })
}

fn rack(name: String, rooms: Vec<String>) -> impl Strategy<Value = Rack> {
    let purpose = prop::sample::select(vec![Purpose::Dry, Purpose::Cure, Purpose::DryAndCure]);
    (prop::sample::select(rooms), 1..=100_000_u32, purpose)
        .prop_map(move |(room, slots, purpose)| Rack { name: name.clone(), room, slots, purpose })
}

fn remind() -> impl Strategy<Value = Remind> {
    let command = || prop::collection::vec("[^\\x00]{1,12}", 1..4);
    let kinds =
        prop::collection::vec(prop::sample::select(KINDS.map(str::to_owned).to_vec()), 0..3);
    let told = (command(), kinds).prop_map(|(command, kinds)| Told { command, kinds });
    let sound = prop_oneof![Just(Vec::new()), command()];
    (prop::collection::vec(told, 0..3), sound).prop_map(|(run, sound)| Remind { run, sound })
}

fn setup() -> impl Strategy<Value = Setup> {
    (names(3), names(3), names(3), names(3), names(3)).prop_flat_map(
        |(rooms, racks, finishes, pieces, recipes)| {
            let listed = |names: &BTreeSet<String>| names.iter().cloned().collect::<Vec<_>>();
            let (room_names, finish_names, piece_names) =
                (listed(&rooms), listed(&finishes), listed(&pieces));
            let racks: Vec<_> =
                racks.into_iter().map(|name| rack(name, room_names.clone())).collect();
            let finishes: Vec<_> = finishes.into_iter().map(finish).collect();
            let pieces: Vec<_> = pieces.into_iter().map(piece).collect();
            let recipes: Vec<_> = recipes
                .into_iter()
                .map(|name| recipe(name, piece_names.clone(), finish_names.clone()))
                .collect();
            let rooms: Vec<_> = rooms.into_iter().map(room).collect();
            (shop(), rooms, racks, finishes, pieces, recipes, remind()).prop_map(
                |(shop, rooms, racks, finishes, pieces, recipes, remind)| Setup {
                    shop,
                    rooms,
                    racks,
                    finishes,
                    pieces,
                    recipes,
                    remind,
                },
            )
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn every_setup_comes_back(setup in setup()) {
        let text = to_toml(&setup);
        let back = read(&text);
        prop_assert_eq!(back.as_ref(), Ok(&setup), "{}", text);
    }
}

/// Comments, ends of lines and blank ones: the file is the person's own.
#[test]
fn a_setup_is_shown_as_it_was_written_to_the_last_byte() {
    let shop = TestShop::bare();
    for end in ["", "\n", "\r\n\r\n# the end\r\n"] {
        let file = format!("# mine\n\n{}{end}", SORREL_LANE.trim_end());
        shop.write("shop.toml", &file);
        let loaded = shop.json("setup load shop.toml");
        assert_eq!(loaded["stored"], true, "{loaded}");
        assert_eq!(shop.run("setup show").ok(), file);
        assert_eq!(shop.json("setup load shop.toml")["stored"], false);
    }
    assert_eq!(shop.json("ledger check")["entries"], 3);
}
