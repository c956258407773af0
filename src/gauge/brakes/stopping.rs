//! Stopping: how hard a stop was, and the heat that brakes have to take.

use crate::gauge::road::GRAVITY;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading};
use crate::quantity::sensible;

/// The stopping gauge.
pub static GAUGE: Gauge = Gauge {
    name: "stopping",
    about: "how hard a stop was, against what brakes must do, and the heat of a stop or a descent",
    inputs: &[
        Input::required(
            "speed",
            "the speed at the pull of the levers",
            Kind::within(2.0, 80.0, "km/h"),
            "speed=24km/h",
        ),
        Input::optional(
            "distance",
            "from there to standstill, dry level road",
            Kind::within(0.3, 200.0, "m"),
            "distance=4.5m",
        ),
        Input::optional("mass", "bike, rider and luggage", Kind::within(20.0, 350.0, "kg"), "mass=100kg"),
        Input::optional("descent", "height lost on the brakes", Kind::within(1.0, 3000.0, "m"), "descent=100m"),
    ],
    compute,
};

/// Longest stop, m, at 24 km/h: 15 ft, 16 CFR 1512.5(b)(1).
const LONGEST: f64 = 4.572;
const FROM: f64 = 24.0 / 3.6;

/// How far a stop paced out may be off, m. Judgement.
const ERROR: f64 = 0.3;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let v = inputs.need("speed", "m/s")?;
    let kmh = sensible(v * 3.6, 3);
    let mut said = Vec::new();
    let mut lines = Vec::new();
    let mut reading = inputs.reading("");
    if let Some(distance) = inputs.may("distance", "m") {
        let slowing = v * v / (2.0 * distance);
        // What is asked at 24 km/h, carried over to this speed with the same slowing.
        let allowed = LONGEST * (v / FROM) * (v / FROM);
        let verdict = if distance > allowed + ERROR {
            "too long: look at pads, rims or rotors, cable and lever before riding on"
        } else if distance > allowed - ERROR {
            "at the limit within the error of pacing it out: try again on a dry road"
        } else {
            "short enough"
        };
        said.push(format!(
            "a stop of {} m from {kmh} km/h is {verdict} ({} m)",
            sensible(distance, 3),
            sensible(allowed, 3)
        ));
        lines.push(format!(
            "slowing = ({} m/s)^2 / (2 x {} m) = {} m/s2 = {} g",
            sensible(v, 4),
            sensible(distance, 3),
            sensible(slowing, 3),
            sensible(slowing / GRAVITY, 2)
        ));
        reading = reading
            .figure("slowing", "slowing, share of gravity", slowing / GRAVITY * 100.0, "%")?
            .figure("allowed", "longest allowed at this speed", allowed, "m")?
            .figure("error", "error of this reading", ERROR, "m")?;
    }
    if let Some(mass) = inputs.may("mass", "kg") {
        let heat = 0.5 * mass * v * v;
        said.push(format!("one stop makes {} J of heat", sensible(heat, 3)));
        lines.push(format!(
            "heat = {} kg x ({} m/s)^2 / 2 = {} J",
            sensible(mass, 3),
            sensible(v, 4),
            sensible(heat, 4)
        ));
        reading = reading.figure("heat", "heat of one stop", heat, "J")?;
        if let Some(descent) = inputs.may("descent", "m") {
            let held = mass * GRAVITY * descent;
            said.push(format!("{} m held on the brakes make {} Wh", sensible(descent, 3), sensible(held / 3600.0, 3)));
            reading = reading.figure("descent-heat", "heat of the descent", held / 3600.0, "Wh")?;
        }
    } else if inputs.has("descent") || lines.is_empty() {
        return Err(inputs.missing(if inputs.has("descent") { "mass" } else { "distance" }));
    }
    reading.headline = said.join("; ");
    let second = lines.get(1).cloned().unwrap_or_else(|| {
        format!(
            "allowed: {} m at 24 km/h, and in the square of the speed; may be off by {ERROR} m",
            sensible(LONGEST, 3)
        )
    });
    Ok(reading
        .working(lines.first().cloned().unwrap_or_default(), second)
        .source(
            "15 ft from the test speed with hand brakes: 16 CFR 1512.5(b)(1), here at 24 km/h; energy is half mass times \
             speed squared, and weight times height; error: judgement",
        )
        .caution("try stops where nobody else rides, from walking pace upward, weight back"))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, take, value};

    /// 16 CFR 1512.5(b)(1): 15 ft; from 24 km/h that is 4.86 m/s², 0.50 g (worked by hand).
    #[test]
    fn the_longest_stop_allowed() {
        close(value("stopping", &["speed=24km/h", "distance=15ft"], "slowing") * 0.0980665, 4.86, 0.005);
        close(value("stopping", &["speed=24km/h", "distance=15ft"], "allowed"), 4.572, 1e-9);
        assert!(take("stopping", &["speed=24km/h", "distance=6m"]).headline.contains("too long"));
        assert!(take("stopping", &["speed=24km/h", "distance=4m"]).headline.contains("short enough"));
    }

    /// Worked by hand: 100 kg from 25 km/h is 2411 J; 100 kg down 100 m is 27.24 Wh.
    #[test]
    fn heat_of_stop_and_descent() {
        let pairs = ["speed=25km/h", "mass=100kg", "descent=100m"];
        close(value("stopping", &pairs, "heat"), 2411.0, 0.5);
        close(value("stopping", &pairs, "descent-heat"), 27.24, 0.005);
        refused(
            "stopping",
            &["speed=25km/h", "descent=100m"],
            "gauge `stopping` needs `mass`, bike, rider and luggage; add `mass=100kg`",
        );
    }
}
