//! Electric drive: battery, charger, sensor, power.
//!
//! One gauge a file. May know what [`super`] offers and nothing of its neighbours but [`cells`].
//! Must never print or read a file. The maker's figure comes before any limit written here, and
//! every limit names its source; one that is nobody's is called judgement. Nothing here asks
//! anybody to open a battery, a charger or a motor.

mod cells;
pub mod charger;
pub mod drop;
pub mod energy;
pub mod left;
pub mod magnet;
pub mod range;
pub mod start;
pub mod volts;

use super::Gauge;

/// The gauges of this family, as they are listed.
pub(super) const GAUGES: &[&Gauge] = &[
    &volts::GAUGE,
    &drop::GAUGE,
    &charger::GAUGE,
    &energy::GAUGE,
    &range::GAUGE,
    &left::GAUGE,
    &magnet::GAUGE,
    &start::GAUGE,
];
