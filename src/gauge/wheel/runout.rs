//! True: how far a rim swings sideways and rises in one turn.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};

/// The wheel-true gauge.
pub static GAUGE: Gauge = Gauge {
    name: "wheel-true",
    about: "how far a rim swings sideways and rises in one turn, and whether that matters with this brake",
    inputs: &[
        Input::required(
            "sideways",
            "from its innermost to its outermost place in one turn",
            Kind::within(0.0, 60.0, "mm"),
            "sideways=0.6mm",
        ),
        Input::optional(
            "up",
            "from its lowest to its highest place in one turn",
            Kind::within(0.0, 60.0, "mm"),
            "up=0.5mm",
        ),
        Input::optional("brake", "where this wheel is braked", Kind::Choice(&["rim", "elsewhere"]), "brake=rim"),
        END,
    ],
    compute,
};

/// Swing and rise to which a wheel counts as true, and from which it should be trued, mm: with rim brakes
/// and without. Common practice, no source; standards give limits by kind of bicycle.
const TRUE: f64 = 0.5;
const RIM_BRAKE: f64 = 1.0;
const OTHERWISE: f64 = 2.0;

/// How far a reading against a fixed point may be off, mm. Judgement.
const ERROR: f64 = 0.2;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let sideways = inputs.need("sideways", "mm")?;
    let up = inputs.may("up", "mm");
    let (limit, brake) = match inputs.choice("brake") {
        Some("elsewhere") => (OTHERWISE, "braked elsewhere"),
        Some(_) => (RIM_BRAKE, "with a rim brake"),
        None => (RIM_BRAKE, "with a rim brake; no `brake` was given"),
    };
    let worst = sideways.max(up.unwrap_or(0.0));
    let verdict = if worst >= limit + ERROR {
        "true it before it rubs or loosens more spokes"
    } else if worst > limit - ERROR {
        "at the limit within the error of the reading: true it when at hand"
    } else if worst <= TRUE {
        "true"
    } else {
        "good enough to ride"
    };
    let mut reading = inputs
        .reading(format!("the rim swings {} mm: {verdict} (up to {limit} mm {brake})", short(worst)))
        .figure_si("sideways", "swing sideways", sideways / 1e3, inputs.unit_of("sideways"))?
        .figure("limit", "usual limit", limit, "mm")?
        .figure("error", "error of this reading", ERROR, "mm")?
        .soft("rim-weaves", soft_report(sideways, limit, ERROR));
    if let Some(up) = up {
        reading = reading
            .figure_si("up", "rise and fall", up / 1e3, inputs.unit_of("up"))?
            .soft("rim-rises", soft_report(up, limit, ERROR));
    }
    Ok(reading
        .working(
            format!("swing is the full reading over one turn: {} mm", short(worst)),
            format!("true to {TRUE} mm, trued from {limit} mm on; may be off by {ERROR} mm"),
        )
        .source(
            "run-out is the full reading over one turn, larger of both rim sides: TBIS 4210-7:2019 cl. 4.1 (national \
             adoption of ISO 4210-7); limits: common practice, from memory; error: judgement",
        )
        .caution("rule out play in the hub and a dented rim first; keep fingers out of the spokes"))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, sure, take};

    /// Common practice, no source: 0.5 mm is true, 1 mm with a rim brake, 2 mm otherwise.
    #[test]
    fn verdict_by_brake() {
        let says = |brake: &str| take("wheel-true", &["sideways=1.5mm", &format!("brake={brake}")]).headline;
        assert!(says("rim").contains("true it before"));
        assert!(says("elsewhere").contains("good enough"));
        assert!(
            take("wheel-true", &["sideways=0.3mm", "up=0.4mm"]).headline.starts_with("the rim swings 0.4 mm: true (")
        );
    }

    #[test]
    fn signs_turn_at_their_limits() {
        close(sure("wheel-true", &["sideways=1mm"], "rim-weaves"), 0.5, 1e-9);
        close(sure("wheel-true", &["sideways=0mm", "up=2mm", "brake=elsewhere"], "rim-rises"), 0.5, 1e-9);
        assert!(sure("wheel-true", &["sideways=3mm"], "rim-weaves") > 0.999);
    }
}
