//! Capacity: how much chain a rear derailleur has to take up between extreme gears.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_report};

/// The derailleur-capacity gauge.
pub static GAUGE: Gauge = Gauge {
    name: "derailleur-capacity",
    about: "how much chain the rear derailleur has to take up, against what its maker names",
    inputs: &[
        Input::required(
            "rings",
            "teeth of the chainrings",
            Kind::Readings { low: 10.0, high: 70.0, unit: "", least: 1 },
            "rings=50,34",
        ),
        Input::required(
            "sprockets",
            "teeth of the smallest and the biggest sprocket, or of all",
            Kind::Readings { low: 9.0, high: 60.0, unit: "", least: 2 },
            "sprockets=11,34",
        ),
        Input::optional(
            "capacity",
            "teeth that the derailleur takes up by its maker",
            Kind::count(5.0, 70.0),
            "capacity=39",
        ),
        Input::optional("biggest", "biggest sprocket that its maker allows", Kind::count(15.0, 60.0), "biggest=34"),
    ],
    compute,
};

/// How many teeth makers' figures are on the safe side, as a spread. Judgement.
const ERROR: f64 = 1.5;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (rings, sprockets) = (inputs.readings("rings", ""), inputs.readings("sprockets", ""));
    if let Some(odd) = rings.iter().chain(&sprockets).find(|n| n.fract() != 0.0) {
        return Err(inputs.unfit(format!("{odd} is no number of teeth"), "write whole numbers with commas between"));
    }
    let ends =
        |all: &[f64]| (all.iter().copied().fold(f64::INFINITY, f64::min), all.iter().copied().fold(0.0, f64::max));
    let ((small_ring, big_ring), (small, big)) = (ends(&rings), ends(&sprockets));
    let needed = (big_ring - small_ring) + (big - small);
    let capacity = inputs.may("capacity", "");
    let mut said = format!("the derailleur has to take up {needed} teeth");
    said += &match capacity {
        Some(capacity) if needed > capacity => {
            format!(", {} more than its {capacity}: the chain hangs or jams in extreme gears", needed - capacity)
        }
        Some(capacity) => format!(" of its {capacity}: it can"),
        None => ": read its maker's figure".to_owned(),
    };
    match inputs.may("biggest", "") {
        Some(most) if big > most => said += &format!("; a sprocket of {big} is past its {most}"),
        Some(_) => said += "; the biggest sprocket is allowed",
        None => {}
    }
    let mut reading = inputs
        .reading(said)
        .figure("needed", "teeth to take up", needed, "")?
        .figure("error", "margin in makers' figures", ERROR, "")?
        .working(
            format!("({big_ring} - {small_ring}) + ({big} - {small}) = {needed}"),
            capacity.map_or("no `capacity` was given".to_owned(), |c| {
                format!("{c} - {needed} = {} to spare", short(c - needed))
            }),
        )
        .source("teeth to take up: common practice of all makers' tables; margin: judgement")
        .caution("the maker's figures win; the chain must first be long enough for both biggest together");
    if let Some(capacity) = capacity {
        reading = reading
            .figure("spare", "teeth to spare", capacity - needed, "")?
            .soft("chain-length-off", soft_report(needed, capacity + 2.0, ERROR));
    }
    Ok(reading)
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    #[test]
    fn differences_add_up() {
        close(value("derailleur-capacity", &["rings=50,34", "sprockets=11,34"], "needed"), 39.0, 1e-9);
        close(value("derailleur-capacity", &["rings=32", "sprockets=10,12,14,51", "capacity=41"], "spare"), 0.0, 1e-9);
        assert!(
            take("derailleur-capacity", &["rings=50,34", "sprockets=11,36", "capacity=35", "biggest=34"])
                .headline
                .ends_with("a sprocket of 36 is past its 34")
        );
        close(
            sure("derailleur-capacity", &["rings=50,34", "sprockets=11,34", "capacity=37"], "chain-length-off"),
            0.5,
            1e-9,
        );
        refused(
            "derailleur-capacity",
            &["rings=50.5", "sprockets=11,34"],
            "gauge `derailleur-capacity`: 50.5 is no number of teeth; write whole numbers with commas between",
        );
    }
}
