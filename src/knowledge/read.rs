//! From folders and texts to entries: nothing is hidden by one bad neighbour.
//!
//! A file is one list of entries. Entries are cut out by counting brackets and
//! read one by one, so that a slip costs one entry; only a bracket or quote
//! that is never closed costs the rest of its file.

use std::fs;
use std::ops::Range;
use std::path::Path;

use ron::error::SpannedError;
use ron::extensions::Extensions;

use crate::snag::{Snag, Source};
use crate::words;

/// Files larger than this are refused: knowledge is written by hand.
const LARGEST: u64 = 16 * 1024 * 1024;

/// The mark with which a refused value carries its address through ron's errors.
pub(super) const PLACE_MARK: char = '\u{1}';

/// Reads the `.ron` files of a folder, in the order of their names.
///
/// # Errors
/// A snag if the folder cannot be read or holds no such file. Files that
/// cannot be read are snags beside those that can.
pub fn folder(path: &Path) -> Result<(Vec<Source>, Vec<Snag>), Box<Snag>> {
    let unreadable = |why: String| {
        Box::new(Snag {
            code: "cannot-open",
            place: None,
            headline: format!(
                "the knowledge folder `{}` cannot be read: {why}",
                words::shortened(&words::harmless(&path.display().to_string()), 200)
            ),
            nearest: None,
            mend: "name a folder that holds `.ron` files and may be read".to_owned(),
        })
    };
    let mut names = Vec::new();
    for entry in fs::read_dir(path).map_err(|e| unreadable(reason(&e)))? {
        let entry = entry.map_err(|e| unreadable(reason(&e)))?;
        if entry.path().extension().is_some_and(|e| e == "ron") {
            names.push(entry.path());
        }
    }
    names.sort();
    if names.is_empty() {
        return Err(unreadable("it holds no `.ron` file".to_owned()));
    }
    let mut sources = Vec::new();
    let mut snags = Vec::new();
    for name in names {
        match file(&name) {
            Ok(source) => sources.push(source),
            Err(snag) => snags.push(*snag),
        }
    }
    Ok((sources, snags))
}

fn file(path: &Path) -> Result<Source, Box<Snag>> {
    let name = path.display().to_string();
    let snag = |why: &str, mend: &str| {
        Box::new(Snag {
            code: "cannot-open",
            place: None,
            headline: format!("the file `{name}` cannot be read: {why}"),
            nearest: None,
            mend: mend.to_owned(),
        })
    };
    let size = fs::metadata(path).map_err(|e| snag(&reason(&e), "see that the file may be read"))?.len();
    if size > LARGEST {
        return Err(snag("it is larger than 16 MiB", "split it into smaller files"));
    }
    let bytes = fs::read(path).map_err(|e| snag(&reason(&e), "see that the file may be read"))?;
    let text = String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        snag(&format!("byte {at} is not UTF-8 text"), "save it as UTF-8")
    })?;
    Ok(Source { name, text })
}

/// What the system says, in our style: no capital, no number.
fn reason(error: &std::io::Error) -> String {
    let said = error.to_string();
    let said = said.split(" (os error").next().unwrap_or_default();
    let mut letters = said.chars();
    letters.next().map(|c| c.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

/// How RON is read here and everywhere.
pub(super) fn options() -> ron::Options {
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME)
        .with_default_extension(Extensions::UNWRAP_NEWTYPES)
}

/// One entry as cut out of a file: its kind and where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// The word before the bracket.
    pub kind: Range<usize>,
    /// From the kind to the closing bracket.
    pub whole: Range<usize>,
}

