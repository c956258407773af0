//! Lever: reach, the pull that brings the pads on, what is left to the grip, and what a hydraulic
//! line makes of a push.

use std::f64::consts::PI;

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, soft_report};
use crate::quantity::sensible;

/// The lever gauge.
pub static GAUGE: Gauge = Gauge {
    name: "lever",
    about: "reach and pull of a brake lever against their limits; pressure and force in a hydraulic line",
    inputs: &[
        Input::optional(
            "reach",
            "from the far side of the grip to the front of the lever, midway along it, lever free",
            Kind::within(20.0, 200.0, "mm"),
            "reach=80mm",
        ),
        Input::optional(
            "contact",
            "the pull that brings the pads on, by spring balance 25 mm from the lever's end",
            Kind::within(0.0, 300.0, "N"),
            "contact=20N",
        ),
        Input::optional(
            "pull",
            "the pull of a hard stop, by spring balance 25 mm from the lever's end",
            Kind::within(0.0, 1000.0, "N"),
            "pull=120N",
        ),
        Input::optional(
            "left-over",
            "from the lever to the grip when pulled hard",
            Kind::within(0.0, 120.0, "mm"),
            "left-over=15mm",
        ),
        Input::optional("push", "the force on the lever's piston", Kind::within(1.0, 5000.0, "N"), "push=500N"),
        Input::optional("master", "diameter of the lever's piston", Kind::within(3.0, 40.0, "mm"), "master=10mm"),
        Input::optional("slave", "diameter of one piston at the wheel", Kind::within(5.0, 90.0, "mm"), "slave=22mm"),
        Input::optional("pistons", "how many pistons press on one side", Kind::count(1.0, 3.0), "pistons=1"),
    ],
    compute,
};

/// Longest reach, mm: 3 1/2 in, 16 CFR 1512.5(b)(3).
const REACH: f64 = 88.9;

/// Pull below which the pads are on, N: 10 lbf, 16 CFR 1512.5(b)(5).
const CONTACT: f64 = 44.482_216_152_605;

/// Most pull that a brake test uses, N: TBIS 15194:2019 cl. 4.3.5.4.
const PULL: f64 = 180.0;

/// Pull that a hand can give, N: 60 lbf, a textbook case (Norton, Machine Design, lever case study).
const HAND: f64 = 267.0;

