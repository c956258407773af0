//! A sign, facet or bike fact that is much the same whatever is wrong: asking for it tells nothing.

use std::collections::BTreeMap;

use super::Review;
use super::apart::{degrees, distance};

/// What differs by less than this from the background under every cause, and is not even made
/// [`TIMES`] as frequent, tells nothing. Judgement: one answer in ten goes another way.
const BLUNT: f64 = 0.1;
/// What is rare and becomes so much more frequent tells something when it is there. Judgement.
const TIMES: f64 = 3.0;

pub(super) fn check(review: &mut Review<'_>) {
    let (g, k) = (review.graph, review.knowledge);
    // By sign, whatever its end: how far a cause takes it from what is usual.
    let mut reach: BTreeMap<&str, f64> = BTreeMap::new();
    for sign in g.sign_ixs() {
        let usual = degrees(g, None, sign);
        let far = g.shown_by(sign).map(|(c, _)| degrees(g, Some(c), sign)).map(|with| {
            let often = (1.0 - with[0]) >= TIMES * (1.0 - usual[0]);
            if often { 1.0 } else { distance(&with, &usual) }
        });
        let far = far.fold(0.0, f64::max);
        let known = reach.entry(g.sign(sign).root.as_str()).or_default();
        *known = known.max(far);
    }
    for (sign, far) in reach.into_iter().filter(|(_, far)| *far < BLUNT) {
        let headline =
            format!("sign `{sign}` is there in {} of 100 more, at most, than with nothing wrong", percent(far));
        let at = k.signs.iter().map(|s| &s.id).find(|id| id.value == sign);
        let mend = "raise its chance under a cause that shows it, lower its background, or delete it".to_owned();
        review.say("blunt-item", at, headline, None, mend);
    }
    for complaint in g.complaint_ixs() {
        for (pos, usage) in g.complaint(complaint).facets.iter().enumerate() {
            let far = |shape: Option<&Vec<f64>>| shape.map_or(0.0, |s| distance(s, &usage.shares));
            let far = g.firings(complaint).map(|(_, f)| far(f.shapes.get(pos))).fold(0.0, f64::max);
            if far < BLUNT {
                let facet = &g.facet(usage.facet).id;
                let id = &g.complaint(complaint).id;
                let headline = format!(
                    "facet `{facet}` of `{id}` comes out alike, but for {} of 100, under every cause",
                    percent(far)
                );
                let entry = k.complaints.iter().find(|c| c.id.value == *id);
                let at = entry.and_then(|c| c.facets.iter().find(|f| f.value == *facet));
                let mend = "say under a cause how it comes out there, or take it from the complaint".to_owned();
                review.say("blunt-item", at, headline, None, mend);
            }
        }
    }
    for fact in g.fact_ixs() {
        let hangs =
            g.causes.iter().any(|c| c.fits.iter().any(|(f, _)| *f == fact) || c.odds.iter().any(|(f, ..)| *f == fact));
        if !hangs && !g.complaints.iter().any(|c| c.needs.iter().any(|(f, _)| *f == fact)) {
            let id = &g.fact(fact).id;
            let at = k.facts.iter().map(|f| &f.id).find(|i| i.value == *id);
            let mend = "name it under `fits` or `odds` of a cause, or delete it".to_owned();
            review.say("blunt-item", at, format!("nothing hangs on the bike fact `{id}`"), None, mend);
        }
    }
}

fn percent(p: f64) -> f64 {
    (p * 100.0).round()
}
