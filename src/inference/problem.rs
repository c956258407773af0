//! The numbers the arithmetic needs, and nothing else.
//!
//! Every reported thing becomes an [`Item`] with three levels. For a sign they
//! are none, slight and strong. For a complaint they are silent, fired with
//! other facets than reported, and fired as reported. What a cause contributes
//! is a chance of each level; the item takes the highest level anybody gives it
//! (noisy-MAX: Henrion 1989; Diez 1993). With two levels this is the noisy-OR.

use std::collections::BTreeMap;

use super::evidence::{Event, Evidence};
use crate::graph::{CauseIx, Degrees, FactIx, FaultGraph, SignIx};
use crate::probability::times_odds;

/// Bike facts together multiply odds by no more than this, nor by less than one over it.
/// Judgement: beyond it the multipliers say the same thing twice.
const ODDS_CAP: f64 = 25.0;

/// How much of a sign's background is of the slight degree. Judgement.
const SLIGHT_SHARE: f64 = 0.7;

/// A cause's contribution to an item.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// Position of the cause.
    pub cause: usize,
    /// Chance of each level.
    pub chances: [f64; 3],
}

/// One reported thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Chance of each level with no cause there.
    pub background: [f64; 3],
    /// Causes that raise it.
    pub links: Vec<Link>,
    /// Likelihood of the report at each level.
    pub weights: [f64; 3],
}

/// A way in which a cause can have been there.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// Its chance beforehand.
    pub chance: f64,
    /// Items that it does not reach in this mode.
    pub muted: Vec<usize>,
}

/// A cause's chances beforehand.
#[derive(Debug, Clone, PartialEq)]
pub struct Prior {
    /// Not there.
    pub absent: f64,
    /// There, and not repaired.
    pub live: f64,
    /// Was there when signs were seen, and has been repaired since.
    pub repaired: Option<Mode>,
}

impl Prior {
    /// True if this item is not reached once the cause is repaired.
    pub fn mutes(&self, item: usize) -> bool {
        self.repaired.as_ref().is_some_and(|mode| mode.muted.contains(&item))
    }
}

/// Odds at which an item is fired as reported.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FiringOdds {
    /// By each cause that is there, in order.
    pub by_cause: Vec<(usize, f64)>,
    /// By the background.
    pub background: f64,
}

impl FiringOdds {
    /// Those of one cause.
    pub fn of(&self, cause: usize) -> Option<f64> {
        let at = self.by_cause.binary_search_by_key(&cause, |(c, _)| *c).ok()?;
        self.by_cause.get(at).map(|(_, odds)| *odds)
    }
}

/// All that the exact arithmetic is given.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Causes, by position.
    pub causes: Vec<Prior>,
    /// Reported things; the complaints come first.
    pub items: Vec<Item>,
    /// How many items are complaints.
    pub events: usize,
}

impl Problem {
    /// Puts graph and evidence into numbers.
    pub fn of(graph: &FaultGraph, evidence: &Evidence) -> Self {
        let priors = priors(graph, evidence);
        let mut problem = Self {
            causes: priors.into_iter().map(|p| Prior { absent: 1.0 - p, live: p, repaired: None }).collect(),
            items: event_items(graph, evidence),
            events: evidence.events.len(),
        };
        for repair in &evidence.repairs {
            problem.repair(repair.cause.0, repair.works, repair.event);
        }
        let mut grouped: BTreeMap<&[SignIx], Degrees> = BTreeMap::new();
        for report in &evidence.signs {
            let all = grouped.entry(&report.signs).or_insert([1.0; 3]);
            all.iter_mut().zip(report.likelihood).for_each(|(a, l)| *a *= l);
        }
        for (signs, likelihood) in grouped {
            problem.report_sign(graph, signs, likelihood);
        }
        problem
    }