/// Cuts a file into its entries; what cannot be cut is a snag.
pub fn cut(source: &Source) -> (Vec<Cut>, Vec<Snag>) {
    let mut cuts = Vec::new();
    let mut snags = Vec::new();
    let text = source.text.as_str();
    let mut scan = Scan { text, at: 0, long: None };
    let bad = |at: usize, headline: &str, mend: &str| Snag {
        code: "cannot-read",
        place: Some(source.place(at, 1)),
        headline: headline.to_owned(),
        nearest: None,
        mend: mend.to_owned(),
    };
    if let Err(at) = scan.blank() {
        return (cuts, vec![bad(at, "a comment opens here and never closes", "close it with `*/`")]);
    }
    if !scan.eat('[') {
        let mend = "write `[` before the first entry and `]` after the last";
        return (cuts, vec![bad(scan.at, "a file is a list of entries", mend)]);
    }
    loop {
        if let Err(at) = scan.blank() {
            snags.push(bad(at, "a comment opens here and never closes", "close it with `*/`"));
            return (cuts, snags);
        }
        if scan.eat(']') {
            break;
        }
        if scan.eat(',') {
            continue;
        }
        let start = scan.at;
        let Some(first) = scan.peek() else {
            let mend = "write `]` after the last entry";
            snags.push(bad(start, "the list of entries never closes", mend));
            return (cuts, snags);
        };
        let kind = scan.word();
        let _ = scan.blank();
        if kind.is_empty() || scan.peek() != Some('(') {
            snags.push(bad(
                start,
                "an entry such as `Cause(...)` belongs here",
                "start every entry with its kind and a bracket",
            ));
            // Goes on after whatever this was: nested brackets as one, else one letter.
            scan.at = start;
            if "([{\"".contains(first) {
                if let Err(open) = scan.balanced() {
                    snags.push(open.snag(source));
                    return (cuts, snags);
                }
            } else if kind.is_empty() {
                scan.at += first.len_utf8();
            } else {
                scan.at += kind.len();
            }
            continue;
        }
        match scan.balanced() {
            Ok(()) => cuts.push(Cut { kind: start..start + kind.len(), whole: start..scan.at }),
            Err(open) => {
                snags.push(open.snag(source));
                return (cuts, snags);
            }
        }
    }
    let _ = scan.blank();
    if scan.at < text.len() {
        snags.push(bad(scan.at, "the list has ended before this", "move it inside the list"));
    }
    (cuts, snags)
}

/// What was opened and never closed, or closed wrongly.
struct Open {
    at: usize,
    bracket: char,
    wrong: Option<(usize, char)>,
}

impl Open {
    fn snag(&self, source: &Source) -> Snag {
        let opened = source.place(self.at, 1);
        let (at, headline, mend) = match (self.wrong, self.bracket) {
            (Some((at, close)), bracket) => {
                let place = format!("line {}, column {}", opened.line, opened.column);
                let headline = format!("`{close}` does not close the `{bracket}` of {place}");
                (at, headline, format!("write `{}` where that ends", closing(bracket)))
            }
            (None, '"') => {
                (self.at, "a quote opens here and does not close on its line".to_owned(), "close it".to_owned())
            }
            (None, '*') => {
                (self.at, "a comment opens here and never closes".to_owned(), "close it with `*/`".to_owned())
            }
            (None, bracket) => (
                self.at,
                format!("`{bracket}` opens here and never closes"),
                format!("write `{}` where it ends", closing(bracket)),
            ),
        };
        Snag {
            code: "cannot-read",
            place: Some(source.place(at, 1)),
            headline,
            nearest: None,
            mend: format!("{mend}; the rest of this file was not read"),
        }
    }
}

fn closing(bracket: char) -> char {
    match bracket {
        '(' => ')',
        '[' => ']',
        '{' => '}',
        other => other,
    }
}

struct Scan<'a> {
    text: &'a str,
    at: usize,
    /// Where the first text opens that runs over the end of its line. That may be
    /// meant; but if a quote is missing somewhere, it is missing there.
    long: Option<usize>,
}

