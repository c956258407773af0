//! May the bike be ridden: outside the optimiser, and first.

use crate::graph::{CauseIx, FaultGraph, QuestionIx, RedFlag, SignIx, Topic, Trigger};
use crate::inference::Posterior;
use crate::inference::evidence::Evidence;
use crate::knowledge::terms::Ride;

/// A do-not-ride cause speaks from this chance on, one ride in ten being too many. Judgement.
pub const STOP_FROM: f64 = 0.10;

/// The same of one that need not bring what is complained of, and is only likely to be there. Judgement.
const THERE_FROM: f64 = 0.20;

/// Do-not-ride causes none of which is so likely speak together from this chance on. Judgement; who sorts
/// the injured takes a false alarm in four for granted, lest a grave case be missed (American College of
/// Surgeons, Committee on Trauma, Resources for Optimal Care of the Injured Patient, from memory).
const TOGETHER_FROM: f64 = 0.20;

/// Where so large a part of what may bring a complaint asks for care, care is asked for. Judgement.
const NEARLY_ALL: f64 = 0.8;

/// A do-not-ride cause from this chance on is asked about before asking ends. Judgement.
const SUSPECTED_FROM: f64 = 0.03;

/// What is asked for safety alone takes no longer, in minutes. Judgement.
const SOON_DONE: f64 = 2.0;

/// A do-not-ride cause from this chance on is looked for before the ride. Judgement.
const LOOK_FROM: f64 = 0.05;

/// So many are named at most: who must look at everything looks at nothing.
const LOOKS: usize = 2;

/// A sign this frequent tells a cause when it is missing too.
const TELLTALE: f64 = 0.5;

/// The likeliest do-not-ride cause that nobody has looked for, and the question, soon answered, that tells most surely.
pub fn pressing(
    graph: &FaultGraph,
    posterior: &Posterior,
    evidence: &Evidence,
    possible: &[QuestionIx],
    without: &[QuestionIx],
) -> Option<(CauseIx, QuestionIx)> {
    let suspected = |c: &CauseIx| graph.cause(*c).ride == Ride::Stop && posterior.ranked_by(*c) >= SUSPECTED_FROM;
    posterior.ranking().into_iter().filter(suspected).find_map(|cause| {
        let telltale = telltale(graph, cause);
        if telltale.iter().any(|s| evidence.has_sign(*s)) {
            return None;
        }
        let asks = |q: &QuestionIx| {
            matches!(&graph.question(*q).topic, Topic::Signs(signs) if signs.iter().any(|s| telltale.contains(s)))
        };
        // Who could not tell is not asked the same thing in other words; the advice says that it is open.
        if without.iter().any(asks) {
            return None;
        }
        let quick = possible.iter().copied().filter(|q| graph.question(*q).minutes <= SOON_DONE && asks(q));
        // A spoke touched says more than a ping remembered.
        let surely = |q: &QuestionIx| {
            let Topic::Signs(signs) = &graph.question(*q).topic else { return 0.0 };
            let apart = |(s, d): (SignIx, [f64; 3])| d[1] + d[2] - otherwise(graph, posterior, s, cause);
            graph.signs_of(cause).filter(|(s, _)| signs.contains(s)).map(apart).fold(0.0, f64::max)
        };
        quick.max_by(|a, b| surely(a).total_cmp(&surely(b)).then(b.cmp(a))).map(|question| (cause, question))
    })
}

/// Signs that a cause nearly always shows.
fn telltale(graph: &FaultGraph, cause: CauseIx) -> Vec<SignIx> {
    graph.signs_of(cause).filter(|(_, d)| d[1] + d[2] >= TELLTALE).map(|(s, _)| s).collect()
}

/// Chance of a sign by whatever else may be there.
fn otherwise(graph: &FaultGraph, posterior: &Posterior, sign: SignIx, cause: CauseIx) -> f64 {
    let present = |c: CauseIx| posterior.present.get(c.index()).copied().unwrap_or(0.0);
    let others = graph.shown_by(sign).filter(|(c, _)| *c != cause);
    let none: f64 = others.map(|(c, d)| 1.0 - present(c) * (d[1] + d[2])).product();
    1.0 - none * (1.0 - graph.sign(sign).background)
}

/// Red flags raised by what was reported. "Can't tell" does not lower one.
pub fn red_flags<'g>(graph: &'g FaultGraph, evidence: &Evidence) -> Vec<&'g RedFlag> {
    graph.flags.iter().filter(|f| f.when.iter().any(|trigger| raised(evidence, trigger))).collect()
}

