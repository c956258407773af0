//! The answers a question can get, each as the evidence it would leave.

use super::Situation;
use crate::graph::{FaultGraph, QuestionIx, SignIx, Topic};
use crate::inference::evidence::{Answer, Evidence, SignReport, read_sign, read_value};
use crate::inference::problem::fact_shares;
use crate::knowledge::terms::{Reporter, Word};

/// Answers with the evidence after each. Their chances are the chances of that
/// evidence, times `weight`.
#[derive(Debug, Clone, Default)]
pub struct Outcomes {
    /// Label, weight, evidence.
    pub all: Vec<(String, f64, Evidence)>,
}

impl Outcomes {
    /// What a reporter may answer here.
    pub fn reported(graph: &FaultGraph, evidence: &Evidence, question: QuestionIx, s: Situation) -> Self {
        let entry = graph.question(question);
        let mut out = Self::default();
        match &entry.topic {
            Topic::Signs(signs) if entry.options.is_empty() => {
                for word in Word::ALL {
                    out.add_signs(
                        evidence,
                        word.plain(),
                        signs.iter().map(|sign| {
                            let likelihood = read_sign(graph, *sign, Answer::Word(*word), s.by, s.at, true);
                            (*sign, s.by, likelihood)
                        }),
                    );
                }
            }
            Topic::Signs(_) => {
                for option in &entry.options {
                    let read = option.means.iter().filter_map(|(sign, answer)| {
                        let likelihood = read_sign(graph, *sign, Answer::read(answer)?, s.by, s.at, true);
                        Some((*sign, s.by, likelihood))
                    });
                    out.add_signs(evidence, &option.say, read);
                }
            }
            Topic::Facet(complaint, pos) => {
                let n = graph.complaint(*complaint).facets.get(*pos).map_or(0, |u| u.shares.len());
                for value in 0..n {
                    let likelihood = read_value(graph, *complaint, *pos, value, s.by, true);
                    out.add_facet(graph, evidence, question, likelihood, value);
                }
            }
            Topic::Fact(_) => out = Self::certain(graph, evidence, question),
        }
        out
    }

    /// The things themselves, beyond doubt: no report can tell more.
    pub fn certain(graph: &FaultGraph, evidence: &Evidence, question: QuestionIx) -> Self {
        let mut out = Self::default();
        match &graph.question(question).topic {
            Topic::Signs(signs) => {
                // Every pattern of the signs; a question settles few.
                let signs: Vec<SignIx> = signs.iter().copied().take(4).collect();
                for pattern in 0..1u32 << signs.len() {
                    let reports = signs.iter().enumerate().map(|(i, sign)| {
                        let there = f64::from(pattern >> i & 1);
                        (*sign, Reporter::Gauge, [1.0 - there, there, there])
                    });
                    out.add_signs(evidence, "", reports);
                }
            }
            Topic::Facet(complaint, pos) => {
                let n = graph.complaint(*complaint).facets.get(*pos).map_or(0, |u| u.shares.len());
                for value in 0..n {
                    let likelihood = (0..n).map(|v| f64::from(u8::from(v == value))).collect();
                    out.add_facet(graph, evidence, question, likelihood, value);
                }
            }
            Topic::Fact(fact) => {
                let shares = fact_shares(graph, evidence).get(fact.index()).cloned().unwrap_or_default();
                // What cannot be stays in its place with no weight: answers are picked by number.
                for (value, share) in shares.into_iter().enumerate() {
                    let mut after = evidence.clone();
                    after.know(graph, *fact, value);
                    let label = graph.fact(*fact).values.get(value).map(|v| v.name.clone()).unwrap_or_default();
                    out.all.push((label, share, after));
                }
            }
        }
        out
    }

    fn add_signs(
        &mut self,
        evidence: &Evidence,
        label: &str,
        reports: impl Iterator<Item = (SignIx, Reporter, [f64; 3])>,
    ) {
        let mut after = evidence.clone();
        for (sign, by, likelihood) in reports {
            after.report_sign(SignReport { signs: vec![sign], by, likelihood });
        }
        self.all.push((label.to_owned(), 1.0, after));
    }

    fn add_facet(
        &mut self,
        graph: &FaultGraph,
        evidence: &Evidence,
        q: QuestionIx,
        likelihood: Vec<f64>,
        value: usize,
    ) {
        let Topic::Facet(complaint, pos) = graph.question(q).topic else { return };
        let mut after = evidence.clone();
        if let Some(event) = after.events.iter_mut().find(|e| e.complaint == complaint) {
            event.facets.insert(pos, likelihood);
        }
        let facet = graph.complaint(complaint).facets.get(pos).map(|u| graph.facet(u.facet));
        let label = facet.and_then(|f| f.values.get(value)).map(|v| v.name.clone()).unwrap_or_default();
        self.all.push((label, 1.0, after));
    }
}
