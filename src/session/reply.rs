//! What is said back, as lines without a width: whoever shows them wraps them.
//!
//! No colour and no column carries meaning; every number has its words.

use itertools::Itertools;

use super::answer::AtLength;
use super::command::TABLE;
use super::faults::{self, Fault, loudest};
use super::options::{offered, options};
pub use super::riding::ride;
use crate::graph::{CauseIx, FaultGraph, QuestionIx, Topic};
use crate::inference::Posterior;
use crate::inference::evidence::Evidence;
use crate::inference::explain::{Belief, Piece, leave_one_out, unexplained};
use crate::inference::problem::{fact_shares, prior};
use crate::intake::{Heard, TRIED, Unclear};
use crate::knowledge::terms::Word;
use crate::probability::in_words;
use crate::words::{TIED, capitalised, harmless, shortened};

/// Chances that come to more than this together are seen to add up to more than 1.
const ADDS_UP_FROM: f64 = 1.05;
/// Answers no longer than this, in columns, stand in one row if there are no more of them.
const SHORT: usize = 16;
const ROW: usize = 5;
/// Weights smaller than this are about the smallest anybody feels (I. J. Good).
const FELT_FROM: f64 = 1.0;

pub(super) fn greeting() -> String {
    "What does the bike do? Tell me in your own words.\n(help lists what else you can type)\n".to_owned()
}

pub(super) fn goodbye() -> String {
    "Good luck with it.\n".to_owned()
}

pub(super) fn say_more() -> String {
    "What does it do that it should not? A noise, bad braking, air that goes, no help from the motor ...\n".to_owned()
}

pub(super) fn only_denied() -> String {
    "So far you told me only what is not there. What does it do that it should not? `wrong` and a word takes out what I \
     misheard.\n"
        .to_owned()
}

pub(super) fn nothing_yet() -> String {
    "Nothing is taken down yet. Tell me what the bike does.\n".to_owned()
}

pub(super) fn not_understood(question: Option<String>) -> String {
    match question {
        None => {
            "I did not understand that. Say it another way: what is it like, where, and when does it come? For example: it squeals at the back when I brake.\n".to_owned()
        }
        Some(question) => format!(
            "I did not understand that. A number answers, ? if you can't tell, `help` lists more.\n\n{question}"
        ),
    }
}

pub(super) fn only_weighed() -> &'static str {
    "I could put no name to that; I weigh your words as they are.\n\n"
}

pub(super) fn not_taken(why: &str) -> String {
    format!("That was not taken down: {why}. Take something back with `undo`, or say it another way.\n")
}

/// What is said where an earlier sitting is kept and a new one begins.
pub fn earlier_kept() -> &'static str {
    "An earlier sitting is kept: `leave`, and `knockwise resume` goes on with it. A new one moves it aside, to \
     `sitting-before` in your state folder.\n"
}

pub(super) fn no_question() -> String {
    "No question stands. `likely` shows what it may be, `mend` how to go about the first; or tell me more.\n".to_owned()
}

pub(super) fn no_other_question() -> String {
    "I have nothing else to ask.\n".to_owned()
}

pub(super) fn left() -> String {
    "That question is left. Tell me more; `another` asks something else, an empty line asks it again, `leave` ends.\n"
        .to_owned()
}

pub(super) fn no_such_option(n: usize, most: usize) -> String {
    format!("There is no answer {n}: type a number from 1 to {most}, or ? if you can't tell.\n")
}

pub(super) fn no_such_number(n: usize) -> String {
    format!("There is no cause number {n} in the list; `likely` shows it.\n")
}

pub(super) fn no_such_cause(name: &str) -> String {
    format!("I know no cause called \"{}\"; `likely` lists those that count here.\n", harmless(&shortened(name, 60)))
}

pub(super) fn the_same() -> String {
    "These are one and the same; `likely` lists them with their numbers: `compare 1 2`.\n".to_owned()
}

/// A question of which nothing is taken down, and that nobody foresaw.
pub(super) fn a_question(standing: Option<String>) -> String {
    let text = "That asks me something, so I take nothing down from it. What I can answer: `ride` whether it may be \
                ridden, `likely` what it may be, `reasons` and a number or a name why I think so, `compare 1 2` what \
                tells two apart, `mend` how it is done, `settings` how tight or how far, `what is a` and a word.\n";
    text.to_owned() + &standing.map(|question| format!("\n{question}")).unwrap_or_default()
}

