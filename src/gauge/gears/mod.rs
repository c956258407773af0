//! Gears: ratios, what a derailleur can take, and whether it hangs straight.
//!
//! One gauge a file. May know what [`super`] offers and nothing of its neighbours.
//! Must never print or read a file. The maker's figure comes before any limit written here, and
//! every limit names its source; one that is nobody's is called judgement.

pub mod assist;
pub mod capacity;
pub mod chainline;
pub mod hanger;
pub mod ratio;
pub mod shift;

use super::Gauge;

/// The gauges of this family, as they are listed.
pub(super) const GAUGES: &[&Gauge] =
    &[&ratio::GAUGE, &capacity::GAUGE, &shift::GAUGE, &hanger::GAUGE, &chainline::GAUGE, &assist::GAUGE];
