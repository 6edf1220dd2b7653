//! Whoever reads a page: by eye in the light and in the dark, on a phone, a tablet or a large screen, or by what reads it
//! aloud. And that a page asks nothing of anybody.

use std::fs;
use std::path::PathBuf;

use serde_json::Value;

use super::pages::{browsed, browser_is_here};
use super::{shop, with_an_order};
use crate::harness::TestShop;

/// Every page there is, by its file.
fn pages(shop: &TestShop) -> Vec<&'static str> {
    let number = shop.json("ship list")["shipments"][0]["shipment"].clone();
    let all = [
        ("wall.html", "wall --days 7".to_owned()),
        ("card.html", "card rest-1 rest-2 rest-3".to_owned()),
        ("slip.html", format!("card --slip {number}")),
        ("record.html", format!("card --record {number}")),
        ("codes.html", "card --actions".to_owned()),
    ];
    for (file, line) in &all {
        shop.write(file, &shop.run(line).ok());
    }
    all.map(|(file, _)| file).to_vec()
}

/// What a script finds out about a page, on which the browser logs nothing.
#[track_caller]
fn asked(shop: &TestShop, page: &str, script: &str, options: &[&str]) -> Value {
    let (dom, log) = scripted(shop, page, script, options);
    assert!(!log.contains("CONSOLE"), "{page} logs something: {log}");
    answer(&dom)
}

/// The page with what the script found in its title, in JSON, and what the browser logged.
#[track_caller]
fn scripted(shop: &TestShop, page: &str, script: &str, options: &[&str]) -> (String, String) {
    let script = format!(
        "<script>addEventListener('load',async()=>{{const found=await(async()=>{{{script}}})();\
         document.title='@'+JSON.stringify(found)+'@'}})</script></body>"
    );
    shop.write("asked.html", &shop.read(page).replace("</body>", &script));
    let mut options: Vec<String> = options.iter().map(|&option| option.to_owned()).collect();
    options.extend(["--virtual-time-budget=60000", "--dump-dom"].map(str::to_owned));
    browsed(shop.folder(), "asked.html", &options)
}

#[track_caller]
fn answer(dom: &str) -> Value {
    let title = dom.split("<title>@").nth(1).and_then(|rest| rest.split("@</title>").next());
    let title = title.expect("the script comes to its end");
    let text = title.replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&");
    serde_json::from_str(&text).unwrap()
}

const DARK: &str = "--blink-settings=preferredColorScheme=0";
const LIGHT: &str = "--blink-settings=preferredColorScheme=1";

/// The worst contrast of a text with what lies behind it, by WCAG 2.2's formula, and the text. Of a text in a picture all
/// shapes under its box count, and the page's ground.
const CONTRAST: &str = r"
    const rgb=c=>{const p=(c.match(/[\d.]+/g)||[]).map(Number);return p.length>3&&p[3]===0?null:p.slice(0,3)};
    const lum=c=>{const [r,g,b]=c.map(v=>{v/=255;return v<=.04045?v/12.92:((v+.055)/1.055)**2.4});return .2126*r+.7152*g+.0722*b};
    const ratio=(a,b)=>{const [x,y]=[lum(a),lum(b)].sort((p,q)=>q-p);return (x+.05)/(y+.05)};
    const ground=e=>{for(;e;e=e.parentElement){const c=rgb(getComputedStyle(e).backgroundColor);if(c)return c}return [255,255,255]};
    document.querySelectorAll('details').forEach(d=>d.open=true);
    let worst=[99,''],count=0;
    const say=(r,t)=>{count++;if(r<worst[0])worst=[r,t]};
    for(const e of document.body.querySelectorAll('*')){
      if(![...e.childNodes].some(n=>n.nodeType===3&&n.data.trim())||['SCRIPT','STYLE','title'].includes(e.tagName))continue;
      const svg=e.closest('svg'),style=getComputedStyle(e);
      if(!svg){say(ratio(rgb(style.color),ground(e)),e.textContent);continue}
      const ink=rgb(style.fill),box=e.getBoundingClientRect();
      say(ratio(ink,ground(svg)),e.textContent);
      for(const r of svg.querySelectorAll('rect')){
        const b=r.getBoundingClientRect(),fill=rgb(getComputedStyle(r).fill);
        if(fill&&b.left<box.right&&b.right>box.left&&b.top<box.bottom-2&&b.bottom>box.top+2)say(ratio(ink,fill),e.textContent+' on a bar');
      }
    }
    return {worst:worst[0],text:worst[1].slice(0,60),count};";

