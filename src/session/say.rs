//! What is done with a line that is no command: an answer, a question, the outcome of a repair, or something told.

use itertools::Itertools;

use super::answer::{self, Answering, AtLength};
use super::command::{self, Command};
use super::gone::Came;
use super::sayings;
use super::told::{Told, Whether};
use super::{Session, reply};
use crate::inference::evidence::Evidence;
use crate::inquiry::safety;
use crate::intake::{Heard, Intake};
use crate::knowledge::terms::Word;

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
        if let Some(said) = self.waits(&words) {
            return said;
        }
        let came = self.came_of_it(&words).filter(|_| !alarming);
        if let Some(said) = came.as_ref().and_then(|came| self.lets_stand_that_it_is_gone(came)) {
            return said + &self.say(&words);
        }
        match came {
            Some(Came::Gone(event, beside)) => return self.is_it_gone(&words, event, beside),
            Some(Came::OneOfThem) => return self.which_is_gone(),
            Some(Came::All) => {
                self.takes_up_work_in(&words);
                return self.ask_whether(Whether::Cured);
            }
            Some(Came::Better) if self.mending.is_some() => return self.better(),
            _ => {}
        }
        if self.mending.is_some() && (words.to_lowercase() + " ").trim_start_matches("it ").starts_with("still ") {
            return self.unchanged();
        }
        if self.mending.is_some() && self.tells_that_it_is_better(&words) {
            self.takes_up_work_in(&words);
            return self.better();
        }
        if let Some(said) = self.asked_something(&words).filter(|_| !alarming) {
            return said;
        }
        let told = |t: &Told| matches!(t, Told::Words(w) if w.eq_ignore_ascii_case(&words));
        if self.standing_told().any(|(_, t)| told(t)) {
            return reply::told_already() + &self.asked_in_full();
        }
        if let Some(said) = self.answered_and_told(&words) {
            return said;
        }
        let found = self.answering().filter(|_| !alarming).and_then(|asked| {
            let none = || asked.finds_nothing(&words).then(|| asked.last());
            // "No it's straight": what follows tells nothing of its own.
            let begun = || asked.begun(&words).filter(|_| self.heard_beside_all(&words).heard.is_empty());
            let option = asked.in_words(&words).or_else(none).or_else(begun)?;
            // "It is an e-bike and rather new and it stood all winter" names an option and tells more.
            let by_head = asked.by_its_head(&words) == Some(option) && self.tells_several(&words);
            (!by_head && !self.corrects(&words, asked.evidence)).then_some(option)
        });
        match found {
            Some(option) => self.picked_of(option, &words, ""),
            None if self.asking().is_none()
                && self.clearing().is_none()
                && answer::is_bare(&self.graph.reading, &words) =>
            {
                self.with_standing(|_, _| reply::no_question())
            }
            None if let Some(work) = self.danger_replaced(&words) => {
                self.mending = Some(work);
                self.ask_whether(Whether::Cured)
            }
            None if self.tells_of_work_in_vain(&words) => self.worked_in_vain(&words),
            None if self.tells_of_a_cure(&words) => {
                self.takes_up_work_in(&words);
                self.ask_whether(Whether::Cured)
            }
            None => match (self.may_clear(&words), self.answered_first(&words)) {
                (_, Some((option, _))) => {
                    let missed = reply::missed(&self.heard_beside_all(&words).missed);
                    self.picked_of(option, &words, &missed)
                }
                (Some(flag), None) => self.ask_whether(Whether::Clear(flag)),
                (None, None) => match self.ruled_out(&words) {
                    Some(said) => said,
                    None => self.say_at_length(words),
                },
            },
        }
    }

    /// True of words that tell of a danger which was not told before: they are heard, whatever else they may be.
    pub(super) fn raises_an_alarm(&self, words: &str) -> bool {
        let mut after = self.standing.as_ref().map(|st| st.evidence.clone()).unwrap_or_default();
        let before = safety::red_flags(self.graph, &after).len();
        self.heard_in(words, &mut after);
        safety::red_flags(self.graph, &after).len() > before
    }

    /// True of words that tell of more than one thing.
    fn tells_several(&self, words: &str) -> bool {
        let root = |h: &Heard| h.id.split(['.', '@']).next().map(str::to_owned);
        self.heard_beside_all(words).heard.iter().map(root).unique().count() > 1
    }

    /// True of "no, it has disc brakes": not the no that was asked for, for it mends what was taken down of the bike.
    fn corrects(&self, words: &str, evidence: &Evidence) -> bool {
        self.heard_in(words, &mut evidence.clone()).instead.iter().any(|id| self.graph.find_fact(id).is_some())
    }

    /// The question that stands, once something was told.
    fn answering(&self) -> Option<Answering<'_>> {
        let (question, st) = (self.asking()?, self.something_told()?);
        Some(Answering { graph: self.graph, reader: &self.lexicon().reader.stems, evidence: &st.evidence, question })
    }

    /// What these words tell, beside this evidence, without being taken down.
    pub(super) fn heard_in(&self, words: &str, evidence: &mut Evidence) -> Intake {
        self.lexicon().hear(words, self.situation.by, self.situation.at, evidence)
    }

    /// What these words tell beside all that was told.
    pub(super) fn heard_beside_all(&self, words: &str) -> Intake {
        let mut evidence = self.something_told().map(|st| st.evidence.clone()).unwrap_or_default();
        self.heard_in(words, &mut evidence)
    }

    /// The answer that begins a line with more behind it, unless what follows mends what was told before.
    fn answered_first(&self, words: &str) -> Option<(usize, String)> {
        let found = self.answering().filter(|_| self.clearing().is_none())?.leading(words)?;
        let heard = self.heard_beside_all(words);
        (heard.instead.is_empty() && !self.contradicts(&heard)).then_some(found)
    }

    /// True of words that say that something is not so which was told before: "no, the rim does not rock".
    fn contradicts(&self, intake: &Intake) -> bool {
        let root = |h: &Heard| h.id.split('@').next().map(str::to_owned);
        let told = |new: &&Heard| {
            let before = self.standing.iter().flat_map(|st| &st.heard).filter(|old| root(old) == root(new));
            before.into_iter().any(|old| old.answer == Word::Sure.word())
        };
        intake.heard.iter().filter(|h| h.answer == Word::SureNot.word()).any(|new| told(&new))
    }

    /// An option picked in words; `missed` says what of them was not understood.
    fn picked_of(&mut self, option: usize, words: &str, missed: &str) -> String {
        let Some(asked) = self.answering() else { return reply::no_question() };
        let (question, evidence) = (asked.question, asked.evidence);
        let taken = reply::taken_as(self.graph, evidence, question, option, words) + missed;
        taken + &self.tell(Told::Picked(question, option))
    }

    /// An answer with something told behind it: both count.
    fn answered_and_told(&mut self, words: &str) -> Option<String> {
        let (option, rest) = self.answered_first(words)?;
        let (question, st) = (self.asking()?, self.something_told()?);
        let intake = self.heard_beside_all(&rest);
        let new = |h: &Heard| !st.heard.iter().any(|old| old.id == h.id && old.answer == h.answer);
        // A word or two behind an answer are of it: "no, bone dry roads".
        let more = self.lexicon().reader.stems.counting(&rest).len() > BARELY || self.raises_an_alarm(&rest);
        let tells = intake.heard.iter().any(new) || !intake.unclear.is_empty();
        if !more || !tells {
            return None;
        }
        let taken = reply::taken_as(self.graph, &st.evidence, question, option, words);
        self.takes(Told::Picked(question, option)).then(|| taken + &self.tell(Told::Words(rest)))
    }

    /// Speech: an answer in a sentence of its own where nothing else is heard in it, or something told.
    fn say_at_length(&mut self, words: String) -> String {
        let answer = self.answering().and_then(|asked| {
            let heard = self.heard_beside_all(&words);
            let nothing = heard.heard.is_empty() && heard.unclear.is_empty();
            let found = nothing.then(|| asked.at_length(self.lexicon(), &words)).flatten()?;
            let said = reply::at_length(self.graph, asked.evidence, asked.question, &found, &words);
            Some((asked.question, found, said))
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
        if self.asking().is_none() {
            return false;
        }
        let line = sayings::Line::of(words);
        let own = sayings::passed_on(&sayings::passed_on(&line, &self.graph.reading), &self.graph.reading);
        let cannot_tell = |said: &str| command::read(said) == Command::CannotTell;
        // "No idea, it's my brother's bike": the reason tells nothing.
        let with_a_reason = || words.split_once(',').is_some_and(|(head, _)| cannot_tell(head));
        (own != line && cannot_tell(own.text())) || (with_a_reason() && self.heard_beside_all(words).heard.is_empty())
    }
}
