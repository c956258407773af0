//! A conversation as a value: a line in, a reply out, no input or output inside.
//!
//! A [`Session`] is nothing but the list of what was told, in order ([`Told`]);
//! everything else is worked out anew from it. So taking the last answer back
//! is dropping the last entry, and a sitting is kept by keeping its lines.
//!
//! Reading order: `table` and [`command`] (what can be typed), `told` (what is kept of it), `sayings` and `answer` (answers
//! in words), `say` (what is no command), `asks` (questions to the program), `sure` (made sure of by a yes or no:
//! `alarms` that are cleared, a complaint told `beside` another), [`options`] (what may be answered), [`faults`] (the
//! ranking), [`apart`] (two of it compared), [`reply`] (what is said back), `grounds` (why a question is asked, and why
//! none is), `riding` (ride advice), [`repairs`] and `mending` (repairs and what came of them), `gone` (one complaint
//! cured, another not), `record` (what was told), `standing` (what follows from it), this file (what a line does).

mod alarms;
mod answer;
pub mod apart;
mod asks;
mod beside;
pub mod command;
pub mod faults;
mod gone;
mod grounds;
mod mending;
pub mod options;
mod record;
pub mod repairs;
pub mod reply;
mod riding;
mod say;
mod sayings;
mod standing;
mod sure;
mod table;
mod told;

use std::cell::OnceCell;

use crate::graph::{CauseIx, End, FaultGraph, QuestionIx, RemedyIx};
use crate::inference::Posterior;
use crate::inquiry::{Situation, safety};
use crate::intake::{Lexicon, Unclear};
use crate::knowledge::terms::{Ride, Venue};
use command::Command;
use record::Misheard;
use riding::Advice;
use standing::Standing;
use told::{Asked, Kept, Told, Whether};

/// So often a question is passed by before another comes in its place.
const PASSED_BY: usize = 2;

/// What comes back for a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// What is said.
    pub text: String,
    /// True if the sitting has ended.
    pub ended: bool,
}

/// A conversation.
pub struct Session<'g> {
    graph: &'g FaultGraph,
    /// Made when words come: nobody waits for it before the first prompt.
    lexicon: OnceCell<Lexicon<'g>>,
    situation: Situation,
    told: Vec<Told>,
    standing: Option<Standing>,
    mending: Option<(RemedyIx, Option<End>)>,
    asked: Asked,
    /// Ride advice as last said: what has not changed is not said again.
    said: riding::Said,
    /// The same of the ranking, and of what is looked at first.
    said_likely: String,
    said_first: String,
    /// How many bikes were put away.
    bikes: usize,
}

impl<'g> Session<'g> {
    /// Opens a sitting.
    pub fn new(graph: &'g FaultGraph, situation: Situation) -> Self {
        Self {
            graph,
            lexicon: OnceCell::new(),
            situation,
            told: Vec::new(),
            standing: None,
            mending: None,
            asked: Asked::Best,
            said: riding::Said::default(),
            said_likely: String::new(),
            said_first: String::new(),
            bikes: 0,
        }
    }

