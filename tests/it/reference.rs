//! The engine against a general library, on networks of the size of the knowledge.
//!
//! `tests/reference/networks.py` makes the networks and asks the library, which is
//! told facets, firing links and repairs as variables; the figures in the file are
//! the library's. Here the same numbers go into a [`Problem`].

#![allow(clippy::unwrap_used, clippy::panic, reason = "helpers of tests")]

use knockwise::inference::exact::{self, solve};
use knockwise::inference::problem::{Item, Link, Prior, Problem};
use serde::Deserialize;

/// Both sides add what is positive, so they agree to far more than this.
const TOLERANCE: f64 = 1e-9;

#[derive(Deserialize)]
struct File {
    library: String,
    version: String,
    networks: Vec<Network>,
}

#[derive(Deserialize)]
struct Network {
    name: String,
    priors: Vec<f64>,
    repairs: Vec<Tried>,
    items: Vec<Thing>,
    /// Signs that nobody reported.
    asked: Vec<Thing>,
    expected: Expected,
}

#[derive(Deserialize)]
struct Tried {
    cause: usize,
    works: f64,
    event: usize,
}

/// A complaint or a sign. Lists by contributor begin with the background's.
#[derive(Deserialize)]
struct Thing {
    event: bool,
    background: f64,
    links: Vec<(usize, f64)>,
    /// By contributor: share of the slight degree.
    slight: Option<Vec<f64>>,
    /// By contributor and facet: distribution of the values.
    shapes: Option<Vec<Vec<Vec<f64>>>>,
    /// By facet: likelihood of the report for each value.
    reports: Option<Vec<Vec<f64>>>,
    /// Likelihoods: missing and there, or by level.
    #[serde(default)]
    report: Vec<f64>,
}

#[derive(Deserialize)]
struct Expected {
    evidence: f64,
    present: Vec<(usize, f64)>,
    /// By complaint, in the order of its links.
    brings: Vec<Vec<f64>>,
    unlisted: Vec<f64>,
    asked: Vec<f64>,
}

impl Thing {
    /// Chances of the levels from one contributor.
    fn levels(&self, contributor: usize, strength: f64) -> [f64; 3] {
        let middle = if let (Some(shapes), Some(reports)) = (&self.shapes, &self.reports) {
            let hits = shapes[contributor]
                .iter()
                .zip(reports)
                .map(|(shape, report)| shape.iter().zip(report).map(|(p, r)| p * r).sum::<f64>());
            1.0 - hits.product::<f64>()
        } else {
            self.slight.as_ref().map_or(0.0, |shares| shares[contributor])
        };
        [1.0 - strength, strength * middle, strength * (1.0 - middle)]
    }

    fn item(&self, report: &[f64]) -> Item {
        let weights = match *report {
            [missing, there] => [missing, there, there],
            [none, middle, top] => [none, middle, top],
            _ => panic!("two or three likelihoods, not {}", report.len()),
        };
        let links = self.links.iter().enumerate();
        Item {
            background: self.levels(0, self.background),
            links: links.map(|(i, (cause, s))| Link { cause: *cause, chances: self.levels(i + 1, *s) }).collect(),
            weights,
        }
    }
}

impl Network {
    fn problem(&self) -> Problem {
        let mut problem = Problem {
            causes: self.priors.iter().map(|p| Prior { absent: 1.0 - p, live: *p, repaired: None }).collect(),
            items: self.items.iter().map(|t| t.item(&t.report)).collect(),
            events: self.items.iter().take_while(|t| t.event).count(),
        };
        for tried in &self.repairs {
            problem.repair(tried.cause, tried.works, tried.event);
        }
        problem
    }
}

fn file() -> File {
    serde_json::from_str(include_str!("../reference/networks.json")).unwrap()
}

#[derive(Default)]
struct Tally {
    figures: usize,
    worst: f64,
    wrong: Vec<String>,
}

impl Tally {
    fn compare(&mut self, got: f64, want: f64, what: &str) {
        let apart = if got == want { 0.0 } else { (got - want).abs() / got.abs().max(want.abs()) };
        self.figures += 1;
        self.worst = self.worst.max(apart);
        // Written so that what is not a number is wrong as well.
        if !matches!(apart.partial_cmp(&TOLERANCE), Some(std::cmp::Ordering::Less)) {
            self.wrong.push(format!("{what}: got {got}, the library says {want}"));
        }
    }

