//! Numbers with units: read as people write them, converted, printed in the unit they came in.
//!
//! `160psi`, `2,4 bar`, `12 1/16 in`, `12-1/16"`, `30 %` and plain `57` are all read.
//! Conversions are done by `uom`; only reading and printing are ours. Nothing is guessed: a
//! number that can be meant in two ways (`1,200`) or a unit that is not known is an error that
//! shows the place and the mend. No input makes this module panic.
//!
//! This module knows nothing of bicycles, reads no clock and no file, and never prints.

mod error;
mod read;
mod units;

use std::fmt;

pub use error::QuantityError;
use read::{plain_letters, read_number};
use units::{Unit, find_unit};

/// A number with its unit, finite in that unit and in SI.
///
/// Two quantities are equal when number and unit agree; how many digits are printed does not count.
#[derive(Clone, Copy)]
pub struct Quantity {
    given: f64,
    unit: &'static Unit,
    form: Form,
}

/// What kind of thing a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// A bare number: a count, or a ratio written as `2.5`.
    Number,
    /// A share, written in percent.
    Share,
    /// Millimetres, inches.
    Length,
    /// Grams, pounds.
    Mass,
    /// Seconds, minutes.
    Time,
    /// Degrees Celsius or Fahrenheit.
    Temperature,
    /// Psi, bar, kilopascals; whether gauge or absolute is for the reader of the number to say.
    Pressure,
    /// Newtons, kilograms-force, pounds-force.
    Force,
    /// Newton metres, inch pounds-force.
    Torque,
    /// Kilometres or miles per hour.
    Speed,
    /// Watt-hours, joules.
    Energy,
    /// Watts.
    Power,
    /// Volts.
    Voltage,
    /// Amperes.
    Current,
    /// Ampere-hours.
    Charge,
    /// Degrees of an angle.
    Angle,
    /// Turns per minute.
    Cadence,
    /// Force per way of a spring: newtons per millimetre, pounds-force per inch.
    Stiffness,
    /// Square metres.
    Area,
    /// Cubic centimetres, litres.
    Volume,
    /// Energy per way: watt-hours per kilometre.
    Consumption,
    /// Threads per inch.
    ThreadCount,
}

impl Quantity {
    /// Reads a quantity as people write it.
    ///
    /// A comma is a decimal mark unless it could be a thousands mark, which is refused. A number
    /// without a unit is read as [`Dimension::Number`].
    pub fn read(text: &str) -> Result<Quantity, QuantityError> {
        if text.len() > MAX_BYTES {
            return Err(QuantityError::TooLong { text: shown(text) });
        }
        let plain = plain_letters(text);
        if plain.is_empty() {
            return Err(QuantityError::Empty);
        }
        let (given, form, rest) = read_number(&plain)?;
        Quantity::finite(given, find_unit(rest)?, form).ok_or_else(|| QuantityError::NotFinite { text: shown(text) })
    }

    /// Makes a quantity from a number in a named unit; printed with three significant digits.
    pub fn new(number: f64, unit: &str) -> Result<Quantity, QuantityError> {
        Quantity::finite(number, find_unit(unit)?, Form::Digits(DIGITS))
            .ok_or_else(|| QuantityError::not_finite(number, unit))
    }

    /// Makes a quantity from a number in SI, to be shown in the named unit.
    pub fn from_si(number: f64, unit: &str) -> Result<Quantity, QuantityError> {
        let unit = find_unit(unit)?;
        Quantity::finite((unit.from_si)(number), unit, Form::Digits(DIGITS))
            .ok_or_else(|| QuantityError::not_finite(number, unit.symbol))
    }

    /// The value in SI units: metres, pascals, kelvin, and 0.3 for 30 %.
    pub fn si(&self) -> f64 {
        (self.unit.to_si)(self.given)
    }

    /// The number as it stands before the unit it was given in.
    pub fn given(&self) -> f64 {
        self.given
    }

