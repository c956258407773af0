//! Spoke tension: spread within a side, left against right, and the highest against the rim's maximum.
//!
//! ```text
//! left / right = flange offset right / flange offset left        equal counts and lacing, statics
//! ```

use crate::gauge::input::END;
use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Plot, Reading, short, soft_below};

/// The spoke-tension gauge.
pub static GAUGE: Gauge = Gauge {
    name: "spoke-tension",
    about: "spread of spoke tensions within each side, left against right, and the tightest against the rim's maximum",
    inputs: &[
        Input::optional(
            "left",
            "the tensions of the left spokes, one after another round the wheel",
            TENSIONS,
            "left=62,60,64,58 kgf",
        ),
        Input::optional("right", "the tensions of the right spokes", TENSIONS, "right=110,108,112,105 kgf"),
        Input::optional(
            "most",
            "the highest tension that the rim's maker allows",
            Kind::within(50.0, 250.0, "kgf"),
            "most=120kgf",
        ),
        Input::optional(
            "left-offset",
            "from the middle of the hub to its left flange",
            Kind::within(5.0, 60.0, "mm"),
            "left-offset=36mm",
        ),
        Input::optional(
            "right-offset",
            "from the middle of the hub to its right flange",
            Kind::within(5.0, 60.0, "mm"),
            "right-offset=20mm",
        ),
        END,
    ],
    compute,
};

const TENSIONS: Kind = Kind::Readings { low: 0.0, high: 250.0, unit: "kgf", least: 3 };

/// Highest tension where the rim's maker gives none, kgf: typical, a wheel builder.
const MOST: f64 = 120.0;

/// Least share of the tighter side's tension on the slacker: typical, the same wheel builder.
const LEAST_RATIO: f64 = 0.5;

/// A spoke below this share of its side's mean is slack, and one outside the band is out of line.
/// Common practice, no source.
const SPREAD: f64 = 20.0;

/// How far one reading of a tension gauge may be off, percent. Judgement.
const ERROR: f64 = 5.0;

/// One side of the wheel, kgf.
struct Side {
    name: &'static str,
    all: Vec<f64>,
    mean: f64,
    /// The spoke farthest from the mean: its place from 1, and percent off.
    worst: (usize, f64),
    /// The slackest, percent of the mean.
    slackest: f64,
}

