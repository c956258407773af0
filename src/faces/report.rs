//! The answer for people: what was heard, may I ride, what it is, what to ask, what to do.
//!
//! Plain lines, no columns that carry meaning, words beside every number.

use std::collections::BTreeSet;

use super::rank::Answered;
use crate::graph::{FaultGraph, Question, Remedy, Topic};
use crate::inquiry::Proposal;
use crate::inquiry::safety::red_flags;
use crate::probability::in_words;
use crate::words::{capitalised, harmless, shortened, wrapped};

const WIDTH: usize = 78;
/// Causes less likely than this are not named, unless nothing is likelier.
const NAMED_FROM: f64 = 0.03;
const MOST_CAUSES: usize = 6;

/// The whole report.
pub fn text(a: &Answered) -> String {
    let mut out = heard(a);
    if a.nothing_heard() {
        out += "Nothing was heard that says what the bike does.\n";
        out += "Say it in your own words, such as: --say 'it knocks when I brake'\n";
        return out + &warnings(a);
    }
    out += &ride(a);
    out += &causes(a);
    if let Some(best) = a.next.first() {
        out += &question(&a.graph, best);
    }
    if let Some(first) = a.remedies.first() {
        out += &remedy(a.graph.remedy(first.remedy));
    }
    out + &warnings(a)
}

fn warnings(a: &Answered) -> String {
    a.warnings.iter().map(|w| format!("{}\n", wrapped(w, WIDTH, "Note: ", "  "))).collect()
}

fn heard(a: &Answered) -> String {
    if a.heard.is_empty() {
        return String::new();
    }
    let mut out = "I heard\n".to_owned();
    let mut told = BTreeSet::new();
    // Saying it again adds nothing.
    for h in a.heard.iter().filter(|h| told.insert((&h.id, &h.answer, h.text.to_lowercase()))) {
        let line = format!(
            "{}: {} (\"{}\")",
            plain_name(&a.graph, &h.id),
            plain_answer(&a.graph, &h.id, &h.answer),
            harmless(&shortened(&h.text, 50))
        );
        out += &format!("{}\n", wrapped(&line, WIDTH, "  ", "    "));
    }
    out + "\n"
}

/// What an id is called in plain words.
fn plain_name(g: &FaultGraph, id: &str) -> String {
    if let Some((_, facet)) = id.split_once('.') {
        return facet.replace('-', " ");
    }
    if let Some(c) = g.find_complaint(id) {
        return g.complaint(c).name.clone();
    }
    if let Some(f) = g.find_fact(id) {
        return g.fact(f).name.clone();
    }
    g.find_signs(id).first().map_or_else(|| id.to_owned(), |s| g.sign(*s).name.clone())
}

fn plain_answer(g: &FaultGraph, id: &str, answer: &str) -> String {
    if let Some(word) = crate::knowledge::terms::Word::find(answer) {
        return word.plain().to_owned();
    }
    let facet = id.split_once('.').and_then(|(_, f)| g.facets.iter().find(|x| x.id == f));
    let values = facet.map(|f| &f.values).or_else(|| g.find_fact(id).map(|f| &g.fact(f).values));
    let name = values.and_then(|v| v.iter().find(|v| v.id == answer)).map(|v| v.name.clone());
    name.unwrap_or_else(|| answer.to_owned())
}

fn ride(a: &Answered) -> String {
    let (ride, because) = &a.ride;
    let mut out = format!("May I ride it? {}.\n", capitalised(ride.plain()));
    for flag in red_flags(&a.graph, &a.evidence) {
        out += &format!("{}\n", wrapped(&flag.say, WIDTH, "  ! ", "    "));
        out += &format!("{}\n", wrapped(&cleared(&a.graph, &flag.clear), WIDTH, "    This stands until: ", "    "));
    }
    let mut told = Vec::new();
    for cause in because.iter().take(2) {
        let cause = a.graph.cause(*cause);
        out += &format!("{}\n", wrapped(&format!("because of: {}", cause.name), WIDTH, "  ", "    "));
        for caution in cause.cautions.iter().take(2) {
            if !told.contains(&caution.id) {
                told.push(caution.id.clone());
                out += &format!("{}\n", wrapped(&caution.text, WIDTH, "  ", "  "));
            }
        }
    }
    out + "\n"
}