#[test]
fn every_text_stands_out_in_the_light_and_in_the_dark() {
    if !browser_is_here() {
        return;
    }
    let shop = shop();
    let mut grounds = Vec::new();
    for page in pages(&shop) {
        for scheme in [LIGHT, DARK] {
            let found = asked(&shop, page, CONTRAST, &[scheme]);
            assert!(found["count"].as_u64().unwrap() > 5, "{page}: {found}");
            assert!(found["worst"].as_f64().unwrap() >= 4.5, "{page} {scheme}: {found}");
        }
        let ground = "return getComputedStyle(document.body).backgroundColor";
        grounds.push([LIGHT, DARK].map(|scheme| asked(&shop, page, ground, &[scheme])));
    }
    // The chart on the wall follows the screen; what is printed stays the paper it will be.
    assert_ne!(grounds[0][0], grounds[0][1]);
    assert!(grounds[1..].iter().all(|[light, dark]| light == dark));
}

#[test]
fn a_faint_text_would_be_noticed() {
    if !browser_is_here() {
        return;
    }
    let shop = TestShop::bare();
    // WCAG's own example of the border: #767676 on white is 4.54, #777777 is 4.48.
    for (colour, enough) in [("#767676", true), ("#777777", false)] {
        shop.write(
            "page.html",
            &format!("<title></title><body><p style='color:{colour}'>a</p></body>"),
        );
        let worst = asked(&shop, "page.html", CONTRAST, &[LIGHT])["worst"].as_f64().unwrap();
        assert_eq!(worst >= 4.5, enough, "{colour}: {worst}");
    }
}

/// The accessibility checker of `tests/run`, where it could be fetched; where not, says what is skipped.
#[expect(clippy::print_stderr, reason = "a test says what it skipped")]
fn checker() -> Option<String> {
    let file = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("target/axe-core/package/axe.min.js");
    let text = fs::read_to_string(file).ok();
    if text.is_none() {
        eprintln!("SKIPPED: no page was checked with axe-core; tests/run fetches it where it can");
    }
    text
}

#[test]
fn axe_finds_nothing_serious() {
    let Some(axe) = checker().filter(|_| browser_is_here()) else { return };
    let shop = shop();
    let script = format!(
        "{axe};const r=await axe.run(document,{{resultTypes:['violations']}});\
         return {{passed:r.passes.length,found:r.violations.map(v=>[v.impact,v.id,v.nodes[0].html.slice(0,200)])}}"
    );
    for page in pages(&shop) {
        for options in [[LIGHT, "--window-size=1600,1200"], [DARK, "--window-size=390,900"]] {
            let found = asked(&shop, page, &script, &options);
            assert!(found["passed"].as_u64().unwrap() > 5, "{page}: {found}");
            let serious = |fault: &&Value| fault[0] == "serious" || fault[0] == "critical";
            let serious: Vec<&Value> =
                found["found"].as_array().unwrap().iter().filter(serious).collect();
            assert!(serious.is_empty(), "{page} {options:?}: {serious:#?}");
        }
    }
    // It would find something.
    shop.write("page.html", "<title></title><body><img src=\"data:,\"></body>");
    let found = asked(&shop, "page.html", &script, &[LIGHT]);
    assert!(found["found"].to_string().contains("image-alt"), "{found}");
}

/// Whatever a page would ask for beyond itself is refused by this policy, and told.
const POLICY: &str = "<head><meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; \
    style-src 'unsafe-inline'; script-src 'unsafe-inline'\"><script>window.refused=[];\
    document.addEventListener('securitypolicyviolation',e=>refused.push(e.blockedURI))</script>";

#[test]
fn no_request_leaves_a_page() {
    if !browser_is_here() {
        return;
    }
    let shop = shop();
    let strict = |page: &str| {
        shop.write("strict.html", &shop.read(page).replacen("<head>", POLICY, 1));
        scripted(&shop, "strict.html", "return window.refused", &[])
    };
    for page in pages(&shop) {
        let (dom, log) = strict(page);
        assert_eq!(answer(&dom), serde_json::json!([]), "{page}: {log}");
    }
    shop.write("page.html", "<head><title></title></head><body><img src=\"other.png\"></body>");
    let (dom, log) = strict("page.html");
    assert_eq!(answer(&dom).as_array().unwrap().len(), 1, "it would be told of one: {log}");
}

/// What is cut off: cards and lists that hold more than they show, a page wider than its screen, words of a picture that
/// stand beyond it.
const CUT: &str = r"
    const out=[];
    for(const e of document.querySelectorAll('.card,.steps,.codes,.slip'))
      if(e.scrollHeight>e.clientHeight+1||e.scrollWidth>e.clientWidth+1)out.push(e.className+': '+e.textContent.slice(0,60));
    if(document.documentElement.scrollWidth>innerWidth+1)out.push('page '+document.documentElement.scrollWidth);
    for(const svg of document.querySelectorAll('svg.chart')){
      const box=svg.viewBox.baseVal;
      for(const t of svg.querySelectorAll('text')){
        const b=t.getBBox();
        if(b.x<-1||b.y<-1||b.x+b.width>box.width+1||b.y+b.height>box.height+1)out.push(['text',b.x,b.y,b.width,t.textContent]);
      }
    }
    return out;";

