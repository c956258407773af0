//! A conversation as a value: a line in, a reply out, no input or output inside.
//!
//! A [`Session`] is nothing but the list of what was told, in order ([`Told`]);
//! everything else is worked out anew from it. So taking the last answer back
//! is dropping the last entry, and a sitting is kept by keeping its lines.
//!
//! Reading order: [`command`] (what can be typed), [`reply`] (what is said back),
//! this file (what a line does).

pub mod command;
pub mod reply;

use crate::graph::{CauseIx, FaultGraph, QuestionIx, RemedyIx};
use crate::inference::evidence::{Evidence, Repair};
use crate::inference::{Posterior, Trouble, explain_event, infer, problem::Problem};
use crate::inquiry::outcomes::Outcomes;
use crate::inquiry::remedies::{Planned, plan};
use crate::inquiry::{Proposal, Situation, next_questions};
use crate::intake::{Heard, Lexicon};
use command::Command;

/// How many questions are kept ready, for whoever wants another one.
const READY: usize = 4;
/// With the leading cause this likely, looking at it beats asking on. Judgement.
const LOOK_FROM: f64 = 0.80;

/// One thing told in a sitting.
#[derive(Debug, Clone, PartialEq)]
enum Told {
    /// The rider spoke.
    Words(String),
    /// An option of a question was picked.
    Picked(QuestionIx, usize),
    /// The question cannot be answered.
    Skipped(QuestionIx),
    /// A remedy was done and the complaint stayed.
    Unchanged(RemedyIx),
}

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
    posterior: Posterior,
    next: Vec<Proposal>,
    remedies: Vec<Planned>,
}

/// A conversation.
pub struct Session<'g> {
    graph: &'g FaultGraph,
    lexicon: Lexicon<'g>,
    situation: Situation,
    told: Vec<Told>,
    standing: Option<Standing>,
    mending: Option<RemedyIx>,
    skipped: usize,
}

impl<'g> Session<'g> {
    /// Opens a sitting.
    pub fn new(graph: &'g FaultGraph, situation: Situation) -> Self {
        let lexicon = Lexicon::of(graph);
        Self { graph, lexicon, situation, told: Vec::new(), standing: None, mending: None, skipped: 0 }
    }

    /// What is said first.
    pub fn greeting(&self) -> String {
        reply::greeting()
    }

    /// The question that stands, if one was asked.
    pub fn asking(&self) -> Option<QuestionIx> {
        let standing = self.standing.as_ref()?;
        self.question().filter(|_| self.asking_pays(standing))
    }

    /// Does what a line asks for.
    pub fn step(&mut self, line: &str) -> Reply {
        let command = command::read(line);
        let text = match command {
            Command::Leave => return Reply { text: reply::goodbye(), ended: true },
            Command::Cured => {
                let cured = self.mending.map(|r| self.graph.remedy(r));
                return match cured {
                    Some(remedy) => Reply { text: reply::cured(remedy), ended: true },
                    None => Reply { text: reply::nothing_mended(), ended: false },
                };
            }
            Command::Help => reply::help(),
            Command::Nothing => self.asked_again(),
            Command::Say(words) => self.tell(Told::Words(words)),
            Command::Pick(n) => self.pick(n),
            Command::CannotTell => self.with_question(|s, q| s.tell(Told::Skipped(q))),
            Command::Another => {
                self.skipped += 1;
                self.asked_again()
            }
            Command::Back => self.back(),
            Command::Unchanged => match self.mending {
                Some(remedy) => {
                    self.mending = None;
                    self.tell(Told::Unchanged(remedy))
                }
                None => reply::nothing_mended(),
            },
            Command::Why => self.with_question(|s, q| reply::why(s.graph, s.proposal(q))),
            Command::Likely => self.with_standing(|s, st| reply::likely(s.graph, &st.posterior, 8)),
            Command::Heard => self.with_standing(|s, st| reply::heard(s.graph, &st.heard, &s.answers())),
            Command::Reasons(n) => self.with_cause(n, |s, st, c| reply::reasons(s.graph, &st.evidence, c)),
            Command::Mend(n) => self.mend(n),
        };
        Reply { text, ended: false }
    }

    /// Complaints can be heard only once something was said.
    fn with_standing(&self, speak: impl FnOnce(&Self, &Standing) -> String) -> String {
        self.standing.as_ref().map_or_else(reply::nothing_yet, |st| speak(self, st))
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
        let next = &self.standing.as_ref()?.next;
        next.get(self.skipped % next.len().max(1)).map(|p| p.question)
    }

    fn proposal(&self, question: QuestionIx) -> Option<&Proposal> {
        self.standing.as_ref()?.next.iter().find(|p| p.question == question)
    }

