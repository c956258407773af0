//! What the asking is about: one complaint, and who may bring it.
//!
//! Causes with the same cure are one account of the [`Outlook`](super::outlook::Outlook): telling
//! them apart mends nothing. Inside, every set of causes keeps its own chance.

use std::collections::BTreeMap;

use super::outlook::Account;
use crate::graph::{CauseIx, End, FaultGraph, RemedyIx};
use crate::inference::Trouble;
use crate::inference::accounts::{Accounts, accounts};
use crate::inference::evidence::Evidence;
use crate::inference::problem::Problem;
use crate::knowledge::terms::Reporter;

/// Sets of several causes that bring a complaint together are told apart from this chance on.
const TOLD_APART: f64 = 0.01;
/// Cures told apart; what is beyond them counts as beyond our reach.
const CURES: usize = 40;

/// What a cause asks for: its end, and its remedies with the chance that each works.
pub type Cure = (Option<End>, Vec<(RemedyIx, f64)>);

/// A complaint under discussion, or the plainest sign where nothing is complained of.
pub struct Subject<'g> {
    /// The knowledge.
    pub graph: &'g FaultGraph,
    /// What was reported.
    pub evidence: &'g Evidence,
    /// The same in numbers.
    pub problem: Problem,
    /// Position of the complaint in it.
    pub item: usize,
    /// Who may bring it.
    pub known: Accounts,
    /// The same by cure: causes are positions in `cures`.
    pub accounts: Vec<Account>,
    /// What there is to mend.
    pub cures: Vec<Cure>,
    /// The account of each set of `known`, of the background, and of the rest.
    account_of: Vec<usize>,
}

impl<'g> Subject<'g> {
    /// Looks at one item of the problem.
    ///
    /// # Errors
    /// As [`crate::inference::infer`].
    pub fn new(graph: &'g FaultGraph, evidence: &'g Evidence, item: usize, by: Reporter) -> Result<Self, Trouble> {
        let problem = Problem::of(graph, evidence);
        let known = accounts(&problem, item, TOLD_APART)?;
        let mut found: Vec<(Cure, f64)> = Vec::new();
        let mut cure_of = BTreeMap::new();
        for (set, chance) in &known.sets {
            let [cause] = set.as_slice() else { continue };
            let wanted = cure(graph, CauseIx(*cause), by);
            let at = found.iter().position(|(c, _)| *c == wanted).unwrap_or_else(|| {
                found.push((wanted, 0.0));
                found.len() - 1
            });
            found[at].1 += chance;
            cure_of.insert(*cause, at);
        }
        let mut order: Vec<usize> = (0..found.len()).collect();
        order.sort_by(|a, b| found[*b].1.total_cmp(&found[*a].1).then(a.cmp(b)));
        order.truncate(CURES);
        // The background first, then what we cannot reach, then what can be mended.
        let mut accounts = vec![
            Account { causes: Vec::new(), chance: known.unlisted },
            Account { causes: Vec::new(), chance: known.rest },
        ];
        let mut account_of = Vec::new();
        for (set, chance) in &known.sets {
            let places = set.iter().map(|c| order.iter().position(|o| cure_of.get(c) == Some(o)));
            let account = match places.collect::<Option<Vec<usize>>>() {
                None => 1,
                Some(mut causes) => {
                    causes.sort_unstable();
                    causes.dedup();
                    accounts.iter().skip(2).position(|a| a.causes == causes).map_or_else(
                        || {
                            accounts.push(Account { causes, chance: 0.0 });
                            accounts.len() - 1
                        },
                        |at| at + 2,
                    )
                }
            };
            if let Some(account) = accounts.get_mut(account) {
                account.chance += chance;
            }
            account_of.push(account);
        }
        account_of.extend([0, 1]);
        let cures = order.into_iter().filter_map(|at| found.get(at)).map(|(c, _)| c.clone()).collect();
        Ok(Self { graph, evidence, problem, item, known, accounts, cures, account_of })
    }

    /// Brings chances told for every set, for the background and for the rest together by account.
    pub fn by_account(&self, fine: &[f64]) -> Vec<f64> {
        let mut sums = vec![(0.0, 0.0); self.accounts.len()];
        for ((account, chance), x) in self.account_of.iter().zip(self.weights()).zip(fine) {
            if let Some((weight, sum)) = sums.get_mut(*account) {
                *weight += chance;
                *sum += chance * x;
            }
        }
        sums.into_iter().map(|(weight, sum)| if weight > 0.0 { sum / weight } else { 1.0 }).collect()
    }

    /// Chances of every set, of the background and of the rest.
    fn weights(&self) -> impl Iterator<Item = f64> + '_ {
        self.known.sets.iter().map(|(_, p)| *p).chain([self.known.unlisted, self.known.rest])
    }
}

/// What this cause asks for.
fn cure(graph: &FaultGraph, cause: CauseIx, by: Reporter) -> Cure {
    (graph.cause(cause).end, graph.remedies_of(cause).map(|(r, w)| (r, w.by(by))).collect())
}
