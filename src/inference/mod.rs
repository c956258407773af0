//! Exact probability: what the reports say about the causes.
//!
//! Pure functions of graph and evidence. The model: causes are independent
//! beforehand; a complaint is one event that causes and a background fire by
//! noisy-OR, its facets belonging to whatever fires it; signs are noisy-OR (or
//! noisy-MAX, where they have degrees); answers are likelihoods. Nothing here
//! knows words, questions, minutes or remedies, and nothing is approximated:
//! where the reports are too entangled to be weighed exactly, [`Trouble`] says so.
//!
//! Reading order: [`evidence`] (what was reported), [`telling`] (in what words), [`problem`] (the numbers the
//! arithmetic needs), [`exact`] (the arithmetic), [`accounts`] (who explains a complaint),
//! [`explain`] (weights of evidence).

pub mod accounts;
pub mod evidence;
pub mod exact;
pub mod explain;
pub mod problem;
mod table;
pub mod telling;

use crate::graph::{CauseIx, ComplaintIx, FaultGraph, SignIx};
use crate::knowledge::terms::Reporter;
use evidence::{Event, Evidence, SignReport};
use exact::Solution;
pub use exact::Trouble;
use problem::{Problem, priors};
use rayon::prelude::*;

/// By how much the reports must have raised a chance to count as speaking for it. Judgement.
const RAISED: f64 = 2.0;

/// What is believed of the causes after the reports.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    /// By cause: chance that it is there.
    pub present: Vec<f64>,
    /// By cause: the same before anything was reported but bike facts.
    pub before: Vec<f64>,
    /// By complaint reported, then by cause: chance that it fires this complaint.
    pub brings: Vec<Vec<f64>>,
    /// By cause: chance that it fires at least one complaint reported.
    pub brings_any: Vec<f64>,
    /// By complaint reported: chance that the background alone fires it.
    pub unlisted: Vec<f64>,
    /// Natural logarithm of the chance of the reports.
    pub log_evidence: f64,
}

impl Posterior {
    /// The chance by which causes are ranked: that it brings a complaint, or
    /// that it is there where nothing is complained of.
    pub fn ranked_by(&self, cause: CauseIx) -> f64 {
        let column = if self.brings.is_empty() { &self.present } else { &self.brings_any };
        column.get(cause.0).copied().unwrap_or(0.0)
    }

    /// Causes in order, most likely first; ties by their order in the knowledge.
    ///
    /// Where nothing is complained of, what was reported must speak for a cause, or it comes after
    /// those for which it does: a chain is dirty on many bikes, whatever is told of the brakes.
    pub fn ranking(&self) -> Vec<CauseIx> {
        let mut order: Vec<CauseIx> = (0..self.present.len()).map(CauseIx).collect();
        order.sort_by(|a, b| self.ranked_by(*b).total_cmp(&self.ranked_by(*a)));
        if self.brings.is_empty() {
            order.sort_by_key(|c| !self.raised(*c));
        }
        order
    }

    /// True if the reports made a cause clearly likelier.
    pub fn raised(&self, cause: CauseIx) -> bool {
        let at = |all: &[f64]| all.get(cause.0).copied().unwrap_or(0.0);
        at(&self.present) >= RAISED * at(&self.before)
    }

    /// Chance that no cause in the knowledge explains some complaint.
    pub fn nothing_listed(&self) -> f64 {
        self.unlisted.iter().copied().fold(0.0, f64::max)
    }
}

/// Computes the posterior.
///
/// Cost: one pass forward and one back over the causes that touch a report, each
/// step as long as the reports open at that moment are wide (2 to the power of
/// their number). Two faults, soft reports and repairs that failed are exact.
///
/// # Errors
/// [`Trouble::Contradiction`] if the reports cannot all be, and
/// [`Trouble::TooWide`] if they are too entangled for this machine.
pub fn infer(graph: &FaultGraph, evidence: &Evidence) -> Result<Posterior, Trouble> {
    let problem = Problem::of(graph, evidence);
    let Solution { present, fires, fires_any, log_evidence } = exact::solve(&problem)?;
    let before = priors(graph, evidence);
    let unlisted = (0..problem.events)
        .map(|e| match exact::evidence(&problem.background_alone(e)) {
            Ok(log) => Ok((log - log_evidence).exp()),
            Err(Trouble::Contradiction) => Ok(0.0),
            Err(wide) => Err(wide),
        })
        .collect::<Result<_, Trouble>>()?;
    Ok(Posterior { present, before, brings: fires, brings_any: fires_any, unlisted, log_evidence })
}

