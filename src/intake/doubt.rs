//! Wordings against which all the other words speak.
//!
//! "The bike feels rubbery" in a long telling of a soft brake lever is a chance meeting of words.
//! How riders tell of causes says how well the whole goes with a complaint; where it goes much
//! worse with it than any bike's words would, the complaint is not taken as told.

use std::collections::BTreeMap;

use super::Hit;
use crate::graph::{ComplaintIx, FaultGraph, Meaning, Trigger, WordIx};
use crate::inference::complaint_chances;
use crate::inference::evidence::Evidence;

/// So much rarer than usual must all the words make a complaint. Found on the letters of tests/heard.
const RARER: f64 = 0.2;
/// The same of the words of its own sentence, for a second complaint stands among the words of the first.
const RARER_THERE: f64 = 4.0;

/// Tells of a hit whether the words told, each with the number of its sentence, speak against every complaint it means.
pub(super) fn doubted<'g>(graph: &'g FaultGraph, words: &[(usize, WordIx)]) -> impl Fn(&Hit<'_>) -> bool + 'g {
    let usual = chances(graph, &[]);
    let rarer = move |said: &[(usize, WordIx)]| -> BTreeMap<ComplaintIx, f64> {
        chances(graph, said).into_iter().map(|(c, p)| (c, usual.get(&c).map_or(1.0, |u| p / u))).collect()
    };
    let in_all = rarer(words);
    let words = words.to_vec();
    move |hit| {
        let told: Vec<ComplaintIx> = hit.means.iter().filter_map(complaint).collect();
        let below =
            |than: &BTreeMap<ComplaintIx, f64>, limit| told.iter().all(|c| than.get(c).is_some_and(|r| *r < limit));
        if told.is_empty() || hit.tone.negated || told.iter().any(|c| grave(graph, *c)) || !below(&in_all, RARER) {
            return false;
        }
        let there: Vec<_> = words.iter().copied().filter(|(sentence, _)| *sentence == hit.at[2]).collect();
        below(&rarer(&there), RARER_THERE)
    }
}

/// How often each complaint would be told in these words.
fn chances(graph: &FaultGraph, words: &[(usize, WordIx)]) -> BTreeMap<ComplaintIx, f64> {
    let mut told = Evidence::default();
    told.telling.add(graph, words.iter().map(|(_, word)| *word));
    complaint_chances(graph, &told).into_iter().collect()
}

fn complaint(meaning: &Meaning) -> Option<ComplaintIx> {
    if let Meaning::Complaint(c) = meaning { Some(*c) } else { None }
}

/// A danger is never talked away.
fn grave(graph: &FaultGraph, complaint: ComplaintIx) -> bool {
    graph.flags.iter().any(|f| f.when.contains(&Trigger::Complaint(complaint)))
}