/// Sixty lots, of the longest names there can be, of letters that are wide, run from right to left or are pictures.
fn crowded() -> TestShop {
    let rack = "the longest rack of all, with 40 letters";
    let setup = crate::harness::SORREL_LANE
        .replace("\"drip-1\"", &format!("\"{rack}\""))
        .replace("slots = 36", "slots = 400")
        .replace("spoon rest", "spoon rest \u{05E9}\u{05DE}\u{05DF} \u{1F4A5}")
        .replacen("name = \"oil room\"\n", "name = \"oil room\"\nheated = \"always\"\n", 1);
    let mut shop = TestShop::with_setup(&setup);
    shop.run("can open 'hard wax' --name W1").ok();
    let names = [
        "abcdefghijklmnopqrstuvwxyz-0123456789abc".to_owned(),
        "W".repeat(40),
        "\u{05E9}\u{05DC}\u{05D5}\u{05DD}".repeat(10),
        "\u{6F22}\u{5B57}".repeat(20),
    ];
    for (number, name) in names.iter().enumerate() {
        let recipe = if number == 0 { "three coats" } else { "one coat" };
        shop.run(&format!(
            "batch open {name} --recipe '{recipe}' --pieces 60 --due 2026-06-30 --for '<script>alert(1)</script> \u{1F9D1}\u{200D}\u{1F527} who goes on and on, a customer with a long name'"
        ))
        .ok();
        for _ in 0..15 {
            shop.run(&format!("lot start {name} --pieces 4 --rack '{rack}'")).ok();
        }
    }
    let wide = &names[1];
    shop.at("2026-03-02 09:00").run(&format!("done {wide}-1 {wide}-2")).ok();
    shop.at("2026-03-02 09:30").run(&format!("done {wide}-1 {wide}-2 --can W1")).ok();
    shop.at("2026-03-02 10:00");
    shop
}

#[test]
fn nothing_is_cut_off_however_long_and_however_many() {
    if !browser_is_here() {
        return;
    }
    let shop = crowded();
    let lots = shop.json("lot list");
    let lots: Vec<&str> =
        lots["lots"].as_array().unwrap().iter().map(|lot| lot["lot"].as_str().unwrap()).collect();
    assert_eq!(lots.len(), 60);
    shop.run("wall --days 7 --out wall.html").ok();
    for paper in ["a4", "a6", "letter"] {
        shop.run(&format!("card {} --paper {paper} --out {paper}.html", lots.join(" "))).ok();
    }
    let drawn =
        "return [...document.querySelectorAll('#plan rect[data-lot]')].map(r=>r.dataset.lot)";
    let drawn = asked(&shop, "wall.html", drawn, &[]).to_string();
    assert!(lots.iter().all(|lot| drawn.contains(lot)), "each lot has a bar");
    for page in ["wall.html", "a4.html", "a6.html", "letter.html"] {
        for width in ["390,900", "800,1000", "1600,1000"] {
            let found = asked(&shop, page, CUT, &[&format!("--window-size={width}")]);
            assert_eq!(found, serde_json::json!([]), "{page} at {width}");
        }
    }
}

#[test]
fn no_page_is_wider_than_its_screen() {
    if !browser_is_here() {
        return;
    }
    let shop = shop();
    for page in pages(&shop) {
        for width in ["390,900", "800,1000", "1600,1000"] {
            let found = asked(&shop, page, CUT, &[&format!("--window-size={width}")]);
            assert_eq!(found, serde_json::json!([]), "{page} at {width}");
        }
    }
}

/// Colour alone carries nothing: each bar's lot is named in its row.
#[test]
fn every_bar_is_under_a_label() {
    if !browser_is_here() {
        return;
    }
    let shop = with_an_order();
    shop.write("wall.html", &shop.run("wall --days 7").ok());
    let script = "return [...document.querySelectorAll('#plan g')].map(g=>[g.querySelectorAll('rect').length,\
        [...new Set([...g.querySelectorAll('rect')].map(r=>r.dataset.lot))].join(),g.querySelector('text')?.textContent||''])";
    let groups = asked(&shop, "wall.html", script, &[]);
    let groups = groups.as_array().unwrap();
    assert!(groups.len() > 5);
    for group in groups {
        let (lot, label) = (group[1].as_str().unwrap(), group[2].as_str().unwrap());
        assert!(!lot.is_empty() && label.starts_with(lot), "{group}");
    }
}
