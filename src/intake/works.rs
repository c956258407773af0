//! Work told by what was done and to which part: "tightened the stem bolts" is the remedy of such a name.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::ops::Range;

use super::text::{Clause, Reader};
use crate::graph::{End, FaultGraph, RemedyIx};
use crate::knowledge::terms::Manner;

/// Words between a negation and the work that it denies.
const DENIED: usize = 3;
/// Words that count between what was done and the part to which it was done.
const NEAR: usize = 4;
/// So much likelier must a work be than any other of its kind where no part is told. Judgement.
const FAR_LIKELIER: f64 = 4.0;
/// Words beside such a work that name no part: "twice".
const BESIDE: usize = 1;
/// At least one in so many of the parts in a name must be told.
const TOLD_OF_NAME: usize = 3;

/// A kind of work, in the words for it.
struct Kind {
    /// As it is told when it is done.
    said: BTreeSet<String>,
    stems: BTreeSet<String>,
}

/// A remedy by its name.
struct Named {
    remedy: RemedyIx,
    kinds: BTreeSet<usize>,
    parts: BTreeSet<String>,
}

/// The names of the remedies, ready to be held against what was done.
pub struct NamedWorks {
    kinds: Vec<Kind>,
    /// What a part is called here, by what else it is called.
    parts: HashMap<String, String>,
    named: Vec<Named>,
}

/// A text and its clauses.
pub struct Speech<'s> {
    pub reader: &'s Reader,
    pub text: &'s str,
    pub clauses: &'s [Clause],
}

/// What a clause says was done, and to what.
struct Done {
    kinds: BTreeSet<usize>,
    parts: BTreeSet<String>,
}

impl NamedWorks {
    /// Of the remedies of a graph.
    pub fn of(graph: &FaultGraph, reader: &Reader) -> Self {
        let stems = &reader.stems;
        let lists = graph.reading.lists.iter().filter(|(manner, _)| *manner == Manner::Works);
        let kind = |(_, said): &(_, Vec<String>)| Kind {
            said: said.iter().cloned().collect(),
            stems: said.iter().flat_map(|word| stems.all(word)).collect(),
        };
        let mut works = Self { kinds: lists.map(kind).collect(), parts: HashMap::new(), named: Vec::new() };
        for (_, said) in graph.reading.lists.iter().filter(|(manner, _)| *manner == Manner::Parts) {
            let all: Vec<String> = said.iter().flat_map(|word| stems.all(word)).collect();
            works.parts.extend(all.iter().map(|stem| (stem.clone(), all.first().cloned().unwrap_or_default())));
        }
        for remedy in graph.remedy_ixs() {
            let words = stems.all(&graph.remedy(remedy).name);
            let before = |i: usize| i.checked_sub(1).and_then(|i| words.get(i)).map_or("", String::as_str);
            let (mut kinds, mut parts) = (BTreeSet::new(), BTreeSet::new());
            for (i, word) in words.iter().enumerate() {
                match works.kind(word) {
                    // "Bed the new pads in" is no new part.
                    Some(kind) if before(i) != "the" => drop(kinds.insert(kind)),
                    Some(_) => {}
                    None if !is_part(reader, word) => {}
                    None => drop(parts.insert(works.part(word))),
                }
            }
            works.named.push(Named { remedy, kinds, parts });
        }
        works
    }

    fn part(&self, stem: &str) -> String {
        self.parts.get(stem).map_or(stem, String::as_str).to_owned()
    }

    fn kind(&self, stem: &str) -> Option<usize> {
        self.kinds.iter().position(|kind| kind.stems.contains(stem))
    }

