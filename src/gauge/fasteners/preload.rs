//! Preload: how hard a bolt pulls at a torque, and how near that is to its own limit.
//!
//! ```text
//! T = F (d2/2 tan(phi + rho) + Dk/2 mu)     tan phi = P / (pi d2)     tan rho = mu / cos 30°
//! ```
//!
//! Source: mechanics of the inclined plane, as in VDI 2230-1:2015; thread ISO 68-1 and ISO 724.

use std::f64::consts::PI;

use super::wrench::MAKER_WINS;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Plot, Reading, short};

/// The preload gauge.
pub static GAUGE: Gauge = Gauge {
    name: "preload",
    about: "how hard a steel bolt pulls at a torque, and how near that is to the bolt's own limit",
    inputs: &[
        Input::required("size", "the metric coarse thread", Kind::Choice(&["m4", "m5", "m6", "m8"]), "size=M6"),
        Input::required("torque", "the tightening torque", Kind::within(0.1, 100.0, "N.m"), "torque=5N.m"),
        Input::optional(
            "class",
            "the strength marked on the head",
            Kind::Choice(&["8.8", "10.9", "12.9"]),
            "class=8.8",
        ),
        Input::optional(
            "friction",
            "friction of thread and head: about 0.10 greased, 0.14 lightly oiled, 0.20 dry",
            Kind::within(0.05, 0.4, ""),
            "friction=0.14",
        ),
    ],
    compute,
};

/// Lightly oiled, the friction of the table of limits.
const OILED: f64 = 0.14;

/// Greased and dry: between these an unknown friction lies. Judgement; published limits of one bolt
/// differ by a third for the same reason.
const SPAN: (f64, f64) = (0.10, 0.20);

/// How far friction may be off where it was told, share of it. Judgement.
const FRICTION_ERROR: f64 = 0.2;

/// Mean diameter of the ring on which the head rubs, over that of the bolt. Machine design textbooks.
const HEAD: f64 = 1.3;

/// A thread: diameter and pitch, mm, and torques at which the bolt is at its limit, N·m, for 8.8, 10.9 and
/// 12.9 at a friction of 0.14: table by DIN 13 in a machine's manual (read second-hand).
struct Size {
    name: &'static str,
    diameter: f64,
    pitch: f64,
    limits: [f64; 3],
}

const SIZES: [Size; 4] = [
    Size { name: "m4", diameter: 4.0, pitch: 0.7, limits: [3.0, 4.4, 5.1] },
    Size { name: "m5", diameter: 5.0, pitch: 0.8, limits: [5.9, 8.7, 10.0] },
    Size { name: "m6", diameter: 6.0, pitch: 1.0, limits: [10.0, 15.0, 18.0] },
    Size { name: "m8", diameter: 8.0, pitch: 1.25, limits: [25.0, 36.0, 43.0] },
];

impl Size {
    /// Torque for each newton of preload, in mm.
    fn arm(&self, friction: f64) -> f64 {
        let flank = self.diameter - 0.375 * 3f64.sqrt() * self.pitch;
        let rise = (self.pitch / (PI * flank)).atan();
        let rub = (friction / (PI / 6.0).cos()).atan();
        flank / 2.0 * (rise + rub).tan() + HEAD * self.diameter / 2.0 * friction
    }

