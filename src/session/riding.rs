//! May the bike be ridden: said in full when it changes and when asking ends, and in between not said again.

use super::faults::{self, Fault};
use crate::graph::{Caution, FaultGraph, Question};
use crate::inference::Posterior;
use crate::inference::evidence::Evidence;
use crate::inquiry::safety;
use crate::knowledge::terms::Ride;
use crate::words::capitalised;

/// Ride advice in its pieces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Advice {
    ride: Ride,
    /// What raised the alarm, and what clears it.
    alarms: Vec<String>,
    /// What says no, or asks for care, and how surely.
    because: Vec<(&'static str, String)>,
    /// What to mind, and what to look at before the ride.
    cares: Vec<String>,
    /// True where nobody should go near.
    pub keep_away: bool,
}

impl Advice {
    /// The advice as things stand.
    pub fn of(g: &FaultGraph, evidence: &Evidence, posterior: &Posterior) -> Self {
        let (ride, because) = safety::advice(g, evidence, posterior);
        let mut told: Vec<&str> = Vec::new();
        let mut alarms = Vec::new();
        let flags = safety::red_flags(g, evidence);
        for flag in &flags {
            alarms.push(flag.say.clone());
            alarms.extend(untold(&mut told, fitting(evidence, &flag.cautions)));
            alarms.push(cleared(g, evidence, &flag.clear));
        }
        let keep_away = flags.iter().any(|f| f.hands_off);
        let mut advice = Self { ride, alarms, because: Vec::new(), cares: Vec::new(), keep_away };
        if advice.keep_away {
            // Who must get away is told nothing else.
            return advice;
        }
        let ranked = faults::ranked(g, posterior);
        let mut faults: Vec<Fault> = because.iter().map(|c| faults::of(&ranked, *c)).collect();
        faults.dedup();
        faults.truncate(2);
        for fault in &faults {
            let there = posterior.present.get(fault.cause.index()).is_some_and(|p| *p >= 0.5);
            let why = if there { "because of" } else { "until it is ruled out" };
            advice.because.push((why, fault.name(g)));
        }
        // Who may ride is told what is to be minded with what is likeliest.
        let likeliest = faults::worth_naming(&ranked).first().filter(|_| ride == Ride::Ride);
        // With several complaints each has something of its own to be minded: a light that fails, beside a chain.
        let others = (0..posterior.brings.len()).filter(|_| posterior.brings.len() > 1);
        let others = others.filter_map(|e| ranked.iter().find(|f| faults::loudest(posterior, f.cause) == Some(e)));
        for fault in faults.iter().chain(likeliest).chain(others) {
            let cautions = fitting(evidence, &g.cause(fault.cause).cautions).filter(|c| !c.at_work).take(2);
            advice.cares.extend(untold(&mut told, cautions));
        }
        let mut looks: Vec<Fault> =
            safety::look_first(g, evidence, posterior).into_iter().map(|c| faults::of(&ranked, c)).collect();
        looks.dedup();
        for fault in &looks {
            let check = &g.cause(fault.cause).check;
            advice.cares.push(format!("But look first whether it is this, {}: {check}", fault.name(g)));
        }
        advice
    }

    /// All of it.
    pub fn in_full(&self) -> String {
        let because = self.because.iter().map(|(why, fault)| format!("{why}: {fault}"));
        let lines = self.alarms.iter().cloned().chain(because).chain(self.cares.iter().cloned());
        let lines: String = lines.map(|line| format!("  {line}\n")).collect();
        format!("May I ride it? {}.\n{lines}\n", capitalised(self.ride.plain()))
    }

    /// True if the answer and the alarms are still what they were.
    fn goes_on(&self, last: &Self) -> bool {
        (self.ride, &self.alarms) == (last.ride, &last.alarms)
    }

