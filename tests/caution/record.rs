//! The finish record at shipping: facts, the unknown said to be unknown, and no verdict.

use serde_json::json;

use crate::caution::{flat, little_known, sanded};
use crate::harness::TestShop;

/// Sorrel Lane's salt bowls, three coats from can K7, cured and packed.
fn packed() -> TestShop {
    let mut shop = TestShop::open();
    shop.run("can open \"house oil\" --name K7 --litres 1 --maker-lot 24-118").ok();
    shop.run("batch open salt --recipe \"three coats\" --pieces 12").ok();
    shop.run("lot start salt --pieces 12 --from 6 --rack drip-1").ok();
    shop.at("2026-03-02 13:20").run("done salt-1").ok();
    shop.at("2026-03-03 14:00").run("done salt-1").ok();
    shop.run("done salt-1").ok();
    shop.at("2026-03-04 14:30").run("done salt-1").ok();
    shop.at("2026-03-26 10:00").run("done salt-1").ok();
    shop.run("done salt-1").ok();
    shop
}

#[test]
fn the_record_says_what_it_is_finished_with_from_which_can_and_when() {
    let mut shop = packed();
    let shipped = shop.json("ship salt-1 --pieces 4 --to \"the café\"")["shipment"].clone();
    let record = shop.columns(80).run(&format!("ship show {shipped}")).fits().ok();
    assert_eq!(
        record.trim_end(),
        "\
Shipment 11 to the café: 4 pieces, today 10:00

salt-1: 4 pieces, pinch bowl, beech, 8 left
  house oil: contains walnut (maker's technical sheet, revised 2025-04-01)
  finished with house oil, polymerised drying oil (maker's technical sheet,
    revised 2025-04-01); solvent: 420 g/L; driers and second part: not recorded,
    see its safety data sheet, section 3
  coat of house oil, Mon 2 Mar 13:20: can K7, maker's lot 24-118, opened Mon 2
    Mar 08:30
  coat of house oil, Tue 3 Mar 14:00: can K7, maker's lot 24-118, opened Mon 2
    Mar 08:30
  coat of house oil, Wed 4 Mar 14:30: can K7, maker's lot 24-118, opened Mon 2
    Mar 08:30
  the sheet's cure time is reached: yesterday 14:30 (21 d after the last coat;
    maker's technical sheet, revised 2025-04-01; in part or whole assumed:
    nobody read the room)

Care: wash by hand, dry at once, no dishwasher, no soaking, no microwave; oil
  again with the same kind; stop using it when it cracks or flakes.
Claims made: none, beyond papers enclosed.
Who decides: the seller, who answers for it; the importing country; the
  carrier's dangerous-goods desk."
    );
    assert_eq!(crate::reference::never::never_printed(&record), None, "{record}");
}

#[test]
fn the_record_is_the_same_in_json() {
    let shop = packed();
    let shipment = shop.json("ship salt-1 --to \"the café\"");
    assert_eq!(shipment["claims"], "none, beyond papers enclosed");
    assert!(shipment["care"].as_str().unwrap().starts_with("wash by hand"), "{shipment}");
    assert!(!shipment["who_decides"].as_array().unwrap().is_empty());
    let record = &shipment["lots"][0];
    assert_eq!((&record["lot"], &record["pieces"]), (&json!("salt-1"), &json!(12)));
    assert_eq!(record["contains"], json!(["walnut"]));
    assert_eq!(record["finishes"][0]["sheet"], "maker's technical sheet, revised 2025-04-01");
    let coats = record["coats"].as_array().unwrap();
    assert_eq!(coats.len(), 3);
    assert!(coats.iter().all(|coat| coat["maker_lot"] == "24-118"), "{record}");
    assert_eq!(coats[2]["at"], "2026-03-04T14:30:00+00:00");
    assert_eq!(record["cure_reached"], "2026-03-25T14:30:00+00:00");
    assert_eq!((&record["cure_assumed"], &record["hardens"]), (&json!(true), &json!(true)));
    assert_eq!(record["cure_from_class"], json!(null));
}

/// An unknown finish among the coats makes the whole unknown, and hides nothing of what is known.
#[test]
fn allergens_known_stand_beside_allergens_unknown() {
    let mut shop = little_known();
    let lot = sanded(&shop, "knobs", "over");
    shop.run(&format!("done {lot}")).ok();
    shop.at("2026-03-03 09:00").run(&format!("done {lot}")).ok();
    shop.at("2026-03-04 09:30").run(&format!("done {lot}")).ok();
    shop.at("2026-04-13 10:00").run(&format!("done {lot}")).ok();
    let shipped =
        shop.json(&format!("ship {lot} --pieces 1 --to \"the café\""))["shipment"].clone();
    let text = flat(&shop.run(&format!("ship show {shipped}")).ok());
    let contains = "danish: contains walnut (the setup, which names no sheet)";
    let unknown =
        "mystery and board oil: nuts, seeds and other allergens are unknown: ask its maker";
    assert!(text.contains(contains) && text.contains(unknown), "{text}");
    // Nut origin comes before anything else that is said of the lot.
    assert!(text.find(contains).unwrap() < text.find("finished with").unwrap(), "{text}");
    assert!(text.contains("knob, wood not recorded"), "{text}");
    let under = "under the last finish: danish, cure time 21 d and mystery, cure time 30 d; not counted in that time";
    assert!(text.contains(under), "{text}");
    let record = shop.json(&format!("ship {lot} --to \"the café\""))["lots"][0].clone();
    assert_eq!(record["contains"], json!(null));
    assert_eq!(record["allergens"].as_array().unwrap().len(), 3);
}

#[test]
fn a_cure_of_common_practice_is_not_called_the_sheets() {
    let mut shop = little_known();
    let lot = sanded(&shop, "pegs", "danish");
    shop.run(&format!("done {lot}")).ok();
    shop.at("2026-03-03 09:00").run(&format!("done {lot}")).ok();
    shop.run(&format!("done {lot}")).ok();
    shop.at("2026-04-13 10:00").run(&format!("done {lot}")).ok();
    let text = flat(&shop.run(&format!("ship {lot} --pieces 1 --to \"the café\"")).ok());
    assert!(text.contains("the finish class's cure time is reached:"), "{text}");
    let mark = "(21 d after the last coat; its class: common practice; the setup has no cure time of the sheet";
    assert!(text.contains(mark) && !text.contains("the sheet's cure time is reached:"), "{text}");
    let record = shop.json(&format!("ship {lot} --to \"the café\""))["lots"][0].clone();
    assert_eq!(record["cure_from_class"], "common practice");
}
