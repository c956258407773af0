//! Numbers with units, said in passing: "about 18 mm of 57" is a reading of a gauge.

use std::collections::BTreeSet;
use std::ops::Range;

use super::lexicon::Lexicon;
use super::text::Clause;
use super::{Heard, reports};
use crate::graph::{Amount, End};
use crate::inference::evidence::Evidence;
use crate::knowledge::terms::{Manner, Word};
use crate::quantity::Quantity;

/// Most words between two numbers of one reading.
const APART: usize = 4;

/// A number said, with its unit if it has one.
struct Said {
    /// Where its words begin in the clause.
    at: usize,
    /// How many words it takes.
    words: usize,
    number: String,
    unit: String,
}

/// Takes down the readings that a text tells, and says which bytes of it told them; what no gauge takes is left alone.
pub(super) fn take(
    lexicon: &Lexicon<'_>,
    text: &str,
    clauses: &[Clause],
    evidence: &mut Evidence,
    heard: &mut Vec<Heard>,
) -> Vec<Range<usize>> {
    let mut told = Vec::new();
    for clause in clauses.iter().filter(|c| !c.whole && !c.has(Manner::Elsewhere) && !c.has(Manner::Withdrawn)) {
        let said = numbers(text, clause);
        let mut taken: Vec<&str> = Vec::new();
        for amount in lexicon.graph.reading.amounts.iter().filter(|_| !said.is_empty()) {
            if !taken.contains(&amount.gauge.as_str()) && near(lexicon, clauses, clause, amount) {
                let end = end_named(lexicon, clauses, clause, evidence);
                let reading = read(lexicon, text, clause, (&said, end), amount, evidence, heard);
                taken.extend(reading.as_ref().map(|_| amount.gauge.as_str()));
                told.extend(reading);
            }
        }
    }
    told
}

fn near(lexicon: &Lexicon<'_>, clauses: &[Clause], clause: &Clause, amount: &Amount) -> bool {
    let any = |of: &[String]| {
        let stems: Vec<String> = of.iter().flat_map(|word| lexicon.reader.stems.all(word)).collect();
        sentence(clauses, clause).any(|stem| stems.iter().any(|s| s == stem))
    };
    any(&amount.near) && (amount.also.is_empty() || any(&amount.also))
}

/// The stems of the sentence in which a clause stands.
fn sentence<'c>(clauses: &'c [Clause], clause: &Clause) -> impl Iterator<Item = &'c str> {
    let sentence = clause.sentence;
    clauses.iter().filter(move |c| c.sentence == sentence).flat_map(|c| &c.words).map(|t| t.stem.as_str())
}

/// Parts of one end only.
const AT_ONE_END: [(&str, End); 3] = [("shock", End::Rear), ("fork", End::Front), ("rear-shock", End::Rear)];

/// The end that a sentence names, by itself or by a part that is nowhere else; the one that was told before, where it
/// names none.
fn end_named(lexicon: &Lexicon<'_>, clauses: &[Clause], clause: &Clause, evidence: &Evidence) -> Option<End> {
    let named = |stem: &str| {
        let by_part = AT_ONE_END.into_iter().find(|(part, _)| *part == stem).map(|(_, end)| end);
        End::BOTH.into_iter().find(|end| end.word() == stem).or(by_part)
    };
    let here: BTreeSet<End> = sentence(clauses, clause).filter_map(named).collect();
    let before = || {
        let told = evidence.ends_told(lexicon.graph);
        End::BOTH.into_iter().filter(|end| told.contains(end.word())).collect()
    };
    let ends = if here.is_empty() { before() } else { here };
    ends.first().copied().filter(|_| ends.len() == 1)
}

