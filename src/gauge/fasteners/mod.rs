//! Fasteners: torque, preload, threads, depth of insertion.
//!
//! One gauge a file. May know what [`super`] offers and nothing of its neighbours but [`wrench`].
//! Must never print or read a file. The maker's figure comes before any limit written here, and
//! every limit names its source; one that is nobody's is called judgement.

pub mod bolt;
pub mod depth;
pub mod preload;
pub mod thread;
pub mod torque;
mod wrench;

use super::Gauge;

/// The gauges of this family, as they are listed.
pub(super) const GAUGES: &[&Gauge] = &[&torque::GAUGE, &bolt::GAUGE, &preload::GAUGE, &thread::GAUGE, &depth::GAUGE];