/// Errors of reading: mm by rule, N by spring balance. Judgement.
const REACH_ERROR: f64 = 2.0;
const PULL_ERROR: f64 = 4.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (reach, contact) = (inputs.may("reach", "mm"), inputs.may("contact", "N"));
    let (pull, left) = (inputs.may("pull", "N"), inputs.may("left-over", "mm"));
    let hydraulic = ["push", "master", "slave"].iter().any(|key| inputs.has(key));
    if reach.is_none() && contact.is_none() && pull.is_none() && left.is_none() && !hydraulic {
        return Err(inputs.missing("reach"));
    }
    let mut said: Vec<String> = Vec::new();
    if let Some(left) = left {
        said.push(if left <= 2.0 {
            "the lever comes to the grip: do not ride; set the cable or bleed".to_owned()
        } else {
            format!("{} mm stay between lever and grip", sensible(left, 3))
        });
    }
    if let Some(reach) = reach {
        let verdict = if reach > REACH { "too far for most hands: screw it in" } else { "within reach" };
        said.push(format!("a reach of {} mm is {verdict}", sensible(reach, 3)));
    }
    if let Some(contact) = contact {
        let verdict = if contact < CONTACT { "light enough" } else { "heavy: free the cable, lever or pistons" };
        said.push(format!("{} N to bring the pads on is {verdict}", sensible(contact, 3)));
    }
    if let Some(pull) = pull {
        said.push(if pull > HAND {
            format!("{} N is more than most hands have", sensible(pull, 3))
        } else if pull > PULL {
            format!("{} N for a hard stop is more than a brake should ask", sensible(pull, 3))
        } else {
            format!("{} N for a hard stop is within what a brake may ask", sensible(pull, 3))
        });
    }
    let mut second = format!(
        "reach to {} mm, pads on below {} N, hard stop to {PULL} N; may be off by {REACH_ERROR} mm and {PULL_ERROR} N",
        sensible(REACH, 3),
        sensible(CONTACT, 3)
    );
    let mut first = "held against the limits as read".to_owned();
    let mut reading = inputs.reading("");
    if hydraulic {
        let (push, master) = (inputs.need("push", "N")?, inputs.need("master", "m")?);
        let slave = inputs.need("slave", "m")?;
        let area = |d: f64| PI * d * d / 4.0;
        let pressure = push / area(master);
        let ratio = inputs.or("pistons", "", 1.0) * area(slave) / area(master);
        let force = push * ratio;
        first = format!(
            "pressure = {} N / (pi {}^2 / 4 mm2) = {} bar",
            sensible(push, 3),
            sensible(master * 1e3, 3),
            sensible(pressure / 1e5, 3)
        );
        second =
            format!("force on each side = {} N x {} = {} N", sensible(push, 3), sensible(ratio, 3), sensible(force, 3));
        said.push(format!("{} N on each pad at {} bar", sensible(force, 3), sensible(pressure / 1e5, 3)));
        reading = reading
            .figure("pressure", "pressure in the line", pressure / 1e5, "bar")?
            .figure("ratio", "force out over force in", ratio, "")?
            .figure("force", "force on each pad", force, "N")?;
    }
    reading.headline = said.join("; ");
    if let Some(reach) = reach {
        reading = reading.figure_si("reach", "reach", reach / 1e3, inputs.unit_of("reach"))?;
    }
    if let Some(contact) = contact {
        reading = reading
            .figure_si("contact", "pull that brings the pads on", contact, inputs.unit_of("contact"))?
            .soft("brake-cable-drags", soft_report(contact, CONTACT, PULL_ERROR));
    }
    if let Some(pull) = pull {
        reading = reading.figure_si("pull", "pull of a hard stop", pull, inputs.unit_of("pull"))?;
    }
    if let Some(left) = left {
        reading = reading.figure("left-over", "left between lever and grip", left, "mm")?;
    }
    Ok(reading
        .working(first, second)
        .source(
            "reach 3 1/2 in and pads on below 10 lbf: 16 CFR 1512.5(b)(3), (5); test pull 180 N, 25 mm from the end: TBIS \
             15194:2019 cl. 4.3.5.4 (national adoption of EN 15194); pressure is force over area and alike throughout \
             (Pascal); errors: judgement",
        )
        .caution("two fingers should stop the bike: try at walking pace before every ride after work on the brakes"))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    /// OpenStax, College Physics (2012), chapter 11.5: 500 N on a master cylinder of 5.00 mm, slave of
    /// 25.0 mm: 1.25e4 N, and 2.55e7 Pa in the line.
    #[test]
    fn pascal_by_the_textbook() {
        let pairs = ["push=500N", "master=5.00mm", "slave=25.0mm"];
        close(value("lever", &pairs, "force"), 1.25e4, 1.0);
        close(value("lever", &pairs, "pressure") * 1e5, 2.55e7, 0.005e7);
    }

    /// A textbook exercise: 500 N on 5 cm² against 50 cm²: 1.0 MPa and 5000 N.
    #[test]
    fn pascal_by_areas() {
        let across = |cm2: f64| (cm2 * 400.0 / std::f64::consts::PI).sqrt();
        let pairs =
            ["push=500N".to_owned(), format!("master={:.9}mm", across(5.0)), format!("slave={:.9}mm", across(50.0))];
        let pairs: Vec<&str> = pairs.iter().map(String::as_str).collect();
        close(value("lever", &pairs, "force"), 5000.0, 1e-3);
        close(value("lever", &pairs, "pressure"), 10.0, 1e-6);
    }

    /// 16 CFR 1512.5(b)(3): 3 1/2 in; (5): 10 lbf.
    #[test]
    fn limits_of_reach_and_pull() {
        assert!(take("lever", &["reach=3 1/2 in"]).headline.ends_with("within reach"));
        assert!(take("lever", &["reach=3 5/8 in"]).headline.contains("too far"));
        close(sure("lever", &["contact=10lbf"], "brake-cable-drags"), 0.5, 1e-6);
        assert!(sure("lever", &["contact=90N"], "brake-cable-drags") > 0.999);
        refused(
            "lever",
            &[],
            "gauge `lever` needs `reach`, from the far side of the grip to the front of the lever, midway along it, lever free; add `reach=80mm`",
        );
    }
}
