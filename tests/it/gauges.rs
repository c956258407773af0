//! Gauges held against figures reckoned anew by general-purpose libraries, against each other,
//! and against the shipped knowledge.

use std::collections::BTreeSet;

use crate::asked::Told;
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
    let (knowledge, snags) = knockwise::knowledge::Knowledge::built_in();
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

/// Every reading of the reference is taken as `--measure` too, lists with their commas among them.
#[test]
fn every_gauge_can_be_told() {
    let reference: Value = serde_json::from_str(include_str!("../reference/gauges.json")).unwrap();
    for case in reference["readings"].as_array().unwrap() {
        let pairs: Vec<&str> = case["pairs"].as_array().unwrap().iter().map(|p| p.as_str().unwrap()).collect();
        let told = format!("{}:{}", case["gauge"].as_str().unwrap(), pairs.join(","));
        let judged = Told::default().measure(&told).asked();
        let sum: f64 = judged.0.posterior.present.iter().sum();
        assert!(sum.is_finite() && sum > 0.0, "{told}");
    }
}

/// Far past its limit a reading speaks for what is wrong, at the end that was measured; far on the good
/// side it speaks against it. Common practice, no source.
#[test]
fn readings_speak_for_their_causes() {
    let present = |told: Option<&str>, cause: &str| {
        let told = told.map_or(Told::default(), |told| Told::default().measure(told)).asked();
        let found = told.0.graph.find_causes(cause);
        assert!(!found.is_empty(), "no cause {cause}");
        found.into_iter().map(|c| told.0.posterior.present[c.index()]).sum::<f64>()
    };
    for (bad, good, cause) in [
        (
            "rotor:thickness=1.2mm,least=1.5mm,end=front",
            "rotor:thickness=1.8mm,least=1.5mm,end=front",
            "rotor-worn-thin@front",
        ),
        ("wheel-true:sideways=5mm,end=rear", "wheel-true:sideways=0.1mm,end=rear", "wheel-not-true@rear"),
        ("hanger:gaps=10,12,22,12mm", "hanger:gaps=12,12,12,12mm", "hanger-bent"),
        (
            "tyre-pressure:load=50kg,width=37mm,now=0.4bar,end=rear",
            "tyre-pressure:load=50kg,width=37mm,now=3.3bar,end=rear",
            "tyre-pressure-low@rear",
        ),
        ("pack-volts:volts=30V,cells=10", "pack-volts:volts=41V,cells=10", "battery-empty"),
        ("pack-left:gave=200Wh,new=500Wh,warmth=20°C", "pack-left:gave=490Wh,new=500Wh,warmth=20°C", "battery-worn"),
        ("charger:output=54.6V,marked=36V", "charger:output=42V,marked=36V", "wrong-charger"),
        ("magnet-gap:gap=40mm,most=17mm", "magnet-gap:gap=10mm,most=17mm", "wheel-magnet-shifted"),
        (
            "bolt:maker=5N.m,turned=2N.m,part=seat-clamp",
            "bolt:maker=5N.m,turned=5N.m,part=seat-clamp",
            "seat-clamp-loose",
        ),
        ("broken-spokes:broken=1,spokes=32,end=rear", "broken-spokes:broken=0,spokes=32,end=rear", "spoke-broken@rear"),
    ] {
        let (bad, idle, good) = (present(Some(bad), cause), present(None, cause), present(Some(good), cause));
        assert!(
            bad > 2.0 * idle && good < idle,
            "{cause}: {bad} past the limit, {idle} unread, {good} on the good side"
        );
    }
    let front = present(Some("rotor:thickness=1.2mm,least=1.5mm,end=front"), "rotor-worn-thin@front");
    let rear = present(Some("rotor:thickness=1.2mm,least=1.5mm,end=front"), "rotor-worn-thin@rear");
    assert!(front > 0.3 && rear < 0.1, "measured in front: {front} there, {rear} at the rear");
}
