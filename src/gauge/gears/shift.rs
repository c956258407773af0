//! Cable pull: whether a click of the shifter moves the derailleur by one sprocket.
//!
//! ```text
//! pull of a click x shift ratio = pitch of the sprockets
//! ```

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};

/// The cable-pull gauge.
pub static GAUGE: Gauge = Gauge {
    name: "cable-pull",
    about: "whether one click of the shifter moves the rear derailleur by one sprocket, and where it drifts off",
    inputs: &[
        Input::required(
            "travel",
            "how far the cable moves over all the clicks measured",
            Kind::within(0.5, 60.0, "mm"),
            "travel=19.6mm",
        ),
        Input::required("clicks", "how many clicks those were", Kind::count(1.0, 13.0), "clicks=7"),
        Input::required(
            "ratio",
            "movement of the derailleur for that of the cable, by its maker",
            Kind::within(0.5, 3.0, ""),
            "ratio=1.7",
        ),
        Input::required(
            "pitch",
            "from one sprocket to the next, middle to middle",
            Kind::within(2.5, 8.0, "mm"),
            "pitch=4.8mm",
        ),
    ],
    compute,
};

/// Drift from which some sprocket changes badly, mm: about what an adjuster's half turn moves. Judgement.
const DRIFT_FROM: f64 = 1.0;

/// How far the travel of a cable by rule may be off, mm. Judgement.
const ERROR: f64 = 0.4;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (travel, clicks) = (inputs.need("travel", "mm")?, inputs.need("clicks", "")?);
    let (ratio, pitch) = (inputs.need("ratio", "")?, inputs.need("pitch", "mm")?);
    let pull = travel / clicks;
    let moved = pull * ratio;
    let drift = (moved - pitch) * clicks;
    let error = ERROR * ratio;
    let verdict = if drift.abs() < DRIFT_FROM - error.min(DRIFT_FROM / 2.0) {
        "shifter, derailleur and sprockets belong together"
    } else if drift.abs() < DRIFT_FROM + error {
        "they may belong together: the drift is within the error of the reading, so measure over all clicks"
    } else if drift < 0.0 {
        "each click moves too little: these parts do not belong together, or the cable is not clamped where it should be"
    } else {
        "each click moves too much: these parts do not belong together, or the cable is not clamped where it should be"
    };
    Ok(inputs
        .reading(format!("one click moves {} mm for a pitch of {} mm: {verdict}", short(moved), short(pitch)))
        .figure("pull", "cable pulled by one click", pull, "mm")?
        .figure("moved", "movement of one click", moved, "mm")?
        .figure("drift", "drift over all clicks", drift, "mm")?
        .figure("error", "error of the drift", error, "mm")?
        .working(
            format!("{} mm / {clicks} x {} = {} mm a click", short(travel), short(ratio), short(moved)),
            format!("drift = ({} - {}) x {clicks} = {} mm; bad from {DRIFT_FROM} mm; may be off by {} mm", short(moved), short(pitch), short(drift), short(error)),
        )
        .source("pull times shift ratio is the sprockets' pitch: common practice, published tables of dimensions; drift and error: judgement")
        .caution("the makers' lists of what belongs together win; straighten the hanger before blaming the parts")
        .soft("no-setting-suits-all", soft_report(drift.abs(), DRIFT_FROM, error)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, sure, take, value};

    /// A published table of dimensions: eight sprockets, 2.8 mm x 1.7 makes 4.8 mm.
    #[test]
    fn eight_sprockets() {
        let pairs = ["travel=19.6mm", "clicks=7", "ratio=1.7", "pitch=4.8mm"];
        close(value("cable-pull", &pairs, "pull"), 2.8, 1e-9);
        close(value("cable-pull", &pairs, "moved"), 4.8, 0.05);
        assert!(take("cable-pull", &pairs).headline.ends_with("belong together"));
        assert!(sure("cable-pull", &pairs, "no-setting-suits-all") < 0.2);
    }

    #[test]
    fn the_sign_turns_at_its_limit() {
        close(
            sure("cable-pull", &["travel=20mm", "clicks=5", "ratio=1.0", "pitch=4.2mm"], "no-setting-suits-all"),
            0.5,
            1e-6,
        );
        assert!(
            sure("cable-pull", &["travel=28mm", "clicks=7", "ratio=1.7", "pitch=4.8mm"], "no-setting-suits-all")
                > 0.999
        );
    }
}
