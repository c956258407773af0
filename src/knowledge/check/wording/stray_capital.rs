//! A capital inside a sentence is a name: brands do not belong here, standards stand under `Gloss`.

use std::collections::BTreeSet;

use super::{Text, note, words_of};
use crate::knowledge::Knowledge;
use crate::snag::Snag;

pub(super) fn check(k: &Knowledge, texts: &[Text<'_>], notes: &mut Vec<Snag>) {
    let known: BTreeSet<&str> = k.glosses.iter().flat_map(|g| &g.of).map(String::as_str).collect();
    for text in texts {
        let stray =
            words_of(text.words).find(|(at, word)| is_name(word) && !begins(text.words, *at) && !known.contains(word));
        let Some((_, word)) = stray else { continue };
        let headline = format!("`{}` names `{word}`", text.at.value);
        let mend = "say what kind of thing it is; if it is a standard or a unit, add it to a `Gloss`";
        notes.push(note(k, text, word, "stray-capital", headline, mend.to_owned()));
    }
}

/// A capital, unless it is a single letter, with digits or not: `I`, `B`, `T25`, `M5`; or a unit.
fn is_name(word: &str) -> bool {
    const UNITS: &[&str] = &["Nm", "Wh", "Ah"];
    let letters = word.chars().filter(|c| c.is_alphabetic()).count();
    word.chars().any(char::is_uppercase) && letters > 1 && !word.starts_with("I'") && !UNITS.contains(&word)
}

/// True where a sentence begins.
fn begins(text: &str, at: usize) -> bool {
    let before = text.get(..at).unwrap_or_default().trim_end();
    before.is_empty() || before.ends_with(['.', '?', '!', ':', '(', '"', '\''])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_begin_with_capitals() {
        assert!(begins("Stop. Look", 6) && begins("Stop", 0) && !begins("Stop at Otters", 8));
        assert!(is_name("DOT") && !is_name("T25") && !is_name("I") && !is_name("brake"));
    }
}
