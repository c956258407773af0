//! The fault graph: causes, complaints, signs, questions and remedies, and what links them.
//!
//! petgraph holds nodes and weighted links; outside, everything is named by a
//! typed index ([`CauseIx`], [`SignIx`], ...) into plain tables. What exists at
//! both ends of the bike has become two entries here, every step word a number,
//! every facet a full distribution. The graph knows no evidence and no reporter.
//!
//! Reading order: this file (tables and walking), [`build`](mod@build) (knowledge to graph),
//! [`draw`] (pictures).

pub mod build;
pub mod draw;
mod shake;
pub mod speech;
pub mod tellings;

use std::collections::BTreeMap;

pub use speech::{Amount, Gloss, Meaning, Phrase, Reading};
use tellings::Tellings;

use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;
use serde::{Deserialize, Serialize};

use crate::knowledge::terms::{Motion, Reporter, Ride, Venue};

macro_rules! index {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub struct $name(pub(crate) usize);

        impl $name {
            /// Position in its table.
            pub fn index(self) -> usize {
                self.0
            }
        }
    )*};
}

index! {
    /// A cause, at one end if it has ends.
    CauseIx;
    /// A complaint.
    ComplaintIx;
    /// A sign, at one end if it has ends.
    SignIx;
    /// A question.
    QuestionIx;
    /// A remedy.
    RemedyIx;
    /// A bike fact.
    FactIx;
    /// A facet.
    FacetIx;
    /// A word of the tellings.
    WordIx;
}

/// An end of the bike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum End {
    /// The front.
    Front,
    /// The rear.
    Rear,
}

impl End {
    /// Both.
    pub const BOTH: [Self; 2] = [Self::Front, Self::Rear];

    /// `front` or `rear`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
        }
    }
}

/// A value of a fact or facet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Value {
    /// Name.
    pub id: String,
    /// Plain wording.
    pub name: String,
}

/// What the bike is or what happened to it.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Fact {
    /// Name.
    pub id: String,
    /// Plain wording.
    pub name: String,
    /// The question.
    pub ask: String,
    /// Why it is asked.
    pub why: String,
    /// True for what happened.
    pub history: bool,
    /// Exclusive values.
    pub values: Vec<Value>,
    /// Share of each value, summing to 1.
    pub shares: Vec<f64>,
}

/// An aspect of complaints.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Facet {
    /// Name.
    pub id: String,
    /// What it is called in a list.
    pub name: String,
    /// The question.
    pub ask: String,
    /// What it separates.
    pub why: String,
    /// Exclusive values; `yes` and `no` for a yes-or-no facet.
    pub values: Vec<Value>,
    /// True for a yes-or-no facet.
    pub yes_no: bool,
    /// Values of other facets that make asking senseless.
    pub moot: Vec<(FacetIx, usize)>,
    /// Minutes to answer.
    pub minutes: f64,
    /// Where it can be answered.
    pub at: Vec<Venue>,
}

/// A facet as one complaint has it.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct FacetUse {
    /// The facet.
    pub facet: FacetIx,
    /// The background's distribution.
    pub shares: Vec<f64>,
    /// How often each reporter names the true value, in the order of [`Reporter::ALL`].
    pub hits: [f64; 3],
}

/// What the bike does, one event.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Complaint {
    /// Name.
    pub id: String,
    /// Statement.
    pub name: String,
    /// The question.
    pub ask: String,
    /// Chance of it with none of our causes.
    pub background: f64,
    /// Its facets.
    pub facets: Vec<FacetUse>,
    /// Bikes that can have it.
    pub needs: Vec<(FactIx, Vec<bool>)>,
}

/// Something on the bike that is there or not.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Sign {
    /// Name, with `@front` or `@rear` if it has ends.
    pub id: String,
    /// Name without the end.
    pub root: String,
    /// Its end.
    pub end: Option<End>,
    /// Statement.
    pub name: String,
    /// True if slight and strong are told apart.
    pub degrees: bool,
    /// Chance of it with none of our causes.
    pub background: f64,
    /// Answer table by reporter or `reporter@place`, first match wins.
    pub noticed: Vec<(String, AnswerTable)>,
}

/// Chances of the five answers, in the order of the words.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AnswerTable {
    /// When the thing is there.
    pub there: [f64; 5],
    /// When it is not.
    pub missing: [f64; 5],
}

/// A caution.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Caution {
    /// Name.
    pub id: String,
    /// The words.
    pub text: String,
    /// True if it is for the hand at work, not for who rides on.
    pub at_work: bool,
    /// Bikes to which it speaks.
    pub fits: Vec<(FactIx, Vec<bool>)>,
}

