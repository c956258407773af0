//! What an author would want to know of the knowledge beyond its shape.
//!
//! The rules of [`crate::knowledge::check`] see names and numbers; those here
//! build the graph and ask inference what the numbers do to an answer: whether
//! a cause can lead, whether two can be told apart, whether an item tells
//! anything. What they say are notes, never a reason not to answer riders.
//! They need knowledge without snags, change nothing and print nothing.
//!
//! Reading order: [`apart`] (how far an answer tells two causes apart), then one rule a file.

mod apart;
mod blunt_item;
mod near_twin;
mod never_leads;

use crate::graph::FaultGraph;
use crate::graph::build::build;
use crate::knowledge::Knowledge;
use crate::knowledge::format::Id;
use crate::snag::Snag;

/// Every code a note of this module can have.
pub const CODES: &[&str] = &["blunt-item", "near-twin", "never-leads"];

/// Runs every rule over knowledge that has no snags; notes come in the order of the files.
pub fn notes(knowledge: &Knowledge) -> Vec<Snag> {
    let graph = build(knowledge);
    let mut review = Review { knowledge, graph: &graph, notes: Vec::new() };
    for rule in [blunt_item::check, near_twin::check, never_leads::check] {
        rule(&mut review);
    }
    let mut notes = review.notes;
    knowledge.in_file_order(&mut notes);
    notes
}

/// Where rules read, and write what they find.
struct Review<'k> {
    knowledge: &'k Knowledge,
    graph: &'k FaultGraph,
    notes: Vec<Snag>,
}

impl<'k> Review<'k> {
    fn say(&mut self, code: &'static str, at: Option<&Id>, headline: String, nearest: Option<String>, mend: String) {
        let place = at.and_then(|id| self.knowledge.place(id));
        self.notes.push(Snag { code, place, headline, nearest, mend });
    }

    /// Where a cause is written.
    fn cause(&self, id: &str) -> Option<&'k Id> {
        self.knowledge.causes.iter().map(|c| &c.id).find(|i| i.value == id)
    }
}
