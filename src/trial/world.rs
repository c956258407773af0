//! A made bike with its faults, its rider, and what they notice.

use rand::{Rng, RngExt};

use crate::graph::{CauseIx, ComplaintIx, FaultGraph, QuestionIx, SignIx, Topic};
use crate::inference::evidence::{Answer, Event, Evidence, read_sign, read_value};
use crate::inference::problem::priors;
use crate::inquiry::Situation;
use crate::inquiry::answers::CANNOT_TELL;
use crate::knowledge::terms::{Ride, Word};

/// A complaint as it really is.
#[derive(Debug, Clone)]
pub struct Truth {
    /// Which.
    pub complaint: ComplaintIx,
    /// Causes that fire it.
    pub by: Vec<CauseIx>,
    /// True if the background fires it too.
    pub background: bool,
    /// Value of each of its facets.
    facets: Vec<usize>,
}

/// A bike that arrives.
#[derive(Debug, Clone)]
pub struct World {
    /// Value of every bike fact.
    pub facts: Vec<usize>,
    /// Causes that are there.
    pub present: Vec<CauseIx>,
    /// Complaints, that of the visit first.
    pub complaints: Vec<Truth>,
    signs: Vec<usize>,
}

/// Causes that may bring complaints at once, at most.
const MOST_FAULTS: usize = 3;
/// How often a facet, a bike fact or a further complaint is told without being asked. Judgement.
const TOLD_FACET: f64 = 0.35;
/// The same of a bike fact.
const TOLD_FACT: f64 = 0.25;

impl World {
    /// Makes bikes until one has something to complain of, and no more faults than people bring at once.
    pub fn arriving(truth: &FaultGraph, rng: &mut impl Rng) -> Self {
        loop {
            let world = Self::any(truth, rng);
            let mut faults: Vec<CauseIx> = world.complaints.iter().flat_map(|c| c.by.iter().copied()).collect();
            faults.sort_unstable();
            faults.dedup();
            if !world.complaints.is_empty() && faults.len() <= MOST_FAULTS {
                return world;
            }
        }
    }

    fn any(g: &FaultGraph, rng: &mut impl Rng) -> Self {
        let facts: Vec<usize> = g.facts.iter().map(|f| pick(&f.shares, rng)).collect();
        let mut known = Evidence::default();
        g.fact_ixs().zip(&facts).for_each(|(fact, value)| known.know(g, fact, *value));
        let chances = priors(g, &known);
        let present: Vec<CauseIx> = g.cause_ixs().filter(|c| rng.random_bool(bounded(chances[c.index()]))).collect();
        let mut complaints = Vec::new();
        for complaint in g.complaint_ixs() {
            let entry = g.complaint(complaint);
            if entry.needs.iter().any(|(fact, fits)| !fits.get(facts[fact.index()]).copied().unwrap_or(true)) {
                continue;
            }
            let background = rng.random_bool(bounded(entry.background));
            let mut by = Vec::new();
            let mut shapes = Vec::new();
            for (cause, firing) in g.firings(complaint).filter(|(c, _)| present.contains(c)) {
                if rng.random_bool(bounded(firing.strength)) {
                    by.push(cause);
                    shapes.push(&firing.shapes);
                }
            }
            if by.is_empty() && !background {
                continue;
            }
            // Each facet is heard from one of those who fire it.
            let facets = entry.facets.iter().enumerate().map(|(pos, usage)| {
                let who = if shapes.is_empty() { None } else { shapes.get(rng.random_range(0..shapes.len())) };
                pick(who.and_then(|s| s.get(pos)).unwrap_or(&usage.shares), rng)
            });
            let facets = facets.collect();
            complaints.push(Truth { complaint, by, background, facets });
        }
        let signs = g.sign_ixs().map(|sign| degree(g, sign, &present, rng)).collect();
        if !complaints.is_empty() {
            let first = rng.random_range(0..complaints.len());
            complaints.swap(0, first);
        }
        Self { facts, present, complaints, signs }
    }

    /// What is told on arrival: the complaint of the visit, some of its facets, some facts of the bike.
    pub fn opening(&self, g: &FaultGraph, s: Situation, worse: f64, rng: &mut impl Rng) -> Evidence {
        let mut evidence = Evidence::default();
        for (fact, value) in g.fact_ixs().zip(&self.facts) {
            if !g.fact(fact).history && rng.random_bool(TOLD_FACT) {
                evidence.know(g, fact, *value);
            }
        }
        if let Some(truth) = self.complaints.first() {
            let mut event = Event::certain(truth.complaint);
            for (pos, value) in truth.facets.iter().enumerate() {
                if rng.random_bool(TOLD_FACET) {
                    let told = named(g, truth.complaint, pos, *value, s, false, worse, rng);
                    event.facets.insert(pos, read_value(g, truth.complaint, pos, told, s.by, false));
                }
            }
            evidence.events.push(event);
        }
        evidence
    }