/// Chance that a sign is there, given the reports.
///
/// # Errors
/// As [`infer`].
pub fn sign_chance(graph: &FaultGraph, evidence: &Evidence, sign: SignIx) -> Result<f64, Trouble> {
    let before = infer_log(graph, evidence)?;
    let mut with = evidence.clone();
    with.signs.push(SignReport { signs: vec![sign], by: Reporter::Gauge, likelihood: [0.0, 1.0, 1.0] });
    match infer_log(graph, &with) {
        Ok(with) => Ok((with - before).exp().min(1.0)),
        Err(Trouble::Contradiction) => Ok(0.0),
        Err(wide) => Err(wide),
    }
}

/// Chances of every sign that nobody reported, given the reports.
///
/// # Errors
/// As [`infer`].
pub fn sign_chances(graph: &FaultGraph, evidence: &Evidence) -> Result<Vec<(SignIx, f64)>, Trouble> {
    let problem = Problem::of(graph, evidence);
    let before = exact::evidence(&problem)?;
    let signs: Vec<SignIx> = graph.sign_ixs().filter(|s| !evidence.has_sign(*s)).collect();
    let chance = |problem: &mut Problem, sign| {
        problem.report_sign(graph, &[sign], [0.0, 1.0, 1.0]);
        let with = exact::evidence(problem);
        problem.items.pop();
        match with {
            Ok(log) => Ok((sign, (log - before).exp().min(1.0))),
            Err(Trouble::Contradiction) => Ok((sign, 0.0)),
            Err(wide) => Err(wide),
        }
    };
    signs.into_par_iter().map_with(problem, chance).collect()
}

/// How often each cause would be told of in the words told, in proportion: all that is known beside them is the bike.
pub fn told_of(graph: &FaultGraph, evidence: &Evidence) -> Vec<f64> {
    let priors = priors(graph, evidence).into_iter();
    graph.cause_ixs().zip(priors).map(|(cause, prior)| prior * evidence.telling.alone(cause)).collect()
}

/// Complaints by how often those causes bring them, likeliest first; all sum to 1. `told_of` is by cause.
pub fn complaint_chances(graph: &FaultGraph, told_of: &[f64]) -> Vec<(ComplaintIx, f64)> {
    let brought = |complaint: ComplaintIx| {
        let by = graph.firings(complaint).map(|(c, firing)| told_of.get(c.0).copied().unwrap_or(0.0) * firing.strength);
        by.sum::<f64>() + graph.complaint(complaint).background
    };
    let mut all: Vec<(ComplaintIx, f64)> = graph.complaint_ixs().map(|c| (c, brought(c))).collect();
    let total: f64 = all.iter().map(|(_, chance)| chance).sum();
    all.iter_mut().for_each(|(_, chance)| *chance /= total);
    all.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    all
}

/// How often a bike with one of those causes shows a sign.
pub fn shown(graph: &FaultGraph, told_of: &[f64], sign: SignIx) -> f64 {
    let by = graph.shown_by(sign).map(|(c, [none, ..])| told_of.get(c.0).copied().unwrap_or(0.0) * (1.0 - none));
    by.sum::<f64>() / told_of.iter().sum::<f64>() + graph.sign(sign).background
}

/// Chances of the values of a facet of a reported complaint, normalised: two
/// causes that fire one event may each give it their own value.
///
/// # Errors
/// As [`infer`].
pub fn facet_chances(graph: &FaultGraph, evidence: &Evidence, event: usize, facet: usize) -> Result<Vec<f64>, Trouble> {
    let Some(Event { complaint, .. }) = evidence.events.get(event) else { return Ok(Vec::new()) };
    let Some(usage) = graph.complaint(*complaint).facets.get(facet) else { return Ok(Vec::new()) };
    let before = infer_log(graph, evidence)?;
    let mut chances = Vec::new();
    for value in 0..usage.shares.len() {
        let mut with = evidence.clone();
        if let Some(event) = with.events.get_mut(event) {
            let certain: Vec<f64> = (0..usage.shares.len()).map(|v| f64::from(u8::from(v == value))).collect();
            let told = event.facets.get(&facet);
            let both = certain.iter().enumerate().map(|(v, c)| c * told.and_then(|t| t.get(v)).unwrap_or(&1.0));
            event.facets.insert(facet, both.collect());
        }
        chances.push(match infer_log(graph, &with) {
            Ok(log) => (log - before).exp(),
            Err(Trouble::Contradiction) => 0.0,
            Err(wide) => return Err(wide),
        });
    }
    let total: f64 = chances.iter().sum();
    Ok(chances.into_iter().map(|c| if total > 0.0 { c / total } else { 0.0 }).collect())
}

fn infer_log(graph: &FaultGraph, evidence: &Evidence) -> Result<f64, Trouble> {
    exact::evidence(&Problem::of(graph, evidence))
}
