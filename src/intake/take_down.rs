//! What was heard, taken down: meanings become events, signs and facts.
//!
//! A complaint told twice is one event, unless sound and end both tell two apart
//! ("front rub and rear squeal"). What is told of a complaint without naming it
//! belongs to the one that stands nearest: in the same part of the clause, in
//! the clause, in the sentence, or before it.

use std::collections::{BTreeMap, BTreeSet};

use itertools::Itertools;

use super::manner::Tone;
use super::{Heard, Hit, TRIED, Unclear};
use crate::graph::{CauseIx, ComplaintIx, FacetIx, FactIx, FaultGraph, Meaning, RemedyIx, SignIx};
use crate::inference::evidence::{Answer, Event, Evidence, SignReport, read_sign, read_value, read_yes_no};
use crate::inference::problem::priors;
use crate::knowledge::terms::{Reporter, Venue, Word};

/// Most events of one complaint.
const MOST_EVENTS: usize = 3;

/// The bike fact of work done before it began, and the onset that says the same.
const WORKED_ON: &str = "worked-on";
const AFTER_WORK: &str = "after-work";

/// Sentences between a complaint and what is told of it.
const FAR: usize = 3;
/// The same for its end: parts at either end are named for many reasons.
const FAR_FOR_AN_END: usize = 1;
/// An end with at most this share of a complaint is left out when the others are told apart.
const RARE_END: f64 = 0.05;

/// The end of an event and its first own facet.
type Marks = [Option<usize>; 2];

/// A complaint told of in a text.
struct Mention {
    event: usize,
    at: [usize; 3],
    hit: usize,
}

pub(super) struct TakeDown<'a> {
    graph: &'a FaultGraph,
    by: Reporter,
    at: Venue,
    evidence: &'a mut Evidence,
    heard: Vec<Heard>,
    unclear: Vec<Unclear>,
    mentions: Vec<Mention>,
    /// What tells an event from others of its complaint, as far as this text told it.
    marks: BTreeMap<usize, Marks>,
    /// Hits by the part in which they stand.
    parts: BTreeMap<usize, Vec<usize>>,
    /// Ends told anywhere in the text.
    ends: BTreeSet<String>,
    /// Aspects told in this text, by event and place.
    told: BTreeSet<(usize, usize)>,
    /// Aspects that an earlier text told otherwise.
    instead: Vec<String>,
    /// Bike facts told in this text.
    facts: BTreeSet<FactIx>,
}

impl<'a> TakeDown<'a> {
    pub fn new(graph: &'a FaultGraph, by: Reporter, at: Venue, evidence: &'a mut Evidence) -> Self {
        Self {
            graph,
            by,
            at,
            evidence,
            heard: Vec::new(),
            unclear: Vec::new(),
            mentions: Vec::new(),
            marks: BTreeMap::new(),
            parts: BTreeMap::new(),
            ends: BTreeSet::new(),
            told: BTreeSet::new(),
            instead: Vec::new(),
            facts: BTreeSet::new(),
        }
    }

    /// What was heard, what was not clear, and the aspects that were told otherwise before.
    pub fn done(self) -> (Vec<Heard>, Vec<Unclear>, Vec<String>) {
        (self.heard, self.unclear, self.instead)
    }

