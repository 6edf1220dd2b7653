//! Cards, slips and records as HTML, read by the programs that a person would read them with.

use std::path::Path;
use std::process::Command;

use super::shop;
use crate::harness::{TestShop, here};

/// Whether headless Chromium and what reads its pictures are here.
pub(super) fn browser_is_here() -> bool {
    here(&["chromium", "zbarimg", "pdfinfo"])
}

/// Runs Chromium on a page of the shop's folder, on which it logs nothing; what it wrote.
#[track_caller]
pub(super) fn chromium(folder: &Path, page: &str, options: &[String]) -> String {
    let (written, log) = browsed(folder, page, options);
    assert!(!log.contains("CONSOLE"), "the page logs something: {log}");
    written
}

/// What it wrote, and what it logged.
#[track_caller]
pub(super) fn browsed(folder: &Path, page: &str, options: &[String]) -> (String, String) {
    let profile = tempfile::tempdir().unwrap();
    let output = Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"])
        .args(["--disable-background-networking", "--disable-component-update", "--disable-sync"])
        .args(["--enable-logging=stderr", "--hide-scrollbars", "--no-pdf-header-footer"])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .args(options)
        .arg(format!("file://{}", folder.join(page).display()))
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let text = |octets: &[u8]| String::from_utf8_lossy(octets).into_owned();
    (text(&output.stdout), text(&output.stderr))
}

/// The pages of a page's PDF, and the size of the first in millimetres.
#[track_caller]
pub(super) fn printed(folder: &Path, page: &str) -> (u32, (u32, u32)) {
    let pdf = folder.join("page.pdf");
    chromium(folder, page, &[format!("--print-to-pdf={}", pdf.display())]);
    let said = Command::new("pdfinfo").arg(&pdf).output().unwrap();
    let said = String::from_utf8_lossy(&said.stdout).into_owned();
    let value = |key: &str| {
        let line = said.lines().find(|line| line.starts_with(key)).unwrap();
        line[key.len()..].trim_start_matches(':').trim().to_owned()
    };
    let size = value("Page size");
    let points: Vec<f64> = size.split_whitespace().filter_map(|word| word.parse().ok()).collect();
    let millimetres = |points: f64| format!("{:.0}", points / 72.0 * 25.4).parse().unwrap();
    (value("Pages").parse().unwrap(), (millimetres(points[0]), millimetres(points[1])))
}

/// A shop whose every text is as long, as foreign and as hostile as the setup allows.
fn hostile() -> TestShop {
    let evil = "<script>alert(1)</script> \u{05E9}\u{05DE}\u{05DF} \u{1F4A5} &amp;";
    let rack = "the longest rack of all <b>38 letters</b>";
    let setup = crate::harness::SORREL_LANE
        .replace("Sorrel Lane Turnery", "Sorrel <script>alert(2)</script> Lane")
        .replacen("[shop]\n", &format!("[shop]\nmaker = \"{evil}\"\naddress = \"{evil}\"\n"), 1)
        .replace("\"drip-1\"", &format!("\"{}\"", &rack[..40]))
        .replace("spoon rest", "spoon <script>rest</script>")
        .replacen("name = \"oil room\"\n", "name = \"oil room\"\nheated = \"always\"\n", 1);
    let shop = TestShop::with_setup(&setup);
    shop.run("can open 'hard wax' --name W1").ok();
    let batch = "abcdefghijklmnopqrstuvwxyz-0123456789abc";
    shop.run(&format!("batch open {batch} --recipe 'one coat' --pieces 9 --for '{evil}'")).ok();
    shop.run("batch open \u{05E9}\u{05DC}\u{05D5}\u{05DD} --recipe 'three coats' --pieces 9").ok();
    shop.run(&format!("lot start {batch} --pieces 5 --rack '{}'", &rack[..40])).ok();
    shop.run("lot start \u{05E9}\u{05DC}\u{05D5}\u{05DD} --pieces 5 --rack drip-2").ok();
    shop
}