    /// The remedies that the clause in this place says were done; `chances` say how likely each remedy was tried for
    /// what was told, and it is one of them.
    pub fn done(
        &self,
        speech: &Speech<'_>,
        number: usize,
        deaf: &[bool],
        chances: &BTreeMap<RemedyIx, f64>,
    ) -> Vec<RemedyIx> {
        let Some(clause) = speech.clauses.get(number) else { return Vec::new() };
        let Some(mut done) = self.told(speech, clause, deaf) else { return Vec::new() };
        let before = number.checked_sub(1).and_then(|n| speech.clauses.get(n));
        let before = before.filter(|c| c.sentence == clause.sentence && done.parts.is_empty());
        // "The pulleys were stripped, cleaned and greased": the part is named once.
        if let Some(told) = before.and_then(|before| self.told(speech, before, &[])) {
            done.parts = told.parts;
        }
        let chance = |remedy: RemedyIx| chances.get(&remedy).copied().unwrap_or(0.0);
        let of_kind = |n: &&Named| n.kinds.iter().any(|kind| done.kinds.contains(kind)) && chance(n.remedy) > 0.0;
        let open: Vec<&Named> = self.named.iter().filter(of_kind).collect();
        let mut found = Vec::new();
        loop {
            // More of the parts named first; of two names with as many the shorter says no more than them.
            let fit = |n: &&&Named| {
                let shared = n.parts.intersection(&done.parts).count();
                let told = shared > 0 && shared * TOLD_OF_NAME >= n.parts.len();
                told.then(|| ((shared, usize::MAX - n.parts.len()), chance(n.remedy)))
            };
            let fitting = open.iter().filter_map(|n| Some((fit(&n)?, n)));
            let best = fitting.max_by(|((a, x), _), ((b, y), _)| a.cmp(b).then(x.total_cmp(y)));
            let Some((_, named)) = best else { break };
            found.push(named.remedy);
            done.parts.retain(|part| !named.parts.contains(part));
        }
        let names_a_part = || done.parts.iter().any(|part| self.named.iter().any(|n| n.parts.contains(part)));
        if found.is_empty() && done.parts.len() <= BESIDE && !names_a_part() {
            // "Bled it twice": of several such works the one that is by far the likeliest.
            let mut by_chance: Vec<(f64, RemedyIx)> = open.iter().map(|n| (chance(n.remedy), n.remedy)).collect();
            by_chance.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
            let next = by_chance.get(1).map_or(0.0, |(chance, _)| *chance);
            let first = by_chance.first().filter(|(most, _)| *most > FAR_LIKELIER * next);
            found.extend(first.map(|(_, remedy)| *remedy));
        }
        found
    }

    fn told(&self, speech: &Speech<'_>, clause: &Clause, deaf: &[bool]) -> Option<Done> {
        let raw = |span: &Range<usize>| speech.text.get(span.clone()).unwrap_or_default().to_lowercase();
        let denied = |at: usize| (at.saturating_sub(DENIED)..at).any(|i| matches!(clause.stem(i), "not" | "never"));
        // By their places among the words that count.
        let heard = |(_, i): &(usize, usize)| deaf.get(*i) != Some(&true);
        let open: Vec<(usize, usize)> = clause.counting.iter().copied().enumerate().filter(heard).collect();
        let mut kinds: Vec<(usize, usize)> = Vec::new();
        for (place, i) in &open {
            let Some((word, kind)) = clause.words.get(*i).and_then(|w| Some((w, self.kind(&w.stem)?))) else {
                continue;
            };
            let said = raw(&word.span);
            let past = said.ends_with("ed") || said.ends_with("ing");
            let done = past || self.kinds.get(kind).is_some_and(|kind| kind.said.contains(&said));
            if done && !denied(*i) {
                kinds.push((*place, kind));
            }
        }
        let near = |place: &usize| kinds.iter().any(|(at, _)| at.abs_diff(*place) <= NEAR);
        let stems = open.iter().filter(|(place, _)| near(place)).map(|(_, i)| clause.stem(*i));
        let parts = stems
            .filter(|stem| self.kind(stem).is_none() && is_part(speech.reader, stem))
            .map(|stem| self.part(stem))
            .collect();
        let kinds: BTreeSet<usize> = kinds.iter().map(|(_, kind)| *kind).collect();
        Some(Done { kinds, parts }).filter(|done| !done.kinds.is_empty())
    }
}

/// True of a word that may name a part; an end names none.
fn is_part(reader: &Reader, stem: &str) -> bool {
    stem.len() > 2 && !reader.is_idle(stem) && End::BOTH.into_iter().all(|end| end.word() != stem)
}
