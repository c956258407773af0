//! Gap: how far each pad stands from rotor or rim with the lever free.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, soft_below, soft_report};
use crate::quantity::sensible;

/// The gap gauge.
pub static GAUGE: Gauge = Gauge {
    name: "gap",
    about: "room between the pads and the rotor or rim on each side, and whether a swinging one still clears",
    inputs: &[
        Input::required(
            "left",
            "the gap on one side, by feeler strips, lever free",
            Kind::within(0.0, 8.0, "mm"),
            "left=0.2mm",
        ),
        Input::required("right", "the gap on the other side", Kind::within(0.0, 8.0, "mm"), "right=0.3mm"),
        Input::optional(
            "runout",
            "how far rotor or rim swings in one turn, from its innermost to its outermost place",
            Kind::within(0.0, 10.0, "mm"),
            "runout=0.2mm",
        ),
        Input::optional("brake", "where the pads press", Kind::Choice(&["disc", "rim"]), "brake=disc"),
        END,
    ],
    compute,
};

/// What counts as usual, mm; all of it judgement, typical of common brakes.
struct Usual {
    each: (f64, f64),
    uneven_from: f64,
    closed_below: f64,
    error: f64,
}

const DISC: Usual = Usual { each: (0.15, 0.5), uneven_from: 0.15, closed_below: 0.15, error: 0.04 };
const RIM: Usual = Usual { each: (1.0, 3.0), uneven_from: 1.0, closed_below: 0.5, error: 0.25 };

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (left, right) = (inputs.need("left", "mm")?, inputs.need("right", "mm")?);
    let disc = inputs.choice("brake") != Some("rim");
    let usual = if disc { DISC } else { RIM };
    let swing = inputs.may("runout", "mm");
    let (whole, apart, least) = (left + right, (left - right).abs(), left.min(right));
    // The gap was felt where the rotor happened to stand, so the whole swing may come out of it.
    let clear = least - swing.unwrap_or(0.0);
    let between = if disc { "rotor" } else { "rim" };
    let verdict = if least <= 0.0 {
        "one pad rests: centre the brake".to_owned()
    } else if clear < 0.0 && whole > swing.unwrap_or(0.0) + 2.0 * usual.error {
        format!(
            "a swing of {} mm reaches a pad: centre the brake, then true the {between}",
            sensible(swing.unwrap_or(0.0), 2)
        )
    } else if clear < 0.0 {
        format!("the {between} swings more than both gaps hold: true it")
    } else if whole < usual.closed_below {
        format!("the {between} hardly fits: press the pads back with the wheel out, and look at fluid or cable")
    } else if apart > usual.uneven_from {
        format!("{} mm wider on one side: centre the brake", sensible(apart, 2))
    } else {
        "both sides clear".to_owned()
    };
    let reading = inputs
        .reading(verdict)
        .figure("whole", "both gaps together", whole, "mm")?
        .figure("apart", "difference of the two", apart, "mm")?
        .figure("move", "to move the brake for equal gaps", apart / 2.0, "mm")?
        .figure("clear", "left at the narrow side when it swings", clear, "mm")?
        .figure("error", "error of this reading", usual.error, "mm")?
        .working(
            format!(
                "both = {} + {} = {} mm; move by half of {} mm = {} mm",
                sensible(left, 3),
                sensible(right, 3),
                sensible(whole, 3),
                sensible(apart, 3),
                sensible(apart / 2.0, 3)
            ),
            format!(
                "usual {} to {} mm a side; uneven from {} mm apart; closed up below {} mm together; off by {} mm at most",
                usual.each.0, usual.each.1, usual.uneven_from, usual.closed_below, usual.error
            ),
        )
        .source(
            "brakes run without binding (TBIS 4210-2:2018 cl. 4.6.1, national adoption of ISO 4210-2); gaps, their \
             difference and errors: judgement, typical of common brakes",
        )
        .caution("keep fingers out of a turning rotor and wheel; feel the gap at several places of one turn");
    Ok(if disc {
        reading
            .soft("rotor-gap-uneven", soft_report(apart, usual.uneven_from, usual.error))
            .soft("pads-closed-up", soft_below(whole, usual.closed_below, usual.error))
    } else {
        reading.soft("one-pad-rests", soft_below(least, 0.0, usual.error))
    })
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, sure, take, value};

    #[test]
    fn the_brake_moves_by_half_the_difference() {
        close(value("gap", &["left=0.1mm", "right=0.4mm"], "move"), 0.15, 1e-9);
        let swings = take("gap", &["left=0.2mm", "right=0.4mm", "runout=0.3mm"]);
        assert_eq!(swings.headline, "a swing of 0.3 mm reaches a pad: centre the brake, then true the rotor");
        assert_eq!(take("gap", &["left=0mm", "right=0.5mm"]).headline, "one pad rests: centre the brake");
        assert_eq!(take("gap", &["left=2mm", "right=1.5mm", "brake=rim"]).headline, "both sides clear");
    }

    #[test]
    fn signs_turn_at_their_limits() {
        close(sure("gap", &["left=0.2mm", "right=0.35mm"], "rotor-gap-uneven"), 0.5, 1e-6);
        close(sure("gap", &["left=0.05mm", "right=0.1mm"], "pads-closed-up"), 0.5, 1e-6);
        assert!(sure("gap", &["left=0.2mm", "right=0.6mm"], "rotor-gap-uneven") > 0.999);
        close(sure("gap", &["left=0mm", "right=3mm", "brake=rim"], "one-pad-rests"), 0.5, 1e-9);
    }
}
