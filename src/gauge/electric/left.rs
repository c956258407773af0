//! Left: what age has left of a battery, by a measured discharge or by distance.

use super::cells::HANDS_OFF;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_below};

/// The gauge of what is left.
pub static GAUGE: Gauge = Gauge {
    name: "pack-left",
    about: "what age has left of an e-bike battery, by a measured discharge or by how far it goes",
    inputs: &[
        Input::optional(
            "gave",
            "what it gave from full until it switched off, by the drive's own record or the dealer's test",
            Kind::within(10.0, 3000.0, "Wh"),
            "gave=380Wh",
        ),
        Input::optional("new", "what it held when new, by its label", Kind::within(50.0, 3000.0, "Wh"), "new=500Wh"),
        Input::optional("went", "or how far a full charge goes now", Kind::within(1.0, 400.0, "km"), "went=38km"),
        Input::optional(
            "once",
            "how far it went when new: same road, same level, same warmth",
            Kind::within(1.0, 400.0, "km"),
            "once=60km",
        ),
        Input::optional("warmth", "the air on that ride or test", Kind::within(-25.0, 45.0, "°C"), "warmth=18°C"),
    ],
    compute,
};

/// Below this a battery counts as worn, percent. Makers' promises lie from 60 to 80: from memory.
const WORN: f64 = 70.0;

/// How far a measured discharge, and a distance, may be off, in points. Judgement.
const MEASURED_ERROR: f64 = 5.0;
const RIDDEN_ERROR: f64 = 12.0;

/// Colder than this a battery gives less, worn or not, °C. Makers advise 10 to 30 °C: typical.
const COLD: f64 = 10.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let measured = inputs.has("gave") || inputs.has("new");
    if measured && (inputs.has("went") || inputs.has("once")) {
        return Err(inputs.unfit("energy and distance were given together", "leave one of the two ways out"));
    }
    let (now, new, unit, error, sign) = if measured {
        (inputs.need("gave", "Wh")?, inputs.need("new", "Wh")?, "Wh", MEASURED_ERROR, "charges-fast-empties-fast")
    } else if inputs.has("went") || inputs.has("once") {
        (inputs.need("went", "km")?, inputs.need("once", "km")?, "km", RIDDEN_ERROR, "range-poor-in-warmth")
    } else {
        return Err(inputs.missing("gave"));
    };
    let left = now / new * 100.0;
    if left > 130.0 {
        return Err(inputs.unfit(
            format!("{} {unit} is far more than {} {unit} when new", short(now), short(new)),
            "exchange the two, or read them again",
        ));
    }
    let warmth = inputs.may("warmth", "°C");
    let counts = warmth.is_some_and(|warmth| warmth >= COLD);
    let verdict = if left < WORN - error {
        "worn"
    } else if left < WORN + error {
        "worn or nearly so, within the error of the reading"
    } else {
        "sound for its age"
    };
    let mind = match warmth {
        None => "; give `warmth`, for cold alone does as much",
        Some(_) if !counts => "; but it was cold: measure again above 10 °C before it is called worn",
        Some(_) => "",
    };
    let reading = inputs
        .reading(format!("about {} % of it is left, give or take {error}: {verdict}{mind}", short(left)))
        .figure("left", "left of the new battery", left, "%")?
        .figure("error", "error of this reading", error, "%")?
        .working(
            format!("left = {} / {} {unit} = {} %", short(now), short(new), short(left)),
            format!("worn below {WORN} %; this way of measuring is off by {error} points; cold below {COLD} °C"),
        )
        .source(
            "share of what it was; worn below 70 %: makers' promises of 60 to 80 %, from memory; warmth: typical, makers' \
             guides; errors: judgement",
        )
        .caution("full to switching off in one ride, away from traffic, with the way home planned; charge it again the same day")
        .caution("the dealer can read charge count and capacity: that reading and the maker's limit win")
        .caution(HANDS_OFF);
    Ok(if counts { reading.soft(sign, soft_below(left, WORN, error)) } else { reading })
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    #[test]
    fn energy_and_distance_are_shares_of_what_was() {
        close(value("pack-left", &["gave=380Wh", "new=500Wh"], "left"), 76.0, 1e-9);
        close(value("pack-left", &["went=48km", "once=80km"], "left"), 60.0, 1e-9);
    }

    #[test]
    fn only_a_warm_reading_speaks_of_age() {
        let measured = |gave: &str| sure("pack-left", &[gave, "new=500Wh", "warmth=20°C"], "charges-fast-empties-fast");
        close(measured("gave=350Wh"), 0.5, 1e-9);
        assert!(measured("gave=250Wh") > 0.999 && measured("gave=480Wh") < 0.001);
        close(sure("pack-left", &["went=42km", "once=60km", "warmth=68°F"], "range-poor-in-warmth"), 0.5, 1e-9);
        for pairs in [&["went=20km", "once=60km", "warmth=2°C"][..], &["went=20km", "once=60km"]] {
            assert!(take("pack-left", pairs).softs.is_empty(), "{pairs:?}");
        }
    }

    #[test]
    fn half_a_pair_and_both_ways_are_refused() {
        refused(
            "pack-left",
            &["gave=380Wh", "once=60km"],
            "gauge `pack-left`: energy and distance were given together; leave one of the two ways out",
        );
        refused(
            "pack-left",
            &["gave=380Wh"],
            "gauge `pack-left` needs `new`, what it held when new, by its label; add `new=500Wh`",
        );
        refused(
            "pack-left",
            &["gave=500Wh", "new=300Wh"],
            "gauge `pack-left`: 500 Wh is far more than 300 Wh when new; exchange the two, or read them again",
        );
    }
}
