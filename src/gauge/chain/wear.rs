//! Chain wear: how much longer than new the chain has become, and what that asks for.
//!
//! A chain does not stretch; its pins and bushings wear, and every pitch of half an inch grows.
//! A ruler from pin to the same edge of a pin, over as many pitches as it will reach, shows that
//! growth alone. A drop-in checker also presses the rollers apart and so reads too much.
//!
//! ```text
//! elongation = (length / (pitches x 12.7 mm) - 1) x 100 %
//! ```

use crate::gauge::{Gauge, GaugeError, Input, Inputs, Kind, Reading, SoftReport};
use crate::quantity::{Quantity, sensible};

/// The chain gauge.
pub static GAUGE: Gauge = Gauge {
    name: "chain-wear",
    about: "how much longer than new a chain has become, and whether the sprockets go with it",
    inputs: INPUTS,
    compute,
};

static INPUTS: &[Input] = &[
    Input::optional(
        "length",
        "the length by ruler from the edge of one pin to the same edge of another, chain under light tension",
        Kind::within(25.0, 2000.0, "mm"),
        "length=12 1/16 in",
    ),
    Input::optional(
        "over",
        "the number of half-inch pitches measured, 24 for a foot of chain",
        Kind::count(2.0, 150.0),
        "over=24",
    ),
    Input::optional(
        "checker",
        "the percentage read from a drop-in checker, instead of `length`",
        Kind::within(0.0, 3.0, "%"),
        "checker=0.75%",
    ),
    Input::optional("sprockets", "how many sprockets the rear wheel has", Kind::count(1.0, 14.0), "sprockets=11"),
];

/// Half an inch, mm: the pitch of every bicycle chain.
const PITCH: f64 = 12.7;

/// Twelve inches of chain, the usual length to measure.
const USUAL_PITCHES: f64 = 24.0;

/// How far a reading with a ruler may be off over its whole length, mm. Judgement.
const RULER_ERROR: f64 = 0.3;

/// How far a drop-in checker may be off, percent: it reads too much by an amount that differs
/// between chains and between checkers. Judgement.
const CHECKER_ERROR: f64 = 0.15;

/// Percent from which the chain counts as slightly long: half a percent is time for a chain
/// (published rule of thumb, read second-hand).
const SLIGHT_FROM: f64 = 0.5;

/// Percent from which it counts as much too long: the usual limit for ten sprockets or fewer
/// (a published workshop guide; typical).
const STRONG_FROM: f64 = 0.75;

/// Percent from which sprocket wear is rapid: an eighth of an inch in twelve (same rule).
const SPROCKETS_FROM: f64 = 1.0;

/// Growth outside this span, in percent, is a slip of counting and not wear, unless the error of
/// the reading explains it. Judgement.
const BELIEVABLE: (f64, f64) = (-0.4, 3.0);

/// Typical growth at which the chain is changed, by number of sprockets. The maker's figure wins.
fn chain_limit(sprockets: Option<f64>) -> (f64, String) {
    match sprockets {
        None => (SLIGHT_FROM, "no `sprockets` given, so the strictest usual limit".to_owned()),
        Some(1.0) => (1.0, "single sprocket".to_owned()),
        Some(n) if n <= 10.0 => (0.75, format!("{n} sprockets")),
        Some(n) => (0.5, format!("{n} sprockets")),
    }
}

/// How much longer than new a stretch of chain is, in percent.
pub fn elongation(length_mm: f64, pitches: f64) -> f64 {
    (length_mm / (pitches * PITCH) - 1.0) * 100.0
}

fn compute(inputs: &Inputs) -> Result<Reading, GaugeError> {
    let Wear { percent, error, line } = measured(inputs)?;
    let sprockets = inputs.may("sprockets", "");
    let (limit, because) = chain_limit(sprockets);

    let verdict = if reaches(percent, SPROCKETS_FROM) {
        "change the chain, and expect to change the sprockets with it"
    } else if reaches(percent, limit) {
        "change the chain; the sprockets may stay if a new chain does not skip on them"
    } else {
        "the chain may stay"
    };
    let long = if percent > 0.0 {
        format!("the chain is {} % longer than new", sensible(percent, 3))
    } else {
        "the chain is no longer than new".to_owned()
    };
    let near = [limit, SPROCKETS_FROM].into_iter().find(|limit| (percent - limit).abs() < error);
    let doubt = match near {
        Some(limit) if inputs.has("checker") => {
            format!("; {limit} % is within the error of a checker: measure with a ruler before buying")
        }
        Some(limit) => {
            format!("; {limit} % is within the error of the ruler: measure again over more pitches")
        }
        None => String::new(),
    };
    let waiting = if reaches(percent, SPROCKETS_FROM) {
        "waiting costs more teeth: chainrings wear too, and a worn chain skips and may break under load"
    } else if reaches(percent, limit) {
        "waiting costs the sprockets: a chain now is cheap beside a set of sprockets at 1 %"
    } else {
        "measure again after the next few hundred kilometres, sooner with a motor or in mud"
    };
    let mut reading = inputs
        .reading(format!("{long}: {verdict}{doubt}"))
        .figure("elongation", "longer than new", percent, "%")?
        .figure("error", "error of this reading", error, "%")?
        .figure("limit-chain", "typical limit for the chain", limit, "%")?
        .figure("limit-sprockets", "sprockets wear fast from", SPROCKETS_FROM, "%")?
        .working(
            line,
            format!(
                "chain from {limit} % ({because}), sprockets too from {SPROCKETS_FROM} %; this reading may be off by {} %",
                sensible(error, 2)
            ),
        )
        .source(
            "pitch 12.7 mm by definition; typical limits: cycling handbooks (1/16 in over 12 in chain only, 1/8 in chain \
             and sprockets; half a percent and one percent), by number of sprockets from a workshop guide; errors of \
             reading: judgement",
        )
        .caution("the chain maker's limit and gauge come before these typical figures")
        .caution(waiting)
        .report(SoftReport::with_degrees("chain-long", percent, SLIGHT_FROM, STRONG_FROM, error));
    if inputs.has("checker") {
        reading = reading
            .caution("a drop-in checker presses the rollers apart and reads too much; a ruler over 24 pitches decides");
    }
    Ok(reading)
}

