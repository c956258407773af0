//! Weights of evidence: what speaks for a cause, what against it, what it leaves open.
//!
//! A weight is the change in the log-odds of the cause, in decibans (I. J. Good,
//! 1950). *Leave-one-out* weights compare the belief with and without one report
//! and serve to rank reports; they do not add up. *Sequential* weights follow
//! the order in which reports came and add up exactly to the final log-odds.

use super::evidence::{Evidence, SignReport};
use super::telling::Telling;
use super::{Posterior, Trouble, infer};
use crate::graph::{CauseIx, FactIx, FaultGraph};
use crate::probability::decibans;

/// One thing that was reported.
#[derive(Debug, Clone, PartialEq)]
pub enum Piece {
    /// A bike fact.
    Fact(FactIx),
    /// A complaint as such, by position.
    Event(usize),
    /// The words in which the complaints were told.
    Telling,
    /// A facet of a complaint: positions of the complaint and of the facet.
    Facet(usize, usize),
    /// A sign.
    Sign(SignReport),
    /// A repair that did not cure, by position.
    Repair(usize),
}

/// Which belief is weighed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Belief {
    /// That the cause is there.
    Present,
    /// That it brings the complaint at this position.
    Brings(usize),
}

impl Belief {
    fn of(self, posterior: &Posterior, cause: CauseIx) -> f64 {
        let column = match self {
            Self::Present => Some(&posterior.present),
            Self::Brings(event) => posterior.brings.get(event),
        };
        column.and_then(|c| c.get(cause.0)).copied().unwrap_or(0.0)
    }
}

/// Takes evidence apart, in the order facts, complaints with their facets, their words, signs, repairs.
pub fn pieces(evidence: &Evidence) -> Vec<Piece> {
    let facts = evidence.facts.keys().map(|f| Piece::Fact(*f));
    let events = evidence.events.iter().enumerate().flat_map(|(e, event)| {
        std::iter::once(Piece::Event(e)).chain(event.facets.keys().map(move |f| Piece::Facet(e, *f)))
    });
    let telling = (!evidence.telling.is_empty() && !evidence.events.is_empty()).then_some(Piece::Telling);
    let signs = evidence.signs.iter().cloned().map(Piece::Sign);
    let repairs = (0..evidence.repairs.len()).map(Piece::Repair);
    facts.chain(events).chain(telling).chain(signs).chain(repairs).collect()
}

/// The evidence without one piece. A complaint taken out keeps its place but tells nothing.
pub fn without(evidence: &Evidence, piece: &Piece) -> Evidence {
    let mut rest = evidence.clone();
    match piece {
        Piece::Fact(fact) => {
            rest.facts.remove(fact);
        }
        Piece::Telling => rest.telling = Telling::default(),
        Piece::Event(e) => {
            if let Some(event) = rest.events.get_mut(*e) {
                event.there = 1.0;
                event.missing = 1.0;
                event.facets.clear();
            }
        }
        Piece::Facet(e, facet) => {
            if let Some(event) = rest.events.get_mut(*e) {
                event.facets.remove(facet);
            }
        }
        Piece::Sign(report) => rest.signs.retain(|r| r != report),
        Piece::Repair(i) => {
            if *i < rest.repairs.len() {
                rest.repairs.remove(*i);
            }
        }
    }
    rest
}

/// What each report alone is worth to a cause, all others standing; in decibans.
///
/// For [`Belief::Brings`] the complaint itself is left out: without it there is
/// nothing to bring.
///
/// # Errors
/// As [`infer`].
pub fn leave_one_out(
    graph: &FaultGraph,
    evidence: &Evidence,
    cause: CauseIx,
    belief: Belief,
) -> Result<Vec<(Piece, f64)>, Trouble> {
    let whole = decibans(belief.of(&infer(graph, evidence)?, cause));
    pieces(evidence)
        .into_iter()
        .filter(|p| !matches!((p, belief), (Piece::Event(e), Belief::Brings(b)) if *e == b))
        .map(|piece| {
            let rest = infer(graph, &without(evidence, &piece))?;
            Ok((piece, whole - decibans(belief.of(&rest, cause))))
        })
        .collect()
}

/// The belief as it grew: the log-odds before any of the pieces, then what
/// each added in the order given; all in decibans.
///
/// # Errors
/// As [`infer`].
pub fn as_it_happened(
    graph: &FaultGraph,
    evidence: &Evidence,
    order: &[Piece],
    cause: CauseIx,
    belief: Belief,
) -> Result<(f64, Vec<(Piece, f64)>), Trouble> {
    // From the whole backwards: taking the last piece away first.
    let mut levels = vec![decibans(belief.of(&infer(graph, evidence)?, cause))];
    let mut rest = evidence.clone();
    for piece in order.iter().rev() {
        rest = without(&rest, piece);
        levels.push(decibans(belief.of(&infer(graph, &rest)?, cause)));
    }
    levels.reverse();
    let start = levels.first().copied().unwrap_or(0.0);
    let steps = order.iter().cloned().zip(levels.windows(2).map(|w| w[1] - w[0])).collect();
    Ok((start, steps))
}

/// Reports that a cause does not account for: signs reported as there that it
/// hardly shows, and facets it gives less often than the background does.
pub fn unexplained(graph: &FaultGraph, evidence: &Evidence, event: usize, cause: CauseIx) -> Vec<Piece> {
    let mut left = Vec::new();
    if let Some(reported) = evidence.events.get(event) {
        let firing = graph.firings(reported.complaint).find(|(c, _)| *c == cause).map(|(_, f)| f);
        for (facet, likelihood) in &reported.facets {
            let fit = |shape: &[f64]| shape.iter().zip(likelihood).map(|(p, l)| p * l).sum::<f64>();
            let usual = graph.complaint(reported.complaint).facets.get(*facet).map_or(0.0, |u| fit(&u.shares));
            let own = firing.and_then(|f| f.shapes.get(*facet)).map_or(0.0, |s| fit(s));
            if own < 0.5 * usual {
                left.push(Piece::Facet(event, *facet));
            }
        }
    }
    for report in &evidence.signs {
        let [none, slight, strong] = report.likelihood;
        let shown: f64 = report
            .signs
            .iter()
            .flat_map(|s| graph.shown_by(*s).filter(|(c, _)| *c == cause))
            .map(|(_, degrees)| 1.0 - degrees[0])
            .fold(0.0, f64::max);
        if slight.max(strong) > none && shown < 0.1 {
            left.push(Piece::Sign(report.clone()));
        }
    }
    left
}
