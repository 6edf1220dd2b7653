//! `caution`: the safety reference by topic, by statement or by question in free text.

use crate::cli::{Context, Error};
use crate::reference::{self, GOVERNS, Jurisdiction};
use crate::report::caution::answer::Answer;
use crate::report::caution::sources::{Sources, StatementShown};
use crate::report::caution::topic::TopicShown;
use crate::report::caution::{TopicLine, TopicList};
use crate::shop::line::LONGEST;

#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A topic, a statement's id, or a question
    #[arg(value_name = "TOPIC OR QUESTION")]
    words: Vec<String>,
    /// Where you work (US, EU, UK, DE, …): its authority is named, and what was made for there comes first
    #[arg(long = "where", value_name = "PLACE")]
    place: Option<Jurisdiction>,
    /// The statements behind it, who says so, and how each was checked
    #[arg(long)]
    sources: bool,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let words = args.words.join(" ");
    let words = words.trim();
    if words.chars().count() > LONGEST {
        let next = "ask it in a sentence or two";
        let message = format!("the question has over {LONGEST} characters");
        return Err(Error::usage(message, next));
    }
    let topic = reference::topic(words);
    if args.sources {
        let asked = || reference::find(words).topic();
        let topics = if words.is_empty() {
            Some(reference::topics().collect())
        } else {
            topic.or_else(asked).map(|topic| vec![topic])
        };
        return match topics {
            Some(topics) => context.screen.show(&Sources::new(topics, args.place)),
            None => context.screen.show(&Answer::new(words, args.place, None)),
        };
    }
    if words.is_empty() {
        let list = TopicList { topics: TopicLine::all(), place: args.place };
        return context.screen.show(&list);
    }
    if let Some((topic, statement)) = reference::statement(words) {
        let shown = StatementShown { topic: &topic.name, statement, governs: GOVERNS };
        return context.screen.show(&shown);
    }
    let setup = context.setup_if_any();
    match topic {
        Some(topic) => context.screen.show(&TopicShown::new(topic, args.place, setup.as_ref())),
        None => context.screen.show(&Answer::new(words, args.place, setup.as_ref())),
    }
}
