//! Told complaints with what a mechanic would think of first: `tests/cases/*.ron`.
//!
//! Beside what a case expects, each is checked for what must always hold:
//! chances within 0 and 1, reports in another order give the same answer, and
//! the answer for programs can be read by one and says the same.

use std::fs;
use std::path::Path;

use knockwise::faces::rank::run;
use serde::Deserialize;
use serde_json::Value;

use crate::asked::{Judged, Told};

/// One told complaint. Judged by the trade's common practice, no source.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, rename = "Case")]
struct Case {
    /// What the rider says.
    say: String,
    /// Bike facts asked and answered.
    #[serde(default)]
    bike: Vec<String>,
    /// Questions answered, in order.
    #[serde(default)]
    report: Vec<String>,
    /// The cause that leads.
    #[serde(default)]
    first: Option<String>,
    /// Causes that stand among the first three.
    #[serde(default)]
    within_three: Vec<String>,
    /// Causes that do not lead.
    #[serde(default)]
    not_first: Vec<String>,
    /// Ride advice.
    ride: Option<String>,
}

fn told(case: &Case, backwards: bool) -> Told {
    let in_order = |list: &[String]| {
        let mut list = list.to_vec();
        if backwards {
            list.reverse();
        }
        list
    };
    let told = Told::say(&case.say);
    let told = in_order(&case.bike).iter().fold(told, |told, pair| told.bike(pair));
    in_order(&case.report).iter().fold(told, |told, pair| told.report(pair))
}

/// What is wrong with an answer, in words.
fn faults(case: &Case, judged: &Judged) -> Vec<String> {
    let order = judged.order();
    let place = |id: &String| match order.iter().position(|o| o == id) {
        Some(place) => place,
        None => panic!("{}: no cause is called {id}", case.say),
    };
    let mut faults = Vec::new();
    faults.extend(case.first.iter().filter(|id| place(id) != 0).map(|id| format!("{id} does not lead")));
    faults.extend(case.within_three.iter().filter(|id| place(id) > 2).map(|id| format!("{id} is not within three")));
    faults.extend(case.not_first.iter().filter(|id| place(id) == 0).map(|id| format!("{id} leads")));
    let advice = judged.0.ride.0.word().to_lowercase();
    if case.ride.as_ref().is_some_and(|ride| *ride != advice) {
        faults.push(format!("the advice is {advice}"));
    }
    if judged.0.nothing_heard() {
        faults.push("nothing is heard".to_owned());
    }
    let top: Vec<String> = order.iter().take(4).map(|id| format!("{id} {:.2}", judged.chance(id))).collect();
    let heard: Vec<String> = judged.0.heard.iter().map(|h| format!("{}={}", h.id, h.answer)).collect();
    faults
        .iter()
        .map(|f| format!("\"{}\"\n    {f}; {}\n    heard {}", case.say, top.join(", "), heard.join(", ")))
        .collect()
}

/// What holds of every answer.
fn always(case: &Case, judged: &Judged) {
    let posterior = &judged.0.posterior;
    let columns = posterior.brings.iter().chain([&posterior.present, &posterior.brings_any, &posterior.unlisted]);
    for chance in columns.flatten() {
        assert!((0.0..=1.0 + 1e-12).contains(chance), "{}: a chance of {chance}", case.say);
    }
    for cause in judged.0.graph.cause_ixs() {
        let (brings, there) = (posterior.ranked_by(cause), posterior.present[cause.index()]);
        assert!(posterior.brings.is_empty() || brings <= there + 1e-9, "{}: {brings} brings, {there} there", case.say);
    }
    let other = told(case, true).asked();
    for (one, two) in posterior.present.iter().zip(&other.0.posterior.present) {
        assert!((one - two).abs() < 1e-9, "{}: the order of reports changes {one} to {two}", case.say);
    }
    assert_eq!(judged.0.ride.0, other.0.ride.0, "{}", case.say);

    let mut request = told(case, false).0;
    (request.by, request.at, request.json) = ("rider".to_owned(), "home".to_owned(), true);
    let outcome = run(&request).unwrap();
    let object: Value = serde_json::from_str(&outcome.text).unwrap();
    let first = &object["causes"][0];
    assert_eq!(first["id"], judged.order()[0], "{}", case.say);
    let all = object["causes"].as_array().unwrap();
    let chances: Vec<f64> = all.iter().map(|c| c["probability"].as_f64().unwrap()).collect();
    assert!(chances.is_sorted_by(|a, b| a >= b), "{}: not in order", case.say);
    assert!(object["remedies"].is_array() && object["next"].is_array() && object["ride"]["advice"].is_string());
}

/// The number of cases in a file; what is wrong with them is added.
#[track_caller]
fn check(file: &Path, wrong: &mut Vec<String>) -> usize {
    let text = fs::read_to_string(file).unwrap();
    let cases: Vec<Case> = ron::from_str(&text).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    for case in &cases {
        assert!(case.first.is_some() || !case.within_three.is_empty(), "{}: expects no cause", case.say);
        let judged = told(case, false).asked();
        always(case, &judged);
        wrong.extend(faults(case, &judged));
    }
    cases.len()
}

#[test]
fn told_complaints_are_judged_as_the_trade_does() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut files: Vec<_> = fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()).collect();
    files.sort();
    let mut wrong = Vec::new();
    let told: usize = files.iter().map(|f| check(f, &mut wrong)).sum();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(told >= 25, "only {told} complaints");
}

#[test]
fn a_wrong_expectation_is_found() {
    let case = |text: &str| ron::from_str::<Case>(text).unwrap();
    let dry = case(
        r#"Case(say: "My chain chirps.", first: Some("chain-worn"), not_first: ["chain-dry"], ride: Some("stop"))"#,
    );
    let found = faults(&dry, &told(&dry, false).asked());
    assert_eq!(found.len(), 3, "{found:#?}");
    let silent = case(r#"Case(say: "Good morning.", within_three: ["frame-cracked"])"#);
    let found = faults(&silent, &told(&silent, false).asked());
    assert_eq!(found.len(), 2, "{found:#?}");
}
