//! Why a question is asked, what its answers would change, and why no more is asked.

use super::faults;
use super::options::options;
use super::reply::{nothing_yet, question};
use crate::graph::{CauseIx, FaultGraph, QuestionIx, RemedyIx, Topic};
use crate::inference::evidence::Evidence;
use crate::inference::{Posterior, infer};
use crate::inquiry::outcomes::Outcomes;
use crate::inquiry::{Inquiry, Situation, Stop, safety};
use crate::knowledge::terms::{Reporter, Ride};
use crate::probability::in_words;
use crate::words::{capitalised, counted, listed, shortened};

/// Answers that shift a cause by less than this do not speak of it.
const SHIFTS_FROM: f64 = 0.02;
/// Answers are named by so much of their beginning, in columns.
const SAID: usize = 36;
/// With no cause likelier than this, none stands out.
const STANDS_OUT_FROM: f64 = 0.15;
/// From this chance on a cause is said to be it.
const SETTLED: f64 = 0.8;
/// A cause from this chance on is looked at first, even where another is sooner settled.
const LEADS_FROM: f64 = 0.5;
/// Work that takes no longer, in minutes, is as quickly done as looked at.
const QUICK: f64 = 5.0;

/// A question, with what it is about where that is not plain.
pub fn asked(g: &FaultGraph, evidence: &Evidence, inquiry: &Inquiry, q: QuestionIx) -> String {
    let safety = match pressing(inquiry, q) {
        Some(cause) => format!("One thing first, for safety: it may be this, {}.\n", g.cause(cause).name),
        None => String::new(),
    };
    let about = match &g.question(q).topic {
        Topic::Facet(complaint, _) if evidence.events.len() > 1 => {
            format!("Of what you told, \"{}\":\n", g.complaint(*complaint).name)
        }
        _ => String::new(),
    };
    safety + &about + &question(g, evidence, q)
}

/// The suspicion for whose sake a question is asked.
fn pressing(inquiry: &Inquiry, q: QuestionIx) -> Option<CauseIx> {
    inquiry.pressing.filter(|_| inquiry.proposals.first().is_some_and(|p| p.question == q))
}

/// Why a question is asked: what it tells apart, and the minutes it should save.
pub fn why(g: &FaultGraph, evidence: &Evidence, inquiry: &Inquiry, s: Situation, q: QuestionIx) -> String {
    let mut text = format!("{}. {}", capitalised(&g.question(q).why), told_apart(g, evidence, s, q));
    if let Some(cause) = pressing(inquiry, q) {
        return text
            + &format!("I ask for safety: with {} nobody rides, and nobody looked yet.\n", g.cause(cause).name);
    }
    let saves = inquiry.proposals.iter().find(|p| p.question == q).map_or(0.0, |p| p.saves_minutes);
    text += &match saves.round() {
        s if s >= 1.0 => {
            format!("It should save about {} on the way to a cure.\n", counted(s as usize, "minute", "minutes"))
        }
        _ => "By itself it saves little; it is quick, and may make another question worth asking.\n".to_owned(),
    };
    text
}

/// The two likeliest telling answers of a question, and what is believed after each.
fn answers(g: &FaultGraph, evidence: &Evidence, s: Situation, q: QuestionIx) -> Vec<(String, Posterior)> {
    let outcomes = Outcomes::reported(g, evidence, q, s).all;
    let last = outcomes.len().saturating_sub(1);
    // Of the five words only the two plain ones.
    let plain = g.question(q).options.is_empty() && matches!(g.question(q).topic, Topic::Signs(_));
    let mut all: Vec<(f64, String, Posterior)> = outcomes
        .into_iter()
        .zip(options(g, q))
        .enumerate()
        .filter(|(i, ((weight, after), _))| *weight > 0.0 && after != evidence && (!plain || *i == 0 || *i == last))
        .filter_map(|(_, ((weight, after), option))| {
            let posterior = infer(g, &after).ok()?;
            Some((weight.ln() + posterior.log_evidence, option, posterior))
        })
        .collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    all.into_iter().take(2).map(|(_, option, posterior)| (shortened(&option, SAID), posterior)).collect()
}

