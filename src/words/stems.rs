//! From text to stems: words folded, contractions opened, words read alike made one.
//!
//! Which words are read alike, and which carry nothing, is told by whoever makes
//! the [`Stems`]; here is only the folding.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::hash::Hash;
use std::ops::Range;

use rust_stemmers::{Algorithm, Stemmer};
use unicode_segmentation::UnicodeSegmentation;

/// Most words whose stems are kept ready.
const KEPT: usize = 20_000;

/// Words that the stemmer takes for forms of another.
const OWN: &[&str] = &[
    "tired",
    "figured",
    "generation",
    "generations",
    "hardly",
    "quite",
    "training",
    "wooden",
    "evening",
    "morning",
    "lately",
    "shortly",
    "nearly",
];

/// A word of a text, as it is matched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// Its stem.
    pub stem: String,
    /// Where it stands in the text.
    pub span: Range<usize>,
}

/// By first stem: the stems of a wording and what they are read as, longest first.
pub(super) type Alike<Stem> = HashMap<Stem, Vec<(Vec<Stem>, Vec<Stem>)>>;

/// Turns words into stems.
pub struct Stems {
    stemmer: Stemmer,
    /// People use few words again and again.
    seen: RefCell<HashMap<String, String>>,
    pub(super) alike: Alike<String>,
    small: BTreeSet<String>,
    small_words: BTreeSet<String>,
}

impl Stems {
    /// Prepares reading: wordings with what they are read as, and words that carry nothing.
    pub fn new<'a>(
        alike: impl IntoIterator<Item = (&'a str, &'a [String])>,
        small: impl IntoIterator<Item = &'a String>,
    ) -> Self {
        let mut stems = Self {
            stemmer: Stemmer::create(Algorithm::English),
            seen: RefCell::default(),
            alike: HashMap::new(),
            small: BTreeSet::new(),
            small_words: BTreeSet::new(),
        };
        stems.small_words = small.into_iter().flat_map(|say| say.split(' ')).map(str::to_owned).collect();
        stems.small = stems.small_words.iter().map(|word| stems.stem(word)).collect();
        stems.seen.borrow_mut().clear();
        let mut table = Alike::new();
        for (id, says) in alike {
            let own = stems.words(id);
            for say in says {
                let words = stems.words(say);
                if let Some(first) = words.first() {
                    table.entry(first.clone()).or_default().push((words, own.clone()));
                }
            }
        }
        table.values_mut().for_each(|list| list.sort_by_key(|(words, _)| usize::MAX - words.len()));
        stems.alike = table;
        stems
    }

    /// True if the stem carries nothing.
    pub fn is_small(&self, stem: &str) -> bool {
        self.small.contains(stem)
    }

    /// Every stem met so far, and what words are read as.
    pub fn met(&self) -> BTreeSet<String> {
        let read_as = self.alike.values().flatten().flat_map(|(_, own)| own.iter().cloned());
        self.seen.borrow().values().cloned().chain(read_as).collect()
    }

    /// The stems of a wording's words, none left out.
    pub fn all(&self, wording: &str) -> Vec<String> {
        let tokens = self.words(wording).into_iter().map(|stem| Token { stem, span: 0..0 }).collect();
        self.as_one(tokens).into_iter().map(|t| t.stem).collect()
    }

    /// The stems that count in a wording.
    pub fn counting(&self, wording: &str) -> Vec<String> {
        self.all(wording).into_iter().filter(|s| !self.is_small(s)).collect()
    }

    /// The words of a text, each with the text before it.
    pub fn read<'t>(&self, text: &'t str) -> Vec<(&'t str, Vec<Token>)> {
        let mut words = Vec::new();
        let mut last = 0;
        for (at, word) in text.unicode_word_indices() {
            let between = text.get(last..at).unwrap_or_default();
            last = at + word.len();
            let lower = folded(word);
            let pieces = opened(&lower).into_iter().map(|p| Token { stem: self.stem(p), span: at..last });
            words.push((between, pieces.collect()));
        }
        words
    }

    /// Makes words that are read alike one.
    pub fn as_one(&self, tokens: Vec<Token>) -> Vec<Token> {
        let together = |said: &[Token], stem: &String| {
            let (start, end) = (said.first().map_or(0, |t| t.span.start), said.last().map_or(0, |t| t.span.end));
            Token { stem: stem.clone(), span: start..end }
        };
        as_one(&self.alike, tokens, |token| &token.stem, together)
    }

    /// The stems of a wording as they stand there.
    pub(super) fn words(&self, wording: &str) -> Vec<String> {
        if wording.bytes().all(|c| c.is_ascii_lowercase() || c == b' ') {
            // Nearly all wordings: nothing to fold and nowhere to split.
            let pieces = wording.split(' ').filter(|p| !p.is_empty()).flat_map(opened);
            return pieces.map(|p| self.stem(p)).collect();
        }
        self.read(wording).into_iter().flat_map(|(_, tokens)| tokens).map(|t| t.stem).collect()
    }

    fn stem(&self, word: &str) -> String {
        let word = word.trim_end_matches("'s").trim_matches('\'');
        if let Some(stem) = self.seen.borrow().get(word) {
            return stem.clone();
        }
        let own = OWN.contains(&word);
        let mut stem = if own { word.to_owned() } else { self.stemmer.stem(&drawn_in(word)).into_owned() };
        // "Toed" is no form of "to".
        if stem != word && self.is_small(&stem) && !self.small_words.contains(word) {
            stem = word.to_owned();
        }
        let mut seen = self.seen.borrow_mut();
        if seen.len() < KEPT {
            seen.insert(word.to_owned(), stem.clone());
        }
        stem
    }
}

