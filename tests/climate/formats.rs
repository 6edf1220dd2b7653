//! Files as loggers write them, and what is read in them.

use std::fs;

use crate::climate::stored;
use crate::harness::TestShop;

/// 4 March 2026 09:40 in Dublin, 14.2 °C, 55.5 %: however it is written.
const EXPECTED: (i64, f64, Option<f64>) = (1_772_617_200, 14.2, Some(55.5));

#[track_caller]
fn reads(name: &str, file: &[u8], options: &str) {
    let mut shop = TestShop::open();
    shop.at("2026-03-05 08:30");
    fs::write(shop.folder().join("log.csv"), file).unwrap();
    let answer = shop.json(&format!("climate import 'oil room' log.csv {options}"));
    let stored = stored(&shop);
    assert_eq!((stored.len(), &answer["new"]), (2, &2.into()), "{name}: {answer:#}");
    let (at, temp, humidity) = stored[0];
    assert_eq!((at, humidity), (EXPECTED.0, EXPECTED.2), "{name}");
    assert!((temp - EXPECTED.1).abs() < 1e-9, "{name}: {temp}");
}

#[test]
fn every_shape_of_a_loggers_file_is_read() {
    let cases = [
        (
            "plain",
            "time,temperature,humidity\n2026-03-04 09:40,14.2,55.5\n2026-03-04 09:50,14.3,55\n",
        ),
        ("no end of line", "time,temp,rh\n2026-03-04 09:40,14.2,55.5\n2026-03-04 09:50,14.3,55"),
        (
            "semicolons, decimal commas, CRLF",
            "Date;Time;Temp °C;RH %\r\n04.03.2026;09:40;14,2;55,5\r\n04.03.2026;09:50;14,3;55\r\n",
        ),
        (
            "tabs, other order",
            "%RH\t°C\tTimestamp\n55.5\t14.2\t2026-03-04T09:40:00\n55\t14.3\t2026-03-04T09:50:00\n",
        ),
        (
            "a mark in front, titles",
            "\u{feff}Logger 7\n\"Oil room, north wall\"\n\nTime,Temp (C),Humidity (%)\n2026-03-04 09:40,14.2,55.5\n2026-03-04 09:50,14.3,55\n",
        ),
        (
            "quoted fields",
            "\"#\",\"Date Time, GMT+00:00\",\"Temp, °C\",\"RH, %\"\n1,\"04/03/26 09:40:00 AM\",\"14,2\",\"55,5\"\n2,\"13/02/26 09:50:00 PM\",\"14,3\",\"55\"\n",
        ),
        (
            "UTC stamps",
            "timestamp,temp,hum\n2026-03-04T09:40:00Z,14.2,55.5\n2026-03-04T09:50:00.250Z,14.3,55\n",
        ),
        (
            "stamps with an offset",
            "timestamp,temp,hum\n2026-03-04T10:40:00+01:00,14.2,55.5\n2026-03-04T10:50:00+0100,14.3,55\n",
        ),
        (
            "an offset in the headings",
            "Time (UTC+2),temp,hum\n2026-03-04 11:40,14.2,55.5\n2026-03-04 11:50,14.3,55\n",
        ),
        (
            "°F by the headings",
            "time,Temp (°F),RH\n2026-03-04 09:40,57.56,55.5\n2026-03-04 09:50,57.8,55\n",
        ),
        (
            "units beside the numbers",
            "time,temp,rh\n2026-03-04 09:40,57.56 °F,55.5 %\n2026-03-04 09:50,14.3 °C,55%\n",
        ),
        (
            "day first, told by another line",
            "date,time,temp,rh\n04/03/2026,9:40,14.2,55.5\n28/02/2026,9:50,14.3,55\n",
        ),
        (
            "month first, told by another line",
            "date/time,temp,rh\n03/04/2026 09:40,14.2,55.5\n02/28/2026 09:50,14.3,55\n",
        ),
        (
            "columns nobody needs, a delimiter at the end",
            "no;time;dew point °C;temp °C;battery;rh;\n1;2026-03-04 09:40;5.1;14.2;3.0 V;55.5;\n2;2026-03-04 09:50;5.1;14.3;3.0 V;55;\n",
        ),
        (
            "a title that looks like headings",
            "Temperature log, date of export 2026-03-05\ntime,temp,rh\n2026-03-04 09:40,14.2,55.5\n2026-03-04 09:50,14.3,55\n",
        ),
        (
            "empty lines and empty rows",
            "time,temp,rh\n\n2026-03-04 09:40,14.2,55.5\n,,\n\n2026-03-04 09:50,14.3,55\n",
        ),
    ];
    for (name, file) in cases {
        // Of those whose second line is of another day the first stored is the earlier one.
        if file.contains("02/28") || file.contains("28/02") || file.contains("13/02") {
            earlier_second(name, file);
        } else {
            reads(name, file.as_bytes(), "");
        }
    }
}