    fn network(&mut self, network: &Network) {
        let (name, expected, problem) = (&network.name, &network.expected, network.problem());
        let solution = solve(&problem).unwrap();
        self.compare(solution.log_evidence.exp(), expected.evidence, &format!("{name}, evidence"));
        self.compare(exact::evidence(&problem).unwrap().exp(), expected.evidence, &format!("{name}, evidence alone"));
        for (cause, want) in &expected.present {
            self.compare(solution.present[*cause], *want, &format!("{name}, cause {cause} present"));
        }
        assert_eq!(expected.brings.len(), problem.events, "{name}");
        for (event, brings) in expected.brings.iter().enumerate() {
            let item = &problem.items[event];
            assert_eq!(brings.len(), item.links.len(), "{name}");
            for (link, want) in item.links.iter().zip(brings) {
                let what = format!("{name}, cause {} brings {event}", link.cause);
                self.compare(solution.fires[event][link.cause], *want, &what);
            }
            // A complaint that is absent is brought by nobody, nor by the background.
            let alone = match exact::evidence(&problem.background_alone(event)) {
                Ok(log) => (log - solution.log_evidence).exp(),
                Err(trouble) => {
                    assert_eq!(trouble, exact::Trouble::Contradiction, "{name}");
                    0.0
                }
            };
            self.compare(alone, expected.unlisted[event], &format!("{name}, unlisted {event}"));
        }
        assert_eq!(expected.asked.len(), network.asked.len(), "{name}");
        for (sign, want) in network.asked.iter().zip(&expected.asked) {
            let mut with = problem.clone();
            with.items.push(sign.item(&[0.0, 1.0]));
            let chance = (exact::evidence(&with).unwrap() - solution.log_evidence).exp();
            self.compare(chance, *want, &format!("{name}, a sign not reported"));
        }
    }
}

#[test]
fn figures_are_those_of_a_general_library() {
    let file = file();
    let mut tally = Tally::default();
    file.networks.iter().for_each(|network| tally.network(network));
    let Tally { figures, worst, wrong } = tally;
    println!("{figures} figures, largest relative difference {worst:.1e}");
    let first = wrong.iter().take(10).map(String::as_str).collect::<Vec<_>>().join("\n");
    assert!(wrong.is_empty(), "{} of {figures} differ from {} {}:\n{first}", wrong.len(), file.library, file.version);
    assert!(figures > 1500, "only {figures} figures");
}

/// The comparison is worth what it is made on: every kind must be there, at full size.
#[test]
fn reference_networks_have_every_kind_of_report() {
    let networks = file().networks;
    let any = |is: &dyn Fn(&Thing) -> bool| networks.iter().any(|n| n.items.iter().any(is));
    assert!(networks.len() >= 12);
    assert!(networks.iter().filter(|n| n.priors.len() >= 240).count() >= 10);
    assert!(any(&|t| t.event && t.links.len() == 150), "a complaint with 150 causes");
    assert!(any(&|t| t.event && t.shapes.is_some() && t.links.len() > 50), "facets of a wide complaint");
    assert!(any(&|t| t.event && t.report == [1.0, 0.0]), "a complaint that is absent");
    assert!(any(&|t| t.event && t.report[0] > 0.0 && t.report[1] > 0.0), "a soft complaint");
    assert!(any(&|t| !t.event && t.slight.is_some() && t.report[1] != t.report[2]), "degrees told apart");
    assert!(any(&|t| !t.event && t.report[0] > 0.0 && t.report[1] > 0.0), "a soft sign");
    assert!(networks.iter().any(|n| n.items.iter().filter(|t| t.event).count() == 3), "three complaints");
    assert!(networks.iter().any(|n| n.repairs.len() >= 2), "repairs");
}

/// A figure off by a hundred-millionth is noticed, and so is one that is not a number.
#[test]
fn a_wrong_figure_is_noticed() {
    let mut networks = file().networks;
    let spoil: [fn(&mut Expected); 5] = [
        |e| e.evidence *= 1.0 + 1e-8,
        |e| e.present[3].1 *= 1.0 - 1e-8,
        |e| e.brings[0][5] *= 1.0 + 1e-8,
        |e| e.unlisted[0] *= 1.0 + 1e-8,
        |e| e.asked[1] = f64::NAN,
    ];
    for (spoil, network) in spoil.iter().zip(&mut networks) {
        let mut before = Tally::default();
        before.network(network);
        spoil(&mut network.expected);
        let mut after = Tally::default();
        after.network(network);
        assert!(after.wrong.len() > before.wrong.len(), "{}", network.name);
    }
}
