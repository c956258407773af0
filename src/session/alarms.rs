//! An alarm is cleared in words: who says that what clears it is so is asked before it is believed.

use std::collections::BTreeSet;

use super::sayings::Line;
use super::standing::Standing;
use super::told::Asked;
use super::{Session, reply, riding};
use crate::graph::Trigger;
use crate::inquiry::safety;
use crate::knowledge::terms::Manner;

/// So many words must be shared with what clears an alarm.
const SHARED: usize = 2;

impl Session<'_> {
    /// The first alarm that stands and is cleared by what somebody did, by its place among all.
    pub(super) fn alarm(&self) -> Option<usize> {
        self.cleared_by_deeds(self.something_told()?).first().copied()
    }

    /// The alarm that stands and that these words may clear, by its place among all.
    pub(super) fn may_clear(&self, words: &str) -> Option<usize> {
        let st = self.something_told()?;
        let stems = &self.lexicon().reader.stems;
        let said: BTreeSet<String> = stems.counting(words).into_iter().collect();
        let says_more = Line::of(words).holds(&self.graph.reading, Manner::TellsMore);
        if words.contains('?') || said.contains("not") || says_more {
            return None;
        }
        let well = Line::of(words).holds(&self.graph.reading, Manner::Well);
        let near = |clear: &str| {
            let clear: BTreeSet<String> = stems.counting(clear).into_iter().collect();
            let shared = said.intersection(&clear).count();
            (shared >= SHARED && shared * 2 >= said.len()) || (shared > 0 && well)
        };
        self.cleared_by_deeds(st)
            .into_iter()
            .find(|flag| self.graph.flags.get(*flag).is_some_and(|flag| near(&flag.clear)))
    }

    /// The alarms that stand and that no question clears, by their places among all.
    fn cleared_by_deeds(&self, st: &Standing) -> Vec<usize> {
        let raised = safety::red_flags(self.graph, &st.evidence);
        let raised = raised.into_iter().filter(|flag| riding::clearing(self.graph, &flag.clear).next().is_none());
        raised.filter_map(|flag| self.graph.flags.iter().position(|f| f.id == flag.id)).collect()
    }

    /// Takes back what raised an alarm.
    pub(super) fn clear(&mut self, flag: usize) -> String {
        self.asked = Asked::Best;
        let raised = self.graph.flags.get(flag).zip(self.something_told()).map(|(flag, st)| {
            let raised = flag.when.iter().filter(|trigger| safety::raised(&st.evidence, trigger));
            raised.filter_map(|trigger| self.named_in_reports(trigger)).collect::<Vec<String>>()
        });
        match raised {
            Some(ids) if !ids.is_empty() => self.misheard(ids),
            _ => reply::no_question(),
        }
    }

    /// What raised an alarm, as reports name it.
    fn named_in_reports(&self, trigger: &Trigger) -> Option<String> {
        let (g, evidence) = (self.graph, &self.something_told()?.evidence);
        let event = |complaint| {
            let event = evidence.events.iter().position(|e| e.complaint == complaint)?;
            Some(evidence.event_name(g, event))
        };
        match trigger {
            Trigger::Complaint(c) => event(*c),
            Trigger::Value(c, pos, _) => {
                let facet = g.complaint(*c).facets.get(*pos).map(|used| g.facet(used.facet))?;
                Some(format!("{}.{}", event(*c)?, facet.id))
            }
            Trigger::Sign(sign) => Some(g.sign(*sign).root.clone()),
        }
    }
}
