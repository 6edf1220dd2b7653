//! The wall chart: the plan's times in the picture, and the page as the timer keeps it.

use chrono::DateTime;
use serde_json::Value;

use super::pages::{browser_is_here, chromium, printed};
use super::{shop, with_an_order};
use crate::harness::TestShop;

/// Each bar as the browser drew it: kind, lot, and the seconds at which it begins and ends.
fn drawn(shop: &TestShop, html: &str) -> Vec<(String, String, f64, f64)> {
    let read = "<script>addEventListener('load',()=>{const plan=document.querySelector('#plan');const d=plan.dataset;\
        const at=x=>(Date.parse(d.first)/1000+(x-d.left)/d.perMinute*60).toFixed(1);\
        document.title=[...plan.querySelectorAll('rect[data-lot]')].map(r=>{const b=r.getBBox();\
        return [r.dataset.kind,r.dataset.lot,at(b.x),at(b.x+b.width)].join(',')}).join('|')})</script></body>";
    shop.write("read.html", &html.replace("</body>", read));
    let dom = chromium(shop.folder(), "read.html", &["--dump-dom".to_owned()]);
    let (_, title) = dom.split_once("<title>").unwrap();
    let (title, _) = title.split_once("</title>").unwrap();
    let bars = title.split('|').map(|bar| {
        let parts: Vec<&str> = bar.split(',').collect();
        let seconds = |text: &str| text.parse::<f64>().unwrap();
        (parts[0].to_owned(), parts[1].to_owned(), seconds(parts[2]), seconds(parts[3]))
    });
    bars.collect()
}

fn seconds(value: &Value) -> i64 {
    DateTime::parse_from_rfc3339(value.as_str().unwrap()).unwrap().timestamp()
}

#[test]
fn the_bars_have_the_plan_s_times_over_a_week_with_a_clock_change() {
    if !browser_is_here() {
        return;
    }
    let shop = with_an_order();
    // The shop's clocks go forward on Sunday 29 March.
    let wall = shop.json("wall --days 7");
    let (first, last) = (seconds(&wall["from"]), seconds(&wall["until"]));
    assert_eq!(last - first, 7 * 86_400 - 3_600);
    let bars = drawn(&shop, &shop.run("wall --days 7").ok());
    let mut expected = Vec::new();
    for (kind, list, from, until) in
        [("step", "steps", "start", "end"), ("stay", "stays", "from", "until")]
    {
        for item in wall[list].as_array().unwrap() {
            let (from, until) = (seconds(&item[from]).max(first), seconds(&item[until]).min(last));
            expected.push((kind, item["lot"].as_str().unwrap(), from, until));
        }
    }
    assert!(expected.len() > 6, "{expected:?}");
    assert_eq!(bars.len(), expected.len());
    for (kind, lot, from, until) in expected {
        let near = |a: f64, b: i64| (a - f64::from(i32::try_from(b).unwrap())).abs() < 30.0;
        let found = bars
            .iter()
            .any(|bar| bar.0 == kind && bar.1 == lot && near(bar.2, from) && near(bar.3, until));
        assert!(found, "{kind} {lot} {from} {until}: {bars:?}");
    }
}

#[test]
fn printed_it_is_on_a3() {
    if !browser_is_here() {
        return;
    }
    let shop = shop();
    shop.run("wall --out wall.html").ok();
    assert_eq!(printed(shop.folder(), "wall.html"), (1, (420, 297)));
}

/// What the timer runs.
fn send(shop: &mut TestShop, at: &str) {
    assert_eq!(shop.at(at).run("remind send").code, 0);
}

#[test]
fn the_timer_writes_it_anew_when_something_changed() {
    let mut shop = shop();
    shop.at("2026-03-30 10:30").run("wall --out wall.html --keep").ok();
    let first = shop.read("wall.html");
    assert!(first.contains("http-equiv=\"refresh\"") && !first.contains("http:"));
    send(&mut shop, "2026-03-30 10:31");
    assert_eq!(shop.read("wall.html"), first, "nothing was recorded");
    shop.run(
        "batch open more --recipe 'one coat' --pieces 7 --due 2026-05-20 --for 'a <b>new</b> shop'",
    )
    .ok();
    send(&mut shop, "2026-03-30 10:32");
    let second = shop.read("wall.html");
    assert!(second.contains("a &lt;b&gt;new&lt;/b&gt; shop"), "{second}");
    send(&mut shop, "2026-03-30 11:00");
    assert_ne!(shop.read("wall.html"), second, "its now moved on");
    let third = shop.read("wall.html");
    shop.run("wall --stop").ok();
    send(&mut shop, "2026-03-30 12:00");
    assert_eq!(shop.read("wall.html"), third);
}

/// What is late, what is to be carried to another rack and the rags stand on the wall as on the day sheet.
#[test]
fn what_comes_before_all_else_on_the_day_sheet_does_on_the_wall() {
    let mut shop = shop();
    shop.at("2026-03-30 10:10");
    for _ in 0..2 {
        shop.run("lot start rest --pieces 3 --rack drip-2").ok();
    }
    shop.run("done rest-4 rest-5").ok();
    shop.at("2026-03-30 10:40").run("done rest-5 --can W2").ok();
    shop.run("begin rest-4").ok();
    shop.at("2026-03-31 09:00");
    let (today, wall) = (shop.json("today"), shop.json("wall"));
    assert_eq!(wall["first"], today["first"]);
    assert_eq!(wall["moves"], today["carries"]);
    assert_eq!(wall["rags"], today["rags"]);
    let late = &today["first"][0];
    assert_eq!((&late["lot"], &late["state"]), (&"rest-4".into(), &"overdue".into()));
    let html = shop.run("wall").ok();
    let (_, next) = html.split_once("<h2>Next</h2>").unwrap();
    let lines: Vec<&str> = next.split("<li").skip(1).collect();
    assert!(lines[0].contains("LATE") && lines[0].contains("rest-4"), "{}", lines[0]);
    let moves = today["carries"].as_array().unwrap();
    assert!(!moves.is_empty());
    for to in moves {
        let said = format!("move to {}", to["rack"].as_str().unwrap());
        let lot = to["lot"].as_str().unwrap();
        assert!(lines.iter().any(|line| line.contains(lot) && line.contains(&said)), "{to}");
    }
    assert!(html.contains(today["rags"][0]["says"].as_str().unwrap()));
    assert!(html.contains("Oily rags lying: <bdi>rest-1</bdi>, "), "a name keeps its direction");
}
