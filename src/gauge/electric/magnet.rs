//! Magnet: how the wheel magnet passes its speed sensor.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};

/// The magnet gauge.
pub static GAUGE: Gauge = Gauge {
    name: "magnet-gap",
    about: "the gap between wheel magnet and speed sensor against the maker's figures",
    inputs: &[
        Input::required(
            "gap",
            "the gap as the magnet passes the sensor's mark, wheel stopped there by hand",
            Kind::within(0.0, 60.0, "mm"),
            "gap=8mm",
        ),
        Input::optional("least", "the least gap in the maker's book", Kind::within(0.0, 30.0, "mm"), "least=5mm"),
        Input::optional("most", "the greatest gap in the maker's book", Kind::within(1.0, 40.0, "mm"), "most=17mm"),
        Input::optional(
            "aside",
            "how far beside the sensor's mark the magnet passes",
            Kind::within(0.0, 60.0, "mm"),
            "aside=0mm",
        ),
    ],
    compute,
};

/// Gap where the maker names none, mm: a magnet must clear a wheel that swings, and reach. Judgement.
const USUAL: (f64, f64) = (1.0, 10.0);

/// How far beside the mark it still counts, mm. Judgement.
const ASIDE: f64 = 5.0;

/// How far a gap may be off, mm, and how far makers' figures lie apart where none is known. Judgement.
const ERROR: f64 = 1.0;
const UNNAMED_ERROR: f64 = 4.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let gap = inputs.need("gap", "mm")?;
    let (least, most) = (inputs.or("least", "mm", USUAL.0), inputs.or("most", "mm", USUAL.1));
    if most <= least {
        return Err(inputs.unfit(
            format!("a greatest gap of {} mm is not above the least of {} mm", short(most), short(least)),
            "read both figures again",
        ));
    }
    let aside = inputs.may("aside", "mm").unwrap_or(0.0);
    let named = inputs.has("most");
    let error = if named { ERROR } else { UNNAMED_ERROR };
    let verdict = if aside > ASIDE {
        "the magnet does not pass the mark: slide it along its spoke"
    } else if gap > most + error {
        "too far for the sensor to notice every turn: bring the magnet nearer"
    } else if gap > most {
        "at the edge: bring the magnet nearer and try"
    } else if gap < least {
        "too near: it may strike the sensor when the wheel flexes"
    } else {
        "near enough"
    };
    let of = if named { "the maker's figures" } else { "usual, for the maker's figure was not given" };
    let unit = inputs.unit_of("gap");
    // Beside the mark the magnet is as far off as if it were that much past the greatest gap.
    let reach = if aside > ASIDE { gap.max(most + aside - ASIDE) } else { gap };
    Ok(inputs
        .reading(format!("{verdict} ({} to {} mm: {of})", short(least), short(most)))
        .figure_si("gap", "gap", gap / 1000.0, unit)?
        .figure_si("most", "greatest gap", most / 1000.0, unit)?
        .figure("room", "room to the greatest gap", most - gap, "mm")?
        .figure("error", "error of this reading", error, "mm")?
        .working(
            format!("room = {} - {} mm = {} mm", short(most), short(gap), short(most - gap)),
            format!("right from {} to {} mm and up to {ASIDE} mm beside the mark, give or take {error} mm", short(least), short(most)),
        )
        .source("gap by the maker's book; where none was given, and for all errors: judgement, for makers' figures differ")
        .caution("the maker's gap and mark win; some bikes have a magnet at the valve or in the rotor, with a gap of their own")
        .caution("switch off and keep fingers out of the spokes: turn the wheel by the tyre")
        .soft("magnet-not-at-sensor", soft_report(reach, most, error)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    #[test]
    fn the_makers_figure_comes_first() {
        let made = ["gap=14mm", "least=5mm", "most=17mm"];
        close(value("magnet-gap", &made, "room"), 3.0, 1e-9);
        assert!(take("magnet-gap", &made).headline.starts_with("near enough (5 to 17 mm: the maker's figures)"));
        assert!(take("magnet-gap", &["gap=16mm"]).headline.contains("the maker's figure was not given"));
        assert!(take("magnet-gap", &["gap=3mm", "least=5mm", "most=17mm"]).headline.starts_with("too near"));
        assert!(take("magnet-gap", &["gap=1/4 in", "aside=20mm"]).headline.contains("does not pass the mark"));
    }

    #[test]
    fn signs_turn_at_their_limits() {
        close(sure("magnet-gap", &["gap=17mm", "most=17mm"], "magnet-not-at-sensor"), 0.5, 1e-6);
        assert!(sure("magnet-gap", &["gap=30mm", "most=17mm"], "magnet-not-at-sensor") > 0.999);
        assert!(sure("magnet-gap", &["gap=8mm", "most=17mm"], "magnet-not-at-sensor") < 0.001);
        assert!(sure("magnet-gap", &["gap=8mm", "most=17mm", "aside=15mm"], "magnet-not-at-sensor") > 0.999);
        refused(
            "magnet-gap",
            &["gap=8mm", "least=9mm", "most=9mm"],
            "gauge `magnet-gap`: a greatest gap of 9 mm is not above the least of 9 mm; read both figures again",
        );
    }
}
