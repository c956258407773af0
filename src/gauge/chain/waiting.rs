//! Waiting: when this chain reaches its limits, and what it costs to ride it past them.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};

/// The chain-waiting gauge.
pub static GAUGE: Gauge = Gauge {
    name: "chain-waiting",
    about: "when a chain reaches its limits at the wear so far, and what it costs to ride it past them",
    inputs: &[
        Input::required(
            "worn",
            "how much longer than new it is, as the chain gauge says",
            Kind::within(0.01, 3.0, "%"),
            "worn=0.3%",
        ),
        Input::required("ridden", "how far it has run", Kind::within(20.0, 30000.0, "km"), "ridden=1500km"),
        Input::optional("limit", "where the chain is changed", Kind::within(0.3, 1.0, "%"), "limit=0.5%"),
        Input::optional("chain", "price of a chain, any money", Kind::within(1.0, 1e6, ""), "chain=30"),
        Input::optional("set", "price of rings and sprockets, the same money", Kind::within(1.0, 1e6, ""), "set=90"),
        Input::optional(
            "chains",
            "how many chains the sprockets outlast when each is changed in time",
            Kind::count(1.0, 10.0),
            "chains=3",
        ),
    ],
    compute,
};

/// Where the chain is changed, percent: the strictest usual limit (a published workshop guide).
const LIMIT: f64 = 0.5;

/// Where sprockets wear fast, percent (a published rule of thumb).
const SPROCKETS: f64 = 1.0;

/// Chains to one set of sprockets. Judgement.
const CHAINS: f64 = 3.0;

/// Costs that differ by less than this share are alike. Judgement.
const SAME: f64 = 0.1;

/// How far the wear of a kilometre may be off, percent: rain and mud come as they like. Judgement.
const ERROR: f64 = 30.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (worn, ridden) = (inputs.need("worn", "%")?, inputs.need("ridden", "km")?);
    let limit = inputs.or("limit", "%", LIMIT);
    let per_km = worn / ridden;
    let left = |to: f64| ((to - worn) / per_km).max(0.0);
    let (chain_life, set_life) = (limit / per_km, SPROCKETS / per_km);
    let mut said = if worn >= SPROCKETS {
        "past both limits: reckon with sprockets too".to_owned()
    } else if worn >= limit {
        format!("change the chain now; in another {} km the sprockets go with it", short(left(SPROCKETS)))
    } else {
        format!(
            "about {} km to the chain's limit, {} km until the sprockets go with it",
            short(left(limit)),
            short(left(SPROCKETS))
        )
    };
    let mut second = format!(
        "{} % of wear in 1000 km; a chain lasts {} km to {} %",
        short(per_km * 1000.0),
        short(chain_life),
        short(limit)
    );
    let mut reading = inputs
        .reading("")
        .figure("to-limit", "until the chain's limit", left(limit), "km")?
        .figure("to-sprockets", "until sprockets wear fast", left(SPROCKETS), "km")?
        .figure("error", "error of both ways", ERROR, "%")?;
    match (inputs.may("chain", ""), inputs.may("set", "")) {
        (Some(chain), Some(set)) => {
            let chains = inputs.or("chains", "", CHAINS);
            let in_time = (chains * chain + set) / (chains * chain_life) * 1000.0;
            let waiting = (chain + set) / set_life * 1000.0;
            let (better, by) = if in_time <= waiting {
                ("changing in time", waiting - in_time)
            } else {
                ("riding it out", in_time - waiting)
            };
            said += &if by < SAME * in_time {
                "; changing in time costs about as much as riding it out, and skips less".to_owned()
            } else {
                format!("; {better} saves about {} in 1000 km", short(by))
            };
            second = format!(
                "in time: ({chains} x {} + {}) / {} km; waiting: ({} + {}) / {} km",
                short(chain),
                short(set),
                short(chains * chain_life),
                short(chain),
                short(set),
                short(set_life)
            );
            reading = reading.figure("in-time", "cost of 1000 km, chain changed in time", in_time, "")?.figure(
                "waiting",
                "cost of 1000 km, chain and set ridden out",
                waiting,
                "",
            )?;
        }
        (Some(_), None) => return Err(inputs.missing("set")),
        (None, Some(_)) => return Err(inputs.missing("chain")),
        (None, None) => {}
    }
    reading.headline = said;
    Ok(reading
        .working(format!("to {} %: ({} - {}) x {} km / {} = {} km", short(limit), short(limit), short(worn), short(ridden), short(worn), short(left(limit))), second)
        .source(
            "limits of 0.5 and 1 %: cycling handbooks and a workshop guide, typical; wear in step with the way, three chains \
             to a set, error: judgement",
        )
        .model_note("wear runs faster towards the end and in wet months: measure every few hundred kilometres")
        .caution("what waiting costs is more than money: a worn chain skips and may break under load"))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, take, value};

    /// Worked by hand: 0.3 % in 1500 km is 0.2 % in 1000 km; 1000 km to 0.5 %, 3500 km to 1 %; in time
    /// (3 x 30 + 90) / 7500 km = 24 in 1000 km, waiting (30 + 90) / 5000 km = 24.
    #[test]
    fn way_and_money() {
        let pairs = ["worn=0.3%", "ridden=1500km", "limit=0.5%", "chain=30", "set=90"];
        close(value("chain-waiting", &pairs, "to-limit"), 1000.0, 1e-6);
        close(value("chain-waiting", &pairs, "to-sprockets"), 3500.0, 1e-6);
        close(value("chain-waiting", &pairs, "in-time"), 24.0, 1e-9);
        close(value("chain-waiting", &pairs, "waiting"), 24.0, 1e-9);
        assert!(take("chain-waiting", &["worn=0.6%", "ridden=2000km"]).headline.starts_with("change the chain now"));
        refused(
            "chain-waiting",
            &["worn=0.6%", "ridden=2000km", "set=90"],
            "gauge `chain-waiting` needs `chain`, price of a chain, any money; add `chain=30`",
        );
    }

    proptest! {
        #[test]
        fn the_more_worn_the_less_is_left(worn in 0.05f64..0.45, more in 0.001f64..0.3) {
            let of = |worn: f64| value("chain-waiting", &[&format!("worn={worn:.6}%"), "ridden=1000km"], "to-sprockets");
            prop_assert!(of(worn + more) < of(worn));
        }
    }
}
