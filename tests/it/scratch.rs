//! Small graphs for tests, and short ways to say what was reported.

use knockwise::graph::{FaultGraph, build::build};
use knockwise::inference::evidence::{Event, Evidence, SignReport};
use knockwise::knowledge::Knowledge;
use knockwise::knowledge::terms::Reporter;
use knockwise::snag::Source;

/// Reads a graph from a file under tests/, which must be without snags.
#[track_caller]
pub fn graph(file: &str) -> FaultGraph {
    let path = format!("{}/tests/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap();
    let (knowledge, snags) = Knowledge::load(vec![vec![Source { name: file.to_owned(), text }]]);
    assert!(snags.is_empty(), "{}", snags[0]);
    build(&knowledge)
}

/// The graph of the built-in knowledge, unpacked once.
#[track_caller]
pub fn built_in() -> &'static FaultGraph {
    knockwise::built_in::graph().unwrap()
}

/// Adds a complaint with certain facets, `facet=value`.
pub fn complain(graph: &FaultGraph, evidence: &mut Evidence, complaint: &str, facets: &[&str]) {
    let ix = graph.find_complaint(complaint).unwrap();
    let mut event = Event::certain(ix);
    for told in facets {
        let (facet, value) = told.split_once('=').unwrap();
        let pos = graph.find_facet(ix, facet).unwrap();
        let values = &graph.facet(graph.complaint(ix).facets[pos].facet).values;
        let likelihood = values.iter().map(|v| f64::from(u8::from(v.id == value))).collect();
        event.facets.insert(pos, likelihood);
    }
    evidence.events.push(event);
}

/// Adds a report of a sign with likelihoods if there and if not.
pub fn sign(graph: &FaultGraph, evidence: &mut Evidence, sign: &str, there: f64, missing: f64) {
    let signs = graph.find_signs(sign);
    assert!(!signs.is_empty(), "{sign}");
    evidence.report_sign(SignReport { signs, by: Reporter::Rider, likelihood: [missing, there, there] });
}

#[track_caller]
pub fn near(got: f64, want: f64, tolerance: f64) {
    assert!((got - want).abs() <= tolerance, "got {got}, want {want}");
}
