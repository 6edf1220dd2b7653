//! The interview of `setup new --ask`: each answer is tried in the setup's own reader, and nothing is written by it.

use std::io;

use dialoguer::console::Term;
use dialoguer::{Confirm, Input};

use crate::cli::Error;
use crate::cli::environment::Environment;
use crate::reference;
use crate::shop::setup::read::MOST_SLOTS;
use crate::shop::setup::write::quoted;
use crate::shop::setup::{KEYS, read};
use crate::time::hours::DAYS;
use crate::units::System;

/// What an answer is tried in.
const TRIAL: &str = "[[room]]\nname = \"room\"\n";
/// What turning and finishing a piece takes where nobody has timed any.
const GUESSED: &str =
    "# Times a piece are our guess: time a few with tackfree pace time, and write yours here.\n";

/// Asks for everything a shop needs to begin, and gives it as the text of a setup file.
pub(super) fn ask(environment: &Environment) -> Result<String, Error> {
    let mut text = shop(environment)?;
    let rooms = rooms(&mut text)?;
    racks(&mut text, &rooms)?;
    let units = if text.contains("\nunits = \"us\"\n") { "us" } else { "metric" };
    let finishes = finishes(&mut text, units)?;
    let piece = asked("A piece you make", Some("bowl"), |name| tried(&named("piece", name)))?;
    text += &named("piece", &piece);
    let area = |area: &str| match area.parse::<f64>() {
        Ok(_) if units == "us" => format!("area_cm2 = {}\n", quoted(&format!("{area} in²"))),
        _ => format!("area_cm2 = {area}\n"),
    };
    let unit = if units == "us" { "square inches" } else { "cm²" };
    let question = format!("Area of one in {unit}, for the oil it takes (Enter: not known)");
    let answer = asked(&question, Some(""), |answer| {
        let part = || format!("{}{}", named("piece", "piece"), area(answer));
        if answer.is_empty() { Ok(()) } else { tried(&part()) }
    })?;
    if !answer.is_empty() {
        text += &area(&answer);
    }
    text += &recipe(&piece, &finishes)?;
    Ok(text)
}

/// Asks whether to go on.
pub(super) fn agreed(question: &str) -> Result<bool, Error> {
    Confirm::new().with_prompt(question).default(true).interact().map_err(stopped)
}

fn shop(environment: &Environment) -> Result<String, Error> {
    let name = asked("What is the shop called?", None, |name| tried(&named("piece", name)))?;
    let guess = environment.zone.as_deref().unwrap_or("UTC");
    let of = |zone: &str, units: &str, hours: &str| {
        let (name, zone, units) = (quoted(&name), quoted(zone), quoted(units));
        format!(
            "[shop]\nname = {name}\ntimezone = {zone}\nunits = {units}\n\n[shop.hours]\n{hours}"
        )
    };
    let some_hours = "mon = [\"09:00-10:00\"]\n";
    let whole = |text: String| read(&text).map(|_| ()).map_err(|faults| first(&faults));
    let zone = asked("Time zone", Some(guess), |zone| whole(of(zone, "metric", some_hours)))?;
    let us = if zone.starts_with("America/") { "us" } else { "metric" };
    let units =
        asked("Units: metric or us", Some(us), |units| whole(of(&zone, units, some_hours)))?;
    let usual = "mon-fri 08:30-12:30 13:15-17:30";
    let hours = asked("Open hours", Some(usual), |hours| whole(of(&zone, &units, &week(hours)?)))?;
    Ok(of(&zone, &units, &week(&hours).unwrap_or_default()))
}

/// "mon-fri 08:30-12:30 13:15-17:30, sat 09:00-12:00" as the lines of `[shop.hours]`.
fn week(text: &str) -> Result<String, String> {
    let mut lines = String::new();
    for part in text.split([',', ';']).map(str::trim).filter(|part| !part.is_empty()) {
        let mut words = part.split_whitespace();
        let days = words.next().unwrap_or_default();
        let (from, to) = days.split_once('-').unwrap_or((days, days));
        let day = |name: &str| DAYS.iter().position(|day| *day == name.to_lowercase());
        let (Some(from), Some(to)) = (day(from), day(to)) else {
            return Err(format!(
                "{days:?} isn't a day: write \"mon-fri 08:30-12:30, sat 09:00-12:00\""
            ));
        };
        let stretches: Vec<String> = words.map(quoted).collect();
        for day in DAYS.iter().take(to + 1).skip(from) {
            lines.extend([format!("{day} = [{}]\n", stretches.join(", "))]);
        }
    }
    Ok(lines)
}

