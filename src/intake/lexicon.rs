//! The words of the knowledge, and where a clause holds them.

use std::collections::BTreeSet;

use super::text::{Clause, Reader};
use crate::graph::{FaultGraph, Meaning, Phrase};
use crate::knowledge::terms::Manner;
use crate::words::wordings::{Numbering, Numbers, Wording};

/// Most words that count between two words of a wording.
const GAP: usize = 2;
/// The same between parts that may come in any order.
const APART: usize = 5;

/// A wording found in a clause.
pub struct Match<'g> {
    /// What it means.
    pub phrase: &'g Phrase,
    /// Its words, by their position in the clause.
    pub words: Vec<usize>,
    /// Its words, by their position among those that count.
    pub places: Vec<usize>,
}

impl Match<'_> {
    /// True if a shorter match lies between its first and last word, and shares one.
    fn spans(&self, other: &Self) -> bool {
        let (first, last) = (self.words.iter().min(), self.words.iter().max());
        let between = |w: &usize| first.is_some_and(|f| f <= w) && last.is_some_and(|l| w <= l);
        other.words.len() < self.words.len()
            && other.words.iter().all(between)
            && other.words.iter().any(|w| self.words.contains(w))
    }

    fn span(&self) -> usize {
        let (first, last) = (self.places.iter().min(), self.places.iter().max());
        last.zip(first).map_or(0, |(l, f)| l - f)
    }
}

/// The words of the knowledge, ready for matching.
pub struct Lexicon<'g> {
    /// Whose words they are.
    pub graph: &'g FaultGraph,
    /// Reads texts.
    pub reader: Reader,
    numbers: Numbers,
    /// By the number of its first stem: where a wording stands.
    by_first: Vec<Vec<usize>>,
    wordings: Vec<(Wording, &'g Phrase)>,
}

impl<'g> Lexicon<'g> {
    /// Prepares the lexicon of a graph.
    pub fn of(graph: &'g FaultGraph) -> Self {
        let mut reader = Reader::new(&graph.reading);
        let mut numbering = Numbering::new(&reader.stems);
        let all = graph.phrases.iter().flat_map(|phrase| phrase.say.iter().map(move |say| (say, phrase)));
        let mut wordings = Vec::new();
        for (say, phrase) in all {
            wordings.extend(numbering.wordings(say).into_iter().map(|wording| (wording, phrase)));
        }
        let numbers = numbering.done();
        let mut by_first = vec![Vec::new(); numbers.len()];
        for (i, (wording, _)) in wordings.iter().enumerate() {
            for first in wording.first().into_iter().flat_map(|slot| numbers.fitting(&slot.fits)) {
                if let Some(list) = by_first.get_mut(*first as usize) {
                    list.push(i);
                }
            }
        }
        reader.knows_what_it_met();
        Self { graph, reader, numbers, by_first, wordings }
    }

    /// Wordings found in a clause, no word used twice, in the order of the text.
    /// Words that are `deaf` are not looked at.
    pub fn matches(&self, clause: &Clause, deaf: &[bool]) -> Vec<Match<'g>> {
        let open: Vec<usize> =
            clause.counting.iter().copied().filter(|i| !deaf.get(*i).copied().unwrap_or(false)).collect();
        let number = |i: &usize| clause.words.get(*i).and_then(|t| self.numbers.of(&t.stem));
        let stems: Vec<Option<u32>> = open.iter().map(number).collect();
        let mut all: Vec<Match<'g>> = Vec::new();
        for (start, stem) in stems.iter().enumerate() {
            let listed = stem.and_then(|s| self.by_first.get(s as usize)).into_iter().flatten();
            for (wording, phrase) in listed.filter_map(|i| self.wordings.get(*i)) {
                let Some(places) = self.follow(&stems, start, wording) else { continue };
                let words: Vec<usize> = places.iter().filter_map(|p| open.get(*p).copied()).collect();
                if !clause.whole || across(clause, &words) {
                    all.push(Match { phrase, words, places });
                }
            }
        }
        // Longest first, then the tightest, then the earliest.
        all.sort_by_key(|m| (usize::MAX - m.words.len(), m.span(), m.words.first().copied()));
        // What the bike is, and where it comes from, may be told inside a longer wording.
        let mut used: [BTreeSet<usize>; 4] = Default::default();
        let mut kept: Vec<Match<'g>> = Vec::new();
        for m in all {
            let layer = self.layer(m.phrase);
            // The same words in two phrases mean both.
            let same = kept.iter().any(|k| k.words == m.words);
            // "Push hard on the pedals" is a circumstance, not hard to pedal.
            let inside = kept.iter().any(|k| self.layer(k.phrase) == 3 && k.spans(&m));
            let open = used.get(layer).is_some_and(|used| m.words.iter().all(|t| !used.contains(t)));
            let free = same || (open && !(layer == 0 && inside));
            if free {
                let closes = |l: usize| {
                    l == layer || is_guard(m.phrase) || (layer == 0 && l == 3) || (l == 2 && self.tells_place(m.phrase))
                };
                let closed = used.iter_mut().enumerate().filter(|(l, _)| closes(*l));
                closed.for_each(|(_, used)| used.extend(m.words.iter().copied()));
                kept.push(m);
            }
        }
        kept.sort_by_key(|m| m.words.first().copied());
        kept
    }

    /// The places of a wording's words, if they follow one another from here.
    fn follow(&self, stems: &[Option<u32>], start: usize, wording: &Wording) -> Option<Vec<usize>> {
        let mut places = vec![start];
        for slot in wording.iter().skip(1) {
            let from = places.last()? + 1;
            let gap = if slot.apart { APART } else { GAP };
            let here = |p: &usize| stems.get(*p).copied().flatten().is_some_and(|s| self.numbers.fits(slot.fits, s));
            places.push((from..=from + gap).find(here)?);
        }
        Some(places)
    }

    /// Whether a phrase tells what the bike does, what it is, or where it does it.
    fn layer(&self, phrase: &Phrase) -> usize {
        let all = |fits: &dyn Fn(&Meaning) -> bool| !phrase.means.is_empty() && phrase.means.iter().all(fits);
        if all(&|m| matches!(m, Meaning::Fact(..))) {
            1
        } else if all(&|m| self.is_place(m)) {
            2
        } else if all(&|m| matches!(m, Meaning::Value(None, ..))) {
            3
        } else {
            0
        }
    }

    fn is_place(&self, meaning: &Meaning) -> bool {
        matches!(meaning, Meaning::Value(_, facet, _) if self.graph.facet(*facet).id == "end")
    }

    /// Phrases of what the bike does that tell the end themselves.
    fn tells_place(&self, phrase: &Phrase) -> bool {
        self.layer(phrase) == 0 && phrase.means.iter().any(|m| self.is_place(m))
    }
}

/// True if a phrase means nothing, and keeps its words from meaning anything else.
fn is_guard(phrase: &Phrase) -> bool {
    phrase.means.is_empty() && phrase.denies.is_empty() && phrase.tried.is_empty() && phrase.or.is_empty()
}

/// True if a wording holds a turning word, or is long enough to be meant across one.
fn across(clause: &Clause, words: &[usize]) -> bool {
    clause.marked(Manner::Turns).any(|at| {
        let (before, after) = (words.iter().any(|w| *w < at.start), words.iter().any(|w| *w >= at.end));
        words.iter().any(|w| at.contains(w)) || (before && after && words.len() > 3)
    })
}
