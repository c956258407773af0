//! What an answer is worth: bits about what brings the complaint, minutes to its cure.

use super::Situation;
use super::outcomes::Outcomes;
use super::remedies::minutes_to_cure;
use crate::graph::FaultGraph;
use crate::inference::evidence::Evidence;
use crate::inference::problem::Problem;
use crate::inference::{Explanation, Trouble, exact, explain_event};

/// What a question is worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Worth {
    /// Expected information, in bits.
    pub bits: f64,
    /// Expected minutes saved on repairs, the asking not yet paid.
    pub minutes_saved: f64,
}

/// Entropy of a distribution in bits (C. E. Shannon, 1948).
pub fn entropy(chances: impl IntoIterator<Item = f64>) -> f64 {
    chances.into_iter().filter(|p| *p > 0.0).map(|p| -p * p.log2()).sum()
}

/// Expected fall of entropy: `outcomes` holds, for each answer, its chance and
/// the distribution after it. The distribution before is their mixture, so the
/// gain is the mutual information and never negative.
///
/// ```
/// # use knockwise::inquiry::gain::information;
/// let told_all = [(0.5, vec![1.0, 0.0]), (0.5, vec![0.0, 1.0])];
/// assert_eq!(information(&told_all), 1.0);
/// ```
pub fn information(outcomes: &[(f64, Vec<f64>)]) -> f64 {
    let n = outcomes.iter().map(|(_, d)| d.len()).max().unwrap_or(0);
    let mixed = |i: usize| outcomes.iter().map(|(p, d)| p * d.get(i).unwrap_or(&0.0)).sum::<f64>();
    let after: f64 = outcomes.iter().map(|(p, d)| p * entropy(d.iter().copied())).sum();
    (entropy((0..n).map(mixed)) - after).max(0.0)
}

/// Weighs a question by the joint outcome of all it settles.
///
/// With complaints reported, the information is about who fires each of them;
/// without, about the presence of each cause.
///
/// # Errors
/// As [`crate::inference::infer`].
pub fn worth(graph: &FaultGraph, evidence: &Evidence, outcomes: &Outcomes, s: Situation) -> Result<Worth, Trouble> {
    let mut minutes_saved = 0.0;
    let bits = weigh(graph, evidence, outcomes, |told| {
        let cost = |d: &[f64]| minutes_to_cure(graph, d, s);
        let after: f64 = told.iter().map(|(p, d)| p * cost(d)).sum();
        minutes_saved += cost(&mixture(told)) - after;
    })?;
    Ok(Worth { bits, minutes_saved })
}

/// The information alone, which is soon computed.
///
/// # Errors
/// As [`crate::inference::infer`].
pub fn bits(graph: &FaultGraph, evidence: &Evidence, outcomes: &Outcomes) -> Result<f64, Trouble> {
    weigh(graph, evidence, outcomes, |_| {})
}

/// Adds up the information about each complaint and shows each one's outcomes.
fn weigh(
    graph: &FaultGraph,
    evidence: &Evidence,
    outcomes: &Outcomes,
    mut show: impl FnMut(&[(f64, Vec<f64>)]),
) -> Result<f64, Trouble> {
    let problems: Vec<(f64, Problem)> = outcomes.all.iter().map(|(w, e)| (*w, Problem::of(graph, e))).collect();
    if evidence.events.is_empty() {
        return about_presence(&problems);
    }
    let mut bits = 0.0;
    for event in 0..evidence.events.len() {
        let mut parts: Vec<(f64, Explanation)> = Vec::new();
        for (weight, problem) in &problems {
            match explain_event(problem, event) {
                Ok(explanation) => parts.push((weight.ln() + explanation.log_evidence, explanation)),
                Err(Trouble::Contradiction) => {}
                Err(wide) => return Err(wide),
            }
        }
        let chances = from_logs(parts.iter().map(|(log, _)| *log));
        let told: Vec<(f64, Vec<f64>)> = chances.iter().zip(&parts).map(|(p, (_, e))| (*p, distribution(e))).collect();
        bits += information(&told);
        show(&told);
    }
    Ok(bits)
}

/// Causes alone, then the background, then several together.
fn distribution(e: &Explanation) -> Vec<f64> {
    e.alone.iter().copied().chain([e.unlisted, e.several]).collect()
}

fn mixture(told: &[(f64, Vec<f64>)]) -> Vec<f64> {
    let n = told.first().map_or(0, |(_, d)| d.len());
    (0..n).map(|i| told.iter().map(|(p, d)| p * d.get(i).unwrap_or(&0.0)).sum()).collect()
}

fn about_presence(problems: &[(f64, Problem)]) -> Result<f64, Trouble> {
    let mut solved = Vec::new();
    for (weight, problem) in problems {
        match exact::solve(problem) {
            Ok(solution) => solved.push((weight.ln() + solution.log_evidence, solution.present)),
            Err(Trouble::Contradiction) => {}
            Err(wide) => return Err(wide),
        }
    }
    let chances = from_logs(solved.iter().map(|(log, _)| *log));
    let n = solved.first().map_or(0, |(_, p)| p.len());
    let one = |cause: usize| {
        let told: Vec<(f64, Vec<f64>)> = chances
            .iter()
            .zip(&solved)
            .map(|(p, (_, present))| {
                let there = present.get(cause).copied().unwrap_or(0.0);
                (*p, vec![there, 1.0 - there])
            })
            .collect();
        information(&told)
    };
    Ok((0..n).map(one).sum())
}

fn from_logs(logs: impl Iterator<Item = f64> + Clone) -> Vec<f64> {
    let most = logs.clone().fold(f64::NEG_INFINITY, f64::max);
    let raw: Vec<f64> = logs.map(|log| (log - most).exp()).collect();
    let total: f64 = raw.iter().sum();
    raw.into_iter().map(|x| x / total).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Entropies of the four-way splits are arithmetic.
    #[test]
    fn entropy_of_known_splits() {
        assert!((entropy([0.4, 0.3, 0.2, 0.1]) - 1.846_439).abs() < 1e-6);
        assert!((entropy([0.5, 0.25, 0.125, 0.125]) - 1.75).abs() < 1e-12);
    }

    #[test]
    fn what_changes_nothing_tells_nothing() {
        let same = [(0.3, vec![0.2, 0.8]), (0.7, vec![0.2, 0.8])];
        assert!(information(&same) < 1e-15);
    }
}