/// How a cause is made sure of, without its remedy.
pub(super) fn how_it_is_looked_at(g: &FaultGraph, fault: &Fault) -> String {
    let cause = g.cause(fault.cause);
    format!("{}. {}\nTo make sure: {}\n", capitalised(&fault.name(g)), cause.plain, cause.check)
}

/// A cause that somebody rules out, and how that is seen; `place` is its place on the list.
pub(super) fn ruled_out(g: &FaultGraph, fault: &Fault, place: usize) -> String {
    format!(
        "I have {} down as {}. What settles it: {}\nTell me what that shows; if its work was done in vain, say `tried \
         {place}`.\n",
        fault.name(g),
        in_words(fault.chance),
        g.cause(fault.cause).check,
    )
}

pub(super) fn nothing_to_take_back() -> String {
    "There is nothing to take back.\n".to_owned()
}

pub(super) fn taken_back(what: &str) -> String {
    format!("Taken back: {}\n", harmless(&shortened(what, 160)))
}

pub(super) fn keep_away() -> &'static str {
    "Until then nothing is looked at and nothing mended. `likely` tells what it may be; a mechanic wants to know.\n"
}

/// Asked before anything was told.
pub(super) fn ride_hangs_on_what_it_is() -> String {
    "That hangs on what is wrong: tell me what the bike does. Until then do not ride if a brake, the steering, a wheel, \
     the frame or the battery is not as it was.\n"
        .to_owned()
}

/// `change` with a number that no answer has.
pub(super) fn no_such_answer(n: usize, given: usize) -> String {
    match given {
        0 => "No question was answered yet, so that there is none to change.\n".to_owned(),
        1 => format!("There is no answer number {n}: one was given. `change 1` asks that question again.\n"),
        most => format!(
            "There is no answer number {n}: {most} were given. `change 1` to `change {most}` ask one of these questions \
             again, `heard` lists them.\n"
        ),
    }
}

/// `wrong` with a number that nothing heard has.
pub(super) fn not_heard_so(n: usize, heard: usize) -> String {
    match heard {
        0 => "Nothing was heard yet, so that nothing of it is wrong.\n".to_owned(),
        _ => format!("Nothing that I took down stands under number {n}; `heard` lists it with its numbers.\n"),
    }
}

/// What else the same words gave.
pub(super) fn heard_beside<'h>(g: &FaultGraph, beside: impl Iterator<Item = &'h Heard>) -> String {
    let lines: String = beside.map(|h| format!("  {}\n", heard_as(g, h))).collect();
    if lines.is_empty() {
        return lines;
    }
    format!("From the same words I heard as well, and keep it until you say `wrong` and a word of it\n{lines}\n")
}

/// Asks whether what was heard in passing is another thing that the bike does.
pub(super) fn is_it_beside(named: &[String]) -> String {
    format!(
        "Does it do this as well: {}?\n{}  Why I ask: you told me of something else before, and I may have misheard.\n",
        crate::words::listed(named, "and"),
        in_a_row(&["yes", "no, take it out"])
    )
}

pub(super) fn told_already() -> String {
    "You told me that; it is taken down.\n\n".to_owned()
}

pub(super) fn explained(word: &str, plain: &str) -> String {
    format!("{}: {plain}.\n", capitalised(word))
}

/// Asks which of several things heard is wrong; each is shown with its number.
pub(super) fn which_is_wrong<'h>(g: &FaultGraph, heard: impl Iterator<Item = (usize, &'h Heard)>) -> String {
    let lines: String = heard.map(|(n, h)| format!("  wrong {n}  {}\n", heard_as(g, h))).collect();
    format!("Which of these is wrong? Type the line's beginning; nothing is taken out yet.\n{lines}")
}

/// Said once, under what was first heard.
pub(super) fn how_to_correct() -> &'static str {
    "  (Is something wrong? `wrong` and a word of it takes it out: `wrong front`.)\n\n"
}

pub(super) fn not_heard(words: &str) -> String {
    format!("Nothing that I took down is called \"{}\"; `heard` lists it.\n", harmless(&shortened(words, 60)))
}

