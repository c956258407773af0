//! Sag of a fork or shock against a band for its use, and the air pressure that mends it.
//!
//! Sag is how far the suspension sinks under the rider at rest, as a share of its stroke.
//!
//! The new pressure is that of [`air_spring::pressure_for`]; no constant is fitted. The compression
//! ratio of a shock is seldom printed, so the answer is a span over the usual ones, and n = 1
//! because the air has time to take the temperature of its surroundings while sag is set.

use super::air_spring::{self, ATMOSPHERE};
use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Plot, Reading, soft_below, soft_report};
use crate::quantity::{Quantity, sensible};

/// The sag gauge.
pub static GAUGE: Gauge = Gauge {
    name: "sag",
    about: "how far the suspension sinks under its rider, and the air pressure that puts it right",
    inputs: INPUTS,
    compute,
};

static INPUTS: &[Input] = &[
    Input::optional(
        "stroke",
        "the full travel of the shaft or stanchion that carries the O-ring",
        Kind::within(20.0, 300.0, "mm"),
        "stroke=57mm",
    ),
    Input::optional(
        "sag",
        "how far the O-ring was pushed by the rider in full kit, standing still",
        Kind::within(0.0, 300.0, "mm"),
        "sag=17mm",
    ),
    Input::optional(
        "percent",
        "the sag in percent of the stroke, instead of `stroke` and `sag`",
        Kind::within(0.0, 99.0, "%"),
        "percent=40%",
    ),
    Input::optional(
        "pressure",
        "the pressure the pump shows now, suspension fully extended",
        Kind::within(10.0, 400.0, "psi"),
        "pressure=160psi",
    ),
    Input::optional("target", "the sag wanted, in percent of the stroke", Kind::within(5.0, 50.0, "%"), "target=30%"),
    Input::optional(
        "use",
        "what the bike is ridden for",
        Kind::Choice(&["cross-country", "trail", "enduro"]),
        "use=trail",
    ),
    Input::optional(
        "ratio",
        "the compression ratio of the air spring, largest over smallest volume",
        Kind::within(1.1, 12.0, ""),
        "ratio=3",
    ),
    Input::optional("n", "the exponent of the gas law, 1 for slow and 1.4 for fast", Kind::within(1.0, 1.4, ""), "n=1"),
    Input::optional("max", "the highest pressure the maker allows", Kind::within(20.0, 500.0, "psi"), "max=300psi"),
    END,
];

/// Usual compression ratios of air springs on bicycles, few to many volume spacers. Judgement.
const USUAL_RATIOS: (f64, f64) = (2.2, 4.0);

/// Usual sag on a trail bike, percent: common practice.
const USUAL_TARGET: f64 = 30.0;

/// How far a reading of the O-ring may be off, mm: riders do not sit twice alike. Judgement.
const READING_ERROR: f64 = 1.5;

/// The error in percent when only a percentage is told: 1.5 mm on a shock of 57 mm stroke.
const PERCENT_ERROR: f64 = 100.0 * READING_ERROR / 57.0;

/// Percent beyond the band from which the sag counts as too deep. Published bands differ by about
/// five points, so half of that beyond the edge is still nobody's fault. Judgement.
const BEYOND_BAND: f64 = 2.5;

/// What to know of pumps.
const PUMP_LOSS: &str = "screwing the pump on lets air into its hose and the pressure drops: pump up to the old figure \
     first, then change it";

/// What the reckoning leaves out.
const MODEL: &str = "reckons with the main air chamber alone and an unchanged load; a negative chamber asks for a larger \
     change than this, and friction, a leverage that changes along the stroke and a warm shock shift it too: go in steps \
     of about 5 psi (0.3 bar), measure again, and believe the O-ring";

