//! Drop: how far the volts of a battery fall while the motor pulls.

use super::cells::{self, CELLS, HANDS_OFF, KEEP_SHUT, MARKED};
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};
use crate::quantity::sensible;

/// The drop gauge.
pub static GAUGE: Gauge = Gauge {
    name: "load-drop",
    about: "how far the volts of an e-bike battery fall while the motor pulls hard",
    inputs: &[
        Input::required("rest", "volts shown at rest just before", Kind::within(5.0, 110.0, "V"), "rest=38.2V"),
        Input::required("load", "volts shown while the motor pulls hard", Kind::within(5.0, 110.0, "V"), "load=35.1V"),
        Input::optional(
            "current",
            "the current shown at that moment, for the inner resistance",
            Kind::within(0.5, 80.0, "A"),
            "current=15A",
        ),
        CELLS,
        MARKED,
    ],
    compute,
};

/// Fall from which a gauge of charge that goes by volts jumps, percent of the volts at rest. Judgement.
const FALLS_FROM: f64 = 10.0;

/// How far the fall may be off, in points: the two figures are never of one moment. Judgement.
const ERROR: f64 = 2.0;

/// Volts a cell near which the battery's own protection switches off. Typical, data sheets of packs: 2.75 to 3.0 V.
const SWITCHES_OFF: f64 = 3.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (rest, load) = (inputs.need("rest", "V")?, inputs.need("load", "V")?);
    if load > rest {
        return Err(inputs.unfit(
            format!("{} V under load is more than {} V at rest", short(load), short(rest)),
            "exchange the two, or measure again",
        ));
    }
    let drop = rest - load;
    let share = drop / rest * 100.0;
    let cells = (inputs.has("cells") || inputs.has("marked")).then(|| cells::count(inputs)).transpose()?;
    let mut said = format!(
        "the volts fall by {} V, {} %: {}",
        short(drop),
        short(share),
        if share > FALLS_FROM + ERROR {
            "more than a warm, sound and well filled battery lets them"
        } else if share > FALLS_FROM - ERROR {
            "on the edge of what is usual"
        } else {
            "as usual"
        }
    );
    let mut second = format!("too far from {FALLS_FROM} % on, give or take {ERROR} points");
    let unit = inputs.unit_of("rest");
    let mut reading = inputs
        .reading("")
        .figure_si("drop", "fall", drop, unit)?
        .figure("share", "fall of the volts at rest", share, "%")?
        .figure("error", "error of the fall", ERROR, "%")?;
    if let Some(cells) = cells {
        let each = load / cells;
        reading = reading.figure("cell", "volts a cell under load", each, "V")?;
        if each < SWITCHES_OFF {
            said += &format!("; at {} V a cell it is about to switch itself off", short(each));
        }
    }
    if let Some(current) = inputs.may("current", "A") {
        let resistance = drop / current * 1000.0;
        said += &format!("; inner resistance {} milliohms with leads and contacts", short(resistance));
        second = format!(
            "resistance = {} V / {} A = {} milliohms; {second}",
            short(drop),
            short(current),
            short(resistance)
        );
        reading = reading.figure("resistance", "inner resistance in milliohms", resistance, "")?.figure(
            "lost",
            "power lost as heat inside",
            drop * current,
            "W",
        )?;
    }
    reading.headline = said;
    Ok(reading
        .working(
            format!(
                "fall = {} - {} V = {} V = {} % of {} V",
                sensible(rest, 4),
                sensible(load, 4),
                short(drop),
                short(share),
                sensible(rest, 4)
            ),
            second,
        )
        .source("fall and resistance by Ohm's law; 3 V a cell: typical, data sheets of packs; limit and error: judgement")
        .model_note("cold, an almost empty battery and dirty contacts let the volts fall as age does: warm it, fill it, clean them, and measure again")
        .caution("read both figures from the display at a glance, or have a second person ride: never hang a meter on a bike that is ridden")
        .caution(KEEP_SHUT)
        .caution(HANDS_OFF)
        .soft("gauge-drops-under-load", soft_report(share, FALLS_FROM, ERROR)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    /// Ohm's law by hand: 3 V at 15 A are 200 milliohms and 45 W.
    #[test]
    fn resistance_by_ohm() {
        let pairs = ["rest=38V", "load=35V", "current=15A", "cells=10"];
        close(value("load-drop", &pairs, "resistance"), 200.0, 1e-9);
        close(value("load-drop", &pairs, "lost"), 45.0, 1e-9);
        close(value("load-drop", &pairs, "cell"), 3.5, 1e-9);
        assert!(take("load-drop", &["rest=34V", "load=29V", "marked=36V"]).headline.contains("switch itself off"));
    }

    #[test]
    fn signs_turn_at_their_limits() {
        close(sure("load-drop", &["rest=40V", "load=36V"], "gauge-drops-under-load"), 0.5, 1e-9);
        assert!(sure("load-drop", &["rest=40V", "load=33V"], "gauge-drops-under-load") > 0.999);
        assert!(sure("load-drop", &["rest=40V", "load=39V"], "gauge-drops-under-load") < 0.001);
        refused(
            "load-drop",
            &["rest=35V", "load=36V"],
            "gauge `load-drop`: 36 V under load is more than 35 V at rest; exchange the two, or measure again",
        );
    }
}
