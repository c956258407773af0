//! The ranking as people read it: a fault that may be at either end of the bike is one line of it.

use crate::graph::{CauseIx, FaultGraph};
use crate::inference::Posterior;

/// Either end is spoken of where the less likely one is at least so likely as this share of the other. Judgement.
const EITHER_FROM: f64 = 0.3;

/// A line of the ranking.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// The likeliest cause.
    pub cause: CauseIx,
    /// The same at the other end, while it is open at which.
    pub twin: Option<CauseIx>,
    /// Chance, 0 to 1, by which causes are ranked; of both ends together.
    pub chance: f64,
}

impl Fault {
    /// True if it is about this cause.
    pub fn is(&self, cause: CauseIx) -> bool {
        self.cause == cause || self.twin == Some(cause)
    }

    /// Its name in plain words.
    pub fn name(&self, g: &FaultGraph) -> String {
        let cause = g.cause(self.cause);
        match (self.twin, cause.end) {
            (Some(_), Some(end)) => match cause.name.strip_suffix(&format!(" ({})", end.word())) {
                Some(bare) => format!("{bare} (front or rear)"),
                None => cause.name.clone(),
            },
            _ => cause.name.clone(),
        }
    }
}

/// Faults less likely than this are not named, unless nothing is likelier.
pub const NAMED_FROM: f64 = 0.03;

/// All faults, the likeliest first.
pub fn ranked(g: &FaultGraph, posterior: &Posterior) -> Vec<Fault> {
    // What is only seen may be at both ends as well.
    let complained = !posterior.brings.is_empty();
    let mut faults: Vec<Fault> = Vec::new();
    for cause in posterior.ranking() {
        let chance = posterior.ranked_by(cause);
        let open = |f: &&mut Fault| {
            let (one, other) = (g.cause(f.cause), g.cause(cause));
            let same = complained && f.twin.is_none() && one.id == other.id && one.end.is_some();
            same && chance >= EITHER_FROM * f.chance && loudest(posterior, f.cause) == loudest(posterior, cause)
        };
        match faults.iter_mut().find(open) {
            // Hardly ever both, so that their chances add up.
            Some(fault) => (fault.twin, fault.chance) = (Some(cause), (fault.chance + chance).min(1.0)),
            None => faults.push(Fault { cause, twin: None, chance }),
        }
    }
    if complained {
        faults.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    }
    faults
}

/// Those of a ranking that are put in a list.
pub fn worth_naming(ranked: &[Fault]) -> &[Fault] {
    let best = ranked.first().map_or(0.0, |f| f.chance);
    let named = ranked.iter().take_while(|f| f.chance >= NAMED_FROM.min(best)).count();
    ranked.get(..named).unwrap_or_default()
}

/// The fault that is about this cause; every cause is in the ranking.
pub fn of(ranked: &[Fault], cause: CauseIx) -> Fault {
    ranked.iter().find(|f| f.is(cause)).cloned().unwrap_or(Fault { cause, twin: None, chance: 0.0 })
}

/// The complaint that a cause most likely brings.
pub fn loudest(posterior: &Posterior, cause: CauseIx) -> Option<usize> {
    let brings = posterior.brings.iter().map(|b| b.get(cause.index()).copied().unwrap_or(0.0));
    brings.enumerate().max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0))).map(|(e, _)| e)
}
