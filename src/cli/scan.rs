//! `scan`: one line a code, from a scanner that types or from hands that do: a lot's, then an action's.
//!
//! Each pair is run as the command line that a person would type, by the same rules; what is out of order records nothing.

use std::io::BufRead as _;

use schemars::JsonSchema;
use serde::Serialize;

use crate::cli::environment::Environment;
use crate::cli::{Context, Error, run_in};
use crate::report::codes::Codes;
use crate::shop::LotName;
use crate::shop::due::Action;
use crate::store::Scope;

/// A longer line isn't one of our codes.
const LONGEST: usize = 200;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// List the codes, to be printed and hung up at the bench, and read none
    #[arg(long)]
    actions: bool,
}

/// What came of one code, as a line of JSON.
#[derive(JsonSchema, Serialize)]
pub(crate) struct Scanned<'a> {
    code: &'a str,
    /// Whether it is recorded or, for a lot's, waits for its action.
    heard: bool,
    said: &'a str,
}

/// What came of one code.
pub(crate) enum Answer {
    /// It stands in the ledger, or, for a lot's, it waits for its action.
    Heard(String),
    Refused(String),
}

impl Answer {
    pub(crate) fn said(&self) -> &str {
        match self {
            Self::Heard(said) | Self::Refused(said) => said,
        }
    }
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    if args.actions {
        let shop = context.store()?.load(&Scope::Open)?.shop;
        return context.screen.show(&Codes::of(&shop));
    }
    let mut lot: Option<LotName> = None;
    for line in std::io::stdin().lock().lines() {
        // A line that isn't text isn't a code.
        let line = line.unwrap_or_else(|_| "?".to_owned());
        let code = line.trim();
        if code.is_empty() {
            continue;
        }
        let answer = if code.len() > LONGEST {
            Answer::Refused("that isn't a code".to_owned())
        } else {
            read(code, &mut lot, context)?
        };
        show(code, &answer, context)?;
    }
    Ok(())
}

/// One large line, and two beeps for a refusal.
fn show(code: &str, answer: &Answer, context: &mut Context<'_>) -> Result<(), Error> {
    let (recorded, said) = (matches!(answer, Answer::Heard(_)), answer.said());
    let line = if context.screen.json() {
        let scanned = Scanned { code, heard: recorded, said };
        format!("{}\n", serde_json::to_string(&scanned).map_err(std::io::Error::from)?)
    } else {
        let sign = if recorded { ">>" } else { "!!" };
        let beeps = if recorded { "" } else { "\u{7}\u{7}" };
        let line = format!("{sign} {}", said.to_uppercase());
        let loud = context.environment.colour;
        if loud {
            format!("\u{1b}[1;7m{line}\u{1b}[0m{beeps}\n")
        } else {
            format!("{line}{beeps}\n")
        }
    };
    context.screen.write(&line)
}

/// A lot's code waits for its action; an action takes it, so that nothing is done twice by one code.
pub(crate) fn read(
    code: &str,
    lot: &mut Option<LotName>,
    context: &Context<'_>,
) -> Result<Answer, Error> {
    let upper = code.to_uppercase();
    let words: Vec<&str> = upper.split_whitespace().collect();
    let line: Vec<String> = match (&words[..], lot.take()) {
        (["UNDO"], _) => vec!["undo".to_owned()],
        (["RAGS", how @ ..], _) if !how.is_empty() => {
            let how = how.join(" ").to_lowercase();
            ["rags", "done", "--how", &how].map(str::to_owned).to_vec()
        }
        (["BEGIN" | "DONE" | "WIPED"] | ["REJECT", _], None) => {
            return Ok(Answer::Refused("scan the lot first".to_owned()));
        }
        (["BEGIN"], Some(lot)) => vec!["begin".to_owned(), lot.to_string()],
        (["DONE"], Some(lot)) => vec!["done".to_owned(), lot.to_string()],
        (["WIPED"], Some(lot)) => match wiped(&lot, context)? {
            Some(answer) => return Ok(answer),
            None => vec!["done".to_owned(), lot.to_string()],
        },
        (["REJECT", pieces], Some(lot)) => {
            let why = "scanned at the bench";
            let lot = lot.to_string();
            ["lot", "reject", &lot, "--pieces", pieces, "--why", why].map(str::to_owned).to_vec()
        }
        _ => {
            if code.parse::<LotName>().is_err() {
                return Ok(Answer::Refused(format!("{code} isn't a code")));
            }
            let shop = context.store()?.load(&Scope::Open)?.shop;
            // A code is in capitals; no two open lots differ in those alone.
            let named = shop.open_lots().find(|open| open.name.to_string().to_uppercase() == upper);
            let Some(named) = named.map(|open| open.name.clone()) else {
                return Ok(Answer::Refused(format!("{code} isn't an open lot")));
            };
            let said = format!("{named}: now its action");
            *lot = Some(named);
            return Ok(Answer::Heard(said));
        }
    };
    Ok(command(&line, context))
}

/// What "wiped" means besides the coat being done: of several groups only the last one ends it.
fn wiped(lot: &LotName, context: &Context<'_>) -> Result<Option<Answer>, Error> {
    let shop = context.store()?.load(&Scope::Open)?.shop;
    let now = context.environment.clock()?;
    let Some(known) = shop.lots.get(lot) else { return Ok(None) };
    if shop.next_item(known, now).action != Action::Wipe {
        return Ok(Some(Answer::Refused(format!("{lot} has no coat that soaks"))));
    }
    let groups = shop.groups_begun(known).unwrap_or_default();
    // Hands may be slower than reckoned: what is wiped is the group whose wipe was due last.
    let wiped = groups.iter().rev().find(|group| group.times.wipe_from <= now);
    let next = groups.iter().find(|group| wiped.is_none_or(|wiped| group.number > wiped.number));
    Ok(next.filter(|next| next.of > 1).map(|next| {
        Answer::Heard(format!("{lot}: go on with group {} of {}", next.number, next.of))
    }))
}

/// Runs a command line and takes from it the line that says what came of it.
pub(crate) fn command(line: &[String], context: &Context<'_>) -> Answer {
    let database = context.database().as_os_str().to_owned();
    let words = ["tackfree".into(), "--db".into(), database].into_iter();
    let words = words.chain(line.iter().map(Into::into));
    let plain = Environment { width: 400, colour: false, ..context.environment.clone() };
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let code = run_in(words, &plain, &mut out, &mut err);
    let first = |text: &[u8]| {
        let text = String::from_utf8_lossy(text).into_owned();
        text.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned()
    };
    if code == 0 { Answer::Heard(first(&out)) } else { Answer::Refused(first(&err)) }
}
