//! Depth: whether seat post or quill stem sit deep enough.

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, short, soft_below};

/// The depth gauge.
pub static GAUGE: Gauge = Gauge {
    name: "insertion",
    about: "whether a seat post or quill stem sits deep enough",
    inputs: &[
        Input::required("part", "what is put in", Kind::Choice(&["post", "stem"]), "part=post"),
        Input::required("diameter", "its outer diameter", Kind::within(19.0, 40.0, "mm"), "diameter=27.2mm"),
        Input::required("inside", "how much of it is inside", Kind::within(0.0, 500.0, "mm"), "inside=90mm"),
        Input::optional("mark", "from its lower end up to its mark", Kind::within(20.0, 300.0, "mm"), "mark=65mm"),
        Input::optional(
            "frame",
            "the least depth that the frame's maker asks",
            Kind::within(20.0, 300.0, "mm"),
            "frame=100mm",
        ),
    ],
    compute,
};

/// A mark lies so many diameters above the lower end: posts 16 CFR 1512.15(b); stems 16 CFR 1512.6(a), from memory.
const POST: f64 = 2.0;
const STEM: f64 = 2.5;

/// How far the depth may be off, mm. Judgement.
const ERROR: f64 = 2.0;

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let part = inputs.choice("part").ok_or_else(|| inputs.missing("part"))?;
    let diameter = inputs.need("diameter", "mm")?;
    let inside = inputs.need("inside", "mm")?;
    let (name, times) = if part == "stem" { ("stem", STEM) } else { ("seat post", POST) };
    let rule = times * diameter;
    let mark = inputs.may("mark", "mm");
    let frame = inputs.may("frame", "mm");
    let shown = mark.unwrap_or(rule);
    let least = shown.max(rule).max(frame.unwrap_or(0.0));
    let spare = inside - least;
    let verdict = if spare < -ERROR {
        format!("the {name} is out too far by {} mm: do not ride, push it in or fit a longer one", short(-spare))
    } else if spare < ERROR {
        format!("the {name} is at its limit within the error of the reading: push it in a little")
    } else {
        format!("the {name} sits deep enough, {} mm to spare", short(spare))
    };
    let by = if frame.is_some_and(|frame| frame >= least) {
        "the frame's maker"
    } else if mark.is_some_and(|mark| mark >= least) {
        "its mark"
    } else {
        "the rule of diameters"
    };
    let unit = inputs.unit_of("inside");
    let reading = inputs
        .reading(format!("{verdict} (least {} mm by {by})", short(least)))
        .figure_si("inside", "inside", inside / 1000.0, unit)?
        .figure_si("least", "least depth", least / 1000.0, unit)?
        .figure_si("rule", "least by diameters", rule / 1000.0, unit)?
        .figure_si("spare", "to spare", spare / 1000.0, unit)?
        .figure("error", "error of this reading", ERROR, "mm")?
        .working(
            format!("rule = {times} x {} mm = {} mm", short(diameter), short(rule)),
            format!(
                "to spare = {} - {} mm = {} mm, give or take {ERROR} mm",
                short(inside),
                short(least),
                short(spare)
            ),
        )
        .source(
            "mark of a post at least 2 diameters above its lower end: 16 CFR 1512.15(b); of a stem 2 1/2: 16 CFR 1512.6(a), \
             from memory; error: judgement",
        )
        .caution("the mark on the part and the frame's maker win: many frames want the post below the top tube's joint")
        .caution("never ride with a mark in sight: post, frame or steerer can break without warning");
    Ok(if part == "stem" { reading.soft("stem-mark-in-sight", soft_below(inside, shown, ERROR)) } else { reading })
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    /// 16 CFR 1512.15(b): 2 x 27.2 mm are 54.4 mm. 16 CFR 1512.6(a), from memory: 2.5 x 22.2 mm are 55.5 mm.
    #[test]
    fn least_depth_by_diameters() {
        close(value("insertion", &["part=post", "diameter=27.2mm", "inside=90mm"], "least"), 54.4, 1e-9);
        close(value("insertion", &["part=stem", "diameter=22.2mm", "inside=60mm"], "least"), 55.5, 1e-9);
    }

    #[test]
    fn the_greater_of_rule_mark_and_frame_holds() {
        let pairs = ["part=post", "diameter=27.2mm", "inside=90mm", "mark=65mm", "frame=100mm"];
        close(value("insertion", &pairs, "spare"), -10.0, 1e-9);
        let said = take("insertion", &pairs).headline;
        assert!(said.contains("do not ride") && said.ends_with("(least 100 mm by the frame's maker)"), "{said}");
        close(value("insertion", &["part=post", "diameter=27.2mm", "inside=3in"], "spare"), (76.2 - 54.4) / 25.4, 1e-9);
    }

    #[test]
    fn signs_turn_at_their_limits() {
        let stem = |inside: &str| {
            sure("insertion", &["part=stem", "diameter=22.2mm", "mark=60mm", inside], "stem-mark-in-sight")
        };
        close(stem("inside=60mm"), 0.5, 1e-9);
        assert!(stem("inside=45mm") > 0.999 && stem("inside=80mm") < 0.001);
        refused(
            "insertion",
            &["part=post", "inside=90mm"],
            "gauge `insertion` needs `diameter`, its outer diameter; add `diameter=27.2mm`",
        );
    }
}
