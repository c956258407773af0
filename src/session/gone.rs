//! After a repair one thing may be well and another not: "the brake is fine now, but the creak is still there".

use std::cell::LazyCell;
use std::collections::{BTreeMap, BTreeSet};

use itertools::Itertools;

use super::Session;
use super::sayings::Line;
use super::standing::Standing;
use super::told::{Asked, Told, Whether};
use super::{faults, repairs, reply, riding};
use crate::graph::{CauseIx, ComplaintIx, End, Meaning, RemedyIx};
use crate::inference::evidence::{Event, Evidence};
use crate::inquiry::safety;
use crate::intake::Heard;
use crate::intake::text::Clause;
use crate::knowledge::terms::Manner;

/// A word is of a complaint that stands in so large a share of the wordings for it.
const OF_A_COMPLAINT: f64 = 0.06;

/// So likely must a cause have brought what is gone, that its remedy is taken for what was done. Judgement.
const LIKELY: f64 = 0.5;

/// What a piece of a line says of what was told.
struct Piece {
    said: String,
    well: bool,
    /// It is there still.
    stays: bool,
    /// It is told again, though nothing says that it is there still.
    retold: bool,
    /// It is said to be over.
    over: bool,
    /// Nothing else is there: "only the chain is left".
    only: bool,
    /// The complaints that it names, by their places.
    names: BTreeSet<usize>,
}

/// What a line says came of the work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Came {
    /// This complaint, by its place, is gone, and others are left; what else was said, of the work perhaps.
    Gone(usize, String),
    /// One of them is gone, and it is open which.
    OneOfThem,
    /// All of it is over since the work.
    All,
    /// It is better: gone here and not there.
    Better,
}

