//! Room: how far the tyre stands from frame, fork and mudguard.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_below, soft_report};

/// The room gauge.
pub static GAUGE: Gauge = Gauge {
    name: "tyre-room",
    about: "room between the tyre and frame, fork or mudguard, and whether it stands in the middle",
    inputs: &[
        Input::required("left", "the least gap on the left", Kind::within(0.0, 80.0, "mm"), "left=6mm"),
        Input::required("right", "the least gap on the right", Kind::within(0.0, 80.0, "mm"), "right=7mm"),
        Input::optional("above", "the least gap above the tread", Kind::within(0.0, 120.0, "mm"), "above=8mm"),
        Input::optional(
            "runout",
            "how far the tyre swings in one turn, if the gaps were not taken at its worst",
            Kind::within(0.0, 15.0, "mm"),
            "runout=1mm",
        ),
        Input::optional("bike", "the rule that applies", Kind::Choice(&["any", "racing", "other"]), "bike=any"),
        END,
    ],
    compute,
};

/// Least room, mm, by rule: 1/16 in, 16 CFR 1512.11; 4 mm for racing bicycles, EN 14781 cl. 4.10.2 (read
/// second-hand); 6 mm for others, one maker's manual.
fn least(bike: Option<&str>) -> (f64, &'static str) {
    match bike {
        Some("racing") => (4.0, "EN 14781 cl. 4.10.2 for racing bicycles"),
        Some("other") => (6.0, "a maker's manual for other bicycles"),
        _ => (1.5875, "16 CFR 1512.11"),
    }
}

/// Difference from which a wheel stands nearer to one side, mm. Common practice, no source.
const ASIDE_FROM: f64 = 3.0;

/// How far one gap may be off, mm. Judgement.
const ERROR: f64 = 0.5;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (left, right) = (inputs.need("left", "mm")?, inputs.need("right", "mm")?);
    let narrow = left.min(right).min(inputs.or("above", "mm", f64::INFINITY)) - inputs.or("runout", "mm", 0.0);
    let (least, rule) = least(inputs.choice("bike"));
    let apart = (left - right).abs();
    let verdict = if narrow <= 0.0 {
        "the tyre touches: do not ride on".to_owned()
    } else if narrow < least {
        format!("{} mm is too little room: fit a narrower tyre, or centre or true the wheel", short(narrow))
    } else {
        format!("{} mm is room enough", short(narrow))
    };
    let aside = if apart >= ASIDE_FROM {
        format!(
            "; it stands {} mm out of the middle: seat the wheel anew first, then look at its dish",
            short(apart / 2.0)
        )
    } else {
        String::new()
    };
    Ok(inputs
        .reading(format!("{verdict}{aside}"))
        .figure("room", "least room", narrow, "mm")?
        .figure("least", "least allowed", least, "mm")?
        .figure("aside", "out of the middle", apart / 2.0, "mm")?
        .figure("error", "error of one gap", ERROR, "mm")?
        .working(
            format!("least of all gaps, less the swing = {} mm", short(narrow)),
            format!("{} mm by {rule}; aside = ({} - {}) / 2 = {} mm", short(least), short(left.max(right)), short(left.min(right)), short(apart / 2.0)),
        )
        .source(
            "1/16 in at every point: 16 CFR 1512.11; 4 mm: EN 14781 cl. 4.10.2, read second-hand; 6 mm: one maker's manual; \
             difference: common practice, no source; error: judgement",
        )
        .caution("frames bend and stones stick to tyres: more room than the rule is better; the frame maker's widest tyre wins")
        .soft("tyre-touches-frame", soft_below(narrow, least.min(2.0), ERROR))
        .soft("tyre-nearer-one-side", soft_report(apart, ASIDE_FROM, ERROR * std::f64::consts::SQRT_2)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, sure, take};

    /// 16 CFR 1512.11: 1/16 in; EN 14781 cl. 4.10.2: 4 mm, read second-hand.
    #[test]
    fn room_by_rule() {
        let says = |gap: &str, bike: &str| {
            take("tyre-room", &[&format!("left={gap}"), "right=9mm", &format!("bike={bike}")]).headline
        };
        assert!(says("3mm", "any").starts_with("3 mm is room enough"));
        assert!(says("3mm", "racing").starts_with("3 mm is too little"));
        assert!(says("0mm", "any").starts_with("the tyre touches"));
        assert!(says("1/8 in", "any").contains("2.91 mm out of the middle"));
    }

    #[test]
    fn signs_turn_at_their_limits() {
        close(sure("tyre-room", &["left=1/16in", "right=3mm"], "tyre-touches-frame"), 0.5, 1e-6);
        close(sure("tyre-room", &["left=5mm", "right=8mm"], "tyre-nearer-one-side"), 0.5, 1e-6);
        assert!(sure("tyre-room", &["left=8mm", "right=8mm"], "tyre-touches-frame") < 1e-5);
    }
}
