//! Repairs in a sitting: how one is gone about, and what came of it.

use itertools::Itertools;

use super::command::number;
use super::faults::{self, Fault};
use super::gone::told_again;
use super::sayings::Line;
use super::standing::Standing;
use super::told::{Asked, GONE_IF_BETTER, Told, Whether};
use super::{Reply, Session, repairs, reply};
use crate::graph::{CauseIx, End, Remedy, RemedyIx};
use crate::inference::evidence::Evidence;
use crate::inquiry::safety;
use crate::intake::{Heard, TRIED};
use crate::knowledge::terms::{Manner, Ride, Word};

/// A letter tells more than a cure.
const MOST_WORDS_OF_A_CURE: usize = 26;
/// Most works offered where it is open which was done.
const MOST_WORKS: usize = 5;

impl Session<'_> {
    /// How the fault in this place of the ranking is made sure of and mended.
    pub(super) fn mend(&mut self, n: usize) -> String {
        match self.something_told().map(|st| self.fault(st, n)) {
            None => reply::nothing_yet(),
            Some(None) => reply::no_such_number(n),
            Some(Some(fault)) => self.mend_this(&fault),
        }
    }

    pub(super) fn mend_this(&mut self, fault: &Fault) -> String {
        let chosen = self.remedy_for(fault);
        let tried = chosen.is_some_and(|(r, end)| self.standing_told().any(|(_, t)| *t == Told::Stayed(r, end, None)));
        self.mending = chosen.or(self.mending);
        let Some(st) = self.something_told() else { return reply::nothing_yet() };
        repairs::mend(self.graph, &st.evidence, fault, chosen.map(|(r, _)| r), (tried, self.advised()))
    }

    /// The fault of this name.
    pub(super) fn fault_named(&self, name: &str) -> Option<Fault> {
        let st = self.something_told()?;
        Some(faults::of(&faults::ranked(self.graph, &st.posterior), self.named(name, st)?))
    }

    /// The fault that is named, by its place, or by "it": the likeliest.
    pub(super) fn fault_meant(&self, name: &str) -> Option<Fault> {
        match (name, number(name.trim_start_matches("number "))) {
            (_, Some(n)) => self.fault_at(n),
            ("it" | "that" | "this" | "for it" | "for that", _) => self.fault_at(1),
            _ => self.fault_named(name),
        }
    }

    /// The complaint stayed after a repair.
    pub(super) fn unchanged(&mut self) -> String {
        self.stayed(repairs::in_vain)
    }

    fn stayed(&mut self, say: impl Fn(&Remedy) -> String) -> String {
        match self.mending.take() {
            Some((remedy, end)) => say(self.graph.remedy(remedy)) + &self.tell(Told::Stayed(remedy, end, None)),
            None => repairs::nothing_mended(),
        }
    }

    /// A repair did some good: another round of it may do the rest, so it is not over.
    pub(super) fn better(&mut self) -> String {
        match self.mending {
            Some((remedy, end)) => {
                let text = repairs::better(self.graph.remedy(remedy));
                text + &self.tell(Told::Stayed(remedy, end, Some(GONE_IF_BETTER)))
            }
            None => repairs::nothing_mended(),
        }
    }

    /// What a repair did harm is undone first.
    pub(super) fn worse(&mut self) -> String {
        self.stayed(repairs::undo)
    }

    /// A remedy was tried before the sitting, in vain.
    pub(super) fn tried(&mut self, n: usize) -> String {
        self.fault_at(n).and_then(|f| self.tried_this(&f)).unwrap_or_else(|| reply::no_such_number(n))
    }

    /// The same of the fault of this name; other words are speech.
    pub(super) fn tried_named(&mut self, name: &str) -> String {
        let tried = self.fault_named(name).and_then(|f| self.tried_this(&f));
        tried.unwrap_or_else(|| self.tell(Told::Words(format!("tried {name}"))))
    }

    /// Where it is open at which end the fault is, both were tried.
    fn tried_this(&mut self, fault: &Fault) -> Option<String> {
        let (remedy, end) = self.remedy_for(fault)?;
        if let Some(twin) = fault.twin {
            self.told.push(Told::Stayed(remedy, self.graph.cause(twin).end, None));
        }
        Some(repairs::tried(self.graph.remedy(remedy)) + &self.tell(Told::Stayed(remedy, end, None)))
    }

    /// The fault in this place of the ranking, once there is one.
    pub(super) fn fault_at(&self, n: usize) -> Option<Fault> {
        self.fault(self.something_told()?, n)
    }

    /// The fault in this place of the ranking.
    pub(super) fn fault(&self, st: &Standing, n: usize) -> Option<Fault> {
        faults::ranked(self.graph, &st.posterior).into_iter().nth(n.checked_sub(1)?)
    }

    /// True of words that say how a repair went: asked about, for they may be no cure. What raises a red
    /// flag is heard before anything else.
    pub(super) fn tells_of_a_cure(&self, words: &str) -> bool {
        if self.something_told().is_none() {
            return false;
        }
        let line = Line::of(words);
        let says = |manner: Manner| line.holds(&self.graph.reading, manner);
        if line.words().count() > MOST_WORDS_OF_A_CURE || says(Manner::TellsMore) || words.contains('?') {
            return false;
        }
        let after_a_remedy = self.mending.is_some() && says(Manner::CuresThen);
        let well = says(Manner::Cures)
            || after_a_remedy
            || self.denies_what_was_told(&self.heard_in(words, &mut Evidence::default()).heard);
        well && !self.raises_an_alarm(words)
    }

    /// True of words that say that the work shown did some good.
    pub(super) fn tells_that_it_is_better(&self, words: &str) -> bool {
        let line = Line::of(words);
        let said = line.words().count() <= MOST_WORDS_OF_A_CURE && line.holds(&self.graph.reading, Manner::Betters);
        said && !self.lexicon().changed_nothing(words)
    }

    /// The remedy that is done first for the fault in this place, and its end.
    pub(super) fn mended(&self, n: usize) -> Option<(RemedyIx, Option<End>)> {
        self.remedy_for(&self.fault_at(n)?)
    }

    /// True of words that say that some work changed nothing, without saying which work it was.
    pub(super) fn tells_of_work_in_vain(&self, words: &str) -> bool {
        let line = Line::of(words);
        let short = line.words().count() <= MOST_WORDS_OF_A_CURE && !words.contains('?');
        let said = short && line.holds(&self.graph.reading, Manner::WorkDone) && self.lexicon().changed_nothing(words);
        said && self.something_told().is_some_and(|st| {
            let heard = self.heard_in(words, &mut st.evidence.clone()).heard;
            !heard.iter().any(|h| h.answer == TRIED)
        })
    }

    /// Some work changed nothing: that which was shown, or it is asked which.
    pub(super) fn worked_in_vain(&mut self, words: &str) -> String {
        self.takes_up_work_in(words);
        if self.mending.is_some() {
            return self.unchanged();
        }
        repairs::which_was_tried(self.graph, &self.works())
    }

    /// The work that these words name is the one of which they tell; else it is that which was shown.
    pub(super) fn takes_up_work_in(&mut self, words: &str) {
        self.mending = self.work_named(words).or(self.mending);
    }

    /// The one work of the likeliest causes that these words name.
    fn work_named(&self, words: &str) -> Option<(RemedyIx, Option<End>)> {
        let named = self.works_named(words);
        let [only] = named.as_slice() else { return None };
        Some(*only)
    }

    /// The works of the likeliest causes that these words name, each at the end where it is likeliest.
    pub(super) fn works_named(&self, words: &str) -> Vec<(RemedyIx, Option<End>)> {
        let works = self.something_told().map(|st| self.works_of_the_likeliest(st)).unwrap_or_default();
        // The likelier the cause, the likelier its remedy was done.
        let chances = works.iter().rev().map(|(place, (remedy, _))| (*remedy, 1.0 / *place as f64)).collect();
        let done = self.lexicon().works_done(words, &chances);
        done.iter().filter_map(|r| works.iter().map(|(_, work)| *work).find(|(remedy, _)| remedy == r)).collect()
    }

    /// A danger whose part was replaced, as these words say, before anybody asks whether it is well.
    pub(super) fn danger_replaced(&self, words: &str) -> Option<(RemedyIx, Option<End>)> {
        let st = self.something_told()?;
        let line = Line::of(words);
        let told = line.words().count() <= MOST_WORDS_OF_A_CURE && line.holds(&self.graph.reading, Manner::Replaced);
        if !told || words.contains('?') || self.lexicon().changed_nothing(words) {
            return None;
        }
        let grave = |(remedy, end): &(RemedyIx, Option<End>)| {
            self.graph.cured_at(*remedy, *end).any(|c| {
                let there = st.posterior.present.get(c.index()).is_some_and(|p| *p >= 0.5);
                there && self.graph.cause(c).ride == Ride::Stop
            })
        };
        // "The cracked bar was thrown away, a new one is fitted": the part is named with what was wrong with it.
        let told_again = || {
            let mut alone = Evidence::default();
            self.heard_in(words, &mut alone);
            told_again(st, &alone).into_iter().filter_map(|event| self.likeliest_remedy(event))
        };
        let named = self.works_named(words);
        if named.is_empty() { told_again().find(grave) } else { named.into_iter().find(grave) }
    }

    /// The remedies of the likeliest causes, each once and with the place of its cause.
    fn works(&self) -> Vec<(usize, RemedyIx)> {
        let works = self.something_told().map(|st| self.works_of_the_likeliest(st)).unwrap_or_default();
        let works = works.into_iter().map(|(place, (remedy, _))| (place, remedy));
        works.unique_by(|(_, remedy)| *remedy).take(MOST_WORKS).collect()
    }

    /// What is done first for each of the likeliest causes, with the place of the cause.
    fn works_of_the_likeliest(&self, st: &Standing) -> Vec<(usize, (RemedyIx, Option<End>))> {
        let ranked = faults::ranked(self.graph, &st.posterior);
        let likeliest = faults::worth_naming(&ranked).iter().enumerate();
        likeliest.filter_map(|(place, fault)| Some((place + 1, self.remedy_for(fault)?))).collect()
    }

    /// True if nothing was heard but that a complaint is not there that was told of.
    pub(super) fn denies_what_was_told(&self, heard: &[Heard]) -> bool {
        let told = |id: &str| {
            self.something_told()
                .is_some_and(|st| st.evidence.events.iter().any(|e| self.graph.complaint(e.complaint).id == id))
        };
        !heard.is_empty() && heard.iter().all(|h| Word::find(&h.answer) == Some(Word::SureNot) && told(&h.id))
    }

    /// A cure ends the sitting, unless something else is left. Who never asked how to mend it
    /// has done what comes first.
    pub(super) fn cured(&mut self) -> Reply {
        let g = self.graph;
        // A danger nobody mended is not cured by the way.
        let grave = |fault: &Fault| g.cause(fault.cause).ride == Ride::Stop;
        let likeliest = self.fault_at(1);
        if self.mending.is_none() && likeliest.as_ref().is_some_and(grave) {
            return Reply { text: repairs::what_was_mended(g, &self.works()), ended: false };
        }
        let first = || self.remedy_for(&likeliest?);
        let Some((remedy, end)) = self.mending.or_else(first) else {
            return Reply { text: repairs::nothing_mended(), ended: false };
        };
        let alarm = self.alarm();
        let before = self.told.len();
        let gone = self.gone_with(remedy, end);
        let named: Vec<String> = gone.iter().map(|name| reply::plain_name(g, name)).unique().collect();
        let left = repairs::gone(&named);
        // The last of a kind first, for the others are named by their number.
        let mut told: Vec<Option<String>> = gone.into_iter().map(Some).rev().collect();
        if told.is_empty() {
            told.push(None);
        }
        self.mending = None;
        self.told.extend(told.into_iter().map(|complaint| Told::Cured(remedy, end, complaint)));
        let ends = self.work_out().is_err() || !self.something_stands(remedy);
        if let Some(flag) = alarm.filter(|flag| ends || self.alarm() != Some(*flag)) {
            self.told.truncate(before);
            self.mending = Some((remedy, end));
            let _ = self.work_out();
            return Reply { text: self.ask_whether(Whether::ClearOfCure(flag)), ended: false };
        }
        if ends {
            // What is cured is not gone on with.
            *self = Self::new(self.graph, self.situation);
            return Reply { text: repairs::cured(g.remedy(remedy), true), ended: true };
        }
        self.asked = Asked::Best;
        Reply { text: repairs::cured(g.remedy(remedy), false) + &left + &self.asked_in_full(), ended: false }
    }

    /// True if a complaint is left, or something is there that forbids riding and was not mended.
    fn something_stands(&self, mended: RemedyIx) -> bool {
        let g = self.graph;
        let cured = |cause: &CauseIx| g.cured_by(mended).any(|(c, _)| c == *cause);
        let stands = |st: &Standing| {
            let there = |c: &CauseIx| st.posterior.present.get(c.index()).is_some_and(|p| *p >= 0.5);
            let grave = || g.cause_ixs().any(|c| g.cause(c).ride == Ride::Stop && there(&c) && !cured(&c));
            !st.evidence.events.is_empty() || !safety::red_flags(g, &st.evidence).is_empty() || grave()
        };
        self.something_told().is_some_and(stands)
    }

    /// The complaints that go with a cure: the likeliest, and whatever its cause was the likeliest to bring.
    fn gone_with(&self, remedy: RemedyIx, end: Option<End>) -> Vec<String> {
        let Some(st) = self.something_told() else { return Vec::new() };
        let g = self.graph;
        let cured: Vec<CauseIx> = g.cured_at(remedy, end).collect();
        let by = |brings: &[f64], c: CauseIx| brings.get(c.index()).copied().unwrap_or(0.0);
        let chances: Vec<(f64, f64)> = (st.posterior.brings.iter())
            .map(|brings| {
                let ours = cured.iter().map(|c| by(brings, *c)).sum();
                let rival = g.cause_ixs().filter(|c| !cured.contains(c)).map(|c| by(brings, c)).fold(0.0, f64::max);
                (ours, rival)
            })
            .collect();
        let most = chances.iter().map(|(ours, _)| *ours).fold(0.0, f64::max);
        let likeliest = chances.iter().position(|(ours, _)| *ours == most);
        let goes =
            |(event, (ours, rival)): (usize, &(f64, f64))| (Some(event) == likeliest || ours > rival).then_some(event);
        chances.iter().enumerate().filter_map(goes).map(|event| st.evidence.event_name(g, event)).collect()
    }

    /// The remedy of a fault that is done first, and the end at which it is done: what the plan
    /// has soonest, and what was tried in vain last.
    pub(super) fn remedy_for(&self, fault: &Fault) -> Option<(RemedyIx, Option<End>)> {
        let end = self.graph.cause(fault.cause).end;
        let planned = self.something_told().map(|st| st.inquiry.remedies.as_slice()).unwrap_or_default();
        let place = |r: &RemedyIx| {
            let tried = self.standing_told().any(|(_, t)| matches!(t, Told::Stayed(x, e, _) if x == r && *e == end));
            (tried, planned.iter().position(|p| p.remedy == *r && p.end == end).unwrap_or(planned.len()))
        };
        let remedies = self.graph.remedies_of(fault.cause).map(|(r, _)| r);
        remedies.min_by_key(place).map(|r| (r, end))
    }
}
