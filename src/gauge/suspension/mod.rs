//! Suspension: how far it sinks, and the spring that holds it up.
//!
//! One gauge a file. May know what [`super`] offers and nothing of its neighbours.
//! Must never print or read a file. The maker's figure comes before any limit written here, and
//! every limit names its source; one that is nobody's is called judgement.

pub mod air_spring;
pub mod coil;
pub mod pump;
pub mod sag;

use super::Gauge;

/// The gauges of this family, as they are listed.
pub(super) const GAUGES: &[&Gauge] = &[&sag::GAUGE, &pump::GAUGE, &coil::GAUGE];
