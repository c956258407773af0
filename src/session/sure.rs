//! What is made sure of, by a yes or a no, before it counts: a cure, the end of an alarm, one more complaint.

use super::sayings::Line;
use super::told::{Asked, Whether};
use super::{Reply, Session, answer, repairs, reply};
use crate::knowledge::terms::Manner;

impl Session<'_> {
    /// The yes or no to what is made sure of.
    pub(super) fn made_sure_of(&self, words: &str) -> Option<(Whether, bool)> {
        let Asked::Whether(whether) = self.asked else { return None };
        let reading = &self.graph.reading;
        // "Yes at the back, but not the front" clears nothing.
        let yes = answer::is_yes(reading, words) && !Line::of(words).holds(reading, Manner::TellsMore);
        // "No, take it out" is an answer; "no, the lever still comes to the bar" tells more.
        let no =
            answer::is_no(reading, words) || (whether == Whether::Beside && answer::begins_with_no(reading, words));
        (yes || no).then_some((whether, yes))
    }

    pub(super) fn made_sure(&mut self, whether: Whether, yes: bool) -> Reply {
        let text = match (whether, yes) {
            (Whether::Cured, true) => return self.cured(),
            (Whether::Gone(event), true) => self.take_off(event),
            (Whether::Clear(flag), true) => self.clear(flag),
            (Whether::ClearOfCure(flag), true) => {
                self.clear(flag);
                let Some(said) = self.done_beside_what_is_left() else { return self.cured() };
                said
            }
            (Whether::Beside, false) => self.misheard(self.told_beside()),
            (Whether::Beside, true)
            | (Whether::Cured | Whether::Gone(_) | Whether::Clear(_) | Whether::ClearOfCure(_), false) => {
                self.asked = Asked::Best;
                self.asked_in_full()
            }
        };
        Reply { text, ended: false }
    }

    /// Makes sure of something before it counts.
    pub(super) fn ask_whether(&mut self, whether: Whether) -> String {
        self.asked = Asked::Whether(whether);
        self.whether(whether)
    }

    /// What is made sure of, asked again.
    pub(super) fn whether(&mut self, whether: Whether) -> String {
        match whether {
            Whether::Cured => repairs::how_did_it_go(self.mending.map(|(r, _)| self.graph.remedy(r))),
            Whether::Clear(flag) | Whether::ClearOfCure(flag) => {
                self.graph.flags.get(flag).map_or_else(reply::no_question, |flag| repairs::is_it_clear(&flag.clear))
            }
            Whether::Gone(event) => match self.gone(event) {
                Some(name) => repairs::is_it_gone(&reply::plain_name(self.graph, &name), &self.clears(event)),
                None => reply::no_question(),
            },
            Whether::Beside => {
                let told = self.told_beside();
                let named: Vec<String> = told.iter().map(|id| reply::plain_name(self.graph, id)).collect();
                reply::is_it_beside(&named)
            }
        }
    }
}
