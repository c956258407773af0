//! Trial: the knowledge played against made bikes, to see how well it finds what is wrong.
//!
//! Bikes with one to three faults are made from the knowledge (or from one whose numbers are moved),
//! a made rider tells of them and answers, and the program asks, stops and mends. Same seed, same
//! report, on any number of cores.
//!
//! Reading order: [`world`] (a bike and its rider), [`play`](mod@play) (a sitting), [`measures`]
//! (what the sittings say), this file (many of them).

pub mod measures;
pub mod play;
pub mod world;

use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;
use rayon::prelude::*;

use crate::graph::FaultGraph;
use crate::inference::Trouble;
use crate::inquiry::Situation;
use play::{Played, Policy, knowing, play};
use world::World;

/// What is tried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// How many bikes.
    pub sittings: usize,
    /// Where chance begins.
    pub seed: u64,
    /// Who answers, and where.
    pub situation: Situation,
    /// Standard deviation of the world's numbers from the book's, in natural log-odds.
    pub error: f64,
    /// Chance that an answer is any answer at all.
    pub worse: f64,
    /// Whether the other policies are played too, for comparison.
    pub compare: bool,
}

/// One bike with what came of it.
#[derive(Debug, Clone)]
pub struct Sitting {
    /// The bike.
    pub world: World,
    /// As the program does.
    pub ours: Played,
    /// Minutes of who knows what it is.
    pub knowing: f64,
    /// Minutes of repairs alone.
    pub repairs_alone: f64,
    /// Minutes of most information first, by threshold of [`THRESHOLDS`].
    pub entropy: [f64; 3],
}

/// How sure the leading cause must be for asking by information to end.
pub const THRESHOLDS: [f64; 3] = [0.6, 0.8, 0.95];

/// Plays all sittings; `done` is called after each.
///
/// # Errors
/// As [`crate::inference::infer`].
pub fn run(g: &FaultGraph, setting: Setting, done: impl Fn() + Sync) -> Result<Vec<Sitting>, Trouble> {
    let mut shaking = seeded(setting.seed, 0);
    let mut normal = || {
        // G. E. P. Box and M. E. Muller, 1958.
        let (u, v): (f64, f64) = (shaking.random(), shaking.random());
        setting.error * (-2.0 * (1.0 - u).ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    };
    let truth = if setting.error > 0.0 { g.shaken(&mut normal) } else { g.clone() };
    (0..setting.sittings as u64)
        .into_par_iter()
        .map(|n| {
            let sitting = sitting(g, &truth, setting, n + 1);
            done();
            sitting
        })
        .collect()
}

fn sitting(g: &FaultGraph, truth: &FaultGraph, setting: Setting, n: u64) -> Result<Sitting, Trouble> {
    let s = setting.situation;
    let mut rng = seeded(setting.seed, n);
    let world = World::arriving(truth, &mut rng);
    let opening = world.opening(g, s, setting.worse, &mut rng);
    // Every policy meets the same rider in the same mood.
    let with = |policy| {
        let mut rng = seeded(setting.seed ^ 0x5eed, n);
        play(g, &world, opening.clone(), policy, s, setting.worse, &mut rng)
    };
    let ours = with(Policy::Ours)?;
    let minutes = |policy| if setting.compare { with(policy).map(|p| p.minutes) } else { Ok(0.0) };
    let repairs_alone = minutes(Policy::RepairsAlone)?;
    let [a, b, c] = THRESHOLDS;
    let entropy = [minutes(Policy::Entropy(a))?, minutes(Policy::Entropy(b))?, minutes(Policy::Entropy(c))?];
    let knowing = knowing(g, &world, s);
    Ok(Sitting { world, ours, knowing, repairs_alone, entropy })
}

fn seeded(seed: u64, n: u64) -> Pcg64Mcg {
    Pcg64Mcg::seed_from_u64(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(n))
}
