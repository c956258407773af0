//! Gauges: a measurement at the stand, its arithmetic, and what it says about the bike.
//!
//! A gauge asks for numbers with units, gives figures and shows its working in two lines. It says
//! where its limits come from and how far the reading may be off, and turns the distance to a
//! limit into soft reports about signs, which inference reads like any other answer.
//!
//! May know: quantities and the ids of signs. Must never print, read a file or a clock, or decide
//! what is wrong with the bike. Nothing is guessed silently: an unknown key, a missing key, a
//! number without its unit or out of its sensible range is an error that names it.
//!
//! Read next: [`sag`] (a pressure from the gas law), [`chain_wear`] (a sign with degrees).
//! A new gauge is one file with a `pub static GAUGE` and one line in [`gauges`].

pub mod air_spring;
pub mod chain_wear;
mod error;
pub mod sag;
mod soft;

use std::collections::BTreeMap;

pub use error::GaugeError;
pub use soft::{Soft, SoftReport, soft_report};

use crate::quantity::{Dimension, Quantity, nearest, shown};

/// A measurement with its arithmetic.
pub struct Gauge {
    /// The word it is called by.
    pub name: &'static str,
    /// What it is for, in one line.
    pub about: &'static str,
    /// What it asks for, the needful first.
    pub inputs: &'static [Input],
    /// The arithmetic; called by [`Gauge::take`].
    pub compute: fn(&Inputs) -> Result<Reading, GaugeError>,
}

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
        /// What it measures.
        dimension: Dimension,
        /// The smallest sensible value.
        low: f64,
        /// The largest sensible value.
        high: f64,
        /// The unit of both; a bare number stands for it only if it is `%`.
        unit: &'static str,
    },
    /// One of a few words.
    Choice(&'static [&'static str]),
}

/// What was given to a gauge, checked one by one against what it asks for.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Inputs {
    values: BTreeMap<&'static str, Value>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Value {
    Quantity(Quantity),
    Choice(&'static str),
}

/// What a gauge says.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// The answer in one sentence.
    pub headline: String,
    /// Every number of the answer.
    pub figures: Vec<Figure>,
    /// How it was reckoned, in two lines.
    pub working: [String; 2],
    /// Where formula and limits come from.
    pub source: String,
    /// When the model is off, if there is a model.
    pub model_note: Option<String>,
    /// What to mind; few, and each an act.
    pub cautions: Vec<String>,
    /// What the reading says about signs.
    pub softs: Vec<SoftReport>,
}

/// One number of an answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// A stable word for machines.
    pub key: &'static str,
    /// What it is, for people.
    pub name: &'static str,
    /// The number with its unit.
    pub quantity: Quantity,
    /// The number as it is shown.
    pub text: String,
}

/// All gauges, in the order in which they are listed to people.
pub fn gauges() -> &'static [&'static Gauge] {
    static ALL: [&Gauge; 2] = [&sag::GAUGE, &chain_wear::GAUGE];
    &ALL
}

/// The gauge of this name.
pub fn find(name: &str) -> Result<&'static Gauge, GaugeError> {
    let wanted = name.trim().to_lowercase().replace([' ', '_'], "-");
    gauges().iter().copied().find(|gauge| gauge.name == wanted).ok_or_else(|| {
        let known: Vec<_> = gauges().iter().map(|gauge| gauge.name).collect();
        GaugeError::UnknownGauge { name: shown(name), nearest: nearest(&wanted, known.iter().copied()), known }
    })
}

/// Cuts `stroke=57mm,sag=18,5mm` into its pairs; a comma inside a number is left alone.
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

impl Gauge {
    /// Takes a reading from what was given.
    pub fn take(&self, inputs: &Inputs) -> Result<Reading, GaugeError> {
        if let Some(input) = self.inputs.iter().find(|i| i.required && !inputs.values.contains_key(i.key)) {
            return Err(self.missing(input.key));
        }
        (self.compute)(inputs)
    }

