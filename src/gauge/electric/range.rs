//! Range: how far a battery goes at what a ride takes from it.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Plot, Reading, short};
use crate::quantity::sensible;

/// The range gauge.
pub static GAUGE: Gauge = Gauge {
    name: "range",
    about: "how far an e-bike battery goes, from what it holds and what the ride takes",
    inputs: &[
        Input::required(
            "battery",
            "what the battery holds when new",
            Kind::within(50.0, 3000.0, "Wh"),
            "battery=500Wh",
        ),
        Input::optional("use", "what the ride takes from it", Kind::within(1.0, 60.0, "Wh/km"), "use=10Wh/km"),
        Input::optional("went", "or how far a ride went", Kind::within(0.5, 400.0, "km"), "went=24km"),
        Input::optional("took", "and what part of the charge it took", Kind::within(1.0, 100.0, "%"), "took=45%"),
        Input::optional("shown", "the charge shown now", Kind::within(0.0, 100.0, "%"), "shown=60%"),
        Input::optional("kept", "what age has left of the battery", Kind::within(10.0, 105.0, "%"), "kept=85%"),
    ],
    compute,
};

/// How far the range may be off, percent: wind, hills, stops and warmth of another day. Judgement.
const ERROR: f64 = 20.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let battery = inputs.need("battery", "Wh")?;
    let kept = inputs.or("kept", "%", 100.0);
    let shown = inputs.or("shown", "%", 100.0);
    let held = battery * kept / 100.0;
    let (used, how) = match (inputs.may("use", "Wh/km"), inputs.may("went", "km"), inputs.may("took", "%")) {
        (Some(used), None, None) => (used, format!("use = {} Wh/km, as told", short(used))),
        (None, Some(went), Some(took)) => {
            let used = held * took / 100.0 / went;
            let line = format!(
                "use = {} Wh x {} % / {} km = {} Wh/km",
                short(held),
                short(took),
                short(went),
                sensible(used, 4)
            );
            (used, line)
        }
        (Some(_), _, _) => {
            return Err(inputs.unfit("`use` was given beside `went` or `took`", "leave one of the two ways out"));
        }
        (None, Some(_), None) => return Err(inputs.missing("took")),
        (None, None, Some(_)) => return Err(inputs.missing("went")),
        (None, None, None) => return Err(inputs.missing("use")),
    };
    let there = held * shown / 100.0;
    let km = there / used;
    let (low, high) = (km * (1.0 - ERROR / 100.0), km * (1.0 + ERROR / 100.0));
    let plot = Plot::new("How far this charge goes", "what the ride takes, Wh/km", "range, km")
        .curve("range", (used / 2.0, used * 2.0), 40, |at| there / at)
        .here(used, km);
    Ok(inputs
        .reading(format!(
            "{} Wh go about {} km at {} Wh/km; on another day {} to {} km",
            short(there),
            short(km),
            short(used),
            short(low),
            short(high)
        ))
        .figure("range", "range, about", km, "km")?
        .figure("range-low", "on a bad day", low, "km")?
        .figure("range-high", "on a good day", high, "km")?
        .figure("use", "what the ride takes", used, "Wh/km")?
        .figure("error", "error of the range", ERROR, "%")?
        .working(
            how,
            format!(
                "range = {} Wh x {} % x {} % / {} Wh/km = {} km, give or take {ERROR} %",
                short(battery),
                short(kept),
                short(shown),
                sensible(used, 4),
                short(km)
            ),
        )
        .source(
            "range is energy over energy a kilometre; what a ride takes varies with help, rider, wind and hills, hence the \
             error: judgement",
        )
        .model_note("the charge shown is taken as even; most displays are off by some points, and the last charge is not used")
        .caution("ride home with a reserve: with the light fed from the battery an empty one can leave you in the dark")
        .plot(plot))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, value};

    /// By hand: 500 Wh at 10 Wh/km are 50.0 km; at 11.74 Wh/km, with a brake rubbing, 42.6 km.
    #[test]
    fn worked_examples() {
        close(value("range", &["battery=500Wh", "use=10Wh/km"], "range"), 50.0, 1e-9);
        close(value("range", &["battery=500Wh", "use=11.74Wh/km"], "range"), 42.6, 0.05);
        let ridden = ["battery=500Wh", "went=24km", "took=48%", "shown=50%", "kept=80%"];
        close(value("range", &ridden, "use"), 8.0, 1e-9);
        close(value("range", &ridden, "range"), 25.0, 1e-9);
    }

    #[test]
    fn half_a_ride_is_refused() {
        refused(
            "range",
            &["battery=500Wh", "went=24km"],
            "gauge `range` needs `took`, and what part of the charge it took; add `took=45%`",
        );
        refused(
            "range",
            &["battery=500Wh", "use=9Wh/km", "went=24km"],
            "gauge `range`: `use` was given beside `went` or `took`; leave one of the two ways out",
        );
    }

    proptest! {
        #[test]
        fn more_use_goes_less_far_and_more_charge_further(battery in 100f64..1500.0, used in 1f64..40.0, more in 0.01f64..15.0, shown in 1f64..80.0) {
            let at = |used: f64, shown: f64| {
                let pairs = [format!("battery={battery:.6}Wh"), format!("use={used:.6}Wh/km"), format!("shown={shown:.6}%")];
                value("range", &pairs.each_ref().map(String::as_str), "range")
            };
            prop_assert!(at(used + more, shown) < at(used, shown));
            prop_assert!(at(used, shown + more) > at(used, shown));
        }
    }
}
