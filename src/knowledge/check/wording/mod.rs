//! How the knowledge speaks: one rule a file, each a note to the author.
//!
//! Notes never keep the program from answering; they are found only when the
//! author asks for them. Words are judged as people read them: a text is a
//! name, a question, a plain sentence or an act, with the entry it belongs to.
//! What counts as a hard word is written in the knowledge, as `Gloss` entries.

mod stray_capital;
mod too_long;
mod two_questions;
mod unexplained_word;
mod unsourced_number;
mod untold_cause;

use super::end_of;
use crate::knowledge::Knowledge;
use crate::knowledge::format::Id;
use crate::knowledge::terms::{Reporter, Standing, Venue};
use crate::snag::Snag;

/// Every code a note on wording can have.
pub const CODES: &[&str] =
    &["stray-capital", "too-long", "two-questions", "unexplained-word", "unsourced-number", "untold-cause"];

/// Runs every rule; notes come in the order of the files.
pub fn notes(knowledge: &Knowledge) -> Vec<Snag> {
    let texts = texts(knowledge);
    let mut notes = Vec::new();
    for rule in [
        stray_capital::check,
        too_long::check,
        two_questions::check,
        unexplained_word::check,
        unsourced_number::check,
        untold_cause::check,
    ] {
        rule(knowledge, &texts, &mut notes);
    }
    knowledge.in_file_order(&mut notes);
    notes
}

/// What a text is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Use {
    /// A name, put into sentences and lists.
    Name,
    /// A question.
    Ask,
    /// A cause's plain sentence.
    Plain,
    /// An act: a check, a step, a proof, a warning.
    Act,
    /// A tool, a part, a phrase.
    Thing,
}

/// A text as people read it.
#[derive(Debug, Clone, Copy)]
struct Text<'k> {
    /// The entry.
    at: &'k Id,
    /// What it is for.
    role: Use,
    /// The words.
    words: &'k str,
    /// True if the rider has to understand it.
    rider: bool,
    /// True if a number in it has nothing but judgement behind it.
    judged: bool,
}

/// Says something of some words inside a text.
fn note(k: &Knowledge, text: &Text<'_>, words: &str, code: &'static str, headline: String, mend: String) -> Snag {
    Snag { code, place: k.place_of_words(text.at, text.words, words), headline, nearest: None, mend }
}

fn texts(k: &Knowledge) -> Vec<Text<'_>> {
    let judged = |source: &Id| {
        k.sources.iter().find(|s| s.id.value == source.value).is_some_and(|s| s.standing == Standing::Judgement)
    };
    let mut all = Vec::new();
    let mut take = |at, role, words, rider, judged| all.push(Text { at, role, words, rider, judged });
    for e in &k.facts {
        take(&e.id, Use::Name, e.name.as_str(), true, false);
        take(&e.id, Use::Ask, e.ask.as_str(), true, false);
        e.values.iter().for_each(|v| take(&e.id, Use::Name, v.name.as_str(), true, false));
    }
    for e in &k.facets {
        take(&e.id, Use::Ask, e.ask.as_str(), true, false);
        e.values.iter().for_each(|v| take(&e.id, Use::Name, v.name.as_str(), true, false));
    }
    for e in &k.complaints {
        take(&e.id, Use::Name, e.name.as_str(), true, false);
        take(&e.id, Use::Ask, e.ask.as_str(), true, false);
    }
    for e in &k.signs {
        take(&e.id, Use::Name, e.name.as_str(), false, judged(&e.source));
    }
    for e in &k.causes {
        take(&e.id, Use::Name, e.name.as_str(), false, judged(&e.source));
        take(&e.id, Use::Plain, e.plain.as_str(), true, judged(&e.source));
        take(&e.id, Use::Act, e.check.as_str(), false, judged(&e.source));
    }
    for e in &k.questions {
        let rider = (e.by.is_empty() || e.by.contains(&Reporter::Rider)) && e.at.iter().any(|v| *v != Venue::Bench);
        // A question leans on the sources of the signs that it settles.
        let signs = k.signs.iter().filter(|s| e.settles.iter().any(|x| end_of(x.as_str()).0 == s.id.as_str()));
        let judged = signs.map(|s| judged(&s.source)).reduce(|a, b| a && b).unwrap_or(true);
        take(&e.id, Use::Ask, e.ask.as_str(), rider, judged);
        e.options.iter().for_each(|o| take(&e.id, Use::Name, o.say.as_str(), rider, judged));
        e.tools.iter().for_each(|t| take(&e.id, Use::Thing, t.as_str(), false, false));
    }
    for e in &k.remedies {
        take(&e.id, Use::Name, e.name.as_str(), false, judged(&e.source));
        e.steps.iter().for_each(|s| take(&e.id, Use::Act, s.as_str(), false, judged(&e.source)));
        [&e.proof, &e.slip, &e.hand_over]
            .iter()
            .for_each(|s| take(&e.id, Use::Act, s.as_str(), false, judged(&e.source)));
        e.tools.iter().chain(&e.parts).for_each(|t| take(&e.id, Use::Thing, t.as_str(), false, false));
    }
    for e in &k.cautions {
        take(&e.id, Use::Act, e.text.as_str(), false, judged(&e.source));
    }
    for e in &k.flags {
        [&e.say, &e.clear].iter().for_each(|s| take(&e.id, Use::Act, s.as_str(), false, false));
    }
    for e in &k.phrases {
        e.say.iter().for_each(|s| take(&e.id, Use::Thing, s.as_str(), false, false));
    }
    for e in &k.tellings {
        e.said.iter().for_each(|s| take(&e.id, Use::Thing, s.as_str(), false, false));
    }
    all
}

/// Words of a text with their places: letters and digits, joined by hyphens and apostrophes.
fn words_of(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let inside = |c: char| c.is_alphanumeric() || matches!(c, '-' | '\'' | '’');
    text.split(move |c| !inside(c)).filter(|w| !w.is_empty()).map(|w| (w.as_ptr() as usize - text.as_ptr() as usize, w))
}
