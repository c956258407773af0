//! Help while typing: words completed by the Tab key, and what can be typed, in faint letters.

use std::borrow::Cow;

use rustyline::completion::Completer;
use rustyline::highlight::Highlighter;
use rustyline::hint::{Hint, Hinter};
use rustyline::validate::Validator;
use rustyline::{Context, Helper};

use crate::session::command::TABLE;

/// Completes the words of the table at the beginning of a line, and hints at them.
pub struct Words {
    /// What can be typed at this point.
    pub can_be_typed: String,
    /// Faint letters may be written; hints that look like typed words help nobody.
    faint: bool,
}

impl Words {
    /// Without hints where colours are not wanted (`NO_COLOR` set to anything).
    pub fn new() -> Self {
        let faint = std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
        Self { can_be_typed: String::new(), faint }
    }
}

/// Words that begin so.
fn beginning(typed: &str) -> impl Iterator<Item = &'static str> {
    let typed = typed.to_lowercase();
    TABLE.iter().map(|e| e.word).filter(move |w| !typed.is_empty() && w.starts_with(&typed))
}

/// A hint, and whether the arrow key takes it into the line.
pub struct Faint {
    text: String,
    taken: bool,
}

impl Hint for Faint {
    fn display(&self) -> &str {
        &self.text
    }

    fn completion(&self) -> Option<&str> {
        self.taken.then_some(&self.text)
    }
}

impl Hinter for Words {
    type Hint = Faint;

    fn hint(&self, line: &str, at: usize, _: &Context<'_>) -> Option<Faint> {
        if !self.faint || at < line.len() {
            return None;
        }
        if line.is_empty() {
            return Some(Faint { text: self.can_be_typed.clone(), taken: false });
        }
        let mut words = beginning(line);
        let rest = words.next().filter(|_| words.next().is_none())?.get(line.len()..)?;
        (!rest.is_empty()).then(|| Faint { text: rest.to_owned(), taken: true })
    }
}

impl Highlighter for Words {
    fn highlight_hint<'h>(&self, hint: &'h str) -> Cow<'h, str> {
        Cow::Owned(format!("\u{1b}[2m{hint}\u{1b}[0m"))
    }
}

impl Completer for Words {
    type Candidate = String;

    fn complete(&self, line: &str, at: usize, _: &Context<'_>) -> rustyline::Result<(usize, Vec<String>)> {
        let typed = line.get(..at).unwrap_or_default();
        Ok((0, beginning(typed).map(str::to_owned).collect()))
    }
}

impl Validator for Words {}
impl Helper for Words {}