/// Growth and its error in percent, and how they came about.
struct Wear {
    percent: f64,
    error: f64,
    line: String,
}

fn measured(inputs: &Inputs) -> Result<Wear, GaugeError> {
    let pitches = inputs.or("over", "", USUAL_PITCHES);
    match (inputs.quantity("checker"), inputs.quantity("length")) {
        (Some(_), Some(_)) => Err(inputs.unfit("both `length` and `checker` were given", "take one reading at a time")),
        (Some(checker), None) => {
            let line = format!("elongation = {checker}, as the checker reads");
            Ok(Wear { percent: checker.si() * 100.0, error: CHECKER_ERROR, line })
        }
        (None, Some(length)) => {
            let mm = length.si() * 1000.0;
            // Rounded, so that a chain of exactly new length is not shown as 1.4e-14 % long.
            let percent = (elongation(mm, pitches) * 1e9).round() / 1e9;
            let new = pitches * PITCH;
            if !is_believable(percent, pitches) {
                return Err(unbelievable(inputs, length, mm, pitches, percent));
            }
            let line = format!(
                "elongation = {length} / ({pitches} x 12.7 mm) - 1 = {} mm / {} mm - 1 = {} %",
                sensible(mm, 7),
                sensible(new, 5),
                sensible(percent, 3)
            );
            Ok(Wear { percent, error: ruler_error(pitches), line })
        }
        (None, None) => Err(inputs.missing("length")),
    }
}

/// A slip of counting: names the count that would fit, if one does.
fn unbelievable(inputs: &Inputs, length: Quantity, mm: f64, pitches: f64, percent: f64) -> GaugeError {
    let what = if percent < 0.0 { "shorter" } else { "longer" };
    let counted = (mm / PITCH).floor();
    let fits = counted >= 2.0 && is_believable(elongation(mm, counted), counted);
    let mend = if fits && counted != pitches {
        format!("count the pitches again; {} would fit, written `over={counted}`", sensible(counted, 3))
    } else {
        "measure again from the edge of one pin to the same edge of another".to_owned()
    };
    inputs.unfit(
        format!(
            "{length} over {pitches} pitches is {} % {what} than new, which no chain is",
            sensible(percent.abs(), 3)
        ),
        mend,
    )
}

/// The error of a ruler over so many pitches, in percent.
fn ruler_error(pitches: f64) -> f64 {
    RULER_ERROR / (pitches * PITCH) * 100.0
}

fn is_believable(percent: f64, pitches: f64) -> bool {
    let allowance = 3.0 * ruler_error(pitches);
    percent >= BELIEVABLE.0.min(-allowance) && percent <= BELIEVABLE.1 + allowance
}

