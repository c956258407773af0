//! One sitting with a made bike, from the first words to the cure.

use rand::Rng;

use super::world::World;
use crate::graph::{CauseIx, FaultGraph, QuestionIx};
use crate::inference::evidence::{Evidence, Repair};
use crate::inference::{Posterior, Trouble, infer};
use crate::inquiry::outcomes::Outcomes;
use crate::inquiry::{Inquiry, Situation, inquire, remedies, safety};
use crate::knowledge::terms::Ride;

/// How questions are chosen and when asking ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Policy {
    /// As the program does.
    Ours,
    /// No question: repairs in the order of the plan.
    RepairsAlone,
    /// Most information first, until the leading cause is this likely.
    Entropy(f64),
}

/// What came of a sitting.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Played {
    /// Questions asked before the first repair.
    pub questions: usize,
    /// Minutes to the cure, handing over included.
    pub minutes: f64,
    /// The leading cause, and its chance, when asking first ended.
    pub leading: Option<(usize, f64)>,
    /// Whether a cause that brings the complaint was first.
    pub first: bool,
    /// Whether all that bring it were within the first three, or four where there are two.
    pub within: bool,
    /// Whether the first remedy cures one of them.
    pub remedy: bool,
    /// Chances told of causes, and whether they bring the complaint.
    pub forecasts: Vec<(f64, bool)>,
    /// Ride advice when asking first ended.
    pub ride: Option<Ride>,
    /// What is to be looked at before the ride then.
    pub look_first: Vec<CauseIx>,
}

/// Questions in one sitting, at most.
const PATIENCE: usize = 25;
/// Repairs in one sitting, at most.
const TRIES: usize = 8;
/// How surely a look that finds nothing clears a cause.
const LOOK_CLEARS: f64 = 0.95;
/// Chances below this are not counted as told.
const TOLD_FROM: f64 = 0.02;

/// Plays a sitting to its end.
///
/// # Errors
/// As [`infer`].
pub fn play(
    g: &FaultGraph,
    world: &World,
    opening: Evidence,
    policy: Policy,
    s: Situation,
    worse: f64,
    rng: &mut impl Rng,
) -> Result<Played, Trouble> {
    let mut evidence = opening;
    let mut played = Played::default();
    let mut skipped: Vec<QuestionIx> = Vec::new();
    let mut faults: Vec<CauseIx> = world.complaints.first().map(|t| t.by.clone()).unwrap_or_default();
    let background = world.complaints.first().is_none_or(|t| t.background);
    let (mut asked, mut tried) = (0, 0);
    let mut tools_out = false;
    let mut fetch = |tools: &[String], minutes: &mut f64| {
        if !tools.is_empty() && !tools_out {
            *minutes += crate::inquiry::fetching_tools(s.at);
            tools_out = true;
        }
    };
    loop {
        let posterior = infer(g, &evidence)?;
        let inquiry = inquire(g, &evidence, &posterior, s, &skipped)?;
        let question = if asked < PATIENCE { choose(policy, &inquiry, &posterior) } else { None };
        if let Some(question) = question {
            asked += 1;
            fetch(&g.question(question).tools, &mut played.minutes);
            played.minutes += crate::inquiry::minutes(g, question);
            let told = world.answer(g, question, s, worse, rng);
            let after = told.and_then(|n| Outcomes::reported(g, &evidence, question, s).all.into_iter().nth(n));
            match after {
                // Who contradicts himself is asked no more about it.
                Some((_, after)) if infer(g, &after).is_ok() => evidence = after,
                _ => skipped.push(question),
            }
            continue;
        }
        if tried == 0 {
            played.questions = asked;
            note(g, world, &evidence, &posterior, &inquiry, &mut played);
        }
        let next = inquiry.remedies.first().filter(|p| p.here && tried < TRIES);
        let Some(planned) = next else {
            played.minutes += remedies::hand_over(s);
            return Ok(played);
        };
        tried += 1;
        fetch(&g.remedy(planned.remedy).tools, &mut played.minutes);
        let look = planned.minutes.min(remedies::LOOK);
        played.minutes += look;
        let meant: Vec<(CauseIx, f64)> = g
            .cured_by(planned.remedy)
            .filter(|(c, _)| g.cause(*c).end == planned.end)
            .map(|(c, works)| (c, works.by(s.by)))
            .collect();
        let found = meant.iter().any(|(c, _)| world.present.contains(c));
        if found {
            played.minutes += planned.minutes - look;
            faults.retain(|f| !meant.iter().any(|(c, works)| c == f && rng_bool(rng, *works)));
            if faults.is_empty() && !background {
                return Ok(played);
            }
        }
        for (cause, works) in meant {
            evidence.repairs.push(Repair { cause, works: if found { works } else { LOOK_CLEARS }, event: 0 });
        }
    }
}

fn rng_bool(rng: &mut impl Rng, chance: f64) -> bool {
    use rand::RngExt;
    rng.random::<f64>() < chance
}

fn choose(policy: Policy, inquiry: &Inquiry, posterior: &Posterior) -> Option<QuestionIx> {
    match policy {
        Policy::Ours => inquiry.stop.is_none().then(|| inquiry.proposals.first()).flatten().map(|p| p.question),
        Policy::RepairsAlone => None,
        Policy::Entropy(sure) => {
            let leading = posterior.ranking().first().map_or(0.0, |c| posterior.ranked_by(*c));
            let best = inquiry.proposals.iter().max_by(|a, b| a.gain_bits.total_cmp(&b.gain_bits));
            best.filter(|p| leading < sure && p.gain_bits > 0.001).map(|p| p.question)
        }
    }
}

/// Takes down how things stood when asking ended.
fn note(
    g: &FaultGraph,
    world: &World,
    evidence: &Evidence,
    posterior: &Posterior,
    inquiry: &Inquiry,
    played: &mut Played,
) {
    let by = world.complaints.first().map(|t| t.by.as_slice()).unwrap_or_default();
    let ranking = posterior.ranking();
    let within = if by.len() > 1 { 4 } else { 3 };
    played.leading = ranking.first().map(|c| (c.index(), posterior.ranked_by(*c)));
    played.first = ranking.first().is_some_and(|c| by.contains(c));
    played.within = !by.is_empty() && by.iter().all(|c| ranking.iter().take(within).any(|r| r == c));
    played.remedy = inquiry
        .remedies
        .first()
        .is_some_and(|r| g.cured_by(r.remedy).any(|(c, _)| by.contains(&c) && g.cause(c).end == r.end));
    let told = ranking.iter().map(|c| (posterior.ranked_by(*c), by.contains(c)));
    played.forecasts = told.take_while(|(p, _)| *p >= TOLD_FROM).collect();
    played.ride = Some(safety::advice(g, evidence, posterior).0);
    played.look_first = safety::look_first(g, evidence, posterior);
}

/// Minutes of somebody who knows what it is: the right remedies, and handing over where there is none.
pub fn knowing(g: &FaultGraph, world: &World, s: Situation) -> f64 {
    let Some(truth) = world.complaints.first() else { return 0.0 };
    let cost = |c: &CauseIx| {
        let each = g
            .remedies_of(*c)
            .filter(|(r, _)| remedies::possible(g, *r, s))
            .map(|(r, works)| remedies::cost(g, r, s) + (1.0 - works.by(s.by)) * remedies::hand_over(s));
        each.fold(remedies::hand_over(s), f64::min)
    };
    let mended: f64 = truth.by.iter().map(cost).sum();
    let outside = if truth.background { remedies::hand_over(s) } else { 0.0 };
    (mended + outside).min(remedies::hand_over(s))
}
