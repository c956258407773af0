//! Worked examples with full inputs and outputs, to the stated digits.
//!
//! Unless another source stands beside a check, the figures were enumerated
//! over all combinations of causes (and of firing links) for this project.

use knockwise::inference::accounts::accounts;
use knockwise::inference::evidence::{Evidence, Repair};
use knockwise::inference::explain::{Belief, Piece, as_it_happened, leave_one_out};
use knockwise::inference::problem::Problem;
use knockwise::inference::{facet_chances, infer, sign_chance};
use knockwise::inquiry::outlook::{Account, Ask, Outlook, Repair as Mend, entropy};
use knockwise::probability::{any_of, decibans};

use crate::scratch::{complain, graph, near, sign};

struct Row {
    evidence: Evidence,
    chance: f64,
    present: [f64; 4],
    brings: [f64; 4],
    unlisted: f64,
}

/// W20, every row: enumerated in rationals over causes and firing links.
#[test]
fn complaint_events_with_facets() {
    let g = graph("worked/w20.ron");
    let with = |facets: &[&str]| {
        let mut e = Evidence::default();
        complain(&g, &mut e, "noise", facets);
        e
    };
    let mut rows = vec![
        Row {
            evidence: with(&[]),
            chance: 0.2301817446,
            present: [0.182382, 0.262525, 0.079402, 0.619238],
            brings: [0.173776, 0.243286, 0.065166, 0.521327],
            unlisted: 0.068253,
        },
        Row {
            evidence: with(&["sound=rub"]),
            chance: 0.09661974669,
            present: [0.343632, 0.457117, 0.057290, 0.419968],
            brings: [0.331195, 0.434694, 0.031050, 0.186297],
            unlisted: 0.046984,
        },
        Row {
            evidence: with(&["sound=rub", "rhythm=wheel"]),
            chance: 0.03721391377,
            present: [0.778839, 0.230903, 0.060151, 0.303260],
            brings: [0.773904, 0.169292, 0.032246, 0.004837],
            unlisted: 0.025898,
        },
    ];
    let mut soft = with(&["sound=rub"]);
    soft.events[0].facets.insert(1, vec![0.70, 0.10, 0.10, 0.20]);
    rows.push(Row {
        evidence: soft,
        chance: 0.03345224607,
        present: [0.627565, 0.298369, 0.061902, 0.353292],
        brings: [0.616042, 0.243571, 0.033989, 0.078560],
        unlisted: 0.036162,
    });
    let mut coasting = with(&["sound=rub", "rhythm=wheel", "coasting=yes"]);
    sign(&g, &mut coasting, "wheel-play", 0.0, 1.0);
    let mut wobbles = coasting.clone();
    sign(&g, &mut wobbles, "rotor-wobbles", 0.15, 0.05);
    rows.push(Row {
        evidence: coasting,
        chance: 0.0326415188,
        present: [0.813108, 0.238182, 0.009344, 0.300180],
        brings: [0.808654, 0.176893, 0.004913, 0.000266],
        unlisted: 0.014285,
    });
    rows.push(Row {
        evidence: wobbles,
        chance: 0.004168333515,
        present: [0.923897, 0.147097, 0.006622, 0.300076],
        brings: [0.918836, 0.078480, 0.002180, 0.000118],
        unlisted: 0.006059,
    });
    let mut two = with(&["sound=rub", "rhythm=steady"]);
    complain(&g, &mut two, "weak-braking", &[]);
    rows.push(Row {
        evidence: two,
        chance: 0.009578150242,
        present: [0.086412, 0.958124, 0.032117, 0.320318],
        brings: [0.022658, 0.942508, 0.002781, 0.036715],
        unlisted: 0.005462,
    });
    let mut unchanged = with(&["sound=rub", "rhythm=wheel"]);
    unchanged.repairs.push(Repair { cause: g.find_causes("rotor")[0], works: 0.8, event: 0 });
    rows.push(Row {
        evidence: unchanged,
        chance: 0.01437351897,
        present: [0.403293, 0.479965, 0.109914, 0.308642],
        brings: [0.400737, 0.438306, 0.083487, 0.012523],
        unlisted: 0.068641,
    });
    for row in rows {
        let p = infer(&g, &row.evidence).unwrap();
        near(p.log_evidence.exp() / row.chance, 1.0, 1e-9);
        for i in 0..4 {
            near(p.present[i], row.present[i], 1e-6);
            near(p.brings[0][i], row.brings[i], 1e-6);
        }
        near(p.unlisted[0], row.unlisted, 1e-6);
    }
}

