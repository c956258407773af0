//! Road load: what it takes to keep a bicycle rolling, in SI units.
//!
//! ```text
//! F = m g sin(atan G) + Crr m g cos(atan G) + rho CdA v^2 / 2        P = F v
//! ```
//!
//! Source: Martin, Milliken, Cobb, McFadden and Coggan, "Validation of a mathematical model for road
//! cycling power", Journal of Applied Biomechanics 14 (1998), 276-291; no wind, steady speed, and the
//! loss of the chain left to whoever asks.

/// Standard gravity, m/s²: NIST SP 811 (2008), appendix B.8.
pub const GRAVITY: f64 = 9.806_65;

/// Air at 15 °C and sea level, kg/m³: ISO 2533:1975 (standard atmosphere).
pub const AIR: f64 = 1.225;

/// A bicycle with its rider.
#[derive(Clone, Copy, Debug)]
pub struct Load {
    /// All that rolls, kg.
    pub mass: f64,
    /// Rolling resistance: force over weight. 0.004 for racing tyres to 0.012 for knobbly ones (typical).
    pub crr: f64,
    /// Drag area, m²: drag coefficient times the area seen from the front.
    pub cda: f64,
}

/// Forces against the ride, N.
#[derive(Clone, Copy, Debug)]
pub struct Forces {
    /// Tyres.
    pub rolling: f64,
    /// Air.
    pub air: f64,
    /// Weight on the slope; negative downhill.
    pub climb: f64,
}

impl Load {
    /// The forces at a speed in m/s on a grade (rise over run).
    pub fn forces(&self, speed: f64, grade: f64) -> Forces {
        let weight = self.mass * GRAVITY;
        let slope = grade.atan();
        Forces {
            rolling: self.crr * weight * slope.cos(),
            air: 0.5 * AIR * self.cda * speed * speed,
            climb: weight * slope.sin(),
        }
    }
}

impl Forces {
    /// All together, N.
    pub fn sum(&self) -> f64 {
        self.rolling + self.air + self.climb
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand from the formula: flat, 25 km/h, 90 kg, Crr 0.005, CdA 0.5 m²: 30.6 + 102.6 =
    /// 133.2 W; 5 %, 15 km/h, 100 kg: 246.6 W.
    #[test]
    fn power_on_the_flat_and_uphill() {
        let flat = Load { mass: 90.0, crr: 0.005, cda: 0.5 }.forces(25.0 / 3.6, 0.0);
        assert!((flat.rolling * 25.0 / 3.6 - 30.6).abs() < 0.05);
        assert!((flat.air * 25.0 / 3.6 - 102.6).abs() < 0.05);
        assert!((flat.sum() * 25.0 / 3.6 - 133.2).abs() < 0.05);
        let hill = Load { mass: 100.0, crr: 0.005, cda: 0.5 }.forces(15.0 / 3.6, 0.05);
        assert!((hill.sum() * 15.0 / 3.6 - 246.6).abs() < 0.05);
    }
}
