//! All that follows from what was told, worked out anew from the whole list.

use super::Session;
use super::told::{self, Told};
use crate::graph::{CauseIx, End, QuestionIx, RemedyIx};
use crate::inference::evidence::Evidence;
use crate::inference::telling::Telling;
use crate::inference::{Posterior, Trouble, infer};
use crate::inquiry::outcomes::Outcomes;
use crate::inquiry::{Inquiry, inquire};
use crate::intake::guess::{Guess, guess};
use crate::intake::text::Clause;
use crate::intake::{Heard, Unclear, reports};

/// All that follows from what was told.
pub(super) struct Standing {
    pub evidence: Evidence,
    pub heard: Vec<Heard>,
    /// Where that begins which was heard of the words said last, or guessed.
    pub since: usize,
    /// What was ever heard, by its id, in order: a number in the list stands for the same to the end.
    pub numbered: Vec<String>,
    /// Words that may mean several things, of which it matters which.
    pub unclear: Vec<Unclear>,
    /// What was said last and told nothing.
    pub missed: Vec<String>,
    pub posterior: Posterior,
    pub inquiry: Inquiry,
}

fn number(numbered: &mut Vec<String>, heard: &[Heard]) {
    for h in heard {
        if !numbered.contains(&h.id) {
            numbered.push(h.id.clone());
        }
    }
}

