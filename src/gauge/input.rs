//! What a gauge asks for, and what was given to it.
//!
//! The arithmetic of a gauge gets at its inputs in the unit it reckons in, whatever unit they came
//! in: [`Inputs::need`], [`Inputs::may`], [`Inputs::or`].

use std::collections::BTreeMap;

use super::{Gauge, GaugeError, Reading};
use crate::quantity::{Dimension, Quantity, nearest, shown};

/// One thing that a gauge asks for.
pub struct Input {
    /// The word before the equals sign.
    pub key: &'static str,
    /// What it is, and how to measure it.
    pub what: &'static str,
    /// What may stand behind the equals sign.
    pub kind: Kind,
    /// An example of the whole pair.
    pub example: &'static str,
    /// Whether the gauge cannot do without.
    pub required: bool,
}

/// What may stand behind the equals sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A quantity within a sensible range, both ends in `unit`.
    Quantity {
        /// The smallest sensible value.
        low: f64,
        /// The largest sensible value.
        high: f64,
        /// The unit of both, which says what is measured; a bare number stands for it only if it is `%`.
        unit: &'static str,
    },
    /// A whole number.
    Count {
        /// The smallest sensible number.
        low: f64,
        /// The largest sensible number.
        high: f64,
    },
    /// Several quantities with commas or semicolons between them; a unit behind the last holds for all.
    Readings {
        /// The smallest sensible value of each.
        low: f64,
        /// The largest sensible value of each.
        high: f64,
        /// The unit of both.
        unit: &'static str,
        /// How many there are at least.
        least: usize,
    },
    /// One of a few words.
    Choice(&'static [&'static str]),
    /// A marking, such as `37-622`, that the gauge takes apart itself.
    Marking,
}

/// Most readings of one kind: more than any wheel has spokes or any bike has sprockets.
const MOST: usize = 72;

/// Which end of the bike is measured; the soft reports then speak of that end.
pub const END: Input =
    Input::optional("end", "which end of the bike is measured", Kind::Choice(&["front", "rear"]), "end=front");

impl Input {
    /// An input that the gauge can do without, or that another may stand for.
    pub const fn optional(key: &'static str, what: &'static str, kind: Kind, example: &'static str) -> Input {
        Input { key, what, kind, example, required: false }
    }

    /// An input that the gauge cannot do without.
    pub const fn required(key: &'static str, what: &'static str, kind: Kind, example: &'static str) -> Input {
        Input { key, what, kind, example, required: true }
    }
}

impl Kind {
    /// A quantity between two numbers of one unit.
    pub const fn within(low: f64, high: f64, unit: &'static str) -> Kind {
        Kind::Quantity { low, high, unit }
    }

    /// A whole number between two.
    pub const fn count(low: f64, high: f64) -> Kind {
        Kind::Count { low, high }
    }

    /// What may be written, for people: `20 to 300 mm`.
    pub fn range(&self) -> String {
        match self {
            Kind::Quantity { low, high, unit } => format!("{low} to {high} {unit}").trim_end().to_owned(),
            Kind::Count { low, high } => format!("{low} to {high}, whole"),
            Kind::Readings { low, high, unit, least } => {
                format!("{least} or more of {low} to {high} {unit}").trim_end().to_owned()
            }
            Kind::Choice(known) => known.join(", "),
            Kind::Marking => "as marked".to_owned(),
        }
    }
}

/// What was given to a gauge, checked one by one against what it asks for.
#[derive(Clone)]
pub struct Inputs {
    gauge: &'static Gauge,
    values: BTreeMap<&'static str, Value>,
}

#[derive(Clone)]
enum Value {
    Quantity(Quantity),
    Readings(Vec<Quantity>),
    Choice(&'static str),
    Marking(String),
}

impl Inputs {
    /// Whether a key was given.
    pub fn has(&self, key: &str) -> bool {
        self.values.contains_key(key)
    }

    /// The quantity behind a key, if it was given.
    pub fn quantity(&self, key: &str) -> Option<Quantity> {
        match self.values.get(key) {
            Some(Value::Quantity(quantity)) => Some(*quantity),
            _ => None,
        }
    }

    /// The quantity behind a key, or the error that asks for it.
    pub fn needed(&self, key: &'static str) -> Result<Quantity, GaugeError> {
        self.quantity(key).ok_or_else(|| self.missing(key))
    }

