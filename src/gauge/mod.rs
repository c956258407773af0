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
//! Read next: [`input`] (what is asked), [`reading`] (what is answered), [`brakes`] (short gauges).
//! A new gauge is one file with a `pub static GAUGE`, named in the `GAUGES` of its family.

pub mod brakes;
pub mod chain;
pub mod electric;
mod error;
pub mod fasteners;
pub mod gears;
pub mod input;
pub mod reading;
pub mod road;
mod soft;
pub mod suspension;
pub mod tyre;
pub mod wheel;

pub use error::GaugeError;
pub use input::{Input, Inputs, Kind, split_pairs};
pub use reading::{Figure, Plot, Reading, Series};
pub use soft::{Soft, SoftReport, soft_below, soft_outside, soft_report};

use crate::quantity::{nearest, sensible, shown};

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

/// Gauges that belong together, for lists.
pub struct Family {
    /// What they measure.
    pub name: &'static str,
    /// In the order in which they are listed.
    pub gauges: &'static [&'static Gauge],
}

/// All gauges by family, in the order in which they are listed to people.
pub fn families() -> &'static [Family] {
    static ALL: [Family; 8] = [
        Family { name: "suspension", gauges: suspension::GAUGES },
        Family { name: "chain", gauges: chain::GAUGES },
        Family { name: "brakes", gauges: brakes::GAUGES },
        Family { name: "tyres", gauges: tyre::GAUGES },
        Family { name: "wheels", gauges: wheel::GAUGES },
        Family { name: "gears", gauges: gears::GAUGES },
        Family { name: "electric drive", gauges: electric::GAUGES },
        Family { name: "fasteners", gauges: fasteners::GAUGES },
    ];
    &ALL
}

/// All gauges, in the order in which they are listed to people.
pub fn gauges() -> impl Iterator<Item = &'static Gauge> {
    families().iter().flat_map(|family| family.gauges.iter().copied())
}

/// The gauge of this name.
pub fn find(name: &str) -> Result<&'static Gauge, GaugeError> {
    let wanted = name.trim().to_lowercase().replace([' ', '_'], "-");
    gauges().find(|gauge| gauge.name == wanted).ok_or_else(|| GaugeError::UnknownGauge {
        name: shown(name),
        nearest: nearest(&wanted, gauges().map(|gauge| gauge.name)),
    })
}

/// A number for a sentence: three digits, as far as any gauge reads.
pub(crate) fn short(number: f64) -> String {
    sensible(number, 3)
}

impl Gauge {
    /// Checks KEY=VALUE pairs against what this gauge asks for.
    pub fn read<T: AsRef<str>>(&'static self, pairs: &[T]) -> Result<Inputs, GaugeError> {
        input::read(self, pairs)
    }

    /// Takes a reading from what was given.
    pub fn take(&self, inputs: &Inputs) -> Result<Reading, GaugeError> {
        if let Some(input) = self.inputs.iter().find(|i| i.required && !inputs.has(i.key)) {
            return Err(inputs.missing(input.key));
        }
        (self.compute)(inputs)
    }
}

/// What the tests of gauges share.
#[cfg(test)]
pub(crate) mod testing {
    use super::{Reading, find};

    /// Takes a reading that must come about.
    #[track_caller]
    pub fn take(name: &str, pairs: &[&str]) -> Reading {
        let gauge = find(name).unwrap_or_else(|error| panic!("{error}"));
        gauge.read(pairs).and_then(|inputs| gauge.take(&inputs)).unwrap_or_else(|error| panic!("{error}"))
    }

    /// One figure of a reading, in the unit it is shown in.
    #[track_caller]
    pub fn figure(reading: &Reading, key: &str) -> f64 {
        reading.figures.iter().find(|f| f.key == key).unwrap_or_else(|| panic!("no {key}")).quantity.given()
    }

    /// One figure of a gauge.
    #[track_caller]
    pub fn value(name: &str, pairs: &[&str], key: &str) -> f64 {
        figure(&take(name, pairs), key)
    }

    /// How sure a reading makes a sign, 0 to 1.
    #[track_caller]
    pub fn sure(name: &str, pairs: &[&str], sign: &str) -> f64 {
        let reading = take(name, pairs);
        let soft = reading.softs.iter().find(|s| s.sign == sign).unwrap_or_else(|| panic!("nothing of {sign}"));
        soft.strong.max(soft.slight) / (soft.none + soft.strong.max(soft.slight))
    }

    /// Asserts that two numbers agree.
    #[track_caller]
    pub fn close(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want}");
    }

    /// Asserts that no reading comes about, and why.
    #[track_caller]
    pub fn refused(name: &str, pairs: &[&str], message: &str) {
        let gauge = find(name).unwrap_or_else(|error| panic!("{error}"));
        match gauge.read(pairs).and_then(|inputs| gauge.take(&inputs)) {
            Ok(reading) => panic!("{pairs:?} gave {}", reading.headline),
            Err(error) => assert_eq!(error.to_string(), message),
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::testing::refused;
    use super::*;

    #[test]
    fn every_gauge_declares_what_it_can_take_itself() {
        let mut names = std::collections::BTreeSet::new();
        for gauge in gauges() {
            assert!(names.insert(gauge.name), "{} stands twice", gauge.name);
            assert!(std::ptr::eq(find(gauge.name).unwrap(), gauge));
            for input in gauge.inputs {
                assert!(input.example.starts_with(&format!("{}=", input.key)), "{}", input.example);
                assert_eq!(gauge.inputs.iter().filter(|other| other.key == input.key).count(), 1);
                gauge.read(&[input.example]).unwrap_or_else(|error| panic!("{error}"));
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
            "no gauge is called `thermometer`; `gauge` alone lists all"
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

    proptest! {
        #[test]
        fn no_pair_makes_a_gauge_panic(values in prop::collection::vec("[-0-9./, x;a-z%\"]{0,8}|[0-9]{1,3}(mm|psi|%|kgf|V|kg| km/h|)", 12)) {
            for gauge in gauges() {
                // Every key with its example, and in turn with what was made up.
                let examples: Vec<String> = gauge.inputs.iter().map(|i| i.example.to_owned()).collect();
                for ((at, input), value) in gauge.inputs.iter().enumerate().zip(values.iter().cycle()) {
                    let mut pairs = examples.clone();
                    pairs[at] = format!("{}={value}", input.key);
                    if let Err(error) = gauge.read(&pairs).and_then(|inputs| gauge.take(&inputs)) {
                        prop_assert!(!error.to_string().chars().any(char::is_control));
                    }
                }
            }
        }
    }
}
