//! In what words it was told: what all of them together speak for.
//!
//! Beside the reports that are understood, the words themselves are evidence:
//! who says "eek-eek", "hosed" and "freewheel" tells of a dry chain more often
//! than of anything else. Each cause is a bag of words, smoothed by its assembly
//! and by all tellings (MacKay and Peto, A hierarchical Dirichlet language model,
//! Natural Language Engineering 1, 1995).

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::graph::{CauseIx, FaultGraph, WordIx};

/// So many words of its assembly's tellings are added to a cause's own.
const FROM_ASSEMBLY: f64 = 200.0;
/// So many words of all tellings are added to those of an assembly.
const FROM_ALL: f64 = 8000.0;
/// What a word is worth of what it would be worth if words came independently. Words hang
/// together, and many were already understood as reports. Found, with the two numbers above, on
/// 392 complaints that nobody who wrote tellings knew; from 0.2 to 0.35 it makes little difference.
const WEIGHT: f64 = 0.2;

/// The same where nothing was understood, and the words stand for the complaint itself. Found with
/// 1,273 tellings in which no complaint was heard, each half weighed by the other half.
const WEIGHT_ALONE: f64 = 0.5;

/// The words told, and how well they fit each cause.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Telling {
    words: BTreeMap<WordIx, u32>,
    /// By cause: natural logarithm of how much oftener its tellings have these words than all
    /// tellings together.
    fits: Arc<[f64]>,
}

impl Telling {
    /// Adds the words of one text, each once; who says a word again when asked means it.
    pub fn add(&mut self, graph: &FaultGraph, words: impl IntoIterator<Item = WordIx>) {
        let words: BTreeSet<WordIx> = words.into_iter().collect();
        if words.is_empty() {
            return;
        }
        words.into_iter().for_each(|word| *self.words.entry(word).or_default() += 1);
        self.fits = fits(graph, &self.words);
    }

    /// True if no word was told.
    pub fn is_empty(&self) -> bool {
        self.words.is_empty()
    }

    /// Chance of the words by cause and by the background, in proportion: the largest is 1.
    /// Each of several complaints that were told together takes its share of them.
    pub fn by_cause(&self, complaints: usize) -> (Vec<f64>, f64) {
        let share = WEIGHT / complaints.max(1) as f64;
        let most = self.fits.iter().copied().fold(0.0, f64::max);
        let chance = |fit: f64| (share * (fit - most)).exp();
        (self.fits.iter().map(|fit| chance(*fit)).collect(), chance(0.0))
    }

    /// How much oftener than usual riders with this cause use these words, where nothing else is known.
    pub fn alone(&self, cause: CauseIx) -> f64 {
        self.fits.get(cause.0).map_or(1.0, |fit| (WEIGHT_ALONE * fit).exp())
    }
}

fn fits(graph: &FaultGraph, words: &BTreeMap<WordIx, u32>) -> Arc<[f64]> {
    let tellings = &graph.tellings;
    let rows = tellings.rows();
    let mut of_assembly: BTreeMap<usize, f64> = BTreeMap::new();
    for row in rows {
        *of_assembly.entry(row.assembly).or_default() += f64::from(row.words);
    }
    let all: f64 = of_assembly.values().sum();
    let mut fits = vec![0.0; rows.len()];
    for (word, times) in words {
        let found: BTreeMap<usize, f64> = tellings.found(*word).iter().map(|(row, n)| (*row, f64::from(*n))).collect();
        let usual = found.values().sum::<f64>() / all;
        let mut in_assembly: BTreeMap<usize, f64> = BTreeMap::new();
        for (row, n) in &found {
            if let Some(row) = rows.get(*row) {
                *in_assembly.entry(row.assembly).or_default() += n;
            }
        }
        let assembly: BTreeMap<usize, f64> = of_assembly
            .iter()
            .map(|(a, words)| {
                let n = in_assembly.get(a).copied().unwrap_or(0.0);
                (*a, (n + FROM_ALL * usual) / (words + FROM_ALL))
            })
            .collect();
        for (at, (row, fit)) in rows.iter().zip(&mut fits).enumerate() {
            let own = found.get(&at).copied().unwrap_or(0.0);
            let beside = assembly.get(&row.assembly).copied().unwrap_or(usual);
            let chance = (own + FROM_ASSEMBLY * beside) / (f64::from(row.words) + FROM_ASSEMBLY);
            *fit += f64::from(*times) * (chance / usual).ln();
        }
    }
    graph.cause_ixs().map(|c: CauseIx| tellings.row(c).and_then(|r| fits.get(r)).copied().unwrap_or(0.0)).collect()
}
