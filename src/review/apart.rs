//! How far one answer tells two causes apart.
//!
//! The measure is the distance of the two distributions of the answer (total variation): by how
//! much one answer betters a guess between the two, 0 for nothing and 1 for certainty. It is taken
//! of the answer as it is reported by whoever reports it best of those who may be asked: a sign
//! that everybody overlooks tells little, however much its chances differ. A ratio of chances
//! would count what is hardly ever seen, and several small differences added up would count what
//! is only spread of judgement.

use crate::graph::{CauseIx, ComplaintIx, FactIx, FaultGraph, SignIx};
use crate::inference::evidence::{Evidence, read_value, table_for};
use crate::inference::problem::{fact_shares, prior};
use crate::knowledge::terms::Reporter;

/// Something that can be asked, with what it is called.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Item {
    /// A bike fact.
    Fact(FactIx),
    /// A facet, by its position in a complaint.
    Facet(ComplaintIx, usize),
    /// A sign.
    Sign(SignIx),
}

/// Total variation distance of two distributions.
pub(super) fn distance(p: &[f64], q: &[f64]) -> f64 {
    p.iter().zip(q).map(|(x, y)| (x - y).abs()).sum::<f64>() / 2.0
}

/// Chances of no, of slight and of strong with this cause there and no other.
pub(super) fn degrees(g: &FaultGraph, cause: Option<CauseIx>, sign: SignIx) -> [f64; 3] {
    let b = g.sign(sign).background;
    let shown = cause.and_then(|c| g.signs_of(c).find(|(s, _)| *s == sign)).map(|(_, d)| d);
    let Some([none, slight, strong]) = shown else { return [1.0 - b, 0.0, b] };
    // The background adds to what the cause leaves out, and as its plain kind.
    [none * (1.0 - b), slight, strong + none * b]
}

/// How far the best answer to a question about a sign lies from the other answer.
pub(super) fn sharpness(g: &FaultGraph, sign: SignIx) -> f64 {
    let asked = g.questions_on(sign).flat_map(|q| {
        let question = g.question(q);
        let may = |who: &&Reporter| question.by.is_empty() || question.by.contains(who);
        let who = [Reporter::Rider, Reporter::Mechanic].iter().filter(may).copied().collect::<Vec<_>>();
        question.at.iter().flat_map(move |at| who.clone().into_iter().map(move |by| table_for(g, sign, by, *at, true)))
    });
    asked.map(|table| distance(&table.there, &table.missing)).fold(0.0, f64::max)
}

/// Chances of the values of a facet as a mechanic names them.
pub(super) fn named(g: &FaultGraph, complaint: ComplaintIx, pos: usize, shape: &[f64]) -> Vec<f64> {
    let chance = |value| {
        let read = read_value(g, complaint, pos, value, Reporter::Mechanic, true);
        read.iter().zip(shape).map(|(r, p)| r * p).sum()
    };
    (0..shape.len()).map(chance).collect()
}

/// Distribution of a facet if this cause fires the complaint.
pub(super) fn shape(g: &FaultGraph, cause: CauseIx, complaint: ComplaintIx, pos: usize) -> Vec<f64> {
    let own = g.brought_by(cause).find(|(c, _)| *c == complaint).and_then(|(_, f)| f.shapes.get(pos));
    let usual = || g.complaint(complaint).facets.get(pos).map(|u| &u.shares);
    own.or_else(usual).cloned().unwrap_or_default()
}

/// Distribution of a bike fact on bikes that have this cause.
pub(super) fn fact_given(g: &FaultGraph, cause: CauseIx, fact: FactIx) -> Vec<f64> {
    let shares = &g.fact(fact).shares;
    let joint = (0..shares.len()).map(|value| {
        let mut known = Evidence::default();
        known.know(g, fact, value);
        prior(g, &known, &fact_shares(g, &known), cause) * shares.get(value).unwrap_or(&0.0)
    });
    let joint: Vec<f64> = joint.collect();
    let total: f64 = joint.iter().sum();
    joint.iter().map(|p| if total > 0.0 { p / total } else { 0.0 }).collect()
}

/// Facts on which a cause hangs.
pub(super) fn facts_of(g: &FaultGraph, cause: CauseIx) -> impl Iterator<Item = FactIx> {
    let cause = g.cause(cause);
    cause.fits.iter().map(|(f, _)| *f).chain(cause.odds.iter().map(|(f, ..)| *f))
}

/// The likeliest of a distribution's places.
pub(super) fn likeliest(p: &[f64]) -> usize {
    p.iter().enumerate().max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(&a.0))).map_or(0, |(i, _)| i)
}