    /// What nobody has read yet: what is to be minded, and what forbids riding now.
    fn new_since(&self, last: &Self) -> String {
        let new: Vec<&String> = self.cares.iter().filter(|care| !last.cares.contains(care)).collect();
        let other = self.ride == Ride::Stop && self.because != last.because;
        if new.is_empty() && !other {
            return String::new();
        }
        let mut why = String::new();
        let mut before = "";
        for (how, fault) in &self.because {
            why += &if *how == before { format!(" and {fault}") } else { format!("; {how}: {fault}") };
            before = how;
        }
        let lines: String = new.into_iter().map(|line| format!("  {line}\n")).collect();
        format!("As before: {}{why}.\n{lines}\n", self.ride.plain())
    }
}

/// What was said of riding so far.
#[derive(Debug, Default)]
pub(super) struct Said {
    /// The advice said last, with all there was to mind since its answer changed.
    last: Option<Advice>,
    /// What was last said in full.
    whole: String,
}

impl Said {
    /// What is to be said now: all where the answer has changed, and once where asking ends.
    pub fn next(&mut self, mut now: Advice, ends: bool) -> String {
        let whole = now.in_full();
        let last = self.last.take().filter(|last| now.goes_on(last));
        let text = match &last {
            // Who must get away is told so every time.
            Some(last) if !now.keep_away && (!ends || whole == self.whole) => now.new_since(last),
            _ => {
                self.whole.clone_from(&whole);
                whole
            }
        };
        let old = last.map(|last| last.cares).unwrap_or_default();
        let old: Vec<String> = old.into_iter().filter(|care| !now.cares.contains(care)).collect();
        now.cares.extend(old);
        self.last = Some(now);
        text
    }
}

/// The ride advice in two words, before every line that is typed.
pub(super) fn prompt(ride: Ride) -> &'static str {
    match ride {
        Ride::Ride => "may ride > ",
        Ride::Gently => "ride gently > ",
        Ride::Stop => "DO NOT RIDE > ",
    }
}

/// May it be ridden, with what says no.
pub fn ride(g: &FaultGraph, evidence: &Evidence, posterior: &Posterior) -> String {
    Advice::of(g, evidence, posterior).in_full()
}

/// Cautions that speak to this bike, as far as it is known.
pub(super) fn fitting<'c>(evidence: &Evidence, cautions: &'c [Caution]) -> impl Iterator<Item = &'c Caution> {
    cautions.iter().filter(|c| !evidence.rules_out(&c.fits))
}

/// Cautions not read before: each is read once.
fn untold<'c>(told: &mut Vec<&'c str>, cautions: impl IntoIterator<Item = &'c Caution>) -> Vec<String> {
    let mut lines = Vec::new();
    for caution in cautions {
        if !told.contains(&caution.id.as_str()) {
            told.push(&caution.id);
            lines.push(caution.text.clone());
        }
    }
    lines
}

/// The questions, one for either end perhaps, that clear a red flag; none where it is cleared by an act.
pub(super) fn clearing<'g>(g: &'g FaultGraph, clear: &'g str) -> impl Iterator<Item = &'g Question> + Clone {
    g.questions.iter().filter(move |q| q.id.split('@').next() == Some(clear) || q.id == clear)
}

/// A red flag is cleared by an act, or by a question asked where it was raised.
fn cleared(g: &FaultGraph, evidence: &Evidence, clear: &str) -> String {
    let reported = evidence.signs.iter().filter(|r| r.likelihood[2] > r.likelihood[0]).flat_map(|r| &r.signs);
    let ends: Vec<&str> = reported.filter_map(|s| g.sign(*s).end).map(|e| e.word()).collect();
    let mut named = clearing(g, clear);
    let there = named.clone().find(|q| q.id.split('@').nth(1).is_some_and(|e| ends.contains(&e)));
    match there.or_else(|| named.next()) {
        Some(question) => format!("This stands until this is looked at and found well: {}", question.ask),
        None => format!("This stands. What clears it: {clear}"),
    }
}
