//! Base rates against published shares of what workshops are brought.
//!
//! Source: what one independent repairer in France was brought in 18 months, all types of bike (stationserrevis,
//! "pannes", one shop, number of jobs not told): puncture 26, brakes 22, derailleur 16, chain 9, wheel 8, accessories,
//! saddle, cranks and head set 6, tyre 5, cassette 5, bottom bracket 3 of 100.
//!
//! Conversion: a bike arrives with about 1.2 jobs (judgement), so the expected number of causes that bring a complaint,
//! summed over a category, is 1.2 times its share. What the source does not itemise (suspension, lights, electrics)
//! stands beside it by judgement, e-bikes by a survey of 1 714 riders (Germany 2020): 20 % told of a technical defect.

use knockwise::inference::evidence::Evidence;
use knockwise::inference::problem::priors;

use crate::scratch::built_in;

const JOBS: f64 = 1.2;
/// The source is worth this many cases, for their number is not told. Judgement.
const CASES: f64 = 50.0;

/// Expected causes per arriving bike that bring a complaint, by file.
fn brought(files: &[&str]) -> f64 {
    let g = built_in();
    let base = priors(g, &Evidence::default());
    g.cause_ixs()
        .filter(|c| files.contains(&g.cause(*c).assembly.replace(" ", "-").as_str()))
        .map(|c| base[c.index()] * (1.0 - g.brought_by(c).map(|(_, f)| 1.0 - f.strength).product::<f64>()))
        .sum()
}

#[test]
fn categories_come_as_often_as_workshops_see_them() {
    let mut off = Vec::new();
    for (files, share) in [
        (vec!["tyres"], 0.31),
        (vec!["disc-brakes", "rim-brakes", "hub-brakes"], 0.22),
        (vec!["shifting", "hub-gears"], 0.16),
        (vec!["chain"], 0.14),
        (vec!["wheels"], 0.08),
        (vec!["cranks", "head", "seat", "frame-and-fork"], 0.09),
    ] {
        let got = brought(&files) / JOBS;
        // Two standard deviations of a share seen in so many cases.
        let may_be_off = 2.0 * (share * (1.0 - share) / CASES).sqrt();
        println!("{files:?}: {got:.3} for {share}");
        if (got - share).abs() > may_be_off {
            off.push(format!("{files:?}: {got:.3} is not {share} within {may_be_off:.3}"));
        }
    }
    for file in [
        "suspension",
        "lights",
        "electric-drive",
        "not-the-bike",
        "cranks",
        "head",
        "seat",
        "frame-and-fork",
        "disc-brakes",
        "rim-brakes",
        "hub-brakes",
        "shifting",
        "hub-gears",
    ] {
        println!("{file}: {:.3}", brought(&[file]));
    }
    assert!(off.is_empty(), "{}", off.join("\n"));
}
