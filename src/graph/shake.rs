//! The same knowledge with its numbers moved: a world that does not quite agree with the book.

use super::{FaultGraph, Link};
use crate::probability::times_odds;

impl FaultGraph {
    /// Moves every rate, strength and background by what `by` gives, in natural log-odds, and every
    /// share of a distribution by the same in its logarithm. Bike facts keep their shares.
    pub fn shaken(&self, mut by: impl FnMut() -> f64) -> Self {
        let mut g = self.clone();
        g.causes.iter_mut().for_each(|c| c.base = times_odds(c.base, by().exp()));
        for complaint in &mut g.complaints {
            complaint.background = times_odds(complaint.background, by().exp());
            complaint.facets.iter_mut().for_each(|f| shake_shares(&mut f.shares, &mut by));
        }
        g.signs.iter_mut().for_each(|s| s.background = times_odds(s.background, by().exp()));
        for link in g.graph.edge_weights_mut() {
            match link {
                Link::Brings(firing) => {
                    firing.strength = times_odds(firing.strength, by().exp());
                    firing.shapes.iter_mut().for_each(|shape| shake_shares(shape, &mut by));
                }
                Link::Shows([none, slight, strong]) => {
                    let before = *slight + *strong;
                    let after = times_odds(before, by().exp());
                    let scale = if before > 0.0 { after / before } else { 0.0 };
                    (*none, *slight, *strong) = (1.0 - after, *slight * scale, *strong * scale);
                }
                Link::Settles | Link::Cures(_) => {}
            }
        }
        g
    }
}

fn shake_shares(shares: &mut [f64], by: &mut impl FnMut() -> f64) {
    shares.iter_mut().for_each(|x| *x *= by().exp());
    let sum: f64 = shares.iter().sum();
    if sum > 0.0 {
        shares.iter_mut().for_each(|x| *x /= sum);
    }
}
