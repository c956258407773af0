//! Air in a closed chamber that is squeezed: the gas law on **absolute** pressure.
//!
//! Three assumptions: the load stays the same, the air of the positive chamber obeys
//! p V^n = constant with absolute p, and nothing but that air holds the load. With p0 the gauge
//! pressure at full extension, A the pressure of the atmosphere, s the share of stroke used,
//! r = V0/Vmin the compression ratio and k = 1 - 1/r:
//!
//! ```text
//! V(s) = V0 (1 - k s)        load / area = (p0 + A) / (1 - k s)^n - A
//! same load at s1 and s2:    p0' + A = (p0 + A) ((1 - k s2) / (1 - k s1))^n
//! ```
//!
//! Source: polytropic process, in any thermodynamics textbook; n = 1 slow, 1.4 fast.

/// Standard atmosphere, Pa: NIST SP 811 (2008), appendix B.8. At 2000 m it is a fifth
/// less, which moves a shock's new pressure by a third of a psi.
pub const ATMOSPHERE: f64 = 101_325.0;

/// The absolute pressure of air that was squeezed to a share of its volume.
///
/// Arguments: absolute pressure before, in any unit; volume after over volume before; exponent.
pub fn squeezed(absolute: f64, volume_share: f64, exponent: f64) -> f64 {
    absolute / libm::pow(volume_share, exponent)
}

/// The gauge pressure at full extension (Pa) that carries the same load at another sag.
///
/// Arguments: gauge pressure now in Pa, sag now and wanted as shares of the stroke, compression
/// ratio, exponent. See the formula at the head of this file.
pub fn pressure_for(gauge: f64, now: f64, wanted: f64, ratio: f64, exponent: f64) -> f64 {
    let k = 1.0 - 1.0 / ratio;
    let share = (1.0 - k * now) / (1.0 - k * wanted);
    squeezed(gauge + ATMOSPHERE, share, exponent) - ATMOSPHERE
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn close(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want}");
    }

    /// Worked from p V^n = constant: area 10 cm², 10 bar gauge, air column 100 mm, travel 25 mm.
    #[test]
    fn an_air_spring_pushed_in_by_a_quarter() {
        for (n, bar, newton) in [(1.0, 13.67, 1_367.0), (1.2, 14.54, 1_454.0), (1.4, 15.46, 1_546.0)] {
            let gauge = squeezed(10e5 + ATMOSPHERE, 75.0 / 100.0, n) - ATMOSPHERE;
            close(gauge / 1e5, bar, 0.005);
            close(gauge * 10e-4, newton, 0.5);
        }
    }

    proptest! {
        #[test]
        fn the_new_pressure_carries_the_same_load(psi in 20f64..350.0, now in 0f64..0.9, wanted in 0.05f64..0.5, ratio in 1.1f64..12.0, n in 1f64..1.4) {
            let gauge = psi * 6_894.757;
            let k = 1.0 - 1.0 / ratio;
            let load = |p0: f64, s: f64| (p0 + ATMOSPHERE) / (1.0 - k * s).powf(n) - ATMOSPHERE;
            let new = pressure_for(gauge, now, wanted, ratio, n);
            prop_assert!((load(new, wanted) - load(gauge, now)).abs() <= 1e-9 * load(gauge, now).abs());
        }

        #[test]
        fn deeper_sag_asks_for_more_air(psi in 20f64..350.0, a in 0f64..0.9, b in 0f64..0.9, ratio in 1.1f64..12.0, n in 1f64..1.4) {
            let at = |now: f64| pressure_for(psi * 6_894.757, now, 0.3, ratio, n);
            prop_assert!(at(a.min(b)) <= at(a.max(b)));
            prop_assert!((at(0.3) - psi * 6_894.757).abs() < 1e-6);
        }
    }
}