/// Makes words that are read alike one; `together` is what some of them give for a stem.
pub(super) fn as_one<Word: Clone, Stem: Eq + Hash>(
    alike: &Alike<Stem>,
    words: Vec<Word>,
    stem: impl Fn(&Word) -> &Stem,
    together: impl Fn(&[Word], &Stem) -> Word,
) -> Vec<Word> {
    if !words.iter().any(|word| alike.contains_key(stem(word))) {
        return words;
    }
    let mut out = Vec::with_capacity(words.len());
    let mut rest = words.as_slice();
    while let Some((first, others)) = rest.split_first() {
        let listed = alike.get(stem(first)).into_iter().flatten();
        let mut fitting = listed.filter_map(|(says, own)| {
            let (said, after) = rest.split_at_checked(says.len())?;
            says.iter().eq(said.iter().map(&stem)).then_some((said, after, own))
        });
        rest = match fitting.next() {
            Some((said, after, own)) => {
                out.extend(own.iter().map(|stem| together(said, stem)));
                after
            }
            None => {
                out.push(first.clone());
                others
            }
        };
    }
    out
}

fn folded(word: &str) -> String {
    word.to_lowercase().replace(['\u{2019}', '\u{2018}', '\u{02bc}', '`'], "'")
}

/// `squeeeeak` is drawn in to `squeeak`, near enough to be mended.
fn drawn_in(word: &str) -> String {
    let mut out = String::with_capacity(word.len());
    let mut run = 0;
    let mut last = None;
    for c in word.chars() {
        run = if last == Some(c) && c.is_alphabetic() { run + 1 } else { 1 };
        last = Some(c);
        if run <= 2 {
            out.push(c);
        }
    }
    out
}

/// Opens contractions: `won't` is `will not`.
fn opened(word: &str) -> Vec<&str> {
    let verb = match word {
        "won't" | "wont" => "will",
        "can't" | "cant" | "cannot" => "can",
        "doesnt" | "dosent" | "doesent" | "dosnt" => "does",
        "dont" => "do",
        "didnt" => "did",
        "isnt" => "is",
        "arent" => "are",
        "wasnt" => "was",
        "hasnt" => "has",
        "havent" => "have",
        "couldnt" => "could",
        "wouldnt" => "would",
        "ain't" | "aint" => "is",
        "i'm" | "im" => return vec!["i", "am"],
        _ => match word.strip_suffix("n't") {
            Some(verb) => verb,
            None => {
                if let Some(who) = word.strip_suffix("'d") {
                    return vec![who, "would"];
                }
                let tail = ["'ve", "'ll", "'re"].into_iter().find_map(|t| word.strip_suffix(t));
                return vec![tail.unwrap_or(word)];
            }
        },
    };
    vec![verb, "not"]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_folded_opened_and_made_one() {
        let alike = ["seat post".to_owned(), "saddle post".to_owned()];
        let small = ["the".to_owned(), "does".to_owned()];
        let stems = Stems::new([("seatpost", &alike[..])], &small);
        assert_eq!(stems.counting("The Seat-Post doesn\u{2019}t slip"), ["seatpost", "not", "slip"]);
        assert_eq!(stems.counting("squeeeeeeaks"), ["squeeak"]);
    }
}