    /// Preload in N.
    fn pull(&self, torque: f64, friction: f64) -> f64 {
        torque * 1000.0 / self.arm(friction)
    }
}

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let word = inputs.choice("size").ok_or_else(|| inputs.missing("size"))?;
    let size = SIZES.iter().find(|size| size.name == word).ok_or_else(|| inputs.missing("size"))?;
    let torque = inputs.need("torque", "N.m")?;
    let class = inputs.choice("class").unwrap_or("8.8");
    let limit = match class {
        "10.9" => size.limits[1],
        "12.9" => size.limits[2],
        _ => size.limits[0],
    };
    let told = inputs.may("friction", "");
    let friction = told.unwrap_or(OILED);
    let (slick, dry) = told.map_or(SPAN, |mu| (mu * (1.0 - FRICTION_ERROR), mu * (1.0 + FRICTION_ERROR)));
    let (pull, low, high) = (size.pull(torque, friction), size.pull(torque, dry), size.pull(torque, slick));
    let bears = size.pull(limit, OILED);
    let share = pull / bears * 100.0;
    let verdict = if share > 100.0 {
        "past the limit of the bolt itself: it stretches or breaks"
    } else if high > bears {
        "past the limit of the bolt itself should it run slicker than thought"
    } else {
        "within what the bolt itself bears"
    };
    let name = word.to_uppercase();
    let unit = inputs.unit_of("torque");
    let kilo = |newton: f64| short(newton / 1000.0);
    let each = torque / inputs.needed("torque")?.given();
    let line = |friction: f64| move |at: f64| size.pull(at * each, friction);
    let foot = (0.0, 1.2 * limit.max(torque) / each);
    let plot = Plot::new(format!("Preload of {name}"), format!("torque, {unit}"), "preload, N")
        .curve("as reckoned", foot, 10, line(friction))
        .curve("slick", foot, 10, line(slick))
        .curve("dry", foot, 10, line(dry))
        .level(format!("limit of {class}"), bears)
        .here(torque / each, pull);
    Ok(inputs
        .reading(format!(
            "{name} at {} N.m pulls about {} kN ({} to {} by friction), {} % of what a bolt of {class} bears: {verdict}; \
             the clamp bears less",
            short(torque),
            kilo(pull),
            kilo(low),
            kilo(high),
            short(share)
        ))
        .figure("preload", "preload, about", pull, "N")?
        .figure("preload-low", "preload if dry", low, "N")?
        .figure("preload-high", "preload if slick", high, "N")?
        .figure("bears", "preload at the bolt's limit", bears, "N")?
        .figure_si("limit", "torque at the bolt's limit, lightly oiled", limit, unit)?
        .figure("share", "of the bolt's limit", share, "%")?
        .figure("error", "error by friction, upwards", (high / pull - 1.0) * 100.0, "%")?
        .working(
            format!(
                "F = T / (d2/2 tan(phi + rho) + Dk/2 mu) = {} N.m / {} mm = {} kN, mu {friction}",
                short(torque),
                short(size.arm(friction)),
                kilo(pull)
            ),
            format!(
                "limit of {class}: {} N.m at mu {OILED} = {} kN; friction from {} to {}",
                short(limit),
                kilo(bears),
                short(slick),
                short(dry)
            ),
        )
        .source(
            "inclined plane and head friction: VDI 2230-1:2015; thread: ISO 724; limits of bolts at a friction of 0.14: table \
             by DIN 13 in a machine's manual, second-hand; other tables lie up to a third lower; friction: judgement",
        )
        .caution(MAKER_WINS)
        .caution("these are limits of steel bolts in steel, never a torque to tighten to: titanium, light-alloy and stainless bolts bear less")
        .plot(plot))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::SIZES;
    use crate::gauge::testing::{close, refused, take, value};

    /// ISO 724: pitch diameters 3.545, 4.480, 5.350 and 7.188 mm. Table by DIN 13 (second-hand): M6 8.8 at 10 N·m.
    #[test]
    fn threads_and_limits() {
        for (size, want) in SIZES.iter().zip([3.545, 4.480, 5.350, 7.188]) {
            close(size.diameter - 0.375 * 3f64.sqrt() * size.pitch, want, 5.1e-4);
        }
        close(value("preload", &["size=M6", "torque=10N.m"], "share"), 100.0, 1e-9);
        close(value("preload", &["size=M5", "torque=8.7N.m", "class=10.9"], "share"), 100.0, 1e-9);
        let past = take("preload", &["size=M5", "torque=8N.m"]).headline;
        assert!(past.contains("it stretches or breaks"), "{past}");
    }

    /// Tables by VDI 2230:2003, M8x1 of 8.8, friction 0.10, 0.12, 0.14: 20.7, 20.2, 19.7 kN at 22.8, 26.1, 29.2 N·m.
    /// The fine thread stands for the formula alone; heads differ a little from 1.3 diameters.
    #[test]
    fn torque_for_preload_as_published() {
        let fine = super::Size { name: "m8x1", diameter: 8.0, pitch: 1.0, limits: [0.0; 3] };
        for (friction, kilonewton, torque) in [(0.10, 20.7, 22.8), (0.12, 20.2, 26.1), (0.14, 19.7, 29.2)] {
            let reckoned = fine.pull(torque, friction) / 1000.0;
            assert!((reckoned / kilonewton - 1.0).abs() < 0.02, "{reckoned} kN for {kilonewton}");
        }
    }

    #[test]
    fn an_unknown_size_is_refused() {
        refused("preload", &["size=M7", "torque=5N.m"], "`size` of gauge `preload` cannot be `M7`; nearest: `m4`");
    }

    proptest! {
        #[test]
        fn more_torque_pulls_harder_and_more_friction_softer(torque in 0.5f64..40.0, more in 0.01f64..20.0, mu in 0.05f64..0.3, rough in 0.001f64..0.1) {
            for size in SIZES.map(|size| size.name) {
                let at = |torque: f64, mu: f64| {
                    let pairs = [format!("size={size}"), format!("torque={torque:.6}N.m"), format!("friction={mu:.6}")];
                    value("preload", &pairs.each_ref().map(String::as_str), "preload")
                };
                prop_assert!(at(torque + more, mu) > at(torque, mu));
                prop_assert!(at(torque, mu + rough) < at(torque, mu));
            }
        }
    }
}