    /// Adds a report of a sign, or of either of several.
    pub fn report_sign(&mut self, graph: &FaultGraph, signs: &[SignIx], likelihood: Degrees) {
        let mut background = [1.0, 0.0, 0.0];
        let mut links: BTreeMap<usize, [f64; 3]> = BTreeMap::new();
        for sign in signs {
            let entry = graph.sign(*sign);
            let b = entry.background;
            let own =
                if entry.degrees { [1.0 - b, b * SLIGHT_SHARE, b * (1.0 - SLIGHT_SHARE)] } else { [1.0 - b, 0.0, b] };
            background = highest(background, own);
            for (cause, chances) in graph.shown_by(*sign) {
                let all = links.entry(cause.0).or_insert([1.0, 0.0, 0.0]);
                *all = highest(*all, chances);
            }
        }
        let links = links.into_iter().map(|(cause, chances)| Link { cause, chances }).collect();
        self.items.push(Item { background, links, weights: likelihood });
    }

    /// A repair of a cause while a complaint stayed: with chance `works` the
    /// cause is gone, and somebody else fires the complaint.
    pub fn repair(&mut self, cause: usize, works: f64, event: usize) {
        if let Some(prior) = self.causes.get_mut(cause) {
            let gone = prior.live * works;
            prior.live *= 1.0 - works;
            let mode = prior.repaired.get_or_insert(Mode { chance: 0.0, muted: Vec::new() });
            mode.chance += gone;
            if !mode.muted.contains(&event) {
                mode.muted.push(event);
            }
        }
    }

    /// The same reports, but nobody fires this complaint as reported.
    pub fn silenced(&self, event: usize) -> Self {
        self.closed(event, |item| item.background[0] + item.background[1])
    }

    /// The same reports, but the background alone fires this complaint as reported.
    pub fn background_alone(&self, event: usize) -> Self {
        self.closed(event, |item| item.background[2])
    }

    /// The same reports on a bike that has these causes, in chances not normalised.
    pub fn with_present(&self, causes: &[usize]) -> Self {
        let mut there = self.clone();
        for cause in causes {
            if let Some(prior) = there.causes.get_mut(*cause) {
                (prior.absent, prior.repaired) = (0.0, None);
            }
        }
        there
    }

    /// Odds at which each cause that is there fires an item as reported, causes in order.
    pub fn odds_of_firing(&self, item: usize) -> FiringOdds {
        let odds = |c: &[f64; 3]| c[2] / (c[0] + c[1]);
        let Some(item) = self.items.get(item) else { return FiringOdds::default() };
        let mut by_cause: Vec<(usize, f64)> = item.links.iter().map(|l| (l.cause, odds(&l.chances))).collect();
        by_cause.sort_by_key(|(cause, _)| *cause);
        FiringOdds { by_cause, background: odds(&item.background) }
    }

    fn closed(&self, event: usize, background: impl Fn(&Item) -> f64) -> Self {
        let mut quiet = self.clone();
        if let Some(item) = quiet.items.get_mut(event) {
            let constant = background(item) * item.weights[2];
            for link in &mut item.links {
                let [silent, other, fired] = link.chances;
                link.chances = [silent + other, 0.0, fired];
            }
            item.background = [constant, 0.0, 0.0];
            item.weights = [1.0, 0.0, 0.0];
        }
        quiet
    }
}

/// The higher of two independent levels.
fn highest(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] * b[0], a[1] * (b[0] + b[1]) + a[0] * b[1], a[2] + (a[0] + a[1]) * b[2]]
}

fn event_items(graph: &FaultGraph, evidence: &Evidence) -> Vec<Item> {
    let told = (!evidence.telling.is_empty()).then(|| evidence.telling.by_cause(evidence.events.len()));
    evidence.events.iter().map(|event| event_item(graph, event, told.as_ref())).collect()
}

