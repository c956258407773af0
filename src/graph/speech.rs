//! What riders' words mean, as the knowledge has it.

use serde::{Deserialize, Serialize};

use super::{ComplaintIx, FacetIx, FactIx, RemedyIx, SignIx};
use crate::knowledge::terms::Manner;
use crate::words::stems::Stems;

/// What words can mean.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Meaning {
    /// A complaint.
    Complaint(ComplaintIx),
    /// A value of a facet, of one complaint or of any that has it.
    Value(Option<ComplaintIx>, FacetIx, usize),
    /// A sign; both ends if it has ends.
    Sign(Vec<SignIx>),
    /// A value of a bike fact.
    Fact(FactIx, usize),
}

/// A word that not everybody knows.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Gloss {
    /// The word in its forms.
    pub of: Vec<String>,
    /// What it is.
    pub plain: String,
}

/// Words riders use.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Phrase {
    /// Name.
    pub id: String,
    /// Meanings.
    pub means: Vec<Meaning>,
    /// What they say is not so.
    pub denies: Vec<Meaning>,
    /// Remedies they say were done.
    pub tried: Vec<RemedyIx>,
    /// What else they may mean.
    pub or: Vec<Meaning>,
}

impl Phrase {
    /// True if it means nothing on purpose, and keeps its words from meaning anything else.
    pub fn is_guard(&self) -> bool {
        self.means.is_empty() && self.denies.is_empty() && self.tried.is_empty() && self.or.is_empty()
    }
}

/// How words are read before they are matched.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Reading {
    /// Words that are read as one, by what they are read as.
    pub alike: Vec<(String, Vec<String>)>,
    /// Words that say how others are meant.
    pub lists: Vec<(Manner, Vec<String>)>,
    /// Numbers that riders say.
    pub amounts: Vec<Amount>,
}

impl Reading {
    /// Words that do one thing to those beside them.
    pub fn words(&self, manner: Manner) -> impl Iterator<Item = &String> {
        self.lists.iter().filter(move |(m, _)| *m == manner).flat_map(|(_, say)| say)
    }

    /// What turns words into stems.
    pub fn stems(&self) -> Stems {
        let alike = self.alike.iter().map(|(id, say)| (id.as_str(), say.as_slice()));
        Stems::new(alike, self.words(Manner::Small))
    }
}

/// Numbers that riders say, and the gauge that reads them.
#[derive(Debug, Clone, Serialize, Deserialize)]
pub struct Amount {
    /// Name of the gauge.
    pub gauge: String,
    /// What the numbers are to the gauge, in the order in which they are said; `left+right` is one number for both.
    pub keys: Vec<String>,
    /// Words beside them; any of these.
    pub near: Vec<String>,
    /// Words of which one must stand there too, if there are any.
    pub also: Vec<String>,
}
