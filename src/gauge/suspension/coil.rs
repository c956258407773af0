//! Coil: whether a steel spring is the right one for its rider.
//!
//! ```text
//! force on the spring = load on the wheel x travel / stroke        sag = (force - rate x preload) / rate
//! ```

use crate::gauge::road::GRAVITY;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Plot, Reading, short, soft_outside};

/// The coil gauge.
pub static GAUGE: Gauge = Gauge {
    name: "coil",
    about: "whether a steel spring is the right one for its rider",
    inputs: &[
        Input::required(
            "load",
            "what the rear wheel carries, rider in full kit on the bike, less the wheel itself",
            Kind::within(10.0, 200.0, "kg"),
            "load=55kg",
        ),
        Input::required("travel", "travel of the wheel", Kind::within(30.0, 260.0, "mm"), "travel=150mm"),
        Input::required(
            "stroke",
            "stroke of the shock; the travel again for a spring that moves with the wheel",
            Kind::within(20.0, 260.0, "mm"),
            "stroke=60mm",
        ),
        Input::required("rate", "spring rate printed on the coil", Kind::within(1.0, 250.0, "N/mm"), "rate=450lbf/in"),
        Input::optional(
            "preload",
            "how far the collar squeezes the spring at full length",
            Kind::within(0.0, 30.0, "mm"),
            "preload=2mm",
        ),
        Input::optional("target", "sag wanted, in percent of the stroke", Kind::within(5.0, 50.0, "%"), "target=30%"),
    ],
    compute,
};

/// Usual sag, percent: common practice.
const TARGET: f64 = 30.0;

/// Sag further off the target than this, percent, asks for another spring. Judgement.
const OFF: f64 = 5.0;

/// How far the sag reckoned may be off, percent: load by scales, leverage that changes. Judgement.
const ERROR: f64 = 2.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (load, rate) = (inputs.need("load", "kg")?, inputs.need("rate", "N/mm")?);
    let (travel, stroke) = (inputs.need("travel", "mm")?, inputs.need("stroke", "mm")?);
    let (preload, target) = (inputs.or("preload", "mm", 0.0), inputs.or("target", "%", TARGET));
    if travel < stroke {
        return Err(inputs.unfit(
            format!(
                "the wheel's travel of {} mm is less than the shock's stroke of {} mm",
                short(travel),
                short(stroke)
            ),
            "swap the two, or measure again",
        ));
    }
    let force = load * GRAVITY * travel / stroke;
    let sag_at = |rate: f64| ((force - rate * preload) / rate).clamp(0.0, stroke) / stroke * 100.0;
    let sag = sag_at(rate);
    let wanted = force / (target / 100.0 * stroke + preload);
    let unit = inputs.unit_of("rate");
    let per = crate::quantity::Quantity::new(1.0, unit).map_or(1.0, |one| one.si() / 1000.0);
    let verdict = if sag > target + OFF {
        "too soft"
    } else if sag < target - OFF {
        "too hard"
    } else {
        "right"
    };
    let plot = Plot::new("Sag by spring", format!("spring rate, {unit}"), "sag, %")
        .curve("sag", (wanted.min(rate) * 0.7 / per, wanted.max(rate) * 1.3 / per), 14, |r| sag_at(r * per))
        .level("wanted", target)
        .here(rate / per, sag);
    Ok(inputs
        .reading(format!(
            "this spring is {verdict}: it sags {} % where {} % is wanted; {} {unit} would give that",
            short(sag),
            short(target),
            short(wanted / per)
        ))
        .figure("sag", "sag with this spring", sag, "%")?
        .figure_si("wanted", "spring rate for the sag wanted", wanted * 1000.0, unit)?
        .figure("force", "force on the spring", force, "N")?
        .figure("leverage", "travel over stroke", travel / stroke, "")?
        .figure("error", "error of the sag", ERROR, "%")?
        .working(
            format!("force = {} kg x 9.80665 x {} / {} = {} N", short(load), short(travel), short(stroke), short(force)),
            format!("sag = {} N / {} N/mm - {} mm = {} % of {} mm", short(force), short(rate), short(preload), short(sag), short(stroke)),
        )
        .source("spring force is rate times way (Hooke), leverage is travel over stroke; band, target and error: judgement and common practice")
        .model_note("takes the leverage as the same all along; on most bikes it changes, so believe the ring on the shaft")
        .caution("the maker's chart of springs by weight wins; more than two turns of preload mean another spring")
        .plot(plot)
        .soft("spring-not-for-weight", soft_outside(sag, (target - OFF, target + OFF), ERROR)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, sure, take, value};

    /// Worked by hand: 55 kg at a leverage of 2.5 press with 1348.4 N; 30 % of 60 mm ask for 74.91 N/mm, which
    /// is 427.8 lbf/in.
    #[test]
    fn the_spring_for_a_rider() {
        let pairs = ["load=55kg", "travel=150mm", "stroke=60mm", "rate=74.912N/mm"];
        close(value("coil", &pairs, "force"), 1348.4, 0.05);
        close(value("coil", &pairs, "sag"), 30.0, 0.001);
        close(value("coil", &["load=55kg", "travel=150mm", "stroke=60mm", "rate=450lbf/in"], "wanted"), 427.8, 0.1);
        assert!(
            take("coil", &["load=55kg", "travel=150mm", "stroke=60mm", "rate=300lbf/in"])
                .headline
                .starts_with("this spring is too soft")
        );
        refused(
            "coil",
            &["load=55kg", "travel=50mm", "stroke=60mm", "rate=300lbf/in"],
            "gauge `coil`: the wheel's travel of 50 mm is less than the shock's stroke of 60 mm; swap the two, or measure again",
        );
    }

    #[test]
    fn the_sign_turns_at_its_limit() {
        // The force over 35 % of 60 mm: the edge of the band.
        let rate = 55.0 * 9.806_65 * 2.5 / 21.0;
        let at = |rate: f64| {
            sure(
                "coil",
                &["load=55kg", "travel=150mm", "stroke=60mm", &format!("rate={rate:.9}N/mm")],
                "spring-not-for-weight",
            )
        };
        close(at(rate), 0.5, 1e-5);
        assert!(at(rate * 0.6) > 0.999 && at(rate * 35.0 / 30.0) < 0.05);
    }

    proptest! {
        #[test]
        fn a_harder_spring_sags_less(rate in 40f64..120.0, more in 0.1f64..50.0, preload in 0f64..4.0) {
            let of = |r: f64| value("coil", &["load=60kg", "travel=150mm", "stroke=60mm", &format!("rate={r:.6}N/mm"), &format!("preload={preload:.6}mm")], "sag");
            prop_assert!(of(rate + more) < of(rate) || of(rate) == 0.0);
        }
    }
}