/// W7 (b): also checked there by Quickscore and by a general package's noisy-OR network.
#[test]
fn two_layers_of_noisy_or() {
    let g = graph("worked/w7.ron");
    let rows: [(&[(&str, f64, f64)], f64, [f64; 4]); 6] = [
        (&[("squeal", 1.0, 0.0)], 0.09558292, [0.596407, 0.186889, 0.043788, 0.113688]),
        (&[("squeal", 1.0, 0.0), ("rub", 1.0, 0.0)], 0.01795896, [0.232216, 0.802080, 0.082307, 0.174134]),
        (
            &[("squeal", 1.0, 0.0), ("rub", 1.0, 0.0), ("slow", 0.0, 1.0)],
            0.01530125,
            [0.224682, 0.871790, 0.086000, 0.050073],
        ),
        (
            &[("squeal", 1.0, 0.0), ("rub", 1.0, 0.0), ("slow", 0.0, 1.0), ("knock", 1.0, 0.0)],
            0.00222786,
            [0.246877, 0.763368, 0.364961, 0.026508],
        ),
        (
            &[("squeal", 1.0, 0.0), ("rub", 1.0, 0.0), ("slow", 0.0, 1.0), ("knock", 0.7, 0.3)],
            0.00548152,
            [0.228290, 0.854164, 0.131352, 0.046242],
        ),
        (&[("squeal", 1.0, 0.0), ("rub", 0.8, 0.2)], 0.02989196, [0.465124, 0.408651, 0.057673, 0.135478]),
    ];
    for (reports, chance, present) in rows {
        let mut e = Evidence::default();
        reports.iter().for_each(|(id, a, b)| sign(&g, &mut e, id, *a, *b));
        let p = infer(&g, &e).unwrap();
        near(p.log_evidence.exp(), chance, 1e-8);
        (0..4).for_each(|i| near(p.present[i], present[i], 1e-6));
    }
}

/// W9: screening example, prior .01, sensitivity .80, false alarm .096.
#[test]
fn bayes_in_odds() {
    let posterior = |p: f64, a: f64, b: f64| p * a / (p * a + (1.0 - p) * b);
    let p = posterior(0.01, 0.80, 0.096);
    near(p, 0.0776398, 1e-7);
    near(decibans(0.01), -19.9564, 1e-4);
    near(decibans(p), -10.7482, 1e-4);
    near(decibans(p) - decibans(0.01), 9.2082, 1e-4);
    near(posterior(0.01, 0.20, 0.904), 0.0022298, 1e-7);
    near(posterior(p, 0.80, 0.096), 0.4122691, 1e-7);
}

fn squeal_rub_not_slow(g: &knockwise::graph::FaultGraph) -> Evidence {
    let mut e = Evidence::default();
    sign(g, &mut e, "squeal", 1.0, 0.0);
    sign(g, &mut e, "rub", 1.0, 0.0);
    sign(g, &mut e, "slow", 0.0, 1.0);
    e
}

/// W11: the ledger of the bent rotor; order changes the steps, never the sum.
#[test]
fn the_ledger_adds_up() {
    let g = graph("worked/w7.ron");
    let e = squeal_rub_not_slow(&g);
    let rotor = g.find_causes("rotor")[0];
    let loo = leave_one_out(&g, &e, rotor, Belief::Present).unwrap();
    for ((_, got), want) in loo.iter().zip([5.179, 14.523, 2.248]) {
        near(*got, want, 1e-3);
    }
    let told: Vec<Piece> = e.signs.iter().cloned().map(Piece::Sign).collect();
    let (start, steps) = as_it_happened(&g, &e, &told, rotor, Belief::Present).unwrap();
    near(start, -12.788, 1e-3);
    for ((_, got), want) in steps.iter().zip([6.402, 12.463, 2.248]) {
        near(*got, want, 1e-3);
    }
    near(start + steps.iter().map(|s| s.1).sum::<f64>(), 8.325, 1e-3);
    let other = vec![told[1].clone(), told[0].clone(), told[2].clone()];
    let (_, steps) = as_it_happened(&g, &e, &other, rotor, Belief::Present).unwrap();
    for ((_, got), want) in steps.iter().zip([14.406, 4.458, 2.248]) {
        near(*got, want, 1e-3);
    }
}