fn rooms(text: &mut String) -> Result<Vec<String>, Error> {
    let split = |names: &str| -> Vec<String> {
        names
            .split(',')
            .map(|name| name.trim().to_owned())
            .filter(|name| !name.is_empty())
            .collect()
    };
    let all = |names: &str| split(names).iter().map(|name| named("room", name)).collect::<String>();
    let names = asked("Rooms, with a comma between them", Some("workshop"), |names| {
        if split(names).is_empty() {
            return Err("name at least one room".to_owned());
        }
        tried(&all(names))
    })?;
    let names = split(&names);
    for name in &names {
        let question = format!("Is {name} heated? by day, always, no");
        let heated = |word: &str| format!("{}heated = {}\n", named("room", name), quoted(word));
        let word = asked(&question, Some("no"), |word| tried(&heated(word)))?;
        *text += &heated(&word);
    }
    Ok(names)
}

fn racks(text: &mut String, rooms: &[String]) -> Result<(), Error> {
    let mut taken = Vec::new();
    loop {
        let Some(name) = one_more("rack", &taken)? else { return Ok(()) };
        let slots = asked("How many pieces does it hold?", Some("36"), |slots| {
            whole_number(slots, MOST_SLOTS)
        })?;
        let room = picked("Which room is it in?", rooms)?;
        let uses = asked("Is it for pieces to dry, to cure, or both?", Some("both"), |word| {
            let known = ["dry", "cure", "both"].contains(&word);
            known
                .then_some(())
                .ok_or_else(|| "dry (between coats), cure (after the last), or both".to_owned())
        })?;
        let uses = if uses == "both" { "\"dry\", \"cure\"".to_owned() } else { quoted(&uses) };
        let head = named("rack", &name);
        text.extend([format!("{head}room = {}\nslots = {slots}\nuse = [{uses}]\n", quoted(&room))]);
        taken.push(name);
    }
}

fn finishes(text: &mut String, units: &str) -> Result<Vec<String>, Error> {
    let mut taken = Vec::new();
    loop {
        let Some(name) = one_more("finish", &taken)? else { return Ok(taken) };
        let head = named("finish", &name);
        let of = |kind: &str| format!("{head}kind = {}\n", quoted(kind));
        let kind =
            asked("What does its tin call it?", Some("danish oil"), |kind| tried(&of(kind)))?;
        let mut finish = of(&kind);
        if let Some(class) = reference::class(&kind) {
            let values = ["soak", "recoat", "cure", "sheet_temp", "min_temp", "use_within"];
            let system = if units == "us" { System::Us } else { System::Metric };
            let value = |name: &&str| {
                let key = KEYS.iter().find(|key| key.name == *name)?;
                let said = key.said_of_class(&class.supplies.get(*name)?.value, system)?;
                Some(format!("{name} = \"{}\"", said.trim_matches('"')))
            };
            let values: Vec<String> = values.iter().filter_map(value).collect();
            let said = format!("By common practice, as {}: {}", class.kind, values.join(", "));
            Term::stderr().write_line(&said)?;
            let mut question =
                "What your tin says otherwise, such as recoat = \"24h..5d\" (Enter: nothing)";
            loop {
                let with = |change: &str| format!("{finish}{change}\n");
                let change = asked(question, Some(""), |change| tried_in(units, &with(change)))?;
                if change.is_empty() {
                    break;
                }
                finish = with(&change);
                question = "What else it says otherwise (Enter: nothing)";
            }
        }
        *text += &finish;
        taken.push(name);
    }
}

