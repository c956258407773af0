//! Warmth: what a tyre's pressure does when it warms or cools, no air lost.
//!
//! ```text
//! (p2 + air) / T2 = (p1 + air) / T1        absolute pressure, kelvin
//! ```

use crate::gauge::suspension::air_spring::ATMOSPHERE;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};
use crate::quantity::Quantity;

/// The warmth gauge.
pub static GAUGE: Gauge = Gauge {
    name: "tyre-warmth",
    about: "what a tyre's pressure becomes when it warms or cools and loses no air",
    inputs: &[
        Input::required("pressure", "what the gauge shows", Kind::within(2.0, 220.0, "psi"), "pressure=60psi"),
        Input::required("from", "how warm the tyre is then", Kind::within(-40.0, 90.0, "°C"), "from=18°C"),
        Input::required("to", "how warm it becomes", Kind::within(-40.0, 120.0, "°C"), "to=35°C"),
        Input::optional("air", "pressure of the air around", Kind::within(50.0, 110.0, "kPa"), "air=101.3kPa"),
        Input::optional(
            "max",
            "the lower of the tyre's and the rim's maximum",
            Kind::within(10.0, 220.0, "psi"),
            "max=80psi",
        ),
    ],
    compute,
};

/// How far a pump's gauge may be off, as a share. Judgement.
const ERROR: f64 = 0.06;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let given = inputs.needed("pressure")?;
    let (from, to) = (inputs.need("from", "K")?, inputs.need("to", "K")?);
    let air = inputs.or("air", "Pa", ATMOSPHERE);
    let after = (given.si() + air) * to / from;
    let unit = given.unit();
    let shown = |si: f64| Quantity::from_si(si, unit).map_or_else(|_| String::new(), |q| q.to_string());
    let share = (to / from - 1.0) * 100.0;
    let max = inputs.may("max", "Pa");
    let verdict = match max {
        Some(max) if after - air > max => {
            format!("; that is past the maximum of {}: let air out before it warms", shown(max))
        }
        Some(max) => format!("; the maximum of {} is kept", shown(max)),
        None => String::new(),
    };
    Ok(inputs
        .reading(format!("{given} becomes {}{verdict}", shown(after - air)))
        .figure_si("pressure", "pressure then", after - air, unit)?
        .figure_si("change", "change", after - air - given.si(), unit)?
        .figure_si("absolute", "absolute pressure then", after, unit)?
        .figure("rise", "rise of the absolute pressure", share, "%")?
        .figure("error", "error of a pump's gauge", ERROR * 100.0, "%")?
        .working(
            format!("absolute before = {given} + {} = {}", shown(air), shown(given.si() + air)),
            format!("x {} K / {} K = {}, less {} of air", short(to), short(from), shown(after), shown(air)),
        )
        .source("gas law at constant volume: any physics textbook; standard atmosphere 101.325 kPa: NIST SP 811 (2008); error: judgement")
        .model_note("takes the tyre's volume as unchanged; a soft tyre grows a little and so changes less")
        .caution("rim brakes on a long descent warm the tyre far beyond the day's warmth"))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, take, value};

    /// OpenStax, University Physics volume 2 (2016), example 2.1: 7.00e5 Pa absolute, 18 to 35 °C, becomes
    /// 7.41e5 Pa; in gauge pressure 86.8 to 92.8 psi (worked from it).
    #[test]
    fn the_textbook_tyre() {
        let pairs = ["pressure=598.675kPa", "from=18°C", "to=35°C"];
        close(value("tyre-warmth", &pairs, "absolute"), 741.0, 0.5);
        close(value("tyre-warmth", &pairs, "pressure") / 6.894_757, 92.8, 0.05);
    }

    /// A textbook exercise: 658 kPa at 20 °C, air 101.3 kPa, at 60 °C: 862.96 kPa absolute, 761.66 kPa gauge.
    #[test]
    fn the_exercise_with_gauge_pressure() {
        let pairs = ["pressure=658kPa", "from=20°C", "to=60°C", "air=101.3kPa"];
        // Its 273 K for 0 °C against 273.15 K here moves the last digit.
        close(value("tyre-warmth", &pairs, "absolute"), 862.96, 0.06);
        close(value("tyre-warmth", &pairs, "pressure"), 761.66, 0.06);
    }

    /// A textbook exercise: 495 kPa absolute, -15 to 32 °C: 585.1 kPa, 18.2 % more, past a margin of 10 %.
    #[test]
    fn the_exercise_with_a_margin() {
        let pairs = ["pressure=393.675kPa", "from=-15°C", "to=32°C"];
        close(value("tyre-warmth", &pairs, "absolute"), 585.1, 0.05);
        close(value("tyre-warmth", &pairs, "rise"), 18.2, 0.05);
    }

    /// Worked from the gas law: 20 psi at 70 °F is 18.7 psi at 50 °F and 23.9 psi at 130 °F.
    #[test]
    fn in_fahrenheit() {
        close(value("tyre-warmth", &["pressure=20psi", "from=70°F", "to=50°F"], "pressure"), 18.7, 0.05);
        close(value("tyre-warmth", &["pressure=20psi", "from=70°F", "to=130°F"], "pressure"), 23.9, 0.05);
        let past = take("tyre-warmth", &["pressure=78psi", "from=10C", "to=40C", "max=80psi"]).headline;
        assert_eq!(past, "78 psi becomes 87.8 psi; that is past the maximum of 80 psi: let air out before it warms");
    }

    proptest! {
        #[test]
        fn warmer_is_harder_and_back_again_is_the_same(psi in 10f64..100.0, from in -20f64..40.0, more in 0.1f64..40.0) {
            let at = |p: f64, a: f64, b: f64| {
                let pairs = [format!("pressure={p:.9}psi"), format!("from={a:.6}C"), format!("to={b:.6}C")];
                value("tyre-warmth", &pairs.iter().map(String::as_str).collect::<Vec<_>>(), "pressure")
            };
            let warm = at(psi, from, from + more);
            prop_assert!(warm > psi);
            prop_assert!((at(warm, from + more, from) - psi).abs() < 1e-6);
        }
    }
}
