//! The words of the knowledge, and where a clause holds them.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::OnceLock;

use super::doubt::{Spoken, keeps_away};
use super::text::{Clause, Reader};
use super::works::NamedWorks;
use crate::graph::{FaultGraph, Meaning, Phrase};
use crate::knowledge::terms::Manner;
use crate::words::wordings::Slot;

/// Most words that count between two words of a wording.
const GAP: usize = 1;
/// The same between parts that may come in any order.
const APART: usize = 5;

/// What a phrase tells: a word may be heard once in each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Layer {
    /// What the bike does.
    Does,
    /// What the bike is.
    Is,
    /// At which end.
    Where,
    /// In what circumstances.
    How,
}

impl Layer {
    const ALL: [Self; 4] = [Self::Does, Self::Is, Self::Where, Self::How];
}

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
    /// The number of each stem that a wording holds.
    numbers: HashMap<&'g str, u32>,
    /// By the number of its first stem: where a wording stands.
    by_first: Vec<Vec<usize>>,
    /// What was done, by the names of remedies.
    pub(super) works: NamedWorks,
    /// How often each complaint is told when nothing is known of the words.
    pub(super) usual: OnceLock<Spoken>,
}

impl<'g> Lexicon<'g> {
    /// Prepares the lexicon of a graph.
    pub fn of(graph: &'g FaultGraph) -> Self {
        let mut reader = Reader::new(&graph.reading);
        let wordings = &graph.wordings;
        let mut by_first = vec![Vec::new(); wordings.numbers()];
        for (i, first) in (0..wordings.len()).filter_map(|i| Some((i, wordings.get(i)?.0.first()?))) {
            for first in wordings.fitting(&first.fits) {
                if let Some(list) = by_first.get_mut(*first as usize) {
                    list.push(i);
                }
            }
        }
        let numbers: HashMap<&str, u32> = wordings.stems().collect();
        reader.knows(wordings.stems().map(|(stem, _)| stem));
        let works = NamedWorks::of(graph, &reader);
        Self { graph, reader, numbers, by_first, works, usual: OnceLock::new() }
    }

    /// Wordings found in a clause, no word used twice, in the order of the text.
    /// Words that are `deaf` are not looked at.
    pub fn matches(&self, clause: &Clause, deaf: &[bool]) -> Vec<Match<'g>> {
        let open: Vec<usize> =
            clause.counting.iter().copied().filter(|i| !deaf.get(*i).copied().unwrap_or(false)).collect();
        let number = |i: &usize| clause.words.get(*i).and_then(|t| self.numbers.get(t.stem.as_str()).copied());
        let stems: Vec<Option<u32>> = open.iter().map(number).collect();
        let mut all: Vec<Match<'g>> = Vec::new();
        for (start, stem) in stems.iter().enumerate() {
            let listed = stem.and_then(|s| self.by_first.get(s as usize)).into_iter().flatten();
            for (wording, owner) in listed.filter_map(|i| self.graph.wordings.get(*i)) {
                let Some(places) = self.follow(&stems, start, wording) else { continue };
                let Some(phrase) = self.graph.phrases.get(owner) else { continue };
                let words: Vec<usize> = places.iter().filter_map(|p| open.get(*p).copied()).collect();
                let goes_on = beyond_what_is_well(clause, &words) || past_a_denial(clause, &words);
                if !goes_on && (!clause.whole || across(clause, &words)) {
                    all.push(Match { phrase, words, places });
                }
            }
        }
        // Longest first, then the tightest, then the earliest.
        all.sort_by_key(|m| (usize::MAX - m.words.len(), m.span(), m.words.first().copied()));
        // What the bike is, and where it comes from, may be told inside a longer wording.
        let mut used: BTreeMap<Layer, BTreeSet<usize>> = BTreeMap::new();
        let mut kept: Vec<(Layer, Match<'g>)> = Vec::new();
        for m in all {
            let layer = self.layer(m.phrase);
            // The same words in two phrases mean both.
            let same = kept.iter().any(|(_, k)| k.words == m.words);
            // "Push hard on the pedals" is a circumstance, not hard to pedal.
            let inside = || layer == Layer::Does && kept.iter().any(|(l, k)| *l == Layer::How && k.spans(&m));
            let open = || used.get(&layer).is_none_or(|used| m.words.iter().all(|w| !used.contains(w)));
            // What nobody should go near is heard beside a longer wording that does not hold all of it.
            let grave = || m.phrase.means.iter().any(|meaning| keeps_away(self.graph, meaning));
            let within = |k: &Match<'_>| m.words.iter().all(|w| k.words.contains(w));
            let alarms = || layer == Layer::Does && !kept.iter().any(|(_, k)| within(k)) && grave();
            if same || (open() && !inside()) || alarms() {
                for closed in self.closed_by(layer, m.phrase) {
                    used.entry(closed).or_default().extend(m.words.iter().copied());
                }
                kept.push((layer, m));
            }
        }
        let mut kept: Vec<Match<'g>> = kept.into_iter().map(|(_, m)| m).collect();
        kept.sort_by_key(|m| m.words.first().copied());
        kept
    }

