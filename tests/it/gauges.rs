//! Gauges held against figures reckoned anew by general-purpose libraries, against each other,
//! and against the shipped knowledge.

use std::collections::BTreeSet;

use knockwise::gauge::{Reading, find, gauges};
use knockwise::graph::build::build;
use serde_json::Value;

fn take(name: &str, pairs: &[String]) -> Reading {
    let gauge = find(name).unwrap();
    gauge.read(pairs).and_then(|inputs| gauge.take(&inputs)).unwrap_or_else(|e| panic!("{name} {pairs:?}: {e}"))
}

/// Unit conversions by pint, equations solved and integrals taken by scipy; `gauges.py` shares no
/// code with this crate.
#[test]
fn figures_are_those_of_the_reference() {
    let text = include_str!("../reference/gauges.json");
    let reference: Value = serde_json::from_str(text).unwrap();
    let mut seen = BTreeSet::new();
    for case in reference["readings"].as_array().unwrap() {
        let name = case["gauge"].as_str().unwrap();
        let pairs: Vec<String> =
            case["pairs"].as_array().unwrap().iter().map(|p| p.as_str().unwrap().to_owned()).collect();
        let reading = take(name, &pairs);
        for (key, want) in case["figures"].as_object().unwrap() {
            let found = reading.figures.iter().find(|f| f.key == key);
            let found = found.unwrap_or_else(|| panic!("{name} {pairs:?} says nothing of {key}"));
            let (want, unit) = (want[0].as_f64().unwrap(), want[1].as_str().unwrap());
            let got = found.quantity.in_unit(unit).unwrap();
            let off = (got - want).abs() / want.abs().max(1e-9);
            assert!(off < 1e-7, "{name} {pairs:?}: {key} is {got}, by the reference {want} {unit}");
        }
        seen.insert(name.to_owned());
    }
    let unseen: Vec<&str> = gauges().map(|g| g.name).filter(|n| !seen.contains(*n)).collect();
    assert!(unseen.is_empty(), "gauges.py reckons nothing for {unseen:?}");
}

/// Every gauge answers its examples, with source, two lines of working and at least one figure, and
/// every sign it speaks of is known.
#[test]
fn every_gauge_shows_its_working_and_knows_its_signs() {
    let (knowledge, snags) = knockwise::knowledge::Knowledge::load(vec![knockwise::knowledge::read::built_in()]);
    assert!(snags.is_empty());
    let graph = build(&knowledge);
    for case in
        serde_json::from_str::<Value>(include_str!("../reference/gauges.json")).unwrap()["readings"].as_array().unwrap()
    {
        let pairs: Vec<String> =
            case["pairs"].as_array().unwrap().iter().map(|p| p.as_str().unwrap().to_owned()).collect();
        let reading = take(case["gauge"].as_str().unwrap(), &pairs);
        assert!(!reading.source.is_empty() && !reading.headline.is_empty() && !reading.figures.is_empty());
        assert!(reading.working.iter().all(|line| !line.is_empty()), "{case}");
        for soft in &reading.softs {
            assert!(!graph.find_signs(soft.sign).is_empty(), "no sign `{}`", soft.sign);
        }
        for text in reading.working.iter().chain([&reading.headline]) {
            assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
        }
    }
}