    /// Complaints first: facets belong to them, wherever in the text they stand.
    pub fn all(&mut self, found: &[Hit<'_>]) {
        for (number, hit) in found.iter().enumerate() {
            self.parts.entry(hit.at[0]).or_default().push(number);
        }
        for (number, hit) in found.iter().enumerate() {
            for meaning in hit.means {
                if let Meaning::Complaint(c) = meaning {
                    self.complaint(found, number, *c);
                }
            }
        }
        let told = found.iter().filter(|h| !h.tone.negated && !h.tone.sound);
        self.ends = told.flat_map(|h| h.means).filter_map(|m| self.end_of(m)).collect();
        // What is denied only counts where nothing else is told.
        let order = found.iter().enumerate().filter(|(_, h)| !h.tone.doubts());
        for (number, hit) in order.chain(found.iter().enumerate().filter(|(_, h)| h.tone.doubts())) {
            for meaning in hit.means {
                match meaning {
                    Meaning::Complaint(_) => {}
                    Meaning::Value(complaint, facet, value) => self.value(number, hit, *complaint, *facet, *value),
                    Meaning::Sign(signs) => self.sign(found, hit, signs),
                    Meaning::Fact(fact, value) => self.fact(hit, *fact, *value),
                }
            }
            self.unclear(hit);
        }
        for hit in found {
            hit.tried.iter().for_each(|remedy| self.tried(found, hit, *remedy));
        }
        found.iter().filter(|h| h.tone.negated).for_each(|hit| self.denied(hit));
    }

    /// A complaint that was never told and is said not to be there is said back, where nothing else was heard.
    pub fn denied(&mut self, hit: &Hit<'_>) {
        let told = |c: &ComplaintIx| self.evidence.events.iter().any(|e| e.complaint == *c);
        let complaint = |m: &Meaning| if let Meaning::Complaint(c) = m { Some(*c) } else { None };
        let denied = hit.means.iter().filter_map(complaint).find(|c| !told(c));
        if let Some(complaint) = denied.filter(|_| self.heard.is_empty()) {
            let tone = Tone { negated: true, ..hit.tone };
            self.note(&hit.said, self.graph.complaint(complaint).id.clone(), tone.word().word().to_owned());
        }
    }

    /// How likely it is that something which a remedy mends brings what was told, for each that mends any such thing:
    /// the more likely the higher.
    pub fn chances_of_remedies(&self) -> BTreeMap<RemedyIx, f64> {
        let graph = self.graph;
        let priors = priors(graph, self.evidence);
        let told: BTreeSet<ComplaintIx> = self.evidence.events.iter().map(|e| e.complaint).collect();
        let mut chances = BTreeMap::new();
        for (cause, firing) in told.into_iter().flat_map(|c| graph.firings(c)) {
            let brings = priors.get(cause.index()).copied().unwrap_or(0.0) * firing.strength;
            for (remedy, _) in graph.remedies_of(cause).filter(|_| brings > 0.0) {
                *chances.entry(remedy).or_insert(0.0) += brings;
            }
        }
        chances
    }

    /// A remedy that was done in vain: its causes bring what goes on less likely.
    pub fn tried(&mut self, found: &[Hit<'_>], hit: &Hit<'_>, remedy: RemedyIx) {
        let ends = self.ends_told(found, hit);
        let graph = self.graph;
        let there = |c: &CauseIx| ends.len() != 1 || graph.cause(*c).end.is_none_or(|e| ends.contains(e.word()));
        if self.evidence.events.is_empty() || self.heard.iter().any(|h| h.id == graph.remedy(remedy).id) {
            return;
        }
        for (cause, works) in graph.cured_by(remedy).filter(|(c, _)| there(c)) {
            self.evidence.went_on_after(cause, works.by(self.by));
        }
        self.note(&hit.said, graph.remedy(remedy).id.clone(), TRIED.to_owned());
    }

    /// Several values of one fact in one phrase mean one of them.
    fn fact(&mut self, hit: &Hit<'_>, fact: FactIx, value: usize) {
        let entry = self.graph.fact(fact);
        let of_fact = |m: &&Meaning| matches!(m, Meaning::Fact(f, _) if *f == fact);
        let value_of = |m: &Meaning| if let Meaning::Fact(_, v) = m { Some(*v) } else { None };
        let values: Vec<usize> = hit.means.iter().filter(of_fact).filter_map(value_of).collect();
        let yes_no = entry.values.len() == 2 && entry.values.iter().any(|v| v.id == "no");
        // A narrower word stands against a wider one, whichever came first.
        let old = self.evidence.facts.get(&fact);
        let narrower = old.is_none_or(|old| values.len() < old.iter().filter(|c| **c).count());
        // What was done in vain was done since it began, and not before.
        if values.first() != Some(&value) || (hit.vain && entry.id == WORKED_ON) {
            return;
        }
        // Who speaks of the bike itself, and of nothing else, knows it better than who spoke of something beside it.
        let plain = hit.means.iter().all(|m| of_fact(&m));
        let values = match hit.tone.negated {
            false => values,
            true if yes_no => vec![1 - value.min(1)],
            true if plain => (0..entry.values.len()).filter(|v| !values.contains(v)).collect(),
            true => return,
        };
        // What is said to have happened stands against what is denied.
        let no = entry.values.iter().position(|v| v.id == "no");
        let denied = |v: usize| yes_no && Some(v) == no;
        let said_no = old.is_some_and(|old| old.iter().enumerate().all(|(v, can)| *can == denied(v)));
        let now_yes = yes_no && said_no && values.iter().all(|v| !denied(*v));
        let earlier = !self.facts.contains(&fact);
        let against = |v: &usize| old.is_some_and(|old| old.get(*v) == Some(&false));
        let in_place = plain && earlier && !hit.tone.hedged && values.iter().all(against);
        let mended = in_place || (hit.mends && values.iter().any(against));
        if !narrower && !now_yes && !mended {
            return;
        }
        if mended {
            self.instead.push(entry.id.clone());
        }
        self.facts.insert(fact);
        // A complaint may be called as a fact is; its answer is one of the five words.
        self.heard.retain(|h| h.id != entry.id || Word::find(&h.answer).is_some());
        let names: Vec<&str> = values.iter().filter_map(|v| entry.values.get(*v)).map(|v| v.id.as_str()).collect();
        self.note(&hit.said, entry.id.clone(), crate::words::listed(&names, "or"));
        self.evidence.narrow(self.graph, fact, &values);
    }

    fn note(&mut self, text: &str, id: String, answer: String) {
        if !self.heard.iter().any(|h| h.id == id && h.answer == answer) {
            self.heard.push(Heard { text: text.to_owned(), id, answer });
        }
    }

    fn complaint(&mut self, found: &[Hit<'_>], number: usize, complaint: ComplaintIx) {
        let Some(hit) = found.get(number) else { return };
        // "No noise" is only worth something where the noise was not told of otherwise.
        if hit.tone.negated || hit.tone.sound {
            return;
        }
        let own = self.marks_of(found, number, complaint);
        let events = self.evidence.events.iter().enumerate().filter(|(_, e)| e.complaint == complaint);
        let known: Vec<usize> = events.map(|(i, _)| i).collect();
        let same = known.iter().copied().find(|e| {
            let theirs = self.told_of(*e);
            !(0..2).all(|i| matches!((&own[i], &theirs[i]), (Some(a), Some(b)) if a != b))
        });
        let event = match same.or_else(|| known.first().copied().filter(|_| known.len() >= MOST_EVENTS)) {
            Some(event) => event,
            None => {
                self.evidence.events.push(Event::certain(complaint));
                self.evidence.events.len() - 1
            }
        };
        let marks = self.marks.entry(event).or_default();
        *marks = [marks[0].or(own[0]), marks[1].or(own[1])];
        if !self.mentions.iter().rev().take(8).any(|m| m.event == event && m.at == hit.at) {
            self.mentions.push(Mention { event, at: hit.at, hit: number });
        }
        self.note(&hit.said, self.evidence.event_name(self.graph, event), hit.tone.word().word().to_owned());
    }

    /// What tells two events of a complaint apart: its end, and its first own facet.
    fn marks_of(&self, found: &[Hit<'_>], number: usize, complaint: ComplaintIx) -> Marks {
        let Some(hit) = found.get(number) else { return [None, None] };
        let uses = &self.graph.complaint(complaint).facets;
        let first = uses.first().map(|u| u.facet);
        let end = uses.iter().map(|u| u.facet).find(|f| self.graph.facet(*f).id == "end");
        let value = |hit: &Hit<'_>, wanted: Option<FacetIx>| {
            hit.means.iter().find_map(|m| match m {
                Meaning::Value(c, f, v) if Some(*f) == wanted && c.is_none_or(|c| c == complaint) => Some(*v),
                _ => None,
            })
        };
        let own_end = value(hit, end).or_else(|| {
            let here = self.parts.get(&hit.at[0]).into_iter().flatten().filter_map(|i| found.get(*i));
            let here = here.filter(|h| !h.tone.negated && !h.tone.sound);
            let told: BTreeSet<usize> = here.filter_map(|h| value(h, end)).collect();
            told.first().copied().filter(|_| told.len() == 1)
        });
        [own_end, value(hit, first)]
    }

    /// The same of an event: as told in this text, or before.
    fn told_of(&self, event: usize) -> Marks {
        let Some(told) = self.evidence.events.get(event) else { return [None, None] };
        let out = self.marks.get(&event).copied().unwrap_or_default();
        let uses = &self.graph.complaint(told.complaint).facets;
        let end = uses.iter().position(|u| self.graph.facet(u.facet).id == "end");
        let most = |pos: Option<usize>| {
            let told = told.facets.get(&pos?)?;
            let most = told.iter().copied().fold(0.0, f64::max);
            told.iter().position(|x| *x == most)
        };
        [out[0].or_else(|| most(end)), out[1].or_else(|| most(Some(0)))]
    }

    /// Events of which something is told that names no complaint: the nearest.
    fn nearest(&self, number: usize, hit: &Hit<'_>, far: usize, fits: impl Fn(ComplaintIx) -> bool) -> Vec<usize> {
        let fit = |e: &usize| self.evidence.events.get(*e).is_some_and(|e| fits(e.complaint));
        let of = |keep: &dyn Fn(&Mention) -> bool| -> Vec<usize> {
            let mut events: Vec<usize> =
                self.mentions.iter().filter(|m| keep(m)).map(|m| m.event).filter(|e| fit(e)).collect();
            events.sort_unstable();
            events.dedup();
            events
        };
        let before = self.mentions.iter().rev().filter(|m| fit(&m.event)).find(|m| m.hit < number).map(|m| m.at[1]);
        let apart = |m: &Mention| m.at[2].abs_diff(hit.at[2]);
        let steps: [&dyn Fn(&Mention) -> bool; 6] = [
            &|m| m.hit == number,
            &|m| m.at[0] == hit.at[0],
            &|m| m.at[1] == hit.at[1],
            &|m| m.at[2] == hit.at[2],
            &|m| Some(m.at[1]) == before && apart(m) <= far,
            &|m| apart(m) <= far,
        ];
        let nearest = steps.iter().map(|keep| of(keep)).find(|events| !events.is_empty());
        let told_before = || (0..self.evidence.events.len()).filter(|e| fit(e)).collect();
        nearest.unwrap_or_else(|| if self.mentions.is_empty() { told_before() } else { Vec::new() })
    }

    fn value(&mut self, number: usize, hit: &Hit<'_>, only: Option<ComplaintIx>, facet: FacetIx, value: usize) {
        let graph = self.graph;
        let tone = hit.tone;
        if hit.vain && graph.facet(facet).values.get(value).is_some_and(|v| v.id == AFTER_WORK) {
            return;
        }
        let has = |c: ComplaintIx| graph.complaint(c).facets.iter().any(|u| u.facet == facet);
        let end = graph.facet(facet).id == "end";
        let far = if end { FAR_FOR_AN_END } else { FAR };
        let mut events = self.nearest(number, hit, far, |c| only.is_none_or(|o| o == c) && has(c));
        if end && self.ends.len() == 1 && !hit.tone.doubts() {
            // "The rear brake howls and hardly slows me": who names one end speaks of that one. A noise may come from
            // anywhere.
            let noise = |c: ComplaintIx| graph.find_facet(c, "sound").is_some();
            let after = self.mentions.iter().filter(|m| m.at[1] == hit.at[1] && m.at[0] == hit.at[0] + 1);
            let there = after.map(|m| m.event);
            let fits =
                |e: &usize| self.evidence.events.get(*e).is_some_and(|e| has(e.complaint) && !noise(e.complaint));
            let more: Vec<usize> = there.filter(|e| fits(e) && !events.contains(e)).unique().collect();
            events.extend(more);
        }
        for index in events {
            let Some(complaint) = self.evidence.events.get(index).map(|e| e.complaint) else { continue };
            let uses = &graph.complaint(complaint).facets;
            let Some(pos) = uses.iter().position(|u| u.facet == facet) else { continue };
            let entry = graph.facet(facet);
            let (likelihood, answer) = if entry.yes_no {
                let yes = (value == 0) != (tone.negated != tone.ceases);
                let word = Tone { negated: !yes, ..tone }.word();
                (read_yes_no(graph, Answer::Word(word), self.by, false), if yes { "yes" } else { "no" }.to_owned())
            } else if tone.negated || tone.sound {
                let told = self.evidence.events.get(index).is_some_and(|e| e.facets.contains_key(&pos));
                if entry.id != "end" || tone.negated == tone.sound || told {
                    continue;
                }
                // "The rear one is fine" points to the other.
                let id = self.other_end(complaint, facet, value);
                let told = read_value(graph, complaint, pos, value, self.by, false);
                (told.into_iter().map(|l| (1.0 - l).max(0.05)).collect(), id)
            } else {
                let id = entry.values.get(value).map(|v| v.id.clone()).unwrap_or_default();
                let mut likelihood = read_value(graph, complaint, pos, value, self.by, false);
                if tone.hedged {
                    // A hedge halves the weight of what is said.
                    likelihood.iter_mut().for_each(|l| *l = l.sqrt());
                }
                (likelihood, id)
            };
            let id = format!("{}.{}", self.evidence.event_name(self.graph, index), entry.id);
            let again = !self.told.insert((index, pos));
            if let Some(event) = self.evidence.events.get_mut(index) {
                match event.facets.get_mut(&pos) {
                    // Two values told of one facet: either will do.
                    Some(old) if again || !hit.mends => {
                        old.iter_mut().zip(&likelihood).for_each(|(o, l)| *o = o.max(*l))
                    }
                    _ => {
                        if event.facets.insert(pos, likelihood).is_some() {
                            self.instead.push(id.clone());
                        }
                    }
                }
            }
            self.note(&hit.said, id, answer);
        }
    }

    /// What is left of the ends when one is said to be well: the other, where nearly all is at two.
    fn other_end(&self, complaint: ComplaintIx, facet: FacetIx, value: usize) -> String {
        let values = &self.graph.facet(facet).values;
        let uses = self.graph.complaint(complaint).facets.iter().find(|u| u.facet == facet);
        let share = |v: usize| uses.and_then(|u| u.shares.get(v)).copied().unwrap_or(1.0);
        let left: Vec<&str> = (0..values.len())
            .filter(|v| *v != value && share(*v) > RARE_END)
            .filter_map(|v| values.get(v))
            .map(|v| v.id.as_str())
            .collect();
        match left.as_slice() {
            [other] => (*other).to_owned(),
            _ => values.get(value).map(|v| format!("not-{}", v.id)).unwrap_or_default(),
        }
    }

    fn end_of(&self, meaning: &Meaning) -> Option<String> {
        let Meaning::Value(_, facet, value) = meaning else { return None };
        let facet = self.graph.facet(*facet);
        facet.values.get(*value).filter(|_| facet.id == "end").map(|v| v.id.clone())
    }

    /// Words for the end that stand nearest; what was told of the end before, if there are none.
    fn ends_told(&self, found: &[Hit<'_>], hit: &Hit<'_>) -> BTreeSet<String> {
        let mut ends = BTreeSet::new();
        let here = self.parts.get(&hit.at[0]).into_iter().flatten().filter_map(|i| found.get(*i));
        let told = |h: &&Hit<'_>| !h.tone.negated && !h.tone.sound;
        ends.extend(here.filter(told).flat_map(|h| h.means).filter_map(|m| self.end_of(m)));
        if ends.is_empty() {
            ends.extend(self.ends.iter().cloned());
        }
        if !ends.is_empty() {
            return ends;
        }
        self.evidence.ends_told(self.graph)
    }

    fn sign(&mut self, found: &[Hit<'_>], hit: &Hit<'_>, signs: &[SignIx]) {
        let graph = self.graph;
        let ends = self.ends_told(found, hit);
        let placed = |s: &SignIx| ends.len() != 1 || graph.sign(*s).end.is_none_or(|e| ends.contains(e.word()));
        let told: Vec<SignIx> = signs.iter().copied().filter(placed).collect();
        let signs = if told.is_empty() { signs.to_vec() } else { told };
        let Some(first) = signs.first().copied() else { return };
        let tone = Tone { negated: hit.tone.negated != hit.tone.sound, ..hit.tone };
        let answer = tone.word();
        let likelihood = read_sign(graph, first, Answer::Word(answer), self.by, self.at, false);
        let id = if signs.len() == 1 { graph.sign(first).id.clone() } else { graph.sign(first).root.clone() };
        self.evidence.report_sign(SignReport { signs, by: self.by, likelihood });
        self.note(&hit.said, id, answer.word().to_owned());
    }

    /// Words that fit several things, where none of them is told otherwise.
    fn unclear(&mut self, hit: &Hit<'_>) {
        let tone = hit.tone;
        if hit.or.is_empty() || tone.negated || tone.ceases {
            return;
        }
        let may_be: Vec<String> = hit.means.iter().chain(hit.or).filter_map(|m| self.named(m)).collect();
        if may_be.len() > 1 && !self.unclear.iter().any(|u| u.may_be == may_be) {
            self.unclear.push(Unclear { text: hit.said.clone(), may_be });
        }
    }

    /// A meaning as a report, `ID=ANSWER`.
    fn named(&self, meaning: &Meaning) -> Option<String> {
        let g = self.graph;
        match meaning {
            Meaning::Complaint(c) => Some(format!("{}=sure", g.complaint(*c).id)),
            Meaning::Value(Some(c), f, v) => {
                let facet = g.facet(*f);
                Some(format!("{}.{}={}", g.complaint(*c).id, facet.id, facet.values.get(*v)?.id))
            }
            Meaning::Sign(signs) => Some(format!("{}=sure", g.sign(*signs.first()?).root)),
            Meaning::Value(None, ..) | Meaning::Fact(..) => None,
        }
    }
}
