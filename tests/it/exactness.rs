//! The engine against the judge, on thousands of made networks.

use knockwise::inference::accounts::accounts;
use knockwise::inference::exact;
use knockwise::inference::exact::{Trouble, solve};
use knockwise::inference::problem::{Item, Link, Mode, Prior, Problem};
use num_rational::BigRational;
use rand::{RngExt, SeedableRng};
use rand_pcg::Pcg64Mcg;

use crate::brute::{self, judge};

const NETWORKS: u64 = 2500;

/// Anything from the rarest to the nearly certain, on a scale of odds.
fn chance(rng: &mut Pcg64Mcg) -> f64 {
    match rng.random_range(0..6) {
        0 => 1e-9,
        1 => 0.999_999,
        _ => rng.random_range(0.001..0.999),
    }
}

fn rare(rng: &mut Pcg64Mcg) -> f64 {
    10f64.powf(rng.random_range(-9.0..-0.3))
}

fn level_chances(rng: &mut Pcg64Mcg, levels: bool) -> [f64; 3] {
    let p = chance(rng);
    let split = if levels { rng.random_range(0.05..0.95) } else { 0.0 };
    [1.0 - p, p * split, p * (1.0 - split)]
}

fn made(seed: u64) -> Problem {
    let mut rng = Pcg64Mcg::seed_from_u64(seed);
    let rng = &mut rng;
    let n = rng.random_range(1..=5);
    let events = rng.random_range(0..=2);
    let items = events + rng.random_range(0..=4);
    let mut problem = Problem { causes: Vec::new(), items: Vec::new(), events };
    for _ in 0..n {
        let p = rare(rng);
        problem.causes.push(Prior { absent: 1.0 - p, live: p, repaired: None });
    }
    for index in 0..items {
        let told = rng.random_range(0.0..1.0);
        let weights = match rng.random_range(0..6) {
            0 => [1.0, 0.0, 0.0],
            1 | 2 => [0.0, 0.0, 1.0],
            3 => [told, 0.0, 1.0 - told],
            4 => [told, 1.0 - told, 1.0 - told],
            _ if index < events => [0.0, 1.0, 1.0],
            _ => [0.02, 0.15, 0.7],
        };
        // A complaint of which no facet was told has no middle level.
        let levels = rng.random_bool(0.6) && !(index < events && weights[1] == weights[2]);
        let b = rare(rng);
        let background = if levels { [1.0 - b, b * 0.7, b * 0.3] } else { [1.0 - b, 0.0, b] };
        let links = (0..n)
            .filter_map(|cause| {
                let linked = rng.random_bool(0.6);
                if linked { Some(Link { cause, chances: level_chances(rng, levels) }) } else { None }
            })
            .collect();
        problem.items.push(Item { background, links, weights });
    }
    for event in 0..events {
        if rng.random_bool(0.4) {
            let cause = rng.random_range(0..n);
            problem.repair(cause, rng.random_range(0.1..0.95), event);
        }
    }
    problem
}

fn close(got: f64, joint: &BigRational, evidence: &BigRational, what: &str, seed: u64) {
    let want = joint / evidence;
    let got = brute::exact(got);
    let difference = if got > want { &got - &want } else { &want - &got };
    let allowed = &want * brute::exact(1e-12) + brute::exact(1e-300);
    assert!(difference <= allowed, "network {seed}, {what}: got {got}, want {want}");
}

#[test]
fn exact_equals_brute_force_on_thousands_of_networks() {
    let mut contradictions = 0;
    for seed in 0..NETWORKS {
        let problem = made(seed);
        let verdict = judge(&problem);
        let solution = match solve(&problem) {
            Ok(solution) => solution,
            Err(Trouble::Contradiction) => {
                assert!(verdict.evidence == BigRational::from_integer(0.into()), "network {seed}");
                contradictions += 1;
                continue;
            }
            Err(Trouble::TooWide) => unreachable!("five causes are never too wide"),
        };
        let one = BigRational::from_integer(1.into());
        close(solution.log_evidence.exp(), &verdict.evidence, &one, "evidence", seed);
        for cause in 0..problem.causes.len() {
            close(solution.present[cause], &verdict.present[cause], &verdict.evidence, "present", seed);
            for event in 0..problem.events {
                let want = &verdict.fires[event][cause];
                close(solution.fires[event][cause], want, &verdict.evidence, "fires", seed);
            }
        }
        for event in 0..problem.events {
            if let Ok(log) = exact::evidence(&problem.background_alone(event)) {
                close(log.exp(), &verdict.unlisted[event], &one, "unlisted", seed);
            }
        }
    }
    assert!(contradictions < NETWORKS / 10, "{contradictions} networks could not be");
}

#[test]
fn firing_any_complaint_counts_each_way_once() {
    for seed in 0..NETWORKS {
        let problem = made(seed);
        let Ok(solution) = solve(&problem) else { continue };
        // Only where every complaint is certain is "fires as reported" all there is to fire.
        let certain = problem.items.iter().take(problem.events).all(|i| i.weights == [0.0, 0.0, 1.0]);
        if certain {
            let verdict = judge(&problem);
            for cause in 0..problem.causes.len() {
                // The judge subtracts, so only rationals may judge here: compare to 1e-12.
                close(solution.fires_any[cause], &verdict.fires_any[cause], &verdict.evidence, "fires any", seed);
            }
        }
    }
}

