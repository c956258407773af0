//! What is said of repairs: how one is done, what came of it, and what of it is asked.

use super::faults::Fault;
use super::riding::fitting;
use crate::graph::{FaultGraph, Remedy, RemedyIx};
use crate::inference::evidence::Evidence;
use crate::knowledge::terms::Ride;
use crate::words::{capitalised, listed};

/// So a remedy begins that puts in a new part.
const NEW_PARTS: &[&str] = &["fit ", "replace ", "new "];

/// Work that has one of these words in it may want a ride.
const ON_THE_ROAD: &[&str] = &["ride", "riding", "road", "street", "hill"];

pub(super) fn mend(
    g: &FaultGraph,
    evidence: &Evidence,
    fault: &Fault,
    remedy: Option<RemedyIx>,
    (tried, ride): (bool, Ride),
) -> String {
    let entry = g.cause(fault.cause);
    let mut text = format!("{}. {}\n", capitalised(&fault.name(g)), entry.plain);
    text += &format!("To make sure: {}\n", entry.check);
    if let (Some(_), Some(end)) = (fault.twin, entry.end) {
        text += &format!("Look at both ends; the {} is the likelier.\n", end.word());
    }
    if tried {
        text += "You have tried this already.\n";
    }
    if let Some(remedy) = remedy {
        text += &how_to(g.remedy(remedy), evidence);
        let asks_for_a_ride = || {
            let r = g.remedy(remedy);
            let words = r.steps.iter().chain([&r.proof, &entry.check]).flat_map(|text| text.split(' '));
            words.into_iter().any(|word| ON_THE_ROAD.iter().any(|stem| word.to_lowercase().starts_with(stem)))
        };
        if ride == Ride::Stop && asks_for_a_ride() {
            text += "  `Do not ride` still holds: leave out for now whatever has it ridden or rolled down a road.\n";
        }
        text += "Then say `cured`, `better`, `same` or `worse`.\n";
    }
    text
}

/// What a remedy takes, without its steps: what is brought along or asked for on the telephone.
pub(super) fn takes(r: &Remedy) -> String {
    let nothing = if r.parts.is_empty() { "  No parts are needed.\n" } else { "" };
    let text = format!("If it is this: {} (about {:.0} minutes)\n", r.name, r.minutes);
    text + &needs(r) + nothing + "  `mend` shows how it is done; the next on the list is `mend 2`.\n"
}

/// A remedy as numbered steps.
pub fn how_to(r: &Remedy, evidence: &Evidence) -> String {
    let mut text = format!("\nWhat to do: {} (about {:.0} minutes)\n", r.name, r.minutes) + &needs(r);
    fitting(evidence, &r.cautions).for_each(|c| text += &format!("  Caution: {}\n", c.text));
    for (i, step) in r.steps.iter().enumerate() {
        text += &format!("  {}. {step}\n", i + 1);
    }
    for (label, words) in [("Cured when", &r.proof), ("Often done wrong", &r.slip), ("Hand it over", &r.hand_over)] {
        if !words.is_empty() {
            text += &format!("  {label}: {words}\n");
        }
    }
    text + "  The maker's instructions come first; where in doubt ask a mechanic.\n"
}

/// Tools, parts, and what the parts cost.
fn needs(r: &Remedy) -> String {
    let mut text = String::new();
    for (label, things) in [("Tools", &r.tools), ("Parts", &r.parts)] {
        if !things.is_empty() {
            text += &format!("  {label}: {}\n", things.join("; "));
        }
    }
    match r.price {
        none if none <= 0.0 => {}
        little if little < 90.0 => {
            text += &format!("  The parts cost about as much as {little:.0} minutes of a workshop's work.\n");
        }
        much => text += &format!("  The parts cost about as much as {:.0} hours of a workshop's work.\n", much / 60.0),
    }
    text
}

/// A step that has one of these words in it says how far or how tight, as one with a figure does.
const SETS: &[&str] = &["torque", " turn", "tight", "slack", "half", "quarter"];

/// The steps of a remedy that say how far, how much or how tight.
pub(super) fn settings(r: &Remedy) -> String {
    let sets = |step: &str| step.contains(|c: char| c.is_ascii_digit()) || SETS.iter().any(|word| step.contains(word));
    let named = r.steps.iter().enumerate().filter(|(_, step)| sets(step));
    let steps: String = named.map(|(i, step)| format!("  {}. {step}\n", i + 1)).collect();
    let mut text = match steps.as_str() {
        "" => format!("Nothing is set in this: {}. `mend` shows all of it.\n", r.name),
        steps => format!("What is set in this: {}\n{steps}", r.name),
    };
    let torque = r.cautions.iter().find(|c| c.text.contains("torque"));
    torque.into_iter().for_each(|c| text += &format!("  Caution: {}\n", c.text));
    text + "  The figure on the part or in the maker's book comes before any that stands here.\n"
}

