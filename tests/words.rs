//! The words: what nobody is to read stands nowhere, on no screen and in no text of the project.

use std::fs;
use std::path::{Path, PathBuf};

use crate::harness::TestShop;
use crate::harness::forbidden::{found_in, unquoted};

/// Every file under a folder of the project whose name ends so.
fn files(folder: &str, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if entry.file_type().unwrap().is_dir() {
                folders.push(path);
            } else if path.to_str().unwrap().ends_with(ending) {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The texts between quotation marks in a source file's lines that aren't comments.
fn said_by(source: &str) -> String {
    let code = source.lines().filter(|line| !line.trim_start().starts_with("//"));
    let code = code.collect::<Vec<_>>().join("\n").replace("\\\"", "'").replace("'\"'", "''");
    code.split('"').skip(1).step_by(2).collect::<Vec<_>>().join("\n")
}

/// None of those texts, each with its name, has a forbidden phrase.
fn none_in(texts: impl IntoIterator<Item = (String, String)>) {
    let found: Vec<String> = texts
        .into_iter()
        .flat_map(|(name, text)| {
            found_in(&text).into_iter().map(move |hit| format!("{name}: {hit}"))
        })
        .collect();
    assert!(found.is_empty(), "{found:#?}");
}

fn read(path: &Path) -> (String, String) {
    (path.display().to_string(), fs::read_to_string(path).unwrap())
}

#[test]
fn the_project_s_texts_have_no_forbidden_phrase() {
    let sources = files("src", ".rs");
    assert!(sources.len() > 200, "{}", sources.len());
    // What is on disk keeps the names that it was written with; a recipe says them in other words.
    let stored = ["store/stored/v1.rs", "shop/setup/recipe.rs"];
    let sources = sources.iter().filter(|path| !stored.iter().any(|stored| path.ends_with(stored)));
    let said = sources.map(|path| read(path)).map(|(name, source)| (name, said_by(&source)));
    let pages =
        ["README.md", "DEVELOPERS.md"].map(|page| Path::new(env!("CARGO_MANIFEST_DIR")).join(page));
    let texts = [files("src", ".toml"), files("src", ".txt"), pages.to_vec()].concat();
    none_in(said.chain(texts.iter().map(|path| read(path))));
}

#[test]
fn the_reference_gives_no_verdict_but_to_deny_it() {
    let texts = files("reference", ".toml");
    assert!(texts.len() > 10);
    // `words.toml` holds words of questions; a claim is there to be denied, and a source has the title it has.
    let texts = texts.iter().filter(|path| !path.ends_with("words.toml")).map(|path| {
        let (name, text) = read(path);
        let others = ["claim = ", "read = ", "source = "];
        let said = text.lines().filter(|line| !others.iter().any(|other| line.starts_with(other)));
        (name, said.collect::<Vec<_>>().join("\n"))
    });
    none_in(texts);
}

/// Every command that reads, over a shop that has a whole order behind it and another begun. Each run is held against
/// the forbidden phrases by the harness.
#[test]
fn no_screen_of_the_demo_s_shop_has_a_forbidden_phrase() {
    let mut shop = TestShop::bare();
    shop.run("demo --keep kept").ok();
    let database = shop.folder().join("kept/demo.tackfree").to_str().unwrap().to_owned();
    shop.set("TACKFREE_DB", &database).at("2026-04-02 11:00");
    for line in [
        "batch open pepper --recipe 'three coats' --pieces 60 --due 2026-04-20 --for 'a shop'",
        "lot start pepper --pieces 30",
        "done pepper-1 --minutes 180",
    ] {
        shop.run(line).ok();
    }
    for line in [
        "",
        "due",
        "today",
        "racks",
        "plan",
        "plan --fresh",
        "promise pepper",
        "cure salt-1 --why",
        "cure pepper-1",
        "kit pepper-1",
        "spares pepper",
        "spares --good 132 --scrap 3/40",
        "grit P150..P400",
        "grit --check 'three coats'",
        "pace salt",
        "air pepper-1",
        "climate show",
        "rags",
        "can list",
        "batch list",
        "batch show salt",
        "lot list",
        "lot show salt-1",
        "ship list",
        "trace --can K7",
        "ledger list",
        "ledger check",
        "setup show",
        "setup example",
        "setup kinds",
        "setup kinds 'tung oil'",
        "scan --actions",
        "remind send",
        "caution",
        "plan --now 2026-04-09",
        "today --now 2026-04-09",
    ] {
        let run = shop.run(line);
        assert!(run.code < 2, "{run}");
    }
    for topic in shop.json("caution")["topics"].as_array().unwrap() {
        let topic = topic["name"].as_str().unwrap();
        shop.run(&format!("caution {topic}")).ok();
        shop.run(&format!("caution {topic} --sources")).ok();
    }
    let shipment = shop.json("ship list")["shipments"][0]["shipment"].to_string();
    for (line, file) in [
        ("card pepper-1", "card.html"),
        (&format!("card --slip {shipment}"), "slip.html"),
        (&format!("card --record {shipment}"), "record.html"),
        ("wall", "wall.html"),
        ("calendar", "shop.ics"),
    ] {
        shop.run(&format!("{line} --out {file}")).ok();
        // A calendar's long lines are folded.
        none_in([(file.to_owned(), unquoted(&shop.read(file).replace("\r\n ", "")))]);
    }
}