/// Whether a reading has come up to a limit; the allowance is for rounding alone.
fn reaches(percent: f64, limit: f64) -> bool {
    percent >= limit - 1e-9
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use crate::gauge::Reading;
    use crate::gauge::testing::{self, close};

    fn take(pairs: &[&str]) -> Reading {
        testing::take("chain-wear", pairs)
    }

    fn percent(pairs: &[&str]) -> f64 {
        testing::value("chain-wear", pairs, "elongation")
    }

    #[track_caller]
    fn refused(pairs: &[&str], message: &str) {
        testing::refused("chain-wear", pairs, message);
    }

    /// Arithmetic on the pitch of 12.7 mm; the last is the trap of measuring at eleven inches.
    #[test]
    fn elongation_by_ruler() {
        for (length, over, want) in [
            ("12 in", "24", 0.0),
            ("12 1/16 in", "24", 0.521),
            ("12 3/32 in", "24", 0.781),
            ("12 1/8 in", "24", 1.042),
            ("11 1/8 in", "22", 1.136),
            ("306.324 mm", "24", 0.5),
            ("307.086 mm", "24", 0.75),
            ("307.848 mm", "24", 1.0),
        ] {
            close(percent(&[&format!("length={length}"), &format!("over={over}")]), want, 5e-4);
        }
        close(percent(&["length=12 1/16 in"]), 0.521, 5e-4);
        for length in ["length=12 in", "length=304.6mm"] {
            let headline = take(&[length]).headline;
            assert_eq!(headline, "the chain is no longer than new: the chain may stay");
        }
    }

    /// Typical: under 1/16 in over a foot nothing, up to 1/8 in the chain, beyond it the sprockets.
    #[test]
    fn verdicts_by_ruler() {
        let says = |length: &str, words: &str| {
            let headline = take(&[&format!("length={length}")]).headline;
            assert!(headline.contains(words), "{length}: {headline}");
        };
        says("12 1/32 in", "the chain may stay");
        says("12 1/16 in", "the sprockets may stay");
        says("12 3/32 in", "the sprockets may stay");
        says("12 1/8 in", "change the sprockets with it");
        says("12 5/32 in", "change the sprockets with it");
    }

    /// Typical limits: 0.5 % for eleven and twelve, 0.75 % to ten, 1 % for one.
    #[test]
    fn limits_follow_the_number_of_sprockets() {
        for (sprockets, limit) in [("12", 0.5), ("11", 0.5), ("10", 0.75), ("7", 0.75), ("1", 1.0)] {
            let reading = take(&["checker=0.6", &format!("sprockets={sprockets}")]);
            close(reading.figures[2].quantity.given(), limit, 1e-12);
            assert_eq!(reading.headline.contains("may stay if"), limit <= 0.6, "{sprockets}");
        }
    }

    #[test]
    fn shows_its_working_and_its_doubt() {
        let reading = take(&["length=12 1/16 in", "sprockets=11"]);
        assert_eq!(
            reading.headline,
            "the chain is 0.521 % longer than new: change the chain; the sprockets may stay if a new chain does not skip on them; \
             0.5 % is within the error of the ruler: measure again over more pitches"
        );
        assert_eq!(
            reading.working,
            [
                "elongation = 12 1/16 in / (24 x 12.7 mm) - 1 = 306.3875 mm / 304.8 mm - 1 = 0.521 %",
                "chain from 0.5 % (11 sprockets), sprockets too from 1 %; this reading may be off by 0.098 %",
            ]
        );
        assert!(take(&["checker=0.8"]).cautions.iter().any(|c| c.contains("presses the rollers apart")));
    }

    #[test]
    fn soft_reports_have_degrees() {
        let soft = |length: &str| take(&[&format!("length={length}")]).softs[0];
        assert!(soft("304.8 mm").none > 0.999);
        let edge = soft("306.324 mm");
        close(edge.none, 0.5, 1e-9);
        let slight = soft("306.7 mm");
        assert!(slight.slight > 0.75 && slight.none < 0.15 && slight.strong < 0.15);
        assert!(soft("12 1/8 in").strong > 0.998);
    }

    #[test]
    fn refuses_slips_of_counting() {
        refused(
            &["length=11 1/8 in"],
            "gauge `chain-wear`: 11 1/8 in over 24 pitches is 7.29 % shorter than new, which no chain is; count the pitches again; 22 would fit, written `over=22`",
        );
        refused(
            &["length=306 mm", "over=23.5"],
            "gauge `chain-wear`: `over` is 23.5, but it counts things; write a whole number",
        );
        refused(
            &[],
            "gauge `chain-wear` needs `length`, the length by ruler from the edge of one pin to the same edge of another, chain under light tension; add `length=12 1/16 in`",
        );
        refused(
            &["length=306mm", "checker=0.5"],
            "gauge `chain-wear`: both `length` and `checker` were given; take one reading at a time",
        );
        refused(
            &["length=12 1/16"],
            "`length` of gauge `chain-wear` is 12 1/16 without a unit; write the unit, such as `length=12 1/16 in`",
        );
        refused(
            &["checker=75"],
            "`checker` of gauge `chain-wear` is 75 %, outside the sensible range of 0 % to 3 %; measure again, or correct the unit",
        );
    }

    proptest! {
        #[test]
        fn a_longer_chain_is_never_less_worn(a in 304f64..313.0, b in 304f64..313.0) {
            let read = |mm: f64| take(&[format!("length={mm:.3}mm").as_str()]);
            let (low, high) = (read(a.min(b)), read(a.max(b)));
            prop_assert!(low.figures[0].quantity.given() <= high.figures[0].quantity.given());
            prop_assert!(low.softs[0].none >= high.softs[0].none && low.softs[0].strong <= high.softs[0].strong);
        }
    }
}
