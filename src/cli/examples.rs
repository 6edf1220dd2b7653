//! The worked example of each command's help, out of one story that a test plays from top to bottom.

use clap::Command;
use clap::builder::Styles;

const STORY: &str = include_str!("examples.txt");

/// The command with an example below each help page. A group of commands shows that of its first.
pub(crate) fn with_examples(command: Command) -> Command {
    let name = command.get_name().to_owned();
    below(command, &name, &told())
}

/// Each command line of the story with what it prints, as both are shown.
fn told() -> Vec<&'static str> {
    let starts = STORY.match_indices("\n$ ").map(|(at, _)| at + 1);
    let told = starts.filter_map(|at| {
        let (first, rest) = STORY.get(at..)?.split_once('\n')?;
        let shown =
            rest.split_inclusive('\n').take_while(|line| line.starts_with("  ") || *line == "\n");
        let length = first.len() + 1 + shown.map(str::len).sum::<usize>();
        Some(STORY.get(at..at + length)?.trim_end())
    });
    told.collect()
}

fn below(command: Command, path: &str, told: &[&str]) -> Command {
    let rest = |example: &str| {
        let line = example.lines().next()?.strip_prefix("$ ")?.strip_prefix(path)?;
        Some(line.to_owned()).filter(|rest| rest.is_empty() || rest.starts_with(' '))
    };
    let of_its_own = |rest: &str| {
        let next = rest.split_whitespace().next();
        next.is_none_or(|word| command.find_subcommand(word).is_none())
    };
    let mut under = told.iter().filter_map(|example| Some((*example, rest(example)?)));
    let own = under.clone().find(|(_, rest)| of_its_own(rest));
    let example = own.or_else(|| under.next()).map(|(example, _)| example.replace('\n', "\n  "));
    let heading = Styles::styled().get_header().to_owned();
    let example = example.map(|text| format!("{heading}Example:{heading:#}\n  {text}"));
    let after = command.get_after_help().map(ToString::to_string);
    let after: Vec<String> = [after, example].into_iter().flatten().collect();
    command.after_help(after.join("\n\n")).mut_subcommands(|sub| {
        let path = format!("{path} {}", sub.get_name());
        below(sub, &path, told)
    })
}
