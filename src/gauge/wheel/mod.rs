//! Wheels: true, dish, tension, spokes.
//!
//! One gauge a file. May know what [`super`] offers and nothing of its neighbours.
//! Must never print or read a file. The maker's figure comes before any limit written here, and
//! every limit names its source; one that is nobody's is called judgement.

pub mod broken;
pub mod dish;
pub mod runout;
pub mod spoke_length;
pub mod tension;

use super::Gauge;

/// The gauges of this family, as they are listed.
pub(super) const GAUGES: &[&Gauge] =
    &[&runout::GAUGE, &dish::GAUGE, &tension::GAUGE, &spoke_length::GAUGE, &broken::GAUGE];
