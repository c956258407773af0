//! Torque: one figure in the other units, the pull at a lever, the setting of a lengthened wrench.

use super::wrench::{self, MAKER_WINS};
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};
use crate::quantity::sensible;

/// The torque gauge.
pub static GAUGE: Gauge = Gauge {
    name: "torque",
    about: "a torque in other units, as a pull at a lever, or as the setting of a lengthened wrench",
    inputs: &[
        Input::required(
            "torque",
            "the torque to be reached at the bolt",
            Kind::within(0.1, 400.0, "N.m"),
            "torque=5N.m",
        ),
        Input::optional(
            "lever",
            "from the bolt to the middle of the hand, square to the pull",
            Kind::within(20.0, 1000.0, "mm"),
            "lever=200mm",
        ),
        Input::optional(
            "extension",
            "from the bolt to the square of the wrench, in line with it, where an open end is put between",
            Kind::within(0.0, 300.0, "mm"),
            "extension=30mm",
        ),
    ],
    compute,
};

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let given = inputs.needed("torque")?;
    let torque = given.si();
    let inch = inputs.need("torque", "in-lbf")?;
    let foot = inputs.need("torque", "ft-lbf")?;
    let error = wrench::error(torque);
    let others: Vec<_> = [(torque, "N.m"), (inch, "in-lbf"), (foot, "ft-lbf")]
        .into_iter()
        .filter(|(_, unit)| *unit != given.unit())
        .map(|(number, unit)| format!("{} {unit}", digits(number)))
        .collect();
    let mut said = format!("{given} is {}", others.join(" or "));
    let mut second = format!("a torque wrench may be off by {error} % here");
    let mut reading = inputs
        .reading("")
        .figure("newton-metres", "in newton metres", torque, "N.m")?
        .figure("inch-pounds", "in inch pounds", inch, "in-lbf")?
        .figure("foot-pounds", "in foot pounds", foot, "ft-lbf")?
        .figure_si("kilogram-metres", "in kilogram-force metres", torque, "kgf.m")?
        .figure("error", "error of a torque wrench", error, "%")?;
    let lever = inputs.may("lever", "mm");
    if let Some(lever) = lever {
        let pull = torque / (lever / 1000.0);
        said += &format!("; {} N at {} mm", short(pull), short(lever));
        second = format!("pull = {} N.m / {} m = {} N; {second}", digits(torque), short(lever / 1000.0), short(pull));
        reading = reading.figure("pull", "pull at the lever", pull, "N")?;
    }
    if let Some(extension) = inputs.may("extension", "mm") {
        let whole = lever.ok_or_else(|| inputs.missing("lever"))?;
        if extension >= whole {
            return Err(inputs.unfit(
                format!("an extension of {} mm is the whole lever of {} mm or more", short(extension), short(whole)),
                "measure `lever` from the bolt, the extension included",
            ));
        }
        let setting = torque * (whole - extension) / whole;
        said += &format!("; set the wrench to {} {}", digits(setting * given.given() / torque), given.unit());
        second = format!(
            "setting = {} x ({} - {}) / {} = {} N.m; {second}",
            digits(torque),
            short(whole),
            short(extension),
            short(whole),
            digits(setting)
        );
        reading = reading.figure_si("setting", "setting of the wrench", setting, given.unit())?;
    }
    reading.headline = said;
    Ok(reading
        .working(
            format!("{given} = {} N.m; 1 in-lbf = 0.1129848 N.m, 1 ft-lbf = 1.355818 N.m", digits(torque)),
            second,
        )
        .source("units: NIST SP 811 (2008), appendix B.8; lever: force times arm; error of a wrench: ISO 6789-1:2017, from memory")
        .caution(MAKER_WINS)
        .caution("pull slowly to the first click, never beyond; let a wrench back to its lowest mark afterwards"))
}

fn digits(number: f64) -> String {
    sensible(number, 4)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, take, value};

    /// Worked from the factors of NIST SP 811 (2008), appendix B.8; a published owner's manual prints 85 to
    /// 125 in-lbf as 9.6 to 14.1 N·m.
    #[test]
    fn units() {
        close(value("torque", &["torque=44 in-lbf"], "newton-metres"), 4.971, 5e-4);
        close(value("torque", &["torque=5N.m"], "inch-pounds"), 44.25, 5e-3);
        close(value("torque", &["torque=40Nm"], "foot-pounds"), 29.50, 5e-3);
        close(value("torque", &["torque=85 in-lbf"], "newton-metres"), 9.60, 5e-3);
        close(value("torque", &["torque=125 in-lbf"], "newton-metres"), 14.12, 5e-3);
        close(value("torque", &["torque=1kgf.m"], "newton-metres"), 9.80665, 1e-9);
        assert!(take("torque", &["torque=44 in-lbf"]).headline.starts_with("44 in-lbf is 4.971 N.m or 3.667 ft-lbf"));
    }

    /// Force times arm, by hand: 40 N·m at 0.2 m are 200 N; lengthened by 50 to 250 mm, the wrench is set to 32 N·m.
    #[test]
    fn lever_and_extension() {
        close(value("torque", &["torque=40N.m", "lever=20cm"], "pull"), 200.0, 1e-9);
        close(value("torque", &["torque=40N.m", "lever=250mm", "extension=50mm"], "setting"), 32.0, 1e-9);
        refused(
            "torque",
            &["torque=40N.m", "lever=50mm", "extension=50mm"],
            "gauge `torque`: an extension of 50 mm is the whole lever of 50 mm or more; measure `lever` from the bolt, the extension included",
        );
        refused(
            "torque",
            &["torque=5 kg"],
            "`torque` of gauge `torque`: `5 kg` is a mass, but a torque is wanted; write it in `N.m`, `in-lbf` or `ft-lbf`",
        );
    }

    proptest! {
        #[test]
        fn a_longer_lever_pulls_lighter(torque in 0.1f64..300.0, lever in 20f64..900.0, more in 0.01f64..99.0) {
            let at = |lever: f64| {
                let pairs = [format!("torque={torque:.6}N.m"), format!("lever={lever:.6}mm")];
                value("torque", &pairs.each_ref().map(String::as_str), "pull")
            };
            prop_assert!(at(lever + more) < at(lever));
        }
    }
}
