//! From a rider's words to reports.
//!
//! The lexicon stands in the knowledge folder; here is only the matching: stems
//! in order within a clause, a word or two between them allowed, the longest
//! wording first. A negation before a match turns it round, a hedge weakens it.
//! What was heard is shown with the words that said it ([`Heard`]).
//!
//! Reading order: [`text`] (words to stems), this file (stems to reports),
//! [`reports`] (reports told by name).

pub mod reports;
pub mod text;

use std::collections::{BTreeSet, HashMap};

use crate::graph::{ComplaintIx, FactIx, FaultGraph, Meaning, SignIx};
use crate::inference::evidence::{Answer, Event, Evidence, SignReport, read_sign, read_value, read_yes_no};
use crate::knowledge::terms::{Reporter, Venue, Word};
use text::{Reader, Token, mended};

/// Longest text that is heard, in bytes; what follows is left out and said to be.
pub const LONGEST: usize = 20_000;

/// Most words between two words of a wording.
const GAP: usize = 2;
/// How many words before a match a negation reaches.
const NEGATION_REACH: usize = 3;
const NEGATIONS: &[&str] = &["not", "no", "never", "without", "none", "neither", "nor", "noth"];
const HEDGES: &[&str] =
    &["mayb", "perhap", "might", "think", "seem", "possibl", "probabl", "guess", "believ", "reckon"];
/// Pairs of stems with which somebody says that he does not know.
const UNKNOWING: &[[&str; 2]] = &[["not", "know"], ["not", "no"], ["no", "idea"], ["not", "tell"], ["not", "say"]];
/// Stems that say a part is as it should be.
const SOUND: &[&str] = &["fine", "ok", "okay", "good", "alright"];
/// Facets that are told once, of the complaint that came first.
const TOLD_ONCE: &[&str] = &["onset", "often", "when-wet"];

/// One thing heard.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heard {
    /// The words that said it.
    pub text: String,
    /// What was heard: an id as in reports.
    pub id: String,
    /// The answer understood.
    pub answer: String,
}

/// What a text gave.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Intake {
    /// Everything heard, in the order of the text.
    pub heard: Vec<Heard>,
    /// True if the text was too long and its end was not heard.
    pub cut: bool,
}

/// The stems of a wording and what it means.
type Wording<'p> = (Vec<String>, &'p [Meaning]);

struct Match<'p> {
    means: &'p [Meaning],
    tokens: Vec<usize>,
}

/// The words of the knowledge, ready for matching.
pub struct Lexicon<'g> {
    graph: &'g FaultGraph,
    reader: Reader,
    /// By first stem; looked up, never walked through, so its order is nobody's business.
    wordings: HashMap<String, Vec<Wording<'g>>>,
    known: BTreeSet<String>,
}

impl<'g> Lexicon<'g> {
    /// Prepares the lexicon of a graph.
    pub fn of(graph: &'g FaultGraph) -> Self {
        let reader = Reader::default();
        let mut wordings: HashMap<String, Vec<Wording<'g>>> = HashMap::new();
        for phrase in &graph.phrases {
            for say in &phrase.say {
                let stems = reader.stems(say);
                match stems.first().map(|first| wordings.get_mut(first)) {
                    Some(Some(list)) => list.push((stems, &phrase.means)),
                    Some(None) => {
                        wordings.insert(stems[0].clone(), vec![(stems, &phrase.means)]);
                    }
                    None => {}
                }
            }
        }
        // So far the reader has met the lexicon's words and no others.
        let known = reader.stems_met();
        Self { graph, reader, wordings, known }
    }

    /// The reader of words, for whoever compares words with it.
    pub fn reader(&self) -> &Reader {
        &self.reader
    }