#[test]
fn parts_of_an_explanation_sum_to_one() {
    for seed in 0..NETWORKS {
        let problem = made(seed);
        for event in 0..problem.events {
            if problem.items[event].weights != [0.0, 0.0, 1.0] {
                continue;
            }
            let Ok(parts) = accounts(&problem, event, 0.0) else { continue };
            let solution = solve(&problem).unwrap();
            let told: f64 = parts.sets.iter().map(|(_, p)| p).sum::<f64>() + parts.unlisted;
            assert!(told <= 1.0 + 1e-9, "network {seed}: {parts:?}");
            for (cause, fires) in solution.fires[event].iter().enumerate() {
                let of_it: f64 = parts.sets.iter().filter(|(set, _)| set.contains(&cause)).map(|(_, p)| p).sum();
                assert!(of_it <= fires * (1.0 + 1e-9) + 1e-300, "network {seed}: {of_it} of {fires}");
                // What is missing fires together with the background, which `rest` holds.
                assert!(fires - of_it <= parts.rest * (1.0 + 1e-9) + 1e-12, "network {seed}: {of_it} of {fires}");
            }
        }
    }
}

/// Mode is part of the public numbers; a repair twice over compounds.
#[test]
fn repairs_of_one_cause_compound() {
    let mut problem = made(7);
    problem.causes[0] = Prior { absent: 0.9, live: 0.1, repaired: None };
    problem.repair(0, 0.8, 0);
    problem.repair(0, 0.5, 0);
    let prior = &problem.causes[0];
    assert!((prior.live - 0.01).abs() < 1e-15);
    assert_eq!(prior.repaired.as_ref().map(|m: &Mode| m.muted.len()), Some(1));
    assert!((prior.absent + prior.live + prior.repaired.as_ref().unwrap().chance - 1.0).abs() < 1e-15);
}

/// W8, the rounding trap: inclusion-exclusion over present signs (D. Heckerman,
/// 1989) is right in rationals and loses its digits in floating point; the
/// table keeps them.
#[test]
fn the_table_keeps_the_digits_that_inclusion_and_exclusion_lose() {
    const SIGNS: usize = 7;
    let mut worst_lost = 0.0f64;
    for seed in 0..6 {
        let mut rng = Pcg64Mcg::seed_from_u64(900 + seed);
        let n = 14;
        let base: Vec<f64> = (0..n).map(|_| 10f64.powf(rng.random_range(-4.0..-2.0))).collect();
        let leak: Vec<f64> = (0..SIGNS).map(|_| 10f64.powf(rng.random_range(-5.0..-3.0))).collect();
        let strength: Vec<Vec<f64>> = (0..n)
            .map(|_| {
                (0..SIGNS).map(|_| if rng.random_bool(0.4) { rng.random_range(0.05..0.95) } else { 0.0 }).collect()
            })
            .collect();
        let mut problem = Problem { causes: Vec::new(), items: Vec::new(), events: 0 };
        problem.causes.extend(base.iter().map(|p| Prior { absent: 1.0 - p, live: *p, repaired: None }));
        for j in 0..SIGNS {
            let links = (0..n).filter(|i| strength[*i][j] > 0.0);
            let links = links.map(|cause| {
                let p = strength[cause][j];
                Link { cause, chances: [1.0 - p, 0.0, p] }
            });
            problem.items.push(Item {
                background: [1.0 - leak[j], 0.0, leak[j]],
                links: links.collect(),
                weights: [0.0, 1.0, 1.0],
            });
        }
        let one = || BigRational::from_integer(1.into());
        let mut exact_sum = BigRational::from_integer(0.into());
        let mut float_sum = 0.0f64;
        for subset in 0..1usize << SIGNS {
            let chosen = || (0..SIGNS).filter(|j| subset >> j & 1 == 1);
            let mut exact_term: BigRational = chosen().map(|j| one() - brute::exact(leak[j])).product();
            let mut float_term: f64 = chosen().map(|j| 1.0 - leak[j]).product();
            for i in 0..n {
                let p = brute::exact(base[i]);
                let silent: BigRational = chosen().map(|j| one() - brute::exact(strength[i][j])).product();
                exact_term *= one() - &p + p * silent;
                let silent: f64 = chosen().map(|j| 1.0 - strength[i][j]).product();
                float_term *= 1.0 - base[i] + base[i] * silent;
            }
            if subset.count_ones() % 2 == 0 {
                exact_sum += exact_term;
                float_sum += float_term;
            } else {
                exact_sum -= exact_term;
                float_sum -= float_term;
            }
        }
        let got = exact::evidence(&problem).unwrap().exp();
        close(got, &exact_sum, &one(), "evidence", seed);
        worst_lost = worst_lost.max((float_sum / got - 1.0).abs());
    }
    assert!(worst_lost > 1e-6, "the trap should have sprung, but lost only {worst_lost}");
}
