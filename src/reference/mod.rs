//! The safety reference: the texts of `reference/`, embedded, read once, and searched; and the finish classes.
//!
//! What lives here: reading the plain files (a fault names file and line), what they say as plain data, the order for a
//! jurisdiction, and finding a topic by free text. What may not: input or output, the time, and any sentence that says of
//! a piece, a room or a heap that it is good enough. Rendering belongs to `report`.
//!
//! Everything a person is shown can be traced: a [`Statement`] carries its id, its source and the line of its file.

mod blocks;
mod fault;
mod find;
pub mod finishes;
mod never;
mod place;
mod spelling;
mod statement;
mod topic;
mod words;

use std::sync::OnceLock;

pub use fault::{Fault, FaultKind};
pub use find::{Found, Hit};
pub use finishes::{FinishClass, Supplied};
pub use never::{NEVER_PRINTED, never_printed};
pub use place::{ByPlace, Jurisdiction, Place, UnknownPlace};
pub use statement::{Agreement, Check, CheckKind, Heard, Met, SecondSource, Statement};
pub use topic::{Tally, Topic};

/// The topic files in the order in which they are listed. A test walks `reference/` and fails on one not named here.
pub const TOPIC_FILES: &[(&str, &str)] = &[
    ("rags.txt", include_str!("../../reference/rags.txt")),
    ("food.txt", include_str!("../../reference/food.txt")),
    ("allergens.txt", include_str!("../../reference/allergens.txt")),
    ("air.txt", include_str!("../../reference/air.txt")),
    ("dust.txt", include_str!("../../reference/dust.txt")),
    ("driers.txt", include_str!("../../reference/driers.txt")),
    ("skin.txt", include_str!("../../reference/skin.txt")),
    ("storage.txt", include_str!("../../reference/storage.txt")),
    ("toys.txt", include_str!("../../reference/toys.txt")),
    ("record.txt", include_str!("../../reference/record.txt")),
];

/// The file of finish classes.
pub const FINISH_FILE: (&str, &str) =
    ("finishes.txt", include_str!("../../reference/finishes.txt"));

/// The file of words that mean the same, ask for a verdict, or carry no weight.
pub const WORD_FILE: (&str, &str) = ("words.txt", include_str!("../../reference/words.txt"));

/// What `reference/` says, read. The index of questions is apart: most commands show a short form and ask nothing.
#[derive(Debug)]
struct Book {
    topics: Vec<Topic>,
    classes: Vec<FinishClass>,
}

/// Reads one topic file; `file` is only the name a fault is reported under.
pub fn read_topic(file: &str, text: &str) -> Result<Topic, Fault> {
    topic::read(file, text)
}

/// Reads the file of finish classes.
pub fn read_classes(file: &str, text: &str) -> Result<Vec<FinishClass>, Fault> {
    finishes::read(file, text)
}

/// Reads every embedded file, and says the first fault found. At run time this cannot fail: a test calls it.
pub fn check() -> Result<(), Fault> {
    let book = read_all()?;
    words::read(WORD_FILE.0, WORD_FILE.1).map(|words| drop(find::Index::new(&book.topics, words)))
}

fn read_all() -> Result<Book, Fault> {
    let topics: Vec<Topic> =
        TOPIC_FILES.iter().map(|(file, text)| read_topic(file, text)).collect::<Result<_, _>>()?;
    topic::check_together(&topics)?;
    let classes = read_classes(FINISH_FILE.0, FINISH_FILE.1)?;
    Ok(Book { topics, classes })
}

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    #[expect(
        clippy::expect_used,
        reason = "the files are constants of the binary, and a test reads every one of them"
    )]
    BOOK.get_or_init(|| read_all().expect("the embedded reference reads"))
}

fn index() -> &'static find::Index {
    static INDEX: OnceLock<find::Index> = OnceLock::new();
    #[expect(
        clippy::expect_used,
        reason = "the file of words is a constant of the binary, and a test reads it"
    )]
    INDEX.get_or_init(|| {
        let words = words::read(WORD_FILE.0, WORD_FILE.1).expect("the embedded words read");
        find::Index::new(topics(), words)
    })
}

/// All topics, in the order of the reference.
pub fn topics() -> &'static [Topic] {
    &book().topics
}

/// The topic of that name, or that also answers to it ("rags", "oily rags"); case does not matter.
pub fn topic(name: &str) -> Option<&'static Topic> {
    let wanted = name.trim().to_lowercase();
    topics().iter().find(|topic| topic.name == wanted || topic.also.contains(&wanted))
}

/// The short form of a topic, at most three lines of at most 76 columns; empty for a name that is no topic.
pub fn short(name: &str) -> &'static [String] {
    topic(name).map_or(&[], |topic| topic.short.as_slice())
}

/// The statement of that id ("R14"), with its topic.
pub fn statement(id: &str) -> Option<(&'static Topic, &'static Statement)> {
    topics().iter().find_map(|topic| {
        topic.statements.iter().find(|s| s.id.eq_ignore_ascii_case(id)).map(|s| (topic, s))
    })
}

/// Finds topics and statements for a question in free text, best first.
pub fn find(text: &str) -> Found {
    index().find(topics(), text)
}

/// The topic that says why no verdict is given, and who gives it; `None` where none was asked for.
///
/// A bare "is it safe" finds no topic; then the one on what a finish record states answers, which speaks of any piece.
pub fn no_verdict(found: &Found) -> Option<&'static Topic> {
    let first = found.hits.first().map(|hit| hit.topic);
    found.verdict_asked.then(|| first.or_else(|| topic("record"))).flatten()
}

/// The statements on wood dust that name a wood ("European beech" is beech), for the caution before sanding it. None found
/// says nothing of the wood: the reference names few.
pub fn dust_of(wood: &str) -> Vec<&'static Statement> {
    let kind = spelling::split(wood).into_iter().rfind(|word| word != "wood");
    let Some(kind) = kind.map(|word| spelling::stem(&word)) else {
        return Vec::new();
    };
    let names = |text: &str| spelling::split(text).iter().any(|word| spelling::stem(word) == kind);
    let statements = topic("dust").map_or(&[][..], |dust| dust.statements.as_slice());
    statements.iter().filter(|statement| names(&statement.says)).collect()
}

/// The finish class a setup's `kind` names, by its name or another it goes by; `None` where the reference has none.
pub fn class(kind: &str) -> Option<&'static FinishClass> {
    let wanted = kind.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    classes().iter().find(|class| class.kind == wanted || class.also.contains(&wanted))
}

/// All finish classes, in the order of their file.
pub fn classes() -> &'static [FinishClass] {
    &book().classes
}

/// The topics that hold nothing made for that jurisdiction itself.
pub fn nothing_on(jurisdiction: Jurisdiction) -> Vec<&'static Topic> {
    topics().iter().filter(|topic| topic.for_jurisdiction(jurisdiction).here.is_empty()).collect()
}