    /// The symbol of the unit it was given in; empty for a bare number.
    pub fn unit(&self) -> &'static str {
        self.unit.symbol
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension
    }

    /// The number it would have in another unit of the same dimension.
    pub fn in_unit(&self, unit: &str) -> Result<f64, QuantityError> {
        Ok(self.to_unit(unit)?.given)
    }

    /// The same quantity, shown in another unit of the same dimension.
    pub fn to_unit(&self, unit: &str) -> Result<Quantity, QuantityError> {
        let wanted = find_unit(unit)?;
        self.expect_dimension(wanted.dimension)?;
        if wanted == self.unit {
            return Ok(*self);
        }
        Quantity::finite((wanted.from_si)(self.si()), wanted, Form::Digits(DIGITS))
            .ok_or_else(|| QuantityError::not_finite(self.given, self.unit.symbol))
    }

    /// Refuses a quantity that measures something else.
    pub fn expect_dimension(&self, wanted: Dimension) -> Result<(), QuantityError> {
        if self.dimension() == wanted {
            return Ok(());
        }
        Err(QuantityError::WrongDimension { found: format!("`{self}`"), is: self.dimension(), wanted })
    }

    /// The same quantity, printed with so many significant digits (1 to 15).
    pub fn with_digits(mut self, digits: u8) -> Quantity {
        self.form = Form::Digits(digits.clamp(1, MAX_DIGITS));
        self
    }

    fn finite(given: f64, unit: &'static Unit, form: Form) -> Option<Quantity> {
        (given.is_finite() && (unit.to_si)(given).is_finite()).then_some(Quantity { given, unit, form })
    }
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Quantity) -> bool {
        self.given == other.given && self.unit == other.unit
    }
}

impl fmt::Debug for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Quantity({} {:?})", self.given, self.unit.symbol)
    }
}

/// Number, space, unit. What was read keeps the digits it had; what was computed has three.
impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let number = match self.form {
            Form::Digits(digits) => sensible(self.given, digits),
            Form::Fraction(below) => mixed_fraction(self.given, below),
        };
        match self.unit.symbol {
            "" => f.pad(&number),
            symbol => f.pad(&format!("{number} {symbol}")),
        }
    }
}

impl Dimension {
    /// What it is called in a sentence, with its article.
    pub fn name(self) -> &'static str {
        match self {
            Dimension::Number => "a bare number",
            Dimension::Share => "a percentage",
            Dimension::Length => "a length",
            Dimension::Mass => "a mass",
            Dimension::Time => "a time",
            Dimension::Temperature => "a temperature",
            Dimension::Pressure => "a pressure",
            Dimension::Force => "a force",
            Dimension::Torque => "a torque",
            Dimension::Speed => "a speed",
            Dimension::Energy => "an energy",
            Dimension::Power => "a power",
            Dimension::Voltage => "a voltage",
            Dimension::Current => "a current",
            Dimension::Charge => "a charge",
            Dimension::Angle => "an angle",
            Dimension::Cadence => "a turning speed",
            Dimension::Stiffness => "a spring rate",
            Dimension::Area => "an area",
            Dimension::Volume => "a volume",
            Dimension::Consumption => "a consumption",
            Dimension::ThreadCount => "a number of threads per inch",
        }
    }

    /// The usual units of this dimension, for a message.
    pub fn units(self) -> &'static str {
        match self {
            Dimension::Number => "digits without a unit",
            Dimension::Share => "`%`",
            Dimension::Length => "`mm`, `cm` or `in`",
            Dimension::Mass => "`kg`, `g` or `lb`",
            Dimension::Time => "`s`, `min` or `h`",
            Dimension::Temperature => "`°C` or `°F`",
            Dimension::Pressure => "`psi`, `bar` or `kPa`",
            Dimension::Force => "`N`, `kgf` or `lbf`",
            Dimension::Torque => "`N.m`, `in-lbf` or `ft-lbf`",
            Dimension::Speed => "`km/h` or `mph`",
            Dimension::Energy => "`Wh` or `J`",
            Dimension::Power => "`W`",
            Dimension::Voltage => "`V`",
            Dimension::Current => "`A`",
            Dimension::Charge => "`Ah`",
            Dimension::Angle => "`°`",
            Dimension::Cadence => "`rpm`",
            Dimension::Stiffness => "`N/mm` or `lbf/in`",
            Dimension::Area => "`m2` or `cm2`",
            Dimension::Volume => "`cm3` or `l`",
            Dimension::Consumption => "`Wh/km`",
            Dimension::ThreadCount => "`tpi`",
        }
    }
}