/// What the likeliest answers would change, in one sentence.
fn told_apart(g: &FaultGraph, evidence: &Evidence, s: Situation, q: QuestionIx) -> String {
    let answers = answers(g, evidence, s, q);
    let [(one, after_one), (other, after_other)] = answers.as_slice() else { return String::new() };
    let mut shifts: Vec<(f64, CauseIx)> =
        g.cause_ixs().map(|c| (after_one.ranked_by(c) - after_other.ranked_by(c), c)).collect();
    shifts.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let far = |(shift, _): &&(f64, CauseIx)| shift.abs() >= SHIFTS_FROM;
    let first = shifts.first().filter(far).filter(|(shift, _)| *shift > 0.0).map(|(_, c)| *c);
    let against: Vec<CauseIx> =
        shifts.iter().rev().take(2).filter(far).filter(|(shift, _)| *shift < 0.0).map(|(_, c)| *c).collect();
    let name = |c: &CauseIx| g.cause(*c).name.as_str();
    let names = listed(&against.iter().map(name).collect::<Vec<_>>(), "or");
    let chance = |p: &Posterior, c: CauseIx| in_words(p.ranked_by(c));
    match (first, against.first()) {
        (Some(for_one), Some(for_other)) => format!(
            "It tells {} from {names}: after \"{one}\" the first is {}; after \"{other}\" {} is {}. ",
            name(&for_one),
            chance(after_one, for_one),
            if against.len() == 1 { "the second" } else { name(for_other) },
            chance(after_other, *for_other),
        ),
        (Some(only), None) => speaks(name(&only), (one, chance(after_one, only)), (other, chance(after_other, only))),
        (None, Some(only)) => speaks(name(only), (other, chance(after_other, *only)), (one, chance(after_one, *only))),
        (None, None) => String::new(),
    }
}

fn speaks(cause: &str, (yes, high): (&str, String), (no, low): (&str, String)) -> String {
    format!("It speaks for or against {cause}: after \"{yes}\" it is {high}; after \"{no}\" {low}. ")
}