fn recipe(piece: &str, finishes: &[String]) -> Result<String, Error> {
    let finish = picked("Which finish goes on it?", finishes)?;
    let coats = asked("How many coats?", Some("3"), |coats| whole_number(coats, 20))?;
    let coats: usize = coats.parse().unwrap_or(1);
    let of = |grits: &str| {
        let mut steps = vec!["work = \"turn\", each = \"6m\"".to_owned()];
        let grits = grits.split([',', ' ']).filter(|grit| !grit.is_empty());
        steps.extend(grits.map(|grit| format!("sand = {}, each = \"30s\"", quoted(grit))));
        let coat = format!("coat = {}, each = \"20s\", wipe = \"20s\"", quoted(&finish));
        steps.extend(std::iter::repeat_n(coat, coats));
        steps.push(format!("cure = {}", quoted(&finish)));
        steps.extend(["inspect", "pack"].map(|work| format!("work = {work:?}, each = \"30s\"")));
        let steps = steps.join(" },\n  { ");
        let name = named("recipe", &format!("{piece}, {coats} coats"));
        format!(
            "\n{GUESSED}{}piece = {}\nsteps = [\n  {{ {steps} }},\n]\n",
            name.trim_start(),
            quoted(piece)
        )
    };
    let around =
        format!("{}{}kind = \"danish oil\"\n", named("piece", piece), named("finish", &finish));
    let grits = asked("Sanding grits", Some("P120 P180 P240"), |grits| {
        tried(&format!("{around}{}", of(grits)))
    })?;
    Ok(of(&grits))
}

/// The name of one more thing; none once there is one and no further is wanted.
fn one_more(kind: &str, taken: &[String]) -> Result<Option<String>, Error> {
    let (question, usual) = match taken {
        [] => (format!("A {kind}'s name"), None),
        _ => (format!("Another {kind}'s name (Enter: no more)"), Some("")),
    };
    let name = asked(&question, usual, |name| {
        if taken.iter().any(|other| other == name) {
            return Err(format!("there is a {kind} of that name already"));
        }
        if name.is_empty() { Ok(()) } else { tried(&named("piece", name)) }
    })?;
    Ok(Some(name).filter(|name| !name.is_empty()))
}

/// One of these; not asked where there is but one.
fn picked(question: &str, names: &[String]) -> Result<String, Error> {
    if let [only] = names {
        return Ok(only.clone());
    }
    asked(question, names.first().map(String::as_str), |name| {
        let known = names.iter().any(|other| other == name);
        known.then_some(()).ok_or_else(|| format!("one of {}", names.join(", ")))
    })
}

fn whole_number(text: &str, most: u32) -> Result<(), String> {
    let number = text.parse().ok().filter(|number| (1..=most).contains(number));
    number.map(|_| ()).ok_or_else(|| format!("a whole number from 1 to {most}"))
}

fn named(kind: &str, name: &str) -> String {
    format!("\n[[{kind}]]\nname = {}\n", quoted(name))
}

/// Whether the reader takes a part of a file.
fn tried(part: &str) -> Result<(), String> {
    tried_in("metric", part)
}

/// The same in a shop of those units.
fn tried_in(units: &str, part: &str) -> Result<(), String> {
    let shop = format!("[shop]\nname = \"shop\"\ntimezone = \"UTC\"\nunits = {}\n", quoted(units));
    let text = format!("{shop}[shop.hours]\nmon = [\"09:00-10:00\"]\n{TRIAL}{part}");
    read(&text).map(|_| ()).map_err(|faults| first(&faults))
}

fn first(faults: &[crate::shop::setup::Fault]) -> String {
    faults.first().map_or_else(String::new, |fault| {
        let lines: Vec<String> =
            std::iter::once(fault.advice()).chain(fault.choices.iter().cloned()).collect();
        lines.join("\n    ")
    })
}

fn asked(
    question: &str,
    usual: Option<&str>,
    fits: impl Fn(&str) -> Result<(), String>,
) -> Result<String, Error> {
    let mut input = Input::<String>::new().with_prompt(question);
    if let Some(usual) = usual {
        input = input.default(usual.to_owned()).show_default(!usual.is_empty()).allow_empty(true);
    }
    let answer = input.validate_with(|answer: &String| fits(answer.trim())).interact_text();
    answer.map(|answer| answer.trim().to_owned()).map_err(stopped)
}

fn stopped(error: dialoguer::Error) -> Error {
    let dialoguer::Error::IO(error) = error;
    let what = match error.kind() {
        io::ErrorKind::NotConnected => "there's no terminal to ask on".to_owned(),
        _ => format!("stopped, and nothing was written: {error}"),
    };
    Error::usage(what, "write a starting file instead: tackfree setup new shop.toml")
}
