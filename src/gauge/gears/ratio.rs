//! Gear: how far one turn of the cranks goes, and how fast that is.

use crate::gauge::tyre::size::Size;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};

/// The gear gauge.
pub static GAUGE: Gauge = Gauge {
    name: "gear",
    about: "how far one turn of the cranks goes, and the speed at a cadence",
    inputs: &[
        Input::required("ring", "teeth of the chainring", Kind::count(10.0, 70.0), "ring=38"),
        Input::required("sprocket", "teeth of the sprocket", Kind::count(9.0, 60.0), "sprocket=19"),
        Input::optional(
            "turn",
            "way of one turn of the wheel, measured along the floor",
            Kind::within(0.5, 2.6, "m"),
            "turn=2.187m",
        ),
        Input::optional("tyre", "or the marking of the tyre", Kind::Marking, "tyre=37-622"),
        Input::optional("hub", "ratio of the gear inside the hub", Kind::within(0.2, 3.0, ""), "hub=1"),
        Input::optional("cadence", "turns of the cranks", Kind::within(5.0, 250.0, "rpm"), "cadence=80rpm"),
        Input::optional("speed", "or the speed, for its cadence", Kind::within(1.0, 100.0, "km/h"), "speed=25km/h"),
    ],
    compute,
};

/// A usual cadence, turns a minute. Judgement.
const CADENCE: f64 = 75.0;

/// How far a marking may be off the loaded wheel, percent. Judgement.
const MARKED_ERROR: f64 = 2.0;
const MEASURED_ERROR: f64 = 0.3;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (ring, sprocket) = (inputs.need("ring", "")?, inputs.need("sprocket", "")?);
    let (turn, error) = match (inputs.may("turn", "m"), inputs.has("tyre")) {
        (Some(_), true) => return Err(inputs.unfit("both `turn` and `tyre` were given", "leave one of them out")),
        (Some(turn), false) => (turn, MEASURED_ERROR),
        (None, true) => (Size::read(inputs, "tyre")?.turn(), MARKED_ERROR),
        (None, false) => return Err(inputs.missing("turn")),
    };
    let ratio = ring / sprocket * inputs.or("hub", "", 1.0);
    let way = ratio * turn;
    let cadence = match (inputs.may("cadence", "rpm"), inputs.may("speed", "km/h")) {
        (Some(_), Some(_)) => {
            return Err(inputs.unfit("both `cadence` and `speed` were given", "leave one of them out"));
        }
        (Some(cadence), None) => cadence,
        (None, Some(speed)) => speed / 3.6 * 60.0 / way,
        (None, None) => CADENCE,
    };
    let speed = way * cadence / 60.0 * 3.6;
    Ok(inputs
        .reading(format!(
            "one turn goes {} m; {} turns a minute make {} km/h",
            short(way),
            short(cadence),
            short(speed)
        ))
        .figure("ratio", "turns of the wheel for one of the cranks", ratio, "")?
        .figure("way", "way of one turn of the cranks", way, "m")?
        .figure("cadence", "cadence", cadence, "rpm")?
        .figure("speed", "speed", speed, "km/h")?
        .figure("error", "error of the wheel's turn", error, "%")?
        .working(
            format!(
                "way = {ring} / {sprocket} x {} x {} m = {} m",
                short(inputs.or("hub", "", 1.0)),
                short(turn),
                short(way)
            ),
            format!("speed = {} m x {} / min x 0.06 = {} km/h", short(way), short(cadence), short(speed)),
        )
        .source("arithmetic; usual cadence and errors: judgement"))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, value};

    /// Worked by hand; and 16 CFR 1512.5, footnote 3: a way of 6.67 m at 60 turns a minute is 24.0 km/h.
    #[test]
    fn way_and_speed() {
        let town = ["ring=38", "sprocket=19", "turn=2.187m", "cadence=60rpm"];
        close(value("gear", &town, "way"), 4.374, 1e-9);
        close(value("gear", &town, "speed"), 15.75, 0.005);
        let race = ["ring=50", "sprocket=11", "turn=2.10m", "cadence=90rpm"];
        close(value("gear", &race, "way"), 9.545, 5e-4);
        close(value("gear", &race, "speed"), 51.55, 0.01);
        close(value("gear", &["ring=46", "sprocket=15", "turn=2.175m", "cadence=60rpm"], "way"), 6.67, 1e-9);
        close(value("gear", &["ring=46", "sprocket=15", "turn=2.175m", "cadence=60rpm"], "speed"), 24.0, 0.05);
        close(value("gear", &["ring=38", "sprocket=19", "tyre=37-622"], "way"), 4.373, 1e-3);
        refused(
            "gear",
            &["ring=38", "sprocket=19"],
            "gauge `gear` needs `turn`, way of one turn of the wheel, measured along the floor; add `turn=2.187m`",
        );
    }

    proptest! {
        #[test]
        fn speed_gives_its_cadence_back(ring in 20u8..60, sprocket in 10u8..50, cadence in 30f64..120.0) {
            let of = |last: String, key: &str| {
                let pairs = [format!("ring={ring}"), format!("sprocket={sprocket}"), "turn=2.1m".to_owned(), last];
                value("gear", &pairs.iter().map(String::as_str).collect::<Vec<_>>(), key)
            };
            let speed = of(format!("cadence={cadence:.9}rpm"), "speed");
            let back = of(format!("speed={speed:.12}km/h"), "cadence");
            prop_assert!((back - cadence).abs() < 1e-6);
        }
    }
}
