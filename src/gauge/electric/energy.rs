//! Energy: what a battery holds by its label, and how long it lasts at a current.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};
use crate::quantity::sensible;

/// The energy gauge.
pub static GAUGE: Gauge = Gauge {
    name: "pack-energy",
    about: "what an e-bike battery holds by its label, and how long it lasts at a current",
    inputs: &[
        Input::required("volts", "the nominal volts marked on it", Kind::within(10.0, 100.0, "V"), "volts=36V"),
        Input::required("charge", "the ampere-hours marked on it", Kind::within(0.5, 100.0, "Ah"), "charge=14Ah"),
        Input::optional("current", "a steady current drawn from it", Kind::within(0.05, 80.0, "A"), "current=5A"),
    ],
    compute,
};

/// How far a new battery may be off its label, percent. Judgement.
const ERROR: f64 = 5.0;

/// Highest nominal voltage that the standard of road e-bikes covers, V: EN 15194:2017, scope.
const COVERED: f64 = 48.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (volts, charge) = (inputs.need("volts", "V")?, inputs.need("charge", "Ah")?);
    let energy = volts * charge;
    let mut said = format!("{} V and {} Ah hold {} Wh when new", short(volts), short(charge), short(energy));
    let mut second = format!("labels give or take {ERROR} %");
    let mut reading = inputs.reading("").figure("energy", "energy when new", energy, "Wh")?.figure(
        "error",
        "error of the label",
        ERROR,
        "%",
    )?;
    if let Some(current) = inputs.may("current", "A") {
        let hours = charge / current;
        said += &format!(", {} h at {} A", short(hours), short(current));
        second = format!("time = {} Ah / {} A = {} h; {second}", short(charge), short(current), short(hours));
        reading = reading.figure("time", "time at this current", hours, "h")?;
    }
    // Thirteen cells at 3.7 V are 48.1 V by the label and 48 V by custom.
    if volts > COVERED + 0.2 {
        said += &format!("; more than the {COVERED} V that the standard of road e-bikes covers");
    }
    reading.headline = said;
    Ok(reading
        .working(
            format!("energy = {} V x {} Ah = {} Wh", sensible(volts, 4), sensible(charge, 4), sensible(energy, 4)),
            second,
        )
        .source("energy is volts times ampere-hours; 48 V: EN 15194:2017, scope; error: judgement")
        .model_note(
            "by the label; age, cold and a high current leave less of it, and the drive never uses the last of it",
        )
        .caution("the figures on the label and in the maker's book win; never open a battery to read its cells"))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, take, value};

    /// A trade text's example: 48 V and 10 Ah are 480 Wh, and last 2 h at 5 A. By hand: 36 V, 14 Ah: 504 Wh.
    #[test]
    fn worked_examples() {
        let pairs = ["volts=48V", "charge=10Ah", "current=5A"];
        close(value("pack-energy", &pairs, "energy"), 480.0, 1e-9);
        close(value("pack-energy", &pairs, "time"), 2.0, 1e-9);
        close(value("pack-energy", &["volts=36V", "charge=14000mAh"], "energy"), 504.0, 1e-9);
    }

    /// EN 15194:2017, scope: up to 48 V; fourteen cells in a row are 50.4 to 51.8 V.
    #[test]
    fn volts_beyond_the_standard_are_said() {
        assert!(take("pack-energy", &["volts=50.4V", "charge=10Ah"]).headline.contains("more than the 48 V"));
        assert!(!take("pack-energy", &["volts=48.1V", "charge=10Ah"]).headline.contains("48 V that"));
    }
}
