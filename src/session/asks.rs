//! Questions put to the program: they tell nothing of the bike, and some are answered.

use super::command::asks_to_ride;
use super::sayings::Line;
use super::{Session, faults, repairs, reply};
use crate::knowledge::terms::Manner;

/// Who asks so much tells something as well.
const MOST_WORDS_OF_A_QUESTION: usize = 20;

/// Who goes to look says so in few words.
const MOST_WORDS_OF_A_PAUSE: usize = 9;

impl Session<'_> {
    /// The ride advice, where a longer line asks for it among other things.
    pub(super) fn ride_asked_beside(&self, words: &str) -> String {
        let lower = words.to_lowercase();
        let pieces = lower.split([',', '.', ';', '?']).map(str::trim);
        let asked = pieces.into_iter().any(|piece| {
            let piece = piece.trim_start_matches("and ").trim_start_matches("but ");
            piece != lower.trim() && asks_to_ride(piece)
        });
        // A line that is nothing but the question was answered as one.
        let beside = asked && self.asked_something(words).is_none();
        let Some(st) = self.something_told().filter(|_| beside) else { return String::new() };
        format!("\n{}", reply::ride(self.graph, &st.evidence, &st.posterior))
    }

    /// What is said to somebody who goes to look, and tells nothing.
    pub(super) fn waits(&self, words: &str) -> Option<String> {
        let line = Line::of(words);
        let goes = line.words().count() <= MOST_WORDS_OF_A_PAUSE && line.holds(&self.graph.reading, Manner::Waits);
        (goes && self.heard_beside_all(words).heard.is_empty()).then(reply::waiting)
    }

    /// What is said where somebody says that a cause is not it: how that is seen.
    pub(super) fn ruled_out(&self, words: &str) -> Option<String> {
        let st = self.something_told()?;
        let named = Line::of(words).after(&self.graph.reading, Manner::RulesOut).next()?;
        let ranked = faults::ranked(self.graph, &st.posterior);
        let fault = self.fault_named(named.text())?;
        let place = faults::worth_naming(&ranked).iter().position(|f| f.is(fault.cause))?;
        Some(reply::ruled_out(self.graph, &fault, place + 1))
    }

    /// The answer to a question that is put to the program once something was told.
    pub(super) fn asked_something(&self, words: &str) -> Option<String> {
        let st = self.something_told()?;
        let reading = &self.graph.reading;
        let line = Line::of(words.trim_end().trim_end_matches('?'));
        let is = |word: &str, manner: Manner| Line::of(word).is(reading, manner);
        let begins = line.words().find(|word| !is(word, Manner::LeadsIn)).map(|word| word.trim_end_matches('?'));
        let asks = line.begins(reading, Manner::Asks)
            || line.begins(reading, Manner::AsksCost)
            || asks_to_ride(line.text())
            || (words.trim_end().ends_with('?') && begins.is_some_and(|word| is(word, Manner::BeginsQuestion)));
        if !asks || line.words().count() > MOST_WORDS_OF_A_QUESTION {
            return None;
        }
        if line.begins(reading, Manner::AsksCost) {
            let work = self.mending.or_else(|| self.mended(1)).map(|(remedy, _)| self.graph.remedy(remedy));
            return Some(work.map_or_else(reply::no_question, repairs::takes));
        }
        if line.begins(reading, Manner::AsksLeave) || asks_to_ride(line.text()) {
            return Some(reply::ride(self.graph, &st.evidence, &st.posterior));
        }
        if let Some((remedy, _)) = self.mending.filter(|_| line.begins(reading, Manner::AsksSettings)) {
            return Some(repairs::settings(self.graph.remedy(remedy)));
        }
        let standing = self.asking().map(|q| reply::question(self.graph, &st.evidence, q));
        Some(reply::a_question(standing))
    }
}