impl<'a> Scan<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn eat(&mut self, c: char) -> bool {
        let here = self.peek() == Some(c);
        if here {
            self.at += c.len_utf8();
        }
        here
    }

    fn word(&mut self) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        self.at += end;
        rest.get(..end).unwrap_or_default()
    }

    /// Skips white space and comments; the error is where an endless comment opens.
    fn blank(&mut self) -> Result<(), usize> {
        loop {
            let rest = self.rest();
            let trimmed = rest.trim_start();
            self.at += rest.len() - trimmed.len();
            if trimmed.starts_with("//") {
                self.at += trimmed.find('\n').unwrap_or(trimmed.len());
            } else if trimmed.starts_with("/*") {
                let open = self.at;
                match trimmed.find("*/") {
                    Some(end) => self.at += end + 2,
                    None => return Err(open),
                }
            } else {
                return Ok(());
            }
        }
    }

    /// Skips a quoted text; the error is where it opens.
    fn quoted(&mut self) -> Result<(), Open> {
        let open = self.at;
        self.at += 1;
        let mut escaped = false;
        while let Some(c) = self.peek() {
            self.at += c.len_utf8();
            match c {
                _ if escaped => escaped = false,
                '\\' => escaped = true,
                '"' => return Ok(()),
                '\n' => self.long = self.long.or(Some(open)),
                _ => {}
            }
        }
        Err(Open { at: self.long.unwrap_or(open), bracket: '"', wrong: None })
    }

    /// Skips one bracketed or quoted thing, whatever is nested in it.
    fn balanced(&mut self) -> Result<(), Open> {
        let mut open: Vec<(char, usize)> = Vec::new();
        loop {
            if let Err(at) = self.blank() {
                return Err(Open { at, bracket: '*', wrong: None });
            }
            let Some(c) = self.peek() else {
                let (bracket, at) = open.last().copied().unwrap_or(('(', self.at));
                return Err(Open { at, bracket, wrong: None });
            };
            match c {
                '"' => self.quoted()?,
                '(' | '[' | '{' => {
                    open.push((c, self.at));
                    self.at += 1;
                }
                ')' | ']' | '}' => {
                    let Some((bracket, at)) = open.pop() else {
                        return Err(Open { at: self.at, bracket: c, wrong: Some((self.at, c)) });
                    };
                    if !matches!((bracket, c), ('(', ')') | ('[', ']') | ('{', '}')) {
                        return Err(Open { at, bracket, wrong: Some((self.at, c)) });
                    }
                    self.at += 1;
                }
                _ => self.at += c.len_utf8(),
            }
            if open.is_empty() {
                return Ok(());
            }
        }
    }
}

/// Turns what ron says of an entry into what we say of it.
pub(super) fn refused(source: &Source, cut: &Cut, error: &SpannedError, left: usize) -> Snag {
    use ron::Error as E;
    let text = source.text.get(cut.whole.clone()).unwrap_or_default();
    let opens = source.place(cut.whole.start, 1).line;
    let at = cut.whole.start + offset_of(text, error.span.start.line, error.span.start.col);
    let kind = source.text.get(cut.kind.clone()).unwrap_or_default();
    let rest = format!(
        "this entry was skipped, {} of the file were read",
        words::counted(left, "other entry", "other entries")
    );
    let make = |code, at: usize, headline: String, nearest: Option<String>, mend: String| Snag {
        code,
        place: Some(source.place(at, 1)),
        headline,
        nearest,
        mend: format!("{mend}; {rest}"),
    };
    // What the bracket belongs to in which it happened: the entry, or a part of it.
    let owner = |outer: &Option<String>| match outer.as_deref() {
        Some(inner) if inner != kind => format!("this part of a `{kind}`"),
        _ => format!("this `{kind}`"),
    };
    match &error.code {
        E::Message(m) if m.starts_with(PLACE_MARK) => {
            let mut parts = m.splitn(3, PLACE_MARK).skip(1);
            let address: usize = parts.next().and_then(|a| a.parse().ok()).unwrap_or_default();
            let why = parts.next().unwrap_or("another value belongs here").to_owned();
            let offset = address.checked_sub(source.text.as_ptr() as usize).unwrap_or(at);
            make("cannot-read", offset, why, None, "write such a value here".to_owned())
        }
        E::NoSuchStructField { expected, found, outer } => make(
            "unknown-field",
            at,
            format!("{} has no field `{found}`", owner(outer)),
            words::nearest(found, expected.iter().copied()).map(|n| format!("`{n}`")),
            format!("its fields are {}", words::listed(expected, "and")),
        ),
        E::MissingStructField { field, outer } => make(
            "missing-field",
            if outer.as_deref().is_some_and(|o| o != kind) { at } else { cut.whole.start },
            format!("{} has no `{field}`", owner(outer)),
            None,
            format!("add `{field}: ...`"),
        ),
        E::DuplicateStructField { field, outer } => make(
            "repeated-key",
            at,
            format!("`{field}` stands twice in {}", owner(outer)),
            None,
            "keep one of the two".to_owned(),
        ),
        E::NoSuchEnumVariant { expected, found, .. } => make(
            "unknown-word",
            at,
            format!("`{found}` is not a word of this list"),
            words::nearest(found, expected.iter().copied()).map(|n| format!("`{n}`")),
            format!("write {}", words::listed(expected, "or")),
        ),
        E::ExpectedComma => make(
            "cannot-read",
            at,
            format!(
                "the entry that opens on line {opens} cannot be read: a comma is missing before this, or a quote is odd"
            ),
            None,
            "put a comma before it, or take it away".to_owned(),
        ),
        other => match wanted(other) {
            Some((what, mend)) => make("cannot-read", at, format!("{what} belongs here"), None, mend.to_owned()),
            None => make(
                "cannot-read",
                at,
                format!("the entry that opens on line {opens} cannot be read: {}", plain(other)),
                None,
                "write it as the entries beside it are written".to_owned(),
            ),
        },
    }
}