/// Prints a number with so many significant digits, without trailing noise.
///
/// Digits before the decimal mark are never rounded away: 1234 stays 1234.
pub fn sensible(number: f64, digits: u8) -> String {
    if number == 0.0 || !number.is_finite() {
        return if number == 0.0 { "0".to_owned() } else { number.to_string() };
    }
    let digits = usize::from(digits.clamp(1, MAX_DIGITS));
    let scientific = format!("{number:.*e}", digits - 1);
    let (mantissa, exponent) = scientific.split_once('e').unwrap_or((&scientific, "0"));
    let power: i32 = exponent.parse().unwrap_or(0);
    if !(-5..15).contains(&power) {
        return format!("{}e{power}", trim_zeros(mantissa));
    }
    let decimals = usize::try_from(digits as i32 - 1 - power).unwrap_or(0);
    trim_zeros(&format!("{number:.decimals$}")).to_owned()
}

/// Makes text harmless and short enough for a message: control and direction marks are spelled out.
pub(crate) fn shown(text: &str) -> String {
    let mut out = String::new();
    for (i, c) in text.chars().enumerate() {
        if i == SHOWN_LETTERS {
            out.push('…');
            break;
        }
        let hidden = c.is_control()
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '`');
        if hidden { out.extend(c.escape_unicode()) } else { out.push(c) }
    }
    out
}

