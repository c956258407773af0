//! The fault graph: causes, complaints, signs, questions and remedies, and what links them.
//!
//! petgraph holds nodes and weighted links; outside, everything is named by a
//! typed index ([`CauseIx`], [`SignIx`], ...) into plain tables. What exists at
//! both ends of the bike has become two entries here, every step word a number,
//! every facet a full distribution. The graph knows no evidence and no reporter.
//!
//! Reading order: `entries` (what the tables hold), this file (walking), [`build`](mod@build) (knowledge to graph),
//! [`draw`] (pictures).

pub mod build;
pub mod draw;
mod entries;
mod shake;
pub mod speech;
pub mod tellings;

use std::collections::BTreeMap;

pub use entries::*;
pub use speech::{Amount, Gloss, Meaning, Phrase, Reading};
use tellings::Tellings;

use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use serde::{Deserialize, Serialize};

use crate::words::wordings::Wordings;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub(crate) enum Node {
    Cause(CauseIx),
    Complaint(ComplaintIx),
    Sign(SignIx),
    Question(QuestionIx),
    Remedy(RemedyIx),
}

#[derive(Debug, Clone, Serialize, Deserialize)]
pub(crate) enum Link {
    Brings(Firing),
    Shows(Degrees),
    Settles,
    Cures(Works),
}

/// Knowledge as a graph.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct FaultGraph {
    pub(crate) graph: DiGraph<Node, Link>,
    nodes: Nodes,
    /// Signs by name, with and without their end.
    sign_names: BTreeMap<String, Vec<SignIx>>,
    /// Bike facts.
    pub facts: Vec<Fact>,
    /// Facets.
    pub facets: Vec<Facet>,
    /// Complaints.
    pub complaints: Vec<Complaint>,
    /// Signs.
    pub signs: Vec<Sign>,
    /// Causes.
    pub causes: Vec<Cause>,
    /// Questions: authored ones, then one for each facet and each fact.
    pub questions: Vec<Question>,
    /// Remedies.
    pub remedies: Vec<Remedy>,
    /// Red flags.
    pub flags: Vec<RedFlag>,
    /// Phrases.
    pub phrases: Vec<Phrase>,
    /// Hard words, explained.
    pub glosses: Vec<Gloss>,
    /// How words are read.
    pub reading: Reading,
    /// What the phrases say, ready for matching.
    pub wordings: Wordings,
    /// How riders tell of causes.
    pub tellings: Tellings,
    /// Answer tables for asked and for volunteered answers, in the order of [`Reporter::ALL`].
    pub tables: [(AnswerTable, AnswerTable); 3],
}

#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct Nodes {
    causes: Vec<NodeIndex>,
    complaints: Vec<NodeIndex>,
    signs: Vec<NodeIndex>,
    questions: Vec<NodeIndex>,
    remedies: Vec<NodeIndex>,
}

macro_rules! tables {
    ($($fn:ident, $all:ident, $ix:ident, $field:ident, $type:ident, $doc:literal;)*) => {
        impl FaultGraph {
            $(
                #[doc = concat!("The ", $doc, " behind an index.")]
                pub fn $fn(&self, ix: $ix) -> &$type {
                    // An index is only ever made by this graph.
                    &self.$field[ix.0]
                }
                #[doc = concat!("Indices of every ", $doc, ".")]
                pub fn $all(&self) -> impl Iterator<Item = $ix> + use<> {
                    (0..self.$field.len()).map($ix)
                }
            )*
        }
    };
}

tables! {
    cause, cause_ixs, CauseIx, causes, Cause, "cause";
    complaint, complaint_ixs, ComplaintIx, complaints, Complaint, "complaint";
    sign, sign_ixs, SignIx, signs, Sign, "sign";
    question, question_ixs, QuestionIx, questions, Question, "question";
    remedy, remedy_ixs, RemedyIx, remedies, Remedy, "remedy";
    fact, fact_ixs, FactIx, facts, Fact, "fact";
    facet, facet_ixs, FacetIx, facets, Facet, "facet";
}

impl FaultGraph {
    /// Causes that bring a complaint, with how they do.
    pub fn firings(&self, complaint: ComplaintIx) -> impl Iterator<Item = (CauseIx, &Firing)> {
        self.links_into(self.nodes.complaints.get(complaint.0).copied(), |node, link| match (node, link) {
            (Node::Cause(c), Link::Brings(firing)) => Some((c, firing)),
            _ => None,
        })
    }

    /// Causes that show a sign, with the chance of each degree.
    pub fn shown_by(&self, sign: SignIx) -> impl Iterator<Item = (CauseIx, Degrees)> {
        self.links_into(self.nodes.signs.get(sign.0).copied(), |node, link| match (node, link) {
            (Node::Cause(c), Link::Shows(d)) => Some((c, *d)),
            _ => None,
        })
    }

