//! The first screenful of a topic, and the list.

use snapbox::{assert_data_eq, str};

use crate::caution::{flat, little_known};
use crate::harness::TestShop;

/// Someone who knows nothing reads the first lines and knows what to do now.
#[test]
fn a_topic_is_one_screen_at_any_width() {
    let mut shop = TestShop::bare();
    shop.columns(80);
    assert_data_eq!(
        shop.run("caution rags").fits().ok(),
        str![[r#"
Oily rags and self-heating
NOW: put oily rags, towels and dust under water in a metal can with a lid.
Or lay each one flat outdoors, one layer, clear of buildings. Never a pile.
They can set themselves on fire within hours. Your fire service decides.

What to do
- Smoke, heat or a sharp smell from a heap, a bag or a bin: leave it, get out,
  call the fire service.
- Do it before you leave the bench, not at the end of the week.
- Water and a little detergent in a metal can with a tight lid; every rag under
  the water; can outside.
- No water at hand: hang or lay each rag outdoors by itself, weighted, well away
  from walls and sheds.
- Paper towels, gloves, steel wool, strainers, can skins, oily shavings and oily
  sanding dust are rags too.
- Empty the dust bag the same day when oiled wood was sanded.
- Clothes that caught oil hang outdoors before they go near a washing machine;
  never into a hot drier.
- Ask the municipal waste office how the can is to be handed over; what a bin
  may take differs by place, see R15.
- Record what was done: tackfree rags done --how "soaked, lidded can, taken
  outside".

Who decides: the fire authority having jurisdiction; the municipal waste office;
  the employer, under the workplace law that applies; the carrier, for anything
  sent; the oil maker's safety data sheet, sections 7, 10, 13 and 14.
Local rules, the authority having jurisdiction, licensed practice and the
maker's data sheet govern. Where they say otherwise, they are right and this
page is not.
Whether a particular heap, bin or room will stay below ignition depends on oil,
drier, cloth, heap, air and warmth that nobody has measured. This program
therefore never answers that a way of leaving rags is good enough.
Why, and who says so: tackfree caution rags --sources

"#]]
    );
    shop.columns(60);
    assert_data_eq!(
        shop.run("caution skin --where UK").fits().ok(),
        str![[r#"
Skin, eyes and the lathe
Stop the lathe to apply. If it turns: paper towel only; no
  cloth, no gloves.
Hold it, never wrap it. Face shield on. Skin: soap and
  water, not solvent.
Clothes with oil on them hang outdoors before the wash.

What to do
- In an eye: rinse 15 minutes at once. Swallowed: no
  vomiting, poison centre or doctor. See tackfree caution
  first-aid.
- Apply with the lathe stopped, or slow, low on the trailing
  side, with a small piece of paper that tears.
- Nothing wound round fingers or the piece; no gloves,
  rings, watch, tie or loose sleeves near what turns; hair
  tied.
- Wear a face shield; plain spectacles are not enough.
- Wash skin with soap and water, never with solvent.

Who decides: the machine maker's manual; the HSE, OSHA or
  the local safety authority; a physician, for any injury.
United Kingdom: the HSE.
Local rules, the authority having jurisdiction, licensed
practice and the maker's data sheet govern. Where they say
otherwise, they are right and this page is not.
No way of holding a cloth to turning work is called good
enough here; the bodies that investigate the accidents say
never by hand. The machine's manual and the safety authority
answer for machines, a physician for injuries.
Why, and who says so: tackfree caution skin --sources

"#]]
    );
    shop.columns(80);
    for topic in tackfree::reference::topics() {
        for place in ["", " --where UK"] {
            let screen = shop.run(&format!("caution {}{place}", topic.name)).ok();
            assert!(screen.lines().count() <= 40, "{}: {screen}", topic.name);
        }
    }
}

#[test]
fn the_list_fits_one_screen_and_says_how_to_go_on() {
    let mut shop = TestShop::bare();
    assert_data_eq!(
        shop.columns(80).run("caution").fits().ok(),
        str![[r#"
Cautions: what to do, why, who says so, who decides

topic      what it holds
rags       Oily rags and self-heating
first-aid  First aid
food       Food contact
allergens  Allergens
air        Solvents and air
dust       Wood dust
driers     Driers, isocyanates and anti-skin agents
skin       Skin, eyes and the lathe
storage    Storage, shelf life and skin on the can
toys       Toys and children's pieces
record     What a finish record states

316 statements, each with its source and how it was checked.
  A question: tackfree caution "can oily cloths go in the bin"
  One topic: tackfree caution rags
  For one country: tackfree caution dust --where UK
  Who says so: tackfree caution rags --sources

"#]]
    );
}

/// What the user's own data sheets say stands above the reference.
#[test]
fn the_setup_stands_above_the_reference() {
    let shop = TestShop::open();
    for (topic, said) in [
        (
            "rags",
            "house oil (maker's technical sheet, revised 2025-04-01) and hard wax (maker's wax sheet, revised 2025-06-01): rags can catch fire by themselves",
        ),
        (
            "air",
            "house oil: gives off 420 g/L of solvent; breathing limit 350 mg/m³, occupational limit on the sheet, 8 h (maker's technical sheet, revised 2025-04-01)",
        ),
        ("allergens", "house oil: contains walnut (maker's technical sheet, revised 2025-04-01)"),
        (
            "food",
            "house oil: cure time 21 d at 23 °C (maker's technical sheet, revised 2025-04-01)",
        ),
        ("storage", "house oil: keeps 6 months after opening or mixing (maker's technical sheet"),
    ] {
        let screen = flat(&shop.run(&format!("caution {topic}")).ok());
        let own = screen.find(said).unwrap_or_else(|| panic!("{topic} lacks {said:?}: {screen}"));
        let short = flat(&tackfree::reference::short(topic)[0]);
        assert!(own < screen.find(&short).unwrap(), "{topic}: {screen}");
        let named = shop.json(&format!("caution {topic}"))["from_setup"][0]["finish"].clone();
        assert_eq!(named, "house oil", "{topic}");
    }
}

/// Whoever asks what to do with a smoking rag needs no database for it, sound or broken.
#[test]
fn no_database_is_needed_and_none_is_made() {
    let shop = TestShop::bare();
    let page = shop.run("caution rags").ok();
    assert!(!shop.database().exists());
    std::fs::create_dir_all(shop.database().parent().unwrap()).unwrap();
    std::fs::write(shop.database(), "no database at all").unwrap();
    assert_eq!(shop.run("caution rags").ok(), page);
    shop.run("due").fails(4);
}

/// A narrow window beside the lathe tears no line.
#[test]
fn every_caution_fits_a_narrow_terminal() {
    for columns in [80, 60, 40] {
        let mut shop = little_known();
        shop.columns(columns);
        for (batch, recipe) in [("boards", "board oil"), ("pegs", "danish"), ("parts", "parts")] {
            shop.at("2026-03-02 08:30");
            shop.run(&format!("batch open {batch} --recipe \"{recipe}\" --pieces 5")).ok();
            shop.run(&format!("lot start {batch} --pieces 5 --rack shelf")).ok();
            let lot = format!("{batch}-1");
            for step in ["begin", "done", "begin"] {
                shop.run(&format!("{step} {lot}")).fits().ok();
            }
            shop.at("2026-03-02 09:00").run(&format!("done {lot}")).fits().ok();
            shop.run(&format!("ship {lot} --to \"the café\"")).fits().refused("uncured");
        }
        shop.at("2026-03-03 13:30");
        shop.run("done boards-1").fits().ok();
        for line in [
            "ship boards-1 --to \"the café\"",
            "due",
            "rags",
            "setup check shop.toml",
            "caution",
            "caution --where NZ",
            "caution is it safe to breathe thinner",
            "caution R31",
            "caution --sources",
        ] {
            shop.run(line).fits().ok();
        }
        for topic in tackfree::reference::topics() {
            shop.run(&format!("caution {}", topic.name)).fits().ok();
        }
    }
}