/// Usual sag by use, percent of travel. Typical: set-up guides of shops and clubs, which differ.
fn band(purpose: &str) -> (f64, f64) {
    match purpose {
        "cross-country" => (15.0, 25.0),
        "enduro" => (30.0, 35.0),
        _ => (25.0, 30.0),
    }
}

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let Sag { percent, error, line } = measured(inputs)?;
    let purpose = inputs.choice("use").unwrap_or("trail");
    let (low, high) = band(purpose);
    let said =
        if inputs.choice("use").is_some() { purpose.to_owned() } else { format!("{purpose} (no `use` was given)") };
    let target = inputs.quantity("target").map_or(USUAL_TARGET.clamp(low, high), |q| q.si() * 100.0);
    let limit = high + BEYOND_BAND;

    let verdict = if percent > limit {
        "too deep"
    } else if percent > high {
        "a little deep"
    } else if percent < low - BEYOND_BAND {
        "too little"
    } else if percent < low {
        "a little short"
    } else {
        "within the usual band"
    };
    let mut headline = format!("sag is {} %: {verdict} for {said}, where {low} to {high} % is usual", tenths(percent));
    let air = inputs.quantity("pressure").map(|pressure| Air::new(inputs, pressure, percent, target)).transpose()?;
    let counts =
        format!("sag counts as too deep from {} % on; this reading may be off by {} %", tenths(limit), tenths(error));
    if let Some(air) = &air {
        headline.push_str(&air.advice(percent, target, error));
    }
    let reading = inputs
        .reading(headline)
        .figure("sag", "sag", percent, "%")?
        .figure("error", "error of this reading", error, "%")?
        .figure("band-low", "usual band from", low, "%")?
        .figure("band-high", "usual band to", high, "%")?
        .figure("target", "sag wanted", target, "%")?
        .working(line, air.as_ref().map_or(counts, |air| air.working(percent, target)))
        .source(
            "sag is movement over stroke; band by use: typical, from set-up guides that differ among themselves; \
             p V^n constant with absolute pressure: thermodynamics textbook (polytropic process); usual ratios and \
             reading error: judgement",
        )
        .caution(
            "rider in full riding kit; pump off before each reading; settle the suspension with a few bounces first",
        )
        .caution("the maker's sag and pressure win; never go past the maker's maximum pressure")
        .soft("sag-too-deep", soft_report(percent, limit, error))
        .soft("sag-too-shallow", soft_below(percent, low - BEYOND_BAND, error));
    match air {
        Some(air) => air.shown(reading, percent),
        None => Ok(reading),
    }
}

/// Sag and its error in percent of the stroke, and how they came about.
struct Sag {
    percent: f64,
    error: f64,
    line: String,
}

fn measured(inputs: &Inputs) -> Result<Sag, GaugeError> {
    let (stroke, sag) = (inputs.quantity("stroke"), inputs.quantity("sag"));
    let error = stroke.map_or(PERCENT_ERROR, |stroke| READING_ERROR / (stroke.si() * 1000.0) * 100.0);
    match (inputs.quantity("percent"), sag) {
        (Some(_), Some(_)) => Err(inputs.unfit("both `sag` and `percent` were given", "leave one of them out")),
        (Some(percent), None) => {
            let line = format!("sag = {percent} of the stroke, as told");
            Ok(Sag { percent: percent.given(), error, line })
        }
        (None, Some(sag)) => {
            let stroke = stroke.ok_or_else(|| inputs.missing("stroke"))?;
            if sag.si() >= stroke.si() {
                return Err(inputs.unfit(
                    format!("a sag of {sag} is the whole stroke of {stroke} or more"),
                    "measure the O-ring from the seal, and the stroke without the shock's eyes",
                ));
            }
            // Rounded, so that 17.1 of 57 mm is 30 % and not a hair more.
            let percent = (sag.si() / stroke.si() * 1e8).round() / 1e6;
            Ok(Sag { percent, error, line: format!("sag = {sag} / {stroke} = {} %", tenths(percent)) })
        }
        (None, None) => Err(inputs.missing("sag")),
    }
}

/// The new pressure: in the middle of the usual ratios, and its span.
struct Air {
    now: Quantity,
    middle: Quantity,
    least: Quantity,
    most: Quantity,
    max: Option<Quantity>,
    ratios: (f64, f64),
    exponent: f64,
}

impl Air {
    fn new(inputs: &Inputs, now: Quantity, percent: f64, target: f64) -> Result<Air, GaugeError> {
        let ratios = inputs.quantity("ratio").map_or(USUAL_RATIOS, |ratio| (ratio.si(), ratio.si()));
        let exponent = inputs.quantity("n").map_or(1.0, |n| n.si());
        let at = |ratio: f64| air_spring::pressure_for(now.si(), percent / 100.0, target / 100.0, ratio, exponent);
        let (one, other) = (at(ratios.0), at(ratios.1));
        if one.min(other) <= 0.0 {
            return Err(inputs.unfit(
                format!("no air pressure would give {} % from {now} and {} %", tenths(target), tenths(percent)),
                "measure sag and pressure again; a coil or a lighter spring may be what is wanted",
            ));
        }
        let wrong = |error| GaugeError::not_a_quantity(GAUGE.name, "pressure", error);
        let shown = |value: f64| Quantity::from_si(value, now.unit()).map_err(wrong);
        let middle = shown(at((ratios.0 * ratios.1).sqrt()))?;
        Ok(Air {
            now,
            middle,
            least: shown(one.min(other))?,
            most: shown(one.max(other))?,
            max: inputs.quantity("max"),
            ratios,
            exponent,
        })
    }