    /// Remedies of a cause, with the chance that they work.
    pub fn remedies_of(&self, cause: CauseIx) -> impl Iterator<Item = (RemedyIx, Works)> {
        self.links_into(self.nodes.causes.get(cause.0).copied(), |node, link| match (node, link) {
            (Node::Remedy(r), Link::Cures(w)) => Some((r, *w)),
            _ => None,
        })
    }

    /// Complaints that a cause brings.
    pub fn brought_by(&self, cause: CauseIx) -> impl Iterator<Item = (ComplaintIx, &Firing)> {
        self.links_out_of(self.nodes.causes.get(cause.0).copied(), |node, link| match (node, link) {
            (Node::Complaint(c), Link::Brings(firing)) => Some((c, firing)),
            _ => None,
        })
    }

    /// Signs that a cause shows.
    pub fn signs_of(&self, cause: CauseIx) -> impl Iterator<Item = (SignIx, Degrees)> {
        self.links_out_of(self.nodes.causes.get(cause.0).copied(), |node, link| match (node, link) {
            (Node::Sign(s), Link::Shows(d)) => Some((s, *d)),
            _ => None,
        })
    }

    /// Causes that a remedy cures.
    pub fn cured_by(&self, remedy: RemedyIx) -> impl Iterator<Item = (CauseIx, Works)> {
        self.links_out_of(self.nodes.remedies.get(remedy.0).copied(), |node, link| match (node, link) {
            (Node::Cause(c), Link::Cures(w)) => Some((c, *w)),
            _ => None,
        })
    }

    /// Causes that a remedy cures where it is done.
    pub fn cured_at(&self, remedy: RemedyIx, end: Option<End>) -> impl Iterator<Item = CauseIx> {
        self.cured_by(remedy).map(|(c, _)| c).filter(move |c| self.cause(*c).end == end)
    }

    /// Questions that settle a sign.
    pub fn questions_on(&self, sign: SignIx) -> impl Iterator<Item = QuestionIx> {
        self.links_into(self.nodes.signs.get(sign.0).copied(), |node, link| match (node, link) {
            (Node::Question(q), Link::Settles) => Some(q),
            _ => None,
        })
    }

    /// Finds a complaint by name.
    pub fn find_complaint(&self, id: &str) -> Option<ComplaintIx> {
        self.complaints.iter().position(|c| c.id == id).map(ComplaintIx)
    }

    /// Finds signs by name: one with its end, or both ends if none is told.
    pub fn find_signs(&self, id: &str) -> Vec<SignIx> {
        self.sign_names.get(id).cloned().unwrap_or_default()
    }

    /// Finds causes by name, with or without the end.
    pub fn find_causes(&self, id: &str) -> Vec<CauseIx> {
        let (root, end) = id.split_once('@').map_or((id, None), |(root, end)| (root, Some(end)));
        let fits = |c: &CauseIx| {
            let cause = self.cause(*c);
            cause.id == root && end.is_none_or(|e| cause.end.is_some_and(|x| x.word() == e))
        };
        self.cause_ixs().filter(fits).collect()
    }

    /// Finds a bike fact by name.
    pub fn find_fact(&self, id: &str) -> Option<FactIx> {
        self.facts.iter().position(|f| f.id == id).map(FactIx)
    }

    /// Finds the position of a facet within a complaint.
    pub fn find_facet(&self, complaint: ComplaintIx, id: &str) -> Option<usize> {
        self.complaint(complaint).facets.iter().position(|u| self.facet(u.facet).id == id)
    }

    fn links_into<'g, T: 'g>(
        &'g self,
        node: Option<NodeIndex>,
        pick: impl Fn(Node, &'g Link) -> Option<T> + 'g,
    ) -> impl Iterator<Item = T> + 'g {
        self.around(node, Direction::Incoming, pick)
    }

    fn links_out_of<'g, T: 'g>(
        &'g self,
        node: Option<NodeIndex>,
        pick: impl Fn(Node, &'g Link) -> Option<T> + 'g,
    ) -> impl Iterator<Item = T> + 'g {
        self.around(node, Direction::Outgoing, pick)
    }

    /// Neighbours in the order in which the links were written.
    fn around<'g, T: 'g>(
        &'g self,
        node: Option<NodeIndex>,
        direction: Direction,
        pick: impl Fn(Node, &'g Link) -> Option<T> + 'g,
    ) -> impl Iterator<Item = T> + 'g {
        let mut found: Vec<(petgraph::graph::EdgeIndex, T)> = node
            .into_iter()
            .flat_map(|n| self.graph.edges_directed(n, direction))
            .filter_map(|edge| {
                let other = if direction == Direction::Incoming { edge.source() } else { edge.target() };
                let node = *self.graph.node_weight(other)?;
                pick(node, edge.weight()).map(|t| (edge.id(), t))
            })
            .collect();
        found.sort_by_key(|(edge, _)| *edge);
        found.into_iter().map(|(_, t)| t)
    }
}
