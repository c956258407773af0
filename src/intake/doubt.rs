//! Wordings against which all the other words speak.
//!
//! "The bike feels rubbery" in a long telling of a soft brake lever is a chance meeting of words.
//! How riders tell of causes says how well the whole goes with a complaint or a sign; where it goes
//! much worse with it than any bike's words would, it is not taken as told.

use std::cell::OnceCell;
use std::collections::BTreeMap;

use super::Hit;
use crate::graph::{ComplaintIx, FaultGraph, Meaning, RedFlag, SignIx, Trigger, WordIx};
use crate::inference::evidence::Evidence;
use crate::inference::{complaint_chances, shown, told_of};

/// So much rarer than usual must all the words make a complaint. Found, as the next two, on the letters of
/// tests/heard.
const COMPLAINT_RARER: f64 = 0.4;
/// The same of a sign, which other causes show too.
const SIGN_RARER: f64 = 1.0;
/// The same of the words of its own sentence, for a second complaint stands among the words of the first.
const RARER_THERE: f64 = 4.0;

/// What words speak for.
pub(super) struct Spoken {
    causes: Vec<f64>,
    complaints: BTreeMap<ComplaintIx, f64>,
}

impl Spoken {
    /// Of words, each with the number of its sentence.
    pub fn of<'w>(graph: &FaultGraph, words: impl IntoIterator<Item = &'w (usize, WordIx)>) -> Self {
        let mut told = Evidence::default();
        told.telling.add(graph, words.into_iter().map(|(_, word)| *word));
        let causes = told_of(graph, &told);
        let complaints = complaint_chances(graph, &causes).into_iter().collect();
        Self { causes, complaints }
    }

    fn complaint(&self, complaint: ComplaintIx) -> f64 {
        self.complaints.get(&complaint).copied().unwrap_or(0.0)
    }
}

/// What the words of a text speak against.
pub(super) struct Doubt<'l> {
    graph: &'l FaultGraph,
    usual: &'l Spoken,
    /// The words, each with the number of its sentence.
    words: &'l [(usize, WordIx)],
    in_all: OnceCell<Spoken>,
}

impl<'l> Doubt<'l> {
    /// Of the words told, each with the number of its sentence; `usual` is what no words speak for.
    pub fn of(graph: &'l FaultGraph, usual: &'l Spoken, words: &'l [(usize, WordIx)]) -> Self {
        Self { graph, usual, words, in_all: OnceCell::new() }
    }

    /// True if the words speak against every complaint that a hit means, or every sign where it means nothing else.
    pub fn is_cast_on(&self, hit: &Hit<'_>) -> bool {
        let complaints: Vec<ComplaintIx> = hit.means.iter().filter_map(complaint).collect();
        let signs: Vec<SignIx> = hit.means.iter().filter_map(sign).collect();
        if hit.tone.negated || hit.means.iter().any(|m| grave(self.graph, m)) {
            return false;
        }
        let usual = self.usual;
        let rarer =
            |said: &Spoken, limit: f64| complaints.iter().all(|c| said.complaint(*c) < limit * usual.complaint(*c));
        let unshown = |said: &Spoken, limit: f64| {
            let chance = |said: &Spoken, sign| shown(self.graph, &said.causes, sign);
            signs.iter().all(|s| chance(said, *s) < limit * chance(usual, *s))
        };
        let in_all = || self.in_all.get_or_init(|| Spoken::of(self.graph, self.words));
        let there = || Spoken::of(self.graph, self.words.iter().filter(|(sentence, _)| *sentence == hit.at[2]));
        if !complaints.is_empty() {
            rarer(in_all(), COMPLAINT_RARER) && rarer(&there(), RARER_THERE)
        } else if !signs.is_empty() && signs.len() == hit.means.len() {
            unshown(in_all(), SIGN_RARER) && unshown(&there(), RARER_THERE)
        } else {
            false
        }
    }
}

fn complaint(meaning: &Meaning) -> Option<ComplaintIx> {
    if let Meaning::Complaint(c) = meaning { Some(*c) } else { None }
}

fn sign(meaning: &Meaning) -> Option<SignIx> {
    if let Meaning::Sign(signs) = meaning { signs.first().copied() } else { None }
}

/// A danger is never talked away.
fn grave(graph: &FaultGraph, meaning: &Meaning) -> bool {
    flagged(graph, meaning, |_| true)
}

/// True of what nobody should go near.
pub(super) fn keeps_away(graph: &FaultGraph, meaning: &Meaning) -> bool {
    flagged(graph, meaning, |flag| flag.hands_off)
}

/// True of what raises an alarm of such a kind.
fn flagged(graph: &FaultGraph, meaning: &Meaning, such: impl Fn(&RedFlag) -> bool) -> bool {
    let flagged = |trigger: Trigger| graph.flags.iter().any(|f| such(f) && f.when.contains(&trigger));
    match meaning {
        Meaning::Complaint(c) => flagged(Trigger::Complaint(*c)),
        Meaning::Sign(signs) => signs.iter().any(|s| flagged(Trigger::Sign(*s))),
        Meaning::Value(..) | Meaning::Fact(..) => false,
    }
}
