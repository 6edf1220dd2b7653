//! Questions in free text, through the program.

use serde_json::Value;

use snapbox::{assert_data_eq, str};

use crate::harness::TestShop;

#[test]
fn what_to_do_now_stands_first_and_the_place_names_its_service() {
    let mut shop = TestShop::bare();
    shop.columns(80);
    assert_data_eq!(
        shop.run("caution my rags are smokeing --where NZ").fits().ok(),
        str![[r#"
NOW: leave it shut, get everyone out, close the door, and stay out.
Call the fire service from outside. Don't open, move or water it.

Under water in a metal can with a tight lid, or laid flat outdoors, one layer,
well away from buildings.
Never in a heap, bin, bag, drawer or pocket, not indoors and not overnight: they
can catch fire by themselves within hours.
Who decides (NZ): Fire and Emergency, 111 in an emergency; at work WorkSafe.
More: tackfree caution rags --sources

"#]]
    );
    let json = shop.json("caution my rags are smoking --where NZ");
    assert!(json["now"][0].as_str().unwrap().starts_with("NOW: "), "{json}");
    assert_eq!(json["where"], "NZ");
}

#[test]
fn an_answer_is_a_few_lines_at_any_width() {
    let mut shop = TestShop::bare();
    shop.columns(80);
    assert_data_eq!(
        shop.run("caution \"can I leave the rags in a bin overnight\"").fits().ok(),
        str![[r#"
Under water in a metal can with a tight lid, or laid flat outdoors, one layer,
well away from buildings.
Never in a heap, bin, bag, drawer or pocket, not indoors and not overnight: they
can catch fire by themselves within hours.
Who decides: the fire authority having jurisdiction; the municipal waste office.
More: tackfree caution rags --sources

"#]]
    );
    shop.columns(60);
    assert_data_eq!(
        shop.run("caution can I leave the rags in a bin overnight").fits().ok(),
        str![[r#"
Under water in a metal can with a tight lid, or laid flat
outdoors, one layer, well away from buildings.
Never in a heap, bin, bag, drawer or pocket, not indoors and
not overnight: they can catch fire by themselves within
hours.
Who decides: the fire authority having jurisdiction; the
  municipal waste office.
More: tackfree caution rags --sources

"#]]
    );
}

#[test]
fn what_the_reference_lacks_it_says_and_whom_to_ask() {
    let mut shop = TestShop::bare();
    shop.columns(80);
    assert_data_eq!(
        shop.run("caution which glue for a crack in cherry").fits().ok(),
        str![[r#"
The reference has nothing on that. Ask the maker of the glue or a joiner; a
glue's own data sheet governs its use.
It holds: rags, first-aid, food, allergens, air, dust, driers, skin, storage,
  toys, record.
More: tackfree caution

"#]]
    );
    assert_data_eq!(
        shop.run("caution zzzzqqqq xxyyxx").fits().ok(),
        str![[r#"
The reference has nothing on that. Ask the maker of the finish, your local
authority, or a doctor where health is concerned.
It holds: rags, first-aid, food, allergens, air, dust, driers, skin, storage,
  toys, record.
More: tackfree caution

"#]]
    );
    let answer = shop.json("caution zzzzqqqq xxyyxx");
    assert_eq!(answer["answers"].as_array().unwrap().len(), 0);
    assert_eq!(answer["topics"].as_array().unwrap().len(), 11);
}

#[test]
fn a_verdict_asked_for_is_refused_with_who_gives_it() {
    let shop = TestShop::bare();
    for question in
        ["is it food safe", "is it safe", "is walnut oil toxic", "is 25 percent LEL ok to breathe"]
    {
        let text = shop.run(&format!("caution {question}")).ok();
        assert!(text.contains("No verdict is given here.\nWho decides"), "{question}: {text}");
        assert_eq!(shop.json(&format!("caution {question}"))["verdict_asked"], true);
    }
    assert_eq!(shop.json("caution wood dust limit in the UK")["verdict_asked"], false);
}

/// What differs by place: the one asked for, by option, by the question, or all where nobody said.
#[test]
fn the_place_asked_for_answers() {
    let shop = TestShop::bare();
    let first = |line: &str| shop.run(line).ok().lines().next().unwrap().to_owned();
    assert!(
        first("caution wood dust limit --where UK").starts_with("UK: hardwood and mixed dust 3 mg")
    );
    assert!(
        first("caution wood dust limit in Germany").starts_with("EU: hardwood and mixed dust 2 mg")
    );
    let all = shop.run("caution wood dust limit").ok();
    assert!(all.contains("Australia: ") && all.contains("US: "), "{all}");
    assert_eq!(shop.json("caution wood dust limit")["where"], Value::Null);
}

/// The shop's own country answers where nobody named another.
#[test]
fn the_shops_country_names_its_own_authority() {
    let setup = include_str!("../../src/cli/demo/setup.toml");
    let country = setup.replacen("[shop]\n", "[shop]\ncountry = \"NZ\"\n", 1);
    let shop = TestShop::with_setup(&country);
    let text = shop.run("caution smoke in the rag bin").ok();
    assert!(text.contains("Who decides (NZ): Fire and Emergency, 111"), "{text}");
    let text = shop.run("caution rags").ok();
    assert!(text.contains("New Zealand: Fire and Emergency, 111"), "{text}");
    let text = shop.run("caution wood dust limit in Britain").ok();
    assert!(text.starts_with("UK: "), "{text}");
}

/// The sheet of the finish that is asked about stands with the answer.
#[test]
fn the_own_sheet_stands_with_the_answer() {
    let shop = TestShop::open();
    let text = shop.run("caution how long does house oil keep in the tin").ok();
    assert!(text.contains("house oil: keeps 6 months"), "{text}");
}

#[test]
fn a_place_the_reference_does_not_know_is_wrong_usage() {
    let shop = TestShop::bare();
    let error = shop.run("caution rags --where Atlantis").fails(2);
    assert!(error.contains("Atlantis") && error.contains("NZ"), "{error}");
}
