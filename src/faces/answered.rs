//! The whole answer to a request, before it is shown to people or to programs.

use std::borrow::Cow;

use crate::graph::{CauseIx, FaultGraph};
use crate::inference::Posterior;
use crate::inference::evidence::Evidence;
use crate::inquiry::Inquiry;
use crate::intake::Heard;
use crate::knowledge::terms::Ride;

/// What was taken down, and what follows from it.
pub struct Answered {
    /// The graph it speaks of.
    pub graph: Cow<'static, FaultGraph>,
    /// What was taken down.
    pub evidence: Evidence,
    /// What was heard in plain words.
    pub heard: Vec<Heard>,
    /// What is believed.
    pub posterior: Posterior,
    /// Ride advice and the causes that give it.
    pub ride: (Ride, Vec<CauseIx>),
    /// What to ask and what to mend.
    pub inquiry: Inquiry,
    /// What should be known about this answer.
    pub warnings: Vec<String>,
}

impl Answered {
    /// True if nothing was told that could be weighed.
    pub fn nothing_heard(&self) -> bool {
        self.evidence.says_nothing()
    }
}
