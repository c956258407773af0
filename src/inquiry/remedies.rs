//! Remedies in the order that costs the fewest expected minutes.
//!
//! Repairs go by chance of cure per minute (J. B. Kadane and H. A. Simon, 1977),
//! re-planned after each. A repair begins with a look at the part; the work is
//! only done where the look finds the fault. Once handing the bike over is
//! better value than the best repair left, the minutes count it as handed over.

use super::Situation;
use crate::graph::{CauseIx, End, FaultGraph, RemedyIx};
use crate::inference::evidence::Evidence;
use crate::inference::problem::Problem;
use crate::inference::{Posterior, Trouble, explain_event};
use crate::knowledge::terms::{Reporter, Venue};

/// Minutes that a trip to the workshop costs a rider. Judgement.
const HAND_OVER_RIDER: f64 = 90.0;
/// Minutes that handing on costs a mechanic. Judgement.
const HAND_OVER_MECHANIC: f64 = 60.0;
/// Minutes by which what cannot be undone is put back. Judgement.
const IRREVERSIBLE: f64 = 5.0;
/// Minutes to look whether a fault is there, before it is mended. Judgement.
const LOOK: f64 = 4.0;
/// How many remedies are listed at most.
const LISTED: usize = 8;
/// Chances below this are not planned for.
const NEGLIGIBLE: f64 = 0.002;

/// A remedy in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The remedy.
    pub remedy: RemedyIx,
    /// The end of the bike at which it is done, if it is done at one.
    pub end: Option<End>,
    /// Chance that it ends the complaint, given that those before it did not.
    pub cures: f64,
    /// Minutes, with parts and what cannot be undone.
    pub minutes: f64,
}

/// A repair on offer. What is done at the front mends nothing at the rear.
struct Repair {
    remedy: RemedyIx,
    end: Option<End>,
    cost: f64,
    /// Causes with the chance that it works.
    cures: Vec<(usize, f64)>,
}

/// Plans repairs, in order, with the expected minutes to a confirmed cure.
///
/// `chances` is a distribution over causes, in the order of the graph; what
/// follows the causes in it is what no repair here reaches.
pub fn plan(graph: &FaultGraph, chances: &[f64], s: Situation) -> (Vec<Planned>, f64) {
    let mut left: Vec<f64> = chances.iter().take(graph.causes.len()).copied().collect();
    let mut remaining: f64 = chances.iter().sum();
    let hand_over = if s.by == Reporter::Rider { HAND_OVER_RIDER } else { HAND_OVER_MECHANIC };
    let mut options: Vec<Repair> = Vec::new();
    for (cause, chance) in left.iter().enumerate() {
        if *chance < NEGLIGIBLE {
            continue;
        }
        for (remedy, works) in graph.remedies_of(CauseIx(cause)) {
            let works = works.by(s.by);
            let end = graph.cause(CauseIx(cause)).end;
            match options.iter_mut().find(|r| r.remedy == remedy && r.end == end) {
                Some(repair) => repair.cures.push((cause, works)),
                None if possible(graph, remedy, s) => {
                    let entry = graph.remedy(remedy);
                    let cost = entry.minutes + entry.price + if entry.undoes { 0.0 } else { IRREVERSIBLE };
                    options.push(Repair { remedy, end, cost, cures: vec![(cause, works)] });
                }
                None => {}
            }
        }
    }
    let mut planned = Vec::new();
    let mut minutes = 0.0;
    let mut total = None;
    while remaining > NEGLIGIBLE && planned.len() < LISTED {
        let sum = |r: &Repair, weigh: &dyn Fn(f64) -> f64| {
            r.cures.iter().map(|(c, w)| left.get(*c).unwrap_or(&0.0) * weigh(*w)).sum::<f64>()
        };
        // Looking comes first; the work and its parts follow only where the fault is found.
        let cost = |r: &Repair| {
            let look = r.cost.min(LOOK);
            look + (r.cost - look) * (sum(r, &|_| 1.0) / remaining).min(1.0)
        };
        let best = options
            .iter()
            .enumerate()
            .map(|(i, r)| (sum(r, &|w| w) / cost(r), i))
            .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
        let Some((rate, index)) = best.filter(|(rate, _)| *rate > 0.0) else { break };
        let expected = options.get(index).map_or(0.0, cost);
        // What is planned after handing over is only listed.
        if total.is_none() && rate <= remaining / hand_over {
            total = Some(minutes + hand_over * remaining);
        }
        let Repair { remedy, end, cost, cures } = options.swap_remove(index);
        let cured = rate * expected;
        planned.push(Planned { remedy, end, cures: cured / remaining, minutes: cost });
        minutes += expected * remaining;
        remaining -= cured;
        for (cause, works) in cures {
            if let Some(chance) = left.get_mut(cause) {
                *chance *= 1.0 - works;
            }
        }
    }
    (planned, total.unwrap_or(minutes + hand_over * remaining.max(0.0)))
}

/// Plans repairs for what was reported: for what brings the first complaint, or
/// for what is there if nothing is complained of.
///
/// # Errors
/// As [`crate::inference::infer`].
pub fn planned(
    graph: &FaultGraph,
    evidence: &Evidence,
    posterior: &Posterior,
    s: Situation,
) -> Result<Vec<Planned>, Trouble> {
    let chances = if evidence.events.is_empty() {
        posterior.present.clone()
    } else {
        let parts = explain_event(&Problem::of(graph, evidence), 0)?;
        parts.alone.into_iter().chain([parts.unlisted, parts.several]).collect()
    };
    Ok(plan(graph, &chances, s).0)
}

/// Expected minutes to a confirmed cure, no more questions asked.
pub fn minutes_to_cure(graph: &FaultGraph, chances: &[f64], s: Situation) -> f64 {
    plan(graph, chances, s).1
}

fn possible(graph: &FaultGraph, remedy: RemedyIx, s: Situation) -> bool {
    let places = &graph.remedy(remedy).at;
    // On the telephone repairs are planned for where they will be done.
    s.at == Venue::Telephone || places.contains(&s.at) || (s.at == Venue::Bench && places.contains(&Venue::Home))
}
