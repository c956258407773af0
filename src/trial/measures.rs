//! What many sittings say: hits, minutes, calibration, triage, and what is mistaken for what.

use std::collections::BTreeMap;

use super::world::World;
use super::{Sitting, THRESHOLDS};
use crate::graph::FaultGraph;
use crate::knowledge::terms::Ride;

/// A count of so many.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Share {
    /// How many did.
    pub did: usize,
    /// How many could.
    pub of: usize,
}

impl Share {
    fn add(&mut self, did: bool) {
        self.did += usize::from(did);
        self.of += 1;
    }

    /// The share itself; 0 of nothing.
    pub fn value(self) -> f64 {
        self.did as f64 / self.of.max(1) as f64
    }

    /// Its 95 % interval (E. B. Wilson, 1927).
    pub fn interval(self) -> (f64, f64) {
        let (n, p, z) = (self.of.max(1) as f64, self.value(), 1.959_964);
        let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
        let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
        ((middle - half).max(0.0), (middle + half).min(1.0))
    }
}

/// Hits of one assembly, or of all.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Hits {
    /// The leading cause brings it.
    pub first: Share,
    /// All causes that bring it are among the first three (four where there are two).
    pub within: Share,
    /// The first remedy cures one of them.
    pub remedy: Share,
}

/// The Brier score and its parts (A. H. Murphy, 1973): score = reliability - resolution + uncertainty.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Calibration {
    /// Mean squared error of the chances told.
    pub brier: f64,
    /// How far the chances are from what came, by bin.
    pub reliability: f64,
    /// How far the bins are from the mean.
    pub resolution: f64,
    /// Variance of what came.
    pub uncertainty: f64,
    /// Mean distance between told and come, weighed by bin.
    pub error: f64,
    /// Bins of equal count: mean chance told, and how often it came.
    pub bins: Vec<(f64, Share)>,
}

/// Everything measured.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measures {
    /// Sittings.
    pub sittings: usize,
    /// Questions, sorted.
    pub questions: Vec<usize>,
    /// Mean minutes: ours, knowing, repairs alone, the best threshold of information.
    pub minutes: [f64; 4],
    /// The threshold that was best.
    pub threshold: f64,
    /// In all.
    pub all: Hits,
    /// By assembly of the cause that brings it.
    pub assemblies: BTreeMap<String, Hits>,
    /// Of the chances told at the end of asking.
    pub calibration: Calibration,
    /// A cause that forbids riding brings it, and it was not said.
    pub under_triage: Share,
    /// Of those, it was named to be looked at before the ride.
    pub looked: Share,
    /// Something was named so, in any sitting.
    pub looks: Share,
    /// What it was then, most often first.
    pub missed: Vec<(String, usize)>,
    /// No cause that forbids riding is there, and it was said.
    pub over_triage: Share,
    /// Nothing in the list brings it.
    pub outside: Share,
    /// What was first instead of what it was, most often first.
    pub mistaken: Vec<(String, String, usize)>,
}

/// Bins of the reliability plot.
const BINS: usize = 15;
/// Pairs listed.
const PAIRS: usize = 12;

