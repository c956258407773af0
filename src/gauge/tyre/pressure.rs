//! Tyre pressure: a place to start from, by load and width, never above what tyre and rim allow.
//!
//! ```text
//! p = 600 L / W^2 + 0.75 W - 25      p in psi, L in lb on this wheel, W in mm
//! ```
//!
//! A fit to measured loads at which tyres sink by 15 % of their height. It was made for 20 to 50 mm;
//! wider tyres are carried on with p W constant, which is judgement.

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Plot, Reading, short, soft_below, soft_report};

/// The tyre-pressure gauge.
pub static GAUGE: Gauge = Gauge {
    name: "tyre-pressure",
    about: "a pressure to start from, by load and width, with the lower of the tyre's and the rim's maximum as its ceiling",
    inputs: &[
        Input::required(
            "load",
            "what this wheel carries, bike and rider: set it on scales",
            Kind::within(5.0, 150.0, "kg"),
            "load=50kg",
        ),
        Input::required("width", "width of the pumped tyre", Kind::within(18.0, 130.0, "mm"), "width=37mm"),
        Input::optional(
            "rim",
            "inner width of the rim, if the tyre's width is the marked one",
            Kind::within(10.0, 105.0, "mm"),
            "rim=19mm",
        ),
        Input::optional("surface", "what is ridden on", Kind::Choice(&["smooth", "mixed", "rough"]), "surface=smooth"),
        Input::optional(
            "tyre-max",
            "the maximum marked on the tyre",
            Kind::within(10.0, 220.0, "psi"),
            "tyre-max=6bar",
        ),
        Input::optional("rim-max", "the maximum marked on the rim", Kind::within(10.0, 220.0, "psi"), "rim-max=5bar"),
        Input::optional("tyre-min", "the minimum marked on the tyre", Kind::within(3.0, 160.0, "psi"), "tyre-min=3bar"),
        Input::optional("now", "what is in it now", Kind::within(0.0, 250.0, "psi"), "now=3bar"),
        END,
    ],
    compute,
};

/// Widest tyre of the fit, mm.
const FITTED_TO: f64 = 50.0;

/// Pounds in a kilogram: NIST SP 811 (2008), appendix B.8.
const POUND: f64 = 0.453_592_37;

/// A tyre grows by so much of every mm that the rim is wider. From memory.
const GROWS: f64 = 0.4;

/// Share of the fit's pressure by surface. Judgement.
fn share(surface: Option<&str>) -> f64 {
    match surface {
        Some("mixed") => 0.9,
        Some("rough") => 0.8,
        _ => 1.0,
    }
}

/// Shares of the pressure below and above which a tyre counts as soft and as hard. Judgement.
const SOFT_BELOW: f64 = 0.7;
const HARD_FROM: f64 = 1.35;

/// How far a pump's gauge may be off, as a share. Judgement.
const ERROR: f64 = 0.06;

