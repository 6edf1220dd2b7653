//! Keys beside those of the starting file: units, the maker, rooms that are heated, sheets that say less.

use std::collections::BTreeMap;

use tackfree::shop::fact::{Fact, SetupLoaded};
use tackfree::shop::setup::{Heated, Setup, changes, read, to_toml};
use tackfree::store::stored;
use tackfree::units::System;

const US: &str = "[shop]
name = \"Sorrel Lane Turnery\"
timezone = \"America/New_York\"
units = \"us\"
maker = \"Sorrel Lane Turnery Ltd\"
address = \"1 Sorrel Lane\"
country = \"US\"
[shop.hours]
mon = [\"08:30-12:30\"]
[[room]]
name = \"garage\"
heated = \"by day\"
unread_temp = \"48 F\"
[[finish]]
name = \"oil\"
kind = \"raw drying oil\"
sheet = { title = \"label\", revised = \"2024-06\" }
recoat = \"24h..\"
sheet_temp = \"68 F\"
coverage = \"400 ft2/gal\"
[[piece]]
name = \"cup\"
profile = [[0, 0], [0, \"1.5 in\"], [\"3 in\", \"2 in\"], [\"0.25 in\", 0]]
";

fn setup(text: &str) -> Setup {
    read(text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

#[test]
fn a_shop_of_us_units_reads_and_is_written_back_the_same() {
    let read = setup(US);
    assert_eq!(read.shop.units, System::Us);
    assert_eq!(read.shop.country.as_deref(), Some("US"));
    assert_eq!(read.rooms[0].heated, Some(Heated::ByDay));
    let oil = &read.finishes[0];
    assert!((oil.sheet_temp.unwrap().get() - 20.0).abs() < 1e-9);
    assert_eq!((oil.recoat.longest(), oil.recoat.typed()), (None, "24h..".to_owned()));
    assert_eq!(oil.sheet.as_ref().unwrap().revised.unwrap().to_string(), "2024-06");
    assert_eq!(setup(&to_toml(&read)), read);
    let (setup, revisions) = (Box::new(read), BTreeMap::new());
    let loaded = Fact::SetupLoaded(SetupLoaded { setup, revisions, text: None });
    let written = stored::write(&loaded).unwrap().fact;
    assert_eq!(stored::read(1, &written, |_| Ok(None)), Ok(loaded));
}

/// A number that was °C before the shop's units changed would be °F after, and a cure too short.
#[test]
fn a_number_that_could_be_either_is_asked_for_its_unit() {
    let faults = read(&US.replace("\"68 F\"", "20")).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:#?}");
    assert!(faults[0].found.contains("\"20\" has no unit"), "{}", faults[0]);
    assert!(faults[0].expected.contains("°C, °F"), "{}", faults[0]);
    assert!(read(&US.replace("units = \"us\"\n", "").replace("\"68 F\"", "20")).is_ok());
}

#[test]
fn what_is_no_such_key_s_value_is_a_fault() {
    for (old, new, found) in [
        ("\"us\"", "\"imperial\"", "\"imperial\""),
        ("country = \"US\"", "country = \"UK\"", "\"UK\""),
        ("\"by day\"", "\"at night\"", "\"at night\""),
        ("\"2024-06\"", "\"2024-6\"", "isn't a date"),
        ("\"2024-06\"", "\"June 2024\"", "isn't a date"),
        ("\"68 F\"", "\"68 K\"", "isn't a unit"),
        ("\"68 F\"", "\"160 F\"", "temperature of 160 °F"),
        ("\"400 ft2/gal\"", "\"far\"", "isn't a number"),
        ("recoat = \"24h..\"", "recoat = \"24h..\"\nsoak = \"10m..\"", "soak without an end"),
    ] {
        let faults = read(&US.replace(old, new)).unwrap_err();
        assert_eq!(faults.len(), 1, "{new}: {faults:#?}");
        assert!(faults[0].found.contains(found), "{new}: {}", faults[0]);
    }
}

#[test]
fn a_room_otherwise_heated_is_a_change() {
    let new = US.replace("heated = \"by day\"", "heated = \"always\"");
    let said: Vec<String> =
        changes(Some(&setup(US)), &setup(&new)).iter().map(ToString::to_string).collect();
    assert_eq!(said, ["room \"garage\": heated \"by day\" becomes \"always\""]);
}
