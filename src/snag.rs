//! What is said of a bad file or a bad word: the place, what is wrong, the mend.
//!
//! A *complaint* is the rider's; what the program has to say about its input is
//! a [`Snag`]. It is data first; [`std::fmt::Display`] gives the plain form in
//! which nothing depends on colour or on the column of a mark alone.

use std::fmt;

use crate::words;

/// One file of knowledge, as it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Name shown to people, such as `knowledge/head.ron`.
    pub name: String,
    /// The whole text.
    pub text: String,
}

impl Source {
    /// Name without folder and ending: the assembly of the causes inside.
    pub fn stem(&self) -> &str {
        let file = self.name.rsplit(['/', '\\']).next().unwrap_or(&self.name);
        file.strip_suffix(".ron").unwrap_or(file)
    }

    /// Finds line, column (both from 1, in characters) and the line's text for a byte offset.
    pub fn place(&self, offset: usize, length: usize) -> Place {
        let mut offset = offset.min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        let before = self.text.get(..offset).unwrap_or_default();
        let start = before.rfind('\n').map_or(0, |i| i + 1);
        let line_text = self.text.get(start..).and_then(|rest| rest.lines().next()).unwrap_or_default();
        Place {
            file: self.name.clone(),
            line: before.matches('\n').count() + 1,
            column: before.get(start..).unwrap_or_default().chars().count() + 1,
            text: line_text.to_owned(),
            length: length.max(1),
        }
    }
}

/// A place in a file, with the line as it stands there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Name of the file.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The line itself.
    pub text: String,
    /// How many characters are meant.
    pub length: usize,
}

/// Something wrong in the input, with its mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Snag {
    /// Short name of the kind; a check's code is its file's name.
    pub code: &'static str,
    /// Where it stands, if it stands in a file.
    pub place: Option<Place>,
    /// What is wrong, in the author's words.
    pub headline: String,
    /// The nearest known name, with where it is defined.
    pub nearest: Option<String>,
    /// One act that mends it.
    pub mend: String,
}

impl fmt::Display for Snag {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let headline = words::harmless(&self.headline);
        match &self.place {
            None => writeln!(f, "{headline}")?,
            Some(place) => {
                let file = words::harmless(&place.file);
                writeln!(f, "{file}, line {}, column {}: {headline}", place.line, place.column)?;
                excerpt(f, place)?;
            }
        }
        if let Some(nearest) = &self.nearest {
            writeln!(f, "     nearest: {}", words::harmless(nearest))?;
        }
        writeln!(f, "     mend: {}   [{}]", words::harmless(&self.mend), self.code)
    }
}

fn excerpt(f: &mut fmt::Formatter<'_>, place: &Place) -> fmt::Result {
    const WIDTH: usize = 66;
    // A long line is shown from a little before the place.
    let skip = if place.column > WIDTH { place.column - WIDTH / 2 } else { 0 };
    let shown: String = place.text.chars().skip(skip).take(WIDTH).collect();
    if shown.trim().is_empty() {
        return Ok(());
    }
    writeln!(f, "{:>5} | {}", place.line, words::harmless(&shown))?;
    writeln!(f, "      | {}here", " ".repeat(place.column.saturating_sub(1 + skip)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_snag_shows_place_nearest_and_mend() {
        let source =
            Source { name: "knowledge/head.ron".into(), text: "[\n    (sign: \"play-at-upper-cop\"),\n]".into() };
        let snag = Snag {
            code: "dangling-name",
            place: Some(source.place(source.text.find("\"play").unwrap_or(0), 19)),
            headline: "cause `headset-loose` shows a sign that no file defines".into(),
            nearest: Some("`play-at-upper-cup`".into()),
            mend: "correct the spelling, or define the sign".into(),
        };
        insta::assert_snapshot!(snag.to_string(), @r#"
        knowledge/head.ron, line 2, column 12: cause `headset-loose` shows a sign that no file defines
            2 |     (sign: "play-at-upper-cop"),
              |            here
             nearest: `play-at-upper-cup`
             mend: correct the spelling, or define the sign   [dangling-name]
        "#);
    }

    #[test]
    fn offsets_past_the_end_and_inside_letters_are_harmless() {
        let source = Source { name: "x.ron".into(), text: "ä".into() };
        assert_eq!(source.place(1, 1).column, 1);
        assert_eq!(source.place(99, 1).line, 1);
    }
}
