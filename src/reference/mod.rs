//! The safety reference: the texts of `reference/`, embedded, read once, and asked; and the finish classes.
//!
//! What lives here: what the files say as plain data, whose word counts where, and what answers a question. What may not:
//! input or output, the time, and any sentence that says of a piece, a room or a heap that it is good enough. Rendering
//! belongs to `report`.

mod ask;
pub mod finishes;
mod place;
mod spelling;
mod topic;
mod words;

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::de::DeserializeOwned;

pub(crate) use ask::{Found, Hit};
pub(crate) use finishes::FinishClass;
pub use place::{Jurisdiction, Place, UnknownPlace};
pub use spelling::stem;
pub use topic::{Answer, Heard, Met, Statement, Tally, Topic};

/// The topic files in the order in which they are listed. A test walks `reference/` and fails on one not named here.
pub const TOPIC_FILES: &[(&str, &str)] = &[
    ("rags.toml", include_str!("../../reference/rags.toml")),
    ("first-aid.toml", include_str!("../../reference/first-aid.toml")),
    ("food.toml", include_str!("../../reference/food.toml")),
    ("allergens.toml", include_str!("../../reference/allergens.toml")),
    ("air.toml", include_str!("../../reference/air.toml")),
    ("dust.toml", include_str!("../../reference/dust.toml")),
    ("driers.toml", include_str!("../../reference/driers.toml")),
    ("skin.toml", include_str!("../../reference/skin.toml")),
    ("storage.toml", include_str!("../../reference/storage.toml")),
    ("toys.toml", include_str!("../../reference/toys.toml")),
    ("record.toml", include_str!("../../reference/record.toml")),
];

/// The file of finish classes.
pub const FINISH_FILE: (&str, &str) =
    ("finishes.toml", include_str!("../../reference/finishes.toml"));

/// The file of words that mean the same or carry no weight.
pub const WORD_FILE: (&str, &str) = ("words.toml", include_str!("../../reference/words.toml"));

/// Stems of other words of the language that are one letter away from a word of the reference.
pub const OTHER_WORDS: (&str, &str) =
    ("other_words.txt", include_str!("../../reference/other_words.txt"));

/// Whose word counts where.
pub const PLACE_FILE: (&str, &str) = ("places.toml", include_str!("../../reference/places.toml"));

/// What governs above every page of the reference.
pub const GOVERNS: &str = "Local rules, the authority having jurisdiction, licensed practice and the maker's data sheet govern. \
    Where they say otherwise, they are right and this page is not.";

/// The topics, each read once somebody asks for it: most commands show one short form and ask nothing.
static TOPICS: [OnceLock<Topic>; TOPIC_FILES.len()] =
    [const { OnceLock::new() }; TOPIC_FILES.len()];

#[expect(
    clippy::expect_used,
    reason = "the files are constants of the binary, and a test reads every one of them"
)]
fn read<T: DeserializeOwned>((file, text): (&str, &str)) -> T {
    toml::from_str(text)
        .map_err(|fault| format!("{file}: {fault}"))
        .expect("an embedded file reads")
}

fn index() -> &'static ask::Index {
    static WORDS: OnceLock<words::WordFile> = OnceLock::new();
    static INDEX: OnceLock<ask::Index> = OnceLock::new();
    let words = || WORDS.get_or_init(|| read(WORD_FILE));
    INDEX.get_or_init(|| ask::Index::new(topics(), words(), OTHER_WORDS.1))
}

/// All topics, in the order of the reference.
pub fn topics() -> impl ExactSizeIterator<Item = &'static Topic> + Clone {
    TOPICS.iter().zip(TOPIC_FILES).map(read_once)
}