/// Why no more is asked, what to look at first, and what to tell a mechanic.
pub fn enough(
    g: &FaultGraph,
    evidence: &Evidence,
    posterior: &Posterior,
    inquiry: &Inquiry,
    (told, by): (&[String], Reporter),
) -> String {
    let ranking = posterior.ranking();
    let Some(likeliest) = ranking.first().copied() else { return nothing_yet() };
    let (ride, because) = safety::advice(g, evidence, posterior);
    // What forbids riding and is there comes before what may bring the complaint.
    let present = |c: CauseIx| posterior.present.get(c.index()).copied().unwrap_or(0.0);
    let there = |c: &CauseIx| present(*c) >= 0.5;
    let certain = |c: CauseIx| present(c) >= SETTLED;
    let grave = because.first().copied().filter(|c| ride == Ride::Stop && there(c));
    let planned = inquiry.remedies.first().filter(|p| p.here).and_then(|p| {
        let mends = |c: &CauseIx| g.cause(*c).end == p.end && g.remedies_of(*c).any(|(r, _)| r == p.remedy);
        Some((ranking.iter().copied().find(mends)?, p.remedy))
    });
    let leads = posterior.ranked_by(likeliest) >= LEADS_FROM;
    let first = grave.or(planned.map(|(c, _)| c).filter(|_| !leads)).unwrap_or(likeliest);
    let stands_out = grave.is_some() || posterior.ranked_by(likeliest) >= STANDS_OUT_FROM;
    let outside = grave.is_none() && inquiry.stop == Some(Stop::Outside);
    let cause = g.cause(first);
    let faults = faults::ranked(g, posterior);
    let named = |c: CauseIx| faults::of(&faults, c).name(g);
    let mut text = stopped(inquiry.stop).to_owned();
    if !stands_out && !outside {
        text += "No single cause stands out.\n";
    }
    let place = |cause: CauseIx| match faults.iter().position(|f| f.is(cause)) {
        Some(place) if place > 0 => format!("mend {}", place + 1),
        _ => "mend".to_owned(),
    };
    // What forbids riding is looked at before what is likelier, and what is soon settled too.
    let mut before = Vec::new();
    if let Some(c) = because.iter().find(|_| ride == Ride::Stop && grave.is_none() && !because.contains(&first)) {
        before.push(format!("Rule out what forbids riding: {}.\n     To make sure: {}", named(*c), g.cause(*c).check));
    }
    let planned = planned.filter(|_| grave.is_none());
    if let Some((c, _)) = planned.filter(|(c, _)| *c != first) {
        before.push(format!("This is soon settled: {} (`{}`).", named(c), place(c)));
    }
    let lead = match grave {
        Some(c) if certain(c) => "It is most likely this",
        Some(_) => "Look first at this, for nobody may ride with it",
        None if !before.is_empty() => "Then look at this",
        None if faults.first().is_some_and(|f| f.is(first)) => "Look first at this",
        None => "Look first at this, the quickest to settle though not the likeliest",
    };
    let number = before.len() + 1;
    if !before.is_empty() {
        text += "Look in this order:\n";
    }
    before.iter().enumerate().for_each(|(i, step)| text += &format!("  {}. {step}\n", i + 1));
    let (at, under) = if number > 1 { (format!("  {number}. "), "     ") } else { (String::new(), "  ") };
    text += &format!("{at}{lead}: {}.\n{under}{}\n{under}To make sure: {}\n", named(first), cause.plain, cause.check);
    if cause.ride == Ride::Stop && ride != Ride::Stop {
        text += &format!("{under}Do not ride before you have looked.\n");
    }
    if let Some((_, remedy)) = planned.filter(|(c, _)| *c == first) {
        text += &format!("{under}{}", minutes(g, remedy));
    }
    for (event, told) in evidence.events.iter().enumerate() {
        let brings = |c: &CauseIx| posterior.brings.get(event).and_then(|b| b.get(c.index())).copied().unwrap_or(0.0);
        let other = g.cause_ixs().max_by(|a, b| brings(a).total_cmp(&brings(b)).then(b.cmp(a)));
        if let Some(c) = other.filter(|c| *c != first && faults::loudest(posterior, first) != Some(event)) {
            let of = &g.complaint(told.complaint).name;
            text += &match brings(&c) {
                p if p >= STANDS_OUT_FROM => {
                    format!("  For the other, {of}: {}, {} (`{}`).\n", named(c), in_words(p), place(c))
                }
                _ => format!("  For the other, {of}: no single cause stands out.\n"),
            };
        }
    }
    // Who stands at the bench is the workshop.
    let elsewhere = planned.is_none() && by == Reporter::Rider;
    let read_out = by == Reporter::Rider;
    if elsewhere && !outside && stands_out {
        text += "  This is work for a workshop, or costs you more than it does there.\n";
    }
    if read_out && (outside || !stands_out || elsewhere) {
        text += "For a mechanic, to read out:\n";
        told.iter().for_each(|line| text += &format!("  {line}\n"));
    }
    text + &format!("`{}` tells how to mend it, `reasons` why I think so; `another` asks on.\n", place(first))
}

/// Where all of that was said before.
pub fn as_before() -> &'static str {
    "I have nothing else to ask, and the same comes first as before; an empty line says it all again.\n"
}

fn stopped(stop: Option<Stop>) -> &'static str {
    match stop {
        Some(Stop::Danger) => "I ask no more: the danger comes first.\n",
        Some(Stop::NothingPays) => "I ask no more: another answer would save fewer minutes than it costs.\n",
        Some(Stop::Outside) => "I ask no more: it is more likely something outside my list than any cause in it.\n",
        None => "I have no more to ask.\n",
    }
}

fn minutes(g: &FaultGraph, remedy: RemedyIx) -> String {
    match g.remedy(remedy).minutes {
        all if all <= QUICK => format!("Looking and mending take about {all:.0} minutes.\n"),
        all => format!("Looking takes a few minutes, with the work about {all:.0}.\n"),
    }
}
