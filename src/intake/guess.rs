//! What the bike may do, where nobody could name it: a guess from the words alone.

use super::{Heard, Unclear};
use crate::graph::FaultGraph;
use crate::inference::evidence::{Event, Evidence};
use crate::inference::{complaint_chances, told_of};
use crate::knowledge::terms::Word;

/// From this chance on a complaint is taken as told; the rider can say that it is wrong. Judgement.
const TAKEN_FROM: f64 = 0.6;
/// Most complaints offered, and the least chance of one. Judgement.
const OFFERED: usize = 4;
const OFFERED_FROM: f64 = 0.04;

/// What came of guessing.
pub enum Guess {
    /// The words are clear enough to take it as told.
    Taken(Event, Heard),
    /// They may mean several things.
    Open(Unclear),
}

/// Guesses the complaint where none is in the evidence and no sign was told, unless all that was said
/// was understood: who told of the bike alone is asked what it does. `text` was said last.
pub fn guess(graph: &FaultGraph, evidence: &Evidence, heard: &[Heard], missed: bool, text: &str) -> Option<Guess> {
    if !heard.is_empty() && !missed {
        return None;
    }
    let shown = evidence.signs.iter().any(|r| r.likelihood[2] > r.likelihood[0]);
    if !evidence.events.is_empty() || shown || evidence.telling.is_empty() {
        return None;
    }
    let chances = complaint_chances(graph, &told_of(graph, evidence));
    let (likeliest, chance) = *chances.first()?;
    let id = |complaint| graph.complaint(complaint).id.clone();
    if chance >= TAKEN_FROM {
        let answer = Word::ThinkSo.word().to_owned();
        let heard = Heard { text: text.to_owned(), id: id(likeliest), answer };
        return Some(Guess::Taken(Event::certain(likeliest), heard));
    }
    let offered = chances.into_iter().filter(|(_, chance)| *chance >= OFFERED_FROM).take(OFFERED);
    let may_be: Vec<String> = offered.map(|(c, _)| format!("{}={}", id(c), Word::Sure.word())).collect();
    (may_be.len() > 1).then(|| Guess::Open(Unclear { text: text.to_owned(), may_be }))
}
