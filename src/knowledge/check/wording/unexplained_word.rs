//! A hard word that the rider has to understand stands beside its plain one.

use super::{Text, Use, note};
use crate::knowledge::Knowledge;
use crate::knowledge::format::Gloss;
use crate::snag::Snag;

pub(super) fn check(k: &Knowledge, texts: &[Text<'_>], notes: &mut Vec<Snag>) {
    for text in texts.iter().filter(|t| t.rider && matches!(t.role, Use::Ask | Use::Plain)) {
        for gloss in k.glosses.iter().filter(|g| !g.common) {
            let Some(word) = gloss.of.iter().find_map(|w| stands(text.words, w)) else { continue };
            if !explained(text.words, word, gloss) {
                let headline = format!("`{}` says `{word}` to the rider and not what it is", text.at.value);
                let mend = format!("write \"{}\" beside it, or instead", gloss.plain);
                notes.push(note(k, text, word, "unexplained-word", headline, mend));
            }
        }
    }
}

/// The words as they stand in a text, whole.
fn stands<'t>(text: &'t str, words: &str) -> Option<&'t str> {
    let lower = text.to_ascii_lowercase();
    let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
    let (at, _) = lower.match_indices(&words.to_ascii_lowercase()).find(|(at, found)| {
        let before = lower.get(..*at).and_then(|b| b.chars().next_back());
        let after = lower.get(at + found.len()..).and_then(|a| a.chars().next());
        edge(before) && edge(after)
    })?;
    text.get(at..at + words.len())
}

/// True if a bracket explains the word or the word explains what stands before it in a bracket,
/// or if the text says it in one of the plain ways.
fn explained(text: &str, word: &str, gloss: &Gloss) -> bool {
    let Some((before, after)) = text.split_once(word) else { return true };
    let in_brackets = before.rfind('(') > before.rfind(')') && before.contains('(');
    in_brackets || after.starts_with(" (") || gloss.beside.iter().any(|plain| stands(text, plain).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_stand_whole() {
        assert_eq!(stands("Two Pawls tick", "pawls"), Some("Pawls"));
        assert_eq!(stands("the sprawls", "pawls"), None);
    }
}
