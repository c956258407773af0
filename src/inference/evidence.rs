//! What was reported, as likelihoods, and how answers become likelihoods.

use std::collections::{BTreeMap, BTreeSet};

use super::telling::Telling;
use crate::graph::{AnswerTable, CauseIx, ComplaintIx, Degrees, FactIx, FaultGraph, SignIx};
use crate::knowledge::terms::{Reporter, Venue, Word};

/// Everything reported in a sitting.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Evidence {
    /// Bike facts told: for each value, whether it can be. A single one that can is known.
    pub facts: BTreeMap<FactIx, Vec<bool>>,
    /// Complaints reported, each one event.
    pub events: Vec<Event>,
    /// The words in which they were told.
    pub telling: Telling,
    /// Signs reported.
    pub signs: Vec<SignReport>,
    /// Repairs after which a complaint was unchanged.
    pub repairs: Vec<Repair>,
}

/// A complaint as reported.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Which.
    pub complaint: ComplaintIx,
    /// Likelihood of the report if the complaint is there.
    pub there: f64,
    /// Likelihood of the report if it is not.
    pub missing: f64,
    /// By position of the facet: likelihood of the report for each true value.
    pub facets: BTreeMap<usize, Vec<f64>>,
}

impl Event {
    /// A complaint that is certainly there, with nothing told of its facets.
    pub fn certain(complaint: ComplaintIx) -> Self {
        Self { complaint, there: 1.0, missing: 0.0, facets: BTreeMap::new() }
    }
}

/// A sign as reported by one reporter.
#[derive(Debug, Clone, PartialEq)]
pub struct SignReport {
    /// The sign; both ends where the end was not told, meaning either.
    pub signs: Vec<SignIx>,
    /// Who reports. The same reporter's newer word replaces the older.
    pub by: Reporter,
    /// Likelihood of the report if there is none, a slight one, a strong one.
    pub likelihood: Degrees,
}

/// A repair that was tried while the complaint stayed as it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Repair {
    /// The cause it was meant for.
    pub cause: CauseIx,
    /// Chance that it removes the cause.
    pub works: f64,
    /// Position of the complaint that was unchanged.
    pub event: usize,
}

/// An answer about a sign, a complaint or a yes-or-no facet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Answer {
    /// One of the five words.
    Word(Word),
    /// There, beyond doubt: bench facts and tests.
    Present,
    /// Not there, beyond doubt.
    Absent,
    /// There, to a slight degree.
    Slight,
    /// There, to a strong degree.
    Strong,
    /// Likelihoods given outright: if there, if not there.
    Ratio(f64, f64),
}

impl Answer {
    /// Reads an answer: a word of the list, `present`, `absent`, `slight`, `strong` or `A:B`.
    pub fn read(text: &str) -> Option<Self> {
        match text {
            "present" => Some(Self::Present),
            "absent" => Some(Self::Absent),
            "slight" => Some(Self::Slight),
            "strong" => Some(Self::Strong),
            _ => Word::find(text).map(Self::Word).or_else(|| {
                let (a, b) = text.split_once(':')?;
                let (a, b) = (a.trim().parse::<f64>().ok()?, b.trim().parse::<f64>().ok()?);
                let fine = (0.0..=1.0).contains(&a) && (0.0..=1.0).contains(&b) && a + b > 0.0;
                fine.then_some(Self::Ratio(a, b))
            }),
        }
    }

    /// Likelihoods (there, not there) of this answer through a table.
    pub fn likelihoods(self, table: &AnswerTable) -> (f64, f64) {
        let at = |i: usize| (table.there.get(i).copied().unwrap_or(0.2), table.missing.get(i).copied().unwrap_or(0.2));
        match self {
            Self::Word(word) => at(word as usize),
            Self::Present => (1.0, 0.0),
            Self::Absent => (0.0, 1.0),
            Self::Slight => at(Word::ThinkSo as usize),
            Self::Strong => at(Word::Sure as usize),
            Self::Ratio(a, b) => (a, b),
        }
    }
}

/// Likelihoods of an answer about a sign: none, slight, strong.
///
/// `asked` tells an asked answer from one that was volunteered.
pub fn read_sign(graph: &FaultGraph, sign: SignIx, answer: Answer, by: Reporter, at: Venue, asked: bool) -> Degrees {
    let table = table_for(graph, sign, by, at, asked);
    let (there, missing) = answer.likelihoods(&table);
    let cell = |row: &[f64; 5], word: Word| row.get(word as usize).copied().unwrap_or(0.2);
    match answer {
        // Somebody who tells the degree takes the other for what it is less often.
        Answer::Slight if graph.sign(sign).degrees => {
            [cell(&table.missing, Word::ThinkSo), cell(&table.there, Word::Sure), cell(&table.there, Word::ThinkSo)]
        }
        Answer::Strong if graph.sign(sign).degrees => {
            [cell(&table.missing, Word::Sure), cell(&table.there, Word::ThinkSo), cell(&table.there, Word::Sure)]
        }
        _ => [missing, there, there],
    }
}

/// The answer table for a sign, this reporter and place.
pub fn table_for(graph: &FaultGraph, sign: SignIx, by: Reporter, at: Venue, asked: bool) -> AnswerTable {
    let (own_asked, own_told) = graph.tables.get(by as usize).copied().unwrap_or_default();
    if !asked {
        return own_told;
    }
    let placed = format!("{}@{}", by.word(), at.word());
    let noticed = &graph.sign(sign).noticed;
    let find = |who: &str| noticed.iter().find(|(w, _)| w == who).map(|(_, t)| *t);
    find(&placed).or_else(|| find(by.word())).unwrap_or(own_asked)
}

