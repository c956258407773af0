//! Chain: wear, and what it costs to wait.
//!
//! One gauge a file. May know what [`super`] offers and nothing of its neighbours.
//! Must never print or read a file. The maker's figure comes before any limit written here, and
//! every limit names its source; one that is nobody's is called judgement.

pub mod length;
pub mod waiting;
pub mod wear;

use super::Gauge;

/// The gauges of this family, as they are listed.
pub(super) const GAUGES: &[&Gauge] = &[&wear::GAUGE, &waiting::GAUGE, &length::GAUGE];
