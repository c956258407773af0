//! Why a gauge gives no reading: the data, and the words in one place.

use crate::quantity::{Quantity, QuantityError};

/// Why a gauge gives no reading.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum GaugeError {
    /// No gauge has this name.
    #[error("no gauge is called `{name}`; {}", .nearest.map_or("`gauge` alone lists all".to_owned(), |n| format!("nearest: `{n}`")))]
    UnknownGauge {
        /// The name as written.
        name: String,
        /// The most similar one.
        nearest: Option<&'static str>,
    },
    /// Something without an equals sign.
    #[error("`{text}` is no pair for gauge `{gauge}`; write KEY=VALUE, such as `{example}`")]
    NotAPair {
        /// The gauge.
        gauge: &'static str,
        /// What was written.
        text: String,
        /// A pair that it takes.
        example: &'static str,
    },
    /// A key that the gauge does not ask for.
    #[error("gauge `{gauge}` has no key `{key}`; {}", nearest_or_all(.nearest, .known))]
    UnknownKey {
        /// The gauge.
        gauge: &'static str,
        /// The key as written.
        key: String,
        /// The most similar one.
        nearest: Option<&'static str>,
        /// All of them.
        known: Vec<&'static str>,
    },
    /// The same key twice.
    #[error("gauge `{gauge}` was given `{key}` twice; leave one of them out")]
    Repeated {
        /// The gauge.
        gauge: &'static str,
        /// The key.
        key: &'static str,
    },
    /// A key it cannot do without.
    #[error("gauge `{gauge}` needs `{key}`, {what}; add `{example}`")]
    Missing {
        /// The gauge.
        gauge: &'static str,
        /// The key.
        key: &'static str,
        /// What it is.
        what: &'static str,
        /// A pair that would do.
        example: &'static str,
    },
    /// A value that is no quantity, or of the wrong kind.
    #[error("`{key}` of gauge `{gauge}`: {error}")]
    NotAQuantity {
        /// The gauge.
        gauge: &'static str,
        /// The key.
        key: &'static str,
        /// What is wrong with the value.
        error: Box<QuantityError>,
    },
    /// A number without its unit.
    #[error("`{key}` of gauge `{gauge}` is {number} without a unit; write the unit, such as `{example}`")]
    NoUnit {
        /// The gauge.
        gauge: &'static str,
        /// The key.
        key: &'static str,
        /// The bare number.
        number: Quantity,
        /// A pair with a unit.
        example: &'static str,
    },
    /// Outside what is sensible.
    #[error(
        "`{key}` of gauge `{gauge}` is {given}, outside the sensible range of {low} to {high}; measure again, or correct the unit"
    )]
    OutOfRange {
        /// The gauge.
        gauge: &'static str,
        /// The key.
        key: &'static str,
        /// What was given.
        given: Quantity,
        /// The smallest sensible value, in the unit given.
        low: Quantity,
        /// The largest sensible value, in the unit given.
        high: Quantity,
    },
    /// A word that is none of the choices.
    #[error("`{key}` of gauge `{gauge}` cannot be `{word}`; {}", nearest_or_all(.nearest, .known))]
    UnknownChoice {
        /// The gauge.
        gauge: &'static str,
        /// The key.
        key: &'static str,
        /// The word as written.
        word: String,
        /// The most similar one.
        nearest: Option<&'static str>,
        /// All of them.
        known: Vec<&'static str>,
    },
    /// Something wrong in one of several readings.
    #[error("reading {place}: {error}")]
    InReading {
        /// Its place, from 1.
        place: usize,
        /// What is wrong with it.
        error: Box<GaugeError>,
    },
    /// Too few readings, or too many.
    #[error("`{key}` of gauge `{gauge}` holds {found} readings; write {least} to {most} of them with commas between")]
    HowMany {
        /// The gauge.
        gauge: &'static str,
        /// The key.
        key: &'static str,
        /// How many there are.
        found: usize,
        /// How many are needed.
        least: usize,
        /// How many are read.
        most: usize,
    },
    /// Values that are sensible alone but not together.
    #[error("gauge `{gauge}`: {what}; {mend}")]
    Together {
        /// The gauge.
        gauge: &'static str,
        /// What does not fit.
        what: String,
        /// The act that mends it.
        mend: String,
    },
}

impl GaugeError {
    /// For a value that is no quantity, or of the wrong kind.
    pub fn not_a_quantity(gauge: &'static str, key: &'static str, error: QuantityError) -> GaugeError {
        GaugeError::NotAQuantity { gauge, key, error: Box::new(error) }
    }
}

fn nearest_or_all(nearest: &Option<&'static str>, known: &[&'static str]) -> String {
    match nearest {
        Some(name) => format!("nearest: `{name}`"),
        None => format!("known: {}", known.iter().map(|name| format!("`{name}`")).collect::<Vec<_>>().join(", ")),
    }
}
