//! Wordings that do not do what their author meant: found by hearing each of them.

use super::lexicon::{Lexicon, Match};
use crate::graph::{Meaning, Phrase};
use crate::knowledge::Knowledge;

/// A wording that is not heard, or is heard two ways.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// The phrase it stands in.
    pub phrase: String,
    /// The wording.
    pub say: String,
    /// The phrase that is heard instead, or that contradicts it.
    pub other: Option<String>,
    /// True if both are heard and cannot both be meant.
    pub contradicts: bool,
}

/// Hears every wording of the knowledge alone and says where that fails.
pub fn flaws(lexicon: &Lexicon<'_>, knowledge: &Knowledge) -> Vec<Flaw> {
    let mut flaws = Vec::new();
    for (phrase, entry) in lexicon.graph.phrases.iter().zip(&knowledge.phrases) {
        for say in entry.say.iter().map(|say| knowledge.written_out(say)) {
            // Of words that fit one place the first that counts stands for all.
            let counts = |w: &&str| !lexicon.reader.stems.counting(w).is_empty();
            let first = |w| if str::contains(w, '|') { str::split(w, '|').find(counts).unwrap_or("") } else { w };
            let plain: Vec<&str> = say.split(' ').map(first).collect();
            let clauses = lexicon.reader.clauses(&plain.join(" "));
            let matches: Vec<Match<'_>> = clauses.iter().flat_map(|c| lexicon.matches(c, &[])).collect();
            let own = matches.iter().find(|m| std::ptr::eq(m.phrase, phrase));
            let other = match own {
                None => Some((matches.first(), false)),
                Some(own) => {
                    let same = matches.iter().filter(|m| m.words == own.words && !std::ptr::eq(m.phrase, phrase));
                    same.into_iter().find(|m| contradict(phrase, m.phrase)).map(|m| (Some(m), true))
                }
            };
            if let Some((other, contradicts)) = other {
                let other = other.map(|m| m.phrase.id.clone());
                flaws.push(Flaw { phrase: phrase.id.clone(), say, other, contradicts });
            }
        }
    }
    flaws
}

/// True if two phrases cannot both be meant: one means nothing, or both name one facet's value.
fn contradict(a: &Phrase, b: &Phrase) -> bool {
    let apart = |x: &Meaning, y: &Meaning| match (x, y) {
        (Meaning::Value(c, f, v), Meaning::Value(d, g, w)) => c == d && f == g && v != w,
        _ => false,
    };
    let denied = |a: &Phrase, b: &Phrase| a.denies.iter().any(|x| b.means.contains(x));
    a.is_guard() != b.is_guard()
        || a.means.iter().any(|x| b.means.iter().any(|y| apart(x, y)) && !b.means.contains(x))
        || denied(a, b)
        || denied(b, a)
}
