//! Small services for sentences: lists, counts, nearest names, harmless text.
//!
//! Everything here is a function of its text alone: no knowledge of bicycles, no
//! input, no output. [`stems`] folds the words of a text so that they can be
//! compared with the words of a list, [`wordings`] makes long lists ready for it;
//! this file makes and lays out sentences that are said.

pub mod stems;
pub mod wordings;

use std::fmt::Write as _;

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Joins words as a sentence does: `a`, `a or b`, `a, b or c`.
pub fn listed<S: AsRef<str>>(items: &[S], last: &str) -> String {
    match items {
        [] => String::new(),
        [only] => only.as_ref().to_owned(),
        [head @ .., tail] => {
            let head: Vec<&str> = head.iter().map(AsRef::as_ref).collect();
            format!("{} {last} {}", head.join(", "), tail.as_ref())
        }
    }
}

/// Counts things: `no causes`, `1 cause`, `3 causes`.
pub fn counted(n: usize, one: &str, many: &str) -> String {
    match n {
        0 => format!("no {many}"),
        1 => format!("1 {one}"),
        n => format!("{n} {many}"),
    }
}

/// Finds the known name nearest to a misspelt one, if any is near enough to be meant.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Longer input is never a slip of a name; comparing it would only cost time.
    if name.chars().count() > 80 {
        return None;
    }
    known
        .into_iter()
        .map(|k| (strsim::jaro_winkler(name, k), k))
        .filter(|(similarity, _)| *similarity > 0.8)
        .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)))
        .map(|(_, k)| k)
}

/// Makes text safe to show: control characters, escapes and direction marks become visible.
pub fn harmless(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let steers = c.is_control()
            || matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}');
        if steers && c != '\n' {
            // Writing to a String cannot fail.
            let _ = write!(out, "<{:02x}>", c as u32);
        } else {
            out.push(c);
        }
    }
    out
}

/// Shortens text to a number of terminal columns, with `...` where it was cut.
pub fn shortened(text: &str, columns: usize) -> String {
    let width = |c: char| c.width().unwrap_or(0);
    // Marks that stack on one letter take no column; nobody needs many of them.
    let most = 4 * columns;
    if text.chars().take(most + 1).map(width).sum::<usize>() <= columns && text.chars().nth(most).is_none() {
        return text.to_owned();
    }
    let mut used = 3;
    let kept: String = text
        .chars()
        .take(most)
        .take_while(|c| {
            used += width(*c);
            used <= columns
        })
        .collect();
    format!("{}...", kept.trim_end())
}

/// Raises the first letter.
pub fn capitalised(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().chain(chars).collect()).unwrap_or_default()
}

/// Wraps a paragraph to a width, every line after the first set in by `indent`.
pub fn wrapped(text: &str, columns: usize, first: &str, indent: &str) -> String {
    let options = textwrap::Options::new(columns.max(20)).initial_indent(first).subsequent_indent(indent);
    textwrap::fill(text, options)
}

/// A space at which no line is broken; laid out, it is one like the others.
pub const TIED: &str = "\u{a0}";

/// Lays out text for a width: every line is wrapped with a hanging indent, set
/// in a little further than it begins, after its number if it has one.
pub fn laid_out(text: &str, columns: usize) -> String {
    let mut out = String::with_capacity(text.len() + text.len() / 16);
    // A number and what it counts are not parted.
    let text = [" in 100", " in 10", " decibans"]
        .iter()
        .fold(text.to_owned(), |text, counted| text.replace(counted, &counted.replace(' ', TIED)));
    for line in text.lines().flat_map(|line| apart(line, columns)) {
        let body = line.trim_start();
        let lead = line.len() - body.len();
        let number = body.find(". ").filter(|at| body.get(..*at).is_some_and(|n| n.parse::<u16>().is_ok()));
        let hang = lead + number.map_or(2, |at| at + 2);
        if body.is_empty() {
            out.push('\n');
            continue;
        }
        let indent = " ".repeat(lead);
        out += &wrapped(body, columns, &indent, &" ".repeat(if lead == 0 && number.is_none() { 0 } else { hang }));
        out.push('\n');
    }
    out.replace(TIED, " ")
}

/// A row of numbered answers, one a line where the row is too long: `1. yes  2. no`.
fn apart(line: &str, columns: usize) -> Vec<String> {
    let lead = line.len() - line.trim_start().len();
    let number = |piece: &&str| piece.split_once(". ").is_some_and(|(n, _)| n.parse::<u16>().is_ok());
    let answers: Vec<&str> = line.trim_start().split("  ").collect();
    if line.width() <= columns || answers.len() < 2 || !answers.iter().all(number) {
        return vec![line.to_owned()];
    }
    answers.iter().map(|answer| format!("{}{answer}", " ".repeat(lead))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_of_answers_that_is_too_long_is_a_list() {
        let row = "  1. yes, certain  2. I think so  3. can't tell\n";
        assert_eq!(laid_out(row, 60), row);
        assert_eq!(laid_out(row, 40), "  1. yes, certain\n  2. I think so\n  3. can't tell\n");
    }

    #[test]
    fn a_number_stays_with_what_it_counts() {
        assert_eq!(laid_out("possible, about 14 in 100", 22), "possible, about\n14 in 100\n");
    }

    #[test]
    fn lists_read_as_sentences() {
        assert_eq!(listed(&["a", "b", "c"], "or"), "a, b or c");
        assert_eq!(listed(&["a", "b"], "and"), "a and b");
        assert_eq!(listed::<&str>(&[], "or"), "");
    }

    #[test]
    fn a_slip_finds_its_name_and_nonsense_finds_none() {
        let known = ["knock", "squeal", "play-at-upper-cup"];
        assert_eq!(nearest("play-at-upper-cop", known), Some("play-at-upper-cup"));
        assert_eq!(nearest("xyzzy", known), None);
    }

    #[test]
    fn escapes_are_shown_not_obeyed() {
        assert_eq!(harmless("a\u{1b}[31mb\u{202e}"), "a<1b>[31mb<202e>");
        assert_eq!(harmless("größer\nzwei"), "größer\nzwei");
    }

    #[test]
    fn numbered_lines_hang_after_their_number() {
        let text = "  1. one two three four five six\nplain words that go on and on";
        assert_eq!(laid_out(text, 20), "  1. one two three\n     four five six\nplain words that go\non and on\n");
    }

    #[test]
    fn cut_text_says_so() {
        assert_eq!(shortened("abcdefgh", 6), "abc...");
        assert_eq!(shortened("abc", 6), "abc");
        assert_eq!(shortened(&"\u{301}".repeat(1000), 6).chars().count(), 24 + 3);
    }
}
