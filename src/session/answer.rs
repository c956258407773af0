//! An answer in words, held against the question that stands before it is heard as anything else.

use std::collections::BTreeSet;

use super::command::number;
use super::reply::{offered, options};
use crate::graph::{FaultGraph, QuestionIx, Topic};
use crate::inference::evidence::Evidence;
use crate::intake::Lexicon;
use crate::words::stems::Stems;

/// So people say that all is as it should be: whether that is a yes or a no is asked.
const WELL: &[&str] = &["ok", "okay", "fine", "good", "all right", "alright", "well", "perfect"];
/// Beside these.
const BESIDE_WELL: &[&str] = &[
    "it",
    "they",
    "that",
    "this",
    "both",
    "all",
    "is",
    "are",
    "it's",
    "they're",
    "that's",
    "looks",
    "look",
    "seems",
    "seem",
    "feels",
    "feel",
    "just",
    "quite",
    "very",
    "there",
    "everything",
    "of",
    "them",
    "the",
    "one",
    "ones",
];

/// Longer speech tells more than an answer, and is heard as speech.
const MOST_WORDS: usize = 6;

/// Said before an answer by whoever passes it on.
const TELLERS: &[&str] = &[
    "he says ",
    "she says ",
    "they say ",
    "he said ",
    "she said ",
    "the rider says ",
    "the customer says ",
    "he thinks ",
    "she thinks ",
];

const YES: &[&str] =
    &["yes", "yeah", "yep", "aye", "sure", "certain", "certainly", "definitely", "of course", "it does", "it is"];
const NO: &[&str] = &[
    "no",
    "nope",
    "never",
    "it does not",
    "it doesn't",
    "it is not",
    "it isn't",
    "definitely not",
    "sure not",
    "certainly not",
];
const PROBABLY: &[&str] = &[
    "probably",
    "maybe",
    "perhaps",
    "possibly",
    "sort of",
    "kind of",
    "a bit",
    "a little",
    "i think so",
    "think so",
    "i believe so",
    "yes i think so",
];
const UNLIKELY: &[&str] = &[
    "probably not",
    "i think not",
    "think not",
    "i don't think so",
    "i do not think so",
    "no i don't think so",
    "no, i don't think so",
    "not really",
    "hardly",
    "unlikely",
];

/// Said behind an answer.
const THANKS: &[&str] = &[" thanks", " thank you", " cheers", " ta"];

/// Beside a yes or no these take its certainty.
const DOUBTS: &[&str] = &["i think", "probably", "maybe", "i guess", "a bit", "i believe"];

/// Riders say so of the rear.
const BACK: &[&str] = &["back", "the back", "at the back", "from the back", "behind", "back end"];

/// These begin an answer; the others are one only when nothing follows.
const FIRST: &[&str] = &["yes", "yeah", "yep", "aye", "no", "nope", "probably", "maybe"];

/// Small letters, plain apostrophes, nothing behind the last word.
pub(super) fn folded(words: &str) -> String {
    words.to_lowercase().replace('\u{2019}', "'").trim_end_matches(['.', '!', ',']).to_owned()
}

/// What follows a yes or no, if it begins the answer.
fn follows<'a>(answer: &'a str, saying: &str) -> Option<&'a str> {
    let rest = answer.strip_prefix(saying).filter(|_| FIRST.contains(&saying))?;
    (!rest.starts_with(char::is_alphanumeric)).then_some(rest)
}