    /// Hears a text and adds what it says to the evidence.
    pub fn hear(&self, text: &str, by: Reporter, at: Venue, evidence: &mut Evidence) -> Intake {
        let mut end = text.len().min(LONGEST);
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        let shown = text.get(..end).unwrap_or_default();
        let mut found = Vec::new();
        for mut clause in self.reader.clauses(shown) {
            for token in &mut clause {
                if let Some(right) = mended(&token.stem, &self.known) {
                    token.stem = right.to_owned();
                }
            }
            let follows =
                |pair: &[&str; 2]| clause.windows(2).any(|w| w.iter().zip(pair).all(|(t, stem)| t.stem == *stem));
            if UNKNOWING.iter().any(follows) {
                continue;
            }
            let unsure = follows(&["not", "sure"]) || clause.iter().any(|t| HEDGES.contains(&t.stem.as_str()));
            let is = |t: Option<&Token>, stems: &[&str]| t.is_some_and(|t| stems.contains(&t.stem.as_str()));
            let sound = (0..clause.len())
                .any(|i| is(clause.get(i), SOUND) && !is(i.checked_sub(1).and_then(|j| clause.get(j)), NEGATIONS));
            for hit in self.matches(&clause) {
                let said = spoken(shown, &clause, &hit.tokens);
                let first = hit.tokens.first().copied().unwrap_or(0);
                let before = |reach: usize, words: &[&str]| {
                    (first.saturating_sub(reach)..first)
                        .filter_map(|i| clause.get(i))
                        .any(|t| words.contains(&t.stem.as_str()))
                };
                // Of a part that is said to be sound only the place is of use: it is not there.
                let negated = before(NEGATION_REACH, NEGATIONS) != sound;
                if sound && hit.means.iter().any(|m| matches!(m, Meaning::Complaint(_))) {
                    continue;
                }
                let tone = Tone { negated, hedged: unsure };
                found.push((said, tone, hit.means));
            }
        }
        let mut take = TakeDown { graph: self.graph, by, at, evidence, heard: Vec::new() };
        take.all(&found);
        Intake { heard: take.heard, cut: end < text.len() }
    }

    /// Wordings found in a clause, no word used twice, in the order of the text.
    fn matches(&self, clause: &[Token]) -> Vec<Match<'g>> {
        let mut all: Vec<Match<'g>> = Vec::new();
        for (start, token) in clause.iter().enumerate() {
            for (stems, means) in self.wordings.get(&token.stem).into_iter().flatten() {
                if let Some(tokens) = follow(clause, start, stems) {
                    all.push(Match { means, tokens });
                }
            }
        }
        // Longest first, then the tightest, then the earliest.
        all.sort_by_key(|m| {
            let (first, last) = (m.tokens.first().copied().unwrap_or(0), m.tokens.last().copied().unwrap_or(0));
            (usize::MAX - m.tokens.len(), last - first, first)
        });
        // What the bike is may be told inside a longer wording of what it does.
        let mut used = [BTreeSet::new(), BTreeSet::new()];
        let mut kept: Vec<Match<'g>> = Vec::new();
        for m in all {
            let of_the_bike = !m.means.is_empty() && m.means.iter().all(|x| matches!(x, Meaning::Fact(..)));
            let [of_what_it_does, of_what_it_is] = &mut used;
            let used = if of_the_bike { of_what_it_is } else { of_what_it_does };
            // The same words in two phrases mean both.
            let same = kept.iter().any(|k| k.tokens == m.tokens);
            if same || m.tokens.iter().all(|t| !used.contains(t)) {
                used.extend(m.tokens.iter().copied());
                kept.push(m);
            }
        }
        kept.sort_by_key(|m| m.tokens.first().copied());
        kept
    }
}

fn follow(clause: &[Token], start: usize, stems: &[String]) -> Option<Vec<usize>> {
    let mut tokens = vec![start];
    for stem in stems.iter().skip(1) {
        let from = tokens.last()? + 1;
        let next = (from..=from + GAP).find(|i| clause.get(*i).is_some_and(|t| t.stem == *stem))?;
        tokens.push(next);
    }
    Some(tokens)
}

