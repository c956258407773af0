//! An answer in words, held against the question that stands before it is heard as anything else.

use std::collections::BTreeSet;

use super::command::number;
use super::options::{offered, options};
use super::sayings::{Line, passed_on};
use crate::graph::{FaultGraph, QuestionIx, Reading, Topic};
use crate::inference::evidence::Evidence;
use crate::intake::Lexicon;
use crate::knowledge::terms::Manner;
use crate::words::stems::Stems;

/// Longer speech tells more than an answer, and is heard as speech.
const MOST_WORDS: usize = 6;

/// Longer than this, a line says more than how an option begins.
const MOST_WORDS_OF_A_HEAD: usize = 12;

/// Words behind "no play" that say nothing more: "at all", "that I can feel".
const MOST_BEHIND: usize = 4;

/// What a sentence of its own answers.
#[derive(Debug, Clone)]
pub enum AtLength {
    /// This option.
    Is(usize),
    /// One of two.
    Between(usize, usize),
    /// What is asked about never comes, so that nobody can tell.
    NeverSeen,
}

/// So many more words must an option share with an answer than any other does.
const CLEARLY: usize = 2;

/// A question that stands, against which answers in words are held.
pub struct Answering<'a> {
    pub graph: &'a FaultGraph,
    pub reader: &'a Stems,
    pub evidence: &'a Evidence,
    pub question: QuestionIx,
}