pub(super) fn waiting() -> String {
    "I wait; nothing runs away. An empty line asks it again.\n".to_owned()
}

pub(super) fn put_away() -> &'static str {
    "That bike is put away; the next one.\n"
}

/// What is said to somebody who takes a sitting up again.
pub fn welcome_back() -> String {
    "Here is where we were.\n".to_owned()
}

pub(super) fn help() -> String {
    let mut text = "A number answers the question. Anything else you say is taken down. Besides:\n".to_owned();
    for entry in TABLE {
        let takes = if entry.takes.is_empty() { String::new() } else { format!(" {}", entry.takes) };
        text += &format!("  {}{takes}: {}\n", entry.word, entry.help);
    }
    text
}

/// What an id of a report is called in plain words.
pub(super) fn plain_name(g: &FaultGraph, id: &str) -> String {
    if let Some((name, number)) = id.split_once('#') {
        let (number, rest) = number.split_once('.').map_or((number, String::new()), |(n, f)| (n, format!(".{f}")));
        return format!("{}, number {number}", plain_name(g, &format!("{name}{rest}")));
    }
    if let Some((_, facet)) = id.split_once('.') {
        let known = g.facets.iter().find(|f| f.id == facet);
        return known.map_or_else(|| facet.replace('-', " "), |f| f.name.clone());
    }
    if let Some(c) = g.find_complaint(id) {
        return g.complaint(c).name.clone();
    }
    if let Some(f) = g.find_fact(id) {
        return g.fact(f).name.clone();
    }
    if let Some(remedy) = g.remedies.iter().find(|r| r.id == id) {
        return remedy.name.clone();
    }
    match g.find_signs(id).as_slice() {
        [] => id.to_owned(),
        [only] => g.sign(*only).name.clone(),
        // Told of either end, it is named without one.
        [first, ..] => {
            let sign = g.sign(*first);
            let end = sign.end.map(|e| format!(" ({})", e.word())).unwrap_or_default();
            sign.name.strip_suffix(&end).unwrap_or(&sign.name).to_owned()
        }
    }
}

pub(super) fn plain_answer(g: &FaultGraph, id: &str, answer: &str) -> String {
    if answer == TRIED {
        return "tried, without a change".to_owned();
    }
    if let Some(word) = Word::find(answer) {
        return word.plain().to_owned();
    }
    let facet = id.split_once('.').and_then(|(_, f)| g.facets.iter().find(|x| x.id == f));
    let values = facet.map(|f| &f.values).or_else(|| g.find_fact(id).map(|f| &g.fact(f).values));
    let named = |id: &str| values.and_then(|v| v.iter().find(|v| v.id == id)).map(|v| v.name.clone());
    if let Some(not) = answer.strip_prefix("not-").and_then(named) {
        return format!("not the {not}");
    }
    // One of several values is joined by "or".
    let each: Vec<String> = answer.split(" or ").map(|id| named(id).unwrap_or_else(|| id.to_owned())).collect();
    each.join(" or ")
}

/// Something that words may mean, in plain words.
fn may_mean(g: &FaultGraph, report: &str) -> String {
    let (id, answer) = report.split_once('=').unwrap_or((report, ""));
    if Word::find(answer).is_some() { plain_name(g, id) } else { plain_answer(g, id, answer) }
}

/// Which of the things that words may mean is named.
pub(super) fn meant_by(g: &FaultGraph, unclear: &Unclear, words: &str) -> Option<usize> {
    let words = words.to_lowercase();
    let words = words.trim_end_matches(['.', '!', ',']);
    unclear.may_be.iter().position(|report| may_mean(g, report).to_lowercase() == words)
}

/// Asks what is meant by words that fit several things.
pub(super) fn unclear(g: &FaultGraph, unclear: &Unclear) -> String {
    let mut text = format!("What do you mean by \"{}\"?\n", harmless(&shortened(&unclear.text, 50)).replace('\n', " "));
    for (i, report) in unclear.may_be.iter().enumerate() {
        text += &format!("  {}. {}\n", i + 1, may_mean(g, report));
    }
    text + "  Why I ask: each has causes of its own.\n  (? if you can't tell)\n"
}

