//! Phrases that nobody is to read: each with a sentence that had it, and with what is said instead. Every run of every
//! test is held against them.

use std::sync::LazyLock;

use fancy_regex::Regex;

/// A phrase as a pattern, a text that has it, and what is said instead.
pub(crate) type Phrase = (&'static str, &'static str, &'static str);

/// Words that read as translated, or that two readers understand in two ways.
pub(crate) const WORDS: &[Phrase] = &[
    (r"\braise with water", "raise with water", "raise the grain"),
    (r"(?<!down with )(?<!, )\brub P\d", "rub P400", "rub down with P400"),
    (r"(?<!heat )\bwaves?\b(?! ovens?)", "2 waves of 20 pieces", "2 groups of 20 pieces"),
    (r"\bcarr(?:y|ies|ied)(?: \S+)? off\b", "carry cups-1 off", "move cups-1 off"),
    (r"\bto carry off\b", "lots to carry off", "lots to move off"),
    (
        r"no plan with these lots",
        "no plan with these lots is ready sooner",
        "nothing gets it ready sooner",
    ),
    (r"\bhas fewer\b", "no plan has fewer", "can't be bettered"),
    (r"\bpiece-days?\b", "130 piece-days late", "26 spoons 5 days late"),
    (r"\bwaits? most for\b", "waits most for: hands", "held up by hands"),
    (r"\d:\d\d +at once\b", "20:01-20:21 at once", "20:01-20:21 no slack"),
    (r"\d:\d\d-\d\d:\d\d,? by \d", "19:17-19:39 by 19:09", "19:17-19:39, start by 19:09"),
    (r"\bwindow(?: is| has|'s)? shuts?\b", "the window shuts", "the window closes"),
    (
        r"\bshuts? the (?:recoat )?window\b",
        "warmth shuts the recoat window",
        "warmth closes the recoat window",
    ),
    (
        r"a choice while there are",
        "a choice while there are few records",
        "our guess until you have more history",
    ),
    (r"\bin half(?:,| by)", "in half by Fri", "even odds"),
    (r"\bfour of five\b", "four of five by Fri", "likely (4 in 5)"),
    (r"\bnineteen of twenty\b", "in nineteen of twenty by Fri", "almost sure (19 in 20)"),
    (r"\btaken beforehand\b", "taken beforehand: 5 % scrap", "assumes 1 in 20 is scrapped"),
    (r"\bBeta\(", "Beta(1, 19)", "until you have more history"),
    (
        r"\ban hour counts \d",
        "an hour counts 0.31 h",
        "cures at about a third of the label's speed",
    ),
    (r"\b(?:can|may|it|that|oils?) self-heats?\b", "can self-heat", "can catch fire by itself"),
    (r"\b[a-z]+-\d+ (?:is|are) over\b", "cups-1 is over", "cups-1 is finished"),
    (
        r"\bmend (?:them|it|this|these|that|the)\b",
        "mend them and try again",
        "fix these and run it again",
    ),
    (r"\b(?:it )?lies \d", "it lies 5 h 13 m ahead", "that's 5 h 13 m from now"),
    (r"\b(?:waits?|waiting) for hands\b", "Nothing waits for hands", "Nothing to do"),
    (r"\btake an order on\b", "Take an order on", "Add an order"),
    (r"\bfor want of\b", "for want of readings", "with no readings"),
    (
        r"(?<!there )\bis no (?!longer|later|sooner|more|earlier|less|better|wider|such)",
        "\"9\" is no time of day",
        "\"9\" isn't a time",
    ),
    (
        r"\bwhat is (?:promised|said|told|meant) already\b",
        "what is promised already",
        "earlier promises",
    ),
    (r"\bsure it shall be\b", "how sure it shall be", "how sure to be"),
    (r"\bpassed over\b", "2 lines passed over", "2 lines skipped"),
];

/// Verdicts that only the maker, the law or a doctor can give. `caution` may quote them, to say why nobody should.
pub(crate) const VERDICTS: &[Phrase] = &[
    (r"\bfood[- ]?safe\b", "the bowl is food safe", "no verdict"),
    (r"\bnon[- ]?toxic\b", "a non-toxic oil", "no verdict"),
    (r"\b(?:allergen|nut)[- ]free\b", "the oil is allergen-free", "no verdict"),
    (r"\bsafe to [a-z]+", "safe to bin", "no verdict"),
    (r"\bfull(?:y)?[- ]cured\b", "it is fully cured", "the sheet's cure time is reached"),
    (r"\b(?:child|kid|baby|toy)[- ]?safe\b", "it is child safe", "no verdict"),
    (r"\bharmless\b", "a harmless oil", "no verdict"),
    (r"\b(?:perfectly|quite|completely|totally) safe\b", "perfectly safe", "no verdict"),
    (
        r"(?:^|[.:;!?] )(?:(?!\b(?:never|nobody|nothing|not|no|whether|if)\b)[^.:;!?])*\b(?:is|are) safe\b",
        "the rags are safe",
        "no verdict",
    ),
];

static PATTERNS: LazyLock<Vec<(Regex, &'static Phrase)>> = LazyLock::new(|| {
    let phrases = WORDS.iter().chain(VERDICTS);
    let compiled =
        phrases.map(|phrase| (Regex::new(&format!("(?i){}", phrase.0)).unwrap(), phrase));
    compiled.collect()
});

/// Every forbidden phrase in a text, with what stands around it and what to say instead. Lines are joined first: a
/// phrase may be wrapped.
pub(crate) fn found_in(text: &str) -> Vec<String> {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut found = Vec::new();
    for (pattern, (_, _, instead)) in PATTERNS.iter() {
        for hit in pattern.find_iter(&text).map(Result::unwrap) {
            let from = text[..hit.start()].char_indices().rev().nth(50).map_or(0, |(at, _)| at);
            let to = text[hit.end()..]
                .char_indices()
                .nth(30)
                .map_or(text.len(), |(at, _)| hit.end() + at);
            found.push(format!("{:?} in {:?}: say {instead:?}", hit.as_str(), &text[from..to]));
        }
    }
    found
}

/// An answer in JSON without the names of steps, which stay as the ledger has them.
pub(crate) fn without_names(json: &str) -> String {
    static NAME: LazyLock<Regex> =
        LazyLock::new(|| Regex::new(r#"\\?"name\\?":\s*\\?"[^"\\]*\\?""#).unwrap());
    NAME.replace_all(json, "").into_owned()
}

/// A text without its quoted passages.
pub(crate) fn unquoted(text: &str) -> String {
    text.split('"').step_by(2).collect::<Vec<_>>().join("…")
}

#[test]
fn each_pattern_finds_its_phrase_and_not_what_is_said_instead() {
    for (_, was, instead) in WORDS.iter().chain(VERDICTS) {
        assert!(!found_in(was).is_empty(), "{was} is not found");
        assert_eq!(found_in(instead), Vec::<String>::new());
        assert_eq!(found_in(&was.replacen(' ', "\n    ", 1)).len(), found_in(was).len());
    }
    assert_eq!(
        found_in("It never says that a rag is safe, and rags lie in a heat wave."),
        Vec::<String>::new()
    );
}
