//! Hanger: whether the derailleur's hanger stands square to the wheel, by gaps at one point of the rim.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};

/// The hanger gauge.
pub static GAUGE: Gauge = Gauge {
    name: "hanger",
    about: "whether the rear derailleur's hanger stands square to the wheel",
    inputs: &[
        Input::required(
            "gaps",
            "the gap between gauge and one marked point of the rim, turned along with it: above, behind, below, in front",
            Kind::Readings { low: 0.0, high: 80.0, unit: "mm", least: 2 },
            "gaps=12,14,15,13mm",
        ),
        Input::optional("rim", "diameter of the rim where it was read", Kind::within(250.0, 640.0, "mm"), "rim=622mm"),
    ],
    compute,
};

/// Difference of gaps from which the hanger is bent, mm: common practice, from memory; some ask for 2 mm.
const BENT_FROM: f64 = 4.0;

/// How far a difference may be off, mm: play in gauge and hub. Judgement.
const ERROR: f64 = 0.8;

/// Usual rim, mm.
const RIM: f64 = 622.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let gaps = inputs.readings("gaps", "mm");
    let (least, most) = (gaps.iter().copied().fold(f64::INFINITY, f64::min), gaps.iter().copied().fold(0.0, f64::max));
    let spread = most - least;
    let rim = inputs.or("rim", "mm", RIM);
    let tilt = (spread / rim).atan().to_degrees();
    let places = ["above", "behind", "below", "in front"];
    let widest = gaps.iter().position(|gap| *gap == most).and_then(|at| places.get(at)).filter(|_| gaps.len() == 4);
    let verdict = if spread >= BENT_FROM + ERROR {
        "bent: straighten it in small steps, once, with the wheel in; change it if it cracks or was straightened before"
    } else if spread > BENT_FROM - ERROR {
        "at the limit within the error of the reading: press the gauge the same way all round and read again"
    } else {
        "straight enough"
    };
    let where_ = widest.filter(|_| spread > 0.0).map_or(String::new(), |w| format!(", widest {w}"));
    Ok(inputs
        .reading(format!("the gaps differ by {} mm{where_}: the hanger is {verdict}", short(spread)))
        .figure("spread", "difference of the gaps", spread, "mm")?
        .figure("tilt", "tilt of the hanger", tilt, "°")?
        .figure("limit", "bent from", BENT_FROM, "mm")?
        .figure("error", "error of the difference", ERROR, "mm")?
        .working(
            format!("spread = {} - {} = {} mm", short(most), short(least), short(spread)),
            format!("tilt = atan({} / {}) = {} deg; bent from {BENT_FROM} mm, may be off by {ERROR} mm", short(spread), short(rim), short(tilt)),
        )
        .source(
            "one point of the rim turned along with the gauge leaves the wheel's own swing out (B. Quartuccio, Urban Velo 32); \
             4 mm: common practice, from memory; error: judgement",
        )
        .caution("new hangers are often not straight either; the frame maker's figure wins")
        .soft("hanger-gauge-uneven", soft_report(spread, BENT_FROM, ERROR)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, sure, take, value};

    #[test]
    fn spread_and_tilt() {
        let pairs = ["gaps=12,14,20,13mm", "rim=600mm"];
        close(value("hanger", &pairs, "spread"), 8.0, 1e-9);
        // atan(8 / 600) is 0.7639 degrees (worked by hand).
        close(value("hanger", &pairs, "tilt"), 0.7639, 1e-4);
        assert!(
            take("hanger", &pairs).headline.starts_with("the gaps differ by 8 mm, widest below: the hanger is bent")
        );
        assert!(take("hanger", &["gaps=12,13,13,12mm"]).headline.ends_with("straight enough"));
        close(sure("hanger", &["gaps=10,14mm"], "hanger-gauge-uneven"), 0.5, 1e-9);
        assert!(sure("hanger", &["gaps=10,20mm"], "hanger-gauge-uneven") > 0.999);
    }

    proptest! {
        #[test]
        fn moving_all_gaps_alike_changes_nothing(a in 1f64..20.0, b in 1f64..20.0, c in 1f64..20.0, d in 1f64..20.0, more in 0f64..30.0) {
            let of = |more: f64| {
                let all: Vec<String> = [a, b, c, d].iter().map(|g| format!("{:.9}", g + more)).collect();
                value("hanger", &[&format!("gaps={}mm", all.join(","))], "spread")
            };
            prop_assert!((of(0.0) - of(more)).abs() < 1e-6);
        }
    }
}