/// What was said of the bike and told nothing.
pub(super) fn missed(clauses: &[String]) -> String {
    let quoted = |c: &String| format!("\"{}\"", harmless(&shortened(c, 60)).replace('\n', " "));
    let quoted: Vec<String> = clauses.iter().map(quoted).collect();
    if quoted.is_empty() {
        return String::new();
    }
    format!("I made nothing of {}.\n\n", crate::words::listed(&quoted, "and"))
}

/// What was heard, with the words that said it.
pub fn newly_heard(g: &FaultGraph, heard: &[Heard]) -> String {
    if heard.is_empty() {
        return String::new();
    }
    let mut text = "I heard\n".to_owned();
    let mut told = std::collections::BTreeSet::new();
    // Saying it again adds nothing.
    for line in heard.iter().map(|h| heard_as(g, h)).filter(|line| told.insert(line.to_lowercase())) {
        text += &format!("  {line}\n");
    }
    text + "\n"
}

pub(super) fn heard_as(g: &FaultGraph, h: &Heard) -> String {
    let words = harmless(&shortened(&h.text, 50)).replace('\n', " ");
    let said = if words.is_empty() { String::new() } else { format!(" (\"{words}\")") };
    // A complaint may be called as a fact is; its answer is one of the five words.
    let fact = g.find_fact(&h.id).filter(|_| Word::find(&h.answer).is_none());
    let name = fact.map_or_else(|| plain_name(g, &h.id), |fact| g.fact(fact).name.clone());
    format!("{name}: {}{said}", plain_answer(g, &h.id, &h.answer))
}

/// The number under which something heard stands in the list.
pub(super) fn number_of(numbered: &[String], h: &Heard) -> usize {
    numbered.iter().position(|id| *id == h.id).map_or(0, |at| at + 1)
}

pub(super) fn heard(g: &FaultGraph, heard: &[Heard], numbered: &[String], answers: &[String]) -> String {
    let mut text = "I heard\n".to_owned();
    for h in heard.iter().sorted_by_key(|h| number_of(numbered, h)) {
        // The same facet of several complaints is told apart by the complaint.
        let facet = h.id.split_once('.').map(|(_, facet)| facet);
        let twin = |o: &Heard| o.id != h.id && facet.is_some() && o.id.split_once('.').map(|(_, f)| f) == facet;
        let of = h.id.split_once('.').and_then(|(c, _)| g.find_complaint(c)).filter(|_| heard.iter().any(twin));
        let of = of.map(|c| format!(" ({})", g.complaint(c).name)).unwrap_or_default();
        text += &format!("  {}. {}{of}\n", number_of(numbered, h), heard_as(g, h));
    }
    text += "\n";
    if !answers.is_empty() {
        text += "You answered\n";
        answers.iter().enumerate().for_each(|(i, a)| text += &format!("  {}. {a}\n", i + 1));
    }
    text
}

/// Which option an answer in other words was taken for.
pub fn taken_as(g: &FaultGraph, evidence: &Evidence, q: QuestionIx, option: usize, words: &str) -> String {
    let number = offered(g, evidence, q).iter().position(|at| *at == option);
    let label = options(g, q).into_iter().nth(option).filter(|label| label.to_lowercase() != words.to_lowercase());
    match number.zip(label) {
        Some((number, label)) => format!("Taken as {}: {label}.\n\n", number + 1),
        None => String::new(),
    }
}

/// What a sentence was taken for; between two options it is asked which.
pub(super) fn at_length(g: &FaultGraph, evidence: &Evidence, q: QuestionIx, found: &AtLength, words: &str) -> String {
    let labels = options(g, q);
    let offered = offered(g, evidence, q);
    let named = |option: &usize| {
        let number = offered.iter().position(|at| at == option).map_or(0, |place| place + 1);
        format!("{number} ({})", labels.get(*option).map_or("", String::as_str))
    };
    match found {
        AtLength::Is(option) => {
            taken_as(g, evidence, q, *option, words).trim_end().to_owned() + " Is that wrong? `undo` takes it back.\n\n"
        }
        AtLength::NeverSeen => {
            "Then nobody can tell how it would be: taken as `?`. Is that wrong? `undo` takes it back.\n\n".to_owned()
        }
        AtLength::Between(one, other) => {
            format!("Is that {} or {}? A number answers; nothing is taken down yet.\n", named(one), named(other))
        }
    }
}

