//! Cuts a written quantity into its number and its unit.

use super::{DIGITS, Form, MAX_DIGITS, QuantityError, shown};

/// Trims, and writes typographic minus, inch mark and ready-made fractions in plain letters.
pub(super) fn plain_letters(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.trim().chars() {
        match c {
            '−' | '–' => out.push('-'),
            '″' | '”' | '“' => out.push('"'),
            '⁄' => out.push('/'),
            '’' => out.push('\''),
            '½' => out.push_str(" 1/2"),
            '¼' => out.push_str(" 1/4"),
            '¾' => out.push_str(" 3/4"),
            '⅛' => out.push_str(" 1/8"),
            '⅜' => out.push_str(" 3/8"),
            '⅝' => out.push_str(" 5/8"),
            '⅞' => out.push_str(" 7/8"),
            other => out.push(other),
        }
    }
    out.trim().to_owned()
}

/// Cuts the number off the front and says how it is to be printed again.
pub(super) fn read_number(text: &str) -> Result<(f64, Form, &str), QuantityError> {
    let (negative, unsigned) = match text.as_bytes().first() {
        Some(b'-') => (true, &text[1..]),
        Some(b'+') => (false, &text[1..]),
        _ => (false, text),
    };
    let is_mark = |c: char| matches!(c, '.' | ',' | '_') || c == '\'';
    let end = unsigned.find(|c: char| !c.is_ascii_digit() && !is_mark(c)).unwrap_or(unsigned.len());
    // An inch mark made of two apostrophes belongs to the unit, not to the number.
    let token = unsigned[..end].trim_end_matches('\'');
    let rest = &unsigned[token.len()..];
    if !token.contains(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::NoNumber { text: shown(text) });
    }
    let sign = if negative { -1.0 } else { 1.0 };
    if token.bytes().all(|b| b.is_ascii_digit())
        && let Some((number, below, rest)) = read_fraction(token, rest, text)?
    {
        return Ok((sign * number, Form::Fraction(below), rest.trim()));
    }
    let (power, rest) = split_exponent(rest);
    let decimal = decimal_text(token, text)?;
    let digits = decimal.bytes().filter(u8::is_ascii_digit).skip_while(|&b| b == b'0').count();
    let number: f64 = format!("{decimal}{power}").parse().map_err(|_| QuantityError::NoNumber { text: shown(text) })?;
    let after = rest.trim_start().trim_start_matches(['-', '.', ',', '/']).trim_start();
    if after.starts_with(|c: char| c.is_ascii_digit()) {
        return Err(QuantityError::TwoNumbers { text: shown(text) });
    }
    let digits = u8::try_from(digits).unwrap_or(MAX_DIGITS).clamp(DIGITS, MAX_DIGITS);
    Ok((sign * number, Form::Digits(digits), rest.trim()))
}

/// `12 1/16`, `12-1/16` and `1/8`; `None` when what follows the whole number is no fraction.
fn read_fraction<'a>(token: &str, rest: &'a str, text: &str) -> Result<Option<(f64, u32, &'a str)>, QuantityError> {
    let bad = || QuantityError::BadFraction { text: shown(text) };
    let digits_of = |s: &str| s.find(|c: char| !c.is_ascii_digit()).unwrap_or(s.len());
    let (whole, above, below_on) = if let Some(below_on) = rest.strip_prefix('/') {
        ("0", token, below_on)
    } else {
        let gap = rest.trim_start();
        let next = gap.strip_prefix('-').unwrap_or(gap).trim_start();
        let Some(below_on) = next[digits_of(next)..].strip_prefix('/') else {
            return Ok(None);
        };
        (token, &next[..digits_of(next)], below_on)
    };
    let end = digits_of(below_on);
    // `1/min` is no fraction, and neither is `12 /x`.
    if above.is_empty() || end == 0 {
        return Ok(None);
    }
    let mixed = !std::ptr::eq(above, token);
    let (whole, above, below): (u32, u32, u32) = (
        whole.parse().map_err(|_| bad())?,
        above.parse().map_err(|_| bad())?,
        below_on[..end].parse().map_err(|_| bad())?,
    );
    if !(1..=1000).contains(&below) || whole > 1_000_000 || above > 1_000_000 || (mixed && above >= below) {
        return Err(bad());
    }
    let rest = &below_on[end..];
    if rest.trim_start().starts_with(|c: char| c.is_ascii_digit() || matches!(c, '/' | '.' | ',')) {
        return Err(bad());
    }
    let (whole, above) = (whole + above / below, above % below);
    Ok(Some((f64::from(whole) + f64::from(above) / f64::from(below), below, rest)))
}

