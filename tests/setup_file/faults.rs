//! Each kind of fault at its exact place, with what was expected.

use tackfree::shop::setup::{Fault, read, starting_file};

/// A small file without a fault, to spoil.
const SOUND: &str = r#"[shop]
name = "Sorrel Lane Turnery"
timezone = "Europe/Dublin"
hands = 2
closed = ["2026-03-17", "2026-04-03..2026-04-06"]
[shop.hours]
mon = ["08:30-12:30", "13:15-17:30"]

[[room]]
name = "oil room"

[[rack]]
name = "drip-1"
room = "oil room"
slots = 36
use = ["dry", "cure"]

[[finish]]
name = "house oil"
sheet = { title = "technical sheet", revised = "2025-04-01" }
soak = "10m..20m"
recoat = "24h..7d"
cure = "21d"
sheet_temp = 23.0
min_temp = 10
max_humidity = 80
q10 = 2.0
coverage = 18.0
voc = 420
air_limit = { mg_m3 = 350, basis = "on the sheet, 8 h" }
use_within = "6 months"
contains = ["walnut"]
self_heating = true

[[piece]]
name = "pinch bowl"
wood = "beech"
pieces_per_blank = 1
profile = [[0, 0], [0, 40], [38, 66], [8, 0]]

[[recipe]]
name = "one coat"
piece = "pinch bowl"
steps = [
  { work = "turn", each = "6m10s" },
  { sand = "P180", each = "40s", strip = 8 },
  { raise = "water", each = "8s", rest = "4h..2d" },
  { coat = "house oil", each = "22s", wipe = "18s" },
  { cure = "house oil" },
  { work = "pack", each = "45s" },
]
"#;

/// The file with one piece of text replaced, which must be there exactly once.
pub(super) fn spoilt(old: &str, new: &str) -> String {
    assert_eq!(SOUND.matches(old).count(), 1, "{old}");
    SOUND.replace(old, new)
}

pub(super) fn faults(text: &str) -> Vec<Fault> {
    read(text).expect_err("a spoilt file has a fault")
}

/// Line and column, both from 1 and the column in characters, of the marker's place in the file.
pub(super) fn place(text: &str, marker: &str) -> (usize, usize) {
    let at = text.find(marker).unwrap_or_else(|| panic!("{marker} is not in the file"));
    let before = &text[..at];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    (line, column)
}

#[test]
fn the_sound_file_and_the_starting_file_read() {
    for text in [SOUND, starting_file()] {
        let read = read(text);
        assert!(read.is_ok(), "{read:?}");
    }
}

