//! How riders tell of causes: which words stand in the tellings of each, counted.
//!
//! A word is a stem that carries something and stands in two tellings at least.
//! Causes that exist at both ends share their tellings.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::{Cause, CauseIx, WordIx};
use crate::words::stems::Stems;

/// A word met only once may be a slip.
const MET: u32 = 2;

/// The tellings of all causes, counted.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
pub struct Tellings {
    /// The words, in order.
    stems: Vec<String>,
    /// By word: rows in whose tellings it stands, and in how many of them.
    found: Vec<Vec<(usize, u32)>>,
    /// Causes told of.
    rows: Vec<Row>,
    /// By cause: its row.
    of: Vec<usize>,
}

/// What was counted for one cause, at both its ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Row {
    /// Words in its tellings, each counted once in each telling.
    pub words: u32,
    /// Its assembly, numbered.
    pub assembly: usize,
}

impl Tellings {
    /// Counts what is said of each cause, by its id.
    pub fn count<'a>(stems: &Stems, causes: &[Cause], told: impl IntoIterator<Item = (&'a str, &'a [String])>) -> Self {
        let mut places: BTreeMap<&str, usize> = BTreeMap::new();
        let mut assemblies: BTreeMap<&str, usize> = BTreeMap::new();
        let mut all = Self::default();
        for cause in causes {
            let number = assemblies.len();
            let assembly = *assemblies.entry(&cause.assembly).or_insert(number);
            let row = *places.entry(&cause.id).or_insert(all.rows.len());
            if row == all.rows.len() {
                all.rows.push(Row { words: 0, assembly });
            }
            all.of.push(row);
        }
        let mut counts: BTreeMap<String, BTreeMap<usize, u32>> = BTreeMap::new();
        for (row, said) in told.into_iter().filter_map(|(id, said)| Some((*places.get(id)?, said))) {
            for telling in said {
                for stem in stems.counting(telling).into_iter().collect::<BTreeSet<_>>() {
                    *counts.entry(stem).or_default().entry(row).or_default() += 1;
                }
            }
        }
        for (stem, found) in counts.into_iter().filter(|(_, found)| found.values().sum::<u32>() >= MET) {
            for (row, n) in &found {
                if let Some(row) = all.rows.get_mut(*row) {
                    row.words += n;
                }
            }
            all.stems.push(stem);
            all.found.push(found.into_iter().collect());
        }
        all
    }

    /// The word with this stem.
    pub fn word(&self, stem: &str) -> Option<WordIx> {
        self.stems.binary_search_by(|s| s.as_str().cmp(stem)).ok().map(WordIx)
    }

    /// Rows in whose tellings a word stands, and in how many of them.
    pub fn found(&self, word: WordIx) -> &[(usize, u32)] {
        self.found.get(word.0).map_or(&[], Vec::as_slice)
    }

    /// What was counted, by row.
    pub fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The row of a cause.
    pub fn row(&self, cause: CauseIx) -> Option<usize> {
        self.of.get(cause.0).copied()
    }
}
