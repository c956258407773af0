//! An answer in words, held against the question that stands before it is heard as anything else.

use super::reply::options;
use crate::graph::{FaultGraph, QuestionIx, Topic};
use crate::words::stems::Stems;

/// Longer speech tells more than an answer, and is heard as speech.
const MOST_WORDS: usize = 6;

/// Finds the option that a short answer means, if it is plain which.
pub fn in_words(graph: &FaultGraph, reader: &Stems, question: QuestionIx, words: &str) -> Option<usize> {
    let said = reader.counting(words);
    if said.len() > MOST_WORDS {
        return None;
    }
    let first = words.split_whitespace().next()?.to_lowercase();
    let first = first.trim_matches(|c: char| !c.is_alphanumeric());
    let topic = &graph.question(question).topic;
    let options = options(graph, question);
    let five = matches!(topic, Topic::Signs(_)) && graph.question(question).options.is_empty();
    let yes_no = options.len() == 2 && options.first().is_some_and(|o| o == "yes");
    if five || yes_no {
        return match first {
            "yes" | "yeah" | "yep" | "aye" => Some(0),
            "no" | "nope" => Some(options.len() - 1),
            "probably" | "maybe" if five => Some(1),
            _ => None,
        };
    }
    let shared = |option: &String| {
        let stems = reader.counting(option);
        said.iter().filter(|s| stems.contains(s)).count()
    };
    let counts: Vec<usize> = options.iter().map(shared).collect();
    let most = counts.iter().copied().max().filter(|n| *n > 0 && n * 3 >= said.len())?;
    let mut best = counts.iter().enumerate().filter(|(_, n)| **n == most).map(|(i, _)| i);
    best.next().filter(|_| best.next().is_none())
}
