//! What to ask next, whether to ride, what to mend first.
//!
//! Everything here is a choice made with the exact probabilities of
//! [`crate::inference`]; nothing is shown and nothing is remembered. Questions
//! are scored by their joint outcome, never sign by sign.
//!
//! Reading order: [`safety`] (ride advice), [`outcomes`] (what answers there
//! can be), [`gain`] (what they are worth), [`remedies`] (minutes to a cure),
//! this file (the choice).

pub mod gain;
pub mod outcomes;
pub mod remedies;
pub mod safety;

use crate::graph::{FaultGraph, QuestionIx, Topic};
use crate::inference::evidence::Evidence;
use crate::inference::{Posterior, Trouble};
use crate::knowledge::terms::{Motion, Reporter, Ride, Venue};
use gain::Worth;
use outcomes::Outcomes;

/// Causes below this chance lend no question its worth.
const WORTH_ASKING: f64 = 0.01;

/// Minutes that reading and weighing any question takes. Judgement: without it,
/// ten easy questions would look cheaper than one good look.
const ATTENTION: f64 = 0.5;

/// Questions weighed to the end, at least: the first by information may save no time.
const WEIGHED: usize = 8;

/// Where we are and who answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Situation {
    /// Who answers.
    pub by: Reporter,
    /// Where.
    pub at: Venue,
}

/// A question with what it is worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The question.
    pub question: QuestionIx,
    /// Expected information about what brings the complaint, in bits.
    pub gain_bits: f64,
    /// Minutes to answer.
    pub minutes: f64,
    /// Expected minutes saved on the way to a cure, the asking paid.
    pub saves_minutes: f64,
}

/// The questions most worth asking, best first: most information per minute,
/// those that are expected to save time before those that are not.
///
/// The one function through which questions are chosen. Questions that cannot
/// be asked here, that were answered, or that need riding while the bike must
/// not be ridden are left out.
///
/// # Errors
/// As [`crate::inference::infer`].
pub fn next_questions(
    graph: &FaultGraph,
    evidence: &Evidence,
    posterior: &Posterior,
    situation: Situation,
    most: usize,
) -> Result<Vec<Proposal>, Trouble> {
    let (ride, _) = safety::advice(graph, evidence, posterior);
    let possible: Vec<QuestionIx> = graph
        .question_ixs()
        .filter(|q| can_be_asked(graph, evidence, *q, situation, ride) && concerns(graph, evidence, posterior, *q))
        .collect();
    // A report never tells more than the thing reported (data-processing
    // inequality), so the bound puts questions in an order in which few need weighing.
    let mut bounds = Vec::new();
    for question in possible {
        let certain = Outcomes::certain(graph, evidence, question);
        let bits = gain::bits(graph, evidence, &certain)?;
        bounds.push((bits / minutes(graph, question), question));
    }
    bounds.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    let mut proposals: Vec<Proposal> = Vec::new();
    for (bound, question) in bounds {
        let beaten =
            proposals.get(most.max(WEIGHED).saturating_sub(1)).is_some_and(|p| p.gain_bits / p.minutes >= bound);
        if beaten {
            break;
        }
        let reported = Outcomes::reported(graph, evidence, question, situation);
        let Worth { bits, minutes_saved } = gain::worth(graph, evidence, &reported, situation)?;
        let minutes = minutes(graph, question);
        if bits > 1e-6 {
            proposals.push(Proposal { question, gain_bits: bits, minutes, saves_minutes: minutes_saved - minutes });
        }
        proposals.sort_by(|a, b| (b.gain_bits / b.minutes).total_cmp(&(a.gain_bits / a.minutes)));
    }
    // A question that saves no time may still be the best of a bad lot, but last.
    proposals.sort_by_key(|p| p.saves_minutes <= 0.0);
    proposals.truncate(most);
    Ok(proposals)
}

fn minutes(graph: &FaultGraph, question: QuestionIx) -> f64 {
    graph.question(question).minutes + ATTENTION
}

fn can_be_asked(graph: &FaultGraph, evidence: &Evidence, q: QuestionIx, s: Situation, ride: Ride) -> bool {
    let question = graph.question(q);
    let barred = ride == Ride::Stop && question.moves.contains(&Motion::Riding);
    let open = match &question.topic {
        Topic::Signs(signs) => !signs.iter().any(|x| evidence.has_sign(*x)),
        Topic::Facet(complaint, pos) => {
            evidence.events.iter().any(|e| e.complaint == *complaint && !e.facets.contains_key(pos))
        }
        Topic::Fact(fact) => evidence.known(*fact).is_none(),
    };
    open && !barred && question.at.contains(&s.at) && (question.by.is_empty() || question.by.contains(&s.by))
}

/// True if a cause that matters hangs on the answer.
fn concerns(graph: &FaultGraph, evidence: &Evidence, posterior: &Posterior, q: QuestionIx) -> bool {
    let matters = |c| posterior.ranked_by(c) >= WORTH_ASKING;
    match &graph.question(q).topic {
        Topic::Signs(signs) => signs.iter().any(|s| graph.shown_by(*s).any(|(c, _)| matters(c))),
        Topic::Facet(complaint, _) => evidence.events.iter().any(|e| e.complaint == *complaint),
        Topic::Fact(fact) => graph.cause_ixs().any(|c| {
            let cause = graph.cause(c);
            matters(c) && (cause.fits.iter().any(|(f, _)| f == fact) || cause.odds.iter().any(|(f, ..)| f == fact))
        }),
    }
}