/// Numbers of a clause. The unit may be part of the word, the next word, or a sign behind it.
fn numbers(text: &str, clause: &Clause) -> Vec<Said> {
    let mut said = Vec::new();
    for (at, token) in clause.words.iter().enumerate() {
        let word = text.get(token.span.clone()).unwrap_or_default();
        if !word.starts_with(|c: char| c.is_ascii_digit()) {
            continue;
        }
        // "12 1/8 inches" and "12 and 1/8 inches" are one number.
        let mixed = (2..=5).rev().find_map(|n| {
            let last = clause.words.get(at + n - 1)?;
            let whole = text.get(token.span.start..last.span.end)?.replace("and ", "");
            let (number, unit) = whole.rsplit_once(' ').filter(|(number, _)| number.contains('/'))?;
            Quantity::read(&format!("{number} {}", spelt(unit))).ok()?;
            Some(Said { at, words: n, number: number.to_owned(), unit: format!(" {}", spelt(unit)) })
        });
        if let Some(mixed) = mixed {
            said.push(mixed);
            continue;
        }
        let split = word.find(|c: char| c.is_alphabetic()).unwrap_or(word.len());
        let (number, own) = word.split_at(split);
        let next = clause.words.get(at + 1).and_then(|t| text.get(t.span.clone())).unwrap_or_default();
        let behind = text.get(token.span.end..).unwrap_or_default().trim_start();
        let sign = ["%", "\"", "\u{2033}"].into_iter().find(|s| behind.starts_with(*s)).unwrap_or_default();
        let fits = |unit: &str| !unit.is_empty() && Quantity::read(&format!("1 {unit}")).is_ok();
        let (words, unit) = match () {
            () if fits(own) => (1, own),
            () if fits(sign) => (1, sign),
            () if fits(&spelt(next)) => (2, next),
            () => (1, ""),
        };
        said.push(Said { at, words, number: number.to_owned(), unit: spelt(unit) });
    }
    said
}

/// Units as people write them out.
fn spelt(unit: &str) -> String {
    match unit.to_lowercase().as_str() {
        "millimetre" | "millimetres" | "millimeter" | "millimeters" | "mil" | "mill" | "mils" => "mm".to_owned(),
        "percent" | "per" => "%".to_owned(),
        "pounds" | "lbs" => "psi".to_owned(),
        "inch" | "inches" => "in".to_owned(),
        "volts" | "volt" => "V".to_owned(),
        _ => unit.to_owned(),
    }
}

fn read(
    lexicon: &Lexicon<'_>,
    text: &str,
    clause: &Clause,
    (said, end): (&[Said], Option<End>),
    amount: &Amount,
    evidence: &mut Evidence,
    heard: &mut Vec<Heard>,
) -> Option<Range<usize>> {
    for window in said.windows(amount.keys.len().max(1)) {
        let close = window.windows(2).all(|two| two[1].at - two[0].at <= APART + two[0].words);
        // "18 mm of 57": a number without a unit has its neighbour's.
        let unit = |s: &Said| {
            let other = window.iter().map(|w| w.unit.as_str()).find(|u| !u.is_empty());
            if s.unit.is_empty() { other.unwrap_or_default().to_owned() } else { s.unit.clone() }
        };
        if !close || window.iter().all(|s| s.unit.is_empty()) {
            continue;
        }
        let pair = |(keys, s): (&String, &Said)| -> Vec<String> {
            keys.split('+').map(|key| format!("{key}={}{}", s.number, unit(s))).collect()
        };
        let pairs = amount.keys.iter().zip(window).flat_map(pair).collect::<Vec<_>>().join(",");
        let at_end = end.map(|end| format!("{}:{pairs},end={}", amount.gauge, end.word()));
        let anywhere = format!("{}:{pairs}", amount.gauge);
        // What the gauge refuses was no reading of it.
        let taken = at_end.into_iter().chain([anywhere]).find_map(|text| {
            let mut after = evidence.clone();
            let reading = reports::measure(lexicon.graph, &mut after, &text).ok()?;
            Some((reading, after))
        });
        let Some((reading, after)) = taken else { continue };
        *evidence = after;
        let (first, last) = (window.first(), window.last());
        let start = first.and_then(|s| clause.words.get(s.at)).map_or(0, |t| t.span.start);
        let end = last.and_then(|s| clause.words.get(s.at + s.words - 1)).map_or(start, |t| t.span.end);
        for soft in &reading.softs {
            let there = soft.slight.max(soft.strong);
            let word = if there >= soft.none { Word::Sure } else { Word::SureNot };
            let text = text.get(start..end).unwrap_or_default().to_owned();
            heard.push(Heard { text, id: reports::sign_of(lexicon.graph, soft), answer: word.word().to_owned() });
        }
        return Some(start..end);
    }
    None
}