#[track_caller]
fn earlier_second(name: &str, file: &str) {
    let mut shop = TestShop::open();
    shop.at("2026-03-05 08:30");
    shop.write("log.csv", file);
    shop.run("climate import 'oil room' log.csv").ok();
    assert_eq!(stored(&shop)[1], EXPECTED, "{name}");
}

#[test]
fn what_a_file_does_not_say_an_option_may() {
    let plain = "time,temp,rh\n03/04/2026 09:40,57.56,55.5\n03/04/2026 09:50,57.8,55\n";
    reads("°F and month first", plain.as_bytes(), "--fahrenheit --date-order mdy");
    let offset = "time,temp,rh\n2026-03-04 15:40,14.2,55.5\n2026-03-04 15:50,14.3,55\n";
    reads("an offset", offset.as_bytes(), "--offset +06:00");
    let west = "time,temp,rh\n2026-03-04 04:10,14.2,55.5\n2026-03-04 04:20,14.3,55\n";
    reads("an offset to the west", west.as_bytes(), "--offset -05:30");
}

#[test]
fn other_encodings_are_read() {
    let text = "time;Temp °C;RH %\r\n2026-03-04 09:40;14,2;55,5\r\n2026-03-04 09:50;14,3;55\r\n";
    let latin: Vec<u8> = text.chars().map(|c| u8::try_from(u32::from(c)).unwrap()).collect();
    reads("a byte a letter", &latin, "");
    let little = [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes));
    reads("UTF-16", &little.collect::<Vec<u8>>(), "");
    let big = [0xFE, 0xFF].into_iter().chain(text.encode_utf16().flat_map(u16::to_be_bytes));
    reads("UTF-16, big end first", &big.collect::<Vec<u8>>(), "");
}

#[test]
fn it_says_how_it_read_the_file() {
    let mut shop = TestShop::open();
    shop.at("2026-03-05 08:30").columns(60);
    let file = "Date;Time;Temp;RH;Surface (°C)\n04.03.2026;09:40;14,2;;13,1\n04.03.2026;09:50;14,3;55;--\n";
    let said = shop.run_with("climate import 'oil room' -", file).fits().ok();
    snapbox::assert_data_eq!(
        said,
        snapbox::str![[r#"
oil room: 2 readings added from standard input
  from yesterday 09:40 to yesterday 09:50
  read as: time "Date" and "Time" (Europe/Dublin),
    temperature "Temp" (°C, assumed), humidity "RH", surface
    "Surface (°C)"

"#]]
    );
    let latest = shop.json("climate show --now '2026-03-04 09:45'")["rooms"][0]["latest"].clone();
    assert_eq!(
        (&latest["surface_c"], &latest["humidity_percent"]),
        (&13.1.into(), &serde_json::Value::Null)
    );
    assert_eq!(latest["at"], "2026-03-04T09:40:00+00:00");
}