/// A state of a part.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Cause {
    /// Name, without the end.
    pub id: String,
    /// Its end, if it exists at both.
    pub end: Option<End>,
    /// Plain name, with its end.
    pub name: String,
    /// One sentence.
    pub plain: String,
    /// Where it belongs.
    pub assembly: String,
    /// Base rate on a bike that fits.
    pub base: f64,
    /// Values of facts that fit, by fact.
    pub fits: Vec<(FactIx, Vec<bool>)>,
    /// Multipliers of the odds.
    pub odds: Vec<(FactIx, usize, f64)>,
    /// May the bike be ridden with it?
    pub ride: Ride,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// The act that confirms it.
    pub check: String,
    /// Citation of its numbers.
    pub source: String,
}

impl Cause {
    /// Name and end, unique: `rotor-not-true@front`.
    pub fn key(&self) -> String {
        with_end(&self.id, self.end)
    }
}

/// What a question is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Topic {
    /// Signs.
    Signs(Vec<SignIx>),
    /// A facet of a complaint, by its position there.
    Facet(ComplaintIx, usize),
    /// A bike fact.
    Fact(FactIx),
}

/// An option of a question about signs.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Choice {
    /// What is offered.
    pub say: String,
    /// What it means: sign and answer word.
    pub means: Vec<(SignIx, String)>,
}

/// Something that can be asked or looked at.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Question {
    /// Name.
    pub id: String,
    /// What it is about.
    pub topic: Topic,
    /// What is asked.
    pub ask: String,
    /// What it separates.
    pub why: String,
    /// Exclusive options; empty means the five answers, or the values of the topic.
    pub options: Vec<Choice>,
    /// Minutes.
    pub minutes: f64,
    /// Where.
    pub at: Vec<Venue>,
    /// By whom; anybody if empty.
    pub by: Vec<Reporter>,
    /// What it puts in motion.
    pub moves: Vec<Motion>,
    /// What it needs.
    pub tools: Vec<String>,
}

/// What cures.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Remedy {
    /// Name.
    pub id: String,
    /// Imperative.
    pub name: String,
    /// Minutes.
    pub minutes: f64,
    /// Parts' price in minutes of work.
    pub price: f64,
    /// False if it cannot be undone.
    pub undoes: bool,
    /// Where.
    pub at: Vec<Venue>,
    /// Tools.
    pub tools: Vec<String>,
    /// Parts.
    pub parts: Vec<String>,
    /// Steps.
    pub steps: Vec<String>,
    /// Cautions.
    pub cautions: Vec<Caution>,
    /// Proof of cure.
    pub proof: String,
    /// The usual mistake.
    pub slip: String,
    /// When to hand over.
    pub hand_over: String,
    /// Citation.
    pub source: String,
}

/// What a red flag waits for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Trigger {
    /// A complaint.
    Complaint(ComplaintIx),
    /// A value of a facet of a complaint.
    Value(ComplaintIx, usize, usize),
    /// A sign.
    Sign(SignIx),
}

/// A report that speaks at once.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct RedFlag {
    /// Name.
    pub id: String,
    /// What raises it.
    pub when: Vec<Trigger>,
    /// What is said.
    pub say: String,
    /// What clears it.
    pub clear: String,
    /// True if nobody should go near to look.
    pub hands_off: bool,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

/// How a cause fires a complaint.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Firing {
    /// How often it does so alone.
    pub strength: f64,
    /// Per facet of the complaint, the distribution of its values.
    pub shapes: Vec<Vec<f64>>,
}

/// How likely each degree of a sign is, alone: none, slight, strong. A sign
/// without degrees uses the last only.
pub type Degrees = [f64; 3];

/// Chance that a remedy works.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Works {
    /// Done by the rider.
    pub rider: f64,
    /// Done by a mechanic.
    pub mechanic: f64,
}

impl Works {
    /// The chance for this person.
    pub fn by(self, who: Reporter) -> f64 {
        if who == Reporter::Rider { self.rider } else { self.mechanic }
    }
}

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
    /// How riders tell of causes.
    pub tellings: Tellings,
    /// Answer tables for asked and for volunteered answers, in the order of [`Reporter::ALL`].
    pub tables: [(AnswerTable, AnswerTable); 3],
}

impl Default for AnswerTable {
    /// Answers that tell nothing.
    fn default() -> Self {
        Self { there: [0.2; 5], missing: [0.2; 5] }
    }
}

#[derive(Debug, Clone, Default, Serialize, Deserialize)]
struct Nodes {
    causes: Vec<NodeIndex>,
    complaints: Vec<NodeIndex>,
    signs: Vec<NodeIndex>,
    questions: Vec<NodeIndex>,
    remedies: Vec<NodeIndex>,
}

/// Joins a name and an end.
pub fn with_end(id: &str, end: Option<End>) -> String {
    end.map_or_else(|| id.to_owned(), |e| format!("{id}@{}", e.word()))
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
