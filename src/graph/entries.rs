//! What the tables of the graph hold, and the indices into them.

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

impl Default for AnswerTable {
    /// Answers that tell nothing.
    fn default() -> Self {
        Self { there: [0.2; 5], missing: [0.2; 5] }
    }
}

/// Joins a name and an end.
pub fn with_end(id: &str, end: Option<End>) -> String {
    end.map_or_else(|| id.to_owned(), |e| format!("{id}@{}", e.word()))
}
