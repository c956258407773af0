//! Remedies as repairs of the outlook, and the order that costs the fewest expected minutes.
//!
//! A repair begins with a look at the part; the work is only done where the look finds the fault.
//! What is done at the front mends nothing at the rear.

use super::outlook::{Outlook, Repair, State};
use super::subject::Subject;
use super::{Situation, place_of};
use crate::graph::{End, FaultGraph, RemedyIx};
use crate::knowledge::terms::{Reporter, Venue};

/// Minutes that a workshop costs a rider: two trips, the labour paid for, days without the bike. Judgement.
const HAND_OVER_RIDER: f64 = 180.0;
/// Minutes that handing on costs a mechanic. Judgement.
const HAND_OVER_MECHANIC: f64 = 120.0;
/// Minutes by which what cannot be undone is put back. Judgement.
const IRREVERSIBLE: f64 = 5.0;
/// Minutes to look whether a fault is there, before it is mended. Judgement.
pub const LOOK: f64 = 4.0;
/// The share of a part's price that weighs on a mechanic: the customer pays, and it may go back on the shelf. Judgement.
const PRICE_MECHANIC: f64 = 0.5;
/// How many remedies are listed at most.
const LISTED: usize = 8;

/// A remedy in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// The remedy.
    pub remedy: RemedyIx,
    /// The end of the bike at which it is done, if it is done at one.
    pub end: Option<End>,
    /// Chance that it ends the complaint, given that those before it did not.
    pub cures: f64,
    /// Minutes, with parts and what cannot be undone.
    pub minutes: f64,
    /// False if it is better handed over: it cannot be done here, or does not pay.
    pub here: bool,
}

/// Minutes until somebody else has cured it.
pub fn hand_over(s: Situation) -> f64 {
    if s.by == Reporter::Rider { HAND_OVER_RIDER } else { HAND_OVER_MECHANIC }
}

/// Every repair that can be done here, with its remedy and end.
pub fn repairs(subject: &Subject, s: Situation) -> Vec<(Repair, RemedyIx, Option<End>)> {
    let mut all: Vec<(Repair, RemedyIx, Option<End>)> = Vec::new();
    for (group, (end, remedies)) in subject.cures.iter().enumerate() {
        for (remedy, works) in remedies.iter().filter(|(r, _)| possible(subject.graph, *r, s)) {
            match all.iter_mut().find(|(_, r, e)| r == remedy && e == end) {
                Some((repair, ..)) => repair.works.push((group, *works)),
                None => {
                    let whole = cost(subject.graph, *remedy, s);
                    let look = whole.min(LOOK);
                    let place = place_of(&subject.graph.remedy(*remedy).tools);
                    let repair = Repair { look, work: whole - look, place, works: vec![(group, *works)] };
                    all.push((repair, *remedy, *end));
                }
            }
        }
    }
    all
}

/// What is worth doing here, in the order of the plan; then, for whoever it is handed to, the
/// remedies of what is left, the likeliest cure first.
pub fn listed(
    subject: &Subject,
    s: Situation,
    outlook: &Outlook,
    state: &State,
    order: &[usize],
    repairs: &[(Repair, RemedyIx, Option<End>)],
) -> Vec<Planned> {
    let mut at = state.clone();
    let mut all = Vec::new();
    for repair in order {
        let Some((entry, remedy, end)) = repairs.get(*repair) else { continue };
        let after = outlook.after_mending(&at, *repair).1;
        let cures = 1.0 - outlook.chance(&after) / outlook.chance(&at);
        all.push(Planned { remedy: *remedy, end: *end, cures, minutes: entry.look + entry.work, here: true });
        at = after;
    }
    let mut rest: Vec<Planned> = Vec::new();
    for (group, (end, remedies)) in subject.cures.iter().enumerate() {
        let behind = subject.accounts.iter().filter(|a| a.causes.contains(&group)).map(|a| a.chance);
        let chance: f64 = behind.sum();
        for (remedy, works) in remedies {
            match rest.iter_mut().find(|p| p.remedy == *remedy && p.end == *end) {
                Some(known) => known.cures += chance * works,
                None => rest.push(Planned {
                    remedy: *remedy,
                    end: *end,
                    cures: chance * works,
                    minutes: cost(subject.graph, *remedy, s),
                    here: false,
                }),
            }
        }
    }
    rest.retain(|p| !all.iter().any(|a| a.remedy == p.remedy && a.end == p.end));
    rest.sort_by(|a, b| b.cures.total_cmp(&a.cures));
    all.extend(rest);
    all.truncate(LISTED);
    all
}

/// Minutes of a remedy, with parts and what cannot be undone.
pub fn cost(graph: &FaultGraph, remedy: RemedyIx, s: Situation) -> f64 {
    let entry = graph.remedy(remedy);
    let price = entry.price * if s.by == Reporter::Rider { 1.0 } else { PRICE_MECHANIC };
    entry.minutes + price + if entry.undoes { 0.0 } else { IRREVERSIBLE }
}

/// True if it can be done here.
pub fn possible(graph: &FaultGraph, remedy: RemedyIx, s: Situation) -> bool {
    let places = &graph.remedy(remedy).at;
    // On the telephone repairs are planned for where they will be done.
    s.at == Venue::Telephone || places.contains(&s.at) || (s.at == Venue::Bench && places.contains(&Venue::Home))
}
