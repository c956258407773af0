//! Spoke length: from the hub's flange to the nipple's seat, by geometry.
//!
//! ```text
//! L^2 = R^2 + H^2 + F^2 - 2 R H cos(720 deg x crosses / spokes)        L - hole / 2
//! ```
//!
//! R half the spoke-end diameter of the rim, H half the diameter of the flange's circle of holes, F the
//! flange's distance from the middle. Law of cosines in the wheel's plane, Pythagoras across it.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};

/// The spoke-length gauge.
pub static GAUGE: Gauge = Gauge {
    name: "spoke-length",
    about: "the spoke that fits a rim and a hub's flange",
    inputs: &[
        Input::required(
            "rim",
            "diameter across the spoke ends, seat to seat in the nipples",
            Kind::within(150.0, 650.0, "mm"),
            "rim=602mm",
        ),
        Input::required(
            "flange",
            "diameter of the circle of holes in the flange",
            Kind::within(20.0, 250.0, "mm"),
            "flange=45mm",
        ),
        Input::required(
            "offset",
            "from the middle of the hub to the flange",
            Kind::within(0.0, 70.0, "mm"),
            "offset=35mm",
        ),
        Input::required("spokes", "spokes of the whole wheel", Kind::count(8.0, 72.0), "spokes=32"),
        Input::required("crosses", "how many spokes each one crosses", Kind::count(0.0, 5.0), "crosses=3"),
        Input::optional("hole", "diameter of the holes in the flange", Kind::within(1.5, 4.0, "mm"), "hole=2.5mm"),
    ],
    compute,
};

/// Usual hole, mm. From memory.
const HOLE: f64 = 2.5;

/// How far the answer may be off when everything was measured to half a millimetre, mm. Judgement.
const ERROR: f64 = 1.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (rim, flange) = (inputs.need("rim", "mm")? / 2.0, inputs.need("flange", "mm")? / 2.0);
    let offset = inputs.need("offset", "mm")?;
    let (spokes, crosses) = (inputs.need("spokes", "")?, inputs.need("crosses", "")?);
    if spokes % 2.0 != 0.0 {
        return Err(
            inputs.unfit(format!("{spokes} spokes do not share out over two flanges"), "count the holes of the rim")
        );
    }
    if flange >= rim {
        return Err(inputs.unfit("the flange is no smaller than the rim", "read both diameters again"));
    }
    let turned = 720.0 * crosses / spokes;
    if turned > 90.0 {
        return Err(inputs.unfit(
            format!("{crosses} crosses with {spokes} spokes lay them past the tangent of the flange"),
            "use fewer crosses",
        ));
    }
    let squared = rim * rim + flange * flange + offset * offset - 2.0 * rim * flange * turned.to_radians().cos();
    let hole = inputs.or("hole", "mm", HOLE);
    let length = squared.max(0.0).sqrt() - hole / 2.0;
    Ok(inputs
        .reading(format!("spokes of {} mm: take the next whole length down", short(length)))
        .figure("length", "length, elbow to end", length, "mm")?
        .figure("turned", "angle from hole to hole", turned, "°")?
        .figure("error", "error of this length", ERROR, "mm")?
        .working(
            format!("angle = 720 x {crosses} / {spokes} = {} deg", short(turned)),
            format!(
                "length = root({}^2 + {}^2 + {}^2 - 2 x {} x {} x cos) - {} / 2 = {} mm",
                short(rim),
                short(flange),
                short(offset),
                short(rim),
                short(flange),
                short(hole),
                short(length)
            ),
        )
        .source("law of cosines; hole 2.5 mm where none is given: from memory; error: judgement")
        .caution("measure the spoke-end diameter with two spokes and nipples in this rim: printed figures differ")
        .caution("left and right of a dished wheel differ: reckon each"))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, value};

    fn length(crosses: u8, offset: f64) -> f64 {
        let pairs = [
            "rim=602mm".to_owned(),
            "flange=45mm".to_owned(),
            "spokes=32".to_owned(),
            format!("crosses={crosses}"),
            format!("offset={offset:.6}mm"),
            "hole=2.4mm".to_owned(),
        ];
        value("spoke-length", &pairs.iter().map(String::as_str).collect::<Vec<_>>(), "length")
    }

    /// Radial spokes lie on a right triangle: root(278.5^2 + 35^2) - 1.2 (worked by hand). With eight crosses
    /// to the whole of 64 spokes the angle would be a right one.
    #[test]
    fn radial_is_pythagoras() {
        close(length(0, 35.0), (278.5f64 * 278.5 + 35.0 * 35.0).sqrt() - 1.2, 1e-9);
        // Four crosses of 32: 90 degrees, so again Pythagoras.
        close(length(4, 0.0), (301.0f64 * 301.0 + 22.5 * 22.5).sqrt() - 1.2, 1e-9);
        refused(
            "spoke-length",
            &["rim=602mm", "flange=45mm", "offset=35mm", "spokes=20", "crosses=3"],
            "gauge `spoke-length`: 3 crosses with 20 spokes lay them past the tangent of the flange; use fewer crosses",
        );
    }

    proptest! {
        #[test]
        fn more_crosses_and_wider_flanges_ask_for_longer_spokes(crosses in 0u8..4, offset in 0f64..60.0, more in 0.1f64..9.0) {
            prop_assert!(length(crosses + 1, offset) > length(crosses, offset));
            prop_assert!(length(crosses, offset + more) > length(crosses, offset));
        }
    }
}