    /// The number of the answer to a question; none if the answer is that they cannot tell.
    pub fn answer(
        &self,
        g: &FaultGraph,
        question: QuestionIx,
        s: Situation,
        worse: f64,
        rng: &mut impl Rng,
    ) -> Option<usize> {
        let entry = g.question(question);
        match &entry.topic {
            Topic::Signs(signs) if entry.options.is_empty() => {
                let level = signs.first().map_or(0, |s| self.signs[s.index()]);
                let chance = |word: &Word| {
                    signs.first().map_or(0.0, |x| read_sign(g, *x, Answer::Word(*word), s.by, s.at, true)[level])
                };
                Some(confused(Word::ALL.iter().map(chance).collect(), worse, rng))
            }
            Topic::Signs(_) => {
                let chance = |means: &Vec<(SignIx, String)>| -> f64 {
                    let read = |(sign, answer): &(SignIx, String)| {
                        Answer::read(answer)
                            .map_or(1.0, |a| read_sign(g, *sign, a, s.by, s.at, true)[self.signs[sign.index()]])
                    };
                    means.iter().map(read).product()
                };
                let chances: Vec<f64> =
                    entry.options.iter().map(|o| if o.means.is_empty() { 0.0 } else { chance(&o.means) }).collect();
                (!rng.random_bool(CANNOT_TELL)).then(|| confused(chances, worse, rng))
            }
            Topic::Facet(complaint, pos) => {
                let truth = self.complaints.iter().find(|t| t.complaint == *complaint)?;
                let value = truth.facets.get(*pos).copied()?;
                (!rng.random_bool(CANNOT_TELL)).then(|| named(g, *complaint, *pos, value, s, true, worse, rng))
            }
            Topic::Fact(fact) => self.facts.get(fact.index()).copied(),
        }
    }

    /// True if one of these causes forbids riding.
    pub fn forbids_riding<'c>(g: &FaultGraph, causes: impl IntoIterator<Item = &'c CauseIx>) -> bool {
        causes.into_iter().any(|c| g.cause(*c).ride == Ride::Stop)
    }
}

/// The value that is named for a true one.
#[expect(clippy::too_many_arguments, reason = "all of them are what naming depends on")]
fn named(
    g: &FaultGraph,
    complaint: ComplaintIx,
    pos: usize,
    value: usize,
    s: Situation,
    asked: bool,
    worse: f64,
    rng: &mut impl Rng,
) -> usize {
    let values = g.complaint(complaint).facets.get(pos).map_or(0, |u| u.shares.len());
    let chance = |told| read_value(g, complaint, pos, told, s.by, asked).get(value).copied().unwrap_or(0.0);
    confused((0..values).map(chance).collect(), worse, rng)
}

/// One answer by its chances; with chance `worse` any answer at all.
fn confused(chances: Vec<f64>, worse: f64, rng: &mut impl Rng) -> usize {
    if worse > 0.0 && rng.random_bool(worse) {
        return rng.random_range(0..chances.len().max(1));
    }
    pick(&chances, rng)
}

fn degree(g: &FaultGraph, sign: SignIx, present: &[CauseIx], rng: &mut impl Rng) -> usize {
    let entry = g.sign(sign);
    let mut highest = if rng.random_bool(bounded(entry.background)) {
        1 + usize::from(!entry.degrees || rng.random_bool(0.3))
    } else {
        0
    };
    for (_, degrees) in g.shown_by(sign).filter(|(c, _)| present.contains(c)) {
        highest = highest.max(pick(&degrees, rng));
    }
    highest
}

/// A position by weights that need not sum to 1.
fn pick(weights: &[f64], rng: &mut impl Rng) -> usize {
    let mut left = rng.random::<f64>() * weights.iter().sum::<f64>();
    for (i, w) in weights.iter().enumerate() {
        left -= w;
        if left < 0.0 {
            return i;
        }
    }
    weights.len().saturating_sub(1)
}

fn bounded(p: f64) -> f64 {
    p.clamp(0.0, 1.0)
}
