//! Repairs in a sitting: how one is gone about, and what came of it.

use super::told::Told;
use super::{Reply, Session, reply};
use crate::graph::{CauseIx, End, RemedyIx};

impl Session<'_> {
    pub(super) fn mend(&mut self, n: usize) -> String {
        let chosen = self.remedy_for(n);
        let tried = chosen.is_some_and(|(r, end)| self.standing_told().any(|(_, t)| *t == Told::Stayed(r, end, None)));
        self.mending = chosen.or(self.mending);
        self.with_cause(n, |s, _, cause| reply::mend(s.graph, cause, chosen.map(|(r, _)| r), tried))
    }

    /// Mends the cause of this name, or hears the words where none is called so.
    pub(super) fn mend_named(&mut self, name: String) -> String {
        let place = self.something_told().and_then(|st| {
            let cause = self.named(&name, st)?;
            st.posterior.ranking().iter().position(|c| *c == cause)
        });
        match place {
            Some(place) => self.mend(place + 1),
            None => self.tell(Told::Words(format!("mend {name}"))),
        }
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
        let gone = self.gone_with(remedy, end);
        let all = self.something_told().is_none_or(|st| gone.len() >= st.evidence.events.len());
        if all {
            // What is cured is not gone on with.
            self.told.clear();
            self.mending = None;
            return Reply { text, ended: true };
        }
        self.mending = None;
        let left = gone.iter().map(|name| reply::gone(&reply::plain_name(g, name))).collect::<String>();
        // The last of a kind first, for the others are named by their number.
        let mut told = gone.into_iter().map(|name| Told::Cured(remedy, end, name)).rev().collect::<Vec<_>>();
        let last = told.pop();
        self.told.extend(told);
        let then = last.map(|last| self.tell(last)).unwrap_or_default();
        Reply { text: text + &left + &then, ended: false }
    }

    /// The complaints that go with a cure: the likeliest, and whatever its cause was the likeliest to bring.
    fn gone_with(&self, remedy: RemedyIx, end: Option<End>) -> Vec<String> {
        let Some(st) = self.something_told() else { return Vec::new() };
        let g = self.graph;
        let cured: Vec<CauseIx> = g.cured_by(remedy).map(|(c, _)| c).filter(|c| g.cause(*c).end == end).collect();
        let by = |brings: &[f64], c: CauseIx| brings.get(c.index()).copied().unwrap_or(0.0);
        let chances: Vec<(f64, f64)> = (st.posterior.brings.iter())
            .map(|brings| {
                let ours = cured.iter().map(|c| by(brings, *c)).sum();
                let rival = g.cause_ixs().filter(|c| !cured.contains(c)).map(|c| by(brings, c)).fold(0.0, f64::max);
                (ours, rival)
            })
            .collect();
        let most = chances.iter().map(|(ours, _)| *ours).fold(0.0, f64::max);
        let likeliest = chances.iter().position(|(ours, _)| *ours == most);
        let goes =
            |(event, (ours, rival)): (usize, &(f64, f64))| (Some(event) == likeliest || ours > rival).then_some(event);
        chances.iter().enumerate().filter_map(goes).map(|event| st.evidence.event_name(g, event)).collect()
    }

    /// The remedy of the cause in this place, and the end at which it is done.
    pub(super) fn remedy_for(&self, n: usize) -> Option<(RemedyIx, Option<End>)> {
        let cause = self.something_told()?.posterior.ranking().get(n.checked_sub(1)?).copied()?;
        self.graph.remedies_of(cause).next().map(|(r, _)| (r, self.graph.cause(cause).end))
    }
}
