//! Real complaints, taken down as plain reports by somebody who did not know the cause, against the causes that were
//! found and confirmed. Those marked `held` are kept for measuring and judge nothing here.

use knockwise::inference::evidence::Evidence;
use knockwise::inference::infer;
use knockwise::intake::reports::{bike, report};
use knockwise::knowledge::terms::{Reporter, Venue};
use serde_json::Value;

use crate::scratch::built_in;

/// What was reached, of thirty.
const FIRST: usize = 26;
const WITHIN_THREE: usize = 27;

fn texts(value: &Value) -> impl Iterator<Item = &str> {
    value.as_array().into_iter().flatten().filter_map(Value::as_str)
}

#[test]
fn real_complaints_lead_to_what_was_found() {
    let g = built_in();
    let (mut first, mut within, mut all) = (0, 0, 0);
    let mut missed = Vec::new();
    for line in include_str!("../field/cases.jsonl").lines() {
        let case: Value = serde_json::from_str(line).unwrap();
        if case["held"] == true {
            continue;
        }
        let mut evidence = Evidence::default();
        texts(&case["bike"]).for_each(|pair| bike(g, &mut evidence, pair).unwrap());
        texts(&case["reports"]).for_each(|pair| report(g, &mut evidence, pair, Reporter::Rider, Venue::Home).unwrap());
        let belief = infer(g, &evidence).unwrap();
        let order: Vec<String> = belief.ranking().into_iter().take(4).map(|c| g.cause(c).key()).collect();
        let faults: Vec<Vec<&str>> =
            case["causes"].as_array().unwrap().iter().map(|alternatives| texts(alternatives).collect()).collect();
        let is = |key: &String, name: &&str| key == name || key.split('@').next() == Some(*name);
        let among = |fault: &Vec<&str>, most: usize| order.iter().take(most).any(|k| fault.iter().any(|n| is(k, n)));
        let most = if faults.len() > 1 { 4 } else { 3 };
        all += 1;
        first += usize::from(faults.iter().any(|f| among(f, 1)));
        within += usize::from(faults.iter().all(|f| among(f, most)));
        if !faults.iter().any(|f| among(f, 1)) {
            missed.push(format!("{}: {order:?}", case["id"]));
        }
    }
    assert_eq!(all, 30);
    assert!(first >= FIRST && within >= WITHIN_THREE, "{first} first, {within} within three; {missed:#?}");
}
