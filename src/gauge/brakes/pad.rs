//! Pads: how much lining is left, and whether both wear alike.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, soft_below, soft_report};
use crate::quantity::sensible;

/// The pad gauge.
pub static GAUGE: Gauge = Gauge {
    name: "pad",
    about: "how much lining is left on brake pads, and whether both wear alike",
    inputs: &[
        Input::required(
            "left",
            "lining left on one pad, without its metal plate, at its thinnest place; on rim pads above the wear line",
            Kind::within(0.0, 12.0, "mm"),
            "left=1.6mm",
        ),
        Input::required("right", "the same on the other pad", Kind::within(0.0, 12.0, "mm"), "right=1.4mm"),
        Input::optional("brake", "where the pads press", Kind::Choice(&["disc", "rim"]), "brake=disc"),
        Input::optional("least", "the least lining the maker allows", Kind::within(0.0, 3.0, "mm"), "least=0.5mm"),
        Input::optional("new", "the lining when new", Kind::within(1.0, 12.0, "mm"), "new=3mm"),
        END,
    ],
    compute,
};

/// Least lining on a disc pad, mm: typical, a workshop guide; rim pads end at their wear line.
const LEAST_DISC: f64 = 0.5;

/// Lining of new pads, mm: disc, rim. From memory.
const NEW: (f64, f64) = (2.0, 4.0);

/// Difference from which the pads do not wear alike, mm. Judgement.
const UNEVEN_FROM: f64 = 0.5;

/// How far a reading of one lining may be off, mm. Judgement.
const ERROR: f64 = 0.15;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (left, right) = (inputs.need("left", "mm")?, inputs.need("right", "mm")?);
    let disc = inputs.choice("brake") != Some("rim");
    let least = inputs.or("least", "mm", if disc { LEAST_DISC } else { 0.0 });
    let thin = left.min(right);
    let new = inputs.or("new", "mm", (if disc { NEW.0 } else { NEW.1 }).max(left.max(right)).max(least + 1.0));
    if new <= least {
        return Err(
            inputs.unfit(format!("a new lining of {new} mm is not above the least of {least} mm"), "read both again")
        );
    }
    let worn = ((new - thin) / (new - least) * 100.0).clamp(0.0, 999.0);
    let apart = (left - right).abs();
    let verdict = if thin <= least {
        "worn out: change both pads before riding on"
    } else if thin - least < 2.0 * ERROR {
        "at their limit within the error of the reading: change both"
    } else if worn > 66.0 {
        "good for a while: have new ones ready"
    } else {
        "thick enough"
    };
    let alike = if apart >= UNEVEN_FROM {
        format!("; one is {} mm thinner: look why one side presses more", sensible(apart, 2))
    } else {
        String::new()
    };
    let reading = inputs
        .reading(format!("the pads are {verdict} ({} mm left, least {} mm){alike}", sensible(thin, 3), sensible(least, 3)))
        .figure_si("thinner", "thinner lining", thin / 1000.0, inputs.unit_of("left"))?
        .figure("apart", "difference of the two", apart, "mm")?
        .figure("worn", "of what may wear is gone", worn, "%")?
        .figure("error", "error of this reading", ERROR, "mm")?
        .working(
            format!(
                "worn = ({} - {}) / ({} - {}) = {} %",
                sensible(new, 3),
                sensible(thin, 3),
                sensible(new, 3),
                sensible(least, 3),
                sensible(worn, 3)
            ),
            format!("too thin from {} mm down, unlike from {UNEVEN_FROM} mm apart; one reading may be off by {ERROR} mm", sensible(least, 3)),
        )
        .source(
            "pads should warn before their limit (TBIS 4210-2:2018 cl. 4.6.1, national adoption of ISO 4210-2); 0.5 mm on \
             disc pads: typical, a workshop guide; lining when new: from memory; difference and errors: judgement",
        )
        .caution("the maker's least lining wins; pads are changed in pairs")
        .caution("bare metal on rotor or rim brakes badly and ruins it: do not ride on");
    Ok(if disc {
        reading
            .soft("disc-pad-thin", soft_below(thin, least, ERROR))
            .soft("pads-worn-unevenly", soft_report(apart, UNEVEN_FROM, ERROR * std::f64::consts::SQRT_2))
    } else {
        reading.soft("rim-pad-past-line", soft_below(thin, least, ERROR))
    })
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, sure, take, value};

    #[test]
    fn the_thinner_pad_decides() {
        close(value("pad", &["left=1.0mm", "right=1.5mm", "new=2.5mm"], "worn"), 75.0, 1e-9);
        assert!(take("pad", &["left=0.4mm", "right=1.5mm"]).headline.starts_with("the pads are worn out"));
        assert!(take("pad", &["left=2mm", "right=2mm"]).headline.starts_with("the pads are thick enough"));
    }

    #[test]
    fn signs_turn_at_their_limits() {
        close(sure("pad", &["left=0.5mm", "right=1mm"], "disc-pad-thin"), 0.5, 1e-9);
        close(sure("pad", &["left=1.5mm", "right=1mm"], "pads-worn-unevenly"), 0.5, 1e-9);
        close(sure("pad", &["left=0mm", "right=3mm", "brake=rim"], "rim-pad-past-line"), 0.5, 1e-9);
        assert!(sure("pad", &["left=2.5mm", "right=2.5mm"], "disc-pad-thin") < 1e-5);
    }
}