/// The exponent of `1e3`, as `e3`, and what follows it.
fn split_exponent(rest: &str) -> (&str, &str) {
    if !rest.starts_with(['e', 'E']) {
        return ("", rest);
    }
    let from = if rest[1..].starts_with(['+', '-']) { 2 } else { 1 };
    let digits = rest[from..].find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len() - from);
    if digits == 0 { ("", rest) } else { rest.split_at(from + digits) }
}

/// The number with a point as its decimal mark; refuses what may be a thousands mark.
fn decimal_text(token: &str, text: &str) -> Result<String, QuantityError> {
    let marks = token.bytes().filter(|b| !b.is_ascii_digit()).count();
    if marks > 1 || token.contains(['_', '\'']) {
        return Err(QuantityError::ManyMarks { text: shown(text), number: shown(token) });
    }
    if let Some((head, tail)) = token.split_once(',')
        && tail.len() == 3
        && (1..=3).contains(&head.len())
        && !head.starts_with('0')
    {
        return Err(QuantityError::TwoMeanings {
            text: shown(text),
            number: shown(token),
            decimal: format!("{head}.{tail}"),
            whole: format!("{head}{tail}"),
        });
    }
    Ok(token.replace(',', "."))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantity::Quantity;

    #[track_caller]
    fn read(text: &str) -> Quantity {
        Quantity::read(text).unwrap_or_else(|error| panic!("{text:?}: {error}"))
    }

    #[track_caller]
    fn refused(text: &str, message: &str) {
        match Quantity::read(text) {
            Ok(quantity) => panic!("{text:?} was read as {quantity}"),
            Err(error) => assert_eq!(error.to_string(), message),
        }
    }

    #[test]
    fn reads_what_people_write_and_echoes_it_in_the_same_unit() {
        for (text, echo) in [
            ("160psi", "160 psi"),
            ("160 PSI", "160 psi"),
            ("11 bar", "11 bar"),
            ("2,4 bar", "2.4 bar"),
            ("0,375 in", "0.375 in"),
            ("250kPa", "250 kPa"),
            ("18 mm", "18 mm"),
            ("18mm", "18 mm"),
            ("1.8 cm", "1.8 cm"),
            ("306.388 mm", "306.388 mm"),
            ("12 1/16 in", "12 1/16 in"),
            ("12-1/16\"", "12 1/16 in"),
            ("12\u{a0}1⁄16″", "12 1/16 in"),
            ("12½ in", "12 1/2 in"),
            ("1/8 in", "1/8 in"),
            ("2/16''", "1/8 in"),
            ("17/16 in", "1 1/16 in"),
            ("57", "57"),
            ("57.", "57"),
            (".5", "0.5"),
            ("30 %", "30 %"),
            ("30%", "30 %"),
            ("5 N.m", "5 N.m"),
            ("5 N·m", "5 N.m"),
            ("5nm", "5 N.m"),
            ("44 in-lbf", "44 in-lbf"),
            ("44 lbf in", "44 in-lbf"),
            ("30 ft-lb", "30 ft-lbf"),
            ("25 km/h", "25 km/h"),
            ("15.5mph", "15.5 mph"),
            ("500Wh", "500 Wh"),
            ("42.0 V", "42 V"),
            ("2A", "2 A"),
            ("120 kgf", "120 kgf"),
            ("60lbf", "60 lbf"),
            ("800 g", "800 g"),
            ("90 kg", "90 kg"),
            ("100 lbs", "100 lb"),
            ("−15 C", "-15 °C"),
            ("70°F", "70 °F"),
            ("90 s", "90 s"),
            ("3 min", "3 min"),
            ("20ms", "20 ms"),
            ("1e3 mm", "1000 mm"),
            ("7.00e5 Pa", "700000 Pa"),
            ("-12 1/16 in", "-12 1/16 in"),
            ("90 rpm", "90 rpm"),
        ] {
            assert_eq!(read(text).to_string(), echo, "{text:?}");
        }
    }

    #[test]
    fn refuses_with_the_place_and_the_mend() {
        refused("", "nothing stands here; write a number and a unit, such as `160 psi`");
        refused("  \t", "nothing stands here; write a number and a unit, such as `160 psi`");
        refused("psi", "`psi` does not begin with a number; write a number and a unit, such as `160 psi`");
        refused("NaN mm", "`NaN mm` does not begin with a number; write a number and a unit, such as `160 psi`");
        refused("-inf", "`-inf` does not begin with a number; write a number and a unit, such as `160 psi`");
        refused("160 pis", "`pis` is not a unit known here; nearest: `psi`");
        refused("18 furlong", "`furlong` is not a unit known here; write a usual unit, such as `mm`, `psi` or `N.m`");
        refused("18 .", "`.` is not a unit known here; write a usual unit, such as `mm`, `psi` or `N.m`");
        refused("1,200 mm", "`1,200` in `1,200 mm` can mean 1.200 or 1200; write `1.200` or `1200`");
        refused(
            "1,200.5 mm",
            "`1,200.5` in `1,200.5 mm` has more marks than one decimal mark; write the number without thousands marks",
        );
        refused(
            "1'200 mm",
            "`1'200` in `1'200 mm` has more marks than one decimal mark; write the number without thousands marks",
        );
        refused("1 200 mm", "`1 200 mm` holds two numbers; write one number without gaps, then the unit");
        refused("10-20 psi", "`10-20 psi` holds two numbers; write one number without gaps, then the unit");
        for text in ["1/0 in", "12 17/16 in", "1/2/3 in", "1/99999999999 in", "1/2.5 in"] {
            refused(
                text,
                &format!("the fraction in `{text}` cannot be read; write it like `12 1/16 in`, lower number 1 to 1000"),
            );
        }
        refused(
            "1e999 mm",
            "`1e999 mm` is not a number that can be reckoned with; write a finite number of usual size",
        );
        refused(
            "1e308 km",
            "`1e308 km` is not a number that can be reckoned with; write a finite number of usual size",
        );
        refused(
            "5\u{1b}[31m",
            "`\\u{1b}[31m` is not a unit known here; write a usual unit, such as `mm`, `psi` or `N.m`",
        );
        assert!(matches!(Quantity::read("3 MV"), Err(QuantityError::UnknownUnit { .. })));
        assert!(matches!(Quantity::read(&"9".repeat(1_000_000)), Err(QuantityError::TooLong { .. })));
        assert!(matches!(Quantity::new(f64::NAN, "mm"), Err(QuantityError::NotFinite { .. })));
        assert!(matches!(Quantity::from_si(f64::INFINITY, "mm"), Err(QuantityError::NotFinite { .. })));
    }

    proptest! {
        #[test]
        fn no_text_makes_it_panic(text in "\\PC{0,40}|[-+0-9.,'/eE \"½°µa-zA-Z%]{0,20}|\\s*[\\x00-\\x1f]{0,5}") {
            if let Err(error) = Quantity::read(&text) {
                let message = error.to_string();
                prop_assert!(!message.chars().any(char::is_control));
                prop_assert!(!message.ends_with('.'));
            }
        }
    }
}
