//! Soft reports: how far a reading near a limit counts for or against a sign.

/// What a reading says about a sign: the chance of this reading in each state of the sign, up to a
/// common factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoftReport {
    /// The id of the sign.
    pub sign: &'static str,
    /// The end of the bike it is said of; `None` if no end was told.
    pub end: Option<&'static str>,
    /// P(reading | the sign is not there).
    pub none: f64,
    /// P(reading | the sign is there, slight).
    pub slight: f64,
    /// P(reading | the sign is there, strong); equals `slight` for a sign without degrees.
    pub strong: f64,
}

/// The chance of a reading with the sign there and with it missing, up to a common factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Soft {
    /// P(reading | there).
    pub there: f64,
    /// P(reading | not there).
    pub missing: f64,
}

impl SoftReport {
    /// For a sign that is there or not.
    pub fn plain(sign: &'static str, soft: Soft) -> SoftReport {
        SoftReport { sign, end: None, none: soft.missing, slight: soft.there, strong: soft.there }
    }

    /// For a sign with degrees: slight from one limit on, strong from a later one.
    ///
    /// Each likelihood is the share of the error's bell curve, laid about the reading, that falls
    /// into that degree. With one limit this is [`soft_report`].
    pub fn with_degrees(
        sign: &'static str,
        reading: f64,
        slight_from: f64,
        strong_from: f64,
        error_sd: f64,
    ) -> SoftReport {
        let lower = soft_report(reading, slight_from, error_sd);
        let upper = soft_report(reading, strong_from.max(slight_from), error_sd);
        // Of two differences that are equal, the one between the small numbers loses fewer digits.
        let between = if lower.there > 0.5 { upper.missing - lower.missing } else { lower.there - upper.there };
        SoftReport { sign, end: None, none: lower.missing, slight: clipped(between), strong: upper.there }
    }
}

/// What a reading says about a sign that is there from a limit on.
///
/// The reading is off by a normal error with standard deviation `error_sd`, all three in one unit.
/// With z = (reading - limit) / error_sd, P(reading | there) goes as Phi(z) and P(reading | not
/// there) as Phi(-z): 1:1 at the limit, all but certain far from it. Beyond one in a million
/// nothing is claimed, for a slip in copying is likelier than that. A reading, limit or error that
/// is not a number says nothing: 1:1.
///
/// ```
/// # use knockwise::gauge::soft_report;
/// let soft = soft_report(32.0, 30.0, 1.0);
/// assert!((soft.there - 0.977).abs() < 0.001);
/// ```
pub fn soft_report(reading: f64, limit: f64, error_sd: f64) -> Soft {
    let off = reading - limit;
    let z = if off == 0.0 || off.is_nan() || error_sd.is_nan() { 0.0 } else { off / error_sd.max(0.0) };
    let z = if z.is_nan() { 0.0 } else { z };
    Soft { there: clipped(normal_below(z)), missing: clipped(normal_below(-z)) }
}

/// What a reading says about a sign that is there below a limit; otherwise like [`soft_report`].
pub fn soft_below(reading: f64, limit: f64, error_sd: f64) -> Soft {
    soft_report(-reading, -limit, error_sd)
}

/// What a reading says about a sign that is there outside a band.
///
/// Each likelihood is the share of the error's bell curve about the reading that lies inside or
/// outside; 1:1 at an edge of a band that is wide beside the error.
pub fn soft_outside(reading: f64, (low, high): (f64, f64), error_sd: f64) -> Soft {
    let (below, above) = (soft_below(reading, low, error_sd), soft_report(reading, high, error_sd));
    // Of two ways to the same sum, the one without cancelling.
    let there = clipped(below.there + above.there);
    Soft { there, missing: clipped(1.0 - there) }
}

/// Least chance that a reading is wrong altogether: mistyped, misread, wrong part. Judgement.
const LEAST: f64 = 1e-6;

fn clipped(chance: f64) -> f64 {
    chance.clamp(LEAST, 1.0 - LEAST)
}

/// The standard normal distribution function, by the complementary error function.
fn normal_below(z: f64) -> f64 {
    0.5 * libm::erfc(-z / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Phi(1.959964) = 0.975 and Phi(1) = 0.841345: any table of the normal distribution.
    #[test]
    fn soft_report_follows_the_normal_distribution() {
        assert!((soft_report(1.959_964, 0.0, 1.0).there - 0.975).abs() < 1e-7);
        assert!((soft_report(31.0, 30.0, 1.0).there - 0.841_344_7).abs() < 1e-7);
        assert_eq!(soft_report(30.0, 30.0, 2.0), Soft { there: 0.5, missing: 0.5 });
        assert_eq!(soft_report(30.0, 30.0, 0.0), Soft { there: 0.5, missing: 0.5 });
        assert_eq!(soft_report(31.0, 30.0, 0.0).there, 1.0 - 1e-6);
        assert_eq!(soft_report(f64::NAN, 30.0, 1.0), Soft { there: 0.5, missing: 0.5 });
        assert_eq!(soft_report(31.0, 30.0, f64::NAN), Soft { there: 0.5, missing: 0.5 });
        assert_eq!(soft_report(f64::INFINITY, 30.0, f64::INFINITY), Soft { there: 0.5, missing: 0.5 });
    }

    proptest! {
        #[test]
        fn soft_report_is_even_at_the_limit_and_certain_far_off(limit in -1e3f64..1e3, sd in 1e-3f64..10.0, far in 5.0f64..1e6) {
            prop_assert_eq!(soft_report(limit, limit, sd), Soft { there: 0.5, missing: 0.5 });
            let above = soft_report(limit + far * sd, limit, sd);
            prop_assert_eq!((above.there, above.missing), (1.0 - 1e-6, 1e-6));
            let below = soft_report(limit - far * sd, limit, sd);
            prop_assert_eq!((below.there, below.missing), (1e-6, 1.0 - 1e-6));
        }

        #[test]
        fn soft_report_rises_with_the_reading(a in -50f64..50.0, b in -50f64..50.0, limit in -50f64..50.0, sd in 0.01f64..20.0) {
            let (low, high) = (soft_report(a.min(b), limit, sd), soft_report(a.max(b), limit, sd));
            prop_assert!(low.there <= high.there && low.missing >= high.missing);
            prop_assert!((low.there + low.missing - 1.0).abs() < 1e-12);
        }

        #[test]
        fn degrees_share_out_the_whole(reading in -5f64..5.0, slight in -2f64..2.0, wide in 0.0f64..3.0, sd in 0.01f64..3.0) {
            let report = SoftReport::with_degrees("x", reading, slight, slight + wide, sd);
            for chance in [report.none, report.slight, report.strong] {
                prop_assert!((1e-6..=1.0 - 1e-6).contains(&chance));
            }
            prop_assert!((report.none + report.slight + report.strong - 1.0).abs() < 4e-6);
            let more = SoftReport::with_degrees("x", reading + 0.1, slight, slight + wide, sd);
            prop_assert!(more.none <= report.none && more.strong >= report.strong);
        }
    }
}