/// W12: only the rub is reported, by reporters of different worth.
#[test]
fn a_report_is_worth_its_reporter() {
    let g = graph("worked/w7.ron");
    let rotor = g.find_causes("rotor")[0];
    for (a, b, want) in [
        (1.0, 0.0, 0.592120),
        (0.85, 0.10, 0.233184),
        (0.7, 0.3, 0.095095),
        (0.5, 0.5, 0.05),
        (0.15, 0.90, 0.017410),
        (0.0, 1.0, 0.010417),
        // The default table: certain, think so, can't tell, think not, certain not.
        (0.70, 0.02, 0.428516),
        (0.15, 0.05, 0.114941),
        (0.08, 0.08, 0.05),
        (0.05, 0.15, 0.024238),
        (0.02, 0.70, 0.011628),
    ] {
        let mut e = Evidence::default();
        sign(&g, &mut e, "rub", a, b);
        near(infer(&g, &e).unwrap().present[rotor.index()], want, 1e-6);
    }
}

/// W13 (b): "70 % sure" is a likelihood ratio of 7:3, not a posterior of .7.
#[test]
fn seventy_percent_is_a_ratio() {
    let g = graph("worked/w7.ron");
    let mut e = Evidence::default();
    let rub = g.find_signs("rub")[0];
    near(sign_chance(&g, &e, rub).unwrap(), 0.068047, 1e-6);
    sign(&g, &mut e, "rub", 0.7, 0.3);
    near(sign_chance(&g, &e, rub).unwrap(), 0.145570, 1e-6);
    near(infer(&g, &e).unwrap().present[1], 0.095095, 1e-6);
    // Forcing the posterior of the rub to .7 takes a ratio of 31.9566.
    let mut forced = Evidence::default();
    sign(&g, &mut forced, "rub", 1.0, 1.0 / 31.9566);
    near(sign_chance(&g, &forced, rub).unwrap(), 0.7, 1e-5);
    near(infer(&g, &forced).unwrap().present[1], 0.417609, 1e-5);
}

/// W14: one question that settles two signs is scored by its joint outcome.
#[test]
fn a_question_is_worth_its_joint_outcome() {
    let g = graph("worked/w7.ron");
    let mut e = Evidence::default();
    sign(&g, &mut e, "squeal", 1.0, 0.0);
    sign(&g, &mut e, "rub", 1.0, 0.0);
    near(sign_chance(&g, &e, g.find_signs("knock")[0]).unwrap(), 0.136651, 1e-6);
    near(sign_chance(&g, &e, g.find_signs("slow")[0]).unwrap(), 0.147988, 1e-6);
    // All sixteen sets of causes, enumerated from the numbers in the file.
    let base = [0.08, 0.05, 0.03, 0.06];
    let strengths = [[0.70, 0.0, 0.0, 0.0], [0.30, 0.80, 0.10, 0.0], [0.05, 0.25, 0.60, 0.0], [0.10, 0.20, 0.0, 0.75]];
    let leaks = [0.02, 0.01, 0.01, 0.02];
    let shown = |set: usize, sign: usize| {
        any_of((0..4).filter(|c| set >> c & 1 == 1).map(|c| strengths[c][sign]).chain([leaks[sign]]))
    };
    let weight = |set: usize| {
        let prior: f64 = (0..4).map(|c| if set >> c & 1 == 1 { base[c] } else { 1.0 - base[c] }).product();
        prior * shown(set, 0) * shown(set, 1)
    };
    let total: f64 = (0..16).map(weight).sum();
    near(entropy((0..16).map(|s| weight(s) / total)), 2.237648, 1e-6);
    let sets: Vec<Account> = (0..16).map(|s| Account { causes: vec![s], chance: weight(s) / total }).collect();
    let gain = |signs: &[usize]| {
        let answer = |pattern: usize| {
            let told = |set: usize, i: usize| {
                let p = shown(set, signs[i]);
                if pattern >> i & 1 == 1 { p } else { 1.0 - p }
            };
            (0..16).map(|set| (0..signs.len()).map(|i| told(set, i)).product()).collect()
        };
        let ask = Ask { minutes: 1.0, place: None, answers: (0..1usize << signs.len()).map(answer).collect() };
        let (outlook, state) = Outlook::new(&sets, vec![ask], vec![], vec![], 0.0);
        outlook.bits(&state, 0)
    };
    near(gain(&[2]), 0.100118, 1e-6);
    near(gain(&[3]), 0.348098, 1e-6);
    near(gain(&[2, 3]), 0.445086, 1e-6);
}