/// True if a trigger was reported.
pub fn raised(evidence: &Evidence, trigger: &Trigger) -> bool {
    match trigger {
        Trigger::Complaint(c) => evidence.events.iter().any(|e| e.complaint == *c && e.there > e.missing),
        Trigger::Value(c, pos, value) => evidence.events.iter().any(|e| {
            let told = e.facets.get(pos);
            e.complaint == *c
                && told.is_some_and(|t| {
                    let most = t.iter().copied().fold(0.0, f64::max);
                    t.get(*value).is_some_and(|x| *x == most && t.iter().filter(|y| **y == most).count() < t.len())
                })
        }),
        Trigger::Sign(s) => {
            evidence.signs.iter().any(|r| r.signs.contains(s) && r.likelihood[1].max(r.likelihood[2]) > r.likelihood[0])
        }
    }
}

/// Ride advice and the causes that give it, most likely first.
///
/// What forbids riding also counts by its presence, for it need not bring the
/// complaint to throw the rider; but only where the reports speak for it: what
/// is no likelier than on any bike stops nobody.
pub fn advice(graph: &FaultGraph, evidence: &Evidence, posterior: &Posterior) -> (Ride, Vec<CauseIx>) {
    let because = |ride: Ride, gives: &dyn Fn(CauseIx) -> bool| -> Vec<CauseIx> {
        let mut causes: Vec<CauseIx> =
            graph.cause_ixs().filter(|c| graph.cause(*c).ride == ride && gives(*c)).collect();
        causes.sort_by(|a, b| weight(posterior, *b).total_cmp(&weight(posterior, *a)));
        causes
    };
    let brings = |c: CauseIx| posterior.ranked_by(c) >= STOP_FROM;
    let stop = because(Ride::Stop, &|c| brings(c) || weight(posterior, c) >= THERE_FROM);
    if !stop.is_empty() || !red_flags(graph, evidence).is_empty() {
        return (Ride::Stop, stop);
    }
    let sum = |causes: &mut dyn Iterator<Item = CauseIx>| causes.map(|c| posterior.ranked_by(c)).sum::<f64>();
    let grave = |c: &CauseIx| graph.cause(*c).ride == Ride::Stop;
    if !posterior.brings.is_empty() && sum(&mut graph.cause_ixs().filter(grave)) >= TOGETHER_FROM {
        return (Ride::Stop, posterior.ranking().into_iter().filter(grave).take(LOOKS).collect());
    }
    let gently = because(Ride::Gently, &brings);
    if !gently.is_empty() {
        return (Ride::Gently, gently);
    }
    // No single one need be likely: of a weak brake nearly every cause asks for care.
    let careful = |c: &CauseIx| graph.cause(*c).ride != Ride::Ride;
    let all = sum(&mut graph.cause_ixs()) + posterior.nothing_listed();
    if posterior.brings.is_empty() || sum(&mut graph.cause_ixs().filter(careful)) <= NEARLY_ALL * all {
        return (Ride::Ride, gently);
    }
    let gently = |c: &CauseIx| graph.cause(*c).ride == Ride::Gently;
    (Ride::Gently, posterior.ranking().into_iter().filter(gently).take(1).collect())
}

/// Do-not-ride causes too unlikely to stop anybody and too grave to be left unsaid, likeliest first.
///
/// A good mechanic does not forbid the ride for one chance in twenty, but says what to look at before it.
pub fn look_first(graph: &FaultGraph, evidence: &Evidence, posterior: &Posterior) -> Vec<CauseIx> {
    if advice(graph, evidence, posterior).0 == Ride::Stop {
        return Vec::new();
    }
    // What was looked at needs no second look.
    let seen = |c: &CauseIx| telltale(graph, *c).iter().any(|s| evidence.has_sign(*s));
    let grave = |c: &CauseIx| graph.cause(*c).ride == Ride::Stop && weight(posterior, *c) >= LOOK_FROM && !seen(c);
    let mut causes: Vec<CauseIx> = graph.cause_ixs().filter(grave).collect();
    causes.sort_by(|a, b| weight(posterior, *b).total_cmp(&weight(posterior, *a)));
    causes.truncate(LOOKS);
    causes
}

/// Chance that a cause brings the complaint, or, where the reports speak for it, that it is there.
fn weight(posterior: &Posterior, c: CauseIx) -> f64 {
    let present = posterior.present.get(c.index()).copied().unwrap_or(0.0);
    if posterior.raised(c) { present.max(posterior.ranked_by(c)) } else { posterior.ranked_by(c) }
}