impl Session<'_> {
    /// Works everything out from what was told.
    pub(super) fn work_out(&mut self) -> Result<(), Trouble> {
        let s = self.situation;
        let mut evidence = Evidence::default();
        let mut heard = Vec::new();
        let mut skipped = Vec::new();
        let mut unclear: Vec<Unclear> = Vec::new();
        let (mut missed, mut some_missed, mut last_words) = (Vec::new(), false, None);
        let (mut guessed, mut since) = (false, 0);
        // What was said of complaints that are cured by now.
        let mut cured: Vec<String> = Vec::new();
        let mut numbered: Vec<String> = Vec::new();
        for (place, told) in self.standing_told() {
            // Whoever answers has let a guess stand, and it is what the answers are about.
            if !guessed && matches!(told, Told::Picked(..) | Told::Skipped(_) | Told::Stayed(..)) {
                guessed = true;
                self.guess(&mut evidence, &mut heard, &mut unclear, last_words, some_missed);
            }
            match told {
                Told::Withdrawn(_) => {}
                Told::Words(words) => {
                    last_words = Some(words);
                    let weighed = evidence.telling.clone();
                    let intake = self.lexicon().hear(words, s.by, s.at, &mut evidence);
                    unclear.extend(intake.unclear.iter().cloned());
                    // Idle talk gives nothing to guess from.
                    some_missed |= !intake.missed.is_empty() && evidence.telling != weighed;
                    missed.clone_from(&intake.missed);
                    let new = intake.heard.len();
                    let instead = intake.instead.clone();
                    intake.add_to(&mut heard);
                    since = heard.len() - new;
                    for aspect in &instead {
                        told::move_to_the_other_end(self.graph, &mut evidence, &mut heard, aspect);
                    }
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
                Told::Picked(question, option) if self.tells_nothing(*question, *option) => skipped.push(*question),
                Told::Picked(question, option) => {
                    let outcomes = Outcomes::reported(self.graph, &evidence, *question, s);
                    if let Some((_, after)) = outcomes.all.into_iter().nth(*option) {
                        evidence = after;
                    }
                }
                Told::Skipped(question) => skipped.push(*question),
                Told::Cured(remedy, end, complaint) => {
                    let complaint = complaint.as_deref();
                    // Signs go with the words that told of both: "my tyre is flat".
                    let of = |h: &&Heard| h.id.split('.').next() == complaint;
                    let said: Vec<String> = heard.iter().filter(of).map(|h| h.text.clone()).collect();
                    let with = |h: &&Heard| !h.text.is_empty() && said.contains(&h.text) && !of(h);
                    let signs = |id: &String| !self.graph.find_signs(id).is_empty();
                    let gone: Vec<String> = heard.iter().filter(with).map(|h| h.id.clone()).filter(signs).collect();
                    heard.retain(|h| !gone.contains(&h.id));
                    gone.iter().for_each(|id| told::forget(self.graph, &mut evidence, id));
                    heard.retain(|h: &Heard| h.id.split('.').next() != complaint);
                    told::cured(self.graph, &mut evidence, *remedy, *end, complaint);
                    // Words about it are neither asked about nor weighed any more.
                    unclear.clear();
                    cured.extend(said.into_iter().filter(|text| !text.is_empty()));
                    evidence.telling = match complaint {
                        Some(_) if !cured.is_empty() => self.told_beside_of(place, &cured),
                        _ => Telling::default(),
                    };
                    if complaint.is_some() {
                        self.goes_on_after(&mut evidence, *remedy, *end, None);
                    }
                }
                Told::Wrong(id) => {
                    // With a complaint go its aspects.
                    heard.retain(|h: &Heard| h.id != *id && h.id.split('.').next() != Some(id));
                    told::forget(self.graph, &mut evidence, id);
                }
                Told::Stayed(remedy, end, known) => self.goes_on_after(&mut evidence, *remedy, *end, *known),
            }
            number(&mut numbered, &heard);
        }
        told::drop_what_cannot_be(self.graph, &mut evidence, &mut heard);
        let gone = told::signs_that_cannot_be(self.graph, &evidence, &heard);
        since -= heard.iter().take(since).filter(|h| gone.contains(&h.id)).count();
        heard.retain(|h| !gone.contains(&h.id));
        gone.iter().for_each(|id| told::forget(self.graph, &mut evidence, id));
        unclear.retain(|u| self.matters(&evidence, u));
        if !guessed {
            self.guess(&mut evidence, &mut heard, &mut unclear, last_words, some_missed);
        }
        number(&mut numbered, &heard);
        let posterior = infer(self.graph, &evidence)?;
        let inquiry = inquire(self.graph, &evidence, &posterior, s, &skipped)?;
        self.standing = Some(Standing { evidence, heard, since, numbered, unclear, missed, posterior, inquiry });
        Ok(())
    }

    /// What the words said before this place speak for, without the pieces in which these words stand: of what is cured
    /// nothing is weighed any more.
    fn told_beside_of(&self, place: usize, gone: &[String]) -> Telling {
        let mut beside = Evidence::default();
        let before = self.standing_told().take_while(|(at, _)| *at < place);
        for words in before.filter_map(|(_, told)| if let Told::Words(words) = told { Some(words) } else { None }) {
            let clauses = self.lexicon().reader.clauses(words);
            let parts = clauses.iter().filter(|clause| !clause.whole).flat_map(Clause::pieces);
            let parts = parts.filter_map(|span| words.get(span));
            let kept: Vec<&str> =
                parts.filter(|part| !gone.iter().any(|of| part.contains(of.as_str()) || of.contains(part))).collect();
            self.lexicon().hear(&kept.join(". "), self.situation.by, self.situation.at, &mut beside);
        }
        beside.telling
    }

    /// What goes on after a repair is hardly of what it mended; `known` is the chance that it did away with that.
    fn goes_on_after(&self, evidence: &mut Evidence, remedy: RemedyIx, end: Option<End>, known: Option<f64>) {
        let there = |c: &CauseIx| self.graph.cause(*c).end == end;
        for (cause, works) in self.graph.cured_by(remedy).filter(|(c, _)| there(c)) {
            evidence.went_on_after(cause, known.unwrap_or(works.by(self.situation.by)));
        }
    }

    /// Takes down, or leaves open, which complaint the words come nearest, where none was understood.
    fn guess(
        &self,
        evidence: &mut Evidence,
        heard: &mut Vec<Heard>,
        unclear: &mut Vec<Unclear>,
        words: Option<&String>,
        missed: bool,
    ) {
        let Some(words) = words.filter(|_| unclear.is_empty()) else { return };
        let said = |told: Told| self.told.contains(&told);
        let wrong = |report: &String| report.split('=').next().is_some_and(|id| said(Told::Wrong(id.to_owned())));
        match guess(self.graph, evidence, heard, missed, words) {
            Some(Guess::Taken(event, taken)) if !said(Told::Wrong(taken.id.clone())) => {
                evidence.events.push(event);
                heard.push(taken);
            }
            Some(Guess::Open(mut open)) if !said(Told::Unclear(words.clone())) => {
                open.may_be.retain(|report| !wrong(report));
                unclear.extend((open.may_be.len() > 1).then_some(open));
            }
            _ => {}
        }
    }

    /// True for the option of those who cannot tell.
    fn tells_nothing(&self, question: QuestionIx, option: usize) -> bool {
        self.graph.question(question).options.get(option).is_some_and(|o| o.means.is_empty())
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
}