    /// Adds the new pressure, and pressure against sag as a picture.
    fn shown(&self, reading: Reading, percent: f64) -> Result<Reading, GaugeError> {
        let unit = self.now.unit();
        let scale = self.now.si() / self.now.given();
        let curve = |ratio: f64| {
            let n = self.exponent;
            move |sag: f64| air_spring::pressure_for(self.now.si(), percent / 100.0, sag / 100.0, ratio, n) / scale
        };
        let (least, most) = self.ratios;
        let span = ((percent - 15.0).max(5.0), (percent + 10.0).min(60.0));
        let mut plot = Plot::new("Pressure that carries this rider", "sag, %", format!("pressure, {unit}"));
        plot = plot.curve("in the middle", span, 20, curve((least * most).sqrt()));
        if least != most {
            plot = plot.curve(format!("ratio {least}"), span, 20, curve(least));
            plot = plot.curve(format!("ratio {most}"), span, 20, curve(most));
        }
        if let Some(max) = self.max {
            plot = plot.level("maker's maximum", max.si() / scale);
        }
        Ok(reading
            .figure_si("pressure", "new pressure, about", self.middle.si(), unit)?
            .figure_si("pressure-low", "new pressure, least", self.least.si(), unit)?
            .figure_si("pressure-high", "new pressure, most", self.most.si(), unit)?
            .caution(PUMP_LOSS)
            .model_note(MODEL)
            .plot(plot.here(percent, self.now.given())))
    }

    fn span(&self) -> String {
        let (least, most) = (self.least.to_string(), self.most.to_string());
        if least == most { String::new() } else { format!(" ({} to {most})", sensible(self.least.given(), 3)) }
    }

    fn advice(&self, percent: f64, target: f64, error: f64) -> String {
        if let Some(max) = self.max.filter(|max| self.now.si() > max.si()) {
            return format!("; {} is past the maximum of {max}: let it down before anything else", self.now);
        }
        if (percent - target).abs() <= error / 2.0 {
            return format!(
                "; {} is right for {} % within the error of the reading: leave it",
                self.now,
                tenths(target)
            );
        }
        let wanted = tenths(target);
        match self.max {
            Some(max) if self.middle.si() > max.si() => format!(
                "; {wanted} % would take about {}, beyond the maximum of {max}: pump no further than that and have the spring looked at",
                self.middle
            ),
            max => {
                let act = if percent > target { "pump to" } else { "let it down to" };
                let stop = max.filter(|max| self.most.si() > max.si());
                let stop = stop.map_or(String::new(), |max| format!(", never past {max}"));
                format!("; for {wanted} % {act} about {}{}{stop}, then measure again", self.middle, self.span())
            }
        }
    }

    fn working(&self, percent: f64, target: f64) -> String {
        let unit = self.now.unit();
        let air = Quantity::from_si(ATMOSPHERE, unit).map(|q| sensible(q.given(), 3)).unwrap_or_default();
        let ratio = if self.ratios.0 == self.ratios.1 {
            sensible(self.ratios.0, 3)
        } else {
            format!("{} to {}", self.ratios.0, self.ratios.1)
        };
        let power = if self.exponent == 1.0 { String::new() } else { format!("^{}", sensible(self.exponent, 3)) };
        format!(
            "pressure = ({} + {air}) x ((1 - k x {}) / (1 - k x {})){power} - {air} {unit}, k = 1 - 1/ratio, ratio {ratio}: {}{}",
            sensible(self.now.given(), 4),
            sensible(target / 100.0, 3),
            sensible(percent / 100.0, 3),
            self.middle,
            self.span(),
        )
    }
}

fn tenths(percent: f64) -> String {
    sensible((percent * 10.0).round() / 10.0, 3)
}

#[cfg(test)]
mod tests {
    use crate::gauge::Reading;
    use crate::gauge::testing::{self, close, figure};

    fn take(pairs: &[&str]) -> Reading {
        testing::take("sag", pairs)
    }

    #[track_caller]
    fn refused(pairs: &[&str], message: &str) {
        testing::refused("sag", pairs, message);
    }

    /// Common practice: near 160 psi at 40 %, about 20 psi more gives 30 %. By hand with n = 1:
    /// 174.696 x (1 - 0.3 k) / (1 - 0.4 k) - 14.696 with k = 6/11, 2/3, 3/4.
    #[test]
    fn forty_percent_at_160_psi_wants_about_twenty_more() {
        let reading = take(&["percent=40%", "pressure=160psi", "target=30%"]);
        close(figure(&reading, "pressure-low"), 172.19, 0.01);
        close(figure(&reading, "pressure-high"), 178.72, 0.01);
        for key in ["pressure", "pressure-low", "pressure-high"] {
            assert!((172.0..=185.0).contains(&figure(&reading, key)), "{key}");
        }
        close(figure(&take(&["percent=40", "pressure=160psi", "ratio=3"]), "pressure"), 175.88, 0.01);
        assert_eq!(
            reading.headline,
            "sag is 40 %: too deep for trail (no `use` was given), where 25 to 30 % is usual; \
             for 30 % pump to about 176 psi (172 to 179 psi), then measure again"
        );
        assert_eq!(
            reading.working,
            [
                "sag = 40 % of the stroke, as told",
                "pressure = (160 + 14.7) x ((1 - k x 0.3) / (1 - k x 0.4)) - 14.7 psi, k = 1 - 1/ratio, ratio 2.2 to 4: 176 psi (172 to 179 psi)",
            ]
        );
        assert!(reading.model_note.is_some());
    }

