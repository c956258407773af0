//! Pump loss: what screwing on a shock pump takes out of an air spring.
//!
//! ```text
//! (p + A) V + A v = (shown + A) (V + v)        V chamber, v hose, A the air around; warmth unchanged
//! ```

use super::air_spring::ATMOSPHERE;
use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_below};
use crate::quantity::Quantity;

/// The pump-loss gauge.
pub static GAUGE: Gauge = Gauge {
    name: "pump-loss",
    about: "the pressure that was in a shock or fork before the pump's hose took its share",
    inputs: &[
        Input::required(
            "shown",
            "what the pump shows just after it was screwed on",
            Kind::within(2.0, 400.0, "psi"),
            "shown=140psi",
        ),
        Input::required(
            "chamber",
            "volume of the air chamber at full length",
            Kind::within(10.0, 1500.0, "cm3"),
            "chamber=90cm3",
        ),
        Input::optional("hose", "volume of the pump's hose and gauge", Kind::within(0.5, 100.0, "cm3"), "hose=8cm3"),
        Input::optional(
            "base",
            "the pressure noted when it was last set",
            Kind::within(5.0, 400.0, "psi"),
            "base=160psi",
        ),
        END,
    ],
    compute,
};

/// Usual volume of a hose with its gauge, cm³: bore 3 mm, 300 mm long, and the gauge's own. Judgement.
const HOSE: f64 = 5.0;

/// Share of the base pressure below which a spring counts as low, and the error of both. Judgement.
const LOW_BELOW: f64 = 0.93;
const ERROR: f64 = 0.03;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let shown = inputs.needed("shown")?;
    let (chamber, hose) = (inputs.need("chamber", "cm3")?, inputs.or("hose", "cm3", HOSE));
    let before = ((shown.si() + ATMOSPHERE) * (chamber + hose) - ATMOSPHERE * hose) / chamber - ATMOSPHERE;
    let unit = shown.unit();
    let text = |si: f64| Quantity::from_si(si, unit).map_or_else(|_| String::new(), |q| q.to_string());
    let base = inputs.quantity("base");
    let verdict = match base {
        Some(base) if before < base.si() * LOW_BELOW => format!("; that is below the base of {base}: it has lost air"),
        Some(base) => format!("; the base of {base} is kept"),
        None => String::new(),
    };
    let mut reading = inputs
        .reading(format!("before the pump went on there were about {} in it{verdict}", text(before)))
        .figure_si("before", "pressure before the pump went on", before, unit)?
        .figure_si("loss", "taken by the hose", before - shown.si(), unit)?
        .figure("error", "error of this reading", ERROR * 100.0, "%")?
        .working(
            format!(
                "((shown + air) x ({} + {}) - air x {}) / {} - air",
                short(chamber),
                short(hose),
                short(hose),
                short(chamber)
            ),
            format!("= {}, with {shown} shown and {} of air", text(before), text(ATMOSPHERE)),
        )
        .source("same amount of air, same warmth (Boyle's law): any physics textbook; hose, limit and error: judgement")
        .model_note(
            "the hose is taken as full of plain air when it is screwed on; one that was pumped before takes less",
        )
        .caution("the hiss on unscrewing is the hose emptying, not the spring: what was set stays in it");
    if let Some(base) = base {
        reading = reading.soft("air-pressure-low", soft_below(before, base.si() * LOW_BELOW, ERROR * base.si()));
    }
    Ok(reading)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, sure, take, value};

    /// Worked by hand: 100 psi shown, 95 + 5 cm³: (114.696 x 100 - 14.696 x 5) / 95 - 14.696 = 105.263 psi.
    #[test]
    fn a_twentieth_goes_into_the_hose() {
        close(value("pump-loss", &["shown=100psi", "chamber=95cm3", "hose=5ml"], "before"), 105.263, 5e-4);
        assert!(
            take("pump-loss", &["shown=100psi", "chamber=95cm3", "base=150psi"]).headline.ends_with("it has lost air")
        );
        close(
            sure("pump-loss", &["shown=88.35psi", "chamber=95cm3", "hose=5ml", "base=100psi"], "air-pressure-low"),
            0.5,
            1e-6,
        );
        assert!(
            sure("pump-loss", &["shown=60psi", "chamber=95cm3", "hose=5ml", "base=100psi"], "air-pressure-low") > 0.999
        );
    }

    proptest! {
        #[test]
        fn a_smaller_chamber_loses_more(psi in 20f64..300.0, chamber in 30f64..400.0, less in 1f64..15.0) {
            let of = |v: f64| value("pump-loss", &[&format!("shown={psi:.6}psi"), &format!("chamber={v:.6}cm3")], "loss");
            prop_assert!(of(chamber - less) > of(chamber) && of(chamber) > 0.0);
        }
    }
}