fn read_once((topic, file): (&'static OnceLock<Topic>, &(&str, &str))) -> &'static Topic {
    topic.get_or_init(|| read(*file))
}

/// The topic of that name, or that also answers to it ("rags", "oily rags"); case does not matter.
pub(crate) fn topic(name: &str) -> Option<&'static Topic> {
    let wanted = name.trim().to_lowercase();
    let named = TOPICS.iter().zip(TOPIC_FILES);
    let named = named.filter(|(_, (file, _))| file.strip_suffix(".toml") == Some(&wanted));
    named.map(read_once).chain(topics().filter(|topic| topic.also.contains(&wanted))).next()
}

/// The short form of a topic, at most three lines of at most 76 columns; empty for a name that isn't a topic.
pub fn short(name: &str) -> &'static [String] {
    topic(name).map_or(&[], |topic| topic.short.as_slice())
}

/// The statement of that id ("R14"), with its topic.
pub fn statement(id: &str) -> Option<(&'static Topic, &'static Statement)> {
    topics().find_map(|topic| {
        topic.statements.iter().find(|s| s.id.eq_ignore_ascii_case(id)).map(|s| (topic, s))
    })
}

/// What answers a question in free text.
pub fn find(text: &str) -> Found {
    index().find(text)
}

/// Whether what is said to have become of oily rags names a bin, a heap, a bag, a pocket or a stove, and neither water nor
/// open air nor who took them.
pub(crate) fn leaves_rags_to_burn(how: &str) -> bool {
    let holds = |head: &str| index().holds(how, head);
    ["bin", "box", "heap", "stove", "burnup"].into_iter().any(holds) && !holds("remedy")
}

/// The word of the reference that one letter makes of this one, were it none of the language's own ([`OTHER_WORDS`]).
pub fn bent(word: &str) -> Option<String> {
    index().bent(word)
}

/// Whose word counts on a subject in a place: "your council"; for a member of the EU its own or the EU's.
pub fn authority(subject: &str, place: Jurisdiction) -> Option<&'static str> {
    static AUTHORITIES: OnceLock<BTreeMap<Jurisdiction, BTreeMap<String, String>>> =
        OnceLock::new();
    place.of(AUTHORITIES.get_or_init(|| read(PLACE_FILE)))?.get(subject).map(String::as_str)
}

/// The statements on wood dust that name a wood ("European beech" is beech), for the caution before sanding it. None found
/// says nothing of the wood: the reference names few.
pub fn dust_of(wood: &str) -> Vec<&'static Statement> {
    let kind = spelling::split(wood).into_iter().rfind(|word| word != "wood");
    let Some(kind) = kind.map(|word| stem(&word)) else {
        return Vec::new();
    };
    let names = |text: &str| spelling::split(text).iter().any(|word| stem(word) == kind);
    let statements = topic("dust").map_or(&[][..], |dust| dust.statements.as_slice());
    statements.iter().filter(|statement| names(&statement.says)).collect()
}

/// The finish classes a setup's `kind` may mean: the one that bears the name, else all of which a name has every word of it.
pub fn classes_called(kind: &str) -> Vec<&'static FinishClass> {
    let words_of = |name: &str| -> Vec<String> {
        name.to_lowercase().replace('-', " ").split_whitespace().map(str::to_owned).collect()
    };
    let wanted = words_of(kind);
    let of = |fits: &dyn Fn(Vec<String>) -> bool| -> Vec<&'static FinishClass> {
        classes().iter().filter(|class| class.names().any(|name| fits(words_of(name)))).collect()
    };
    let own = of(&|name| name == wanted);
    if !own.is_empty() || wanted.is_empty() {
        return own;
    }
    of(&|name| wanted.iter().all(|word| name.contains(word)))
}

/// The one finish class a setup's `kind` means; `None` where the reference has none, or several.
pub fn class(kind: &str) -> Option<&'static FinishClass> {
    // Ledgers of the first days have the short name, which tins use for another class too.
    let kind = if kind == "hard wax" { "hard wax without oil" } else { kind };
    match *classes_called(kind) {
        [class] => Some(class),
        _ => None,
    }
}

/// All finish classes, in the order of their file.
pub fn classes() -> &'static [FinishClass] {
    static CLASSES: OnceLock<Vec<FinishClass>> = OnceLock::new();
    CLASSES.get_or_init(|| read::<finishes::ClassFile>(FINISH_FILE).class)
}