/// A red flag is cleared by a question or by an act.
fn cleared(g: &FaultGraph, clear: &str) -> String {
    let named = g.questions.iter().find(|q| q.id == clear || q.id.split('@').next() == Some(clear));
    named.map_or_else(|| clear.to_owned(), |q| q.ask.clone())
}

fn causes(a: &Answered) -> String {
    let mut out =
        if a.evidence.events.is_empty() { "What is likely there\n" } else { "What may bring it\n" }.to_owned();
    let ranking = a.posterior.ranking();
    let most = ranking.first().map_or(0.0, |c| a.posterior.ranked_by(*c));
    if most <= 0.0 {
        // A complaint that was ruled out is brought by nothing.
        return out
            + &format!(
                "  Nothing: {}\n",
                if a.posterior.nothing_listed() > 0.0 {
                    "no cause in my list can"
                } else {
                    "you told me that it is not there"
                }
            );
    }
    for cause in ranking.into_iter().take(MOST_CAUSES) {
        let p = a.posterior.ranked_by(cause);
        if p < NAMED_FROM.min(most) {
            break;
        }
        let entry = a.graph.cause(cause);
        out +=
            &format!("{}\n", wrapped(&format!("{}: {}", capitalised(&entry.name), in_words(p)), WIDTH, "  ", "    "));
    }
    let unlisted = a.posterior.nothing_listed();
    if unlisted >= NAMED_FROM {
        out += &format!("  Something that is not in my list: {}\n", in_words(unlisted));
    }
    if let Some(first) = a.posterior.ranking().first() {
        let entry = a.graph.cause(*first);
        out += &format!("\n{}\n", wrapped(&entry.plain, WIDTH, &format!("{}. ", capitalised(&entry.name)), ""));
        out += &format!("{}\n", wrapped(&entry.check, WIDTH, "To make sure: ", "  "));
    }
    out
}

fn question(g: &FaultGraph, p: &Proposal) -> String {
    let q = g.question(p.question);
    let mut out = "\nThe next thing worth knowing\n".to_owned();
    out += &format!("{}\n", wrapped(&q.ask, WIDTH, "  ", "  "));
    let choices = choices(g, q);
    if !choices.is_empty() {
        out += &format!("{}\n", wrapped(&format!("{})", choices.join("; ")), WIDTH, "  (", "   "));
    }
    out + &format!("{}\n", wrapped(&q.why, WIDTH, "  Why: ", "  "))
}

fn choices(g: &FaultGraph, q: &Question) -> Vec<String> {
    match &q.topic {
        Topic::Signs(_) => q.options.iter().map(|o| o.say.clone()).collect(),
        Topic::Facet(c, pos) => {
            let facet = g.complaint(*c).facets.get(*pos).map(|u| g.facet(u.facet));
            facet.filter(|f| !f.yes_no).map(|f| f.values.iter().map(|v| v.name.clone()).collect()).unwrap_or_default()
        }
        Topic::Fact(f) => g.fact(*f).values.iter().map(|v| v.name.clone()).collect(),
    }
}

fn remedy(r: &Remedy) -> String {
    let mut out = format!("\nWhat to do first: {} (about {:.0} minutes)\n", r.name, r.minutes);
    if !r.tools.is_empty() {
        out += &format!("{}\n", wrapped(&r.tools.join("; "), WIDTH, "  Tools: ", "    "));
    }
    if !r.parts.is_empty() {
        out += &format!("{}\n", wrapped(&r.parts.join("; "), WIDTH, "  Parts: ", "    "));
    }
    for caution in &r.cautions {
        out += &format!("{}\n", wrapped(&caution.text, WIDTH, "  Caution: ", "    "));
    }
    for (i, step) in r.steps.iter().enumerate() {
        out += &format!("{}\n", wrapped(step, WIDTH, &format!("  {}. ", i + 1), "     "));
    }
    for (label, words) in
        [("  Cured when: ", &r.proof), ("  Often done wrong: ", &r.slip), ("  Hand it over: ", &r.hand_over)]
    {
        if !words.is_empty() {
            out += &format!("{}\n", wrapped(words, WIDTH, label, "    "));
        }
    }
    out
}
