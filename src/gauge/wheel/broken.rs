//! Broken spokes: how many are gone, of how many, and what that means for riding.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};

/// The broken-spokes gauge.
pub static GAUGE: Gauge = Gauge {
    name: "broken-spokes",
    about: "how many spokes are gone, and whether the bike may be ridden home",
    inputs: &[
        Input::required("broken", "spokes broken, missing or quite slack", Kind::count(0.0, 72.0), "broken=1"),
        Input::required("spokes", "spokes of the whole wheel", Kind::count(8.0, 72.0), "spokes=32"),
        Input::optional(
            "beside",
            "whether two that are gone stand side by side",
            Kind::Choice(&["yes", "no"]),
            "beside=no",
        ),
        Input::optional("brake", "where this wheel is braked", Kind::Choice(&["rim", "elsewhere"]), "brake=rim"),
        END,
    ],
    compute,
};

/// Fewest spokes of a wheel that may roll home with one gone. Judgement.
const ENOUGH: f64 = 28.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (broken, spokes) = (inputs.need("broken", "")?, inputs.need("spokes", "")?);
    if broken > spokes {
        return Err(inputs.unfit(format!("{broken} of {spokes} spokes cannot be broken"), "count both again"));
    }
    let share = broken / spokes * 100.0;
    let advice = if broken == 0.0 {
        "no spoke is gone: squeeze pairs all round, and true the wheel if it swings".to_owned()
    } else if broken == 1.0 && spokes >= ENOUGH && inputs.choice("beside") != Some("yes") {
        let brake = if inputs.choice("brake") == Some("elsewhere") {
            ""
        } else {
            "; open the rim brake if it rubs, and use the other one"
        };
        format!(
            "ride home gently, no luggage, no child, no descent{brake}; then replace it: a wheel may have none missing"
        )
    } else {
        "do not ride: push it home, for the next spokes are overloaded and the wheel may fold".to_owned()
    };
    Ok(inputs
        .reading(advice)
        .figure("broken", "gone", broken, "")?
        .figure("share", "share of all", share, "%")?
        .working(
            format!("share = {broken} / {spokes} = {} %", short(share)),
            format!("one of {ENOUGH} or more, not beside another: home gently; anything more: not at all"),
        )
        .source("no spoke may be missing: 16 CFR 1512.11; how far one may roll home: judgement")
        .caution("wind the loose spoke round its neighbour or take it out before it catches")
        .caution("a second spoke within weeks means the rest are tired or slack: have the wheel gone over")
        .soft("spoke-missing", soft_report(broken, 0.5, 0.1)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{refused, sure, take};

    /// 16 CFR 1512.11: none may be missing. How far one rides home is judgement.
    #[test]
    fn one_of_many_goes_home_and_two_do_not() {
        let says = |broken: &str, spokes: &str| take("broken-spokes", &[broken, spokes]).headline;
        assert!(says("broken=1", "spokes=32").starts_with("ride home gently"));
        assert!(says("broken=1", "spokes=20").starts_with("do not ride"));
        assert!(says("broken=2", "spokes=36").starts_with("do not ride"));
        assert!(says("broken=0", "spokes=36").starts_with("no spoke"));
        refused(
            "broken-spokes",
            &["broken=9", "spokes=8"],
            "gauge `broken-spokes`: 9 of 8 spokes cannot be broken; count both again",
        );
    }

    #[test]
    fn a_count_is_sure() {
        assert!(sure("broken-spokes", &["broken=1", "spokes=32"], "spoke-missing") > 0.999);
        assert!(sure("broken-spokes", &["broken=0", "spokes=32"], "spoke-missing") < 0.001);
    }
}
