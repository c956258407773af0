//! What was told in a sitting, said back in plain words: to the rider, and for a mechanic.

use itertools::Itertools;

use crate::graph::QuestionIx;
use crate::intake::Heard;

use super::apart::told_apart;
use super::command::number;
use super::options::options;
use super::reply::number_of;
use super::told::Told;
use super::{Asked, Session, reply};

/// What a word says is wrong, by the ids of what was heard.
pub(super) enum Misheard {
    /// All of it.
    All(Vec<String>),
    /// One of these: it is open which.
    OneOf(Vec<String>),
}

/// Most differences of two faults that are said in a sitting.
const MOST_DIFFERENCES: usize = 6;

impl Session<'_> {
    /// Takes out what was misheard.
    pub(super) fn misheard(&mut self, mut ids: Vec<String>) -> String {
        let text: String = ids.iter().map(|id| reply::taken_back(&reply::plain_name(self.graph, id))).collect();
        let text = text + &self.heard_beside(&ids);
        let Some(last) = ids.pop() else { return text };
        self.told.extend(ids.into_iter().map(Told::Wrong));
        text + &self.tell(Told::Wrong(last))
    }

    /// What the words of something misheard gave beside it, which may be as wrong.
    fn heard_beside(&self, ids: &[String]) -> String {
        let heard = || self.standing.iter().flat_map(|st| &st.heard);
        let goes = |h: &Heard| ids.iter().any(|id| h.id == *id || h.id.split('.').next() == Some(id));
        let same = |a: &str, b: &str| !a.is_empty() && !b.is_empty() && (a.contains(b) || b.contains(a));
        let beside = |h: &&Heard| !goes(h) && heard().any(|gone| goes(gone) && same(&gone.text, &h.text));
        reply::heard_beside(self.graph, heard().filter(beside))
    }

    /// What was heard under these words: by its name or answer, or all that the rider's own words gave.
    pub(super) fn heard_of(&self, words: &str) -> Misheard {
        let stems = &self.lexicon().reader.stems;
        let wanted = stems.counting(words);
        let fits = |told: &str| {
            let stems = stems.counting(told);
            told.to_lowercase().contains(words) || (!wanted.is_empty() && wanted.iter().all(|w| stems.contains(w)))
        };
        let heard = || self.standing.iter().flat_map(|st| &st.heard);
        let bare = |h: &Heard| reply::heard_as(self.graph, &Heard { text: String::new(), ..h.clone() });
        // "Wrong front" means what was taken as the front, before anything with front in its name.
        let answers = |h: &&Heard| fits(&reply::plain_answer(self.graph, &h.id, &h.answer));
        let ids = |fitting: &dyn Fn(&&Heard) -> bool| heard().filter(fitting).map(|h| h.id.clone()).unique().collect();
        let called = Some(ids(&answers)).filter(|ids: &Vec<String>| !ids.is_empty());
        let called = called.or_else(|| Some(ids(&|h| fits(&bare(h)))).filter(|ids| !ids.is_empty()));
        match called {
            Some(ids) if ids.len() > 1 => Misheard::OneOf(ids),
            Some(ids) => Misheard::All(ids),
            None => Misheard::All(ids(&|h| fits(&h.text))),
        }
    }

    /// Which of several things that a word fits are meant: they are shown with their numbers.
    pub(super) fn which_is_wrong(&self, ids: &[String]) -> String {
        let numbered = self.standing.iter().flat_map(|st| st.heard.iter().map(|h| (number_of(&st.numbered, h), h)));
        let fitting = numbered.filter(|(_, h)| ids.contains(&h.id));
        reply::which_is_wrong(self.graph, fitting)
    }

    /// What tells two faults of the ranking apart, each named by its place or by words.
    pub(super) fn compared(&self, one: &str, other: &str) -> String {
        let fault = |name: &str| match number(name) {
            Some(n) => self.fault_at(n),
            None => self.fault_named(name),
        };
        match (fault(one), fault(other)) {
            (Some(a), Some(b)) if a.cause != b.cause => told_apart(self.graph, a.cause, b.cause, MOST_DIFFERENCES),
            (Some(_), Some(_)) => reply::the_same(),
            (Some(_), None) => reply::no_such_cause(other),
            (None, _) => reply::no_such_cause(one),
        }
    }

    /// What a word means that not everybody knows.
    pub(super) fn explained(&self, name: &str) -> Option<String> {
        let stems = &self.lexicon().reader.stems;
        let wanted = stems.counting(name);
        let form = |of: &&String| !wanted.is_empty() && stems.counting(of) == wanted;
        let gloss = self.graph.glosses.iter().find_map(|g| Some((g.of.iter().find(form)?, &g.plain)));
        let cause = || self.graph.causes.iter().find(|c| stems.counting(&c.name) == wanted);
        gloss
            .map(|(word, plain)| reply::explained(word, plain))
            .or_else(|| cause().filter(|_| !wanted.is_empty()).map(|c| format!("{}\n", c.plain)))
    }

    /// What was told and not taken back, with its place.
    pub(super) fn standing_told(&self) -> impl Iterator<Item = (usize, &Told)> {
        let gone = |place: usize| self.told.contains(&Told::Withdrawn(place));
        self.told.iter().enumerate().filter(move |(i, t)| !gone(*i) && !matches!(t, Told::Withdrawn(_)))
    }

    /// Takes one earlier answer back and asks its question again.
    pub(super) fn change(&mut self, n: usize) -> String {
        let answered = |t: &Told| !matches!(t, Told::Words(_) | Told::Wrong(_) | Told::Meant(_) | Told::Unclear(_));
        let place = self.standing_told().filter(|(_, t)| answered(t)).nth(n.wrapping_sub(1)).map(|(i, _)| i);
        let Some((place, old)) = place.and_then(|p| Some((p, self.told.get(p)?))) else {
            return reply::no_such_answer(n, self.answers().len());
        };
        let text = reply::taken_back(&self.in_words(old));
        self.asked = Asked::Best;
        self.takes(Told::Withdrawn(place));
        text + &self.asked_in_full()
    }

    /// Answers given, in plain words.
    pub(super) fn answers(&self) -> Vec<String> {
        let answers = self
            .standing_told()
            .filter(|(_, t)| !matches!(t, Told::Words(_) | Told::Wrong(_) | Told::Meant(_) | Told::Unclear(_)));
        answers.map(|(_, t)| self.in_words(t)).collect()
    }

    /// Something told, in plain words.
    pub(super) fn in_words(&self, told: &Told) -> String {
        let ask = |q: &QuestionIx| self.graph.question(*q).ask.as_str();
        match told {
            Told::Words(words) | Told::Unclear(words) => words.clone(),
            Told::Meant(report) => {
                reply::plain_name(self.graph, report.split_once('=').map_or(report.as_str(), |(id, _)| id))
            }
            Told::Wrong(id) => format!("that this is wrong: {}", reply::plain_name(self.graph, id)),
            Told::Withdrawn(place) => {
                let what = self.told.get(*place).map(|t| self.in_words(t)).unwrap_or_default();
                format!("the change of: {what}")
            }
            Told::Picked(q, i) => {
                let option = options(self.graph, *q).get(*i).cloned().unwrap_or_default();
                format!("{} {option}", ask(q))
            }
            Told::Skipped(q) => format!("{} can't tell", ask(q)),
            Told::Stayed(r, end, known) => {
                let how = if known.is_some() { "made it better, not good" } else { "changed nothing" };
                let end = end.map(|e| format!(" ({})", e.word())).unwrap_or_default();
                format!("Tried, and it {how}: {}{end}", self.graph.remedy(*r).name)
            }
            Told::Cured(r, _, complaint) => {
                let of =
                    complaint.iter().map(|c| format!(", {}", reply::plain_name(self.graph, c))).collect::<String>();
                format!("Cured{of}: {}", self.graph.remedy(*r).name)
            }
        }
    }

    /// What was told, to be read out to somebody else: without what nobody knew.
    pub(super) fn for_the_mechanic(&self) -> Vec<String> {
        let lines = self.standing_told().filter_map(|(_, t)| match t {
            Told::Words(words) => Some(format!("\"{words}\"")),
            Told::Skipped(_) | Told::Unclear(_) => None,
            Told::Wrong(id) => Some(format!("Not so, as I first said: {}", reply::plain_name(self.graph, id))),
            told => Some(self.in_words(told)),
        });
        lines.collect()
    }
}
