//! The judge: every combination of causes, in rationals, no formula of the engine used.

use knockwise::inference::problem::Problem;
use num_bigint::BigInt;
use num_rational::BigRational;

/// A number beyond rounding.
pub type Exact = BigRational;

pub fn exact(x: f64) -> Exact {
    BigRational::from_float(x).unwrap()
}

fn zero() -> Exact {
    BigRational::from_integer(BigInt::from(0))
}

fn one() -> Exact {
    BigRational::from_integer(BigInt::from(1))
}

/// What the judge finds; chances are joint with the reports.
pub struct Verdict {
    pub evidence: Exact,
    pub present: Vec<Exact>,
    pub fires: Vec<Vec<Exact>>,
    pub fires_any: Vec<Exact>,
    pub unlisted: Vec<Exact>,
}

/// A cause is not there (0), there (1), or was there and is repaired (2).
pub fn judge(problem: &Problem) -> Verdict {
    let n = problem.causes.len();
    let mut verdict = Verdict {
        evidence: zero(),
        present: vec![zero(); n],
        fires: vec![vec![zero(); n]; problem.events],
        fires_any: vec![zero(); n],
        unlisted: vec![zero(); problem.events],
    };
    for combination in 0..3usize.pow(n as u32) {
        let states: Vec<usize> = (0..n).map(|i| combination / 3usize.pow(i as u32) % 3).collect();
        let mut weight = one();
        for (prior, state) in problem.causes.iter().zip(&states) {
            weight *= match state {
                0 => exact(prior.absent),
                1 => exact(prior.live),
                _ => prior.repaired.as_ref().map_or_else(zero, |m| exact(m.chance)),
            };
        }
        if weight == zero() {
            continue;
        }
        let reaches = |item: usize, cause: usize| match states[cause] {
            0 => false,
            1 => true,
            _ => !problem.causes[cause].repaired.as_ref().unwrap().muted.contains(&item),
        };
        // Chance of an item's report; a cause may be kept below the top level.
        let report = |item: usize, below: Option<usize>| {
            let it = &problem.items[item];
            let mut up_to = [one(), one(), one()];
            let mut take = |chances: [Exact; 3]| {
                let mut sum = zero();
                for (level, c) in chances.into_iter().enumerate() {
                    sum += c;
                    up_to[level] *= sum.clone();
                }
            };
            take(it.background.map(exact));
            for link in it.links.iter().filter(|l| reaches(item, l.cause)) {
                let mut chances = link.chances.map(exact);
                if below == Some(link.cause) {
                    chances[2] = zero();
                }
                take(chances);
            }
            let levels = [up_to[0].clone(), up_to[1].clone() - &up_to[0], up_to[2].clone() - &up_to[1]];
            levels.into_iter().zip(it.weights).map(|(l, w)| l * exact(w)).sum::<Exact>()
        };
        let all: Vec<Exact> = (0..problem.items.len()).map(|i| report(i, None)).collect();
        let product = |skip: &dyn Fn(usize) -> Exact| (0..all.len()).map(skip).product::<Exact>();
        let whole = &weight * product(&|i| all[i].clone());
        verdict.evidence += &whole;
        for cause in (0..n).filter(|c| states[*c] == 1) {
            verdict.present[cause] += &whole;
            // Silent in every complaint: the rest of "fires any".
            let mut silent = weight.clone();
            for (item, it) in problem.items.iter().enumerate() {
                let link = it.links.iter().find(|l| l.cause == cause);
                if let (true, Some(link)) = (item < problem.events, link) {
                    silent *= report(item, Some(cause));
                    let top = exact(link.chances[2]);
                    let fires = top * exact(it.weights[2]);
                    let joint = &weight * product(&|i| if i == item { fires.clone() } else { all[i].clone() });
                    verdict.fires[item][cause] += joint;
                } else {
                    silent *= &all[item];
                }
            }
            verdict.fires_any[cause] += &whole - silent;
        }
        for event in 0..problem.events {
            let it = &problem.items[event];
            let mut alone = exact(it.background[2]) * exact(it.weights[2]);
            for link in it.links.iter().filter(|l| reaches(event, l.cause)) {
                alone *= exact(link.chances[0]) + exact(link.chances[1]);
            }
            verdict.unlisted[event] += &weight * product(&|i| if i == event { alone.clone() } else { all[i].clone() });
        }
    }
    verdict
}
