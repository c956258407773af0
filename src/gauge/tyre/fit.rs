//! Fit: whether a tyre belongs on a rim, by the numbers marked on both.

use super::size::Size;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short};

/// The fit gauge.
pub static GAUGE: Gauge = Gauge {
    name: "tyre-fit",
    about: "whether a tyre belongs on a rim, by the numbers marked on both, and how far one turn rolls",
    inputs: &[
        Input::required("tyre", "width and bead seat marked on the tyre", Kind::Marking, "tyre=37-622"),
        Input::optional("rim", "inner width and bead seat of the rim", Kind::Marking, "rim=19-622"),
    ],
    compute,
};

/// Least and most of tyre width over the rim's inner width. From memory, after published tables that
/// allow 25 to 52 mm on 17 mm.
const SHARE: (f64, f64) = (1.4, 3.0);

/// How far marked widths stray from measured ones, mm. Judgement.
const ERROR: f64 = 1.5;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let tyre = Size::read(inputs, "tyre")?;
    let best = tyre.width * if tyre.width < 30.0 { 0.65 } else { 0.55 };
    let mut second = format!(
        "usual rim = {} % of {} mm = {} mm inside",
        if tyre.width < 30.0 { 65 } else { 55 },
        short(tyre.width),
        short(best)
    );
    let mut said =
        format!("one turn rolls about {} m; a rim of about {} mm inside is usual", short(tyre.turn()), short(best));
    let mut reading = inputs.reading("");
    if inputs.has("rim") {
        let rim = Size::read(inputs, "rim")?;
        let share = tyre.width / rim.width;
        said = if tyre.bead != rim.bead {
            format!("they do not fit: the tyre's bead sits on {} mm, the rim's on {} mm", tyre.bead, rim.bead)
        } else if share < SHARE.0 {
            "the bead seats agree, but the tyre is too narrow for this rim".to_owned()
        } else if share > SHARE.1 {
            "the bead seats agree, but the tyre is too wide for this rim".to_owned()
        } else {
            format!("they fit; {said}")
        };
        second = format!(
            "tyre / rim = {} / {} = {}, usual {} to {}",
            short(tyre.width),
            short(rim.width),
            short(share),
            SHARE.0,
            short(SHARE.1)
        );
        reading = reading.figure("share", "tyre width over rim width", share, "")?;
    }
    reading.headline = said;
    Ok(reading
        .figure("bead", "bead seat", tyre.bead, "mm")?
        .figure("diameter", "outer diameter, about", tyre.diameter(), "mm")?
        .figure("turn", "way of one turn, about", tyre.turn(), "m")?
        .figure("rim", "usual inner width of its rim", best, "mm")?
        .figure("error", "error of a marked width", ERROR, "mm")?
        .working(
            format!("diameter = {} + 2 x height = {} mm; one turn = pi x that", tyre.bead, short(tyre.diameter())),
            second,
        )
        .source(
            "markings: ISO 5775-1; tyre about as high as wide, 2.5 mm more below 28 mm, and rim of 65 or 55 % of its width: \
             typical, read second-hand; limits of width: from memory; error: judgement",
        )
        .caution("the makers' lists of widths win; a tyre on a rim of another bead seat comes off or bursts"))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, take, value};

    /// ISO 5775-1: 37-622; with a tyre as high as wide 696 mm and 2.187 m a turn (worked by hand).
    #[test]
    fn a_marking_gives_the_wheel() {
        close(value("tyre-fit", &["tyre=37-622"], "diameter"), 696.0, 1e-9);
        close(value("tyre-fit", &["tyre=37-622"], "turn"), 2.187, 5e-4);
        close(value("tyre-fit", &["tyre=32 x 597"], "bead"), 597.0, 1e-9);
    }

    #[test]
    fn the_bead_decides() {
        let says = |tyre: &str, rim: &str| take("tyre-fit", &[&format!("tyre={tyre}"), &format!("rim={rim}")]).headline;
        assert!(says("37-622", "19-622").starts_with("they fit"));
        assert!(says("37-590", "19-559").starts_with("they do not fit"));
        assert!(says("20-622", "25-622").contains("too narrow"));
        assert!(says("62-622", "15-622").contains("too wide"));
    }

    #[test]
    fn inches_are_not_guessed() {
        refused(
            "tyre-fit",
            &["tyre=28 x 1.6"],
            "gauge `tyre-fit`: `tyre` is `28 x 1.6`, which is no width and bead seat in millimetres; write the two numbers joined by a hyphen, such as 37-622; a size in inches can mean several (26: 559, 571 or 590; 28: 622 or 635)",
        );
    }
}