    fn pick(&mut self, n: usize) -> String {
        let Some(question) = self.question() else { return reply::no_question() };
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
                reply::taken_back() + &self.asked_again()
            }
        }
    }

    /// Takes one more thing down; what contradicts the rest is not taken.
    fn tell(&mut self, told: Told) -> String {
        self.told.push(told.clone());
        self.skipped = 0;
        let known = self.standing.as_ref().map_or(0, |s| s.heard.len());
        if let Err(trouble) = self.work_out() {
            self.told.pop();
            let _ = self.work_out();
            return reply::not_taken(&trouble.to_string());
        }
        let Some(standing) = &self.standing else { return reply::nothing_yet() };
        let nothing = standing.evidence.events.is_empty() && standing.evidence.signs.is_empty();
        let new = standing.heard.get(known..).unwrap_or_default();
        let mut text = String::new();
        if let Told::Words(_) = told {
            if new.is_empty() {
                self.told.pop();
                return reply::not_understood();
            }
            text += &reply::newly_heard(self.graph, new);
        }
        if nothing { text + &reply::say_more() } else { text + &self.asked_again() }
    }

    /// Where things stand, and the question.
    fn asked_again(&self) -> String {
        self.with_standing(|s, st| {
            let mut text = reply::ride(s.graph, &st.evidence, &st.posterior);
            text += &reply::likely(s.graph, &st.posterior, 3);
            match s.asking() {
                Some(q) => text += &reply::question(s.graph, q),
                None => text += &reply::enough(s.graph, &st.posterior, &st.remedies),
            }
            text
        })
    }

    /// Asking goes on while an answer is expected to save time and no cause is plain.
    fn asking_pays(&self, st: &Standing) -> bool {
        let leading = st.posterior.ranking().first().map_or(0.0, |c| st.posterior.ranked_by(*c));
        leading < LOOK_FROM && (self.skipped > 0 || st.next.iter().any(|p| p.saves_minutes > 0.0))
    }

    fn mend(&mut self, n: usize) -> String {
        let mut chosen = None;
        let text = self.with_cause(n, |s, st, cause| {
            chosen = s.graph.remedies_of(cause).next().map(|(r, _)| r);
            let tried = s.told.iter().any(|t| chosen.is_some_and(|r| *t == Told::Unchanged(r)));
            let _ = st;
            reply::mend(s.graph, cause, chosen, tried)
        });
        if chosen.is_some() {
            self.mending = chosen;
        }
        text
    }

    /// Answers given, in plain words.
    fn answers(&self) -> Vec<String> {
        let told = self.told.iter().filter_map(|t| match t {
            Told::Words(_) => None,
            Told::Picked(q, i) => {
                let option = reply::options(self.graph, *q).get(*i).cloned().unwrap_or_default();
                Some(format!("{} {option}", self.graph.question(*q).ask))
            }
            Told::Skipped(q) => Some(format!("{} can't tell", self.graph.question(*q).ask)),
            Told::Unchanged(r) => Some(format!("tried without change: {}", self.graph.remedy(*r).name)),
        });
        told.collect()
    }

    /// Works everything out from what was told.
    fn work_out(&mut self) -> Result<(), Trouble> {
        let s = self.situation;
        let mut evidence = Evidence::default();
        let mut heard = Vec::new();
        let mut skipped = Vec::new();
        for told in &self.told {
            match told {
                Told::Words(words) => heard.extend(self.lexicon.hear(words, s.by, s.at, &mut evidence).heard),
                Told::Picked(question, option) => {
                    let outcomes = Outcomes::reported(self.graph, &evidence, *question, s);
                    if let Some((_, _, after)) = outcomes.all.into_iter().nth(*option) {
                        evidence = after;
                    }
                }
                Told::Skipped(question) => skipped.push(*question),
                Told::Unchanged(remedy) => {
                    for (cause, works) in self.graph.cured_by(*remedy) {
                        for event in 0..evidence.events.len() {
                            evidence.repairs.push(Repair { cause, works: works.by(s.by), event });
                        }
                    }
                }
            }
        }
        let posterior = infer(self.graph, &evidence)?;
        let nothing = evidence.events.is_empty() && evidence.signs.is_empty();
        let mut next = Vec::new();
        let mut remedies = Vec::new();
        if !nothing {
            next = next_questions(self.graph, &evidence, &posterior, s, READY + skipped.len())?;
            next.retain(|p| !skipped.contains(&p.question));
            let chances = if evidence.events.is_empty() {
                posterior.present.clone()
            } else {
                let parts = explain_event(&Problem::of(self.graph, &evidence), 0)?;
                parts.alone.into_iter().chain([parts.unlisted, parts.several]).collect()
            };
            remedies = plan(self.graph, &chances, s).0;
        }
        self.standing = Some(Standing { evidence, heard, posterior, next, remedies });
        Ok(())
    }
}
