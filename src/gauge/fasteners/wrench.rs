//! Torque wrenches: how far they may be off.

/// Torque from which a wrench is held to the narrower limit, N·m.
const FROM: f64 = 10.0;

/// How far the click of a torque wrench may be off, percent: ISO 6789-1:2017. From memory.
pub fn error(newton_metres: f64) -> f64 {
    if newton_metres < FROM { 6.0 } else { 4.0 }
}

/// Why the figure of another table is no figure for a clamp.
pub const MAKER_WINS: &str = "the torque marked on the part or in the maker's book wins, above all on light alloy and carbon, \
     which crush or crack long before the bolt is at its limit";
