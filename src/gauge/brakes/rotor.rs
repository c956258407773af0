//! Rotor: how thick it still is, and how far it swings from side to side.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, soft_below, soft_report};
use crate::quantity::sensible;

/// The rotor gauge.
pub static GAUGE: Gauge = Gauge {
    name: "rotor",
    about: "thickness of a brake rotor against the figure marked on it, and how far it swings",
    inputs: &[
        Input::required(
            "thickness",
            "the thinnest place of the braking band, by micrometer or calliper, clear of the worn-in step",
            Kind::within(0.8, 4.0, "mm"),
            "thickness=1.62mm",
        ),
        Input::optional(
            "least",
            "the least thickness marked on the rotor",
            Kind::within(1.0, 3.5, "mm"),
            "least=1.5mm",
        ),
        Input::optional("new", "its thickness when new", Kind::within(1.2, 4.0, "mm"), "new=1.8mm"),
        Input::optional(
            "runout",
            "how far the braking band swings in one turn, from its innermost to its outermost place",
            Kind::within(0.0, 5.0, "mm"),
            "runout=0.2mm",
        ),
        END,
    ],
    compute,
};

/// Least thickness if none is marked, mm: makers' figures seen lie from 1.50 to 1.55 (workshop guides).
const USUAL_LEAST: f64 = 1.5;

/// Usual thickness when new, mm. From memory.
const USUAL_NEW: f64 = 1.8;

/// How far a calliper may be off on a ridged rotor, mm. Judgement.
const THICKNESS_ERROR: f64 = 0.02;

/// The same where no least is marked: makers' figures differ by as much. Judgement.
const UNMARKED_ERROR: f64 = 0.05;

/// Swing from which pads are bound to touch, mm: the gaps of both sides together leave little more.
/// Common practice, no source.
const SWING_FROM: f64 = 0.3;

/// How far a reading of the swing may be off, mm. Judgement.
const SWING_ERROR: f64 = 0.07;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let thick = inputs.need("thickness", "mm")?;
    let unit = inputs.unit_of("thickness");
    let least = inputs.or("least", "mm", USUAL_LEAST);
    let new = inputs.or("new", "mm", USUAL_NEW.max(least + 0.3).max(thick));
    if new <= least {
        return Err(inputs.unfit(
            format!("a new thickness of {new} mm is not above the least of {least} mm"),
            "read both figures again",
        ));
    }
    let worn = ((new - thick) / (new - least) * 100.0).max(0.0);
    let verdict = if thick < least {
        "thinner than it may be: change the rotor before riding on"
    } else if thick - least < 2.0 * THICKNESS_ERROR {
        "at its limit within the error of the reading: change it with the next pads, and measure until then"
    } else {
        "thick enough"
    };
    let of = if inputs.has("least") { "marked" } else { "usual, for none was given" };
    let error = if inputs.has("least") { THICKNESS_ERROR } else { UNMARKED_ERROR };
    let swing = inputs.may("runout", "mm");
    let swings = match swing {
        Some(swing) if swing > SWING_FROM => {
            format!("; it swings {} mm, more than a rotor that clears its pads: true it", sensible(swing, 2))
        }
        Some(swing) => format!("; a swing of {} mm clears the pads", sensible(swing, 2)),
        None => String::new(),
    };
    let mut reading = inputs
        .reading(format!("the rotor is {verdict} (least {} mm, {of}){swings}", sensible(least, 3)))
        .figure_si("thickness", "thickness", thick / 1000.0, unit)?
        .figure_si("least", "least thickness", least / 1000.0, unit)?
        .figure("worn", "of what may wear is gone", worn, "%")?
        .figure("error", "error of this reading", error, "mm")?
        .working(
            format!(
                "worn = ({} - {}) / ({} - {}) = {} %",
                sensible(new, 3),
                sensible(thick, 3),
                sensible(new, 3),
                sensible(least, 3),
                sensible(worn, 3)
            ),
            format!(
                "too thin below {} mm, swing too great from {SWING_FROM} mm; readings may be off by {error} and {SWING_ERROR} mm",
                sensible(least, 3)
            ),
        )
        .source(
            "a limit should be marked on the part (TBIS 4210-2:2018 cl. 4.6.1, national adoption of ISO 4210-2); 1.5 mm \
             where none is marked: typical, workshop guides; 1.8 mm new: from memory; swing: common practice, no source; \
             errors: judgement",
        )
        .caution("the figure on the rotor and the maker's book win over the usual one")
        .caution("let the rotor cool first, and keep fingers and grease off its braking band")
        .soft("rotor-below-mark", soft_below(thick, least, error));
    if let Some(swing) = swing {
        reading = reading
            .figure("runout", "swing in one turn", swing, "mm")?
            .soft("rotor-weaves", soft_report(swing, SWING_FROM, SWING_ERROR));
    }
    Ok(reading)
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    #[test]
    fn wear_is_counted_from_new_to_least() {
        close(value("rotor", &["thickness=1.65mm", "least=1.5mm", "new=1.8mm"], "worn"), 50.0, 1e-9);
        let thin = take("rotor", &["thickness=1.45mm", "least=1.5mm"]).headline;
        assert!(thin.starts_with("the rotor is thinner than it may be"), "{thin}");
        let inches = take("rotor", &["thickness=0.0650in"]);
        assert_eq!(inches.figures[0].text, "0.065 in");
    }

    #[test]
    fn signs_turn_at_their_limits() {
        close(sure("rotor", &["thickness=1.5mm"], "rotor-below-mark"), 0.5, 1e-9);
        assert!(sure("rotor", &["thickness=1.4mm", "least=1.5mm"], "rotor-below-mark") > 0.999);
        close(sure("rotor", &["thickness=1.7mm", "runout=0.3mm"], "rotor-weaves"), 0.5, 1e-9);
    }

    #[test]
    fn what_contradicts_itself_is_refused() {
        refused(
            "rotor",
            &["thickness=1.7mm", "least=1.8mm", "new=1.8mm"],
            "gauge `rotor`: a new thickness of 1.8 mm is not above the least of 1.8 mm; read both figures again",
        );
    }
}
