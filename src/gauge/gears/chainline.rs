//! Chain line: how far rings and sprockets stand from the middle of the bike, and how aslant the chain runs.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};

/// The chain-line gauge.
pub static GAUGE: Gauge = Gauge {
    name: "chain-line",
    about: "how far rings and sprockets stand from the middle of the bike, and how aslant the chain runs",
    inputs: &[
        Input::required(
            "front",
            "from the middle of the seat tube to the ring, or to midway between the rings",
            Kind::within(20.0, 80.0, "mm"),
            "front=45mm",
        ),
        Input::required(
            "smallest",
            "from the middle of the bike to the smallest sprocket",
            Kind::within(10.0, 90.0, "mm"),
            "smallest=60mm",
        ),
        Input::required(
            "biggest",
            "from the middle of the bike to the biggest sprocket, the same where there is one",
            Kind::within(10.0, 90.0, "mm"),
            "biggest=26mm",
        ),
        Input::optional("stay", "from crank axle to rear axle", Kind::within(300.0, 700.0, "mm"), "stay=430mm"),
    ],
    compute,
};

/// Usual chain stay, mm. From memory.
const STAY: f64 = 430.0;

/// Difference of both lines from which the parts are looked at again, mm: one sprocket, and several. Judgement.
const OFF: (f64, f64) = (2.0, 4.0);

/// How far a reading by rule may be off, mm. Judgement.
const ERROR: f64 = 1.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let front = inputs.need("front", "mm")?;
    let (smallest, biggest) = (inputs.need("smallest", "mm")?, inputs.need("biggest", "mm")?);
    if biggest > smallest {
        return Err(inputs.unfit(
            format!(
                "the biggest sprocket at {} mm lies outside the smallest at {} mm",
                short(biggest),
                short(smallest)
            ),
            "the biggest is nearest to the spokes: swap the two, or measure again",
        ));
    }
    let stay = inputs.or("stay", "mm", STAY);
    let rear = (smallest + biggest) / 2.0;
    let off = front - rear;
    let aslant = |sprocket: f64| ((sprocket - front) / stay).atan().to_degrees();
    let limit = if smallest == biggest { OFF.0 } else { OFF.1 };
    let verdict = if off.abs() <= limit {
        "in line".to_owned()
    } else if off > 0.0 {
        format!(
            "the front stands {} mm too far out: look at the bracket's axle, the spacers and the ring's side",
            short(off)
        )
    } else {
        format!(
            "the front stands {} mm too far in: look at the bracket's axle, the spacers and the ring's side",
            short(-off)
        )
    };
    Ok(inputs
        .reading(format!("front {} mm, rear {} mm: {verdict}", short(front), short(rear)))
        .figure("rear", "line of the sprockets", rear, "mm")?
        .figure("off", "front less rear", off, "mm")?
        .figure("to-smallest", "slant to the smallest", aslant(smallest), "°")?
        .figure("to-biggest", "slant to the biggest", aslant(biggest), "°")?
        .figure("error", "error of one reading", ERROR, "mm")?
        .working(
            format!(
                "rear = ({} + {}) / 2 = {} mm; off = {} - {} = {} mm",
                short(smallest),
                short(biggest),
                short(rear),
                short(front),
                short(rear),
                short(off)
            ),
            format!(
                "slant = atan(way aside / {} mm): {} and {} deg; in line to {limit} mm",
                short(stay),
                short(aslant(smallest)),
                short(aslant(biggest))
            ),
        )
        .source("geometry; stay 430 mm where none is given: from memory; limits and error: judgement")
        .caution(
            "the crank maker's chain line wins; many bikes with one ring stand a little in, for the big sprockets",
        ))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, take, value};

    #[test]
    fn midway_of_the_sprockets() {
        let pairs = ["front=45mm", "smallest=60mm", "biggest=26mm", "stay=430mm"];
        close(value("chain-line", &pairs, "off"), 2.0, 1e-9);
        // atan(15 / 430) is 1.998 degrees (worked by hand).
        close(value("chain-line", &pairs, "to-smallest"), 1.998, 1e-3);
        assert!(take("chain-line", &pairs).headline.ends_with("in line"));
        assert!(
            take("chain-line", &["front=50mm", "smallest=42mm", "biggest=42mm"]).headline.contains("8 mm too far out")
        );
        refused(
            "chain-line",
            &["front=45mm", "smallest=26mm", "biggest=60mm"],
            "gauge `chain-line`: the biggest sprocket at 60 mm lies outside the smallest at 26 mm; the biggest is nearest to the spokes: swap the two, or measure again",
        );
    }
}
