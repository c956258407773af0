//! Brakes: rotors, pads, levers, gaps, and what rubbing takes.
//!
//! One gauge a file. May know what [`super`] offers and nothing of its neighbours.
//! Must never print or read a file. The maker's figure comes before any limit written here, and
//! every limit names its source; one that is nobody's is called judgement.

pub mod drag;
pub mod gap;
pub mod lever;
pub mod pad;
pub mod rotor;
pub mod stopping;

use super::Gauge;

/// The gauges of this family, as they are listed.
pub(super) const GAUGES: &[&Gauge] =
    &[&rotor::GAUGE, &pad::GAUGE, &gap::GAUGE, &lever::GAUGE, &stopping::GAUGE, &drag::GAUGE];
