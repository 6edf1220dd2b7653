//! The list of other words of the language is what two word lists make of the words of the reference.

use std::collections::BTreeSet;

use tackfree::reference::{OTHER_WORDS, bent, stem};

const LISTS: [&str; 2] = ["/usr/share/dict/british-english", "/usr/share/dict/american-english"];

/// `SNAPSHOTS=overwrite` writes it anew, after a word came into the reference.
#[test]
fn no_word_of_the_language_is_missing_from_it() {
    if !crate::harness::here(&LISTS) {
        return;
    }
    let words = LISTS.map(|list| std::fs::read_to_string(list).unwrap());
    let plain = |word: &&str| word.len() >= 3 && word.chars().all(|c| c.is_ascii_lowercase());
    let stems: BTreeSet<String> = words
        .iter()
        .flat_map(|list| list.lines())
        .filter(plain)
        .filter(|word| bent(word).is_some())
        .map(stem)
        .collect();
    let head = OTHER_WORDS.1.lines().take_while(|line| line.starts_with('#')).map(str::to_owned);
    let made: String = head.chain(stems).map(|line| line + "\n").collect();
    if std::env::var_os("SNAPSHOTS").is_some_and(|how| how == "overwrite") {
        let file = format!("{}/reference/{}", env!("CARGO_MANIFEST_DIR"), OTHER_WORDS.0);
        std::fs::write(file, made).unwrap();
    } else {
        assert!(
            made == OTHER_WORDS.1,
            "reference/other_words.txt is out of date: SNAPSHOTS=overwrite"
        );
    }
}
