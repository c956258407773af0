//! A conversation as a value: a line in, a reply out, no input or output inside.
//!
//! A [`Session`] is nothing but the list of what was told, in order ([`Told`]);
//! everything else is worked out anew from it. So taking the last answer back
//! is dropping the last entry, and a sitting is kept by keeping its lines.
//!
//! Reading order: [`command`] (what can be typed), `told` (what is kept of it),
//! `answer` (answers in words), [`reply`] (what is said back), this file (what a
//! line does).

mod answer;
pub mod command;
pub mod reply;
mod told;

use crate::graph::{CauseIx, End, FaultGraph, QuestionIx, RemedyIx};
use crate::inference::evidence::{Evidence, Repair};
use crate::inference::{Posterior, Trouble, infer};
use crate::inquiry::outcomes::Outcomes;
use crate::inquiry::{Inquiry, Proposal, Situation, inquire, safety};
use crate::intake::{Heard, Lexicon, Unclear, reports};
use command::Command;
use told::{GONE_IF_BETTER, Kept, Told};

/// What comes back for a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reply {
    /// What is said.
    pub text: String,
    /// True if the sitting has ended.
    pub ended: bool,
}

/// All that follows from what was told.
struct Standing {
    evidence: Evidence,
    heard: Vec<Heard>,
    /// Words that may mean several things, of which it matters which.
    unclear: Vec<Unclear>,
    /// What was said last and told nothing.
    missed: Vec<String>,
    posterior: Posterior,
    inquiry: Inquiry,
}

/// A conversation.
pub struct Session<'g> {
    graph: &'g FaultGraph,
    lexicon: Lexicon<'g>,
    situation: Situation,
    told: Vec<Told>,
    standing: Option<Standing>,
    mending: Option<(RemedyIx, Option<End>)>,
    skipped: usize,
    /// A question that is answered anew.
    anew: Option<QuestionIx>,
    /// Ride advice and ranking as last said: what has not changed is not said again.
    said: (String, String),
}

impl<'g> Session<'g> {
    /// Opens a sitting.
    pub fn new(graph: &'g FaultGraph, situation: Situation) -> Self {
        let lexicon = Lexicon::of(graph);
        Self {
            graph,
            lexicon,
            situation,
            told: Vec::new(),
            standing: None,
            mending: None,
            skipped: 0,
            anew: None,
            said: Default::default(),
        }
    }

    /// What is said first.
    pub fn greeting(&self) -> String {
        reply::greeting()
    }

    /// The question that stands, if one was asked.
    pub fn asking(&self) -> Option<QuestionIx> {
        let goes_on = || self.skipped > 0 || self.standing.as_ref().is_some_and(|st| st.inquiry.stop.is_none());
        self.question().filter(|_| self.anew.is_some() || goes_on())
    }