/// What belongs where ron stopped, and how it is written.
fn wanted(error: &ron::Error) -> Option<(&'static str, &'static str)> {
    use ron::Error as E;
    Some(match error {
        E::ExpectedString => ("a text in double quotes", "write \"...\""),
        E::ExpectedIdentifier => ("a word without quotes", "take the quotes away"),
        E::ExpectedArray => ("a list", "write `[...]`, with one member too"),
        E::ExpectedMap => ("a map", "write `{\"name\": value}`"),
        E::ExpectedMapColon => ("a colon", "write `name: value`"),
        E::ExpectedBoolean => ("`true` or `false`", "write one of the two"),
        E::ExpectedStructLike | E::ExpectedNamedStructLike(_) => {
            ("a bracket with named fields", "write `(name: value)`")
        }
        E::SuggestRawIdentifier(_) => {
            ("the name of a field", "write the name of a field, and numbers with a point: 0.02")
        }
        _ => return None,
    })
}

fn plain(error: &ron::Error) -> String {
    let said = error.to_string();
    let said = said.trim_end_matches('.');
    let mut letters = said.chars();
    letters.next().map(|c| c.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

/// Byte offset of a line and column (from 1, in characters) within a text.
fn offset_of(text: &str, line: usize, column: usize) -> usize {
    let mut start = 0;
    for (i, l) in text.split_inclusive('\n').enumerate() {
        if i + 1 == line {
            return start + l.char_indices().nth(column.saturating_sub(1)).map_or(l.len(), |(b, _)| b);
        }
        start += l.len();
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cuts(text: &str) -> (Vec<String>, Vec<String>) {
        let source = Source { name: "t.ron".into(), text: text.into() };
        let (cuts, snags) = cut(&source);
        let cut = cuts.iter().map(|c| text[c.whole.clone()].to_owned()).collect();
        (cut, snags.iter().map(|s| s.headline.clone()).collect())
    }

    #[test]
    fn brackets_in_quotes_and_comments_do_not_count() {
        let (found, snags) = cuts("[ A(x: \")\"), // )\n B(y: [1, (2)]), /* ( */ ]");
        assert_eq!(found, ["A(x: \")\")", "B(y: [1, (2)])"]);
        assert!(snags.is_empty());
    }

    #[test]
    fn what_never_closes_is_named_at_its_opening() {
        assert_eq!(cuts("[ A(x: 1), B(y: [1 ").1, ["`[` opens here and never closes"]);
        assert_eq!(cuts("[ A(x: \"1), ").1, ["a quote opens here and does not close on its line"]);
        assert_eq!(cuts("[ A(x: [1)), ").1, ["`)` does not close the `[` of line 1, column 8"]);
        assert_eq!(cuts("[ A(x: 1),").1, ["the list of entries never closes"]);
    }

    #[test]
    fn stray_things_hide_no_entry() {
        let (found, snags) = cuts("[ 12, A(x: 1), (y: 2), B(z: 3) ] tail");
        assert_eq!(found, ["A(x: 1)", "B(z: 3)"]);
        assert_eq!(snags.len(), 3, "{snags:?}");
    }
}
