//! Dish: whether the rim stands midway between the ends of its axle.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};

/// The dish gauge.
pub static GAUGE: Gauge = Gauge {
    name: "dish",
    about: "whether the rim stands midway between the ends of its axle",
    inputs: &[
        Input::required(
            "left",
            "from a straightedge across the rim's left side to the face that the frame clamps",
            Kind::within(0.0, 150.0, "mm"),
            "left=48mm",
        ),
        Input::required("right", "the same on the right side", Kind::within(0.0, 150.0, "mm"), "right=50mm"),
        END,
    ],
    compute,
};

/// Rim out of the middle from which the wheel is set over, mm. Common practice, no source.
const OUT_FROM: f64 = 1.0;

/// How far one reading may be off, mm. Judgement.
const ERROR: f64 = 0.3;

/// Difference of both gaps from which the tyre stands nearer to one side of the frame, mm: as in the
/// gauge of the tyre's room.
const ASIDE_FROM: f64 = 3.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (left, right) = (inputs.need("left", "mm")?, inputs.need("right", "mm")?);
    // The straightedge stands the further from the face, the further the rim lies to the other side.
    let off = (left - right).abs() / 2.0;
    let side = if left > right { "right" } else { "left" };
    let verdict = if off < OUT_FROM - ERROR {
        "the rim is in the middle".to_owned()
    } else if off < OUT_FROM + ERROR {
        format!("the rim is {} mm to the {side}, at the limit within the error of the reading", short(off))
    } else {
        format!(
            "the rim is {} mm to the {side}: tighten the spokes of the other side, and loosen those of this one",
            short(off)
        )
    };
    Ok(inputs
        .reading(verdict)
        .figure("off", "rim out of the middle", off, "mm")?
        .figure("limit", "set over from", OUT_FROM, "mm")?
        .figure("error", "error of one reading", ERROR, "mm")?
        .working(
            format!("off = ({} - {}) / 2 = {} mm", short(left.max(right)), short(left.min(right)), short(off)),
            format!("set over from {OUT_FROM} mm; the frame sees twice as much as a difference of gaps"),
        )
        .source("half the difference of both sides: geometry; limit: common practice, no source; error: judgement")
        .caution(
            "some frames want a rim out of the middle: the maker's figure wins; tension stays below the rim's maximum",
        )
        .soft("tyre-nearer-one-side", soft_report(2.0 * off, ASIDE_FROM, ERROR * std::f64::consts::SQRT_2)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, sure, take, value};

    #[test]
    fn half_the_difference() {
        close(value("dish", &["left=48mm", "right=51mm"], "off"), 1.5, 1e-9);
        assert!(take("dish", &["left=48mm", "right=51mm"]).headline.starts_with("the rim is 1.5 mm to the left"));
        assert!(take("dish", &["left=48mm", "right=48.5mm"]).headline.ends_with("in the middle"));
        close(sure("dish", &["left=50mm", "right=47mm"], "tyre-nearer-one-side"), 0.5, 1e-9);
    }
}