    /// The number behind a key in a unit, if it was given.
    pub fn may(&self, key: &str, unit: &str) -> Option<f64> {
        self.quantity(key).and_then(|quantity| quantity.in_unit(unit).ok())
    }

    /// The number behind a key in a unit, or the error that asks for it.
    pub fn need(&self, key: &'static str, unit: &str) -> Result<f64, GaugeError> {
        self.may(key, unit).ok_or_else(|| self.missing(key))
    }

    /// The number behind a key in a unit, or what stands in for it.
    pub fn or(&self, key: &str, unit: &str, otherwise: f64) -> f64 {
        self.may(key, unit).unwrap_or(otherwise)
    }

    /// The readings behind a key in a unit; none if it was not given.
    pub fn readings(&self, key: &str, unit: &str) -> Vec<f64> {
        match self.values.get(key) {
            Some(Value::Readings(all)) => all.iter().filter_map(|q| q.in_unit(unit).ok()).collect(),
            _ => Vec::new(),
        }
    }

    /// The unit in which readings were given.
    pub fn unit_of(&self, key: &str) -> &'static str {
        match self.values.get(key) {
            Some(Value::Readings(all)) => all.first().map_or("", Quantity::unit),
            Some(Value::Quantity(quantity)) => quantity.unit(),
            _ => "",
        }
    }

    /// The chosen word behind a key, if one was given.
    pub fn choice(&self, key: &str) -> Option<&'static str> {
        match self.values.get(key) {
            Some(Value::Choice(word)) => Some(word),
            _ => None,
        }
    }

    /// The marking behind a key, if it was given.
    pub fn marking(&self, key: &str) -> Option<&str> {
        match self.values.get(key) {
            Some(Value::Marking(text)) => Some(text),
            _ => None,
        }
    }

    /// A reading of this gauge, to be filled in.
    pub fn reading(&self, headline: impl Into<String>) -> Reading {
        Reading::new(self.gauge.name, self.choice("end"), headline.into())
    }

    /// The error for a key that this time cannot be done without.
    pub fn missing(&self, key: &'static str) -> GaugeError {
        let input = self.gauge.inputs.iter().find(|input| input.key == key);
        GaugeError::Missing {
            gauge: self.gauge.name,
            key,
            what: input.map_or("", |input| input.what),
            example: input.map_or("", |input| input.example),
        }
    }

    /// The error for values that are sensible alone but not together.
    pub fn unfit(&self, what: impl Into<String>, mend: impl Into<String>) -> GaugeError {
        GaugeError::Together { gauge: self.gauge.name, what: what.into(), mend: mend.into() }
    }
}

/// Cuts `stroke=57mm,sag=18,5mm` into its pairs; a comma inside a value is left alone.
pub fn split_pairs(text: &str) -> Vec<String> {
    let mut pairs: Vec<String> = Vec::new();
    for piece in text.split(',') {
        match pairs.last_mut() {
            Some(last) if !piece.contains('=') => {
                last.push(',');
                last.push_str(piece);
            }
            _ => pairs.push(piece.to_owned()),
        }
    }
    pairs
}

/// Checks KEY=VALUE pairs against what a gauge asks for.
pub(super) fn read<T: AsRef<str>>(gauge: &'static Gauge, pairs: &[T]) -> Result<Inputs, GaugeError> {
    let mut inputs = Inputs { gauge, values: BTreeMap::new() };
    for pair in pairs {
        let pair = pair.as_ref();
        let (key, text) = pair.split_once('=').ok_or_else(|| GaugeError::NotAPair {
            gauge: gauge.name,
            text: shown(pair),
            example: gauge.inputs.first().map_or("KEY=VALUE", |input| input.example),
        })?;
        let wanted = key.trim().to_lowercase();
        let input = gauge.inputs.iter().find(|input| input.key == wanted).ok_or_else(|| {
            let known: Vec<_> = gauge.inputs.iter().map(|input| input.key).collect();
            let nearest = nearest(&wanted, known.iter().copied());
            GaugeError::UnknownKey { gauge: gauge.name, key: shown(key), nearest, known }
        })?;
        let asked = Asked { gauge: gauge.name, input };
        if inputs.values.insert(input.key, asked.value(text)?).is_some() {
            return Err(GaugeError::Repeated { gauge: gauge.name, key: input.key });
        }
    }
    Ok(inputs)
}

