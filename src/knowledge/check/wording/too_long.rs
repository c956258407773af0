//! What is too long is not read to its end.

use super::{Text, Use, note};
use crate::knowledge::Knowledge;
use crate::snag::Snag;

/// Letters at most. Judgement: three lines of a terminal for a question, half a line less for a
/// sentence, little more than one for what stands in a list.
fn most(role: Use) -> Option<usize> {
    match role {
        Use::Ask => Some(240),
        Use::Plain => Some(200),
        Use::Name => Some(100),
        Use::Act | Use::Thing => None,
    }
}

pub(super) fn check(k: &Knowledge, texts: &[Text<'_>], notes: &mut Vec<Snag>) {
    for text in texts {
        let letters = text.words.chars().count();
        let Some(most) = most(text.role).filter(|most| letters > *most) else { continue };
        let what = match text.role {
            Use::Ask => "a question",
            Use::Plain => "a plain sentence",
            _ => "a name",
        };
        let headline = format!("`{}` has {what} of {letters} letters", text.at.value);
        let mend = format!("say it in {most} letters: one act and one thing to look for");
        notes.push(note(k, text, text.words, "too-long", headline, mend));
    }
}
