//! A cause that does not come first even if all there is to be told is told as it alone would
//! show it: nobody will ever be sent to it.
//!
//! A mechanic at the bench reports: the complaint with the likeliest value of every facet, every
//! sign beyond doubt as it most often is with this cause, and the bike facts it hangs on. A cause
//! that brings several complaints must lead for one of them.

use std::collections::BTreeMap;

use super::Review;
use super::apart::{degrees, fact_given, facts_of, likeliest, shape};
use crate::graph::{CauseIx, ComplaintIx, FaultGraph, SignIx};
use crate::inference::evidence::{Event, Evidence, SignReport, read_value};
use crate::inference::{Posterior, infer};
use crate::knowledge::terms::Reporter;

pub(super) fn check(review: &mut Review<'_>) {
    let g = review.graph;
    let mut said: BTreeMap<&str, ()> = BTreeMap::new();
    for cause in g.cause_ixs() {
        let id = g.cause(cause).id.as_str();
        let Some(leader) = leader_instead(g, cause).filter(|_| !said.contains_key(id)) else { continue };
        said.insert(id, ());
        say(review, cause, &leader);
    }
}

/// Who leads instead.
struct Leader {
    cause: CauseIx,
    chance: f64,
    own: f64,
    complaint: Option<ComplaintIx>,
}

fn leader_instead(g: &FaultGraph, cause: CauseIx) -> Option<Leader> {
    let mut complaints: Vec<(ComplaintIx, f64)> = g.brought_by(cause).map(|(c, f)| (c, f.strength)).collect();
    complaints.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut tries: Vec<Option<ComplaintIx>> = complaints.into_iter().map(|(c, _)| Some(c)).collect();
    if tries.is_empty() {
        tries.push(None);
    }
    let mut first = None;
    for complaint in tries {
        // Reports that contradict each other are another rule's business.
        let Ok(posterior) = infer(g, &as_shown(g, cause, complaint)) else { continue };
        let leader = leading(g, &posterior, cause, complaint)?;
        first.get_or_insert(leader);
    }
    first
}

/// The leader, unless it is the cause itself, at either end.
fn leading(g: &FaultGraph, posterior: &Posterior, cause: CauseIx, complaint: Option<ComplaintIx>) -> Option<Leader> {
    let leader = posterior.ranking().first().copied()?;
    let (chance, own) = (posterior.ranked_by(leader), posterior.ranked_by(cause));
    (g.cause(leader).id != g.cause(cause).id).then_some(Leader { cause: leader, chance, own, complaint })
}

/// All that a mechanic would report of a bike with this cause and no other.
fn as_shown(g: &FaultGraph, cause: CauseIx, complaint: Option<ComplaintIx>) -> Evidence {
    let mut evidence = Evidence::default();
    for fact in facts_of(g, cause) {
        evidence.know(g, fact, likeliest(&fact_given(g, cause, fact)));
    }
    if let Some(complaint) = complaint {
        let mut event = Event::certain(complaint);
        for pos in 0..g.complaint(complaint).facets.len() {
            let value = likeliest(&shape(g, cause, complaint, pos));
            event.facets.insert(pos, read_value(g, complaint, pos, value, Reporter::Mechanic, true));
        }
        evidence.events.push(event);
    }
    evidence.signs = g.sign_ixs().map(|sign| certain(g, cause, sign)).collect();
    evidence
}

fn certain(g: &FaultGraph, cause: CauseIx, sign: SignIx) -> SignReport {
    let [none, slight, strong] = degrees(g, Some(cause), sign);
    let likelihood = match (none < slight + strong, g.sign(sign).degrees, slight > strong) {
        (false, ..) => [1.0, 0.0, 0.0],
        (true, true, true) => [0.0, 1.0, 0.0],
        (true, true, false) => [0.0, 0.0, 1.0],
        (true, false, _) => [0.0, 1.0, 1.0],
    };
    SignReport { signs: vec![sign], by: Reporter::Mechanic, likelihood }
}

fn say(review: &mut Review<'_>, cause: CauseIx, leader: &Leader) {
    let g = review.graph;
    let (own, other) = (&g.cause(cause).id, &g.cause(leader.cause).id);
    let about = leader.complaint.map(|c| format!(" for `{}`", g.complaint(c).id)).unwrap_or_default();
    let headline = format!("`{own}` does not lead{about} even with all told as it alone would show it");
    let nearest = format!("`{other}` leads with {:.2}, it has {:.2}", leader.chance, leader.own);
    let mend = format!("give it a sign that `{other}` lacks, or set right the chances that the two share");
    let at = review.cause(own);
    review.say("never-leads", at, headline, Some(nearest), mend);
}
