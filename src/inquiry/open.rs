//! Which questions are open here and now: not yet answered, to be asked in this place of this
//! person, safe, about what matters, and not the same look over again.

use super::Situation;
use crate::graph::{CauseIx, ComplaintIx, End, FacetIx, FaultGraph, QuestionIx, SignIx, Topic};
use crate::inference::evidence::Evidence;
use crate::knowledge::terms::{Motion, Ride};

/// The questions that may be asked about one item, of causes that matter; `without` are those to which
/// this person had no answer.
pub fn questions(
    g: &FaultGraph,
    e: &Evidence,
    s: Situation,
    ride: Ride,
    item: usize,
    matters: &[bool],
    without: &[QuestionIx],
) -> Vec<QuestionIx> {
    let end = told_end(g, e, item);
    let again = |q: &QuestionIx| without.iter().any(|w| w == q || is_same_look(g, *q, *w, end));
    g.question_ixs()
        .filter(|q| can_be_asked(g, e, *q, s, ride, (item, end)) && concerns(g, matters, *q) && !again(q))
        .collect()
}

fn can_be_asked(
    graph: &FaultGraph,
    evidence: &Evidence,
    q: QuestionIx,
    s: Situation,
    ride: Ride,
    (item, end): (usize, Option<End>),
) -> bool {
    let question = graph.question(q);
    let barred = ride == Ride::Stop && question.moves.contains(&Motion::Riding);
    let told = |sign| evidence.signs.iter().any(|r| r.by == s.by && r.signs.contains(&sign));
    // Once a repair there was in vain, the other end may be to blame after all.
    let in_vain = evidence.repairs.iter().any(|r| r.event == item);
    let elsewhere = |sign: &SignIx| {
        let at = graph.sign(*sign).end;
        !in_vain && at.is_some() && end.is_some() && at != end
    };
    let open = match &question.topic {
        Topic::Signs(signs) => !signs.iter().any(|x| told(*x) || elsewhere(x)),
        // An aspect of another complaint is asked when that one is discussed.
        Topic::Facet(complaint, pos) => {
            evidence.open_event(*complaint, *pos) == Some(item) && !is_moot(graph, evidence, *complaint, *pos, item)
        }
        Topic::Fact(fact) => evidence.known(*fact).is_none(),
    };
    open && !barred && question.at.contains(&s.at) && (question.by.is_empty() || question.by.contains(&s.by))
}

/// The end of the bike at which an event was told to be.
fn told_end(graph: &FaultGraph, evidence: &Evidence, event: usize) -> Option<End> {
    let told = evidence.events.get(event)?;
    let pos = graph.find_facet(told.complaint, "end")?;
    let facet = graph.complaint(told.complaint).facets.get(pos)?.facet;
    let value = graph.facet(facet).values.get(named(told.facets.get(&pos)?)?)?;
    End::BOTH.into_iter().find(|end| end.word() == value.id)
}

/// True if one look is the other over again, at whichever end: who could not tell from the rear wheel will not
/// from the front one, until that is known to be the one. A measurement is another look.
fn is_same_look(graph: &FaultGraph, question: QuestionIx, before: QuestionIx, end: Option<End>) -> bool {
    let (entry, seen) = (graph.question(question), graph.question(before));
    let Topic::Signs(signs) = &seen.topic else { return false };
    let known_since = end.is_some() && signs.iter().all(|s| graph.sign(*s).end != end);
    let measured = !entry.tools.is_empty() && seen.tools.is_empty();
    let settled = |s: &SignIx| signs.iter().any(|seen| is_same_sign(graph, *seen, *s));
    !known_since && !measured && matches!(&entry.topic, Topic::Signs(all) if all.iter().all(settled))
}

/// True if a question looks for this sign, at whichever end.
pub fn looks_for(graph: &FaultGraph, question: QuestionIx, sign: SignIx) -> bool {
    matches!(&graph.question(question).topic, Topic::Signs(all) if all.iter().any(|s| is_same_sign(graph, *s, sign)))
}

fn is_same_sign(graph: &FaultGraph, a: SignIx, b: SignIx) -> bool {
    graph.sign(a).root == graph.sign(b).root
}

/// The value that a report speaks for more than for any other.
fn named(likelihood: &[f64]) -> Option<usize> {
    let most = likelihood.iter().copied().fold(0.0, f64::max);
    let mut at = likelihood.iter().enumerate().filter(|(_, l)| **l == most).map(|(value, _)| value);
    at.next().filter(|_| at.next().is_none())
}

/// True if another aspect of the event, as told, makes this one senseless to ask.
fn is_moot(graph: &FaultGraph, evidence: &Evidence, complaint: ComplaintIx, pos: usize, event: usize) -> bool {
    let uses = &graph.complaint(complaint).facets;
    let told = |(facet, value): &(FacetIx, usize)| {
        let at = uses.iter().position(|u| u.facet == *facet);
        at.and_then(|at| named(evidence.events.get(event)?.facets.get(&at)?)) == Some(*value)
    };
    uses.get(pos).is_some_and(|usage| graph.facet(usage.facet).moot.iter().any(told))
}

/// True if a cause that matters hangs on the answer.
fn concerns(graph: &FaultGraph, matters: &[bool], q: QuestionIx) -> bool {
    let matters = |c: CauseIx| matters.get(c.index()).copied().unwrap_or(false);
    match &graph.question(q).topic {
        Topic::Signs(signs) => signs.iter().any(|s| graph.shown_by(*s).any(|(c, _)| matters(c))),
        Topic::Facet(..) => true,
        Topic::Fact(fact) => graph.cause_ixs().any(|c| {
            let cause = graph.cause(c);
            matters(c) && (cause.fits.iter().any(|(f, _)| f == fact) || cause.odds.iter().any(|(f, ..)| f == fact))
        }),
    }
}
