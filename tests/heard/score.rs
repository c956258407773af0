//! Holds what is heard of letters against what people said was in them.
//!
//! One line of the set: `{"id","voice","text","bike":["motor=hub"],"hears":["noise=sure",
//! "noise.sound=click","noise#2.end=rear","SIGN=sure-not"],"not":["ID"]}`. An item is an id with
//! a value, or with there or not there: `sure` and `think-so` are there, `think-not` and
//! `sure-not` are not. A sign heard without its end counts for either end. Where two events
//! of one complaint are told, the pairing that suits best counts. One of several values counts
//! where a label names one of them, and is not held against anything where none does.

use std::collections::BTreeSet;

use knockwise::graph::FaultGraph;
use knockwise::inference::evidence::Evidence;
use knockwise::intake::Lexicon;
use knockwise::knowledge::terms::{Reporter, Venue};
use serde_json::Value;

/// A letter with what is in it.
pub struct Letter {
    pub id: String,
    pub text: String,
    /// Items, bike facts among them.
    pub items: BTreeSet<(String, String)>,
    /// Ids that must not be heard.
    pub not: Vec<String>,
}

/// What came of a letter, or of all of them.
#[derive(Default)]
pub struct Score {
    /// Heard and said to be in it.
    pub right: usize,
    /// Heard and not said to be in it.
    pub wrong: Vec<String>,
    /// Said to be in it and not heard.
    pub missed: Vec<String>,
    /// Heard as there and said not to be, or the reverse; these are wrong and missed too.
    pub turned: Vec<String>,
    /// Heard although named as what must not be; these are wrong too.
    pub barred: Vec<String>,
}

impl Score {
    pub fn add(&mut self, other: Self) {
        self.right += other.right;
        self.wrong.extend(other.wrong);
        self.missed.extend(other.missed);
        self.turned.extend(other.turned);
        self.barred.extend(other.barred);
    }
}

/// Reads a set, one letter a line.
pub fn letters(text: &str) -> Result<Vec<Letter>, String> {
    let read = |(n, line): (usize, &str)| {
        let bad = |why: String| format!("line {}: {why}", n + 1);
        let value: Value = serde_json::from_str(line).map_err(|e| bad(e.to_string()))?;
        let word = |key: &str| value[key].as_str().map(str::to_owned).ok_or_else(|| bad(format!("no text `{key}`")));
        let list = |key: &str| -> Vec<String> {
            value[key].as_array().into_iter().flatten().filter_map(|v| v.as_str().map(str::to_owned)).collect()
        };
        let pair = |p: &String| {
            p.split_once('=').map(|(i, a)| (i.to_owned(), sense(a).to_owned())).ok_or_else(|| bad(format!("`{p}`")))
        };
        let items = list("bike").iter().chain(&list("hears")).map(pair).collect::<Result<_, _>>()?;
        Ok(Letter { id: word("id")?, text: word("text")?, items, not: list("not") })
    };
    text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()).map(read).collect()
}

fn sense(answer: &str) -> &str {
    match answer {
        "sure" | "think-so" => "there",
        "think-not" | "sure-not" => "not there",
        value => value,
    }
}

/// Hears a letter as a rider's at home and scores it.
pub fn hear(graph: &FaultGraph, lexicon: &Lexicon, letter: &Letter) -> Score {
    let mut evidence = Evidence::default();
    let intake = lexicon.hear(&letter.text, Reporter::Rider, Venue::Home, &mut evidence);
    let said = |id: &str, answer: &str| {
        let by = intake.heard.iter().find(|h| h.id == id && sense(&h.answer) == answer);
        by.map(|h| format!(" ({})", h.text.replace('\n', " "))).unwrap_or_default()
    };
    let heard: BTreeSet<(String, String)> = intake
        .heard
        .iter()
        .filter(|h| known(graph, &h.id))
        .map(|h| (h.id.clone(), sense(&h.answer).to_owned()))
        .collect();
    // A second event may be the one that is labelled first.
    let mut best = compare(letter, &heard, &said);
    let doubled: BTreeSet<String> =
        heard.iter().filter_map(|(id, _)| id.split_once('#')).map(|(c, _)| c.to_owned()).collect();
    for complaint in doubled {
        let swapped: BTreeSet<(String, String)> =
            heard.iter().map(|(id, a)| (swapped(id, &complaint), a.clone())).collect();
        let other = compare(letter, &swapped, &said);
        if other.right > best.right {
            best = other;
        }
    }
    best
}

/// Only what labels can name counts.
fn known(graph: &FaultGraph, id: &str) -> bool {
    let root = id.split(['.', '#', '@']).next().unwrap_or(id);
    graph.find_complaint(root).is_some() || graph.find_fact(root).is_some() || !graph.find_signs(root).is_empty()
}

fn swapped(id: &str, complaint: &str) -> String {
    match id.strip_prefix(complaint) {
        Some(rest) if rest.is_empty() || rest.starts_with('.') => format!("{complaint}#2{rest}"),
        Some(rest) if rest.starts_with("#2") => format!("{complaint}{}", &rest[2..]),
        _ => id.to_owned(),
    }
}

fn same_thing(a: &str, b: &str) -> bool {
    let parts =
        |id: &str| id.split_once('@').map_or((id.to_owned(), None), |(r, e)| (r.to_owned(), Some(e.to_owned())));
    let ((a, a_end), (b, b_end)) = (parts(a), parts(b));
    a == b && (a_end.is_none() || b_end.is_none() || a_end == b_end)
}

fn compare(letter: &Letter, heard: &BTreeSet<(String, String)>, words: &dyn Fn(&str, &str) -> String) -> Score {
    let mut score = Score::default();
    let mut open: Vec<&(String, String)> = letter.items.iter().collect();
    for (id, answer) in heard {
        let fits = |(i, a): &&(String, String)| same_thing(i, id) && answer.split(" or ").any(|x| x == a);
        if let Some(at) = open.iter().position(fits) {
            open.remove(at);
            score.right += 1;
            continue;
        }
        // "Hub or mid" of an e-bike is true, and no label can say so: a label names one value.
        if answer.contains(" or ") && !letter.items.iter().any(|(i, _)| same_thing(i, id)) {
            continue;
        }
        let said = format!("{}: {id}={answer}{}", letter.id, words(id, answer));
        let opposite = |a: &str, b: &str| {
            [("there", "not there"), ("not there", "there"), ("yes", "no"), ("no", "yes")].contains(&(a, b))
        };
        if letter.items.iter().any(|(i, a)| same_thing(i, id) && opposite(a, answer)) {
            score.turned.push(said.clone());
        }
        // What must not be heard is named as there; that it is not there may be heard.
        if letter.not.iter().any(|n| (same_thing(n, id) && answer != "not there") || *n == format!("{id}={answer}")) {
            score.barred.push(said.clone());
        }
        score.wrong.push(said);
    }
    score.missed = open.iter().map(|(i, a)| format!("{}: {i}={a}", letter.id)).collect();
    score
}