pub(super) fn nothing_mended() -> String {
    "First see how to mend it, with `mend`; then say `cured` or `same`.\n".to_owned()
}

/// A cure where what is likeliest forbids riding, and no repair was asked about.
pub(super) fn what_was_mended(g: &FaultGraph, works: &[(usize, RemedyIx)]) -> String {
    let lines: String = works.iter().map(|(n, r)| format!("  cured {n}  {}\n", g.remedy(*r).name)).collect();
    format!(
        "Which work was it that cured it? The likeliest forbids riding until it is seen to. Type the line that fits; \
         nothing of this is taken down yet, and `leave` ends.\n{lines}"
    )
}

/// After a repair done before the sitting, of which nobody knows how far it went.
pub(super) fn tried(remedy: &Remedy) -> String {
    let steps = match remedy.steps.len() {
        many if many > 1 => format!(", all {many} steps of it"),
        _ => String::new(),
    };
    format!(
        "I take it that this was done{steps}, and changed nothing: {}. If only some of it was, `undo` takes that back, \
         and `mend` with the number shows the whole of it.\n\n",
        remedy.name
    )
}

/// Work told of as done in vain, where nobody said which; the remedies are those of the likeliest causes.
pub(super) fn which_was_tried(g: &FaultGraph, works: &[(usize, RemedyIx)]) -> String {
    let lines: String = works.iter().map(|(n, r)| format!("  tried {n}  {}\n", g.remedy(*r).name)).collect();
    format!(
        "Which work was it that changed nothing? Type the line that fits, or tell what was done: \"new chain, no \
         change\". Nothing of this is taken down yet.\n{lines}"
    )
}

/// After a repair that did nothing.
pub(super) fn in_vain(remedy: &Remedy) -> String {
    format!("Noted, it changed nothing: {}.\n\n", remedy.name)
}

/// After a repair that did some good.
pub(super) fn better(remedy: &Remedy) -> String {
    let name = &remedy.name;
    let again = if NEW_PARTS.iter().any(|begins| name.starts_with(begins)) {
        format!("The same part is not fitted twice: go over how it sits and is set ({name})")
    } else {
        format!("Once more of the same ({name}) may do it")
    };
    format!(
        "Better is not good yet: something may be half done, not bedded in or not quite home. {again}, then say \
         `cured` or `same`. It was done when: {}\n\
         I go on as if something else were at work too.\n\n",
        remedy.proof
    )
}

pub(super) fn undo(remedy: &Remedy) -> String {
    if remedy.undoes {
        format!("Then put it back first as it was before you did this: {}.\n", remedy.name)
    } else {
        "That cannot be undone; leave it as it is.\n".to_owned()
    }
}

/// Words that sound like the end of a repair are asked about before anything is taken down.
pub(super) fn how_did_it_go(remedy: Option<&Remedy>) -> String {
    let done = remedy.map(|r| format!(" ({})", r.name)).unwrap_or_default();
    format!(
        "Is it cured, then{done}? `yes` ends the work, `better` if some of it is left, `same` if it does it still. \
         Nothing of this is taken down yet.\n"
    )
}

/// One complaint of several that sounds as if it were gone, asked about before it is taken off the list.
pub(super) fn is_it_gone(complaint: &str, clears: &[String]) -> String {
    let and: String =
        clears.iter().map(|clear| format!("  and is this so, or looked at and found well? {clear}\n")).collect();
    format!("Is this gone, then: {complaint}? `yes` takes it off the list; what else you told me stands.\n{and}")
}

/// Which of several complaints is gone, asked where only "one of them" was said.
pub(super) fn which_is_gone(complaints: &[String]) -> String {
    let lines: String = complaints.iter().map(|name| format!("  {name}\n")).collect();
    format!("Which of these is gone? Say it with its name, such as \"the noise is gone\".\n{lines}")
}

/// What clears an alarm, asked about before anything is taken back.
pub(super) fn is_it_clear(clear: &str) -> String {
    format!("Is all of this so? {clear}\n`yes` takes the alarm back; anything else leaves it standing.\n")
}

/// After a repair that cured it; `all` if nothing else stands, else the ride advice follows.
pub(super) fn cured(remedy: &Remedy, all: bool) -> String {
    let then = if all { "If that holds, it may be ridden again; if not, it" } else { "If that does not hold, it" };
    format!("Good, done: {}. To be sure: {}\n{then} is not cured yet.\n", remedy.name, remedy.proof)
}

/// What a cure took off the list, where something else is left.
pub(super) fn gone(complaints: &[String]) -> String {
    match complaints {
        [] => String::new(),
        gone => format!("Off the list with it: {}. What else you told me stands.\n\n", listed(gone, "and")),
    }
}