fn spoken(text: &str, clause: &[Token], tokens: &[usize]) -> String {
    let span = |i: Option<&usize>| i.and_then(|i| clause.get(*i)).map(|t| t.span.clone()).unwrap_or_default();
    text.get(span(tokens.first()).start..span(tokens.last()).end).unwrap_or_default().to_owned()
}

#[derive(Clone, Copy)]
struct Tone {
    negated: bool,
    hedged: bool,
}

impl Tone {
    fn word(self) -> Word {
        match (self.negated, self.hedged) {
            (false, false) => Word::Sure,
            (false, true) => Word::ThinkSo,
            (true, true) => Word::ThinkNot,
            (true, false) => Word::SureNot,
        }
    }
}

struct TakeDown<'a> {
    graph: &'a FaultGraph,
    by: Reporter,
    at: Venue,
    evidence: &'a mut Evidence,
    heard: Vec<Heard>,
}

impl TakeDown<'_> {
    /// Complaints first: facets belong to them, wherever in the text they stand.
    fn all(&mut self, found: &[(String, Tone, &[Meaning])]) {
        for (said, tone, means) in found {
            for meaning in *means {
                if let Meaning::Complaint(c) = meaning {
                    self.complaint(said, *tone, *c);
                }
            }
        }
        let ends = self.ends_told(found);
        for (said, tone, means) in found {
            for meaning in *means {
                match meaning {
                    Meaning::Complaint(_) => {}
                    Meaning::Value(complaint, facet, value) => {
                        self.value(said, *tone, *complaint, facet.index(), *value);
                    }
                    Meaning::Sign(signs) => self.sign(said, *tone, signs, &ends),
                    Meaning::Fact(fact, value) => self.fact(said, *tone, means, *fact, *value),
                }
            }
        }
    }

    /// Several values of one fact in one phrase mean one of them.
    fn fact(&mut self, said: &str, tone: Tone, means: &[Meaning], fact: FactIx, value: usize) {
        let entry = self.graph.fact(fact);
        let of_fact = |m: &Meaning| matches!(m, Meaning::Fact(f, _) if *f == fact);
        let values: Vec<usize> = means
            .iter()
            .filter_map(|m| if let Meaning::Fact(f, v) = m { (*f == fact).then_some(*v) } else { None })
            .collect();
        let yes_no = entry.values.len() == 2 && entry.values.iter().any(|v| v.id == "no");
        let first = means.iter().find(|m| of_fact(m)) == Some(&Meaning::Fact(fact, value));
        // A narrower word stands against a wider one, whichever came first.
        let narrower =
            self.evidence.facts.get(&fact).is_none_or(|old| values.len() < old.iter().filter(|c| **c).count());
        if !first || !narrower || (tone.negated && !yes_no) {
            return;
        }
        let values = if tone.negated { vec![1 - value.min(1)] } else { values };
        let names: Vec<&str> = values.iter().filter_map(|v| entry.values.get(*v)).map(|v| v.id.as_str()).collect();
        self.note(said, entry.id.clone(), crate::words::listed(&names, "or"));
        self.evidence.narrow(self.graph, fact, &values);
    }

    fn note(&mut self, text: &str, id: String, answer: String) {
        if self.heard.iter().any(|h| h.id == id && h.answer == answer) {
            return;
        }
        self.heard.push(Heard { text: text.to_owned(), id, answer });
    }

    fn complaint(&mut self, said: &str, tone: Tone, complaint: ComplaintIx) {
        let known = self.evidence.events.iter().any(|e| e.complaint == complaint);
        // "No noise" is only worth something where the noise was not told of otherwise.
        if !known && !tone.negated {
            self.evidence.events.push(Event::certain(complaint));
            self.note(said, self.graph.complaint(complaint).id.clone(), tone.word().word().to_owned());
        }
    }

    fn value(&mut self, said: &str, tone: Tone, only: Option<ComplaintIx>, facet: usize, value: usize) {
        let graph = self.graph;
        for index in 0..self.evidence.events.len() {
            let Some(complaint) = self.evidence.events.get(index).map(|e| e.complaint) else { continue };
            if only.is_some_and(|c| c != complaint) {
                continue;
            }
            let uses = &graph.complaint(complaint).facets;
            let Some(pos) = uses.iter().position(|u| u.facet.index() == facet) else { continue };
            let Some(entry) = uses.get(pos).map(|u| graph.facet(u.facet)) else { continue };
            let (likelihood, answer) = if entry.yes_no {
                let yes = (value == 0) != tone.negated;
                let word = Tone { negated: !yes, hedged: tone.hedged }.word();
                (read_yes_no(graph, Answer::Word(word), self.by, false), if yes { "yes" } else { "no" }.to_owned())
            } else if tone.negated {
                if entry.id != "end" {
                    continue;
                }
                // "The rear one is fine" points to the other.
                let id = entry.values.get(value).map(|v| format!("not-{}", v.id)).unwrap_or_default();
                let told = read_value(graph, complaint, pos, value, self.by, false);
                (told.into_iter().map(|l| (1.0 - l).max(0.05)).collect(), id)
            } else {
                let id = entry.values.get(value).map(|v| v.id.clone()).unwrap_or_default();
                let mut likelihood = read_value(graph, complaint, pos, value, self.by, false);
                if tone.hedged {
                    // A hedge halves the weight of what is said.
                    likelihood.iter_mut().for_each(|l| *l = l.sqrt());
                }
                (likelihood, id)
            };
            let id = format!("{}.{}", graph.complaint(complaint).id, entry.id);
            if let Some(event) = self.evidence.events.get_mut(index) {
                match event.facets.get_mut(&pos) {
                    // Two values told of one facet: either will do.
                    Some(old) => old.iter_mut().zip(&likelihood).for_each(|(o, l)| *o = o.max(*l)),
                    None => {
                        event.facets.insert(pos, likelihood);
                    }
                }
            }
            self.note(said, id, answer);
            if only.is_none() && TOLD_ONCE.contains(&entry.id.as_str()) {
                return;
            }
        }
    }

    /// Words for the end that the text uses; what was told of the end before, if it uses none.
    fn ends_told(&self, found: &[(String, Tone, &[Meaning])]) -> BTreeSet<String> {
        let mut ends = BTreeSet::new();
        for meaning in found.iter().filter(|(_, tone, _)| !tone.negated).flat_map(|(_, _, means)| *means) {
            if let Meaning::Value(_, facet, value) = meaning {
                let facet = self.graph.facet(*facet);
                if facet.id == "end" {
                    ends.extend(facet.values.get(*value).map(|v| v.id.clone()));
                }
            }
        }
        if ends.is_empty() {
            for event in &self.evidence.events {
                let Some(pos) = self.graph.find_facet(event.complaint, "end") else { continue };
                let Some(told) = event.facets.get(&pos) else { continue };
                let most = told.iter().copied().fold(0.0, f64::max);
                let facet = self.graph.complaint(event.complaint).facets.get(pos).map(|u| self.graph.facet(u.facet));
                let value = told.iter().position(|x| *x == most);
                ends.extend(facet.zip(value).and_then(|(f, v)| f.values.get(v)).map(|v| v.id.clone()));
            }
        }
        ends
    }

    fn sign(&mut self, said: &str, tone: Tone, signs: &[SignIx], ends: &BTreeSet<String>) {
        let graph = self.graph;
        let told: Vec<SignIx> = signs
            .iter()
            .copied()
            .filter(|s| ends.len() != 1 || graph.sign(*s).end.is_none_or(|e| ends.contains(e.word())))
            .collect();
        let signs = if told.is_empty() { signs.to_vec() } else { told };
        let Some(first) = signs.first().copied() else { return };
        let answer = tone.word();
        let likelihood = read_sign(graph, first, Answer::Word(answer), self.by, self.at, false);
        let id = if signs.len() == 1 { graph.sign(first).id.clone() } else { graph.sign(first).root.clone() };
        self.evidence.report_sign(SignReport { signs, by: self.by, likelihood });
        self.note(said, id, answer.word().to_owned());
    }
}
