//! Holds the ranking after a complaint in plain words against the cause that was found.

use knockwise::graph::FaultGraph;
use knockwise::inquiry::Situation;
use knockwise::knowledge::terms::Venue;
use knockwise::session::Session;
use serde_json::Value;

/// Among so many the cause is looked for.
pub const WITHIN: [usize; 4] = [1, 3, 5, 10];

/// A complaint and what was found.
pub struct Complaint {
    opening: String,
    facts: Vec<String>,
    /// Any of these is right; a cause without its end.
    causes: Vec<String>,
}

/// Reads a set, one complaint a line.
pub fn complaints(text: &str) -> Result<Vec<Complaint>, String> {
    let read = |(n, line): (usize, &str)| {
        let value: Value = serde_json::from_str(line).map_err(|e| format!("line {}: {e}", n + 1))?;
        let texts = |of: &Value| -> Vec<String> {
            of.as_array().into_iter().flatten().filter_map(|v| v.as_str().map(str::to_owned)).collect()
        };
        let opening = value["opening"].as_str().ok_or(format!("line {}: no text `opening`", n + 1))?.to_owned();
        let causes = value["causes"].as_array().into_iter().flatten().flat_map(&texts);
        let root = |cause: String| cause.split('@').next().unwrap_or_default().to_owned();
        Ok(Complaint { opening, facts: texts(&value["facts"]), causes: causes.map(root).collect() })
    };
    text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty()).map(read).collect()
}

/// How many of the causes are among the first, for each of [`WITHIN`]: after the first words, or after all that was
/// told. A cause at both ends takes one place.
pub fn found(graph: &FaultGraph, complaints: &[Complaint], all: bool) -> [usize; 4] {
    let mut hits = [0; 4];
    for complaint in complaints {
        let mut said = complaint.opening.clone();
        for fact in complaint.facts.iter().filter(|_| all) {
            said += &format!(" {}.", fact.trim_end_matches('.'));
        }
        let mut session = Session::new(graph, Situation::in_place(Venue::Home));
        session.step(&said);
        let mut order: Vec<&str> = Vec::new();
        for cause in session.posterior().map(|p| p.ranking()).unwrap_or_default() {
            let id = graph.cause(cause).id.as_str();
            if !order.contains(&id) {
                order.push(id);
            }
        }
        let place = order.iter().position(|id| complaint.causes.iter().any(|right| right == id));
        hits.iter_mut().zip(WITHIN).for_each(|(hits, most)| *hits += usize::from(place.is_some_and(|at| at < most)));
    }
    hits
}