    /// Checks KEY=VALUE pairs against what this gauge asks for.
    pub fn read<T: AsRef<str>>(&self, pairs: &[T]) -> Result<Inputs, GaugeError> {
        let mut inputs = Inputs::default();
        for pair in pairs {
            let pair = pair.as_ref();
            let (key, text) = pair.split_once('=').ok_or_else(|| GaugeError::NotAPair {
                gauge: self.name,
                text: shown(pair),
                example: self.inputs.first().map_or("KEY=VALUE", |input| input.example),
            })?;
            let wanted = key.trim().to_lowercase();
            let input = self.inputs.iter().find(|input| input.key == wanted).ok_or_else(|| {
                let known: Vec<_> = self.inputs.iter().map(|input| input.key).collect();
                let nearest = nearest(&wanted, known.iter().copied());
                GaugeError::UnknownKey { gauge: self.name, key: shown(key), nearest, known }
            })?;
            if inputs.values.insert(input.key, self.value(input, text)?).is_some() {
                return Err(GaugeError::Repeated { gauge: self.name, key: input.key });
            }
        }
        Ok(inputs)
    }

    /// The error for a key that this time cannot be done without.
    pub fn missing(&self, key: &'static str) -> GaugeError {
        let input = self.inputs.iter().find(|input| input.key == key);
        GaugeError::Missing {
            gauge: self.name,
            key,
            what: input.map_or("", |input| input.what),
            example: input.map_or("", |input| input.example),
        }
    }

    fn value(&self, input: &Input, text: &str) -> Result<Value, GaugeError> {
        let (gauge, key) = (self.name, input.key);
        match input.kind {
            Kind::Choice(known) => {
                let word = text.trim().to_lowercase().replace([' ', '_'], "-");
                let found = known.iter().copied().find(|choice| *choice == word);
                found.map(Value::Choice).ok_or_else(|| GaugeError::UnknownChoice {
                    gauge,
                    key,
                    word: shown(text.trim()),
                    nearest: nearest(&word, known.iter().copied()),
                    known: known.to_vec(),
                })
            }
            Kind::Quantity { dimension, low, high, unit } => {
                let wrong = |error| GaugeError::not_a_quantity(gauge, key, error);
                let mut given = Quantity::read(text).map_err(wrong)?;
                if given.dimension() == Dimension::Number && dimension == Dimension::Share {
                    given = Quantity::read(&format!("{given} %")).map_err(wrong)?;
                }
                if given.dimension() == Dimension::Number && dimension != Dimension::Number {
                    return Err(GaugeError::NoUnit { gauge, key, number: given, example: input.example });
                }
                given.expect_dimension(dimension).map_err(wrong)?;
                let end = |number| Quantity::new(number, unit).and_then(|q| q.to_unit(given.unit())).map_err(wrong);
                let (low, high) = (end(low)?, end(high)?);
                // The allowance keeps a limit that was converted from refusing its own value.
                let allowance = 1e-9 * (high.si() - low.si());
                if given.si() < low.si() - allowance || given.si() > high.si() + allowance {
                    return Err(GaugeError::OutOfRange { gauge, key, given, low, high });
                }
                Ok(Value::Quantity(given))
            }
        }
    }
}

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
    pub const fn within(dimension: Dimension, low: f64, high: f64, unit: &'static str) -> Kind {
        Kind::Quantity { dimension, low, high, unit }
    }
}

impl Inputs {
    /// The quantity behind a key, if it was given.
    pub fn quantity(&self, key: &str) -> Option<Quantity> {
        match self.values.get(key) {
            Some(Value::Quantity(quantity)) => Some(*quantity),
            _ => None,
        }
    }

    /// The chosen word behind a key, if one was given.
    pub fn choice(&self, key: &str) -> Option<&'static str> {
        match self.values.get(key) {
            Some(Value::Choice(word)) => Some(word),
            _ => None,
        }
    }
}

