//! A complaint that a later line seems to tell in passing is made sure of: "I bled it, air came out" is
//! no tyre that loses air.

use super::Session;
use super::sayings::Line;
use crate::inquiry::safety;
use crate::intake::Heard;
use crate::knowledge::terms::{Manner, Ride, Word};

impl Session<'_> {
    /// How many alarms stand.
    pub(super) fn alarms(&self) -> usize {
        self.something_told().map_or(0, |st| safety::red_flags(self.graph, &st.evidence).len())
    }

    /// The complaints that the last words told beside those known before.
    pub(super) fn told_beside(&self) -> Vec<String> {
        let Some(st) = &self.standing else { return Vec::new() };
        let complaint = |h: &&Heard| {
            let root = h.id.split('#').next().unwrap_or_default();
            let there = matches!(Word::find(&h.answer), Some(Word::Sure | Word::ThinkSo));
            there && self.graph.find_complaint(root).is_some()
        };
        let (before, new) = st.heard.split_at(st.since.min(st.heard.len()));
        if !before.iter().any(|h| complaint(&h)) {
            return Vec::new();
        }
        let known = |h: &&Heard| before.iter().any(|old| old.id == h.id);
        new.iter().filter(complaint).filter(|h| !known(h)).map(|h| h.id.clone()).collect()
    }

    /// True where a later line brings a complaint and does not say that it is one more. A danger is believed at
    /// once: `before` is what was advised before the line came, and how many alarms stood.
    pub(super) fn may_be_misheard(&self, words: &str, before: (Ride, usize)) -> bool {
        let one_more = || Line::of(words).holds(&self.graph.reading, Manner::OneMore);
        !self.told_beside().is_empty() && self.advised() <= before.0 && self.alarms() <= before.1 && !one_more()
    }
}
