//! What is done with a line that is no command: an answer, a question, the outcome of a repair, or something told.

use super::answer::{self, AtLength};
use super::command::{self, Command};
use super::gone::Came;
use super::sayings;
use super::standing::Standing;
use super::told::{Told, Whether};
use super::{Session, options, reply};
use crate::inference::evidence::Evidence;
use crate::inquiry::safety;
use crate::intake::{Heard, Intake};

/// So few words that count behind an answer tell nothing of their own.
const BARELY: usize = 3;

impl Session<'_> {
    /// What is said is an answer to the question that stands, or is taken down.
    pub(super) fn say(&mut self, words: &str) -> String {
        // One line of the kept sitting.
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        let meant = self.clearing().and_then(|unclear| reply::meant_by(self.graph, unclear, &words));
        if let Some(option) = meant {
            return self.pick(option + 1);
        }
        let alarming = self.raises_an_alarm(&words);
        match self.came_of_it(&words).filter(|_| !alarming) {
            Some(Came::Gone(event, beside)) => return self.is_it_gone(&words, event, beside),
            Some(Came::Better) if self.mending.is_some() => return self.better(),
            _ => {}
        }
        if self.mending.is_some() && (words.to_lowercase() + " ").trim_start_matches("it ").starts_with("still ") {
            return self.unchanged();
        }
        if self.mending.is_some() && self.tells_that_it_is_better(&words) {
            return self.better();
        }
        if let Some(said) = self.asked_something(&words) {
            return said;
        }
        let told = |t: &Told| matches!(t, Told::Words(w) if w.eq_ignore_ascii_case(&words));
        if self.standing_told().any(|(_, t)| told(t)) {
            return reply::told_already() + &self.asked_in_full();
        }
        if let Some(said) = self.answered_and_told(&words) {
            return said;
        }
        let question = self.asking();
        let stems = &self.lexicon().reader.stems;
        let found_none = |q| answer::finds_nothing(self.graph, stems, q, &words).then(|| options::last(self.graph, q));
        let in_words =
            |q, st: &Standing| answer::in_words(self.graph, stems, &st.evidence, q, &words).or_else(|| found_none(q));
        let option = question
            .zip(self.something_told())
            .and_then(|(q, st)| Some((q, in_words(q, st)?, st)))
            .filter(|(_, _, st)| !alarming && !self.corrects(&words, st));
        match option {
            Some((q, option, st)) => {
                reply::taken_as(self.graph, &st.evidence, q, option, &words) + &self.tell(Told::Picked(q, option))
            }
            None if question.is_none() && self.clearing().is_none() && answer::is_bare(&self.graph.reading, &words) => {
                self.with_standing(|_, _| reply::no_question())
            }
            None if self.tells_of_work_in_vain(&words) => self.worked_in_vain(&words),
            None if self.tells_of_a_cure(&words) => {
                self.mending = self.work_named(&words).or(self.mending);
                self.ask_whether(Whether::Cured)
            }
            None => match (self.may_clear(&words), self.answered_first(&words)) {
                (_, Some((option, _))) => self.picked_of(option, &words),
                (Some(flag), None) => self.ask_whether(Whether::Clear(flag)),
                (None, None) => match self.ruled_out(&words) {
                    Some(said) => said,
                    None => self.say_at_length(words),
                },
            },
        }
    }

    /// True of words that tell of a danger which was not told before: they are heard, whatever else they may be.
    fn raises_an_alarm(&self, words: &str) -> bool {
        let before = self.standing.as_ref().map(|st| st.evidence.clone()).unwrap_or_default();
        let mut after = before.clone();
        self.heard_in(words, &mut after);
        safety::red_flags(self.graph, &after).len() > safety::red_flags(self.graph, &before).len()
    }

    /// True of "no, it has disc brakes": not the no that was asked for, for it mends what was taken down of the bike.
    fn corrects(&self, words: &str, st: &Standing) -> bool {
        self.heard_in(words, &mut st.evidence.clone()).instead.iter().any(|id| self.graph.find_fact(id).is_some())
    }

    /// What these words tell, beside this evidence, without being taken down.
    pub(super) fn heard_in(&self, words: &str, evidence: &mut Evidence) -> Intake {
        self.lexicon().hear(words, self.situation.by, self.situation.at, evidence)
    }

    /// The answer that begins a line with more behind it, unless what follows mends what was told before.
    fn answered_first(&self, words: &str) -> Option<(usize, String)> {
        let question = self.asking().filter(|_| self.clearing().is_none())?;
        let st = self.something_told()?;
        let found = answer::leading(self.graph, &self.lexicon().reader.stems, &st.evidence, question, words)?;
        self.heard_in(words, &mut st.evidence.clone()).instead.is_empty().then_some(found)
    }

    /// An option picked in words.
    fn picked_of(&mut self, option: usize, words: &str) -> String {
        self.with_question(|s, question| {
            let evidence = s.something_told().map(|st| st.evidence.clone()).unwrap_or_default();
            let missed = s.heard_in(words, &mut evidence.clone()).missed;
            let taken = reply::taken_as(s.graph, &evidence, question, option, words) + &reply::missed(&missed);
            taken + &s.tell(Told::Picked(question, option))
        })
    }

    /// An answer with something told behind it: both count.
    fn answered_and_told(&mut self, words: &str) -> Option<String> {
        let (option, rest) = self.answered_first(words)?;
        let (question, st) = (self.asking()?, self.something_told()?);
        let intake = self.heard_in(&rest, &mut st.evidence.clone());
        let new = |h: &Heard| !st.heard.iter().any(|old| old.id == h.id && old.answer == h.answer);
        // A word or two behind an answer are of it: "no, bone dry roads".
        let more = self.lexicon().reader.stems.counting(&rest).len() > BARELY || self.raises_an_alarm(&rest);
        let tells = intake.heard.iter().any(new) || !intake.unclear.is_empty();
        if !more || !tells {
            return None;
        }
        let taken = reply::taken_as(self.graph, &st.evidence, question, option, words);
        self.told.push(Told::Picked(question, option));
        if self.work_out().is_err() {
            self.told.pop();
            let _ = self.work_out();
            return None;
        }
        Some(taken + &self.tell(Told::Words(rest)))
    }

    /// Speech: an answer in a sentence of its own where nothing else is heard in it, or something told.
    fn say_at_length(&mut self, words: String) -> String {
        let answer = self.asking().zip(self.something_told()).and_then(|(question, st)| {
            let heard = self.heard_in(&words, &mut st.evidence.clone());
            let nothing = heard.heard.is_empty() && heard.unclear.is_empty();
            let found = || answer::at_length(self.graph, self.lexicon(), &st.evidence, question, &words);
            let said = |found| reply::at_length(self.graph, &st.evidence, question, &found, &words);
            nothing.then(found).flatten().map(|found| (question, found.clone(), said(found)))
        });
        match answer {
            Some((question, AtLength::Is(option), said)) => said + &self.tell(Told::Picked(question, option)),
            Some((question, AtLength::NeverSeen, said)) => said + &self.tell(Told::Skipped(question)),
            Some((_, AtLength::Between(..), said)) => said,
            None => self.tell(Told::Words(words)),
        }
    }

    /// "She says she's not sure" is a can't tell of somebody else.
    pub(super) fn passes_on_no_answer(&self, words: &str) -> bool {
        let line = sayings::Line::of(words);
        let own = sayings::passed_on(&sayings::passed_on(&line, &self.graph.reading), &self.graph.reading);
        own != line && self.asking().is_some() && command::read(own.text()) == Command::CannotTell
    }
}
