//! Two causes that bring the same complaint, are cured by different remedies, and that no
//! single answer tells apart: the rider is sent to mend by chance.
//!
//! The act under `check` does not count: it confirms a cause, but its outcome cannot be answered.

use std::collections::{BTreeMap, BTreeSet};

use super::Review;
use super::apart::{Item, degrees, distance, fact_given, facts_of, named, shape, sharpness};
use crate::graph::{CauseIx, ComplaintIx, FactIx, FaultGraph, RemedyIx};
use crate::words::shortened;

/// An answer that differs by less than this does not tell two causes apart. Judgement: three
/// answers in ten go another way.
const APART: f64 = 0.3;

pub(super) fn check(review: &mut Review<'_>) {
    let g = review.graph;
    let about: Vec<About> = g.cause_ixs().map(|c| About::of(g, c)).collect();
    // Each pair once, under the complaint it most often shares.
    let mut found: BTreeMap<(&str, &str), (f64, Twins)> = BTreeMap::new();
    for complaint in g.complaint_ixs() {
        let firings: Vec<(CauseIx, f64)> =
            g.firings(complaint).map(|(c, f)| (c, g.cause(c).base * f.strength)).collect();
        for (i, (a, often)) in firings.iter().enumerate() {
            for (b, too) in firings.get(i + 1..).unwrap_or_default() {
                let Some(twins) = twins(g, &about, complaint, *a, *b) else { continue };
                let pair = (g.cause(*a).id.as_str(), g.cause(*b).id.as_str());
                let often = often.min(*too);
                let known = found.entry(pair).or_insert_with(|| (often, twins.clone()));
                if often > known.0 {
                    *known = (often, twins);
                }
            }
        }
    }
    for (_, twins) in found.into_values() {
        say(review, &twins);
    }
}

/// What is compared of a cause again and again.
struct About {
    cures: BTreeSet<RemedyIx>,
    facts: BTreeMap<FactIx, Vec<f64>>,
}

impl About {
    fn of(g: &FaultGraph, cause: CauseIx) -> Self {
        Self {
            cures: g.remedies_of(cause).map(|(r, _)| r).collect(),
            facts: facts_of(g, cause).map(|f| (f, fact_given(g, cause, f))).collect(),
        }
    }
}

#[derive(Debug, Clone)]
struct Twins {
    complaint: ComplaintIx,
    pair: [CauseIx; 2],
    nearest: Option<(f64, Item)>,
}

fn twins(g: &FaultGraph, about: &[About], complaint: ComplaintIx, a: CauseIx, b: CauseIx) -> Option<Twins> {
    let (one, two) = (g.cause(a), g.cause(b));
    let (ours, theirs) = (about.get(a.index())?, about.get(b.index())?);
    let other_end = one.end.is_some() && two.end.is_some() && one.end != two.end;
    if one.id == two.id || other_end || ours.cures == theirs.cures {
        return None;
    }
    let mut nearest: Option<(f64, Item)> = None;
    let mut apart = |d: f64, item: Item| {
        if d > nearest.map_or(0.0, |(n, _)| n) {
            nearest = Some((d, item));
        }
        d >= APART
    };
    for (fact, here) in ours.facts.iter().chain(&theirs.facts) {
        let other = if ours.facts.contains_key(fact) { &theirs.facts } else { &ours.facts };
        let there = other.get(fact).unwrap_or(&g.fact(*fact).shares);
        if apart(distance(here, there), Item::Fact(*fact)) {
            return None;
        }
    }
    for (sign, _) in g.signs_of(a).chain(g.signs_of(b)) {
        let d = distance(&degrees(g, Some(a), sign), &degrees(g, Some(b), sign));
        if apart(d * sharpness(g, sign), Item::Sign(sign)) {
            return None;
        }
    }
    for pos in 0..g.complaint(complaint).facets.len() {
        let [ours, theirs] = [a, b].map(|cause| named(g, complaint, pos, &shape(g, cause, complaint, pos)));
        let d = distance(&ours, &theirs);
        if apart(d, Item::Facet(complaint, pos)) {
            return None;
        }
    }
    Some(Twins { complaint, pair: [a, b], nearest })
}

fn say(review: &mut Review<'_>, twins: &Twins) {
    let g = review.graph;
    let [a, b] = twins.pair;
    // The later entry is the one to mend: in a folder laid over the built-in knowledge, the author's.
    let place = |c: CauseIx| review.cause(&g.cause(c).id).map(|id| (review.knowledge.place(id), id));
    let order = |c: CauseIx| {
        let file = place(c).and_then(|(p, _)| p).map(|p| (review.knowledge.rank_of(&p.file), p.line));
        file.unwrap_or_default()
    };
    let (a, b) = if order(a) > order(b) { (b, a) } else { (a, b) };
    let (one, two) = (g.cause(a), g.cause(b));
    let headline = format!(
        "`{}` and `{}` bring `{}` alike and need different cures; no answer tells them apart",
        one.id,
        two.id,
        g.complaint(twins.complaint).id
    );
    let nearest = twins.nearest.map(|(d, item)| match item {
        Item::Fact(f) => format!("`{}` differs by {d:.2}", g.fact(f).id),
        Item::Sign(s) => format!("`{}` differs by {d:.2}", g.sign(s).id),
        Item::Facet(c, pos) => {
            let facet = g.complaint(c).facets.get(pos).map_or("", |u| g.facet(u.facet).id.as_str());
            format!("`{}.{facet}` differs by {d:.2}", g.complaint(c).id)
        }
    });
    let mend = format!(
        "make a sign of what tells them apart, with chances that differ by {APART} or more: \"{}\" or \"{}\"",
        shortened(&one.check, 60),
        shortened(&two.check, 60)
    );
    let at = place(b).map(|(_, id)| id);
    review.say("near-twin", at, headline, nearest, mend);
}
