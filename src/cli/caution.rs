//! `caution`: the safety reference by topic, by statement or by question in free text.

use crate::cli::context::Context;
use crate::cli::error::Error;
use crate::reference::{self, Jurisdiction};
use crate::report::caution::TopicList;
use crate::report::caution::answer::Answer;
use crate::report::caution::sources::Sources;
use crate::report::caution::topic::{StatementShown, TopicShown};

/// `caution`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// A topic, a statement's id, or a question
    #[arg(value_name = "TOPIC OR QUESTION")]
    words: Vec<String>,
    /// Where you work (US, EU, UK, DE, …): what was made for there comes first, and what is lacking is said
    #[arg(long = "where", value_name = "PLACE")]
    place: Option<Jurisdiction>,
    /// The sources, each with how it was checked
    #[arg(long)]
    sources: bool,
}

pub(crate) fn run(args: &Args, context: &mut Context<'_>) -> Result<(), Error> {
    let words = args.words.join(" ");
    let words = words.trim();
    if args.sources {
        return sources(words, args.place, context);
    }
    if words.is_empty() {
        return Ok(context.screen.show(&TopicList::new(args.place))?);
    }
    if let Some((topic, statement)) = reference::statement(words) {
        return Ok(context.screen.show(&StatementShown::new(topic, statement))?);
    }
    let setup = context.setup_if_any();
    match reference::topic(words) {
        Some(topic) => {
            Ok(context.screen.show(&TopicShown::new(topic, args.place, setup.as_ref()))?)
        }
        None => Ok(context.screen.show(&Answer::new(words, args.place, setup.as_ref()))?),
    }
}

/// The sources of the topic named, or of the one a question finds first; of all without words.
fn sources(
    words: &str,
    place: Option<Jurisdiction>,
    context: &mut Context<'_>,
) -> Result<(), Error> {
    let topics = if words.is_empty() {
        reference::topics()
    } else {
        let named = reference::topic(words)
            .or_else(|| reference::find(words).hits.first().map(|hit| hit.topic));
        let Some(topic) = named else {
            return Ok(context.screen.show(&Answer::new(words, place, None))?);
        };
        std::slice::from_ref(topic)
    };
    Ok(context.screen.show(&Sources::new(topics, place))?)
}
