//! From text to stems: clauses, words, small words left out, slips mended.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::ops::Range;

use rust_stemmers::{Algorithm, Stemmer};
use unicode_segmentation::UnicodeSegmentation;

/// Words that carry nothing for a match.
const SMALL: &[&str] = &[
    "a", "an", "the", "my", "your", "our", "its", "it", "is", "was", "are", "were", "am", "be", "been", "this", "that",
    "these", "those", "i", "we", "you", "he", "she", "they", "of", "to", "and", "or", "very", "really", "quite",
    "just", "so", "some", "has", "have", "had", "me", "there", "also", "got", "get", "gets",
];

/// Words with which a question begins.
const ASKING: &[&str] = &["what's", "whats", "how", "why", "who", "where's", "wheres"];

/// A word of a text, as it is matched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// Its stem.
    pub stem: String,
    /// Where it stands in the text.
    pub span: Range<usize>,
}

/// Turns words into stems.
pub struct Reader {
    stemmer: Stemmer,
    /// Riders use few words again and again.
    seen: RefCell<HashMap<String, String>>,
}

impl Default for Reader {
    fn default() -> Self {
        Self { stemmer: Stemmer::create(Algorithm::English), seen: RefCell::default() }
    }
}

impl Reader {
    /// Splits a text into clauses of tokens. A clause ends where a negation ends.
    pub fn clauses(&self, text: &str) -> Vec<Vec<Token>> {
        let mut clauses = Vec::new();
        let mut clause = Vec::new();
        let mut last = 0;
        // What is asked says nothing of the bike: "what's a cleat?" has none on it.
        let mut asks = false;
        for (at, word) in text.unicode_word_indices() {
            let between = text.get(last..at).unwrap_or_default();
            if asks && between.contains(['.', '!', '?', '\n']) {
                clause.clear();
                asks = false;
            }
            if between.contains(['.', '!', '?', ';', ':', '\n', ',']) && !clause.is_empty() {
                clauses.push(std::mem::take(&mut clause));
            }
            last = at + word.len();
            let lower = word.to_lowercase().replace('\u{2019}', "'");
            if clause.is_empty() && ASKING.contains(&lower.as_str()) {
                asks = true;
            }
            // "As though" likens; "though" alone turns.
            let likened = lower == "though" && clause.last().is_some_and(|t: &Token| t.stem == "as");
            if !likened && matches!(lower.as_str(), "but" | "however" | "although" | "though") {
                if !clause.is_empty() {
                    clauses.push(std::mem::take(&mut clause));
                }
                continue;
            }
            for piece in opened(&lower) {
                if !SMALL.contains(&piece) {
                    clause.push(Token { stem: self.stem(piece), span: at..last });
                }
            }
        }
        if !clause.is_empty() && !asks {
            clauses.push(clause);
        }
        clauses
    }

    /// Every stem met so far.
    pub fn stems_met(&self) -> BTreeSet<String> {
        self.seen.borrow().values().cloned().collect()
    }

    /// Stems of a wording, small words left out.
    pub fn stems(&self, wording: &str) -> Vec<String> {
        if wording.chars().all(|c| c.is_ascii_lowercase() || c == ' ') {
            // Nearly all wordings: nothing to fold and nowhere to split.
            let pieces = wording.split(' ').flat_map(opened).filter(|p| !p.is_empty() && !SMALL.contains(p));
            return pieces.map(|p| self.stem(p)).collect();
        }
        self.clauses(wording).into_iter().flatten().map(|t| t.stem).collect()
    }

    fn stem(&self, word: &str) -> String {
        // The commonest slip of all sounds the same.
        let word = match word {
            "break" | "breaks" => "brake",
            "breaking" => "braking",
            "tire" => "tyre",
            "tires" => "tyres",
            other => other.trim_end_matches("'s"),
        };
        if let Some(stem) = self.seen.borrow().get(word) {
            return stem.clone();
        }
        let stem = self.stemmer.stem(word).into_owned();
        self.seen.borrow_mut().insert(word.to_owned(), stem.clone());
        stem
    }
}

/// Opens contractions: `won't` is `will not`.
fn opened(word: &str) -> Vec<&str> {
    match word {
        "won't" | "wont" => vec!["will", "not"],
        "can't" | "cant" | "cannot" => vec!["can", "not"],
        "doesnt" => vec!["does", "not"],
        "dont" => vec!["do", "not"],
        "didnt" => vec!["did", "not"],
        "isnt" => vec!["is", "not"],
        _ => match word.strip_suffix("n't") {
            Some(verb) => vec![verb, "not"],
            None => vec![word],
        },
    }
}

/// Mends a slip: the known stem one letter away (two in long words), same first letter.
pub fn mended<'a>(stem: &str, known: &'a BTreeSet<String>) -> Option<&'a str> {
    let length = stem.chars().count();
    if !(5..=24).contains(&length) || known.contains(stem) {
        return None;
    }
    let allowed = if length >= 8 { 2 } else { 1 };
    let first: String = stem.chars().take(1).collect();
    known
        .range(first.clone()..)
        .take_while(|k| k.starts_with(&first))
        .filter(|k| k.chars().count().abs_diff(length) <= allowed && k.chars().count() >= 4)
        .map(|k| (strsim::damerau_levenshtein(stem, k), k))
        .filter(|(distance, _)| *distance <= allowed)
        .min()
        .map(|(_, k)| k.as_str())
}