impl Answering<'_> {
    /// True of a sign that is asked about with the five words of an answer.
    fn by_five_words(&self) -> bool {
        let entry = self.graph.question(self.question);
        matches!(entry.topic, Topic::Signs(_)) && entry.options.is_empty()
    }

    /// The last option, by its place: of the five words the no.
    pub fn last(&self) -> usize {
        options(self.graph, self.question).len().saturating_sub(1)
    }

    /// Finds the option that a short answer means, if it is plain which.
    pub fn in_words(&self, words: &str) -> Option<usize> {
        let Self { graph, reader, evidence, question } = *self;
        let reading = &graph.reading;
        let line = passed_on(&Line::of(words), reading);
        let options = options(graph, question);
        if let Some(label) = options.iter().position(|option| Line::of(option) == line) {
            return Some(label);
        }
        // "Tight, she checked the nuts" begins as one option does: "tight: no nut turns".
        let head = |text: &str| text.split([':', ',', ';']).next().map(Line::of);
        let bare = |manner| head(words).is_some_and(|head| head.is(reading, manner));
        if words.contains(',') && !bare(Manner::Yes) && !bare(Manner::No) {
            let begun = |(option, _): &(usize, &String)| offered(graph, evidence, question).contains(option);
            let mut named = options.iter().enumerate().filter(begun).filter(|(_, o)| head(o) == head(words));
            if let (Some((option, _)), None) = (named.next(), named.next()) {
                return Some(option);
            }
        }
        if let Some(option) =
            place(line.text()).and_then(|place| offered(graph, evidence, question).get(place).copied())
        {
            return Some(option);
        }
        let rear = options.iter().position(|option| option == "rear");
        if rear.is_some() && line.is(reading, Manner::Rear) {
            return rear;
        }
        let said = reader.counting(line.text());
        let five = self.by_five_words();
        let yes_no = options.len() == 2 && options.first().is_some_and(|o| o == "yes");
        if let Some(option) = (!five && !yes_no).then(|| self.by_its_head(words)).flatten() {
            return Some(option);
        }
        let begins_with_yes = line.words().next().is_some_and(|word| Line::of(word).is(reading, Manner::Yes));
        if said.len() > MOST_WORDS && !(begins_with_yes && (five || yes_no)) {
            return None;
        }
        if five || yes_no {
            // "No, the front one" mends something else: what follows must be about what was asked.
            let asked = reader.counting(&graph.question(question).ask);
            let about = |rest: Line| {
                let said = reader.counting(rest.text());
                // "No play when I rock it" denies something else, though "rock" was asked too.
                let alike = |word: &String| asked.iter().any(|a| a == word || begin_alike(a, word));
                !rest.text().contains('?') && said.iter().filter(|w| alike(w)).count() * 2 >= said.len()
            };
            // "Yes, only when it freezes" is a yes, whatever follows; a "but" takes something back. "It is an e-bike" is none.
            let plainly =
                |rest: &Line| begins_with_yes && !rest.text().contains('?') && !rest.holds(reading, Manner::TellsMore);
            let told = |answer: Manner| {
                let mut after = line.after(reading, answer);
                line.is(reading, answer) || after.any(|rest| (answer == Manner::Yes && plainly(&rest)) || about(rest))
            };
            let last = self.last();
            let doubts = five && [Manner::Hedges, Manner::Probably].into_iter().any(|doubt| line.holds(reading, doubt));
            let unsure = [(Manner::Unlikely, last.saturating_sub(1)), (Manner::Probably, 1)];
            let unsure =
                unsure.into_iter().filter(|_| five).find(|(answer, _)| told(*answer)).map(|(_, option)| option);
            let plain = || {
                let no = told(Manner::No).then_some(if doubts { last - 1 } else { last });
                no.or_else(|| told(Manner::Yes).then_some(usize::from(doubts)))
            };
            return unsure.or_else(plain);
        }
        let plainly = [(Manner::Yes, 0), (Manner::Probably, 0), (Manner::No, 1), (Manner::Unlikely, 1)];
        let plainly = plainly.into_iter().find(|(answer, _)| line.is(reading, *answer)).map(|(_, option)| option);
        if let Some(option) = plainly.filter(|_| is_yes_or_no(graph, question)) {
            return Some(option);
        }
        // One half of "back-pedal" does not name it.
        let names = |option: &String| -> Vec<String> {
            let words = option.split_whitespace().map(|word| reader.counting(word));
            words.filter(|parts| parts.iter().all(|p| said.contains(p))).flatten().collect()
        };
        let shared = |option: &String| {
            let stems = names(option);
            said.iter().filter(|s| stems.contains(s)).count()
        };
        let counts: Vec<usize> = options.iter().map(shared).collect();
        let most = counts.iter().copied().max().filter(|n| *n > 0 && n * 2 >= said.len())?;
        let mut best = counts.iter().enumerate().filter(|(_, n)| **n == most).map(|(i, _)| i);
        best.next().filter(|_| best.next().is_none())
    }

    /// The one option whose beginning a line says as the option does: "it's tight, she can't move it" is "tight: ...", and
    /// not "not tight: ...".
    pub fn by_its_head(&self, words: &str) -> Option<usize> {
        let Self { graph, reader, evidence, question } = *self;
        let denies = |stem: &String| matches!(stem.as_str(), "not" | "no" | "never");
        let said = reader.counting(words);
        let doubts = words.contains('?') || Line::of(words).holds(&graph.reading, Manner::Hedges);
        if said.len() > MOST_WORDS_OF_A_HEAD || doubts {
            return None;
        }
        let denied = |at: usize| said.iter().take(at).rev().take(2).any(denies);
        let options = options(graph, question);
        let says = |option: &usize| {
            let label = options.get(*option).map(String::as_str).unwrap_or_default();
            let Some(head) = label.split([':', ',', ';', '(']).next().filter(|head| *head != label) else {
                return false;
            };
            let (not, head): (Vec<String>, Vec<String>) = reader.counting(head).into_iter().partition(denies);
            let place = |stem: &String| said.iter().position(|s| s == stem);
            !head.is_empty() && head.iter().all(|stem| place(stem).is_some_and(|at| denied(at) != not.is_empty()))
        };
        let mut named = offered(graph, evidence, question).into_iter().filter(says);
        named.next().filter(|_| named.next().is_none())
    }

    /// An answer with more behind it: "no, it sits dead centre". The option, and what follows.
    pub fn leading(&self, words: &str) -> Option<(usize, String)> {
        let (first, rest) = words.split_once([',', '.', ';', ':']).filter(|(first, _)| !first.trim().is_empty())?;
        if words.contains('?') {
            return None;
        }
        let option = self.in_words(first.trim())?;
        Some((option, rest.trim().to_owned())).filter(|(_, rest)| !rest.is_empty())
    }

    /// The yes or no that begins a short line without a comma: "no it's straight".
    pub fn begun(&self, words: &str) -> Option<usize> {
        let line = Line::of(words);
        let (first, rest) = line.text().split_once(' ')?;
        let reading = &self.graph.reading;
        let bare = [Manner::Yes, Manner::No].into_iter().any(|manner| Line::of(first).is(reading, manner));
        // "No tools here" is no answer.
        let speaks = rest.split(' ').next().is_some_and(|word| Line::of(word).is(reading, Manner::Speaks));
        let short = speaks && rest.split(' ').count() <= MOST_BEHIND;
        let more = words.contains(['?', ',']) || line.holds(reading, Manner::TellsMore);
        self.in_words(first).filter(|_| bare && short && !more)
    }

    /// True of a line that says that the sign which was asked about was looked for in vain.
    pub fn finds_nothing(&self, words: &str) -> bool {
        let line = Line::of(words);
        let Some(said) = line.held(&self.graph.reading, Manner::FindsNothing) else { return false };
        // "No play when cold, plenty once warm" says more.
        let behind = line.text().split_once(said.text()).map_or(0, |(_, rest)| rest.split_whitespace().count());
        if !self.by_five_words()
            || words.contains('?')
            || behind > MOST_BEHIND
            || line.words().any(|word| matches!(word, "but" | "until" | "when" | "once" | "except"))
        {
            return false;
        }
        let asked = self.reader.counting(&self.graph.question(self.question).ask);
        let shares = |word: &String| asked.iter().any(|a| a == word || begin_alike(a, word));
        // "No play when I rock it" finds no play where something else was looked for.
        let found: Vec<String> =
            self.reader.counting(said.text()).into_iter().filter(|w| w != "not" && w != "no").collect();
        let bare = found.iter().all(|word| word.starts_with("noth"));
        if bare { line.words().count() <= MOST_WORDS } else { found.iter().any(shares) }
    }

    /// Finds what a longer sentence answers, by the words that it shares with one option and not with the others.
    pub fn at_length(&self, lexicon: &Lexicon<'_>, words: &str) -> Option<AtLength> {
        let Self { graph, reader: stems, evidence, question } = *self;
        // A denial belongs to one word and not to an option.
        let said: BTreeSet<String> = stems.counting(words).into_iter().filter(|stem| stem != "not").collect();
        let entry = graph.question(question);
        let about = || stems.counting(&entry.ask).iter().any(|word| said.contains(word));
        if lexicon.never_comes_about(words) && about() {
            return Some(AtLength::NeverSeen);
        }
        let labels = options(graph, question);
        if self.by_five_words() && is_well(&graph.reading, words) {
            return Some(AtLength::Between(0, self.last()));
        }
        if words.contains('?') || labels.iter().all(|label| stems.counting(label).len() < CLEARLY) {
            return None;
        }
        let put = alternatives(&entry.ask);
        let telling = labels.len() - usize::from(entry.options.last().is_some_and(|o| o.means.is_empty()));
        let shared = |option: usize| {
            let asked = put.get(option).filter(|_| put.len() == telling);
            let own = labels.get(option).into_iter().map(String::as_str).chain(asked.copied());
            let own: BTreeSet<String> = own.flat_map(|text| stems.counting(text)).collect();
            own.intersection(&said).count()
        };
        let mut counts: Vec<(usize, usize)> =
            offered(graph, evidence, question).into_iter().map(|option| (shared(option), option)).collect();
        counts.sort_by_key(|(count, option)| (usize::MAX - count, *option));
        match counts.as_slice() {
            [(most, best), (next, other), ..] if *most >= CLEARLY => {
                Some(if most - next >= CLEARLY { AtLength::Is(*best) } else { AtLength::Between(*best, *other) })
            }
            _ => None,
        }
    }
}