/// The most similar of some names, if one is similar enough to be meant.
pub(crate) fn nearest<'a>(word: &str, names: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let word: String = word.chars().take(SHOWN_LETTERS).collect::<String>().to_lowercase();
    let allowed = (word.chars().count() / 3).max(1);
    names
        .map(|name| (strsim::osa_distance(&word, &name.to_lowercase()), name))
        .filter(|(distance, name)| *distance <= allowed && *distance < name.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// Enough for any measurement, little enough for a message.
const MAX_BYTES: usize = 200;
const SHOWN_LETTERS: usize = 40;
/// Three significant digits: finer than any gauge in a workshop reads.
const DIGITS: u8 = 3;
/// The most decimal digits that a binary double always keeps.
const MAX_DIGITS: u8 = 15;

/// How the number is printed.
#[derive(Clone, Copy, Debug)]
enum Form {
    Digits(u8),
    /// As whole and fraction, with this below the line.
    Fraction(u32),
}

fn mixed_fraction(number: f64, below: u32) -> String {
    let parts = (number.abs() * f64::from(below)).round();
    // Parts stay under 1e6 x 1000 + 1e6 by the limits of reading, so they fit.
    let (parts, below) = (parts as u64, u64::from(below));
    let common = greatest_common_divisor(parts % below, below);
    let (whole, above, below) = (parts / below, parts % below / common, below / common);
    let sign = if number < 0.0 { "-" } else { "" };
    match (whole, above) {
        (whole, 0) => format!("{sign}{whole}"),
        (0, above) => format!("{sign}{above}/{below}"),
        (whole, above) => format!("{sign}{whole} {above}/{below}"),
    }
}

fn greatest_common_divisor(a: u64, b: u64) -> u64 {
    if a == 0 { b } else { greatest_common_divisor(b % a, a) }
}

fn trim_zeros(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::units::UNITS;
    use super::*;

    #[track_caller]
    fn read(text: &str) -> Quantity {
        Quantity::read(text).unwrap_or_else(|error| panic!("{text:?}: {error}"))
    }

    #[track_caller]
    fn close(got: f64, want: f64, within: f64) {
        assert!((got - want).abs() <= within, "{got} is not {want}");
    }

    /// NIST SP 811 (2008), appendix B.8; the products are worked from its exact factors.
    #[test]
    fn converts_by_the_exact_factors() {
        for (text, unit, want, within) in [
            ("1 in", "mm", 25.4, 1e-12),
            ("1 lb", "kg", 0.453_592_37, 1e-15),
            ("1 lbf", "N", 4.448_221_615_260_5, 1e-14),
            ("1 kgf", "N", 9.806_65, 1e-14),
            ("1 bar", "kPa", 100.0, 1e-11),
            ("1 psi", "Pa", 6_894.757, 5e-4),
            ("1 bar", "psi", 14.503_77, 5e-6),
            ("1 kgf/cm²", "bar", 0.980_665, 1e-12),
            ("1 lbf.in", "N.m", 0.112_984_8, 5e-8),
            ("1 lbf.ft", "N.m", 1.355_818, 5e-7),
            ("1 kgf.m", "N.m", 9.806_65, 1e-14),
            ("1 mph", "km/h", 1.609_344, 1e-12),
            ("1 Wh", "J", 3_600.0, 1e-12),
            ("44 lbf.in", "N.m", 4.971, 5e-4),
            ("5 N.m", "in-lbf", 44.25, 5e-3),
            ("40 N.m", "ft-lbf", 29.50, 5e-3),
            ("85 in-lbf", "N.m", 9.60, 5e-3),
            ("125 in-lbf", "N.m", 14.12, 5e-3),
            ("100 kgf", "N", 980.67, 5e-3),
            ("60 lbf", "N", 266.9, 5e-2),
            // 49 CFR 571.116: the boiling points it gives in both scales.
            ("205 C", "°F", 401.0, 1e-9),
            ("446 F", "°C", 230.0, 1e-9),
        ] {
            close(read(text).in_unit(unit).unwrap(), want, within);
        }
        close(read("30 %").si(), 0.3, 1e-15);
        close(read("12 1/16 in").si(), 0.306_387_5, 1e-15);
    }

    #[test]
    fn a_wrong_kind_of_unit_is_named() {
        assert_eq!(
            read("160 psi").expect_dimension(Dimension::Length).unwrap_err().to_string(),
            "`160 psi` is a pressure, but a length is wanted; write it in `mm`, `cm` or `in`"
        );
        assert_eq!(
            read("57").in_unit("mm").unwrap_err().to_string(),
            "`57` is a bare number, but a length is wanted; write it in `mm`, `cm` or `in`"
        );
        assert!(read("57").in_unit("wombats").is_err());
    }

    #[test]
    fn computed_numbers_have_three_digits_and_no_noise() {
        for (number, text) in [
            (172.185, "172"),
            (1_234.56, "1235"),
            (0.520_833, "0.521"),
            (9.999, "10"),
            (2.40, "2.4"),
            (-0.0, "0"),
            (0.000_012_34, "0.0000123"),
            (1e-9, "1e-9"),
            (1.5e20, "1.5e20"),
        ] {
            assert_eq!(sensible(number, 3), text);
        }
        assert_eq!(Quantity::new(176.04, "psi").unwrap().to_string(), "176 psi");
        assert_eq!(Quantity::new(1.0416, "%").unwrap().with_digits(4).to_string(), "1.042 %");
        assert_eq!(read("160 psi").to_unit("bar").unwrap().to_string(), "11 bar");
        assert_eq!(format!("[{:>9}]", read("11 bar")), "[   11 bar]");
    }

    fn any_symbol() -> impl Strategy<Value = &'static str> {
        (0..UNITS.len()).prop_map(|i| UNITS[i].symbol)
    }

    proptest! {
        #[test]
        fn print_then_read_gives_the_same_quantity(number in 0u64..1_000_000_000_000_000, point in 0usize..15, minus: bool, symbol in any_symbol()) {
            let mut text = format!("{number:016}");
            text.insert(text.len() - point, '.');
            let first = read(&format!("{}{text} {symbol}", if minus { "-" } else { "" }));
            let again = read(&first.to_string());
            prop_assert_eq!(first, again);
            prop_assert_eq!(first.to_string(), again.to_string());
        }

        #[test]
        fn fractions_survive_printing(whole in 0u32..2_000, above in 0u32..1000, below in 1u32..=1000, minus: bool) {
            let first = read(&format!("{}{whole} {}/{below} in", if minus { "-" } else { "" }, above % below));
            let again = read(&first.to_string());
            prop_assert_eq!(first, again);
        }

        #[test]
        fn computed_quantities_print_stably(number in -1e12f64..1e12, symbol in any_symbol()) {
            let computed = Quantity::new(number, symbol).unwrap();
            let again = read(&computed.to_string());
            prop_assert_eq!(computed.to_string(), again.to_string());
            prop_assert!((again.given() - number).abs() <= 0.005_000_1 * number.abs());
        }

        #[test]
        fn there_and_back_between_units(number in -1e6f64..1e6, from in any_symbol(), to in any_symbol()) {
            let first = Quantity::new(number, from).unwrap();
            if let Ok(other) = first.to_unit(to) {
                let back = other.in_unit(from).unwrap();
                // Temperatures carry an offset, so the absolute error follows it.
                prop_assert!((back - number).abs() <= 1e-11 * (number.abs() + 500.0));
            }
        }

        #[test]
        fn no_number_makes_it_panic(bits: u64, symbol in any_symbol(), digits: u8) {
            if let Ok(quantity) = Quantity::from_si(f64::from_bits(bits), symbol) {
                let _ = read(&quantity.to_string());
                let _ = Quantity::read(&quantity.with_digits(digits).to_string());
            }
        }
    }
}