/// The pressure of the fit, psi.
fn fitted(pounds: f64, width: f64) -> f64 {
    let w = width.min(FITTED_TO);
    (600.0 * pounds / (w * w) + 0.75 * w - 25.0) * w / width
}

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (kg, marked) = (inputs.need("load", "kg")?, inputs.need("width", "mm")?);
    // A rim of 65 % of a narrow tyre's width, 55 % of a wide one's, leaves the tyre as marked (typical).
    let usual_rim = marked * if marked < 30.0 { 0.65 } else { 0.55 };
    let width = marked + inputs.may("rim", "mm").map_or(0.0, |rim| GROWS * (rim - usual_rim));
    let pounds = kg / POUND;
    let wanted = (fitted(pounds, width) * share(inputs.choice("surface"))).max(5.0);
    let ceilings = [("tyre", inputs.may("tyre-max", "psi")), ("rim", inputs.may("rim-max", "psi"))];
    let ceiling = ceilings.iter().filter_map(|(of, max)| max.map(|max| (*of, max))).min_by(|a, b| a.1.total_cmp(&b.1));
    let floor = inputs.may("tyre-min", "psi").unwrap_or(0.0);
    if let Some((of, max)) = ceiling.filter(|(_, max)| *max < floor) {
        return Err(inputs.unfit(
            format!("the {of}'s maximum of {} psi is below the tyre's minimum of {} psi", short(max), short(floor)),
            "read both markings again; if they are right, tyre and rim do not belong together",
        ));
    }
    let chosen = wanted.max(floor).min(ceiling.map_or(f64::INFINITY, |(_, max)| max));
    let unit = ["now", "tyre-max", "rim-max", "tyre-min"].iter().map(|key| inputs.unit_of(key)).find(|u| !u.is_empty());
    let unit = unit.unwrap_or("bar");
    let psi = 6_894.757_293_168_36;
    let shown = |p: f64| {
        crate::quantity::Quantity::from_si(p * psi, unit)
            .map_or_else(|_| format!("{} psi", short(p)), |q| q.to_string())
    };
    let limited = match ceiling {
        Some((of, max)) if wanted > max => format!(" (the {of}'s maximum; by load it would be {})", shown(wanted)),
        _ if wanted < floor => format!(" (the tyre's minimum; by load it would be {})", shown(wanted)),
        Some((of, max)) => format!(" (the {of} allows {})", shown(max)),
        None => " (read the maximum on tyre and rim: the lower one is the ceiling)".to_owned(),
    };
    let now = inputs.may("now", "psi");
    let hard = ceiling.map_or(chosen * HARD_FROM, |(_, max)| (max * (1.0 + ERROR)).min(chosen * HARD_FROM));
    let act = match now {
        Some(now) if ceiling.is_some_and(|(_, max)| now > max) => "; now it is past the maximum: let air out first",
        Some(now) if now < chosen * SOFT_BELOW => "; now it is far too soft: pump it up",
        Some(now) if now > hard => "; now it is harder than this load needs: let some out",
        Some(_) => "; what is in it now will do",
        None => "",
    };
    let mut plot = Plot::new(
        format!("Pressure for a tyre of {} mm", short(width)),
        "load on this wheel, kg",
        format!("pressure, {unit}"),
    );
    let scale = |p: f64| p * psi / crate::quantity::Quantity::new(1.0, unit).map_or(psi, |one| one.si());
    let factor = share(inputs.choice("surface"));
    plot = plot.curve("by load and width", ((kg - 30.0).max(10.0), kg + 30.0), 12, |load| {
        scale((fitted(load / POUND, width) * factor).max(5.0))
    });
    for (of, max) in ceilings.iter().filter_map(|(of, max)| max.map(|max| (of, max))) {
        plot = plot.level(format!("{of}'s maximum"), scale(max));
    }
    let mut reading = inputs
        .reading(format!("start from {}{limited}{act}", shown(chosen)))
        .figure_si("pressure", "pressure to start from", chosen * psi, unit)?
        .figure_si("by-load", "by load, width and surface alone", wanted * psi, unit)?
        .figure("width", "width reckoned with", width, "mm")?
        .figure("error", "error of a pump's gauge", ERROR * 100.0, "%")?
        .working(
            format!(
                "600 x {} lb / ({} mm)^2 + 0.75 x {} - 25 = {} psi{}",
                short(pounds),
                short(width.min(FITTED_TO)),
                short(width.min(FITTED_TO)),
                short(fitted(pounds, width.min(FITTED_TO))),
                if width > FITTED_TO { format!("; x {FITTED_TO} / {} beyond the fit", short(width)) } else { String::new() }
            ),
            format!(
                "x {} for the surface = {} psi; ceiling {}",
                share(inputs.choice("surface")),
                short(wanted),
                ceiling.map_or("not given".to_owned(), |(of, max)| format!("{} psi ({of})", short(max)))
            ),
        )
        .source(
            "fit of pressure by load and width at 15 % tyre drop: Ravello Joo, white paper (2026), DOI \
             10.5281/zenodo.20671797, after Berto's measurements (Heine); ceiling: TBIS 4210-1:2018 term 2.27 (national \
             adoption of ISO 4210-1); surface, wider tyres, growth on the rim and errors: judgement",
        )
        .model_note("within about 2 psi of the measurements it was fitted to; tubeless and hookless rims have limits of their own")
        .caution("never above the lower of both maxima, never below the tyre's minimum; the makers' figures win")
        .plot(plot.here(kg, scale(now.unwrap_or(chosen))));
    if let Some(now) = now {
        reading = reading
            .soft("tyre-soft", soft_below(now, chosen * SOFT_BELOW, ERROR * chosen))
            .soft("tyre-very-hard", soft_report(now, hard, ERROR * chosen));
    }
    Ok(reading)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::testing::{close, refused, sure, take, value};

    /// The fit's own examples, lb and mm to psi: DOI 10.5281/zenodo.20671797.
    #[test]
    fn the_fit_at_its_examples() {
        for (pounds, width, psi) in [(100, 28, 72.5), (110, 32, 63.5), (90, 25, 80.2), (110, 50, 38.9)] {
            let pairs = [format!("load={pounds}lb"), format!("width={width}mm"), "now=50psi".to_owned()];
            let pairs: Vec<&str> = pairs.iter().map(String::as_str).collect();
            close(value("tyre-pressure", &pairs, "by-load"), psi, 0.050_01);
        }
    }

    /// TBIS 4210-1:2018 term 2.27 (national adoption of ISO 4210-1): the lower of both maxima.
    #[test]
    fn the_lower_maximum_is_the_ceiling() {
        let pairs = ["load=60kg", "width=28mm", "tyre-max=8bar", "rim-max=5bar"];
        close(value("tyre-pressure", &pairs, "pressure"), 5.0, 1e-9);
        assert!(take("tyre-pressure", &pairs).headline.contains("the rim's maximum"));
        let past = take("tyre-pressure", &["load=60kg", "width=28mm", "rim-max=5bar", "now=5.5bar"]).headline;
        assert!(past.ends_with("past the maximum: let air out first"), "{past}");
        refused(
            "tyre-pressure",
            &["load=60kg", "width=28mm", "rim-max=3bar", "tyre-min=4bar"],
            "gauge `tyre-pressure`: the rim's maximum of 43.5 psi is below the tyre's minimum of 58 psi; read both markings again; if they are right, tyre and rim do not belong together",
        );
    }

    #[test]
    fn signs_turn_at_their_limits() {
        let half = value("tyre-pressure", &["load=50kg", "width=37mm", "now=3bar"], "pressure") * 0.7;
        let now = format!("now={half:.9}bar");
        close(sure("tyre-pressure", &["load=50kg", "width=37mm", &now], "tyre-soft"), 0.5, 1e-6);
        assert!(sure("tyre-pressure", &["load=50kg", "width=37mm", "now=0.5bar"], "tyre-soft") > 0.999);
        assert!(
            sure("tyre-pressure", &["load=50kg", "width=37mm", "rim-max=4bar", "now=6bar"], "tyre-very-hard") > 0.999
        );
    }

    proptest! {
        #[test]
        fn more_load_asks_for_more_and_more_width_for_less(load in 20f64..95.0, width in 18f64..46.0, more in 0.1f64..20.0) {
            let at = |load: f64, width: f64| {
                let pairs = [format!("load={load:.6}kg"), format!("width={width:.6}mm"), "now=3bar".to_owned()];
                value("tyre-pressure", &pairs.iter().map(String::as_str).collect::<Vec<_>>(), "by-load")
            };
            prop_assert!(at(load + more, width) > at(load, width));
            // Below 34 kg the fit turns up again before 46 mm; above it wider is always softer.
            prop_assert!(load < 34.0 || at(load, width + more.min(4.0)) <= at(load, width));
        }
    }
}
