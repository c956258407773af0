//! The answers a question can get, each as the evidence it would leave.

use super::Situation;
use crate::graph::{FactIx, FaultGraph, QuestionIx, SignIx, Topic};
use crate::inference::evidence::{Answer, Evidence, SignReport, read_sign, read_value};
use crate::inference::problem::fact_shares;
use crate::knowledge::terms::Word;

/// The evidence after each answer, in the order in which answers are offered.
/// Their chances are the chances of that evidence, times the weight beside it.
#[derive(Debug, Clone, Default)]
pub struct Outcomes {
    /// Weight and evidence.
    pub all: Vec<(f64, Evidence)>,
}

impl Outcomes {
    /// What a reporter may answer here.
    pub fn reported(graph: &FaultGraph, evidence: &Evidence, question: QuestionIx, s: Situation) -> Self {
        let entry = graph.question(question);
        let read = |sign: SignIx, answer: Answer| {
            let likelihood = read_sign(graph, sign, answer, s.by, s.at, true);
            SignReport { signs: vec![sign], by: s.by, likelihood }
        };
        match &entry.topic {
            Topic::Signs(signs) if entry.options.is_empty() => {
                let told = |word: &Word| after_signs(evidence, signs.iter().map(|x| read(*x, Answer::Word(*word))));
                Self::equal(Word::ALL.iter().map(told))
            }
            Topic::Signs(_) => Self::equal(entry.options.iter().map(|option| {
                let told = option.means.iter().filter_map(|(sign, answer)| Some(read(*sign, Answer::read(answer)?)));
                after_signs(evidence, told)
            })),
            Topic::Facet(complaint, pos) => Self::of_values(graph, evidence, question, |value| {
                read_value(graph, *complaint, *pos, value, s.by, true)
            }),
            Topic::Fact(fact) => Self::of_fact(graph, evidence, *fact),
        }
    }

    /// A bike fact is told beyond doubt; each value weighs its share of bikes.
    fn of_fact(graph: &FaultGraph, evidence: &Evidence, fact: FactIx) -> Self {
        let shares = fact_shares(graph, evidence).get(fact.index()).cloned().unwrap_or_default();
        // What cannot be stays in its place with no weight: answers are picked by number.
        let known = |(value, share): (usize, f64)| {
            let mut after = evidence.clone();
            after.know(graph, fact, value);
            (share, after)
        };
        Self { all: shares.into_iter().enumerate().map(known).collect() }
    }

    fn equal(all: impl Iterator<Item = Evidence>) -> Self {
        Self { all: all.map(|after| (1.0, after)).collect() }
    }

    /// One outcome for each value of a facet; `likelihood` is given the value told.
    fn of_values(
        graph: &FaultGraph,
        evidence: &Evidence,
        question: QuestionIx,
        likelihood: impl Fn(usize) -> Vec<f64>,
    ) -> Self {
        let Topic::Facet(complaint, pos) = graph.question(question).topic else { return Self::default() };
        let values = graph.complaint(complaint).facets.get(pos).map_or(0, |u| u.shares.len());
        Self::equal((0..values).map(|value| {
            let mut after = evidence.clone();
            let first = || evidence.events.iter().position(|e| e.complaint == complaint);
            let event = evidence.open_event(complaint, pos).or_else(first);
            if let Some(event) = event.and_then(|at| after.events.get_mut(at)) {
                event.facets.insert(pos, likelihood(value));
            }
            after
        }))
    }
}

fn after_signs(evidence: &Evidence, reports: impl Iterator<Item = SignReport>) -> Evidence {
    let mut after = evidence.clone();
    reports.for_each(|report| after.report_sign(report));
    after
}
