//! Why a text is not a quantity: the data, and the words in one place.

use super::{Dimension, shown};

/// Why a text is not a quantity, or not the one that was asked for.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// There was nothing but white space.
    #[error("nothing stands here; write a number and a unit, such as `160 psi`")]
    Empty,
    /// More characters than any measurement needs.
    #[error("`{text}` is too long for a measurement; write a number and a unit, such as `160 psi`")]
    TooLong {
        /// The beginning of what was written.
        text: String,
    },
    /// It does not begin with a number.
    #[error("`{text}` does not begin with a number; write a number and a unit, such as `160 psi`")]
    NoNumber {
        /// What was written.
        text: String,
    },
    /// A comma that may be a decimal mark or a thousands mark.
    #[error("`{number}` in `{text}` can mean {decimal} or {whole}; write `{decimal}` or `{whole}`")]
    TwoMeanings {
        /// What was written.
        text: String,
        /// The number in it.
        number: String,
        /// It, if the comma is a decimal mark.
        decimal: String,
        /// It, if the comma is a thousands mark.
        whole: String,
    },
    /// Several marks in one number.
    #[error("`{number}` in `{text}` has more marks than one decimal mark; write the number without thousands marks")]
    ManyMarks {
        /// What was written.
        text: String,
        /// The number in it.
        number: String,
    },
    /// A second number where the unit should be.
    #[error("`{text}` holds two numbers; write one number without gaps, then the unit")]
    TwoNumbers {
        /// What was written.
        text: String,
    },
    /// A fraction that has no sensible value.
    #[error("the fraction in `{text}` cannot be read; write it like `12 1/16 in`, lower number 1 to 1000")]
    BadFraction {
        /// What was written.
        text: String,
    },
    /// Not finite, or beyond what can be computed with.
    #[error("`{text}` is not a number that can be reckoned with; write a finite number of usual size")]
    NotFinite {
        /// What was written.
        text: String,
    },
    /// The unit is not in the table.
    #[error("`{unit}` is not a unit known here{}", nearest_note(.nearest))]
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// The most similar known one.
        nearest: Option<&'static str>,
    },
    /// A known unit of another dimension.
    #[error("{found} is {}, but {} is wanted; write it in {}", .is.name(), .wanted.name(), .wanted.units())]
    WrongDimension {
        /// The quantity or unit as written.
        found: String,
        /// Its dimension.
        is: Dimension,
        /// The dimension that was asked for.
        wanted: Dimension,
    },
}

impl QuantityError {
    pub(super) fn not_finite(number: f64, unit: &str) -> QuantityError {
        QuantityError::NotFinite { text: shown(format!("{number:e} {unit}").trim()) }
    }
}

fn nearest_note(nearest: &Option<&'static str>) -> String {
    match nearest {
        Some("") | None => "; write a usual unit, such as `mm`, `psi` or `N.m`".to_owned(),
        Some(unit) => format!("; nearest: `{unit}`"),
    }
}
