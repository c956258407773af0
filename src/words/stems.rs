//! From text to stems: words folded, contractions opened, words read alike made one.
//!
//! Which words are read alike, and which carry nothing, is told by whoever makes
//! the [`Stems`]; here is only the folding.

use std::cell::RefCell;
use std::collections::{BTreeSet, HashMap};
use std::ops::Range;

use itertools::Itertools;
use rust_stemmers::{Algorithm, Stemmer};
use unicode_segmentation::UnicodeSegmentation;

/// Most words whose stems are kept ready.
const KEPT: usize = 20_000;

/// A word of a text, as it is matched.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Token {
    /// Its stem.
    pub stem: String,
    /// Where it stands in the text.
    pub span: Range<usize>,
}

/// A place in a wording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slot {
    /// The stems that fit there.
    pub fits: Vec<String>,
    /// True if it may stand further from the place before it.
    pub apart: bool,
}

/// Words in order.
pub type Wording = Vec<Slot>;

/// By first stem: the stems of a wording and what they are read as, longest first.
type Alike = HashMap<String, Vec<(Vec<String>, Vec<String>)>>;

/// Turns words into stems.
pub struct Stems {
    stemmer: Stemmer,
    /// People use few words again and again.
    seen: RefCell<HashMap<String, String>>,
    alike: Alike,
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

    /// A wording as it is matched: `front|rear` fits either, and what `&` joins
    /// may come in any order and further apart.
    pub fn wordings(&self, say: &str) -> Vec<Wording> {
        let parts: Vec<Wording> = say.split(" & ").map(|part| self.wording(part)).collect();
        let joined = |order: Vec<&Wording>| {
            let slots = |(at, part): (usize, &Wording)| {
                let mut part = part.clone();
                part.iter_mut().take(1).for_each(|slot| slot.apart = at > 0);
                part
            };
            order.into_iter().enumerate().flat_map(slots).collect()
        };
        parts.iter().permutations(parts.len()).map(joined).collect()
    }

    fn wording(&self, say: &str) -> Wording {
        let one = |stem: String| Slot { fits: vec![stem], apart: false };
        if !say.contains('|') {
            return self.counting(say).into_iter().map(one).collect();
        }
        let mut wording = Wording::new();
        let mut plain = String::new();
        for word in say.split(' ') {
            if word.contains('|') {
                wording.extend(self.counting(&plain).into_iter().map(one));
                plain.clear();
                wording.push(Slot { fits: word.split('|').filter_map(|w| self.one(w)).collect(), apart: false });
            } else {
                plain.push_str(word);
                plain.push(' ');
            }
        }
        wording.extend(self.counting(&plain).into_iter().map(one));
        wording.retain(|slot| !slot.fits.is_empty());
        wording
    }

    /// The last stem that counts in one word; nearly all words are one stem.
    fn one(&self, word: &str) -> Option<String> {
        let plain = word.bytes().all(|c| c.is_ascii_lowercase()) && opened(word).len() == 1;
        let stem = if plain { self.stem(word) } else { return self.counting(word).pop() };
        if self.alike.contains_key(&stem) {
            self.counting(word).pop()
        } else {
            Some(stem).filter(|s| !self.is_small(s))
        }
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
        if !tokens.iter().any(|t| self.alike.contains_key(&t.stem)) {
            return tokens;
        }
        let mut out = Vec::with_capacity(tokens.len());
        let mut at = 0;
        while let Some(token) = tokens.get(at) {
            let fits = |words: &&(Vec<String>, Vec<String>)| {
                words.0.iter().enumerate().all(|(i, w)| tokens.get(at + i).is_some_and(|t| t.stem == *w))
            };
            match self.alike.get(&token.stem).and_then(|list| list.iter().find(fits)) {
                Some((words, own)) => {
                    let end = tokens.get(at + words.len() - 1).map_or(token.span.end, |t| t.span.end);
                    let span = token.span.start..end;
                    out.extend(own.iter().map(|stem| Token { stem: stem.clone(), span: span.clone() }));
                    at += words.len();
                }
                None => {
                    out.push(token.clone());
                    at += 1;
                }
            }
        }
        out
    }

    fn words(&self, wording: &str) -> Vec<String> {
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
        let mut stem = self.stemmer.stem(&drawn_in(word)).into_owned();
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
        assert_eq!(stems.wordings("front|rear wheels")[0][0].fits, ["front", "rear"]);
        let orders = stems.wordings("cable|wire & frayed");
        let first: Vec<&[String]> = orders.iter().map(|w| w[0].fits.as_slice()).collect();
        assert_eq!(first, [&["cabl", "wire"][..], &["fray"]]);
        assert!(orders.iter().all(|w| !w[0].apart && w[1].apart));
        assert_eq!(stems.counting("squeeeeeeaks"), ["squeeak"]);
    }
}