    /// The layers in which a match's words mean nothing else.
    fn closed_by(&self, layer: Layer, phrase: &Phrase) -> Vec<Layer> {
        let tells_place = layer == Layer::Does && phrase.means.iter().any(|m| self.is_place(m));
        let closes = |other: &Layer| match other {
            _ if phrase.is_guard() || *other == layer => true,
            Layer::How => layer == Layer::Does,
            Layer::Where => tells_place,
            Layer::Does | Layer::Is => false,
        };
        Layer::ALL.into_iter().filter(closes).collect()
    }

    /// The places of a wording's words, if they follow one another from here.
    fn follow(&self, stems: &[Option<u32>], start: usize, wording: &[Slot]) -> Option<Vec<usize>> {
        let mut places = vec![start];
        for slot in wording.iter().skip(1) {
            let from = places.last()? + 1;
            let gap = if slot.apart { APART } else { GAP };
            let here =
                |p: &usize| stems.get(*p).copied().flatten().is_some_and(|s| self.graph.wordings.fits(slot.fits, s));
            places.push((from..=from + gap).find(here)?);
        }
        Some(places)
    }

    fn layer(&self, phrase: &Phrase) -> Layer {
        let all = |fits: &dyn Fn(&Meaning) -> bool| !phrase.means.is_empty() && phrase.means.iter().all(fits);
        if all(&|m| matches!(m, Meaning::Fact(..))) {
            Layer::Is
        } else if all(&|m| self.is_place(m)) {
            Layer::Where
        } else if all(&|m| matches!(m, Meaning::Value(None, ..))) {
            Layer::How
        } else {
            Layer::Does
        }
    }

    fn is_place(&self, meaning: &Meaning) -> bool {
        matches!(meaning, Meaning::Value(_, facet, _) if self.graph.facet(*facet).id == "end")
    }
}

/// True if a wording takes "are straight" and goes on behind an "and": "bars are straight and don't twist".
fn beyond_what_is_well(clause: &Clause, words: &[usize]) -> bool {
    let well = |i: &usize| {
        clause.plays(*i, Manner::Well) && *i > 0 && matches!(clause.stem(i - 1), "is" | "are" | "was" | "were")
    };
    let last = words.iter().max().copied().unwrap_or(0);
    words.iter().filter(|i| well(i)).any(|i| (*i..last).any(|between| clause.stem(between) == "and"))
}

/// True if a wording takes a "not" past another word that it denies: "doesn't slip or move" is not stuck.
fn past_a_denial(clause: &Clause, words: &[usize]) -> bool {
    words.iter().filter(|i| clause.stem(**i) == "not").any(|not| {
        let next = words.iter().filter(|i| *i > not).min().copied().unwrap_or(*not);
        let other = clause.counting.iter().find(|i| *i > not && **i < next);
        other.is_some_and(|other| (*other..next).any(|between| clause.stem(between) == "or"))
    })
}

/// True if a wording holds a turning word, or is long enough to be meant across one.
fn across(clause: &Clause, words: &[usize]) -> bool {
    clause.marked(Manner::Turns).any(|at| {
        let (before, after) = (words.iter().any(|w| *w < at.start), words.iter().any(|w| *w >= at.end));
        words.iter().any(|w| at.contains(w)) || (before && after && words.len() > 3)
    })
}