impl Session<'_> {
    /// What a line says came of the work, where it is not all good and not all bad.
    pub(super) fn came_of_it(&self, words: &str) -> Option<Came> {
        let st = self.something_told()?;
        let line = Line::of(words);
        let reading = &self.graph.reading;
        let worked =
            self.mending.is_some() || line.holds(reading, Manner::WorkDone) || line.holds(reading, Manner::Since);
        if words.contains('?') || !worked {
            return None;
        }
        let pieces = self.pieces(words, st);
        let named = |such: fn(&Piece) -> bool| -> BTreeSet<usize> {
            pieces.iter().filter(|p| such(p)).flat_map(|p| p.names.iter().copied()).collect()
        };
        let (well, stays) = (named(|p| p.well), named(|p| p.stays || p.retold));
        let says_well = pieces.iter().any(|p| p.well);
        // "One of the two is gone, the creak": it is the one that is named beside it.
        let one = says_well && well.is_empty() && line.holds(reading, Manner::OneOfThem);
        let one = one && !pieces.iter().any(|p| p.stays);
        let (well, stays) = if one { (named(|p| !p.well), BTreeSet::new()) } else { (well, stays) };
        if one && well.len() != 1 && st.evidence.events.len() > 1 {
            return Some(Came::OneOfThem);
        }
        let only = pieces.iter().any(|p| p.only && !p.names.is_empty());
        let all: BTreeSet<usize> = (0..st.evidence.events.len()).collect();
        let others: BTreeSet<usize> = all.difference(&stays).copied().collect();
        // "One is gone, the creak is still there": so it is the other that is gone.
        let gone = if well.is_empty() && (says_well || only) && !stays.is_empty() { others } else { well };
        if !gone.is_empty() && gone.iter().all(|event| stays.contains(event)) {
            return Some(Came::Better);
        }
        let gone: Vec<usize> = gone.difference(&stays).copied().collect();
        match gone.as_slice() {
            [] => None,
            all_of_it if all_of_it.len() == all.len() => {
                let over = self.mending.is_some() && pieces.iter().any(|p| p.over && !p.names.is_empty());
                over.then_some(Came::All)
            }
            [first, ..] => {
                let beside = pieces.iter().filter(|p| !p.well && !p.stays).map(|p| p.said.as_str());
                Some(Came::Gone(*first, beside.collect::<Vec<_>>().join(". ")))
            }
        }
    }

    /// The pieces of a line.
    fn pieces(&self, words: &str, st: &Standing) -> Vec<Piece> {
        let lexicon = self.lexicon();
        let reading = &self.graph.reading;
        let known = self.own_words(st);
        let usual = LazyCell::new(|| self.usual_words(st, &known));
        let piece = |said: &str| {
            let line = Line::of(said);
            let clauses = lexicon.reader.clauses(said);
            let has = |manner: Manner| clauses.iter().any(|clause| clause.has(manner));
            let cured = line.holds(reading, Manner::Cures) || line.holds(reading, Manner::CuresThen);
            let over = has(Manner::Over) || has(Manner::Sound) || (has(Manner::Ceases) && !has(Manner::When));
            let only = line.holds(reading, Manner::OnlyLeft);
            let stays = only || has(Manner::GoesOn) || has(Manner::Vain) || line.holds(reading, Manner::Remains);
            let told = |of: &BTreeSet<String>| {
                clauses.iter().any(|clause| clause.counting.iter().any(|i| of.contains(clause.stem(*i))))
            };
            let alone = LazyCell::new(|| {
                let mut alone = Evidence::default();
                let heard = self.heard_in(said, &mut alone).heard;
                (alone, heard)
            });
            let well = !stays && (cured || (over && !has(Manner::Negates)) || self.denies_what_was_told(&alone.1));
            let worked = line.holds(reading, Manner::WorkDone);
            let retold = if well || worked { BTreeSet::new() } else { told_again(st, &alone.0) };
            let named = |of: &[BTreeSet<String>]| -> BTreeSet<usize> {
                of.iter().enumerate().filter(|(_, of)| told(of)).map(|(event, _)| event).collect()
            };
            let again = !retold.is_empty();
            let mut names = named(&known);
            names.extend(retold);
            let names = if names.is_empty() && well { named(&usual) } else { names };
            let over = well && has(Manner::Over);
            Piece { said: said.to_owned(), well, stays, retold: again, over, only, names }
        };
        let clauses = lexicon.reader.clauses(words);
        let spans = clauses.iter().filter(|clause| !clause.whole).flat_map(Clause::pieces);
        spans.filter_map(|span| words.get(span)).map(piece).collect()
    }

    /// True of a word by which a complaint may be known.
    fn marks_a_complaint(&self, word: &str) -> bool {
        word.len() > 2 && !self.lexicon().reader.is_common(word)
    }

    /// Words by which each complaint is known: those of its name and of what was said of it.
    fn own_words(&self, st: &Standing) -> Vec<BTreeSet<String>> {
        let own = |(i, event): (usize, &Event)| {
            let name = st.evidence.event_name(self.graph, i);
            let of = |h: &&Heard| h.id.split('.').next() == Some(&name);
            let said = st.heard.iter().filter(of).map(|h| h.text.as_str());
            let texts = said.chain([self.graph.complaint(event.complaint).name.as_str()]);
            let words = texts.flat_map(|text| self.lexicon().reader.stems.counting(text));
            words.filter(|word| self.marks_a_complaint(word)).collect()
        };
        st.evidence.events.iter().enumerate().map(own).collect()
    }

    /// For each complaint such words as stand in many wordings for it and are of no other.
    fn usual_words(&self, st: &Standing, own: &[BTreeSet<String>]) -> Vec<BTreeSet<String>> {
        let usual = |(i, event): (usize, &Event)| {
            let others =
                |word: &String| own.iter().enumerate().any(|(other, words)| other != i && words.contains(word));
            let words = self.usual_words_of(event.complaint).into_iter();
            words.filter(|word| self.marks_a_complaint(word) && !others(word)).collect()
        };
        st.evidence.events.iter().enumerate().map(usual).collect()
    }

    /// Words that stand in many wordings for a complaint.
    fn usual_words_of(&self, complaint: ComplaintIx) -> Vec<String> {
        let all = &self.graph.wordings;
        let of = |m: &Meaning| matches!(m, Meaning::Complaint(c) if *c == complaint);
        let own = |owner: usize| self.graph.phrases.get(owner).is_some_and(|p| p.means.iter().any(of));
        let mut count: BTreeMap<u32, usize> = BTreeMap::new();
        let mut wordings = 0_usize;
        for slots in (0..all.len()).filter_map(|i| all.get(i)).filter_map(|(slots, owner)| own(owner).then_some(slots))
        {
            wordings += 1;
            let stems: BTreeSet<u32> = slots.iter().flat_map(|slot| all.fitting(&slot.fits)).copied().collect();
            stems.into_iter().for_each(|stem| *count.entry(stem).or_default() += 1);
        }
        let usual = |n: &usize| *n as f64 >= OF_A_COMPLAINT * wordings as f64;
        let usual: BTreeSet<u32> = count.into_iter().filter(|(_, n)| usual(n)).map(|(stem, _)| stem).collect();
        all.stems().filter(|(_, number)| usual.contains(number)).map(|(stem, _)| stem.to_owned()).collect()
    }

    /// The complaint that is asked about as gone, by its name in reports.
    pub(super) fn gone(&self, event: usize) -> Option<String> {
        let st = self.something_told().filter(|st| event < st.evidence.events.len())?;
        Some(st.evidence.event_name(self.graph, event))
    }

    /// Asks whether a complaint is gone, when what was said beside it is taken down.
    pub(super) fn is_it_gone(&mut self, words: &str, event: usize, beside: String) -> String {
        if !self.heard_beside_all(&beside).heard.is_empty() {
            let known = self.gone(event);
            if self.takes(Told::Words(beside)) && self.gone(event) != known {
                self.told.pop();
                let _ = self.work_out();
            }
        }
        self.mending = self.work_for(event, words).or(self.mending);
        self.ask_whether(Whether::Gone(event))
    }

    /// What clears the alarms that go with a complaint: a yes says that it is so.
    pub(super) fn clears(&mut self, event: usize) -> Vec<String> {
        let flags = |s: &Self| -> Vec<(String, String)> {
            let standing = s.something_told();
            let raised = standing.map(|st| safety::red_flags(s.graph, &st.evidence)).unwrap_or_default();
            raised.into_iter().map(|flag| (flag.id.clone(), flag.clear.clone())).collect()
        };
        let before = flags(self);
        let Some(told) = self.told_as_gone(event).filter(|_| !before.is_empty()) else { return Vec::new() };
        self.told.push(told);
        let after = self.work_out().map(|()| flags(self));
        self.told.pop();
        let _ = self.work_out();
        let after = after.unwrap_or_default();
        let lifted = before.into_iter().filter(|flag| !after.contains(flag)).map(|(_, clear)| clear);
        let asked = |clear: &String| riding::clearing(self.graph, clear).next().map(|q| q.ask.clone());
        lifted.map(|clear| asked(&clear).unwrap_or(clear)).collect()
    }

    /// Takes a complaint off the list that is gone, with what its cause showed.
    pub(super) fn take_off(&mut self, event: usize) -> String {
        match self.taken_off(event) {
            Some(text) => text + &self.asked_in_full(),
            None => reply::no_question(),
        }
    }

    fn taken_off(&mut self, event: usize) -> Option<String> {
        self.asked = Asked::Best;
        let (told, name) = self.told_as_gone(event).zip(self.gone(event))?;
        let text = repairs::gone(&[reply::plain_name(self.graph, &name)]);
        self.takes(told).then(|| {
            self.mending = None;
            text
        })
    }

    /// Who is asked whether one is gone and goes on to tell that another is has said yes, if no alarm hangs on it.
    pub(super) fn lets_stand_that_it_is_gone(&mut self, came: &Came) -> Option<String> {
        let (Asked::Whether(Whether::Gone(before)), Came::Gone(event, _)) = (self.asked, came) else { return None };
        (before != *event && self.clears(before).is_empty()).then(|| self.taken_off(before))?
    }

    /// Asks which of the complaints is gone.
    pub(super) fn which_is_gone(&self) -> String {
        let events = self.something_told().map_or(0, |st| st.evidence.events.len());
        let names = (0..events).filter_map(|event| self.gone(event));
        repairs::which_is_gone(&names.map(|name| reply::plain_name(self.graph, &name)).collect::<Vec<_>>())
    }

    /// How it is written down that a complaint is gone: with the work that did it, where that is known.
    fn told_as_gone(&self, event: usize) -> Option<Told> {
        let name = self.gone(event)?;
        Some(match self.remedy_of(event).or_else(|| self.likeliest_remedy(event)) {
            Some((remedy, end)) => Told::Cured(remedy, end, Some(name)),
            None => Told::Wrong(name),
        })
    }

    /// What was done, where nobody said what: the remedy for what most likely brought the complaint.
    pub(super) fn likeliest_remedy(&self, event: usize) -> Option<(RemedyIx, Option<End>)> {
        let brings = self.something_told()?.posterior.brings.get(event)?;
        let likeliest =
            brings.iter().position_max_by(|a, b| a.total_cmp(b)).filter(|at| brings.get(*at) > Some(&LIKELY))?;
        let ranked = faults::ranked(self.graph, &self.something_told()?.posterior);
        self.remedy_for(&faults::of(&ranked, CauseIx(likeliest)))
    }

    /// What is said where the work that was being done has nothing to do with any complaint that is left.
    pub(super) fn done_beside_what_is_left(&mut self) -> Option<String> {
        let (remedy, _) = self.mending?;
        let left = self.something_told()?.evidence.events.len();
        if left == 0 || (0..left).any(|event| self.remedy_of(event).is_some()) {
            return None;
        }
        self.mending = None;
        self.asked = Asked::Best;
        Some(repairs::cured(self.graph.remedy(remedy), false) + &self.asked_in_full())
    }

    /// The work that was being done, where it may have done away with a complaint.
    fn remedy_of(&self, event: usize) -> Option<(RemedyIx, Option<End>)> {
        self.mending.filter(|work| self.mends(event, work) > 0.0)
    }

    /// Of the works that these words name, the one that is likeliest to have done away with a complaint.
    fn work_for(&self, event: usize, words: &str) -> Option<(RemedyIx, Option<End>)> {
        let works = self.works_named(words).into_iter().filter(|work| self.mends(event, work) > 0.0);
        works.max_by(|a, b| self.mends(event, a).total_cmp(&self.mends(event, b)))
    }

    /// How likely it is that what brings a complaint is mended by this work.
    fn mends(&self, event: usize, (remedy, end): &(RemedyIx, Option<End>)) -> f64 {
        let brings = self.something_told().and_then(|st| st.posterior.brings.get(event));
        self.graph.cured_at(*remedy, *end).map(|c| brings.and_then(|b| b.get(c.index())).copied().unwrap_or(0.0)).sum()
    }
}

/// The complaints told of before that words, heard alone, tell of again.
pub(super) fn told_again(st: &Standing, alone: &Evidence) -> BTreeSet<usize> {
    let again =
        |event: &&Event| alone.events.iter().any(|told| told.complaint == event.complaint && told.there > told.missing);
    st.evidence.events.iter().enumerate().filter(|(_, event)| again(event)).map(|(i, _)| i).collect()
}
