//! The options of a question, and those that can still be.

use crate::graph::{FaultGraph, QuestionIx, Topic};
use crate::inference::evidence::Evidence;
use crate::knowledge::terms::Word;

/// The options of a question, in the order of their numbers.
pub fn options(g: &FaultGraph, question: QuestionIx) -> Vec<String> {
    let q = g.question(question);
    match &q.topic {
        Topic::Signs(_) if !q.options.is_empty() => q.options.iter().map(|o| o.say.clone()).collect(),
        Topic::Signs(_) => Word::ALL.iter().map(|w| w.plain().to_owned()).collect(),
        Topic::Facet(c, pos) => {
            let facet = g.complaint(*c).facets.get(*pos).map(|u| g.facet(u.facet));
            facet.map(|f| f.values.iter().map(|v| v.name.clone()).collect()).unwrap_or_default()
        }
        Topic::Fact(f) => g.fact(*f).values.iter().map(|v| v.name.clone()).collect(),
    }
}

/// The options that can still be, by their place among all: of a bike fact those that are not ruled out.
pub fn offered(g: &FaultGraph, evidence: &Evidence, question: QuestionIx) -> Vec<usize> {
    let known = match &g.question(question).topic {
        Topic::Fact(fact) => evidence.facts.get(fact),
        _ => None,
    };
    (0..options(g, question).len()).filter(|i| known.and_then(|can| can.get(*i)) != Some(&false)).collect()
}
