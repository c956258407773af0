//! The choice of the next question over whole sittings, beside the same choice with every question weighed.
//!
//! `cargo bench --bench sittings` plays made riders to the end of the asking and times each choice
//! on the way, on one core.

use std::time::{Duration, Instant};

use knockwise::graph::FaultGraph;
use knockwise::graph::build::build;
use knockwise::inference::evidence::Evidence;
use knockwise::inference::infer;
use knockwise::inquiry::outcomes::Outcomes;
use knockwise::inquiry::{Situation, WEIGHED, inquire_weighing};
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::terms::Venue;
use knockwise::trial::world::World;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;

const SITTINGS: u64 = 100;
/// Questions in one sitting, at most.
const PATIENCE: usize = 25;

fn main() {
    let graph = build(&Knowledge::built_in().0);
    for at in [Venue::Home, Venue::Telephone, Venue::Bench] {
        let s = Situation::in_place(at);
        let states: Vec<Evidence> = (1..=SITTINGS).flat_map(|seed| states(&graph, s, seed)).collect();
        let ours = times(&graph, s, &states, WEIGHED);
        let all = times(&graph, s, &states, usize::MAX);
        println!("{at:?}: {} choices in {SITTINGS} sittings", states.len());
        for (of, hundredth) in [("median", 50), ("95th percentile", 95)] {
            let (ours, all) = (at_hundredth(&ours, hundredth), at_hundredth(&all, hundredth));
            let ratio = all.as_secs_f64() / ours.as_secs_f64();
            println!("  {of}: {ours:.1?}, every question weighed {all:.1?} ({ratio:.1} times as long)");
        }
    }
}

/// What is known at each choice of a sitting.
fn states(g: &FaultGraph, s: Situation, seed: u64) -> Vec<Evidence> {
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let world = World::arriving(g, &mut rng);
    let mut evidence = world.opening(g, s, 0.0, &mut rng);
    let (mut states, mut skipped) = (Vec::new(), Vec::new());
    for _ in 0..PATIENCE {
        let Ok(posterior) = infer(g, &evidence) else { break };
        states.push(evidence.clone());
        let Ok(inquiry) = inquire_weighing(g, &evidence, &posterior, s, &skipped, WEIGHED) else { break };
        let Some(proposal) = inquiry.proposals.first().filter(|_| inquiry.stop.is_none()) else { break };
        let told = world.answer(g, proposal.question, s, 0.0, &mut rng);
        let after = told.and_then(|n| Outcomes::reported(g, &evidence, proposal.question, s).all.into_iter().nth(n));
        match after {
            Some((_, after)) => evidence = after,
            None => skipped.push(proposal.question),
        }
    }
    states
}

/// How long each choice takes, in order of length.
fn times(g: &FaultGraph, s: Situation, states: &[Evidence], weighed: usize) -> Vec<Duration> {
    let time = |evidence: &Evidence| {
        let posterior = infer(g, evidence).ok()?;
        let start = Instant::now();
        let inquiry = inquire_weighing(g, evidence, &posterior, s, &[], weighed);
        let taken = start.elapsed();
        inquiry.ok().map(|_| taken)
    };
    let mut times: Vec<Duration> = states.iter().filter_map(time).collect();
    times.sort_unstable();
    times
}

fn at_hundredth(sorted: &[Duration], hundredth: usize) -> Duration {
    sorted.get(sorted.len() * hundredth / 100).copied().unwrap_or_default()
}
