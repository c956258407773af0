//! Who explains a complaint: every set of causes that may fire it together.

use super::exact::{self, Trouble};
use super::problem::Problem;

/// Who fires one complaint (or shows one sign), as parts that exclude each other and sum to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Accounts {
    /// Sets of causes with the chance that exactly they fire it: single causes, then larger sets.
    pub sets: Vec<(Vec<usize>, f64)>,
    /// Chance that the background alone fires it.
    pub unlisted: f64,
    /// Chance of everything else: larger or unlikelier sets, the background with others, a complaint
    /// that is not there after all.
    pub rest: f64,
    /// By cause: chance that it is there with the complaint set aside.
    pub aside: Vec<f64>,
    /// Natural logarithm of the chance of the reports.
    pub log_evidence: f64,
    /// The same with nobody firing the complaint.
    pub log_quiet: f64,
}

/// Splits the chance of an item of the problem among those who may fire it.
///
/// With nobody firing it the rest of the evidence has some chance; a set of causes that fires it
/// multiplies that by the chance that all of them are there and by the odds of their links.
/// Sets of two and more are followed as long as they reach `least`.
///
/// # Errors
/// As [`super::infer`].
pub fn accounts(problem: &Problem, item: usize, least: f64) -> Result<Accounts, Trouble> {
    let log_evidence = exact::evidence(problem)?;
    let quiet = problem.silenced(item);
    let nobody = match exact::solve(&quiet) {
        Ok(solution) => solution,
        Err(Trouble::Contradiction) => {
            // Whatever happens, somebody fires it for sure: no part can be told apart.
            let aside = vec![0.0; problem.causes.len()];
            let (sets, log_quiet) = (Vec::new(), f64::NEG_INFINITY);
            return Ok(Accounts { sets, unlisted: 0.0, rest: 1.0, aside, log_evidence, log_quiet });
        }
        Err(wide) => return Err(wide),
    };
    let links = problem.odds_of_firing(item);
    let log_quiet = nobody.log_evidence;
    let scale = (log_quiet - log_evidence).exp();
    let mut sets: Vec<(Vec<usize>, f64)> = Vec::new();
    for (cause, odds) in &links.by_cause {
        let chance = scale * nobody.present.get(*cause).unwrap_or(&0.0) * odds;
        if chance > 0.0 {
            sets.push((vec![*cause], chance));
        }
    }
    let mut next = 0;
    while let Some((set, chance)) = sets.get(next).cloned() {
        next += 1;
        // Another cause joins with about the odds at which it would fire alone.
        if chance < least || !links.by_cause.iter().any(|(c, o)| chance * nobody.present[*c] * o >= least) {
            continue;
        }
        let joint = exact::solve(&quiet.with_present(&set))?;
        let odds: f64 = set.iter().filter_map(|c| links.of(*c)).product();
        let scale = (joint.log_evidence - log_evidence).exp() * odds;
        let last = set.last().copied().unwrap_or(0);
        for (cause, odds) in links.by_cause.iter().filter(|(c, _)| *c > last) {
            let chance = scale * joint.present.get(*cause).unwrap_or(&0.0) * odds;
            if chance >= least && chance > 0.0 {
                sets.push((set.iter().copied().chain([*cause]).collect(), chance));
            }
        }
    }
    let unlisted = scale * links.background;
    let told: f64 = sets.iter().map(|(_, p)| p).sum::<f64>() + unlisted;
    Ok(Accounts { sets, unlisted, rest: (1.0 - told).max(0.0), aside: nobody.present, log_evidence, log_quiet })
}
