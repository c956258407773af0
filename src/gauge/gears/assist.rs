//! Assist limit: whether the help of an e-bike ends where it should.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_outside};

/// The assist-limit gauge.
pub static GAUGE: Gauge = Gauge {
    name: "assist-limit",
    about: "whether the help of an e-bike ends where its plate says, wheel size set rightly",
    inputs: &[
        Input::required(
            "ends",
            "the speed shown when the help has gone",
            Kind::within(2.0, 80.0, "km/h"),
            "ends=25.4km/h",
        ),
        Input::optional("marked", "the limit marked on the bike", Kind::within(6.0, 50.0, "km/h"), "marked=25km/h"),
        Input::optional("set", "the wheel's turn that the display is set to", Kind::within(0.5, 2.6, "m"), "set=2.2m"),
        Input::optional(
            "turn",
            "the wheel's turn, measured along the floor",
            Kind::within(0.5, 2.6, "m"),
            "turn=2.187m",
        ),
    ],
    compute,
};

/// Limit where none is marked, km/h: EN 15194:2017, scope.
const MARKED: f64 = 25.0;

/// The help may end so much above the marked speed: TBIS 15194:2019 cl. 4.2.11.1.
const ABOVE: f64 = 10.0;

/// How far below it an ending still is the limit and no fault, percent. Judgement.
const BELOW: f64 = 15.0;

/// Error of the speed shown, percent: TBIS 15194:2019 cl. 4.2.11.2.
const ERROR: f64 = 2.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let ends = inputs.need("ends", "km/h")?;
    let marked = inputs.or("marked", "km/h", MARKED);
    let factor = match (inputs.may("set", "m"), inputs.may("turn", "m")) {
        (Some(set), Some(turn)) => turn / set,
        (None, None) => 1.0,
        (Some(_), None) => return Err(inputs.missing("turn")),
        (None, Some(_)) => return Err(inputs.missing("set")),
    };
    let real = ends * factor;
    let most = marked * (1.0 + ABOVE / 100.0);
    let least = marked * (1.0 - BELOW / 100.0);
    let error = real * ERROR / 100.0;
    let verdict = if real > most + error {
        "past what is allowed: have the wheel size and the drive's setting put right before it is ridden on the road"
    } else if real > most {
        "past what is allowed, within the error of the reading: measure again"
    } else if real < least {
        "well below the limit: that is no legal limit, look for another cause"
    } else {
        "as it should be: the fading is the law's, not a fault"
    };
    let unit = inputs.unit_of("ends");
    let kmh = 1.0 / 3.6;
    // Outside the band it is something else; inside, help that fades at its limit.
    let outside = soft_outside(real, (least, most), error);
    Ok(inputs
        .reading(format!("the help ends at {} km/h: {verdict}", short(real)))
        .figure_si("real", "speed at which the help has gone", real * kmh, unit)?
        .figure_si("most", "highest allowed", most * kmh, unit)?
        .figure("error", "error of the speed shown", ERROR, "%")?
        .working(
            format!("real = {} km/h x {} = {} km/h", short(ends), short(factor), short(real)),
            format!("highest = {} km/h + {ABOVE} % = {} km/h; a fault below {} km/h", short(marked), short(most), short(least)),
        )
        .source(
            "help ends at the marked speed, at most 10 % above it; speed shown to 2 %: TBIS 15194:2019 cl. 4.2.11.1 and \
             4.2.11.2 (national adoption of EN 15194); 25 km/h: EN 15194:2017, scope; lower edge: judgement",
        )
        .caution("local rules set the limit: 15.5 mph in Great Britain (SI 2015/24), 20 mph or more in parts of America")
        .caution("measure on an empty level road, full battery; raising the limit ends approval and insurance")
        .soft("help-fades-at-same-speed", crate::gauge::Soft { there: outside.missing, missing: outside.there }))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, sure, take, value};

    /// TBIS 15194:2019 cl. 4.2.11.1 (national adoption of EN 15194): 25 km/h + 10 % = 27.5 km/h.
    #[test]
    fn ten_percent_above_the_mark() {
        close(value("assist-limit", &["ends=25km/h"], "most"), 27.5, 1e-9);
        let says = |ends: &str| take("assist-limit", &[ends]).headline;
        assert!(says("ends=26.5km/h").contains("as it should be"));
        assert!(says("ends=29km/h").contains("past what is allowed: "));
        assert!(says("ends=15km/h").contains("well below"));
        // SI 2015/24, regulation 2: 15.5 mph, which is 24.9 km/h.
        assert!(take("assist-limit", &["ends=15.6mph", "marked=15.5mph"]).headline.contains("as it should be"));
    }

    #[test]
    fn a_wheel_set_too_small_moves_the_end() {
        close(value("assist-limit", &["ends=25km/h", "set=2.0m", "turn=2.2m"], "real"), 27.5, 1e-9);
        close(sure("assist-limit", &["ends=27.5km/h"], "help-fades-at-same-speed"), 0.5, 1e-4);
        assert!(sure("assist-limit", &["ends=25km/h"], "help-fades-at-same-speed") > 0.999);
        assert!(sure("assist-limit", &["ends=12km/h"], "help-fades-at-same-speed") < 0.001);
    }
}