/// W18: the chance that the squeal is gone after mending a set of causes, and
/// what orders of repair cost; checked there with explicit link variables.
#[test]
fn several_faults_are_mended_in_order() {
    let g = graph("worked/w18.ron");
    let mut e = Evidence::default();
    complain(&g, &mut e, "squeal", &[]);
    sign(&g, &mut e, "rub", 1.0, 0.0);
    sign(&g, &mut e, "slow", 0.0, 1.0);
    let problem = Problem::of(&g, &e);
    let ix = |name: &str| g.find_causes(name)[0].index();
    let who = accounts(&problem, 0, 0.0).unwrap();
    let gone = |names: &[&str]| -> f64 {
        let mended: Vec<usize> = names.iter().map(|n| ix(n)).collect();
        who.sets.iter().filter(|(set, _)| set.iter().all(|c| mended.contains(c))).map(|(_, p)| p).sum()
    };
    for (set, want) in [
        (vec![], 0.0),
        (vec!["glazed"], 0.157263),
        (vec!["rotor"], 0.680294),
        (vec!["bearing"], 0.023427),
        (vec!["cable"], 0.020630),
        (vec!["glazed", "rotor"], 0.877914),
        (vec!["glazed", "rotor", "cable"], 0.900956),
        (vec!["glazed", "rotor", "bearing", "cable"], 0.926980),
    ] {
        near(gone(&set), want, 1e-6);
    }
    // What no repair reaches is handed over.
    let mut sets: Vec<Account> = who.sets.iter().map(|(set, p)| Account { causes: set.clone(), chance: *p }).collect();
    sets.push(Account { causes: vec![], chance: 1.0 - sets.iter().map(|a| a.chance).sum::<f64>() });
    let mend = |name: &str, minutes| Mend { look: minutes, work: 0.0, place: None, works: vec![(ix(name), 1.0)] };
    let repairs = vec![mend("rotor", 6.0), mend("glazed", 12.0), mend("cable", 15.0), mend("bearing", 25.0)];
    let (outlook, state) = Outlook::new(&sets, vec![], repairs, vec![], 90.0);
    let cost = |order: [usize; 4]| {
        let (minutes, last) = order.iter().fold((0.0, state.clone()), |(minutes, at), repair| {
            let (cost, after) = outlook.after_mending(&at, *repair);
            (minutes + cost, after)
        });
        minutes + 90.0 * outlook.chance(&last)
    };
    near(cost([0, 1, 2, 3]), 20.715679, 1e-5);
    near(cost([0, 1, 3, 2]), 20.902272, 1e-5);
    let plan = outlook.plan(&state);
    assert_eq!(plan.order, [0, 1, 2]);
    near(plan.minutes, 20.581748, 1e-5);
}

/// With nothing else reported the chance that the event comes out with a value
/// is a plain noisy-OR over independent causes; the chances are normalised.
#[test]
fn an_unasked_facet_has_its_chances() {
    let g = graph("worked/w20.ron");
    let mut e = Evidence::default();
    complain(&g, &mut e, "noise", &[]);
    let fires = |background: f64, rotor: f64, caliper: f64, bearing: f64, chain: f64| {
        any_of([0.02 * background, 0.05 * 0.8 * rotor, 0.08 * 0.7 * caliper, 0.03 * 0.5 * bearing, 0.30 * 0.4 * chain])
    };
    let values = [
        fires(0.25, 0.80, 0.75, 0.20, 0.15),
        fires(0.25, 0.01, 0.01, 0.40, 0.05),
        fires(0.25, 0.14, 0.20, 0.05, 0.40),
        fires(0.25, 0.05, 0.04, 0.35, 0.40),
    ];
    near(values[0], 0.09661974669, 1e-10);
    let total: f64 = values.iter().sum();
    let got = facet_chances(&g, &e, 0, 0).unwrap();
    for (got, want) in got.iter().zip(values) {
        near(*got, want / total, 1e-12);
    }
}