/// Letters in which two words begin alike that are of one kin: movement and move.
const KIN: usize = 4;

fn begin_alike(one: &str, other: &str) -> bool {
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    one.len() >= KIN && other.len() >= KIN && one.iter().zip(&other).take_while(|(a, b)| a == b).count() >= KIN
}

/// True if nothing is said but that something is as it should be: "both are ok".
fn is_well(reading: &Reading, words: &str) -> bool {
    let line = Line::of(words);
    let among = |word: &str, manner: Manner| {
        reading.words(manner).any(|say| say.split(' ').any(|w| Line::of(w).text() == word))
    };
    line.holds(reading, Manner::Well) && line.words().all(|w| among(w, Manner::Well) || among(w, Manner::BesideWell))
}

/// The things between which a question asks: "clamped at its side, or pushed in from above?"
fn alternatives(ask: &str) -> Vec<&str> {
    let last = ask.trim_end_matches('?').rsplit(['.', '?', ':']).next().unwrap_or_default();
    last.split(" or ").flat_map(|part| part.split(", ")).filter(|part| !part.trim().is_empty()).collect()
}

/// True for a yes, with thanks or more behind it or not.
pub fn is_yes(reading: &Reading, words: &str) -> bool {
    let line = Line::of(words);
    line.without(reading, Manner::Thanks).is(reading, Manner::Yes) || line.after(reading, Manner::Yes).next().is_some()
}

/// True for a plain no.
pub fn is_no(reading: &Reading, words: &str) -> bool {
    Line::of(words).is(reading, Manner::No)
}

/// True of a line that a no begins.
pub fn begins_with_no(reading: &Reading, words: &str) -> bool {
    Line::of(words).begins(reading, Manner::No)
}

/// True for a yes or no with nothing beside it.
pub fn is_bare(reading: &Reading, words: &str) -> bool {
    let line = Line::of(words);
    [Manner::Yes, Manner::No, Manner::Probably, Manner::Unlikely].into_iter().any(|answer| line.is(reading, answer))
}

/// True if the question is put so that yes is its first option and no its second.
fn is_yes_or_no(graph: &FaultGraph, question: QuestionIx) -> bool {
    let entry = graph.question(question);
    let asks = entry.ask.trim_end_matches('?').rsplit(['.', '?', ')']).next().unwrap_or_default().trim_start();
    let verb = asks.split(' ').next().unwrap_or_default();
    let verb = ["Is", "Are", "Was", "Were", "Do", "Does", "Did", "Has", "Have", "Can"].contains(&verb);
    verb && entry.options.iter().filter(|o| !o.means.is_empty()).count() == 2
}

/// The place that is named in the row of options: "the third one".
fn place(answer: &str) -> Option<usize> {
    let named = answer.strip_prefix("the ").unwrap_or(answer);
    let named = named.strip_suffix(" one").or_else(|| named.strip_suffix(" option")).unwrap_or(named);
    number(named).and_then(|n| n.checked_sub(1))
}