    /// What stands before the line that is typed: the ride advice, always in view.
    pub fn prompt(&self) -> &'static str {
        self.something_told()
            .map_or("> ", |st| reply::prompt(safety::advice(self.graph, &st.evidence, &st.posterior).0))
    }

    /// Does what a line asks for.
    pub fn step(&mut self, line: &str) -> Reply {
        let command = command::read(line);
        let text = match command {
            Command::Leave => return Reply { text: reply::goodbye(), ended: true },
            Command::Cured => {
                let cured = self.mending.map(|(r, _)| self.graph.remedy(r));
                return match cured {
                    Some(remedy) => Reply { text: reply::cured(remedy), ended: true },
                    None => Reply { text: reply::nothing_mended(), ended: false },
                };
            }
            Command::Help => reply::help(),
            Command::Nothing => self.asked_in_full(),
            Command::Say(words) => {
                let question = self.asking();
                let option = question.and_then(|q| answer::in_words(self.graph, &self.lexicon.reader.stems, q, &words));
                match question.zip(option) {
                    Some((q, option)) => self.tell(Told::Picked(q, option)),
                    None => self.tell(Told::Words(words)),
                }
            }
            Command::Pick(n) => self.pick(n),
            Command::CannotTell if self.clearing().is_some() => self.pick(0),
            Command::CannotTell => self.with_question(|s, q| s.tell(Told::Skipped(q))),
            Command::Another => {
                self.skipped += 1;
                self.asked_again()
            }
            Command::Back => self.back(),
            Command::Unchanged => self.after_mending(None),
            Command::Better => self.after_mending(Some(GONE_IF_BETTER)),
            Command::Worse => {
                let undo = self.mending.map(|(r, _)| reply::undo(self.graph.remedy(r))).unwrap_or_default();
                undo + &self.after_mending(None)
            }
            Command::Tried(n) => {
                let tried = self.remedy_for(n);
                tried.map_or_else(|| reply::no_such_number(n), |(r, end)| self.tell(Told::Stayed(r, end, None)))
            }
            Command::Change(n) => self.change(n),
            Command::Ride => self.with_standing(|s, st| reply::ride(s.graph, &st.evidence, &st.posterior)),
            Command::Wrong(n) => {
                let id = self.standing.as_ref().and_then(|st| st.heard.get(n.wrapping_sub(1))).map(|h| h.id.clone());
                id.map_or_else(|| reply::no_such_answer(n), |id| reply::taken_back() + &self.tell(Told::Wrong(id)))
            }
            Command::Why => self.with_question(|s, q| reply::why(s.graph, s.proposal(q))),
            Command::Likely => self.with_standing(|s, st| reply::likely(s.graph, &st.posterior, 8)),
            Command::Heard => self.with_standing(|s, st| reply::heard(s.graph, &st.heard, &s.answers())),
            Command::Reasons(n) => self.with_cause(n, |s, st, c| reply::reasons(s.graph, &st.evidence, c)),
            Command::Mend(n) => self.mend(n),
        };
        Reply { text, ended: false }
    }

    /// Where things stand, once something was told that can be weighed.
    fn something_told(&self) -> Option<&Standing> {
        self.standing.as_ref().filter(|st| !st.evidence.says_nothing())
    }

    fn with_standing(&self, speak: impl FnOnce(&Self, &Standing) -> String) -> String {
        self.something_told().map_or_else(reply::nothing_yet, |st| speak(self, st))
    }

    fn with_cause(&self, n: usize, speak: impl FnOnce(&Self, &Standing, CauseIx) -> String) -> String {
        self.with_standing(|s, st| match n.checked_sub(1).and_then(|i| st.posterior.ranking().get(i).copied()) {
            Some(cause) => speak(s, st, cause),
            None => reply::no_such_number(n),
        })
    }

    fn with_question(&mut self, act: impl FnOnce(&mut Self, QuestionIx) -> String) -> String {
        match self.question() {
            Some(q) => act(self, q),
            None => reply::no_question(),
        }
    }

    /// The question that stands.
    fn question(&self) -> Option<QuestionIx> {
        if self.anew.is_some() {
            return self.anew;
        }
        let next = &self.standing.as_ref()?.inquiry.proposals;
        next.get(self.skipped % next.len().max(1)).map(|p| p.question)
    }

    fn proposal(&self, question: QuestionIx) -> Option<&Proposal> {
        self.standing.as_ref()?.inquiry.proposals.iter().find(|p| p.question == question)
    }

    /// Words that should be made clear before anything is asked.
    fn clearing(&self) -> Option<&Unclear> {
        self.standing.as_ref()?.unclear.first().filter(|_| self.anew.is_none() && self.skipped == 0)
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
        let Some(question) = self.asking() else { return reply::no_question() };
        let options = reply::options(self.graph, question);
        match n {
            0 => self.tell(Told::Skipped(question)),
            n if n <= options.len() => self.tell(Told::Picked(question, n - 1)),
            n => reply::no_such_option(n, options.len()),
        }
    }

    fn back(&mut self) -> String {
        self.mending = None;
        match self.told.pop() {
            None => reply::nothing_to_take_back(),
            Some(_) if self.told.is_empty() => {
                self.standing = None;
                reply::taken_back() + &reply::greeting()
            }
            Some(_) => {
                let _ = self.work_out();
                reply::taken_back() + &self.asked_in_full()
            }
        }
    }

    /// Takes one more thing down; what contradicts the rest is not taken.
    fn tell(&mut self, told: Told) -> String {
        self.told.push(told.clone());
        let known = self.standing.as_ref().map_or(0, |s| s.heard.len());
        if let Err(trouble) = self.work_out() {
            self.told.pop();
            let _ = self.work_out();
            return reply::not_taken(&trouble.to_string());
        }
        let Some(standing) = &self.standing else { return reply::nothing_yet() };
        let nothing = standing.evidence.says_nothing() && standing.unclear.is_empty();
        let new = standing.heard.get(known..).unwrap_or_default();
        let mut text = String::new();
        if let Told::Words(_) = told {
            if new.is_empty() && standing.unclear.is_empty() {
                self.told.pop();
                let ask = self.asking().map(|q| self.graph.question(q).ask.as_str());
                return reply::not_understood(ask);
            }
            text += &reply::newly_heard(self.graph, new);
            text += &reply::missed(&standing.missed);
        }
        // Only what was taken down moves on to another question.
        self.skipped = 0;
        self.anew = None;
        if nothing { text + &reply::say_more() } else { text + &self.asked_again() }
    }

    /// Where things stand, and the question.
    fn asked_again(&mut self) -> String {
        let Some(st) = &self.standing else { return reply::nothing_yet() };
        if let Some(unclear) = self.clearing() {
            return reply::unclear(self.graph, unclear);
        }
        let ride = reply::ride(self.graph, &st.evidence, &st.posterior);
        let likely = reply::likely(self.graph, &st.posterior, 3);
        let mut text = String::new();
        if ride != self.said.0 {
            text += &ride;
        }
        if likely != self.said.1 {
            text += &likely;
        }
        text += &match self.asking() {
            Some(q) => reply::question(self.graph, q),
            None => reply::enough(self.graph, &st.evidence, &st.posterior, &st.inquiry),
        };
        self.said = (ride, likely);
        text
    }

    /// The same, with nothing left out because it was just said.
    fn asked_in_full(&mut self) -> String {
        self.said = Default::default();
        self.asked_again()
    }

    fn after_mending(&mut self, gone: Option<f64>) -> String {
        match self.mending.take() {
            Some((remedy, end)) => self.tell(Told::Stayed(remedy, end, gone)),
            None => reply::nothing_mended(),
        }
    }

    /// The remedy of the cause in this place, and the end at which it is done.
    fn remedy_for(&self, n: usize) -> Option<(RemedyIx, Option<End>)> {
        let cause = self.something_told()?.posterior.ranking().get(n.checked_sub(1)?).copied()?;
        self.graph.remedies_of(cause).next().map(|(r, _)| (r, self.graph.cause(cause).end))
    }

    /// Takes one earlier answer back and asks its question again.
    fn change(&mut self, n: usize) -> String {
        let answered = |t: &Told| !matches!(t, Told::Words(_) | Told::Wrong(_) | Told::Meant(_) | Told::Unclear(_));
        let place = self.told.iter().enumerate().filter(|(_, t)| answered(t)).nth(n.wrapping_sub(1)).map(|(i, _)| i);
        let Some(place) = place else { return reply::no_such_answer(n) };
        let old = self.told.remove(place);
        let _ = self.work_out();
        if let Told::Picked(question, _) | Told::Skipped(question) = old {
            self.anew = Some(question);
        }
        reply::taken_back() + &self.asked_in_full()
    }

    fn mend(&mut self, n: usize) -> String {
        let chosen = self.remedy_for(n);
        let tried = chosen.is_some_and(|(r, end)| self.told.contains(&Told::Stayed(r, end, None)));
        self.mending = chosen.or(self.mending);
        self.with_cause(n, |s, _, cause| reply::mend(s.graph, cause, chosen.map(|(r, _)| r), tried))
    }

    /// Answers given, in plain words.
    fn answers(&self) -> Vec<String> {
        let told = self.told.iter().filter_map(|t| match t {
            Told::Words(_) | Told::Wrong(_) | Told::Meant(_) | Told::Unclear(_) => None,
            Told::Picked(q, i) => {
                let option = reply::options(self.graph, *q).get(*i).cloned().unwrap_or_default();
                Some(format!("{} {option}", self.graph.question(*q).ask))
            }
            Told::Skipped(q) => Some(format!("{} can't tell", self.graph.question(*q).ask)),
            Told::Stayed(r, ..) => Some(format!("tried without change: {}", self.graph.remedy(*r).name)),
        });
        told.collect()
    }

    /// Works everything out from what was told.
    fn work_out(&mut self) -> Result<(), Trouble> {
        let s = self.situation;
        let mut evidence = Evidence::default();
        let mut heard = Vec::new();
        let mut skipped = Vec::new();
        let mut unclear: Vec<Unclear> = Vec::new();
        let mut missed = Vec::new();
        for told in &self.told {
            match told {
                Told::Words(words) => {
                    let intake = self.lexicon.hear(words, s.by, s.at, &mut evidence);
                    heard.extend(intake.heard);
                    unclear.extend(intake.unclear);
                    missed = intake.missed;
                }
                Told::Unclear(words) => unclear.retain(|u| u.text != *words),
                Told::Meant(report) => {
                    unclear.retain(|u| !u.may_be.contains(report));
                    // It was offered because the knowledge has it.
                    if reports::report(self.graph, &mut evidence, report, s.by, s.at).is_ok()
                        && let Some((id, answer)) = report.split_once('=')
                    {
                        let (text, id, answer) = (String::new(), id.to_owned(), answer.to_owned());
                        heard.push(Heard { text, id, answer });
                    }
                }
                Told::Picked(question, option) => {
                    let outcomes = Outcomes::reported(self.graph, &evidence, *question, s);
                    if let Some((_, after)) = outcomes.all.into_iter().nth(*option) {
                        evidence = after;
                    }
                }
                Told::Skipped(question) => skipped.push(*question),
                Told::Wrong(id) => {
                    heard.retain(|h: &Heard| h.id != *id);
                    told::forget(self.graph, &mut evidence, id);
                }
                Told::Stayed(remedy, end, known) => {
                    let there = |c: &CauseIx| self.graph.cause(*c).end == *end;
                    for (cause, works) in self.graph.cured_by(*remedy).filter(|(c, _)| there(c)) {
                        for event in 0..evidence.events.len() {
                            evidence.repairs.push(Repair { cause, works: known.unwrap_or(works.by(s.by)), event });
                        }
                    }
                }
            }
        }
        unclear.retain(|u| self.matters(&evidence, u));
        let posterior = infer(self.graph, &evidence)?;
        let inquiry = inquire(self.graph, &evidence, &posterior, s, &skipped)?;
        self.standing = Some(Standing { evidence, heard, unclear, missed, posterior, inquiry });
        Ok(())
    }

    /// True if it leads elsewhere, whichever of the things is meant.
    fn matters(&self, evidence: &Evidence, unclear: &Unclear) -> bool {
        let s = self.situation;
        let told = |report: &String| {
            let id = report.split(['.', '=']).next().unwrap_or_default();
            self.graph.find_complaint(id).is_some_and(|c| evidence.events.iter().any(|e| e.complaint == c))
        };
        let leads = |report: &String| {
            let mut after = evidence.clone();
            reports::report(self.graph, &mut after, report, s.by, s.at).ok()?;
            infer(self.graph, &after).ok()?.ranking().first().copied()
        };
        // What was told of otherwise needs no asking.
        !unclear.may_be.iter().any(told) && unclear.may_be.windows(2).any(|two| leads(&two[0]) != leads(&two[1]))
    }

    /// The sitting as lines, from which [`Session::resume`] makes it again.
    pub fn kept(&self) -> Vec<String> {
        let told = self.told.iter().map(|t| told::written(self.graph, t));
        // Who goes off to mend something comes back with how it went.
        let mending = self.mending.map(|(r, end)| told::written_mending(self.graph, r, end));
        told.chain(mending).collect()
    }

    /// Takes up a kept sitting.
    ///
    /// # Errors
    /// The first line that this knowledge cannot take, and why.
    pub fn resume(graph: &'g FaultGraph, situation: Situation, kept: &str) -> Result<Self, String> {
        let mut session = Self::new(graph, situation);
        for (i, line) in kept.lines().enumerate().filter(|(_, l)| !l.trim().is_empty()) {
            let bad = |why: String| format!("line {} of the kept sitting cannot be taken: {why}", i + 1);
            match told::read(graph, line).map_err(bad)? {
                Kept::Told(told) => session.told.push(told),
                Kept::Mending(remedy, end) => session.mending = Some((remedy, end)),
            }
        }
        session.work_out().map_err(|e| e.to_string())?;
        Ok(session)
    }
}