/// Finds the option that a short answer means, if it is plain which.
pub fn in_words(
    graph: &FaultGraph,
    reader: &Stems,
    evidence: &Evidence,
    question: QuestionIx,
    words: &str,
) -> Option<usize> {
    let folded = folded(words);
    let lower = TELLERS.iter().find_map(|teller| folded.strip_prefix(teller)).unwrap_or(&folded).trim();
    let options = options(graph, question);
    if let Some(label) = options.iter().position(|option| option.to_lowercase() == lower) {
        return Some(label);
    }
    if let Some(option) = place(lower).and_then(|place| offered(graph, evidence, question).get(place).copied()) {
        return Some(option);
    }
    let rear = options.iter().position(|option| option == "rear");
    if rear.is_some() && BACK.contains(&lower) {
        return rear;
    }
    let said = reader.counting(lower);
    if said.len() > MOST_WORDS {
        return None;
    }
    let topic = &graph.question(question).topic;
    let five = matches!(topic, Topic::Signs(_)) && graph.question(question).options.is_empty();
    let yes_no = options.len() == 2 && options.first().is_some_and(|o| o == "yes");
    if five || yes_no {
        // "No, the front one" mends something else: what follows must be about what was asked.
        let asked = reader.counting(&graph.question(question).ask);
        let about = |rest: &str| {
            let said = reader.counting(rest);
            // "No play when I rock it" denies something else, though "rock" was asked too.
            !rest.contains('?') && said.iter().filter(|w| asked.contains(w)).count() * 2 >= said.len()
        };
        let told = |sayings: &[&str]| sayings.iter().any(|s| lower == *s || follows(lower, s).is_some_and(about));
        let last = options.len() - 1;
        let doubts = five && DOUBTS.iter().any(|d| lower.contains(d));
        let unsure = [(UNLIKELY, last.saturating_sub(1)), (PROBABLY, 1)];
        let unsure = unsure.into_iter().filter(|_| five).find(|(sayings, _)| told(sayings)).map(|(_, option)| option);
        let plain = || {
            let no = told(NO).then_some(if doubts { last - 1 } else { last });
            no.or_else(|| told(YES).then_some(usize::from(doubts)))
        };
        return unsure.or_else(plain);
    }
    let plainly =
        [(YES, 0), (NO, 1)].into_iter().find(|(sayings, _)| sayings.contains(&lower)).map(|(_, option)| option);
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

/// Finds what a longer sentence answers, by the words that it shares with one option and not with the others.
pub fn at_length(
    graph: &FaultGraph,
    lexicon: &Lexicon<'_>,
    evidence: &Evidence,
    question: QuestionIx,
    words: &str,
) -> Option<AtLength> {
    let stems = &lexicon.reader.stems;
    let said: BTreeSet<String> = stems.counting(words).into_iter().collect();
    let entry = graph.question(question);
    let about = || stems.counting(&entry.ask).iter().any(|word| said.contains(word));
    if lexicon.never_comes_about(words) && about() {
        return Some(AtLength::NeverSeen);
    }
    let labels = options(graph, question);
    if matches!(entry.topic, Topic::Signs(_)) && entry.options.is_empty() && is_well(words) {
        return Some(AtLength::Between(0, labels.len() - 1));
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

/// True if nothing is said but that something is as it should be: "both are ok".
fn is_well(words: &str) -> bool {
    let folded = folded(words);
    let well = |well: &&str| folded.split(' ').any(|word| word == *well) || folded.ends_with(well);
    let beside = |word: &str| BESIDE_WELL.contains(&word) || WELL.iter().any(|w| w.split(' ').any(|w| w == word));
    WELL.iter().any(well) && folded.split(' ').all(beside)
}

/// The things between which a question asks: "clamped at its side, or pushed in from above?"
fn alternatives(ask: &str) -> Vec<&str> {
    let last = ask.trim_end_matches('?').rsplit(['.', '?', ':']).next().unwrap_or_default();
    last.split(" or ").flat_map(|part| part.split(", ")).filter(|part| !part.trim().is_empty()).collect()
}

/// True for a plain yes, with thanks or not.
pub fn is_yes(words: &str) -> bool {
    let folded = folded(words);
    let bare = THANKS.iter().find_map(|thanks| folded.strip_suffix(thanks)).unwrap_or(&folded);
    YES.contains(&bare.trim_end_matches([',', ' ']))
}

/// True for a plain no.
pub fn is_no(words: &str) -> bool {
    NO.contains(&folded(words).trim())
}

/// True for a yes or no with nothing beside it.
pub fn is_bare(words: &str) -> bool {
    let lower = folded(words);
    [YES, NO, PROBABLY, UNLIKELY].iter().any(|sayings| sayings.contains(&lower.trim()))
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