    fn lexicon(&self) -> &Lexicon<'g> {
        self.lexicon.get_or_init(|| Lexicon::of(self.graph))
    }

    /// What is said first.
    pub fn greeting(&self) -> String {
        reply::greeting()
    }

    /// How many bikes were put away since the sitting began: each is a sitting of its own.
    pub fn put_away(&self) -> usize {
        self.bikes
    }

    /// The question that stands, if any does.
    pub fn asking(&self) -> Option<QuestionIx> {
        match self.asked {
            Asked::Nothing | Asked::Whether(_) => None,
            Asked::This(question) => Some(question),
            Asked::Best => self.taken_back().or_else(|| {
                let inquiry = &self.standing.as_ref()?.inquiry;
                inquiry.proposals.first().filter(|_| inquiry.stop.is_none()).map(|p| p.question)
            }),
        }
    }

    /// The question whose answer was taken back last, so that it can be given anew.
    fn taken_back(&self) -> Option<QuestionIx> {
        match self.told.last() {
            Some(Told::Withdrawn(place)) => match self.told.get(*place) {
                Some(Told::Picked(question, _) | Told::Skipped(question)) => Some(*question),
                _ => None,
            },
            _ => None,
        }
    }

    /// What is believed, once something was told that can be weighed.
    pub fn posterior(&self) -> Option<&Posterior> {
        self.something_told().map(|st| &st.posterior)
    }

    /// What can be typed at this point, in a few words.
    pub fn hint(&self) -> String {
        if matches!(self.asked, Asked::Whether(_)) {
            return "yes or no".to_owned();
        }
        match self.asking().map(|q| self.offered(q).len()) {
            Some(most) if self.mending.is_some() => format!("1 to {most}; or cured, better, same or worse"),
            None if self.mending.is_some() => "cured, better, same or worse".to_owned(),
            Some(most) => format!("1 to {most}, ? or why"),
            None if self.something_told().is_some() => "mend, reasons, another or heard".to_owned(),
            None => "what the bike does, or help".to_owned(),
        }
    }

    /// Leaves the question that stands; an empty line asks it again.
    pub fn leave_question(&mut self) -> Reply {
        let text = match (self.asking(), self.something_told()) {
            (Some(_), _) => {
                self.asked = Asked::Nothing;
                reply::left()
            }
            (None, Some(_)) => reply::no_question(),
            (None, None) => reply::nothing_yet(),
        };
        Reply { text, ended: false }
    }

    /// What stands before the line that is typed: the ride advice, always in view.
    pub fn prompt(&self) -> &'static str {
        if self.something_told().is_some() { riding::prompt(self.advised()) } else { "> " }
    }

    /// May it be ridden, as things stand.
    fn advised(&self) -> Ride {
        self.something_told().map_or(Ride::Ride, |st| safety::advice(self.graph, &st.evidence, &st.posterior).0)
    }

    /// Does what a line asks for.
    pub fn step(&mut self, line: &str) -> Reply {
        let command = command::read(line);
        let text = match command {
            Command::Leave => return Reply { text: reply::goodbye(), ended: true },
            // "It is gone" may answer the question whether it is.
            Command::Cured if self.mending.is_none() && self.asks_whether_gone() => self.pick(1),
            Command::Cured => return self.cured(),
            // Before anything is told there is no other bike.
            Command::New(rest) if self.told.is_empty() && !rest.is_empty() => self.say(line),
            Command::New(rest) if rest.is_empty() => self.begins_anew() + &self.greeting(),
            Command::New(rest) => self.begins_anew() + &self.step(&rest).text,
            Command::Help => reply::help(),
            Command::Nothing => self.asked_in_full(),
            Command::Say(words) => match self.made_sure_of(&words) {
                Some((whether, yes)) => return self.made_sure(whether, yes),
                None if self.passes_on_no_answer(&words) => return self.step("?"),
                None => self.say(&words) + &self.ride_asked_beside(&words),
            },
            Command::Pick(n @ (1 | 2)) if let Asked::Whether(whether) = self.asked => {
                return self.made_sure(whether, n == 1);
            }
            Command::Pick(n) => self.pick(n),
            Command::CannotTell if self.clearing().is_some() => self.pick(0),
            Command::CannotTell => self.with_question(|s, q| s.tell(Told::Skipped(q))),
            Command::Another => self.another(),
            Command::Back => self.back(),
            Command::Unchanged => self.unchanged(),
            Command::Better => self.better(),
            Command::Worse => self.worse(),
            Command::Tried(n) => self.tried(n),
            Command::TriedOf(name) => self.tried_named(&name),
            Command::Change(n) => self.change(n),
            Command::Ride if self.something_told().is_none() => reply::ride_hangs_on_what_it_is(),
            Command::Ride => self.with_standing(|s, st| reply::ride(s.graph, &st.evidence, &st.posterior)),
            Command::Wrong(n) => {
                let st = self.standing.as_ref();
                let numbered = st.and_then(|st| Some((st, st.numbered.get(n.wrapping_sub(1))?)));
                match numbered.filter(|(st, id)| st.heard.iter().any(|h| h.id == **id)) {
                    Some((_, id)) => self.misheard(vec![id.clone()]),
                    None => reply::not_heard_so(n, st.map_or(0, |st| st.heard.len())),
                }
            }
            Command::WrongOf(words) => match self.heard_of(&words) {
                // Longer, it tells of something that is wrong with the bike.
                Misheard::All(ids) if ids.is_empty() && words.split(' ').count() > 2 => self.say(line),
                Misheard::All(ids) if ids.is_empty() => reply::not_heard(&words),
                Misheard::All(ids) => self.misheard(ids),
                Misheard::OneOf(ids) => self.which_is_wrong(&ids),
            },
            Command::CuredBy(n) => match self.mended(n) {
                Some(fault) => {
                    self.mending = Some(fault);
                    return self.cured();
                }
                None if self.something_told().is_none() => reply::nothing_yet(),
                None => reply::no_such_number(n),
            },
            Command::Compare(one, other) => self.compared(&one, &other),
            Command::WhatIs(name) => match self.explained(&name) {
                Some(text) => text,
                None => self.say(line),
            },
            Command::Why => self.with_standing(|s, st| match s.asking() {
                Some(question) => grounds::why(s.graph, &st.evidence, &st.inquiry, s.situation, question),
                None => s.enough(st),
            }),
            Command::Likely => self.with_standing(|s, st| reply::likely(s.graph, &st.evidence, &st.posterior, 8)),
            Command::Heard => self.with_standing(|s, st| reply::heard(s.graph, &st.heard, &st.numbered, &s.answers())),
            Command::Reasons(n) => self.with_standing(|s, st| match s.fault(st, n) {
                Some(fault) => reply::reasons(s.graph, &st.evidence, &st.posterior, &fault),
                None => reply::no_such_number(n),
            }),
            Command::ReasonsOf(_) if self.something_told().is_none() => self.say(line),
            Command::ReasonsOf(name) => self.with_standing(|s, st| match s.fault_named(&name) {
                Some(fault) => reply::reasons(s.graph, &st.evidence, &st.posterior, &fault),
                None => reply::no_such_cause(&name),
            }),
            Command::Settings => match self.mending {
                Some((remedy, _)) => repairs::settings(self.graph.remedy(remedy)),
                None => self.mend(1),
            },
            Command::Mend(n) => self.mend(n),
            Command::CheckOf(name) => match self.fault_meant(&name) {
                Some(fault) => reply::how_it_is_looked_at(self.graph, &fault),
                None => self.say(line),
            },
            // Where no cause is called so the words are speech.
            Command::MendOf(name) => match self.fault_named(&name) {
                Some(fault) => self.mend_this(&fault),
                None => self.say(line),
            },
        };
        Reply { text, ended: false }
    }

    /// Another bike: what was told of this one is put away by whoever keeps sittings.
    fn begins_anew(&mut self) -> String {
        let put_away = if self.told.is_empty() { "" } else { reply::put_away() };
        let (lexicon, bikes) = (std::mem::take(&mut self.lexicon), self.bikes + 1);
        *self = Self { lexicon, bikes, ..Self::new(self.graph, self.situation) };
        put_away.to_owned()
    }

    /// Where things stand, once something was told that can be weighed.
    fn something_told(&self) -> Option<&Standing> {
        self.standing.as_ref().filter(|st| !st.evidence.says_nothing())
    }

    fn with_standing(&self, speak: impl FnOnce(&Self, &Standing) -> String) -> String {
        self.something_told().map_or_else(reply::nothing_yet, |st| speak(self, st))
    }

    fn asks_whether_gone(&self) -> bool {
        self.asking().is_some_and(|q| self.graph.question(q).ask.trim_end().ends_with("gone?"))
    }

    fn with_question(&mut self, act: impl FnOnce(&mut Self, QuestionIx) -> String) -> String {
        match self.asking() {
            Some(q) => act(self, q),
            None if self.something_told().is_none() => reply::nothing_yet(),
            None => reply::no_question(),
        }
    }

    /// Words that are asked about before anything else, for they may mean several things.
    #[must_use]
    pub fn clearing(&self) -> Option<&Unclear> {
        self.standing.as_ref()?.unclear.first().filter(|_| self.asked == Asked::Best)
    }

    fn pick(&mut self, n: usize) -> String {
        if let Some(unclear) = self.clearing() {
            let most = unclear.may_be.len();
            return match n.checked_sub(1).map(|i| unclear.may_be.get(i).cloned()) {
                None => self.tell(Told::Unclear(unclear.text.clone())),
                Some(Some(report)) => self.tell(Told::Meant(report)),
                Some(None) => reply::no_such_option(n, most),
            };
        }
        let ended = self.something_told().filter(|_| self.asked == Asked::Best && self.asking().is_none());
        if let Some(st) = ended {
            // Where asking has ended a number is one of the list of causes.
            let ranked = faults::ranked(self.graph, &st.posterior);
            let fault = n.checked_sub(1).and_then(|place| faults::worth_naming(&ranked).get(place));
            return fault.map_or_else(reply::no_question, |fault| self.mend_this(fault));
        }
        self.with_question(|s, question| {
            let offered = s.offered(question);
            match n.checked_sub(1).map(|place| offered.get(place)) {
                None => s.tell(Told::Skipped(question)),
                Some(Some(option)) => s.tell(Told::Picked(question, *option)),
                Some(None) => reply::no_such_option(n, offered.len()),
            }
        })
    }

    fn offered(&self, question: QuestionIx) -> Vec<usize> {
        self.standing.as_ref().map_or_else(Vec::new, |st| options::offered(self.graph, &st.evidence, question))
    }

    /// The question after the one that stands; the best one where none does.
    fn another(&mut self) -> String {
        let Some(st) = self.something_told() else { return reply::nothing_yet() };
        let questions: Vec<QuestionIx> = st.inquiry.proposals.iter().map(|p| p.question).collect();
        let standing = self.asking();
        let place = standing.and_then(|q| questions.iter().position(|x| *x == q));
        let next = questions.get(place.map_or(0, |at| (at + 1) % questions.len())).copied();
        match next.filter(|q| Some(*q) != standing) {
            None => reply::no_other_question() + &self.asked_again(),
            Some(question) => {
                self.asked = Asked::This(question);
                self.asked_again()
            }
        }
    }

    /// Who went on to other things is asked something else than the question that stood.
    fn pass_by(&mut self, asked_before: Option<QuestionIx>) {
        let words = self.told.iter().rev().take_while(|t| matches!(t, Told::Words(_))).count();
        let Some(stands) = self.asking().filter(|q| asked_before == Some(*q) && words > PASSED_BY) else { return };
        let Some(st) = self.standing.as_ref().filter(|st| st.inquiry.pressing.is_none() && st.unclear.is_empty())
        else {
            return;
        };
        let next = st.inquiry.proposals.iter().map(|p| p.question).find(|q| *q != stands);
        self.asked = next.map_or(Asked::Best, Asked::This);
    }

    fn back(&mut self) -> String {
        self.mending = None;
        self.asked = Asked::Best;
        let Some(last) = self.told.pop() else { return reply::nothing_to_take_back() };
        let text = reply::taken_back(&self.in_words(&last));
        if self.told.is_empty() {
            self.standing = None;
            return text + &reply::greeting();
        }
        let _ = self.work_out();
        text + &self.asked_in_full()
    }

    /// Adds what was told, unless it contradicts the rest.
    fn takes(&mut self, told: Told) -> bool {
        self.told.push(told);
        let taken = self.work_out().is_ok();
        if !taken {
            self.told.pop();
            let _ = self.work_out();
        }
        taken
    }

    /// Takes one more thing down; what contradicts the rest is not taken.
    fn tell(&mut self, told: Told) -> String {
        let asking = self.asking();
        self.told.push(told.clone());
        let first = self.standing.as_ref().is_none_or(|s| s.heard.is_empty());
        let unclear = self.standing.as_ref().map_or(0, |s| s.unclear.len());
        let advised = (self.advised(), self.alarms());
        let telling = self.standing.as_ref().map(|s| s.evidence.telling.clone()).unwrap_or_default();
        if let Err(trouble) = self.work_out() {
            self.told.pop();
            let _ = self.work_out();
            return reply::not_taken(&trouble.to_string());
        }
        let Some(standing) = &self.standing else { return reply::nothing_yet() };
        let nothing = standing.evidence.says_nothing() && standing.unclear.is_empty();
        let new = standing.heard.get(standing.since..).unwrap_or_default();
        let mut text = String::new();
        if let Told::Words(_) = told {
            let weighed = standing.evidence.telling != telling;
            if new.is_empty() && standing.unclear.len() <= unclear && weighed && !standing.evidence.says_nothing() {
                text += reply::only_weighed();
            } else if new.is_empty() && standing.unclear.len() <= unclear {
                self.told.pop();
                let _ = self.work_out();
                let question = self.asking().zip(self.standing.as_ref());
                return reply::not_understood(question.map(|(q, st)| reply::question(self.graph, &st.evidence, q)));
            }
            text += &reply::newly_heard(self.graph, new);
            if first && !new.is_empty() {
                text = text.trim_end().to_owned() + "\n" + reply::how_to_correct();
            }
            text += &reply::missed(&standing.missed);
        }
        // Only what was taken down moves on to another question.
        self.asked = Asked::Best;
        self.pass_by(asking.filter(|_| matches!(told, Told::Words(_))));
        match &told {
            _ if nothing => text + &reply::say_more(),
            Told::Words(words) if self.may_be_misheard(words, advised) => text + &self.ask_whether(Whether::Beside),
            _ => text + &self.asked_again(),
        }
    }

    /// Where things stand, and the question.
    fn asked_again(&mut self) -> String {
        if let Asked::Whether(whether) = self.asked {
            return self.whether(whether);
        }
        if let Some(unclear) = self.clearing() {
            return reply::unclear(self.graph, unclear);
        }
        let Some(st) = self.something_told() else { return reply::nothing_yet() };
        if st.evidence.only_denies() {
            return reply::only_denied();
        }
        let advice = Advice::of(self.graph, &st.evidence, &st.posterior);
        let asking = self.asking();
        if advice.keep_away {
            return self.said.next(advice, asking.is_none()) + reply::keep_away();
        }
        let likely = reply::likely(self.graph, &st.evidence, &st.posterior, 3);
        let then = match asking {
            Some(q) => grounds::asked(self.graph, &st.evidence, &st.inquiry, q),
            None => self.enough(st),
        };
        let again = asking.is_none() && then == self.said_first;
        if asking.is_none() {
            self.said_first.clone_from(&then);
        }
        let ride = self.said.next(advice, asking.is_none());
        let news = if likely == self.said_likely { String::new() } else { likely.clone() };
        self.said_likely = likely;
        ride + &news + if again { grounds::as_before() } else { &then }
    }

    fn enough(&self, st: &Standing) -> String {
        grounds::enough(
            self.graph,
            &st.evidence,
            &st.posterior,
            &st.inquiry,
            (&self.for_the_mechanic(), self.situation.by),
        )
    }

    /// The same, with nothing left out because it was just said.
    fn asked_in_full(&mut self) -> String {
        (self.said, self.said_likely, self.said_first) = Default::default();
        if self.asked == Asked::Nothing {
            self.asked = Asked::Best;
        }
        self.asked_again()
    }

    /// The likeliest cause in whose name all these words stand.
    fn named(&self, words: &str, st: &Standing) -> Option<CauseIx> {
        let stems = &self.lexicon().reader.stems;
        let wanted = stems.counting(words);
        let fits = |c: &CauseIx| {
            let name = stems.counting(&self.graph.cause(*c).name);
            !wanted.is_empty() && wanted.iter().all(|w| name.contains(w))
        };
        st.posterior.ranking().into_iter().find(fits)
    }

    /// The sitting as lines, from which [`Session::resume`] makes it again.
    pub fn kept(&self) -> Vec<String> {
        let told = self.told.iter().map(|t| told::written(self.graph, t));
        // Who goes off to mend something comes back with how it went.
        let mending = self.mending.map(|(r, end)| told::written_mending(self.graph, r, end));
        let asked = told::written_asked(self.graph, self.asked);
        // A sitting in which nothing was told is not worth keeping.
        let place = self.told.first().map(|_| told::written_place(self.situation.at));
        place.into_iter().chain(told).chain(mending).chain(asked).collect()
    }

    /// Takes up a kept sitting, in the place where it was held.
    ///
    /// # Errors
    /// The first line that this knowledge cannot take, and why.
    pub fn resume(graph: &'g FaultGraph, kept: &str) -> Result<Self, String> {
        let mut session = Self::new(graph, Situation::in_place(Venue::Home));
        for (i, line) in kept.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
            let bad = |why: String| format!("line {} of the kept sitting cannot be taken: {why}", i + 1);
            match told::read(graph, line).map_err(bad)? {
                Kept::Told(Told::Withdrawn(place)) if place >= session.told.len() => {
                    return Err(bad("there is no such line before it".to_owned()));
                }
                Kept::At(place) => session.situation = Situation::in_place(place),
                Kept::Told(told) => session.told.push(told),
                Kept::Asked(asked) => session.asked = asked,
                Kept::Mending(remedy, end) => session.mending = Some((remedy, end)),
            }
        }
        session.work_out().map_err(|e| e.to_string())?;
        Ok(session)
    }
}
