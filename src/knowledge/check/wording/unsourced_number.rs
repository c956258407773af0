//! A number with a unit needs a source, or says that it is about so much, or defers to the maker.

use super::{Text, Use, note, words_of};
use crate::knowledge::Knowledge;
use crate::snag::Snag;

const UNITS: &[&str] = &["mm", "cm", "m", "km", "kg", "Nm", "bar", "psi", "V", "Wh", "%", "°C", "km/h"];

/// Words that make a number an estimate, or somebody else's.
const HONEST: &[&str] = &[
    "about", "roughly", "mostly", "usually", "often", "say", "such", "maker", "maker's", "makers", "marked", "printed",
    "law", "standard", "book",
];

pub(super) fn check(k: &Knowledge, texts: &[Text<'_>], notes: &mut Vec<Snag>) {
    for text in texts.iter().filter(|t| t.judged && t.role != Use::Thing) {
        if words_of(text.words).any(|(_, w)| HONEST.contains(&w.to_lowercase().as_str())) {
            continue;
        }
        let Some(number) = measure(text.words) else { continue };
        let headline = format!("`{}` says {number}, with judgement as its only source", text.at.value);
        let mend = "name a source for it, write `about`, or send the reader to the maker's figure";
        notes.push(note(k, text, number, "unsourced-number", headline, mend.to_owned()));
    }
}

/// The first number that has a unit, with it.
fn measure(text: &str) -> Option<&str> {
    let digits = text.match_indices(|c: char| c.is_ascii_digit());
    digits.map(|(at, _)| at).find_map(|at| {
        let before = text.get(..at).and_then(|b| b.chars().next_back());
        if before.is_some_and(|c| c.is_alphanumeric() || c == '.') {
            return None;
        }
        let rest = text.get(at..)?;
        let end = rest.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '/')).unwrap_or(rest.len());
        let unit = rest.get(end..)?.trim_start();
        let long = unit
            .find(|c: char| c.is_whitespace() || matches!(c, ',' | '.' | ';' | ':' | ')' | '?'))
            .unwrap_or(unit.len());
        UNITS.contains(&unit.get(..long)?).then(|| rest.get(..rest.len() - unit.len() + long)).flatten()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_without_a_unit_is_no_measure() {
        assert_eq!(measure("gives at 5 mm, no more"), Some("5 mm"));
        assert_eq!(measure("a charge of 80 %"), Some("80 %"));
        assert_eq!(measure("two of 5 makers, key T25"), None);
    }
}
