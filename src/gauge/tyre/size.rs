//! The marking of tyres and rims: width and bead-seat diameter in millimetres, as `37-622`.
//!
//! Source: ISO 5775-1 (tyre designations).

use crate::gauge::{GaugeError, Inputs};

/// A marked size, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Width of the tyre, or inner width of the rim.
    pub width: f64,
    /// Diameter on which the bead sits.
    pub bead: f64,
}

/// Widths and bead seats that exist, mm; generous.
const WIDTHS: (f64, f64) = (10.0, 130.0);
const BEADS: (f64, f64) = (150.0, 700.0);

impl Size {
    /// Reads a marking that was given under a key.
    pub fn read(inputs: &Inputs, key: &'static str) -> Result<Size, GaugeError> {
        let text = inputs.marking(key).ok_or_else(|| inputs.missing(key))?;
        let plain = text.to_lowercase().replace([' ', '×'], "").replace(['x', '–'], "-");
        let parts: Vec<Option<f64>> = plain.split('-').map(|part| part.parse().ok()).collect();
        let within = |n: f64, (low, high): (f64, f64)| n >= low && n <= high;
        match parts.as_slice() {
            [Some(width), Some(bead)] if within(*width, WIDTHS) && within(*bead, BEADS) => {
                Ok(Size { width: *width, bead: *bead })
            }
            _ => Err(inputs.unfit(
                format!("`{key}` is `{text}`, which is no width and bead seat in millimetres"),
                "write the two numbers joined by a hyphen, such as 37-622; a size in inches can mean several (26: 559, 571 \
                 or 590; 28: 622 or 635)",
            )),
        }
    }

    /// Outer diameter of the pumped tyre, mm: about as high as it is wide, below 28 mm 2.5 mm more. Typical.
    pub fn diameter(&self) -> f64 {
        let height = if self.width < 28.0 { self.width + 2.5 } else { self.width };
        self.bead + 2.0 * height
    }

    /// Way of one turn, m.
    pub fn turn(&self) -> f64 {
        std::f64::consts::PI * self.diameter() / 1000.0
    }
}
