//! Drag: what a rubbing brake takes, in power and in range, beside all else that holds a bike back.

use crate::gauge::input::END;
use crate::gauge::road::Load;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, soft_report};
use crate::quantity::sensible;

/// The drag gauge.
pub static GAUGE: Gauge = Gauge {
    name: "drag",
    about: "power that a rubbing brake takes, and the range it costs an e-bike",
    inputs: &[
        Input::required(
            "force",
            "the pull at the tyre that keeps the lifted wheel just turning, by spring balance",
            Kind::within(0.0, 200.0, "N"),
            "force=5N",
        ),
        Input::optional("speed", "how fast one rides", Kind::within(1.0, 60.0, "km/h"), "speed=25km/h"),
        Input::optional("battery", "what the battery holds", Kind::within(50.0, 3000.0, "Wh"), "battery=500Wh"),
        Input::optional("use", "what the ride takes from it", Kind::within(1.0, 60.0, "Wh/km"), "use=10Wh/km"),
        Input::optional(
            "efficiency",
            "how much of that reaches the wheel",
            Kind::within(30.0, 100.0, "%"),
            "efficiency=80%",
        ),
        Input::optional("mass", "bike, rider and luggage", Kind::within(20.0, 350.0, "kg"), "mass=90kg"),
        Input::optional("crr", "rolling resistance of the tyres", Kind::within(0.001, 0.05, ""), "crr=0.005"),
        Input::optional("cda", "drag area", Kind::within(0.1, 2.0, "m2"), "cda=0.5m2"),
        Input::optional("grade", "slope of the road", Kind::within(-30.0, 30.0, "%"), "grade=0%"),
        END,
    ],
    compute,
};

/// Usual legal limit of help, km/h.
const SPEED: f64 = 25.0;

/// Share of the battery's energy that reaches the wheel, percent. Judgement.
const EFFICIENCY: f64 = 80.0;

/// Tyres of a town bike, upright rider. Typical.
const CRR: f64 = 0.007;
const CDA: f64 = 0.5;

/// Pull from which a lifted wheel stops within two or three turns, N: a wheel of 1.5 kg at its rim, spun by
/// hand to two turns a second, comes to rest over 3 x 2.1 m. Judgement.
const STOPS_FROM: f64 = 2.0;

/// How far a spring balance may be off, N. Judgement.
const ERROR: f64 = 0.5;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let force = inputs.need("force", "N")?;
    let speed = inputs.or("speed", "km/h", SPEED);
    let v = speed / 3.6;
    let power = force * v;
    let per_km = force / 3.6;
    let mut said = format!("the rub takes {} W at {} km/h", sensible(power, 3), sensible(speed, 3));
    let mut second =
        format!("per km = {} N x 1000 m / 3600 = {} Wh/km at any speed", sensible(force, 3), sensible(per_km, 4));
    let mut reading = inputs
        .reading("")
        .figure("power", "power of the rub", power, "W")?
        .figure("per-km", "energy of the rub, at the wheel", per_km, "Wh/km")?
        .figure("error", "error of the pull", ERROR, "N")?;
    match (inputs.may("battery", "Wh"), inputs.may("use", "Wh/km")) {
        (Some(battery), Some(used)) => {
            let efficiency = inputs.or("efficiency", "%", EFFICIENCY) / 100.0;
            let whole = used + per_km / efficiency;
            let (free, rubbing) = (battery / used, battery / whole);
            said += &format!(" and shortens {} km of range to {} km", sensible(free, 3), sensible(rubbing, 3));
            second = format!(
                "use = {} + {} / {} = {} Wh/km; range = {} / {} = {} km",
                sensible(used, 3),
                sensible(per_km, 4),
                sensible(efficiency, 2),
                sensible(whole, 4),
                sensible(battery, 3),
                sensible(whole, 4),
                sensible(rubbing, 3)
            );
            reading = reading
                .figure("range-free", "range without the rub", free, "km")?
                .figure("range", "range with the rub", rubbing, "km")?
                .figure("lost", "range lost", free - rubbing, "km")?;
        }
        (Some(_), None) => return Err(inputs.missing("use")),
        (None, Some(_)) => return Err(inputs.missing("battery")),
        (None, None) => {}
    }
    if let Some(mass) = inputs.may("mass", "kg") {
        let load = Load { mass, crr: inputs.or("crr", "", CRR), cda: inputs.or("cda", "m2", CDA) };
        let forces = load.forces(v, inputs.or("grade", "%", 0.0) / 100.0);
        said += &format!("; all else takes {} W", sensible(forces.sum() * v, 3));
        reading = reading
            .figure("rolling", "power of the tyres", forces.rolling * v, "W")?
            .figure("air", "power of the air", forces.air * v, "W")?
            .figure("climb", "power of the slope", forces.climb * v, "W")?
            .figure("road", "power without the rub", forces.sum() * v, "W")?;
    }
    reading.headline = said;
    Ok(reading
        .working(
            format!("power = {} N x {} m/s = {} W", sensible(force, 3), sensible(v, 4), sensible(power, 4)),
            second,
        )
        .source(
            "power is force times speed; road load: Martin et al., Journal of Applied Biomechanics 14 (1998), 276-291; air \
             1.225 kg/m3: ISO 2533:1975; drive efficiency, usual tyres and drag area, pull and error: judgement",
        )
        .model_note("steady speed, no wind; the motor's losses change with load, so the range is a comparison, not a promise")
        .caution("spin the wheel the other way too, and take the chain's share off: hold the balance at the front wheel first")
        .soft("wheel-stops-early", soft_report(force, STOPS_FROM, ERROR)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, value};

    /// By definition: 1 N is 6.944 W at 25 km/h and 0.2778 Wh a km; 5 N is 34.7 W.
    #[test]
    fn a_newton_at_25_km_h() {
        close(value("drag", &["force=1N"], "power"), 6.944, 5e-4);
        close(value("drag", &["force=1N", "speed=12km/h"], "per-km"), 0.2778, 5e-5);
        close(value("drag", &["force=5N"], "power"), 34.7, 0.05);
    }

    /// Worked by hand: 500 Wh at 10 Wh/km go 50.0 km; 5 N at 80 % make it 11.74 Wh/km and 42.6 km.
    #[test]
    fn range_lost() {
        let pairs = ["force=5N", "battery=500Wh", "use=10Wh/km", "efficiency=80%"];
        close(value("drag", &pairs, "range-free"), 50.0, 1e-9);
        close(value("drag", &pairs, "range"), 42.6, 0.05);
        refused(
            "drag",
            &["force=5N", "battery=500Wh"],
            "gauge `drag` needs `use`, what the ride takes from it; add `use=10Wh/km`",
        );
    }

    /// Worked by hand: see the road load.
    #[test]
    fn beside_the_road_load() {
        let pairs = ["force=1N", "speed=25km/h", "mass=90kg", "crr=0.005", "cda=0.5m2"];
        close(value("drag", &pairs, "road"), 133.2, 0.05);
        close(sure("drag", &["force=2N"], "wheel-stops-early"), 0.5, 1e-9);
        assert!(sure("drag", &["force=6N"], "wheel-stops-early") > 0.999);
    }
}