/// Measures sittings.
pub fn measure(g: &FaultGraph, sittings: &[Sitting]) -> Measures {
    let mut m = Measures { sittings: sittings.len(), ..Measures::default() };
    let mut forecasts = Vec::new();
    let mut missed: BTreeMap<String, usize> = BTreeMap::new();
    let mut pairs: BTreeMap<(String, String), usize> = BTreeMap::new();
    for sitting in sittings {
        let Sitting { world, ours, .. } = sitting;
        let by = world.complaints.first().map(|t| t.by.as_slice()).unwrap_or_default();
        m.questions.push(ours.questions);
        m.outside.add(by.is_empty());
        forecasts.extend(ours.forecasts.iter().copied());
        let said = ours.ride == Some(Ride::Stop);
        m.looks.add(!ours.look_first.is_empty());
        if World::forbids_riding(g, by) {
            m.under_triage.add(!said);
            if let Some(cause) = by.iter().find(|c| !said && g.cause(**c).ride == Ride::Stop) {
                m.looked.add(ours.look_first.contains(cause));
                *missed.entry(g.cause(*cause).id.clone()).or_default() += 1;
            }
        }
        if !World::forbids_riding(g, &world.present) {
            m.over_triage.add(said);
        }
        let Some(true_cause) = by.first().map(|c| g.cause(*c)) else { continue };
        let assembly = m.assemblies.entry(true_cause.assembly.clone()).or_default();
        for hits in [assembly, &mut m.all] {
            hits.first.add(ours.first);
            hits.within.add(ours.within);
            hits.remedy.add(ours.remedy);
        }
        if let Some((leading, _)) = ours.leading.filter(|_| !ours.first)
            && let Some(instead) = g.causes.get(leading)
        {
            *pairs.entry((true_cause.id.clone(), instead.id.clone())).or_default() += 1;
        }
    }
    m.questions.sort_unstable();
    let mean = |of: &dyn Fn(&Sitting) -> f64| sittings.iter().map(of).sum::<f64>() / sittings.len().max(1) as f64;
    let by_threshold: Vec<f64> = (0..THRESHOLDS.len()).map(|i| mean(&|s| s.entropy[i])).collect();
    let best = (0..THRESHOLDS.len()).min_by(|a, b| by_threshold[*a].total_cmp(&by_threshold[*b])).unwrap_or(0);
    m.threshold = THRESHOLDS[best];
    m.minutes = [mean(&|s| s.ours.minutes), mean(&|s| s.knowing), mean(&|s| s.repairs_alone), by_threshold[best]];
    m.calibration = calibration(forecasts);
    m.missed = missed.into_iter().collect();
    m.missed.sort_by_key(|(was, n)| (usize::MAX - n, was.clone()));
    m.missed.truncate(PAIRS);
    m.mistaken = pairs.into_iter().map(|((was, said), n)| (was, said, n)).collect();
    m.mistaken.sort_by_key(|(was, said, n)| (usize::MAX - n, was.clone(), said.clone()));
    m.mistaken.truncate(PAIRS);
    m
}

/// Scores chances against what came.
pub fn calibration(mut forecasts: Vec<(f64, bool)>) -> Calibration {
    if forecasts.is_empty() {
        return Calibration::default();
    }
    forecasts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n = forecasts.len() as f64;
    let came = |come: bool| f64::from(u8::from(come));
    let brier = forecasts.iter().map(|(p, come)| (p - came(*come)).powi(2)).sum::<f64>() / n;
    let mean = forecasts.iter().map(|(_, come)| came(*come)).sum::<f64>() / n;
    let mut c = Calibration { brier, uncertainty: mean * (1.0 - mean), ..Calibration::default() };
    let size = forecasts.len().div_ceil(BINS);
    for bin in forecasts.chunks(size) {
        let told = bin.iter().map(|(p, _)| p).sum::<f64>() / bin.len() as f64;
        let share = Share { did: bin.iter().filter(|(_, come)| *come).count(), of: bin.len() };
        let weight = bin.len() as f64 / n;
        c.reliability += weight * (told - share.value()).powi(2);
        c.resolution += weight * (share.value() - mean).powi(2);
        c.error += weight * (told - share.value()).abs();
        c.bins.push((told, share));
    }
    c
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Forecasts .1 x4, .5 x2, .8 x4; what came 0 0 1 0, 1 0, 1 1 0 1: arithmetic of the definitions.
    #[test]
    fn brier_and_its_parts() {
        let told = [0.1, 0.1, 0.1, 0.1, 0.5, 0.5, 0.8, 0.8, 0.8, 0.8];
        let came = [false, false, true, false, true, false, true, true, false, true];
        let c = calibration(told.into_iter().zip(came).collect());
        assert!((c.brier - 0.21).abs() < 1e-12, "{c:?}");
        assert!((c.uncertainty - 0.25).abs() < 1e-12, "{c:?}");
    }

    /// E. B. Wilson's interval for 10 of 100, from the formula in rationals: 0.0552 to 0.1744.
    #[test]
    fn intervals_of_shares() {
        let (low, high) = Share { did: 10, of: 100 }.interval();
        assert!((low - 0.055_2).abs() < 1e-4 && (high - 0.174_4).abs() < 1e-4, "{low} {high}");
    }
}