/// Likelihoods of naming one value of a facet, for each true value.
///
/// The true value is named with the reporter's hits; misses spread by the
/// background's shares. For a yes-or-no facet the reporter's table is used.
pub fn read_value(
    graph: &FaultGraph,
    complaint: ComplaintIx,
    facet: usize,
    value: usize,
    by: Reporter,
    asked: bool,
) -> Vec<f64> {
    let Some(usage) = graph.complaint(complaint).facets.get(facet) else { return Vec::new() };
    if graph.facet(usage.facet).yes_no {
        let word = if value == 0 { Word::Sure } else { Word::SureNot };
        return read_yes_no(graph, Answer::Word(word), by, asked);
    }
    let hit = usage.hits.get(by as usize).copied().unwrap_or(0.8);
    let named = usage.shares.get(value).copied().unwrap_or(0.0);
    usage
        .shares
        .iter()
        .enumerate()
        .map(|(truth, share)| if truth == value { hit } else { (1.0 - hit) * named / (1.0 - share).max(named) })
        .collect()
}

/// Likelihoods of an answer to a yes-or-no facet, for yes and for no.
pub fn read_yes_no(graph: &FaultGraph, answer: Answer, by: Reporter, asked: bool) -> Vec<f64> {
    let (own_asked, own_told) = graph.tables.get(by as usize).copied().unwrap_or_default();
    let (yes, no) = answer.likelihoods(if asked { &own_asked } else { &own_told });
    vec![yes, no]
}

impl Evidence {
    /// The ends at which what was told of is said to be.
    pub fn ends_told(&self, graph: &FaultGraph) -> BTreeSet<String> {
        let end_of = |event: &Event| {
            let pos = graph.find_facet(event.complaint, "end")?;
            let told = event.facets.get(&pos)?;
            let most = told.iter().copied().fold(0.0, f64::max);
            let facet = graph.complaint(event.complaint).facets.get(pos).map(|u| graph.facet(u.facet))?;
            let value = told.iter().position(|x| *x == most)?;
            facet.values.get(value).map(|v| v.id.clone())
        };
        self.events.iter().filter_map(end_of).collect()
    }

    /// Takes down that something was done against a cause, and that what was told of goes on. The same work done twice
    /// says little more than done once.
    pub fn went_on_after(&mut self, cause: CauseIx, works: f64) {
        for event in 0..self.events.len() {
            match self.repairs.iter_mut().find(|r| (r.cause, r.event) == (cause, event)) {
                Some(before) => before.works = before.works.max(works),
                None => self.repairs.push(Repair { cause, works, event }),
            }
        }
    }

    /// Takes down a value of a bike fact.
    pub fn know(&mut self, graph: &FaultGraph, fact: FactIx, value: usize) {
        self.narrow(graph, fact, &[value]);
    }

    /// Takes down that a bike fact has one of several values.
    pub fn narrow(&mut self, graph: &FaultGraph, fact: FactIx, values: &[usize]) {
        let mask = (0..graph.fact(fact).values.len()).map(|v| values.contains(&v)).collect();
        self.facts.insert(fact, mask);
    }

    /// The value of a bike fact, if it is known.
    pub fn known(&self, fact: FactIx) -> Option<usize> {
        let mask = self.facts.get(&fact)?;
        let mut can = mask.iter().enumerate().filter(|(_, can)| **can).map(|(v, _)| v);
        can.next().filter(|_| can.next().is_none())
    }

    /// Reports a sign; the same reporter's older word on the same sign, or on one end of it, is replaced.
    pub fn report_sign(&mut self, report: SignReport) {
        self.signs.retain(|old| old.by != report.by || !old.signs.iter().all(|sign| report.signs.contains(sign)));
        self.signs.push(report);
    }

    /// The event of which an aspect is asked next: the first of its complaint of which it was not told.
    pub fn open_event(&self, complaint: ComplaintIx, facet: usize) -> Option<usize> {
        self.events.iter().position(|e| e.complaint == complaint && !e.facets.contains_key(&facet))
    }

    /// The complaint of an event; a second event of it is `noise#2`.
    pub fn event_name(&self, graph: &FaultGraph, event: usize) -> String {
        let Some(complaint) = self.events.get(event).map(|e| e.complaint) else { return String::new() };
        let before = self.events.iter().take(event).filter(|e| e.complaint == complaint).count();
        let id = &graph.complaint(complaint).id;
        if before == 0 { id.clone() } else { format!("{id}#{}", before + 1) }
    }

    /// True if the bike is known to be none of those for which something is: by fact, the values that fit.
    pub fn rules_out(&self, fits: &[(FactIx, Vec<bool>)]) -> bool {
        fits.iter().any(|(fact, fits)| {
            let known = self.facts.get(fact);
            known.is_some_and(|can| !can.iter().zip(fits).any(|(can, fits)| *can && *fits))
        })
    }

    /// True if nothing was reported but that something is not there.
    pub fn only_denies(&self) -> bool {
        self.events.is_empty() && self.signs.iter().all(|r| r.likelihood[1].max(r.likelihood[2]) < r.likelihood[0])
    }

    /// True if nothing was told that could be weighed; bike facts alone are nothing.
    pub fn says_nothing(&self) -> bool {
        self.events.is_empty() && self.signs.is_empty()
    }

    /// True if this sign was reported by anybody.
    pub fn has_sign(&self, sign: SignIx) -> bool {
        self.signs.iter().any(|r| r.signs.contains(&sign))
    }
}