/// The likely causes, numbered.
pub fn likely(g: &FaultGraph, evidence: &Evidence, posterior: &Posterior, most: usize) -> String {
    let mut text =
        if posterior.brings.is_empty() { "What is likely there\n" } else { "What may bring it\n" }.to_owned();
    let ranking = faults::ranked(g, posterior);
    let best = ranking.first().map_or(0.0, |f| f.chance);
    if best <= 0.0 {
        return text + "  Nothing: you told me that it is not there\n\n";
    }
    let mut sum = posterior.nothing_listed();
    for (i, fault) in faults::worth_naming(&ranking).iter().take(most).enumerate() {
        sum += fault.chance;
        let brings = brought(g, evidence, posterior, fault.cause);
        text += &format!("  {}. {}: {}{brings}\n", i + 1, capitalised(&fault.name(g)), in_words(fault.chance));
    }
    // What was seen on the bike is said, whether or not it brings the complaint.
    for cause in g.cause_ixs().filter(|c| !ranking.iter().take(most).any(|f| f.is(*c))) {
        let present = posterior.present.get(cause.index()).copied().unwrap_or(0.0);
        if present >= 0.5 {
            text += &format!(
                "  Likely there too, though it may not be what you notice: {}, {}\n",
                g.cause(cause).name,
                in_words(present)
            );
        }
    }
    for (event, unlisted) in posterior.unlisted.iter().copied().enumerate().filter(|(_, p)| *p >= faults::NAMED_FROM) {
        let of = evidence.events.get(event).filter(|_| evidence.events.len() > 1);
        let of = of.map(|e| format!(" ({})", g.complaint(e.complaint).name)).unwrap_or_default();
        text += &format!("  Something that is not in my list: {}{of}\n", in_words(unlisted));
    }
    if sum >= ADDS_UP_FROM {
        text += "  (Together more than 1: several may be at fault at once.)\n";
    }
    text + "\n"
}

/// Which of several complaints a cause brings.
fn brought(g: &FaultGraph, evidence: &Evidence, posterior: &Posterior, cause: CauseIx) -> String {
    match loudest(posterior, cause).and_then(|e| evidence.events.get(e)) {
        Some(event) if evidence.events.len() > 1 => format!(" ({})", g.complaint(event.complaint).name),
        _ => String::new(),
    }
}

/// Options as numbered answers in one row; where it must be broken, no answer is.
fn in_a_row(options: &[&str]) -> String {
    let numbered = |(i, option): (usize, &&str)| format!("{}.{TIED}{}", i + 1, option.replace(' ', TIED));
    let row: Vec<String> = options.iter().enumerate().map(numbered).collect();
    format!("  {}\n", row.join("  "))
}

/// A question with its numbered answers.
pub fn question(g: &FaultGraph, evidence: &Evidence, question: QuestionIx) -> String {
    let q = g.question(question);
    let mut text = format!("{}\n", q.ask);
    let options = options(g, question);
    let offered = offered(g, evidence, question);
    let offered: Vec<&str> = offered.iter().filter_map(|at| options.get(*at)).map(String::as_str).collect();
    if offered.iter().all(|option| option.chars().count() <= SHORT) && offered.len() <= ROW {
        text += &in_a_row(&offered);
    } else {
        offered.iter().enumerate().for_each(|(i, option)| text += &format!("  {}. {option}\n", i + 1));
    }
    if !q.tools.is_empty() {
        text += &format!("  You need: {}\n", q.tools.join("; "));
    }
    for motion in &q.moves {
        text += &format!("  Take care: {}.\n", motion.plain());
    }
    text += &format!("  Why I ask: {}.\n", q.why);
    let offered = matches!(q.topic, Topic::Signs(_));
    text + if offered { "" } else { "  (? if you can't tell)\n" }
}