impl Figure {
    /// A figure shown as its quantity prints.
    pub fn new(key: &'static str, name: &'static str, quantity: Quantity) -> Figure {
        Figure { key, name, quantity, text: quantity.to_string() }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn refused(name: &str, pairs: &[&str], message: &str) {
        let gauge = find(name).unwrap();
        match gauge.read(pairs).and_then(|inputs| gauge.take(&inputs)) {
            Ok(reading) => panic!("{pairs:?} gave {}", reading.headline),
            Err(error) => assert_eq!(error.to_string(), message),
        }
    }

    #[test]
    fn every_gauge_declares_what_it_can_take_itself() {
        let mut names = std::collections::BTreeSet::new();
        for gauge in gauges() {
            assert!(names.insert(gauge.name), "{} stands twice", gauge.name);
            assert!(std::ptr::eq(find(gauge.name).unwrap(), *gauge));
            for input in gauge.inputs {
                assert!(input.example.starts_with(&format!("{}=", input.key)), "{}", input.example);
                assert_eq!(gauge.inputs.iter().filter(|other| other.key == input.key).count(), 1);
                gauge.read(&[input.example]).unwrap();
            }
        }
    }

    #[test]
    fn names_are_forgiving_and_slips_are_named() {
        assert_eq!(find("Chain_Wear").unwrap().name, "chain-wear");
        assert_eq!(
            find("chain-weer").err().unwrap().to_string(),
            "no gauge is called `chain-weer`; nearest: `chain-wear`"
        );
        assert_eq!(
            find("thermometer").err().unwrap().to_string(),
            "no gauge is called `thermometer`; known: `sag`, `chain-wear`"
        );
    }

    #[test]
    fn bad_pairs_are_refused_with_the_mend() {
        refused("sag", &["57mm"], "`57mm` is no pair for gauge `sag`; write KEY=VALUE, such as `stroke=57mm`");
        refused("sag", &["strok=57mm"], "gauge `sag` has no key `strok`; nearest: `stroke`");
        refused(
            "chain-wear",
            &["zzzzzz=1"],
            "gauge `chain-wear` has no key `zzzzzz`; known: `length`, `over`, `checker`, `sprockets`",
        );
        refused("sag", &["sag=9mm", "sag=8mm"], "gauge `sag` was given `sag` twice; leave one of them out");
        refused("sag", &["sag=18"], "`sag` of gauge `sag` is 18 without a unit; write the unit, such as `sag=17mm`");
        refused(
            "sag",
            &["sag=18psi"],
            "`sag` of gauge `sag`: `18 psi` is a pressure, but a length is wanted; write it in `mm`, `cm` or `in`",
        );
        refused(
            "sag",
            &["pressure=160bar"],
            "`pressure` of gauge `sag` is 160 bar, outside the sensible range of 0.689 bar to 27.6 bar; measure again, or correct the unit",
        );
        refused(
            "sag",
            &["stroke=-57mm"],
            "`stroke` of gauge `sag` is -57 mm, outside the sensible range of 20 mm to 300 mm; measure again, or correct the unit",
        );
        refused(
            "sag",
            &["stroke=NaN"],
            "`stroke` of gauge `sag`: `NaN` does not begin with a number; write a number and a unit, such as `160 psi`",
        );
        refused("sag", &["use=trial"], "`use` of gauge `sag` cannot be `trial`; nearest: `trail`");
    }

    #[test]
    fn a_comma_in_a_number_does_not_end_its_pair() {
        assert_eq!(
            split_pairs("stroke=57mm,pressure=11,5 bar,use=trail"),
            ["stroke=57mm", "pressure=11,5 bar", "use=trail"]
        );
        assert_eq!(split_pairs("57,5"), ["57,5"]);
    }

    proptest! {
        #[test]
        fn no_pair_makes_a_gauge_panic(pairs in prop::collection::vec("(stroke|sag|percent|pressure|target|use|ratio|n|max|length|over|checker|sprockets)?=?[-0-9./, a-z%\"]{0,8}", 0..5)) {
            for gauge in gauges() {
                if let Err(error) = gauge.read(&pairs).and_then(|inputs| gauge.take(&inputs)) {
                    prop_assert!(!error.to_string().chars().any(char::is_control));
                }
            }
        }
    }
}
