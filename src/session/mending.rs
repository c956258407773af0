//! Repairs in a sitting: how one is gone about, and what came of it.

use super::told::Told;
use super::{Reply, Session, reply};
use crate::graph::{End, RemedyIx};

impl Session<'_> {
    pub(super) fn mend(&mut self, n: usize) -> String {
        let chosen = self.remedy_for(n);
        let tried = chosen.is_some_and(|(r, end)| self.standing_told().any(|(_, t)| *t == Told::Stayed(r, end, None)));
        self.mending = chosen.or(self.mending);
        self.with_cause(n, |s, _, cause| reply::mend(s.graph, cause, chosen.map(|(r, _)| r), tried))
    }

    pub(super) fn after_mending(&mut self, gone: Option<f64>) -> String {
        match self.mending.take() {
            Some((remedy, end)) => self.tell(Told::Stayed(remedy, end, gone)),
            None => reply::nothing_mended(),
        }
    }

    /// A cure ends the sitting, unless another complaint is left.
    pub(super) fn cured(&mut self, remedy: RemedyIx, end: Option<End>) -> Reply {
        let g = self.graph;
        let text = reply::cured(g.remedy(remedy));
        let several = self.something_told().filter(|st| st.evidence.events.len() > 1);
        let gone = several.and_then(|st| {
            let by = |brings: &Vec<f64>| {
                let causes = g.cured_by(remedy).filter(|(c, _)| g.cause(*c).end == end);
                causes.filter_map(|(c, _)| brings.get(c.index())).sum::<f64>()
            };
            let chances: Vec<f64> = st.posterior.brings.iter().map(by).collect();
            let event = (0..chances.len()).max_by(|a, b| chances[*a].total_cmp(&chances[*b]))?;
            Some(st.evidence.event_name(g, event))
        });
        let Some(name) = gone else { return Reply { text, ended: true } };
        self.mending = None;
        let left = reply::gone(&reply::plain_name(g, &name));
        Reply { text: text + &left + &self.tell(Told::Cured(remedy, end, name)), ended: false }
    }

    /// The remedy of the cause in this place, and the end at which it is done.
    pub(super) fn remedy_for(&self, n: usize) -> Option<(RemedyIx, Option<End>)> {
        let cause = self.something_told()?.posterior.ranking().get(n.checked_sub(1)?).copied()?;
        self.graph.remedies_of(cause).next().map(|(r, _)| (r, self.graph.cause(cause).end))
    }
}