/// One complaint. The words in which it was told are an aspect that has a value of its own for each cause.
fn event_item(graph: &FaultGraph, event: &Event, told: Option<&(Vec<f64>, f64)>) -> Item {
    let complaint = graph.complaint(event.complaint);
    let usual = told.map_or(1.0, |(_, usual)| *usual);
    let fit = |cause: CauseIx| told.map_or(1.0, |(fits, _)| fits.get(cause.0).copied().unwrap_or(usual));
    let shares = |f: usize| complaint.facets.get(f).map(|u| u.shares.as_slice());
    let background = levels(event, complaint.background, usual, shares);
    let links = graph
        .firings(event.complaint)
        .map(|(cause, firing)| Link {
            cause: cause.0,
            chances: levels(event, firing.strength, fit(cause), |f| firing.shapes.get(f).map(Vec::as_slice)),
        })
        .collect();
    // With nothing told of it there is no firing otherwise than reported.
    let other = if event.facets.is_empty() && told.is_none() { event.there } else { 0.0 };
    // Whoever tells of a complaint that is not there makes its facets up as the background would.
    let made_up: f64 = event
        .facets
        .iter()
        .filter_map(|(f, report)| {
            Some(complaint.facets.get(*f)?.shares.iter().zip(report).map(|(p, r)| p * r).sum::<f64>())
        })
        .product();
    Item { background, links, weights: [event.missing * made_up * usual, other, event.there] }
}

/// Chances of silence, of firing otherwise than reported, of firing as reported.
fn levels<'s>(event: &Event, strength: f64, told: f64, shape: impl Fn(usize) -> Option<&'s [f64]>) -> [f64; 3] {
    // `meets` is the chance that all facets come out as reported, in words as
    // told; `fails` the rest, both summed from what is positive.
    let (mut meets, mut fails) = (told, 1.0 - told);
    for (facet, report) in &event.facets {
        let Some(shape) = shape(*facet) else { continue };
        let hit: f64 = shape.iter().zip(report).map(|(p, r)| p * r).sum();
        let miss: f64 = shape.iter().zip(report).map(|(p, r)| p * (1.0 - r)).sum();
        fails += meets * miss;
        meets *= hit;
    }
    [1.0 - strength, strength * fails, strength * meets]
}

/// Chance of each cause beforehand: base rate times odds of the facts known,
/// scaled by the share of bikes that fit where a fact is unknown.
pub fn priors(graph: &FaultGraph, evidence: &Evidence) -> Vec<f64> {
    let shares = fact_shares(graph, evidence);
    graph.cause_ixs().map(|c| prior(graph, evidence, &shares, c)).collect()
}

/// Chance of one cause beforehand, given the shares that [`fact_shares`] gives.
pub fn prior(graph: &FaultGraph, evidence: &Evidence, shares: &[Vec<f64>], cause: CauseIx) -> f64 {
    let cause = graph.cause(cause);
    let known = |(fact, value, times): &(FactIx, usize, f64)| (evidence.known(*fact) == Some(*value)).then_some(*times);
    let times: f64 = cause.odds.iter().filter_map(known).product();
    let fits: f64 = cause
        .fits
        .iter()
        .map(|(fact, fits)| {
            let shares = shares.get(fact.0).map(Vec::as_slice).unwrap_or_default();
            shares.iter().zip(fits).filter(|(_, fit)| **fit).map(|(s, _)| s).sum::<f64>()
        })
        .product();
    times_odds(cause.base, times.clamp(1.0 / ODDS_CAP, ODDS_CAP)) * fits.min(1.0)
}

/// Shares of the values of every fact: one value where it is known, and no
/// value on which a reported complaint cannot be.
pub fn fact_shares(graph: &FaultGraph, evidence: &Evidence) -> Vec<Vec<f64>> {
    let mut all: Vec<Vec<f64>> = graph.facts.iter().map(|f| f.shares.clone()).collect();
    let mut keep = |fact: &FactIx, can: &[bool]| {
        let Some(shares) = all.get_mut(fact.0) else { return };
        let total: f64 = shares.iter().zip(can).filter(|(_, can)| **can).map(|(s, _)| s).sum();
        if total > 0.0 {
            shares.iter_mut().zip(can).for_each(|(s, can)| *s = if *can { *s / total } else { 0.0 });
        }
    };
    for (fact, can) in &evidence.facts {
        keep(fact, can);
    }
    for event in evidence.events.iter().filter(|e| e.missing == 0.0 || e.there > e.missing) {
        for (fact, fits) in &graph.complaint(event.complaint).needs {
            keep(fact, fits);
        }
    }
    all
}