/// An input of a gauge, while what was written for it is read.
struct Asked {
    gauge: &'static str,
    input: &'static Input,
}

impl Asked {
    fn value(&self, text: &str) -> Result<Value, GaugeError> {
        match self.input.kind {
            Kind::Choice(known) => self.choice(text, known),
            Kind::Quantity { low, high, unit } => self.quantity(text, (low, high, unit)).map(Value::Quantity),
            Kind::Count { low, high } => {
                let number = self.quantity(text, (low, high, ""))?;
                if number.si().fract() == 0.0 {
                    return Ok(Value::Quantity(number));
                }
                let what = format!("`{}` is {number}, but it counts things", self.input.key);
                Err(GaugeError::Together { gauge: self.gauge, what, mend: "write a whole number".to_owned() })
            }
            Kind::Readings { low, high, unit, least } => {
                let all = self.readings(text, (low, high, unit))?;
                if all.len() < least || all.len() > MOST {
                    let (gauge, key, found) = (self.gauge, self.input.key, all.len());
                    return Err(GaugeError::HowMany { gauge, key, found, least, most: MOST });
                }
                Ok(Value::Readings(all))
            }
            Kind::Marking => Ok(Value::Marking(shown(text.trim()))),
        }
    }

    fn choice(&self, text: &str, known: &'static [&'static str]) -> Result<Value, GaugeError> {
        let word = text.trim().to_lowercase().replace([' ', '_'], "-");
        let found = known.iter().copied().find(|choice| *choice == word);
        found.map(Value::Choice).ok_or_else(|| GaugeError::UnknownChoice {
            gauge: self.gauge,
            key: self.input.key,
            word: shown(text.trim()),
            nearest: nearest(&word, known.iter().copied()),
            known: known.to_vec(),
        })
    }

    fn quantity(&self, text: &str, (low, high, unit): (f64, f64, &str)) -> Result<Quantity, GaugeError> {
        let (gauge, key) = (self.gauge, self.input.key);
        let wrong = |error| GaugeError::not_a_quantity(gauge, key, error);
        let dimension = Quantity::new(low, unit).map_err(wrong)?.dimension();
        let mut given = Quantity::read(text).map_err(wrong)?;
        if given.dimension() == Dimension::Number && dimension == Dimension::Share {
            given = Quantity::read(&format!("{given} %")).map_err(wrong)?;
        }
        if given.dimension() == Dimension::Number && dimension != Dimension::Number {
            return Err(GaugeError::NoUnit { gauge, key, number: given, example: self.input.example });
        }
        given.expect_dimension(dimension).map_err(wrong)?;
        let end = |number| Quantity::new(number, unit).and_then(|q| q.to_unit(given.unit())).map_err(wrong);
        let (low, high) = (end(low)?, end(high)?);
        // The allowance keeps a limit that was converted from refusing its own value.
        let allowance = 1e-9 * (high.si() - low.si());
        if given.si() < low.si() - allowance || given.si() > high.si() + allowance {
            return Err(GaugeError::OutOfRange { gauge, key, given, low, high });
        }
        Ok(given)
    }

    /// Semicolons leave the comma to be a decimal mark; without them the comma divides.
    fn readings(&self, text: &str, range: (f64, f64, &str)) -> Result<Vec<Quantity>, GaugeError> {
        let pieces: Vec<&str> = text.split(if text.contains(';') { ';' } else { ',' }).map(str::trim).collect();
        let last = pieces.last().and_then(|piece| Quantity::read(piece).ok());
        let unit = last.map_or("", |last| last.unit());
        let each = |(at, piece): (usize, &&str)| {
            let bare = Quantity::read(piece).is_ok_and(|q| q.dimension() == Dimension::Number);
            let whole = if bare { format!("{piece} {unit}") } else { (*piece).to_owned() };
            self.quantity(&whole, range)
                .map_err(|error| GaugeError::InReading { place: at + 1, error: Box::new(error) })
        };
        pieces.iter().enumerate().map(each).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comma_in_a_number_does_not_end_its_pair() {
        assert_eq!(
            split_pairs("stroke=57mm,pressure=11,5 bar,use=trail"),
            ["stroke=57mm", "pressure=11,5 bar", "use=trail"]
        );
        assert_eq!(split_pairs("57,5"), ["57,5"]);
        assert_eq!(split_pairs("left=98,101 kgf,right=60"), ["left=98,101 kgf", "right=60"]);
    }
}