    /// O-ring movement over stroke: 13.75 mm of 55 mm is 25 % (arithmetic).
    #[test]
    fn sag_is_movement_over_stroke() {
        let reading = take(&["stroke=55mm", "sag=13.75mm", "use=trail"]);
        close(figure(&reading, "sag"), 25.0, 1e-9);
        close(figure(&reading, "error"), 2.727, 0.001);
        assert_eq!(reading.headline, "sag is 25 %: within the usual band for trail, where 25 to 30 % is usual");
        assert_eq!(reading.working[0], "sag = 13.75 mm / 55 mm = 25 %");
        assert_eq!(reading.model_note, None);
    }

    #[test]
    fn the_answer_comes_in_the_unit_of_the_question() {
        let reading = take(&["stroke=2 1/4 in", "sag=0,9 in", "pressure=11 bar"]);
        assert!(reading.figures.iter().filter(|f| f.key.starts_with("pressure")).all(|f| f.quantity.unit() == "bar"));
        close(figure(&reading, "pressure"), 12.1, 0.05);
        assert_eq!(reading.working[0], "sag = 0.9 in / 2 1/4 in = 40 %");
    }

    #[test]
    fn the_target_follows_the_use_unless_it_is_given() {
        close(figure(&take(&["percent=30", "use=cross-country"]), "target"), 25.0, 1e-9);
        close(figure(&take(&["percent=30", "use=enduro"]), "target"), 30.0, 1e-9);
        close(figure(&take(&["percent=30", "use=enduro", "target=33"]), "target"), 33.0, 1e-9);
    }

    #[test]
    fn says_when_to_leave_it_when_to_let_down_and_when_to_stop() {
        assert!(take(&["percent=30.5", "pressure=160psi"]).headline.contains("leave it"));
        assert!(take(&["percent=15", "pressure=160psi"]).headline.contains("let it down to"));
        let stop = take(&["percent=45", "pressure=290psi", "max=300psi"]).headline;
        let said = "beyond the maximum of 300 psi: pump no further than that and have the spring looked at";
        assert!(stop.ends_with(said), "{stop}");
        let past = take(&["percent=30", "pressure=310psi", "max=300psi"]).headline;
        assert!(past.ends_with("; 310 psi is past the maximum of 300 psi: let it down before anything else"));
        let near = take(&["percent=40", "pressure=160psi", "max=177psi"]).headline;
        assert!(near.ends_with("(172 to 179 psi), never past 177 psi, then measure again"), "{near}");
    }

    #[test]
    fn softness_follows_the_distance_to_the_limit() {
        let soft = |pairs: &[&str]| take(pairs).softs[0];
        let at_limit = soft(&["percent=32.5", "use=trail"]);
        close(at_limit.strong, 0.5, 1e-9);
        let deep = soft(&["stroke=57mm", "sag=22.8mm", "use=trail"]);
        // z = 7.5 / (150 / 57) = 2.85, and Phi(2.85) = 0.99781 (table of the normal distribution).
        close(deep.slight, 0.997_81, 1e-5);
        assert_eq!(deep.slight, deep.strong);
        assert!(soft(&["stroke=160mm", "sag=30mm"]).strong < 1e-4);
    }

    #[test]
    fn refuses_what_does_not_fit_together() {
        refused(
            &["pressure=160psi"],
            "gauge `sag` needs `sag`, how far the O-ring was pushed by the rider in full kit, standing still; add `sag=17mm`",
        );
        refused(
            &["sag=17mm"],
            "gauge `sag` needs `stroke`, the full travel of the shaft or stanchion that carries the O-ring; add `stroke=57mm`",
        );
        refused(&["sag=17mm", "percent=30"], "gauge `sag`: both `sag` and `percent` were given; leave one of them out");
        refused(
            &["sag=57mm", "stroke=57mm"],
            "gauge `sag`: a sag of 57 mm is the whole stroke of 57 mm or more; measure the O-ring from the seal, and the stroke without the shock's eyes",
        );
    }
}
