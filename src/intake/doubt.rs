//! Wordings against which all the other words speak.
//!
//! "The bike feels rubbery" in a long telling of a soft brake lever is a chance meeting of words.
//! How riders tell of causes says how well the whole goes with a complaint; where it goes much
//! worse with it than any bike's words would, the complaint is not taken as told.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use super::Hit;
use crate::graph::{ComplaintIx, FaultGraph, Meaning, Trigger, WordIx};
use crate::inference::complaint_chances;
use crate::inference::evidence::Evidence;

/// So much rarer than usual must all the words make a complaint. Found on the letters of tests/heard.
const RARER: f64 = 0.2;
/// The same of the words of its own sentence, for a second complaint stands among the words of the first.
const RARER_THERE: f64 = 4.0;

/// What the words of a text speak against.
pub(super) struct Doubt<'l> {
    graph: &'l FaultGraph,
    usual: &'l BTreeMap<ComplaintIx, f64>,
    /// The words, each with the number of its sentence.
    words: &'l [(usize, WordIx)],
    in_all: OnceCell<BTreeMap<ComplaintIx, f64>>,
}

impl<'l> Doubt<'l> {
    /// Of the words told, each with the number of its sentence; `usual` is what [`chances`] gives without words.
    pub fn of(graph: &'l FaultGraph, usual: &'l BTreeMap<ComplaintIx, f64>, words: &'l [(usize, WordIx)]) -> Self {
        Self { graph, usual, words, in_all: OnceCell::new() }
    }

    /// True if the words speak against every complaint that a hit means.
    pub fn is_cast_on(&self, hit: &Hit<'_>) -> bool {
        let told: Vec<ComplaintIx> = hit.means.iter().filter_map(complaint).collect();
        if told.is_empty() || hit.tone.negated || told.iter().any(|c| grave(self.graph, *c)) {
            return false;
        }
        let below = |chances: &BTreeMap<ComplaintIx, f64>, limit: f64| {
            told.iter()
                .all(|c| chances.get(c).zip(self.usual.get(c)).is_some_and(|(said, usual)| *said < limit * usual))
        };
        below(self.in_all.get_or_init(|| chances(self.graph, self.words)), RARER) && {
            let there: Vec<_> = self.words.iter().copied().filter(|(sentence, _)| *sentence == hit.at[2]).collect();
            below(&chances(self.graph, &there), RARER_THERE)
        }
    }
}

/// How often each complaint would be told in these words.
pub(super) fn chances(graph: &FaultGraph, words: &[(usize, WordIx)]) -> BTreeMap<ComplaintIx, f64> {
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