/// What is replaced, by what, where the one fault stands (a text found first there), words of what was found and of what
/// was expected.
pub(super) type Case = (&'static str, &'static str, &'static str, &'static str, &'static str);

#[track_caller]
pub(super) fn each_gives_one_fault(cases: &[Case]) {
    for (old, new, at, found, expected) in cases {
        let text = spoilt(old, new);
        let faults = faults(&text);
        let [fault] = &faults[..] else { panic!("{new}: one fault, not {faults:#?}") };
        assert_eq!((fault.line, fault.column), place(&text, at), "{new}: {fault}");
        assert!(fault.found.contains(found), "{new}: {fault}");
        assert!(fault.expected.contains(expected), "{new}: {fault}");
        assert_eq!(text.get(fault.span.clone()).map(str::is_empty), Some(false), "{new}");
    }
}

#[test]
fn the_shop() {
    each_gives_one_fault(&[
        ("hands = 2", "hands = 0", "0\nclosed", "number 0", "1 to 1000"),
        ("hands = 2", "hands = 99999999999999999999", "99999", "number 99999", "1 to 1000"),
        ("hands = 2", "hands = 1.5", "1.5", "number 1.5", "whole number"),
        ("timezone = \"Europe/Dublin\"\n", "", "[shop]", "no \"timezone\"", "timezone ="),
        ("\"Europe/Dublin\"", "\"Europa/Dublin\"", "\"Europa", "no time zone", "IANA"),
        ("\"2026-03-17\"", "\"2026-02-30\"", "\"2026-02-30\"", "not a closed day", "a date"),
        ("\"2026-03-17\"", "2026-03-17", "2026-03-17", "without quotes", "in quotes"),
        ("04-03..2026-04-06", "04-06..2026-04-03", "\"2026-04-06", "ends before", "earlier"),
        ("13:15-17:30", "12:00-17:30", "\"12:00", "overlaps 08:30-12:30", "do not overlap"),
        ("13:15-17:30", "13:15-25:30", "\"13:15", "\"25:30\"", "00:00 to 23:59"),
        ("13:15-17:30", "17:30-13:15", "\"17:30", "before it opens", "earlier"),
        ("mon = [\"08:30-12:30\", \"13:15-17:30\"]", "", "[shop.hours]", "any day", "weekday"),
        ("mon = [", "monday = [", "monday", "unknown key \"monday\"", "mon, tue"),
        ("mon = [\"08:30-12:30\", \"13:15-17:30\"]", "mon = \"9-5\"", "\"9-5\"", "text", "list"),
        ("\"Sorrel Lane Turnery\"", "\"\"", "\"\"\ntime", "empty", "printing characters"),
    ]);
}

#[test]
fn rooms_and_racks() {
    each_gives_one_fault(&[
        ("slots = 36", "slots = 0", "0\nuse", "number 0", "1 to 100000"),
        ("slots = 36", "slots = 100001", "100001", "number 100001", "1 to 100000"),
        ("slots = 36", "slots = -3", "-3", "number -3", "1 to 100000"),
        ("slots = 36", "slots = \"36\"", "\"36\"", "the text \"36\"", "whole number"),
        ("slots = 36\n", "", "[[rack]]", "no \"slots\"", "slots ="),
        ("slots = 36", "slotts = 36", "slotts", "unknown key \"slotts\"", "slots"),
        ("room = \"oil room\"", "room = \"oil rom\"", "\"oil rom\"", "oil rom", "[[room]]"),
        ("[\"dry\", \"cure\"]", "[\"drying\"]", "\"drying\"", "drying", "\"dry\""),
        ("[\"dry\", \"cure\"]", "[]", "[]", "empty list", "\"dry\""),
        ("[\"dry\", \"cure\"]", "[\"dry\", \"dry\"]", "\"dry\"]", "second time", "once"),
        ("\"drip-1\"", "\"drip\\u00071\"", "\"drip\\u", "does not print", "printing"),
        ("\"drip-1\"", "\" drip-1\"", "\" drip", "blanks", "no blanks"),
        (
            "[[room]]",
            "[[room]]\nname = \"attic\"\n[[room]]\nplace = \"up\"",
            "place",
            "place",
            "name",
        ),
        (
            "[[room]]\n",
            "[[room]]\nname = \"oil room\"\n[[room]]\n",
            "\"oil room\"\n\n",
            "a second time",
            "its own",
        ),
    ]);
    let long = spoilt("name = \"drip-1\"", &format!("name = \"{}\"", "é".repeat(61)));
    let fault = &faults(&long)[0];
    assert_eq!((fault.line, fault.column), (13, 8));
    assert!(fault.found.contains("61 characters"), "{fault}");
    assert!(read(&spoilt("name = \"drip-1\"", &format!("name = \"{}\"", "é".repeat(60)))).is_ok());
}

#[test]
fn finishes() {
    each_gives_one_fault(&[
        ("soak = \"10m..20m\"\n", "", "[[finish]]", "no \"soak\"", "kind whose class"),
        ("\"10m..20m\"", "\"20m..10m\"", "\"20m..10m\"", "ends before", "shorter time first"),
        ("\"10m..20m\"", "\"10m\"", "\"10m\"", "single time", "from applying to wiping off"),
        ("\"10m..20m\"", "20", "20\nrecoat", "number 20", "the shortest and the longest"),
        ("\"24h..7d\"", "\"24hh..7d\"", "\"24hh..7d\"", "\"hh\"", "s, m, h, d or w"),
        ("\"24h..7d\"", "\"24h..99999d\"", "\"24h..99999d\"", "99999d", "at most 3650d"),
        ("\"21d\"", "\"999999999999999999d\"", "\"99999", "too long", "1000 years"),
        ("\"21d\"", "\"0s\"", "\"0s\"", "0s", "more than nothing"),
        ("\"21d\"", "\"1 month\"", "\"1 month\"", "no fixed length", "days or weeks"),
        ("sheet_temp = 23.0", "sheet_temp = nan", "nan", "nan", "temperature"),
        ("sheet_temp = 23.0", "sheet_temp = 1e999", "1e999", "1e999", "temperature"),
        ("sheet_temp = 23.0", "sheet_temp = 230.0", "230.0", "of 230 °C", "-40 to 60"),
        ("min_temp = 10", "min_temp = 30", "30\nmax", "above sheet_temp 23", "not above"),
        ("max_humidity = 80", "max_humidity = 180", "180", "180", "0 to 100"),
        ("q10 = 2.0", "q10 = 0.5", "0.5", "0.5", "1 to 10"),
        ("coverage = 18.0", "coverage = 0", "0\nvoc", "of 0 m²", "0.1 to 1000"),
        ("coverage = 18.0", "coverage = -inf", "-inf", "-inf", "how far a litre"),
        ("voc = 420", "voc = true", "true\nair", "true", "solvent"),
        ("mg_m3 = 350, ", "", "{ basis", "no \"mg_m3\"", "mg/m³"),
        ("\"6 months\"", "\"6 months 3d\"", "\"6 months 3d\"", "mixes", "90d"),
        ("\"6 months\"", "\"0 months\"", "\"0 months\"", "0 months", "more than nothing"),
        ("[\"walnut\"]", "\"walnut\"", "\"walnut\"", "walnut", "allergens"),
        ("[\"walnut\"]", "[\"walnut\", \"walnut\"]", "\"walnut\"]", "second time", "once"),
        ("self_heating = true", "self_heating = \"yes\"", "\"yes\"", "yes", "true or false"),
        (
            "revised = \"2025-04-01\"",
            "revised = \"2025-4-1\"",
            "\"2025-4-1\"",
            "2025-4-1",
            "\"2024-06-12\"",
        ),
        ("title = \"technical sheet\", ", "", "{ revised", "no \"title\"", "title ="),
        ("revised = ", "revisd = ", "revisd", "revisd", "title, revised"),
    ]);
}

#[test]
fn pieces() {
    each_gives_one_fault(&[
        ("pieces_per_blank = 1", "pieces_per_blank = 0", "0\nprofile", "number 0", "1 to 1000"),
        (
            "pieces_per_blank = 1",
            "pieces_per_blank = 1\narea_cm2 = 90",
            "90",
            "beside a profile",
            "either",
        ),
        (
            "profile = [[0, 0], [0, 40], [38, 66], [8, 0]]",
            "area_cm2 = 0",
            "0\n\n[[rec",
            "of 0 cm²",
            "0.01",
        ),
        ("[0, 40], [38, 66], ", "", "[[0, 0]", "2 points", "at least 3"),
        ("[0, 40]", "[0, -40]", "-40", "number -40", "0 to 10,000"),
        ("[0, 40]", "[nan, 40]", "nan", "nan", "height"),
        ("[0, 40]", "[0, 40, 1]", "[0, 40, 1]", "list of 3", "[height mm, diameter mm]"),
        ("[0, 40]", "40", "40, [", "number 40", "[height mm, diameter mm]"),
        ("[[0, 0]", "[[0, 4]", "[0, 4]", "not begin on the axis", "diameter of 0"),
        ("[8, 0]]", "[8, 3]]", "[8, 3]", "not end on the axis", "diameter of 0"),
    ]);
}

#[test]
fn recipes() {
    each_gives_one_fault(&[
        ("piece = \"pinch bowl\"", "piece = \"punch bowl\"", "\"punch", "punch bowl", "[[piece]]"),
        ("coat = \"house oil\"", "coat = \"hose oil\"", "\"hose", "hose oil", "[[finish]]"),
        ("{ work = \"turn\", ", "{ ", "{ each = \"6m10s\"", "not say what is done", "exactly one"),
        (
            "{ work = \"turn\"",
            "{ work = \"turn\", rub = \"P400\"",
            "{ work",
            "work and rub",
            "exactly one",
        ),
        ("\"turn\", each = \"6m10s\"", "\"turn\"", "{ work", "no \"each\"", "one piece takes"),
        ("each = \"6m10s\"", "each = \"0s\"", "\"0s\"", "0s", "more than nothing"),
        ("each = \"6m10s\"", "each = \"25h\"", "\"25h\"", "25h", "at most 24h"),
        (
            "each = \"6m10s\"",
            "each = \"6m10s\", strip = 3",
            "strip = 3",
            "in a work step",
            "each, rest",
        ),
        ("\"P180\"", "\"180\"", "\"180\"", "the grit \"180\"", "P grade"),
        ("\"P180\"", "\"P190\"", "\"P190\"", "P190", "P grade"),
        ("strip = 8", "strip = 0", "0 },", "number 0", "one strip"),
        ("\"4h..2d\"", "\"2d..4h\"", "\"2d..4h\"", "ends before", "shorter time first"),
        ("wipe = \"18s\"", "rest = \"2d\"", "rest = \"2d\"", "in a coat step", "recoat"),
        (
            "{ cure = \"house oil\" }",
            "{ cure = \"house oil\", each = \"1h\" }",
            "each = \"1h\"",
            "in a cure",
            "by itself",
        ),
        ("  { cure = \"house oil\" },\n", "", "{ coat", "no cure", "cure = \"house oil\""),
        (
            "{ cure = \"house oil\" }",
            "{ cure = \"house oil\" }, { cure = \"house oil\" }",
            "{ cure = \"house oil\" },\n",
            "second cure",
            "one cure",
        ),
        (
            "  { coat = \"house oil\", each = \"22s\", wipe = \"18s\" },\n",
            "",
            "{ cure",
            "without a coat",
            "a coat",
        ),
        (
            "{ cure = \"house oil\" },",
            "{ cure = \"house oil\" }, { coat = \"house oil\", each = \"1s\" },",
            "{ cure",
            "coat after it",
            "after the last coat",
        ),
    ]);
    let other = spoilt(
        "[[finish]]",
        "[[finish]]\nname = \"wax\"\nsoak = \"1m..2m\"\nrecoat = \"1h..2h\"\ncure = \"1d\"\n[[finish]]",
    );
    let other = other.replace("cure = \"house oil\" }", "cure = \"wax\" }");
    let faults = faults(&other);
    assert_eq!((faults[0].line, faults[0].column), place(&other, "{ cure = \"wax\""));
    assert!(faults[0].expected.contains("\"house oil\""), "{}", faults[0]);
}

#[test]
fn what_was_probably_meant() {
    for (old, new, suggestion) in [
        ("slots = 36", "slotts = 36", "slots"),
        ("[[finish]]", "[[finnish]]", "finish"),
        ("\"Europe/Dublin\"", "\"Dublin\"", "Europe/Dublin"),
        ("\"Europe/Dublin\"", "\"europe/dubln\"", "Europe/Dublin"),
        ("\"Europe/Dublin\"", "\"new york\"", "America/New_York"),
        ("room = \"oil room\"", "room = \"oilroom\"", "oil room"),
        ("\"P180\"", "\"p180\"", "P180"),
        ("\"P180\"", "\"180\"", "P180"),
        ("\"P180\"", "\"P410\"", "P400"),
        ("{ sand", "{ snad", "sand"),
        ("coat = \"house oil\"", "coat = \"house-oil\"", "house oil"),
    ] {
        let text = spoilt(old, new);
        let faults = faults(&text);
        let meant = faults.iter().find_map(|fault| fault.suggestion.as_deref());
        assert_eq!(meant, Some(suggestion), "{new}: {faults:#?}");
        let said = faults.iter().find(|fault| fault.suggestion.is_some()).unwrap().to_string();
        assert!(said.ends_with(&format!("did you mean \"{suggestion}\"?")), "{said}");
    }
}

#[test]
fn all_faults_of_a_file_come_in_one_go_in_its_order() {
    let text = SOUND
        .replace("Europe/Dublin", "Europe/Dubln")
        .replace("slots = 36", "slots = 0\nshelf = 2")
        .replace("max_humidity = 80", "max_humidity = 800")
        .replace("q10 = 2.0", "q10 = two")
        .replace("[8, 0]]", "[8, 9]]")
        .replace("\"P180\"", "\"P181\"")
        .replace("  { cure = \"house oil\" },\n", "")
        .replace("each = \"45s\"", "each = \"45\"");
    let faults = faults(&text);
    let places: Vec<(usize, usize)> =
        faults.iter().map(|fault| (fault.line, fault.column)).collect();
    let expected = [
        "\"Europe/Dubln",
        "0\nshelf",
        "shelf",
        "800",
        "two",
        "[8, 9]",
        "\"P181\"",
        "{ coat",
        "\"45\"",
    ]
    .map(|marker| place(&text, marker));
    assert_eq!(places, expected, "{faults:#?}");
}

#[test]
fn an_empty_file_lacks_the_shop() {
    let faults = faults("");
    assert_eq!(faults.len(), 1);
    assert_eq!((faults[0].line, faults[0].column), (1, 1));
    assert_eq!(
        faults[0].to_string(),
        "line 1, column 1: no \"shop\" in the file; expected a table [shop] with name, timezone and hours"
    );
}

#[test]
fn columns_count_characters() {
    let text =
        spoilt("{ sand = \"P180\"", "{ work = \"ébéniste\", each = \"1m\" }, { sand = \"P1\"");
    let fault = &faults(&text)[0];
    assert_eq!((fault.line, fault.column), (46, 48), "{fault}");
    assert_eq!(&text[fault.span.clone()], "\"P1\"");
}

#[test]
fn an_old_key_is_told_its_new_name() {
    for (old, new) in [
        ("at", "sheet_temp"),
        ("lowest", "min_temp"),
        ("dampest", "max_humidity"),
        ("spread", "coverage"),
        ("keeps", "use_within"),
        ("per_blank", "pieces_per_blank"),
        ("outline", "profile"),
    ] {
        let text = spoilt(&format!("\n{new} = "), &format!("\n{old} = "));
        let faults = faults(&text);
        let [fault] = &faults[..] else { panic!("{old}: one fault, not {faults:#?}") };
        assert!(fault.found.contains("old name") && fault.expected.contains(new), "{fault}");
    }
}
