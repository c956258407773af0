//! Probabilities as the whole program speaks of them: odds, decibans, sensible words.
//!
//! Weight of evidence in decibans is ten times the decimal logarithm of a
//! likelihood ratio (I. J. Good, Probability and the Weighing of Evidence, 1950).

/// Moves a probability by a multiplier of its odds.
///
/// ```
/// # use knockwise::probability::times_odds;
/// assert!((times_odds(0.2, 4.0) - 0.5).abs() < 1e-15);
/// ```
pub fn times_odds(p: f64, factor: f64) -> f64 {
    let scaled = p * factor;
    scaled / (scaled + (1.0 - p))
}

/// Turns a probability into decibans: 10 log10 of its odds. 0 and 1 give infinities.
pub fn decibans(p: f64) -> f64 {
    10.0 * (p / (1.0 - p)).log10()
}

/// Chance that at least one of several independent things happens, without `1 - (1 - x)`.
///
/// The noisy-OR of Pearl, Probabilistic Reasoning in Intelligent Systems, 1988.
pub fn any_of(chances: impl IntoIterator<Item = f64>) -> f64 {
    chances.into_iter().fold(0.0, |sum, p| sum + p * (1.0 - sum))
}

/// Says a probability in words that never stand without their number.
pub fn in_words(p: f64) -> String {
    let tenths = (p * 10.0).round() as u32;
    match p {
        p if p >= 0.97 => "almost certain, more than 97 in 100".to_owned(),
        p if p >= 0.90 => format!("very likely, about {} in 100", (p * 100.0).round()),
        p if p >= 0.65 => format!("likely, about {tenths} in 10"),
        p if p >= 0.55 => format!("rather likely, about {tenths} in 10"),
        p if p >= 0.45 => "about even, 5 in 10".to_owned(),
        p if p >= 0.15 => format!("quite possible, about {tenths} in 10"),
        p if p >= 0.05 => format!("possible, about {} in 100", (p * 100.0).round()),
        p if p >= 0.01 => format!("unlikely, about {} in 100", (p * 100.0).round()),
        _ => "very unlikely, less than 1 in 100".to_owned(),
    }
}

/// Says a probability as a share of 100.
pub fn percent(p: f64) -> String {
    format!("{} in 100", (p * 100.0).round())
}

/// Rounds to nine significant digits, the precision promised to machines.
pub fn nine_digits(x: f64) -> f64 {
    format!("{x:.8e}").parse().unwrap_or(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ladder and screening example as in I. J. Good's scale; arithmetic.
    #[test]
    fn decibans_follow_the_ladder() {
        for (ratio, db) in [(1.2589, 1.0), (1.9953, 3.0), (10.0, 10.0), (19.9526, 13.0), (100.0, 20.0)] {
            let p = ratio / (1.0 + ratio);
            assert!((decibans(p) - db).abs() < 1e-3, "{ratio}");
        }
    }

    /// Fever table with inhibitors .6 .2 .1: Russell & Norvig, Artificial
    /// Intelligence: A Modern Approach, noisy-OR of cold, flu, malaria.
    #[test]
    fn noisy_or_gives_the_fever_table() {
        let (cold, flu, malaria) = (0.4, 0.8, 0.9);
        for (on, want) in [
            (vec![], 0.0),
            (vec![malaria], 0.9),
            (vec![flu], 0.8),
            (vec![flu, malaria], 0.98),
            (vec![cold], 0.4),
            (vec![cold, malaria], 0.94),
            (vec![cold, flu], 0.88),
            (vec![cold, flu, malaria], 0.988),
        ] {
            assert!((any_of(on.clone()) - want).abs() < 1e-12, "{on:?}");
            let leaky = any_of(on.iter().copied().chain([0.01]));
            assert!((leaky - (1.0 - 0.99 * (1.0 - want))).abs() < 1e-12, "{on:?}");
        }
    }

    #[test]
    fn nine_digits_are_kept() {
        assert_eq!(nine_digits(0.123_456_789_012), 0.123_456_789);
        assert_eq!(nine_digits(1e-300), 1e-300);
    }
}