impl Side {
    fn new(inputs: &Inputs, name: &'static str) -> Result<Option<Side>, GaugeError> {
        let all = inputs.readings(name, "kgf");
        if all.is_empty() {
            return Ok(None);
        }
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        if mean <= 0.0 {
            return Err(inputs.unfit(format!("all tensions of `{name}` are nought"), "read the gauge's table again"));
        }
        let off = |t: f64| (t / mean - 1.0) * 100.0;
        let worst =
            all.iter().enumerate().map(|(at, t)| (at + 1, off(*t))).max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        let slackest = all.iter().copied().fold(f64::INFINITY, f64::min) / mean * 100.0;
        Ok(Some(Side { name, mean, worst: worst.unwrap_or((1, 0.0)), slackest, all }))
    }
}

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let (left, right) = (Side::new(inputs, "left")?, Side::new(inputs, "right")?);
    let sides: Vec<&Side> = left.iter().chain(&right).collect();
    let Some(loosest) = sides.iter().min_by(|a, b| a.slackest.total_cmp(&b.slackest)) else {
        return Err(inputs.missing("left"));
    };
    let unit = if left.is_some() { inputs.unit_of("left") } else { inputs.unit_of("right") };
    let most = inputs.or("most", "kgf", MOST);
    let highest = sides.iter().flat_map(|s| &s.all).copied().fold(0.0, f64::max);
    let mut said: Vec<String> = sides
        .iter()
        .map(|s| {
            let verdict = if s.worst.1.abs() > SPREAD { "out of line" } else { "even" };
            format!("{} side {verdict}: spoke {} is {} % off its mean", s.name, s.worst.0, short(s.worst.1))
        })
        .collect();
    if highest > most {
        let whose = if inputs.has("most") { "the rim's maximum" } else { "the usual maximum" };
        said.push(format!("the tightest is past {whose} of {} kgf: loosen it before riding on", short(most)));
    }
    let kgf = 9.806_65;
    let mut reading = inputs.reading("");
    for side in &sides {
        let (mean_key, worst_key) =
            if side.name == "left" { ("mean-left", "worst-left") } else { ("mean-right", "worst-right") };
        let (mean, worst) = if side.name == "left" {
            ("mean, left", "farthest off, left")
        } else {
            ("mean, right", "farthest off, right")
        };
        reading =
            reading.figure_si(mean_key, mean, side.mean * kgf, unit)?.figure(worst_key, worst, side.worst.1, "%")?;
    }
    let mut second = format!(
        "out of line past {SPREAD} % of the mean; maximum {} kgf; one reading may be off by {ERROR} %",
        short(most)
    );
    if let (Some(left), Some(right)) = (&left, &right) {
        let ratio = left.mean.min(right.mean) / left.mean.max(right.mean);
        let wanted = match (inputs.may("left-offset", "mm"), inputs.may("right-offset", "mm")) {
            (Some(l), Some(r)) => Some(l.min(r) / l.max(r)),
            _ => None,
        };
        reading = reading.figure("ratio", "slacker side over tighter", ratio, "")?;
        second = format!(
            "ratio = {} / {} = {}",
            short(left.mean.min(right.mean)),
            short(left.mean.max(right.mean)),
            short(ratio)
        );
        if let Some(wanted) = wanted {
            reading = reading.figure("ratio-by-hub", "the same, by the hub's shape", wanted, "")?;
            second += &format!("; by the hub's shape {}", short(wanted));
        }
        if ratio < wanted.unwrap_or(LEAST_RATIO).min(LEAST_RATIO) - ERROR / 100.0 {
            said.push(format!("the slacker side has only {} of the tighter: its spokes may work loose", short(ratio)));
        }
    }
    reading.headline = said.join("; ");
    let mut plot = Plot::new("Spoke tensions round the wheel", "spoke of its side", format!("tension, {unit}"));
    let scale = crate::quantity::Quantity::new(1.0, unit).map_or(1.0, |one| one.si() / kgf);
    for side in &sides {
        let points = side.all.iter().enumerate().map(|(at, t)| (at as f64 + 1.0, t / scale)).collect();
        plot = plot.points(side.name, points).level(format!("mean, {}", side.name), side.mean / scale);
    }
    Ok(reading
        .figure("highest", "tightest", highest, "kgf")?
        .figure("error", "error of one reading", ERROR, "%")?
        .working(
            format!("mean and farthest of it: {}", sides.iter().map(|s| format!("{} {} kgf, {} %", s.name, short(s.mean), short(s.worst.1))).collect::<Vec<_>>().join("; ")),
            second,
        )
        .source(
            "left and right pull alike across the hub, so tensions stand inversely as flange offsets: statics; 120 kgf and \
             half on the slacker side: typical, a wheel builder; 20 % spread: common practice, no source; error: judgement",
        )
        .caution("the rim maker's tension wins; use the gauge's own table for this spoke")
        .plot(plot.level("maximum", most / scale))
        .soft("spokes-slack", soft_below(loosest.slackest, 100.0 - SPREAD, ERROR)))
}

#[cfg(test)]
mod tests {
    use crate::gauge::testing::{close, refused, sure, take, value};

    /// Statics: flanges at 20 and 36 mm ask for 0.556 (worked by hand).
    #[test]
    fn left_against_right() {
        let pairs = ["left=60,62,58", "right=110,108,112 kgf", "left-offset=36mm", "right-offset=20mm"];
        refused(
            "spoke-tension",
            &pairs,
            "reading 1: `left` of gauge `spoke-tension` is 60 without a unit; write the unit, such as `left=62,60,64,58 kgf`",
        );
        let pairs = ["left=60,62,55kgf", "right=110,108,112 kgf", "left-offset=36mm", "right-offset=20mm"];
        close(value("spoke-tension", &pairs, "ratio"), 59.0 / 110.0, 1e-9);
        close(value("spoke-tension", &pairs, "ratio-by-hub"), 0.556, 5e-4);
        close(value("spoke-tension", &pairs, "worst-left"), (55.0 / 59.0 - 1.0) * 100.0, 1e-9);
    }

    /// A decimal comma is one between semicolons.
    #[test]
    fn newtons_are_taken_too() {
        close(value("spoke-tension", &["left=980.5;980,5;980.5 N"], "mean-left"), 980.5, 1e-6);
        let past = take("spoke-tension", &["right=100,100,130kgf", "most=120kgf"]).headline;
        assert!(past.contains("past the rim's maximum of 120 kgf"), "{past}");
    }

    #[test]
    fn a_slack_spoke_is_told() {
        // Four spokes, mean 100: 80 is at the limit.
        close(sure("spoke-tension", &["left=80,105,108,107kgf"], "spokes-slack"), 0.5, 1e-9);
        assert!(sure("spoke-tension", &["left=40,120,120,120kgf"], "spokes-slack") > 0.999);
        refused(
            "spoke-tension",
            &["left=1,2kgf"],
            "`left` of gauge `spoke-tension` holds 2 readings; write 3 to 72 of them with commas between",
        );
    }
}
