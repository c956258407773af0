//! Two things in one question: a yes answers neither.

use super::{Text, Use, note};
use crate::knowledge::Knowledge;
use crate::snag::Snag;

const OPEN: &[&str] = &["how", "what", "where", "when", "which", "who", "why"];
const CLOSED: &[&str] = &["is", "are", "does", "do", "did", "was", "were", "has", "have", "can"];

pub(super) fn check(k: &Knowledge, texts: &[Text<'_>], notes: &mut Vec<Snag>) {
    for text in texts.iter().filter(|t| t.role == Use::Ask) {
        let second = second_mark(text.words).or_else(|| joined(text.words));
        let Some(second) = second else { continue };
        let headline = format!("`{}` asks two things at once", text.at.value);
        let mend = "ask the one that tells more; make the other its condition (`If ...`) or a question of its own";
        notes.push(note(k, text, second, "two-questions", headline, mend.to_owned()));
    }
}

/// What follows the first question mark, if that asks again.
fn second_mark(words: &str) -> Option<&str> {
    let (_, rest) = words.split_once('?')?;
    rest.contains('?').then_some(rest.trim())
}

/// An open question with a closed one hung on: `How does it move, and does a cable go there?`
fn joined(words: &str) -> Option<&str> {
    let sentence = words.split(['.', ':', ';']).find(|s| s.ends_with('?'))?;
    let first = sentence.split_whitespace().next()?.to_lowercase();
    let (_, second) = sentence.split_once(", and ")?;
    let next = second.split_whitespace().next()?;
    (OPEN.contains(&first.as_str()) && (CLOSED.contains(&next) || OPEN.contains(&next))).then_some(second)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_either_or_is_one_question() {
        assert_eq!(joined("Turn it. How does it move, and does a cable go there?"), Some("does a cable go there?"));
        assert_eq!(joined("Is it loose, and does it rattle?"), None, "both together are one finding");
        assert_eq!(second_mark("Is it there? (Look behind it.)"), None);
        assert_eq!(second_mark("Is it there? Does it move?"), Some("Does it move?"));
    }
}