#[test]
fn a_card_says_the_steps_and_when_each_may_be_done() {
    let shop = shop();
    let cards = shop.json("card rest-2");
    let card = &cards["cards"][0];
    assert_eq!((&card["lot"], &card["code"]), (&"rest-2".into(), &"REST-2".into()));
    let states: Vec<_> = card["steps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|step| step["state"].as_str().unwrap())
        .collect();
    assert_eq!(states, ["done", "done", "to come", "next"]);
    assert_eq!(card["steps"][2]["rest"], "14 d after the last coat");
    assert!(!card["rags"].as_array().unwrap().is_empty());
    let html = shop.run("card rest-2").ok();
    assert!(html.contains("hard wax") && html.contains("aria-label=\"QR code: REST-2\""));
    assert!(!html.contains("today"), "a card hangs for weeks");
    shop.run("card --rack drip-1 --out card.html").ok();
    shop.run("card --rack drip-2 --out card.html").ok();
    shop.write("mine.html", "<html>mine");
    let why = shop.run("card rest-2 --out mine.html").fails(2);
    assert!(why.contains("mine.html is there already and holds something else"), "{why}");
    assert!(!why.contains("DOCTYPE") && shop.read("mine.html") == "<html>mine");
    shop.run("card --rack shelf").refused("rack-empty");
    shop.run("card rest-9").refused("unknown-name");
}

#[test]
fn nothing_typed_becomes_a_tag_or_asks_the_network() {
    let shop = hostile();
    for line in ["card --rack drip-2", "card abcdefghijklmnopqrstuvwxyz-0123456789abc-1"] {
        let html = shop.run(line).ok();
        assert!(!html.contains("<script") && !html.contains("<b>38"), "{html}");
        assert!(!html.contains("http:") && !html.contains("https:") && !html.contains("src="));
    }
}

#[test]
fn a_slip_and_a_record_say_who_made_it_and_what_is_not_recorded() {
    let shop = shop();
    let number = shop.json("ship list")["shipments"][0]["shipment"].clone();
    let slip = shop.run(&format!("card --slip {number}")).ok();
    let record = shop.run(&format!("card --record {number}")).ok();
    assert!(slip.contains("Sorrel Lane Turnery") && slip.contains("Address: not recorded"));
    assert!(record.contains("24-118") && !slip.contains("24-118"), "cans are for the record");
    for page in [&slip, &record] {
        assert!(page.contains("none, beyond papers enclosed") && page.contains("Who decides"));
        assert!(!page.contains("today"), "it is read on another day");
    }
    let answer = shop.json(&format!("card --record {number}"));
    assert_eq!((&answer["kind"], &answer["shipment"]), (&"record".into(), &number));
    shop.run("card --slip 3").refused("unknown-name");
}

#[test]
fn each_slip_and_record_has_the_last_hash_that_the_ledger_can_be_held_against() {
    let mut shop = shop();
    let number = shop.json("ship list")["shipments"][0]["shipment"].clone();
    for kind in ["slip", "record"] {
        let hash = shop.json(&format!("card --{kind} {number}"))["last_hash"].clone();
        let hash = hash.as_str().unwrap();
        assert_eq!(shop.json("ledger check")["last_hash"], hash);
        assert!(shop.run(&format!("card --{kind} {number}")).ok().contains(hash));
        shop.at("2026-03-30 11:00").run("note shop 'swept the floor'").ok();
        shop.run(&format!("ledger check --last {hash}")).ok();
    }
}

#[test]
fn printed_it_has_the_pages_it_should() {
    if !browser_is_here() {
        return;
    }
    for shop in [shop(), hostile()] {
        let lots: Vec<String> = shop.json("lot list")["lots"]
            .as_array()
            .unwrap()
            .iter()
            .map(|lot| lot["lot"].as_str().unwrap().to_owned())
            .collect();
        let all = lots.join(" ");
        let count = u32::try_from(lots.len()).unwrap();
        for (options, pages, size) in [
            ("--paper a6", count, (105, 148)),
            ("--paper a4", count.div_ceil(4), (210, 297)),
            ("--paper a4 --per-sheet 1", count, (210, 297)),
            ("--paper letter", count.div_ceil(4), (216, 279)),
        ] {
            shop.run(&format!("card {all} {options} --out card.html")).ok();
            assert_eq!(printed(shop.folder(), "card.html"), (pages, size), "{options}");
        }
    }
    let shop = shop();
    let number = shop.json("ship list")["shipments"][0]["shipment"].clone();
    shop.run(&format!("card --slip {number} --out slip.html")).ok();
    assert_eq!(printed(shop.folder(), "slip.html"), (1, (210, 297)));
}

#[test]
fn nothing_on_a_card_is_cut_off() {
    if !browser_is_here() {
        return;
    }
    let measure = "<script>addEventListener('load',()=>{let out=[];for(const card of document.querySelectorAll('.card')){\
        if(card.scrollHeight>card.clientHeight+1||card.scrollWidth>card.clientWidth+1)out.push(card.querySelector('h2').textContent)}\
        document.title='cut: '+out.join('|')})</script></body>";
    for shop in [shop(), hostile()] {
        let lots = shop.json("lot list");
        for lot in lots["lots"].as_array().unwrap() {
            for paper in ["a6", "a4", "letter"] {
                let line = format!("card {} --paper {paper}", lot["lot"].as_str().unwrap());
                let html = shop.run(&line).ok();
                shop.write("measured.html", &html.replace("</body>", measure));
                let dom = chromium(shop.folder(), "measured.html", &["--dump-dom".to_owned()]);
                assert!(
                    dom.contains("<title>cut: </title>"),
                    "{line}: {}",
                    dom.split("</title>").next().unwrap()
                );
            }
        }
    }
}

#[test]
fn another_decoder_reads_the_lot_s_name_off_the_picture() {
    if !browser_is_here() {
        return;
    }
    let shop = shop();
    shop.run("card rest-2 --paper a6 --out card.html").ok();
    let picture = shop.folder().join("card.png");
    let options =
        [format!("--screenshot={}", picture.display()), "--window-size=420,600".to_owned()];
    chromium(shop.folder(), "card.html", &options);
    let read = Command::new("zbarimg").args(["-q", "--raw"]).arg(&picture).output().unwrap();
    assert_eq!(String::from_utf8_lossy(&read.stdout).trim(), "REST-2");
}

#[test]
fn the_codes_for_the_bench_are_those_that_are_scanned() {
    let shop = shop();
    let said = shop.run("card --actions --out actions.html").ok();
    assert!(said.contains("Wrote the codes for the bench"), "{said}");
    let html = shop.run("card --actions").ok();
    let listed = shop.json("scan --actions");
    let codes: Vec<&str> = ["actions", "alone"]
        .into_iter()
        .flat_map(|part| listed[part].as_array().unwrap())
        .map(|code| code["code"].as_str().unwrap())
        .collect();
    assert!(codes.iter().all(|code| html.contains(&format!("QR code: {code}"))), "{codes:?}");
    if !browser_is_here() {
        return;
    }
    let folder = shop.folder();
    assert_eq!(printed(folder, "actions.html"), (1, (210, 297)));
    let picture = folder.join("actions.png");
    let options =
        [format!("--screenshot={}", picture.display()), "--window-size=1200,1700".to_owned()];
    chromium(folder, "actions.html", &options);
    let read = Command::new("zbarimg").args(["--quiet", "--raw"]).arg(&picture).output().unwrap();
    let read = String::from_utf8_lossy(&read.stdout).into_owned();
    for code in codes {
        assert!(read.lines().any(|line| line == code), "{code} isn't read: {read}");
    }
}