/// What speaks for and against a cause, strongest first, and what it leaves open.
pub fn reasons(g: &FaultGraph, evidence: &Evidence, posterior: &Posterior, fault: &Fault) -> String {
    let cause = fault.cause;
    let event = loudest(posterior, cause);
    let belief = event.map_or(Belief::Present, Belief::Brings);
    let mut weights = match leave_one_out(g, evidence, cause, belief) {
        Ok(weights) => weights,
        Err(trouble) => return format!("{trouble}\n"),
    };
    weights.sort_by(|a, b| b.1.abs().total_cmp(&a.1.abs()));
    let mut text = format!("{}\n", capitalised(&g.cause(cause).name));
    if let Some((twin, end)) = fault.twin.zip(fault.twin.and_then(|twin| g.cause(twin).end)) {
        let chance = |c| in_words(posterior.ranked_by(c));
        text +=
            &format!("Of the likelier end: here it is {}, at the {} {}.\n", chance(cause), end.word(), chance(twin));
    }
    let shares = fact_shares(g, evidence);
    let before = prior(g, evidence, &shares, cause);
    text += &format!("Before anything is known but the bike: {}\n", of_bikes(before));
    for (label, sign) in [("Speaks for it", 1.0), ("Speaks against it", -1.0)] {
        let told: Vec<&(Piece, f64)> = weights.iter().filter(|(_, w)| w * sign >= FELT_FROM).collect();
        if !told.is_empty() {
            text += &format!("{label}\n");
            for (piece, weight) in told {
                let name = piece_name(g, evidence, piece);
                text += &format!("  {name}: {} ({weight:+.1} decibans)\n", felt(weight.abs()));
            }
        }
    }
    let open = unexplained(g, evidence, event.unwrap_or(0), cause);
    if !open.is_empty() {
        text += "It does not account for\n";
        open.iter().for_each(|p| text += &format!("  {}\n", piece_name(g, evidence, p)));
    }
    if !weights.is_empty() {
        text += "(Ten decibans: the odds ten times as good; twenty: a hundred times.)\n";
    }
    text + &format!("Its numbers: {}\n", g.cause(cause).source)
}

/// How common a cause is.
fn of_bikes(chance: f64) -> String {
    match chance {
        p if p >= 0.01 => format!("about {:.0} of 100 bikes that are looked at have it.", p * 100.0),
        p if p >= 0.001 => format!("about {:.0} of 1000 bikes that are looked at have it.", p * 1000.0),
        _ => "fewer than 1 of 1000 bikes that are looked at have it.".to_owned(),
    }
}

/// A weight in words: ten decibans are odds of ten to one.
fn felt(weight: f64) -> &'static str {
    match weight {
        w if w >= 10.0 => "strongly",
        w if w >= 5.0 => "clearly",
        _ => "a little",
    }
}

fn piece_name(g: &FaultGraph, evidence: &Evidence, piece: &Piece) -> String {
    match piece {
        Piece::Fact(f) => {
            let told = evidence.facts.get(f);
            let names = g.fact(*f).values.iter().enumerate();
            let names =
                names.filter(|(i, _)| told.is_some_and(|t| t.get(*i) == Some(&true))).map(|(_, v)| v.name.as_str());
            format!("{}: {}", g.fact(*f).name, crate::words::listed(&names.collect::<Vec<_>>(), "or"))
        }
        Piece::Event(e) => evidence.events.get(*e).map(|e| g.complaint(e.complaint).name.clone()).unwrap_or_default(),
        Piece::Telling => "the words in which you tell it".to_owned(),
        Piece::Facet(e, pos) => {
            let Some(event) = evidence.events.get(*e) else { return String::new() };
            let Some(facet) = g.complaint(event.complaint).facets.get(*pos).map(|u| g.facet(u.facet)) else {
                return String::new();
            };
            let told = event.facets.get(pos).and_then(|t| {
                let most = t.iter().copied().fold(0.0, f64::max);
                t.iter().position(|x| *x == most)
            });
            let value = told.and_then(|i| facet.values.get(i)).map_or("", |v| v.name.as_str());
            format!("{}: {value}", facet.name)
        }
        Piece::Sign(report) => {
            let names: Vec<&str> = report.signs.iter().map(|s| g.sign(*s).name.as_str()).collect();
            let there = report.likelihood[1].max(report.likelihood[2]) > report.likelihood[0];
            format!("{}: {}", names.first().copied().unwrap_or(""), if there { "yes" } else { "no" })
        }
        Piece::Repair(_) => "a repair that changed nothing".to_owned(),
    }
}
