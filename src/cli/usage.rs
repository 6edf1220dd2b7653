//! What the argument parser refuses, in the voice of all other errors: what is wrong, and a command to go on with.

use std::error::Error as _;
use std::num::ParseIntError;

use clap::CommandFactory as _;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::cli::Error;
use crate::cli::args::Cli;
use crate::shop::line::visible;
use crate::shop::nearest::by_nearness;
use crate::shop::{all_of, one_of};

/// Names offered in place of one that isn't known.
const OFFERED: usize = 6;

pub(crate) fn error(error: &clap::Error) -> Error {
    let usage = of(error, ContextKind::Usage).join(" ");
    let command = Typed::of(&usage);
    let arg = |kind| of(error, kind).iter().map(|arg| bare(arg)).collect::<Vec<_>>();
    let invalid = arg(ContextKind::InvalidArg);
    let first = invalid.first().cloned().unwrap_or_default();
    let help = format!("{} --help", command.name);
    let (message, next) = match error.kind() {
        ErrorKind::InvalidValue | ErrorKind::ValueValidation => {
            (refused_value(error, &first), help)
        }
        ErrorKind::UnknownArgument => command.unknown_argument(&first),
        ErrorKind::InvalidSubcommand => {
            let typed = of(error, ContextKind::InvalidSubcommand);
            command.unknown_command(typed.first().map_or("", String::as_str))
        }
        ErrorKind::MissingSubcommand | ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            (format!("{} needs a command after it", command.name), help)
        }
        ErrorKind::MissingRequiredArgument => {
            (format!("{} needs {}", command.name, all_of(&invalid)), help)
        }
        ErrorKind::ArgumentConflict => {
            let prior = arg(ContextKind::PriorArg);
            let message = match prior.first() {
                Some(prior) if *prior != first => format!("{first} and {prior} don't go together"),
                _ => format!("{first} is given twice"),
            };
            (message, "leave one of them out".to_owned())
        }
        _ => (first_paragraph(error), help),
    };
    // What was typed is in it, raw where it isn't plain text.
    Error::usage(visible(&message).into_owned(), visible(&next).into_owned())
}

/// What the parser knows of an error under that heading.
fn of(error: &clap::Error, kind: ContextKind) -> Vec<String> {
    match error.get(kind) {
        Some(ContextValue::String(text)) => vec![text.clone()],
        Some(ContextValue::Strings(texts)) => texts.clone(),
        Some(ContextValue::StyledStr(text)) => vec![text.to_string()],
        Some(ContextValue::StyledStrs(texts)) => texts.iter().map(ToString::to_string).collect(),
        _ => Vec::new(),
    }
}

/// "--pieces" of "--pieces <N>"; "LOT" of "[LOT]...".
fn bare(arg: &str) -> String {
    let first = arg.split_whitespace().next().unwrap_or_default();
    first.trim_matches(|c| "<>[].".contains(c)).to_owned()
}

fn refused_value(error: &clap::Error, arg: &str) -> String {
    let value = of(error, ContextKind::InvalidValue).join(" ");
    let valid = of(error, ContextKind::ValidValue);
    let why = match error.source() {
        _ if value.is_empty() => return format!("{arg} needs a value after it"),
        _ if !valid.is_empty() => format!("expected {}", one_of(&valid)),
        Some(source) if source.is::<ParseIntError>() => "expected a whole number".to_owned(),
        Some(source) => source.to_string(),
        None => "this can't be".to_owned(),
    };
    if why.contains(&value) { format!("{arg}: {why}") } else { format!("{arg} {value:?}: {why}") }
}

fn first_paragraph(error: &clap::Error) -> String {
    let rendered = error.render().to_string();
    let lines = rendered.lines().take_while(|line| !line.is_empty()).map(str::trim);
    lines.collect::<Vec<_>>().join(" ").trim_start_matches("error: ").to_owned()
}

/// The command as far as it was understood.
struct Typed {
    /// "tackfree lot start".
    name: String,
    command: clap::Command,
}

impl Typed {
    fn of(usage: &str) -> Self {
        let words = usage.trim_start_matches("Usage:").split_whitespace();
        let mut typed = Self { name: "tackfree".to_owned(), command: Cli::command() };
        for word in words.skip(1) {
            let Some(command) = typed.command.find_subcommand(word).cloned() else { break };
            typed = Self { name: format!("{} {word}", typed.name), command };
        }
        typed
    }

    fn unknown_argument(&self, arg: &str) -> (String, String) {
        let Self { name, command } = self;
        let help = format!("{name} --help");
        if arg.strip_prefix('-').is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
        {
            return (format!("{arg}: a number below 0 can't be meant here"), help);
        }
        if !arg.starts_with('-') {
            return (format!("{name} doesn't know what to do with {arg:?}"), help);
        }
        let options: Vec<String> = command
            .get_arguments()
            .filter_map(|arg| Some(format!("--{}", arg.get_long()?)))
            .collect();
        let near = by_nearness(arg, options.iter().map(String::as_str));
        let message = format!("{name} has no option {arg}");
        if near.is_empty() {
            return (message, help);
        }
        (message, format!("{help} (it has {})", all_of(&near[..near.len().min(OFFERED)])))
    }

    fn unknown_command(&self, typed: &str) -> (String, String) {
        let Self { name, command } = self;
        let names = command.get_subcommands().map(clap::Command::get_name);
        let near = by_nearness(typed, names);
        let message = format!("{name} has no command {typed:?}");
        match near.split_first() {
            Some((first, others)) => {
                let others = &others[..others.len().min(OFFERED - 1)];
                (message, format!("{name} {first} --help (others: {})", others.join(", ")))
            }
            None => (message, format!("{name} --help")),
        }
    }
}
